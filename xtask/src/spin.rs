//! spin, the second opinion on behaviour: Debian's package, not pinned, because only states and differences are compared. Its checkers are
//! compiled by `cc`.

use crate::process;

/// The name of the program, and of Debian's package.
const NAME: &str = "spin";

/// Whether it is there, installed first if it can be.
pub(crate) fn is_there() -> bool {
    let there = process::answers(NAME, "-V") || (process::apt_install(NAME) && process::answers(NAME, "-V"));
    let there = there && process::answers("cc", "--version");
    if there {
        println!("{NAME} is there");
    } else {
        println!(
            "{NAME} or cc is not there and can't be installed; Debian's packages {NAME} and gcc bring them. What needs them is skipped"
        );
    }
    there
}
