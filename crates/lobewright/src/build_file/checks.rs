//! What no single value shows: sizes that must agree, counts, names that must be declared.

pub(super) mod assembly;
pub(super) mod balance;
pub(super) mod condition;
pub(super) mod machine_tool;
pub(super) mod speed;

use super::keys;
use super::model::{BUILT_IN_MATERIALS, Engine, Port, SideHousing};
use super::walk::Walk;
use super::wording::quoted;
use super::write;
use kernel::units::{Angle, Length};
use std::collections::{BTreeMap, HashMap};

/// Least `R/e` of an engine that can be built: the flank's lean grows as 3e/R and the bore's
/// waist closes; real engines have 6 to 8. Common practice, no source.
const LEAST_R_OVER_E: f64 = 4.0;
/// Most that the readings of one housing differ before they look like two housings'.
const MOST_WIDTH_SPREAD: Length = Length::mm(2.0);

/// Radii in order, a shape that turns, materials that exist.
pub(super) fn engine(
    t: &Walk<'_, '_>,
    engine: Option<&Engine>,
    own: &BTreeMap<String, Walk<'_, '_>>,
) {
    for key in ["rotor_material", "housing_material"] {
        material_named(t, key, own);
    }
    let Some(engine) = engine else { return };
    let below = |key: &str, value: Length, other: &str, bound: Length, or_equal: bool| {
        if value > bound || (value == bound && !or_equal) {
            let relation = if or_equal { "not more than" } else { "less than" };
            t.wrong(
                key,
                format!("{} is {} {}", mm(value), not(value, bound), mm(bound)),
                format!("{key} {relation} {other}"),
                None,
            );
        }
    };
    if let Some(inner) = engine.land_inner_radius {
        below("land_inner_radius", inner, "land_radius", engine.land_radius, false);
    }
    below("land_radius", engine.land_radius, "rotor_tip_radius", engine.rotor_tip_radius, false);
    below(
        "rotor_tip_radius",
        engine.rotor_tip_radius,
        "generating_radius plus parallel_shift",
        engine.generating_radius + engine.parallel_shift,
        true,
    );
    if let Some(reading) = engine.reading_radius {
        below("reading_radius", reading, "rotor_tip_radius", engine.rotor_tip_radius, true);
        if reading <= engine.land_radius {
            t.wrong(
                "reading_radius",
                format!("{} is on the land", mm(reading)),
                format!("reading_radius more than land_radius, {}", mm(engine.land_radius)),
                None,
            );
        }
    }
    if engine.generating_radius.to_m() <= LEAST_R_OVER_E * engine.eccentricity.to_m() {
        t.wrong(
            "eccentricity",
            format!(
                "{} is too much for a generating radius of {}",
                mm(engine.eccentricity),
                mm(engine.generating_radius)
            ),
            format!("generating_radius more than {LEAST_R_OVER_E} times eccentricity"),
            None,
        );
    }
}

/// A material that is named must be built in or have its table.
fn material_named(t: &Walk<'_, '_>, key: &str, own: &BTreeMap<String, Walk<'_, '_>>) {
    let Some(name) = t.text_of(key) else { return };
    if BUILT_IN_MATERIALS.contains(&name) || own.contains_key(name) {
        return;
    }
    let known = || BUILT_IN_MATERIALS.into_iter().chain(own.keys().map(String::as_str));
    let hint = match keys::nearest(name, known()) {
        Some(near) => format!("did you mean {near:?}?"),
        None => "give it a table [material.NAME] with expansion and density".to_owned(),
    };
    t.wrong(
        key,
        format!("unknown material {}", quoted(name)),
        format!("one of {}", known().collect::<Vec<_>>().join(", ")),
        Some(hint),
    );
}

/// A material of the shop's own must not shadow a built-in one.
pub(super) fn own_materials(file: &Walk<'_, '_>, own: &BTreeMap<String, Walk<'_, '_>>) {
    for name in own.keys().filter(|name| BUILT_IN_MATERIALS.contains(&name.as_str())) {
        file.wrong_inside(
            "material",
            name,
            format!("{name:?} is built in"),
            format!("another name, such as {:?}", format!("{name}, own")),
        );
    }
}

/// A gauge that is named must have its table.
pub(super) fn gauge_named(t: &Walk<'_, '_>, key: &str, gauges: &BTreeMap<String, Walk<'_, '_>>) {
    let Some(name) = t.text_of(key) else { return };
    if gauges.contains_key(name) {
        return;
    }
    let hint = match keys::nearest(name, gauges.keys().map(String::as_str)) {
        Some(near) => format!("did you mean {near:?}?"),
        None => format!("declare it: [gauge.{}] with repeat = \"2 um\"", write::key(name)),
    };
    let expected = if gauges.is_empty() {
        "a gauge that is declared; none is".to_owned()
    } else {
        format!("one of {}", gauges.keys().cloned().collect::<Vec<_>>().join(", "))
    };
    t.wrong(key, format!("no gauge {} is declared", quoted(name)), expected, Some(hint));
}

/// No two parts of a kind have the same serial, or the same name.
pub(super) fn told_apart(walks: &[Walk<'_, '_>], key: &str) {
    for (walk, serial, first) in repeated(walks, key) {
        walk.wrong(
            key,
            format!("{} is also the {key} of number {first} from the front", quoted(serial)),
            format!("a {key} of its own for each part"),
            None,
        );
    }
}

/// Tables that say at a key what one before them says there, and the number of that one.
fn repeated<'w, 'f, 'i>(
    walks: &'w [Walk<'f, 'i>],
    key: &'w str,
) -> impl Iterator<Item = (&'w Walk<'f, 'i>, &'f str, usize)> {
    let mut seen: HashMap<&str, usize> = HashMap::new();
    walks.iter().enumerate().filter_map(move |(i, walk)| {
        let text = walk.text_of(key)?;
        seen.insert(text, i + 1).map(|first| (walk, text, first))
    })
}

/// As many rotors and housings as the engine has; in a build that waits for some, no more.
pub(super) fn counts(
    engine: &Walk<'_, '_>,
    count: i64,
    [rotors, housings, side_housings]: [&[Walk<'_, '_>]; 3],
    may_wait: bool,
) {
    let count = usize::try_from(count).unwrap_or(0);
    let tables =
        |n: usize, head: &str| format!("{n} table{} [[{head}]]", if n == 1 { "" } else { "s" });
    for (walks, head) in [(rotors, "rotor"), (housings, "housing")] {
        let fits = if may_wait { walks.len() <= count } else { walks.len() == count };
        if !fits {
            let expected = if may_wait {
                format!("at most {count}: those that are in it, in order from the front")
            } else {
                format!("a [[{head}]] for each, in order from the front")
            };
            let what = format!("rotors = {count}, but {}", tables(walks.len(), head));
            engine.lacking("rotors", what, expected, None);
        }
    }
    if !side_housings.is_empty() && side_housings.len() != count + 1 {
        engine.lacking(
            "rotors",
            format!("rotors = {count}, but {}", tables(side_housings.len(), "side_housing")),
            format!("none, or {}: front, between rotors, rear", count + 1),
            None,
        );
    }
}

/// The readings of one housing must look like one housing's.
pub(super) fn one_housing(t: &Walk<'_, '_>, width: &[Length]) {
    let Some(&first) = width.first() else { return };
    let least = width.iter().fold(first, |a, b| a.min(*b));
    let most = width.iter().fold(first, |a, b| a.max(*b));
    if most - least > MOST_WIDTH_SPREAD {
        t.wrong(
            "width",
            format!("readings from {} to {}", mm(least), mm(most)),
            format!("readings within {} of each other", mm(MOST_WIDTH_SPREAD)),
            Some("were two housings' readings mixed up?".to_owned()),
        );
    }
}

/// A whole turn.
const FULL_TURN: Angle = Angle::deg(360.0);

/// A port has an extent.
pub(super) fn port(t: &Walk<'_, '_>, port: &Port) {
    if port.radius_to <= port.radius_from {
        t.wrong(
            "radius_to",
            format!("a port from radius {} to {}", mm(port.radius_from), mm(port.radius_to)),
            "a radius_to above radius_from".to_owned(),
            None,
        );
    }
    if port.angle_to == port.angle_from || (port.angle_to - port.angle_from).abs() >= FULL_TURN {
        t.wrong(
            "angle_to",
            format!(
                "a port from {:.1} deg to {:.1} deg",
                port.angle_from.to_deg(),
                port.angle_to.to_deg()
            ),
            "less than a turn in the sense of rotation, and more than nothing".to_owned(),
            None,
        );
    }
}

/// The lands run on metal: a hole may reach their track, not past its outer edge.
pub(super) fn central_bore(t: &Walk<'_, '_>, side: Option<&SideHousing>, engine: Option<&Engine>) {
    let (Some(bore), Some(engine)) = (side.and_then(|side| side.central_bore), engine) else {
        return;
    };
    let most = engine.land_radius - engine.eccentricity;
    if bore > most {
        t.wrong(
            "central_bore",
            format!("a hole of radius {} under the lands", mm(bore)),
            format!("at most land_radius less eccentricity, {}", mm(most)),
            Some("was the diameter given?".to_owned()),
        );
    }
}

/// Corner and side seals lie outside the land, oil seals in it.
pub(super) fn seal_radius(
    t: &Walk<'_, '_>,
    radius: Option<Length>,
    engine: Option<&Engine>,
    outside_land: bool,
) {
    let (Some(radius), Some(engine)) = (radius, engine) else { return };
    let inner = engine.land_inner_radius.unwrap_or_default();
    if inner >= engine.land_radius || engine.land_radius >= engine.rotor_tip_radius {
        return; // said already, and nothing could be right
    }
    let (least, most, between) = if outside_land {
        (engine.land_radius, engine.rotor_tip_radius, "land_radius and rotor_tip_radius")
    } else {
        (inner, engine.land_radius, "the edges of the land")
    };
    if radius < least || radius > most {
        t.wrong(
            "radius",
            format!("a seal at radius {}", mm(radius)),
            format!("a radius between {between}, {} and {}", mm(least), mm(most)),
            None,
        );
    }
}

/// What must be given together, and where the taper may start.
pub(super) fn spec(t: &Walk<'_, '_>, rotors: Option<i64>, engine: Option<&Engine>) {
    if rotors.is_some_and(|n| n > 1) && !t.has("match") {
        t.lacking(
            "match",
            "match is missing".to_owned(),
            "match = \"8 um\": how much the rotors' side clearances may differ".to_owned(),
            None,
        );
    }
    let tapered = t.text_of("outside") == Some("taper");
    if tapered && !t.has("taper") {
        t.lacking(
            "taper",
            "taper is missing".to_owned(),
            format!(
                "taper = {{ start = \"{}\", root = \"20 um\" }} with outside = \"taper\"",
                engine.map_or_else(|| "61 mm".to_owned(), |engine| mm(engine.land_radius))
            ),
            None,
        );
    }
    if !tapered && t.has("taper") {
        t.wrong(
            "taper",
            "a taper that is not asked for".to_owned(),
            "taper only with outside = \"taper\"".to_owned(),
            None,
        );
    }
    if let (Some(root), Some(target), Some(tolerance)) = (
        t.length_inside("taper", "root"),
        t.length_inside("step", "target"),
        t.length_inside("step", "tolerance"),
    ) && root > target - tolerance
    {
        t.wrong(
            "taper",
            format!("a taper that starts with a drop of {}", mm(root)),
            format!("a root of at most the least step, {}", mm(target - tolerance)),
            None,
        );
    }
    let (Some(engine), true) = (engine, t.is_table("taper")) else { return };
    let Some(start) = t.length_inside("taper", "start") else { return };
    if start < engine.land_radius || start >= engine.rotor_tip_radius {
        t.wrong(
            "taper",
            format!("a taper that starts at {}", mm(start)),
            format!(
                "a start from land_radius, {}, to below rotor_tip_radius, {}",
                mm(engine.land_radius),
                mm(engine.rotor_tip_radius)
            ),
            None,
        );
    }
}

/// A least not above its most.
pub(super) fn least_and_most(t: &Walk<'_, '_>, least: Length, most: Length) {
    if least > most {
        t.wrong(
            "least",
            format!("{} is more than the most, {}", mm(least), mm(most)),
            "least not more than most".to_owned(),
            None,
        );
    }
}

/// A spring is solid before it is at its least load.
pub(super) fn spring(t: &Walk<'_, '_>, solid: Option<Length>, least_load: Option<Length>) {
    let (Some(solid), Some(least_load)) = (solid, least_load) else { return };
    if solid >= least_load {
        t.wrong(
            "solid",
            format!("{} is {} {}", mm(solid), not(solid, least_load), mm(least_load)),
            "solid, the spring room at solid height, less than least_load".to_owned(),
            None,
        );
    }
}

fn not(value: Length, bound: Length) -> &'static str {
    if value == bound { "equal to" } else { "more than" }
}

/// A size for a message: millimetres, to a tenth of a micrometre, no trailing zeros.
fn mm(length: Length) -> String {
    let text = format!("{:.4}", length.to_mm());
    format!("{} mm", text.trim_end_matches('0').trim_end_matches('.'))
}
