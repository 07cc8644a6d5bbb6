//! Engines that came back, and tips that were pushed.

use super::super::number::rounded;
use super::reading::value_mm;
use super::{NamedJson, Names, moment};
use crate::ops::teardown::{CameBack, GapBand, TipBeside};
use records::{Depth, TiltTest, Written};
use serde::Serialize;

/// What teardowns of a build told.
#[derive(Debug, Serialize)]
pub(crate) struct TeardownsJson {
    build: i64,
    /// By revision.
    teardowns: Vec<TeardownJson>,
    tilt_tests: Vec<TiltTestJson>,
}

/// One teardown beside its prediction.
#[derive(Debug, Serialize)]
struct TeardownJson {
    teardown: i64,
    revision: i64,
    running: Option<String>,
    running_h: Option<f64>,
    speed: Option<String>,
    speed_rpm: Option<f64>,
    boost: Option<String>,
    boost_bar: Option<f64>,
    note: String,
    person: NamedJson,
    at: String,
    supersedes: Option<i64>,
    prediction: Option<i64>,
    /// The program that predicted, with its version.
    predicted_by: Option<String>,
    /// Why there is no prediction.
    unpredicted: Option<String>,
    tips: Vec<TipJson>,
}

#[derive(Debug, Serialize)]
struct TipJson {
    part: i64,
    rotor: String,
    face: &'static str,
    tip: i64,
    contact: &'static str,
    #[serde(rename = "where")]
    place: Option<String>,
    rotor_depth: Option<DepthJson>,
    wall_depth: Option<DepthJson>,
    note: String,
    predicted: Option<BandJson>,
    /// What it says of the prediction, in words.
    says: &'static str,
}

#[derive(Debug, Serialize)]
struct DepthJson {
    value: String,
    value_mm: Option<f64>,
    gauge: Option<NamedJson>,
}

/// A gap; nine in ten lie from the least to the most.
#[derive(Debug, Serialize)]
struct BandJson {
    gap_mm: f64,
    least_mm: f64,
    most_mm: f64,
    /// Less than this leaves marks.
    seen_below_mm: f64,
}

#[derive(Debug, Serialize)]
struct TiltTestJson {
    tilt_test: i64,
    part: i64,
    face: &'static str,
    tip: i64,
    radius: String,
    radius_mm: Option<f64>,
    least_load: String,
    least_load_n: f64,
    most_load: String,
    most_load_n: f64,
    load_u: String,
    load_u_n: f64,
    readings: Vec<TiltReadingJson>,
    gauge: NamedJson,
    note: String,
    person: NamedJson,
    at: String,
    supersedes: Option<i64>,
}

#[derive(Debug, Serialize)]
struct TiltReadingJson {
    at_least: String,
    at_least_mm: Option<f64>,
    at_most: String,
    at_most_mm: Option<f64>,
}

fn mm(m: f64) -> f64 {
    rounded(m * 1e3)
}

impl BandJson {
    fn of(band: GapBand) -> Self {
        Self {
            gap_mm: mm(band.gap_m),
            least_mm: mm(band.least_m()),
            most_mm: mm(band.most_m()),
            seen_below_mm: mm(band.seen_below_m),
        }
    }
}

impl TipJson {
    fn of(tip: &TipBeside, names: &Names) -> Self {
        let depth = |depth: &Depth| DepthJson {
            value: depth.value.text().to_owned(),
            value_mm: value_mm(&depth.value),
            gauge: depth.gauge.map(|id| names.gauge(id)),
        };
        let mark = tip.mark.as_ref();
        Self {
            part: tip.part.0,
            rotor: tip.serial.clone(),
            face: tip.face.word(),
            tip: tip.tip,
            contact: tip.contact().word(),
            place: mark.and_then(|mark| mark.place.clone()),
            rotor_depth: mark.and_then(|mark| mark.rotor.as_ref()).map(depth),
            wall_depth: mark.and_then(|mark| mark.wall.as_ref()).map(depth),
            note: mark.map_or_else(String::new, |mark| mark.note.clone()),
            predicted: tip.predicted.map(BandJson::of),
            says: tip.says.words(),
        }
    }
}

impl TeardownJson {
    fn of(back: &CameBack, names: &Names) -> Self {
        let told = &back.teardown;
        let text = |value: &Option<Written>| value.as_ref().map(|value| value.text().to_owned());
        let in_units = |value: &Option<Written>, per_si: f64| {
            value.as_ref().map(|value| rounded(value.si() * per_si))
        };
        Self {
            teardown: told.id.0,
            revision: told.revision,
            running: text(&told.running),
            running_h: back.hours().map(rounded),
            speed: text(&told.speed),
            speed_rpm: in_units(&told.speed, 30.0 / std::f64::consts::PI),
            boost: text(&told.boost),
            boost_bar: in_units(&told.boost, 1e-5),
            note: told.note.clone(),
            person: names.person(told.person),
            at: moment(&told.at),
            supersedes: told.supersedes.map(|id| id.0),
            prediction: told.prediction.map(|id| id.0),
            predicted_by: back.kept.as_ref().map(|kept| kept.program.clone()),
            unpredicted: back.unpredicted.clone(),
            tips: back.tips.iter().map(|tip| TipJson::of(tip, names)).collect(),
        }
    }
}

impl TiltTestJson {
    fn of(test: &TiltTest, names: &Names) -> Self {
        let told = &test.told;
        let reading = |[least, most]: &[Written; 2]| TiltReadingJson {
            at_least: least.text().to_owned(),
            at_least_mm: value_mm(least),
            at_most: most.text().to_owned(),
            at_most_mm: value_mm(most),
        };
        Self {
            tilt_test: test.id.0,
            part: told.part.0,
            face: told.face.word(),
            tip: told.tip,
            radius: told.radius.text().to_owned(),
            radius_mm: value_mm(&told.radius),
            least_load: told.least.text().to_owned(),
            least_load_n: rounded(told.least.si()),
            most_load: told.most.text().to_owned(),
            most_load_n: rounded(told.most.si()),
            load_u: told.load_u.text().to_owned(),
            load_u_n: rounded(told.load_u.si()),
            readings: told.readings.iter().map(reading).collect(),
            gauge: names.gauge(told.gauge),
            note: told.note.clone(),
            person: names.person(told.person),
            at: moment(&told.at),
            supersedes: told.supersedes.map(|id| id.0),
        }
    }
}

impl TeardownsJson {
    pub(crate) fn of(build: i64, all: &[CameBack], tests: &[TiltTest], names: &Names) -> Self {
        Self {
            build,
            teardowns: all.iter().map(|back| TeardownJson::of(back, names)).collect(),
            tilt_tests: tests.iter().map(|test| TiltTestJson::of(test, names)).collect(),
        }
    }
}

/// What became of a teardown: one of the two.
#[derive(Debug, Serialize)]
pub(crate) struct ToldJson {
    kept: Option<ToldKeptJson>,
    asked_back: Option<ToldAskedBackJson>,
}

#[derive(Debug, Serialize)]
struct ToldKeptJson {
    teardown: i64,
    /// What to mind although it is kept.
    mind: Vec<String>,
}

#[derive(Debug, Serialize)]
struct ToldAskedBackJson {
    why: Vec<String>,
}

impl ToldJson {
    pub(crate) fn of(entered: crate::ops::teardown::Entered) -> Self {
        use crate::ops::teardown::Entered;
        match entered {
            Entered::Kept { teardown, mind } => {
                let kept = ToldKeptJson { teardown: teardown.0, mind };
                Self { kept: Some(kept), asked_back: None }
            }
            Entered::AskedBack { why } => {
                Self { kept: None, asked_back: Some(ToldAskedBackJson { why }) }
            }
        }
    }
}
