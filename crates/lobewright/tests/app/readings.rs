//! Readings as a bench takes them: what is kept, asked back, refused, and named as misread.

use crate::bench::{Bench, begun, sprint_boat, with_json};
use axum::http::StatusCode;
use records::{BuildId, NewCalibration, PartKind, When, Written};

const TEAL: &str = include_str!("../../../../examples/teal-pump.toml");

fn rotor(bench: &Bench, serial: &str) -> i64 {
    bench.shop().part_of(PartKind::Rotor, serial).unwrap().unwrap().id.0
}

/// What stands at a station, the first reading first.
fn standing(bench: &Bench, serial: &str, station: &str) -> Vec<records::Reading> {
    let part = records::PartId(rotor(bench, serial));
    bench.shop().readings_at(part, Some(BuildId(1)), When::Before, station).unwrap()
}

#[test]
fn what_cannot_be_right_is_asked_back_and_what_can_be_none_is_refused() {
    let (_folder, mut bench) = begun();
    sprint_boat(&mut bench);
    let at = format!("/builds/1/readings/{}/before", rotor(&bench, "R-114"));
    let last = standing(&bench, "R-114", "land_width.2")[0].id.to_string();
    let typed = |value: &str, more: &[(&str, &str)]| {
        let mut fields = vec![
            ("revision", "1"),
            ("station", "land_width.2"),
            ("expected", last.as_str()),
            ("unit", "mm"),
        ];
        fields.push(("value", value));
        fields.extend(more);
        fields.into_iter().map(|(a, b)| (a.to_owned(), b.to_owned())).collect::<Vec<_>>()
    };
    // A turn of the thimble.
    let asked = with_json(&mut bench, &at, &typed("80.422", &[]));
    assert_eq!(asked.json()["state"], "asked");
    assert!(asked.json()["said"].as_str().unwrap().contains("differs by"), "{}", asked.text());
    assert_eq!(standing(&bench, "R-114", "land_width.2").len(), 1);
    // No width at all, no quantity, another quantity.
    for (value, says) in
        [("7.9922", "is less than 20 mm"), ("79,92", ""), ("4 kg", ""), ("79.92 mil", "thou")]
    {
        let refused = with_json(&mut bench, &at, &typed(value, &[]));
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "{value}");
        assert_eq!(refused.json()["state"], "refused", "{value}");
        assert!(
            refused.json()["said"].as_str().unwrap().contains(says),
            "{value}: {}",
            refused.text()
        );
    }
    assert_eq!(standing(&bench, "R-114", "land_width.2").len(), 1);
    // Sure: it is kept, and what it means is said at once.
    let kept = with_json(&mut bench, &at, &typed("80.422", &[("sure", "yes")]));
    assert_eq!(kept.json()["state"], "kept", "{}", kept.text());
    let list = kept.json()["list"].as_str().unwrap().to_owned();
    assert!(list.contains("a whole turn of the thimble") && list.contains(", disagrees"), "{list}");
    let page = bench.page("/builds/1");
    assert!(
        page.contains("stopped") && page.contains("land width at tip 2 cannot be right"),
        "{page}"
    );
    // The same word sent twice is one reading; without the script the answer is a page.
    let last = standing(&bench, "R-114", "land_width.2").last().unwrap().id.to_string();
    let fields = [
        ("revision", "1"),
        ("station", "land_width.2"),
        ("expected", &last),
        ("value", "79.922"),
        ("unit", "mm"),
        ("sent_as", "a1"),
    ];
    for _ in 0..2 {
        let to = bench.must(&at, &fields);
        assert!(to.starts_with(&format!("{at}?at=")), "{to}");
    }
    let all = standing(&bench, "R-114", "land_width.2");
    assert_eq!(
        all.iter().map(|r| r.value.text()).collect::<Vec<_>>(),
        ["79.922 mm", "80.422 mm", "79.922 mm"]
    );
    bench.shop().audit().unwrap();
}

#[test]
fn a_misreading_is_named_before_the_set_is_whole() {
    let (_folder, mut bench) = begun();
    bench.must("/builds/bring", &[("text", TEAL)]);
    let page = bench.page("/builds/1");
    assert!(page.contains("<strong>stopped</strong>"), "{page}");
    assert!(page.contains("cannot be told apart"));
}

#[test]
fn the_gauge_of_a_reading_counts_and_an_overdue_one_is_told() {
    let (_folder, mut bench) = begun();
    sprint_boat(&mut bench);
    let length = |text: &str| Written::read::<kernel::units::Length>(text).unwrap();
    let calibration = NewCalibration {
        day: None,
        due: Some(records::Day::new("2026-10-01").unwrap()),
        repeat: length("1.5 um"),
        zero: Some(length("0.5 um")),
        certificate: "C-7".to_owned(),
        person: None,
    };
    let gauge = bench.shop().add_gauge("M-3", "micrometer", &calibration).unwrap().to_string();
    let at = format!("/builds/1/readings/{}/before", rotor(&bench, "R-97"));
    let taken = |bench: &mut Bench, value: &str| {
        let last = standing(bench, "R-97", "land_width.1").last().unwrap().id.to_string();
        let fields = [
            ("revision", "1"),
            ("station", "land_width.1"),
            ("expected", last.as_str()),
            ("value", value),
            ("unit", "mm"),
            ("gauge", gauge.as_str()),
            ("temperature", "21 degC"),
        ];
        let fields: Vec<(String, String)> =
            fields.iter().map(|(a, b)| ((*a).to_owned(), (*b).to_owned())).collect();
        with_json(bench, &at, &fields)
    };
    let kept = taken(&mut bench, "79.930");
    assert_eq!(kept.json()["state"], "kept");
    assert!(
        kept.json()["said"].as_str().unwrap().contains("calibration of M-3 was due 2026-10-01")
    );
    let file = bench.get("/builds/1/build.toml").text();
    let build = lobewright::build_file::read(&file).unwrap();
    assert_eq!(build.rotors[1].width_gauge.as_deref(), Some("M-3"));
    assert_eq!(build.gauges["M-3"].repeat, kernel::units::Length::um(1.5));
    assert!(bench.page("/builds/1").contains("whose calibration is overdue"));
    bench.shop().set_setting("overdue", "refuse").unwrap();
    let refused = taken(&mut bench, "79.931");
    assert_eq!(refused.json()["state"], "refused");
    assert!(refused.text().contains("takes no readings with"), "{}", refused.text());
    assert_eq!(standing(&bench, "R-97", "land_width.1").len(), 2);
}

#[test]
fn the_parts_temperature_and_gauge_count_in_the_plan_and_restate_nothing() {
    let (_folder, mut bench) = begun();
    sprint_boat(&mut bench);
    let length = |text: &str| Written::read::<kernel::units::Length>(text).unwrap();
    let gauge = |bench: &Bench, name: &str, repeat: Written| {
        let calibration = NewCalibration {
            day: None,
            due: None,
            repeat,
            zero: None,
            certificate: String::new(),
            person: None,
        };
        bench.shop().add_gauge(name, "micrometer", &calibration).unwrap().to_string()
    };
    let first = gauge(&bench, "M-1", length("2 um"));
    let second = gauge(&bench, "M-2", length("9 um"));
    let scale =
        gauge(&bench, "bench scale", Written::read::<kernel::units::Mass>("0.2 g").unwrap());
    let at = format!("/builds/1/readings/{}/before", rotor(&bench, "R-97"));
    let mut take = |station: &str, gauge: &str, temperature: &str| {
        let last = standing(&bench, "R-97", station).last().unwrap().clone();
        let value = last.value.text().to_owned();
        let last = last.id.to_string();
        let fields = [
            ("revision", "1"),
            ("station", station),
            ("expected", &last),
            ("value", &value),
            ("gauge", gauge),
            ("temperature", temperature),
        ];
        let fields: Vec<(String, String)> =
            fields.iter().map(|(a, b)| ((*a).to_owned(), (*b).to_owned())).collect();
        let answer = with_json(&mut bench, &at, &fields).json();
        let file = bench.get("/builds/1/build.toml").text();
        (answer, lobewright::build_file::read(&file).unwrap())
    };
    let (answer, build) = take("land_width.1", &first, "26 degC");
    assert_eq!(answer["state"], "kept");
    assert_eq!(build.rotors[1].width_gauge.as_deref(), Some("M-1"));
    let warm = build.rotors[1].readings.temperature.unwrap();
    assert!((warm.to_deg_c() - 26.0).abs() < 1e-9);
    // Another gauge for the same kind of reading is kept with its reading, and told.
    let (answer, build) = take("land_width.2", &second, "26 degC");
    assert!(answer["said"].as_str().unwrap().contains("were taken with"), "{answer}");
    assert_eq!(build.rotors[1].width_gauge.as_deref(), Some("M-1"));
    // What measures no lengths is not put into the file.
    let (answer, build) = take("gear_step.1", &scale, "");
    assert!(answer["said"].as_str().unwrap().contains("measures no lengths"), "{answer}");
    assert_eq!(build.rotors[1].step_gauge, None);
    let (answer, _) = take("land_width.3", &first, "5000 degC");
    assert_eq!(answer["state"], "refused");
}
