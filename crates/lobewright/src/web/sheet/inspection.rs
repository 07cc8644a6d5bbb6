//! The parts of a sheet where readings are: as the parts came, and as the engine goes together.

use super::super::fields::file_form;
use super::super::figures::{moment, written};
use super::super::frame::{self, due_mark, holds_mark, stopped_mark, wide};
use super::super::reply::Reply;
use super::super::visit::Visit;
use super::super::wrong::Wrong;
use super::{Seen, assembly, back, cards, pictures};
use crate::ops::phrase;
use crate::ops::sheet::{ManyError, PartSheet, Station, station_name, take_many};
use kernel::units::{Length, Quantity};
use maud::{Markup, html};
use records::{BuildId, PartKind, Reading, Stage, When};

/// Parts that are read as they came.
const AS_THEY_CAME: [PartKind; 3] =
    [PartKind::Rotor, PartKind::RotorHousing, PartKind::SideHousing];

pub(super) fn inspection(seen: &Seen<'_>) -> Markup {
    html! {
        @if seen.open() { @for part in seen.sheet.of_kind(PartKind::Rotor) { (again(seen, part)) } }
        (pictures::shown(seen, &pictures::of_cut(seen), &["gear-face", "plain-face"]))
        @for kind in AS_THEY_CAME {
            @for part in seen.sheet.of_kind(kind) { (part_readings(seen, part, When::Before)) }
        }
        (cards::overview(seen))
        @for words in &seen.sheet.file.left_out {
            p.told { (due_mark()) span { "Not counted yet: " (words) "." } }
        }
        @if !seen.sheet.readings.is_empty() {
            p.row.not-on-paper {
                a.button.quiet href=(seen.at("tables/readings.csv")) { "The readings that stand as CSV" }
                a.button.quiet href=(seen.at("tables/tables.xlsx")) { "Readings, plan and history as a workbook" }
            }
        }
        @if seen.open() {
            details.not-on-paper {
                summary { "Bring in readings as CSV" }
                p.hint { "The first line names the columns: serial, station (such as land_width.2) and value with its unit; \
                          part, stage, gauge and temperature may be there too. All lines are kept, or none." }
                (file_form(&seen.at("readings-csv"), "Bring them in", html! {
                    div.field { label for="f-csv" { "The file" } input id="f-csv" type="file" name="csv" accept=".csv,text/csv"; }
                    label.choice { input type="checkbox" name="sure" value="yes"; span { "Keep those too that differ from their neighbours: they were read again" } }
                }))
            }
        }
    }
}

/// The way to the reading that is to be taken again first.
fn again(seen: &Seen<'_>, part: &PartSheet) -> Markup {
    let first = part.suspicions().first().and_then(|suspicion| suspicion.suspects.first());
    html! {
        @if let (Some(suspect), Some(alone)) = (first, &part.alone) {
            @let when = if alone.after { When::After } else { When::Before };
            p.not-on-paper { a.button href=(seen.at(&format!("readings/{}/{}?at={}", part.fitted.part, when.word(), station_name(suspect.station)))) {
                "Read again, " (part.fitted.serial) ": " (suspect.station) } }
        }
    }
}

/// Readings that came as a table.
pub(super) fn bring_csv(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let build = visit.id::<BuildId>("build")?;
    let Some(file) = visit.brought.files.iter().find(|file| file.field == "csv") else {
        return Err(Wrong::ask("no file was chosen; choose one and send it again"));
    };
    let text = String::from_utf8(file.bytes.clone())
        .map_err(|_| Wrong::ask(format!("{:?} is no text in UTF-8", file.name)))?;
    let by = (visit.who()?, &visit.now);
    let taken =
        take_many(visit.shop(), build, &text, visit.field("sure") == "yes", by, visit.first())
            .map_err(|error| match error {
                ManyError::Shop(error) => Wrong::Shop(error),
                lines @ ManyError::Lines(_) => Wrong::ask(lines.to_string()),
            })?;
    if taken.mind.is_empty() {
        return Ok(back(build, Stage::Inspection));
    }
    let body = html! {
        h1 { "Readings are kept" }
        p { (holds_mark()) (taken.count) " readings are kept. There is something to mind:" }
        @for mind in &taken.mind { p.told { (due_mark()) span { (phrase::capitalised(mind)) "." } } }
        p { a.button href=(format!("/builds/{build}#inspection")) { "To the sheet" } }
    };
    Ok(frame::page(visit, "Readings are kept", body))
}

/// The readings of one part, with the way to take them.
pub(super) fn part_readings(seen: &Seen<'_>, part: &PartSheet, when: When) -> Markup {
    let stations = part.stations(when);
    let fitted = &part.fitted;
    let have = |station: &Station| seen.sheet.reading(fitted.part, when, &station.name);
    let open = stations.iter().filter(|s| s.needed && have(s).is_none()).count();
    let name = format!("{} {}", fitted.kind, fitted.serial);
    html! {
        @if !stations.is_empty() {
            h3 { (phrase::capitalised(&name)) }
            (agreement(seen, part, when))
            @if seen.open() {
                p.not-on-paper { a.button.quiet[open == 0]
                    href=(seen.at(&format!("readings/{}/{}", fitted.part, when.word()))) {
                    @if open > 0 { "Take readings of " (fitted.serial) ": " (open) " to go" }
                    @else { "Readings of " (fitted.serial) }
                } }
            }
            @if stations.iter().any(|station| have(station).is_some()) {
                (wide(&format!("Readings of {name}"), html! {
                    table {
                        thead { tr { th scope="col" { "Station" } th.n scope="col" { "As read" }
                            th.n scope="col" { "In the other units" } th scope="col" { "By" } th scope="col" { "Gauge" } } }
                        tbody { @for station in stations { @if let Some(reading) = have(station) {
                            tr {
                                th.long[when == When::After] scope="row" { @if part.is_suspect(when, &station.name) { (stopped_mark()) }
                                    (station.words) }
                                td.n { (written(reading.value.text()))
                                    @if reading.supersedes.is_some() { span.hint { " (read again)" } } }
                                td.n { (other_units(reading)) }
                                td.who { (seen.sheet.name_of(reading.person)) ", " (moment(&reading.at)) }
                                td { (gauge_of(seen, reading)) }
                            }
                        } } }
                    }
                }))
            }
        }
    }
}

fn gauge_of(seen: &Seen<'_>, reading: &Reading) -> String {
    let gauge = seen.sheet.gauges.iter().find(|gauge| Some(gauge.id) == reading.gauge);
    gauge.map_or_else(String::new, |gauge| gauge.name.clone())
}

/// A value that was written in one system in the other one.
pub(in super::super) fn other_units(reading: &Reading) -> String {
    let Some(length) = reading.value.value::<Length>() else { return String::new() };
    let text = reading.value.text();
    let inch = text.ends_with("in") || text.ends_with("thou") || text.ends_with('"');
    let small = length.abs().si() < 0.005;
    match (inch, small) {
        (true, true) => format!("{:.0} \u{b5}m", length.to_um()),
        (true, false) => format!("{:.3} mm", length.to_mm()),
        (false, true) => format!("{:.1} thou", length.to_thou()),
        (false, false) => format!("{:.4} in", length.to_inch()),
    }
}

/// Whether the readings of a rotor agree, and which does not.
pub(in super::super) fn agreement(seen: &Seen<'_>, part: &PartSheet, when: When) -> Markup {
    let Some(alone) = part.alone.as_ref().filter(|alone| alone.after == (when == When::After))
    else {
        return html! {};
    };
    let check = &alone.now.check;
    html! {
        @for suspicion in &check.suspicions {
            p.told { (stopped_mark()) span { (phrase::capitalised(&phrase::suspicion(suspicion, seen.first))) "." } }
        }
        @if check.suspicions.is_empty() {
            p.stands.holds { (holds_mark()) span {
                @match check.probability {
                    Some(_) => "The readings agree within what the gauges can tell.",
                    None => "Each was taken once and nothing checks them: tip widths, or the run-outs of both lands, would.",
                }
            } }
        }
        @for mind in &alone.mind {
            p.told { (due_mark()) span { (phrase::capitalised(mind)) "." } }
        }
    }
}

pub(super) fn assembly(seen: &Seen<'_>) -> Markup {
    let seals = seen
        .sheet
        .planned()
        .map(|plan| plan.rotors.iter().filter(|rotor| !rotor.seals.is_empty()).collect::<Vec<_>>());
    html! {
        (assembly::sheet(seen))
        p.not-on-paper { a.button.quiet href=(seen.at("assembly-sheet")) { "The assembly sheet (PDF)" } }
        @for kind in [PartKind::Shaft, PartKind::SealsSet] {
            @for part in seen.sheet.of_kind(kind) { (part_readings(seen, part, When::After)) }
        }
        @for rotor in seals.unwrap_or_default() {
            (wide(&format!("Seals of {}", rotor.serial), html! {
                table {
                    caption { "Seals of " (rotor.serial) " with the faces as the plan leaves them" }
                    thead { tr { th scope="col" { "Seal" } th scope="col" { "Verdict" } th.n scope="col" { "Is" }
                        th.n scope="col" { "At least" } th.n scope="col" { "At most" } } }
                    tbody { @for line in &rotor.seals {
                        tr {
                            th scope="row" { (line.seal) " " (line.figure) @if line.at_worst_pose() { ", worst pose and heat" } }
                            // Before the figures: on a tablet the last columns are out of sight.
                            td { @match line.holds() {
                                Some(true) => { (holds_mark()) "holds" }
                                Some(false) => { (stopped_mark()) "does not hold" }
                                None => "no limit in the spec",
                            } }
                            td.n { (line.value.as_size(seen.first)) }
                            td.n { @if let Some(least) = line.least { (least.as_size(seen.first)) } }
                            td.n { @if let Some(most) = line.most { (most.as_size(seen.first)) } }
                        }
                    } }
                }
            }))
        }
        p.hint { "Guard every edge, keep oil and rag away from what turns, and lift rotors and housings \
                  as their weight asks. Sizes are common practice where no source is named; the shop's \
                  rules and licensed practice come first." }
    }
}
