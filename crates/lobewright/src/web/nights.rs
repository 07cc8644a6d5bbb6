//! While the app is open it looks after each minute whether the night's backup is due. What goes wrong
//! is written down by the operation, and shown on the pages.

use super::server::App;
use super::turns::Turn;
use crate::ops::backups::nightly;
use std::sync::Arc;
use std::time::Duration;

const BETWEEN: Duration = Duration::from_secs(60);

/// Goes on until the app closes.
pub(super) async fn nights(app: Arc<App>) {
    let mut minutes = tokio::time::interval(BETWEEN);
    // A machine that slept makes one, not one for each minute that it slept.
    minutes.set_missed_tick_behavior(tokio::time::MissedTickBehavior::Delay);
    loop {
        minutes.tick().await;
        let app = Arc::clone(&app);
        // When its turn comes, on a thread that may wait: benches are answered meanwhile.
        let turn = Turn::wait().await;
        let made = tokio::task::spawn_blocking(move || {
            turn.work(|| nightly(app.shop(), &app.now()).map(drop))
        });
        // It told of itself what there is to tell.
        drop(made.await);
    }
}
