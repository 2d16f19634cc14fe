//! The browser of the desk's tests with its driver (Debian's packages, not pinned: any present browser must do), and axe-core from
//! npm, pinned, which looks for what people who see, hear or move otherwise cannot use. For tests only; the program needs neither.

use std::ffi::OsString;
use std::path::PathBuf;
use std::process::Command;

use crate::tree::target;
use crate::{Failure, process};

/// The driver's name, which is the same as its program.
const DRIVER: &str = "chromedriver";
/// Debian's package of the driver; it brings the browser.
const PACKAGE: &str = "chromium-driver";
/// axe-core as it was when the tests were last looked at.
const AXE: &str = "axe-core@4.11.4";

/// What the tests are told.
pub(crate) struct Tools {
    /// The driver's program.
    pub(crate) driver: OsString,
    /// axe-core's script.
    pub(crate) axe: PathBuf,
    /// Where pictures of the pages go.
    pub(crate) pictures: PathBuf,
}

/// Driver and script, installed first if they can be; `None` where one is missing and can't be installed.
pub(crate) fn tools() -> Option<Tools> {
    let named = std::env::var_os("CHANGEOUT_CHROMEDRIVER");
    let driver = named.or_else(|| {
        let there = || process::answers(DRIVER, "--version") && process::answers("chromium", "--version");
        (there() || (process::apt_install(PACKAGE) && there())).then(|| DRIVER.into())
    });
    let Some(driver) = driver else {
        println!("no {DRIVER}; Debian's package {PACKAGE} brings it. What needs it is skipped");
        return None;
    };
    match axe() {
        Ok(axe) => {
            println!("browser driver and {AXE} are there");
            Some(Tools { driver, axe, pictures: target().join("pictures") })
        }
        Err(Failure::Work(why) | Failure::Usage(why)) => {
            println!("no {AXE}: {why}. What needs it is skipped");
            None
        }
    }
}

/// The script, fetched once and again when the pin changes.
fn axe() -> Result<PathBuf, Failure> {
    let folder = target().join(AXE.replace('@', "-"));
    let script = folder.join("package").join("axe.min.js");
    if script.is_file() {
        return Ok(script);
    }
    if !process::answers("npm", "--version") && !process::apt_install("npm") {
        return Err(Failure::Work("npm is not there".into()));
    }
    std::fs::create_dir_all(&folder)?;
    let packed = process::output(Command::new("npm").args(["pack", "--silent", AXE]).current_dir(&folder))?;
    let archive = packed.lines().last().unwrap_or_default().trim();
    process::output(Command::new("tar").args(["-xzf", archive]).current_dir(&folder))?;
    if script.is_file() { Ok(script) } else { Err(Failure::Work("its package holds no axe.min.js".into())) }
}
