//! Writes what balancing depends on. A table of which nothing is given is left out, but for a
//! plane: that it is there says that metal may be taken there.

use super::{Lines, entry, words};
use crate::build_file::model::Balance;
use crate::build_file::model::balance::{
    Amplitude, BalanceRotor, Carried, CorrectionPlane, Counted, Instrument, MeasuredUnbalance,
    Phase, Place, Pocket, Run, SensorReading, Shown, Spot,
};

pub(super) fn balance(file: &mut Lines, balance: &Balance) {
    if *balance == Balance::default() {
        return;
    }
    file.head("[balance]");
    for (key, grade) in [("grade", balance.grade), ("rotor_grade", balance.rotor_grade)] {
        if let Some(grade) = grade {
            file.value(key, words(&grade.to_string()));
        }
    }
    file.quantity_if("speed", balance.speed);
    file.quantity_if("match", balance.matching);
    file.quantity_if("scale_u", balance.scale_u);
    file.quantity_if("mass", balance.mass);
    if let Some(planes) = &balance.tolerance_planes {
        file.list("tolerance_planes", planes);
    }
    file.quantity_if("journal_unbalance", balance.journal_unbalance);
    if let Some(weights) = &balance.bob_weights {
        file.list("bob_weights", weights);
    }
    if balance.instrument != Instrument::default() {
        file.head("[balance.instrument]");
        instrument(file, &balance.instrument);
    }
    balance.carried.iter().for_each(|each| carried(file, each));
    if let Some(oil) = &balance.oil {
        file.head("[balance.oil]");
        file.quantity("amount", oil.amount);
        file.quantity_if("angle", oil.angle);
        file.quantity_if("offset", oil.offset);
    }
    balance.rotors.iter().for_each(|each| rotor(file, each));
    balance.pockets.iter().for_each(|each| pocket(file, each));
    for (name, each) in [("front", &balance.front), ("rear", &balance.rear)] {
        if let Some(each) = each {
            plane(file, name, each);
        }
    }
    for (name, each) in [("measured", &balance.measured), ("after", &balance.after)] {
        if let Some(MeasuredUnbalance { front, rear }) = each {
            file.head(&format!("[balance.{name}]"));
            file.value("front", shown(front));
            file.value("rear", shown(rear));
        }
    }
    balance.runs.iter().for_each(|each| run(file, each));
}

fn instrument(file: &mut Lines, instrument: &Instrument) {
    file.words_if("spot", instrument.spot.map(Spot::name));
    file.words_if("angles", instrument.angles.map(Counted::name));
    file.words_if("phase", instrument.phase.map(Phase::name));
    file.quantity_if("zero", instrument.zero);
    file.quantity_if("u", instrument.u);
    file.number_if("u_share", instrument.u_share);
    file.number_if("vibration_u", instrument.vibration_u);
    file.quantity_if("speed", instrument.speed);
}

fn carried(file: &mut Lines, carried: &Carried) {
    file.head("[[balance.carried]]");
    file.value("name", words(&carried.name));
    file.quantity("mass", carried.mass);
    file.quantity_if("offset", carried.offset);
    file.words_if("rotor", carried.rotor.as_deref());
    file.value("weighed", words(if carried.with_rotor { "with rotor" } else { "apart" }));
}

fn rotor(file: &mut Lines, rotor: &BalanceRotor) {
    file.head("[[balance.rotor]]");
    file.value("serial", words(&rotor.serial));
    let state = |after_cut| if after_cut { "after cut" } else { "before cut" };
    file.words_if("state", rotor.after_cut.map(state));
    file.quantity_if("mass_centre", rotor.mass_centre);
    file.quantity_if("mass_centre_u", rotor.mass_centre_u);
    let mandrel = rotor.mandrel.iter().map(|reading| {
        [
            entry("turned", reading.turned),
            entry("amount", reading.amount),
            entry("angle", reading.angle),
        ]
        .join(", ")
    });
    file.tables("mandrel", mandrel);
    let rollers = rotor
        .rollers
        .iter()
        .map(|reading| [entry("at", reading.at), entry("mass", reading.mass)].join(", "));
    file.tables("rollers", rollers);
    file.quantity_if("arm", rotor.arm);
}

fn pocket(file: &mut Lines, pocket: &Pocket) {
    file.head("[[balance.pocket]]");
    file.value("name", words(&pocket.name));
    file.quantity("angle", pocket.angle);
    file.quantity("radius", pocket.radius);
    file.quantity_if("offset", pocket.offset);
    file.quantity("most", pocket.most);
}

fn plane(file: &mut Lines, name: &str, plane: &CorrectionPlane) {
    file.head(&format!("[balance.{name}]"));
    file.words_if("weight", plane.weight.as_deref());
    file.quantity_if("at", plane.at);
    file.words_if("material", plane.material.as_deref());
    if !plane.drills.is_empty() {
        file.list("drills", &plane.drills);
    }
    file.quantity_if("point_angle", plane.point_angle);
    file.quantity_if("least_depth", plane.least_depth);
    file.quantity_if("depth_step", plane.depth_step);
    file.quantity_if("between", plane.between);
    file.quantity_if("to_edge", plane.to_edge);
    file.quantity_if("slug_density", plane.slug_density);
    for each in &plane.places {
        file.head(&format!("[[balance.{name}.place]]"));
        place(file, each);
    }
}

fn place(file: &mut Lines, place: &Place) {
    file.value("how", words(place.how.name()));
    file.list("angles", &place.angles);
    file.quantity("radius", place.radius);
    file.quantity_if("deepest", place.deepest);
    file.quantity_if("edge", place.edge);
    file.quantity_if("face_at", place.face_at);
    file.quantity_if("width", place.width);
    if !place.masses.is_empty() {
        file.list("masses", &place.masses);
    }
}

fn run(file: &mut Lines, run: &Run) {
    file.head("[[balance.run]]");
    if run.after_correction {
        file.value("state", words("after correction"));
    }
    file.quantity("speed", run.speed);
    for (key, trial) in [("front", &run.front), ("rear", &run.rear)] {
        if let Some(trial) = trial {
            file.value(key, shown(trial));
        }
    }
    file.tables("sensors", run.sensors.iter().map(sensor));
}

fn sensor(sensor: &SensorReading) -> String {
    let amplitude = match sensor.amplitude {
        Amplitude::Displacement(length) => entry("amplitude", length),
        Amplitude::Velocity(velocity) => entry("velocity", velocity),
    };
    let name = format!("name = {}", words(&sensor.name));
    [name, amplitude, entry("phase", sensor.phase)].join(", ")
}

fn shown(shown: &Shown) -> String {
    format!("{{ {}, {} }}", entry("amount", shown.amount), entry("angle", shown.angle))
}
