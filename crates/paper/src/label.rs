//! A label for a bag or a tag: which part this is and which build it goes into, in letters that
//! are read across a bench and as a code that a phone or a hand scanner reads.
//!
//! The code holds plain text, [`Label::code`], and no address: no machine of a shop has a name that
//! a phone would know. A phone shows it as it stands; typed into the app's search by a scanner, it
//! finds the part. What it looks like is fixed in `docs/CONVENTIONS.md` and stays as it is, since
//! labels outlive programs.
//!
//! Lengths in here are millimetres of the printed label.

mod code;
mod draw;

pub use code::{Coded, read_code};

use crate::label::code::modules;
use crate::press::{PaperError, legible, pressed};
use serde_json::json;
use thiserror::Error;

/// How a label becomes a page.
const SETTING: &str = include_str!("label.typ");

/// What a part is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// A rotor.
    Rotor,
    /// A rotor housing.
    RotorHousing,
    /// A side housing.
    SideHousing,
    /// An eccentric shaft.
    Shaft,
    /// A stationary gear with its main bearing.
    StationaryGear,
    /// A rotor bearing.
    Bearing,
    /// The seals of an engine.
    SealsSet,
}

impl Kind {
    /// All of them.
    pub const ALL: [Self; 7] = [
        Self::Rotor,
        Self::RotorHousing,
        Self::SideHousing,
        Self::Shaft,
        Self::StationaryGear,
        Self::Bearing,
        Self::SealsSet,
    ];

    /// As label and code say it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Rotor => "rotor",
            Self::RotorHousing => "rotor housing",
            Self::SideHousing => "side housing",
            Self::Shaft => "shaft",
            Self::StationaryGear => "stationary gear",
            Self::Bearing => "bearing",
            Self::SealsSet => "seals set",
        }
    }
}

/// Where a part sits in its build.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Place {
    /// Its number from the front, from 1.
    pub number: usize,
    /// How many of its kind the engine has.
    pub of: usize,
}

/// The way a rotor's gear face looks in its build.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum GearFace {
    /// Away from the flywheel.
    Front,
    /// Towards the flywheel.
    Rear,
}

/// One part to be labelled.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Label<'a> {
    /// What it is.
    pub kind: Kind,
    /// Its serial, as it is stamped.
    pub serial: &'a str,
    /// What the build is called that it goes into; none for a part on the shelf.
    pub build: Option<&'a str>,
    /// Where it sits in there.
    pub place: Option<Place>,
    /// Of a rotor in a build.
    pub gear_face: Option<GearFace>,
}

/// What a label is stuck on or hung from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Size {
    /// 50 mm wide, 30 mm high: a bag or a box.
    Bag,
    /// 25 mm square: a tag that hangs from the part.
    Tag,
}

impl Size {
    /// Both.
    pub const ALL: [Self; 2] = [Self::Bag, Self::Tag];

    /// As commands and addresses say it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Bag => "bag",
            Self::Tag => "tag",
        }
    }

    /// Width and height in millimetres.
    #[must_use]
    pub const fn mm(self) -> (f64, f64) {
        match self {
            Self::Bag => (50.0, 30.0),
            Self::Tag => (25.0, 25.0),
        }
    }

    /// Side of the square that the code has, its quiet zone within.
    const fn code_mm(self) -> f64 {
        match self {
            Self::Bag => 26.0,
            Self::Tag => 17.0,
        }
    }
}

/// Smallest module that a phone reads from a hand's breadth, off a label that a common printer of
/// 203 dots to the inch (0.125 mm) prints. Common practice, no source.
pub const LEAST_MODULE_MM: f64 = 0.33;

/// Why there is no label.
#[derive(Debug, Error)]
#[non_exhaustive]
pub enum LabelError {
    /// A character that no label shows.
    #[error("{what} {text:?} has a control character, which no label shows; write it without")]
    Unprintable {
        /// Serial or build.
        what: &'static str,
        /// As it was given.
        text: String,
    },
    /// The code would be too fine.
    #[error(
        "{serial}: the code of serial and build would have modules of {module_mm:.2} mm on a {size}, \
         and a phone reads {LEAST_MODULE_MM} mm; {cure}"
    )]
    TooFine {
        /// Whose.
        serial: String,
        /// What it would have.
        module_mm: f64,
        /// Bag or tag.
        size: &'static str,
        /// What helps.
        cure: &'static str,
    },
    /// The serial would be too small to be read.
    #[error(
        "{serial}: the serial would have letters under {least_mm} mm on a {size}, too small to be \
         read at a bench; {cure}"
    )]
    TooSmall {
        /// Whose.
        serial: String,
        /// The least there is.
        least_mm: f64,
        /// Bag or tag.
        size: &'static str,
        /// What helps.
        cure: &'static str,
    },
    /// The typesetter refuses it.
    #[error(transparent)]
    Paper(#[from] PaperError),
}

/// What helps where something does not fit.
const fn cure(size: Size) -> &'static str {
    match size {
        Size::Tag => "take the bag's label",
        Size::Bag => "shorten the names",
    }
}

impl Label<'_> {
    /// What the code holds: `LOBEWRIGHT rotor "R-114" build "Merganser, boat 7"`, without the build
    /// for a part on the shelf. [`read_code`] reads it back.
    #[must_use]
    pub fn code(&self) -> String {
        code::written(self.kind, self.serial, self.build)
    }

    /// The label as PDF: a page of its size, tagged, with its letters inside, as every paper is.
    /// `day` is the day it was made, `YYYY-MM-DD`.
    ///
    /// # Errors
    /// As [`Label::svg`]; where the typesetter refuses it.
    pub fn pdf(&self, size: Size, day: &str) -> Result<Vec<u8>, LabelError> {
        // Set anew with what stands for letters that the font lacks, so that it fits; the code has
        // the names as they are.
        let (serial, build) = (legible(self.serial), self.build.map(legible));
        let shown = Label { serial: &serial, build: build.as_deref(), ..*self };
        let svg = self.drawn(size, &shown)?;
        let (width, height) = size.mm();
        let title = format!("Label: {} {}", self.kind.word(), self.serial);
        let words = self.words();
        let model = json!({
            "title": title, "day": day, "svg": svg, "words": words, "width": width,
            "height": height,
        });
        let ident = format!("{} {} {}", size.word(), self.code(), day);
        Ok(pressed(SETTING, model, &title, ident)?)
    }

    /// What stands on it, in words: what is read aloud in its place.
    #[must_use]
    pub fn words(&self) -> String {
        let mut words = format!("Label of {} {}", self.kind.word(), self.serial);
        if let Some(place) = self.place.filter(|place| place.of > 1) {
            words.push_str(&format!(", number {} of {} from the front", place.number, place.of));
        }
        if let Some(build) = self.build {
            words.push_str(&format!(", of build {build}"));
        }
        match self.gear_face {
            Some(GearFace::Front) => words.push_str(", gear face to the front"),
            Some(GearFace::Rear) => words.push_str(", gear face to the rear"),
            None => {}
        }
        words.push_str(". Its code says the same: ");
        words.push_str(&self.code());
        words
    }

    /// The label as SVG, as large as it is printed: one module is a whole square, black on white,
    /// with a quiet zone of four modules [ISO-18004].
    ///
    /// # Errors
    /// Where serial and build are too long for this size, or cannot be shown.
    pub fn svg(&self, size: Size) -> Result<String, LabelError> {
        self.drawn(size, self)
    }

    /// With the letters of `shown` beside the code.
    fn drawn(&self, size: Size, shown: &Label<'_>) -> Result<String, LabelError> {
        for (what, text) in [("serial", Some(self.serial)), ("build", self.build)] {
            if let Some(text) = text.filter(|text| text.chars().any(unprintable)) {
                return Err(LabelError::Unprintable { what, text: text.to_owned() });
            }
        }
        let modules = modules(&self.code());
        let module_mm = modules.as_ref().map_or(0.0, |m| size.code_mm() / m.side_with_quiet());
        match modules {
            Some(modules) if module_mm >= LEAST_MODULE_MM => draw::svg(shown, size, &modules),
            _ => Err(LabelError::TooFine {
                serial: self.serial.to_owned(),
                module_mm,
                size: size.word(),
                cure: cure(size),
            }),
        }
    }
}

/// Not a character of XML, or none that is seen.
fn unprintable(c: char) -> bool {
    c.is_control() || matches!(c, '\u{fffe}' | '\u{ffff}')
}

#[cfg(test)]
mod tests {
    use super::*;

    const ROTOR: Label<'_> = Label {
        kind: Kind::Rotor,
        serial: "R-114",
        build: Some("Merganser, boat 7"),
        place: Some(Place { number: 1, of: 2 }),
        gear_face: Some(GearFace::Rear),
    };

    #[test]
    fn a_label_says_what_it_is_of_in_letters_too() {
        for size in Size::ALL {
            let svg = ROTOR.svg(size).unwrap();
            assert!(svg.contains(">R-114<"), "{svg}");
            assert!(svg.contains("rotor 1 of 2"), "{svg}");
            let (width, height) = size.mm();
            assert!(svg.starts_with("<svg "), "{svg}");
            assert!(svg.contains(&format!("width=\"{width}mm\" height=\"{height}mm\"")));
            assert!(svg.contains(&format!("viewBox=\"0 0 {width} {height}\"")));
            assert!(svg.contains("gear face") && svg.contains("to the rear"), "{svg}");
            assert_eq!(svg, ROTOR.svg(size).unwrap());
        }
        let bag = ROTOR.svg(Size::Bag).unwrap();
        assert!(bag.contains("Merganser, boat 7"));
        let shelf = Label { build: None, place: None, gear_face: None, ..ROTOR };
        let svg = shelf.svg(Size::Bag).unwrap();
        assert!(!svg.contains("to the") && svg.contains("gear face<"), "{svg}");
    }

    #[test]
    fn what_would_not_be_read_is_no_label() {
        let long = "w".repeat(80);
        let build = Label { build: Some(&long[..70]), ..ROTOR };
        assert!(Size::ALL.iter().all(|size| build.svg(*size).is_ok()));
        // As long as a name may be, two bytes to a letter.
        let longer = "\u{fc}".repeat(80);
        let build = Label { build: Some(&longer), ..ROTOR };
        assert!(build.svg(Size::Bag).is_ok());
        let said = build.svg(Size::Tag).unwrap_err();
        assert!(matches!(said, LabelError::TooFine { .. }), "{said}");
        assert!(said.to_string().contains("take the bag's label"), "{said}");
        let serial = Label { serial: &long, build: None, ..ROTOR };
        for size in Size::ALL {
            let said = serial.svg(size).unwrap_err().to_string();
            assert!(said.contains("www"), "{said}");
        }
        let bell = Label { serial: "R\u{7}", ..ROTOR };
        assert!(matches!(bell.svg(Size::Bag), Err(LabelError::Unprintable { .. })));
    }

    #[test]
    fn the_same_label_is_the_same_page() {
        let pdf = ROTOR.pdf(Size::Tag, "2026-11-28").unwrap();
        assert!(pdf.starts_with(b"%PDF-1.7"));
        assert!(pdf == ROTOR.pdf(Size::Tag, "2026-11-28").unwrap());
    }

    #[test]
    fn names_are_no_markup() {
        let label = Label { serial: "<R&1>", build: Some("\"</svg>\""), ..ROTOR };
        let svg = label.svg(Size::Bag).unwrap();
        assert!(svg.contains("&lt;R&amp;1&gt;") && svg.matches("</svg>").count() == 1, "{svg}");
    }
}
