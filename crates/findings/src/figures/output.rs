//! The motor cable: its load on the unit, and the waves that it brings to the motor.

use calc::cable::charging::{Feeding, Run, charging};
use calc::sources::{Knowledge, SURVEY, Source};
use calc::working::{Recorder, Step};
use plant::choice::{OutputFilter, YesNo};
use plant::quantity::{Capacitance, Length, Ratio, Resistance};
use plant::survey::{CABLE_LENGTH, CABLE_SCREENED, CABLE_TOTAL, MOTOR_COUNT, OUTPUT_FILTER, SUPPLY_HIGHEST};

use super::figure;
use crate::candidate::{Candidate, Measure};
use crate::check::Outcome;
use crate::facts::{Reader, Stop};

figure!(CABLE, "figures/cable", "motor cable, all runs together", LengthDim, cable);
figure!(CHARGING, "figures/charging", "charging current of the motor cable, rms", CurrentDim, rms);
figure!(EDGE, "figures/edge", "current of each edge into the motor cable", CurrentDim, edge);

/// One conductor against the others, a metre.
const UNSCREENED: Capacitance = Capacitance::nf(0.15);
/// The same against a screen too.
const SCREENED: Capacitance = Capacitance::nf(0.4);
/// Surge impedance of one run.
const SURGE: Resistance = Resistance::ohm(80.0);
/// Share of a wave that a run to and fro leaves.
const LEAVES: Ratio = Ratio::percent(50.0);
/// Where they come from.
const HABIT: Source = Source::new(
    "0.15 nF/m unscreened and 0.4 nF/m screened, 80 Ω, half of a wave left after each run to and fro: habits of the trade",
    Knowledge::CommonPractice,
);

/// All runs together.
fn all_runs(facts: &mut Reader<'_>) -> Result<Length, Stop> {
    Ok(match facts.find(CABLE_TOTAL)? {
        Some(total) => total,
        None => facts.get(CABLE_LENGTH)? * facts.get(MOTOR_COUNT)?.in_count(),
    })
}

/// Whether the unit feeds a filter, which takes the edges from the cable.
fn filtered(facts: &mut Reader<'_>, unit: &Candidate<'_>) -> Result<bool, Stop> {
    let stays = !unit.measures.has(Measure::NoOutputFilter);
    Ok(unit.measures.has(Measure::MotorFilter) || (stays && matches!(facts.get(OUTPUT_FILTER)?, OutputFilter::Sine | OutputFilter::DvDt)))
}

fn cable<R: Recorder>(facts: &mut Reader<'_>, _: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let length = all_runs(facts)?;
    rec.step(|| Step::new("l", "motor cable, all runs together", "", &SURVEY).gives(length));
    Ok(Outcome::Margin(length.in_si()))
}

fn taken<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Option<calc::cable::charging::Charging>, Stop> {
    if filtered(facts, unit)? {
        return Ok(None);
    }
    let per_metre = if facts.get(CABLE_SCREENED)? == YesNo::Yes { SCREENED } else { UNSCREENED };
    let count = facts.get(MOTOR_COUNT)?;
    let run = Run { length: all_runs(facts)? / count.in_count(), per_metre, count };
    let carrier = unit.carrier(facts)?.ok_or(Stop::PackSilent("carrier frequency that the unit comes set to (default_carrier)"))?;
    let from = Feeding { bus: facts.get(SUPPLY_HIGHEST)? * std::f64::consts::SQRT_2, cable: SURGE, carrier, leaves: LEAVES };
    rec.step(|| Step::new("C'", "capacitance of a metre", "", &HABIT).gives(per_metre));
    Ok(Some(charging(&[run], &from, rec)?))
}

fn rms<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    Ok(taken(facts, unit, rec)?.map_or(Outcome::NotHere, |found| Outcome::Margin(found.rms.in_si())))
}

fn edge<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    Ok(taken(facts, unit, rec)?.map_or(Outcome::NotHere, |found| Outcome::Margin(found.peak.in_si())))
}
