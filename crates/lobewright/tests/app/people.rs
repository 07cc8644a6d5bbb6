//! Two people on one build.

use crate::bench::{Bench, begun, sprint_boat, with_json};
use axum::http::StatusCode;
use records::{BuildId, PartKind, When};

/// A second person, signed in on another bench.
fn second(bench: &mut Bench) -> Bench {
    bench.must(
        "/people",
        &[
            ("name", "Ben Rowe"),
            ("role", "builder"),
            ("password", "warm start 9"),
            ("again", "warm start 9"),
        ],
    );
    let mut other = bench.clone();
    other.cookie = None;
    other.must("/in", &[("name", "Ben Rowe"), ("password", "warm start 9")]);
    other
}

#[test]
fn who_is_slower_sees_both_readings_and_decides() {
    let (_folder, mut ada) = begun();
    sprint_boat(&mut ada);
    let mut ben = second(&mut ada);
    let part = ada.shop().part_of(PartKind::Rotor, "R-114").unwrap().unwrap().id;
    let at = format!("/builds/1/readings/{part}/before");
    let there = |bench: &Bench, station: &str| {
        let all = bench.shop().readings_at(part, Some(BuildId(1)), When::Before, station).unwrap();
        all.last().unwrap().clone()
    };
    let first = there(&ada, "gear_step.1").id.to_string();
    let typed = |station: &str, value: &str, expected: &str| {
        [
            ("revision", "1"),
            ("station", station),
            ("value", value),
            ("unit", "um"),
            ("expected", expected),
        ]
        .map(|(a, b)| (a.to_owned(), b.to_owned()))
        .to_vec()
    };
    assert_eq!(
        with_json(&mut ada, &at, &typed("gear_step.1", "96", &first)).json()["state"],
        "kept"
    );
    let conflict = with_json(&mut ben, &at, &typed("gear_step.1", "97", &first));
    assert_eq!(conflict.status, StatusCode::CONFLICT);
    let said = conflict.json()["said"].as_str().unwrap().to_owned();
    assert!(
        said.contains("97 um") && said.contains("96 um") && said.contains("Ada Quill"),
        "{said}"
    );
    // Another station does not disturb.
    let other = there(&ben, "gear_step.2").id.to_string();
    assert_eq!(
        with_json(&mut ben, &at, &typed("gear_step.2", "89", &other)).json()["state"],
        "kept"
    );
    // Ben has looked at both and enters his over hers.
    let now = there(&ben, "gear_step.1").id.to_string();
    assert_eq!(with_json(&mut ben, &at, &typed("gear_step.1", "97", &now)).json()["state"], "kept");
    assert_eq!(there(&ada, "gear_step.1").value.text(), "97 um");
    ada.shop().audit().unwrap();
}

#[test]
fn at_the_same_moment_one_of_them_is_kept() {
    let (_folder, mut ada) = begun();
    sprint_boat(&mut ada);
    let ben = second(&mut ada);
    let part = ada.shop().part_of(PartKind::Rotor, "R-114").unwrap().unwrap().id;
    let first = ada.shop().readings_at(part, Some(BuildId(1)), When::Before, "mass").unwrap()[0].id;
    let benches = [ada.clone(), ben.clone(), ada.clone(), ben];
    let states: Vec<String> = std::thread::scope(|scope| {
        let threads: Vec<_> = benches
            .into_iter()
            .zip(1..)
            .map(|(mut bench, n)| {
                scope.spawn(move || {
                    let fields = [
                        ("revision", "1".to_owned()),
                        ("station", "mass".to_owned()),
                        ("value", format!("431{n}.5")),
                        ("unit", "g".to_owned()),
                        ("expected", first.to_string()),
                    ];
                    let fields: Vec<(String, String)> =
                        fields.into_iter().map(|(a, b)| (a.to_owned(), b)).collect();
                    let answer = with_json(
                        &mut bench,
                        &format!("/builds/1/readings/{part}/before"),
                        &fields,
                    );
                    answer.json()["state"].as_str().unwrap().to_owned()
                })
            })
            .collect();
        threads.into_iter().map(|thread| thread.join().unwrap()).collect()
    });
    assert_eq!(states.iter().filter(|state| *state == "kept").count(), 1, "{states:?}");
    assert_eq!(states.iter().filter(|state| *state == "conflict").count(), 3, "{states:?}");
    assert_eq!(
        ada.shop().readings_at(part, Some(BuildId(1)), When::Before, "mass").unwrap().len(),
        2
    );
    ada.shop().audit().unwrap();
}
