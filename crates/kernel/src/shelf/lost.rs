//! What cuts take from a rotor, quickly: the same sum over the same nodes as
//! [`crate::plan::CutAreas::removed`], sorted once for each rotor so that a cut is a look-up.
//!
//! Over an area a cut to a level takes `Σ w (h − level)` over the nodes that stand above it. With
//! nodes sorted by height and `Σ w` and `Σ w h` summed from the highest down, that is two numbers
//! read at one place. A taper's level falls with the radius: its nodes are summed one by one.

use crate::geometry::FaceQuadrature;
use crate::plan::{CutAreas, FacePlane, Levels};
use crate::readings::{Face, Heights, TIPS};
use crate::room::Outside;
use crate::units::{Length, Volume};

/// A rotor's faces as cuts find them.
#[derive(Debug, Clone)]
pub(super) struct Faces {
    /// Gear land, plain land, gear tips, plain tips.
    areas: [Area; 4],
    /// The highest point of each land.
    lands_m: [f64; 2],
    taper: Option<Taper>,
}

/// One area of one face.
#[derive(Debug, Clone)]
struct Area {
    /// Heights, from the highest down.
    heights_m: Vec<f64>,
    /// Sums of `w` and `w h` over the nodes before each; one more than nodes.
    above: Vec<(f64, f64)>,
    least: Linear,
}

/// A volume that a cut to a mean level takes at least: `at_zero_m3 − area · level`.
#[derive(Debug, Clone, Copy)]
struct Linear {
    at_zero_m3: f64,
    area_m2: f64,
}

/// A taper's depth by node: height, weight, share of the way from its start to the tip.
#[derive(Debug, Clone)]
struct Taper {
    root_m: f64,
    nodes: [Vec<(f64, f64, f64)>; 2],
}

impl Faces {
    pub(super) fn new(areas: &CutAreas<'_>, heights: &Heights) -> Self {
        let face = |face: Face, land: bool| {
            let (of, all, radius) = if land {
                (&heights.face(face).land, areas.land, areas.land_radius)
            } else {
                (&heights.face(face).tip, areas.outside, areas.tip_radius)
            };
            Area::new(of, all, radius)
        };
        let taper = match areas.shape {
            Outside::Step => None,
            Outside::Taper { start, root } => Some(Taper {
                root_m: root.to_m(),
                nodes: Face::BOTH.map(|face| {
                    let plane = FacePlane::through(&heights.face(face).tip, areas.tip_radius);
                    let node = |node: &crate::geometry::FaceNode| {
                        let radius = Length::m(node.x_m.hypot(node.y_m));
                        let share = (radius - start) / (areas.tip_radius - start);
                        (plane.at(node.x_m, node.y_m), node.weight_m2, share)
                    };
                    areas.outside.nodes().iter().map(node).collect()
                }),
            }),
        };
        Self {
            areas: [
                face(Face::Gear, true),
                face(Face::Plain, true),
                face(Face::Gear, false),
                face(Face::Plain, false),
            ],
            lands_m: Face::BOTH.map(|face| greatest_m(&heights.face(face).land)),
            taper,
        }
    }

    /// What cuts to these levels take; rounding of voids aside never less than nothing.
    pub(super) fn removed(&self, levels: &Levels) -> Volume {
        let mut sum_m3 = 0.0;
        for (i, (area, level)) in self.areas.iter().zip(levels).enumerate() {
            let Some(level) = level else { continue };
            sum_m3 += match &self.taper {
                Some(taper) if i >= 2 => {
                    let land_m = levels[i - 2].map_or(self.lands_m[i - 2], Length::to_m);
                    taper.above_m3(i - 2, land_m, land_m - level.to_m())
                }
                _ => area.above_m3(level.to_m()),
            };
        }
        Volume::m3(sum_m3.max(0.0))
    }

    /// What any cuts take that leave the lands no wider than `width` and the tips lower by `step`
    /// on both faces together: a bound from below.
    pub(super) fn at_least(&self, width: Length, steps: Length) -> Volume {
        let both = |i: usize, width_m: f64| {
            let (a, b) = (&self.areas[i].least, &self.areas[i + 1].least);
            // Levels of the two faces may be shared out anyhow: the larger area is the safe side
            // for metal that is left, and the two are alike but for voids.
            let area_m2 = a.area_m2.max(b.area_m2);
            (a.at_zero_m3 + b.at_zero_m3 - area_m2 * width_m).max(0.0)
        };
        let tips_m3 = match self.taper {
            Some(_) => 0.0,
            None => both(2, (width - steps).to_m()),
        };
        Volume::m3(both(0, width.to_m()) + tips_m3)
    }
}

impl Area {
    fn new(heights: &[Length; TIPS], all: &FaceQuadrature, radius: Length) -> Self {
        let plane = FacePlane::through(heights, radius);
        let mut nodes: Vec<(f64, f64)> =
            all.nodes().iter().map(|node| (plane.at(node.x_m, node.y_m), node.weight_m2)).collect();
        let least = Linear::of(heights, &nodes);
        nodes.sort_by(|a, b| b.0.total_cmp(&a.0));
        let mut above = vec![(0.0, 0.0)];
        let (mut sum, mut moment) = (0.0, 0.0);
        for (height_m, weight_m2) in &nodes {
            sum += weight_m2;
            moment += weight_m2 * height_m;
            above.push((sum, moment));
        }
        Self { heights_m: nodes.into_iter().map(|node| node.0).collect(), above, least }
    }

    fn above_m3(&self, level_m: f64) -> f64 {
        let count = self.heights_m.partition_point(|height_m| *height_m > level_m);
        let (sum, moment) = self.above[count];
        moment - level_m * sum
    }
}

impl Linear {
    /// A cut to a level `L` takes `Σ w max(0, h − L)`, which over the nodes with a weight above
    /// nothing is no less than `A (mean − L)`, the mean of a convex function being no less than
    /// the function at the mean; of the voids it takes no more than `A_v (highest − L)`. What
    /// limits say is said at the tips: there `mean min(h, L)` is given, and `L` is above it by no
    /// more than the mean of what the tips lie below their mean.
    fn of(heights: &[Length; TIPS], nodes: &[(f64, f64)]) -> Self {
        let mean_m = heights.iter().map(|h| h.to_m()).sum::<f64>() / TIPS as f64;
        let below = |h: &Length| (mean_m - h.to_m()).max(0.0);
        let uneven_m = heights.iter().map(below).sum::<f64>() / TIPS as f64;
        let (mut at_zero_m3, mut area_m2, mut highest_void_m) = (0.0, 0.0, f64::NEG_INFINITY);
        let mut voids_m2 = 0.0;
        for (height_m, weight_m2) in nodes {
            if *weight_m2 >= 0.0 {
                at_zero_m3 += weight_m2 * height_m;
                area_m2 += weight_m2;
            } else {
                voids_m2 -= weight_m2;
                highest_void_m = highest_void_m.max(*height_m);
            }
        }
        if voids_m2 > 0.0 {
            at_zero_m3 -= voids_m2 * highest_void_m;
            area_m2 -= voids_m2;
        }
        Self { at_zero_m3: at_zero_m3 - area_m2 * uneven_m, area_m2 }
    }
}

impl Taper {
    fn above_m3(&self, face: usize, land_m: f64, step_m: f64) -> f64 {
        let above = |(height_m, weight_m2, share): &(f64, f64, f64)| {
            let depth_m =
                if *share < 0.0 { 0.0 } else { self.root_m + (step_m - self.root_m) * share };
            weight_m2 * (height_m - (land_m - depth_m)).max(0.0)
        };
        self.nodes[face].iter().map(above).sum()
    }
}

fn greatest_m(heights: &[Length; TIPS]) -> f64 {
    heights.iter().map(|h| h.to_m()).fold(f64::NEG_INFINITY, f64::max)
}
