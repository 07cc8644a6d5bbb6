use super::*;
use crate::ops::import;
use records::{BuildId, BuildSearch};
use tempfile::TempDir;

const BOAT: &str = include_str!("../../../../../examples/sprint-boat.toml");

fn at(text: &str) -> Moment {
    Moment::new(text).unwrap()
}

fn shop() -> (TempDir, Shop) {
    let folder = tempfile::tempdir().unwrap();
    let shop = Shop::create(&folder.path().join("shop.db")).unwrap();
    import(&shop, BOAT, None, ("Ada Quill", &at("2026-11-01T08:00:00Z"))).unwrap();
    shop.set_setting("begun", "2026-11-01T08:00:00Z").unwrap();
    (folder, shop)
}

fn names(folder: &Path) -> Vec<String> {
    let mut names: Vec<_> = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    names
}

#[test]
fn a_backup_is_tried_and_written_down() {
    let (_folder, shop) = shop();
    let into = tempfile::tempdir().unwrap();
    let now = at("2026-11-03T02:00:00Z");
    let made = back_up(&shop, into.path(), USUAL_KEEP, &now).unwrap();
    assert_eq!(names(into.path()), ["shop-20261103T020000Z.backup.db"]);
    assert_eq!(made.audited, shop.audit().unwrap());
    let State { last, trouble, overdue } = state(&shop, &now).unwrap();
    let last = last.unwrap();
    assert_eq!((last.at, last.size), (now.clone(), made.size));
    assert_eq!(last.readings, made.audited.readings);
    assert_eq!((trouble, overdue), (None, None));
    let copy = Shop::open(&made.file, &now).unwrap();
    assert_eq!(copy.counts().unwrap(), {
        let mut counts = shop.counts().unwrap();
        // It was written down after it was made.
        counts.iter_mut().filter(|(table, _)| table == "setting").for_each(|(_, n)| *n -= 2);
        counts
    });
    // Twice in a second: nothing is written over.
    let error = back_up(&shop, into.path(), USUAL_KEEP, &now).unwrap_err();
    assert!(error.to_string().contains("is there already"), "{error}");
}

#[test]
fn only_files_that_it_made_itself_are_taken_away() {
    let (_folder, shop) = shop();
    let into = tempfile::tempdir().unwrap();
    let strangers = [
        "shop-20200101T020000Z.backup.db.txt",
        "other-20200101T020000Z.backup.db",
        "shop-20201301T020000Z.backup.db",
        "shop-2020.backup.db",
        "a-shop-20200101T020000Z.backup.db",
        "photo.png",
    ];
    for name in strangers {
        fs::write(into.path().join(name), "theirs").unwrap();
    }
    fs::create_dir(into.path().join("shop-20200101T020000Z.backup.db")).unwrap();
    fs::write(into.path().join("shop-20261101T020000Z.trial.db"), "left by a kill").unwrap();
    let keep = "2 days".parse().unwrap();
    for day in 1..=5 {
        back_up(&shop, into.path(), keep, &at(&format!("2026-11-0{day}T02:00:00Z"))).unwrap();
    }
    let mut expected: Vec<String> = strangers.map(str::to_owned).into();
    expected.extend(
        [
            "shop-20200101T020000Z.backup.db",
            "shop-20261104T020000Z.backup.db",
            "shop-20261105T020000Z.backup.db",
        ]
        .map(str::to_owned),
    );
    expected.sort();
    assert_eq!(names(into.path()), expected);
}

#[test]
fn a_copy_that_does_not_pass_takes_nothing_away_and_is_told() {
    let (folder, shop) = shop();
    let into = tempfile::tempdir().unwrap();
    let keep = "1 days".parse().unwrap();
    back_up(&shop, into.path(), keep, &at("2026-11-02T02:00:00Z")).unwrap();
    let rule = Rule { folder: Some(into.path().to_owned()), hour: 2, keep, oldest_days: 3 };
    set_rule(&shop, &rule).unwrap();
    // A reading is changed behind the program's back: the copy does not pass its audit.
    let file = folder.path().join("shop.db");
    drop(shop);
    let mut bytes = fs::read(&file).unwrap();
    let places: Vec<usize> = bytes
        .windows(9)
        .enumerate()
        .filter(|(_, window)| *window == b"79.922 mm")
        .map(|(at, _)| at)
        .collect();
    for place in places {
        bytes[place + 5] = b'8';
    }
    fs::write(&file, bytes).unwrap();
    let shop = Shop::open(&file, &at("2026-11-03T02:00:00Z")).unwrap();
    for day in 3..=5 {
        let now = at(&format!("2026-11-0{day}T02:10:00Z"));
        let error = nightly(&shop, &now).unwrap_err();
        assert!(error.to_string().contains("did not pass its trial"), "{error}");
        // Not again in the same hour, but in the next one.
        assert!(!due(&shop, &at(&format!("2026-11-0{day}T02:50:00Z"))).unwrap());
        assert!(due(&shop, &at(&format!("2026-11-0{day}T03:10:00Z"))).unwrap());
    }
    assert_eq!(
        names(into.path()),
        ["shop-20261102T020000Z.backup.db", "shop-20261105T021000Z.failed.db"]
    );
    let State { last, trouble, overdue } = state(&shop, &at("2026-11-05T03:00:00Z")).unwrap();
    assert_eq!(last.unwrap().at, at("2026-11-02T02:00:00Z"));
    assert!(trouble.unwrap().1.contains("does not pass its audit"));
    assert_eq!(overdue.as_deref(), Some("The last good backup is 3 days old."));
}

#[test]
fn the_app_makes_one_each_night() {
    let (_folder, shop) = shop();
    let into = tempfile::tempdir().unwrap();
    assert!(!due(&shop, &at("2026-11-03T02:00:00Z")).unwrap());
    assert_eq!(nightly(&shop, &at("2026-11-03T02:00:00Z")).unwrap(), None);
    let overdue = |now: &str| state(&shop, &at(now)).unwrap().overdue;
    assert_eq!(overdue("2026-11-08T07:59:59Z"), None);
    assert_eq!(
        overdue("2026-11-08T08:00:00Z").as_deref(),
        Some("There is no backup that was tried, after 7 days.")
    );
    let rule =
        Rule { folder: Some(into.path().to_owned()), hour: 2, keep: USUAL_KEEP, oldest_days: 1 };
    set_rule(&shop, &rule).unwrap();
    assert_eq!(super::rule(&shop).unwrap(), rule);
    let mut made = Vec::new();
    for (day, hours) in [
        ("2026-11-03", ["01:59:00", "02:00:00"]),
        ("2026-11-04", ["01:00:00", "09:00:00"]),
        ("2026-11-05", ["01:00:00", "02:30:00"]),
    ] {
        for hour in hours {
            let now = at(&format!("{day}T{hour}Z"));
            if let Some(backup) = nightly(&shop, &now).unwrap() {
                made.push(backup.file.file_name().unwrap().to_str().unwrap().to_owned());
            }
            assert!(!due(&shop, &now).unwrap());
        }
    }
    // A machine that was off at the hour makes it when it is on again.
    assert_eq!(
        made,
        [
            "shop-20261103T015900Z.backup.db",
            "shop-20261103T020000Z.backup.db",
            "shop-20261104T090000Z.backup.db",
            "shop-20261105T023000Z.backup.db"
        ]
    );
}

#[test]
fn a_rule_that_cannot_be_changes_nothing() {
    let (folder, shop) = shop();
    let into = tempfile::tempdir().unwrap();
    let good =
        Rule { folder: Some(into.path().to_owned()), hour: 3, keep: USUAL_KEEP, oldest_days: 2 };
    set_rule(&shop, &good).unwrap();
    let wrong = |change: &dyn Fn(&mut Rule)| {
        let mut rule = good.clone();
        change(&mut rule);
        let error = set_rule(&shop, &rule).unwrap_err().to_string();
        assert_eq!(super::rule(&shop).unwrap(), good);
        error
    };
    let gone = into.path().join("gone");
    assert!(wrong(&|rule| rule.folder = Some(gone.clone())).contains("there is no such folder"));
    let file = folder.path().join("shop.db");
    assert!(wrong(&|rule| rule.folder = Some(file.clone())).contains("it is no folder"));
    assert!(wrong(&|rule| rule.folder = Some("backups".into())).contains("no whole path"));
    assert!(wrong(&|rule| rule.hour = 24).contains("from 0 to 23"));
    assert!(wrong(&|rule| rule.oldest_days = 0).contains("from 1 to 366"));
    set_rule(&shop, &Rule { folder: None, ..good.clone() }).unwrap();
    assert!(!due(&shop, &at("2026-12-03T02:00:00Z")).unwrap());
}

#[test]
fn benches_go_on_while_a_backup_is_made() {
    let (_folder, shop) = shop();
    let into = tempfile::tempdir().unwrap();
    let done = std::sync::atomic::AtomicBool::new(false);
    let written = std::thread::scope(|scope| {
        let writer = scope.spawn(|| {
            let mut written = 0;
            while !done.load(std::sync::atomic::Ordering::Relaxed) {
                shop.set_setting("n", &written.to_string()).unwrap();
                let all = BuildSearch { text: "", open: None, from: 0, most: 10 };
                assert_eq!(shop.builds(&all).unwrap()[0].build.id, BuildId(1));
                written += 1;
            }
            written
        });
        for n in 0..3 {
            back_up(&shop, into.path(), USUAL_KEEP, &at(&format!("2026-11-03T02:00:0{n}Z")))
                .unwrap();
        }
        done.store(true, std::sync::atomic::Ordering::Relaxed);
        writer.join().unwrap()
    });
    assert!(written > 3, "{written}");
}
