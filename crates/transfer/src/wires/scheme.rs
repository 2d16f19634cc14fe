//! How the machine is started and stopped, read from the functions of its conductors, and what must be so before it may run.

use plant::wires::{Handling, Mode};

use super::circuit::Circuit;

/// A way of commanding a drive. What it was it must stay.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Scheme {
    /// One maintained contact runs it.
    TwoWire,
    /// A button starts, another stops; it does not start by itself when power returns.
    ThreeWire,
    /// A switch chooses between hand and automatic, with off between.
    HandOffAuto,
    /// Two directions, by two commands or by a command and a choice.
    Reversing,
    /// Runs as long as a button is held.
    Jog,
    /// So many fixed speeds by the bits that choose them.
    Presets(u32),
    /// Two buttons raise and lower the reference.
    RaiseLower,
    /// A momentary button on a command that needs a maintained contact: something holds it, or the list errs.
    Unclear,
}

impl Scheme {
    /// As printed.
    #[must_use]
    pub fn words(self) -> String {
        match self {
            Self::TwoWire => "two-wire, maintained".into(),
            Self::ThreeWire => "three-wire, momentary".into(),
            Self::HandOffAuto => "hand, off, automatic".into(),
            Self::Reversing => "reversing".into(),
            Self::Jog => "jog".into(),
            Self::Presets(bits) => format!("{} fixed speeds by {bits} bit{}", 1_u32 << bits, if bits == 1 { "" } else { "s" }),
            Self::RaiseLower => "raise and lower".into(),
            Self::Unclear => "not clear: a momentary button on a maintained command".into(),
        }
    }
}

/// The schemes that the circuits show.
#[must_use]
pub fn schemes(circuits: &[Circuit]) -> Vec<Scheme> {
    let handling = |id: &str| circuits.iter().find(|c| c.function.is_some_and(|f| f.id == id)).map(|c| c.nature.handling);
    let has = |id: &str| handling(id).is_some();
    let mut found = Vec::new();
    if has("start") && has("stop") {
        found.push(Scheme::ThreeWire);
    }
    let runs = ["run-forward", "run-reverse"];
    if runs.iter().any(|id| handling(id) == Some(Some(Handling::Momentary))) {
        // With a stop beside it, it is a start by another name.
        found.push(if has("stop") { Scheme::ThreeWire } else { Scheme::Unclear });
    } else if runs.iter().any(|id| has(id)) {
        found.push(Scheme::TwoWire);
    }
    if has("start") && !has("stop") {
        found.push(Scheme::Unclear);
    }
    if has("hand-auto") {
        found.push(Scheme::HandOffAuto);
    }
    if (has("run-forward") && has("run-reverse")) || has("direction") {
        found.push(Scheme::Reversing);
    }
    if has("jog-forward") || has("jog-reverse") {
        found.push(Scheme::Jog);
    }
    let bits = ["preset-1", "preset-2", "preset-3"].iter().filter(|id| has(id)).count();
    if bits > 0 {
        found.push(Scheme::Presets(u32::try_from(bits).unwrap_or(0)));
    }
    if has("raise") || has("lower") {
        found.push(Scheme::RaiseLower);
    }
    found
}

/// Something that must be so before the machine may run.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Permissive {
    /// Index of its circuit.
    pub circuit: usize,
    /// Modes in which it acts; empty when the list does not say.
    pub modes: Vec<Mode>,
    /// It was a contact or a relay inside the old drive: it goes with it.
    pub inside: bool,
}

/// The permissives, in the order of the list.
#[must_use]
pub fn permissives(circuits: &[Circuit]) -> Vec<Permissive> {
    const PERMIT: &[&str] = &[
        "enable",
        "permissive",
        "stop",
        "quick-stop",
        "external-fault",
        "safe-torque-off-1",
        "safe-torque-off-2",
        "inner-interlock",
        "brake-opened",
    ];
    let is = |c: &Circuit| c.function.is_some_and(|f| PERMIT.contains(&f.id));
    circuits
        .iter()
        .enumerate()
        .filter(|(_, c)| is(c))
        .map(|(circuit, c)| Permissive {
            circuit,
            modes: c.nature.modes.clone(),
            inside: c.function.is_some_and(|f| f.id == "inner-interlock"),
        })
        .collect()
}
