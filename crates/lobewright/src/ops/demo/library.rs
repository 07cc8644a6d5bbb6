//! What the shop of the demonstration keeps to copy into builds: engines, materials and machine
//! tools as the examples have them, and specs in versions that became what the examples have now.

use super::super::ShopError;
use super::super::library::below_name;
use super::books::Books;
use super::diary::Diary;
use super::draft::Draft;
use super::examples::Example;
use crate::build_file::places::place;
use records::Line;

/// Parts of a build file that belong to an engine, whoever's it is.
const OF_ENGINE: [&str; 10] = [
    "engine", "material", "seals", "shaft", "bearing", "oil", "gas", "gear", "inertia", "assembly",
];

/// Materials that the shop has figures of its own for.
const MATERIALS: [(&str, &[(&str, &str)]); 2] = [
    (
        "shaft steel",
        &[
            ("expansion", "\"12.2e-6 /K\""),
            ("density", "\"7850 kg/m3\""),
            ("young", "\"206 GPa\""),
            ("poisson", "0.29"),
        ],
    ),
    ("slug metal", &[("expansion", "\"5.4e-6 /K\""), ("density", "\"17500 kg/m3\"")]),
];

/// What the shop's engine records ask when an engine goes together, where the example has nothing
/// of its own. Every figure is invented.
const AT_ASSEMBLY: [(&str, &str); 29] = [
    ("shaft_runout.most", "\"20 um\""),
    ("main_bearing_clearance.least", "\"45 um\""),
    ("main_bearing_clearance.most", "\"80 um\""),
    ("rotor_bearing_clearance.least", "\"60 um\""),
    ("rotor_bearing_clearance.most", "\"100 um\""),
    ("oil_seal_protrusion.least", "\"0.45 mm\""),
    ("oil_seal_protrusion.most", "\"0.75 mm\""),
    ("corner_seal_bore.least", "\"10 um\""),
    ("corner_seal_bore.most", "\"60 um\""),
    ("side_seal_gap.least", "\"50 um\""),
    ("side_seal_gap.most", "\"150 um\""),
    ("apex_seal_groove.least", "\"35 um\""),
    ("apex_seal_groove.most", "\"95 um\""),
    ("end_play.least", "\"40 um\""),
    ("end_play.most", "\"80 um\""),
    ("spacers.1", "\"5.90 mm\""),
    ("spacers.2", "\"5.94 mm\""),
    ("spacers.3", "\"5.98 mm\""),
    ("spacers.4", "\"6.02 mm\""),
    ("spacers.5", "\"6.06 mm\""),
    ("spacer_u", "\"1.5 um\""),
    ("thicker_spacer", "\"more play\""),
    ("tighten.1.fasteners", "\"tension bolts, from the middle outwards\""),
    ("tighten.1.torque", "\"16 N m\""),
    ("tighten.1.note", "\"oil under the heads\""),
    ("tighten.2.fasteners", "\"tension bolts, from the middle outwards\""),
    ("tighten.2.torque", "\"30 N m\""),
    ("tighten.3.fasteners", "\"flywheel nut\""),
    ("tighten.3.torque", "\"280 N m\""),
];

/// Puts what an engine's record asks at assembly into a build file that says nothing of it.
pub(super) fn asked_at_assembly(draft: &mut Draft) {
    if draft.values().iter().all(|placed| !placed.place.starts_with("assembly.")) {
        for (place, value) in AT_ASSEMBLY {
            draft.set(&format!("assembly.{place}"), value);
        }
    }
}

/// A version of a spec: the example that has it, and what was different then.
#[derive(Debug)]
struct Version {
    name: &'static str,
    number: i64,
    example: Example,
    changes: &'static [(&'static str, &'static str)],
    days_ago: i64,
}

const fn version(
    (name, number): (&'static str, i64),
    days_ago: i64,
    example: Example,
    changes: &'static [(&'static str, &'static str)],
) -> Version {
    Version { name, number, example, changes, days_ago }
}

/// In the order of their numbers.
const SPECS: [Version; 10] = [
    version(
        (SPRINT, 1),
        366,
        Example::Boat,
        &[("spec.side_clearance.target", "\"0.18 mm\""), ("spec.step.target", "\"4.4 thou\"")],
    ),
    version(
        (SPRINT, 2),
        171,
        Example::Boat,
        &[("spec.side_clearance.target", "\"0.21 mm\""), ("spec.step.target", "\"5.2 thou\"")],
    ),
    version((SPRINT, 3), 44, Example::Boat, &[]),
    version((HYDROPLANE, 1), 366, Example::Hydroplane, &[("spec.match", "\"14 um\"")]),
    version((HYDROPLANE, 2), 104, Example::Hydroplane, &[]),
    version(
        (THREE_ROTORS, 1),
        366,
        Example::ThreeRotor,
        &[("spec.name", "\"hydroplane, three rotors\"")],
    ),
    version((ENDURANCE, 1), 366, Example::Aircraft, &[("spec.step.tolerance", "\"0.7 thou\"")]),
    version((ENDURANCE, 2), 94, Example::Aircraft, &[]),
    version((STEADY, 1), 366, Example::FirePump, &[]),
    version((ATMOSPHERIC, 1), 366, Example::SmallPump, &[]),
];

pub(super) const SPRINT: &str = "sprint, boosted";
pub(super) const HYDROPLANE: &str = "hydroplane, boosted";
pub(super) const THREE_ROTORS: &str = "hydroplane, three rotors";
pub(super) const ENDURANCE: &str = "endurance, unboosted";
pub(super) const STEADY: &str = "pump, steady load";
pub(super) const ATMOSPHERIC: &str = "pump, atmospheric";

/// Puts the values of a version of a spec into a build file.
pub(super) fn build_to(draft: &mut Draft, (name, number): (&str, i64)) {
    for version in SPECS.iter().filter(|known| known.name == name && known.number == number) {
        for (place, value) in version.changes {
            draft.set(place, value);
        }
    }
}

fn lines(draft: &Draft, of: impl Fn(&str) -> bool) -> Vec<Line> {
    draft
        .values()
        .iter()
        .filter(|placed| placed.place.split('.').next().is_some_and(&of))
        .map(|placed| Line { place: placed.place.clone(), value: placed.value.clone() })
        .collect()
}

/// Engines and materials, which have no date.
pub(super) fn engines_and_materials(books: &mut Books<'_>) -> Result<(), ShopError> {
    for example in Example::ALL {
        let mut draft = example.draft()?;
        asked_at_assembly(&mut draft);
        let lines = lines(&draft, |table| OF_ENGINE.contains(&table));
        let id = books.shop.add_engine(example.engine(), &lines)?;
        books.engines.insert(example.engine(), id);
    }
    for (name, values) in MATERIALS {
        let lines: Vec<Line> = values
            .iter()
            .map(|(key, value)| Line {
                place: format!("material.\"{name}\".{key}"),
                value: (*value).to_owned(),
            })
            .collect();
        books.shop.add_material(name, &lines)?;
    }
    Ok(())
}

/// Machine tools, which have no date either: a mill and a lathe.
pub(super) fn machine_tools(books: &Books<'_>) -> Result<(), ShopError> {
    for (example, name) in [(Example::Boat, "west mill"), (Example::Aircraft, "old lathe")] {
        let table = "machine_tool";
        let mut lines = lines(&example.draft()?, |other| other == table);
        for line in &mut lines {
            line.place = format!("{}.{}", place(&[table, name]), below_name(&line.place));
        }
        books.shop.add_machine_tool(name, &lines)?;
    }
    Ok(())
}

/// Specs, each version on its day.
pub(super) fn specs(diary: &mut Diary) {
    for version in &SPECS {
        diary.on(version.days_ago, 7 * 60 + 30, move |books, at| {
            let mut draft = version.example.draft()?;
            build_to(&mut draft, (version.name, version.number));
            let lines = lines(&draft, |table| table == "spec");
            let id = books.shop.add_spec(version.name, books.owner.id, at, &lines)?;
            books.specs.insert((version.name, version.number), id);
            Ok(())
        });
    }
}
