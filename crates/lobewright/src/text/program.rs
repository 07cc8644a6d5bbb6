//! Machining programs as text: the set-up list that is signed at the machine, and what a command
//! says of the files it wrote.

use super::page::{Page, alone};
use crate::ops::program::{CAUTION, FaceProgram, Programs, SetUp, minutes, set_up};
use kernel::units::System;

/// A line to write on.
const BLANK: &str = "____________";

/// The set-up list of a program, to be printed and signed.
pub(crate) fn set_up_list(programs: &Programs, program: &FaceProgram) -> String {
    let list = set_up(&programs.build, &programs.machine, program);
    let mut page = Page { text: String::new(), first: System::Metric };
    let SetUp { title, of, lines, foretold } = &list;
    page.line(title);
    of.iter().for_each(|said| page.say(0, said));
    page.line("");
    page.say(0, "Each line is done at the machine and signed before the next one.");
    for (number, line) in (1..).zip(lines) {
        page.line("");
        page.say(2, &format!("{number}. {}", line.what));
        for read in &line.read {
            page.line(&format!("      {read:<14}{BLANK}"));
        }
        page.line(&format!("      {:<14}{BLANK}", "signed"));
    }
    page.line("");
    page.rule();
    page.line("Foretold:");
    foretold.iter().for_each(|said| page.say(2, said));
    page.line("");
    page.say(0, CAUTION);
    page.line("");
    page.line(&format!("Machined by {BLANK}{BLANK} on {BLANK}"));
    page.text
}

/// What was made, a few lines for each program. `names` are the files of each.
pub(crate) fn summary(programs: &Programs, names: &[[String; 2]], first: System) -> String {
    let mut page = Page { text: String::new(), first };
    let amount = |length| alone(length, first);
    for (program, [nc, list]) in programs.made.iter().zip(names) {
        let report = program.checked.report();
        page.line(nc);
        page.say(
            2,
            &format!(
                "rotor {}, {} face up, on {}: {} lines, {} of cutting, {} with all moves",
                program.serial,
                program.face.name(),
                programs.machine.name,
                report.lines,
                minutes(report.cutting),
                minutes(report.moving)
            ),
        );
        let [low, high] = report.off_plan.map(|off| format!("{:+.1}", off.to_um() + 0.0));
        page.say(
            2,
            &format!(
                "checked at {} nodes: {low} to {high} \u{b5}m off the plan, deepest pass {}",
                report.nodes,
                amount(report.deepest_pass)
            ),
        );
        page.line(list);
    }
    for (serial, face) in &programs.nothing_to_cut {
        page.say(0, &format!("Rotor {serial}, {} face: nothing to cut, no program.", face.name()));
    }
    if !programs.made.is_empty() {
        page.line("");
        page.say(0, "Sign every line of a set-up list before its program cuts.");
    }
    page.text
}
