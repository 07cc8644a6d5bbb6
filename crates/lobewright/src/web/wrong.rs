//! Why a page was not answered as asked, told on a page, or as JSON to whoever wants that.

use super::reply::Reply;
use super::rights::Work;
use super::visit::Visit;
use super::{api, forms, frame};
use crate::ops::ShopError;
use crate::ops::phrase;
use crate::ops::sheet::ChangeError;
use axum::http::StatusCode;
use maud::{Markup, html};
use records::RecordsError;
use serde_json::json;
use thiserror::Error;

/// What went wrong.
#[derive(Debug, Error)]
pub(super) enum Wrong {
    /// Nothing has this address.
    #[error("there is no such page")]
    NoPage,
    /// Nobody is signed in.
    #[error("nobody is signed in; sign in first")]
    NobodyIn,
    /// Not theirs to do.
    #[error(
        "only {} may do this ({}); ask {}, or sign in as one who may",
        .0.whose(), .0.called(), .0.whose()
    )]
    NotTheirs(Work),
    /// What was sent cannot be taken.
    #[error("{0}")]
    Asked(String),
    /// The build, or the shop, does not stand as the request takes it to.
    #[error("{0}")]
    NotSo(String),
    /// Something else stands there than was there when it was looked at.
    #[error(
        "{place} was to become {yours}, but stands at {theirs} now; look at both and enter what is right"
    )]
    Stands {
        /// Where in the build's file.
        place: String,
        /// What was to be written.
        yours: String,
        /// What stands there.
        theirs: String,
    },
    /// The form came from a page of another session, or from no page of this shop.
    #[error("the page that sent this is from before you signed in, so nothing was kept")]
    OldForm,
    /// A program sent something that is no JSON and says so.
    #[error(
        "what was sent is {0:?} and no JSON; send JSON with the header content-type: application/json"
    )]
    Kind(String),
    /// The address takes nothing that is sent this way.
    #[error("this address takes nothing that is sent this way")]
    Method,
    /// What was sent did not arrive in time.
    #[error("what was sent did not arrive in time; the line may be slow or broken")]
    TooSlow,
    /// Too many wrong passwords.
    #[error("too many wrong passwords; wait {seconds} seconds, then try again")]
    Wait {
        /// Until another one is looked at.
        seconds: i64,
    },
    /// Too many passwords are looked at.
    #[error("too many passwords are being looked at; try again in a few seconds")]
    Busy,
    /// More was sent than is taken.
    #[error("what was sent is too large; the most is {most}")]
    TooMuch {
        /// The most.
        most: &'static str,
    },
    /// An operation or the shop's file refuses.
    #[error(transparent)]
    Shop(#[from] ShopError),
    /// The machine itself.
    #[error("{0}")]
    Machine(String),
}

impl From<RecordsError> for Wrong {
    fn from(error: RecordsError) -> Self {
        Self::Shop(ShopError::Records(error))
    }
}

impl From<ChangeError> for Wrong {
    fn from(error: ChangeError) -> Self {
        match error {
            ChangeError::Shop(error) => Self::Shop(error),
            ChangeError::Changed { place, yours, theirs } => Self::Stands { place, yours, theirs },
            other => Self::Asked(other.to_string()),
        }
    }
}

impl Wrong {
    pub(super) fn ask(what: impl Into<String>) -> Self {
        Self::Asked(what.into())
    }

    pub(super) fn status(&self) -> StatusCode {
        match self {
            Self::NoPage => StatusCode::NOT_FOUND,
            Self::NobodyIn => StatusCode::UNAUTHORIZED,
            Self::NotTheirs(_) | Self::OldForm => StatusCode::FORBIDDEN,
            Self::Kind(_) => StatusCode::UNSUPPORTED_MEDIA_TYPE,
            Self::Method => StatusCode::METHOD_NOT_ALLOWED,
            Self::TooSlow => StatusCode::REQUEST_TIMEOUT,
            Self::Asked(_) => StatusCode::UNPROCESSABLE_ENTITY,
            Self::NotSo(_) | Self::Stands { .. } => StatusCode::CONFLICT,
            Self::Busy | Self::Wait { .. } => StatusCode::TOO_MANY_REQUESTS,
            Self::TooMuch { .. } => StatusCode::PAYLOAD_TOO_LARGE,
            Self::Machine(_) => StatusCode::INTERNAL_SERVER_ERROR,
            Self::Shop(ShopError::Records(error)) => match error {
                RecordsError::NotThere { .. } => StatusCode::NOT_FOUND,
                RecordsError::Conflict(_) | RecordsError::NameTaken { .. } => StatusCode::CONFLICT,
                RecordsError::DiskFull { .. } => StatusCode::INSUFFICIENT_STORAGE,
                RecordsError::Locked { .. } => StatusCode::SERVICE_UNAVAILABLE,
                RecordsError::TooLarge { .. } => StatusCode::PAYLOAD_TOO_LARGE,
                RecordsError::MediaType { .. } => StatusCode::UNSUPPORTED_MEDIA_TYPE,
                RecordsError::Refused { .. } | RecordsError::TwiceInFile { .. } => {
                    StatusCode::UNPROCESSABLE_ENTITY
                }
                _ => StatusCode::INTERNAL_SERVER_ERROR,
            },
            Self::Shop(_) => StatusCode::UNPROCESSABLE_ENTITY,
        }
    }

    /// What it is called on its page.
    fn title(&self) -> &'static str {
        if matches!(self, Self::Shop(ShopError::Records(RecordsError::NameTaken { .. }))) {
            return "This name is taken";
        }
        match self {
            Self::OldForm => return "An old page",
            Self::Machine(_) => return "Something is wrong with this machine",
            _ => {}
        }
        match self.status() {
            StatusCode::NOT_FOUND => "Not here",
            StatusCode::METHOD_NOT_ALLOWED => "Not sent this way",
            StatusCode::REQUEST_TIMEOUT => "It took too long",
            StatusCode::PAYLOAD_TOO_LARGE => "Too large",
            StatusCode::UNSUPPORTED_MEDIA_TYPE => "Not a kind that is kept",
            StatusCode::TOO_MANY_REQUESTS => "Wait a little",
            StatusCode::UNAUTHORIZED => "Nobody is signed in",
            StatusCode::FORBIDDEN => "Not yours to do",
            StatusCode::CONFLICT => "Somebody else was here",
            StatusCode::INSUFFICIENT_STORAGE => "The disk is full",
            StatusCode::SERVICE_UNAVAILABLE => "The shop's file is in use",
            StatusCode::INTERNAL_SERVER_ERROR => "The shop's file cannot be used",
            _ => "Not taken",
        }
    }

    /// In full: of a build file all its problems.
    fn told(&self) -> String {
        match self {
            Self::Shop(ShopError::Problems(problems)) => problems.to_string(),
            other => {
                let said = other.to_string();
                // A place of a build's file is written as it is, not as a sentence begins.
                let first = said.split(' ').next().unwrap_or("");
                if first.contains(['.', '_']) { said } else { phrase::capitalised(&said) }
            }
        }
    }

    /// What whoever reads it can do now.
    fn what_to_do(&self, visit: &Visit<'_>) -> Markup {
        html! {
            @match self {
                Self::NobodyIn => {
                    p { "Nothing of it was kept. " a href="/in" target="_blank" rel="noopener" { "Sign in on a page of its own" }
                        ", come back here, go back with the browser's own button, and send it again: what was typed there is still there." }
                }
                Self::OldForm => (again(visit)),
                Self::NoPage | Self::Method => p { a.button.quiet href="/" { "To the shop" } },
                Self::TooSlow => p { "Go back with the browser's own button, and send it again: what was typed there is still there." },
                Self::Wait { seconds } => {
                    p { "This keeps others from guessing passwords. Whoever is signed in somewhere works on there." }
                    p { "In " (seconds) " seconds go back with the browser's own button, and try again." }
                }
                Self::Machine(_) => p { "Nothing was changed. Load the page again; if it happens again, tell whoever looks after this machine what it says above." },
                _ => p { "Go back with the browser's own button: what was typed there is still there." },
            }
        }
    }

    pub(super) fn reply(&self, visit: &Visit<'_>) -> Reply {
        let status = self.status();
        if visit.brought.path.starts_with("/api/") {
            return self.with_wait(Reply::json(&json!(api::told(self)))).status(status);
        }
        if visit.brought.wants_json {
            let old = matches!(self, Self::OldForm);
            let told = json!({ "error": self.told(), "status": status.as_u16(), "old_form": old });
            return self.with_wait(Reply::json(&told)).status(status);
        }
        if matches!(self, Self::NobodyIn) && !visit.brought.posts {
            return Reply::see("/in");
        }
        let page = frame::page(
            visit,
            self.title(),
            html! {
                h1 { (self.title()) }
                div.told role="alert" { (frame::stopped_mark()) p { (self.told()) } }
                (self.what_to_do(visit))
            },
        );
        self.with_wait(page).status(status)
    }

    fn with_wait(&self, reply: Reply) -> Reply {
        match self {
            Self::Wait { seconds } => reply.wait(*seconds),
            Self::Busy => reply.wait(2),
            _ => reply,
        }
    }
}

/// What came with an old form, to be looked at and sent once more from here. Somebody else's page
/// may have sent it: so it is shown, and nothing is done before a person has said so.
fn again(visit: &Visit<'_>) -> Markup {
    let typed = || visit.brought.form.iter().filter(|(name, _)| name != forms::TOKEN);
    let secret = typed().any(|(name, _)| ["password", "again", "old"].contains(&name.as_str()));
    html! {
        @if secret || !visit.brought.files.is_empty() || visit.brought.json.is_some() {
            p { "Load the page again that it was typed on, and send it from there." }
        } @else {
            p { "If it is you who typed this, send it again from here:" }
            form method="post" action=(visit.brought.path) {
                dl { @for (name, value) in typed() { dt { (name) } dd { (value) } } }
                @for (name, value) in typed() { input type="hidden" name=(name) value=(value); }
                button type="submit" { "Send it" }
            }
        }
    }
}
