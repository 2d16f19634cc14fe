//! What goes to the programmer beside the block: plain scaling lines, fault texts, symbols, and a program that runs the block through a
//! recorded start, stop and trip. The test vectors are in `vectors`.

use dossier::program::build::{arm, assign, call, case, dint, var, when, word};
use dossier::program::{Block, Project, Statement, Type, Unit};
use dossier::words::Table;
use plant::choice::Choice;
use plant::network::{Direction, Layout, WordMeaning};
use plant::quantity::digits;

use super::block::BLOCK;
use super::bytes::handed;
use super::pair::{Conversion, Pair, names};
use super::rig::Rig;
use super::script;

fn table(file: &str, head: &[&str], rows: Vec<Vec<String>>) -> Table {
    Table { file: file.to_owned(), head: head.iter().map(|h| (*h).to_owned()).collect(), rows }
}

/// Each number's line for a program without the block: whole arithmetic, rounded to the nearest.
#[must_use]
pub fn lines(pair: &Pair<'_>) -> Vec<String> {
    let number = |meaning| {
        let (old, new) = pair.partner(meaning)?;
        let (from, to) = if old.direction == Direction::ToDrive { (old, new) } else { (new, old) };
        let sides = if old.direction == Direction::ToDrive { ("old", "new") } else { ("new", "old") };
        let text = match pair.conversion(meaning)? {
            Conversion::Whole { line, .. } if line.num == line.den => format!("{} {} = {} {}", sides.1, to.name, sides.0, from.name),
            Conversion::Whole { line, .. } => {
                format!(
                    "{} {} = {} {} × {} / {}, in 32 bits, rounded to the nearest",
                    sides.1, to.name, sides.0, from.name, line.num, line.den
                )
            }
            Conversion::Float(ratio) => {
                format!("{} {} = {} {} × {}, in single precision", sides.1, to.name, sides.0, from.name, digits(ratio, 9))
            }
        };
        Some(text)
    };
    [WordMeaning::SpeedSetpoint, WordMeaning::SpeedActual, WordMeaning::CurrentActual, WordMeaning::TorqueActual]
        .into_iter()
        .filter_map(number)
        .collect()
}

/// The fault texts of the new drive beside those of the old one.
#[must_use]
pub fn crosswalk(pair: &Pair<'_>) -> Table {
    let mut rows: Vec<Vec<String>> = pair
        .faults()
        .map(|(new, old)| {
            let shown = old.map_or_else(|| "none: shown as a fault of the unit".to_owned(), |o| o.code.to_string());
            vec![
                new.code.to_string(),
                new.text.clone(),
                new.meaning.word().to_owned(),
                shown,
                old.map_or_else(String::new, |o| o.text.clone()),
            ]
        })
        .collect();
    for old in pair.old_faults.iter().filter(|o| !pair.new_faults.iter().any(|n| n.meaning == o.meaning)) {
        rows.push(vec!["none".into(), String::new(), old.meaning.word().to_owned(), old.code.to_string(), old.text.clone()]);
    }
    table("fault-texts.csv", &["new_code", "new_text", "meaning", "old_code", "old_text"], rows)
}

/// The block's variables with the words behind them.
#[must_use]
pub fn symbols(pair: &Pair<'_>) -> Table {
    let mut rows = Vec::new();
    for (prefix, layout, input) in [("OLD", pair.old, Direction::ToDrive), ("NEW", pair.new, Direction::FromDrive)] {
        for (at, word) in layout.words.iter().enumerate().filter(|(_, w)| prefix == "OLD" || pair.uses_new(w)) {
            for (part, name) in names(prefix, layout, at).unwrap_or_default().into_iter().enumerate() {
                let address = layout.address(word).map_or_else(String::new, |a| (a + u32::try_from(part).unwrap_or(0)).to_string());
                let way = if word.direction == input { "input" } else { "output" };
                let printed = u64::from(word.number) + part as u64;
                rows.push(vec![name, way.into(), "WORD".into(), layout.name.clone(), word.name.clone(), printed.to_string(), address]);
            }
        }
    }
    table("symbols.csv", &["variable", "way", "type", "layout", "word", "printed_number", "request_address"], rows)
}

/// Name of the program that tests the block.
pub const TEST: &str = "TEST_OLD_TO_NEW";

/// Adds a program that gives the block one recorded run, scan by scan, and counts in FAILS what does not come out as recorded: power-up,
/// start, stop, and a trip with its reset. `None` when there is no block.
#[must_use]
pub fn with_test(pair: &Pair<'_>, project: &Project) -> Option<Project> {
    let mut rig = Rig::of(pair, project).ok()?;
    let settings = &pair.old_settings;
    let half = pair.highest().in_hz() / 2.0;
    let start: Vec<Vec<u32>> = script::start(pair.old.sequence).iter().map(|d| script::words(pair.old, d, half, settings)).collect();
    let mut masters: Vec<(Vec<u32>, bool)> = Vec::new();
    for words in &start {
        masters.extend((0..4).map(|_| (words.clone(), false)));
    }
    let stop = script::words(pair.old, &script::stop(pair.old.sequence), half, settings);
    masters.extend((0..4).map(|_| (stop.clone(), false)));
    for words in &start {
        masters.extend((0..4).map(|_| (words.clone(), false)));
    }
    masters.push((stop.clone(), true));
    masters.extend((0..3).map(|_| (stop.clone(), false)));

    let mut unit = Unit::program(TEST)
        .note("Runs the block through a recorded start, stop and trip, one scan each, and counts what comes out otherwise.")
        .instance("BLOCK", Block::Own(BLOCK.to_owned()), "the block under test")
        .local("SCAN", Type::Dint, "scan of the record")
        .local("FAILS", Type::Dint, "scans that came out otherwise: 0 at the end")
        .local("DONE", Type::Bool, "the record has ended");
    let variables = |prefix: &str, layout: &Layout, direction: Direction| -> Vec<(usize, usize, String)> {
        layout
            .words(direction)
            .filter(|(_, w)| prefix == "OLD" || pair.uses_new(w))
            .flat_map(|(at, _)| names(prefix, layout, at).unwrap_or_default().into_iter().enumerate().map(move |(p, n)| (at, p, n)))
            .collect()
    };
    let inputs: Vec<(&Layout, (usize, usize, String))> = variables("OLD", pair.old, Direction::ToDrive)
        .into_iter()
        .map(|v| (pair.old, v))
        .chain(variables("NEW", pair.new, Direction::FromDrive).into_iter().map(|v| (pair.new, v)))
        .collect();
    let outputs: Vec<(&Layout, (usize, usize, String))> = variables("NEW", pair.new, Direction::ToDrive)
        .into_iter()
        .map(|v| (pair.new, v))
        .chain(variables("OLD", pair.old, Direction::FromDrive).into_iter().map(|v| (pair.old, v)))
        .collect();
    for (_, (_, _, name)) in inputs.iter().chain(&outputs) {
        unit = unit.local(name, Type::Word, "");
    }
    let part = |layout: &Layout, at: usize, part: usize, raw: u32| -> u16 {
        layout.words.get(at).and_then(|w| handed(layout, w, raw).get(part).copied()).unwrap_or(0)
    };
    let mut given = Vec::new();
    let mut expected = Vec::new();
    for (step, (master, trip)) in masters.iter().enumerate() {
        if *trip {
            rig.trip();
        }
        let report = rig.new.report();
        rig.scan(master).ok()?;
        let step = i64::try_from(step).ok()?;
        // Both sides may have the same layout: the name tells them apart.
        let of = |name: &str, at: usize, old: &[u32], new: &[u32]| -> u32 {
            (if name.starts_with("OLD") { old } else { new }).get(at).copied().unwrap_or(0)
        };
        let sets: Vec<Statement> =
            inputs.iter().map(|(l, (at, p, n))| assign(n, word(part(l, *at, *p, of(n, *at, master, &report))))).collect();
        given.push(arm(step, "", sets));
        let mut differs = None;
        for (l, (at, p, n)) in &outputs {
            let this = var(n).differs(word(part(l, *at, *p, of(n, *at, rig.shown(), rig.told()))));
            differs = Some(match differs {
                None => this,
                Some(before) => before | this,
            });
        }
        expected.push(arm(step, "", [when(differs?, [assign("FAILS", var("FAILS") + dint(1))])]));
    }
    let last = i32::try_from(masters.len()).ok()?;
    let pins: Vec<(&str, dossier::program::Expression)> = inputs.iter().map(|(_, (_, _, n))| (n.as_str(), var(n))).collect();
    let takes: Vec<(&str, &str)> = outputs.iter().map(|(_, (_, _, n))| (n.as_str(), n.as_str())).collect();
    let body = vec![when(
        var("SCAN").below(dint(last)),
        [
            case(var("SCAN"), given, []),
            call("BLOCK", pins, takes),
            case(var("SCAN"), expected, []),
            assign("SCAN", var("SCAN") + dint(1)),
            assign("DONE", var("SCAN").equals(dint(last))),
        ],
    )];
    Some(project.clone().unit(unit.body(body)))
}
