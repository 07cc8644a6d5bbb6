//! Balance quality grades, and the residual unbalance that one permits [ISO-21940-11].

use crate::units::{Mass, Speed, Unbalance};
use std::fmt;
use thiserror::Error;

/// A balance quality grade: the greatest velocity of the mass centre about the axis at the service
/// speed, in mm/s, which is the number in its name.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Grade {
    mm_per_s: f64,
}

/// Least and greatest number of a grade: a precision spindle's and that of a slow diesel of a ship
/// [ISO-21940-11], table 1, from memory, each with one step of grade to spare.
const LEAST_MM_PER_S: f64 = 0.16;
/// See [`LEAST_MM_PER_S`].
const MOST_MM_PER_S: f64 = 10_000.0;

/// Why something is no grade.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum GradeError {
    /// Not a G and a number.
    #[error("a grade is a G and a number, such as \"G 2.5\"")]
    Words,
    /// A number that no grade has.
    #[error("a grade from G 0.16 to G 10000, such as \"G 2.5\"; {0} is none")]
    Number(f64),
}

/// The grades of the standard's table, finest first [ISO-21940-11], table 1, from memory.
pub const GRADES_MM_PER_S: [f64; 11] =
    [0.4, 1.0, 2.5, 6.3, 16.0, 40.0, 100.0, 250.0, 630.0, 1600.0, 4000.0];

impl Grade {
    /// The grade of a number in mm/s. Numbers between those of the table are grades too.
    ///
    /// # Errors
    /// [`GradeError::Number`] outside 0.16 to 10 000.
    pub fn mm_per_s(mm_per_s: f64) -> Result<Self, GradeError> {
        if (LEAST_MM_PER_S..=MOST_MM_PER_S).contains(&mm_per_s) {
            Ok(Self { mm_per_s })
        } else {
            Err(GradeError::Number(mm_per_s))
        }
    }

    /// Reads `"G 2.5"`, `"G2.5"` or `"g 2.5"`.
    ///
    /// # Errors
    /// [`GradeError`] saying what a grade looks like.
    pub fn parse(text: &str) -> Result<Self, GradeError> {
        let number = text.trim().strip_prefix(['G', 'g']).ok_or(GradeError::Words)?;
        let number: f64 = number.trim_start().parse().map_err(|_| GradeError::Words)?;
        Self::mm_per_s(number)
    }

    /// Its number, mm/s.
    #[must_use]
    pub const fn to_mm_per_s(self) -> f64 {
        self.mm_per_s
    }

    /// Permissible residual unbalance `U_per = G m / Ω` of a whole body [ISO-21940-11], 6.3.3.
    #[must_use]
    pub fn permissible(self, mass: Mass, speed: Speed) -> Unbalance {
        Unbalance::kg_m(self.mm_per_s / 1e3 * mass.to_kg() / speed.to_rad_per_s())
    }
}

impl fmt::Display for Grade {
    /// As every output writes it: `G 2.5`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "G {}", self.mm_per_s)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_grade_is_read_and_written() {
        for text in ["G 2.5", "G2.5", " g 2.5 "] {
            assert_eq!(Grade::parse(text).unwrap().to_string(), "G 2.5");
        }
        assert_eq!(Grade::parse("2.5"), Err(GradeError::Words));
        assert_eq!(Grade::parse("G two"), Err(GradeError::Words));
        assert_eq!(Grade::parse("G 0"), Err(GradeError::Number(0.0)));
        assert!(matches!(Grade::parse("G NaN"), Err(GradeError::Number(_))));
    }

    #[test]
    fn steps_of_the_table_are_a_factor_of_about_two_and_a_half() {
        for pair in GRADES_MM_PER_S.windows(2) {
            assert!((pair[1] / pair[0] / 2.5 - 1.0).abs() < 0.03, "{pair:?}");
        }
    }
}
