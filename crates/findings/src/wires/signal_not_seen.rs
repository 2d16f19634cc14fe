//! A signal does not reach the level at which the new input is surely on.

use calc::working::Recorder;
use transfer::wires::Fault;

use crate::candidate::{Candidate, Measure};
use crate::check::{Outcome, check};
use crate::facts::{Reader, Stop};

check! {
    name: "wires/signal-not-seen",
    severity: Downtime,
    rows: &[56],
    unit: "",
    ways: &[],
    measures: &[Measure::ControlParts],
    page: "signal_not_seen.md",
    run: run,
    remedies: super::parts,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    super::by_lines(facts, unit, rec, &[Fault::NotSeen], |_| true)
}

#[cfg(test)]
mod tests {
    use plant::fact::Known;

    use super::*;
    use crate::wires::cases::*;

    #[test]
    fn twelve_volts_are_not_on_at_an_input_of_type_1() {
        is(
            &CHECK,
            vec![wire("run-forward", |w| {
                signal(w);
                w.volts = Known::Value(15.0);
            })],
            true,
        );
        is_mended(
            &CHECK,
            vec![wire("run-forward", |w| {
                signal(w);
                w.volts = Known::Value(12.0);
            })],
        );
        is_open(
            &CHECK,
            vec![wire("run-forward", |w| {
                signal(w);
                w.volts = Known::Range(12.0, 24.0);
            })],
            "voltage while on",
        );
    }
}
