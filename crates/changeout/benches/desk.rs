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

/// Positions of the large site.
const MANY: usize = 1_000;
/// Times that each edit is made.
const ROUNDS: usize = 4;

/// Edits that are timed: a fact that few checks read, one that the load's current hangs on, the plate's current that nearly all read,
/// one of a position of which little is known, and two that open or settle what may not be assumed.
const EDITS: &[(&str, &str, [&str; 2])] = &[
    ("BE-101", "conductors.length", ["24 m", "22 m"]),
    ("BE-101", "load.current", ["49.1 A", "50.2 A"]),
    ("BE-101", "motor.current", ["47.9 A", "48.5 A"]),
    ("BH-301", "resistor.ohms", ["12.1 ohm", "12.4 ohm"]),
    ("AF-204", "speed.highest", ["60..64 Hz", "60..66 Hz"]),
    ("BD-808", "load.kind", ["conveyor", "?"]),
    ("BD-808", "stop.need", ["timed", "?"]),
];

/// Facts that get values which nobody has typed before: beginning and unit of what is typed.
const NEW: &[(&str, &str, &str, &str)] = &[
    ("BE-101", "load.current", "49", "A"),
    ("BE-101", "motor.current", "47", "A"),
    ("BH-301", "resistor.ohms", "12", "ohm"),
    ("AF-204", "load.current", "121", "A"),
];

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

    /// Saves one value through the form, as it stands over what was there.
    fn save(&self, tag: &str, fact: &str, value: &str) -> Duration {
        // As a browser does: with what the form showed beside what is typed.
        let (_, form) = self.get(&format!("/at/{tag}/found"));
        let mark = format!("name=\"w:{fact}\" value=\"");
        let was = form.split(&mark).nth(1).and_then(|rest| rest.split('"').next()).unwrap_or_default().to_owned();
        let escaped = |t: &str| t.replace(' ', "+");
        let body = format!("by=M.+Truscott&v%3A{fact}={}&w%3A{fact}={}", escaped(value), escaped(&was));
        let (time, answer) = self.ask(&format!(
            "POST /at/{tag}/found.json HTTP/1.1\r\nHost: {0}\r\nOrigin: http://{0}\r\nConnection: close\r\nContent-Length: {1}\r\n\r\n{body}",
            self.host,
            body.len()
        ));
        assert!(answer.starts_with("HTTP/1.1 200"), "{answer}");
        time
    }

    fn json(&self, path: &str) -> serde_json::Value {
        let (_, answer) = self.get(path);
        serde_json::from_str(answer.split("\r\n\r\n").nth(1).unwrap_or_default()).unwrap()
    }

    fn settle(&self) {
        while self.json("/stamp.json")["to_work_out"].as_u64().unwrap() > 0 {
            std::thread::sleep(Duration::from_millis(200));
        }
    }

    /// Memory that the program holds, MiB, where the system tells.
    fn memory(&self) -> Option<u64> {
        let status = std::fs::read_to_string(format!("/proc/{}/status", self.program.id())).ok()?;
        let line = status.lines().find_map(|l| l.strip_prefix("VmRSS:"))?;
        Some(line.split_whitespace().next()?.parse::<u64>().ok()? >> 10)
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
    let mut files: Vec<_> = std::fs::read_dir(&positions).unwrap().map(|e| e.unwrap().path()).collect();
    files.sort();
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

fn worst(times: &[f64]) -> f64 {
    times.iter().copied().fold(0.0, f64::max)
}

/// From an edit to the page with fresh verdicts: by the form (saving and reading again), and by an editor (reading again). Medians and
/// worst of all edits, each told by itself.
fn edits(desk: &Desk, mark: &str) {
    let (mut forms, mut editors) = (Vec::new(), Vec::new());
    for (tag, fact, values) in EDITS {
        let page = format!("/at/{tag}");
        let (opening, _) = desk.get(&page);
        // A person reads before typing; what the desk does meanwhile is its own affair.
        std::thread::sleep(Duration::from_millis(1_500));
        let (mut form, mut saving, mut editor) = (Vec::new(), Vec::new(), Vec::new());
        for _ in 0..ROUNDS {
            for value in values {
                let save = desk.save(tag, fact, value);
                let (read, answer) = desk.get(&page);
                assert!(answer.contains("class=\"verdict"), "{page} shows its verdict");
                form.push(ms(save) + ms(read));
                saving.push(ms(save));
            }
        }
        // The first of two values by an editor; "?" leaves nothing that an editor could find again.
        if !values.contains(&"?") {
            let file = desk.folder.path().join(format!("positions/{tag}.toml"));
            let mut turns = [values[1], values[0]];
            for _ in 0..2 * ROUNDS {
                let text = std::fs::read_to_string(&file).unwrap();
                std::fs::write(&file, text.replace(&format!("\"{}\"", turns[0]), &format!("\"{}\"", turns[1]))).unwrap();
                editor.push(ms(desk.get(&page).0));
                turns.reverse();
            }
        }
        println!(
            "  {tag} {fact}: opened in {:.0} ms; form {:.0} ms, worst {:.0} (saving {:.0}); editor {:.0} ms",
            ms(opening),
            median(&mut form.clone()),
            worst(&form),
            median(&mut saving),
            median(&mut editor.clone()),
        );
        forms.extend(form);
        editors.extend(editor);
    }
    println!(
        "{mark}_EDIT_MS {:.1}\n{mark}_WORST_EDIT_MS {:.1}\n{mark}_EDITOR_MS {:.1}",
        median(&mut forms),
        worst(&forms),
        median(&mut editors)
    );
}

/// The same with values that were never there before, so that what hangs on them is searched. `round` tells apart the values of several
/// callings.
fn new_values(desk: &Desk, mark: &str, round: usize) {
    let mut times = Vec::new();
    for (tag, fact, whole, unit) in NEW {
        let page = format!("/at/{tag}");
        desk.get(&page);
        std::thread::sleep(Duration::from_millis(1_500));
        let own: Vec<f64> = (0..2 * ROUNDS)
            .map(|at| {
                let value = format!("{whole}.{round}{} {unit}", at + 11);
                ms(desk.save(tag, fact, &value)) + ms(desk.get(&page).0)
            })
            .collect();
        times.extend(own.iter().copied());
        println!("  {tag} {fact}, new values: {:.0} ms, worst {:.0}", median(&mut own.clone()), worst(&own));
    }
    println!("{mark}_NEW_EDIT_MS {:.1}\n{mark}_WORST_NEW_EDIT_MS {:.1}", median(&mut times.clone()), worst(&times));
}

/// A tried reading, dragged through its range: the median of what each stop takes.
fn trial(desk: &Desk) -> f64 {
    let offered = desk.json("/at/BD-808/try.json?fact=load.current")["offered"].as_array().unwrap().clone();
    let path = |value: &str| format!("/at/BD-808/try?fact=load.current&value={}", value.replace(' ', "+"));
    let mut times: Vec<f64> = offered.iter().map(|o| ms(desk.get(&path(o.as_str().unwrap())).0)).collect();
    median(&mut times)
}

/// Milliseconds of several askings of a page: the median.
fn page(desk: &Desk, path: &str) -> f64 {
    median(&mut (0..9).map(|_| ms(desk.get(path).0)).collect::<Vec<_>>())
}

/// Every page of a position: the first asking, and the median of further ones.
fn pages(desk: &Desk) {
    for tab in
        ["", "/found", "/replacement", "/findings", "/rating", "/power", "/box", "/wires", "/settings", "/behaviour", "/cutover", "/papers"]
    {
        let path = format!("/at/BE-101{tab}");
        let (first, answer) = desk.get(&path);
        println!("  {path}: first {:.0} ms, then {:.0} ms, {} KiB", ms(first), page(desk, &path), answer.len() >> 10);
    }
}

fn demo_site() {
    let (desk, opened) = Desk::open(demo());
    let (first, answer) = desk.get("/");
    println!("demo, 8 positions: open in {:.0} ms, first page {:.0} ms, {} KiB", ms(opened), ms(first), answer.len() >> 10);
    let began = Instant::now();
    desk.settle();
    println!("  all worked out {:.1} s later, {} MiB", began.elapsed().as_secs_f64(), desk.memory().unwrap_or_default());
    pages(&desk);
    edits(&desk, "DESK_DEMO");
    new_values(&desk, "DESK_DEMO", 1);
    println!("  a tried reading of BD-808: {:.0} ms; {} MiB", trial(&desk), desk.memory().unwrap_or_default());
    println!("DESK_DEMO_FIRST_PAGE_MS {:.1}", ms(first));
}

fn large_site() {
    let (desk, opened) = Desk::open(many());
    let (first, answer) = desk.get("/");
    println!("{MANY} positions: open in {:.0} ms, first page {:.0} ms, {} KiB", ms(opened), ms(first), answer.len() >> 10);
    // While nearly nothing is worked out yet, a position that is asked for comes at once, and its edits too.
    let (asked, _) = desk.get("/at/SF-512-0991");
    println!("  at the start, others being worked out meanwhile: a position not yet worked out in {:.0} ms", ms(asked));
    edits(&desk, "DESK_STARTING");
    let began = Instant::now();
    desk.settle();
    println!("  all worked out {:.0} s later, {} MiB", began.elapsed().as_secs_f64(), desk.memory().unwrap_or_default());
    let asked: Vec<(&str, f64)> = [
        "/",
        "/?sort=margin",
        "/?q=mill&verdict=depends&sort=cost",
        "/?rows=all",
        "/stamp.json",
        "/at/ML-701-0500",
        "/at/ML-701-0500/findings",
    ]
    .map(|path| (path, page(&desk, path)))
    .to_vec();
    for (path, time) in &asked {
        println!("  {path}: {time:.0} ms");
    }
    edits(&desk, "DESK_MANY");
    new_values(&desk, "DESK_MANY", 2);
    println!("  {} MiB", desk.memory().unwrap_or_default());
    println!(
        "DESK_MANY_FIRST_PAGE_MS {:.1}\nDESK_MANY_SITE_MS {:.1}",
        ms(first),
        worst(&asked.iter().map(|(_, t)| *t).collect::<Vec<_>>())
    );
}

fn main() {
    // Cargo's own arguments of a benchmark mean nothing here; under `cargo test` there is nothing to do.
    if !std::env::args().any(|a| a == "--bench") {
        return;
    }
    demo_site();
    // The large site takes minutes to be worked out: left out on request.
    if !std::env::args().any(|a| a == "--demo") {
        large_site();
    }
}
