//! What a shop has seen: marks at teardown beside what was predicted, and tilt tests.

use super::error::CalibrationError;
use crate::readings::{Face, TIPS};
use crate::speed::engine::GapTable;

/// What was seen on a tip.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Contact {
    /// No mark.
    None,
    /// It has touched.
    Light,
    /// It has touched hard.
    Heavy,
}

/// One tip of one face that was looked at.
#[derive(Debug, Clone, PartialEq)]
pub struct TipSeen {
    /// Which rotor of the build, from 0.
    pub rotor: usize,
    /// Which face.
    pub face: Face,
    /// Which tip, 1 to 3.
    pub tip: usize,
    /// What was predicted to be left at the highest speed and boost seen, by both scales.
    pub gap: GapTable,
    /// Standard uncertainty of that gap that no other tip shares, m; more than nothing.
    pub own_m: f64,
    /// What was seen.
    pub contact: Contact,
}

/// A build that came apart.
#[derive(Debug, Clone, PartialEq)]
pub struct BuildSeen {
    /// What it is called.
    pub name: String,
    /// Per rotor the standard uncertainty of all its tips' gaps together, m: housing width,
    /// temperatures. None or more.
    pub shared_m: Vec<f64>,
    /// The tips that were looked at; others say nothing.
    pub tips: Vec<TipSeen>,
}

/// A tip pushed by a spring scale in a clamped housing, float taken up, indicator read at a smaller
/// and a larger load.
#[derive(Debug, Clone, PartialEq)]
pub struct TiltTest {
    /// How far the tip is predicted to move between the loads, m; more than nothing.
    pub predicted_m: f64,
    /// How far it moved, m, once or repeated.
    pub moved_m: Vec<f64>,
    /// Standard uncertainty of one of these from its two readings, m; more than nothing.
    pub u_moved_m: f64,
    /// Standard uncertainty that all of them share, m: what the loads may be off makes of it. None or
    /// more.
    pub u_shared_m: f64,
}

impl BuildSeen {
    pub(super) fn check(&self) -> Result<(), CalibrationError> {
        let build = || self.name.clone();
        for (index, shared_m) in self.shared_m.iter().enumerate() {
            if !(shared_m.is_finite() && *shared_m >= 0.0) {
                let (build, rotor, u_m) = (build(), index + 1, *shared_m);
                return Err(CalibrationError::Shared { build, rotor, u_m });
            }
        }
        for tip in &self.tips {
            let place = |face: Face| {
                format!("rotor {}, {} face, tip {}", tip.rotor + 1, face.name(), tip.tip)
            };
            let rotors = self.shared_m.len();
            if tip.rotor >= rotors {
                let (build, rotor) = (build(), tip.rotor + 1);
                return Err(CalibrationError::Rotor { build, rotor, rotors });
            }
            if !(1..=TIPS).contains(&tip.tip) {
                return Err(CalibrationError::Tip { build: build(), tip: tip.tip });
            }
            if !tip.gap.0.iter().flatten().all(|gap| gap.is_finite()) {
                return Err(CalibrationError::Gap { build: build(), place: place(tip.face) });
            }
            if !(tip.own_m.is_finite() && tip.own_m > 0.0) {
                let (build, place, u_m) = (build(), place(tip.face), tip.own_m);
                return Err(CalibrationError::Own { build, place, u_m });
            }
        }
        for (index, tip) in self.tips.iter().enumerate() {
            let same = |other: &&TipSeen| {
                (other.rotor, other.face, other.tip) == (tip.rotor, tip.face, tip.tip)
            };
            if self.tips[..index].iter().find(same).is_some() {
                let place =
                    format!("rotor {}, {} face, tip {}", tip.rotor + 1, tip.face.name(), tip.tip);
                return Err(CalibrationError::Twice { build: build(), place });
            }
        }
        Ok(())
    }
}

impl TiltTest {
    pub(super) fn check(&self, index: usize) -> Result<(), CalibrationError> {
        let test = index + 1;
        let wrong =
            |what, value, permitted| Err(CalibrationError::Test { test, what, value, permitted });
        let above = "it is more than nothing";
        if !(self.predicted_m.is_finite() && self.predicted_m > 0.0) {
            return wrong("the predicted movement in m", self.predicted_m, above);
        }
        if let Some(moved) = self.moved_m.iter().find(|moved| !moved.is_finite()) {
            return wrong("a movement in m", *moved, "it is a figure");
        }
        if self.moved_m.is_empty() {
            return wrong("the count of movements", 0.0, "there is one at least");
        }
        if !(self.u_moved_m.is_finite() && self.u_moved_m > 0.0) {
            return wrong("the uncertainty of a movement in m", self.u_moved_m, above);
        }
        if !(self.u_shared_m.is_finite() && self.u_shared_m >= 0.0) {
            return wrong("the shared uncertainty in m", self.u_shared_m, "it is none or more");
        }
        Ok(())
    }
}
