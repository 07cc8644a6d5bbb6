//! What a reading brings into the build's file beside itself: the gauge it was taken with, and how
//! warm the part was.

use super::Sheet;
use super::changes::{ChangeError, kept, quoted};
use crate::build_file::places::place;
use kernel::units::Length;
use records::{
    Entry, Fitted, GaugeId, Moment, NewLine, PartKind, PersonId, Shop, Store, When, Written,
};

/// Lets the build's file know the gauge of a reading, so that its uncertainty is counted.
///
/// # Errors
/// As [`change`].
pub(super) fn link_gauge(
    shop: &Shop,
    sheet: &Sheet,
    (serial, kind, list): (&str, PartKind, &str),
    gauge: GaugeId,
    (person, at): (PersonId, &Moment),
) -> Result<bool, ChangeError> {
    let key = match (kind, list) {
        (PartKind::Rotor, "land_width" | "tip_width") => "width_gauge",
        (PartKind::Rotor, "gear_step" | "plain_step") => "step_gauge",
        (PartKind::Rotor, "gear_runout" | "plain_runout") => "runout_gauge",
        (PartKind::RotorHousing, _) => "gauge",
        _ => return Ok(false),
    };
    let table = if kind == PartKind::Rotor { "rotor" } else { "housing" };
    let Some(gauge) = sheet.gauges.iter().find(|known| known.id == gauge) else { return Ok(false) };
    let what = &gauge.calibration.what;
    let at_part = place(&[table, serial, key]);
    if what.repeat.value::<Length>().is_none() {
        return Err(ChangeError::Refused(format!(
            "{} measures no lengths, so its uncertainty is not counted here",
            gauge.name
        )));
    }
    // One gauge stands for a list: what was taken with another is not restated unasked.
    if let Some(other) = sheet.value(&at_part).filter(|other| *other != quoted(&gauge.name)) {
        return Err(ChangeError::Refused(format!(
            "the other readings of this kind were taken with {other}, and its uncertainty counts for \
             all of them"
        )));
    }
    let repeat = place(&["gauge", &gauge.name, "repeat"]);
    if sheet.value(&repeat).is_some() && sheet.value(&at_part).is_some() {
        // The calibration that the build was begun with stays.
        return Ok(false);
    }
    let mut wanted = vec![
        (place(&["gauge", &gauge.name, "repeat"]), Some(quoted(what.repeat.text()))),
        (
            place(&["gauge", &gauge.name, "zero"]),
            what.zero.as_ref().map(|zero| quoted(zero.text())),
        ),
        (
            place(&["gauge", &gauge.name, "calibration_due"]),
            what.due.as_ref().map(|due| quoted(due.as_str())),
        ),
        (at_part, Some(quoted(&gauge.name))),
    ];
    if sheet.value(&repeat).is_some() {
        wanted.drain(..3);
    }
    wanted.retain(|(place, value)| value.as_deref() != sheet.value(place));
    if wanted.is_empty() {
        return Ok(false);
    }
    let mut lines = kept(sheet);
    for (place, value) in wanted {
        lines.retain(|line| line.place != place);
        lines.extend(value.map(|value| NewLine { place, entry: Entry::Text(value) }));
    }
    let (build, seen) = (sheet.build.id, sheet.seen);
    shop.store(&Store { build, seen, person, at, lines: &lines })?;
    Ok(true)
}

/// Lets the build's file know how warm a part was when it was read.
///
/// # Errors
/// As [`change`].
pub(super) fn link_temperature(
    shop: &Shop,
    sheet: &Sheet,
    (part, when, temperature): (&Fitted, When, &Written),
    (person, at): (PersonId, &Moment),
) -> Result<(), ChangeError> {
    let keys: &[&str] = match (part.kind, when) {
        (PartKind::Rotor, When::Before) => &["rotor", &part.serial, "temperature"],
        (PartKind::Rotor, When::After) => &["rotor", &part.serial, "after", "temperature"],
        (PartKind::RotorHousing, _) => &["housing", &part.serial, "temperature"],
        _ => return Ok(()),
    };
    let (at_part, value) = (place(keys), quoted(temperature.text()));
    if sheet.value(&at_part) == Some(value.as_str()) {
        return Ok(());
    }
    let mut lines = kept(sheet);
    let there = lines.iter().position(|line| line.place == at_part);
    let new = NewLine { place: at_part, entry: Entry::Text(value) };
    match there {
        Some(there) => lines[there] = new,
        None => lines.push(new),
    }
    let (build, seen) = (sheet.build.id, sheet.seen);
    shop.store(&Store { build, seen, person, at, lines: &lines })?;
    Ok(())
}
