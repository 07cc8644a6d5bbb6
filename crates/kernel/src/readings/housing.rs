//! The width of a rotor housing as clamped: the room a rotor has.

use super::gauge::{Estimate, Gauge, MeasuredAt, Shared};
use crate::units::Length;

/// How a housing was held while its width was read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum HousingState {
    /// Under its tension bolts: the reading is the width.
    Clamped,
    /// Lying free: the tension bolts will shorten it by `by`, known to `uncertainty`.
    Free {
        /// How much the tension bolts shorten it.
        by: Length,
        /// Standard uncertainty of that.
        uncertainty: Length,
    },
}

/// The width readings of one housing, in the order of its stations.
#[derive(Debug, Clone, PartialEq)]
pub struct HousingReadings {
    /// One reading at each station; at least one.
    pub width: Vec<Length>,
    /// How it was held.
    pub state: HousingState,
    /// What it was read with.
    pub gauge: Gauge,
    /// The housing while it was read.
    pub measured_at: MeasuredAt,
}

/// The width of a housing at 20 °C, clamped.
#[derive(Debug, Clone, PartialEq)]
pub struct HousingWidth {
    /// At each station.
    pub stations: Vec<Length>,
    /// The least reading as it stands: judges jamming and side clearance.
    pub least: Estimate,
    /// The greatest reading as it stands: judges the step.
    pub greatest: Estimate,
}

impl HousingReadings {
    /// Width at 20 °C as clamped. `None` when there is no reading.
    #[must_use]
    pub fn width(&self) -> Option<HousingWidth> {
        let factor = self.measured_at.to_reference(&self.gauge);
        let (clamp_up, clamp_up_u) = match self.state {
            HousingState::Clamped => (Length::ZERO, Length::ZERO),
            HousingState::Free { by, uncertainty } => (by, uncertainty),
        };
        let stations: Vec<Length> = self.width.iter().map(|w| *w * factor - clamp_up).collect();
        let part = self.measured_at.part;
        let estimate = |value: Length| {
            let heat =
                value * (self.measured_at.expansion.to_per_k() * self.measured_at.uncertainty_k);
            Estimate::new(value, self.gauge.repeat)
                .sharing(Shared::Zero(self.gauge.id), self.gauge.zero)
                .sharing(Shared::Temperature(part), -heat)
                .sharing(Shared::ClampUp(part), -clamp_up_u)
        };
        let least = stations.iter().copied().reduce(Length::min)?;
        let greatest = stations.iter().copied().reduce(Length::max)?;
        Some(HousingWidth { least: estimate(least), greatest: estimate(greatest), stations })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::{Expansion, Temperature};

    fn readings(state: HousingState, temperature: f64) -> HousingReadings {
        HousingReadings {
            width: [80.010, 80.014, 80.008].map(Length::mm).to_vec(),
            state,
            gauge: Gauge {
                id: 0,
                repeat: Length::um(2.0),
                zero: Length::um(1.0),
                temperature: Temperature::REFERENCE,
                expansion: Expansion::per_k(11.5e-6),
            },
            measured_at: MeasuredAt {
                part: 7,
                temperature: Temperature::deg_c(temperature),
                uncertainty_k: 0.5,
                expansion: Expansion::per_k(21.5e-6),
            },
        }
    }

    #[test]
    fn least_and_greatest_are_readings_not_a_mean() {
        let width = readings(HousingState::Clamped, 20.0).width().unwrap();
        assert!((width.least.value().to_mm() - 80.008).abs() < 1e-12);
        assert!((width.greatest.value().to_mm() - 80.014).abs() < 1e-12);
    }

    #[test]
    fn a_free_width_loses_its_clamp_up_and_carries_its_uncertainty() {
        let free = HousingState::Free { by: Length::um(30.0), uncertainty: Length::um(5.0) };
        let width = readings(free, 20.0).width().unwrap();
        assert!((width.least.value().to_mm() - 79.978).abs() < 1e-12);
        let heat: f64 = 79_978.0 * 21.5e-6 * 0.5;
        let expected = (4.0 + 1.0 + 25.0 + heat * heat).sqrt();
        assert!((width.least.uncertainty().to_um() - expected).abs() < 1e-9);
    }

    #[test]
    fn a_warm_housing_is_taken_back_to_20_degrees() {
        let width = readings(HousingState::Clamped, 30.0).width().unwrap();
        assert!((width.least.value().to_mm() - 80.008 * (1.0 - 215e-6)).abs() < 1e-12);
    }
}
