//! `teardown` and `life`: what engines that came back tell, and how long their parts last.

use super::DONE;
use super::output::{complain, complain_of, print};
use super::shop::{Failed, now, told};
use crate::build_file::Problems;
use crate::build_file::teardown::read_teardown;
use crate::ops::ShopError;
use crate::ops::life::{PartLife, life};
use crate::ops::teardown::{Entered, Telling, TellingError, came_back, tell, tell_tilt};
use crate::text;
use crate::wire::shop::{LifeJson, Names, TeardownsJson};
use clap::Args;
use kernel::units::System;
use records::{BuildId, PartId, PartSearch, RecordsError, Shop};
use serde_json::json;
use std::fmt::Write as _;
use std::fs;
use std::path::PathBuf;

/// What `teardown` is called with.
#[derive(Debug, Args)]
pub(super) struct Teardown {
    /// The shop's file
    shop: PathBuf,
    /// Which build, by its number
    #[arg(long, value_name = "BUILD")]
    build: i64,
    /// A teardown file to be kept; without one, what was told is shown
    #[arg(requires = "by")]
    file: Option<PathBuf>,
    /// Who tells it; somebody whom the shop knows
    #[arg(long, value_name = "NAME")]
    by: Option<String>,
    /// Keep it although it is doubted
    #[arg(long)]
    sure: bool,
    /// As JSON
    #[arg(long)]
    json: bool,
}

/// What `life` is called with.
#[derive(Debug, Args)]
pub(super) struct LifeCall {
    /// The shop's file
    shop: PathBuf,
    /// The part's serial
    serial: String,
    /// As JSON
    #[arg(long)]
    json: bool,
}

/// What stopped it.
enum Stopped {
    File(Box<Problems>),
    Telling(TellingError),
}

impl From<RecordsError> for Stopped {
    fn from(error: RecordsError) -> Self {
        Self::Telling(error.into())
    }
}

impl From<ShopError> for Stopped {
    fn from(error: ShopError) -> Self {
        Self::Telling(error.into())
    }
}

pub(super) fn teardown(call: &Teardown, first: System) -> u8 {
    told(teardown_of(call, first), |stopped| match stopped {
        Stopped::File(problems) => complain_of(&problems),
        Stopped::Telling(error) => complain(error),
    })
}

fn teardown_of(call: &Teardown, first: System) -> Result<String, Failed<Stopped>> {
    let stopped = |error: RecordsError| Failed::Told(Stopped::from(error));
    let shop_error = |error: ShopError| Failed::Told(Stopped::from(error));
    let at = now()?;
    let build = BuildId(call.build);
    let mut said = String::new();
    let shop = if let Some(file) = &call.file {
        let name = file.display().to_string();
        let text = fs::read_to_string(file).map_err(|error| Failed::at(file, &error))?;
        let read = read_teardown(&text)
            .map_err(|problems| Failed::Told(Stopped::File(Box::new(problems.in_file(&name)))))?;
        let shop = Shop::open(&call.shop, &at).map_err(stopped)?;
        let by = call.by.as_deref().unwrap_or("").trim();
        let known = shop.people().map_err(stopped)?.into_iter().find(|person| person.name == by);
        let Some(person) = known else {
            return Err(Failed::Other(format!("--by: nobody in this shop is called {by:?}")));
        };
        let revision = shop.build(build).map_err(stopped)?.revision;
        let standing = shop.teardowns_standing(build).map_err(stopped)?;
        let expected = standing.into_iter().find(|t| t.revision == revision).map(|t| t.id);
        let telling = Telling {
            build,
            revision,
            told: &read,
            expected,
            sure: call.sure,
            person: person.id,
            at: &at,
        };
        let telling_error = |error| Failed::Told(Stopped::Telling(error));
        match tell(&shop, &telling, first).map_err(telling_error)? {
            Entered::AskedBack { why } => {
                return Err(Failed::Other(format!(
                    "{name}: nothing is kept; look again, or say --sure\n  {}",
                    why.join("\n  ")
                )));
            }
            Entered::Kept { teardown, mind } => {
                let _ = writeln!(said, "{name}: teardown {teardown} of build {build}");
                mind.iter().for_each(|mind| {
                    let _ = writeln!(said, "  mind: {mind}");
                });
            }
        }
        for test in &read.tilt_tests {
            let (id, mind) =
                tell_tilt(&shop, (build, test), None, (person.id, &at)).map_err(telling_error)?;
            let _ = writeln!(said, "{name}: tilt test {id} of {}", test.rotor);
            mind.iter().for_each(|mind| {
                let _ = writeln!(said, "  mind: {mind}");
            });
        }
        shop
    } else {
        Shop::open(&call.shop, &at).map_err(stopped)?
    };
    let all = came_back(&shop, build).map_err(shop_error)?;
    let tests = shop.tilt_tests_of(build).map_err(stopped)?;
    if call.json {
        let people = shop.people().map_err(stopped)?;
        let people = people.into_iter().map(|person| (person.id, person.name)).collect();
        let names = Names::new(people, &shop.gauges().map_err(stopped)?);
        return Ok(format!("{:#}\n", json!(TeardownsJson::of(build.0, &all, &tests, &names))));
    }
    let name = shop.build(build).map_err(stopped)?.head.name;
    said.push_str(&text::teardown::text(&name, &all, &tests, first));
    Ok(said)
}

pub(super) fn part_life(call: &LifeCall, first: System) -> u8 {
    match lives(call, first) {
        Ok(all) => {
            for life in &all {
                if call.json {
                    print(&format!("{:#}\n", json!(LifeJson::of(life))));
                } else {
                    print(&text::life::text(life));
                }
            }
            DONE
        }
        Err(failed) => told(Err(failed), |error: ShopError| complain(error)),
    }
}

/// The parts of a serial; of each kind there may be one.
fn lives(call: &LifeCall, first: System) -> Result<Vec<PartLife>, Failed<ShopError>> {
    let records = |error: RecordsError| Failed::Told(ShopError::Records(error));
    let at = now()?;
    let shop = Shop::open(&call.shop, &at).map_err(records)?;
    let search = PartSearch { serial: &call.serial, most: usize::MAX >> 1, ..Default::default() };
    let found = shop.parts(&search).map_err(records)?;
    let parts: Vec<PartId> = found
        .iter()
        .filter(|found| found.part.serial == call.serial)
        .map(|found| found.part.id)
        .collect();
    if parts.is_empty() {
        return Err(Failed::Other(format!("the shop has no part {:?}", call.serial)));
    }
    let today = at.day();
    parts.into_iter().map(|part| life(&shop, part, &today, first).map_err(Failed::Told)).collect()
}
