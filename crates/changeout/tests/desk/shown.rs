//! What the pages show, and that their twins say the same.

use super::open::Open;

/// A page of each kind.
pub(crate) const PATHS: &[&str] = &[
    "/",
    "/at/BE-101",
    "/at/BE-101/found",
    "/at/BE-101/replacement",
    "/at/BE-101/findings",
    "/at/BE-101/finding/rating/breakaway-short",
    "/at/BE-101/box",
    "/at/BE-101/rating",
    "/at/BD-808/rating",
    "/at/AF-204/settings",
    "/at/BE-101/settings",
    "/at/BE-101/cutover",
    "/at/BE-101/cutover?now=23:30",
    "/at/BD-808/cutover",
    "/at/BE-101/papers",
    "/at/BE-101/power",
    "/at/BD-808/power",
    "/at/BE-101/power/harmonics/1",
    "/at/BE-101/wires",
    "/at/AF-204/wires?action=interposed",
    "/at/SF-512/wires",
    "/at/SF-512/words",
    "/at/BE-101/words",
    "/at/BE-101/behaviour",
    "/at/BD-808/behaviour",
    "/at/BE-101/history",
    "/at/BE-101/try?fact=load.current&value=49+A",
    "/history",
    "/files",
    "/files/positions/BE-101.toml",
    "/breakdown",
    "/add",
    "/import",
];

#[test]
fn every_page_has_a_twin() {
    let desk = Open::demo();
    for path in PATHS.iter().copied() {
        let page = desk.get(path);
        assert_eq!(page.status, 200, "{path}: {}", page.body);
        assert!(page.body.starts_with("<!DOCTYPE html>") && page.body.contains("<main"), "{path}");
        let (bare, query) = path.split_once('?').map_or((path, String::new()), |(p, q)| (p, format!("?{q}")));
        let twin = if bare == "/" { "/site.json".to_owned() } else { format!("{bare}.json{query}") };
        assert!(page.body.contains(&format!("href=\"{}\"", twin.replace('&', "&amp;"))), "{path} does not name {twin}");
        let named = desk.get(&twin);
        assert!(named.status == 200 && named.json().is_object(), "{twin}");
        let asked =
            desk.raw(&format!("GET {path} HTTP/1.1\r\nHost: {}\r\nAccept: application/json\r\nConnection: close\r\n\r\n", desk.host));
        assert_eq!(asked.json(), named.json(), "{path}");
    }
}

#[test]
fn the_desk_says_what_the_command_line_says() {
    let desk = Open::demo();
    let told = assert_cmd::Command::new(env!("CARGO_BIN_EXE_changeout"))
        .args(["assess", "--json", "--date", "2026-03-31", "--candidates", "6", "--position", "AF-204"])
        .arg(desk.path(""))
        .output()
        .unwrap();
    let cli: serde_json::Value = serde_json::from_slice(&told.stdout).unwrap();
    let mut page = desk.get("/at/AF-204.json").json();
    page.as_object_mut().unwrap().remove("currency");
    assert_eq!(page, cli["positions"][0]);
}

#[test]
fn a_number_leads_to_its_working_and_back_to_the_line_of_the_file() {
    let desk = Open::demo();
    let answer = desk.get("/at/AF-204");
    assert!(answer.body.contains("/at/AF-204/finding/speed/top-speed-short?candidate="), "{}", answer.body);
    let finding = desk.get("/at/AF-204/finding/speed/top-speed-short");
    assert!(finding.body.contains("class=\"steps\"") && finding.body.contains("What it means"), "{}", finding.body);
    let line = desk.text("positions/AF-204.toml").lines().position(|l| l.starts_with("highest =")).unwrap() + 1;
    assert!(finding.body.contains(&format!("/files/positions/AF-204.toml#L{line}")), "{}", finding.body);
    assert!(desk.get("/files/positions/AF-204.toml").body.contains(&format!("<li id=\"L{line}\"><code>highest = ")));
}

#[test]
fn the_table_is_filtered_sorted_and_searched() {
    let desk = Open::demo();
    // Worked out beside: wait until all are there.
    while desk.get("/site.json").json()["to_work_out"] != 0 {
        std::thread::yield_now();
    }
    let tags = |query: &str| -> Vec<String> {
        desk.get(&format!("/site.json?{query}")).json()["positions"]
            .as_array()
            .unwrap()
            .iter()
            .map(|p| p["tag"].as_str().unwrap().to_owned())
            .collect()
    };
    assert_eq!(tags("").len(), 8);
    assert_eq!(tags("q=hammer+ML"), ["ML-701"]);
    assert_eq!(tags("q=nothing+like+it"), [""; 0]);
    // Each filter shows just those whose own page gives that verdict, and the demo has more than one kind.
    let own = |tag: &str| desk.get(&format!("/at/{tag}.json")).json()["candidates"][0]["verdict"].as_str().unwrap().to_owned();
    let verdicts: Vec<(String, String)> = tags("").into_iter().map(|tag| (own(&tag), tag)).collect();
    let mut kinds = 0;
    for verdict in ["holds", "depends", "fails"] {
        let expected: Vec<&str> = verdicts.iter().filter(|(v, _)| v == verdict).map(|(_, tag)| tag.as_str()).collect();
        assert_eq!(tags(&format!("verdict={verdict}")), expected, "{verdict}");
        kinds += u32::from(!expected.is_empty());
    }
    assert!(kinds >= 2 && tags("verdict=none").is_empty(), "{verdicts:?}");
    let dear = desk.get("/site.json?sort=cost").json();
    let costs: Vec<f64> = dear["positions"].as_array().unwrap().iter().map(|p| p["cost"].as_f64().unwrap()).collect();
    assert!(costs.is_sorted_by(|a, b| a >= b), "{costs:?}");
}

#[test]
fn a_reading_is_tried_without_being_written() {
    let desk = Open::demo();
    let before = desk.text("positions/AF-204.toml");
    let tried = desk.get("/at/AF-204/try.json?fact=speed.highest&value=60+Hz").json();
    assert!(tried["after"]["settles"].as_u64().unwrap() >= 1, "{tried:#}");
    assert!(!tried["offered"].as_array().unwrap().is_empty());
    let wrong = desk.get("/at/AF-204/try.json?fact=speed.highest&value=60+A").json();
    assert!(wrong["wrong"].as_str().unwrap().contains('A') && wrong["after"].is_null());
    assert_eq!(desk.get("/at/AF-204/try?fact=motor.nothing").status, 404);
    assert_eq!(desk.text("positions/AF-204.toml"), before);
}

#[test]
fn a_file_with_mistakes_is_told_and_hinders_its_position_alone() {
    let desk = Open::demo();
    let text = desk.text("positions/BE-101.toml").replace("current = \"48.5 A\"", "current = \"48.5 Ohm\"");
    std::fs::write(desk.path("positions/BE-101.toml"), text).unwrap();
    let answer = desk.get("/at/BE-101");
    assert!(answer.status == 409 && answer.body.contains("Ohm"), "{}", answer.body);
    let found = desk.get("/at/BE-101/found");
    assert!(found.status == 200 && found.body.contains("48.5 Ohm"));
    assert_eq!(desk.get("/at/AF-204").status, 200);
    let site = desk.get("/site.json").json();
    assert!(site["problems"].as_array().unwrap().iter().any(|p| p["file"] == "positions/BE-101.toml"));
}
