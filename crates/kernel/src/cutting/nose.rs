//! The end of a cutter: flat in the middle, round at its edge, upright outside.

/// How far above its lowest point a cutter is, by the distance from its middle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Nose {
    /// Radius of the flat, nothing for a lathe's nose.
    pub flat_m: f64,
    /// Radius of the corner around it.
    pub corner_m: f64,
}

impl Nose {
    /// Its radius above the corner.
    #[must_use]
    #[inline]
    pub const fn outer_m(self) -> f64 {
        self.flat_m + self.corner_m
    }

    /// Height of its surface at a distance from its middle; infinite outside it.
    #[must_use]
    #[inline]
    pub fn rise_m(self, distance_m: f64) -> f64 {
        let past = distance_m - self.flat_m;
        if past <= 0.0 {
            0.0
        } else if past <= self.corner_m {
            self.corner_m - (self.corner_m * self.corner_m - past * past).max(0.0).sqrt()
        } else {
            f64::INFINITY
        }
    }

    /// How fast its surface rises at a distance from its middle; infinite at its edge.
    #[must_use]
    #[inline]
    pub fn steepness(self, distance_m: f64) -> f64 {
        let past = distance_m - self.flat_m;
        if past <= 0.0 {
            0.0
        } else if past < self.corner_m {
            past / (self.corner_m * self.corner_m - past * past).sqrt()
        } else {
            f64::INFINITY
        }
    }

    /// How far it reaches from its middle at a height above its lowest point.
    #[must_use]
    pub fn reach_m(self, height_m: f64) -> f64 {
        if height_m >= self.corner_m {
            return self.outer_m();
        }
        let below = self.corner_m - height_m.max(0.0);
        self.flat_m + (self.corner_m * self.corner_m - below * below).max(0.0).sqrt()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reach_and_rise_are_inverse() {
        let nose = Nose { flat_m: 7.6e-3, corner_m: 0.4e-3 };
        for height_m in [0.0, 1e-6, 1e-4, 3.9e-4] {
            assert!((nose.rise_m(nose.reach_m(height_m)) - height_m).abs() < 1e-12);
        }
        // 0.4 over 0.1: 0.4² − 0.3² = 0.07.
        assert!((nose.reach_m(1e-4) - 7.6e-3 - 0.07f64.sqrt() * 1e-3).abs() < 1e-12);
        assert_eq!(nose.reach_m(1.0), nose.outer_m());
        assert_eq!(nose.rise_m(8.1e-3), f64::INFINITY);
    }

    #[test]
    fn a_sharp_corner_is_upright() {
        let sharp = Nose { flat_m: 8e-3, corner_m: 0.0 };
        assert_eq!(sharp.rise_m(8e-3), 0.0);
        assert_eq!(sharp.rise_m(8.000_001e-3), f64::INFINITY);
        assert_eq!(sharp.reach_m(0.0), 8e-3);
    }
}
