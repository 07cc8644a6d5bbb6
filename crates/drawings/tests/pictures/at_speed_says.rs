//! What the pictures of the rotor at speed say: the same in the drawing, the description and the
//! table, and without the help of colour.

use crate::at_speed::{self, no_wear, shaft_line, speed_gap, tilt_path, tip_budget, wear_map};
use crate::sample::{LONG, Picture};
use drawings::{Options, Touch, Wall};
use kernel::units::{Angle, Length};
use roxmltree::Document;

/// All text of the drawing, and its description.
fn texts(svg: &str) -> (String, String) {
    let document = Document::parse(svg).unwrap();
    let of = |tag: &str| {
        let nodes = document.descendants().filter(|n| n.has_tag_name(tag));
        nodes.filter_map(|n| n.text()).collect::<Vec<_>>().join(" ")
    };
    (of("text"), of("desc"))
}

fn cells(csv: &str, what: &str) -> Vec<Vec<String>> {
    let rows = csv.lines().filter(|line| line.starts_with(&format!("{what},")));
    rows.map(|line| line.split(',').map(str::to_owned).collect()).collect()
}

#[test]
fn the_foot_says_what_the_shaft_was_taken_from() {
    let said = "Shaft assumed from the engine's sizes.";
    let with = |assumed: bool| {
        [
            drawings::SpeedGap { assumed_shaft: assumed, ..speed_gap() }.svg(&Options::default()),
            drawings::TipBudget { assumed_shaft: assumed, ..tip_budget() }.svg(&Options::default()),
            drawings::TiltPath { assumed_shaft: assumed, ..tilt_path() }.svg(&Options::default()),
            drawings::WearMap { assumed_shaft: assumed, ..wear_map() }.svg(&Options::default()),
            drawings::ShaftLine { assumed_shaft: assumed, ..shaft_line() }.svg(&Options::default()),
        ]
    };
    for (assumed, not) in with(true).iter().zip(&with(false)) {
        let ((drawn, described), (drawn_not, described_not)) = (texts(assumed), texts(not));
        assert!(drawn.contains(said) && described.contains(said), "{drawn}");
        assert!(!drawn_not.contains(said) && !described_not.contains(said), "{drawn_not}");
    }
}

/// The figures at the duty stand in the drawing's text, in the description and in the table.
#[test]
fn the_duty_is_told_three_times() {
    let model = speed_gap();
    let (drawn, described) = texts(&model.svg(&Options::default()));
    for rotor in &model.rotors {
        let point = rotor.points.iter().find(|p| (p.speed - model.duty).abs().to_rpm() < 1.0);
        let gap_um = point.unwrap().worst_float.to_um();
        let said = format!("{gap_um:.0} \u{b5}m (");
        assert!(drawn.contains(&said) && described.contains(&said), "{said}");
        let row = format!("least gap at worst float,{},9000.0,{gap_um:.1},", rotor.serial);
        assert!(model.csv().contains(&row), "{row}");
    }
    for said in ["allows a chance of contact of 5.0 %", "first bending, forward, 14800 rpm"] {
        assert!(described.contains(said), "{said}");
    }
    assert!(drawn.contains("Critical speed outside this range: first bending, forward"));
}

/// What is touched is crossed out, and what is above the allowed chance is hatched.
#[test]
fn touching_is_told_by_hatching_and_shape() {
    let marks = |name: &str, what: &str| {
        let pictures = at_speed::all();
        let picture = pictures.iter().find(|p| p.name == name).unwrap();
        picture.svg.matches(what).count()
    };
    assert_eq!(marks("speed-gap", "-barred)"), 2, "one in each panel");
    assert_eq!(marks("speed-gap-four-rotors-touching", "-stock)"), 4);
    // Triangles: at the duty in the panel and in the strip of each.
    assert_eq!(marks("speed-gap-four-rotors-touching", "class=\"bad\""), 8);
    assert_eq!(marks("tip-budget", "-barred)"), 0);
    assert_eq!(marks("tip-budget-touching-ugly", "-barred)"), 1);
}

#[test]
fn every_cause_is_told_with_its_sign() {
    let model = tip_budget();
    let (drawn, described) = texts(&model.svg(&Options::default()));
    for (label, change) in [
        ("heat", "\u{2212}35 \u{b5}m (\u{2212}1.4 thou)"),
        ("gear", "+4 \u{b5}m (+0.2 thou)"),
        ("contact", "0 \u{b5}m (0.0 thou)"),
    ] {
        assert!(drawn.contains(label) && drawn.contains(change), "{label}: {drawn}");
        assert!(described.contains(&format!("{label}: {change}, leaves ")), "{described}");
    }
    let rows: Vec<f64> = model.causes.iter().map(|c| c.change.to_um()).collect();
    let told: f64 = model
        .csv()
        .lines()
        .skip(1)
        // Levels, not changes, whose names have a comma.
        .filter(|line| !line.starts_with('"'))
        .filter_map(|line| line.split(',').nth(4).and_then(|cell| cell.parse::<f64>().ok()))
        .sum();
    assert!((told - rows.iter().sum::<f64>()).abs() < 0.05 * rows.len() as f64, "{told}");
}

#[test]
fn the_path_is_whole_in_the_table_and_marked_every_quarter() {
    let model = tilt_path();
    assert_eq!(cells(&model.csv(), "path").len(), 1080);
    let (drawn, described) = texts(&model.svg(&Options::default()));
    for degree in (0..1080).step_by(90) {
        assert!(drawn.contains(&format!("{degree}\u{b0}")), "{degree}");
        assert!(described.contains(&format!("At {degree}\u{b0}: x ")), "{degree}");
    }
    let least = "Least gap 40 \u{b5}m (1.6 thou) at 812\u{b0} of shaft";
    assert!(drawn.contains(least) && described.contains(least));
    assert!(described.contains("in 19 of 72 directions the lands stop the rotor first"));
}

/// Equal scales: a step along x and along y is as long on the sheet.
#[test]
fn the_scales_of_the_tilt_are_equal() {
    let square = |side: f64| {
        [(1.0, 1.0), (-1.0, 1.0), (-1.0, -1.0), (1.0, -1.0)]
            .map(|(x, y)| drawings::Slope { x: Angle::rad(side * x), y: Angle::rad(side * y) })
    };
    let model = drawings::TiltPath {
        jams: vec![drawings::JamOutline { at: None, corners: square(1.5e-3).to_vec() }],
        touches: Vec::new(),
        least: None,
        ..tilt_path()
    };
    let svg = model.svg(&Options::default());
    let edge = svg.lines().find(|line| line.contains("class=\"edge\"")).unwrap();
    let d = edge.split('"').find(|part| part.starts_with('M')).unwrap();
    let points: Vec<(f64, f64)> = d
        .trim_start_matches('M')
        .trim_end_matches('z')
        .split(' ')
        .map(|p| p.split_once(',').unwrap())
        .map(|(x, y)| (x.parse().unwrap(), y.parse().unwrap()))
        .collect();
    let (wide, high) = (points[0].0 - points[1].0, points[2].1 - points[1].1);
    assert!(wide > 100.0 && (wide - high).abs() < 0.1, "{wide} {high}");
}

#[test]
fn no_contact_is_said_in_words() {
    let model = no_wear();
    let (drawn, described) = texts(&model.svg(&Options::default()));
    assert!(drawn.contains("No contact on this wall"), "{drawn}");
    assert!(described.contains("No contact on the front wall."), "{described}");
    assert!(cells(&model.csv(), "land rubs").is_empty());
    let (drawn, _) = texts(&wear_map().svg(&Options::default()));
    assert!(!drawn.contains("No contact"));
}

/// Where the tips rub the shares add up, and each wall says how it is seen.
#[test]
fn shares_and_sides_are_those_of_the_marks() {
    let model = wear_map();
    let of = |part: Touch| -> f64 {
        model.contacts.iter().filter(|c| c.part == part).map(|c| c.share).sum()
    };
    let (drawn, described) = texts(&model.svg(&Options::default()));
    let said =
        format!("lands {:.0} %, tips {:.0} %.", 100.0 * of(Touch::Land), 100.0 * of(Touch::Tip));
    assert!(drawn.contains(&said) && described.contains(&said), "{said}: {drawn}");
    let rear = "mirrored: +x on the left; the shaft turns clockwise";
    assert!(described.contains(rear), "{described}");
    let front = drawings::WearMap { wall: Wall::Front, ..wear_map() };
    let (_, described) = texts(&front.svg(&Options::default()));
    assert!(described.contains("+x on the right; the shaft turns anticlockwise"), "{described}");
}

/// A mark's area goes with its share: twice the share, twice the area.
#[test]
fn a_mark_is_as_large_as_its_share() {
    let mut model = wear_map();
    model.contacts.truncate(2);
    for (contact, share) in model.contacts.iter_mut().zip([0.2, 0.1]) {
        (contact.part, contact.share) = (Touch::Land, share);
    }
    let svg = model.svg(&Options::default());
    let sides: Vec<f64> = svg
        .lines()
        .filter(|line| line.contains("class=\"good\""))
        .map(|line| line.split(['h', 'v']).find_map(|part| part.parse().ok()).unwrap())
        .collect();
    // The two of the wall and the one of the legend.
    assert_eq!(sides.len(), 3, "{sides:?}");
    assert!((sides[0] * sides[0] / (sides[1] * sides[1]) - 2.0).abs() < 0.01, "{sides:?}");
}

#[test]
fn the_shaft_is_told_in_words() {
    let model = shaft_line();
    let (drawn, described) = texts(&model.svg(&Options::default()));
    for said in [
        "1: rotor R-114, throw at 0\u{b0}; slope 0.42 mrad, across \u{2212}0.11 mrad.",
        "Largest bending stress 113 MPa at 159 mm (6.25 in).",
    ] {
        assert!(drawn.contains(said) && described.contains(said), "{said}: {drawn}");
    }
    assert!(drawn.contains("deflection 600 times larger"), "{drawn}");
    assert_eq!(cells(&model.csv(), "stretch").len(), 7);
    let pictures = at_speed::all();
    let sixty: &Picture = pictures.iter().find(|p| p.name == "shaft-line-sixty-stretches").unwrap();
    let (drawn, _) = texts(&sixty.svg);
    (0..4).for_each(|n| assert!(drawn.contains(&format!("{LONG}-{n}")), "{n}"));
    assert_eq!(cells(&sixty.csv, "stretch").len(), 60);
}

/// A deflection is drawn as many times larger as is said.
#[test]
fn the_bent_axis_is_enlarged_by_the_factor_that_is_said() {
    let model = shaft_line();
    let svg = model.svg(&Options::default());
    let line = svg.lines().find(|line| line.contains("class=\"curve\"")).unwrap();
    let d = line.split('"').find(|part| part.starts_with('M')).unwrap();
    let points: Vec<(f64, f64)> = d
        .trim_start_matches('M')
        .split(' ')
        .map(|p| p.split_once(',').unwrap())
        .map(|(x, y)| (x.parse().unwrap(), y.parse().unwrap()))
        .collect();
    let per_mm = (points[80].0 - points[0].0) / 470.0;
    let most = model.axis.iter().map(|p| p.along).fold(Length::ZERO, Length::max);
    let rise = points[0].1 - points.iter().map(|p| p.1).fold(f64::INFINITY, f64::min);
    let times = rise / per_mm / most.to_mm();
    assert!((times - 600.0).abs() < 3.0, "{times}");
}
