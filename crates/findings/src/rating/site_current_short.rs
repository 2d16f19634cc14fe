//! What altitude, air, carrier and mounting leave of the rated current does not carry the load for good.

use calc::sources::SURVEY;
use calc::working::{Recorder, Step};
use plant::quantity::{Current, Ratio};
use plant::survey::{AIR_TEMPERATURE, ALTITUDE, SUPPLY_UNBALANCE, WANTED_CARRIER};

use crate::candidate::{Candidate, Measure, Remedy};
use crate::check::{Outcome, Way, check, covered};
use crate::facts::{Reader, Stop};

check! {
    name: "rating/site-current-short",
    severity: Downtime,
    rows: &[6],
    unit: "%",
    ways: &[
        (AIR_TEMPERATURE.id, Way::Down), (ALTITUDE.id, Way::Down), (WANTED_CARRIER.id, Way::Down), (SUPPLY_UNBALANCE.id, Way::Down),
        (plant::survey::LOAD_CURRENT.id, Way::Down), (plant::survey::LOAD_PEAK_CURRENT.id, Way::Down),
        (plant::survey::LOAD_PEAK_TIME.id, Way::Down), (plant::survey::LOAD_STARTS.id, Way::Down), (plant::survey::MOTOR_CURRENT.id, Way::Down),
        (plant::survey::MOTOR_VOLTAGE.id, Way::Up),
        (plant::survey::MOTOR_EFFICIENCY.id, Way::Up), (plant::survey::MOTOR_POWER_FACTOR.id, Way::Up),
    ],
    measures: &[Measure::LowestCarrier],
    page: "site_current_short.md",
    run: run,
    remedies: lower_carrier,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let reduced = unit.reduced(facts, rec)?;
    let demand = facts.demand()?;
    let need: Current = demand.get()?.rms;
    rec.step(|| Step::new("I_rms", "current of the load over its cycle, root mean square", "", &SURVEY).gives(need).note(demand.origin()));
    if reduced.factor == Ratio::ZERO {
        return Ok(Outcome::Margin(-100.0));
    }
    Ok(covered(rec, "I_site/I_rms − 1", ("I_site", reduced.current), ("I_rms", need)))
}

/// Lowering the carrier gives current back, at the price of noise from the motor.
pub(crate) fn lower_carrier(unit: &Candidate<'_>) -> Vec<Remedy> {
    unit.lower_carrier()
        .map(|carrier| Remedy {
            measure: Measure::LowestCarrier,
            what: format!("set the carrier frequency to {carrier} (the motor gets louder)"),
            parts: Some(0.0),
            minutes: 5.0,
        })
        .into_iter()
        .collect()
}
