//! Builds that wait for rotors and housings, and what there is to choose from: from files here, from
//! the shop's file in [`super::of_shop`].

use crate::build_file::model::{Engine, Housing, Rotor, Way};
use crate::build_file::{Build, Problems, Stock, read_stock, read_waiting};
use records::{BuildId, Day, PartId, PartKind};
use std::collections::BTreeMap;
use thiserror::Error;

/// A build that waits.
#[derive(Debug, Clone, PartialEq)]
pub struct Waits {
    /// What it is called.
    pub name: String,
    /// Its number in the shop's file, if it is of one.
    pub id: Option<BuildId>,
    /// Its places, from the front.
    pub places: Vec<Filled>,
    /// What was taken where nothing was given.
    pub assumed: Vec<String>,
    /// Its file, without rotors and housings.
    pub(super) build: Build,
}

/// A place for a rotor and its housing.
#[derive(Debug, Clone, PartialEq)]
pub struct Filled {
    /// The rotor that is in.
    pub rotor: Option<Rotor>,
    /// The housing that is in.
    pub housing: Option<Housing>,
    /// Which way the gear face of its rotor looks.
    pub gear_face: Way,
}

/// A part on the shelf, beside its readings.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct About {
    /// Its number in the shop's file.
    pub(super) id: Option<PartId>,
    /// When it was read last.
    pub(super) read: Option<Day>,
    /// The engines it is known to be of; `None`: whoever lists it says that it fits.
    pub(super) engines: Option<Vec<Engine>>,
    /// What is taken of it that nobody said.
    pub(super) assumed: Option<String>,
}

/// What there is to choose from.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Shelf {
    pub(super) stock: Stock,
    /// Of the rotors of the stock, in their order.
    pub(super) rotors: Vec<About>,
    /// Of the housings.
    pub(super) housings: Vec<About>,
    /// Parts that are not offered.
    pub(super) left_out: Vec<LeftOut>,
}

/// A part that cannot be chosen, why, and what would help.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LeftOut {
    /// What it is.
    pub kind: PartKind,
    /// Its serial.
    pub serial: String,
    /// Its number in the shop's file.
    pub id: Option<PartId>,
    /// Why.
    pub why: String,
    /// What to do.
    pub cure: String,
}

/// Why nothing is chosen.
#[derive(Debug, Error)]
#[non_exhaustive]
pub enum ChoiceError {
    /// A file is wrong.
    #[error("the file is wrong")]
    Problems {
        /// Which of the files, as they were given; the stock comes last.
        file: usize,
        /// What is wrong.
        problems: Box<Problems>,
    },
    /// What was asked for cannot be worked on.
    #[error("{0}")]
    Refused(String),
    /// What the sizes of a build say.
    #[error("{build}: {source}")]
    Inputs {
        /// Which build.
        build: String,
        /// What is wrong.
        source: super::super::InputError,
    },
    /// What the shop's file says.
    #[error(transparent)]
    Shop(#[from] super::super::ShopError),
}

impl From<records::RecordsError> for ChoiceError {
    fn from(error: records::RecordsError) -> Self {
        Self::Shop(error.into())
    }
}

/// Places of an engine of so many rotors with the parts that are in them.
pub(super) fn places(
    rotors: Vec<Option<Rotor>>,
    housings: Vec<Option<Housing>>,
    assumed: &mut Vec<String>,
) -> Vec<Filled> {
    let open = rotors.iter().filter(|rotor| rotor.is_none()).count();
    if open > 0 {
        assumed.push("gear faces to the rear where no rotor is in yet".to_owned());
    }
    rotors
        .into_iter()
        .zip(housings)
        .map(|(rotor, housing)| Filled {
            gear_face: rotor.as_ref().map_or(Way::Rear, |rotor| rotor.gear_face),
            rotor,
            housing,
        })
        .collect()
}

/// Builds and stock from their files. What a build has of rotors and housings is in its first
/// places and stays there.
///
/// # Errors
/// What is wrong with which file; a part that is at two places; a stock with nothing in it.
pub fn from_files(builds: &[String], stock: &str) -> Result<(Vec<Waits>, Shelf), ChoiceError> {
    let waits = builds
        .iter()
        .enumerate()
        .map(|(file, text)| {
            let read = read_waiting(text)
                .map_err(|problems| ChoiceError::Problems { file, problems: Box::new(problems) })?;
            let mut build = read.build;
            let mut rotors: Vec<_> = build.rotors.drain(..).map(Some).collect();
            rotors.resize(read.rotors, None);
            let mut housings: Vec<_> = build.housings.drain(..).map(Some).collect();
            housings.resize(read.rotors, None);
            let mut assumed = Vec::new();
            let places = places(rotors, housings, &mut assumed);
            Ok(Waits { name: build.name.clone(), id: None, places, assumed, build })
        })
        .collect::<Result<Vec<_>, ChoiceError>>()?;
    let stock = read_stock(stock).map_err(|problems| ChoiceError::Problems {
        file: builds.len(),
        problems: Box::new(problems),
    })?;
    let shelf = Shelf {
        rotors: vec![About::default(); stock.rotors.len()],
        housings: vec![About::default(); stock.housings.len()],
        stock,
        left_out: Vec::new(),
    };
    told_apart(&waits, &shelf)?;
    Ok((waits, shelf))
}

/// Nothing is in two places at once.
pub(super) fn told_apart(waits: &[Waits], shelf: &Shelf) -> Result<(), ChoiceError> {
    let mut known: BTreeMap<(PartKind, &str), &str> = BTreeMap::new();
    let filled = waits.iter().flat_map(|waits| {
        let of = move |kind, serial| ((kind, serial), waits.name.as_str());
        waits.places.iter().flat_map(move |place| {
            let rotor = place.rotor.as_ref().map(|r| of(PartKind::Rotor, r.serial.as_str()));
            let housing =
                place.housing.as_ref().map(|h| of(PartKind::RotorHousing, h.serial.as_str()));
            rotor.into_iter().chain(housing)
        })
    });
    let rotors = shelf.stock.rotors.iter().map(|r| (PartKind::Rotor, r.serial.as_str()));
    let housings = shelf.stock.housings.iter().map(|h| (PartKind::RotorHousing, h.serial.as_str()));
    let shelved = rotors.chain(housings).map(|part| (part, "the stock"));
    for (part, at) in filled.chain(shelved) {
        if let Some(before) = known.insert(part, at) {
            let (kind, serial) = part;
            return Err(ChoiceError::Refused(format!(
                "{kind} {serial} is in {before} and in {at}; a part is in one place: take it out \
                 of the other"
            )));
        }
    }
    Ok(())
}
