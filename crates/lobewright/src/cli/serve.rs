//! The app: `serve`.

use super::output::{complain, print};
use super::shop::{Failed, now, told};
use crate::clock;
use crate::ops::{ShopError, demo_shop};
use crate::web::{self, App, DEMONSTRATION_PASSWORD, open_demonstration};
use clap::Args;
use records::{Moment, RecordsError, Shop};
use std::path::{Path, PathBuf};

/// The port, where the call does not say: free for private use by its range (RFC 6335).
pub(super) const PORT: u16 = 49_731;

/// What `serve` is called with.
#[derive(Debug, Args)]
pub(super) struct Serve {
    /// The shop's file; made if it is not there
    #[arg(default_value = "shop.db")]
    shop: PathBuf,
    /// The port of this machine; 0 takes any that is free
    #[arg(long, default_value_t = PORT)]
    port: u16,
}

pub(super) fn run(call: &Serve) -> u8 {
    let served = || -> Result<String, Failed<RecordsError>> {
        let now = now()?;
        let made = !call.shop.exists();
        let shop = if made { Shop::create(&call.shop) } else { Shop::open(&call.shop, &now) }
            .map_err(Failed::Told)?;
        let name = call.shop.display();
        if made {
            print(&format!("{name}: a new shop's file\n"));
        }
        serve(shop, &now, call.port)?;
        Ok(format!("{name}: closed\n"))
    };
    told(served(), complain)
}

/// The demonstration: in a file that is to stay, or in one that is gone at the end.
pub(super) fn demo(file: Option<&Path>, port: u16) -> u8 {
    let served = || -> Result<String, Failed<ShopError>> {
        let now = now()?;
        let folder = tempfile::tempdir().map_err(|error| Failed::at(Path::new("."), &error))?;
        let file = file.map_or_else(|| folder.path().join("demonstration.db"), Path::to_owned);
        print("An invented shop is being made: boats, aircraft and pumps of a year.\n");
        let demo = demo_shop(&file, &now.day()).map_err(Failed::Told)?;
        let shop = Shop::open(&file, &now).map_err(|error| Failed::Told(error.into()))?;
        open_demonstration(&shop, &demo, &now).map_err(|e| Failed::Other(e.to_string()))?;
        print(&format!(
            "Sign in as {}; the password of everybody in it is {DEMONSTRATION_PASSWORD}.\n",
            demo.owner_name
        ));
        serve(shop, &now, port)?;
        Ok(String::new())
    };
    told(served(), complain)
}

/// Serves a shop until the process is told to stop.
pub(super) fn serve<E>(shop: Shop, now: &Moment, port: u16) -> Result<(), Failed<E>> {
    let (file, opened) = (shop.file().display().to_string(), now.clone());
    // A clock that fails later than at the start stands where it stood last.
    let app = App::new(shop, move || clock::now().unwrap_or_else(|_| opened.clone()));
    web::serve(app, port, |address| {
        print(&format!(
            "{file} is open at http://{address}/\nOpen that address in a browser on this machine. \
             Ctrl-C closes the shop.\n"
        ));
    })
    .map_err(|error| Failed::Other(error.to_string()))
}
