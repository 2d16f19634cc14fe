//! A real browser, driven by the W3C WebDriver protocol: a driver program that answers JSON over HTTP on this machine.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::PathBuf;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use serde_json::{Value, json};

/// Key that stands for an element in answers (WebDriver, W3C, section "Elements").
const ELEMENT: &str = "element-6066-11e4-a52e-4f735466cecf";
/// Keys of the keyboard as WebDriver names them.
pub(crate) const TAB: &str = "\u{e004}";
pub(crate) const ENTER: &str = "\u{e007}";
/// How long something may take to come about on a busy machine.
const LONGEST: Duration = Duration::from_secs(30);

/// A window of a browser; shut at the end.
pub(crate) struct Browser {
    driver: Child,
    host: String,
    session: String,
    profile: tempfile::TempDir,
}

impl Browser {
    /// Starts the driver that `CHANGEOUT_CHROMEDRIVER` names, and a browser without a window.
    pub(crate) fn start() -> Self {
        let program = std::env::var_os("CHANGEOUT_CHROMEDRIVER").expect("CHANGEOUT_CHROMEDRIVER names the driver of the browser");
        let mut driver = Command::new(program).arg("--port=0").stdout(Stdio::piped()).stderr(Stdio::null()).spawn().unwrap();
        let mut lines = BufReader::new(driver.stdout.take().unwrap()).lines();
        let port = loop {
            let line = lines.next().expect("the driver tells its port").unwrap();
            // It names the port that was asked for first, which is 0.
            let named = line.split_once("on port ").and_then(|(_, rest)| rest.trim_end_matches('.').parse::<u16>().ok());
            if let Some(port) = named.filter(|port| *port > 0) {
                break port;
            }
        };
        // The rest of what it says must not fill the pipe.
        std::thread::spawn(move || lines.for_each(drop));
        let profile = tempfile::TempDir::new().unwrap();
        let data = format!("--user-data-dir={}", profile.path().display());
        let arguments = [
            "--headless",
            "--no-sandbox",
            "--disable-gpu",
            "--disable-quic",
            "--no-first-run",
            "--disable-background-networking",
            "--disable-component-update",
            "--disable-sync",
            "--disable-dev-shm-usage",
            "--force-prefers-reduced-motion",
            &data,
        ];
        let mut browser = Self { driver, host: format!("127.0.0.1:{port}"), session: String::new(), profile };
        let wanted = json!({ "capabilities": { "alwaysMatch": {
            "goog:chromeOptions": { "args": arguments }, "goog:loggingPrefs": { "browser": "ALL" }, "unhandledPromptBehavior": "accept",
            // axe-core looks at every element of a long page.
            "timeouts": { "script": 120_000 },
        } } });
        let made = browser.ask("POST", "/session", &wanted);
        browser.session = made["sessionId"].as_str().unwrap_or_else(|| panic!("no session: {made}")).to_owned();
        browser
    }

    /// One command of the protocol.
    fn ask(&self, method: &str, path: &str, body: &Value) -> Value {
        let body = if method == "POST" { body.to_string() } else { String::new() };
        let mut stream = TcpStream::connect(&self.host).unwrap();
        stream.set_read_timeout(Some(LONGEST * 4)).unwrap();
        write!(
            stream,
            "{method} {path} HTTP/1.1\r\nHost: {}\r\nConnection: close\r\nContent-Type: application/json\r\nContent-Length: {}\r\n\r\n{body}",
            self.host,
            body.len()
        )
        .unwrap();
        // The driver keeps the line open: its answer is as long as it says.
        let mut answer = BufReader::new(stream);
        let mut length = 0;
        loop {
            let mut line = String::new();
            answer.read_line(&mut line).unwrap();
            if line.trim().is_empty() {
                break;
            }
            if let Some((_, bytes)) = line.split_once(':').filter(|(name, _)| name.eq_ignore_ascii_case("content-length")) {
                length = bytes.trim().parse().unwrap();
            }
        }
        let mut body = vec![0; length];
        answer.read_exact(&mut body).unwrap();
        serde_json::from_slice::<Value>(&body).unwrap_or_else(|e| panic!("{e}: {}", String::from_utf8_lossy(&body)))["value"].clone()
    }

    fn command(&self, method: &str, path: &str, body: &Value) -> Value {
        let value = self.ask(method, &format!("/session/{}{path}", self.session), body);
        assert!(value.get("error").is_none(), "{path}: {value:#}");
        value
    }

    pub(crate) fn go(&self, url: &str) {
        self.command("POST", "/url", &json!({ "url": url }));
    }

    pub(crate) fn reload(&self) {
        self.command("POST", "/refresh", &json!({}));
    }

    pub(crate) fn back(&self) {
        self.command("POST", "/back", &json!({}));
    }

    /// Clicks on a link to a file and waits until the file of that name is there whole: its bytes.
    pub(crate) fn taken_along(&self, selector: &str, name: &str) -> Vec<u8> {
        let folder = self.profile.path().join("taken-along");
        std::fs::create_dir_all(&folder).unwrap();
        let set = json!({ "cmd": "Browser.setDownloadBehavior", "params": { "behavior": "allow", "downloadPath": folder } });
        self.command("POST", "/goog/cdp/execute", &set);
        self.click(selector);
        // The browser writes under another name until all of it has come.
        let start = Instant::now();
        loop {
            match std::fs::read(folder.join(name)) {
                Ok(bytes) if !bytes.is_empty() => return bytes,
                _ => assert!(start.elapsed() < LONGEST * 4, "{name} did not come; at {}", self.url()),
            }
            std::thread::sleep(Duration::from_millis(50));
        }
    }

    pub(crate) fn url(&self) -> String {
        self.command("GET", "/url", &Value::Null).as_str().unwrap_or_default().to_owned()
    }

    /// Sets the size of what pages are shown in.
    pub(crate) fn size(&self, width: u32, height: u32) {
        let set = json!({ "cmd": "Emulation.setDeviceMetricsOverride", "params": { "width": width, "height": height, "deviceScaleFactor": 1, "mobile": false } });
        self.command("POST", "/goog/cdp/execute", &set);
    }

    /// Shows pages by the rules for paper, or by those for screens again.
    pub(crate) fn on_paper(&self, is: bool) {
        let set = json!({ "cmd": "Emulation.setEmulatedMedia", "params": { "media": if is { "print" } else { "" } } });
        self.command("POST", "/goog/cdp/execute", &set);
    }

    /// Runs the body of a function in the page.
    pub(crate) fn run(&self, script: &str) -> Value {
        self.command("POST", "/execute/sync", &json!({ "script": script, "args": [] }))
    }

    /// Runs a function body that hands its result to the last of its arguments.
    pub(crate) fn run_later(&self, script: &str) -> Value {
        self.command("POST", "/execute/async", &json!({ "script": script, "args": [] }))
    }

    /// Waits until an expression of the page is true.
    #[track_caller]
    pub(crate) fn until(&self, expression: &str) {
        self.until_with(expression, || ());
    }

    /// Presses the keys, again and again, until the expression holds.
    #[track_caller]
    pub(crate) fn keys_until(&self, keys: &str, expression: &str) {
        self.until_with(expression, || self.keys(keys));
    }

    #[track_caller]
    fn until_with(&self, expression: &str, each_time: impl Fn()) {
        let start = Instant::now();
        while self.run(&format!("return Boolean({expression})")) != true {
            each_time();
            assert!(start.elapsed() < LONGEST, "it did not come about: {expression}\nat {}\n{}", self.url(), self.text());
            std::thread::sleep(Duration::from_millis(50));
        }
    }

    pub(crate) fn text(&self) -> String {
        self.run("return document.body.innerText").as_str().unwrap_or_default().to_owned()
    }

    fn element(&self, selector: &str) -> String {
        let found = self.command("POST", "/element", &json!({ "using": "css selector", "value": selector }));
        found[ELEMENT].as_str().unwrap_or_else(|| panic!("{selector}: {found}")).to_owned()
    }

    pub(crate) fn click(&self, selector: &str) {
        self.command("POST", &format!("/element/{}/click", self.element(selector)), &json!({}));
    }

    /// Empties a field and types into it.
    pub(crate) fn fill(&self, selector: &str, text: &str) {
        let element = self.element(selector);
        self.command("POST", &format!("/element/{element}/clear"), &json!({}));
        self.command("POST", &format!("/element/{element}/value"), &json!({ "text": text }));
    }

    /// Presses keys, wherever the focus is.
    pub(crate) fn keys(&self, text: &str) {
        let actions: Vec<Value> =
            text.chars().flat_map(|c| ["keyDown", "keyUp"].map(|kind| json!({ "type": kind, "value": c.to_string() }))).collect();
        self.command("POST", "/actions", &json!({ "actions": [{ "type": "key", "id": "keyboard", "actions": actions }] }));
    }

    /// Opens a further window and goes to it; returns the one before and the new one.
    pub(crate) fn further_window(&self) -> (String, String) {
        let before = self.command("GET", "/window", &Value::Null).as_str().unwrap_or_default().to_owned();
        let new = self.command("POST", "/window/new", &json!({ "type": "tab" }))["handle"].as_str().unwrap_or_default().to_owned();
        self.window(&new);
        (before, new)
    }

    pub(crate) fn window(&self, handle: &str) {
        self.command("POST", "/window", &json!({ "handle": handle }));
    }

    /// The page as a picture (PNG), below the folder that `CHANGEOUT_PICTURES` names, where one is named.
    pub(crate) fn picture(&self, name: &str) {
        let size = self.run("return [innerWidth, document.documentElement.scrollHeight]");
        // No page needs more than that to be looked at.
        self.cut_out(name, [0.0, 0.0, size[0].as_f64().unwrap_or(1280.0), size[1].as_f64().unwrap_or(900.0).min(12_000.0)]);
    }

    /// A part of the page as a picture: left, top, width and height.
    pub(crate) fn cut_out(&self, name: &str, [x, y, width, height]: [f64; 4]) {
        let Some(folder) = std::env::var_os("CHANGEOUT_PICTURES").map(PathBuf::from) else { return };
        let clip = json!({ "x": x, "y": y, "width": width, "height": height, "scale": 1 });
        let whole = json!({ "cmd": "Page.captureScreenshot", "params": { "captureBeyondViewport": true, "clip": clip } });
        let taken = self.command("POST", "/goog/cdp/execute", &whole);
        std::fs::create_dir_all(&folder).unwrap();
        std::fs::write(folder.join(format!("{name}.png")), base64(taken["data"].as_str().unwrap_or_default())).unwrap();
    }

    /// The page as it is printed (PDF).
    pub(crate) fn printed(&self) -> Vec<u8> {
        base64(self.command("POST", "/print", &json!({ "background": false })).as_str().unwrap_or_default())
    }

    /// What the browser's console holds since the last look: errors and warnings.
    pub(crate) fn complaints(&self) -> Vec<String> {
        let log = self.command("POST", "/se/log", &json!({ "type": "browser" }));
        let line = |entry: &Value| format!("{}: {}", entry["level"], entry["message"]);
        log.as_array().map(|all| all.iter().map(line).collect()).unwrap_or_default()
    }
}

impl Drop for Browser {
    fn drop(&mut self) {
        // A browser whose driver is only killed goes on without it.
        let _ = std::panic::catch_unwind(std::panic::AssertUnwindSafe(|| {
            self.ask("DELETE", &format!("/session/{}", self.session), &Value::Null)
        }));
        let _ = self.driver.kill();
        let _ = self.driver.wait();
        let _ = self.profile.path();
    }
}

/// Bytes of a base64 text (RFC 4648, section 4).
fn base64(text: &str) -> Vec<u8> {
    let digit = |c: u8| match c {
        b'A'..=b'Z' => Some(c - b'A'),
        b'a'..=b'z' => Some(c - b'a' + 26),
        b'0'..=b'9' => Some(c - b'0' + 52),
        b'+' => Some(62),
        b'/' => Some(63),
        _ => None,
    };
    let digits: Vec<u32> = text.bytes().filter_map(digit).map(u32::from).collect();
    digits
        .chunks(4)
        .flat_map(|four| {
            let bits = four.iter().enumerate().fold(0_u32, |bits, (i, d)| bits | d << (18 - 6 * i));
            bits.to_be_bytes()[1..four.len()].to_vec()
        })
        .collect()
}

#[test]
fn base64_is_read_as_its_standard_says() {
    // RFC 4648, section 10.
    for (bytes, text) in [("f", "Zg=="), ("fo", "Zm8="), ("foo", "Zm9v"), ("foobar", "Zm9vYmFy")] {
        assert_eq!(base64(text), bytes.as_bytes());
    }
}
