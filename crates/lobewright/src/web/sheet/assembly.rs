//! The assembly sheet on the page: a verdict for each size in the order of assembly, the spacer,
//! the steps of tightening.

use super::super::frame::{due_mark, wide};
use super::Seen;
use super::cutting::verdict;
use crate::ops::phrase::capitalised;
use crate::ops::{ASSEMBLY_CAUTIONS, AssemblyReport};
use crate::text;
use kernel::assembly::Said;
use kernel::readings::{EDITION, PROBABILITY};
use maud::{Markup, html};

pub(super) fn sheet(seen: &Seen<'_>) -> Markup {
    let report = seen.sheet.assembly();
    html! {
        @if seen.open() {
            p.row.not-on-paper { a.button.quiet href=(seen.at("values/assembly")) { "What the engine's record asks at assembly" } }
        }
        (wide("The assembly sheet", lines(&report)))
        @if let Some(spacer) = &report.spacer {
            h3 { "Spacer" }
            p { (capitalised(&spacer.sentence)) "." }
        }
        (tightening(&report))
        @for sentence in report.assumed.sentences() { p.hint { "Assumed: " (sentence) "." } }
        @for caution in &ASSEMBLY_CAUTIONS[..2] { p.told { (due_mark()) span { (caution) } } }
    }
}

fn lines(report: &AssemblyReport) -> Markup {
    html! {
        table {
            caption { "In the order of assembly. Verdicts by " (EDITION) ", " (format!("{:.0}", 100.0 * PROBABILITY)) " % conformance probability" }
            thead { tr { th.n scope="col" { "No." } th scope="col" { "Size" } th scope="col" { "Verdict" }
                th.n scope="col" { "Is" } th.n scope="col" { "Wanted" } th scope="col" { "Gauge, and what to mind" } } }
            tbody { @for line in &report.lines {
                tr {
                    td.n { (line.number) }
                    th.long scope="row" { (capitalised(&line.what)) }
                    td { (said(line.said)) }
                    td.n { @if let Some(measured) = line.measured { (measured.text(report.first)) } }
                    td.n { (line.wanted(report.first)) }
                    td {
                        @if let Some(gauge) = &line.gauge { (gauge) @if !line.note.is_empty() { ": " } }
                        (line.note)
                    }
                }
            } }
        }
    }
}

/// A verdict by shape and word, or why there is none.
fn said(said: Said) -> Markup {
    match said {
        Said::Judged(of) => verdict(of),
        Said::NotRead => html! { (due_mark()) (said.words()) },
        Said::NoLimit => html! { (said.words()) },
    }
}

fn tightening(report: &AssemblyReport) -> Markup {
    html! {
        h3 { "Tightening" }
        @if report.tighten.is_empty() {
            p { "The engine's record does not say how its fasteners are tightened." }
        } @else {
            ol { @for step in &report.tighten { li { (text::assembly::step_text(step, report.first)) } } }
        }
    }
}
