//! A spec looked at again as JSON, format 1. Lengths in millimetres, the unit in the key.

use super::number::mm;
use crate::ops::review::{
    Back, Evidence, Lacks, PastBuild, Sits, SpecReview, Supports, duty_words,
};
use crate::text::review::CAUTION;
use kernel::units::{Length, System};
use serde::Serialize;

/// A spec with what was built to it.
#[derive(Debug, Serialize)]
pub struct ReviewJson {
    format: u32,
    spec: i64,
    name: String,
    version: i64,
    duties: Vec<ReviewDutyJson>,
    not_shown: usize,
    caution: &'static str,
}

#[derive(Debug, Serialize)]
struct ReviewDutyJson {
    duty: String,
    speed_rpm: Option<f64>,
    boost_bar: Option<f64>,
    running_h: Option<f64>,
    came_back: usize,
    touched: usize,
    met_first: Vec<ReviewMetJson>,
    evidence: Option<ReviewEvidenceJson>,
    no_evidence: Option<String>,
    builds: Vec<ReviewBuildJson>,
}

#[derive(Debug, Serialize)]
struct ReviewMetJson {
    limit: String,
    rotors: usize,
}

#[derive(Debug, Serialize)]
struct ReviewEvidenceJson {
    build: String,
    rotor: String,
    step_mm: f64,
    chance: f64,
    builds: usize,
    assumed: ReviewLacksJson,
    taught: ReviewLacksJson,
    /// `larger step`, `smaller step`, `as it is` or `too little known`.
    supports: &'static str,
    by_mm: Option<f64>,
    said: Vec<String>,
}

#[derive(Debug, Serialize)]
struct ReviewLacksJson {
    median_mm: f64,
    /// Nine in ten lie from here.
    low_mm: f64,
    /// To here.
    high_mm: f64,
    suffices: f64,
}

#[derive(Debug, Serialize)]
struct ReviewBuildJson {
    build: i64,
    name: String,
    version: i64,
    measured: bool,
    rotors: Vec<ReviewRotorJson>,
    not_known: Option<String>,
    back: Option<ReviewBackJson>,
}

#[derive(Debug, Serialize)]
struct ReviewRotorJson {
    serial: String,
    housing: String,
    side_clearance: ReviewSitsJson,
    step: ReviewSitsJson,
}

#[derive(Debug, Serialize)]
struct ReviewSitsJson {
    /// The least and the greatest of it.
    is_mm: [f64; 2],
    least_mm: Option<f64>,
    least_by: Option<String>,
    most_mm: Option<f64>,
    most_by: Option<String>,
    /// 0 at the least, 1 at the most.
    share: Option<f64>,
}

#[derive(Debug, Serialize)]
struct ReviewBackJson {
    hours: Option<f64>,
    speed: Option<String>,
    boost: Option<String>,
    clear: usize,
    light: usize,
    heavy: usize,
    not_looked_at: usize,
}

impl ReviewJson {
    /// Of a review; `first` says which units its sentences put first.
    #[must_use]
    pub fn of(report: &SpecReview, first: System) -> Self {
        let duties = report.duties.iter().map(|duty| {
            let (came_back, touched) = duty.came_back();
            ReviewDutyJson {
                duty: duty_words(&duty.duty),
                speed_rpm: duty.duty.speed.map(|speed| speed.to_rpm()),
                boost_bar: duty.duty.boost.map(|boost| boost.to_bar()),
                running_h: duty.duty.running.map(|running| running.to_h()),
                came_back,
                touched,
                met_first: duty
                    .met_first()
                    .into_iter()
                    .map(|met| ReviewMetJson { limit: met.what, rotors: met.rotors })
                    .collect(),
                evidence: duty.evidence.as_ref().ok().map(|known| evidence(known, first)),
                no_evidence: duty.evidence.as_ref().err().cloned(),
                builds: duty.builds.iter().map(build).collect(),
            }
        });
        Self {
            format: 1,
            spec: report.spec.id.0,
            name: report.spec.name.clone(),
            version: report.spec.version,
            duties: duties.collect(),
            not_shown: report.not_shown,
            caution: CAUTION,
        }
    }
}

fn lacks(of: &Lacks) -> ReviewLacksJson {
    ReviewLacksJson {
        median_mm: mm(of.median),
        low_mm: mm(of.low),
        high_mm: mm(of.high),
        suffices: of.suffices,
    }
}

fn evidence(of: &Evidence, first: System) -> ReviewEvidenceJson {
    let (supports, by): (_, Option<Length>) = match of.supports() {
        Supports::More(by) => ("larger step", Some(by)),
        Supports::Less(by) => ("smaller step", Some(by)),
        Supports::AsItIs | Supports::AtRest => ("as it is", None),
        Supports::TooLittle => ("too little known", None),
    };
    ReviewEvidenceJson {
        build: of.build.clone(),
        rotor: of.rotor.clone(),
        step_mm: mm(of.step),
        chance: of.chance,
        builds: of.builds,
        assumed: lacks(&of.assumed),
        taught: lacks(&of.taught),
        supports,
        by_mm: by.map(mm),
        said: of.sentences(first),
    }
}

fn build(past: &PastBuild) -> ReviewBuildJson {
    let rotors = past.sits.as_deref().unwrap_or_default().iter();
    ReviewBuildJson {
        build: past.id().0,
        name: past.build.head.name.clone(),
        version: past.version,
        measured: past.measured,
        rotors: rotors
            .map(|rotor| ReviewRotorJson {
                serial: rotor.serial.clone(),
                housing: rotor.housing.clone(),
                side_clearance: sits(&rotor.clearance),
                step: sits(&rotor.step),
            })
            .collect(),
        not_known: past.sits.as_ref().err().cloned(),
        back: past.back.as_ref().map(back),
    }
}

fn sits(of: &Sits) -> ReviewSitsJson {
    ReviewSitsJson {
        is_mm: of.is.map(mm),
        least_mm: of.least.as_ref().map(|bound| mm(bound.at)),
        least_by: of.least.as_ref().map(|bound| bound.words.clone()),
        most_mm: of.most.as_ref().map(|bound| mm(bound.at)),
        most_by: of.most.as_ref().map(|bound| bound.words.clone()),
        share: of.share(),
    }
}

fn back(of: &Back) -> ReviewBackJson {
    let [clear, light, heavy, not_looked_at] = of.marks;
    ReviewBackJson {
        hours: of.hours,
        speed: of.speed.clone(),
        boost: of.boost.clone(),
        clear,
        light,
        heavy,
        not_looked_at,
    }
}
