//! Tips of a face that came apart: what the picture says, that it can be read, and its golden copy.

use crate::legible::clashes_in;
use crate::sample::{LONG, Picture, origin};
use crate::strokes::{crossed, outside};
use drawings::{MarkedFace, MarkedTip, Options, TipSeen, gap_words};
use kernel::readings::Face;
use kernel::units::{Length, System};

fn options(system: System) -> Options {
    Options { system, id: None }
}

fn tip(seen: TipSeen, gap_um: f64, says: &str) -> MarkedTip {
    let um = Length::um;
    let band = (um(gap_um - 22.0), um(gap_um + 22.0));
    let words = vec![gap_words(um(gap_um), band, System::Metric), says.to_owned()];
    MarkedTip { seen, words }
}

fn face(face: Face) -> MarkedFace {
    MarkedFace {
        serial: "R-101".to_owned(),
        face,
        shape: None,
        origin: origin(),
        tips: [
            tip(TipSeen::Clear, 31.0, "agrees"),
            tip(TipSeen::Light, 44.0, "touched, and was predicted to stay clear"),
            MarkedTip::default(),
        ],
    }
}

/// With their golden copies.
pub(crate) fn all() -> Vec<Picture> {
    [("marked-face", Face::Gear), ("marked-face-plain", Face::Plain)]
        .map(|(name, side)| {
            let face = face(side);
            Picture { name, svg: face.svg(&options(System::Metric)), csv: face.csv() }
        })
        .into()
}

#[test]
fn it_can_be_read_whatever_is_said_of_the_tips() {
    let long = "predicted to touch, and did not; touched, and was predicted to stay clear";
    for side in [Face::Gear, Face::Plain] {
        for seen in [TipSeen::Clear, TipSeen::Light, TipSeen::Heavy, TipSeen::NotLookedAt] {
            for says in ["agrees", long] {
                let tips = [0.0, -1234.0, 8.0].map(|gap_um| tip(seen, gap_um, says));
                for serial in ["R-101", LONG] {
                    let face =
                        MarkedFace { serial: serial.to_owned(), tips: tips.clone(), ..face(side) };
                    let svg = face.svg(&options(System::Inch));
                    let name = format!("{side:?} {seen:?} {says} {serial}");
                    assert_eq!(clashes_in(&name, &svg), Vec::<String>::new());
                    assert_eq!(crossed(&svg), Vec::<String>::new(), "{name}");
                    assert_eq!(outside(&svg), Vec::<String>::new(), "{name}");
                }
            }
        }
    }
}

#[test]
fn each_tip_is_said_and_stands_in_its_data() {
    let svg = face(Face::Plain).svg(&options(System::Metric));
    let document = roxmltree::Document::parse(&svg).unwrap();
    let said = document.descendants().find(|n| n.has_tag_name("desc")).unwrap();
    let said = said.text().unwrap();
    for sentence in [
        "the picture is mirrored",
        "Tip 1: did not touch; gap 31 \u{b5}m (1.2 thou), from 9 \u{b5}m (0.4 thou) to 53 \u{b5}m \
         (2.1 thou); agrees.",
        "Tip 2: light contact; gap 44 \u{b5}m",
        "Tip 3: not looked at.",
    ] {
        assert!(said.contains(sentence), "{sentence}\n{said}");
    }
    let rows: Vec<String> = face(Face::Gear).csv().lines().map(str::to_owned).collect();
    assert_eq!(rows.len(), 4);
    assert_eq!(rows[3], "3,not looked at,");
}
