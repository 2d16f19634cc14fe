//! The Python environment of the second opinions: NumPy and SciPy, pinned, in the target folder. It is made once and
//! again whenever the pins change.

use std::path::PathBuf;
use std::process::Command;

use crate::tree::{root, target};
use crate::{Failure, process};

const PINS: &str = "tests-python/requirements.txt";
/// Source archives that are laid beside it.
const SOURCES: &str = "tests-python/sources.txt";

/// The interpreter of the environment, which is made first if it is missing or its pins changed.
///
/// # Errors
/// When there is no Python 3, no `venv`, or the pinned packages can't be installed.
pub(crate) fn environment() -> Result<PathBuf, Failure> {
    let folder = target().join("python");
    let interpreter = folder.join("bin").join("python");
    let pins = std::fs::read_to_string(root().join(PINS))? + &std::fs::read_to_string(root().join(SOURCES))?;
    // Written last, so that an environment that was not finished is made anew.
    let made_with = folder.join("made-with.txt");
    if std::fs::read_to_string(&made_with).is_ok_and(|made| made == pins) && process::answers(&interpreter, "--version") {
        println!("{} is up to date", folder.display());
        return Ok(interpreter);
    }
    if folder.exists() {
        std::fs::remove_dir_all(&folder)?;
    }
    if !process::answers("python3", "--version") && !process::apt_install("python3") {
        return Err(Failure::Work("python3 is not there; Debian's package python3 brings it. Then again:".into()));
    }
    println!("making {} from {PINS}", folder.display());
    let venv = || process::output(Command::new("python3").args(["-m", "venv"]).arg(&folder));
    // A venv without pip is left behind where Debian's own package is missing.
    if venv().is_err() && !(process::apt_install("python3-venv") && venv().is_ok()) {
        let _ = std::fs::remove_dir_all(&folder);
        return Err(Failure::Work("python3 -m venv does not work; Debian's package python3-venv brings it. Then again:".into()));
    }
    let mut pip = Command::new(&interpreter);
    pip.args(["-m", "pip", "install", "--quiet", "--disable-pip-version-check", "--only-binary", ":all:", "-r"]).arg(root().join(PINS));
    process::run(&mut pip)?;
    let mut pip = Command::new(&interpreter);
    pip.args(["-m", "pip", "download", "--quiet", "--disable-pip-version-check", "--no-deps"]);
    pip.arg("--dest").arg(folder.join("sources")).arg("-r").arg(root().join(SOURCES));
    process::run(&mut pip)?;
    std::fs::write(made_with, pins)?;
    Ok(interpreter)
}
