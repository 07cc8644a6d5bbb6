//! A teardown is told of a signed build: read, asked back where it is doubted, held against a
//! prediction that is made once, and kept.

use super::super::sheet::{Sheet, entered};
use super::super::shop::{ShopError, export};
use super::predicted::Predicted;
use super::told::{Of, Read, TellingError};
use crate::build_file::teardown::{TeardownText, TiltText};
use kernel::units::{GaugePressure, Speed, System};
use records::{
    Against, BuildId, Conflict, Moment, NewTeardown, PersonId, RecordsError, Sha, Shop, Teardown,
    TeardownId, TiltTestId, Written,
};

/// Why nothing is predicted where speed or boost is not said.
const UNSAID: &str = "the highest speed and boost are not both said, and a prediction is for both";

/// A teardown as somebody tells it.
#[derive(Debug, Clone, Copy)]
pub struct Telling<'a> {
    /// Of which build.
    pub build: BuildId,
    /// The revision that was looked at.
    pub revision: i64,
    /// What is told; its tilt tests are told by themselves.
    pub told: &'a TeardownText,
    /// The teardown that stood when they looked.
    pub expected: Option<TeardownId>,
    /// Whoever tells it was asked, and is sure.
    pub sure: bool,
    /// By whom.
    pub person: PersonId,
    /// When.
    pub at: &'a Moment,
}

/// What became of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Entered {
    /// It is kept.
    Kept {
        /// Its number.
        teardown: TeardownId,
        /// What to mind although it is kept: no prediction and why, an overdue gauge.
        mind: Vec<String>,
    },
    /// It is asked back: it may be right, and it is kept if whoever tells it is sure.
    AskedBack {
        /// Why it is doubted.
        why: Vec<String>,
    },
}

/// The program with its version.
fn program() -> String {
    format!("lobewright {}", env!("CARGO_PKG_VERSION"))
}

/// What a prediction is made from, hashed: the signed file, speed and boost.
fn inputs_hash(file: &str, speed: &Written, boost: &Written) -> Sha {
    Sha::of(format!("{file}\n{}\n{}\n", speed.text(), boost.text()).as_bytes())
}

/// Whether two values are the same in SI.
fn same(a: Option<&Written>, b: Option<&Written>) -> bool {
    match (a, b) {
        (Some(a), Some(b)) => a.si().to_bits() == b.si().to_bits(),
        _ => a.is_none() && b.is_none(),
    }
}

/// What it is held against, before it is kept.
enum Held {
    Kept(records::PredictionId),
    Anew { hash: Sha, document: String },
    Nothing(String),
}

fn held(
    (shop, sheet): (&Shop, &Sheet),
    read: &Read,
    before: Option<&Teardown>,
    first: System,
) -> Result<Held, ShopError> {
    let (Some(speed), Some(boost)) = (&read.speed, &read.boost) else {
        return Ok(Held::Nothing(UNSAID.to_owned()));
    };
    // The same engine at the same speed and boost: what was said then stays said.
    if let Some(before) = before
        && let Some(kept) = before.prediction
        && same(before.speed.as_ref(), Some(speed))
        && same(before.boost.as_ref(), Some(boost))
    {
        return Ok(Held::Kept(kept));
    }
    let build = match &sheet.file.build {
        Ok(build) => build,
        Err(problems) => {
            let first = problems.list().first().map(ToString::to_string).unwrap_or_default();
            return Ok(Held::Nothing(format!("its file is not whole: {first}")));
        }
    };
    let values = (speed.value::<Speed>(), boost.value::<GaugePressure>());
    let (Some(at), Some(under)) = values else { return Ok(Held::Nothing(UNSAID.to_owned())) };
    Ok(match Predicted::of(build, at, under, first) {
        Ok(predicted) => Held::Anew {
            hash: inputs_hash(&export(shop, sheet.build.id)?, speed, boost),
            document: predicted.document(),
        },
        Err(why) => Held::Nothing(why),
    })
}

/// Takes what somebody tells of a teardown.
///
/// # Errors
/// [`TellingError`]; nothing is kept then.
pub fn tell(shop: &Shop, telling: &Telling<'_>, first: System) -> Result<Entered, TellingError> {
    let today = telling.at.day();
    let sheet = entered(shop, telling.build, &today, first)?;
    let (build, revision) = (telling.build, sheet.build.revision);
    if let Some(name) = telling.told.build.as_ref().filter(|name| **name != sheet.build.head.name) {
        let (told, name) = (name.clone(), sheet.build.head.name.clone());
        return Err(TellingError::AnotherBuild { told, build, name });
    }
    if sheet.build.open {
        return Err(TellingError::Open { build, revision });
    }
    if revision != telling.revision {
        let (yours, theirs) = (telling.revision, revision);
        let conflict = Conflict::Revision { build, yours, theirs, opened: None };
        return Err(RecordsError::Conflict(Box::new(conflict)).into());
    }
    let fitted = shop.fitted(build)?;
    let read = Of { shop, build, fitted: &fitted, today: &today }.read(telling.told)?;
    if !telling.sure {
        let duty = sheet.file.build.as_ref().ok().map(|build| &build.duty);
        let why = read.doubts(duty, &fitted);
        if !why.is_empty() {
            return Ok(Entered::AskedBack { why });
        }
    }
    let before = shop.teardowns_standing(build)?.into_iter().find(|t| t.revision == revision);
    let held = held((shop, &sheet), &read, before.as_ref(), first)?;
    let program = program();
    let against = match &held {
        Held::Kept(id) => Against::Kept(*id),
        Held::Anew { hash, document } => {
            Against::Anew { program: &program, inputs_hash: *hash, document }
        }
        Held::Nothing(why) => Against::Nothing(why),
    };
    let teardown = shop.add_teardown(&NewTeardown {
        build,
        revision,
        running: read.running.as_ref(),
        speed: read.speed.as_ref(),
        boost: read.boost.as_ref(),
        note: &telling.told.note,
        marks: &read.marks,
        against,
        person: telling.person,
        at: telling.at,
        expected: telling.expected,
    })?;
    let mut mind = read.mind;
    if let Held::Nothing(why) = &held {
        mind.push(format!("nothing is predicted to hold it against: {why}"));
    }
    Ok(Entered::Kept { teardown, mind })
}

/// Takes a tilt test, or the correction of one; gives its number and what to mind although it is
/// kept.
///
/// # Errors
/// [`TellingError`]; nothing is kept then.
pub fn tell_tilt(
    shop: &Shop,
    (build, told): (BuildId, &TiltText),
    supersedes: Option<TiltTestId>,
    by: (PersonId, &Moment),
) -> Result<(TiltTestId, Vec<String>), TellingError> {
    shop.build(build)?;
    let (fitted, today) = (shop.fitted(build)?, by.1.day());
    let of = Of { shop, build, fitted: &fitted, today: &today };
    let (told, mind) = of.tilt(told, supersedes, by)?;
    Ok((shop.add_tilt_test(&told)?, mind))
}
