//! A shop's calibration: few builds, and a hundred.

#![expect(clippy::unwrap_used, reason = "in a bench a panic is the report")]

use divan::{Bencher, black_box};
use kernel::calibration::{ASSUMED, BuildSeen, Contact, TipSeen, calibrate};
use kernel::readings::Face;
use kernel::speed::engine::GapTable;

fn main() {
    divan::main();
}

const UM: f64 = 1e-6;

/// Builds of two rotors with all tips looked at, gaps and marks spread out without chance.
fn shop(builds: usize) -> Vec<BuildSeen> {
    let spread = |k: usize, parts: usize| ((k * 37) % parts) as f64 / parts as f64;
    (0..builds)
        .map(|build| {
            let hard = 0.7 + 0.7 * spread(build, 11);
            let tips = (0..12).map(|k| {
                let number = 12 * build + k;
                let none = (85.0 + 35.0 * spread(number, 41)) * UM;
                let (tilt, heat) = (hard * 50.0 * UM, hard * 25.0 * UM);
                // A shop that leans by a tenth more, with noise of 12 µm at most.
                let left = none - 1.1 * tilt - heat + (24.0 * spread(number, 53) - 12.0) * UM;
                TipSeen {
                    rotor: k / 6,
                    face: Face::BOTH[(k / 3) % 2],
                    tip: k % 3 + 1,
                    gap: GapTable::straight(none, tilt, heat),
                    own_m: 9.0 * UM,
                    contact: if left < -25.0 * UM {
                        Contact::Heavy
                    } else if left < 0.0 {
                        Contact::Light
                    } else {
                        Contact::None
                    },
                }
            });
            BuildSeen { name: build.to_string(), shared_m: vec![6.0 * UM; 2], tips: tips.collect() }
        })
        .collect()
}

#[divan::bench(args = [5, 20, 100], sample_count = 3, sample_size = 1)]
fn posterior(bencher: Bencher<'_, '_>, builds: usize) {
    let shop = shop(builds);
    bencher.bench(|| calibrate(&ASSUMED, black_box(&shop), &[], &mut |_| true).unwrap());
}

#[divan::bench(args = [5, 20, 100], sample_count = 3, sample_size = 1)]
fn with_every_build_left_out(bencher: Bencher<'_, '_>, builds: usize) {
    let shop = shop(builds);
    bencher.bench(|| {
        let found = calibrate(&ASSUMED, black_box(&shop), &[], &mut |_| true).unwrap();
        found.leave_one_out(&mut |_| true).unwrap()
    });
}
