//! A point that has to be closed before the unit is ready is left open.

use calc::sources::PACK;
use calc::working::Recorder;

use crate::candidate::Candidate;
use crate::check::{Outcome, check, holds_if, no_remedy};
use crate::facts::{Reader, Stop};

check! {
    name: "wires/start-condition-open",
    severity: Downtime,
    rows: &[59],
    unit: "",
    ways: &[],
    measures: &[],
    page: "start_condition_open.md",
    run: run,
    remedies: no_remedy,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let Some(wired) = facts.wired(unit)? else { return Ok(Outcome::NotHere) };
    if wired.conditions.is_empty() {
        return Ok(Outcome::NotHere);
    }
    let open: Vec<&str> = wired.conditions.iter().filter(|c| c.closed_by.is_none()).map(|c| c.point.as_str()).collect();
    let what = || {
        if open.is_empty() {
            "every point that has to be closed is closed".to_owned()
        } else {
            format!("nothing closes {}", open.join(", "))
        }
    };
    Ok(holds_if(rec, open.is_empty(), what, &PACK))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::wires::cases::*;

    use plant::wires::{Fitted, LinkFor, WireLink};

    #[test]
    fn the_enable_wants_a_conductor_or_a_link() {
        is(&CHECK, vec![wire("run-forward", signal)], false);
        is(&CHECK, vec![wire("run-forward", signal), wire("enable", signal)], true);
        let link = WireLink { name: "EN-24".into(), point: "EN".into(), purpose: LinkFor::Unused, fitted: Fitted::In };
        assert_eq!(at(&CHECK, vec![wire("run-forward", signal)], |s| s.wire_links = vec![link], None), Ok(Outcome::Margin(1.0)));
    }
}
