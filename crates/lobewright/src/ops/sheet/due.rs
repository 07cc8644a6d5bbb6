//! What is due next, written down for the list of builds whenever a sheet changed.

use super::changes::ChangeError;
use super::{PartState, Sheet, State, sheet};
use kernel::units::System;
use records::{BuildId, Day, RecordsError, Shop, Stage};

/// How the line of a build that is stopped begins.
pub const STOPPED: &str = "stopped: ";

/// What is due next in a line of the list: what stops a build is said to stop it.
fn due_words(part: &PartState) -> String {
    match part.state {
        State::Stopped => format!("{STOPPED}{}", part.words),
        State::Holds | State::Due => part.words.clone(),
    }
}

/// Writes down what is due next, as the sheet tells it.
///
/// # Errors
/// Where the file cannot be read or written.
pub fn settle(shop: &Shop, build: BuildId, today: &Day) -> Result<(), ChangeError> {
    settled(shop, &sheet(shop, build, today, System::Metric)?)?;
    Ok(())
}

/// The same of a sheet that was just gathered.
pub(super) fn settled(shop: &Shop, sheet: &Sheet) -> Result<(), RecordsError> {
    if !sheet.build.open {
        return Ok(());
    }
    let states = sheet.states();
    let next = states
        .iter()
        .find(|part| part.state == State::Stopped)
        .or_else(|| states.iter().find(|part| part.state == State::Due));
    let (stage, words) =
        next.map_or((Stage::SignOff, String::new()), |part| (part.stage, due_words(part)));
    if (stage, words.as_str()) != (sheet.build.due.stage, sheet.build.due.next.as_str()) {
        shop.set_next(sheet.build.id, stage, &words)?;
    }
    Ok(())
}
