//! The permitted residual unbalance, shared between two tolerance planes, and what is said of one
//! that was found.

use super::grade::Grade;
use super::planes::TwoPlanes;
use crate::readings::{GUARD_FACTOR, Verdict};
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

/// What is said of an unbalance of which each component has this standard uncertainty, against the
/// most that it may be: proven within, proven beyond, or closer than the guard [ISO-14253-1].
///
/// Near nothing the amount of a vector is never less than nothing, so its error is not that of one
/// component; the guard is taken as if it were, which asks for more than 95 % there.
#[must_use]
pub fn judge(vector_kg_m: Complex<f64>, u_kg_m: f64, permitted_kg_m: f64) -> Verdict {
    at_most(vector_kg_m.norm(), u_kg_m, permitted_kg_m)
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
        assert_eq!(of(8.34), Verdict::Conforms);
        assert_eq!(of(8.36), Verdict::NotProven);
        assert_eq!(of(11.64), Verdict::NotProven);
        assert_eq!(of(11.66), Verdict::DoesNotConform);
    }

    /// Where an unbalance is said to conform, the true one is within the limit in 95 of 100: drawn
    /// with a general generator.
    #[test]
    fn a_guarded_unbalance_is_within_in_95_of_100() {
        // The greatest amount that conforms; the truth is spread about it in both components.
        let (limit, u) = (10.0, 1.0);
        let shown = limit - GUARD_FACTOR * u;
        let n = 200;
        let mut within = 0.0;
        let mut all = 0.0;
        for i in -n..=n {
            for j in -n..=n {
                let (x, y) = (f64::from(i) * 5.0 / f64::from(n), f64::from(j) * 5.0 / f64::from(n));
                let weight = (-0.5 * (x * x + y * y)).exp();
                all += weight;
                if (shown + u * x).hypot(u * y) <= limit {
                    within += weight;
                }
            }
        }
        let share = within / all;
        assert!((0.93..0.96).contains(&share), "{share}");
    }
}
