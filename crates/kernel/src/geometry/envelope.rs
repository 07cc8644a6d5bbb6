//! Test of the flank's defining property: it touches its bores and crosses none.
//!
//! Nothing of the closed form is believed here: the distance from a place on the flank to the
//! bore is searched along the bore, 360 places and then around the best three, and the side it
//! lies on is judged by the normal of the nearest place.

use super::bore::Bore;
use super::flank::tests::flank;
use crate::units::Angle;
use nalgebra::Complex;
use proptest::prelude::*;
use std::f64::consts::{FRAC_PI_3, PI};

/// Distance from a point to the shifted bore, in engine axes: a scan, then golden section
/// around its three best places. Never less than the true one.
fn distance_m(bore: &Bore, p: Complex<f64>) -> f64 {
    let n = 360;
    let step = std::f64::consts::TAU / f64::from(n);
    let at = |t: f64| (bore.shifted_m(t) - p).norm();
    let scan: Vec<f64> = (0..n).map(|i| at(f64::from(i) * step)).collect();
    let mut places: Vec<usize> = (0..scan.len())
        .filter(|&i| {
            let (before, after) = ((i + scan.len() - 1) % scan.len(), (i + 1) % scan.len());
            scan[i] <= scan[before] && scan[i] <= scan[after]
        })
        .collect();
    places.sort_by(|&i, &j| scan[i].total_cmp(&scan[j]));
    let golden = 0.5 * (5f64.sqrt() - 1.0);
    places
        .iter()
        .take(3)
        .map(|&i| {
            let (mut low, mut high) = ((i as f64 - 1.0) * step, (i as f64 + 1.0) * step);
            for _ in 0..60 {
                let (x, y) = (high - golden * (high - low), low + golden * (high - low));
                if at(x) < at(y) {
                    high = y;
                } else {
                    low = x;
                }
            }
            at(0.5 * (low + high))
        })
        .fold(f64::INFINITY, f64::min)
}

/// Whether a point lies inside the shifted bore: on the inner side of the tangent at the
/// place of the bore that is nearest to it.
fn inside(bore: &Bore, p: Complex<f64>) -> bool {
    let n = 360;
    let step = std::f64::consts::TAU / f64::from(n);
    let (mut nearest, mut least) = (0.0, f64::INFINITY);
    for t in (0..n).map(|i| f64::from(i) * step) {
        let distance = (bore.shifted_m(t) - p).norm_sqr();
        if distance < least {
            (nearest, least) = (t, distance);
        }
    }
    let (mut low, mut high) = (nearest - step, nearest + step);
    // The nearest of 360 places, then where the point stands square to the bore.
    let ahead = |t: f64| ((p - bore.shifted_m(t)) * (bore.n(t) * Complex::i()).conj()).re;
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if ahead(middle) > 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    let t = 0.5 * (low + high);
    ((p - bore.shifted_m(t)) * bore.n(t).conj()).re <= TOUCH_M
}

/// Rounding only: places of up to 0.4 m have steps of 6e-17 m, and some thirty operations
/// stand between the parameters and a distance, so 1e-13 m leaves a margin of fifty. Against
/// a shop's micrometre it is nothing.
const TOUCH_M: f64 = 1e-13;

proptest! {
    #![proptest_config(ProptestConfig::with_cases(10_000))]

    /// Per case a parameter set, a place on the flank, a pose: at the pose of contact the
    /// place is the running gap from its bore, square to it; at any pose it is inside the
    /// bore and no nearer than the gap.
    #[test]
    fn it_touches_its_bores_and_crosses_none(
        e in 5.0..25.0f64, ratio in 4.05..14.0f64, shift in 0.0..0.3f64, gap in 0.0..1.0f64,
        v in 0.0..=FRAC_PI_3, near in any::<bool>(), turn in -1.0..1.0f64,
    ) {
        let flank = flank(e, ratio, shift, gap);
        let bore = Bore::of(flank.trochoid());
        let gap_m = flank.running_gap().to_m();
        let w = flank.w_m(v);
        let in_bore = |beta: f64| {
            Complex::cis(beta) * w + Complex::from_polar(flank.trochoid().e_m(), 3.0 * beta)
        };

        let contact = flank.contact_angle(Angle::rad(v)).unwrap().to_rad();
        for contact in [contact, contact + PI] {
            let p = in_bore(contact);
            let t = contact + 2.0 * v;
            let to_bore = bore.shifted_m(t) - p;
            prop_assert!((to_bore - bore.n(t) * gap_m).norm() < TOUCH_M);
            prop_assert!((distance_m(&bore, p) - gap_m).abs() < TOUCH_M);
        }

        // Poses near the contact, where a crossing would be, and anywhere.
        let beta = if near { contact + turn * turn * turn * 0.2 } else { turn * PI };
        let p = in_bore(beta);
        prop_assert!(distance_m(&bore, p) > gap_m - TOUCH_M);
        prop_assert!(inside(&bore, p));
    }
}
