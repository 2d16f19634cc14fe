//! The current that breaks the load away is more than the unit gives near standstill.

use calc::sources::{PACK, SURVEY};
use calc::working::{Recorder, Step};
use plant::choice::LoadKind;
use plant::quantity::{Current, Frequency, Ratio};
use plant::survey::{
    AIR_TEMPERATURE, ALTITUDE, LOAD_BREAKAWAY_TORQUE, LOAD_KIND, LOAD_PEAK_CURRENT, LOAD_PEAK_TIME, MOTOR_CURRENT, MOTOR_EFFICIENCY,
    MOTOR_POWER, MOTOR_POWER_FACTOR, MOTOR_VOLTAGE, SUPPLY_UNBALANCE, WANTED_CARRIER,
};

use crate::candidate::{Candidate, Measure};
use crate::check::{Outcome, Way, check, covered};
use crate::facts::{Reader, Stop};
use crate::rating::site_current_short::lower_carrier;

check! {
    name: "rating/breakaway-short",
    severity: Downtime,
    rows: &[2],
    unit: "%",
    ways: &[
        (AIR_TEMPERATURE.id, Way::Down), (ALTITUDE.id, Way::Down), (WANTED_CARRIER.id, Way::Down), (SUPPLY_UNBALANCE.id, Way::Down),
        (LOAD_PEAK_CURRENT.id, Way::Down), (LOAD_PEAK_TIME.id, Way::Down), (LOAD_BREAKAWAY_TORQUE.id, Way::Down),
        (MOTOR_POWER.id, Way::Down), (MOTOR_VOLTAGE.id, Way::Up), (MOTOR_EFFICIENCY.id, Way::Up), (MOTOR_POWER_FACTOR.id, Way::Up),
        (MOTOR_CURRENT.id, Way::Down),
    ],
    measures: &[Measure::LowestCarrier],
    page: "breakaway_short.md",
    run: run,
    remedies: lower_carrier,
}

/// Output frequency at which a load breaks away: about the slip frequency of a cage motor at high torque. Common practice, no source.
const BREAKAWAY_FREQUENCY: Frequency = Frequency::hz(2.0);

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let torque_from_nothing = matches!(facts.get(LOAD_KIND)?, LoadKind::Quadratic | LoadKind::Linear);
    let breakaway = facts.find(LOAD_BREAKAWAY_TORQUE)?;
    if torque_from_nothing && breakaway.is_none() {
        // Its peak comes at speed, where rating/overload-short looks at it.
        return Ok(Outcome::NotHere);
    }
    let reduced = unit.reduced(facts, rec)?;
    let seconds = facts.get(LOAD_PEAK_TIME)?;
    let multiple = Ratio::of_one(unit.multiple_for(seconds.in_s()));
    let standstill = unit.output_frequency_factor(BREAKAWAY_FREQUENCY);
    let available = reduced.current * multiple.in_of_one() * standstill.in_of_one();
    rec.step(|| {
        Step::new("I_max", "current for the break-away near standstill", "I_site·k·k_f", &PACK)
            .with("I_site", reduced.current)
            .with("k", multiple)
            .with("k_f", standstill)
            .gives(available)
            .note(format!("largest multiple allowed for {seconds}, reduced at {BREAKAWAY_FREQUENCY}"))
    });
    let mut need: Current = facts.get(LOAD_PEAK_CURRENT)?;
    if let Some(torque) = breakaway {
        let model = crate::demand::current_model(facts)?;
        // The current model reads low far above rated torque, so a peak current counts where it is larger.
        need = need.max(calc::motor::current::current_at(&model, torque, Ratio::ZERO, rec)?);
    }
    rec.step(|| Step::new("I_break", "current that breaks the load away", "", &SURVEY).gives(need));
    if reduced.factor == Ratio::ZERO {
        return Ok(Outcome::Margin(-100.0));
    }
    Ok(covered(rec, "I_max/I_break − 1", ("I_max", available), ("I_break", need)))
}
