//! Reads what the rotor at speed depends on. A table cannot do without its sizes; the rest of
//! its keys may be left out.

use super::MOST_ROTORS;
use crate::build_file::checks::speed::{self as checks, Along};
use crate::build_file::limits::{Share, speed as limits};
use crate::build_file::model::{
    AtSpeed, Bearing, Calibration, Engine, Film, Gas, Gear, Heavy, Inertia, Main, Oil, Rotor,
    Section, Shaft, Uncertainty, Weight,
};
use crate::build_file::walk::Walk;
use kernel::units::Length;
use std::collections::BTreeMap;

/// What the rest of the file says that the rotor at speed must agree with.
pub(super) struct Around<'w, 'f, 'i> {
    pub(super) materials: &'w BTreeMap<String, Walk<'f, 'i>>,
    pub(super) engine: Option<&'w Engine>,
    pub(super) rotor_count: Option<i64>,
    pub(super) rotors: &'w [Option<Rotor>],
}

/// What can be said along the shaft, if there is one, and all of it.
pub(super) fn at_speed<'f>(
    file: &Walk<'f, '_>,
    around: &Around<'_, '_, '_>,
) -> (Option<Along<'f>>, Option<AtSpeed>) {
    let (along, shaft) = file.table_if("shaft").map(|t| shaft(&t, around)).unzip();
    let bearings = file.table_if("bearing");
    let bearing_of = |key: &str| bearings.as_ref().and_then(|t| t.table_if(key));
    let rotor_bearing = bearing_of("rotor").map(|t| {
        let bearing = bearing(&t);
        checks::inside_land(&t, bearing.as_ref(), around.engine);
        bearing
    });
    let main_bearing = bearing_of("main").map(|t| bearing(&t));
    let oil = file.table_if("oil").map(|t| oil(&t)).unwrap_or_default();
    let gas = file.table_if("gas").map(|t| gas(&t)).unwrap_or_default();
    let gear = file.table_if("gear").map(|t| gear(&t, around.rotors)).unwrap_or_default();
    let inertia = file.table_if("inertia").map(|t| inertia(&t)).unwrap_or_default();
    let uncertainty = file.table_if("uncertainty").map(|t| uncertainty(&t)).unwrap_or_default();
    let whole = |shaft: Option<Option<Shaft>>| {
        Some(AtSpeed {
            shaft: there_or_left_out(shaft)?,
            rotor_bearing: there_or_left_out(rotor_bearing)?,
            main_bearing: there_or_left_out(main_bearing)?,
            oil,
            gas,
            gear,
            inertia,
            uncertainty,
        })
    };
    (along, whole(shaft))
}

/// A table that is left out is one that could be read: only one that is there and could not be
/// read gives nothing.
pub(super) fn there_or_left_out<T>(table: Option<Option<T>>) -> Option<Option<T>> {
    match table {
        Some(read) => read.map(Some),
        None => Some(None),
    }
}

/// A shaft after what others are laid to along it.
fn shaft<'f>(t: &Walk<'f, '_>, around: &Around<'_, '_, '_>) -> (Along<'f>, Option<Shaft>) {
    let material = t.name_if("material");
    checks::shaft_material(t, around.materials);
    if !t.has("sections") {
        t.missing("sections", || {
            "sections = [{ length = \"60 mm\", outer = \"43 mm\" }, ...], from the front end"
                .to_owned()
        });
    }
    let section_walks = t.each("sections");
    let (lengths, sections): (Vec<_>, Vec<_>) = section_walks.iter().map(section).unzip();
    checks::how_many(t, "sections", 1..=checks::MOST_SECTIONS, "section");
    let of_rotors = ("place", "one for each rotor, its mid-plane from the front end");
    let rotors = t.list("rotors", &limits::PLACE, 1..MOST_ROTORS + 1, of_rotors);
    let of_throws = ("throw", "one for each rotor, from the throw of rotor 1");
    let throws = t.list_if("throws", &limits::THROW, 1..MOST_ROTORS + 1, of_throws);
    let damping = t.share_if("damping", &limits::TWIST_DAMPING);
    if !t.has("main") {
        t.missing("main", || "at least two tables [[shaft.main]], front to rear".to_owned());
    }
    let main_walks = t.each("main");
    let (at_mains, mains): (Vec<_>, Vec<_>) = main_walks.iter().map(main).unzip();
    checks::how_many(t, "main", 2..=checks::MOST_MAINS, "main bearing");
    let weight_walks = t.each("weight");
    let (at_weights, weights): (Vec<_>, Vec<_>) = weight_walks.iter().map(weight).unzip();
    checks::how_many(t, "weight", 0..=checks::MOST_WEIGHTS, "weight");
    checks::names_of_weights(&weight_walks);

    if let Some(rotors) = &rotors {
        checks::one_for_each(t, "rotors", rotors.len(), "place", around.rotor_count);
        checks::apart(t, rotors, around.rotors);
    }
    if let Some(throws) = &throws {
        checks::one_for_each(t, "throws", throws.len(), "throw", around.rotor_count);
        checks::first_throw(t, throws);
    }
    checks::front_to_rear(&main_walks, &at_mains);
    let all = t.count_of("sections") == Some(section_walks.len()) && !lengths.is_empty();
    let length = lengths.into_iter().sum::<Option<Length>>().filter(|_| all);
    if let Some(length) = length {
        if let Some(rotors) = &rotors {
            checks::rotors_on_shaft(t, rotors, length);
        }
        checks::on_shaft(&main_walks, &at_mains, length);
        checks::on_shaft(&weight_walks, &at_weights, length);
    }
    let names = weight_walks.iter().map(|weight| weight.text_of("name"));
    let along = Along { length, weights: names.zip(at_weights).collect() };
    let whole = || {
        Some(Shaft {
            material,
            sections: sections.into_iter().collect::<Option<_>>()?,
            rotors: rotors?,
            throws,
            damping,
            mains: mains.into_iter().collect::<Option<_>>()?,
            weights: weights.into_iter().collect::<Option<_>>()?,
        })
    };
    (along, whole())
}

/// A section, and how long it is even where the rest of it cannot be read: places on the shaft
/// are looked at all the same.
fn section(t: &Walk<'_, '_>) -> (Option<Length>, Option<Section>) {
    let length = t.quantity("length", &limits::SECTION_LENGTH);
    let outer = t.quantity("outer", &limits::SECTION_OUTER);
    let inner = t.quantity_if("inner", &limits::SECTION_INNER);
    checks::hollow(t, outer, inner);
    let section = length.zip(outer).map(|(length, outer)| Section { length, outer, inner });
    (length, section)
}

/// A main bearing after its place.
fn main(t: &Walk<'_, '_>) -> (Option<Length>, Option<Main>) {
    let at = t.quantity("at", &limits::PLACE);
    let stiffness = t.quantity_if("stiffness", &limits::SEAT);
    let moment_stiffness = t.quantity_if("moment_stiffness", &limits::SEAT_MOMENT);
    (at, at.map(|at| Main { at, stiffness, moment_stiffness }))
}

/// A weight after its place.
fn weight(t: &Walk<'_, '_>) -> (Option<Length>, Option<Weight>) {
    let name = t.name("name", "rear counterweight");
    let at = t.quantity("at", &limits::PLACE);
    let mass = t.quantity("mass", &limits::WEIGHT_MASS);
    let amount = t.quantity_if("unbalance", &limits::UNBALANCE);
    let angle = t.quantity_if("angle", &limits::WEIGHT_ANGLE);
    checks::heavy(t, mass, amount);
    let [polar_inertia, diametral_inertia] =
        ["polar_inertia", "diametral_inertia"].map(|key| t.quantity_if(key, &limits::INERTIA));
    checks::solid(t, ("polar_inertia", polar_inertia), ("diametral_inertia", diametral_inertia));
    let unbalance = amount.zip(angle).map(|(amount, angle)| Heavy { amount, angle });
    let weight = name.zip(at).zip(mass).map(|((name, at), mass)| Weight {
        name,
        at,
        mass,
        unbalance,
        polar_inertia,
        diametral_inertia,
    });
    (at, weight)
}

fn bearing(t: &Walk<'_, '_>) -> Option<Bearing> {
    let diameter = t.quantity("diameter", &limits::BEARING_DIAMETER);
    let length = t.quantity("length", &limits::BEARING_LENGTH);
    let clearance = t.quantity("clearance", &limits::BEARING_CLEARANCE);
    let clearance_u = t.quantity_if("clearance_u", &limits::BEARING_CLEARANCE_U);
    let least_film = t.quantity_if("least_film", &limits::LEAST_FILM);
    checks::fits(t, diameter, clearance);
    checks::within_clearance(t, clearance, clearance_u, least_film);
    let film = film(t);
    Some(Bearing {
        diameter: diameter?,
        length: length?,
        clearance: clearance?,
        clearance_u,
        least_film,
        film,
    })
}

/// All four or none: a film that is half computed and half given would be neither.
fn film(t: &Walk<'_, '_>) -> Option<Film> {
    let radial_stiffness = t.quantity_if("radial_stiffness", &limits::FILM_STIFFNESS);
    let radial_damping = t.quantity_if("radial_damping", &limits::FILM_DAMPING);
    let tilt_stiffness = t.quantity_if("tilt_stiffness", &limits::FILM_TILT_STIFFNESS);
    let tilt_damping = t.quantity_if("tilt_damping", &limits::FILM_TILT_DAMPING);
    checks::whole_film(t);
    Some(Film {
        radial_stiffness: radial_stiffness?,
        radial_damping: radial_damping?,
        tilt_stiffness: tilt_stiffness?,
        tilt_damping: tilt_damping?,
    })
}

fn oil(t: &Walk<'_, '_>) -> Oil {
    Oil {
        viscosity: t.quantity_if("viscosity", &limits::VISCOSITY),
        viscosity_u: t.share_if("viscosity_u", &limits::VISCOSITY_U),
    }
}

fn gas(t: &Walk<'_, '_>) -> Gas {
    let gas = Gas {
        compression_ratio: t.share_if("compression_ratio", &limits::COMPRESSION_RATIO),
        manifold_temperature: t.quantity_if("manifold_temperature", &limits::MANIFOLD_TEMPERATURE),
        back_pressure: t.quantity_if("back_pressure", &limits::BACK_PRESSURE),
        intake_opens: t.quantity_if("intake_opens", &limits::INTAKE_OPENS),
        intake_closes: t.quantity_if("intake_closes", &limits::INTAKE_CLOSES),
        exhaust_opens: t.quantity_if("exhaust_opens", &limits::EXHAUST_OPENS),
        exhaust_closes: t.quantity_if("exhaust_closes", &limits::EXHAUST_CLOSES),
        intake_area: t.quantity_if("intake_area", &limits::PORT_AREA),
        exhaust_area: t.quantity_if("exhaust_area", &limits::PORT_AREA),
        ignition: t.quantity_if("ignition", &limits::IGNITION),
        burn: t.quantity_if("burn", &limits::BURN),
        wiebe_a: t.share_if("wiebe_a", &limits::WIEBE_A),
        wiebe_m: t.share_if("wiebe_m", &limits::WIEBE_M),
        heat: t.quantity_if("heat", &limits::HEAT),
        wall_temperature: t.quantity_if("wall_temperature", &limits::WALL_TEMPERATURE),
        wall_loss: t.share_if("wall_loss", &limits::WALL_LOSS),
        hard: t.share_if("hard", &limits::HARD),
        knock: t.share_if("knock", &limits::KNOCK),
        side_share: t.share_if("side_share", &limits::SIDE_SHARE),
        trace: t.name_if("trace"),
    };
    checks::gas(t, &gas);
    gas
}

fn gear(t: &Walk<'_, '_>, rotors: &[Option<Rotor>]) -> Gear {
    let offset = t.quantity_if("offset", &limits::GEAR_OFFSET);
    checks::inside_rotor(t, offset, rotors);
    Gear {
        offset,
        pressure_angle: t.quantity_if("pressure_angle", &limits::PRESSURE_ANGLE),
        seal_drag: t.quantity_if("seal_drag", &limits::SEAL_DRAG),
        backlash: t.quantity_if("backlash", &limits::BACKLASH),
    }
}

fn inertia(t: &Walk<'_, '_>) -> Inertia {
    let [rotor_polar, rotor_diametral] =
        ["rotor_polar", "rotor_diametral"].map(|key| t.quantity_if(key, &limits::INERTIA));
    checks::solid(t, ("rotor_polar", rotor_polar), ("rotor_diametral", rotor_diametral));
    Inertia { rotor_polar, rotor_diametral }
}

fn uncertainty(t: &Walk<'_, '_>) -> Uncertainty {
    Uncertainty {
        model: t.share_if("model", &limits::MODEL_U),
        temperature: t.quantity_if("temperature", &limits::RISE_U),
        expansion: t.share_if("expansion", &limits::RELATIVE_U),
        peak_pressure: t.share_if("peak_pressure", &limits::RELATIVE_U),
        shaft_stiffness: t.share_if("shaft_stiffness", &limits::RELATIVE_U),
        mesh: t.share_if("mesh", &limits::GUESSED_U),
        side_gas: t.share_if("side_gas", &limits::GUESSED_U),
    }
}

/// What the shop's own builds say, all of it: a half would be taken for certain.
pub(super) fn calibration(t: &Walk<'_, '_>) -> Option<Calibration> {
    let number = |key: &str, limit: &Share| {
        if !t.has(key) {
            let (name, example) = (limit.name, limit.example);
            t.missing(key, || format!("{key} = {example}, {name}, without quotes or unit"));
        }
        t.share_if(key, limit)
    };
    let from = t.name("from", "seven builds of 2026");
    let tilt = (number("tilt", &limits::TAUGHT_SCALE), number("tilt_u", &limits::TAUGHT_U));
    let heat = (number("heat", &limits::TAUGHT_SCALE), number("heat_u", &limits::TAUGHT_U));
    let below = t.quantity("contact_below", &limits::CONTACT_BELOW);
    let below_u = t.quantity("contact_below_u", &limits::CONTACT_BELOW_U);
    let together = ["tilt_heat", "tilt_contact", "heat_contact"]
        .map(|key| t.share_if(key, &limits::TOGETHER).unwrap_or(0.0));
    let read = Calibration {
        from: from?,
        tilt: [tilt.0?, tilt.1?],
        heat: [heat.0?, heat.1?],
        contact_below: [below?, below_u?],
        together,
    };
    checks::goes_together(t, &read);
    Some(read)
}
