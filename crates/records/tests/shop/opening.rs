//! Opening: what is no shop's file is told apart and left as it is.

use crate::sample::{Sample, line, now, raw};
use crate::small_disk::SmallDisk;
use records::{RecordsError, Shop, VERSION};
use std::fs::{self, OpenOptions};
use std::os::unix::fs::{FileExt, PermissionsExt};
use std::path::Path;
use tempfile::TempDir;

fn open(file: &Path) -> Result<Shop, RecordsError> {
    Shop::open(file, &now())
}

/// Everything in a folder, with its bytes.
fn folder(of: &Path) -> Vec<(std::ffi::OsString, Vec<u8>)> {
    let mut all: Vec<_> = fs::read_dir(of)
        .unwrap()
        .map(|entry| entry.unwrap())
        .map(|entry| (entry.file_name(), fs::read(entry.path()).unwrap()))
        .collect();
    all.sort();
    all
}

#[test]
fn what_was_entered_is_there_when_the_shop_is_opened_again() {
    let Sample { folder, shop, ada, .. } = Sample::new();
    let file = shop.file().to_owned();
    drop(shop);
    let again = open(&file).unwrap();
    assert_eq!(again.people().unwrap().len(), 2);
    assert_eq!(again.people().unwrap()[0].id, ada);
    again.check().unwrap();
    drop(again);
    let names: Vec<_> =
        fs::read_dir(folder.path()).unwrap().map(|e| e.unwrap().file_name()).collect();
    assert_eq!(names, ["shop.db"], "nothing is left beside a shop that was closed");
}

#[test]
fn a_closed_shop_is_one_file() {
    let sample = Sample::new();
    sample.read("land_width.1", "79.915 mm").unwrap();
    let Sample { folder, shop, build, .. } = sample;
    shop.readings_of(build).unwrap();
    drop(shop);
    let names: Vec<_> = folder.path().read_dir().unwrap().map(|e| e.unwrap().file_name()).collect();
    assert_eq!(names, ["shop.db"]);
}

#[test]
fn connections_are_set_to_keep_what_they_acknowledge() {
    let sample = Sample::new();
    let seen = raw(sample.file());
    let mode: String = seen.query_row("PRAGMA journal_mode", [], |row| row.get(0)).unwrap();
    assert_eq!(mode, "wal");
    let loose: Vec<String> = seen
        .prepare("SELECT name FROM pragma_table_list WHERE schema = 'main' AND type = 'table' AND strict = 0 AND name NOT LIKE 'sqlite_%'")
        .unwrap()
        .query_map([], |row| row.get(0))
        .unwrap()
        .collect::<Result<_, _>>()
        .unwrap();
    assert!(loose.is_empty(), "tables that are not strict: {loose:?}");
}

#[test]
fn a_shop_is_not_made_over_another_file() {
    let folder = TempDir::new().unwrap();
    let file = folder.path().join("shop.db");
    fs::write(&file, "notes").unwrap();
    let error = Shop::create(&file).unwrap_err();
    assert_eq!(error, RecordsError::FileExists { file: file.clone() });
    assert_eq!(fs::read_to_string(&file).unwrap(), "notes");
    let nowhere = folder.path().join("nowhere/shop.db");
    assert_eq!(Shop::create(&nowhere).unwrap_err(), RecordsError::NoFolder { file: nowhere });
}

#[test]
fn other_files_are_no_shops() {
    let folder_of = TempDir::new().unwrap();
    let file = folder_of.path().join("shop.db");
    let no_file = open(&file).unwrap_err();
    assert_eq!(no_file, RecordsError::NoFile { file: file.clone() });
    assert!(no_file.to_string().contains("make a new shop"), "{no_file}");

    assert!(matches!(open(folder_of.path()).unwrap_err(), RecordsError::NotAShop { .. }));
    for text in [String::new(), "notes".to_owned(), "n".repeat(5000)] {
        fs::write(&file, text).unwrap();
        let before = folder(folder_of.path());
        assert_eq!(open(&file).unwrap_err(), RecordsError::NotAShop { file: file.clone() });
        assert_eq!(folder(folder_of.path()), before);
    }
    fs::remove_file(&file).unwrap();
    raw(&file).execute_batch("CREATE TABLE address (name TEXT); PRAGMA user_version = 1").unwrap();
    let before = folder(folder_of.path());
    assert_eq!(open(&file).unwrap_err(), RecordsError::NotAShop { file });
    assert_eq!(folder(folder_of.path()), before);
}

#[test]
fn a_newer_file_is_refused_and_untouched() {
    let Sample { folder: of, shop, .. } = Sample::new();
    let file = shop.file().to_owned();
    drop(shop);
    raw(&file).pragma_update(None, "user_version", VERSION + 1).unwrap();
    let before = folder(of.path());
    let error = open(&file).unwrap_err();
    assert_eq!(
        error,
        RecordsError::Newer { file: file.clone(), found: VERSION + 1, known: VERSION }
    );
    assert!(error.to_string().contains("use the newer program"), "{error}");
    assert_eq!(folder(of.path()), before);
}

#[test]
fn a_newer_version_that_is_still_in_the_log_is_seen() {
    let sample = Sample::new();
    // The log is copied while it is in use, as after a program that was killed.
    let newer = raw(sample.file());
    newer.pragma_update(None, "user_version", VERSION + 3).unwrap();
    let file = sample.beside("copy.db");
    fs::copy(sample.file(), &file).unwrap();
    fs::copy(sample.beside("shop.db-wal"), sample.beside("copy.db-wal")).unwrap();
    let before = (fs::read(&file).unwrap(), fs::read(sample.beside("copy.db-wal")).unwrap());
    let error = open(&file).unwrap_err();
    let known = VERSION;
    assert_eq!(error, RecordsError::Newer { file: file.clone(), found: VERSION + 3, known });
    let after = (fs::read(&file).unwrap(), fs::read(sample.beside("copy.db-wal")).unwrap());
    assert!(before == after, "the newer file was touched");
}

#[test]
fn damage_is_told() {
    let Sample { folder: _folder, shop, .. } = Sample::new();
    let file = shop.file().to_owned();
    drop(shop);
    let whole = fs::read(&file).unwrap();
    // The list of tables, on the first page behind the header.
    let spoil = OpenOptions::new().write(true).open(&file).unwrap();
    spoil.write_all_at(&[0xA5; 200], 100).unwrap();
    let error = open(&file).unwrap_err();
    assert!(matches!(error, RecordsError::Damaged { .. }), "{error:?}");
    assert!(error.to_string().contains("restore the last backup"), "{error}");
    // A page somewhere in the middle is found by looking at all of them.
    fs::write(&file, &whole).unwrap();
    let spoil = OpenOptions::new().write(true).open(&file).unwrap();
    let page = 4096 * 9;
    spoil.write_all_at(&[0xA5; 4096], page).unwrap();
    let shop = open(&file).unwrap();
    let error = shop.check().unwrap_err();
    assert!(matches!(error, RecordsError::Damaged { .. }), "{error:?}");
    drop(shop);
    // Cut short.
    fs::write(&file, &whole[..whole.len() / 2]).unwrap();
    let error = open(&file).and_then(|shop| shop.check()).unwrap_err();
    assert!(matches!(error, RecordsError::Damaged { .. }), "{error:?}");
}

#[test]
fn a_broken_reference_is_told() {
    let sample = Sample::new().with_history();
    let other = raw(sample.file());
    other.execute_batch("PRAGMA foreign_keys = OFF; DROP TRIGGER person_delete; DELETE FROM person WHERE id = 1").unwrap();
    let error = sample.shop.check().unwrap_err();
    assert!(error.to_string().contains("refers to a person that is not there"), "{error}");
}

#[test]
fn a_file_that_another_program_holds_is_told() {
    let Sample { folder: _folder, shop, .. } = Sample::new();
    let file = shop.file().to_owned();
    drop(shop);
    let other = raw(&file);
    other.execute_batch("PRAGMA locking_mode = EXCLUSIVE; BEGIN IMMEDIATE").unwrap();
    let error = open(&file).unwrap_err();
    assert_eq!(error, RecordsError::Locked { file });
    assert!(error.to_string().contains("in use by another program"), "{error}");
}

#[test]
fn a_file_that_cannot_be_written_is_told() {
    let Sample { folder: _folder, shop, .. } = Sample::new();
    let file = shop.file().to_owned();
    drop(shop);
    fs::set_permissions(&file, fs::Permissions::from_mode(0o444)).unwrap();
    let error = open(&file).unwrap_err();
    assert_eq!(error, RecordsError::ReadOnly { file });
    assert!(error.to_string().contains("allow writing"), "{error}");
}

#[test]
fn a_shop_on_a_disk_that_is_only_read_is_told() {
    let folder = TempDir::new().unwrap();
    let file = folder.path().join("shop.db");
    // Where nobody may mount, the file itself is made so.
    let disk = SmallDisk::new(folder.path());
    drop(Shop::create(&file).unwrap());
    match &disk {
        Some(disk) => disk.read_only(),
        None => fs::set_permissions(&file, fs::Permissions::from_mode(0o444)).unwrap(),
    }
    assert_eq!(open(&file).unwrap_err(), RecordsError::ReadOnly { file: file.clone() });
    if disk.is_some() {
        let new = folder.path().join("new.db");
        assert_eq!(Shop::create(&new).unwrap_err(), RecordsError::ReadOnly { file: new });
    }
}

#[test]
fn a_write_that_waits_too_long_is_told_and_can_be_done_again() {
    let sample = Sample::new();
    let other = raw(sample.file());
    other.execute_batch("BEGIN IMMEDIATE").unwrap();
    let error = sample.read("land_width.1", "79.915 mm").unwrap_err();
    assert_eq!(error, RecordsError::Locked { file: sample.file().to_owned() });
    // Whoever reads is not held up.
    assert_eq!(sample.shop.readings_of(sample.build).unwrap(), []);
    other.execute_batch("ROLLBACK").unwrap();
    sample.read("land_width.1", "79.915 mm").unwrap();
}

#[test]
fn a_path_through_a_file_is_told_in_the_words_of_the_system() {
    let folder = TempDir::new().unwrap();
    fs::write(folder.path().join("notes"), "").unwrap();
    let file = folder.path().join("notes/shop.db");
    for error in [open(&file).unwrap_err(), Shop::create(&file).unwrap_err()] {
        assert!(matches!(error, RecordsError::Io { .. }), "{error:?}");
        assert!(error.to_string().contains("notes/shop.db"), "{error}");
    }
}

#[test]
fn a_place_of_the_library_is_there_once() {
    let sample = Sample::new();
    let twice = [line("engine.rotors", "2"), line("engine.rotors", "3")];
    let error = sample.shop.add_engine("two", &twice).unwrap_err();
    assert_eq!(error, RecordsError::TwiceInFile { place: "engine.rotors".to_owned() });
    // All or nothing: not even its name is there.
    assert_eq!(sample.shop.engines().unwrap(), []);
}
