//! A contact tells the plant the wrong state, or is closed without supply.

use calc::working::Recorder;
use transfer::wires::Fault;

use crate::candidate::Candidate;
use crate::check::{Outcome, check, no_remedy};
use crate::facts::{Reader, Stop};

check! {
    name: "wires/health-misread",
    severity: Injury,
    rows: &[61],
    unit: "",
    ways: &[],
    measures: &[],
    page: "health_misread.md",
    run: run,
    remedies: no_remedy,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    super::by_lines(facts, unit, rec, &[Fault::Sense], |_| true)
}

#[cfg(test)]
mod tests {
    use plant::wires::*;

    use super::*;
    use crate::wires::cases::*;

    #[test]
    fn a_relay_energised_on_fault_cannot_show_health() {
        is(&CHECK, vec![wire("healthy", coil)], true);
        let wrong = at(&CHECK, vec![wire("healthy", coil)], |s| s.points[3].sense = Some(RelaySense::WhenFalse), None);
        assert_eq!(wrong, Ok(Outcome::Margin(-1.0)));
        let bare = at(
            &CHECK,
            vec![wire("healthy", |w| {
                coil(w);
                w.sense = Some(Sense::OpenWhenTrue);
            })],
            |s| s.points[3].terminals.truncate(2),
            None,
        );
        assert_eq!(bare, Ok(Outcome::Margin(-1.0)));
        is_not_here(
            &CHECK,
            vec![wire("healthy", |w| {
                coil(w);
                w.sense = None;
            })],
        );
    }
}
