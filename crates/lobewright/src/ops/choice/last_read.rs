//! What a part is by its last readings: of one time, with the gauges that took them.
//!
//! A part is read before a cut and after it, for one build and the next, and on the shelf. What
//! holds is the last time at which it was read whole; what was read after a cut is what it is now.
//! A part of which somebody has read a piece again since is between two sizes, and is not taken.

use crate::build_file::places::{Placed, assemble, place};
use crate::build_file::{Stock, read_stock};
use kernel::readings::TIPS;
use kernel::units::{Length, Quantity};
use records::{BuildId, Day, Gauge, PartHistory, PartKind, Reading, When};

/// Lists of a rotor that heights follow from.
const NEEDED: [&str; 3] = ["land_width", "gear_step", "plain_step"];
/// Lists that add to what is known.
const FURTHER: [&str; 3] = ["tip_width", "gear_runout", "plain_runout"];

/// A part with its last readings.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct LastRead {
    /// The part, alone, with its gauges.
    pub(super) stock: Stock,
    /// The day of the last of its readings.
    pub(super) day: Day,
    /// The build it was read for.
    pub(super) build: Option<BuildId>,
}

/// Why a part has no readings to go by, and what to do.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct NotRead {
    pub(super) why: String,
    pub(super) cure: String,
}

fn not_read(why: impl Into<String>, cure: &str) -> NotRead {
    NotRead { why: why.into(), cure: cure.to_owned() }
}

/// Readings of one time: for one build, before the cut or after it.
struct Time<'r> {
    readings: Vec<&'r Reading>,
}

impl<'r> Time<'r> {
    fn of_list(&self, list: &str) -> Vec<(usize, &'r Reading)> {
        let mut items: Vec<(usize, &Reading)> = self
            .readings
            .iter()
            .filter_map(|reading| {
                let (of, number) = reading.station.split_once('.')?;
                (of == list).then_some((number.parse().ok()?, *reading))
            })
            .collect();
        items.sort_by_key(|(number, _)| *number);
        items
    }

    /// The items of a list from the first on, as far as none is missing.
    fn in_a_row(&self, list: &str) -> Vec<&'r Reading> {
        let items = self.of_list(list).into_iter().zip(1..);
        items.take_while(|((n, _), at)| n == at).map(|((_, reading), _)| reading).collect()
    }

    fn is_whole(&self, kind: PartKind) -> bool {
        match kind {
            PartKind::Rotor => NEEDED.iter().all(|list| self.in_a_row(list).len() == TIPS),
            _ => {
                let width = self.of_list("width").len();
                width > 0 && self.in_a_row("width").len() == width
            }
        }
    }

    /// When the last of those was taken that sizes follow from; nothing where there is none.
    fn last(&self, kind: PartKind) -> Option<&'r Reading> {
        let lists: &[&str] = if kind == PartKind::Rotor { &NEEDED } else { &["width"] };
        let all = lists.iter().flat_map(|list| self.of_list(list));
        all.map(|(_, reading)| reading).max_by_key(|reading| reading.id)
    }
}

/// Readings that stand, time by time.
fn times(history: &PartHistory) -> Vec<Time<'_>> {
    let mut times: Vec<((Option<BuildId>, When), Time<'_>)> = Vec::new();
    for reading in history.readings.iter().filter(|reading| reading.superseded_by.is_none()) {
        let key = (reading.build, reading.when);
        match times.iter_mut().find(|(known, _)| *known == key) {
            Some((_, time)) => time.readings.push(reading),
            None => times.push((key, Time { readings: vec![reading] })),
        }
    }
    times.into_iter().map(|(_, time)| time).collect()
}

/// How a housing stood when it was read, by the file of the build it was read for.
pub(super) type Stood = Vec<(&'static str, String)>;

/// The last readings of a rotor or a rotor housing.
///
/// # Errors
/// Why there are none to go by.
pub(super) fn last_read(
    history: &PartHistory,
    gauges: &[Gauge],
    stood: impl Fn(BuildId) -> Stood,
) -> Result<LastRead, NotRead> {
    let kind = history.part.kind;
    let mut times: Vec<(&Reading, Time<'_>)> =
        times(history).into_iter().filter_map(|time| Some((time.last(kind)?, time))).collect();
    times.sort_by_key(|(last, _)| last.id);
    let take = "take its readings on its page";
    let Some((last, newest)) = times.last() else {
        let what = match kind {
            PartKind::Rotor => "no widths and steps are read on it",
            _ => "no width is read on it",
        };
        return Err(not_read(what, take));
    };
    if !newest.is_whole(kind) {
        let before = times.iter().rev().any(|(_, time)| time.is_whole(kind));
        let lists: &[&str] = if kind == PartKind::Rotor { &NEEDED } else { &["width"] };
        let short =
            lists.iter().find(|list| kind != PartKind::Rotor || newest.in_a_row(list).len() < TIPS);
        let short = short.map_or("width", |list| *list).replace('_', " ");
        let why = if before {
            format!("it was begun to be read again on {}: its {short} is not whole", last.at.day())
        } else {
            format!("its {short} is not whole")
        };
        return Err(not_read(why, "read the rest"));
    }
    let stood = last.build.map(stood).unwrap_or_default();
    if kind == PartKind::RotorHousing && stood.is_empty() && last.build.is_some() {
        let why = "it is not known whether it was read clamped or loose";
        return Err(not_read(why, "read its width again on its page, clamped"));
    }
    let lines = lines(history, newest, gauges, stood);
    let stock = assemble(&lines).map_err(|error| error.to_string()).and_then(|text| {
        read_stock(&text).map_err(|problems| {
            let first = problems.list().first();
            first.map_or_else(String::new, |problem| format!("{}: {}", problem.place, problem.what))
        })
    });
    match stock {
        Ok(stock) => Ok(LastRead { stock, day: last.at.day(), build: last.build }),
        Err(why) => Err(not_read(why, "read it again")),
    }
}

/// A part's readings as a file of stock has them.
fn lines(history: &PartHistory, time: &Time<'_>, gauges: &[Gauge], stood: Stood) -> Vec<Placed> {
    let (kind, serial) = (history.part.kind, history.part.serial.as_str());
    let table = if kind == PartKind::Rotor { "rotor" } else { "housing" };
    let mut lines = vec![Placed { place: "format".to_owned(), value: "1".to_owned() }];
    let mut put = |keys: &[&str], text: &str| {
        let value = toml_edit::Value::from(text).to_string();
        lines.push(Placed { place: place(keys), value });
    };
    let lists: &[(&str, &[&str])] = match kind {
        PartKind::Rotor => &[
            ("width_gauge", &["land_width", "tip_width"]),
            ("step_gauge", &["gear_step", "plain_step"]),
            ("runout_gauge", &["gear_runout", "plain_runout"]),
        ],
        _ => &[("gauge", &["width"])],
    };
    let named: Vec<(&str, &Gauge)> = lists
        .iter()
        .filter_map(|(key, lists)| Some((*key, least_exact(time, lists, gauges)?)))
        .collect();
    for (i, (_, gauge)) in named.iter().enumerate() {
        if named[..i].iter().any(|(_, before)| before.id == gauge.id) {
            continue;
        }
        let what = &gauge.calibration.what;
        put(&["gauge", &gauge.name, "repeat"], what.repeat.text());
        if let Some(zero) = &what.zero {
            put(&["gauge", &gauge.name, "zero"], zero.text());
        }
    }
    put(&[table, serial, "serial"], serial);
    for (key, value) in &stood {
        put(&[table, serial, key], value);
    }
    if kind == PartKind::RotorHousing && stood.is_empty() {
        put(&[table, serial, "state"], "clamped");
    }
    if let Some(mass) = mass(history, time) {
        put(&[table, serial, "mass"], mass.value.text());
    }
    let all: Vec<&str> = match kind {
        PartKind::Rotor => NEEDED.into_iter().chain(FURTHER).collect(),
        _ => vec!["width"],
    };
    for list in all {
        let items = time.in_a_row(list);
        // A further list that is not whole says nothing.
        if kind == PartKind::Rotor && items.len() != TIPS {
            continue;
        }
        for (number, reading) in (1..).zip(items) {
            put(&[table, serial, list, &number.to_string()], reading.value.text());
        }
    }
    for (key, gauge) in named {
        put(&[table, serial, key], &gauge.name);
    }
    let warm = time.readings.iter().filter(|r| r.temperature.is_some()).max_by_key(|r| r.id);
    if let Some(warm) = warm.and_then(|reading| reading.temperature.as_ref()) {
        put(&[table, serial, "temperature"], warm.text());
    }
    lines
}

/// What a rotor weighs: the last mass that was read when its sizes were, or later.
fn mass<'r>(history: &'r PartHistory, time: &Time<'_>) -> Option<&'r Reading> {
    let first = time.last(history.part.kind)?;
    let masses = history.readings.iter().filter(|reading| {
        let same = (reading.build, reading.when) == (first.build, first.when);
        reading.station == "mass"
            && reading.superseded_by.is_none()
            && (same || reading.id > first.id)
    });
    masses.max_by_key(|reading| reading.id)
}

/// Of the gauges that took these lists the one that repeats worst: a file has one for all of them.
fn least_exact<'g>(time: &Time<'_>, lists: &[&str], gauges: &'g [Gauge]) -> Option<&'g Gauge> {
    let took = lists.iter().flat_map(|list| time.of_list(list)).filter_map(|(_, r)| r.gauge);
    let known = took.filter_map(|id| gauges.iter().find(|gauge| gauge.id == id));
    let repeat = |gauge: &Gauge| gauge.calibration.what.repeat.value::<Length>().map(Quantity::si);
    known
        .filter_map(|gauge| Some((repeat(gauge)?, gauge)))
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, gauge)| gauge)
}
