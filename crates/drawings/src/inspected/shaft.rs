//! An eccentric shaft from the side, front at the left, and how its journals are read.

use super::Halves;
use super::count::Direction;
use super::item::ShaftItem;
use super::left;
use crate::counted::Journal;
use crate::gauges::{Point, Section};
use crate::hatch::Hatch;
use crate::places::Area;
use crate::pointer;
use crate::sheet::{Anchor, Sheet, boxed};
use crate::text::Type;

/// Heights on the sheet from the middle line: half a main journal, a rotor journal, a neck; how
/// far a rotor journal is thrown.
const MAIN: f64 = 17.0;
const ROTOR: f64 = 34.0;
const NECK: f64 = 12.0;
const THROW: f64 = 14.0;
/// The middle line, below the part's top.
const AXIS: f64 = 122.0;

#[derive(Clone, Copy, PartialEq, Eq)]
enum Piece {
    Main,
    Rotor,
}

/// Which journals stand in a row.
fn row(item: ShaftItem) -> Vec<Piece> {
    match item {
        ShaftItem::RunOut | ShaftItem::Journals | ShaftItem::Cracks => {
            vec![Piece::Main, Piece::Rotor, Piece::Main, Piece::Rotor, Piece::Main]
        }
        ShaftItem::MainJournal { journal, .. } => {
            let mut all = vec![Piece::Main];
            for _ in 1..journal.of() {
                all.extend([Piece::Rotor, Piece::Main]);
            }
            if journal.of() == 1 {
                all.push(Piece::Rotor);
            }
            all
        }
        ShaftItem::RotorJournal { journal, .. } => {
            let mut all = vec![Piece::Main];
            all.extend(std::iter::repeat_n(Piece::Rotor, journal.of()));
            all.push(Piece::Main);
            all
        }
    }
}

/// An eccentric shaft.
pub(super) fn draw(sheet: &mut Sheet, halves: Halves, item: ShaftItem) {
    let area = halves.part;
    let axis = area.1 + AXIS;
    let row = row(item);
    let placed = draw_row(sheet, area, axis, &row);
    for (x, anchor, end) in [(area.0, Anchor::Start, "front"), (area.2, Anchor::End, "rear")] {
        sheet.text(x, area.1 + 14.0, Type::Plain, anchor, end);
    }
    let mut section = Section::new(sheet, halves.section);
    match item {
        ShaftItem::RunOut => run_out(&mut section),
        ShaftItem::MainJournal { direction, .. } => across(&mut section, direction, "throw 1"),
        ShaftItem::RotorJournal { direction, .. } => across(&mut section, direction, "throw"),
        ShaftItem::Journals => journal_seen(&mut section),
        ShaftItem::Cracks => fillet(&mut section),
    }
    let base = area.3 - 4.0;
    match item {
        ShaftItem::RunOut => {
            let mains: Vec<Point> = of_kind(&row, &placed, Piece::Main);
            if let [first, middle, last] = mains.as_slice() {
                for end in [first, last] {
                    vee(sheet, *end);
                }
                let at = (middle.0, axis - MAIN);
                pointer::ring(sheet, at, 9.0);
                left::word(sheet, (middle.0, area.1 + 30.0), &["run-out"], (at.0, at.1 - 12.0));
            }
        }
        ShaftItem::MainJournal { journal, .. } => {
            let places = of_kind(&row, &placed, Piece::Main);
            counted(sheet, &places, journal, (area.1 + 42.0, axis));
            let Some(at) = places.get(journal.number() - 1) else { return };
            mark(sheet, area, (*at, MAIN), base, "main journal");
        }
        ShaftItem::RotorJournal { journal, .. } => {
            let places = of_kind(&row, &placed, Piece::Rotor);
            counted(sheet, &places, journal, (area.1 + 42.0, axis));
            let Some(at) = places.get(journal.number() - 1) else { return };
            mark(sheet, area, (*at, ROTOR), base, "rotor journal");
        }
        ShaftItem::Journals => {
            for (at, piece) in placed.iter().zip(&row) {
                let half = if *piece == Piece::Main { MAIN } else { ROTOR };
                pointer::ring(sheet, (at.0, at.1 + half), 9.0);
            }
            let middle = placed.get(2).copied().unwrap_or((area.0, axis));
            let to = (middle.0, middle.1 + MAIN + 12.0);
            left::word(sheet, (middle.0, base), &["all journals"], to);
        }
        ShaftItem::Cracks => {
            for at in of_kind(&row, &placed, Piece::Rotor) {
                // Where the neck meets the journal, and the oil hole in the journal.
                pointer::ring(sheet, (at.0 - 21.0, axis + NECK), 7.0);
                let hole = (at.0, at.1 + 12.0 * (at.1 - axis).signum());
                pointer::ring(sheet, hole, 9.0);
                sheet.circle(hole, 3.5, "dot");
            }
            let rotors = of_kind(&row, &placed, Piece::Rotor);
            if let [first, second] = rotors.as_slice() {
                let top = (first.0, first.1 - 24.0);
                left::word(sheet, (first.0, area.1 + 44.0), &["oil holes"], top);
                let to = (second.0 - 21.0, axis + NECK + 10.0);
                left::word(sheet, (second.0 - 30.0, base), &["fillets"], to);
            }
        }
    }
}

fn of_kind(row: &[Piece], placed: &[Point], kind: Piece) -> Vec<Point> {
    row.iter().zip(placed).filter(|(piece, _)| **piece == kind).map(|(_, at)| *at).collect()
}

/// Draws a row of journals; their middles.
fn draw_row(sheet: &mut Sheet, area: Area, axis: f64, row: &[Piece]) -> Vec<Point> {
    let step = (area.2 - area.0 - 36.0) / row.len() as f64;
    let half = (0.5 * step - 3.0).min(20.0);
    let start = area.0 + 18.0;
    let neck = boxed(area.0 + 4.0, axis - NECK, area.2 - area.0 - 8.0, 2.0 * NECK);
    sheet.path(&neck, "metal");
    sheet.path(&neck, "edge");
    let mut rotors = 0_u32;
    let placed: Vec<Point> = row
        .iter()
        .enumerate()
        .map(|(n, piece)| {
            let x = start + step * (n as f64 + 0.5);
            let (y, r) = match piece {
                Piece::Main => (axis, MAIN),
                Piece::Rotor => {
                    rotors += 1;
                    let way = if rotors % 2 == 1 { -1.0 } else { 1.0 };
                    (axis + way * THROW, ROTOR)
                }
            };
            let d = boxed(x - half, y - r, 2.0 * half, 2.0 * r);
            sheet.path(&d, "paper");
            if *piece == Piece::Rotor {
                sheet.hatched(&d, Hatch::Land);
            } else {
                sheet.path(&d, "metal");
            }
            sheet.path(&d, "edge");
            (x, y)
        })
        .collect();
    sheet.line((area.0, axis), (area.2, axis), "axis");
    placed
}

/// Numbers over the journals of a kind.
fn counted(sheet: &mut Sheet, places: &[Point], journal: Journal, (y, axis): (f64, f64)) {
    let apart = places.windows(2).map(|p| p[1].0 - p[0].0).fold(60.0, f64::min);
    let r = (0.5 * apart - 4.0).min(13.0);
    for (n, at) in places.iter().enumerate() {
        let wanted = n + 1 == journal.number();
        sheet.line((at.0, y + r), (at.0, axis - ROTOR - THROW - 3.0), "faint");
        sheet.circle((at.0, y), r, if wanted { "wanted-face" } else { "plain-mark" });
        let set = if wanted { Type::Strong } else { Type::Plain };
        sheet.text(at.0, y + 5.5, set, Anchor::Middle, &(n + 1).to_string());
    }
}

/// Ring, arrow and word under a journal.
fn mark(sheet: &mut Sheet, area: Area, (at, half): (Point, f64), base: f64, words: &str) {
    let to = (at.0, at.1 + half);
    pointer::ring(sheet, to, 9.0);
    let x = 0.5 * (area.0 + area.2);
    let word = crate::text::width(words, Type::Head) * 0.5;
    let x = at.0.clamp(area.0 + word, (area.2 - word).max(area.0 + word)).clamp(area.0, x + 80.0);
    left::word(sheet, (x, base), &[words], (to.0, to.1 + 12.0));
}

/// A V-block under a main journal, seen from the side.
fn vee(sheet: &mut Sheet, (x, y): Point) {
    let d = crate::sheet::outline(
        &[(x - 12.0, y + MAIN), (x + 12.0, y + MAIN), (x + 20.0, y + 74.0), (x - 20.0, y + 74.0)],
        true,
    );
    sheet.path(&d, "plain-mark");
}

/// End view in a V-block, the indicator on top, the shaft turned once.
fn run_out(section: &mut Section<'_>) {
    let (y, r) = (128.0, 36.0);
    let down = r * std::f64::consts::FRAC_1_SQRT_2;
    section.area(
        &[
            (-66.0, y + 4.0),
            (-r * std::f64::consts::SQRT_2 + 4.0, y + 4.0),
            (0.0, y + r * std::f64::consts::SQRT_2),
            (r * std::f64::consts::SQRT_2 - 4.0, y + 4.0),
            (66.0, y + 4.0),
            (66.0, y + 82.0),
            (-66.0, y + 82.0),
        ],
        "plain-mark",
    );
    section.circle((0.0, y), r, "plain-mark");
    section.circle((0.0, y), 3.0, "dot");
    for side in [-1.0, 1.0] {
        section.circle((side * down, y + down), 3.5, "dot");
    }
    let turn = super::tools::arc((0.0, y), 22.0, 200.0, -40.0);
    section.run(&turn, "edge");
    if let [.., before, last] = turn.as_slice() {
        let (from, to) = (section.at(*before), section.at(*last));
        crate::arrow::head(section.sheet, to, (to.0 - from.0, to.1 - from.1));
    }
    section.upright_indicator((0.0, y - r), 60.0);
    section.text((58.0, 38.0), Type::Plain, "full");
    section.text((58.0, 56.0), Type::Plain, "turn:");
    section.text((58.0, 74.0), Type::Plain, "TIR");
    section.text((0.0, 232.0), Type::Plain, "V-blocks under");
    section.text((0.0, 250.0), Type::Plain, "the outer mains");
}

/// A micrometer across a journal seen along the shaft; the throw points along it or square to it.
fn across(section: &mut Section<'_>, direction: Direction, throw: &str) {
    let (y, r) = (112.0, 40.0);
    section.circle((0.0, y), r, "plain-mark");
    let (in_line, across) = direction.ways();
    section.micrometer(r, y, 14.0);
    if in_line && across {
        section.text((0.0, 178.0), Type::Plain, "then turned:");
    }
    // Where the throw points as the micrometer is held.
    if in_line {
        section.arrow((-14.0, y), (26.0, y));
        section.text((0.0, y + 22.0), Type::Plain, throw);
    } else {
        section.arrow((0.0, y + 10.0), (0.0, y - 30.0));
        section.text((0.0, y + 26.0), Type::Plain, throw);
    }
    if in_line && across {
        section.circle((0.0, 214.0), 24.0, "plain-mark");
        section.arrow((0.0, 228.0), (0.0, 196.0));
        for side in [-1.0, 1.0] {
            section.tool((side * 24.0, 208.0), (side * 46.0, 220.0));
            section.touched((side * 24.0, 214.0));
        }
    }
    section.text((0.0, 258.0), Type::Plain, "seen along the shaft");
}

/// A journal from the side and its surface in a lens.
fn journal_seen(section: &mut Section<'_>) {
    let half = [(-44.0, 12.0), (44.0, 12.0), (44.0, 60.0), (-44.0, 60.0)];
    section.area(&half, "metal");
    section.area(&half, "edge");
    section.tool((-84.0, 22.0), (-44.0, 50.0));
    section.tool((44.0, 22.0), (84.0, 50.0));
    section.line((-86.0, 36.0), (86.0, 36.0), "axis");
    section.lens((0.0, 60.0), (0.0, 142.0), scored_round);
}

/// Scores around a journal and a blued band, in a lens.
fn scored_round(section: &mut Section<'_>, (x, y): Point) {
    let band = [(8.0, -44.0), (24.0, -38.0), (24.0, 38.0), (8.0, 44.0)];
    let band: Vec<Point> = band.iter().map(|p| (x + p.0, y + p.1)).collect();
    let d = section.shape(&band);
    section.sheet.hatched(&d, Hatch::Barred);
    section.sheet.path(&d, "bad-edge");
    for (dx, half) in [(-32.0, 30.0), (-24.0, 38.0), (-12.0, 44.0)] {
        section.line((x + dx, y - half), (x + dx, y + half), "edge");
    }
}

/// The fillet between neck and journal, cut along the shaft, with a crack.
fn fillet(section: &mut Section<'_>) {
    section.text((0.0, 14.0), Type::Plain, "fillet");
    let mut all = vec![(-70.0, 26.0), (70.0, 26.0), (70.0, 92.0), (0.0, 92.0), (0.0, 66.0)];
    all.extend(super::tools::arc((-12.0, 66.0), 12.0, 0.0, 90.0));
    all.push((-70.0, 54.0));
    section.cut(&all);
    section.crack((-4.0, 58.0), (14.0, -20.0));
    section.lens((-4.0, 58.0), (0.0, 164.0), super::rotor_cut::bled_crack);
}
