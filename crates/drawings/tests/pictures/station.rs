//! The pictures of a wanted reading: every station of every part, with its own engine's shape and
//! without. They have no data, so they stand apart from the others; their golden copies are the
//! guide's (`docs/guide/`).

use crate::dejavu;
use crate::legible::clashes_in;
use crate::sample::LONG;
use crate::strokes::crossed;
use drawings::{Options, RotorShape, Tip, Touch, Wanted, WantedAt, WidthStation};
use kernel::geometry::Looks;
use kernel::readings::{Face, Kind};
use kernel::units::Length;
use roxmltree::Document;
use std::collections::BTreeSet;

const KINDS: [Kind; 6] = [
    Kind::LandWidth,
    Kind::Step(Face::Gear),
    Kind::Step(Face::Plain),
    Kind::TipWidth,
    Kind::Runout(Face::Gear),
    Kind::Runout(Face::Plain),
];

fn places() -> Vec<WantedAt> {
    let mut all = Vec::new();
    for kind in KINDS {
        all.extend(Tip::ALL.map(|tip| WantedAt::Tip { kind, tip, shape: None }));
    }
    all.push(WantedAt::Mass { shape: None });
    for of in [1, 2, 3, 5, 8, 24] {
        all.extend((1..=of).map(|number| WantedAt::Width {
            station: WidthStation::new(number, of).unwrap(),
            bore: None,
        }));
    }
    for looks in [Looks::Front, Looks::Rear] {
        all.extend([Touch::Land, Touch::Tip].map(|track| WantedAt::SideWear {
            looks,
            track,
            shape: None,
        }));
    }
    all
}

fn wanted(serial: &str, at: WantedAt) -> Wanted {
    Wanted { serial: serial.into(), at, notes: Vec::new() }
}

fn texts(svg: &str, tag: &str) -> String {
    let document = Document::parse(svg).unwrap();
    let nodes = document.descendants().filter(|n| n.has_tag_name(tag));
    nodes.filter_map(|n| n.text()).collect::<Vec<_>>().join(" ")
}

#[test]
fn every_station_is_legible_and_inside() {
    for at in places() {
        for serial in ["R-114", LONG, ""] {
            let svg = wanted(serial, at.clone()).svg(&Options::default());
            assert_eq!(clashes_in("wanted", &svg), [""; 0], "{at:?}");
            assert_eq!(crossed(&svg), [""; 0], "{at:?}");
            assert!(svg.contains("viewBox=\"0 0 480 "), "{at:?}");
        }
    }
}

/// Everything drawn lies inside the view box: rings, numbers, gauges.
#[test]
fn no_shape_reaches_outside() {
    for at in places() {
        let svg = wanted("R-114", at.clone()).svg(&Options::default());
        let document = Document::parse(&svg).unwrap();
        let root = document.root_element();
        let of = |node: roxmltree::Node<'_, '_>, name: &str| -> f64 {
            node.attribute(name).unwrap().parse().unwrap()
        };
        let (w, h) = (of(root, "width"), of(root, "height"));
        for circle in document.descendants().filter(|n| n.has_tag_name("circle")) {
            let (x, y, r) = (of(circle, "cx"), of(circle, "cy"), of(circle, "r") + 2.5);
            let inside = x - r >= 0.0 && x + r <= w && y - r >= 0.0 && y + r <= h;
            assert!(inside, "{at:?}: {x} {y} {r}");
        }
        let in_picture = |n: &roxmltree::Node<'_, '_>| {
            n.has_tag_name("path") && n.ancestors().all(|a| !a.has_tag_name("pattern"))
        };
        for path in document.descendants().filter(in_picture) {
            // Corners of runs of straight lines; boxes and rings are asked by their first point.
            let d = path.attribute("d").unwrap();
            for corner in d.split(['M', ' ', 'z', 'h', 'v', 'a']) {
                let Some((x, y)) = corner.split_once(',') else { continue };
                let (Ok(x), Ok(y)) = (x.parse::<f64>(), y.parse::<f64>()) else { continue };
                if d.contains('a') || d.contains('h') {
                    continue;
                }
                assert!((0.0..=w).contains(&x) && (0.0..=h).contains(&y), "{at:?}: {x} {y}");
            }
        }
    }
}

#[test]
fn the_wanted_station_is_named_in_title_and_description() {
    for (at, said) in [
        (
            WantedAt::Tip { kind: Kind::LandWidth, tip: Tip::Two, shape: None },
            "land width at tip 2",
        ),
        (
            WantedAt::Tip { kind: Kind::Step(Face::Plain), tip: Tip::Three, shape: None },
            "plain-face step at tip 3",
        ),
        (WantedAt::Mass { shape: None }, "mass"),
        (
            WantedAt::Width { station: WidthStation::new(2, 3).unwrap(), bore: None },
            "width at station 2 of 3",
        ),
        (
            WantedAt::SideWear { looks: Looks::Rear, track: Touch::Tip, shape: None },
            "wear of the tips' track",
        ),
    ] {
        let svg = wanted("S-1", at).svg(&Options::default());
        let title = texts(&svg, "title");
        assert!(title.starts_with("R") || title.starts_with("S"), "{title}");
        assert!(title.contains("S-1") && title.ends_with(said), "{title}");
        let described = texts(&svg, "desc");
        assert!(described.starts_with(&format!("Marked in the picture: {said}.")), "{described}");
        assert!(described.contains("not to scale"), "{described}");
    }
}

/// The description says what the picture's own text says.
#[test]
fn the_description_has_every_sentence_of_the_picture() {
    for at in places() {
        let svg = wanted("R-114", at.clone()).svg(&Options::default());
        let (title, described) = (texts(&svg, "title"), texts(&svg, "desc"));
        let document = Document::parse(&svg).unwrap();
        let lines = document
            .descendants()
            .filter(|n| n.has_tag_name("text") && n.attribute("text-anchor").is_none())
            .filter(|n| n.attribute("class") == Some("plain"))
            .filter_map(|n| n.text());
        let mut count = 0;
        for line in lines {
            assert!(described.contains(line) || title.starts_with(line), "{at:?}: {line}");
            count += 1;
        }
        assert!(count >= 3, "{at:?}");
    }
}

#[test]
fn different_stations_give_different_pictures_and_the_same_one_the_same_bytes() {
    let all: Vec<String> =
        places().into_iter().map(|at| wanted("R-114", at).svg(&Options::default())).collect();
    let again: Vec<String> =
        places().into_iter().map(|at| wanted("R-114", at).svg(&Options::default())).collect();
    assert_eq!(all, again);
    // Not by their words alone.
    let drawn = |svg: &str| -> String {
        svg.lines()
            .filter(|line| line.starts_with("<path") || line.starts_with("<circle"))
            .collect()
    };
    let different: BTreeSet<String> = all.iter().map(|svg| drawn(svg)).collect();
    assert_eq!(different.len(), all.len());
}

#[test]
fn all_three_tips_are_numbered_and_one_is_marked() {
    for tip in Tip::ALL {
        let at = WantedAt::Tip { kind: Kind::TipWidth, tip, shape: None };
        let svg = wanted("R-114", at).svg(&Options::default());
        for n in 1..=3 {
            let set = if n == tip.number() { "head" } else { "strong" };
            let said = format!("class=\"{set}\" text-anchor=\"middle\">{n}</text>");
            assert!(svg.contains(&said), "{said}");
        }
        assert_eq!(svg.matches("class=\"wanted-face\"").count(), 1);
    }
}

#[test]
fn the_plain_face_is_mirrored_and_says_so() {
    let of = |face| {
        let at = WantedAt::Tip { kind: Kind::Step(face), tip: Tip::Two, shape: None };
        wanted("R-114", at).svg(&Options::default())
    };
    let place = |svg: &str| -> f64 {
        let document = Document::parse(svg).unwrap();
        let number = document
            .descendants()
            .find(|n| n.has_tag_name("circle") && n.attribute("class") == Some("wanted-face"))
            .unwrap();
        number.attribute("cx").unwrap().parse().unwrap()
    };
    let (gear, plain) = (of(Face::Gear), of(Face::Plain));
    assert!(plain.contains("mirrored") && !gear.contains("mirrored"));
    assert!(gear.contains("class=\"teeth\"") && !plain.contains("class=\"teeth\""));
    // Tip 2 is on the right of the gear face, on the left of the plain one.
    assert!(place(&gear) > 200.0 && place(&plain) < 100.0);
}

#[test]
fn names_inside_start_from_the_root_and_text_is_measured_for_a_wide_font() {
    let options = Options { id: Some("wanted-7".into()), ..Options::default() };
    let at = WantedAt::Mass { shape: None };
    let svg = wanted("R-114", at).svg(&options);
    let document = Document::parse(&svg).unwrap();
    let ids: Vec<_> = document.descendants().filter_map(|n| n.attribute("id")).collect();
    assert!(ids.len() > 3 && ids.iter().all(|id| id.starts_with("wanted-7")), "{ids:?}");
    assert!(dejavu::advance(&dejavu::BOLD, 'm') > 1000);
}

/// A shape of one's own is drawn, and then it is not said that it is another's.
#[test]
fn an_own_outline_is_drawn_to_true_shape() {
    let foreign = "The outline is not that of this engine.";
    let at = |shape| WantedAt::Tip { kind: Kind::LandWidth, tip: Tip::One, shape };
    let svg = wanted("R-114", at(None)).svg(&Options::default());
    assert!(texts(&svg, "desc").contains(foreign));
    let mut shape = RotorShape::generic();
    shape.land_radius = Length::mm(50.0);
    shape.land_inner_radius = Length::mm(40.0);
    let own = wanted("R-114", at(Some(shape))).svg(&Options::default());
    assert!(!texts(&own, "desc").contains(foreign) && own != svg);
    // Sizes without sense leave a whole file.
    let mut none = RotorShape::generic();
    none.outline.clear();
    none.land_radius = Length::ZERO;
    none.reading_radius = Length::ZERO;
    let bare = wanted("R-114", at(Some(none))).svg(&Options::default());
    assert!(Document::parse(&bare).is_ok() && !bare.contains("NaN"));
}

#[test]
fn notes_stand_in_the_picture_and_in_the_description() {
    let at = WantedAt::Mass { shape: None };
    let model = Wanted { notes: vec!["Weighed with its bearing.".into()], ..wanted("R-1", at) };
    let svg = model.svg(&Options::default());
    assert!(texts(&svg, "text").contains("Weighed with its bearing."));
    assert!(texts(&svg, "desc").contains("Weighed with its bearing."));
}
