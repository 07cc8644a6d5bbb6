//! The phasing gear: what its mesh must carry, where it changes sides, and how it tilts the rotor.
//!
//! The rotor's internal gear, pitch radius `3e`, rolls on the stationary gear, pitch radius `2e`.
//! They mesh opposite the throw, `2e` from the shaft's axis and `3e` from the rotor's, where the
//! rotor's metal stands still. Gas and bearing push through the rotor's centre, so about it only
//! mesh and friction turn the rotor, whose speed is a third of its journal's:
//! `I_p·α/3 = T − D`, `α` the journal's angular acceleration, `D` the drag of the seals.
//!
//! With `u` the direction of the throw, the mesh pulls on the rotor at `−3e·u` with `F_t` along
//! `−i·u` (`T = 3e·F_t`, positive with the rotation) and pushes teeth apart, which for an internal
//! gear is outward, along `−u`, with `|F_t|·tan α_w`. Only metal-to-metal flanks are followed: the
//! time a tooth needs to cross its backlash is not. The gear stands off the rotor's mid-plane by
//! `h` (positive to the rear), so its force also tilts the rotor: slopes `t = (t_x, t_y)` move the
//! mesh by `t·h`, so the moment that belongs to them is `m = h·F`.

use super::super::range::within;
use super::error::{SpinError, counted};
use crate::speed::gas::CYCLE_DEG;
use nalgebra::Complex;

/// The gear of a rotor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PhasingGear {
    /// Eccentricity, m.
    pub eccentricity_m: f64,
    /// Pressure angle, radians.
    pub pressure_angle_rad: f64,
    /// From the rotor's mid-plane to the middle of the teeth, m, positive to the rear.
    pub axial_offset_m: f64,
    /// The rotor's polar inertia, kg m².
    pub polar_kg_m2: f64,
}

/// The usual pressure angle, radians (20 degrees): common practice, no source.
pub const USUAL_PRESSURE_ANGLE_RAD: f64 = 0.349_065_850_398_865_9;

/// How a rotor is driven, at each degree of rotor 1's angle over 1080.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RotorDriven<'a> {
    /// Angular acceleration of its journal, rad/s².
    pub acceleration_rad_s2: &'a [f64],
    /// Drag of its seals about its centre, N m, positive against the rotation.
    pub drag_n_m: &'a [f64],
    /// How far its throw lags that of rotor 1, degrees.
    pub lag_deg: f64,
}

/// What the mesh carries, at each degree of rotor 1's angle over 1080.
#[derive(Debug, Clone, PartialEq)]
pub struct MeshLoad {
    /// Torque of the mesh on the rotor about its centre, N m.
    pub torque_n_m: Vec<f64>,
    /// Tangential force, N, positive when it drives the rotor on.
    pub tangential_n: Vec<f64>,
    /// Whole force on the rotor, `F_x + i·F_y`, N. As the bearing's, it reaches the journal too.
    pub force_n: Vec<Complex<f64>>,
    /// Moment on the rotor that belongs to its slopes, `m_x + i·m_y`, N m.
    pub tilt_n_m: Vec<Complex<f64>>,
    /// Where the tangential force changes sign and the teeth cross their backlash, degrees.
    pub reversals_deg: Vec<f64>,
}

impl MeshLoad {
    /// Largest tangential force either way, N.
    #[must_use]
    pub fn greatest_n(&self) -> f64 {
        self.tangential_n.iter().fold(0.0, |most, f| f.abs().max(most))
    }
}

impl PhasingGear {
    /// The load of the mesh.
    ///
    /// # Errors
    /// A size outside its limits, lists that are not 1080 numbers.
    pub fn load(&self, driven: &RotorDriven<'_>) -> Result<MeshLoad, SpinError> {
        within("the eccentricity", self.eccentricity_m, "m", (1e-4, 1.0))?;
        within("the pressure angle", self.pressure_angle_rad, "rad", (0.1, 0.8))?;
        within("the offset of the gear from the mid-plane", self.axial_offset_m, "m", (-1.0, 1.0))?;
        within("the polar inertia of a rotor", self.polar_kg_m2, "kg m2", (0.0, 1e3))?;
        within("the lag of a throw", driven.lag_deg, "degrees", (-1080.0, 1080.0))?;
        counted("the acceleration of a journal", driven.acceleration_rad_s2.len(), CYCLE_DEG)?;
        counted("the drag of a rotor", driven.drag_n_m.len(), CYCLE_DEG)?;
        let spread = self.pressure_angle_rad.tan();
        let mut load = MeshLoad {
            torque_n_m: Vec::with_capacity(CYCLE_DEG),
            tangential_n: Vec::with_capacity(CYCLE_DEG),
            force_n: Vec::with_capacity(CYCLE_DEG),
            tilt_n_m: Vec::with_capacity(CYCLE_DEG),
            reversals_deg: Vec::new(),
        };
        let pairs = driven.acceleration_rad_s2.iter().zip(driven.drag_n_m);
        for (theta, (alpha, drag)) in pairs.enumerate() {
            within("the acceleration of a journal", *alpha, "rad/s2", (-1e8, 1e8))?;
            within("the drag of a rotor", *drag, "N m", (-1e5, 1e5))?;
            let torque = self.polar_kg_m2 * alpha / 3.0 + drag;
            let tangential = torque / (3.0 * self.eccentricity_m);
            let throw = throw_direction(theta, driven.lag_deg);
            let along = throw * Complex::new(0.0, -1.0);
            let force = tangential * along - tangential.abs() * spread * throw;
            load.torque_n_m.push(torque);
            load.tangential_n.push(tangential);
            load.force_n.push(force);
            load.tilt_n_m.push(self.axial_offset_m * force);
        }
        load.reversals_deg = reversals_deg(&load.tangential_n);
        Ok(load)
    }
}

/// Unit arrow along the throw, engine axes.
#[expect(clippy::cast_precision_loss, reason = "below 1080")]
fn throw_direction(theta: usize, lag_deg: f64) -> Complex<f64> {
    Complex::cis((90.0 + theta as f64 - lag_deg).to_radians())
}

/// Where a periodic list changes sign, between its values in a straight line.
#[expect(clippy::cast_precision_loss, reason = "below 1080")]
fn reversals_deg(values: &[f64]) -> Vec<f64> {
    let count = values.len();
    // The last sign there was, so that a stretch of nothing counts once if at all.
    let Some(mut sign) = values.iter().rev().find(|v| **v != 0.0).map(|v| v.signum()) else {
        return Vec::new();
    };
    let mut found = Vec::new();
    for (theta, value) in values.iter().enumerate() {
        if *value != 0.0 && value.signum() != sign {
            sign = value.signum();
            let before = values[(theta + count - 1) % count];
            let share = before / (before - value);
            found.push((theta as f64 - 1.0 + share).rem_euclid(count as f64));
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    const E: f64 = 0.015;

    fn gear() -> PhasingGear {
        PhasingGear {
            eccentricity_m: E,
            pressure_angle_rad: USUAL_PRESSURE_ANGLE_RAD,
            axial_offset_m: -0.03,
            polar_kg_m2: 0.018,
        }
    }

    fn cross(a: Complex<f64>, b: Complex<f64>) -> f64 {
        a.re * b.im - a.im * b.re
    }

    fn load(lag_deg: f64) -> MeshLoad {
        let alpha: Vec<f64> = (0..1080).map(|d| 3000.0 * f64::from(d).to_radians().sin()).collect();
        let drag = vec![6.0; 1080];
        let driven = RotorDriven { acceleration_rad_s2: &alpha, drag_n_m: &drag, lag_deg };
        gear().load(&driven).unwrap()
    }

    #[test]
    fn moments_about_the_rotors_centre_and_virtual_work_balance() {
        let load = load(180.0);
        let omega = 1000.0;
        for theta in 0..1080 {
            let throw = throw_direction(theta, 180.0);
            let (centre, mesh) = (E * throw, -2.0 * E * throw);
            let force = load.force_n[theta];
            // The mesh turns the rotor about its centre with the torque asked for.
            let about = cross(mesh - centre, force);
            assert!((about - load.torque_n_m[theta]).abs() < 1e-9);
            // The rotor's metal stands still at the mesh, so the mesh does no work: what the
            // force does on the centre is what the torque takes, and drag costs a third on the
            // shaft.
            let centre_m_per_s = Complex::new(0.0, omega) * centre;
            let power = force.re * centre_m_per_s.re
                + force.im * centre_m_per_s.im
                + load.torque_n_m[theta] * omega / 3.0;
            assert!(power.abs() < 1e-8 * force.norm(), "{theta}: {power}");
            let on_shaft = cross(centre, force);
            assert!((on_shaft + load.torque_n_m[theta] / 3.0).abs() < 1e-9);
        }
    }

    #[test]
    fn teeth_push_the_internal_gear_away_from_the_stationary_one() {
        let load = load(0.0);
        for theta in 0..1080 {
            let throw = throw_direction(theta, 0.0);
            // Away from the shaft's axis where they mesh, which is opposite the throw.
            let outward = -(load.force_n[theta] * throw.conj()).re;
            let expected = load.tangential_n[theta].abs() * 20f64.to_radians().tan();
            assert!((outward - expected).abs() < 1e-9);
            assert_eq!(load.tilt_n_m[theta], -0.03 * load.force_n[theta]);
        }
    }

    #[test]
    fn the_tilting_moment_is_the_work_done_on_a_slope() {
        let load = load(0.0);
        let slope = Complex::new(1e-3, -2e-3);
        let moved = slope * gear().axial_offset_m;
        let work = load.force_n[77].re * moved.re + load.force_n[77].im * moved.im;
        let given = load.tilt_n_m[77].re * slope.re + load.tilt_n_m[77].im * slope.im;
        assert!((work - given).abs() < 1e-15);
    }

    #[test]
    fn teeth_change_sides_where_the_force_does() {
        // 18 sin θ + 6 = 0 at 199.47 and 340.53 degrees, each turn.
        let load = load(0.0);
        let at = (1.0f64 / 3.0).asin().to_degrees();
        let expected: Vec<f64> = (0..3)
            .flat_map(|t| [180.0 + at, 360.0 - at].map(|d| d + 360.0 * f64::from(t)))
            .collect();
        assert_eq!(load.reversals_deg.len(), 6);
        for (got, expected) in load.reversals_deg.iter().zip(expected) {
            assert!((got - expected).abs() < 1e-3, "{got} {expected}");
        }
        assert!((load.greatest_n() - 24.0 / 0.045).abs() < 1e-9);
        assert!(reversals_deg(&[1.0, 1.0, 0.0, 1.0]).is_empty());
        assert_eq!(reversals_deg(&[-1.0, 1.0, 1.0, 1.0]).len(), 2);
        assert!(reversals_deg(&[0.0; 4]).is_empty());
    }

    #[test]
    fn wrong_inputs_are_named() {
        let (alpha, mut drag) = (vec![0.0; 1080], vec![0.0; 1080]);
        let short =
            RotorDriven { acceleration_rad_s2: &alpha[..10], drag_n_m: &drag, lag_deg: 0.0 };
        assert!(gear().load(&short).unwrap_err().to_string().contains("10 entries"));
        drag[5] = f64::NAN;
        let driven = RotorDriven { acceleration_rad_s2: &alpha, drag_n_m: &drag, lag_deg: 0.0 };
        assert!(gear().load(&driven).is_err());
    }
}
