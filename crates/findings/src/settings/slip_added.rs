//! The new unit adds frequency under load where the old one did not, or the reverse.

use calc::sources::PACK;
use calc::working::{Recorder, Step};
use plant::quantity::Frequency;

use crate::candidate::{Candidate, Measure};
use crate::check::{Outcome, check};
use crate::facts::{Reader, Stop};
use crate::settings::look::{By, deviation};

/// By how many Hz the addition at rated load may differ: half a percent of 60 Hz. Common practice, no source.
const ALLOWED: f64 = 0.3;

check! {
    name: "settings/slip-added",
    severity: Downtime,
    rows: &[92],
    unit: "Hz",
    ways: &[],
    measures: &[Measure::SettingsSheet],
    page: "slip_added.md",
    run: run,
    remedies: super::sheet,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let Some(pair) = facts.settings(unit, &["slip-compensation"])? else { return Ok(Outcome::NotHere) };
    let Some(found) = deviation(&pair, unit, "slip-compensation", 1, By::Leaving)? else { return Ok(Outcome::NotHere) };
    let is = found.is.unwrap_or(0.0);
    let margin = ALLOWED - (is - found.was).abs();
    rec.step(|| {
        Step::new("margin", "frequency that is added at rated load", "ALLOWED − |f_new − f_old|", &PACK)
            .with("f_old", Frequency::hz(found.was))
            .with("f_new", Frequency::hz(is))
            .gives(Frequency::hz(margin))
    });
    Ok(Outcome::Margin(margin))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::settings::cases::{List, margin, number};
    use plant::settings::Definition as D;

    #[test]
    fn delivered_with_the_whole_slip() {
        // Four poles at 60 Hz: 1764 rpm are 58.8 Hz, the slip is 1.2 Hz: 0.3 − 1.2.
        let list =
            List::of(number("slip-compensation", 1, D::OfRatedSlip, "%", "0"), number("slip-compensation", 1, D::OfRatedSlip, "%", "100"));
        let facts = [("motor.frequency", "60 Hz"), ("motor.speed", "1764 rpm")];
        margin(&CHECK, &facts, &list, false, -0.9);
        margin(&CHECK, &facts, &list, true, 0.3);
    }
}
