//! How far a wall is worn, and where its two tracks lie in a section.
//!
//! Wear depends on the distance from the shaft's axis alone: one depth on the track of the lands,
//! one on the track of the tips, and a straight line between the two. The shaft's axis stands
//! beside the rotor's, and not always in the section.

use kernel::units::Length;

/// Depths below the clamping face, positive: they add room.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Wear {
    /// On the track of the lands.
    pub land: Length,
    /// On the track of the tips.
    pub tip: Length,
}

/// The tracks in a section.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Tracks {
    /// Distance from the shaft's axis at which the track of the lands ends.
    pub land_to: Length,
    /// Distance from the shaft's axis at which the track of the tips starts; not less.
    pub tip_from: Length,
    /// Where the shaft's axis stands along the section, from the rotor's axis, positive towards
    /// the section's tip.
    pub shaft_along: Length,
    /// How far the shaft's axis stands off the section.
    pub shaft_across: Length,
}

impl Wear {
    pub(super) fn deepest_m(&self) -> f64 {
        self.land.max(self.tip).to_m()
    }
}

impl Tracks {
    /// Wear at a radius in the section (negative: on the side away from the tip).
    pub(super) fn wear_m(&self, wear: &Wear, radius_m: f64) -> f64 {
        let (land_m, tip_m) = (wear.land.to_m(), wear.tip.to_m());
        let (land_to_m, tip_from_m) = (self.land_to.to_m(), self.tip_from.to_m());
        let distance_m = (radius_m - self.shaft_along.to_m()).hypot(self.shaft_across.to_m());
        if distance_m <= land_to_m {
            land_m
        } else if distance_m >= tip_from_m {
            tip_m
        } else {
            land_m + (tip_m - land_m) * (distance_m - land_to_m) / (tip_from_m - land_to_m)
        }
    }

    /// The radii in the section at which a track ends or starts, in order. Tracks that meet
    /// without a slope between them give each place twice, a little apart.
    pub(super) fn ends_m(&self) -> Vec<f64> {
        let (along_m, across_m) = (self.shaft_along.to_m(), self.shaft_across.to_m());
        let apart_m = 1e-9;
        let mut ends: Vec<f64> = [self.land_to.to_m(), self.tip_from.to_m() + apart_m]
            .into_iter()
            .filter(|distance_m| *distance_m > across_m)
            .flat_map(|distance_m| {
                let half_m = (distance_m * distance_m - across_m * across_m).sqrt();
                [along_m - half_m, along_m + half_m]
            })
            .collect();
        ends.sort_by(f64::total_cmp);
        ends
    }
}

#[cfg(test)]
mod tests {
    use super::{Tracks, Wear};
    use kernel::units::Length;

    #[test]
    fn tracks_lie_about_the_shaft_and_not_about_the_rotor() {
        let tracks = Tracks {
            land_to: Length::mm(75.5),
            tip_from: Length::mm(84.5),
            shaft_along: Length::mm(-14.5),
            shaft_across: Length::ZERO,
        };
        let wear = Wear { land: Length::um(20.0), tip: Length::um(4.0) };
        // At 61 mm from the rotor's axis towards the tip it is 75.5 mm from the shaft's.
        for (mm, um) in [(61.0, 20.0), (65.5, 12.0), (70.0, 4.0), (-89.0, 20.0), (-99.5, 4.0)] {
            assert!((tracks.wear_m(&wear, mm / 1e3) * 1e6 - um).abs() < 1e-3, "{mm}");
        }
        let ends: Vec<f64> = tracks.ends_m().iter().map(|m| (m * 1e5).round() / 100.0).collect();
        assert_eq!(ends, [-99.0, -90.0, 61.0, 70.0]);
    }
}
