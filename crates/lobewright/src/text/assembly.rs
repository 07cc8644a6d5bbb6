//! The assembly sheet as text, in the order of assembly: each size with its verdict, the spacer,
//! the steps of tightening.

use super::page::Page;
use crate::build_file::model::assembly::Tighten;
use crate::ops::phrase::capitalised;
use crate::ops::{ASSEMBLY_CAUTIONS, AssemblyLine, AssemblyReport, angle_text, torque_text};
use kernel::readings::{EDITION, PROBABILITY};
use kernel::units::System;

pub(crate) fn text(report: &AssemblyReport) -> String {
    let first = report.first;
    let mut page = Page { text: String::new(), first };
    page.line(&format!("Assembly sheet: {}", report.name));
    page.say(
        0,
        &format!(
            "Verdicts by {EDITION}, {:.0} % conformance probability. In the order of assembly \
             (common practice, no source).",
            100.0 * PROBABILITY
        ),
    );
    page.rule();
    for line in &report.lines {
        one(&mut page, line, first);
    }
    if let Some(spacer) = &report.spacer {
        page.line("");
        page.line("Spacer");
        page.say(2, &format!("{}.", capitalised(&spacer.sentence)));
    }
    page.line("");
    page.line("Tightening");
    if report.tighten.is_empty() {
        page.say(2, "The engine's record does not say how its fasteners are tightened.");
    }
    for (number, step) in (1..).zip(&report.tighten) {
        page.say(2, &format!("{number}. {}", step_text(step, first)));
    }
    page.close(report.assumed.sentences(), &ASSEMBLY_CAUTIONS);
    page.text
}

fn one(page: &mut Page, line: &AssemblyLine, first: System) {
    let what = format!("{:>3}  {}", line.number, line.what);
    let said = line.said.words();
    page.verdict(&what, said);
    let mut below = Vec::new();
    if let Some(measured) = line.measured {
        let u = line.uncertainty.map(|u| format!(", u {}", u.text(first))).unwrap_or_default();
        below.push(format!("reads {}{u}", measured.text(first)));
    }
    below.push(match line.wanted(first).as_str() {
        "not given" => "no limit given".to_owned(),
        wanted => format!("wanted {wanted}"),
    });
    below.extend(line.part.as_ref().map(|part| format!("on {part}")));
    below.extend(line.gauge.as_ref().map(|gauge| format!("gauge {gauge}")));
    if !line.note.is_empty() {
        below.push(line.note.clone());
    }
    page.say(5, &below.join("; "));
}

/// A step of tightening in a sentence.
pub(crate) fn step_text(step: &Tighten, first: System) -> String {
    let torque = step.torque.map(|torque| format!("to {}", torque_text(torque, first)));
    let angle = step.angle.map(|angle| format!("by {}", angle_text(angle)));
    let how: Vec<String> = torque.into_iter().chain(angle).collect();
    let note = step.note.as_ref().map(|note| format!(" ({note})")).unwrap_or_default();
    format!("{}: {}{note}", step.fasteners, how.join(", then "))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::build_file::read;
    use crate::ops::assembly;

    const EXAMPLE: &str = include_str!("../../../../examples/shelduck-hydroplane.toml");
    const PLAIN: &str = include_str!("../../../../examples/sprint-boat.toml");

    fn of(file: &str, first: System) -> String {
        text(&assembly(&read(file).unwrap(), first))
    }

    #[test]
    fn the_sheet_says_what_is_read_wanted_and_to_be_done() {
        for first in [System::Metric, System::Inch] {
            let text = of(EXAMPLE, first);
            assert!(text.lines().all(|line| line.chars().count() <= 80), "{text}");
            assert!(text.contains("ISO 14253-1:2017, 95 %"), "{text}");
            assert!(text.contains("put in the spacer of"), "{text}");
            assert!(text.contains("maker and of the shop come first"), "{text}");
        }
        let text = of(EXAMPLE, System::Metric);
        for line in [
            "  1  run-out of the shaft                                     conforms",
            " 22  end play of the shaft                                    does not conform",
            "  3. flywheel nut: to 280.0 N\u{b7}m (206.5 lbf\u{b7}ft), then by 30 deg",
        ] {
            assert!(text.lines().any(|other| other == line), "{line}\n{text}");
        }
    }

    #[test]
    fn what_is_not_given_is_said_to_be_not_given() {
        let text = of(PLAIN, System::Metric);
        assert!(text.contains("no limit given") && text.contains("not read"), "{text}");
        assert!(text.contains("does not say how its fasteners are tightened"), "{text}");
        assert!(!text.contains("Spacer"), "{text}");
    }
}
