//! A bench: a browser without a screen, that keeps its cookie and asks the router directly.

use axum::body::{Body, to_bytes};
use axum::extract::ConnectInfo;
use axum::http::header::{CONTENT_TYPE, COOKIE, HOST, LOCATION, SET_COOKIE};
use axum::http::{HeaderMap, Request, StatusCode};
use lobewright::web::{App, router};
use records::{Moment, Sha, Shop};
use std::net::SocketAddr;
use std::sync::Arc;
use tempfile::TempDir;
use tower::ServiceExt;

/// The port that the router believes it has.
pub(crate) const PORT: u16 = 49731;
/// The owner of a shop that has begun.
pub(crate) const OWNER: &str = "Ada Quill";
/// The owner's password.
pub(crate) const PASSWORD: &str = "cold start 7";

/// An answer.
#[derive(Debug)]
pub(crate) struct Answer {
    pub(crate) status: StatusCode,
    pub(crate) headers: HeaderMap,
    pub(crate) body: Vec<u8>,
}

impl Answer {
    pub(crate) fn text(&self) -> String {
        String::from_utf8_lossy(&self.body).into_owned()
    }

    /// Where it sends the browser.
    pub(crate) fn to(&self) -> &str {
        self.headers.get(LOCATION).map_or("", |to| to.to_str().unwrap())
    }

    pub(crate) fn json(&self) -> serde_json::Value {
        serde_json::from_slice(&self.body).unwrap_or_else(|_| panic!("no JSON: {}", self.text()))
    }
}

/// One browser.
#[derive(Clone)]
pub(crate) struct Bench {
    pub(crate) app: Arc<App>,
    pub(crate) cookie: Option<String>,
}

/// A shop in a folder of its own, as it is before its first start, at half past nine.
pub(crate) fn new_shop() -> (TempDir, Bench) {
    let folder = tempfile::tempdir().unwrap();
    let shop = Shop::create(&folder.path().join("shop.db")).unwrap();
    (folder, over(shop))
}

/// A bench over a shop.
pub(crate) fn over(shop: Shop) -> Bench {
    let app = App::new(shop, || Moment::new("2026-11-28T09:30:00Z").unwrap());
    Bench { app: Arc::new(app), cookie: None }
}

/// A shop that has begun, with its owner signed in.
pub(crate) fn begun() -> (TempDir, Bench) {
    let (folder, mut bench) = new_shop();
    let first = [
        ("shop", "Quill Rotary"),
        ("name", OWNER),
        ("password", PASSWORD),
        ("again", PASSWORD),
        ("units", "metric"),
    ];
    let answer = bench.send("/first", &first);
    assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text());
    (folder, bench)
}

impl Bench {
    pub(crate) fn shop(&self) -> &Shop {
        self.app.shop()
    }

    /// Asks with these headers beside the usual ones.
    pub(crate) fn ask(
        &mut self,
        method: &str,
        path: &str,
        headers: &[(&str, &str)],
        body: &[u8],
    ) -> Answer {
        let mut request = Request::builder().method(method).uri(path);
        if !headers.iter().any(|(name, _)| name.eq_ignore_ascii_case("host")) {
            request = request.header(HOST, format!("127.0.0.1:{PORT}"));
        }
        if let Some(cookie) = &self.cookie {
            request = request.header(COOKIE, cookie);
        }
        for (name, value) in headers {
            // Not a header of ours: the address that the line comes from.
            if *name == "test-from" {
                let from: SocketAddr = format!("{value}:50000").parse().unwrap();
                request = request.extension(ConnectInfo(from));
            } else {
                request = request.header(*name, *value);
            }
        }
        let request = request.body(Body::from(body.to_vec())).unwrap();
        let router = router(Arc::clone(&self.app), PORT);
        let runtime = tokio::runtime::Builder::new_multi_thread()
            .worker_threads(1)
            .enable_time()
            .build()
            .unwrap();
        let answer = runtime.block_on(async {
            let response = router.oneshot(request).await.unwrap();
            let (parts, body) = response.into_parts();
            let body = to_bytes(body, usize::MAX).await.unwrap().to_vec();
            Answer { status: parts.status, headers: parts.headers, body }
        });
        if let Some(cookie) = answer.headers.get(SET_COOKIE) {
            let cookie = cookie.to_str().unwrap().split(';').next().unwrap().to_owned();
            self.cookie = (!cookie.ends_with('=')).then_some(cookie);
        }
        answer
    }

    pub(crate) fn get(&mut self, path: &str) -> Answer {
        self.ask("GET", path, &[], &[])
    }

    /// What a form of this session carries, as the pages have it.
    pub(crate) fn form_token(&self) -> String {
        let token = self.cookie.as_ref().and_then(|cookie| cookie.split_once('='));
        let of = |(_, token): (&str, &str)| {
            Sha::of(format!("lobewright form 1 {token}").as_bytes()).to_hex()
        };
        token.map(of).unwrap_or_default()
    }

    /// Sends a form, as its page would.
    pub(crate) fn send(&mut self, path: &str, fields: &[(&str, &str)]) -> Answer {
        let mut form = form_urlencoded::Serializer::new(String::new());
        for (name, value) in fields {
            form.append_pair(name, value);
        }
        form.append_pair("form_token", &self.form_token());
        let headers = [
            (CONTENT_TYPE.as_str(), "application/x-www-form-urlencoded"),
            ("sec-fetch-site", "same-origin"),
        ];
        self.ask("POST", path, &headers, form.finish().as_bytes())
    }

    /// Sends a form that must be taken: the browser is sent on.
    pub(crate) fn must(&mut self, path: &str, fields: &[(&str, &str)]) -> String {
        let answer = self.send(path, fields);
        assert_eq!(answer.status, StatusCode::SEE_OTHER, "{path}: {}", answer.text());
        answer.to().to_owned()
    }

    /// A page that must be there.
    pub(crate) fn page(&mut self, path: &str) -> String {
        let answer = self.get(path);
        assert_eq!(answer.status, StatusCode::OK, "{path}: {}", answer.text());
        answer.text()
    }
}

/// The sprint boat's build file, brought in as build 1.
pub(crate) fn sprint_boat(bench: &mut Bench) {
    let text = include_str!("../../../../examples/sprint-boat.toml");
    assert_eq!(bench.must("/builds/bring", &[("text", text)]), "/builds/1");
}

/// What stands between two pieces of a page.
pub(crate) fn between<'p>(page: &'p str, from: &str, to: &str) -> &'p str {
    let start = page.find(from).unwrap_or_else(|| panic!("no {from} in {page}")) + from.len();
    let end = page[start..].find(to).unwrap() + start;
    &page[start..end]
}

/// Sends a form as the page's script does, which wants JSON back.
pub(crate) fn with_json(bench: &mut Bench, path: &str, fields: &[(String, String)]) -> Answer {
    let form = form_urlencoded::Serializer::new(String::new())
        .extend_pairs(fields)
        .append_pair("form_token", &bench.form_token())
        .finish();
    let headers = [
        (CONTENT_TYPE.as_str(), "application/x-www-form-urlencoded"),
        ("accept", "application/json"),
        ("sec-fetch-site", "same-origin"),
    ];
    bench.ask("POST", path, &headers, form.as_bytes())
}
