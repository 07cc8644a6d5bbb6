//! The amounts of a set that remove a given vector with the least metal: a linear program with two
//! rows, whose optimum has at most two amounts between their limits.
//!
//! Let two amounts `i, j` be those. The prices `y` of the two rows follow from `y·u_i = w_i` and
//! `y·u_j = w_j`; every other amount is then at its least where `w > y·u` and at its most where
//! `w < y·u`, and the two follow from the rows. The optimum is among these (complementary
//! slackness); where `w = y·u` both ends are tried. Sets whose directions all lie in one line have
//! one row and one amount between limits.

use super::choice::MOST_OPERATIONS;
use super::zonotope::{Side, cross, dot};
use nalgebra::Complex;

/// Directions with a smaller cross product are one line: 2 ten-millionths of a degree.
const PARALLEL: f64 = 1e-9;
/// Relative difference of metal and price below which both ends of an amount are tried.
const TIE: f64 = 1e-9;
/// How far, as a share of the target and all amounts, an amount may lie outside its limits by
/// rounding; it is then held at them.
const OUTSIDE: f64 = 1e-10;

/// Amounts and their metal.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Cheapest {
    pub(super) amounts: [f64; MOST_OPERATIONS],
    pub(super) metal: f64,
    /// How far the amounts were outside their limits before they were held at them.
    outside: f64,
}

/// The amounts of at most [`MOST_OPERATIONS`] sides that remove `point`, which their zonotope
/// holds.
pub(super) fn cheapest(point: Complex<f64>, sides: &[Side]) -> Cheapest {
    let scale = point.norm() + sides.iter().map(|s| s.least.abs().max(s.most.abs())).sum::<f64>();
    let mut program = Program { point, sides, permitted: OUTSIDE * scale, best: None };
    let mut flat = true;
    for (i, first) in sides.iter().enumerate() {
        for (j, second) in sides.iter().enumerate().skip(i + 1) {
            let area = cross(first.toward, second.toward);
            if area.abs() > PARALLEL {
                flat = false;
                // y·u_i = w_i and y·u_j = w_j by Cramer's rule.
                let price = Complex::new(
                    first.metal * second.toward.im - second.metal * first.toward.im,
                    second.metal * first.toward.re - first.metal * second.toward.re,
                ) / area;
                program.try_base(price, &[i, j]);
            }
        }
    }
    if flat {
        for (i, side) in sides.iter().enumerate() {
            program.try_base(side.toward * side.metal, &[i]);
        }
    }
    program.best.unwrap_or(Cheapest { amounts: [0.0; MOST_OPERATIONS], metal: 0.0, outside: 0.0 })
}

struct Program<'a> {
    point: Complex<f64>,
    sides: &'a [Side],
    permitted: f64,
    best: Option<Cheapest>,
}

impl Program<'_> {
    /// Tries the base with each assignment of the amounts whose metal equals their price.
    fn try_base(&mut self, price: Complex<f64>, base: &[usize]) {
        let mut amounts = [0.0; MOST_OPERATIONS];
        let mut ties = [0; MOST_OPERATIONS];
        let mut tied = 0;
        for (k, side) in self.sides.iter().enumerate().filter(|(k, _)| !base.contains(k)) {
            let worth = dot(price, side.toward);
            amounts[k] = if side.metal > worth { side.least } else { side.most };
            if (side.metal - worth).abs() <= TIE * (side.metal + worth.abs())
                && side.least < side.most
            {
                ties[tied] = k;
                tied += 1;
            }
        }
        for ends in 0..1_usize << tied {
            for (bit, k) in ties[..tied].iter().enumerate() {
                let side = self.sides[*k];
                amounts[*k] = if ends >> bit & 1 == 0 { side.least } else { side.most };
            }
            self.take(amounts, base);
        }
    }

    /// Completes the amounts of the base and keeps them if they are inside and cheaper.
    fn take(&mut self, mut amounts: [f64; MOST_OPERATIONS], base: &[usize]) {
        let sides = self.sides;
        let others = sides.iter().enumerate().filter(|(k, _)| !base.contains(k));
        let rest = self.point - others.map(|(k, s)| s.toward * amounts[k]).sum::<Complex<f64>>();
        match *base {
            [i, j] => {
                let (a, b) = (sides[i].toward, sides[j].toward);
                let area = cross(a, b);
                amounts[i] = cross(rest, b) / area;
                amounts[j] = cross(a, rest) / area;
            }
            [i] => amounts[i] = dot(rest, sides[i].toward),
            _ => {}
        }
        let mut outside = 0.0_f64;
        for k in base {
            let held = amounts[*k].clamp(sides[*k].least, sides[*k].most);
            outside = outside.max((held - amounts[*k]).abs());
            amounts[*k] = held;
        }
        let metal = sides.iter().zip(amounts).map(|(side, amount)| side.metal * amount).sum();
        let outside = if outside <= self.permitted { 0.0 } else { outside };
        // Inside first, then cheap; by rounding alone none is inside, and the nearest is taken.
        let better = self.best.is_none_or(|best| (outside, metal) < (best.outside, best.metal));
        if better {
            self.best = Some(Cheapest { amounts, metal, outside });
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn side(deg: f64, most: f64, metal: f64) -> Side {
        Side { toward: Complex::from_polar(1.0, deg.to_radians()), least: 0.0, most, metal }
    }

    #[test]
    fn the_cheaper_side_is_used_up_first() {
        // Two in one line and one square to them.
        let sides = [side(0.0, 2.0, 1.0), side(0.0, 2.0, 0.5), side(90.0, 1.0, 1.0)];
        let found = cheapest(Complex::new(3.0, 0.5), &sides);
        for (amount, expected) in found.amounts.iter().zip([1.0, 2.0, 0.5]) {
            assert!((amount - expected).abs() < 1e-14, "{found:?}");
        }
        assert!((found.metal - 2.5).abs() < 1e-14);
    }

    #[test]
    fn equal_sides_and_a_single_line_have_an_answer_too() {
        let same = [side(30.0, 2.0, 1.0), side(30.0, 2.0, 1.0), side(120.0, 1.0, 1.0)];
        let point = Complex::from_polar(3.0, 30f64.to_radians());
        let found = cheapest(point, &same);
        assert!((found.metal - 3.0).abs() < 1e-14, "{found:?}");
        let found = cheapest(point, &same[..2]);
        assert!((found.metal - 3.0).abs() < 1e-14, "{found:?}");
        let against = [side(30.0, 4.0, 1.0), side(210.0, 2.0, 0.1)];
        let found = cheapest(point, &against);
        assert!((found.metal - 3.0).abs() < 1e-14, "{found:?}");
        assert_eq!(cheapest(Complex::new(0.0, 0.0), &[]).metal, 0.0);
    }
}
