//! The assembly sheet of a build file.

use super::AssemblyReport;
use super::lines::report;
use super::read::{Asks, ReadAll, ReadLoad, ReadSize};
use crate::build_file::Build;
use crate::build_file::model::assembly::Fit;
use crate::ops::inputs::TakenWith;
use kernel::units::{Length, System};

/// The assembly sheet of a build: what its file asks, and what it says was read.
#[must_use]
pub fn assembly(build: &Build, first: System) -> AssemblyReport {
    report(&build.name, &Asks::of(build), &read_of(build), first)
}

/// What a file says was read.
pub(in crate::ops) fn read_of(build: &Build) -> ReadAll {
    let with = |name: &Option<String>| {
        let name = name.as_deref()?;
        let gauge = build.gauges.get(name)?;
        let zero = gauge.zero.unwrap_or_default();
        Some(TakenWith { name: name.to_owned(), repeat: gauge.repeat, zero })
    };
    let mut all = ReadAll::default();
    if let Some(shaft) = &build.assembled.shaft {
        all.shaft = Some(shaft.serial.clone());
        all.spacer = shaft.spacer;
        let mut put = |fit: Fit, of: Option<usize>, value: Option<Length>, gauge| {
            let read = |value| ReadSize { value, with: with(gauge) };
            all.sizes.extend(value.map(|value| ((fit, of), read(value))));
        };
        put(Fit::ShaftRunout, None, shaft.shaft_runout, &shaft.runout_gauge);
        put(Fit::EndPlay, None, shaft.end_play, &shaft.end_play_gauge);
        for (fit, values) in [(Fit::MainBearing, &shaft.mains), (Fit::RotorBearing, &shaft.rotors)]
        {
            for (number, value) in values {
                put(fit, Some(*number), Some(*value), &shaft.bearing_gauge);
            }
        }
    }
    if let Some(seals) = &build.assembled.seals {
        all.seals = Some(seals.serial.clone());
        for (number, fits) in &seals.rotors {
            for (fit, value) in &fits.sizes {
                let gauge = match fit {
                    Fit::OilProtrusion => &seals.protrusion_gauge,
                    Fit::SpringHeight(_) => &seals.height_gauge,
                    _ => &seals.gap_gauge,
                };
                let read = ReadSize { value: *value, with: with(gauge) };
                all.sizes.insert((*fit, Some(*number)), read);
            }
            for (spring, value) in &fits.loads {
                let read = ReadLoad { value: *value, u: seals.load_u, gauge: None };
                all.loads.insert((*spring, *number), read);
            }
        }
    }
    all
}
