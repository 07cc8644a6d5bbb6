//! Reading, writing and amending together, and texts of bad shape and great size.

mod assembly;
mod balance;
mod machine_tool;
mod speed;
mod stock;

use super::generate::any_build;
use super::model::{Clamping, Way, Wear};
use super::{AmendError, MOST_BYTES, MOST_LISTED, amend, amend_all, read, write};
use kernel::units::{GaugePressure, Length, Mass, Quantity, Speed, TemperatureDifference};
use proptest::prelude::*;

const EXAMPLE: &str = include_str!("../../../../examples/sprint-boat.toml");

fn mm(text: &str) -> Length {
    Length::parse(text).unwrap()
}

#[test]
fn the_example_is_what_it_says() {
    let build = read(EXAMPLE).unwrap_or_else(|problems| panic!("{}", problems.show(false)));
    assert_eq!(build.name, "Merganser, boat 7");
    assert_eq!(build.duty.speed, Some(Speed::parse("9800 rpm").unwrap()));
    assert_eq!(build.duty.boost, Some(GaugePressure::bar(0.9)));
    assert_eq!(build.duty.heat.soak.unwrap().hot_arc, TemperatureDifference::k(5.0));
    assert_eq!(build.engine.generating_radius, mm("101.5 mm"));
    assert_eq!(build.engine.reading_radius, None);
    assert_eq!(build.gauges["micrometer"].zero, Some(mm("1 um")));
    assert_eq!(build.gauges["indicator"].zero, None);
    assert_eq!(build.housings.len(), 2);
    assert_eq!(build.housings[0].state, Clamping::Clamped);
    assert_eq!(build.housings[0].width[1], mm("80.014 mm"));
    let rotor = &build.rotors[0];
    assert_eq!((rotor.serial.as_str(), rotor.gear_face), ("R-114", Way::Rear));
    assert_eq!(rotor.readings.mass, Some(Mass::g(4312.0)));
    assert_eq!(rotor.readings.land_width[1], mm("79.922 mm"));
    assert_eq!(rotor.readings.gear_step[2], mm("102 um"));
    assert_eq!(rotor.readings.gear_runout.unwrap()[1], mm("6 um"));
    assert_eq!(build.rotors[1].readings.tip_width, None);
    assert_eq!(build.spec.step.target, mm("0.127 mm"));
    assert_eq!(build.spec.step.tolerance, mm("0.0127 mm"));
    assert_eq!(build.spec.match_within, Some(mm("8 um")));
    assert_eq!(build.seals.apex.unwrap().length, mm("79.95 mm"));
}

#[test]
fn several_problems_come_in_one_pass_in_the_order_of_the_file() {
    let text = EXAMPLE
        .replace("\"79.922 mm\"", "79.922")
        .replace("mass = \"4312 g\"", "mass = 4312 g")
        .replace("repeat = \"3 um\"", "repeat = \"3 mil\"")
        .replace("tip_cut_limit ", "tip_cut_limt ");
    let problems = read(&text).unwrap_err();
    let at: Vec<_> = problems.list().iter().map(|p| (p.line, p.column, p.place.as_str())).collect();
    assert_eq!(
        at,
        [
            (29, 10, "gauge.indicator.repeat"),
            (46, 8, ""),
            (48, 28, "rotor.R-114.land_width.2"),
            (68, 1, "spec"),
        ]
    );
}

#[test]
fn every_table_of_a_kind_is_looked_at() {
    let materials = "[material.a]\nexpansion = 1\n[material.b]\ndensity = 2\n";
    let text = EXAMPLE.replace("repeat = \"", "repeat = \"x") + materials;
    let problems = read(&text).unwrap_err();
    let at: Vec<_> = problems.list().iter().map(|p| (p.place.as_str(), p.what.as_str())).collect();
    let no_number = |text: &str| format!("{text:?} has no number that can be read");
    let (first, second) = (no_number("x2 um"), no_number("x3 um"));
    assert_eq!(
        at,
        [
            ("gauge.micrometer.repeat", first.as_str()),
            ("gauge.indicator.repeat", second.as_str()),
            ("material.a", "density is missing"),
            ("material.a.expansion", "the bare number 1 where a unit belongs"),
            ("material.b", "expansion is missing"),
            ("material.b.density", "the bare number 2 where a unit belongs"),
        ]
    );
}

#[test]
fn a_problem_is_shown_with_its_line() {
    let text = EXAMPLE.replace("\"79.922 mm\"", "79.922");
    let problems = read(&text).unwrap_err().in_file("boat.toml");
    let expected = "\
boat.toml:48:28: rotor.R-114.land_width.2: the bare number 79.922 where a unit belongs; expected \
a width from 20 mm to 250 mm, such as \"79.915 mm\"
   |
48 | land_width = [\"79.915 mm\", 79.922, \"79.918 mm\"]      # at tips 1, 2, 3
   |                            ^^^^^^
   |
   = hint: write \"79.922 mm\" if that is meant

1 problem in boat.toml
";
    assert_eq!(problems.show(false), expected);
    let coloured = problems.show(true);
    assert!(coloured.starts_with("\u{1b}[1mboat.toml:48:28: "), "{coloured}");
}

#[test]
fn lines_may_end_as_on_other_systems() {
    assert_eq!(read(&EXAMPLE.replace('\n', "\r\n")), read(EXAMPLE));
    assert_eq!(read(&format!("\u{feff}{EXAMPLE}")), read(EXAMPLE));
    let wrong = EXAMPLE.replace('\n', "\r\n").replace("\"4312 g\"", "4312");
    let problem = &read(&wrong).unwrap_err().list[0];
    assert_eq!((problem.line, problem.column), (46, 8));
}

#[test]
fn texts_of_any_shape_and_size_come_to_an_end() {
    // Depth is refused before the parser nests it: its tables are dropped by recursion.
    let deep_key = format!("{}x = 1", "a.\n".repeat(100_000));
    let deep_head = "[a.a.a.a.a.a.a.a.a.a.a.a.a]\n".repeat(20_000);
    let deep_lists = "x = [\n[\n".repeat(100_000);
    let deep_tables = format!("x = {}", "{ a = \n".repeat(100_000));
    let closed = format!("x = {}", "{ a = ]\n".repeat(100_000));
    let line = |point: &str| format!("{}b = {{\n", format!("a{point}").repeat(400)).repeat(2000);
    let [chained, gapped, quoted] = [".", "..", ".'=.'."].map(line);
    // As deep as is let through, in keys of lists of tables, over and over.
    let deepest = format!("{}b = {{\n", "a.".repeat(16)).repeat(15);
    let long = format!("x = {}", "[".repeat(1_000_000));
    let heads = "[[rotor]]\n".repeat(20_000);
    let unknown: String = (0..40_000).map(|i| format!("k{i} = {i}\n")).collect();
    let garbage = "= ] } \" ' \\\n".repeat(40_000);
    for text in [
        deep_key,
        deep_head,
        deep_lists,
        deep_tables,
        closed,
        chained,
        gapped,
        quoted,
        deepest,
        long,
        heads,
        unknown,
        garbage,
    ] {
        let problems = read(&text).unwrap_err();
        assert!((1..=MOST_LISTED).contains(&problems.list().len()));
        assert!(problems.show(false).len() < 400_000);
    }
    let large = "#".repeat(MOST_BYTES + 1);
    let problems = read(&large).unwrap_err();
    assert_eq!(
        problems.to_string(),
        "build file:1:1: 4194305 bytes are too many for a build file; expected at most 4194304 bytes"
    );
}

#[test]
fn wear_may_be_one_or_each() {
    let sides = "\
[[side_housing]]\nserial = \"S-1\"\nland_wear = \"10 um\"\ntip_wear = \"20 um\"\n\
[[side_housing]]\nserial = \"S-2\"\nland_wear = { front = \"1 um\", rear = \"2 um\" }\n\
tip_wear = \"20 um\"\ncentral_bore = \"44 mm\"\n\
[[side_housing]]\nserial = \"S-3\"\nland_wear = \"10 um\"\ntip_wear = \"20 um\"\n";
    let build = read(&format!("{EXAMPLE}{sides}")).unwrap();
    let wear: Wear = build.side_housings[1].land_wear;
    assert_eq!((wear.front(), wear.rear()), (mm("1 um"), mm("2 um")));
    assert_eq!(build.side_housings[0].land_wear.rear(), mm("10 um"));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn what_is_written_is_read_the_same(build in any_build()) {
        let text = write(&build);
        match read(&text) {
            Ok(back) => prop_assert_eq!(back, build),
            Err(problems) => prop_assert!(false, "{}", problems.show(false)),
        }
    }

    #[test]
    fn any_text_is_read_or_refused(text in "\\PC{0,200}") {
        if let Err(problems) = read(&text) {
            prop_assert!(!problems.list().is_empty());
        }
    }
}

/// The lines that differ, before and after.
fn changed<'t>(before: &'t str, after: &'t str) -> Vec<(&'t str, &'t str)> {
    assert_eq!(before.lines().count(), after.lines().count());
    before.lines().zip(after.lines()).filter(|(a, b)| a != b).collect()
}

#[test]
fn one_value_is_changed_and_nothing_else() {
    for (place, value, before, after) in [
        (
            "rotor.R-114.land_width.2",
            "79.924 mm",
            r#"land_width = ["79.915 mm", "79.922 mm", "79.918 mm"]      # at tips 1, 2, 3"#,
            r#"land_width = ["79.915 mm", "79.924 mm", "79.918 mm"]      # at tips 1, 2, 3"#,
        ),
        (
            "housing.H-31.width.3",
            "3.1500 in",
            r#"width = ["80.010 mm", "80.014 mm", "80.008 mm"]"#,
            r#"width = ["80.010 mm", "80.014 mm", "3.1500 in"]"#,
        ),
        (
            "spec.step.target",
            "\"4.5 thou\"",
            r#"step           = { target = "5 thou", tolerance = "0.5 thou" }"#,
            r#"step           = { target = "4.5 thou", tolerance = "0.5 thou" }"#,
        ),
        (
            "engine.land_radius",
            "60.5 mm",
            r#"land_radius = "61 mm"                 # outer edge of the land"#,
            r#"land_radius = "60.5 mm"                 # outer edge of the land"#,
        ),
        (
            "gauge.micrometer.repeat",
            "1.5 um",
            r#"repeat = "2 um"                       # of each reading"#,
            r#"repeat = "1.5 um"                       # of each reading"#,
        ),
        (
            "rotor.R-97.gear_step",
            r#"["85 um", "90 um", "86 um"]"#,
            r#"gear_step  = ["84 um", "90 um", "86 um"]"#,
            r#"gear_step  = ["85 um", "90 um", "86 um"]"#,
        ),
        (
            "build.duty.heat.soak.tip",
            "97 K",
            r#"soak    = { housing = "85 K", hot_arc = "5 K",  land = "90 K", tip = "95 K" }"#,
            r#"soak    = { housing = "85 K", hot_arc = "5 K",  land = "90 K", tip = "97 K" }"#,
        ),
    ] {
        let text = amend(EXAMPLE, place, value).unwrap();
        assert_eq!(changed(EXAMPLE, &text), [(before, after)], "{place}");
        assert!(read(&text).is_ok());
    }
}

#[test]
fn ends_of_lines_and_odd_spacing_stay() {
    let tabs =
        EXAMPLE.replace(" = ", "\t=  ").replace("# ", "#\t").replace("[[rotor]]", " [[ rotor ]]");
    for before in [
        EXAMPLE.replace('\n', "\r\n"),
        format!("\u{feff}{EXAMPLE}"),
        EXAMPLE.trim_end().to_owned(),
        tabs,
        format!("{EXAMPLE}\n\n  # the end\n\n"),
    ] {
        let after = amend(&before, "rotor.R-114.land_width.2", "79.924 mm").unwrap();
        assert_eq!(after, before.replace("79.922 mm", "79.924 mm"));
    }
}

#[test]
fn added_lines_end_like_the_others() {
    let before = EXAMPLE.replace('\n', "\r\n");
    let text = amend(&before, "rotor.R-97.temperature", "24 degC").unwrap();
    assert_eq!(
        text,
        amend(EXAMPLE, "rotor.R-97.temperature", "24 degC").unwrap().replace('\n', "\r\n")
    );
}

#[test]
fn wear_is_amended_either_way() {
    let sides: String = (1..4)
        .map(|i| {
            format!("[[side_housing]]\nserial = \"S-{i}\"\nland_wear = \"9 um\" # {i}\ntip_wear = \"8 um\"\n")
        })
        .collect();
    let text = format!("{EXAMPLE}{sides}");
    let each = r#"{ front = "1 um", rear = "2 um" }"#;
    let text = amend(&text, "side_housing.S-2.land_wear", each).unwrap();
    assert!(text.contains(&format!("land_wear = {each} # 2")), "{text}");
    let text = amend(&text, "side_housing.S-2.land_wear.rear", "3 um").unwrap();
    assert_eq!(read(&text).unwrap().side_housings[1].land_wear.rear(), mm("3 um"));
    let text = amend(&text, "side_housing.S-2.land_wear", "4 um").unwrap();
    assert_eq!(read(&text).unwrap().side_housings[1].land_wear, Wear::Both(mm("4 um")));
}

#[test]
fn what_was_not_there_is_added() {
    let text = amend(EXAMPLE, "rotor.R-97.temperature", "24 degC").unwrap();
    let added = EXAMPLE.replace(
        "plain_step = [\"92 um\", \"95 um\", \"90 um\"]\n",
        "plain_step = [\"92 um\", \"95 um\", \"90 um\"]\ntemperature = \"24 degC\"\n",
    );
    assert_eq!(text, added);
    let text = amend(EXAMPLE, "spec.contact_chance", "0.001").unwrap();
    assert_eq!(read(&text).unwrap().spec.contact_chance, Some(0.001));
}

#[test]
fn readings_after_cutting_get_their_table() {
    let lists = [
        ("rotor.R-114.after.land_width", r#"["79.79 mm", "79.788 mm", "79.787 mm"]"#),
        ("rotor.R-114.after.gear_step", r#"["127 um", "126 um", "128 um"]"#),
        ("rotor.R-114.after.plain_step", r#"["127 um", "127 um", "127 um"]"#),
    ];
    let text = amend_all(EXAMPLE, &lists).unwrap();
    let table = "[rotor.after]\n\
land_width = [\"79.79 mm\", \"79.788 mm\", \"79.787 mm\"]\n\
gear_step = [\"127 um\", \"126 um\", \"128 um\"]\n\
plain_step = [\"127 um\", \"127 um\", \"127 um\"]\n";
    assert!(text.contains(table), "{text}");
    assert_eq!(text.replace(&format!("\n{table}"), "").replace(table, ""), EXAMPLE);
    let after = read(&text).unwrap().rotors[0].after.clone().unwrap();
    assert_eq!(after.land_width[1], mm("79.788 mm"));

    let as_one = format!(
        "{{ {} }}",
        lists
            .map(|(place, list)| { format!("{} = {list}", place.rsplit('.').next().unwrap()) })
            .join(", ")
    );
    assert_eq!(amend(EXAMPLE, "rotor.R-114.after", &as_one).unwrap(), text);

    let again = amend(&text, "rotor.R-114.after.gear_step.1", "125 um").unwrap();
    assert_eq!(changed(&text, &again).len(), 1);

    // One list alone would leave the others missing; an item needs its list.
    let (place, list) = lists[0];
    assert!(matches!(amend(EXAMPLE, place, list), Err(AmendError::MakesWrong(_))));
    let error = amend(EXAMPLE, "rotor.R-114.after.gear_step.1", "125 um").unwrap_err();
    assert!(error.to_string().contains("give the whole list"), "{error}");
}

#[test]
fn a_wrong_change_is_refused_with_what_is_near() {
    for (place, value, part) in [
        ("rotor.R-144.mass", "4300 g", "no rotor of serial \"R-144\"; did you mean R-114?"),
        ("rotor.R-114.land_widht.1", "79 mm", "did you mean land_width?"),
        ("rotor.R-114.land_width.4", "79 mm", "land_width has items 1 to 3"),
        ("rotor.R-114.land_width.0", "79 mm", "land_width has items 1 to 3"),
        ("rotor.R-114", "79 mm", "say which key of rotor R-114"),
        ("rotor", "79 mm", "say which rotor"),
        ("spek.step.target", "5 thou", "did you mean spec?"),
        ("gauge.micrometr.zero", "1 um", "did you mean micrometer?"),
        ("engine.land_radius.1", "60 mm", "land_radius is one value"),
        ("engine.land_radius", "[\"60 mm\"]", "no list"),
        ("engine.rotors", "two", "no number"),
        ("rotor.R-114.gear_step", "95 um", "no list"),
        ("machine", "{ capability = \"2 um\" }", "least_cut is missing"),
        ("engine.land_radius", "600 mm", "\"600 mm\" is more than 400 mm"),
        ("engine.land_radius", "60", "\"60\" has no unit"),
        ("engine.rotors", "3", "rotors = 3, but 2 tables [[rotor]]"),
        ("rotor.R-97.serial", "R-114", "also the serial"),
    ] {
        let error = amend(EXAMPLE, place, value).unwrap_err().to_string();
        assert!(error.contains(part), "{place}: {error}");
    }
}

#[test]
fn a_file_with_problems_can_still_be_mended() {
    let wrong = EXAMPLE.replace("\"79.922 mm\"", "79.922").replace("\"95 um\"", "\"5 mm\"");
    let once = amend(&wrong, "rotor.R-114.land_width.2", "79.922 mm").unwrap();
    assert!(read(&once).is_err());
    let error = amend(&once, "rotor.R-114.mass", "4 g").unwrap_err();
    assert!(matches!(error, AmendError::MakesWrong(_)));
    let broken = EXAMPLE.replace("[machine]", "[machine");
    let error = amend(&broken, "rotor.R-114.mass", "4300 g").unwrap_err();
    assert!(matches!(error, AmendError::Unreadable(_)));
}

#[test]
fn a_serial_may_have_points() {
    let text = EXAMPLE.replace("R-114", "R").replace("R-97", "R.mass");
    let text = amend(&text, "rotor.R.mass.mass", "4300 g").unwrap();
    let build = read(&text).unwrap();
    assert_eq!(build.rotors[1].readings.mass, Some(Mass::g(4300.0)));
    let text = amend(&text, "rotor.R.mass", "4301 g").unwrap();
    assert_eq!(read(&text).unwrap().rotors[0].readings.mass, Some(Mass::g(4301.0)));
}

#[test]
fn ports_stand_below_their_side_housing_and_can_be_amended() {
    let heron = include_str!("../../../../examples/heron-aircraft.toml");
    let build = read(heron).unwrap();
    assert_eq!(build.side_housings[0].ports["intake"].face, Way::Rear);
    assert!(build.side_housings[1].ports.is_empty());
    let text = amend(heron, "side_housing.HS-1.port.intake.angle_to", "240 deg").unwrap();
    let port = read(&text).unwrap().side_housings[0].ports["intake"];
    assert!((port.angle_to.to_deg() - 240.0).abs() < 1e-12);
    for (place, value, part) in [
        ("radius_to", "2 in", "a radius_to above radius_from"),
        ("angle_to", "200 deg", "more than nothing"),
        ("angle_from", "-200 deg", "less than a turn"),
        ("face", "top", "expected \"front\" or \"rear\""),
    ] {
        let place = format!("side_housing.HS-1.port.intake.{place}");
        let error = amend(heron, &place, value).unwrap_err().to_string();
        assert!(error.contains(part) && error.contains("HS-1.port.intake"), "{place}: {error}");
    }
}
