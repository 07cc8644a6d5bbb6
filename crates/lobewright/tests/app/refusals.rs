//! Every refusal is a page that a person understands, and JSON for a program: what happened, and
//! what to do.

use crate::bench::{Answer, Bench, begun, between, sprint_boat};
use axum::http::StatusCode;
use lobewright::web::{App, Listening, Told, serve};
use std::io::{Read, Write};
use std::net::{SocketAddr, TcpStream};
use std::sync::{Arc, mpsc};
use std::time::Duration;

/// A page with a title, what happened, and what to do.
fn is_page(answer: &Answer, status: u16, happened: &str, to_do: &str) {
    let page = answer.text();
    assert_eq!(answer.status.as_u16(), status, "{page}");
    assert_eq!(answer.headers["content-type"], "text/html; charset=utf-8", "{status}: {page}");
    assert!(page.starts_with("<!DOCTYPE html>") && page.contains("/look.css"), "{page}");
    let main = between(&page, "<main id=\"main\">", "</main>");
    assert!(main.starts_with("<h1>"), "{status}: {main}");
    assert!(between(main, "role=\"alert\"", "</div>").contains(happened), "{status}: {main}");
    let (_, after) = main.split_once("</div>").unwrap();
    assert!(after.contains(to_do), "{status}: {main}");
    guarded(answer);
}

fn is_json(answer: &Answer, status: u16, happened: &str) {
    assert_eq!(answer.status.as_u16(), status, "{}", answer.text());
    assert_eq!(answer.headers["content-type"], "application/json");
    let told = answer.json();
    assert_eq!(told["status"], status);
    assert!(told["error"].as_str().unwrap().contains(happened), "{told}");
    assert!(told.get("conflict").is_some(), "{told}");
    guarded(answer);
}

fn guarded(answer: &Answer) {
    assert!(answer.headers["content-security-policy"].to_str().unwrap().contains("'none'"));
    assert_eq!(answer.headers["x-content-type-options"], "nosniff");
}

/// Sends as a page of this app would, with other headers beside.
fn sent(bench: &mut Bench, method: &str, path: &str, headers: &[(&str, &str)]) -> Answer {
    let own = [("sec-fetch-site", "same-origin")];
    let all: Vec<(&str, &str)> = if headers.iter().any(|(name, _)| *name == "sec-fetch-site") {
        headers.to_vec()
    } else {
        own.iter().chain(headers).copied().collect()
    };
    bench.ask(method, path, &all, b"name=x")
}

#[test]
fn whoever_may_not_is_told_why_and_what_to_do() {
    let (_folder, mut bench) = begun();
    let cookie = bench.cookie.take();
    is_page(
        &sent(&mut bench, "POST", "/customers", &[]),
        401,
        "Nobody is signed in",
        "Sign in on a page of its own",
    );
    assert_eq!(bench.get("/customers").to(), "/in");
    is_json(&bench.get("/api/builds"), 401, "nobody is signed in");
    bench.cookie = cookie;
    let foreign = [("sec-fetch-site", "cross-site")];
    is_page(
        &sent(&mut bench, "POST", "/customers", &foreign),
        403,
        "of another site",
        "Open the shop at its own address",
    );
    is_json(&sent(&mut bench, "POST", "/api/customers", &foreign), 403, "of another site");
    is_page(&sent(&mut bench, "POST", "/customers", &[]), 403, "before you signed in", "Send it");
    is_page(&bench.get("/nowhere"), 404, "no such page", "To the shop");
    is_page(&bench.get("/builds/99"), 404, "no build 99", "Go back");
    is_json(&bench.get("/api/nowhere"), 404, "no such page");
    for name in ["evil.example", "127.0.0.1:1"] {
        let answer = bench.ask("GET", "/builds", &[("host", name)], &[]);
        is_page(&answer, 421, "does not answer under the name", "127.0.0.1 or localhost");
    }
    let answer = bench.ask("GET", "/api/builds", &[("host", "evil.example")], &[]);
    is_json(&answer, 421, "does not answer under the name");
}

#[test]
fn what_is_sent_the_wrong_way_has_a_page() {
    let (_folder, mut bench) = begun();
    for (method, path) in
        [("PUT", "/builds"), ("DELETE", "/customers"), ("POST", "/builds"), ("GET", "/out")]
    {
        let answer = sent(&mut bench, method, path, &[]);
        is_page(&answer, 405, "takes nothing that is sent this way", "To the shop");
        assert!(answer.headers.contains_key("allow"), "{method} {path}");
    }
    is_json(&sent(&mut bench, "PATCH", "/api/builds", &[]), 405, "takes nothing");
    let long = "x".repeat(9000);
    let address = format!("/builds?find={long}");
    is_page(&bench.get(&address), 414, "address is longer", "list of builds");
    is_json(&bench.get(&format!("/api/builds?find={long}")), 414, "address is longer");
    let headers = [("x-long", "y".repeat(20_000))];
    let headers = headers.each_ref().map(|(name, value)| (*name, value.as_str()));
    is_page(
        &bench.ask("GET", "/builds", &headers, &[]),
        431,
        "sends along with every page is too long",
        "Remove this site's cookies",
    );
    is_json(&bench.ask("GET", "/api/builds", &headers, &[]), 431, "too long");
    let form = [("content-type", "application/x-www-form-urlencoded")];
    let large = vec![b'a'; 18 * 1024 * 1024];
    let answer = bench.ask("POST", "/customers", &form, &large);
    is_page(&answer, 413, "the most is 17 MiB", "Go back");
    // Whoever is signed in still is, on that page.
    assert!(answer.text().contains("Sign out"), "{}", answer.text());
    bench.cookie = None;
    let answer = bench.ask("POST", "/in", &form, &large[..70_000]);
    is_page(&answer, 413, "the most is 64 KiB before somebody signs in", "Go back");
}

#[test]
fn what_never_arrives_is_not_waited_for() {
    let (_folder, bench) = begun();
    let file = bench.shop().file().to_owned();
    let now = || records::Moment::new("2026-11-28T09:30:00Z").unwrap();
    drop(bench);
    let app = App::new(records::Shop::open(&file, &now()).unwrap(), now);
    let (tell, told) = mpsc::channel::<SocketAddr>();
    // Served until this test's process ends.
    std::thread::spawn(move || {
        let hear = move |told| {
            if let Told::Open { at, .. } = told {
                tell.send(at).unwrap();
            }
        };
        serve(app.patient(Duration::from_millis(100)), &Listening::loopback(0), hear).unwrap();
    });
    let address = told.recv().unwrap();
    for (path, kind) in [("/in", "text/html"), ("/api/session", "application/json")] {
        let mut line = TcpStream::connect(address).unwrap();
        line.set_read_timeout(Some(Duration::from_secs(60))).unwrap();
        write!(
            line,
            "POST {path} HTTP/1.1\r\nHost: {address}\r\nContent-Length: 100\r\n\
             Connection: close\r\n\r\nname="
        )
        .unwrap();
        let mut answer = String::new();
        line.read_to_string(&mut answer).unwrap();
        assert!(answer.starts_with("HTTP/1.1 408"), "{answer}");
        assert!(answer.contains(kind) && answer.contains("did not arrive in time"), "{answer}");
    }
}

#[test]
fn every_page_is_guarded_and_has_nothing_inline() {
    let (_folder, mut bench) = begun();
    sprint_boat(&mut bench);
    bench.must("/gauges", &[("name", "M-3"), ("kind", "micrometer"), ("repeat", "2 um")]);
    let mut pages = 0;
    for path in crate::rights::pages() {
        let answer = bench.get(&path);
        guarded(&answer);
        for (name, value) in [
            ("x-frame-options", "DENY"),
            ("referrer-policy", "same-origin"),
            ("cross-origin-opener-policy", "same-origin"),
            ("cross-origin-resource-policy", "same-origin"),
        ] {
            assert_eq!(answer.headers[name], value, "{path}");
        }
        assert!(
            answer.headers["permissions-policy"].to_str().unwrap().contains("camera=()"),
            "{path}"
        );
        assert!(!answer.headers.contains_key("strict-transport-security"), "{path}");
        assert!(!answer.headers.contains_key("server"), "{path}");
        let policy = answer.headers["content-security-policy"].to_str().unwrap();
        if answer.status == StatusCode::OK
            && answer.headers["content-type"] == "text/html; charset=utf-8"
        {
            for part in [
                "default-src 'none'",
                "script-src 'self'",
                "style-src 'self'",
                "object-src 'none'",
                "frame-ancestors 'none'",
                "form-action 'self'",
                "base-uri 'none'",
            ] {
                assert!(policy.contains(part), "{path}: {policy}");
            }
            assert!(!policy.contains("unsafe") && !policy.contains('*'), "{policy}");
            let page = answer.text();
            // Every tag, without its text and its quoted values.
            for tag in page.split('<').skip(1).map(|tag| tag.split('>').next().unwrap()) {
                let bare: String = tag.split('"').step_by(2).collect();
                assert!(!bare.contains(" style="), "{path}: {tag}");
                let handler =
                    bare.split_whitespace().any(|a| a.starts_with("on") && a.ends_with('='));
                assert!(!handler, "{path}: {tag}");
                assert!(!tag.to_lowercase().contains("javascript:"), "{path}: {tag}");
                if tag.starts_with("script") {
                    // One file, named by the hash of what the program has.
                    let own = tag.strip_prefix("script type=\"module\" src=\"/bench.js?as=");
                    let hash = own.and_then(|own| own.strip_suffix('"')).unwrap_or_default();
                    let hex = hash.chars().all(|c| c.is_ascii_hexdigit());
                    assert!(hash.len() == 16 && hex, "{path}: {tag}");
                }
                assert!(!tag.starts_with("style"), "{path}: {tag}");
            }
            pages += 1;
        }
    }
    assert!(pages >= 31, "{pages}");
    let app = Arc::clone(&bench.app);
    assert_eq!(Bench { app, cookie: None }.get("/in").status, StatusCode::OK);
}
