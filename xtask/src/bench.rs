//! `cargo xtask bench`: checks per second of the program, and of the same sheet in NumPy beside it; values of a network word per second,
//! and of the same loop in Python.

use std::process::Command;

use crate::tree::root;
use crate::{Done, Failure, no_arguments, process, python};

/// Before the number in the output of both.
const MARK: &str = "CHECKS_PER_SECOND ";

/// Runs the command.
///
/// # Errors
/// When one of both does not run or names no number.
pub(crate) fn run(arguments: &[String]) -> Done {
    no_arguments(arguments)?;
    let interpreter = python::environment()?;
    let ours = speed(&mut process::cargo(&root(), ["bench", "-p", "job", "--bench", "assess"]))?;
    let sheet = speed(Command::new(&interpreter).current_dir(root()).arg("crates/job/benches/sheet.py"))?;
    println!("\nchecks per second: {ours:.0} here, {sheet:.0} in the NumPy sheet, {:.2} times as many here", ours / sheet);
    let words = speed(&mut process::cargo(&root(), ["bench", "-p", "transfer", "--bench", "words"]))?;
    let python = speed(Command::new(&interpreter).current_dir(root()).arg("crates/transfer/benches/words.py"))?;
    println!("values of a word per second: {words:.0} here, {python:.0} in Python, {:.0} times as many here", words / python);
    Ok(())
}

fn speed(command: &mut Command) -> Result<f64, Failure> {
    let mut found = None;
    process::run_and_read(command, |line| found = number(line).or(found))?;
    found.ok_or_else(|| Failure::Work(format!("no line “{MARK}NUMBER” came from\n  {}", process::line(command))))
}

fn number(line: &str) -> Option<f64> {
    line.trim().strip_prefix(MARK)?.trim().parse().ok().filter(|n: &f64| n.is_finite() && *n > 0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_number_is_read_and_nothing_else() {
        assert_eq!(number("CHECKS_PER_SECOND 12500.5"), Some(12500.5));
        assert_eq!((number("CHECKS_PER_SECOND none"), number("CHECKS_PER_SECOND 0"), number("12")), (None, None, None));
        let say = |text: &str| speed(Command::new("echo").arg(text));
        assert!(say("CHECKS_PER_SECOND 3").is_ok() && say("nothing").is_err());
    }
}
