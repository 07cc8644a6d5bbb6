//! What a shop has seen: marks at teardown beside what was predicted, and tilt tests.

use super::error::CalibrationError;
use crate::readings::{Face, TIPS};

/// One of the bounds of a tip's gap, linear in both scales, m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Plane {
    /// The gap with nothing that leans and nothing that grows.
    pub at_none_m: f64,
    /// What leaning takes from it, as predicted.
    pub per_tilt_m: f64,
    /// What growth takes from it, as predicted.
    pub per_heat_m: f64,
}

impl Plane {
    /// The gap at two scales, m; negative is interference.
    #[must_use]
    pub fn gap_m(&self, tilt: f64, heat: f64) -> f64 {
        self.at_none_m - tilt * self.per_tilt_m - heat * self.per_heat_m
    }
}

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
    /// What bounds its gap at the highest speed and boost seen: the least of them is the gap.
    pub planes: Vec<Plane>,
    /// Standard uncertainty of that gap that no other tip shares, m; more than nothing.
    pub own_m: f64,
    /// What was seen.
    pub contact: Contact,
}

impl TipSeen {
    /// The gap at two scales, m; negative is interference.
    #[must_use]
    pub fn gap_m(&self, tilt: f64, heat: f64) -> f64 {
        self.planes.iter().map(|plane| plane.gap_m(tilt, heat)).fold(f64::INFINITY, f64::min)
    }
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

/// A tip pushed by a spring scale in a clamped housing, float taken up, indicator read.
#[derive(Debug, Clone, PartialEq)]
pub struct TiltTest {
    /// How far the tip is predicted to move, m per N.
    pub compliance_m_per_n: f64,
    /// A smaller and a larger load, N.
    pub loads_n: [f64; 2],
    /// Indicator readings at both, m, once or repeated.
    pub readings_m: Vec<[f64; 2]>,
    /// Standard uncertainty of one reading, m; more than nothing.
    pub u_reading_m: f64,
    /// Standard uncertainty of one load, N; none or more.
    pub u_load_n: f64,
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
            let finite = |plane: &Plane| {
                plane.at_none_m.is_finite()
                    && plane.per_tilt_m.is_finite()
                    && plane.per_heat_m.is_finite()
            };
            if tip.planes.is_empty() || !tip.planes.iter().all(finite) {
                return Err(CalibrationError::Planes { build: build(), place: place(tip.face) });
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
        if !(self.compliance_m_per_n.is_finite() && self.compliance_m_per_n > 0.0) {
            let permitted = "it is more than nothing";
            return wrong("the compliance in m/N", self.compliance_m_per_n, permitted);
        }
        let [less, more] = self.loads_n;
        if !(less.is_finite() && less >= 0.0) {
            return wrong("the smaller load in N", less, "it is none or more");
        }
        if !(more.is_finite() && more > less) {
            return wrong("the larger load in N", more, "it is more than the smaller one");
        }
        if let Some(reading) = self.readings_m.iter().flatten().find(|reading| !reading.is_finite())
        {
            return wrong("a reading in m", *reading, "it is a figure");
        }
        if self.readings_m.is_empty() {
            return wrong("readings", 0.0, "there is one pair at least");
        }
        if !(self.u_reading_m.is_finite() && self.u_reading_m > 0.0) {
            return wrong(
                "the uncertainty of a reading in m",
                self.u_reading_m,
                "it is more than nothing",
            );
        }
        if !(self.u_load_n.is_finite() && self.u_load_n >= 0.0) {
            return wrong("the uncertainty of a load in N", self.u_load_n, "it is none or more");
        }
        Ok(())
    }
}
