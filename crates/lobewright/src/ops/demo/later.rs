//! What happens to a build of the demonstration after it was signed: it is changed and signed
//! again, or it comes back and is torn down.

use super::super::teardown::{Entered, Telling, tell};
use super::super::{STEP_GAUGE, ShopError, shop};
use super::assembly::sign;
use super::books::{Books, Worker, stuck, written};
use super::diary::Diary;
use super::recipe::{Found, Recipe, Signed, Then, Told};
use super::story::scatter;
use crate::build_file::read;
use crate::build_file::teardown::{CONTACTS, NOT_LOOKED_AT, TeardownText, TipText, WornText};
use kernel::units::{Length, System};

use records::{
    AttachedTo, Fitted, InRevision, Moment, NewFinding, NewReading, NewValue, OutWhy, PartKind,
    Stage, When,
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
        Then::TornDown { days_ago, ran, found, told } => {
            diary.on(*days_ago, 9 * 60 + minutes, move |books, at| {
                tear_down(books, recipe, (ran, found, told), at)
            });
            if told.shelved {
                diary.on(*days_ago, 14 * 60 + minutes, move |books, at| {
                    read_on_shelf(books, recipe, at)
                });
            }
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
    (ran, found, told): (&str, &[Found], &Told),
    at: &Moment,
) -> Result<(), ShopError> {
    let (shop, by) = (books.shop, books.builder);
    let build = books.build(recipe.name)?;
    let fitted = shop.fitted(build)?;
    for finding in found {
        write_down(books, (recipe, &fitted), (ran, finding), (by, at))?;
    }
    let telling = Telling {
        build,
        revision: shop.build(build)?.revision,
        told: &what_is_told(&fitted, ran, told),
        expected: None,
        sure: false,
        person: by.id,
        at,
    };
    let entered = tell(shop, &telling, System::Metric).map_err(|why| stuck(recipe.name, why))?;
    if let Entered::AskedBack { why } = entered {
        return Err(stuck(recipe.name, why.join("; ")));
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

/// What the tips show, as somebody tells it.
fn what_is_told(fitted: &[Fitted], ran: &str, told: &Told) -> TeardownText {
    let mut rotors: Vec<&Fitted> =
        fitted.iter().filter(|part| part.kind == PartKind::Rotor).collect();
    rotors.sort_by_key(|part| part.position);
    let mut tips = Vec::new();
    let mut worn = told.worn;
    for (rotor, faces) in rotors.into_iter().zip(told.marks) {
        for (face, contacts) in faces.iter().enumerate() {
            for (tip, word) in contacts.iter().enumerate() {
                let contact = CONTACTS.iter().position(|known| known == word);
                let deep = if *word == "heavy" { worn.take() } else { None };
                tips.push(TipText {
                    rotor: rotor.serial.clone(),
                    face,
                    tip: tip + 1,
                    contact: contact.unwrap_or(NOT_LOOKED_AT),
                    place: deep.map(|_| "trailing edge".to_owned()),
                    worn: deep.map(|depth| WornText {
                        depth: depth.to_owned(),
                        gauge: Some(STEP_GAUGE.to_owned()),
                    }),
                    wall: None,
                    note: String::new(),
                });
            }
        }
    }
    TeardownText {
        running: Some(ran.to_owned()),
        speed: Some(told.speed.to_owned()),
        boost: Some(told.boost.to_owned()),
        tips,
        ..TeardownText::default()
    }
}

/// Lands and steps of its rotors after it came apart, before anybody claims them again.
fn read_on_shelf(books: &mut Books<'_>, recipe: &Recipe, at: &Moment) -> Result<(), ShopError> {
    let left = books.draft(recipe.name)?;
    let mut draft = left.clone();
    draft.take_over(&left, &mut scatter(recipe, 3));
    let text = Books::text(recipe.name, &draft.before_the_cut())?;
    let build = read(&text).map_err(Box::new)?;
    let gauges = shop::gauges(books.shop)?;
    let by = books.builder;
    for rotor in &build.rotors {
        let part = books.part((PartKind::Rotor, &rotor.serial), (by, at))?;
        let taken = &rotor.readings;
        let lists = [
            ("land_width", taken.land_width, super::super::WIDTH_GAUGE),
            ("gear_step", taken.gear_step, STEP_GAUGE),
            ("plain_step", taken.plain_step, STEP_GAUGE),
        ];
        for (list, sizes, gauge) in lists {
            for (tip, size) in sizes.iter().enumerate() {
                let value = if list == "land_width" {
                    format!("{:.3} mm", size.to_mm())
                } else {
                    format!("{:.0} um", size.to_um())
                };
                books.shop.add_reading(&NewReading {
                    part,
                    build: None,
                    when: When::Before,
                    station: &format!("{list}.{}", tip + 1),
                    value: &written::<Length>(&value)?,
                    gauge: gauges.get(gauge).copied(),
                    person: by.id,
                    at,
                    temperature: None,
                    expected: None,
                    sent_as: None,
                    place: None,
                })?;
            }
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
