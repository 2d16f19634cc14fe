//! A second opinion on the checks themselves: NumPy works the same margins out from the findings' pages.
#![allow(clippy::disallowed_methods, reason = "a test asks the environment for its interpreter")]

mod common;

use std::process::Command;

#[test]
#[ignore = "needs the Python environment: cargo xtask test"]
fn numpy_agrees_on_every_margin() {
    let python = std::env::var("CHANGEOUT_PYTHON").expect("CHANGEOUT_PYTHON names an interpreter with NumPy; cargo xtask test sets it");
    common::sheet::write();
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/benches/sheet.py");
    let output = Command::new(python).arg(script).output().expect("python runs");
    let text = String::from_utf8_lossy(&output.stdout);
    println!("{text}");
    assert!(output.status.success(), "{text}\n{}", String::from_utf8_lossy(&output.stderr));
}
