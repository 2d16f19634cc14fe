//! A contact of the unit switches more than it may.

use calc::working::Recorder;
use transfer::wires::Fault;

use crate::candidate::{Candidate, Measure};
use crate::check::{Outcome, check};
use crate::facts::{Reader, Stop};

check! {
    name: "wires/contact-overloaded",
    severity: Downtime,
    rows: &[62],
    unit: "",
    ways: &[],
    measures: &[Measure::ControlParts],
    page: "contact_overloaded.md",
    run: run,
    remedies: super::parts,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    super::by_lines(facts, unit, rec, &[Fault::Overload], |_| true)
}

#[cfg(test)]
mod tests {
    use plant::fact::Known;

    use super::*;
    use crate::wires::cases::*;

    #[test]
    fn what_a_contact_holds_and_makes() {
        // By hand: 60 VA at 120 V are 0.5 A of 2 A; 500 VA are 4.2 A of 20 A. 300 VA are 2.5 A; 2500 VA at closing are 20.8 A.
        is(&CHECK, vec![wire("running", coil)], true);
        is_mended(
            &CHECK,
            vec![wire("running", |w| {
                coil(w);
                w.load = Known::Value(300.0);
            })],
        );
        is_mended(
            &CHECK,
            vec![wire("running", |w| {
                coil(w);
                w.inrush = Known::Value(2500.0);
            })],
        );
        is_open(
            &CHECK,
            vec![wire("running", |w| {
                coil(w);
                w.load = Known::Missing;
            })],
            "current held",
        );
    }
}
