//! The DC link when the line is off: what it keeps, and how long it is to be waited for.

use calc::sources::{DEFINITION, PACK};
use calc::working::{Recorder, Step};
use plant::quantity::Energy;
use plant::survey::SUPPLY_HIGHEST;

use super::figure;
use crate::candidate::Candidate;
use crate::check::Outcome;
use crate::facts::{Reader, Stop};

figure!(STORED, "figures/stored", "energy in the DC link when it is switched off", EnergyDim, stored);
figure!(WAIT, "figures/wait", "time to wait before the link is measured", TimeDim, wait);

fn stored<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let capacitance = unit.frame.bus_capacitance.ok_or(Stop::PackSilent("its bus capacitance (frames.csv, bus_capacitance)"))?;
    let bus = facts.get(SUPPLY_HIGHEST)? * std::f64::consts::SQRT_2;
    let energy = Energy::j(0.5 * capacitance.in_farad() * bus.in_v() * bus.in_v());
    rec.step(|| {
        Step::new("E", "energy in the DC link", "½·C·U²", &DEFINITION)
            .with("C", capacitance)
            .with("U", bus)
            .gives(energy)
            .note("at √2 times the highest line voltage")
    });
    Ok(Outcome::Margin(energy.in_si()))
}

fn wait<R: Recorder>(_: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let time = unit.series.bus_wait.ok_or(Stop::PackSilent("how long to wait after switching off (pack.toml, bus_wait)"))?;
    rec.step(|| {
        Step::new("t", "time to wait", "", &PACK)
            .gives(time)
            .note("a guide: a broken discharge resistor never discharges; measure the bus before anything is touched")
    });
    Ok(Outcome::Margin(time.in_si()))
}
