//! The ways of the cutter over a face: dry, rough, finish.

use super::error::CuttingError;
use super::face::FaceJob;
use super::machine::{Kind, MachineTool};
use super::{lathe, mill};
use crate::room::Outside;
use crate::units::Length;

/// The most passes over one area, and the most terraces of one taper.
pub const PASS_LIMIT: usize = 200;

/// How far off by its chords a way round the land may be: it is always outside its circle.
pub(super) const CHORD_M: f64 = 0.03e-3;
/// Kept between the cutter and the land's edge.
pub(super) const EDGE_CLEAR_M: f64 = 0.03e-3;
/// How far a cutter's flat goes past an edge.
pub(super) const OVERLAP_M: f64 = 0.3e-3;
/// Kept between the cutter and the clamp.
pub(super) const CLAMP_CLEAR_M: f64 = 1e-3;
/// Kept between the cutter and the part where it goes down beside it.
pub(super) const AIR_M: f64 = 1e-3;
/// How far above the part the dry pass goes.
const DRY_M: f64 = 5e-3;
/// What the width of the shoulder allows beyond the cutter's corner: chords and the distance kept
/// from the land, the rounding of coordinates, the finest cell of a check.
const SHOULDER_ALLOWS_M: f64 = CHORD_M + EDGE_CLEAR_M + 0.06e-3;

/// One way of the cutter, entered from above and left upwards: every point is the lowest point in
/// the middle of the cutter, `x, y, z` of the [module's axes](super). On a lathe `x` is the
/// distance of the nose's middle from the axis, and `y` nothing.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Stroke {
    /// In order; the first one is in air where the stroke cuts.
    pub path_m: Vec<[f64; 3]>,
}

/// All ways over a face, in order.
#[derive(Debug, Clone, PartialEq)]
pub struct Cuts {
    /// Above the part, the spindle at rest.
    pub dry: Vec<Stroke>,
    /// Until the finishing pass's stock is left; none where that is all there is.
    pub rough: Vec<Stroke>,
    /// The finishing pass.
    pub finish: Vec<Stroke>,
    /// Terraces that a mill makes of a taper, and their height; nothing for a step or on a lathe.
    pub terraces: Option<(usize, Length)>,
}

/// Width of the ring outside the shoulder in which the cutter's corner may leave metal, no higher
/// than the finished land: the corner's own reach down from there, and 0.12 mm for what is kept
/// from the land, chords and rounding. Nothing where the outside is not cut.
#[must_use]
pub fn shoulder_width(job: &FaceJob, machine: &MachineTool) -> Length {
    if !job.outside_is_cut() {
        return Length::ZERO;
    }
    let nose = machine.nose();
    let drop_m = -job.target_m(job.shoulder_m()) + half_terrace_m(job, machine);
    Length::m(nose.reach_m(drop_m) - nose.flat_m + SHOULDER_ALLOWS_M)
}

/// How far outside the shoulder a face may be off the plan, either way: the tolerance, and on a
/// mill half a terrace of a taper.
#[must_use]
pub fn outside_tolerance(job: &FaceJob, machine: &MachineTool) -> Length {
    job.given().tolerance + Length::m(half_terrace_m(job, machine))
}

/// How far terraces are off the slope at most, either way.
pub(super) fn half_terrace_m(job: &FaceJob, machine: &MachineTool) -> f64 {
    match (machine.kind, job.given().shape) {
        (Kind::Mill(_), Outside::Taper { .. }) => 0.5 * job.given().terrace.to_m(),
        _ => 0.0,
    }
}

/// The ways over a face on a machine.
///
/// # Errors
/// A record that contradicts itself; a cutter or holder that does not pass the clamp; a reach that
/// is too short; more passes or terraces than [`PASS_LIMIT`].
pub fn cuts(job: &FaceJob, machine: &MachineTool) -> Result<Cuts, CuttingError> {
    machine.checked()?;
    let ways = match machine.kind {
        Kind::Mill(_) => mill::ways(job, machine)?,
        Kind::Lathe(_) => lathe::ways(job, machine)?,
    };
    let stock_m = machine.finish.stock.to_m();
    let mut cuts = Cuts { dry: Vec::new(), rough: Vec::new(), finish: Vec::new(), terraces: None };
    cuts.terraces = ways.terraces;
    if !ways.flat.is_empty() {
        for level_m in levels_m(ways.flat_top_m, stock_m, machine.rough.depth)? {
            cuts.rough.extend(ways.flat_strokes(job, level_m));
        }
        cuts.finish.extend(ways.flat_strokes(job, 0.0));
    }
    if !ways.outside.is_empty() {
        let lowest_m = job.floor_m() + stock_m;
        let mut above_m = f64::INFINITY;
        for level_m in levels_m(job.outside_top_m(), lowest_m, machine.rough.depth)? {
            cuts.rough.extend(ways.outside_strokes(job, stock_m, level_m, above_m));
            above_m = level_m;
        }
        cuts.finish.extend(ways.outside_strokes(job, 0.0, f64::NEG_INFINITY, f64::INFINITY));
    }
    cuts.dry = ways.dry_strokes(job.top_m() + DRY_M);
    room_for_the_holder(job, machine, &cuts)?;
    Ok(cuts)
}

/// Levels from the top down to a bottom in even steps no deeper than a pass.
fn levels_m(top_m: f64, bottom_m: f64, depth: Length) -> Result<Vec<f64>, CuttingError> {
    let all_m = top_m - bottom_m;
    if all_m <= 1e-9 {
        return Ok(Vec::new());
    }
    let count = (all_m / depth.to_m() - 1e-9).ceil().max(1.0);
    if count > PASS_LIMIT as f64 {
        return Err(CuttingError::Passes { stock: Length::m(all_m), depth, limit: PASS_LIMIT });
    }
    let count = count as usize;
    Ok((1..=count).map(|i| top_m - all_m * i as f64 / count as f64).collect())
}

/// The holder stays above the part, and off the clamp where it is as low as that.
fn room_for_the_holder(
    job: &FaceJob,
    machine: &MachineTool,
    cuts: &Cuts,
) -> Result<(), CuttingError> {
    let (reach, holder_m) = match machine.kind {
        Kind::Mill(cutter) => (cutter.reach, 0.5 * cutter.holder_diameter.to_m()),
        // Either side of the tip.
        Kind::Lathe(tool) => (tool.reach, tool.holder_width.to_m()),
    };
    let needed = Length::m(job.top_m() - job.floor_m() + AIR_M);
    if reach < needed {
        return Err(CuttingError::Reach { reach, needed });
    }
    let clamp_m = machine.fixture.clamp_radius.to_m();
    let clamp_top_m = job.land_top_m() + machine.fixture.clamp_height.to_m();
    let strokes = [&cuts.dry, &cuts.rough, &cuts.finish];
    let meets =
        strokes.into_iter().flatten().flat_map(|stroke| stroke.path_m.windows(2)).any(|pair| {
            let z_m = pair[0][2].min(pair[1][2]);
            let near_m = nearest_to_axis_m(pair[0], pair[1]);
            clamp_m > 0.0
                && z_m + reach.to_m() < clamp_top_m
                && near_m - holder_m < clamp_m + CLAMP_CLEAR_M
        });
    if meets { Err(CuttingError::HolderMeetsClamp(Length::m(2.0 * holder_m))) } else { Ok(()) }
}

fn nearest_to_axis_m(a: [f64; 3], b: [f64; 3]) -> f64 {
    let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
    let length_m2 = dx * dx + dy * dy;
    let along = if length_m2 > 0.0 { -(a[0] * dx + a[1] * dy) / length_m2 } else { 0.0 };
    let along = along.clamp(0.0, 1.0);
    (a[0] + along * dx).hypot(a[1] + along * dy)
}

/// One turn or facing way: its points in the plane, and the height it is for.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Way {
    pub(super) path_m: Vec<[f64; 2]>,
    /// Height at each point, before stock is added.
    pub(super) z_m: Vec<f64>,
}

impl Way {
    /// With stock added and held at a level; where it meets the level it gets a point.
    fn no_lower_than(&self, level_m: f64, stock_m: f64) -> Self {
        let mut held = Self { path_m: Vec::new(), z_m: Vec::new() };
        let mut before: Option<([f64; 2], f64)> = None;
        for (&to, z) in self.path_m.iter().zip(&self.z_m) {
            let z_m = z + stock_m;
            if let Some((from, from_m)) = before
                && (from_m - level_m) * (z_m - level_m) < 0.0
            {
                let share = (level_m - from_m) / (z_m - from_m);
                held.path_m.push([0, 1].map(|axis| from[axis] + (to[axis] - from[axis]) * share));
                held.z_m.push(level_m);
            }
            held.path_m.push(to);
            held.z_m.push(z_m.max(level_m));
            before = Some((to, z_m));
        }
        held
    }
}

/// What a kind of machine knows of its ways over a face.
#[derive(Debug)]
pub(super) struct Ways {
    /// Over the land, and up to the start of a taper: all at one height.
    pub(super) flat: Vec<Way>,
    /// Where the rough passes over it start.
    pub(super) flat_top_m: f64,
    /// Outside the shoulder, from the inside out.
    pub(super) outside: Vec<Way>,
    pub(super) terraces: Option<(usize, Length)>,
    /// Whether a way is closed and may be joined to the next.
    pub(super) closed: bool,
    /// Radius of the cutter.
    pub(super) outer_m: f64,
}

impl Ways {
    fn flat_strokes(&self, job: &FaceJob, level_m: f64) -> Vec<Stroke> {
        let ways: Vec<Way> = self
            .flat
            .iter()
            .map(|way| Way { path_m: way.path_m.clone(), z_m: vec![level_m; way.path_m.len()] })
            .collect();
        self.strokes(job, &ways)
    }

    /// No lower than a level; a way that was as low at the level above is left out.
    fn outside_strokes(
        &self,
        job: &FaceJob,
        stock_m: f64,
        level_m: f64,
        above_m: f64,
    ) -> Vec<Stroke> {
        let ways: Vec<Way> = self
            .outside
            .iter()
            .filter(|way| way.z_m.iter().any(|z| z + stock_m < above_m))
            .map(|way| way.no_lower_than(level_m, stock_m))
            .collect();
        self.strokes(job, &ways)
    }

    fn strokes(&self, job: &FaceJob, ways: &[Way]) -> Vec<Stroke> {
        if self.closed {
            mill::joined(job, ways, self.outer_m)
        } else {
            ways.iter()
                .map(|way| Stroke {
                    path_m: way
                        .path_m
                        .iter()
                        .zip(&way.z_m)
                        .map(|(p, z)| [p[0], p[1], *z])
                        .collect(),
                })
                .collect()
        }
    }

    /// The first and the last way of either area, above the part.
    fn dry_strokes(&self, z_m: f64) -> Vec<Stroke> {
        [&self.flat, &self.outside]
            .into_iter()
            .flat_map(|ways| {
                let last = ways.last().filter(|_| ways.len() > 1);
                ways.first().into_iter().chain(last)
            })
            .map(|way| {
                let close = way.path_m.first().filter(|_| self.closed);
                Stroke {
                    path_m: way.path_m.iter().chain(close).map(|p| [p[0], p[1], z_m]).collect(),
                }
            })
            .collect()
    }
}

#[cfg(test)]
mod tests {
    use super::super::face::FaceGiven;
    use super::super::face::tests::{given, job};
    use super::super::machine::tests::{lathe, mill};
    use super::super::machine::{LatheTool, MillCutter};
    use super::*;

    fn taper() -> FaceGiven {
        let shape = Outside::Taper { start: Length::mm(63.0), root: Length::um(20.0) };
        FaceGiven { shape, ..given() }
    }

    fn cutter(machine: &mut MachineTool, change: impl Fn(&mut MillCutter)) {
        if let Kind::Mill(cutter) = &mut machine.kind {
            change(cutter);
        }
    }

    fn tool(machine: &mut MachineTool, change: impl Fn(&mut LatheTool)) {
        if let Kind::Lathe(tool) = &mut machine.kind {
            change(tool);
        }
    }

    #[test]
    fn levels_are_even_and_no_deeper_than_a_pass() {
        let depth = Length::mm(0.3);
        let levels = levels_m(0.7e-3, 0.0, depth).unwrap();
        assert_eq!(levels.len(), 3);
        assert!((levels[0] - 0.7e-3 * 2.0 / 3.0).abs() < 1e-15 && levels[2].abs() < 1e-15);
        assert_eq!(levels_m(0.6e-3, 0.0, depth).unwrap().len(), 2);
        assert_eq!(levels_m(-1e-6, 0.0, depth).unwrap(), Vec::<f64>::new());
        assert!(levels_m(0.1, 0.0, depth).unwrap_err().to_string().contains("200 passes"));
    }

    /// The cutter never comes nearer the axis than the land allows, and stock is left all over.
    #[test]
    fn rough_ways_leave_stock_and_keep_off_the_land() {
        let machine = mill();
        for given in [given(), taper()] {
            let job = job(&given);
            let cuts = cuts(&job, &machine).unwrap();
            let stock_m = machine.finish.stock.to_m();
            for (strokes, proud_m) in [(&cuts.rough, stock_m), (&cuts.finish, 0.0)] {
                let lowest_m = strokes
                    .iter()
                    .flat_map(|stroke| &stroke.path_m)
                    .map(|p| p[2])
                    .fold(f64::INFINITY, f64::min);
                let off_m = lowest_m - job.floor_m() - proud_m;
                assert!(
                    (-1e-12..=half_terrace_m(&job, &machine) + 1e-12).contains(&off_m),
                    "{off_m}"
                );
                for pair in strokes.iter().flat_map(|stroke| stroke.path_m.windows(2)) {
                    let below_m = proud_m - pair[0][2].min(pair[1][2]);
                    if below_m > 1e-9 {
                        let edge_m =
                            nearest_to_axis_m(pair[0], pair[1]) - machine.nose().reach_m(below_m);
                        assert!(edge_m > job.shoulder_m(), "{pair:?}");
                    }
                }
            }
            assert!(cuts.dry.iter().flat_map(|s| &s.path_m).all(|p| p[2] > job.top_m() + 4.9e-3));
        }
    }

    #[test]
    fn a_taper_is_terraces_on_a_mill_and_a_slope_on_a_lathe() {
        let job = job(&taper());
        let (count, height) = cuts(&job, &mill()).unwrap().terraces.unwrap();
        assert!(height <= job.given().terrace);
        let fall_m = job.target_m(job.shoulder_m()) - job.floor_m();
        assert!((height.to_m() * count as f64 - fall_m).abs() < 1e-12);
        let cuts = cuts(&job, &lathe()).unwrap();
        assert_eq!(cuts.terraces, None);
        let [far, near] = [1, 2].map(|i| cuts.finish[1].path_m[i]);
        let slope = (near[2] - far[2]) / (far[0] - near[0]);
        assert!((slope - job.slope()).abs() < 1e-9);
    }

    /// A rough pass over a slope follows its level until it meets the slope.
    #[test]
    fn a_way_that_meets_its_level_gets_a_point_there() {
        let way = Way { path_m: vec![[0.1, 0.0], [0.06, 0.0]], z_m: vec![-4e-4, 0.0] };
        let held = way.no_lower_than(-1e-4, 1e-4);
        assert_eq!(held.path_m.len(), 3);
        assert!((held.path_m[1][0] - 0.08).abs() < 1e-12);
        let expected = [-1e-4, -1e-4, 1e-4];
        assert!(held.z_m.iter().zip(expected).all(|(z, e)| (z - e).abs() < 1e-15));
    }

    #[test]
    fn what_is_in_the_way_is_named() {
        let job = job(&given());
        let refused = |machine: MachineTool, part: &str| {
            let message = cuts(&job, &machine).unwrap_err().to_string();
            assert!(message.contains(part), "{message}");
        };
        let mut machine = mill();
        machine.fixture.clamp_radius = Length::mm(45.0);
        refused(machine, "to reach radius 46.000 mm its edge comes within 45.300 mm");
        let mut machine = lathe();
        machine.fixture.clamp_radius = Length::mm(45.0);
        refused(machine, "the clamp with 1 mm of air needs 46.000 mm");
        let mut machine = mill();
        cutter(&mut machine, |c| {
            (c.reach, c.holder_diameter) = (Length::mm(15.0), Length::mm(60.0))
        });
        refused(machine, "a holder of 60.000 mm meets the clamp");
        let mut machine = lathe();
        tool(&mut machine, |t| t.reach = Length::mm(0.5));
        refused(machine, "the holder needs 1.19");
        let mut machine = mill();
        machine.rough.depth = Length::um(30.0);
        machine.rough.feed = Length::ZERO;
        refused(machine, "the feed of the rough passes");
    }
}
