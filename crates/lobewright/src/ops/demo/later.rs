//! What happens to a build of the demonstration after it was signed: it is changed and signed
//! again, or it comes back and is torn down.

use super::super::ShopError;
use super::assembly::sign;
use super::books::{Books, Worker, stuck};
use super::diary::Diary;
use super::recipe::{Found, Recipe, Signed, Then};

use records::{
    AttachedTo, Fitted, InRevision, Moment, NewFinding, NewValue, OutWhy, PartKind, Stage,
};

/// What is left of the place of a part in a build after it came apart.
const TORN_DOWN: &str = "torn down and cleaned; waits on the shelf for its customer";

/// Writes what happened later into the diary.
pub(super) fn happens(diary: &mut Diary, recipe: &'static Recipe) {
    let minutes = recipe.minutes();
    match &recipe.then {
        Then::Runs => {}
        Then::Amended { days_ago, reason, change, signed } => {
            let wanted = match signed {
                Signed::On(_) => recipe.wanted(),
                Signed::Wanted(day) => *day,
            };
            diary.on(*days_ago, 9 * 60 + minutes, move |books, at| {
                amend(books, recipe, (reason, *change, wanted), at)
            });
            if let Signed::On(day) = signed {
                diary.on(*day, 15 * 60 + minutes, move |books, at| {
                    sign(books, recipe, "looked over and released again", (books.owner, at))
                });
            }
        }
        Then::TornDown { days_ago, ran, found } => {
            diary.on(*days_ago, 9 * 60 + minutes, move |books, at| {
                tear_down(books, recipe, (ran, found), at)
            });
        }
    }
}

fn amend(
    books: &mut Books<'_>,
    recipe: &Recipe,
    (reason, (place, value), wanted): (&str, (&str, &str), i64),
    at: &Moment,
) -> Result<(), ShopError> {
    let (shop, by) = (books.shop, books.owner);
    let build = books.build(recipe.name)?;
    let revision = shop.amend(build, &shop.seen(build)?, reason, (by.id, at))?;
    let there = shop.values(build)?.into_iter().find(|line| line.place == place);
    shop.set_value(&NewValue {
        of: InRevision { build, revision },
        place,
        value: Some(value),
        person: by.id,
        at,
        expected: there.map(|line| line.id),
    })?;
    let standing = books.planned(recipe.name)?;
    books.keep_plan((recipe.name, &standing), "Plan", (by, at))?;
    let due = (Stage::SignOff, "changed after it was signed; look it over and sign again");
    books.due(recipe.name, due, wanted, Some(by))
}

fn tear_down(
    books: &Books<'_>,
    recipe: &Recipe,
    (ran, found): (&str, &[Found]),
    at: &Moment,
) -> Result<(), ShopError> {
    let (shop, by) = (books.shop, books.builder);
    let build = books.build(recipe.name)?;
    let fitted = shop.fitted(build)?;
    for finding in found {
        write_down(books, (recipe, &fitted), (ran, finding), (by, at))?;
    }
    for part in fitted.iter().filter(|part| part.out.is_none()) {
        shop.take_out(part.id, OutWhy::TornDown, (by.id, at))?;
        if part.kind == PartKind::SealsSet {
            let what = format!("ran {ran}; worn, never used again");
            shop.add_part_event(part.part, &what, (by.id, at))?;
            shop.set_retired(part.part, true)?;
        } else {
            shop.add_part_event(part.part, TORN_DOWN, (by.id, at))?;
        }
    }
    Ok(())
}

fn write_down(
    books: &Books<'_>,
    (recipe, fitted): (&Recipe, &[Fitted]),
    (ran, found): (&str, &Found),
    (by, at): (Worker, &Moment),
) -> Result<(), ShopError> {
    let on = fitted.iter().find(|part| (part.kind, part.position) == found.on);
    let on = on.ok_or_else(|| stuck(recipe.name, format!("no such part: {:?}", found.on)))?;
    let finding = books.shop.add_finding(&NewFinding {
        build: books.build(recipe.name)?,
        part: Some(on.part),
        place: found.place,
        contact: found.contact,
        running: Some(ran),
        note: found.note,
        person: by.id,
        at,
    })?;
    if let Some(tip) = found.drawn {
        let name = format!("{}, {}.png", on.serial, found.place);
        books.attach(AttachedTo::Finding(finding), (&name, tip), (by, at))?;
    }
    Ok(())
}
