//! Several motors on one drive under vector control: their sum is no motor that a model fits.

use calc::sources::PRACTICE;
use calc::working::Recorder;
use plant::choice::Control;
use plant::survey::MOTOR_COUNT;

use crate::candidate::{Candidate, Measure, Remedy};
use crate::check::{Outcome, check, holds_if};
use crate::facts::{Reader, Stop};

check! {
    name: "motor/several-on-vector",
    severity: Equipment,
    rows: &[11],
    unit: "",
    ways: &[],
    measures: &[Measure::ScalarControl],
    page: "several_on_vector.md",
    run: run,
    remedies: remedies,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let motors = facts.get(MOTOR_COUNT)?.in_count();
    if motors < 1.5 {
        return Ok(Outcome::NotHere);
    }
    let only_scalar = unit.series.control.methods == [Control::Scalar];
    Ok(holds_if(
        rec,
        only_scalar || unit.measures.has(Measure::ScalarControl),
        || format!("{motors} motors on one drive need volts per hertz, slip compensation off, no identification run"),
        &PRACTICE,
    ))
}

fn remedies(unit: &Candidate<'_>) -> Vec<Remedy> {
    if !unit.series.control.methods.contains(&Control::Scalar) {
        return Vec::new();
    }
    vec![Remedy {
        measure: Measure::ScalarControl,
        what: "set volts-per-hertz control, slip compensation off, and leave the identification run out".into(),
        parts: Some(0.0),
        minutes: 10.0,
    }]
}

#[cfg(test)]
mod tests {
    use plant::choice::Duty;

    use super::*;
    use crate::fixture::{by_hand, changed, is_not_here, remedied, unit};

    #[test]
    fn one_motor_may_be_modelled() {
        is_not_here(&CHECK, &[("motor.count", "1")], &unit("R1", Duty::Heavy));
        is_not_here(&CHECK, &[], &unit("R1", Duty::Heavy)); // one is assumed
    }

    #[test]
    fn two_motors_fail_until_volts_per_hertz_is_set() {
        let unit = unit("R1", Duty::Heavy);
        by_hand(&CHECK, &[("motor.count", "2")], &unit, -1.0);
        by_hand(&CHECK, &[("motor.count", "2")], &remedied(&CHECK, &unit), 1.0);
    }

    #[test]
    fn a_series_with_volts_per_hertz_alone_cannot_be_set_wrong() {
        let scalar = changed("R1", Duty::Heavy, |s| s.control.methods = vec![Control::Scalar]);
        by_hand(&CHECK, &[("motor.count", "12")], &scalar, 1.0);
    }

    #[test]
    fn a_series_without_it_has_no_remedy() {
        let vector = changed("R1", Duty::Heavy, |s| s.control.methods = vec![Control::OpenLoopVector]);
        by_hand(&CHECK, &[("motor.count", "2")], &vector, -1.0);
        assert!(remedies(&vector).is_empty());
    }
}
