//! The papers, as somebody waits for them: the command itself, from its start to its last file, on the demo and on a hundred positions.

use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use serde_json::Value;

use crate::tree::root;
use crate::{Done, Failure, process};

/// Positions of the large site.
const POSITIONS: usize = 100;
/// Runs of which the shortest counts.
const RUNS: usize = 5;

/// Runs the comparison and prints its figures.
///
/// # Errors
/// When the program cannot be built, or does not write the papers.
pub(crate) fn run() -> Done {
    process::run(&mut process::cargo(&root(), ["build", "--workspace", "--release", "--bin", "changeout"]))?;
    let program = root().join("target/release/changeout");
    let folder = root().join("target/bench-papers");
    if folder.exists() {
        std::fs::remove_dir_all(&folder)?;
    }
    std::fs::create_dir_all(&folder)?;
    let site = folder.join("site");
    // The demo answers with 1: some of its positions depend on readings.
    let _ = process::output(Command::new(&program).arg("demo").arg(&site));
    let start = shortest(|| finished(Command::new(&program).arg("--version")))?;
    let one = |out: &str| -> Result<Value, Failure> {
        let mut command = Command::new(&program);
        command.args(["dossier", "--position", "SF-512", "--date", "2026-03-02", "--json", "--out"]).arg(folder.join(out)).arg(&site);
        Ok(serde_json::from_slice(&command.output()?.stdout)?)
    };
    let pages = one("first")?["positions"][0]["pages"].as_u64().unwrap_or_default();
    let mut number = 0;
    let whole = shortest(|| {
        number += 1;
        one(&format!("again-{number}")).map(|_| ())
    })?;
    println!(
        "papers of one position, {pages} pages in one PDF and each paper by itself, tables, drawings, ZIP: {} ms, of which {} ms are the start \
         of the program; 40 pages at that rate: {} ms",
        whole.as_millis(),
        start.as_millis(),
        whole.as_millis() * 40 / u128::from(pages.max(1))
    );
    let large = folder.join("large");
    multiply(&site, &large)?;
    let begin = Instant::now();
    let peak = peak_memory(Command::new(&program).args(["dossier", "--date", "2026-03-02", "--out"]).arg(folder.join("all")).arg(&large))?;
    println!(
        "papers of {POSITIONS} positions: {:.1} s, at most {} MiB of memory; load of the machine: {}",
        begin.elapsed().as_secs_f64(),
        peak / 1024,
        super::load()
    );
    Ok(())
}

fn shortest(mut run: impl FnMut() -> Done) -> Result<Duration, Failure> {
    let mut best = Duration::MAX;
    for _ in 0..RUNS {
        let begin = Instant::now();
        run()?;
        best = best.min(begin.elapsed());
    }
    Ok(best)
}

fn finished(command: &mut Command) -> Done {
    process::output(command).map(|_| ())
}

/// A site with the positions of another one many times over, under other tags.
fn multiply(from: &Path, to: &Path) -> Done {
    copy(from, to)?;
    let own = to.join("positions");
    let mut files: Vec<_> = std::fs::read_dir(&own)?.collect::<Result<Vec<_>, _>>()?.into_iter().map(|f| f.path()).collect();
    files.retain(|f| f.extension().is_some_and(|e| e == "toml"));
    files.sort();
    for number in files.len()..POSITIONS {
        let Some(file) = files.get(number % files.len()) else { break };
        let old = file.file_stem().unwrap_or_default().to_string_lossy().into_owned();
        let tag = format!("{old}-{number}");
        let text = std::fs::read_to_string(file)?.replacen(&format!("tag = \"{old}\""), &format!("tag = \"{tag}\""), 1);
        std::fs::write(own.join(format!("{tag}.toml")), text)?;
    }
    Ok(())
}

fn copy(from: &Path, to: &Path) -> Done {
    std::fs::create_dir_all(to)?;
    for entry in std::fs::read_dir(from)? {
        let entry = entry?;
        let target = to.join(entry.file_name());
        if entry.file_type()?.is_dir() {
            copy(&entry.path(), &target)?;
        } else {
            std::fs::copy(entry.path(), target)?;
        }
    }
    Ok(())
}

/// Runs a program and watches the most memory that it ever held, KiB; 0 where the system does not tell.
fn peak_memory(command: &mut Command) -> Result<u64, Failure> {
    let mut child = command.stdout(Stdio::null()).spawn()?;
    let status = format!("/proc/{}/status", child.id());
    let mut peak = 0;
    while child.try_wait()?.is_none() {
        if let Ok(text) = std::fs::read_to_string(&status) {
            let told = text.lines().find_map(|l| l.strip_prefix("VmHWM:")?.trim().strip_suffix(" kB")?.trim().parse().ok());
            peak = peak.max(told.unwrap_or(0));
        }
        std::thread::sleep(Duration::from_millis(20));
    }
    match child.wait()?.code() {
        // Not everything holds: that is no failure of the program.
        Some(0 | 1) => Ok(peak),
        _ => Err(Failure::Work(format!("it did not end well:\n  {}", process::line(command)))),
    }
}
