//! The new unit does not read the encoder: level, supply or frequency.

use calc::working::Recorder;
use transfer::wires::Fault;

use crate::candidate::{Candidate, Measure};
use crate::check::{Outcome, check};
use crate::facts::{Reader, Stop};

check! {
    name: "wires/encoder-not-counted",
    severity: Downtime,
    rows: &[69],
    unit: "",
    ways: &[],
    measures: &[Measure::ControlParts],
    page: "encoder_not_counted.md",
    run: run,
    remedies: super::parts,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    super::by_lines(facts, unit, rec, &[Fault::Encoder], |_| true)
}

#[cfg(test)]
mod tests {
    use plant::fact::Known;
    use plant::wires::*;

    use super::*;
    use crate::wires::cases::*;

    fn encoder(w: &mut Conductor) {
        (w.level, w.pulses, w.speed) = (Some(Level::PushPull), Known::Value(1024.0), Known::Value(1800.0 * std::f64::consts::TAU / 60.0));
    }

    #[test]
    fn signal_and_frequency() {
        // By hand: 1024 pulses at 1800 rpm are 30.7 kHz; 4096 are 122.9 kHz, above 100 kHz.
        is(&CHECK, vec![wire("encoder", encoder)], true);
        is_mended(
            &CHECK,
            vec![wire("encoder", |w| {
                encoder(w);
                w.level = Some(Level::Differential5);
            })],
        );
        is(
            &CHECK,
            vec![wire("encoder", |w| {
                encoder(w);
                w.pulses = Known::Value(4096.0);
            })],
            false,
        );
        is_open(
            &CHECK,
            vec![wire("encoder", |w| {
                encoder(w);
                w.speed = Known::Missing;
            })],
            "highest frequency",
        );
    }
}
