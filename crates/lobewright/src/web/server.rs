//! The door: one router over the table of pages, and what stands before every one of them.
//!
//! The server listens on this machine alone. Whoever reaches it is still asked: under which name
//! they came (a foreign page may give this machine another name), from which page (no other page
//! may send forms here), and who they are.

use super::kept::Kept;
use super::nights::nights;
use super::reply::Reply;
use super::route::{self, Method, Route, Who};
use super::secret;
use super::sheet::AtSpeed;
use super::visit::{Brought, Sent, Visit};
use super::wrong::Wrong;
use crate::ops::program::Programs;
use axum::RequestExt;
use axum::body::Body;
use axum::extract::{DefaultBodyLimit, FromRequest, Multipart, RawPathParams, Request};
use axum::http::header::{
    ACCEPT, AUTHORIZATION, CONTENT_SECURITY_POLICY, CONTENT_TYPE, COOKIE, HOST, HeaderMap,
    HeaderName, HeaderValue, REFERRER_POLICY, X_CONTENT_TYPE_OPTIONS,
};
use axum::http::{Response, StatusCode};
use axum::routing::{MethodFilter, MethodRouter, on};
use axum::{Router, middleware};
use records::{Moment, Shop};
use std::collections::BTreeMap;
use std::net::{Ipv4Addr, SocketAddr};
use std::sync::atomic::AtomicUsize;
use std::sync::{Arc, Mutex};
use std::time::Duration;
use thiserror::Error;
use tower_http::csrf::CsrfLayer;

/// The most bytes of a request: a photo with its form around it.
const MOST_MIB: usize = 17;
/// How long requests that are under way have when the shop is closed.
const GRACE: Duration = Duration::from_secs(5);
/// The most bytes of a request of somebody who has shown no session: names and passwords.
const MOST_BEFORE: usize = 64 * 1024;
/// Name of the cookie with the session's token.
pub(super) const COOKIE_NAME: &str = "lobewright";
/// Nothing but this program's own files; scripts and styles from files alone, so that text that
/// looks like one is text.
const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob:; \
                      connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'";

/// Why nothing is served.
#[derive(Debug, Error)]
#[non_exhaustive]
pub enum ServeError {
    /// The port is taken, or not allowed.
    #[error("port {port} of this machine: {what}; choose another with --port")]
    Port {
        /// Which.
        port: u16,
        /// What the machine says.
        what: String,
    },
    /// The machine gives no threads.
    #[error("this machine: {0}")]
    Machine(String),
}

/// What every page works with.
pub struct App {
    pub(super) shop: Shop,
    clock: Box<dyn Fn() -> Moment + Send + Sync>,
    /// Held while a password is looked at: guesses wait for each other.
    pub(super) guesses: Mutex<()>,
    /// How many wait for it.
    pub(super) waiting: AtomicUsize,
    /// The last builds at speed.
    pub(super) at_speed: Kept<AtSpeed>,
    pub(super) programs: Kept<Programs>,
}

impl App {
    /// The app over a shop's file. `clock` gives this moment; a test gives one of its own.
    pub fn new(shop: Shop, clock: impl Fn() -> Moment + Send + Sync + 'static) -> Self {
        Self {
            shop,
            clock: Box::new(clock),
            guesses: Mutex::new(()),
            waiting: AtomicUsize::new(0),
            at_speed: Kept::default(),
            programs: Kept::default(),
        }
    }

    /// This moment.
    pub(super) fn now(&self) -> Moment {
        (self.clock)()
    }

    /// The shop's file.
    #[must_use]
    pub const fn shop(&self) -> &Shop {
        &self.shop
    }
}

/// Serves the app on this machine until the process is told to stop. `listening` is told the
/// address.
///
/// # Errors
/// [`ServeError`]: the port cannot be had.
pub fn serve(app: App, port: u16, listening: impl FnOnce(SocketAddr)) -> Result<(), ServeError> {
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .worker_threads(2)
        .enable_all()
        .build()
        .map_err(|error| ServeError::Machine(error.to_string()))?;
    runtime.block_on(async {
        let refused = |error: std::io::Error| ServeError::Port { port, what: error.to_string() };
        let listener =
            tokio::net::TcpListener::bind((Ipv4Addr::LOCALHOST, port)).await.map_err(refused)?;
        let address = listener.local_addr().map_err(refused)?;
        let app = Arc::new(app);
        tokio::spawn(nights(Arc::clone(&app)));
        let router = router(app, address.port());
        listening(address);
        let server = axum::serve(listener, router).with_graceful_shutdown(stopped());
        let mut server = tokio::spawn(async move { server.await });
        // Who has half sent a request keeps nobody from closing the shop.
        let served = tokio::select! {
            served = &mut server => served,
            () = async { stopped().await; tokio::time::sleep(GRACE).await } => return Ok(()),
        };
        match served {
            Ok(Ok(())) => Ok(()),
            Ok(Err(error)) => Err(ServeError::Machine(error.to_string())),
            Err(error) => Err(ServeError::Machine(error.to_string())),
        }
    })
}

/// Until the process is told to stop.
async fn stopped() {
    #[cfg(unix)]
    {
        use tokio::signal::unix::{SignalKind, signal};
        if let Ok(mut terminate) = signal(SignalKind::terminate()) {
            tokio::select! {
                _ = terminate.recv() => {}
                _ = tokio::signal::ctrl_c() => {}
            }
            return;
        }
    }
    // Without signals it runs until the machine ends it.
    if tokio::signal::ctrl_c().await.is_err() {
        std::future::pending::<()>().await;
    }
}

/// The router over all pages, as it is reached on this port.
pub fn router(app: Arc<App>, port: u16) -> Router {
    let mut by_path: BTreeMap<&'static str, Vec<Route>> = BTreeMap::new();
    for route in route::all() {
        by_path.entry(route.path).or_default().push(route);
    }
    let mut router = Router::new();
    for (path, routes) in by_path {
        let mut methods = MethodRouter::new();
        for route in routes {
            let filter = match route.method {
                Method::Get => MethodFilter::GET,
                Method::Post => MethodFilter::POST,
            };
            let app = Arc::clone(&app);
            let handler = move |request: Request| answer(Arc::clone(&app), route, request);
            methods = methods.merge(on(filter, handler));
        }
        router = router.route(path, methods);
    }
    let nowhere =
        Route { method: Method::Get, path: "", who: Who::Anyone, answer: |_| Err(Wrong::NoPage) };
    let fallback = move |request: Request| answer(Arc::clone(&app), nowhere, request);
    router
        .fallback(fallback)
        .layer(DefaultBodyLimit::max(MOST_MIB * 1024 * 1024))
        .layer(CsrfLayer::new())
        .layer(middleware::from_fn(move |request: Request, next: middleware::Next| async move {
            let response = if is_ours(request.headers(), port) {
                next.run(request).await
            } else {
                let mut response = Response::new(Body::from(
                    "This program answers only under the name of this machine: 127.0.0.1 or \
                     localhost.\n",
                ));
                *response.status_mut() = StatusCode::MISDIRECTED_REQUEST;
                response
            };
            guarded(response)
        }))
}

/// Whether a request came under this machine's own name.
fn is_ours(headers: &HeaderMap, port: u16) -> bool {
    let Some(host) = headers.get(HOST).and_then(|host| host.to_str().ok()) else { return false };
    ["127.0.0.1", "localhost", "[::1]"].iter().any(|name| {
        host.strip_prefix(name)
            .is_some_and(|rest| rest == format!(":{port}") || (port == 80 && rest.is_empty()))
    })
}

/// With the headers that every answer has.
fn guarded(mut response: Response<Body>) -> Response<Body> {
    let headers = response.headers_mut();
    let fixed: [(HeaderName, &'static str); 5] = [
        (CONTENT_SECURITY_POLICY, POLICY),
        (X_CONTENT_TYPE_OPTIONS, "nosniff"),
        (REFERRER_POLICY, "same-origin"),
        (HeaderName::from_static("cross-origin-opener-policy"), "same-origin"),
        (HeaderName::from_static("cross-origin-resource-policy"), "same-origin"),
    ];
    for (name, value) in fixed {
        headers.insert(name, HeaderValue::from_static(value));
    }
    response
}

/// Answers one request: takes it in here, works it out where waiting is allowed.
async fn answer(app: Arc<App>, route: Route, request: Request) -> Response<Body> {
    let most =
        if token(request.headers()).is_some() { MOST_MIB * 1024 * 1024 } else { MOST_BEFORE };
    let (brought, refused) = match taken_in(request, most).await {
        Ok(brought) => (brought, None),
        Err((brought, wrong)) => (brought, Some(wrong)),
    };
    let worked = tokio::task::spawn_blocking(move || {
        let mut visit = Visit { now: (app.clock)(), app: &app, person: None, brought };
        let reply = match refused {
            Some(wrong) => Err(wrong),
            None => admitted(&mut visit, route.who).and_then(|()| (route.answer)(&visit)),
        };
        reply.unwrap_or_else(|wrong| wrong.reply(&visit)).into_response()
    });
    worked.await.unwrap_or_else(|_| {
        // A panic is a mistake of this program; nothing of it was written (transactions roll back).
        Reply::bytes(
            "text/plain; charset=utf-8",
            b"This program made a mistake; nothing was changed. Tell whoever looks after it.\n"
                .to_vec(),
        )
        .status(StatusCode::INTERNAL_SERVER_ERROR)
        .into_response()
    })
}

/// Finds out who asks, and whether they may.
fn admitted(visit: &mut Visit<'_>, who: Who) -> Result<(), Wrong> {
    if let Some(token) = &visit.brought.token {
        let hash = secret::token_hash(token);
        if let Some(session) = visit.app.shop.session(hash, &visit.now)? {
            visit.person = Some(visit.app.shop.person(session.person)?);
        }
    }
    match who {
        Who::Anyone => Ok(()),
        Who::May(work) if visit.may(work) => Ok(()),
        Who::May(work) => visit.who().and(Err(Wrong::NotTheirs(work))),
    }
}

/// A request, taken apart. What could be read of one that is refused comes back with it.
async fn taken_in(mut request: Request, most: usize) -> Result<Brought, (Brought, Wrong)> {
    let [content, accept] = [CONTENT_TYPE, ACCEPT].map(|name| text(request.headers(), &name));
    let path = request.uri().path().to_owned();
    let mut brought = Brought {
        query: pairs(request.uri().query().unwrap_or("").as_bytes()),
        token: token(request.headers()),
        wants_json: path.starts_with("/api/") || accept.starts_with("application/json"),
        path,
        posts: request.method() == axum::http::Method::POST,
        ..Brought::default()
    };
    if let Ok(params) = request.extract_parts::<RawPathParams>().await {
        brought.params = params.iter().map(|(n, v)| (n.to_owned(), v.to_owned())).collect();
    }
    let too_much = || Wrong::TooMuch { most: MOST_MIB };
    if content.starts_with("multipart/form-data") {
        return match multipart(request, most).await {
            Ok((form, files)) => Ok(Brought { form, files, ..brought }),
            Err(wrong) => Err((brought, wrong)),
        };
    }
    let Ok(body) = axum::body::to_bytes(request.into_body(), most).await else {
        return Err((brought, too_much()));
    };
    if content.starts_with("application/json") {
        match serde_json::from_slice(&body) {
            Ok(json) => brought.json = Some(json),
            Err(error) => {
                let wrong = Wrong::ask(format!("what was sent is no JSON: {error}"));
                return Err((brought, wrong));
            }
        }
    } else {
        brought.form = pairs(&body);
    }
    Ok(brought)
}

fn text(headers: &HeaderMap, name: &HeaderName) -> String {
    headers.get(name).and_then(|value| value.to_str().ok()).unwrap_or("").to_owned()
}

fn pairs(bytes: &[u8]) -> Vec<(String, String)> {
    form_urlencoded::parse(bytes).into_owned().collect()
}

fn unread(why: String) -> Wrong {
    Wrong::ask(format!("the form cannot be read: {why}"))
}

async fn multipart(
    request: Request,
    most: usize,
) -> Result<(Vec<(String, String)>, Vec<Sent>), Wrong> {
    let mut parts =
        Multipart::from_request(request, &()).await.map_err(|error| unread(error.body_text()))?;
    let (mut form, mut files, mut size) = (Vec::new(), Vec::new(), 0);
    while let Some(part) = parts.next_field().await.map_err(|error| unread(error.body_text()))? {
        let field = part.name().unwrap_or("").to_owned();
        let name = part
            .file_name()
            .map(|name| name.rsplit(['/', '\\']).next().unwrap_or("").trim().to_owned());
        let bytes = part.bytes().await.map_err(|_| Wrong::TooMuch { most: MOST_MIB })?.to_vec();
        size += bytes.len();
        if size > most {
            return Err(Wrong::TooMuch { most: MOST_MIB });
        }
        match name {
            Some(name) if name.is_empty() && bytes.is_empty() => {}
            Some(name) => files.push(Sent { field, name, bytes }),
            None => form.push((field, String::from_utf8_lossy(&bytes).into_owned())),
        }
    }
    Ok((form, files))
}

/// The session's token: in its cookie, or in the header of a program.
fn token(headers: &HeaderMap) -> Option<String> {
    let bearer = headers
        .get(AUTHORIZATION)
        .and_then(|value| value.to_str().ok())
        .and_then(|value| value.strip_prefix("Bearer "));
    let cookies = headers.get_all(COOKIE).iter().filter_map(|value| value.to_str().ok());
    let cookie = cookies
        .flat_map(|value| value.split(';'))
        .filter_map(|pair| pair.trim().split_once('='))
        .find(|(name, _)| *name == COOKIE_NAME)
        .map(|(_, value)| value);
    bearer.or(cookie).map(str::to_owned)
}
