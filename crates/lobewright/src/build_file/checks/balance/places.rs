//! Places on a counterweight: each kind has its own keys, and drills that somebody has.

use super::super::mm;
use super::super::speed::{count_within, number};
use crate::build_file::model::BUILT_IN;
use crate::build_file::model::balance::How;
use crate::build_file::walk::Walk;
use crate::build_file::wording::quoted;
use kernel::units::{Density, Length, Quantity};
use std::collections::BTreeMap;

/// Most tables of places in a plane.
const MOST_PLACES: usize = 16;
/// Most angles in a plane, of all its places.
const MOST_IN_PLANE: usize = 96;

/// A key that not every kind of place has.
struct Own {
    key: &'static str,
    /// What is written where it is missing.
    example: &'static str,
    /// Who cannot do without it.
    needed: &'static [How],
    /// Who else may have it.
    taken: &'static [How],
}

const OWN: [Own; 5] = [
    Own {
        key: "deepest",
        example: "\"14 mm\"",
        needed: &[How::FaceHole, How::RimHole, How::Slug, How::Flat],
        taken: &[],
    },
    Own {
        key: "edge",
        example: "\"9 mm\"",
        needed: &[],
        taken: &[How::FaceHole, How::RimHole, How::Slug],
    },
    Own { key: "face_at", example: "\"44 mm\"", needed: &[], taken: &[How::FaceHole, How::Slug] },
    Own { key: "width", example: "\"18 mm\"", needed: &[How::Flat], taken: &[] },
    Own { key: "masses", example: "[\"5 g\", ...]", needed: &[How::Added], taken: &[] },
];

/// A kind of place, with its article.
const fn called(how: How) -> &'static str {
    match how {
        How::FaceHole => "a face hole",
        How::RimHole => "a rim hole",
        How::Slug => "a slug",
        How::Flat => "a flat",
        How::Added => "an added mass",
    }
}

/// A place has what its kind needs, and nothing of another kind.
pub(in crate::build_file) fn of_its_kind(t: &Walk<'_, '_>, how: How) {
    for Own { key, example, needed, taken } in OWN {
        if needed.contains(&how) {
            if !t.has(key) {
                t.missing(key, || format!("{key} = {example} of {}", called(how)));
            }
        } else if t.has(key) && !taken.contains(&how) {
            let others: Vec<_> =
                needed.iter().chain(taken).map(|how| format!("{:?}", how.name())).collect();
            let expected = format!("{key} only with how = {}", others.join(" or "));
            t.wrong(key, format!("{key} of {}", called(how)), expected, None);
        }
    }
}

/// What goes in from the rim ends before the axis.
pub(in crate::build_file) fn short_of_the_axis(
    t: &Walk<'_, '_>,
    how: How,
    deepest: Option<Length>,
    radius: Option<Length>,
) {
    if let (How::RimHole | How::Flat, Some(deepest), Some(radius)) = (how, deepest, radius)
        && deepest >= radius
    {
        t.wrong(
            "deepest",
            format!("{} from a rim of radius {}", mm(deepest), mm(radius)),
            "less than radius, which is the rim's".to_owned(),
            None,
        );
    }
}

/// No more places than a counterweight has; drills for holes, and something to fill slugs with.
pub(in crate::build_file) fn places(t: &Walk<'_, '_>, walks: &[Walk<'_, '_>], how: &[Option<How>]) {
    count_within(t, "place", 0..=MOST_PLACES, ("table", ""));
    let angles: usize = walks.iter().filter_map(|place| place.count_of("angles")).sum();
    if angles > MOST_IN_PLANE {
        let what = format!("{angles} angles in one plane");
        t.wrong("place", what, format!("at most {MOST_IN_PLANE}"), None);
    }
    let first = |wanted: fn(How) -> bool| how.iter().flatten().copied().find(|how| wanted(*how));
    if let Some(hole) = first(How::is_drilled)
        && !t.has("drills")
    {
        t.missing("drills", || {
            format!("drills = [\"6 mm\", ...], the diameters there are, for {}", called(hole))
        });
    }
    if first(|how| how == How::Slug).is_some() && !t.has("slug_density") {
        t.missing("slug_density", || {
            "slug_density = \"17500 kg/m3\", of what a slug is made of".to_owned()
        });
    }
}

/// A slug is heavier than what was drilled for it.
pub(in crate::build_file) fn slug(
    t: &Walk<'_, '_>,
    slug: Option<Density>,
    own: &BTreeMap<String, Walk<'_, '_>>,
) {
    let (Some(slug), Some(name)) = (slug, t.text_of("material")) else { return };
    let built_in = BUILT_IN.iter().find(|(known, _)| *known == name).map(|(_, m)| m.density);
    let density = match own.get(name) {
        Some(material) => material.text_of("density").and_then(|text| Density::parse(text).ok()),
        None => built_in,
    };
    if let Some(density) = density.filter(|density| slug <= *density) {
        let shown = |density: Density| format!("{} kg/m3", number(density.to_kg_per_m3()));
        t.wrong(
            "slug_density",
            format!("a slug of {} in {}", shown(slug), quoted(name)),
            format!("heavier than what is drilled out, {}", shown(density)),
            None,
        );
    }
}
