//! The shop's own certificate: read, looked at, and read again when its files change.

mod validity;

use crate::clock;
use records::Moment;
use rustls::client::verify_server_name;
use rustls::crypto::ring;
use rustls::pki_types::pem::PemObject;
use rustls::pki_types::{CertificateDer, PrivateKeyDer, ServerName};
use rustls::server::{ClientHello, ParsedCertificate, ResolvesServerCert};
use rustls::sign::CertifiedKey;
use rustls::version::{TLS12, TLS13};
use rustls::{InconsistentKeys, ServerConfig};
use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::{Arc, PoisonError, RwLock};
use std::time::SystemTime;
use thiserror::Error;
use tokio_rustls::rustls;
use validity::validity;

/// The most bytes of a file with a certificate or a key: a chain has a few thousand.
const MOST: u64 = 1024 * 1024;

/// Why a certificate or its key cannot be used.
#[derive(Debug, Error)]
#[non_exhaustive]
pub enum CertificateError {
    /// The file cannot be read.
    #[error("{}: {what}", file.display())]
    Unread {
        /// Which.
        file: PathBuf,
        /// In words.
        what: String,
    },
    /// No certificate in PEM.
    #[error(
        "{}: there is no certificate in it; it must be in PEM, with a line -----BEGIN \
         CERTIFICATE-----", file.display()
    )]
    NoCertificate {
        /// Which.
        file: PathBuf,
    },
    /// No key in PEM.
    #[error(
        "{}: there is no private key in it; it must be in PEM, with a line -----BEGIN PRIVATE \
         KEY-----", file.display()
    )]
    NoKey {
        /// Which.
        file: PathBuf,
    },
    /// A key with a password.
    #[error(
        "{}: this key is locked with a password, and nobody types it when the machine starts; write \
         it without one, by openssl pkey -in LOCKED -out OPEN, and let nobody but this program's \
         user read that file", file.display()
    )]
    Locked {
        /// Which.
        file: PathBuf,
    },
    /// The two are no pair.
    #[error(
        "{}: this key does not belong to the first certificate of {}; give the key that it was made \
         with, and let the shop's own certificate stand first in its file",
        key.display(), certificate.display()
    )]
    NoPair {
        /// The key's file.
        key: PathBuf,
        /// The certificate's file.
        certificate: PathBuf,
    },
    /// A certificate, or a key, that TLS here cannot use.
    #[error(
        "{}: {what}; a certificate of X.509 version 3 with an RSA key of 2048 bits or more, or an \
         ECDSA key on P-256 or P-384, can be used", file.display()
    )]
    Unusable {
        /// Which.
        file: PathBuf,
        /// What the library says.
        what: String,
    },
    /// It was good until then.
    #[error("{}: the certificate expired on {until}; renew it", file.display())]
    Expired {
        /// Which.
        file: PathBuf,
        /// The last moment.
        until: Moment,
    },
    /// It will be good from then on.
    #[error(
        "{}: the certificate is good from {from} on, and by this machine's clock it is {now}; set \
         the clock, or wait", file.display()
    )]
    NotYet {
        /// Which.
        file: PathBuf,
        /// The first moment.
        from: Moment,
        /// Now.
        now: Moment,
    },
    /// It is made out to other names.
    #[error(
        "{}: the certificate is not made out to {name}, so every browser would refuse it there; have \
         one made with that name among its subject alternative names", file.display()
    )]
    OtherName {
        /// Which.
        file: PathBuf,
        /// The name that it was to have.
        name: String,
    },
}

/// What files look like from outside: whether they changed since.
type Stamp = [Option<(SystemTime, u64)>; 2];

/// What is held at one time.
struct Held {
    stamp: Stamp,
    pair: Arc<CertifiedKey>,
    until: Moment,
    /// Why the files as they are now are not taken.
    trouble: Option<String>,
}

/// What becomes of a certificate while the app runs.
#[derive(Debug)]
pub enum Renewal {
    /// Its files changed, and it is used from now on.
    Taken {
        /// How long it is good.
        until: Moment,
    },
    /// Its files changed, and cannot be used: the one from before is used on.
    Refused(CertificateError),
}

/// A certificate with its key, as it is used for every handshake.
pub(super) struct Tls {
    certificate: PathBuf,
    key: PathBuf,
    /// Names that it must be made out to.
    names: Vec<String>,
    held: RwLock<Held>,
    told: Box<dyn Fn(Renewal) + Send + Sync>,
}

impl std::fmt::Debug for Tls {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Tls").field("certificate", &self.certificate).finish_non_exhaustive()
    }
}

impl Tls {
    /// Reads a certificate and its key, which must be good now and made out to these names. `told`
    /// hears of renewals.
    ///
    /// # Errors
    /// [`CertificateError`]: which file, and what to do.
    pub(super) fn open(
        certificate: &Path,
        key: &Path,
        names: &[String],
        told: impl Fn(Renewal) + Send + Sync + 'static,
    ) -> Result<Arc<Self>, CertificateError> {
        let stamp = stamp(certificate, key);
        let (pair, until) = read(certificate, key, names)?;
        let held = RwLock::new(Held { stamp, pair: Arc::new(pair), until, trouble: None });
        Ok(Arc::new(Self {
            certificate: certificate.to_owned(),
            key: key.to_owned(),
            names: names.to_vec(),
            held,
            told: Box::new(told),
        }))
    }

    /// How a server does TLS by it: 1.2 and 1.3, HTTP/1.1.
    ///
    /// # Errors
    /// Where the library knows no such versions.
    pub(super) fn config(self: &Arc<Self>) -> Result<ServerConfig, rustls::Error> {
        let mut config = ServerConfig::builder_with_provider(Arc::new(ring::default_provider()))
            .with_protocol_versions(&[&TLS13, &TLS12])?
            .with_no_client_auth()
            .with_cert_resolver(Arc::clone(self) as Arc<dyn ResolvesServerCert>);
        config.alpn_protocols = vec![b"http/1.1".to_vec()];
        Ok(config)
    }

    /// Whether browsers take it for this name.
    pub(super) fn covers(&self, name: &str) -> bool {
        let held = self.held.read().unwrap_or_else(PoisonError::into_inner);
        held.pair.cert.first().is_some_and(|certificate| covers(certificate, name))
    }

    /// How long it is good, and why its files as they are now are not used, if they are not.
    pub(super) fn state(&self) -> (Moment, Option<String>) {
        let held = self.held.read().unwrap_or_else(PoisonError::into_inner);
        (held.until.clone(), held.trouble.clone())
    }

    /// The file of the certificate.
    pub(super) fn file(&self) -> &Path {
        &self.certificate
    }

    /// Reads the files again if they changed. What cannot be used is told once and not taken.
    fn look_again(&self) {
        let stamp = stamp(&self.certificate, &self.key);
        if self.held.read().unwrap_or_else(PoisonError::into_inner).stamp == stamp {
            return;
        }
        let read = read(&self.certificate, &self.key, &self.names);
        let told = {
            let mut held = self.held.write().unwrap_or_else(PoisonError::into_inner);
            // Another handshake was faster.
            if held.stamp == stamp {
                return;
            }
            held.stamp = stamp;
            match read {
                Ok((pair, until)) => {
                    held.pair = Arc::new(pair);
                    held.until = until.clone();
                    held.trouble = None;
                    Renewal::Taken { until }
                }
                Err(error) => {
                    held.trouble = Some(error.to_string());
                    Renewal::Refused(error)
                }
            }
        };
        (self.told)(told);
    }
}

impl ResolvesServerCert for Tls {
    /// At every handshake: two questions to the disk are nothing beside the handshake itself.
    fn resolve(&self, _: ClientHello<'_>) -> Option<Arc<CertifiedKey>> {
        self.look_again();
        Some(Arc::clone(&self.held.read().unwrap_or_else(PoisonError::into_inner).pair))
    }
}

fn stamp(certificate: &Path, key: &Path) -> Stamp {
    [certificate, key].map(|file| {
        let known = fs::metadata(file).ok()?;
        Some((known.modified().ok()?, known.len()))
    })
}

fn bytes(file: &Path) -> Result<Vec<u8>, CertificateError> {
    let unread = |what: String| CertificateError::Unread { file: file.to_owned(), what };
    let in_words = |error: io::Error| {
        unread(match error.kind() {
            io::ErrorKind::NotFound => "there is no such file".to_owned(),
            io::ErrorKind::PermissionDenied => {
                "the user under which this program runs may not read it".to_owned()
            }
            _ => error.to_string(),
        })
    };
    let known = fs::metadata(file).map_err(in_words)?;
    if !known.is_file() {
        return Err(unread("it is no file".to_owned()));
    }
    if known.len() > MOST {
        return Err(unread("it is too large for a certificate or a key".to_owned()));
    }
    fs::read(file).map_err(in_words)
}

fn covers(certificate: &CertificateDer<'_>, name: &str) -> bool {
    let Ok(name) = ServerName::try_from(name) else { return false };
    ParsedCertificate::try_from(certificate)
        .is_ok_and(|parsed| verify_server_name(&parsed, &name).is_ok())
}

/// A certificate and its key as they stand in their files, and how long it is good.
fn read(
    certificate: &Path,
    key: &Path,
    names: &[String],
) -> Result<(CertifiedKey, Moment), CertificateError> {
    let file = || certificate.to_owned();
    let chain: Vec<CertificateDer<'static>> = CertificateDer::pem_slice_iter(&bytes(certificate)?)
        .collect::<Result<_, _>>()
        .map_err(|_| CertificateError::NoCertificate { file: file() })?;
    let Some(own) = chain.first().cloned() else {
        return Err(CertificateError::NoCertificate { file: file() });
    };
    let unusable = |file: PathBuf, what: String| CertificateError::Unusable { file, what };
    let (from, until) = validity(&own)
        .ok_or_else(|| unusable(file(), "this certificate cannot be understood".to_owned()))?;
    let now = clock::now().map_err(|error| CertificateError::Unread {
        file: file(),
        what: format!("this machine's clock: {error}"),
    })?;
    if until < now {
        return Err(CertificateError::Expired { file: file(), until });
    }
    if now < from {
        return Err(CertificateError::NotYet { file: file(), from, now });
    }
    let text = bytes(key)?;
    let key_file = || key.to_owned();
    // Both ways in which a key is locked: PKCS #8 (RFC 5958) and the older header (RFC 1421).
    if [&b"ENCRYPTED PRIVATE KEY"[..], b"Proc-Type: 4,ENCRYPTED"]
        .iter()
        .any(|words| text.windows(words.len()).any(|part| part == *words))
    {
        return Err(CertificateError::Locked { file: key_file() });
    }
    let private = PrivateKeyDer::from_pem_slice(&text)
        .map_err(|_| CertificateError::NoKey { file: key_file() })?;
    let signing = ring::sign::any_supported_type(&private)
        .map_err(|error| unusable(key_file(), error.to_string()))?;
    let pair = CertifiedKey::new(chain, signing);
    match pair.keys_match() {
        Ok(()) => {}
        Err(rustls::Error::InconsistentKeys(InconsistentKeys::KeyMismatch)) => {
            return Err(CertificateError::NoPair { key: key_file(), certificate: file() });
        }
        Err(error) => return Err(unusable(file(), error.to_string())),
    }
    if let Some(name) = names.iter().find(|name| !covers(&own, name)) {
        return Err(CertificateError::OtherName { file: file(), name: name.clone() });
    }
    Ok((pair, until))
}
