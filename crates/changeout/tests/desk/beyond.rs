//! Beyond this machine: refused without certificate and password, encrypted and asking for the password with them.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::sync::Arc;

use rustls::pki_types::{CertificateDer, ServerName};
use rustls::{ClientConfig, ClientConnection, RootCertStore, StreamOwned};
use tempfile::TempDir;

use super::open::{Answer, copy};

const PASSWORD: &str = "barley malt 1804";
const NAME: &str = "desk.example";
/// "x:barley malt 1804" in base64 (RFC 4648).
const RIGHT: &str = "Basic eDpiYXJsZXkgbWFsdCAxODA0";
/// "x:barley malt 1805".
const WRONG: &str = "Basic eDpiYXJsZXkgbWFsdCAxODA1";

/// A desk that listens on all addresses, with a certificate made for this test.
struct Beyond {
    _folder: TempDir,
    program: Child,
    port: u16,
    trusted: Arc<ClientConfig>,
}

impl Drop for Beyond {
    fn drop(&mut self) {
        let _ = self.program.kill();
        let _ = self.program.wait();
    }
}

fn secret(path: &Path, text: &str) {
    std::fs::write(path, text).unwrap();
    #[cfg(unix)]
    std::fs::set_permissions(path, std::os::unix::fs::PermissionsExt::from_mode(0o600)).unwrap();
}

/// A folder with site, certificate, key and password; and the certificate as clients know it.
fn prepared() -> (TempDir, CertificateDer<'static>) {
    let folder = TempDir::new().unwrap();
    let site = folder.path().join("site");
    std::fs::create_dir(&site).unwrap();
    copy(&Path::new(env!("CARGO_MANIFEST_DIR")).join("demo"), &site);
    let made = rcgen::generate_simple_self_signed([NAME.to_owned()]).unwrap();
    std::fs::write(folder.path().join("cert.pem"), made.cert.pem()).unwrap();
    secret(&folder.path().join("key.pem"), &made.signing_key.serialize_pem());
    secret(&folder.path().join("password"), &format!("{PASSWORD}\n"));
    (folder, made.cert.der().clone())
}

fn program(folder: &TempDir, arguments: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_changeout"));
    command.current_dir(folder.path()).args(["open", "site", "--no-browser", "--json"]).args(arguments);
    command
}

const ALL: [&str; 6] = ["--certificate", "cert.pem", "--key", "key.pem", "--password-file", "password"];

impl Beyond {
    fn open() -> Self {
        let (folder, certificate) = prepared();
        let mut program =
            program(&folder, &[&["--listen", "0.0.0.0", "--name", NAME], &ALL[..]].concat()).stdout(Stdio::piped()).spawn().unwrap();
        let mut line = String::new();
        BufReader::new(program.stdout.take().unwrap()).read_line(&mut line).unwrap();
        let told: serde_json::Value = serde_json::from_str(&line).unwrap_or_else(|e| panic!("{e}: {line}"));
        let address = told["address"].as_str().unwrap();
        let port = address.strip_prefix(&format!("https://{NAME}:")).unwrap().trim_end_matches('/').parse().unwrap();
        let mut roots = RootCertStore::empty();
        roots.add(certificate).unwrap();
        let provider = Arc::new(rustls::crypto::ring::default_provider());
        let config = ClientConfig::builder_with_provider(provider).with_safe_default_protocol_versions().unwrap();
        let trusted = Arc::new(config.with_root_certificates(roots).with_no_client_auth());
        Self { _folder: folder, program, port, trusted }
    }

    fn ask(&self, request: &str) -> Answer {
        let name = ServerName::try_from(NAME).unwrap();
        let mut line = StreamOwned::new(
            ClientConnection::new(Arc::clone(&self.trusted), name).unwrap(),
            TcpStream::connect(("127.0.0.1", self.port)).unwrap(),
        );
        line.write_all(request.as_bytes()).unwrap();
        let mut bytes = Vec::new();
        // A server that shuts the line without farewell has answered all the same.
        let _ = line.read_to_end(&mut bytes);
        Answer::of(&bytes)
    }

    fn get(&self, host: &str, more: &str) -> Answer {
        self.ask(&format!("GET / HTTP/1.1\r\nHost: {host}\r\n{more}Connection: close\r\n\r\n"))
    }
}

#[test]
fn it_is_refused_unless_everything_is_given() {
    let (folder, _) = prepared();
    let refused = |arguments: &[&str]| {
        let out = program(&folder, arguments).output().unwrap();
        assert_eq!(out.status.code(), Some(2), "{arguments:?}");
        String::from_utf8_lossy(&out.stderr).into_owned() + &String::from_utf8_lossy(&out.stdout)
    };
    let told = refused(&["--listen", "0.0.0.0"]);
    assert!(["--certificate", "--key", "--password-file"].iter().all(|part| told.contains(part)), "{told}");
    for left_out in 0..3 {
        let rest: Vec<&str> =
            ALL.chunks(2).enumerate().filter(|(i, _)| *i != left_out).flat_map(|(_, pair)| pair.iter().copied()).collect();
        let told = refused(&[&["--listen", "192.0.2.1"], &rest[..]].concat());
        assert!(told.contains(ALL[left_out * 2]), "{told}");
    }
    assert!(refused(&[&["--listen", "0.0.0.0"], &ALL[..]].concat()).contains("--name"));
    secret(&folder.path().join("password"), "short\n");
    assert!(refused(&[&["--listen", "0.0.0.0", "--name", NAME], &ALL[..]].concat()).contains("characters"));
    secret(&folder.path().join("password"), PASSWORD);
    std::fs::write(folder.path().join("cert.pem"), "no certificate").unwrap();
    assert!(refused(&[&["--listen", "0.0.0.0", "--name", NAME], &ALL[..]].concat()).contains("certificate"));
    #[cfg(unix)]
    {
        std::fs::set_permissions(folder.path().join("password"), std::os::unix::fs::PermissionsExt::from_mode(0o644)).unwrap();
        assert!(refused(&[&["--listen", "0.0.0.0", "--name", NAME], &ALL[..]].concat()).contains("everybody"));
    }
}

#[test]
fn it_is_encrypted_and_asks_for_its_password() {
    let desk = Beyond::open();
    let host = format!("{NAME}:{}", desk.port);
    let right = format!("Authorization: {RIGHT}\r\n");
    let without = desk.get(&host, "");
    assert_eq!(without.status, 401, "{}", without.head);
    assert!(without.header("www-authenticate").unwrap().starts_with("Basic") && !without.body.contains("BE-101"));
    assert_eq!(desk.get(&host, &format!("Authorization: {WRONG}\r\n")).status, 401);
    let page = desk.get(&host, &right);
    assert!(page.status == 200 && page.body.contains("BE-101"), "{}", page.head);
    // The certificate's name is its only one, and changes come from its own pages.
    assert_eq!(desk.get("elsewhere.example", &right).status, 421);
    assert_eq!(desk.get(&format!("127.0.0.1:{}", desk.port), &right).status, 421);
    let post = |origin: &str| {
        let form = "look=dark&back=%2F&kept=";
        desk.ask(&format!(
            "POST /look HTTP/1.1\r\nHost: {host}\r\nOrigin: {origin}\r\n{right}Connection: close\r\nContent-Length: {}\r\n\r\n{form}",
            form.len()
        ))
    };
    assert_eq!(post(&format!("http://{host}")).status, 403);
    let kept = post(&format!("https://{host}"));
    assert_eq!(kept.status, 303);
    assert!(kept.header("set-cookie").unwrap().ends_with("; Secure"), "{}", kept.head);
    // Who does not speak the encrypted way gets nothing.
    let mut plain = TcpStream::connect(("127.0.0.1", desk.port)).unwrap();
    plain.write_all(format!("GET / HTTP/1.1\r\nHost: {host}\r\n{right}\r\n").as_bytes()).unwrap();
    let mut bytes = Vec::new();
    let _ = plain.read_to_end(&mut bytes);
    assert!(!String::from_utf8_lossy(&bytes).contains("BE-101"));
}
