//! Between which heights the plan wants a face, at points and over cells.

use kernel::cutting::{FaceJob, MachineTool, outside_tolerance, shoulder_width};

/// A face that a program is held against: at the end, or with stock for the finishing pass left.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Wanted<'a> {
    job: &'a FaceJob,
    /// Left proud all over.
    stock_m: f64,
    tolerance_m: f64,
    outside_m: f64,
    /// Where the shoulder's ring ends in which the cutter's corner may leave metal.
    ring_m: f64,
    steepest: f64,
    pub(crate) when: &'static str,
}

/// Heights between which metal must end, all over a cell.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Bounds {
    /// No lower.
    pub(crate) low_m: f64,
    /// Of each part of the face that the cell has a share of: how high metal was found in it at
    /// most, and how high it may end.
    parts_m: [(f64, f64); PARTS],
}

/// Land, what is level with it, what is below it.
const PARTS: usize = 3;

impl Bounds {
    /// How far down metal must be cut so that none of it stands too high; nothing where none does.
    pub(crate) fn cut_to_m(&self) -> Option<f64> {
        self.parts_m
            .iter()
            .filter(|(found_m, high_m)| found_m > high_m)
            .map(|(_, high_m)| *high_m)
            .min_by(f64::total_cmp)
    }

    /// Where metal that is cut down to a height stands too high, if it does: its height, and by
    /// how much.
    pub(crate) fn too_high(&self, cut_m: f64) -> Option<(f64, f64)> {
        self.parts_m
            .iter()
            .map(|&(found_m, high_m)| (found_m.min(cut_m), found_m.min(cut_m) - high_m))
            .filter(|(_, by_m)| *by_m > 0.0)
            .max_by(|a, b| a.1.total_cmp(&b.1))
    }
}

/// Of a cell: whether it lies on the face, off it, or across the outline.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Lies {
    On,
    Off,
    Across,
}

impl<'a> Wanted<'a> {
    /// At the end.
    pub(crate) fn finished(job: &'a FaceJob, machine: &MachineTool) -> Self {
        Self {
            job,
            stock_m: 0.0,
            tolerance_m: job.given().tolerance.to_m(),
            outside_m: outside_tolerance(job, machine).to_m(),
            ring_m: job.shoulder_m() + shoulder_width(job, machine).to_m(),
            steepest: job.steepest_found(),
            when: "at the end",
        }
    }

    /// At the stop to measure.
    pub(crate) fn at_the_stop(job: &'a FaceJob, machine: &MachineTool) -> Self {
        Self {
            stock_m: machine.finish.stock.to_m(),
            when: "before the finishing pass",
            ..Self::finished(job, machine)
        }
    }

    /// Whether the cutter's corner may leave metal at a radius.
    pub(crate) fn in_the_ring(&self, radius_m: f64) -> bool {
        radius_m >= self.job.shoulder_m() && radius_m <= self.ring_m
    }

    pub(crate) fn lies(&self, [x, y]: [f64; 2], around_m: f64) -> Lies {
        // Most need no look at the outline.
        let radius_m = (x * x + y * y).sqrt();
        if radius_m + around_m < self.job.outline().nearest_m() {
            return Lies::On;
        }
        if radius_m - around_m > self.job.outline().farthest_m() {
            return Lies::Off;
        }
        let (inside, distance_m) = self.job.outline().inside_and_distance_m(x, y);
        match (distance_m > around_m, inside) {
            (true, true) => Lies::On,
            (true, false) => Lies::Off,
            (false, _) => Lies::Across,
        }
    }

    /// All over the surrounding of a point that lies on the face or across its outline.
    pub(crate) fn bounds(&self, point_m: [f64; 2], around_m: f64) -> Bounds {
        let (job, [x, y]) = (self.job, point_m);
        let radius_m = (x * x + y * y).sqrt();
        let (from_m, to_m) = (radius_m - around_m, radius_m + around_m);
        let (inner_m, land_m, shoulder_m) = (job.land_inner_m(), job.land_m(), job.shoulder_m());
        let rise_m = self.steepest * around_m;
        let nothing = (f64::NEG_INFINITY, f64::INFINITY);
        let mut bounds = Bounds { low_m: f64::NEG_INFINITY, parts_m: [nothing; PARTS] };
        if from_m < inner_m {
            // Inside the land: no lower than the finished land.
            bounds.low_m = -self.tolerance_m;
        }
        let mut add =
            |part: usize, found_m: f64, target: [f64; 2], ring: bool, tolerance_m: f64| {
                let (least_m, most_m) = (found_m - rise_m, found_m + rise_m);
                let low_m = most_m.min(target[1] + self.stock_m) - tolerance_m;
                bounds.low_m = bounds.low_m.max(low_m);
                if target[0].is_finite() {
                    let target_m = if ring { 0.0 } else { target[0] };
                    let high_m = least_m.min(target_m + self.stock_m) + tolerance_m;
                    bounds.parts_m[part] = (most_m, high_m);
                }
            };
        if to_m >= inner_m && from_m < land_m {
            let target_m = job.target_m(0.5 * (inner_m + land_m));
            add(0, job.land_found_m(x, y), [target_m; 2], false, self.tolerance_m);
        }
        if to_m >= land_m {
            let found_m = job.outside_found_m(x, y);
            if from_m < shoulder_m && shoulder_m > land_m {
                add(1, found_m, [job.target_m(land_m); 2], false, self.tolerance_m);
            }
            if to_m >= shoulder_m {
                let target = [job.target_m(to_m), job.target_m(from_m.max(shoulder_m))];
                add(2, found_m, target, to_m <= self.ring_m, self.outside_m);
            }
        }
        bounds
    }
}
