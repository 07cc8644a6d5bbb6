//! What a teardown tells, as a file of its own: a shop without the app writes it by hand, and an
//! export has it. Values stay as they were written.

use super::keys::teardown as keys;
use super::limits::teardown::{LOAD, LOAD_U, PUSHED_AT, SHOWN};
use super::limits::{BOOST, Limit, RUNNING, SPEED, WEAR};
use super::problem::{Findings, Problems};
use super::read::{FORMAT, MOST_ROTORS};
use super::syntax;
use super::walk::Walk;
use super::wording::{found, quoted};
use super::write::{Lines, words};
use kernel::units::Quantity;
use std::collections::HashSet;
use toml::de::DeValue;

/// Faces as the file calls them.
pub const FACES: [&str; 2] = ["gear", "plain"];
/// What a tip may show, as the file calls it.
pub const CONTACTS: [&str; 4] = ["none", "light", "heavy", "not looked at"];
/// What stands for a tip that nobody looked at, in [`CONTACTS`].
pub const NOT_LOOKED_AT: usize = 3;
/// Tips of a face.
const TIPS: usize = 3;
/// Most characters of a note.
const LONGEST_NOTE: usize = 2000;
/// Most times that a tilt test is repeated.
pub const MOST_REPEATS: usize = 50;

/// How deep something is worn, as it was written.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct WornText {
    /// The depth: `4 um`.
    pub depth: String,
    /// The name of the gauge, where one is said.
    pub gauge: Option<String>,
}

/// What is seen on one tip of one face.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TipText {
    /// Of the rotor of this serial.
    pub rotor: String,
    /// Which of [`FACES`].
    pub face: usize,
    /// Which tip, from 1.
    pub tip: usize,
    /// Which of [`CONTACTS`].
    pub contact: usize,
    /// Where on the tip.
    pub place: Option<String>,
    /// How deep the rotor is worn there.
    pub worn: Option<WornText>,
    /// How deep the wall opposite is worn.
    pub wall: Option<WornText>,
    /// What else is seen.
    pub note: String,
}

/// A tip that was pushed in a clamped housing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TiltText {
    /// Of the rotor of this serial.
    pub rotor: String,
    /// Which of [`FACES`].
    pub face: usize,
    /// Which tip, from 1.
    pub tip: usize,
    /// How far from the axis it is pushed and read.
    pub radius: String,
    /// The small load.
    pub least: String,
    /// The large load.
    pub most: String,
    /// Standard uncertainty of a load.
    pub load_u: String,
    /// The name of the indicator.
    pub gauge: String,
    /// What it shows under each load, as often as it was done.
    pub readings: Vec<[String; 2]>,
    /// What else there is to it.
    pub note: String,
}

/// What a teardown tells.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct TeardownText {
    /// What the build is called, where that is said.
    pub build: Option<String>,
    /// How long it ran since it was put together.
    pub running: Option<String>,
    /// The highest speed that was seen.
    pub speed: Option<String>,
    /// The highest boost.
    pub boost: Option<String>,
    /// What else is seen.
    pub note: String,
    /// What is seen on the tips.
    pub tips: Vec<TipText>,
    /// Tips that were pushed.
    pub tilt_tests: Vec<TiltText>,
}

/// Reads a teardown file.
///
/// # Errors
/// Everything that is wrong with it, with line, column and what was expected.
pub fn read_teardown(text: &str) -> Result<TeardownText, Problems> {
    let (tree, unreadable) = syntax::parse(text);
    let findings = Findings::default();
    let whole = (String::new(), String::new());
    let file = Walk::new(&findings, tree.get_ref(), 0..0, whole, keys::FILE);
    if let Some(format) = file.format(FORMAT).filter(|format| *format != FORMAT) {
        let (what, expected) =
            (format!("format {format} is newer than this program"), format!("format = {FORMAT}"));
        let hint = "open it with the release that wrote it, or a later one".to_owned();
        file.wrong("format", what, expected, Some(hint));
    }
    let told = teardown(&file);
    match told {
        Some(told) if findings.is_empty() && unreadable.is_empty() => Ok(told),
        _ => Err(findings.into_problems(text, unreadable).in_file("teardown file")),
    }
}

fn teardown(file: &Walk<'_, '_>) -> Option<TeardownText> {
    let head = file.table("teardown");
    let of_head = |key: &str| head.as_ref().and_then(|head| head.name_if(key));
    let build = of_head("build");
    let running = head.as_ref().and_then(|head| written_if(head, "running", &RUNNING));
    let speed = head.as_ref().and_then(|head| written_if(head, "speed", &SPEED));
    let boost = head.as_ref().and_then(|head| written_if(head, "boost", &BOOST));
    let note = head.as_ref().map(note).unwrap_or_default();
    let rotors = file.each("rotor");
    if rotors.len() > MOST_ROTORS {
        let expected = format!("at most {MOST_ROTORS} rotors");
        file.wrong("rotor", format!("{} rotors", rotors.len()), expected, None);
    }
    let mut serials = HashSet::new();
    let tips: Vec<Option<Vec<TipText>>> =
        rotors.iter().map(|walk| rotor(walk, &mut serials)).collect();
    let tilt_tests: Vec<Option<TiltText>> = file.each("tilt_test").iter().map(tilt_test).collect();
    head?;
    Some(TeardownText {
        build,
        running,
        speed,
        boost,
        note,
        tips: tips.into_iter().collect::<Option<Vec<_>>>()?.into_iter().flatten().collect(),
        tilt_tests: tilt_tests.into_iter().collect::<Option<_>>()?,
    })
}

/// A quantity as it was written; may be left out.
fn written_if<Q: Quantity>(t: &Walk<'_, '_>, key: &str, limit: &Limit<Q>) -> Option<String> {
    t.quantity_if(key, limit)?;
    t.text_of(key).map(str::to_owned)
}

/// One that must be there.
fn written<Q: Quantity>(t: &Walk<'_, '_>, key: &str, limit: &Limit<Q>) -> Option<String> {
    t.quantity(key, limit)?;
    t.text_of(key).map(str::to_owned)
}

/// Words of any length; none if they are left out.
fn note(t: &Walk<'_, '_>) -> String {
    let Some(value) = t.get("note") else { return String::new() };
    let expected = || format!("text in quotes of at most {LONGEST_NOTE} characters");
    match t.text_of("note") {
        Some(text) if text.chars().count() <= LONGEST_NOTE => return text.to_owned(),
        Some(text) => {
            t.wrong("note", format!("{} is too long", quoted(text)), expected(), None);
        }
        None => t.wrong("note", found(value.get_ref()), expected(), None),
    }
    String::new()
}

fn rotor(t: &Walk<'_, '_>, serials: &mut HashSet<String>) -> Option<Vec<TipText>> {
    let serial = t.name("serial", "R-114");
    if let Some(serial) = &serial
        && !serials.insert(serial.clone())
    {
        let what = format!("rotor {serial} is told twice");
        t.wrong("serial", what, "each rotor once".to_owned(), None);
    }
    let faces = [contacts(t, "gear_tips"), contacts(t, "plain_tips")];
    let mut tips = Vec::new();
    for (face, contacts) in faces.into_iter().enumerate() {
        for (contact, tip) in contacts?.into_iter().zip(1..) {
            tips.push(TipText {
                rotor: serial.clone()?,
                face,
                tip,
                contact,
                place: None,
                worn: None,
                wall: None,
                note: String::new(),
            });
        }
    }
    let mut detailed = HashSet::new();
    for walk in t.each("detail") {
        let (face, tip) = (walk.choice("face", &FACES), walk.count("tip", 1..TIPS as i64 + 1));
        let worn = |key: &str, gauge: &str| {
            let depth = written_if(&walk, key, &WEAR);
            if depth.is_none() && walk.has(gauge) && !walk.has(key) {
                let what = format!("{gauge} without {key}");
                walk.wrong(gauge, what, format!("{key} = \"4 um\" beside it"), None);
            }
            depth.map(|depth| WornText { depth, gauge: walk.name_if(gauge) })
        };
        let (place, worn, wall) =
            (walk.name_if("where"), worn("rotor", "rotor_gauge"), worn("wall", "wall_gauge"));
        let note = note(&walk);
        let (Some(face), Some(tip)) = (face, tip) else { continue };
        let known = tips.iter_mut().find(|known| known.face == face && known.tip == tip as usize);
        let Some(known) = known else { continue };
        if !detailed.insert((face, tip)) {
            let what = format!("tip {tip} of the {} face has a detail already", FACES[face]);
            walk.wrong("tip", what, "one detail for each tip of a face".to_owned(), None);
        }
        if known.contact == NOT_LOOKED_AT && (place.is_some() || worn.is_some() || wall.is_some()) {
            let what = format!("tip {tip} of the {} face was not looked at", FACES[face]);
            let expected = "no place and no depth there, or what was seen".to_owned();
            walk.wrong("tip", what, expected, None);
        }
        *known = TipText { place, worn, wall, note, ..known.clone() };
    }
    Some(tips)
}

/// What the three tips of a face show; left out, nobody looked at them.
fn contacts(t: &Walk<'_, '_>, key: &str) -> Option<[usize; TIPS]> {
    let Some(value) = t.get(key) else { return Some([NOT_LOOKED_AT; TIPS]) };
    let all = CONTACTS.map(|word| format!("{word:?}")).join(", ");
    let expected = format!("{TIPS} of {all}, tips 1 to {TIPS}");
    let DeValue::Array(items) = value.get_ref() else {
        t.wrong(key, found(value.get_ref()), expected, None);
        return None;
    };
    if items.len() != TIPS {
        t.wrong(key, format!("{} of {TIPS} tips", items.len()), expected, None);
        return None;
    }
    let mut read = [NOT_LOOKED_AT; TIPS];
    let mut right = true;
    for (i, (slot, item)) in read.iter_mut().zip(items.iter()).enumerate() {
        let known = match item.get_ref() {
            DeValue::String(text) => CONTACTS.iter().position(|word| *word == text.as_ref()),
            _ => None,
        };
        match known {
            Some(known) => *slot = known,
            None => {
                right = false;
                t.wrong_item(key, i, found(item.get_ref()), format!("one of {all}"));
            }
        }
    }
    right.then_some(read)
}

fn tilt_test(t: &Walk<'_, '_>) -> Option<TiltText> {
    let rotor = t.name("rotor", "R-114");
    let face = t.choice("face", &FACES);
    let tip = t.count("tip", 1..TIPS as i64 + 1);
    let radius = written(t, "radius", &PUSHED_AT);
    let [least, most] = ["least_load", "most_load"].map(|key| written(t, key, &LOAD));
    let load_u = written(t, "load_u", &LOAD_U);
    let gauge = t.name("gauge", "indicator 3");
    let shown = ("reading", "what the indicator showed each time");
    let lists = ["at_least", "at_most"].map(|key| {
        t.list(key, &SHOWN, 1..MOST_REPEATS + 1, shown)?;
        texts(t, key)
    });
    let note = note(t);
    let [at_least, at_most] = lists;
    let (at_least, at_most) = (at_least?, at_most?);
    if at_least.len() != at_most.len() {
        let what = format!("{} of the readings under the large load", at_most.len());
        let expected = format!("{}, as many as under the small one", at_least.len());
        t.wrong("at_most", what, expected, None);
    }
    Some(TiltText {
        rotor: rotor?,
        face: face?,
        tip: usize::try_from(tip?).ok()?,
        radius: radius?,
        least: least?,
        most: most?,
        load_u: load_u?,
        gauge: gauge?,
        readings: at_least.into_iter().zip(at_most).map(|(least, most)| [least, most]).collect(),
        note,
    })
}

/// The texts of a list that was read.
fn texts(t: &Walk<'_, '_>, key: &str) -> Option<Vec<String>> {
    let DeValue::Array(items) = t.get(key)?.get_ref() else { return None };
    items.iter().map(|item| item.get_ref().as_str().map(str::to_owned)).collect()
}

/// Writes what a teardown tells so that reading it gives the same.
#[must_use]
pub fn write_teardown(told: &TeardownText) -> String {
    let mut file = Lines::default();
    file.value("format", FORMAT.to_string());
    file.head("[teardown]");
    let value = |file: &mut Lines, key: &str, text: Option<&String>| {
        if let Some(text) = text {
            file.value(key, words(text));
        }
    };
    let said = |note: &str| Some(note.to_owned()).filter(|note| !note.is_empty());
    value(&mut file, "build", told.build.as_ref());
    value(&mut file, "running", told.running.as_ref());
    value(&mut file, "speed", told.speed.as_ref());
    value(&mut file, "boost", told.boost.as_ref());
    value(&mut file, "note", said(&told.note).as_ref());
    let mut serials: Vec<&str> = Vec::new();
    for tip in &told.tips {
        if !serials.contains(&tip.rotor.as_str()) {
            serials.push(&tip.rotor);
        }
    }
    for serial in serials {
        let of_rotor = || told.tips.iter().filter(|tip| tip.rotor == serial);
        file.head("[[rotor]]");
        file.value("serial", words(serial));
        for (face, key) in ["gear_tips", "plain_tips"].into_iter().enumerate() {
            let contact = |number: usize| {
                let tip = of_rotor().find(|tip| tip.face == face && tip.tip == number);
                words(CONTACTS[tip.map_or(NOT_LOOKED_AT, |tip| tip.contact)])
            };
            file.value(key, format!("[{}]", [1, 2, 3].map(contact).join(", ")));
        }
        for tip in of_rotor() {
            if tip.place.is_none()
                && tip.worn.is_none()
                && tip.wall.is_none()
                && tip.note.is_empty()
            {
                continue;
            }
            file.head("[[rotor.detail]]");
            file.value("face", words(FACES[tip.face]));
            file.value("tip", tip.tip.to_string());
            value(&mut file, "where", tip.place.as_ref());
            let sides = [(&tip.worn, "rotor", "rotor_gauge"), (&tip.wall, "wall", "wall_gauge")];
            for (worn, key, gauge) in sides {
                value(&mut file, key, worn.as_ref().map(|worn| &worn.depth));
                value(&mut file, gauge, worn.as_ref().and_then(|worn| worn.gauge.as_ref()));
            }
            value(&mut file, "note", said(&tip.note).as_ref());
        }
    }
    for test in &told.tilt_tests {
        file.head("[[tilt_test]]");
        file.value("rotor", words(&test.rotor));
        file.value("face", words(FACES[test.face]));
        file.value("tip", test.tip.to_string());
        file.value("radius", words(&test.radius));
        file.value("least_load", words(&test.least));
        file.value("most_load", words(&test.most));
        file.value("load_u", words(&test.load_u));
        file.value("gauge", words(&test.gauge));
        for (load, key) in ["at_least", "at_most"].into_iter().enumerate() {
            let all: Vec<String> = test.readings.iter().map(|both| words(&both[load])).collect();
            file.value(key, format!("[{}]", all.join(", ")));
        }
        value(&mut file, "note", said(&test.note).as_ref());
    }
    file.whole()
}

#[cfg(test)]
mod tests {
    use super::*;

    const FILE: &str = r#"format = 1

[teardown]
build = "Merganser, boat 3"
running = "11.5 h"
speed = "9300 rpm"
boost = "0.9 bar"

[[rotor]]
serial = "R-101"
gear_tips = ["none", "light", "none"]
plain_tips = ["none", "none", "not looked at"]

[[rotor.detail]]
face = "gear"
tip = 2
where = "trailing edge"
rotor = "4 um"
rotor_gauge = "indicator 3"
wall = ".1 thou"
note = "bright over a third of the tip"

[[tilt_test]]
rotor = "R-101"
face = "gear"
tip = 1
radius = "100 mm"
least_load = "20 N"
most_load = "120 N"
load_u = "1 N"
gauge = "indicator 3"
at_least = ["2 um", "2.5 um"]
at_most = ["14 um", "14 um"]
"#;

    #[test]
    fn a_file_is_read_as_it_was_written_and_written_as_it_was_read() {
        let told = read_teardown(FILE).unwrap();
        assert_eq!(told.running.as_deref(), Some("11.5 h"));
        assert_eq!(told.tips.len(), 6);
        let seen = &told.tips[1];
        assert_eq!((seen.face, seen.tip, CONTACTS[seen.contact]), (0, 2, "light"));
        assert_eq!(seen.wall.as_ref().map(|wall| wall.depth.as_str()), Some(".1 thou"));
        assert_eq!(told.tips[5].contact, NOT_LOOKED_AT);
        assert_eq!(told.tilt_tests[0].readings[1], ["2.5 um", "14 um"]);
        assert_eq!(write_teardown(&told).trim(), FILE.trim());
        assert_eq!(read_teardown(&write_teardown(&told)).unwrap(), told);
    }

    #[test]
    fn faces_that_are_left_out_were_not_looked_at() {
        let told = read_teardown("format = 1\n[teardown]\n[[rotor]]\nserial = \"R-1\"\n").unwrap();
        assert_eq!(told.tips.len(), 6);
        assert!(told.tips.iter().all(|tip| tip.contact == NOT_LOOKED_AT));
        assert_eq!(told.running, None);
    }

    /// A change of the good file, and what is said of it.
    const WRONG: &[(&str, &str, &str)] = &[
        ("format = 1", "format = 2", "format 2 is newer than this program"),
        ("[teardown]", "[tear_down]", "did you mean teardown?"),
        ("\"11.5 h\"", "11.5", "teardown.running: the bare number 11.5 where a unit belongs"),
        ("\"11.5 h\"", "\"11.5 N\"", "teardown.running"),
        ("\"9300 rpm\"", "\"93000 rpm\"", "\"93000 rpm\" is more than 30000 rpm"),
        (
            "\"light\"",
            "\"slight\"",
            "rotor.R-101.gear_tips.2: the text \"slight\"; expected one of",
        ),
        ("\"light\", \"none\"", "\"light\"", "rotor.R-101.gear_tips: 2 of 3 tips"),
        (
            "tip = 2",
            "tip = 4",
            "rotor.R-101.detail.1.tip: the number 4; expected a whole number from 1 to 3",
        ),
        ("tip = 2\nwhere", "tip = 3\nface2", "unknown key"),
        ("face = \"gear\"\ntip = 2", "face = \"plain\"\ntip = 3", "plain face was not looked at"),
        (
            "rotor = \"4 um\"\n",
            "",
            "rotor_gauge without rotor; expected rotor = \"4 um\" beside it",
        ),
        ("\"4 um\"", "\"4 mm\"", "\"4 mm\" is more than 2 mm"),
        ("serial = \"R-101\"", "", "serial is missing"),
        ("load_u = \"1 N\"", "", "tilt_test.1: load_u is missing"),
        (
            "[\"14 um\", \"14 um\"]",
            "[\"14 um\"]",
            "1 of the readings under the large load; expected 2, as many",
        ),
        ("\"120 N\"", "\"120 lb\"", "tilt_test.1.most_load"),
    ];

    #[test]
    fn what_is_wrong_is_told_where_it_stands() {
        for (good, bad, told) in WRONG {
            assert!(FILE.contains(good), "{good}");
            let problems = read_teardown(&FILE.replacen(good, bad, 1)).unwrap_err().to_string();
            assert!(problems.contains(told), "{bad}:\n{problems}");
            assert!(problems.starts_with("teardown file:"), "{problems}");
        }
        let twice = format!("{FILE}\n[[rotor]]\nserial = \"R-101\"\n");
        let twice = read_teardown(&twice).unwrap_err().to_string();
        assert!(twice.contains("rotor R-101 is told twice; expected each rotor once"), "{twice}");
    }
}
