//! Bringing the rotors of a set to one mass, and each of them into balance about its own bore, by
//! taking metal from the pockets where it may be taken.
//!
//! All rotors are decided together by one linear program: the least metal in all such that no two
//! rotors differ by more than is allowed and each one's own unbalance is within its aim. A circle
//! is kept within by the polygon inside it. A second one takes the same metal so that the rotors are
//! balanced best. Where no pockets reach that, each rotor gets as near
//! its balance as they allow, and the set as near one mass; how much is missing is part of the
//! answer.

use microlp::{ComparisonOp, OptimizationDirection, Problem, Variable};
use nalgebra::Complex;
use std::f64::consts::TAU;
use thiserror::Error;

/// Corners of the polygon that stands for a circle: it keeps 99 % of the radius.
const CORNERS: usize = 24;
/// Least distance of its sides from the middle, of its radius: `cos(π/24)`, rounded down.
const INSIDE: f64 = 0.991;
/// What a gram of mismatch costs beside a gram of metal: mismatch always comes first.
const MISMATCH_COST: f64 = 1e4;
/// Less metal than this at a place, in grams, is the rounding of the program.
const LEAST_G: f64 = 1e-4;
/// How much more metal the second program may take than the first, in grams: beyond the rounding of
/// both, below any scale.
const SLACK_G: f64 = 5e-7;
/// How much more than the nearest reachable unbalance is allowed, so that the second program is not
/// on the very edge of the first.
const EDGE: f64 = 1.0 + 1e-6;

/// A place from which metal may be taken, on every rotor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pocket {
    /// From tip 1 towards tip 2.
    pub angle_rad: f64,
    /// From the bore's axis to the mass centre of what is taken.
    pub radius_m: f64,
    /// From the mid-plane, towards the gear face.
    pub offset_m: f64,
    /// Most that may be taken.
    pub most_kg: f64,
}

/// A rotor of the set.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ToMatch {
    /// With all that it carries.
    pub mass_kg: f64,
    /// About its own bore, complex from tip 1 towards tip 2.
    pub unbalance_kg_m: Complex<f64>,
    /// Most that this may be afterwards.
    pub aim_kg_m: f64,
}

/// What to take from one rotor.
#[derive(Debug, Clone, PartialEq)]
pub struct Taken {
    /// From each pocket, in their order.
    pub from_kg: Vec<f64>,
    /// Mass afterwards.
    pub mass_kg: f64,
    /// Own unbalance afterwards.
    pub unbalance_kg_m: Complex<f64>,
}

/// What to take from the set.
#[derive(Debug, Clone, PartialEq)]
pub struct Matched {
    /// Rotors in their order.
    pub rotors: Vec<Taken>,
    /// How far their masses differ afterwards.
    pub spread_kg: f64,
}

/// Why there is no answer.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum MatchError {
    /// The program that decides it failed.
    #[error("what to take from the rotors could not be worked out: {0}")]
    Program(String),
}

/// The least metal that matches the set to within `spread_kg` and balances each rotor.
///
/// # Errors
/// [`MatchError`] if the linear program fails, which it does for no finite input that is known.
pub fn take_metal(
    rotors: &[ToMatch],
    pockets: &[Pocket],
    spread_kg: f64,
) -> Result<Matched, MatchError> {
    let aims = rotors
        .iter()
        .map(|rotor| Ok(rotor.aim_kg_m.max(EDGE * nearest_kg_m(rotor, pockets)?)))
        .collect::<Result<Vec<_>, MatchError>>()?;
    let least = SetProgram::new(rotors, pockets, (spread_kg, &aims));
    let values = solved(&least.problem)?;
    // The same metal, taken so that the rotors are balanced best.
    let metal_g: f64 = least.taken.iter().flatten().map(|v| values(*v)).sum();
    let best = least.balanced(rotors, pockets, (metal_g, values(least.mismatch), &aims));
    let (values, taken) = (solved(&best.problem)?, best.taken);
    let rotors: Vec<Taken> = rotors
        .iter()
        .zip(&taken)
        .map(|(rotor, from)| {
            let grams = from.iter().map(|v| values(*v));
            let from_kg = grams.map(|g| if g < LEAST_G { 0.0 } else { 1e-3 * g });
            rotor.after(from_kg.collect(), pockets)
        })
        .collect();
    let masses = rotors.iter().map(|rotor| rotor.mass_kg);
    let (least, most) =
        masses.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), m| (low.min(m), high.max(m)));
    Ok(Matched { spread_kg: (most - least).max(0.0), rotors })
}

/// What is decided for the whole set, in grams and gram millimetres.
struct SetProgram {
    problem: Problem,
    /// How far the masses differ beyond what is allowed.
    mismatch: Variable,
    /// What is taken, rotor by rotor, pocket by pocket.
    taken: Vec<Vec<Variable>>,
    spread_kg: f64,
}

impl SetProgram {
    /// The least metal.
    fn new(rotors: &[ToMatch], pockets: &[Pocket], (spread_kg, aims): (f64, &[f64])) -> Self {
        let mut program = Self::masses(rotors, pockets, (spread_kg, 1.0, MISMATCH_COST));
        for ((rotor, from), aim_kg_m) in rotors.iter().zip(&program.taken).zip(aims) {
            within_polygon(&mut program.problem, rotor, (pockets, from), (None, *aim_kg_m));
        }
        program
    }

    /// The least of all own unbalances together, with no more metal and no more mismatch than these.
    fn balanced(
        &self,
        rotors: &[ToMatch],
        pockets: &[Pocket],
        (metal_g, mismatch_g, aims): (f64, f64, &[f64]),
    ) -> Self {
        let mut program = Self::masses(rotors, pockets, (self.spread_kg, 0.0, 0.0));
        let all: Vec<(Variable, f64)> = program.taken.iter().flatten().map(|v| (*v, 1.0)).collect();
        let problem = &mut program.problem;
        problem.add_constraint(all.as_slice(), ComparisonOp::Le, metal_g + SLACK_G);
        let mismatch = [(program.mismatch, 1.0)];
        problem.add_constraint(mismatch.as_slice(), ComparisonOp::Le, mismatch_g + SLACK_G);
        for ((rotor, from), aim_kg_m) in rotors.iter().zip(&program.taken).zip(aims) {
            let left = problem.add_var(1.0, (0.0, 1e6 * aim_kg_m * EDGE));
            within_polygon(problem, rotor, (pockets, from), (Some(left), 0.0));
        }
        program
    }

    /// Pockets and masses: `lightest <= mass - taken <= lightest + spread + mismatch`.
    fn masses(
        rotors: &[ToMatch],
        pockets: &[Pocket],
        (spread_kg, metal_cost, mismatch_cost): (f64, f64, f64),
    ) -> Self {
        let mut problem = Problem::new(OptimizationDirection::Minimize);
        let mismatch = problem.add_var(mismatch_cost, (0.0, f64::INFINITY));
        let lightest = problem.add_var(0.0, (0.0, f64::INFINITY));
        let mut taken = Vec::with_capacity(rotors.len());
        for rotor in rotors {
            let from = pocket_variables(&mut problem, pockets, metal_cost);
            let mut left: Vec<(Variable, f64)> = from.iter().map(|v| (*v, 1.0)).collect();
            left.push((lightest, 1.0));
            problem.add_constraint(left.as_slice(), ComparisonOp::Le, 1e3 * rotor.mass_kg);
            left.push((mismatch, 1.0));
            let least_g = 1e3 * (rotor.mass_kg - spread_kg);
            problem.add_constraint(left.as_slice(), ComparisonOp::Ge, least_g);
            taken.push(from);
        }
        Self { problem, mismatch, taken, spread_kg }
    }
}

impl ToMatch {
    fn after(&self, from_kg: Vec<f64>, pockets: &[Pocket]) -> Taken {
        let gone: Complex<f64> = from_kg
            .iter()
            .zip(pockets)
            .map(|(kg, pocket)| Complex::from_polar(kg * pocket.radius_m, pocket.angle_rad))
            .sum();
        Taken {
            mass_kg: self.mass_kg - from_kg.iter().sum::<f64>(),
            unbalance_kg_m: self.unbalance_kg_m - gone,
            from_kg,
        }
    }
}

/// The least own unbalance that the pockets can bring a rotor to.
fn nearest_kg_m(rotor: &ToMatch, pockets: &[Pocket]) -> Result<f64, MatchError> {
    if rotor.unbalance_kg_m.norm() <= INSIDE * rotor.aim_kg_m {
        return Ok(0.0);
    }
    let mut problem = Problem::new(OptimizationDirection::Minimize);
    let left = problem.add_var(1.0, (0.0, f64::INFINITY));
    let from = pocket_variables(&mut problem, pockets, 0.0);
    within_polygon(&mut problem, rotor, (pockets, &from), (Some(left), 0.0));
    Ok(1e-6 * solved(&problem)?(left))
}

fn pocket_variables(problem: &mut Problem, pockets: &[Pocket], cost: f64) -> Vec<Variable> {
    pockets.iter().map(|pocket| problem.add_var(cost, (0.0, 1e3 * pocket.most_kg))).collect()
}

/// Keeps what is left of a rotor's unbalance inside the polygon inside a circle, in gram
/// millimetres, of a radius that is given or a variable.
fn within_polygon(
    problem: &mut Problem,
    rotor: &ToMatch,
    (pockets, from): (&[Pocket], &[Variable]),
    (radius, radius_kg_m): (Option<Variable>, f64),
) {
    for corner in 0..CORNERS {
        let normal = Complex::cis(TAU * corner as f64 / CORNERS as f64);
        let along = |vector: Complex<f64>| (vector * normal.conj()).re;
        let mut terms: Vec<(Variable, f64)> = from
            .iter()
            .zip(pockets)
            .map(|(v, p)| (*v, -along(Complex::from_polar(1e3 * p.radius_m, p.angle_rad))))
            .collect();
        terms.extend(radius.map(|radius| (radius, -INSIDE)));
        let most = 1e6 * (INSIDE * radius_kg_m - along(rotor.unbalance_kg_m));
        problem.add_constraint(terms.as_slice(), ComparisonOp::Le, most);
    }
}

/// Values of a program's variables at its optimum.
fn solved(problem: &Problem) -> Result<impl Fn(Variable) -> f64 + use<>, MatchError> {
    let failed = |error: microlp::Error| MatchError::Program(error.to_string());
    let solution = problem.solve().map_err(failed)?.into_solution();
    let solution = solution.map_err(|_| MatchError::Program("it did not end".to_owned()))?;
    Ok(move |variable| solution.var_value(variable))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn pocket(angle_deg: f64, most_g: f64) -> Pocket {
        Pocket {
            angle_rad: angle_deg.to_radians(),
            radius_m: 0.07,
            offset_m: 0.0,
            most_kg: 1e-3 * most_g,
        }
    }

    fn rotor(mass_g: f64, own_g_mm: f64, angle_deg: f64, aim_g_mm: f64) -> ToMatch {
        ToMatch {
            mass_kg: 1e-3 * mass_g,
            unbalance_kg_m: Complex::from_polar(1e-6 * own_g_mm, angle_deg.to_radians()),
            aim_kg_m: 1e-6 * aim_g_mm,
        }
    }

    /// The heavier rotor loses the difference less what is allowed, evenly round.
    #[test]
    fn the_heavier_one_comes_down() {
        let pockets = [60.0, 180.0, 300.0].map(|deg| pocket(deg, 10.0));
        let set = [rotor(3612.0, 0.0, 0.0, 1.0), rotor(3604.0, 0.0, 0.0, 1.0)];
        let matched = take_metal(&set, &pockets, 2e-3).unwrap();
        let total: f64 = matched.rotors[0].from_kg.iter().sum();
        assert!((total - 6e-3).abs() < 1e-9, "{matched:?}");
        assert!(matched.rotors[1].from_kg.iter().all(|kg| *kg == 0.0));
        assert!((matched.spread_kg - 2e-3).abs() < 1e-9);
        assert!(matched.rotors[0].unbalance_kg_m.norm() <= 1.0001e-6);
    }

    #[test]
    fn the_polygon_is_inside_its_circle() {
        let true_share = (std::f64::consts::PI / CORNERS as f64).cos();
        assert!(INSIDE <= true_share && INSIDE > true_share - 1e-3, "{true_share}");
        // A rotor just at its aim, and nowhere to take anything: it stays as it is.
        let set = [rotor(3600.0, 80.0, 7.5, 80.0)];
        let matched = take_metal(&set, &[], 1e-3).unwrap();
        assert!((matched.rotors[0].unbalance_kg_m.norm() - 80e-6).abs() < 1e-15);
    }

    /// An unbalance at a pocket is taken there, and the other rotor follows in mass.
    #[test]
    fn balance_takes_metal_and_the_other_follows() {
        let pockets = [60.0, 180.0, 300.0].map(|deg| pocket(deg, 10.0));
        let set = [rotor(3608.0, 350.0, 60.0, 0.0), rotor(3608.0, 0.0, 0.0, 1.0)];
        let matched = take_metal(&set, &pockets, 1e-3).unwrap();
        assert!((matched.rotors[0].from_kg[0] - 5e-3).abs() < 1e-7, "{matched:?}");
        assert!(matched.rotors[0].unbalance_kg_m.norm() < 1e-9);
        assert!(matched.spread_kg < 1e-3 + 1e-8);
        assert!((matched.rotors[1].from_kg.iter().sum::<f64>() - 4e-3).abs() < 1e-6);
    }

    #[test]
    fn what_pockets_cannot_reach_is_left_and_told() {
        let pockets = [pocket(60.0, 2.0)];
        let set = [rotor(3612.0, 350.0, 60.0, 10.0), rotor(3590.0, 0.0, 0.0, 500.0)];
        let matched = take_metal(&set, &pockets, 1e-3).unwrap();
        assert!((matched.rotors[0].unbalance_kg_m.norm() - 210e-6).abs() < 1e-9);
        assert!((matched.spread_kg - 20e-3).abs() < 1e-8);
        let none = take_metal(&set, &[], 1e-3).unwrap();
        assert!((none.spread_kg - 22e-3).abs() < 1e-9);
        assert!(take_metal(&[], &pockets, 1e-3).unwrap().rotors.is_empty());
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 200, ..ProptestConfig::default() })]

        /// Nothing is taken beyond what a pocket has; the answer keeps its promises; and leaving
        /// any part of it out breaks one of them, or it was needed for none.
        #[test]
        fn the_answer_holds_and_is_no_more_than_needed(
            set in prop::collection::vec(
                (3580.0..3620.0f64, 0.0..400.0f64, 0.0..360.0f64, 5.0..80.0f64), 1..7),
            places in prop::collection::vec((0.0..360.0f64, 0.0..15.0f64), 0..9),
            allowed in 0.5..6.0f64,
        ) {
            let pockets: Vec<Pocket> = places.iter().map(|(a, m)| pocket(*a, *m)).collect();
            let set: Vec<ToMatch> = set.iter().map(|(m, u, a, t)| rotor(*m, *u, *a, *t)).collect();
            let matched = take_metal(&set, &pockets, 1e-3 * allowed).unwrap();
            for (rotor, taken) in set.iter().zip(&matched.rotors) {
                for (kg, pocket) in taken.from_kg.iter().zip(&pockets) {
                    prop_assert!((0.0..=pocket.most_kg + 1e-9).contains(kg));
                }
                let aim = rotor.aim_kg_m.max(EDGE * nearest_kg_m(rotor, &pockets).unwrap());
                prop_assert!(taken.unbalance_kg_m.norm() <= aim * (1.0 + 1e-6) + 1e-9);
            }
            // A set that is within already is left alone.
            let fine = matched
                .rotors
                .iter()
                .zip(&set)
                .map(|(taken, rotor)| ToMatch {
                    mass_kg: taken.mass_kg,
                    unbalance_kg_m: taken.unbalance_kg_m,
                    aim_kg_m: rotor.aim_kg_m.max(taken.unbalance_kg_m.norm() * 1.02),
                })
                .collect::<Vec<_>>();
            let again = take_metal(&fine, &pockets, matched.spread_kg + 1e-6).unwrap();
            let more: f64 = again.rotors.iter().flat_map(|r| &r.from_kg).sum();
            prop_assert!(more < 1e-6, "{more}");
        }
    }
}
