//! Cards of a file and of the shop, asked from outside.

use super::*;
use crate::build_file::{amend, read};
use crate::ops::sheet::{Fitting, Offered, Sheet, Taken, fit, sheet, take};
use crate::ops::{export, import};
use kernel::units::{Length, Quantity};
use records::{BuildId, GearFace, Moment, PersonId, Shop, When};

const WORN: &str = include_str!("../../../../../examples/petrel-worn.toml");

fn of(text: &str) -> ConditionReport {
    condition(&read(text).unwrap(), System::Metric)
}

fn card<'r>(report: &'r ConditionReport, serial: &str) -> &'r CardReport {
    report.cards.iter().find(|card| card.serial == serial).unwrap()
}

/// What decides each part that cannot be used as it is.
fn found(report: &ConditionReport) -> Vec<(&str, &str, Fate)> {
    let mut all = Vec::new();
    for card in &report.cards {
        for item in &card.items {
            if let ItemSaid::Decided(fate) = item.said
                && fate != Fate::Use
            {
                all.push((card.serial.as_str(), item.item.key, fate));
            }
        }
    }
    all
}

#[test]
fn the_eight_faults_are_found_and_no_good_part_is_rejected() {
    let report = of(WORN);
    assert_eq!(
        found(&report),
        [
            ("PH-2", "plating_seen", Fate::Reject),
            ("PS-2", "land_wear", Fate::Rework),
            ("PS-3", "flatness", Fate::Reject),
            ("PR-1", "crack_test", Fate::Reject),
            ("PR-2", "apex_groove_bell", Fate::Rework),
            ("PE-1", "runout", Fate::Rework),
            ("PG-2", "press", Fate::Reject),
            ("PSS-1", "apex_load", Fate::Rework),
        ]
    );
    for serial in ["PH-1", "PS-1", "PG-1", "PB-1", "PB-2"] {
        assert_eq!(card(&report, serial).verdict, CardVerdict::Decided(Fate::Use), "{serial}");
    }
    let order: Vec<_> = report.order().collect();
    assert!(order.contains(&("PR-2", "apex seals, 0.2 mm oversize")), "{order:?}");
    assert!(order.contains(&("PR-1", "another rotor")), "{order:?}");
    assert_eq!(order.len(), 6);
    let bell = card(&report, "PR-2").items.iter().find(|item| item.item.key == "apex_groove_bell");
    assert!(bell.unwrap().note.starts_with("40 \u{b5}m (1.6 thou) at tip 2: grind"), "{bell:?}");
}

#[test]
fn nothing_is_decided_by_a_limit_that_nobody_gave() {
    // The same parts in a shop that says nothing of them.
    let (head, rest) = WORN.split_once("# What used parts").unwrap();
    let (_, read_on_them) = rest.split_once("# What was found").unwrap();
    let report = of(&format!("{head}# What was found{read_on_them}"));
    assert!(report.cards.iter().all(|card| card.verdict == CardVerdict::NoLimits));
    assert_eq!((found(&report), report.order().count()), (Vec::new(), 0));
    assert!(card(&report, "PR-1").items.iter().all(|item| item.limit == "not given"));
}

#[test]
fn what_is_not_read_is_to_be_read_and_a_fault_stands_whatever_else_is_missing() {
    let without = |lines: &[&str]| {
        let left = WORN.lines().filter(|line| !lines.iter().any(|start| line.starts_with(start)));
        of(&left.collect::<Vec<_>>().join("\n"))
    };
    let report = without(&["\"plating_seen.1\"", "\"plating.4\""]);
    assert_eq!(card(&report, "PH-1").verdict, CardVerdict::ToRead(2));
    assert_eq!(card(&report, "PH-2").verdict, CardVerdict::Decided(Fate::Reject));
    // The outer faces of the side housings at both ends are not asked for.
    assert_eq!(card(&report, "PS-1").verdict, CardVerdict::Decided(Fate::Use));
    let report = without(&["\"flatness.rear\""]);
    assert_eq!(card(&report, "PS-1").verdict, CardVerdict::ToRead(1));
    assert!(matches!(card(&report, "PS-2").verdict, CardVerdict::ToRead(1)));
}

#[test]
fn too_near_to_a_limit_is_not_proven() {
    let near = amend(WORN, "inspected.shaft.PE-1.read.runout.value", "21 um").unwrap();
    let report = of(&near);
    let shaft = card(&report, "PE-1");
    assert_eq!(shaft.verdict, CardVerdict::Decided(Fate::NotProven));
    assert!(shaft.items[0].note.contains("read it with a finer one"), "{:?}", shaft.items[0]);
    assert!(shaft.order.is_empty() && shaft.rework.is_empty());
}

/// The worn engine in a shop of its own.
fn brought() -> (tempfile::TempDir, Shop, BuildId, PersonId) {
    let folder = tempfile::tempdir().unwrap();
    let shop = Shop::create(&folder.path().join("shop.db")).unwrap();
    let build = import(&shop, WORN, None, ("Ada", &now())).unwrap().build;
    let person = shop.people().unwrap()[0].id;
    (folder, shop, build, person)
}

fn now() -> Moment {
    Moment::new("2026-11-28T09:30:00Z").unwrap()
}

fn gathered(shop: &Shop, build: BuildId) -> Sheet {
    sheet(shop, build, &now().day(), System::Metric).unwrap()
}

/// Another rotor in the place of one.
fn exchanged(shop: &Shop, build: BuildId, by: PersonId, (old, new): (&str, &str)) {
    let sheet = gathered(shop, build);
    let there = sheet.parts.iter().find(|part| part.fitted.serial == old).unwrap();
    let fitting = Fitting {
        build,
        kind: PartKind::Rotor,
        serial: new,
        gear_face: Some(GearFace::Rear),
        clamp_up: None,
        instead: Some(there.fitted.id),
    };
    fit(shop, &fitting, (by, &now()), System::Metric).unwrap();
}

#[test]
fn cards_are_judged_before_there_is_anything_to_plan_from() {
    let (_folder, shop, build, person) = brought();
    exchanged(&shop, build, person, ("PR-2", "PR-9"));
    let sheet = gathered(&shop, build);
    assert!(sheet.file.build.is_err(), "a rotor without a reading cannot be planned");
    let report = sheet.condition();
    assert_eq!(card(&report, "PH-2").verdict, CardVerdict::Decided(Fate::Reject));
    assert_eq!(card(&report, "PR-1").verdict, CardVerdict::Decided(Fate::Reject));
    assert!(matches!(card(&report, "PR-9").verdict, CardVerdict::ToRead(_)), "{report:?}");
    assert!(report.cards.iter().all(|card| card.serial != "PR-2"));
}

#[test]
fn a_card_goes_with_its_part_and_comes_back_with_it() {
    let (_folder, shop, build, person) = brought();
    let values = |shop: &Shop| -> Vec<(String, String)> {
        let of_card = |place: &str| place.starts_with("inspected.rotor.PR-2.read.");
        let lines = shop.values(build).unwrap().into_iter();
        let lines = lines.filter(|line| of_card(&line.place) && line.place.ends_with(".value"));
        let mut all: Vec<_> = lines.map(|line| (line.place, line.value)).collect();
        all.sort();
        all
    };
    let before = values(&shop);
    assert_eq!(before.len(), 9 + 6 + 6 + 2 + 1 + 1);
    exchanged(&shop, build, person, ("PR-2", "PR-9"));
    assert!(values(&shop).is_empty());
    exchanged(&shop, build, person, ("PR-9", "PR-2"));
    assert_eq!(values(&shop), before);
    read(&export(&shop, build).unwrap()).unwrap();
    shop.audit().unwrap();
}

/// A shaft that only has a card is in the engine all the same.
#[test]
fn what_is_read_at_assembly_on_a_part_with_a_card_is_in_the_file() {
    let (_folder, shop, build, person) = brought();
    let at = now();
    let shaft = shop.part_of(PartKind::Shaft, "PE-1").unwrap().unwrap().id;
    let offered = Offered {
        build,
        revision: 1,
        part: shaft,
        when: When::After,
        station: "end_play",
        text: "61",
        unit: "um",
        gauge: None,
        temperature: "",
        expected: None,
        sent_as: None,
        sure: false,
        person,
        at: &at,
    };
    let taken = take(&shop, &offered, System::Metric).unwrap();
    assert!(matches!(taken, Taken::Kept { .. }), "{taken:?}");
    let file = read(&export(&shop, build).unwrap()).unwrap();
    let shaft = file.assembled.shaft.unwrap();
    assert_eq!((shaft.serial.as_str(), shaft.end_play), ("PE-1", Length::parse("61 um").ok()));
    shop.audit().unwrap();
}

#[test]
fn the_shops_file_says_the_same_and_gives_the_file_back() {
    let (_folder, shop, build, _) = brought();
    let sheet = gathered(&shop, build);
    let (ours, of_file) = (sheet.condition(), of(WORN));
    let verdicts = |report: &ConditionReport| -> Vec<(String, CardVerdict)> {
        report.cards.iter().map(|card| (card.serial.clone(), card.verdict)).collect()
    };
    assert_eq!(verdicts(&ours), verdicts(&of_file));
    assert_eq!(found(&ours), found(&of_file));
    let back = export(&shop, BuildId(1)).unwrap();
    assert!(read(&back).unwrap() == read(WORN).unwrap());
    shop.audit().unwrap();
}
