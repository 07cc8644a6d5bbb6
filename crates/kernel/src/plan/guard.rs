//! Guards of planned sizes: how far inside its tolerance a size must be planned so that it will
//! be proven when it has been cut and measured again.

use super::candidate::Guards;
use crate::readings::{Gauge, guard};
use crate::units::Length;

/// What a finished rotor will be measured with, and what cuts it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shop {
    /// One standard deviation of a finished size.
    pub capability: Length,
    /// For widths.
    pub width_gauge: Gauge,
    /// For steps.
    pub step_gauge: Gauge,
    /// What the housing's width was read with.
    pub housing_gauge: Gauge,
    /// Standard uncertainty that stays in every width of the housing: of its clamp-up where it
    /// was read free, and of its temperature.
    pub housing_uncertainty: Length,
    /// Standard uncertainty that its temperature leaves in every width of the rotor.
    pub rotor_uncertainty: Length,
}

impl Shop {
    /// The guards `1.65 u` [ISO-14253-1]. `u²` is the capability² of each finished size (one land
    /// width for a clearance, land and tip for a step), the repeat² with which the size will be
    /// read, and the zero² of each gauge where it does not cancel: it does in a clearance when one
    /// gauge measured rotor and housing, and between two rotors. A clearance also carries what
    /// clamp-up and temperatures leave in it.
    #[must_use]
    pub fn guards(&self) -> Guards {
        let square = |length: Length| length.to_m() * length.to_m();
        let size = square(self.capability) + square(self.width_gauge.repeat);
        let zeros = if self.width_gauge.id == self.housing_gauge.id {
            0.0
        } else {
            square(self.width_gauge.zero) + square(self.housing_gauge.zero)
        };
        let parts = square(self.housing_uncertainty) + square(self.rotor_uncertainty);
        let step = 2.0 * square(self.capability)
            + square(self.step_gauge.repeat)
            + square(self.step_gauge.zero);
        Guards {
            clearance: guard(Length::m((size + zeros + parts).sqrt())),
            step: guard(Length::m(step.sqrt())),
            matching: guard(Length::m((2.0 * (size + parts)).sqrt())),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::{Expansion, Temperature};

    fn gauge(id: usize, repeat: f64, zero: f64) -> Gauge {
        Gauge {
            id,
            repeat: Length::um(repeat),
            zero: Length::um(zero),
            temperature: Temperature::REFERENCE,
            expansion: Expansion::per_k(11.5e-6),
        }
    }

    #[test]
    fn one_gauge_for_both_parts_cancels_its_zero() {
        let shop = Shop {
            capability: Length::um(2.5),
            width_gauge: gauge(0, 2.0, 1.0),
            step_gauge: gauge(1, 3.0, 0.0),
            housing_gauge: gauge(0, 2.0, 1.0),
            housing_uncertainty: Length::ZERO,
            rotor_uncertainty: Length::ZERO,
        };
        let guards = shop.guards();
        assert!((guards.clearance.to_um() - 1.65 * 10.25f64.sqrt()).abs() < 1e-9);
        assert!((guards.step.to_um() - 1.65 * 21.5f64.sqrt()).abs() < 1e-9);
        assert!((guards.matching.to_um() - 1.65 * 20.5f64.sqrt()).abs() < 1e-9);
        let other = Shop { housing_gauge: gauge(2, 2.0, 1.0), ..shop };
        assert!((other.guards().clearance.to_um() - 1.65 * 12.25f64.sqrt()).abs() < 1e-9);
        let free = Shop { housing_uncertainty: Length::um(5.0), ..shop };
        assert!((free.guards().clearance.to_um() - 1.65 * 35.25f64.sqrt()).abs() < 1e-9);
    }
}
