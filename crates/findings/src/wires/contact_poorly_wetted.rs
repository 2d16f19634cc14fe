//! A contact carries too little current to stay clean.

use calc::working::Recorder;
use transfer::wires::Fault;

use crate::candidate::{Candidate, Measure};
use crate::check::{Outcome, check};
use crate::facts::{Reader, Stop};

check! {
    name: "wires/contact-poorly-wetted",
    severity: Downtime,
    rows: &[62],
    unit: "",
    ways: &[],
    measures: &[Measure::ControlParts],
    page: "contact_poorly_wetted.md",
    run: run,
    remedies: super::parts,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    super::by_lines(facts, unit, rec, &[Fault::Wetting], |_| true)
}

#[cfg(test)]
mod tests {
    use plant::fact::Known;
    use plant::wires::*;

    use super::*;
    use crate::wires::cases::*;

    #[test]
    fn a_controller_input_does_not_keep_a_power_contact_clean() {
        // By hand: 0.17 VA at 24 V are 7 mA; the contact wants 10 mA.
        is(&CHECK, vec![wire("healthy", coil)], true);
        is_mended(
            &CHECK,
            vec![wire("healthy", |w| {
                (w.volts, w.flow, w.load) = (Known::Value(24.0), Some(Flow::Dc), Known::Value(0.17));
            })],
        );
    }

    #[test]
    fn a_heavy_button_wants_more_than_an_input_draws() {
        let button = |least: f64| {
            move |w: &mut Conductor| {
                signal(w);
                (w.driver, w.least, w.leakage) = (Some(Driver::Contact), Known::Value(least), Known::Missing);
            }
        };
        is(&CHECK, vec![wire("start", button(0.005))], true);
        is(&CHECK, vec![wire("start", button(0.02))], false);
    }
}
