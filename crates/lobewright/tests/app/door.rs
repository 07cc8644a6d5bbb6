//! Who is let in: the first start, names and passwords, foreign hosts, foreign pages.

use crate::bench::{OWNER, PASSWORD, begun, new_shop};
use axum::http::StatusCode;

#[test]
fn a_new_shop_asks_for_its_owner_once() {
    let (_folder, mut bench) = new_shop();
    assert_eq!(bench.get("/").to(), "/first");
    assert_eq!(bench.get("/in").to(), "/first");
    assert!(bench.page("/first").contains("A new shop"));
    let short = [("shop", "S"), ("name", "N"), ("password", "short"), ("again", "short")];
    let refused = bench.send("/first", &short);
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(refused.text().contains("at least 12 characters"));
    let (_folder, mut bench) = begun();
    let again = [("shop", "S"), ("name", "N"), ("password", PASSWORD), ("again", PASSWORD)];
    assert_eq!(bench.send("/first", &again).status, StatusCode::UNPROCESSABLE_ENTITY);
    assert_eq!(bench.shop().people().unwrap().len(), 1);
    let kept = bench.shop().password(bench.shop().people().unwrap()[0].id).unwrap().unwrap();
    assert!(kept.starts_with("$argon2id$"), "{kept}");
}

#[test]
fn only_the_right_password_opens() {
    let (_folder, mut bench) = begun();
    bench.must("/out", &[]);
    assert_eq!(bench.cookie, None);
    assert_eq!(bench.get("/builds").to(), "/in");
    let wrong = bench.send("/in", &[("name", OWNER), ("password", "cold start 8")]);
    assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
    let nobody = bench.send("/in", &[("name", "Nobody"), ("password", PASSWORD)]);
    assert_eq!(wrong.text(), nobody.text());
    bench.must("/in", &[("name", OWNER), ("password", PASSWORD)]);
    let cookie = bench.cookie.clone().unwrap();
    bench.must("/out", &[]);
    // The token that was signed out opens nothing any more.
    bench.cookie = Some(cookie);
    assert_eq!(bench.get("/builds").to(), "/in");
}

#[test]
fn foreign_names_and_foreign_pages_are_turned_away() {
    let (_folder, mut bench) = begun();
    for host in ["evil.example", "127.0.0.1", "127.0.0.1:1", "localhost.evil.example:49731"] {
        let answer = bench.ask("GET", "/builds", &[("host", host)], &[]);
        assert_eq!(answer.status, StatusCode::MISDIRECTED_REQUEST, "{host}");
    }
    assert_eq!(
        bench.ask("GET", "/guide", &[("host", "localhost:49731")], &[]).status,
        StatusCode::OK
    );
    for headers in [[("sec-fetch-site", "cross-site")], [("origin", "http://evil.example")]] {
        assert_eq!(bench.ask("POST", "/out", &headers, &[]).status, StatusCode::FORBIDDEN);
    }
    assert!(bench.cookie.is_some());
}

#[test]
fn every_answer_says_what_it_may_do() {
    let (_folder, mut bench) = begun();
    for path in ["/builds", "/look.css", "/bench.js", "/line.js", "/nowhere"] {
        let answer = bench.get(path);
        let policy = answer.headers["content-security-policy"].to_str().unwrap();
        assert!(policy.starts_with("default-src 'none'") && !policy.contains("unsafe"), "{policy}");
        assert_eq!(answer.headers["x-content-type-options"], "nosniff");
    }
    assert_eq!(bench.get("/nowhere").status, StatusCode::NOT_FOUND);
}
