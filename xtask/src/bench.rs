//! `cargo xtask bench`: checks per second of the program, and of the same sheet in NumPy beside it; diode front ends here and
//! in ngspice; values of a proof of network words per second, and of the same proof in Python; conductors landed and settings carried
//! over; the papers of one position and of a hundred.

mod papers;

use std::process::Command;

use crate::tree::root;
use crate::{Done, Failure, ngspice, no_arguments, process, python};

/// Before the number in the output of both.
const MARK: &str = "CHECKS_PER_SECOND ";
/// Before the ratio in the output of the front ends.
const TIMES: &str = "TIMES_AS_LONG_IN_NGSPICE ";

/// Runs the command.
///
/// # Errors
/// When one of both does not run or names no number.
pub(crate) fn run(arguments: &[String]) -> Done {
    no_arguments(arguments)?;
    let interpreter = python::environment()?;
    let spice = ngspice::program();
    let ours = speed(&mut benched("assess"), MARK)?;
    let sheet = speed(Command::new(&interpreter).current_dir(root()).arg("crates/job/benches/sheet.py"), MARK)?;
    let mut bridge = benched("bridge");
    let times = match spice {
        Some(program) => Some(speed(bridge.env("CHANGEOUT_NGSPICE", program), TIMES)?),
        None => process::run(&mut bridge).map(|()| None)?,
    };
    println!("\nchecks per second: {ours:.0} here, {sheet:.0} in the NumPy sheet, {:.2} times as many here", ours / sheet);
    match times {
        Some(times) => println!(
            "a diode front end takes ngspice {times:.0} times as long, on the circuit where it is least; load of the machine: {}",
            load()
        ),
        None => println!("no comparison with ngspice: it is not there"),
    }
    let [words, values, setpoint, shown] = figures(&mut benched("words"), PROOF)?;
    let [python, tried, their_setpoint, their_shown] =
        figures(Command::new(&interpreter).current_dir(root()).arg("crates/transfer/benches/words.py"), PROOF)?;
    let near = |a: f64, b: f64| (a - b).abs() < 1e-6;
    if !(near(values, tried) && near(setpoint, their_setpoint) && near(shown, their_shown)) {
        return Err(Failure::Work(format!(
            "both proofs came out otherwise: {values} and {tried} values, errors of {setpoint} and {their_setpoint}, {shown} and {their_shown} Hz"
        )));
    }
    println!(
        "a pair of layouts proved in {values:.0} values and patterns, the same greatest errors in both: {words:.0} a second here, {python:.0} in \
         Python, {:.0} times as many here",
        words / python
    );
    let [landing] = figures(&mut benched("wires"), ["LANDING_MS "])?;
    let [carried] = figures(&mut benched("settings"), ["SETTINGS_MS "])?;
    println!(
        "the conductors of the demo's largest position landed in {landing:.2} ms, 1,000 settings carried over in {carried:.1} ms; load of the \
         machine: {}",
        load()
    );
    papers::run()?;
    let desk = [
        "DESK_DEMO_FIRST_PAGE_MS ",
        "DESK_DEMO_EDIT_MS ",
        "DESK_DEMO_WORST_EDIT_MS ",
        "DESK_DEMO_NEW_EDIT_MS ",
        "DESK_MANY_FIRST_PAGE_MS ",
        "DESK_MANY_EDIT_MS ",
        "DESK_MANY_WORST_EDIT_MS ",
        "DESK_MANY_NEW_EDIT_MS ",
        "DESK_MANY_SITE_MS ",
    ];
    let [first, edit, worst, fresh, many_first, many_edit, many_worst, many_fresh, site] = figures(&mut benched("desk"), desk)?;
    println!(
        "the desk: first page {first:.0} ms, from an edit to fresh verdicts {edit:.0} ms, at worst {worst:.0} ms, with a value that was never there \
         {fresh:.0} ms; with 1,000 positions {many_first:.0}, {many_edit:.0}, {many_worst:.0} and {many_fresh:.0} ms, and the slowest of site page, filter, search and a position {site:.0} ms; load of the machine: {}",
        load()
    );
    Ok(())
}

/// Before the figures of a proof of network words: values a second, values, greatest errors of setpoint and of the shown speed in Hz.
const PROOF: [&str; 4] = [MARK, "VALUES ", "SETPOINT_ERROR_HZ ", "SPEED_ERROR_HZ "];

/// A benchmark of ours. The whole workspace is named, so that it is built from what tests are built from.
fn benched(name: &str) -> Command {
    process::cargo(&root(), ["bench", "--workspace", "--bench", name])
}

/// How busy the machine is, where it says so.
fn load() -> String {
    std::fs::read_to_string("/proc/loadavg").map_or_else(|_| "unknown".to_owned(), |text| text.trim().to_owned())
}

fn speed(command: &mut Command, mark: &str) -> Result<f64, Failure> {
    figures(command, [mark]).map(|[found]| found)
}

/// The numbers behind these marks in what a command prints.
fn figures<const N: usize>(command: &mut Command, marks: [&str; N]) -> Result<[f64; N], Failure> {
    let mut found = [None; N];
    process::run_and_read(command, |line| {
        for (mark, found) in marks.iter().zip(&mut found) {
            *found = number(line, mark).or(*found);
        }
    })?;
    for (mark, found) in marks.iter().zip(&found) {
        if found.is_none() {
            return Err(Failure::Work(format!("no line “{mark}NUMBER” came from\n  {}", process::line(command))));
        }
    }
    Ok(found.map(Option::unwrap_or_default))
}

fn number(line: &str, mark: &str) -> Option<f64> {
    line.trim().strip_prefix(mark)?.trim().parse().ok().filter(|n: &f64| n.is_finite() && *n > 0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_number_is_read_and_nothing_else() {
        assert_eq!(number("CHECKS_PER_SECOND 12500.5", MARK), Some(12500.5));
        assert_eq!((number("CHECKS_PER_SECOND none", MARK), number("CHECKS_PER_SECOND 0", MARK), number("12", MARK)), (None, None, None));
        let say = |text: &str| speed(Command::new("echo").arg(text), MARK);
        assert!(say("CHECKS_PER_SECOND 3").is_ok() && say("nothing").is_err());
    }
}
