//! Writes what the rotor at speed depends on. A table of which nothing is given is left out.

use super::{Lines, entry, words};
use crate::build_file::model::{
    AtSpeed, Bearing, Calibration, Gas, Gear, Inertia, Oil, Shaft, Uncertainty, Weight,
};

pub(super) fn at_speed(file: &mut Lines, at_speed: &AtSpeed) {
    if let Some(each) = &at_speed.shaft {
        shaft(file, each);
    }
    for (head, each) in
        [("[bearing.rotor]", &at_speed.rotor_bearing), ("[bearing.main]", &at_speed.main_bearing)]
    {
        if let Some(each) = each {
            file.head(head);
            bearing(file, each);
        }
    }
    if at_speed.oil != Oil::default() {
        file.head("[oil]");
        file.quantity_if("viscosity", at_speed.oil.viscosity);
        file.number_if("viscosity_u", at_speed.oil.viscosity_u);
    }
    if at_speed.gas != Gas::default() {
        file.head("[gas]");
        gas(file, &at_speed.gas);
    }
    if at_speed.gear != Gear::default() {
        file.head("[gear]");
        file.quantity_if("offset", at_speed.gear.offset);
        file.quantity_if("pressure_angle", at_speed.gear.pressure_angle);
        file.quantity_if("seal_drag", at_speed.gear.seal_drag);
        file.quantity_if("backlash", at_speed.gear.backlash);
    }
    if at_speed.inertia != Inertia::default() {
        file.head("[inertia]");
        file.quantity_if("rotor_polar", at_speed.inertia.rotor_polar);
        file.quantity_if("rotor_diametral", at_speed.inertia.rotor_diametral);
    }
    if at_speed.uncertainty != Uncertainty::default() {
        file.head("[uncertainty]");
        uncertainty(file, &at_speed.uncertainty);
    }
}

fn shaft(file: &mut Lines, shaft: &Shaft) {
    file.head("[shaft]");
    file.words_if("material", shaft.material.as_deref());
    let sections = shaft.sections.iter().map(|section| {
        let mut entries = vec![entry("length", section.length), entry("outer", section.outer)];
        entries.extend(section.inner.map(|inner| entry("inner", inner)));
        entries.join(", ")
    });
    file.tables("sections", sections);
    file.list("rotors", &shaft.rotors);
    if let Some(throws) = &shaft.throws {
        file.list("throws", throws);
    }
    file.number_if("damping", shaft.damping);
    for main in &shaft.mains {
        file.head("[[shaft.main]]");
        file.quantity("at", main.at);
        file.quantity_if("stiffness", main.stiffness);
        file.quantity_if("moment_stiffness", main.moment_stiffness);
    }
    shaft.weights.iter().for_each(|each| weight(file, each));
}

fn weight(file: &mut Lines, weight: &Weight) {
    file.head("[[shaft.weight]]");
    file.value("name", words(&weight.name));
    file.quantity("at", weight.at);
    file.quantity("mass", weight.mass);
    if let Some(unbalance) = weight.unbalance {
        file.quantity("unbalance", unbalance.amount);
        file.quantity("angle", unbalance.angle);
    }
    file.quantity_if("polar_inertia", weight.polar_inertia);
    file.quantity_if("diametral_inertia", weight.diametral_inertia);
}

fn bearing(file: &mut Lines, bearing: &Bearing) {
    file.quantity("diameter", bearing.diameter);
    file.quantity("length", bearing.length);
    file.quantity("clearance", bearing.clearance);
    file.quantity_if("clearance_u", bearing.clearance_u);
    file.quantity_if("least_film", bearing.least_film);
    if let Some(film) = bearing.film {
        file.quantity("radial_stiffness", film.radial_stiffness);
        file.quantity("radial_damping", film.radial_damping);
        file.quantity("tilt_stiffness", film.tilt_stiffness);
        file.quantity("tilt_damping", film.tilt_damping);
    }
}

fn gas(file: &mut Lines, gas: &Gas) {
    file.number_if("compression_ratio", gas.compression_ratio);
    file.quantity_if("manifold_temperature", gas.manifold_temperature);
    file.quantity_if("back_pressure", gas.back_pressure);
    file.quantity_if("intake_opens", gas.intake_opens);
    file.quantity_if("intake_closes", gas.intake_closes);
    file.quantity_if("exhaust_opens", gas.exhaust_opens);
    file.quantity_if("exhaust_closes", gas.exhaust_closes);
    file.quantity_if("intake_area", gas.intake_area);
    file.quantity_if("exhaust_area", gas.exhaust_area);
    file.quantity_if("ignition", gas.ignition);
    file.quantity_if("burn", gas.burn);
    file.number_if("wiebe_a", gas.wiebe_a);
    file.number_if("wiebe_m", gas.wiebe_m);
    file.quantity_if("heat", gas.heat);
    file.quantity_if("wall_temperature", gas.wall_temperature);
    file.number_if("wall_loss", gas.wall_loss);
    file.number_if("hard", gas.hard);
    file.number_if("knock", gas.knock);
    file.number_if("side_share", gas.side_share);
    file.words_if("trace", gas.trace.as_deref());
}

fn uncertainty(file: &mut Lines, uncertainty: &Uncertainty) {
    file.number_if("model", uncertainty.model);
    file.quantity_if("temperature", uncertainty.temperature);
    file.number_if("expansion", uncertainty.expansion);
    file.number_if("peak_pressure", uncertainty.peak_pressure);
    file.number_if("shaft_stiffness", uncertainty.shaft_stiffness);
    file.number_if("mesh", uncertainty.mesh);
    file.number_if("side_gas", uncertainty.side_gas);
}

/// What the shop's own builds say of the engine at speed.
pub(super) fn calibration(file: &mut Lines, taught: &Calibration) {
    file.head("[spec.calibration]");
    file.value("from", words(&taught.from));
    let [tilt, tilt_u] = taught.tilt;
    let [heat, heat_u] = taught.heat;
    for (key, value) in [("tilt", tilt), ("tilt_u", tilt_u), ("heat", heat), ("heat_u", heat_u)] {
        file.number_if(key, Some(value));
    }
    let [below, below_u] = taught.contact_below;
    file.quantity("contact_below", below);
    file.quantity("contact_below_u", below_u);
    for (key, value) in
        ["tilt_heat", "tilt_contact", "heat_contact"].into_iter().zip(taught.together)
    {
        file.number_if(key, (value != 0.0).then_some(value));
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Readable, text};
    use kernel::units::{Quantity, Stiffness, Unbalance, Viscosity};

    /// What a shop wrote, as it is written back.
    fn back<Q: Readable>(written: &str) -> String {
        text(Q::parse(written).unwrap())
    }

    #[test]
    fn units_are_those_of_the_shop_where_they_are_exact() {
        assert_eq!(back::<Stiffness>("0.3 kN/mm"), "\"0.3 N/um\"");
        assert_eq!(back::<Unbalance>("31 kg mm"), "\"31000 g mm\"");
        assert_eq!(back::<Viscosity>("9 cP"), "\"9 mPa s\"");
        // An ounce inch is no short number of gram millimetres: digits that give the same bits.
        let odd = back::<Unbalance>("3 oz in");
        let same = Unbalance::parse(odd.trim_matches('"')).unwrap();
        assert_eq!(same, Unbalance::parse("3 oz in").unwrap());
    }
}
