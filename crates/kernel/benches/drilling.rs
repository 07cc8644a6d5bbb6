//! The search for the fewest operations on a counterweight.

#![expect(clippy::unwrap_used, reason = "in a bench a panic is the report")]

use divan::{Bencher, black_box};
use kernel::balance::drilling::{Counterweight, How, Place, Reach, Wanted, Ways};
use nalgebra::Complex;
use std::f64::consts::TAU;

fn main() {
    divan::main();
}

const POSITIONS: usize = 24;
const DRILLS_MM: [f64; 5] = [6.0, 8.0, 10.0, 12.0, 14.0];
const PERMITTED_G_MM: f64 = 25.0;
/// Direction of the unbalance, off every position and every middle between two.
const DIRECTION_DEG: f64 = 37.0;

fn ways(positions: usize, drills_mm: &[f64]) -> Ways {
    let place = |k: usize| Place {
        how: How::FaceHole { deepest_m: 18e-3, edge_m: None },
        angle_rad: TAU * k as f64 / positions as f64,
        radius_m: 60e-3,
    };
    Counterweight {
        density_kg_m3: 7850.0,
        drills_m: drills_mm.iter().map(|mm| mm * 1e-3).collect(),
        point_angle_rad: 118f64.to_radians(),
        least_depth_m: 2e-3,
        depth_step_m: 0.1e-3,
        between_m: 2e-3,
        to_edge_m: 3e-3,
        slug_kg_m3: None,
        places: (0..positions).map(place).collect(),
    }
    .ways()
    .unwrap()
}

fn wanted(amount_g_mm: f64, deg: f64) -> Wanted {
    Wanted {
        unbalance_kg_m: Complex::from_polar(amount_g_mm * 1e-6, deg.to_radians()),
        permitted_kg_m: PERMITTED_G_MM * 1e-6,
        most_operations: 8,
    }
}

/// Holes needed and the unbalance, g mm.
#[divan::bench(args = [(1, 800.0, 45.0), (2, 1200.0, DIRECTION_DEG), (3, 2500.0, DIRECTION_DEG), (4, 3300.0, DIRECTION_DEG), (5, 4000.0, DIRECTION_DEG)])]
fn holes(bencher: Bencher<'_, '_>, (count, amount_g_mm, deg): (usize, f64, f64)) {
    let ways = ways(POSITIONS, &DRILLS_MM);
    let wanted = wanted(amount_g_mm, deg);
    let found = ways.correct(&wanted).unwrap();
    assert_eq!((found.reach, found.operations.len()), (Reach::Within, count));
    bencher.bench(|| black_box(&ways).correct(black_box(&wanted)).unwrap());
}
