//! Labels and tables in the app: pages that print, files to take away, and a scanner that types
//! what a label's code holds.

use crate::bench::{begun, sprint_boat};
use axum::http::StatusCode;
use axum::http::header::{CONTENT_DISPOSITION, CONTENT_TYPE};

#[test]
fn every_part_of_a_build_has_its_labels_on_a_page_and_as_files() {
    let (_folder, mut bench) = begun();
    sprint_boat(&mut bench);
    let sheet = bench.page("/builds/1");
    assert!(sheet.contains("href=\"/builds/1/labels\""));
    let page = bench.page("/builds/1/labels");
    for serial in ["R-114", "R-97", "H-31", "H-32"] {
        assert!(page.contains(&format!(">{serial}</text>")), "{serial}");
    }
    assert_eq!(page.matches("width=\"50mm\" height=\"30mm\"").count(), 4);
    assert_eq!(page.matches("width=\"25mm\" height=\"25mm\"").count(), 4);
    // Nothing that the page's policy would not take.
    assert!(!page.contains("style="));
    for (name, media_type) in [("tag.svg", "image/svg+xml"), ("bag.pdf", "application/pdf")] {
        let answer = bench.get(&format!("/builds/1/labels/1/{name}"));
        assert_eq!(answer.status, StatusCode::OK);
        assert_eq!(answer.headers[CONTENT_TYPE], media_type);
        let called = answer.headers[CONTENT_DISPOSITION].to_str().unwrap().to_owned();
        assert_eq!(called, format!("attachment; filename=\"rotor-R-114-{name}\""));
    }
    for none in ["/builds/1/labels/1/box.svg", "/builds/1/labels/99/tag.svg", "/builds/7/labels"] {
        assert_eq!(bench.get(none).status, StatusCode::NOT_FOUND, "{none}");
    }
}

#[test]
fn a_part_on_the_shelf_has_labels_without_a_build() {
    let (_folder, mut bench) = begun();
    bench.must("/shelf", &[("part-kind", "side housing"), ("part-serial", "S-3")]);
    let page = bench.page("/shelf/1");
    assert!(page.contains("href=\"/shelf/1/label\""));
    assert!(!page.contains("/shelf/1/history/"), "nothing was read yet");
    let page = bench.page("/shelf/1/label");
    assert!(page.contains("LOBEWRIGHT side housing &quot;S-3&quot;</desc>"), "{page}");
    assert_eq!(bench.get("/shelf/1/label/bag.svg").status, StatusCode::OK);
    // A name that no tag has room for is told, and the bag's label is there.
    let long = "S-".to_owned() + &"7".repeat(70);
    bench.must("/shelf", &[("part-kind", "rotor"), ("part-serial", &long)]);
    let page = bench.page("/shelf/2/label");
    assert!(page.contains("too small to be read") && !page.contains("width=\"25mm\""), "{page}");
}

#[test]
fn a_scanned_label_finds_its_part() {
    let (_folder, mut bench) = begun();
    sprint_boat(&mut bench);
    bench.must("/shelf", &[("part-kind", "rotor housing"), ("part-serial", "R-114")]);
    let mut query = form_urlencoded::Serializer::new(String::new());
    let code = r#"LOBEWRIGHT rotor "R-114" build "Merganser, boat 7""#;
    let shelf = query.append_pair("serial", code).finish();
    let page = bench.page(&format!("/shelf?{shelf}"));
    // The rotor in its build, and not the housing of the same serial.
    assert!(page.contains("href=\"/shelf/1\"") && page.matches("class=\"about\"").count() == 1);
    let mut query = form_urlencoded::Serializer::new(String::new());
    let builds = query.append_pair("find", code).finish();
    assert!(bench.page(&format!("/builds?{builds}")).contains("href=\"/builds/1\""));
}

#[test]
fn tables_are_files_to_take_away() {
    let (_folder, mut bench) = begun();
    sprint_boat(&mut bench);
    let sheet = bench.page("/builds/1");
    for name in ["readings.csv", "plan.csv", "tables.xlsx", "history.csv"] {
        assert!(sheet.contains(&format!("href=\"/builds/1/tables/{name}\"")), "{name}");
    }
    for (path, begins, called) in [
        ("/builds/1/tables/readings.csv", "part,serial,", "build-1-readings.csv"),
        ("/builds/1/tables/plan.csv", "rotor,housing,", "build-1-plan.csv"),
        ("/builds/1/tables/history.csv", "part,serial,", "build-1-history.csv"),
        ("/builds/1/tables/tables.xlsx", "PK", "build-1-tables.xlsx"),
        ("/shelf/1/history/history.csv", "part,serial,", "rotor-R-114-history.csv"),
        ("/shelf/1/history/history.xlsx", "PK", "rotor-R-114-history.xlsx"),
    ] {
        let answer = bench.get(path);
        assert_eq!(answer.status, StatusCode::OK, "{path}");
        assert!(answer.body.starts_with(begins.as_bytes()), "{path}");
        let name = answer.headers[CONTENT_DISPOSITION].to_str().unwrap().to_owned();
        assert_eq!(name, format!("attachment; filename=\"{called}\""));
    }
    assert_eq!(bench.get("/builds/1/tables/other.csv").status, StatusCode::NOT_FOUND);
    assert_eq!(bench.get("/shelf/1/history/other.csv").status, StatusCode::NOT_FOUND);
    // Without one of its rotors the build has no plan.
    bench.must("/builds/1/parts/1/out", &[("revision", "1")]);
    let answer = bench.get("/builds/1/tables/plan.csv");
    assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", answer.text());
    assert!(answer.text().contains("no plan yet"), "{}", answer.text());
}
