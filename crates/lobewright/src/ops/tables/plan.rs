//! A plan as a table: a row for each figure, with what is held and what is said of it.

use super::TablesError;
use crate::ops::{PlanReport, RotorReport};
use kernel::readings::{Face, TIPS, Tolerance, Verdict};
use kernel::units::{Length, Mass};
use paper::table::{Cell, Column, Table};

const COLUMNS: [Column; 14] = [
    Column::text("rotor"),
    Column::text("housing"),
    Column::text("what"),
    Column::text("face"),
    Column::whole("tip"),
    Column::mm("value_mm"),
    Column::inch("value_in"),
    Column::mm("hold_least_mm"),
    Column::mm("hold_most_mm"),
    Column::inch("hold_least_in"),
    Column::inch("hold_most_in"),
    Column::mm("guard_mm"),
    Column::g("value_g"),
    Column::text("verdict"),
];

/// A row in the making.
#[derive(Debug, Clone, Copy, Default)]
struct Row<'a> {
    what: &'a str,
    face: Option<Face>,
    /// From 1.
    tip: Option<usize>,
    value: Option<Length>,
    hold: Option<Tolerance>,
    guard: Option<Length>,
    mass: Option<Mass>,
    verdict: &'a str,
}

/// The plan of a set; of a rotor without one, what it is.
pub(super) fn table(report: &PlanReport) -> Result<Table, TablesError> {
    let mut table = Table::new("plan", &COLUMNS);
    for rotor in &report.rotors {
        for row in rows(rotor) {
            table.push(cells(rotor, &row))?;
        }
    }
    Ok(table)
}

fn cells(rotor: &RotorReport, row: &Row<'_>) -> Vec<Cell> {
    let mm = |length: Option<Length>| Cell::number(length.map(Length::to_mm));
    let inch = |length: Option<Length>| Cell::number(length.map(Length::to_inch));
    let (least, most) = (row.hold.map(|hold| hold.least), row.hold.map(|hold| hold.most));
    vec![
        Cell::text(&rotor.serial),
        Cell::text(&rotor.housing),
        Cell::text(row.what),
        Cell::text(row.face.map_or("", Face::name)),
        Cell::whole(row.tip.and_then(|tip| i64::try_from(tip).ok())),
        mm(row.value),
        inch(row.value),
        mm(least),
        mm(most),
        inch(least),
        inch(most),
        mm(row.guard),
        Cell::number(row.mass.map(Mass::to_g)),
        Cell::text(row.verdict),
    ]
}

/// What is said of a size: only what was measured conforms.
const fn said(rotor: &RotorReport, verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Conforms if rotor.measured.is_none() && rotor.planned => "planned to conform",
        verdict => verdict.words(),
    }
}

fn rows(rotor: &RotorReport) -> Vec<Row<'static>> {
    let readable = rotor.now.check.suspicions.is_empty();
    let mut rows = Vec::new();
    if !readable {
        rows.push(Row {
            what: "readings",
            verdict: "readings disagree, nothing planned",
            ..Row::default()
        });
        return rows;
    }
    let plan = &rotor.plan;
    let cuts = rotor.planned && !plan.cut.is_nothing();
    if cuts {
        let again = rotor.measured.is_some();
        let (land, tip) = if again {
            ("second land cut", "second cut outside the land")
        } else {
            ("land cut", "cut outside the land")
        };
        for face in Face::BOTH {
            let cut = plan.cut.face(face);
            for (what, values) in [(land, cut.land), (tip, cut.tip)] {
                rows.extend(each(values).map(|(tip, value)| Row {
                    what,
                    face: Some(face),
                    tip: Some(tip),
                    value: Some(value),
                    ..Row::default()
                }));
            }
        }
    }
    // Sizes to hold are those of a rotor that is cut.
    let hold =
        |tolerance: Tolerance| (cuts && tolerance.least < tolerance.most).then_some(tolerance);
    rows.extend(each(plan.finished.land_width()).map(|(tip, value)| Row {
        what: "land width",
        tip: Some(tip),
        value: Some(value),
        hold: hold(rotor.hold.land_width),
        ..Row::default()
    }));
    for face in Face::BOTH {
        rows.extend(each(plan.finished.face(face).step()).map(|(tip, value)| Row {
            what: "step",
            face: Some(face),
            tip: Some(tip),
            value: Some(value),
            hold: hold(rotor.hold.step),
            ..of_size(rotor, Some(face), tip)
        }));
    }
    rows.extend(each(plan.finished.tip_width()).map(|(tip, value)| Row {
        what: "tip width",
        tip: Some(tip),
        value: Some(value),
        ..Row::default()
    }));
    for size in plan.sizes.iter().filter(|size| size.face.is_none()) {
        rows.push(Row {
            what: "side clearance",
            tip: Some(size.tip + 1),
            value: Some(size.size),
            ..of_size(rotor, None, size.tip + 1)
        });
    }
    for (what, value) in
        [("step needed, cold", plan.step_needed), ("step needed, hot", plan.step_needed_hot)]
    {
        rows.push(Row { what, value: Some(value), ..Row::default() });
    }
    if cuts {
        let mass = Some(rotor.removed());
        rows.push(Row { what: "metal removed", mass, ..Row::default() });
    }
    rows.push(Row { what: "rotor", verdict: said(rotor, rotor.verdict), ..Row::default() });
    rows
}

fn each(values: [Length; TIPS]) -> impl Iterator<Item = (usize, Length)> {
    (1..).zip(values)
}

/// Guard and verdict of a size.
fn of_size(rotor: &RotorReport, face: Option<Face>, tip: usize) -> Row<'static> {
    let of = rotor.plan.sizes.iter().find(|size| size.face == face && size.tip + 1 == tip);
    of.map_or_else(Row::default, |size| Row {
        guard: Some(size.guard),
        verdict: said(rotor, size.verdict),
        ..Row::default()
    })
}
