//! Lists of positions and proofs: what comes in from outside, looked at before anything is written.

use super::open::Open;

const BY: (&str, &str) = ("by", "M. Truscott");
const LIST: &str = "tag,machine,motor.power [hp],motor.voltage,colour\nP-1,Pump,40,460 V,blue\nP-2,Fan,40 hq,,\n,No tag,5 hp,,\nbe-101,Twice,5 hp,,\nP-3,<b>Screw</b>,,,\n";

#[test]
fn a_list_is_shown_whole_before_anything_is_written() {
    let desk = Open::demo();
    let seen = desk.upload("/import.json", &[], "file", "list.csv", LIST.as_bytes());
    assert_eq!(seen.status, 200, "{}", seen.body);
    let seen = seen.json();
    assert_eq!((&seen["usable"], &seen["unread"]), (&2.into(), &3.into()), "{seen:#}");
    for (row, part) in [(1, "hq"), (2, "no tag"), (3, "there already")] {
        assert!(seen["rows"][row]["wrong"].to_string().contains(part), "{part}: {seen:#}");
    }
    assert_eq!(seen["columns"][4]["path"], serde_json::Value::Null);
    let page = desk.upload("/import", &[], "file", "list.csv", LIST.as_bytes()).body;
    assert!(page.contains("&lt;b&gt;Screw") && !page.contains("<b>Screw") && page.contains("hq"), "{page}");
    assert!(!desk.path("positions/P-1.toml").exists());
    // The preview's own form brings the rows that can be used.
    let list = page.split("name=\"list\" value=\"").nth(1).unwrap().split("\">").next().unwrap();
    let list = list.replace("&quot;", "\"").replace("&lt;", "<").replace("&gt;", ">").replace("&amp;", "&");
    assert_eq!(desk.send("/import", &[("list", &list), ("by", " ")]).status, 422);
    let added = desk.send("/import.json", &[("list", &list), BY]);
    assert_eq!(added.json()["added"], serde_json::json!(["P-1", "P-3"]), "{}", added.body);
    let text = desk.text("positions/P-1.toml");
    assert!(text.contains("\"40 hp\"") && text.contains("M. Truscott") && text.contains("machine = \"Pump\""), "{text}");
    assert_eq!(desk.get("/site.json").json()["all"], 10);
    assert!(desk.get("/history.json").json()["changes"][0]["what"].as_str().unwrap().contains("from a list"));
    // Sent again, the tags are taken: nothing is written over.
    assert_eq!(desk.send("/import", &[("list", &list), BY]).status, 422);
    assert_eq!(desk.text("positions/P-1.toml"), text);
}

#[test]
fn a_long_table_comes_in_parts_that_keep_search_and_order() {
    let desk = Open::demo();
    let list: String = (0..120).map(|i| format!("P-{i:03},Spare {i}\n")).collect();
    let added = desk.send("/import.json", &[("list", &format!("tag,machine\n{list}")), BY]);
    assert_eq!(added.json()["added"].as_array().unwrap().len(), 120, "{}", added.body);
    let rows = |path: &str| desk.get(path).body.matches("<th scope=\"row\"><a href=\"/at/").count();
    assert_eq!((rows("/"), rows("/?part=2"), rows("/?part=99"), rows("/?rows=all")), (100, 28, 28, 128));
    // What is searched for stays so in every part, and few rows need no parts.
    let found = desk.get("/?q=spare&sort=tag").body;
    assert!(found.contains("1 to 100 of 120") && found.contains("href=\"/?q=spare&amp;sort=tag&amp;part=2\""), "{found}");
    assert!(desk.get("/?q=spare&sort=tag&part=2").body.contains("P-119"));
    assert!(!desk.get("/?q=spare+11").body.contains("nav class=\"parts\""));
    // Scripts get all at once.
    assert_eq!(desk.get("/site.json").json()["positions"].as_array().unwrap().len(), 128);
}

#[test]
fn a_workbook_is_read_and_what_is_none_is_refused() {
    let desk = Open::demo();
    // The tables of the papers are a workbook, though not a list of positions.
    let book = desk.get("/at/SF-512/papers/tables.xlsx").bytes;
    let seen = desk.upload("/import.json", &[], "file", "tables.xlsx", &book);
    assert!(seen.status == 422 && seen.json()["wrong"].to_string().contains("tag"), "{}", seen.body);
    for (name, bytes) in [("a.xlsx", &b"no workbook"[..]), ("a.csv", b"\xff\xfe\x00"), ("a.csv", b"")] {
        assert_eq!(desk.upload("/import", &[], "file", name, bytes).status, 422, "{name}");
    }
    assert_eq!(desk.upload("/import", &[], "file", "big.csv", &vec![b'x'; 17 << 20]).status, 413);
    assert_eq!(desk.get("/").status, 200);
}

#[test]
fn a_proof_is_a_picture_by_its_bytes_and_is_shown_again() {
    const PNG: &[u8] = b"\x89PNG\r\n\x1a\n0000";
    let desk = Open::demo();
    let kept = desk.upload("/at/BE-101/proof.json", &[BY], "proof", "../../evil.png", PNG);
    assert_eq!(kept.json()["proof"], "evidence/be-101-proof-1.png", "{}", kept.body);
    assert_eq!(std::fs::read(desk.path("evidence/be-101-proof-1.png")).unwrap(), PNG);
    let shown = desk.get("/proof/evidence/be-101-proof-1.png");
    assert_eq!((shown.status, shown.header("content-type"), shown.bytes.as_slice()), (200, Some("image/png"), PNG));
    // The next one has the next name; nothing is written over.
    assert_eq!(desk.upload("/at/BE-101/proof.json", &[BY], "proof", "plate.png", PNG).json()["proof"], "evidence/be-101-proof-2.png");
    for wrong in [&b"<svg xmlns='http://www.w3.org/2000/svg' onload='x()'/>"[..], b"<html>", b"MZ"] {
        assert_eq!(desk.upload("/at/BE-101/proof", &[BY], "proof", "plate.png", wrong).status, 415);
    }
    assert_eq!(desk.upload("/at/BE-101/proof", &[], "proof", "plate.png", PNG).status, 422, "without a name");
    assert_eq!(desk.upload("/at/NO-1/proof", &[BY], "proof", "plate.png", PNG).status, 404);
    // Only pictures below evidence/ are shown, and no link leads out.
    for path in
        ["/proof/site.toml", "/proof/evidence/be-101-clamp.csv", "/proof/evidence/..%2f..%2fetc%2fpasswd", "/proof/evidence/../site.toml"]
    {
        assert_eq!(desk.get(path).status, 404, "{path}");
    }
    #[cfg(unix)]
    {
        let outside = tempfile::NamedTempFile::new().unwrap();
        std::fs::write(outside.path(), PNG).unwrap();
        std::os::unix::fs::symlink(outside.path(), desk.path("evidence/link.png")).unwrap();
        assert_eq!(desk.get("/proof/evidence/link.png").status, 404);
    }
    // A reading names it, and the form leads to it.
    let saved = desk.send(
        "/at/BE-101/found",
        &[BY, ("proof", "evidence/be-101-proof-1.png"), ("v:load.current", "49 A"), ("w:load.current", "50.2 A")],
    );
    assert_eq!(saved.status, 303, "{}", saved.body);
    assert!(desk.get("/at/BE-101/found").body.contains("href=\"/proof/evidence/be-101-proof-1.png\""));
}
