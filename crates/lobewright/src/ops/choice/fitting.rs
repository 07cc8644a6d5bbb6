//! Builds of the shop that wait, and the parts of a choice put into them.

use super::super::ShopError;
use super::super::sheet::{ChangeError, Fitting, fit};
use kernel::units::{Length, Quantity, System};
use records::{
    BuildId, BuildSearch, GearFace, Moment, PartId, PartKind, PersonId, RecordsError, Shop,
};
use thiserror::Error;

/// An open build with places that are not filled.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Open {
    /// Its number.
    pub build: BuildId,
    /// What it is called.
    pub name: String,
    /// How many rotors it lacks.
    pub rotors: usize,
    /// How many rotor housings.
    pub housings: usize,
}

/// How many rotors and housings an open build lacks; nothing where it is not said how many its
/// engine has.
///
/// # Errors
/// What the shop's file says.
pub fn lacks(shop: &Shop, build: BuildId) -> Result<Option<[usize; 2]>, RecordsError> {
    let values = shop.values(build)?;
    let rotors = values.iter().find(|line| line.place == "engine.rotors");
    let Some(rotors) = rotors.and_then(|line| line.value.parse::<usize>().ok()) else {
        return Ok(None);
    };
    let fitted = shop.fitted(build)?;
    let lacks = |kind: PartKind| {
        let here = fitted.iter().filter(|part| part.kind == kind && part.out.is_none()).count();
        rotors.saturating_sub(here)
    };
    Ok(Some([lacks(PartKind::Rotor), lacks(PartKind::RotorHousing)]))
}

/// The open builds that lack rotors or housings, as the list of builds has them.
///
/// # Errors
/// What the shop's file says.
pub fn that_wait(shop: &Shop) -> Result<Vec<Open>, RecordsError> {
    let open = BuildSearch { text: "", open: Some(true), from: 0, most: usize::MAX >> 1 };
    let mut all = Vec::new();
    for listed in shop.builds(&open)? {
        let build = listed.build;
        if let Some([rotors, housings]) = lacks(shop, build.id)?
            && rotors + housings > 0
        {
            all.push(Open { build: build.id, name: build.head.name, rotors, housings });
        }
    }
    Ok(all)
}

/// A part of the shelf that goes into a build.
#[derive(Debug, Clone, PartialEq)]
pub struct ToFit {
    /// Into which one.
    pub build: BuildId,
    /// Which part.
    pub part: PartId,
    /// Of a rotor: which way its gear face looks.
    pub gear_face: GearFace,
    /// Of a housing that is read loose: how much it shortens when clamped, and the uncertainty of
    /// that.
    pub clamp_up: Option<[Length; 2]>,
}

/// Why not all of a choice was put into its builds.
#[derive(Debug, Error)]
#[error("{}{serial} is not put in: {source}", already(.done))]
pub struct FitError {
    /// The parts that are in by now.
    pub done: Vec<String>,
    /// The one that is not.
    pub serial: String,
    /// Why.
    pub source: ChangeError,
}

fn already(done: &[String]) -> String {
    if done.is_empty() { String::new() } else { format!("{} put in; ", done.join(", ")) }
}

/// Puts parts into the next free places of their builds, in the order in which they are given. One
/// that cannot be put in ends it: those before it are in.
///
/// # Errors
/// Which one cannot be put in, and why.
pub fn fit_all(
    shop: &Shop,
    parts: &[ToFit],
    by: (PersonId, &Moment),
    first: System,
) -> Result<(), FitError> {
    let mut done: Vec<String> = Vec::new();
    for to_fit in parts {
        let failed = |done: &[String], serial: String, source: ChangeError| FitError {
            done: done.to_vec(),
            serial,
            source,
        };
        let part = shop.part(to_fit.part).map_err(|error| {
            failed(&done, format!("part {}", to_fit.part), ShopError::Records(error).into())
        })?;
        let written = to_fit.clamp_up.map(|both| both.map(|length| length.written()));
        let new = Fitting {
            build: to_fit.build,
            kind: part.kind,
            serial: &part.serial,
            gear_face: (part.kind == PartKind::Rotor).then_some(to_fit.gear_face),
            clamp_up: written.as_ref().map(|[by, u]| [by.as_str(), u.as_str()]),
            instead: None,
        };
        fit(shop, &new, by, first).map_err(|error| failed(&done, part.serial.clone(), error))?;
        done.push(part.serial.clone());
    }
    Ok(())
}
