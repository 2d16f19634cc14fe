//! How long the desk takes: to its first page, and from an edit to the fresh verdicts of a position; on the demo, and on a site of a
//! thousand positions. It runs the program itself and asks it over HTTP as a browser does: `cargo bench -p changeout --bench desk`.
#![allow(
    clippy::disallowed_methods,
    clippy::unwrap_used,
    clippy::panic,
    clippy::cast_possible_truncation,
    reason = "a benchmark writes sites, reads the clock, and stops at the first thing that is not as expected"
)]

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use tempfile::TempDir;

/// Edits of which the median is told.
const EDITS: usize = 21;
/// Positions of the large site.
const MANY: usize = 1_000;

/// An open desk; ended with it.
struct Desk {
    folder: TempDir,
    program: Child,
    host: String,
}

impl Drop for Desk {
    fn drop(&mut self) {
        let _ = self.program.kill();
        let _ = self.program.wait();
    }
}

impl Desk {
    /// Opens a site and tells how long it took until it said its address.
    fn open(folder: TempDir) -> (Self, Duration) {
        let began = Instant::now();
        let mut program = Command::new(env!("CARGO_BIN_EXE_changeout"))
            .args(["open", "--no-browser", "--json", "--date", "2026-03-31"])
            .arg(folder.path())
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let mut line = String::new();
        BufReader::new(program.stdout.take().unwrap()).read_line(&mut line).unwrap();
        let told: serde_json::Value = serde_json::from_str(&line).unwrap();
        let host = told["address"].as_str().unwrap().trim_start_matches("http://").trim_end_matches('/').to_owned();
        (Self { folder, program, host }, began.elapsed())
    }

    fn ask(&self, request: &str) -> (Duration, String) {
        let began = Instant::now();
        let mut stream = TcpStream::connect(&self.host).unwrap();
        stream.write_all(request.as_bytes()).unwrap();
        let mut bytes = Vec::new();
        stream.read_to_end(&mut bytes).unwrap();
        (began.elapsed(), String::from_utf8_lossy(&bytes).into_owned())
    }

    fn get(&self, path: &str) -> (Duration, String) {
        let (time, answer) = self.ask(&format!("GET {path} HTTP/1.1\r\nHost: {}\r\nConnection: close\r\n\r\n", self.host));
        assert!(answer.starts_with("HTTP/1.1 200"), "{path}: {}", answer.lines().next().unwrap_or_default());
        (time, answer)
    }

    fn save(&self, tag: &str, value: &str, was: &str) -> Duration {
        let escaped = |t: &str| t.replace(' ', "+");
        let body = format!("by=M.+Truscott&v%3Aload.current={}&w%3Aload.current={}", escaped(value), escaped(was));
        let (time, answer) = self.ask(&format!(
            "POST /at/{tag}/found.json HTTP/1.1\r\nHost: {0}\r\nOrigin: http://{0}\r\nConnection: close\r\nContent-Length: {1}\r\n\r\n{body}",
            self.host,
            body.len()
        ));
        assert!(answer.starts_with("HTTP/1.1 200"), "{answer}");
        time
    }

    fn to_work_out(&self) -> u64 {
        let (_, answer) = self.get("/stamp.json");
        let body = answer.split("\r\n\r\n").nth(1).unwrap_or_default();
        serde_json::from_str::<serde_json::Value>(body).unwrap()["to_work_out"].as_u64().unwrap()
    }

    /// The survey stands on that value by now.
    fn expect(&self, value: &str) {
        assert!(self.get("/at/BE-101/found").1.contains(&format!("value=\"{value}\"")), "the fresh page stands on {value}");
    }

    fn settle(&self) {
        while self.to_work_out() > 0 {
            std::thread::sleep(Duration::from_millis(200));
        }
    }
}

fn copy(from: &Path, to: &Path) {
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

fn demo() -> TempDir {
    let folder = TempDir::new().unwrap();
    copy(&Path::new(env!("CARGO_MANIFEST_DIR")).join("demo"), folder.path());
    folder
}

/// The demo's positions over and over, each with a tag of its own and a box for itself.
fn many() -> TempDir {
    let folder = demo();
    let positions = folder.path().join("positions");
    let files: Vec<_> = std::fs::read_dir(&positions).unwrap().map(|e| e.unwrap().path()).collect();
    for number in 0..MANY - files.len() {
        let file = &files[number % files.len()];
        let old = file.file_stem().unwrap().to_string_lossy().into_owned();
        let tag = format!("{old}-{number:04}");
        let text = std::fs::read_to_string(file).unwrap().replace(&format!("\"{old}\""), &format!("\"{tag}\""));
        let own = |line: &&str| !line.starts_with("box = ") && !line.starts_with("node = ") && !line.starts_with("line = ");
        let text: Vec<&str> = text.lines().filter(own).collect();
        std::fs::write(positions.join(format!("{tag}.toml")), text.join("\n") + "\n").unwrap();
    }
    folder
}

fn ms(time: Duration) -> f64 {
    time.as_secs_f64() * 1e3
}

fn median(times: &mut [f64]) -> f64 {
    times.sort_by(f64::total_cmp);
    times.get(times.len() / 2).copied().unwrap_or_default()
}

/// What one site takes: milliseconds to the address, the first page, from edit to fresh page (median, worst), saving within it.
fn measure(name: &str, mark: &str, folder: TempDir, wait: bool) {
    let (desk, opened) = Desk::open(folder);
    let (first, page) = desk.get("/");
    let (site, _) = desk.get("/");
    if wait {
        desk.settle();
    }
    let (mut whole, mut saving, mut editor) = (Vec::new(), Vec::new(), Vec::new());
    let mut was = "50.2 A".to_owned();
    desk.get("/at/BE-101");
    for edit in 0..EDITS {
        let value = format!("{}.{} A", 44 + edit / 10, edit % 10);
        let save = desk.save("BE-101", &value, &was);
        let (read, _) = desk.get("/at/BE-101");
        desk.expect(&value);
        whole.push(ms(save) + ms(read));
        saving.push(ms(save));
        was = value;
    }
    let file = desk.folder.path().join("positions/BE-101.toml");
    for edit in 0..EDITS {
        let value = format!("{}.{} A", 47 + edit / 10, edit % 10);
        std::fs::write(&file, std::fs::read_to_string(&file).unwrap().replace(&was, &value)).unwrap();
        let (read, _) = desk.get("/at/BE-101");
        desk.expect(&value);
        editor.push(ms(read));
        was = value;
    }
    let worst = whole.iter().copied().fold(0.0, f64::max);
    let (typed, edit, save) = (median(&mut editor), median(&mut whole), median(&mut saving));
    println!(
        "{name}: open in {:.0} ms, first page {:.0} ms ({} KiB), again {:.0} ms; from an edit in an editor to fresh verdicts {typed:.0} ms, \
         from a saved form {edit:.0} ms (of which saving {save:.0} ms; worst {worst:.0} ms); medians of {EDITS}",
        ms(opened),
        ms(first),
        page.len() >> 10,
        ms(site),
    );
    println!("{mark}_FIRST_PAGE_MS {:.1}\n{mark}_EDIT_MS {typed:.1}\n{mark}_SAVE_MS {edit:.1}", ms(first));
}

fn main() {
    // Cargo's own arguments of a benchmark mean nothing here; under `cargo test` there is nothing to do.
    if !std::env::args().any(|a| a == "--bench") {
        return;
    }
    measure("demo, 8 positions", "DESK_DEMO", demo(), true);
    measure("1,000 positions, others being worked out meanwhile", "DESK_MANY", many(), false);
}
