//! Tables that were made once, for whoever asks for the same shape again: a table depends on
//! length over diameter alone, and takes some tenths of a second to make.

use super::error::FilmError;
use super::table::FilmTable;
use std::sync::{Arc, Mutex, PoisonError};

/// Shapes that are remembered, the latest first; a shop has a few.
const REMEMBERED: usize = 16;

static KNOWN: Mutex<Vec<(f64, Arc<FilmTable>)>> = Mutex::new(Vec::new());

impl FilmTable {
    /// [`FilmTable::new`], or the table that was made for this very shape before.
    ///
    /// # Errors
    /// As [`FilmTable::new`].
    pub fn shared(length_over_diameter: f64) -> Result<Arc<Self>, FilmError> {
        let known = |tables: &[(f64, Arc<Self>)]| {
            let found = tables.iter().find(|(shape, _)| *shape == length_over_diameter);
            found.map(|(_, table)| Arc::clone(table))
        };
        // A thread that failed while it held the list left the list whole.
        if let Some(table) = known(&KNOWN.lock().unwrap_or_else(PoisonError::into_inner)) {
            return Ok(table);
        }
        // Made without holding the list: two threads may make the same table, which is the same.
        let table = Arc::new(Self::new(length_over_diameter)?);
        let mut tables = KNOWN.lock().unwrap_or_else(PoisonError::into_inner);
        tables.insert(0, (length_over_diameter, Arc::clone(&table)));
        tables.truncate(REMEMBERED);
        Ok(table)
    }
}

#[cfg(test)]
mod tests {
    use super::FilmTable;
    use std::sync::Arc;

    #[test]
    fn the_same_shape_has_the_same_table_and_another_has_its_own() {
        let [a, b, c] = [0.5, 0.5, 0.6].map(|shape| FilmTable::shared(shape).unwrap());
        assert!(Arc::ptr_eq(&a, &b));
        assert!(!Arc::ptr_eq(&a, &c));
        assert_eq!(*a, FilmTable::new(0.5).unwrap());
        assert!(FilmTable::shared(9.0).is_err());
    }
}
