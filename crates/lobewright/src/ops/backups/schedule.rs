//! When a backup is due, by the shop's own rule; and what is said of the last good one.

use super::keep::{Keep, USUAL_KEEP};
use super::{BackupError, Made, back_up, writable};
use jiff::civil::Date;
use records::{Audited, Moment, RecordsError, Shop};
use serde_json::{Value, json};
use std::path::{Path, PathBuf};
use thiserror::Error;

/// Keys of the shop's settings.
const FOLDER: &str = "backup.folder";
const HOUR: &str = "backup.hour";
const KEEP: &str = "backup.keep";
const OLDEST: &str = "backup.oldest_days";
const LAST: &str = "backup.last";
const TROUBLE: &str = "backup.trouble";
/// When the shop began: before that nothing is overdue.
const BEGUN: &str = "begun";
/// A demonstration is nobody's record.
const DEMONSTRATION: &str = "demonstration";

/// Hours of a day.
pub const HOURS: std::ops::Range<u8> = 0..24;
/// Where the shop does not say: after this many days without a good backup it is told.
const USUAL_OLDEST: i64 = 7;
/// More days than this are a slip.
const MOST_DAYS: i64 = 366;
/// Where the shop does not say: nobody is at a bench.
const USUAL_HOUR: u8 = 2;

/// A shop's rule for its backups.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Rule {
    /// Where the app puts one each night; none if it does not.
    pub folder: Option<PathBuf>,
    /// At which hour, UTC.
    pub hour: u8,
    /// Which of them stay.
    pub keep: Keep,
    /// After how many days without a good one it is told.
    pub oldest_days: i64,
}

/// Why a rule cannot be.
#[derive(Debug, Error)]
#[non_exhaustive]
pub enum RuleError {
    /// The folder.
    #[error(transparent)]
    Folder(#[from] BackupError),
    /// The folder has no place of its own.
    #[error("{0:?} is no whole path; write it from the root of the disk on, such as /mnt/backups")]
    NotWhole(String),
    /// The hour.
    #[error("hour {0} is none of the day; choose one from 0 to 23")]
    Hour(u8),
    /// The days.
    #[error("{0} days without a backup is no rule; choose from 1 to {MOST_DAYS}")]
    Days(i64),
    /// The shop's file.
    #[error(transparent)]
    Records(#[from] RecordsError),
}

/// The last backup that was restored on trial and passed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LastGood {
    /// When.
    pub at: Moment,
    /// Where it was put.
    pub file: String,
    /// Its bytes.
    pub size: u64,
    /// How many readings are in it.
    pub readings: i64,
}

/// How it stands with a shop's backups.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct State {
    /// The last good one.
    pub last: Option<LastGood>,
    /// Of the last attempt, if it failed: when, and why.
    pub trouble: Option<(Moment, String)>,
    /// What is said where the last good one is older than the rule allows.
    pub overdue: Option<String>,
}

/// The rule of a shop; what it does not say as usual.
///
/// # Errors
/// Where the file cannot be read.
pub fn rule(shop: &Shop) -> Result<Rule, RecordsError> {
    let number = |key| -> Result<Option<i64>, RecordsError> {
        Ok(shop.setting(key)?.and_then(|text| text.parse().ok()))
    };
    let hour = number(HOUR)?.and_then(|hour| u8::try_from(hour).ok());
    Ok(Rule {
        folder: shop.setting(FOLDER)?.filter(|text| !text.is_empty()).map(PathBuf::from),
        hour: hour.filter(|hour| HOURS.contains(hour)).unwrap_or(USUAL_HOUR),
        keep: shop.setting(KEEP)?.and_then(|text| text.parse().ok()).unwrap_or(USUAL_KEEP),
        oldest_days: number(OLDEST)?.unwrap_or(USUAL_OLDEST),
    })
}

/// Sets the rule. Its folder must be there, and this program must be able to write into it.
///
/// # Errors
/// [`RuleError`]; then nothing was changed.
pub fn set_rule(shop: &Shop, rule: &Rule) -> Result<(), RuleError> {
    if !HOURS.contains(&rule.hour) {
        return Err(RuleError::Hour(rule.hour));
    }
    if !(1..=MOST_DAYS).contains(&rule.oldest_days) {
        return Err(RuleError::Days(rule.oldest_days));
    }
    let folder = rule.folder.as_deref().unwrap_or(Path::new(""));
    if rule.folder.is_some() {
        if !folder.is_absolute() {
            return Err(RuleError::NotWhole(folder.display().to_string()));
        }
        writable(folder)?;
    }
    shop.set_setting(FOLDER, &folder.to_string_lossy())?;
    shop.set_setting(HOUR, &rule.hour.to_string())?;
    shop.set_setting(KEEP, &rule.keep.to_string())?;
    shop.set_setting(OLDEST, &rule.oldest_days.to_string())?;
    Ok(())
}

/// How it stands at this moment.
///
/// # Errors
/// Where the file cannot be read.
pub fn state(shop: &Shop, now: &Moment) -> Result<State, RecordsError> {
    let kept = |key| -> Result<Option<Value>, RecordsError> {
        Ok(shop.setting(key)?.and_then(|text| serde_json::from_str(&text).ok()))
    };
    let moment = |value: &Value| Moment::new(value["at"].as_str()?).ok();
    let last = kept(LAST)?.and_then(|value| {
        Some(LastGood {
            at: moment(&value)?,
            file: value["file"].as_str()?.to_owned(),
            size: value["bytes"].as_u64()?,
            readings: value["readings"].as_i64()?,
        })
    });
    let trouble =
        kept(TROUBLE)?.and_then(|value| Some((moment(&value)?, value["why"].as_str()?.to_owned())));
    let allowed = rule(shop)?.oldest_days;
    let since = match &last {
        Some(last) => Some(last.at.clone()),
        None => shop.setting(BEGUN)?.and_then(|begun| Moment::new(&begun).ok()),
    };
    let days = since.as_ref().and_then(|since| days_between(since, now)).unwrap_or(0);
    let nobodys = shop.setting(DEMONSTRATION)?.is_some();
    let overdue = (days >= allowed && !nobodys).then(|| match &last {
        Some(_) => format!("The last good backup is {} old.", counted(days)),
        None => format!("There is no backup that was tried, after {}.", counted(days)),
    });
    Ok(State { last, trouble, overdue })
}

fn counted(days: i64) -> String {
    if days == 1 { "1 day".to_owned() } else { format!("{days} days") }
}

/// Writes down that a backup is good.
pub(super) fn passed(
    shop: &Shop,
    file: &Path,
    (size, audited): (u64, &Audited),
    now: &Moment,
) -> Result<(), RecordsError> {
    let last = json!({
        "at": now.as_str(),
        "file": file.display().to_string(),
        "bytes": size,
        "readings": audited.readings,
        "values": audited.values,
        "sign_offs": audited.sign_offs,
    });
    shop.set_setting(LAST, &last.to_string())?;
    shop.set_setting(TROUBLE, "")
}

fn date(moment: &Moment) -> Option<Date> {
    moment.day().as_str().parse().ok()
}

fn days_between(from: &Moment, to: &Moment) -> Option<i64> {
    let days = date(to)?.since(date(from)?).ok()?.get_days();
    // Whole days: not one more because it is another date.
    let earlier = to.as_str().get(10..)? < from.as_str().get(10..)?;
    Some(i64::from(days) - i64::from(earlier))
}

/// The night that a moment belongs to: the date on which the hour last struck.
fn night(moment: &Moment, hour: u8) -> Option<Date> {
    let struck = moment.as_str().get(11..13)?.parse::<u8>().ok()? >= hour;
    let date = date(moment)?;
    if struck { Some(date) } else { date.yesterday().ok() }
}

/// Whether the app is to make a backup now: the hour has struck since the last good one, and the
/// last attempt that failed was not in this hour.
///
/// # Errors
/// Where the file cannot be read.
pub fn due(shop: &Shop, now: &Moment) -> Result<bool, RecordsError> {
    let Rule { folder: Some(_), hour, .. } = rule(shop)? else { return Ok(false) };
    let State { last, trouble, .. } = state(shop, now)?;
    let same_hour = |at: &Moment| at.as_str().get(..13) == now.as_str().get(..13);
    if trouble.is_some_and(|(at, _)| same_hour(&at)) {
        return Ok(false);
    }
    Ok(last.is_none_or(|last| night(&last.at, hour) < night(now, hour)))
}

/// Makes tonight's backup by the shop's rule, if it is due. What goes wrong is written down, and
/// shown until one passes.
///
/// # Errors
/// Where there is none, and why.
pub fn nightly(shop: &Shop, now: &Moment) -> Result<Option<Made>, BackupError> {
    if !due(shop, now)? {
        return Ok(None);
    }
    let Rule { folder: Some(folder), keep, .. } = rule(shop)? else { return Ok(None) };
    back_up(shop, &folder, keep, now).map(Some).inspect_err(|error| {
        let why = json!({ "at": now.as_str(), "why": error.to_string() });
        // A file that takes no writing says so at every bench.
        let _ = shop.set_setting(TROUBLE, &why.to_string());
    })
}
