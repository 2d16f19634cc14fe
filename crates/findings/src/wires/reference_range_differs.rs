//! The reference has another range, or a sign that the new input does not read.

use calc::working::Recorder;
use transfer::wires::Fault;

use crate::candidate::{Candidate, Measure};
use crate::check::{Outcome, check};
use crate::facts::{Reader, Stop};

check! {
    name: "wires/reference-range-differs",
    severity: Injury,
    rows: &[64],
    unit: "",
    ways: &[],
    measures: &[Measure::ControlParts],
    page: "reference_range_differs.md",
    run: run,
    remedies: super::parts,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    super::by_lines(facts, unit, rec, &[Fault::Range], |_| true)
}

#[cfg(test)]
mod tests {
    use plant::wires::*;

    use super::*;
    use crate::wires::cases::*;

    #[test]
    fn a_converter_mends_a_range_and_no_sign() {
        let source = |range| move |w: &mut Conductor| (w.range, w.driver) = (Some(range), Some(Driver::Source));
        is(&CHECK, vec![wire("speed-reference", source(Range::V10))], true);
        is_mended(&CHECK, vec![wire("speed-reference", source(Range::V5))]);
        let bipolar = || vec![wire("speed-reference", source(Range::Bipolar10))];
        is(&CHECK, bipolar(), false);
        assert_eq!(at(&CHECK, bipolar(), |_| (), Some(Measure::ControlParts)), Ok(Outcome::Margin(-1.0)));
        is_open(&CHECK, vec![wire("speed-reference", |_| ())], "range");
    }
}
