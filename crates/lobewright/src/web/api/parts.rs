//! Parts by their serials, and the history of one.

use super::super::reply::Reply;
use super::super::rights::Work;
use super::super::route::{Route, get, post};
use super::super::visit::Visit;
use super::super::wrong::Wrong;
use super::{answer, ask, made, names};
use crate::build_file::known::no_name;
use crate::ops::life::life;
use crate::web::library::chosen;
use crate::wire::ChoiceJson;
use crate::wire::shop::{HistoryJson, LifeJson, MadeJson, PartsJson};
use records::{BuildId, PartKind, PartSearch};
use serde::Deserialize;

pub(super) const ROUTES: &[Route] = &[
    get("/api/parts", list),
    post(Work::Parts, "/api/parts", add),
    get("/api/parts/{part}", history),
    get("/api/parts/{part}/life", over_rebuilds),
    get("/api/shelf/choice", choice).in_turn(),
];

/// Parts in one answer, and readings of each.
const AT_ONCE: usize = 100;
const READINGS: usize = 12;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct PartsQuery {
    /// How the serial begins.
    #[serde(default)]
    serial: String,
    kind: Option<String>,
    shelf: Option<Shelf>,
}

/// Only what no build has.
#[derive(Deserialize)]
#[serde(rename_all = "lowercase")]
enum Shelf {
    Yes,
    No,
}

fn list(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let asked: PartsQuery = ask::query(visit)?;
    let kind = match asked.kind.as_deref() {
        None => None,
        Some(word) => Some(kind_of(word)?),
    };
    let search = PartSearch {
        serial: &asked.serial,
        kind,
        on_shelf: matches!(asked.shelf, Some(Shelf::Yes)),
        most: AT_ONCE + 1,
        last_readings: READINGS,
    };
    let mut found = visit.shop().parts(&search)?;
    let more = found.len() > AT_ONCE;
    found.truncate(AT_ONCE);
    answer(&PartsJson::of(&found, more, &names(visit)?))
}

/// The most seconds of one request: somebody waits for it.
const MOST_SECONDS: u64 = 60;
const USUAL_SECONDS: u64 = 20;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct ChoiceQuery {
    /// Numbers of builds that wait, with commas.
    builds: String,
    /// After how long the best so far is told.
    #[serde(default, deserialize_with = "ask::number_if")]
    seconds: Option<u64>,
}

fn choice(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let asked: ChoiceQuery = ask::query(visit)?;
    let builds = asked.builds.split(',').map(|build| build.trim().parse().map(BuildId));
    let builds: Vec<BuildId> = builds.collect::<Result<_, _>>().map_err(|_| {
        Wrong::ask(format!("builds: {:?} are no numbers with commas, such as 3,5", asked.builds))
    })?;
    let seconds = asked.seconds.unwrap_or(USUAL_SECONDS);
    if seconds > MOST_SECONDS {
        return Err(Wrong::ask(format!("seconds: {seconds} is too long; at most {MOST_SECONDS}")));
    }
    answer(&ChoiceJson::of(&chosen(visit, &builds, seconds)?))
}

fn kind_of(word: &str) -> Result<PartKind, Wrong> {
    PartKind::ALL.iter().copied().find(|kind| kind.word() == word).ok_or_else(|| {
        let words: Vec<&str> = PartKind::ALL.iter().map(|kind| kind.word()).collect();
        Wrong::ask(format!("kind: {word:?} is none of {}", words.join(", ")))
    })
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct PartBody {
    #[serde(deserialize_with = "ask::kind")]
    kind: PartKind,
    serial: String,
}

fn add(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let asked: PartBody = ask::body(visit)?;
    let serial = asked.serial.trim();
    if let Some(why) = no_name(serial) {
        return Err(Wrong::ask(format!("serial: {serial:?} {why}")));
    }
    let by = (visit.who()?, &visit.now);
    made(&MadeJson::Part(visit.shop().add_part(asked.kind, serial, by)?.0))
}

fn history(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let history = visit.shop().part_history(visit.id("part")?)?;
    answer(&HistoryJson::of(&history, &names(visit)?))
}

fn over_rebuilds(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let lived = life(visit.shop(), visit.id("part")?, &visit.today(), visit.first())?;
    answer(&LifeJson::of(&lived))
}
