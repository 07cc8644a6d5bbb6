//! What a calibration must do whatever the shop: truth is covered as often as the intervals say,
//! and laws that need no numbers from elsewhere.

#![expect(clippy::unwrap_used, reason = "in a test a panic is the report")]
#![expect(clippy::print_stdout, reason = "how well the intervals cover is a figure to be read")]

mod shop;

use kernel::calibration::{
    ASSUMED, BuildSeen, CalibrationError, Contact, Parameter, Posterior, TiltTest, TipSeen,
    calibrate,
};
use kernel::units::System;
use proptest::prelude::*;
use shop::{Draw, Truth};

fn posterior(builds: &[BuildSeen], tests: &[TiltTest]) -> Posterior {
    calibrate(&ASSUMED, builds, tests, &mut |_| true).unwrap()
}

/// Builds of two rotors.
fn builds(truth: &Truth, count: usize, draw: &mut Draw) -> Vec<BuildSeen> {
    (0..count).map(|k| truth.build(draw, 2, format!("B-{}", k + 1))).collect()
}

/// What a sum may still move, of a standard deviation.
const SETTLED: f64 = 1e-2;

/// Shops of the test that counts how often truth is covered.
const SHOPS: u64 = 200;

/// Spread of a share of [`SHOPS`], times three: one run in four hundred is out by chance, and with
/// these seeds it is not.
fn band(share: f64) -> f64 {
    3.0 * (share * (1.0 - share) / SHOPS as f64).sqrt()
}

/// Truth drawn from what is assumed, five to eight builds of one rotor each, a tilt
/// test in every other shop:
/// intervals of 50 and 90 % cover it as often as they say, and the share of the posterior below the
/// truth is even: χ² of ten bins below 21.67, which nine degrees of freedom pass in one case of a
/// hundred [COOK-GELMAN-RUBIN].
#[test]
fn intervals_cover_the_truth() {
    let mut ranks = [const { Vec::new() }; 3];
    for shop in 0..SHOPS {
        let mut draw = Draw(1000 + shop);
        let truth = Truth::drawn(&mut draw);
        let seen: Vec<BuildSeen> =
            (0..5 + shop % 4).map(|k| truth.build(&mut draw, 1, format!("B-{}", k + 1))).collect();
        let tests: Vec<TiltTest> = (0..shop % 2).map(|_| truth.test(&mut draw)).collect();
        let found = posterior(&seen, &tests);
        for (ranks, (parameter, value)) in ranks.iter_mut().zip([
            (Parameter::Tilt, truth.tilt),
            (Parameter::Heat, truth.heat),
            (Parameter::Margin, truth.margin_m),
        ]) {
            ranks.push(found.marginal(parameter).chance_below(value));
        }
    }
    for (ranks, parameter) in ranks.iter().zip(Parameter::ALL) {
        for share in [0.5, 0.9] {
            let (low, high) = (0.5 - 0.5 * share, 0.5 + 0.5 * share);
            let covered = ranks.iter().filter(|rank| (low..high).contains(*rank)).count();
            let got = covered as f64 / SHOPS as f64;
            println!("{parameter}: {share} covers {got:.3} ± {:.3}", band(share));
            assert!((got - share).abs() < band(share), "{parameter} {share}: {got}");
        }
        let mut bins = [0.0; 10];
        for rank in ranks {
            bins[((rank * 10.0) as usize).min(9)] += 1.0;
        }
        let expected = SHOPS as f64 / 10.0;
        let squares: f64 = bins.iter().map(|n: &f64| (n - expected).powi(2) / expected).sum();
        println!("{parameter}: χ² {squares:.1}, {bins:?}");
        assert!(squares < 21.67, "{parameter}: {squares} {bins:?}");
    }
}

/// Without data the posterior is what was assumed: normal distributions, to what the sum promises.
#[test]
fn without_data_nothing_moves() {
    let found = posterior(&[], &[]);
    for (parameter, sd) in Parameter::ALL.into_iter().zip([0.3, 0.25, 10e-6]) {
        let marginal = found.marginal(parameter);
        let off = marginal.working_mean().abs().max((marginal.working_sd() - sd).abs());
        assert!(off < 1e-4 * sd, "{parameter}: {off}");
        let end = match parameter {
            Parameter::Margin => marginal.high / sd,
            _ => marginal.high.ln() / sd,
        };
        assert!((end - 1.644_854).abs() < 1e-3, "{parameter}: {end}");
    }
    for row in found.correlations().iter().enumerate() {
        for (j, value) in row.1.iter().enumerate() {
            let wanted = if row.0 == j { 1.0 } else { 0.0 };
            assert!((value - wanted).abs() < 1e-4);
        }
    }
    for moved in found.moved() {
        assert!(!moved.says_something());
        assert!(moved.sentence(System::Metric).starts_with("Your builds have said nothing about"));
    }
}

/// A tilt test alone has a closed form: both spreads are normal in the logarithm.
#[test]
fn a_tilt_test_alone_is_a_weighted_mean() {
    let test =
        TiltTest { predicted_m: 50e-6, moved_m: vec![65e-6], u_moved_m: 1e-9, u_shared_m: 0.0 };
    let found = posterior(&[], &[test]);
    // 65 µm where 50 are predicted; weights 1/0.25² and 1/0.3², readings next to exact.
    let (weight, other) = (0.25f64.powi(-2), 0.3f64.powi(-2));
    let mean = 1.3f64.ln() * weight / (weight + other);
    let sd = (weight + other).sqrt().recip();
    let tilt = found.tilt();
    assert!((tilt.working_mean() - mean).abs() < 1e-3 * sd, "{tilt:?}");
    assert!((tilt.working_sd() - sd).abs() < 1e-3 * sd);
    assert!((tilt.median - mean.exp()).abs() < 1e-3 * sd);
    assert!((found.measured().unwrap().factor - 1.3).abs() < 1e-12);
    assert!(!found.moved()[1].says_something());
}

/// The order of a shop's builds makes no difference beyond rounding, the number of threads none.
#[test]
fn order_and_threads_make_no_difference() {
    let mut draw = Draw(3);
    let truth = Truth::drawn(&mut draw);
    let mut seen = builds(&truth, 3, &mut draw);
    let on = |threads: usize, seen: &[BuildSeen]| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        pool.install(|| posterior(seen, &[]))
    };
    let one = on(1, &seen);
    let left_out = one.leave_one_out(&mut |_| true).unwrap();
    for threads in [2, 5] {
        let many = on(threads, &seen);
        assert_eq!(many.moved(), one.moved());
        assert_eq!(many.points(), one.points());
        assert_eq!(many.leave_one_out(&mut |_| true).unwrap(), left_out);
    }
    seen.reverse();
    let turned = on(2, &seen);
    for (a, b) in one.moved().iter().zip(turned.moved()) {
        for (a, b) in a.now.iter().zip(b.now) {
            assert!((a - b).abs() < 1e-6 * b.abs().max(1e-6), "{a} {b}");
        }
    }
}

/// Once it is told to stop it stops, wherever that is.
#[test]
fn it_can_be_stopped() {
    let mut draw = Draw(4);
    let truth = Truth::drawn(&mut draw);
    let seen = builds(&truth, 3, &mut draw);
    let mut shares = Vec::new();
    calibrate(&ASSUMED, &seen, &[], &mut |share| {
        shares.push(share);
        true
    })
    .unwrap();
    assert!(shares.is_sorted() && shares.last() == Some(&1.0), "{shares:?}");
    for stop in [0.0, 0.1, 0.5] {
        let stopped = calibrate(&ASSUMED, &seen, &[], &mut |share| share < stop);
        assert_eq!(stopped.unwrap_err(), CalibrationError::Stopped);
    }
}

/// A build whose marks nothing explains is named, and named alone; so is one where nothing was seen
/// that the others would have seen.
#[test]
fn a_build_that_does_not_fit_is_named() {
    let usual = Truth { tilt: 1.1, heat: 1.0, margin_m: 2e-6, heavy_m: 25e-6, at_rest: 1.0 };
    let mut draw = Draw(5);
    let mut seen = builds(&usual, 8, &mut draw);
    let found = posterior(&seen, &[]).leave_one_out(&mut |_| true).unwrap();
    assert_eq!(found.odd().count(), 0, "{found:?}");
    let (marks, expected, sd) = found.marks();
    assert!((marks as f64 - expected).abs() < 3.0 * sd, "{marks} {expected} {sd}");
    for (tip, contact) in seen[3].tips.iter_mut().zip([Contact::Heavy, Contact::None].repeat(6)) {
        for gap in tip.gap.0.iter_mut().flatten() {
            *gap += if contact == Contact::Heavy { 80e-6 } else { -80e-6 };
        }
        tip.contact = contact;
    }
    let found = posterior(&seen, &[]).leave_one_out(&mut |_| true).unwrap();
    let named: Vec<&str> = found.odd().map(|build| build.name.as_str()).collect();
    assert_eq!(named, ["B-4"], "{found:?}");
    assert!(found.builds[3].as_odd < 0.001);
}

/// Leaving a build out on the one lattice of many builds is what calibrating without it is.
#[test]
fn left_out_is_calibrated_without() {
    let mut draw = Draw(6);
    let truth = Truth::drawn(&mut draw);
    let seen: Vec<BuildSeen> =
        (0..13).map(|k| truth.build(&mut draw, 1, format!("B-{}", k + 1))).collect();
    let tests = [truth.test(&mut draw)];
    let whole = posterior(&seen, &tests);
    let left_out = whole.leave_one_out(&mut |_| true).unwrap();
    let before = posterior(&[], &[]);
    for index in [0, 4, 12] {
        let left = &left_out.builds[index];
        let others: Vec<BuildSeen> =
            seen.iter().enumerate().filter(|(i, _)| *i != index).map(|(_, b)| b.clone()).collect();
        let marks = |posterior: &Posterior| {
            let of = |tip: &TipSeen| {
                posterior.predict(tip, seen[index].shared_m[tip.rotor]).unwrap().contact
            };
            seen[index].tips.iter().map(of).sum::<f64>()
        };
        for (got, by) in [
            (left.without, &posterior(&others, &tests)),
            (left.before, &before),
            (left.after, &whole),
        ] {
            assert!((got - marks(by)).abs() < 5e-3, "{got} {}", marks(by));
        }
        assert!(left.log_chance < 0.0 && left.seen <= left.tips && left.tips == 6);
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(8))]

    /// Whatever the builds, no mark anywhere never raises the scale of tilt, and heavy marks
    /// everywhere never lower it. And of a single tip, a heavy mark where there was none never
    /// lowers it. (One mark more among others may: it can tell more of what heavy is, or of what the
    /// rotor's tips share, than of the tilt.)
    #[test]
    fn more_contact_never_lowers_tilt(seed in 0_u64..100_000, which in 0_usize..24) {
        let mut draw = Draw(seed);
        let truth = Truth::drawn(&mut draw);
        let seen = builds(&truth, 2, &mut draw);
        let all = |contact: Contact| {
            let mut seen = seen.clone();
            for tip in seen.iter_mut().flat_map(|build| &mut build.tips) {
                tip.contact = contact;
            }
            posterior(&seen, &[])
        };
        let assumed = posterior(&[], &[]);
        let (none, heavy) = (all(Contact::None), all(Contact::Heavy));
        let within = SETTLED * assumed.tilt().sd;
        prop_assert!(none.tilt().median < assumed.tilt().median + within);
        prop_assert!(heavy.tilt().median > assumed.tilt().median - within);
        let one = |contact: Contact| {
            let mut build = seen[which / 12].clone();
            build.tips = vec![build.tips[which % 12].clone()];
            build.tips[0].contact = contact;
            posterior(&[build], &[])
        };
        let (none, heavy) = (one(Contact::None), one(Contact::Heavy));
        prop_assert!(none.tilt().median <= heavy.tilt().median + within);
    }
}
