//! The shop's file: `import`, `export`, `backup`, `restore`, `audit`.

use super::check::counted;
use super::output::{complain, complain_more, complain_of, in_words, print, write_files};
use super::salvage::damage;
use super::{DONE, NO_PLAN, WRONG};
use crate::clock;
use crate::ops::backups::{self, BackupError};
use crate::ops::sheet::{ManyError, take_many};
use crate::ops::{self, ShopError};
use clap::Args;
use records::{Audited, BuildId, BuildSearch, Moment, RecordsError, Shop};
use std::fmt::Write as _;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};

/// What `import` is called with.
#[derive(Debug, Args)]
pub(super) struct Import {
    /// The shop's file; made if it is not there
    shop: PathBuf,
    /// The build file, a folder that `export` wrote, or readings as CSV
    file: PathBuf,
    /// Who brings it in; added to the shop's people if new
    #[arg(long, value_name = "NAME")]
    by: String,
    /// In place of this open build; what it said before is kept
    #[arg(long, value_name = "BUILD")]
    over: Option<i64>,
    /// Of readings as CSV: keep those too that differ from their neighbours
    #[arg(long)]
    sure: bool,
}

/// What `export` is called with.
#[derive(Debug, Args)]
pub(super) struct Export {
    /// The shop's file
    shop: PathBuf,
    /// Which build, by its number
    #[arg(requires = "folder")]
    build: Option<i64>,
    /// A folder, made for it
    folder: Option<PathBuf>,
}

pub(super) fn import(call: &Import) -> u8 {
    told(import_into(call), |error| match error {
        ShopError::Problems(problems) => {
            complain_of(&problems.in_file(&call.file.display().to_string()));
        }
        other => complain(other),
    })
}

fn import_into(call: &Import) -> Result<String, Failed<ShopError>> {
    if call.file.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("csv")) {
        return import_readings(call);
    }
    let folder = call.file.is_dir().then(|| call.file.join("build.toml"));
    let file = folder.as_ref().unwrap_or(&call.file);
    let name = file.display();
    if call.by.trim().is_empty() {
        return Err(Failed::Other("--by: nobody is named; say who brings it in".to_owned()));
    }
    let text = fs::read_to_string(file).map_err(|error| Failed::at(file, &error))?;
    let now = now()?;
    // A file that is wrong makes no shop.
    crate::build_file::read(&text)
        .map_err(|problems| Failed::Told(ShopError::Problems(Box::new(problems))))?;
    let new = !call.shop.exists() && call.over.is_none();
    let shop = if new { Shop::create(&call.shop) } else { Shop::open(&call.shop, &now) }
        .map_err(|error| Failed::Told(ShopError::Records(error)))?;
    let brought = ops::import(&shop, &text, call.over.map(BuildId), (call.by.trim(), &now))
        .map_err(Failed::Told)?;
    let mut said = String::new();
    if new {
        let _ = writeln!(said, "{}: a new shop's file", call.shop.display());
    }
    let _ = writeln!(said, "{name}: build {} of {}", brought.build, call.shop.display());
    let stored = brought.stored;
    let _ = writeln!(
        said,
        "  {} taken, {} new or changed in its file, {} taken out",
        counted(stored.readings, "reading"),
        counted(stored.changed, "place"),
        stored.removed,
    );
    if brought.new_parts > 0 {
        let _ =
            writeln!(said, "  {} that the shop did not know", counted(brought.new_parts, "part"));
    }
    if brought.exchanged > 0 {
        let _ = writeln!(said, "  {} taken out of the build", counted(brought.exchanged, "part"));
    }
    Ok(said)
}

/// Readings of a build that is there.
fn import_readings(call: &Import) -> Result<String, Failed<ShopError>> {
    let Some(build) = call.over.map(BuildId) else {
        let what = "readings belong to a build; name it with --over N".to_owned();
        return Err(Failed::Other(what));
    };
    let csv = fs::read_to_string(&call.file).map_err(|error| Failed::at(&call.file, &error))?;
    let now = now()?;
    let records = |error| Failed::Told(ShopError::Records(error));
    let shop = Shop::open(&call.shop, &now).map_err(records)?;
    let by = call.by.trim();
    let known = shop.people().map_err(records)?.into_iter().find(|person| person.name == by);
    let Some(person) = known else {
        return Err(Failed::Other(format!("--by: nobody in this shop is called {by:?}")));
    };
    let first = kernel::units::System::Metric;
    let taken = take_many(&shop, build, &csv, call.sure, (person.id, &now), first);
    let taken = taken.map_err(|error| match error {
        ManyError::Shop(error) => Failed::Told(error),
        ManyError::Lines(lines) => {
            Failed::Other(format!("{}: nothing is kept\n{}", call.file.display(), lines.join("\n")))
        }
    })?;
    let what = counted(taken.count, "reading");
    let mut said = format!("{}: {what} taken for build {build}\n", call.file.display());
    for mind in taken.mind {
        let _ = writeln!(said, "  mind: {mind}");
    }
    Ok(said)
}

pub(super) fn export(call: &Export) -> u8 {
    told(export_from(call), complain)
}

fn export_from(call: &Export) -> Result<String, Failed<ShopError>> {
    let records = |error| Failed::Told(ShopError::Records(error));
    let shop = Shop::open(&call.shop, &now()?).map_err(records)?;
    let (Some(build), Some(folder)) = (call.build, &call.folder) else {
        return listed(&shop).map_err(records);
    };
    let build = BuildId(build);
    let files = ops::folder(&shop, build).map_err(Failed::Told)?;
    // Nothing of another build may stand beside it.
    fs::create_dir(folder).map_err(|error| Failed::at(folder, &error))?;
    write_files(folder, &files).map_err(|(file, error)| Failed::at(&file, &error))?;
    let mut said = format!("{}: build {build}\n", folder.display());
    for file in &files {
        let _ = writeln!(said, "  {}", file.path);
    }
    Ok(said)
}

/// The builds, for whoever does not know the number.
fn listed(shop: &Shop) -> Result<String, RecordsError> {
    let all = BuildSearch { text: "", open: None, from: 0, most: usize::MAX >> 1 };
    let builds = shop.builds(&all)?;
    if builds.is_empty() {
        return Ok(format!("{}: no builds yet\n", shop.file().display()));
    }
    Ok(builds
        .iter()
        .map(|listed| {
            let build = &listed.build;
            let state = if build.open { "open" } else { "signed" };
            let revision = build.revision;
            format!("{:>6}  {state:6}  {}, revision {revision}\n", build.id, build.head.name)
        })
        .collect())
}

pub(super) fn backup(shop: &Path, to: &Path) -> u8 {
    let made = || -> Result<String, Failed<RecordsError>> {
        let shop = Shop::open(shop, &now()?).map_err(Failed::Told)?;
        shop.backup(to).map_err(Failed::Told)?;
        Ok(format!("{}: a copy of {}\n", to.display(), shop.file().display()))
    };
    told(made(), complain)
}

pub(super) fn backup_into(shop: &Path, folder: &Path, keep: Option<backups::Keep>) -> u8 {
    let made = || -> Result<String, Failed<BackupError>> {
        let now = now()?;
        let records = |error: RecordsError| Failed::Told(BackupError::Records(error));
        let shop = Shop::open(shop, &now).map_err(records)?;
        let keep = match keep {
            Some(keep) => keep,
            None => backups::rule(&shop).map_err(records)?.keep,
        };
        let made = backups::back_up(&shop, folder, keep, &now).map_err(Failed::Told)?;
        let mut said = format!("{}: a copy of {}\n", made.file.display(), shop.file().display());
        said.push_str("  restored on trial: every page, reference and record fits\n");
        said.push_str(&fits(&made.audited));
        for gone in &made.gone {
            let _ = writeln!(said, "  taken away: {}", gone.display());
        }
        Ok(said)
    };
    told(made(), complain)
}

pub(super) fn restore(shop: &Path, backup: &Path) -> u8 {
    let done = || -> Result<String, Failed<RecordsError>> {
        let restored = records::restore(backup, shop, &now()?).map_err(Failed::Told)?;
        let mut said = format!("{}: restored from {}\n", shop.display(), backup.display());
        if let Some(kept) = restored.kept {
            let _ = writeln!(said, "  what was there is {}", kept.display());
        }
        said.push_str(&fits(&restored.audited));
        Ok(said)
    };
    told(done(), complain)
}

pub(super) fn audit(shop: &Path) -> u8 {
    let audited = || -> Result<String, Failed<RecordsError>> {
        let opened = Shop::open(shop, &now()?).map_err(Failed::Told)?;
        opened.check().map_err(Failed::Told)?;
        let audited = opened.audit().map_err(Failed::Told)?;
        Ok(format!("{}: every record fits\n{}", shop.display(), fits(&audited)))
    };
    match audited() {
        // The file is one, and could be asked; the answer is no.
        Err(Failed::Told(misfit @ RecordsError::Audit { .. })) => {
            complain(misfit);
            NO_PLAN
        }
        Err(Failed::Told(
            told @ (RecordsError::Damaged { .. } | RecordsError::NotAShop { .. }),
        )) => {
            complain(told);
            complain_more(&damage(shop));
            WRONG
        }
        other => told(other, complain),
    }
}

fn fits(audited: &Audited) -> String {
    let Audited { readings, values, sign_offs, head } = audited;
    let end = if *sign_offs == 0 {
        "nothing is signed yet".to_owned()
    } else {
        format!("the last sign-off is {}", head.to_hex())
    };
    format!("  readings {readings}, values {values}, sign-offs {sign_offs}; {end}\n")
}

/// Why a command on the shop's file did not do it.
pub(super) enum Failed<E> {
    /// What an operation said.
    Told(E),
    /// What the file system or the clock said.
    Other(String),
}

impl<E> Failed<E> {
    pub(super) fn at(file: &Path, error: &io::Error) -> Self {
        let words = match error.kind() {
            io::ErrorKind::AlreadyExists => {
                "is there already and is not overwritten; choose another name".to_owned()
            }
            _ => in_words(error),
        };
        Self::Other(format!("{}: {words}", file.display()))
    }
}

/// Says what was done, or what was not.
pub(super) fn told<E>(done: Result<String, Failed<E>>, complain_of: impl FnOnce(E)) -> u8 {
    match done {
        Ok(said) => {
            print(&said);
            DONE
        }
        Err(Failed::Told(error)) => {
            complain_of(error);
            WRONG
        }
        Err(Failed::Other(said)) => {
            complain(said);
            WRONG
        }
    }
}

/// This moment.
pub(super) fn now<E>() -> Result<Moment, Failed<E>> {
    clock::now().map_err(|error| Failed::Other(format!("this machine's clock: {error}")))
}
