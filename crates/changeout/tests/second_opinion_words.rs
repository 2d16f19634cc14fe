//! A second opinion on the files that `changeout words` writes for the demo's screw feeder, for every series with a layout and for two rule
//! sets of names: the reader and runner written in Python (crates/output/tests/second_opinion/program.py) runs the printed text's own test,
//! whose expected words came from the interpreter in Rust; the XML is held to PLCopen's schema and has to say the same as the text. A second
//! script (`second_opinion/replay.py`) runs the printed block through every scan of its test vectors, also with bytes and words in all four
//! orders.
#![allow(clippy::disallowed_methods, reason = "a test asks the environment for its interpreter")]
#![allow(clippy::expect_used, clippy::unwrap_used, clippy::panic, reason = "a test stops at the first broken expectation")]

use std::io::Write;
use std::path::Path;
use std::process::{Command, Stdio};

use serde_json::{Value, json};

/// Scans for which the test program is run: more than any record is long.
const SCANS: usize = 200;

fn program() -> Command {
    Command::new(assert_cmd::cargo::cargo_bin("changeout"))
}

fn ask(question: &Value) -> Vec<Value> {
    let python = std::env::var("CHANGEOUT_PYTHON").expect("CHANGEOUT_PYTHON names the interpreter; cargo xtask test sets it");
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("../output/tests/second_opinion/program.py");
    let mut child = Command::new(python).arg("-B").arg(script).stdin(Stdio::piped()).stdout(Stdio::piped()).spawn().expect("python starts");
    child.stdin.take().expect("piped").write_all(question.to_string().as_bytes()).expect("written");
    let answer = child.wait_with_output().expect("python ends");
    assert!(answer.status.success(), "the script failed");
    let answer: Value = serde_json::from_slice(&answer.stdout).expect("JSON");
    answer["results"].as_array().expect("results").clone()
}

/// The name that a variable or program has after the controller's rules.
fn name<'a>(said: &'a Value, unit: &str, old: &'a str) -> &'a str {
    let renamed = said["renamed"].as_array().expect("a list").iter();
    renamed.filter(|r| r["unit"] == unit && r["old"] == old).find_map(|r| r["new"].as_str()).unwrap_or(old)
}

fn case(said: &Value, text: &str, xml: &str, syntax: bool) -> Value {
    let unit = name(said, "", "TEST_OLD_TO_NEW");
    let outputs = [("FAILS", "DINT"), ("SCAN", "DINT"), ("DONE", "BOOL")].map(|(n, kind)| json!([name(said, "TEST_OLD_TO_NEW", n), kind]));
    let cycles: Vec<Value> = (0..SCANS).map(|_| json!([100, []])).collect();
    json!({ "text": text, "xml": xml, "unit": unit, "inputs": [], "outputs": outputs, "cycles": cycles, "syntax": syntax })
}

#[test]
#[ignore = "needs the Python environment: cargo xtask test"]
fn the_printed_block_passes_its_own_test_there() {
    let folder = tempfile::tempdir().unwrap();
    let site = folder.path().join("site");
    assert!(program().arg("demo").arg(&site).output().unwrap().status.code().is_some_and(|code| code < 2));
    let (mut cases, mut about) = (Vec::new(), Vec::new());
    for series in ["lathmere", "wendle", "grindlow"] {
        for rules in ["plain", "shortest"] {
            let out = folder.path().join(format!("{series}-{rules}"));
            let run = program()
                .args(["words".as_ref(), site.as_os_str(), "SF-512".as_ref(), "--json".as_ref(), "--candidate".as_ref(), series.as_ref()])
                .args(["--names", rules, "--out"])
                .arg(&out)
                .output()
                .unwrap();
            assert!(run.status.success(), "{series}: {run:?}");
            let said: Value = serde_json::from_slice(&run.stdout).unwrap();
            let read = |file: &str| std::fs::read_to_string(out.join(file)).unwrap();
            let (text, xml) = (read("old-to-new.st"), read("old-to-new.xml"));
            // A block that shows another word has to be noticed: one mask of the status is another.
            let status = name(&said, "OLD_TO_NEW", "OLD_STATUS");
            let wrong = text.replacen(&format!("{status} := {status} OR 16#0004;"), &format!("{status} := {status} OR 16#0008;"), 1);
            assert_ne!(text, wrong, "{series} {rules}");
            about.push((format!("{series} {rules}"), true));
            cases.push(case(&said, &text, &xml, rules == "plain"));
            about.push((format!("{series} {rules}, spoiled"), false));
            cases.push(case(&said, &wrong, &xml, false));
        }
    }
    for ((about, good), answer) in about.iter().zip(ask(&json!({ "cases": cases }))) {
        let last = answer["run"]["seen"].as_array().and_then(|s| s.last()).unwrap_or_else(|| panic!("{about}: {answer}"));
        assert!(answer["run"]["fault"].is_null() && last[2] == 1, "{about}: {answer}");
        assert_eq!(last[0] == 0, *good, "{about}: {last}");
        assert_eq!(answer["schema"], json!([]), "{about}");
        assert_eq!(answer["same"], *good, "{about}: the XML against the text");
        assert!(answer["syntax"].is_null(), "{about}: {}", answer["syntax"]);
        println!("{about}: {} scans that came out otherwise, of {}", last[0], last[1]);
    }
}

/// Writes the files of a series with its layouts in these orders; the folder.
fn written(site: &Path, out: &Path, series: &str, rules: &str) -> Value {
    let run = program()
        .args(["words".as_ref(), site.as_os_str(), "SF-512".as_ref(), "--json".as_ref(), "--candidate".as_ref(), series.as_ref()])
        .args(["--names", rules, "--out"])
        .arg(out)
        .output()
        .unwrap();
    // 1 where a bit has no counterpart; the block is written and proved all the same.
    assert!(run.status.code().is_some_and(|code| code < 2), "{series}: {run:?}");
    serde_json::from_slice(&run.stdout).unwrap()
}

/// Gives all layouts of a pack of the demo another order of words and bytes.
fn reorder(site: &Path, series: &str, words: &str, bytes: &str) {
    let file = site.join(format!("packs/{series}/layouts.csv"));
    let text = std::fs::read_to_string(&file).unwrap();
    let mut lines = text.lines();
    let head: Vec<&str> = lines.next().unwrap().split(',').collect();
    let column = |name: &str| head.iter().position(|h| *h == name).unwrap();
    let (word_column, byte_column) = (column("word_order"), column("byte_order"));
    let rows = lines.map(|line| {
        let cells = line.split(',').enumerate();
        let cells = cells.map(|(i, cell)| {
            if i == word_column {
                words
            } else if i == byte_column {
                bytes
            } else {
                cell
            }
        });
        cells.collect::<Vec<_>>().join(",")
    });
    let text: Vec<String> = std::iter::once(head.join(",")).chain(rows).collect();
    std::fs::write(file, text.join("\n") + "\n").unwrap();
}

#[test]
#[ignore = "needs the Python environment: cargo xtask test"]
fn the_printed_block_comes_through_every_scan_of_its_vectors_there() {
    let python = std::env::var("CHANGEOUT_PYTHON").expect("CHANGEOUT_PYTHON names the interpreter; cargo xtask test sets it");
    let folder = tempfile::tempdir().unwrap();
    let site = folder.path().join("site");
    assert!(program().arg("demo").arg(&site).output().unwrap().status.code().is_some_and(|code| code < 2));
    let mut arguments: Vec<std::ffi::OsString> = Vec::new();
    let mut about: Vec<(String, bool)> = Vec::new();
    let (high, low) = ("high-first", "low-first");
    for (series, rules, old_bytes, words, bytes) in [
        ("wendle", "plain", high, high, high),
        ("wendle", "shortest", low, high, high),
        ("grindlow", "plain", high, high, high),
        ("lathmere", "plain", high, low, high),
        ("lathmere", "plain", high, high, high),
        ("lathmere", "plain", low, high, low),
        ("lathmere", "plain", low, low, low),
        // At last an old drive that is led through its states, so that each of its transitions is gone through.
        ("lathmere", "states", low, low, low),
    ] {
        let rules = if rules == "states" {
            let file = site.join("positions/SF-512.toml");
            let text = std::fs::read_to_string(&file).unwrap();
            let states = [("grindlow", "wendle"), ("GL-008H-1NM", "WN-F01-OB3"), ("four words", "serial words")];
            std::fs::write(file, states.iter().fold(text, |t, (was, is)| t.replace(was, is))).unwrap();
            reorder(&site, "wendle", high, low);
            "plain"
        } else {
            rules
        };
        if series != "grindlow" {
            reorder(&site, "grindlow", high, old_bytes);
        }
        reorder(&site, series, words, bytes);
        let name = format!("{series} {} {rules}, old bytes {old_bytes}, new words {words}, bytes {bytes}", about.len() / 2);
        let out = folder.path().join(&name);
        let said = written(&site, &out, series, rules);
        assert_eq!(said["proof"]["mismatches"], 0, "{name}");
        let text = std::fs::read_to_string(out.join("old-to-new.st")).unwrap();
        assert_eq!(text.contains("SHL(OLD_COMMAND, 8)"), old_bytes == low && rules == "plain", "{name}");
        // One mask of the status is another: it has to be noticed.
        let status = self::name(&said, "OLD_TO_NEW", "OLD_STATUS");
        let wrong = text.replacen(&format!("{status} := {status} OR 16#0004;"), &format!("{status} := {status} OR 16#0008;"), 1);
        assert_ne!(text, wrong, "{name}");
        std::fs::write(out.join("spoiled.st"), wrong).unwrap();
        for (file, good) in [("old-to-new.st", true), ("spoiled.st", false)] {
            arguments.push(self::name(&said, "", "OLD_TO_NEW").into());
            arguments.extend([file, "test-scans.csv", "test-vectors.csv"].map(|f| out.join(f).into_os_string()));
            about.push((format!("{name}, {file}"), good));
        }
    }
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/second_opinion/replay.py");
    let answer = Command::new(python).arg("-B").arg(script).args(arguments).output().expect("python starts");
    assert!(answer.status.success(), "{}", String::from_utf8_lossy(&answer.stderr));
    let told = String::from_utf8_lossy(&answer.stdout);
    assert_eq!(told.lines().count(), about.len());
    for ((about, good), line) in about.iter().zip(told.lines()) {
        let answer: Value = serde_json::from_str(line).unwrap();
        let count = |key: &str| answer[key].as_u64().unwrap();
        assert_eq!(count("differ") == 0, *good, "{about}: {answer}");
        assert!(count("wraps") == 0 && count("vectors") >= 20 && count("compared") > 1000, "{about}: {answer}");
        println!("{about}: {line}");
    }
}
