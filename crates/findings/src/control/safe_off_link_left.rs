//! The new unit comes with a link across its safe torque off inputs, and the safety function that is wired to them does nothing while it stays.

use calc::sources::PACK;
use calc::working::Recorder;
use plant::control::Emergency;
use plant::survey::SCHEME_EMERGENCY;

use super::side::start;
use crate::candidate::{Candidate, Measure, Remedy};
use crate::check::{Outcome, check, holds_if};
use crate::facts::{Reader, Stop};

check! {
    name: "control/safe-off-link-left",
    severity: Injury,
    rows: &[113],
    unit: "",
    ways: &[],
    measures: &[Measure::SafeOffLink],
    page: "safe_off_link_left.md",
    run: run,
    remedies: remedies,
}

/// Minutes to take the link out, tag it, and try both channels. Common practice, no source.
const MINUTES: f64 = 30.0;

fn remedies(_: &Candidate<'_>) -> Vec<Remedy> {
    vec![Remedy {
        measure: Measure::SafeOffLink,
        what:
            "take the link across safe torque off out, enter it in the register of links with a photograph, and try each channel by itself"
                .to_owned(),
        parts: None,
        minutes: MINUTES,
    }]
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    start(facts)?;
    if !matches!(facts.get(SCHEME_EMERGENCY)?, Emergency::SafeOff | Emergency::DelayedSafeOff) {
        return Ok(Outcome::NotHere);
    }
    let Some(link) = unit.series.safe_off_link else {
        return Err(Stop::PackSilent("whether the unit comes with a link across safe torque off (pack.toml, safe_off_link)"));
    };
    let out = unit.measures.has(Measure::SafeOffLink);
    Ok(holds_if(rec, !link || out, || format!("delivered with a link: {link}; taken out: {out}"), &PACK))
}

#[cfg(test)]
mod tests {
    use plant::choice::Duty;

    use super::*;
    use crate::control::side::cases::is;
    use crate::fixture::{changed, with};

    #[test]
    fn a_link_has_to_go() {
        let entries = [("scheme.start", "two-wire"), ("scheme.emergency", "safe-off")];
        let unit = |link| changed("R1", Duty::Heavy, |s| s.safe_off_link = link);
        is(&CHECK, &entries, &unit(Some(true)), false);
        is(&CHECK, &entries, &unit(Some(false)), true);
        is(&CHECK, &entries, &with(&CHECK, &unit(Some(true)), Measure::SafeOffLink), true);
        crate::fixture::is_silent(&CHECK, &entries, &unit(None), "safe_off_link");
    }
}
