//! What a shaft is made of: stretches, what it carries, what carries it.

use super::error::ShaftError;
use super::stretch::Stretch;
use super::support::Support;
use super::theory::{Mesh, Theory};

/// Places closer than this are the same place: it is the rounding of sums of lengths, not a
/// measure of anything.
pub(super) const SAME_PLACE_M: f64 = 1e-9;

/// How far a polar inertia may lie above twice the diametral one: both are often given with three
/// digits, and of a thin disc they are just that.
const INERTIA_ROUNDING: f64 = 0.01;

/// A body fixed to the shaft: a counterweight, the flywheel, a pulley, a rotor carried as mass at
/// its place. Rotors run on a bearing and do not follow the slope: their inertia is 0 here.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Disc {
    /// Distance of its mass centre from the front end of the shaft.
    pub at_m: f64,
    /// Mass, 0 or more.
    pub mass_kg: f64,
    /// Moment of inertia about the shaft, 0 or more, at most twice the diametral one.
    pub polar_kg_m2: f64,
    /// Moment of inertia about a diameter through its mass centre, 0 or more.
    pub diametral_kg_m2: f64,
}

impl Disc {
    /// A round body of constant thickness with a concentric hole: its mass is
    /// `ρ π/4 (D² − d²) w`, its polar inertia `m (D² + d²) / 8`, its diametral one
    /// `m (3 D² + 3 d² + 4 w²) / 48`.
    #[must_use]
    pub fn ring(at_m: f64, outer_m: f64, inner_m: f64, width_m: f64, density_kg_m3: f64) -> Self {
        let squares = outer_m * outer_m + inner_m * inner_m;
        let face = std::f64::consts::PI / 4.0 * (outer_m * outer_m - inner_m * inner_m);
        let mass_kg = density_kg_m3 * face * width_m;
        Self {
            at_m,
            mass_kg,
            polar_kg_m2: mass_kg * squares / 8.0,
            diametral_kg_m2: mass_kg * (3.0 * squares + 4.0 * width_m * width_m) / 48.0,
        }
    }

    /// Diameter and width of the solid cylinder that has its mass and polar inertia, of one
    /// density: `D = √(8 I_p/m)`, `w = 4 m/(π ρ D²)`. How a body is drawn of which no more is
    /// known; nothing for a point on the axis, which has no diameter.
    #[must_use]
    pub fn as_cylinder_m(&self, density_kg_m3: f64) -> Option<[f64; 2]> {
        let square = 8.0 * self.polar_kg_m2 / self.mass_kg;
        let width_m = 4.0 * self.mass_kg / (std::f64::consts::PI * density_kg_m3 * square);
        (square.is_normal() && width_m.is_finite()).then(|| [square.sqrt(), width_m])
    }
}

/// A mass off the axis that turns with the shaft.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unbalance {
    /// Distance from the front end of the shaft.
    pub at_m: f64,
    /// Mass times its distance from the axis, 0 or more.
    pub amount_kg_m: f64,
    /// Direction in the shaft, from the throw of rotor 1, positive in the sense of rotation.
    pub angle_rad: f64,
}

/// A shaft as it is to be modelled. Places are distances from its front end, positive to the rear.
#[derive(Debug, Clone, PartialEq)]
pub struct ShaftModel {
    /// Stretches from the front end to the rear.
    pub stretches: Vec<Stretch>,
    /// Bodies fixed to it; two may share a place.
    pub discs: Vec<Disc>,
    /// Unbalances; two may share a place. Masses turning off the axis with a rotor journal belong
    /// here too.
    pub unbalances: Vec<Unbalance>,
    /// Main bearings, one to a place.
    pub supports: Vec<Support>,
    /// Where loads act and answers are wanted, such as the mid-planes of the rotors; each place
    /// once.
    pub stations_m: Vec<f64>,
    /// What the beam theory counts.
    pub theory: Theory,
    /// How the stretches are cut into elements.
    pub mesh: Mesh,
}

impl ShaftModel {
    /// Length of the shaft.
    #[must_use]
    pub fn length_m(&self) -> f64 {
        self.stretches.iter().map(|stretch| stretch.length_m).sum()
    }

    pub(super) fn check(&self) -> Result<(), ShaftError> {
        if self.stretches.is_empty() {
            return Err(ShaftError::NoStretch);
        }
        for (index, stretch) in self.stretches.iter().enumerate() {
            stretch.check(index + 1)?;
        }
        if self.supports.is_empty() {
            return Err(ShaftError::NoSupport);
        }
        let supports_m: Vec<f64> = self.supports.iter().map(|support| support.at_m).collect();
        let (discs, unbalances) = (self.discs.iter(), self.unbalances.iter());
        self.inside("main bearing", supports_m.iter().copied())?;
        self.inside("disc", discs.clone().map(|disc| disc.at_m))?;
        self.inside("unbalance", unbalances.map(|unbalance| unbalance.at_m))?;
        self.inside("station", self.stations_m.iter().copied())?;
        apart("main bearing", &supports_m)?;
        apart("station", &self.stations_m)?;
        for (index, support) in self.supports.iter().enumerate() {
            support.rates.check(index + 1)?;
        }
        for (index, disc) in discs.enumerate() {
            check_disc(index + 1, disc)?;
        }
        self.check_unbalances()
    }

    fn check_unbalances(&self) -> Result<(), ShaftError> {
        for (index, unbalance) in self.unbalances.iter().enumerate() {
            let (part, number) = ("unbalance", index + 1);
            let (what, value, unit) = ("its amount", unbalance.amount_kg_m, "kg m");
            if !(value >= 0.0 && value.is_finite()) {
                return Err(ShaftError::Negative { part, number, what, value, unit });
            }
            let (what, value, unit) = ("its angle", unbalance.angle_rad, "rad");
            if !value.is_finite() {
                return Err(ShaftError::NotFinite { part, number, what, value, unit });
            }
        }
        Ok(())
    }

    fn inside(
        &self,
        part: &'static str,
        places: impl Iterator<Item = f64>,
    ) -> Result<(), ShaftError> {
        let length_m = self.length_m();
        for (index, at_m) in places.enumerate() {
            // Written so that a NaN fails too.
            if !(at_m >= -SAME_PLACE_M && at_m <= length_m + SAME_PLACE_M) {
                return Err(ShaftError::Outside { part, number: index + 1, at_m, length_m });
            }
        }
        Ok(())
    }
}

fn check_disc(number: usize, disc: &Disc) -> Result<(), ShaftError> {
    let (polar_kg_m2, diametral_kg_m2) = (disc.polar_kg_m2, disc.diametral_kg_m2);
    for (what, value, unit) in [
        ("its mass", disc.mass_kg, "kg"),
        ("its polar inertia", polar_kg_m2, "kg m2"),
        ("its diametral inertia", diametral_kg_m2, "kg m2"),
    ] {
        if !(value >= 0.0 && value.is_finite()) {
            return Err(ShaftError::Negative { part: "disc", number, what, value, unit });
        }
    }
    if polar_kg_m2 > 2.0 * (1.0 + INERTIA_ROUNDING) * diametral_kg_m2 {
        return Err(ShaftError::Inertia { number, polar_kg_m2, diametral_kg_m2 });
    }
    Ok(())
}

/// Refuses two parts of a kind at one place.
fn apart(part: &'static str, places_m: &[f64]) -> Result<(), ShaftError> {
    for (i, at_m) in places_m.iter().enumerate() {
        for (j, other_m) in places_m.iter().enumerate().take(i) {
            if (at_m - other_m).abs() <= SAME_PLACE_M {
                return Err(ShaftError::Overlap { part, one: j + 1, other: i + 1, at_m: *at_m });
            }
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::super::{Rates, Shaft, sample};
    use super::*;

    fn refused(change: impl FnOnce(&mut ShaftModel)) -> String {
        let mut model = sample::two_rotor();
        change(&mut model);
        Shaft::new(model).unwrap_err().to_string()
    }

    #[test]
    fn a_cylinder_is_found_again_from_its_mass_and_inertia() {
        let disc = Disc::ring(0.1, 0.24, 0.0, 0.016, 7850.0);
        let [outer_m, width_m] = disc.as_cylinder_m(7850.0).unwrap();
        assert!((outer_m - 0.24).abs() < 1e-12 && (width_m - 0.016).abs() < 1e-12);
        assert_eq!(Disc { polar_kg_m2: 0.0, ..disc }.as_cylinder_m(7850.0), None);
        assert_eq!(Disc { polar_kg_m2: 0.0, mass_kg: 0.0, ..disc }.as_cylinder_m(7850.0), None);
    }

    #[test]
    fn each_fault_is_named_with_its_part() {
        assert_eq!(refused(|m| m.stretches.clear()), "the shaft has no sections");
        assert_eq!(refused(|m| m.supports.clear()), "the shaft has no main bearing");
        assert_eq!(
            refused(|m| m.stretches[1].length_m = 0.0),
            "section 2: its length is 0 m; it is to be more than nothing"
        );
        assert_eq!(
            refused(|m| m.stretches[1].density_kg_m3 = f64::NAN),
            "section 2: its density is NaN kg/m3; it is to be more than nothing"
        );
        assert_eq!(
            refused(|m| m.stretches[0].inner_m = 0.05),
            "section 1: a hollow of 0.05 m leaves no wall in 0.043 m"
        );
        assert_eq!(
            refused(|m| m.stretches[0].inner_m = -0.05),
            "section 1: its hollow is -0.05 m; it is to be zero or more"
        );
        assert_eq!(
            refused(|m| m.stretches[2].poisson = 0.5),
            "section 3: a Poisson's ratio of 0.5; it is to be from 0 to below 0.5"
        );
        assert_eq!(
            refused(|m| m.stations_m[1] = 0.7),
            "station 2 is at 0.7 m; the shaft runs from 0 to 0.45 m"
        );
        assert_eq!(
            refused(|m| m.discs[0].at_m = -0.01),
            "disc 1 is at -0.01 m; the shaft runs from 0 to 0.45 m"
        );
        assert_eq!(
            refused(|m| m.unbalances[0].at_m = f64::INFINITY),
            "unbalance 1 is at inf m; the shaft runs from 0 to 0.45 m"
        );
        assert_eq!(
            refused(|m| m.stations_m[1] = m.stations_m[0]),
            "stations 1 and 2 are both at 0.13 m"
        );
        assert_eq!(
            refused(|m| m.supports[1].at_m = m.supports[0].at_m),
            "main bearings 1 and 2 are both at 0.06 m"
        );
        assert_eq!(
            refused(|m| m.discs[0].mass_kg = -1.0),
            "disc 1: its mass is -1 kg; it is to be zero or more"
        );
        assert_eq!(
            refused(|m| m.discs[0].polar_kg_m2 = 0.009),
            "disc 1: a polar inertia of 0.009 kg m2 is more than twice the diametral one, 0.002 kg m2; no body has that"
        );
        assert_eq!(
            refused(|m| m.unbalances[1].amount_kg_m = -0.1),
            "unbalance 2: its amount is -0.1 kg m; it is to be zero or more"
        );
        assert_eq!(
            refused(|m| m.unbalances[1].angle_rad = f64::NAN),
            "unbalance 2: its angle is NaN rad; it is to be a finite number"
        );
        assert_eq!(
            refused(|m| m.supports[0].rates.damping_n_s_per_m[0][1] = f64::NAN),
            "main bearing 1: its damping is NaN N s/m; it is to be a finite number"
        );
    }

    #[test]
    fn a_shaft_that_can_swing_freely_is_refused() {
        let said = refused(|m| {
            m.supports.truncate(1);
            m.supports[0].rates = Rates::isotropic(1e8, 0.0, 0.0, 0.0);
        });
        assert!(said.starts_with("the main bearings do not hold the shaft"), "{said}");
        let said = refused(|m| {
            for support in &mut m.supports {
                support.rates.stiffness_n_per_m[0] = [0.0, 0.0];
            }
        });
        assert!(said.starts_with("the main bearings do not hold the shaft"), "{said}");
    }
}
