//! On a mill: turns round the land, from the inside out.
//!
//! A turn is clockwise seen from above, so that a spindle that turns clockwise (M3) has the part on
//! its right and cuts with the feed coming down on the metal (climb). Turns outside a step go
//! between the land's edge and the outline; those of a taper are circles, each a terrace lower
//! than the one inside it. Where a turn leaves the part it is broken off, so that air is crossed at
//! rapid. Every way down is beside the part.

use super::error::CuttingError;
use super::face::FaceJob;
use super::machine::MachineTool;
use super::nose::Nose;
use super::passes::{
    AIR_M, CHORD_M, CLAMP_CLEAR_M, EDGE_CLEAR_M, OVERLAP_M, PASS_LIMIT, Stroke, Way, Ways,
};
use crate::room::Outside;
use crate::units::Length;
use std::f64::consts::{FRAC_PI_3, PI, TAU};

/// Turns are this part of the flat's diameter apart at most.
const STEPOVER: f64 = 0.7;
/// The outermost turn is this part of the flat's radius inside the outline.
const OUTERMOST: f64 = 0.5;

pub(super) fn ways(job: &FaceJob, machine: &MachineTool) -> Result<Ways, CuttingError> {
    let nose = machine.nose();
    let clamp_m = machine.fixture.clamp_radius.to_m();
    let points = points_of_a_turn(job.shoulder_m() + nose.outer_m());
    let (flat, flat_top_m) = flat_turns(job, nose, clamp_m, points)?;
    let (outside, terraces) = if job.outside_is_cut() {
        past_the_clamp(job.shoulder_m(), job.shoulder_m() + EDGE_CLEAR_M, clamp_m)?;
        match job.given().shape {
            Outside::Step => (step_turns(job, nose, points), None),
            Outside::Taper { .. } => terraces(job, nose, points)?,
        }
    } else {
        (Vec::new(), None)
    };
    Ok(Ways { flat, flat_top_m, outside, terraces, closed: true, outer_m: nose.outer_m() })
}

/// So many that a chord is no more than [`CHORD_M`] from its circle, and the tips lie on points.
fn points_of_a_turn(radius_m: f64) -> usize {
    let half_rad = (1.0 - CHORD_M / radius_m).acos();
    (PI / half_rad / 6.0).ceil() as usize * 6
}

/// Direction of a point: from the middle of the flank between tips, clockwise.
fn direction_rad(point: usize, points: usize) -> f64 {
    FRAC_PI_3 - TAU * point as f64 / points as f64
}

/// A turn of a given radius by direction; no chord comes nearer the axis than the radii it joins.
fn turn(points: usize, z_m: f64, radius_m: impl Fn(f64) -> f64) -> Way {
    let out = 1.0 / (PI / points as f64).cos();
    let path_m = (0..points)
        .map(|point| {
            let direction = direction_rad(point, points);
            let radius_m = radius_m(direction) * out;
            [radius_m * direction.cos(), radius_m * direction.sin()]
        })
        .collect();
    Way { path_m, z_m: vec![z_m; points] }
}

fn past_the_clamp(reach_m: f64, edge_m: f64, clamp_m: f64) -> Result<(), CuttingError> {
    let needed_m = clamp_m + CLAMP_CLEAR_M;
    if clamp_m > 0.0 && edge_m < needed_m {
        let [reach, edge, needed] = [reach_m, edge_m, needed_m].map(Length::m);
        return Err(CuttingError::Clamp { reach, edge, needed });
    }
    Ok(())
}

/// Turns over the land, and up to the start of a taper, with the height they start at.
fn flat_turns(
    job: &FaceJob,
    nose: Nose,
    clamp_m: f64,
    points: usize,
) -> Result<(Vec<Way>, f64), CuttingError> {
    let (land_m, zone_m) = (job.land_m(), job.shoulder_m());
    // Of an outside that falls away from the land only what the cutter goes over counts.
    let outside_m = job.outside_top_m();
    if !job.land_is_cut() && (zone_m <= land_m || outside_m <= 1e-9) {
        return Ok((Vec::new(), 0.0));
    }
    let inner_m = if job.land_is_cut() { job.land_inner_m() } else { land_m };
    let top_m = if job.land_is_cut() { job.land_top_m().max(outside_m) } else { outside_m };
    // The flat just covers the inner edge, the outer edge.
    let innermost_m = inner_m - OVERLAP_M + nose.flat_m;
    let outermost_m = zone_m + OVERLAP_M - nose.flat_m;
    past_the_clamp(inner_m, innermost_m - nose.outer_m(), clamp_m)?;
    let radii_m = if outermost_m <= innermost_m {
        let nearest_m = if clamp_m > 0.0 { clamp_m + CLAMP_CLEAR_M + nose.outer_m() } else { 0.0 };
        vec![(0.5 * (outermost_m + innermost_m)).max(nearest_m).min(innermost_m)]
    } else {
        spread(innermost_m, outermost_m, 2.0 * nose.flat_m * STEPOVER)
    };
    Ok((radii_m.into_iter().map(|radius_m| turn(points, 0.0, |_| radius_m)).collect(), top_m))
}

fn spread(from: f64, to: f64, most: f64) -> Vec<f64> {
    let gaps = ((to - from) / most).ceil().max(1.0);
    (0..=gaps as usize).map(|i| from + (to - from) * i as f64 / gaps).collect()
}

/// Turns outside a step, between the circle along the land and the outline.
fn step_turns(job: &FaceJob, nose: Nose, points: usize) -> Vec<Way> {
    let z_m = job.floor_m();
    let first_m = job.shoulder_m() + nose.reach_m(-z_m) + EDGE_CLEAR_M;
    let last_m =
        |direction: f64| (job.outline().radius_m(direction) - OUTERMOST * nose.flat_m).max(first_m);
    let widest_m = job.outline().farthest_m() - OUTERMOST * nose.flat_m - first_m;
    let gaps = (widest_m / (2.0 * nose.flat_m * STEPOVER)).ceil().max(0.0) as usize;
    (0..=gaps)
        .map(|gap| {
            let share = if gaps == 0 { 0.0 } else { gap as f64 / gaps as f64 };
            turn(points, z_m, |direction| first_m + (last_m(direction) - first_m) * share)
        })
        .collect()
}

type Terraces = (Vec<Way>, Option<(usize, Length)>);

/// Circles of a taper. Each terrace is half its height off the slope at its edges, either way.
fn terraces(job: &FaceJob, nose: Nose, points: usize) -> Result<Terraces, CuttingError> {
    let (start_m, end_m) = (job.shoulder_m(), job.outline().farthest_m());
    let (root_m, lowest_m) = (-job.target_m(start_m), -job.floor_m());
    let terrace = job.given().terrace;
    let count = ((lowest_m - root_m) / terrace.to_m() - 1e-9).ceil().max(1.0);
    if count > PASS_LIMIT as f64 {
        let stock = Length::m(lowest_m - root_m);
        return Err(CuttingError::Passes { stock, depth: terrace, limit: PASS_LIMIT });
    }
    let height_m = (lowest_m - root_m) / count;
    let wide_m = (end_m - start_m) / count;
    let first_drop_m = root_m + 0.5 * height_m;
    let first_m = start_m + nose.reach_m(first_drop_m) + EDGE_CLEAR_M;
    let mut ways = Vec::new();
    for terrace in 0..count as usize {
        let z_m = -(root_m + (terrace as f64 + 0.5) * height_m);
        let edge_m = start_m + wide_m * terrace as f64;
        let from_m = if terrace == 0 { first_m } else { (edge_m + nose.flat_m).max(first_m) };
        // A wide terrace needs several turns.
        let to_m = (edge_m + wide_m - OUTERMOST * nose.flat_m).max(from_m);
        let radii_m = if to_m > from_m {
            spread(from_m, to_m, 2.0 * nose.flat_m * STEPOVER)
        } else {
            vec![from_m]
        };
        // A turn that is wholly off the part is of no use.
        ways.extend(
            radii_m
                .into_iter()
                .filter(|radius_m| radius_m - nose.outer_m() < end_m)
                .map(|radius_m| turn(points, z_m, |_| radius_m)),
        );
    }
    Ok((ways, Some((count as usize, Length::m(height_m)))))
}

/// Turns as strokes: joined where they are whole, broken where they leave the part.
pub(super) fn joined(job: &FaceJob, ways: &[Way], outer_m: f64) -> Vec<Stroke> {
    let mut strokes = Vec::new();
    let mut open = Stroke::default();
    for way in ways {
        let touches: Vec<bool> = way
            .path_m
            .iter()
            .map(|&[x, y]| {
                let (inside, distance_m) = job.outline().inside_and_distance_m(x, y);
                inside || distance_m < outer_m + 0.5 * AIR_M
            })
            .collect();
        let points = way.path_m.len();
        let at = |i: usize| {
            let [x, y] = way.path_m[i % points];
            [x, y, way.z_m[i % points]]
        };
        if touches.iter().all(|touch| *touch) {
            let [x, y, z] = at(0);
            match open.path_m.last() {
                // Out at the old height, then straight down: a slope would cut the step between.
                Some(&[_, _, above]) => open.path_m.push([x, y, above]),
                None => {
                    let radius_m = job.outline().radius_m(FRAC_PI_3).max(x.hypot(y));
                    let out = (radius_m + outer_m + AIR_M) / x.hypot(y);
                    open.path_m.push([x * out, y * out, z]);
                }
            }
            open.path_m.extend((0..=points).map(at));
            continue;
        }
        if !open.path_m.is_empty() {
            strokes.push(std::mem::take(&mut open));
        }
        // From the first point in air that comes before one on the part.
        for start in (0..points).filter(|&i| !touches[i] && touches[(i + 1) % points]) {
            let length = (1..=points).find(|k| !touches[(start + k) % points]).unwrap_or(points);
            strokes.push(Stroke { path_m: (start..=start + length).map(at).collect() });
        }
    }
    if !open.path_m.is_empty() {
        strokes.push(open);
    }
    strokes
}
