//! What a reading brings into the build's file beside itself: the gauge it was taken with, and how
//! warm the part was.

use super::assembly::load_u_of;
use super::changes::{ChangeError, again, kept, quoted};
use super::stations::assembled_table;
use super::{Sheet, entered};
use crate::build_file::model::assembly::Fit;
use crate::build_file::places::place;
use crate::ops::assembly::{fit_of, spring_of};
use crate::ops::condition::card_part;
use kernel::units::{Length, Quantity, System};
use records::{
    BuildId, Entry, Fitted, Gauge, GaugeId, Moment, NewLine, PartKind, PersonId, Shop, Store, When,
    Written,
};

/// What a reading brings along.
pub(super) struct Brought<'a> {
    /// Of which part, and when.
    pub(super) part: &'a Fitted,
    pub(super) when: When,
    /// Which list it is of: `land_width`.
    pub(super) list: &'a str,
    /// Which station, where it is one of the part's card.
    pub(super) of_card: Option<&'a str>,
    pub(super) gauge: Option<GaugeId>,
    pub(super) temperature: Option<&'a Written>,
}

/// Puts what a reading that was kept brings along into the build's file; gives what there is to mind
/// of it. The reading stands in any case.
pub(super) fn link(
    shop: &Shop,
    build: BuildId,
    brought: &Brought<'_>,
    by: (PersonId, &Moment),
    first: System,
) -> Vec<String> {
    let now = || entered(shop, build, &by.1.day(), first).map_err(ChangeError::Shop);
    let gauge = brought.gauge.map(|gauge| again(|| link_gauge(shop, &now()?, brought, gauge, by)));
    let temperature = brought
        .temperature
        .map(|warm| again(|| link_temperature(shop, &now()?, brought, warm, by)));
    [gauge, temperature]
        .into_iter()
        .flatten()
        .filter_map(|done| done.err().map(|error| error.to_string()))
        .collect()
}

/// Lets the build's file know the gauge of a reading, so that its uncertainty is counted.
fn link_gauge(
    shop: &Shop,
    sheet: &Sheet,
    brought: &Brought<'_>,
    gauge: GaugeId,
    by: (PersonId, &Moment),
) -> Result<(), ChangeError> {
    let serial = brought.part.serial.as_str();
    if let Some(station) = brought.of_card {
        return link_card(shop, sheet, gauge, (brought.part, station), by);
    }
    if let (Some(table), Some(key)) =
        (assembled_table(brought.part.kind), gauge_at_assembly(brought.list))
    {
        let place = |key: &str| format!("{}.{key}", place(&["assembled", table, serial]));
        // Of a part that the file does not know the reading stands in the record alone.
        return if has_table(sheet, &place("")) {
            link_named(shop, sheet, gauge, (serial, place(key)), by)
        } else {
            Ok(())
        };
    }
    if let (Some(table), Some(_)) = (assembled_table(brought.part.kind), spring_of(brought.list)) {
        return link_load(shop, sheet, gauge, &["assembled", table, serial], by);
    }
    let (table, key) = match (brought.part.kind, brought.list) {
        (PartKind::Rotor, "land_width" | "tip_width") => ("rotor", "width_gauge"),
        (PartKind::Rotor, "gear_step" | "plain_step") => ("rotor", "step_gauge"),
        (PartKind::Rotor, "gear_runout" | "plain_runout") => ("rotor", "runout_gauge"),
        (PartKind::RotorHousing, _) => ("housing", "gauge"),
        _ => return Ok(()),
    };
    link_named(shop, sheet, gauge, (serial, place(&[table, serial, key])), by)
}

/// Whether the file has a table whose places begin like this.
fn has_table(sheet: &Sheet, below: &str) -> bool {
    sheet.lines.iter().any(|line| line.place.starts_with(below))
}

/// Lets the file know the uncertainty of loads that were read with a gauge: it names no gauge of
/// forces.
fn link_load(
    shop: &Shop,
    sheet: &Sheet,
    gauge: GaugeId,
    part: &[&str; 3],
    by: (PersonId, &Moment),
) -> Result<(), ChangeError> {
    let at = |key: &str| place(&[part[0], part[1], part[2], key]);
    let Some(gauge) = sheet.gauges.iter().find(|known| known.id == gauge) else { return Ok(()) };
    let Some(u) = load_u_of(gauge) else {
        return Err(ChangeError::Refused(format!(
            "{} measures no forces, so its uncertainty is not counted here",
            gauge.name
        )));
    };
    if !has_table(sheet, &format!("{}.", place(part))) {
        return Ok(());
    }
    let value = quoted(&u.written());
    match sheet.value(&at("load_u")) {
        Some(same) if same == value => Ok(()),
        Some(other) => Err(ChangeError::Refused(format!(
            "the file counts {other} for every spring of {}; mend load_u where that is wrong",
            part[2]
        ))),
        None => {
            let mut lines = kept(sheet);
            lines.push(NewLine { place: at("load_u"), entry: Entry::Text(value) });
            stored(shop, sheet, &lines, by)
        }
    }
}

/// Where a file names the gauge of a reading that is taken at assembly.
fn gauge_at_assembly(list: &str) -> Option<&'static str> {
    Some(match fit_of(list)? {
        Fit::ShaftRunout => "runout_gauge",
        Fit::MainBearing | Fit::RotorBearing => "bearing_gauge",
        Fit::EndPlay => "end_play_gauge",
        Fit::OilProtrusion => "protrusion_gauge",
        Fit::SpringHeight(_) => "height_gauge",
        Fit::CornerBore | Fit::SideGap | Fit::ApexGroove | Fit::ApexEnds => "gap_gauge",
    })
}

/// Names a gauge at a place of a part, and lets the file know the gauge.
fn link_named(
    shop: &Shop,
    sheet: &Sheet,
    gauge: GaugeId,
    (serial, at_part): (&str, String),
    by: (PersonId, &Moment),
) -> Result<(), ChangeError> {
    let Some(gauge) = sheet.gauges.iter().find(|known| known.id == gauge) else { return Ok(()) };
    let what = &gauge.calibration.what;
    if what.repeat.value::<Length>().is_none() {
        return Err(ChangeError::Refused(format!(
            "{} measures no lengths, so its uncertainty is not counted here",
            gauge.name
        )));
    }
    let name = quoted(&gauge.name);
    match sheet.value(&at_part) {
        Some(same) if same == name => return Ok(()),
        // One gauge stands for a list: what was taken with another is not restated unasked.
        Some(other) => {
            return Err(ChangeError::Refused(format!(
                "other readings of this kind on {serial} were taken with {other}, and its \
                 uncertainty counts for all of them"
            )));
        }
        None => {}
    }
    let mut lines = with_gauge(sheet, gauge);
    lines.push(NewLine { place: at_part, entry: Entry::Text(name) });
    stored(shop, sheet, &lines, by)
}

/// The lines of a file that knows a gauge. The calibration that the build was begun with stays.
fn with_gauge(sheet: &Sheet, gauge: &Gauge) -> Vec<NewLine> {
    let what = &gauge.calibration.what;
    let mut lines = kept(sheet);
    let mut add = |place: String, value: String| {
        lines.push(NewLine { place, entry: Entry::Text(value) });
    };
    let of_gauge = |key: &str| place(&["gauge", &gauge.name, key]);
    if sheet.value(&of_gauge("repeat")).is_none() {
        add(of_gauge("repeat"), quoted(what.repeat.text()));
        if let Some(zero) = &what.zero {
            add(of_gauge("zero"), quoted(zero.text()));
        }
        if let Some(due) = &what.due {
            add(of_gauge("calibration_due"), quoted(due.as_str()));
        }
    }
    lines
}

/// Lets the file know with which gauge something was read on a used part: each reading of a card
/// names its own. A file has no gauges of forces, and an eye is none.
fn link_card(
    shop: &Shop,
    sheet: &Sheet,
    gauge: GaugeId,
    (part, station): (&Fitted, &str),
    by: (PersonId, &Moment),
) -> Result<(), ChangeError> {
    let Some(gauge) = sheet.gauges.iter().find(|known| known.id == gauge) else { return Ok(()) };
    if gauge.calibration.what.repeat.value::<Length>().is_none() {
        return Ok(());
    }
    let keys = ["inspected", card_part(part.kind).key(), &part.serial, "read", station, "gauge"];
    let (at, name) = (place(&keys), quoted(&gauge.name));
    match sheet.value(&at) {
        Some(same) if same == name => Ok(()),
        _ => {
            let lines = with(with_gauge(sheet, gauge), at, name);
            stored(shop, sheet, &lines, by)
        }
    }
}

/// Lines with a text at a place, whether one stands there or not.
fn with(mut lines: Vec<NewLine>, place: String, text: String) -> Vec<NewLine> {
    let there = lines.iter().position(|line| line.place == place);
    let new = NewLine { place, entry: Entry::Text(text) };
    match there {
        Some(there) => lines[there] = new,
        None => lines.push(new),
    }
    lines
}

fn stored(
    shop: &Shop,
    sheet: &Sheet,
    lines: &[NewLine],
    (person, at): (PersonId, &Moment),
) -> Result<(), ChangeError> {
    let (build, seen) = (sheet.build.id, sheet.seen);
    shop.store(&Store { build, seen, person, at, lines })?;
    Ok(())
}

/// Lets the build's file know how warm a part was when it was read: all its readings of one time
/// share that, and the plan takes it from there.
fn link_temperature(
    shop: &Shop,
    sheet: &Sheet,
    brought: &Brought<'_>,
    temperature: &Written,
    by: (PersonId, &Moment),
) -> Result<(), ChangeError> {
    let part = brought.part;
    // What a card says is not planned from.
    if brought.of_card.is_some() {
        return Ok(());
    }
    let keys: &[&str] = match (part.kind, brought.when) {
        (PartKind::Rotor, When::Before) => &["rotor", &part.serial, "temperature"],
        (PartKind::Rotor, When::After) => &["rotor", &part.serial, "after", "temperature"],
        (PartKind::RotorHousing, _) => &["housing", &part.serial, "temperature"],
        _ => return Ok(()),
    };
    let (at_part, value) = (place(keys), quoted(temperature.text()));
    if sheet.value(&at_part) == Some(value.as_str()) {
        return Ok(());
    }
    stored(shop, sheet, &with(kept(sheet), at_part, value), by)
}
