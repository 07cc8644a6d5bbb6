//! The choices as the search walks them: in the order of their places round the shaft, turned so
//! that the unbalance lies along the real axis, amounts and metal as shares of the largest.

use super::choice::{Choices, MOST_OPERATIONS, TENTHS, Wanted};
use super::ladder::Ladder;
use super::zonotope::{Nearest, Side, nearest};
use nalgebra::Complex;

/// Bits of a word of [`Space::excluded`].
const WORD: usize = 64;
/// Places after one within which exclusions are kept in the bounds. Holes exclude their
/// neighbours; those further on are left to the search itself.
const NEAR_PLACES: usize = 8;
/// Share of a tenth of the permitted residual that is rounding: a residual that ends on a tenth
/// is that tenth.
pub(super) const TENTH_ROUNDING: f64 = 1e-9;

/// Choices in the order of the search. Each field has an entry per choice.
pub(super) struct Space {
    pub(super) sides: Vec<Side>,
    pub(super) ladders: Vec<Ladder>,
    /// Index of the choice as given.
    pub(super) given: Vec<usize>,
    /// Where the next place begins.
    pub(super) next_place: Vec<usize>,
    /// From where on nothing is excluded that the bounds look at.
    pub(super) free_from: Vec<usize>,
    excluded: Vec<u64>,
    words: usize,
    /// The unbalance: its direction is the real axis.
    pub(super) target: f64,
    pub(super) permitted: f64,
    /// Kilogram metres of an amount of one.
    pub(super) unit_kg_m: f64,
}

impl Space {
    pub(super) fn new(choices: &Choices, wanted: &Wanted) -> Self {
        let all = choices.all();
        let (amount_kg_m, direction_rad) = wanted.unbalance_kg_m.to_polar();
        let unit_kg_m = all.iter().fold(amount_kg_m.max(wanted.permitted_kg_m), |unit, choice| {
            unit.max(choices.amounts_kg_m(choice).1)
        });
        let metal_kg = all.iter().fold(0.0, |most: f64, choice| {
            let last = choice.steps.map(|(_, last)| last);
            most.max(choice.work.mass_kg(choices.depth_m(last)))
        });
        let unit_kg = if metal_kg > 0.0 { metal_kg } else { 1.0 };
        let turned = |toward_rad: f64| {
            let direction = Complex::from_polar(1.0, toward_rad - direction_rad);
            (direction, direction.arg())
        };
        // A place is where its first choice is: all of a place must follow each other.
        let place_at = |place: usize| {
            all.iter().find(|c| c.place == place).map_or(0.0, |c| turned(c.toward_rad).1)
        };
        let mut given: Vec<usize> = (0..all.len()).collect();
        let keys: Vec<(f64, usize)> = all.iter().map(|c| (place_at(c.place), c.place)).collect();
        given.sort_by(|a, b| {
            let ((at_a, place_a), (at_b, place_b)) = (keys[*a], keys[*b]);
            at_a.total_cmp(&at_b).then(place_a.cmp(&place_b)).then(a.cmp(b))
        });
        let step_m = choices.depth_step_m();
        let ladders: Vec<Ladder> =
            given.iter().map(|i| Ladder::new(&all[*i], step_m, unit_kg_m, unit_kg)).collect();
        let side = |(i, ladder): (&usize, &Ladder)| {
            let (least, most) = (ladder.amount(ladder.first), ladder.amount(ladder.last));
            // The deeper a hole or a flat from a rim, the more metal for an amount: the least is at
            // one end. Nothing for an amount of nothing.
            let metal = [(least, ladder.metal(ladder.first)), (most, ladder.metal(ladder.last))]
                .into_iter()
                .map(|(amount, metal)| if amount > 0.0 { metal / amount } else { 0.0 })
                .fold(f64::INFINITY, f64::min);
            Side { toward: turned(all[*i].toward_rad).0, least, most, metal }
        };
        let sides = given.iter().zip(&ladders).map(side).collect();
        let mut space = Self {
            sides,
            ladders,
            next_place: Vec::new(),
            free_from: Vec::new(),
            words: all.len().div_ceil(WORD),
            excluded: vec![0; all.len() * all.len().div_ceil(WORD)],
            target: amount_kg_m / unit_kg_m,
            permitted: wanted.permitted_kg_m / unit_kg_m,
            unit_kg_m,
            given,
        };
        space.exclude(choices);
        space
    }

    fn exclude(&mut self, choices: &Choices) {
        let (all, n) = (choices.all(), self.len());
        let places: Vec<usize> = self.given.iter().map(|i| all[*i].place).collect();
        self.next_place =
            (0..n).map(|i| (i..n).find(|k| places[*k] != places[i]).unwrap_or(n)).collect();
        let mut rank = vec![n; n];
        for (place, given) in self.given.iter().enumerate() {
            rank[*given] = place;
        }
        for (a, b) in choices.excluded().iter().filter(|(a, b)| *a < n && *b < n) {
            let (a, b) = (rank[*a], rank[*b]);
            self.excluded[a * self.words + b / WORD] |= 1 << (b % WORD);
            self.excluded[b * self.words + a / WORD] |= 1 << (a % WORD);
        }
        self.free_from = (0..n)
            .map(|i| {
                let (mut free, mut start) = (self.next_place[i], self.next_place[i]);
                for _ in 0..NEAR_PLACES {
                    if start == n {
                        break;
                    }
                    let end = self.next_place[start];
                    if (start..end).any(|k| self.excludes(i, k)) {
                        free = end;
                    }
                    start = end;
                }
                free
            })
            .collect();
    }

    pub(super) fn len(&self) -> usize {
        self.sides.len()
    }

    /// Whether two choices of different places exclude each other.
    pub(super) fn excludes(&self, a: usize, b: usize) -> bool {
        self.excluded[a * self.words + b / WORD] >> (b % WORD) & 1 == 1
    }

    /// What a set leaves.
    pub(super) fn nearest(&self, sides: &[Side]) -> Nearest {
        nearest(Complex::new(self.target, 0.0), sides)
    }

    /// Begun tenths of the permitted residual, at least one.
    pub(super) fn tenths(&self, left: f64) -> usize {
        let tenths = (left / self.permitted * TENTHS as f64 - TENTH_ROUNDING).ceil();
        // Saturates: what is far from permitted is simply more than ten.
        (tenths as usize).max(1)
    }

    /// The most that this many tenths hold.
    pub(super) fn radius(&self, tenths: usize) -> f64 {
        (tenths as f64 + TENTH_ROUNDING) * self.permitted / TENTHS as f64
    }
}

/// The sides of some choices.
pub(super) fn sides_of(space: &Space, picks: &[usize]) -> ([Side; MOST_OPERATIONS], usize) {
    let nothing = Side { toward: Complex::new(0.0, 0.0), least: 0.0, most: 0.0, metal: 0.0 };
    let mut sides = [nothing; MOST_OPERATIONS];
    let mut count = 0;
    for (side, pick) in sides.iter_mut().zip(picks) {
        *side = space.sides[*pick];
        count += 1;
    }
    (sides, count)
}
