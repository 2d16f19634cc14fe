//! A second opinion on the drawings of boxes: ezdxf opens every DXF that `box` writes for the demo, audits it, and finds each
//! hole where the report says it is (`second_opinion/box.py`).
#![allow(clippy::disallowed_methods, reason = "a test asks the environment for its interpreter")]
#![allow(clippy::expect_used, reason = "a test stops at the first broken expectation")]

use std::path::Path;
use std::process::Command;

use serde_json::Value;

#[test]
#[ignore = "needs Python with ezdxf: cargo xtask test runs it"]
fn every_box_of_the_demo_opens_clean_and_its_holes_are_where_the_report_says() {
    let python = std::env::var("CHANGEOUT_PYTHON").expect("CHANGEOUT_PYTHON names an interpreter with ezdxf; cargo xtask test sets it");
    let folder = tempfile::tempdir().expect("a folder");
    let (site, drawings) = (folder.path().join("site"), folder.path().join("drawings"));
    let changeout = |arguments: &[&std::ffi::OsStr]| Command::new(env!("CARGO_BIN_EXE_changeout")).args(arguments).output().expect("runs");
    changeout(&["demo".as_ref(), site.as_ref()]);
    let told = changeout(&[
        "box".as_ref(),
        site.as_ref(),
        "--out".as_ref(),
        drawings.as_ref(),
        "--json".as_ref(),
        "--date".as_ref(),
        "2026-03-31".as_ref(),
    ]);
    let report = folder.path().join("report.json");
    std::fs::write(&report, &told.stdout).expect("written");
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/second_opinion/box.py");
    let answer = Command::new(python).arg(script).arg(&drawings).arg(&report).output().expect("python starts");
    assert!(answer.status.success(), "{}", String::from_utf8_lossy(&answer.stderr));
    let answer: Value = serde_json::from_slice(&answer.stdout).expect("JSON");
    assert_eq!(answer["wrong"], Value::Array(Vec::new()));
    let count = |key: &str| answer[key].as_u64().unwrap_or(0);
    assert!(count("files") >= 5 && count("holes") >= 20 && count("measured") >= 20, "{answer}");
}
