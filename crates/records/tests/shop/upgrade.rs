//! A file of an older version is upgraded, and a copy of it is kept.
//!
//! `version-1.db` was made by [`version_1`] and is never made again once a version is in use. To
//! make it: `RECORDS_MAKE_VERSION_1=1 cargo test -p records upgrade`. `version-2.db` is that shop
//! after the program of version 2 opened it and put an engine and a material into its library, and
//! `version-3.db` that one after the program of version 3 brought a build into it. `version-4.db`
//! is that shop after the program of version 4 brought a build with cards of used parts into it.

use crate::sample::{line, moment, now, raw};
use crate::small_disk::SmallDisk;
use kernel::units::{Length, Quantity};
use records::{
    Against, Face, Mark, NewSignOff, NewTeardown, PartKind, RecordsError, Shop, TipMark, VERSION,
};
use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};
use tempfile::TempDir;

/// What version 1 was: the step as it was shipped.
const STEP_1: &str = include_str!("../../schema/0001_shop.sql");

/// What version 2 added.
const STEP_2: &str = include_str!("../../schema/0002_calibrations.sql");

/// What version 3 added.
const STEP_3: &str = include_str!("../../schema/0003_machine_tools.sql");

/// What version 4 added.
const STEP_4: &str = include_str!("../../schema/0004_condition.sql");

/// A small shop as version 1 wrote it.
const ROWS: &str = "
    INSERT INTO person (name, role) VALUES ('Ada', 'builder');
    INSERT INTO gauge (name, kind, repeat, repeat_quantity, repeat_si, zero, zero_quantity,
                       zero_si, calibration_due)
    VALUES ('M-3', 'micrometer', '2 um', 'length', 2e-6, '1 um', 'length', 1e-6, '2026-10-01'),
           ('I-1', 'indicator', '3 um', 'length', 3e-6, NULL, NULL, NULL, NULL);
    INSERT INTO spec (name, version, owner, at) VALUES ('sprint', 1, 1, '2026-01-05T08:00:00Z');
    INSERT INTO spec_value VALUES (1, 0, 'spec.match', '\"8 um\"');
    INSERT INTO part (kind, serial, person, at)
    VALUES ('rotor', 'R-114', 1, '2026-01-05T08:00:00Z');
    INSERT INTO build (name, spec, stage, due_next, person, at)
    VALUES ('Merganser, boat 7', 1, 'inspection', 'readings', 1, '2026-01-05T08:00:00Z');";

fn fixture() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/shop/version-1.db")
}

fn fixture_2() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/shop/version-2.db")
}

fn fixture_3() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/shop/version-3.db")
}

fn fixture_4() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/shop/version-4.db")
}

fn version_1(file: &Path) {
    let connection = raw(file);
    // Small pages, for it is kept with the code.
    connection.pragma_update(None, "page_size", 1024).unwrap();
    connection.pragma_update(None, "application_id", u32::from_be_bytes(*b"Lobe")).unwrap();
    connection.execute_batch(&format!("BEGIN; {STEP_1} {ROWS} COMMIT; VACUUM")).unwrap();
    connection.pragma_update(None, "user_version", 1).unwrap();
}

/// All tables, indices and triggers of a file.
fn schema(file: &Path) -> Vec<String> {
    raw(file)
        .prepare("SELECT coalesce(sql, name) FROM sqlite_schema ORDER BY type, name")
        .unwrap()
        .query_map([], |row| row.get(0))
        .unwrap()
        .collect::<Result<_, _>>()
        .unwrap()
}

/// The fixture under the name of a shop.
fn old_shop() -> (TempDir, PathBuf) {
    if std::env::var_os("RECORDS_MAKE_VERSION_1").is_some() {
        let _ = fs::remove_file(fixture());
        version_1(&fixture());
    }
    let folder = TempDir::new().unwrap();
    let file = folder.path().join("shop.db");
    fs::copy(fixture(), &file).unwrap();
    (folder, file)
}

#[test]
fn a_shipped_step_is_never_changed() {
    let (folder, file) = old_shop();
    let made = folder.path().join("made.db");
    version_1(&made);
    assert_eq!(schema(&file), schema(&made), "schema/0001_shop.sql is not what version 1 was");
}

#[test]
fn the_second_step_is_never_changed_either() {
    let folder = TempDir::new().unwrap();
    let (made, file) = (folder.path().join("made.db"), folder.path().join("shop.db"));
    version_1(&made);
    raw(&made).execute_batch(STEP_2).unwrap();
    fs::copy(fixture_2(), &file).unwrap();
    let different = "schema/0002_calibrations.sql is not what version 2 was";
    assert_eq!(schema(&file), schema(&made), "{different}");
}

#[test]
fn nor_is_the_third() {
    let folder = TempDir::new().unwrap();
    let made = folder.path().join("made.db");
    version_1(&made);
    raw(&made).execute_batch(&format!("{STEP_2}; {STEP_3}")).unwrap();
    let different = "schema/0003_machine_tools.sql is not what version 3 was";
    assert_eq!(schema(&fixture_3()), schema(&made), "{different}");
}

#[test]
fn nor_is_the_fourth() {
    let folder = TempDir::new().unwrap();
    let made = folder.path().join("made.db");
    version_1(&made);
    raw(&made).execute_batch(&format!("BEGIN; {STEP_2}; {STEP_3}; {STEP_4}; COMMIT")).unwrap();
    let different = "schema/0004_condition.sql is not what version 4 was";
    assert_eq!(schema(&fixture_4()), schema(&made), "{different}");
}

/// A build of it is signed and comes apart, which version 4 did not know how to say.
#[test]
fn version_4_is_upgraded_and_takes_teardowns() {
    let folder = TempDir::new().unwrap();
    let file = folder.path().join("shop.db");
    fs::copy(fixture_4(), &file).unwrap();
    let tables = ["part", "reading", "build_part", "build_value", "calibration"];
    let rows = |table: &str| {
        let count = format!("SELECT count(*) FROM {table}");
        raw(&file).query_row(&count, [], |row| row.get::<_, i64>(0)).unwrap()
    };
    let before = tables.map(rows);
    let shop = Shop::open(&file, &now()).unwrap();
    let kept = folder.path().join("shop.db.version-4.20261128T093000Z");
    let version: u32 = raw(&kept).query_row("PRAGMA user_version", [], |row| row.get(0)).unwrap();
    assert_eq!(version, 4);
    shop.check().unwrap();
    shop.audit().unwrap();
    assert_eq!(tables.map(rows), before);
    assert_eq!(shop.teardowns_of_shop().unwrap(), []);
    let (at, rotor) = (now(), shop.part_of(PartKind::Rotor, "PR-1").unwrap().unwrap());
    let build = shop.part_history(rotor.id).unwrap().fitted[0].0.build;
    let seen = shop.seen(build).unwrap();
    let (person, meaning) = (rotor.person, "built");
    shop.sign(&NewSignOff { build, seen, person, at: &at, meaning }).unwrap();
    let mark = TipMark {
        part: rotor.id,
        face: Face::Plain,
        tip: 2,
        contact: Mark::Light,
        place: None,
        rotor: None,
        wall: None,
        note: String::new(),
    };
    let id = shop
        .add_teardown(&NewTeardown {
            build,
            revision: 1,
            running: None,
            speed: None,
            boost: None,
            note: "",
            marks: std::slice::from_ref(&mark),
            against: Against::Nothing("no speed is said"),
            person,
            at: &at,
            expected: None,
        })
        .unwrap();
    assert_eq!(shop.teardown(id).unwrap().marks, [mark]);
    shop.audit().unwrap();
    drop(shop);
    let today = folder.path().join("today.db");
    drop(Shop::create(&today).unwrap());
    assert_eq!(schema(&file), schema(&today));
}

/// Its parts are in a table that was made anew: what refers to them still does, and rules hold.
#[test]
fn version_3_is_upgraded_with_its_parts() {
    let folder = TempDir::new().unwrap();
    let file = folder.path().join("shop.db");
    fs::copy(fixture_3(), &file).unwrap();
    let rows = |table: &str| {
        let count = format!("SELECT count(*) FROM {table}");
        raw(&file).query_row(&count, [], |row| row.get::<_, i64>(0)).unwrap()
    };
    let before = ["part", "reading", "build_part", "build_value"].map(rows);
    let shop = Shop::open(&file, &now()).unwrap();
    shop.check().unwrap();
    shop.audit().unwrap();
    assert_eq!(["part", "reading", "build_part", "build_value"].map(rows), before);
    let rotor = shop.part_of(PartKind::Rotor, "DR-2").unwrap().unwrap();
    assert!(!shop.part_history(rotor.id).unwrap().readings.is_empty());
    let at = moment("2026-11-28T09:30:00Z");
    let person = rotor.person;
    let gear = shop.add_part(PartKind::StationaryGear, "SG-1", (person, &at)).unwrap();
    assert_eq!(shop.part(gear).unwrap().kind, PartKind::StationaryGear);
    for wrong in [
        "DELETE FROM part WHERE id = 1",
        "UPDATE part SET serial = 'other' WHERE id = 1",
        "INSERT INTO part (kind, serial, person, at) VALUES ('piston', 'P', 1, '2026-01-05T08:00:00Z')",
        "INSERT INTO reading (part, stage, station, value, quantity, si, person, at, seal)
         VALUES (99, 'before', 'width.1', '80 mm', 'length', 0.08, 1, '2026-01-05T08:00:00Z', zeroblob(32))",
    ] {
        assert!(raw(&file).execute_batch(wrong).is_err(), "{wrong}");
    }
    drop(shop);
    let today = folder.path().join("today.db");
    drop(Shop::create(&today).unwrap());
    assert_eq!(schema(&file), schema(&today));
}

#[test]
fn version_2_is_upgraded_with_what_it_holds() {
    let folder = TempDir::new().unwrap();
    let file = folder.path().join("shop.db");
    fs::copy(fixture_2(), &file).unwrap();
    let shop = Shop::open(&file, &now()).unwrap();
    assert!(folder.path().join("shop.db.version-2.20261128T093000Z").exists());
    let material = &shop.materials().unwrap()[0];
    assert_eq!(material.name, "own");
    assert_eq!(shop.material_lines(material.id).unwrap()[1].value, "\"7100 kg/m3\"");
    assert_eq!(shop.engines().unwrap()[0].name, "sprint boat");
    assert_eq!(shop.gauges().unwrap().len(), 2);
    // What is new can be kept, and by one name once.
    assert_eq!(shop.machine_tools().unwrap(), []);
    let lines = [line("machine_tool.mill.kind", "\"vertical mill\"")];
    let id = shop.add_machine_tool("mill", &lines).unwrap();
    let taken = shop.add_machine_tool("mill", &lines).unwrap_err();
    assert_eq!(taken.to_string(), "there is a machine tool of this name already; choose another");
    shop.set_machine_tool_lines(id, &[]).unwrap();
    assert_eq!(shop.machine_tool_lines(id).unwrap(), []);
    shop.check().unwrap();
    shop.audit().unwrap();
    drop(shop);
    let today = folder.path().join("today.db");
    drop(Shop::create(&today).unwrap());
    assert_eq!(schema(&file), schema(&today));
}

#[test]
fn version_1_is_upgraded_and_a_copy_is_kept() {
    let (folder, file) = old_shop();
    let before = schema(&file);
    let shop = Shop::open(&file, &now()).unwrap();
    let kept = folder.path().join("shop.db.version-1.20261128T093000Z");
    assert_eq!(schema(&kept), before);
    let version: u32 = raw(&kept).query_row("PRAGMA user_version", [], |row| row.get(0)).unwrap();
    assert_eq!(version, 1);
    // What it knew of gauges became the first line of their history.
    let gauges = shop.gauges().unwrap();
    let told: Vec<_> = gauges
        .iter()
        .map(|gauge| {
            let what = &gauge.calibration.what;
            let zero = what.zero.as_ref().and_then(|zero| zero.value::<Length>());
            (gauge.name.as_str(), what.repeat.text(), zero, what.due.as_ref().map(|d| d.as_str()))
        })
        .collect();
    assert_eq!(
        told,
        [
            ("I-1", "3 um", None, None),
            ("M-3", "2 um", Length::parse("1 um").ok(), Some("2026-10-01")),
        ]
    );
    let overdue = shop.gauges_overdue(&now().day()).unwrap();
    assert_eq!(overdue.len(), 1);
    assert_eq!(overdue[0].name, "M-3");
    shop.check().unwrap();
    shop.audit().unwrap();
    drop(shop);
    // It is the same as one that was made today.
    let today = folder.path().join("today.db");
    drop(Shop::create(&today).unwrap());
    assert_eq!(schema(&file), schema(&today));
    // The version is in the file itself, where an older program looks for it.
    assert_eq!(fs::read(&file).unwrap()[60..64], VERSION.to_be_bytes());
    // Opened again, nothing is done again.
    drop(Shop::open(&file, &moment("2026-11-29T09:30:00Z")).unwrap());
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 3);
}

#[test]
fn an_upgrade_that_fails_leaves_the_old_version() {
    let (_folder, file) = old_shop();
    // Something is in the way of the step that is to come.
    raw(&file).execute_batch("CREATE TABLE calibration_gauge (x TEXT) STRICT").unwrap();
    let before = schema(&file);
    let error = Shop::open(&file, &now()).unwrap_err();
    assert!(matches!(error, RecordsError::Database { .. }), "{error:?}");
    assert_eq!(schema(&file), before);
    let version: u32 = raw(&file).query_row("PRAGMA user_version", [], |row| row.get(0)).unwrap();
    assert_eq!(version, 1);
}

#[test]
fn a_backup_of_version_1_is_upgraded_while_it_is_restored() {
    let (folder, file) = old_shop();
    let to = folder.path().join("new.db");
    let before = fs::read(&file).unwrap();
    records::restore(&file, &to, &now()).unwrap();
    assert!(fs::read(&file).unwrap() == before);
    assert_eq!(Shop::open(&to, &now()).unwrap().gauges().unwrap().len(), 2);
}

#[test]
fn two_programs_that_upgrade_at_once_both_find_it_done() {
    for _ in 0..8 {
        let (folder, file) = old_shop();
        std::thread::scope(|scope| {
            let programs: Vec<_> = (0..4)
                .map(|n| {
                    let file = &file;
                    let now = moment(&format!("2026-11-28T09:30:0{n}Z"));
                    scope.spawn(move || Shop::open(file, &now).unwrap().gauges().unwrap().len())
                })
                .collect();
            for program in programs {
                assert_eq!(program.join().unwrap(), 2);
            }
        });
        let shop = Shop::open(&file, &now()).unwrap();
        shop.check().unwrap();
        shop.audit().unwrap();
        let kept = fs::read_dir(folder.path()).unwrap().map(|entry| entry.unwrap().file_name());
        assert!(kept.into_iter().any(|name| name.to_string_lossy().contains(".version-1.")));
    }
}

#[test]
fn an_upgrade_without_room_for_the_copy_leaves_the_old_version() {
    let folder = TempDir::new().unwrap();
    let file = folder.path().join("shop.db");
    let disk = SmallDisk::new(folder.path());
    fs::copy(fixture(), &file).unwrap();
    let filler = match &disk {
        Some(_) => {
            let filler = folder.path().join("filler");
            let mut fill = fs::File::create(&filler).unwrap();
            // To the last page: a write that does not fit takes what there is.
            let full = (0..1024).any(|_| fill.write_all(&[0; 4096]).is_err());
            assert!(full, "the disk is not small");
            filler
        }
        // Where nobody may mount, something of the copy's name is in the way.
        None => {
            let kept = folder.path().join("shop.db.version-1.20261128T093000Z");
            fs::write(&kept, "in the way").unwrap();
            kept
        }
    };
    let error = Shop::open(&file, &now()).unwrap_err();
    match disk {
        Some(_) => assert!(matches!(error, RecordsError::DiskFull { .. }), "{error:?}"),
        None => assert_eq!(error, RecordsError::FileExists { file: filler.clone() }),
    }
    fs::remove_file(&filler).unwrap();
    let version: u32 = raw(&file).query_row("PRAGMA user_version", [], |row| row.get(0)).unwrap();
    assert_eq!(version, 1);
    assert_eq!(Shop::open(&file, &now()).unwrap().gauges().unwrap().len(), 2);
}
