//! What the front end draws and does: distortion at the worst load, at the panel, and what its own link bears.

use calc::harmonics::{AtCoupling, Coupling, Edition, Spectrum, at_coupling};
use calc::working::{Recorder, Silent, Step};
use plant::quantity::Ratio;
use plant::survey::{FAULT_CURRENT, HARMONIC_LIMIT, LINEAR_LOAD, OTHER_RECTIFIERS, SUPPLY_VOLTAGE};

use super::figure;
use crate::candidate::Candidate;
use crate::check::Outcome;
use crate::facts::{Reader, Stop};
use crate::front_end::{Drawn, LinkStress, SOLVED, bridge, drawn};
use crate::harmonics::limit_exceeded::edition;
use crate::line::ahead;

figure!(FUNDAMENTAL, "figures/fundamental", "fundamental of the line current at the worst load", CurrentDim, fundamental);
figure!(DISTORTION, "figures/distortion", "distortion of the unit's line current (THD)", RatioDim, distortion);
figure!(FIFTH, "figures/fifth", "fifth harmonic of the unit, of its fundamental", RatioDim, fifth);
figure!(DEMAND_DISTORTION, "figures/demand-distortion", "demand distortion at the panel, all drives (TDD)", RatioDim, demand_distortion);
figure!(DEMAND_LIMIT, "figures/demand-limit", "limit of the demand distortion", RatioDim, demand_limit);
figure!(
    VOLTAGE_DISTORTION,
    "figures/voltage-distortion",
    "voltage distortion at the panel by these currents",
    RatioDim,
    voltage_distortion
);
figure!(VOLTAGE_LIMIT, "figures/voltage-limit", "limit of the voltage distortion", RatioDim, voltage_limit);
figure!(RIPPLE, "figures/ripple", "ripple of the DC link, peak to peak, of its mean", RatioDim, ripple);
figure!(
    CAPACITOR_CURRENT,
    "figures/capacitor-current",
    "current of the link's capacitors from the rectifier",
    CurrentDim,
    capacitor_current
);

fn here<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Drawn, Stop> {
    let reactance = ahead(facts, unit, rec)?;
    drawn(facts, unit, reactance)
}

fn fundamental<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let current = here(facts, unit, rec)?.spectrum.order(1);
    rec.step(|| Step::new("I_1", "fundamental of the line current", "", &SOLVED).gives(current));
    Ok(Outcome::Margin(current.in_si()))
}

fn shown<R: Recorder>(rec: &mut R, symbol: &'static str, name: &'static str, value: Ratio) -> Outcome {
    rec.step(|| Step::new(symbol, name, "", &SOLVED).gives(value));
    Outcome::Margin(value.in_si())
}

fn distortion<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let found = here(facts, unit, rec)?;
    Ok(shown(rec, "THD_i", "distortion of the line current", found.spectrum.thd()))
}

fn fifth<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let found = here(facts, unit, rec)?;
    Ok(shown(rec, "I_5/I_1", "fifth harmonic", found.spectrum.share(5)))
}

/// The panel with everything on it, against the edition that was agreed, or the newest where none was.
fn panel<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<AtCoupling, Stop> {
    let edition = facts.find(HARMONIC_LIMIT)?.map_or(Edition::Ieee2022, edition);
    let (others, linear) = (facts.get(OTHER_RECTIFIERS)?, facts.get(LINEAR_LOAD)?);
    let own = here(facts, unit, &mut Silent)?.spectrum;
    let (voltage, short_circuit) = (facts.get(SUPPLY_VOLTAGE)?, facts.get(FAULT_CURRENT)?);
    let loads: Vec<Spectrum> = std::iter::once(own).chain(bridge(others)?).collect();
    Ok(at_coupling(&Coupling { voltage, short_circuit, linear, demand: None, edition }, &loads, rec)?)
}

/// A figure of the panel with what it is held against.
fn at_panel<R: Recorder>(
    facts: &mut Reader<'_>,
    rec: &mut R,
    symbol: &'static str,
    name: &'static str,
    value: Ratio,
) -> Result<Outcome, Stop> {
    let agreed = facts.find(HARMONIC_LIMIT)?.is_some();
    rec.step(|| {
        Step::new(symbol, name, "", &SOLVED).gives(value).note(if agreed {
            "neighbours as ideal six-pulse bridges, orders added up as if in phase"
        } else {
            "no limit is agreed for this plant (supply.harmonic_limit): IEEE 519-2022 stands beside it for comparison, and nothing is judged"
        })
    });
    Ok(Outcome::Margin(value.in_si()))
}

fn demand_distortion<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let there = panel(facts, unit, rec)?;
    at_panel(facts, rec, "TDD", "total demand distortion", there.tdd)
}

fn demand_limit<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    Ok(Outcome::Margin(panel(facts, unit, rec)?.current_limits.tdd.in_si()))
}

fn voltage_distortion<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let there = panel(facts, unit, rec)?;
    at_panel(facts, rec, "THD_u", "voltage distortion by these currents", there.voltage_thd)
}

fn voltage_limit<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    Ok(Outcome::Margin(panel(facts, unit, rec)?.voltage_limits.thd.in_si()))
}

fn link<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<LinkStress, Stop> {
    let found = here(facts, unit, rec)?;
    found.link.ok_or(Stop::PackSilent("what ripple its link has: its front end is known by a stated distortion alone"))
}

fn ripple<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let stress = link(facts, unit, rec)?;
    Ok(shown(rec, "ΔU_d/U_d", "ripple of the DC link, peak to peak", Ratio::of_one(stress.ripple / stress.mean)))
}

fn capacitor_current<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let stress = link(facts, unit, rec)?;
    rec.step(|| {
        Step::new("I_C", "current of the link's capacitors from the rectifier", "", &SOLVED)
            .gives(stress.capacitor)
            .note("the inverter adds its own")
    });
    Ok(Outcome::Margin(stress.capacitor.in_si()))
}
