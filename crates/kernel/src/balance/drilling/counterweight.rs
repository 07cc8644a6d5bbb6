//! A counterweight as the shop knows it: where it may be drilled, filled, milled or loaded, with
//! what, and how much metal must stay.

use super::choice::{Choice, Choices, STEP_MM};
use super::error::{DrillingError, within};
use super::ground::Ground;
use crate::balance::metal::{Drill, FaceHole, Flat, RimHole, Slug, Work};
use nalgebra::Complex;
use std::f64::consts::PI;

/// Densities, kg/m³: from magnesium to beyond the heaviest slug.
const DENSITY_KG_M3: (f64, f64) = (1000.0, 23_000.0);
/// Depths, mm.
const DEPTH_MM: (f64, f64) = (0.1, 300.0);
/// Metal that must stay, mm.
const METAL_MM: (f64, f64) = (0.0, 100.0);
/// Distances from the shaft's axis, mm.
const RADIUS_MM: (f64, f64) = (5.0, 500.0);
/// Distances to an edge, and widths, mm.
const WIDTH_MM: (f64, f64) = (0.5, 500.0);
/// Masses put on, g.
const MASS_G: (f64, f64) = (0.001, 10_000.0);
/// Angles, degrees: some turns either way.
const ANGLE_DEG: (f64, f64) = (-1440.0, 1440.0);
/// Share of a step by which a depth that is a whole number of steps may miss it in rounding.
const STEP_ROUNDING: f64 = 1e-6;

/// What can be done at a place. Depths are to the tip of the drill, or to the flat.
#[derive(Debug, Clone, PartialEq)]
pub enum How {
    /// A hole parallel to the shaft.
    FaceHole {
        /// Deepest for the drill's tip, m.
        deepest_m: f64,
        /// From the hole's axis to the nearest edge of the metal, m.
        edge_m: Option<f64>,
    },
    /// A hole towards the axis; the place's radius is the rim's.
    RimHole {
        /// Deepest for the drill's tip, m.
        deepest_m: f64,
        /// From the hole's axis to the nearest edge of the rim, m.
        edge_m: Option<f64>,
    },
    /// A hole parallel to the shaft, filled.
    Slug {
        /// Deepest for the drill's tip, m.
        deepest_m: f64,
        /// From the hole's axis to the nearest edge of the metal, m.
        edge_m: Option<f64>,
    },
    /// A flat on the rim; the place's radius is the rim's.
    Flat {
        /// Deepest at its middle, m.
        deepest_m: f64,
        /// Width along the shaft, m.
        width_m: f64,
    },
    /// One of some masses put on, with its centre at the place's radius.
    Masses {
        /// The masses that there are, kg.
        masses_kg: Vec<f64>,
    },
}

/// One place of a counterweight. One operation is done there at most.
#[derive(Debug, Clone, PartialEq)]
pub struct Place {
    /// What can be done.
    pub how: How,
    /// Angle from the throw of rotor 1, rad.
    pub angle_rad: f64,
    /// Distance from the shaft's axis, m.
    pub radius_m: f64,
}

/// A counterweight that is to be corrected.
#[derive(Debug, Clone, PartialEq)]
pub struct Counterweight {
    /// Its density, kg/m³.
    pub density_kg_m3: f64,
    /// Diameters of the drills that there are, m.
    pub drills_m: Vec<f64>,
    /// Whole angle of their points, rad.
    pub point_angle_rad: f64,
    /// Least depth to full diameter, or of a flat, m.
    pub least_depth_m: f64,
    /// Depths are drilled to whole numbers of this, m.
    pub depth_step_m: f64,
    /// Least metal between two holes, m.
    pub between_m: f64,
    /// Least metal between a hole and an edge, m.
    pub to_edge_m: f64,
    /// Density of slugs, kg/m³, where there are any.
    pub slug_kg_m3: Option<f64>,
    /// Its places.
    pub places: Vec<Place>,
}

/// Why a drill or a flat is not for a place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unfit {
    /// Between the least depth and the deepest there is no whole step, its point counted.
    TooShallow,
    /// It would leave less metal to the edge than must stay.
    NearEdge,
    /// The hole is as wide as the rim or wider.
    WiderThanRim,
}

/// A drill or flat that is not for a place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LeftOut {
    /// Index of the place.
    pub place: usize,
    /// Diameter of the drill, m; nothing for a flat.
    pub diameter_m: Option<f64>,
    /// Why.
    pub why: Unfit,
}

/// One way to change the unbalance: what is done at a place with one tool.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Way {
    /// Index of the place.
    pub place: usize,
    /// What is done.
    pub work: Work,
    /// Least and greatest depth, m: whole numbers of steps. Nothing for a mass.
    pub depths_m: Option<(f64, f64)>,
    /// The same in steps.
    pub steps: Option<(u32, u32)>,
}

/// All ways to change a counterweight's unbalance, checked.
#[derive(Debug, Clone, PartialEq)]
pub struct Ways {
    pub(super) ways: Vec<Way>,
    pub(super) angles_rad: Vec<f64>,
    choices: Choices,
    left_out: Vec<LeftOut>,
}

impl Ways {
    /// The ways, in the order of places and drills.
    #[must_use]
    pub fn all(&self) -> &[Way] {
        &self.ways
    }

    /// The same as directions and amounts, index by index.
    #[must_use]
    pub const fn choices(&self) -> &Choices {
        &self.choices
    }

    /// Drills and flats that are not for their place.
    #[must_use]
    pub fn left_out(&self) -> &[LeftOut] {
        &self.left_out
    }
}

impl Counterweight {
    /// Every way there is.
    ///
    /// # Errors
    /// [`DrillingError`] with the figure that is none, and its place.
    pub fn ways(&self) -> Result<Ways, DrillingError> {
        self.check()?;
        let drills: Vec<Drill> = self
            .drills_m
            .iter()
            .map(|d_m| Drill::new(*d_m, self.point_angle_rad))
            .collect::<Result<_, _>>()?;
        let mut ways = Vec::new();
        let mut left_out = Vec::new();
        for (index, place) in self.places.iter().enumerate() {
            self.check_place(place)
                .map_err(|why| DrillingError::Place { number: index + 1, why })?;
            for work in self.works(index, place, &drills)? {
                match self.depths(place, &work) {
                    Ok(steps) => {
                        let in_m = |steps: u32| f64::from(steps) * self.depth_step_m;
                        let depths_m = steps.map(|(least, most)| (in_m(least), in_m(most)));
                        ways.push(Way { place: index, work, depths_m, steps });
                    }
                    Err(why) => {
                        let diameter_m = work.drill().map(|drill| drill.diameter_m());
                        left_out.push(LeftOut { place: index, diameter_m, why });
                    }
                }
            }
        }
        let choices = ways.iter().map(|way| self.choice(way)).collect();
        let choices = Choices::new(choices, self.too_near(&ways), self.depth_step_m)?;
        Ok(Ways {
            ways,
            angles_rad: self.places.iter().map(|place| place.angle_rad).collect(),
            choices,
            left_out,
        })
    }

    fn check(&self) -> Result<(), DrillingError> {
        within("the density", self.density_kg_m3, "kg/m3", DENSITY_KG_M3)?;
        if let Some(slug_kg_m3) = self.slug_kg_m3 {
            within("the density of slugs", slug_kg_m3, "kg/m3", DENSITY_KG_M3)?;
        }
        within("the least depth", self.least_depth_m * 1e3, "mm", DEPTH_MM)?;
        within("the step of depths", self.depth_step_m * 1e3, "mm", STEP_MM)?;
        within("the metal between holes", self.between_m * 1e3, "mm", METAL_MM)?;
        within("the metal to an edge", self.to_edge_m * 1e3, "mm", METAL_MM)?;
        Ok(())
    }

    fn check_place(&self, place: &Place) -> Result<(), crate::speed::OutOfRange> {
        within("the angle", place.angle_rad * 180.0 / PI, "deg", ANGLE_DEG)?;
        within("the radius", place.radius_m * 1e3, "mm", RADIUS_MM)?;
        match &place.how {
            How::FaceHole { deepest_m, edge_m }
            | How::RimHole { deepest_m, edge_m }
            | How::Slug { deepest_m, edge_m } => {
                within("the deepest", deepest_m * 1e3, "mm", DEPTH_MM)?;
                edge_m
                    .map_or(Ok(()), |m| within("the distance to an edge", m * 1e3, "mm", WIDTH_MM))
            }
            How::Flat { deepest_m, width_m } => {
                // A flat past the axis is half a counterweight.
                let most_mm = DEPTH_MM.1.min(place.radius_m * 1e3);
                within("the deepest", deepest_m * 1e3, "mm", (DEPTH_MM.0, most_mm))?;
                within("the width of a flat", width_m * 1e3, "mm", WIDTH_MM)
            }
            How::Masses { masses_kg } => {
                masses_kg.iter().try_for_each(|kg| within("a mass put on", kg * 1e3, "g", MASS_G))
            }
        }
    }

    fn works(
        &self,
        index: usize,
        place: &Place,
        drills: &[Drill],
    ) -> Result<Vec<Work>, DrillingError> {
        let (radius_m, density_kg_m3) = (place.radius_m, self.density_kg_m3);
        let face = |drill: &Drill| FaceHole { drill: *drill, radius_m, density_kg_m3 };
        Ok(match &place.how {
            How::FaceHole { .. } => drills.iter().map(|d| Work::FaceHole(face(d))).collect(),
            How::RimHole { .. } => drills
                .iter()
                .map(|d| Work::RimHole(RimHole::new(*d, radius_m, density_kg_m3)))
                .collect(),
            How::Slug { .. } => {
                let slug_kg_m3 = self.slug_kg_m3.unwrap_or(0.0);
                if slug_kg_m3 <= density_kg_m3 {
                    let (number, metal_kg_m3) = (index + 1, density_kg_m3);
                    return Err(DrillingError::LightSlug { number, slug_kg_m3, metal_kg_m3 });
                }
                drills.iter().map(|d| Work::Slug(Slug { hole: face(d), slug_kg_m3 })).collect()
            }
            How::Flat { width_m, .. } => {
                vec![Work::Flat(Flat { rim_m: radius_m, width_m: *width_m, density_kg_m3 })]
            }
            How::Masses { masses_kg } => {
                masses_kg.iter().map(|kg| Work::Mass { mass_kg: *kg, radius_m }).collect()
            }
        })
    }

    /// Least and greatest depth in whole steps, nothing for a mass.
    fn depths(&self, place: &Place, work: &Work) -> Result<Option<(u32, u32)>, Unfit> {
        let (deepest_m, edge_m) = match &place.how {
            How::FaceHole { deepest_m, edge_m } | How::Slug { deepest_m, edge_m } => {
                (*deepest_m, *edge_m)
            }
            // A hole past the axis would take from the other side.
            How::RimHole { deepest_m, edge_m } => (deepest_m.min(place.radius_m), *edge_m),
            How::Flat { deepest_m, .. } => (*deepest_m, None),
            How::Masses { .. } => return Ok(None),
        };
        let (diameter_m, point_m) =
            work.drill().map_or((0.0, 0.0), |drill| (drill.diameter_m(), drill.point_m()));
        if edge_m.is_some_and(|edge_m| edge_m - 0.5 * diameter_m < self.to_edge_m) {
            return Err(Unfit::NearEdge);
        }
        let from_m = match work {
            Work::RimHole(_) if 0.5 * diameter_m >= place.radius_m => {
                return Err(Unfit::WiderThanRim);
            }
            Work::RimHole(hole) => hole.full_from_m(),
            Work::Slug(slug) => slug.serves_from_m(),
            Work::FaceHole(_) | Work::Flat(_) | Work::Mass { .. } => 0.0,
        };
        let step_m = self.depth_step_m;
        let least = (from_m.max(self.least_depth_m) / step_m - STEP_ROUNDING).ceil();
        let most = ((deepest_m - point_m) / step_m + STEP_ROUNDING).floor();
        if least <= most {
            // Whole numbers, and no more than the deepest has of the finest steps.
            Ok(Some((least as u32, most as u32)))
        } else {
            Err(Unfit::TooShallow)
        }
    }

    fn choice(&self, way: &Way) -> Choice {
        let angle_rad = self.places[way.place].angle_rad;
        Choice {
            place: way.place,
            toward_rad: if way.work.is_put_on() { angle_rad + PI } else { angle_rad },
            work: way.work,
            steps: way.steps,
        }
    }

    /// Pairs of ways that would leave less metal between them than must stay.
    fn too_near(&self, ways: &[Way]) -> Vec<(usize, usize)> {
        let grounds: Vec<Option<Ground>> = ways.iter().map(|way| self.ground(way)).collect();
        let mut pairs = Vec::new();
        for (b, second) in grounds.iter().enumerate() {
            for (a, first) in grounds[..b].iter().enumerate() {
                let (Some(first), Some(second)) = (first, second) else { continue };
                // Metal of exactly the least is enough, to the rounding of a metre's digits.
                if ways[a].place != ways[b].place
                    && first.between_m(second) < self.between_m - f64::EPSILON
                {
                    pairs.push((a, b));
                }
            }
        }
        pairs
    }

    /// The ground that a way takes at its deepest; a mass takes none.
    fn ground(&self, way: &Way) -> Option<Ground> {
        let place = &self.places[way.place];
        let outward = Complex::from_polar(1.0, place.angle_rad);
        let (_, most_m) = way.depths_m?;
        let on = |radius_m: f64| outward * radius_m;
        let half_width_m = way.work.drill().map_or(0.0, |drill| 0.5 * drill.diameter_m());
        let (from, to) = match &way.work {
            Work::FaceHole(_) | Work::Slug(_) => (on(place.radius_m), on(place.radius_m)),
            Work::RimHole(hole) => {
                (on(place.radius_m), on(place.radius_m - most_m - hole.drill().point_m()))
            }
            Work::Flat(flat) => {
                let across = outward * Complex::i() * flat.half_chord_m(most_m);
                let middle = on(place.radius_m - most_m);
                (middle - across, middle + across)
            }
            Work::Mass { .. } => return None,
        };
        Some(Ground { from, to, half_width_m })
    }
}
