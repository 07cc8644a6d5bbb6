//! What is to be done, as a table for the machine: lengths in both systems, one under the other.

use super::{CorrectionPlace, CounterweightFace, Work};
use crate::number::size;
use crate::polar::degrees;
use crate::scale::{figure, telling};
use crate::sheet::{Anchor, MARGIN, Sheet, WIDTH};
use crate::text::{Type, printable, wrap};
use kernel::units::{Length, System};

/// Right ends of the columns: number, the two angles, radius, diameter, the two depths, grams.
const NUMBER: f64 = MARGIN + 34.0;
const WORDS: f64 = NUMBER + 12.0;
const ROOM: f64 = 222.0;
const ENDS: [f64; 7] = [362.0, 446.0, 510.0, 582.0, 652.0, 722.0, WIDTH - MARGIN];
const LINE: f64 = 18.0;
/// Between two columns.
const BETWEEN: f64 = 8.0;
/// Said where a figure is not known or does not apply.
const NONE: &str = "\u{2212}";

/// Heads of the columns, bottom line last.
const HEADS: [[&str; 3]; 7] = [
    ["from", "throw of", "rotor 1"],
    ["on the", "machine's", "scale"],
    ["", "", "radius"],
    ["", "", "diameter"],
    ["depth", "at full", "diameter"],
    ["depth", "to the", "point"],
    ["", "", "mass"],
];

/// A length in both systems, the first line in the one that stands first.
fn both(mm: f64, system: System) -> [String; 2] {
    let (metric, inch) = (figure(mm, 2), figure(Length::mm(mm).to_inch(), 3));
    match system {
        System::Metric => [metric, format!("({inch})")],
        System::Inch => [inch, format!("({metric})")],
    }
}

impl CorrectionPlace {
    fn words(&self, work: &Work) -> String {
        let place = format!("Place {}, {}", self.number, self.kind.words());
        if work.text.is_empty() { place } else { format!("{place}: {}", work.text) }
    }

    /// What is to be done here, as a sentence.
    pub(super) fn sentence(&self, work: &Work, system: System) -> String {
        let length = |name: &str, mm: Option<f64>| {
            mm.map_or_else(String::new, |mm| format!(", {name} {}", size(Length::mm(mm), system)))
        };
        let machine = work.machine_deg.map_or_else(String::new, |deg| {
            format!(", {}\u{b0} on the machine's scale", degrees(deg))
        });
        format!(
            "{}: {}; at {}\u{b0}{machine}{}{}{}{}, {} g.",
            work.number,
            self.words(work),
            degrees(self.angle_deg),
            length("radius", Some(self.radius_mm)),
            length("diameter", work.diameter_mm),
            length("depth at full diameter", work.depth_mm),
            length("depth to the point", work.point_depth_mm),
            telling(work.mass_g),
        )
    }

    /// Lines of each column.
    fn cells(&self, work: &Work, system: System) -> [Vec<String>; 7] {
        let none = || vec![NONE.to_owned()];
        let length = |mm: Option<f64>| mm.map_or_else(none, |mm| both(mm, system).to_vec());
        let angle = |deg: f64| vec![degrees(deg) + "\u{b0}"];
        [
            angle(self.angle_deg),
            work.machine_deg.map_or_else(none, angle),
            length(Some(self.radius_mm)),
            length(work.diameter_mm),
            length(work.depth_mm),
            length(work.point_depth_mm),
            vec![telling(work.mass_g) + " g"],
        ]
    }
}

impl CounterweightFace {
    /// Draws it with its heads from the base line `y` on; the base line after it.
    pub(super) fn draw_work(&self, sheet: &mut Sheet, y: f64, system: System) -> f64 {
        let works = self.works();
        if works.is_empty() {
            return sheet.block(MARGIN, y, Type::Strong, WIDTH - 2.0 * MARGIN, &self.count());
        }
        let base = y + 2.0 * LINE;
        sheet.text(NUMBER, base, Type::Strong, Anchor::End, "no.");
        let units = match system {
            System::Metric => "Lengths: mm (in).",
            System::Inch => "Lengths: in (mm).",
        };
        sheet.text(WORDS, base - LINE, Type::Strong, Anchor::Start, "what");
        sheet.text(WORDS, base, Type::Small, Anchor::Start, units);
        for (head, end) in HEADS.into_iter().zip(ENDS) {
            for (n, line) in head.into_iter().enumerate().filter(|(_, line)| !line.is_empty()) {
                let y = y + LINE * n as f64;
                sheet.text(end, y, Type::Small, Anchor::End, line);
            }
        }
        let mut top = base + 8.0;
        for (place, work) in works {
            sheet.line((MARGIN, top), (WIDTH - MARGIN, top), "faint");
            top = draw_row(sheet, top, place, work, system);
        }
        sheet.line((MARGIN, top), (WIDTH - MARGIN, top), "faint");
        top + 24.0
    }
}

/// A row from its upper line on; its lower line.
fn draw_row(
    sheet: &mut Sheet,
    top: f64,
    place: &CorrectionPlace,
    work: &Work,
    system: System,
) -> f64 {
    let number = wrap(&work.number.to_string(), Type::Strong, NUMBER - MARGIN);
    let mut most = number.len();
    for (n, line) in number.iter().enumerate() {
        sheet.text(NUMBER, top + LINE * (n + 1) as f64, Type::Strong, Anchor::End, line);
    }
    let words = wrap(&printable(&place.words(work)), Type::Small, ROOM);
    most = most.max(words.len());
    for (n, line) in words.iter().enumerate() {
        sheet.text(WORDS, top + LINE * (n + 1) as f64, Type::Small, Anchor::Start, line);
    }
    let mut left = WORDS + ROOM;
    for (cell, end) in place.cells(work, system).into_iter().zip(ENDS) {
        let lines: Vec<String> = cell
            .into_iter()
            .flat_map(|line| wrap(&line, Type::Small, end - left - BETWEEN))
            .collect();
        most = most.max(lines.len());
        for (n, line) in lines.iter().enumerate() {
            sheet.text(end, top + LINE * (n + 1) as f64, Type::Small, Anchor::End, line);
        }
        left = end;
    }
    top + LINE * most as f64 + 7.0
}
