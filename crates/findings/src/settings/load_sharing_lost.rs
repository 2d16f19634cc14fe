//! Droop is a share of another speed in the new unit, or missing.

use calc::working::Recorder;

use crate::candidate::{Candidate, Measure};
use crate::check::{Outcome, check};
use crate::facts::{Reader, Stop};
use crate::settings::look::{By, Which, numbers};

/// What is compared.
const LOOKED_AT: &[Which] = &[("droop", 1)];
/// By how much droop may differ. Common practice, no source.
const ALLOWED: f64 = 0.1;

check! {
    name: "settings/load-sharing-lost",
    severity: Equipment,
    rows: &[98],
    unit: "%",
    ways: &[],
    measures: &[Measure::SettingsSheet],
    page: "load_sharing_lost.md",
    run: run,
    remedies: super::sheet,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let Some(pair) = facts.settings(unit, &["droop"])? else { return Ok(Outcome::NotHere) };
    numbers(&pair, unit, rec, LOOKED_AT, By::Copying, ALLOWED)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::settings::cases::{List, margin, number};
    use plant::settings::Definition as D;

    #[test]
    fn percent_of_maximum_and_of_base() {
        // 3 % of 80 Hz are 2.4 Hz; 3 % of 60 Hz are 1.8 Hz, a quarter less: 10 % − 25 %.
        let list = List::of(number("droop", 1, D::OfMaximum, "%", "3"), number("droop", 1, D::OfBase, "%", "0"))
            .old(number("maximum-output-frequency", 1, D::Plain, "Hz", "80"))
            .old(number("motor-frequency", 1, D::Plain, "Hz", "60"));
        margin(&CHECK, &[], &list, false, -15.0);
        margin(&CHECK, &[], &list, true, 10.0);
    }

    #[test]
    fn a_unit_without_droop_shares_nothing() {
        let list = List::of(number("droop", 1, D::OfMaximum, "%", "3").default("0"), number("jog-speed", 1, D::Plain, "Hz", "5"))
            .old(number("maximum-output-frequency", 1, D::Plain, "Hz", "80"));
        margin(&CHECK, &[], &list, true, -90.0);
    }
}
