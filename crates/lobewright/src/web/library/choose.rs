//! A choice from the shelf: which rotors and housings go into which of the builds that wait. Nothing
//! is put into a build before somebody says so.

use crate::build_file::model::Way;
use crate::ops::choice::{
    BuildReport, CAUTION, ChoiceError, ChoiceReport, NoSet, Open, Other, PlaceReport, Put, Said,
    SetReport, ToFit, choose, fit_all, from_shop, that_wait,
};
use crate::ops::phrase::capitalised;
use crate::text::shelf as words;
use crate::web::figures::{amount, size};
use crate::web::frame::{self, due_mark, holds_mark, stopped_mark, wide};
use crate::web::reply::Reply;
use crate::web::rights::Work;
use crate::web::route::{Route, get, post};
use crate::web::visit::Visit;
use crate::web::wrong::Wrong;
use kernel::readings::Verdict;
use kernel::units::{Length, Quantity, System};
use maud::{Markup, html};
use records::{BuildId, GearFace, PartId, PartKind};
use std::time::{Duration, Instant};

pub(super) const ROUTES: &[Route] =
    &[get("/shelf/choose", page).in_turn(), post(Work::Builds, "/shelf/choose", put_in)];

/// How long a search goes on before the page shows what is best by then, and for how long it goes on
/// if somebody asks for more; in seconds.
const USUALLY: u64 = 20;
const LONGER: u64 = 180;
/// The most builds of one choice.
pub(in crate::web) const MOST_BUILDS: usize = 20;

impl From<ChoiceError> for Wrong {
    fn from(error: ChoiceError) -> Self {
        match error {
            ChoiceError::Shop(error) => Self::Shop(error),
            other => Self::ask(other.to_string()),
        }
    }
}

/// What is best after so many seconds at the most.
pub(in crate::web) fn chosen(
    visit: &Visit<'_>,
    builds: &[BuildId],
    seconds: u64,
) -> Result<ChoiceReport, Wrong> {
    if builds.len() > MOST_BUILDS {
        return Err(Wrong::ask(format!(
            "{} builds are too many for one choice; take at most {MOST_BUILDS}",
            builds.len()
        )));
    }
    let (waits, shelf) = from_shop(visit.shop(), builds, &visit.today(), visit.first())?;
    let until = Instant::now() + Duration::from_secs(seconds);
    Ok(choose(&waits, &shelf, visit.first(), &|_| Instant::now() < until)?)
}

fn page(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let asked = visit.brought.query.iter().filter(|(name, _)| name == "build");
    let builds = asked
        .map(|(_, value)| value.trim().parse::<i64>().map(BuildId))
        .collect::<Result<Vec<_>, _>>()
        .map_err(|_| Wrong::ask("a build is named by its number"))?;
    let waiting = that_wait(visit.shop())?;
    if builds.is_empty() {
        return Ok(frame::page(visit, "Choose from the shelf", which(&waiting, &builds)));
    }
    let seconds = if visit.asked("longer").is_empty() { USUALLY } else { LONGER };
    let report = chosen(visit, &builds, seconds)?;
    let body = html! {
        p.crumb { a href="/shelf" { "Parts on the shelf" } }
        h1 { "Chosen from the shelf" }
        (proof(&report, &builds, seconds))
        @for build in &report.builds { (of_build(visit, build)) }
        (fit_form(visit, &report))
        (others(&report))
        @if !report.assumed.is_empty() {
            details { summary { "What was assumed" }
                ul { @for sentence in &report.assumed { li { (sentence) } } } }
        }
        h2 { "Other builds" }
        (which_form(&waiting, &builds))
    };
    Ok(frame::page(visit, "Chosen from the shelf", body))
}

/// Which builds are chosen for.
fn which(waiting: &[Open], builds: &[BuildId]) -> Markup {
    html! {
        p.crumb { a href="/shelf" { "Parts on the shelf" } }
        h1 { "Choose from the shelf" }
        p { "Which rotors and housings of the shelf lose the least metal and differ least in mass, within \
             spec and seals. Several builds are chosen for at once, so that none takes what another needs more." }
        (which_form(waiting, builds))
        p.hint { (CAUTION) }
    }
}

fn which_form(waiting: &[Open], builds: &[BuildId]) -> Markup {
    html! {
        @if waiting.is_empty() {
            p { "No open build lacks a rotor or a housing. " a href="/builds/new" { "Begin a build" }
                " from the engine and the spec of the library; it can be chosen for before any part is in." }
        } @else {
            form method="get" action="/shelf/choose" {
                fieldset {
                    legend { "Builds that lack rotors or housings" }
                    @for open in waiting {
                        label.choice {
                            input type="checkbox" name="build" value=(open.build) checked[builds.contains(&open.build)];
                            span { (open.name) span.hint { " lacks " (lacking(open)) } }
                        }
                    }
                }
                button type="submit" { "Choose" }
            }
        }
    }
}

/// What a build lacks, in words.
pub(in crate::web) fn lacking(open: &Open) -> String {
    let some = |count: usize, one: &str, more: &str| match count {
        0 => None,
        1 => Some(format!("1 {one}")),
        count => Some(format!("{count} {more}")),
    };
    let both = [
        some(open.rotors, "rotor", "rotors"),
        some(open.housings, "rotor housing", "rotor housings"),
    ];
    both.into_iter().flatten().collect::<Vec<_>>().join(" and ")
}

/// How sure it is, and the way on where it was stopped.
fn proof(report: &ChoiceReport, builds: &[BuildId], seconds: u64) -> Markup {
    let mut query = form_urlencoded::Serializer::new(String::new());
    for build in builds {
        query.append_pair("build", &build.to_string());
    }
    let longer = query.append_pair("longer", "yes").finish();
    html! {
        p.headline {
            @if !report.feasible() { (stopped_mark()) } @else if report.proven { (holds_mark()) } @else { (due_mark()) }
            strong { (words::proof(report)) }
        }
        @if let Some(next) = words::next_best(report) { p { (next) } }
        @if report.stopped {
            p { "It was searched for " (seconds) " seconds. "
                @if seconds < LONGER { a.button.quiet href=(format!("/shelf/choose?{longer}")) { "Go on for " (LONGER / 60) " minutes" } }
                @else { "The command " code { "lobewright shelf" } " searches as long as it is let." } }
        }
    }
}

fn of_build(visit: &Visit<'_>, build: &BuildReport) -> Markup {
    let first = visit.first();
    html! {
        h2 { @if let Some(id) = build.id { a href=(format!("/builds/{id}")) { (build.name) } } @else { (build.name) } }
        @if let Some(set) = &build.set { (of_set(set, first)) }
        @if let Some(none) = &build.none { (no_set(none)) }
    }
}

fn of_set(set: &SetReport, first: System) -> Markup {
    let spec = &set.plan.spec;
    let sound = set.plan.feasible && set.plan.rotors.iter().all(|r| r.verdict == Verdict::Conforms);
    html! {
        p { @if sound { (holds_mark()) } @else if set.plan.feasible { (due_mark()) } @else { (stopped_mark()) }
            strong { (capitalised(words::verdict(set))) }
            ", by " (set.plan.spec_name) ": side clearance " (amount(spec.side_clearance.target, first)) " ± "
            (amount(spec.side_clearance.tolerance, first)) ", step " (amount(spec.step.target, first)) " ± " (amount(spec.step.tolerance, first)) "." }
        @for limiting in &set.plan.limiting {
            p.told { (stopped_mark()) span { (limiting.serial.as_deref().unwrap_or("The set")) ": " (limiting.detail) "." } }
        }
        @for mind in &set.mind { p.told { (due_mark()) span { "Mind, " (mind) "." } } }
        (wide("The set", html! {
            table {
                thead { tr { th scope="col" { "Place" } th scope="col" { "Rotor" } th scope="col" { "In housing" }
                    th.n scope="col" { "Side clearance" } th.n scope="col" { "Step" } th.n scope="col" { "Off" } th.n scope="col" { "After" } } }
                tbody { @for (number, place) in (1..).zip(&set.places) {
                    tr { th scope="row" { (number) } td { (put(&place.rotor)) } td { (put(&place.housing)) }
                        td.n { (size(place.side_clearance, first)) } td.n { (amount(place.step, first)) }
                        td.n { (words::grams(place.removed)) }
                        td.n { @if let Some(mass) = place.mass_after { (format!("{:.1} g", mass.to_g())) } } }
                } }
            }
        }))
        p { (words::grams(set.removed)) " comes off"
            @if let Some(mismatch) = set.mismatch { "; the rotors differ by " (words::grams(mismatch)) " after the cut" } "." }
    }
}

fn put(put: &Put) -> Markup {
    html! {
        span { @if let Some(id) = put.id { a href=(format!("/shelf/{id}")) { (put.serial) } } @else { (put.serial) } }
        @if put.is_in { span.hint { " in already" } }
        @if let Some(day) = &put.read { span.hint { " read " (day) } }
    }
}

fn no_set(none: &NoSet) -> Markup {
    html! {
        p.headline { (stopped_mark()) strong { "No set exists. In the way:" } }
        ul { @for limit in &none.limits { li { (capitalised(limit)) "." } } }
        @if !none.cures.is_empty() {
            h3 { "One of these alone would give one" }
            ul { @for cure in &none.cures { li { (capitalised(cure)) "." } } }
        }
    }
}

/// The button that puts the parts into their builds.
fn fit_form(visit: &Visit<'_>, report: &ChoiceReport) -> Markup {
    let fits: Vec<String> = report
        .builds
        .iter()
        .filter_map(|build| Some((build.id?, build.set.as_ref()?)))
        .flat_map(|(id, set)| set.places.iter().flat_map(move |place| to_fit(id, place)))
        .map(|fit| written(&fit))
        .collect();
    html! {
        @if !fits.is_empty() && visit.may(Work::Builds) {
            form method="post" action="/shelf/choose" {
                @for fit in &fits { input type="hidden" name="fit" value=(fit); }
                button type="submit" { "Put these parts into " @if report.builds.len() == 1 { "the build" } @else { "the builds" } }
            }
        } @else if !fits.is_empty() {
            p.hint { "Parts are put into a build by " (Work::Builds.whose()) "." }
        }
        p.hint { (CAUTION) }
    }
}

fn to_fit(build: BuildId, place: &PlaceReport) -> Vec<ToFit> {
    let gear_face = match place.gear_face {
        Way::Front => GearFace::Front,
        Way::Rear => GearFace::Rear,
    };
    let fit = |put: &Put, clamp_up| {
        put.id.filter(|_| !put.is_in).map(|part| ToFit { build, part, gear_face, clamp_up })
    };
    fit(&place.rotor, None).into_iter().chain(fit(&place.housing, place.clamp_up)).collect()
}

/// One part to be put in, as a form carries it.
fn written(fit: &ToFit) -> String {
    let clamp = fit.clamp_up.map(|both| both.map(|length| length.written()).join(" / "));
    format!("{} {} {} {}", fit.build, fit.part, fit.gear_face.word(), clamp.unwrap_or_default())
}

/// The same read back.
fn read(text: &str) -> Option<ToFit> {
    let mut words = text.splitn(4, ' ');
    let build = BuildId(words.next()?.parse().ok()?);
    let part = PartId(words.next()?.parse().ok()?);
    let word = words.next()?;
    let gear_face = GearFace::ALL.iter().copied().find(|face| face.word() == word)?;
    let clamp_up = match words.next().map_or("", str::trim) {
        "" => None,
        both => {
            let (by, u) = both.split_once(" / ")?;
            Some([Length::parse(by).ok()?, Length::parse(u).ok()?])
        }
    };
    Some(ToFit { build, part, gear_face, clamp_up })
}

fn put_in(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let parts: Option<Vec<ToFit>> = visit.fields("fit").map(read).collect();
    let parts = parts.filter(|parts| !parts.is_empty()).ok_or_else(|| {
        Wrong::ask("it was not said which parts go into which build; choose again")
    })?;
    fit_all(visit.shop(), &parts, (visit.who()?, &visit.now), visit.first())
        .map_err(|error| Wrong::NotSo(error.to_string()))?;
    let build = parts[0].build;
    let several = parts.iter().any(|part| part.build != build);
    Ok(Reply::see(if several {
        "/builds?which=open".to_owned()
    } else {
        format!("/builds/{build}#teardown")
    }))
}

/// Every other part, rotors and housings apart.
fn others(report: &ChoiceReport) -> Markup {
    html! {
        @for (kind, head) in [(PartKind::Rotor, "Rotors left over"), (PartKind::RotorHousing, "Housings left over")] {
            @let of: Vec<&Other> = report.others.iter().filter(|other| other.kind == kind).collect();
            @if !of.is_empty() {
                h2 { (head) }
                ul { @for other in of { li {
                    @match &other.said {
                        Said::Costs { .. } | Said::Alone => (holds_mark()),
                        Said::LeftOut { .. } => (due_mark()),
                        Said::Fails { .. } => (stopped_mark()),
                    }
                    // A sentence with a link in it, no list of links.
                    span {
                        @if let Some(id) = other.id { a href=(format!("/shelf/{id}")) { (other.serial) } } @else { (other.serial) }
                        ": " (words::said(&other.said)) "."
                    }
                } } }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_form_carries_comes_back() {
        for clamp_up in [None, Some([Length::um(22.0), Length::um(3.5)])] {
            let fit =
                ToFit { build: BuildId(7), part: PartId(41), gear_face: GearFace::Front, clamp_up };
            assert_eq!(read(&written(&fit)), Some(fit));
        }
        for wrong in ["", "7", "7 41", "7 41 sideways", "x 41 rear", "7 41 rear 22 um"] {
            assert_eq!(read(wrong), None, "{wrong}");
        }
    }
}
