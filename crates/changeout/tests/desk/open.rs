//! A desk that is open, and questions to it.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};

use serde_json::Value;
use tempfile::TempDir;

/// The demo on a desk, both gone at the end.
pub(crate) struct Open {
    folder: TempDir,
    program: Child,
    pub(crate) host: String,
}

/// An answer.
#[derive(Debug)]
pub(crate) struct Answer {
    pub(crate) status: u16,
    pub(crate) head: String,
    pub(crate) body: String,
    /// The body as it came.
    pub(crate) bytes: Vec<u8>,
}

impl Answer {
    pub(crate) fn json(&self) -> Value {
        serde_json::from_str(&self.body).unwrap_or_else(|e| panic!("{e}: {}", self.body))
    }

    pub(crate) fn of(bytes: &[u8]) -> Self {
        let at = bytes.windows(4).position(|w| w == b"\r\n\r\n");
        let (head, body) = at.map_or((bytes, &[][..]), |at| (&bytes[..at], &bytes[at + 4..]));
        let head = String::from_utf8_lossy(head).into_owned();
        let status = head.split(' ').nth(1).and_then(|s| s.parse().ok()).unwrap_or(0);
        Self { status, head, body: String::from_utf8_lossy(body).into_owned(), bytes: body.to_vec() }
    }

    /// A header of the answer.
    pub(crate) fn header(&self, name: &str) -> Option<&str> {
        self.head.lines().find_map(|l| l.split_once(": ").filter(|(n, _)| n.eq_ignore_ascii_case(name)).map(|(_, v)| v))
    }
}

impl Open {
    pub(crate) fn demo() -> Self {
        let folder = TempDir::new().unwrap();
        copy(&Path::new(env!("CARGO_MANIFEST_DIR")).join("demo"), folder.path());
        Self::of(folder)
    }

    pub(crate) fn of(folder: TempDir) -> Self {
        let (program, host) = start(folder.path(), "0");
        Self { folder, program, host }
    }

    /// A desk that has read nothing yet, of the site as it stands.
    pub(crate) fn anew(&self) -> Self {
        let folder = TempDir::new().unwrap();
        copy(self.folder.path(), folder.path());
        Self::of(folder)
    }

    pub(crate) fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    pub(crate) fn text(&self, name: &str) -> String {
        std::fs::read_to_string(self.path(name)).unwrap()
    }

    /// Ends the program at once, as a power cut does.
    pub(crate) fn kill(&mut self) {
        self.program.kill().unwrap();
        self.program.wait().unwrap();
    }

    /// Opens it again after [`Open::kill`], where it was: pages that are open find it.
    pub(crate) fn again(&mut self) {
        let port = self.host.rsplit(':').next().unwrap().to_owned();
        (self.program, self.host) = start(self.folder.path(), &port);
    }

    pub(crate) fn get(&self, path: &str) -> Answer {
        self.raw(&format!("GET {path} HTTP/1.1\r\nHost: {}\r\nConnection: close\r\n\r\n", self.host))
    }

    /// Sends a form, as a page of the desk does.
    pub(crate) fn send(&self, path: &str, fields: &[(&str, &str)]) -> Answer {
        self.raw(&self.posted(path, fields))
    }

    pub(crate) fn posted(&self, path: &str, fields: &[(&str, &str)]) -> String {
        let body = fields.iter().map(|(k, v)| format!("{}={}", escaped(k), escaped(v))).collect::<Vec<_>>().join("&");
        format!(
            "POST {path} HTTP/1.1\r\nHost: {0}\r\nOrigin: http://{0}\r\nConnection: close\r\nContent-Type: application/x-www-form-urlencoded\r\nContent-Length: {1}\r\n\r\n{body}",
            self.host,
            body.len()
        )
    }

    /// Sends bytes as they are and reads all that comes back.
    pub(crate) fn raw(&self, request: &str) -> Answer {
        self.bytes(request.as_bytes())
    }

    fn bytes(&self, request: &[u8]) -> Answer {
        let mut stream = TcpStream::connect(&self.host).unwrap();
        stream.set_read_timeout(Some(std::time::Duration::from_secs(60))).unwrap();
        // A server that has heard enough may shut the line before all is sent.
        let _ = stream.write_all(request);
        let mut bytes = Vec::new();
        let _ = stream.read_to_end(&mut bytes);
        Answer::of(&bytes)
    }

    /// Sends a form with one file, as a page of the desk does.
    pub(crate) fn upload(&self, path: &str, fields: &[(&str, &str)], field: &str, name: &str, file: &[u8]) -> Answer {
        const EDGE: &str = "----------------desk-test";
        let mut body = Vec::new();
        for (key, value) in fields {
            body.extend_from_slice(format!("--{EDGE}\r\nContent-Disposition: form-data; name=\"{key}\"\r\n\r\n{value}\r\n").as_bytes());
        }
        body.extend_from_slice(
            format!("--{EDGE}\r\nContent-Disposition: form-data; name=\"{field}\"; filename=\"{name}\"\r\nContent-Type: image/png\r\n\r\n")
                .as_bytes(),
        );
        body.extend_from_slice(file);
        body.extend_from_slice(format!("\r\n--{EDGE}--\r\n").as_bytes());
        let head = format!(
            "POST {path} HTTP/1.1\r\nHost: {0}\r\nOrigin: http://{0}\r\nConnection: close\r\nContent-Type: multipart/form-data; boundary={EDGE}\r\nContent-Length: {1}\r\n\r\n",
            self.host,
            body.len()
        );
        self.bytes(&[head.as_bytes(), &body].concat())
    }
}

impl Drop for Open {
    fn drop(&mut self) {
        let _ = self.program.kill();
        let _ = self.program.wait();
    }
}

fn start(folder: &Path, port: &str) -> (Child, String) {
    let mut program = Command::new(env!("CARGO_BIN_EXE_changeout"))
        .args(["open", "--no-browser", "--json", "--date", "2026-03-31", "--port", port])
        .arg(folder)
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let mut line = String::new();
    BufReader::new(program.stdout.take().unwrap()).read_line(&mut line).unwrap();
    let told: Value = serde_json::from_str(&line).unwrap_or_else(|e| panic!("{e}: {line}"));
    let host = told["address"].as_str().unwrap().trim_start_matches("http://").trim_end_matches('/').to_owned();
    (program, host)
}

pub(crate) fn copy(from: &Path, to: &Path) {
    for entry in std::fs::read_dir(from).unwrap() {
        let entry = entry.unwrap();
        let target = to.join(entry.file_name());
        if entry.path().is_dir() {
            std::fs::create_dir_all(&target).unwrap();
            copy(&entry.path(), &target);
        } else {
            std::fs::copy(entry.path(), target).unwrap();
        }
    }
}

pub(crate) fn escaped(text: &str) -> String {
    text.bytes().map(|b| if b.is_ascii_alphanumeric() { char::from(b).to_string() } else { format!("%{b:02X}") }).collect()
}
