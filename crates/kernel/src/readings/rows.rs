//! Observation equations of a rotor's readings: which heights each one sums, what was read, and
//! the errors it has, fresh and shared.

use super::adjust::RotorReadings;
use super::gauge::{Gauge, Shared};
use super::heights::{Face, TIPS};
use super::station::{Kind, Station};
use crate::units::Length;

/// The heights of a rotor: gear land, plain land, gear tip, plain tip, three of each.
pub(super) const HEIGHTS: usize = 12;
/// Free heights once the datum has taken one.
pub(super) const FREE: usize = HEIGHTS - 1;
/// Standard uncertainty given to a quantity declared exact, far below any gauge.
const EXACT_UM: f64 = 1e-5;

/// One observation equation: which unknowns it sums, what was read, and its errors.
#[derive(Debug, Clone)]
pub(super) struct Row {
    pub(super) station: Option<Station>,
    pub(super) terms: Vec<(usize, f64)>,
    pub(super) reading_um: f64,
    pub(super) fresh_um: f64,
    pub(super) shared_um: Vec<(Shared, f64)>,
}

/// Where the height of a land stands among the heights.
pub(super) const fn land(face: Face, tip: usize) -> usize {
    match face {
        Face::Gear => tip,
        Face::Plain => TIPS + tip,
    }
}

/// Where the height of a tip stands among the heights.
pub(super) const fn tip(face: Face, tip: usize) -> usize {
    match face {
        Face::Gear => 2 * TIPS + tip,
        Face::Plain => 3 * TIPS + tip,
    }
}

impl RotorReadings {
    pub(super) fn dial_zeros(&self) -> usize {
        usize::from(self.gear_runout.is_some()) + usize::from(self.plain_runout.is_some())
    }

    /// Twice the height that all heights are adjusted about: the first land width at 20 °C.
    pub(super) fn base_um(&self) -> f64 {
        self.land_width[0].to_um() * self.measured_at.to_reference(&self.width_gauge)
    }

    pub(super) fn rows(&self) -> Vec<Row> {
        let both = |at: fn(Face, usize) -> usize| {
            move |k| vec![(at(Face::Gear, k), 1.0), (at(Face::Plain, k), 1.0)]
        };
        let mut rows = Vec::with_capacity(20);
        self.push(&mut rows, Kind::LandWidth, &self.land_width, &self.width_gauge, both(land));
        for (face, step) in [(Face::Gear, &self.gear_step), (Face::Plain, &self.plain_step)] {
            self.push(&mut rows, Kind::Step(face), step, &self.step_gauge, |k| {
                vec![(land(face, k), 1.0), (tip(face, k), -1.0)]
            });
        }
        if let Some(width) = &self.tip_width {
            self.push(&mut rows, Kind::TipWidth, width, &self.width_gauge, both(tip));
        }
        let mut dial = HEIGHTS;
        for (face, runout) in [(Face::Gear, &self.gear_runout), (Face::Plain, &self.plain_runout)] {
            if let Some(runout) = runout {
                self.push(&mut rows, Kind::Runout(face), runout, &self.runout_gauge, |k| {
                    vec![(land(face, k), 1.0), (dial, -1.0)]
                });
                dial += 1;
            }
        }
        if dial == HEIGHTS {
            rows.extend(self.assumed_square());
        }
        rows
    }

    fn push(
        &self,
        rows: &mut Vec<Row>,
        kind: Kind,
        readings: &[Length; TIPS],
        gauge: &Gauge,
        terms: impl Fn(usize) -> Vec<(usize, f64)>,
    ) {
        let factor = self.measured_at.to_reference(gauge);
        let base_um = match kind {
            Kind::LandWidth | Kind::TipWidth => self.base_um(),
            Kind::Step(_) | Kind::Runout(_) => 0.0,
        };
        for station in Station::of(kind) {
            let read_um = readings[station.tip].to_um() * factor;
            let heat_um =
                -read_um * self.measured_at.expansion.to_per_k() * self.measured_at.uncertainty_k;
            let mut shared_um = vec![(Shared::Temperature(self.measured_at.part), heat_um)];
            // A dial's zero is an unknown of its own already.
            if !matches!(kind, Kind::Runout(_)) {
                shared_um.push((Shared::Zero(gauge.id), gauge.zero.to_um()));
            }
            rows.push(Row {
                station: Some(station),
                terms: terms(station.tip),
                reading_um: read_um - base_um,
                fresh_um: gauge.repeat.to_um().max(EXACT_UM),
                shared_um,
            });
        }
    }

    /// Two pseudo-readings: the lands of both faces differ by no tilt. A tilt of the lands that
    /// raises the edge by `a cos φ + b sin φ` changes `G_k − P_k` by twice that at each tip; in
    /// two orthonormal contrasts of the three tips that is `2 √(3/2)` times `a` and `b`.
    fn assumed_square(&self) -> [Row; 2] {
        let contrasts = [
            [2.0 / 6f64.sqrt(), -1.0 / 6f64.sqrt(), -1.0 / 6f64.sqrt()],
            [0.0, 1.0 / 2f64.sqrt(), -1.0 / 2f64.sqrt()],
        ];
        contrasts.map(|contrast| Row {
            station: None,
            terms: (0..TIPS)
                .flat_map(|k| {
                    [(land(Face::Gear, k), contrast[k]), (land(Face::Plain, k), -contrast[k])]
                })
                .collect(),
            reading_um: 0.0,
            fresh_um: (2.0 * 1.5f64.sqrt() * self.squareness.to_um()).max(EXACT_UM),
            shared_um: Vec::new(),
        })
    }
}
