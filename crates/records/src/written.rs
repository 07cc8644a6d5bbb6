//! A value as a shop wrote it, with its unit, and in SI beside it.

use kernel::units::{
    Angle, AngularDamping, AngularStiffness, Area, Damping, Density, Duration, ElasticModulus,
    Expansion, Force, GaugePressure, Length, Mass, MomentOfInertia, Quantity, QuantityError,
    SpecificEnergy, Speed, Stiffness, Temperature, TemperatureDifference, Torque, Unbalance,
    Velocity, Viscosity,
};

/// What stands for the quantity of a word.
const SEEN: &str = "seen";

/// A value exactly as it was written, which quantity it is, and what it is in SI.
#[derive(Debug, Clone, PartialEq)]
pub struct Written {
    text: String,
    quantity: String,
    si: f64,
}

impl Written {
    /// Takes a value as it was written.
    ///
    /// # Errors
    /// Where the text is no such quantity.
    pub fn read<Q: Quantity>(text: &str) -> Result<Self, QuantityError> {
        let value = Q::parse(text)?;
        Ok(Self { text: text.to_owned(), quantity: called::<Q>().to_owned(), si: value.si() })
    }

    /// A word that says what was seen. It has no amount: in SI it is nothing.
    #[must_use]
    pub fn seen(word: &str) -> Self {
        Self { text: word.to_owned(), quantity: SEEN.to_owned(), si: 0.0 }
    }

    /// The word, if it says what was seen.
    #[must_use]
    pub fn word(&self) -> Option<&str> {
        (self.quantity == SEEN).then_some(self.text.as_str())
    }

    /// The value, if it is of this quantity.
    #[must_use]
    pub fn value<Q: Quantity>(&self) -> Option<Q> {
        (self.quantity == called::<Q>()).then(|| Q::from_si(self.si))
    }

    /// As it was written.
    #[must_use]
    pub fn text(&self) -> &str {
        &self.text
    }

    /// The name of the quantity: `length`, `mass`.
    #[must_use]
    pub fn quantity(&self) -> &str {
        &self.quantity
    }

    /// In the quantity's SI unit.
    #[must_use]
    pub const fn si(&self) -> f64 {
        self.si
    }

    /// As the file has it.
    pub(crate) const fn kept(text: String, quantity: String, si: f64) -> Self {
        Self { text, quantity, si }
    }

    /// In three columns of a row, one after the other; nothing if they are empty.
    pub(crate) fn in_row(row: &rusqlite::Row<'_>, first: usize) -> rusqlite::Result<Option<Self>> {
        Ok(match row.get::<_, Option<String>>(first)? {
            Some(text) => Some(Self::kept(text, row.get(first + 1)?, row.get(first + 2)?)),
            None => None,
        })
    }

    /// Whether the text, read again, is the value beside it, to the last bit.
    pub(crate) fn agrees(&self) -> bool {
        if self.quantity == SEEN {
            return !self.text.is_empty() && self.si.to_bits() == 0;
        }
        read_again(&self.quantity, &self.text).is_some_and(|si| si.to_bits() == self.si.to_bits())
    }
}

/// The name of a quantity without its article.
fn called<Q: Quantity>() -> &'static str {
    Q::NAME.split_once(' ').map_or(Q::NAME, |(_, name)| name)
}

/// What a text of a quantity of this name is in SI.
fn read_again(quantity: &str, text: &str) -> Option<f64> {
    macro_rules! first_of {
        ($($name:ident)+) => {
            match quantity {
                $(name if name == called::<$name>() => {
                    $name::parse(text).ok().map(Quantity::si)
                })+
                _ => None,
            }
        };
    }
    first_of!(
        Length Mass Temperature TemperatureDifference Angle Area Speed GaugePressure Duration
        Density Expansion Stiffness AngularStiffness Damping AngularDamping Unbalance
        MomentOfInertia Torque Force Velocity ElasticModulus Viscosity SpecificEnergy
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_written_stays() {
        let width = Written::read::<Length>("3.1463 in").unwrap();
        assert_eq!(width.text(), "3.1463 in");
        assert_eq!(width.quantity(), "length");
        assert_eq!(width.value::<Length>(), Length::parse("79.91602 mm").ok());
        assert_eq!(width.value::<Mass>(), None);
        assert!(width.agrees());
        assert!(Written::read::<Length>("79.9").is_err());
    }

    #[test]
    fn what_was_seen_is_a_word_without_an_amount() {
        let seen = Written::seen("flaking");
        assert_eq!((seen.word(), seen.si(), seen.quantity()), (Some("flaking"), 0.0, "seen"));
        assert_eq!(seen.value::<Length>(), None);
        assert!(seen.agrees() && !Written::seen("").agrees());
        assert!(!Written::kept("flaking".into(), "seen".into(), 1.0).agrees());
        assert_eq!(Written::read::<Length>("1 mm").unwrap().word(), None);
    }

    #[test]
    fn another_text_or_value_does_not_agree() {
        let kept = |text: &str, si| Written::kept(text.into(), "length".into(), si);
        assert!(kept("5 thou", 127e-6).agrees());
        assert!(!kept("5 thou", 128e-6).agrees());
        assert!(!kept("5.1 thou", 127e-6).agrees());
        assert!(!Written::kept("5 thou".into(), "colour".into(), 127e-6).agrees());
    }
}
