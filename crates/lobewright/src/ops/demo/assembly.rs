//! How a build of the demonstration goes together and is signed: shaft and seals are put in, what is
//! read then is read, the builder signs and then the owner.

use super::super::sheet;
use super::books::{Books, Worker, written};
use super::recipe::{Reach, Recipe};
use super::story::{Done, builder, scatter};
use kernel::units::{Force, Length};
use records::{
    AttachedTo, Fit, InRevision, Moment, NewReading, NewSignOff, NewValue, PartKind, Stage, When,
};

/// Shaft and seals go in.
pub(super) fn assemble(books: &mut Books<'_>, recipe: &Recipe, at: &Moment) -> Done {
    let (by, build) = (books.assembler, books.build(recipe.name)?);
    let of = InRevision { build, revision: books.shop.build(build)?.revision };
    let (shaft, seals) = recipe.inside;
    for (kind, serial) in [(PartKind::Shaft, shaft), (PartKind::SealsSet, seals)] {
        let part = books.part((kind, serial), (by, at))?;
        let fit = Fit { of, part, position: 1, gear_face: None, person: by.id, at };
        books.shop.fit(&fit)?;
        let table = if kind == PartKind::Shaft { "shaft" } else { "seals" };
        books.shop.set_value(&NewValue {
            of,
            place: &format!("assembled.{table}.{serial}.serial"),
            value: Some(&format!("{serial:?}")),
            person: by.id,
            at,
            expected: None,
        })?;
    }
    gap(books, recipe, (by, at))?;
    if recipe.reach == Reach::Assembly {
        let due = (Stage::Assembly, "seals are gapped; read the end play, turn it by hand");
        return books.due(recipe.name, due, recipe.wanted(), Some(by));
    }
    if recipe.begun % 4 == 0 {
        // Two photos of one name, as telephones give them.
        for tip in [1, 3] {
            books.attach(AttachedTo::Build(build), ("photo.png", tip), (by, at))?;
        }
    }
    let due = (Stage::SignOff, "turned by hand, free all round; sign it");
    books.due(recipe.name, due, recipe.wanted(), Some(books.owner))
}

/// What is read at a station, about how much, by how much it scatters, and in which unit. Every
/// size is invented, and within what the engine's record asks.
fn usual(list: &str) -> Option<(i64, i64, &'static str)> {
    Some(match list {
        "apex_end_clearance" => (55, 12, "um"),
        "side_seal_gap" => (90, 20, "um"),
        "oil_seal_protrusion" => (580, 30, "um"),
        "corner_seal_bore" => (34, 10, "um"),
        "apex_seal_groove" => (62, 12, "um"),
        "corner_spring_height" => (5050, 90, "um"),
        "oil_spring_load" => (60, 3, "N"),
        "apex_spring_load" => (41, 3, "N"),
        "shaft_runout" => (7, 3, "um"),
        "main_bearing_clearance" => (62, 8, "um"),
        "rotor_bearing_clearance" => (80, 10, "um"),
        "end_play" => (60, 10, "um"),
        "spacer" => (5980, 0, "um"),
        _ => return None,
    })
}

/// What is read when an engine goes together: shaft and bearings, its seals, and at last its end
/// play.
fn gap(books: &Books<'_>, recipe: &Recipe, (by, at): (Worker, &Moment)) -> Done {
    let build = books.build(recipe.name)?;
    let of = InRevision { build, revision: books.shop.build(build)?.revision };
    let fitted = books.shop.fitted(build)?;
    let lines = books.shop.values(build)?;
    let lines = lines.iter().map(|line| (line.place.as_str(), line.value.as_str()));
    let goes = sheet::Goes::of(lines);
    let mut scatter = scatter(recipe, 5);
    for part in fitted.iter().filter(|part| part.out.is_none()) {
        if !matches!(part.kind, PartKind::Shaft | PartKind::SealsSet) {
            continue;
        }
        for station in sheet::stations(part.kind, &part.serial, When::After, &[], &goes) {
            let Some((about, most, unit)) = usual(&station.list) else { continue };
            let last = ["end_play", "spacer"].contains(&station.list.as_str());
            if last && recipe.reach == Reach::Assembly {
                continue;
            }
            let count = about + scatter.about(most);
            // As somebody would write it.
            let text = match unit {
                "um" if count > 1000 => format!("{} mm", count as f64 / 1e3),
                _ => format!("{count} {unit}"),
            };
            let value =
                if unit == "N" { written::<Force>(&text)? } else { written::<Length>(&text)? };
            books.shop.add_reading(&NewReading {
                part: part.part,
                build: Some(of),
                when: When::After,
                station: &station.name,
                value: &value,
                gauge: None,
                person: by.id,
                at,
                temperature: None,
                expected: None,
                sent_as: None,
                place: station.place.as_deref(),
            })?;
        }
    }
    Ok(())
}

pub(super) fn sign_as_builder(books: &mut Books<'_>, recipe: &Recipe, at: &Moment) -> Done {
    let by = builder(books, recipe);
    sign(books, recipe, "read, built and turned by hand", (by, at))
}

pub(super) fn sign_as_owner(books: &mut Books<'_>, recipe: &Recipe, at: &Moment) -> Done {
    sign(books, recipe, "looked over and released", (books.owner, at))
}

/// Puts a signature under a build.
pub(super) fn sign(
    books: &Books<'_>,
    recipe: &Recipe,
    meaning: &str,
    (by, at): (Worker, &Moment),
) -> Done {
    let build = books.build(recipe.name)?;
    let seen = books.shop.seen(build)?;
    books.shop.sign(&NewSignOff { build, seen, person: by.id, at, meaning })?;
    books.due(recipe.name, (Stage::SignOff, ""), recipe.wanted(), None)
}
