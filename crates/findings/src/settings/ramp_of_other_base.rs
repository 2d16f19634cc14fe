//! A ramp time refers to another frequency in the new unit.

use calc::working::Recorder;

use crate::candidate::{Candidate, Measure};
use crate::check::{Outcome, check};
use crate::facts::{Reader, Stop};
use crate::settings::look::{By, Which, numbers};

/// What is compared.
const LOOKED_AT: &[Which] = &[
    ("acceleration-ramp", 1),
    ("deceleration-ramp", 1),
    ("second-ramps", 1),
    ("second-ramps", 2),
    ("quick-stop-ramp", 1),
    ("jog-ramp", 1),
];
/// By how much a ramp may differ. Common practice, no source.
const ALLOWED: f64 = 0.05;

check! {
    name: "settings/ramp-of-other-base",
    severity: Injury,
    rows: &[89],
    unit: "%",
    ways: &[],
    measures: &[Measure::SettingsSheet],
    page: "ramp_of_other_base.md",
    run: run,
    remedies: super::sheet,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let Some(pair) = facts.settings(unit, &["acceleration-ramp", "deceleration-ramp", "second-ramps", "quick-stop-ramp", "jog-ramp"])?
    else {
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
    fn fifteen_seconds_are_another_ramp() {
        // Worked case V1: 15 s from 0 to 90 Hz are 6 Hz/s; 15 s from 0 to 60 Hz are 4 Hz/s, one third less: 5 % − 33.3 %.
        let list = |range| {
            List::of(
                number("acceleration-ramp", 1, D::ToMaximum, "s", "15"),
                number("acceleration-ramp", 1, D::ToBase, "s", "10").range(range),
            )
            .old(number("maximum-output-frequency", 1, D::Plain, "Hz", "90"))
            .old(number("motor-frequency", 1, D::Plain, "Hz", "60"))
        };
        margin(&CHECK, &[], &list((0.1, 600.0)), false, -28.33);
        // By the sheet 10 s: 60 Hz in 10 s are 6 Hz/s.
        margin(&CHECK, &[], &list((0.1, 600.0)), true, 5.0);
        // A unit that begins at 12 s cannot be set so.
        margin(&CHECK, &[], &list((12.0, 600.0)), true, -95.0);
    }

    #[test]
    fn the_base_may_be_the_plate() {
        let list = List::of(number("deceleration-ramp", 1, D::ToMaximum, "s", "20"), number("deceleration-ramp", 1, D::ToBase, "s", "5"))
            .old(number("maximum-output-frequency", 1, D::Plain, "Hz", "60"));
        margin(&CHECK, &[("motor.frequency", "60 Hz")], &list, false, 5.0);
        // 50/60 − 1: 5 % − 16.67 %.
        margin(&CHECK, &[("motor.frequency", "50 Hz")], &list, false, -11.67);
    }
}
