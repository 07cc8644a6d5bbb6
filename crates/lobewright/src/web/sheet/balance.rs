//! The part of a sheet about balance.

use super::super::frame::{due_mark, wide};
use super::cutting::{papers, verdict};
use super::{Seen, pictures};
use crate::ops::BalanceReport;
use crate::text;
use kernel::readings::Verdict;
use maud::{Markup, html};
use records::WorkKind;

pub(super) fn balance(seen: &Seen<'_>) -> Markup {
    let sheet = &seen.sheet;
    html! {
        @if seen.open() {
            p.row.not-on-paper {
                a.button.quiet href=(seen.at("values/balance")) { "Enter what the machine shows" }
                a.button.quiet href=(seen.at("values/shaft")) { "The shaft and what turns with it" }
            }
        }
        @match &sheet.balance {
            None => p { "Masses, bob weights and counterweights are worked out from the plan." },
            Some(Err(error)) => p { (error) "." },
            Some(Ok(report)) => {
                @let none_taken = report.rotors.iter().all(|rotor| rotor.take.is_empty());
                dl {
                    dt { "What it rests on" } dd { (report.basis.words()) }
                    dt { "The shaft with all that turns with it" } dd { (said(report.verdict(), report.is_measured())) }
                    dt { "Rotors of the set to each other" } dd { (said(report.set_verdict, none_taken)) }
                    @if let Some(rotors) = report.rotors_verdict() { dt { "Rotors about their own bores" } dd { (said(rotors, none_taken)) } }
                }
                (to_do(seen, report))
                @for warning in &report.warnings { p.told { span { "Mind: " (warning) "." } } }
                (pictures::shown(seen, &pictures::of_balance(seen), &["vectors", "counterweight", "sensor", "trials"]))
                p.not-on-paper { a.button.quiet href=(seen.at("balance-in-full")) { "In full, in the order of the work at the machine" } }
                @if seen.open() {
                    form.bare.not-on-paper method="post" action=(seen.at("balance-runs")) { button.quiet type="submit" { "Make the balance sheet" } }
                }
            }
        }
        (papers(seen, "Balance sheets", sheet.works(WorkKind::BalanceRun)))
        p.hint { "A shaft that spins throws what is loose: guard closed, bob weights and slugs locked, nobody in \
                  the plane of rotation. Spin again after correction." }
    }
}

/// A verdict on what is there, or on what is planned: of a plan it is not said that it conforms.
fn said(of: Verdict, as_it_is: bool) -> Markup {
    match (of, as_it_is) {
        (Verdict::Conforms, false) => html! { (due_mark()) "planned to conform" },
        _ => verdict(of),
    }
}

/// What is to be done to each counterweight.
fn to_do(seen: &Seen<'_>, report: &BalanceReport) -> Markup {
    html! {
        (wide("What is to be done", html! {
            table {
                caption { "Counterweights" }
                thead { tr { th scope="col" { "Plane" } th.n scope="col" { "Found" } th.n scope="col" { "May be left" }
                    th scope="col" { "To do" } th.n scope="col" { "Then left" } } }
                tbody { @for plane in &report.planes {
                    tr { th scope="row" { (plane.name) }
                        td.n { (text::balance::shown(plane.found_kg_m.norm(), seen.first)) }
                        td.n { (text::balance::shown(plane.permitted_kg_m, seen.first)) }
                        td.todo { @match (&plane.done, plane.withheld) {
                            (_, Some(why)) => (why),
                            (None, None) => "no places are entered where metal may come off",
                            (Some(done), None) if done.is_empty() => "nothing",
                            (Some(done), None) => { (done.len()) @if done.len() == 1 { " operation" } @else { " operations" } ", see in full" },
                        } }
                        td.n { (text::balance::shown(plane.left_kg_m.norm(), seen.first)) } }
                } }
            }
        }))
    }
}
