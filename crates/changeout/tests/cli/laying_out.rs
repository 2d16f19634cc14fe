//! `new`: what it lays out is explained and can be checked, nothing is written over, and no name leads out of the folder.

use crate::site::{DATE, Site, list, run, text};

#[test]
fn a_new_site_passes_check_and_says_what_comes_next() {
    let site = Site::nowhere();
    let wrote = run(["new", site.path(), "--date", DATE]).ends(0);
    for name in ["site.toml", "decisions.toml", "schemas/site.schema.json", "schemas/position.schema.json"] {
        assert!(wrote.out.contains(name) && site.file(name).is_file(), "{name}");
    }
    run(["check", site.path()]).ends(0).says(&["no pack is offered", "packs/"]);
    let text = site.read("site.toml");
    assert!(text.contains(DATE) && text.lines().next().unwrap().starts_with("#:schema schemas/site.schema.json"), "{text}");
    let comments = text.lines().filter(|l| l.starts_with('#')).count();
    assert!(comments * 2 > text.lines().count(), "every key is explained:\n{text}");
    for kind in ["site", "position", "decisions", "pack"] {
        let file: serde_json::Value = serde_json::from_str(&site.read(&format!("schemas/{kind}.schema.json"))).unwrap();
        assert_eq!(file, run(["schema", kind]).ends(0).json());
    }
}

#[test]
fn a_new_position_is_a_survey_to_fill_in() {
    let site = Site::nowhere();
    run(["new", site.path()]).ends(0);
    run(["new", "position", "PU-7", "--site", site.path()]).ends(0).says(&["positions/PU-7.toml"]);
    run(["check", site.path()]).ends(0);
    let file = site.read("positions/PU-7.toml");
    assert!(file.contains("tag = \"PU-7\""));
    let all = run(["explain", "--json"]).ends(0).json();
    for fact in list(&all, "facts") {
        let (table, key) = text(fact, "name").split_once('.').unwrap();
        let section = file.split(&format!("\n[{table}]\n")).nth(1).unwrap_or_else(|| panic!("no [{table}]"));
        assert!(section.split("\n[").next().unwrap().contains(&format!("\n{key} = \"?\"")), "{} stands ready", fact["name"]);
    }
    // What was filled in is read: the line that the survey list names is the line of the file.
    run(["record", site.path(), "PU-7", "motor.current", "52 A"]).ends(0);
    assert!(site.read("positions/PU-7.toml").contains("\ncurrent = \"52 A\""));
    run(["survey", site.path(), "PU-7"]).ends(0).says(&["motor.voltage"]);
    run(["assess", site.path()]).ends(1).says(&["PU-7", "no pack offers a candidate"]);
}

#[test]
fn a_new_pack_tells_what_to_fill_in() {
    let site = Site::nowhere();
    run(["new", site.path()]).ends(0);
    run(["new", "pack", "larkmoor", "--site", site.path()]).ends(0).says(&["packs/larkmoor/pack.toml", "packs/larkmoor/ratings.csv"]);
    let json = run(["check", site.path(), "--json"]).ends(2).json();
    for problem in list(&json, "problems").iter().filter(|p| p["severity"] == "error") {
        assert!(text(problem, "file").starts_with("packs/larkmoor/") && !text(problem, "help").is_empty(), "{problem}");
    }
    let columns = site.read("packs/larkmoor/COLUMNS.md");
    for table in ["classes.csv", "ratings.csv", "frames.csv", "overloads.csv", "derates.csv", "code.csv", "modules.csv"] {
        let header = site.read(&format!("packs/larkmoor/{table}"));
        assert_eq!(header.lines().count(), 1, "{table}: the header alone");
        let explained = columns.split(&format!("\n## {table}")).nth(1).unwrap_or_else(|| panic!("{table} is not explained"));
        for column in header.trim().split(',') {
            assert!(explained.contains(column), "{table}: {column} is not explained");
        }
    }
}

#[test]
fn nothing_is_written_over() {
    let site = Site::demo();
    let files = site.snapshot();
    for arguments in [
        &["new", site.path()][..],
        &["new", "position", "BE-101", "--site", site.path()],
        &["new", "pack", "wendle", "--site", site.path()],
    ] {
        run(arguments).ends(2).says(&["is there already"]);
        assert_eq!(files, site.snapshot(), "{arguments:?}");
    }
    // All or nothing: one file of many that is there already stops the rest.
    site.write("packs/larkmoor/frames.csv", "typed by hand\n");
    let files = site.snapshot();
    run(["new", "pack", "larkmoor", "--site", site.path()]).ends(2).says(&["frames.csv"]);
    assert_eq!(files, site.snapshot());
}

#[test]
fn no_name_leads_out_of_the_folder() {
    let site = Site::demo();
    let files = site.snapshot();
    let parent = site.file("..").read_dir().unwrap().count();
    for name in [
        "../x",
        "..",
        ".",
        "a/b",
        "/tmp/x",
        "a\\b",
        "..\\x",
        "",
        " ",
        "a b",
        "-x",
        ".x",
        "a\nb",
        "a\0b",
        "C:x",
        "~",
        "a*",
        &"x".repeat(300),
    ] {
        if name.contains('\0') {
            continue; // no command line can hold it
        }
        for what in ["position", "pack"] {
            run(["new", what, "--site", site.path(), "--", name]).ends(2);
            assert_eq!(files, site.snapshot(), "new {what} {name:?}");
        }
    }
    assert_eq!(parent, site.file("..").read_dir().unwrap().count());
    run(["new", "position", "../x", "--site", site.path()]).ends(2).says(&["“../x”"]);
}

#[test]
fn positions_and_packs_go_into_sites_only() {
    for what in ["position", "pack"] {
        let site = Site::nowhere();
        run(["new", what, "x-1", "--site", site.path()]).ends(2).says(&[site.path(), "site.toml"]);
        assert!(!site.file("").exists(), "a folder without site.toml was begun");
    }
}

#[test]
fn a_site_can_have_any_name_that_a_folder_can() {
    for name in ["Werk \"Süd\"", "plant 4", "dots.and.more", "#1"] {
        let site = Site::nowhere();
        let folder = site.file(name);
        let folder = folder.to_str().unwrap();
        run(["new", folder]).ends(0);
        run(["check", folder]).ends(0);
        let json = run(["assess", folder, "--json"]).ends(0).json();
        assert_eq!(json["site"], name);
    }
    run(["new"]).ends(2).says(&["new SITE", "new position TAG"]);
    let json = run(["new", Site::nowhere().path(), "--json"]).ends(0).json();
    assert!(list(&json, "written").len() >= 6);
}

#[test]
fn a_site_name_that_would_not_read_back_is_not_written() {
    for name in ["tab\tstop", "ends in a blank ", &"x".repeat(200)] {
        let site = Site::nowhere();
        let folder = site.file(name);
        let folder = folder.to_str().unwrap();
        let made = run(["new", folder]);
        assert!(made.code == 2 || run(["check", folder]).code == 0, "{name:?} was laid out, and check refuses it");
    }
}

#[test]
fn a_date_that_is_none_is_refused_by_every_command() {
    let site = Site::demo();
    let files = site.snapshot();
    let other = site.file("other");
    let mut wrong = Vec::new();
    for date in ["x", "2026-13-01", "2026-02-31", "2026-3-1", "", "2026-03-10\nmore"] {
        for arguments in [
            &["assess", site.path()][..],
            &["survey", site.path(), "BE-101"],
            &["demo", other.to_str().unwrap()],
            &["new", other.to_str().unwrap()],
            &["accept", site.path(), "BD-808", "motor/hot-at-low-speed", "--by", "x", "--reason", "y"],
            &["choose", site.path(), "BD-808", "wendle/F17/heavy", "--by", "x"],
        ] {
            let told = run(arguments.iter().copied().chain(["--date", date]));
            let written = site.snapshot() != files;
            if told.code != 2 || !told.text().contains("date") || written {
                wrong.push(format!(
                    "{} --date {date:?}: code {}{}",
                    arguments[0],
                    told.code,
                    if written { ", and files were written" } else { "" }
                ));
            }
            // Back to how it was.
            if other.exists() {
                std::fs::remove_dir_all(&other).unwrap();
            }
            site.write("decisions.toml", &files[&site.file("decisions.toml")]);
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}
