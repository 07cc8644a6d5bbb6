//! The app: `serve`.

use super::output::{complain, print};
use super::shop::{Failed, now, told};
use crate::clock;
use crate::ops::{ShopError, demo_shop};
use crate::web::{
    self, App, Called, DEMONSTRATION_PASSWORD, Listening, Renewal, Secured, Told,
    open_demonstration,
};
use clap::Args;
use records::{Moment, RecordsError, Shop};
use std::fmt::Write as _;
use std::net::{IpAddr, Ipv4Addr};
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
    /// An address of this machine to listen on, such as 192.168.7.4, or 0.0.0.0 for all of them;
    /// left out, browsers of this machine alone reach it
    #[arg(long, value_name = "ADDRESS", default_value_t = IpAddr::V4(Ipv4Addr::LOCALHOST), hide_default_value = true)]
    on: IpAddr,
    /// A name under which benches ask, such as bench.shop.example; may be given more than once
    #[arg(long, value_name = "NAME")]
    called: Vec<Called>,
    /// The shop's own certificate in PEM, for TLS; read again when it is renewed
    #[arg(long, value_name = "FILE", requires = "key")]
    certificate: Option<PathBuf>,
    /// The certificate's key in PEM
    #[arg(long, value_name = "FILE", requires = "certificate")]
    key: Option<PathBuf>,
    /// Something in front of this program does TLS for it
    #[arg(long, conflicts_with = "certificate")]
    behind_tls: bool,
}

impl Serve {
    fn listening(&self) -> Listening {
        let secured = match (&self.certificate, &self.key) {
            (Some(certificate), Some(key)) => {
                Secured::Own { certificate: certificate.clone(), key: key.clone() }
            }
            _ if self.behind_tls => Secured::InFront,
            _ => Secured::Not,
        };
        Listening { on: self.on, port: self.port, called: self.called.clone(), secured }
    }
}

pub(super) fn run(call: &Serve) -> u8 {
    let served = || -> Result<String, Failed<RecordsError>> {
        let now = now()?;
        let listening = call.listening();
        // Before a new shop's file is made.
        listening.allowed().map_err(|error| Failed::Other(error.to_string()))?;
        let made = !call.shop.exists();
        let shop = if made { Shop::create(&call.shop) } else { Shop::open(&call.shop, &now) }
            .map_err(Failed::Told)?;
        let name = call.shop.display();
        if made {
            print(&format!("{name}: a new shop's file\n"));
        }
        serve(shop, &now, &listening)?;
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
        serve(shop, &now, &Listening::loopback(port))?;
        Ok(String::new())
    };
    told(served(), complain)
}

/// Serves a shop until the process is told to stop.
fn serve<E>(shop: Shop, now: &Moment, listening: &Listening) -> Result<(), Failed<E>> {
    let (file, opened) = (shop.file().display().to_string(), now.clone());
    // A clock that fails later than at the start stands where it stood last.
    let app = App::new(shop, move || clock::now().unwrap_or_else(|_| opened.clone()));
    web::serve(app, listening, move |told| match told {
        Told::Open { addresses, until, .. } => print(&opened_at(&file, &addresses, until)),
        Told::Renewal(Renewal::Taken { until }) => {
            print(&format!("The renewed certificate is used; it is good until {until}.\n"));
        }
        Told::Renewal(Renewal::Refused(error)) => {
            complain(format_args!("{error}; the certificate from before is used on"));
        }
    })
    .map_err(|error| Failed::Other(error.to_string()))
}

/// What is said when a shop is open.
fn opened_at(file: &str, addresses: &[String], until: Option<Moment>) -> String {
    let here = |address: &String| address.starts_with("http://127.0.0.1");
    let mut said = match addresses {
        [only] if here(only) => {
            format!("{file} is open at {only}\nOpen that address in a browser on this machine. ")
        }
        _ => {
            let mut said = format!("{file} is open at\n");
            for address in addresses {
                let _ = writeln!(said, "  {address}");
            }
            said
        }
    };
    if let Some(until) = until {
        let _ = writeln!(said, "Its certificate is good until {until}.");
    }
    said.push_str("Ctrl-C closes the shop.\n");
    said
}
