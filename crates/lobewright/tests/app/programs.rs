//! Machining programs of a build for a machine tool of the shop.

use crate::bench::{Bench, begun, sprint_boat};
use axum::http::StatusCode;
use lobewright::build_file::places::placed;
use records::{Line, MachineToolId};

const BOAT: &str = include_str!("../../../../examples/sprint-boat.toml");

/// The mill of the boat's file in the shop's library, with values of its own.
fn mill(bench: &Bench, name: &str, own: &[(&str, &str)]) -> MachineToolId {
    let lines: Vec<Line> = placed(BOAT)
        .unwrap()
        .into_iter()
        .filter_map(|line| {
            let key = line.place.strip_prefix("machine_tool.west_mill.")?;
            let own = own.iter().find(|(other, _)| *other == key);
            let value = own.map_or(line.value.clone(), |(_, value)| format!("\"{value}\""));
            Some(Line { place: format!("machine_tool.{name}.{key}"), value })
        })
        .collect();
    bench.shop().add_machine_tool(name, &lines).unwrap()
}

#[test]
fn a_program_is_taken_as_a_file_and_its_list_is_signed() {
    let (_folder, mut bench) = begun();
    sprint_boat(&mut bench);
    assert!(bench.page("/builds/1").contains("href=\"/builds/1/programs\""));
    let page = bench.page("/builds/1/programs");
    assert!(page.contains("has no machine tools yet") && !page.contains("<select"), "{page}");
    mill(&bench, "west_mill", &[]);
    let page = bench.page("/builds/1/programs");
    for face in ["1/gear", "1/plain", "2/gear", "2/plain"] {
        assert!(page.contains(&format!("href=\"/builds/1/programs/1/{face}\"")), "{face}: {page}");
    }
    let list = bench.page("/builds/1/programs/1/1/plain");
    for part in [
        "<h1>Set-up list: rotor R-114, plain face up</h1>",
        "Right face up: the plain face",
        "the outer edge of the land towards tip 1, and Z set to 0.0645 mm there",
        "79.818 mm (3.1424 in) at tip 1",
        "licensed practice come first",
        "(ROTOR R-114, PLAIN FACE UP)",
        "href=\"/builds/1/programs/1/1/plain/file\"",
    ] {
        assert!(list.contains(part), "{part:?} is not in {list}");
    }
    let file = bench.get("/builds/1/programs/1/1/plain/file");
    assert_eq!(file.status, StatusCode::OK);
    assert_eq!(file.headers["content-type"], "text/plain; charset=utf-8");
    assert_eq!(file.headers["content-disposition"], "attachment; filename=\"1-R-114-plain.nc\"");
    let text = file.text();
    assert!(text.starts_with("%\n(ROTOR R-114, PLAIN FACE UP)\n") && text.ends_with("M30\n%\n"));
    // The digits of the cut sheet's own hash.
    let made = bench.must("/builds/1/sheets", &[]);
    assert_eq!(made, "/builds/1/papers/sheet/1");
    let sheet = &bench.shop().works(records::BuildId(1), records::WorkKind::Sheet).unwrap()[0];
    let digits = &sheet.inputs_hash.to_hex()[..12];
    assert!(text.contains(&format!("(HASH {})", digits.to_uppercase())), "{digits}");
    assert!(list.contains(digits));
}

#[test]
fn a_machine_is_chosen_where_there_are_several() {
    let (_folder, mut bench) = begun();
    sprint_boat(&mut bench);
    mill(&bench, "west_mill", &[]);
    let slow = mill(&bench, "slow_mill", &[("most_speed", "1000 rpm")]);
    let page = bench.page("/builds/1/programs");
    assert!(page.contains("<option value=\"1\">west_mill") && !page.contains("1/gear"), "{page}");
    assert!(bench.page("/builds/1/programs?machine=1").contains("/builds/1/programs/1/1/gear"));
    // What cannot be done is said, with the key of the record; nothing is given out.
    for path in ["/builds/1/programs/2/1/gear", "/builds/1/programs/2/1/gear/file"] {
        assert_eq!(slow, MachineToolId(2));
        let answer = bench.get(path);
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{path}");
        let text = answer.text();
        assert!(text.contains("No program is given out"), "{text}");
        assert!(
            text.contains("machine_tool.slow_mill.rough.cutting_speed: a cutting speed"),
            "{text}"
        );
        assert!(!text.contains("M30"), "{text}");
    }
    for none in [
        "/builds/1/programs?machine=9",
        "/builds/1/programs?machine=west_mill",
        "/builds/1/programs/9/1/gear",
        "/builds/1/programs/1/3/gear",
        "/builds/1/programs/1/0/gear",
        "/builds/1/programs/1/1/side",
        "/builds/9/programs",
    ] {
        assert_eq!(bench.get(none).status, StatusCode::NOT_FOUND, "{none}");
    }
    // Without a plan there is nothing to machine by.
    let hopeless = BOAT.replacen("land_cut_limit = \"0.15 mm\"", "land_cut_limit = \"0.02 mm\"", 1);
    let hopeless =
        hopeless.replace("boat 7", "boat 8").replace("R-114", "R-115").replace("R-97", "R-98");
    let hopeless = hopeless.replace("H-31", "H-41").replace("H-32", "H-42");
    assert_eq!(bench.must("/builds/bring", &[("text", &hopeless)]), "/builds/2");
    assert!(!bench.page("/builds/2").contains("/builds/2/programs"));
    let answer = bench.get("/builds/2/programs");
    assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(answer.text().contains("no plan for the whole set"), "{}", answer.text());
    assert_eq!(bench.get("/builds/2/programs/1/1/gear").status, StatusCode::UNPROCESSABLE_ENTITY);
}
