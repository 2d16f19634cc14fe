//! `rehearse`: what it refuses; what it serves is tried by an outside client (second_opinion_rehearse.rs).

use crate::site::{Site, run};

#[test]
fn what_cannot_be_served_is_refused_with_what_is_missing() {
    let site = Site::demo_with(&["SF-512", "BE-101"]);
    run(["rehearse", site.path(), "BE-101", "--old"]).ends(2).says(&["no [network] table"]);
    run(["rehearse", site.path(), "SF-512", "--candidate", "pellow"]).ends(2).says(&["Pellow has no network layout"]);
    run(["rehearse", site.path(), "SF-512", "--port", "70000"]).ends(2).says(&["70000"]);
    site.edit("packs/grindlow/layouts.csv", "modbus-rtu", "cip");
    run(["rehearse", site.path(), "SF-512", "--old"]).ends(2).says(&["only layouts on Modbus can be rehearsed"]);
}

#[test]
fn a_full_scale_that_nobody_read_is_asked_for() {
    let site = Site::demo_with(&["SF-512"]);
    let was = r#"full_scale = { value = "60 Hz", from = "photo", by = "R. Kestle", on = 2026-03-04 }"#;
    site.edit("positions/SF-512.toml", was, "full_scale = \"?\"");
    for drive in [&["--old"][..], &["--candidate", "lathmere"]] {
        run([&["rehearse", site.path(), "SF-512"], drive].concat()).ends(2).says(&["to read first: network.full_scale"]);
    }
}
