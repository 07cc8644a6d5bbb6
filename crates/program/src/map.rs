//! The cut in the order of its moves, on a map of heights: how much each pass takes, and what
//! stands where in the end.
//!
//! The map has a height per node. On a mill nodes are a square grid, in bands of rows that do not
//! know each other, so that the result is the same on any number of threads. On a lathe they lie
//! along a radius, each with the highest metal of its circle.

use crate::fault::{Fault, Reason};
use crate::modal::Move;
use crate::region::{Lies, Wanted};
use crate::sweep::Sweep;
use kernel::cutting::{FaceJob, Kind, MachineTool};
use kernel::units::Length;
use rayon::prelude::*;
use std::f64::consts::TAU;

/// Rows of nodes that are worked on together.
const BAND: usize = 16;
/// A pass may be deeper than the record's by what rounding does to two levels.
const PASS_ROUNDING_M: f64 = 3e-6;

/// What a map of heights says.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Mapped {
    /// Nodes that were compared with the plan.
    pub(crate) nodes: usize,
    /// The deepest pass.
    pub(crate) deepest_m: f64,
    /// Height less the plan's at the end: least and greatest, off the shoulder's ring.
    pub(crate) off_m: [f64; 2],
    /// Passes that take too much.
    faults: Vec<Fault>,
    /// Of nodes that are cut too deep, of nodes that are left standing.
    worst: [Option<Fault>; 2],
}

impl Mapped {
    const NOTHING: Self =
        Self { nodes: 0, deepest_m: 0.0, off_m: [0.0; 2], faults: Vec::new(), worst: [None, None] };

    /// All that is wrong; of many nodes that one line spoils, the worst.
    pub(crate) fn into_faults(mut self) -> Vec<Fault> {
        self.faults.sort_by(|a, b| a.line.cmp(&b.line).then(size_m(b).total_cmp(&size_m(a))));
        self.faults.dedup_by_key(|fault| fault.line);
        self.faults.extend(self.worst.into_iter().flatten());
        self.faults
    }

    fn and(mut self, other: Self) -> Self {
        self.nodes += other.nodes;
        self.deepest_m = self.deepest_m.max(other.deepest_m);
        self.off_m = [self.off_m[0].min(other.off_m[0]), self.off_m[1].max(other.off_m[1])];
        self.faults.extend(other.faults);
        for (kind, fault) in other.worst.into_iter().enumerate() {
            if let Some(fault) = fault {
                self.keep_worst(kind, fault);
            }
        }
        self
    }
}

fn size_m(fault: &Fault) -> f64 {
    match fault.reason {
        Reason::PassTooDeep { is: by, .. }
        | Reason::BehindTool(by)
        | Reason::Gouge { by, .. }
        | Reason::Standing { by, .. } => by.to_m(),
        _ => 0.0,
    }
}

/// One node: where it is, how high its metal stands.
#[derive(Debug, Clone, Copy)]
struct Node {
    place_m: [f64; 2],
    height_m: f64,
}

/// Cuts a part on a grid.
pub(crate) fn mapped(job: &FaceJob, machine: &MachineTool, moves: &[Move], grid: Length) -> Mapped {
    let cuts: Vec<Sweep> =
        moves.iter().filter(|step| step.spindle_on && !step.rapid).filter_map(Sweep::of).collect();
    let wanted = Wanted::finished(job, machine);
    let grid_m = grid.to_m();
    let half = (job.outline().farthest_m() / grid_m).ceil() as i64;
    match machine.kind {
        Kind::Mill(_) => {
            let rows: Vec<i64> = (-half..=half).collect();
            rows.par_chunks(BAND)
                .map(|rows| {
                    let mut band = Band::of(job, rows, half, grid_m);
                    band.cut(machine, &cuts);
                    band.held_against(job, &wanted)
                })
                .collect::<Vec<_>>()
                .into_iter()
                .fold(Mapped::NOTHING, Mapped::and)
        }
        Kind::Lathe(tool) => turned(job, machine, &cuts, grid_m, tool.holder_width.to_m()),
    }
}

/// Rows of a square grid.
struct Band {
    rows: Vec<Row>,
    grid_m: f64,
    mapped: Mapped,
}

/// Nodes side by side; those off the part have no metal.
struct Row {
    y_m: f64,
    first_x_m: f64,
    heights_m: Vec<f64>,
}

impl Band {
    fn of(job: &FaceJob, rows: &[i64], half: i64, grid_m: f64) -> Self {
        let rows = rows
            .iter()
            .map(|&row| {
                let y_m = row as f64 * grid_m;
                let across_m = crossings_m(job.outline().points_m(), y_m);
                let first_x_m = -half as f64 * grid_m;
                let heights_m = (0..=2 * half)
                    .map(|column| {
                        let x_m = first_x_m + column as f64 * grid_m;
                        let inside = across_m.iter().filter(|at| **at < x_m).count() % 2 == 1;
                        if inside { job.found_m(x_m, y_m) } else { f64::NEG_INFINITY }
                    })
                    .collect();
                Row { y_m, first_x_m, heights_m }
            })
            .collect();
        Self { rows, grid_m, mapped: Mapped::NOTHING }
    }

    fn cut(&mut self, machine: &MachineTool, cuts: &[Sweep]) {
        let nose = machine.nose();
        let outer_m = nose.outer_m();
        let most_m = machine.rough.depth.to_m() + PASS_ROUNDING_M;
        for sweep in cuts {
            let [[least_x_m, most_x_m], [least_y_m, most_y_m]] = sweep.bounds_m();
            let lowest_m = sweep.lowest_m();
            let mut deepest: Option<(f64, [f64; 3])> = None;
            for row in &mut self.rows {
                if row.y_m < least_y_m - outer_m || row.y_m > most_y_m + outer_m {
                    continue;
                }
                let column = |x_m: f64| (x_m - row.first_x_m) / self.grid_m;
                let from = column(least_x_m - outer_m).ceil().max(0.0) as usize;
                let to = column(most_x_m + outer_m).floor().max(-1.0) + 1.0;
                let to = (to as usize).min(row.heights_m.len());
                for i in from..to.max(from) {
                    let height_m = row.heights_m[i];
                    // Most nodes were cut as low by the moves before.
                    if height_m <= lowest_m {
                        continue;
                    }
                    let x_m = row.first_x_m + i as f64 * self.grid_m;
                    let cut_m = sweep.at_least_m(nose, [x_m, row.y_m], 0.0);
                    if cut_m < height_m {
                        row.heights_m[i] = cut_m;
                        let taken_m = height_m - cut_m;
                        if deepest.is_none_or(|(most_m, _)| taken_m > most_m) {
                            deepest = Some((taken_m, [x_m, row.y_m, cut_m]));
                        }
                    }
                }
            }
            self.mapped.take(sweep.line, deepest, most_m);
        }
    }

    fn held_against(mut self, job: &FaceJob, wanted: &Wanted<'_>) -> Mapped {
        for row in &self.rows {
            for (i, &height_m) in row.heights_m.iter().enumerate() {
                if height_m > f64::NEG_INFINITY {
                    let place_m = [row.first_x_m + i as f64 * self.grid_m, row.y_m];
                    self.mapped.compare(job, wanted, Node { place_m, height_m });
                }
            }
        }
        self.mapped
    }
}

impl Mapped {
    fn take(&mut self, line: usize, deepest: Option<(f64, [f64; 3])>, most_m: f64) {
        let Some((taken_m, place_m)) = deepest else { return };
        self.deepest_m = self.deepest_m.max(taken_m);
        if taken_m > most_m {
            let (is, most) = (Length::m(taken_m), Length::m(most_m - PASS_ROUNDING_M));
            self.faults.push(Fault {
                line: Some(line),
                reason: Reason::PassTooDeep { is, most },
                place: Some(place_m.map(Length::m)),
            });
        }
    }

    fn keep_worst(&mut self, kind: usize, fault: Fault) {
        if self.worst[kind].as_ref().is_none_or(|kept| size_m(&fault) > size_m(kept)) {
            self.worst[kind] = Some(fault);
        }
    }

    /// The same as the proof's, at a node.
    fn compare(&mut self, job: &FaceJob, wanted: &Wanted<'_>, node: Node) {
        let Node { place_m: [x, y], height_m } = node;
        let bounds = wanted.bounds([x, y], 0.0);
        self.nodes += 1;
        let place = Some([x, y, height_m].map(Length::m));
        let when = wanted.when;
        if height_m < bounds.low_m {
            let by = Length::m(bounds.low_m - height_m);
            self.keep_worst(0, Fault { line: None, reason: Reason::Gouge { by, when }, place });
        }
        if let Some((_, by_m)) = bounds.too_high(height_m) {
            let by = Length::m(by_m);
            self.keep_worst(1, Fault { line: None, reason: Reason::Standing { by, when }, place });
        }
        let radius_m = x.hypot(y);
        if radius_m >= job.land_inner_m() && !wanted.in_the_ring(radius_m) {
            let planned_m = job.found_m(x, y).min(job.target_m(radius_m));
            let off_m = height_m - planned_m;
            self.off_m = [self.off_m[0].min(off_m), self.off_m[1].max(off_m)];
        }
    }
}

/// Where an outline crosses a level, by `x`.
fn crossings_m(outline_m: &[[f64; 2]], y_m: f64) -> Vec<f64> {
    let mut from = outline_m[outline_m.len() - 1];
    let mut across_m = Vec::new();
    for &to in outline_m {
        let ([ax, ay], [bx, by]) = (from, to);
        if (ay > y_m) != (by > y_m) {
            across_m.push(ax + (bx - ax) * (y_m - ay) / (by - ay));
        }
        from = to;
    }
    across_m
}

/// Directions in which a circle of a turned part is looked at.
const DIRECTIONS: usize = 360;

/// On a lathe: along a radius for the depth of passes, then all round for the plan.
fn turned(
    job: &FaceJob,
    machine: &MachineTool,
    cuts: &[Sweep],
    grid_m: f64,
    holder_m: f64,
) -> Mapped {
    let nose = machine.nose();
    let most_m = machine.rough.depth.to_m() + PASS_ROUNDING_M;
    let mut mapped = Mapped::NOTHING;
    let count = (job.outline().farthest_m() / grid_m).floor() as usize + 1;
    let circle = |radius_m: f64| {
        (0..DIRECTIONS).map(move |i| {
            let (sin, cos) = (TAU * i as f64 / DIRECTIONS as f64).sin_cos();
            [radius_m * cos, radius_m * sin]
        })
    };
    let wanted = Wanted::finished(job, machine);
    let mut cut_m: Vec<f64> = vec![f64::INFINITY; count];
    let mut height_m: Vec<f64> = (0..count)
        .map(|i| {
            circle(i as f64 * grid_m)
                .filter(|place_m| wanted.lies(*place_m, 0.0) != Lies::Off)
                .map(|[x, y]| job.found_m(x, y))
                .fold(f64::NEG_INFINITY, f64::max)
        })
        .collect();
    for sweep in cuts {
        let mut deepest: Option<(f64, [f64; 3])> = None;
        for i in 0..count {
            let radius_m = i as f64 * grid_m;
            let reached_m = sweep.at_least_m(nose, [radius_m, 0.0], 0.0);
            cut_m[i] = cut_m[i].min(reached_m);
            if reached_m < height_m[i] {
                let taken_m = height_m[i] - reached_m;
                height_m[i] = reached_m;
                if deepest.is_none_or(|(most_m, _)| taken_m > most_m) {
                    deepest = Some((taken_m, [radius_m, 0.0, reached_m]));
                }
            }
        }
        mapped.take(sweep.line, deepest, most_m);
        mapped.faults.extend(behind(sweep, &height_m, grid_m, holder_m));
    }
    for (i, cut_m) in cut_m.into_iter().enumerate() {
        for place_m in circle(i as f64 * grid_m) {
            if wanted.lies(place_m, 0.0) != Lies::Off {
                let height_m = cut_m.min(job.found_m(place_m[0], place_m[1]));
                mapped.compare(job, &wanted, Node { place_m, height_m });
            }
        }
    }
    mapped
}

/// What stands outside the nose, as far as the tool is wide, above its tip: how its back rises is
/// not in the record, so nothing may stand there.
fn behind(sweep: &Sweep, height_m: &[f64], grid_m: f64, holder_m: f64) -> Option<Fault> {
    // Of a way inward, what it cut itself lies behind it; what lies farther out is looked at from
    // where it began.
    let (from_m, tip_m) = sweep.outermost_m();
    let from = (from_m / grid_m).ceil().max(0.0) as usize;
    let to = (((from_m + holder_m) / grid_m).floor().max(0.0) as usize + 1).min(height_m.len());
    let (i, stands_m) = (from..to.max(from))
        .map(|i| (i, height_m[i]))
        .filter(|(_, height)| *height > tip_m + PASS_ROUNDING_M)
        .max_by(|a, b| a.1.total_cmp(&b.1))?;
    let place = Some([i as f64 * grid_m, 0.0, stands_m].map(Length::m));
    let by = Length::m(stands_m - tip_m);
    Some(Fault { line: Some(sweep.line), reason: Reason::BehindTool(by), place })
}
