//! A limit in percent is a share of something else in the new unit.

use calc::working::Recorder;

use crate::candidate::{Candidate, Measure};
use crate::check::{Outcome, check};
use crate::facts::{Reader, Stop};
use crate::settings::look::{By, Which, numbers};

/// What is compared.
const LOOKED_AT: &[Which] = &[("current-limit", 1), ("torque-limit-motoring", 1), ("torque-limit-regenerating", 1)];
/// By how much a limit may differ. Common practice, no source.
const ALLOWED: f64 = 0.1;

check! {
    name: "settings/limit-of-other-base",
    severity: Equipment,
    rows: &[96],
    unit: "%",
    ways: &[],
    measures: &[Measure::SettingsSheet],
    page: "limit_of_other_base.md",
    run: run,
    remedies: super::sheet,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let Some(pair) = facts.settings(unit, &["current-limit", "torque-limit-motoring", "torque-limit-regenerating"])? else {
        return Ok(Outcome::NotHere);
    };
    numbers(&pair, unit, rec, LOOKED_AT, By::Copying, ALLOWED)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::settings::cases::{List, margin, number};
    use plant::settings::Definition as D;

    #[test]
    fn percent_of_the_unit_and_of_the_motor() {
        // 150 % of an old unit of 60 A are 90 A; 150 % of a motor of 45 A are 67.5 A, a quarter less: 10 % − 25 %.
        let list = List::of(
            number("current-limit", 1, D::OfUnitCurrent, "%", "150"),
            number("current-limit", 1, D::OfMotorCurrent, "%", "100").range((10.0, 220.0)),
        );
        let facts = [("old.rated_current", "60 A"), ("motor.current", "45 A")];
        margin(&CHECK, &facts, &list, false, -15.0);
        // By the sheet 200 %.
        margin(&CHECK, &facts, &list, true, 10.0);
    }
}
