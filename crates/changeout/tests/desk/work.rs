//! Settings, cutover, papers, figures: what is taken along, what is ticked off, what is drawn.

use super::open::Open;

const BY: (&str, &str) = ("by", "M. Truscott");

#[test]
fn a_task_is_ticked_off_in_the_order_of_the_plan_and_taken_back() {
    let desk = Open::demo();
    let plan = desk.get("/at/BE-101/cutover.json").json();
    let tasks = plan["cutover"]["tasks"].as_array().unwrap().clone();
    let name = |i: usize| tasks[i]["name"].as_str().unwrap().to_owned();
    let start = plan["cutover"]["window"]["start"].as_str().unwrap().to_owned();
    // Not before what comes first, not without a name, not at no time of day, not what is in no plan.
    let tick = |task: &str, at: &str, by: &str| desk.send("/at/BE-101/cutover", &[("task", task), ("at", at), ("by", by)]).status;
    let last = tasks.iter().rev().find(|t| t["tag"] == "BE-101").unwrap()["name"].as_str().unwrap();
    for (task, at, by) in
        [(last, start.as_str(), "M. Truscott"), (&name(0), &start, ""), (&name(0), "25:00", "M. Truscott"), ("tea", &start, "M. Truscott")]
    {
        assert_eq!(tick(task, at, by), 422, "{task} {at} {by}");
    }
    assert!(!desk.path("cutover").exists());
    let answer = desk.send("/at/BE-101/cutover", &[("task", &name(0)), ("at", &start), BY, ("note", "permit 17")]);
    assert_eq!(answer.status, 303, "{}", answer.body);
    let text = desk.text("cutover/BE-101.toml");
    assert!(text.contains(&name(0)) && text.contains("permit 17") && text.contains("M. Truscott"), "{text}");
    let page = desk.get("/at/BE-101/cutover");
    assert!(page.body.contains("✓ ") && page.body.contains("permit 17"), "{}", page.body);
    // The same as the command line says.
    let cli = assert_cmd::Command::new(env!("CARGO_BIN_EXE_changeout"))
        .args(["cutover", "--json", "--date", "2026-03-31"])
        .args([desk.path(""), "BE-101".into()])
        .output()
        .unwrap();
    let cli: serde_json::Value = serde_json::from_slice(&cli.stdout).unwrap();
    assert_eq!(desk.get("/at/BE-101/cutover.json").json()["cutover"]["forecast"], cli["cutover"]["forecast"]);
    let history = desk.get("/history.json").json();
    let when = history["changes"][0]["when"].as_str().unwrap().to_owned();
    assert_eq!(desk.send("/history", &[BY, ("number", "0"), ("when", &when)]).status, 303);
    assert!(!desk.text("cutover/BE-101.toml").contains(&name(0)));
}

#[test]
fn the_plan_draws_its_latest_way_back() {
    let desk = Open::demo();
    let drawing = desk.get("/at/BE-101/cutover/drawing?now=23:30");
    assert_eq!((drawing.status, drawing.header("content-type")), (200, Some("image/svg+xml")));
    assert!(drawing.body.contains("TURN_BACK") || drawing.body.contains("latest moment to turn back"), "{}", drawing.body);
    let plan = desk.get("/at/BE-101/cutover.json").json();
    let turn = plan["cutover"]["forecast"]["turn_back_clock"].as_str().unwrap().to_owned();
    assert!(!turn.is_empty() && desk.get("/at/BE-101/cutover").body.contains(&turn));
}

#[test]
fn papers_are_taken_along_as_files() {
    let desk = Open::demo();
    let list = desk.get("/at/SF-512/papers.json").json();
    let first = list["papers"].as_array().unwrap().iter().find_map(|p| p["file"].as_str()).unwrap().to_owned();
    for (name, begins) in [("all-papers.pdf", &b"%PDF-"[..]), (&first, b"%PDF-"), ("tables.xlsx", b"PK"), ("all.zip", b"PK")] {
        let file = desk.get(&format!("/at/SF-512/papers/{name}"));
        assert!(file.status == 200 && file.bytes.starts_with(begins), "{name}: {} {}", file.status, file.head);
        assert!(file.header("content-disposition").unwrap().starts_with("attachment"), "{}", file.head);
    }
    assert_eq!(desk.get("/at/SF-512/papers/../../site.toml").status, 404);
    assert_eq!(desk.get("/at/SF-512/papers/nothing.pdf").status, 404);
}

#[test]
fn settings_are_taken_along_as_files() {
    let desk = Open::demo();
    let page = desk.get("/at/MX-603/settings.json").json();
    assert!(page["settings"]["load_sequence"].as_array().unwrap().len() > 3, "{page:#}");
    let sheet = desk.get("/at/MX-603/settings/file/settings.csv");
    assert!(sheet.status == 200 && sheet.body.lines().count() > 5, "{}", sheet.body);
    assert_eq!(desk.get("/at/MX-603/settings/file/load-sequence.csv").status, 200);
    assert_eq!(desk.get("/at/MX-603/settings/file/passwd").status, 404);
    // Without a list there is nothing to carry over, and the page says so.
    assert!(desk.get("/at/BD-808/settings").body.contains("Not examined"));
}

#[test]
fn figures_say_in_words_and_numbers_what_they_draw() {
    let desk = Open::demo();
    let figures = desk.get("/at/BE-101/figures.json").json();
    let figures = figures["figures"].as_array().unwrap();
    assert_eq!(figures.len(), 4);
    let page = desk.get("/at/BE-101/figures").body;
    for figure in figures.iter().filter(|f| f["curves"].is_array()) {
        let says = figure["says"].as_str().unwrap();
        assert!(says.len() > 20 && page.contains(&format!("aria-label=\"{}", figure["title"].as_str().unwrap())), "{says}");
        assert!(figure["curves"].as_array().unwrap().iter().all(|c| c["points"].as_array().unwrap().len() > 1), "{figure:#}");
    }
    // What the unit gives is nowhere below what the load asks for exactly where the finding holds.
    let current = figures.iter().find(|f| f["finding"] == "rating/overload-short").unwrap();
    let curve = |role: &str| current["curves"].as_array().unwrap().iter().find(|c| c["role"] == role).unwrap()["points"].clone();
    let finding = desk.get("/at/BE-101/finding/rating/overload-short.json").json();
    assert_eq!(finding["finding"]["verdict"], "holds");
    let pairs: Vec<(f64, f64)> = curve("asked")
        .as_array()
        .unwrap()
        .iter()
        .zip(curve("given").as_array().unwrap())
        .map(|(a, g)| (a[1].as_f64().unwrap(), g[1].as_f64().unwrap()))
        .collect();
    assert!(!pairs.is_empty() && pairs.iter().all(|(asked, given)| asked <= given), "{pairs:?}");
}
