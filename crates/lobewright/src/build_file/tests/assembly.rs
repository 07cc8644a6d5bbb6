//! What is asked and what was read when the engine goes together: read, written and amended.

use super::changed;
use crate::build_file::model::assembly::{Fit, Spring};
use crate::build_file::{amend, read, write};
use kernel::assembly::Thicker;
use kernel::units::{Angle, Force, Length, Quantity, Torque};

const PLAIN: &str = include_str!("../../../../../examples/sprint-boat.toml");
const EXAMPLE: &str = include_str!("../../../../../examples/shelduck-hydroplane.toml");

fn q<Q: Quantity>(text: &str) -> Q {
    Q::parse(text).unwrap()
}

#[test]
fn the_example_is_what_it_says() {
    let build = read(EXAMPLE).unwrap_or_else(|problems| panic!("{}", problems.show(false)));
    let asked = &build.assembly;
    let play = asked.sizes[&Fit::EndPlay];
    assert_eq!((play.least(), play.most()), (Some(q("40 um")), Some(q::<Length>("80 um"))));
    let runout = asked.sizes[&Fit::ShaftRunout];
    assert_eq!((runout.least(), runout.most()), (None, Some(q::<Length>("20 um"))));
    assert_eq!(asked.loads[&Spring::Apex].most(), Some(q::<Force>("50 N")));
    assert!(!asked.loads.contains_key(&Spring::Side));
    assert_eq!(asked.sizes[&Fit::SpringHeight(Spring::Corner)].least(), Some(q("4.8 mm")));
    assert_eq!((asked.spacers.len(), asked.spacers[2]), (5, q("5.98 mm")));
    assert_eq!(asked.thicker_spacer, Some(Thicker::MorePlay));
    assert_eq!(asked.tighten.len(), 3);
    assert_eq!(asked.tighten[0].note.as_deref(), Some("oil under the heads"));
    assert_eq!(asked.tighten[2].torque, Some(q::<Torque>("280 N m")));
    assert_eq!(asked.tighten[2].angle, Some(q::<Angle>("30 deg")));
    let shaft = build.assembled.shaft.as_ref().unwrap();
    assert_eq!((shaft.serial.as_str(), shaft.end_play), ("SE-3", Some(q("96 um"))));
    assert_eq!((shaft.mains[&2], shaft.rotors[&1]), (q("58 um"), q("82 um")));
    let seals = build.assembled.seals.as_ref().unwrap();
    assert_eq!((seals.rotors.len(), seals.load_u), (2, Some(q::<Force>("0.4 N"))));
    assert_eq!(seals.rotors[&2].sizes[&Fit::SideGap], q("120 um"));
    assert_eq!(seals.rotors[&2].sizes.get(&Fit::ApexGroove), None);
    assert!(read(&write(&build)).unwrap() == build);
}

#[test]
fn what_is_left_out_is_nothing() {
    let build = read(PLAIN).unwrap();
    assert!(build.assembly.sizes.is_empty() && build.assembled.shaft.is_none());
    assert_eq!(read(&format!("{PLAIN}[assembly]\n[assembled]\n")).unwrap(), build);
}

#[test]
fn everything_wrong_comes_in_one_pass() {
    let text = EXAMPLE
        .replace("shaft_runout = { most = \"20 um\" }", "shaft_runout = { }")
        .replace("{ least = \"52 N\", most = \"70 N\" }", "{ least = \"72 N\", most = \"70 N\" }")
        .replace("thicker_spacer = \"more play\"", "thicker_spacer = \"more\"")
        .replace("torque = \"16 N m\"", "torque = \"16 lb ft\"")
        .replace("torque = \"32 N m\"\n", "")
        .replace("end_play_gauge = \"indicator\"", "end_play_gauge = \"indikator\"")
        .replace("[assembled.shaft.main.2]", "[assembled.shaft.main.second]")
        .replace("[assembled.seals.rotor.2]", "[assembled.seals.rotor.3]");
    let problems = read(&text).unwrap_err();
    let said: Vec<String> =
        problems.list().iter().map(|p| format!("{}: {}", p.place, p.what)).collect();
    for (place, what) in [
        ("assembly.oil_spring_load.least", "72 N is more than the most, 70 N"),
        ("assembly.thicker_spacer", "\"more\""),
        ("assembly.tighten.1.torque", "can be misread"),
        ("assembled.shaft.SE-3.end_play_gauge", "no gauge \"indikator\" is declared"),
        ("assembled.shaft.SE-3.main", "main \"second\""),
        ("assembled.seals.SS-9.rotor", "rotor \"3\""),
    ] {
        assert!(
            said.iter().any(|line| line.starts_with(place) && line.contains(what)),
            "{place}: {said:#?}"
        );
    }
    // What only lacks is told where nothing else is wrong.
    for (from, to, what) in [
        ("{ most = \"20 um\" }", "{ }", "neither least nor most is given"),
        ("torque = \"32 N m\"\n", "", "neither torque nor angle is given"),
        ("thicker_spacer = \"more play\"", "", "thicker_spacer is missing"),
        (
            "[[assembled.seals]]",
            "[[assembled.shaft]]\nserial = \"SE-4\"\n[[assembled.seals]]",
            "a second shaft",
        ),
    ] {
        let text = EXAMPLE.replace(from, to);
        assert_ne!(text, EXAMPLE, "{from}");
        let problems = read(&text).unwrap_err();
        assert_eq!(problems.list().len(), 1, "{problems}");
        assert!(problems.list()[0].what.contains(what), "{problems}");
    }
}

#[test]
fn one_value_is_changed_and_nothing_else() {
    for (place, value, before, after) in [
        (
            "assembly.spacers.2",
            "5.95 mm",
            r#"spacers = ["5.90 mm", "5.94 mm", "5.98 mm", "6.02 mm", "6.06 mm"]"#,
            r#"spacers = ["5.90 mm", "5.95 mm", "5.98 mm", "6.02 mm", "6.06 mm"]"#,
        ),
        (
            "assembly.tighten.2.torque",
            "24 lbf ft",
            r#"torque = "32 N m""#,
            r#"torque = "24 lbf ft""#,
        ),
        (
            "assembled.shaft.SE-3.end_play",
            "56 um",
            r#"end_play = "96 um""#,
            r#"end_play = "56 um""#,
        ),
        (
            "assembled.seals.SS-9.rotor.2.side_seal_gap",
            "5 thou",
            r#"side_seal_gap = "0.12 mm""#,
            r#"side_seal_gap = "5 thou""#,
        ),
    ] {
        let text = amend(EXAMPLE, place, value).unwrap();
        assert_eq!(changed(EXAMPLE, &text), [(before, after)], "{place}");
        assert!(read(&text).is_ok());
    }
    let said = amend(EXAMPLE, "assembly.end_play.least", "90 um").unwrap_err().to_string();
    assert!(said.contains("is more than the most"), "{said}");
}
