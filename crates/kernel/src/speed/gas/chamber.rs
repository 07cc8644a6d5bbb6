//! What a chamber's gas meets: volume, its slope, and walls, against the shaft's angle.
//!
//! `V(θ) = V_min + (3√3/2)·e·R·b·(1 − cos(2θ/3))` [YAMAMOTO] (from memory; `geometry::Chamber`
//! computes it from the shapes), `V_min` by the compression ratio. The shift of the bore by the
//! crown of the apex seal changes the swept volume by 1 to 2 % and is left out, as it is from the
//! swept volume an engine is named by; so the pressure force `p·√3·R·b` and `dV/dθ` belong to one
//! geometry and their works agree exactly. The walls are the flank, the bore between two seals,
//! and both side housings, `2·V/b`: the arc of the bore is exact at both ends of its range and
//! runs between them like the volume.

use super::super::range::{OutOfRange, within};
use crate::geometry::{Bore, Flank, GeometryError, Trochoid};
use crate::units::{Angle, Length};
use thiserror::Error;

/// The sizes a chamber follows from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ChamberForm {
    /// Generating radius `R`, m.
    pub generating_radius_m: f64,
    /// Eccentricity `e`, m.
    pub eccentricity_m: f64,
    /// Width of the rotor housing `b`, m.
    pub width_m: f64,
    /// Greatest over least volume, pockets and recesses included.
    pub compression_ratio: f64,
}

/// Why sizes make no chamber.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum ChamberError {
    /// Radius and eccentricity that make no engine.
    #[error(transparent)]
    Geometry(#[from] GeometryError),
    /// Width or ratio outside its limits.
    #[error(transparent)]
    Range(#[from] OutOfRange),
}

/// One chamber. Its angle `θ` is that of the shaft from its own firing top dead centre, degrees;
/// period 1080.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GasChamber {
    form: ChamberForm,
    least_m3: f64,
    half_swept_m3: f64,
    /// Walls that lie along the shaft: flank and bore, mean over a turn of the rotor.
    curved_mean_m2: f64,
    /// How far they swing about the mean.
    curved_swing_m2: f64,
}

/// Volume and what comes with it at one angle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ChamberAt {
    /// Volume, m³.
    pub volume_m3: f64,
    /// Its growth with the shaft's angle, m³ per radian.
    pub slope_m3_per_rad: f64,
    /// Area of all walls, m².
    pub walls_m2: f64,
}

impl GasChamber {
    /// Limits of the compression ratio.
    pub const RATIO: (f64, f64) = (4.0, 25.0);

    /// From the sizes; `R > 4e`.
    ///
    /// # Errors
    /// Radius and eccentricity that [`Trochoid`] refuses, a width outside 1 mm to 1 m, a ratio
    /// outside [`GasChamber::RATIO`].
    pub fn new(form: ChamberForm) -> Result<Self, ChamberError> {
        within("the housing width", form.width_m, "m", (1e-3, 1.0))?;
        within("the compression ratio", form.compression_ratio, "", Self::RATIO)?;
        let (radius, eccentricity) =
            (Length::m(form.generating_radius_m), Length::m(form.eccentricity_m));
        let trochoid = Trochoid::new(radius, eccentricity, Length::ZERO)?;
        let flank_m = Flank::new(trochoid, Length::ZERO)?.length().to_m();
        let bore = Bore::of(trochoid);
        let short_m = bore.arc(Angle::deg(30.0), Angle::deg(150.0)).to_m();
        let long_m = bore.arc(Angle::deg(-60.0), Angle::deg(60.0)).to_m();
        let half_swept_m3 =
            1.5 * 3f64.sqrt() * form.eccentricity_m * form.generating_radius_m * form.width_m;
        Ok(Self {
            form,
            least_m3: 2.0 * half_swept_m3 / (form.compression_ratio - 1.0),
            half_swept_m3,
            curved_mean_m2: form.width_m * (flank_m + 0.5 * (short_m + long_m)),
            curved_swing_m2: form.width_m * 0.5 * (long_m - short_m),
        })
    }

    /// The sizes it was made from.
    #[must_use]
    pub const fn form(&self) -> ChamberForm {
        self.form
    }

    /// Swept volume `3√3·e·R·b`, m³.
    #[must_use]
    pub const fn swept_m3(&self) -> f64 {
        2.0 * self.half_swept_m3
    }

    /// Least volume, m³.
    #[must_use]
    pub const fn least_m3(&self) -> f64 {
        self.least_m3
    }

    /// The area of a flank seen along the line from its middle to the rotor's axis, `√3·R·b`, m²:
    /// a pressure on the flank pushes with this area, through the axis.
    #[must_use]
    pub fn flank_area_m2(&self) -> f64 {
        3f64.sqrt() * self.form.generating_radius_m * self.form.width_m
    }

    /// Volume, slope and walls at `θ`.
    #[must_use]
    pub fn at(&self, theta_deg: f64) -> ChamberAt {
        let (sin, cos) = (theta_deg.to_radians() * (2.0 / 3.0)).sin_cos();
        let volume_m3 = self.least_m3 + self.half_swept_m3 * (1.0 - cos);
        ChamberAt {
            volume_m3,
            slope_m3_per_rad: self.half_swept_m3 * (2.0 / 3.0) * sin,
            walls_m2: self.curved_mean_m2 - self.curved_swing_m2 * cos
                + 2.0 * volume_m3 / self.form.width_m,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::{Chamber, ChamberSizes};
    use crate::units::Volume;

    fn form() -> ChamberForm {
        ChamberForm {
            generating_radius_m: 0.105,
            eccentricity_m: 0.015,
            width_m: 0.08,
            compression_ratio: 9.0,
        }
    }

    #[test]
    fn it_is_the_chamber_that_the_shapes_give() {
        let gas = GasChamber::new(form()).unwrap();
        let trochoid = Trochoid::new(Length::mm(105.0), Length::mm(15.0), Length::ZERO).unwrap();
        let flank = Flank::new(trochoid, Length::ZERO).unwrap();
        let bare =
            Chamber::new(flank, ChamberSizes { width: Length::mm(80.0), recess: Volume::ZERO })
                .unwrap();
        let recess = Volume::m3(gas.least_m3()) - bare.least_volume();
        let shaped = Chamber::new(flank, ChamberSizes { width: Length::mm(80.0), recess }).unwrap();
        assert!((shaped.compression_ratio() - 9.0).abs() < 1e-12);
        for step in 0..108 {
            let theta_deg = 10.0 * f64::from(step);
            let (here, theta) = (gas.at(theta_deg), Angle::deg(theta_deg));
            let volume_m3 = shaped.volume(theta).to_m3();
            assert!((here.volume_m3 / volume_m3 - 1.0).abs() < 1e-12);
            let slope = shaped.volume_slope_m3_per_rad(theta);
            assert!((here.slope_m3_per_rad - slope).abs() < 1e-12 * gas.swept_m3());
        }
    }

    #[test]
    fn walls_at_the_ends_of_their_range_are_those_of_the_shapes() {
        // Arcs of 120 degrees and the flank computed outside, R 105, e 15 [YAMAMOTO].
        let gas = GasChamber::new(form()).unwrap();
        for (theta_deg, arc_mm) in [(0.0, 194.022_178), (270.0, 270.106_649_66)] {
            let here = gas.at(theta_deg);
            let expected_m2 = 0.08 * 1e-3 * (arc_mm + 190.131_125_96) + 25.0 * here.volume_m3;
            assert!((here.walls_m2 / expected_m2 - 1.0).abs() < 1e-9);
        }
    }

    #[test]
    fn sizes_that_make_no_chamber_are_named() {
        let wrong = GasChamber::new(ChamberForm { compression_ratio: 2.0, ..form() });
        assert!(wrong.unwrap_err().to_string().contains("compression ratio is 2"));
        let wrong = GasChamber::new(ChamberForm { eccentricity_m: 0.03, ..form() });
        assert!(wrong.unwrap_err().to_string().contains("eccentricity"));
    }
}
