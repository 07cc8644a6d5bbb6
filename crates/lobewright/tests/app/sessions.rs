//! Sessions end: by time, by being left alone, by hand, by another role or password. And what the
//! forms of a session carry.

use crate::bench::{Bench, OWNER, PASSWORD, begun, between, new_shop, sprint_boat, with_json};
use axum::http::StatusCode;
use lobewright::web::App;
use records::{Moment, PartKind, Sha, Shop};
use std::sync::Arc;
use std::sync::Mutex;
use std::sync::atomic::{AtomicI64, Ordering};
use tempfile::TempDir;

/// A shop whose clock is set by hand, in minutes after half past nine, and what it notes.
struct Watched {
    _folder: TempDir,
    bench: Bench,
    minutes: Arc<AtomicI64>,
    lines: Arc<Mutex<Vec<String>>>,
}

/// The moment so many minutes after half past nine.
fn at(minutes: i64) -> Moment {
    let from: jiff::Timestamp = "2026-11-28T09:30:00Z".parse().unwrap();
    let at = from + jiff::SignedDuration::from_mins(minutes);
    Moment::new(&at.strftime("%Y-%m-%dT%H:%M:%SZ").to_string()).unwrap()
}

fn watched() -> Watched {
    let (folder, first) = begun();
    let file = first.shop().file().to_owned();
    drop(first);
    let minutes = Arc::new(AtomicI64::new(0));
    let lines = Arc::new(Mutex::new(Vec::new()));
    let shop = Shop::open(&file, &at(0)).unwrap();
    let (clock, noted) = (Arc::clone(&minutes), Arc::clone(&lines));
    let app = App::new(shop, move || at(clock.load(Ordering::Relaxed)))
        .watched(move |line| noted.lock().unwrap().push(line.to_owned()));
    let mut bench = Bench { app: Arc::new(app), cookie: None };
    bench.must("/in", &[("name", OWNER), ("password", PASSWORD)]);
    Watched { _folder: folder, bench, minutes, lines }
}

impl Watched {
    fn set(&self, minutes: i64) {
        self.minutes.store(minutes, Ordering::Relaxed);
    }

    fn signed_in(&mut self) -> bool {
        self.bench.get("/builds").status == StatusCode::OK
    }

    fn again(&mut self) {
        self.bench.cookie = None;
        self.bench.must("/in", &[("name", OWNER), ("password", PASSWORD)]);
    }

    fn rules(&mut self, hours: &str, idle: &str) -> crate::bench::Answer {
        self.bench.send(
            "/shop",
            &[
                ("name", "Quill Rotary"),
                ("units", "metric"),
                ("overdue", "warn"),
                ("session_hours", hours),
                ("session_idle_minutes", idle),
            ],
        )
    }
}

#[test]
fn a_session_ends_after_its_hours_whatever_is_done_in_it() {
    let mut shop = watched();
    for minutes in (0..12 * 60).step_by(60) {
        shop.set(minutes);
        assert!(shop.signed_in(), "{minutes}");
    }
    shop.set(12 * 60 - 1);
    assert!(shop.signed_in());
    shop.set(12 * 60);
    assert_eq!(shop.bench.get("/builds").to(), "/in");
}

#[test]
fn a_session_ends_where_nothing_is_asked_for() {
    let mut shop = watched();
    shop.set(119);
    assert!(shop.signed_in());
    // It was seen, so it counts from there.
    shop.set(119 + 119);
    assert!(shop.signed_in());
    shop.set(119 + 119 + 120);
    assert_eq!(shop.bench.get("/builds").to(), "/in");
    // It is over for good, also for a clock that is put back.
    shop.set(119);
    assert_eq!(shop.bench.get("/builds").to(), "/in");
    // A token of a program ends alike.
    let body = format!(r#"{{"name":"{OWNER}","password":"{PASSWORD}"}}"#);
    let json = [("content-type", "application/json")];
    let answer = shop.bench.ask("POST", "/api/session", &json, body.as_bytes());
    let bearer = format!("Bearer {}", answer.json()["token"].as_str().unwrap());
    let builds = |shop: &mut Watched| {
        shop.bench.ask("GET", "/api/builds", &[("authorization", &bearer)], &[]).status
    };
    shop.set(119 + 119);
    assert_eq!(builds(&mut shop), StatusCode::OK);
    shop.set(119 + 119 + 120);
    assert_eq!(builds(&mut shop), StatusCode::UNAUTHORIZED);
}

#[test]
fn the_owner_sets_how_long_a_session_holds_within_limits() {
    let mut shop = watched();
    for (hours, idle, why) in [
        ("0", "120", "from 1 to 24"),
        ("25", "120", "from 1 to 24"),
        ("12", "9", "from 10 to 480"),
        ("12", "481", "from 10 to 480"),
        ("half a day", "120", "no whole number of hours"),
        ("12", "", "is empty"),
    ] {
        let refused = shop.rules(hours, idle);
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "{hours} {idle}");
        assert!(refused.text().contains(why), "{hours} {idle}: {}", refused.text());
    }
    assert_eq!(shop.rules("2", "30").status, StatusCode::SEE_OTHER);
    let page = shop.bench.page("/shop");
    assert!(page.contains("name=\"session_hours\" type=\"text\" value=\"2\""), "{page}");
    // The shorter rule holds for who is signed in already.
    shop.set(30);
    assert!(!shop.signed_in());
    shop.again();
    for minutes in (30..150).step_by(20) {
        shop.set(minutes);
        assert!(shop.signed_in(), "{minutes}");
    }
    shop.set(150);
    assert!(!shop.signed_in());
}

#[test]
fn another_role_another_password_and_the_owners_word_end_sessions() {
    let mut shop = watched();
    let new = [
        ("name", "Ben Rowe"),
        ("role", "builder"),
        ("password", "warm start 9"),
        ("again", "warm start 9"),
    ];
    shop.bench.must("/people", &new);
    let mut ben = Bench { cookie: None, ..shop.bench.clone() };
    let password = std::cell::Cell::new("warm start 9");
    let come = |ben: &mut Bench| {
        ben.cookie = None;
        ben.must("/in", &[("name", "Ben Rowe"), ("password", password.get())]);
    };
    let change = |name, role| [("name", name), ("role", role), ("active", "yes")];
    come(&mut ben);
    // Another name is no other role.
    shop.bench.must("/people/2", &change("Ben Rowe", "builder"));
    ben.page("/builds");
    shop.bench.must("/people/2", &change("Ben Rowe", "machinist"));
    assert_eq!(ben.get("/builds").to(), "/in");
    come(&mut ben);
    let mut elsewhere = ben.clone();
    come(&mut elsewhere);
    shop.bench.must("/people/2/sessions", &[]);
    for bench in [&mut ben, &mut elsewhere] {
        assert_eq!(bench.get("/builds").to(), "/in");
    }
    come(&mut ben);
    let set = [("password", "hot soak 11 b"), ("again", "hot soak 11 b")];
    shop.bench.must("/people/2/password", &set);
    password.set("hot soak 11 b");
    assert_eq!(ben.get("/builds").to(), "/in");
    come(&mut ben);
    // Whoever signs in again on the same bench leaves no session behind.
    let before = ben.clone();
    ben.must("/in", &[("name", "Ben Rowe"), ("password", password.get())]);
    assert_eq!(before.clone().get("/builds").to(), "/in");
    ben.page("/builds");
    // Signing out ends it on the server, whatever the browser keeps.
    let kept = ben.clone();
    ben.must("/out", &[]);
    assert_eq!(kept.clone().get("/builds").to(), "/in");
    // All of it was noted, with nothing secret in it.
    let lines = shop.lines.lock().unwrap().join("\n");
    for event in [
        "signed in",
        "signed out",
        "person added",
        "person changed",
        "password changed",
        "sessions ended",
    ] {
        assert!(lines.contains(&format!("\"security\":\"{event}\"")), "{event}: {lines}");
    }
    for line in lines.lines() {
        let line: serde_json::Value = serde_json::from_str(line).unwrap();
        assert_eq!(line["at"], "2026-11-28T09:30:00Z");
    }
    let token = kept.cookie.unwrap().split_once('=').unwrap().1.to_owned();
    for secret in [PASSWORD, "warm start 9", "hot soak 11 b", "argon2", &token] {
        assert!(!lines.contains(secret), "{secret}: {lines}");
    }
}

#[test]
fn a_form_without_its_sessions_token_does_nothing() {
    let (_folder, mut bench) = begun();
    sprint_boat(&mut bench);
    let own = bench.form_token();
    let page = bench.page("/customers");
    assert_eq!(between(&page, "data-form-token=\"", "\""), own);
    assert_eq!(between(&page, "name=\"form_token\" value=\"", "\""), own);
    let mut other = Bench { cookie: None, ..bench.clone() };
    other.must("/in", &[("name", OWNER), ("password", PASSWORD)]);
    let foreign = other.form_token();
    assert_ne!(own, foreign);
    let headers =
        [("content-type", "application/x-www-form-urlencoded"), ("sec-fetch-site", "same-origin")];
    let longer = format!("{own}0");
    for token in ["", "0", &foreign, &own[1..], &longer] {
        let body = format!("name=Reed+%3Cb%3ERacing&form_token={token}");
        let refused = bench.ask("POST", "/customers", &headers, body.as_bytes());
        assert_eq!(refused.status, StatusCode::FORBIDDEN, "{token}");
        assert!(bench.shop().customers("").unwrap().is_empty());
        // What was typed is not lost: it is shown, and can be sent from there.
        let page = refused.text();
        assert!(page.contains("name=\"name\" value=\"Reed &lt;b&gt;Racing\""), "{page}");
        let main = between(&page, "<main", "</main>");
        assert!(main.contains(&own) && !main.contains(&foreign), "{page}");
    }
    // A password is not shown again.
    let body = "old=x&password=secret+long+one&again=secret+long+one&form_token=";
    let refused = bench.ask("POST", "/people/me", &headers, body.as_bytes());
    assert_eq!(refused.status, StatusCode::FORBIDDEN);
    assert!(!refused.text().contains("secret long one"), "{}", refused.text());
    let body = format!("name=Reed+Racing&form_token={own}");
    assert_eq!(
        bench.ask("POST", "/customers", &headers, body.as_bytes()).status,
        StatusCode::SEE_OTHER
    );
    // The script of the bench is told, so that it can ask for the page's own.
    let part = bench.shop().part_of(PartKind::Rotor, "R-114").unwrap().unwrap().id;
    let cookie = bench.cookie.clone();
    let path = format!("/builds/1/readings/{part}/before");
    bench.cookie = cookie;
    let json = [headers[0], headers[1], ("accept", "application/json")];
    let told = bench.ask("POST", &path, &json, b"station=mass&value=4312.5&unit=g&revision=1");
    assert_eq!((told.status, &told.json()["old_form"]), (StatusCode::FORBIDDEN, &true.into()));
    let fields = [("station", "mass"), ("value", "1"), ("unit", "g"), ("revision", "1")];
    let fields = fields.map(|(a, b)| (a.to_owned(), b.to_owned()));
    assert_ne!(with_json(&mut bench, &path, &fields).status, StatusCode::FORBIDDEN);
    // JSON that comes with a cookie is no form; a program has its token.
    let json = [("content-type", "application/json"), ("sec-fetch-site", "same-origin")];
    let refused = bench.ask("POST", "/api/customers", &json, br#"{"name":"Reed"}"#);
    assert_eq!(refused.status, StatusCode::FORBIDDEN);
    assert_eq!(refused.json()["status"], 403);
}

#[test]
fn every_form_of_every_page_carries_the_token_and_no_address_does() {
    let (_folder, mut bench) = begun();
    sprint_boat(&mut bench);
    bench.must("/customers", &[("name", "Reed Racing")]);
    bench.must("/gauges", &[("name", "M-3"), ("kind", "micrometer"), ("repeat", "2 um")]);
    let own = bench.form_token();
    let mut forms = 0;
    // Whoever comes to the door has no session yet.
    let door = ["/in", "/first"].map(str::to_owned);
    for path in crate::rights::pages().filter(|path| !door.contains(path)) {
        let page = bench.get(&path).text();
        for form in page.split("<form ").skip(1) {
            let form = form.split("</form>").next().unwrap();
            let tag = form.split('>').next().unwrap();
            let hidden = format!("type=\"hidden\" name=\"form_token\" value=\"{own}\"");
            // The token in an address would stand in the history of the browser.
            assert_eq!(tag.contains("method=\"post\""), form.contains(&hidden), "{path}: {form}");
            forms += 1;
        }
        assert!(!page.contains(&format!("form_token={own}")), "{path}");
    }
    assert!(forms > 60, "{forms}");
}

#[test]
fn the_cookie_is_kept_from_scripts_and_other_sites() {
    let (_folder, bench) = new_shop();
    let file = bench.shop().file().to_owned();
    drop(bench);
    for (secure, starts) in [(false, "lobewright="), (true, "__Host-lobewright=")] {
        let shop = Shop::open(&file, &at(0)).unwrap();
        if shop.people().unwrap().is_empty() {
            shop.add_person(OWNER, "owner").unwrap();
        }
        let app = App::new(shop, || at(0)).watched(|_| ());
        let app = if secure { app.encrypted() } else { app };
        let mut bench = Bench { app: Arc::new(app), cookie: None };
        let first = [("shop", "S"), ("name", OWNER), ("password", PASSWORD), ("again", PASSWORD)];
        let answer = if secure {
            bench.send("/in", &[("name", OWNER), ("password", PASSWORD)])
        } else {
            bench.send("/first", &first)
        };
        let cookie = answer.headers["set-cookie"].to_str().unwrap();
        assert!(cookie.starts_with(starts), "{cookie}");
        assert!(cookie.contains("; Path=/; HttpOnly; SameSite=Strict; Max-Age=43200"), "{cookie}");
        assert_eq!(cookie.ends_with("; Secure"), secure, "{cookie}");
        assert_eq!(answer.headers.get("strict-transport-security").is_some(), secure);
        bench.page("/builds");
        // A cookie of the other name opens nothing: over an encrypted line anybody may have set it.
        let value = bench.cookie.clone().unwrap().split_once('=').unwrap().1.to_owned();
        let other = if secure { "lobewright" } else { "__Host-lobewright" };
        bench.cookie = Some(format!("{other}={value}"));
        assert_eq!(bench.get("/builds").to(), "/in");
        // The file has no token, only its hash.
        let bytes = std::fs::read(bench.shop().file()).unwrap();
        assert!(!bytes.windows(value.len()).any(|w| w == value.as_bytes()));
        assert!(bench.shop().session(Sha::of(value.as_bytes()), &at(1)).unwrap().is_some());
    }
}

/// Tries to sign in from an address; what came back.
fn try_from(shop: &mut Watched, from: &str, name: &str, password: &str) -> crate::bench::Answer {
    let cookie = shop.bench.cookie.take();
    let body = form_urlencoded::Serializer::new(String::new())
        .extend_pairs([("name", name), ("password", password)])
        .finish();
    let headers = [
        ("content-type", "application/x-www-form-urlencoded"),
        ("sec-fetch-site", "same-origin"),
        ("test-from", from),
    ];
    let answer = shop.bench.ask("POST", "/in", &headers, body.as_bytes());
    shop.bench.cookie = cookie;
    answer
}

#[test]
fn wrong_passwords_wait_and_whoever_is_in_works_on() {
    let mut shop = watched();
    let (bench, attacker, third) = ("192.0.2.7", "192.0.2.66", "192.0.2.67");
    // The owner signed in before at her own bench.
    assert_eq!(try_from(&mut shop, bench, OWNER, PASSWORD).status, StatusCode::SEE_OTHER);
    let mut looked_at = 0;
    for n in 0..40 {
        let answer = try_from(&mut shop, attacker, OWNER, &format!("a wrong one {n}"));
        match answer.status {
            StatusCode::UNPROCESSABLE_ENTITY => looked_at += 1,
            StatusCode::TOO_MANY_REQUESTS => {
                assert_eq!(answer.headers["retry-after"], "40");
                assert!(answer.text().contains("wait 40 seconds"), "{}", answer.text());
            }
            other => panic!("{other}: {}", answer.text()),
        }
    }
    assert_eq!(looked_at, 5);
    // The right one is not looked at either, there or from another address.
    for from in [attacker, third] {
        let answer = try_from(&mut shop, from, OWNER, PASSWORD);
        assert_eq!(answer.status, StatusCode::TOO_MANY_REQUESTS, "{from}");
    }
    // Where she was before she comes in, works on and signs.
    assert_eq!(try_from(&mut shop, bench, OWNER, PASSWORD).status, StatusCode::SEE_OTHER);
    assert!(shop.signed_in());
    sprint_boat(&mut shop.bench);
    let page = shop.bench.page("/builds/1");
    let seen = between(&page, "name=\"seen\" value=\"", "\"").to_owned();
    let sign = |password| [("seen", seen.as_str()), ("meaning", "built"), ("password", password)];
    // At her own bench, too, passwords are not tried for ever.
    for _ in 0..5 {
        let answer = shop.bench.send("/builds/1/sign", &sign("cold start 8"));
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
    }
    let answer = shop.bench.send("/builds/1/sign", &sign(PASSWORD));
    assert_eq!(answer.status, StatusCode::TOO_MANY_REQUESTS);
    shop.set(1);
    shop.bench.must("/builds/1/sign", &sign(PASSWORD));
    // After a while one more is looked at from elsewhere.
    assert_eq!(try_from(&mut shop, third, OWNER, PASSWORD).status, StatusCode::SEE_OTHER);
    let lines = shop.lines.lock().unwrap().join("\n");
    assert!(lines.contains("sign-in must wait") && lines.contains(attacker), "{lines}");
    assert!(!lines.contains("a wrong one"), "{lines}");
}

#[test]
fn a_refused_right_is_noted() {
    let mut shop = watched();
    let person = shop.bench.shop().add_person("Cleo\nSparks \"mill\"", "machinist").unwrap();
    let token = "f".repeat(64);
    let session = records::Session { person, until: at(60) };
    shop.bench.shop().open_session(Sha::of(token.as_bytes()), &session, &at(0)).unwrap();
    shop.bench.cookie = Some(format!("lobewright={token}"));
    shop.lines.lock().unwrap().clear();
    assert_eq!(shop.bench.send("/people", &[("name", "x")]).status, StatusCode::FORBIDDEN);
    let from = [("test-from", "192.0.2.9"), ("sec-fetch-site", "same-origin")];
    shop.bench.ask("POST", "/people", &from, b"form_token=wrong");
    let lines = shop.lines.lock().unwrap().clone();
    assert_eq!(lines.len(), 2, "{lines:?}");
    for (line, event) in lines.iter().zip(["rights refused", "form refused"]) {
        assert!(!line.contains('\n') && !line.contains(&token), "{line}");
        let line: serde_json::Value = serde_json::from_str(line).unwrap();
        assert_eq!(line["security"], event);
        assert_eq!(line["person"], "Cleo\nSparks \"mill\"");
        assert_eq!(line["about"], "/people");
    }
    assert!(lines[1].contains("192.0.2.9"), "{lines:?}");
}

#[test]
fn programs_and_names_that_nobody_has_wait_alike() {
    let mut shop = watched();
    let mut statuses = Vec::new();
    for n in 0..8 {
        let body = format!(r#"{{"name":"Nobody {n}","password":"x"}}"#);
        let headers = [("content-type", "application/json"), ("test-from", "192.0.2.66")];
        let cookie = shop.bench.cookie.take();
        let answer = shop.bench.ask("POST", "/api/session", &headers, body.as_bytes());
        shop.bench.cookie = cookie;
        assert_eq!(answer.json()["status"], answer.status.as_u16());
        statuses.push(answer.status.as_u16());
    }
    assert_eq!(statuses, [422, 422, 422, 422, 422, 429, 429, 429]);
    // From one address no more than so many, whoever is meant.
    for n in 0..10 {
        let (name, role) = (format!("Person {n}"), "builder");
        shop.bench.shop().add_person(&name, role).unwrap();
    }
    let wrong: usize = (0..10)
        .flat_map(|n| (0..5).map(move |_| format!("Person {n}")))
        .filter(|name| {
            let answer = try_from(&mut shop, "192.0.2.66", name, "x");
            answer.status == StatusCode::UNPROCESSABLE_ENTITY
        })
        .count();
    assert_eq!(wrong, 25);
    assert_eq!(
        try_from(&mut shop, "192.0.2.67", "Person 9", "x").status,
        StatusCode::UNPROCESSABLE_ENTITY
    );
}
