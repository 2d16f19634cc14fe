//! Readings at a completion: multiples of others, open facts, the slip of a plate, completed positions.

use super::*;
use plant::survey::{LOAD_CURRENT, MOTOR_CURRENT, MOTOR_KIND, SUPPLY_GROUNDING};

fn with(entries: &[(&str, f64)]) -> Position {
    let mut position = Position::unknown("T-1");
    for (path, value) in entries {
        *position.fact_mut(survey::find(path).expect(path)).expect(path) = Fact::value(*value);
    }
    position
}

#[test]
fn a_multiple_follows_its_base() {
    let position = with(&[("motor.current", 50.0)]);
    let survey = Survey::new(&position);
    let mut point = survey.middle();
    point.set(survey.place_of(LOAD_CURRENT.id).expect("uncertain"), 1.0);
    let mut reader = survey.at(&point);
    assert!((reader.get(LOAD_CURRENT).expect("assumed") / Current::a(57.5) - 1.0).abs() < 1e-12);
    assert!(reader.reads().contains(MOTOR_CURRENT.id));
}

#[test]
fn what_may_not_be_assumed_is_open() {
    let position = with(&[]);
    let survey = Survey::new(&position);
    let point = survey.middle();
    let mut reader = survey.at(&point);
    assert!(matches!(reader.get(survey::MOTOR_POWER), Err(Stop::Open(_))));
    assert!(reader.get(SUPPLY_GROUNDING).is_ok());
    assert!(reader.open().contains(SUPPLY_GROUNDING.id));
}

#[test]
fn a_plate_without_slip_is_not_taken_for_an_induction_motor() {
    for (rpm, hertz, slips) in [
        (1780.0, 60.0, true),
        (1800.0, 60.0, false),
        (1500.0, 50.0, false),
        (1455.0, 50.0, true),
        (3000.0, 100.0, false),
        (1196.0, 60.0, true),
    ] {
        assert_eq!(shows_slip(rpm, hertz), slips, "{rpm} rpm at {hertz} Hz");
    }
    let position = with(&[("motor.speed", 1800.0 * std::f64::consts::PI / 30.0), ("motor.frequency", 60.0)]);
    let survey = Survey::new(&position);
    let point = survey.middle();
    assert!(matches!(survey.at(&point).get(MOTOR_KIND), Err(Stop::Open(_))));
}

#[test]
fn a_completed_position_reads_the_same() {
    let position = with(&[("motor.power", 30e3), ("motor.voltage", 460.0)]);
    let survey = Survey::new(&position);
    let mut point = survey.middle();
    for at in 0..point.len() {
        point.set(at, if survey.domain(survey.uncertain()[at]).listed().is_some() { 1.0 } else { 0.25 });
    }
    let completed = survey.complete(&point);
    let again = Survey::new(&completed);
    let there = again.middle();
    for id in survey.uncertain() {
        let (a, b) = (survey.at(&point).raw(*id).ok(), again.at(&there).raw(*id).ok());
        assert_eq!(a, b, "{}", survey::path(*id));
    }
}
