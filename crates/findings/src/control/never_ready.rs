//! The new unit has inputs that must be closed before it runs, and nothing is wired to them.

use calc::sources::PACK;
use calc::working::Recorder;
use plant::control::Emergency;
use plant::survey::SCHEME_EMERGENCY;

use super::side::start;
use crate::candidate::{Candidate, Measure, Remedy};
use crate::check::{Outcome, check, holds_if};
use crate::facts::{Reader, Stop};

check! {
    name: "control/never-ready",
    severity: Downtime,
    rows: &[59],
    unit: "",
    ways: &[],
    measures: &[Measure::SafeOffLink],
    page: "never_ready.md",
    run: run,
    remedies: remedies,
}

/// Minutes to fit a link and write it down. Common practice, no source.
const MINUTES: f64 = 15.0;

fn remedies(_: &Candidate<'_>) -> Vec<Remedy> {
    vec![Remedy {
        measure: Measure::SafeOffLink,
        what: "close safe torque off by the link that the unit's instructions name, and enter it in the register of links".to_owned(),
        parts: None,
        minutes: MINUTES,
    }]
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    start(facts)?;
    if matches!(facts.get(SCHEME_EMERGENCY)?, Emergency::SafeOff | Emergency::DelayedSafeOff) {
        return Ok(Outcome::NotHere);
    }
    // A pack that says nothing of such inputs has none to close.
    let Some(link) = unit.series.safe_off_link else { return Ok(Outcome::NotHere) };
    let fitted = unit.measures.has(Measure::SafeOffLink);
    Ok(holds_if(
        rec,
        link || fitted,
        || format!("safe torque off is not wired here; delivered with a link: {link}; fitted: {fitted}"),
        &PACK,
    ))
}

#[cfg(test)]
mod tests {
    use plant::choice::Duty;

    use super::*;
    use crate::control::side::cases::is;
    use crate::fixture::{changed, with};

    #[test]
    fn open_inputs_keep_a_unit_from_running() {
        let entries = [("scheme.start", "two-wire"), ("scheme.emergency", "none")];
        let unit = |link| changed("R1", Duty::Heavy, |s| s.safe_off_link = Some(link));
        is(&CHECK, &entries, &unit(true), true);
        is(&CHECK, &entries, &unit(false), false);
        is(&CHECK, &entries, &with(&CHECK, &unit(false), Measure::SafeOffLink), true);
    }
}
