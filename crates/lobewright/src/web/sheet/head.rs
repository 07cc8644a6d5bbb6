//! The head of a sheet, and its first part: what came in, which parts it is, what earlier teardowns
//! found on them, photos.

use super::super::fields::{Field, choice, file_form, form};
use super::super::figures::moment;
use super::super::frame::{due_mark, stopped_mark, wide};
use super::super::reply::Reply;
use super::super::visit::Visit;
use super::super::wrong::Wrong;
use super::{Seen, back, gathered};
use crate::ops::sheet::{Fitting, fit, hand_over, settle, take_out};
use maud::{Markup, html};
use records::{
    AttachedTo, BuildId, Contact, FittedId, GearFace, NewAttachment, NewFinding, PartId, PartKind,
    Stage,
};

pub(super) fn head(seen: &Seen<'_>) -> Markup {
    let sheet = &seen.sheet;
    let build = &sheet.build;
    let people: Vec<(String, String)> = std::iter::once((String::new(), "Nobody".to_owned()))
        .chain(sheet.people.iter().map(|(id, name)| (id.to_string(), name.clone())))
        .collect();
    let mut people = people;
    people[1..].sort_by(|a, b| a.1.cmp(&b.1));
    html! {
        @if !build.open {
            p.told.good-told { "Signed. It changes only by a new revision, which shows what changed."
                " " a href="#sign-off" { "To the signatures" } }
        } @else if build.revision > 1 {
            p.told { (due_mark()) span { "Revision " (build.revision) ", opened by an amendment; not signed yet." } }
        }
        dl {
            dt { "Customer" } dd { (sheet.customer.as_deref().unwrap_or("nobody yet")) }
            dt { "Engine" } dd { (sheet.engine.as_deref().unwrap_or("of its own file")) }
            dt { "Spec" } dd { @match &sheet.spec {
                Some((name, version)) => { (name) ", version " (version) }
                None => "of its own file",
            } }
            @for (key, label) in [("speed", "Speed"), ("boost", "Boost"), ("running", "Running")] {
                @if let Some(value) = sheet.value(&format!("build.duty.{key}")) {
                    dt { (label) } dd { (value.trim_matches('"')) }
                }
            }
            dt { "Wanted by" } dd { @match &build.due.by { Some(by) => (by), None => "no day said" } }
            dt { "Who has it" } dd { (sheet.holder.as_deref().unwrap_or("nobody")) }
            dt { "Begun" } dd { (moment(&build.at)) " by " (sheet.name_of(build.person)) ", build " (build.id) }
        }
        @for gauge in sheet.overdue() {
            p.told { (stopped_mark()) span { "Readings of this build were taken with " (gauge.name)
                ", whose calibration is overdue." } }
        }
        @if build.open {
            details.not-on-paper {
                summary { "Who has it, and by when it is wanted" }
                (form(&seen.at("head"), "Write it down", html! {
                    (choice("holder", "Who has it", &people,
                        &build.due.holder.map(|id| id.to_string()).unwrap_or_default()))
                    (Field::day("by", "Wanted by")
                        .value(build.due.by.as_ref().map(ToString::to_string).unwrap_or_default()))
                }))
            }
        }
    }
}

pub(super) fn change_head(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let id = visit.id::<BuildId>("build")?;
    let holder = visit.id_field("holder", "Who has it")?;
    let by = visit.day("by", "Wanted by")?;
    hand_over(visit.shop(), id, by, holder)?;
    Ok(Reply::see(format!("/builds/{id}")))
}

/// What may be entered next, with what it is called.
const KINDS: [(PartKind, &str); 7] = [
    (PartKind::Rotor, "rotor"),
    (PartKind::RotorHousing, "rotor housing"),
    (PartKind::SideHousing, "side housing"),
    (PartKind::Shaft, "shaft"),
    (PartKind::StationaryGear, "stationary gear, with its main bearing"),
    (PartKind::Bearing, "rotor bearing"),
    (PartKind::SealsSet, "seals set"),
];

/// The first part; `back` is what is said of the engine that came back.
pub(super) fn teardown(seen: &Seen<'_>, back: &Markup) -> Markup {
    let sheet = &seen.sheet;
    html! {
        @if sheet.parts.is_empty() {
            p { "No part is entered yet. Mark every part before it leaves the bench, and enter it here \
                 from the front of the engine to the rear." }
        } @else {
            (wide("Parts of this build", html! {
                table {
                    thead { tr { th scope="col" { "Part" } th scope="col" { "Serial" }
                        th.n scope="col" { "From the front" } th scope="col" { "Gear face" }
                        th scope="col" { "Entered" } th.not-on-paper scope="col" { "Change" } } }
                    tbody { @for part in &sheet.parts { (part_row(seen, part)) } }
                }
            }))
            p.not-on-paper { a.button.quiet href=(seen.at("labels")) { "Labels for bags and tags" } }
        }
        @if seen.open() && lacks_parts(seen) {
            p.not-on-paper { a.button.quiet href=(format!("/shelf/choose?build={}", seen.sheet.build.id)) { "Choose rotors and housings from the shelf" } }
        }
        @if seen.open() { (enter_part(seen)) }
        (found_before(seen))
        (back)
        @if !sheet.left.is_empty() {
            h3 { "Parts that left this build" }
            ul { @for part in &sheet.left {
                li { (part.kind) " " (part.serial)
                    @if let Some((why, _, person, at)) = &part.out {
                        ", " (why.word()) " " (moment(at)) " by " (sheet.name_of(*person)) }
                }
            } }
        }
        h3 { "Photos and documents" }
        @if sheet.attachments.is_empty() { p { "None yet." } }
        ul.photos {
            @for file in &sheet.attachments {
                li {
                    a href=(format!("/attachments/{}", file.id)) {
                        @if file.media_type.word().starts_with("image/") {
                            img src=(format!("/attachments/{}", file.id)) alt=(file.name) loading="lazy";
                        }
                        span { (file.name) }
                    }
                    p.hint { (moment(&file.at)) " by " (sheet.name_of(file.person)) }
                }
            }
        }
        details.not-on-paper {
            summary { "Attach a photo or a document" }
            (file_form(&seen.at("photos"), "Attach it", html! {
                div.field { label for="f-photo" { "PNG, JPEG, WebP or PDF, at most 16 MiB" }
                    input id="f-photo" type="file" name="photo" accept="image/png,image/jpeg,image/webp,application/pdf"; }
            }))
        }
        @if !seen.open() { (tear_down(seen)) }
    }
}

fn part_row(seen: &Seen<'_>, part: &crate::ops::sheet::PartSheet) -> Markup {
    let fitted = &part.fitted;
    html! {
        tr {
            td { (fitted.kind) }
            th scope="row" { a href=(format!("/shelf/{}", fitted.part)) { (fitted.serial) } }
            td.n { (fitted.position) }
            td.who { @if let Some(face) = fitted.gear_face { "to the " (face.word()) } }
            td.who { (moment(&fitted.at)) " by " (seen.sheet.name_of(fitted.person)) }
            td.not-on-paper {
                @if let Some((why, _, person, at)) = &fitted.out {
                    (why.word()) ", " (moment(at)) " by " (seen.sheet.name_of(*person))
                } @else {
                    form.bare method="post" action=(seen.at(&format!("parts/{}/out", fitted.id))) {
                        button.quiet type="submit" {
                            @if seen.open() { "Take out" } @else { "Torn down" }
                            span.unseen { " " (fitted.kind) " " (fitted.serial) }
                        }
                    }
                }
            }
        }
    }
}

/// Whether a rotor or a rotor housing is wanted.
fn lacks_parts(seen: &Seen<'_>) -> bool {
    let rotors = seen.sheet.rotors.unwrap_or(0);
    let kinds = [PartKind::Rotor, PartKind::RotorHousing];
    kinds.iter().any(|kind| seen.sheet.of_kind(*kind).count() < rotors)
}

fn enter_part(seen: &Seen<'_>) -> Markup {
    let rotors = seen.sheet.rotors.unwrap_or(0);
    let next = KINDS.iter().find(|(kind, _)| {
        let most = match kind {
            PartKind::Rotor | PartKind::RotorHousing => rotors,
            PartKind::SideHousing => rotors + 1,
            _ => 1,
        };
        seen.sheet.of_kind(*kind).count() < most
    });
    let kinds: Vec<(String, String)> =
        KINDS.iter().map(|(kind, name)| (kind.word().to_owned(), (*name).to_owned())).collect();
    let instead: Vec<(String, String)> =
        std::iter::once((String::new(), "nothing: it is the next from the front".to_owned()))
            .chain(seen.sheet.parts.iter().map(|part| {
                let fitted = &part.fitted;
                (fitted.id.to_string(), format!("{} {}", fitted.kind, fitted.serial))
            }))
            .collect();
    html! {
        details.not-on-paper open[seen.sheet.parts.len() < 2 * rotors] {
            summary { "Enter a part" }
            (form(&seen.at("parts"), "Enter it", html! {
                (choice("kind", "What it is", &kinds, next.map_or("rotor", |(kind, _)| kind.word())))
                (Field::text("serial", "Its serial, as it is marked").needed())
                (choice("gear_face", "Of a rotor: its gear face looks to the",
                    &[("rear".to_owned(), "rear".to_owned()), ("front".to_owned(), "front".to_owned())], "rear"))
                (Field::text("clamp_up", "Of a rotor housing that is read loose: how much it shortens when clamped")
                    .hint("Such as 30 um. Empty: it is read under its tension bolts."))
                (Field::text("clamp_up_u", "Standard uncertainty of that").hint("Such as 5 um"))
                (choice("instead", "In the place of", &instead, ""))
            }))
        }
    }
}

/// What was found on its parts in earlier engines, beside the new build.
fn found_before(seen: &Seen<'_>) -> Markup {
    let with: Vec<_> = seen.sheet.parts.iter().filter(|part| !part.found.is_empty()).collect();
    html! {
        @if !with.is_empty() {
            h3 { "What earlier teardowns found on these parts" }
            @for part in with { (findings_table(seen, &format!("{} {}", part.fitted.kind, part.fitted.serial), &part.found)) }
        }
        @if !seen.sheet.findings.is_empty() {
            h3 { "What was found when this engine came apart" }
            (findings_table(seen, "This engine", &seen.sheet.findings))
        }
    }
}

fn findings_table(seen: &Seen<'_>, name: &str, findings: &[records::Finding]) -> Markup {
    wide(
        name,
        html! {
            table {
                caption { (name) }
                thead { tr { th scope="col" { "On" } th scope="col" { "Where" } th scope="col" { "Contact" } th scope="col" { "After" }
                    th scope="col" { "Note" } th scope="col" { "Build" } th scope="col" { "When" } } }
                tbody { @for finding in findings {
                    tr { td { (on(seen, finding)) } td { (finding.place) }
                        td { @if finding.contact == Contact::Seen { (stopped_mark()) } (finding.contact.word()) }
                        td { (finding.running.as_deref().unwrap_or("")) }
                        td { (finding.note) }
                        td { a href=(format!("/builds/{}", finding.build)) { (finding.build) } }
                        td { (moment(&finding.at)) } }
                } }
            }
        },
    )
}

/// The part that something was found on.
fn on(seen: &Seen<'_>, finding: &records::Finding) -> String {
    let of = seen.sheet.parts.iter().map(|part| &part.fitted).chain(&seen.sheet.left);
    let part = of.into_iter().find(|fitted| Some(fitted.part) == finding.part);
    part.map_or_else(
        || "the engine".to_owned(),
        |fitted| format!("{} {}", fitted.kind, fitted.serial),
    )
}

/// A signed engine came back: what is seen is written down, then its parts are free again.
fn tear_down(seen: &Seen<'_>) -> Markup {
    let parts: Vec<(String, String)> =
        std::iter::once((String::new(), "the engine as a whole".to_owned()))
            .chain(seen.sheet.parts.iter().map(|part| {
                let fitted = &part.fitted;
                (fitted.part.to_string(), format!("{} {}", fitted.kind, fitted.serial))
            }))
            .collect();
    let contacts: Vec<(String, String)> = [Contact::NotLookedAt, Contact::NotSeen, Contact::Seen]
        .map(|contact| (contact.word().to_owned(), contact.word().to_owned()))
        .to_vec();
    html! {
        details.not-on-paper {
            summary { "It came apart again: write down what is seen" }
            (form(&seen.at("findings"), "Write it down", html! {
                (choice("part", "On", &parts, ""))
                (Field::text("place", "Where").needed().hint("Such as: gear face, tip 1"))
                (choice("contact", "Contact", &contacts, ""))
                (Field::text("running", "After how long").hint("Such as 12 h"))
                (Field::lines("note", "What else is seen", 3))
            }))
        }
    }
}

pub(super) fn fit_part(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let build = visit.id::<BuildId>("build")?;
    let kind = PartKind::ALL
        .iter()
        .copied()
        .find(|kind| kind.word() == visit.field("kind"))
        .ok_or_else(|| Wrong::ask("choose what the part is"))?;
    let clamp_up = match (visit.field("clamp_up"), visit.field("clamp_up_u")) {
        ("", "") => None,
        (by, u) if !by.is_empty() && !u.is_empty() => Some([by, u]),
        _ => return Err(Wrong::ask("give the clamp-up and its uncertainty together, or neither")),
    };
    let new = Fitting {
        build,
        kind,
        serial: visit.needed("serial", "Its serial")?,
        gear_face: match visit.field("gear_face") {
            "front" => Some(GearFace::Front),
            _ => Some(GearFace::Rear),
        },
        clamp_up: clamp_up.filter(|_| kind == PartKind::RotorHousing),
        instead: visit.id_field("instead", "In the place of")?,
    };
    fit(visit.shop(), &new, (visit.who()?, &visit.now), visit.first())?;
    Ok(back(build, Stage::Teardown))
}

pub(super) fn out(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let build = visit.id::<BuildId>("build")?;
    let fitted = visit.id::<FittedId>("fitted")?;
    take_out(visit.shop(), build, fitted, (visit.who()?, &visit.now), visit.first())?;
    Ok(back(build, Stage::Teardown))
}

pub(super) fn photo(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let build = visit.id::<BuildId>("build")?;
    let Some(file) = visit.brought.files.iter().find(|file| file.field == "photo") else {
        return Err(Wrong::ask("no file was chosen; choose one and send it again"));
    };
    visit.shop().attach(&NewAttachment {
        to: AttachedTo::Build(build),
        station: None,
        name: &file.name,
        bytes: &file.bytes,
        person: visit.who()?,
        at: &visit.now,
    })?;
    Ok(back(build, Stage::Teardown))
}

pub(super) fn find(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let seen = gathered(visit)?;
    let build = seen.sheet.build.id;
    let contact = Contact::ALL
        .iter()
        .copied()
        .find(|contact| contact.word() == visit.field("contact"))
        .ok_or_else(|| Wrong::ask("say whether contact was seen"))?;
    let part = visit.id_field::<PartId>("part", "On")?;
    let was_in = |id| {
        let here = seen.sheet.parts.iter().map(|part| part.fitted.part);
        here.chain(seen.sheet.left.iter().map(|left| left.part)).any(|known| known == id)
    };
    if part.is_some_and(|id| !was_in(id)) {
        return Err(Wrong::ask("that part was never in this build; choose one that was"));
    }
    let running = Some(visit.field("running")).filter(|text| !text.is_empty());
    visit.shop().add_finding(&NewFinding {
        build,
        part,
        place: visit.needed("place", "Where")?,
        contact,
        running,
        note: visit.field("note"),
        person: visit.who()?,
        at: &visit.now,
    })?;
    settle(visit.shop(), build, &visit.today())?;
    Ok(back(build, Stage::Teardown))
}
