//! The network and PLC pack: what becomes of every word and bit, who may start and stop, the proof, and what to set.

use dossier::paper::{Cell, Column, Paper, Part, Row, Run};
use dossier::words::{At, Words};
use plant::quantity::digits;
use plant::survey::{MOTOR_FREQUENCY, MOTOR_SPEED, SPEED_HIGHEST};

use super::sheet::{Desk, Sheet, energise, tick};

/// Notes what the words were made from.
pub(super) fn read(sheet: &mut Sheet<'_>) {
    sheet.reads_choice();
    sheet.reads_table("network");
    for id in [MOTOR_FREQUENCY.id, MOTOR_SPEED.id, SPEED_HIGHEST.id] {
        sheet.reads(id);
    }
}

pub(super) fn pack(desk: &Desk<'_>) -> Paper {
    let mut sheet = Sheet::new(desk, "network-pack", "Network and PLC pack", "controls programmer");
    read(&mut sheet);
    let words = match &desk.words {
        None => return sheet.not_examined(
            "The survey says nothing of a network: where there is one, put a [network] table into the position's file and assess again.",
        ),
        Some(Err(why)) => return sheet.not_examined(&format!("The words could not be compared: {why}.")),
        Some(Ok(words)) => words,
    };
    sheet.say(format!("From {} to {}, from the controller's view.", words.old, words.new));
    sheet.cautions("XO");
    if !words.open.is_empty() {
        sheet.heading("To be read before a block is written");
        sheet.lines(words.open.iter().cloned());
    }
    proof(&mut sheet, words);
    map(&mut sheet, words);
    if !words.arbitration.is_empty() {
        sheet.heading("Who may start and stop the motor");
        let rows = words.arbitration.iter().map(|s| {
            Row::of(vec![Cell::text(s.what.clone()), Cell::text(s.old.clone()), Cell::text(s.new.clone()), Cell::text(s.then.clone())])
        });
        let columns = vec![
            Column::words("question", 1.0),
            Column::words("old drive", 1.2),
            Column::words("new drive", 1.2),
            Column::words("so", 1.6),
        ];
        sheet.table("arbitration", "", columns, rows.collect());
    }
    sheet.heading("To set and to know");
    sheet.lines(words.remarks.iter().cloned());
    if !words.renamed.is_empty() {
        sheet.heading("Names that the controller asked to be changed");
        let rows = words.renamed.iter().map(|r| {
            Row::of(vec![Cell::name(r.unit.clone()), Cell::name(r.old.clone()), Cell::name(r.new.clone()), Cell::text(r.why.clone())])
        });
        let columns = vec![Column::fit("in"), Column::fit("was"), Column::fit("is"), Column::words("why", 1.0)];
        sheet.table("renamed", "", columns, rows.collect());
    }
    if !words.lines.is_empty() {
        sheet.heading("Scaling lines for a program without the block");
        sheet.say("They carry no command sequence, no edges and no loss action.");
        sheet.part(Part::Listing(words.lines.join("\n")));
    }
    sheet.heading("Tests with the real controller");
    sheet.ticks(vec![
        energise(
            "Unit on, motor terminals open: words exchanged, both directions compared with the table of test vectors.",
            "no difference",
        ),
        energise(
            "Network cable pulled while the unit runs without a motor.",
            "it does what the machine needs, after the time that was set",
        ),
        tick("Put the cable back with the start command still standing: nothing starts by itself."),
        tick("Make one fault, read its text on the operators' panel, reset it from there."),
    ]);
    sheet.finish()
}

fn proof(sheet: &mut Sheet<'_>, words: &Words) {
    sheet.heading("Proof of the block");
    match &words.proof {
        None => sheet.say("No block could be proved; see what is to be read and the remarks."),
        Some(proof) => {
            sheet.runs(vec![
                Run::strong(if proof.mismatches == 0 { "Proved. " } else { "Not proved. " }),
                Run::plain(format!(
                    "{} words were gone through with {} values and patterns; {} came out differently.",
                    proof.words_tested, proof.values_tested, proof.mismatches
                )),
            ]);
            sheet.lines(proof.examples.iter().cloned());
        }
    }
}

fn at(at: Option<&At>) -> Cell {
    let Some(at) = at else { return Cell::text("—") };
    Cell::text(at.bit.map_or_else(|| at.word.clone(), |bit| format!("{}, bit {bit}", at.word)))
}

fn map(sheet: &mut Sheet<'_>, words: &Words) {
    for (direction, title) in [("to-drive", "From the controller to the drive"), ("from-drive", "From the drive to the controller")] {
        let lines: Vec<_> = words.map.iter().filter(|m| m.direction == direction).collect();
        if lines.is_empty() {
            continue;
        }
        sheet.heading(title);
        let rows = lines.into_iter().map(|m| {
            let error = m.max_error.as_ref().map_or(String::new(), |e| format!("±{} {}", digits(e.value, 2), e.unit));
            let how = [m.scale.clone(), error].into_iter().filter(|s| !s.is_empty()).collect::<Vec<_>>().join("; ");
            Row::of(vec![
                at(m.old.as_ref()),
                Cell::text(m.meaning.clone()),
                at(m.new.as_ref()),
                Cell::text(m.outcome.clone()),
                Cell::text([how, m.note.clone()].into_iter().filter(|s| !s.is_empty()).collect::<Vec<_>>().join(". ")),
            ])
        });
        let columns = vec![
            Column::words("old", 1.2),
            Column::words("meaning", 1.0),
            Column::words("new", 1.2),
            Column::fit("outcome"),
            Column::words("scale, greatest error, what to know", 2.0),
        ];
        sheet.table(direction, "", columns, rows.collect());
    }
}
