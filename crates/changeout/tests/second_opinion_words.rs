//! A second opinion on the files that `changeout words` writes for the demo's screw feeder, for every series with a layout and for two rule
//! sets of names: the reader and runner written in Python (crates/output/tests/second_opinion/program.py) runs the printed text's own test,
//! whose expected words came from the interpreter in Rust; the XML is held to PLCopen's schema and has to say the same as the text.
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
