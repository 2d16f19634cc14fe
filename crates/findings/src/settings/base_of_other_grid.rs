//! The new unit is delivered for the motor of another grid.

use calc::working::Recorder;

use crate::candidate::{Candidate, Measure};
use crate::check::{Outcome, check};
use crate::facts::{Reader, Stop};
use crate::settings::look::{By, Which, numbers};

/// What is compared.
const LOOKED_AT: &[Which] = &[("motor-frequency", 1), ("motor-voltage", 1)];
/// By how much base frequency and voltage may differ. Common practice, no source.
const ALLOWED: f64 = 0.05;

check! {
    name: "settings/base-of-other-grid",
    severity: Downtime,
    rows: &[91],
    unit: "%",
    ways: &[],
    measures: &[Measure::SettingsSheet, Measure::PlateVoltsAndHertz],
    page: "base_of_other_grid.md",
    run: run,
    remedies: super::sheet,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let Some(pair) = facts.settings(unit, &["motor-frequency", "motor-voltage"])? else { return Ok(Outcome::NotHere) };
    if unit.measures.has(Measure::PlateVoltsAndHertz) {
        return Ok(Outcome::Margin(ALLOWED * 100.0));
    }
    numbers(&pair, unit, rec, LOOKED_AT, By::Leaving, ALLOWED)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::settings::cases::{List, margin, number};
    use plant::settings::Definition as D;

    #[test]
    fn sixty_hertz_at_a_unit_for_fifty() {
        // Delivered at 50 Hz for a motor of 60 Hz: 5 % − 16.67 %.
        let list = List::of(number("motor-frequency", 1, D::Plain, "Hz", "60"), number("motor-frequency", 1, D::Plain, "Hz", "50"));
        margin(&CHECK, &[], &list, false, -11.67);
        margin(&CHECK, &[], &list, true, 5.0);
    }
}
