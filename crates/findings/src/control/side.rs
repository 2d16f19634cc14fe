//! The new unit in the wiring of a position, as far as a check asks for it: facts of the wiring are read only where they can matter.

use calc::working::Recorder;
use plant::choice::{Choice, YesNo};
use plant::control::{
    AfterReset, AutoReset, Category, Emergency, FaultContact, Habit, HeldStart, NetworkStart, RunContact, Seal, Spinning, StartBy, StopMode,
};
use plant::network::Sequence;
use plant::survey::{SCHEME_CATEGORY, SCHEME_EMERGENCY, SCHEME_PILOT, SCHEME_RESTART, SCHEME_REVERSING, SCHEME_SEAL, SCHEME_START};
use transfer::behaviour::event::{Event, Input};
use transfer::behaviour::machine::Machine;
use transfer::behaviour::rules::{Rule, Verdict, judge_over};
use transfer::behaviour::scheme::{Needs, Scheme};
use transfer::behaviour::unit::Unit;

use crate::candidate::{Candidate, Measure};
use crate::check::{Outcome, holds_if};
use crate::facts::{Reader, Stop};

/// What a pack does not say of a habit.
const SILENT: &str = "how the unit obeys its commands (control.csv)";

/// What starts the motor. Nobody who does not know it can say what a unit will do.
pub(super) fn start(facts: &mut Reader<'_>) -> Result<StartBy, Stop> {
    if !facts.is_surveyed(SCHEME_START) {
        return Err(Stop::Open(SCHEME_START.id));
    }
    facts.get(SCHEME_START)
}

/// The wiring that gives commands; the rest at its plainest.
pub(super) fn commands(facts: &mut Reader<'_>) -> Result<Scheme, Stop> {
    let start = start(facts)?;
    let mut scheme = Scheme { start, ..Scheme::default() };
    if start == StartBy::ThreeWire {
        scheme.seal = facts.get(SCHEME_SEAL)?;
    }
    if start != StartBy::Network {
        scheme.pilot = facts.get(SCHEME_PILOT)?;
    }
    if matches!(start, StartBy::TwoWire | StartBy::HoldToRun) {
        scheme.reversing = facts.get(SCHEME_REVERSING)? == YesNo::Yes;
    }
    Ok(scheme)
}

/// What the machine needs of those that a check asks for.
pub(super) fn restart_meant(facts: &mut Reader<'_>) -> Result<bool, Stop> {
    Ok(facts.get(SCHEME_RESTART)? == YesNo::Yes)
}

/// What the emergency stop acts on, and the category that it needs; `None` where there is none.
pub(super) fn emergency(facts: &mut Reader<'_>) -> Result<Option<(Emergency, Category)>, Stop> {
    match facts.get(SCHEME_EMERGENCY)? {
        Emergency::None => Ok(None),
        acts => Ok(Some((acts, facts.get(SCHEME_CATEGORY)?))),
    }
}

/// The word of a habit: set safely where the measure is taken and the unit can, otherwise as delivered.
pub(super) fn word(unit: &Candidate<'_>, habit: Habit, safe: Option<usize>) -> Result<usize, Stop> {
    let row = unit.series.habits.iter().find(|r| r.habit == habit).ok_or(Stop::PackSilent(SILENT))?;
    match safe.filter(|word| unit.measures.has(Measure::SafeHabits) && row.can.has(*word)) {
        Some(word) => Ok(word),
        None => row.delivered.ok_or(Stop::PackSilent(SILENT)),
    }
}

/// What a habit is set to so that nobody is hurt; `None` where the job decides.
pub(super) fn safe(habit: Habit, restart_meant: bool, category: Option<Category>) -> Option<usize> {
    let waits = || Some(HeldStart::Waits.index());
    match habit {
        Habit::PowerUp if restart_meant => Some(HeldStart::Runs.index()),
        Habit::PowerUp | Habit::AfterEnable | Habit::AfterSafeOff | Habit::ModeChange => waits(),
        Habit::AfterReset => Some(AfterReset::Waits.index()),
        Habit::AutoReset => Some(AutoReset::Never.index()),
        Habit::FaultContact => Some(FaultContact::ClosedHealthy.index()),
        Habit::RunContact => Some(RunContact::Commanded.index()),
        Habit::Spinning => Some(Spinning::Catches.index()),
        Habit::Stop => category.map(|c| match c {
            Category::Zero => StopMode::Coast.index(),
            Category::One => StopMode::Ramp.index(),
        }),
        _ => None,
    }
}

/// The unit with those habits; the others do not matter to what is asked.
pub(super) fn with(
    facts: &Reader<'_>,
    unit: &Candidate<'_>,
    scheme: &Scheme,
    habits: &[Habit],
    restart_meant: bool,
    category: Option<Category>,
) -> Result<Unit, Stop> {
    let mut made = Unit::default();
    for habit in habits {
        // Only a start that is held around the unit's contact looks at it.
        if *habit == Habit::RunContact && (scheme.start, scheme.seal) != (StartBy::ThreeWire, Seal::UnitRelay) {
            continue;
        }
        made = made.with(*habit, word(unit, *habit, safe(*habit, restart_meant, category))?);
    }
    if scheme.start == StartBy::Network {
        let Some(pair) = facts.words(unit)? else {
            return Err(Stop::PackSilent("the network that starts the old drive ([network] layout)"));
        };
        let Some(layout) = pair.new else { return Err(Stop::PackSilent("a network layout of the new series (layouts.csv)")) };
        made = made.set(
            Habit::NetworkStart,
            match layout.sequence {
                Sequence::Level => NetworkStart::Level,
                Sequence::Pulses => NetworkStart::Pulse,
                Sequence::Edge | Sequence::States | Sequence::OnOff => NetworkStart::Edge,
            },
        );
    }
    Ok(made)
}

/// The inputs by which people and controllers command.
pub(super) fn command_events(scheme: &Scheme) -> Vec<Event> {
    let commands = [Input::Start, Input::Reverse, Input::Stop, Input::Hand, Input::Auto, Input::AutoContact, Input::RunBit];
    scheme.inputs().into_iter().filter(|i| commands.contains(i)).map(Event::Turn).collect()
}

/// Whether a rule is kept over some events: explored in full, over those events alone.
pub(super) fn kept<R: Recorder>(
    facts: &Reader<'_>,
    rec: &mut R,
    unit: Unit,
    scheme: Scheme,
    needs: &Needs,
    more: &[Event],
    rule: Rule,
) -> Result<Outcome, Stop> {
    let mut events = vec![Event::Turn(Input::Supply)];
    events.extend(command_events(&scheme));
    events.extend(more);
    events.push(Event::Time);
    let machine = Machine { unit, scheme };
    let judged = facts.judged((machine, *needs, events), |(machine, needs, events)| {
        judge_over(machine, &scheme, needs, events).map_err(|e| Stop::Refused(e.to_string()))
    })?;
    let verdict = judged.into_iter().find(|(r, _)| *r == rule).map(|(_, verdict)| verdict);
    Ok(match verdict {
        Some(Verdict::Broken(trace)) => {
            let told = transfer::behaviour::text::sequence(&scheme, &trace, &transfer::behaviour::text::Dips::default());
            holds_if(rec, false, || told.join(", "), &calc::sources::PACK)
        }
        Some(Verdict::Holds) => holds_if(rec, true, || format!("no sequence of events breaks it: {}", rule.text()), &calc::sources::PACK),
        _ => Outcome::NotHere,
    })
}

#[cfg(test)]
pub(crate) mod cases {
    //! For the tests of this group: a unit with habits, in a wiring as its survey says it.

    use plant::choice::Duty;
    use plant::control::{Habit, HabitRow, WordSet};
    use plant::fact::Place;

    use crate::candidate::{Candidate, Measure};
    use crate::check::{Check, Outcome};
    use crate::facts::{Stop, Survey};
    use crate::fixture::{Entries, changed, fact_id, outcome, position, said};

    /// A unit with these habits: what each can be set to, and as delivered; with its habits set safely, or not.
    pub(crate) fn unit(habits: &[(Habit, &[usize], usize)], set: bool) -> Candidate<'static> {
        let row = |(habit, can, delivered): &(Habit, &[usize], usize)| HabitRow {
            habit: *habit,
            can: WordSet::of(can.iter().copied()),
            delivered: Some(*delivered),
            setting: None,
            time: None,
            place: Place::default(),
        };
        let mut unit = changed("R1", Duty::Heavy, |s| s.habits = habits.iter().map(row).collect());
        if set {
            unit.measures = unit.measures.with(Measure::SafeHabits);
        }
        unit
    }

    /// Holds or fails as said.
    #[track_caller]
    pub(crate) fn is(check: &Check, entries: Entries<'_>, unit: &Candidate<'_>, holds: bool) {
        assert_eq!(outcome(check, entries, unit), Ok(Outcome::Margin(if holds { 1.0 } else { -1.0 })), "{entries:?}");
    }

    /// Stops because the pack tells nothing of a habit.
    #[track_caller]
    pub(crate) fn is_silent(check: &Check, entries: Entries<'_>, unit: &Candidate<'_>) {
        assert_eq!(outcome(check, entries, unit), Err(Stop::PackSilent(super::SILENT)));
    }

    /// Stops because this fact is open.
    #[track_caller]
    pub(crate) fn is_open(check: &Check, entries: Entries<'_>, unit: &Candidate<'_>, path: &str) {
        let position = position(entries);
        assert_eq!(said(check, &Survey::new(&position), unit).outcome, Err(Stop::Open(fact_id(path))));
    }
}
