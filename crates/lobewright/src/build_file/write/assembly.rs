//! Writes what is asked, and what was read, when the engine goes together.

use super::{Lines, Readable, table, words};
use crate::build_file::model::assembly::{
    Assembled, Assembly, Fit, SealsFits, ShaftFits, Spring, Tighten,
};
use kernel::assembly::{Thicker, Wanted};
use kernel::units::Length;
use std::collections::BTreeMap;

pub(super) fn assembly(file: &mut Lines, assembly: &Assembly) {
    if *assembly == Assembly::default() {
        return;
    }
    file.head("[assembly]");
    for fit in Fit::ALL {
        wanted(file, fit.key(), assembly.sizes.get(&fit));
    }
    for spring in Spring::ALL {
        wanted(file, spring.load(), assembly.loads.get(&spring));
    }
    if !assembly.spacers.is_empty() {
        file.list("spacers", &assembly.spacers);
    }
    file.quantity_if("spacer_u", assembly.spacer_u);
    if let Some(thicker) = assembly.thicker_spacer {
        let word = match thicker {
            Thicker::MorePlay => "more play",
            Thicker::LessPlay => "less play",
        };
        file.value("thicker_spacer", words(word));
    }
    assembly.tighten.iter().for_each(|step| tighten(file, step));
}

fn wanted<Q: Readable>(file: &mut Lines, key: &str, wanted: Option<&Wanted<Q>>) {
    let Some(wanted) = wanted else { return };
    let ends = [("least", wanted.least()), ("most", wanted.most())];
    let given: Vec<(&str, Q)> =
        ends.into_iter().filter_map(|(key, end)| Some((key, end?))).collect();
    file.value(key, table(&given));
}

fn tighten(file: &mut Lines, step: &Tighten) {
    file.head("[[assembly.tighten]]");
    file.value("fasteners", words(&step.fasteners));
    file.quantity_if("torque", step.torque);
    file.quantity_if("angle", step.angle);
    file.words_if("note", step.note.as_deref());
}

pub(super) fn assembled(file: &mut Lines, assembled: &Assembled) {
    if let Some(each) = &assembled.shaft {
        shaft(file, each);
    }
    if let Some(each) = &assembled.seals {
        seals(file, each);
    }
}

fn shaft(file: &mut Lines, shaft: &ShaftFits) {
    file.head("[[assembled.shaft]]");
    file.value("serial", words(&shaft.serial));
    file.quantity_if("shaft_runout", shaft.shaft_runout);
    file.quantity_if("end_play", shaft.end_play);
    file.quantity_if("spacer", shaft.spacer);
    file.words_if("end_play_gauge", shaft.end_play_gauge.as_deref());
    file.words_if("runout_gauge", shaft.runout_gauge.as_deref());
    file.words_if("bearing_gauge", shaft.bearing_gauge.as_deref());
    bearings(file, "main", &shaft.mains);
    bearings(file, "rotor", &shaft.rotors);
}

fn bearings(file: &mut Lines, of: &str, clearances: &BTreeMap<usize, Length>) {
    for (number, clearance) in clearances {
        file.head(&format!("[assembled.shaft.{of}.{number}]"));
        file.quantity("clearance", *clearance);
    }
}

fn seals(file: &mut Lines, seals: &SealsFits) {
    file.head("[[assembled.seals]]");
    file.value("serial", words(&seals.serial));
    file.words_if("gap_gauge", seals.gap_gauge.as_deref());
    file.words_if("protrusion_gauge", seals.protrusion_gauge.as_deref());
    file.words_if("height_gauge", seals.height_gauge.as_deref());
    file.quantity_if("load_u", seals.load_u);
    for (number, rotor) in &seals.rotors {
        file.head(&format!("[assembled.seals.rotor.{number}]"));
        rotor.sizes.iter().for_each(|(fit, value)| file.quantity(fit.key(), *value));
        rotor.loads.iter().for_each(|(spring, value)| file.quantity(spring.load(), *value));
    }
}
