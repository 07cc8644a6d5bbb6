//! What no single value of the rotor at speed shows: places on the shaft, masses that no part
//! can have, films thicker than their clearance.

use super::{material_named, mm, told_apart};
use crate::build_file::model::{Bearing, Calibration, Engine, Gas, Rotor};
use crate::build_file::walk::Walk;
use crate::build_file::wording::quoted;
use crate::build_file::write;
use kernel::units::{Angle, Length, Mass, MomentOfInertia, Unbalance};
use std::collections::BTreeMap;
use std::ops::RangeInclusive;

/// Most sections of a shaft: a drawing has twenty.
pub(in crate::build_file) const MOST_SECTIONS: usize = 64;
/// Most main bearings: one more than rotors of the longest engine, and one on the tail.
pub(in crate::build_file) const MOST_MAINS: usize = 8;
/// Most weights on a shaft.
pub(in crate::build_file) const MOST_WEIGHTS: usize = 32;
/// Most clearance of a bearing over its diameter: ten times what is fitted, and more than any
/// worn bearing has.
const MOST_CLEARANCE_SHARE: f64 = 0.01;
/// Farthest that the mass centre of a weight may lie from the shaft's axis: beyond it the unit
/// of the unbalance was a slip.
const FARTHEST_MASS: Length = Length::mm(500.0);

/// What others are laid to along the shaft, known even where the shaft cannot be read as a whole.
pub(in crate::build_file) struct Along<'f> {
    /// What its sections add up to.
    pub(in crate::build_file) length: Option<Length>,
    /// Name and place of each weight.
    pub(in crate::build_file) weights: Vec<(Option<&'f str>, Option<Length>)>,
}

/// The shaft's material must be known, and springy.
pub(in crate::build_file) fn shaft_material(
    t: &Walk<'_, '_>,
    own: &BTreeMap<String, Walk<'_, '_>>,
) {
    material_named(t, "material", own);
    let Some(name) = t.text_of("material") else { return };
    let Some(material) = own.get(name) else { return };
    for key in ["young", "poisson"] {
        if !material.has(key) && !material.is_misspelled(key) {
            let example = if key == "young" { "\"205 GPa\"" } else { "0.29" };
            t.wrong(
                "material",
                format!("material {} has no {key}", quoted(name)),
                format!("{key} = {example} in [material.{}]", write::key(name)),
                None,
            );
        }
    }
}

/// As many tables as a shaft can have; none at all is said by who misses them.
pub(in crate::build_file) fn how_many(
    t: &Walk<'_, '_>,
    key: &str,
    counts: RangeInclusive<usize>,
    noun: &str,
) {
    let order = if *counts.start() == 0 { "" } else { ", front to rear" };
    count_within(t, key, counts, (noun, order));
}

/// As many tables as can be, and what is said of their order.
pub(super) fn count_within(
    t: &Walk<'_, '_>,
    key: &str,
    counts: RangeInclusive<usize>,
    (noun, order): (&str, &str),
) {
    let Some(count) = t.count_of(key) else { return };
    if counts.contains(&count) || t.is_misspelled(key) {
        return;
    }
    let expected = match (counts.start(), counts.end()) {
        (0, most) => format!("at most {most}{order}"),
        (least, most) => format!("{least} to {most}{order}"),
    };
    t.wrong(key, counted(count, noun), expected, None);
}

/// One value for each rotor of the engine.
pub(in crate::build_file) fn one_for_each(
    t: &Walk<'_, '_>,
    key: &str,
    count: usize,
    noun: &str,
    rotors: Option<i64>,
) {
    let Some(rotors) = rotors.and_then(|rotors| usize::try_from(rotors).ok()) else { return };
    if count != rotors {
        t.wrong(
            key,
            format!("{} for {}", counted(count, noun), counted(rotors, "rotor")),
            "one for each of the engine's rotors, front to rear".to_owned(),
            None,
        );
    }
}

/// Rotors follow each other from the front, and not inside each other.
pub(in crate::build_file) fn apart(t: &Walk<'_, '_>, at: &[Length], rotors: &[Option<Rotor>]) {
    let width = |i: usize| rotors.get(i)?.as_ref().map(widest);
    for i in 1..at.len() {
        let (before, here) = (at[i - 1], at[i]);
        if here <= before {
            t.wrong_item("rotors", i, not_behind(here, before), "rotors front to rear".to_owned());
        } else if let (Some(front), Some(rear)) = (width(i - 1), width(i))
            && here - before < (front + rear) / 2.0
        {
            t.wrong_item(
                "rotors",
                i,
                format!("{} is {} behind the rotor before it", mm(here), mm(here - before)),
                format!("at least the {} that two half rotors take", mm((front + rear) / 2.0)),
            );
        }
    }
}

/// The greatest width of a rotor as it came.
fn widest(rotor: &Rotor) -> Length {
    rotor.readings.land_width.iter().fold(Length::ZERO, |most, width| most.max(*width))
}

/// Throws are counted from rotor 1's.
pub(in crate::build_file) fn first_throw(t: &Walk<'_, '_>, throws: &[Angle]) {
    if let Some(first) = throws.first().filter(|first| **first != Angle::ZERO) {
        t.wrong_item(
            "throws",
            0,
            format!("{} deg from its own throw", number(first.to_deg())),
            "\"0 deg\" for rotor 1, from whose throw the others are counted".to_owned(),
        );
    }
}

/// Main bearings follow each other from the front.
pub(in crate::build_file) fn front_to_rear(walks: &[Walk<'_, '_>], places: &[Option<Length>]) {
    for (walk, pair) in walks.iter().skip(1).zip(places.windows(2)) {
        if let [Some(before), Some(here)] = pair
            && here <= before
        {
            let expected = "main bearings front to rear".to_owned();
            walk.wrong("at", not_behind(*here, *before), expected, None);
        }
    }
}

/// Mid-planes of rotors are inside the shaft, which carries on at both sides of them.
pub(in crate::build_file) fn rotors_on_shaft(t: &Walk<'_, '_>, at: &[Length], shaft: Length) {
    for (i, place) in at.iter().enumerate() {
        if *place <= Length::ZERO || *place >= shaft {
            t.wrong_item("rotors", i, off(*place), within(shaft));
        }
    }
}

/// Bearings and weights are on the shaft.
pub(in crate::build_file) fn on_shaft(
    walks: &[Walk<'_, '_>],
    places: &[Option<Length>],
    shaft: Length,
) {
    for (walk, place) in walks.iter().zip(places) {
        if let Some(place) = place.filter(|place| *place > shaft) {
            walk.wrong("at", off(place), within(shaft), None);
        }
    }
}

/// A hole is narrower than what it is in.
pub(in crate::build_file) fn hollow(
    t: &Walk<'_, '_>,
    outer: Option<Length>,
    inner: Option<Length>,
) {
    if let (Some(outer), Some(inner)) = (outer, inner)
        && inner >= outer
    {
        t.wrong(
            "inner",
            format!("a hole of {} through {}", mm(inner), mm(outer)),
            "inner less than outer; both are diameters".to_owned(),
            None,
        );
    }
}

/// Weights are told apart by their names.
pub(in crate::build_file) fn names_of_weights(walks: &[Walk<'_, '_>]) {
    told_apart(walks, "name");
}

/// An unbalance has a direction, and its mass could lie there.
pub(in crate::build_file) fn heavy(
    t: &Walk<'_, '_>,
    mass: Option<Mass>,
    amount: Option<Unbalance>,
) {
    if t.has("unbalance") && !t.has("angle") {
        t.missing("angle", || {
            "angle = \"180 deg\", where the unbalance lies from the throw of rotor 1".to_owned()
        });
    }
    if t.has("angle") && !t.has("unbalance") {
        t.missing("unbalance", || "unbalance = \"31000 g mm\" beside angle".to_owned());
    }
    let (Some(mass), Some(amount)) = (mass, amount) else { return };
    let radius = Length::m(amount.to_kg_m() / mass.to_kg());
    if radius > FARTHEST_MASS {
        t.wrong(
            "unbalance",
            format!("its mass would lie {} off the axis", mm(radius)),
            format!("at most {}: unbalance is mass times radius", mm(FARTHEST_MASS)),
            None,
        );
    }
}

/// No body has less about a diameter than half of what it has about its axis: a thin disc has
/// just that (the perpendicular axis theorem, and whatever lies off the plane only adds).
pub(in crate::build_file) fn solid(
    t: &Walk<'_, '_>,
    (polar_key, polar): (&str, Option<MomentOfInertia>),
    (key, diametral): (&str, Option<MomentOfInertia>),
) {
    if let (Some(polar), Some(diametral)) = (polar, diametral)
        && diametral < polar * 0.5
    {
        t.wrong(
            key,
            format!("{} kg m2 is less than a thin disc would have", number(diametral.to_kg_m2())),
            format!("at least half of {polar_key}, {} kg m2", number(polar.to_kg_m2() * 0.5)),
            None,
        );
    }
}

/// A journal fits its bearing.
pub(in crate::build_file) fn fits(
    t: &Walk<'_, '_>,
    diameter: Option<Length>,
    clearance: Option<Length>,
) {
    if let (Some(diameter), Some(clearance)) = (diameter, clearance)
        && clearance > diameter * MOST_CLEARANCE_SHARE
    {
        t.wrong(
            "clearance",
            format!("{} on a diameter of {}", mm(clearance), mm(diameter)),
            format!("at most a hundredth of that, {}", mm(diameter * MOST_CLEARANCE_SHARE)),
            None,
        );
    }
}

/// A rotor's bearing is inside its lands.
pub(in crate::build_file) fn inside_land(
    t: &Walk<'_, '_>,
    bearing: Option<&Bearing>,
    engine: Option<&Engine>,
) {
    if let (Some(bearing), Some(engine)) = (bearing, engine)
        && bearing.diameter >= engine.land_radius * 2.0
    {
        t.wrong(
            "diameter",
            format!("a bearing of {} in a rotor", mm(bearing.diameter)),
            format!("less than twice land_radius, {}", mm(engine.land_radius * 2.0)),
            None,
        );
    }
}

/// A rotor's gear is between its faces, below the land of the gear face.
pub(in crate::build_file) fn inside_rotor(
    t: &Walk<'_, '_>,
    offset: Option<Length>,
    rotors: &[Option<Rotor>],
) {
    between_faces(t, ("offset", offset), rotors.iter().flatten(), "the narrowest rotor");
}

/// What is counted from the mid-plane is inside every one of these rotors.
pub(in crate::build_file) fn between_faces<'r>(
    t: &Walk<'_, '_>,
    (key, offset): (&str, Option<Length>),
    rotors: impl Iterator<Item = &'r Rotor>,
    whose: &str,
) {
    let Some(half) = rotors.map(|rotor| widest(rotor) / 2.0).reduce(Length::min) else { return };
    if let Some(offset) = offset.filter(|offset| offset.abs() >= half) {
        t.wrong(
            key,
            format!("{} is outside the rotor", mm(offset)),
            format!("less than half the land width of {whose}, {}", mm(half)),
            Some("was it counted from the other face? it is from the mid-plane".to_owned()),
        );
    }
}

/// What is measured in a clearance is less than the clearance.
pub(in crate::build_file) fn within_clearance(
    t: &Walk<'_, '_>,
    clearance: Option<Length>,
    clearance_u: Option<Length>,
    least_film: Option<Length>,
) {
    let Some(clearance) = clearance else { return };
    if let Some(u) = clearance_u.filter(|u| *u >= clearance) {
        t.wrong(
            "clearance_u",
            format!("{} of a clearance of {}", mm(u), mm(clearance)),
            "less than the clearance itself".to_owned(),
            None,
        );
    }
    if let Some(film) = least_film.filter(|film| *film >= clearance / 2.0) {
        t.wrong(
            "least_film",
            format!("{} in a clearance of {}", mm(film), mm(clearance)),
            format!("less than half of clearance, {}", mm(clearance / 2.0)),
            None,
        );
    }
}

/// The four values of a film that is given.
const FILM: [(&str, &str); 4] = [
    ("radial_stiffness", "500 N/um"),
    ("radial_damping", "100 kN s/m"),
    ("tilt_stiffness", "800 kN m/rad"),
    ("tilt_damping", "1.2 kN m s/rad"),
];

/// A film is given as a whole or computed as a whole.
pub(in crate::build_file) fn whole_film(t: &Walk<'_, '_>) {
    let Some((given, _)) = FILM.into_iter().find(|(key, _)| t.has(key)) else { return };
    for (key, example) in FILM {
        if !t.has(key) {
            t.missing(key, || {
                format!("{key} = {example:?} beside {given}: a film is given with all four")
            });
        }
    }
}

/// A knocking cycle is harder than a hard one; a trace lies beside the build file.
pub(in crate::build_file) fn gas(t: &Walk<'_, '_>, gas: &Gas) {
    if let (Some(hard), Some(knock)) = (gas.hard, gas.knock)
        && knock < hard
    {
        t.wrong(
            "knock",
            format!("{} is less than hard, {}", number(knock), number(hard)),
            "a knocking cycle at least as hard as the hard one".to_owned(),
            None,
        );
    }
    if let Some(trace) = &gas.trace
        && (trace.contains(['/', '\\', ':']) || trace.trim_matches('.').is_empty())
    {
        t.wrong(
            "trace",
            format!("{} is no name of a file", quoted(trace)),
            "a file beside the build file, such as \"cycle.csv\"".to_owned(),
            None,
        );
    }
}

pub(super) fn counted(count: usize, noun: &str) -> String {
    if count == 1 { format!("1 {noun}") } else { format!("{count} {noun}s") }
}

fn not_behind(here: Length, before: Length) -> String {
    format!("{} is not behind {}, the one before it", mm(here), mm(before))
}

pub(super) fn off(place: Length) -> String {
    format!("{} is not on the shaft", mm(place))
}

pub(super) fn within(shaft: Length) -> String {
    format!("a place on its {}, which is what the sections add up to", mm(shaft))
}

/// A number for a message: six decimals without trailing zeros, or four digits where it is small.
pub(super) fn number(value: f64) -> String {
    if value != 0.0 && value.abs() < 1e-3 {
        return format!("{value:.3e}");
    }
    let text = format!("{value:.6}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// Three correlations that can be had at once.
pub(in crate::build_file) fn goes_together(t: &Walk<'_, '_>, given: &Calibration) {
    let [a, b, c] = given.together;
    // The determinant of the three with one another; a part in a billion is rounding.
    if 1.0 + 2.0 * a * b * c - a * a - b * b - c * c < -1e-9 {
        t.wrong_name(
            "tilt_heat, tilt_contact and heat_contact cannot hold together".to_owned(),
            "all three as one calibration gave them".to_owned(),
            None,
        );
    }
}
