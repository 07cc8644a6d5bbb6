//! Where the seals' grooves are in the side face, as places without metal.

use super::face::{SideFace, Void};
use crate::units::{Angle, Length};
use std::f64::consts::FRAC_PI_4;

/// Pieces that a side-seal groove is divided into along its flank.
const PIECES: u32 = 5;
/// How far in from the flank's edge a side-seal groove runs, as a share of the radius there: its
/// path is in no build file (an assumption of this project). Its metal counts with the depth of the
/// cut there, which a cut of even depth does not feel.
const INSIDE: f64 = 0.95;

/// The seals' grooves, as far as their sizes are known.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Grooves {
    /// Diameter of the corner-seal bores and distance of their centres from the rotor's axis.
    pub corner_bore: Option<(Length, Length)>,
    /// Width and length of each side-seal groove.
    pub side: Option<(Length, Length)>,
    /// Width and depth, along the radius, of the apex-seal grooves.
    pub apex: Option<(Length, Length)>,
}

impl Grooves {
    /// The voids they make in a face, in the order corner, side, apex. A bore or groove whose
    /// middle is not on the face outside the land makes none.
    #[must_use]
    pub fn voids(&self, face: &SideFace) -> Vec<Void> {
        let (inner, outer) = (face.land_radius(), face.rotor_tip_radius());
        let mut voids = Vec::new();
        let mut bored_from = outer;
        if let Some((diameter, radius)) = self.corner_bore
            && radius >= inner
            && radius <= outer
        {
            let area = diameter * diameter * FRAC_PI_4;
            voids.extend(Void::at_each_tip(area, radius, Angle::ZERO));
            bored_from = (radius - diameter / 2.0).min(outer);
            // The slot goes on from the bore to the tip.
            if let Some((width, _)) = self.apex {
                let beyond = (outer - (radius + diameter / 2.0)).max(Length::ZERO);
                voids.extend(slot(width, beyond, outer));
            }
        }
        if let Some((width, length)) = self.side {
            for piece in 1..=PIECES {
                let azimuth = Angle::deg(120.0 * f64::from(piece) / f64::from(PIECES + 1));
                let radius = (face.boundary_radius(azimuth) * INSIDE).max(inner);
                let area = width * length / f64::from(PIECES);
                voids.extend(Void::at_each_tip(area, radius, azimuth));
            }
        }
        if let Some((width, depth)) = self.apex {
            // What of the slot lies inside the bore; all of it where there is none.
            let bottom = (outer - depth).max(inner);
            voids.extend(slot(width, (bored_from - bottom).max(Length::ZERO), bored_from));
        }
        voids
    }
}

/// A slot of this width that ends at a radius, at each tip; nothing where it has no length.
fn slot(width: Length, length: Length, ends_at: Length) -> Vec<Void> {
    let area = width * length;
    if length <= Length::ZERO || width <= Length::ZERO {
        return Vec::new();
    }
    Void::at_each_tip(area, ends_at - length / 2.0, Angle::ZERO).to_vec()
}

#[cfg(test)]
mod tests {
    use super::super::{Flank, SideFaceSizes, Trochoid};
    use super::*;

    fn face(voids: &[Void]) -> SideFace {
        let mm = Length::mm;
        let trochoid = Trochoid::new(mm(101.5), mm(14.5), mm(2.5)).unwrap();
        let sizes = SideFaceSizes { land_radius: mm(61.0), rotor_tip_radius: mm(99.0) };
        SideFace::new(Flank::new(trochoid, Length::ZERO).unwrap(), sizes, voids).unwrap()
    }

    #[test]
    fn what_the_grooves_take_from_the_face() {
        let mm = Length::mm;
        let grooves = Grooves {
            corner_bore: Some((mm(11.0), mm(90.0))),
            side: Some((mm(1.05), mm(142.0))),
            apex: Some((mm(2.0), mm(16.0))),
        };
        let bare = face(&[]);
        let grooved = face(&grooves.voids(&bare));
        // Bores; grooves; slots from 95.5 to 99 and from 83 to 84.5.
        let expected = 3.0 * (FRAC_PI_4 * 121.0 + 1.05 * 142.0 + 2.0 * 3.5 + 2.0 * 1.5);
        let lost = bare.area().to_mm2() - grooved.area().to_mm2();
        assert!((lost - expected).abs() < 1e-6, "{lost} {expected}");
    }

    #[test]
    fn a_bore_off_the_face_takes_nothing() {
        let grooves = Grooves {
            corner_bore: Some((Length::mm(11.0), Length::mm(120.0))),
            ..Grooves::default()
        };
        assert!(grooves.voids(&face(&[])).is_empty());
    }
}
