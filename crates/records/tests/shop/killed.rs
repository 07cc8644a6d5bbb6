//! The program is killed while it writes: what it acknowledged is there, and nothing half.

use crate::sample::{Sample, length, now};
use records::{BuildId, InRevision, NewReading, PartId, PersonId, Shop, When};
use std::io::{BufRead, BufReader, Write};
use std::path::Path;
use std::process::{Command, Stdio};
use std::thread::sleep;
use std::time::Duration;

/// How often; `RECORDS_KILLS` says another number.
const KILLS: u64 = 20;
/// Names the file to the process that is killed.
const WRITER: &str = "RECORDS_WRITER";
/// Readings of one transaction, which must all be there or none.
const TOGETHER: usize = 3;

/// Backups are made between them.
const BACKUP_EVERY: usize = 2 * TOGETHER;

/// Looks at what has the name of a backup and takes it away; gives how many there were.
fn whole_backups(folder: &Path) -> usize {
    let backups: Vec<_> = folder
        .read_dir()
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.file_name().unwrap().to_string_lossy().starts_with("backup-"))
        .collect();
    let mut count = 0;
    for path in backups {
        // What was not finished has another name.
        if path.extension().is_some_and(|extension| extension == "db") {
            let copy = Shop::open(&path, &now()).unwrap();
            copy.check().unwrap();
            let readings = copy.audit().unwrap().readings;
            assert_eq!(path.file_stem().unwrap(), format!("backup-{readings}").as_str());
            count += 1;
        }
        std::fs::remove_file(path).unwrap();
    }
    count
}

/// Writes until it is killed; says after each commit what is kept.
fn write_on(file: &Path) {
    let shop = Shop::open(file, &now()).unwrap();
    let (at, value) = (now(), length("79.915 mm"));
    let mut next = shop.readings_of(BuildId(1)).unwrap().len();
    let mut out = std::io::stdout().lock();
    loop {
        let stations: Vec<String> = (next..next + TOGETHER).map(|n| format!("s.{n}")).collect();
        let places: Vec<String> = stations.iter().map(|s| format!("rotor.R-114.{s}")).collect();
        let new: Vec<NewReading<'_>> = stations
            .iter()
            .zip(&places)
            .map(|(station, place)| NewReading {
                part: PartId(1),
                build: Some(InRevision { build: BuildId(1), revision: 1 }),
                when: When::Before,
                station,
                value: &value,
                gauge: None,
                person: PersonId(1),
                at: &at,
                temperature: None,
                expected: None,
                sent_as: None,
                place: Some(place),
            })
            .collect();
        let kept = shop.add_readings(&new).unwrap();
        for id in kept {
            writeln!(out, "kept {id}").unwrap();
        }
        out.flush().unwrap();
        next += TOGETHER;
        if next.is_multiple_of(BACKUP_EVERY) {
            shop.backup(&file.with_file_name(format!("backup-{next}.db"))).unwrap();
            writeln!(out, "copied").unwrap();
            out.flush().unwrap();
        }
    }
}

#[test]
fn what_was_acknowledged_outlives_the_program() {
    if let Some(file) = std::env::var_os(WRITER) {
        // This is the one that is killed: the same test, called again below.
        write_on(Path::new(&file));
    }
    let kills = std::env::var("RECORDS_KILLS").map_or(KILLS, |kills| kills.parse().unwrap());
    let Sample { folder, shop, build, .. } = Sample::new();
    let file = shop.file().to_owned();
    drop(shop);
    let (mut acknowledged, mut backups) = (0, 0);
    for kill in 0..kills {
        let mut writer = Command::new(std::env::current_exe().unwrap())
            .args(["killed::what_was_acknowledged_outlives_the_program", "--exact", "--nocapture"])
            .env(WRITER, &file)
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        let mut lines = BufReader::new(writer.stdout.take().unwrap()).lines();
        let mut kept = |line: String| {
            // The last line may be cut off: a shorter number then, which is kept just as well.
            let id = line.strip_prefix("kept ").and_then(|id| id.parse::<i64>().ok());
            acknowledged = acknowledged.max(id.unwrap_or(0));
        };
        // At any moment after the first acknowledgement, or after a backup.
        let from = if kill % 2 == 0 { "kept" } else { "copied" };
        loop {
            let line = lines.next().expect("the writer ended by itself").unwrap();
            let begun = line.starts_with(from);
            kept(line);
            if begun {
                break;
            }
        }
        sleep(Duration::from_micros(kill * 7919 % 23_000));
        writer.kill().unwrap();
        writer.wait().unwrap();
        lines.for_each(|line| kept(line.unwrap()));

        let shop = Shop::open(&file, &now()).unwrap();
        shop.check().unwrap();
        let audited = shop.audit().unwrap();
        assert!(audited.readings >= acknowledged, "{} of {acknowledged}", audited.readings);
        assert_eq!(audited.readings as usize % TOGETHER, 0, "a transaction is half there");
        assert_eq!(audited.values, audited.readings, "a reading without its place");
        let readings = shop.readings_of(build).unwrap();
        backups += whole_backups(folder.path());
        assert!(
            readings.iter().enumerate().all(|(n, reading)| reading.station == format!("s.{n}"))
        );
    }
    assert!(acknowledged as u64 >= kills, "hardly anything was written: {acknowledged}");
    assert!(backups > 0, "no backup was made");
}
