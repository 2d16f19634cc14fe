//! The new unit runs as soon as the supply is back, though nobody started it anew and nobody meant it to.

use calc::working::Recorder;
use plant::control::{Habit, StartBy};
use transfer::behaviour::rules::Rule;
use transfer::behaviour::scheme::Needs;

use super::side::{commands, kept, restart_meant, with};
use crate::candidate::{Candidate, Measure};
use crate::check::{Outcome, check};
use crate::facts::{Reader, Stop};

check! {
    name: "control/starts-when-power-returns",
    severity: Injury,
    rows: &[58],
    unit: "",
    ways: &[],
    measures: &[Measure::SafeHabits],
    page: "starts_when_power_returns.md",
    run: run,
    remedies: super::set_habits,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let scheme = commands(facts)?;
    if restart_meant(facts)? {
        return Ok(Outcome::NotHere);
    }
    let habits: &[Habit] =
        if scheme.start == StartBy::Network { &[Habit::PowerUp, Habit::ModeChange] } else { &[Habit::PowerUp, Habit::RunContact] };
    let made = with(facts, unit, &scheme, habits, false, None)?;
    kept(facts, rec, made, scheme, &Needs::default(), &[], Rule::PowerReturn)
}

#[cfg(test)]
mod tests {
    use plant::control::{HeldStart, PilotSupply, Seal, StartBy};

    use super::*;
    use crate::control::side::cases::{is, is_open, is_silent, unit};

    #[test]
    fn a_maintained_start_needs_a_unit_that_waits() {
        let start = ("scheme.start", StartBy::TwoWire.word());
        let common = [start, ("scheme.pilot", "same-line"), ("scheme.reversing", "no"), ("scheme.restart_meant", "no")];
        is(&CHECK, &common, &unit(&[(Habit::PowerUp, &[0], 0)], false), false);
        is(&CHECK, &common, &unit(&[(Habit::PowerUp, &[1], 1)], false), true);
        is(&CHECK, &common, &unit(&[(Habit::PowerUp, &[0, 1], 0)], true), true);
        is(&CHECK, &common, &unit(&[(Habit::PowerUp, &[0], 0)], true), false);
        is_silent(&CHECK, &common, &unit(&[], false));
        assert_eq!(HeldStart::Waits.index(), 1);
    }

    #[test]
    fn what_holds_the_start_decides_for_a_button() {
        let runs = || unit(&[(Habit::PowerUp, &[0], 0), (Habit::RunContact, &[1], 1)], false);
        let wired = |seal: Seal, pilot: PilotSupply| {
            [("scheme.start", "three-wire"), ("scheme.seal", seal.word()), ("scheme.pilot", pilot.word()), ("scheme.restart_meant", "no")]
        };
        // A button that somebody leans on while power returns starts such a unit in any case.
        for seal in [Seal::Unit, Seal::UnitRelay, Seal::OwnRelay] {
            is(&CHECK, &wired(seal, PilotSupply::Separate), &runs(), false);
        }
        let waits = unit(&[(Habit::PowerUp, &[1], 1), (Habit::RunContact, &[1], 1)], false);
        is(&CHECK, &wired(Seal::OwnRelay, PilotSupply::Separate), &waits, true);
    }

    #[test]
    fn nothing_is_assumed_of_how_it_is_started() {
        is_open(&CHECK, &[], &unit(&[], false), "scheme.start");
    }

    use plant::choice::Choice;
}
