//! What lies between the unit and the motor beside the cable: filter, switch, bypass, brake; and the cable's own load on the unit.

pub mod brake_fed_from_motor;
pub mod bypass_feeds_back;
pub mod bypass_without_overload;
pub mod cable_too_long;
pub mod capacitors_at_motor;
pub mod filter_unfit;
pub mod leads_share_raceway;
pub mod rotation_unproved;
pub mod switched_under_load;
pub mod transfer_too_quick;

use calc::sources::SURVEY;
use calc::working::{Recorder, Step};
use plant::choice::{Bypass, Choice};
use plant::product::MotorSide;
use plant::survey::BYPASS;

use crate::candidate::{Candidate, Measure, Remedy};
use crate::facts::{Reader, Stop};

/// What the unit's frame is towards the motor.
pub(crate) fn side<'a>(unit: &Candidate<'a>) -> Result<&'a MotorSide, Stop> {
    unit.series.motor_side(&unit.rating.frame).ok_or(Stop::PackSilent("what its frame is towards the motor (motor.csv)"))
}

/// The bypass; nothing where there is none.
pub(crate) fn bypass<R: Recorder>(facts: &mut Reader<'_>, rec: &mut R) -> Result<Option<Bypass>, Stop> {
    let found = facts.get(BYPASS)?;
    if found == Bypass::None {
        return Ok(None);
    }
    rec.step(|| Step::new("bypass", "bypass as found", "", &SURVEY).gives(found.word()));
    Ok(Some(found))
}

/// One remedy: a part whose price nobody states, and minutes of work.
pub(crate) fn one(measure: Measure, what: &str, minutes: f64) -> Vec<Remedy> {
    vec![Remedy { measure, what: what.into(), parts: None, minutes }]
}

/// The filter for the motor cable that is made for the unit.
pub(crate) fn motor_filter(unit: &Candidate<'_>) -> Vec<Remedy> {
    let Ok(side) = side(unit) else { return Vec::new() };
    let Some(code) = &side.filter else { return Vec::new() };
    vec![Remedy {
        measure: Measure::MotorFilter,
        what: format!("fit the filter {code} at the unit's output"),
        parts: side.filter_price,
        minutes: 180.0,
    }]
}
