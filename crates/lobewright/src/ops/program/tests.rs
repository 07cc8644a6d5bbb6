//! Programs of the examples, and what stands in their way.

use super::super::plan::plan;
use super::*;
use crate::build_file::{Build, amend, amend_all, read};
use kernel::units::System;

const BOAT: &str = include_str!("../../../../../examples/sprint-boat.toml");
const HYDROPLANE: &str = include_str!("../../../../../examples/shelduck-hydroplane.toml");
const AIRCRAFT: &str = include_str!("../../../../../examples/heron-aircraft.toml");

fn mm(text: &str) -> Length {
    kernel::units::Quantity::parse(text).unwrap()
}

fn build(text: &str) -> Build {
    read(text).unwrap_or_else(|problems| panic!("{}", problems.show(false)))
}

/// The programs of a file on its only machine, or why there are none.
fn made(text: &str, asked: &ProgramAsked<'_>) -> Result<Programs, ProgramsError> {
    let build = build(text);
    let plan = plan(&build, System::Metric).unwrap();
    programs(&plan, choose(&build, None).unwrap(), asked, Sha::of(text.as_bytes()))
}

/// One face of one rotor, checked on a coarser map: what is proven between nodes stays the same.
fn of_gear_face(rotor: &str) -> ProgramAsked<'_> {
    ProgramAsked { rotor: Some(rotor), face: Some(Face::Gear), grid: mm("0.5 mm") }
}

fn refused(text: &str) -> String {
    // A program that is made is a thousand lines: nobody wants to see it here.
    match made(text, &of_gear_face("R-114")) {
        Ok(_) => "it is made".to_owned(),
        Err(error) => error.to_string(),
    }
}

#[test]
fn a_mill_gets_a_program_for_each_face_with_what_is_measured_before_it_finishes() {
    let build = build(BOAT);
    let plan = plan(&build, System::Metric).unwrap();
    let programs = made(BOAT, &ProgramAsked { grid: mm("0.5 mm"), ..Default::default() }).unwrap();
    let names: Vec<String> = programs.made.iter().map(FaceProgram::name).collect();
    assert_eq!(names, ["1-R-114-gear", "1-R-114-plain", "2-R-97-gear", "2-R-97-plain"]);
    assert!(programs.nothing_to_cut.is_empty());
    let hash = Sha::of(BOAT.as_bytes()).to_hex();
    for program in &programs.made {
        let text = program.checked.text();
        assert!(text.contains(&format!("(HASH {})", hash[..12].to_uppercase())), "{text}");
        assert_eq!(program.build_line(), "(BUILD MERGANSER, BOAT 7)");
        assert!(program.land_is_cut && text.contains("G21"));
        let rotor = &plan.rotors[program.place - 1];
        let cut = rotor.plan.cut.face(program.face);
        for (touched, cut) in program.land_at_tips.iter().zip(cut.land) {
            assert!((*touched - cut).abs() < Length::um(0.01), "{touched:?} {cut:?}");
        }
        let report = program.checked.report();
        assert!(report.off_plan.iter().all(|off| off.abs() < Length::um(2.0)), "{report:?}");
        let AtTheStop::LandWidth(widths) = program.at_the_stop else { panic!("{program:?}") };
        let other = match program.face {
            Face::Gear => rotor.now.heights.plain.land,
            Face::Plain => rotor.plan.finished.gear.land,
        };
        for (width, other) in widths.into_iter().zip(other) {
            let land = rotor.plan.finished.face(program.face).land[0];
            assert!((width.unwrap() - land - other - mm("30 um")).abs() < Length::um(0.01));
        }
    }
    // The second set-up of a rotor ends at its width, the stock of the finishing pass above it.
    let AtTheStop::LandWidth([Some(width), ..]) = programs.made[1].at_the_stop else { panic!() };
    assert!((width - mm("79.788 mm") - mm("30 um")).abs() < Length::um(0.01), "{width:?}");
}

#[test]
fn what_the_rough_passes_do_not_reach_is_not_measured_by() {
    // Of R-114's gear land 62.5, 68.5 and 64.5 um are cut, more than that off the tips.
    let stop = |stock: &str| {
        let text = amend(BOAT, "machine_tool.west_mill.finish.stock", stock).unwrap();
        let programs = made(&text, &of_gear_face("R-114")).unwrap();
        let list = set_up(&programs.build, &programs.machine, &programs.made[0]);
        (programs.made[0].at_the_stop, list.lines)
    };
    let (at, lines) = stop("66 um");
    assert!(matches!(at, AtTheStop::LandWidth([None, Some(_), None])), "{at:?}");
    let told = &lines[lines.len() - 2].what;
    assert!(told.contains("not cut yet at tip 1, so that nothing is corrected by it"), "{told}");
    // 94.5, 107.5 and 89.5 um off the tips.
    let (at, lines) = stop("90 um");
    let AtTheStop::Step([Some(first), Some(second), None]) = at else { panic!("{at:?}") };
    // As found 95 and 88 um, and what the rough passes took.
    assert!((first - mm("99.5 um")).abs() < Length::um(0.01), "{first:?}");
    assert!((second - mm("105.5 um")).abs() < Length::um(0.01), "{second:?}");
    assert!(lines[lines.len() - 2].what.contains("Step, the land being as it was found"));
    // All of it goes with the finishing pass.
    let (at, lines) = stop("120 um");
    assert_eq!(at, AtTheStop::Nothing);
    assert!(lines.last().unwrap().what.starts_with("Dry pass watched"), "{lines:?}");
}

#[test]
fn a_lathe_turns_the_same_plan_in_either_units() {
    let programs = made(HYDROPLANE, &of_gear_face("SR-21")).unwrap();
    let text = programs.made[0].checked.text();
    assert!(text.contains("(X IS A DIAMETER)") && !text.contains(" Y"), "{text}");
    // The lathe of another shop, which reads inches.
    let table = AIRCRAFT.find("[machine_tool.").unwrap();
    let without = &HYDROPLANE[..HYDROPLANE.find("[machine_tool.").unwrap()];
    let inch = format!("{without}{}", &AIRCRAFT[table..]);
    let programs = made(&inch, &of_gear_face("SR-21")).unwrap();
    let program = &programs.made[0];
    assert!(program.checked.text().contains("G20"));
    assert!(program.checked.report().off_plan.iter().all(|off| off.abs() < Length::um(2.0)));
}

#[test]
fn a_taper_is_programmed_too() {
    let tapered =
        [("spec.outside", "taper"), ("spec.taper", "{ start = \"61 mm\", root = \"80 um\" }")];
    let programs = made(&amend_all(BOAT, &tapered).unwrap(), &of_gear_face("R-114")).unwrap();
    assert!(programs.made[0].checked.text().contains("TERRACES"));
}

#[test]
fn a_face_without_stock_needs_none() {
    let programs = made(AIRCRAFT, &ProgramAsked::default()).unwrap();
    assert!(programs.made.is_empty());
    assert_eq!(programs.nothing_to_cut.len(), 2);
}

#[test]
fn a_record_that_cannot_do_it_is_named_by_its_key() {
    for (key, value, at, part) in [
        ("most_speed", "1000 rpm", "rough.cutting_speed", "the spindle reaches 1000 rpm"),
        ("least_speed", "1500 rpm", "rough.cutting_speed", "the spindle's least is 1500 rpm"),
        ("fixture.clamp_radius", "50 mm", "fixture.clamp_radius", "cannot pass the clamp"),
        ("cutter.reach", "1 mm", "cutter.reach", "the cutter's reach is 1.000 mm"),
    ] {
        let said = refused(&amend(BOAT, &format!("machine_tool.west_mill.{key}"), value).unwrap());
        let start = format!("rotor R-114, gear face: machine_tool.west_mill.{at}: ");
        assert!(said.starts_with(&start) && said.contains(part), "{key}: {said}");
    }
    let finish = ("machine_tool.west_mill.finish.cutting_speed", "400 m/min");
    let said = refused(&amend(BOAT, finish.0, finish.1).unwrap());
    assert!(said.contains("west_mill.finish.cutting_speed: a cutting speed of 400.0"), "{said}");
}

#[test]
fn what_is_asked_for_must_be_there() {
    let none = made(BOAT, &ProgramAsked { rotor: Some("R-7"), ..Default::default() }).unwrap_err();
    assert_eq!(none.to_string(), "no rotor \"R-7\" in this build; there are R-114, R-97");
    assert!(none.is_of_the_call());
    let hopeless = amend(BOAT, "spec.land_cut_limit", "0.02 mm").unwrap();
    let none = made(&hopeless, &ProgramAsked::default()).unwrap_err();
    assert!(none == ProgramsError::NoPlan && !none.is_of_the_call());

    let without = build(&BOAT[..BOAT.find("[machine_tool.").unwrap()]);
    assert_eq!(choose(&without, None), Err(NoMachine::None));
    assert_eq!(choose(&without, Some("west_mill")), Err(NoMachine::None));
    let table = AIRCRAFT.find("[machine_tool.").unwrap();
    let both = build(&format!("{BOAT}{}", &AIRCRAFT[table..]));
    assert_eq!(choose(&both, Some("old lathe")).unwrap().0, "old lathe");
    let several = choose(&both, None).unwrap_err().to_string();
    assert!(several.ends_with("name one with --machine: old lathe, west_mill"), "{several}");
    let unknown = choose(&both, Some("wast_mill")).unwrap_err().to_string();
    assert!(
        unknown.ends_with("there are old lathe, west_mill; did you mean west_mill?"),
        "{unknown}"
    );
}
