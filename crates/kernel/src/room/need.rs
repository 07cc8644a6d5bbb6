//! The step that a rotor needs so that its lands touch before its tips do, in closed form.
//!
//! Equal flat faces, land height `B/2`, tip height `B/2 − δ`, walls at `W/2` plus wear. Let
//! `ρ = r_T/r_L` and `c = (W − B)/2`. At a tip behind, the lands allow
//! `z + s·x ≤ (ρ+1)/2 (c + w_rear,land) + (ρ−1)/2 (c + w_front,land)`: the point of the land under that
//! tip behind and the opposite one in front, weighted so that both slopes and shift match. The
//! gap left is `c + δ + w_rear,tip` less that, so the gap is not negative exactly when
//!
//! `δ ≥ (ρ − 1) [c + (w_front,land + w_rear,land)/2] + (w_land − w_tip)` of the wall where that is largest.
//!
//! Wear `w` of the land tracks of both walls alone therefore asks for `w ρ` more step: `w (ρ − 1)`
//! through the clearance and `w` because the tips' track is not worn.
//!
//! Hot, `c` is that of the hot sizes, with the whole housing as wide as its hottest side, and the
//! tips, hotter than the land, stand up by `½ B α_r (ΔT_tip − ΔT_land)` more. Two small things
//! make the closed form ask for a little more than the room itself does: the wedge does not lie
//! under the whole rotor, and a step cut at 20 °C grows by `1 + α_r ΔT_tip` (0.2 µm).

use crate::heat::{STATES, ThermalState, grown};
use crate::units::{Expansion, Length};

/// Wear of one wall on the two tracks, depths, zero or more.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct TrackWear {
    /// Under the land.
    pub land: Length,
    /// Under the tips.
    pub tip: Length,
}

/// What the step needed depends on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StepNeed {
    /// Greatest width of the rotor housing, `W⁺`.
    pub greatest_width: Length,
    /// Land width `B`, the least one if the lands are not square: that asks for most.
    pub land_width: Length,
    /// Outer radius of the land (or where a taper starts), positive.
    pub land_radius: Length,
    /// Outermost radius of the side face at a tip.
    pub tip_radius: Length,
    /// The wall in front.
    pub front: TrackWear,
    /// The wall behind.
    pub rear: TrackWear,
    /// Of the rotor.
    pub rotor_expansion: Expansion,
    /// Of the rotor housing.
    pub housing_expansion: Expansion,
}

/// The step needed at 20 °C so that it suffices in every state.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HotNeed {
    /// In each state, in their order.
    pub per_state: [Length; STATES],
    /// Which of them asks for most (the first, if several do).
    pub governing: usize,
}

impl HotNeed {
    /// The greatest.
    #[must_use]
    pub fn step(&self) -> Length {
        self.per_state[self.governing]
    }
}

/// The step needed at 20 °C. Negative if the lands jam without any tilt: then no step is wanting,
/// clearance is.
#[must_use]
pub fn step_needed(need: &StepNeed) -> Length {
    step_needed_in(need, &ThermalState::COLD)
}

/// The step to cut at 20 °C so that it suffices in one state.
#[must_use]
pub fn step_needed_in(need: &StepNeed, state: &ThermalState) -> Length {
    let lever = need.tip_radius / need.land_radius - 1.0;
    let width = grown(need.greatest_width, need.housing_expansion, state.housing + state.hot_arc);
    let land_width = grown(need.land_width, need.rotor_expansion, state.land);
    let clearance = (width + need.front.land + need.rear.land - land_width) * 0.5;
    let tips_stand_up =
        need.land_width * (0.5 * need.rotor_expansion.to_per_k() * (state.tip - state.land).to_k());
    let track = (need.front.land - need.front.tip).max(need.rear.land - need.rear.tip);
    clearance * lever + tips_stand_up + track
}

/// The step to cut at 20 °C so that it suffices in every state, and which state asks for it.
#[must_use]
pub fn step_needed_hot(need: &StepNeed, states: &[ThermalState; STATES]) -> HotNeed {
    let mut per_state = [Length::ZERO; STATES];
    let mut governing = 0;
    for (i, state) in states.iter().enumerate() {
        per_state[i] = step_needed_in(need, state);
        if per_state[i] > per_state[governing] {
            governing = i;
        }
    }
    HotNeed { per_state, governing }
}

#[cfg(test)]
mod tests {
    use super::{StepNeed, TrackWear, step_needed, step_needed_hot};
    use crate::heat::ASSUMED;
    use crate::units::{Expansion, Length};

    fn need() -> StepNeed {
        StepNeed {
            greatest_width: Length::mm(80.014),
            land_width: Length::mm(79.788),
            land_radius: Length::mm(61.0),
            tip_radius: Length::mm(99.0),
            front: TrackWear::default(),
            rear: TrackWear::default(),
            rotor_expansion: Expansion::per_k(11.0e-6),
            housing_expansion: Expansion::per_k(21.5e-6),
        }
    }

    #[test]
    fn cold_it_is_the_clearance_times_the_lever() {
        // (99/61 − 1)·(80.014 − 79.788)/2 mm
        let expected = 38.0 / 61.0 * 0.113;
        assert!((step_needed(&need()).to_mm() - expected).abs() < 1e-12);
    }

    #[test]
    fn wear_of_both_land_tracks_counts_by_the_ratio_of_radii() {
        let w = Length::um(20.0);
        let both = TrackWear { land: w, tip: Length::ZERO };
        let worn = StepNeed { front: both, rear: both, ..need() };
        let more = step_needed(&worn) - step_needed(&need());
        assert!((more - w * (99.0 / 61.0)).abs() < Length::um(1e-9));
        // Tips' tracks worn as deep: only the clearance counts.
        let even = TrackWear { land: w, tip: w };
        let more =
            step_needed(&StepNeed { front: even, rear: even, ..need() }) - step_needed(&need());
        assert!((more - w * (38.0 / 61.0)).abs() < Length::um(1e-9));
    }

    #[test]
    fn steady_heat_governs_with_the_assumed_rises() {
        let hot = step_needed_hot(&need(), &ASSUMED);
        assert_eq!(hot.governing, 2);
        // By hand, µm: W⁺ 80014·(1+21.5e-6·90) = 80168.82709, B 79788·(1+11e-6·90) = 79866.99012,
        // c 150.918485, ·38/61 = 94.0148; ½·79788·11e-6·50 = 21.9417
        assert!((hot.step().to_um() - 115.9565).abs() < 1e-3, "{}", hot.step().to_um());
        assert_eq!(hot.per_state[0], step_needed(&need()));
    }
}
