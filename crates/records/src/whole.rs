//! A whole build brought in at once: itself, its parts, and every line of its file. All of it, or
//! nothing.

use crate::builds::{self, Due, Fit, Head, InRevision};
use crate::error::{RecordsError, Seen};
use crate::ids::{BuildId, PartId, PersonId};
use crate::parts;
use crate::shop::Shop;
use crate::time::Moment;
use crate::values::{self, NewLine, Stored};
use crate::words::{GearFace, OutWhy, PartKind, Stage};

/// Where a whole build goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Into<'a> {
    /// Into a new build of this name.
    New(&'a str),
    /// Over one that is there and has come this far.
    Over(BuildId, Seen),
}

/// A part and its place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PartHere<'a> {
    /// What it is.
    pub kind: PartKind,
    /// Its serial.
    pub serial: &'a str,
    /// Which of its kind from the front, from 1.
    pub position: i64,
    /// Of a rotor: which way its gear face looks.
    pub gear_face: Option<GearFace>,
}

/// What bringing in did.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct BroughtIn {
    /// The build.
    pub build: BuildId,
    /// Parts that the shop did not know.
    pub new_parts: usize,
    /// Parts that left the build for others.
    pub exchanged: usize,
    /// What of its file changed.
    pub stored: Stored,
}

impl Shop {
    /// Brings in a whole build. Parts that the shop does not know are added; those of the kinds
    /// given that are in the build and not among them leave it. `lines` is given the parts'
    /// numbers in their order, and gives the file's lines.
    ///
    /// # Errors
    /// A [`crate::Conflict`] where the build changed since it was looked at; where it is signed,
    /// a part is in another build or retired, or a place is there twice.
    pub fn bring_in(
        &self,
        into: Into<'_>,
        parts: &[PartHere<'_>],
        (person, at): (PersonId, &Moment),
        lines: impl FnOnce(&[PartId]) -> Vec<NewLine>,
    ) -> Result<BroughtIn, RecordsError> {
        self.write(|tx| {
            let (build, revision) = match into {
                Into::New(name) => {
                    let head =
                        Head { name: name.to_owned(), customer: None, engine: None, spec: None };
                    let next = String::new();
                    let due = Due { stage: Stage::Inspection, next, by: None, holder: None };
                    (builds::begin(tx, &head, None, &due, (person, at))?, 1)
                }
                Into::Over(build, seen) => {
                    builds::unchanged(tx, build, &seen)?;
                    (build, seen.revision)
                }
            };
            let of = InRevision { build, revision };
            builds::stands(tx, of)?;
            let mut ids = Vec::with_capacity(parts.len());
            let mut new_parts = 0;
            for part in parts {
                ids.push(match parts::of_serial(tx, part.kind, part.serial)? {
                    Some(known) => known.id,
                    None => {
                        new_parts += 1;
                        parts::add(tx, part.kind, part.serial, (person, at))?
                    }
                });
            }
            let mut missing: Vec<bool> = vec![true; parts.len()];
            let mut exchanged = 0;
            for there in builds::all_fitted(tx, build)?.into_iter().filter(|f| f.out.is_none()) {
                let same = parts.iter().zip(&ids).position(|(part, id)| {
                    (*id, part.position, part.gear_face)
                        == (there.part, there.position, there.gear_face)
                });
                match same {
                    Some(same) => missing[same] = false,
                    None if parts.iter().any(|part| part.kind == there.kind) => {
                        builds::put_out(tx, there.id, OutWhy::Exchanged, (person, at))?;
                        exchanged += 1;
                    }
                    None => {}
                }
            }
            for ((part, id), _) in parts.iter().zip(&ids).zip(&missing).filter(|(_, m)| **m) {
                let PartHere { position, gear_face, .. } = *part;
                builds::put_in(tx, &Fit { of, part: *id, position, gear_face, person, at })?;
            }
            let stored = values::store_lines(tx, of, (person, at), &lines(&ids))?;
            Ok(BroughtIn { build, new_parts, exchanged, stored })
        })
    }
}
