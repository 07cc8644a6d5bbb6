//! Where readings are taken: one station at a time, large, with the drawing that shows it. Enter
//! goes on to the next. With the page's script it works with the network cable out; without the
//! script every reading is a form of its own.

use super::figures::{self, moment, written};
use super::frame::{self, due_mark, holds_mark, stopped_mark};
use super::picture::inline;
use super::reply::Reply;
use super::rights::Work;
use super::route::{Route, get, post};
use super::sheet::{Seen, agreement, fate, gathered, other_units, verdict};
use super::visit::Visit;
use super::wrong::Wrong;
use crate::ops::phrase::capitalised;
use crate::ops::sheet::{
    Asked, Offered, PartSheet, Sheet, Station, Taken, TakingError, entered, sheet, take,
};
use crate::ops::{CardReport, ShopError, inspected_picture, wanted_picture};
use axum::http::StatusCode;
use maud::{Markup, html};
use records::{BuildId, Conflict, PartId, ReadingId, RecordsError, When};
use serde_json::json;

pub(super) const ROUTES: &[Route] = &[
    get("/builds/{build}/readings/{part}/{when}", page),
    get("/builds/{build}/readings/{part}/{when}/{station}", wanted),
    post(Work::Readings, "/builds/{build}/readings/{part}/{when}", enter),
];

/// What is said about the last reading.
enum Said {
    Nothing,
    Kept {
        /// Its number, where it is said just now.
        reading: Option<ReadingId>,
        station: String,
        written: String,
        mind: Option<String>,
        verdict: Option<Markup>,
    },
    Asked {
        why: String,
    },
    Refused {
        why: String,
    },
    Conflict {
        why: String,
    },
}

impl Said {
    const fn word(&self) -> &'static str {
        match self {
            Self::Nothing => "nothing",
            Self::Kept { .. } => "kept",
            Self::Asked { .. } => "asked",
            Self::Refused { .. } => "refused",
            Self::Conflict { .. } => "conflict",
        }
    }

    fn markup(&self) -> Markup {
        match self {
            Self::Nothing => html! {},
            Self::Kept { station, written, mind, verdict: said, .. } => html! {
                p.stands.holds { (holds_mark()) span { (capitalised(station)) ": " strong { (figures::written(written)) } " is kept." } }
                @if let Some(said) = said { p.stands { (said) } }
                @if let Some(mind) = mind { p.told { (due_mark()) span { (capitalised(mind)) "." } } }
            },
            Self::Asked { why } => html! {
                div.told { (due_mark()) p { strong { "Is that right? " } (capitalised(why)) "." } }
            },
            Self::Refused { why } => html! {
                div.told { (stopped_mark()) p { strong { "Not kept. " } (capitalised(why)) } }
            },
            Self::Conflict { why } => html! {
                div.told { (stopped_mark()) p { strong { "Somebody else read this station. " } (capitalised(why))
                    ". Enter keeps yours over it." } }
            },
        }
    }
}

/// What is gone round with the gauge: the readings of the plan before or after the cut, or the card of
/// a used part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Round {
    Before,
    After,
    Card,
}

impl Round {
    const ALL: [Self; 3] = [Self::Before, Self::After, Self::Card];

    /// As addresses say it.
    const fn word(self) -> &'static str {
        match self {
            Self::Before => "before",
            Self::After => "after",
            Self::Card => "card",
        }
    }

    /// When its readings are taken.
    const fn when(self) -> When {
        match self {
            Self::Before | Self::Card => When::Before,
            Self::After => When::After,
        }
    }

    fn stations(self, part: &PartSheet) -> &[Station] {
        match self {
            Self::Card => &part.card,
            Self::Before | Self::After => part.stations(self.when()),
        }
    }
}

/// What is said of the readings of a part on a round, each by itself.
struct Judged<'s> {
    sheet: &'s Sheet,
    part: &'s PartSheet,
    round: Round,
    card: Option<CardReport>,
}

impl<'s> Judged<'s> {
    fn of(sheet: &'s Sheet, part: &'s PartSheet, round: Round) -> Self {
        let card = if round == Round::Card { sheet.card(part) } else { None };
        Self { sheet, part, round, card }
    }

    fn at(&self, station: &str) -> Option<Markup> {
        match self.round {
            Round::Before => None,
            Round::After => self.sheet.verdict(&self.part.fitted.serial, station).map(verdict),
            Round::Card => self.card.as_ref()?.fate(station).map(fate),
        }
    }
}

/// Which part on which round an address means.
fn at<'s>(seen: &'s Seen<'_>) -> Result<(&'s PartSheet, Round), Wrong> {
    let visit = seen.visit;
    let part = visit.id::<PartId>("part")?;
    let word = visit.param("when")?;
    let round = Round::ALL.into_iter().find(|round| round.word() == word).ok_or(Wrong::NoPage)?;
    let part = seen.sheet.parts.iter().find(|p| p.fitted.part == part).ok_or(Wrong::NoPage)?;
    if round.stations(part).is_empty() {
        return Err(Wrong::NoPage);
    }
    Ok((part, round))
}

fn page(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let seen = gathered(visit)?;
    let station = visit.asked("at").to_owned();
    let said = match (visit.asked("kept"), visit.asked("as")) {
        ("", _) => Said::Nothing,
        (station, written) => {
            let mind = Some(visit.asked("mind").to_owned()).filter(|mind| !mind.is_empty());
            Said::Kept {
                reading: None,
                station: station.to_owned(),
                written: written.to_owned(),
                mind,
                verdict: None,
            }
        }
    };
    let filled = |name: &str| visit.asked(name).to_owned();
    let typed = Typed {
        value: String::new(),
        unit: filled("unit"),
        gauge: filled("gauge"),
        temperature: filled("temperature"),
    };
    whole_page(&seen, &station, &typed, &said)
}

/// What stands in the form.
struct Typed {
    value: String,
    unit: String,
    gauge: String,
    temperature: String,
}

/// What is wanted next: the next station without a reading, an earlier one that the plan needs, one
/// whose reading disagrees with the others. Nothing where all is read and agrees: a number that comes
/// then must not go over a reading unseen.
fn next<'s>(
    seen: &Seen<'_>,
    part: &'s PartSheet,
    round: Round,
    after: Option<&str>,
) -> Option<&'s Station> {
    let stations = round.stations(part);
    let open = |s: &&Station| seen.sheet.reading(part.fitted.part, round.when(), &s.name).is_none();
    let from =
        after.and_then(|name| stations.iter().position(|s| s.name == name)).map_or(0, |i| i + 1);
    stations[from..]
        .iter()
        .find(open)
        .or_else(|| stations.iter().filter(|s| s.needed).find(open))
        .or_else(|| stations.iter().find(|s| part.is_suspect(round.when(), &s.name)))
}

/// What stands over the field where nothing more is wanted.
const ALL_READ: &str = "Every station is read";

fn whole_page(seen: &Seen<'_>, wanted: &str, typed: &Typed, said: &Said) -> Result<Reply, Wrong> {
    let (part, round) = at(seen)?;
    let stations = round.stations(part);
    let named = stations.iter().find(|station| station.name == wanted);
    let station = named.or_else(|| next(seen, part, round, None));
    // Units of the field, whatever is wanted.
    let units = station.or(stations.first()).map_or(&[][..], |s| s.asked.units(seen.first));
    let wanted = station.map_or("", |station| station.name.as_str());
    let fitted = &part.fitted;
    let name = format!("{} {}", fitted.kind, fitted.serial);
    let action = address(seen, part, round);
    let body = html! {
        div.at-bench {
            h1 { (capitalised(&name)) @if round == Round::After && fitted.kind == records::PartKind::Rotor { ", after the cut" } }
            @if round == Round::Card { p.crumb { a href=(seen.at(&format!("cards/{}", fitted.part))) { "Its card" } } }
            p.crumb { a href=(format!("/builds/{}#{}", seen.sheet.build.id, stage(round, fitted.kind))) {
                (seen.sheet.build.head.name) } }
        }
        @if !seen.open() {
            p.told { (stopped_mark()) span { "This build is signed: its readings change only by a new revision." } }
        }
        // The field stands first: an on-screen keyboard covers what is below.
        div.taking data-taking=(action) data-revision=(seen.sheet.build.revision) {
            div.entry {
                form #entry method="post" action=(action) autocomplete="off" {
                    input type="hidden" name="revision" value=(seen.sheet.build.revision);
                    input type="hidden" name="station" value=(wanted);
                    input type="hidden" name="expected" value=(station.map(|s| expected(seen, part, round, s)).unwrap_or_default());
                    input type="hidden" name="sent_as" value="";
                    label.wanted for="value" id="wanted-words" { (station.map_or(ALL_READ.to_owned(), |s| capitalised(&s.words))) }
                    div.row {
                        input #value name="value" type="text" inputmode="decimal" autofocus required
                            value=(typed.value) aria-describedby="said";
                        select name="unit" aria-label="Unit of a bare number" hidden[units.is_empty()] {
                            @for unit in units {
                                option value=(unit) selected[*unit == typed.unit] { (unit.replace("um", "µm")) }
                            }
                        }
                        button type="submit" { "Enter" }
                    }
                    div #words { @if let Some(station) = station { (choices(station)) } }
                    @if matches!(said, Said::Asked { .. }) {
                        label.choice { input type="checkbox" name="sure" value="yes"; span { "I read it again, and it is so" } }
                    }
                }
                div #said role="status" aria-live="polite" { (said.markup()) }
            }
            div #wanted-picture { @if let Some(station) = station { (picture(seen, part, round, station)) } }
            (taken_with(seen, typed))
        }
        div #read { (list(seen, part, round, wanted)) }
        p.row {
            @for (other, address) in others(seen, part, round) { a.button.quiet href=(address) { (other) } }
            a.button.quiet href=(format!("/builds/{}#{}", seen.sheet.build.id, stage(round, fitted.kind))) { "Back to the sheet" }
        }
    };
    let status = match said {
        Said::Refused { .. } => StatusCode::UNPROCESSABLE_ENTITY,
        Said::Conflict { .. } => StatusCode::CONFLICT,
        _ => StatusCode::OK,
    };
    Ok(frame::page(seen.visit, &format!("{} · readings", capitalised(&name)), body).status(status))
}

/// What is seen is one of a few words: each a button that enters it.
fn choices(station: &Station) -> Markup {
    html! {
        @if !station.asked.words().is_empty() {
            div.row role="group" aria-label="What is seen" {
                @for word in station.asked.words() {
                    button.quiet type="submit" name="seen" value=(word) formnovalidate { (word) }
                }
            }
        }
    }
}

/// What the reading is taken with, and how warm the part is: said once for all that follow.
fn taken_with(seen: &Seen<'_>, typed: &Typed) -> Markup {
    html! {
        div.with.not-on-paper {
            div.field {
                label for="gauge" { "Gauge" }
                select #gauge name="gauge" form="entry" {
                    option value="" { "not said" }
                    @for gauge in seen.sheet.gauges.iter().filter(|gauge| gauge.active) {
                        @let late = gauge.calibration.what.due.as_ref().is_some_and(|due| *due < seen.sheet.today);
                        option value=(gauge.id) selected[gauge.id.to_string() == typed.gauge] {
                            (gauge.name) ", " (gauge.kind) @if late { ", calibration overdue" }
                        }
                    }
                }
            }
            div.field {
                label for="temperature" { "Temperature of the part" span.may { ", such as 21 degC" } }
                input #temperature name="temperature" form="entry" type="text" autocomplete="off"
                    value=(typed.temperature);
            }
        }
    }
}

const fn stage(round: Round, kind: records::PartKind) -> &'static str {
    match (round, kind) {
        (Round::Before | Round::Card, _) => "inspection",
        (Round::After, records::PartKind::Rotor) => "re-inspection",
        (Round::After, _) => "assembly",
    }
}

/// The parts that still have something to read at the same time.
fn others(seen: &Seen<'_>, part: &PartSheet, round: Round) -> Vec<(String, String)> {
    seen.sheet
        .parts
        .iter()
        .filter(|other| other.fitted.id != part.fitted.id && !round.stations(other).is_empty())
        .map(|other| {
            let name = format!("{} {}", capitalised(other.fitted.kind.word()), other.fitted.serial);
            (name, address(seen, other, round))
        })
        .collect()
}

fn address(seen: &Seen<'_>, part: &PartSheet, round: Round) -> String {
    seen.at(&format!("readings/{}/{}", part.fitted.part, round.word()))
}

fn expected(seen: &Seen<'_>, part: &PartSheet, round: Round, station: &Station) -> String {
    let reading = seen.sheet.reading(part.fitted.part, round.when(), &station.name);
    reading.map(|reading| reading.id.to_string()).unwrap_or_default()
}

fn picture(seen: &Seen<'_>, part: &PartSheet, round: Round, station: &Station) -> Markup {
    let sizes = seen.sheet.sizes.as_ref();
    if round == Round::Card {
        let shown = inspected_picture(
            sizes,
            &part.fitted,
            (station, "wanted"),
            seen.sheet.counts(),
            seen.first,
        );
        return html! { @if let Some((svg, how)) = shown {
            (inline(&svg, None))
            @for sentence in how { p.how { (sentence) } }
        } };
    }
    let count = round.stations(part).len();
    let svg = wanted_picture(sizes, &part.fitted, round.when(), station, count, seen.first);
    html! { @if let Some(svg) = svg { (inline(&svg, None)) } }
}

/// The picture of one station, for the page's script: asked for between two numbers, so no plan is
/// made for it.
fn wanted(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let first = visit.first();
    let sheet = entered(visit.shop(), visit.id::<BuildId>("build")?, &visit.today(), first)?;
    let seen = Seen { visit, sheet, first };
    let (part, round) = at(&seen)?;
    let name = visit.param("station")?;
    let station = round.stations(part).iter().find(|s| s.name == name).ok_or(Wrong::NoPage)?;
    Ok(Reply::page(picture(&seen, part, round, station)))
}

/// All stations with what stands there, and what is said of them together.
fn list(seen: &Seen<'_>, part: &PartSheet, round: Round, current: &str) -> Markup {
    let stations = round.stations(part);
    let have =
        |station: &Station| seen.sheet.reading(part.fitted.part, round.when(), &station.name);
    let read = stations.iter().filter(|s| have(s).is_some()).count();
    let action = address(seen, part, round);
    let judged = Judged::of(&seen.sheet, part, round);
    html! {
        h2 { "Read so far: " (read) " of " (stations.len()) }
        @if round != Round::Card { (agreement(seen, part, round.when())) }
        @let unnamed = stations.iter().filter(|s| s.asked != Asked::Mass && s.asked.words().is_empty() && have(s).is_some_and(|r| r.gauge.is_none())).count();
        @if unnamed > 0 { p.hint { "Of " (unnamed) " of them no gauge is named: the uncertainty of a usual one is assumed." } }
        @if stations.iter().filter(|s| s.needed).all(|s| have(s).is_some()) {
            p.stands.holds { (holds_mark()) span { @if round == Round::Card { "All that has a limit on this part is read." } @else { "All that the plan needs of this part is read." } } }
        }
        ol.stations {
            @for station in stations {
                @let reading = have(station);
                @let suspect = part.is_suspect(round.when(), &station.name);
                li.read[reading.is_some()] data-station=(station.name) data-words=(capitalised(&station.words))
                    data-expected=(expected(seen, part, round, station))
                    data-choices=[(!station.asked.words().is_empty()).then(|| station.asked.words().join(","))]
                    data-units=(station.asked.units(seen.first).join(" "))
                    data-needed[station.needed] {
                    a href=(format!("{action}?at={}", station.name)) aria-current=[(station.name == current).then_some("step")] {
                        @if suspect { (stopped_mark()) } @else if reading.is_some() { (holds_mark()) } @else { (due_mark()) }
                        span { (capitalised(&station.words)) @if suspect { strong { ", disagrees" } } }
                    }
                    @match reading {
                        Some(reading) => span.value { (written(reading.value.text())) @let other = other_units(reading);
                            @if !other.is_empty() { small { " (" (other) ")" } } },
                        None => span.value { @if station.needed { "to read" } @else { "may be read" } },
                    }
                    @if let Some(said) = judged.at(&station.name) {
                        small.said { (said) @if station.list == "land_width" { ", side clearance" } }
                    }
                    @if let Some(reading) = reading {
                        small.by { (seen.sheet.name_of(reading.person)) ", " (moment(&reading.at))
                            @if reading.supersedes.is_some() { ", read again" } }
                    }
                }
            }
        }
    }
}

fn enter(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let build = visit.id::<BuildId>("build")?;
    let part = visit.id::<PartId>("part")?;
    if visit.field("station").is_empty() {
        return Err(Wrong::ask(
            "every station is read: choose the one that is to be read again, then enter its number",
        ));
    }
    let word = visit.param("when")?;
    let round = Round::ALL.into_iter().find(|round| round.word() == word).ok_or(Wrong::NoPage)?;
    let first = visit.first();
    let station = visit.field("station").to_owned();
    let revision = visit.number("revision", "the revision")?;
    let offered = Offered {
        build,
        revision: revision
            .ok_or_else(|| Wrong::ask("the form has no revision; load the page again"))?,
        part,
        when: round.when(),
        station: &station,
        text: typed_value(visit),
        unit: unit(visit.field("unit")),
        gauge: visit.id_field("gauge", "Gauge")?,
        temperature: visit.field("temperature"),
        expected: visit.id_field::<ReadingId>("expected", "the reading that stood there")?,
        sent_as: Some(visit.field("sent_as")).filter(|word| !word.is_empty()),
        sure: visit.field("sure") == "yes",
        person: visit.who()?,
        at: &visit.now,
    };
    let typed = Typed {
        value: typed_value(visit).to_owned(),
        unit: visit.field("unit").to_owned(),
        gauge: visit.field("gauge").to_owned(),
        temperature: visit.field("temperature").to_owned(),
    };
    let (said, kept) = match take(visit.shop(), &offered, first) {
        Ok(Taken::Kept { reading, written, sheet, mind }) => {
            let words = sheet
                .parts
                .iter()
                .find(|p| p.fitted.part == part)
                .and_then(|p| p.station(round.when(), &station))
                .map_or_else(|| station.clone(), |s| s.words.clone());
            let fitted = sheet.parts.iter().find(|p| p.fitted.part == part);
            let verdict = fitted.and_then(|p| Judged::of(&sheet, p, round).at(&station));
            (
                Said::Kept { reading: Some(reading), station: words, written, mind, verdict },
                Some(sheet),
            )
        }
        Ok(Taken::AskedBack { why, .. }) => (Said::Asked { why }, None),
        Err(TakingError::Shop(ShopError::Records(RecordsError::Conflict(conflict))))
            if matches!(*conflict, Conflict::Reading { .. }) =>
        {
            (Said::Conflict { why: conflict.to_string() }, None)
        }
        Err(TakingError::Shop(error)) => return Err(Wrong::Shop(error)),
        Err(error) => (Said::Refused { why: error.to_string() }, None),
    };
    let sheet = match kept {
        Some(kept) => *kept,
        None => sheet(visit.shop(), build, &visit.today(), first)?,
    };
    let seen = Seen { visit, sheet, first };
    answered(&seen, &station, &typed, &said)
}

/// What was typed, or the word whose button was pressed.
fn typed_value<'v>(visit: &'v Visit<'_>) -> &'v str {
    match visit.field("seen") {
        "" => visit.field("value"),
        word => word,
    }
}

/// A unit as the record knows it: nothing else gets in by the form.
fn unit(text: &str) -> &'static str {
    ["mm", "in", "um", "thou", "g", "kg", "N", "lbf", "kgf"]
        .into_iter()
        .find(|unit| *unit == text)
        .unwrap_or("")
}

/// The answer to a reading: a page without the script, pieces of one with it.
fn answered(seen: &Seen<'_>, at_station: &str, typed: &Typed, said: &Said) -> Result<Reply, Wrong> {
    let (part, round) = at(seen)?;
    let kept = matches!(said, Said::Kept { .. });
    let after = if kept { next(seen, part, round, Some(at_station)) } else { None };
    let there = after.map_or(if kept { "" } else { at_station }, |station| station.name.as_str());
    if seen.visit.brought.wants_json {
        let status = match said {
            Said::Refused { .. } => StatusCode::UNPROCESSABLE_ENTITY,
            Said::Conflict { .. } => StatusCode::CONFLICT,
            _ => StatusCode::OK,
        };
        let reading = match said {
            Said::Kept { reading, .. } => reading.map(|reading| reading.0),
            _ => None,
        };
        return Ok(Reply::json(&json!({
            "state": said.word(),
            "reading": reading,
            "said": said.markup().into_string(),
            "next": there,
            "list": list(seen, part, round, there).into_string(),
        }))
        .status(status));
    }
    match said {
        Said::Kept { station, written, mind, .. } => {
            // A unit that was chosen goes on, but not to a gauge that shows others: widths in mm,
            // then steps in um.
            let units = |name: &str| {
                let station = round.stations(part).iter().find(|station| station.name == name);
                station.map(|station| station.asked.units(seen.first))
            };
            let same = units(at_station) == units(there);
            let mut query = form_urlencoded::Serializer::new(String::new());
            query
                .append_pair("at", there)
                .append_pair("kept", station)
                .append_pair("as", written)
                .append_pair("unit", if same { &typed.unit } else { "" })
                .append_pair("gauge", if same { &typed.gauge } else { "" })
                .append_pair("temperature", &typed.temperature);
            if let Some(mind) = mind {
                query.append_pair("mind", mind);
            }
            Ok(Reply::see(format!("{}?{}", address(seen, part, round), query.finish())))
        }
        _ => whole_page(seen, at_station, typed, said),
    }
}

#[cfg(test)]
mod tests {
    use super::unit;
    use crate::ops::sheet::Asked;
    use kernel::units::System;

    #[test]
    fn every_unit_of_a_field_is_known_and_no_other() {
        for asked in Asked::ALL {
            for first in [System::Metric, System::Inch] {
                for known in asked.units(first) {
                    assert_eq!(unit(known), *known);
                }
            }
        }
        assert_eq!(unit("furlong"), "");
    }
}
