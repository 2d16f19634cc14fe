//! Several motors on one drive, and no overload relay for each: the drive sees only their sum.

use calc::sources::PRACTICE;
use calc::working::Recorder;
use plant::choice::YesNo;
use plant::survey::{MOTOR_COUNT, MOTOR_OWN_OVERLOADS};

use crate::candidate::{Candidate, Measure, Remedy};
use crate::check::{Outcome, check, holds_if};
use crate::facts::{Reader, Stop};

check! {
    name: "motor/overloads-missing",
    severity: Equipment,
    rows: &[12],
    unit: "",
    ways: &[],
    measures: &[Measure::MotorOverloads],
    page: "overloads_missing.md",
    run: run,
    remedies: remedies,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let motors = facts.get(MOTOR_COUNT)?.in_count();
    if motors < 1.5 {
        return Ok(Outcome::NotHere);
    }
    let own = facts.get(MOTOR_OWN_OVERLOADS)? == YesNo::Yes;
    Ok(holds_if(
        rec,
        own || unit.measures.has(Measure::MotorOverloads),
        || format!("{motors} motors: the sum of their currents cannot show that one of them is overloaded"),
        &PRACTICE,
    ))
}

fn remedies(_: &Candidate<'_>) -> Vec<Remedy> {
    vec![Remedy {
        measure: Measure::MotorOverloads,
        what: "fit an overload relay for each motor, its contact in the run permit".into(),
        parts: None,
        minutes: 60.0,
    }]
}

#[cfg(test)]
mod tests {
    use plant::choice::Duty;

    use super::*;
    use crate::fixture::{by_hand, is_not_here, remedied, unit};

    #[test]
    fn one_motor_is_protected_by_the_drive() {
        is_not_here(&CHECK, &[("motor.count", "1"), ("motor.own_overloads", "no")], &unit("R1", Duty::Heavy));
    }

    #[test]
    fn two_motors_are_several_already() {
        let of = |own| [("motor.count", "2"), ("motor.own_overloads", own)];
        by_hand(&CHECK, &of("no"), &unit("R1", Duty::Heavy), -1.0);
        by_hand(&CHECK, &of("yes"), &unit("R1", Duty::Heavy), 1.0);
    }

    #[test]
    fn relays_that_are_fitted_make_it_hold() {
        // Of 12 motors, 11 idle at 0.4·I_N and one at 2·I_N draw 6.4·I_N; the drive is set to 12·I_N and sees nothing.
        let twelve = [("motor.count", "12"), ("motor.own_overloads", "no")];
        let unit = unit("R1", Duty::Heavy);
        by_hand(&CHECK, &twelve, &unit, -1.0);
        by_hand(&CHECK, &twelve, &remedied(&CHECK, &unit), 1.0);
    }
}
