//! What a set of choices can remove is a zonotope, a polygon with parallel opposite sides; what it
//! leaves is the distance of the unbalance from it.

use super::choice::MOST_OPERATIONS;
use nalgebra::Complex;

/// A choice within a set: direction, and amounts from least to most.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Side {
    pub(super) toward: Complex<f64>,
    pub(super) least: f64,
    pub(super) most: f64,
    /// Metal per amount where it is least.
    pub(super) metal: f64,
}

/// The point of a set's zonotope that is nearest to a target.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Nearest {
    pub(super) point: Complex<f64>,
    pub(super) distance: f64,
}

/// Signed area of the parallelogram of two vectors.
pub(super) fn cross(a: Complex<f64>, b: Complex<f64>) -> f64 {
    a.re * b.im - a.im * b.re
}

pub(super) fn dot(a: Complex<f64>, b: Complex<f64>) -> f64 {
    a.re * b.re + a.im * b.im
}

/// The nearest point. The sides, turned into one half plane and sorted by angle, are walked round
/// once forward and once backward; the target is inside if it lies left of each of them, else the
/// nearest point is on one of them.
pub(super) fn nearest(target: Complex<f64>, sides: &[Side]) -> Nearest {
    let mut corner = Complex::new(0.0, 0.0);
    let mut sorted = [corner; MOST_OPERATIONS];
    let mut count = 0;
    for side in sides {
        corner += side.toward * side.least;
        let mut edge = side.toward * (side.most - side.least);
        if edge.im < 0.0 || (edge.im == 0.0 && edge.re < 0.0) {
            corner += edge;
            edge = -edge;
        }
        if edge != Complex::new(0.0, 0.0) && count < sorted.len() {
            let mut at = count;
            while at > 0 && cross(sorted[at - 1], edge) < 0.0 {
                sorted[at] = sorted[at - 1];
                at -= 1;
            }
            sorted[at] = edge;
            count += 1;
        }
    }
    let mut inside = count > 0;
    let mut found = Nearest { point: corner, distance: (target - corner).norm() };
    for k in 0..2 * count {
        let edge = if k < count { sorted[k] } else { -sorted[k - count] };
        let to_target = target - corner;
        inside &= cross(edge, to_target) > 0.0;
        let share = (dot(edge, to_target) / edge.norm_sqr()).clamp(0.0, 1.0);
        let point = corner + edge * share;
        let distance = (target - point).norm();
        if distance < found.distance {
            found = Nearest { point, distance };
        }
        corner += edge;
    }
    if inside { Nearest { point: target, distance: 0.0 } } else { found }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn side(deg: f64, least: f64, most: f64) -> Side {
        Side { toward: Complex::from_polar(1.0, deg.to_radians()), least, most, metal: 1.0 }
    }

    #[test]
    fn two_square_sides_are_a_rectangle() {
        let sides = [side(90.0, 1.0, 2.0), side(0.0, 0.0, 3.0)];
        for (x, y, px, py) in [
            (1.0, 1.5, 1.0, 1.5),
            (5.0, 1.5, 3.0, 1.5),
            (5.0, 4.0, 3.0, 2.0),
            (-1.0, 0.0, 0.0, 1.0),
            (2.0, 0.5, 2.0, 1.0),
        ] {
            let found = nearest(Complex::new(x, y), &sides);
            assert!((found.point - Complex::new(px, py)).norm() < 1e-15, "{x} {y}: {found:?}");
            assert!((found.distance - (x - px).hypot(y - py)).abs() < 1e-15);
        }
    }

    #[test]
    fn sides_in_one_line_or_of_no_length_are_a_segment_or_a_point() {
        let line = [side(0.0, 1.0, 2.0), side(180.0, 0.0, 1.0)];
        let beyond = nearest(Complex::new(3.0, 0.0), &line);
        assert!((beyond.distance - 1.0).abs() < 1e-15);
        assert!(nearest(Complex::new(0.7, 0.0), &line).distance < 1e-15);
        let point = nearest(Complex::new(0.0, 0.0), &[side(0.0, 2.0, 2.0)]);
        assert_eq!(point.distance, 2.0);
        assert_eq!(nearest(Complex::new(0.0, 3.0), &[]).distance, 3.0);
    }
}
