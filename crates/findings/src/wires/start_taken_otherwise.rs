//! The new unit's settings take the start command otherwise than the conductors give it.

use calc::sources::SURVEY;
use calc::working::Recorder;
use transfer::wires::Scheme;

use crate::candidate::{Candidate, Measure};
use crate::check::{Outcome, check, holds_if};
use crate::facts::{Reader, Stop};
use crate::settings::look::by_sheet;

check! {
    name: "wires/start-taken-otherwise",
    severity: Injury,
    rows: &[58],
    unit: "",
    ways: &[],
    measures: &[Measure::SettingsSheet],
    page: "start_taken_otherwise.md",
    run: run,
    remedies: crate::settings::sheet,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let Some(wired) = facts.wired(unit)? else { return Ok(Outcome::NotHere) };
    let starts = |s: &&Scheme| matches!(s, Scheme::TwoWire | Scheme::ThreeWire | Scheme::Unclear);
    let Some(scheme) = wired.schemes.iter().copied().find(|s| starts(&s)) else { return Ok(Outcome::NotHere) };
    let Some(pair) = facts.settings(unit, &[])? else { return Ok(Outcome::NotHere) };
    if scheme == Scheme::Unclear {
        return Err(Stop::Refused("a momentary button is listed on a command that needs a maintained contact: trace what holds it".into()));
    }
    let delivered = pair.delivered("start-wiring", 1);
    let set = match pair.did("start-wiring", 1)? {
        Some(was) if by_sheet(unit) => pair.takes("start-wiring", 1, was).then_some(was),
        _ => Some(delivered.ok_or(Stop::PackSilent("how the unit takes its start contacts as delivered (settings.csv, start-wiring)"))?),
    };
    let fits = |set: &str| match scheme {
        Scheme::ThreeWire => set == "three-wire",
        // A maintained contact that has to close anew is one all the same.
        _ => matches!(set, "two-wire" | "two-wire-edge"),
    };
    let says = || {
        let how = if by_sheet(unit) { "by the sheet" } else { "as delivered" };
        let set = set.map_or_else(|| "cannot be set as the old one".to_owned(), |set| format!("takes the start as “{set}”"));
        format!("the conductors give it {}; {how} the new unit {set}", scheme.words())
    };
    Ok(holds_if(rec, set.is_some_and(fits), says, &SURVEY))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::settings::cases::{List, with_wires, word};
    use crate::wires::cases::{signal, wire};
    use plant::wires::{Conductor, Handling};

    fn button(function: &str, handling: Handling) -> Conductor {
        wire(function, |w| {
            signal(w);
            w.handling = Some(handling);
        })
    }

    #[test]
    fn the_settings_take_what_the_wires_give() {
        let list =
            |old: &str| List::of(word("start-wiring", 1, old), word("start-wiring", 1, "two-wire").able(&["two-wire", "three-wire"]));
        let said = |list: &List, wires: Vec<Conductor>, sheet: bool| with_wires(&CHECK, list, wires, sheet);
        let buttons = || vec![button("start", Handling::Momentary), button("stop", Handling::Momentary)];
        let switch = || vec![button("run-forward", Handling::Maintained)];
        let (holds, fails) = (Ok(Outcome::Margin(1.0)), Ok(Outcome::Margin(-1.0)));
        assert_eq!(said(&list("three-wire"), buttons(), false), fails);
        assert_eq!(said(&list("three-wire"), buttons(), true), holds);
        assert_eq!(said(&list("two-wire"), switch(), false), holds);
        // The list of settings and that of conductors contradict each other: no sheet mends that.
        assert_eq!(said(&list("two-wire"), buttons(), true), fails);
        assert_eq!(said(&list("three-wire"), switch(), true), fails);
        // What the new unit cannot be set to.
        assert_eq!(said(&list("two-wire-edge"), switch(), true), fails);
        assert_eq!(said(&list("two-wire"), vec![wire("running", |_| ())], false), Ok(Outcome::NotHere));
        let unclear = said(&list("two-wire"), vec![button("run-forward", Handling::Momentary)], true);
        assert!(matches!(&unclear, Err(Stop::Refused(what)) if what.contains("what holds it")), "{unclear:?}");
    }
}
