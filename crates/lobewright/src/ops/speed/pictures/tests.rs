//! Every picture of two builds at speed is read back: one with its shaft in the file, one whose
//! shaft is assumed.

use super::super::super::{
    Picture, PlanReport, SpeedAsked, SpeedCall, SpeedReport, Watch, plan, speed,
};
use super::speed_pictures;
use crate::build_file::read;
use kernel::speed::engine::TURN_DEG;
use kernel::units::{Speed, System};
use std::collections::HashSet;
use std::sync::LazyLock;

struct Build {
    report: SpeedReport,
    planned: PlanReport,
    pictures: Vec<Picture>,
}

impl Build {
    fn at_speed(text: &str) -> Self {
        let build = read(text).unwrap_or_else(|problems| unreachable!("{problems:?}"));
        let planned = plan(&build, System::Metric).unwrap();
        let asked = SpeedAsked { call: SpeedCall::default(), draws: 16, seed: 1, speeds: 3 };
        let mut watch = Watch { drawn: &mut |_| {}, swept: &|| {}, go_on: &|| true };
        let report = speed(&build, &planned, &asked, System::Metric, &mut watch).unwrap();
        let pictures = speed_pictures(&report, &planned, System::Metric);
        Self { report, planned, pictures }
    }

    /// The sprint boat, then the hydroplane: computed once for all tests.
    fn both() -> &'static [Self; 2] {
        static BOTH: LazyLock<[Build; 2]> = LazyLock::new(|| {
            [
                Build::at_speed(include_str!("../../../../../../examples/sprint-boat.toml")),
                Build::at_speed(include_str!(
                    "../../../../../../examples/shelduck-hydroplane.toml"
                )),
            ]
        });
        &BOTH
    }

    /// The table of the picture whose name ends like this, row by row.
    fn table(&self, ends: &str) -> Vec<Vec<String>> {
        let found: Vec<_> = self.pictures.iter().filter(|p| p.name.ends_with(ends)).collect();
        assert_eq!(found.len(), 1, "{ends}");
        found[0].csv.lines().map(cells).collect()
    }

    /// Names of its rotors' pictures.
    fn stems(&self) -> Vec<String> {
        self.report.rotors.iter().zip(1..).map(|(r, n)| format!("{n}-{}", r.serial)).collect()
    }
}

/// Cells of a line; in quotes a comma is no end.
fn cells(line: &str) -> Vec<String> {
    let mut all = vec![String::new()];
    let mut quoted = false;
    for sign in line.chars() {
        match sign {
            '"' => quoted = !quoted,
            ',' if !quoted => all.push(String::new()),
            other => all.last_mut().unwrap().push(other),
        }
    }
    all
}

fn number(cell: &str) -> f64 {
    cell.parse().unwrap_or_else(|_| unreachable!("{cell:?} is no number"))
}

fn near(found: f64, wanted: f64, within: f64) {
    assert!((found - wanted).abs() <= within, "{found} is not {wanted} within {within}");
}

#[test]
fn every_picture_is_a_drawing_of_its_own_name() {
    for build in Build::both() {
        assert_eq!(build.pictures.len(), 2 + 4 * build.report.rotors.len());
        let names: HashSet<_> = build.pictures.iter().map(|p| p.name.as_str()).collect();
        assert_eq!(names.len(), build.pictures.len());
        for picture in &build.pictures {
            let drawing = roxmltree::Document::parse(&picture.svg).unwrap();
            let id = drawing.root_element().attribute("id").unwrap();
            assert!(id == picture.name || id == format!("d-{}", picture.name), "{id}");
            assert!(!picture.svg.contains("NaN") && !picture.csv.contains("NaN"));
            assert!(picture.csv.lines().count() > 3, "{}", picture.name);
            let assumed = picture.svg.contains("Shaft assumed from");
            assert_eq!(assumed, build.report.assumed_shaft, "{}", picture.name);
        }
    }
}

#[test]
fn gap_against_speed_has_the_reports_figures() {
    for build in Build::both() {
        let table = build.table("speed-gap");
        let asked = build.report.rpm();
        for (index, rotor) in build.report.rotors.iter().enumerate() {
            let at = |what: &str, rpm: f64| -> Vec<String> {
                let rows: Vec<_> = table
                    .iter()
                    .filter(|row| row[0] == what && row[1] == rotor.serial)
                    .filter(|row| (number(&row[2]) - rpm).abs() < 0.06)
                    .collect();
                assert_eq!(rows.len(), 1, "{what} at {rpm}");
                rows[0].clone()
            };
            let chance = rotor.chance.unwrap();
            let worst = at("least gap at worst float", asked);
            near(number(&worst[3]), 1e6 * rotor.gaps.least().unwrap().2.worst_float_m, 0.051);
            near(number(&worst[5]), 100.0 * chance.contact.value, 1e-3);
            let low = at("least gap at worst float, low", asked);
            near(number(&low[3]), 1e6 * chance.band_m[0], 0.051);
            let high = at("least gap at worst float, high", asked);
            near(number(&high[3]), 1e6 * chance.band_m[2], 0.051);
            for point in &build.report.sweep {
                let row = at(
                    "least gap at worst float",
                    Speed::rad_per_s(point.running.omega_rad_s).to_rpm(),
                );
                let least = point.gaps[index].least().unwrap().2;
                near(number(&row[3]), 1e6 * least.worst_float_m, 0.051);
            }
        }
    }
}

#[test]
fn critical_speeds_are_shown_up_to_half_above_the_duty() {
    let [_, build] = Build::both();
    let mut report = build.report.clone();
    let duty_rad_s = Speed::rpm(9200.0).to_rad_per_s();
    report.critical_rad_s = [vec![1.49 * duty_rad_s, 1.51 * duty_rad_s], vec![0.4 * duty_rad_s]];
    let model = super::speed_gap(&report, &build.planned);
    let names: Vec<&str> = model.critical.iter().map(|c| c.name.as_str()).collect();
    assert_eq!(names, ["forward 1", "backward 1"]);
    near(model.critical[1].speed.to_rpm(), 0.4 * 9200.0, 1e-6);
}

#[test]
fn a_budget_ends_at_the_least_gap() {
    for build in Build::both() {
        for (stem, rotor) in build.stems().iter().zip(&build.report.rotors) {
            let table = build.table(&format!("{stem}-tip-budget"));
            let budget = rotor.budget.as_ref().unwrap();
            assert_eq!(table.len(), 1 + 1 + budget.causes.len() + 1, "{table:?}");
            let changes: f64 = table[2..table.len() - 1].iter().map(|row| number(&row[4])).sum();
            let (start, least) = (number(&table[1][6]), number(&table.last().unwrap()[6]));
            near(start + changes, least, 0.05 * table.len() as f64);
            near(least, 1e6 * rotor.gaps.least().unwrap().2.worst_float_m, 0.051);
            for (row, (cause, gap)) in table[2..].iter().zip(&budget.causes) {
                assert_eq!(row[0], cause.name());
                near(number(&row[6]), 1e6 * gap.worst_float_m, 0.051);
            }
            assert_eq!(number(&table[1][3]) as usize, budget.tip + 1);
            assert_eq!(table[1][2], rotor.faces[budget.side].name());
        }
    }
}

#[test]
fn a_path_is_the_motions_own_and_stays_in_the_room_of_its_place() {
    for build in Build::both() {
        let engine = &build.report.engine;
        let cycle = &build.report.point.poses.real().cycle;
        for (index, stem) in build.stems().iter().enumerate() {
            let table = build.table(&format!("{stem}-tilt-path"));
            let path: Vec<_> = table.iter().filter(|row| row[0] == "path").collect();
            assert_eq!(path.len(), 1080);
            let model = &engine.model().rotors[index];
            for (degree, row) in path.iter().enumerate() {
                let lean = cycle.rotors[index][degree].lean;
                near(number(&row[3]), 1e3 * lean[0], 1e-5);
                near(number(&row[4]), 1e3 * lean[1], 1e-5);
                let tilt = lean[0].hypot(lean[1]);
                let limit = model
                    .room
                    .lean_limit(
                        &engine.sizes()[index],
                        degree + model.throw_deg,
                        lean.map(|part| part / tilt),
                    )
                    .unwrap();
                assert!(tilt <= limit.jam_rad.unwrap() + 1e-8, "{degree}: {tilt} {limit:?}");
            }
            let jams: Vec<_> = table.iter().filter(|row| row[0] == "both lands touch").collect();
            assert_eq!(jams.len(), 72);
            let least = table.last().unwrap();
            let (_, _, gap) = build.report.rotors[index].gaps.least().unwrap();
            assert_eq!((least[0].as_str(), number(&least[2]) as usize), ("least gap", gap.at));
            near(number(&least[5]), 1e6 * gap.worst_float_m, 0.051);
        }
    }
}

#[test]
fn wear_on_both_walls_is_all_of_it() {
    for build in Build::both() {
        for (index, stem) in build.stems().iter().enumerate() {
            let marks = &build.report.point.poses.real().wear[index];
            assert!(!marks.is_empty());
            let whole: f64 = marks.iter().map(|mark| mark.rubbed_n_m).sum();
            let mut both = 0.0;
            for (side, wall) in ["rear", "front"].into_iter().enumerate() {
                let table = build.table(&format!("{stem}-wear-{wall}"));
                let rubs: Vec<_> = table.iter().filter(|row| row[0].ends_with(" rubs")).collect();
                assert!(rubs.len() < 400, "{}", rubs.len());
                let share: f64 = rubs.iter().map(|row| number(&row[6])).sum();
                let here = marks.iter().filter(|mark| mark.side == side);
                let here: f64 = here.map(|mark| mark.rubbed_n_m).sum();
                near(share, 100.0 * here / whole, 0.01);
                both += share;
                // What rubs is inside the bore.
                let reach = |row: &Vec<String>| number(&row[3]).hypot(number(&row[4]));
                let bore = table.iter().filter(|row| row[0] == "bore").map(reach);
                let farthest = bore.fold(0.0, f64::max);
                assert!(rubs.iter().all(|row| reach(row) < farthest));
            }
            near(both, 100.0, 0.02);
        }
    }
}

/// The shaft's line comes from its response; the slopes that tilt the rotors were put together
/// cause by cause. Both are the same shaft.
#[test]
fn journals_slope_as_the_causes_together_say() {
    for build in Build::both() {
        let table = build.table("shaft-line");
        let drawn = table
            .iter()
            .filter(|row| row[0] == "rotor")
            .map(|row| number(&row[8]).hypot(number(&row[9])))
            .fold(0.0, f64::max);
        let steepest = build
            .report
            .point
            .loads
            .rotors
            .iter()
            .flat_map(|on| {
                (0..TURN_DEG).map(|degree| {
                    let sum = |axis: usize| {
                        on.slope_inertia[degree][axis]
                            + on.slope_gas[degree][axis]
                            + on.slope_mesh[degree][axis]
                    };
                    1e3 * sum(0).hypot(sum(1))
                })
            })
            .fold(0.0, f64::max);
        near(drawn, steepest, 1e-3 * steepest);
        let axis: Vec<_> = table.iter().filter(|row| row[0] == "axis").collect();
        // A free end carries nothing; the whole line is not above the peak of the turn.
        let most_mpa = build.report.peaks.stress.section.stress_pa / 1e6;
        assert!(number(&axis[0][10]) < 1e-3 * most_mpa);
        assert!(axis.iter().all(|row| number(&row[10]) < 1.05 * most_mpa));
        assert_eq!(table.iter().filter(|row| row[0] == "mass").count(), 3);
    }
}
