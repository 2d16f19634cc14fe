//! A conductor has no landing, or needs modules and parts that are not ordered.

use calc::sources::SURVEY;
use calc::working::Recorder;

use crate::candidate::{Candidate, Measure};
use crate::check::{Outcome, check, holds_if};
use crate::facts::{Reader, Stop};

check! {
    name: "wires/without-landing",
    severity: Downtime,
    rows: &[120, 122],
    unit: "",
    ways: &[],
    measures: &[Measure::ControlParts],
    page: "without_landing.md",
    run: run,
    remedies: super::parts,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let Some(wired) = facts.wired(unit)? else { return Ok(Outcome::NotHere) };
    let nowhere: Vec<&str> = wired.circuits.iter().filter(|c| !c.placed).map(|c| c.name.as_str()).collect();
    let ordered = !wired.buys || unit.measures.has(Measure::ControlParts);
    let what = || match (nowhere.is_empty(), ordered) {
        (false, _) => format!("no landing for {}", nowhere.join(", ")),
        (true, false) => "modules or parts are needed and not ordered".to_owned(),
        (true, true) => format!("{} circuits, each with its landing", wired.circuits.len()),
    };
    Ok(holds_if(rec, nowhere.is_empty() && ordered, what, &SURVEY))
}

#[cfg(test)]
mod tests {
    use plant::wires::*;

    use super::*;
    use crate::wires::cases::*;

    #[test]
    fn every_conductor_has_a_place_or_it_fails() {
        is(&CHECK, vec![wire("run-forward", signal), wire("enable", signal)], true);
        is(&CHECK, vec![wire("no such function", |_| ())], false);
        is_mended(&CHECK, vec![wire("encoder", |w| w.level = Some(Level::PushPull))]);
        // Three commands at two inputs.
        let three = ["run-forward", "run-reverse", "fault-reset"].map(|id| wire(id, signal)).to_vec();
        is(&CHECK, three, false);
    }
}
