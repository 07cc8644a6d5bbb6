//! What came out of a damaged shop's file, as a page.

use super::page::Page;
use crate::ops::{BuildOut, Came, SalvageReport};
use kernel::units::System;
use records::TableOut;

/// Damaged pages and runs of numbers that are told one by one.
const MOST: usize = 40;

/// The report, for the folder and for whoever called.
pub(crate) fn report(report: &SalvageReport, file: &str) -> String {
    let mut page = Page { text: String::new(), first: System::Metric };
    let salvaged = &report.salvaged;
    page.say(0, &format!("What could be read of {file}"));
    page.line("");
    if salvaged.is_whole() {
        page.say(0, &format!("All {} pages can be read, and all rows came out.", salvaged.pages));
    } else {
        for wrong in &salvaged.wrong {
            page.say(0, &format!("The file: {wrong}."));
        }
        page.say(
            0,
            &format!("Of {} pages {} are damaged.", salvaged.pages, salvaged.damaged.len()),
        );
    }
    for damaged in salvaged.damaged.iter().take(MOST) {
        page.say(2, &damaged.to_string());
    }
    more(&mut page, salvaged.damaged.len());
    page.line("");
    page.say(0, "Rows that came out, by table (tables/*.jsonl, a row on each line):");
    for table in &salvaged.tables {
        say_table(&mut page, table);
    }
    if !salvaged.loose.is_empty() {
        page.say(
            0,
            &format!(
                "{} more came out and could not be put in their place; each is in loose.jsonl with \
                 the reason.",
                salvaged.loose.len()
            ),
        );
    }
    page.say(
        0,
        "Sessions and passwords are left out. A number after the last one known cannot be missed.",
    );
    page.line("");
    page.say(0, &format!("Attachments: {} (attachments/)", report.attachments));
    page.line("");
    say_builds(&mut page, report);
    page.line("");
    if report.shop {
        page.say(
            0,
            "Nothing is lost and every record fits: shop.db in the folder is the shop's file, made \
             anew.",
        );
    } else {
        page.say(
            0,
            "Something is lost, so no new shop's file is made of it. Restore the last good backup, \
             and bring in from here the builds that are newer than it (import SHOP BUILD.toml --by \
             NAME). Keep the damaged file.",
        );
    }
    page.text
}

fn more(page: &mut Page, all: usize) {
    if all > MOST {
        page.say(2, &format!("and {} more", all - MOST));
    }
}

fn say_table(page: &mut Page, table: &TableOut) {
    let TableOut { name, rows, missing, changed } = table;
    let lost: i64 =
        missing.iter().map(|(first, last)| last.saturating_sub(*first).saturating_add(1)).sum();
    let mut said = format!("{name}: {rows}");
    if lost > 0 {
        let shown: Vec<String> = missing
            .iter()
            .take(MOST)
            .map(|(a, b)| if a == b { a.to_string() } else { format!("{a} to {b}") })
            .collect();
        let rest = if missing.len() > MOST { " and more" } else { "" };
        said.push_str(&format!("; {lost} missing: {}{rest}", shown.join(", ")));
    }
    if !changed.is_empty() {
        let shown: Vec<String> = changed.iter().take(MOST).map(i64::to_string).collect();
        let rest = if changed.len() > MOST { " and more" } else { "" };
        let shown = shown.join(", ");
        said.push_str(&format!("; not what was written, by its hash: {shown}{rest}"));
    }
    page.say(2, &said);
}

fn say_builds(page: &mut Page, report: &SalvageReport) {
    if let Some(why) = &report.no_builds {
        page.say(0, &format!("No build could be put together: {why}."));
        return;
    }
    page.say(0, "Builds (builds/, each with its build file if it has lines):");
    for built in &report.builds {
        let came = match report.came(built) {
            Came::Whole if built.signatures.1 > 0 => "whole; its signatures fit what came out",
            Came::Whole => "whole",
            Came::InPart => "in part",
            Came::PerhapsWhole => {
                "nothing known to be missing; but nobody signed it as it stands, and lines of some \
                 builds are lost"
            }
        };
        let BuildOut { build, name, missing, .. } = built;
        page.say(2, &format!("{build} {name}: {came}"));
        for what in missing.iter().take(MOST) {
            page.say(6, &format!("missing: {what}"));
        }
        more(page, missing.len());
    }
}
