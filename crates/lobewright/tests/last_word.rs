//! Builds in which something other than the plan's own closed forms has the last word: holes and
//! worn tracks of the walls, lands out of square, seals, readings from before a cut, temperatures.
//! Each was once planned to conform and is not.

#![expect(clippy::unwrap_used, clippy::panic, reason = "in a test a panic is the report")]

use kernel::plan::Limit;
use kernel::readings::Verdict;
use kernel::units::{Length, System};
use lobewright::build_file::read;
use lobewright::ops::{PlanReport, plan};

const EXAMPLE: &str = include_str!("../../../examples/sprint-boat.toml");
const HERON: &str = include_str!("../../../examples/heron-aircraft.toml");

/// The sprint boat's first rotor alone, without seals.
fn alone() -> String {
    let mut text = EXAMPLE.replace("rotors = 2", "rotors = 1");
    for (from, to) in [
        ("[[housing]]\nserial = \"H-32\"", "[[rotor]]                             #"),
        ("[[rotor]]\nserial = \"R-97\"", "[spec]"),
        ("[spec.seals]", ""),
    ] {
        let start = text.find(from).unwrap();
        let end = if to.is_empty() { text.len() } else { text[start..].find(to).unwrap() + start };
        text.replace_range(start..end, "");
    }
    text
}

fn with(text: &str, changes: &[(&str, &str)]) -> PlanReport {
    let mut text = text.to_owned();
    for (from, to) in changes {
        assert!(text.contains(from), "{from}");
        text = text.replacen(from, to, 1);
    }
    let build = read(&text).unwrap_or_else(|problems| panic!("{}", problems.show(false)));
    plan(&build, System::Metric).unwrap()
}

fn walls(rest: &str) -> String {
    let plate = |name: &str| format!("[[side_housing]]\nserial = \"{name}\"\n{rest}\n");
    format!("{}{}[[rotor]]", plate("S-1"), plate("S-2"))
}

fn limits(report: &PlanReport) -> Vec<&str> {
    report.limiting.iter().map(|limiting| limiting.limit).collect()
}

#[test]
fn alone_it_is_planned() {
    let report = with(&alone(), &[]);
    assert!(report.feasible && report.rotors[0].land_touches_first);
    assert_eq!(report.rotors[0].verdict, Verdict::Conforms);
}

#[test]
fn a_port_under_the_land_takes_its_support_and_the_plan_with_it() {
    let port = "land_wear = \"0 um\"\ntip_wear = \"0 um\"\n[side_housing.port.wide]\nface = \"FACE\"\n\
                radius_from = \"10 mm\"\nradius_to = \"80 mm\"\nangle_from = \"20 deg\"\n\
                angle_to = \"160 deg\"";
    let text = alone();
    let plates = walls(port).replacen("FACE", "rear", 1).replacen("FACE", "front", 1);
    let report = with(&text, &[("[[rotor]]", &plates)]);
    let rotor = &report.rotors[0];
    assert!(!report.feasible && !rotor.land_touches_first && !rotor.planned);
    assert_eq!(limits(&report), ["room"]);
    assert!(rotor.plan.cut.is_nothing());
    assert_eq!(rotor.verdict, Verdict::DoesNotConform);
}

#[test]
fn a_taper_on_tracks_that_are_worn_under_the_land_touches_at_its_root() {
    let worn = walls("land_wear = \"60 um\"\ntip_wear = \"0 um\"");
    let taper = "outside = \"taper\"\ntaper = { start = \"61 mm\", root = \"0 um\" }\n";
    let wide = "step           = { target = \"0.2 mm\", tolerance = \"20 um\" }";
    let changes = [
        ("[[rotor]]", worn.as_str()),
        ("step           = { target = \"5 thou\", tolerance = \"0.5 thou\" }", wide),
        ("tip_cut_limit  = \"0.25 mm\"", "tip_cut_limit  = \"0.9 mm\""),
        ("land_cut_limit", &format!("{taper}land_cut_limit")),
    ];
    let report = with(&alone(), &changes);
    assert!(!report.feasible);
    assert_eq!(report.rotors[0].plan.shortfalls[0].limit.key(), "room");
}

/// Exact size, full step, but both lands lean 40 µm against the bore, parallel to each other: the
/// land under a low tip and the one across the axis leave it too much tilt.
#[test]
fn lands_out_of_square_are_not_right_although_every_width_is() {
    let widths = ["79.788 mm"; 3].map(|w| format!("\"{w}\"")).join(", ");
    let finished = [
        (
            "land_width = [\"79.915 mm\", \"79.922 mm\", \"79.918 mm\"]",
            format!("land_width = [{widths}]"),
        ),
        (
            "gear_step  = [\"95 um\", \"88 um\", \"102 um\"]",
            "gear_step = [\"127 um\", \"127 um\", \"127 um\"]".to_owned(),
        ),
        (
            "plain_step = [\"105 um\", \"99 um\", \"93 um\"]",
            "plain_step = [\"127 um\", \"127 um\", \"127 um\"]".to_owned(),
        ),
        (
            "tip_width  = [\"79.715 mm\", \"79.735 mm\", \"79.723 mm\"]",
            "tip_width = [\"79.534 mm\", \"79.534 mm\", \"79.534 mm\"]".to_owned(),
        ),
        (
            "gear_runout  = [\"0 um\", \"6 um\", \"2 um\"]",
            "gear_runout = [\"-40 um\", \"20 um\", \"20 um\"]".to_owned(),
        ),
        (
            "plain_runout = [\"0 um\", \"1 um\", \"1 um\"]",
            "plain_runout = [\"40 um\", \"-20 um\", \"-20 um\"]".to_owned(),
        ),
    ];
    let changes: Vec<(&str, &str)> = finished.iter().map(|(a, b)| (*a, b.as_str())).collect();
    let report = with(&alone(), &changes);
    let rotor = &report.rotors[0];
    // (99/61 − 1) · 40 µm, 25 µm, more than a square rotor needs.
    let more = rotor.now.heights;
    assert!((more.gear.land[0] - more.plain.land[0]).abs() > Length::um(70.0));
    assert!(!rotor.plan.cut.is_nothing() || !report.feasible, "it was left as it is");
    // Square, the same sizes need nothing.
    let square: Vec<_> = changes[..4]
        .iter()
        .copied()
        .chain([
            (
                "gear_runout  = [\"0 um\", \"6 um\", \"2 um\"]",
                "gear_runout = [\"0 um\", \"0 um\", \"0 um\"]",
            ),
            (
                "plain_runout = [\"0 um\", \"1 um\", \"1 um\"]",
                "plain_runout = [\"0 um\", \"0 um\", \"0 um\"]",
            ),
        ])
        .collect();
    assert!(with(&alone(), &square).rotors[0].plan.cut.is_nothing());
}

#[test]
fn a_seal_too_low_for_its_groove_stops_the_plan_and_one_too_long_is_said() {
    let low = with(EXAMPLE, &[("height = \"8.0 mm\"", "height = \"2.6 mm\"")]);
    assert!(!low.feasible);
    assert!(limits(&low).contains(&"apex_engagement_least"), "{:?}", low.limiting);
    let long = with(EXAMPLE, &[("length = \"79.95 mm\"", "length = \"79.99 mm\"")]);
    assert!(long.feasible, "an apex seal is cut to length at assembly");
    let warned = long.rotors[0].warnings.iter().any(|w| w.contains("apex seal: end clearance"));
    assert!(warned, "{:?}", long.rotors[0].warnings);
}

/// Grooves are measured before the cut; what they lose to it is lost after it too.
#[test]
fn spring_room_after_a_cut_is_what_was_planned() {
    let planned = with(EXAMPLE, &[]);
    let after = "[rotor.after]\nland_width = [\"79.788 mm\", \"79.788 mm\", \"79.788 mm\"]\n\
                 gear_step = [\"127 um\", \"127 um\", \"127 um\"]\n\
                 plain_step = [\"127 um\", \"127 um\", \"127 um\"]\n[[rotor]]\nserial = \"R-97\"";
    let measured = with(EXAMPLE, &[("[[rotor]]\nserial = \"R-97\"", after)]);
    let of = |report: &PlanReport| {
        let lines = report.rotors[0].seals.iter();
        lines.map(|line| (line.seal, line.figure, line.value)).collect::<Vec<_>>()
    };
    for (a, b) in of(&planned).into_iter().zip(of(&measured)) {
        assert_eq!((a.0, a.1), (b.0, b.1));
        assert!((a.2 - b.2).abs() < Length::um(0.01), "{} {}: {:?} {:?}", a.0, a.1, a.2, b.2);
    }
}

#[test]
fn a_mass_without_a_scale_reading_is_predicted_from_the_first_cut() {
    let weighed = with(HERON, &[]);
    let unweighed = with(HERON, &[("mass = \"1475.9 g\"\n", "")]);
    let measured = weighed.rotors[0].measured.as_ref().unwrap();
    let predicted = measured.predicted.unwrap();
    assert!((predicted.to_g() - 1475.75).abs() < 0.01, "{predicted:?}");
    assert_eq!(weighed.rotors[0].mass.unwrap().to_g(), 1475.9);
    assert_eq!(unweighed.rotors[0].mass.unwrap(), predicted);
}

#[test]
fn readings_from_before_a_cut_that_disagree_are_not_compared_with() {
    // Tip widths before the cut, one of them 25 thou too wide.
    let tips = "gear_runout = [\"0 thou\", \"0.2 thou\", \"0.1 thou\"]\n\
                tip_width = [\"2.1152 in\", \"2.1154 in\", \"2.1404 in\"]\n";
    let report = with(HERON, &[("gear_runout = [\"0 thou\", \"0.2 thou\", \"0.1 thou\"]\n", tips)]);
    let rotor = &report.rotors[0];
    assert!(rotor.measured.as_ref().unwrap().planned.is_none());
    assert!(rotor.warnings.iter().any(|w| w.contains("before the cut disagree")));
    assert_eq!(rotor.verdict, Verdict::Conforms, "what was measured after it stands");
}

/// 80 mm · 21.5e-6 · 5 K = 8.6 µm in every clearance of that housing.
#[test]
fn a_temperature_that_is_badly_known_widens_the_guard() {
    let state = "state = \"clamped\"";
    let unsure = format!("{state}\ntemperature = \"20 degC\"\ntemperature_u = \"5 K\"");
    let report = with(&alone(), &[(state, &unsure)]);
    let guard = report.rotors[0].plan.sizes[0].guard.to_um();
    let expected = 1.65 * (2.5f64.powi(2) + 4.0 + (80_008.0 * 21.5e-6 * 5.0f64).powi(2)).sqrt();
    assert!((guard - expected).abs() < 1e-6, "{guard} {expected}");
}

#[test]
fn a_match_narrower_than_its_guard_is_not_proven_by_equal_plans() {
    let report = with(EXAMPLE, &[("match          = \"8 um\"", "match = \"5 um\"")]);
    assert!(report.feasible && report.spread < Length::um(1e-6));
    assert_eq!(report.match_verdict, Verdict::NotProven);
}

#[test]
fn a_step_above_what_the_room_needs_by_less_than_its_guard_is_not_proven() {
    // 0.235 mm of clearance needs about 120.6 µm; 127 is above it by less than 7.65.
    let report = with(&alone(), &[("target = \"0.22 mm\"", "target = \"0.235 mm\"")]);
    let rotor = &report.rotors[0];
    let above = Length::um(127.0) - rotor.plan.step_needed_hot;
    assert!(above > Length::ZERO && above < Length::um(7.65), "{above:?}");
    assert_eq!(rotor.verdict, Verdict::NotProven);
    assert!(report.feasible, "it is planned, and said not to be proven");
}

#[test]
fn without_any_plan_there_is_no_method() {
    let report =
        with(&alone(), &[("land_cut_limit = \"0.15 mm\"", "land_cut_limit = \"0.01 mm\"")]);
    assert!(!report.feasible && report.method.is_none());
    assert_eq!(report.rotors[0].plan.shortfalls[0].limit, Limit::LandCutLimit);
}
