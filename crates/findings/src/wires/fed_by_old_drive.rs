//! Something outside lives on a supply of the old drive.

use calc::working::Recorder;
use transfer::wires::Fault;

use crate::candidate::{Candidate, Measure};
use crate::check::{Outcome, check};
use crate::facts::{Reader, Stop};

check! {
    name: "wires/fed-by-old-drive",
    severity: Downtime,
    rows: &[31],
    unit: "",
    ways: &[],
    measures: &[Measure::ControlParts],
    page: "fed_by_old_drive.md",
    run: run,
    remedies: super::parts,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    super::by_lines(facts, unit, rec, &[Fault::Supply], |c| c.is("supply-out"))
}

#[cfg(test)]
mod tests {
    use plant::fact::Known;
    use plant::wires::*;

    use super::*;
    use crate::wires::cases::*;

    #[test]
    fn a_transformer_goes_with_the_old_drive() {
        let fed = |w: &mut Conductor| (w.volts, w.flow, w.load) = (Known::Value(120.0), Some(Flow::Ac), Known::Value(110.0));
        is_mended(&CHECK, vec![wire("supply-out", fed)]);
        is_not_here(&CHECK, vec![wire("run-forward", signal)]);
    }
}
