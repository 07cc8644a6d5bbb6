//! Gauges: how one stands with its calibration, what its uncertainty is given in, and whether a
//! reading may be taken with it.

use crate::build_file::known::measured;
use crate::build_file::limits::assembly::LOAD_U;
use crate::build_file::limits::{REPEAT, ZERO, balance};
use kernel::units::{Force, Length, Mass, Quantity, Unbalance};
use records::{Day, Gauge, GaugeId, NewCalibration, PersonId, RecordsError, Shop, Written};

/// The setting that says what becomes of a reading with a gauge whose calibration is overdue.
pub const OVERDUE: &str = "overdue";
/// Its value where such a reading is refused.
pub const REFUSE: &str = "refuse";
/// Its value where it is taken, and the gauge is named.
pub const WARN: &str = "warn";
/// So long before it is due, a calibration is spoken of.
const SOON_DAYS: i32 = 30;

/// What gauges there are in a shop of this trade.
pub const KINDS: [&str; 9] = [
    "micrometer",
    "indicator",
    "depth gauge",
    "bore gauge",
    "height gauge",
    "scale",
    "balance machine",
    "feeler gauge",
    "spring tester",
];

/// How a gauge stands on a day.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Standing {
    /// Its calibration was due on this day, and is not done.
    Overdue(Day),
    /// It is due on this day, soon.
    Soon(Day),
    /// It holds, until this day if one was set.
    Holds(Option<Day>),
    /// It is not used any more.
    OutOfUse,
}

/// How a gauge stands today.
#[must_use]
pub fn standing(gauge: &Gauge, today: &Day) -> Standing {
    if !gauge.active {
        return Standing::OutOfUse;
    }
    match &gauge.calibration.what.due {
        Some(due) if due < today => Standing::Overdue(due.clone()),
        Some(due) if later(today, SOON_DAYS).is_some_and(|soon| *due <= soon) => {
            Standing::Soon(due.clone())
        }
        due => Standing::Holds(due.clone()),
    }
}

fn later(day: &Day, days: i32) -> Option<Day> {
    let date: jiff::civil::Date = day.as_str().parse().ok()?;
    let then = date.checked_add(jiff::Span::new().days(days)).ok()?;
    Day::new(&then.to_string()).ok()
}

/// Whether the shop refuses readings with a gauge whose calibration is overdue.
///
/// # Errors
/// Where the shop's file cannot be read.
pub fn refuses_overdue(shop: &Shop) -> Result<bool, RecordsError> {
    Ok(shop.setting(OVERDUE)?.as_deref() == Some(REFUSE))
}

/// The gauge of a reading, if one may be taken with it today.
///
/// # Errors
/// Where there is no such gauge, it is out of use, or it is overdue and the shop refuses that.
pub fn gauge_for_reading(shop: &Shop, id: GaugeId, today: &Day) -> Result<Gauge, RecordsError> {
    let gauge = shop.gauge(id)?;
    let why = match standing(&gauge, today) {
        Standing::OutOfUse => {
            format!("gauge {:?} is out of use; take another, or take it back into use", gauge.name)
        }
        Standing::Overdue(due) if refuses_overdue(shop)? => format!(
            "the calibration of gauge {:?} was due on {due}, and this shop takes no readings with \
             it until it is calibrated; take another gauge, or enter its new calibration",
            gauge.name
        ),
        _ => return Ok(gauge),
    };
    Err(RecordsError::Refused { why })
}

/// A calibration as it is typed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TypedCalibration<'a> {
    /// When it was done.
    pub day: Option<Day>,
    /// When the next one is due.
    pub due: Option<Day>,
    /// Standard uncertainty of each reading, with its unit.
    pub repeat: &'a str,
    /// Standard uncertainty that all its readings share, or nothing.
    pub zero: &'a str,
    /// Number of the certificate, or nothing.
    pub certificate: &'a str,
    /// Who enters it.
    pub person: PersonId,
}

/// What the uncertainty of a gauge is given in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Of {
    Length,
    Mass,
    Unbalance,
    Force,
}

impl Of {
    /// As it was before; of a new gauge by what it is.
    fn gauge(kind: &str, before: Option<&Written>, repeat: &str) -> Self {
        if let Some(before) = before {
            return if before.value::<Mass>().is_some() {
                Self::Mass
            } else if before.value::<Unbalance>().is_some() {
                Self::Unbalance
            } else if before.value::<Force>().is_some() {
                Self::Force
            } else {
                Self::Length
            };
        }
        let kind = kind.to_lowercase();
        if kind.contains("scale") || (kind.contains("balanc") && Mass::parse(repeat).is_ok()) {
            Self::Mass
        } else if kind.contains("balanc") {
            Self::Unbalance
        } else if kind.contains("spring") {
            Self::Force
        } else {
            Self::Length
        }
    }
}

/// Reads a calibration of a gauge of this kind: a scale's is a mass, a balance machine's an
/// unbalance, a spring tester's a force, all others' a length. One that was calibrated before stays with its quantity.
///
/// # Errors
/// What cannot be read, with the cure.
pub fn calibration(
    kind: &str,
    before: Option<&NewCalibration>,
    typed: &TypedCalibration<'_>,
) -> Result<NewCalibration, RecordsError> {
    let refused = |why: String| RecordsError::Refused { why };
    let of = Of::gauge(kind, before.map(|before| &before.repeat), typed.repeat);
    let read = |called: &str, text: &str, is_zero: bool| {
        let written = match of {
            Of::Mass => measured(text, &balance::SCALE_U).and_then(|_| written::<Mass>(text)),
            Of::Unbalance => {
                measured(text, &balance::SHOWN_U).and_then(|_| written::<Unbalance>(text))
            }
            Of::Force => measured(text, &LOAD_U).and_then(|_| written::<Force>(text)),
            Of::Length if is_zero => measured(text, &ZERO).and_then(|_| written::<Length>(text)),
            Of::Length => measured(text, &REPEAT).and_then(|_| written::<Length>(text)),
        };
        written.map_err(|why| refused(format!("{called}: {why}")))
    };
    let repeat = read("uncertainty of each reading", typed.repeat, false)?;
    let zero = match typed.zero {
        "" => None,
        text => Some(read("uncertainty of its zero", text, true)?),
    };
    if let (Some(day), Some(due)) = (&typed.day, &typed.due)
        && due <= day
    {
        return Err(refused(format!(
            "the next calibration, {due}, is due before this one was done, {day}; look at both days"
        )));
    }
    Ok(NewCalibration {
        day: typed.day.clone(),
        due: typed.due.clone(),
        repeat,
        zero,
        certificate: typed.certificate.to_owned(),
        person: Some(typed.person),
    })
}

fn written<Q: Quantity>(text: &str) -> Result<Written, String> {
    Written::read::<Q>(text).map_err(|error| error.to_string())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(text: &str) -> Day {
        Day::new(text).unwrap()
    }

    fn typed<'a>(repeat: &'a str, due: Option<&str>) -> TypedCalibration<'a> {
        TypedCalibration {
            day: Some(day("2026-01-10")),
            due: due.map(day),
            repeat,
            zero: "",
            certificate: "",
            person: PersonId(1),
        }
    }

    #[test]
    fn a_gauge_is_overdue_from_the_day_after() {
        let folder = tempfile::tempdir().unwrap();
        let shop = Shop::create(&folder.path().join("shop.db")).unwrap();
        shop.add_person("Ada", "owner").unwrap();
        let new = calibration("micrometer", None, &typed("2 um", Some("2026-11-28"))).unwrap();
        let id = shop.add_gauge("M-3", "micrometer", &new).unwrap();
        let gauge = shop.gauge(id).unwrap();
        let due = day("2026-11-28");
        assert_eq!(standing(&gauge, &day("2026-10-28")), Standing::Holds(Some(due.clone())));
        assert_eq!(standing(&gauge, &day("2026-10-29")), Standing::Soon(due.clone()));
        assert_eq!(standing(&gauge, &due), Standing::Soon(due.clone()));
        assert_eq!(standing(&gauge, &day("2026-11-29")), Standing::Overdue(due));
        let late = day("2026-12-24");
        gauge_for_reading(&shop, id, &late).unwrap();
        shop.set_setting(OVERDUE, REFUSE).unwrap();
        let said = gauge_for_reading(&shop, id, &late).unwrap_err().to_string();
        assert!(said.contains("was due on 2026-11-28"), "{said}");
        shop.set_gauge_active(id, false).unwrap();
        let said = gauge_for_reading(&shop, id, &day("2026-01-11")).unwrap_err().to_string();
        assert!(said.contains("out of use"), "{said}");
    }

    #[test]
    fn each_kind_has_its_quantity() {
        for (kind, text) in [
            ("micrometer", "2 um"),
            ("scale", "0.2 g"),
            ("bench scale, 6 kg", "0.2 g"),
            ("analytical balance", "0.2 g"),
            ("balance machine", "8 g mm"),
        ] {
            calibration(kind, None, &typed(text, None)).unwrap();
            let said = calibration(kind, None, &typed("2", None)).unwrap_err().to_string();
            assert!(said.starts_with("uncertainty of each reading: "), "{said}");
        }
        assert!(calibration("scale", None, &typed("2 um", None)).is_err());
        let before = calibration("scale", None, &typed("0.2 g", None)).unwrap();
        calibration("what weighs rotors", Some(&before), &typed("0.1 g", None)).unwrap();
        assert!(calibration("what weighs rotors", Some(&before), &typed("2 um", None)).is_err());
        assert!(calibration("micrometer", None, &typed("-1 um", None)).is_err());
        assert!(calibration("micrometer", None, &typed("2 um", Some("2026-01-10"))).is_err());
    }
}
