//! Drag of a rotor's seals about its centre, estimated from what presses them on.
//!
//! A seal is pressed by its spring and by gas: full pressure below it, and across its face a
//! straight fall to the lower side, so half the difference counts. An apex seal has two chambers
//! at its sides, a side seal a chamber and the crankcase. Friction is one coefficient times that
//! load, at the seal's own radius: an upper bound for side and oil seals, which slide about the
//! point opposite the throw rather than the rotor's centre, and for apex seals, which lean.

use super::super::range::within;
use super::error::SpinError;
use crate::speed::gas::{CYCLE_DEG, RotorGas};

/// What presses a rotor's seals on, and where.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SealDrag {
    /// Coefficient of friction, the same for all.
    pub friction: f64,
    /// Spring load of an apex seal, N; three of them.
    pub apex_spring_n: f64,
    /// Thickness of an apex seal across its groove, m.
    pub apex_thickness_m: f64,
    /// Spring load of a side seal, N; six of them.
    pub side_spring_n: f64,
    /// Thickness of a side seal, m.
    pub side_thickness_m: f64,
    /// Length of a side seal, m.
    pub side_length_m: f64,
    /// Mean distance of side seals from the rotor's centre, m.
    pub side_radius_m: f64,
    /// Spring load of all oil seals of the rotor together, N.
    pub oil_spring_n: f64,
    /// Their mean radius, m.
    pub oil_radius_m: f64,
    /// Anything else, N m, positive against the rotation; what the bearing's film drags the rotor
    /// on with is negative.
    pub other_n_m: f64,
}

impl SealDrag {
    /// For a rotor of this generating radius, m: common practice, no source.
    #[must_use]
    pub fn usual(generating_radius_m: f64) -> Self {
        Self {
            friction: 0.06,
            apex_spring_n: 45.0,
            apex_thickness_m: 0.003,
            side_spring_n: 25.0,
            side_thickness_m: 0.001,
            side_length_m: 1.4 * generating_radius_m,
            side_radius_m: 0.78 * generating_radius_m,
            oil_spring_n: 200.0,
            oil_radius_m: 0.62 * generating_radius_m,
            other_n_m: 0.0,
        }
    }

    /// Drag at each degree of the rotor's own angle over 1080, N m.
    ///
    /// # Errors
    /// A value outside its limits.
    pub fn torque_n_m(&self, gas: &RotorGas) -> Result<Vec<f64>, SpinError> {
        within("the coefficient of friction of seals", self.friction, "", (0.0, 1.0))?;
        for (quantity, value) in [
            ("the spring load of an apex seal", self.apex_spring_n),
            ("the spring load of a side seal", self.side_spring_n),
            ("the spring load of the oil seals", self.oil_spring_n),
        ] {
            within(quantity, value, "N", (0.0, 1e5))?;
        }
        for (quantity, value) in [
            ("the thickness of an apex seal", self.apex_thickness_m),
            ("the thickness of a side seal", self.side_thickness_m),
            ("the length of a side seal", self.side_length_m),
            ("the radius of side seals", self.side_radius_m),
            ("the radius of oil seals", self.oil_radius_m),
        ] {
            within(quantity, value, "m", (0.0, 10.0))?;
        }
        within("the other drag of a rotor", self.other_n_m, "N m", (-1e4, 1e4))?;
        let form = gas.chamber().form();
        let apex_m2 = 0.5 * self.apex_thickness_m * form.width_m;
        // A flank has a side seal on both faces.
        let side_m2 = self.side_thickness_m * self.side_length_m;
        let springs_n_m = 3.0 * self.apex_spring_n * form.generating_radius_m
            + 6.0 * self.side_spring_n * self.side_radius_m
            + self.oil_spring_n * self.oil_radius_m;
        Ok((0..CYCLE_DEG)
            .map(|theta| {
                let over = [0, 1, 2].map(|c| gas.over_pa(c)[theta]);
                let apex_n: f64 =
                    (0..3).map(|c| apex_m2 * (over[c] - over[(c + 1) % 3]).abs()).sum();
                let side_n: f64 = over.iter().map(|over| side_m2 * over.abs()).sum();
                let pressed_n_m =
                    springs_n_m + apex_n * form.generating_radius_m + side_n * self.side_radius_m;
                self.friction * pressed_n_m + self.other_n_m
            })
            .collect())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::speed::gas::{ChamberForm, GasChamber, Trace};

    #[test]
    fn uniform_pressure_presses_side_seals_only() {
        let chamber = GasChamber::new(ChamberForm {
            generating_radius_m: 0.1,
            eccentricity_m: 0.015,
            width_m: 0.08,
            compression_ratio: 9.0,
        })
        .unwrap();
        let gas =
            |bar: f64| RotorGas::alike(chamber, &Trace::uniform(bar * 1e5).unwrap(), 1e5).unwrap();
        let drag = SealDrag { other_n_m: -0.5, ..SealDrag::usual(0.1) };
        // 0.06·(3·45·0.1 + 6·25·0.078 + 200·0.062) − 0.5 = 0.06·37.6 − 0.5
        let still = drag.torque_n_m(&gas(1.0)).unwrap();
        assert!(still.iter().all(|t| (t - 1.756).abs() < 1e-12));
        // 10 bar over on 3·0.001·0.14 m² at 0.078 m.
        let pressed = drag.torque_n_m(&gas(11.0)).unwrap();
        assert!((pressed[77] - still[77] - 0.06 * 1e6 * 4.2e-4 * 0.078).abs() < 1e-9);
        let wrong = SealDrag { friction: f64::NAN, ..drag };
        assert!(wrong.torque_n_m(&gas(1.0)).is_err());
    }
}
