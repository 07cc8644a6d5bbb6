//! Balance: read, written and amended.

use super::changed;
use crate::build_file::model::Balance;
use crate::build_file::model::balance::{Amplitude, Counted, How, Phase, Spot};
use crate::build_file::{amend, amend_all, read, write};
use kernel::balance::Grade;
use kernel::units::{Angle, Length, Mass, Quantity, Speed, Unbalance, Velocity};

const PLAIN: &str = include_str!("../../../../../examples/sprint-boat.toml");
const EXAMPLE: &str = include_str!("../../../../../examples/shelduck-hydroplane.toml");

/// Two runs, the second with a trial weight, on lines of their own and on one.
const RUNS: &str = r#"[[balance.run]]
speed = "2400 rpm"
sensors = [
  { name = "front main", amplitude = "12.1 um", phase = "63 deg" },
  { name = "rear main", velocity = "4.1 mm/s", phase = "10 deg" },
]
[[balance.run]]
speed = "2400 rpm"
front = { amount = "500 g mm", angle = "0 deg" }
sensors = [{ name = "rear main", velocity = "3 mm/s", phase = "-10 deg" }, { name = "front main", amplitude = "9 um", phase = "1 rad" }]
"#;

fn q<Q: Quantity>(text: &str) -> Q {
    Q::parse(text).unwrap()
}

fn with_runs() -> String {
    format!("{EXAMPLE}{RUNS}")
}

#[test]
fn the_example_is_what_it_says() {
    let build = read(EXAMPLE).unwrap_or_else(|problems| panic!("{}", problems.show(false)));
    let balance = &build.balance;
    assert_eq!(balance.grade, Some(Grade::mm_per_s(6.3).unwrap()));
    assert_eq!(balance.rotor_grade, Some(Grade::mm_per_s(6.3).unwrap()));
    assert_eq!(balance.speed, None);
    assert_eq!(balance.matching, Some(Mass::g(3.0)));
    assert_eq!(balance.tolerance_planes, Some([q::<Length>("75 mm"), q("301 mm")]));
    assert_eq!(balance.bob_weights.as_deref(), Some(&[Mass::g(3870.0); 2][..]));
    let instrument = balance.instrument;
    assert_eq!(instrument.spot, Some(Spot::Heavy));
    assert_eq!(instrument.angles, Some(Counted::WithRotation));
    assert_eq!(instrument.phase, Some(Phase::Lag));
    assert_eq!((instrument.u, instrument.u_share), (Some(q::<Unbalance>("4 g mm")), Some(0.01)));
    assert_eq!(instrument.speed, Some(q::<Speed>("600 rpm")));
    assert_eq!(balance.carried.len(), 6);
    assert_eq!(balance.carried[0].offset, None);
    assert!(balance.carried[5].with_rotor && !balance.carried[4].with_rotor);
    assert_eq!(balance.oil.unwrap().amount, q::<Unbalance>("0.11 kg mm"));
    let rotor = &balance.rotors[1];
    assert_eq!((rotor.serial.as_str(), rotor.after_cut), ("SR-22", Some(false)));
    assert_eq!(rotor.mandrel[1].turned, q::<Angle>("180 deg"));
    assert_eq!((rotor.rollers.len(), rotor.arm), (0, None));
    assert_eq!(balance.pockets[3].offset, Some(Length::mm(-12.0)));
    let (front, rear) = (balance.front.as_ref().unwrap(), balance.rear.as_ref().unwrap());
    assert_eq!((front.weight.as_deref(), front.at), (Some("front counterweight"), None));
    assert_eq!(rear.at, Some(q("331 mm")));
    assert_eq!((front.places.len(), front.places[0].angles.len()), (1, 12));
    assert_eq!((front.places[0].how, front.places[0].width), (How::FaceHole, None));
    assert_eq!(balance.measured.unwrap().rear.angle, q::<Angle>("18 deg"));
    assert_eq!((balance.after, balance.runs.len()), (None, 0));
}

#[test]
fn the_example_agrees_with_itself() {
    let build = read(EXAMPLE).unwrap();
    let balance = &build.balance;
    // Bob weights stand for the rotors with all they carry.
    let apart: Mass = balance.carried.iter().filter(|c| !c.with_rotor).map(|c| c.mass).sum();
    for (rotor, bob) in build.rotors.iter().zip(balance.bob_weights.as_ref().unwrap()) {
        let whole = rotor.readings.mass.unwrap() + apart;
        assert!((whole - *bob).abs() < Mass::g(5.0), "{}: {whole:?}", rotor.serial);
    }
    // Places lie round the heavy side of their weights.
    let weights = &build.at_speed.shaft.as_ref().unwrap().weights;
    for plane in [&balance.front, &balance.rear] {
        let plane = plane.as_ref().unwrap();
        let weight = weights.iter().find(|w| Some(&w.name) == plane.weight.as_ref()).unwrap();
        let heavy = weight.unbalance.unwrap().angle;
        for angle in &plane.places[0].angles {
            let apart_rad = (*angle - heavy).to_rad();
            assert!(apart_rad.cos() > 0.5, "{angle:?} of {}", weight.name);
        }
    }
}

#[test]
fn what_is_left_out_is_nothing() {
    assert_eq!(read(PLAIN).unwrap().balance, Balance::default());
    let empty = format!("{PLAIN}[balance]\n[balance.instrument]\n");
    assert_eq!(read(&empty).unwrap(), read(PLAIN).unwrap());
    // A plane that is there says so, whatever is in it.
    let plane = read(&format!("{PLAIN}[balance.front]\n")).unwrap();
    assert!(plane.balance.front.is_some() && plane.balance.rear.is_none());
    assert_eq!(read(&write(&plane)).unwrap(), plane);
}

#[test]
fn runs_and_readings_of_every_kind_come_back() {
    let rollers = "arm = \"85 mm\"\nrollers = [{ at = \"0 deg\", mass = \"12.4 g\" }, \
                   { at = \"120 deg\", mass = \"1 oz\" }, { at = \"240 deg\", mass = \"0 g\" }]\nmandrel";
    let text = with_runs().replacen("mandrel", rollers, 1);
    let build = read(&text).unwrap_or_else(|problems| panic!("{}", problems.show(false)));
    let balance = &build.balance;
    assert_eq!((balance.rotors[0].rollers.len(), balance.rotors[1].rollers.len()), (3, 0));
    assert_eq!(balance.rotors[0].rollers[1].mass, q::<Mass>("1 oz"));
    let [still, tried] = &balance.runs[..] else { panic!("{:?}", balance.runs) };
    assert_eq!((still.front, still.rear, tried.rear), (None, None, None));
    assert_eq!(tried.front.unwrap().amount, q::<Unbalance>("500 g mm"));
    assert_eq!(still.sensors[1].amplitude, Amplitude::Velocity(q::<Velocity>("4.1 mm/s")));
    assert_eq!(tried.sensors[1].amplitude, Amplitude::Displacement(q("9 um")));
    assert_eq!(read(&write(&build)).unwrap(), build);
}

#[test]
fn everything_wrong_comes_in_one_pass_in_the_order_of_the_file() {
    let text = with_runs()
        .replace("rotor_grade = \"G 6.3\"", "rotor_grade = 6.3")
        .replace("mass = \"82.5 g\"", "mass = \"82.5\"")
        .replace("mass = \"15.3 g\"", "mass = \"15.3\"")
        .replace("amount = \"82.3 g mm\"", "amount = \"82.3 g\"")
        .replace("amount = \"173.9 g mm\"", "amount = \"173.9 g\"")
        .replace("\"305 deg\"", "\"305\"")
        .replace("face_at = \"338 mm\"", "face_at = \"383 mm\"")
        .replace("amplitude = \"12.1 um\"", "amplitude = \"12.1\"")
        .replace("velocity = \"4.1 mm/s\"", "velocity = \"4.1\"")
        .replace("phase = \"1 rad\"", "phase = \"1\"");
    let problems = read(&text).unwrap_err();
    let places: Vec<_> = problems.list().iter().map(|p| p.place.as_str()).collect();
    assert_eq!(
        places,
        [
            "balance.rotor_grade",
            "balance.carried.apex seals.mass",
            "balance.carried.springs.mass",
            "balance.rotor.SR-21.mandrel.1.amount",
            "balance.rotor.SR-21.mandrel.2.amount",
            "balance.rear.place.1.angles.1",
            "balance.rear.place.1.face_at",
            "balance.run.1.sensors.front main.amplitude",
            "balance.run.1.sensors.rear main.velocity",
            "balance.run.2.sensors.front main.phase",
        ]
    );
    // Every place is where a value can be entered.
    for place in places {
        let error = amend(&text, place, "x").unwrap_err().to_string();
        assert!(!error.starts_with("nothing is at"), "{error}");
    }
}

#[test]
fn one_slip_is_one_problem() {
    for (from, to, said) in [
        ("serial = \"SR-21\"\nmass", "serial = \"SR-20\"\nmass", "no rotor \"SR-21\""),
        ("serial = \"SR-21\"\nmass", "serial = \"SR-22\"\nmass", "also the serial of number 1"),
        ("serial = \"SR-21\"\nmass", "seril = \"SR-21\"\nmass", "unknown key \"seril\""),
        ("name = \"front counter", "nam = \"front counter", "unknown key \"nam\""),
        ("drills = [\"6 mm\", \"8 mm\"]", "drill = [\"6 mm\"]", "unknown key \"drill\""),
        ("name = \"rear main\", velocity = \"4", "name = \"rear man\", velocity = \"4", "rear man"),
        ("[[balance.front.place]]", "[[balance.front.places]]", "unknown key \"places\""),
        ("[[balance.run]]", "[[balance.runs]]", "unknown key \"runs\""),
    ] {
        let text = with_runs().replacen(from, to, 1);
        let problems = read(&text).unwrap_err();
        assert_eq!(problems.list().len(), 1, "{problems}");
        assert!(problems.to_string().contains(said), "{problems}");
    }
}

#[test]
fn one_value_is_changed_and_nothing_else() {
    let text = with_runs();
    for (place, value, before, after) in [
        (
            "balance.grade",
            "G 1",
            r#"grade = "G 6.3"                       # of the shaft with all that turns with it"#,
            r#"grade = "G 1"                       # of the shaft with all that turns with it"#,
        ),
        (
            "balance.front.drills",
            "[\"5 mm\"]",
            r#"drills = ["6 mm", "8 mm"]"#,
            r#"drills = ["5 mm"]"#,
        ),
        (
            "balance.front.drills.2",
            "1/4 in",
            r#"drills = ["6 mm", "8 mm"]"#,
            r#"drills = ["6 mm", "1/4 in"]"#,
        ),
        (
            "balance.rear.place.1.angles.4",
            "334 deg",
            r#"  "305 deg", "315 deg", "325 deg", "335 deg", "345 deg", "355 deg","#,
            r#"  "305 deg", "315 deg", "325 deg", "334 deg", "345 deg", "355 deg","#,
        ),
        (
            "balance.rotor.SR-22.mass_centre",
            "-0.5 mm",
            r#"mass_centre = "0.5 mm""#,
            r#"mass_centre = "-0.5 mm""#,
        ),
        (
            "balance.rotor.SR-21.mandrel.2.amount",
            "170 g mm",
            r#"  { turned = "180 deg", amount = "173.9 g mm", angle = "215.7 deg" },"#,
            r#"  { turned = "180 deg", amount = "170 g mm", angle = "215.7 deg" },"#,
        ),
        ("balance.carried.oil seals.mass", "97 g", r#"mass = "96.4 g""#, r#"mass = "97 g""#),
        ("balance.pocket.web under tip 1.most", "5 g", r#"most = "4 g""#, r#"most = "5 g""#),
        (
            "balance.measured.front.angle",
            "152 deg",
            r#"front = { amount = "412 g mm", angle = "151 deg" }"#,
            r#"front = { amount = "412 g mm", angle = "152 deg" }"#,
        ),
        (
            "balance.run.1.sensors.rear main.velocity",
            "4.2 mm/s",
            r#"  { name = "rear main", velocity = "4.1 mm/s", phase = "10 deg" },"#,
            r#"  { name = "rear main", velocity = "4.2 mm/s", phase = "10 deg" },"#,
        ),
        (
            "balance.run.2.front.amount",
            "600 g mm",
            r#"front = { amount = "500 g mm", angle = "0 deg" }"#,
            r#"front = { amount = "600 g mm", angle = "0 deg" }"#,
        ),
        ("balance.instrument.u_share", "0.04", "u_share = 0.01", "u_share = 0.04"),
    ] {
        let amended = amend(&text, place, value).unwrap();
        let [(was, is)] = &changed(&text, &amended)[..] else { panic!("{place}: {amended}") };
        assert!(was.starts_with(before) && is.starts_with(after), "{place}: {was} -> {is}");
        assert!(read(&amended).is_ok());
    }
}

#[test]
fn what_was_not_there_is_added() {
    let whole = [
        ("balance.grade", "G 6.3"),
        ("balance.bob_weights", r#"["4.6 kg", "4.6 kg"]"#),
        ("balance.instrument.spot", "light"),
        ("balance.carried", r#"[{ name = "apex seals", mass = "95 g", weighed = "apart" }]"#),
        ("balance.oil.amount", "90 g mm"),
        ("balance.rotor", r#"[{ serial = "R-114" }]"#),
        ("balance.rotor.R-114.mass_centre", "0.4 mm"),
        (
            "balance.rotor.R-114.mandrel",
            r#"[{ turned = "0 deg", amount = "80 g mm", angle = "3 deg" }]"#,
        ),
        ("balance.front.at", "40 mm"),
        ("balance.front.drills", r#"["6 mm"]"#),
        (
            "balance.front.place",
            r#"[{ how = "slug", angles = ["0 deg"], radius = "50 mm", deepest = "9 mm" }]"#,
        ),
        ("balance.front.slug_density", "17 g/cm3"),
        ("balance.front.place.1.edge", "9 mm"),
        ("balance.measured.front", r#"{ amount = "10 g mm", angle = "3 deg" }"#),
        ("balance.measured.rear", r#"{ amount = "20 g mm", angle = "4 deg" }"#),
        (
            "balance.run",
            r#"[{ speed = "1800 rpm", sensors = [{ name = "tail", amplitude = "9 um", phase = "3 deg" }] }]"#,
        ),
        ("balance.run.1.rear", r#"{ amount = "1 oz in", angle = "90 deg" }"#),
    ];
    let text = amend_all(PLAIN, &whole).unwrap_or_else(|error| panic!("{error}"));
    assert!(text.starts_with(PLAIN), "{text}");
    let balance = read(&text).unwrap().balance;
    assert_eq!(balance.grade, Some(Grade::mm_per_s(6.3).unwrap()));
    assert_eq!(balance.instrument.spot, Some(Spot::Light));
    assert_eq!(balance.rotors[0].mass_centre, Some(q("0.4 mm")));
    assert_eq!(balance.rotors[0].mandrel.len(), 1);
    let front = balance.front.unwrap();
    assert_eq!((front.at, front.places[0].edge), (Some(q("40 mm")), Some(q("9 mm"))));
    assert_eq!(balance.measured.unwrap().rear.amount, q::<Unbalance>("20 g mm"));
    assert_eq!(balance.runs[0].rear.unwrap().amount, q::<Unbalance>("1 oz in"));
    // Into a table that is there.
    let text = amend(EXAMPLE, "balance.speed", "9000 rpm").unwrap();
    assert_eq!(read(&text).unwrap().balance.speed, Some(q("9000 rpm")));
    let text = amend(EXAMPLE, "balance.front.at", "53 mm").unwrap();
    assert_eq!(read(&text).unwrap().balance.front.unwrap().at, Some(q("53 mm")));
    let after = r#"{ front = { amount = "9 g mm", angle = "0 deg" }, rear = { amount = "8 g mm", angle = "0 deg" } }"#;
    let text = amend(EXAMPLE, "balance.after", after).unwrap();
    assert_eq!(read(&text).unwrap().balance.after.unwrap().rear.amount, Unbalance::g_mm(8.0));
}

#[test]
fn a_wrong_change_is_refused_with_what_is_near() {
    let text = with_runs();
    for (place, value, part) in [
        ("balance.front.drill", "[\"5 mm\"]", "did you mean drills?"),
        ("balance.front.drills.3", "5 mm", "drills has items 1 to 2"),
        ("balance.front.drills", "[]", "0 drills; expected 1 to 12 diameters"),
        ("balance.front.place.2.radius", "50 mm", "place is counted 1 to 1"),
        ("balance.front.place.1.how", "slug", "slug_density is missing"),
        ("balance.front.weight", "flywheel", "331 mm is not behind the front plane, 362 mm"),
        ("balance.rotor", "[]", "say which rotor"),
        ("balance.rotor.SR-21", "1", "say which key of rotor SR-21"),
        ("balance.rotor.SR-12.mass_centre", "1 mm", "no rotor of serial \"SR-12\""),
        ("balance.rotor.SR-21.arm", "85 mm", "an arm without rollers"),
        ("balance.carried.apex seal.mass", "1 g", "did you mean apex seals?"),
        ("balance.run.3.speed", "900 rpm", "run is counted 1 to 2"),
        ("balance.run.1.sensors.front.phase", "9 deg", "among front main, rear main"),
        ("balance.run.1.sensors.front main.velocity", "9 mm/s", "velocity beside amplitude"),
        (
            "balance.run.2.front.amount",
            "0 g mm",
            "write what was on; in a run without one leave front or rear out",
        ),
        ("balance.measured", "{ front = {} }", "rear is missing"),
        ("balance.tolerance_planes.1", "302 mm", "301 mm is not behind 302 mm"),
        ("rotor.SR-21.serial", "SR-23", "no rotor \"SR-21\" is in this build"),
        ("shaft.weight.rear counterweight.name", "tail", "no weight \"rear counterweight\""),
    ] {
        let error = amend(&text, place, value).unwrap_err().to_string();
        assert!(error.contains(part), "{place}: {error}");
    }
}
