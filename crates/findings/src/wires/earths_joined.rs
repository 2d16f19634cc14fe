//! An analogue point without isolation joins two earths.

use calc::working::Recorder;
use transfer::wires::Fault;

use crate::candidate::{Candidate, Measure};
use crate::check::{Outcome, check};
use crate::facts::{Reader, Stop};

check! {
    name: "wires/earths-joined",
    severity: Nuisance,
    rows: &[66],
    unit: "",
    ways: &[],
    measures: &[Measure::ControlParts],
    page: "earths_joined.md",
    run: run,
    remedies: super::parts,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    super::by_lines(facts, unit, rec, &[Fault::Isolation], |_| true)
}

#[cfg(test)]
mod tests {
    use plant::fact::Known;
    use plant::wires::*;

    use super::*;
    use crate::wires::cases::*;

    #[test]
    fn above_one_volt_an_isolator_is_asked_for() {
        let apart =
            |u: f64| move |w: &mut Conductor| (w.range, w.driver, w.ground) = (Some(Range::V10), Some(Driver::Source), Known::Value(u));
        is(&CHECK, vec![wire("speed-reference", apart(0.8))], true);
        is_mended(&CHECK, vec![wire("speed-reference", apart(2.5))]);
        is_not_here(&CHECK, vec![wire("speed-reference", |w| w.range = Some(Range::V10))]);
    }
}
