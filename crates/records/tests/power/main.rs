//! The power fails at every write of a run: what a disk may hold then is put together, opened and
//! looked at.
//!
//! A process that works with a shop (`driver`) runs under `strace`, whose log has every write, every
//! name that is made or taken away, every wait for the disk, and every acknowledgement, in one
//! order (`trace`). From it `disk` makes the states of a disk after the power went: what was
//! waited for is there; of everything else all, nothing, or some by chance, torn at the sectors
//! of 512 bytes. `looking` opens each of them through the product.
//!
//! What a disk may not do: lose what it said was written, or spoil bytes that nobody wrote to
//! (SQLite counts on that too, as "powersafe overwrite").
//!
//! Needs `strace`, so that it is no part of `cargo test` and is called by name:
//! `cargo test -p records --test power_cut`. `POWER_CUT_CHANCES` says how many states by chance are
//! made at each write.

#![expect(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "in a test a panic is the report"
)]

mod disk;
mod driver;
mod looking;
#[path = "../shop/sample.rs"]
#[expect(dead_code, reason = "shared with the other tests, which use all of it")]
mod sample;
mod trace;

use disk::Disk;
use looking::{Looked, Looking, Question};
use std::collections::{BTreeMap, HashMap};
use std::io::Write as _;
use std::path::Path;
use std::process::Command;
use trace::Event;

/// States by chance at each write; `POWER_CUT_CHANCES` says another number.
const CHANCES: u64 = 2;

/// What was asked of one state.
struct Cut {
    event: usize,
    files: BTreeMap<String, Question>,
}

/// Runs the driver under `strace`; gives the log.
fn traced(folder: &Path) -> String {
    let log = folder.join("log");
    let work = folder.join("work");
    std::fs::create_dir(&work).unwrap();
    let run = Command::new("strace")
        .args(["-f", "-xx", "-s", "1000000000", "-o"])
        .arg(&log)
        .args(["-e", &format!("trace={}", trace::CALLS.join(",")), "--"])
        .arg(std::env::current_exe().unwrap())
        .args(["nothing_acknowledged_is_lost_when_the_power_fails", "--exact", "--nocapture"])
        .env(driver::HERE, &work)
        .env("TMPDIR", &work)
        .output()
        .expect("strace, which this test works with, cannot be run; install it");
    assert!(
        run.status.success(),
        "the driver under strace: {}{}",
        String::from_utf8_lossy(&run.stdout),
        String::from_utf8_lossy(&run.stderr)
    );
    std::fs::read_to_string(&log).unwrap()
}

#[test]
fn nothing_acknowledged_is_lost_when_the_power_fails() {
    if let Some(work) = std::env::var_os(driver::HERE) {
        // This is the one that is traced: the same test, called again below.
        return driver::run(Path::new(&work));
    }
    let chances = std::env::var("POWER_CUT_CHANCES").map_or(CHANCES, |n| n.parse().unwrap());
    let folder = looking::scratch();
    let log = traced(folder.path());
    let events = trace::events(&log, &driver::folder_of(&log));
    // The log is complete: what it says was written is what lies there.
    let mut disk = Disk::default();
    events.iter().for_each(|event| disk.apply(event));
    disk.compare(&driver::folder_of(&log));

    let looking = Looking::begin();
    let mut disk = Disk::default();
    let (mut cuts, mut states) = (Vec::new(), 0_u64);
    let mut whole = Vec::new();
    for (n, event) in events.iter().enumerate() {
        disk.apply(event);
        whole.push(looking.ask(disk.now()));
        for chance in 0..=chances {
            // The first of them loses everything that was not waited for.
            let files = disk.after_a_cut((n as u64 + 1) * 1000 + chance, chance > 0);
            cuts.push(Cut { event: n, files: looking.ask(files) });
            states += 1;
        }
    }
    let (looked, opened) = looking.end();
    let acknowledged = judge(&events, &whole, &cuts, &looked);
    let mut out = std::io::stdout();
    writeln!(
        out,
        "{} events, {acknowledged} acknowledgements, {states} states, {opened} different files \
         opened",
        events.len()
    )
    .unwrap();
}

/// What each state must hold: nothing less than what was acknowledged, nothing that the run did not
/// come by.
fn judge(
    events: &[Event],
    whole: &[BTreeMap<String, Question>],
    cuts: &[Cut],
    looked: &HashMap<Question, Looked>,
) -> usize {
    let at = |files: &BTreeMap<String, Question>, name: &str| {
        files.get(name).map_or(Looked::Absent, |question| looked[question].clone())
    };
    // What the shop's file held after each event, had the power stayed.
    let shop: Vec<Looked> = whole.iter().map(|files| at(files, driver::SHOP)).collect();
    let end = whole.last().unwrap();
    let mut since = 0;
    let (mut acknowledged, mut restoring) = (0, None);
    let mut copies: BTreeMap<&str, usize> = BTreeMap::new();
    let mut acks: Vec<(usize, BTreeMap<&str, usize>)> = Vec::new();
    for (n, event) in events.iter().enumerate() {
        if let Event::Said(line) = event {
            let mut words = line.split(' ');
            match words.next().unwrap() {
                "done" => {
                    let counts: Vec<i64> = words.map(|word| word.parse().unwrap()).collect();
                    let Looked::Whole { counts: there, .. } = &shop[n] else {
                        panic!("{line}: {:?}", shop[n]);
                    };
                    assert_eq!(there[..], counts[..], "at {line}");
                    (since, acknowledged) = (n, acknowledged + 1);
                }
                "begins" => {
                    restoring = Some(n);
                }
                "copied" => {
                    copies.insert(words.next().unwrap(), n);
                    acknowledged += 1;
                }
                _ => {}
            }
        }
        acks.push((since, copies.clone()));
    }
    assert!(acknowledged > 35, "hardly anything was acknowledged: {acknowledged}");
    for Cut { event, files } in cuts {
        let (since, copies) = &acks[*event];
        let is = |what: &str| format!("the power went after event {event}: {what}");
        let now = at(files, driver::SHOP);
        assert!(!matches!(now, Looked::Wrong(_)), "{}", is(&format!("{now:?}")));
        assert!(
            shop[*since..=*event].contains(&now),
            "{}",
            is(&format!("the shop's file {now:?}"))
        );
        // Under a copy's own name nothing is ever found but all of it.
        for (name, question) in files {
            if name == driver::SHOP || name.contains(".part-") || name == driver::OLD {
                continue;
            }
            assert_eq!(looked[question], at(end, name), "{}", is(name));
        }
        for name in copies.keys() {
            assert!(files.contains_key(*name), "{}", is(&format!("{name} is gone")));
        }
        // An older file: at its own version with what it had, or at the new one beside its copy.
        match at(files, driver::OLD) {
            Looked::Whole { version, digest, .. } => {
                let Looked::Whole { digest: all, version: newest, .. } = at(end, driver::OLD)
                else {
                    panic!("the file that was to be upgraded");
                };
                assert_eq!(digest, all, "{}", is(driver::OLD));
                assert!(
                    version == 1 || files.contains_key(driver::OLD_KEPT),
                    "{}",
                    is("upgraded, and no copy of what it was")
                );
                let done = copies.contains_key(driver::OLD_KEPT);
                assert!(!done || version == newest, "{}", is("the upgrade is lost"));
            }
            Looked::Absent => assert!(!copies.contains_key(driver::OLD), "{}", is(driver::OLD)),
            // It is laid there by the driver, in no safe way, and only counts once it is.
            Looked::Wrong(_) if !copies.contains_key(driver::OLD) => {}
            Looked::Wrong(what) => panic!("{}", is(&what)),
        }
        // What a restore replaces is kept: there is no moment at which it is nowhere.
        if let Some(before) = restoring.filter(|before| before <= event) {
            let kept = at(files, driver::REPLACED);
            assert!(now == shop[before] || kept == shop[before], "{}", is("what was replaced"));
        }
    }
    acknowledged
}
