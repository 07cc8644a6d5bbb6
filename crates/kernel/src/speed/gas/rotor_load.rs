//! What the gas does to a rotor: the force through its centre, and the torque on the shaft.
//!
//! The chambers of a rotor are the same chamber at `θ`, `θ − 360°` and `θ − 720°`: a rotor turns
//! by a third of the shaft, so after a turn of the shaft the next flank stands where this one
//! stood. Which number a flank has depends on the way the rotor is fitted ([`flank_lag_deg`]).
//! At its own angle `θ_c` the middle of a flank points to `90° + θ_c/3`; the pressure over it, less
//! the pressure inside the crankcase, pushes with `√3·R·b` the other way:
//!
//! `F(θ) = −√3·R·b·Σ (p(θ_c) − p_0)·exp(i(90° + θ_c/3))`,
//! `T(θ) = Σ (p(θ_c) − p_0)·dV/dθ(θ_c)`.
//!
//! The force goes through the rotor's centre, so the gas leaves the gear alone, and the torque is
//! what the force does on the throw, `e·exp(i(90° + θ)) × F` (virtual work; tested).
//! Another rotor is the first one delayed by the lag of its throw: the same bore, the same axes.

use super::super::range::{OutOfRange, within};
use super::chamber::GasChamber;
use super::error::GasError;
use super::harmonics::CYCLE_DEG;
use super::trace::Trace;
use crate::geometry::Looks;
use nalgebra::Complex;

/// By how many degrees of the shaft the chamber over a flank (1, 2 or 3) follows the chamber over
/// flank 1. Tips, and flanks with them, are counted clockwise looking at the gear face: with that
/// face to the rear the flanks follow each other in their order, to the front in reverse.
///
/// # Errors
/// A flank that a rotor has not.
pub fn flank_lag_deg(flank: usize, gear_face: Looks) -> Result<usize, GasError> {
    let index = match flank {
        1..=3 => flank - 1,
        _ => {
            #[expect(clippy::cast_precision_loss, reason = "a number shown")]
            let value = flank as f64;
            return Err(OutOfRange {
                quantity: "the number of a flank",
                value,
                unit: "",
                least: 1.0,
                most: 3.0,
            }
            .into());
        }
    };
    Ok(match gear_face {
        Looks::Rear => 360 * index,
        Looks::Front => (1080 - 360 * index) % 1080,
    })
}

/// The load of a rotor by gas, one value a degree of the shaft over 1080, `θ` the rotor's own
/// angle: from the firing top dead centre of the first chamber given.
#[derive(Debug, Clone, PartialEq)]
pub struct RotorGas {
    force_n: Vec<Complex<f64>>,
    torque_n_m: Vec<f64>,
    /// Pressure over the crankcase in the three chambers at each degree, Pa.
    over_pa: [Vec<f64>; 3],
    chamber: GasChamber,
}

impl RotorGas {
    /// From the traces of three chambers: those that fire at 0, 360 and 720 degrees, each counted
    /// from its own firing dead centre; and the absolute pressure inside the crankcase.
    ///
    /// # Errors
    /// A crankcase pressure outside 0.1 to 10 bar.
    pub fn new(
        chamber: GasChamber,
        traces: [&Trace; 3],
        crankcase_pa: f64,
    ) -> Result<Self, GasError> {
        within("the pressure in the crankcase", crankcase_pa, "Pa", (1e4, 1e6))?;
        let area_m2 = chamber.flank_area_m2();
        let mut force_n = Vec::with_capacity(CYCLE_DEG);
        let mut torque_n_m = Vec::with_capacity(CYCLE_DEG);
        let mut over_pa = [(); 3].map(|()| Vec::with_capacity(CYCLE_DEG));
        for theta in 0..CYCLE_DEG {
            let mut force = Complex::new(0.0, 0.0);
            let mut torque = 0.0;
            for (c, trace) in traces.iter().enumerate() {
                let own = own_deg(theta, c);
                let over = trace.pressure_pa()[own] - crankcase_pa;
                force -= over * area_m2 * flank_direction(own);
                #[expect(clippy::cast_precision_loss, reason = "below 1080")]
                let slope = chamber.at(own as f64).slope_m3_per_rad;
                torque += over * slope;
                over_pa[c].push(over);
            }
            force_n.push(force);
            torque_n_m.push(torque);
        }
        Ok(Self { force_n, torque_n_m, over_pa, chamber })
    }

    /// Three chambers with the same cycle.
    ///
    /// # Errors
    /// As [`RotorGas::new`].
    pub fn alike(chamber: GasChamber, trace: &Trace, crankcase_pa: f64) -> Result<Self, GasError> {
        Self::new(chamber, [trace; 3], crankcase_pa)
    }

    /// Force on the rotor at its centre, `F_x + i·F_y` in engine axes, N, at each degree of the
    /// rotor's own angle.
    #[must_use]
    pub fn force_n(&self) -> &[Complex<f64>] {
        &self.force_n
    }

    /// Torque on the shaft, N m, positive in the sense of rotation, at the same angles.
    #[must_use]
    pub fn torque_n_m(&self) -> &[f64] {
        &self.torque_n_m
    }

    /// Pressure over that of the crankcase in the chamber that fires at `360·chamber` degrees
    /// (0, 1, 2; nothing for others), Pa, at the same angles of the rotor.
    #[must_use]
    pub fn over_pa(&self, chamber: usize) -> &[f64] {
        self.over_pa.get(chamber).map_or(&[], Vec::as_slice)
    }

    /// The chamber it was made for.
    #[must_use]
    pub const fn chamber(&self) -> &GasChamber {
        &self.chamber
    }

    /// The same torque for a rotor whose throw lags that of rotor 1 by `lag_deg`, against the angle
    /// of rotor 1: whole degrees.
    #[must_use]
    pub fn delayed_torque_n_m(&self, lag_deg: usize) -> Vec<f64> {
        delayed(&self.torque_n_m, lag_deg)
    }

    /// Mean torque, N m.
    #[must_use]
    #[expect(clippy::cast_precision_loss, reason = "1080")]
    pub fn mean_torque_n_m(&self) -> f64 {
        self.torque_n_m.iter().sum::<f64>() / CYCLE_DEG as f64
    }
}

/// Periodic values, one a degree, as they come `lag_deg` later: for a rotor whose throw lags.
#[must_use]
pub fn delayed<T: Copy>(values: &[T], lag_deg: usize) -> Vec<T> {
    let count = values.len();
    (0..count).map(|theta| values[(theta + count - lag_deg % count) % count]).collect()
}

/// The own angle of chamber `c` (0, 1, 2) when its rotor is at `theta`, whole degrees.
pub(crate) const fn own_deg(theta: usize, c: usize) -> usize {
    (theta + CYCLE_DEG - 360 * c) % CYCLE_DEG
}

/// Where the middle of a flank points at its own angle: unit arrow, engine axes.
pub(crate) fn flank_direction(own_deg: usize) -> Complex<f64> {
    #[expect(clippy::cast_precision_loss, reason = "below 1080")]
    let own = own_deg as f64;
    Complex::cis((90.0 + own / 3.0).to_radians())
}

#[cfg(test)]
mod tests {
    use super::super::GasModel;
    use super::super::burn::Scatter;
    use super::super::model::tests::{boosted, chamber};
    use super::*;
    use crate::geometry::{FacePath, FacePathOf, Trochoid};
    use crate::units::{Angle, Length};

    fn loads() -> (RotorGas, RotorGas) {
        let model = GasModel::new(boosted()).unwrap();
        let mean = model.mean_cycle().unwrap();
        let knocking = model.scattered(&mean, Scatter::knocking()).unwrap();
        let alike = RotorGas::alike(chamber(9.0), &mean.trace, 1e5).unwrap();
        let traces = [&mean.trace, &knocking.trace, &mean.trace];
        (alike, RotorGas::new(chamber(9.0), traces, 1.3e5).unwrap())
    }

    #[test]
    fn the_force_on_the_throw_makes_the_torque() {
        let (alike, mixed) = loads();
        for load in [&alike, &mixed] {
            for (theta, (force, torque)) in load.force_n().iter().zip(load.torque_n_m()).enumerate()
            {
                let throw = 0.015 * Complex::cis((90.0 + theta as f64).to_radians());
                let moment = throw.re * force.im - throw.im * force.re;
                assert!((moment - torque).abs() < 1e-9 * force.norm(), "{theta}");
            }
        }
    }

    #[test]
    fn uniform_pressure_neither_pushes_nor_turns_whatever_the_crankcase_has() {
        let load = RotorGas::alike(chamber(9.0), &Trace::uniform(30e5).unwrap(), 1e5).unwrap();
        let scale = 29e5 * chamber(9.0).flank_area_m2();
        assert!(load.force_n().iter().all(|f| f.norm() < 1e-13 * scale));
        assert!(load.torque_n_m().iter().all(|t| t.abs() < 1e-13 * scale * 0.015));
        let model = GasModel::new(boosted()).unwrap();
        let trace = model.mean_cycle().unwrap().trace;
        let other = RotorGas::alike(chamber(9.0), &trace, 2e5).unwrap();
        let one = RotorGas::alike(chamber(9.0), &trace, 1e5).unwrap();
        for (a, b) in one.force_n().iter().zip(other.force_n()) {
            assert!((a - b).norm() < 1e-12 * scale);
        }
    }

    #[test]
    fn alike_chambers_repeat_each_turn_and_their_work_is_the_cycles() {
        let (alike, mixed) = loads();
        for theta in 0..720 {
            let off = alike.force_n()[theta] - alike.force_n()[theta + 360];
            assert!(off.norm() < 1e-9 * alike.force_n()[theta].norm());
        }
        assert!((mixed.force_n()[20] - mixed.force_n()[380]).norm() > 1e3);
        let report = GasModel::new(boosted()).unwrap().mean_cycle().unwrap().report;
        assert!((alike.mean_torque_n_m() / report.rotor_torque_n_m - 1.0).abs() < 1e-6);
        // At the firing dead centre the gas pushes the rotor away from the waist.
        assert!(alike.force_n()[0].im < -2e4);
    }

    #[test]
    fn the_peak_force_is_where_the_chamber_that_fires_is_and_rotors_are_delayed() {
        let (_, mixed) = loads();
        // The knocking chamber is the one that fires at 360.
        let peak = (0..1080)
            .max_by(|a, b| mixed.force_n()[*a].norm().total_cmp(&mixed.force_n()[*b].norm()))
            .unwrap();
        assert!((370..400).contains(&peak), "{peak}");
        let lag = mixed.delayed_torque_n_m(180);
        assert_eq!(lag[180 + 17], mixed.torque_n_m()[17]);
        assert_eq!(lag[17], mixed.torque_n_m()[1080 + 17 - 180]);
    }

    #[test]
    fn flanks_follow_each_other_as_the_points_of_the_rotor_do() {
        let trochoid = Trochoid::new(Length::mm(105.0), Length::mm(15.0), Length::ZERO).unwrap();
        for gear_face in [Looks::Rear, Looks::Front] {
            for flank in 1..=3 {
                let azimuth = Angle::deg(-60.0 - 120.0 * (flank as f64 - 1.0));
                let middle = FacePathOf { gear_face, radius: Length::mm(75.0), azimuth };
                let lag_deg = flank_lag_deg(flank, gear_face).unwrap();
                let at = Angle::deg(lag_deg as f64);
                let place = FacePath::new(trochoid, middle).unwrap().position(at);
                // The throw is at +y there, and so is the middle of the flank that fires.
                assert!((place.y.to_mm() - 90.0).abs() < 1e-9, "{gear_face:?} {flank}");
                assert!(place.x.to_mm().abs() < 1e-9);
            }
        }
        assert!(flank_lag_deg(0, Looks::Rear).is_err());
    }
}
