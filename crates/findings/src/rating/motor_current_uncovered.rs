//! The unit's rated current is less than the motor's plate: the kilowatts were taken instead of the amperes.

use calc::sources::{PACK, SURVEY};
use calc::working::{Recorder, Step};
use plant::survey::{MOTOR_COUNT, MOTOR_CURRENT, MOTOR_EFFICIENCY, MOTOR_POWER, MOTOR_POWER_FACTOR, MOTOR_VOLTAGE};

use crate::candidate::Candidate;
use crate::check::{Outcome, Way, check, covered, no_remedy};
use crate::facts::{Reader, Stop};

check! {
    name: "rating/motor-current-uncovered",
    severity: Equipment,
    rows: &[3],
    unit: "%",
    ways: &[
        (MOTOR_CURRENT.id, Way::Down), (MOTOR_COUNT.id, Way::Down), (MOTOR_POWER.id, Way::Down),
        (MOTOR_VOLTAGE.id, Way::Up), (MOTOR_EFFICIENCY.id, Way::Up), (MOTOR_POWER_FACTOR.id, Way::Up),
    ],
    measures: &[],
    page: "motor_current_uncovered.md",
    run: run,
    remedies: no_remedy,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let motors = facts.get(MOTOR_COUNT)?;
    let each = facts.get(MOTOR_CURRENT)?;
    let total = each * motors.in_count();
    rec.step(|| {
        Step::new("I_M", "rated current of all motors on the drive", "n·I_N", &SURVEY).with("n", motors).with("I_N", each).gives(total)
    });
    rec.step(|| Step::new("I_N,unit", "rated current of the unit in this duty class", "", &PACK).gives(unit.rating.current));
    Ok(covered(rec, "I_N,unit/I_M − 1", ("I_N,unit", unit.rating.current), ("I_M", total)))
}
