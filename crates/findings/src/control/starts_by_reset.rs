//! Clearing a fault, or releasing the emergency stop, lets the new unit run although nobody started it anew.

use calc::working::Recorder;
use plant::control::{Emergency, Habit, ResetBy, StartBy};
use plant::survey::SCHEME_RESET;
use transfer::behaviour::event::{Event, Input};
use transfer::behaviour::rules::Rule;
use transfer::behaviour::scheme::{Needs, Scheme};

use super::side::{commands, emergency, kept, with};
use crate::candidate::{Candidate, Measure};
use crate::check::{Outcome, check};
use crate::facts::{Reader, Stop};

check! {
    name: "control/starts-by-reset",
    severity: Injury,
    rows: &[58, 83],
    unit: "",
    ways: &[],
    measures: &[Measure::SafeHabits],
    page: "starts_by_reset.md",
    run: run,
    remedies: super::set_habits,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let scheme = Scheme { reset: ResetBy::Button, ..commands(facts)? };
    // A start over the network goes through the words: words/restarts-on-reset judges it, with the block or without.
    if scheme.start == StartBy::Network {
        return Ok(Outcome::NotHere);
    }
    let by_hand = facts.get(SCHEME_RESET)? != ResetBy::Power;
    let mut habits = vec![Habit::AutoReset];
    if by_hand {
        habits.extend([Habit::AfterReset, Habit::Reset]);
    }
    let made = with(facts, unit, &scheme, &habits, false, None)?;
    let mut events = vec![Event::Turn(Input::Cause)];
    if by_hand {
        events.push(Event::Turn(Input::Reset));
    }
    let by_reset = kept(facts, rec, made, scheme, &Needs::default(), &events, Rule::Reset)?;
    if by_reset == Outcome::Margin(-1.0) {
        return Ok(by_reset);
    }
    // An emergency stop that drops the line is a supply that returns; that is a finding of its own.
    match emergency(facts)? {
        Some((acts @ (Emergency::EnableInput | Emergency::SafeOff | Emergency::StopCircuit), category)) => {
            let mut habits: Vec<Habit> = match acts {
                Emergency::EnableInput => vec![Habit::AfterEnable],
                Emergency::SafeOff => vec![Habit::AfterSafeOff],
                _ => vec![Habit::Stop],
            };
            habits.push(Habit::RunContact);
            let scheme = Scheme { emergency: acts, ..scheme };
            let made = with(facts, unit, &scheme, &habits, false, Some(category))?;
            kept(facts, rec, made, scheme, &Needs::default(), &[Event::Turn(Input::Emergency)], Rule::EmergencyStop)
        }
        _ => Ok(by_reset),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::control::side::cases::{is, unit};

    const TWO_WIRE: [(&str, &str); 5] = [
        ("scheme.start", "two-wire"),
        ("scheme.pilot", "same-line"),
        ("scheme.reversing", "no"),
        ("scheme.reset", "button"),
        ("scheme.emergency", "none"),
    ];

    #[test]
    fn a_held_start_must_wait_after_a_reset() {
        let habits =
            |after: usize| [(Habit::AutoReset, &[0][..], 0), (Habit::AfterReset, &[0, 1, 2][..], after), (Habit::Reset, &[1][..], 1)];
        for (after, holds) in [(0, false), (1, true), (2, true)] {
            is(&CHECK, &TWO_WIRE, &unit(&habits(after), false), holds);
        }
        is(&CHECK, &TWO_WIRE, &unit(&habits(0), true), true);
    }

    #[test]
    fn a_unit_that_resets_itself_starts_itself() {
        let habits = |auto| [(Habit::AutoReset, &[0, 1][..], auto), (Habit::AfterReset, &[1][..], 1), (Habit::Reset, &[1][..], 1)];
        is(&CHECK, &TWO_WIRE, &unit(&habits(1), false), false);
        is(&CHECK, &TWO_WIRE, &unit(&habits(1), true), true);
    }

    #[test]
    fn a_seal_that_stays_closed_down_the_ramp_starts_again_when_the_emergency_stop_is_released() {
        let entries = [
            ("scheme.start", "three-wire"),
            ("scheme.seal", "unit-relay"),
            ("scheme.pilot", "same-line"),
            ("scheme.reset", "power"),
            ("scheme.emergency", "stop-circuit"),
            ("scheme.category", "1"),
        ];
        let habits = |contact| [(Habit::AutoReset, &[0][..], 0), (Habit::Stop, &[0, 1][..], 0), (Habit::RunContact, &[0, 1][..], contact)];
        is(&CHECK, &entries, &unit(&habits(0), false), false);
        is(&CHECK, &entries, &unit(&habits(1), false), true);
        is(&CHECK, &entries, &unit(&habits(0), true), true);
    }
}
