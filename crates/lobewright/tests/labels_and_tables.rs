//! Labels and tables from outside: what is written, what is said, and that what is written comes
//! back as it was.

#![expect(clippy::unwrap_used, reason = "in tests a panic is the report")]

use std::fs;
use std::process::{Command, Output};
use tempfile::TempDir;

const EXAMPLE: &str = include_str!("../../../examples/sprint-boat.toml");

/// A folder with the example in it, in which commands run.
fn desk(text: &str) -> TempDir {
    let desk = tempfile::tempdir().unwrap();
    fs::write(desk.path().join("boat.toml"), text).unwrap();
    desk
}

fn run(desk: &TempDir, words: &[&str]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_lobewright"));
    command.args(words).current_dir(desk.path()).env("COLUMNS", "80").output().unwrap()
}

/// What a call said on standard output, and on standard error, and its exit status.
fn said(desk: &TempDir, words: &[&str]) -> (i32, String, String) {
    let output = run(desk, words);
    let text = |bytes| String::from_utf8(bytes).unwrap();
    (output.status.code().unwrap(), text(output.stdout), text(output.stderr))
}

fn text(desk: &TempDir, path: &str) -> String {
    fs::read_to_string(desk.path().join(path)).unwrap()
}

/// A table of CSV as rows of cells.
fn cells(text: &str) -> Vec<Vec<String>> {
    csv::ReaderBuilder::new()
        .has_headers(false)
        .from_reader(text.as_bytes())
        .records()
        .map(|row| row.unwrap().iter().map(str::to_owned).collect())
        .collect()
}

/// The cells of a column, its name left out.
fn column(rows: &[Vec<String>], name: &str) -> Vec<String> {
    let at = rows[0].iter().position(|head| head == name).unwrap();
    rows[1..].iter().map(|row| row[at].clone()).collect()
}

#[test]
fn a_label_for_every_part_with_a_serial() {
    let desk = desk(EXAMPLE);
    let (code, out, err) = said(&desk, &["label", "boat.toml", "--out", "labels", "--size", "bag"]);
    assert_eq!((code, err.as_str()), (0, ""));
    assert_eq!(
        out,
        "labels: labels of 4 parts\n  rotor-R-114-bag.svg\n  rotor-R-114-bag.pdf\n  \
         rotor-R-97-bag.svg\n  rotor-R-97-bag.pdf\n  rotor-housing-H-31-bag.svg\n  \
         rotor-housing-H-31-bag.pdf\n  rotor-housing-H-32-bag.svg\n  rotor-housing-H-32-bag.pdf\n"
    );
    let svg = text(&desk, "labels/rotor-R-114-bag.svg");
    roxmltree::Document::parse(&svg).unwrap();
    assert!(svg.contains("LOBEWRIGHT rotor &quot;R-114&quot; build &quot;Merganser, boat 7&quot;"));
    let (code, out, _) = said(&desk, &["label", "boat.toml", "--out", "one", "--part", "R-97"]);
    assert_eq!(code, 0);
    assert_eq!(out.lines().count(), 5, "{out}");
    let (code, _, err) = said(&desk, &["label", "boat.toml", "--out", "none", "--part", "R-98"]);
    assert_eq!(code, 2);
    assert_eq!(err, "lobewright: --part: boat.toml has no R-98; it has R-114, R-97, H-31, H-32\n");
    assert!(!desk.path().join("none").exists());
}

#[test]
fn what_no_phone_would_read_is_not_written() {
    let long = EXAMPLE.replace("Merganser, boat 7", &"Merganser the long ".repeat(4)[..75]);
    let desk = desk(&long);
    let (code, out, err) = said(&desk, &["label", "boat.toml", "--out", "labels"]);
    assert_eq!((code, out.as_str()), (2, ""));
    // The word of a housing is the longer one.
    assert!(err.contains("H-31: the code of serial and build"), "{err}");
    assert!(err.contains("on a tag") && err.contains("take the bag's label"), "{err}");
    assert!(!desk.path().join("labels").exists());
    let (code, ..) = said(&desk, &["label", "boat.toml", "--out", "labels", "--size", "bag"]);
    assert_eq!(code, 0);
}

#[test]
fn tables_have_every_reading_and_every_figure_of_the_plan() {
    let desk = desk(EXAMPLE);
    let (code, out, err) = said(&desk, &["tables", "boat.toml", "--out", "tables"]);
    assert_eq!((code, err.as_str()), (0, ""));
    assert_eq!(
        out,
        "tables: Merganser, boat 7\n  readings.csv  35 rows\n  plan.csv      62 rows\n  \
         tables.xlsx   all of them\n"
    );
    let readings = cells(&text(&desk, "tables/readings.csv"));
    // Each reading as it was written, and as a number.
    let widths: Vec<(String, String)> = column(&readings, "value")
        .into_iter()
        .zip(column(&readings, "value_mm"))
        .filter(|(value, _)| value.ends_with(" mm"))
        .collect();
    assert_eq!(widths.len(), 6 + 3 + 3 + 3);
    for (value, mm) in widths {
        let written: f64 = value.trim_end_matches(" mm").parse().unwrap();
        assert_eq!(mm.parse::<f64>().unwrap(), written, "{value}");
    }
    let plan = cells(&text(&desk, "tables/plan.csv"));
    let json = run(&desk, &["plan", "boat.toml", "--json"]).stdout;
    let json: serde_json::Value = serde_json::from_slice(&json).unwrap();
    let (what, face) = (column(&plan, "what"), column(&plan, "face"));
    let (serial, mm) = (column(&plan, "rotor"), column(&plan, "value_mm"));
    for rotor in json["rotors"].as_array().unwrap() {
        for of in ["gear", "plain"] {
            for (name, key) in [
                ("land cut", "land_cut_mm"),
                ("cut outside the land", "tip_cut_mm"),
                ("step", "step_mm"),
            ] {
                let of_table: Vec<f64> = (0..mm.len())
                    .filter(|i| what[*i] == name && face[*i] == of && serial[*i] == rotor["serial"])
                    .map(|i| mm[i].parse().unwrap())
                    .collect();
                let of_json: Vec<f64> = rotor[of][key]
                    .as_array()
                    .unwrap()
                    .iter()
                    .map(|value| value.as_f64().unwrap())
                    .collect();
                assert_eq!(of_table.len(), 3, "{name} {of}");
                for (a, b) in of_table.iter().zip(&of_json) {
                    // The table keeps nanometres.
                    assert!((a - b).abs() < 1e-6, "{name} {of}: {a} and {b}");
                }
            }
        }
    }
    // The same file is the same workbook.
    let first = fs::read(desk.path().join("tables/tables.xlsx")).unwrap();
    said(&desk, &["tables", "boat.toml", "--out", "again"]);
    assert!(first == fs::read(desk.path().join("again/tables.xlsx")).unwrap());
}

#[test]
fn a_table_of_a_build_of_the_shop_comes_back_without_a_change() {
    // A run-out below nothing begins like a formula, and so does this serial.
    let text_of = EXAMPLE
        .replace("[\"0 um\", \"6 um\", \"2 um\"]", "[\"-4 um\", \"2 um\", \"-2 um\"]")
        .replace("R-114", "@114");
    let desk = desk(&text_of);
    let (code, ..) = said(&desk, &["import", "shop.db", "boat.toml", "--by", "Ada"]);
    assert_eq!(code, 0);
    let tables = ["tables", "shop.db", "--build", "1", "--out", "tables"];
    let (code, out, err) = said(&desk, &tables);
    assert_eq!((code, err.as_str()), (0, ""), "{out}");
    assert!(out.contains("history.csv   35 rows"), "{out}");
    let csv = text(&desk, "tables/readings.csv");
    assert!(csv.contains(",'-4 um,-0.004,") && csv.contains(",'@114,"), "{csv}");
    // Nothing of it is new to the shop.
    let back = ["import", "shop.db", "tables/readings.csv", "--by", "Ada", "--over", "1"];
    let (code, out, err) = said(&desk, &back);
    assert_eq!((code, err.as_str()), (0, ""));
    assert!(out.contains("0 readings taken for build 1"), "{out}");
    // What changes there changes here, and what it was is in the history.
    let changed = csv.replace("'-4 um", "'-5 um");
    fs::write(desk.path().join("changed.csv"), changed).unwrap();
    let back = ["import", "shop.db", "changed.csv", "--by", "Ada", "--over", "1"];
    let (code, out, err) = said(&desk, &back);
    assert_eq!((code, err.as_str()), (0, ""));
    assert!(out.contains("1 reading taken for build 1"), "{out}");
    said(&desk, &tables);
    let (readings, history) =
        (cells(&text(&desk, "tables/readings.csv")), cells(&text(&desk, "tables/history.csv")));
    assert_eq!((readings.len(), history.len()), (36, 37));
    let values = column(&history, "value");
    assert!(values.contains(&"'-4 um".to_owned()) && values.contains(&"'-5 um".to_owned()));
    assert_eq!(column(&history, "superseded_by").iter().filter(|by| !by.is_empty()).count(), 1);
}

#[test]
fn what_was_doubted_once_and_stands_is_not_asked_back() {
    // An end play that its engine's record does not want, and forces of springs.
    let desk = desk(include_str!("../../../examples/shelduck-hydroplane.toml"));
    said(&desk, &["import", "shop.db", "boat.toml", "--by", "Ada"]);
    said(&desk, &["tables", "shop.db", "--build", "1", "--out", "tables"]);
    let csv = text(&desk, "tables/readings.csv");
    assert!(csv.contains(",61 N,,,,61,"), "{csv}");
    let back = ["import", "shop.db", "tables/readings.csv", "--by", "Ada", "--over", "1"];
    let (code, out, err) = said(&desk, &back);
    assert_eq!((code, err.as_str()), (0, ""));
    assert!(out.contains("0 readings taken for build 1"), "{out}");
    // Another one as far off is.
    fs::write(desk.path().join("other.csv"), csv.replace(",96 um,", ",97 um,")).unwrap();
    let (code, _, err) =
        said(&desk, &["import", "shop.db", "other.csv", "--by", "Ada", "--over", "1"]);
    assert_eq!(code, 2);
    assert!(err.contains("end play of the shaft"), "{err}");
}

#[test]
fn a_build_without_a_plan_has_its_readings() {
    let desk = desk(EXAMPLE);
    let other = include_str!("../../../examples/cormorant-three.toml");
    fs::write(desk.path().join("three.toml"), other).unwrap();
    let (code, out, _) = said(&desk, &["tables", "three.toml", "--out", "tables"]);
    assert_eq!(code, 1);
    assert!(out.contains("there is no plan for the set; plan.csv has what there is"), "{out}");
    let (code, _, err) = said(&desk, &["tables", "none.toml", "--out", "none"]);
    assert_eq!((code, err.as_str()), (2, "lobewright: none.toml: there is no such file\n"));
    said(&desk, &["import", "shop.db", "boat.toml", "--by", "Ada"]);
    let (code, _, err) = said(&desk, &["tables", "shop.db", "--build", "7", "--out", "none"]);
    assert_eq!((code, err.as_str()), (2, "lobewright: shop.db: there is no build 7\n"));
    assert!(!desk.path().join("none").exists());
}
