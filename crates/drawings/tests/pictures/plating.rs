//! The map of a bore's plating: what it says, that it can be read, and its golden copy.

use crate::legible::clashes_in;
use crate::sample::{LONG, Picture, origin};
use crate::strokes::{crossed, outside};
use drawings::{Options, PlatingMap, PlatingPlace};
use kernel::condition::{AROUND, Fate, PLATING};
use kernel::units::{Length, System};

fn options(system: System) -> Options {
    Options { system, id: None }
}

fn place(seen: &str, plating: f64, wear: f64, fate: Fate) -> PlatingPlace {
    PlatingPlace {
        seen: Some(seen.to_owned()),
        plating: Some(Length::um(plating)),
        wear: Some(Length::um(wear)),
        fate: Some(fate),
    }
}

/// A bore with a flake, a place that is too near to a limit, and one that nobody looked at.
fn worn() -> PlatingMap {
    let mut places: Vec<PlatingPlace> =
        (0..AROUND).map(|n| place("sound", 88.0 - n as f64, 4.0, Fate::Use)).collect();
    places[2] = place("polished", 61.0, 16.0, Fate::NotProven);
    places[5] = place("flaking", 78.0, 22.0, Fate::Reject);
    places[7] = PlatingPlace::default();
    PlatingMap { serial: "PH-2".to_owned(), bore: None, places, origin: origin() }
}

/// With its golden copy.
pub(crate) fn all() -> Vec<Picture> {
    let map = worn();
    let svg = map.svg(&options(System::Metric));
    vec![Picture { name: "plating-map", svg, csv: map.csv() }]
}

#[test]
fn it_can_be_read_with_the_longest_words_and_few_places_or_all() {
    let longest = PLATING.iter().max_by_key(|word| word.len()).unwrap();
    for count in 0..=AROUND {
        for system in [System::Metric, System::Inch] {
            for serial in ["H-31", LONG, ""] {
                let places = vec![place(longest, 1234.0, 1999.0, Fate::Rework); count];
                let map =
                    PlatingMap { serial: serial.to_owned(), bore: None, places, origin: origin() };
                let svg = map.svg(&options(system));
                let name = format!("{count} {serial} {system:?}");
                assert_eq!(clashes_in(&name, &svg), Vec::<String>::new());
                assert_eq!(crossed(&svg), Vec::<String>::new(), "{name}");
                assert_eq!(outside(&svg), Vec::<String>::new(), "{name}");
                assert_eq!(svg, map.svg(&options(system)));
            }
        }
    }
}

#[test]
fn each_place_is_said_and_stands_in_its_data() {
    let map = worn();
    let svg = map.svg(&options(System::Metric));
    let document = roxmltree::Document::parse(&svg).unwrap();
    let said = document.descendants().find(|n| n.has_tag_name("desc")).unwrap();
    let said = said.text().unwrap();
    for sentence in [
        "Place 1 sound, 88 \u{b5}m (3.5 thou), worn 4 \u{b5}m (0.2 thou): use.",
        "Place 3 polished, 61 \u{b5}m (2.4 thou), worn 16 \u{b5}m (0.6 thou): not proven.",
        "Place 6 flaking, 78 \u{b5}m (3.1 thou), worn 22 \u{b5}m (0.9 thou): reject.",
        "Place 8 not looked at: no limit given.",
    ] {
        assert!(said.contains(sentence), "{said}");
    }
    let rows: Vec<String> = map.csv().lines().map(str::to_owned).collect();
    assert_eq!(rows.len(), 1 + AROUND);
    assert_eq!(rows[0], "place,seen,plating_mm,wear_mm,verdict");
    assert_eq!(rows[6], "6,flaking,0.0780,0.0220,reject");
    assert_eq!(rows[8], "8,,,,");
}
