//! The part of a sheet about clearances: the spec and its windows, what would be at another speed,
//! boost, clearance or step, and where the tips are at speed. Nothing is kept until somebody says so.

use super::super::figures::amount;
use super::super::forms;
use super::super::frame::{self, due_mark, stopped_mark, wide};
use super::super::picture::inline;
use super::super::reply::Reply;
use super::super::rights::Work;
use super::super::visit::Visit;
use super::super::wrong::Wrong;
use super::{Seen, back, gathered, pictures};
use crate::ops::phrase::capitalised;
use crate::ops::sheet::{Change, WhatIf, WouldBe, change, would_be};
use crate::ops::{Picture, SpeedReport, pictures_as, speed_pictures};
use crate::text::{self, speed::calibrated};
use kernel::units::{GaugePressure, Length, Quantity, QuantityError, Speed};
use maud::{Markup, html};
use records::{InRevision, Stage, WorkKind};

/// Speeds of the sweep that follows.
pub(super) const SWEEP: usize = 24;

/// Tables of a build's file that have a say in clearances.
const TABLES: [(&str, &str); 6] = [
    ("spec", "Spec"),
    ("build", "Duty and heat"),
    ("engine", "Engine"),
    ("seals", "Seals"),
    ("gas", "Gas"),
    ("machine", "Machine that cuts"),
];

pub(super) fn clearances(seen: &Seen<'_>) -> Markup {
    let build = seen.sheet.file.build.as_ref().ok();
    html! {
        @if seen.open() {
            p.row.not-on-paper { @for (table, called) in TABLES {
                a.button.quiet href=(seen.at(&format!("values/{table}"))) { (called) } } }
        }
        @if let Err(problems) = &seen.sheet.file.build {
            details {
                summary { (problems.list().len() + problems.more()) " points until the build is whole" }
                ul { @for problem in problems.list() { li { (problem) } } }
            }
        }
        (pictures::shown(seen, &pictures::of_cut(seen), &["window"]))
        @if let (Some(build), Some(_)) = (build, seen.sheet.planned()) {
            h3.not-on-paper { "What if" }
            p.not-on-paper { "Other figures for the same parts. Nothing is kept until you say so." }
            (figures(seen, build, &asked(seen.visit).unwrap_or_default()))
            div #what-if-answer data-from=(seen.at("what-if/answer")) aria-live="polite" {
                p { a.button.quiet href=(seen.at("what-if")) { "Work out what would be, and where the tips are at speed" } }
            }
            div #what-if-sweep data-from=(seen.at("what-if/sweep")) {}
            p.not-on-paper { a.button.quiet href=(seen.at("at-speed")) { "At speed and under boost in full, with chances" } }
        }
    }
}

/// What a step of the speed is, in rpm; the build's own speed lies on one.
const RPM_STEP: f64 = 50.0;

/// One figure that can be dragged.
struct Figure {
    name: &'static str,
    label: &'static str,
    unit: &'static str,
    now: f64,
    least: f64,
    most: f64,
    step: f64,
}

/// The four figures of the build as it is.
fn four(build: &crate::build_file::Build) -> [Figure; 4] {
    let rpm = build.duty.speed.map_or(6000.0, Speed::to_rpm).round();
    let bar = build.duty.boost.map_or(0.0, GaugePressure::to_bar);
    let clearance = build.spec.side_clearance.target.to_um().round();
    let step = build.spec.step.target.to_um().round();
    [
        Figure {
            name: "speed",
            label: "Speed",
            unit: "rpm",
            now: rpm,
            least: rpm - (rpm * 0.7 / RPM_STEP).floor() * RPM_STEP,
            most: (rpm * 1.4).round(),
            step: RPM_STEP,
        },
        Figure {
            name: "boost",
            label: "Boost",
            unit: "bar",
            now: bar,
            least: bar.min(0.0),
            most: bar.max(0.0) + 1.5,
            step: 0.05,
        },
        Figure {
            name: "clearance",
            label: "Side clearance, both sides together",
            unit: "um",
            now: clearance,
            least: (clearance * 0.4).round(),
            most: (clearance * 1.8).round(),
            step: 1.0,
        },
        Figure {
            name: "step",
            label: "Step",
            unit: "um",
            now: step,
            least: 0.0,
            most: (step * 2.0).round().max(60.0),
            step: 1.0,
        },
    ]
}

fn figures(seen: &Seen<'_>, build: &crate::build_file::Build, asked: &WhatIf) -> Markup {
    let given = [
        asked.speed.map(Speed::to_rpm),
        asked.boost.map(GaugePressure::to_bar),
        asked.clearance.map(Length::to_um),
        asked.step.map(Length::to_um),
    ];
    html! {
        form #what-if.figures method="get" action=(seen.at("what-if")) data-what-if {
            input type="hidden" name="revision" value=(seen.sheet.build.revision);
            @for (figure, given) in four(build).iter().zip(given) {
                @let value = given.unwrap_or(figure.now);
                @let id = format!("what-{}", figure.name);
                input type="hidden" name=(format!("now_{}", figure.name)) value=(trimmed(figure.now));
                div.figure {
                    label for=(id) { (figure.label) }
                    div.row {
                        input.drag type="range" min=(figure.least) max=(figure.most) step=(figure.step) value=(value)
                            aria-label=(format!("{}, dragged", figure.label)) data-of=(id);
                        input #(id) name=(figure.name) type="number" inputmode="decimal" step="any" value=(trimmed(value)) data-now=(trimmed(figure.now));
                        span.unit { (figure.unit.replace("um", "µm")) }
                    }
                }
            }
            div.row {
                button type="submit" { "Work it out" }
                @if seen.open() && seen.visit.may(Work::Builds) {
                    // The token goes with this button alone: the other one writes all fields into the address.
                    button.quiet type="submit" formmethod="post" name=(forms::TOKEN) value=(seen.visit.form_token().unwrap_or_default()) { "Put these figures into the build" }
                }
            }
        }
    }
}

/// A figure without the noise of its last bits.
fn trimmed(value: f64) -> String {
    let text = format!("{value:.3}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// A figure of the address or the form.
fn figure<Q: Quantity>(text: &str, unit: &str) -> Result<Option<Q>, QuantityError> {
    if text.is_empty() { Ok(None) } else { Q::parse(&format!("{text} {unit}")).map(Some) }
}

fn of_texts<'t>(text: impl Fn(&str) -> &'t str) -> Result<WhatIf, Wrong> {
    let wrong = |error: QuantityError| Wrong::ask(error.to_string());
    Ok(WhatIf {
        speed: figure(text("speed"), "rpm").map_err(wrong)?,
        boost: figure(text("boost"), "bar").map_err(wrong)?,
        clearance: figure(text("clearance"), "um").map_err(wrong)?,
        step: figure(text("step"), "um").map_err(wrong)?,
    })
}

fn asked(visit: &Visit<'_>) -> Result<WhatIf, Wrong> {
    of_texts(|name| visit.asked(name))
}

/// What would be, at so many speeds of a sweep.
fn worked_out(seen: &Seen<'_>, speeds: usize) -> Result<WouldBe, Wrong> {
    let build = seen.sheet.file.build.as_ref().map_err(|problems| {
        Wrong::ask(format!(
            "the build is not whole yet: {}",
            problems.list().first().map_or(String::new(), ToString::to_string)
        ))
    })?;
    would_be(build, &asked(seen.visit)?, speeds, seen.first).map_err(Wrong::ask)
}

pub(super) fn page(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let seen = gathered(visit)?;
    let would = worked_out(&seen, SWEEP)?;
    let build =
        seen.sheet.file.build.as_ref().map_err(|_| Wrong::ask("the build is not whole yet"))?;
    let body = html! {
        p.crumb { a href=(format!("/builds/{}#clearances", seen.sheet.build.id)) { (seen.sheet.build.head.name) } }
        h1 { "What if" }
        (figures(&seen, build, &asked(visit)?))
        div #what-if-answer data-from=(seen.at("what-if/answer")) aria-live="polite" { (answer_of(&seen, &would)) }
        div #what-if-sweep data-from=(seen.at("what-if/sweep")) { (sweep_of(&seen, &would)) }
    };
    Ok(frame::page(visit, "What if", body))
}

/// The plan and the duty point: a piece of a page.
pub(super) fn answer(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let seen = gathered(visit)?;
    Ok(Reply::page(answer_of(&seen, &worked_out(&seen, 0)?)))
}

/// The sweep over speeds: a piece of a page that follows as it is ready.
pub(super) fn sweep(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let seen = gathered(visit)?;
    Ok(Reply::page(sweep_of(&seen, &worked_out(&seen, SWEEP)?)))
}

fn answer_of(seen: &Seen<'_>, would: &WouldBe) -> Markup {
    let plan = &would.plan;
    // The windows of the build as it is stand above already.
    let other = asked(seen.visit).is_ok_and(|asked| differs(seen, &asked));
    let shown: Vec<Picture> = if other { pictures_as(plan, "if-", seen.first) } else { Vec::new() };
    html! {
        p.headline { @if plan.feasible { (frame::holds_mark()) } @else { (stopped_mark()) } strong { (text::plan::headline(plan)) } }
        @for limiting in &plan.limiting {
            p.told { (stopped_mark()) span { (limiting.serial.as_deref().unwrap_or("The set")) ": " (limiting.detail) "." } }
        }
        @match &would.at_speed {
            Err(error) => p.told { (due_mark()) span { "At speed: " (error) "." } },
            Ok(report) => {
                @if !plan.feasible { p.told { (due_mark()) span { "Nothing is cut without a plan: these are the rotors as they are now." } } }
                (at_duty(seen, report))
            }
        }
        (pictures::shown(seen, &shown, &["window"]))
    }
}

/// Whether anything is asked that the build is not.
fn differs(seen: &Seen<'_>, asked: &WhatIf) -> bool {
    seen.sheet.file.build.as_ref().is_ok_and(|build| {
        let given = [
            asked.speed.map(Speed::to_rpm),
            asked.boost.map(GaugePressure::to_bar),
            asked.clearance.map(Length::to_um),
            asked.step.map(Length::to_um),
        ];
        four(build)
            .iter()
            .zip(given)
            .any(|(figure, given)| given.is_some_and(|g| trimmed(g) != trimmed(figure.now)))
    })
}

/// The least gaps at the duty, in a table.
pub(super) fn at_duty(seen: &Seen<'_>, report: &SpeedReport) -> Markup {
    html! {
        (wide("Least gaps at speed", html! {
            table {
                caption { "Least gaps of the tips at " (format!("{:.0}", report.rpm())) " rpm and "
                    (format!("{:.2}", report.running.boost_pa / 1e5)) " bar, " (report.state.name()) ", in a hard cycle" }
                thead { tr { th scope="col" { "Rotor" } th.n scope="col" { "Centred in its float" } th.n scope="col" { "At worst float" } } }
                tbody { @for rotor in &report.rotors {
                    @let centred = rotor.gaps.least_centred_m().map(Length::m);
                    @let worst = rotor.gaps.least().map(|(_, _, gap)| Length::m(gap.worst_float_m));
                    tr { th scope="row" { (rotor.serial) }
                        td.n { (gap(seen, centred)) } td.n { (gap(seen, worst)) } }
                } }
            }
        }))
        @if report.assumed_shaft {
            p.told { (due_mark()) span { "The shaft is assumed, scaled from the engine's sizes: a screening estimate." } }
        }
        @if let Some(taught) = &report.calibration {
            p.hint { (capitalised(&calibrated(taught, |m| amount(Length::m(m), seen.first)))) "." }
        }
        @for warning in &report.warnings { p.told { (due_mark()) span { "Mind: " (warning) "." } } }
    }
}

fn gap(seen: &Seen<'_>, gap: Option<Length>) -> String {
    match gap {
        None => "no wall opposite".to_owned(),
        Some(gap) if gap < Length::ZERO => {
            format!("touches, {} too little", amount(gap.abs(), seen.first))
        }
        Some(gap) => amount(gap, seen.first),
    }
}

/// The pictures of a sweep that are shown.
fn of_sweep(seen: &Seen<'_>, would: &WouldBe, report: &SpeedReport) -> Vec<Picture> {
    let wanted = ["speed-gap", "tip-budget", "tilt-path"];
    let mut all = speed_pictures(report, &would.plan, seen.first);
    all.retain(|picture| wanted.iter().any(|ending| picture.name.ends_with(ending)));
    all
}

/// The data of one of them.
pub(super) fn sweep_csv(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let seen = gathered(visit)?;
    let would = worked_out(&seen, SWEEP)?;
    let Ok(report) = &would.at_speed else { return Err(Wrong::NoPage) };
    pictures::as_csv(visit, of_sweep(&seen, &would, report))
}

fn sweep_of(seen: &Seen<'_>, would: &WouldBe) -> Markup {
    let Ok(report) = &would.at_speed else { return html! {} };
    let mut query = form_urlencoded::Serializer::new(String::new());
    for name in ["speed", "boost", "clearance", "step"] {
        query.append_pair(name, seen.visit.asked(name));
    }
    let query = query.finish();
    let csv = |name: &str| seen.at(&format!("what-if/sweep/{name}.csv?{query}"));
    html! {
        div.pictures { @for picture in of_sweep(seen, would, report) {
            (inline(&picture.svg, Some(&csv(&picture.name)))) } }
    }
}

/// What would be written, before it is: others may be at work by these figures.
fn sure(seen: &Seen<'_>, revision: i64, changes: &[Change]) -> Reply {
    let build = &seen.sheet.build;
    let plain = |value: &Option<String>| {
        value
            .as_deref()
            .map_or("nothing", |value| value.trim_matches('"'))
            .replace(" um", " \u{b5}m")
    };
    let sheets = seen.sheet.works(WorkKind::Sheet);
    let body = html! {
        p.crumb { a href=(format!("/builds/{}#clearances", build.id)) { (build.head.name) } }
        h1 { "Put these figures into the build" }
        @if changes.is_empty() { p { "Nothing was moved: the figures are those of the build." } }
        @else {
            table {
                thead { tr { th scope="col" { "Where" } th scope="col" { "Now" } th scope="col" { "Then" } } }
                tbody { @for change in changes { tr {
                    th scope="row" { (change.place.replace(['.', '_'], " ")) } td { (plain(&change.was)) } td { strong { (plain(&change.value)) } }
                } } }
            }
            @if let Some(last) = sheets.first() {
                p.told { (stopped_mark()) span { "Cut sheet " (last.id) " no longer fits then: nothing may be cut by it." } }
            }
            @if let Some(holder) = &seen.sheet.holder { p { (holder) " has this build." } }
            form.bare method="post" action=(seen.at("what-if")) {
                input type="hidden" name="revision" value=(revision);
                input type="hidden" name="sure" value="yes";
                @for name in ["speed", "boost", "clearance", "step"] {
                    input type="hidden" name=(name) value=(seen.visit.field(name));
                    @let now = format!("now_{name}");
                    input type="hidden" name=(now) value=(seen.visit.field(&now));
                }
                button type="submit" { "Write them into the build" }
            }
        }
        p { a.button.quiet href=(format!("/builds/{}#clearances", build.id)) { "Leave the build as it is" } }
    };
    frame::page(seen.visit, "Put these figures into the build", body)
}

/// Puts the figures that were tried into the build.
pub(super) fn keep(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let seen = gathered(visit)?;
    let what = of_texts(|name| visit.field(name))?;
    if let Some(broken) = what.broken() {
        return Err(Wrong::ask(broken));
    }
    let revision = visit.number("revision", "the revision")?.unwrap_or(seen.sheet.build.revision);
    let value = |place: &str, text: &str, unit: &str| Change {
        place: place.to_owned(),
        value: Some(format!("\"{text} {unit}\"")),
        was: seen.sheet.value(place).map(str::to_owned),
    };
    let places = [
        ("speed", "build.duty.speed", "rpm"),
        ("boost", "build.duty.boost", "bar"),
        ("clearance", "spec.side_clearance.target", "um"),
        ("step", "spec.step.target", "um"),
    ];
    let now = seen.sheet.file.build.as_ref().ok().map(|build| four(build));
    // What was shown when the figures were moved, where the form says so.
    let shown = |name: &str| match visit.field(&format!("now_{name}")) {
        "" => now.as_ref().and_then(|n| n.iter().find(|f| f.name == name)).map(|f| trimmed(f.now)),
        text => Some(text.to_owned()),
    };
    let changes: Vec<Change> = places
        .iter()
        .filter(|(name, ..)| {
            let text = visit.field(name);
            // A figure that was not moved stays as it is, whatever it became meanwhile.
            !text.is_empty() && shown(name).is_none_or(|shown| shown != text)
        })
        .map(|(name, place, unit)| value(place, visit.field(name), unit))
        .collect();
    for (name, place, _) in places {
        let moved = changes.iter().any(|change| change.place == place);
        let is =
            now.as_ref().and_then(|n| n.iter().find(|f| f.name == name)).map(|f| trimmed(f.now));
        if moved && is.is_some() && is != shown(name) {
            return Err(Wrong::Stands {
                place: place.to_owned(),
                yours: visit.field(name).to_owned(),
                theirs: is.unwrap_or_default(),
            });
        }
    }
    if visit.field("sure") != "yes" {
        return Ok(sure(&seen, revision, &changes));
    }
    let of = InRevision { build: seen.sheet.build.id, revision };
    change(visit.shop(), of, &changes, (visit.who()?, &visit.now), seen.first)?;
    Ok(back(seen.sheet.build.id, Stage::Clearances))
}
