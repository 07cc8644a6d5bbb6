//! Rotors measured after their cut: what is said of them is said of the measured faces, what was
//! planned is what the plan from before the cut really was, and limits count at each tip.

#![expect(clippy::unwrap_used, clippy::panic, reason = "in a test a panic is the report")]

use kernel::readings::Verdict;
use kernel::units::{Length, System};
use lobewright::build_file::read;
use lobewright::ops::{PlanReport, plan};

const ENGINE: &str = r#"format = 1
[build]
name = "Pump on the quay"
[engine]
rotors = COUNT
generating_radius = "101.5 mm"
eccentricity = "14.5 mm"
parallel_shift = "2.5 mm"
land_radius = "61 mm"
rotor_tip_radius = "99 mm"
rotor_material = "nodular iron"
housing_material = "cast aluminium"
[gauge.micrometer]
repeat = "1 um"
zero = "0 um"
[gauge.indicator]
repeat = "1 um"
[machine]
capability = "1 um"
least_cut = "0 um"
"#;

const PORT: &str = r#"[[side_housing]]
serial = "S-1"
land_wear = "0 um"
tip_wear = "0 um"
[side_housing.port.wide]
face = "rear"
radius_from = "50 mm"
radius_to = "74 mm"
angle_from = "0 deg"
angle_to = "60 deg"
[[side_housing]]
serial = "S-2"
land_wear = "0 um"
tip_wear = "0 um"
"#;

/// A spec with these tolerances and this land_cut_limit, in micrometres.
fn spec(clearance: u32, step: u32, land_cut_limit: u32) -> String {
    format!(
        "[spec]\nname = \"duty\"\n\
         side_clearance = {{ target = \"0.2 mm\", tolerance = \"{clearance} um\" }}\n\
         step = {{ target = \"130 um\", tolerance = \"{step} um\" }}\n\
         land_cut_limit = \"{land_cut_limit} um\"\ntip_cut_limit = \"0.25 mm\"\nmatch = \"12 um\"\n"
    )
}

/// A table of readings: land widths in millimetres, and one step for all tips in micrometres.
fn faces(table: &str, widths: [f64; 3], step: u32, more: &str) -> String {
    let widths = widths.map(|width| format!("\"{width} mm\"")).join(", ");
    let steps =
        [format!("\"{step} um\""), format!("\"{step} um\""), format!("\"{step} um\"")].join(", ");
    format!(
        "{table}\nland_width = [{widths}]\ngear_step = [{steps}]\nplain_step = [{steps}]\n{more}\n"
    )
}

fn rotor(serial: &str, widths: [f64; 3], step: u32, more: &str) -> String {
    let head = format!("[[rotor]]\nserial = \"{serial}\"\nmass = \"4000 g\"\ngear_face = \"rear\"");
    faces(&head, widths, step, more)
}

fn after(widths: [f64; 3], step: u32, more: &str) -> String {
    faces("[rotor.after]", widths, step, more)
}

fn planned(rotors: usize, parts: &[String]) -> PlanReport {
    let housings: String = (1..=rotors)
        .map(|k| {
            format!(
                "[[housing]]\nserial = \"H-{k}\"\nstate = \"clamped\"\nwidth = [\"80.000 mm\"]\n"
            )
        })
        .collect();
    let engine = ENGINE.replace("COUNT", &rotors.to_string());
    let text = format!("{engine}{housings}{}", parts.concat());
    let build = read(&text).unwrap_or_else(|problems| panic!("{}", problems.show(false)));
    plan(&build, System::Metric).unwrap()
}

/// A port takes support from a land, so that a rotor touches although every size is within the
/// spec: whatever the clearance's tolerance, it is cut again, and what was measured does not
/// conform.
#[test]
fn a_measured_rotor_that_touches_does_not_conform_and_is_cut_again() {
    for tolerance in [10, 15] {
        let parts = [
            PORT.to_owned(),
            rotor("P-1", [79.92; 3], 100, ""),
            after([79.8085; 3], 122, ""),
            spec(tolerance, 12, 70),
        ];
        let report = planned(1, &parts);
        let rotor = &report.rotors[0];
        assert!(report.feasible && !rotor.plan.cut.is_nothing(), "{:?}", report.limiting);
        assert_eq!(rotor.verdict, Verdict::DoesNotConform);
        assert!(rotor.land_touches_first, "after the second cut");
    }
}

/// A rotor that would be left as it is but touches, and has no stock to be cut: both are said.
#[test]
fn a_rotor_that_touches_and_cannot_be_cut_says_both() {
    let parts = [PORT.to_owned(), rotor("P-1", [79.8085; 3], 122, ""), spec(15, 12, 2)];
    let report = planned(1, &parts);
    let limits: Vec<&str> = report.limiting.iter().map(|limiting| limiting.limit).collect();
    assert!(!report.feasible);
    assert_eq!(limits[0], "room");
}

#[test]
fn a_limit_counts_both_cuts_of_each_tip_by_itself() {
    let run_out = |k: &str| format!("gear_runout = [{k}]");
    let parts = [
        rotor("P-1", [79.92; 3], 130, &run_out("\"20 um\", \"-10 um\", \"-10 um\"")),
        after([79.8, 79.82, 79.8], 130, &run_out("\"0 um\", \"20 um\", \"0 um\"")),
        spec(10, 12, 90),
    ];
    // Tip 1 lost 83.3 µm and is done; tip 2 lost 33.3 µm and loses 20 µm more.
    let report = planned(1, &parts);
    let cut = report.rotors[0].plan.cut.gear.land;
    assert!(report.feasible, "{:?}", report.limiting);
    assert!((cut[1] - Length::um(20.0)).abs() < Length::um(0.01) && cut[0] < Length::um(0.01));
}

#[test]
fn without_a_plan_before_there_is_nothing_to_be_off_from() {
    let run_out = "gear_runout = [\"20 um\", \"-10 um\", \"-10 um\"]";
    let level = "gear_runout = [\"0 um\", \"0 um\", \"0 um\"]";
    let parts =
        [rotor("P-1", [79.92; 3], 130, run_out), after([79.8; 3], 130, level), spec(10, 12, 70)];
    let measured = planned(1, &parts).rotors[0].measured.clone().unwrap();
    assert!(measured.planned.is_none() && measured.predicted.is_none());
}

/// B's first readings disagree, so it had no say in what A was planned to.
#[test]
fn a_rotor_that_could_not_be_read_had_no_say_in_the_plan_of_another() {
    let tips = "tip_width = [\"79.534 mm\", \"79.534 mm\", \"79.534 mm\"]";
    let parts = [
        rotor("A", [79.92; 3], 100, ""),
        after([79.8; 3], 130, ""),
        rotor("B", [79.788, 79.770, 79.788], 127, tips),
        spec(10, 12, 70),
    ];
    let report = planned(2, &parts);
    let planned = report.rotors[0].measured.clone().unwrap().planned.unwrap();
    assert!((planned.side_clearance - Length::um(200.0)).abs() < Length::um(1e-6));
    assert!(!report.rotors[1].planned);
}

/// A misread rotor has no clearance that could differ from the others'.
#[test]
fn a_misread_rotor_is_no_part_of_the_match() {
    let tips = "tip_width = [\"79.54 mm\", \"79.54 mm\", \"79.54 mm\"]";
    let cut = |serial: &str| rotor(serial, [79.92; 3], 100, "") + &after([79.8; 3], 130, "");
    let parts = [
        rotor("A", [79.92; 3], 100, ""),
        after([79.8, 79.8, 79.85], 130, tips),
        cut("B"),
        cut("C"),
        spec(10, 12, 70),
    ];
    let report = planned(3, &parts);
    assert!(!report.rotors[0].planned && report.rotors[1].planned && report.rotors[2].planned);
    assert_eq!(report.match_verdict, Verdict::Conforms);
    assert!(report.spread < Length::um(1e-6));
}

/// Of a set that is to be cut again, the match is that of the set when it is done.
#[test]
fn the_match_of_a_second_cut_is_that_of_its_plan() {
    let parts = [
        rotor("A", [79.92; 3], 100, "") + &after([79.8; 3], 130, ""),
        rotor("B", [79.92; 3], 100, "") + &after([79.83; 3], 130, ""),
        spec(10, 12, 70),
    ];
    let report = planned(2, &parts);
    assert!(report.feasible && !report.rotors[1].plan.cut.is_nothing());
    assert_eq!(report.rotors[1].verdict, Verdict::DoesNotConform);
    assert_eq!(report.match_verdict, Verdict::Conforms);
}

#[test]
fn metal_that_grew_is_asked_about() {
    let warned = |before: f64| {
        let parts =
            [rotor("P-1", [before; 3], 130, ""), after([79.8; 3], 130, ""), spec(10, 12, 70)];
        planned(1, &parts).rotors[0].warnings.iter().any(|text| text.contains("does not grow"))
    };
    assert!(warned(79.78) && !warned(79.8) && !warned(79.82));
}

/// A wide tolerance reaches below what the room needs; the machinist is not told to go there.
#[test]
fn a_step_is_held_above_what_is_needed_and_its_guard() {
    let parts = [rotor("P-1", [79.92; 3], 100, ""), spec(10, 40, 70)];
    let rotor = &planned(1, &parts).rotors[0];
    let guard = rotor.plan.sizes.iter().find(|size| size.face.is_some()).unwrap().guard;
    let least = rotor.plan.step_needed_hot + guard;
    assert!(least > Length::um(90.0) + guard);
    assert!((rotor.hold.step.least - least).abs() < Length::um(1e-6));
}
