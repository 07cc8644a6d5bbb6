//! How the shop is reached, as its own page says it: addresses, and by whose TLS.

use super::figures::moment;
use super::frame::{due_mark, holds_mark, stopped_mark};
use super::visit::Visit;
use maud::{Markup, html};

/// Days before its end from which a certificate is due to be renewed.
const DUE_DAYS: i64 = 21;

/// The passage of the shop's page.
pub(super) fn reached(visit: &Visit<'_>) -> Markup {
    let door = &visit.app.door;
    let addresses = door.addresses();
    html! {
        h2 { "How it is reached" }
        @if !addresses.is_empty() {
            ul.papers { @for address in &addresses { li { a href=(address) { (address) } } } }
        }
        @if let Some(tls) = door.tls() {
            @let (until, trouble) = tls.state();
            @if let Some(trouble) = trouble {
                div.told { (stopped_mark()) p { "The files of the certificate changed and cannot be used: "
                    (trouble) ". The certificate from before is used on; it is good until " (moment(&until)) "." } }
            } @else if days_left(visit, &until).is_none_or(|days| days < DUE_DAYS) {
                div.told { (due_mark()) p { "Over TLS. The certificate in " code { (tls.file().display()) }
                    " is good until " (moment(&until)) ": renew it. The new one is used as soon as its files are there." } }
            } @else {
                p.stands.holds { (holds_mark()) span { "Over TLS. The certificate in " code { (tls.file().display()) }
                    " is good until " (moment(&until)) "." } }
            }
        } @else if door.in_front() {
            p.stands.holds { (holds_mark()) span { "Over TLS, by what stands in front of this program. Between the two there is none." } }
        } @else {
            p { "By browsers of this machine alone, and not over TLS. How benches reach it over the shop's \
                 network: " a href="/guide/11" { "the guide, installing it in a shop" } "." }
        }
    }
}

/// Whole days until then; nothing where the clock cannot say.
fn days_left(visit: &Visit<'_>, until: &records::Moment) -> Option<i64> {
    let at = |moment: &records::Moment| moment.as_str().parse::<jiff::Timestamp>().ok();
    Some(at(until)?.duration_since(at(&visit.now)?).as_hours() / 24)
}
