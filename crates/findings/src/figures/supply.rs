//! Fault currents along the path, leakage to earth, and how long the link lasts without a line.

use calc::braking::link::ride_through as time_without_line;
use calc::conductor::impedance::{Conduit, Impedance, Strands, iec_impedance, nec_impedance};
use calc::feeder::path::{Method, Part, Strength, Utility, fault_currents};
use calc::sources::{Knowledge, PACK, SURVEY, Source};
use calc::working::{Recorder, Silent, Step};
use plant::choice::Choice;
use plant::position::Code;
use plant::quantity::{ApparentPower, Current, Resistance, Temperature, Time, Voltage};
use plant::survey::{CONDUCTOR_LENGTH, DISCONNECT_RATING, FAULT_CURRENT, PANEL_RATING, SUPPLY_VOLTAGE, TRANSFORMER, TRANSFORMER_IMPEDANCE};

use super::figure;
use crate::candidate::{Candidate, Measure};
use crate::check::Outcome;
use crate::conductors::run::{iec_conductors, nec_conductors};
use crate::facts::{Reader, Stop};
use crate::line::{ahead, fitted, side};
use crate::supply::drops_out_on_dips::{MEAN, MEAN_OF_LINE, drawn_from_link};

figure!(FAULT_AT_TRANSFORMER, "figures/fault-at-transformer", "fault current at the transformer's terminals", CurrentDim, at_transformer);
figure!(FAULT_AT_PANEL, "figures/fault-at-panel", "fault current at the panel", CurrentDim, at_panel);
figure!(FAULT_AT_UNIT, "figures/fault-at-unit", "fault current at the drive's line terminals", CurrentDim, at_unit);
figure!(FAULT_BEHIND_REACTOR, "figures/fault-behind-reactor", "fault current behind reactor and choke", CurrentDim, behind_reactor);
figure!(PATH_RATING, "figures/path-rating", "lowest short-circuit rating of the path", CurrentDim, path_rating);
figure!(LEAKAGE, "figures/leakage", "standing leakage to earth", CurrentDim, leakage);
figure!(RIDE_THROUGH, "figures/ride-through", "time without any line until the undervoltage trip", TimeDim, ride_through);

/// Reactance over resistance of a supply at a low-voltage panel.
const X_OVER_R: f64 = 6.0;
/// Where it comes from.
const HABIT: Source = Source::new("X/R of 6 at a low-voltage panel: a habit of the trade", Knowledge::CommonPractice);
/// What the path behind the panel adds.
const AHEAD: Source =
    Source::new("I_k = U/(√3·|Z|): panel by its fault current and X/R 6, conductors by their tables, reactors", Knowledge::Derived);
/// A bolted fault at the secondary terminals.
const BOLTED: Source = Source::new("I_k = S/(√3·U·u_k), network ahead without impedance, motors left out", Knowledge::Derived);
/// Cold conductors let the most through.
const COLD: Temperature = Temperature::c(20.0);

fn at_transformer<R: Recorder>(facts: &mut Reader<'_>, _: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let (power, share) = (facts.get(TRANSFORMER)?, facts.get(TRANSFORMER_IMPEDANCE)?);
    let voltage = facts.get(SUPPLY_VOLTAGE)?;
    let current = Current::a(power.in_va() / (3f64.sqrt() * voltage.in_v() * share.in_of_one()));
    rec.step(|| {
        Step::new("I_kT", "fault current at the transformer's terminals", "S/(√3·U·u_k)", &BOLTED)
            .with("S", power)
            .with("U", voltage)
            .with("u_k", share)
            .gives(current)
            .note("the most that its own impedance lets through")
    });
    Ok(Outcome::Margin(current.in_si()))
}

fn at_panel<R: Recorder>(facts: &mut Reader<'_>, _: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let current = facts.get(FAULT_CURRENT)?;
    rec.step(|| {
        Step::new("I_k", "fault current at the panel", "", &SURVEY)
            .gives(current)
            .note("by the study; without one a fifth to all of what the transformer lets through")
    });
    Ok(Outcome::Margin(current.in_si()))
}

/// Fault currents at the nodes behind the panel: the drive's line terminals, and behind what is ahead of its rectifier.
fn behind_panel<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, reactor: bool, rec: &mut R) -> Result<Current, Stop> {
    let (fault, voltage) = (facts.get(FAULT_CURRENT)?, facts.get(SUPPLY_VOLTAGE)?);
    let power = ApparentPower::va(3f64.sqrt() * voltage.in_v() * fault.in_a());
    let utility = Utility { voltage, strength: Strength::Finite { power, x_over_r: X_OVER_R } };
    let length = facts.get(CONDUCTOR_LENGTH)?;
    let run = match facts.position().code {
        Code::Nec => {
            let found = nec_conductors(facts, unit)?;
            found.size.map(|size| nec_impedance(size, found.run.material, Conduit::Steel, length, found.run.parallel, COLD, &mut Silent))
        }
        Code::Iec => {
            let found = iec_conductors(facts, unit)?;
            // Stranded where nobody has said fine.
            found
                .size
                .map(|size| iec_impedance(size, found.run.material, Strands::Stranded, length, found.run.parallel, COLD, None, &mut Silent))
        }
    };
    // A conductor below any size of the tables, or a new one whose size follows from the fault's own checks: the panel's current.
    let mut parts: Vec<Part> = run.transpose()?.map(Part::Cable).into_iter().collect();
    rec.step(|| Step::new("X/R", "of everything ahead of the panel", "", &HABIT).gives(X_OVER_R));
    if reactor {
        let share = ahead(facts, unit, rec)?;
        let base = voltage.in_v() / 3f64.sqrt() / unit.rating.input_current.in_a();
        let x = Resistance::ohm(share.in_of_one() * base);
        parts.push(Part::Reactor(Impedance { r: Resistance::ZERO, x }));
    }
    let nodes = fault_currents(&utility, &parts, Method::PerUnit, rec)?;
    let current = nodes.last().map_or(fault, |node| node.current);
    rec.step(|| {
        Step::new("I_k", "fault current here", "", &AHEAD)
            .gives(current)
            .note("conductors cold, which lets the most through; motors left out")
    });
    Ok(current)
}

fn at_unit<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    Ok(Outcome::Margin(behind_panel(facts, unit, false, rec)?.in_si()))
}

fn behind_reactor<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    Ok(Outcome::Margin(behind_panel(facts, unit, true, rec)?.in_si()))
}

fn path_rating<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let device = fitted(facts, unit)?;
    let Some(row) = device.within() else {
        rec.step(|| {
            Step::new("I_cc", "rating of the unit with the device that is there", "", &PACK).gives(Current::ZERO).note(format!(
                "weakest: the unit; no document rates it behind {} of {}",
                device.device.word(),
                device.rating
            ))
        });
        return Ok(Outcome::Margin(0.0));
    };
    let mut parts = vec![(format!("the unit behind {}", device.device.word()), row.short_circuit_rating)];
    if !unit.measures.has(Measure::RatedDisconnect)
        && let Some(rating) = facts.find(DISCONNECT_RATING)?
    {
        parts.push(("the disconnect between drive and motor".into(), rating));
    }
    parts.push(("panel and disconnects ahead".into(), facts.get(PANEL_RATING)?));
    let mut weakest = 0;
    for i in 1..parts.len() {
        if parts[i].1 < parts[weakest].1 {
            weakest = i;
        }
    }
    let (name, lowest) = &parts[weakest];
    rec.step(|| Step::new("I_cc", "lowest short-circuit rating of the path", "", &PACK).gives(*lowest).note(format!("weakest: {name}")));
    Ok(Outcome::Margin(lowest.in_si()))
}

fn leakage<R: Recorder>(_: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let own = side(unit)?.leakage.ok_or(Stop::PackSilent("its leakage current to earth (line.csv, leakage)"))?;
    rec.step(|| {
        Step::new("I_E", "standing leakage of the unit by itself", "", &PACK)
            .gives(own)
            .note("of the unit with its filter links in; cable and motor come on top")
    });
    Ok(Outcome::Margin(own.in_si()))
}

fn ride_through<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let capacitance = unit.frame.bus_capacitance.ok_or(Stop::PackSilent("its bus capacitance (frames.csv, bus_capacitance)"))?;
    let trip =
        side(unit)?.undervoltage.ok_or(Stop::PackSilent("the bus voltage at which it trips on undervoltage (line.csv, undervoltage)"))?;
    let line = facts.get(SUPPLY_VOLTAGE)?;
    let before = Voltage::v(line.in_v() * MEAN_OF_LINE);
    rec.step(|| Step::new("U_1", "DC link before", "1.35·U", &MEAN).with("U", line).gives(before));
    if before <= trip {
        return Ok(Outcome::Margin(0.0));
    }
    let power = drawn_from_link(facts, rec)?;
    let time: Time = time_without_line(capacitance, before, trip, power, rec)?;
    Ok(Outcome::Margin(time.in_si()))
}
