//! Periodic motion of the turning shaft under periodic loads.
//!
//! In the complex coordinate `u = u_x + i u_y` of the stationary frame the free shaft obeys
//! `M ü − iω G u̇ + K u = F` [NELSON-MCVAUGH] (their two planes folded into one), so that harmonic
//! `n` of the shaft's speed sees `K − n²ω² M + nω² G`: real, and other for `n` than for `−n`. A
//! support adds `a + inω c` to it; where it is not isotropic it also adds `b + inω d` times the
//! conjugate motion, whose part at `n` is the conjugate of `u_{−n}`. So `u_n` and
//! `w_n = conj(u_{−n})` are found together:
//!
//! - `A_n u_n + B_n w_n = F_n`, `A_n = K − n²ω² M + nω² G + a + inω c`, `B_n = b + inω d`,
//! - `conj(B_{−n}) u_n + conj(A_{−n}) w_n = conj(F_{−n})`.
//!
//! Unknowns of a node are set side by side, so that the band stays narrow and the cost grows with
//! the number of nodes. Without a `b` or `d` the two lines are solved apart.
//!
//! Left out: damping inside the shaft, which a steel shaft has little of; stiffness that varies
//! with the shaft's angle; and stability, which is not judged: a steady motion is computed even
//! where oil whirl would leave it.

use super::band::{Band, BandLu};
use super::error::ShaftError;
use super::harmonics::Harmonics;
use super::motion::Response;
use super::shaft::Shaft;
use nalgebra::Complex;
use std::f64::consts::FRAC_PI_2;

type C = Complex<f64>;

/// Width of the band of one line: an unknown meets those of its own node and of both neighbours.
const SINGLE: usize = 7;
/// Width with both lines together.
const PAIR: usize = 11;

/// A periodic load on a station of the shaft, in the stationary frame.
#[derive(Debug, Clone, PartialEq)]
pub struct Load {
    /// Number of the station, from 0, in the model's order.
    pub station: usize,
    /// Force on the shaft, `F_x + i F_y`, N.
    pub force_n: Harmonics,
    /// Moment on the shaft in slope coordinates, `m_x + i m_y`, N m: its work is moment times
    /// change of slope. A force one metre behind the station is a force there and a moment of the
    /// same figure.
    pub moment_n_m: Harmonics,
}

impl Shaft {
    /// Motion under loads and the model's own unbalances at a steady speed.
    ///
    /// An unbalance pushes outwards with `U ω²` towards its direction in the shaft, which turns:
    /// harmonic 1, as the throw of rotor 1 points to 90° + θ.
    ///
    /// # Errors
    /// A speed that is negative or not finite, a load on no station or not finite, a harmonic
    /// that meets an undamped natural frequency.
    pub fn respond(&self, omega_rad_s: f64, loads: &[Load]) -> Result<Response, ShaftError> {
        self.check_loads(omega_rad_s, loads)?;
        let beam = &self.beam;
        let highest = loads
            .iter()
            .map(|load| load.force_n.highest().max(load.moment_n_m.highest()))
            .chain((!beam.unbalances.is_empty()).then_some(1))
            .max()
            .unwrap_or(0);
        let order = beam.order();
        let mut motion = vec![C::default(); order * (2 * highest + 1)];
        let mixes = self.mixes();
        for n in 0..=highest {
            let forward = self.right_side(omega_rad_s, loads, n as isize);
            let backward = self.right_side(omega_rad_s, loads, -(n as isize));
            let nothing = |side: &[C]| side.iter().all(|f| *f == C::default());
            if nothing(&forward) && nothing(&backward) {
                continue;
            }
            let (u, w) = if mixes {
                let lu = self.pair(omega_rad_s, n)?;
                solve_pair(&lu, &forward, &backward)
            } else {
                let (mut u, mut w) = (forward, backward);
                self.single(omega_rad_s, n as isize)?.solve(&mut u);
                if n == 0 {
                    w.clone_from(&u);
                } else {
                    self.single(omega_rad_s, -(n as isize))?.solve(&mut w);
                }
                (u, w)
            };
            motion[(highest - n) * order..][..order].copy_from_slice(&w);
            motion[(highest + n) * order..][..order].copy_from_slice(&u);
        }
        Ok(Response::new(self.clone(), omega_rad_s, highest, motion))
    }

    fn check_loads(&self, omega_rad_s: f64, loads: &[Load]) -> Result<(), ShaftError> {
        if !(omega_rad_s >= 0.0 && omega_rad_s.is_finite()) {
            return Err(ShaftError::Speed { omega_rad_s });
        }
        let stations = self.stations_m().len();
        for load in loads {
            let station = load.station + 1;
            if load.station >= stations {
                return Err(ShaftError::NoStation { station, stations });
            }
            for (harmonic, value) in load.force_n.iter().chain(load.moment_n_m.iter()) {
                if !(value.re.is_finite() && value.im.is_finite()) {
                    return Err(ShaftError::Load { station, harmonic });
                }
            }
        }
        Ok(())
    }

    /// Loads of one harmonic on all unknowns.
    pub(super) fn right_side(&self, omega_rad_s: f64, loads: &[Load], n: isize) -> Vec<C> {
        let beam = &self.beam;
        let mut side = vec![C::default(); beam.order()];
        for load in loads {
            let node = beam.station_nodes[load.station];
            side[2 * node] += load.force_n.of(n);
            side[2 * node + 1] += load.moment_n_m.of(n);
        }
        if n == 1 {
            let throw = C::cis(FRAC_PI_2) * (omega_rad_s * omega_rad_s);
            for (node, unbalance) in &beam.unbalances {
                side[2 * node] += unbalance * throw;
            }
        }
        side
    }

    /// Factors of `A_n`, where forward and backward motion do not meet.
    fn single(&self, omega_rad_s: f64, n: isize) -> Result<BandLu<SINGLE>, ShaftError> {
        let beam = &self.beam;
        let (n2, n1, rate) = factors(omega_rad_s, n);
        let mut band = Band::<SINGLE>::zeros(beam.order());
        for row in 0..beam.order() {
            for step in 0..beam.reach(row) {
                let value = C::from(beam.dynamic(row, step, n2, n1));
                band.add(row, row + step, value);
                if step > 0 {
                    band.add(row + step, row, value);
                }
            }
        }
        for (node, rates) in self.held() {
            for (offset, [k, c]) in [rates.radial(), rates.moment()].into_iter().enumerate() {
                band.add(2 * node + offset, 2 * node + offset, k.direct + rate * c.direct);
            }
        }
        band.factor().ok_or(ShaftError::Resonance { omega_rad_s, harmonic: n })
    }

    /// Factors of both lines, unknowns of a node in the order deflection and slope of `u`, then
    /// of `w`.
    pub(super) fn pair(&self, omega_rad_s: f64, n: usize) -> Result<BandLu<PAIR>, ShaftError> {
        let beam = &self.beam;
        let (n2, n1, rate) = factors(omega_rad_s, n as isize);
        let mut band = Band::<PAIR>::zeros(2 * beam.order());
        let at = |unknown: usize| 4 * (unknown / 2) + unknown % 2;
        for row in 0..beam.order() {
            for step in 0..beam.reach(row) {
                let forward = C::from(beam.dynamic(row, step, n2, n1));
                let backward = C::from(beam.dynamic(row, step, n2, -n1));
                let (i, j) = (at(row), at(row + step));
                band.add(i, j, forward);
                band.add(i + 2, j + 2, backward);
                if step > 0 {
                    band.add(j, i, forward);
                    band.add(j + 2, i + 2, backward);
                }
            }
        }
        for (node, rates) in self.held() {
            for (offset, [k, c]) in [rates.radial(), rates.moment()].into_iter().enumerate() {
                let u = 4 * node + offset;
                let w = u + 2;
                band.add(u, u, k.direct + rate * c.direct);
                band.add(u, w, k.mirrored + rate * c.mirrored);
                // Conjugates of what stands at −n: the rate −inω turns into inω again.
                band.add(w, w, k.direct.conj() + rate * c.direct.conj());
                band.add(w, u, k.mirrored.conj() + rate * c.mirrored.conj());
            }
        }
        band.factor().ok_or(ShaftError::Resonance { omega_rad_s, harmonic: n as isize })
    }
}

/// `n²ω²`, `nω²` and `inω`.
pub(super) fn factors(omega_rad_s: f64, n: isize) -> (f64, f64, C) {
    let n = n as f64;
    let square = omega_rad_s * omega_rad_s;
    (n * n * square, n * square, C::new(0.0, n * omega_rad_s))
}

/// Motion at `n` and at `−n` from the loads there.
pub(super) fn solve_pair(lu: &BandLu<PAIR>, forward: &[C], backward: &[C]) -> (Vec<C>, Vec<C>) {
    let mut x = vec![C::default(); 2 * forward.len()];
    for (unknown, (f, b)) in forward.iter().zip(backward).enumerate() {
        let at = 4 * (unknown / 2) + unknown % 2;
        x[at] = *f;
        x[at + 2] = b.conj();
    }
    lu.solve(&mut x);
    let part = |offset: usize| {
        (0..forward.len()).map(move |unknown| 4 * (unknown / 2) + unknown % 2 + offset)
    };
    (part(0).map(|k| x[k]).collect(), part(2).map(|k| x[k].conj()).collect())
}
