//! Leakage of an output that is off holds an input on.

use calc::working::Recorder;
use transfer::wires::Fault;

use crate::candidate::{Candidate, Measure};
use crate::check::{Outcome, check};
use crate::facts::{Reader, Stop};

check! {
    name: "wires/input-held-on",
    severity: Injury,
    rows: &[57],
    unit: "",
    ways: &[],
    measures: &[Measure::ControlParts],
    page: "input_held_on.md",
    run: run,
    remedies: super::parts,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    super::by_lines(facts, unit, rec, &[Fault::HeldOn], |_| true)
}

#[cfg(test)]
mod tests {
    use plant::fact::Known;

    use super::*;
    use crate::wires::cases::*;

    #[test]
    fn two_milliamperes_through_3000_ohms_are_six_volts() {
        // By hand: 1.6 mA × 3000 Ω = 4.8 V, off up to 5 V; 2 mA give 6 V.
        is(
            &CHECK,
            vec![wire("run-forward", |w| {
                signal(w);
                w.leakage = Known::Value(0.0016);
            })],
            true,
        );
        is_mended(
            &CHECK,
            vec![wire("run-forward", |w| {
                signal(w);
                w.leakage = Known::Value(0.002);
            })],
        );
        is_open(
            &CHECK,
            vec![wire("run-forward", |w| {
                signal(w);
                w.leakage = Known::Range(0.001, 0.002);
            })],
            "voltage while off",
        );
        is_open(
            &CHECK,
            vec![wire("run-forward", |w| {
                signal(w);
                w.leakage = Known::Missing;
            })],
            "voltage while off",
        );
    }
}
