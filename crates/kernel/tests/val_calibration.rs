//! A shop's calibration against a dense sum made with SciPy [SCIPY], which a Markov chain
//! confirms [EMCEE]: `reference/calibration`.

#![expect(clippy::unwrap_used, clippy::panic, reason = "in a test a panic is the report")]
#![expect(clippy::print_stdout, reason = "how near both come is a figure to be read")]

use kernel::calibration::{ASSUMED, BuildSeen, Contact, TiltTest, TipSeen, calibrate};
use kernel::readings::Face;
use kernel::speed::engine::{GapTable, HEATS, TILTS};

const CASE: &str = include_str!("../../../reference/calibration/case.csv");
const TEST: &str = include_str!("../../../reference/calibration/test.csv");
const VALUES: &str = include_str!("../../../reference/calibration/values.csv");

const UM: f64 = 1e-6;

/// Values from outside checked by this file. Only rises.
const FOREIGN_CASES: usize = 20;

/// Of a standard deviation: what the kernel lets a sum still move.
const SETTLED: f64 = 0.01;

/// Marks expected of a build of twelve tips.
const MARKS: f64 = 0.02;

fn rows(table: &str) -> Vec<Vec<&str>> {
    table.lines().skip(1).map(|line| line.split(',').collect()).collect()
}

fn figure(cell: &str) -> f64 {
    cell.parse().unwrap()
}

/// The builds: number, rotor, face, tip, contact, shared and own uncertainty in µm, three bounds.
fn builds() -> Vec<BuildSeen> {
    let mut builds: Vec<BuildSeen> = Vec::new();
    for row in rows(CASE) {
        let (build, rotor) = (figure(row[0]) as usize, figure(row[1]) as usize);
        if builds.len() < build {
            builds.push(BuildSeen { name: row[0].into(), shared_m: Vec::new(), tips: Vec::new() });
        }
        let into = &mut builds[build - 1];
        if into.shared_m.len() < rotor {
            into.shared_m.push(figure(row[5]) * UM);
        }
        let least = |tilt: f64, heat: f64| {
            let bounds = row[7..].chunks(3).map(|bound| {
                (figure(bound[0]) - tilt * figure(bound[1]) - heat * figure(bound[2])) * UM
            });
            bounds.fold(f64::INFINITY, f64::min)
        };
        into.tips.push(TipSeen {
            rotor: rotor - 1,
            face: if row[2] == "gear" { Face::Gear } else { Face::Plain },
            tip: figure(row[3]) as usize,
            gap: GapTable(TILTS.map(|tilt| HEATS.map(|heat| least(tilt, heat)))),
            own_m: figure(row[6]) * UM,
            contact: match row[4] {
                "none" => Contact::None,
                "light" => Contact::Light,
                "heavy" => Contact::Heavy,
                other => panic!("{other}"),
            },
        });
    }
    builds
}

#[test]
fn a_shop_as_scipy_sums_it() {
    let test = &rows(TEST)[0];
    let [predicted_m, moved_m, u_moved_m] = [0, 1, 2].map(|i| figure(test[i]) * UM);
    let test = TiltTest { predicted_m, moved_m: vec![moved_m], u_moved_m, u_shared_m: 0.0 };
    let builds = builds();
    let found = calibrate(&ASSUMED, &builds, &[test], &mut |_| true).unwrap();
    let left = found.leave_one_out(&mut |_| true).unwrap();
    let mut cases = 0;
    let mut near = |what: &str, got: f64, wanted: f64, within: f64| {
        cases += 1;
        println!("{what}: {got:.4} {wanted:.4}");
        assert!((got - wanted).abs() < within, "{what}: {got} is not {wanted} ± {within}");
    };
    let correlations = found.correlations();
    for row in rows(VALUES) {
        let numbers: Vec<f64> =
            row[1..].iter().filter(|c| !c.is_empty()).map(|c| figure(c)).collect();
        let words: Vec<&str> = row[0].split(' ').collect();
        match words[..] {
            [name @ ("tilt" | "heat" | "margin")] => {
                let marginal = match name {
                    "tilt" => found.tilt(),
                    "heat" => found.heat(),
                    _ => found.margin(),
                };
                let working = |value: f64| if name == "margin" { value / UM } else { value.ln() };
                let scale = if name == "margin" { UM } else { 1.0 };
                let sd = numbers[1];
                near(name, marginal.working_mean() / scale, numbers[0], SETTLED * sd);
                near(name, marginal.working_sd() / scale, sd, SETTLED * sd);
                near(name, working(marginal.low), numbers[2], 2.0 * SETTLED * sd);
                near(name, working(marginal.median), numbers[3], SETTLED * sd);
                near(name, working(marginal.high), numbers[4], 2.0 * SETTLED * sd);
            }
            ["correlation", i, j] => {
                let (i, j): (usize, usize) = (i.parse().unwrap(), j.parse().unwrap());
                near(row[0], correlations[i][j], numbers[0], SETTLED);
            }
            ["marks", "without", "build", build] => {
                let build: usize = build.parse().unwrap();
                near(row[0], left.builds[build - 1].without, numbers[0], MARKS);
            }
            _ => panic!("{row:?}"),
        }
    }
    assert_eq!(cases, FOREIGN_CASES);
}
