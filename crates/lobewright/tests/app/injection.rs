//! What looks like a script or a query is text.

use crate::bench::{Bench, begun, sprint_boat};
use axum::http::StatusCode;
use records::PartKind;

const NASTY: [&str; 4] = [
    "<script>alert(1)</script>",
    "\"><img src=x onerror=alert(1)>",
    "'; DROP TABLE part; --",
    "{{7*7}} \u{1f980} &amp; \u{202e}abc",
];

/// No page holds a piece of it that a browser would run.
fn harmless(bench: &mut Bench, path: &str) -> String {
    let page = bench.page(path);
    assert!(!page.contains("<script>alert") && !page.contains("<img src=x"), "{path}");
    page
}

#[test]
fn what_is_typed_comes_back_as_text() {
    for nasty in NASTY {
        let (_folder, mut bench) = begun();
        sprint_boat(&mut bench);
        let escaped = nasty
            .replace('&', "&amp;")
            .replace('<', "&lt;")
            .replace('>', "&gt;")
            .replace('"', "&quot;");
        // Values, parts, findings, signatures, reasons, searches.
        bench.must(
            "/builds/1/values/spec",
            &[("revision", "1"), ("is:spec.name", nasty), ("was:spec.name", "\"sprint, boosted\"")],
        );
        assert!(harmless(&mut bench, "/builds/1").contains(&escaped), "{nasty}");
        bench.must("/builds/1/parts", &[("kind", "shaft"), ("serial", nasty)]);
        assert!(bench.shop().part_of(PartKind::Shaft, nasty).unwrap().is_some());
        assert!(harmless(&mut bench, "/builds/1").contains(&escaped), "{nasty}");
        let query: String =
            form_urlencoded::Serializer::new(String::new()).append_pair("find", nasty).finish();
        assert!(harmless(&mut bench, &format!("/builds?{query}")).contains(&escaped));
        let query: String = form_urlencoded::Serializer::new(String::new())
            .append_pair("at", nasty)
            .append_pair("kept", nasty)
            .append_pair("as", nasty)
            .append_pair("mind", nasty)
            .append_pair("unit", nasty)
            .append_pair("gauge", nasty)
            .append_pair("temperature", nasty)
            .finish();
        let part = bench.shop().part_of(PartKind::Rotor, "R-114").unwrap().unwrap().id;
        assert!(
            harmless(&mut bench, &format!("/builds/1/readings/{part}/before?{query}"))
                .contains(&escaped)
        );
        let fields = [("revision", "1"), ("station", "mass"), ("value", nasty), ("unit", nasty)];
        let refused = bench.send(&format!("/builds/1/readings/{part}/before"), &fields);
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "{nasty}");
        assert!(
            !refused.text().contains("<script>alert") && !refused.text().contains("<img src=x")
        );
        let page = bench.page("/builds/1");
        let seen = crate::bench::between(&page, "name=\"seen\" value=\"", "\"").to_owned();
        bench.must(
            "/builds/1/sign",
            &[("seen", &seen), ("meaning", nasty), ("password", crate::bench::PASSWORD)],
        );
        assert!(harmless(&mut bench, "/builds/1").contains(&escaped));
        bench.must(
            "/builds/1/findings",
            &[
                ("part", ""),
                ("place", nasty),
                ("contact", "seen"),
                ("running", nasty),
                ("note", nasty),
            ],
        );
        assert!(harmless(&mut bench, "/builds/1").matches(&escaped).count() >= 4);
        let page = bench.page("/builds/1");
        let seen = crate::bench::between(&page, "name=\"seen\" value=\"", "\"").to_owned();
        bench.must("/builds/1/amend", &[("seen", &seen), ("reason", nasty)]);
        assert!(harmless(&mut bench, "/builds/1").contains(&escaped));
        for path in [
            "/builds/1/sign",
            "/builds/1/amend",
            "/builds/1/parts",
            "/builds/1/what-if",
            "/builds/new",
        ] {
            let fields = [
                "seen", "meaning", "password", "reason", "kind", "serial", "speed", "boost",
                "step", "name", "engine", "spec", "by", "revision", "customer",
            ]
            .map(|name| (name, nasty));
            let answer = bench.send(path, &fields);
            assert!(answer.status.is_client_error(), "{path}: {}", answer.status);
            assert!(!answer.text().contains("<script>alert"), "{path}");
        }
        bench.shop().audit().unwrap();
    }
}
