//! Old against new: every way in which what can be seen of both comes apart, with a shortest sequence of events that leads there.

use rustc_hash::FxHashMap;

use super::event::Event;
use super::explore::{Edge, MOST_STATES, Reached, TooMany, explore};
use super::machine::{Drive, Machine};
use super::output::{Output, SpeedBy};

/// How bad a difference is, the worst first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Danger {
    /// The motor is driven where it stood still before.
    MovesFromStill,
    /// The motor is still driven where it had been stopped before.
    KeepsMoving,
    /// The motor moves in another way, or not at all.
    MovesOtherwise,
    /// Contacts, lamps and what they tell.
    SignalsOtherwise,
}

impl Danger {
    /// As printed and in JSON.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::MovesFromStill => "moves when the old stood still",
            Self::KeepsMoving => "keeps moving when the old stopped",
            Self::MovesOtherwise => "moves otherwise",
            Self::SignalsOtherwise => "signals otherwise",
        }
    }
}

/// What differs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Aspect {
    /// The motor.
    Motion([Drive; 2]),
    /// Its direction; whether the old one goes the second way.
    Direction(bool),
    /// Which speed it is led to.
    Speed([SpeedBy; 2]),
    /// The load is jolted; by which.
    Jolt(bool),
    /// Which has the brake released.
    Brake(bool),
    /// Whose run contact is closed.
    Run(bool),
    /// Whose fault contact is closed.
    Fault(bool),
    /// Whose ready contact is closed.
    Ready(bool),
    /// Which waits for a new start.
    Waits(bool),
    /// Which stores a fault.
    Tripped(bool),
}

/// One difference.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Difference {
    /// How bad.
    pub danger: Danger,
    /// What.
    pub aspect: Aspect,
    /// A shortest sequence from before power-up.
    pub events: Vec<Event>,
    /// What is seen of the old and the new one at its end.
    pub outputs: [Output; 2],
}

/// What came of a comparison.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Comparison {
    /// Reachable states of both side by side.
    pub states: usize,
    /// Steps that were looked at.
    pub steps: usize,
    /// Differences, the worst first, then the shortest.
    pub differences: Vec<Difference>,
}

/// How bad the difference of two motions is; `None` where there is none. `driven_before`: whether the new unit drove the motor before.
#[must_use]
pub fn danger(old: Drive, new: Drive, driven_before: bool) -> Option<Danger> {
    match (old, new) {
        _ if old == new => None,
        (_, Drive::Driven) if driven_before => Some(Danger::KeepsMoving),
        (_, Drive::Driven) => Some(Danger::MovesFromStill),
        _ => Some(Danger::MovesOtherwise),
    }
}

/// The aspects in which two outputs differ, apart from motion.
fn aspects(old: &Output, new: &Output, found: &mut Vec<(Danger, Aspect)>) {
    // Where the motions differ, contacts follow them.
    if old.motion != new.motion {
        return;
    }
    let mut when = |differs: bool, danger, aspect| {
        if differs {
            found.push((danger, aspect));
        }
    };
    when(old.reverse != new.reverse, Danger::MovesOtherwise, Aspect::Direction(old.reverse));
    when(old.speed != new.speed, Danger::MovesOtherwise, Aspect::Speed([old.speed, new.speed]));
    when(old.jolt != new.jolt, Danger::MovesOtherwise, Aspect::Jolt(old.jolt));
    when(old.released != new.released, Danger::MovesOtherwise, Aspect::Brake(old.released));
    when(old.run != new.run, Danger::SignalsOtherwise, Aspect::Run(old.run));
    when(old.fault != new.fault, Danger::SignalsOtherwise, Aspect::Fault(old.fault));
    when(old.ready != new.ready, Danger::SignalsOtherwise, Aspect::Ready(old.ready));
    when(old.waits != new.waits, Danger::SignalsOtherwise, Aspect::Waits(old.waits));
    when(old.tripped != new.tripped, Danger::SignalsOtherwise, Aspect::Tripped(old.tripped));
}

/// Compares an old unit in its scheme with a new one.
///
/// # Errors
/// When there are more states than can be looked at.
pub fn compare(machines: &[Machine; 2], dips: u8) -> Result<Comparison, TooMany> {
    let mut found: FxHashMap<(Danger, Aspect, Event), (u32, [Output; 2])> = FxHashMap::default();
    let mut steps = 0;
    let [old, new] = machines;
    let (mut before, mut after) = (Vec::new(), Vec::new());
    let mut last: Option<(u32, [Output; 2])> = None;
    let reached = explore(machines, dips, MOST_STATES, |edge| {
        steps += 1;
        let was = match last {
            Some((at, outputs)) if at == edge.at => outputs,
            _ => outputs(old, new, edge, false),
        };
        last = Some((edge.at, was));
        let is = outputs(old, new, edge, true);
        if is[0] == is[1] {
            return;
        }
        let (had, has) = (danger(was[0].motion, was[1].motion, false), danger(is[0].motion, is[1].motion, was[1].motion == Drive::Driven));
        if let Some(has) = has
            && had.is_none_or(|had| has < had && had != Danger::MovesFromStill)
        {
            let aspect = Aspect::Motion([is[0].motion, is[1].motion]);
            found.entry((has, aspect, edge.event)).or_insert((edge.at, is));
        }
        before.clear();
        after.clear();
        aspects(&was[0], &was[1], &mut before);
        aspects(&is[0], &is[1], &mut after);
        // Where the motions came apart before, the rest is their doing.
        for aspect in after.iter().filter(|a| had.is_none() && !before.contains(a)) {
            found.entry((aspect.0, aspect.1, edge.event)).or_insert((edge.at, is));
        }
    })?;
    Ok(Comparison { states: reached.len(), steps, differences: sorted(&reached, found) })
}

fn outputs(old: &Machine, new: &Machine, edge: Edge<'_>, after: bool) -> [Output; 2] {
    let moment = if after { edge.to } else { edge.from };
    [old.output(&moment.states[0], moment.inputs), new.output(&moment.states[1], moment.inputs)]
}

fn sorted(reached: &Reached, found: FxHashMap<(Danger, Aspect, Event), (u32, [Output; 2])>) -> Vec<Difference> {
    let mut differences: Vec<Difference> = found
        .into_iter()
        .map(|((danger, aspect, event), (at, outputs))| {
            let mut events = reached.trace(at);
            events.push(event);
            Difference { danger, aspect, events, outputs }
        })
        .collect();
    differences.sort_by(|a, b| (a.danger, a.events.len(), &a.events, a.aspect).cmp(&(b.danger, b.events.len(), &b.events, b.aspect)));
    differences
}
