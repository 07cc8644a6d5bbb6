//! `shelf`: which rotors and housings of the stock go into the builds that wait.

use super::output::{complain, complain_of, in_words, print};
use super::shop::now;
use super::{DONE, NO_PLAN, WRONG};
use crate::ops::ShopError;
use crate::ops::choice::{ChoiceError, Shelf, Waits, choose, from_files, from_shop};
use crate::text;
use crate::wire::ChoiceJson;
use clap::Args;
use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use kernel::shelf::Progress;
use kernel::units::System;
use records::{BuildId, RecordsError, Shop};
use serde_json::json;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

/// What `shelf` is called with.
#[derive(Debug, Args)]
pub(super) struct ShelfCall {
    /// The shop's file; with --stock the files of the builds that wait
    #[arg(required = true, value_name = "FILE")]
    files: Vec<PathBuf>,
    /// A build of the shop's file that waits, by its number; as often as needed
    #[arg(long, value_name = "N", conflicts_with = "stock")]
    build: Vec<i64>,
    /// A file with the rotors and housings in stock
    #[arg(long, value_name = "FILE")]
    stock: Option<PathBuf>,
    /// Stop after this long with the best so far
    #[arg(long, value_name = "S")]
    seconds: Option<f64>,
    /// JSON for machines in place of text
    #[arg(long)]
    json: bool,
}

/// Why nothing was chosen: what is said, and whether it was said already.
enum Failed {
    Files(Box<ChoiceError>, Vec<PathBuf>),
    Other(String),
}

pub(super) fn run(call: &ShelfCall, first: System) -> u8 {
    let report = gathered(call, first).and_then(|(waits, shelf)| {
        watched(call.seconds, |go_on| choose(&waits, &shelf, first, go_on))
            .map_err(|error| Failed::Files(Box::new(error), Vec::new()))
    });
    match report {
        Ok(report) => {
            if call.json {
                print(&format!("{:#}\n", json!(ChoiceJson::of(&report))));
            } else {
                print(&text::shelf::text(&report));
            }
            if report.feasible() { DONE } else { NO_PLAN }
        }
        Err(failed) => {
            let said = refused(failed);
            if call.json {
                print(&format!("{:#}\n", json!({ "error": said })));
            }
            WRONG
        }
    }
}

/// Tells what is wrong, each kind in its own way, and gives it for whoever asked for JSON.
fn refused(failed: Failed) -> String {
    let (error, files) = match failed {
        Failed::Files(error, files) => (*error, files),
        Failed::Other(said) => {
            complain(&said);
            return said;
        }
    };
    match error {
        ChoiceError::Problems { file, problems } => {
            let name = files.get(file).map_or_else(String::new, |file| file.display().to_string());
            let problems = problems.in_file(&name);
            complain_of(&problems);
            problems.to_string()
        }
        error => {
            complain(&error);
            error.to_string()
        }
    }
}

fn gathered(call: &ShelfCall, first: System) -> Result<(Vec<Waits>, Shelf), Failed> {
    if call.seconds.is_some_and(|seconds| !seconds.is_finite() || seconds < 0.0) {
        return Err(Failed::Other("--seconds takes a number of seconds, such as 30".to_owned()));
    }
    match (&call.stock, call.files.as_slice()) {
        (Some(stock), builds) => of_files(builds, stock),
        (None, [shop]) if !call.build.is_empty() => of_shop(shop, &call.build, first),
        (None, [file]) if file.extension().is_some_and(|ending| ending == "toml") => {
            Err(Failed::Other(format!(
                "{}: a build file needs a stock to choose from; name it with --stock",
                file.display()
            )))
        }
        (None, [shop]) => Err(Failed::Other(format!(
            "no build is named; name those that wait with --build N ('lobewright export {}' lists \
             them)",
            shop.display()
        ))),
        (None, _) => Err(Failed::Other(
            "several files are build files, and they need a stock to choose from; name it with \
             --stock"
                .to_owned(),
        )),
    }
}

fn of_files(builds: &[PathBuf], stock: &Path) -> Result<(Vec<Waits>, Shelf), Failed> {
    let read = |file: &Path| {
        fs::read_to_string(file)
            .map_err(|error| Failed::Other(format!("{}: {}", file.display(), in_words(&error))))
    };
    let texts = builds.iter().map(|file| read(file)).collect::<Result<Vec<_>, _>>()?;
    let stock_text = read(stock)?;
    from_files(&texts, &stock_text).map_err(|error| {
        let files = builds.iter().cloned().chain([stock.to_owned()]).collect();
        Failed::Files(Box::new(error), files)
    })
}

fn of_shop(file: &Path, builds: &[i64], first: System) -> Result<(Vec<Waits>, Shelf), Failed> {
    let now = now::<RecordsError>().map_err(|failed| match failed {
        super::shop::Failed::Told(error) => Failed::Other(error.to_string()),
        super::shop::Failed::Other(said) => Failed::Other(said),
    })?;
    let shop = Shop::open(file, &now)
        .map_err(|error| Failed::Files(Box::new(ShopError::Records(error).into()), Vec::new()))?;
    let builds: Vec<BuildId> = builds.iter().map(|build| BuildId(*build)).collect();
    from_shop(&shop, &builds, &now.day(), first)
        .map_err(|error| Failed::Files(Box::new(error), Vec::new()))
}

/// Looks on with a line for eyes; Ctrl-C and the time that was given end the search.
fn watched<T>(
    seconds: Option<f64>,
    search: impl FnOnce(&(dyn Fn(&Progress) -> bool + Sync)) -> T,
) -> T {
    let stop = Arc::new(AtomicBool::new(false));
    let heard = Arc::clone(&stop);
    // Where no handler can be set, stopping stops everything, which is no error of this choice.
    let _ = ctrlc::set_handler(move || heard.store(true, Ordering::Relaxed));
    // So long that it is past the end of any clock is no end.
    let until = seconds
        .and_then(|seconds| Duration::try_from_secs_f64(seconds).ok())
        .and_then(|time| Instant::now().checked_add(time));
    let bar = ProgressBar::with_draw_target(None, ProgressDrawTarget::stderr());
    if let Ok(style) =
        ProgressStyle::with_template("{spinner} {elapsed} {msg}; Ctrl-C keeps the best")
    {
        bar.set_style(style);
    }
    let done = search(&|progress: &Progress| {
        let best = match progress.best {
            Some(best) => format!("best so far {:.2} g", best.to_g()),
            None => "no set yet".to_owned(),
        };
        let at_least = progress.at_least.to_g();
        bar.set_message(format!(
            "{best}, none below {at_least:.2} g, {} planned",
            progress.planned
        ));
        bar.tick();
        !stop.load(Ordering::Relaxed) && until.is_none_or(|until| Instant::now() < until)
    });
    bar.finish_and_clear();
    done
}
