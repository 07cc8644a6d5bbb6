//! The step that a rotor lacks for a chance of contact that is borne, as far as the scales are known.

use super::error::CalibrationError;
use super::model::Values;
use super::posterior::Posterior;
use super::seen::{BuildSeen, TipSeen};
use statrs::distribution::{ContinuousCDF, Normal};

/// Nine in ten lie between these shares.
const BAND: [f64; 3] = [0.05, 0.5, 0.95];

/// What a step lacks; a gap goes with the step one to one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StepMissing {
    /// As likely more as less, m; negative: so much less would do.
    pub median_m: f64,
    /// Nine in ten lie from here, m.
    pub low_m: f64,
    /// To here, m.
    pub high_m: f64,
    /// How likely nothing is missing.
    pub suffices: f64,
}

impl Posterior {
    /// The step that the worst of a rotor's tips lacks so that it touches with this chance. For known
    /// scales and margin a tip lacks `m − g + z √(u² + v²)`: `g` its gap, `u` and `v` its own and the
    /// rotor's uncertainty, `z` the standard normal value that is passed with that chance; what is
    /// known of scales and margin spreads it. What the tips showed is not looked at. The places of the
    /// sum are some way apart: the ends are good to a fifteenth of the spread.
    ///
    /// # Errors
    /// [`CalibrationError`] for no tips, tips or an uncertainty that make none, or a chance that is not
    /// between 0 and 1.
    pub fn step_missing(
        &self,
        tips: &[TipSeen],
        shared_m: f64,
        chance: f64,
    ) -> Result<StepMissing, CalibrationError> {
        let tips: Vec<TipSeen> =
            tips.iter().map(|tip| TipSeen { rotor: 0, ..tip.clone() }).collect();
        BuildSeen { name: "looked at".into(), shared_m: vec![shared_m], tips: tips.clone() }
            .check()?;
        if tips.is_empty() || !(chance > 0.0 && chance < 1.0) {
            return Err(CalibrationError::Chance { tips: tips.len(), chance });
        }
        let passed = Normal::standard().inverse_cdf(1.0 - chance);
        let mut missing: Vec<(f64, f64)> = self
            .places
            .iter()
            .zip(&self.weights)
            .map(|(place, weight)| {
                let Values { tilt, heat, margin_m, .. } = Values::of(place, &self.priors);
                let of = |tip: &TipSeen| {
                    margin_m - tip.gap.at(tilt, heat) + passed * tip.own_m.hypot(shared_m)
                };
                (tips.iter().map(of).fold(f64::NEG_INFINITY, f64::max), *weight)
            })
            .collect();
        missing.sort_by(|a, b| a.0.total_cmp(&b.0));
        let whole: f64 = missing.iter().map(|(_, weight)| weight).sum();
        let suffices: f64 =
            missing.iter().filter(|(lacks, _)| *lacks <= 0.0).map(|(_, weight)| weight).sum();
        let [low_m, median_m, high_m] = BAND.map(|share| at(&missing, share * whole));
        Ok(StepMissing { median_m, low_m, high_m, suffices: suffices / whole })
    }
}

/// The value below which so much weight lies, straight between the middles of neighbours.
fn at(sorted: &[(f64, f64)], wanted: f64) -> f64 {
    let mut below = 0.0;
    let mut last: Option<(f64, f64)> = None;
    for (value, weight) in sorted {
        let middle = below + 0.5 * weight;
        if middle >= wanted {
            return last.map_or(*value, |(before, at)| {
                let part = if middle > at { (wanted - at) / (middle - at) } else { 1.0 };
                before + part * (value - before)
            });
        }
        last = Some((*value, middle));
        below += weight;
    }
    last.map_or(f64::NAN, |(value, _)| value)
}

#[cfg(test)]
mod tests {
    use super::super::{ASSUMED, Contact, Priors, calibrate};
    use super::*;
    use crate::normals::Normals;
    use crate::readings::Face;
    use crate::speed::engine::GapTable;

    fn tip(number: usize, at_none_um: f64) -> TipSeen {
        TipSeen {
            rotor: 0,
            face: Face::Gear,
            tip: number,
            gap: GapTable::straight(at_none_um * 1e-6, 50e-6, 25e-6),
            own_m: 4e-6,
            contact: Contact::None,
        }
    }

    fn none(priors: &Priors) -> Posterior {
        calibrate(priors, &[], &[], &mut |_| true).unwrap()
    }

    /// Scales that are all but known leave the closed form.
    #[test]
    fn known_scales_leave_the_closed_form() {
        let known = Priors { tilt_log_sd: 1e-4, heat_log_sd: 1e-4, margin_sd_m: 1e-9, ..ASSUMED };
        let found = none(&known).step_missing(&[tip(1, 90.0), tip(2, 80.0)], 3e-6, 0.05).unwrap();
        // 1.644854 standard deviations of 5 um over what is left of 80 um: 5 um.
        let wanted = -(80.0 - 50.0 - 25.0) * 1e-6 + 1.644_854 * 5e-6;
        assert!((found.median_m - wanted).abs() < 2e-8, "{found:?} {wanted:e}");
        assert!(found.high_m - found.low_m < 1e-7 && found.suffices < 1e-6, "{found:?}");
    }

    /// What is assumed alone, against draws of it.
    #[test]
    fn what_is_assumed_alone_is_what_draws_of_it_say() {
        let tips = [tip(1, 95.0), tip(2, 100.0)];
        let found = none(&ASSUMED).step_missing(&tips, 3e-6, 0.05).unwrap();
        let mut normals = Normals(11);
        let mut drawn: Vec<f64> = (0..40_000)
            .map(|_| {
                let tilt = (ASSUMED.tilt_log_sd * normals.next()).exp();
                let heat = (ASSUMED.heat_log_sd * normals.next()).exp();
                let margin_m = ASSUMED.margin_sd_m * normals.next();
                let gap_m = tips[0].gap.at(tilt, heat);
                margin_m - gap_m + 1.644_854 * 5e-6
            })
            .collect();
        drawn.sort_by(f64::total_cmp);
        for (found, share) in [(found.low_m, 0.05), (found.median_m, 0.5), (found.high_m, 0.95)] {
            let wanted = drawn[(share * drawn.len() as f64) as usize];
            // A fifteenth of the spread, which is 22 um.
            assert!((found - wanted).abs() < 1.5e-6, "{share}: {found:e} {wanted:e}");
        }
        let enough = drawn.iter().filter(|lacks| **lacks <= 0.0).count() as f64 / 40_000.0;
        assert!((found.suffices - enough).abs() < 0.02, "{found:?} {enough}");
    }

    #[test]
    fn what_makes_no_question_is_refused() {
        let posterior = none(&ASSUMED);
        assert!(posterior.step_missing(&[], 3e-6, 0.05).is_err());
        for chance in [0.0, 1.0, -0.1, f64::NAN] {
            assert!(posterior.step_missing(&[tip(1, 90.0)], 3e-6, chance).is_err(), "{chance}");
        }
        assert!(posterior.step_missing(&[tip(1, 90.0)], -1.0, 0.05).is_err());
    }
}
