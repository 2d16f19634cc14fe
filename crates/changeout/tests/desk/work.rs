//! Settings, cutover, papers, figures, power, wires: what is taken along, what is ticked off, what is drawn, what is told.

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
fn what_pages_keep_is_never_older_than_the_files() {
    let desk = Open::demo();
    let pages = ["/at/ML-701/box.json", "/at/ML-701/cutover.json", "/at/ML-701/papers.json", "/at/ML-701/power.json"];
    let told = |desk: &Open| pages.map(|path| desk.get(path).json());
    // Twice each time: to make them, and to be told what was kept.
    let shown = |what: &str| {
        let first = told(&desk);
        assert!(
            first == told(&desk) && first == told(&desk.anew()),
            "{what}: a page shows something else than a desk that has kept nothing"
        );
        first
    };
    let mut states = vec![shown("as found")];
    let edit = |file: &str, from: &str, to: &str| {
        let text = desk.text(file);
        assert!(text.contains(from), "{file}: {from}");
        std::fs::write(desk.path(file), text.replace(from, to)).unwrap();
    };
    // The same night for both drives of one box; then where the other one stands, the air of the box, and the other one's unit.
    edit("site.toml", "length = \"17.5 h\"", "length = \"17.5 h\"\npositions = [\"ML-701\", \"SF-512\"]");
    states.push(shown("one night for both"));
    edit("positions/SF-512.toml", "plate_left = { value = \"1000 mm\"", "plate_left = { value = \"940 mm\"");
    states.push(shown("the neighbour stands elsewhere"));
    edit("site.toml", "fan_flow = { value = \"1,500 cfm\"", "fan_flow = { value = \"700 cfm\"");
    states.push(shown("less air"));
    let other = desk.get("/at/SF-512.json").json()["candidates"][1]["id"].as_str().unwrap().to_owned();
    assert_eq!(desk.send("/at/SF-512/replacement", &[BY, ("candidate", &other)]).status, 303);
    states.push(shown("another unit for the neighbour"));
    let plan = desk.get("/at/ML-701/cutover.json").json()["cutover"].clone();
    let (first, start) = (plan["tasks"][0]["name"].as_str().unwrap(), plan["window"]["start"].as_str().unwrap());
    assert_eq!(desk.send("/at/ML-701/cutover", &[("task", first), ("at", start), BY]).status, 303);
    states.push(shown("a task is done"));
    let moved = states.windows(2).map(|pair| (0..pages.len()).filter(|at| pair[0][*at] != pair[1][*at]).count());
    assert!(
        moved.clone().all(|pages| pages > 0),
        "an edit shows on no page, so that this test cannot fail there: {:?}",
        moved.collect::<Vec<_>>()
    );
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
    let figures = desk.get("/at/BE-101/rating.json").json();
    let figures = figures["figures"].as_array().unwrap();
    let power = desk.get("/at/BE-101/power.json").json()["figures"].as_array().unwrap().clone();
    assert_eq!((figures.len(), power.len()), (2, 2));
    let page = desk.get("/at/BE-101/rating").body + &desk.get("/at/BE-101/power").body;
    for figure in figures.iter().chain(&power).filter(|f| f["curves"].is_array()) {
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

/// The command line's answer in JSON.
fn told(desk: &Open, arguments: &[&str]) -> serde_json::Value {
    let mut command = assert_cmd::Command::new(env!("CARGO_BIN_EXE_changeout"));
    let shown = command.args([arguments[0], "--json", "--date", "2026-03-31"]).arg(desk.path("")).args(&arguments[1..]).output().unwrap();
    serde_json::from_slice(&shown.stdout).unwrap_or_else(|e| panic!("{e}: {}", String::from_utf8_lossy(&shown.stderr)))
}

#[test]
fn the_wires_are_those_of_the_command_line_each_with_its_line_of_the_list() {
    let desk = Open::demo();
    for tag in ["AF-204", "BE-101", "BH-301"] {
        let page = desk.get(&format!("/at/{tag}/wires.json")).json();
        assert_eq!(page["wires"], told(&desk, &["wires", tag]), "{tag}");
        let conductors = page["wires"]["conductors"].as_array().unwrap();
        let places = page["places"].as_array().unwrap();
        assert_eq!(conductors.len(), places.len());
        // The line that is named is that of the wire.
        for (conductor, place) in conductors.iter().zip(places) {
            let (file, line) = place.as_str().unwrap().rsplit_once(':').unwrap();
            let listed = desk.text(file).lines().nth(line.parse::<usize>().unwrap() - 1).unwrap().to_owned();
            let wire = conductor["wire"].as_str().unwrap();
            assert!(listed.starts_with(&format!("{wire},")), "{tag} {wire}: {place}: {listed}");
        }
        let body = desk.get(&format!("/at/{tag}/wires")).body;
        for c in conductors {
            assert!(body.contains(&format!("{}: {}</title>", c["wire"].as_str().unwrap(), c["action"].as_str().unwrap())), "{c}");
        }
        assert!(body.contains(&format!("/at/{tag}/finding/wires/without-landing?candidate=")), "{body}");
    }
}

#[test]
fn conductors_of_one_action_are_shown_alone() {
    let desk = Open::demo();
    let all = desk.get("/at/AF-204/wires.json").json();
    let mut shown = 0;
    for action in ["landed", "interposed", "spared", "removed"] {
        let some = desk.get(&format!("/at/AF-204/wires.json?action={action}")).json();
        let some = some["wires"]["conductors"].as_array().unwrap();
        assert!(some.iter().all(|c| c["action"] == action), "{action}: {some:?}");
        shown += some.len();
    }
    assert_eq!(shown, all["wires"]["conductors"].as_array().unwrap().len());
    let none = desk.get("/at/AF-204/wires?action=%3Cb%3E");
    assert!(none.status == 200 && none.body.contains("No conductor is &lt;b&gt;") && !none.body.contains("figure class=\"wiring\""));
    let unlisted = desk.get("/at/SF-512/wires");
    assert!(unlisted.status == 200 && unlisted.body.contains("SF-512 has no list of conductors"), "{}", unlisted.body);
}

#[test]
fn the_power_path_is_that_of_the_command_line_and_each_number_leads_to_its_working() {
    let desk = Open::demo();
    let page = desk.get("/at/BE-101/power.json").json();
    assert_eq!(page["power"], told(&desk, &["power", "BE-101"])["power"]);
    assert_eq!(page["figures"].as_array().unwrap().len(), 2);
    let body = desk.get("/at/BE-101/power").body;
    let mut worked = 0;
    for section in page["power"]["sections"].as_array().unwrap() {
        for (at, line) in section["lines"].as_array().unwrap().iter().enumerate() {
            let own = format!("/at/BE-101/power/{}/{}", section["name"].as_str().unwrap(), at + 1);
            for (value, working, part) in
                [("before", "working_before", "before"), ("after", "working", "after"), ("limit", "working_limit", "limit")]
            {
                // A number has its working here, or stands in that of its finding.
                let (number, steps) = (&line[value]["low"], line[working]["steps"].as_array().unwrap());
                assert!(number.is_null() || !steps.is_empty() || (line["finding"].is_string() && part != "before"), "{line:#}");
                if number.is_number() && !steps.is_empty() {
                    worked += 1;
                    assert!(body.contains(&format!("href=\"{own}?candidate=")) && body.contains(&format!("#{part}\"")), "{own} {part}");
                }
            }
        }
    }
    assert!(worked > 40, "{worked}");
    // The last step is the number of the page.
    let line = desk.get("/at/BE-101/power/harmonics/1.json").json()["line"].clone();
    let last = line["working"]["steps"].as_array().unwrap().last().unwrap()["value"].as_str().unwrap().to_owned();
    assert!(line["after"]["text"].as_str().unwrap().starts_with(&last), "{last} in {}", line["after"]);
    let own = desk.get("/at/BE-101/power/harmonics/1");
    assert!(own.body.contains("class=\"steps\"") && own.body.contains("/files/"), "{}", own.body);
    for lost in ["/at/BE-101/power/harmonics/99", "/at/BE-101/power/harmonics/0", "/at/BE-101/power/tea/1", "/at/BE-101/power/harmonics/x"]
    {
        assert_eq!(desk.get(lost).status, 404, "{lost}");
    }
}
