//! What makes a difference go away: a setting of the new unit, a wire, a relay, a line in the controller's program. Each is put to the
//! machines and looked at anew; nothing is believed of it.

use plant::choice::Choice;
use plant::control::{
    AfterReset, Category, Emergency, Habit, HabitRow, HeldStart, NetworkStart, PermissiveActs, PermissivePlace, Seal, StartBy,
};

use super::case::{Case, loses_permissives, matters};
use super::machine::Machine;
use super::scheme::Needs;

/// One thing that can be done to the new side.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Remedy {
    /// What.
    pub act: Act,
    /// In the trade's words.
    pub what: String,
    /// It alters a safety function: caution S.
    pub safety: bool,
}

/// What is done.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Act {
    /// Set a habit to its n-th word.
    Set(Habit, usize),
    /// Let something else hold the start.
    Hold(Seal),
    /// Wire the permissives into the stop circuit, so that they count in every mode.
    Permissives,
    /// Let the emergency stop act otherwise.
    Emergency(Emergency),
    /// Let the program give its run bit anew.
    Anew,
}

impl Act {
    /// Does it to a machine.
    pub fn apply(self, machine: &mut Machine) {
        match self {
            Self::Set(habit, word) => machine.unit = machine.unit.with(habit, word),
            Self::Hold(seal) => machine.scheme.seal = seal,
            Self::Permissives => {
                machine.scheme.permissive = PermissiveActs::EveryMode;
                machine.scheme.permissive_in = PermissivePlace::Circuit;
            }
            Self::Emergency(acts) => machine.scheme.emergency = acts,
            Self::Anew => machine.unit = machine.unit.set(Habit::NetworkStart, NetworkStart::Edge),
        }
    }
}

/// The case with something done to its new side.
#[must_use]
pub fn with(case: &Case, acts: &[Act]) -> Case {
    let mut case = case.clone();
    for completion in &mut case.completions {
        for act in acts {
            act.apply(&mut completion.machines[1]);
        }
    }
    case
}

/// What may be tried on the new side of a case.
#[must_use]
pub fn candidates(case: &Case, rows: &[HabitRow]) -> Vec<Remedy> {
    let mut remedies = Vec::new();
    for row in rows {
        settings(case, row, &mut remedies);
    }
    let Some(first) = case.completions.first() else { return remedies };
    wiring(&first.machines, &first.needs, &mut remedies);
    if case
        .completions
        .iter()
        .any(|c| c.machines[1].scheme.start == StartBy::Network && c.machines[1].unit.is(Habit::NetworkStart, NetworkStart::Level))
    {
        remedies.push(Remedy {
            act: Act::Anew,
            what: "a line in the controller’s block: after power-up, a stop from elsewhere, a loss or a fault the run bit is taken away until the \
                   program gives it anew"
                .to_owned(),
            safety: false,
        });
    }
    remedies
}

/// Settings of a habit: as the old unit does it, and waiting for a new start.
fn settings(case: &Case, row: &HabitRow, remedies: &mut Vec<Remedy>) {
    let habit = row.habit;
    if row.can.len() < 2 || !case.completions.iter().any(|c| matters(habit, &c.machines[1].scheme)) {
        return;
    }
    let waits = match habit {
        Habit::AfterReset => Some(AfterReset::Waits.index()),
        Habit::PowerUp | Habit::AfterEnable | Habit::AfterSafeOff | Habit::ModeChange => Some(HeldStart::Waits.index()),
        _ => None,
    };
    let mut words: Vec<usize> = case.completions.iter().map(|c| c.machines[0].unit.word(habit)).chain(waits).collect();
    words.sort_unstable();
    words.dedup();
    for word in words {
        let is_so = case.completions.iter().all(|c| c.machines[1].unit.word(habit) == word);
        if is_so || !row.can.has(word) {
            continue;
        }
        let text = habit.info().words.get(word).map_or("", |w| w.word);
        let by = row.setting.as_ref().map_or_else(String::new, |id| format!(" by its setting {id}"));
        let what = format!("set the new unit{by}: {} → {text} ({})", habit.word(), habit.info().words.get(word).map_or("", |w| w.doc));
        remedies.push(Remedy { act: Act::Set(habit, word), what, safety: false });
    }
}

fn wiring(machines: &[Machine; 2], needs: &Needs, remedies: &mut Vec<Remedy>) {
    let scheme = machines[1].scheme;
    let mut add = |act, what: &str, safety| remedies.push(Remedy { act, what: what.to_owned(), safety });
    if scheme.start == StartBy::ThreeWire {
        for (seal, what) in [
            (Seal::Unit, "land start and stop on the new unit’s own three-wire inputs, without the seal-in contact"),
            (Seal::UnitRelay, "land the seal-in around the start button on the new unit’s run contact"),
            (Seal::OwnRelay, "a relay of its own that holds the start, fed from the line of the unit"),
        ] {
            if seal != scheme.seal {
                add(Act::Hold(seal), what, false);
            }
        }
    }
    if loses_permissives(&machines[0].scheme) || scheme.permissive == PermissiveActs::AutoOnly && scheme.has_modes() {
        add(Act::Permissives, "a wire: bring the permissives into the stop circuit, in series with every start", true);
    }
    for (emergency, what) in emergencies(needs.category) {
        if scheme.emergency != *emergency && scheme.emergency != Emergency::None {
            add(Act::Emergency(*emergency), what, true);
        }
    }
}

fn emergencies(category: Option<Category>) -> &'static [(Emergency, &'static str)] {
    match category {
        Some(Category::One) => &[
            (Emergency::DelayedSafeOff, "a safety relay with delayed contacts: stop at once, safe torque off after the stop"),
            (Emergency::DelayedContactor, "a delay relay: stop at once, line contactor off after the stop"),
        ],
        Some(Category::Zero) => &[
            (Emergency::SafeOff, "a safety relay on safe torque off"),
            (Emergency::LineContactor, "let the emergency stop drop the line contactor"),
        ],
        None => &[],
    }
}
