//! `settings` from outside: the shape of its JSON, the demo's packs, and a pack that begins with a data sheet.

use std::collections::{BTreeMap, BTreeSet};

use crate::site::{DATE, Site, list, run, text};

/// Settings of each demo series at the least, and how many of them another series has too.
const SETTINGS: usize = 120;
const SHARED: usize = 60;

fn keys(value: &serde_json::Value) -> BTreeSet<&str> {
    value.as_object().map(|o| o.keys().map(String::as_str).collect()).unwrap_or_default()
}

#[test]
fn each_line_says_just_what_scripts_are_promised() {
    let site = Site::demo();
    for tag in ["AF-204", "BE-101", "ML-701", "MX-603"] {
        let answer = run(["settings", site.path(), tag, "--json", "--date", DATE]).json();
        let lines = list(&answer, "settings");
        assert!(lines.len() > SETTINGS, "{tag}: {}", lines.len());
        for line in lines {
            assert_eq!(keys(line), BTreeSet::from(["loss", "meaning", "new", "old", "outcome", "reason"]), "{line}");
            for side in ["old", "new"] {
                assert!(line[side].is_null() || keys(&line[side]) == BTreeSet::from(["id", "text"]), "{line}");
            }
            assert!(line["meaning"].is_null() || keys(&line["meaning"]) == BTreeSet::from(["concept", "unit", "value"]), "{line}");
            assert!(!text(line, "reason").is_empty(), "{line}");
            assert!(!line["old"].is_null() || !line["new"].is_null(), "{line}");
        }
    }
}

/// The rows of a table of a demo pack, without comments and header.
fn rows(site: &Site, series: &str) -> Vec<Vec<String>> {
    let table = site.read(&format!("packs/{series}/settings.csv"));
    let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_reader(table.as_bytes());
    reader.records().map(|r| r.unwrap().iter().map(str::to_owned).collect()).collect()
}

#[test]
fn each_series_has_settings_enough_and_shares_most_of_them() {
    let site = Site::demo();
    let mut concepts = BTreeMap::new();
    for series in ["grindlow", "lathmere", "ossick", "pellow", "wendle"] {
        let rows = rows(&site, series);
        let names: BTreeSet<&String> = rows.iter().map(|r| &r[1]).collect();
        assert!(rows.len() >= SETTINGS && names.len() == rows.len(), "{series}: {} settings, {} names", rows.len(), names.len());
        let own: BTreeSet<(String, String)> = rows.iter().filter(|r| !r[2].is_empty()).map(|r| (r[2].clone(), r[3].clone())).collect();
        concepts.insert(series, own);
    }
    for (a, own) in &concepts {
        for (b, other) in concepts.iter().filter(|(b, _)| *b != a) {
            let shared = own.intersection(other).count();
            assert!(shared >= SHARED, "{a} and {b} share {shared}");
        }
    }
}

/// Invented, in the form of CiA 306.
const SHEET: &str = "[DeviceInfo]\nProductName=Invented\n[ManufacturerObjects]\nSupportedObjects=1\n1=0x2100\n[2100]\nParameterName=time up\n\
    ObjectType=0x7\nDataType=0x0006\nAccessType=rw\nLowLimit=1\nHighLimit=0x2710\nDefaultValue=100\n";

#[test]
fn a_pack_begins_with_a_data_sheet() {
    let site = Site::demo();
    site.write("sheet.eds", SHEET);
    let sheet = site.file("sheet.eds");
    run(["new", "pack", "begun", "--from", sheet.to_str().unwrap(), "--site", site.path()]).ends(0).says(&["settings.csv"]);
    assert!(site.read("packs/begun/settings.csv").contains("\n2100:00,time up,,,,,,,1,10000,100,stopped,2100:00,u16,\n"));
    // What began so is a table that the reader takes: nothing is wrong in it.
    let check = run(["check", site.file("packs/begun").to_str().unwrap()]).text();
    assert!(!check.contains("settings.csv:"), "{check}");
}

#[test]
fn a_data_sheet_with_mistakes_begins_nothing() {
    let site = Site::demo();
    let files = |site: &Site| site.snapshot().len();
    let before = files(&site) + 1;
    site.write("sheet.eds", SHEET.replace("DataType=0x0006", "DataType=six"));
    let sheet = site.file("sheet.eds");
    let arguments = ["new", "pack", "begun", "--from", sheet.to_str().unwrap(), "--site", site.path()];
    run(arguments).ends(2).says(&["“six” is no DataType", "1 error"]);
    site.write("sheet.eds", SHEET.replace("HighLimit=0x2710", "HighLimit=0").replace("AccessType=rw", "AccessType=perhaps"));
    run(arguments).ends(2).says(&["lies below LowLimit", "“perhaps” is no AccessType", "2 errors"]);
    site.write("sheet.eds", [0xff_u8, 0xfe, 0, 1]);
    run(arguments).ends(2).says(&["UTF-16"]);
    assert_eq!(files(&site), before);
}
