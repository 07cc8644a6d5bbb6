//! The cards of used parts: all of them in a table with what is to be ordered, and each as a page with
//! how every item is measured, what was found, what the shop's record says of it, and photos.

use super::super::fields::file_form;
use super::super::figures::moment;
use super::super::frame::{self, due_mark, holds_mark, stopped_mark, wide};
use super::super::picture::inline;
use super::super::reply::Reply;
use super::super::visit::Visit;
use super::super::wrong::Wrong;
use super::{Seen, gathered};
use crate::ops::phrase::capitalised;
use crate::ops::sheet::PartSheet;
use crate::ops::{
    AtReport, CONDITION_CAUTIONS, CardReport, CardVerdict, ItemReport, ItemSaid, Picture,
    inspected_picture, plating_picture,
};
use kernel::condition::{Fate, Taken};
use maud::{Markup, html};
use records::{AttachedTo, Attachment, MediaType, NewAttachment, PartId, PartKind};

/// What becomes of a part, by shape and word.
pub(in super::super) fn fate(fate: Fate) -> Markup {
    let mark = match fate {
        Fate::Use => holds_mark(),
        Fate::Rework | Fate::NotProven => due_mark(),
        Fate::Reject => stopped_mark(),
    };
    html! { span.stands { (mark) strong { (fate.words()) } } }
}

fn verdict(verdict: CardVerdict) -> Markup {
    match verdict {
        CardVerdict::Decided(decided) => fate(decided),
        CardVerdict::ToRead(_) => html! { span.stands { (due_mark()) (verdict.words()) } },
        CardVerdict::NoLimits => html! { (verdict.words()) },
    }
}

fn said(said: ItemSaid) -> Markup {
    match said {
        ItemSaid::Decided(decided) => fate(decided),
        ItemSaid::ToRead(count) => html! { span.stands { (due_mark()) (count) " to be read" } },
        ItemSaid::NoLimit => html! { (said.words()) },
    }
}

/// Every part with what becomes of it, and what is to be ordered.
pub(super) fn overview(seen: &Seen<'_>) -> Markup {
    let report = seen.sheet.condition();
    let order: Vec<(&str, &str)> = report.order().collect();
    html! {
        @if !report.cards.is_empty() {
            h3 id="cards" { "Used parts" }
            @if report.cards.iter().all(|card| card.verdict == CardVerdict::NoLimits) {
                p { "The engine's record says nothing of what used parts may be like, so that none is \
                     judged. Limits are the shop's own." }
            }
            (wide("Used parts", html! {
                table {
                    thead { tr { th scope="col" { "Part" } th scope="col" { "What becomes of it" }
                        th scope="col" { "Why" } th.not-on-paper scope="col" { "Its card" } } }
                    tbody { @for card in &report.cards { (row(seen, card)) } }
                }
            }))
            @if !order.is_empty() {
                h3 { "To be ordered" }
                ul { @for (serial, what) in order { li { (capitalised(what)) ", for " (serial) } } }
            }
            @if seen.open() {
                p.row.not-on-paper { a.button.quiet href=(seen.at("values/condition")) { "What the engine's record allows used parts" } }
            }
            @for sentence in report.assumed.sentences() { p.hint { "Assumed: " (sentence) "." } }
        }
    }
}

fn row(seen: &Seen<'_>, card: &CardReport) -> Markup {
    let kind = crate::ops::part_of_card(card.part);
    let part = seen.sheet.of_kind(kind).find(|part| part.fitted.serial == card.serial);
    let notes = card.items.iter().filter(|item| !item.note.is_empty());
    html! {
        tr {
            th.long scope="row" { (capitalised(card.part.words())) " " (card.serial) }
            td { (verdict(card.verdict)) }
            td { @for item in notes { p { (capitalised(item.item.name)) ": " (item.note) } } }
            td.not-on-paper { @if let Some(part) = part {
                a.button.quiet href=(seen.at(&format!("cards/{}", part.fitted.part))) { "Card of " (card.serial) }
            } }
        }
    }
}

fn found<'s>(seen: &'s Seen<'_>) -> Result<&'s PartSheet, Wrong> {
    let part = seen.visit.id::<PartId>("part")?;
    seen.sheet.parts.iter().find(|one| one.fitted.part == part).ok_or(Wrong::NoPage)
}

pub(super) fn page(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let seen = gathered(visit)?;
    let part = found(&seen)?;
    let card = seen.sheet.card(part).ok_or(Wrong::NoPage)?;
    let build = seen.sheet.build.id;
    let photos = visit.shop().attachments(AttachedTo::PartIn(build, part.fitted.part))?;
    let open = part.card.iter().filter(|station| {
        let read = seen.sheet.reading(part.fitted.part, records::When::Before, &station.name);
        station.needed && read.is_none()
    });
    let open = open.count();
    let title = format!("{} {}", capitalised(card.part.words()), card.serial);
    let body = html! {
        p.crumb { a href=(format!("/builds/{build}#inspection")) { (seen.sheet.build.head.name) } }
        h1 { (title) }
        p { (verdict(card.verdict)) }
        @for rework in &card.rework { p.told { (due_mark()) span { "Rework. " (capitalised(rework)) "." } } }
        @for what in &card.order { p.told { (due_mark()) span { "Order: " (what) "." } } }
        @if seen.open() {
            p.row.not-on-paper { a.button.quiet[open == 0] href=(bench(&seen, part, None)) {
                @if open > 0 { "Take readings of " (card.serial) ": " (open) " to go" }
                @else { "Readings of " (card.serial) }
            } }
        }
        @if let Some(map) = plating(&seen, part, &card) {
            div.pictures { (inline(&map.svg, Some(&seen.at(&format!("pictures/{}.csv", map.name))))) }
        }
        @for item in &card.items { (one(&seen, part, item, &photos)) }
        @for caution in CONDITION_CAUTIONS { p.told { (due_mark()) span { (caution) } } }
    };
    Ok(frame::page(visit, &title, body))
}

/// The map of a bore's plating.
fn plating(seen: &Seen<'_>, part: &PartSheet, card: &CardReport) -> Option<Picture> {
    let position = usize::try_from(part.fitted.position).ok()?;
    let sheet = &seen.sheet;
    let spec = sheet.spec.as_ref().map_or("none yet", |(name, _)| name);
    let of = (sheet.build.head.name.as_str(), spec);
    plating_picture(of, card, position, sheet.sizes.as_ref(), seen.first)
}

/// The maps of all its bores.
pub(super) fn platings(seen: &Seen<'_>) -> Vec<Picture> {
    let housings = seen.sheet.of_kind(PartKind::RotorHousing);
    housings.filter_map(|part| plating(seen, part, &seen.sheet.card(part)?)).collect()
}

/// Where a part's readings are taken, from a station on.
fn bench(seen: &Seen<'_>, part: &PartSheet, station: Option<&str>) -> String {
    let at = station.map_or(String::new(), |station| format!("?at={station}"));
    seen.at(&format!("readings/{}/card{at}", part.fitted.part))
}

fn one(seen: &Seen<'_>, part: &PartSheet, item: &ItemReport, photos: &[Attachment]) -> Markup {
    let key = item.item.key;
    let of_item: Vec<&Attachment> =
        photos.iter().filter(|photo| photo.station.as_deref() == Some(key)).collect();
    let first = part.card.iter().find(|station| station.list == key);
    let shown = first.and_then(|station| {
        let (sheet, id) = (&seen.sheet, format!("how-{key}"));
        let station = (station, id.as_str());
        inspected_picture(sheet.sizes.as_ref(), &part.fitted, station, sheet.counts(), seen.first)
    });
    let is_read = matches!(item.item.taken, Taken::Read(_));
    html! {
        section.item id=(key) {
            h2 { (capitalised(item.item.name)) }
            p { (said(item.said)) }
            @if item.said != ItemSaid::NoLimit { p { "Used: " (item.limit) "." } }
            @if !item.note.is_empty() { p.told { (due_mark()) span { (capitalised(&item.note)) "." } } }
            @if item.at.iter().any(|at| at.found.is_some()) { (readings(seen, part, item)) }
            @else if !is_read { p.hint { (from_elsewhere(item)) } }
            @if let Some((svg, how)) = shown {
                details {
                    summary { "How it is measured" }
                    (inline(&svg, None))
                    @for sentence in how { p.how { (sentence) } }
                }
            }
            @if let (true, true, Some(first)) = (is_read, seen.open(), first) {
                p.row.not-on-paper { a.button.quiet href=(bench(seen, part, Some(next(seen, part, item).unwrap_or(&first.name)))) {
                    "Read: " (item.item.name) } }
            }
            (pictures(seen, part, item, &of_item))
        }
    }
}

/// The first station of an item that was not read.
fn next<'i>(seen: &Seen<'_>, part: &PartSheet, item: &'i ItemReport) -> Option<&'i str> {
    let stations = item.at.iter().map(|at| at.station.as_str());
    let read = |station: &&str| {
        seen.sheet.reading(part.fitted.part, records::When::Before, station).is_none()
    };
    stations.into_iter().find(read)
}

/// Where figures come from that are not read for the card.
fn from_elsewhere(item: &ItemReport) -> &'static str {
    match item.item.taken {
        Taken::Plan => "It is among the readings that the plan takes.",
        _ => "It follows from other readings of this card.",
    }
}

fn readings(seen: &Seen<'_>, part: &PartSheet, item: &ItemReport) -> Markup {
    let read = |at: &AtReport| {
        let reading = seen.sheet.reading(part.fitted.part, records::When::Before, &at.station)?;
        let by = seen.sheet.name_of(reading.person);
        Some(format!("{by}, {}", moment(&reading.at)))
    };
    wide(
        item.item.name,
        html! {
            table {
                thead { tr { th scope="col" { "Where" } th.n scope="col" { "Found" }
                    th scope="col" { "Verdict" } th scope="col" { "Gauge" } th scope="col" { "By" } } }
                tbody { @for at in &item.at { @if let Some(found) = &at.found {
                    tr {
                        th scope="row" { @if at.words.is_empty() { (capitalised(item.item.name)) } @else { (capitalised(&at.words)) } }
                        td.n { (found.text(seen.first)) }
                        td { @if let Some(of) = at.fate { (fate(of)) } @else { "no limit given" } }
                        td { (at.gauge.as_deref().unwrap_or("")) }
                        td.who { (read(at).unwrap_or_default()) }
                    }
                } } }
            }
        },
    )
}

fn pictures(
    seen: &Seen<'_>,
    part: &PartSheet,
    item: &ItemReport,
    photos: &[&Attachment],
) -> Markup {
    let key = item.item.key;
    let id = format!("photo-{key}");
    html! {
        @if !photos.is_empty() {
            ul.photos { @for photo in photos { li {
                @let path = format!("/attachments/{}", photo.id);
                @if photo.media_type == MediaType::Pdf {
                    a.button.quiet href=(path) { "Save the PDF " (photo.name) }
                } @else {
                    a href=(path) { img src=(path) alt=(format!("{}: {}", item.item.name, photo.name)) loading="lazy"; }
                }
                p.hint { (photo.name) ", " (seen.sheet.name_of(photo.person)) ", " (moment(&photo.at)) }
            } } }
        }
        @if seen.open() {
            details.not-on-paper {
                summary { "Attach a photo" }
                (file_form(&seen.at(&format!("cards/{}/photos", part.fitted.part)), "Attach it", html! {
                    input type="hidden" name="item" value=(key);
                    div.field { label for=(id) { "Photo of: " (item.item.name) }
                        input id=(id) type="file" name="photo" accept="image/png,image/jpeg,image/webp,application/pdf"; }
                }))
            }
        }
    }
}

pub(super) fn photo(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let seen = gathered(visit)?;
    let part = found(&seen)?;
    let card = seen.sheet.card(part).ok_or(Wrong::NoPage)?;
    let item = card.items.iter().find(|item| item.item.key == visit.field("item"));
    let item = item.ok_or_else(|| Wrong::ask("it was not said what the photo shows"))?;
    let sent = visit.brought.files.iter().find(|file| file.field == "photo");
    let sent =
        sent.ok_or_else(|| Wrong::ask("no file was chosen; choose one and send it again"))?;
    visit.shop().attach(&NewAttachment {
        to: AttachedTo::PartIn(seen.sheet.build.id, part.fitted.part),
        station: Some(item.item.key),
        name: if sent.name.is_empty() { "photo" } else { &sent.name },
        bytes: &sent.bytes,
        person: visit.who()?,
        at: &visit.now,
    })?;
    Ok(Reply::see(seen.at(&format!("cards/{}#{}", part.fitted.part, item.item.key))))
}
