//! An output of another range or strength drives a meter.

use calc::working::Recorder;
use transfer::wires::Fault;

use crate::candidate::{Candidate, Measure};
use crate::check::{Outcome, check};
use crate::facts::{Reader, Stop};

check! {
    name: "wires/meter-reads-wrong",
    severity: Nuisance,
    rows: &[68],
    unit: "",
    ways: &[],
    measures: &[Measure::ControlParts],
    page: "meter_reads_wrong.md",
    run: run,
    remedies: super::parts,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    super::by_lines(facts, unit, rec, &[Fault::Meter], |_| true)
}

#[cfg(test)]
mod tests {
    use plant::fact::Known;
    use plant::wires::*;

    use super::*;
    use crate::wires::cases::*;

    #[test]
    fn a_milliampere_meter_does_not_read_volts() {
        let meter = |range, ohms: f64| move |w: &mut Conductor| (w.range, w.burden) = (Some(range), Known::Value(ohms));
        is(&CHECK, vec![wire("speed-output", meter(Range::V10, 10e3))], true);
        is_mended(&CHECK, vec![wire("speed-output", meter(Range::Ma1, 180.0))]);
        is(&CHECK, vec![wire("speed-output", meter(Range::V10, 2000.0))], false);
    }
}
