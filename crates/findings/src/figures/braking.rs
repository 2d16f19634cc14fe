//! What comes back from the load, what may take it, and the shortest stop.

use calc::braking::window::{Need, resistor_window};
use calc::sources::{DEFINITION, PACK};
use calc::working::{Recorder, Step};
use plant::choice::{LoadKind, StopNeed, YesNo};
use plant::quantity::{Energy, Power, Ratio, Resistance};
use plant::survey::{LOAD_INERTIA, LOAD_KIND, LOAD_OVERHAULING, MOTOR_EFFICIENCY, RESISTOR, STOP_NEED};

use super::figure;
use crate::braking::resistor_too_hot::mean_power;
use crate::braking::returned::{has_chopper, highest_speed, returned, shortest};
use crate::candidate::{Candidate, Measure};
use crate::check::Outcome;
use crate::facts::{Reader, Stop};

figure!(RETURNED, "figures/returned", "largest power that comes back to the DC link", ElectricPowerDim, peak);
figure!(TAKEN, "figures/taken", "most that losses or chopper take", ElectricPowerDim, taken);
figure!(STOP_ENERGY, "figures/stop-energy", "energy of one stop, at the DC link", EnergyDim, stop_energy);
figure!(SHORTEST, "figures/shortest-stop", "shortest stop that the unit comes to", TimeDim, shortest_stop);
figure!(SMALLEST, "figures/smallest-resistor", "smallest resistor that the chopper stands", ResistanceDim, smallest);
figure!(LARGEST, "figures/largest-resistor", "largest resistor that takes the power", ResistanceDim, largest);
figure!(MEAN, "figures/mean-power", "mean power in the resistor", ElectricPowerDim, mean);

fn peak<R: Recorder>(facts: &mut Reader<'_>, _: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    Ok(returned(facts, rec)?.map_or(Outcome::NotHere, |power| Outcome::Margin(power.in_si())))
}

fn taken<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    if returned(facts, &mut calc::working::Silent)?.is_none() {
        return Ok(Outcome::NotHere);
    }
    if !has_chopper(unit) {
        let losses = unit.rating.losses.ok_or(Stop::PackSilent("losses of the unit"))?;
        rec.step(|| Step::new("P_loss", "what the unit's own losses take", "", &PACK).gives(losses).note("no chopper"));
        return Ok(Outcome::Margin(losses.in_si()));
    }
    let (Some(level), Some(least)) = (unit.frame.chopper_level, unit.frame.chopper_smallest) else {
        return Err(Stop::PackSilent("chopper level and smallest resistor of the frame"));
    };
    let most = Power::si(level.in_si() * level.in_si() / least.in_si());
    rec.step(|| {
        Step::new("P_chop", "most that the chopper takes, with its smallest resistor", "U_on²/R_min", &PACK)
            .with("U_on", level)
            .with("R_min", least)
            .gives(most)
    });
    Ok(Outcome::Margin(most.in_si()))
}

fn stop_energy<R: Recorder>(facts: &mut Reader<'_>, _: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    if facts.get(STOP_NEED)? == StopNeed::Free {
        return Ok(Outcome::NotHere);
    }
    let (inertia, speed, passes) = (facts.get(LOAD_INERTIA)?, highest_speed(facts)?, facts.get(MOTOR_EFFICIENCY)?);
    let energy = Energy::j(0.5 * inertia.in_si() * speed.in_si() * speed.in_si() * passes.in_of_one());
    rec.step(|| {
        Step::new("E", "energy of one stop, at the DC link", "½·J·ω²·η", &DEFINITION)
            .with("J", inertia)
            .with("ω", speed)
            .with("η", passes)
            .gives(energy)
            .note(if pulls(facts) { "a load that drives on adds to it" } else { "friction of the machine helps and is left out" })
    });
    Ok(Outcome::Margin(energy.in_si()))
}

fn pulls(facts: &mut Reader<'_>) -> bool {
    facts.get(LOAD_OVERHAULING).is_ok_and(|d| d == YesNo::Yes) && facts.get(LOAD_KIND).is_ok_and(|k| k != LoadKind::HighInertia)
}

fn shortest_stop<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    if facts.get(STOP_NEED)? == StopNeed::Free {
        return Ok(Outcome::NotHere);
    }
    Ok(shortest(facts, unit, rec)?.map_or(Outcome::Margin(f64::INFINITY), |time| Outcome::Margin(time.in_si())))
}

/// Ends of the resistor window; nothing where nothing comes back or no chopper is there.
fn window<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Option<(Resistance, Resistance)>, Stop> {
    if !has_chopper(unit) {
        return Ok(None);
    }
    let (Some(level), Some(smallest)) = (unit.frame.chopper_level, unit.frame.chopper_smallest) else {
        return Err(Stop::PackSilent("chopper level and smallest resistor of the frame"));
    };
    let Some(peak) = returned(facts, rec)? else { return Ok(None) };
    let window = resistor_window(&Need { smallest, level, peak, tolerance: Ratio::ZERO }, rec)?;
    Ok(Some((window.smallest, window.largest)))
}

fn smallest<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    Ok(window(facts, unit, rec)?.map_or(Outcome::NotHere, |(least, _)| Outcome::Margin(least.in_si())))
}

fn largest<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    Ok(window(facts, unit, rec)?.map_or(Outcome::NotHere, |(_, most)| Outcome::Margin(most.in_si())))
}

/// Whether a resistor is there or comes: without one there is nothing to heat.
fn has_resistor(facts: &mut Reader<'_>, unit: &Candidate<'_>) -> Result<bool, Stop> {
    let comes = unit.measures.has(Measure::NewResistor) || unit.measures.has(Measure::Chopper);
    Ok(has_chopper(unit) && (comes || facts.find(RESISTOR)?.is_some()))
}

fn mean<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    if !has_resistor(facts, unit)? {
        return Ok(Outcome::NotHere);
    }
    Ok(mean_power(facts, rec)?.map_or(Outcome::NotHere, |power| Outcome::Margin(power.in_si())))
}
