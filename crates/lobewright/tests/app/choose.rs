//! A choice from the shelf, on its pages: which builds, what is chosen, and the button that puts the
//! parts in.

use crate::bench::{Bench, begun, between};
use axum::http::StatusCode;
use records::{BuildId, FittedId, PartKind, PartSearch};
use tempfile::TempDir;

const BOAT: &str = include_str!("../../../../examples/sprint-boat.toml");

fn take_out(bench: &mut Bench, build: i64, serials: &[&str]) {
    let fitted: Vec<FittedId> = bench
        .shop()
        .fitted(BuildId(build))
        .unwrap()
        .iter()
        .filter(|part| serials.contains(&part.serial.as_str()))
        .map(|part| part.id)
        .collect();
    assert_eq!(fitted.len(), serials.len());
    for part in fitted {
        bench.must(&format!("/builds/{build}/parts/{part}/out"), &[]);
    }
}

/// Two boats of one engine: the first lacks a rotor and a housing, the second lacks all; what they
/// had lies on the shelf.
fn two_boats() -> (TempDir, Bench) {
    let (folder, mut bench) = begun();
    let names = [("boat 7", "boat 8"), ("R-114", "R-314"), ("R-97", "R-297"), ("H-3", "H-23")];
    let other = names.iter().fold(BOAT.to_owned(), |text, (old, new)| text.replace(old, new));
    for (text, at) in [(BOAT, "/builds/1"), (&other, "/builds/2")] {
        assert_eq!(bench.must("/builds/bring", &[("text", text)]), at);
    }
    take_out(&mut bench, 1, &["R-97", "H-32"]);
    take_out(&mut bench, 2, &["R-314", "R-297", "H-231", "H-232"]);
    (folder, bench)
}

/// What the button of a page sends.
fn fits(page: &str) -> Vec<String> {
    let form = between(page, "<form method=\"post\" action=\"/shelf/choose\">", "</form>");
    form.split("name=\"fit\" value=\"")
        .skip(1)
        .map(|rest| rest.split('"').next().unwrap().to_owned())
        .collect()
}

fn serials(bench: &Bench, build: i64, kind: PartKind) -> Vec<String> {
    let fitted = bench.shop().fitted(BuildId(build)).unwrap();
    let mut here: Vec<_> =
        fitted.iter().filter(|part| part.kind == kind && part.out.is_none()).collect();
    here.sort_by_key(|part| part.position);
    here.into_iter().map(|part| part.serial.clone()).collect()
}

fn on_shelf(bench: &Bench) -> usize {
    let search = PartSearch { serial: "", kind: None, on_shelf: true, most: 100, last_readings: 0 };
    bench.shop().parts(&search).unwrap().len()
}

#[test]
fn builds_that_wait_are_offered_with_what_they_lack() {
    let (_folder, mut bench) = two_boats();
    let page = bench.page("/shelf/choose");
    let first = between(&page, "Merganser, boat 7", "</label>");
    assert!(first.contains("lacks 1 rotor and 1 rotor housing"), "{first}");
    let second = between(&page, "Merganser, boat 8", "</label>");
    assert!(second.contains("lacks 2 rotors and 2 rotor housings"), "{second}");
    assert!(!page.contains("action=\"/shelf/choose\"><input"), "nothing to put in yet");
    for (at, way) in [("/shelf", "/shelf/choose"), ("/builds/1", "/shelf/choose?build=1")] {
        assert!(bench.page(at).contains(&format!("href=\"{way}\"")), "{at}");
    }
    // A build that lacks nothing offers nothing.
    let (_folder, mut whole) = begun();
    whole.must("/builds/bring", &[("text", BOAT)]);
    assert!(!whole.page("/builds/1").contains("/shelf/choose"));
    assert!(whole.page("/shelf/choose").contains("No open build lacks a rotor or a housing."));
}

#[test]
fn what_is_chosen_goes_in_by_the_button_alone() {
    let (_folder, mut bench) = two_boats();
    assert_eq!(on_shelf(&bench), 6);
    let page = bench.page("/shelf/choose?build=1");
    assert!(page.contains("No other choice costs less: proven."), "{page}");
    assert!(page.contains("Runner-up, ") && page.contains("Rotors left over"), "{page}");
    assert!(page.contains("planned, cut, measured and signed like any other"), "{page}");
    // The rotor that is in stays in its place.
    let set = between(&page, "<tbody>", "</tbody>");
    assert_eq!(set.matches("in already").count(), 2, "{set}");
    assert!(set.contains("R-114") && set.contains("H-31"), "{set}");
    let fits = fits(&page);
    assert_eq!(fits.len(), 2);
    // Looked at, and nothing is in.
    assert_eq!(on_shelf(&bench), 6);
    assert_eq!(serials(&bench, 1, PartKind::Rotor), ["R-114"]);
    let fields: Vec<(&str, &str)> = fits.iter().map(|fit| ("fit", fit.as_str())).collect();
    assert_eq!(bench.must("/shelf/choose", &fields), "/builds/1#teardown");
    assert_eq!(on_shelf(&bench), 4);
    let [rotors, housings] =
        [PartKind::Rotor, PartKind::RotorHousing].map(|kind| serials(&bench, 1, kind));
    assert_eq!((rotors.len(), housings.len()), (2, 2));
    assert!(set.contains(&rotors[1]) && set.contains(&housings[1]), "{rotors:?} {housings:?}");
    // They are read again there, like any part.
    let sheet = bench.page("/builds/1");
    assert!(sheet.contains(&format!("Take readings of {}", rotors[1])), "{sheet}");
    // Sent once more: they are in an engine already, and it is said.
    let again = bench.send("/shelf/choose", &fields);
    assert_eq!(again.status, StatusCode::CONFLICT);
    assert!(again.text().contains("is not put in: "), "{}", again.text());
    let nothing = bench.send("/shelf/choose", &[("fit", "1 2 sideways")]);
    assert_eq!(nothing.status, StatusCode::UNPROCESSABLE_ENTITY);
}

#[test]
fn several_builds_are_chosen_for_at_once() {
    let (_folder, mut bench) = two_boats();
    let page = bench.page("/shelf/choose?build=1&build=2");
    let fits = fits(&page);
    assert_eq!(fits.len(), 6, "{page}");
    let parts: std::collections::BTreeSet<&str> =
        fits.iter().map(|fit| fit.split(' ').nth(1).unwrap()).collect();
    assert_eq!(parts.len(), 6, "a part is in two builds");
    let fields: Vec<(&str, &str)> = fits.iter().map(|fit| ("fit", fit.as_str())).collect();
    assert_eq!(bench.must("/shelf/choose", &fields), "/builds?which=open");
    assert_eq!(on_shelf(&bench), 0);
    for build in [1, 2] {
        assert_eq!(serials(&bench, build, PartKind::Rotor).len(), 2);
        assert_eq!(serials(&bench, build, PartKind::RotorHousing).len(), 2);
    }
}

#[test]
fn what_cannot_be_chosen_for_says_why() {
    let (_folder, mut bench) = two_boats();
    for (query, status, why) in [
        ("build=one", StatusCode::UNPROCESSABLE_ENTITY, "named by its number"),
        ("build=99", StatusCode::NOT_FOUND, "99"),
        ("build=1&build=1", StatusCode::UNPROCESSABLE_ENTITY, "named twice"),
    ] {
        let answer = bench.get(&format!("/shelf/choose?{query}"));
        assert_eq!(answer.status, status, "{query}");
        assert!(answer.text().contains(why), "{query}: {}", answer.text());
    }
    let many: Vec<String> = (1..30).map(|n| format!("build={n}")).collect();
    let answer = bench.get(&format!("/shelf/choose?{}", many.join("&")));
    assert!(answer.text().contains("too many for one choice"), "{}", answer.text());
    // Whoever may not put parts in sees the choice and no button.
    let shop = bench.shop();
    let ben = shop.add_person("Ben Tarn", "machinist").unwrap();
    let kept = shop.password(shop.people().unwrap()[0].id).unwrap();
    shop.set_password(ben, kept.as_deref()).unwrap();
    let mut other = Bench { app: std::sync::Arc::clone(&bench.app), cookie: None };
    other.must("/in", &[("name", "Ben Tarn"), ("password", crate::bench::PASSWORD)]);
    let page = other.page("/shelf/choose?build=1");
    assert!(page.contains("Chosen from the shelf") && !page.contains("name=\"fit\""), "{page}");
    assert!(page.contains("Parts are put into a build by a builder or the owner."), "{page}");
}
