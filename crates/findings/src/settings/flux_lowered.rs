//! The new unit lowers the flux at part load, and the motor stalls when the load comes.

use calc::sources::PACK;
use calc::working::{Recorder, Step};
use plant::choice::LoadKind;
use plant::quantity::Ratio;
use plant::survey::LOAD_KIND;

use crate::candidate::{Candidate, Measure};
use crate::check::{Outcome, check};
use crate::facts::{Reader, Stop};
use crate::settings::look::{By, deviation};

/// By how much less flux is taken for no difference. Common practice, no source.
const ALLOWED: f64 = 0.02;

check! {
    name: "settings/flux-lowered",
    severity: Downtime,
    rows: &[102],
    unit: "%",
    ways: &[],
    measures: &[Measure::SettingsSheet],
    page: "flux_lowered.md",
    run: run,
    remedies: super::sheet,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let Some(pair) = facts.settings(unit, &["flux-optimisation"])? else { return Ok(Outcome::NotHere) };
    // A fan or a centrifugal pump takes its torque up with its speed: there are no steps of load.
    if facts.get(LOAD_KIND)? == LoadKind::Quadratic {
        return Ok(Outcome::NotHere);
    }
    let Some(found) = deviation(&pair, unit, "flux-optimisation", 1, By::Leaving)? else { return Ok(Outcome::NotHere) };
    // A unit without the function leaves the flux alone.
    let is = found.is.unwrap_or(1.0);
    let margin = ALLOWED - (found.was - is);
    rec.step(|| {
        Step::new("margin", "least flux at part load", "ALLOWED − (Φ_old − Φ_new)", &PACK)
            .with("Φ_old", Ratio::of_one(found.was))
            .with("Φ_new", Ratio::of_one(is))
            .gives(Ratio::of_one(margin))
    });
    Ok(Outcome::Margin(margin * 100.0))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::settings::cases::{List, margin, number, outcome};
    use plant::settings::Definition as D;

    #[test]
    fn seventy_percent_of_the_flux() {
        let list = List::of(
            number("flux-optimisation", 1, D::Plain, "%", "100"),
            number("flux-optimisation", 1, D::Plain, "%", "70").range((40.0, 100.0)),
        );
        margin(&CHECK, &[("load.kind", "constant-torque")], &list, false, -28.0);
        margin(&CHECK, &[("load.kind", "constant-torque")], &list, true, 2.0);
        assert_eq!(outcome(&CHECK, &[("load.kind", "quadratic")], &list, false), Ok(Outcome::NotHere));
    }
}
