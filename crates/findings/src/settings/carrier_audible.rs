//! The carrier is delivered lower than it was, into what people hear.

use calc::sources::PACK;
use calc::working::{Recorder, Step};
use plant::quantity::{Frequency, Ratio};

use crate::candidate::{Candidate, Measure};
use crate::check::{Outcome, check};
use crate::facts::{Reader, Stop};
use crate::settings::look::{By, deviation};

/// By how much the carrier may lie lower. Common practice, no source.
const ALLOWED: f64 = 0.1;

check! {
    name: "settings/carrier-audible",
    severity: Nuisance,
    rows: &[99],
    unit: "%",
    ways: &[],
    measures: &[Measure::SettingsSheet],
    page: "carrier_audible.md",
    run: run,
    remedies: super::sheet,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let Some(pair) = facts.settings(unit, &["carrier-frequency"])? else { return Ok(Outcome::NotHere) };
    let found = deviation(&pair, unit, "carrier-frequency", 1, By::Leaving)?.filter(|d| d.was > 0.0);
    let Some(found) = found else { return Ok(Outcome::NotHere) };
    let is = found.is.unwrap_or(0.0);
    let margin = (is / found.was).min(2.0) - 1.0 + ALLOWED;
    rec.step(|| {
        Step::new("margin", "carrier of the new unit against the old one", "f_new/f_old − 1 + ALLOWED", &PACK)
            .with("f_old", Frequency::hz(found.was))
            .with("f_new", Frequency::hz(is))
            .gives(Ratio::of_one(margin))
    });
    Ok(Outcome::Margin(margin * 100.0))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::settings::cases::{List, margin, number};
    use plant::settings::Definition as D;

    #[test]
    fn ripple_is_twice_the_carrier() {
        // Delivered at 4 kHz of ripple, 2 kHz of carrier, for 4 kHz before: 0.5 − 1 + 0.1.
        let list =
            List::of(number("carrier-frequency", 1, D::Switching, "kHz", "4"), number("carrier-frequency", 1, D::Ripple, "kHz", "4"));
        margin(&CHECK, &[], &list, false, -40.0);
        margin(&CHECK, &[], &list, true, 10.0);
    }
}
