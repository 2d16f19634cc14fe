//! The guide "from data sheet to pack" is true: its blocks make a pack without a problem, its mistakes are told as printed.

use crate::common::{PackTexts, pack, shown};

const GUIDE: &str = include_str!("../../../../docs/from-data-sheet-to-pack.md");

/// Fenced blocks whose first line names a file.
fn blocks() -> PackTexts {
    let mut blocks: PackTexts = Vec::new();
    let mut inside = false;
    for line in GUIDE.lines() {
        if let Some(info) = line.strip_prefix("```") {
            inside = !inside && info.contains(' ');
            if inside {
                blocks.push((info.split_once(' ').map_or("", |(_, name)| name).to_owned(), String::new()));
            }
        } else if let Some((_, text)) = blocks.last_mut().filter(|_| inside) {
            text.push_str(line);
            text.push('\n');
        }
    }
    blocks
}

#[test]
fn the_blocks_of_the_guide_are_a_pack_without_a_problem() {
    let files: PackTexts = blocks().into_iter().filter(|(name, _)| name != "problems").collect();
    assert_eq!(files.len(), 14);
    let read = pack(&files, "brackwall-b4");
    assert_eq!(shown(&read.problems), "");
    let series = read.checked().expect("no errors");
    assert_eq!((series.ratings.len(), series.frames.len(), series.protections.len()), (8, 2, 4));
    assert_eq!(series.line_side("2").and_then(|l| l.choke), Some(plant::quantity::Ratio::percent(3.0)));
    assert_eq!(series.motor_side("2").and_then(|m| m.cable_screened), Some(plant::quantity::Length::m(100.0)));
    assert_eq!((series.mountings.len(), series.holes.len(), series.carrier_losses.len()), (5, 8, 2));
    let decoded = series.decode("B4-031-E0N").expect("the code of the data sheet");
    assert_eq!(decoded.ratings.len(), 2);
}

#[test]
fn the_mistakes_of_the_guide_are_told_as_printed() {
    let mut files = blocks();
    let printed = files.iter().find(|(name, _)| name == "problems").map(|(_, text)| text.clone()).expect("printed");
    files.retain(|(name, _)| name != "problems");
    let ratings = &mut files.iter_mut().find(|(name, _)| name == "ratings.csv").expect("there").1;
    *ratings = ratings
        .replace("016,1,400,heavy", "016,1,400,heavvy")
        .replace("031,1,400,light", "031,3,400,light")
        .replace("light,46,", "light,46 kW,");
    assert_eq!(shown(&pack(&files, "brackwall-b4").problems), printed);
}
