//! Refusals as JSON: what went wrong in a sentence, and of a conflict both sides.

use super::super::wrong::Wrong;
use crate::ops::ShopError;
use crate::ops::sheet::{NotThatFar, TakingError};
use records::{Conflict, RecordsError, Seen, TeardownId, Who};
use serde::Serialize;

/// A refusal.
#[derive(Debug, Serialize)]
pub(in super::super) struct RefusalJson {
    error: String,
    status: u16,
    conflict: Option<ConflictJson>,
}

/// Both sides of a conflict.
#[derive(Debug, Serialize)]
struct ConflictJson {
    /// Of what: a reading, a value, a build, a revision.
    of: &'static str,
    place: Option<String>,
    yours: String,
    theirs: Option<String>,
    /// The reading that stands there now.
    reading: Option<i64>,
    by: Option<String>,
    at: Option<String>,
}

/// A refusal in full. Its sentence begins as it is: with a field's own name, where it has one.
pub(in super::super) fn told(wrong: &Wrong) -> RefusalJson {
    let error = match wrong {
        Wrong::Shop(ShopError::Problems(problems)) => problems.to_string(),
        other => other.to_string(),
    };
    let conflict = match wrong {
        Wrong::Stands { place, yours, theirs } => Some(ConflictJson {
            of: "value",
            place: Some(place.clone()),
            yours: yours.clone(),
            theirs: Some(theirs.clone()),
            reading: None,
            by: None,
            at: None,
        }),
        Wrong::Shop(ShopError::Records(RecordsError::Conflict(conflict))) => both(conflict),
        _ => None,
    };
    RefusalJson { error, status: wrong.status().as_u16(), conflict }
}

fn both(conflict: &Conflict) -> Option<ConflictJson> {
    let named =
        |of, place: Option<&String>, yours: String, theirs, who: Option<&Who>| ConflictJson {
            of,
            place: place.cloned(),
            yours,
            theirs,
            reading: None,
            by: who.map(|who| who.name.clone()),
            at: who.map(|who| who.at.to_string()),
        };
    match conflict {
        Conflict::Reading { station, yours, theirs, who } => {
            let stands = theirs.as_ref().map(|theirs| theirs.value.text().to_owned());
            let reading = theirs.as_ref().map(|theirs| theirs.id.0);
            let named = named("reading", Some(station), yours.clone(), stands, who.as_ref());
            Some(ConflictJson { reading, ..named })
        }
        Conflict::Value { place, yours, theirs, who } => {
            let stands = theirs.as_ref().map(|theirs| theirs.shown().to_owned());
            Some(named("value", Some(place), yours.clone(), stands, who.as_ref()))
        }
        Conflict::Build { yours, theirs, last, .. } => {
            Some(named("build", None, far(yours), Some(far(theirs)), last.as_ref()))
        }
        Conflict::Revision { yours, theirs, opened, .. } => {
            let theirs = Some(theirs.to_string());
            Some(named("revision", None, yours.to_string(), theirs, opened.as_ref()))
        }
        Conflict::Teardown { yours, theirs, who, .. } => {
            let number = |id: Option<TeardownId>| {
                id.map_or_else(|| "none".to_owned(), |id| format!("teardown {id}"))
            };
            let theirs = Some(number(*theirs));
            Some(named("teardown", None, number(*yours), theirs, who.as_ref()))
        }
        // A kind that this program does not know yet: the sentence says it.
        _ => None,
    }
}

/// How far a build had come.
fn far(seen: &Seen) -> String {
    format!(
        "revision {}, last reading {}, last value {}",
        seen.revision, seen.last_reading, seen.last_value
    )
}

/// Why a reading was not taken.
pub(super) fn taking(error: TakingError) -> Wrong {
    match error {
        TakingError::Shop(error) => error.into(),
        other => Wrong::ask(other.to_string()),
    }
}

/// Why nothing is worked out.
pub(super) fn not_that_far(error: &NotThatFar) -> Wrong {
    match error {
        NotThatFar::Lacks { .. } => Wrong::NotSo(error.to_string()),
        NotThatFar::NoAnswer { .. } => Wrong::ask(error.to_string()),
    }
}
