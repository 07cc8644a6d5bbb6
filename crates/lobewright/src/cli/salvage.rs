//! A damaged shop's file: `salvage`, and what `audit` says of one.

use super::output::{complain, print};
use super::shop::{Failed, now};
use super::{DONE, NO_PLAN, WRONG};
use crate::ops;
use crate::text;
use std::fmt::Write as _;
use std::fs;
use std::path::Path;

/// Damaged pages that `audit` tells one by one.
const MOST: usize = 10;

pub(super) fn run(shop: &Path, folder: &Path) -> u8 {
    match salvaged(shop, folder) {
        Ok((said, whole)) => {
            print(&said);
            if whole { DONE } else { NO_PLAN }
        }
        Err(Failed::Told(error)) => {
            complain(error);
            WRONG
        }
        Err(Failed::Other(said)) => {
            complain(said);
            WRONG
        }
    }
}

fn salvaged(shop: &Path, folder: &Path) -> Result<(String, bool), Failed<ops::SalvageError>> {
    let now = now()?;
    fs::create_dir(folder).map_err(|error| Failed::at(folder, &error))?;
    let report = ops::salvage(shop, folder, &now).map_err(|error| {
        // Nothing came out: nothing is left behind.
        let _ = fs::remove_dir(folder);
        Failed::Told(error)
    })?;
    let text = text::salvage::report(&report, &shop.display().to_string());
    let file = folder.join("report.txt");
    fs::write(&file, &text).map_err(|error| Failed::at(&file, &error))?;
    Ok((format!("{}:\n\n{text}", folder.display()), report.shop))
}

/// Which pages of a damaged file cannot be read.
pub(super) fn damage(shop: &Path) -> String {
    let mut said = String::new();
    let Ok((wrong, pages)) = records::damage(shop) else { return said };
    for wrong in wrong {
        let _ = writeln!(said, "  {wrong}");
    }
    for page in pages.iter().take(MOST) {
        let _ = writeln!(said, "  {page}");
    }
    if pages.len() > MOST {
        let _ = writeln!(said, "  and {} pages more", pages.len() - MOST);
    }
    if !said.is_empty() {
        let file = shop.display();
        let _ =
            writeln!(said, "What can be read of it comes out by: lobewright salvage {file} FOLDER");
    }
    said
}
