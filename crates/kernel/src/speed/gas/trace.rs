//! Pressure in a chamber over a cycle: 1080 degrees of the shaft, one value a degree.

use super::super::range::OutOfRange;
use super::chamber::GasChamber;
use super::error::GasError;

/// Absolute pressure at each whole degree of the shaft after the chamber's firing top dead
/// centre; with temperature and mass where it was computed rather than measured.
#[derive(Debug, Clone, PartialEq)]
pub struct Trace {
    pressure_pa: Vec<f64>,
    temperature_k: Option<Vec<f64>>,
    mass_kg: Option<Vec<f64>>,
}

impl Trace {
    /// Values in a trace.
    pub const COUNT: usize = 1080;
    /// What a pressure must lie between, Pa.
    pub const PRESSURE_PA: (f64, f64) = (1e2, 1e8);

    /// A trace of the same pressure everywhere.
    ///
    /// # Errors
    /// A pressure outside [`Trace::PRESSURE_PA`].
    pub fn uniform(pressure_pa: f64) -> Result<Self, GasError> {
        Self::measured(vec![pressure_pa; Self::COUNT])
    }

    /// From pressures alone, one a degree from 0 to 1079.
    ///
    /// # Errors
    /// Not 1080 of them, or one outside [`Trace::PRESSURE_PA`].
    pub fn measured(pressure_pa: Vec<f64>) -> Result<Self, GasError> {
        Self { pressure_pa, temperature_k: None, mass_kg: None }.checked()
    }

    /// From a computed cycle.
    pub(super) fn computed(
        pressure_pa: Vec<f64>,
        temperature_k: Vec<f64>,
        mass_kg: Vec<f64>,
    ) -> Result<Self, GasError> {
        Self { pressure_pa, temperature_k: Some(temperature_k), mass_kg: Some(mass_kg) }.checked()
    }

    fn checked(self) -> Result<Self, GasError> {
        let count = self.pressure_pa.len();
        if count != Self::COUNT {
            #[expect(clippy::cast_precision_loss, reason = "a count shown")]
            return Err(OutOfRange {
                quantity: "the number of pressures",
                value: count as f64,
                unit: "",
                least: 1080.0,
                most: 1080.0,
            }
            .into());
        }
        let (least, most) = Self::PRESSURE_PA;
        for (theta_deg, pressure_pa) in self.pressure_pa.iter().enumerate() {
            // A NaN is outside.
            if !(least..=most).contains(pressure_pa) {
                return Err(GasError::NoPressure { theta_deg, pressure_pa: *pressure_pa });
            }
        }
        Ok(self)
    }

    /// Absolute pressures at 0, 1, … 1079 degrees, Pa.
    #[must_use]
    pub fn pressure_pa(&self) -> &[f64] {
        &self.pressure_pa
    }

    /// Temperatures at the same angles, K, where they were computed.
    #[must_use]
    pub fn temperature_k(&self) -> Option<&[f64]> {
        self.temperature_k.as_deref()
    }

    /// Masses in the chamber at the same angles, kg, where they were computed.
    #[must_use]
    pub fn mass_kg(&self) -> Option<&[f64]> {
        self.mass_kg.as_deref()
    }

    /// Largest pressure, Pa, and its angle in degrees from −540 to 540, by the parabola through
    /// the three highest neighbours.
    #[must_use]
    pub fn peak(&self) -> (f64, f64) {
        let p = &self.pressure_pa;
        let mut top = 0;
        for i in 1..Self::COUNT {
            if p[i] > p[top] {
                top = i;
            }
        }
        let (left, right) = (p[(top + 1079) % 1080], p[(top + 1) % 1080]);
        let bend = left - 2.0 * p[top] + right;
        let shift = if bend < 0.0 { 0.5 * (left - right) / bend } else { 0.0 };
        #[expect(clippy::cast_precision_loss, reason = "below 1080")]
        let at = top as f64 + shift;
        let peak_pa = p[top] - 0.25 * (left - right) * shift;
        (peak_pa, if at >= 540.0 { at - 1080.0 } else { at })
    }

    /// Work of a chamber over the cycle, J: the sum over degrees, whose error for a smooth trace
    /// is far below that of a step.
    #[must_use]
    #[expect(clippy::cast_precision_loss, reason = "a degree below 1080")]
    pub fn work_j(&self, chamber: &GasChamber) -> f64 {
        let sum: f64 = self
            .pressure_pa
            .iter()
            .enumerate()
            .map(|(degree, p)| p * chamber.at(degree as f64).slope_m3_per_rad)
            .sum();
        sum * 1f64.to_radians()
    }
}

#[cfg(test)]
mod tests {
    use super::super::model::tests::{boosted, chamber};
    use super::super::{GasModel, Scatter};
    use super::*;

    #[test]
    fn work_from_the_trace_is_the_work_the_integration_did() {
        let model = GasModel::new(boosted()).unwrap();
        let mean = model.mean_cycle().unwrap();
        let sum_j = mean.trace.work_j(&boosted().chamber);
        assert!((sum_j / mean.report.work_j - 1.0).abs() < 1e-6, "{sum_j}");
        let knocking = model.scattered(&mean, Scatter::knocking()).unwrap();
        let sum_j = knocking.trace.work_j(&boosted().chamber);
        assert!((sum_j / knocking.report.work_j - 1.0).abs() < 1e-4, "{sum_j}");
    }

    #[test]
    fn a_peak_between_degrees_is_found() {
        let p = |i: usize| {
            let off = (i as f64 - 33.3 + 540.0).rem_euclid(1080.0) - 540.0;
            1e5 + 80e5 * (-(off / 20.0).powi(2)).exp()
        };
        let (peak_pa, at_deg) = Trace::measured((0..1080).map(p).collect()).unwrap().peak();
        assert!((at_deg - 33.3).abs() < 1e-3 && (peak_pa / 81e5 - 1.0).abs() < 1e-6);
    }

    #[test]
    fn uniform_pressure_does_no_work_and_no_pressure_is_no_trace() {
        let work_j = Trace::uniform(50e5).unwrap().work_j(&chamber(9.0));
        assert!(work_j.abs() < 1e-9 * 50e5 * chamber(9.0).swept_m3());
        assert!(Trace::uniform(f64::NAN).is_err());
        assert!(Trace::uniform(-1.0).is_err());
        assert!(Trace::measured(vec![1e5; 720]).is_err());
    }
}
