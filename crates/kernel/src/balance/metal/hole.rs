//! Holes drilled parallel to the shaft, empty or filled.

use super::super::drilling::{DrillingError, within};
use std::f64::consts::{FRAC_PI_4, PI};

/// Least and greatest diameter of a drill, mm: what a shop drills counterweights with, wide.
const DIAMETER_MM: (f64, f64) = (0.5, 80.0);
/// Least and greatest whole angle of a point, degrees: from a centre drill's to a flat bottom.
const POINT_DEG: (f64, f64) = (60.0, 180.0);

/// A drill with a conical point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Drill {
    diameter_m: f64,
    point_m: f64,
}

impl Drill {
    /// A drill of a diameter, m, with a point of this whole angle, rad.
    ///
    /// # Errors
    /// [`DrillingError::OutOfRange`] outside 0.5 to 80 mm and 60 to 180 degrees.
    pub fn new(diameter_m: f64, point_angle_rad: f64) -> Result<Self, DrillingError> {
        within("the diameter of a drill", diameter_m * 1e3, "mm", DIAMETER_MM)?;
        // A turn of 180 degrees comes back from radians a bit above itself.
        let deg = (point_angle_rad * 180.0 / PI * 1e9).round() / 1e9;
        within("the angle of a drill's point", deg, "deg", POINT_DEG)?;
        let (sin, cos) = (0.5 * point_angle_rad).sin_cos();
        Ok(Self { diameter_m, point_m: 0.5 * diameter_m * (cos / sin).max(0.0) })
    }

    /// Its diameter, m.
    #[must_use]
    pub const fn diameter_m(&self) -> f64 {
        self.diameter_m
    }

    /// Height of its point, m: `(d/2) / tan(τ/2)`.
    #[must_use]
    pub const fn point_m(&self) -> f64 {
        self.point_m
    }

    /// Its cross-section, m².
    #[must_use]
    pub fn area_m2(&self) -> f64 {
        FRAC_PI_4 * self.diameter_m * self.diameter_m
    }
}

/// A hole parallel to the shaft. Each of its cross-sections has its centre at the hole's radius,
/// so its unbalance is its mass times that radius, exactly.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FaceHole {
    /// What it is drilled with.
    pub drill: Drill,
    /// Distance of its axis from the shaft's, m.
    pub radius_m: f64,
    /// Density of the counterweight, kg/m³.
    pub density_kg_m3: f64,
}

impl FaceHole {
    /// Mass taken off, kg: a cylinder and a cone of a third of its height.
    #[must_use]
    pub fn mass_kg(&self, depth_m: f64) -> f64 {
        self.density_kg_m3 * self.drill.area_m2() * (depth_m + self.drill.point_m / 3.0)
    }

    /// Unbalance taken off, kg m.
    #[must_use]
    pub fn amount_kg_m(&self, depth_m: f64) -> f64 {
        self.mass_kg(depth_m) * self.radius_m
    }

    /// Unbalance taken off for a depth more, kg; the same at each depth.
    #[must_use]
    pub fn slope_kg(&self) -> f64 {
        self.density_kg_m3 * self.drill.area_m2() * self.radius_m
    }

    /// The depth for an unbalance, m.
    #[must_use]
    pub fn depth_m(&self, amount_kg_m: f64) -> f64 {
        amount_kg_m / self.slope_kg() - self.drill.point_m / 3.0
    }

    /// Centre of the mass taken off, m below the face: the cylinder's is at half its depth, the
    /// cone's at a quarter of its height below the cylinder.
    #[must_use]
    pub fn below_face_m(&self, depth_m: f64) -> f64 {
        let (cone_m, to_centre_m) = (self.drill.point_m / 3.0, self.drill.point_m / 4.0);
        (0.5 * depth_m * depth_m + cone_m * (depth_m + to_centre_m)) / (depth_m + cone_m)
    }
}

/// A hole parallel to the shaft with a slug of a denser material in it.
///
/// The slug is a turned cylinder, flush with the face and as long as the hole is deep to full
/// diameter. The drill's point below it stays empty: a cylinder rests on the shoulder of the cone.
/// A filled point would bring a little more than is counted here.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Slug {
    /// The hole.
    pub hole: FaceHole,
    /// Density of the slug, kg/m³; more than that of the counterweight.
    pub slug_kg_m3: f64,
}

impl Slug {
    /// Mass put on, kg: the slug less what was drilled for it.
    #[must_use]
    pub fn mass_kg(&self, depth_m: f64) -> f64 {
        self.slug_kg(depth_m) - self.hole.mass_kg(depth_m)
    }

    /// Mass of the slug itself, kg.
    #[must_use]
    pub fn slug_kg(&self, depth_m: f64) -> f64 {
        self.slug_kg_m3 * self.hole.drill.area_m2() * depth_m
    }

    /// Unbalance put on, kg m.
    #[must_use]
    pub fn amount_kg_m(&self, depth_m: f64) -> f64 {
        self.mass_kg(depth_m) * self.hole.radius_m
    }

    /// Unbalance put on for a depth more, kg; the same at each depth.
    #[must_use]
    pub fn slope_kg(&self) -> f64 {
        let more_kg_m3 = self.slug_kg_m3 - self.hole.density_kg_m3;
        more_kg_m3 * self.hole.drill.area_m2() * self.hole.radius_m
    }

    /// The depth for an unbalance, m.
    #[must_use]
    pub fn depth_m(&self, amount_kg_m: f64) -> f64 {
        (amount_kg_m - self.amount_kg_m(0.0)) / self.slope_kg()
    }

    /// Depth from which a slug serves, m: half of what it brings makes up for the empty point.
    #[must_use]
    pub fn serves_from_m(&self) -> f64 {
        -2.0 * self.amount_kg_m(0.0) / self.slope_kg()
    }

    /// Centre of the mass put on, m below the face: the slug's moment less the hole's.
    #[must_use]
    pub fn below_face_m(&self, depth_m: f64) -> f64 {
        let slug_kg_m = 0.5 * depth_m * self.slug_kg(depth_m);
        let hole_kg_m = self.hole.mass_kg(depth_m) * self.hole.below_face_m(depth_m);
        (slug_kg_m - hole_kg_m) / self.mass_kg(depth_m)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_hole_of_round_numbers() {
        let drill = Drill::new(10e-3, 90f64.to_radians()).unwrap();
        assert!((drill.point_m() - 5e-3).abs() < 1e-18);
        let hole = FaceHole { drill, radius_m: 60e-3, density_kg_m3: 7850.0 };
        // 78.54 mm² times 12 mm + 5/3 mm.
        assert!((hole.mass_kg(12e-3) - 7850.0 * PI * 25e-6 * (41.0 / 3e3)).abs() < 1e-15);
        assert!((hole.amount_kg_m(12e-3) / hole.mass_kg(12e-3) - 60e-3).abs() < 1e-16);
        let flat = Drill::new(10e-3, PI).unwrap();
        assert!(flat.point_m() < 1e-17);
    }

    #[test]
    fn what_is_no_drill_is_refused() {
        let said = |d: f64, deg: f64| Drill::new(d, deg.to_radians()).unwrap_err().to_string();
        assert_eq!(
            said(0.0, 118.0),
            "the diameter of a drill is 0 mm; it lies between 0.5 and 80 mm"
        );
        assert!(said(10e-3, 30.0).contains("30 deg"));
        assert!(Drill::new(f64::NAN, 2.0).is_err() && Drill::new(0.01, f64::NAN).is_err());
    }

    #[test]
    fn a_slug_of_the_metal_itself_puts_on_nothing_but_the_empty_point() {
        let drill = Drill::new(12e-3, 2.0).unwrap();
        let hole = FaceHole { drill, radius_m: 60e-3, density_kg_m3: 7850.0 };
        let same = Slug { hole, slug_kg_m3: 7850.0 };
        let point_kg = 7850.0 * drill.area_m2() * drill.point_m() / 3.0;
        assert!((same.mass_kg(10e-3) + point_kg).abs() < 1e-16);
        let heavy = Slug { hole, slug_kg_m3: 17_500.0 };
        let from_m = heavy.serves_from_m();
        let whole_kg = (17_500.0 - 7850.0) * drill.area_m2() * from_m;
        assert!((heavy.mass_kg(from_m) / whole_kg - 0.5).abs() < 1e-12);
    }
}
