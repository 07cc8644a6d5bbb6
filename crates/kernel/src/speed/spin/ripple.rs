//! Speed ripple: what the torque of the rotors does to the speed of each journal, periodic.
//!
//! The torque on each station is taken apart into orders of a third of the shaft's speed `ω`, each
//! order answered mode by mode: `q_i = φ_iᵀT_ν/(ω_i² − ν² + i·d_i)`, `ν` its frequency, with
//! `d_i = 2ζω_iν` (modal damping) or `d_i = η·ω_i²` (hysteretic) [DEN-HARTOG] (from memory,
//! derived). The mean torque is taken up, as a constant, at the flywheel.

use super::super::range::within;
use super::error::{SpinError, counted};
use super::torsion::{TorsionChain, TorsionMode};
use crate::speed::gas::{CYCLE_DEG, harmonic};
use nalgebra::Complex;
use std::f64::consts::TAU;

/// Damping of the shaft's twist.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum TorsionDamping {
    /// Share of critical damping in each mode, 0 to 1.
    Modal(f64),
    /// Loss factor, 0 to 1.
    Hysteretic(f64),
}

impl Default for TorsionDamping {
    /// 2 % of critical: common practice, no source.
    fn default() -> Self {
        Self::Modal(0.02)
    }
}

impl TorsionDamping {
    /// The imaginary part of a mode's dynamic stiffness per inertia, 1/s².
    fn loss(self, natural_rad_s: f64, nu_rad_s: f64) -> f64 {
        match self {
            Self::Modal(zeta) => 2.0 * zeta * natural_rad_s * nu_rad_s,
            Self::Hysteretic(eta) => eta * natural_rad_s * natural_rad_s,
        }
    }
}

/// A rotor's torque on its station of the chain.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TorqueAt<'a> {
    /// Station, from 0.
    pub station: usize,
    /// Torque, N m, at each degree of the shaft over 1080, all against the angle of rotor 1.
    pub torque_n_m: &'a [f64],
}

/// What the shaft is driven by.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RippleInputs<'a> {
    /// Mean speed of the shaft, rad/s.
    pub omega_rad_s: f64,
    /// Torque of each rotor.
    pub torques: &'a [TorqueAt<'a>],
    /// The station where the load takes up the mean torque, from 0: the flywheel.
    pub load_station: usize,
    /// Damping.
    pub damping: TorsionDamping,
    /// Highest order of shaft speed that is answered.
    pub highest_order: u16,
}

/// Highest order that is answered unless asked otherwise: a knocking cycle's torque has nothing
/// of weight above it, and inertia answers it with `1/ν²`.
pub const USUAL_HIGHEST_ORDER: u16 = 30;
/// Nearer to a natural frequency than this share of its square, an undamped mode has no answer.
const AT_RESONANCE: f64 = 1e-9;

/// The periodic response.
#[derive(Debug, Clone, PartialEq)]
pub struct Ripple {
    omega_rad_s: f64,
    /// `twist[station][thirds − 1]`: arrows of orders 1/3, 2/3, …; the twist is twice the real
    /// part of their sum.
    twist_rad: Vec<Vec<Complex<f64>>>,
    /// Mean torque in the shaft between stations, N m.
    mean_section_n_m: Vec<f64>,
    stiffness_n_m_per_rad: Vec<f64>,
    load_n_m: f64,
    damping_w: f64,
}

impl Ripple {
    /// Answers the torques.
    ///
    /// # Errors
    /// A speed, order or damping outside its limits, a station that is not there, torques that
    /// are not 1080 numbers, an undamped resonance.
    pub fn of(chain: &TorsionChain, inputs: &RippleInputs<'_>) -> Result<Self, SpinError> {
        let stations = chain.inertia_kg_m2().len();
        within("the speed of the shaft", inputs.omega_rad_s, "rad/s", (1.0, 5000.0))?;
        within("the highest order", f64::from(inputs.highest_order), "", (1.0, 170.0))?;
        let (TorsionDamping::Modal(damping) | TorsionDamping::Hysteretic(damping)) = inputs.damping;
        within("the damping of torsion", damping, "", (0.0, 1.0))?;
        station("the station of the load", inputs.load_station, stations)?;
        let mut mean_n_m = vec![0.0; stations];
        let mut drives = Vec::with_capacity(inputs.torques.len());
        for torque in inputs.torques {
            station("the station of a rotor", torque.station, stations)?;
            counted("the torque of a rotor", torque.torque_n_m.len(), CYCLE_DEG)?;
            for value in torque.torque_n_m {
                within("the torque of a rotor", *value, "N m", (-1e6, 1e6))?;
            }
            let values: Vec<Complex<f64>> =
                torque.torque_n_m.iter().map(|t| Complex::new(*t, 0.0)).collect();
            mean_n_m[torque.station] += harmonic(&values, 0).re;
            drives.push((torque.station, values));
        }
        let load_n_m: f64 = mean_n_m.iter().sum();
        mean_n_m[inputs.load_station] -= load_n_m;

        let modes = chain.modes()?;
        let count = 3 * usize::from(inputs.highest_order);
        let mut twist_rad = vec![Vec::with_capacity(count); stations];
        let mut damping_w = 0.0;
        for thirds in 1..=3 * i32::from(inputs.highest_order) {
            let arrows: Vec<(usize, Complex<f64>)> =
                drives.iter().map(|(s, values)| (*s, harmonic(values, thirds))).collect();
            let nu_rad_s = inputs.omega_rad_s * f64::from(thirds) / 3.0;
            let mut sums = vec![Complex::new(0.0, 0.0); stations];
            for mode in &modes {
                let loss = inputs.damping.loss(mode.omega_rad_s, nu_rad_s);
                let q = answer(mode, &arrows, nu_rad_s, loss, inputs.omega_rad_s)?;
                damping_w += 2.0 * nu_rad_s * loss * q.norm_sqr();
                for (sum, shape) in sums.iter_mut().zip(&mode.shape) {
                    *sum += q * *shape;
                }
            }
            for (twists, sum) in twist_rad.iter_mut().zip(sums) {
                twists.push(sum);
            }
        }
        let mut passed = 0.0;
        let mean_section_n_m = mean_n_m
            .iter()
            .take(stations - 1)
            .map(|torque| {
                passed += torque;
                passed
            })
            .collect();
        Ok(Self {
            omega_rad_s: inputs.omega_rad_s,
            twist_rad,
            mean_section_n_m,
            stiffness_n_m_per_rad: chain.stiffness_n_m_per_rad().to_vec(),
            load_n_m,
            damping_w,
        })
    }

    /// The torque that the load takes up, N m, constant.
    #[must_use]
    pub const fn load_n_m(&self) -> f64 {
        self.load_n_m
    }

    /// Mean power that damping takes from the ripple, W.
    #[must_use]
    pub const fn damping_w(&self) -> f64 {
        self.damping_w
    }

    /// Speed above the mean at each degree over 1080, rad/s; empty for a station not there.
    #[must_use]
    pub fn speed_rad_s(&self, station: usize) -> Vec<f64> {
        self.series(station, |nu| Complex::new(0.0, nu))
    }

    /// Angular acceleration at each degree over 1080, rad/s²; empty for a station not there.
    #[must_use]
    pub fn acceleration_rad_s2(&self, station: usize) -> Vec<f64> {
        self.series(station, |nu| Complex::new(-nu * nu, 0.0))
    }

    /// Torque in the shaft between station `section` and the next, N m, mean included, at each
    /// degree over 1080; positive where the front drives the rear. Empty for a section not there.
    #[must_use]
    pub fn section_torque_n_m(&self, section: usize) -> Vec<f64> {
        let Some(mean) = self.mean_section_n_m.get(section) else { return Vec::new() };
        let k = self.stiffness_n_m_per_rad[section];
        let front = self.series(section, |_| Complex::new(k, 0.0));
        let rear = self.series(section + 1, |_| Complex::new(k, 0.0));
        front.iter().zip(rear).map(|(f, r)| mean + f - r).collect()
    }

    /// Greatest less least speed over the mean, at a station.
    #[must_use]
    pub fn fluctuation(&self, station: usize) -> f64 {
        let speed = self.speed_rad_s(station);
        let most = speed.iter().copied().fold(0.0, f64::max);
        let least = speed.iter().copied().fold(0.0, f64::min);
        (most - least) / self.omega_rad_s
    }

    #[expect(clippy::cast_precision_loss, reason = "below 1080")]
    fn series(&self, station: usize, factor: impl Fn(f64) -> Complex<f64>) -> Vec<f64> {
        let Some(arrows) = self.twist_rad.get(station) else { return Vec::new() };
        let scaled: Vec<Complex<f64>> = arrows
            .iter()
            .enumerate()
            .map(|(i, arrow)| 2.0 * arrow * factor(self.omega_rad_s * (i + 1) as f64 / 3.0))
            .collect();
        let table: Vec<Complex<f64>> =
            (0..CYCLE_DEG).map(|i| Complex::cis(TAU * i as f64 / CYCLE_DEG as f64)).collect();
        (0..CYCLE_DEG)
            .map(|theta| {
                let turned = scaled.iter().enumerate();
                turned.map(|(i, arrow)| (arrow * table[(i + 1) * theta % CYCLE_DEG]).re).sum()
            })
            .collect()
    }
}

/// One mode's answer to one order.
fn answer(
    mode: &TorsionMode,
    arrows: &[(usize, Complex<f64>)],
    nu_rad_s: f64,
    loss: f64,
    omega_rad_s: f64,
) -> Result<Complex<f64>, SpinError> {
    let drive: Complex<f64> = arrows.iter().map(|(s, arrow)| arrow * mode.shape[*s]).sum();
    let stiff = mode.omega_rad_s * mode.omega_rad_s - nu_rad_s * nu_rad_s;
    if loss == 0.0 && stiff.abs() <= AT_RESONANCE * nu_rad_s * nu_rad_s {
        return Err(SpinError::Resonance {
            order: nu_rad_s / omega_rad_s,
            excitation_hz: nu_rad_s / TAU,
            natural_hz: mode.frequency_hz(),
        });
    }
    Ok(drive / Complex::new(stiff, loss))
}

fn station(quantity: &'static str, value: usize, stations: usize) -> Result<(), SpinError> {
    #[expect(clippy::cast_precision_loss, reason = "a count of at most 200")]
    within(quantity, value as f64, "", (0.0, (stations - 1) as f64))?;
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn chain() -> TorsionChain {
        TorsionChain::new(vec![0.003, 0.004, 0.005, 0.08], vec![2e5, 1.5e5, 1.2e5]).unwrap()
    }

    fn wave(lag_deg: f64) -> Vec<f64> {
        (0..1080)
            .map(|d| {
                let t = (f64::from(d) - lag_deg).to_radians();
                190.0
                    + 400.0 * t.sin()
                    + 150.0 * (2.0 * t).cos()
                    + 60.0 * (t / 3.0).cos()
                    + 20.0 * (7.0 * t).sin()
            })
            .collect()
    }

    fn ripple(damping: TorsionDamping) -> (Ripple, [Vec<f64>; 2]) {
        let waves = [wave(0.0), wave(180.0)];
        let torques = [
            TorqueAt { station: 1, torque_n_m: &waves[0] },
            TorqueAt { station: 2, torque_n_m: &waves[1] },
        ];
        let inputs = RippleInputs {
            omega_rad_s: 900.0,
            torques: &torques,
            load_station: 3,
            damping,
            highest_order: 12,
        };
        (Ripple::of(&chain(), &inputs).unwrap(), waves)
    }

    fn mean(values: impl Iterator<Item = f64>) -> f64 {
        values.sum::<f64>() / 1080.0
    }

    #[test]
    fn constant_torque_gives_constant_speed() {
        let steady = vec![200.0; 1080];
        let torques = [TorqueAt { station: 0, torque_n_m: &steady }];
        let inputs = RippleInputs {
            omega_rad_s: 900.0,
            torques: &torques,
            load_station: 3,
            damping: TorsionDamping::default(),
            highest_order: USUAL_HIGHEST_ORDER,
        };
        let ripple = Ripple::of(&chain(), &inputs).unwrap();
        assert!((ripple.load_n_m() - 200.0).abs() < 1e-10);
        assert!((0..4).all(|s| ripple.fluctuation(s) < 1e-12));
        assert!(ripple.section_torque_n_m(2).iter().all(|t| (t - 200.0).abs() < 1e-8));
    }

    #[test]
    fn the_work_of_the_ripple_is_what_damping_takes_and_none_without() {
        for damping in [
            TorsionDamping::Modal(0.0),
            TorsionDamping::Modal(0.05),
            TorsionDamping::Hysteretic(0.05),
        ] {
            let (ripple, waves) = ripple(damping);
            let power: f64 = waves
                .iter()
                .zip([1, 2])
                .map(|(wave, s)| mean(wave.iter().zip(ripple.speed_rad_s(s)).map(|(t, w)| t * w)))
                .sum();
            let scale = 400.0 * ripple.fluctuation(1) * 900.0;
            assert!((power - ripple.damping_w()).abs() < 1e-9 * scale, "{damping:?}: {power}");
            assert_eq!(ripple.damping_w() == 0.0, damping == TorsionDamping::Modal(0.0));
        }
    }

    #[test]
    fn each_station_obeys_its_own_equation_of_motion() {
        // Without damping: J·α = torque on it + twist torque from the front − to the rear.
        let (ripple, waves) = ripple(TorsionDamping::Modal(0.0));
        let sections: Vec<Vec<f64>> = (0..3).map(|s| ripple.section_torque_n_m(s)).collect();
        for station in 0..4 {
            let alpha = ripple.acceleration_rad_s2(station);
            for theta in (0..1080).step_by(7) {
                let own = match station {
                    1 => waves[0][theta],
                    2 => waves[1][theta],
                    3 => -ripple.load_n_m(),
                    _ => 0.0,
                };
                let from = if station > 0 { sections[station - 1][theta] } else { 0.0 };
                let to = sections.get(station).map_or(0.0, |s| s[theta]);
                let inertia = chain().inertia_kg_m2()[station] * alpha[theta];
                assert!((inertia - (own + from - to)).abs() < 1e-7, "{station} {theta}");
            }
        }
    }

    #[test]
    fn an_undamped_resonance_is_an_error_and_wrong_inputs_are_named() {
        let first = chain().first_mode().unwrap();
        let steady = wave(0.0);
        let torques = [TorqueAt { station: 0, torque_n_m: &steady }];
        let mut inputs = RippleInputs {
            omega_rad_s: first.omega_rad_s / 2.0,
            torques: &torques,
            load_station: 3,
            damping: TorsionDamping::Modal(0.0),
            highest_order: 4,
        };
        let error = Ripple::of(&chain(), &inputs).unwrap_err();
        assert!(error.to_string().contains("order 2.00"), "{error}");
        inputs.damping = TorsionDamping::Modal(0.02);
        assert!(Ripple::of(&chain(), &inputs).is_ok());
        inputs.load_station = 4;
        assert!(Ripple::of(&chain(), &inputs).is_err());
        inputs.load_station = 3;
        let short = [TorqueAt { station: 0, torque_n_m: &steady[..360] }];
        inputs.torques = &short;
        assert!(Ripple::of(&chain(), &inputs).is_err());
    }
}
