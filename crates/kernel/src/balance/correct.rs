//! Both counterweights together: what is drilled in one shows in the other as soon as it does not
//! lie in its plane.
//!
//! Each plane is corrected on its own, exactly ([`super::drilling`]); then what was taken off is
//! put where it really lies along the shaft, and what that leaves in both planes is what the next
//! round starts from. Holes lie a few millimetres from their plane, planes hundreds from each
//! other, so a second round is nearly always enough.

use super::drilling::{Correction, DrillingError, Wanted, Ways};
use super::planes::{PlacedUnbalance, TwoPlanes};
use nalgebra::Complex;

/// Most rounds. Each leaves a hundredth of what the one before did; the depth steps end it.
const MOST_ROUNDS: usize = 5;
/// What counts as within: the rounding of sums.
const ROUNDING: f64 = 1.0 + 1e-9;

/// A counterweight's ways, and where along the shaft its metal is.
#[derive(Debug, Clone, PartialEq)]
pub struct PlaneWays {
    /// What can be done.
    pub ways: Ways,
    /// Of each place, where the face that is drilled lies along the shaft; nothing: what is done
    /// there lies in the plane.
    pub faces_m: Vec<Option<f64>>,
}

/// What is to be corrected.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ToCorrect {
    /// Unbalance in the front and the rear plane.
    pub unbalance_kg_m: [Complex<f64>; 2],
    /// What may be left in each.
    pub permitted_kg_m: [f64; 2],
    /// Most operations on each.
    pub most_operations: usize,
}

/// What is done on both counterweights, and what it leaves.
#[derive(Debug, Clone, PartialEq)]
pub struct Corrected {
    /// Front and rear; nothing for a counterweight that cannot be worked on.
    pub planes: [Option<Correction>; 2],
    /// In the planes, everything where it really lies.
    pub left_kg_m: [Complex<f64>; 2],
}

/// Corrects in both planes.
///
/// # Errors
/// [`DrillingError`] of the search.
pub fn correct(
    planes: &TwoPlanes,
    counterweights: [Option<&PlaneWays>; 2],
    wanted: &ToCorrect,
) -> Result<Corrected, DrillingError> {
    let mut target = wanted.unbalance_kg_m;
    let mut best: Option<(f64, Corrected)> = None;
    for _ in 0..MOST_ROUNDS {
        let mut done: [Option<Correction>; 2] = [None, None];
        for plane in 0..2 {
            let Some(counterweight) = counterweights[plane] else { continue };
            done[plane] = Some(counterweight.ways.correct(&Wanted {
                unbalance_kg_m: target[plane],
                permitted_kg_m: wanted.permitted_kg_m[plane],
                most_operations: wanted.most_operations,
            })?);
        }
        let really = planes.shown(&placed(planes, counterweights, &done));
        let left_kg_m: [Complex<f64>; 2] =
            std::array::from_fn(|k| wanted.unbalance_kg_m[k] - really[k]);
        let worst =
            (0..2).map(|k| left_kg_m[k].norm() / wanted.permitted_kg_m[k]).fold(0.0, f64::max);
        let in_plane: [Complex<f64>; 2] = std::array::from_fn(|k| {
            done[k].as_ref().map_or(Complex::new(0.0, 0.0), |correction| {
                correction.operations.iter().map(|operation| operation.removes_kg_m).sum()
            })
        });
        let next = std::array::from_fn(|k| wanted.unbalance_kg_m[k] - (really[k] - in_plane[k]));
        if best.as_ref().is_none_or(|(before, _)| worst < *before) {
            best = Some((worst, Corrected { planes: done, left_kg_m }));
        }
        if worst <= ROUNDING || next == target {
            break;
        }
        target = next;
    }
    Ok(best.map_or(
        Corrected { planes: [None, None], left_kg_m: wanted.unbalance_kg_m },
        |(_, corrected)| corrected,
    ))
}

/// What operations remove, where it lies.
fn placed(
    planes: &TwoPlanes,
    counterweights: [Option<&PlaneWays>; 2],
    done: &[Option<Correction>; 2],
) -> Vec<PlacedUnbalance> {
    let mut all = Vec::new();
    for plane in 0..2 {
        let (Some(counterweight), Some(correction)) = (counterweights[plane], &done[plane]) else {
            continue;
        };
        let plane_m = planes.at_m()[plane];
        for operation in &correction.operations {
            let face_m = counterweight.faces_m.get(operation.place).copied().flatten();
            let at_m = match (face_m, operation.below_face_m) {
                // A face is drilled towards the plane.
                (Some(face_m), Some(below_m)) if face_m > plane_m => face_m - below_m,
                (Some(face_m), Some(below_m)) => face_m + below_m,
                _ => plane_m,
            };
            all.push(PlacedUnbalance { at_m, vector_kg_m: operation.removes_kg_m });
        }
    }
    all
}
