//! `cargo xtask deny`: holds all dependencies to `deny.toml`, with cargo-deny, which is built into the target folder
//! where it is not installed.

use std::path::PathBuf;

use crate::tree::{root, target};
use crate::{Done, Failure, no_arguments, process};

/// Later ones may judge differently; a new one is taken on purpose.
const VERSION: &str = "0.20.2";

/// Runs the command.
///
/// # Errors
/// When cargo-deny can't be built, or finds something.
pub(crate) fn run(arguments: &[String]) -> Done {
    no_arguments(arguments)?;
    let mut check = process::cargo(&root(), ["metadata"]);
    check = {
        let mut deny = std::process::Command::new(tool()?);
        deny.current_dir(root()).envs(check.get_envs().filter_map(|(k, v)| Some((k.to_owned(), v?.to_owned()))));
        deny
    };
    check.args(["--log-level", "warn", "check", "--hide-inclusion-graph", "licenses", "bans", "sources"]);
    process::run(&mut check)
}

/// cargo-deny, built first if it is not there.
fn tool() -> Result<PathBuf, Failure> {
    let folder = target().join("tools");
    let tool = folder.join("bin").join("cargo-deny");
    let is_it = process::answers(&tool, "--version") && process::output(std::process::Command::new(&tool).arg("--version"))?.contains(VERSION);
    if !is_it {
        println!("building cargo-deny {VERSION}, once: a minute or two");
        let mut install = process::cargo(&root(), ["install", "cargo-deny", "--locked", "--force", "--quiet", "--version", VERSION, "--root"]);
        process::run(install.arg(&folder))?;
    }
    Ok(tool)
}
