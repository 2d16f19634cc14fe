//! `check`: mistakes that people make, seeded into the demo's files, all told at once with file, line, caret and help.

use std::collections::BTreeSet;

use serde_json::Value;

use crate::site::{Site, list, run, text};

/// A mistake: the file, what is replaced by what, and what the report must say.
struct Mistake {
    file: &'static str,
    old: &'static str,
    new: &'static str,
    message: &'static str,
    help: &'static str,
}

const MISTAKES: &[Mistake] = &[
    Mistake { file: "site.toml", old: "\"0.8 %\"", new: "\"0.8 V\"", message: "unbalance", help: "%" },
    Mistake { file: "site.toml", old: "electrician = 96.0", new: "electrician = -96.0", message: "electrician", help: "" },
    Mistake {
        file: "site.toml", old: "\"lathmere\"", new: "\"lathmer\"", message: "no pack “lathmer”", help: "did you mean “lathmere”"
    },
    Mistake { file: "positions/BE-101.toml", old: "efficiency = ", new: "eficiency = ", message: "eficiency", help: "“efficiency”" },
    Mistake { file: "positions/BE-101.toml", old: "\"0.82\"", new: "\"82 V\"", message: "voltage", help: "pu" },
    Mistake {
        file: "positions/BE-101.toml",
        old: "\"10..20 s\"",
        new: "\"20..10 s\"",
        message: "starts above its end",
        help: "lower value",
    },
    Mistake {
        file: "positions/BE-101.toml", old: "box = \"elev", new: "box = \"elew", message: "elewator", help: "“elevator head panel”"
    },
    Mistake { file: "positions/BD-808.toml", old: "\"75 hp\"", new: "75", message: "power", help: "" },
    Mistake { file: "positions/BD-808.toml", old: "GL-099H", new: "GX-099H", message: "“GX”", help: "plate" },
    Mistake {
        file: "decisions.toml",
        old: "schema = 1",
        new: "schema = 1\n[[chosen]]\ntag = \"BE-10\"\ncandidate = \"wendle/F12/heavy\"\nby = \"x\"\non = 2026-03-01",
        message: "BE-10",
        help: "“BE-101”",
    },
    Mistake { file: "packs/wendle/pack.toml", old: "combine = \"", new: "combine = \"multiply and ", message: "combine", help: "" },
];

/// Line (from 1) of the only place of a text.
fn line_of(text: &str, piece: &str) -> u64 {
    1 + text[..text.find(piece).unwrap_or_else(|| panic!("{piece} is not there"))].matches('\n').count() as u64
}

fn at<'p>(problems: &'p [Value], file: &str, message: &str) -> &'p Value {
    let found = problems.iter().find(|p| text(p, "file") == file && text(p, "message").contains(message));
    found.unwrap_or_else(|| panic!("{file}: “{message}” was not told; told were {problems:#?}"))
}

#[test]
fn the_demo_has_nothing_wrong() {
    let site = Site::demo();
    run(["check", site.path()]).ends(0).says(&["files: nothing wrong"]);
    let json = run(["check", site.path(), "--json"]).ends(0).json();
    assert_eq!(list(&json, "problems"), &[] as &[Value]);
    assert!(json["files"].as_u64().is_some_and(|n| n > 60), "{json}");
    for part in
        ["site.toml", "decisions.toml", "positions/BE-101.toml", "packs/wendle", "packs/wendle/pack.toml", "packs/wendle/ratings.csv"]
    {
        run(["check", site.file(part).to_str().unwrap()]).ends(0).says(&["nothing wrong"]);
    }
}

#[test]
fn all_mistakes_of_all_files_are_told_at_once() {
    let site = Site::demo();
    for m in MISTAKES {
        site.edit(m.file, m.old, m.new);
    }
    site.edit("packs/pellow/ratings.csv", site.read("packs/pellow/ratings.csv").lines().next().unwrap(), "frame,code,rotten");
    let json = run(["check", site.path(), "--json"]).ends(2).json();
    let problems = list(&json, "problems");
    for p in problems {
        for key in ["severity", "file", "message", "help"] {
            assert!(p[key].is_string(), "{key} of {p}");
        }
        assert!(p["line"].is_u64() && p["column"].is_u64() && (p["cell"].is_null() || p["cell"].is_string()), "{p}");
        assert!(["error", "warning"].contains(&text(p, "severity")), "{p}");
    }
    let printed = run(["check", site.path()]).ends(2);
    assert!(printed.out.is_empty(), "mistakes go to standard error: {}", printed.out);
    for m in MISTAKES {
        let problem = at(problems, m.file, m.message);
        assert_eq!(text(problem, "severity"), "error", "{problem}");
        assert!(text(problem, "help").contains(m.help), "{problem} lacks {}", m.help);
        let line = problem["line"].as_u64().unwrap();
        // Two decisions stand on several lines; the first of them is told.
        let written = line_of(&site.read(m.file), m.new) + m.new.lines().count() as u64;
        assert!((written - m.new.lines().count() as u64..written).contains(&line), "{problem} stands on line {written}");
        let place = format!("[{}:{line}:", m.file);
        let shown = printed.err.split(&place).nth(1).unwrap_or_else(|| panic!("{place} is not in\n{}", printed.err));
        assert!(shown.contains("╰── here"), "the caret of {problem}");
    }
    at(problems, "packs/pellow/ratings.csv", "rotten");
    let errors = problems.iter().filter(|p| p["severity"] == "error").count();
    assert!(printed.err.contains(&format!("{errors} errors")), "{}", printed.err.lines().last().unwrap_or_default());
    let files: BTreeSet<&str> = problems.iter().map(|p| text(p, "file")).collect();
    assert!(files.len() >= 6, "{files:?}");
    // Every other command refuses to work from such files, and says why in the same way.
    for command in [&["assess", site.path()][..], &["survey", site.path(), "BE-101"]] {
        let refused = run(command).ends(2);
        assert!(refused.out.is_empty() && refused.err.contains("“efficiency”"), "{command:?}: {}", refused.text());
        let json = run(command.iter().chain(&["--json"])).ends(2).json();
        assert_eq!(list(&json, "problems").len(), problems.len());
    }
}

#[test]
fn one_wrong_word_of_the_site_is_one_problem() {
    let site = Site::demo();
    site.edit("site.toml", "units = \"us\"", "units = \"imperial\"");
    let json = run(["check", site.path(), "--json"]).ends(2).json();
    let told: Vec<&str> = list(&json, "problems").iter().map(|p| text(p, "message")).collect();
    assert!(told[0].contains("imperial"), "{told:#?}");
    assert_eq!(told.len(), 1, "the rest follows from it and is not true: {told:#?}");
}

#[test]
fn the_caret_stands_under_the_mistake() {
    let site = Site::demo();
    site.edit("positions/BE-101.toml", "speed = \"1775 rpm\"", "speed = \"1775 rmp\"");
    let told = run(["check", site.path()]).ends(2).err;
    let lines: Vec<&str> = told.lines().collect();
    let row = lines.iter().position(|l| l.contains("speed = \"1775 rmp\"")).expect("the line itself");
    let column = |line: &str, piece: &str| line[..line.find(piece).unwrap()].chars().count();
    let mark = lines[row + 1];
    let (first, last) = (column(mark, "─"), mark.trim_end().chars().count());
    let (value, end) = (column(lines[row], "\"1775"), column(lines[row], "rmp\"") + 4);
    assert!((value..end).contains(&first) && last <= end, "the mark {first}..{last} is not below {value}..{end}\n{told}");
    assert!(told.contains("rmp") && told.contains("rpm"), "{told}");
}

#[test]
fn warnings_alone_do_not_stop_the_work() {
    let site = Site::demo();
    site.edit("positions/BE-101.toml", "series = \"ossick\"", "series = \"osick\"");
    run(["check", site.path()]).ends(0).says(&["“osick”", "did you mean “ossick”", "0 errors, 1 warning"]);
    let run = run(["assess", site.path(), "--position", "BE-101"]);
    assert!(run.code < 2 && run.err.contains("“osick”"), "{}", run.err);
}

#[test]
fn a_newer_file_is_refused_with_one_clear_problem() {
    let site = Site::demo();
    for (file, old) in [("positions/BD-808.toml", "schema = 1"), ("site.toml", "schema = 1"), ("decisions.toml", "schema = 1")] {
        site.edit(file, old, "schema = 2\ncolour = \"blue\"");
        let json = run(["check", site.path(), "--json"]).ends(2).json();
        let own: Vec<&Value> = list(&json, "problems").iter().filter(|p| text(p, "file") == file).collect();
        assert_eq!(own.len(), 1, "{own:#?}");
        assert!(text(own[0], "message").contains("newer") && text(own[0], "message").contains('2'), "{}", own[0]);
        assert_eq!(own[0]["line"], 2);
        assert!(!text(own[0], "message").contains('\n'));
        run(["assess", site.path()]).ends(2).says(&["newer"]);
        site.edit(file, "schema = 2\ncolour = \"blue\"", old);
    }
    site.edit("positions/BD-808.toml", "schema = 1", "schema = 99999999999");
    run(["check", site.path()]).ends(2).says(&["newer", "99999999999"]);
}

#[test]
fn single_files_and_several_paths_are_checked() {
    let site = Site::demo();
    site.edit("positions/BE-101.toml", "count = \"1\"", "count = \"1 A\"");
    site.edit("packs/wendle/pack.toml", "combine = \"", "combine = \"x");
    let path = |name: &str| site.file(name).to_str().unwrap().to_owned();
    run(["check", &path("positions/BE-101.toml")]).ends(2).says(&["BE-101.toml:", "count"]);
    run(["check", &path("positions/BE-101.toml"), &path("packs/wendle")]).ends(2).says(&["count", "combine", "2 errors"]);
    run(["check", &path("positions/AF-204.toml"), &path("site.toml")]).ends(0).says(&["2 files"]);
}

#[test]
fn mistakes_of_two_sites_are_shown_each_in_its_own_text() {
    let (first, second) = (Site::demo(), Site::demo());
    first.edit("positions/BE-101.toml", "count = \"1\"", "count = \"1 A\"");
    second.edit("positions/BE-101.toml", "tag = ", "# The motor was changed in 2019.\n# Nobody told us.\ntag = ");
    second.edit("positions/BE-101.toml", "kind = \"induction\"", "kind = \"inducton\"");
    let told = run(["check", first.path(), second.path()]).ends(2).err;
    let shown = told.split("“inducton” is no").nth(1).expect("the mistake of the second site");
    assert!(shown.contains("kind = \"inducton\""), "the text of another site is shown\n{shown}");
    let json = run(["check", first.path(), second.path(), "--json"]).ends(2).json();
    let files: BTreeSet<&str> = list(&json, "problems").iter().map(|p| text(p, "file")).collect();
    assert_eq!(files.len(), 2, "two files of two sites cannot be told apart: {files:?}");
}

#[test]
fn mistakes_found_before_a_path_that_is_not_there_are_still_told() {
    let site = Site::demo();
    site.edit("positions/BE-101.toml", "count = \"1\"", "count = \"1 A\"");
    run(["check", site.path(), "/nowhere/site.toml"]).ends(2).says(&["/nowhere/site.toml", "count: “A”"]);
}

#[test]
fn an_empty_folder_is_called_neither_site_nor_pack() {
    let site = Site::nowhere();
    std::fs::create_dir(site.path()).unwrap();
    run(["check", site.path()]).ends(2).says(&[site.path(), "site.toml"]);
}
