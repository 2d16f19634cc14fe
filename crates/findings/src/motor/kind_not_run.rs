//! The motor is of a kind that the unit cannot run, or that nobody has recognised yet.

use calc::sources::PACK;
use calc::working::Recorder;
use plant::choice::Choice;
use plant::survey::MOTOR_KIND;

use crate::candidate::Candidate;
use crate::check::{Outcome, check, holds_if, no_remedy};
use crate::facts::{Reader, Stop};

check! {
    name: "motor/kind-not-run",
    severity: Equipment,
    rows: &[10],
    unit: "",
    ways: &[],
    measures: &[],
    page: "kind_not_run.md",
    run: run,
    remedies: no_remedy,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let kind = facts.get(MOTOR_KIND)?;
    let runs = &unit.series.control.motors;
    Ok(holds_if(
        rec,
        runs.contains(&kind),
        || {
            let words: Vec<&str> = runs.iter().map(|k| k.word()).collect();
            format!("motor: {}; the unit runs: {}", kind.word(), words.join(", "))
        },
        &PACK,
    ))
}

#[cfg(test)]
mod tests {
    use plant::choice::{Duty, MotorKind};

    use super::*;
    use crate::fixture::{by_hand, changed, is_open, unit};

    #[test]
    fn a_listed_kind_holds_and_another_fails() {
        let unit = unit("R1", Duty::Heavy); // runs induction and reluctance motors
        for (kind, margin) in
            [("induction", 1.0), ("reluctance", 1.0), ("permanent-magnet", -1.0), ("wound-rotor", -1.0), ("multi-speed", -1.0)]
        {
            by_hand(&CHECK, &[("motor.kind", kind)], &unit, margin);
        }
    }

    #[test]
    fn a_series_that_lists_the_kind_makes_the_difference() {
        let unit = changed("R1", Duty::Heavy, |s| s.control.motors = vec![MotorKind::PermanentMagnet]);
        by_hand(&CHECK, &[("motor.kind", "permanent-magnet")], &unit, 1.0);
        by_hand(&CHECK, &[("motor.kind", "induction")], &unit, -1.0);
    }

    #[test]
    fn slip_of_a_fifth_of_a_percent_shows_an_induction_motor() {
        // 120·60/4 = 1800 rpm: 4 rpm are 0.222 % of it, 3 rpm are 0.167 %. At 50 Hz 1490 rpm lie 0.67 % below 1500.
        let plate = |rpm, hertz| [("motor.speed", rpm), ("motor.frequency", hertz)];
        let unit = unit("R1", Duty::Heavy);
        by_hand(&CHECK, &plate("1796 rpm", "60 Hz"), &unit, 1.0);
        by_hand(&CHECK, &plate("1490 rpm", "50 Hz"), &unit, 1.0);
        is_open(&CHECK, &plate("1797 rpm", "60 Hz"), &unit, "motor.kind");
        is_open(&CHECK, &plate("3000 rpm", "100 Hz"), &unit, "motor.kind");
        is_open(&CHECK, &[], &unit, "motor.speed");
    }
}
