//! Where the posterior is highest, and how wide it is there: where the sum begins.
//!
//! It may have more than one top where a mark has another cause, so all tops of a coarse scan are
//! climbed. Only the lattice's axes depend on how well that is done, not its sum.

use super::model::{Model, Place, UNKNOWNS};
use nalgebra::{Matrix4, SymmetricEigen, Vector4};
use rayon::iter::{IntoParallelIterator, ParallelIterator};

/// Places of the scan along the two scales and the margin, in spreads of what is assumed.
const SCAN: [f64; 7] = [-2.4, -1.6, -0.8, 0.0, 0.8, 1.6, 2.4];

/// Along what is heavy, of which there is less to say.
const SCAN_HEAVY: [f64; 3] = [-1.2, 0.0, 1.2];

/// Steps of one climb.
const MOST_STEPS: usize = 60;

/// Halvings of one step.
const MOST_HALVINGS: usize = 12;

/// Half the distance of differences.
const DIFFERENCE: f64 = 0.03;

/// A climb ends where a step gains less in the logarithm.
const LITTLE: f64 = 1e-6;

/// Curvatures below this are taken as this: what is assumed alone has one.
const LEAST_CURVATURE: f64 = 0.5;

/// Tops this near in all unknowns are one.
const SAME: f64 = 0.05;

/// A top of the posterior.
#[derive(Debug, Clone, Copy)]
pub(super) struct Top {
    pub(super) place: Place,
    pub(super) value: f64,
    /// Covariance of the normal distribution that is as high and as curved there.
    pub(super) covariance: Matrix4<f64>,
}

/// All tops that a scan finds, the highest first.
pub(super) fn tops(model: &Model) -> Vec<Top> {
    let counts = [SCAN.len(), SCAN.len(), SCAN.len(), SCAN_HEAVY.len()];
    let number = |at: [usize; UNKNOWNS]| at.iter().zip(counts).fold(0, |sum, (k, n)| sum * n + k);
    let whole: usize = counts.iter().product();
    let place_of = |mut index: usize| {
        let mut at = [0; UNKNOWNS];
        for j in (0..UNKNOWNS).rev() {
            at[j] = index % counts[j];
            index /= counts[j];
        }
        at
    };
    let place = |at: [usize; UNKNOWNS]| -> Place {
        std::array::from_fn(|j| if j < 3 { SCAN[at[j]] } else { SCAN_HEAVY[at[j]] })
    };
    let values: Vec<f64> =
        (0..whole).into_par_iter().map(|i| model.all(&place(place_of(i)))).collect();
    let is_top = |index: usize| {
        let at = place_of(index);
        (0..UNKNOWNS).all(|j| {
            [-1, 1].into_iter().all(|step: isize| {
                let Some(next) = at[j].checked_add_signed(step).filter(|k| *k < counts[j]) else {
                    return true;
                };
                let mut other = at;
                other[j] = next;
                values[number(other)] <= values[index]
            })
        })
    };
    let starts: Vec<usize> = (0..whole).filter(|index| is_top(*index)).collect();
    let mut climbed: Vec<Top> =
        starts.into_par_iter().map(|index| climb(model, place(place_of(index)))).collect();
    climbed.sort_by(|a, b| b.value.total_cmp(&a.value));
    let mut tops: Vec<Top> = Vec::new();
    for top in climbed {
        let same =
            |other: &Top| other.place.iter().zip(&top.place).all(|(a, b)| (a - b).abs() < SAME);
        if !tops.iter().any(same) {
            tops.push(top);
        }
    }
    tops
}

/// Newton's way up, curvatures kept downward.
fn climb(model: &Model, start: Place) -> Top {
    let (mut place, mut value) = (start, model.all(&start));
    let mut covariance = Matrix4::identity();
    for _ in 0..MOST_STEPS {
        let (slope, curvature) = differences(model, &place, value);
        // Where nothing is possible nearby there is no way up to be had.
        if !slope.iter().chain(curvature.iter()).all(|entry| entry.is_finite()) {
            break;
        }
        let parts = SymmetricEigen::new(-curvature);
        let inverse = parts.eigenvalues.map(|c| c.max(LEAST_CURVATURE).recip());
        covariance =
            parts.eigenvectors * Matrix4::from_diagonal(&inverse) * parts.eigenvectors.transpose();
        let mut step = covariance * slope;
        let length = step.norm();
        if length > 1.0 {
            step /= length;
        }
        let mut gained = 0.0;
        for _ in 0..MOST_HALVINGS {
            let next: Place = std::array::from_fn(|j| place[j] + step[j]);
            let there = model.all(&next);
            if there > value {
                gained = there - value;
                (place, value) = (next, there);
                break;
            }
            step *= 0.5;
        }
        if gained < LITTLE {
            break;
        }
    }
    Top { place, value, covariance }
}

fn differences(model: &Model, place: &Place, value: f64) -> (Vector4<f64>, Matrix4<f64>) {
    let at = |moves: &[(usize, f64)]| {
        let mut there = *place;
        for (j, sign) in moves {
            there[*j] += sign * DIFFERENCE;
        }
        model.all(&there)
    };
    let mut slope = Vector4::zeros();
    let mut curvature = Matrix4::zeros();
    for i in 0..UNKNOWNS {
        let (more, less) = (at(&[(i, 1.0)]), at(&[(i, -1.0)]));
        slope[i] = (more - less) / (2.0 * DIFFERENCE);
        curvature[(i, i)] = (more - 2.0 * value + less) / (DIFFERENCE * DIFFERENCE);
        for j in 0..i {
            let corner = |a: f64, b: f64| at(&[(i, a), (j, b)]);
            let mixed =
                corner(1.0, 1.0) - corner(1.0, -1.0) - corner(-1.0, 1.0) + corner(-1.0, -1.0);
            curvature[(i, j)] = mixed / (4.0 * DIFFERENCE * DIFFERENCE);
            curvature[(j, i)] = curvature[(i, j)];
        }
    }
    (slope, curvature)
}
