//! The shop's rule for its backups, on the page of the shop.

use crate::bench::{begun, over};
use axum::http::StatusCode;
use records::{Moment, Shop};

fn names(folder: &std::path::Path) -> Vec<String> {
    let entries = std::fs::read_dir(folder).unwrap();
    entries.map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect()
}

#[test]
fn the_owner_sets_a_rule_and_makes_a_backup_that_is_tried() {
    let (_folder, mut bench) = begun();
    let into = tempfile::tempdir().unwrap();
    let page = bench.page("/shop");
    assert!(page.contains("No backup was tried yet.") && !page.contains("Make a backup now"));
    let path = into.path().to_str().unwrap();
    let rule = |folder, hour, keep, oldest| {
        [("folder", folder), ("hour", hour), ("keep", keep), ("oldest", oldest)]
    };
    let keep = "2 days, 1 weeks, 1 months";
    let gone = into.path().join("gone");
    for (wrong, why) in [
        (rule(gone.to_str().unwrap(), "2", keep, "3"), "there is no such folder"),
        (rule("backups", "2", keep, "3"), "is no whole path"),
        (rule(path, "24", keep, "3"), "from 0 to 23"),
        (rule(path, "2", "for ever", "3"), "how long backups stay"),
        (rule(path, "2", keep, "0"), "from 1 to 366"),
        (rule(path, "2", keep, ""), "is empty"),
    ] {
        let answer = bench.send("/shop/backups", &wrong);
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
        let text = answer.text();
        assert!(text.contains(why), "{why}: {text}");
    }
    assert_eq!(bench.send("/shop/backups/now", &[]).status, StatusCode::UNPROCESSABLE_ENTITY);
    bench.must("/shop/backups", &rule(path, "2", keep, "3"));
    bench.must("/shop/backups/now", &[]);
    assert_eq!(names(into.path()), ["shop-20261128T093000Z.backup.db"]);
    let page = bench.page("/shop");
    assert!(page.contains("The last good backup is of <strong>2026-11-28T09:30:00Z"), "{page}");
    assert!(page.contains(keep) && page.contains("02:00 UTC"), "{page}");
    assert!(!bench.page("/builds").contains("good backup"));
    let now = Moment::new("2026-11-28T09:30:00Z").unwrap();
    let copy = into.path().join("shop-20261128T093000Z.backup.db");
    let copy = Shop::open(&copy, &now).unwrap();
    copy.check().unwrap();
    assert_eq!(copy.audit().unwrap(), bench.shop().audit().unwrap());
}

#[test]
fn a_shop_without_a_backup_is_told_so_where_the_work_is() {
    let (_folder, bench) = begun();
    bench.shop().set_setting("begun", "2026-11-20T09:30:00Z").unwrap();
    let file = bench.shop().file().to_owned();
    drop(bench);
    let now = Moment::new("2026-11-28T09:30:00Z").unwrap();
    let mut bench = over(Shop::open(&file, &now).unwrap());
    bench.must("/in", &[("name", crate::bench::OWNER), ("password", crate::bench::PASSWORD)]);
    let said = "There is no backup that was tried, after 8 days.";
    assert!(bench.page("/builds").contains(said));
    assert!(bench.page("/shop").contains(said));
}

#[test]
fn what_went_wrong_in_the_night_is_shown() {
    let (folder, mut bench) = begun();
    let into = tempfile::tempdir().unwrap();
    let rule = [
        ("folder", into.path().to_str().unwrap()),
        ("hour", "2"),
        ("keep", "7 days"),
        ("oldest", "3"),
    ];
    bench.must("/shop/backups", &rule);
    // The disk with the backups is away.
    into.close().unwrap();
    let now = Moment::new("2026-11-29T02:00:00Z").unwrap();
    let error = lobewright::ops::backups::nightly(bench.shop(), &now).unwrap_err();
    assert!(error.to_string().contains("there is no such folder"), "{error}");
    let page = bench.page("/shop");
    assert!(page.contains("The attempt of 2026-11-29T02:00:00Z failed"), "{page}");
    let answer = bench.send("/shop/backups/now", &[]);
    assert!(answer.text().contains("there is no such folder"), "{}", answer.text());
    drop(folder);
}
