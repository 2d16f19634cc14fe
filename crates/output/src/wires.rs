//! The crosswalk of a position as CSV (RFC 4180): one row for each conductor.

use dossier::wires::Wires;

use crate::settings::row;

/// One row for each conductor, with its proof in one cell.
#[must_use]
pub fn crosswalk_csv(answer: &Wires) -> String {
    let head = ["wire", "old terminal", "function", "circuit", "to", "volts", "action", "new", "parts", "proof", "reason"];
    let mut text = row(&head);
    for conductor in &answer.conductors {
        let old = &conductor.old;
        let proof: Vec<String> =
            conductor.proof.iter().map(|l| format!("{}: {}: {} against {}", l.verdict, l.what, l.have, l.need)).collect();
        text += &row(&[
            &conductor.wire,
            &old.terminal,
            &old.function,
            &old.circuit,
            &old.to,
            &old.volts,
            &conductor.action,
            conductor.new.as_deref().unwrap_or_default(),
            &conductor.parts.join(" | "),
            &proof.join(" | "),
            &conductor.reason,
        ]);
    }
    text
}
