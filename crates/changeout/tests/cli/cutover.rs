//! `cutover`: the demo's night, its ticks, and what it refuses.

use crate::site::{DATE, Site, list, run, text};

fn plan(site: &Site, more: &[&str]) -> crate::site::Run {
    let mut arguments = vec!["cutover", site.path(), "BE-101", "--date", DATE];
    arguments.extend(more);
    run(arguments)
}

#[test]
fn the_elevator_s_night_fits_and_says_until_when_one_can_turn_back() {
    let site = Site::demo_with(&["BE-101"]);
    let answer = plan(&site, &["--json"]).ends(0).json();
    let cutover = &answer["cutover"];
    assert_eq!(text(&cutover["advice"], "word"), "go on");
    let turn = cutover["forecast"]["turn_back"].as_f64().unwrap();
    assert!(turn > 60.0 && turn < cutover["window"]["minutes"].as_f64().unwrap(), "{turn}");
    let tasks = list(cutover, "tasks");
    for task in tasks {
        let minutes = |key: &str| task["minutes"][key].as_f64().unwrap();
        assert!(minutes("least") <= minutes("likely") && minutes("likely") <= minutes("most"), "{task}");
        assert!(!text(task, "basis").is_empty() && !list(task, "who").is_empty(), "{task}");
        let number = task["number"].as_u64().unwrap();
        assert!(list(task, "after").iter().all(|a| a.as_u64().unwrap() < number), "{task}");
    }
    let isolate = tasks.iter().find(|t| text(t, "name") == "isolate").unwrap();
    assert!(text(isolate, "what").contains("feeder 7") && text(isolate, "basis").starts_with("2 isolation points"), "{isolate}");
    assert_eq!(plan(&site, &["--json"]).out, plan(&site, &["--json"]).out, "the same folder and date give the same bytes");
}

#[test]
fn ticks_are_written_and_move_the_plan_past_midnight() {
    let site = Site::demo_with(&["BE-101"]);
    let tick = |task: &str, at: &str| plan(&site, &["--tick", task, "--at", at, "--by", "M. Truscott"]);
    tick("capture", "17:20").ends(0).says(&["GO ON", "done"]);
    // As JSON it is one value still: the plan, and the file that was written.
    let told = plan(&site, &["--tick", "save-settings", "--at", "17:30", "--by", "M. Truscott", "--json"]).ends(0).json();
    assert!(text(&told, "written").ends_with("cutover/BE-101.toml"), "{}", told["written"]);
    tick("hold-start", "17:40").ends(0);
    assert!(site.read("cutover/BE-101.toml").contains("task = \"capture\""));
    // Isolated seven hours late: nothing else was begun, so the way back is short, but the end is out of reach.
    let late = tick("isolate", "00:40").ends(1);
    assert!(late.words().contains("TURN BACK"), "{}", late.out);
    // Nothing ticked until shortly before the end: no way back is left for what is under way.
    let last = plan(&site, &["--now", "09:55"]).ends(1);
    assert!(last.words().contains("NO WAY BACK") && !last.words().contains("GO ON"), "{}", last.out);
    run(["check", site.path()]).ends(0);
}

#[test]
fn a_tick_that_cannot_be_is_refused_and_nothing_is_written() {
    let site = Site::demo_with(&["BE-101"]);
    for (task, at, says) in [
        ("isolat", "17:20", "has no task"),
        ("isolate", "17:20", "is done before BE-101 capture, BE-101 hold-start, which come first"),
        ("capture", "25:20", "is no time of day"),
    ] {
        let run = plan(&site, &["--tick", task, "--at", at, "--by", "M. Truscott"]).ends(2);
        assert!(run.text().split_whitespace().collect::<Vec<_>>().join(" ").contains(says), "{}", run.text());
        assert!(!site.file("cutover/BE-101.toml").exists(), "{task}");
    }
}

#[test]
fn with_the_grounding_unread_the_plan_ends_before_power() {
    let site = Site::demo_with(&["BE-101"]);
    site.edit("positions/BE-101.toml", "supply = \"mill floor\"\n", "");
    let run = plan(&site, &[]).ends(1);
    assert!(run.words().contains("NOT READY") && run.words().contains("supply.grounding"), "{}", run.out);
    for word in ["control-power  ", "line-power  ", "restore the supply"] {
        assert!(!run.out.contains(word), "{word}\n{}", run.out);
    }
    let json = plan(&site, &["--json"]).ends(1).json();
    assert!(list(&json["cutover"], "tasks").iter().all(|t| t["energises"] == false && t["back_energises"] == false));
    assert!(list(&json["cutover"], "left_out").len() > 5);
}

#[test]
fn the_plan_is_drawn_where_asked() {
    let site = Site::demo_with(&["BE-101"]);
    let folder = site.file("out");
    plan(&site, &["--out", folder.to_str().unwrap()]).ends(0).says(&["written", "cutover-BE-101.svg"]);
    let svg = site.read("out/cutover-BE-101.svg");
    assert!(svg.contains("Cutover of BE-101") && svg.contains("latest moment to turn back") && svg.contains("hand-over"));
}

#[test]
fn positions_in_one_window_share_its_crews_its_isolation_points_and_its_ticks() {
    let site = Site::demo_with(&["BE-101", "BH-301"]);
    site.edit("site.toml", "owner = \"R. Kestle\"\n", "owner = \"R. Kestle\"\npositions = [\"BE-101\", \"BH-301\"]\n");
    let feeder = "name = \"main switchboard, feeder 7 (bucket elevator)\"\npositions = ";
    site.edit("site.toml", &format!("{feeder}[\"BE-101\"]"), &format!("{feeder}[\"BE-101\", \"BH-301\"]"));
    let of = |tag: &str| run(["cutover", site.path(), tag, "--date", DATE, "--json"]).json()["cutover"].clone();
    let told = of("BE-101");
    assert_eq!(told, of("BH-301"), "one window, one plan");
    assert_eq!(list(&told, "tags").iter().map(|t| t.as_str().unwrap()).collect::<Vec<_>>(), ["BE-101", "BH-301"]);
    let tasks = list(&told, "tasks");
    let at = |tag: &str, name: &str| tasks.iter().find(|t| text(t, "tag") == tag && text(t, "name") == name).unwrap();
    // One switch feeds both: neither is energised before both are finished dead.
    for tag in ["BE-101", "BH-301"] {
        for other in ["BE-101", "BH-301"] {
            let power = at(tag, "control-power")["start"].as_f64().unwrap();
            assert!(power >= at(other, "hold-power")["finish"].as_f64().unwrap(), "{tag} is energised while {other} is open");
        }
    }
    // One crew does one task at a time, whosever it is.
    let of_crew = tasks.iter().filter(|t| list(t, "who").iter().any(|w| w == "night crew"));
    let mut spans: Vec<(f64, f64)> = of_crew.map(|t| (t["start"].as_f64().unwrap(), t["finish"].as_f64().unwrap())).collect();
    spans.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
    assert!(spans.len() > 20 && spans.windows(2).all(|w| w[0].1 <= w[1].0 + 1e-6), "{spans:?}");
    // What is ticked at one of them is seen from the other.
    plan(&site, &["--tick", "capture", "--at", "17:25", "--by", "M. Truscott"]);
    let after = of("BH-301");
    let ticked = list(&after, "tasks").iter().find(|t| text(t, "tag") == "BE-101" && text(t, "name") == "capture").unwrap();
    assert_eq!((text(ticked, "state"), ticked["done"].as_f64()), ("done", Some(25.0)));
}
