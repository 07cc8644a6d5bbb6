//! The door: one router over the table of pages, and what stands before every one of them.
//!
//! Where it listens is in `listen`. Whoever reaches it is still asked: under which name they came (a foreign page may give this machine another name), from which page (no other page
//! may send forms here), and who they are.

use super::connections::{self, Limits};
use super::forms;
use super::guesses::Guesses;
use super::headers::guarded;
use super::kept::Kept;
use super::listen::{Called, Door, Listening, Secured, ServeError};
use super::nights::nights;
use super::reply::Reply;
use super::route::{self, Method, Route, Who};
use super::secret;
use super::sessions;
use super::sheet::AtSpeed;
use super::tls::{Renewal, Tls};
use super::turned_away::Away;
use super::turns::Turn;
use super::visit::{Brought, Sent, Visit};
use super::watch::{self, Event};
use super::wrong::Wrong;
use crate::ops::program::Programs;
use axum::RequestExt;
use axum::body::Body;
use axum::extract::multipart::MultipartError;
use axum::extract::{
    ConnectInfo, DefaultBodyLimit, FromRequest, Multipart, RawPathParams, Request,
};
use axum::http::header::{
    ACCEPT, AUTHORIZATION, CONTENT_TYPE, COOKIE, HOST, HeaderMap, HeaderName,
};
use axum::http::{Response, StatusCode};
use axum::routing::{MethodFilter, MethodRouter, on};
use axum::{Router, middleware};
use records::{Moment, Person, Shop};
use std::collections::BTreeMap;
use std::net::SocketAddr;
use std::sync::atomic::AtomicUsize;
use std::sync::{Arc, Mutex};
use std::time::Duration;
use tokio_rustls::TlsAcceptor;
use tower_http::csrf::{CsrfLayer, ProtectionError};

/// The most bytes of a request: a photo with its form around it.
const MOST_MIB: usize = 17;
/// The most bytes of a request of somebody who has shown no session: names and passwords.
const MOST_BEFORE: usize = 64 * 1024;
/// What is said of both limits.
const TOO_MUCH: &str = "17 MiB";
const TOO_MUCH_BEFORE: &str = "64 KiB before somebody signs in";
/// Name of the cookie with the session's token. Over an encrypted connection the browser itself
/// sees to it that a cookie of the second name comes from this server alone.
const COOKIE_NAME: &str = "lobewright";
const COOKIE_NAME_SECURE: &str = "__Host-lobewright";
/// The most bytes of all headers of a request together, and of its address.
const MOST_HEADERS: usize = 16 * 1024;
const MOST_ADDRESS: usize = 8 * 1024;
/// How long what is sent may take to arrive: a photo over a bad line.
const PATIENCE: Duration = Duration::from_secs(120);

/// What is told while the app is served.
#[derive(Debug)]
pub enum Told {
    /// It is open at these addresses, those of benches first.
    Open {
        /// As a browser takes them.
        addresses: Vec<String>,
        /// Where it listens.
        at: SocketAddr,
        /// How long its certificate is good, where it does TLS itself.
        until: Option<Moment>,
    },
    /// The files of its certificate changed.
    Renewal(Renewal),
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
    /// Wrong passwords.
    pub(super) wrong: Mutex<Guesses>,
    /// Whether it is reached over an encrypted connection alone.
    pub(super) secure: bool,
    /// Takes the lines of [`watch`].
    pub(super) watch: Box<dyn Fn(&str) + Send + Sync>,
    patience: Duration,
    /// Where it is reached, and under which names.
    pub(super) door: Door,
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
            wrong: Mutex::default(),
            secure: false,
            watch: Box::new(watch::to_stderr),
            patience: PATIENCE,
            door: Door::default(),
        }
    }

    /// This moment.
    pub(super) fn now(&self) -> Moment {
        (self.clock)()
    }

    /// The same, reached over an encrypted connection alone: its cookie is sent over no other, and
    /// browsers are told to use no other.
    #[must_use]
    pub fn encrypted(self) -> Self {
        Self { secure: true, ..self }
    }

    /// The same, with its lines about sign-ins and refusals going there instead of to stderr. Each
    /// is JSON without a line break.
    #[must_use]
    pub fn watched(self, watch: impl Fn(&str) + Send + Sync + 'static) -> Self {
        Self { watch: Box::new(watch), ..self }
    }

    /// The same, waiting no longer than this for what is sent.
    #[must_use]
    pub fn patient(self, patience: Duration) -> Self {
        Self { patience, ..self }
    }

    /// Name of the cookie with the session's token.
    pub(super) const fn cookie_name(&self) -> &'static str {
        if self.secure { COOKIE_NAME_SECURE } else { COOKIE_NAME }
    }

    /// The shop's file.
    #[must_use]
    pub const fn shop(&self) -> &Shop {
        &self.shop
    }
}

/// Serves the app until the process is told to stop. `told` hears where it is open, and what becomes
/// of its certificate.
///
/// # Errors
/// [`ServeError`]: it may not be reached like that, or the address or the certificate cannot be used.
pub fn serve(
    mut app: App,
    listening: &Listening,
    told: impl Fn(Told) + Send + Sync + 'static,
) -> Result<(), ServeError> {
    listening.allowed()?;
    let machine = |error: &dyn std::fmt::Display| ServeError::Machine(error.to_string());
    let told = Arc::new(told);
    let tls = match &listening.secured {
        Secured::Own { certificate, key } => {
            let told = Arc::clone(&told);
            let names = listening.called.iter().map(Called::bare).collect::<Vec<_>>();
            Some(Tls::open(certificate, key, &names, move |renewal| {
                told(Told::Renewal(renewal));
            })?)
        }
        Secured::Not | Secured::InFront => None,
    };
    let acceptor = match &tls {
        Some(tls) => {
            let config = tls.config().map_err(|error| machine(&error))?;
            Some(TlsAcceptor::from(Arc::new(config)))
        }
        None => None,
    };
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .worker_threads(2)
        .enable_all()
        .build()
        .map_err(|error| machine(&error))?;
    runtime.block_on(async {
        let refused = |error: std::io::Error| listening.refused(&error);
        let bound = tokio::net::TcpListener::bind((listening.on, listening.port));
        let listener = bound.await.map_err(refused)?;
        let at = listener.local_addr().map_err(refused)?;
        let until = tls.as_ref().map(|tls| tls.state().0);
        app.door = Door::new(listening, at, tls)?;
        app.secure = app.door.is_secure();
        let addresses = app.door.addresses();
        let app = Arc::new(app);
        tokio::spawn(nights(Arc::clone(&app)));
        let router = router(app, at.port());
        told(Told::Open { addresses, at, until });
        connections::answered(listener, router, acceptor, Limits::SHOP, stopped()).await;
        Ok(())
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
    let named = Arc::clone(&app);
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
    let nowhere = Route {
        method: Method::Get,
        path: "",
        who: Who::Anyone,
        in_turn: false,
        answer: |_| Err(Wrong::NoPage),
    };
    let otherwise = Route { answer: |_| Err(Wrong::Method), ..nowhere };
    let secure = app.secure;
    let at = Arc::clone(&app);
    let fallback = move |request: Request| answer(Arc::clone(&at), nowhere, request);
    router
        .fallback(fallback)
        .method_not_allowed_fallback(move |request: Request| {
            answer(Arc::clone(&app), otherwise, request)
        })
        .layer(DefaultBodyLimit::max(MOST_MIB * 1024 * 1024))
        .layer(CsrfLayer::new())
        .layer(middleware::from_fn(move |request: Request, next: middleware::Next| {
            let at = Arc::clone(&named);
            async move {
                let as_json = wants_json(&request);
                let response = match turned_away(&request, &at.door, port) {
                    Some(Away::ForeignName) if at.door.has_names() => {
                        let mut response = Response::new(Body::from(at.door.other_name()));
                        *response.status_mut() = StatusCode::MISDIRECTED_REQUEST;
                        response
                    }
                    Some(away) => away.reply(as_json).into_response(),
                    None => next.run(request).await,
                };
                let response = match response.extensions().get::<ProtectionError>() {
                    Some(_) => Away::ForeignPage.reply(as_json).into_response(),
                    None => response,
                };
                guarded(response, secure)
            }
        }))
}

/// Why a request goes no further than the door.
fn turned_away(request: &Request, door: &Door, port: u16) -> Option<Away> {
    let headers = request.headers();
    let size: usize = headers.iter().map(|(name, value)| name.as_str().len() + value.len()).sum();
    let host = headers.get(HOST).and_then(|host| host.to_str().ok());
    if !host.is_some_and(|host| door.knows(host, port)) {
        Some(Away::ForeignName)
    } else if size > MOST_HEADERS {
        Some(Away::Headers)
    } else if request.uri().to_string().len() > MOST_ADDRESS {
        Some(Away::Address)
    } else {
        None
    }
}

/// Whether JSON is wanted back, errors too.
fn wants_json(request: &Request) -> bool {
    request.uri().path().starts_with("/api/")
        || text(request.headers(), &ACCEPT).starts_with("application/json")
}

/// Answers one request: takes it in here, works it out where waiting is allowed.
async fn answer(app: Arc<App>, route: Route, request: Request) -> Response<Body> {
    let as_json = wants_json(&request);
    let (brought, refused) = match taken_in(request, &app).await {
        Ok(brought) => (brought, None),
        Err((brought, wrong)) => (brought, Some(wrong)),
    };
    // A panic is a mistake of this program; nothing of it was written (transactions roll back).
    let mistake = || Away::Mistake.reply(as_json).into_response();
    let at = Arc::clone(&app);
    let come = tokio::task::spawn_blocking(move || {
        let mut visit = Visit { now: (at.clock)(), app: &at, person: None, brought };
        let may = match refused {
            // Whoever is signed in still is, on the page that says what is wrong.
            Some(wrong) => recognised(&mut visit).and(Err(wrong)),
            None => admitted(&mut visit, route.who),
        };
        match may {
            Ok(()) if route.in_turn => {
                Come::Waits { now: visit.now, person: visit.person, brought: visit.brought }
            }
            may => Come::Answered(said(&visit, may.and_then(|()| (route.answer)(&visit)))),
        }
    });
    let (now, person, brought) = match come.await {
        Ok(Come::Answered(response)) => return response,
        Ok(Come::Waits { now, person, brought }) => (now, person, brought),
        Err(_) => return mistake(),
    };
    let turn = Turn::wait().await;
    // The turn ends with the work, though nobody may wait for the answer any more.
    let worked = tokio::task::spawn_blocking(move || {
        turn.work(|| {
            let visit = Visit { now, app: &app, person, brought };
            said(&visit, (route.answer)(&visit))
        })
    });
    worked.await.unwrap_or_else(|_| mistake())
}

/// How far a request has come: who may not ask waits in no line.
enum Come {
    Answered(Response<Body>),
    Waits { now: Moment, person: Option<Person>, brought: Brought },
}

/// What is sent back.
fn said(visit: &Visit<'_>, reply: Result<Reply, Wrong>) -> Response<Body> {
    reply.unwrap_or_else(|wrong| wrong.reply(visit)).into_response()
}

/// Finds out who asks.
fn recognised(visit: &mut Visit<'_>) -> Result<(), Wrong> {
    let person = match &visit.brought.token {
        Some(token) => sessions::whose(visit, token)?,
        None => None,
    };
    visit.person = person.map(|person| visit.app.shop.person(person)).transpose()?;
    Ok(())
}

/// Finds out who asks, and whether they may.
fn admitted(visit: &mut Visit<'_>, who: Who) -> Result<(), Wrong> {
    recognised(visit)?;
    let Who::May(work) = who else { return Ok(()) };
    visit.who()?;
    if visit.brought.posts
        && visit.brought.by_cookie
        && !visit.form_token().is_some_and(|own| secret::same(&own, visit.raw_field(forms::TOKEN)))
    {
        watch::note(visit, Event::FormRefused, &visit.brought.path);
        return Err(Wrong::OldForm);
    }
    if !visit.may(work) {
        watch::note(visit, Event::RightsRefused, &visit.brought.path);
        return Err(Wrong::NotTheirs(work));
    }
    Ok(())
}

/// A request, taken apart. What could be read of one that is refused comes back with it.
async fn taken_in(mut request: Request, app: &App) -> Result<Brought, (Brought, Wrong)> {
    let content = text(request.headers(), &CONTENT_TYPE);
    let path = request.uri().path().to_owned();
    let (token, by_cookie) = token(request.headers(), app.cookie_name());
    let limit = match token {
        Some(_) => Limit { bytes: MOST_MIB * 1024 * 1024, told: TOO_MUCH },
        None => Limit { bytes: MOST_BEFORE, told: TOO_MUCH_BEFORE },
    };
    let from = request.extensions().get::<ConnectInfo<SocketAddr>>().map(|from| from.0.ip());
    let mut brought = Brought {
        query: pairs(request.uri().query().unwrap_or("").as_bytes()),
        token,
        by_cookie,
        from,
        wants_json: wants_json(&request),
        path,
        kind: content.clone(),
        posts: request.method() == axum::http::Method::POST,
        ..Brought::default()
    };
    if let Ok(params) = request.extract_parts::<RawPathParams>().await {
        brought.params = params.iter().map(|(n, v)| (n.to_owned(), v.to_owned())).collect();
    }
    if content.starts_with("multipart/form-data") {
        let sent = tokio::time::timeout(app.patience, multipart(request, limit));
        return match sent.await.unwrap_or(Err(Wrong::TooSlow)) {
            Ok((form, files)) => Ok(Brought { form, files, ..brought }),
            Err(wrong) => Err((brought, wrong)),
        };
    }
    let sent =
        tokio::time::timeout(app.patience, axum::body::to_bytes(request.into_body(), limit.bytes));
    let body = match sent.await {
        Ok(Ok(body)) => body,
        Ok(Err(_)) => return Err((brought, limit.broken())),
        Err(_) => return Err((brought, Wrong::TooSlow)),
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

/// How much of a request is read.
#[derive(Debug, Clone, Copy)]
struct Limit {
    bytes: usize,
    told: &'static str,
}

impl Limit {
    const fn broken(self) -> Wrong {
        Wrong::TooMuch { most: self.told }
    }

    /// Why a form with files is not read on.
    fn unread(self, error: &MultipartError) -> Wrong {
        if error.status() == StatusCode::PAYLOAD_TOO_LARGE {
            return self.broken();
        }
        Wrong::ask(format!("the form cannot be read: {}", error.body_text()))
    }
}

async fn multipart(
    request: Request,
    limit: Limit,
) -> Result<(Vec<(String, String)>, Vec<Sent>), Wrong> {
    let mut parts = Multipart::from_request(request, &())
        .await
        .map_err(|error| Wrong::ask(format!("the form cannot be read: {}", error.body_text())))?;
    let (mut form, mut files, mut size) = (Vec::new(), Vec::new(), 0);
    while let Some(part) = parts.next_field().await.map_err(|error| limit.unread(&error))? {
        let field = part.name().unwrap_or("").to_owned();
        let name = part
            .file_name()
            .map(|name| name.rsplit(['/', '\\']).next().unwrap_or("").trim().to_owned());
        let bytes = part.bytes().await.map_err(|error| limit.unread(&error))?;
        size += bytes.len();
        if size > limit.bytes {
            return Err(limit.broken());
        }
        let bytes = bytes.to_vec();
        match name {
            Some(name) if name.is_empty() && bytes.is_empty() => {}
            Some(name) => files.push(Sent { field, name, bytes }),
            None => form.push((field, String::from_utf8_lossy(&bytes).into_owned())),
        }
    }
    Ok((form, files))
}

/// The session's token, and whether it is in its cookie, not in the header of a program.
fn token(headers: &HeaderMap, cookie_name: &str) -> (Option<String>, bool) {
    let bearer = headers
        .get(AUTHORIZATION)
        .and_then(|value| value.to_str().ok())
        .and_then(|value| value.strip_prefix("Bearer "));
    let cookies = headers.get_all(COOKIE).iter().filter_map(|value| value.to_str().ok());
    let cookie = cookies
        .flat_map(|value| value.split(';'))
        .filter_map(|pair| pair.trim().split_once('='))
        .find(|(name, _)| *name == cookie_name)
        .map(|(_, value)| value);
    (bearer.or(cookie).map(str::to_owned), bearer.is_none())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_mistake_of_this_program_has_a_page_and_the_next_request_is_answered() {
        let folder = tempfile::tempdir().unwrap();
        let shop = Shop::create(&folder.path().join("shop.db")).unwrap();
        let app = Arc::new(App::new(shop, || Moment::new("2026-11-28T09:30:00Z").unwrap()));
        let broken = Route {
            method: Method::Get,
            path: "/broken",
            who: Who::Anyone,
            in_turn: false,
            answer: |_| panic!("a secret of the inside"),
        };
        let asked = |path: &str, route| {
            let runtime =
                tokio::runtime::Builder::new_multi_thread().enable_time().build().unwrap();
            runtime.block_on(async {
                let request = Request::get(path).body(Body::empty()).unwrap();
                let response = answer(Arc::clone(&app), route, request).await;
                let status = response.status();
                let body = axum::body::to_bytes(response.into_body(), usize::MAX).await.unwrap();
                (status, String::from_utf8(body.to_vec()).unwrap())
            })
        };
        let (status, page) = asked("/broken", broken);
        assert_eq!(status, StatusCode::INTERNAL_SERVER_ERROR);
        assert!(page.starts_with("<!DOCTYPE html>") && page.contains("nothing was changed"));
        assert!(page.contains("Load the page again") && !page.contains("secret of the inside"));
        let (status, told) = asked("/api/broken", broken);
        assert_eq!(status, StatusCode::INTERNAL_SERVER_ERROR);
        assert!(told.starts_with('{') && told.contains("\"status\":500"), "{told}");
        let nowhere = Route { answer: |_| Err(Wrong::NoPage), ..broken };
        assert_eq!(asked("/", nowhere).0, StatusCode::NOT_FOUND);
    }
}
