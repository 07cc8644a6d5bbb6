//! How a build of the demonstration goes together and is signed: shaft and seals are put in, what is
//! read then is read, the builder signs and then the owner.

use super::super::sheet;
use super::books::{Books, Worker, written};
use super::recipe::{Reach, Recipe};
use super::story::{Done, builder, scatter};
use kernel::units::Length;
use records::{AttachedTo, Fit, InRevision, Moment, NewReading, NewSignOff, PartKind, Stage, When};

/// Shaft and seals go in.
pub(super) fn assemble(books: &mut Books<'_>, recipe: &Recipe, at: &Moment) -> Done {
    let (by, build) = (books.assembler, books.build(recipe.name)?);
    let of = InRevision { build, revision: books.shop.build(build)?.revision };
    let (shaft, seals) = recipe.inside;
    for (kind, serial) in [(PartKind::Shaft, shaft), (PartKind::SealsSet, seals)] {
        let part = books.part((kind, serial), (by, at))?;
        let fit = Fit { of, part, position: 1, gear_face: None, person: by.id, at };
        books.shop.fit(&fit)?;
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

/// What is read when an engine goes together: gaps of its seals, and at last its end play.
fn gap(books: &Books<'_>, recipe: &Recipe, (by, at): (Worker, &Moment)) -> Done {
    let build = books.build(recipe.name)?;
    let of = InRevision { build, revision: books.shop.build(build)?.revision };
    let fitted = books.shop.fitted(build)?;
    let rotors = fitted.iter().filter(|part| part.kind == PartKind::Rotor).count();
    let mut scatter = scatter(recipe, 5);
    for part in fitted.iter().filter(|part| part.out.is_none()) {
        for station in sheet::stations(part.kind, &part.serial, When::After, &[], rotors) {
            let (usual, most) = match (part.kind, station.list.as_str()) {
                (PartKind::SealsSet, "apex_end_clearance") => (55, 12),
                (PartKind::SealsSet, "side_seal_gap") => (90, 20),
                (PartKind::SealsSet, "oil_seal_protrusion") => (580, 30),
                (PartKind::Shaft, "end_play") if recipe.reach > Reach::Assembly => (60, 10),
                _ => continue,
            };
            let value = written::<Length>(&format!("{} um", usual + scatter.about(most)))?;
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
