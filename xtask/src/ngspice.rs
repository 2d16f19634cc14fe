//! ngspice, the second opinion on diode front ends and cables: Debian's package, not pinned, because its figures are
//! compared within tolerances and none of them is kept.

use std::ffi::OsString;

use crate::process;

/// The name of the program, and of Debian's package.
const NAME: &str = "ngspice";

/// The program to run, installed first if it can be; `None` where it is missing and can't be installed.
pub(crate) fn program() -> Option<OsString> {
    if let Some(named) = std::env::var_os("CHANGEOUT_NGSPICE") {
        return Some(named);
    }
    if process::answers(NAME, "--version") || (process::apt_install(NAME) && process::answers(NAME, "--version")) {
        println!("{NAME} is there");
        return Some(NAME.into());
    }
    println!("{NAME} is not there and can't be installed; Debian's package {NAME} brings it. What needs it is skipped");
    None
}
