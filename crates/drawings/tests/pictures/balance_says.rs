//! What the pictures of balancing say: the same in the drawing, the description and the table;
//! that holes are to scale and angles run with the shaft as it is seen.

use crate::balance::{face, ninety_six, plane, rear_sensor, rim, vectors};
use drawings::{
    BalanceArrow, BalanceVectors, CounterweightFace, Options, SeenFrom, UnbalanceOf, VectorKind,
};
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

/// Centre and radius of the circles of a class.
fn circles(svg: &str, class: &str) -> Vec<[f64; 3]> {
    let document = Document::parse(svg).unwrap();
    document
        .descendants()
        .filter(|n| n.has_tag_name("circle") && n.attribute("class") == Some(class))
        .map(|n| ["cx", "cy", "r"].map(|name| n.attribute(name).unwrap().parse().unwrap()))
        .collect()
}

/// The corners of the closed lines of a class.
fn outlines(svg: &str, class: &str) -> Vec<Vec<(f64, f64)>> {
    let document = Document::parse(svg).unwrap();
    document
        .descendants()
        .filter(|n| n.has_tag_name("path") && n.attribute("class") == Some(class))
        .filter_map(|n| n.attribute("d").unwrap().strip_prefix('M')?.strip_suffix('z'))
        .filter(|d| !d.contains(['a', 'h', 'M']))
        .map(|d| {
            let points = d.split(' ').map(|point| point.split_once(',').unwrap());
            points.map(|(x, y)| (x.parse().unwrap(), y.parse().unwrap())).collect()
        })
        .collect()
}

#[test]
fn every_arrow_is_told_three_times() {
    let model = vectors();
    let (drawn, described) = texts(&model.svg(&Options::default()));
    for (amount, angle, kind) in [
        ("8.50", "60.0", "as found"),
        ("8.07", "197.6", "effect of trial"),
        ("8.85", "245.5", "correction"),
        ("0.900", "310.0", "left over"),
    ] {
        for said in [format!("{amount} \u{b5}m"), format!("{angle}\u{b0}"), kind.to_owned()] {
            assert!(drawn.contains(&said) && described.contains(&said), "{said}: {drawn}");
        }
        let csv = model.csv();
        let row = csv.lines().find(|line| line.starts_with(&format!("{kind},"))).unwrap();
        // From the end, as a name may have commas: amount, angle, then the two ends.
        let cells: Vec<f64> = row.rsplit(',').take(6).filter_map(|c| c.parse().ok()).collect();
        let near = |said: &str, half: f64| {
            let said: f64 = said.parse().unwrap();
            cells.iter().any(|cell| (cell - said).abs() <= half)
        };
        assert!(near(amount, 0.005) && near(angle, 0.05), "{row}");
    }
    for said in ["permitted at this sensor", "0\u{b0} = throw of rotor 1", "turns clockwise"] {
        assert!(drawn.contains(said) && described.contains(said), "{said}");
    }
    assert!(model.csv().contains("tolerance circle,permitted at this sensor,,\u{b5}m,1.800000,"));
}

#[test]
fn what_is_small_is_shown_enlarged_and_only_then() {
    let said = |model: &BalanceVectors| texts(&model.svg(&Options::default())).0;
    assert!(said(&plane()).contains("around zero, enlarged"));
    assert!(!said(&rear_sensor()).contains("enlarged"));
    let side = |model: &CounterweightFace| texts(&model.svg(&Options::default())).0;
    assert!(side(&face()).contains("around the axis, enlarged"));
    assert!(!side(&rim()).contains("enlarged"));
}

/// The arrow's head is where its amount and angle say: measured with the rings of the drawing.
#[test]
fn an_arrow_ends_at_its_amount_and_angle() {
    for (seen_from, hand) in [(SeenFrom::Front, 1.0), (SeenFrom::Rear, -1.0)] {
        let to = (3.0, 4.0);
        let arrow =
            BalanceArrow { kind: VectorKind::AsFound, name: String::new(), from: (0.0, 0.0), to };
        let model = BalanceVectors { seen_from, arrows: vec![arrow], tolerance: None, ..vectors() };
        let svg = model.svg(&Options::default());
        let [cx, cy, rim] = circles(&svg, "thin")[0];
        // Rings at 1, 2 and so on up to the rim at 6.
        assert_eq!(circles(&svg, "faint").len(), 6);
        let per_unit = rim / 6.0;
        let wanted = (cx + hand * 4.0 * per_unit, cy - 3.0 * per_unit);
        let heads = outlines(&svg, "ink");
        let off = |p: &(f64, f64)| (p.0 - wanted.0).hypot(p.1 - wanted.1);
        assert!(heads.iter().flatten().any(|p| off(p) < 0.02), "{wanted:?}: {heads:?}");
    }
}

/// Places and holes at their true radii and diameters, on the side where they are seen.
#[test]
fn the_face_is_to_scale_and_turns_as_it_says() {
    for (seen_from, hand, turns) in
        [(SeenFrom::Front, 1.0, " clockwise"), (SeenFrom::Rear, -1.0, "anticlockwise")]
    {
        let mut model = CounterweightFace { seen_from, ..face() };
        for (place, deg) in model.places.iter_mut().zip([90.0, 0.0]) {
            place.angle_deg = deg;
        }
        let svg = model.svg(&Options::default());
        let faint = circles(&svg, "faint");
        let ([cx, cy, rim], [x, y, r], [top_x, top_y, _]) = (faint[0], faint[1], faint[2]);
        let per_mm = hand * (x - cx) / 62.0;
        assert!(per_mm > 0.0 && (y - cy).abs() < 0.02, "a quarter turn ahead is on that side");
        assert!((top_x - cx).abs() < 0.02 && (cy - top_y - 62.0 * per_mm).abs() < 0.05);
        assert!((r - 5.0 * per_mm).abs() < 0.02, "{r} {per_mm}");
        assert!(rim > 67.0 * per_mm);
        let (drawn, described) = texts(&svg);
        assert!(drawn.contains(turns) && described.contains(turns), "{drawn}");
        assert!(drawn.contains("outline not to the part"));
    }
}

/// A hole from the rim: as wide as its drill, as deep as it goes, its point inwards.
#[test]
fn a_hole_in_the_rim_is_to_scale() {
    let model = rim();
    let svg = model.svg(&Options::default());
    let [cx, cy, _] = circles(&svg, "faint")[0];
    let edges = outlines(&svg, "edge");
    let hole = edges.iter().find(|corners| corners.len() == 5).unwrap();
    // It starts at the rim, 74 mm from the axis.
    let middle = (0.5 * (hole[0].0 + hole[4].0), 0.5 * (hole[0].1 + hole[4].1));
    let per_mm = (middle.0 - cx).hypot(middle.1 - cy) / 74.0;
    let far = |a: (f64, f64), b: (f64, f64)| (a.0 - b.0).hypot(a.1 - b.1) / per_mm;
    assert!((far(hole[0], hole[4]) - 9.5).abs() < 0.05, "{hole:?}");
    assert!((far(hole[0], hole[1]) - 15.0).abs() < 0.05, "{hole:?}");
    assert!((far(hole[2], (cx, cy)) - (74.0 - 17.85)).abs() < 0.05, "{hole:?}");
}

#[test]
fn every_work_is_told_three_times() {
    let model = face();
    let (drawn, described) = texts(&model.svg(&Options::default()));
    for said in [
        "150.0\u{b0}",
        "60.0\u{b0}",
        "62.00",
        "8.00",
        "12.40",
        "14.80",
        "4.90 g",
        "578 g mm (0.803 oz in)",
        "159.4\u{b0}",
        "6.10 g mm (0.00847 oz in)",
        "10.0 g mm (0.0139 oz in)",
        "Place 3, hole along the shaft:",
        "throw 2",
    ] {
        assert!(drawn.contains(said), "{said}: {drawn}");
    }
    let said = "1: Place 3, hole along the shaft: \u{d8}8 \u{d7} 12.4 deep, 4.9 g; at 150.0\u{b0}, \
                60.0\u{b0} on the machine's scale, radius 62.000 mm (2.4409 in), diameter 8.000 mm";
    assert!(described.contains(said), "{described}");
    let caution = "Stop at the depth: 9.0 mm behind the face the bore begins.";
    assert!(drawn.contains(caution) && described.contains(caution));
    assert!(described.contains("2 of 9 places used."));
    let csv = model.csv();
    let row = "hole along the shaft,\"\u{d8}8 \u{d7} 12.4 deep, 4.9 g\",1,3,150.000,60.000,62.000,\
               8.000,12.400,14.800,4.900,";
    assert!(csv.contains(row), "{csv}");
    assert_eq!(csv.lines().filter(|line| line.starts_with("not used,")).count(), 7);
}

#[test]
fn the_legend_of_the_face_lists_only_what_is_drawn() {
    let said = |model: &CounterweightFace| texts(&model.svg(&Options::default())).0;
    let (one, all) = (said(&face()), said(&rim()));
    for (words, in_one) in
        [("metal to take away", true), ("slug to put in", false), ("mass to fasten on", false)]
    {
        assert_eq!(one.contains(words), in_one, "{words}");
        assert!(all.contains(words), "{words}");
    }
    assert!(one.contains("zero of the machine's scale") && !all.contains("zero of the machine"));
}

/// Every number that the table has is in the drawing, or the picture says which is not.
#[test]
fn no_number_is_lost_among_many() {
    let mut model = ninety_six();
    for (n, place) in model.places.iter_mut().enumerate() {
        place.work = face().places[2].work.clone();
        if let Some(work) = &mut place.work {
            work.number = n + 101;
        }
    }
    let svg = model.svg(&Options::default());
    let document = Document::parse(&svg).unwrap();
    let all: Vec<_> = document
        .descendants()
        .filter(|n| n.has_tag_name("text"))
        .filter_map(|n| n.text())
        .collect();
    let missed = texts(&svg).0;
    let missed = missed.split_once("No room in the drawing").map_or("", |(_, rest)| rest);
    for n in 101..=196 {
        let words = n.to_string();
        let times = all.iter().filter(|text| **text == words).count();
        let excused = times == 1 && missed.contains(&words);
        assert!(times == 2 || excused, "{n}: {times}");
    }
}

#[test]
fn a_balanced_plane_has_no_direction() {
    let zero = Some(UnbalanceOf { amount_g_mm: 0.0, angle_deg: 77.0 });
    let model = CounterweightFace { before: zero, after: zero, ..face() };
    let (drawn, described) = texts(&model.svg(&Options::default()));
    assert!(drawn.contains("0 g mm (0 oz in)") && !drawn.contains("77.0"));
    assert!(described.contains("Unbalance before: 0 g mm (0 oz in)."));
    let nothing = CounterweightFace { places: face().places.split_off(8), ..model };
    let (drawn, described) = texts(&nothing.svg(&Options::default()));
    let said = "Nothing is to be done at the one place.";
    assert!(drawn.contains(said) && described.contains(said), "{drawn}");
}

#[test]
fn names_are_escaped() {
    let model = BalanceVectors { title: "R<b>&\"1\"\u{1}".into(), ..vectors() };
    let svg = model.svg(&Options::default());
    let document = Document::parse(&svg).unwrap();
    let title = document.descendants().find(|n| n.has_tag_name("title")).unwrap();
    assert_eq!(title.text(), Some("R<b>&\"1\"\u{fffd}"));
    let model = CounterweightFace { plane: "a,\"b\" <c>".into(), ..face() };
    assert!(Document::parse(&model.svg(&Options::default())).is_ok());
}
