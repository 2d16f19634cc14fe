//! Running other programs: cargo without what the outer cargo set, output that is shown and read at once,
//! and the command line to repeat when something went wrong.

use std::ffi::OsStr;
use std::io::{BufRead, BufReader};
use std::path::Path;
use std::process::{Command, Stdio};

use crate::Failure;
use crate::tree::root;

/// `cargo` with these arguments, started in `root`.
pub(crate) fn cargo<S: AsRef<OsStr>>(root: &Path, arguments: impl IntoIterator<Item = S>) -> Command {
    let mut command = Command::new(std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into()));
    command.current_dir(root).args(arguments);
    // The outer cargo describes this package to us; the inner one must not take it for its own.
    for (key, _) in std::env::vars_os() {
        let text = key.to_string_lossy();
        if ["CARGO_PKG_", "CARGO_MANIFEST_", "CARGO_BIN_", "CARGO_CRATE_"].iter().any(|p| text.starts_with(p)) {
            command.env_remove(&key);
        }
    }
    command
}

/// The line that a person types to run the same again.
pub(crate) fn line(command: &Command) -> String {
    let program = Path::new(command.get_program()).file_name().unwrap_or(command.get_program()).to_string_lossy().into_owned();
    let set = command.get_envs().filter_map(|(key, value)| Some(format!("{}={}", key.to_string_lossy(), quoted(value?))));
    let typed = set.chain([program]).chain(command.get_args().map(quoted)).collect::<Vec<_>>().join(" ");
    match command.get_current_dir().filter(|dir| *dir != root()) {
        Some(elsewhere) => format!("(cd {} && {typed})", quoted(elsewhere.as_os_str())),
        None => typed,
    }
}

fn quoted(argument: &OsStr) -> String {
    let text = argument.to_string_lossy();
    let plain = !text.is_empty() && text.chars().all(|c| c.is_alphanumeric() || "-_=./,:+%".contains(c));
    if plain { text.into_owned() } else { format!("'{}'", text.replace('\'', r"'\''")) }
}

/// Runs a program with its output shown as it comes.
///
/// # Errors
/// When it can't start or does not end well, with the line to repeat it.
pub(crate) fn run(command: &mut Command) -> Result<(), Failure> {
    let status = command.status().map_err(|e| cannot_start(command, &e))?;
    if status.success() { Ok(()) } else { Err(went_wrong(command)) }
}

/// Runs a program, shows its output as it comes and hands each line of it to `read`.
///
/// # Errors
/// As [`run`].
pub(crate) fn run_and_read(command: &mut Command, mut read: impl FnMut(&str)) -> Result<(), Failure> {
    let mut child = command.stdout(Stdio::piped()).spawn().map_err(|e| cannot_start(command, &e))?;
    if let Some(output) = child.stdout.take() {
        for line in BufReader::new(output).split(b'\n') {
            let line = line?;
            let line = String::from_utf8_lossy(&line);
            println!("{line}");
            read(line.trim_end());
        }
    }
    if child.wait()?.success() { Ok(()) } else { Err(went_wrong(command)) }
}

/// What a program prints, without showing it.
///
/// # Errors
/// When it can't start or does not end well, with what it said.
pub(crate) fn output(command: &mut Command) -> Result<String, Failure> {
    let output = command.output().map_err(|e| cannot_start(command, &e))?;
    if output.status.success() {
        return Ok(String::from_utf8_lossy(&output.stdout).into_owned());
    }
    let said = String::from_utf8_lossy(&output.stderr);
    Err(Failure::Work(format!("{}\n{}", said.trim_end(), line(command))))
}

/// What a program prints on its standard output; its errors are shown as they come.
///
/// # Errors
/// As [`run`].
pub(crate) fn output_beside_errors(command: &mut Command) -> Result<String, Failure> {
    let output = command.stderr(Stdio::inherit()).output().map_err(|e| cannot_start(command, &e))?;
    if output.status.success() { Ok(String::from_utf8_lossy(&output.stdout).into_owned()) } else { Err(went_wrong(command)) }
}

/// Whether a program is there and answers to `argument`.
pub(crate) fn answers(program: impl AsRef<OsStr>, argument: &str) -> bool {
    Command::new(program).arg(argument).stdout(Stdio::null()).stderr(Stdio::null()).status().is_ok_and(|s| s.success())
}

/// Tries to install a Debian package; only root can, and only where `apt-get` is.
pub(crate) fn apt_install(package: &str) -> bool {
    let root = Command::new("id").arg("-u").output().is_ok_and(|o| o.stdout.trim_ascii() == b"0");
    if !root || !answers("apt-get", "--version") {
        return false;
    }
    println!("installing the Debian package {package}");
    let apt = |arguments: &[&str]| Command::new("apt-get").args(arguments).env("DEBIAN_FRONTEND", "noninteractive").status();
    // A list of packages that is out of date is no reason to give up before trying.
    let _ = apt(&["update", "-qq"]);
    apt(&["install", "-y", "-qq", package]).is_ok_and(|s| s.success())
}

fn cannot_start(command: &Command, error: &std::io::Error) -> Failure {
    Failure::Work(format!("{} can't be started: {error}", command.get_program().to_string_lossy()))
}

fn went_wrong(command: &Command) -> Failure {
    Failure::Work(format!("it failed; to repeat this step:\n  {}", line(command)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_can_be_typed_again() {
        let mut command = Command::new("/usr/bin/cargo");
        command.args(["test", "--", "it's", ""]).env("WHERE", "a b").env_remove("GONE");
        assert_eq!(line(&command), r"WHERE='a b' cargo test -- 'it'\''s' ''");
        assert_eq!(line(Command::new("true").current_dir("/tmp")), "(cd /tmp && true)");
        assert_eq!(line(Command::new("true").current_dir(root())), "true");
    }

    #[test]
    fn lines_are_read_and_failure_is_told() {
        let mut seen = Vec::new();
        let outcome = run_and_read(Command::new("sh").args(["-c", "echo one; echo two; exit 3"]), |l| seen.push(l.to_owned()));
        assert_eq!(seen, ["one", "two"]);
        assert!(matches!(outcome, Err(Failure::Work(text)) if text.contains("sh -c")));
        assert!(
            output(Command::new("sh").args(["-c", "echo said >&2; false"]))
                .is_err_and(|f| matches!(f, Failure::Work(t) if t.contains("said")))
        );
    }
}
