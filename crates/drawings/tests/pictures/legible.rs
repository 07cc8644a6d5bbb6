//! That a picture is well-formed, carries its text, and can be read: no type under 14 on a
//! width of 800, no two texts on each other, nothing outside the view box.

use crate::dejavu;
use crate::sample::{self, LONG, Picture};
use drawings::Options;
use kernel::readings::Face;
use roxmltree::{Document, Node};

fn parsed<'p>(name: &str, svg: &'p str) -> Document<'p> {
    Document::parse(svg).unwrap_or_else(|e| panic!("{name}: {e}"))
}

fn child<'d>(root: Node<'d, '_>, name: &str) -> &'d str {
    root.children().find(|n| n.has_tag_name(name)).and_then(|n| n.text()).unwrap()
}

fn number(node: Node<'_, '_>, name: &str) -> f64 {
    node.attribute(name).unwrap().parse().unwrap()
}

/// The room of a text.
#[derive(Debug)]
pub(crate) struct Ink<'t> {
    pub(crate) text: &'t str,
    pub(crate) left: f64,
    pub(crate) right: f64,
    pub(crate) top: f64,
    pub(crate) bottom: f64,
}

/// Those of all texts of a picture.
pub(crate) fn inks<'d>(document: &'d Document<'_>) -> Vec<Ink<'d>> {
    document.descendants().filter(|n| n.has_tag_name("text")).map(ink).collect()
}

/// Where a text lies when it is set in that font.
fn ink<'d>(node: Node<'d, '_>) -> Ink<'d> {
    let text = node.text().unwrap();
    let (size, advances) = match node.attribute("class").unwrap() {
        "head" => (21.0, &dejavu::BOLD),
        "strong" => (15.0, &dejavu::BOLD),
        "plain" => (15.0, &dejavu::REGULAR),
        "small" => (14.0, &dejavu::REGULAR),
        other => panic!("a text of unknown class {other}"),
    };
    let thousandths: u32 = text.chars().map(|c| dejavu::advance(advances, c)).sum();
    let width = f64::from(thousandths) / 1e3 * size;
    let (x, y) = (number(node, "x"), number(node, "y"));
    let left = match node.attribute("text-anchor") {
        None => x,
        Some("middle") => x - width / 2.0,
        Some("end") => x - width,
        Some(other) => panic!("unknown anchor {other}"),
    };
    Ink { text, left, right: left + width, top: y - 0.76 * size, bottom: y + 0.22 * size }
}

#[test]
fn every_picture_is_well_formed_and_named() {
    for picture in sample::every() {
        let document = parsed(picture.name, &picture.svg);
        let root = document.root_element();
        assert_eq!(root.attribute("role"), Some("img"), "{}", picture.name);
        let title = child(root, "title");
        let described = child(root, "desc");
        assert!(!title.is_empty() && described.len() > 100, "{}", picture.name);
        assert!(!picture.svg.contains("NaN") && !picture.svg.contains("inf\""), "{}", picture.name);
        let names: Vec<_> = document.descendants().filter_map(|n| n.attribute("id")).collect();
        for node in document.descendants() {
            for attribute in node.attributes() {
                if let Some(name) = attribute.value().strip_prefix("url(#") {
                    assert!(names.contains(&name.trim_end_matches(')')), "{name}");
                }
            }
            for reference in ["aria-labelledby", "aria-describedby"] {
                let Some(name) = node.attribute(reference) else { continue };
                assert!(names.contains(&name), "{name}");
            }
        }
        let own = root.attribute("id").unwrap();
        assert!(names.iter().all(|name| name.starts_with(own)), "{names:?}");
    }
}

/// Where texts lie on each other or outside the view box.
pub(crate) fn clashes(picture: &Picture) -> Vec<String> {
    clashes_in(picture.name, &picture.svg)
}

/// The same of a picture without data.
pub(crate) fn clashes_in(name: &str, svg: &str) -> Vec<String> {
    let document = parsed(name, svg);
    let root = document.root_element();
    let texts = inks(&document);
    let (w, h) = (number(root, "width"), number(root, "height"));
    let mut all = Vec::new();
    for (i, a) in texts.iter().enumerate() {
        if !(a.left >= 0.0 && a.right <= w && a.top >= 0.0 && a.bottom <= h) {
            all.push(format!("{}: outside: {}: {a:?}", name, a.text));
        }
        for b in &texts[i + 1..] {
            let apart =
                a.right <= b.left || b.right <= a.left || a.bottom <= b.top || b.bottom <= a.top;
            if !apart {
                all.push(format!("{}: {a:?} on {b:?}", name));
            }
        }
    }
    all
}

#[test]
fn no_text_lies_on_another_or_outside() {
    for picture in sample::every() {
        assert!(picture.svg.matches("<text").count() > 10, "{}", picture.name);
        assert_eq!(clashes(picture), [""; 0]);
    }
}

#[test]
fn estimates_are_called_estimates() {
    let at_speed: Vec<_> = crate::at_speed::all().iter().map(|p| p.name).collect();
    for picture in sample::every() {
        let is_estimate = at_speed.contains(&picture.name)
            || ["side-gap", "window", "stock"].iter().any(|kind| picture.name.starts_with(kind));
        let said = parsed(picture.name, &picture.svg)
            .descendants()
            .filter(|n| n.has_tag_name("text"))
            .filter_map(|n| n.text())
            .any(|text| text.starts_with("Screening estimate until calibrated."));
        assert_eq!(said, is_estimate, "{}", picture.name);
    }
}

#[test]
fn every_picture_says_at_its_foot_what_it_belongs_to() {
    // Those of a part over its builds and of the builds of a spec belong to no build.
    let of_many = ["part-life", "part-life-groove", "past-windows"];
    for picture in sample::every().iter().filter(|p| !of_many.contains(&p.name)) {
        let document = parsed(picture.name, &picture.svg);
        let last: Vec<_> = document
            .descendants()
            .filter(|n| n.has_tag_name("text"))
            .filter_map(|n| n.text())
            .collect();
        let foot = last.iter().rev().take(3).rev().copied().collect::<Vec<_>>().join(" ");
        for said in ["Build: Merganser, boat 7.", "Housing: ", "Spec: "] {
            assert!(foot.contains(said), "{}: {foot}", picture.name);
        }
    }
}

#[test]
fn a_minus_is_never_a_hyphen() {
    for picture in sample::every() {
        let document = parsed(picture.name, &picture.svg);
        for text in document.descendants().filter_map(|n| n.text()) {
            let signs: Vec<char> = text.chars().collect();
            let wrong = signs
                .windows(3)
                .any(|w| matches!(w[0], ' ' | '(') && w[1] == '-' && w[2].is_ascii_digit());
            assert!(!wrong && !text.starts_with('-'), "{}: {text}", picture.name);
        }
    }
}

/// A legend has the marks that are drawn and no others.
#[test]
fn the_legend_lists_only_what_is_drawn() {
    let mut model = sample::rotor_face();
    let svg = model.svg(&Options::default());
    assert!(!svg.contains("one of these is wrong"));
    for tip in &mut model.tips {
        if let Some(step) = &mut tip.step {
            step.doubt = drawings::Doubt::None;
        }
    }
    let svg = model.svg(&Options::default());
    assert!(svg.contains("where it was read") && !svg.contains("read again: disagrees"));
}

/// One section where nothing is cut, and tips that are alike are said once.
#[test]
fn a_rotor_that_is_not_cut_has_one_section() {
    let model = sample::uncut();
    let svg = model.svg(&Options::default());
    assert!(svg.contains(">As it is</text>") && !svg.contains("the cut"));
    assert_eq!(svg.matches(">All tips alike</text>").count(), 1);
    assert!(!svg.contains(">drawn here</text>"));
}

/// Worn land tracks give room: a land that touches there is not inside the wall, and would be
/// if the wall were drawn unworn.
#[test]
fn a_land_on_a_worn_track_is_not_crossed_out() {
    let worn = sample::worn();
    let crossed = |model: &drawings::SideGap| {
        let svg = model.svg(&Options::default());
        svg.matches("-barred)").count()
    };
    assert_eq!(crossed(&worn), 0);
    let mut unworn = worn;
    unworn.first.section.gear_wall = drawings::Wear::default();
    unworn.first.section.plain_wall = drawings::Wear::default();
    assert!(crossed(&unworn) > 0);
}

/// Every figure of the table stands in the description, so that neither lacks what the other has.
#[test]
fn the_description_has_the_figures_of_the_table() {
    for picture in sample::all() {
        let document = parsed(picture.name, &picture.svg);
        let described = child(document.root_element(), "desc");
        let mut figures = 0;
        for row in picture.csv.lines().skip(1) {
            let cells: Vec<_> = row.rsplitn(4, ',').collect();
            let Ok(mm) = cells[2].parse::<f64>() else { continue };
            let um = format!("{:.0}", mm.abs() * 1e3);
            let size = format!("{mm:.3} mm");
            // A cut that is left has its word, and half a micrometre rounds either way.
            let near = [
                um.clone(),
                format!("{:.0}", mm.abs() * 1e3 + 0.1),
                format!("{:.0}", (mm.abs() * 1e3 - 0.1).max(0.0)),
            ];
            let told = described.contains(&size)
                || near.iter().any(|um| described.contains(&format!("{um} \u{b5}m")))
                || (mm == 0.0 && row.contains("left"));
            assert!(told, "{}: {row}", picture.name);
            figures += 1;
        }
        // The least have two depths at each tip.
        assert!(figures >= 6, "{}: {figures}", picture.name);
    }
}

#[test]
fn long_serials_are_whole_in_picture_and_text() {
    let document_of = |picture: &Picture| {
        let document = parsed(picture.name, &picture.svg);
        let texts: String = document
            .descendants()
            .filter(|n| n.has_tag_name("text"))
            .filter_map(|n| n.text())
            .collect();
        let desc = child(document.root_element(), "title").to_owned();
        (texts, desc)
    };
    for picture in sample::every() {
        if picture.name.ends_with("ugly") || picture.name == "stock-left" {
            let (texts, title) = document_of(picture);
            assert!(texts.contains(LONG) && title.contains(LONG), "{}", picture.name);
        }
        if picture.name.ends_with("six-rotors") {
            let (texts, _) = document_of(picture);
            for n in 0..6 {
                assert!(texts.contains(&format!("MERGANSER-7-WIDE-WWW-{n:03}")), "{n}");
            }
        }
    }
}

#[test]
fn the_plain_face_says_that_it_is_mirrored_and_has_no_gear() {
    let gear = sample::rotor_face();
    let plain = drawings::RotorFace { face: Face::Plain, ..gear.clone() };
    let (gear, plain) = (gear.svg(&Options::default()), plain.svg(&Options::default()));
    assert!(plain.contains("mirrored") && !gear.contains("mirrored"));
    assert!(gear.contains("internal gear") && !plain.contains("internal gear"));
}

/// The one misread step is marked by word and by shape, in the picture and in the table.
#[test]
fn a_misread_station_is_marked_by_word() {
    let model = sample::rotor_face();
    let svg = model.svg(&Options::default());
    assert_eq!(
        svg.matches(">read again: disagrees</text>").count(),
        2,
        "at the row and in the key"
    );
    assert!(model.csv().contains("step,R-114,gear,2,0.1880,0.007402,read again: disagrees"));
}

#[test]
fn control_characters_and_markup_in_a_serial_do_no_harm() {
    let model = drawings::Stock { serial: "R\u{1}<b>&\"1\"".into(), ..sample::stock() };
    let svg = model.svg(&Options::default());
    let document = Document::parse(&svg).unwrap();
    let title = child(document.root_element(), "title");
    assert_eq!(title, "Stock to remove: rotor R\u{fffd}<b>&\"1\"");
}

#[test]
fn the_same_model_gives_the_same_bytes() {
    let again = sample::all().into_iter().chain(crate::at_speed::all());
    let again = again.chain(crate::balance::all());
    for (a, b) in sample::every().iter().zip(again) {
        assert!(a.svg == b.svg && a.csv == b.csv, "{}", a.name);
    }
}

/// A figure that is no number may not spoil the file.
#[test]
fn a_value_that_is_no_number_leaves_a_whole_file() {
    let mut model = sample::window();
    model.clearance.jams_hot = kernel::units::Length::mm(f64::INFINITY);
    let svg = model.svg(&Options::default());
    assert!(Document::parse(&svg).is_ok());
    for attribute in ["NaN\"", "inf\"", "NaN,", ",NaN"] {
        assert!(!svg.contains(attribute), "{attribute}");
    }
}
