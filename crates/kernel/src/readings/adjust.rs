//! Least-squares adjustment of a rotor's readings to the heights of its faces, with full
//! covariance and the χ² test of the redundancy.
//!
//! Unknown are the heights of land and tip on both faces at the three tips, 12 in all, and the
//! dial zero of each face whose land run-out was read. The datum (mid-plane) removes one: the
//! lands of both faces have the same sum. What is read at tip `k`:
//!
//! ```text
//! land width = G_k + P_k        gear step = G_k − g_k      gear run-out  = G_k − c_gear
//! tip width  = g_k + p_k        plain step = P_k − p_k     plain run-out = P_k − c_plain
//! ```
//!
//! Without any run-out nothing says how the lands lie to the bore: they are assumed square to it,
//! with a stated uncertainty, by two pseudo-readings of the tilt that no test is made on.
//! Generalised least squares with the covariance of fresh and shared errors [JCGM-100].

use super::fit::Fit;
use super::gauge::{Estimate, Gauge, MeasuredAt, Shared};
use super::heights::{Face, FaceHeights, Heights, TIPS};
use super::misreading::{self, Suspicion};
use super::rows::{HEIGHTS, Row, land, tip};
use super::station::Station;
use crate::units::Length;
use nalgebra::{SMatrix, SVector};
use statrs::distribution::{ChiSquared, ContinuousCDF};
use thiserror::Error;

/// Readings are adjusted in micrometres about the first land width, where all figures are of the
/// same size and nothing is lost to the 80 mm they have in common.
const UM: f64 = 1e6;
/// Non-centrality at which a misreading is found with 80 % power by a test at 0.1 %:
/// 3.29 + 0.84 [BAARDA].
const FOUND_WITH_80_PERCENT: f64 = 4.13;

/// What was read on one rotor.
#[derive(Debug, Clone, PartialEq)]
pub struct RotorReadings {
    /// Thickness across both lands at tips 1, 2, 3.
    pub land_width: [Length; TIPS],
    /// Step of the gear face at each tip.
    pub gear_step: [Length; TIPS],
    /// Step of the plain face at each tip.
    pub plain_step: [Length; TIPS],
    /// Thickness across both faces at each tip; makes misreadings findable.
    pub tip_width: Option<[Length; TIPS]>,
    /// Run-out of the gear face's land with the rotor on its bore.
    pub gear_runout: Option<[Length; TIPS]>,
    /// Run-out of the plain face's land.
    pub plain_runout: Option<[Length; TIPS]>,
    /// What the widths were read with.
    pub width_gauge: Gauge,
    /// What the steps were read with.
    pub step_gauge: Gauge,
    /// What the run-outs were read with.
    pub runout_gauge: Gauge,
    /// The rotor while it was measured.
    pub measured_at: MeasuredAt,
    /// Standard uncertainty of the squareness that is assumed when no run-out was read: height of
    /// the land's edge from either tilt of the lands against the bore.
    pub squareness: Length,
}

/// Whether the lands' squareness to the bore was read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Squareness {
    /// At least one land's run-out was read.
    Measured,
    /// Assumed square, with this standard uncertainty at the land's edge.
    Assumed(Length),
}

/// How well one reading is checked by the others.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Checked {
    /// Which reading.
    pub station: Station,
    /// The least error in it that would be found in four cases of five.
    pub least_found: Length,
}

/// What the redundancy says of the readings.
#[derive(Debug, Clone, PartialEq)]
pub struct Check {
    /// χ² of the residuals.
    pub chi_square: f64,
    /// Its degrees of freedom: 0 means that nothing is checkable.
    pub freedom: usize,
    /// Probability of a χ² this large or larger if gauges are as good as stated; `None` when
    /// nothing is checkable.
    pub probability: Option<f64>,
    /// The readings that others check. Those not listed are not checkable.
    pub checked: Vec<Checked>,
    /// Readings that disagree with the others, the worst first.
    pub suspicions: Vec<Suspicion>,
}

/// The heights of a rotor, adjusted.
#[derive(Debug, Clone, PartialEq)]
pub struct Adjusted {
    /// The heights at 20 °C.
    pub heights: Heights,
    /// How the lands lie to the bore.
    pub squareness: Squareness,
    /// What the redundancy says.
    pub check: Check,
    fresh_um2: SMatrix<f64, HEIGHTS, HEIGHTS>,
    shared_um: Vec<(Shared, SVector<f64, HEIGHTS>)>,
}

/// Why readings cannot be adjusted.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[non_exhaustive]
pub enum AdjustError {
    /// Some height is fixed by no reading.
    #[error("the readings do not fix every height of the rotor")]
    Undetermined,
}

impl Adjusted {
    /// The land width at a tip.
    #[must_use]
    pub fn land_width(&self, tip: usize) -> Estimate {
        self.estimate(&[(land(Face::Gear, tip), 1.0), (land(Face::Plain, tip), 1.0)])
    }

    /// The step of a face at a tip.
    #[must_use]
    pub fn step(&self, face: Face, tip: usize) -> Estimate {
        self.estimate(&[(land(face, tip), 1.0), (self::tip(face, tip), -1.0)])
    }

    /// The height of the land of a face at a tip.
    #[must_use]
    pub fn land_height(&self, face: Face, tip: usize) -> Estimate {
        self.estimate(&[(land(face, tip), 1.0)])
    }

    /// The height of a tip of a face.
    #[must_use]
    pub fn tip_height(&self, face: Face, tip: usize) -> Estimate {
        self.estimate(&[(self::tip(face, tip), 1.0)])
    }

    /// Covariance of the twelve heights in square metres, shared errors included; order: gear
    /// land, plain land, gear tip, plain tip, three tips each.
    #[must_use]
    pub fn covariance_m2(&self) -> [[f64; HEIGHTS]; HEIGHTS] {
        let total =
            self.shared_um.iter().fold(self.fresh_um2, |sum, (_, s)| sum + s * s.transpose());
        std::array::from_fn(|i| std::array::from_fn(|j| total[(i, j)] / (UM * UM)))
    }

    /// A linear function of the heights with its uncertainty.
    fn estimate(&self, terms: &[(usize, f64)]) -> Estimate {
        let mut weights = SVector::<f64, HEIGHTS>::zeros();
        for (index, factor) in terms {
            weights[*index] += factor;
        }
        let flat = flat(&self.heights);
        let value: Length = terms.iter().map(|(i, factor)| flat[*i] * *factor).sum();
        let fresh_um2 = (weights.transpose() * self.fresh_um2 * weights)[0].max(0.0);
        self.shared_um.iter().fold(
            Estimate::new(value, Length::um(fresh_um2.sqrt())),
            |estimate, (source, effect)| estimate.sharing(*source, Length::um(weights.dot(effect))),
        )
    }
}

fn flat(heights: &Heights) -> [Length; HEIGHTS] {
    let mut all = [Length::ZERO; HEIGHTS];
    for k in 0..TIPS {
        all[land(Face::Gear, k)] = heights.gear.land[k];
        all[land(Face::Plain, k)] = heights.plain.land[k];
        all[tip(Face::Gear, k)] = heights.gear.tip[k];
        all[tip(Face::Plain, k)] = heights.plain.tip[k];
    }
    all
}

impl RotorReadings {
    /// Adjusts the readings to heights at 20 °C and looks for misreadings.
    ///
    /// # Errors
    /// [`AdjustError::Undetermined`] when the readings do not fix every height; it cannot happen
    /// with finite readings and gauges whose repeat is above zero.
    pub fn adjust(&self) -> Result<Adjusted, AdjustError> {
        let rows = self.rows();
        let fit = Fit::of(&rows, self.dial_zeros())?;
        let suspicions = misreading::find(&rows_with_stations(&rows), |excluded| {
            let kept: Vec<Row> = rows
                .iter()
                .enumerate()
                .filter(|(i, _)| !excluded.contains(i))
                .map(|(_, row)| row.clone())
                .collect();
            Fit::of(&kept, self.dial_zeros()).map(|fit| {
                let mut tests = fit.tests();
                // Give each test back the number its row has among all rows.
                let numbers: Vec<usize> =
                    (0..rows.len()).filter(|i| !excluded.contains(i)).collect();
                for test in &mut tests {
                    test.row = numbers[test.row];
                }
                tests
            })
        });
        let base_um = self.base_um();
        let heights = fit.heights_um().map(|um| Length::um(um + base_um / 2.0));
        let three = |from: usize| [heights[from], heights[from + 1], heights[from + 2]];
        let freedom = fit.freedom;
        let checked = fit
            .tests()
            .iter()
            .filter_map(|test| {
                rows[test.row].station.map(|station| Checked {
                    station,
                    least_found: Length::um(FOUND_WITH_80_PERCENT * test.error_u_um),
                })
            })
            .collect();
        Ok(Adjusted {
            heights: Heights {
                gear: FaceHeights {
                    land: three(land(Face::Gear, 0)),
                    tip: three(tip(Face::Gear, 0)),
                },
                plain: FaceHeights {
                    land: three(land(Face::Plain, 0)),
                    tip: three(tip(Face::Plain, 0)),
                },
            },
            squareness: if self.dial_zeros() > 0 {
                Squareness::Measured
            } else {
                Squareness::Assumed(self.squareness)
            },
            check: Check {
                chi_square: fit.chi_square,
                freedom,
                probability: probability(fit.chi_square, freedom),
                checked,
                suspicions,
            },
            fresh_um2: fit.fresh_um2(&rows),
            shared_um: fit.shared_um(&rows),
        })
    }
}

fn rows_with_stations(rows: &[Row]) -> Vec<(Option<Station>, f64)> {
    rows.iter().map(|row| (row.station, row.reading_um)).collect()
}

fn probability(chi_square: f64, freedom: usize) -> Option<f64> {
    if freedom == 0 {
        return None;
    }
    ChiSquared::new(freedom as f64).ok().map(|law| law.sf(chi_square.max(0.0)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::normals::Normals;
    use crate::readings::sample;

    #[test]
    fn heights_of_a_consistent_rotor_with_all_its_readings() {
        let adjusted = sample::full().adjust().unwrap();
        let expected = [
            (adjusted.heights.gear.land, [39.9565, 39.9625, 39.9585]),
            (adjusted.heights.plain.land, [39.9585, 39.9595, 39.9595]),
            (adjusted.heights.gear.tip, [39.8615, 39.8745, 39.8565]),
            (adjusted.heights.plain.tip, [39.8535, 39.8605, 39.8665]),
        ];
        for (heights, expected) in expected {
            for k in 0..TIPS {
                assert!((heights[k].to_mm() - expected[k]).abs() < 1e-9, "{heights:?}");
            }
        }
        assert_eq!(adjusted.squareness, Squareness::Measured);
        assert_eq!(adjusted.check.freedom, 5);
        assert!(adjusted.check.chi_square < 1e-9);
        assert!(adjusted.check.suspicions.is_empty());
    }

    #[test]
    fn squareness_assumed_splits_each_width_in_halves_and_carries_its_uncertainty() {
        let mut readings = sample::full();
        (readings.gear_runout, readings.plain_runout, readings.tip_width) = (None, None, None);
        let adjusted = readings.adjust().unwrap();
        assert_eq!(adjusted.check.freedom, 0);
        assert_eq!(adjusted.check.probability, None);
        assert!(adjusted.check.checked.is_empty());
        assert!((adjusted.heights.gear.land[1].to_mm() - 39.961).abs() < 1e-9);
        // Width 2 µm fresh and 1 µm shared, halved; tilt 5 µm at the edge; the datum takes the
        // mean of the tilt at the three tips, which is zero.
        let expected = ((4.0 + 1.0) / 4.0 + 25.0f64).sqrt();
        let got = adjusted.land_height(Face::Gear, 0).uncertainty().to_um();
        assert!((got - expected).abs() < 1e-6, "{got} {expected}");
        let width = adjusted.land_width(0).uncertainty().to_um();
        assert!((width - 5f64.sqrt()).abs() < 1e-9, "a tilt does not change a width: {width}");
    }

    #[test]
    fn degrees_of_freedom_by_what_was_read() {
        for (tip_width, runouts, freedom) in
            [(true, true, 5), (true, false, 3), (false, true, 2), (false, false, 0)]
        {
            let mut readings = sample::full();
            if !tip_width {
                readings.tip_width = None;
            }
            if !runouts {
                (readings.gear_runout, readings.plain_runout) = (None, None);
            }
            assert_eq!(readings.adjust().unwrap().check.freedom, freedom);
        }
    }

    #[test]
    fn one_land_run_out_is_enough_for_squareness() {
        let mut readings = sample::full();
        readings.plain_runout = None;
        let adjusted = readings.adjust().unwrap();
        assert_eq!(adjusted.squareness, Squareness::Measured);
        assert!((adjusted.heights.gear.land[1].to_mm() - 39.9625).abs() < 1e-9);
        assert!((adjusted.heights.plain.land[1].to_mm() - 39.9595).abs() < 1e-9);
    }

    /// Propagation of distributions by simulation [JCGM-101]: readings with errors drawn from
    /// their stated distributions, shared zeros and temperature included, are adjusted again and
    /// again. The spread of each height must be the stated one, and so must the mean χ².
    #[test]
    fn stated_uncertainties_are_those_of_a_simulation() {
        const RUNS: usize = 4000;
        // A sample standard deviation of 4000 scatters by 1/√8000 = 1.1 %; 5 % is more than four
        // times that.
        const SHARE: f64 = 0.05;
        let mut truth = sample::full();
        truth.step_gauge.zero = Length::um(1.5);
        truth.measured_at.uncertainty_k = 1.0;
        let stated = truth.adjust().unwrap();
        let exact = flat(&stated.heights);
        let mut normals = Normals(1);
        let mut squares = [0.0; HEIGHTS];
        let mut chi_square = 0.0;
        for _ in 0..RUNS {
            let (width_zero, step_zero) = (normals.next() * 1.0, normals.next() * 1.5);
            let heat = 1.0 - 11e-6 * normals.next();
            let mut read = |values: [Length; 3], repeat: f64, zero: f64| {
                values.map(|v| v * heat + Length::um(zero + repeat * normals.next()))
            };
            let mut drawn = truth.clone();
            drawn.land_width = read(truth.land_width, 2.0, width_zero);
            drawn.tip_width = truth.tip_width.map(|v| read(v, 2.0, width_zero));
            drawn.gear_step = read(truth.gear_step, 3.0, step_zero);
            drawn.plain_step = read(truth.plain_step, 3.0, step_zero);
            drawn.gear_runout = truth.gear_runout.map(|v| read(v, 3.0, 0.0));
            drawn.plain_runout = truth.plain_runout.map(|v| read(v, 3.0, 0.0));
            let adjusted = drawn.adjust().unwrap();
            chi_square += adjusted.check.chi_square / RUNS as f64;
            for (sum, (got, exact)) in
                squares.iter_mut().zip(flat(&adjusted.heights).iter().zip(&exact))
            {
                *sum += (*got - *exact).to_um().powi(2) / RUNS as f64;
            }
        }
        let covariance = stated.covariance_m2();
        for (i, square) in squares.iter().enumerate() {
            let u_um = covariance[i][i].sqrt() * UM;
            assert!((square.sqrt() / u_um - 1.0).abs() < SHARE, "{i}: {} {u_um}", square.sqrt());
        }
        // Mean of χ² with 5 degrees of freedom: 5, its own spread √(10/4000) = 0.05.
        assert!((chi_square - 5.0).abs() < 0.25, "{chi_square}");
    }

    #[test]
    fn the_zero_of_the_micrometer_stays_in_a_width_and_cancels_between_two() {
        let adjusted = sample::full().adjust().unwrap();
        let (first, second) = (adjusted.land_width(0), adjusted.land_width(1));
        let mut without_zero = sample::full();
        without_zero.width_gauge.zero = Length::ZERO;
        let exact = without_zero.adjust().unwrap();
        let both = first.minus(&second).uncertainty();
        let expected = exact.land_width(0).minus(&exact.land_width(1)).uncertainty();
        assert!((both - expected).abs() < Length::um(1e-6));
        assert!(first.uncertainty() > exact.land_width(0).uncertainty());
    }
}
