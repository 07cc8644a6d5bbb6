//! The nearest spec that works: for each figure of the spec alone, the least change that gives a
//! plan; where none is enough alone, several together, none of which could be changed less while
//! the others stay.

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

impl NearbySpec {
    /// The spec with its changes made.
    #[must_use]
    pub fn applied_to(&self, spec: &Spec) -> Spec {
        let mut other = *spec;
        for change in &self.changes {
            *change.figure.of(&mut other) = change.to;
        }
        other
    }
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
            signs.iter().map(move |sign| (figure, *sign))
        })
        .filter_map(|(figure, sign)| least_change(spec, figure, sign, &works))
        .collect();
    single.sort_by(|a, b| (a.to - a.from).abs().to_m().total_cmp(&(b.to - b.from).abs().to_m()));
    if single.is_empty() {
        return together(spec, &works).into_iter().collect();
    }
    single.into_iter().map(|change| NearbySpec { changes: vec![change] }).collect()
}

/// A figure moved by a whole number of micrometres; `None` when that makes no sense.
fn moved(spec: &Spec, figure: SpecFigure, sign: f64, um: u32) -> Option<Spec> {
    let mut other = *spec;
    let value = figure.of(&mut other);
    *value += Length::um(sign * f64::from(um));
    (*value > Length::ZERO).then_some(other)
}

fn change(from: &Spec, to: &Spec, figure: SpecFigure) -> Change {
    let (mut from, mut to) = (*from, *to);
    Change { figure, from: *figure.of(&mut from), to: *figure.of(&mut to) }
}

/// The least whole number of micrometres by which one figure must move to give a plan.
fn least_change(
    spec: &Spec,
    figure: SpecFigure,
    sign: f64,
    works: &impl Fn(&Spec) -> bool,
) -> Option<Change> {
    let possible = |um: u32| moved(spec, figure, sign, um).filter(works);
    // A shifted aim works from some change on, but not for ever: climb by a tenth at a time until
    // something works, then halve back.
    let (mut no, mut um) = (0, 1);
    let mut yes = loop {
        if um > MOST_UM {
            return None;
        }
        if possible(um).is_some() {
            break um;
        }
        no = um;
        um += 1 + um / 10;
    };
    while yes - no > 1 {
        let middle = no + (yes - no) / 2;
        if possible(middle).is_some() {
            yes = middle;
        } else {
            no = middle;
        }
    }
    moved(spec, figure, sign, yes).map(|to| change(spec, &to, figure))
}

/// Several figures at once: all are let go, then each in turn is taken back as far as a plan is
/// left. Those that a shop changes least gladly are taken back first.
fn together(spec: &Spec, works: &impl Fn(&Spec) -> bool) -> Option<NearbySpec> {
    const LET_GO: [SpecFigure; 5] = [
        SpecFigure::Matching,
        SpecFigure::LandCutLimit,
        SpecFigure::TipCutLimit,
        SpecFigure::StepTolerance,
        SpecFigure::ClearanceTolerance,
    ];
    let mut current = *spec;
    for figure in LET_GO {
        current = moved(&current, figure, 1.0, MOST_UM)?;
    }
    if !works(&current) {
        return None;
    }
    for figure in LET_GO {
        let (mut no, mut yes) = (None, MOST_UM);
        // `no` is `None` until the unchanged figure has been tried.
        while no.is_none_or(|no| yes - no > 1) && yes > 0 {
            let trial = no.map_or(0, |no| no + (yes - no) / 2);
            let mut other = current;
            let mut unchanged = *spec;
            *figure.of(&mut other) = *figure.of(&mut unchanged) + Length::um(f64::from(trial));
            if works(&other) {
                yes = trial;
                current = other;
            } else {
                no = Some(trial);
            }
        }
    }
    let changes =
        LET_GO.map(|figure| change(spec, &current, figure)).into_iter().filter(|c| c.from != c.to);
    Some(NearbySpec { changes: changes.collect() })
}
