//! A bar of a round length, for drawings to scale.

use crate::number::{coordinate, round_down};
use crate::scale::figure;
use crate::sheet::{Anchor, MARGIN, Sheet};
use crate::text::Type;
use kernel::units::{Length, System};

/// No longer than this on the sheet.
const LONGEST: f64 = 150.0;

/// Draws it at the left margin, its line at `y`.
pub(crate) fn draw(sheet: &mut Sheet, per_m: f64, y: f64, system: System) {
    let unit = match system {
        System::Metric => Length::mm(1.0),
        System::Inch => Length::inch(1.0),
    };
    let length = unit * round_down(LONGEST / per_m / unit.to_m());
    let (left, right) = (MARGIN, MARGIN + length.to_m() * per_m);
    sheet.line((left, y), (right, y), "edge");
    for x in [left, right] {
        sheet.line((x, y - 6.0), (x, y + 6.0), "edge");
    }
    let words = match system {
        System::Metric => {
            format!("{} mm ({} in)", coordinate(length.to_mm()), figure(length.to_inch(), 2))
        }
        System::Inch => {
            format!("{} in ({} mm)", coordinate(length.to_inch()), figure(length.to_mm(), 1))
        }
    };
    sheet.text(left, y - 11.0, Type::Small, Anchor::Start, &words);
}
