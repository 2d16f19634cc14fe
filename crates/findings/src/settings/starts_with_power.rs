//! The machine starts by itself when the power comes back, or on a command that was a momentary one.

use calc::sources::PACK;
use calc::working::Recorder;

use crate::candidate::{Candidate, Measure};
use crate::check::{Outcome, check, holds_if};
use crate::facts::{Reader, Stop};
use crate::settings::look::by_sheet;

check! {
    name: "settings/starts-with-power",
    severity: Injury,
    rows: &[58],
    unit: "",
    ways: &[],
    measures: &[Measure::SettingsSheet],
    page: "starts_with_power.md",
    run: run,
    remedies: super::sheet,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let Some(pair) = facts.settings(unit, &[])? else { return Ok(Outcome::NotHere) };
    let (wiring, power_up) = (pair.did("start-wiring", 1)?, pair.did("start-on-power-up", 1)?);
    if wiring.is_none() && power_up.is_none() {
        return Ok(Outcome::NotHere);
    }
    // A momentary command is gone when the power comes back; one that has to close anew waits for somebody.
    let started = power_up == Some("on") && wiring.is_none_or(|w| w == "two-wire");
    if by_sheet(unit) {
        let able = |concept: &str, was: Option<&str>| {
            was.is_none_or(|w| pair.takes(concept, 1, w) || (w == "off" && pair.new_setting(concept, 1).is_none()))
        };
        let holds = able("start-wiring", wiring) && able("start-on-power-up", power_up);
        return Ok(holds_if(rec, holds, || said(holds, "the new unit can be set", "the new unit cannot be set"), &PACK));
    }
    let of_new = |concept: &str| match pair.new_setting(concept, 1) {
        None => Ok(None),
        Some(_) => pair.delivered(concept, 1).map(Some).ok_or(Stop::PackSilent("how the unit is delivered (settings.csv, default)")),
    };
    let (wired, starts) = (of_new("start-wiring")?, of_new("start-on-power-up")? == Some("on"));
    let momentary = wiring == Some("three-wire") && wired.is_some_and(|w| w != "three-wire");
    let holds = !momentary && (!starts || started);
    let what = || {
        let old = if started { "started with power" } else { "waited for a new command after power came back" };
        format!(
            "the old unit {old}, its start was “{}”; as delivered the new one {} with power and takes “{}”",
            wiring.unwrap_or("not said"),
            if starts { "starts" } else { "does not start" },
            wired.unwrap_or("not said")
        )
    };
    Ok(holds_if(rec, holds, what, &PACK))
}

fn said(holds: bool, yes: &str, no: &str) -> String {
    format!("{} to start as the old one did", if holds { yes } else { no })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::settings::cases::{List, is, word};

    fn list(wiring: [&str; 2], power_up: [&str; 2]) -> List {
        List::of(word("start-wiring", 1, wiring[0]), word("start-wiring", 1, wiring[1]).able(&["two-wire", "three-wire"]))
            .old(word("start-on-power-up", 1, power_up[0]))
            .offered(word("start-on-power-up", 1, power_up[1]).able(&["off", "on"]))
    }

    #[test]
    fn nothing_starts_that_did_not() {
        is(&CHECK, &list(["two-wire", "two-wire"], ["off", "off"]), false, true);
        is(&CHECK, &list(["two-wire", "two-wire"], ["off", "on"]), false, false);
        is(&CHECK, &list(["two-wire", "two-wire"], ["on", "on"]), false, true);
        // Three wires and "on": the command is gone with the power, whatever the setting says.
        is(&CHECK, &list(["three-wire", "three-wire"], ["on", "on"]), false, false);
        is(&CHECK, &list(["three-wire", "two-wire"], ["off", "off"]), false, false);
        is(&CHECK, &list(["three-wire", "two-wire"], ["off", "on"]), true, true);
        is(&CHECK, &list(["two-wire-edge", "two-wire"], ["off", "off"]), true, false);
    }
}
