//! Refusals at the door itself, before anything is known of who asks: pages that need neither the
//! shop's file nor a session.

use super::frame;
use super::reply::Reply;
use axum::http::StatusCode;
use maud::html;
use serde_json::json;

/// Why.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Away {
    /// It came under the name of another machine.
    ForeignName,
    /// Another site's page sent it.
    ForeignPage,
    /// More headers than any browser sends.
    Headers,
    /// A longer address than any page here has.
    Address,
    /// A mistake of this program.
    Mistake,
}

impl Away {
    pub(super) const fn status(self) -> StatusCode {
        match self {
            Self::ForeignName => StatusCode::MISDIRECTED_REQUEST,
            Self::ForeignPage => StatusCode::FORBIDDEN,
            Self::Headers => StatusCode::REQUEST_HEADER_FIELDS_TOO_LARGE,
            Self::Address => StatusCode::URI_TOO_LONG,
            Self::Mistake => StatusCode::INTERNAL_SERVER_ERROR,
        }
    }

    const fn title(self) -> &'static str {
        match self {
            Self::ForeignName => "Another address",
            Self::ForeignPage => "From another site",
            Self::Headers | Self::Address => "Too long",
            Self::Mistake => "A mistake of this program",
        }
    }

    const fn what(self) -> &'static str {
        match self {
            Self::ForeignName => "this program does not answer under the name that was asked for",
            Self::ForeignPage => "a page of another site sent this, so it was not looked at",
            Self::Headers => "what the browser sends along with every page is too long",
            Self::Address => "the address is longer than any of this program",
            Self::Mistake => "this program made a mistake; nothing was changed",
        }
    }

    const fn cure(self) -> &'static str {
        match self {
            Self::ForeignName => {
                "Use the address that the program told when it was started, such as \
                 127.0.0.1 or localhost on the machine itself."
            }
            Self::ForeignPage => {
                "Open the shop at its own address, and do there what you wanted to do. If you did \
                 not want anything, leave the page that you come from."
            }
            Self::Headers => "Remove this site's cookies in the browser, and sign in again.",
            Self::Address => "Begin at the list of builds.",
            Self::Mistake => {
                "Load the page again. If it happens again, tell whoever looks after the program \
                 what you did; the terminal in which it runs says more."
            }
        }
    }

    /// The page, or the same as JSON.
    pub(super) fn reply(self, as_json: bool) -> Reply {
        let what = crate::ops::phrase::capitalised(self.what());
        if as_json {
            let told = json!({
                "error": format!("{}; {}", self.what(), lower(self.cure())),
                "status": self.status().as_u16(),
                "conflict": null,
            });
            return Reply::json(&told).status(self.status());
        }
        frame::bare(
            self.title(),
            html! {
                h1 { (self.title()) }
                div.told role="alert" { (frame::stopped_mark()) p { (what) "." } }
                p { (self.cure()) }
                p { a.button.quiet href="/" { "To the shop" } }
            },
        )
        .status(self.status())
    }
}

/// A sentence as it goes on after a semicolon.
fn lower(sentence: &str) -> String {
    let mut letters = sentence.chars();
    let first = letters.next().map(|letter| letter.to_lowercase().to_string());
    first.unwrap_or_default() + letters.as_str().trim_end_matches('.')
}
