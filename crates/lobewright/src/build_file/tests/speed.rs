//! The rotor at speed: read, written and amended.

use super::changed;
use crate::build_file::generate::sample;
use crate::build_file::keys::{self, Key, Kind};
use crate::build_file::model::Heavy;
use crate::build_file::{AmendError, amend, amend_all, read, write};
use kernel::units::{
    Angle, AngularDamping, Area, ElasticModulus, Length, MomentOfInertia, Quantity, SpecificEnergy,
    Stiffness, TemperatureDifference, Torque, Unbalance, Viscosity,
};

const PLAIN: &str = include_str!("../../../../../examples/sprint-boat.toml");
const EXAMPLE: &str = include_str!("../../../../../examples/shelduck-hydroplane.toml");

fn q<Q: Quantity>(text: &str) -> Q {
    Q::parse(text).unwrap()
}

#[test]
fn the_example_is_what_it_says() {
    let build = read(EXAMPLE).unwrap_or_else(|problems| panic!("{}", problems.show(false)));
    let at_speed = &build.at_speed;
    let shaft = at_speed.shaft.as_ref().unwrap();
    assert_eq!(shaft.material.as_deref(), Some("shaft steel"));
    assert_eq!(build.material("shaft steel").unwrap().young, Some(ElasticModulus::gpa(206.0)));
    assert_eq!(build.material("steel").unwrap().poisson, Some(0.29));
    assert_eq!(build.material("cheese"), None);
    assert_eq!(shaft.sections.len(), 7);
    assert_eq!((shaft.length().to_mm() * 1e6).round() / 1e6, 380.0);
    assert_eq!(shaft.sections[0].inner, None);
    assert_eq!(shaft.sections[3].outer, q::<Length>("48 mm"));
    assert_eq!(shaft.rotors, [q::<Length>("130 mm"), q("246 mm")]);
    assert_eq!(shaft.throws.as_deref(), Some(&[Angle::ZERO, q("180 deg")][..]));
    assert_eq!(shaft.damping, Some(0.01));
    assert_eq!(shaft.mains[1].stiffness, Some(q::<Stiffness>("320 N/um")));
    assert_eq!(shaft.weights[0].name, "front counterweight");
    let heavy = Heavy { amount: q::<Unbalance>("33100 g mm"), angle: Angle::ZERO };
    assert_eq!(shaft.weights[1].unbalance, Some(heavy));
    assert_eq!(shaft.weights[2].unbalance, None);
    assert_eq!(shaft.weights[2].polar_inertia, Some(q::<MomentOfInertia>("0.038 kg m2")));
    let (rotor, main) = (at_speed.rotor_bearing.unwrap(), at_speed.main_bearing.unwrap());
    assert_eq!((rotor.clearance, rotor.film), (q("80 um"), None));
    assert_eq!(main.film.unwrap().tilt_damping, q::<AngularDamping>("100 N m s/rad"));
    assert_eq!(at_speed.oil.viscosity, Some(q::<Viscosity>("9 cP")));
    assert_eq!(at_speed.gas.intake_area, Some(q::<Area>("1100 mm2")));
    assert_eq!(at_speed.gas.heat, Some(q::<SpecificEnergy>("2600 kJ/kg")));
    assert_eq!((at_speed.gas.knock, at_speed.gas.side_share), (Some(1.3), Some(0.05)));
    assert_eq!(at_speed.gas.trace, None);
    assert_eq!(at_speed.gear.seal_drag, Some(q::<Torque>("12 N m")));
    assert_eq!(at_speed.inertia.rotor_diametral, Some(q("0.0099 kg m2")));
    assert_eq!(at_speed.uncertainty.temperature, Some(TemperatureDifference::k(8.0)));
    assert_eq!(at_speed.uncertainty.model, Some(0.3));
}

#[test]
fn what_is_left_out_is_nothing() {
    let at_speed = read(PLAIN).unwrap().at_speed;
    assert_eq!(at_speed, crate::build_file::model::AtSpeed::default());
    let empty = format!("{PLAIN}[oil]\n[gas]\n[gear]\n[inertia]\n[uncertainty]\n[bearing]\n");
    assert_eq!(read(&empty).unwrap(), read(PLAIN).unwrap());
}

#[test]
fn everything_wrong_comes_in_one_pass_in_the_order_of_the_file() {
    let text = EXAMPLE
        .replace("outer = \"48 mm\", inner = \"12 mm\"", "outer = 48, inner = \"49 mm\"")
        .replace("[\"0 deg\", \"180 deg\"]", "[\"1 deg\", \"180\"]")
        .replace("at = \"301 mm\"", "at = \"400 mm\"")
        .replace("name = \"flywheel\"", "name = \"rear counterweight\"")
        .replace("clearance = \"0.08 mm\"", "clearance = \"0.8 mm\"")
        .replace("wiebe_m", "wibe_m")
        .replace("model = 0.3", "model = 0.1");
    let problems = read(&text).unwrap_err();
    let at: Vec<_> = problems.list().iter().map(|p| (p.line, p.column, p.place.as_str())).collect();
    assert_eq!(
        at,
        [
            (82, 31, "shaft.sections.4.outer"),
            (88, 20, "shaft.throws.2"),
            (95, 6, "shaft.main.2.at"),
            (115, 8, "shaft.weight.rear counterweight.name"),
            (124, 13, "bearing.rotor.clearance"),
            (155, 1, "gas"),
            (174, 9, "uncertainty.model"),
        ]
    );
}

#[test]
fn whole_numbers_are_plain_numbers_too() {
    let text = EXAMPLE.replace("wiebe_a = 5.0", "wiebe_a = 0x5").replace("= 8.8", "= 9");
    let gas = read(&text).unwrap().at_speed.gas;
    assert_eq!((gas.wiebe_a, gas.compression_ratio), (Some(5.0), Some(9.0)));
    let text = EXAMPLE.replace("model = 0.3", "model = 1_0.0e-1");
    assert_eq!(read(&text).unwrap().at_speed.uncertainty.model, Some(1.0));
}

#[test]
fn sections_may_have_heads_and_weights_may_stand_on_one_line() {
    let (start, rest) = EXAMPLE.split_once("sections = [").unwrap();
    let (_, end) = rest.split_once("\n]\n").unwrap();
    let (body, tail) = end.split_once("[bearing.rotor]").unwrap();
    let (tail, _) = tail.split_once("[balance]").unwrap();
    let heads = "[[shaft.sections]]\nlength = \"300 mm\"\nouter = \"60 mm\"\n\
                 [[shaft.sections]]\nlength = \"80 mm\"\nouter = \"40 mm\"\n";
    let build = read(&format!("{start}{body}{heads}[bearing.rotor]{tail}")).unwrap();
    assert_eq!(build.at_speed.shaft.unwrap().sections.len(), 2);
    let line = "weight = [{ name = \"pulley\", at = \"10 mm\", mass = \"0.3 kg\" }]\n";
    let weights = body.find("[[shaft.weight]]").unwrap();
    let mains = body.find("[[shaft.main]]").unwrap();
    let text = format!(
        "{start}sections = [{{ length = \"380 mm\", outer = \"60 mm\" }}]\n{}{line}{}[bearing.rotor]{tail}",
        &body[..mains],
        &body[mains..weights],
    );
    let text = amend(&text, "shaft.weight.pulley.at", "12 mm").unwrap();
    let shaft = read(&text).unwrap().at_speed.shaft.unwrap();
    assert_eq!((shaft.weights.len(), shaft.weights[0].at), (1, q("12 mm")));
}

#[test]
fn one_value_is_changed_and_nothing_else() {
    for (place, value, before, after) in [
        (
            "shaft.sections.4.outer",
            "50 mm",
            r#"  { length = "56 mm", outer = "48 mm", inner = "12 mm" },"#,
            r#"  { length = "56 mm", outer = "50 mm", inner = "12 mm" },"#,
        ),
        (
            "shaft.sections.1.inner",
            "8 mm",
            r#"  { length = "40 mm", outer = "30 mm" },"#,
            r#"  { length = "40 mm", outer = "30 mm", inner = "8 mm" },"#,
        ),
        (
            "shaft.rotors.2",
            "247 mm",
            r#"rotors = ["130 mm", "246 mm"]         # mid-plane of each rotor journal"#,
            r#"rotors = ["130 mm", "247 mm"]         # mid-plane of each rotor journal"#,
        ),
        (
            "shaft.main.1.stiffness",
            "0.31 kN/mm",
            r#"stiffness = "300 N/um"                # of seat and housing, in series with the film"#,
            r#"stiffness = "0.31 kN/mm"                # of seat and housing, in series with the film"#,
        ),
        ("shaft.weight.rear counterweight.mass", "2 lb", r#"mass = "1.2 kg""#, r#"mass = "2 lb""#),
        (
            "bearing.rotor.clearance",
            "0.1 mm",
            r#"clearance = "0.08 mm"                 # on the diameter"#,
            r#"clearance = "0.1 mm"                 # on the diameter"#,
        ),
        ("gas.compression_ratio", "9", "compression_ratio = 8.8", "compression_ratio = 9"),
        (
            "uncertainty.model",
            "0.45",
            "model = 0.3                           # of the tilt",
            "model = 0.45                           # of the tilt",
        ),
    ] {
        let text = amend(EXAMPLE, place, value).unwrap();
        assert_eq!(changed(EXAMPLE, &text), [(before, after)], "{place}");
        assert!(read(&text).is_ok());
    }
}

#[test]
fn ends_of_lines_stay() {
    for (place, value, from, to) in [
        ("shaft.sections.4.outer", "50 mm", "outer = \"48 mm\"", "outer = \"50 mm\""),
        ("shaft.main.2.at", "302 mm", "at = \"301 mm\"", "at = \"302 mm\""),
    ] {
        let before = format!("\u{feff}{}", EXAMPLE.replace('\n', "\r\n"));
        assert_eq!(amend(&before, place, value).unwrap(), before.replace(from, to));
    }
}

#[test]
fn what_was_not_there_is_added() {
    let text = amend(EXAMPLE, "gas.trace", "hard.csv").unwrap();
    assert!(text.contains("side_share = 0.05"), "{text}");
    assert_eq!(read(&text).unwrap().at_speed.gas.trace.as_deref(), Some("hard.csv"));
    let text = amend(EXAMPLE, "material.shaft steel.young", "29e3 ksi").unwrap();
    assert!(read(&text).unwrap().material("shaft steel").unwrap().young.unwrap().to_gpa() < 200.0);
    let whole = [
        ("shaft.sections", r#"[{ length = "330 mm", outer = "60 mm", inner = "10 mm" }]"#),
        ("shaft.rotors", r#"["110 mm", "226 mm"]"#),
        ("shaft.main", r#"[{ at = "45 mm" }, { at = "290 mm", stiffness = "300 N/um" }]"#),
        ("shaft.weight", r#"[{ name = "pulley", at = "10 mm", mass = "0.3 kg" }]"#),
        ("oil.viscosity", "8 mPa s"),
        ("bearing.rotor", r#"{ diameter = "74 mm", length = "60 mm", clearance = "90 um" }"#),
    ];
    let text = amend_all(PLAIN, &whole).unwrap();
    assert!(text.starts_with(PLAIN), "{text}");
    let at_speed = read(&text).unwrap().at_speed;
    let shaft = at_speed.shaft.unwrap();
    assert_eq!((shaft.mains.len(), shaft.weights.len(), shaft.throws), (2, 1, None));
    assert_eq!(at_speed.rotor_bearing.unwrap().length, q("60 mm"));
    // One alone would leave the others missing.
    let (place, list) = whole[0];
    assert!(matches!(amend(PLAIN, place, list), Err(AmendError::MakesWrong(_))));
}

#[test]
fn a_wrong_change_is_refused_with_what_is_near() {
    for (place, value, part) in [
        ("shaft.sections.8.outer", "50 mm", "sections is counted 1 to 7"),
        ("shaft.sections.0.outer", "50 mm", "sections is counted 1 to 7"),
        ("shaft.sections.2", "50 mm", "say which key of sections 2"),
        ("shaft.sections", "50 mm", "it is no list of tables"),
        ("shaft.sections", "7", "a list of tables belongs here"),
        ("shaft.sections.2.bore", "50 mm", "no key \"bore\" among length, outer, inner"),
        ("shaft.main", "[{ at = \"45 mm\" }]", "main holds several tables"),
        ("shaft.main.3.at", "90 mm", "main is counted 1 to 2"),
        ("shaft.main.1.stiffness.2", "90 mm", "stiffness is one value"),
        ("shaft.weight", "[]", "weight holds several tables: say which"),
        ("rotor", "[]", "say which rotor"),
        ("shaft.weight.flywhel.at", "90 mm", "did you mean flywheel?"),
        ("shaft.rotors.3", "90 mm", "rotors has items 1 to 2"),
        ("shaft.rotors.1", "250 mm", "246 mm is not behind 250 mm"),
        ("shaft.sections.7.length", "10 mm", "362 mm is not on the shaft"),
        ("shaft.weight.flywheel.angle", "0 deg", "unbalance is missing"),
        ("bearing.rotor.tilt_damping", "1 kN m s/rad", "radial_stiffness is missing"),
        ("gas.knock", "\"1.4\"", "without quotes or unit"),
        ("material.shaft steel.poisson", "-0.1", "is less than 0"),
        ("engine.rotors", "3", "2 places for 3 rotors"),
    ] {
        let error = amend(EXAMPLE, place, value).unwrap_err().to_string();
        assert!(error.contains(part), "{place}: {error}");
    }
}

#[test]
fn every_key_is_written_by_some_build() {
    /// Every key that holds a value, with the line of it that would be written.
    fn leaves(keys: &'static [Key], found: &mut Vec<String>) {
        for key in keys {
            match key.kind {
                Kind::Table(inner) | Kind::Each(_, inner) | Kind::ByName(inner) => {
                    leaves(inner, found);
                }
                Kind::Text | Kind::Number | Kind::List => found.push(format!("{} = ", key.name)),
            }
        }
    }
    let mut missing = Vec::new();
    leaves(keys::FILE, &mut missing);
    assert!(missing.len() > 150, "{}", missing.len());
    for seed in 0..200 {
        let text = write(&sample(seed));
        missing.retain(|line| !text.contains(line.as_str()));
    }
    assert!(missing.is_empty(), "never written: {missing:?}");
}
