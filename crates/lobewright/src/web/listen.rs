//! Where the app listens, and under which names it is asked for.
//!
//! It listens on this machine alone unless it is told an address. Whoever can be reached from
//! elsewhere has TLS, its own or that of something in front: names, passwords and readings go over
//! the shop's network otherwise for anybody to read and to change.

use super::tls::{CertificateError, Tls};
use std::fmt;
use std::io;
use std::net::{IpAddr, Ipv4Addr, Ipv6Addr, SocketAddr};
use std::path::PathBuf;
use std::str::FromStr;
use std::sync::Arc;
use thiserror::Error;

/// Where browsers go without a port, over TLS.
const HTTPS: u16 = 443;
/// And without TLS.
const HTTP: u16 = 80;
/// This machine's names for itself.
const LOOPBACK: [&str; 3] = ["127.0.0.1", "localhost", "[::1]"];

/// A name under which benches ask, and the port if it is another than the one listened on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Called {
    /// As a browser writes it: small letters, IPv6 in brackets.
    name: String,
    port: Option<u16>,
}

impl fmt::Display for Called {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.port {
            Some(port) => write!(f, "{}:{port}", self.name),
            None => f.write_str(&self.name),
        }
    }
}

/// Why something is no name.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error(
    "this is no name of a machine: give the name or address alone, with a port if it has one of its \
     own, such as bench.shop.example or 192.168.7.4:8443"
)]
pub struct NoName;

impl FromStr for Called {
    type Err = NoName;

    fn from_str(text: &str) -> Result<Self, NoName> {
        let text = text.to_ascii_lowercase();
        let bare: Option<Ipv6Addr> = text.parse().ok();
        let (name, port) = match bare {
            Some(address) => (format!("[{address}]"), None),
            None => {
                let (name, port) = parted(&text).ok_or(NoName)?;
                (name.to_owned(), port)
            }
        };
        let inner = name.strip_prefix('[').and_then(|name| name.strip_suffix(']'));
        let known = match inner {
            Some(inner) => inner.parse::<Ipv6Addr>().is_ok(),
            None => name.parse::<Ipv4Addr>().is_ok() || is_dns(&name),
        };
        if !known || port == Some(0) {
            return Err(NoName);
        }
        Ok(Self { name, port })
    }
}

impl Called {
    /// The name as a certificate has it: without port and brackets.
    pub(super) fn bare(&self) -> String {
        self.name.trim_matches(['[', ']']).to_owned()
    }
}

/// Letters, digits, hyphens and points, as names of machines have them (RFC 1123, 2.1).
fn is_dns(name: &str) -> bool {
    let label = |label: &str| {
        !label.is_empty()
            && label.len() <= 63
            && label.bytes().all(|b| b.is_ascii_alphanumeric() || b == b'-')
            && !label.starts_with('-')
            && !label.ends_with('-')
    };
    // Digits alone at the end would be a miswritten address.
    let last = name.rsplit('.').next().unwrap_or("");
    name.len() <= 253 && name.split('.').all(label) && !last.bytes().all(|b| b.is_ascii_digit())
}

/// An address as it stands in a browser's line.
fn bracketed(on: IpAddr) -> String {
    match on {
        IpAddr::V4(on) => on.to_string(),
        IpAddr::V6(on) => format!("[{on}]"),
    }
}

/// Name and port of what a browser writes as host.
fn parted(host: &str) -> Option<(&str, Option<u16>)> {
    let end = if host.starts_with('[') {
        host.find(']')? + 1
    } else {
        host.find(':').unwrap_or(host.len())
    };
    let (name, rest) = host.split_at(end);
    if rest.is_empty() {
        return Some((name, None));
    }
    let digits = rest.strip_prefix(':').filter(|text| text.bytes().all(|b| b.is_ascii_digit()))?;
    Some((name, Some(digits.parse().ok()?)))
}

/// Who does TLS.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub enum Secured {
    /// Nobody: for browsers of this machine.
    #[default]
    Not,
    /// This program, by the shop's own certificate.
    Own {
        /// In PEM, the shop's own certificate first.
        certificate: PathBuf,
        /// In PEM.
        key: PathBuf,
    },
    /// Something in front of this program.
    InFront,
}

/// What the app is told of where to listen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Listening {
    /// An address of this machine.
    pub on: IpAddr,
    /// 0 takes any that is free.
    pub port: u16,
    /// Under which names benches ask.
    pub called: Vec<Called>,
    /// Who does TLS.
    pub secured: Secured,
}

impl Listening {
    /// On this machine alone.
    #[must_use]
    pub const fn loopback(port: u16) -> Self {
        Self {
            on: IpAddr::V4(Ipv4Addr::LOCALHOST),
            port,
            called: Vec::new(),
            secured: Secured::Not,
        }
    }

    /// What it means that the machine refuses this.
    pub(super) fn refused(&self, error: &io::Error) -> ServeError {
        match error.kind() {
            io::ErrorKind::AddrNotAvailable => ServeError::NotHere { on: self.on },
            _ => ServeError::Port { port: self.port, what: error.to_string() },
        }
    }

    /// Whether this may be listened to at all.
    ///
    /// # Errors
    /// [`ServeError`]: it would be reached from elsewhere without TLS, or under no name.
    pub fn allowed(&self) -> Result<(), ServeError> {
        if self.secured == Secured::Not {
            if !self.on.is_loopback() {
                return Err(ServeError::Open { what: format!("--on {}", self.on) });
            }
            if let Some(called) = self.called.first() {
                return Err(ServeError::Open { what: format!("--called {called}") });
            }
        }
        let nameless = self.secured == Secured::InFront || self.on.is_unspecified();
        if nameless && self.called.is_empty() {
            return Err(ServeError::Nameless);
        }
        Ok(())
    }
}

/// Why nothing is listened to.
#[derive(Debug, Error)]
#[non_exhaustive]
pub enum ServeError {
    /// Reached from elsewhere without TLS.
    #[error(
        "{what}: benches would reach the shop over the network without TLS, and passwords and \
         readings would pass there for anybody to read and to change; give --certificate and --key, \
         or --behind-tls if something in front of this program does TLS"
    )]
    Open {
        /// The option that makes it so.
        what: String,
    },
    /// Reached from elsewhere, under no name.
    #[error(
        "it was not said under which name benches ask: give it with --called, such as --called \
         bench.shop.example; requests under other names are turned away"
    )]
    Nameless,
    /// The certificate is for other names than those it is called by.
    #[error(
        "{}: it is made out to none of the names that this program has; say with --called which of \
         its names benches ask for", certificate.display()
    )]
    Unnamed {
        /// The file.
        certificate: PathBuf,
    },
    /// The certificate cannot be used.
    #[error(transparent)]
    Certificate(#[from] CertificateError),
    /// The port is taken, or not allowed.
    #[error("port {port} of this machine: {what}; choose another with --port")]
    Port {
        /// Which.
        port: u16,
        /// What the machine says.
        what: String,
    },
    /// The address is another machine's.
    #[error(
        "{on}: this machine has no such address; give one that it has, or 0.0.0.0 for all of them"
    )]
    NotHere {
        /// Which.
        on: IpAddr,
    },
    /// The machine gives no threads.
    #[error("this machine: {0}")]
    Machine(String),
}

/// Whom the app answers: where it is reached, and under which names.
#[derive(Clone)]
pub(super) struct Door {
    on: IpAddr,
    /// As it came out; nothing where nothing is served yet.
    port: Option<u16>,
    called: Vec<Called>,
    in_front: bool,
    tls: Option<Arc<Tls>>,
}

impl Default for Door {
    fn default() -> Self {
        let on = IpAddr::V4(Ipv4Addr::LOCALHOST);
        Self { on, port: None, called: Vec::new(), in_front: false, tls: None }
    }
}

impl Door {
    /// The door of an app that is told this, and is listening at this address.
    ///
    /// # Errors
    /// [`ServeError::Unnamed`]: no browser would take its certificate for it.
    pub(super) fn new(
        told: &Listening,
        at: SocketAddr,
        tls: Option<Arc<Tls>>,
    ) -> Result<Self, ServeError> {
        let door = Self {
            on: told.on,
            port: Some(at.port()),
            called: told.called.clone(),
            in_front: told.secured == Secured::InFront,
            tls,
        };
        match &told.secured {
            Secured::Own { certificate, .. } if door.addresses().is_empty() => {
                Err(ServeError::Unnamed { certificate: certificate.clone() })
            }
            _ => Ok(door),
        }
    }

    /// Whether browsers see TLS.
    pub(super) const fn is_secure(&self) -> bool {
        self.tls.is_some() || self.in_front
    }

    /// Whether something in front of the app does it.
    pub(super) const fn in_front(&self) -> bool {
        self.in_front
    }

    /// The certificate, where TLS is the app's own.
    pub(super) const fn tls(&self) -> Option<&Arc<Tls>> {
        self.tls.as_ref()
    }

    /// The names that are known beside those that were given.
    fn own_names(&self) -> Vec<String> {
        let mut names: Vec<String> = match self.on {
            on if on.is_loopback() || on.is_unspecified() => Vec::new(),
            on => vec![bracketed(on)],
        };
        names.extend(LOOPBACK.map(str::to_owned));
        names
    }

    const fn usual_port(&self) -> u16 {
        if self.is_secure() { HTTPS } else { HTTP }
    }

    /// Whether a request under this host is for this app. `port` is the one listened on.
    pub(super) fn knows(&self, host: &str, port: u16) -> bool {
        let host = host.to_ascii_lowercase();
        let Some((name, asked)) = parted(&host) else { return false };
        let is = |known: u16| asked.unwrap_or(self.usual_port()) == known;
        let given = |called: &Called| {
            called.name == name
                && match called.port {
                    Some(known) => is(known),
                    None => is(port) || (self.in_front && is(HTTPS)),
                }
        };
        // Behind something that does TLS this machine is still reached by its own names, without.
        let own = |known: &String| {
            let usual = if self.tls.is_some() { HTTPS } else { HTTP };
            known == name && asked.unwrap_or(usual) == port
        };
        self.called.iter().any(given) || self.own_names().iter().any(own)
    }

    /// Whether it has names beside this machine's own.
    pub(super) fn has_names(&self) -> bool {
        !self.called.is_empty() || !self.on.is_loopback()
    }

    /// What is told to whoever asks under another name.
    pub(super) fn other_name(&self) -> String {
        let called = self.called.iter().map(ToString::to_string);
        let names: Vec<String> = called.chain(self.own_names()).collect();
        format!(
            "This program answers only under its own names: {}. Whoever looks after it adds one \
             with --called.\n",
            names.join(", ")
        )
    }

    /// The addresses that a browser may be given, those of benches first. Where TLS is the app's
    /// own, those alone that its certificate is made out to.
    pub(super) fn addresses(&self) -> Vec<String> {
        let Some(port) = self.port else { return Vec::new() };
        let at = |secure: bool, name: &str, port: u16| {
            let (scheme, usual) = if secure { ("https", HTTPS) } else { ("http", HTTP) };
            if port == usual {
                format!("{scheme}://{name}/")
            } else {
                format!("{scheme}://{name}:{port}/")
            }
        };
        let usual = if self.in_front { HTTPS } else { port };
        let mut addresses: Vec<String> = self
            .called
            .iter()
            .map(|called| at(self.is_secure(), &called.name, called.port.unwrap_or(usual)))
            .collect();
        let covered = |name: &&String| {
            self.tls.as_ref().is_none_or(|tls| tls.covers(name.trim_matches(['[', ']'])))
        };
        let loopback = || LOOPBACK.map(str::to_owned).to_vec();
        let here = match self.on {
            on if on.is_unspecified() => loopback(),
            // By a certificate any of this machine's names may be the one that browsers take.
            on if on.is_loopback() && self.tls.is_some() => loopback(),
            on => vec![bracketed(on)],
        };
        let secure = self.tls.is_some();
        addresses.extend(here.iter().filter(covered).map(|name| at(secure, name, port)));
        addresses
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn door(on: &str, called: &[&str], in_front: bool) -> Door {
        Door {
            on: on.parse().unwrap(),
            port: Some(49_731),
            called: called.iter().map(|name| name.parse().unwrap()).collect(),
            in_front,
            tls: None,
        }
    }

    #[test]
    fn a_name_is_a_name_alone() {
        for good in ["bench.shop.example", "BENCH", "192.168.7.4", "bench:8443", "[fd00::7]:8443"] {
            assert_eq!(good.parse::<Called>().unwrap().to_string(), good.to_lowercase());
        }
        assert_eq!("fd00::7".parse::<Called>().unwrap().to_string(), "[fd00::7]");
        for bad in [
            "",
            "https://bench",
            "bench/",
            "bench:",
            "bench:0",
            "bench:70000",
            "bench:+80",
            "a..b",
            "-a",
            "192.168.7.444",
            "1.2.3",
            "bench_1",
            "*.shop.example",
            "[fd00::7",
            "[bench]",
            "a b",
            "bench.",
        ] {
            assert_eq!(bad.parse::<Called>(), Err(NoName), "{bad}");
        }
    }

    #[test]
    fn on_this_machine_it_has_this_machines_names_alone() {
        let door = Door::default();
        for host in ["127.0.0.1:49731", "localhost:49731", "LocalHost:49731", "[::1]:49731"] {
            assert!(door.knows(host, 49_731), "{host}");
        }
        for host in [
            "",
            "127.0.0.1",
            "127.0.0.1:1",
            "bench.shop.example:49731",
            "localhost:49731:49731",
            "localhost:",
            "localhost:+49731",
            "localhost.evil.example:49731",
            "127.0.0.1:049731x",
        ] {
            assert!(!door.knows(host, 49_731), "{host}");
        }
        assert!(door.knows("localhost", 80));
    }

    #[test]
    fn a_bench_calls_it_by_a_name_that_was_given_with_the_port() {
        let door = door("192.168.7.4", &["bench.shop.example", "other.example:8443"], false);
        for host in [
            "bench.shop.example:49731",
            "Bench.Shop.Example:49731",
            "192.168.7.4:49731",
            "localhost:49731",
            "other.example:8443",
        ] {
            assert!(door.knows(host, 49_731), "{host}");
        }
        for host in [
            "bench.shop.example",
            "bench.shop.example:443",
            "evil.example:49731",
            "x.bench.shop.example:49731",
            "bench.shop.example.evil:49731",
            "other.example:49731",
            "192.168.7.5:49731",
        ] {
            assert!(!door.knows(host, 49_731), "{host}");
        }
        assert!(door.other_name().contains("bench.shop.example, other.example:8443, 192.168.7.4,"));
    }

    #[test]
    fn behind_something_that_does_tls_the_name_stands_without_a_port() {
        let door = door("127.0.0.1", &["bench.shop.example"], true);
        assert!(door.is_secure());
        for host in ["bench.shop.example", "bench.shop.example:49731", "127.0.0.1:49731"] {
            assert!(door.knows(host, 49_731), "{host}");
        }
        assert!(!door.knows("bench.shop.example:80", 49_731));
        assert_eq!(door.addresses(), ["https://bench.shop.example/", "http://127.0.0.1:49731/"]);
    }

    #[test]
    fn whoever_is_reached_from_elsewhere_has_tls_and_a_name() {
        let told = |on: &str, called: &[&str], secured| Listening {
            on: on.parse().unwrap(),
            port: 0,
            called: called.iter().map(|name| name.parse().unwrap()).collect(),
            secured,
        };
        let own = || Secured::Own { certificate: "a".into(), key: "b".into() };
        assert!(Listening::loopback(0).allowed().is_ok());
        assert!(told("192.168.7.4", &["bench"], own()).allowed().is_ok());
        assert!(told("192.168.7.4", &[], own()).allowed().is_ok());
        assert!(told("127.0.0.1", &["bench"], Secured::InFront).allowed().is_ok());
        let open = |told: Listening| matches!(told.allowed(), Err(ServeError::Open { .. }));
        assert!(open(told("192.168.7.4", &["bench"], Secured::Not)));
        assert!(open(told("0.0.0.0", &[], Secured::Not)));
        assert!(open(told("::", &[], Secured::Not)));
        assert!(open(told("127.0.0.1", &["bench"], Secured::Not)));
        let nameless = |told: Listening| matches!(told.allowed(), Err(ServeError::Nameless));
        assert!(nameless(told("0.0.0.0", &[], own())));
        assert!(nameless(told("127.0.0.1", &[], Secured::InFront)));
    }
}
