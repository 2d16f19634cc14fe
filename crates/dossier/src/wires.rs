//! What becomes of the conductors of a position, as plain tables.

use serde::Serialize;

/// The answer for one list of conductors and one unit.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Wires {
    /// Tag of the position.
    pub tag: String,
    /// The old series, or its code; empty where neither is known.
    pub old: String,
    /// The new series, or candidate.
    pub new: String,
    /// Every conductor of the list, in its order.
    pub conductors: Vec<Conductor>,
    /// What stands between a circuit and the unit, or in the unit's place.
    pub between: Vec<Between>,
    /// Modules to fit.
    pub modules: Vec<Module>,
    /// Factory variant to order; `None` for the plain unit.
    pub variant: Option<String>,
    /// Price of modules, variant and parts, as far as pack and site say them, and of the work where the site has rates.
    pub cost: f64,
    /// Currency of that cost.
    pub currency: String,
    /// How many parts and modules have no price.
    pub unpriced: usize,
    /// Minutes of landing, fitting and wiring.
    pub minutes: f64,
    /// Links between terminals.
    pub links: Vec<Link>,
    /// What the unit waits for.
    pub start_conditions: Vec<Condition>,
    /// How the machine is started and stopped.
    pub schemes: Vec<String>,
    /// What must be so before it may run, by mode.
    pub permissives: Vec<Permissive>,
    /// What cannot be met together.
    pub conflicts: Vec<Conflict>,
    /// How many conductors have each action.
    pub counts: Vec<Count>,
    /// What is assumed or left out.
    pub remarks: Vec<String>,
}

impl Wires {
    /// Conductors that are landed at the new unit or at a part before it.
    #[must_use]
    pub fn landed(&self) -> usize {
        self.conductors.iter().filter(|c| matches!(c.action.as_str(), "landed" | "interposed")).count()
    }

    /// Parts that stand between, or stand in for the unit: each once, however many conductors its circuit has.
    #[must_use]
    pub fn parts(&self) -> usize {
        let mut circuits: Vec<(&str, usize)> = self.conductors.iter().map(|c| (c.old.circuit.as_str(), c.parts.len())).collect();
        circuits.sort_unstable();
        circuits.dedup();
        circuits.iter().map(|(_, parts)| parts).sum()
    }

    /// Links that are not left as delivered.
    #[must_use]
    pub fn links_changed(&self) -> usize {
        self.links.iter().filter(|l| matches!(l.action.as_str(), "put in" | "take out")).count()
    }
}

/// One conductor.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Conductor {
    /// Its number.
    pub wire: String,
    /// Where it ended, and what it was for.
    pub old: Old,
    /// `landed`, `interposed`, `spared`, `removed`.
    pub action: String,
    /// Where it ends; `None` where nowhere.
    pub new: Option<String>,
    /// Line by line whether it may end there; the same for all conductors of a circuit.
    pub proof: Vec<Line>,
    /// What stands between, or stands in for the unit.
    pub parts: Vec<String>,
    /// Why.
    pub reason: String,
}

/// The old end of a conductor.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Old {
    /// Terminal of the old drive.
    pub terminal: String,
    /// What it was for.
    pub function: String,
    /// Its circuit.
    pub circuit: String,
    /// Where the other end goes.
    pub to: String,
    /// Its voltage, as listed: "120 V ac"; empty where not known.
    pub volts: String,
}

/// One line of a proof.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Line {
    /// What is compared.
    pub what: String,
    /// What is there.
    pub have: String,
    /// What is needed.
    pub need: String,
    /// How far it is covered at worst, of one; `None` without numbers.
    pub margin: Option<f64>,
    /// `holds`, `depends`, `fails`.
    pub verdict: String,
}

/// A part between a circuit and the unit, or in the unit's place; what it is, is said at the conductors of the circuit.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Between {
    /// The circuit.
    pub circuit: String,
    /// `before`: its conductors end at the part, and the part acts on the unit; `beside`: they end at the unit, the part across them;
    /// `instead`: the unit has no part in it.
    pub way: String,
    /// The unit's point with its first terminal: "input 1 X2:1"; `None` where the part stands in its place.
    pub point: Option<String>,
}

/// A module in its slot.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Module {
    /// The slot.
    pub slot: String,
    /// Its order code.
    pub module: String,
    /// What it does.
    pub what: String,
    /// What limits a module that a carrier keeps; empty otherwise.
    pub limits: String,
    /// Its price; `None` where the pack does not say, or says it in another currency.
    pub price: Option<f64>,
}

/// A link between terminals.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Link {
    /// Its name.
    pub link: String,
    /// "put in", "take out", "leave in", "leave out".
    pub action: String,
    /// Why.
    pub reason: String,
}

/// A point that has to be closed.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Condition {
    /// The point.
    pub point: String,
    /// What closes it; `None` where nothing does.
    pub closed_by: Option<String>,
}

/// Something that must be so before the machine may run.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Permissive {
    /// Its circuit.
    pub circuit: String,
    /// What it is.
    pub function: String,
    /// Terminals of the old drive that it is on: "TB3-7, TB3-8".
    pub old: String,
    /// In which modes it acts, by the list: hand, auto, bypass, network; `None` where the list does not say.
    pub modes: Option<Vec<String>>,
    /// Where it is after the change: a point, a part, or nowhere.
    pub new: Option<String>,
    /// In which of those modes it still acts there; `None` where the list does not say.
    pub after: Option<Vec<String>>,
    /// What has to be looked at.
    pub remark: String,
}

/// Circuits that cannot be met together.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Conflict {
    /// Their names.
    pub circuits: Vec<String>,
    /// Whether no smaller set conflicts.
    pub smallest: bool,
}

/// How often an action occurs.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Count {
    /// The action.
    pub action: String,
    /// How many conductors.
    pub conductors: usize,
}
