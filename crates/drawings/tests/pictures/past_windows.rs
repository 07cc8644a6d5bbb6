//! Where past builds sat: what it says, that it can be read, and its golden copy.

use crate::legible::clashes_in;
use crate::sample::{LONG, Picture};
use crate::strokes::{crossed, outside};
use drawings::{Came, Options, PastRotor, PastWindows};
use kernel::units::{Length, System};

fn options(system: System) -> Options {
    Options { system, id: None }
}

fn rotor(name: &str, is: f64, ends: [Option<f64>; 2], came: Came) -> PastRotor {
    let [least, most] = ends.map(|end| end.map(Length::um));
    PastRotor { name: name.to_owned(), is: Length::um(is), least, most, came }
}

fn past() -> PastWindows {
    PastWindows {
        what: "Step".to_owned(),
        of: "sprint, boosted, at 9800 rpm and 0.9 bar".to_owned(),
        wanted: Some((Length::um(127.0), Length::um(13.0))),
        rotors: vec![
            rotor("Merganser, boat 7: R-114", 126.0, [Some(71.0), Some(204.0)], Came::Clear),
            rotor("Merganser, boat 7: R-97", 118.0, [Some(74.0), Some(204.0)], Came::Light),
            rotor("Eider, boat 3: R-88", 96.0, [Some(90.0), Some(180.0)], Came::Heavy),
            rotor("Teal, boat 12: R-131", 131.0, [Some(70.0), None], Came::NotBack),
        ],
    }
}

/// With its golden copy.
pub(crate) fn all() -> Vec<Picture> {
    let past = past();
    vec![Picture { name: "past-windows", svg: past.svg(&options(System::Metric)), csv: past.csv() }]
}

#[test]
fn it_can_be_read_however_many_there_are() {
    for count in [0, 1, 3, 40, 41, 90] {
        for (system, name) in [(System::Metric, "R-1"), (System::Inch, LONG)] {
            for ends in [[None, None], [Some(20.0), Some(160.0)], [Some(160.0), Some(20.0)]] {
                for came in [Came::Clear, Came::Light, Came::Heavy, Came::NotBack] {
                    let rotors = vec![rotor(name, 120.0, ends, came); count];
                    let wanted = past().wanted.filter(|_| count % 2 == 1);
                    let picture = PastWindows { of: name.to_owned(), wanted, rotors, ..past() };
                    let svg = picture.svg(&options(system));
                    let what = format!("{count} {name} {ends:?}");
                    assert_eq!(clashes_in(&what, &svg), Vec::<String>::new());
                    assert_eq!(crossed(&svg), Vec::<String>::new(), "{what}");
                    assert_eq!(outside(&svg), Vec::<String>::new(), "{what}");
                }
            }
        }
    }
}

#[test]
fn each_rotor_is_said_and_stands_in_its_data() {
    let past = past();
    let svg = past.svg(&options(System::Metric));
    for said in [
        "R-97: 118 \u{b5}m (4.6 thou) in a window from 74 \u{b5}m (2.9 thou) to 204 \u{b5}m \
         (8.0 thou), came back with light marks.",
        "R-131: 131 \u{b5}m (5.2 thou) in a window from 70 \u{b5}m (2.8 thou) to no end, not back.",
    ] {
        assert!(svg.contains(said), "{svg}");
    }
    let csv = past.csv();
    let rows: Vec<&str> = csv.lines().collect();
    assert_eq!(rows[0], "rotor,is_mm,least_mm,most_mm,came_back");
    assert_eq!(rows.len(), 5);
    assert!(rows[4].ends_with("R-131\",0.1310,0.0700,,not back"), "{}", rows[4]);
}
