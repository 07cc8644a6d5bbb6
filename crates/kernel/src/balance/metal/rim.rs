//! Metal taken off a cylindrical rim: holes towards the axis, and flats.

use super::hole::Drill;
use std::f64::consts::{FRAC_1_SQRT_2, PI};

/// Nodes for the mean sag of the rim over a hole. The rule is exact up to degree 63; the rim's
/// series in `(d/2R)²` is then cut where a hole as wide as the radius has 1e-19 left.
const RIM_NODES: usize = 32;

/// A hole drilled towards the shaft's axis from a cylindrical rim. Its depth is measured along its
/// axis, from the rim's highest point.
///
/// With `x` along the hole's axis from the shaft's and `y` around the rim, metal stands from the
/// drill's end `x_b` to `√(R² − y²)`. Over the drill's disc (area `A`, mean of `y²`: `d²/16`) that
/// gives, for a cone of height `h` and `B = R − L`,
/// moment `½ A (R² − d²/16 − B² + 2 B h/3 − h²/6)` and volume `A (L + h/3 − mean (R − √(R² − y²)))`.
/// The moment is closed; the mean of the rim's sag is an elliptic integral, taken by Gauss's rule
/// for the weight `√(1 − t²)`, the chord of the disc [AS] 25.4.40.
///
/// It holds from the depth on at which the drill cuts all round ([`RimHole::full_from_m`]).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RimHole {
    drill: Drill,
    rim_m: f64,
    density_kg_m3: f64,
    mean_sag_m: f64,
}

impl RimHole {
    /// A hole in a rim of this radius, m, wider than the hole, in metal of this density, kg/m³.
    #[must_use]
    pub fn new(drill: Drill, rim_m: f64, density_kg_m3: f64) -> Self {
        let half_m = 0.5 * drill.diameter_m();
        let step_rad = PI / (RIM_NODES as f64 + 1.0);
        let mean_sag_m = (1..=RIM_NODES)
            .map(|k| {
                let (sin, cos) = (step_rad * k as f64).sin_cos();
                // Weight of the node over the integral of the weight, π/2.
                2.0 / (RIM_NODES as f64 + 1.0) * sin * sin * sag_m(rim_m, half_m * cos)
            })
            .sum();
        Self { drill, rim_m, density_kg_m3, mean_sag_m }
    }

    /// What it is drilled with.
    #[must_use]
    pub const fn drill(&self) -> Drill {
        self.drill
    }

    /// Radius of the rim, m.
    #[must_use]
    pub const fn rim_m(&self) -> f64 {
        self.rim_m
    }

    /// The depth from which the drill cuts all round: the rim falls by so much over half a
    /// diameter, m.
    #[must_use]
    pub fn full_from_m(&self) -> f64 {
        sag_m(self.rim_m, 0.5 * self.drill.diameter_m())
    }

    /// Mass taken off, kg.
    #[must_use]
    pub fn mass_kg(&self, depth_m: f64) -> f64 {
        self.density_kg_m3
            * self.drill.area_m2()
            * (depth_m + self.drill.point_m() / 3.0 - self.mean_sag_m)
    }

    /// Unbalance taken off, kg m.
    #[must_use]
    pub fn amount_kg_m(&self, depth_m: f64) -> f64 {
        let (d_m, h_m) = (self.drill.diameter_m(), self.drill.point_m());
        let end_m = self.rim_m - depth_m;
        0.5 * self.density_kg_m3
            * self.drill.area_m2()
            * ((self.rim_m + end_m) * depth_m - d_m * d_m / 16.0 + 2.0 / 3.0 * end_m * h_m
                - h_m * h_m / 6.0)
    }

    /// Unbalance taken off for a depth more, kg: the drill's end, a cone, moves on as a whole.
    #[must_use]
    pub fn slope_kg(&self, depth_m: f64) -> f64 {
        let mean_m = self.rim_m - depth_m - self.drill.point_m() / 3.0;
        self.density_kg_m3 * self.drill.area_m2() * mean_m
    }

    /// The depth for an unbalance, m; the root of a quadratic, on this side of the axis.
    #[must_use]
    pub fn depth_m(&self, amount_kg_m: f64) -> f64 {
        let more_kg_m = amount_kg_m - self.amount_kg_m(0.0);
        let (slope_kg, bend_kg_per_m) =
            (self.slope_kg(0.0), self.density_kg_m3 * self.drill.area_m2());
        // The form without a difference of near equals. Past the axis the root is held at it.
        let under = (slope_kg * slope_kg - 2.0 * bend_kg_per_m * more_kg_m).max(0.0);
        2.0 * more_kg_m / (slope_kg + under.sqrt())
    }
}

/// How far a rim lies below its highest point at a distance to the side, m; without a difference
/// of near equals.
fn sag_m(rim_m: f64, aside_m: f64) -> f64 {
    let height_m = ((rim_m - aside_m) * (rim_m + aside_m)).sqrt();
    aside_m * aside_m / (rim_m + height_m)
}

/// A flat milled on a cylindrical rim over some width along the shaft: a segment of a circle with
/// half chord `c`, `c² = t (2R − t)`, whose first moment about the axis is `2/3 c³`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Flat {
    /// Radius of the rim, m.
    pub rim_m: f64,
    /// Width along the shaft, m.
    pub width_m: f64,
    /// Density of the counterweight, kg/m³.
    pub density_kg_m3: f64,
}

impl Flat {
    /// Half the chord, m.
    #[must_use]
    pub fn half_chord_m(&self, depth_m: f64) -> f64 {
        (depth_m * (2.0 * self.rim_m - depth_m)).max(0.0).sqrt()
    }

    /// Mass taken off, kg.
    #[must_use]
    pub fn mass_kg(&self, depth_m: f64) -> f64 {
        let (chord_m, to_flat_m) = (self.half_chord_m(depth_m), self.rim_m - depth_m);
        let segment_m2 = self.rim_m * self.rim_m * chord_m.atan2(to_flat_m) - to_flat_m * chord_m;
        self.density_kg_m3 * self.width_m * segment_m2
    }

    /// Unbalance taken off, kg m.
    #[must_use]
    pub fn amount_kg_m(&self, depth_m: f64) -> f64 {
        2.0 / 3.0 * self.density_kg_m3 * self.width_m * self.half_chord_m(depth_m).powi(3)
    }

    /// Unbalance taken off for a depth more, kg.
    #[must_use]
    pub fn slope_kg(&self, depth_m: f64) -> f64 {
        let chord_m = self.half_chord_m(depth_m);
        2.0 * self.density_kg_m3 * self.width_m * chord_m * (self.rim_m - depth_m)
    }

    /// Where the slope is greatest: half the chord is then the distance of the flat from the axis.
    #[must_use]
    pub fn steepest_m(&self) -> f64 {
        self.rim_m * (1.0 - FRAC_1_SQRT_2)
    }

    /// The depth for an unbalance, m; more than half the rim cannot be milled off.
    #[must_use]
    pub fn depth_m(&self, amount_kg_m: f64) -> f64 {
        let chord_m = (1.5 * amount_kg_m / (self.density_kg_m3 * self.width_m)).cbrt();
        let chord_m = chord_m.clamp(0.0, self.rim_m);
        let to_flat_m = ((self.rim_m - chord_m) * (self.rim_m + chord_m)).sqrt();
        chord_m * chord_m / (self.rim_m + to_flat_m)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_rim_that_is_all_but_flat_gives_a_hole_in_a_plane() {
        let drill = Drill::new(10e-3, 2.0).unwrap();
        let rim_m = 1e4;
        let hole = RimHole::new(drill, rim_m, 7850.0);
        // Mean of y²/2R over the disc.
        let sag_m = 10e-3 * 10e-3 / (32.0 * rim_m);
        let volume_m3 = drill.area_m2() * (20e-3 + drill.point_m() / 3.0 - sag_m);
        assert!((hole.mass_kg(20e-3) / (7850.0 * volume_m3) - 1.0).abs() < 1e-15);
        assert!((hole.amount_kg_m(20e-3) / (hole.mass_kg(20e-3) * rim_m) - 1.0).abs() < 1e-5);
    }

    #[test]
    fn a_flat_to_the_axis_is_half_a_disc() {
        let flat = Flat { rim_m: 0.05, width_m: 0.02, density_kg_m3: 7850.0 };
        let half_kg = 7850.0 * 0.02 * PI * 0.05 * 0.05 / 2.0;
        assert!((flat.mass_kg(0.05) / half_kg - 1.0).abs() < 1e-15);
        // Its centre is 4R/3π from the axis.
        let centre_m = flat.amount_kg_m(0.05) / flat.mass_kg(0.05);
        assert!((centre_m - 4.0 * 0.05 / (3.0 * PI)).abs() < 1e-15);
        assert!(flat.slope_kg(flat.steepest_m()) > flat.slope_kg(flat.steepest_m() * 0.98));
        assert!(flat.slope_kg(flat.steepest_m()) > flat.slope_kg(flat.steepest_m() * 1.02));
    }

    #[test]
    fn a_rim_hole_cuts_all_round_from_the_sag_on() {
        let drill = Drill::new(20e-3, 2.0).unwrap();
        let hole = RimHole::new(drill, 50e-3, 7850.0);
        assert!((hole.full_from_m() - (50e-3 - (2500e-6f64 - 100e-6).sqrt())).abs() < 1e-16);
    }
}
