//! What nobody should send comes back as text, or is refused; it is never a fault.

use super::boat::{Known, boat};
use super::program::{Program, signed_in};
use crate::bench::{Answer, begun};
use serde_json::{Value, json};

const STRINGS: [&str; 7] = [
    "'; DROP TABLE build; --",
    "<script>alert(1)</script>",
    "\"]\n[engine]\nrotors = 9\n#",
    "\u{0}\u{1b}[31m",
    "../../etc/passwd",
    "\u{202e}R-411\u{2066}",
    "79.9e999 mm",
];

fn other_types() -> Vec<Value> {
    let deep = (0..100).fold(json!(1), |inner, _| json!([inner]));
    vec![
        json!(null),
        json!(true),
        json!(-1),
        json!(i64::MAX),
        json!(1.5e300),
        json!(""),
        json!([]),
        json!({}),
        deep,
    ]
}

/// The places of everything in a body, by pointers.
fn places(value: &Value, at: &str, into: &mut Vec<String>) {
    let each: Vec<(String, &Value)> = match value {
        Value::Object(map) => map.iter().map(|(name, inner)| (name.clone(), inner)).collect(),
        Value::Array(list) => {
            list.iter().enumerate().map(|(n, inner)| (n.to_string(), inner)).collect()
        }
        _ => Vec::new(),
    };
    for (name, inner) in each {
        let place = format!("{at}/{name}");
        places(inner, &place, into);
        into.push(place);
    }
}

fn no_fault(answer: &Answer, what: &str) {
    assert!(answer.status.as_u16() < 500, "{what}: {} {}", answer.status, answer.text());
}

/// Sends something hostile in each place of a body, and counts.
fn each_place(program: &mut Program, known: &Known, (path, build): (&str, i64)) -> usize {
    let seen = program.get("/api/builds/{build}", &[build], "")["seen"].clone();
    let body = known.body(path, &seen);
    let (mut all, mut count) = (Vec::new(), 0);
    places(&body, "", &mut all);
    for place in all {
        let strings = STRINGS.iter().map(|text| json!(text));
        for hostile in strings.chain(other_types()) {
            let mut sent = body.clone();
            *sent.pointer_mut(&place).unwrap() = hostile;
            let answer = program.ask(("POST", path), &[build, build], "", Some(&sent));
            no_fault(&answer, &format!("{path} {place} {sent}"));
            count += 1;
        }
    }
    count
}

#[test]
fn hostile_fields_are_text_or_refused() {
    let (_folder, mut program) = signed_in();
    let known = boat(&mut program);
    let mut count = 0;
    for path in ["/api/builds", "/api/parts", "/api/gauges", "/api/customers"] {
        count += each_place(&mut program, &known, (path, 1));
    }
    count += each_place(&mut program, &known, ("/api/gauges/{gauge}/calibrations", 1));
    for path in ["values", "parts", "findings", "due", "readings", "amend"] {
        let path = format!("/api/builds/{{build}}/{path}");
        count += each_place(&mut program, &known, (&path, 1));
    }
    assert!(count > 700, "{count}");
    // What was taken is told as it was sent.
    let customers = program.get("/api/customers", &[], "");
    let names: Vec<&str> = customers["customers"]
        .as_array()
        .unwrap()
        .iter()
        .map(|customer| customer["name"].as_str().unwrap())
        .collect();
    for text in [STRINGS[0], STRINGS[1], STRINGS[4], STRINGS[5]] {
        assert!(names.contains(&text), "{text:?} of {names:?}");
    }
    assert_eq!(program.get("/api/audit", &[], "")["fits"], true);
}

#[test]
fn hostile_passwords_and_seals_are_refused() {
    let (_folder, mut program) = signed_in();
    let known = boat(&mut program);
    for body in [
        json!({ "name": "' OR 1=1 --", "password": "' OR 1=1 --" }),
        json!({ "name": "", "password": "" }),
        json!({ "name": ["Ada Quill"], "password": "x" }),
        json!({ "name": "Ada Quill", "password": "x".repeat(100_000) }),
    ] {
        program.refused(("POST", "/api/session"), &[], "", (Some(&body), 422));
    }
    let seen = program.get("/api/builds/{build}", &[1], "")["seen"].clone();
    let sign = |field: &str, value: Value| {
        let mut body = known.body("/api/builds/{build}/sign", &seen);
        *body.pointer_mut(field).unwrap() = value;
        body
    };
    for (field, value, status) in [
        ("/password", json!("cold start 8"), 422),
        ("/password", json!(null), 422),
        ("/seen/head", json!("f".repeat(64)), 409),
        ("/seen/head", json!("zz"), 422),
        ("/seen/head", json!("é".repeat(32)), 422),
        ("/seen/revision", json!(i64::MIN), 409),
        ("/seen", json!("1"), 422),
    ] {
        let body = sign(field, value);
        let row = ("POST", "/api/builds/{build}/sign");
        program.refused(row, &[1], "", (Some(&body), status));
    }
    assert_eq!(program.get("/api/builds/{build}", &[1], "")["open"], true);
}

#[test]
fn hostile_addresses_and_bodies_are_refused() {
    let (_folder, mut program) = signed_in();
    boat(&mut program);
    let numbers = ["1%20OR%201=1", "-1", "9223372036854775808", "%00", "..%2F2", "1%27", "%F0%9F"];
    let operations: Vec<(String, String)> = program.contract.operations().into_keys().collect();
    for (method, path) in operations.iter().filter(|(_, path)| path.contains('{')) {
        for number in numbers {
            let address: Vec<&str> =
                path.split('/').map(|p| if p.starts_with('{') { number } else { p }).collect();
            let answer = program.ask_at((method, path), &address.join("/"), None);
            assert!((400..500).contains(&answer.status.as_u16()), "{address:?} {}", answer.text());
        }
    }
    let queries =
        ["find=%27%3BDROP", "from=-1", "from=99999999999999", "which=%00", "=", "&&", "find=%"];
    for query in queries {
        let answer = program.ask_at(("GET", "/api/builds"), &format!("/api/builds?{query}"), None);
        no_fault(&answer, query);
    }
    for query in ["rpm=NaN", "rpm=inf", "rpm=-9000", "rpm=1e300", "draws=1e9", "boost=%22"] {
        let row = ("GET", "/api/builds/{build}/speed");
        program.refused(row, &[1], query, (None, 422));
    }
    let parts = program.get("/api/parts", &[], "serial=%25");
    assert_eq!(parts["parts"], json!([]));
    let row = ("POST", "/api/customers");
    let deep = [b'['; 100_000];
    for body in [
        &b"{"[..],
        b"",
        b"\xff\xfe",
        b"{\"name\": 1e400}",
        b"{\"name\": \"\\ud800\"}",
        b"{\"name\": \"a\", \"name\": \"b\"} x",
        &deep,
    ] {
        let answer = program.ask_at(row, "/api/customers", Some(body));
        assert_eq!(answer.status.as_u16(), 422, "{}", answer.text());
    }
    let large = vec![b' '; 18 * 1024 * 1024];
    let answer = program.ask_at(row, "/api/customers", Some(&large));
    assert_eq!(answer.json()["status"], 413, "{}", answer.text());
    assert_eq!(program.get("/api/customers", &[], "")["customers"].as_array().unwrap().len(), 1);
}

#[test]
fn a_page_of_another_place_sends_nothing_with_the_cookie_of_this_one() {
    let (_folder, mut bench) = begun();
    let mut send = |headers: &[(&str, &str)]| {
        let json = [("content-type", "application/json")];
        let headers: Vec<(&str, &str)> = json.iter().chain(headers).copied().collect();
        bench.ask("POST", "/api/customers", &headers, br#"{ "name": "Reed Racing" }"#).status
    };
    assert_eq!(send(&[("sec-fetch-site", "cross-site")]), 403);
    assert_eq!(send(&[("origin", "http://evil.example")]), 403);
    assert_eq!(send(&[("host", "evil.example")]), 421);
    // Of its own pages neither: none of them sends JSON. A program shows its token itself.
    assert_eq!(send(&[("sec-fetch-site", "same-origin")]), 403);
    assert_eq!(bench.shop().customers("").unwrap().len(), 0);
}

#[test]
fn nothing_is_taken_that_is_not_sent_as_json() {
    let (_folder, mut bench) = begun();
    let body =
        format!(r#"{{"name":"{}","password":"{}"}}"#, crate::bench::OWNER, crate::bench::PASSWORD);
    for kind in ["text/plain", "application/xml", "application/x-www-form-urlencoded", "text/json"]
    {
        let answer = bench.ask("POST", "/api/session", &[("content-type", kind)], body.as_bytes());
        assert_eq!(answer.status.as_u16(), 415, "{kind}: {}", answer.text());
        assert!(
            answer.json()["error"].as_str().unwrap().contains("content-type: application/json")
        );
    }
    let json = [("content-type", "application/json")];
    assert_eq!(bench.ask("POST", "/api/session", &json, body.as_bytes()).status, 200);
}

#[test]
fn no_other_site_may_read_anything() {
    let (_folder, mut bench) = begun();
    for method in ["GET", "OPTIONS"] {
        for path in ["/api/builds", "/builds", "/api/openapi.json", "/bench.js"] {
            let headers =
                [("origin", "http://evil.example"), ("access-control-request-method", "POST")];
            let answer = bench.ask(method, path, &headers, &[]);
            let allowed =
                answer.headers.keys().any(|name| name.as_str().starts_with("access-control"));
            assert!(!allowed, "{method} {path}: {:?}", answer.headers);
            assert_eq!(answer.headers["cross-origin-resource-policy"], "same-origin");
        }
    }
}
