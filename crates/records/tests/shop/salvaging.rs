//! A damaged file gives out what is on its whole pages: never a panic, never a hang, nothing that
//! was not there.

use crate::carrying;
use crate::sample::{Sample, line, now, raw};
use records::{
    Against, AttachedTo, Cell, NewAttachment, NewWork, PredictionId, RecordsError, Shop, WorkKind,
    damage, salvage,
};
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};
use tempfile::TempDir;

const PAGE: usize = 4096;

/// Rows of each table, as text.
type Rows = BTreeMap<String, BTreeSet<String>>;

/// A shop of some hundred pages, in one file.
fn shop() -> (TempDir, PathBuf) {
    let sample = Sample::new().with_history();
    for n in 0..30 {
        let against = if n == 0 { carrying::ANEW } else { Against::Kept(PredictionId(1)) };
        carrying::tear(&sample, &format!("{n}.5 h"), against);
        sample.shop.add_tilt_test(&carrying::tilt(&sample)).unwrap();
    }
    sample.amend().unwrap();
    for n in 0..400 {
        sample.read_expecting(&format!("s.{n}"), "79.915 mm", None).unwrap();
    }
    for n in 0..60 {
        sample.set("spec.match", Some(&format!("\"{n} um\""))).unwrap();
    }
    for n in 0..20 {
        let lines: Vec<_> = (0..12).map(|k| line(&format!("k.{k}"), &format!("{n}"))).collect();
        sample.shop.add_engine(&format!("engine {n}"), &lines).unwrap();
        sample.shop.add_material(&format!("material {n}"), &lines).unwrap();
        sample.shop.add_person(&format!("Person {n}"), "builder").unwrap();
    }
    for n in 0..5_usize {
        let mut bytes = b"\x89PNG\r\n\x1a\n".to_vec();
        bytes.extend((0..9000 + n * 3000).map(|k| (k * 7919 % 251) as u8));
        let to = AttachedTo::Part(sample.rotor);
        let (person, at) = (sample.ada, &now());
        sample
            .shop
            .attach(&NewAttachment { to, name: "a.png", station: None, bytes: &bytes, person, at })
            .unwrap();
    }
    for kind in WorkKind::ALL {
        for n in 0..6 {
            let document = format!("{{\"n\": {n}, \"text\": \"{}\"}}", "x".repeat(900 * n));
            sample
                .shop
                .add_work(&NewWork {
                    kind: *kind,
                    build: sample.build,
                    title: "the set",
                    program: "0.1.0",
                    inputs_hash: records::Sha::of(b"inputs"),
                    document: &document,
                    person: sample.ada,
                    at: &now(),
                })
                .unwrap();
        }
    }
    let folder = TempDir::new().unwrap();
    let file = folder.path().join("shop.db");
    sample.shop.backup(&file).unwrap();
    (folder, file)
}

fn text(cells: &[Cell]) -> String {
    let cell = |cell: &Cell| match cell {
        Cell::Bytes(bytes) if bytes.len() > 100 => {
            format!("{} bytes, {}", bytes.len(), records::Sha::of(bytes).to_hex())
        }
        other => format!("{other:?}"),
    };
    cells.iter().map(cell).collect::<Vec<_>>().join(", ")
}

fn rows(file: &Path) -> Rows {
    let shop = Shop::open(file, &now()).unwrap();
    let mut rows = Rows::new();
    for table in shop.tables().unwrap() {
        let all = rows.entry(table.clone()).or_default();
        shop.each_row(&table, |_, cells| all.insert(text(&cells))).unwrap();
    }
    rows
}

struct Out {
    salvaged: records::Salvaged,
    rows: Rows,
    loose: BTreeSet<String>,
}

fn out(file: &Path) -> Result<Out, RecordsError> {
    let memory = Path::new("/dev/shm");
    let folder = if memory.is_dir() { TempDir::new_in(memory) } else { TempDir::new() }.unwrap();
    let into = folder.path().join("out.db");
    let before = fs::read(file).unwrap();
    let salvaged = salvage(file, &into)?;
    assert!(fs::read(file).unwrap() == before, "the damaged file was touched");
    let loose = salvaged.loose.iter().map(|loose| text(&loose.cells)).collect();
    Ok(Out { rows: rows(&into), salvaged, loose })
}

#[test]
fn a_good_file_comes_out_complete_and_is_a_shop() {
    let (folder, file) = shop();
    let all = rows(&file);
    let Out { salvaged, rows: came, loose } = out(&file).unwrap();
    assert_eq!(came, all);
    assert_eq!(loose, BTreeSet::new());
    assert!(salvaged.is_whole(), "{salvaged:?}");
    assert_eq!(damage(&file).unwrap(), (Vec::new(), Vec::new()));
    let into = folder.path().join("again.db");
    salvage(&file, &into).unwrap();
    let (again, was) = (Shop::open(&into, &now()).unwrap(), Shop::open(&file, &now()).unwrap());
    again.check().unwrap();
    assert_eq!(again.audit().unwrap(), was.audit().unwrap());
    assert_eq!(salvage(&file, &into).unwrap_err(), RecordsError::FileExists { file: into });
}

#[test]
fn what_is_in_the_log_alone_comes_out_too() {
    let sample = Sample::new().with_history();
    let all = sample.shop.audit().unwrap();
    assert!(fs::metadata(sample.beside("shop.db-wal")).unwrap().len() > 0);
    // As a killed program leaves it.
    let folder = TempDir::new().unwrap();
    let file = folder.path().join("shop.db");
    for after in ["", "-wal"] {
        let name = format!("shop.db{after}");
        fs::copy(sample.beside(&name), folder.path().join(&name)).unwrap();
    }
    let into = folder.path().join("out.db");
    let salvaged = salvage(&file, &into).unwrap();
    assert!(salvaged.is_whole(), "{salvaged:?}");
    assert_eq!(Shop::open(&into, &now()).unwrap().audit().unwrap(), all);
    // A log that is spoiled in its middle is told.
    let log = folder.path().join("shop.db-wal");
    let mut bytes = fs::read(&log).unwrap();
    let middle = bytes.len() / 2;
    bytes[middle] ^= 0xff;
    fs::write(&log, bytes).unwrap();
    let salvaged = salvage(&file, &folder.path().join("less.db")).unwrap();
    assert!(salvaged.wrong.iter().any(|wrong| wrong.contains("breaks off")), "{salvaged:?}");
}

fn changed(salvaged: &records::Salvaged, table: &str) -> Vec<i64> {
    salvaged.tables.iter().find(|out| out.name == table).unwrap().changed.clone()
}

/// Every page destroyed by itself. A row lies on one page, unless it is longer than one: were a row
/// lost with a page that it is not on, it would be lost twice.
#[test]
fn each_page_by_itself_costs_what_is_on_it() {
    let (folder, file) = shop();
    let all = rows(&file);
    let bytes = fs::read(&file).unwrap();
    let bad = folder.path().join("bad.db");
    let mut lost: BTreeMap<(&str, &str), usize> = BTreeMap::new();
    let mut lossless = 0;
    for page in 0..bytes.len() / PAGE {
        let mut spoiled = bytes.clone();
        spoiled[page * PAGE..(page + 1) * PAGE].fill(0xA5);
        fs::write(&bad, &spoiled).unwrap();
        let Out { salvaged, rows: came, loose } = out(&bad).unwrap();
        assert!(!salvaged.is_whole(), "page {} is not told", page + 1);
        let before: usize = lost.values().sum();
        for (table, rows) in &all {
            for row in rows.iter().filter(|row| !came[table].contains(*row)) {
                if !loose.iter().any(|other| like(other, row)) {
                    *lost.entry((table, row)).or_default() += 1;
                }
            }
            for row in came[table].difference(rows) {
                // The last bytes of a long row lay there: its own hash tells it. Or a build whose own
                // row is lost stands under its number.
                let told = changed(&salvaged, table).len() == 1
                    || (table == "build" && salvaged.stand_ins == [1]);
                assert!(told, "page {}: {table} came by {row:.100}", page + 1);
            }
        }
        lossless += usize::from(lost.values().sum::<usize>() == before);
    }
    for ((table, row), times) in &lost {
        let long = row.len() > 2000 || *table == "attachment";
        assert!(*times == 1 || long, "{table} lost {times} times {row:.100}");
    }
    // Each row is on some page, and pages of indices cost nothing.
    let total: usize = all.values().map(BTreeSet::len).sum();
    assert_eq!(lost.len(), total);
    assert!(lossless > 10, "{lossless}");
}

/// Whether a row that was put nowhere is this one, its number left out.
fn like(loose: &str, row: &str) -> bool {
    loose == row
        || loose.split_once(", ").map(|(_, rest)| rest) == row.split_once(", ").map(|(_, r)| r)
}

struct Chance(u64);

impl Chance {
    fn of(&mut self, many: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 >> 11) as usize % many
    }
}

#[test]
fn however_it_is_damaged_there_is_an_answer_and_nothing_is_made_up() {
    let (folder, file) = shop();
    let all = rows(&file);
    let total: usize = all.values().map(BTreeSet::len).sum();
    let bytes = fs::read(&file).unwrap();
    let bad = folder.path().join("bad.db");
    let mut chance = Chance(0x9E37_79B9_7F4A_7C15);
    let rounds: usize =
        std::env::var("RECORDS_SALVAGES").map_or(60, |rounds| rounds.parse().unwrap());
    let (mut least, mut came_by) = (total, 0);
    for round in 0..rounds {
        let mut spoiled = bytes.clone();
        let pages = spoiled.len() / PAGE;
        match round % 5 {
            // Letters changed.
            0 => {
                for _ in 0..=chance.of(200) {
                    let at = chance.of(spoiled.len());
                    spoiled[at] ^= 1 << chance.of(8);
                }
            }
            // Pages zeroed.
            1 => {
                for _ in 0..=chance.of(8) {
                    let page = chance.of(pages);
                    spoiled[page * PAGE..(page + 1) * PAGE].fill(0);
                }
            }
            // Cut off, in the middle of a page too.
            2 => spoiled.truncate(1 + chance.of(spoiled.len() - 1)),
            // One page in the place of another.
            3 => {
                for _ in 0..=chance.of(4) {
                    let (from, to) = (chance.of(pages), chance.of(pages));
                    let page = spoiled[from * PAGE..(from + 1) * PAGE].to_vec();
                    spoiled[to * PAGE..(to + 1) * PAGE].copy_from_slice(&page);
                }
            }
            // A run of noise, across pages.
            _ => {
                let from = chance.of(spoiled.len());
                let to = (from + chance.of(40_000)).min(spoiled.len());
                for byte in &mut spoiled[from..to] {
                    *byte = chance.of(256) as u8;
                }
            }
        }
        fs::write(&bad, &spoiled).unwrap();
        match out(&bad) {
            Ok(Out { salvaged, rows: came, .. }) => {
                let count: usize = came.values().map(BTreeSet::len).sum();
                least = least.min(count);
                // A letter that is changed makes another row; nothing else does.
                let new: usize = all.iter().map(|(t, rows)| came[t].difference(rows).count()).sum();
                if !matches!(round % 5, 0 | 3 | 4) {
                    // The last page of a long row may be another: its own hash tells it.
                    // Of which marks or readings are lost is told too, and is no other row.
                    let whole = |t: &&records::TableOut| {
                        !["teardown", "tilt_test"].contains(&t.name.as_str())
                    };
                    let told = salvaged.tables.iter().filter(whole).map(|t| t.changed.len());
                    let told: usize = told.sum();
                    assert_eq!(new, salvaged.stand_ins.len() + told, "round {round}");
                }
                came_by += new;
                damage(&bad).unwrap();
            }
            Err(RecordsError::NotAShop { .. }) => {
                assert!(spoiled.len() < 4 * PAGE, "round {round}")
            }
            Err(other) => panic!("round {round}: {other}"),
        }
    }
    assert!(came_by < rounds * total / 20, "{came_by}");
    assert!(least < total);
}

#[test]
fn a_destroyed_head_is_told_and_what_is_behind_it_comes_out() {
    let (folder, file) = shop();
    let all = rows(&file);
    let mut bytes = fs::read(&file).unwrap();
    bytes[..PAGE].fill(0);
    let bad = folder.path().join("bad.db");
    fs::write(&bad, &bytes).unwrap();
    let error = Shop::open(&bad, &now()).unwrap_err();
    assert_eq!(error, RecordsError::NotAShop { file: bad.clone() });
    let Out { salvaged, rows: came, .. } = out(&bad).unwrap();
    assert_eq!(salvaged.wrong, ["the head of the file is destroyed"]);
    for (table, rows) in &all {
        assert_eq!(&came[table], rows, "{table}");
    }
    // A file of another kind is none.
    fs::write(&bad, "notes ".repeat(10_000)).unwrap();
    let error = salvage(&bad, &folder.path().join("none.db")).unwrap_err();
    assert_eq!(error, RecordsError::NotAShop { file: bad });
}

#[test]
fn a_changed_letter_is_told_by_the_rows_own_hash() {
    let (folder, file) = shop();
    let bad = folder.path().join("bad.db");
    fs::copy(&file, &bad).unwrap();
    let connection = raw(&bad);
    connection
        .execute_batch(
            "DROP TRIGGER reading_update; UPDATE reading SET station = 'x.17' WHERE id = 23;
             DROP TRIGGER teardown_mark_update; UPDATE teardown_mark SET tip = 2 WHERE id = 8;
             DROP TRIGGER tilt_reading_delete; DELETE FROM tilt_reading WHERE id = 60;
             DROP TRIGGER attachment_update; UPDATE attachment SET name = 'b.png' WHERE id = 2",
        )
        .unwrap();
    drop(connection);
    let Out { salvaged, .. } = out(&bad).unwrap();
    assert_eq!(changed(&salvaged, "reading"), [23]);
    assert_eq!(changed(&salvaged, "attachment"), [2]);
    // Marks and readings of a test are under the seal of what they belong to.
    assert_eq!(changed(&salvaged, "teardown"), [2]);
    assert_eq!(changed(&salvaged, "tilt_test"), [30]);
    assert_eq!(changed(&salvaged, "plan"), Vec::<i64>::new());
}

#[test]
fn what_is_missing_is_told_by_its_numbers() {
    let (folder, file) = shop();
    let bytes = fs::read(&file).unwrap();
    let page = (1..bytes.len() / PAGE)
        .find(|page| {
            let bad = folder.path().join("probe.db");
            let mut spoiled = bytes.clone();
            spoiled[page * PAGE..(page + 1) * PAGE].fill(0);
            fs::write(&bad, &spoiled).unwrap();
            out(&bad).unwrap().salvaged.tables.iter().any(|table| {
                table.name == "reading" && table.missing.iter().any(|(first, _)| *first > 50)
            })
        })
        .unwrap();
    let bad = folder.path().join("bad.db");
    let mut spoiled = bytes.clone();
    spoiled[page * PAGE..(page + 1) * PAGE].fill(0);
    fs::write(&bad, &spoiled).unwrap();
    let Out { salvaged, .. } = out(&bad).unwrap();
    let readings = salvaged.tables.iter().find(|table| table.name == "reading").unwrap();
    let [(first, last)] = readings.missing[..] else { panic!("{readings:?}") };
    let number = page + 1;
    assert_eq!(
        salvaged.damaged.iter().map(ToString::to_string).collect::<Vec<_>>(),
        [format!("page {number}, of reading: it is destroyed (rows {first} to {last})")]
    );
    assert!(last > first && readings.rows as i64 + (last - first + 1) >= 405);
}
