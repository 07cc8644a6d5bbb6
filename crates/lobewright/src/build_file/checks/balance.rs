//! What no single value of balance shows: rotors and weights that must be there, what belongs to
//! a kind of place, sensors that must be the same in every run.

mod places;
mod runs;

pub(in crate::build_file) use places::{of_its_kind, places, short_of_the_axis, slug};
pub(in crate::build_file) use runs::{no_trial_after, one_vector, sensors, some_sensors, trial};

use super::speed::{Along, count_within, off, within};
use super::{keys, material_named, mm, repeated};
use crate::build_file::model::Engine;
use crate::build_file::walk::Walk;
use crate::build_file::wording::quoted;
use kernel::units::Length;
use std::collections::{BTreeMap, HashSet};

/// Most things that rotors carry: a rotor has a dozen kinds of parts, and each of six may have
/// its own.
pub(in crate::build_file) const MOST_CARRIED: usize = 128;
/// Most pockets of a rotor.
pub(in crate::build_file) const MOST_POCKETS: usize = 48;
/// Most readings of a rotor on its mandrel, or on its rollers.
pub(in crate::build_file) const MOST_READINGS: usize = 24;
/// A rotor on rollers shows one component at a time: three points give two and what the scale
/// carries of the rest.
const LEAST_ROLLERS: usize = 3;
/// Most sizes of drills of a plane.
pub(in crate::build_file) const MOST_DRILLS: usize = 12;
/// Most angles of one kind of place.
pub(in crate::build_file) const MOST_ANGLES: usize = 48;
/// Most masses that can be added at a place.
pub(in crate::build_file) const MOST_MASSES: usize = 12;
/// Most runs of a shaft.
pub(in crate::build_file) const MOST_RUNS: usize = 24;

/// No more tables than somebody can mean.
pub(in crate::build_file) fn at_most(t: &Walk<'_, '_>, key: &str, most: usize, noun: &str) {
    count_within(t, key, 0..=most, (noun, ""));
}

/// Things of a kind are told apart by their names.
pub(in crate::build_file) fn told_apart(walks: &[Walk<'_, '_>], kind: &str) {
    for (walk, name, first) in repeated(walks, "name") {
        let what = format!("{} is also the name of {kind} {first}", quoted(name));
        walk.wrong("name", what, "a name of its own for each".to_owned(), None);
    }
}

/// What was read of a rotor stands in one table.
pub(in crate::build_file) fn each_rotor_once(walks: &[Walk<'_, '_>]) {
    for (walk, serial, first) in repeated(walks, "serial") {
        let what = format!("{} is also the serial of table {first}", quoted(serial));
        walk.wrong("serial", what, "one table for each rotor".to_owned(), None);
    }
}

/// A rotor that is named is one of the build's.
pub(in crate::build_file) fn rotor_named(t: &Walk<'_, '_>, key: &str, rotors: &[Walk<'_, '_>]) {
    let serials = each_its_own(rotors.iter().map(|rotor| rotor.text_of("serial")));
    let (Some(serial), Some(serials)) = (t.text_of(key), serials) else { return };
    if !serials.is_empty() && !serials.contains(&serial) {
        let what = format!("no rotor {} is in this build", quoted(serial));
        let hint = did_you_mean(serial, &serials);
        t.wrong(key, what, format!("one of {}", serials.join(", ")), hint);
    }
}

/// Tolerance planes are on the shaft, front before rear.
pub(in crate::build_file) fn tolerance_planes(
    t: &Walk<'_, '_>,
    [front, rear]: [Length; 2],
    along: Option<&Along<'_>>,
) {
    if rear <= front {
        let what = format!("{} is not behind {}", mm(rear), mm(front));
        t.wrong_item("tolerance_planes", 1, what, "front before rear".to_owned());
    }
    let Some(length) = along.and_then(|along| along.length) else { return };
    for (i, place) in [front, rear].into_iter().enumerate() {
        if place > length {
            t.wrong_item("tolerance_planes", i, off(place), within(length));
        }
    }
}

/// A place at a key is on the shaft.
pub(in crate::build_file) fn on_shaft(
    t: &Walk<'_, '_>,
    key: &str,
    place: Option<Length>,
    along: Option<&Along<'_>>,
) {
    let Some(length) = along.and_then(|along| along.length) else { return };
    if let Some(place) = place.filter(|place| *place > length) {
        t.wrong(key, off(place), within(length), None);
    }
}

/// Rollers need their arm, and three points or more.
pub(in crate::build_file) fn rollers(t: &Walk<'_, '_>) {
    count_within(t, "rollers", LEAST_ROLLERS..=MOST_READINGS, ("reading", ", all round the rotor"));
    if t.has("rollers") && !t.has("arm") {
        t.missing("arm", || {
            "arm = \"85 mm\" beside rollers: from the axis to where the scale is".to_owned()
        });
    }
    if t.has("arm") && !t.has("rollers") && !t.is_misspelled("rollers") {
        let what = "an arm without rollers".to_owned();
        t.wrong("arm", what, "arm only beside rollers".to_owned(), None);
    }
}

/// What is taken from a rotor was in it.
pub(in crate::build_file) fn inside_flank(
    t: &Walk<'_, '_>,
    radius: Option<Length>,
    engine: Option<&Engine>,
) {
    if let (Some(radius), Some(engine)) = (radius, engine)
        && radius >= engine.generating_radius
    {
        t.wrong(
            "radius",
            format!("a pocket at radius {}", mm(radius)),
            format!("less than generating_radius, {}", mm(engine.generating_radius)),
            None,
        );
    }
}

/// The material of a plane must be known.
pub(in crate::build_file) fn material(t: &Walk<'_, '_>, own: &BTreeMap<String, Walk<'_, '_>>) {
    material_named(t, "material", own);
}

/// A weight that is named is on the shaft.
pub(in crate::build_file) fn weight_named(
    t: &Walk<'_, '_>,
    along: Option<&Along<'_>>,
    no_shaft: bool,
) {
    let Some(name) = t.text_of("weight") else { return };
    let Some(along) = along else {
        if no_shaft {
            t.wrong(
                "weight",
                format!("no [shaft] is there to have the weight {}", quoted(name)),
                "a [shaft] with a [[shaft.weight]] of that name".to_owned(),
                Some("leave weight out; at = \"52 mm\" says where the plane is".to_owned()),
            );
        }
        return;
    };
    let Some(names) = each_its_own(along.weights.iter().map(|(name, _)| *name)) else { return };
    if names.contains(&name) {
        return;
    }
    let expected = if names.is_empty() {
        "a [[shaft.weight]] of that name; the shaft has none".to_owned()
    } else {
        format!("one of {}", names.join(", "))
    };
    let what = format!("no weight {} is on the shaft", quoted(name));
    t.wrong("weight", what, expected, did_you_mean(name, &names));
}

/// Where a plane lies: where it says, or where its weight is.
pub(in crate::build_file) fn plane_at(
    t: &Walk<'_, '_>,
    at: Option<Length>,
    along: Option<&Along<'_>>,
) -> Option<Length> {
    if t.has("at") {
        return at;
    }
    let name = t.text_of("weight")?;
    along?.weights.iter().find(|(known, _)| *known == Some(name))?.1
}

/// The rear plane is behind the front one.
pub(in crate::build_file) fn front_and_rear(
    rear: &Walk<'_, '_>,
    front_at: Option<Length>,
    rear_at: Option<Length>,
) {
    if let (Some(front_at), Some(rear_at)) = (front_at, rear_at)
        && rear_at <= front_at
    {
        rear.wrong(
            if rear.has("at") { "at" } else { "weight" },
            format!("{} is not behind the front plane, {}", mm(rear_at), mm(front_at)),
            "the rear plane behind the front one".to_owned(),
            None,
        );
    }
}

/// Names, if each could be read and is there once: else the one that is wrong may be the one that
/// was meant.
fn each_its_own<'f>(names: impl Iterator<Item = Option<&'f str>>) -> Option<Vec<&'f str>> {
    let names: Vec<&str> = names.collect::<Option<_>>()?;
    let distinct: HashSet<&str> = names.iter().copied().collect();
    (distinct.len() == names.len()).then_some(names)
}

fn did_you_mean(word: &str, known: &[&str]) -> Option<String> {
    keys::nearest(word, known.iter().copied()).map(|near| format!("did you mean {near:?}?"))
}

/// What was read after the cut needs the readings of the cut: without them the plan is still to
/// come.
pub(in crate::build_file) fn read_after_cut(t: &Walk<'_, '_>, serial: &str, uncut: bool) {
    if uncut {
        t.wrong(
            "state",
            format!("\"after cut\", and rotor {serial} has no [rotor.after]"),
            "\"before cut\", or the rotor's readings after its cut in [rotor.after]".to_owned(),
            None,
        );
    }
}
