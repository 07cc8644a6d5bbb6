//! The part that a program leaves, held against the plan all over, not at nodes alone.
//!
//! A cell is a square with bounds: how low any of it can have been cut, how much of it can stand.
//! Where the bounds lie within what the plan wants all over the cell, it is proven. Where the
//! middle of the cell is off, that is a fault, found. Else the cell is divided in four, down to
//! [`SMALLEST_CELL`]; a cell that is still undecided there counts as a fault. So nothing that is
//! wrong passes, however thin it is; what is right may be refused only within the diagonal of the
//! smallest cell of being wrong, and programs are written farther than that from every edge.

use crate::fault::{Fault, Reason};
use crate::region::{Bounds, Lies, Wanted};
use crate::sweep::Sweep;
use kernel::cutting::{FaceJob, Nose};
use kernel::units::Length;
use rayon::prelude::*;
use std::f64::consts::FRAC_1_SQRT_2;

/// Side of the smallest cell.
pub const SMALLEST_CELL: Length = Length::mm(0.01);
/// How often a cell is divided at most.
const DIVISIONS: i32 = 7;

/// What cuts, and whether the part turns under it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Cutting<'a> {
    /// Everything that moves.
    pub(crate) sweeps: &'a [Sweep],
    pub(crate) nose: Nose,
    /// On a lathe only radii count.
    pub(crate) turning: bool,
}

impl Cutting<'_> {
    /// A point of the part as the sweeps see it.
    #[inline]
    pub(crate) fn seen(&self, [x, y]: [f64; 2]) -> [f64; 2] {
        if self.turning { [(x * x + y * y).sqrt(), 0.0] } else { [x, y] }
    }

    /// Whether the bounds lie within what is wanted: nothing of the surrounding can have been cut
    /// lower, and all that stands higher is cut down.
    fn decides(&self, of: &[u32], point_m: [f64; 2], around_m: f64, wanted: &Bounds) -> bool {
        let seen = self.seen(point_m);
        let cut_to_m = wanted.cut_to_m();
        let mut is_down = cut_to_m.is_none();
        // The last ones are the lowest, as a rule.
        for &i in of.iter().rev() {
            let sweep = &self.sweeps[i as usize];
            // What is nowhere too low, or nowhere low enough, needs no second look.
            let lowest_m = sweep.lowest_m();
            if lowest_m < wanted.low_m && sweep.at_least_m(self.nose, seen, around_m) < wanted.low_m
            {
                return false;
            }
            if !is_down && cut_to_m.is_some_and(|cut_to_m| lowest_m <= cut_to_m) {
                let (_, left_m) = sweep.between_m(self.nose, seen, around_m, self.turning);
                is_down = cut_to_m.is_some_and(|cut_to_m| left_m <= cut_to_m);
            }
        }
        is_down
    }

    /// By how much a surrounding is off, at worst.
    fn compared(&self, of: &[u32], point_m: [f64; 2], around_m: f64, wanted: &Bounds) -> Worst {
        let seen = self.seen(point_m);
        let (mut least_m, mut by, mut most_m) = (f64::INFINITY, None, f64::INFINITY);
        for &i in of {
            let sweep = &self.sweeps[i as usize];
            let (reached_m, left_m) = sweep.between_m(self.nose, seen, around_m, self.turning);
            if reached_m < least_m {
                (least_m, by) = (reached_m, Some(sweep.line));
            }
            most_m = most_m.min(left_m);
        }
        let [x, y] = point_m;
        let gouge =
            (least_m < wanted.low_m).then_some((wanted.low_m - least_m, by, [x, y, least_m]));
        let standing = wanted.too_high(most_m).map(|(left_m, by_m)| (by_m, [x, y, left_m]));
        Worst { gouge, standing }
    }
}

/// The worst of what is cut too deep and of what is left standing.
#[derive(Debug, Clone, Copy, Default)]
struct Worst {
    gouge: Option<(f64, Option<usize>, [f64; 3])>,
    standing: Option<(f64, [f64; 3])>,
}

impl Worst {
    fn and(mut self, other: Self) -> Self {
        if let Some(gouge) = other.gouge
            && self.gouge.is_none_or(|mine| gouge.0 > mine.0)
        {
            self.gouge = Some(gouge);
        }
        if let Some(standing) = other.standing
            && self.standing.is_none_or(|mine| standing.0 > mine.0)
        {
            self.standing = Some(standing);
        }
        self
    }
}

/// Holds what sweeps leave of a face against what is wanted of it.
pub(crate) fn faults(job: &FaceJob, cutting: Cutting<'_>, wanted: &Wanted<'_>) -> Vec<Fault> {
    let side_m = SMALLEST_CELL.to_m() * 2f64.powi(DIVISIONS);
    let half = (job.outline().farthest_m() / side_m).ceil() as i32;
    let rows: Vec<i32> = (-half..half).collect();
    let worst = rows
        .into_par_iter()
        .map(|row| row_of_cells(cutting, wanted, row, half, side_m))
        .collect::<Vec<_>>()
        .into_iter()
        .fold(Worst::default(), Worst::and);
    let mut faults = Vec::new();
    if let Some((by_m, line, place_m)) = worst.gouge {
        let reason = Reason::Gouge { by: Length::m(by_m), when: wanted.when };
        faults.push(Fault { line, reason, place: Some(place_m.map(Length::m)) });
    }
    if let Some((by_m, place_m)) = worst.standing {
        let reason = Reason::Standing { by: Length::m(by_m), when: wanted.when };
        faults.push(Fault { line: None, reason, place: Some(place_m.map(Length::m)) });
    }
    faults
}

fn row_of_cells(
    cutting: Cutting<'_>,
    wanted: &Wanted<'_>,
    row: i32,
    half: i32,
    side_m: f64,
) -> Worst {
    let y_m = (f64::from(row) + 0.5) * side_m;
    let outer_m = cutting.nose.outer_m() + side_m;
    // What comes near each cell at all.
    let mut near: Vec<Vec<u32>> = vec![Vec::new(); 2 * half as usize];
    let last = near.len() - 1;
    for (i, sweep) in (0u32..).zip(cutting.sweeps) {
        let [[least_x_m, most_x_m], [least_y_m, most_y_m]] = sweep.bounds_m();
        let (from, to) = if cutting.turning {
            (0, last)
        } else if least_y_m - outer_m <= y_m && y_m <= most_y_m + outer_m {
            let column = |x_m: f64| (x_m / side_m + f64::from(half)).max(0.0) as usize;
            (column(least_x_m - outer_m), column(most_x_m + outer_m).min(last))
        } else {
            continue;
        };
        near.iter_mut().take(to + 1).skip(from).for_each(|cell| cell.push(i));
    }
    near.iter()
        .zip(-half..half)
        .map(|(near, column)| {
            let middle_m = [(f64::from(column) + 0.5) * side_m, y_m];
            cell(cutting, wanted, near, middle_m, side_m, None)
        })
        .fold(Worst::default(), Worst::and)
}

fn cell(
    cutting: Cutting<'_>,
    wanted: &Wanted<'_>,
    near: &[u32],
    middle_m: [f64; 2],
    side_m: f64,
    lies: Option<Lies>,
) -> Worst {
    let around_m = side_m * FRAC_1_SQRT_2;
    let lies = lies.unwrap_or_else(|| wanted.lies(middle_m, around_m));
    if lies == Lies::Off {
        return Worst::default();
    }
    let bounds = wanted.bounds(middle_m, around_m);
    if cutting.decides(near, middle_m, around_m, &bounds) {
        return Worst::default();
    }
    let outer_m = cutting.nose.outer_m();
    let seen = cutting.seen(middle_m);
    let near: Vec<u32> = near
        .iter()
        .copied()
        .filter(|&i| cutting.sweeps[i as usize].nearest(seen).0 <= outer_m + around_m)
        .collect();
    let [x, y] = middle_m;
    let on_the_part = lies == Lies::On || wanted.lies(middle_m, 0.0) != Lies::Off;
    if on_the_part {
        let worst = cutting.compared(&near, middle_m, 0.0, &wanted.bounds(middle_m, 0.0));
        if worst.gouge.is_some() || worst.standing.is_some() {
            return worst;
        }
    }
    let smallest = side_m <= SMALLEST_CELL.to_m() * 1.5;
    if smallest {
        let mut worst = cutting.compared(&near, middle_m, around_m, &bounds);
        if worst.gouge.is_none() && worst.standing.is_none() {
            // It was not decided, so it does not pass, whatever the arithmetic says now.
            worst.gouge = Some((0.0, None, [x, y, bounds.low_m]));
        }
        return worst;
    }
    let quarter_m = 0.25 * side_m;
    let lies = Some(lies).filter(|lies| *lies == Lies::On);
    [(-1.0, -1.0), (1.0, -1.0), (-1.0, 1.0), (1.0, 1.0)]
        .into_iter()
        .map(|(dx, dy)| {
            let middle_m = [x + dx * quarter_m, y + dy * quarter_m];
            cell(cutting, wanted, &near, middle_m, 0.5 * side_m, lies)
        })
        .fold(Worst::default(), Worst::and)
}
