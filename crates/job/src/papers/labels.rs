//! Wire labels: one for each end of each conductor that is kept, to be cut out, or sent to a label printer from the tables.

use dossier::paper::{Label, Paper, Part};
use dossier::wires::{Conductor, Wires};

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
         own; what is new is where it ends.",
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
    wires.conductors.iter().filter(|c| c.action != "removed").flat_map(|c| [drive_end(c), far_end(c)]).collect()
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
