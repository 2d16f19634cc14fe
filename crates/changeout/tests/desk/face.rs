//! Who may ask, and what becomes of those who may not; hostile texts, paths, sizes.

use std::path::Path;

use super::open::{Open, copy};
use super::shown::PATHS;

#[test]
fn other_hosts_and_other_sites_are_turned_away() {
    let desk = Open::demo();
    let with = |line: &str| desk.raw(&format!("GET / HTTP/1.1\r\n{line}\r\nConnection: close\r\n\r\n")).status;
    assert_eq!(with(&format!("Host: {}", desk.host)), 200);
    // A name that somebody bound to this machine.
    assert_eq!(with("Host: rebound.example"), 421);
    assert_eq!(with("Host: 127.0.0.1:1"), 421);
    let posted = desk.posted("/add", &[("tag", "ZZ-1"), ("by", "M. Truscott")]);
    let own = format!("Origin: http://{}", desk.host);
    for other in ["Origin: http://elsewhere.example", "Origin: null", "X-None: 1"] {
        assert_eq!(desk.raw(&posted.replace(&own, other)).status, 403, "{other}");
    }
    assert!(!desk.path("positions/ZZ-1.toml").exists());
    assert_eq!(desk.raw(&posted).status, 303);
    assert!(desk.path("positions/ZZ-1.toml").exists());
    assert_eq!(desk.raw(&posted.replace("POST", "DELETE")).status, 405);
}

#[test]
fn every_answer_forbids_foreign_and_inline_scripts() {
    let desk = Open::demo();
    for path in ["/", "/nope", "/at/BE-101", "/own/desk.js", "/site.json"] {
        let answer = desk.get(path);
        let policy = answer.header("content-security-policy").unwrap_or_else(|| panic!("{path}: {}", answer.head));
        assert!(
            policy.contains("default-src 'none'") && policy.contains("frame-ancestors 'none'") && !policy.contains("unsafe"),
            "{policy}"
        );
        assert_eq!(answer.header("x-content-type-options"), Some("nosniff"));
        assert!(answer.header("access-control-allow-origin").is_none());
        if answer.header("content-type").is_some_and(|t| t.starts_with("text/html")) {
            for inline in [" style=", "<style", " onclick=", " onload=", "javascript:"] {
                assert!(!answer.body.contains(inline), "{path}: {inline}");
            }
            assert_eq!(answer.body.matches("<script").count(), 1, "{path}");
        }
    }
}

#[test]
fn no_path_leads_out_of_the_site() {
    let desk = Open::demo();
    std::fs::write(desk.path("notes.txt"), "private").unwrap();
    std::fs::write(desk.path("evidence/secret.csv"), "private").unwrap();
    for path in [
        "/files/../../etc/passwd",
        "/files/..%2f..%2fetc%2fpasswd",
        "/files/%2fetc%2fpasswd",
        "/files//etc/passwd",
        "/files/positions/../../../etc/passwd",
        "/files/notes.txt",
        "/files/evidence/secret.csv",
        "/own/../Cargo.toml",
        "/own/..%2f..%2fCargo.toml",
        "/at/..%2f..%2fsite",
    ] {
        let answer = desk.get(path);
        assert_eq!(answer.status, 404, "{path}");
        assert!(!answer.body.contains("private") && !answer.body.contains("root:"), "{path}");
    }
    // Names of new files neither.
    for tag in ["../out", "a/b", "..", "C:x", "x\u{0}", "be-101"] {
        let answer = desk.send("/add", &[("tag", tag), ("by", "M. Truscott")]);
        assert_eq!(answer.status, 422, "{tag:?}");
    }
    assert!(!desk.path("../out.toml").exists());
}

#[test]
fn hostile_text_stands_as_text() {
    let desk = Open::demo();
    let evil = "<img src=x onerror=alert(1)>\"'</script><svg/onload=1>&lt;";
    let written = desk.send(
        "/at/BE-101/found",
        &[("by", evil), ("v:machine", evil), ("w:machine", "Bucket elevator, raw grain to the top bins, 31 m lift")],
    );
    assert_eq!(written.status, 303, "{}", written.body);
    for path in ["/", "/at/BE-101", "/at/BE-101/found", "/history", "/at/BE-101/history", "/files/positions/BE-101.toml"] {
        let page = desk.get(path).body;
        assert!(page.contains("&lt;img src=x"), "{path}");
        assert!(!page.contains("<img src=x") && !page.contains("<svg/onload"), "{path}");
    }
    let asked = desk.get("/?q=%22%3E%3Cimg%20src%3Dx%3E");
    assert!(asked.status == 200 && !asked.body.contains("<img src=x"));
}

#[test]
fn hostile_text_in_any_file_stands_as_text_on_every_page() {
    const EVIL: &str = "<img src=x onerror=1>&'";
    let folder = tempfile::TempDir::new().unwrap();
    copy(&Path::new(env!("CARGO_MANIFEST_DIR")).join("demo"), folder.path());
    // Names of boxes, supplies, machines, makers, wires, settings and remarks, wherever they stand.
    let names = [
        "elevator head panel",
        "mill floor",
        "Bucket elevator",
        "Quellmoor",
        "momentary buttons",
        "M. Truscott",
        "R. Kestle",
        "start button",
    ];
    let mut files = vec![folder.path().to_path_buf()];
    let mut put = 0;
    while let Some(path) = files.pop() {
        if path.is_dir() {
            files.extend(std::fs::read_dir(path).unwrap().map(|e| e.unwrap().path()));
        } else if let Ok(mut text) = std::fs::read_to_string(&path) {
            for name in names.iter().filter(|name| text.contains(**name)).collect::<Vec<_>>() {
                put += 1;
                text = text.replace(name, &format!("{name} {EVIL}"));
            }
            std::fs::write(path, text).unwrap();
        }
    }
    assert!(put >= 20, "{put}");
    let desk = Open::of(folder);
    assert_eq!(desk.get("/site.json").json()["problems"].as_array().unwrap().iter().filter(|p| p["severity"] == "error").count(), 0);
    let mut shown = 0;
    for path in PATHS.iter().copied().chain(["/at/BE-101/box/drawing", "/at/BE-101/cutover/drawing"]) {
        let page = desk.get(path);
        assert_eq!(page.status, 200, "{path}: {}", page.body);
        assert!(!page.body.contains("<img src=x"), "{path}: {}", page.body);
        shown += usize::from(page.body.contains("&lt;img src=x"));
    }
    assert!(shown > PATHS.len() / 2, "{shown} pages show it");
}

#[test]
fn too_much_is_refused() {
    let desk = Open::demo();
    let long = "x".repeat(5 << 20);
    assert_eq!(desk.send("/add", &[("tag", &long), ("by", "x")]).status, 413);
    let path = format!("/{}", "a".repeat(60_000));
    assert!(matches!(desk.get(&path).status, 0 | 400 | 404 | 414 | 431));
    let many: String = (0..200).map(|i| format!("X-{i}: 1\r\n")).collect();
    let answer = desk.raw(&format!("GET / HTTP/1.1\r\nHost: {}\r\n{many}\r\n", desk.host));
    assert!(matches!(answer.status, 0 | 431), "{}", answer.head);
    assert_ne!(desk.raw("\u{1}\u{2}\u{3}\r\n\r\n").status, 200);
    assert_eq!(desk.get("/").status, 200);
}
