//! Rules of safety, stated once and held against each scheme alone. They are what the trade and the standards behind them ask of any machine
//! of this kind; which of them a plant may set aside is for those who answer for it.
//!
//! Sources, from memory: IEC 60204-1 (2016) 9.2.3 (stop categories, emergency stop, no restart by its release), 7.5 (no start by the return
//! of supply alone), 9.3 (interlocks in every mode); ISO 14118 (unexpected start-up).

use plant::control::{Category, Emergency, StartBy};
use plant::network::LossAction;

use super::event::{Event, Input, Inputs};
use super::explore::{MOST_STATES, Reached, TooMany};
use super::graph::{Graph, Met, NEVER, Node};
use super::machine::{Drive, Machine};
use super::output::{Output, SpeedBy};
use super::scheme::{Needs, Scheme};

/// A rule.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Rule {
    /// After an emergency stop, nothing moves before somebody starts it anew.
    EmergencyStop,
    /// No reset starts anything, not even one that comes by itself.
    Reset,
    /// The return of the supply starts nothing, unless that is meant.
    PowerReturn,
    /// Permissives hold in every mode.
    Permissives,
    /// The emergency stop stops by the category that is needed.
    Category,
    /// A lost reference leads to what the machine needs.
    ReferenceLoss,
    /// A silent controller leads to what the machine needs.
    NetworkLoss,
}

impl Rule {
    /// All rules.
    pub const ALL: [Self; 7] =
        [Self::EmergencyStop, Self::Reset, Self::PowerReturn, Self::Permissives, Self::Category, Self::ReferenceLoss, Self::NetworkLoss];

    /// A short name for models and scripts.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::EmergencyStop => "emergency-stop",
            Self::Reset => "reset",
            Self::PowerReturn => "power-return",
            Self::Permissives => "permissives",
            Self::Category => "category",
            Self::ReferenceLoss => "reference-loss",
            Self::NetworkLoss => "network-loss",
        }
    }

    /// As a sentence.
    #[must_use]
    pub const fn text(self) -> &'static str {
        match self {
            Self::EmergencyStop => "no motion after an emergency stop without a new deliberate start",
            Self::Reset => "no motion by a reset alone",
            Self::PowerReturn => "no start by the return of the supply alone, unless it is meant",
            Self::Permissives => "permissives hold in every mode",
            Self::Category => "the emergency stop stops by its category",
            Self::ReferenceLoss => "a lost reference leads to what the machine needs",
            Self::NetworkLoss => "a silent controller leads to what the machine needs",
        }
    }

    /// Whether there is something here for it to be held against.
    #[must_use]
    pub fn applies(self, scheme: &Scheme, needs: &Needs) -> bool {
        use plant::control::{ReferenceFrom, ResetBy};
        match self {
            Self::EmergencyStop | Self::Category => scheme.emergency != Emergency::None,
            Self::Reset => scheme.reset != ResetBy::Power,
            Self::PowerReturn => true,
            Self::Permissives => needs.permissives,
            Self::ReferenceLoss => scheme.reference == ReferenceFrom::Signal,
            Self::NetworkLoss => scheme.start == StartBy::Network,
        }
    }

    /// Whether it cannot be judged because nobody has said what is needed.
    #[must_use]
    pub const fn lacks(self, needs: &Needs) -> bool {
        match self {
            Self::Category => needs.category.is_none(),
            Self::ReferenceLoss => needs.reference_lost.is_none(),
            Self::NetworkLoss => needs.network_lost.is_none(),
            Self::EmergencyStop | Self::Reset | Self::PowerReturn | Self::Permissives => false,
        }
    }
}

/// What came of one rule.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// There is nothing to hold it against.
    NotHere,
    /// Nobody has said what is needed.
    Lacks,
    /// No sequence of events breaks it.
    Holds,
    /// A shortest sequence that breaks it.
    Broken(Vec<Event>),
}

/// Whether an event is a deliberate start: somebody, or the automatic in somebody's name, gives a command that was not there before.
#[must_use]
pub fn is_start(scheme: &Scheme, before: Inputs, event: Event) -> bool {
    let Event::Turn(input) = event else { return false };
    let comes = !before.has(input);
    comes
        && match input {
            Input::Start | Input::Jog | Input::RunBit | Input::AutoContact | Input::Auto => true,
            Input::Hand => scheme.start == StartBy::HandAuto,
            Input::Reverse => matches!(scheme.start, StartBy::TwoWire | StartBy::HoldToRun),
            _ => false,
        }
}

/// Whether a momentary button is being held.
fn is_held(scheme: &Scheme, inputs: Inputs) -> bool {
    let button = match scheme.start {
        StartBy::ThreeWire => inputs.has(Input::Start),
        StartBy::HoldToRun => inputs.has(Input::Start) || inputs.has(Input::Reverse),
        StartBy::Network => inputs.has(Input::Hand) && inputs.has(Input::Start),
        StartBy::TwoWire | StartBy::HandAuto => false,
    };
    button || inputs.has(Input::Jog)
}

/// Holds every rule against one unit in its scheme. `around`: the scheme whose inputs exist, so that a permissive that was forgotten is
/// still opened.
///
/// # Errors
/// When there are more states than can be looked at.
pub fn judge(machine: &Machine, around: &Scheme, needs: &Needs, dips: u8) -> Result<Vec<(Rule, Verdict)>, TooMany> {
    judge_over(machine, around, needs, &around.events(dips))
}

/// The same over some of the events alone: what else could happen does not.
///
/// # Errors
/// As [`judge`].
pub fn judge_over(machine: &Machine, around: &Scheme, needs: &Needs, events: &[Event]) -> Result<Vec<(Rule, Verdict)>, TooMany> {
    judge_graph(&Graph::of(machine, around, events)?, around, needs)
}

/// The same over what was explored.
///
/// # Errors
/// As [`judge`].
pub(super) fn judge_graph(graph: &Graph, around: &Scheme, needs: &Needs) -> Result<Vec<(Rule, Verdict)>, TooMany> {
    let ways = &*graph.ways;
    let mut broken: [Option<(u32, u32)>; Rule::ALL.len()] = [None; Rule::ALL.len()];
    let asked = Rule::ALL.map(|rule| rule.applies(around, needs) && !rule.lacks(needs));
    // Each node twice: with no emergency stop behind it, and with one that still waits for a deliberate start.
    let mut met = Met::below(2 * ways.nodes.len());
    let mut nodes: Vec<(u32, bool)> = vec![(0, false)];
    let mut reached = Reached::start();
    met.meet(0);
    let mut at: u32 = 0;
    while let Some((number, was_armed)) = nodes.get(at as usize).copied() {
        let from = ways.node(number);
        let was = graph.seen(number);
        for (event, to) in (0_u32..).zip(ways.row(number)).filter(|(_, to)| **to != NEVER) {
            let happens = ways.events[event as usize];
            let node = ways.node(*to);
            // A button that somebody holds while the emergency stop is released is given by a person who stands there.
            let armed =
                node.inputs.has(Input::Emergency) || was_armed && !is_start(around, from.inputs, happens) && !is_held(around, node.inputs);
            let is = graph.seen(*to);
            if Output::is_driven(was) || Output::is_driven(is) {
                let (was, is) = (Output::unpacked(was), Output::unpacked(is));
                let step = Step { from, event: happens, to: node, armed, was: &was, is: &is };
                for ((rule, slot), _) in Rule::ALL.iter().zip(&mut broken).zip(&asked).filter(|(_, asked)| **asked) {
                    if slot.is_none() && breaks(*rule, around, needs, &step) {
                        *slot = Some((at, event));
                    }
                }
            }
            if met.meet(2 * *to as usize + usize::from(armed)) {
                if nodes.len() >= MOST_STATES {
                    return Err(TooMany { states: MOST_STATES });
                }
                nodes.push((*to, armed));
                reached.push(at, event);
            }
        }
        at += 1;
    }
    let verdict = |rule: Rule, slot: &Option<(u32, u32)>| match slot {
        _ if !rule.applies(around, needs) => Verdict::NotHere,
        _ if rule.lacks(needs) => Verdict::Lacks,
        Some((at, event)) => Verdict::Broken(reached.trace(&ways.events, *at, *event as usize)),
        None => Verdict::Holds,
    };
    Ok(Rule::ALL.iter().zip(&broken).map(|(rule, slot)| (*rule, verdict(*rule, slot))).collect())
}

struct Step<'s> {
    from: &'s Node,
    event: Event,
    to: &'s Node,
    armed: bool,
    was: &'s Output,
    is: &'s Output,
}

fn breaks(rule: Rule, around: &Scheme, needs: &Needs, step: &Step<'_>) -> bool {
    let (was, is) = (step.was.motion == Drive::Driven, step.is.motion == Drive::Driven);
    let starts = is && !was;
    match rule {
        Rule::EmergencyStop => is && step.armed,
        Rule::Reset => {
            let by_hand = step.event == Event::Turn(Input::Reset) && step.to.inputs.has(Input::Reset);
            let by_itself = step.event == Event::Time && step.from.state.fault;
            let cause_goes = step.event == Event::Turn(Input::Cause) && step.from.state.fault;
            starts && (by_hand || by_itself || cause_goes)
        }
        Rule::PowerReturn => {
            let back = step.event == Event::Turn(Input::Supply) && step.to.inputs.has(Input::Supply);
            !needs.restart_meant && starts && back
        }
        Rule::Permissives => is && !step.to.inputs.has(Input::Permissive),
        Rule::Category => {
            let pressed = step.event == Event::Turn(Input::Emergency) && step.to.inputs.has(Input::Emergency);
            pressed
                && was
                && match needs.category {
                    Some(Category::Zero) => step.is.motion.energised(),
                    Some(Category::One) => !matches!(step.is.motion, Drive::Ramping | Drive::Braking),
                    None => false,
                }
        }
        Rule::ReferenceLoss => {
            let lost = step.event == Event::Time && step.from.inputs.has(Input::ReferenceLost);
            lost && was && is_wrong(needs.reference_lost, step.is)
        }
        Rule::NetworkLoss => {
            let lost = step.event == Event::Time && step.from.inputs.has(Input::Silent) && around.by_network(step.from.inputs);
            lost && was && is_wrong(needs.network_lost, step.is)
        }
    }
}

/// Whether what is seen after a loss is not what is needed.
fn is_wrong(need: Option<LossAction>, is: &Output) -> bool {
    match need {
        Some(LossAction::Trip | LossAction::RampStop | LossAction::CoastStop) => is.motion == Drive::Driven,
        Some(LossAction::HoldSpeed) => is.motion != Drive::Driven || is.speed != SpeedBy::Held,
        Some(LossAction::PresetSpeed) => is.motion != Drive::Driven || is.speed != SpeedBy::Preset,
        None => false,
    }
}

impl Verdict {
    /// As printed and in JSON.
    #[must_use]
    pub const fn word(&self) -> &'static str {
        match self {
            Self::NotHere => "not here",
            Self::Lacks => "depends",
            Self::Holds => "holds",
            Self::Broken(_) => "fails",
        }
    }
}

/// What a rule lacks, as people look it up.
#[must_use]
pub fn lacking(rule: Rule) -> &'static str {
    match rule {
        Rule::Category => "the stop category that the emergency stop needs",
        Rule::ReferenceLoss => "what must happen when the reference is lost",
        Rule::NetworkLoss => "what must happen when the controller falls silent",
        Rule::EmergencyStop | Rule::Reset | Rule::PowerReturn | Rule::Permissives => "",
    }
}
