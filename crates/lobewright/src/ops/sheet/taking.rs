//! A reading is offered: it is read, looked at, asked back where it cannot be right, and kept.

use super::due::settled;
use super::links::{Brought, link};
use super::stations::Station;
use super::{Asked, Sheet, entered, sheet};
use crate::build_file::limits::TEMPERATURE;
use crate::build_file::model::assembly::Fit;
use crate::ops::assembly::fit_of;
use crate::ops::gauges::{Standing, gauge_for_reading, standing};
use crate::ops::phrase;
use crate::ops::shop::ShopError;
use kernel::units::{Length, System, Temperature};
use records::{
    BuildId, GaugeId, InRevision, Moment, NewReading, PartId, PersonId, ReadingId, RecordsError,
    Shop, When, Written,
};
use thiserror::Error;

/// Two widths of one part, or two steps of one face, that differ by more than this are asked
/// about (common practice, no source): a whole turn of a thimble, a decimal point, another part.
const WIDTHS_DIFFER: Length = Length::mm(0.25);
const STEPS_DIFFER: Length = Length::mm(0.15);
/// The same of two run-outs of a land (common practice, no source).
const RUNOUTS_DIFFER: Length = Length::mm(0.05);
/// A play or gap above this is asked about (common practice, no source).
const GAP_MOST: Length = Length::mm(0.5);
/// A land width that grew by more than this at a cut is asked about: beyond what gauges scatter
/// (common practice, no source).
const GROWS: Length = Length::um(10.0);

/// A reading as somebody typed it.
#[derive(Debug, Clone)]
pub struct Offered<'a> {
    /// For which build.
    pub build: BuildId,
    /// The revision that was looked at.
    pub revision: i64,
    /// Of which part.
    pub part: PartId,
    /// Before the cut or after it.
    pub when: When,
    /// Where: `land_width.2`.
    pub station: &'a str,
    /// The value as it was typed.
    pub text: &'a str,
    /// The unit that a bare number has: what the gauge shows.
    pub unit: &'a str,
    /// With which gauge.
    pub gauge: Option<GaugeId>,
    /// How warm the part was; empty where nobody said.
    pub temperature: &'a str,
    /// The reading that stood there when this one was typed.
    pub expected: Option<ReadingId>,
    /// A word of its own, so that it is kept once however often it is sent.
    pub sent_as: Option<&'a str>,
    /// Whoever typed it was asked, and is sure.
    pub sure: bool,
    /// By whom.
    pub person: PersonId,
    /// When.
    pub at: &'a Moment,
}

/// What became of a reading.
#[derive(Debug)]
pub enum Taken {
    /// It is kept.
    Kept {
        /// Its number.
        reading: ReadingId,
        /// As it was written, with its unit.
        written: String,
        /// The sheet with it.
        sheet: Box<Sheet>,
        /// What to mind although it is kept.
        mind: Option<String>,
    },
    /// It is asked back: it may be right, and it is kept if whoever typed it is sure.
    AskedBack {
        /// As it was understood.
        written: String,
        /// Why it is doubted.
        why: String,
    },
}

/// Why a reading cannot be kept.
#[derive(Debug, Error)]
pub enum TakingError {
    /// What was typed is no such value, or can be none.
    #[error("{words}: {why}")]
    Value {
        /// What a builder calls the station.
        words: String,
        /// What is wrong.
        why: String,
    },
    /// The part is not in the build, or has no such station.
    #[error("build {build} has no {station} to read there")]
    NoStation {
        /// Which build.
        build: BuildId,
        /// Which station.
        station: String,
    },
    /// The shop takes no reading with this gauge.
    #[error("{0}")]
    Gauge(String),
    /// What the shop's file says.
    #[error(transparent)]
    Shop(#[from] ShopError),
}

impl From<records::RecordsError> for TakingError {
    fn from(error: records::RecordsError) -> Self {
        Self::Shop(error.into())
    }
}

/// A number alone, as a gauge with a cable types it, with the unit that the gauge shows.
fn with_unit(text: &str, unit: &str) -> String {
    let text = text.trim();
    let bare = !text.is_empty() && text.chars().all(|c| c.is_ascii_digit() || "+-.".contains(c));
    if bare { format!("{text} {unit}") } else { text.to_owned() }
}

/// Takes a reading.
///
/// # Errors
/// [`TakingError`]; nothing is kept then.
pub fn take(shop: &Shop, offered: &Offered<'_>, first: System) -> Result<Taken, TakingError> {
    let today = offered.at.day();
    let before = entered(shop, offered.build, &today, first)?;
    let no_station =
        || TakingError::NoStation { build: offered.build, station: offered.station.to_owned() };
    let part = before.parts.iter().find(|part| part.fitted.part == offered.part);
    let part = part.ok_or_else(no_station)?;
    let station = part.station(offered.when, offered.station).ok_or_else(no_station)?;
    let wrong = |why: String| TakingError::Value { words: station.words.clone(), why };
    let text = with_unit(offered.text, offered.unit);
    let value = station.asked.read(&text).map_err(wrong)?;
    if let Some(how) = station.asked.broken_by(&value) {
        return Err(wrong(how));
    }
    let temperature = match with_unit(offered.temperature, "degC").as_str() {
        "" => None,
        text => Some(warmth(text).map_err(|why| wrong(format!("temperature: {why}")))?),
    };
    let mut mind: Vec<String> = gauge_of(shop, offered)?.into_iter().collect();
    if !offered.sure
        && let Some(why) = doubt(&before, offered, station, &value, first)
    {
        return Ok(Taken::AskedBack { written: value.text().to_owned(), why });
    }
    let reading = shop.add_reading(&NewReading {
        part: offered.part,
        build: Some(InRevision { build: offered.build, revision: offered.revision }),
        when: offered.when,
        station: offered.station,
        value: &value,
        gauge: offered.gauge,
        person: offered.person,
        at: offered.at,
        temperature: temperature.as_ref(),
        expected: offered.expected,
        sent_as: offered.sent_as,
        place: station.place.as_deref(),
    })?;
    let brought = Brought {
        part: &part.fitted,
        when: offered.when,
        list: &station.list,
        of_card: part.is_of_card(station).then_some(station.name.as_str()),
        gauge: offered.gauge,
        temperature: temperature.as_ref(),
    };
    mind.extend(link(shop, offered.build, &brought, (offered.person, offered.at), first));
    let mind = (!mind.is_empty()).then(|| mind.join("; "));
    let after = sheet(shop, offered.build, &today, first)?;
    settled(shop, &after)?;
    Ok(Taken::Kept { reading, written: value.text().to_owned(), sheet: Box::new(after), mind })
}

/// A temperature that a bench can have.
pub(super) fn warmth(text: &str) -> Result<Written, String> {
    let value = Written::read::<Temperature>(text).map_err(|error| error.to_string())?;
    let broken = value.value::<Temperature>().and_then(|t| TEMPERATURE.broken_by(t));
    match broken {
        Some(how) => Err(format!("{text} {how}; expected {}", TEMPERATURE.expected())),
        None => Ok(value),
    }
}

/// What there is to mind of the gauge; an error where the shop takes no reading with it.
fn gauge_of(shop: &Shop, offered: &Offered<'_>) -> Result<Option<String>, TakingError> {
    let Some(id) = offered.gauge else { return Ok(None) };
    let today = offered.at.day();
    let gauge = gauge_for_reading(shop, id, &today).map_err(|error| match error {
        RecordsError::Refused { why } => TakingError::Gauge(why),
        other => other.into(),
    })?;
    Ok(match standing(&gauge, &today) {
        Standing::Overdue(due) => Some(format!("the calibration of {} was due {due}", gauge.name)),
        _ => None,
    })
}

/// What no engine goes together with, or what the spec or the engine's record does not allow.
fn at_assembly(sheet: &Sheet, station: &Station, value: Length, first: System) -> Option<String> {
    if let Some((wanted, within)) = sheet.asked_at_assembly(&station.list, value) {
        let fit = fit_of(&station.list);
        let who = if fit == Some(Fit::ApexEnds) { "the spec" } else { "the engine's record" };
        return (!within)
            .then(|| format!("{who} asks for {wanted}: put it right, or say that you are sure"));
    }
    let is_gap = station.asked == Asked::Gap && station.list != Fit::OilProtrusion.key();
    (is_gap && value > GAP_MOST).then(|| {
        format!(
            "more than {} is asked about: read it again, or say that you are sure",
            GAP_MOST.as_amount(first)
        )
    })
}

/// Why a value is doubted although it can be one.
pub(super) fn doubt(
    sheet: &Sheet,
    offered: &Offered<'_>,
    station: &Station,
    value: &Written,
    first: System,
) -> Option<String> {
    let value = value.value::<Length>()?;
    let at =
        |when: When, name: &str| sheet.reading(offered.part, when, name)?.value.value::<Length>();
    if offered.when == When::After
        && station.list == "land_width"
        && let Some(before) = at(When::Before, offered.station)
        && value - before > GROWS
    {
        let tip = station.number.unwrap_or(1) - 1;
        return Some(phrase::grown(tip, value - before, first));
    }
    let most = match station.asked {
        Asked::Width => WIDTHS_DIFFER,
        Asked::Step => STEPS_DIFFER,
        Asked::Runout => RUNOUTS_DIFFER,
        Asked::Gap | Asked::ShaftRunout | Asked::SpringHeight => {
            return at_assembly(sheet, station, value, first);
        }
        Asked::Wear
        | Asked::Mass
        | Asked::Spacer
        | Asked::SpringLoad
        | Asked::UsedSmall
        | Asked::UsedSize
        | Asked::Seen(_) => return None,
    };
    let others: Vec<(usize, Length)> = (1..=crate::build_file::MOST_STATIONS)
        .filter(|number| Some(*number) != station.number)
        .filter_map(|number| {
            Some((number, at(offered.when, &format!("{}.{number}", station.list))?))
        })
        .collect();
    let (number, other) = others
        .iter()
        .copied()
        .max_by(|a, b| (value - a.1).abs().to_m().total_cmp(&(value - b.1).abs().to_m()))?;
    let differs = (value - other).abs();
    (differs > most).then(|| {
        let place = if station.list == "width" { "place" } else { "tip" };
        format!(
            "{} at {place} {number} reads {}, this one differs by {}: read it again, or say that \
             you are sure",
            station.list.replace('_', " "),
            other.as_size(first),
            differs.as_amount(first)
        )
    })
}

#[cfg(test)]
mod tests {
    use super::with_unit;

    #[test]
    fn a_bare_number_has_the_unit_of_the_gauge() {
        assert_eq!(with_unit(" 79.915 ", "mm"), "79.915 mm");
        assert_eq!(with_unit("-12", "um"), "-12 um");
        assert_eq!(with_unit("79.915 mm", "in"), "79.915 mm");
        assert_eq!(with_unit("3.1 thou", "um"), "3.1 thou");
        assert_eq!(with_unit("", "mm"), "");
    }
}
