//! `cargo xtask test`: everything that must pass, first to last, stopping at the first step that does not. It fetches
//! what tests need (a Python environment, cargo-deny) and ends with one line that counts all tests.

use std::process::Command;
use std::time::Instant;

use crate::tree::root;
use crate::{Done, Failure, browser, deny, executables, fuzz, ngspice, no_arguments, poppler, process, python, scaffolds, spin, tidy};

/// How long each reader is fed with broken files.
const FUZZ_FILES: u32 = 10_000;

/// Tests whose name begins with "ngspice_": what is left out where ngspice is missing.
const NGSPICE_TESTS: usize = 1;

/// Tests whose name holds "browser_": what is left out where no browser can be had.
const BROWSER_TESTS: usize = 5;
/// Tests whose name begins with "poppler_": what is left out where poppler-utils is missing.
const POPPLER_TESTS: usize = 1;

/// Tests whose name begins with "spin_": what is left out where spin is missing.
const SPIN_TESTS: usize = 2;

/// How many tests passed, failed and were left out.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct Tally {
    /// Passed.
    pub(crate) passed: usize,
    /// Failed.
    pub(crate) failed: usize,
    /// Left out.
    pub(crate) skipped: usize,
}

impl Tally {
    /// The counts in a line "test result: ok. 3 passed; 0 failed; 1 ignored; …".
    pub(crate) fn of(line: &str) -> Option<Self> {
        let (_, counts) = line.strip_prefix("test result: ")?.split_once(". ")?;
        let mut tally = Self::default();
        for part in counts.split("; ") {
            let Some((count, word)) = part.split_once(' ') else { continue };
            let Ok(count) = count.parse() else { continue };
            match word {
                "passed" => tally.passed = count,
                "failed" => tally.failed = count,
                "ignored" => tally.skipped = count,
                _ => {}
            }
        }
        Some(tally)
    }

    /// Adds what a line counts, if it counts.
    fn read(&mut self, line: &str) {
        if let Some(more) = Self::of(line) {
            self.add(more);
        }
    }

    fn add(&mut self, other: Self) {
        self.passed += other.passed;
        self.failed += other.failed;
        self.skipped += other.skipped;
    }

    /// The line that a summary of a runner reads.
    fn line(self) -> String {
        format!("changeout: {} passed, {} failed, {} skipped", self.passed, self.failed, self.skipped)
    }
}

/// Steps that were taken, with their seconds.
#[derive(Default)]
struct Session {
    taken: Vec<(&'static str, f64)>,
    tally: Tally,
}

impl Session {
    /// Takes one step; a failure of a chore of ours says how to repeat it.
    fn step(&mut self, title: &'static str, repeat: &str, run: impl FnOnce(&mut Tally) -> Done) -> Done {
        println!("\n=== {}. {title}", self.taken.len() + 1);
        let start = Instant::now();
        let outcome = run(&mut self.tally);
        let seconds = start.elapsed().as_secs_f64();
        println!("    {seconds:.1} s");
        self.taken.push((title, seconds));
        outcome.map_err(|failure| match failure {
            Failure::Work(message) | Failure::Usage(message) if repeat.is_empty() => Failure::Work(message),
            Failure::Work(message) | Failure::Usage(message) => Failure::Work(format!("{message}\n  {repeat}")),
        })
    }

    fn steps(&mut self) -> Done {
        let root = root();
        let cargo = |arguments: &[&str]| process::cargo(&root, arguments);
        let mut interpreter = std::path::PathBuf::new();
        self.step("Python environment for the second opinions", "cargo xtask test", |_| {
            interpreter = python::environment()?;
            Ok(())
        })?;
        let mut spice = None;
        self.step("ngspice for the second opinions on circuits", "", |_| {
            spice = ngspice::program();
            Ok(())
        })?;
        let mut page_tools = None;
        self.step("browser and axe-core for the desk", "", |_| {
            page_tools = browser::tools();
            Ok(())
        })?;
        let mut poppler = false;
        self.step("poppler-utils for the second opinion on papers", "", |_| {
            poppler = poppler::is_there();
            Ok(())
        })?;
        let mut checker = false;
        self.step("spin for the second opinion on behaviour", "", |_| {
            checker = spin::is_there();
            Ok(())
        })?;
        self.step("layout of the code", "", |_| {
            process::run(&mut cargo(&["fmt", "--all", "--check"]))?;
            process::run(&mut cargo(&["fmt", "--manifest-path", "fuzz/Cargo.toml", "--check"]))
        })?;
        self.step("lints", "", |_| {
            process::run(&mut cargo(&["clippy", "--workspace", "--all-targets", "--release", "--", "-D", "warnings"]))
        })?;
        self.step("tests", "", |tally| {
            // Tests that need Python, ngspice or a browser are marked as ignored, so that a bare `cargo test` passes without them; here
            // they run. Without ngspice its tests stay out, and the summary counts them as skipped.
            let mut arguments = vec!["--include-ignored".to_owned()];
            let mut leave_out = |there: bool, tests: usize, prefix: &str, what: &str| {
                if !there {
                    arguments.extend(["--skip".to_owned(), prefix.to_owned()]);
                    println!("skipped: {tests} tests {what}");
                    tally.skipped += tests;
                }
            };
            leave_out(spice.is_some(), NGSPICE_TESTS, "ngspice_", "against ngspice");
            leave_out(page_tools.is_some(), BROWSER_TESTS, "browser_", "in a browser");
            leave_out(poppler, POPPLER_TESTS, "poppler_", "against poppler-utils");
            leave_out(checker, SPIN_TESTS, "spin_", "against spin");
            let prepare = |command: &mut Command| {
                if let Some(tools) = &page_tools {
                    command.env("CHANGEOUT_CHROMEDRIVER", &tools.driver).env("CHANGEOUT_AXE", &tools.axe);
                    command.env("CHANGEOUT_PICTURES", &tools.pictures);
                }
                command.env("CHANGEOUT_PYTHON", &interpreter).envs(spice.iter().map(|program| ("CHANGEOUT_NGSPICE", program)));
            };
            executables::run(&arguments, prepare, |line| tally.read(line))
        })?;
        self.step("examples in the docs of the code", "", |tally| {
            counted(&mut cargo(&["test", "--workspace", "--release", "--no-fail-fast", "--doc"]), tally)
        })?;
        self.step("house rules", "cargo xtask tidy", |_| tidy::run(&[]))?;
        self.step("scaffolds of a finding and a calculation", "cargo xtask scaffolds", |_| scaffolds::run(&[]))?;
        self.step("licences, bans and origins of dependencies", "cargo xtask deny", |_| deny::run(&[]))?;
        self.step("broken files for every reader", "cargo xtask fuzz", |tally| {
            let count = fuzz::smoke(FUZZ_FILES)?;
            tally.add(count);
            Ok(())
        })
    }
}

/// Runs tests with their output shown, and counts them.
fn counted(command: &mut Command, tally: &mut Tally) -> Done {
    process::run_and_read(command, |line| tally.read(line))
}

/// Runs the command.
///
/// # Errors
/// The first step that fails, with the line to repeat it.
pub(crate) fn run(arguments: &[String]) -> Done {
    no_arguments(arguments)?;
    let mut session = Session::default();
    let outcome = session.steps();
    println!("\n=== seconds");
    for (title, seconds) in &session.taken {
        println!("{seconds:>8.1}  {title}");
    }
    if let (Err(_), Some((title, _))) = (&outcome, session.taken.last()) {
        println!("\nstopped at: {title}");
        // A step that is no test counts as one, so that the line below never reads as a success.
        session.tally.failed = session.tally.failed.max(1);
    }
    println!("\n{}", session.tally.line());
    outcome
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn counts_are_read_and_summed() {
        let mut tally = Tally::default();
        for line in [
            "test result: ok. 12 passed; 0 failed; 1 ignored; 0 measured; 3 filtered out; finished in 0.01s",
            "test result: FAILED. 4 passed; 2 failed; 0 ignored; 0 measured; 0 filtered out; finished in 1.00s",
            "test thing ... ok",
        ] {
            tally.read(line);
        }
        assert_eq!(tally.line(), "changeout: 16 passed, 2 failed, 1 skipped");
    }

    #[test]
    fn a_step_that_fails_is_told_with_its_command() {
        let mut session = Session::default();
        let outcome = session.step("a title", "cargo xtask tidy", |_| Err(Failure::Work("it went wrong".into())));
        assert!(matches!(outcome, Err(Failure::Work(text)) if text == "it went wrong\n  cargo xtask tidy"));
        assert_eq!(session.taken.len(), 1);
    }
}
