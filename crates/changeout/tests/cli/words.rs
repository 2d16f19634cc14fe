//! `words`: mapping, proof and files for the demo's screw feeder, and what it refuses.

use crate::site::{DATE, Site, list, run, text};

#[test]
fn the_feeder_s_four_words_are_mapped_and_proved_for_two_series() {
    let site = Site::demo_with(&["SF-512"]);
    for (candidate, sequence) in [("lathmere", "edge against level"), ("wendle/F01/heavy", "another place")] {
        let answer = run(["words", site.path(), "SF-512", "--candidate", candidate, "--json", "--date", DATE]).ends(0).json();
        let proof = &answer["proof"];
        assert_eq!((proof["mismatches"].as_u64(), proof["words_tested"].as_u64()), (Some(0), Some(6)), "{candidate}: {proof:#}");
        assert!(proof["values_tested"].as_u64().is_some_and(|n| n > 5 * 65_536), "{proof:#}");
        let map = list(&answer, "map");
        let line = |meaning: &str| map.iter().find(|m| text(m, "meaning") == meaning).unwrap_or_else(|| panic!("{meaning}"));
        assert_eq!(line("run")["old"]["bit"].as_u64(), Some(4));
        assert!(text(line("fault-reset"), "note").contains(sequence), "{}", line("fault-reset"));
        let error = &line("speed-setpoint")["max_error"];
        // Hundredths of a hertz: half of one is lost. 16384 for 60 Hz: half of 3.7 mHz.
        let most = if candidate == "lathmere" { 0.005 } else { 60.0 / 16_384.0 / 2.0 };
        assert!(error["value"].as_f64().is_some_and(|v| v > 0.5 * most && v < 1.05 * most), "{candidate}: {error}");
        assert_eq!(text(error, "unit"), "Hz");
        assert_eq!(text(line("speed-setpoint"), "outcome"), "rounded");
        assert!(list(&answer, "files").is_empty(), "nothing is written unasked");
    }
}

#[test]
fn files_are_written_where_asked_and_the_same_each_time() {
    let site = Site::demo_with(&["SF-512"]);
    let folder = site.file("out");
    let arguments = ["words", site.path(), "SF-512", "--candidate", "lathmere", "--out", folder.to_str().unwrap(), "--date", DATE];
    let first = run(arguments).ends(0).says(&["old-to-new.st", "0 came out differently"]);
    let before = site.snapshot();
    run(arguments).ends(0);
    assert_eq!(site.snapshot(), before);
    assert!(first.words().contains("set the new drive's action on loss of communication to ramp-stop after 5 s"));
    let block = site.read("out/old-to-new.st");
    for name in ["FUNCTION_BLOCK OLD_TO_NEW", "PROGRAM TEST_OLD_TO_NEW", "OLD_COMMAND", "NEW_SETPOINT"] {
        assert!(block.contains(name), "{name}");
    }
    assert!(site.read("out/old-to-new.xml").contains("OLD_TO_NEW"));
    assert!(site.read("out/symbols.csv").contains("OLD_COMMAND,input,WORD,four words,command,40017,16"));
    assert!(site.read("out/fault-texts.csv").contains("110,DC link above limit,over-voltage,8,Bus too high"));
    let vectors = site.read("out/test-vectors.csv");
    assert!(
        vectors.lines().count() >= 20 && !vectors.contains("DATA_OUT") && vectors.starts_with("number,before,what,write OLD_COMMAND"),
        "{vectors}"
    );
}

#[test]
fn a_full_scale_that_nobody_read_leaves_no_number_and_says_what_to_read() {
    let site = Site::demo_with(&["SF-512"]);
    for known in ["?", "50..60 Hz"] {
        let was = r#"full_scale = { value = "60 Hz", from = "photo", by = "R. Kestle", on = 2026-03-04 }"#;
        let file = site.read("positions/SF-512.toml");
        site.edit("positions/SF-512.toml", was, &format!("full_scale = \"{known}\""));
        let answer = run(["words", site.path(), "SF-512", "--candidate", "lathmere", "--json"]).ends(1).json();
        assert!(answer["proof"].is_null() && list(&answer, "lines").is_empty());
        assert!(list(&answer, "open")[0].as_str().is_some_and(|t| t.starts_with("network.full_scale")), "{answer:#}");
        site.write("positions/SF-512.toml", file);
    }
}

#[test]
fn what_cannot_be_compared_is_refused_with_what_is_missing() {
    let site = Site::demo_with(&["SF-512", "BE-101"]);
    run(["words", site.path(), "BE-101", "--candidate", "lathmere"]).ends(2).says(&["no [network] table"]);
    run(["words", site.path(), "SF-512", "--candidate", "pellow"]).ends(2).says(&["Pellow has no network layout"]);
    run(["words", site.path(), "SF-512", "--candidate", "nobody"]).ends(2).says(&["no pack “nobody”"]);
    run(["words", site.path(), "SF-999"]).ends(2).says(&["no position “SF-999”"]);
    site.edit("positions/SF-512.toml", "layout = \"four words\"", "layout = \"five words\"");
    run(["words", site.path(), "SF-512"]).ends(2).says(&["no layout “five words”", "“four words”"]);
}

#[test]
fn two_stations_of_one_address_are_told() {
    let site = Site::demo_with(&["SF-512", "BE-101"]);
    site.append("positions/BE-101.toml", "\n[network]\nline = \"batching network\"\nnode = 12\n");
    run(["check", site.path()]).says(&["12 on “batching network” is also the address of BE-101"]);
}

#[test]
fn names_keep_to_the_controller_s_rules_in_every_file() {
    let site = Site::demo_with(&["SF-512"]);
    for (rules, longest) in [("plain", 24), ("shortest", 8)] {
        let folder = site.file(rules);
        let out = folder.to_str().unwrap();
        let arguments = [
            "words",
            site.path(),
            "SF-512",
            "--candidate",
            "lathmere",
            "--out",
            out,
            "--names",
            rules,
            "--reserved",
            "old_fault",
            "--json",
        ];
        let answer = run(arguments).ends(0).json();
        let read = |file: &str| site.read(&format!("{rules}/{file}"));
        let (block, xml, symbols, vectors) = (read("old-to-new.st"), read("old-to-new.xml"), read("symbols.csv"), read("test-vectors.csv"));
        for line in symbols.lines().skip(1) {
            let name = line.split(',').next().unwrap();
            assert!(name.len() <= longest && block.contains(&format!("{name} ")) && xml.contains(&format!("name=\"{name}\"")), "{name}");
            assert!(name != "OLD_FAULT", "{symbols}");
        }
        for head in vectors.lines().next().unwrap().split(',').filter_map(|h| h.split_once(' ')) {
            assert!(head.1.split('/').all(|name| block.contains(&format!("{name} "))), "{head:?}");
        }
        let renamed = list(&answer, "renamed");
        assert!(
            renamed.iter().any(|r| text(r, "old") == "OLD_FAULT" && (longest < 9 || text(r, "why").contains("reserved"))),
            "{renamed:#?}"
        );
        // Only what somebody reserved has to make way for the usual rules.
        assert_eq!(renamed.iter().all(|r| text(r, "old") == "OLD_FAULT"), rules == "plain", "{renamed:#?}");
        assert_eq!(list(&answer, "arbitration").len(), 5);
    }
}
