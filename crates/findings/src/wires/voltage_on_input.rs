//! A control conductor brings another voltage than the point takes.

use calc::working::Recorder;
use transfer::wires::Fault;

use crate::candidate::{Candidate, Measure};
use crate::check::{Outcome, check};
use crate::facts::{Reader, Stop};

check! {
    name: "wires/voltage-on-input",
    severity: Equipment,
    rows: &[55],
    unit: "",
    ways: &[],
    measures: &[Measure::ControlParts],
    page: "voltage_on_input.md",
    run: run,
    remedies: super::parts,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    super::by_lines(facts, unit, rec, &[Fault::Voltage, Fault::Safety], |_| true)
}

#[cfg(test)]
mod tests {
    use plant::fact::Known;
    use plant::wires::*;

    use super::*;
    use crate::wires::cases::*;

    #[test]
    fn mains_on_an_input_for_24_volts_fails_and_a_relay_mends_it() {
        let mains = |w: &mut Conductor| {
            signal(w);
            (w.volts, w.flow, w.driver, w.polarity) = (Known::Value(120.0), Some(Flow::Ac), Some(Driver::Contact), None);
            w.leakage = Known::Missing;
        };
        is(&CHECK, vec![wire("run-forward", signal)], true);
        is_mended(&CHECK, vec![wire("run-forward", mains)]);
    }

    #[test]
    fn a_voltage_that_nobody_measured_is_open() {
        is_open(
            &CHECK,
            vec![wire("run-forward", |w| {
                signal(w);
                w.volts = Known::Missing;
            })],
            "highest voltage",
        );
        is_open(
            &CHECK,
            vec![wire("run-forward", |w| {
                signal(w);
                w.volts = Known::Range(24.0, 48.0);
            })],
            "highest voltage",
        );
        is(
            &CHECK,
            vec![wire("run-forward", |w| {
                signal(w);
                w.volts = Known::Range(18.0, 30.0);
            })],
            true,
        );
    }

    #[test]
    fn a_contact_fed_by_the_old_drive_is_fed_by_the_new_one() {
        is(
            &CHECK,
            vec![wire("run-forward", |w| {
                signal(w);
                (w.volts, w.flow, w.fed_by, w.driver) = (Known::Value(120.0), Some(Flow::Ac), Some(FedBy::Drive), Some(Driver::Contact));
            })],
            true,
        );
    }
}
