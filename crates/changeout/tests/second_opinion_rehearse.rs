//! An outside master (pymodbus, `second_opinion/rehearse.py`) drives what `changeout rehearse` serves for the demo's screw feeder: the new
//! drives of two series and the old one, from power-up to running, through refusals and broken frames, to the loss of the master.
#![allow(clippy::disallowed_methods, reason = "a test asks the environment for its interpreter")]
#![allow(clippy::expect_used, clippy::unwrap_used, clippy::panic, reason = "a test stops at the first broken expectation")]

use std::io::{BufRead, BufReader};
use std::path::Path;
use std::process::{Child, Command, Stdio};

/// Ends the server also when the test fails.
struct Server(Child);

impl Drop for Server {
    fn drop(&mut self) {
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

/// A copy of the demo with this action on loss of the network, after 1 s.
fn site(action: &str) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    // Its exit code tells how the assessment came out.
    let made = Command::new(assert_cmd::cargo::cargo_bin("changeout")).arg("demo").arg(folder.path().join("site")).output().unwrap();
    assert!(made.status.code().is_some_and(|code| code < 2), "{made:?}");
    let file = folder.path().join("site/positions/SF-512.toml");
    let text = std::fs::read_to_string(&file).unwrap();
    let changed = text
        .replace("loss_action = \"ramp-stop\"", &format!("loss_action = \"{action}\""))
        .replace("timeout = \"5 s\"", "timeout = \"1 s\"");
    assert!(changed.contains("timeout = \"1 s\"") && changed.contains(action));
    std::fs::write(file, changed).unwrap();
    folder
}

fn driven(drive: &str, arguments: &[&str], action: &str) {
    let python = std::env::var("CHANGEOUT_PYTHON").expect("CHANGEOUT_PYTHON names an interpreter with pymodbus; cargo xtask test sets it");
    let folder = site(action);
    let server = Command::new(assert_cmd::cargo::cargo_bin("changeout"))
        .arg("rehearse")
        .arg(folder.path().join("site"))
        .args(["SF-512", "--json"])
        .args(arguments)
        .stdout(Stdio::piped())
        .spawn()
        .expect("the server starts");
    let mut server = Server(server);
    let mut line = String::new();
    BufReader::new(server.0.stdout.take().expect("piped")).read_line(&mut line).expect("the server says where it is");
    let said: serde_json::Value = serde_json::from_str(&line).expect("JSON");
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/second_opinion/rehearse.py");
    let answer =
        Command::new(python).arg("-B").arg(script).args([&said["port"].to_string(), drive, action, "1"]).output().expect("python starts");
    let told = String::from_utf8_lossy(&answer.stdout);
    assert!(answer.status.success(), "{told}{}", String::from_utf8_lossy(&answer.stderr));
    let interrupted = Command::new("kill").args(["-INT", &server.0.id().to_string()]).status().expect("kill starts");
    assert!(interrupted.success() && server.0.wait().expect("the server ends").success(), "Ctrl-C ends it well");
    print!("{told}");
}

#[test]
#[ignore = "needs the Python environment: cargo xtask test"]
fn an_outside_master_drives_the_new_drive() {
    driven("new", &["--candidate", "lathmere"], "ramp-stop");
    driven("new", &["--candidate", "lathmere"], "trip");
}

#[test]
#[ignore = "needs the Python environment: cargo xtask test"]
fn an_outside_master_leads_another_one_through_its_states() {
    driven("states", &["--candidate", "wendle"], "trip");
}

#[test]
#[ignore = "needs the Python environment: cargo xtask test"]
fn an_outside_master_drives_the_old_drive() {
    driven("old", &["--old"], "coast");
}
