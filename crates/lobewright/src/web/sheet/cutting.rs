//! The parts of a sheet about the cut: what to take off, the cut sheets made, and what was measured
//! after it.

use super::super::figures::{amount, moment, size};
use super::super::frame::{due_mark, holds_mark, stopped_mark, wide};
use super::inspection::part_readings;
use super::{Seen, pictures};
use crate::ops::sheet::Fits;
use crate::ops::{PlanReport, RotorReport, phrase};
use crate::text;
use kernel::plan::SizeVerdict;
use kernel::readings::{Face, Verdict};
use kernel::units::{Length, System};
use maud::{Markup, html};
use records::{PartKind, When, WorkKind};

/// A verdict by shape and word.
pub(in super::super) fn verdict(verdict: Verdict) -> Markup {
    html! {
        @match verdict {
            Verdict::Conforms => (holds_mark()),
            Verdict::NotProven => (due_mark()),
            Verdict::DoesNotConform => (stopped_mark()),
        }
        (verdict.words())
    }
}

pub(super) fn cutting(seen: &Seen<'_>) -> Markup {
    let sheet = &seen.sheet;
    let Some(plan) = sheet.cutting_plan() else {
        return html! { p { "The plan is worked out as soon as the readings and the spec are whole." } };
    };
    let sheets = sheet.works(WorkKind::Sheet);
    let plans = sheet.works(WorkKind::Plan);
    html! {
        (plan_head(plan, seen.first))
        (pictures::shown(seen, &pictures::of_cut(seen), &["stock", "side-gap"]))
        @for rotor in &plan.rotors { (rotor_cut(seen, rotor, plan)) }
        @if !plan.assumed.is_empty() {
            h3 { "Assumed, since the build does not say" }
            ul { @for sentence in &plan.assumed { li { (sentence) } } }
        }
        @if seen.open() && plan.feasible {
            @if let Err(why) = sheet.to_cut_by() { p.hint { "No cut sheet and no program: " (why) "." } }
            div.row.not-on-paper {
                @if sheet.to_cut_by().is_ok() {
                    form.bare method="post" action=(seen.at("sheets")) { button type="submit" { "Make the cut sheet" } }
                }
                form.bare method="post" action=(seen.at("plans")) { button.quiet type="submit" { "Keep this plan" } }
            }
        }
        (papers(seen, "Cut sheets", sheets))
        (papers(seen, "Plans kept", plans))
        p.row.not-on-paper {
            a.button.quiet href=(seen.at("plan-in-full")) { "The plan in full" }
            a.button.quiet href=(seen.at("tables/plan.csv")) { "The plan as CSV" }
            a.button.quiet href=(seen.at("tables/tables.xlsx")) { "Plan and readings as a workbook" }
            @if sheet.to_cut_by().is_ok() {
                a.button.quiet href=(seen.at("programs")) { "Machining programs" }
            }
        }
        p.hint { "Iron dust, interrupted cuts and thin walls hurt people and parts: guards closed, the \
                  rotor clamped true to its bore. Figures of tilt and gap are a screening estimate until \
                  calibrated; the shop's rules, local codes and licensed practice come first." }
    }
}

/// What was kept of a kind, with the way to it.
pub(super) fn papers(seen: &Seen<'_>, title: &str, works: &[records::Work]) -> Markup {
    html! {
        @if !works.is_empty() {
            h3 { (title) }
            ul.papers { @for work in works {
                li { a href=(seen.at(&format!("papers/{}/{}", work.kind.word().replace(' ', "-"), work.id))) {
                        (work.title) " " (work.id) }
                    span.hint { " revision " (work.revision) ", " (moment(&work.at)) " by " (seen.sheet.name_of(work.person))
                        @match seen.sheet.fits(work) {
                            Fits::Now => {}
                            Fits::Past => ", of the cut that was measured since",
                            Fits::No => ", of other readings or another spec than those of now",
                        } } }
            } }
        }
    }
}

fn plan_head(plan: &PlanReport, first: System) -> Markup {
    html! {
        p.headline { @if plan.feasible { (holds_mark()) } @else { (stopped_mark()) } strong { (text::plan::headline(plan)) } }
        @for limiting in &plan.limiting {
            p.told { (stopped_mark()) span {
                @match &limiting.serial { Some(serial) => (serial), None => "The set" } ": " (limiting.detail) "." } }
        }
        @for rotor in &plan.rotors { @for warning in &rotor.warnings {
            p.told { (due_mark()) span { "Mind, " (rotor.serial) ": " (warning) "." } }
        } }
        @if !plan.nearby.is_empty() {
            @let out: Vec<&str> = plan.rotors.iter().filter(|rotor| !rotor.planned).map(|rotor| rotor.serial.as_str()).collect();
            @if !out.is_empty() {
                p { strong { "Put another part in the place of " (out.join(", ")) }
                    @if out.len() < plan.rotors.len() { "; the others can be planned." } @else { "." } }
            }
            h3 { "Or a spec that would work, the least change first; whether it is right for the engine is the builder's judgement" }
            ol { @for spec in &plan.nearby {
                li { @for (i, change) in spec.changes.iter().enumerate() {
                    @if i > 0 { " and " }
                    (change.figure.key().replace(['_', '.'], " ")) " " (amount(change.to, first))
                    " instead of " (amount(change.from, first))
                } }
            } }
        }
    }
}

fn rotor_cut(seen: &Seen<'_>, rotor: &RotorReport, plan: &PlanReport) -> Markup {
    let first = seen.first;
    let cut = &rotor.plan.cut;
    html! {
        h3 { (rotor.serial) " in " (rotor.housing) ", gear face to the " (rotor.gear_face.name()) }
        p { (text::plan::said(rotor)) "." }
        @if rotor.planned && !cut.is_nothing() {
            (wide(&format!("What to take off {}", rotor.serial), html! {
                table {
                    caption { "Metal to take off " (rotor.serial) }
                    (tips())
                    tbody { @for face in Face::BOTH {
                        @let of = cut.face(face);
                        @for (area, values) in [("land", of.land), ("outside the land", of.tip)] {
                            tr { th scope="row" { (face.name()) " face, " (area) }
                                @for value in values { td.n { @if value <= Length::ZERO { "as it is" } @else { (amount(value, first)) } } } }
                        }
                    } }
                }
            }))
            p.hint { "Each is counted from that surface as it is now; the two do not add. Every cut is one flat \
                      level square to the bearing bore: it takes more where the face stands higher." }
        }
        @if rotor.now.check.suspicions.is_empty() {
            dl {
                dt { "Land width" } dd { (size(rotor.plan.land_width, first))
                    @if rotor.planned { ", hold " (size(rotor.hold.land_width.least, first)) " to " (size(rotor.hold.land_width.most, first)) } }
                @for face in Face::BOTH {
                    dt { (phrase::capitalised(face.name())) "-face step" } dd {
                        @for (i, step) in rotor.plan.finished.face(face).step().into_iter().enumerate() { @if i > 0 { " · " } (amount(step, first)) }
                        @if rotor.planned && rotor.hold.step.least < rotor.hold.step.most {
                            ", hold " (amount(rotor.hold.step.least, first)) " to " (amount(rotor.hold.step.most, first)) } }
                }
                dt { "Side clearance" } dd { (amount(rotor.plan.side_clearance, first)) ", both sides together; the spec asks for "
                    (amount(plan.spec.side_clearance.target, first)) " ± " (amount(plan.spec.side_clearance.tolerance, first)) }
                dt { "Step needed" } dd { (amount(rotor.plan.step_needed_hot, first)) " for " (phrase::state(rotor.plan.governing))
                    ", " (amount(rotor.plan.step_needed, first)) " cold" }
                @if rotor.planned && !cut.is_nothing() { dt { "Metal removed" } dd { (format!("{:.1} g", rotor.removed().to_g())) } }
            }
            p { (rotor.explained) }
        }
    }
}

fn tips() -> Markup {
    html! { thead { tr { td {} @for tip in 1..=3 { th.n scope="col" { "tip " (tip) } } } } }
}

pub(super) fn re_inspection(seen: &Seen<'_>) -> Markup {
    let sheet = &seen.sheet;
    html! {
        @if sheet.cutting_plan().is_some() || sheet.first_plan.is_some() {
            @for part in sheet.of_kind(PartKind::Rotor) { (part_readings(seen, part, When::After)) }
        } @else {
            p { "The same stations are read again after the cut, against the plan." }
        }
        @if let (Some(_), Some(plan)) = (&sheet.first_plan, sheet.planned()) {
            @for rotor in &plan.rotors { (measured(seen, rotor)) }
            @if plan.rotors.iter().any(|rotor| rotor.measured.is_some() && rotor.planned && !rotor.plan.cut.is_nothing()) {
                h3 { "A second cut" }
                @for rotor in plan.rotors.iter().filter(|rotor| rotor.measured.is_some()) { (rotor_cut(seen, rotor, plan)) }
            }
            @for limiting in &plan.limiting {
                p.told { (stopped_mark()) span { (limiting.serial.as_deref().unwrap_or("The set")) ": " (limiting.detail) "." } }
            }
            (pictures::shown(seen, &pictures::of_after(seen), &["gear-face", "plain-face", "side-gap"]))
        }
    }
}

/// Measured against planned.
fn measured(seen: &Seen<'_>, rotor: &RotorReport) -> Markup {
    let Some(measured) = &rotor.measured else { return html! {} };
    let planned = |size: &SizeVerdict| {
        let planned = measured.planned.as_ref()?;
        let same = planned.sizes.iter().find(|p| p.face == size.face && p.tip == size.tip)?;
        Some(size.size - same.size)
    };
    html! {
        (wide(&format!("{} measured against its plan", rotor.serial), html! {
            table {
                caption { (rotor.serial) " measured against its plan" }
                thead { tr { th scope="col" { "Size" } th.n scope="col" { "Measured" } th.n scope="col" { "Off the plan" }
                    th.n scope="col" { "Guard" } th scope="col" { "Verdict" } } }
                tbody { @for size in &measured.sizes {
                    tr {
                        th scope="row" { @match size.face { None => "side clearance", Some(face) => (format!("{}-face step", face.name())) }
                            " at tip " (size.tip + 1) }
                        td.n { (amount(size.size, seen.first)) }
                        td.n { @if let Some(off) = planned(size) { @if off > Length::ZERO { "+" } (amount(off, seen.first)) } }
                        td.n { (amount(size.guard, seen.first)) }
                        td { (verdict(size.verdict)) }
                    }
                } }
            }
        }))
    }
}
