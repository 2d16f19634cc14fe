//! `record`, `accept`, `choose`: one thing is written, every other line stays, wrong things are refused, the outcome follows.

use serde_json::Value;

use crate::site::{DATE, Site, assessed, list, run, text};

/// Lines of `new` that are not in `old` at their place, and the other way round, as long as the rest is the same.
fn changed(old: &str, new: &str) -> (Vec<String>, Vec<String>) {
    let (old, new): (Vec<&str>, Vec<&str>) = (old.split('\n').collect(), new.split('\n').collect());
    let same = |(a, b): &(&&str, &&str)| a == b;
    let head = old.iter().zip(&new).take_while(same).count();
    let rest = old.len().min(new.len()) - head;
    let tail = old.iter().rev().zip(new.iter().rev()).take_while(same).count().min(rest);
    let middle = |lines: &[&str]| lines[head..lines.len() - tail].iter().map(|l| (*l).to_owned()).collect();
    (middle(&old), middle(&new))
}

fn first<'v>(json: &'v Value, tag: &str) -> (&'v Value, &'v Value) {
    let position = list(json, "positions").iter().find(|p| p["tag"] == tag).unwrap();
    (position, &list(position, "candidates")[0])
}

fn finding<'v>(candidate: &'v Value, name: &str) -> &'v Value {
    list(candidate, "findings").iter().find(|f| f["name"] == name).unwrap_or_else(|| panic!("no {name}"))
}

#[test]
fn record_changes_the_one_line_it_is_about() {
    for (fact, value, more, old_line, new_line) in [
        // Short form stays short, its neighbours and its remark stay.
        ("speed.lowest", "20 Hz", &[][..], Some("lowest = \"60 Hz\" # asked twice"), "lowest = \"20 Hz\" # asked twice"),
        // A new origin makes it long.
        (
            "motor.current",
            "47..49 A",
            &["--from", "measured", "--by", "R. K.", "--on", "2026-03-09", "--proof", "evidence/a.jpg"],
            Some("current = \"48.5 A\""),
            "current = { value = \"47..49 A\", from = \"measured\", by = \"R. K.\", on = 2026-03-09, proof = \"evidence/a.jpg\" }",
        ),
        // An old origin goes with the old value.
        (
            "motor.power",
            "30 kW | 37 kW",
            &[],
            Some("power = { value = \"40 hp\", from = \"nameplate\", by = \"R. Kestle\", on = 2026-03-02 }"),
            "power = { value = \"30 kW | 37 kW\" }",
        ),
        ("motor.winding", "?", &[], Some("winding = \"original\""), "winding = \"?\""),
        ("load.inertia", "1.2 kg·m²", &[], None, "inertia = \"1.2 kg·m²\""),
        ("supply.voltage", "475..485 V", &[], None, "voltage = \"475..485 V\""),
    ] {
        let site = Site::demo();
        let name = "positions/BE-101.toml";
        site.edit(name, "lowest = \"60 Hz\"", "lowest = \"60 Hz\" # asked twice");
        let others = site.snapshot();
        let old = site.read(name);
        let call = ["record", site.path(), "BE-101", fact, value];
        run(call.iter().copied().chain(more.iter().copied())).ends(0).says(&[name]);
        let (gone, came) = changed(&old, &site.read(name));
        let came: Vec<&str> = came.iter().map(String::as_str).filter(|l| !l.is_empty() && !l.starts_with('[')).collect();
        assert_eq!(gone.iter().map(String::as_str).collect::<Vec<_>>(), old_line.into_iter().collect::<Vec<_>>(), "{fact}: what went");
        assert_eq!(came, [new_line], "{fact}: what came");
        let mut after = site.snapshot();
        after.insert(site.file(name), old.into_bytes());
        assert_eq!(others, after, "{fact}: another file changed");
        run(["check", site.path()]).ends(0);
        // Written again, nothing changes.
        let once = site.read(name);
        run(call.iter().copied().chain(more.iter().copied())).ends(0);
        assert_eq!(once, site.read(name));
    }
}

#[test]
fn record_keeps_line_ends_and_the_mark_at_the_begin() {
    let site = Site::demo();
    let name = "positions/BE-101.toml";
    let windows = format!("\u{feff}{}", site.read(name).replace('\n', "\r\n"));
    site.write(name, windows.trim_end());
    run(["record", site.path(), "BE-101", "motor.current", "49 A"]).ends(0);
    assert_eq!(site.read(name), windows.trim_end().replace("current = \"48.5 A\"", "current = \"49 A\""));
    run(["check", site.path()]).ends(0);
}

#[test]
fn record_writes_cells_of_the_duty_table() {
    let site = Site::demo();
    let row = "\n[[duty]]\ntime = \"10 s\"\nspeed = \"50 Hz\"\ntorque = \"100 %\" # from the log\n";
    site.append("positions/BD-808.toml", &row.repeat(2));
    run(["check", site.path()]).ends(0);
    run(["record", site.path(), "BD-808", "duty[2].torque", "90..110 %"]).ends(0);
    let second = site.read("positions/BD-808.toml").rsplit("[[duty]]").next().unwrap().to_owned();
    assert!(second.contains("torque = \"90..110 %\" # from the log"), "{second}");
    run(["record", site.path(), "BD-808", "duty[3].torque", "90 %"]).ends(2).says(&["no row 3"]);
    run(["record", site.path(), "BD-808", "duty[0].torque", "90 %"]).ends(2);
    run(["record", site.path(), "BD-808", "duty[1].tork", "90 %"]).ends(2).says(&["torque"]);
}

#[test]
fn record_refuses_what_cannot_be_and_writes_nothing() {
    let site = Site::demo();
    let files = site.snapshot();
    for (tag, fact, value, more, words) in [
        ("BE-101", "motor.current", "52 V", &[][..], &["voltage", "electric current"][..]),
        ("BE-101", "motor.current", "52", &[], &["unit"]),
        ("BE-101", "motor.current", "NaN A", &[], &["motor.current"]),
        ("BE-101", "motor.current", "1e999 A", &[], &["motor.current"]),
        ("BE-101", "motor.current", "-5 A", &[], &["motor.current"]),
        ("BE-101", "motor.current", "60..50 A", &[], &["starts above its end"]),
        ("BE-101", "motor.current", "", &[], &["blank"]),
        ("BE-101", "motor.current", "9000000 A", &[], &["sensible"]),
        ("BE-101", "motor.curent", "52 A", &[], &["did you mean “motor.current”"]),
        ("BE-101", "current", "52 A", &[], &["is no fact"]),
        ("BE-101", "", "52 A", &[], &["is no fact"]),
        ("BE-101", "supply.grounding", "sollid", &[], &["did you mean “solid”"]),
        ("BE-102", "motor.current", "52 A", &[], &["BE-102", "BE-101"]),
        ("../site", "motor.current", "52 A", &[], &["../site"]),
        ("BE-101", "motor.current", "52 A", &["--from", "guessed"], &["guessed", "measured"]),
        ("BE-101", "motor.current", "52 A", &["--on", "yesterday"], &["yesterday"]),
        ("BE-101", "motor.current", "52 A", &["--on", "2026-02-31"], &["2026-02-31"]),
    ] {
        let call = ["record", site.path(), tag, fact, "--"].into_iter().take(4);
        run(call.clone().chain(more.iter().copied()).chain(["--", value])).ends(2).says(words);
        assert_eq!(files, site.snapshot(), "{fact} = {value}");
        let json = run(call.chain(more.iter().copied()).chain(["--json", "--", value])).ends(2).json();
        assert!(json["error"].is_string() || !list(&json, "problems").is_empty(), "{json}");
    }
    let huge = "1 A | ".repeat(20_000);
    run(["record", site.path(), "BE-101", "motor.current", &huge]).ends(2);
    assert_eq!(files, site.snapshot());
}

#[test]
fn an_origin_is_written_so_that_it_reads_back_or_not_at_all() {
    let long = "x".repeat(5000);
    let mut wrong = Vec::new();
    for (option, text) in [
        ("--by", "R. \"K\" 'Kestle' # Süd \\"),
        ("--by", "x\"\n[motor]\nkind = \"reluctance"),
        ("--proof", "'''\n\"\"\" # \\"),
        ("--by", ""),
        ("--by", " R. K. "),
        ("--by", &long),
        ("--proof", &long),
    ] {
        let site = Site::demo();
        let files = site.snapshot();
        let told = run(["record", site.path(), "BE-101", "motor.current", "52 A", option, text]);
        if told.code == 2 {
            assert_eq!(files, site.snapshot(), "{option} {text}");
        } else if run(["check", site.path()]).code != 0 {
            wrong.push(format!("{option} {:?}", text.chars().take(40).collect::<String>()));
        }
        assert_eq!(site.read("positions/BE-101.toml").matches("kind = \"induction\"").count(), 1);
    }
    assert!(wrong.is_empty(), "written, and then refused by check: {wrong:#?}");
}

#[test]
fn a_file_with_a_mistake_elsewhere_can_still_be_written() {
    let site = Site::demo();
    site.edit("positions/BE-101.toml", "current = \"48.5 A\"", "current = \"48.5 V\"");
    run(["check", site.path()]).ends(2);
    run(["record", site.path(), "BE-101", "motor.current", "48.5 A"]).ends(0);
    run(["check", site.path()]).ends(0);
}

#[test]
fn a_reading_changes_the_answer_and_shows_its_origin() {
    let site = Site::demo();
    let before = assessed(&site, &[]);
    let name = "speed/top-speed-short";
    assert_eq!(finding(first(&before, "AF-204").1, name)["verdict"], "depends");
    let call = ["record", site.path(), "AF-204", "speed.highest", "60 Hz", "--from", "measured", "--by", "M. Truscott", "--on", DATE];
    run(call).ends(0);
    let after = assessed(&site, &[]);
    let settled = finding(first(&after, "AF-204").1, name);
    assert!(!list(settled, "depends_on").iter().any(|f| f == "speed.highest"), "{settled}");
    let input = list(settled, "inputs").iter().find(|i| i["fact"] == "speed.highest").expect("the reading went in");
    assert!(text(input, "origin").contains("measured") && text(input, "origin").contains("M. Truscott"), "{input}");
    for tag in ["BD-808", "BE-101", "SF-512"] {
        assert_eq!(first(&before, tag).0, first(&after, tag).0, "{tag} has nothing to do with it");
    }
}

#[test]
fn an_accepted_finding_is_named_with_its_person_and_settles() {
    let site = Site::demo();
    // What is not known and may not be assumed, nobody can take on.
    run(["record", site.path(), "AF-204", "cable.area", "120 mm²"]).ends(0);
    let decisions = site.read("decisions.toml");
    let before = assessed(&site, &[]);
    let open: Vec<&str> =
        list(first(&before, "AF-204").1, "findings").iter().filter(|f| f["verdict"] != "holds").map(|f| text(f, "name")).collect();
    assert!(open.contains(&"speed/top-speed-short") && open.contains(&"rating/less-than-old"), "{open:?}");
    for name in &open {
        let reason = match *name {
            "speed/top-speed-short" => "never runs above 60 Hz",
            "rating/less-than-old" => "was \"oversized\"",
            _ => "seen and agreed with the plant",
        };
        run(["accept", site.path(), "AF-204", name, "--by", "P. Annear", "--reason", reason, "--date", DATE]).ends(0);
    }
    let written = site.read("decisions.toml");
    let (gone, came) = changed(&decisions, &written);
    assert!(gone.is_empty() && came.iter().filter(|l| *l == "[[accepted]]").count() == open.len(), "{came:#?}");
    run(["check", site.path()]).ends(0);
    let json = assessed(&site, &[]);
    let (position, candidate) = first(&json, "AF-204");
    assert_eq!(position["verdict"], "holds");
    let accepted = &finding(candidate, "speed/top-speed-short")["accepted"];
    assert_eq!((text(accepted, "by"), text(accepted, "on")), ("P. Annear", DATE));
    assert_eq!(text(&finding(candidate, "rating/less-than-old")["accepted"], "reason"), "was \"oversized\"");
    run(["assess", site.path(), "--position", "AF-204"]).ends(0).says(&["accepted by P. Annear"]);
    // What it said before is still there to be read.
    assert_eq!(finding(candidate, "speed/top-speed-short")["verdict"], "depends");
    // Accepted again, the later word counts, and stands once.
    run(["accept", site.path(), "AF-204", "speed/top-speed-short", "--by", "R. Kestle", "--reason", "seen", "--date", DATE]).ends(0);
    assert_eq!(site.read("decisions.toml").matches("speed/top-speed-short").count(), 1);
    let json = assessed(&site, &[]);
    assert_eq!(finding(first(&json, "AF-204").1, "speed/top-speed-short")["accepted"]["by"], "R. Kestle");
}

#[test]
fn a_chosen_candidate_stands_first_with_the_person_who_chose() {
    let site = Site::demo();
    let before = assessed(&site, &[]);
    let (position, own) = first(&before, "BE-101");
    let other = text(&list(position, "candidates")[2], "id").to_owned();
    assert_ne!(text(own, "id"), other);
    run(["choose", site.path(), "BE-101", &other, "--by", "P. Annear", "--date", DATE]).ends(0);
    run(["check", site.path()]).ends(0);
    let after = assessed(&site, &[]);
    let (position, chosen) = first(&after, "BE-101");
    assert_eq!((text(position, "chosen"), text(chosen, "id")), (other.as_str(), other.as_str()));
    assert!(text(position, "chosen_by").contains("P. Annear") && text(position, "chosen_by").contains(DATE));
    // A candidate that no list would show can be chosen too, and its faults are then the position's.
    run(["choose", site.path(), "BE-101", "wendle/F01/light", "--by", "P. Annear", "--date", DATE]).ends(0);
    assert_eq!(site.read("decisions.toml").matches("[[chosen]]").count(), 1 + site.read("decisions.toml").matches("# [[chosen]]").count());
    let json = assessed(&site, &["--position", "BE-101"]);
    assert_eq!((&json["positions"][0]["chosen"], &json["positions"][0]["verdict"]), (&"wendle/F01/light".into(), &"fails".into()));
    run(["assess", site.path(), "--position", "BE-101"]).ends(1).says(&["FAILS: Quellmoor Wendle F01, light duty (chosen by P. Annear"]);
}

#[test]
fn decisions_that_the_program_would_not_read_back_are_refused() {
    let accept = |tag, name, by, reason| ["accept", "SITE", tag, name, "--by", by, "--reason", reason].to_vec();
    let choose = |tag, id, by| ["choose", "SITE", tag, id, "--by", by].to_vec();
    let mut taken = Vec::new();
    for call in [
        accept("BE-102", "speed/top-speed-short", "x", "y"),
        accept("BE-101", "speed/top-sped-short", "x", "y"),
        accept("BE-101", "", "x", "y"),
        accept("BE-101", "speed/top-speed-short", "", "y"),
        accept("BE-101", "speed/top-speed-short", "x", ""),
        accept("BE-101", "speed/top-speed-short", "x\ny", "z"),
        choose("BE-102", "wendle/F12/heavy", "x"),
        choose("BE-101", "wendel/F12/heavy", "x"),
        choose("BE-101", "wendle/F999/heavy", "x"),
        choose("BE-101", "wendle/F12/medium", "x"),
        choose("BE-101", "wendle", "x"),
        choose("BE-101", "", "x"),
        choose("BE-101", "wendle/F12/heavy", ""),
    ] {
        let site = Site::demo();
        let files = site.snapshot();
        let told = run(call.iter().map(|a| if *a == "SITE" { site.path() } else { a }));
        if told.code != 2 || files != site.snapshot() {
            let checked = run(["check", site.path()]).code;
            taken.push(format!("{} (check then ends with {checked})", call[2..].join(" ")));
        }
    }
    assert!(taken.is_empty(), "taken and written: {taken:#?}");
}

#[test]
fn decisions_begin_their_file_where_there_is_none() {
    let site = Site::demo();
    site.remove("decisions.toml");
    run(["choose", site.path(), "BE-101", "wendle/F12/heavy", "--by", "P. Annear", "--date", DATE]).ends(0);
    assert!(site.read("decisions.toml").starts_with("schema = 1\n"));
    run(["check", site.path()]).ends(0);
    assert_eq!(assessed(&site, &["--position", "BE-101"])["positions"][0]["chosen"], "wendle/F12/heavy");
}

#[test]
fn nobody_can_accept_away_what_may_not_be_assumed() {
    let site = Site::demo();
    let before = assessed(&site, &[]);
    run(["accept", site.path(), "BD-808", "supply/links-to-earth", "--by", "P. Annear", "--reason", "in a hurry", "--date", DATE]).ends(0);
    let after = assessed(&site, &[]);
    let (position, candidate) = first(&after, "BD-808");
    let links = finding(candidate, "supply/links-to-earth");
    assert_eq!((text(links, "verdict"), &links["stays_open"]), ("depends", &true.into()));
    assert_eq!(links["accepted"]["by"], "P. Annear");
    assert!(list(links, "remedies").iter().any(|r| text(r, "what").contains("links") && r["taken"] == true), "the remedy is still billed");
    assert!(list(position, "open").iter().any(|o| o["fact"] == "supply.grounding"));
    assert_eq!(first(&before, "BD-808").1["bill"], candidate["bill"]);
    let told = run(["assess", site.path(), "--position", "BD-808"]).ends(1).out;
    assert!(told.contains("accepted by P. Annear") && told.contains("the same on supply.grounding"), "{told}");
}
