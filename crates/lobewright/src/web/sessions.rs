//! Sessions: how long they hold, and when they end by themselves.
//!
//! A bench that was left alone stays open for whoever walks by, so a session ends some time after
//! it began, whatever is done in it, and sooner where nothing is asked for.

use super::secret;
use super::visit::Visit;
use super::wrong::Wrong;
use records::{Moment, PersonId, RecordsError, Session, Shop};

/// A rule of the shop that is a whole number within limits.
#[derive(Debug, Clone, Copy)]
pub(super) struct Rule {
    /// Its name in the shop's settings, and in the form.
    pub(super) key: &'static str,
    pub(super) called: &'static str,
    pub(super) unit: &'static str,
    pub(super) least: i64,
    pub(super) most: i64,
    /// Where the shop says nothing. [OWASP-ASVS] 3.3.2 asks for no more than 12 hours and 30
    /// minutes; hands that measure an engine touch no keyboard for longer than that, and every
    /// signature asks for the password again.
    usual: i64,
}

/// How long a session holds, whatever is done in it.
pub(super) const HOURS: Rule = Rule {
    key: "session_hours",
    called: "Everybody signs in again after",
    unit: "hours",
    least: 1,
    most: 24,
    usual: 12,
};
/// How long it holds while nothing is asked for.
pub(super) const IDLE: Rule = Rule {
    key: "session_idle_minutes",
    called: "A bench where nothing is done is signed out after",
    unit: "minutes",
    least: 10,
    most: 480,
    usual: 120,
};
/// How often it is noted that something was asked for: a write for every page would be too much.
/// Well under the least of [`IDLE`].
const NOTED_AFTER_S: i64 = 120;

impl Rule {
    /// What holds in this shop.
    ///
    /// # Errors
    /// Where the shop's file cannot be read.
    pub(super) fn of(&self, shop: &Shop) -> Result<i64, RecordsError> {
        let kept = shop.setting(self.key)?.and_then(|text| text.parse().ok());
        Ok(kept.filter(|value| (self.least..=self.most).contains(value)).unwrap_or(self.usual))
    }

    /// What a form says; what stands where it says nothing about it.
    ///
    /// # Errors
    /// Where it is no number within the limits.
    pub(super) fn typed(&self, visit: &Visit<'_>) -> Result<i64, Wrong> {
        if !visit.brought.form.iter().any(|(name, _)| name == self.key) {
            return Ok(self.of(visit.shop())?);
        }
        let Self { called, unit, least, most, .. } = self;
        let text = visit.needed(self.key, called)?;
        let value = text.parse().ok().filter(|value| (least..=most).contains(&value));
        value.ok_or_else(|| {
            Wrong::ask(format!(
                "{called}: {text:?} is no whole number of {unit} from {least} to {most}"
            ))
        })
    }
}

/// Seconds of a moment on one scale.
pub(super) fn seconds(at: &Moment) -> Result<i64, Wrong> {
    let read = at.as_str().parse::<jiff::Timestamp>();
    read.map(|at| at.as_second()).map_err(|error| clock(&error))
}

fn clock(error: &dyn std::fmt::Display) -> Wrong {
    Wrong::Machine(format!("this machine's clock: {error}"))
}

/// Opens a session, and gives its token. What this browser was signed in as until now ends.
///
/// # Errors
/// Where the shop's file cannot be written, or the machine gives no random numbers.
pub(super) fn open(visit: &Visit<'_>, person: PersonId) -> Result<String, Wrong> {
    if let Some(token) = &visit.brought.token {
        visit.shop().end_sessions(Some(secret::token_hash(token)), None)?;
    }
    let token = secret::token()?;
    let until = jiff::Timestamp::from_second(seconds(&visit.now)? + 3600 * HOURS.of(visit.shop())?)
        .map_err(|error| clock(&error))?;
    let until = Moment::new(&until.strftime("%Y-%m-%dT%H:%M:%SZ").to_string())
        .map_err(|error| clock(&error))?;
    visit.shop().open_session(
        secret::token_hash(&token),
        &Session { person, until },
        &visit.now,
    )?;
    Ok(token)
}

/// Whose session a token is of, if it holds still. One that does not is ended.
///
/// # Errors
/// Where the shop's file cannot be used.
pub(super) fn whose(visit: &Visit<'_>, token: &str) -> Result<Option<PersonId>, Wrong> {
    let (shop, hash) = (visit.shop(), secret::token_hash(token));
    let Some(open) = shop.session(hash, &visit.now)? else { return Ok(None) };
    let now = seconds(&visit.now)?;
    let unseen = now - seconds(&open.seen)?;
    // The rules as they are now: a shorter one holds for whoever is signed in already.
    let over =
        now - seconds(&open.opened)? >= 3600 * HOURS.of(shop)? || unseen >= 60 * IDLE.of(shop)?;
    if over {
        shop.end_sessions(Some(hash), None)?;
        return Ok(None);
    }
    if unseen >= NOTED_AFTER_S {
        // A full disk keeps nobody from looking: the session ends a little earlier then.
        shop.saw_session(hash, &visit.now).ok();
    }
    Ok(Some(open.session.person))
}
