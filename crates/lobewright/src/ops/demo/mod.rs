//! A shop that is not there, with a year behind it: builds in every state that one can be in, for
//! whoever wants to see what this program is before a rotor of their own is on the bench. Everything
//! is made through the operations that a shop uses, each at its moment, from the shipped examples and
//! variations of them that a seed fixes; every name and number is invented.
//!
//! `builds` tells what became of each build, `story`, `assembly` and `later` do it step by step,
//! `worn` brings in an engine with its cards, `diary` puts all steps into the order of time.

mod assembly;
mod books;
mod builds;
mod calendar;
mod diary;
mod draft;
mod examples;
mod later;
mod library;
mod machine;
mod people;
mod photo;
mod recipe;
mod scatter;
mod shelf;
mod story;
#[cfg(test)]
mod tests;
mod worn;

use super::ShopError;
use super::sheet::settle;
use books::stuck;
use calendar::Calendar;
use diary::Diary;
use records::{BuildId, Day, PersonId, Shop};
use std::path::Path;

/// What a demonstration is: who is in it, and where to begin.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Demo {
    /// What the shop is called.
    pub shop: &'static str,
    /// Whose it is.
    pub owner: PersonId,
    /// What they are called.
    pub owner_name: &'static str,
    /// Who works there, the owner first. None of them has a password.
    pub people: Vec<PersonId>,
    /// The sprint boat's build: open, planned, waiting for the cut.
    pub sprint_boat: BuildId,
    /// How many builds there are.
    pub builds: usize,
}

/// Makes a demonstration in a file that is not there yet; its year ends the day before `today`.
/// The same day gives the same shop.
///
/// # Errors
/// Where there is a file of that name, or it cannot be written; where the calendar has no year
/// around that day.
pub fn demo_shop(file: &Path, today: &Day) -> Result<Demo, ShopError> {
    let calendar = Calendar::ending(today)?;
    let shop = Shop::create(file)?;
    let mut books = people::open(&shop, calendar)?;
    library::engines_and_materials(&mut books)?;
    library::machine_tools(&books)?;
    let mut diary = Diary::default();
    people::gauges(&mut diary);
    people::leaving(&mut diary);
    people::waiting(&mut diary);
    library::specs(&mut diary);
    shelf::all(&mut diary);
    story::all(&mut diary);
    worn::all(&mut diary);
    diary.live(&mut books)?;
    // What is due next is what the sheets of the builds say today.
    for name in builds::open_by_engine().into_iter().chain([worn::PILOT_BOAT]) {
        settle(&shop, books.build(name)?, today).map_err(|error| stuck(name, error))?;
    }
    let workers = [books.owner, books.builder, books.former, books.machinist, books.assembler];
    Ok(Demo {
        shop: people::SHOP,
        owner: books.owner.id,
        owner_name: books.owner.name,
        people: workers.iter().map(|worker| worker.id).collect(),
        sprint_boat: books.build(builds::SPRINT_BOAT)?,
        builds: books.builds.len(),
    })
}
