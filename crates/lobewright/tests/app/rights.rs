//! Who may ask for what: every row of the router, for every role and for nobody, cell by cell.

use crate::bench::{Answer, Bench, begun, sprint_boat};
use axum::http::StatusCode;
use lobewright::ops::people::Role;
use lobewright::web::addresses;
use records::{Moment, PersonId, Session, Sha};
use std::collections::{BTreeMap, BTreeSet};

/// Every row, and for whom it is. A row of the router that is not here has no rights yet.
const ROWS: &[(&str, &str, &str)] = &[
    ("GET", "/", "anyone"),
    ("GET", "/api/audit", "all"),
    ("GET", "/api/builds", "all"),
    ("POST", "/api/builds", "builders"),
    ("POST", "/api/builds/bring", "builders"),
    ("GET", "/api/builds/{build}", "all"),
    ("POST", "/api/builds/{build}/amend", "builders"),
    ("GET", "/api/builds/{build}/assembly", "all"),
    ("GET", "/api/builds/{build}/balance", "all"),
    ("GET", "/api/builds/{build}/differences", "all"),
    ("GET", "/api/builds/{build}/cards", "all"),
    ("POST", "/api/builds/{build}/due", "builders"),
    ("GET", "/api/builds/{build}/file", "all"),
    ("POST", "/api/builds/{build}/findings", "builders"),
    ("GET", "/api/builds/{build}/teardown", "all"),
    ("POST", "/api/builds/{build}/teardown", "builders"),
    ("POST", "/api/builds/{build}/tilt-tests", "builders"),
    ("GET", "/api/parts/{part}/life", "all"),
    ("POST", "/api/builds/{build}/parts", "builders"),
    ("POST", "/api/builds/{build}/parts/{fitted}/out", "builders"),
    ("GET", "/api/builds/{build}/plan", "all"),
    ("GET", "/api/builds/{build}/programs", "all"),
    ("GET", "/api/builds/{build}/readings", "all"),
    ("POST", "/api/builds/{build}/readings", "all"),
    ("GET", "/api/builds/{build}/readings.csv", "all"),
    ("POST", "/api/builds/{build}/sign", "builders"),
    ("GET", "/api/builds/{build}/speed", "all"),
    ("POST", "/api/builds/{build}/values", "builders"),
    ("GET", "/api/customers", "all"),
    ("POST", "/api/customers", "builders"),
    ("GET", "/api/engines", "all"),
    ("GET", "/api/engines/{engine}", "all"),
    ("GET", "/api/gauges", "all"),
    ("POST", "/api/gauges", "builders"),
    ("POST", "/api/gauges/{gauge}/calibrations", "builders"),
    ("GET", "/api/machine-tools", "all"),
    ("GET", "/api/openapi.json", "anyone"),
    ("GET", "/api/parts", "all"),
    ("POST", "/api/parts", "builders"),
    ("GET", "/api/parts/{part}", "all"),
    ("GET", "/api/people", "all"),
    ("POST", "/api/session", "anyone"),
    ("POST", "/api/session/end", "all"),
    ("GET", "/api/calibration", "owner"),
    ("GET", "/api/shelf/choice", "all"),
    ("GET", "/api/specs", "all"),
    ("GET", "/api/specs/{spec}", "all"),
    ("GET", "/api/specs/{spec}/review", "all"),
    ("GET", "/attachments/{id}", "all"),
    ("GET", "/bench.js", "anyone"),
    ("GET", "/builds", "all"),
    ("GET", "/builds/bring", "builders"),
    ("POST", "/builds/bring", "builders"),
    ("GET", "/builds/new", "builders"),
    ("POST", "/builds/new", "builders"),
    ("GET", "/builds/{build}", "all"),
    ("POST", "/builds/{build}/amend", "builders"),
    ("GET", "/builds/{build}/assembly-sheet", "all"),
    ("GET", "/builds/{build}/at-speed", "all"),
    ("GET", "/builds/{build}/at-speed/data/{name}", "all"),
    ("GET", "/builds/{build}/at-speed/in-full", "all"),
    ("GET", "/builds/{build}/balance-in-full", "all"),
    ("GET", "/builds/{build}/balance-in-full/worked-out", "all"),
    ("POST", "/builds/{build}/balance-runs", "all"),
    ("GET", "/builds/{build}/book", "all"),
    ("GET", "/builds/{build}/build.toml", "all"),
    ("GET", "/builds/{build}/cards/{part}", "all"),
    ("POST", "/builds/{build}/cards/{part}/photos", "all"),
    ("GET", "/builds/{build}/differences/{from}/{to}", "all"),
    ("POST", "/builds/{build}/findings", "builders"),
    ("POST", "/builds/{build}/head", "builders"),
    ("GET", "/builds/{build}/labels", "all"),
    ("GET", "/builds/{build}/labels/{part}/{name}", "all"),
    ("GET", "/builds/{build}/papers/{kind}/{number}", "all"),
    ("GET", "/builds/{build}/papers/{kind}/{number}/{name}", "all"),
    ("POST", "/builds/{build}/parts", "builders"),
    ("POST", "/builds/{build}/parts/{fitted}/out", "builders"),
    ("POST", "/builds/{build}/photos", "all"),
    ("GET", "/builds/{build}/pictures/{name}", "all"),
    ("GET", "/builds/{build}/plan-in-full", "all"),
    ("POST", "/builds/{build}/plans", "all"),
    ("GET", "/builds/{build}/programs", "all"),
    ("GET", "/builds/{build}/programs/{machine}/{place}/{face}", "all"),
    ("GET", "/builds/{build}/programs/{machine}/{place}/{face}/file", "all"),
    ("POST", "/builds/{build}/readings-csv", "all"),
    ("GET", "/builds/{build}/readings.csv", "all"),
    ("GET", "/builds/{build}/readings/{part}/{when}", "all"),
    ("POST", "/builds/{build}/readings/{part}/{when}", "all"),
    ("GET", "/builds/{build}/readings/{part}/{when}/{station}", "all"),
    ("POST", "/builds/{build}/sheets", "all"),
    ("GET", "/builds/{build}/teardown", "all"),
    ("POST", "/builds/{build}/teardown", "builders"),
    ("POST", "/builds/{build}/tilt-test", "builders"),
    ("GET", "/shelf/{part}/life/{name}", "all"),
    ("POST", "/builds/{build}/sign", "builders"),
    ("GET", "/builds/{build}/tables/{name}", "all"),
    ("GET", "/builds/{build}/values/{table}", "all"),
    ("POST", "/builds/{build}/values/{table}", "builders"),
    ("GET", "/builds/{build}/what-if", "all"),
    ("POST", "/builds/{build}/what-if", "builders"),
    ("GET", "/builds/{build}/what-if/answer", "all"),
    ("GET", "/builds/{build}/what-if/sweep", "all"),
    ("GET", "/builds/{build}/what-if/sweep/{name}", "all"),
    ("GET", "/customers", "all"),
    ("POST", "/customers", "builders"),
    ("GET", "/customers/{id}", "all"),
    ("POST", "/customers/{id}", "builders"),
    ("POST", "/customers/{id}/intake", "builders"),
    ("GET", "/engines", "all"),
    ("POST", "/engines", "owner"),
    ("GET", "/engines/new", "owner"),
    ("GET", "/engines/{id}", "all"),
    ("POST", "/engines/{id}", "owner"),
    ("POST", "/engines/{id}/text", "owner"),
    ("GET", "/favicon.ico", "anyone"),
    ("GET", "/first", "anyone"),
    ("POST", "/first", "anyone"),
    ("GET", "/gauges", "all"),
    ("POST", "/gauges", "builders"),
    ("GET", "/gauges/{id}", "all"),
    ("POST", "/gauges/{id}/calibration", "builders"),
    ("POST", "/gauges/{id}/use", "builders"),
    ("GET", "/forms.js", "anyone"),
    ("GET", "/guide", "anyone"),
    ("GET", "/guide/{page}", "anyone"),
    ("GET", "/in", "anyone"),
    ("POST", "/in", "anyone"),
    ("GET", "/line.js", "anyone"),
    ("GET", "/look.css", "anyone"),
    ("GET", "/readings.js", "anyone"),
    ("GET", "/waits.js", "anyone"),
    ("GET", "/machine-tools", "all"),
    ("POST", "/machine-tools", "owner"),
    ("GET", "/machine-tools/new", "owner"),
    ("GET", "/machine-tools/{id}", "all"),
    ("POST", "/machine-tools/{id}", "owner"),
    ("POST", "/materials", "owner"),
    ("GET", "/materials/{id}", "all"),
    ("POST", "/materials/{id}", "owner"),
    ("POST", "/out", "all"),
    ("GET", "/people", "all"),
    ("POST", "/people", "owner"),
    ("GET", "/people/me", "all"),
    ("POST", "/people/me", "all"),
    ("GET", "/people/{id}", "owner"),
    ("POST", "/people/{id}", "owner"),
    ("POST", "/people/{id}/password", "owner"),
    ("POST", "/people/{id}/sessions", "owner"),
    ("GET", "/shelf", "all"),
    ("POST", "/shelf", "builders"),
    ("GET", "/shelf/choose", "all"),
    ("POST", "/shelf/choose", "builders"),
    ("GET", "/shelf/{part}", "all"),
    ("POST", "/shelf/{part}/event", "all"),
    ("GET", "/shelf/{part}/history/{name}", "all"),
    ("GET", "/shelf/{part}/label", "all"),
    ("GET", "/shelf/{part}/label/{name}", "all"),
    ("POST", "/shelf/{part}/photo", "all"),
    ("POST", "/shelf/{part}/reading", "all"),
    ("POST", "/shelf/{part}/retire", "builders"),
    ("GET", "/shop", "all"),
    ("POST", "/shop", "owner"),
    ("POST", "/shop/audit", "all"),
    ("GET", "/shop/backup", "owner"),
    ("POST", "/shop/backups", "owner"),
    ("POST", "/shop/backups/now", "owner"),
    ("GET", "/calibration", "owner"),
    ("GET", "/specs", "all"),
    ("POST", "/specs", "owner"),
    ("GET", "/specs/new", "owner"),
    ("GET", "/specs/{id}", "all"),
    ("GET", "/specs/{id}/review", "all"),
    ("GET", "/specs/{id}/review/{name}", "all"),
    ("POST", "/specs/{id}/calibration", "owner"),
    ("POST", "/specs/{id}/change", "owner"),
    ("POST", "/specs/{id}/next", "owner"),
];

fn expected(whom: &str) -> &'static [Role] {
    match whom {
        "anyone" => &[],
        "all" => &[Role::Machinist, Role::Builder, Role::Owner],
        "builders" => &[Role::Builder, Role::Owner],
        "owner" => &[Role::Owner],
        other => panic!("{other}"),
    }
}

/// What a form of any row could have in it: some of them would be taken.
const FIELDS: &[(&str, &str)] = &[
    ("name", "A name"),
    ("shop", "A name"),
    ("role", "owner"),
    ("active", "yes"),
    ("password", "a long enough one"),
    ("again", "a long enough one"),
    ("units", "inch"),
    ("overdue", "refuse"),
    ("what", "welded"),
    ("why", "cracked"),
    ("retired", "yes"),
    ("kind", "shaft"),
    ("serial", "S-77"),
    ("part-kind", "rotor"),
    ("part-serial", "R-77"),
    ("repeat", "2 um"),
    ("use", "no"),
    ("contact", "not seen"),
    ("place", "tip 1"),
    ("came-in", "an engine"),
    ("wanted", "rebuilt"),
    ("station", "land_width.1"),
    ("value", "79.914 mm"),
    ("revision", "1"),
    ("meaning", "built"),
    ("by", "2026-12-24"),
];

/// Somebody of this role, signed in without a password being looked at.
fn somebody(bench: &Bench, role: Role) -> PersonId {
    bench.shop().add_person(&format!("The {}", role.word()), role.word()).unwrap()
}

fn signed_in(bench: &Bench, person: PersonId, count: usize) -> String {
    let [now, until] =
        ["2026-11-28T09:30:00Z", "2026-11-28T19:30:00Z"].map(|at| Moment::new(at).unwrap());
    let token = format!("{:064x}", 1_000_000 * person.0 as usize + count);
    let session = Session { person, until };
    bench.shop().open_session(Sha::of(token.as_bytes()), &session, &now).unwrap();
    token
}

/// The address of a row, its numbers filled in.
pub(crate) fn filled(path: &str) -> String {
    let address = path
        .replace("{when}", "before")
        .replace("{station}", "mass")
        .replace("{face}", "gear")
        .replace("{table}", "spec")
        .replace("{kind}", "sheet")
        .replace("{page}", "1")
        .replace("{name}", "plan.csv");
    let pieces = address.split('/').map(|piece| if piece.starts_with('{') { "1" } else { piece });
    pieces.collect::<Vec<_>>().join("/")
}

/// The addresses of all pages for somebody who is signed in, and a few that take long left out.
pub(crate) fn pages() -> impl Iterator<Item = String> {
    let long = ["in-full", "sweep", "programs", "backup", "worked-out"];
    ROWS.iter()
        .filter(move |(method, path, _)| {
            *method == "GET" && !path.starts_with("/api/") && !long.iter().any(|l| path.contains(l))
        })
        .map(|(_, path, _)| filled(path))
}

/// Asks for a row, its numbers filled in, with what a form or a program would send.
fn ask(bench: &mut Bench, (method, path): (&str, &str), token: Option<&str>) -> Answer {
    let bearer = token.map(|token| format!("Bearer {token}"));
    let mut headers = vec![("sec-fetch-site", "same-origin")];
    headers.extend(bearer.as_deref().map(|bearer| ("authorization", bearer)));
    let json = path.starts_with("/api/");
    let kind = if json { "application/json" } else { "application/x-www-form-urlencoded" };
    let body = match (method, json) {
        ("GET", _) => String::new(),
        (_, true) => r#"{"name":"A name"}"#.to_owned(),
        _ => form_urlencoded::Serializer::new(String::new()).extend_pairs(FIELDS).finish(),
    };
    if method == "POST" {
        headers.push(("content-type", kind));
    }
    bench.cookie = None;
    bench.ask(method, &filled(path), &headers, body.as_bytes())
}

/// All bytes of the shop's file as a copy of it has them.
fn everything(bench: &Bench) -> Vec<u8> {
    let folder = tempfile::tempdir().unwrap();
    let copy = folder.path().join("copy.db");
    bench.shop().backup(&copy).unwrap();
    std::fs::read(copy).unwrap()
}

#[test]
fn every_row_says_for_whom_it_is() {
    let known: BTreeMap<_, _> =
        ROWS.iter().map(|(method, path, whom)| ((*method, *path), *whom)).collect();
    assert_eq!(known.len(), ROWS.len());
    let rows = addresses();
    let there: BTreeSet<_> = rows.iter().map(|row| (row.method, row.path)).collect();
    assert_eq!(known.keys().copied().collect::<BTreeSet<_>>(), there);
    for row in rows {
        let whom = known[&(row.method, row.path)];
        assert_eq!(row.anyone, whom == "anyone", "{row:?}");
        assert_eq!(row.roles, expected(whom), "{row:?}");
    }
}

#[test]
fn every_cell_of_the_table_holds() {
    let (_folder, mut bench) = begun();
    sprint_boat(&mut bench);
    let people: Vec<(Role, PersonId)> =
        Role::ALL.into_iter().map(|role| (role, somebody(&bench, role))).collect();
    let tokens: Vec<(Role, String)> =
        people.iter().map(|(role, id)| (*role, signed_in(&bench, *id, 0))).collect();
    // First what is refused: not a byte of the file is another one afterwards.
    let before = everything(&bench);
    let mut refused = 0;
    for (method, path, whom) in ROWS.iter().filter(|(_, _, whom)| *whom != "anyone") {
        let answer = ask(&mut bench, (method, path), None);
        if *method == "GET" && !path.starts_with("/api/") {
            assert_eq!(answer.to(), "/in", "{method} {path}: {}", answer.status);
        } else {
            assert_eq!(answer.status, StatusCode::UNAUTHORIZED, "{method} {path}");
        }
        refused += 1;
        for (role, token) in tokens.iter().filter(|(role, _)| !expected(whom).contains(role)) {
            let answer = ask(&mut bench, (method, path), Some(token));
            assert_eq!(answer.status, StatusCode::FORBIDDEN, "{method} {path} as {role:?}");
            let told = answer.text();
            assert!(told.contains("may do this"), "{path}: {told}");
            refused += 1;
        }
    }
    assert_eq!(before, everything(&bench));
    assert!(refused > 150, "{refused}");
    // Then what is allowed. The same forms do something when they come from whoever may send them.
    let (mut allowed, mut changed) = (0, BTreeSet::new());
    for (method, path, whom) in ROWS {
        if *whom == "anyone" {
            let answer = ask(&mut bench, (method, path), None);
            let turned_away = [StatusCode::FORBIDDEN, StatusCode::UNAUTHORIZED];
            assert!(!turned_away.contains(&answer.status), "{method} {path}: {}", answer.status);
        }
        for (role, id) in people.iter().filter(|(role, _)| expected(whom).contains(role)) {
            allowed += 1;
            // One's own session ends on the way: each has a new one.
            let token = signed_in(&bench, *id, allowed);
            let before = everything(&bench);
            let answer = ask(&mut bench, (method, path), Some(&token));
            assert!(
                answer.status != StatusCode::FORBIDDEN
                    && answer.status != StatusCode::UNAUTHORIZED
                    // Whoever signs out is led to the door.
                    && (answer.to() != "/in" || *path == "/out"),
                "{method} {path} as {role:?}: {} {}",
                answer.status,
                answer.text()
            );
            assert!(answer.status.as_u16() < 500, "{method} {path}: {}", answer.text());
            if *method == "POST" && before != everything(&bench) {
                changed.insert(*path);
            }
        }
    }
    assert!(allowed > 200, "{allowed}");
    // Or nothing would be shown by what did not change above.
    assert!(changed.len() >= 10, "{changed:?}");
}

#[test]
fn a_page_offers_no_form_that_its_reader_may_not_send() {
    let (_folder, mut bench) = begun();
    sprint_boat(&mut bench);
    bench.must("/customers", &[("name", "Reed Racing")]);
    bench.must("/gauges", &[("name", "M-3"), ("kind", "micrometer"), ("repeat", "2 um")]);
    let mut counts = BTreeMap::new();
    for role in Role::ALL {
        let person = somebody(&bench, role);
        let token = signed_in(&bench, person, 0);
        let may: BTreeSet<Vec<&str>> = ROWS
            .iter()
            .filter(|(method, _, whom)| *method == "POST" && expected(whom).contains(&role))
            .map(|(_, path, _)| path.split('/').collect())
            .collect();
        for (_, path, whom) in
            ROWS.iter().filter(|(method, path, _)| *method == "GET" && !path.starts_with("/api/"))
        {
            if !expected(whom).contains(&role) || path.contains("backup") {
                continue;
            }
            let answer = ask(&mut bench, ("GET", path), Some(&token));
            let page = answer.text();
            for form in page.split("<form ").skip(1).filter(|form| form.contains("method=\"post\""))
            {
                let action = form.split_once("action=\"").unwrap().1.split('"').next().unwrap();
                let offered = may.iter().any(|row| {
                    let pieces: Vec<&str> = action.split('/').collect();
                    row.len() == pieces.len()
                        && row.iter().zip(&pieces).all(|(a, b)| a == b || a.starts_with('{'))
                });
                assert!(offered, "{path} offers {action} to a {}", role.word());
                *counts.entry(role).or_insert(0) += 1;
            }
        }
    }
    // Everybody may sign out on every page; the more may be done, the more is offered.
    assert!(counts[&Role::Machinist] < counts[&Role::Builder], "{counts:?}");
    assert!(counts[&Role::Builder] < counts[&Role::Owner], "{counts:?}");
}
