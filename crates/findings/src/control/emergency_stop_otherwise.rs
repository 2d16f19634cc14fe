//! The emergency stop stops by another category than the machine needs: it coasts where it must brake, or keeps power on where it must not.

use calc::working::Recorder;
use plant::control::{Emergency, Habit};
use transfer::behaviour::event::{Event, Input};
use transfer::behaviour::rules::Rule;
use transfer::behaviour::scheme::{Needs, Scheme};

use super::side::{commands, emergency, kept, with};
use crate::candidate::{Candidate, Measure};
use crate::check::{Outcome, check};
use crate::facts::{Reader, Stop};

check! {
    name: "control/emergency-stop-otherwise",
    severity: Injury,
    rows: &[112],
    unit: "",
    ways: &[],
    measures: &[Measure::SafeHabits],
    page: "emergency_stop_otherwise.md",
    run: run,
    remedies: super::set_habits,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let scheme = commands(facts)?;
    let Some((acts, category)) = emergency(facts)? else { return Ok(Outcome::NotHere) };
    let scheme = Scheme { emergency: acts, ..scheme };
    let habits: &[Habit] = match acts {
        Emergency::StopCircuit | Emergency::DelayedContactor | Emergency::DelayedSafeOff => &[Habit::Stop],
        Emergency::EnableInput => &[Habit::EnableLost],
        Emergency::None | Emergency::LineContactor | Emergency::SafeOff => &[],
    };
    let made = with(facts, unit, &scheme, habits, false, Some(category))?;
    let needs = Needs { category: Some(category), ..Needs::default() };
    kept(facts, rec, made, scheme, &needs, &[Event::Turn(Input::Emergency)], Rule::Category)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::control::side::cases::{is, unit};

    /// IEC 60204-1 (2016) 9.2.2, from memory: category 0 takes power away at once, category 1 stops under power first.
    #[test]
    fn stop_categories_are_told_apart() {
        for (acts, stop, zero, one) in [
            ("line-contactor", 0, true, false),
            ("safe-off", 0, true, false),
            ("stop-circuit", 0, false, true),
            ("stop-circuit", 1, true, false),
            ("stop-circuit", 2, false, true),
            ("delayed-contactor", 0, false, true),
            ("delayed-safe-off", 0, false, true),
            ("delayed-safe-off", 1, true, false),
        ] {
            let entries = |category| {
                [
                    ("scheme.start", "two-wire"),
                    ("scheme.pilot", "same-line"),
                    ("scheme.reversing", "no"),
                    ("scheme.emergency", acts),
                    ("scheme.category", category),
                ]
            };
            let made = || unit(&[(Habit::Stop, &[0, 1, 2], stop)], false);
            is(&CHECK, &entries("0"), &made(), zero);
            is(&CHECK, &entries("1"), &made(), one);
        }
    }
}
