//! Exit codes (0 all hold, 1 some fail or depend, 2 the input cannot be used) and readers that go away.

use std::process::{Command, Stdio};

use crate::site::{Run, Site, list, run};

/// Positions of the demo that hold.
const HELD: [&str; 2] = ["BE-101", "BH-301"];

#[test]
fn all_hold_is_zero() {
    let site = Site::demo_with(&HELD);
    let json = run(["assess", site.path(), "--json"]).ends(0).json();
    assert!(list(&json, "positions").iter().all(|p| p["verdict"] == "holds"));
    assert_eq!(list(&json, "positions").len(), HELD.len());
    run(["assess", site.path()]).ends(0).says(&["HOLDS"]);
}

#[test]
fn some_that_depend_or_fail_are_one() {
    let site = Site::demo_with(&["BE-101", "BD-808"]);
    run(["assess", site.path()]).ends(1).says(&["HOLDS", "DEPENDS"]);
    run(["assess", site.path(), "--position", "BE-101"]).ends(0);
    run(["assess", site.path(), "--position", "BD-808"]).ends(1);
    // No drive of the packs carries ten times the motor.
    site.edit("positions/BE-101.toml", "\"40 hp\"", "\"1500 hp\"");
    site.edit("positions/BE-101.toml", "\"48.5 A\"", "\"1700 A\"");
    let json = run(["assess", site.path(), "--position", "BE-101", "--json"]).ends(1).json();
    assert_eq!(json["positions"][0]["verdict"], "fails");
    run(["assess", site.path(), "--position", "BE-101"]).ends(1).says(&["FAILS"]);
}

#[test]
fn unusable_input_is_two() {
    let site = Site::demo();
    run(["assess", site.path(), "--position", "BE-10"]).ends(2).says(&["BE-10", "BE-101"]);
    run(["assess"]).ends(2);
    run(["asess", site.path()]).ends(2).says(&["assess"]);
    run(["assess", site.path(), "--candidates", "-1"]).ends(2);
    run(["assess", site.path(), "--candidates", "many"]).ends(2);
    run([] as [&str; 0]).ends(2);
    site.edit("site.toml", "schema = 1", "schema = 0");
    run(["assess", site.path()]).ends(2);
    for help in [&["--help"][..], &["--version"], &["assess", "--help"], &["new", "--help"]] {
        assert!(run(help).ends(0).out.len() > 5);
    }
}

#[cfg(unix)]
#[test]
fn arguments_that_are_no_text_are_refused() {
    use std::ffi::OsStr;
    use std::os::unix::ffi::OsStrExt;
    let odd = OsStr::from_bytes(b"\xff\xfe.toml");
    for command in ["check", "assess", "schema", "explain", "calc"] {
        run([OsStr::new(command), odd]).ends(2);
    }
}

/// Every command that prints, with a site that it can work on.
fn printing(site: &Site, faulty: &Site) -> Vec<Vec<String>> {
    let words = |line: &str| line.split(' ').map(|w| w.replace("SITE", site.path()).replace("FAULTY", faulty.path())).collect();
    [
        "assess SITE",
        "assess SITE --json",
        "assess SITE --working",
        "assess FAULTY",
        "assess FAULTY --json",
        "check SITE",
        "check SITE --json",
        "check FAULTY",
        "check FAULTY --json",
        "schema",
        "schema position",
        "explain",
        "explain --json",
        "explain rating/overload-short",
        "calc",
        "calc --json",
        "calc synchronous-speed poles=4",
        "calc synchronous-speed poles=4 --json",
        "survey SITE BD-808",
        "survey SITE BD-808 --json",
        "record SITE BD-808 stop.need free",
        "record SITE BD-808 stop.need free --json",
        "record SITE BD-808 stop.need fre",
        "accept SITE BD-808 motor/hot-at-low-speed --by x --reason y",
        "choose SITE BD-808 wendle/F17/heavy --by x --json",
        "new position XX-1 --site SITE",
        "new position XX-2 --site SITE --json",
        "demo SITE/demo",
        "demo SITE",
        "--help",
        "no-such-command",
    ]
    .map(words)
    .to_vec()
}

/// Runs all commands with outputs that cannot be written to, and lists those that panic.
fn panics(both: bool, output: impl Fn() -> Stdio) -> Vec<String> {
    let (site, faulty) = (Site::demo(), Site::demo());
    faulty.edit("positions/BE-101.toml", "count = \"1\"", "count = \"1 A\"");
    let mut wrong = Vec::new();
    for arguments in printing(&site, &faulty) {
        let mut command = Command::new(env!("CARGO_BIN_EXE_changeout"));
        command.args(&arguments).env_remove("RUST_BACKTRACE").stdin(Stdio::null()).stdout(output());
        let error = if both { output() } else { Stdio::piped() };
        let finished = command.stderr(error).spawn().unwrap().wait_with_output().unwrap();
        let told = String::from_utf8_lossy(&finished.stderr).into_owned();
        if finished.status.code().is_none_or(|code| code > 2) || told.contains("panicked") {
            let what = told.lines().find(|l| l.contains("failed printing")).unwrap_or("no message").to_owned();
            wrong.push(format!(
                "{}: {}, {what}",
                arguments.join(" ").replace(site.path(), "SITE").replace(faulty.path(), "FAULTY"),
                finished.status
            ));
        }
    }
    wrong
}

/// The writing end of a pipe that nobody reads any more, as behind `| head -1`.
fn closed() -> Stdio {
    let (_, writer) = std::io::pipe().unwrap();
    writer.into()
}

#[test]
fn a_reader_that_went_away_is_no_panic() {
    let wrong = panics(false, closed);
    assert!(wrong.is_empty(), "{wrong:#?}");
    let wrong = panics(true, closed);
    assert!(wrong.is_empty(), "with standard error closed as well: {wrong:#?}");
}

#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_is_no_panic() {
    let full = || std::fs::File::create("/dev/full").unwrap().into();
    let wrong = panics(false, full);
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn head_takes_the_first_line_and_nobody_complains() {
    let site = Site::demo();
    let head = format!("'{}' assess '{}' --json | head -1", env!("CARGO_BIN_EXE_changeout"), site.path());
    let output = Command::new("sh").args(["-c", &head]).output().unwrap();
    let told = Run::of(&output);
    assert_eq!((told.out.as_str(), told.err.as_str()), ("{\n", ""));
}
