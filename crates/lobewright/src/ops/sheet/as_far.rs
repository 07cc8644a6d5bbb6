//! A build's file as far as it has come: what is half entered is left out, and said.

use super::stations::Station;
use crate::build_file::model::Build;
use crate::build_file::places::{Placed, PlacesError, assemble};
use crate::build_file::{Problems, read};
use kernel::readings::TIPS;
use std::collections::{BTreeMap, HashMap, HashSet};

/// Lists that every rotor must have whole.
const NEEDED: [&str; 3] = ["land_width", "gear_step", "plain_step"];

/// A build's file as far as it goes.
#[derive(Debug, Clone)]
pub struct AsFar {
    /// Its text.
    pub text: String,
    /// What it says, or what stands against it.
    pub build: Result<Box<Build>, Box<Problems>>,
    /// What is there and was left out, since it is not whole yet.
    pub left_out: Vec<String>,
}

/// A place taken apart.
struct Line<'p> {
    keys: Vec<String>,
    placed: &'p Placed,
}

impl Line<'_> {
    /// The list it is an item of, and which.
    fn item(&self) -> Option<(String, usize)> {
        let (last, list) = self.keys.split_last()?;
        Some((list.join("\u{1f}"), last.parse().ok()?))
    }

    fn is(&self, kind: &str, serial: &str) -> bool {
        matches!(self.keys.as_slice(), [k, s, ..] if k == kind && s == serial)
    }
}

fn taken_apart(values: &[Placed]) -> Vec<Line<'_>> {
    values
        .iter()
        .map(|placed| Line {
            keys: toml_edit::Key::parse(&placed.place)
                .map(|keys| keys.iter().map(|key| key.get().to_owned()).collect())
                .unwrap_or_default(),
            placed,
        })
        .collect()
}

/// Whether a line is an item of a list of readings: of a rotor or a housing.
fn is_reading_list(keys: &[String]) -> bool {
    matches!(keys.first().map(String::as_str), Some("rotor" | "housing")) && keys.len() >= 4
}

/// The file with these values, as far as it goes.
///
/// # Errors
/// Where a place is none of a build file: somebody else's file.
pub(in crate::ops) fn as_far(values: &[Placed]) -> Result<AsFar, PlacesError> {
    let lines = taken_apart(values);
    let mut left_out = Vec::new();
    let mut gone: HashSet<usize> = HashSet::new();
    // How many items of each list of readings there are, in their order.
    let mut lists: BTreeMap<String, Vec<(usize, usize)>> = BTreeMap::new();
    for (index, line) in lines.iter().enumerate().filter(|(_, line)| is_reading_list(&line.keys)) {
        if let Some((list, number)) = line.item() {
            lists.entry(list).or_default().push((number, index));
        }
    }
    let mut whole_after: HashMap<String, usize> = HashMap::new();
    for (list, items) in &mut lists {
        items.sort_unstable();
        let keys: Vec<&str> = list.split('\u{1f}').collect();
        let follows = items.iter().zip(1..).take_while(|((number, _), n)| number == n).count();
        let (whole, name) = match keys.as_slice() {
            ["rotor", serial, "after", list] => {
                let whole = follows == TIPS;
                if whole && NEEDED.contains(list) {
                    *whole_after.entry((*serial).to_owned()).or_default() += 1;
                }
                (whole, format!("{} of {serial} after the cut", list.replace('_', " ")))
            }
            ["rotor", serial, list] => {
                (follows == TIPS, format!("{} of {serial}", list.replace('_', " ")))
            }
            ["housing", serial, list] => (follows == items.len(), format!("{list} of {serial}")),
            _ => continue,
        };
        if !whole {
            let kept = if keys[0] == "housing" { follows } else { 0 };
            gone.extend(items.iter().skip(kept).map(|(_, index)| *index));
            left_out.push(format!("{name}: {} of {} read", items.len(), TIPS.max(items.len())));
        }
    }
    // Readings after the cut count only when heights follow from them.
    for (index, line) in lines.iter().enumerate() {
        if let [kind, serial, after, ..] = line.keys.as_slice()
            && kind == "rotor"
            && after == "after"
            && whole_after.get(serial).copied().unwrap_or(0) < NEEDED.len()
        {
            gone.insert(index);
        }
    }
    left_out.extend(unread_sides(&lines, &mut gone));
    let kept = in_order(&lines, &gone, &lists);
    let text = assemble(&kept)?;
    let build = read(&text).map(Box::new).map_err(Box::new);
    Ok(AsFar { text, build, left_out })
}

/// Side housings count when the wear of every one is known.
fn unread_sides(lines: &[Line<'_>], gone: &mut HashSet<usize>) -> Option<String> {
    let mut known: BTreeMap<&str, HashSet<&str>> = BTreeMap::new();
    for line in lines {
        if let [kind, serial, rest @ ..] = line.keys.as_slice()
            && kind == "side_housing"
        {
            let wear = known.entry(serial.as_str()).or_default();
            match rest {
                [which] if which.ends_with("_wear") => {
                    wear.extend(if which == "land_wear" { ["lf", "lr"] } else { ["tf", "tr"] });
                }
                [which, face] if which.ends_with("_wear") => {
                    wear.insert(match (which.as_str(), face.as_str()) {
                        ("land_wear", "front") => "lf",
                        ("land_wear", _) => "lr",
                        (_, "front") => "tf",
                        _ => "tr",
                    });
                }
                _ => {}
            }
        }
    }
    let unread: Vec<&str> =
        known.iter().filter(|(_, wear)| wear.len() < 4).map(|(serial, _)| *serial).collect();
    let wanted = lines
        .iter()
        .find(|line| line.placed.place == "engine.rotors")
        .and_then(|line| line.placed.value.parse::<usize>().ok())
        .map(|rotors| rotors + 1);
    if known.is_empty() || (unread.is_empty() && wanted.is_none_or(|wanted| known.len() == wanted))
    {
        return None;
    }
    let side = |line: &Line<'_>| line.keys.first().is_some_and(|kind| kind == "side_housing");
    gone.extend(lines.iter().enumerate().filter(|(_, line)| side(line)).map(|(index, _)| index));
    Some(if unread.is_empty() {
        "side housings are taken as unworn until all of them are entered".to_owned()
    } else {
        format!("side housings are taken as unworn until the wear of {} is read", unread.join(", "))
    })
}

/// The lines that are kept, items of a list in their order where its first one stands.
fn in_order(
    lines: &[Line<'_>],
    gone: &HashSet<usize>,
    lists: &BTreeMap<String, Vec<(usize, usize)>>,
) -> Vec<Placed> {
    let mut done: HashSet<String> = HashSet::new();
    let mut kept = Vec::with_capacity(lines.len());
    for (index, line) in lines.iter().enumerate() {
        let list = is_reading_list(&line.keys).then(|| line.item()).flatten();
        match list.and_then(|(list, _)| lists.get(&list).map(|items| (list, items))) {
            Some((list, items)) if done.insert(list.clone()) => {
                let items = items.iter().filter(|(_, index)| !gone.contains(index));
                kept.extend(items.map(|(_, index)| lines[*index].placed.clone()));
            }
            Some(_) => {}
            None if !gone.contains(&index) => kept.push(line.placed.clone()),
            None => {}
        }
    }
    kept
}

/// A build of one rotor alone, to look at its readings before the others are taken. Of its housing
/// the width is taken if there is one; else one that every rotor fits.
///
/// # Errors
/// As [`as_far`].
pub(super) fn alone(values: &[Placed], serial: &str) -> Result<AsFar, PlacesError> {
    let lines = taken_apart(values);
    let of_kind = |kind: &str| {
        let mut serials: Vec<&str> = Vec::new();
        for line in &lines {
            if let [k, serial, ..] = line.keys.as_slice()
                && k == kind
                && !serials.contains(&serial.as_str())
            {
                serials.push(serial);
            }
        }
        serials
    };
    let at = of_kind("rotor").iter().position(|other| *other == serial);
    let housing = at.and_then(|at| of_kind("housing").get(at).copied());
    let has_width = housing.is_some_and(|housing| {
        lines.iter().any(|line| line.is("housing", housing) && line.keys.len() == 4)
    });
    let mut kept: Vec<Placed> = lines
        .iter()
        .filter(|line| match line.keys.first().map(String::as_str) {
            Some("rotor") => line.is("rotor", serial),
            Some("housing") => has_width && housing.is_some_and(|h| line.is("housing", h)),
            Some("spec") => line.keys.get(1).is_none_or(|key| key != "match"),
            Some("format" | "build" | "engine" | "material" | "gauge" | "machine") => true,
            _ => false,
        })
        .map(|line| line.placed.clone())
        .collect();
    for placed in &mut kept {
        if placed.place == "engine.rotors" {
            "1".clone_into(&mut placed.value);
        }
    }
    if !has_width {
        let mut stand_in = |key: &str, value: &str| {
            let place = format!("housing.stand-in.{key}");
            kept.push(Placed { place, value: value.to_owned() });
        };
        stand_in("serial", "\"stand-in\"");
        stand_in("state", "\"clamped\"");
        stand_in("width.1", "\"250 mm\"");
    }
    as_far(&kept)
}

/// The engine's sizes and what it asks of used parts and when it goes together, before any part is
/// entered: a build of one part of each that stands in; nothing where they are not whole.
pub(super) fn engine_alone(values: &[Placed]) -> Option<Build> {
    let lines = taken_apart(values);
    let mut kept: Vec<Placed> = lines
        .iter()
        .filter(|line| match line.keys.first().map(String::as_str) {
            Some("spec") => line.keys.get(1).is_none_or(|key| key != "match"),
            Some("format" | "build" | "engine" | "material" | "assembly" | "condition") => true,
            _ => false,
        })
        .map(|line| line.placed.clone())
        .collect();
    for placed in kept.iter_mut().filter(|placed| placed.place == "engine.rotors") {
        "1".clone_into(&mut placed.value);
    }
    let mut stand_in = |place: &str, value: &str| {
        kept.push(Placed { place: place.to_owned(), value: format!("{value:?}") });
    };
    stand_in("housing.stand-in.serial", "stand-in");
    stand_in("housing.stand-in.state", "clamped");
    stand_in("housing.stand-in.width.1", "80.1 mm");
    stand_in("rotor.stand-in.serial", "stand-in");
    stand_in("rotor.stand-in.gear_face", "rear");
    for (list, value) in
        [("land_width", "80 mm"), ("gear_step", "0.1 mm"), ("plain_step", "0.1 mm")]
    {
        for tip in 1..=TIPS {
            stand_in(&format!("rotor.stand-in.{list}.{tip}"), value);
        }
    }
    Some(*as_far(&kept).ok()?.build.ok()?)
}

/// Those stations that have no reading yet.
#[must_use]
pub(super) fn missing<'s>(stations: &'s [Station], have: &[&str]) -> Vec<&'s Station> {
    stations
        .iter()
        .filter(|station| station.needed && !have.contains(&station.name.as_str()))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::build_file::places::placed;

    const BOAT: &str = include_str!("../../../../../examples/sprint-boat.toml");
    const AIRCRAFT: &str = include_str!("../../../../../examples/heron-aircraft.toml");

    fn without(text: &str, places: &[&str]) -> Vec<Placed> {
        let mut values = placed(text).unwrap();
        values.retain(|value| !places.contains(&value.place.as_str()));
        values
    }

    #[test]
    fn a_whole_build_is_whole() {
        for text in [BOAT, AIRCRAFT] {
            let far = as_far(&placed(text).unwrap()).unwrap();
            assert!(far.left_out.is_empty(), "{:?}", far.left_out);
            assert!(*far.build.unwrap() == read(text).unwrap());
        }
    }

    #[test]
    fn readings_may_come_in_any_order() {
        let mut values = placed(BOAT).unwrap();
        let at = values.iter().position(|v| v.place == "rotor.R-114.land_width.1").unwrap();
        let first = values.remove(at);
        values.insert(at + 2, first);
        assert!(*as_far(&values).unwrap().build.unwrap() == read(BOAT).unwrap());
    }

    #[test]
    fn what_is_half_read_is_left_out_and_said() {
        // A list that the plan can do without.
        let far = as_far(&without(BOAT, &["rotor.R-114.tip_width.2"])).unwrap();
        assert_eq!(far.left_out, ["tip width of R-114: 2 of 3 read"]);
        assert!(far.build.unwrap().rotors[0].readings.tip_width.is_none());
        // One that it cannot do without.
        let far = as_far(&without(BOAT, &["rotor.R-97.gear_step.1"])).unwrap();
        let problems = far.build.unwrap_err();
        assert_eq!(problems.list().len(), 1, "{problems}");
        assert!(problems.list()[0].place.contains("R-97"), "{problems}");
        // After the cut all three lists, or none.
        let far = as_far(&without(AIRCRAFT, &["rotor.HR-9.after.plain_step.3"])).unwrap();
        assert!(far.build.unwrap().rotors[0].after.is_none());
        assert_eq!(far.left_out.len(), 1);
        // Side housings all, or none.
        let far = as_far(&without(AIRCRAFT, &["side_housing.HS-2.tip_wear"])).unwrap();
        assert!(far.build.unwrap().side_housings.is_empty());
        assert!(far.left_out[0].contains("HS-2"), "{:?}", far.left_out);
    }

    #[test]
    fn a_rotor_is_looked_at_before_the_others_are_read() {
        let mut values = placed(BOAT).unwrap();
        values.retain(|v| !v.place.starts_with("rotor.R-97.land") && !v.place.contains(".width."));
        assert!(as_far(&values).unwrap().build.is_err());
        let alone = alone(&values, "R-114").unwrap();
        let build = alone.build.unwrap();
        assert_eq!(build.rotors.len(), 1);
        assert_eq!(build.rotors[0].serial, "R-114");
        assert_eq!(build.housings[0].serial, "stand-in");
    }
}
