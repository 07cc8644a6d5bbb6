//! The edge of a rotor's side face as a polygon once around the axis.

use super::error::CuttingError;
use crate::geometry::RotorPoint;
use std::f64::consts::TAU;

/// The outline of a face in the axes of the one who machines it. Chords of a curved flank lie
/// inside it; cutters go past the outline by far more.
#[derive(Debug, Clone, PartialEq)]
pub struct Outline {
    /// Counter-clockwise.
    points_m: Vec<[f64; 2]>,
    farthest_m: f64,
    nearest_m: f64,
}

impl Outline {
    /// From points in rotor axes; `hand` is −1 where `y` is mirrored.
    pub(super) fn around(
        outline: &[RotorPoint],
        hand: f64,
        land_m: f64,
    ) -> Result<Self, CuttingError> {
        let bad = |why| Err(CuttingError::Outline { why });
        if outline.len() < 3 {
            return bad("it has fewer than three points");
        }
        let mut points: Vec<[f64; 2]> =
            outline.iter().map(|point| [point.x.to_m(), hand * point.y.to_m()]).collect();
        if points.iter().flatten().any(|value| !value.is_finite()) {
            return bad("a point is no number");
        }
        let cross = |[ax, ay]: [f64; 2], [bx, by]: [f64; 2]| ax * by - ay * bx;
        let after = |points: &[[f64; 2]], i: usize| points[(i + 1) % points.len()];
        let area: f64 = (0..points.len()).map(|i| cross(points[i], after(&points, i))).sum();
        if area < 0.0 {
            points.reverse();
        }
        let (mut turned_rad, mut nearest_m) = (0.0, f64::INFINITY);
        for i in 0..points.len() {
            let (from, to) = (points[i], after(&points, i));
            let turn = cross(from, to);
            if turn <= 0.0 {
                return bad("it turns back, or two points lie in one direction");
            }
            turned_rad += turn.atan2(from[0] * to[0] + from[1] * to[1]);
            let distance_m = distance_m2([0.0; 2], from, to).sqrt();
            nearest_m = f64::min(nearest_m, distance_m);
            if distance_m < land_m {
                return bad("it runs inside the land's edge");
            }
        }
        if (turned_rad - TAU).abs() > 1e-6 {
            return bad("it goes around more than once");
        }
        let farthest_m = points.iter().map(|[x, y]| x.hypot(*y)).fold(0.0, f64::max);
        Ok(Self { points_m: points, farthest_m, nearest_m })
    }

    /// Its points, counter-clockwise; it is closed by itself.
    #[must_use]
    pub fn points_m(&self) -> &[[f64; 2]] {
        &self.points_m
    }

    /// Radius of its farthest point.
    #[must_use]
    pub const fn farthest_m(&self) -> f64 {
        self.farthest_m
    }

    /// How near it comes to the axis.
    #[must_use]
    pub const fn nearest_m(&self) -> f64 {
        self.nearest_m
    }

    /// Whether a point lies inside, and how far from the outline it is.
    #[must_use]
    pub fn inside_and_distance_m(&self, x_m: f64, y_m: f64) -> (bool, f64) {
        let (mut inside, mut nearest_m2) = (false, f64::INFINITY);
        let mut from = self.points_m[self.points_m.len() - 1];
        for &to in &self.points_m {
            let ([ax, ay], [bx, by]) = (from, to);
            if (ay > y_m) != (by > y_m) && x_m < (bx - ax) * (y_m - ay) / (by - ay) + ax {
                inside = !inside;
            }
            nearest_m2 = nearest_m2.min(distance_m2([x_m, y_m], from, to));
            from = to;
        }
        (inside, nearest_m2.sqrt())
    }

    /// Radius of the outline in a direction from the axis.
    #[must_use]
    pub fn radius_m(&self, direction_rad: f64) -> f64 {
        let (sin, cos) = direction_rad.sin_cos();
        let mut from = self.points_m[self.points_m.len() - 1];
        let mut farthest_m: f64 = 0.0;
        for &to in &self.points_m {
            let ([ax, ay], [bx, by]) = (from, to);
            // Across and along the direction.
            let (ac, bc) = (ay * cos - ax * sin, by * cos - bx * sin);
            let (al, bl) = (ax * cos + ay * sin, bx * cos + by * sin);
            if ac <= 0.0 && bc >= 0.0 && (al > 0.0 || bl > 0.0) {
                let share = if bc > ac { -ac / (bc - ac) } else { 0.0 };
                farthest_m = farthest_m.max(al + (bl - al) * share);
            }
            from = to;
        }
        farthest_m
    }
}

/// Square of the distance from a point to a stretch between two.
fn distance_m2([x, y]: [f64; 2], [ax, ay]: [f64; 2], [bx, by]: [f64; 2]) -> f64 {
    let (dx, dy) = (bx - ax, by - ay);
    let length_m2 = dx * dx + dy * dy;
    let along = if length_m2 > 0.0 {
        (((x - ax) * dx + (y - ay) * dy) / length_m2).clamp(0.0, 1.0)
    } else {
        0.0
    };
    (x - ax - along * dx).powi(2) + (y - ay - along * dy).powi(2)
}

#[cfg(test)]
mod tests {
    use super::super::face::FaceJob;
    use super::super::face::tests::{given, job};
    use super::*;
    use crate::units::Length;

    #[test]
    fn the_outline_is_looked_at() {
        let job = job(&given());
        let outline = job.outline();
        let (inside, distance_m) = outline.inside_and_distance_m(0.098, 0.0);
        assert!(inside && (distance_m - 1e-3).abs() < 2e-5, "{distance_m}");
        assert!(!outline.inside_and_distance_m(-0.098, 0.0).0);
        for &[x, y] in outline.points_m() {
            assert!((outline.radius_m(y.atan2(x)) - x.hypot(y)).abs() < 1e-12);
        }
        let refused = |change: fn(&mut Vec<RotorPoint>), part: &str| {
            let mut given = given();
            change(&mut given.outline);
            let message = FaceJob::new(given).unwrap_err().to_string();
            assert!(message.contains(part), "{message}");
        };
        refused(|points| points.truncate(2), "fewer than three");
        refused(|points| points.swap(3, 4), "turns back");
        refused(|points| points[7].x = Length::m(f64::NAN), "no number");
        refused(
            |points| points.iter_mut().for_each(|p| (p.x, p.y) = (p.x * 0.7, p.y * 0.7)),
            "inside the land's edge",
        );
        refused(|points| points.extend(points.clone()), "more than once");
    }

    #[test]
    fn which_way_the_outline_runs_does_not_matter() {
        let mut turned = given();
        turned.outline.reverse();
        assert_eq!(job(&turned).outline().farthest_m(), job(&given()).outline().farthest_m());
        assert_eq!(job(&turned).outline().radius_m(0.3), job(&given()).outline().radius_m(0.3));
    }
}
