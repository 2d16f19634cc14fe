//! The writers on the example plate (golden files; `UPDATE_GOLDEN=1` renews them) and on drawings that mean harm.
#![allow(clippy::disallowed_methods, reason = "a test reads its golden files and asks the environment whether to renew them")]
#![allow(clippy::expect_used, reason = "a test stops at the first broken expectation")]

mod common;

use std::collections::HashSet;
use std::path::Path;

use dossier::drawing::{Drawing, Hatch, Shape, at, layer};
use output::dxf::dxf;
use output::svg::{Ground, Options, Size, svg};
use proptest::prelude::*;

fn actual() -> Options {
    Options { size: Size::Actual, ground: Ground::Light, prefix: "plan-".into() }
}

fn golden(name: &str, text: &str) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/golden").join(name);
    if std::env::var("UPDATE_GOLDEN").is_ok() {
        std::fs::write(&path, text).expect("written");
    }
    let kept = std::fs::read_to_string(&path).expect("golden file");
    assert!(kept == text, "{name} differs; look at the change, then UPDATE_GOLDEN=1");
}

#[test]
fn the_plate_is_drawn_as_before() {
    let plate = common::plate();
    golden("plate.dxf", &dxf(&plate).expect("drawn"));
    golden("plate.svg", &svg(&plate, &Options::default()).expect("drawn"));
    golden("plate_dark.svg", &svg(&plate, &Options { ground: Ground::Dark, ..Options::default() }).expect("drawn"));
    golden("plate_actual.svg", &svg(&plate, &actual()).expect("drawn"));
}

#[test]
fn the_plate_can_be_read_as_data() {
    let json = serde_json::to_value(common::plate()).expect("JSON");
    assert_eq!(json["items"][0]["shape"]["rectangle"]["width"], 500.0);
    assert_eq!(json["layers"][3]["line"], "dashed");
}

/// A group of a DXF file.
#[derive(Clone, Copy)]
struct Group<'a> {
    code: u16,
    value: &'a str,
}

/// Reads the groups with the types that their codes stand for.
fn groups(text: &str) -> Result<Vec<Group<'_>>, String> {
    if !text.is_ascii() || !text.ends_with('\n') {
        return Err("not ASCII, or no line end at the end".into());
    }
    let lines: Vec<&str> = text.lines().collect();
    if !lines.len().is_multiple_of(2) {
        return Err("an odd number of lines".into());
    }
    let mut groups = Vec::new();
    for pair in lines.chunks_exact(2) {
        let code: u16 = pair[0].trim().parse().map_err(|_| format!("{:?} is no group code", pair[0]))?;
        let value = pair[1];
        if value.len() > 255 || value.chars().any(|c| c.is_ascii_control()) {
            return Err(format!("{value:?} is too long or has control characters"));
        }
        match code {
            10..=59 | 140..=147 => {
                let real: f64 = value.parse().map_err(|_| format!("{value:?} is no number"))?;
                if !real.is_finite() || !value.contains('.') || value.contains(['e', 'n', 'i']) {
                    return Err(format!("{value:?} is no plain number"));
                }
            }
            60..=79 => drop(value.parse::<i64>().map_err(|_| format!("{value:?} is no whole number"))?),
            0..=9 | 999 => {}
            _ => return Err(format!("unexpected group code {code}")),
        }
        groups.push(Group { code, value });
    }
    Ok(groups)
}

/// The least that a reader relies on: sections, tables, blocks and polylines closed, names known before they are used.
fn readable(text: &str) -> Result<(), String> {
    let groups = groups(text)?;
    let mut open: Vec<&str> = Vec::new();
    let mut sections = Vec::new();
    let (mut layers, mut blocks, mut used) = (HashSet::new(), HashSet::new(), Vec::new());
    let mut record = "";
    for (number, &Group { code, value }) in groups.iter().enumerate() {
        if code == 2 {
            match record {
                "LAYER" => drop(layers.insert(value)),
                "BLOCK" => drop(blocks.insert(value)),
                "SECTION" => {
                    sections.push(value);
                    record = "";
                }
                "DIMENSION" if !blocks.contains(value) => return Err(format!("no block {value}")),
                _ => {}
            }
        }
        if code == 8 && !sections.ends_with(&["HEADER"]) {
            used.push(value);
        }
        if code != 0 {
            continue;
        }
        record = value;
        let ends = match value {
            "ENDSEC" => Some("SECTION"),
            "ENDTAB" => Some("TABLE"),
            "ENDBLK" => Some("BLOCK"),
            "SEQEND" => Some("POLYLINE"),
            _ => None,
        };
        match (value, ends) {
            (_, Some(begin)) if open.pop() != Some(begin) => return Err(format!("{value} without {begin}")),
            ("SECTION" | "TABLE" | "BLOCK" | "POLYLINE", _) => open.push(value),
            ("VERTEX", _) if open.last() != Some(&"POLYLINE") => return Err("a lost VERTEX".into()),
            ("EOF", _) if !open.is_empty() || number + 1 != groups.len() => return Err("an early EOF".into()),
            _ => {}
        }
    }
    if record != "EOF" || sections != ["HEADER", "TABLES", "BLOCKS", "ENTITIES"] {
        return Err(format!("ends in {record}, sections {sections:?}"));
    }
    used.iter().find(|name| !layers.contains(**name)).map_or(Ok(()), |name| Err(format!("no layer {name}")))
}

/// The least that an XML reader relies on: tags that match, attributes in quotes, no bare markup, only elements that we mean.
fn well_formed(text: &str) -> Result<(), String> {
    const KNOWN: &str = "svg title desc rect defs pattern path g line polygon polyline circle text";
    const ATTRIBUTES: &str = "xmlns width height viewBox role aria-labelledby id fill fill-rule stroke stroke-width stroke-linejoin \
                              stroke-linecap stroke-dasharray patternUnits d x y x1 y1 x2 y2 cx cy r points transform font-family \
                              font-size text-anchor paint-order";
    if text.chars().any(|c| c != '\n' && (c.is_control() || matches!(c, '\u{fffe}' | '\u{ffff}'))) {
        return Err("characters that XML does not know".into());
    }
    let mut open: Vec<&str> = Vec::new();
    let mut ids = HashSet::new();
    for part in text.split('<').skip(1) {
        let (tag, content) = part.split_once('>').ok_or("an open tag")?;
        if content.contains('>') {
            return Err(format!("bare > in {content:?}"));
        }
        for reference in content.split('&').skip(1).chain(tag.split('&').skip(1)) {
            if !["lt;", "gt;", "amp;", "quot;", "#39;"].iter().any(|known| reference.starts_with(known)) {
                return Err(format!("&{reference:?}"));
            }
        }
        if let Some(name) = tag.strip_prefix('/') {
            if open.pop() != Some(name) {
                return Err(format!("</{name}> without its beginning"));
            }
            continue;
        }
        let name = tag.split([' ', '/']).next().unwrap_or("");
        if !KNOWN.split(' ').any(|known| known == name) {
            return Err(format!("an element {name:?}"));
        }
        let names = tag[name.len()..].trim_end_matches('/').split('"').step_by(2);
        let strange = names
            .map(str::trim)
            .find(|name| !name.is_empty() && !name.strip_suffix('=').is_some_and(|n| ATTRIBUTES.split(' ').any(|known| known == n)));
        if let Some(strange) = strange {
            return Err(format!("an attribute {strange:?}"));
        }
        let id = tag.split(" id=\"").nth(1).and_then(|rest| rest.split('"').next());
        if id.is_some_and(|id| !ids.insert(id)) {
            return Err(format!("{id:?} twice"));
        }
        if !tag.ends_with('/') {
            open.push(name);
        }
    }
    for used in text.split("url(#").skip(1) {
        let id = used.split(')').next().unwrap_or("");
        if !ids.contains(id) {
            return Err(format!("no pattern {id:?}"));
        }
    }
    if open.is_empty() { Ok(()) } else { Err(format!("open at the end: {open:?}")) }
}

#[test]
fn the_readers_above_can_fail() {
    let plate = common::plate();
    let (cad, picture) = (dxf(&plate).expect("drawn"), svg(&plate, &Options::default()).expect("drawn"));
    assert_eq!((readable(&cad), well_formed(&picture)), (Ok(()), Ok(())));
    for (from, to) in [("SEQEND", "VERTEX"), ("ENDSEC", "ENDTAB"), (" 40\n", " 40\nNaN\n 40\n"), ("\n*D0\n", "\n*D99\n"), ("EOF", "SEQEND")]
    {
        assert!(readable(&cad.replacen(from, to, 1)).is_err(), "{from:?} → {to:?}");
    }
    for (from, to) in [("</g>", ""), ("</title>", "<b></title>"), ("<circle", "<script"), ("id=\"KEEP_OUT-rising\"", ""), ("\" y", " y")] {
        assert!(well_formed(&picture.replacen(from, to, 1)).is_err(), "{from:?} → {to:?}");
    }
}

#[test]
fn what_cannot_be_drawn_is_refused_with_every_reason() {
    let mut bad = Drawing::new("bad", 100.0, f64::NAN, 2.5);
    bad.layers[0].weight = f64::INFINITY;
    bad.layers[1].name = "plate".into();
    bad.add(layer::TEXT, Shape::circle(at(0.0, f64::NEG_INFINITY), 0.0));
    bad.add("NOWHERE", Shape::line(at(0.0, 0.0), at(1e9, 0.0)));
    bad.add(layer::TEXT, Shape::dimension(at(1.0, 0.0), at(1.0, 5.0), dossier::drawing::Along::Horizontal, 1.0));
    bad.add(layer::TEXT, Shape::Polyline { points: vec![at(0.0, 0.0)], closed: false, hatch: Hatch::Rising });
    let refused = dxf(&bad).expect_err("refused");
    let wanted = ["sheet: height", "layer 0", "layer 1", "item 0", "item 0", "item 1", "item 1", "item 2", "item 3", "item 3"];
    assert_eq!(refused.problems.len(), wanted.len(), "{refused:#?}");
    assert!(refused.problems.iter().zip(wanted).all(|(said, wanted)| said.starts_with(wanted)), "{refused:#?}");
    assert_eq!(svg(&bad, &Options::default()), Err(refused));
}

#[test]
fn the_sheet_has_its_true_size_and_grows_for_what_reaches_over_it() {
    let mut small = Drawing::new("<b>", 200.0, 100.0, 2.5);
    let picture = svg(&small, &actual()).expect("drawn");
    assert!(picture.contains(r#"width="200mm" height="100mm" viewBox="0 0 200 100""#) && picture.contains("&lt;b&gt;</title>"));
    small.add(layer::PLATE, Shape::rectangle(at(-50.0, 20.0), 100.0, 130.0));
    let picture = svg(&small, &actual()).expect("drawn");
    assert!(picture.contains(r#"width="250mm" height="150mm" viewBox="0 0 250 150""#));
    assert!(picture.contains(r#"points="0,130 100,130 100,0 0,0""#));
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_drawing_can_be_read(drawing in common::drawing(), dark in any::<bool>(), prefix in common::hostile()) {
        let cad = dxf(&drawing).expect("drawn");
        prop_assert_eq!(readable(&cad), Ok(()));
        let ground = if dark { Ground::Dark } else { Ground::Light };
        let options = Options { size: Size::Responsive, ground, prefix };
        let picture = svg(&drawing, &options).expect("drawn");
        prop_assert_eq!(well_formed(&picture), Ok(()));
        prop_assert!(dxf(&drawing).expect("drawn") == cad && svg(&drawing, &options).expect("drawn") == picture);
    }

    /// Whatever the numbers are: drawn and readable, or refused with a reason.
    #[test]
    fn no_number_breaks_a_writer(x in any::<f64>(), y in any::<f64>(), size in any::<f64>(), count in 0..5usize) {
        let mut drawing = Drawing::new("wild", 100.0, 100.0, 2.5);
        drawing.add(layer::PLATE, Shape::circle(at(x, 0.0), size).hatched(Hatch::Crossed));
        drawing.add(layer::PLATE, Shape::polygon(vec![at(x, y); count]).hatched(Hatch::Falling));
        drawing.add(layer::PLATE, Shape::dimension(at(x, y), at(y, x), dossier::drawing::Along::Aligned, size));
        match (dxf(&drawing), svg(&drawing, &Options::default())) {
            (Ok(cad), Ok(picture)) => prop_assert_eq!((readable(&cad), well_formed(&picture)), (Ok(()), Ok(()))),
            (Err(one), Err(other)) => prop_assert!(one == other && !one.problems.is_empty()),
            _ => prop_assert!(false, "the writers disagree"),
        }
    }
}
