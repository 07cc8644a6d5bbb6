//! What no single value of a machine tool shows: keys of another kind of machine, a units word
//! that says something else, speeds and radii that exclude each other.

use super::mm;
use crate::build_file::model::machine_tool::{Control, Finish, Rough};
use crate::build_file::read::machine_tool::Kind;
use crate::build_file::walk::Walk;
use kernel::units::{Length, Speed};

/// Keys that one kind of machine cannot do without and the other cannot have, with what is
/// written where one is missing.
const OWN: [(&str, Kind, &str); 5] = [
    (
        "x_reads",
        Kind::Lathe,
        "x_reads = \"diameter\" or x_reads = \"radius\", as its control reads X",
    ),
    ("diameter", Kind::Mill, "diameter = \"16 mm\", over the cutting edges"),
    ("teeth", Kind::Mill, "teeth = 3"),
    ("holder_diameter", Kind::Mill, "holder_diameter = \"40 mm\""),
    ("holder_width", Kind::Lathe, "holder_width = \"25 mm\", along X"),
];

/// A table has what its kind of machine needs, and nothing of the other kind.
pub(in crate::build_file) fn of_its_kind(t: &Walk<'_, '_>, kind: Kind) {
    for (key, of, expected) in OWN {
        if !t.knows(key) {
            continue;
        }
        if of == kind {
            if !t.has(key) {
                t.missing(key, || expected.to_owned());
            }
        } else if t.has(key) {
            let what = format!("{key} of a {}", kind.name());
            t.wrong(key, what, format!("{key} only with kind = {:?}", of.name()), None);
        }
    }
}

/// The units word makes the numbers what they are said to be.
pub(in crate::build_file) fn units_word(t: &Walk<'_, '_>, control: Option<Control>) {
    let Some(control) = control else { return };
    if control.word.units() != control.units {
        let (word, units) = (control.word.name(), control.units.name());
        let (iso, common) = match units {
            "mm" => ("G71", "G21"),
            _ => ("G70", "G20"),
        };
        t.wrong(
            "units_word",
            format!("{word} does not make the numbers {units}"),
            format!("{common:?} or {iso:?}, whichever this control has"),
            None,
        );
    }
}

/// The spindle's least speed is not above its most.
pub(in crate::build_file) fn least_speed(
    t: &Walk<'_, '_>,
    least: Option<Speed>,
    most: Option<Speed>,
) {
    let (Some(least), Some(most)) = (least, most) else { return };
    if least > most {
        t.wrong(
            "least_speed",
            format!("{:.0} rpm is more than most_speed, {:.0} rpm", least.to_rpm(), most.to_rpm()),
            "least_speed not more than most_speed".to_owned(),
            None,
        );
    }
}

/// Flat that a cutter has within its corners, on each side of its axis: passes that overlap need
/// some.
const LEAST_FLAT: Length = Length::mm(1.0);

/// Between the corners of a cutter there is some flat.
pub(in crate::build_file) fn corner(
    t: &Walk<'_, '_>,
    corner_radius: Option<Length>,
    diameter: Option<Length>,
) {
    let (Some(corner), Some(diameter)) = (corner_radius, diameter) else { return };
    let most = diameter / 2.0 - LEAST_FLAT;
    if corner > most {
        t.wrong(
            "corner_radius",
            format!("{} on a cutter of {}", mm(corner), mm(diameter)),
            format!("at most {}: within its corners a cutter has 2 mm of flat", mm(most)),
            None,
        );
    }
}

/// The finishing pass takes no more than a rough one does.
pub(in crate::build_file) fn stock(t: &Walk<'_, '_>, finish: Option<Finish>, rough: Option<Rough>) {
    let (Some(finish), Some(rough)) = (finish, rough) else { return };
    if finish.stock > rough.depth {
        t.wrong(
            "finish",
            format!("a stock of {} for the finishing pass", mm(finish.stock)),
            format!("at most what a rough pass takes, {}", mm(rough.depth)),
            None,
        );
    }
}
