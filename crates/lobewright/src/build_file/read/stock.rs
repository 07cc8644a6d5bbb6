//! Reads parts in stock, and builds that wait for some of their rotors and housings.

use super::super::checks;
use super::super::keys::{FILE, STOCK};
use super::super::model::{Build, Stock};
use super::super::problem::Problems;
use super::super::walk::Walk;
use super::{Facing, Filled, build, every, gauge, gauges_named, housing, read_as, rotor};

/// A build that waits for parts.
#[derive(Debug, Clone, PartialEq)]
pub struct Waiting {
    /// What its file says: of rotors and housings those that are in it, in order from the front.
    pub build: Build,
    /// How many rotors its engine has.
    pub rotors: usize,
}

/// Reads a file of parts in stock: `format`, gauges, and rotors and housings of any number. Which
/// way a gear face looks is said by the engine that a rotor is put in, not here.
///
/// # Errors
/// As [`super::read`].
pub fn read_stock(text: &str) -> Result<Stock, Problems> {
    read_as(text, STOCK, stock)
}

/// Reads a build file that may have fewer rotors and housings than its engine.
///
/// # Errors
/// As [`super::read`].
pub fn read_waiting(text: &str) -> Result<Waiting, Problems> {
    read_as(text, FILE, |file| {
        let build = build(file, Filled::AsFar)?;
        // Looked at already: whatever is wrong with it has been said.
        let rotors = file.table("engine")?.count("rotors", 1..i64::MAX)?;
        Some(Waiting { build, rotors: usize::try_from(rotors).ok()? })
    })
}

fn stock(file: &Walk<'_, '_>) -> Option<Stock> {
    let gauges = file.by_name("gauge");
    let housing_walks = file.each("housing");
    let housings: Vec<_> = housing_walks.iter().map(housing).collect();
    let rotor_walks = file.each("rotor");
    let rotors: Vec<_> = rotor_walks.iter().map(|t| rotor(t, Facing::Open)).collect();
    for walks in [&housing_walks, &rotor_walks] {
        checks::told_apart(walks, "serial");
    }
    gauges_named(&housing_walks, &rotor_walks, &gauges);
    let gauges = every(gauges.into_iter().map(|(name, t)| Some((name, gauge(&t)?))));
    Some(Stock {
        gauges: gauges?,
        housings: housings.into_iter().collect::<Option<_>>()?,
        rotors: rotors.into_iter().collect::<Option<_>>()?,
    })
}
