//! Changes: written as people write, attributed, undone; two windows, an editor, a power cut.

use super::open::Open;

const FILE: &str = "positions/BE-101.toml";
const BY: (&str, &str) = ("by", "M. Truscott");

#[test]
fn a_reading_is_written_with_its_origin_and_everything_else_stays() {
    let desk = Open::demo();
    let before = desk.text(FILE);
    let answer = desk.send(
        "/at/BE-101/found",
        &[
            BY,
            ("from", "measured"),
            ("on", "2026-03-30"),
            ("proof", "evidence/a.csv"),
            ("v:load.current", "47..49 A"),
            ("w:load.current", "50.2 A"),
            ("v:motor.speed", "1775 rpm"),
            ("w:motor.speed", "1775 rpm"),
        ],
    );
    assert_eq!(answer.status, 303, "{}", answer.body);
    let after = desk.text(FILE);
    let line = "current = { value = \"47..49 A\", from = \"measured\", by = \"M. Truscott\", on = 2026-03-30, proof = \"evidence/a.csv\" }";
    let changed: Vec<(&str, &str)> = before.lines().zip(after.lines()).filter(|(a, b)| a != b).collect();
    assert!(changed.len() == 1 && changed[0].1 == line, "{changed:#?}");
    assert_eq!(desk.get("/at/BE-101/found.json").json()["facts"]["load.current"]["value"], "47..49 A");
    let history = desk.get("/at/BE-101/history.json").json();
    assert_eq!((&history["changes"][0]["who"], &history["changes"][0]["what"]), (&"M. Truscott".into(), &"load.current".into()));
    // Taken back to the byte, and that is a change too.
    let when = history["changes"][0]["when"].as_str().unwrap().to_owned();
    assert_eq!(desk.send("/history", &[("by", "R. Kestle"), ("number", "0"), ("when", &when)]).status, 303);
    assert_eq!(desk.text(FILE), before);
    let history = desk.get("/history.json").json();
    assert_eq!((history["changes"].as_array().unwrap().len(), &history["changes"][0]["who"]), (2, &"R. Kestle".into()));
    // Once more finds nothing to take back.
    assert_eq!(desk.send("/history", &[("by", "R. Kestle"), ("number", "0"), ("when", &when)]).status, 409);
}

#[test]
fn a_list_that_a_position_names_is_noticed_when_it_comes_and_when_it_goes() {
    let desk = Open::demo();
    let list = desk.path("evidence/be-101-wires.csv");
    let is_read = || !desk.get("/at/BE-101/wires.json").json()["wires"].is_null();
    let there = std::fs::read(&list).unwrap();
    assert!(is_read());
    std::fs::remove_file(&list).unwrap();
    assert!(!is_read());
    std::fs::write(&list, there).unwrap();
    assert!(is_read());
}

#[test]
fn all_mistakes_of_a_form_come_at_once_and_nothing_is_written() {
    let desk = Open::demo();
    let before = desk.text(FILE);
    let answer = desk.send(
        "/at/BE-101/found.json",
        &[
            ("by", " "),
            ("from", "hearsay"),
            ("v:motor.power", "40 hq"),
            ("w:motor.power", "40 hp"),
            ("v:motor.kind", "inducton"),
            ("w:motor.kind", "induction"),
            ("v:motor.speed", "1770 rpm"),
            ("w:motor.speed", "1775 rpm"),
        ],
    );
    assert_eq!(answer.status, 422);
    let refused = answer.json()["refused"].clone();
    for key in ["by", "from", "motor.power", "motor.kind"] {
        assert!(refused[key]["wrong"].is_string(), "{key}: {refused:#}");
    }
    assert!(refused["motor.kind"]["wrong"].as_str().unwrap().contains("induction"));
    assert!(refused["motor.speed"]["wrong"].is_null());
    assert_eq!(desk.text(FILE), before);
    assert!(!desk.path("history.toml").exists());
}

#[test]
fn two_windows_cannot_overwrite_each_other_unnoticed() {
    let desk = Open::demo();
    let save = |value: &str, was: &str| desk.send("/at/BE-101/found.json", &[BY, ("v:load.current", value), ("w:load.current", was)]);
    assert_eq!(save("51 A", "50.2 A").status, 200);
    // The other window still shows what was there before.
    let clash = save("49 A", "50.2 A");
    assert_eq!(clash.status, 409);
    assert_eq!(clash.json()["refused"]["load.current"]["theirs"], "51 A");
    assert!(desk.text(FILE).contains("\"51 A\"") && !desk.text(FILE).contains("\"49 A\""));
    // Both are kept: what gave way stands in the history.
    let history = desk.get("/history.json").json();
    assert_eq!((&history["changes"][0]["new"], &history["changes"][0]["written"]), (&"49 A".into(), &false.into()));
    // Another fact of the same file is no clash, and knowing of theirs one may write over it.
    assert_eq!(
        desk.send("/at/BE-101/found.json", &[BY, ("v:motor.service_factor", "1.0"), ("w:motor.service_factor", "1.15")]).status,
        200
    );
    assert_eq!(save("49 A | 51 A", "51 A").status, 200);
}

#[test]
fn an_edit_in_an_editor_appears_by_itself_and_stays() {
    let desk = Open::demo();
    let stamp = desk.get("/stamp.json").json()["stamp"].clone();
    std::fs::write(desk.path(FILE), desk.text(FILE).replace("\"50.2 A\"", "\"44 A\"")).unwrap();
    assert_ne!(desk.get("/stamp.json").json()["stamp"], stamp);
    assert!(desk.get("/at/BE-101/found").body.contains("44 A"));
    let clash = desk.send("/at/BE-101/found.json", &[BY, ("v:load.current", "49 A"), ("w:load.current", "50.2 A")]);
    assert_eq!(clash.json()["refused"]["load.current"]["theirs"], "44 A");
    assert!(desk.text(FILE).contains("\"44 A\""));
}

#[test]
fn a_finding_is_accepted_and_a_candidate_chosen_by_name() {
    let desk = Open::demo();
    let accept = |by: &str, reason: &str| desk.send("/at/AF-204/finding/speed/top-speed-short", &[("by", by), ("reason", reason)]).status;
    assert_eq!(accept("", "x"), 422);
    assert_eq!(accept("M. Truscott", ""), 422);
    assert_eq!(accept("M. Truscott", "The damper\nis set to it."), 303);
    let finding = desk.get("/at/AF-204/finding/speed/top-speed-short.json").json();
    assert_eq!(finding["finding"]["accepted"]["by"], "M. Truscott");
    let second = desk.get("/at/AF-204.json").json()["candidates"][1]["id"].as_str().unwrap().to_owned();
    assert_eq!(desk.send("/at/AF-204/replacement", &[BY, ("candidate", "no/such/heavy")]).status, 422);
    assert_eq!(desk.send("/at/AF-204/replacement", &[BY, ("candidate", &second)]).status, 303);
    assert_eq!(desk.get("/at/AF-204.json").json()["chosen"], second.as_str());
}

#[test]
fn two_nameplates_give_a_bounded_answer() {
    let desk = Open::demo();
    let fields = desk.get("/breakdown.json").json()["fields"].as_array().unwrap().len();
    assert!(fields <= 15, "{fields} fields");
    let answer = desk.send(
        "/breakdown",
        &[
            ("tag", "BD-900"),
            BY,
            ("machine", "conveyor"),
            ("old.rated_current", "99 A"),
            ("motor.power", "75 hp"),
            ("motor.voltage", "460 V"),
            ("motor.frequency", "60 Hz"),
            ("motor.speed", "1780 rpm"),
            ("motor.current", "88 A"),
        ],
    );
    assert_eq!((answer.status, answer.header("location")), (303, Some("/at/BD-900")), "{}", answer.body);
    let position = desk.get("/at/BD-900.json").json();
    assert!(position["candidates"].as_array().unwrap().len() > 1 && !position["measure_next"].as_array().unwrap().is_empty());
    assert!(
        desk.text("positions/BD-900.toml")
            .contains("power = { value = \"75 hp\", from = \"nameplate\", by = \"M. Truscott\", on = 2026-03-31 }")
    );
    let wrong = desk.send("/breakdown", &[("tag", "BD-900"), BY, ("motor.power", "75 pferde")]);
    assert!(wrong.status == 422 && wrong.body.contains("is there already") && wrong.body.contains("pferde"));
}

#[test]
fn a_power_cut_during_a_save_leaves_the_old_file_or_the_new_one() {
    let mut desk = Open::demo();
    let old = desk.text(FILE);
    for round in 0..12_u32 {
        let value = format!("{} A", 30 + round);
        let was = desk.get("/at/BE-101/found.json").json()["facts"]["load.current"]["value"].as_str().unwrap().to_owned();
        let before = desk.text(FILE);
        let request = desk.posted("/at/BE-101/found", &[BY, ("v:load.current", &value), ("w:load.current", &was)]);
        let mut stream = std::net::TcpStream::connect(&desk.host).unwrap();
        std::io::Write::write_all(&mut stream, request.as_bytes()).unwrap();
        std::thread::sleep(std::time::Duration::from_micros(u64::from(round) * 700));
        desk.kill();
        let now = desk.text(FILE);
        assert!(now == before || now.contains(&format!("current = {{ value = \"{value}\"")), "round {round}: {now}");
        assert_eq!(now.lines().count(), old.lines().count());
        desk.again();
        // What was cut off in the history spoils nothing.
        assert_eq!(desk.get("/history.json").status, 200);
    }
    let strays: Vec<_> = std::fs::read_dir(desk.path("positions"))
        .unwrap()
        .filter_map(|e| e.unwrap().file_name().into_string().ok())
        .filter(|n| !n.ends_with(".toml"))
        .collect();
    assert!(strays.iter().all(|n| n.starts_with(".changeout-")), "{strays:?}");
}
