//! `calibration`: what the teardowns of a shop's file teach of the engine at speed.

use super::shop::{Failed, now, told};
use crate::ops::ShopError;
use crate::ops::calibration::{Calibrated, ShopCalibrationError, calibrated};
use crate::text;
use crate::wire::CalibrationJson;
use clap::Args;
use indicatif::{ProgressBar, ProgressStyle};
use kernel::units::System;
use records::Shop;
use serde_json::json;
use std::path::PathBuf;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

/// Steps of the bar.
const STEPS: u64 = 1000;

/// What `calibration` is called with.
#[derive(Debug, Args)]
pub(super) struct CalibrationCall {
    /// The shop's file
    shop: PathBuf,
    /// JSON for machines in place of text
    #[arg(long)]
    json: bool,
}

pub(super) fn run(call: &CalibrationCall, first: System) -> u8 {
    let said = worked_out(call, first).map(|report| {
        if call.json {
            format!("{:#}\n", json!(CalibrationJson::of(&report, first)))
        } else {
            text::calibration::text(&report, first)
        }
    });
    told(said, |error| match error {
        ShopCalibrationError::Shop(error) => super::output::complain(error),
        ShopCalibrationError::Calibration(error) => super::output::complain(error),
    })
}

fn worked_out(
    call: &CalibrationCall,
    first: System,
) -> Result<Calibrated, Failed<ShopCalibrationError>> {
    let now = now()?;
    let shop = Shop::open(&call.shop, &now)
        .map_err(|error| Failed::Told(ShopError::from(error).into()))?;
    let stop = Arc::new(AtomicBool::new(false));
    let stopped = Arc::clone(&stop);
    // Without a handler Ctrl-C ends the program at once, which is right too.
    let _ = ctrlc::set_handler(move || stopped.store(true, Ordering::Relaxed));
    let bar = ProgressBar::new(STEPS);
    if let Ok(style) = ProgressStyle::with_template("{bar:40} {percent} %") {
        bar.set_style(style);
    }
    let done = calibrated(&shop, &now.day(), first, &mut |share| {
        bar.set_position((share * STEPS as f64) as u64);
        !stop.load(Ordering::Relaxed)
    });
    bar.finish_and_clear();
    done.map_err(Failed::Told)
}
