//! Backup while in use, and the way back.

use crate::sample::{Sample, now, raw};
use records::{RecordsError, Shop, VERSION, restore};
use std::fs;
use std::path::Path;
use std::thread;

fn names(folder: &Path) -> Vec<String> {
    let mut names: Vec<_> = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    names
}

#[test]
fn a_backup_is_one_whole_file_of_one_moment() {
    let sample = Sample::new().with_history();
    let backup = sample.beside("backup.db");
    sample.shop.backup(&backup).unwrap();
    assert_eq!(
        sample.shop.backup(&backup).unwrap_err(),
        RecordsError::FileExists { file: backup.clone() }
    );
    let nowhere = sample.beside("nowhere/backup.db");
    let error = sample.shop.backup(&nowhere).unwrap_err();
    assert_eq!(error, RecordsError::NoFolder { file: nowhere });
    let copy = Shop::open(&backup, &now()).unwrap();
    assert_eq!(copy.audit().unwrap(), sample.shop.audit().unwrap());
    assert_eq!(
        copy.readings_of(sample.build).unwrap(),
        sample.shop.readings_of(sample.build).unwrap()
    );
}

#[test]
fn backups_are_whole_while_somebody_writes() {
    let sample = Sample::new();
    let backups: Vec<_> = (0..8).map(|n| sample.beside(&format!("backup-{n}.db"))).collect();
    let done = std::sync::atomic::AtomicBool::new(false);
    let written = thread::scope(|scope| {
        let writer = scope.spawn(|| {
            let mut written = 0;
            while !done.load(std::sync::atomic::Ordering::Relaxed) {
                sample.read_expecting(&format!("s.{written}"), "79.915 mm", None).unwrap();
                written += 1;
            }
            written
        });
        for backup in &backups {
            sample.shop.backup(backup).unwrap();
        }
        done.store(true, std::sync::atomic::Ordering::Relaxed);
        writer.join().unwrap()
    });
    let mut last = 0;
    for backup in &backups {
        let copy = Shop::open(backup, &now()).unwrap();
        copy.check().unwrap();
        let audited = copy.audit().unwrap();
        assert!((last..=written).contains(&audited.readings));
        assert_eq!(audited.values, audited.readings, "half a transaction");
        last = audited.readings;
    }
}

#[test]
fn a_restored_shop_is_what_was_backed_up_and_what_it_replaced_is_kept() {
    let sample = Sample::new().with_history();
    let backup = sample.beside("backup.db");
    sample.shop.backup(&backup).unwrap();
    sample.amend().unwrap();
    sample.read("land_width.3", "79.918 mm").unwrap();
    let Sample { folder, shop, build, .. } = sample;
    let file = shop.file().to_owned();
    // It is not pulled away under those who use it.
    let error = restore(&backup, &file, &now()).unwrap_err();
    assert_eq!(error, RecordsError::Locked { file: file.clone() });
    assert_eq!(shop.readings_of(build).unwrap().len(), 6);
    drop(shop);

    let restored = restore(&backup, &file, &now()).unwrap();
    assert_eq!(restored.audited.readings, 5);
    let kept = folder.path().join("shop.db.replaced-20261128T093000Z");
    assert_eq!(restored.kept, Some(kept.clone()));
    assert_eq!(names(folder.path()), ["backup.db", "shop.db", "shop.db.replaced-20261128T093000Z"]);
    let count = |file: &Path| Shop::open(file, &now()).unwrap().readings_of(build).unwrap().len();
    assert_eq!((count(&file), count(&kept)), (5, 6));
    // Twice in one second: the first one that was kept is not overwritten.
    assert_eq!(
        restore(&backup, &file, &now()).unwrap_err(),
        RecordsError::FileExists { file: kept }
    );
    // To where nothing is.
    let elsewhere = folder.path().join("elsewhere.db");
    assert_eq!(restore(&backup, &elsewhere, &now()).unwrap().kept, None);
    assert_eq!(count(&elsewhere), 5);
}

#[test]
fn a_backup_that_does_not_pass_replaces_nothing() {
    let sample = Sample::new().with_history();
    let whole = sample.beside("backup.db");
    sample.shop.backup(&whole).unwrap();
    let Sample { folder, shop, .. } = sample;
    let file = shop.file().to_owned();
    drop(shop);
    let before = fs::read(&file).unwrap();
    let bad = folder.path().join("bad.db");
    let spoiled = |spoil: &dyn Fn()| {
        fs::copy(&whole, &bad).unwrap();
        spoil();
        let error = restore(&bad, &file, &now()).unwrap_err();
        assert!(fs::read(&file).unwrap() == before, "the shop's file was touched");
        assert_eq!(names(folder.path()), ["backup.db", "bad.db", "shop.db"]);
        error
    };
    let error = spoiled(&|| fs::write(&bad, "notes").unwrap());
    assert_eq!(error, RecordsError::NotAShop { file: bad.clone() });
    let error = spoiled(&|| raw(&bad).pragma_update(None, "user_version", VERSION + 1).unwrap());
    assert!(matches!(error, RecordsError::Newer { .. }), "{error:?}");
    let error = spoiled(&|| {
        let mut bytes = fs::read(&bad).unwrap();
        let middle = bytes.len() / 4096 / 2 * 4096;
        bytes[middle..middle + 4096].fill(0xA5);
        fs::write(&bad, bytes).unwrap();
    });
    assert!(matches!(error, RecordsError::Damaged { .. }), "{error:?}");
    let error = spoiled(&|| {
        raw(&bad)
            .execute_batch(
                "PRAGMA foreign_keys = OFF; DROP TRIGGER gauge_delete; DELETE FROM gauge",
            )
            .unwrap();
    });
    assert!(matches!(error, RecordsError::Damaged { .. }), "{error:?}");
    let error = spoiled(&|| {
        raw(&bad).execute_batch(
            "DROP TRIGGER sign_off_update; UPDATE sign_off SET meaning = 'looked at' WHERE id = 1",
        ).unwrap();
    });
    assert!(error.to_string().contains("sign-off 1 was changed"), "{error}");
    let missing = folder.path().join("missing.db");
    let error = restore(&missing, &file, &now()).unwrap_err();
    assert_eq!(error, RecordsError::NoFile { file: missing });
}

#[test]
fn a_damaged_shop_is_replaced_and_kept_as_it_was() {
    let sample = Sample::new().with_history();
    let backup = sample.beside("backup.db");
    sample.shop.backup(&backup).unwrap();
    let Sample { folder: _folder, shop, build, .. } = sample;
    let file = shop.file().to_owned();
    drop(shop);
    let mut bytes = fs::read(&file).unwrap();
    bytes[100..300].fill(0xA5);
    fs::write(&file, &bytes).unwrap();
    let kept = restore(&backup, &file, &now()).unwrap().kept.unwrap();
    assert!(fs::read(kept).unwrap() == bytes);
    assert_eq!(Shop::open(&file, &now()).unwrap().readings_of(build).unwrap().len(), 5);
}
