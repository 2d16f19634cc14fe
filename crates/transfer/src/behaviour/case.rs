//! A comparison of which not everything is known: each open habit and each open fact of the wiring is an axis, each completion is a pair of
//! machines, and what holds for all of them is certain.

use plant::choice::OutputSwitch;
use plant::control::{Emergency, Habit, PermissiveActs, ReferenceFrom, ResetBy, StartBy, WordSet};

use super::machine::Machine;
use super::scheme::{Needs, Scheme};
use super::unit::{Unit, UnitSet};

/// Most completions that are gone through; with more, nothing is called certain.
pub const MOST_COMPLETIONS: usize = 64;

/// One way in which the wiring may turn out, and what it is called by.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Variant {
    /// The scheme as found.
    pub scheme: Scheme,
    /// What the machine needs.
    pub needs: Needs,
    /// For each open fact of the wiring, in the same order in every variant: which of its words this variant has.
    pub picks: Vec<usize>,
}

/// Something that is open.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Axis {
    /// What people look up: "scheme.seal", "the old unit's power-up".
    pub label: String,
    /// What it may be.
    pub words: Vec<String>,
}

/// One completion.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Completion {
    /// Old and new, each in its wiring.
    pub machines: [Machine; 2],
    /// What the machine needs.
    pub needs: Needs,
    /// For each axis, which of its words.
    pub picks: Vec<usize>,
}

/// All completions.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Case {
    /// What is open.
    pub axes: Vec<Axis>,
    /// The completions that are gone through; at least one.
    pub completions: Vec<Completion>,
    /// How many there would be.
    pub of: usize,
}

impl Case {
    /// Whether every completion is gone through.
    #[must_use]
    pub fn is_whole(&self) -> bool {
        self.of <= self.completions.len()
    }

    /// The completions of two units in the variants of a wiring. `open_facts`: the facts that the variants differ in.
    #[must_use]
    pub fn of(units: &[UnitSet; 2], variants: &[Variant], open_facts: Vec<Axis>) -> Self {
        let mut axes = open_facts;
        let mut open: Vec<(usize, Habit, WordSet)> = Vec::new();
        for (side, name) in ["old", "new"].into_iter().enumerate() {
            for habit in units[side].open() {
                if !variants.iter().any(|v| matters(habit, &v.scheme)) {
                    continue;
                }
                let set = units[side].get(habit);
                let words = set.words().filter_map(|w| habit.info().words.get(w)).map(|w| w.word.to_owned()).collect();
                axes.push(Axis { label: format!("the {name} unit’s {}", habit_word(habit)), words });
                open.push((side, habit, set));
            }
        }
        let each: usize = open.iter().map(|(_, _, set)| set.len()).fold(1, usize::saturating_mul);
        let mut case = Self { axes, completions: Vec::new(), of: each.saturating_mul(variants.len()) };
        for variant in variants {
            for number in 0..each {
                if case.completions.len() >= MOST_COMPLETIONS {
                    return case;
                }
                case.completions.push(completion(units, variant, &open, number));
            }
        }
        case
    }
}

fn completion(units: &[UnitSet; 2], variant: &Variant, open: &[(usize, Habit, WordSet)], mut number: usize) -> Completion {
    let mut picks = variant.picks.clone();
    let mut chosen: [Unit; 2] = [units[0].first(), units[1].first()];
    for (side, habit, set) in open {
        let pick = number % set.len();
        number /= set.len();
        picks.push(pick);
        if let Some(word) = set.words().nth(pick) {
            chosen[*side] = chosen[*side].with(*habit, word);
        }
    }
    let [old, new] = chosen;
    let machines = [Machine { unit: old, scheme: variant.scheme }, Machine { unit: new, scheme: variant.scheme.without_old_unit() }];
    Completion { machines, needs: variant.needs, picks }
}

/// The word of a habit in files.
#[must_use]
pub fn habit_word(habit: Habit) -> &'static str {
    use plant::choice::Choice;
    habit.word()
}

/// Whether a habit can make a difference in a wiring.
#[must_use]
pub fn matters(habit: Habit, scheme: &Scheme) -> bool {
    let network = scheme.start == StartBy::Network;
    match habit {
        Habit::PowerUp | Habit::Dip | Habit::Stop | Habit::AutoReset | Habit::FaultContact | Habit::RunContact | Habit::ReadyContact => {
            true
        }
        Habit::AfterReset | Habit::Reset => scheme.reset != ResetBy::Power,
        Habit::AfterEnable | Habit::EnableLost => {
            scheme.enable || scheme.isolator == OutputSwitch::EarlyBreak || scheme.emergency == Emergency::EnableInput
        }
        Habit::AfterSafeOff | Habit::SafeOff => matches!(scheme.emergency, Emergency::SafeOff | Emergency::DelayedSafeOff),
        Habit::ModeChange | Habit::NetworkLost | Habit::MasterStopped | Habit::LocalStop | Habit::NetworkStop | Habit::NetworkStart => {
            network
        }
        Habit::ReferenceLost => scheme.reference == ReferenceFrom::Signal,
        Habit::Spinning => scheme.spinning,
        Habit::Reversal => scheme.reversing,
        Habit::BothStarts => scheme.reversing && matches!(scheme.start, StartBy::TwoWire | StartBy::HoldToRun),
        Habit::BrakeAnswer => scheme.brake,
        Habit::OutputOpened => scheme.isolator == OutputSwitch::Plain,
        Habit::Jog => scheme.jog,
        Habit::SpeedMemory => scheme.reference == ReferenceFrom::RaiseLower,
    }
}

/// Whether permissives of the scheme are lost with the old unit.
#[must_use]
pub fn loses_permissives(scheme: &Scheme) -> bool {
    scheme.permissive != PermissiveActs::None && scheme.without_old_unit().permissive == PermissiveActs::None
}
