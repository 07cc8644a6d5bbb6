//! The contact of the lands with the walls, as rows of a linear program.
//!
//! A land's outer edge is a ring of points. The pose is scaled so that all rows have entries of
//! order one: `v = (z, p r, q r)` with `r` the radius of the ring, all in metres. Then the rows are
//! `(1, cos φ, sin φ) · v ≤ rhs` behind and `(−1, −cos φ, −sin φ) · v ≤ rhs` in front.
//!
//! Where the walls under the ring are flat (worn evenly, perhaps a wedge), the right side is
//! linear in place as the land's height is. The point that is violated most is then the ring
//! point nearest to one direction, and is found without going round.

use super::program::{FREE_M, Rows};
use std::f64::consts::{FRAC_PI_2, FRAC_PI_4, PI, TAU};

/// Directions of the points of a ring.
#[derive(Debug, Clone)]
pub(super) struct Ring {
    unit: Vec<[f64; 2]>,
    per_rad: f64,
}

impl Ring {
    /// `count` points, the first on the azimuth of tip 1.
    pub(super) fn new(count: usize) -> Self {
        let per_rad = count as f64 / TAU;
        let unit = (0..count)
            .map(|i| {
                let azimuth = i as f64 / per_rad;
                [azimuth.cos(), azimuth.sin()]
            })
            .collect();
        Self { unit, per_rad }
    }

    pub(super) fn len(&self) -> usize {
        self.unit.len()
    }

    pub(super) fn unit(&self) -> &[[f64; 2]] {
        &self.unit
    }

    /// The point farthest along a direction, and how far along it is.
    #[inline]
    fn farthest(&self, along: [f64; 2]) -> (usize, f64) {
        // Positive, so that cutting off the fraction rounds.
        let turn = self.unit.len();
        let guess = (rough_angle(along[1], along[0]) * self.per_rad + turn as f64 + 0.5) as usize;
        let wrap = |i: usize| if i >= turn { i - turn } else { i };
        let near = [wrap(guess - 1), wrap(guess), wrap(guess + 1)];
        let far = near.map(|i| {
            let unit = self.unit[i];
            unit[0] * along[0] + unit[1] * along[1]
        });
        let best = if far[1] >= far[0] { 1 } else { 0 };
        let best = if far[2] > far[best] { 2 } else { best };
        (near[best], far[best])
    }
}

/// The angle of a vector within 0.004 rad, less than half the spacing of 720 points.
fn rough_angle(y: f64, x: f64) -> f64 {
    let (ax, ay) = (x.abs(), y.abs());
    let greater = ax.max(ay);
    if greater == 0.0 {
        return 0.0;
    }
    let q = ax.min(ay) / greater;
    let mut angle = q * (FRAC_PI_4 + 0.273 * (1.0 - q));
    if ay > ax {
        angle = FRAC_PI_2 - angle;
    }
    if x < 0.0 {
        angle = PI - angle;
    }
    if y < 0.0 { -angle } else { angle }
}

/// One land and its wall where both are flat: right side `room − tilt · unit`.
#[derive(Debug, Clone, Copy)]
pub(super) struct Flat {
    pub(super) room_m: f64,
    pub(super) tilt_m: [f64; 2],
}

impl Flat {
    fn right_m(&self, unit: [f64; 2]) -> f64 {
        self.room_m - self.tilt_m[0] * unit[0] - self.tilt_m[1] * unit[1]
    }
}

/// How the walls under the ring are, with what the flat form lacks: points behind, then in front.
#[derive(Debug, Clone, Copy)]
pub(super) enum Under<'a> {
    /// Flat and whole.
    Whole,
    /// Flat, but with no metal in places: [`FREE_M`] there, nothing elsewhere.
    Holed(&'a [f64]),
    /// Worn unevenly: the wear, or [`FREE_M`].
    Uneven(&'a [f64]),
}

/// Both lands between both walls.
#[derive(Debug, Clone, Copy)]
pub(super) struct Lands<'a> {
    pub(super) ring: &'a Ring,
    /// Behind, then in front.
    pub(super) flat: [Flat; 2],
    pub(super) under: Under<'a>,
}

impl Lands<'_> {
    /// Right side of a point on one side (0 behind, 1 in front).
    pub(super) fn right_m(&self, side: usize, point: usize) -> f64 {
        let flat_m = self.flat[side].right_m(self.ring.unit[point]);
        match self.under {
            Under::Whole => flat_m,
            Under::Holed(extra) | Under::Uneven(extra) => {
                flat_m + extra[side * self.ring.len() + point]
            }
        }
    }

    /// The point of one side violated most by a pose, and by how much.
    pub(super) fn tightest(&self, side: usize, v: [f64; 3]) -> (usize, f64) {
        let sign = if side == 0 { 1.0 } else { -1.0 };
        let flat = &self.flat[side];
        let along = [sign * v[1] + flat.tilt_m[0], sign * v[2] + flat.tilt_m[1]];
        let over = |far: f64| sign * v[0] + far - flat.room_m;
        let count = self.ring.len();
        match self.under {
            Under::Whole => {
                let (point, far) = self.ring.farthest(along);
                (point, over(far))
            }
            Under::Holed(extra) => {
                let extra = &extra[side * count..(side + 1) * count];
                let (point, far) = self.ring.farthest(along);
                if extra[point] < FREE_M {
                    return (point, over(far));
                }
                // Away from the farthest point the ring falls off on both sides, so the farthest
                // point with metal is the first one met going one way or the other.
                let metal = |&i: &usize| extra[i] < FREE_M;
                let on = (point + 1..count).chain(0..point).find(metal);
                let back = (0..point).rev().chain((point + 1..count).rev()).find(metal);
                let (Some(one), Some(other)) = (on, back) else {
                    return (point, f64::NEG_INFINITY);
                };
                let far = |i: usize| {
                    let unit = self.ring.unit[i];
                    unit[0] * along[0] + unit[1] * along[1]
                };
                if far(one) >= far(other) {
                    (one, over(far(one)))
                } else {
                    (other, over(far(other)))
                }
            }
            Under::Uneven(extra) => {
                let extra = &extra[side * count..(side + 1) * count];
                let mut best = (0, f64::NEG_INFINITY);
                for (point, (unit, extra)) in self.ring.unit.iter().zip(extra).enumerate() {
                    let far = unit[0] * along[0] + unit[1] * along[1] - extra;
                    if far > best.1 {
                        best = (point, far);
                    }
                }
                (best.0, over(best.1))
            }
        }
    }
}

impl Rows for Lands<'_> {
    #[inline]
    fn row(&self, id: u32) -> ([f64; 3], f64) {
        let id = id as usize;
        let count = self.ring.len();
        if id < count {
            let unit = self.ring.unit[id];
            ([1.0, unit[0], unit[1]], self.right_m(0, id))
        } else {
            let unit = self.ring.unit[id - count];
            ([-1.0, -unit[0], -unit[1]], self.right_m(1, id - count))
        }
    }

    fn worst(&self, v: [f64; 3]) -> (u32, f64) {
        let (behind, over_behind) = self.tightest(0, v);
        let (in_front, over_in_front) = self.tightest(1, v);
        if over_behind >= over_in_front {
            (behind as u32, over_behind)
        } else {
            ((in_front + self.ring.len()) as u32, over_in_front)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{FREE_M, Flat, Lands, PI, Ring, Under, rough_angle};
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn the_short_ways_find_what_going_round_finds(
            v in [-1e-4..1e-4f64, -1e-4..1e-4f64, -1e-4..1e-4f64],
            tilt in [-1e-5..1e-5f64, -1e-5..1e-5f64],
            sixth in 12usize..=120,
            holes in prop::collection::vec(0.0..1.0f64, 2),
        ) {
            let ring = Ring::new(6 * sixth);
            let count = ring.len();
            let flat = [Flat { room_m: 1e-4, tilt_m: tilt }, Flat { room_m: 2e-4, tilt_m: tilt }];
            let lands = |under| Lands { ring: &ring, flat, under };
            let none = vec![0.0; 2 * count];
            // A third of each ring without metal.
            let mut holed = none.clone();
            for side in 0..2 {
                let from = (holes[side] * count as f64) as usize;
                for i in from..from + count / 3 {
                    holed[side * count + i % count] = FREE_M;
                }
            }
            for side in 0..2 {
                for (short, round) in [
                    (Under::Whole, Under::Uneven(&none)),
                    (Under::Holed(&holed), Under::Uneven(&holed)),
                ] {
                    let (point, a) = lands(short).tightest(side, v);
                    let (_, b) = lands(round).tightest(side, v);
                    prop_assert!((a - b).abs() < 1e-18, "{a} {b}");
                    let sign = [1.0, -1.0][side];
                    let unit = ring.unit()[point];
                    let at = sign * (v[0] + v[1] * unit[0] + v[2] * unit[1]);
                    prop_assert!((at - lands(short).right_m(side, point) - a).abs() < 1e-18);
                }
            }
        }

        #[test]
        fn the_rough_angle_is_good_enough(angle in -PI..PI) {
            let off = (rough_angle(angle.sin(), angle.cos()) - angle).abs();
            prop_assert!(off < 0.004, "{off}");
        }
    }
}
