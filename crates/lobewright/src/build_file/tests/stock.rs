//! Files of stock, and builds that wait.

use crate::build_file::model::Way;
use crate::build_file::{Problems, read, read_stock, read_waiting};

const STOCK: &str = include_str!("../../../../../examples/shelf/stock.toml");
const BOAT: &str = include_str!("../../../../../examples/shelf/plover-boat.toml");
const PUMP: &str = include_str!("../../../../../examples/shelf/ruff-pump.toml");
const WHOLE: &str = include_str!("../../../../../examples/sprint-boat.toml");

fn said<T: std::fmt::Debug>(read: Result<T, Problems>) -> String {
    let problems = read.unwrap_err();
    problems.list().iter().map(|p| format!("{}: {}; {}\n", p.place, p.what, p.expected)).collect()
}

#[test]
fn the_examples_are_read() {
    let stock = read_stock(STOCK).unwrap();
    assert_eq!((stock.rotors.len(), stock.housings.len()), (12, 10));
    assert_eq!(stock.gauges.len(), 2);
    let boat = read_waiting(BOAT).unwrap();
    assert_eq!((boat.rotors, boat.build.rotors.len(), boat.build.housings.len()), (2, 0, 1));
    let pump = read_waiting(PUMP).unwrap();
    assert_eq!((pump.rotors, pump.build.rotors.len(), pump.build.housings.len()), (2, 0, 0));
}

#[test]
fn a_whole_build_waits_for_nothing_and_is_read_alike() {
    let waiting = read_waiting(WHOLE).unwrap();
    assert!(waiting.build == read(WHOLE).unwrap());
    assert_eq!(waiting.rotors, waiting.build.rotors.len());
}

#[test]
fn a_gear_face_in_stock_may_be_said_and_is_read_as_elsewhere() {
    let faced =
        |word: &str| STOCK.replacen("mass = ", &format!("gear_face = \"{word}\"\nmass = "), 1);
    assert_eq!(read_stock(&faced("front")).unwrap().rotors[0].gear_face, Way::Front);
    assert!(said(read_stock(&faced("sideways"))).starts_with("rotor.PR-31.gear_face: "));
}

#[test]
fn what_is_wrong_is_told_as_of_any_file() {
    let wrong = STOCK.replace("\"79.815 mm\"", "\"79.815\"").replace("PH-12", "PH-11");
    let said_of_both = said(read_stock(&wrong));
    assert!(said_of_both.contains("rotor.PR-33.land_width.1: "), "{said_of_both}");
    assert!(said_of_both.contains("housing.PH-11.serial: "), "{said_of_both}");
    // A build file is no stock, and a stock is no build.
    let other = said(read_stock(BOAT));
    assert!(other.contains("unknown key \"engine\""), "{other}");
    let other = said(read_waiting(STOCK));
    assert!(other.contains("build is missing"), "{other}");
    let newer = said(read_stock(&STOCK.replace("format = 1", "format = 2")));
    assert_eq!(newer, "format: format 2 is newer than this program; format = 1\n");
    // A build never has more than its engine.
    let more = WHOLE.replace("rotors = 2", "rotors = 1");
    let more = said(read_waiting(&more));
    assert!(more.contains("rotors = 1, but 2 tables [[rotor]]; at most 1"), "{more}");
}
