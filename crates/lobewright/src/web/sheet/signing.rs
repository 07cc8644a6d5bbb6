//! The last part of a sheet: who signed it, what was changed since, and the next signature.

use super::super::entrance::checked;
use super::super::fields::{Field, form};
use super::super::figures::moment;
use super::super::frame::{self, due_mark, holds_mark, wide};
use super::super::reply::Reply;
use super::super::visit::Visit;
use super::super::wrong::Wrong;
use super::values::shown;
use super::{Seen, back, gathered, line, title};
use crate::ops::sheet::{self, State};
use maud::{Markup, html};
use records::{BuildId, NewSignOff, Seen as SeenAs, Sha, Stage};

/// How far a build had come, as a form carries it.
fn written(seen: &SeenAs) -> String {
    let SeenAs { revision, last_reading, last_value, fittings, head } = seen;
    format!("{revision} {last_reading} {last_value} {fittings} {}", head.to_hex())
}

/// The same, read back.
fn read(text: &str) -> Option<SeenAs> {
    let mut words = text.split(' ');
    let mut number = || words.next()?.parse::<i64>().ok();
    let (revision, last_reading, last_value, fittings) =
        (number()?, number()?, number()?, number()?);
    let head = Sha::from_hex(words.next()?)?;
    Some(SeenAs { revision, last_reading, last_value, fittings, head })
}

fn seen_as(visit: &Visit<'_>) -> Result<SeenAs, Wrong> {
    read(visit.raw_field("seen"))
        .ok_or_else(|| Wrong::ask("the form does not say what was looked at; load the page again"))
}

pub(super) fn sign_off(seen: &Seen<'_>) -> Markup {
    let sheet = &seen.sheet;
    let states = sheet.states();
    let waiting: Vec<_> = states[..7].iter().filter(|part| part.state != State::Holds).collect();
    let revision = sheet.build.revision;
    html! {
        @if !sheet.sign_offs.is_empty() {
            (wide("Signatures", html! {
                table {
                    thead { tr { th.n scope="col" { "Revision" } th scope="col" { "Signed by" } th scope="col" { "When" }
                        th scope="col" { "Meaning" } th scope="col" { "Hash, as it stands in the build book" } } }
                    tbody { @for sign in &sheet.sign_offs {
                        tr { td.n { (sign.revision) } th scope="row" { (holds_mark()) (sign.person_name) } td { (moment(&sign.at)) }
                            td { (sign.meaning) } td { code.hash { (sign.hash.to_hex()) } } }
                    } }
                }
            }))
        }
        @if !sheet.amendments.is_empty() {
            h3 { "Amendments" }
            ol { @for amendment in &sheet.amendments {
                li { "Revision " (amendment.revision) ", opened " (moment(&amendment.at)) " by " (sheet.name_of(amendment.person))
                    ": " (amendment.reason) " "
                    a.touch href=(seen.at(&format!("differences/{}/{}", amendment.revision - 1, amendment.revision))) { "What it changes" } }
            } }
        }
        @if seen.open() {
            @if !waiting.is_empty() {
                p { "These do not hold yet. It may be signed all the same: the signature then stands under a sheet that says so." }
                @for part in &waiting { div.waits { strong { (title(part.stage)) } (line(part)) } }
            }
            (form(&seen.at("sign"), &format!("Sign revision {revision}"), html! {
                input type="hidden" name="seen" value=(written(&sheet.seen));
                (Field::text("meaning", "What the signature means").needed()
                    .value(if waiting.is_empty() { "built and inspected" } else { "" })
                    .hint("Such as: built and inspected; or: released for the run-in, balance to follow"))
                (Field::secret("password", "Your password, again").needed().autocomplete("current-password"))
            }))
            p.hint { "What is signed is what this page shows: if anything changes before you sign, it is shown again first." }
        } @else {
            details.not-on-paper {
                summary { "Amend it by a new revision" }
                (form(&seen.at("amend"), "Open the next revision", html! {
                    input type="hidden" name="seen" value=(written(&sheet.seen));
                    (Field::lines("reason", "Why", 3).needed())
                }))
            }
        }
        p.row.not-on-paper {
            @if sheet.planned().is_some() {
                a.button href=(seen.at("book")) {
                    @if seen.open() { "The build book as it is now (PDF)" } @else { "The build book (PDF)" } }
            }
            a.button.quiet href=(seen.at("build.toml")) { "Its build file" }
            a.button.quiet href=(seen.at("readings.csv")) { "All its readings as CSV" }
            a.button.quiet href=(seen.at("tables/history.csv")) { "History of its parts as CSV" }
        }
    }
}

pub(super) fn sign(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let build = visit.id::<BuildId>("build")?;
    let seen = seen_as(visit)?;
    let meaning = visit.needed("meaning", "What the signature means")?;
    // A bench stays signed in for days; a signature is of the person who stands there now.
    let name = visit.person.as_ref().map_or("", |person| person.name.as_str());
    let person = checked(visit, name, visit.raw_field("password"))?;
    visit.shop().sign(&NewSignOff { build, seen, person, at: &visit.now, meaning })?;
    Ok(back(build, Stage::SignOff))
}

pub(super) fn amend(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let build = visit.id::<BuildId>("build")?;
    let reason = visit.needed("reason", "Why")?;
    sheet::amend(visit.shop(), build, &seen_as(visit)?, reason, (visit.who()?, &visit.now))?;
    Ok(Reply::see(format!("/builds/{build}")))
}

pub(super) fn differences(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let seen = gathered(visit)?;
    let (from, to) = (visit.id::<i64>("from")?, visit.id::<i64>("to")?);
    let build = &seen.sheet.build;
    let differences = visit.shop().differences(build.id, from, to)?;
    let stands =
        |text: &Option<String>| text.as_deref().map_or_else(|| "nothing".to_owned(), shown);
    let body = html! {
        p.crumb { a href=(format!("/builds/{}#sign-off", build.id)) { (build.head.name) } }
        h1 { "What changed from revision " (from) " to " (to) }
        @if differences.is_empty() { p { (due_mark()) "Nothing has changed so far." } }
        @else {
            (wide("What changed", html! {
                table {
                    thead { tr { th scope="col" { "Where" } th scope="col" { "Before" } th scope="col" { "After" } th scope="col" { "By" } } }
                    tbody { @for difference in &differences {
                        tr { th scope="row" { (difference.place) }
                            td { del { (stands(&difference.before)) } } td { ins { (stands(&difference.after)) } }
                            td { @if let Some((person, at)) = &difference.by { (seen.sheet.name_of(*person)) ", " (moment(at)) } } }
                    } }
                }
            }))
        }
    };
    Ok(frame::page(visit, "What changed", body))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_looked_at_comes_back_with_the_form() {
        let head = Sha::of(b"head");
        let seen = SeenAs { revision: 2, last_reading: 31, last_value: 0, fittings: 6, head };
        assert_eq!(read(&written(&seen)), Some(seen));
        assert_eq!(read("2 31 0"), None);
        assert_eq!(read(""), None);
    }
}
