//! The process that is traced: a shop is made and worked with, and after each step it is said what
//! is kept by now.

use crate::sample::{Sample, length, now};
use records::{
    AttachedTo, Entry, GearFace, Into, NewAttachment, NewLine, NewReading, PartHere, PartKind,
    Shop, When, restore,
};
use std::fs::{self, File};
use std::io::Write;
use std::path::{Path, PathBuf};

/// Names the folder to the process that is traced.
pub(crate) const HERE: &str = "POWER_CUT_HERE";
/// Names of the files that are looked at.
pub(crate) const SHOP: &str = "shop.db";
pub(crate) const OLD: &str = "old.db";
pub(crate) const OLD_KEPT: &str = "old.db.version-1.20261128T093000Z";
pub(crate) const REPLACED: &str = "shop.db.replaced-20261128T093000Z";
/// Rounds of readings, with a value and a correction each.
const ROUNDS: usize = 8;
/// Readings of one transaction.
const TOGETHER: usize = 3;
/// Bytes of a photo: several pages, none of them in the log before.
const PHOTO: usize = 20_000;
const PHOTOS: usize = 3;

/// The folder that the driver worked in, as it says itself.
pub(crate) fn folder_of(log: &str) -> PathBuf {
    let said = crate::trace::said(log);
    let folder = said.iter().find_map(|line| line.strip_prefix("folder "));
    PathBuf::from(folder.expect("the driver says where it works"))
}

/// One line, in one write.
fn say(line: &str) {
    let mut out = std::io::stdout().lock();
    out.write_all(format!("{line}\n").as_bytes()).unwrap();
    out.flush().unwrap();
}

/// Says what is kept.
fn done(shop: &Shop) {
    let audited = shop.audit().unwrap();
    say(&format!("done {} {} {}", audited.readings, audited.values, audited.sign_offs));
}

fn together(sample: &Sample, round: usize) {
    let stations: Vec<String> = (0..TOGETHER).map(|n| format!("s.{round}.{n}")).collect();
    let places: Vec<String> = stations.iter().map(|s| format!("rotor.R-114.{s}")).collect();
    let (value, at) = (length("79.915 mm"), now());
    let new: Vec<NewReading<'_>> = stations
        .iter()
        .zip(&places)
        .map(|(station, place)| NewReading {
            part: sample.rotor,
            build: Some(sample.of()),
            when: When::Before,
            station,
            value: &value,
            gauge: None,
            person: sample.ada,
            at: &at,
            temperature: None,
            expected: None,
            sent_as: None,
            place: Some(place),
        })
        .collect();
    sample.shop.add_readings(&new).unwrap();
}

fn bring_in(sample: &Sample, name: &str, serial: &str) {
    let rotor =
        PartHere { kind: PartKind::Rotor, serial, position: 1, gear_face: Some(GearFace::Rear) };
    let text = |place: &str, value: &str| NewLine {
        place: place.to_owned(),
        entry: Entry::Text(value.to_owned()),
    };
    let by = (sample.ben, &now());
    sample
        .shop
        .bring_in(Into::New(name), &[rotor], by, |ids| {
            let width = |n: usize| NewLine {
                place: format!("rotor.{serial}.land_width.{n}"),
                entry: Entry::Reading {
                    part: ids[0],
                    when: When::Before,
                    station: format!("land_width.{n}"),
                    value: length("73.892 mm"),
                    gauge: None,
                    temperature: None,
                },
            };
            vec![text("format", "1"), text("build.name", name), width(1), width(2), width(3)]
        })
        .unwrap();
}

/// Does what a shop does.
pub(crate) fn run(work: &Path) {
    let mut sample = Sample::new();
    assert!(sample.folder.path().starts_with(work));
    sample.folder.disable_cleanup(true);
    say(&format!("folder {}", sample.folder.path().display()));
    done(&sample.shop);
    for round in 0..ROUNDS {
        together(&sample, round);
        done(&sample.shop);
        sample.read("land_width.1", &format!("79.9{:02} mm", round + 10)).unwrap();
        done(&sample.shop);
        sample.set("machine.capability", Some(&format!("\"{} um\"", round + 2))).unwrap();
        done(&sample.shop);
        if round % 4 == 1 {
            // The log is brought into the file while the shop is open, as the database does by
            // itself after a thousand pages: what is written next begins the log anew.
            let also = rusqlite::Connection::open(sample.file()).unwrap();
            also.query_row("PRAGMA wal_checkpoint(PASSIVE)", [], |_| Ok(())).unwrap();
        }
        if round % 4 == 3 {
            // Opened again: the log is brought into the file, and taken away.
            let file = sample.file().to_owned();
            let Sample { folder, shop, ada, ben, gauge, spec, rotor, housing, fitted, build } =
                sample;
            drop(shop);
            let shop = Shop::open(&file, &now()).unwrap();
            sample = Sample { folder, shop, ada, ben, gauge, spec, rotor, housing, fitted, build };
        }
    }
    sample.sign("built and inspected").unwrap();
    done(&sample.shop);
    let backup = sample.beside("backup-1.db");
    sample.shop.backup(&backup).unwrap();
    say("copied backup-1.db");
    sample.amend().unwrap();
    done(&sample.shop);
    bring_in(&sample, "Gannet", "R-7");
    done(&sample.shop);
    for photo in 0..PHOTOS {
        let mut bytes = b"\x89PNG\r\n\x1a\n".to_vec();
        bytes.extend((0..PHOTO).map(|n| ((n * 7919 + photo * 31) % 251) as u8));
        let new = NewAttachment {
            to: AttachedTo::Part(sample.rotor),
            name: "photo.png",
            station: None,
            bytes: &bytes,
            person: sample.ada,
            at: &now(),
        };
        sample.shop.attach(&new).unwrap();
        done(&sample.shop);
        together(&sample, 100 + photo);
        done(&sample.shop);
    }
    sample.sign("amended").unwrap();
    done(&sample.shop);
    upgrade(&sample);
    let file = sample.file().to_owned();
    let Sample { folder, shop, .. } = sample;
    drop(shop);
    say("begins a restore");
    restore(&backup, &file, &now()).unwrap();
    say(&format!("copied {REPLACED}"));
    let shop = Shop::open(&file, &now()).unwrap();
    done(&shop);
    drop(shop);
    drop(folder);
}

/// A file of version 1, laid there and opened.
fn upgrade(sample: &Sample) {
    let old = sample.beside(OLD);
    let mut laid = File::create(&old).unwrap();
    laid.write_all(include_bytes!("../shop/version-1.db")).unwrap();
    laid.sync_all().unwrap();
    File::open(sample.folder.path()).unwrap().sync_all().unwrap();
    say(&format!("copied {OLD}"));
    let upgraded = Shop::open(&old, &now()).unwrap();
    say(&format!("copied {OLD_KEPT}"));
    drop(upgraded);
    assert!(fs::exists(sample.beside(OLD_KEPT)).unwrap());
}
