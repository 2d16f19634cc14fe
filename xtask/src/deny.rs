//! `cargo xtask deny`: holds all dependencies to `deny.toml`, with cargo-deny, which is built into the target folder once.

use std::path::PathBuf;
use std::process::Command;

use crate::tree::{root, target};
use crate::{Done, Failure, no_arguments, process};

/// Another version may judge differently, so a new one is taken on purpose.
const VERSION: &str = "0.20.2";

/// Runs the command.
///
/// # Errors
/// When cargo-deny can't be built, or finds something.
pub(crate) fn run(arguments: &[String]) -> Done {
    no_arguments(arguments)?;
    let tool = tool()?;
    process::run(Command::new(tool).current_dir(root()).args(["check", "--hide-inclusion-graph", "licenses", "bans", "sources"]))
}

/// cargo-deny, built first if it is not there in that version.
fn tool() -> Result<PathBuf, Failure> {
    let folder = target().join("tools");
    let tool = folder.join("bin").join("cargo-deny");
    if !process::output(Command::new(&tool).arg("--version")).is_ok_and(|said| said.contains(VERSION)) {
        println!("building cargo-deny {VERSION}, once; it takes a minute or two");
        // Unoptimised it is built in less than half the time, and judges our few hundred packages in a second all the same.
        let install = ["install", "cargo-deny", "--locked", "--force", "--quiet", "--debug", "--version", VERSION, "--root"];
        process::run(process::cargo(&root(), install).arg(&folder).env("CARGO_PROFILE_DEV_DEBUG", "0"))?;
    }
    Ok(tool)
}
