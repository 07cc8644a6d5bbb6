//! The canonical form of a record, byte by byte, and its SHA-256 [FIPS-180-4].
//!
//! A form is a row of fields. A field that is there is eight bytes, its length, the most
//! significant first, and then its bytes; one that is absent is eight bytes of 0xFF alone. A
//! whole number is its decimal digits, a real number the sixteen hexadecimal digits of its bits,
//! a hash its sixty-four. So no two rows of fields have the same bytes. `docs/RECORDS.md` has
//! each form and a worked example.

use crate::written::Written;
use rusqlite::types::{FromSql, FromSqlError, FromSqlResult, ToSql, ToSqlOutput, ValueRef};
use sha2::{Digest, Sha256};
use std::fmt;

/// A SHA-256.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Sha(pub [u8; 32]);

impl Sha {
    /// What the first record of a chain has before it.
    pub const NONE: Self = Self([0; 32]);

    /// Of some bytes.
    #[must_use]
    pub fn of(bytes: &[u8]) -> Self {
        Self(Sha256::digest(bytes).into())
    }

    /// From its sixty-four hexadecimal digits, in lower case.
    #[must_use]
    pub fn from_hex(text: &str) -> Option<Self> {
        let digit = |byte: &u8| match byte {
            b'0'..=b'9' => Some(byte - b'0'),
            b'a'..=b'f' => Some(byte - b'a' + 10),
            _ => None,
        };
        let digits: Vec<u8> = text.as_bytes().iter().map(digit).collect::<Option<_>>()?;
        let (pairs, rest) = digits.as_chunks::<2>();
        let bytes: Vec<u8> = pairs.iter().map(|[high, low]| (high << 4) | low).collect();
        if rest.is_empty() { bytes.try_into().ok().map(Self) } else { None }
    }

    /// Sixty-four hexadecimal digits in lower case.
    #[must_use]
    pub fn to_hex(self) -> String {
        self.0.iter().map(|byte| format!("{byte:02x}")).collect()
    }
}

impl fmt::Debug for Sha {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.to_hex())
    }
}

impl fmt::Display for Sha {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.to_hex())
    }
}

impl ToSql for Sha {
    fn to_sql(&self) -> rusqlite::Result<ToSqlOutput<'_>> {
        Ok(self.0.as_slice().into())
    }
}

impl FromSql for Sha {
    fn column_result(value: ValueRef<'_>) -> FromSqlResult<Self> {
        let bytes = value.as_blob()?;
        let exact: [u8; 32] = bytes.try_into().map_err(|_| FromSqlError::InvalidBlobSize {
            expected_size: 32,
            blob_size: bytes.len(),
        })?;
        Ok(Self(exact))
    }
}

/// The length that an absent field has in place of one.
const ABSENT: [u8; 8] = [0xFF; 8];

/// A form as it grows.
#[derive(Debug)]
pub(crate) struct Form {
    hasher: Sha256,
}

impl Form {
    /// A form begins with its name and version, so that none is taken for another.
    pub(crate) fn new(name: &str) -> Self {
        Self { hasher: Sha256::new() }.text(name)
    }

    fn field(mut self, bytes: &[u8]) -> Self {
        self.hasher.update((bytes.len() as u64).to_be_bytes());
        self.hasher.update(bytes);
        self
    }

    fn absent(mut self) -> Self {
        self.hasher.update(ABSENT);
        self
    }

    pub(crate) fn text(self, text: &str) -> Self {
        self.field(text.as_bytes())
    }

    pub(crate) fn text_if(self, text: Option<&str>) -> Self {
        match text {
            Some(text) => self.text(text),
            None => self.absent(),
        }
    }

    pub(crate) fn whole(self, number: i64) -> Self {
        self.field(number.to_string().as_bytes())
    }

    pub(crate) fn whole_if(self, number: Option<i64>) -> Self {
        match number {
            Some(number) => self.whole(number),
            None => self.absent(),
        }
    }

    pub(crate) fn count(self, count: usize) -> Self {
        self.field(count.to_string().as_bytes())
    }

    pub(crate) fn real(self, number: f64) -> Self {
        self.field(format!("{:016x}", number.to_bits()).as_bytes())
    }

    pub(crate) fn real_if(self, number: Option<f64>) -> Self {
        match number {
            Some(number) => self.real(number),
            None => self.absent(),
        }
    }

    /// A value as it was written, its quantity and what it is in SI: three fields.
    pub(crate) fn written_if(self, value: Option<&Written>) -> Self {
        self.text_if(value.map(Written::text))
            .text_if(value.map(Written::quantity))
            .real_if(value.map(Written::si))
    }

    pub(crate) fn sha(self, sha: Sha) -> Self {
        self.field(sha.to_hex().as_bytes())
    }

    pub(crate) fn end(self) -> Sha {
        Sha(self.hasher.finalize().into())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_known_hash() {
        // FIPS 180-4, example of one block: "abc".
        assert_eq!(
            Sha::of(b"abc").to_hex(),
            "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
        );
    }

    #[test]
    fn hexadecimal_there_and_back() {
        let sha = Sha::of(b"abc");
        assert_eq!(Sha::from_hex(&sha.to_hex()), Some(sha));
        for wrong in ["", "00", &"g".repeat(64), &"A".repeat(64), &"0".repeat(63), &"0".repeat(66)]
        {
            assert_eq!(Sha::from_hex(wrong), None, "{wrong}");
        }
    }

    #[test]
    fn the_bytes_are_as_documented() {
        let mut bytes = Vec::new();
        bytes.extend_from_slice(b"\0\0\0\0\0\0\0\x01f");
        bytes.extend_from_slice(b"\0\0\0\0\0\0\0\x02-7");
        bytes.extend_from_slice(b"\0\0\0\0\0\0\0\x103ff0000000000000");
        bytes.extend_from_slice(&[0xFF; 8]);
        bytes.extend_from_slice(b"\0\0\0\0\0\0\0\0");
        let form = Form::new("f").whole(-7).real(1.0).text_if(None).text("");
        assert_eq!(form.end(), Sha::of(&bytes));
    }

    #[test]
    fn what_is_cut_elsewhere_is_another_form() {
        assert_ne!(
            Form::new("f").text("ab").text("c").end(),
            Form::new("f").text("a").text("bc").end()
        );
        assert_ne!(Form::new("f").text_if(None).end(), Form::new("f").text("").end());
    }
}
