//! Running test executables side by side. Cargo runs them one after the other, and many hold a single long test that leaves a core idle.

use std::collections::VecDeque;
use std::path::PathBuf;
use std::process::{Command, Stdio};
use std::sync::mpsc;
use std::sync::{Mutex, PoisonError};
use std::time::Instant;

use serde_json::Value;

use crate::tree::root;
use crate::{Failure, process};

/// Those that take longest are started first, so that no core waits at the end for one that was begun last.
const FIRST: &[&str] = &["desk", "cli", "words_proof", "second_opinion_words", "papers"];

/// One executable with tests.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Executable {
    /// Package it belongs to.
    package: String,
    /// Name of the file of tests; of the package where its own modules hold them.
    name: String,
    /// What selects it on cargo's command line.
    select: Vec<String>,
    path: PathBuf,
    /// Folder of the package: tests begin there.
    folder: PathBuf,
}

impl Executable {
    /// What cargo says of an artifact, if that is an executable with tests.
    fn of(message: &str) -> Option<Self> {
        let message: Value = serde_json::from_str(message).ok()?;
        if !message["profile"]["test"].as_bool()? {
            return None;
        }
        let path = PathBuf::from(message["executable"].as_str()?);
        let folder = PathBuf::from(message["manifest_path"].as_str()?).parent()?.to_path_buf();
        let package = folder.file_name()?.to_string_lossy().into_owned();
        let name = message["target"]["name"].as_str()?.to_owned();
        let select = match message["target"]["kind"][0].as_str()? {
            "test" => vec!["--test".to_owned(), name.clone()],
            "bin" => vec!["--bin".to_owned(), name.clone()],
            _ => vec!["--lib".to_owned()],
        };
        Some(Self { package, name, select, path, folder })
    }

    /// Where it stands in the order of starting.
    fn turn(&self) -> usize {
        let own = self.select.first().is_some_and(|s| s == "--test");
        FIRST.iter().position(|name| own && *name == self.name).unwrap_or(FIRST.len())
    }

    /// The command that runs it; what cargo would set is set.
    fn command(&self, arguments: &[String]) -> Command {
        let mut command = Command::new(&self.path);
        command.current_dir(&self.folder).env("CARGO_MANIFEST_DIR", &self.folder).args(arguments);
        command
    }

    /// The line that a person types to run it again.
    fn repeat(&self, arguments: &[String]) -> String {
        let select = self.select.join(" ");
        format!("cargo test --release -p {} {select} -- {}", self.package, arguments.join(" "))
    }
}

/// What came of one.
struct Run {
    one: Executable,
    said: String,
    well: bool,
    seconds: f64,
}

/// Builds all tests of the workspace and runs them side by side, as many at once as the machine has cores. The output of each is shown when
/// it is over, and handed to `read` line by line. `arguments` go to every executable, `prepare` sets what they need around them.
///
/// # Errors
/// When something can't be built, or after all have run when one did not pass: with the lines that repeat those.
pub(crate) fn run(arguments: &[String], prepare: impl Fn(&mut Command) + Sync, mut read: impl FnMut(&str)) -> Result<(), Failure> {
    let mut all = built()?;
    all.sort_by_key(Executable::turn);
    let at_once = std::thread::available_parallelism().map_or(1, std::num::NonZero::get);
    println!("{} executables with tests, {at_once} at once", all.len());
    let (waiting, (told, runs)) = (Mutex::new(VecDeque::from(all)), mpsc::channel());
    let mut failed = Vec::new();
    std::thread::scope(|scope| {
        for told in std::iter::repeat_n(told, at_once) {
            scope.spawn(|| {
                // The last of these senders has to go with its thread: the receiver waits for that.
                let told = told;
                while let Some(one) = next(&waiting) {
                    let start = Instant::now();
                    let mut command = one.command(arguments);
                    prepare(&mut command);
                    let output = command.stdin(Stdio::null()).output();
                    let seconds = start.elapsed().as_secs_f64();
                    let (said, well) = match output {
                        Ok(output) => {
                            let said = [output.stdout, output.stderr].map(|s| String::from_utf8_lossy(&s).into_owned()).concat();
                            (said, output.status.success())
                        }
                        Err(e) => (format!("{} can't be started: {e}\n", one.path.display()), false),
                    };
                    if told.send(Run { one, said, well, seconds }).is_err() {
                        return;
                    }
                }
            });
        }
        for Run { one, said, well, seconds } in runs {
            println!("\n--- {} {} ({seconds:.1} s)", one.package, one.select.join(" "));
            for line in said.lines() {
                println!("{line}");
                read(line.trim_end());
            }
            if !well {
                failed.push(one.repeat(arguments));
            }
        }
    });
    if failed.is_empty() { Ok(()) } else { Err(Failure::Work(format!("not all tests passed; to repeat:\n  {}", failed.join("\n  ")))) }
}

fn next(waiting: &Mutex<VecDeque<Executable>>) -> Option<Executable> {
    waiting.lock().unwrap_or_else(PoisonError::into_inner).pop_front()
}

/// Builds the tests of all packages.
fn built() -> Result<Vec<Executable>, Failure> {
    let build = ["test", "--workspace", "--release", "--no-run", "--lib", "--bins", "--tests", "--message-format=json-render-diagnostics"];
    let said = process::output_beside_errors(&mut process::cargo(&root(), build))?;
    Ok(said.lines().filter_map(Executable::of).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn message(kind: &str, name: &str, test: bool) -> String {
        format!(
            r#"{{"reason":"compiler-artifact","manifest_path":"/at/crates/calc/Cargo.toml","target":{{"kind":["{kind}"],"name":"{name}"}},"profile":{{"test":{test}}},"executable":"/at/target/x"}}"#
        )
    }

    #[test]
    fn executables_with_tests_are_known_from_what_cargo_says() {
        let one = Executable::of(&message("test", "published", true)).unwrap();
        assert_eq!((one.package.as_str(), one.folder), ("calc", PathBuf::from("/at/crates/calc")));
        assert_eq!(one.select, ["--test", "published"]);
        assert_eq!(Executable::of(&message("lib", "calc", true)).unwrap().select, ["--lib"]);
        assert_eq!(Executable::of(&message("bin", "changeout", false)), None);
        assert_eq!(Executable::of("no message"), None);
    }

    #[test]
    fn the_longest_begin() {
        let turn = |kind, name| Executable::of(&message(kind, name, true)).unwrap().turn();
        assert!(turn("test", "desk") < turn("test", "cli") && turn("test", "cli") < turn("test", "published"));
        assert_eq!(turn("lib", "desk"), FIRST.len());
    }
}
