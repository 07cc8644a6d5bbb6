//! A full disk: a page says so, and nothing that was acknowledged is lost.

use crate::bench::{begun, sprint_boat};
use axum::http::StatusCode;
use records::{BuildId, PartKind, When};

#[test]
fn a_full_disk_has_a_page_and_loses_nothing() {
    let (_folder, mut bench) = begun();
    sprint_boat(&mut bench);
    bench.shop().limit_pages(1).unwrap();
    let part = bench.shop().part_of(PartKind::Rotor, "R-114").unwrap().unwrap().id;
    let at = format!("/builds/1/readings/{part}/before");
    let mut acknowledged = Vec::new();
    let full = loop {
        let last = bench.shop().readings_at(part, Some(BuildId(1)), When::Before, "mass").unwrap();
        let last = last.last().unwrap().id.to_string();
        let value = format!("431{}.{} g", acknowledged.len() % 10, acknowledged.len() / 10);
        let fields = [
            ("revision", "1"),
            ("station", "mass"),
            ("value", value.as_str()),
            ("expected", last.as_str()),
        ];
        let answer = bench.send(&at, &fields);
        if answer.status != StatusCode::SEE_OTHER {
            break answer;
        }
        acknowledged.push(value);
        assert!(acknowledged.len() < 2000, "the disk is never full");
    };
    assert_eq!(full.status, StatusCode::INSUFFICIENT_STORAGE, "{}", full.text());
    assert!(full.text().contains("The disk is full") && full.text().contains("make room"));
    assert!(bench.page("/builds/1").contains("Merganser"));
    let kept: Vec<String> = bench
        .shop()
        .readings_at(part, Some(BuildId(1)), When::Before, "mass")
        .unwrap()
        .iter()
        .map(|reading| reading.value.text().to_owned())
        .collect();
    assert_eq!(kept[1..], acknowledged[..]);
    bench.shop().check().unwrap();
    bench.shop().audit().unwrap();
}
