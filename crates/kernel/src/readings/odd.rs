//! Readings that nothing checks but their neighbours: one of three far from the other two.
//!
//! Not a test, a question: a part may really be so. It is asked where no redundancy could tell.

use super::adjust::{Check, RotorReadings};
use super::heights::{Face, TIPS};
use super::station::{Kind, Station};
use crate::units::Length;

/// A reading differs by at least this much from its neighbours before it is asked about...
const LEAST: Length = Length::um(100.0);
/// ...and by this many times what the other two differ from each other.
const TIMES: f64 = 10.0;

/// One reading far from its two neighbours.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Odd {
    /// Which reading.
    pub station: Station,
    /// Its value.
    pub value: Length,
    /// Mean of the other two.
    pub others: Length,
    /// A tenth or ten times the value would be among its neighbours: a decimal point slipped.
    pub decimal_slip: bool,
}

/// The unchecked readings of a rotor that are far from their neighbours.
#[must_use]
pub fn odd_ones(readings: &RotorReadings, check: &Check) -> Vec<Odd> {
    let kinds = [
        (Kind::LandWidth, Some(readings.land_width)),
        (Kind::Step(Face::Gear), Some(readings.gear_step)),
        (Kind::Step(Face::Plain), Some(readings.plain_step)),
        (Kind::TipWidth, readings.tip_width),
    ];
    let mut found = Vec::new();
    for (kind, values) in kinds {
        let Some(values) = values else { continue };
        for tip in 0..TIPS {
            let station = Station { kind, tip };
            if check.checked.iter().any(|checked| checked.station == station) {
                continue;
            }
            let (a, b) = (values[(tip + 1) % TIPS], values[(tip + 2) % TIPS]);
            let others = (a + b) / 2.0;
            let far = LEAST.max((a - b).abs() * TIMES);
            let is_far = |value: Length| (value - others).abs() > far;
            if is_far(values[tip]) {
                let slips = [values[tip] / 10.0, values[tip] * 10.0];
                let decimal_slip = slips.into_iter().any(|value| !is_far(value));
                found.push(Odd { station, value: values[tip], others, decimal_slip });
            }
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::super::sample;
    use super::*;

    #[test]
    fn a_step_ten_times_its_neighbours_is_asked_about_where_nothing_checks_it() {
        let mut readings = sample::full();
        readings.gear_step[0] = Length::um(950.0);
        let checked = readings.adjust().unwrap();
        assert!(odd_ones(&readings, &checked.check).is_empty(), "data snooping finds it");
        (readings.tip_width, readings.gear_runout, readings.plain_runout) = (None, None, None);
        let unchecked = readings.adjust().unwrap();
        let odd = odd_ones(&readings, &unchecked.check);
        assert_eq!(odd.len(), 1);
        assert_eq!(odd[0].station, Station { kind: Kind::Step(Face::Gear), tip: 0 });
        assert!(odd[0].decimal_slip);
    }

    #[test]
    fn a_worn_tip_is_not() {
        let mut readings = sample::full();
        (readings.tip_width, readings.gear_runout, readings.plain_runout) = (None, None, None);
        readings.gear_step[0] = Length::um(160.0);
        let check = readings.adjust().unwrap().check;
        assert!(odd_ones(&readings, &check).is_empty());
    }
}
