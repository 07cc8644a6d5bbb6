//! Unbalances along a shaft, and the two that stand for all of them in two planes.
//!
//! A rigid body only knows the sum of its unbalances and the sum of their moments. Any two planes
//! can show both: `U_R = Σ U_i (z_i − z_F)/(z_R − z_F)`, `U_F = Σ U_i − U_R`, as vectors
//! [ISO-21940-2], from memory, it is statics.

use nalgebra::Complex;
use thiserror::Error;

/// Planes closer than this cannot hold a moment: less than a drill's width.
const LEAST_SPAN_M: f64 = 1e-3;

/// An unbalance at its place along the shaft.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlacedUnbalance {
    /// From the front end of the shaft.
    pub at_m: f64,
    /// Mass times distance from the axis, complex from the throw of rotor 1.
    pub vector_kg_m: Complex<f64>,
}

/// Two planes square to the shaft.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TwoPlanes {
    front_m: f64,
    rear_m: f64,
}

/// Why two planes are none.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum PlanesError {
    /// The rear one is not behind the front one.
    #[error(
        "the front plane lies at {front_mm:.1} mm and the rear one at {rear_mm:.1} mm; the rear one \
         belongs at least 1 mm behind the front one"
    )]
    Order {
        /// From the front end of the shaft.
        front_mm: f64,
        /// From the front end of the shaft.
        rear_mm: f64,
    },
    /// A place that is no number.
    #[error("a plane's place is not finite")]
    NotFinite,
}

impl TwoPlanes {
    /// Two planes, front and rear, from the front end of the shaft.
    ///
    /// # Errors
    /// [`PlanesError`] unless the rear one lies behind the front one.
    pub fn new(front_m: f64, rear_m: f64) -> Result<Self, PlanesError> {
        if !(front_m.is_finite() && rear_m.is_finite()) {
            return Err(PlanesError::NotFinite);
        }
        if rear_m - front_m < LEAST_SPAN_M {
            return Err(PlanesError::Order { front_mm: 1e3 * front_m, rear_mm: 1e3 * rear_m });
        }
        Ok(Self { front_m, rear_m })
    }

    /// Place of the front and of the rear plane.
    #[must_use]
    pub const fn at_m(&self) -> [f64; 2] {
        [self.front_m, self.rear_m]
    }

    /// How much of an unbalance at a place each plane shows; the two add to one.
    #[must_use]
    pub fn shares(&self, at_m: f64) -> [f64; 2] {
        let rear = (at_m - self.front_m) / (self.rear_m - self.front_m);
        [1.0 - rear, rear]
    }

    /// The two unbalances that stand for all of these.
    #[must_use]
    pub fn shown(&self, all: &[PlacedUnbalance]) -> [Complex<f64>; 2] {
        let mut shown = [Complex::new(0.0, 0.0); 2];
        for unbalance in all {
            let shares = self.shares(unbalance.at_m);
            for (plane, share) in shown.iter_mut().zip(shares) {
                *plane += unbalance.vector_kg_m * share;
            }
        }
        shown
    }

    /// The two unbalances that balance all of these.
    #[must_use]
    pub fn needed(&self, all: &[PlacedUnbalance]) -> [Complex<f64>; 2] {
        self.shown(all).map(|plane| -plane)
    }

    /// What unbalances in these planes are in others.
    #[must_use]
    pub fn moved_to(&self, others: &Self, vectors_kg_m: [Complex<f64>; 2]) -> [Complex<f64>; 2] {
        others.shown(&self.placed(vectors_kg_m))
    }

    /// Unbalances in these planes with their places.
    #[must_use]
    pub fn placed(&self, [front, rear]: [Complex<f64>; 2]) -> [PlacedUnbalance; 2] {
        [
            PlacedUnbalance { at_m: self.front_m, vector_kg_m: front },
            PlacedUnbalance { at_m: self.rear_m, vector_kg_m: rear },
        ]
    }

    /// The greatest residuals in these planes, in the ratio `wanted`, that stay within `allowed`
    /// in the planes `others` however the two lie to each other: at each of those,
    /// `Σ |share| P ≤ allowed`.
    #[must_use]
    pub fn within(&self, others: &Self, allowed_kg_m: [f64; 2], wanted: [f64; 2]) -> [f64; 2] {
        let [from_front, from_rear] = self.at_m().map(|at_m| others.shares(at_m).map(f64::abs));
        let scale = (0..2)
            .map(|k| allowed_kg_m[k] / (from_front[k] * wanted[0] + from_rear[k] * wanted[1]))
            .fold(f64::INFINITY, f64::min);
        wanted.map(|part| part * scale)
    }
}

/// What unbalances are together: how far the mass centre is off, and how they rock.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Together {
    /// Static: their sum.
    pub resultant_kg_m: Complex<f64>,
    /// Couple: the sum of their moments about the mass centre, unbalance times distance along the
    /// shaft, positive to the rear.
    pub couple_kg_m2: Complex<f64>,
}

impl Together {
    /// Of all of these about a mass centre.
    #[must_use]
    pub fn of(all: &[PlacedUnbalance], mass_centre_m: f64) -> Self {
        Self {
            resultant_kg_m: all.iter().map(|u| u.vector_kg_m).sum(),
            couple_kg_m2: all.iter().map(|u| u.vector_kg_m * (u.at_m - mass_centre_m)).sum(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use std::f64::consts::PI;

    #[test]
    fn two_offsets_half_a_turn_apart_are_a_couple() {
        // 4.5 kg at 15 mm, 100 mm apart, planes 300 mm apart: 22 500 g mm each, no sum; the force
        // of each at 8000 r/min is 47 374.1 N x 1/3 (statics; the figures computed elsewhere).
        let u = 4.5 * 0.015;
        let rotors = [(0.1, 0.0), (0.2, PI)].map(|(at_m, angle)| PlacedUnbalance {
            at_m,
            vector_kg_m: Complex::from_polar(u, angle),
        });
        let planes = TwoPlanes::new(0.0, 0.3).unwrap();
        let needed = planes.needed(&rotors);
        for (plane, angle) in needed.iter().zip([PI, 0.0]) {
            assert!((plane.norm() - 22.5e-3).abs() < 1e-12);
            assert!((plane * Complex::cis(-angle) - plane.norm()).norm() < 1e-12);
        }
        let together = Together::of(&rotors, 0.15);
        assert!(together.resultant_kg_m.norm() < 1e-15);
        assert!((together.couple_kg_m2.norm() - 6.75e-3).abs() < 1e-12);
        let omega = 8000.0 * PI / 30.0;
        let force = u * omega * omega;
        assert!((force - 47_374.1).abs() < 0.05, "{force}");
    }

    #[test]
    fn planes_in_the_wrong_order_are_refused() {
        let said = TwoPlanes::new(0.3, 0.05).unwrap_err().to_string();
        assert!(said.contains("300.0 mm") && said.contains("behind"), "{said}");
        assert_eq!(TwoPlanes::new(f64::NAN, 0.1), Err(PlanesError::NotFinite));
        assert!(TwoPlanes::new(0.1, 0.1004).is_err());
    }

    proptest! {
        /// Sum and moment are kept, whatever the planes.
        #[test]
        fn two_planes_show_sum_and_moment(
            all in prop::collection::vec((-0.2..1.0f64, -1.0..1.0f64, -1.0..1.0f64), 1..9),
            front in -0.1..0.3f64, span in 0.01..0.8f64, about in -1.0..1.0f64,
        ) {
            let all: Vec<_> = all
                .into_iter()
                .map(|(at_m, x, y)| PlacedUnbalance { at_m, vector_kg_m: Complex::new(x, y) })
                .collect();
            let planes = TwoPlanes::new(front, front + span).unwrap();
            let shown = planes.placed(planes.shown(&all));
            let (a, b) = (Together::of(&all, about), Together::of(&shown, about));
            let room = 1e-12 * (1.0 + 1.0 / span);
            prop_assert!((a.resultant_kg_m - b.resultant_kg_m).norm() < room);
            prop_assert!((a.couple_kg_m2 - b.couple_kg_m2).norm() < room);
        }

        /// No two residuals within what a plane is allowed leave the other planes' tolerances, and
        /// the worst pair just reaches one.
        #[test]
        fn residuals_within_their_planes_are_within_the_others(
            front in -0.1..0.3f64, span in 0.05..0.8f64, to in (-0.2..0.4f64, 0.05..0.8f64),
            allowed in (1e-6..1e-3f64, 1e-6..1e-3f64), turn in 0.0..6.3f64,
        ) {
            let planes = TwoPlanes::new(front, front + span).unwrap();
            let others = TwoPlanes::new(to.0, to.0 + to.1).unwrap();
            let allowed = [allowed.0, allowed.1];
            let within = planes.within(&others, allowed, allowed);
            let reached = |angle: f64| {
                let vectors =
                    [Complex::new(within[0], 0.0), Complex::from_polar(within[1], angle)];
                let there = planes.moved_to(&others, vectors);
                (0..2).map(|k| there[k].norm() / allowed[k]).fold(0.0, f64::max)
            };
            prop_assert!(reached(turn) < 1.0 + 1e-12);
            let worst = reached(0.0).max(reached(PI));
            prop_assert!((worst - 1.0).abs() < 1e-9, "{worst}");
        }
    }
}
