//! The measured current at the worst load is more than the unit may carry for good: a rewound motor, a service
//! factor in use, or simply more load than the plate.

use calc::sources::{PACK, SURVEY};
use calc::working::{Recorder, Step};
use plant::choice::Winding;
use plant::survey::{LOAD_CURRENT, MOTOR_CURRENT, MOTOR_EFFICIENCY, MOTOR_POWER, MOTOR_POWER_FACTOR, MOTOR_VOLTAGE, MOTOR_WINDING};

use crate::candidate::Candidate;
use crate::check::{Outcome, Way, check, covered, no_remedy};
use crate::facts::{Reader, Stop};

check! {
    name: "rating/measured-current-uncovered",
    severity: Downtime,
    rows: &[4],
    unit: "%",
    ways: &[
        (LOAD_CURRENT.id, Way::Down), (MOTOR_CURRENT.id, Way::Down), (MOTOR_POWER.id, Way::Down),
        (MOTOR_VOLTAGE.id, Way::Up), (MOTOR_EFFICIENCY.id, Way::Up), (MOTOR_POWER_FACTOR.id, Way::Up),
    ],
    measures: &[],
    page: "measured_current_uncovered.md",
    run: run,
    remedies: no_remedy,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    // The plate of a rewound motor no longer tells its amperes: without a reading nothing may be assumed from it.
    if facts.get(MOTOR_WINDING)? == Winding::Rewound && !facts.is_surveyed(LOAD_CURRENT) {
        return Err(Stop::Open(LOAD_CURRENT.id));
    }
    let load = facts.get(LOAD_CURRENT)?;
    rec.step(|| Step::new("I_load", "current at the worst load", "", &SURVEY).gives(load));
    rec.step(|| Step::new("I_N,unit", "rated current of the unit in this duty class", "", &PACK).gives(unit.rating.current));
    Ok(covered(rec, "I_N,unit/I_load − 1", ("I_N,unit", unit.rating.current), ("I_load", load)))
}
