//! The three lengths that make a rotary engine's bore and rotor, checked.

use super::error::{GeometryError, not_negative, positive};
use crate::units::Length;

/// Generating radius `R`, eccentricity `e` and parallel shift `a` of a rotary engine whose
/// rotor has three flanks and turns at a third of the shaft's speed.
///
/// # What is refused, and why
/// - `R ≤ 3e`: the path of a tip has cusps and the flank's closed form ends (`3e/R < 1`). The
///   limit set here is `R > 4e`: up to `R = 5e` the internal gear of pitch radius `3e` does not
///   even fit below the flank, which is `R − 2e` from the axis. Below `4.5e` the middle of a
///   flank is hollow; that is allowed.
/// - a shift that is not less than the radius of the hollow at the waist,
///   `(R − 3e)² / (9e − R)` for `R < 9e`: the shifted bore would have a cusp. From `9e` on the
///   bore has no hollow.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Trochoid {
    r_m: f64,
    e_m: f64,
    a_m: f64,
}

impl Trochoid {
    /// What `R/e` must exceed.
    pub const LEAST_RATIO: f64 = 4.0;
    /// Smallest generating radius: a toy.
    pub const LEAST_RADIUS: Length = Length::mm(1.0);
    /// Largest generating radius: a size with a slip of a unit in it is larger.
    pub const GREATEST_RADIUS: Length = Length::m(10.0);

    /// From generating radius (axis of the rotor to the centre of an apex seal's crown),
    /// eccentricity (half the stroke of the rotor journal) and parallel shift (radius of the
    /// apex seal's crown; nothing for a sharp tip).
    ///
    /// # Errors
    /// What the type refuses, and lengths that are negative or not finite.
    pub fn new(
        generating_radius: Length,
        eccentricity: Length,
        parallel_shift: Length,
    ) -> Result<Self, GeometryError> {
        let r_m = positive("the generating radius", generating_radius)?;
        let (least, most) = (Self::LEAST_RADIUS, Self::GREATEST_RADIUS);
        if generating_radius < least || generating_radius > most {
            let name = "the generating radius";
            return Err(GeometryError::OutOfRange { name, value: generating_radius, least, most });
        }
        let e_m = positive("the eccentricity", eccentricity)?;
        let a_m = not_negative("the parallel shift", parallel_shift)?;
        if parallel_shift > generating_radius {
            return Err(GeometryError::OutOfRange {
                name: "the parallel shift",
                value: parallel_shift,
                least: Length::ZERO,
                most: generating_radius,
            });
        }
        let ratio = r_m / e_m;
        if ratio <= Self::LEAST_RATIO {
            return Err(GeometryError::TooEccentric { ratio, least: Self::LEAST_RATIO });
        }
        let made = Self { r_m, e_m, a_m };
        match made.hollow_radius() {
            Some(hollow) if parallel_shift >= hollow => {
                Err(GeometryError::ShiftMakesCusp { shift: parallel_shift, hollow })
            }
            _ => Ok(made),
        }
    }

    /// Generating radius `R`: from the rotor's axis to the centre of an apex seal's crown.
    #[must_use]
    pub const fn generating_radius(&self) -> Length {
        Length::m(self.r_m)
    }

    /// Eccentricity `e`: from the shaft's axis to the rotor's.
    #[must_use]
    pub const fn eccentricity(&self) -> Length {
        Length::m(self.e_m)
    }

    /// Parallel shift `a`: how far the bore lies outside the path of the tips' centres.
    #[must_use]
    pub const fn parallel_shift(&self) -> Length {
        Length::m(self.a_m)
    }

    /// Radius of the hollow at the waist of the unshifted bore, or `None` where it has no
    /// hollow (`R ≥ 9e`). The waist is the most hollow place of all: the curvature
    /// `(R² + 27e² + 12eR u)/(R² + 9e² + 6eR u)^1.5`, `u = cos 2t`, rises from `u = −1` on for
    /// every `R > 3e`.
    #[must_use]
    pub fn hollow_radius(&self) -> Option<Length> {
        let hollow = 9.0 * self.e_m - self.r_m;
        (hollow > 0.0).then(|| Length::m((self.r_m - 3.0 * self.e_m).powi(2) / hollow))
    }

    pub(crate) const fn r_m(&self) -> f64 {
        self.r_m
    }

    pub(crate) const fn e_m(&self) -> f64 {
        self.e_m
    }

    pub(crate) const fn a_m(&self) -> f64 {
        self.a_m
    }

    /// `3e/R`, the sine of the greatest lean; less than 3/4.
    pub(crate) const fn k(&self) -> f64 {
        3.0 * self.e_m / self.r_m
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mm(r: f64, e: f64, a: f64) -> Result<Trochoid, GeometryError> {
        Trochoid::new(Length::mm(r), Length::mm(e), Length::mm(a))
    }

    #[test]
    fn what_makes_no_engine_is_refused_by_name() {
        for (r, e, a, part) in [
            (105.0, 0.0, 0.0, "the eccentricity is 0.000 mm"),
            (105.0, -15.0, 0.0, "the eccentricity is -15.000 mm"),
            (0.0, 15.0, 0.0, "the generating radius is 0.000 mm"),
            (f64::NAN, 15.0, 0.0, "the generating radius"),
            (105.0, f64::INFINITY, 0.0, "the eccentricity"),
            (105.0, 15.0, f64::NAN, "the parallel shift"),
            (105.0, 15.0, -0.1, "the parallel shift is -0.100 mm; it must not be negative"),
            (60.0, 15.0, 0.0, "4.000 times the eccentricity; more than 4 times"),
            (105.0, 30.0, 0.0, "3.500 times"),
            (105_000.0, 15.0, 0.0, "between 1.000 mm and 10000.000 mm"),
            (150.0, 15.0, 151.0, "the parallel shift is 151.000 mm; it lies between"),
            (67.5, 15.0, 7.6, "less than 7.500 mm, the radius of the hollow"),
        ] {
            let message = mm(r, e, a).unwrap_err().to_string();
            assert!(message.contains(part), "{r} {e} {a}: {message}");
        }
        assert!(mm(105.0, 15.0, 2.0).is_ok());
        assert!(mm(67.5, 15.0, 7.4).is_ok());
    }

    #[test]
    fn the_waist_is_hollow_below_nine() {
        // checks: 120 mm at R 105, e 15 (computed).
        let hollow = mm(105.0, 15.0, 0.0).unwrap().hollow_radius().unwrap();
        assert!((hollow.to_mm() - 120.0).abs() < 1e-12);
        assert_eq!(mm(135.0, 15.0, 0.0).unwrap().hollow_radius(), None);
    }
}
