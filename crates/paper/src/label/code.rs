//! What the code of a label holds, written and read, and its modules.

use super::Kind;
use qrcode::bits::Bits;
use qrcode::{Color, EcLevel, QrCode, QrResult, Version};

/// What every code of ours begins with.
const OURS: &str = "LOBEWRIGHT ";
/// Between part and build.
const BUILD: &str = " build ";
/// Free space around a code, in modules [ISO-18004].
pub(super) const QUIET: usize = 4;
/// The designator of UTF-8 among the character sets that a code can announce.
const UTF_8: u32 = 26;
/// Versions of a code: 21 to 177 modules to a side [ISO-18004].
const VERSIONS: std::ops::RangeInclusive<i16> = 1..=40;

/// What a code says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Coded {
    /// What the part is.
    pub kind: Kind,
    /// Its serial.
    pub serial: String,
    /// The build that the label was printed for.
    pub build: Option<String>,
}

/// A name in quotes, a quote within it doubled.
fn quoted(name: &str) -> String {
    format!("\"{}\"", name.replace('"', "\"\""))
}

pub(super) fn written(kind: Kind, serial: &str, build: Option<&str>) -> String {
    let mut text = format!("{OURS}{} {}", kind.word(), quoted(serial));
    if let Some(build) = build {
        text.push_str(BUILD);
        text.push_str(&quoted(build));
    }
    text
}

/// Takes a name in quotes off the front of a text.
fn unquoted(text: &str) -> Option<(String, &str)> {
    let mut rest = text.strip_prefix('"')?;
    let mut name = String::new();
    loop {
        let at = rest.find('"')?;
        name.push_str(&rest[..at]);
        rest = &rest[at + 1..];
        match rest.strip_prefix('"') {
            Some(after) => {
                name.push('"');
                rest = after;
            }
            None => return Some((name, rest)),
        }
    }
}

/// What a label's code says; nothing for any other text.
#[must_use]
pub fn read_code(text: &str) -> Option<Coded> {
    let rest = text.trim().strip_prefix(OURS)?;
    let (kind, rest) = Kind::ALL
        .into_iter()
        .filter_map(|kind| Some((kind, rest.strip_prefix(kind.word())?.strip_prefix(' ')?)))
        // A rotor's word begins that of its housing.
        .find(|(_, rest)| rest.starts_with('"'))?;
    let (serial, rest) = unquoted(rest)?;
    let build = match rest {
        "" => None,
        rest => match unquoted(rest.strip_prefix(BUILD)?)? {
            (build, "") => Some(build),
            _ => return None,
        },
    };
    Some(Coded { kind, serial, build })
}

/// The modules of a code.
pub(super) struct Modules {
    side: usize,
    dark: Vec<bool>,
}

impl Modules {
    /// Modules to a side, the quiet zone on both ends among them.
    pub(super) const fn side_with_quiet(&self) -> f64 {
        (self.side + 2 * QUIET) as f64
    }

    /// The runs of dark modules, row by row: column, row, length.
    pub(super) fn runs(&self) -> Vec<(usize, usize, usize)> {
        let mut runs: Vec<(usize, usize, usize)> = Vec::new();
        for (row, line) in self.dark.chunks(self.side).enumerate() {
            for (column, _) in line.iter().enumerate().filter(|(_, dark)| **dark) {
                match runs.last_mut() {
                    Some((from, at, length)) if *at == row && *from + *length == column => {
                        *length += 1;
                    }
                    _ => runs.push((column, row, 1)),
                }
            }
        }
        runs
    }
}

fn encoded(text: &str, version: Version, level: EcLevel) -> QrResult<QrCode> {
    let mut bits = Bits::new(version);
    if text.is_ascii() {
        bits.push_optimal_data(text.as_bytes())?;
    } else {
        // Announced, since a code's own set is Latin-1; and as bytes alone, or pairs of them that
        // look like kanji would come back as such.
        bits.push_eci_designator(UTF_8)?;
        bits.push_byte_data(text.as_bytes())?;
    }
    bits.push_terminator(level)?;
    QrCode::with_bits(bits, level)
}

/// The smallest code that holds a text with error correction M (some 15 % of it may be lost)
/// [ISO-18004], and within it the best correction that costs no module. None where no code does.
pub(super) fn modules(text: &str) -> Option<Modules> {
    let code = VERSIONS.map(Version::Normal).find_map(|version| {
        [EcLevel::H, EcLevel::Q, EcLevel::M]
            .into_iter()
            .find_map(|level| encoded(text, version, level).ok())
    })?;
    let dark = code.to_colors().into_iter().map(|color| color == Color::Dark).collect();
    Some(Modules { side: code.width(), dark })
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn the_code_is_text_that_anybody_reads() {
        let text = written(Kind::Rotor, "R-114", Some("Merganser, boat 7"));
        assert_eq!(text, r#"LOBEWRIGHT rotor "R-114" build "Merganser, boat 7""#);
        let text = written(Kind::SideHousing, "S\"1", None);
        assert_eq!(text, r#"LOBEWRIGHT side housing "S""1""#);
        for other in ["", "R-114", "LOBEWRIGHT rotor R-114", "LOBEWRIGHT wheel \"1\"", &text[1..]] {
            assert_eq!(read_code(other), None, "{other}");
        }
        assert_eq!(read_code(&format!("{text} ")).unwrap().serial, "S\"1");
        assert_eq!(read_code(&format!("{text} more")), None);
    }

    #[test]
    fn a_usual_label_is_a_small_code() {
        let modules = modules(r#"LOBEWRIGHT rotor "R-114" build "Merganser, boat 7""#).unwrap();
        // Version 4 of 33 modules: 62 bytes with correction M.
        assert_eq!(modules.side, 33);
        // The three eyes: a dark row of seven in each corner but the last.
        let runs = modules.runs();
        assert!(runs.contains(&(0, 0, 7)) && runs.contains(&(26, 0, 7)));
        assert!(runs.contains(&(0, 26, 7)) && runs.contains(&(0, 32, 7)));
    }

    proptest! {
        #[test]
        fn what_is_written_is_read(
            kind in prop::sample::select(Kind::ALL.to_vec()),
            serial in "[^\\p{C}]{1,40}",
            build in prop::option::of("[^\\p{C}]{0,40}"),
        ) {
            let text = written(kind, &serial, build.as_deref());
            prop_assert_eq!(read_code(&text), Some(Coded { kind, serial, build }));
            prop_assert!(modules(&text).is_some());
        }
    }
}
