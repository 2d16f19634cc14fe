//! At-speed and standstill signals of the new unit change at another moment.

use calc::sources::SURVEY;
use calc::working::Recorder;

use crate::candidate::Candidate;
use crate::check::{Outcome, check, holds_if, no_remedy};
use crate::facts::{Reader, Stop};

check! {
    name: "wires/signal-means-another",
    severity: Injury,
    rows: &[63],
    unit: "",
    ways: &[],
    measures: &[],
    page: "signal_means_another.md",
    run: run,
    remedies: no_remedy,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let Some(wired) = facts.wired(unit)? else { return Ok(Outcome::NotHere) };
    let told: Vec<(&str, &str)> = ["at-speed", "zero-speed"]
        .into_iter()
        .flat_map(|id| wired.circuits.iter().filter(move |c| c.is(id)).map(move |c| (id, c.name.as_str())))
        .collect();
    if told.is_empty() {
        return Ok(Outcome::NotHere);
    }
    // What these signals mean is a threshold with its delay: without it on both sides nobody can say that they mean the same.
    let has = |concept: &str| unit.series.settings.iter().any(|s| s.is(concept, 1));
    let concept = |id: &str| if id == "at-speed" { "at-speed-band" } else { "zero-speed-threshold" };
    let missing: Vec<String> = told.iter().filter(|(id, _)| !has(concept(id))).map(|(id, name)| format!("{name} ({id})")).collect();
    let listed = facts.position().settings.is_some();
    if missing.is_empty() && !listed {
        let names: Vec<&str> = told.iter().map(|(_, name)| *name).collect();
        return Err(Stop::Refused(format!(
            "no settings of the old drive are listed: at what speed {} changed is not known",
            names.join(", ")
        )));
    }
    let what = || {
        if missing.is_empty() {
            "the new unit has the threshold of each; the settings sheet carries it over".to_owned()
        } else {
            format!("no threshold in the new unit for {}", missing.join(", "))
        }
    };
    Ok(holds_if(rec, missing.is_empty(), what, &SURVEY))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::wires::cases::*;

    #[test]
    fn a_threshold_is_needed_on_both_sides() {
        is(&CHECK, vec![wire("at-speed", coil)], false);
        is_not_here(&CHECK, vec![wire("running", coil)]);
    }
}
