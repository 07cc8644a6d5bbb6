//! The depths of one set: all combinations of whole steps that may be wanted, and no others.
//!
//! The choices of a set are taken one after the other, each at each step that may be wanted; the
//! last follows. With `v` what is still to be removed, `Z` the zonotope of the choices to come,
//! `h` its support function and `ρ` what may be left, an amount `a` along `u` is tried only if
//!
//! 1. `n·(v − a u) ≤ h(n) + ρ` for the normals `n` of the sides of `Z`, for the sides themselves
//!    and for the direction in which the whole set is too short, if it is: else, whatever the
//!    amounts to come, more than `ρ` is left in the direction `n`;
//! 2. `m + (w − y·u) a + y·v − |y| ρ + Σ min (w − y·u) a ≤ M`, the sum over the choices to come,
//!    with the metal `m` so far: the bound of [`super::bound`] for this set, with a price `y` that
//!    is the best for it.
//!
//! Both are half lines of `a`, so the steps that are tried are those of an interval. Of the last
//! choice the amounts that leave no more than `ρ` are an interval about the projection on its
//! direction: its least step is the one with the least metal, the steps on both sides of the
//! projection are those that leave least. So no combination is left out that is wanted.
//!
//! Coarse choices are taken first, single masses before all; the last is the finest. That before it
//! is the one that the last leaves the fewest steps.

use super::bound::{Cut, climb};
use super::choice::MOST_OPERATIONS;
use super::error::DrillingError;
use super::sought::{Aim, Effort, Sought};
use super::space::{Space, sides_of};
use super::zonotope::{Side, cross, dot};
use nalgebra::Complex;

/// Amounts are of the size of one: sums of ten of them round below this.
const ROUNDING: f64 = 1e-12;
/// Share of a step by which a limit may be missed in rounding; a step too many is only tried.
const STEP_ROUNDING: f64 = 1e-3;
/// Directions that are asked for each choice to come: both ways along it and square to it.
const ASKED: usize = 4;
/// First ring about the least that any amounts leave, in steps of the finest choice, within which
/// the nearest depths are looked for; each ring is twice as wide as the one before.
const FIRST_RING: f64 = 1.0 / 16.0;

/// The search through the depths of one set.
pub(super) struct Depths<'a, 'b> {
    space: &'a Space,
    sought: &'b mut Sought<'a>,
    effort: &'b mut Effort,
    /// The set in the order in which its depths are chosen.
    set: [usize; MOST_OPERATIONS],
    count: usize,
    sides: [Side; MOST_OPERATIONS],
    steps: [u32; MOST_OPERATIONS],
    /// Price of what is removed, for the metal.
    price: Complex<f64>,
    /// `Σ min (w − y·u) a` of the choices after each.
    least_to_come: [f64; MOST_OPERATIONS],
    /// The direction in which the set is too short, and how far the choices after each reach in it.
    short: Complex<f64>,
    short_reach: [f64; MOST_OPERATIONS],
    /// How far the choices after each reach, along each later choice's directions.
    reach: [[[f64; ASKED]; MOST_OPERATIONS]; MOST_OPERATIONS],
    /// No more is looked for than this leaves.
    ring: f64,
}

/// Looks through the depths of a set for better ones than those that were found.
pub(super) fn look_through<'a>(
    sought: &mut Sought<'a>,
    set: &[usize],
    price: Complex<f64>,
    effort: &mut Effort,
) -> Result<(), DrillingError> {
    let space = sought.space;
    let (sides, count) = sides_of(space, set);
    let near = space.nearest(&sides[..count]);
    let least = near.distance;
    if set.is_empty() || least > sought.radius + ROUNDING {
        return Ok(());
    }
    let nearest = sought.aim == Aim::Nearest;
    let short = Complex::new(space.target, 0.0) - near.point;
    let mut depths = Depths::new(sought, set, short, effort);
    depths.set_price(price);
    if !depths.may_be_cheap() {
        return Ok(());
    }
    let finest = space.ladders[depths.set[count - 1]].coarseness();
    let mut width = if nearest { FIRST_RING * finest } else { f64::INFINITY };
    // Rings double to at most the target.
    loop {
        depths.ring = least + width;
        let before = depths.sought.radius;
        depths.descend(0, Complex::new(space.target, 0.0), 0.0)?;
        let found = depths.sought.radius < before;
        if found || depths.ring >= depths.sought.radius {
            return Ok(());
        }
        width *= 2.0;
    }
}

impl<'a, 'b> Depths<'a, 'b> {
    fn new(
        sought: &'b mut Sought<'a>,
        given: &[usize],
        short: Complex<f64>,
        effort: &'b mut Effort,
    ) -> Self {
        let space = sought.space;
        let set = in_order(space, given);
        let count = given.len().min(MOST_OPERATIONS);
        let (sides, _) = sides_of(space, &set[..count]);
        let mut depths = Self {
            space,
            sought,
            effort,
            set,
            count,
            sides,
            steps: [0; MOST_OPERATIONS],
            price: Complex::new(0.0, 0.0),
            least_to_come: [0.0; MOST_OPERATIONS],
            short: if short.norm() > ROUNDING { short / short.norm() } else { short * 0.0 },
            short_reach: [0.0; MOST_OPERATIONS],
            reach: [[[0.0; ASKED]; MOST_OPERATIONS]; MOST_OPERATIONS],
            ring: f64::INFINITY,
        };
        for (of, side) in sides.iter().enumerate().take(count).skip(1) {
            for (at, n) in asked(side.toward).into_iter().enumerate() {
                for (level, reach) in depths.reaches(n).into_iter().enumerate() {
                    depths.reach[level][of][at] = reach;
                }
            }
        }
        depths.short_reach = depths.reaches(depths.short);
        depths
    }

    /// How far the choices after each reach in a direction.
    fn reaches(&self, n: Complex<f64>) -> [f64; MOST_OPERATIONS] {
        let mut reaches = [0.0; MOST_OPERATIONS];
        for level in (1..self.count).rev() {
            let side = self.sides[level];
            let along = dot(n, side.toward);
            reaches[level - 1] = reaches[level] + (along * side.least).max(along * side.most);
        }
        reaches
    }

    /// The price of the metal, near another.
    fn set_price(&mut self, near: Complex<f64>) {
        if matches!(self.sought.aim, Aim::Metal { .. }) {
            self.price = climb(Cut { y: near, tau: 1.0 }, |cut| self.least_metal(cut.y)).y;
            let mut least = 0.0;
            for level in (0..self.count).rev() {
                self.least_to_come[level] = least;
                least += self.least_worth(level, self.price);
            }
        }
    }

    /// `min (w − y·u) a` of a choice.
    fn least_worth(&self, level: usize, price: Complex<f64>) -> f64 {
        let side = self.sides[level];
        let worth = side.metal - dot(price, side.toward);
        (worth * side.least).min(worth * side.most)
    }

    /// The least metal of the whole set, by a price.
    fn least_metal(&self, price: Complex<f64>) -> f64 {
        price.re * self.space.target - price.norm() * self.sought.radius
            + (0..self.count).map(|level| self.least_worth(level, price)).sum::<f64>()
    }

    /// Whether the bound of the metal lets the set through.
    fn may_be_cheap(&self) -> bool {
        !matches!(self.sought.aim, Aim::Metal { .. })
            || self.least_metal(self.price) <= self.sought.metal + ROUNDING
    }

    fn radius(&self) -> f64 {
        self.ring.min(self.sought.radius)
    }

    /// The amounts of a choice that may be wanted; nothing where the limits cross.
    fn amounts(&self, level: usize, rest: Complex<f64>, metal: f64) -> (f64, f64) {
        let side = self.sides[level];
        let (mut from, mut to) = (side.least, side.most);
        // Amounts times `along` are at least `need`.
        let mut hold = |along: f64, need: f64| {
            if along > ROUNDING {
                from = from.max(need / along);
            } else if along < -ROUNDING {
                to = to.min(need / along);
            } else if need > ROUNDING * (side.most + 1.0) {
                to = f64::NEG_INFINITY;
            }
        };
        let radius = self.radius() + ROUNDING;
        for of in level + 1..self.count {
            for (n, reach) in asked(self.sides[of].toward).into_iter().zip(self.reach[level][of]) {
                hold(dot(n, side.toward), dot(n, rest) - reach - radius);
            }
        }
        let n = self.short;
        hold(dot(n, side.toward), dot(n, rest) - self.short_reach[level] - radius);
        if self.sought.metal < f64::INFINITY {
            let spent = self.metal_to_come(level, rest, metal);
            hold(dot(self.price, side.toward) - side.metal, spent - self.sought.metal - ROUNDING);
        }
        (from, to)
    }

    /// The least metal of the whole set with its depths so far, but for choice `level`.
    fn metal_to_come(&self, level: usize, rest: Complex<f64>, metal: f64) -> f64 {
        metal + dot(self.price, rest) - self.price.norm() * self.sought.radius
            + self.least_to_come[level]
    }

    /// Takes choice `level` at each step that may be wanted.
    fn descend(
        &mut self,
        level: usize,
        rest: Complex<f64>,
        metal: f64,
    ) -> Result<(), DrillingError> {
        if level + 1 == self.count {
            self.effort.spend(self.space, 1)?;
            self.last(rest, metal);
            return Ok(());
        }
        let (from, to) = self.amounts(level, rest, metal);
        let (side, ladder) = (self.sides[level], self.space.ladders[self.set[level]]);
        if from > to + ROUNDING {
            return Ok(());
        }
        // Between the first and the last step, whole numbers.
        let first = (ladder.steps(from) - STEP_ROUNDING).ceil() as u32;
        let last = (ladder.steps(to) + STEP_ROUNDING).floor() as u32;
        if first > last {
            return Ok(());
        }
        let count = last - first + 1;
        self.effort.spend(self.space, count as usize)?;
        let cheap_first = dot(self.price, side.toward) <= side.metal;
        for k in 0..count {
            let step = match self.sought.aim {
                Aim::Metal { .. } if cheap_first => first + k,
                Aim::Metal { .. } => last - k,
                // From the middle to both ends.
                Aim::Tenths { .. } | Aim::Nearest if k % 2 == 1 => first + count / 2 - 1 - k / 2,
                Aim::Tenths { .. } | Aim::Nearest => first + count / 2 + k / 2,
            };
            let after = rest - side.toward * ladder.amount(step);
            let metal = metal + ladder.metal(step);
            if self.metal_to_come(level, after, metal) > self.sought.metal + ROUNDING {
                continue;
            }
            self.steps[level] = step;
            self.descend(level + 1, after, metal)?;
            if self.sought.ended {
                return Ok(());
            }
        }
        Ok(())
    }

    /// The last choice: its steps that may be wanted follow from the others.
    fn last(&mut self, rest: Complex<f64>, metal: f64) {
        let level = self.count - 1;
        let (side, ladder) = (self.sides[level], self.space.ladders[self.set[level]]);
        let (along, aside) = (dot(rest, side.toward), cross(side.toward, rest));
        let radius = self.radius() + ROUNDING;
        if aside.abs() > radius {
            return;
        }
        let half = (radius * radius - aside * aside).sqrt();
        if along + half < side.least - ROUNDING || along - half > side.most + ROUNDING {
            return;
        }
        if let Aim::Metal { .. } = self.sought.aim {
            let first = (ladder.steps(along - half) - STEP_ROUNDING).ceil() as u32;
            let last = (ladder.steps(along + half) + STEP_ROUNDING).floor() as u32;
            let most = self.sought.radius;
            // The first is within but for rounding; then the second is, or none.
            for step in (first..=last).take(2) {
                let left = (rest - side.toward * ladder.amount(step)).norm();
                if left <= most {
                    if metal + ladder.metal(step) <= self.sought.metal + ROUNDING {
                        self.offer(step, left);
                    }
                    return;
                }
            }
        } else {
            let below = ladder.steps(along).floor() as u32;
            for step in below..=(below + 1).min(ladder.last) {
                let left = (rest - side.toward * ladder.amount(step)).norm();
                if left <= radius {
                    self.offer(step, left);
                }
            }
        }
    }

    fn offer(&mut self, step: u32, left: f64) {
        self.steps[self.count - 1] = step;
        self.sought.offer(&self.set[..self.count], &self.steps[..self.count], left);
    }
}

/// Both ways along a direction and square to it.
fn asked(toward: Complex<f64>) -> [Complex<f64>; ASKED] {
    let square = Complex::new(-toward.im, toward.re);
    [toward, -toward, square, -square]
}

/// A set in the order in which its depths are chosen, and nothing after it.
fn in_order(space: &Space, given: &[usize]) -> [usize; MOST_OPERATIONS] {
    let mut set = [0; MOST_OPERATIONS];
    for (place, i) in set.iter_mut().zip(given) {
        *place = *i;
    }
    let count = given.len().min(MOST_OPERATIONS);
    let coarse = |i: usize| space.ladders[i].coarseness();
    set[..count].sort_by(|a, b| coarse(*b).total_cmp(&coarse(*a)).then(a.cmp(b)));
    if count >= 3 {
        // The wider its steps across the last choice, the fewer of them are near enough.
        let last = space.sides[set[count - 1]].toward;
        let across = |i: usize| cross(space.sides[i].toward, last).abs() * coarse(i);
        let free = (0..count - 1).filter(|k| coarse(set[*k]).is_finite());
        if let Some(best) = free.max_by(|a, b| across(set[*a]).total_cmp(&across(set[*b]))) {
            set[best..count - 1].rotate_left(1);
        }
    }
    set
}
