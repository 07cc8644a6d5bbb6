//! The cards of a build file.

use super::ConditionReport;
use super::report::{Cards, Laid, Read, outer_face, report};
use crate::build_file::Build;
use crate::build_file::model::condition::{Found, FoundValue};
use crate::ops::inputs::{TakenWith, mains};
use kernel::condition::{Counts, Part};
use kernel::units::System;
use std::collections::BTreeMap;

/// The cards of a build: what its file says parts may be like, and what was found on them.
#[must_use]
pub fn condition(build: &Build, first: System) -> ConditionReport {
    report(&build.name, &build.condition, &cards_of(build), first)
}

/// The parts of a file with what it says was found on them.
pub(in crate::ops) fn cards_of(build: &Build) -> Cards {
    let rotors = build.rotors.len();
    let of_shaft = build.at_speed.shaft.as_ref().map_or(0, |shaft| shaft.mains.len());
    let counts = Counts { rotors, mains: mains(of_shaft).max(rotors + 1) };
    let mut laid = Vec::new();
    let mut add = |part: Part, serial: &str, of_plan: BTreeMap<String, Read>, outer| {
        let mut read = of_plan;
        if let Some(card) = build.inspected.iter().find(|i| i.part == part && i.serial == serial) {
            read.extend(card.read.iter().map(|(name, found)| (name.clone(), of(build, found))));
        }
        laid.push(Laid { part, serial: serial.to_owned(), read, outer });
    };
    for housing in &build.housings {
        let with = housing.gauge.as_deref().and_then(|name| taken_with(build, name));
        let read = (1..).zip(&housing.width).map(|(number, width)| {
            (format!("width.{number}"), Read::Length { value: *width, with: with.clone() })
        });
        add(Part::RotorHousing, &housing.serial, read.collect(), None);
    }
    for (number, side) in (1..).zip(&build.side_housings) {
        let mut read = BTreeMap::new();
        for (key, wear) in [("land_wear", side.land_wear), ("tip_wear", side.tip_wear)] {
            for (face, depth) in [("front", wear.front()), ("rear", wear.rear())] {
                let depth = Read::Length { value: depth, with: None };
                read.insert(format!("{key}.{face}"), depth);
            }
        }
        add(Part::SideHousing, &side.serial, read, outer_face(number, rotors));
    }
    for rotor in &build.rotors {
        add(Part::Rotor, &rotor.serial, BTreeMap::new(), None);
    }
    // What is in no other table of the file has a card where something was found on it, or where
    // it is known to be in.
    for (part, known) in [
        (Part::Shaft, build.assembled.shaft.as_ref().map(|shaft| shaft.serial.as_str())),
        (Part::StationaryGear, None),
        (Part::Bearing, None),
        (Part::Seals, build.assembled.seals.as_ref().map(|seals| seals.serial.as_str())),
    ] {
        let cards = build.inspected.iter().filter(|card| card.part == part);
        let mut serials: Vec<&str> = cards.map(|card| card.serial.as_str()).collect();
        serials.extend(known.filter(|known| !serials.contains(known)));
        for serial in serials {
            add(part, serial, BTreeMap::new(), None);
        }
    }
    Cards { laid, counts }
}

fn taken_with(build: &Build, name: &str) -> Option<TakenWith> {
    let gauge = build.gauges.get(name)?;
    let zero = gauge.zero.unwrap_or_default();
    Some(TakenWith { name: name.to_owned(), repeat: gauge.repeat, zero })
}

fn of(build: &Build, found: &Found) -> Read {
    let named = found.gauge.as_deref();
    match found.value {
        FoundValue::Length(value) => {
            Read::Length { value, with: named.and_then(|name| taken_with(build, name)) }
        }
        // A file has no gauges of forces: it names one, and its uncertainty is assumed.
        FoundValue::Load(value) => Read::Load { value, u: None, gauge: named.map(str::to_owned) },
        FoundValue::Seen(word) => Read::Seen(word.to_owned()),
    }
}
