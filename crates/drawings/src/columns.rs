//! A picture's data as CSV where its figures are not lengths at places of a rotor: columns of
//! its own, the unit in the name of each. Empty where nothing stands.

use crate::number::cell;
use crate::table::quoted;

/// Rows collected for one picture.
#[derive(Debug)]
pub(crate) struct Columns {
    text: String,
    count: usize,
}

/// A cell of a row.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Cell<'m> {
    /// Words.
    Words(&'m str),
    /// A figure with so many decimals.
    Figure(f64, usize),
    /// Nothing stands here.
    Empty,
}

impl Cell<'_> {
    /// A figure where there is one.
    pub(crate) fn maybe(value: Option<f64>, decimals: usize) -> Self {
        value.map_or(Self::Empty, |v| Self::Figure(v, decimals))
    }
}

impl Columns {
    /// With these names in the first row.
    pub(crate) fn new(names: &[&str]) -> Self {
        let mut text = names.join(",");
        text.push_str("\r\n");
        Self { text, count: names.len() }
    }

    /// A row; cells that are left out at its end are empty.
    pub(crate) fn row(&mut self, cells: &[Cell<'_>]) {
        let mut fields: Vec<String> = cells
            .iter()
            .map(|field| match field {
                Cell::Words(words) => quoted(words),
                Cell::Figure(value, decimals) if value.is_finite() => cell(*value, *decimals),
                Cell::Figure(..) | Cell::Empty => String::new(),
            })
            .collect();
        fields.resize(self.count, String::new());
        self.text.push_str(&fields.join(","));
        self.text.push_str("\r\n");
    }

    pub(crate) fn into_text(self) -> String {
        self.text
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_has_all_columns() {
        let mut columns = Columns::new(&["what", "speed_rpm", "gap_um", "remark"]);
        columns.row(&[Cell::Words("gap, least"), Cell::Figure(9000.0, 0), Cell::Figure(-0.04, 1)]);
        columns.row(&[Cell::Words("none"), Cell::maybe(None, 0), Cell::Figure(f64::NAN, 1)]);
        assert_eq!(
            columns.into_text(),
            "what,speed_rpm,gap_um,remark\r\n\"gap, least\",9000,0.0,\r\nnone,,,\r\n"
        );
    }
}
