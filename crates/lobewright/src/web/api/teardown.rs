//! Engines that came back: what their teardowns tell, beside what was predicted, and tips that were
//! pushed.

use super::super::reply::Reply;
use super::super::rights::Work;
use super::super::route::{Route, get, post};
use super::super::sheet::refused;
use super::super::visit::Visit;
use super::super::wrong::Wrong;
use super::{answer, ask, made, names};
use crate::build_file::teardown::{
    CONTACTS, FACES, MOST_REPEATS, TeardownText, TiltText, TipText, WornText,
};
use crate::ops::teardown::{Telling, came_back, tell, tell_tilt};
use crate::wire::shop::{MadeJson, TeardownsJson, ToldJson};
use records::{BuildId, TeardownId, TiltTestId};
use serde::Deserialize;

pub(super) const ROUTES: &[Route] = &[
    get("/api/builds/{build}/teardown", told),
    post(Work::Builds, "/api/builds/{build}/teardown", tear).in_turn(),
    post(Work::Builds, "/api/builds/{build}/tilt-tests", push),
];

fn told(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let build = visit.id::<BuildId>("build")?;
    let all = came_back(visit.shop(), build)?;
    let tests = visit.shop().tilt_tests_of(build)?;
    answer(&TeardownsJson::of(build.0, &all, &tests, &names(visit)?))
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct TeardownBody {
    revision: i64,
    expected: Option<i64>,
    running: Option<String>,
    speed: Option<String>,
    boost: Option<String>,
    #[serde(default)]
    note: String,
    tips: Vec<TipBody>,
    #[serde(default)]
    sure: bool,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct TipBody {
    rotor: String,
    face: String,
    tip: usize,
    contact: String,
    #[serde(rename = "where")]
    place: Option<String>,
    rotor_depth: Option<DepthBody>,
    wall_depth: Option<DepthBody>,
    #[serde(default)]
    note: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct DepthBody {
    value: String,
    gauge: Option<String>,
}

/// One of a few words, by its place among them.
fn word(field: &str, said: &str, words: &[&str]) -> Result<usize, Wrong> {
    words.iter().position(|word| *word == said).ok_or_else(|| {
        let said: String = said.chars().take(40).collect();
        Wrong::ask(format!("{field}: {said:?} is none of {}", words.join(", ")))
    })
}

fn some(text: Option<String>) -> Option<String> {
    text.map(|text| text.trim().to_owned()).filter(|text| !text.is_empty())
}

impl TipBody {
    fn told(self, index: usize) -> Result<TipText, Wrong> {
        let at = |field: &str| format!("tips[{index}].{field}");
        let worn = |depth: DepthBody| WornText { depth: depth.value, gauge: some(depth.gauge) };
        Ok(TipText {
            face: word(&at("face"), &self.face, &FACES)?,
            contact: word(&at("contact"), &self.contact, &CONTACTS)?,
            rotor: self.rotor,
            tip: self.tip,
            place: some(self.place),
            worn: self.rotor_depth.map(worn),
            wall: self.wall_depth.map(worn),
            note: self.note,
        })
    }
}

fn tear(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let build = visit.id::<BuildId>("build")?;
    let asked: TeardownBody = ask::body(visit)?;
    let tips = asked.tips.into_iter().enumerate().map(|(index, tip)| tip.told(index));
    let told = TeardownText {
        build: None,
        running: some(asked.running),
        speed: some(asked.speed),
        boost: some(asked.boost),
        note: asked.note,
        tips: tips.collect::<Result<_, Wrong>>()?,
        tilt_tests: Vec::new(),
    };
    let telling = Telling {
        build,
        revision: asked.revision,
        told: &told,
        expected: asked.expected.map(TeardownId),
        sure: asked.sure,
        person: visit.who()?,
        at: &visit.now,
    };
    answer(&ToldJson::of(tell(visit.shop(), &telling, visit.first()).map_err(refused)?))
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct TiltBody {
    rotor: String,
    face: String,
    tip: usize,
    radius: String,
    least_load: String,
    most_load: String,
    load_u: String,
    gauge: String,
    readings: Vec<TiltReadingBody>,
    #[serde(default)]
    note: String,
    supersedes: Option<i64>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct TiltReadingBody {
    at_least: String,
    at_most: String,
}

fn push(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let build = visit.id::<BuildId>("build")?;
    let asked: TiltBody = ask::body(visit)?;
    if asked.readings.len() > MOST_REPEATS {
        return Err(Wrong::ask(format!("readings: at most {MOST_REPEATS} are taken at once")));
    }
    let readings = asked.readings.into_iter().map(|both| [both.at_least, both.at_most]);
    let told = TiltText {
        face: word("face", &asked.face, &FACES)?,
        rotor: asked.rotor,
        tip: asked.tip,
        radius: asked.radius,
        least: asked.least_load,
        most: asked.most_load,
        load_u: asked.load_u,
        gauge: asked.gauge,
        readings: readings.collect(),
        note: asked.note,
    };
    let by = (visit.who()?, &visit.now);
    let supersedes = asked.supersedes.map(TiltTestId);
    let (id, _) = tell_tilt(visit.shop(), (build, &told), supersedes, by).map_err(refused)?;
    made(&MadeJson::TiltTest(id.0))
}
