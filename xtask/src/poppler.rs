//! poppler-utils, the second opinion on papers: Debian's package, not pinned, because only what any reader of PDF must see in them is asked.

use crate::process;

/// A program of the package.
const PROGRAM: &str = "pdfinfo";
/// Debian's package.
const PACKAGE: &str = "poppler-utils";

/// Whether its programs are there, installed first if they can be.
pub(crate) fn is_there() -> bool {
    let there = process::answers(PROGRAM, "-v") || (process::apt_install(PACKAGE) && process::answers(PROGRAM, "-v"));
    if there {
        println!("{PROGRAM} is there");
    } else {
        println!("{PROGRAM} is not there and can't be installed; Debian's package {PACKAGE} brings it. What needs it is skipped");
    }
    there
}
