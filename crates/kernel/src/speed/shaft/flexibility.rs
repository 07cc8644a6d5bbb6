//! How the standing shaft yields at its stations: what contact bends it back with.

use super::error::ShaftError;
use super::response::solve_pair;
use super::shaft::Shaft;
use nalgebra::{Complex, DMatrix};

/// Static answers of the stations to unit loads on the stations. Rows are the answer, columns the
/// cause; of station `k` row and column `2 k` are the x part, `2 k + 1` the y part, both in the
/// stationary frame. Moments are in slope coordinates. With supports whose stiffness is symmetric
/// the first and the last are symmetric, and the other two are each other's transpose.
#[derive(Debug, Clone, PartialEq)]
pub struct Flexibility {
    /// Slope per moment, rad/(N m).
    pub slope_per_moment: DMatrix<f64>,
    /// Slope per force, rad/N.
    pub slope_per_force: DMatrix<f64>,
    /// Deflection per moment, m/(N m).
    pub deflection_per_moment: DMatrix<f64>,
    /// Deflection per force, m/N.
    pub deflection_per_force: DMatrix<f64>,
}

impl Shaft {
    /// Flexibility of the shaft on its supports at rest: no inertia, no damping.
    ///
    /// # Errors
    /// Supports that, together with the shaft, give way without resistance.
    pub fn flexibility(&self) -> Result<Flexibility, ShaftError> {
        let nodes = &self.beam.station_nodes;
        let order = self.beam.order();
        let lu = self.pair(0.0, 0)?;
        let zeros = || DMatrix::zeros(2 * nodes.len(), 2 * nodes.len());
        let mut all = Flexibility {
            slope_per_moment: zeros(),
            slope_per_force: zeros(),
            deflection_per_moment: zeros(),
            deflection_per_force: zeros(),
        };
        for (cause, node) in nodes.iter().enumerate() {
            for (axis, unit) in [Complex::new(1.0, 0.0), Complex::i()].into_iter().enumerate() {
                for moment in [false, true] {
                    let mut side = vec![Complex::default(); order];
                    side[2 * node + usize::from(moment)] = unit;
                    let (u, _) = solve_pair(&lu, &side, &side);
                    let (deflection, slope) = if moment {
                        (&mut all.deflection_per_moment, &mut all.slope_per_moment)
                    } else {
                        (&mut all.deflection_per_force, &mut all.slope_per_force)
                    };
                    let column = 2 * cause + axis;
                    for (answer, node) in nodes.iter().enumerate() {
                        for (matrix, value) in
                            [(&mut *deflection, u[2 * node]), (&mut *slope, u[2 * node + 1])]
                        {
                            matrix[(2 * answer, column)] = value.re;
                            matrix[(2 * answer + 1, column)] = value.im;
                        }
                    }
                }
            }
        }
        Ok(all)
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Rates, Shaft, sample};
    use super::*;
    use proptest::prelude::*;

    /// Symmetric and definite: what a spring is.
    fn spring(stiffness: f64, share: f64, cross: f64) -> Rates {
        let of = |k: f64| {
            let (x, y) = (k * (1.0 + share), k * (1.0 - share));
            let xy = cross * (x * y).sqrt();
            [[x, xy], [xy, y]]
        };
        Rates {
            stiffness_n_per_m: of(stiffness),
            moment_stiffness_n_m_per_rad: of(1e-4 * stiffness),
            ..Rates::default()
        }
    }

    fn yields(rates: Rates) -> Flexibility {
        let mut model = sample::two_rotor();
        for support in &mut model.supports {
            support.rates = rates;
        }
        Shaft::new(model).unwrap().flexibility().unwrap()
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(64))]
        #[test]
        fn on_springs_cause_and_answer_may_be_exchanged(
            stiffness in 1e7_f64..1e10, share in -0.9_f64..0.9, cross in -0.9_f64..0.9,
        ) {
            let f = yields(spring(stiffness, share, cross));
            let same = |a: &DMatrix<f64>, b: &DMatrix<f64>| (a - b).norm() <= 1e-11 * a.norm();
            prop_assert!(same(&f.slope_per_moment, &f.slope_per_moment.transpose()));
            prop_assert!(same(&f.deflection_per_force, &f.deflection_per_force.transpose()));
            prop_assert!(same(&f.slope_per_force, &f.deflection_per_moment.transpose()));
        }

        #[test]
        fn softer_supports_yield_more(
            stiffness in 1e7_f64..1e10, share in -0.9_f64..0.9, cross in -0.9_f64..0.9,
            softer in 0.1_f64..0.99,
        ) {
            let hard = yields(spring(stiffness, share, cross));
            let soft = yields(spring(stiffness * softer, share, cross));
            for (soft, hard) in [
                (&soft.slope_per_moment, &hard.slope_per_moment),
                (&soft.deflection_per_force, &hard.deflection_per_force),
            ] {
                // Under any load, not only under one at a time.
                let least = (soft - hard).symmetric_eigenvalues().min();
                prop_assert!(least >= -1e-12 * hard.norm());
            }
        }
    }

    /// Films feed one direction into the other, and that may not be lost.
    #[test]
    fn on_oil_films_it_is_the_inverse_of_what_the_supports_and_the_shaft_do() {
        let shaft = Shaft::new(sample::two_rotor()).unwrap();
        let f = shaft.flexibility().unwrap();
        assert!(
            (&f.slope_per_moment - f.slope_per_moment.transpose()).norm()
                > 1e-3 * f.slope_per_moment.norm()
        );
        // By the full real matrix: x and y of every unknown.
        let order = shaft.beam.order();
        let free = shaft.beam.stiffness.dense();
        let mut k = DMatrix::<f64>::zeros(2 * order, 2 * order);
        k.view_mut((0, 0), (order, order)).copy_from(&free);
        k.view_mut((order, order), (order, order)).copy_from(&free);
        for (node, rates) in shaft.held() {
            for (offset, m) in [rates.stiffness_n_per_m, rates.moment_stiffness_n_m_per_rad]
                .into_iter()
                .enumerate()
            {
                let at = [2 * node + offset, order + 2 * node + offset];
                for i in 0..2 {
                    for j in 0..2 {
                        k[(at[i], at[j])] += m[i][j];
                    }
                }
            }
        }
        let inverse = k.try_inverse().unwrap();
        let of = |station: usize, axis: usize, slope: usize| {
            2 * shaft.beam.station_nodes[station] + slope + axis * order
        };
        for (i, j) in (0..4).flat_map(|i| (0..4).map(move |j| (i, j))) {
            let entry =
                |slope, moment| inverse[(of(i / 2, i % 2, slope), of(j / 2, j % 2, moment))];
            for (matrix, slope, moment) in [
                (&f.slope_per_moment, 1, 1),
                (&f.slope_per_force, 1, 0),
                (&f.deflection_per_moment, 0, 1),
                (&f.deflection_per_force, 0, 0),
            ] {
                assert!((matrix[(i, j)] - entry(slope, moment)).abs() < 1e-9 * matrix.norm());
            }
        }
    }
}
