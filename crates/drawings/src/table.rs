//! A picture's data as CSV: the same columns for every picture, so that a sheet made
//! for one reads them all. Plain numbers, millimetres and inches; empty where nothing stands.

use crate::number::cell;
use kernel::units::Length;

/// Rows collected for one picture.
#[derive(Debug)]
pub(crate) struct Table {
    text: String,
}

/// Where a row belongs; left empty where it does not apply.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Place<'m> {
    pub(crate) rotor: &'m str,
    pub(crate) face: &'m str,
    /// 1 to 3; 0 where the row is about no one tip.
    pub(crate) tip: usize,
}

impl Table {
    pub(crate) fn new() -> Self {
        Self { text: "what,rotor,face,tip,mm,inch,remark\r\n".to_owned() }
    }

    /// A row with a length, or without one where it is not known.
    pub(crate) fn row(
        &mut self,
        what: &str,
        place: Place<'_>,
        value: Option<Length>,
        remark: &str,
    ) {
        let tip = if place.tip == 0 { String::new() } else { place.tip.to_string() };
        let (mm, inch) = value.map_or_else(Default::default, |v| {
            // A tenth of a micrometre, the finest that a shop's gauge resolves.
            (cell(v.to_mm(), 4), cell(v.to_inch(), 6))
        });
        let fields =
            [what, place.rotor, place.face, &tip, &mm, &inch, remark].map(quoted).join(",");
        self.text.push_str(&fields);
        self.text.push_str("\r\n");
    }

    pub(crate) fn into_text(self) -> String {
        self.text
    }
}

/// In quotes where a comma, a quote or the end of a line would split it.
pub(crate) fn quoted(field: &str) -> String {
    if field.contains([',', '"', '\n', '\r']) {
        format!("\"{}\"", field.replace('"', "\"\""))
    } else {
        field.to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_serial_with_a_comma_stays_one_field() {
        let mut table = Table::new();
        let place = Place { rotor: "R-1, \"old\"", ..Place::default() };
        table.row("step", place, Some(Length::um(-12.0)), "");
        table.row("run-out", place, None, "not read");
        assert_eq!(
            table.into_text(),
            "what,rotor,face,tip,mm,inch,remark\r\n\
             step,\"R-1, \"\"old\"\"\",,,-0.0120,-0.000472,\r\n\
             run-out,\"R-1, \"\"old\"\"\",,,,,not read\r\n"
        );
    }
}
