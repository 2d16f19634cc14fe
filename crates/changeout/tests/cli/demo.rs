//! `demo`, the text of `assess`, and the same bytes from the same folder and date.

use std::fs;

use crate::site::{DATE, Site, TAGS, assessed, list, run, run_with, text};

/// The blocks of the printed answer, one per position: from the line of its tag to the next rule.
fn block<'t>(answer: &'t str, tag: &str) -> &'t str {
    let begin = answer.find(&format!("\n{tag}  ")).unwrap_or_else(|| panic!("no block of {tag} in\n{answer}"));
    let rest = &answer[begin + 1..];
    &rest[..rest.find("\n────").unwrap_or(rest.len())]
}

#[test]
fn demo_writes_a_site_and_answers_every_position() {
    let site = Site::nowhere();
    let answer = run(["demo", site.path(), "--date", DATE]).ends(0);
    assert!(answer.err.contains(site.path()) && answer.err.contains("changeout assess"), "says where it wrote: {}", answer.err);
    run(["check", site.path()]).ends(0).says(&["nothing wrong"]);
    let json = assessed(&site, &[]);
    let positions = list(&json, "positions");
    assert_eq!(positions.iter().map(|p| text(p, "tag")).collect::<Vec<_>>(), TAGS);
    for position in positions {
        let tag = text(position, "tag");
        let block = block(&answer.out, tag);
        let first = &list(position, "candidates")[0];
        let verdicts = ["HOLDS: ", "HOLDS BUT FOR WHAT STAYS OPEN: ", "DEPENDS: ", "FAILS: "];
        let verdict = block.lines().find(|l| verdicts.iter().any(|v| l.trim_start().starts_with(v)));
        let verdict = verdict.unwrap_or_else(|| panic!("no verdict in\n{block}"));
        let candidate = format!("{} {}, {} duty", text(first, "series"), text(first, "code"), text(first, "duty"));
        assert!(verdict.ends_with(&candidate), "{verdict} against {candidate}");
        assert!(verdict.to_lowercase().contains(text(first, "verdict")), "{verdict}");
        assert!(block.contains("\n  installed ") && block.contains(" USD"), "the installed cost\n{block}");
        assert!(block.contains("\n  findings\n") && block.contains(" %  ") && block.contains("tightest"), "margins\n{block}");
        assert!(block.contains("\n  beside it\n"), "runners-up\n{block}");
        let next = list(position, "measure_next");
        assert_eq!(next.is_empty(), !block.contains("\n  measure next\n"), "{tag}");
        for reading in next.iter().take(3) {
            assert!(block.contains(text(reading, "label").split(' ').next().unwrap()), "{reading}\n{block}");
        }
        for fact in list(first, "findings").iter().filter(|f| f["accepted"].is_null()).flat_map(|f| list(f, "depends_on")) {
            assert!(block.contains(fact.as_str().unwrap()), "{tag} depends on {fact}\n{block}");
        }
    }
    // The eight positions differ: settled and unsettled ones, with and without readings to take.
    let count = |verdict: &str| positions.iter().filter(|p| text(p, "verdict") == verdict).count();
    assert!(count("holds") >= 2 && count("depends") >= 2, "{} hold, {} depend", count("holds"), count("depends"));
}

#[test]
fn demo_runs_twice_into_the_same_folder() {
    let site = Site::nowhere();
    let first = run(["demo", site.path(), "--date", DATE]).ends(0);
    let files = site.snapshot();
    let second = run(["demo", site.path(), "--date", DATE]).ends(0);
    assert_eq!(first.out, second.out);
    assert_eq!(files, site.snapshot());
}

#[test]
fn demo_never_writes_into_a_folder_of_somebody_else() {
    let site = Site::nowhere();
    site.write("letters/to-my-aunt.txt", "Dear aunt,\n");
    let files = site.snapshot();
    run(["demo", site.path()]).ends(2).says(&[site.path(), "is no demo"]);
    assert_eq!(files, site.snapshot());

    // A site that people work on is no demo either.
    let site = Site::nowhere();
    run(["new", site.path()]).ends(0);
    let files = site.snapshot();
    run(["demo", site.path()]).ends(2);
    assert_eq!(files, site.snapshot());

    // Nor is a file.
    let site = Site::nowhere();
    site.write("note.txt", "x");
    let note = site.file("note.txt");
    run(["demo", note.to_str().unwrap()]).ends(2).says(&["note.txt"]);
    assert_eq!(site.read("note.txt"), "x");
}

#[test]
fn demo_goes_into_an_empty_folder_and_speaks_json() {
    let site = Site::nowhere();
    fs::create_dir(site.path()).unwrap();
    let json = run(["demo", site.path(), "--json", "--date", DATE]).ends(0).json();
    assert_eq!(list(&json, "positions").len(), TAGS.len());
    assert_eq!(json, assessed(&site, &[]), "the same as a later assessment of the folder");
}

/// Our own output, kept to see what a change does to it; no published figures. `UPDATE_GOLDEN=1` writes it anew.
#[test]
fn the_answer_reads_as_it_was_approved() {
    let golden = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/golden/assess.txt");
    let site = Site::demo();
    let answer = run(["assess", site.path(), "--date", DATE]).ends(1).out;
    if std::env::var_os("UPDATE_GOLDEN").is_some() {
        fs::write(golden, &answer).unwrap();
    }
    let approved = fs::read_to_string(golden).expect("tests/golden/assess.txt; UPDATE_GOLDEN=1 writes it");
    if let Some((line, (old, new))) =
        approved.lines().chain(std::iter::repeat("")).zip(answer.lines()).enumerate().find(|(_, (old, new))| old != new)
    {
        panic!("line {} was\n{old}\nand is\n{new}\nlook at the difference; UPDATE_GOLDEN=1 takes it over", line + 1);
    }
    assert_eq!(approved.lines().count(), answer.lines().count(), "the end is missing");
}

#[test]
fn the_same_folder_and_date_give_the_same_bytes() {
    let (site, other) = (Site::demo(), Site::demo());
    for more in [&[][..], &["--json"], &["--working", "--candidates", "9"]] {
        let arguments = |site| ["assess", site, "--date", DATE].into_iter().chain(more.iter().copied());
        let first = run(arguments(site.path())).ends(1).out;
        for threads in ["1", "2", "7"] {
            let again = run_with(arguments(site.path()), &[("RAYON_NUM_THREADS", threads)]).ends(1).out;
            assert!(first == again, "{more:?} with {threads} threads differs from the first run");
        }
        // Neither the folder's place nor the language and width of the terminal get into the papers.
        let elsewhere = [("COLUMNS", "60"), ("LANG", "de_DE.UTF-8"), ("TZ", "Asia/Tokyo")];
        assert!(first == run_with(arguments(other.path()), &elsewhere).ends(1).out, "{more:?} differs elsewhere");
    }
}

#[test]
fn every_line_fits_a_sheet_of_paper() {
    let site = Site::demo();
    for line in run(["assess", site.path(), "--date", DATE]).ends(1).out.lines() {
        assert!(line.chars().count() <= 114, "{} characters: {line}", line.chars().count());
        assert_eq!(line.trim_end(), line, "blanks at the end");
    }
}

#[test]
fn a_second_demo_keeps_what_the_user_changed() {
    let site = Site::demo();
    let changed = site.read("positions/BE-101.toml").replace("Bucket elevator", "My own elevator");
    site.write("positions/BE-101.toml", &changed);
    site.remove("positions/PP-410.toml");
    let told = run(["demo", site.path()]);
    if told.code == 2 {
        // A folder that was copied, not written by the command, is no demo to it.
        site.write("INVENTED.txt", "x");
        run(["demo", site.path()]).ends(0).says(&["kept", "BE-101.toml", "My own elevator"]);
    } else {
        told.ends(0).says(&["kept", "BE-101.toml", "My own elevator"]);
    }
    assert_eq!(site.read("positions/BE-101.toml"), changed);
    assert!(site.read("positions/PP-410.toml").contains("PP-410"), "what was missing is written again");
}
