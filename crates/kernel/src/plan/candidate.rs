//! A rotor in its place in the engine, with everything that limits what it can become.

use crate::heat::{HotWidth, StateName, ThermalState};
use crate::readings::{Face, Heights, TIPS};
use crate::room::{StepNeed, step_needed_in};
use crate::units::{Expansion, Length};

/// The two areas of a face that are cut apart from each other.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Area {
    /// The ring around bearing and gear that carries the oil seals.
    Land,
    /// The face outside it, with the tips.
    Tip,
}

/// What lies under a face and must not be cut away.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Depth {
    /// How far the gear lies below the land.
    GearRecess,
    /// How far the bearing's edge lies below the land.
    BearingRecess,
    /// Depth of the treated layer.
    TreatedLayer,
    /// Depth of the lead-in at the mouth of the seal grooves.
    LeadIn,
}

/// The most that may be cut from one area of one face, less what must remain.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DepthLimit {
    /// What it protects.
    pub depth: Depth,
    /// On which face.
    pub face: Face,
    /// In which area.
    pub area: Area,
    /// The most that may be cut.
    pub most: Length,
}

/// The step that one thermal state needs, as a straight line in the land width:
/// `needed(B) = at_zero_m + per_width · B`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NeedLine {
    /// Which state.
    pub state: StateName,
    /// Value at no width, in metres; the line is used near the real width only.
    pub at_zero_m: f64,
    /// Change per metre of width.
    pub per_width: f64,
}

impl NeedLine {
    /// The line of one state. The step needed is linear in the land width; the width in `need`
    /// does not matter.
    #[must_use]
    pub fn of(need: &StepNeed, state: &ThermalState) -> Self {
        let at = |land_width| step_needed_in(&StepNeed { land_width, ..*need }, state).to_m();
        let (width, at_zero_m) = (need.greatest_width, at(Length::ZERO));
        Self { state: state.name, at_zero_m, per_width: (at(width) - at_zero_m) / width.to_m() }
    }

    /// The step needed at a land width, in metres; may be negative.
    #[must_use]
    pub fn at(&self, width_m: f64) -> f64 {
        self.at_zero_m + self.per_width * width_m
    }
}

/// The widest land that leaves float in one thermal state.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct JamLimit {
    /// Which state.
    pub state: StateName,
    /// A land this wide is touched by both walls at once.
    pub width: Length,
}

impl JamLimit {
    /// The limit in one state of a housing whose least width is `least` and whose waist lies
    /// `waist` from the shaft axis: its coldest side against the hot land. Wear of the walls is
    /// left out: it gives room only where the land runs.
    #[must_use]
    pub fn of(
        least: Length,
        waist: Length,
        housing: Expansion,
        rotor: Expansion,
        state: &ThermalState,
    ) -> Self {
        let room = HotWidth::new(least, housing, state, waist).least();
        Self { state: state.name, width: room / (1.0 + rotor * state.land) }
    }
}

/// What one seal loses as the room grows: its margin against the spec's limit is
/// `at_zero_m + per_width · B − per_step · step`, to stay at or above zero.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SealMargin {
    /// Which limit of which seal.
    pub name: &'static str,
    /// Value at no width and no step, in metres.
    pub at_zero_m: f64,
    /// Gain per metre of land width; not negative.
    pub per_width: f64,
    /// Loss per metre of step; not negative.
    pub per_step: f64,
}

impl SealMargin {
    /// The margin at a land width and a step, in metres.
    #[must_use]
    pub fn at(&self, width_m: f64, step_m: f64) -> f64 {
        self.at_zero_m + self.per_width * width_m - self.per_step * step_m
    }
}

/// Guards (`1.65 u`) of the sizes of a finished rotor, as they will be measured again.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Guards {
    /// Of a side clearance.
    pub clearance: Length,
    /// Of a step.
    pub step: Length,
    /// Of the difference of two side clearances.
    pub matching: Length,
}

impl Guards {
    /// No guard at all.
    pub(super) const NONE: Self =
        Self { clearance: Length::ZERO, step: Length::ZERO, matching: Length::ZERO };
}

/// A rotor in its place, ready to be planned.
#[derive(Debug, Clone, PartialEq)]
pub struct Candidate {
    /// Its faces as they are.
    pub heights: Heights,
    /// What was already cut from gear land, plain land, gear tips and plain tips, at each tip, in
    /// an earlier operation of the same plan; counts against the cut limits.
    pub taken: [[Length; TIPS]; 4],
    /// Least width of its housing.
    pub width_least: Length,
    /// Greatest width of its housing.
    pub width_greatest: Length,
    /// Outer radius of the land.
    pub land_radius: Length,
    /// Outermost radius of the side face at a tip.
    pub tip_radius: Length,
    /// As it is, it touches outside its lands between its real walls, which the closed forms of
    /// [`Candidate::step_needed`] do not see: it is never left as it is.
    pub touches: bool,
    /// Guards of its finished sizes, as they will be measured.
    pub guards: Guards,
    /// Guards of its sizes as they are: of a rotor measured after its cut, those of its own
    /// readings; else the same as `guards`.
    pub guards_now: Guards,
    /// Step needed in each thermal state, cold first. At least one.
    pub step_needed: Vec<NeedLine>,
    /// Where the land jams, in each thermal state.
    pub jams: Vec<JamLimit>,
    /// Seals that lose their support.
    pub seals: Vec<SealMargin>,
    /// What lies under the faces.
    pub depths: Vec<DepthLimit>,
}

impl Candidate {
    /// The step that the governing state needs at a land width, and which state that is; never
    /// below zero.
    #[must_use]
    pub fn step_needed_at(&self, width: Length) -> (Length, StateName) {
        let (need_m, state) = self
            .step_needed
            .iter()
            .map(|line| (line.at(width.to_m()), line.state))
            .fold((0.0, StateName::Cold), |most, next| if next.0 > most.0 { next } else { most });
        (Length::m(need_m), state)
    }

    /// The step that the first state, cold, needs at a land width; never below zero.
    #[must_use]
    pub fn step_needed_cold(&self, width: Length) -> Length {
        let need_m = self.step_needed.first().map_or(0.0, |line| line.at(width.to_m()));
        Length::m(need_m.max(0.0))
    }

    /// The widest square land that the stock still gives: the lowest point of one land and the
    /// lowest of the other.
    #[must_use]
    pub fn stock_width(&self) -> Length {
        least(&self.heights.gear.land) + least(&self.heights.plain.land)
    }
}

pub(super) fn least(values: &[Length; 3]) -> Length {
    values[0].min(values[1]).min(values[2])
}

pub(super) fn greatest(values: &[Length; 3]) -> Length {
    values[0].max(values[1]).max(values[2])
}
