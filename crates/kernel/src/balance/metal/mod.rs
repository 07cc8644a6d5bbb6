//! Metal taken off a counterweight or put on it: unbalance, mass and place of the mass centre as
//! functions of the depth, and the depth for an unbalance.
//!
//! Amounts are along the direction of the place; each shape is symmetric about it, so nothing acts
//! square to it. What is taken off acts against the direction, what is put on acts along it; the
//! amounts here have no sign of that kind ([`Work::is_put_on`] has it).
//!
//! A depth is that to full diameter (of a flat: to the flat), measured from the highest point of
//! the surface; the drill's tip goes deeper by its point ([`Drill::point_m`]).

mod hole;
mod rim;

pub use hole::{Drill, FaceHole, Slug};
pub use rim::{Flat, RimHole};

/// One way of changing the metal at one place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Work {
    /// A hole parallel to the shaft.
    FaceHole(FaceHole),
    /// A hole towards the axis.
    RimHole(RimHole),
    /// A hole parallel to the shaft, filled with something denser.
    Slug(Slug),
    /// A flat on the rim.
    Flat(Flat),
    /// A mass put on, kg, with its centre at this radius, m.
    Mass {
        /// Mass put on, kg.
        mass_kg: f64,
        /// Distance of its centre from the shaft's axis, m.
        radius_m: f64,
    },
}

impl Work {
    /// Unbalance taken off or put on at a depth, kg m; a mass has no depth and is what it is.
    #[must_use]
    pub fn amount_kg_m(&self, depth_m: f64) -> f64 {
        match self {
            Self::FaceHole(hole) => hole.amount_kg_m(depth_m),
            Self::RimHole(hole) => hole.amount_kg_m(depth_m),
            Self::Slug(slug) => slug.amount_kg_m(depth_m),
            Self::Flat(flat) => flat.amount_kg_m(depth_m),
            Self::Mass { mass_kg, radius_m } => mass_kg * radius_m,
        }
    }

    /// Mass taken off or put on at a depth, kg, without a sign.
    #[must_use]
    pub fn mass_kg(&self, depth_m: f64) -> f64 {
        match self {
            Self::FaceHole(hole) => hole.mass_kg(depth_m),
            Self::RimHole(hole) => hole.mass_kg(depth_m),
            Self::Slug(slug) => slug.mass_kg(depth_m),
            Self::Flat(flat) => flat.mass_kg(depth_m),
            Self::Mass { mass_kg, .. } => *mass_kg,
        }
    }

    /// The depth that takes off or puts on this unbalance, m; nothing for a mass.
    #[must_use]
    pub fn depth_m(&self, amount_kg_m: f64) -> Option<f64> {
        match self {
            Self::FaceHole(hole) => Some(hole.depth_m(amount_kg_m)),
            Self::RimHole(hole) => Some(hole.depth_m(amount_kg_m)),
            Self::Slug(slug) => Some(slug.depth_m(amount_kg_m)),
            Self::Flat(flat) => Some(flat.depth_m(amount_kg_m)),
            Self::Mass { .. } => None,
        }
    }

    /// How far the centre of the mass taken off or put on lies below the face that is drilled, m;
    /// nothing for what is not done from a face.
    #[must_use]
    pub fn below_face_m(&self, depth_m: f64) -> Option<f64> {
        match self {
            Self::FaceHole(hole) => Some(hole.below_face_m(depth_m)),
            Self::Slug(slug) => Some(slug.below_face_m(depth_m)),
            Self::RimHole(_) | Self::Flat(_) | Self::Mass { .. } => None,
        }
    }

    /// The most that the amount changes with the depth, from one depth to a deeper one, kg.
    #[must_use]
    pub fn steepest_kg(&self, least_m: f64, most_m: f64) -> f64 {
        match self {
            Self::FaceHole(hole) => hole.slope_kg(),
            // Its slope falls with the depth.
            Self::RimHole(hole) => hole.slope_kg(least_m),
            Self::Slug(slug) => slug.slope_kg(),
            Self::Flat(flat) => flat.slope_kg(flat.steepest_m().clamp(least_m, most_m)),
            Self::Mass { .. } => 0.0,
        }
    }

    /// Mass of the part that is fixed there, kg: of a slug or of an added mass, which wants to fly
    /// off; nothing where metal is only taken.
    #[must_use]
    pub fn fixed_kg(&self, depth_m: f64) -> Option<f64> {
        match self {
            Self::Slug(slug) => Some(slug.slug_kg(depth_m)),
            Self::Mass { mass_kg, .. } => Some(*mass_kg),
            Self::FaceHole(_) | Self::RimHole(_) | Self::Flat(_) => None,
        }
    }

    /// The drill, where there is one.
    #[must_use]
    pub const fn drill(&self) -> Option<Drill> {
        match self {
            Self::FaceHole(hole) => Some(hole.drill),
            Self::RimHole(hole) => Some(hole.drill()),
            Self::Slug(slug) => Some(slug.hole.drill),
            Self::Flat(_) | Self::Mass { .. } => None,
        }
    }

    /// Whether it adds to the unbalance in the direction of its place.
    #[must_use]
    pub const fn is_put_on(&self) -> bool {
        matches!(self, Self::Slug(_) | Self::Mass { .. })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn works(d: f64, r: f64) -> [Work; 4] {
        let drill = Drill::new(d, 118f64.to_radians()).unwrap();
        let hole = FaceHole { drill, radius_m: r, density_kg_m3: 7850.0 };
        [
            Work::FaceHole(hole),
            Work::RimHole(RimHole::new(drill, r, 7850.0)),
            Work::Slug(Slug { hole, slug_kg_m3: 17_500.0 }),
            Work::Flat(Flat { rim_m: r, width_m: 0.02, density_kg_m3: 7850.0 }),
        ]
    }

    proptest! {
        /// The amount rises with the depth, its slope is the derivative and never above the
        /// steepest, and the depth comes back from the amount.
        #[test]
        fn depths_come_back(d in 2e-3..20e-3f64, r in 30e-3..120e-3f64, share in 0.0..1.0f64) {
            for work in works(d, r) {
                // Past the sag of the rim (below d²/4r), short of the axis.
                let (least, most) = (d * d / (4.0 * r), 0.6 * r);
                let depth_m = least + share * (most - least);
                let amount = work.amount_kg_m(depth_m);
                let back = work.depth_m(amount).unwrap();
                prop_assert!((back - depth_m).abs() < 1e-12, "{work:?}: {depth_m} {back}");
                let by = 1e-6 * r;
                let rise = work.amount_kg_m(depth_m + by) - amount;
                prop_assert!(rise > 0.0);
                let steepest = work.steepest_kg(least, most + by);
                prop_assert!(rise <= steepest * by * (1.0 + 1e-6), "{work:?}");
            }
        }
    }

    #[test]
    fn a_mass_is_its_mass_times_its_radius() {
        let work = Work::Mass { mass_kg: 0.012, radius_m: 0.055 };
        assert_eq!(work.amount_kg_m(0.0), 0.012 * 0.055);
        assert_eq!((work.mass_kg(0.0), work.depth_m(1e-4)), (0.012, None));
        assert!(work.is_put_on());
    }
}
