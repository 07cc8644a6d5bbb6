//! A part's sizes against its hours: what they say, that they can be read, and their golden copy.

use crate::legible::clashes_in;
use crate::sample::{LONG, Picture, origin};
use crate::strokes::{crossed, outside};
use drawings::{LifeLine, LifePoint, Options, PartLife};
use kernel::units::{Length, System};

fn options(system: System) -> Options {
    Options { system, id: None }
}

fn line(name: &str, points: &[(f64, f64)]) -> LifeLine {
    let point = |(hours, um): &(f64, f64)| LifePoint {
        hours: *hours,
        size: Length::mm(79.8) + Length::um(*um),
        u: Length::um(2.0),
        when: "as put together".to_owned(),
    };
    LifeLine { name: name.to_owned(), points: points.iter().map(point).collect() }
}

fn rotor() -> PartLife {
    PartLife {
        part: "rotor R-101".to_owned(),
        what: "Land width".to_owned(),
        lines: vec![
            line("tip 1", &[(0.0, 40.0), (11.5, 31.0), (11.5, 12.0), (24.0, 3.0)]),
            line("tip 2", &[(0.0, 38.0), (11.5, 30.0), (11.5, 12.0), (24.0, 4.0)]),
        ],
        limit: Some((Length::mm(79.785), "the most side clearance of spec sprint".to_owned())),
        grows: false,
        origin: origin(),
        notes: vec!["One run more is expected before the limit.".to_owned()],
    }
}

/// A groove that widens, in inches.
fn groove() -> PartLife {
    PartLife {
        what: "Width of the apex-seal groove".to_owned(),
        lines: vec![line("tip 1, gear end", &[(0.0, 0.0), (400.0, 14.0), (812.5, 29.0)])],
        limit: Some((Length::mm(79.84), "what the engine's record lets be used".to_owned())),
        grows: true,
        notes: Vec::new(),
        ..rotor()
    }
}

/// With their golden copies.
pub(crate) fn all() -> Vec<Picture> {
    [("part-life", rotor(), System::Metric), ("part-life-groove", groove(), System::Inch)]
        .map(|(name, life, system)| Picture {
            name,
            svg: life.svg(&options(system)),
            csv: life.csv(),
        })
        .into()
}

#[test]
fn it_can_be_read_whatever_there_is_of_it() {
    for lines in [0, 1, 2, 9] {
        for runs in [0, 1, 2, 12] {
            for limit in [None, Some(LONG), Some("short")] {
                for (system, grows) in [(System::Metric, false), (System::Inch, true)] {
                    let points: Vec<(f64, f64)> = (0..runs)
                        .flat_map(|n| {
                            let hours = 400.0 * f64::from(n);
                            [(hours, -10.0 * f64::from(n)), (hours, -10.0 * f64::from(n) - 4.0)]
                        })
                        .collect();
                    let life = PartLife {
                        lines: (1..=lines).map(|n| line(&format!("tip {n}"), &points)).collect(),
                        limit: limit.map(|from| (Length::mm(79.7), from.to_owned())),
                        grows,
                        ..rotor()
                    };
                    let svg = life.svg(&options(system));
                    let name = format!("{lines} {runs} {limit:?}");
                    assert_eq!(clashes_in(&name, &svg), Vec::<String>::new());
                    assert_eq!(crossed(&svg), Vec::<String>::new(), "{name}");
                    assert_eq!(outside(&svg), Vec::<String>::new(), "{name}");
                }
            }
        }
    }
}

#[test]
fn each_size_and_each_cut_is_said_and_stands_in_its_data() {
    let life = rotor();
    let svg = life.svg(&options(System::Metric));
    let document = roxmltree::Document::parse(&svg).unwrap();
    let said = document.descendants().find(|n| n.has_tag_name("desc")).unwrap();
    let said = said.text().unwrap();
    for sentence in [
        "tip 1, 0 h: 79.840 mm (3.1433 in) as put together.",
        "tip 1, 11.5 h: cut by 19 \u{b5}m (0.7 thou).",
        "tip 2, 24 h: 79.804 mm (3.1419 in) as put together.",
        "Limit: 79.785 mm (3.1411 in), by the most side clearance of spec sprint.",
        "One run more is expected before the limit.",
    ] {
        assert!(said.contains(sentence), "{sentence}\n{said}");
    }
    let rows: Vec<String> = life.csv().lines().map(str::to_owned).collect();
    assert_eq!(rows.len(), 10);
    assert_eq!(rows[0], "station,hours,size_mm,u_um,size_in,when");
    assert_eq!(rows[2], "tip 1,11.50,79.8310,2.00,3.14295,as put together");
    assert_eq!(rows[9], "limit,,79.7850,,3.14114,the most side clearance of spec sprint");
}
