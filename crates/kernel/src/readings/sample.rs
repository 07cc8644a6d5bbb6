//! A rotor for tests: every reading taken, all of them consistent.

use super::adjust::RotorReadings;
use super::gauge::{Gauge, MeasuredAt};
use crate::units::{Expansion, Length, Temperature};

pub(super) fn full() -> RotorReadings {
    let mm = |v: [f64; 3]| v.map(Length::mm);
    let um = |v: [f64; 3]| v.map(Length::um);
    let gauge = |id, repeat, zero| Gauge {
        id,
        repeat: Length::um(repeat),
        zero: Length::um(zero),
        temperature: Temperature::REFERENCE,
        expansion: Expansion::per_k(11.5e-6),
    };
    RotorReadings {
        land_width: mm([79.915, 79.922, 79.918]),
        gear_step: um([95.0, 88.0, 102.0]),
        plain_step: um([105.0, 99.0, 93.0]),
        tip_width: Some(mm([79.715, 79.735, 79.723])),
        gear_runout: Some(um([0.0, 6.0, 2.0])),
        plain_runout: Some(um([0.0, 1.0, 1.0])),
        width_gauge: gauge(0, 2.0, 1.0),
        step_gauge: gauge(1, 3.0, 0.0),
        runout_gauge: gauge(1, 3.0, 0.0),
        measured_at: MeasuredAt {
            part: 0,
            temperature: Temperature::REFERENCE,
            uncertainty_k: 0.0,
            expansion: Expansion::per_k(11.0e-6),
        },
        squareness: Length::um(5.0),
    }
}
