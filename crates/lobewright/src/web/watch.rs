//! What whoever looks after the shop may want to know later: a line of JSON for each sign-in,
//! refusal, and change of passwords and rights. No secret is ever in one.

use super::visit::Visit;
use serde_json::json;
use std::io::Write as _;

/// The most characters of a name that somebody typed.
const MOST_NAME: usize = 80;

/// What happened.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Event {
    SignedIn,
    SignInRefused,
    /// Too many wrong passwords: this one was not looked at.
    MustWait,
    SignedOut,
    PasswordChanged,
    PersonAdded,
    PersonChanged,
    SessionsEnded,
    RightsRefused,
    /// A form without the token of the session it came with.
    FormRefused,
    RulesChanged,
    BackupSaved,
}

impl Event {
    const fn word(self) -> &'static str {
        match self {
            Self::SignedIn => "signed in",
            Self::SignInRefused => "sign-in refused",
            Self::MustWait => "sign-in must wait",
            Self::SignedOut => "signed out",
            Self::PasswordChanged => "password changed",
            Self::PersonAdded => "person added",
            Self::PersonChanged => "person changed",
            Self::SessionsEnded => "sessions ended",
            Self::RightsRefused => "rights refused",
            Self::FormRefused => "form refused",
            Self::RulesChanged => "rules changed",
            Self::BackupSaved => "backup saved",
        }
    }
}

/// Notes what happened in a visit, and whom or what it is about.
pub(super) fn note(visit: &Visit<'_>, event: Event, about: &str) {
    let about: String = about.chars().take(MOST_NAME).collect();
    let line = json!({
        "security": event.word(),
        "at": visit.now.as_str(),
        "person": visit.person.as_ref().map(|person| &person.name),
        "from": visit.brought.from.map(|from| from.to_string()),
        "about": about,
    });
    (visit.app.watch)(&line.to_string());
}

/// Where the lines go, unless somebody else takes them.
pub(super) fn to_stderr(line: &str) {
    // Nobody may be there to read it; the shop goes on.
    writeln!(std::io::stderr(), "{line}").ok();
}
