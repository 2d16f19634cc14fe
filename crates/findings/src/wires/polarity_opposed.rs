//! Sinking meets sinking, or sourcing meets sourcing.

use calc::working::Recorder;
use transfer::wires::Fault;

use crate::candidate::{Candidate, Measure};
use crate::check::{Outcome, check};
use crate::facts::{Reader, Stop};

check! {
    name: "wires/polarity-opposed",
    severity: Injury,
    rows: &[56],
    unit: "",
    ways: &[],
    measures: &[Measure::ControlParts],
    page: "polarity_opposed.md",
    run: run,
    remedies: super::parts,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    super::by_lines(facts, unit, rec, &[Fault::Polarity, Fault::List], |_| true)
}

#[cfg(test)]
mod tests {
    use plant::wires::*;

    use super::*;
    use crate::wires::cases::*;

    #[test]
    fn an_npn_output_needs_an_input_that_feeds_current() {
        let npn = |w: &mut Conductor| {
            signal(w);
            (w.driver, w.polarity) = (Some(Driver::Npn), None);
        };
        is(&CHECK, vec![wire("run-forward", signal)], true);
        is_mended(&CHECK, vec![wire("run-forward", npn)]);
        let either = at(&CHECK, vec![wire("run-forward", npn)], |s| s.points[0].wiring = Some(Wiring::Either), None);
        assert_eq!(either, Ok(Outcome::Margin(1.0)));
    }

    #[test]
    fn a_contact_of_which_no_side_is_listed_is_open_and_so_are_swapped_commons() {
        is_open(
            &CHECK,
            vec![wire("run-forward", |w| {
                signal(w);
                (w.driver, w.polarity) = (Some(Driver::Contact), None);
            })],
            "which side",
        );
        let back = wire("run-forward", |w| {
            signal(w);
            w.pole = Some(Pole::Return);
        });
        is_open(
            &CHECK,
            vec![
                wire("run-forward", |w| {
                    signal(w);
                    w.pole = Some(Pole::Signal);
                }),
                back,
            ],
            "commons may be swapped",
        );
    }
}
