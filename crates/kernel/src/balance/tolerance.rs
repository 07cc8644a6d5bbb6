//! The permitted residual unbalance, shared between two tolerance planes, and what is said of one
//! that was found.

use super::grade::Grade;
use super::planes::TwoPlanes;
use crate::readings::{GUARD_FACTOR, PROBABILITY, Verdict};
use crate::units::{Mass, Speed};
use nalgebra::Complex;

/// Most and least share of a tolerance plane where the mass centre lies between the planes
/// [ISO-21940-11], 7.2.2, from memory.
const INBOARD: [f64; 2] = [0.3, 0.7];
/// The same where it lies outside them [ISO-21940-11], 7.2.3, from memory.
const OVERHUNG: [f64; 2] = [0.3, 1.3];

/// What may be left, whole and in each tolerance plane.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Permitted {
    /// Of the whole body, by its grade.
    pub total_kg_m: f64,
    /// In the front and the rear tolerance plane.
    pub planes_kg_m: [f64; 2],
    /// Whether the mass centre lies outside the two planes.
    pub overhung: bool,
    /// Whether a share was held to the standard's limits.
    pub held: bool,
}

impl Permitted {
    /// By a grade: `U_per = G m/Ω`, and to each plane the share that the other one's distance from
    /// the mass centre gives it, `U_F = U_per L_R/L`, within the standard's limits.
    #[must_use]
    pub fn by(grade: Grade, body: Body, planes: &TwoPlanes) -> Self {
        let total_kg_m = grade.permissible(body.mass, body.speed).to_kg_m();
        let [front_m, rear_m] = planes.at_m();
        let overhung = !(front_m..=rear_m).contains(&body.mass_centre_m);
        let shares = planes.shares(body.mass_centre_m).map(f64::abs);
        let [least, most] = if overhung { OVERHUNG } else { INBOARD };
        let kept = shares.map(|share| share.clamp(least, most));
        Self {
            total_kg_m,
            planes_kg_m: kept.map(|share| share * total_kg_m),
            overhung,
            held: kept != shares,
        }
    }
}

/// A body that turns.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Body {
    /// Its mass.
    pub mass: Mass,
    /// Service speed.
    pub speed: Speed,
    /// Its mass centre along the shaft.
    pub mass_centre_m: f64,
}

/// Beyond so many standard uncertainties a circle is a straight line: the difference is below 1e-3.
const STRAIGHT: f64 = 30.0;
/// Halvings that find the greatest amount that is proven.
const HALVINGS: usize = 50;

/// Chance that a vector of which this amount was found, each of its components with a standard
/// uncertainty of 1, is really no longer than `most`: the distribution of Rice, as the sum of
/// Poisson's weights of χ² of an even number of degrees [RICE].
fn chance_within(amount: f64, most: f64) -> f64 {
    if amount.max(most) > STRAIGHT {
        // The circle's bend takes half a unit over its radius.
        let bend = 0.5 / most.max(1.0);
        return normal(most - amount - bend);
    }
    let (half, square) = (0.5 * amount * amount, 0.5 * most * most);
    let mut weight = (-half).exp();
    let (mut term, mut tail) = ((-square).exp(), (-square).exp());
    let mut chance = 0.0;
    // Past both means by ten roots nothing is left.
    let count = (half + square + 10.0 * (half.max(square).sqrt() + 3.0)).ceil();
    let mut j = 0.0;
    while j < count {
        chance += weight * (1.0 - tail).max(0.0);
        j += 1.0;
        weight *= half / j;
        term *= square / j;
        tail += term;
    }
    chance.min(1.0)
}

fn normal(z: f64) -> f64 {
    0.5 * statrs::function::erf::erfc(-z / std::f64::consts::SQRT_2)
}

/// What is said of an unbalance of which each component has this standard uncertainty, against the
/// most that it may be: proven within where the chance that it really is reaches 95 %, proven beyond
/// where one at the limit would be found as long in fewer than 5 % of readings, else neither
/// [ISO-14253-1].
///
/// Far from nothing both are the guard of 1.65; near nothing a vector errs in two directions, and to
/// be within it takes 2.45. What is found within is never proven beyond: of a reading that is worth
/// less than the limit, that nothing is likely as short would count against a vector of nothing.
#[must_use]
pub fn judge(vector_kg_m: Complex<f64>, u_kg_m: f64, permitted_kg_m: f64) -> Verdict {
    let amount = vector_kg_m.norm();
    if u_kg_m <= 0.0 {
        return at_most(amount, 0.0, permitted_kg_m);
    }
    let within = chance_within(amount / u_kg_m, permitted_kg_m / u_kg_m);
    if within >= PROBABILITY {
        Verdict::Conforms
    } else if chance_within(permitted_kg_m / u_kg_m, amount / u_kg_m) >= PROBABILITY {
        Verdict::DoesNotConform
    } else {
        Verdict::NotProven
    }
}

/// The greatest amount that is proven within what is permitted; nothing where not even none is.
#[must_use]
pub fn provable_kg_m(u_kg_m: f64, permitted_kg_m: f64) -> Option<f64> {
    let proven = |amount_kg_m: f64| {
        judge(Complex::new(amount_kg_m, 0.0), u_kg_m, permitted_kg_m) == Verdict::Conforms
    };
    if !proven(0.0) {
        return None;
    }
    let (mut least, mut most) = (0.0, permitted_kg_m);
    for _ in 0..HALVINGS {
        let middle = 0.5 * (least + most);
        if proven(middle) {
            least = middle;
        } else {
            most = middle;
        }
    }
    Some(least)
}

/// What is said of an amount of any kind with this standard uncertainty, against the most that it
/// may be; all three in one unit [ISO-14253-1].
#[must_use]
pub fn at_most(amount: f64, u: f64, most: f64) -> Verdict {
    let guard = GUARD_FACTOR * u;
    if amount + guard <= most {
        Verdict::Conforms
    } else if amount - guard <= most {
        Verdict::NotProven
    } else {
        Verdict::DoesNotConform
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn permitted(mass_kg: f64, rpm: f64, centre_m: f64, planes: (f64, f64)) -> Permitted {
        let body =
            Body { mass: Mass::kg(mass_kg), speed: Speed::rpm(rpm), mass_centre_m: centre_m };
        let planes = TwoPlanes::new(planes.0, planes.1).unwrap();
        Permitted::by(Grade::parse("G 2.5").unwrap(), body, &planes)
    }

    /// The standard's example of an inboard rotor: 3600 kg, 3000 r/min, G 2.5, mass centre 1500 mm
    /// from plane A and 900 mm from plane B [ISO-21940-11], annex, from memory, computed.
    #[test]
    fn the_standards_inboard_example() {
        let found = permitted(3600.0, 3000.0, 1.5, (0.0, 2.4));
        let g_mm = |kg_m: f64| kg_m * 1e6;
        assert!((g_mm(found.total_kg_m) - 28_647.89).abs() < 0.005);
        assert!((g_mm(found.planes_kg_m[0]) - 10_742.96).abs() < 0.005);
        assert!((g_mm(found.planes_kg_m[1]) - 17_904.93).abs() < 0.005);
        assert!(!found.overhung && !found.held);
    }

    /// Shares beyond the limits are held to them, between the planes and outside
    /// [ISO-21940-11], 7.2.2 and 7.2.3, from memory.
    #[test]
    fn shares_are_held_to_the_limits() {
        let near = permitted(20.0, 9000.0, 0.05, (0.0, 0.4));
        let share = |found: &Permitted| found.planes_kg_m.map(|p| p / found.total_kg_m);
        let [front, rear] = share(&near);
        assert!((front - 0.7).abs() < 1e-12 && (rear - 0.3).abs() < 1e-12);
        assert!(near.held && !near.overhung);
        let outside = permitted(20.0, 9000.0, 0.44, (0.0, 0.4));
        let [front, rear] = share(&outside);
        assert!((front - 0.3).abs() < 1e-12 && (rear - 1.1).abs() < 1e-12);
        assert!(outside.overhung && outside.held);
        let far = permitted(20.0, 9000.0, 0.8, (0.0, 0.4));
        let [front, rear] = share(&far);
        assert!((front - 1.0).abs() < 1e-12 && (rear - 1.3).abs() < 1e-12);
    }

    #[test]
    fn an_unbalance_is_proven_in_or_out_or_neither() {
        let of = |amount: f64| judge(Complex::from_polar(amount, 1.0), 1.0, 10.0);
        assert_eq!(of(8.2), Verdict::Conforms);
        assert_eq!(of(8.4), Verdict::NotProven);
        assert_eq!(of(11.5), Verdict::NotProven);
        assert_eq!(of(11.7), Verdict::DoesNotConform);
        assert_eq!(judge(Complex::new(10.0, 0.0), 0.0, 10.0), Verdict::Conforms);
        assert_eq!(at_most(8.34, 1.0, 10.0), Verdict::Conforms);
        assert_eq!(at_most(8.36, 1.0, 10.0), Verdict::NotProven);
    }

    /// A reading that is worth less than the limit says neither.
    #[test]
    fn what_is_found_within_is_never_proven_beyond() {
        for u in [0.1, 1.0, 10.0, 1e3, 1e6] {
            for share in [0.0, 0.2, 0.6, 0.99, 1.0] {
                let said = judge(Complex::from_polar(share, 0.3), u, 1.0);
                assert_ne!(said, Verdict::DoesNotConform, "{share} {u}");
            }
            let far = judge(Complex::from_polar(1.0 + 4.0 * u, 0.3), u, 1.0);
            assert_eq!(far, Verdict::DoesNotConform, "{u}");
        }
        // From nothing, 95 % of readings are shorter than 2.4477.
        assert_eq!(judge(Complex::new(2.46, 0.0), 1.0, 1e-6), Verdict::DoesNotConform);
        assert_eq!(judge(Complex::new(2.43, 0.0), 1.0, 1e-6), Verdict::NotProven);
    }

    /// With nothing found the chance is `1 − exp(−P²/2u²)`: 2.4477 standard uncertainties for 95 %.
    #[test]
    fn near_nothing_a_vector_takes_more() {
        assert!((chance_within(0.0, 2.4477) - 0.95).abs() < 1e-4);
        assert_eq!(provable_kg_m(1.0, 2.44), None);
        assert!(provable_kg_m(1.0, 2.45).unwrap() < 0.2);
        let far = provable_kg_m(1.0, 200.0).unwrap();
        assert!((200.0 - far - 1.645).abs() < 0.01, "{far}");
    }

    /// The chance against the plane integrated in small squares, and against itself where the circle
    /// is taken for a straight line.
    #[test]
    fn the_chance_is_that_of_the_plane() {
        let n = 400;
        for (amount, most) in [(0.0, 1.0), (1.0, 2.0), (3.0, 2.5), (6.0, 9.0), (20.0, 22.0)] {
            let (mut within, mut all) = (0.0, 0.0);
            for i in -n..=n {
                for j in -n..=n {
                    let (x, y) =
                        (6.0 * f64::from(i) / f64::from(n), 6.0 * f64::from(j) / f64::from(n));
                    let weight = (-0.5 * (x * x + y * y)).exp();
                    all += weight;
                    if (amount + x).hypot(y) <= most {
                        within += weight;
                    }
                }
            }
            let (found, summed) = (chance_within(amount, most), within / all);
            assert!((found - summed).abs() < 3e-3, "{amount} {most}: {found} {summed}");
        }
        for off in [-2.0, -1.0, 0.0, 1.0, 2.0] {
            let (curved, straight) =
                (chance_within(29.9 - off, 29.9), chance_within(30.1 - off, 30.1));
            assert!((curved - straight).abs() < 3e-3, "{off}: {curved} {straight}");
        }
    }
}
