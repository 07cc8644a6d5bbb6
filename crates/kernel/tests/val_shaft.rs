//! The turning shaft against others: ROSS ([ROSS], frozen in `reference/shaft/ross.csv`) and the
//! beam's differential equations solved without elements ([SCIPY], `reference/shaft/values.csv`),
//! for the invented shafts of `reference/shaft/shafts.csv`.

#![expect(clippy::unwrap_used, clippy::panic, reason = "in a test a panic is the report")]

use kernel::speed::shaft::{
    Disc, Flexibility, Harmonics, Load, Mesh, Rates, Response, Sense, Shaft, ShaftModel, Stretch,
    Support, Theory, Unbalance,
};
use nalgebra::Complex;
use std::collections::BTreeMap;

const SHAFTS: &str = include_str!("../../../reference/shaft/shafts.csv");
const ROSS: &str = include_str!("../../../reference/shaft/ross.csv");
const VALUES: &str = include_str!("../../../reference/shaft/values.csv");

/// Foreign values; they only rise in number.
const ROSS_ROWS: usize = 822;
const VALUES_ROWS: usize = 1680;

/// Elements of a quarter diameter miss this of the highest whirl here, as their constant says.
const WHIRLS_WITHIN: f64 = 5e-5;
/// Of the library's values: both are finite elements of the same theory, its are finer.
const ROSS_WITHIN: f64 = 1e-4;
/// The same half a per cent off a critical speed without damping: what both differ in the critical
/// speed, some 3e-6, is magnified by the distance to it.
const NEAR_WITHIN: f64 = 1e-3;
/// Of the largest value of a kind in a case: inertia that elements miss between their nodes, and
/// the last printed digit.
const EQUATIONS_WITHIN: f64 = 3e-6;

fn lines(text: &'static str) -> impl Iterator<Item = Vec<&'static str>> {
    text.lines().skip(1).map(|line| line.split(',').collect())
}

fn numbers(text: &str) -> Vec<f64> {
    text.split(' ').map(|word| word.parse().unwrap()).collect()
}

struct Case {
    model: ShaftModel,
    loads: Vec<Load>,
}

fn square(v: &[f64]) -> [[f64; 2]; 2] {
    [[v[0], v[1]], [v[2], v[3]]]
}

fn case(name: &str) -> Case {
    let mut model = ShaftModel {
        stretches: vec![],
        discs: vec![],
        unbalances: vec![],
        supports: vec![],
        stations_m: vec![],
        theory: Theory::Timoshenko,
        mesh: Mesh::Fine,
    };
    let mut loads = Vec::new();
    for row in lines(SHAFTS).filter(|row| row[0] == name) {
        let v = numbers(row[2]);
        match row[1] {
            "stretch" => model.stretches.push(Stretch {
                length_m: v[0],
                outer_m: v[1],
                inner_m: v[2],
                young_pa: v[3],
                poisson: v[4],
                density_kg_m3: v[5],
            }),
            "disc" => model.discs.push(Disc {
                at_m: v[0],
                mass_kg: v[1],
                polar_kg_m2: v[2],
                diametral_kg_m2: v[3],
            }),
            "unbalance" => {
                model.unbalances.push(Unbalance { at_m: v[0], amount_kg_m: v[1], angle_rad: v[2] })
            }
            "support" => model.supports.push(Support {
                at_m: v[0],
                rates: Rates {
                    stiffness_n_per_m: square(&v[1..]),
                    damping_n_s_per_m: square(&v[5..]),
                    moment_stiffness_n_m_per_rad: square(&v[9..]),
                    moment_damping_n_m_s_per_rad: square(&v[13..]),
                },
            }),
            "station" => model.stations_m.push(v[0]),
            "load" => loads.push(Load {
                station: v[0] as usize,
                force_n: Harmonics::single(v[1] as isize, Complex::new(v[2], v[3])),
                moment_n_m: Harmonics::single(v[1] as isize, Complex::new(v[4], v[5])),
            }),
            other => panic!("{other}"),
        }
    }
    Case { model, loads }
}

fn value(row: &[&str]) -> Complex<f64> {
    Complex::new(row[5].parse().unwrap(), row[6].parse().unwrap())
}

/// Motion at a place: deflection and slope in one harmonic.
fn motion(shaft: &Shaft, response: &Response, at: &str, n: isize) -> [Complex<f64>; 2] {
    let at_m: f64 = at.parse().unwrap();
    let node = shaft.nodes_m().iter().position(|node_m| (node_m - at_m).abs() < 1e-9).unwrap();
    let motion = response.node(node).unwrap();
    [motion.deflection_m.of(n), motion.slope_rad.of(n)]
}

#[test]
fn whirls_agree_with_ross_and_with_the_equations() {
    let mut compared = 0;
    for (name, text) in [("two", ROSS), ("two", VALUES), ("uneven", ROSS)] {
        let shaft = Shaft::new(case(name).model).unwrap();
        for row in lines(text).filter(|row| row[0] == name) {
            let Some((kind, sense)) = row[2].split_once('_') else { continue };
            if kind != "critical" && kind != "natural" {
                continue;
            }
            let found = if kind == "critical" {
                shaft.critical_speeds().unwrap()
            } else {
                shaft.natural_frequencies(row[1].parse().unwrap()).unwrap()
            };
            let forward =
                if sense.starts_with("forward") { Sense::Forward } else { Sense::Backward };
            let place = row[4].parse::<usize>().unwrap() - 1;
            // The equations' roots are numbered for each sense, the library's together.
            let got = if text == ROSS {
                // Of an almost straight swing each side measures the sense in its own way.
                if found[place].forwardness.abs() > 0.1 {
                    assert_eq!(found[place].sense, forward, "{row:?}");
                }
                found[place]
            } else {
                *found.iter().filter(|whirl| whirl.sense == forward).nth(place).unwrap()
            };
            let wanted = value(&row).re;
            let off = got.omega_rad_s / wanted - 1.0;
            assert!(off.abs() < WHIRLS_WITHIN, "{row:?}: {}, off by {off}", got.omega_rad_s);
            compared += 1;
        }
    }
    assert_eq!(compared, 24 + 8 + 24);
}

/// Amplitude and phase at every named place, to a share of the largest of its kind in the case.
#[test]
fn response_agrees_with_ross() {
    assert_eq!(lines(ROSS).count(), ROSS_ROWS);
    let mut groups: BTreeMap<[&str; 3], Vec<Vec<&str>>> = BTreeMap::new();
    for row in lines(ROSS) {
        if row[2].starts_with("unbalance") || row[2].starts_with("harmonic") {
            groups.entry([row[0], row[1], row[2]]).or_default().push(row);
        }
    }
    let (mut compared, mut worst) = (0, 0.0_f64);
    for ([name, omega, kind], rows) in groups {
        let mut case = case(name);
        if kind.starts_with("unbalance") {
            case.loads.clear();
        } else {
            case.model.unbalances.clear();
        }
        let shaft = Shaft::new(case.model).unwrap();
        let response = shaft.respond(omega.parse().unwrap(), &case.loads).unwrap();
        let largest = rows.iter().map(|row| value(row).norm()).fold(0.0, f64::max);
        for row in rows {
            let at = motion(&shaft, &response, row[3], row[4].parse().unwrap());
            let got = at[usize::from(kind.ends_with("urad"))] * 1e6;
            let off = (got - value(&row)).norm() / largest;
            let near = name == "uneven" && omega == "3290";
            let within = if near { NEAR_WITHIN } else { ROSS_WITHIN };
            assert!(off < within, "{row:?}: {got}, off by {off}");
            worst = worst.max(off);
            compared += 1;
        }
    }
    assert_eq!(compared, ROSS_ROWS - 30 - 48);
    // Else the tolerance would say nothing.
    assert!(worst > ROSS_WITHIN * 1e-3);
}

/// One value of this side for a row of the other side.
struct Answer {
    shaft: Shaft,
    response: Response,
    flexibility: Flexibility,
}

impl Answer {
    fn new(name: &str, omega: &str) -> Self {
        let case = case(name);
        let shaft = Shaft::new(case.model).unwrap();
        let response = shaft.respond(omega.parse().unwrap(), &case.loads).unwrap();
        Self { flexibility: shaft.flexibility().unwrap(), response, shaft }
    }

    fn section(&self, row: &[&str], behind: bool) -> [Complex<f64>; 2] {
        let (at_m, degrees): (f64, f64) = (row[3].parse().unwrap(), row[4].parse().unwrap());
        let forces = self.response.section_forces(degrees.to_radians());
        let here: Vec<_> = forces.iter().filter(|s| (s.at_m - at_m).abs() < 1e-9).collect();
        assert_eq!(here.len(), 2);
        let section = here[usize::from(behind)];
        [section.moment_n_m, section.shear_n]
    }

    fn reaction(&self, row: &[&str]) -> [Complex<f64>; 2] {
        let at_m: f64 = row[3].parse().unwrap();
        let supports: Vec<f64> = lines(SHAFTS)
            .filter(|line| line[0] == row[0] && line[1] == "support")
            .map(|line| numbers(line[2])[0])
            .collect();
        let which = supports.iter().position(|s| (s - at_m).abs() < 1e-9).unwrap();
        let reaction = &self.response.reactions()[which];
        let n = row[4].parse().unwrap();
        [reaction.force_n.of(n), reaction.moment_n_m.of(n)]
    }

    fn yields(&self, row: &[&str]) -> Complex<f64> {
        let (station, axis) = row[3].split_once('.').unwrap_or((row[3], "0"));
        let column = 2 * station.parse::<usize>().unwrap() + axis.parse::<usize>().unwrap();
        let line = 2 * row[4].parse::<usize>().unwrap();
        let matrix = match row[2] {
            "nm_per_force" => &self.flexibility.deflection_per_force,
            "nm_per_moment" => &self.flexibility.deflection_per_moment,
            "nrad_per_force" => &self.flexibility.slope_per_force,
            _ => &self.flexibility.slope_per_moment,
        };
        Complex::new(matrix[(line, column)], matrix[(line + 1, column)]) * 1e9
    }

    fn of(&self, row: &[&str]) -> Complex<f64> {
        match row[2] {
            "deflection_um" => self.at(row, 0),
            "slope_urad" => self.at(row, 1),
            "shaft_slope_urad" => {
                let at_m: f64 = row[3].parse().unwrap();
                let nodes = self.shaft.nodes_m();
                let node = nodes.iter().position(|n| (n - at_m).abs() < 1e-9).unwrap();
                let theta = row[4].parse::<f64>().unwrap().to_radians();
                self.response.node(node).unwrap().slope_rad.in_shaft(theta) * 1e6
            }
            "reaction_n" => self.reaction(row)[0],
            "reaction_n_m" => self.reaction(row)[1],
            "moment_before_n_m" => self.section(row, false)[0],
            "moment_behind_n_m" => self.section(row, true)[0],
            "shear_before_n" => self.section(row, false)[1],
            "shear_behind_n" => self.section(row, true)[1],
            _ => self.yields(row),
        }
    }

    fn at(&self, row: &[&str], which: usize) -> Complex<f64> {
        motion(&self.shaft, &self.response, row[3], row[4].parse().unwrap())[which] * 1e6
    }
}

/// Harmonics of motion and reactions, moments and shear at several angles, slopes in the shaft's
/// frame, flexibility: shafts with two and three main bearings, isotropic, cross-coupled and with
/// moment stiffness, at rest and at two speeds.
#[test]
fn multi_harmonic_response_agrees_with_the_differential_equations() {
    let mut groups: BTreeMap<[&str; 2], Vec<Vec<&str>>> = BTreeMap::new();
    for row in lines(VALUES) {
        if !row[2].starts_with("critical") {
            groups.entry([row[0], row[1]]).or_default().push(row);
        }
    }
    assert_eq!(groups.len(), 12);
    let (mut compared, mut worst) = (0, BTreeMap::<&str, f64>::new());
    for ([name, omega], rows) in groups {
        let answer = Answer::new(name, omega);
        let mut largest = BTreeMap::<&str, f64>::new();
        for row in &rows {
            let most = largest.entry(row[2]).or_default();
            *most = most.max(value(row).norm());
        }
        for row in &rows {
            let got = answer.of(row);
            let off = (got - value(row)).norm();
            let scale = largest[row[2]];
            assert!(off <= EQUATIONS_WITHIN * scale, "{row:?}: {got}, off by {off} of {scale}");
            let most = worst.entry(row[2]).or_default();
            *most = most.max(off / scale.max(f64::MIN_POSITIVE));
            compared += 1;
        }
    }
    assert_eq!(compared, VALUES_ROWS);
    assert!(worst.values().any(|off| *off > EQUATIONS_WITHIN * 1e-2), "{worst:?}");
}
