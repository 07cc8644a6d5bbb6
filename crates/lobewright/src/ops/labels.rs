//! Labels for bags and tags: one for each part of a build that has a serial, or for one part of the
//! shop.

use super::folder::{FolderFile, safe_name};
use super::shop::parts;
use crate::build_file::Build;
use paper::label::{GearFace, Kind, Label, LabelError, Place, Size};
use records::{GearFace as Looks, PartKind};
use std::collections::HashSet;

/// What a label calls a part.
#[must_use]
pub const fn kind(kind: PartKind) -> Kind {
    match kind {
        PartKind::Rotor => Kind::Rotor,
        PartKind::RotorHousing => Kind::RotorHousing,
        PartKind::SideHousing => Kind::SideHousing,
        PartKind::Shaft => Kind::Shaft,
        PartKind::StationaryGear => Kind::StationaryGear,
        PartKind::Bearing => Kind::Bearing,
        PartKind::SealsSet => Kind::SealsSet,
    }
}

/// The part that a label is of.
#[must_use]
pub const fn part_kind(kind: Kind) -> PartKind {
    match kind {
        Kind::Rotor => PartKind::Rotor,
        Kind::RotorHousing => PartKind::RotorHousing,
        Kind::SideHousing => PartKind::SideHousing,
        Kind::Shaft => PartKind::Shaft,
        Kind::StationaryGear => PartKind::StationaryGear,
        Kind::Bearing => PartKind::Bearing,
        Kind::SealsSet => PartKind::SealsSet,
    }
}

/// The way a gear face looks, as a label says it.
const fn gear_face(face: Looks) -> GearFace {
    match face {
        Looks::Front => GearFace::Front,
        Looks::Rear => GearFace::Rear,
    }
}

/// Where a part sits in a build, for its label.
#[derive(Debug, Clone, Copy)]
pub struct InBuild<'a> {
    /// What the build is called.
    pub name: &'a str,
    /// Its number from the front, from 1.
    pub number: usize,
    /// How many of its kind there are.
    pub of: usize,
    /// Of a rotor.
    pub gear_face: Option<Looks>,
}

/// The label of one part.
#[must_use]
pub fn label_of<'a>(part: PartKind, serial: &'a str, inside: Option<InBuild<'a>>) -> Label<'a> {
    Label {
        kind: kind(part),
        serial,
        build: inside.map(|inside| inside.name),
        place: inside.map(|inside| Place { number: inside.number, of: inside.of }),
        gear_face: inside.and_then(|inside| inside.gear_face).map(gear_face),
    }
}

/// The labels of a build's parts that have a serial: of each kind from the front.
#[must_use]
pub fn labels(build: &Build) -> Vec<Label<'_>> {
    let parts = parts(build);
    parts
        .iter()
        .map(|part| {
            let inside = InBuild {
                name: &build.name,
                number: usize::try_from(part.position).unwrap_or(1),
                of: parts.iter().filter(|other| other.kind == part.kind).count(),
                gear_face: part.gear_face,
            };
            label_of(part.kind, part.serial, Some(inside))
        })
        .collect()
}

/// The forms that a label is given in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Form {
    /// A drawing.
    Svg,
    /// A page.
    Pdf,
}

impl Form {
    /// Both.
    pub const ALL: [Self; 2] = [Self::Svg, Self::Pdf];

    /// Of its files.
    #[must_use]
    pub const fn ending(self) -> &'static str {
        match self {
            Self::Svg => "svg",
            Self::Pdf => "pdf",
        }
    }

    /// A label in this form. `day` is the day it is made.
    ///
    /// # Errors
    /// Where it would not be read.
    pub fn of(self, label: &Label<'_>, size: Size, day: &str) -> Result<Vec<u8>, LabelError> {
        match self {
            Self::Svg => label.svg(size).map(String::into_bytes),
            Self::Pdf => label.pdf(size, day),
        }
    }
}

/// Labels as files of a folder: each part in every size asked for, as drawing and as page. Two serials that a file system
/// would take for one get numbers.
///
/// # Errors
/// Where one would not be read: then none is given.
pub fn label_files(
    labels: &[Label<'_>],
    sizes: &[Size],
    day: &str,
) -> Result<Vec<FolderFile>, LabelError> {
    let (mut files, mut taken) = (Vec::new(), HashSet::new());
    for label in labels {
        let stem = label_name(label);
        let mut named = stem.clone();
        let mut number = 2;
        while !taken.insert(named.to_lowercase()) {
            named = format!("{stem}-{number}");
            number += 1;
        }
        for size in sizes {
            for form in Form::ALL {
                let path = format!("{named}-{}.{}", size.word(), form.ending());
                files.push(FolderFile { path, bytes: form.of(label, *size, day)? });
            }
        }
    }
    Ok(files)
}

/// What the files of a label are called, without size and ending: `rotor-R-114`.
#[must_use]
pub fn label_name(label: &Label<'_>) -> String {
    format!("{}-{}", label.kind.word().replace(' ', "-"), safe_name(label.serial))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::build_file::read;

    const BOAT: &str = include_str!("../../../../examples/sprint-boat.toml");

    #[test]
    fn every_part_with_a_serial_has_a_label() {
        let build = read(BOAT).unwrap();
        let all = labels(&build);
        let files = label_files(&all, &[Size::Tag], "2026-11-28").unwrap();
        let named: Vec<&str> = files.iter().map(|file| file.path.as_str()).collect();
        assert_eq!(
            named,
            [
                "rotor-R-114-tag.svg",
                "rotor-R-114-tag.pdf",
                "rotor-R-97-tag.svg",
                "rotor-R-97-tag.pdf",
                "rotor-housing-H-31-tag.svg",
                "rotor-housing-H-31-tag.pdf",
                "rotor-housing-H-32-tag.svg",
                "rotor-housing-H-32-tag.pdf"
            ]
        );
        let alike = [all[0], Label { serial: "r/114", ..all[0] }];
        let files = label_files(&alike, &Size::ALL, "2026-11-28").unwrap();
        assert_eq!(files.len(), 8);
        assert_eq!(files[4].path, "rotor-r-114-2-bag.svg");
        assert_eq!(all[1].place, Some(Place { number: 2, of: 2 }));
        assert_eq!(all[1].gear_face, Some(GearFace::Rear));
        assert_eq!(all[2].code(), r#"LOBEWRIGHT rotor housing "H-31" build "Merganser, boat 7""#);
        for kind in PartKind::ALL {
            assert_eq!(part_kind(super::kind(*kind)), *kind);
            assert_eq!(super::kind(*kind).word(), kind.word());
        }
    }
}
