//! Sites in temporary folders, and runs of the program; every run is watched for panics, signals and hangs.

use std::collections::BTreeMap;
use std::ffi::OsStr;
use std::fs;
use std::path::{Path, PathBuf};
use std::time::Duration;

use serde_json::Value;
use tempfile::TempDir;

/// The date of all papers in these tests.
pub(crate) const DATE: &str = "2026-03-10";
/// The demo's positions, in the order of their tags.
pub(crate) const TAGS: [&str; 8] = ["AF-204", "BD-808", "BE-101", "BH-301", "ML-701", "MX-603", "PP-410", "SF-512"];
/// No command on a site of this size takes a tenth of it, also while other tests run beside it.
const LONGEST: Duration = Duration::from_secs(60);
/// The demo as it is kept in the source tree.
const DEMO: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/demo");

/// What one run of the program left behind.
#[derive(Debug)]
pub(crate) struct Run {
    pub(crate) code: i32,
    pub(crate) out: String,
    pub(crate) err: String,
}

impl Run {
    /// Judges the output of a process: an exit code that the program promises, no panic, text in UTF-8.
    pub(crate) fn of(output: &std::process::Output) -> Self {
        let text = |bytes: &[u8]| String::from_utf8(bytes.to_vec()).expect("output is UTF-8");
        let (out, err) = (text(&output.stdout), text(&output.stderr));
        let code = output.status.code().unwrap_or_else(|| panic!("killed or hung: {:?}\n{out}\n{err}", output.status));
        assert!((0..=2).contains(&code) && !err.contains("panicked"), "exit code {code}\n{out}\n{err}");
        Self { code, out, err }
    }

    /// Both outputs.
    pub(crate) fn text(&self) -> String {
        format!("{}{}", self.out, self.err)
    }

    /// Standard output as one line of words: for sentences that are broken at the edge of the paper.
    pub(crate) fn words(&self) -> String {
        self.out.split_whitespace().collect::<Vec<_>>().join(" ")
    }

    /// Standard output as JSON.
    pub(crate) fn json(&self) -> Value {
        serde_json::from_str(&self.out).unwrap_or_else(|e| panic!("{e}: {}\n{}", self.out, self.err))
    }

    /// Demands an exit code.
    #[track_caller]
    pub(crate) fn ends(self, code: i32) -> Self {
        assert_eq!(self.code, code, "{}\n{}", self.out, self.err);
        self
    }

    /// Demands that both outputs together hold all these words.
    #[track_caller]
    pub(crate) fn says(self, words: &[&str]) -> Self {
        let text = self.text();
        for word in words {
            assert!(text.contains(word), "“{word}” is not in\n{text}");
        }
        self
    }
}

/// Runs the program.
#[track_caller]
pub(crate) fn run<S: AsRef<OsStr>>(arguments: impl IntoIterator<Item = S>) -> Run {
    run_with(arguments, &[])
}

/// Runs the program with variables of the environment.
#[track_caller]
pub(crate) fn run_with<S: AsRef<OsStr>>(arguments: impl IntoIterator<Item = S>, variables: &[(&str, &str)]) -> Run {
    let mut command = assert_cmd::Command::new(env!("CARGO_BIN_EXE_changeout"));
    command.args(arguments).envs(variables.iter().copied()).env_remove("RUST_BACKTRACE").timeout(LONGEST);
    Run::of(&command.output().expect("the program starts"))
}

/// Assesses a site, or one position of it, as JSON.
#[track_caller]
pub(crate) fn assessed(site: &Site, more: &[&str]) -> Value {
    run(["assess", site.path(), "--json", "--date", DATE].into_iter().chain(more.iter().copied())).json()
}

/// The list behind a key.
#[track_caller]
pub(crate) fn list<'v>(value: &'v Value, key: &str) -> &'v [Value] {
    value[key].as_array().unwrap_or_else(|| panic!("{key} is no list in {value:#}"))
}

/// The text behind a key.
#[track_caller]
pub(crate) fn text<'v>(value: &'v Value, key: &str) -> &'v str {
    value[key].as_str().unwrap_or_else(|| panic!("{key} is no text in {value:#}"))
}

/// A site of its own in a temporary folder that goes with it.
#[derive(Debug)]
pub(crate) struct Site {
    path: String,
    _folder: TempDir,
}

impl Site {
    /// A folder that is not there yet.
    pub(crate) fn nowhere() -> Self {
        let folder = TempDir::new().expect("a temporary folder");
        let path = folder.path().join("site").to_str().expect("UTF-8").to_owned();
        Self { path, _folder: folder }
    }

    /// A copy of the demo.
    pub(crate) fn demo() -> Self {
        let site = Self::nowhere();
        copy(Path::new(DEMO), &site.file(""));
        site
    }

    /// A copy of the demo with these positions only.
    pub(crate) fn demo_with(tags: &[&str]) -> Self {
        let site = Self::demo();
        for tag in TAGS.iter().filter(|tag| !tags.contains(tag)) {
            site.remove(&format!("positions/{tag}.toml"));
        }
        site
    }

    pub(crate) fn path(&self) -> &str {
        &self.path
    }

    /// The path of a file below.
    pub(crate) fn file(&self, name: &str) -> PathBuf {
        Path::new(&self.path).join(name)
    }

    pub(crate) fn read(&self, name: &str) -> String {
        fs::read_to_string(self.file(name)).unwrap_or_else(|e| panic!("{name}: {e}"))
    }

    /// Writes a file, with the folders above it.
    pub(crate) fn write(&self, name: &str, contents: impl AsRef<[u8]>) {
        fs::create_dir_all(self.file(name).parent().unwrap()).unwrap();
        fs::write(self.file(name), contents).unwrap_or_else(|e| panic!("{name}: {e}"));
    }

    /// Puts another text in the place of the only `old` of a file.
    #[track_caller]
    pub(crate) fn edit(&self, name: &str, old: &str, new: &str) {
        let text = self.read(name);
        assert_eq!(text.matches(old).count(), 1, "{old} in {name}");
        self.write(name, text.replace(old, new));
    }

    pub(crate) fn append(&self, name: &str, more: &str) {
        self.write(name, self.read(name) + more);
    }

    pub(crate) fn remove(&self, name: &str) {
        fs::remove_file(self.file(name)).unwrap_or_else(|e| panic!("{name}: {e}"));
    }

    /// Every file below with its bytes.
    pub(crate) fn snapshot(&self) -> BTreeMap<PathBuf, Vec<u8>> {
        let mut files = BTreeMap::new();
        collect(&self.file(""), &mut files);
        files
    }
}

fn copy(from: &Path, to: &Path) {
    fs::create_dir_all(to).unwrap();
    for entry in fs::read_dir(from).unwrap().map(Result::unwrap) {
        let target = to.join(entry.file_name());
        if entry.path().is_dir() {
            copy(&entry.path(), &target);
        } else {
            fs::copy(entry.path(), target).unwrap();
        }
    }
}

fn collect(folder: &Path, files: &mut BTreeMap<PathBuf, Vec<u8>>) {
    for path in fs::read_dir(folder).unwrap().map(|e| e.unwrap().path()) {
        if path.is_dir() {
            collect(&path, files);
        } else {
            files.insert(path.clone(), fs::read(&path).unwrap());
        }
    }
}
