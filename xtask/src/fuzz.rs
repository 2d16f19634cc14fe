//! `cargo xtask fuzz [TARGET] [--seconds N]`: feeds the readers with broken files. libFuzzer steers by the branches that
//! a file reaches; the flags below have the compiler count them. It starts from the files of the demo.

use std::collections::BTreeSet;
use std::path::Path;
use std::process::Command;
use std::time::Instant;

use plant::survey::{FACTS, Kind};

use crate::test::Tally;
use crate::tree::{Tree, root, target};
use crate::{Done, Failure, process};

/// Counters at every edge, comparisons traced, as libFuzzer reads them.
const FLAGS: &str = "-Cpasses=sancov-module -Cllvm-args=-sanitizer-coverage-level=4 -Cllvm-args=-sanitizer-coverage-inline-8bit-counters \
                     -Cllvm-args=-sanitizer-coverage-pc-table -Cllvm-args=-sanitizer-coverage-trace-compares \
                     -Cllvm-args=-simplifycfg-branch-fold-threshold=0 -Ccodegen-units=1 --cfg fuzzing";
/// Longest run of a target when nothing is said.
const SECONDS: u32 = 60;
/// A single input that takes longer than this is a fault, in seconds.
const SLOWEST: u32 = 10;
/// Largest input: enough for every file of the demo; a limit keeps the runs quick.
const LARGEST: u32 = 1 << 15;

/// Runs the command.
///
/// # Errors
/// A usage failure, a missing compiler, or a file that a reader does not survive.
pub(crate) fn run(arguments: &[String]) -> Done {
    let (only, seconds) = read(arguments)?;
    let targets = targets(&root())?;
    let chosen: Vec<&String> = targets.iter().filter(|t| only.as_ref().is_none_or(|o| o == *t)).collect();
    if chosen.is_empty() {
        return Err(Failure::Usage(format!("there is no target “{}”; there are {}", only.unwrap_or_default(), targets.join(", "))));
    }
    if !has_compiler() {
        return Err(Failure::Work("libFuzzer is C++ and there is no C++ compiler; Debian's package g++ brings one".into()));
    }
    build(&chosen)?;
    // What is found to be new stays in fuzz/corpus, for the next run to start from.
    chosen.into_iter().try_for_each(|name| feed(name, &root().join("fuzz/corpus").join(name), &[format!("-max_total_time={seconds}")]))
}

/// Every target for a number of files, each time the same ones. Without a C++ compiler they count as skipped.
///
/// # Errors
/// A file that a reader does not survive.
pub(crate) fn smoke(files: u32) -> Result<Tally, Failure> {
    let targets = targets(&root())?;
    if !has_compiler() {
        println!("skipped: libFuzzer is C++ and there is no C++ compiler; Debian's package g++ brings one");
        return Ok(Tally { skipped: targets.len(), ..Tally::default() });
    }
    build(&targets.iter().collect::<Vec<_>>())?;
    for name in &targets {
        let corpus = target().join("fuzz/smoke").join(name);
        if corpus.exists() {
            std::fs::remove_dir_all(&corpus)?;
        }
        feed(name, &corpus, &[format!("-runs={files}"), "-seed=1".into()])?;
    }
    Ok(Tally { passed: targets.len(), ..Tally::default() })
}

fn read(arguments: &[String]) -> Result<(Option<String>, u32), Failure> {
    let (mut only, mut seconds) = (None, SECONDS);
    let mut rest = arguments.iter();
    while let Some(argument) = rest.next() {
        match argument.as_str() {
            "--seconds" => {
                let number = rest.next().and_then(|n| n.parse().ok()).filter(|n| *n > 0);
                seconds = number.ok_or_else(|| Failure::Usage("--seconds needs a whole number above zero".into()))?;
            }
            option if option.starts_with('-') => return Err(Failure::Usage(format!("there is no option “{option}”"))),
            target if only.is_none() => only = Some(target.to_owned()),
            extra => return Err(Failure::Usage(format!("“{extra}” is one argument too many"))),
        }
    }
    Ok((only, seconds))
}

/// The targets: one file each.
fn targets(root: &Path) -> Result<Vec<String>, Failure> {
    let mut names = Vec::new();
    for entry in std::fs::read_dir(root.join("fuzz/fuzz_targets"))? {
        let name = entry?.file_name().to_string_lossy().into_owned();
        names.extend(name.strip_suffix(".rs").map(str::to_owned));
    }
    names.sort();
    Ok(names)
}

fn has_compiler() -> bool {
    let named = std::env::var("CXX").is_ok_and(|c| process::answers(c, "--version"));
    named || process::answers("c++", "--version") || process::apt_install("g++") && process::answers("c++", "--version")
}

/// The platform of this compiler; naming it keeps the flags away from build scripts.
fn host() -> Result<String, Failure> {
    let about = process::output(Command::new("rustc").arg("-vV"))?;
    let host = about.lines().find_map(|l| l.strip_prefix("host: "));
    host.map(str::to_owned).ok_or_else(|| Failure::Work("rustc -vV names no host".into()))
}

fn build(names: &[&String]) -> Done {
    let mut cargo = process::cargo(&root(), ["build", "--manifest-path", "fuzz/Cargo.toml", "--release", "--target", &host()?]);
    cargo.args(names.iter().flat_map(|name| ["--bin", name.as_str()]));
    process::run(cargo.env("RUSTFLAGS", FLAGS).env("CARGO_TARGET_DIR", target().join("fuzz")))
}

/// Feeds one target, from its corpus and the files of the demo.
fn feed(name: &str, corpus: &Path, options: &[String]) -> Done {
    let (root, own) = (root(), target().join("fuzz"));
    let (seeds, artifacts) = (own.join("seeds").join(name), root.join("fuzz/artifacts").join(name));
    for folder in [corpus, &seeds, &artifacts] {
        std::fs::create_dir_all(folder)?;
    }
    for (i, seed) in self::seeds(&Tree::read(&root)?, name).iter().enumerate() {
        std::fs::write(seeds.join(format!("seed-{i}")), seed)?;
    }
    let words = own.join("words.dict");
    std::fs::write(&words, dictionary())?;
    let mut command = Command::new(own.join(host()?).join("release").join(name));
    command.current_dir(&root).args([corpus, &seeds]).args(options).arg(format!("-dict={}", words.display()));
    command.arg(format!("-artifact_prefix={}/", artifacts.display()));
    command.args([format!("-timeout={SLOWEST}"), format!("-max_len={LARGEST}")]).args([
        "-verbosity=0",
        "-print_final_stats=1",
        "-rss_limit_mb=2048",
    ]);
    let start = Instant::now();
    let output = command.output()?;
    let said = String::from_utf8_lossy(&output.stderr);
    if output.status.success() {
        let files = said.lines().find_map(|l| l.strip_prefix("stat::number_of_executed_units:")).map_or("?", str::trim);
        println!("{name}: {files} files in {:.0} s", start.elapsed().as_secs_f64());
        return Ok(());
    }
    let telling = said.lines().filter(|l| !l.contains("# Uses:") && !l.contains("NEW_FUNC"));
    let telling = telling.collect::<Vec<_>>().join("\n");
    Err(Failure::Work(format!("{telling}\n{name} does not survive this file; it is kept in {}", artifacts.display())))
}

/// Files of the demo that a target starts from.
fn seeds(tree: &Tree, target: &str) -> Vec<String> {
    const DEMO: &str = "crates/changeout/demo/";
    let demo = |part: &'static str| tree.files.iter().filter(move |f| f.path.strip_prefix(DEMO).is_some_and(|p| p.starts_with(part)));
    let texts = |part: &'static str| demo(part).map(|f| f.text.clone()).collect();
    match target {
        "site" => texts("site.toml"),
        "position" => texts("positions/"),
        "decisions" => texts("decisions.toml"),
        "edit" => [texts("positions/"), texts("decisions.toml")].concat(),
        "current_log" => texts("evidence/"),
        "pack" => {
            let folders: BTreeSet<&str> = demo("packs/").filter_map(|f| f.path.rsplit_once('/').map(|(folder, _)| folder)).collect();
            let whole = |folder: &&str| {
                let files = demo("packs/").filter(|f| f.path.rsplit_once('/').is_some_and(|(own, _)| own == *folder));
                // Tables of the demo are long; their first rows show every column.
                let short = |text: &str| text.lines().take(if text.starts_with("schema") { 200 } else { 8 }).collect::<Vec<_>>().join("\n");
                files.map(|f| format!("=== {}\n{}\n", f.name(), short(&f.text))).collect::<String>()
            };
            folders.iter().map(whole).collect()
        }
        "sheet" => demo("packs/").filter(|f| f.name() == "ratings.csv").map(|f| rows(&f.text)).collect(),
        "quantity" => ["52 A", "1,5 kW", "4/0 AWG", "-40 °F", "1e3 lb·ft²"].map(str::to_owned).into(),
        "fact" => ["20..60 m", "24 V | 120 V", "?", "solid | ungrounded", "150 %"].map(str::to_owned).into(),
        // A read and a write of two registers; both are texts, as every seed is.
        "modbus" => ["\0\u{1}\0\0\0\u{6}\u{1}\u{3}\0\0\0\u{2}", "\0\u{2}\0\0\0\u{b}\u{1}\u{10}\0\0\0\u{2}\u{4}\0\u{7}\0\u{8}"]
            .map(str::to_owned)
            .into(),
        _ => Vec::new(),
    }
}

/// The first lines of a table as the rows of a sheet.
fn rows(table: &str) -> String {
    let row = |(i, line): (usize, &str)| {
        let cell = |(c, text): (usize, &str)| match text.parse::<f64>() {
            Ok(number) => format!("<c r=\"{}{i}\"><v>{number}</v></c>", letter(c)),
            Err(_) => format!("<c r=\"{}{i}\" t=\"inlineStr\"><is><t>{text}</t></is></c>", letter(c)),
        };
        format!("<row r=\"{i}\">{}</row>", line.split(',').enumerate().map(cell).collect::<String>())
    };
    (1..).zip(table.lines().filter(|l| !l.starts_with('#')).take(6)).map(row).collect()
}

/// Column of a narrow sheet: "A" to "Z".
fn letter(column: usize) -> char {
    u8::try_from(column).map_or('Z', |c| char::from(b'A' + c.min(25)))
}

/// Every key and word of the survey, so that libFuzzer need not find them letter by letter.
fn dictionary() -> String {
    let mut words: BTreeSet<&str> = BTreeSet::from(["schema = 1", "[[duty]]", "..", " | ", "value = ", "from = ", "=== ", "\\x0a"]);
    for fact in FACTS {
        words.extend([fact.table(), fact.key()]);
        match fact.kind {
            Kind::Choice(info) => words.extend(info.words.iter().map(|w| w.word)),
            Kind::Quantity(info) => words.extend(info.units.iter().map(|u| u.symbol).filter(|s| !s.is_empty())),
        }
    }
    // libFuzzer reads bytes beyond ASCII as \xHH.
    let escaped =
        |word: &str| word.bytes().map(|b| if b.is_ascii() { char::from(b).to_string() } else { format!("\\x{b:02x}") }).collect::<String>();
    words.iter().map(|w| format!("\"{}\"\n", escaped(&w.replace('"', "\\\"")))).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn arguments_are_read_in_any_order() {
        let words = |text: &str| text.split_whitespace().map(str::to_owned).collect::<Vec<_>>();
        assert_eq!(read(&words("site --seconds 5")).unwrap(), (Some("site".into()), 5));
        assert_eq!(read(&words("--seconds 7")).unwrap(), (None, 7));
        for bad in ["--seconds", "--seconds x", "--seconds 0", "--fast", "site fact"] {
            assert!(matches!(read(&words(bad)), Err(Failure::Usage(_))), "{bad}");
        }
    }

    #[test]
    fn every_target_is_declared_and_starts_from_something() {
        let tree = Tree::read(&root()).unwrap();
        for target in targets(&root()).unwrap() {
            assert!(tree.text("fuzz/Cargo.toml").contains(&format!("path = \"fuzz_targets/{target}.rs\"")), "{target}");
            // A workbook is no text; the target for its rows has seeds.
            assert!(target == "workbook" || !seeds(&tree, &target).is_empty(), "{target} has no seeds");
        }
    }

    #[test]
    fn the_dictionary_is_in_the_form_that_is_read() {
        let words = dictionary();
        assert!(words.contains("\"motor\"\n") && words.contains("\"\\xc2\\xb0C\"\n") && words.is_ascii());
    }
}
