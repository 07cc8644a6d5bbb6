//! How the shaft moves: the answer of one steady speed.

use super::harmonics::Harmonics;
use super::response::factors;
use super::shaft::Shaft;
use nalgebra::Complex;

type C = Complex<f64>;

/// Motion of one place of the shaft, in the stationary frame.
#[derive(Debug, Clone, PartialEq)]
pub struct Motion {
    /// Deflection `u_x + i u_y`, m.
    pub deflection_m: Harmonics,
    /// Slope `(du_x/dz) + i (du_y/dz)` of the section, rad. Under a load at the very place the
    /// axis itself has a kink from shear, half of it on either side of this.
    pub slope_rad: Harmonics,
}

/// What one support does to the shaft, in the stationary frame.
#[derive(Debug, Clone, PartialEq)]
pub struct Reaction {
    /// Force on the shaft, N; the bearing takes its opposite.
    pub force_n: Harmonics,
    /// Moment on the shaft in slope coordinates, N m.
    pub moment_n_m: Harmonics,
}

/// Periodic motion at one speed.
#[derive(Debug, Clone)]
pub struct Response {
    pub(super) shaft: Shaft,
    pub(super) omega_rad_s: f64,
    pub(super) highest: usize,
    /// Amplitudes of all unknowns, harmonic after harmonic from `−H`.
    motion: Vec<C>,
}

/// Motion of all unknowns at one instant.
pub(super) struct Instant {
    /// The unknowns.
    pub(super) plain: Vec<C>,
    /// `Σ n²ω² u_n e^{inθ}`: what mass multiplies, with the opposite sign of an acceleration.
    pub(super) second: Vec<C>,
    /// `Σ nω² u_n e^{inθ}`: what the gyroscopic matrix multiplies.
    pub(super) first: Vec<C>,
}

impl Response {
    pub(super) fn new(shaft: Shaft, omega_rad_s: f64, highest: usize, motion: Vec<C>) -> Self {
        Self { shaft, omega_rad_s, highest, motion }
    }

    /// Speed of the shaft.
    #[must_use]
    pub fn omega_rad_s(&self) -> f64 {
        self.omega_rad_s
    }

    /// Number of the highest harmonic.
    #[must_use]
    pub fn highest(&self) -> usize {
        self.highest
    }

    fn series(&self, of: impl Fn(isize) -> C) -> Harmonics {
        let highest = self.highest as isize;
        // An odd number of values by construction, so that the default stands for nothing.
        Harmonics::new((-highest..=highest).map(of).collect()).unwrap_or_default()
    }

    fn of(&self, unknown: usize, n: isize) -> C {
        let order = self.shaft.beam.order();
        usize::try_from(n + self.highest as isize)
            .ok()
            .and_then(|k| self.motion.get(k * order + unknown))
            .copied()
            .unwrap_or_default()
    }

    /// Motion of a node, counted from 0 at the front end as in [`Shaft::nodes_m`]; `None` beyond
    /// the last.
    #[must_use]
    pub fn node(&self, node: usize) -> Option<Motion> {
        (node < self.shaft.nodes_m().len()).then(|| Motion {
            deflection_m: self.series(|n| self.of(2 * node, n)),
            slope_rad: self.series(|n| self.of(2 * node + 1, n)),
        })
    }

    /// Motion of the stations, in the model's order.
    #[must_use]
    pub fn stations(&self) -> Vec<Motion> {
        self.shaft.beam.station_nodes.iter().filter_map(|node| self.node(*node)).collect()
    }

    /// What the supports do to the shaft, in the model's order.
    #[must_use]
    pub fn reactions(&self) -> Vec<Reaction> {
        self.shaft
            .held()
            .map(|(node, rates)| {
                let answer = |unknown: usize, [k, c]: [super::support::Turned; 2]| {
                    self.series(|n| {
                        let (_, _, rate) = factors(self.omega_rad_s, n);
                        let (u, w) = (self.of(unknown, n), self.of(unknown, -n).conj());
                        -(k.direct + rate * c.direct) * u - (k.mirrored + rate * c.mirrored) * w
                    })
                };
                Reaction {
                    force_n: answer(2 * node, rates.radial()),
                    moment_n_m: answer(2 * node + 1, rates.moment()),
                }
            })
            .collect()
    }

    /// All unknowns at a shaft angle.
    pub(super) fn instant(&self, theta_rad: f64) -> Instant {
        let order = self.shaft.beam.order();
        let mut instant = Instant {
            plain: vec![C::default(); order],
            second: vec![C::default(); order],
            first: vec![C::default(); order],
        };
        for (k, amplitudes) in self.motion.chunks_exact(order).enumerate() {
            let n = k as isize - self.highest as isize;
            let (n2, n1, _) = factors(self.omega_rad_s, n);
            let turn = C::cis(n as f64 * theta_rad);
            for (unknown, amplitude) in amplitudes.iter().enumerate() {
                let value = amplitude * turn;
                instant.plain[unknown] += value;
                instant.second[unknown] += value * n2;
                instant.first[unknown] += value * n1;
            }
        }
        instant
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Disc, Load, Mesh, Rates, Sense, Shaft, ShaftError, Support, sample};
    use super::*;
    use nalgebra::{DMatrix, DVector};
    use proptest::prelude::*;
    use std::f64::consts::TAU;

    fn load(station: usize, values: &[(f64, f64)]) -> Load {
        let values: Vec<C> = values.iter().map(|(x, y)| C::new(*x, *y)).collect();
        let moment = values.iter().map(|v| v * C::new(0.01, 0.004)).collect();
        Load {
            station,
            force_n: Harmonics::new(values).unwrap(),
            moment_n_m: Harmonics::new(moment).unwrap(),
        }
    }

    fn some_loads() -> [Load; 2] {
        [
            load(0, &[(300.0, -900.0), (-4e3, 1e3), (0.0, -2e4), (5e3, 5e3), (800.0, 2e3)]),
            load(1, &[(-700.0, 200.0), (2e3, 3e3), (500.0, -2e4), (-4e3, 1e3), (900.0, -1e3)]),
        ]
    }

    /// The equations of motion with x and y apart, as real numbers: state of all x, all y, and
    /// their rates. Integrated over a turn from where the harmonics say the shaft is, it must stay
    /// on them.
    #[test]
    fn time_integration_follows_the_harmonics() {
        let mut model = sample::two_rotor();
        model.mesh = Mesh::Places;
        let shaft = Shaft::new(model).unwrap();
        let (omega, loads) = (900.0, some_loads());
        let response = shaft.respond(omega, &loads).unwrap();
        let n = shaft.beam.order();
        let both = |m: DMatrix<f64>| {
            let mut all = DMatrix::zeros(2 * n, 2 * n);
            all.view_mut((0, 0), (n, n)).copy_from(&m);
            all.view_mut((n, n), (n, n)).copy_from(&m);
            all
        };
        let mut k = both(shaft.beam.stiffness.dense());
        let mut c = DMatrix::<f64>::zeros(2 * n, 2 * n);
        let gyroscopic = shaft.beam.gyroscopic.dense() * omega;
        c.view_mut((0, n), (n, n)).copy_from(&gyroscopic);
        c.view_mut((n, 0), (n, n)).copy_from(&-gyroscopic);
        for (node, rates) in shaft.held() {
            for (offset, stiffness, damping) in [
                (0, rates.stiffness_n_per_m, rates.damping_n_s_per_m),
                (1, rates.moment_stiffness_n_m_per_rad, rates.moment_damping_n_m_s_per_rad),
            ] {
                let at = [2 * node + offset, n + 2 * node + offset];
                for i in 0..2 {
                    for j in 0..2 {
                        k[(at[i], at[j])] += stiffness[i][j];
                        c[(at[i], at[j])] += damping[i][j];
                    }
                }
            }
        }
        let inverse = both(shaft.beam.mass.dense()).try_inverse().unwrap();
        let (k, c) = (&inverse * k, &inverse * c);
        let push = |theta: f64| {
            let mut f = DVector::<f64>::zeros(2 * n);
            let mut add = |unknown: usize, value: C| {
                f[unknown] += value.re;
                f[n + unknown] += value.im;
            };
            for load in &loads {
                let node = shaft.beam.station_nodes[load.station];
                add(2 * node, load.force_n.at(theta));
                add(2 * node + 1, load.moment_n_m.at(theta));
            }
            for unbalance in &shaft.beam.model.unbalances {
                let node =
                    shaft.nodes_m().iter().position(|z| (z - unbalance.at_m).abs() < 1e-9).unwrap();
                // Outwards, from the throw at 90 degrees plus theta.
                let (sin, cos) = (theta + unbalance.angle_rad).sin_cos();
                add(2 * node, C::new(-sin, cos) * (unbalance.amount_kg_m * omega * omega));
            }
            &inverse * f
        };
        let known = |theta: f64| {
            let (mut x, mut v) = (DVector::zeros(2 * n), DVector::zeros(2 * n));
            for node in 0..n / 2 {
                let motion = response.node(node).unwrap();
                for (offset, series) in [motion.deflection_m, motion.slope_rad].iter().enumerate() {
                    let rate: C = series
                        .iter()
                        .map(|(h, a)| a * C::cis(h as f64 * theta) * C::new(0.0, h as f64 * omega))
                        .sum();
                    let (at, value) = (2 * node + offset, series.at(theta));
                    (x[at], x[n + at]) = (value.re, value.im);
                    (v[at], v[n + at]) = (rate.re, rate.im);
                }
            }
            (x, v)
        };
        let steps = 8000;
        let (h, turn) = (TAU / omega / f64::from(steps), TAU / f64::from(steps));
        let (mut x, mut v) = known(0.0);
        let largest = x.amax();
        let pushes: Vec<_> = (0..=2 * steps).map(|s| push(0.5 * turn * f64::from(s))).collect();
        for step in 0..steps as usize {
            // Runge and Kutta's fourth order.
            let rate = |x: &DVector<f64>, v: &DVector<f64>, half: usize| {
                &pushes[2 * step + half] - &k * x - &c * v
            };
            let a1 = rate(&x, &v, 0);
            let (x2, v2) = (&x + &v * (0.5 * h), &v + &a1 * (0.5 * h));
            let a2 = rate(&x2, &v2, 1);
            let (x3, v3) = (&x + &v2 * (0.5 * h), &v + &a2 * (0.5 * h));
            let a3 = rate(&x3, &v3, 1);
            let (x4, v4) = (&x + &v3 * h, &v + &a3 * h);
            let a4 = rate(&x4, &v4, 2);
            x += (&v + &v2 * 2.0 + &v3 * 2.0 + &v4) * (h / 6.0);
            v += (a1 + a2 * 2.0 + a3 * 2.0 + a4) * (h / 6.0);
            if step % 1000 == 999 {
                let off = (&x - known(turn * (step + 1) as f64).0).amax();
                assert!(off < 1e-6 * largest, "step {step}: {off} of {largest}");
            }
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(32))]
        /// Loads, reactions and inertia of the whole shaft, forces and moments about its front end.
        #[test]
        fn loads_and_reactions_and_inertia_balance(
            parts in prop::collection::vec((-1e4_f64..1e4, -1e4_f64..1e4), 14),
            omega in 1.0_f64..2000.0,
        ) {
            let shaft = Shaft::new(sample::two_rotor()).unwrap();
            let loads = [load(0, &parts[..7]), load(1, &parts[7..])];
            let response = shaft.respond(omega, &loads).unwrap();
            let (m, g) = (shaft.beam.mass.dense(), shaft.beam.gyroscopic.dense());
            let order = shaft.beam.order();
            let moved = DVector::from_fn(order, |i, _| f64::from(i % 2 == 0));
            let turned = DVector::from_fn(order, |i, _| {
                if i % 2 == 0 { shaft.nodes_m()[i / 2] } else { 1.0 }
            });
            for n in -3_isize..=3 {
                let (n2, n1, _) = factors(omega, n);
                let side = shaft.right_side(omega, &loads, n);
                let inertia = &m * n2 - &g * n1;
                for (rigid, by_tilt) in [(&moved, false), (&turned, true)] {
                    let mut sum: C = side.iter().zip(rigid).map(|(f, r)| f * *r).sum();
                    let mut size: f64 = side.iter().zip(rigid).map(|(f, r)| (f * *r).norm()).sum();
                    let weight = &inertia * rigid;
                    for (unknown, weight) in weight.iter().enumerate() {
                        sum += response.of(unknown, n) * *weight;
                    }
                    for (reaction, support) in response.reactions().iter().zip(&shaft.beam.model.supports) {
                        let force = reaction.force_n.of(n);
                        let part = if by_tilt {
                            force * support.at_m + reaction.moment_n_m.of(n)
                        } else {
                            force
                        };
                        sum += part;
                        size += part.norm();
                    }
                    prop_assert!(sum.norm() < 1e-8 * size, "{n}: {sum} of {size}");
                }
            }
        }
    }

    /// Supports that are even, taken the long way as well.
    #[test]
    fn one_line_and_both_lines_agree_on_even_supports() {
        let rates = [2.0e8, 3.0e8].map(|k| Rates::isotropic(k, 1e5, 3e4, 20.0));
        let even = Shaft::new(sample::two_rotor()).unwrap().with_rates(&rates).unwrap();
        assert!(!even.mixes());
        let loads = some_loads();
        let response = even.respond(1047.0, &loads).unwrap();
        for n in 0..=2_usize {
            let sides = [n as isize, -(n as isize)].map(|n| even.right_side(1047.0, &loads, n));
            let lu = even.pair(1047.0, n).unwrap();
            let (u, w) = super::super::response::solve_pair(&lu, &sides[0], &sides[1]);
            let most = u.iter().chain(&w).map(|z| z.norm()).fold(0.0, f64::max);
            for unknown in 0..u.len() {
                assert!((response.of(unknown, n as isize) - u[unknown]).norm() < 1e-11 * most);
                assert!((response.of(unknown, -(n as isize)) - w[unknown]).norm() < 1e-11 * most);
            }
        }
    }

    #[test]
    fn other_springs_on_the_same_beam_are_those_of_a_new_shaft() {
        let mut model = sample::two_rotor();
        let first = Shaft::new(model.clone()).unwrap();
        let rates = [sample::film(0.7), sample::film(2.0)];
        for (support, rates) in model.supports.iter_mut().zip(rates) {
            support.rates = rates;
        }
        let fresh = Shaft::new(model).unwrap().respond(800.0, &some_loads()).unwrap();
        let again = first.with_rates(&rates).unwrap().respond(800.0, &some_loads()).unwrap();
        assert_eq!(fresh.motion, again.motion);
        assert_eq!(
            first.with_rates(&rates[..1]).unwrap_err().to_string(),
            "stiffness for 1 main bearings, but the shaft has 2"
        );
    }

    /// Seen from the rear the same shaft answers the same, with slopes the other way.
    #[test]
    fn a_symmetric_shaft_answers_symmetrically() {
        let mut model = sample::two_rotor();
        model.stretches = [0.12, 0.06, 0.12].map(|l| sample::steel(l, 0.05, 0.015)).to_vec();
        model.stretches[1].outer_m = 0.07;
        model.discs = [0.05, 0.25]
            .map(|at_m| Disc { at_m, mass_kg: 3.0, polar_kg_m2: 0.01, diametral_kg_m2: 0.006 })
            .to_vec();
        model.unbalances.clear();
        model.supports =
            [0.04, 0.26].map(|at_m| Support { at_m, rates: sample::film(1.0) }).to_vec();
        model.stations_m = vec![0.1, 0.2];
        let shaft = Shaft::new(model).unwrap();
        let mut loads = [some_loads()[0].clone(), some_loads()[0].clone()];
        loads[1].station = 1;
        loads[1].moment_n_m =
            Harmonics::new(loads[0].moment_n_m.iter().map(|(_, m)| -m).collect()).unwrap();
        let response = shaft.respond(1200.0, &loads).unwrap();
        let stations = response.stations();
        for n in -2..=2 {
            let (front, rear) = (&stations[0], &stations[1]);
            let (u, s) = (front.deflection_m.of(n), front.slope_rad.of(n));
            assert!((u - rear.deflection_m.of(n)).norm() < 1e-10 * u.norm());
            assert!((s + rear.slope_rad.of(n)).norm() < 1e-10 * s.norm());
        }
        let [front, rear] = &response.reactions()[..] else { panic!("two supports") };
        assert!(
            (front.force_n.of(-1) - rear.force_n.of(-1)).norm()
                < 1e-9 * front.force_n.of(-1).norm()
        );
    }

    /// Far below the first critical speed a mass off the axis bows the shaft its own way; in the
    /// shaft's frame that is along its angle, whatever the angle of the shaft.
    #[test]
    fn a_slow_shaft_bows_towards_its_unbalance() {
        let mut model = sample::two_rotor();
        model.unbalances.truncate(1);
        model.unbalances[0].angle_rad = 0.7;
        let rates = [Rates::isotropic(2e8, 0.0, 0.0, 0.0); 2];
        let shaft = Shaft::new(model).unwrap().with_rates(&rates).unwrap();
        let motion = &shaft.respond(5.0, &[]).unwrap().stations()[0];
        for theta in [0.0, 1.0, 4.0] {
            let seen = motion.deflection_m.in_shaft(theta);
            assert!((seen.arg() - 0.7).abs() < 1e-9 && seen.norm() > 0.0);
        }
    }

    /// Below a forward critical speed the bow is out, above it in; on it there is no answer, or a
    /// huge one, but never one that is not a number.
    #[test]
    fn a_critical_speed_turns_the_bow_over() {
        let mut model = sample::two_rotor();
        model.unbalances.truncate(1);
        let rates = [Rates::isotropic(2e8, 0.0, 0.0, 0.0); 2];
        let shaft = Shaft::new(model).unwrap().with_rates(&rates).unwrap();
        let found = shaft.critical_speeds().unwrap();
        let critical =
            found.iter().find(|whirl| whirl.sense == Sense::Forward).unwrap().omega_rad_s;
        let bow = |omega: f64| {
            shaft.respond(omega, &[]).map(|r| r.stations()[0].deflection_m.in_shaft(0.3).re)
        };
        let (below, above) = (bow(critical * 0.999_99).unwrap(), bow(critical * 1.000_01).unwrap());
        assert!(below > 1e-3 && (above / below + 1.0).abs() < 0.1, "{below} {above}");
        match bow(critical) {
            Ok(huge) => assert!(huge.is_finite() && huge.abs() > 1.0),
            Err(error) => assert!(matches!(error, ShaftError::Resonance { harmonic: 1, .. })),
        }
    }

    #[test]
    fn what_cannot_be_asked_is_refused() {
        let shaft = Shaft::new(sample::two_rotor()).unwrap();
        let said =
            |omega: f64, loads: &[Load]| shaft.respond(omega, loads).unwrap_err().to_string();
        assert_eq!(said(-1.0, &[]), "a shaft speed of -1 rad/s; it is to be zero or more");
        assert_eq!(said(f64::NAN, &[]), "a shaft speed of NaN rad/s; it is to be zero or more");
        assert_eq!(
            said(1.0, &[load(2, &[(1.0, 0.0)])]),
            "a load at station 3, but the shaft has 2 stations"
        );
        assert_eq!(
            said(1.0, &[load(0, &[(1.0, f64::NAN), (0.0, 0.0), (0.0, 0.0)])]),
            "the load at station 1 is not finite in harmonic -1"
        );
        assert!(shaft.respond(0.0, &[]).unwrap().node(shaft.nodes_m().len()).is_none());
    }
}
