//! `demo --once`: an invented shop in a folder, and one of its builds worked through to its files.

use super::output::{Part, complain, complain_of_file, in_words, write_files, write_pictures};
use super::shop::{Failed, told};
use super::speed;
use super::speed::USUAL_SEED;
use crate::ops::{
    self, BalanceFileError, Demo, FileError, FolderFile, Outcome, Picture, ShopError, SpeedAsked,
    SpeedCall, SpeedFileError, balance_file, balance_pictures, demo_shop, pictures, plan_file,
    safe_name, speed_pictures,
};
use crate::text;
use crate::web::open_demonstration;
use crate::wire::{BalanceJson, PlanJson, SpeedJson, Tilts};
use kernel::units::System;
use records::{Day, Moment, Shop};
use serde_json::json;
use std::fmt::Write as _;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};

/// Draws and speeds: enough to see what is said of them, in about a second.
const DRAWS: usize = 128;
const SPEEDS: usize = 8;

/// Makes the shop and works its sprint boat through.
pub(super) fn once(folder: &Path, first: System) -> u8 {
    told(made(folder, first), |error: Stopped| match error {
        Stopped::Shop(error) => complain(error),
        Stopped::File(file, error) => complain_of_file(&file, &error),
        Stopped::Said(said) => complain(said),
    })
}

/// What kept it from being made.
enum Stopped {
    Shop(ShopError),
    File(PathBuf, FileError),
    Said(String),
}

type Made<T> = Result<T, Failed<Stopped>>;

fn shop_says(error: impl Into<ShopError>) -> Failed<Stopped> {
    Failed::Told(Stopped::Shop(error.into()))
}

fn made(folder: &Path, first: System) -> Made<String> {
    let at = |error: io::Error| Failed::at(folder, &error);
    fs::create_dir_all(folder).map_err(at)?;
    // Nothing of another demonstration may stand beside it.
    if fs::read_dir(folder).map_err(at)?.next().is_some() {
        return Err(Failed::at(folder, &io::ErrorKind::AlreadyExists.into()));
    }
    let now: Moment = super::shop::now()?;
    let today: Day = now.day();
    let file = folder.join("shop.db");
    let demo = demo_shop(&file, &today).map_err(shop_says)?;
    let opened = Shop::open(&file, &now).map_err(shop_says)?;
    open_demonstration(&opened, &demo, &now)
        .map_err(|error| Failed::Told(Stopped::Said(error.to_string())))?;
    drop(opened);
    let (name, files) = build_of(&file, &now, &demo)?;
    let build = folder.join(&name);
    fs::create_dir(&build).map_err(|error| Failed::at(&build, &error))?;
    write_files(&build, &files).map_err(|(file, error)| Failed::at(&file, &error))?;
    let worked = worked(&build.join("build.toml"), first)?;
    write_files(&build, &worked.files).map_err(|(file, error)| Failed::at(&file, &error))?;
    let drawn = build.join("pictures");
    write_pictures(&drawn, &worked.pictures, &[Part::Drawing, Part::Table])
        .map_err(|error| Failed::at(&drawn, &error))?;
    let mut said = format!(
        "{}: {}, an invented shop with {} builds of a year\n{}: build {} of it, worked through\n",
        file.display(),
        demo.shop,
        demo.builds,
        build.display(),
        demo.sprint_boat,
    );
    for file in files.iter().chain(&worked.files) {
        let _ = writeln!(said, "  {}", file.path);
    }
    let _ = writeln!(said, "  pictures: {}, each with its data as CSV", worked.pictures.len());
    let _ =
        writeln!(said, "Next: lobewright serve {} opens the shop in a browser.", file.display());
    Ok(said)
}

/// What the sprint boat is called, and everything of its build.
fn build_of(file: &Path, now: &Moment, demo: &Demo) -> Made<(String, Vec<FolderFile>)> {
    let shop = Shop::open(file, now).map_err(shop_says)?;
    let name = shop.build(demo.sprint_boat).map_err(shop_says)?.head.name;
    let files = ops::folder(&shop, demo.sprint_boat).map_err(shop_says)?;
    Ok((safe_name(&name.to_lowercase()), files))
}

/// What was worked out for a build file.
struct Worked {
    files: Vec<FolderFile>,
    pictures: Vec<Picture>,
}

impl Worked {
    fn add(&mut self, name: &str, text: String, json: &serde_json::Value, drawn: Vec<Picture>) {
        for (ending, content) in [("txt", text), ("json", format!("{json:#}\n"))] {
            let path = format!("{name}.{ending}");
            self.files.push(FolderFile { path, bytes: content.into_bytes() });
        }
        self.pictures.extend(drawn);
    }
}

/// Plans, computes at speed and balances a build file as the commands do.
fn worked(file: &Path, first: System) -> Made<Worked> {
    let stopped = |error: FileError| Failed::Told(Stopped::File(file.to_owned(), error));
    let said = |why: String| Failed::Told(Stopped::Said(format!("{}: {why}", file.display())));
    let mut worked = Worked { files: Vec::new(), pictures: Vec::new() };
    let plan = match plan_file(file, first) {
        Outcome::Planned(plan) => plan,
        Outcome::Problems(problems) => return Err(stopped(FileError::Problems(problems))),
        Outcome::Unread(error) => return Err(said(in_words(&error))),
        Outcome::Inputs(error) => return Err(said(error.to_string())),
        Outcome::AtSpeed(error) => return Err(said(error)),
    };
    let json = PlanJson::of(&plan, Tilts::Tabled).map_err(|error| said(error.to_string()))?;
    worked.add("plan", text::plan::text(&plan, first), &json!(json), pictures(&plan, first));
    let asked =
        SpeedAsked { call: SpeedCall::default(), draws: DRAWS, seed: USUAL_SEED, speeds: SPEEDS };
    let (plan, report) = speed::watched(file, &asked, first).map_err(|error| match error {
        SpeedFileError::File(error) => stopped(error),
        error => said(error.to_string()),
    })?;
    let drawn = speed_pictures(&report, &plan, first);
    worked.add("speed", text::speed::text(&report, first), &json!(SpeedJson::of(&report)), drawn);
    let balanced = balance_file(file, first).map_err(|error| match error {
        BalanceFileError::File(error) => stopped(error),
        error => said(error.to_string()),
    })?;
    let report = &balanced.report;
    let drawn = balance_pictures(&balanced.build, &balanced.plan, report, first);
    worked.add(
        "balance",
        text::balance::text(report, first),
        &json!(BalanceJson::of(report)),
        drawn,
    );
    Ok(worked)
}
