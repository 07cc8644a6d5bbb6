//! A plain journal bearing: its sizes, its oil, and how far its journal can lean.

use super::super::range::within;
use super::error::FilmError;

/// Diameters that are taken, metres.
const DIAMETER_M: (f64, f64) = (0.005, 0.5);
/// Lengths that are taken, metres.
const LENGTH_M: (f64, f64) = (0.001, 0.5);
/// Viscosities that are taken, Pa·s: from petrol to cold gear oil.
const VISCOSITY_PA_S: (f64, f64) = (2e-4, 10.0);
/// Radial clearances that are taken, parts of the radius. Below, no lubricating film; above, the
/// film is no longer thin and laminar.
const CLEARANCE_RATIO: (f64, f64) = (1e-4, 1e-2);
/// Radial clearances that are usual, parts of the radius. Common practice, no source.
pub const USUAL_CLEARANCE_RATIO: [f64; 2] = [5e-4, 2.5e-3];

/// A plain bearing without grooves in its loaded part, at running temperature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bearing {
    diameter_m: f64,
    length_m: f64,
    radial_clearance_m: f64,
    viscosity_pa_s: f64,
}

/// Sizes and oil of a bearing, to be checked.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BearingSizes {
    /// Bore of the bearing, metres.
    pub diameter_m: f64,
    /// Length that carries, metres.
    pub length_m: f64,
    /// Half the difference of the diameters, metres.
    pub radial_clearance_m: f64,
    /// Dynamic viscosity of the oil in the film, Pa·s.
    pub viscosity_pa_s: f64,
}

/// A clearance that can be computed with and is unusual.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct UnusualClearance {
    /// Radial clearance over radius.
    pub ratio: f64,
    /// What is usual, least and greatest.
    pub usual: [f64; 2],
}

impl Bearing {
    /// Takes sizes that are possible.
    ///
    /// # Errors
    /// [`FilmError::OutOfRange`] with the quantity and its limits.
    pub fn new(sizes: BearingSizes) -> Result<Self, FilmError> {
        let BearingSizes { diameter_m, length_m, radial_clearance_m, viscosity_pa_s } = sizes;
        within("diameter of the bearing", diameter_m, "m", DIAMETER_M)?;
        within("length of the bearing", length_m, "m", LENGTH_M)?;
        let (tightest, loosest) = CLEARANCE_RATIO;
        let limits = (tightest * 0.5 * diameter_m, loosest * 0.5 * diameter_m);
        within("radial clearance of the bearing", radial_clearance_m, "m", limits)?;
        within("viscosity of the oil", viscosity_pa_s, "Pa s", VISCOSITY_PA_S)?;
        Ok(Self { diameter_m, length_m, radial_clearance_m, viscosity_pa_s })
    }

    /// Radius, metres.
    #[must_use]
    pub const fn radius_m(&self) -> f64 {
        0.5 * self.diameter_m
    }

    /// Length that carries, metres.
    #[must_use]
    pub const fn length_m(&self) -> f64 {
        self.length_m
    }

    /// Radial clearance, metres.
    #[must_use]
    pub const fn radial_clearance_m(&self) -> f64 {
        self.radial_clearance_m
    }

    /// Viscosity, Pa·s.
    #[must_use]
    pub const fn viscosity_pa_s(&self) -> f64 {
        self.viscosity_pa_s
    }

    /// Length over diameter.
    #[must_use]
    pub const fn length_over_diameter(&self) -> f64 {
        self.length_m / self.diameter_m
    }

    /// Says so if the clearance is outside [`USUAL_CLEARANCE_RATIO`].
    #[must_use]
    pub fn unusual_clearance(&self) -> Option<UnusualClearance> {
        let ratio = self.radial_clearance_m / self.radius_m();
        let [least, greatest] = USUAL_CLEARANCE_RATIO;
        (ratio < least || ratio > greatest)
            .then_some(UnusualClearance { ratio, usual: USUAL_CLEARANCE_RATIO })
    }

    /// Force of the film per squeeze velocity where it is 1 without units: `12μR³L/c³`, N·s/m.
    pub(super) fn scale_n_s_per_m(&self) -> f64 {
        let (r, c) = (self.radius_m(), self.radial_clearance_m);
        12.0 * self.viscosity_pa_s * self.length_m * (r / c).powi(3)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rotor_bearing() -> BearingSizes {
        BearingSizes {
            diameter_m: 0.073,
            length_m: 0.060,
            radial_clearance_m: 45e-6,
            viscosity_pa_s: 0.008,
        }
    }

    #[test]
    fn impossible_sizes_are_named_with_their_limits() {
        for (sizes, what) in [
            (BearingSizes { diameter_m: f64::NAN, ..rotor_bearing() }, "diameter"),
            (BearingSizes { length_m: 0.0, ..rotor_bearing() }, "length"),
            (BearingSizes { radial_clearance_m: 1e-6, ..rotor_bearing() }, "clearance"),
            (BearingSizes { radial_clearance_m: 4e-4, ..rotor_bearing() }, "clearance"),
            (BearingSizes { viscosity_pa_s: -1.0, ..rotor_bearing() }, "viscosity"),
        ] {
            let text = Bearing::new(sizes).unwrap_err().to_string();
            assert!(text.contains(what), "{text}");
        }
    }

    #[test]
    fn an_unusual_clearance_is_said() {
        let with = |radial_clearance_m| {
            Bearing::new(BearingSizes { radial_clearance_m, ..rotor_bearing() })
                .unwrap()
                .unusual_clearance()
        };
        assert_eq!(with(45e-6), None);
        assert!(with(12e-6).is_some_and(|u| u.ratio < u.usual[0]));
        assert!(with(100e-6).is_some_and(|u| u.ratio > u.usual[1]));
    }
}
