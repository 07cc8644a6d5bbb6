//! One part, with everything that ever happened to it.

use super::shelf::place;
use super::{Names, attachments};
use crate::ops::gauges::{Standing, refuses_overdue, standing};
use crate::ops::life::{PartLife, life, life_csv, life_picture};
use crate::ops::phrase::capitalised;
use crate::ops::shelf::{TypedReading, read_on_shelf, station_in_words, stations};
use crate::ops::teardown::{TipBeside, with_prediction};
use crate::text::life::cut_words;
use crate::text::teardown::seen as ran;
use crate::web::fields::{Field, choice, file_form, form};
use crate::web::figures;
use crate::web::frame;
use crate::web::picture::inline;
use crate::web::reply::Reply;
use crate::web::rights::Work;
use crate::web::route::{Route, get, post};
use crate::web::sheet::beside;
use crate::web::visit::Visit;
use crate::web::wrong::Wrong;
use drawings::Options;
use kernel::units::Length;
use maud::{Markup, html};
use records::{AttachedTo, Contact, NewAttachment, PartHistory, PartId, Reading, ReadingId, When};

pub(super) const ROUTES: &[Route] = &[
    get("/shelf/{part}", page),
    get("/shelf/{part}/life/{name}", life_figures),
    post(Work::Readings, "/shelf/{part}/reading", enter_reading),
    post(Work::Machine, "/shelf/{part}/event", add_event),
    post(Work::Readings, "/shelf/{part}/photo", attach),
    post(Work::Parts, "/shelf/{part}/retire", retire),
];

fn page(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let id: PartId = visit.id("part")?;
    let history = visit.shop().part_history(id)?;
    let names = Names::of(visit)?;
    let part = &history.part;
    let title = format!("{} {}", crate::ops::phrase::capitalised(part.kind.word()), part.serial);
    let inside = history.fitted.iter().find(|(fitted, _)| fitted.out.is_none());
    let build = inside.map(|(fitted, name)| (fitted.build, name.as_str()));
    let photos = visit.shop().attachments(AttachedTo::Part(id))?;
    let lived = life(visit.shop(), id, &visit.today(), visit.first())?;
    let mut came_back = Vec::new();
    for teardown in visit.shop().teardowns_with(id)? {
        came_back.push(with_prediction(visit.shop(), teardown)?);
    }
    let body = html! {
        h1 { (title) }
        p { (place(part.retired, build)) " · entered " (figures::moment(&part.at)) " by "
            (names.person(part.person)) }
        h2 { "Readings" }
        (readings(visit, &history, &names))
        p.row.not-on-paper {
            @if !history.readings.is_empty() {
                a.button.quiet href=(format!("/shelf/{id}/history/history.csv")) { "All of them as CSV" }
                a.button.quiet href=(format!("/shelf/{id}/history/history.xlsx")) { "All of them as a workbook" }
            }
            a.button.quiet href=(format!("/shelf/{id}/label")) { "Labels for bag and tag" }
        }
        @if let Some((id, _)) = build {
            p { "Readings of a part that is in a build are entered " a href=(format!("/builds/{id}")) { "in that build" } "." }
        } @else if !part.retired { (reading_form(visit, &history)?) }
        (over_rebuilds(visit, &lived))
        h2 { "Builds it was in" }
        (builds(&history, &names))
        h2 { "Found at teardowns" }
        (findings(&history, &names))
        @for back in &came_back {
            h3 { "In " a href=(format!("/builds/{}/teardown", back.build.id)) { (back.build.head.name) } }
            p { (capitalised(&ran(back))) "." }
            @let tips: Vec<&TipBeside> = back.tips.iter().filter(|tip| tip.part == id).collect();
            @if !tips.is_empty() { (beside(&tips, visit.first())) }
        }
        h2 { "What happened to it" }
        @if history.events.is_empty() { p { "Nothing is written down." } }
        ul.plain {
            @for event in &history.events {
                li { (event.what) span.hint { " — " (names.person(event.person)) ", " (figures::moment(&event.at)) } }
            }
        }
        (form(&format!("/shelf/{id}/event"), "Write it down", html! {
            (Field::lines("what", "What happened", 3).needed())
        }))
        h2 { "Photos and documents" }
        (attachments::shown(&photos, |photo| {
            format!("{}, {}", names.person(photo.person), figures::moment(&photo.at))
        }))
        (file_form(&format!("/shelf/{id}/photo"), "Attach it", html! {
            div.field {
                label for="f-photo" { "A photo or a PDF" }
                input id="f-photo" name="photo" type="file" required
                    accept="image/png,image/jpeg,image/webp,application/pdf" aria-describedby="f-photo-hint";
                p.hint id="f-photo-hint" { "PNG, JPEG, WebP or PDF, at most 16 MiB." }
            }
        }))
        @if part.retired {
            h2 { "Take it back" }
            (retire_form(id, false, "Take it back", "Why it is used again"))
        } @else if build.is_none() {
            h2 { "Retire it" }
            p { "A retired part is kept with everything about it, and no build can claim it." }
            (retire_form(id, true, "Retire it", "Why it is never used again"))
        }
    };
    Ok(frame::page(visit, &title, body))
}

/// What it lost over its rebuilds, and what is left of it.
fn over_rebuilds(visit: &Visit<'_>, lived: &PartLife) -> Markup {
    if lived.stations.is_empty() {
        return html! {};
    }
    let (id, first) = (lived.part.id, visit.first());
    let amount = |length: Length| figures::amount(length, first);
    let known = lived.stations.iter().filter(|station| station.rate.is_ok()).count();
    let table = html! {
        table {
            thead { tr {
                th scope="col" { "Station" } th scope="col" { "Worn, run by run" }
                th scope="col" { "Cut in all" } th scope="col" { "Wear" }
                th scope="col" { "Limit" } th scope="col" { "Left" }
            } }
            tbody {
                @for station in &lived.stations {
                    tr {
                        th scope="row" { (station.words) }
                        td { @for run in &station.runs {
                            p { (amount(run.lost)) " in " (format!("{:.1}", run.hours)) " h of "
                                a href=(format!("/builds/{}", run.build)) { (run.name) } }
                        } }
                        td { @if !station.cuts.is_empty() { (capitalised(&cut_words(station.cut_in_all(), first))) } }
                        td { (station.rate_words(first)) }
                        td { @if let Some(limit) = &station.limit {
                            (figures::size(limit.limit, first)) ", by " (limit.from) } @else { "none is given" } }
                        td { (station.life_words(first)) }
                    }
                }
            }
        }
    };
    html! {
        h2 { "Over its rebuilds" }
        p { "It ran " (format!("{:.1}", lived.hours)) " h as far as they are told. " (capitalised(&lived.in_a_sentence())) "." }
        @for (build, name) in &lived.unknown {
            p.told { (frame::due_mark()) span { "It came back from " a href=(format!("/builds/{build}/teardown")) { (name) }
                ", and nobody told how long it ran there." } }
        }
        @if let Some((hours, from)) = &lived.hours_to_come {
            p.hint { "A run to come is taken as " (format!("{hours:.1}")) " h, by " (from)
                ". Cuts to come are taken as those so far were. Intervals hold in nine of ten cases." }
        }
        div.pictures { @for of in lived.lists() {
            @let options = Options { system: first, id: Some(format!("life-{of}")) };
            @let has_wear = lived.stations.iter().any(|station| station.station.starts_with(of) && !station.runs.is_empty());
            @if has_wear || known == 0 { @if let Some(svg) = life_picture(lived, of, &options) {
                (inline(&svg, Some(&format!("/shelf/{id}/life/{of}.csv"))))
            } }
        } }
        (frame::wide("Over its rebuilds", table))
        @for sentence in lived.assumed.sentences() { p.hint { "Assumed: " (sentence) "." } }
    }
}

/// The figures of one of its pictures.
fn life_figures(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let lived = life(visit.shop(), visit.id("part")?, &visit.today(), visit.first())?;
    let of = visit.param("name")?.strip_suffix(".csv").ok_or(Wrong::NoPage)?;
    let csv = life_csv(&lived, of).ok_or(Wrong::NoPage)?;
    Ok(Reply::bytes("text/csv; charset=utf-8", csv.into_bytes()).file(&format!("{of}.csv")))
}

fn retire_form(id: PartId, retired: bool, button: &str, why: &str) -> Markup {
    form(
        &format!("/shelf/{id}/retire"),
        button,
        html! {
            input type="hidden" name="retired" value=(if retired { "yes" } else { "no" });
            (Field::text("why", why).needed())
        },
    )
}

/// A length in both systems beside what was written; anything else as it was written.
fn both(visit: &Visit<'_>, reading: &Reading) -> String {
    match reading.value.value::<Length>() {
        Some(length) if super::lines::is_small(reading.value.text()) => {
            figures::amount(length, visit.first())
        }
        Some(length) => figures::size(length, visit.first()),
        None => String::new(),
    }
}

fn readings(visit: &Visit<'_>, history: &PartHistory, names: &Names) -> Markup {
    if history.readings.is_empty() {
        return html! { p { "None yet." } };
    }
    let kind = history.part.kind;
    let table = html! {
        table {
            thead { tr {
                th scope="col" { "Station" } th scope="col" { "As written" }
                th scope="col" { "In both units" } th scope="col" { "Where, by whom, when (UTC), with what" }
            } }
            tbody {
                @for reading in &history.readings {
                    @let called = station_in_words(kind, &reading.station);
                    tr.gone[reading.superseded_by.is_some()] {
                        th scope="row" { (called) @if reading.when == When::After { ", after the cut" } }
                        td.n {
                            @if reading.superseded_by.is_some() { s { (reading.value.text()) } }
                            @else { (reading.value.text()) }
                        }
                        td.n { (both(visit, reading)) }
                        td {
                            @if let Some(by) = reading.superseded_by {
                                strong { "corrected by reading " (by) } ". "
                            }
                            "Reading " (reading.id) ", "
                            @if let Some(build) = reading.build {
                                a href=(format!("/builds/{build}")) { "in build " (build) }
                            } @else { "on the shelf" }
                            ", " (names.person(reading.person)) ", " (figures::moment(&reading.at))
                            @if let Some(gauge) = reading.gauge { ", " (names.gauge(gauge)) } @else { ", gauge not noted" }
                            @if let Some(warm) = &reading.temperature { ", part at " (warm.text()) }
                        }
                    }
                }
            }
        }
    };
    frame::wide("Readings", table)
}

fn reading_form(visit: &Visit<'_>, history: &PartHistory) -> Result<Markup, Wrong> {
    let part = &history.part;
    let seen = history.readings.last().map_or(0, |reading| reading.id.0);
    let all: Vec<(String, String)> =
        stations(part.kind).into_iter().map(|s| (s.station, s.called)).collect();
    let refuses = refuses_overdue(visit.shop())?;
    let today = visit.today();
    let mut gauges = vec![(String::new(), "Not noted".to_owned())];
    for gauge in visit.shop().gauges()? {
        let said = match standing(&gauge, &today) {
            Standing::OutOfUse => continue,
            Standing::Overdue(_) if refuses => continue,
            Standing::Overdue(due) => format!(" (calibration overdue since {due})"),
            _ => String::new(),
        };
        gauges.push((gauge.id.to_string(), format!("{}, {}{said}", gauge.name, gauge.kind)));
    }
    Ok(html! {
        h3 { "Enter a reading" }
        (form(&format!("/shelf/{}/reading", part.id), "Enter the reading", html! {
            input type="hidden" name="seen" value=(seen);
            (choice("station", "Where on the part", &all, visit.asked("station")))
            (Field::text("value", "Reading with its unit").needed()
                .hint("Such as 79.915 mm, 3.1463 in, 95 um, 5 thou or 4312 g. A reading that stands there already is kept and struck through."))
            (choice("gauge", "With which gauge", &gauges, visit.asked("gauge")))
            @if refuses { p.hint { "Gauges whose calibration is overdue are not offered: this shop takes no readings with them." } }
            (Field::text("temperature", "How warm the part was").hint("Such as 22 degC."))
        }))
    })
}

fn builds(history: &PartHistory, names: &Names) -> Markup {
    if history.fitted.is_empty() {
        return html! { p { "None." } };
    }
    let table = html! {
        table {
            thead { tr {
                th scope="col" { "Build" } th scope="col" { "Place from the front" }
                th scope="col" { "Fitted" } th scope="col" { "Left" }
            } }
            tbody {
                @for (fitted, name) in &history.fitted {
                    tr {
                        th scope="row" { a href=(format!("/builds/{}", fitted.build)) { (name) } }
                        td { (fitted.position)
                            @if let Some(face) = fitted.gear_face { ", gear face to the " (face) } }
                        td { (figures::moment(&fitted.at)) " by " (names.person(fitted.person)) }
                        td {
                            @if let Some((why, _, by, at)) = &fitted.out {
                                (why) " " (figures::moment(at)) " by " (names.person(*by))
                            } @else { "it is in there" }
                        }
                    }
                }
            }
        }
    };
    frame::wide("Builds it was in", table)
}

fn findings(history: &PartHistory, names: &Names) -> Markup {
    if history.findings.is_empty() {
        return html! { p { "Nothing is written down." } };
    }
    let table = html! {
        table {
            thead { tr {
                th scope="col" { "Where" } th scope="col" { "Contact" } th scope="col" { "Ran" }
                th scope="col" { "What else" } th scope="col" { "Build" } th scope="col" { "By whom" }
            } }
            tbody {
                @for finding in &history.findings {
                    tr {
                        th scope="row" { (finding.place) }
                        td {
                            @match finding.contact {
                                Contact::Seen => { (frame::stopped_mark()) }
                                Contact::NotSeen => { (frame::holds_mark()) }
                                Contact::NotLookedAt => { (frame::due_mark()) }
                            }
                            (finding.contact)
                        }
                        td { (finding.running.as_deref().unwrap_or("not noted")) }
                        td { (finding.note) }
                        td { a href=(format!("/builds/{}", finding.build)) { "build " (finding.build) } }
                        td { (names.person(finding.person)) ", " (figures::moment(&finding.at)) }
                    }
                }
            }
        }
    };
    frame::wide("Findings", table)
}

fn back(id: PartId) -> Reply {
    Reply::see(format!("/shelf/{id}"))
}

fn enter_reading(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let part: PartId = visit.id("part")?;
    let station = visit.needed("station", "Where on the part")?;
    let gauge = visit.id_field("gauge", "With which gauge")?;
    let typed = TypedReading {
        part,
        station,
        value: visit.needed("value", "Reading")?,
        gauge,
        temperature: visit.field("temperature"),
        seen: visit.id_field("seen", "What was seen")?.unwrap_or(ReadingId(0)),
    };
    read_on_shelf(visit.shop(), &typed, (visit.who()?, &visit.now))?;
    // The next one is most often taken with the same gauge, at the station after this one.
    let all = stations(visit.shop().part(part)?.kind);
    let at = all.iter().position(|known| known.station == station);
    let next = at.and_then(|at| all.get(at + 1)).map_or("", |next| next.station.as_str());
    let mut query = form_urlencoded::Serializer::new(String::new());
    query.append_pair("station", next).append_pair("gauge", visit.field("gauge"));
    Ok(Reply::see(format!("/shelf/{part}?{}", query.finish())))
}

fn add_event(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let id = visit.id("part")?;
    let what = visit.needed("what", "What happened")?;
    visit.shop().part(id)?;
    visit.shop().add_part_event(id, what, (visit.who()?, &visit.now))?;
    Ok(back(id))
}

fn attach(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let id = visit.id("part")?;
    visit.shop().part(id)?;
    let sent = visit.brought.files.iter().find(|file| file.field == "photo");
    let sent = sent.ok_or_else(|| Wrong::ask("no file came with it; choose a photo or a PDF"))?;
    visit.shop().attach(&NewAttachment {
        to: AttachedTo::Part(id),
        station: None,
        name: if sent.name.is_empty() { "photo" } else { &sent.name },
        bytes: &sent.bytes,
        person: visit.who()?,
        at: &visit.now,
    })?;
    Ok(back(id))
}

fn retire(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let id = visit.id("part")?;
    let retired = visit.field("retired") == "yes";
    let why = visit.needed("why", "Why")?;
    visit.shop().set_retired(id, retired)?;
    let what = if retired { format!("retired: {why}") } else { format!("taken back: {why}") };
    visit.shop().add_part_event(id, &what, (visit.who()?, &visit.now))?;
    Ok(back(id))
}
