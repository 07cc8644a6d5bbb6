//! Cards from what the engine's record says and what was found.

use super::{
    AtReport, CardReport, CardVerdict, ConditionReport, FoundAmount, ItemReport, ItemSaid,
};
use crate::build_file::model::condition::{Band, Condition, ItemLimit};
use crate::ops::assembly::{Amount, wanted_words};
use crate::ops::assumed::Assumed;
use crate::ops::inputs::{TakenWith, load_u, size_u};
use kernel::assembly::Wanted;
use kernel::condition::{
    Counts, Derived, Fate, Item, Part, Place, Reading, Sizes, Sort, Taken, spread,
};
use kernel::units::{Force, Length, Quantity, System};
use std::collections::BTreeMap;

/// What was found at a station.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::ops) enum Read {
    Length { value: Length, with: Option<TakenWith> },
    Load { value: Force, u: Option<Force>, gauge: Option<String> },
    Seen(String),
}

/// A part with what was found on it.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::ops) struct Laid {
    pub(in crate::ops) part: Part,
    pub(in crate::ops) serial: String,
    /// By the station's name.
    pub(in crate::ops) read: BTreeMap<String, Read>,
    /// Faces of a side housing that look at no rotor: nothing need be read there.
    pub(in crate::ops) outer: Option<&'static str>,
}

impl Laid {
    /// Takes over the gauges of the same readings where none is known here.
    pub(in crate::ops) fn gauges_from(&mut self, other: &Self) {
        for (station, read) in &mut self.read {
            if let (Read::Length { with, .. }, Some(Read::Length { with: theirs, .. })) =
                (read, other.read.get(station))
                && with.is_none()
            {
                with.clone_from(theirs);
            }
        }
    }
}

/// Every part of an engine as it lies on the bench.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::ops) struct Cards {
    pub(in crate::ops) laid: Vec<Laid>,
    pub(in crate::ops) counts: Counts,
}

/// The face of a side housing that looks away from every rotor, by its number from the front, from 1.
pub(in crate::ops) const fn outer_face(number: usize, rotors: usize) -> Option<&'static str> {
    if number == 1 {
        Some("front")
    } else if number == rotors + 1 {
        Some("rear")
    } else {
        None
    }
}

/// The cards.
pub(in crate::ops) fn report(
    name: &str,
    limits: &Condition,
    cards: &Cards,
    first: System,
) -> ConditionReport {
    let mut assumed = Assumed::default();
    let cards = Part::ALL
        .into_iter()
        .flat_map(|part| cards.laid.iter().filter(move |laid| laid.part == part))
        .map(|laid| card(laid, limits, cards.counts, (first, &mut assumed)))
        .collect();
    ConditionReport { name: name.to_owned(), cards, assumed, first }
}

fn card(
    laid: &Laid,
    limits: &Condition,
    counts: Counts,
    (first, assumed): (System, &mut Assumed),
) -> CardReport {
    let items: Vec<ItemReport> = Item::of(laid.part)
        .map(|item| {
            let limit = limits.get(&(item.part, item.key));
            item_report(item, limit, laid, counts, (first, assumed))
        })
        .collect();
    let decided = |fate: Fate| items.iter().filter(move |one| one.said == ItemSaid::Decided(fate));
    let to_read = items.iter().map(|one| match one.said {
        ItemSaid::ToRead(count) => count,
        _ => 0,
    });
    let to_read: usize = to_read.sum();
    let worst = items.iter().filter_map(|one| match one.said {
        ItemSaid::Decided(fate) => Some(fate),
        _ => None,
    });
    // What rejects a part rejects it whatever else is still to be read.
    let verdict = match (worst.max(), to_read) {
        (Some(Fate::Reject), _) => CardVerdict::Decided(Fate::Reject),
        (_, 1..) => CardVerdict::ToRead(to_read),
        (Some(fate), 0) => CardVerdict::Decided(fate),
        (None, 0) => CardVerdict::NoLimits,
    };
    let limit = |one: &ItemReport| limits.get(&(one.item.part, one.item.key));
    let mut order: Vec<String> = Vec::new();
    let mut rework: Vec<String> = Vec::new();
    let add = |all: &mut Vec<String>, what: String| {
        if !all.contains(&what) {
            all.push(what);
        }
    };
    if verdict == CardVerdict::Decided(Fate::Reject) {
        for one in decided(Fate::Reject) {
            let what = limit(one).and_then(|limit| limit.order.clone());
            add(&mut order, what.unwrap_or_else(|| format!("another {}", laid.part.words())));
        }
    } else {
        for one in decided(Fate::Rework) {
            let limit = limit(one);
            if let Some(how) = limit.and_then(|limit| limit.rework.clone()) {
                add(&mut rework, format!("{}: {how}", one.item.name));
            }
            if let Some(what) = limit.and_then(|limit| limit.order.clone()) {
                add(&mut order, what);
            }
        }
    }
    CardReport { part: laid.part, serial: laid.serial.clone(), items, verdict, rework, order }
}

fn item_report(
    item: &'static Item,
    limit: Option<&ItemLimit>,
    laid: &Laid,
    counts: Counts,
    (first, assumed): (System, &mut Assumed),
) -> ItemReport {
    let (at, to_read) = match item.taken {
        Taken::Read(place) => {
            let stations = item.stations(counts);
            let missing = stations.iter().filter(|(name, _)| {
                let outer = place == Place::Walls && laid.outer.is_some_and(|o| name.ends_with(o));
                !laid.read.contains_key(name) && !outer
            });
            let missing = missing.count();
            let at: Vec<AtReport> = stations
                .into_iter()
                .map(|(name, words)| read_at(item, limit, laid, (name, words), (first, assumed)))
                .collect();
            (at, missing)
        }
        Taken::Plan => {
            let of_item = |name: &str| name == item.key || is_below(name, item.key);
            let names = laid.read.keys().filter(|name| of_item(name));
            let at: Vec<AtReport> = names
                .map(|name| {
                    let words = place_of_plan(item.key, name);
                    read_at(item, limit, laid, (name.clone(), words), (first, assumed))
                })
                .collect();
            let missing = usize::from(at.is_empty());
            (at, missing)
        }
        Taken::Spread(of, how) => spreads(item, limit, laid, (of, how), (first, assumed)),
    };
    let worst = at.iter().filter_map(|at| at.fate).max();
    let said = match (limit, worst) {
        (None, _) => ItemSaid::NoLimit,
        (Some(_), Some(Fate::Reject)) => ItemSaid::Decided(Fate::Reject),
        (Some(_), _) if to_read > 0 => ItemSaid::ToRead(to_read),
        (Some(_), None) => ItemSaid::ToRead(1),
        (Some(_), Some(fate)) => ItemSaid::Decided(fate),
    };
    ItemReport {
        item,
        limit: limit
            .map_or_else(|| "not given".to_owned(), |limit| limit_words(item, limit, first)),
        note: note(item, limit, said, &at, first),
        at,
        said,
    }
}

/// Whether a station is one of several of a key.
fn is_below(name: &str, key: &str) -> bool {
    name.strip_prefix(key).is_some_and(|rest| rest.starts_with('.'))
}

/// What a builder calls the place of a reading that the plan takes.
fn place_of_plan(key: &str, name: &str) -> String {
    match name.strip_prefix(key).unwrap_or("").trim_start_matches('.') {
        "" => String::new(),
        face @ ("front" | "rear") => format!("{face} face"),
        number => format!("place {number}"),
    }
}

const fn amount(item: &Item, length: Length) -> Amount {
    match item.sort {
        Sort::Size => Amount::Size(length),
        _ => Amount::Small(length),
    }
}

fn read_at(
    item: &Item,
    limit: Option<&ItemLimit>,
    laid: &Laid,
    (station, words): (String, String),
    (first, assumed): (System, &mut Assumed),
) -> AtReport {
    let band = limit.map(|limit| &limit.band);
    let (found, gauge, fate) = match laid.read.get(&station) {
        None => (None, None, None),
        Some(Read::Seen(word)) => {
            let fate = match band {
                Some(Band::Looks(looks)) => Some(looks.judge(word)),
                _ => None,
            };
            (Some(FoundAmount::Seen(word.clone())), None, fate)
        }
        Some(Read::Length { value, with }) => {
            let fate = match band {
                Some(Band::Length(sizes)) => {
                    Some(sizes.judge(*value, size_u(with.as_ref(), first, assumed)))
                }
                _ => None,
            };
            let gauge = with.as_ref().map(|gauge| gauge.name.clone());
            (Some(FoundAmount::Read(amount(item, *value))), gauge, fate)
        }
        Some(Read::Load { value, u, gauge }) => {
            let fate = match band {
                Some(Band::Load(sizes)) => Some(sizes.judge(*value, load_u(*u, assumed))),
                _ => None,
            };
            (Some(FoundAmount::Read(Amount::Force(*value))), gauge.clone(), fate)
        }
    };
    AtReport { station, words, found, gauge, fate }
}

/// What follows from the readings of another item, group by group.
fn spreads(
    item: &Item,
    limit: Option<&ItemLimit>,
    laid: &Laid,
    (of, how): (&str, Derived),
    (first, assumed): (System, &mut Assumed),
) -> (Vec<AtReport>, usize) {
    // A group of one reading has no spread; the gauges of a group are told apart by their names.
    let mut gauges: Vec<&str> = Vec::new();
    let mut groups: BTreeMap<&str, Vec<Reading>> = BTreeMap::new();
    for (name, read) in laid.read.iter().filter(|(name, _)| is_below(name, of)) {
        let Read::Length { value, with } = read else { continue };
        let gauge = with.as_ref().map(|with| {
            gauges.iter().position(|known| *known == with.name).unwrap_or_else(|| {
                gauges.push(&with.name);
                gauges.len() - 1
            })
        });
        let repeat = with.as_ref().map(|with| with.repeat);
        let repeat = repeat.unwrap_or_else(|| size_u(None, first, assumed));
        let zero = with.as_ref().map_or(Length::ZERO, |with| with.zero);
        let reading = Reading { value: *value, repeat, zero, gauge };
        groups.entry(Item::group(how, name)).or_default().push(reading);
    }
    let at: Vec<AtReport> = groups
        .iter()
        .filter_map(|(group, readings)| {
            let spread = spread(readings)?;
            let fate = match limit.map(|limit| &limit.band) {
                Some(Band::Length(sizes)) => {
                    Some(sizes.judge(spread.value, spread.standard_uncertainty))
                }
                _ => None,
            };
            let words = if group.is_empty() { String::new() } else { format!("tip {group}") };
            let name = if group.is_empty() {
                item.key.to_owned()
            } else {
                format!("{}.{group}", item.key)
            };
            let found = Some(FoundAmount::Read(amount(item, spread.value)));
            Some(AtReport { station: name, words, found, gauge: None, fate })
        })
        .collect();
    // What is lacking is counted where it is read.
    let missing = usize::from(at.is_empty());
    (at, missing)
}

fn ends<Q: Quantity>(wanted: &Wanted<Q>, amount: impl Fn(Q) -> Amount, first: System) -> String {
    wanted_words(wanted.least().map(&amount), wanted.most().map(&amount), first)
}

fn sizes_words<Q: Quantity>(
    sizes: &Sizes<Q>,
    amount: impl Fn(Q) -> Amount + Copy,
    first: System,
) -> String {
    let used = ends(sizes.within(), amount, first);
    match sizes.rework() {
        None => used,
        Some(rework) => format!("{used}; reworked: {}", ends(rework, amount, first)),
    }
}

fn limit_words(item: &Item, limit: &ItemLimit, first: System) -> String {
    match &limit.band {
        Band::Length(sizes) => sizes_words(sizes, |length| amount(item, length), first),
        Band::Load(sizes) => sizes_words(sizes, Amount::Force, first),
        Band::Looks(looks) if looks.rework.is_empty() => looks.accept.join(", "),
        Band::Looks(looks) => {
            format!("{}; reworked: {}", looks.accept.join(", "), looks.rework.join(", "))
        }
    }
}

/// What is to be done about an item.
fn note(
    item: &Item,
    limit: Option<&ItemLimit>,
    said: ItemSaid,
    at: &[AtReport],
    first: System,
) -> String {
    let ItemSaid::Decided(fate) = said else { return String::new() };
    let worst: Vec<String> = at
        .iter()
        .filter(|at| at.fate == Some(fate))
        .filter_map(|at| {
            let found = at.found.as_ref()?.text(first);
            Some(if at.words.is_empty() { found } else { format!("{found} at {}", at.words) })
        })
        .collect();
    let where_to = match worst.as_slice() {
        [] => return String::new(),
        [one] => one.clone(),
        [one, rest @ ..] => format!("{one}, and {} more", rest.len()),
    };
    match fate {
        Fate::Use => String::new(),
        Fate::Rework => {
            let how = limit.and_then(|limit| limit.rework.as_deref()).unwrap_or("rework");
            format!("{where_to}: {how}")
        }
        Fate::NotProven => {
            let finer = if matches!(item.sort, Sort::Load) { "tester" } else { "gauge" };
            format!(
                "{where_to}: nearer to a limit than the {finer} can tell; read it with a finer one"
            )
        }
        Fate::Reject => format!("{where_to}: outside of what can be used or reworked"),
    }
}
