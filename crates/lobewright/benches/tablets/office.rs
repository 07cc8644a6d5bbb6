//! What goes on beside the tablets: desks that ask for the heaviest there is, somebody who turns
//! pages, and backups.

use super::line::Line;
use super::served::{Server, program};
use super::years::Years;
use super::{Times, note};
use std::process::Stdio;
use std::thread;
use std::time::{Duration, Instant};

/// Between two pages that somebody turns.
const PAGE_EVERY: Duration = Duration::from_millis(1500);
/// Between two backups, and before the first.
const BACKUP_EVERY: Duration = Duration::from_secs(60);
const FIRST_BACKUP: Duration = Duration::from_secs(10);

/// What a desk asks for, one after the other: what it is called, where, and whether it is sent.
const HEAVY: [(&str, &str, bool); 10] = [
    ("desk: what-if sweep", "what-if/sweep?speed={n}", false),
    ("desk: what-if answer", "what-if/answer?speed={n}&boost=0.9&clearance=220&step=127", false),
    ("desk: at speed, 512 draws", "at-speed/in-full?piece=yes&draws={draws}", false),
    ("desk: plan in full", "plan-in-full", false),
    ("desk: plan kept", "plans", true),
    ("desk: balance in full", "balance-in-full/worked-out?piece=yes", false),
    ("desk: cut sheet made", "sheets", true),
    ("desk: what-if page", "what-if?speed={n}", false),
    ("desk: balance kept", "balance-runs", true),
    ("desk: build book", "book", false),
];

/// One desk, without a pause until the end.
pub(crate) fn desk(
    years: &Years,
    server: &Server,
    times: &Times,
    desk: usize,
    (first, end): (Instant, Instant),
) {
    let mut line = Line::new(&server.address, years.office());
    thread::sleep(first.saturating_duration_since(Instant::now()));
    for round in 0.. {
        // Desks begin at different places, and no two ask the same thing at once.
        let (what, below, sends) = HEAVY[(round + 5 * desk) % HEAVY.len()];
        let build = years.of_desks[(round / HEAVY.len() + 3 * desk) % years.of_desks.len()];
        let draws = 512 + 2 * round + desk;
        let speed = 6000 + (37 * round + 500 * desk) % 3000;
        let below = below.replace("{n}", &speed.to_string()).replace("{draws}", &draws.to_string());
        let path = format!("/builds/{build}/{below}");
        let asked = Instant::now();
        if asked >= end {
            return;
        }
        let answer = if sends { line.send(&path, "text/html", &[]) } else { line.get(&path) };
        let answer = answer.unwrap();
        // What a build cannot have yet is refused: no cut sheet without a cut.
        let what = if answer.is_good() { what.to_owned() } else { format!("{what}, refused") };
        assert!(answer.status < 500, "{path}: {}", answer.text());
        note(times, &what, asked.elapsed());
    }
}

/// Somebody in the office turns pages, at times that were fixed beforehand.
pub(crate) fn pages(
    years: &Years,
    server: &Server,
    times: &Times,
    (first, end): (Instant, Instant),
) {
    let mut line = Line::new(&server.address, years.office());
    let mut due = first;
    for n in 0.. {
        if due >= end {
            return;
        }
        let build = years.of_tablets[n % years.of_tablets.len()].id;
        let (what, path) = match n % 4 {
            0 => ("page: builds", "/builds".to_owned()),
            1 => ("page: sheet of a build", format!("/builds/{build}")),
            2 => ("page: shelf", "/shelf".to_owned()),
            _ => ("page: search", "/builds?find=Merganser".to_owned()),
        };
        thread::sleep(due.saturating_duration_since(Instant::now()));
        let answer = line.get(&path).unwrap();
        assert_eq!(answer.status, 200, "{path}: {}", answer.text());
        note(times, what, due.elapsed());
        note(times, "PLAIN PAGE", due.elapsed());
        due += PAGE_EVERY;
    }
}

/// A backup every minute, in turns by the app and by the command.
pub(crate) fn backups(
    years: &Years,
    server: &Server,
    times: &Times,
    (first, end): (Instant, Instant),
) {
    // A short run has one too.
    let mut due = first + FIRST_BACKUP.min(end.saturating_duration_since(first) / 3);
    for n in 0.. {
        if due >= end {
            return;
        }
        thread::sleep(due.saturating_duration_since(Instant::now()));
        let asked = Instant::now();
        if n % 2 == 0 {
            // The app ends a line that said nothing for so long, and a browser begins another.
            let answer = Line::new(&server.address, years.office()).get("/shop/backup").unwrap();
            assert_eq!(answer.status, 200, "{}", answer.text());
            note(times, "backup by the app", asked.elapsed());
        } else {
            let to = years.file.with_file_name(format!("backup-{n}.db"));
            let made = program()
                .arg("backup")
                .args([&years.file, &to])
                .stdout(Stdio::null())
                .status()
                .unwrap();
            assert!(made.success(), "no backup was made");
            note(times, "backup by the command", asked.elapsed());
            std::fs::remove_file(&to).unwrap();
        }
        due += BACKUP_EVERY;
    }
}
