//! What keeps a core busy for long waits its turn: a sweep, a plan in full, a paper, a backup.
//!
//! It is worked out in threads of its own, one fewer than the machine has cores, that give way to
//! every other thread. What a bench asks for uses none of them and waits in no line with it: a
//! reading finds a core of its own whatever the desks ask for.

use rayon::{ThreadPool, ThreadPoolBuilder};
use std::sync::LazyLock;
use std::thread::available_parallelism;
use tokio::sync::{Semaphore, SemaphorePermit};

/// How far these threads give way: one that wants a core at the same time as others that do not
/// gets about a tenth of it, so that desks go on, slowly, on a machine that is busy with something
/// else. Each step is a factor of about 1.25 [LINUX-SCHED].
#[cfg(target_os = "linux")]
const GIVES_WAY: i32 = 10;
/// Bytes of a stack: a thread that waits for a part of its own work may take up another turn.
const STACK: usize = 8 * 1024 * 1024;

/// The threads, of which a process has one set, and the turns at them.
struct Turns {
    /// Nothing where the machine gives no threads: then each works where it was asked.
    pool: Option<ThreadPool>,
    free: Semaphore,
}

static TURNS: LazyLock<Turns> = LazyLock::new(|| {
    let threads = threads(available_parallelism().map_or(1, usize::from));
    let pool = ThreadPoolBuilder::new()
        .num_threads(threads)
        .thread_name(|number| format!("turn {number}"))
        .stack_size(STACK)
        .start_handler(|_| give_way())
        .build();
    Turns { pool: pool.ok(), free: Semaphore::new(threads) }
});

/// As many as leave a core to everything else, and at least one.
fn threads(cores: usize) -> usize {
    cores.saturating_sub(1).max(1)
}

/// Lets this thread give way to others.
fn give_way() {
    // Linux counts this by the thread; elsewhere it would slow down the whole program. Giving way is
    // never refused to anybody.
    #[cfg(target_os = "linux")]
    let _ = rustix::process::nice(GIVES_WAY);
}

/// A turn; the next one begins when it is dropped.
pub(super) struct Turn {
    _place: Option<SemaphorePermit<'static>>,
}

impl Turn {
    /// Waits for a turn, in the order of asking. Who no longer waits leaves the line.
    pub(super) async fn wait() -> Self {
        // Nobody closes it.
        Self { _place: TURNS.free.acquire().await.ok() }
    }

    /// Works something out in this turn; everything that it does side by side stays among the
    /// threads that give way.
    pub(super) fn work<T: Send>(&self, work: impl FnOnce() -> T + Send) -> T {
        match &TURNS.pool {
            Some(pool) => pool.install(work),
            None => work(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::{App, route, router};
    use super::*;
    use crate::ops::import;
    use axum::body::{Body, to_bytes};
    use axum::http::{Request, StatusCode};
    use rayon::iter::{IntoParallelIterator, ParallelIterator};
    use records::{Moment, Session, Sha, Shop};
    use std::sync::Arc;
    use std::sync::atomic::{AtomicUsize, Ordering};
    use std::thread;
    use tower::ServiceExt;

    #[test]
    fn a_core_is_left() {
        assert_eq!([1, 2, 4, 16].map(threads), [1, 1, 3, 15]);
    }

    #[test]
    fn no_more_is_worked_out_at_once_than_there_are_turns() {
        let (now, most) = (AtomicUsize::new(0), AtomicUsize::new(0));
        let turns = threads(available_parallelism().map_or(1, usize::from));
        let one = || {
            let runtime = tokio::runtime::Builder::new_current_thread().build().unwrap();
            let turn = runtime.block_on(Turn::wait());
            turn.work(|| {
                most.fetch_max(now.fetch_add(1, Ordering::SeqCst) + 1, Ordering::SeqCst);
                thread::sleep(std::time::Duration::from_millis(5));
                now.fetch_sub(1, Ordering::SeqCst);
            });
        };
        thread::scope(|scope| {
            for _ in 0..4 * turns {
                scope.spawn(one);
            }
        });
        let most = most.into_inner();
        assert!((1..=turns).contains(&most), "{most} at once, of {turns}");
    }

    #[test]
    fn a_turn_is_free_again_after_a_mistake() {
        let runtime = tokio::runtime::Builder::new_current_thread().build().unwrap();
        let turns = threads(available_parallelism().map_or(1, usize::from));
        for _ in 0..2 * turns {
            let turn = runtime.block_on(Turn::wait());
            let broken = thread::spawn(move || turn.work(|| panic!("a mistake"))).join();
            assert!(broken.is_err());
        }
    }

    #[test]
    fn what_a_bench_needs_never_waits() {
        let waits = |path: &str| route::all().any(|row| row.path == path && row.in_turn);
        for path in [
            "/builds",
            "/builds/{build}",
            "/builds/{build}/readings/{part}/{when}",
            "/builds/{build}/readings/{part}/{when}/{station}",
            "/builds/{build}/readings-csv",
            "/builds/{build}/values/{table}",
            "/api/builds/{build}/readings",
            "/in",
            "/bench.js",
        ] {
            assert!(route::all().any(|row| row.path == path), "{path}");
            assert!(!waits(path), "{path}");
        }
        assert!(waits("/builds/{build}/what-if/sweep") && waits("/shop/backup"));
    }

    /// Asks the app as a program does.
    async fn asked(app: &Arc<App>, method: &str, path: &str, form: &str) -> (StatusCode, String) {
        let request = Request::builder()
            .method(method)
            .uri(path)
            .header("host", "127.0.0.1:49731")
            .header("authorization", "Bearer of a bench")
            .header("accept", "application/json")
            .header("content-type", "application/x-www-form-urlencoded")
            .body(Body::from(form.to_owned()))
            .unwrap();
        let answer = router(Arc::clone(app), 49731).oneshot(request).await.unwrap();
        let status = answer.status();
        let body = to_bytes(answer.into_body(), usize::MAX).await.unwrap();
        (status, String::from_utf8(body.to_vec()).unwrap())
    }

    #[test]
    fn a_reading_is_kept_while_every_turn_is_taken() {
        let folder = tempfile::tempdir().unwrap();
        let shop = Shop::create(&folder.path().join("shop.db")).unwrap();
        let now = || Moment::new("2026-11-28T09:30:00Z").unwrap();
        let owner = shop.add_person("Ada Quill", "owner").unwrap();
        let session =
            Session { person: owner, until: Moment::new("2026-11-29T00:00:00Z").unwrap() };
        shop.open_session(Sha::of(b"of a bench"), &session, &now()).unwrap();
        shop.set_setting("begun", now().as_str()).unwrap();
        let boat = include_str!("../../../../examples/sprint-boat.toml");
        let build = import(&shop, boat, None, ("Ada Quill", &now())).unwrap().build;
        let part = shop.part_of(records::PartKind::Rotor, "R-114").unwrap().unwrap().id;
        let expected = shop.readings_at(part, Some(build), records::When::Before, "mass").unwrap();
        let app = Arc::new(App::new(shop, now));
        let runtime = tokio::runtime::Builder::new_multi_thread().enable_all().build().unwrap();
        runtime.block_on(async {
            let turns = threads(available_parallelism().map_or(1, usize::from));
            let all = TURNS.free.acquire_many(turns as u32).await.unwrap();
            let at = Arc::clone(&app);
            let plan = format!("/builds/{build}/plan-in-full");
            let heavy = tokio::spawn(async move { asked(&at, "GET", &plan, "").await });
            let form =
                format!("revision=1&station=mass&value=4312.5+g&expected={}", expected[0].id);
            let path = format!("/builds/{build}/readings/{part}/before");
            let (status, said) = asked(&app, "POST", &path, &form).await;
            assert!(status == StatusCode::OK && said.contains("\"kept\""), "{status} {said}");
            assert!(!heavy.is_finished());
            drop(all);
            assert_eq!(heavy.await.unwrap().0, StatusCode::OK);
        });
    }

    /// What a thread is called and how far it gives way.
    fn me() -> (String, Option<i32>) {
        let name = thread::current().name().unwrap_or("").to_owned();
        #[cfg(target_os = "linux")]
        let nice = rustix::process::nice(0).ok();
        #[cfg(not(target_os = "linux"))]
        let nice = None;
        (name, nice)
    }

    #[test]
    fn all_of_it_gives_way_and_nothing_else_does() {
        let runtime = tokio::runtime::Builder::new_current_thread().build().unwrap();
        let before = me();
        let turn = runtime.block_on(Turn::wait());
        let all: Vec<_> = turn.work(|| (0..64).into_par_iter().map(|_| me()).collect());
        for (name, nice) in all {
            assert!(name.starts_with("turn "), "{name}");
            if let (Some(nice), Some(usual)) = (nice, before.1) {
                assert!(nice == (usual + 10).min(19), "{nice} beside {usual}");
            }
        }
        assert_eq!(me(), before);
    }
}
