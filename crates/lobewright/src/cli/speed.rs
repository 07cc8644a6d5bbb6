//! `speed`: one build at its speed and boost.

use super::output::{Part, complain, complain_of_file, print, write_pictures};
use super::{DONE, NO_PLAN, WRONG};
use crate::build_file::limits::{BOOST, Limit, SPEED};
use crate::ops::{
    PlanReport, SpeedAsked, SpeedCall, SpeedFileError, SpeedReport, Watch, speed_file,
    speed_pictures,
};
use crate::text;
use crate::wire::SpeedJson;
use clap::ValueEnum;
use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use kernel::heat::StateName;
use kernel::units::{Quantity, System};
use serde_json::json;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

/// What the call asked for.
pub(super) struct Call {
    pub(super) file: PathBuf,
    pub(super) rpm: Option<String>,
    pub(super) boost: Option<String>,
    pub(super) state: State,
    pub(super) draws: usize,
    pub(super) seed: u32,
    pub(super) speeds: usize,
    pub(super) json: bool,
    pub(super) svg: Option<PathBuf>,
    pub(super) csv: Option<PathBuf>,
    pub(super) first: System,
}

/// Thermal states an engine runs in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum State {
    /// Everything as hot as it gets
    Steady,
    /// Rotors hot, housings still cold
    Warming,
}

/// Draws unless the call says otherwise, and which.
pub(super) const USUAL_DRAWS: usize = 1024;
pub(super) const USUAL_SEED: u32 = 1;

/// Most speeds of one sweep.
const MOST_SPEEDS: usize = 1000;

pub(super) fn run(call: &Call) -> u8 {
    let asked = match asked(call) {
        Ok(asked) => asked,
        Err(what) => {
            complain(what);
            return WRONG;
        }
    };
    let outcome = watched(&call.file, &asked, call.first);
    let (plan, report) = match outcome {
        Ok(both) => both,
        Err(error) => return refused(call, error),
    };
    let pictures = if call.svg.is_some() || call.csv.is_some() {
        speed_pictures(&report, &plan, call.first)
    } else {
        Vec::new()
    };
    let mut written = Vec::new();
    for (folder, part) in [(&call.svg, Part::Drawing), (&call.csv, Part::Table)] {
        let Some(folder) = folder else { continue };
        if let Err(error) = write_pictures(folder, &pictures, &[part]) {
            complain(format_args!("{}: {error}", folder.display()));
            return WRONG;
        }
        let what = match part {
            Part::Drawing => "pictures",
            Part::Table => "tables",
        };
        written.push(format!("{} {what} in {}", pictures.len(), folder.display()));
    }
    if call.json {
        print(&format!("{:#}\n", json!(SpeedJson::of(&report))));
    } else {
        let mut text = text::speed::text(&report, call.first);
        for line in written {
            text.push_str(&format!("\n{line}\n"));
        }
        print(&text);
    }
    if report.risks_too_much() { NO_PLAN } else { DONE }
}

/// Reads, plans and computes a file, with a bar for eyes and a stop for Ctrl-C.
pub(super) fn watched(
    file: &Path,
    asked: &SpeedAsked,
    first: System,
) -> Result<(PlanReport, SpeedReport), SpeedFileError> {
    let stop = Arc::new(AtomicBool::new(false));
    let heard = Arc::clone(&stop);
    // Where no handler can be set, stopping stops everything, which is no error of this build.
    let _ = ctrlc::set_handler(move || heard.store(true, Ordering::Relaxed));
    let total = (asked.draws + asked.speeds) as u64;
    let bar = ProgressBar::with_draw_target(Some(total), ProgressDrawTarget::stderr());
    let template =
        "{bar:40} {pos} of {len} draws and speeds, {eta} left; Ctrl-C keeps what is done";
    if let Ok(style) = ProgressStyle::with_template(template) {
        bar.set_style(style);
    }
    let outcome = speed_file(
        file,
        asked,
        first,
        &mut Watch {
            drawn: &mut |done| bar.set_position(done as u64),
            swept: &|| bar.inc(1),
            go_on: &|| !stop.load(Ordering::Relaxed),
        },
    );
    bar.finish_and_clear();
    outcome
}

fn asked(call: &Call) -> Result<SpeedAsked, String> {
    // The option has its unit in its name.
    let rpm = call.rpm.as_deref().map(|text| format!("{} rpm", text.trim_end_matches(" rpm")));
    let speed = within("--rpm", rpm.as_deref(), &SPEED)?;
    let boost = within("--boost", call.boost.as_deref(), &BOOST)?;
    if call.speeds > MOST_SPEEDS {
        return Err(format!("--speeds {} is too many; at most {MOST_SPEEDS}", call.speeds));
    }
    Ok(SpeedAsked {
        call: SpeedCall {
            speed,
            boost,
            state: Some(match call.state {
                State::Steady => StateName::Steady,
                State::Warming => StateName::Warming,
            }),
            trace: None,
        },
        draws: call.draws,
        seed: call.seed,
        speeds: call.speeds,
    })
}

/// A quantity that the call gives, within the limits that the file has for it.
fn within<Q: Quantity>(
    option: &str,
    text: Option<&str>,
    limit: &Limit<Q>,
) -> Result<Option<Q>, String> {
    let Some(text) = text else { return Ok(None) };
    let value = Q::parse(text).map_err(|what| format!("{option} {text:?}: {what}"))?;
    match limit.broken_by(value) {
        Some(how) => Err(format!("{option} {text:?} {how}; it takes {}", limit.expected())),
        None => Ok(Some(value)),
    }
}

fn refused(call: &Call, error: SpeedFileError) -> u8 {
    let file = call.file.display();
    if call.json {
        print(&format!("{:#}\n", json!({ "file": file.to_string(), "error": error.to_string() })));
    }
    match error {
        SpeedFileError::File(error) => complain_of_file(&call.file, &error),
        error => complain(format_args!("{file}: {error}")),
    }
    WRONG
}
