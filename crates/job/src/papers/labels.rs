//! Wire labels: one for each end of each conductor that is kept or put in, to be cut out, or sent to a label printer from the tables.

use dossier::paper::{Label, Paper, Part};
use dossier::wires::{Between, Conductor, Wires};

use super::crosswalk::{conductors, counted};
use super::sheet::{Desk, Sheet};

pub(super) fn paper(desk: &Desk<'_>) -> Paper {
    let mut sheet = Sheet::new(desk, "wire-labels", "Wire labels", "electrician, shop");
    let wires = match conductors(&mut sheet, desk) {
        Ok(wires) => wires,
        Err(why) => return sheet.not_examined(&why),
    };
    let labels = labels(wires);
    sheet.say(format!(
        "{} for {}: one for each end. Cut along the dashes, or print them from the table of the same name. The number stays the plant’s \
         own; what is new is where it ends. A short conductor from a part to the unit is new, and goes by the name of the part.",
        counted(labels.len(), "label"),
        counted(labels.len() / 2, "conductor")
    ));
    sheet.cautions("L");
    let gone: Vec<&str> = wires.conductors.iter().filter(|c| c.action == "removed").map(|c| c.wire.as_str()).collect();
    if !gone.is_empty() {
        sheet.say(format!("No label for what is taken out: {}.", gone.join(", ")));
    }
    sheet.part(Part::Labels(labels));
    sheet.finish()
}

fn labels(wires: &Wires) -> Vec<Label> {
    let kept = wires.conductors.iter().filter(|c| c.action != "removed").flat_map(|c| [drive_end(c), far_end(c)]);
    kept.chain(wires.between.iter().filter_map(|b| short(wires, b)).flatten()).collect()
}

/// Both ends of a short conductor from a part to the unit's point.
fn short(wires: &Wires, between: &Between) -> Option<[Label; 2]> {
    let point = between.point.as_ref().filter(|_| between.way == "before")?;
    let ends = wires.conductors.iter().filter(|c| c.old.circuit == between.circuit && c.action == "interposed");
    // "K-201 A1" is a terminal of the part K-201.
    let part = ends.filter_map(|c| c.new.as_ref()).find_map(|new| new.split_whitespace().next())?;
    let label = |end: &str, at: &str, note: String| Label { wire: part.to_owned(), end: end.to_owned(), at: at.to_owned(), note };
    Some([label("drive", point, format!("from {part}")), label("part", part, format!("drive end: {point}"))])
}

/// Where a conductor ends at the new drive.
fn ends_at(c: &Conductor) -> String {
    c.new.clone().unwrap_or_else(|| "SPARE, insulated".to_owned())
}

fn drive_end(c: &Conductor) -> Label {
    let was = if c.old.terminal.is_empty() { String::new() } else { format!("was {}", c.old.terminal) };
    Label { wire: c.wire.clone(), end: "drive".to_owned(), at: ends_at(c), note: was }
}

fn far_end(c: &Conductor) -> Label {
    let at = if c.old.to.is_empty() { "far end: not listed".to_owned() } else { c.old.to.clone() };
    Label { wire: c.wire.clone(), end: "far".to_owned(), at, note: format!("drive end: {}", ends_at(c)) }
}
