//! Cards of used parts as an inspector fills them in at the bench, part by part and word by word.

use crate::bench::{Bench, begun, with_json};
use axum::http::StatusCode;
use axum::http::header::CONTENT_TYPE;
use kernel::condition::Part;
use kernel::units::{Force, Length, Quantity};
use lobewright::build_file::model::condition::FoundValue;
use lobewright::build_file::read;
use lobewright::ops::part_of_card;
use records::{AttachedTo, BuildId, PartId, When};

const WORN: &str = include_str!("../../../../examples/petrel-worn.toml");

/// The worn engine as it came in: every part is there, and nothing was looked at.
fn came_in() -> String {
    let (mut text, mut skips) = (String::new(), false);
    for line in WORN.lines() {
        if line.starts_with('[') {
            skips = line.starts_with("[inspected.");
        }
        if !skips {
            text.push_str(line);
            text.push('\n');
        }
    }
    text
}

fn part(bench: &Bench, part: Part, serial: &str) -> i64 {
    bench.shop().part_of(part_of_card(part), serial).unwrap().unwrap().id.0
}

fn written(value: FoundValue) -> (&'static str, String) {
    match value {
        FoundValue::Length(length) => ("value", format!("{} mm", length.to_mm())),
        FoundValue::Load(force) => ("value", format!("{} N", force.to_n())),
        FoundValue::Seen(word) => ("seen", word.to_owned()),
    }
}

fn typed(station: &str, field: &str, value: &str) -> Vec<(String, String)> {
    let fields = [("revision", "1"), ("station", station), ("expected", ""), (field, value)];
    fields.iter().map(|(a, b)| ((*a).to_owned(), (*b).to_owned())).collect()
}

/// What stands in the row of a part in the table of used parts.
fn row(page: &str, part: &str) -> String {
    let (_, table) = page.split_once("id=\"cards\"").unwrap();
    let (_, rest) = table.split_once(&format!("{part}</th>")).unwrap_or_else(|| panic!("{part}"));
    rest.split_once("</tr>").unwrap().0.to_owned()
}

#[test]
fn an_inspector_finds_the_eight_faults_and_rejects_no_good_part() {
    let (_folder, mut bench) = begun();
    assert_eq!(bench.must("/builds/bring", &[("text", &came_in())]), "/builds/1");
    let page = bench.page("/builds/1");
    assert!(row(&page, "Rotor housing PH-1").contains("readings to take"), "{page}");
    // Side housings were read for the plan before: what wore is judged at once.
    let file = read(WORN).unwrap();
    for card in &file.inspected {
        let at = format!("/builds/1/readings/{}/card", part(&bench, card.part, &card.serial));
        for (station, found) in &card.read {
            let (field, value) = written(found.value);
            let kept = with_json(&mut bench, &at, &typed(station, field, &value));
            let kept = kept.json();
            assert_eq!(kept["state"], "kept", "{station}: {kept}");
            // What it means is said at the bench at once.
            let (said, list) = (kept["said"].as_str().unwrap(), kept["list"].as_str().unwrap());
            if value == "flaking" || station == "crack_test" && value == "found" {
                assert!(said.contains("<strong>reject</strong>"), "{said}");
                assert!(list.contains("<strong>reject</strong>"), "{list}");
            } else if value == "sound" {
                assert!(said.contains("<strong>use</strong>"), "{said}");
            }
        }
    }
    let page = bench.page("/builds/1");
    for (part, verdict, why) in [
        ("Rotor housing PH-1", "use", ""),
        ("Rotor housing PH-2", "reject", "flaking at place 6"),
        ("Side housing PS-1", "use", ""),
        ("Side housing PS-2", "rework", "grind the running face"),
        ("Side housing PS-3", "reject", "Flatness"),
        ("Rotor PR-1", "reject", "Crack test"),
        ("Rotor PR-2", "rework", "at tip 2: grind the grooves"),
        ("Eccentric shaft PE-1", "rework", "straighten cold"),
        ("Stationary gear PG-1", "use", ""),
        ("Stationary gear PG-2", "reject", "Press of the main bearing"),
        ("Rotor bearing PB-1", "use", ""),
        ("Rotor bearing PB-2", "use", ""),
        ("Set of seals PSS-1", "rework", "fit new apex springs"),
    ] {
        let row = row(&page, part);
        // No gauge is named: what one of 5 um cannot tell from a limit is not proven, never wrong.
        let not_proven = part == "Rotor PR-2" && row.contains("<strong>not proven</strong>");
        let says = row.contains(&format!("<strong>{verdict}</strong>")) && row.contains(why);
        assert!(says || not_proven, "{part}: {row}");
    }
    assert!(page.contains("cannot be used") && page.contains("exchange it"), "{page}");
    assert!(page.contains("A rotor housing, plated anew, for PH-2"), "{page}");
    bench.shop().audit().unwrap();
}

#[test]
fn a_gauge_that_is_named_decides_and_stands_in_the_file() {
    let (_folder, mut bench) = begun();
    bench.must("/builds/bring", &[("text", &came_in())]);
    let what = records::NewCalibration {
        day: None,
        due: None,
        repeat: records::Written::read::<Length>("1.5 um").unwrap(),
        zero: records::Written::read::<Length>("1 um").ok(),
        certificate: String::new(),
        person: None,
    };
    let gauge = bench.shop().add_gauge("bore 4", "bore gauge", &what).unwrap();
    let rotor = part(&bench, Part::Rotor, "PR-2");
    let at = format!("/builds/1/readings/{rotor}/card");
    let gauge = gauge.0.to_string();
    for (station, value) in [
        ("apex_groove.gear_end.2", "2.055 mm"),
        ("apex_groove.middle.2", "2.015 mm"),
        ("apex_groove.plain_end.2", "2.052 mm"),
    ] {
        let mut fields = typed(station, "value", value);
        fields.push(("gauge".to_owned(), gauge.clone()));
        let kept = with_json(&mut bench, &at, &fields);
        assert_eq!(kept.json()["state"], "kept", "{}", kept.text());
    }
    let card = bench.page(&format!("/builds/1/cards/{rotor}"));
    let (_, bell) = card.split_once("id=\"apex_groove_bell\"").unwrap();
    assert!(bell.split("</section>").next().unwrap().contains("<strong>rework</strong>"), "{bell}");
    let text = lobewright::ops::export(bench.shop(), BuildId(1)).unwrap();
    let file = read(&text).unwrap();
    let card = file.inspected.iter().find(|card| card.serial == "PR-2").unwrap();
    let found = &card.read["apex_groove.middle.2"];
    assert_eq!(found.gauge.as_deref(), Some("bore 4"));
    assert_eq!(found.value, FoundValue::Length(Length::parse("2.015 mm").unwrap()));
    assert_eq!(file.gauges["bore 4"].repeat, Length::parse("1.5 um").unwrap());
}

/// Of a housing whose bore was looked at place by place the card has a map, with its data.
#[test]
fn a_bore_that_was_looked_at_has_its_map() {
    let (_folder, mut bench) = begun();
    bench.must("/builds/bring", &[("text", &came_in())]);
    let housing = part(&bench, Part::RotorHousing, "PH-2");
    let card = format!("/builds/1/cards/{housing}");
    assert!(!bench.page(&card).contains("plating-map"), "nothing was looked at yet");
    let at = format!("/builds/1/readings/{housing}/card");
    for (station, field, value) in [
        ("plating_seen.1", "seen", "sound"),
        ("plating_seen.6", "seen", "flaking"),
        ("plating.6", "value", "78 um"),
    ] {
        let kept = with_json(&mut bench, &at, &typed(station, field, value));
        assert_eq!(kept.json()["state"], "kept", "{}", kept.text());
    }
    let page = bench.page(&card);
    let (_, map) = page.split_once("id=\"plating-map\"").unwrap();
    assert!(map.contains("6 flaking") && map.contains("2 not looked at"), "{map}");
    assert!(map.contains("pictures/2-PH-2-plating.csv"), "{map}");
    let data = bench.page("/builds/1/pictures/2-PH-2-plating.csv");
    assert!(data.contains("\n6,flaking,0.0780,,reject"), "{data}");
}

#[test]
fn what_is_no_word_of_the_item_and_no_size_is_refused_with_the_cure() {
    let (_folder, mut bench) = begun();
    bench.must("/builds/bring", &[("text", &came_in())]);
    let housing = part(&bench, Part::RotorHousing, "PH-1");
    let at = format!("/builds/1/readings/{housing}/card");
    for (station, field, value, says) in [
        ("plating_seen.1", "seen", "shiny", "is none of sound, polished"),
        ("plating_seen.1", "value", "88 um", "is none of sound, polished"),
        ("plating.1", "value", "flaking", "flaking"),
        ("plating.1", "value", "88 mm", "is more than 5 mm"),
    ] {
        let refused = with_json(&mut bench, &at, &typed(station, field, value));
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "{value}");
        assert!(refused.text().contains(says), "{value}: {}", refused.text());
    }
    let nowhere = with_json(&mut bench, &at, &typed("flatness.front", "value", "8 um"));
    assert!(nowhere.text().contains("has no flatness.front to read there"), "{}", nowhere.text());
    // Without the script a word is a button of its own, and the answer a page.
    let fields = typed("plating_seen.1", "seen", "stained");
    let fields: Vec<(&str, &str)> = fields.iter().map(|(a, b)| (a.as_str(), b.as_str())).collect();
    assert!(bench.must(&at, &fields).contains("at=plating_seen.2"));
    let page = bench.page(&format!("{at}?at=plating_seen.2"));
    assert!(page.contains("name=\"seen\" value=\"flaking\"") && page.contains("<svg"), "{page}");
    let part = PartId(housing);
    let station = "plating_seen.1";
    let readings = bench.shop().readings_at(part, Some(BuildId(1)), When::Before, station).unwrap();
    assert_eq!(readings[0].value.word(), Some("stained"));
    assert_eq!(readings[0].value.value::<Force>(), None);
}

#[test]
fn a_photo_shows_an_item_of_a_part_in_a_build() {
    let (_folder, mut bench) = begun();
    bench.must("/builds/bring", &[("text", &came_in())]);
    let housing = part(&bench, Part::RotorHousing, "PH-2");
    let body =
        b"--x\r\nContent-Disposition: form-data; name=\"item\"\r\n\r\nplating_seen\r\n--x\r\n\
        Content-Disposition: form-data; name=\"photo\"; filename=\"flake.png\"\r\n\
        Content-Type: image/png\r\n\r\n\x89PNG\r\n\x1a\n a flake\r\n--x--\r\n";
    let token = bench.form_token();
    let own =
        format!("--x\r\nContent-Disposition: form-data; name=\"form_token\"\r\n\r\n{token}\r\n");
    let body = &[own.as_bytes(), body].concat()[..];
    let headers = [
        (CONTENT_TYPE.as_str(), "multipart/form-data; boundary=x"),
        ("sec-fetch-site", "same-origin"),
    ];
    let card = format!("/builds/1/cards/{housing}");
    let sent = bench.ask("POST", &format!("{card}/photos"), &headers, body);
    assert_eq!(sent.status, StatusCode::SEE_OTHER, "{}", sent.text());
    assert_eq!(sent.to(), format!("{card}#plating_seen"));
    let to = AttachedTo::PartIn(BuildId(1), PartId(housing));
    let photos = bench.shop().attachments(to).unwrap();
    assert_eq!(photos[0].station.as_deref(), Some("plating_seen"));
    let page = bench.page(&card);
    assert!(page.contains("alt=\"plating, by eye: flake.png\""), "{page}");
    let wrong = String::from_utf8_lossy(body).replace("plating_seen", "colour");
    let refused = bench.ask("POST", &format!("{card}/photos"), &headers, wrong.as_bytes());
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    bench.shop().audit().unwrap();
}
