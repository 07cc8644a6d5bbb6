//! What the shop keeps to copy into builds: specs in versions, engines, materials, machine tools. Nothing is
//! kept before it was looked at as a build would look at it: its lines are put into a build file
//! that is right otherwise, and that file is read.

use super::phrase::capitalised;
use crate::build_file::known::{Takes, known_places, named_places, no_name, takes};
use crate::build_file::model::MachineTool;
use crate::build_file::places::{Placed, PlacesError, assemble, placed};
use crate::build_file::{MOST_ROTORS, Problem, Problems, read};
use records::{
    EngineId, Line, MachineToolId, MaterialId, Moment, PersonId, RecordsError, Shop, SpecId,
};
use std::collections::HashMap;
use thiserror::Error;

/// A build that is right: what is looked at takes the place of its own lines.
const FRAME: &str = include_str!("../../../../examples/sprint-boat.toml");

/// What is kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kept {
    /// A version of a spec.
    Spec,
    /// An engine, with what goes into every one of it.
    Engine,
    /// A material.
    Material,
    /// A machine tool.
    MachineTool,
}

/// What a machine tool of any kind cannot be without; what a mill or a lathe needs besides is said
/// once its kind is.
const OF_ANY_MACHINE: [&str; 15] = [
    "kind",
    "units",
    "units_word",
    "most_speed",
    "fixture.held_by",
    "fixture.clamp_radius",
    "fixture.clamp_height",
    "cutter.corner_radius",
    "cutter.reach",
    "rough.cutting_speed",
    "rough.feed",
    "rough.depth",
    "finish.cutting_speed",
    "finish.feed",
    "finish.stock",
];

impl Kept {
    /// The tables of a build file that its lines stand in.
    #[must_use]
    pub const fn tables(self) -> &'static [&'static str] {
        match self {
            Self::Spec => &["spec"],
            Self::Engine => &[
                "engine",
                "shaft",
                "bearing",
                "gear",
                "seals",
                "oil",
                "gas",
                "inertia",
                "assembly",
                "condition",
            ],
            Self::Material => &["material"],
            Self::MachineTool => &["machine_tool"],
        }
    }

    /// The places that it cannot be without.
    #[must_use]
    pub fn needed(self, name: &str) -> Vec<String> {
        let of = |table: &str, keys: &[&str]| {
            keys.iter().map(|key| format!("{table}.{key}")).collect::<Vec<_>>()
        };
        match self {
            Self::Spec => of(
                "spec",
                &[
                    "side_clearance.target",
                    "side_clearance.tolerance",
                    "step.target",
                    "step.tolerance",
                    "land_cut_limit",
                    "tip_cut_limit",
                ],
            ),
            Self::Engine => of(
                "engine",
                &[
                    "rotors",
                    "generating_radius",
                    "eccentricity",
                    "parallel_shift",
                    "land_radius",
                    "rotor_tip_radius",
                    "rotor_material",
                    "housing_material",
                ],
            ),
            Self::Material => named_places("material", name).into_iter().take(2).collect(),
            Self::MachineTool => named_places("machine_tool", name)
                .into_iter()
                .filter(|place| OF_ANY_MACHINE.contains(&below_name(place).as_str()))
                .collect(),
        }
    }

    /// The places that every one of its kind can have, in their order. A spec's name is its own
    /// and not asked for again.
    #[must_use]
    pub fn known(self, name: &str) -> Vec<String> {
        match self {
            Self::Material | Self::MachineTool => named_places(self.tables()[0], name),
            _ => self
                .tables()
                .iter()
                .flat_map(|table| known_places(table))
                .filter(|place| place != SPEC_NAME)
                .collect(),
        }
    }

    fn has(self, place: &str) -> bool {
        self.tables().contains(&root(place))
    }

    /// What is left out of the frame: its own lines, and what only fits the frame's engine.
    fn replaces(self, table: &str) -> bool {
        match self {
            // Without an engine a spec is looked at by itself: whether a taper begins on the
            // land is asked by the build.
            Self::Spec => ["spec", "engine"].contains(&table),
            Self::Engine => self.tables().contains(&table) || ["rotor", "housing"].contains(&table),
            Self::Material | Self::MachineTool => table == self.tables()[0],
        }
    }
}

/// Where the name of a spec stands.
const SPEC_NAME: &str = "spec.name";

/// Why something is not kept.
#[derive(Debug, Error)]
#[non_exhaustive]
pub enum LibraryError {
    /// What the reader of build files says about its lines.
    #[error("{}", told(.0))]
    Problems(Vec<Problem>),
    /// A place or a value that no build file has.
    #[error(transparent)]
    Places(#[from] PlacesError),
    /// It belongs to something else.
    #[error("{place} has no place here; what is kept here is of [{}]", .tables.join("], ["))]
    Elsewhere {
        /// As it was given.
        place: String,
        /// The tables that may be here.
        tables: &'static [&'static str],
    },
    /// A place that is there twice.
    #[error("{} is filled in twice; keep one of them", in_words(.place))]
    Twice {
        /// Which one.
        place: String,
    },
    /// Nothing was filled in.
    #[error("nothing is filled in; fill in at least what must be there")]
    Nothing,
    /// No name.
    #[error("the name {name:?} {why}")]
    Name {
        /// As it was given.
        name: String,
        /// What is wrong with it.
        why: String,
    },
    /// No text of a build file.
    #[error("the text cannot be read: {what}")]
    Text {
        /// Why.
        what: String,
    },
    /// What the shop's file says.
    #[error(transparent)]
    Records(#[from] RecordsError),
}

/// Every problem on a line of its own, by the words of the form it came from.
fn told(problems: &[Problem]) -> String {
    let line = |problem: &Problem| {
        let mut line = capitalised(&format!("{}: {}", in_words(&problem.place), problem.what));
        if !problem.expected.is_empty() {
            line += &format!("; expected {}", problem.expected);
        }
        if let Some(hint) = &problem.hint {
            line += &format!("; {hint}");
        }
        line
    };
    problems.iter().map(line).collect::<Vec<_>>().join("\n")
}

fn root(place: &str) -> &str {
    place.split('.').next().unwrap_or(place)
}

/// The keys of a place in a table that the shop names, below that name: `cutter.teeth`.
#[must_use]
pub fn below_name(place: &str) -> String {
    keys_of(place).into_iter().skip(2).collect::<Vec<_>>().join(".")
}

/// The keys of a place. In a message a name stands without its quotes, whatever is in it.
fn keys_of(place: &str) -> Vec<String> {
    match toml_edit::Key::parse(place) {
        Ok(keys) => keys.iter().map(|key| key.get().to_owned()).collect(),
        Err(_) => place.split('.').map(str::to_owned).collect(),
    }
}

/// The keys of a place without the table that all of its kind stand in: `seals, spring margin`.
#[must_use]
pub fn in_words(place: &str) -> String {
    let path = keys_of(place);
    let keys: Vec<&str> = path.iter().map(String::as_str).collect();
    let left_out = match *keys.as_slice() {
        ["material" | "machine_tool", _, _, ..] => 2,
        ["spec" | "engine", _, ..] => 1,
        _ => 0,
    };
    // A name of the shop's own stays as it is.
    let words = |key: &&str| {
        if left_out == 2 && *key == "young" {
            "Young's modulus".to_owned()
        } else if left_out == 2 && *key == "poisson" {
            "Poisson's ratio".to_owned()
        } else if key.bytes().all(|b| b.is_ascii_lowercase() || b == b'_') {
            key.replace('_', " ")
        } else {
            (*key).to_owned()
        }
    };
    keys.iter().skip(left_out).map(words).collect::<Vec<_>>().join(", ")
}

/// A line from what was typed in a form; nothing if nothing was typed. A text may be typed as a
/// build file has it, in quotes, or without.
///
/// # Errors
/// Where no build file has such a place.
pub fn line(place: &str, typed: &str) -> Result<Option<Line>, LibraryError> {
    let typed = typed.trim();
    if typed.is_empty() {
        return Ok(None);
    }
    let no_place = || PlacesError::NoPlace { place: place.to_owned() };
    let plain = || {
        let number = typed.parse::<toml_edit::Value>().ok()?;
        (number.is_integer() || number.is_float()).then(|| typed.to_owned())
    };
    let value = match takes(place).ok_or_else(no_place)? {
        // What is no number is handed to the reader as a text: it knows what was expected.
        Takes::Number => plain().unwrap_or_else(|| toml_edit::Value::from(typed).to_string()),
        Takes::Text => {
            let whole = typed.parse::<toml_edit::Value>().ok();
            let inside = whole.as_ref().and_then(toml_edit::Value::as_str).unwrap_or(typed);
            toml_edit::Value::from(inside).to_string()
        }
    };
    Ok(Some(Line { place: place.to_owned(), value }))
}

/// What stands in a line, as a form shows it: without quotes.
#[must_use]
pub fn typed(line: &Line) -> String {
    let value = line.value.parse::<toml_edit::Value>().ok();
    match value.as_ref().and_then(toml_edit::Value::as_str) {
        Some(text) => text.to_owned(),
        None => line.value.clone(),
    }
}

/// What the reader of build files expects at every known place, in its own words.
/// In a form nothing is put in quotes, so none are shown.
#[must_use]
pub fn expected(kept: Kept, name: &str) -> HashMap<String, String> {
    let mut lines: Vec<Line> = kept
        .known(name)
        .into_iter()
        .map(|place| Line { place, value: "\"?\"".to_owned() })
        .collect();
    if kept == Kept::Spec {
        named(&mut lines, "?");
    }
    let Ok(text) = framed(kept, &lines, &[]) else { return HashMap::new() };
    let Err(problems) = read(&text) else { return HashMap::new() };
    let quoted: HashMap<String, &str> =
        lines.iter().map(|line| (line.place.replace('"', ""), line.place.as_str())).collect();
    problems
        .list()
        .iter()
        .filter_map(|problem| {
            let place = quoted.get(&problem.place.replace('"', ""))?;
            Some(((*place).to_owned(), without_quotes(&problem.expected)))
        })
        .collect()
}

/// What is expected, for a form: there nothing is put in quotes. Words that are written as they
/// stand do not begin the sentence: a large M would make another unit of `mm`.
fn without_quotes(expected: &str) -> String {
    let write = if expected.starts_with('"') { "write " } else { "" };
    let plain = expected
        .replace(", without quotes or unit", ", without a unit")
        .replace(", without quotes", "")
        .replace('"', "");
    format!("{write}{plain}")
}

/// The lines as a piece of a build file.
///
/// # Errors
/// Where a line has no place in one.
pub fn as_text(lines: &[Line]) -> Result<String, LibraryError> {
    Ok(assemble(&lines.iter().map(as_placed).collect::<Vec<_>>())?)
}

/// The lines of a piece of a build file.
///
/// # Errors
/// Where it is no such piece, or has anything else in it.
pub fn of_text(shop: &Shop, kept: Kept, text: &str) -> Result<Vec<Line>, LibraryError> {
    let text = text.replace("\r\n", "\n");
    let document: toml_edit::DocumentMut =
        text.parse().map_err(|error: toml_edit::TomlError| LibraryError::Text {
            what: error.to_string().trim().to_owned(),
        })?;
    for (key, _) in document.iter() {
        if !kept.has(key) {
            return Err(LibraryError::Elsewhere { place: key.to_owned(), tables: kept.tables() });
        }
    }
    if document.is_empty() {
        return Err(LibraryError::Nothing);
    }
    let rotors = document.get("engine").and_then(|engine| engine.get("rotors"));
    let rotors = rotors.and_then(toml_edit::Item::as_integer);
    let frame = assemble(&frame(kept, rotors, &materials(shop)?))?;
    // Keys before the first table would fall into the last one of the frame.
    let first = text.lines().map(str::trim).find(|line| !line.is_empty() && !line.starts_with('#'));
    if first.is_some_and(|line| !line.starts_with('[')) {
        return Err(LibraryError::Text {
            what: format!("it begins without a table; begin with [{}]", kept.tables()[0]),
        });
    }
    let whole = format!("{frame}\n{text}");
    let values = placed(&whole).map_err(|problems| {
        let own = of(kept, &problems);
        LibraryError::Problems(if own.is_empty() { problems.list().to_vec() } else { own })
    })?;
    let own = values.into_iter().filter(|placed| kept.has(&placed.place));
    Ok(own.map(|placed| Line { place: placed.place, value: placed.value }).collect())
}

fn as_placed(line: &Line) -> Placed {
    Placed { place: line.place.clone(), value: line.value.clone() }
}

/// Materials of the library: an engine may name them.
fn materials(shop: &Shop) -> Result<Vec<Line>, RecordsError> {
    let mut lines = Vec::new();
    for material in shop.materials()? {
        lines.extend(shop.material_lines(material.id)?);
    }
    Ok(lines)
}

/// The frame without what is replaced. For an engine it has as many rotors as that.
fn frame(kept: Kept, rotors: Option<i64>, materials: &[Line]) -> Vec<Placed> {
    let values = placed(FRAME).unwrap_or_default();
    let mut frame: Vec<Placed> =
        values.iter().filter(|placed| !kept.replaces(root(&placed.place))).cloned().collect();
    if kept == Kept::Engine {
        frame.extend(materials.iter().map(as_placed));
        let most = MOST_ROTORS as i64;
        for number in 1..=rotors.unwrap_or(1).clamp(1, most) {
            frame.extend(numbered(&values, "housing", number));
            frame.extend(numbered(&values, "rotor", number));
        }
    }
    frame
}

/// The first of the frame's rotors or housings, under another serial.
fn numbered<'v>(
    values: &'v [Placed],
    table: &'static str,
    number: i64,
) -> impl Iterator<Item = Placed> + 'v {
    let of = move |place: &str| -> Option<(String, String)> {
        let (serial, key) = place.strip_prefix(table)?.strip_prefix('.')?.split_once('.')?;
        Some((serial.to_owned(), key.to_owned()))
    };
    let first = values.iter().find_map(|placed| of(&placed.place)).map(|(serial, _)| serial);
    values.iter().filter_map(move |placed| {
        let (serial, key) = of(&placed.place)?;
        (Some(&serial) == first.as_ref()).then(|| Placed {
            place: format!("{table}.{number}.{key}"),
            value: if key == "serial" { format!("\"{number}\"") } else { placed.value.clone() },
        })
    })
}

fn framed(kept: Kept, lines: &[Line], materials: &[Line]) -> Result<String, PlacesError> {
    let rotors = lines.iter().find(|line| line.place == "engine.rotors");
    let rotors = rotors.and_then(|line| line.value.parse().ok());
    let mut values = frame(kept, rotors, materials);
    values.extend(lines.iter().map(as_placed));
    assemble(&values)
}

/// The problems that are of these lines: the frame's own are none of the shop's.
fn of(kept: Kept, problems: &Problems) -> Vec<Problem> {
    problems.list().iter().filter(|problem| kept.has(&problem.place)).cloned().collect()
}

/// Looks at lines as a build would.
fn checked(shop: &Shop, kept: Kept, lines: &[Line]) -> Result<(), LibraryError> {
    if lines.is_empty() {
        return Err(LibraryError::Nothing);
    }
    for (i, line) in lines.iter().enumerate() {
        if !kept.has(&line.place) {
            let place = line.place.clone();
            return Err(LibraryError::Elsewhere { place, tables: kept.tables() });
        }
        if lines[..i].iter().any(|before| before.place == line.place) {
            return Err(LibraryError::Twice { place: line.place.clone() });
        }
    }
    let materials = if kept == Kept::Engine { materials(shop)? } else { Vec::new() };
    let text = framed(kept, lines, &materials)?;
    let own = read(&text).err().map(|problems| of(kept, &problems)).unwrap_or_default();
    let needed = kept.tables()[0];
    if own.is_empty() && !lines.iter().any(|line| root(&line.place) == needed) {
        return Err(LibraryError::Nothing);
    }
    if own.is_empty() { Ok(()) } else { Err(LibraryError::Problems(own)) }
}

fn name_checked(name: &str) -> Result<(), LibraryError> {
    match no_name(name) {
        None => Ok(()),
        Some(why) => Err(LibraryError::Name { name: name.to_owned(), why }),
    }
}

/// Puts the name of a spec first, where a build file has it.
fn named(lines: &mut Vec<Line>, name: &str) {
    lines.retain(|line| line.place != SPEC_NAME);
    let value = toml_edit::Value::from(name).to_string();
    lines.insert(0, Line { place: SPEC_NAME.to_owned(), value });
}

/// Keeps the next version of a spec, the first if there is none of that name.
///
/// # Errors
/// [`LibraryError`]: what is wrong with its name or its lines; what the shop's file refuses.
pub fn add_spec(
    shop: &Shop,
    name: &str,
    mut lines: Vec<Line>,
    (owner, at): (PersonId, &Moment),
) -> Result<SpecId, LibraryError> {
    name_checked(name)?;
    named(&mut lines, name);
    checked(shop, Kept::Spec, &lines)?;
    Ok(shop.add_spec(name, owner, at, &lines)?)
}

/// Changes a version that no build refers to.
///
/// # Errors
/// As [`add_spec`]; where a build refers to it.
pub fn change_spec(shop: &Shop, id: SpecId, mut lines: Vec<Line>) -> Result<(), LibraryError> {
    let spec = shop.specs()?.into_iter().find(|spec| spec.id == id);
    let spec = spec.ok_or_else(|| RecordsError::NotThere { what: format!("spec {id}") })?;
    named(&mut lines, &spec.name);
    checked(shop, Kept::Spec, &lines)?;
    Ok(shop.set_spec_lines(id, &lines)?)
}

/// Keeps an engine.
///
/// # Errors
/// [`LibraryError`]: what is wrong with its name or its lines; what the shop's file refuses.
pub fn add_engine(shop: &Shop, name: &str, lines: &[Line]) -> Result<EngineId, LibraryError> {
    name_checked(name)?;
    checked(shop, Kept::Engine, lines)?;
    Ok(shop.add_engine(name, lines)?)
}

/// Changes an engine. Builds have their own copy.
///
/// # Errors
/// As [`add_engine`].
pub fn change_engine(shop: &Shop, id: EngineId, lines: &[Line]) -> Result<(), LibraryError> {
    checked(shop, Kept::Engine, lines)?;
    Ok(shop.set_engine_lines(id, lines)?)
}

/// Keeps a material.
///
/// # Errors
/// [`LibraryError`]: what is wrong with its name or its lines; what the shop's file refuses.
pub fn add_material(shop: &Shop, name: &str, lines: &[Line]) -> Result<MaterialId, LibraryError> {
    name_checked(name)?;
    checked(shop, Kept::Material, lines)?;
    Ok(shop.add_material(name, lines)?)
}

/// Changes a material.
///
/// # Errors
/// As [`add_material`].
pub fn change_material(shop: &Shop, id: MaterialId, lines: &[Line]) -> Result<(), LibraryError> {
    checked(shop, Kept::Material, lines)?;
    Ok(shop.set_material_lines(id, lines)?)
}

/// Keeps a machine tool.
///
/// # Errors
/// [`LibraryError`]: what is wrong with its name or its lines; what the shop's file refuses.
pub fn add_machine_tool(
    shop: &Shop,
    name: &str,
    lines: &[Line],
) -> Result<MachineToolId, LibraryError> {
    name_checked(name)?;
    checked(shop, Kept::MachineTool, lines)?;
    Ok(shop.add_machine_tool(name, lines)?)
}

/// A machine tool of the library: what the shop calls it, and its record.
///
/// # Errors
/// Where there is none of that number, or its lines are none any more.
pub fn machine_tool(shop: &Shop, id: MachineToolId) -> Result<(String, MachineTool), LibraryError> {
    let machine = shop.machine_tools()?.into_iter().find(|machine| machine.id == id);
    let machine =
        machine.ok_or_else(|| RecordsError::NotThere { what: format!("machine tool {id}") })?;
    let text = framed(Kept::MachineTool, &shop.machine_tool_lines(id)?, &[])?;
    let build =
        read(&text).map_err(|problems| LibraryError::Problems(of(Kept::MachineTool, &problems)))?;
    let record = build.machine_tools.into_values().next().ok_or(LibraryError::Nothing)?;
    Ok((machine.name, record))
}

/// Changes a machine tool.
///
/// # Errors
/// As [`add_machine_tool`].
pub fn change_machine_tool(
    shop: &Shop,
    id: MachineToolId,
    lines: &[Line],
) -> Result<(), LibraryError> {
    checked(shop, Kept::MachineTool, lines)?;
    Ok(shop.set_machine_tool_lines(id, lines)?)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::build_file::places::place;
    use tempfile::TempDir;

    const AIRCRAFT: &str = include_str!("../../../../examples/heron-aircraft.toml");
    const EXAMPLES: [&str; 5] = [
        FRAME,
        AIRCRAFT,
        include_str!("../../../../examples/gannet-pump.toml"),
        include_str!("../../../../examples/cormorant-three.toml"),
        include_str!("../../../../examples/dipper-pump.toml"),
    ];

    fn shop() -> (TempDir, Shop, PersonId, Moment) {
        let folder = tempfile::tempdir().unwrap();
        let shop = Shop::create(&folder.path().join("shop.db")).unwrap();
        let ada = shop.add_person("Ada", "owner").unwrap();
        (folder, shop, ada, Moment::new("2026-11-28T09:30:00Z").unwrap())
    }

    fn lines(text: &str, kept: Kept) -> Vec<Line> {
        let values = placed(text).unwrap().into_iter().filter(|v| kept.has(&v.place));
        values.map(|v| Line { place: v.place, value: v.value }).collect()
    }

    fn material(name: &str) -> Vec<Line> {
        let places = named_places("material", name);
        let value = |value: &str| value.to_owned();
        vec![
            Line { place: places[0].clone(), value: value("\"11.0e-6 /K\"") },
            Line { place: places[1].clone(), value: value("\"7100 kg/m3\"") },
        ]
    }

    #[test]
    fn what_the_examples_have_is_kept_and_comes_back() {
        let (_folder, shop, ada, at) = shop();
        for (n, text) in EXAMPLES.into_iter().enumerate() {
            // Some of them have materials of their own.
            for own in placed(text).unwrap().iter().filter(|v| root(&v.place) == "material") {
                let name = toml_edit::Key::parse(&own.place).unwrap()[1].get().to_owned();
                if !shop.materials().unwrap().iter().any(|known| known.name == name) {
                    let of_it =
                        |v: &&Line| toml_edit::Key::parse(&v.place).unwrap()[1].get() == name;
                    let all = lines(text, Kept::Material);
                    let own: Vec<Line> = all.iter().filter(of_it).cloned().collect();
                    add_material(&shop, &name, &own).unwrap();
                }
            }
            let engine = lines(text, Kept::Engine);
            let id = add_engine(&shop, &format!("engine {n}"), &engine)
                .unwrap_or_else(|error| panic!("{n}: {error}"));
            assert_eq!(shop.engine_lines(id).unwrap(), engine);
            let back = of_text(&shop, Kept::Engine, &as_text(&engine).unwrap()).unwrap();
            let sorted = |mut lines: Vec<Line>| {
                lines.sort_by(|a, b| a.place.cmp(&b.place));
                lines
            };
            assert_eq!(sorted(back), sorted(engine));
            let spec = lines(text, Kept::Spec);
            let name = typed(spec.iter().find(|line| line.place == SPEC_NAME).unwrap());
            let id = add_spec(&shop, &name, spec.clone(), (ada, &at)).unwrap();
            assert_eq!(sorted(shop.spec_lines(id).unwrap()), sorted(spec.clone()));
            // As a form has it: without quotes, and quoted again.
            for one in &spec {
                assert_eq!(line(&one.place, &typed(one)).unwrap().as_ref(), Some(one));
            }
        }
    }

    #[test]
    fn what_must_be_there_is_what_is_told_to_be_needed() {
        let (_folder, shop, ada, at) = shop();
        for kept in [Kept::Spec, Kept::Engine, Kept::Material] {
            let all = if kept == Kept::Material { material("own") } else { lines(FRAME, kept) };
            let needed = kept.needed("own");
            for left_out in &needed {
                let without: Vec<Line> =
                    all.iter().filter(|line| line.place != *left_out).cloned().collect();
                assert!(without.len() < all.len(), "{left_out}");
                checked(&shop, kept, &without).unwrap_err();
            }
            let mut least: Vec<Line> =
                all.into_iter().filter(|line| needed.contains(&line.place)).collect();
            if kept == Kept::Spec {
                named(&mut least, "least");
            }
            checked(&shop, kept, &least).unwrap();
        }
        let nothing = add_spec(&shop, "empty", Vec::new(), (ada, &at)).unwrap_err().to_string();
        assert!(nothing.contains("side_clearance is missing"), "{nothing}");
        assert!(matches!(add_engine(&shop, "empty", &[]), Err(LibraryError::Nothing)));
        assert!(shop.specs().unwrap().is_empty() && shop.engines().unwrap().is_empty());
    }

    #[test]
    fn what_is_wrong_is_told_in_the_words_of_the_form() {
        let (_folder, shop, ada, at) = shop();
        let mut spec = lines(FRAME, Kept::Spec);
        let at_place =
            |spec: &[Line], place: &str| spec.iter().position(|l| l.place == place).unwrap();
        let target = at_place(&spec, "spec.side_clearance.target");
        spec[target] = line("spec.side_clearance.target", "0.22").unwrap().unwrap();
        let said = add_spec(&shop, "sprint", spec.clone(), (ada, &at)).unwrap_err().to_string();
        assert!(said.starts_with("Side clearance, target: \"0.22\" has no unit"), "{said}");
        assert!(said.contains("write \"0.22 mm\""), "{said}");
        spec.push(line("spec.contact_chance", "one in ten").unwrap().unwrap());
        let said = add_spec(&shop, "sprint", spec.clone(), (ada, &at)).unwrap_err().to_string();
        assert_eq!(said.lines().count(), 2, "{said}");
        assert!(said.contains("Contact chance: the text \"one in ten\""), "{said}");
        assert!(matches!(
            checked(&shop, Kept::Spec, &[spec[0].clone(), spec[0].clone()]),
            Err(LibraryError::Twice { .. })
        ));
        let elsewhere = line("engine.rotors", "2").unwrap().unwrap();
        assert!(matches!(
            add_spec(&shop, "sprint", vec![elsewhere], (ada, &at)),
            Err(LibraryError::Elsewhere { .. })
        ));
        for text in ["8 um", "\"8 um\"", " '8 um' "] {
            assert_eq!(line("spec.match", text).unwrap().unwrap().value, "\"8 um\"");
        }
        assert!(line("spec.colour", "red").is_err());
        assert!(line("spec.colour", " ").is_err() || line("spec.match", " ").unwrap().is_none());
        for name in ["", " sprint", "a\nb", &"x".repeat(81)] {
            let refused = add_spec(&shop, name, lines(FRAME, Kept::Spec), (ada, &at)).unwrap_err();
            assert!(matches!(refused, LibraryError::Name { .. }), "{name:?}");
        }
        assert!(shop.specs().unwrap().is_empty());
    }

    #[test]
    fn an_engine_of_a_material_of_the_library() {
        let (_folder, shop, ..) = shop();
        let mut engine = lines(FRAME, Kept::Engine);
        let of = engine.iter().position(|l| l.place == "engine.rotor_material").unwrap();
        engine[of].value = "\"EN-GJS 500\"".to_owned();
        let said = add_engine(&shop, "two", &engine).unwrap_err().to_string();
        assert!(said.starts_with("Rotor material: "), "{said}");
        add_material(&shop, "EN-GJS 500", &material("EN-GJS 500")).unwrap();
        add_engine(&shop, "two", &engine).unwrap();
        let said = add_material(&shop, "cast iron", &material("nodular iron")).unwrap_err();
        assert!(said.to_string().contains("is built in"), "{said}");
    }

    #[test]
    fn a_piece_of_a_file_is_taken_whole_or_not_at_all() {
        let (_folder, shop, ..) = shop();
        let text = as_text(&lines(FRAME, Kept::Engine)).unwrap();
        let refused = |text: &str| of_text(&shop, Kept::Engine, text).unwrap_err().to_string();
        assert!(refused("").contains("nothing is filled in"));
        assert!(refused("[engine").starts_with("the text cannot be read: "));
        assert!(refused("[build]\nname = \"x\"").starts_with("build has no place here"));
        assert!(refused("engine.rotors = 2").contains("begin with [engine]"));
        assert!(refused(&text.replace("eccentricity", "eccentricty")).contains("did you mean"));
        assert!(refused(&text.replace("14.5 mm", "14.5")).contains("eccentricity"));
        let three = text.replace("rotors = 2", "rotors = 3");
        assert_eq!(of_text(&shop, Kept::Engine, &three).unwrap()[0].value, "3");
    }

    #[test]
    fn a_machine_tool_has_what_its_kind_needs() {
        let (_folder, shop, ..) = shop();
        let own = |text: &str, name: &str| -> Vec<Line> {
            let all = lines(text, Kept::MachineTool);
            let place =
                |line: &Line| place(&["machine_tool", name]) + "." + &below_name(&line.place);
            all.iter().map(|l| Line { place: place(l), value: l.value.clone() }).collect()
        };
        for (text, name, of_kind) in [(FRAME, "west mill", 3), (AIRCRAFT, "lathe by the door", 2)] {
            let all = own(text, name);
            let (needed, known) = (Kept::MachineTool.needed(name), Kept::MachineTool.known(name));
            assert_eq!((needed.len(), known.len()), (15, 22));
            let mut missed = 0;
            for left_out in &known {
                let mut without = all.clone();
                without.retain(|line| line.place != *left_out);
                if without.len() < all.len() && checked(&shop, Kept::MachineTool, &without).is_err()
                {
                    missed += 1;
                } else {
                    assert!(!needed.contains(left_out), "{left_out}");
                }
            }
            assert_eq!(missed, 15 + of_kind, "{name}");
            let id = add_machine_tool(&shop, name, &all).unwrap();
            assert_eq!(shop.machine_tool_lines(id).unwrap(), all);
            let teeth = place(&["machine_tool", name, "cutter", "teeth"]);
            let mut wrong = all.clone();
            wrong.retain(|line| line.place != teeth);
            wrong.push(line(&teeth, "three").unwrap().unwrap());
            let said = change_machine_tool(&shop, id, &wrong).unwrap_err().to_string();
            assert!(said.starts_with("Cutter, teeth: "), "{said}");
            change_machine_tool(&shop, id, &all).unwrap();
        }
        assert!(matches!(add_machine_tool(&shop, "empty", &[]), Err(LibraryError::Nothing)));
        assert_eq!(shop.machine_tools().unwrap().len(), 2);
    }

    #[test]
    fn every_known_place_says_what_it_expects() {
        for kept in [Kept::Spec, Kept::Engine, Kept::Material, Kept::MachineTool] {
            let expected = expected(kept, "own, new");
            for place in kept.known("own, new") {
                let said = expected.get(&place).map_or("", String::as_str);
                // Whether a plan of a trace's file is there is no matter of its words, and what a
                // calibration rests on is said in any.
                let any = ["gas.trace", "spec.calibration.from"].contains(&place.as_str());
                assert!(!said.is_empty() || any, "{place}");
                assert!(!said.contains(['"']) && !said.contains("quotes"), "{place}: {said}");
            }
        }
        let spec = expected(Kept::Spec, "");
        assert!(spec["spec.match"].starts_with("a match above 0 mm"), "{}", spec["spec.match"]);
    }

    #[test]
    fn places_in_words() {
        assert_eq!(in_words("spec.side_clearance.target"), "side clearance, target");
        assert_eq!(in_words("spec.seals.spring_margin"), "seals, spring margin");
        assert_eq!(in_words("shaft.weight.\"front nut\".mass"), "shaft, weight, front nut, mass");
        assert_eq!(in_words("material.\"own, new\".young"), "Young's modulus");
        assert_eq!(in_words("machine_tool.\"west mill\".cutter.teeth"), "cutter, teeth");
        assert_eq!(in_words("machine_tool.west mill.x_reads"), "x reads");
        assert_eq!(in_words("spec"), "spec");
    }
}
