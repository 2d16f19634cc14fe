//! Pulses or place of the encoder are not known, so the speed may be wrong by a ratio.

use calc::sources::SURVEY;
use calc::working::Recorder;

use crate::candidate::Candidate;
use crate::check::{Outcome, check, holds_if, no_remedy};
use crate::facts::{Reader, Stop};

check! {
    name: "wires/encoder-pulses-unknown",
    severity: Equipment,
    rows: &[71],
    unit: "",
    ways: &[],
    measures: &[],
    page: "encoder_pulses_unknown.md",
    run: run,
    remedies: no_remedy,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let Some(wired) = facts.wired(unit)? else { return Ok(Outcome::NotHere) };
    let encoders: Vec<_> = wired.circuits.iter().filter(|c| c.is("encoder")).collect();
    if encoders.is_empty() {
        return Ok(Outcome::NotHere);
    }
    let one = |c: &&&crate::facts::WiredCircuit| c.nature.pulses.bounds().is_none_or(|(low, high)| low < high);
    let open: Vec<&str> = encoders.iter().filter(one).map(|c| c.name.as_str()).collect();
    if !open.is_empty() {
        return Err(Stop::Refused(format!("to be read on the encoder: pulses in a turn of {}", open.join(", "))));
    }
    Ok(holds_if(rec, true, || "pulses in a turn are one number".to_owned(), &SURVEY))
}

#[cfg(test)]
mod tests {
    use plant::fact::Known;

    use super::*;
    use crate::wires::cases::*;

    #[test]
    fn pulses_are_one_number() {
        is(&CHECK, vec![wire("encoder", |w| w.pulses = Known::Value(1024.0))], true);
        is_open(&CHECK, vec![wire("encoder", |_| ())], "pulses");
        is_open(&CHECK, vec![wire("encoder", |w| w.pulses = Known::OneOf(vec![1000.0, 1024.0]))], "pulses");
        is_not_here(&CHECK, vec![wire("run-forward", signal)]);
    }
}
