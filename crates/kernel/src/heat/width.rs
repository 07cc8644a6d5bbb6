//! Sizes in a thermal state: a length that has grown, and the wedge of a housing.

use super::state::ThermalState;
use crate::units::{Expansion, Length, TemperatureDifference};

/// A size at 20 °C after a rise: `L (1 + α ΔT)`, with the mean expansion `α` over the range.
#[must_use]
pub fn grown(size: Length, expansion: Expansion, rise: TemperatureDifference) -> Length {
    size * (1.0 + expansion.to_per_k() * rise.to_k())
}

/// The width of a housing in a thermal state, as a function of the place along the engine's `y`.
///
/// On the cold waist (`y = −waist`) it is `W (1 + α ΔT_housing)`; the hot arc adds
/// `α W ΔT_hot_arc · ½ (1 + y / waist)`, linear in `y`, half of it on each wall. The linear form
/// is an assumption of this project.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HotWidth {
    /// Width on the cold waist.
    cold_side: Length,
    /// What the hot waist has more than the cold one.
    wedge: Length,
    /// Distance of the waist from the shaft axis, `R − e + a`.
    waist: Length,
}

impl HotWidth {
    /// The width `width` (at 20 °C, positive) of a housing of expansion `expansion` whose waist is
    /// `waist` (positive) from the shaft axis.
    #[must_use]
    pub fn new(width: Length, expansion: Expansion, state: &ThermalState, waist: Length) -> Self {
        Self {
            cold_side: grown(width, expansion, state.housing),
            wedge: width * (expansion.to_per_k() * state.hot_arc.to_k()),
            waist,
        }
    }

    /// Width where the housing is coldest.
    #[must_use]
    pub fn cold_side(&self) -> Length {
        self.cold_side
    }

    /// Width where the housing is hottest.
    #[must_use]
    pub fn hot_side(&self) -> Length {
        self.cold_side + self.wedge
    }

    /// The least width anywhere between the two waists.
    #[must_use]
    pub fn least(&self) -> Length {
        self.cold_side.min(self.hot_side())
    }

    /// Whether the walls are parallel in this state.
    #[must_use]
    pub fn is_parallel(&self) -> bool {
        self.wedge == Length::ZERO
    }

    /// Width at `y` in engine axes.
    #[must_use]
    pub fn at(&self, y: Length) -> Length {
        self.cold_side + self.wedge * (0.5 * (1.0 + y / self.waist))
    }

    /// Change of the width per length along `y`, a pure number.
    #[must_use]
    pub fn slope(&self) -> f64 {
        0.5 * (self.wedge / self.waist)
    }
}

#[cfg(test)]
mod tests {
    use super::{HotWidth, grown};
    use crate::heat::ThermalState;
    use crate::units::{Expansion, Length, TemperatureDifference};

    /// 80 mm at 80 K over the reference: exact products of the definition.
    #[test]
    fn eighty_millimetres_at_eighty_kelvin() {
        for (per_k, um) in [(11.0e-6, 70.40), (21.5e-6, 137.60), (12.3e-6, 78.72)] {
            let rise = TemperatureDifference::k(80.0);
            let hot = grown(Length::mm(80.0), Expansion::per_k(per_k), rise);
            assert!(((hot - Length::mm(80.0)).to_um() - um).abs() < 1e-9);
        }
    }

    #[test]
    fn the_wedge_is_nothing_on_the_cold_waist_and_all_on_the_hot_one() {
        let waist = Length::mm(89.5);
        let alu = Expansion::per_k(21.5e-6);
        let hot = HotWidth::new(Length::mm(80.0), alu, &ThermalState::STEADY, waist);
        assert!((hot.at(-waist) - hot.cold_side()).abs() < Length::um(1e-9));
        assert!((hot.at(waist) - hot.hot_side()).abs() < Length::um(1e-9));
        // 80 mm · 21.5e-6 /K · 20 K
        assert!(((hot.hot_side() - hot.cold_side()).to_um() - 34.4).abs() < 1e-9);
        let rise = hot.at(Length::mm(1.0)) - hot.at(Length::ZERO);
        assert!((rise.to_mm() - hot.slope()).abs() < 1e-12);
        assert!(!hot.is_parallel());
    }
}
