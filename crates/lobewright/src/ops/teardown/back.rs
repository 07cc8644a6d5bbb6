//! Engines that came back: each teardown that stands, beside the prediction it is held against.

use super::super::shop::ShopError;
use super::beside::{TipBeside, beside};
use super::predicted::Predicted;
use crate::build_file::teardown::{
    CONTACTS, NOT_LOOKED_AT, TeardownText, TiltText, TipText, WornText,
};
use records::{
    Build, BuildId, Depth, Face, Fitted, GaugeId, OutWhy, PartId, PartKind, Prediction, Shop,
    Teardown, TiltTest, Written,
};
use std::collections::HashMap;

/// An engine that came back.
#[derive(Debug, Clone, PartialEq)]
pub struct CameBack {
    /// The build.
    pub build: Build,
    /// What is told of it.
    pub teardown: Teardown,
    /// The prediction as it is kept.
    pub kept: Option<Prediction>,
    /// What that says; nothing where there is none, or it cannot be read.
    pub predicted: Option<Predicted>,
    /// Why there is none, or why it cannot be read.
    pub unpredicted: Option<String>,
    /// Its rotors from the front.
    pub rotors: Vec<(PartId, String)>,
    /// All their tips, rotor by rotor.
    pub tips: Vec<TipBeside>,
}

impl CameBack {
    /// How long it ran, in hours, if that is said.
    #[must_use]
    pub fn hours(&self) -> Option<f64> {
        self.teardown.running.as_ref().map(|running| running.si() / 3600.0)
    }
}

/// Rotors that were in a revision of a build, from the front.
fn rotors(fitted: &[Fitted], revision: i64) -> Vec<(PartId, String)> {
    let was_in = |part: &&Fitted| {
        let out = part.out.as_ref();
        let gone = out.is_some_and(|(why, out, ..)| *why == OutWhy::Exchanged && *out <= revision);
        part.kind == PartKind::Rotor && part.revision <= revision && !gone
    };
    let mut rotors: Vec<&Fitted> = fitted.iter().filter(was_in).collect();
    rotors.sort_by_key(|part| part.position);
    rotors.into_iter().map(|part| (part.part, part.serial.clone())).collect()
}

/// One teardown with what it is held against.
///
/// # Errors
/// Where the shop's file cannot be read.
pub fn with_prediction(shop: &Shop, teardown: Teardown) -> Result<CameBack, ShopError> {
    let build = shop.build(teardown.build)?;
    let kept = teardown.prediction.map(|id| shop.prediction(id)).transpose()?;
    let read = kept.as_ref().map(|kept| (kept.id, Predicted::read(&kept.document)));
    let (predicted, unpredicted) = match read {
        Some((_, Ok(predicted))) => (Some(predicted), None),
        Some((id, Err(why))) => (None, Some(format!("prediction {id} cannot be read: {why}"))),
        None => (None, teardown.unpredicted.clone()),
    };
    let rotors = rotors(&shop.fitted(build.id)?, teardown.revision);
    let tips = beside(&rotors, &teardown.marks, predicted.as_ref());
    Ok(CameBack { build, teardown, kept, predicted, unpredicted, rotors, tips })
}

/// Every engine of a build that came back, by revision.
///
/// # Errors
/// Where there is no such build, or the shop's file cannot be read.
pub fn came_back(shop: &Shop, build: BuildId) -> Result<Vec<CameBack>, ShopError> {
    shop.build(build)?;
    let all = shop.teardowns_standing(build)?;
    all.into_iter().map(|teardown| with_prediction(shop, teardown)).collect()
}

/// Every engine of the shop that came back, the first told first.
///
/// # Errors
/// Where the shop's file cannot be read.
pub fn all_that_came_back(shop: &Shop) -> Result<Vec<CameBack>, ShopError> {
    let all = shop.teardowns_of_shop()?;
    all.into_iter().map(|teardown| with_prediction(shop, teardown)).collect()
}

/// A teardown of the shop's file as a teardown file has it, its tilt tests beside it.
///
/// # Errors
/// Where the shop's file cannot be read.
pub fn as_file(
    shop: &Shop,
    teardown: &Teardown,
    tests: &[TiltTest],
) -> Result<TeardownText, ShopError> {
    let gauges: HashMap<GaugeId, String> =
        shop.gauges()?.into_iter().map(|gauge| (gauge.id, gauge.name)).collect();
    let serials: HashMap<PartId, String> =
        shop.fitted(teardown.build)?.into_iter().map(|part| (part.part, part.serial)).collect();
    let serial = |part: PartId| serials.get(&part).cloned().unwrap_or_default();
    let text = |value: &Option<Written>| value.as_ref().map(|value| value.text().to_owned());
    let worn = |depth: &Option<Depth>| {
        depth.as_ref().map(|depth| WornText {
            depth: depth.value.text().to_owned(),
            gauge: depth.gauge.and_then(|id| gauges.get(&id).cloned()),
        })
    };
    let face = |face: Face| usize::from(face == Face::Plain);
    let number = |tip: i64| usize::try_from(tip).unwrap_or_default();
    let tips = teardown.marks.iter().map(|mark| {
        let known = CONTACTS.iter().position(|word| *word == mark.contact.word());
        TipText {
            rotor: serial(mark.part),
            face: face(mark.face),
            tip: number(mark.tip),
            contact: known.unwrap_or(NOT_LOOKED_AT),
            place: mark.place.clone(),
            worn: worn(&mark.rotor),
            wall: worn(&mark.wall),
            note: mark.note.clone(),
        }
    });
    let tilt_tests = tests.iter().map(|test| {
        let told = &test.told;
        let both = |[least, most]: &[Written; 2]| [least.text().to_owned(), most.text().to_owned()];
        TiltText {
            rotor: serial(told.part),
            face: face(told.face),
            tip: number(told.tip),
            radius: told.radius.text().to_owned(),
            least: told.least.text().to_owned(),
            most: told.most.text().to_owned(),
            load_u: told.load_u.text().to_owned(),
            gauge: gauges.get(&told.gauge).cloned().unwrap_or_default(),
            readings: told.readings.iter().map(both).collect(),
            note: told.note.clone(),
        }
    });
    Ok(TeardownText {
        build: Some(shop.build(teardown.build)?.head.name),
        running: text(&teardown.running),
        speed: text(&teardown.speed),
        boost: text(&teardown.boost),
        note: teardown.note.clone(),
        tips: tips.collect(),
        tilt_tests: tilt_tests.collect(),
    })
}
