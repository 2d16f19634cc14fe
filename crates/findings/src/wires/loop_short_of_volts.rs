//! The new input burdens a current loop beyond its supply.

use calc::working::Recorder;
use transfer::wires::Fault;

use crate::candidate::{Candidate, Measure};
use crate::check::{Outcome, check};
use crate::facts::{Reader, Stop};

check! {
    name: "wires/loop-short-of-volts",
    severity: Downtime,
    rows: &[67],
    unit: "",
    ways: &[],
    measures: &[Measure::ControlParts],
    page: "loop_short_of_volts.md",
    run: run,
    remedies: super::parts,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    super::by_lines(facts, unit, rec, &[Fault::Loop], |_| true)
}

#[cfg(test)]
mod tests {
    use plant::fact::Known;
    use plant::wires::*;

    use super::*;
    use crate::wires::cases::*;

    #[test]
    fn five_hundred_ohms_more_are_ten_volts_more() {
        // By hand: 12 V + 20 mA × (100 + 500 Ω) = 24 V; with 290 Ω in the loop 27.8 V.
        let source = |rest: f64| {
            move |w: &mut Conductor| {
                (w.range, w.driver) = (Some(Range::Ma4To20), Some(Driver::Loop));
                (w.loop_supply, w.burden, w.needs) = (Known::Value(24.0), Known::Value(rest), Known::Value(12.0));
            }
        };
        is(&CHECK, vec![wire("speed-reference", source(100.0))], true);
        is_mended(&CHECK, vec![wire("speed-reference", source(290.0))]);
        is_open(
            &CHECK,
            vec![wire("speed-reference", |w| {
                source(290.0)(w);
                w.burden = Known::Range(50.0, 290.0);
            })],
            "voltage of the loop",
        );
        is_open(
            &CHECK,
            vec![wire("speed-reference", |w| {
                source(290.0)(w);
                w.needs = Known::Missing;
            })],
            "transmitter not known",
        );
    }
}
