//! The ground that a hole or flat takes, seen along the shaft: what must stay apart from what.
//!
//! A hole's axis, or a flat's chord, is a segment square to the shaft, as deep as it may get; a
//! face hole's is a point. Two of them stay apart if their segments do by half of both diameters
//! and the least metal between. What lies at different places along the shaft is taken as if it
//! did not: that errs on the side of more metal.

use nalgebra::Complex;

/// A segment square to the shaft and half the width of what is cut along it, metres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Ground {
    pub(super) from: Complex<f64>,
    pub(super) to: Complex<f64>,
    pub(super) half_width_m: f64,
}

impl Ground {
    /// Least metal between the two.
    pub(super) fn between_m(&self, other: &Self) -> f64 {
        self.distance_m(other) - self.half_width_m - other.half_width_m
    }

    /// Least distance of the segments: nothing where they cross, else that of one of the ends.
    fn distance_m(&self, other: &Self) -> f64 {
        if self.is_parted_by(other) && other.is_parted_by(self) {
            return 0.0;
        }
        [other.to_m(self.from), other.to_m(self.to), self.to_m(other.from), self.to_m(other.to)]
            .into_iter()
            .fold(f64::INFINITY, f64::min)
    }

    /// Whether the ends of the segment are on both sides of the other's line.
    fn is_parted_by(&self, line: &Self) -> bool {
        let along = (line.to - line.from).conj();
        (along * (self.from - line.from)).im * (along * (self.to - line.from)).im < 0.0
    }

    fn to_m(self, point: Complex<f64>) -> f64 {
        let along = self.to - self.from;
        let length2 = along.norm_sqr();
        let share = if length2 > 0.0 {
            ((along.conj() * (point - self.from)).re / length2).clamp(0.0, 1.0)
        } else {
            0.0
        };
        (point - self.from - along * share).norm()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ground(from: (f64, f64), to: (f64, f64), half_width_m: f64) -> Ground {
        Ground { from: Complex::new(from.0, from.1), to: Complex::new(to.0, to.1), half_width_m }
    }

    #[test]
    fn metal_between_points_segments_and_crossings() {
        let hole = ground((1.0, 0.0), (1.0, 0.0), 0.1);
        let other = ground((1.0, 0.5), (1.0, 0.5), 0.2);
        assert!((hole.between_m(&other) - 0.2).abs() < 1e-15);
        let upright = ground((0.0, -1.0), (0.0, 1.0), 0.1);
        assert!((upright.between_m(&hole) - 0.8).abs() < 1e-15);
        let level = ground((-1.0, 0.0), (1.0, 0.0), 0.0);
        assert_eq!(level.between_m(&upright), -0.1);
        // Two rim holes at a right angle are nearest at their inner ends.
        let (a, b) = (ground((3.0, 0.0), (1.0, 0.0), 0.0), ground((0.0, 3.0), (0.0, 1.0), 0.0));
        assert!((a.between_m(&b) - 2f64.sqrt()).abs() < 1e-15);
        // End to end in one line.
        let on = ground((4.0, 0.0), (3.5, 0.0), 0.0);
        assert!((a.between_m(&on) - 0.5).abs() < 1e-15);
    }
}
