//! What a moving cutter reaches: heights over points and over cells.
//!
//! On a mill a cutter's middle goes along a line and what it reaches is a matter of the distance
//! from that line. On a lathe the part turns, so only radii count: a point is its radius, and a
//! line lies along them. Both are the same here.

use crate::modal::Move;
use kernel::cutting::Nose;

/// A move as lines in the plane with heights at both ends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Sweep {
    pub(crate) line: usize,
    from_m: [f64; 2],
    along_m: [f64; 2],
    length_m2: f64,
    from_z_m: f64,
    rise_m: f64,
}

impl Sweep {
    /// Of a move whose start is known.
    pub(crate) fn of(step: &Move) -> Option<Self> {
        let [ax, ay, from_z_m] = step.from_m?;
        let [bx, by, to_z_m] = step.to_m;
        let along_m = [bx - ax, by - ay];
        Some(Self {
            line: step.line,
            from_m: [ax, ay],
            along_m,
            length_m2: along_m[0].powi(2) + along_m[1].powi(2),
            from_z_m,
            rise_m: to_z_m - from_z_m,
        })
    }

    pub(crate) fn lowest_m(&self) -> f64 {
        self.from_z_m + self.rise_m.min(0.0)
    }

    /// Where its middle is farthest out along `x`, and its height there; straight down, the lower.
    pub(crate) fn outermost_m(&self) -> (f64, f64) {
        let share = if self.along_m[0] > 0.0 { 1.0 } else { 0.0 };
        (self.from_m[0] + share * self.along_m[0], self.z_m(share))
    }

    /// Least and greatest `x` and `y` of its middle.
    pub(crate) fn bounds_m(&self) -> [[f64; 2]; 2] {
        [0, 1].map(|axis| {
            let to_m = self.from_m[axis] + self.along_m[axis];
            [self.from_m[axis].min(to_m), self.from_m[axis].max(to_m)]
        })
    }

    /// Distance of a point from its line, and the share of the way where it is nearest.
    #[inline]
    pub(crate) fn nearest(&self, [x, y]: [f64; 2]) -> (f64, f64) {
        let (dx, dy) = (x - self.from_m[0], y - self.from_m[1]);
        let share = if self.length_m2 > 0.0 {
            ((dx * self.along_m[0] + dy * self.along_m[1]) / self.length_m2).clamp(0.0, 1.0)
        } else {
            0.0
        };
        let (ox, oy) = (dx - share * self.along_m[0], dy - share * self.along_m[1]);
        ((ox * ox + oy * oy).sqrt(), share)
    }

    /// Height at a share of the way; straight down, the lower end.
    #[inline]
    fn z_m(&self, share: f64) -> f64 {
        if self.length_m2 > 0.0 { self.from_z_m + self.rise_m * share } else { self.lowest_m() }
    }

    fn steepness(&self) -> f64 {
        if self.length_m2 > 0.0 { self.rise_m.abs() / self.length_m2.sqrt() } else { 0.0 }
    }

    /// No point within `around_m` of a point is cut lower than this.
    ///
    /// The cutter's middle, `u` along the line from where it is nearest at distance `d`, is at
    /// least `√(d² + u²)` away and at most its slope `s` times `u` lower. Three bounds follow, and
    /// the best one holds:
    /// - within the flat it is `s·(flat + around)` lower, over the corner of radius `c` no more than
    ///   `c(√(1 + s²) − 1)` on top, where the corner's tangent has the slope of the line;
    /// - it is nowhere lower than `s` times all that it reaches;
    /// - the corner is convex, so above `rise(d) + m(√(d² + u²) − d)` with its steepness `m` there;
    ///   less `s·u` that is least at `u = ds/√(m² − s²)`, where `d(m − √(m² − s²))` is lost.
    #[inline]
    pub(crate) fn at_least_m(&self, nose: Nose, point_m: [f64; 2], around_m: f64) -> f64 {
        self.at_least_from_m(nose, self.nearest(point_m), around_m)
    }

    #[inline]
    fn at_least_from_m(&self, nose: Nose, nearest: (f64, f64), around_m: f64) -> f64 {
        let (distance_m, share) = nearest;
        let rise_m = nose.rise_m(distance_m - around_m);
        if rise_m.is_infinite() {
            return f64::INFINITY;
        }
        let z_m = self.z_m(share);
        let slope = self.steepness();
        if slope == 0.0 {
            return z_m + rise_m;
        }
        let corner_m = nose.corner_m * ((1.0 + slope * slope).sqrt() - 1.0);
        let within_m = z_m - slope * (nose.flat_m + around_m) - corner_m;
        let anywhere_m = z_m + rise_m - slope * (nose.outer_m() + around_m);
        let steep = nose.steepness(distance_m - around_m);
        let corner_m = if steep.is_finite() && steep > slope {
            z_m + rise_m - distance_m * (steep - (steep * steep - slope * slope).sqrt())
        } else {
            f64::NEG_INFINITY
        };
        within_m.max(anywhere_m).max(corner_m).max(self.lowest_m())
    }

    /// The bound of [`Sweep::at_least_m`], and one from above: all metal within `around_m` of a
    /// point is cut down to it at least, infinite if not.
    ///
    /// For that the cutter is over the whole surrounding from where it is nearest; or, where the line goes
    /// right across it and only radii count, its middle passes over every radius.
    #[inline]
    pub(crate) fn between_m(
        &self,
        nose: Nose,
        point_m: [f64; 2],
        around_m: f64,
        turning: bool,
    ) -> (f64, f64) {
        let (distance_m, share) = self.nearest(point_m);
        let least_m = self.at_least_from_m(nose, (distance_m, share), around_m);
        let over_m = self.z_m(share) + nose.rise_m(distance_m + around_m);
        if turning && self.length_m2 > 0.0 {
            let [[inner_m, outer_m], _] = self.bounds_m();
            if point_m[0] - around_m >= inner_m && point_m[0] + around_m <= outer_m {
                return (least_m, over_m.min(self.z_m(share) + self.steepness() * around_m));
            }
        }
        (least_m, over_m)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn sweep(from_m: [f64; 3], to_m: [f64; 3]) -> Sweep {
        Sweep::of(&Move {
            line: 1,
            rapid: false,
            from_m: Some(from_m),
            to_m,
            feed_m_per_s: 1.0,
            spindle_on: true,
        })
        .unwrap()
    }

    /// The lowest that the cutter comes over a point, by going along the line in small steps.
    fn stepped_m(from: [f64; 3], to: [f64; 3], nose: Nose, [x, y]: [f64; 2]) -> f64 {
        (0..=4000)
            .map(|i| {
                let share = f64::from(i) / 4000.0;
                let at = [0, 1, 2].map(|k| from[k] + (to[k] - from[k]) * share);
                at[2] + nose.rise_m((x - at[0]).hypot(y - at[1]))
            })
            .fold(f64::INFINITY, f64::min)
    }

    proptest! {
        /// Bounds over a surrounding hold at every point of it, level, sloped and upright.
        #[test]
        fn bounds_hold_all_over_a_cell(
            from in prop::array::uniform3(-2.0..2.0f64), to in prop::array::uniform3(-2.0..2.0f64),
            level in 0..3u8, at in prop::array::uniform2(-3.0..3.0f64), around in 0.0..0.5f64,
            flat in 0.0..1.5f64, corner in 0.0..0.8f64, off in prop::array::uniform2(-1.0..1.0f64),
        ) {
            let to = match level {
                0 => [to[0], to[1], from[2]],
                1 => [from[0], from[1], to[2]],
                _ => to,
            };
            let nose = Nose { flat_m: flat, corner_m: corner };
            let sweep = sweep(from, to);
            let (least, most) = sweep.between_m(nose, at, around, false);
            prop_assert!(least == sweep.at_least_m(nose, at, around));
            let inside = off[0].hypot(off[1]).max(1.0);
            let point = [at[0] + around * off[0] / inside, at[1] + around * off[1] / inside];
            let exact = stepped_m(from, to, nose, point);
            prop_assert!(sweep.at_least_m(nose, at, around) <= exact + 1e-9);
            // Stepping misses the lowest place by its step.
            prop_assert!(most >= exact - 0.01);
            if level != 2 {
                let exactly = sweep.at_least_m(nose, at, 0.0);
                let most = sweep.between_m(nose, at, 0.0, false).1;
                prop_assert!(exactly == most);
            }
        }

        /// Where only radii count.
        #[test]
        fn radii_between_the_ends_are_cut(
            from in 1.0..2.0f64, to in 3.0..4.0f64, z in prop::array::uniform2(-0.1..0.1f64),
            radius in 1.5..3.5f64, around in 0.0..0.4f64, off in -1.0..1.0f64,
        ) {
            let nose = Nose { flat_m: 0.0, corner_m: 0.1 };
            let sweep = sweep([from, 0.0, z[0]], [to, 0.0, z[1]]);
            let exact = stepped_m([from, 0.0, z[0]], [to, 0.0, z[1]], nose, [radius + around * off, 0.0]);
            let (least, most) = sweep.between_m(nose, [radius, 0.0], around, true);
            prop_assert!(most >= exact - 1e-3);
            prop_assert!(least == sweep.at_least_m(nose, [radius, 0.0], around));
            prop_assert!(sweep.at_least_m(nose, [radius, 0.0], around) <= exact + 1e-9);
        }
    }
}
