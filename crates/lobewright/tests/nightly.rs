//! The running app makes the night's backup by itself; the command makes one beside it.

#![expect(clippy::unwrap_used, reason = "in tests a panic is the report")]

use lobewright::ops::backups::{Rule, USUAL_KEEP, set_rule, state};
use lobewright::ops::import;
use records::{Moment, Shop};
use std::fs;
use std::io::{BufRead, BufReader};
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::thread::sleep;
use std::time::{Duration, Instant};

const BOAT: &str = include_str!("../../../examples/sprint-boat.toml");
/// A machine under load makes one within this.
const PATIENCE: Duration = Duration::from_secs(60);

/// Ends the process that it holds, whatever becomes of the test.
struct Running(Child);

impl Drop for Running {
    fn drop(&mut self) {
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

fn now() -> Moment {
    Moment::new("2026-11-28T09:30:00Z").unwrap()
}

fn names(folder: &Path) -> Vec<String> {
    let entries = fs::read_dir(folder).unwrap();
    let mut names: Vec<_> =
        entries.map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
    names.sort();
    names
}

fn shop(file: &Path) -> Shop {
    let shop = Shop::create(file).unwrap();
    import(&shop, BOAT, None, ("Ada Quill", &now())).unwrap();
    shop
}

#[test]
fn the_app_makes_the_nights_backup_by_itself() {
    let (folder, into) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
    let file = folder.path().join("shop.db");
    let made = shop(&file);
    let rule =
        Rule { folder: Some(into.path().to_owned()), hour: 2, keep: USUAL_KEEP, oldest_days: 2 };
    set_rule(&made, &rule).unwrap();
    let mut app = Command::new(env!("CARGO_BIN_EXE_lobewright"))
        .args(["serve", file.to_str().unwrap(), "--port", "0"])
        .stdout(Stdio::piped())
        .spawn()
        .map(Running)
        .unwrap();
    let mut line = String::new();
    BufReader::new(app.0.stdout.take().unwrap()).read_line(&mut line).unwrap();
    assert!(line.contains("http://"), "{line}");
    let until = Instant::now() + PATIENCE;
    let last = loop {
        if let Some(last) = state(&made, &now()).unwrap().last {
            break last;
        }
        assert!(Instant::now() < until, "no backup: {:?}", names(into.path()));
        sleep(Duration::from_millis(50));
    };
    let names = names(into.path());
    assert_eq!(names.len(), 1, "{names:?}");
    assert!(last.file.ends_with(&names[0]));
    let copy = Shop::open(&into.path().join(&names[0]), &now()).unwrap();
    assert_eq!(copy.audit().unwrap().readings, last.readings);
}

#[test]
fn the_command_makes_one_and_tries_it() {
    let folder = tempfile::tempdir().unwrap();
    drop(shop(&folder.path().join("shop.db")));
    let run = |words: &[&str]| {
        let run = Command::new(env!("CARGO_BIN_EXE_lobewright"))
            .args(words)
            .current_dir(folder.path())
            .output()
            .unwrap();
        let said = |bytes| String::from_utf8(bytes).unwrap();
        (run.status.code().unwrap(), said(run.stdout), said(run.stderr))
    };
    let (code, _, error) = run(&["backup", "shop.db", "--into", "backups"]);
    let gone = "lobewright: backups: there is no such folder; make it, or choose another\n";
    assert_eq!((code, error.as_str()), (2, gone));
    fs::create_dir(folder.path().join("backups")).unwrap();
    let (code, said, error) = run(&["backup", "shop.db", "--into", "backups", "--keep", "2 days"]);
    assert_eq!((code, error.as_str()), (0, ""), "{said}");
    let names = names(&folder.path().join("backups"));
    assert_eq!(names.len(), 1);
    let expected = format!(
        "backups/{}: a copy of shop.db\n  restored on trial: every page, reference and record \
         fits\n  readings 35, values 134, sign-offs 0; nothing is signed yet\n",
        names[0]
    );
    assert_eq!(said, expected);
    let (code, said, _) = run(&["audit", &format!("backups/{}", names[0])]);
    assert_eq!(code, 0, "{said}");
    let (code, _, error) = run(&["backup", "shop.db", "--into", "backups", "--keep", "for ever"]);
    assert_eq!(code, 2);
    assert!(error.contains("how long backups stay"), "{error}");
    let (code, _, error) = run(&["backup", "shop.db"]);
    assert_eq!(code, 2);
    assert!(error.contains("<TO>"), "{error}");
}
