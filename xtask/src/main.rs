//! Chores of this repository: `cargo xtask COMMAND`. One file per command; what several share stands in
//! [`tree`] (the files of the repository), [`process`] (running other programs) and [`insert`] (adding a line to a list).
#![allow(clippy::disallowed_methods, reason = "chores read and write this repository, ask the clock and the environment")]

use std::process::ExitCode;

mod bench;
mod browser;
mod deny;
mod docs;
mod executables;
mod fuzz;
mod insert;
mod new_calc;
mod new_finding;
mod ngspice;
mod poppler;
mod process;
mod python;
mod scaffolds;
mod spin;
mod test;
mod tidy;
mod tree;

/// Why a command did not do what it was asked.
#[derive(Debug)]
pub(crate) enum Failure {
    /// The command line makes no sense: the usage is shown.
    Usage(String),
    /// It was tried and went wrong.
    Work(String),
}

impl<E: std::error::Error> From<E> for Failure {
    fn from(error: E) -> Self {
        Self::Work(error.to_string())
    }
}

/// What a command returns.
pub(crate) type Done = Result<(), Failure>;

/// One command.
struct Command {
    name: &'static str,
    arguments: &'static str,
    what: &'static str,
    run: fn(&[String]) -> Done,
}

const COMMANDS: &[Command] = &[
    Command { name: "test", arguments: "", what: "everything that must pass, first to last", run: test::run },
    Command { name: "tidy", arguments: "", what: "the house rules that no compiler knows", run: tidy::run },
    Command { name: "docs", arguments: "[--check]", what: "write the generated pages, or only say which are stale", run: docs::run },
    Command {
        name: "new-finding",
        arguments: "GROUP/NAME",
        what: "lay out a finding: check, page, test, registration",
        run: new_finding::run,
    },
    Command {
        name: "new-calc",
        arguments: "SUBJECT/NAME",
        what: "lay out a calculation: file, doctest, table of figures",
        run: new_calc::run,
    },
    Command { name: "scaffolds", arguments: "", what: "run both scaffolds in a copy and test what they make", run: scaffolds::run },
    Command {
        name: "bench",
        arguments: "",
        what: "checks per second here and as a NumPy sheet, front ends here and in ngspice",
        run: bench::run,
    },
    Command { name: "fuzz", arguments: "[TARGET] [--seconds N]", what: "feed the readers with broken files", run: fuzz::run },
    Command { name: "deny", arguments: "", what: "licences, bans and origins of all dependencies", run: deny::run },
];

fn usage() -> String {
    let lines: Vec<String> = COMMANDS.iter().map(|c| format!("  {:<35} {}", format!("{} {}", c.name, c.arguments), c.what)).collect();
    format!("usage: cargo xtask COMMAND\n{}", lines.join("\n"))
}

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let refuse = |message: &str, usage: String| {
        eprintln!("{message}\n\n{usage}");
        ExitCode::from(2)
    };
    let Some((name, rest)) = arguments.split_first() else { return refuse("a command is missing", usage()) };
    let Some(command) = COMMANDS.iter().find(|c| c.name == name) else {
        return refuse(&format!("there is no command “{name}”"), usage());
    };
    match (command.run)(rest) {
        Ok(()) => ExitCode::SUCCESS,
        Err(Failure::Usage(message)) => refuse(&message, format!("usage: cargo xtask {} {}", command.name, command.arguments)),
        Err(Failure::Work(message)) => {
            eprintln!("{message}");
            ExitCode::FAILURE
        }
    }
}

/// Refuses arguments where a command takes none.
pub(crate) fn no_arguments(arguments: &[String]) -> Done {
    match arguments.first() {
        None => Ok(()),
        Some(extra) => Err(Failure::Usage(format!("“{extra}” is one argument too many"))),
    }
}

/// The single argument of a command.
pub(crate) fn one_argument<'a>(arguments: &'a [String], what: &str) -> Result<&'a str, Failure> {
    match arguments {
        [only] => Ok(only),
        [] => Err(Failure::Usage(format!("{what} is missing"))),
        [_, extra, ..] => Err(Failure::Usage(format!("“{extra}” is one argument too many"))),
    }
}
