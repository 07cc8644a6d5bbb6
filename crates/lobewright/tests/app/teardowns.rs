//! An engine came back: told on its page, asked back, corrected, and shown on the sheet, on the
//! part's page and in the book.

use crate::bench::{Bench, begun, between, sprint_boat};
use axum::http::StatusCode;
use records::{BuildId, Mark, Moment, NewSignOff, PartKind};

fn signed() -> (tempfile::TempDir, Bench) {
    let (folder, mut bench) = begun();
    sprint_boat(&mut bench);
    let (shop, at) = (bench.shop(), Moment::new("2026-11-28T09:00:00Z").unwrap());
    let (build, person) = (BuildId(1), shop.people().unwrap()[0].id);
    let seen = shop.seen(build).unwrap();
    shop.sign(&NewSignOff { build, seen, person, at: &at, meaning: "built" }).unwrap();
    (folder, bench)
}

const TOLD: [(&str, &str); 10] = [
    ("revision", "1"),
    ("expected", ""),
    ("running", "11.5"),
    ("speed", "9300 rpm"),
    ("boost", "0.9 bar"),
    ("seen-1-gear-1", "none"),
    ("seen-1-gear-2", "light"),
    ("where-1-gear-2", "trailing <edge>"),
    ("worn-1-gear-2", "4 um"),
    ("seen-2-plain-3", "heavy"),
];

/// The fields with some of them otherwise, or there besides.
fn with<'a>(others: &[(&'a str, &'a str)]) -> Vec<(&'a str, &'a str)> {
    let kept = TOLD.iter().filter(|(name, _)| others.iter().all(|(other, _)| other != name));
    kept.chain(others).copied().collect()
}

#[test]
fn a_teardown_is_told_tip_by_tip_and_stands_beside_its_prediction() {
    let (_folder, mut bench) = signed();
    let sheet = bench.page("/builds/1");
    assert!(sheet.contains("Tell what its teardown shows"), "{sheet}");
    let page = bench.page("/builds/1/teardown");
    // Two rotors, two faces, three tips, of each four words; nobody has looked yet.
    assert_eq!(page.matches("type=\"radio\"").count(), 2 * 2 * 3 * 4);
    assert_eq!(page.matches("value=\"not looked at\" checked").count(), 12);
    assert_eq!(page.matches("class=\"lw-drawing\"").count(), 4);
    assert_eq!(bench.must("/builds/1/teardown", &TOLD), "/builds/1/teardown");
    let page = bench.page("/builds/1/teardown");
    let told = between(&page, "Revision 1 as it came apart", "Correct what was told");
    assert!(told.contains("Ran 11.5 h, up to 9300 rpm and 0.9 bar"), "{told}");
    assert!(told.contains("trailing &lt;edge&gt;; rotor worn 4 um"), "{told}");
    assert!(told.contains("Predicted ") && told.contains("kept as it was said then"), "{told}");
    let row = between(told, "R-114, gear face, tip 2</th>", "</tr>");
    assert!(row.contains("light") && row.contains("\u{b5}m"), "{row}");
    let row = between(told, "R-114, plain face, tip 1</th>", "</tr>");
    assert!(row.contains("not looked at"), "{row}");
    // The form has what stands.
    let form = between(&page, "Correct what was told", "</form>");
    assert!(form.contains("value=\"11.5 h\"") && form.contains("value=\"trailing &lt;edge&gt;\""));
    assert_eq!(form.matches("value=\"light\" checked").count(), 1);
    // Sheet, part and book say it too.
    let sheet = bench.page("/builds/1");
    assert!(sheet.contains("Came back, revision 1") && sheet.contains("Its teardown, tip by tip"));
    let rotor = bench.shop().part_of(PartKind::Rotor, "R-97").unwrap().unwrap().id;
    let part = bench.page(&format!("/shelf/{rotor}"));
    let found = between(&part, "Found at teardowns", "What happened to it");
    assert!(found.contains("R-97, plain face, tip 3</th><td>heavy</td>"), "{found}");
    assert!(!found.contains("R-114, gear face"), "{found}");
    let book = bench.get("/builds/1/book");
    assert_eq!((book.status, &book.body[..5]), (StatusCode::OK, &b"%PDF-"[..]));
    bench.shop().audit().unwrap();
}

#[test]
fn what_is_doubted_is_asked_back_with_everything_that_was_typed() {
    let (_folder, mut bench) = signed();
    let odd = with(&[("running", "1000 h"), ("note", "odd")]);
    let asked = bench.send("/builds/1/teardown", &odd);
    assert_eq!(asked.status, StatusCode::OK);
    let page = asked.text();
    assert!(page.contains("Nothing is kept yet. Look again: 1000 h of running is more than 3"));
    assert!(page.contains("value=\"1000 h\"") && page.contains(">odd</textarea>"), "{page}");
    assert_eq!(page.matches("value=\"light\" checked").count(), 1);
    assert!(bench.shop().teardowns_of(BuildId(1)).unwrap().is_empty());
    let sure = with(&[("running", "1000 h"), ("sure", "yes")]);
    bench.must("/builds/1/teardown", &sure);
    assert_eq!(bench.shop().teardowns_of(BuildId(1)).unwrap().len(), 1);
}

#[test]
fn a_teardown_is_corrected_by_whoever_saw_the_one_that_stands() {
    let (_folder, mut bench) = signed();
    bench.must("/builds/1/teardown", &TOLD);
    let late = bench.send("/builds/1/teardown", &TOLD);
    assert_eq!(late.status, StatusCode::CONFLICT);
    assert!(late.text().contains("since it was looked at"), "{}", late.text());
    let again = with(&[("expected", "1"), ("seen-1-gear-2", "heavy")]);
    bench.must("/builds/1/teardown", &again);
    let standing = bench.shop().teardowns_standing(BuildId(1)).unwrap();
    let [teardown] = &standing[..] else { panic!("{standing:?}") };
    assert_eq!(teardown.supersedes.map(|id| id.0), Some(1));
    let heavy = teardown.marks.iter().filter(|mark| mark.contact == Mark::Heavy).count();
    assert_eq!(heavy, 2);
    // Speed and boost are the same, so is the prediction.
    let all = bench.shop().teardowns_of(BuildId(1)).unwrap();
    assert_eq!(all[0].prediction, all[1].prediction);
    assert!(bench.page("/builds/1/teardown").contains("in the place of teardown 1"));
}

#[test]
fn what_cannot_be_taken_is_told_in_a_sentence() {
    let (_folder, mut bench) = begun();
    sprint_boat(&mut bench);
    let open = bench.send("/builds/1/teardown", &TOLD);
    assert_eq!(open.status, StatusCode::CONFLICT);
    assert!(open.text().contains("comes apart after it was signed"), "{}", open.text());
    let page = bench.page("/builds/1/teardown");
    assert!(!page.contains("type=\"radio\"") && page.contains("is open in revision 1"));
    let (_folder, mut bench) = signed();
    for (field, value, said) in [
        ("speed", "fast", "Highest speed: &quot;fast&quot;"),
        ("worn-1-gear-2", "4 mm", "R-114, gear face, tip 2, the rotor: 4 mm is more than 2 mm"),
        ("seen-1-gear-1", "slight", "&quot;slight&quot; is none of none, light, heavy"),
        ("seen-1-gear-2", "not looked at", "nobody looked, and a place or a depth is told"),
        ("worn-gauge-1-gear-2", "none such", "The shop has no gauge &quot;none such&quot;"),
    ] {
        let answer = bench.send("/builds/1/teardown", &with(&[(field, value)]));
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{field}");
        assert!(answer.text().contains(said), "{field}: {}", answer.text());
    }
    assert!(bench.shop().teardowns_of(BuildId(1)).unwrap().is_empty());
}

#[test]
fn a_pushed_tip_is_told_and_corrected() {
    let (_folder, mut bench) = signed();
    let page = bench.page("/builds/1/teardown");
    assert!(page.contains("enter the indicator among the gauges first"), "{page}");
    let gauge = [
        ("name", "indicator 3"),
        ("kind", "dial indicator"),
        ("repeat", "1 um"),
        ("zero", ""),
        ("certificate", ""),
        ("day", ""),
        ("due", ""),
    ];
    bench.must("/gauges", &gauge);
    let pushed = [
        ("rotor", "R-97"),
        ("face", "plain"),
        ("tip", "2"),
        ("radius", "95"),
        ("least", "20 N"),
        ("most", "120 N"),
        ("load_u", "1 N"),
        ("gauge", "indicator 3"),
        ("least-1", "2"),
        ("most-1", "14.5 um"),
    ];
    assert_eq!(bench.must("/builds/1/tilt-test", &pushed), "/builds/1/teardown");
    let mut half = pushed.to_vec();
    half.push(("least-2", "3 um"));
    let half = bench.send("/builds/1/tilt-test", &half);
    assert_eq!(half.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(half.text().contains("Reading 2 is there under one load alone"), "{}", half.text());
    let mut again = pushed.to_vec();
    again.push(("supersedes", "1"));
    again.push(("note", "with the plate clamped"));
    bench.must("/builds/1/tilt-test", &again);
    let stand = bench.shop().tilt_tests_of(BuildId(1)).unwrap();
    let [test] = &stand[..] else { panic!("{stand:?}") };
    assert_eq!((test.id.0, test.told.radius.text()), (2, "95 mm"));
    let page = bench.page("/builds/1/teardown");
    assert!(page.contains("with the plate clamped") && page.contains("2 um, then 14.5 um"));
}
