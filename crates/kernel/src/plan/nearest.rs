//! The nearest spec that works: for each figure of the spec alone, the least change that gives a
//! plan; where none is enough alone, both tolerances and both cut limits together.

use super::spec::Spec;
use crate::units::Length;

/// A figure of the spec that may be changed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SpecFigure {
    /// `side_clearance.target`.
    ClearanceTarget,
    /// `side_clearance.tolerance`.
    ClearanceTolerance,
    /// `step.target`.
    StepTarget,
    /// `step.tolerance`.
    StepTolerance,
    /// `match`.
    Matching,
    /// `land_cut_limit`.
    LandCutLimit,
    /// `tip_cut_limit`.
    TipCutLimit,
}

impl SpecFigure {
    const ALL: [Self; 7] = [
        Self::ClearanceTarget,
        Self::ClearanceTolerance,
        Self::StepTarget,
        Self::StepTolerance,
        Self::Matching,
        Self::LandCutLimit,
        Self::TipCutLimit,
    ];

    /// Its key in a build file.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::ClearanceTarget => "side_clearance.target",
            Self::ClearanceTolerance => "side_clearance.tolerance",
            Self::StepTarget => "step.target",
            Self::StepTolerance => "step.tolerance",
            Self::Matching => "match",
            Self::LandCutLimit => "land_cut_limit",
            Self::TipCutLimit => "tip_cut_limit",
        }
    }

    fn of(self, spec: &mut Spec) -> &mut Length {
        match self {
            Self::ClearanceTarget => &mut spec.side_clearance.target,
            Self::ClearanceTolerance => &mut spec.side_clearance.tolerance,
            Self::StepTarget => &mut spec.step.target,
            Self::StepTolerance => &mut spec.step.tolerance,
            Self::Matching => &mut spec.matching,
            Self::LandCutLimit => &mut spec.land_cut_limit,
            Self::TipCutLimit => &mut spec.tip_cut_limit,
        }
    }

    const fn may_shrink(self) -> bool {
        matches!(self, Self::ClearanceTarget | Self::StepTarget)
    }
}

/// One figure changed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Change {
    /// Which figure.
    pub figure: SpecFigure,
    /// What the spec says.
    pub from: Length,
    /// What would work, to the whole micrometre.
    pub to: Length,
}

/// A spec that works, by its changes.
#[derive(Debug, Clone, PartialEq)]
pub struct NearbySpec {
    /// The figures to change, all of them together.
    pub changes: Vec<Change>,
}

/// Largest change that is tried, in whole micrometres: past it a part is scrap, not a question of
/// the spec.
const MOST_UM: u32 = 600;

/// The specs that work, the least change first. Bounded: a few hundred plans at most.
pub(super) fn nearby(spec: &Spec, works: impl Fn(&Spec) -> bool) -> Vec<NearbySpec> {
    let mut single: Vec<Change> = SpecFigure::ALL
        .into_iter()
        .flat_map(|figure| {
            let signs: &[f64] = if figure.may_shrink() { &[1.0, -1.0] } else { &[1.0] };
            signs
                .iter()
                .filter_map(|sign| least_change(spec, &[figure], *sign, &works))
                .collect::<Vec<_>>()
        })
        .flatten()
        .collect();
    single.sort_by(|a, b| (a.to - a.from).abs().to_m().total_cmp(&(b.to - b.from).abs().to_m()));
    if !single.is_empty() {
        return single.into_iter().map(|change| NearbySpec { changes: vec![change] }).collect();
    }
    let together = [
        SpecFigure::ClearanceTolerance,
        SpecFigure::StepTolerance,
        SpecFigure::LandCutLimit,
        SpecFigure::TipCutLimit,
    ];
    least_change(spec, &together, 1.0, &works)
        .map(|changes| NearbySpec { changes })
        .into_iter()
        .collect()
}

/// The least whole number of micrometres by which these figures must move to give a plan.
fn least_change(
    spec: &Spec,
    figures: &[SpecFigure],
    sign: f64,
    works: &impl Fn(&Spec) -> bool,
) -> Option<Vec<Change>> {
    let changed = |um: u32| {
        let mut other = *spec;
        for figure in figures {
            *figure.of(&mut other) += Length::um(sign * f64::from(um));
        }
        other
    };
    let sound = |other: &Spec| {
        other.side_clearance.target > Length::ZERO && other.step.target > Length::ZERO
    };
    let possible = |um: u32| {
        let other = changed(um);
        sound(&other) && works(&other)
    };
    // A shifted aim works from some change on, but not for ever: climb by a tenth at a time until
    // something works, then halve back.
    let (mut no, mut yes) = (0, None);
    let mut um = 1;
    while um <= MOST_UM {
        if possible(um) {
            yes = Some(um);
            break;
        }
        no = um;
        um += 1 + um / 10;
    }
    let mut yes = yes?;
    while yes - no > 1 {
        let middle = no + (yes - no) / 2;
        if possible(middle) {
            yes = middle;
        } else {
            no = middle;
        }
    }
    let mut from = *spec;
    let mut to = changed(yes);
    Some(
        figures
            .iter()
            .map(|figure| Change {
                figure: *figure,
                from: *figure.of(&mut from),
                to: *figure.of(&mut to),
            })
            .collect(),
    )
}
