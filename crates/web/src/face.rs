//! How the desk is reached: on this machine alone, or beyond it, which takes a certificate and a password.

use std::fmt;
use std::net::IpAddr;
use std::sync::Arc;
use std::time::Duration;

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use hyper::header::{self, HeaderMap};
use sha2::{Digest, Sha256};
use tokio::sync::Mutex;
use tokio_rustls::TlsAcceptor;
use tokio_rustls::rustls::ServerConfig;
use tokio_rustls::rustls::crypto::ring::default_provider;
use tokio_rustls::rustls::pki_types::pem::PemObject;
use tokio_rustls::rustls::pki_types::{CertificateDer, PrivateKeyDer};

use crate::guard::Hosts;

/// Fewest characters of a password: what is short is found by trying.
pub const SHORTEST_PASSWORD: usize = 12;
/// How long a wrong password is answered with nothing; one at a time, whoever asks.
const WRONG_TIME: Duration = Duration::from_secs(1);

/// How the desk is reached.
pub struct Face {
    pub(crate) hosts: Hosts,
    pub(crate) tls: Option<TlsAcceptor>,
    password: Option<Password>,
}

/// A password, of which only the digest is kept.
struct Password {
    digest: [u8; 32],
    /// Held while a wrong one is made to wait.
    wrong: Mutex<()>,
}

impl fmt::Debug for Face {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Face").field("hosts", &self.hosts).finish_non_exhaustive()
    }
}

/// What it takes to be reached beyond this machine.
#[derive(Clone, Copy)]
pub struct Keys<'k> {
    /// Certificates, PEM, that of the desk first.
    pub certificate: &'k [u8],
    /// Its private key, PEM.
    pub key: &'k [u8],
    /// The password.
    pub password: &'k str,
}

impl fmt::Debug for Keys<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Keys")
    }
}

impl Face {
    /// On this machine alone, on this port.
    #[must_use]
    pub fn own(port: u16) -> Self {
        Self { hosts: Hosts::own(port), tls: None, password: None }
    }

    /// Beyond this machine: under the address that is listened on and further names, encrypted, with a password.
    ///
    /// # Errors
    /// Everything that is wrong with certificate, key and password.
    pub fn beyond(address: IpAddr, port: u16, names: &[String], keys: Keys<'_>) -> Result<Self, Vec<String>> {
        let mut wrong = Vec::new();
        let certificates: Vec<CertificateDer<'static>> = match CertificateDer::pem_slice_iter(keys.certificate).collect::<Result<_, _>>() {
            Ok(list) => list,
            Err(e) => {
                wrong.push(format!("the certificate cannot be read: {e}; it is a PEM file"));
                Vec::new()
            }
        };
        if certificates.is_empty() && wrong.is_empty() {
            wrong.push("the certificate file holds no certificate; it is a PEM file".to_owned());
        }
        let key =
            PrivateKeyDer::from_pem_slice(keys.key).map_err(|e| wrong.push(format!("the key cannot be read: {e}; it is a PEM file"))).ok();
        if keys.password.chars().count() < SHORTEST_PASSWORD {
            wrong.push(format!("the password has fewer than {SHORTEST_PASSWORD} characters"));
        }
        if address.is_unspecified() && names.is_empty() {
            wrong.push(format!("on {address} the desk is reached under any name: say which with --name"));
        }
        let Some(key) = key.filter(|_| wrong.is_empty()) else { return Err(wrong) };
        let config = ServerConfig::builder_with_provider(Arc::new(default_provider()))
            .with_safe_default_protocol_versions()
            .and_then(|builder| builder.with_no_client_auth().with_single_cert(certificates, key))
            .map_err(|e| vec![format!("certificate and key do not go together: {e}")])?;
        let digest = Sha256::digest(keys.password.as_bytes()).into();
        Ok(Self {
            hosts: Hosts::beyond(address, port, names),
            tls: Some(TlsAcceptor::from(Arc::new(config))),
            password: Some(Password { digest, wrong: Mutex::default() }),
        })
    }

    /// Whether a request brings the password, where there is one; a wrong one waits first.
    pub(crate) async fn lets_in(&self, headers: &HeaderMap) -> bool {
        let Some(password) = &self.password else { return true };
        let given = headers.get(header::AUTHORIZATION).and_then(|v| v.to_str().ok()).and_then(given);
        match given {
            // Digests are compared: how far they agree tells nothing about the password.
            Some(given) if <[u8; 32]>::from(Sha256::digest(&given)) == password.digest => true,
            Some(_) => {
                let _turn = password.wrong.lock().await;
                tokio::time::sleep(WRONG_TIME).await;
                false
            }
            None => false,
        }
    }
}

/// The password out of a header (RFC 7617, Basic); whatever name stands before it.
fn given(header: &str) -> Option<Vec<u8>> {
    let (scheme, rest) = header.split_once(' ')?;
    let bytes = STANDARD.decode(rest.trim()).ok().filter(|_| scheme.eq_ignore_ascii_case("basic"))?;
    let colon = bytes.iter().position(|b| *b == b':')?;
    bytes.get(colon + 1..).map(<[u8]>::to_vec)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::panic, reason = "tests stop at the first broken expectation")]
    use super::*;

    #[test]
    fn a_password_is_read_as_its_standard_says() {
        // RFC 7617, section 2: Aladdin, "open sesame".
        assert_eq!(given("Basic QWxhZGRpbjpvcGVuIHNlc2FtZQ==").as_deref(), Some(&b"open sesame"[..]));
        for wrong in ["", "Basic", "Bearer QWxhZGRpbjpvcGVuIHNlc2FtZQ==", "Basic %%%", "Basic QWxhZGRpbg=="] {
            assert_eq!(given(wrong), None, "{wrong}");
        }
    }

    #[test]
    fn everything_that_is_wrong_is_told_at_once() {
        let keys = Keys { certificate: b"no", key: b"no", password: "short" };
        let Err(wrong) = Face::beyond(IpAddr::from([0, 0, 0, 0]), 1, &[], keys) else { panic!("it was taken") };
        for part in ["certificate", "key", "password", "--name"] {
            assert!(wrong.iter().any(|w| w.contains(part)), "{part}: {wrong:?}");
        }
    }
}
