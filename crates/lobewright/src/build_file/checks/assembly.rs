//! What must agree in what is asked and what was read when the engine goes together.

use crate::build_file::limits::Limit;
use crate::build_file::read::MOST_ROTORS;
use crate::build_file::walk::Walk;
use crate::build_file::wording::quoted;
use kernel::units::Quantity;
use std::collections::BTreeMap;

/// Most main bearings: one more than rotors.
pub(in crate::build_file) const MOST_MAINS: usize = MOST_ROTORS + 1;

/// A limit says something, and its least is not above its most.
pub(in crate::build_file) fn wanted<Q: Quantity>(
    t: &Walk<'_, '_>,
    least: Option<Q>,
    most: Option<Q>,
    limit: &Limit<Q>,
) {
    if !t.has("least") && !t.has("most") {
        t.lacking(
            "least",
            "neither least nor most is given".to_owned(),
            format!("least, most or both, such as {{ most = {:?} }}", limit.example),
            None,
        );
    }
    if let (Some(least), Some(most)) = (least, most)
        && least.si() > most.si()
    {
        let text = |key: &str| t.text_of(key).unwrap_or_default();
        t.wrong(
            "least",
            format!("{} is more than the most, {}", text("least"), text("most")),
            "least not more than most".to_owned(),
            None,
        );
    }
}

/// A spacer is chosen by what a thicker one does.
pub(in crate::build_file) fn spacers(t: &Walk<'_, '_>) {
    if t.has("spacers") && !t.has("thicker_spacer") {
        t.lacking(
            "spacers",
            "thicker_spacer is missing".to_owned(),
            "thicker_spacer = \"more play\" or thicker_spacer = \"less play\"".to_owned(),
            Some(
                "it holds the thrust faces apart (more), or takes up room between them (less)"
                    .to_owned(),
            ),
        );
    }
}

/// No more steps than anybody follows.
pub(in crate::build_file) fn steps(t: &Walk<'_, '_>, most: usize) {
    if let Some(count) = t.count_of("tighten").filter(|count| *count > most) {
        t.wrong("tighten", format!("{count} steps of tightening"), format!("at most {most}"), None);
    }
}

/// A step says how far.
pub(in crate::build_file) fn step(t: &Walk<'_, '_>) {
    if !t.has("torque") && !t.has("angle") && !t.is_misspelled("torque") {
        t.lacking(
            "fasteners",
            "neither torque nor angle is given".to_owned(),
            "torque = \"32 N m\", angle = \"60 deg\", or both".to_owned(),
            None,
        );
    }
}

/// One shaft and one set of seals are in an engine.
pub(in crate::build_file) fn only_one(walks: &[Walk<'_, '_>], what: &str) {
    for walk in walks.iter().skip(1) {
        walk.wrong(
            "serial",
            format!("a second {what}"),
            format!("one {what}, the one that is in"),
            None,
        );
    }
}

/// The number of a table that is named by it.
pub(in crate::build_file) fn number(
    t: &Walk<'_, '_>,
    key: &str,
    name: &str,
    most: usize,
) -> Option<usize> {
    let number = name.parse::<usize>().ok().filter(|n| (1..=most).contains(n));
    let number = number.filter(|n| n.to_string() == name);
    if number.is_none() {
        t.wrong(
            key,
            format!("{key} {}", quoted(name)),
            format!("{key}s counted from the front, 1 to {most}"),
            None,
        );
    }
    number
}

/// The gauge that took something; it must be declared.
pub(in crate::build_file) fn gauge(
    t: &Walk<'_, '_>,
    key: &str,
    gauges: &BTreeMap<String, Walk<'_, '_>>,
) -> Option<String> {
    super::gauge_named(t, key, gauges);
    t.name_if(key)
}
