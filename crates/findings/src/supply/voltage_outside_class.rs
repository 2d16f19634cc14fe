//! The supply's voltage, over the day, leaves what the unit's voltage class stands.

use calc::supply::window::{VoltageRange, supply_window};
use calc::working::Recorder;
use plant::survey::{SUPPLY_HIGHEST, SUPPLY_LOWEST};

use crate::candidate::Candidate;
use crate::check::{Outcome, Way, check, no_remedy};
use crate::facts::{Reader, Stop};

check! {
    name: "supply/voltage-outside-class",
    severity: Equipment,
    rows: &[8],
    unit: "%",
    ways: &[(SUPPLY_LOWEST.id, Way::Up), (SUPPLY_HIGHEST.id, Way::Down)],
    measures: &[],
    page: "voltage_outside_class.md",
    run: run,
    remedies: no_remedy,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let (lowest, highest) = (facts.get(SUPPLY_LOWEST)?, facts.get(SUPPLY_HIGHEST)?);
    let allowed = VoltageRange { lowest: unit.class.lowest, highest: unit.class.highest };
    if lowest > highest {
        // Two ranges that overlap: each end is looked at by itself.
        let below = supply_window(VoltageRange { lowest, highest: lowest }, allowed, rec)?.low_margin;
        let above = supply_window(VoltageRange { lowest: highest, highest }, allowed, rec)?.high_margin;
        return Ok(Outcome::Margin(below.min(above).in_percent()));
    }
    Ok(Outcome::Margin(supply_window(VoltageRange { lowest, highest }, allowed, rec)?.margin().in_percent()))
}
