//! Lines from browsers: taken up, secured, bounded in number and in time, and let go.
//!
//! Whoever says nothing, or says it slowly, holds one place of many and for a while; nobody else
//! waits for them.

use super::patient::Patient;
use axum::Router;
use axum::extract::ConnectInfo;
use hyper::body::Incoming;
use hyper::server::conn::http1;
use hyper::service::{Service, service_fn};
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::server::graceful::{GracefulShutdown, Watcher};
use hyper_util::service::TowerToHyperService;
use std::collections::HashMap;
use std::future::Future;
use std::net::{IpAddr, SocketAddr};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::Duration;
use tokio::io::{AsyncRead, AsyncReadExt, AsyncWrite, AsyncWriteExt};
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::Semaphore;
use tokio::time::{sleep, timeout};
use tokio_rustls::TlsAcceptor;

/// What lines may have of this machine.
#[derive(Debug, Clone, Copy)]
pub(super) struct Limits {
    /// How many at once.
    lines: usize,
    /// How many of one address: a tablet takes six.
    of_one: usize,
    /// How long a handshake may take.
    handshake: Duration,
    /// How long the head of a request may take, and how long a line may rest between two.
    head: Duration,
    /// How long an answer may be stuck.
    stuck: Duration,
    /// How long requests that are under way have when the shop is closed.
    grace: Duration,
}

impl Limits {
    /// For a shop: some dozens of tablets, on a line that may be poor.
    pub(super) const SHOP: Self = Self {
        lines: 512,
        of_one: 64,
        handshake: Duration::from_secs(10),
        head: Duration::from_secs(30),
        stuck: Duration::from_secs(30),
        grace: Duration::from_secs(5),
    };
}

/// How many lines each address has.
#[derive(Default)]
struct Places(Mutex<HashMap<IpAddr, usize>>);

/// One of them; given back when it is dropped.
struct Place {
    places: Arc<Places>,
    of: IpAddr,
}

impl Places {
    /// A place for this address, unless it has as many as it may. This machine's own address may
    /// stand for everybody behind something that does TLS.
    fn taken(self: &Arc<Self>, of: IpAddr, most: usize) -> Option<Place> {
        let mut counts = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let count = counts.entry(of).or_default();
        if *count >= most && !of.is_loopback() {
            return None;
        }
        *count += 1;
        Some(Place { places: Arc::clone(self), of })
    }
}

impl Drop for Place {
    fn drop(&mut self) {
        let mut counts = self.places.0.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(count) = counts.get_mut(&self.of) {
            *count -= 1;
            if *count == 0 {
                counts.remove(&self.of);
            }
        }
    }
}

/// Answers whoever comes until `stop`, then lets go of what is under way.
pub(super) async fn answered(
    listener: TcpListener,
    router: Router,
    tls: Option<TlsAcceptor>,
    limits: Limits,
    stop: impl Future<Output = ()>,
) {
    let lines = Arc::new(Semaphore::new(limits.lines));
    let places = Arc::new(Places::default());
    let under_way = GracefulShutdown::new();
    tokio::pin!(stop);
    loop {
        let came = async {
            let line = Arc::clone(&lines).acquire_owned().await.ok()?;
            match listener.accept().await {
                Ok((stream, from)) => Some((stream, from, line)),
                Err(_) => {
                    // Out of handles, or the other end is gone already: go on when there are some.
                    sleep(Duration::from_millis(100)).await;
                    None
                }
            }
        };
        let (stream, from, line) = tokio::select! {
            came = came => match came { Some(came) => came, None => continue },
            () = &mut stop => break,
        };
        let Some(place) = places.taken(from.ip(), limits.of_one) else { continue };
        let (router, tls, watcher) = (router.clone(), tls.clone(), under_way.watcher());
        let router = Of { router, from };
        tokio::spawn(async move {
            let _held = (line, place);
            one(stream, router, tls, limits, watcher).await;
        });
    }
    drop(listener);
    // Who has half sent a request keeps nobody from closing the shop.
    let _ = timeout(limits.grace, under_way.shutdown()).await;
}

/// The pages, for whoever asks from there.
struct Of {
    router: Router,
    from: SocketAddr,
}

/// One line, from its handshake to its end.
async fn one(
    stream: TcpStream,
    router: Of,
    tls: Option<TlsAcceptor>,
    limits: Limits,
    watcher: Watcher,
) {
    // Small answers go at once.
    let _ = stream.set_nodelay(true);
    let Some(tls) = tls else {
        return requests(Patient::new(stream, limits.stuck), router, limits, watcher).await;
    };
    let secured = timeout(limits.handshake, async {
        if !begins_with_tls(&stream).await? {
            return told_of_tls(stream).await.map(|()| None);
        }
        tls.accept(Patient::new(stream, limits.stuck)).await.map(Some)
    });
    // A handshake that fails is the browser's to tell.
    if let Ok(Ok(Some(secured))) = secured.await {
        requests(secured, router, limits, watcher).await;
    }
}

/// Whether a line begins as TLS does: with a record of a handshake (RFC 8446, 5.1).
async fn begins_with_tls(stream: &TcpStream) -> std::io::Result<bool> {
    let mut first = [0];
    Ok(stream.peek(&mut first).await? == 1 && first[0] == 22)
}

/// Whoever asks without TLS is told; nothing that they sent is looked at.
async fn told_of_tls(mut stream: TcpStream) -> std::io::Result<()> {
    const TOLD: &str = "This shop is reached over TLS: write https:// before its address.\n";
    let mut sent = [0; 8192];
    let _ = stream.read(&mut sent).await?;
    let head = "HTTP/1.1 400 Bad Request\r\nContent-Type: text/plain; charset=utf-8\r\n\
                Connection: close\r\nContent-Length: ";
    stream.write_all(format!("{head}{}\r\n\r\n{TOLD}", TOLD.len()).as_bytes()).await?;
    stream.shutdown().await
}

/// The requests of one line.
async fn requests<S: AsyncRead + AsyncWrite + Unpin + Send + 'static>(
    stream: S,
    Of { router, from }: Of,
    limits: Limits,
    watcher: Watcher,
) {
    let pages = TowerToHyperService::new(router);
    // Who asks counts for wrong passwords.
    let pages = service_fn(move |mut request: hyper::Request<Incoming>| {
        request.extensions_mut().insert(ConnectInfo(from));
        pages.call(request)
    });
    let line = http1::Builder::new()
        .timer(TokioTimer::new())
        .header_read_timeout(limits.head)
        .serve_connection(TokioIo::new(stream), pages);
    // A line that breaks is no news: whoever was at its other end knows.
    let _ = watcher.watch(line).await;
}

#[cfg(test)]
mod tests {
    use super::*;
    use axum::body::Bytes;
    use axum::routing::{get, post};
    use tokio::sync::oneshot;

    /// As short as they can be told apart from nothing.
    const SHORT: Limits = Limits {
        lines: 8,
        of_one: 64,
        handshake: Duration::from_millis(200),
        head: Duration::from_millis(200),
        stuck: Duration::from_millis(200),
        grace: Duration::from_secs(60),
    };

    /// A server of two pages, and what stops it.
    async fn served(
        limits: Limits,
    ) -> (SocketAddr, oneshot::Sender<()>, tokio::task::JoinHandle<()>) {
        let listener = TcpListener::bind("127.0.0.1:0").await.unwrap();
        let at = listener.local_addr().unwrap();
        let (stop, stopped) = oneshot::channel::<()>();
        let router = Router::new()
            .route("/short", get(|| async { "short" }))
            .route("/long", get(|| async { vec![b'x'; 64 * 1024 * 1024] }))
            .route("/sent", post(|body: Bytes| async move { body.len().to_string() }));
        let server = tokio::spawn(async move {
            answered(listener, router, None, limits, async { drop(stopped.await) }).await;
        });
        (at, stop, server)
    }

    async fn asked(at: SocketAddr, path: &str) -> String {
        let mut line = TcpStream::connect(at).await.unwrap();
        let head = format!("GET {path} HTTP/1.1\r\nHost: x\r\nConnection: close\r\n\r\n");
        line.write_all(head.as_bytes()).await.unwrap();
        let mut answer = String::new();
        line.read_to_string(&mut answer).await.unwrap();
        answer
    }

    #[tokio::test]
    async fn a_head_that_never_ends_is_given_up() {
        let (at, _stop, _server) = served(SHORT).await;
        for beginning in ["", "GET /short HT", "GET /short HTTP/1.1\r\nHost: x\r\n"] {
            let mut line = TcpStream::connect(at).await.unwrap();
            line.write_all(beginning.as_bytes()).await.unwrap();
            let mut rest = Vec::new();
            // It ends, whether with an answer or without.
            let _ = line.read_to_end(&mut rest).await;
            assert!(!String::from_utf8_lossy(&rest).contains("short"));
        }
        assert!(asked(at, "/short").await.ends_with("\r\n\r\nshort"));
    }

    #[tokio::test]
    async fn a_line_that_is_full_of_silent_ones_takes_the_next_when_they_are_given_up() {
        let (at, _stop, _server) = served(SHORT).await;
        let mut silent = Vec::new();
        for _ in 0..3 * SHORT.lines {
            silent.push(TcpStream::connect(at).await.unwrap());
        }
        assert!(asked(at, "/short").await.ends_with("short"));
    }

    #[tokio::test]
    async fn an_answer_that_nobody_takes_is_given_up() {
        let (at, stop, server) = served(SHORT).await;
        let mut line = TcpStream::connect(at).await.unwrap();
        line.write_all(b"GET /long HTTP/1.1\r\nHost: x\r\n\r\n").await.unwrap();
        let mut first = [0; 16];
        line.read_exact(&mut first).await.unwrap();
        assert_eq!(&first, b"HTTP/1.1 200 OK\r");
        // Nothing more is taken, and the line is held open; the server ends all the same, long
        // before its grace is over, since nothing of it is under way any more.
        stop.send(()).unwrap();
        let begun = tokio::time::Instant::now();
        server.await.unwrap();
        assert!(begun.elapsed() < SHORT.grace, "it was given up, not cut off by the end");
        drop(line);
    }

    #[tokio::test]
    async fn what_is_under_way_is_answered_before_the_shop_closes() {
        let (at, stop, server) = served(Limits { head: Duration::from_secs(60), ..SHORT }).await;
        let mut line = TcpStream::connect(at).await.unwrap();
        line.write_all(b"POST /sent HTTP/1.1\r\nHost: x\r\nContent-Length: 4\r\n\r\nab")
            .await
            .unwrap();
        // The server has it when the next one is answered.
        assert!(asked(at, "/short").await.ends_with("short"));
        stop.send(()).unwrap();
        tokio::time::sleep(Duration::from_millis(50)).await;
        line.write_all(b"cd").await.unwrap();
        let mut answer = String::new();
        line.read_to_string(&mut answer).await.unwrap();
        assert!(answer.ends_with("\r\n\r\n4"), "{answer}");
        server.await.unwrap();
    }

    #[test]
    fn one_address_has_so_many_lines_and_gives_them_back() {
        let places = Arc::new(Places::default());
        let (one, other) = ([192, 0, 2, 1].into(), [192, 0, 2, 2].into());
        let held: Vec<_> = (0..3).map(|_| places.taken(one, 3).unwrap()).collect();
        assert!(places.taken(one, 3).is_none());
        assert!(places.taken(other, 3).is_some());
        drop(held);
        assert!(places.taken(one, 3).is_some());
        let front: IpAddr = [127, 0, 0, 1].into();
        let all: Vec<_> = (0..9).map(|_| places.taken(front, 3)).collect();
        assert!(all.iter().all(Option::is_some));
        drop(all);
        assert!(places.0.lock().unwrap().is_empty());
    }
}
