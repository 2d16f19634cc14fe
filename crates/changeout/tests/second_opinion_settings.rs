//! The configuration file of `changeout settings`, and the pack that begins with a data sheet, against the Python library `canopen`: it reads
//! what the program writes, and writes what the program reads (`second_opinion/object_dictionary.py`).
#![allow(clippy::disallowed_methods, reason = "a test asks the environment for its interpreter")]
#![allow(clippy::expect_used, clippy::unwrap_used, clippy::panic, reason = "a test stops at the first broken expectation")]

use std::io::Write as _;
use std::path::Path;
use std::process::{Command, Output, Stdio};

use serde_json::{Value, json};

fn program(arguments: &[&str]) -> Output {
    Command::new(assert_cmd::cargo::cargo_bin("changeout")).args(arguments).output().unwrap()
}

fn ask(question: &Value) -> Value {
    let python = std::env::var("CHANGEOUT_PYTHON").expect("CHANGEOUT_PYTHON names an interpreter with canopen; cargo xtask test sets it");
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/second_opinion/object_dictionary.py");
    let mut child = Command::new(python).arg("-B").arg(script).stdin(Stdio::piped()).stdout(Stdio::piped()).spawn().expect("python starts");
    child.stdin.take().expect("piped").write_all(question.to_string().as_bytes()).expect("written");
    let answer = child.wait_with_output().expect("python ends");
    assert!(answer.status.success(), "the script failed");
    serde_json::from_slice(&answer.stdout).expect("JSON")
}

#[test]
#[ignore = "needs the Python environment: cargo xtask test"]
fn canopen_reads_the_configuration_file() {
    let folder = tempfile::tempdir().unwrap();
    let site = folder.path().join("site");
    let site = site.to_str().unwrap();
    program(&["demo", site]);
    for tag in ["AF-204", "BE-101", "ML-701", "MX-603"] {
        let out = folder.path().join(tag);
        let run =
            program(&["settings", site, tag, "--candidate", "wendle", "--json", "--out", out.to_str().unwrap(), "--date", "2026-03-10"]);
        let said: Value = serde_json::from_slice(&run.stdout).expect("JSON");
        let file = out.join("settings.dcf");
        let read = ask(&json!({ "read": file }));
        let objects = read["objects"].as_object().expect("objects");
        let mut written = 0;
        for step in said["load_sequence"].as_array().expect("a list").iter().filter(|s| !s["count"].is_null() && !s["index"].is_null()) {
            let key = format!("{:04X}:{:02X}", step["index"].as_u64().unwrap(), step["subindex"].as_u64().unwrap());
            let object = objects.get(&key).unwrap_or_else(|| panic!("{tag}: {key} is not read"));
            assert_eq!(object["value"], step["count"], "{tag}: {key} {step}");
            assert_eq!(object["type"], step["data_type"], "{tag}: {key} {step}");
            written += 1;
        }
        assert!(written >= 10, "{tag}: only {written} entries");
        assert_eq!(objects.len(), written, "{tag}: the file holds more than is to be entered");
    }
}

#[test]
#[ignore = "needs the Python environment: cargo xtask test"]
fn a_data_sheet_that_canopen_writes_begins_a_pack() {
    let folder = tempfile::tempdir().unwrap();
    let site = folder.path().join("site");
    let site_text = site.to_str().unwrap();
    program(&["demo", site_text]);
    let file = folder.path().join("written.eds");
    let wrote = ask(&json!({ "write": file, "objects": 60 }));
    let run = program(&["new", "pack", "begun", "--from", file.to_str().unwrap(), "--site", site_text]);
    assert!(run.status.success(), "{}", String::from_utf8_lossy(&run.stderr));
    let table = std::fs::read_to_string(site.join("packs/begun/settings.csv")).unwrap();
    let objects = wrote["objects"].as_object().expect("objects");
    let rows: Vec<&str> = table.lines().filter(|l| !l.starts_with('#')).skip(1).collect();
    assert_eq!(rows.len(), objects.len());
    for (key, object) in objects {
        let row = rows.iter().find(|r| r.starts_with(&format!("{key},"))).unwrap_or_else(|| panic!("{key} has no row"));
        let cells: Vec<&str> = row.split(',').collect();
        let expected = ["name", "low", "high", "default"].map(|k| object[k].as_str().unwrap_or_default());
        assert_eq!([cells[1], cells[8], cells[9], cells[10]], expected, "{key}");
        assert_eq!(cells[11], if object["access"] == "ro" { "read-only" } else { "stopped" }, "{key}");
    }
}
