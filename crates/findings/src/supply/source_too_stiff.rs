//! The supply is so stiff that the rectifier needs a reactor ahead, and there is none.

use calc::feeder::reactor::{STIFF, source_stiffness};
use calc::working::{Recorder, Step};
use plant::quantity::Ratio;
use plant::survey::{FAULT_CURRENT, REACTOR, SUPPLY_VOLTAGE, TRANSFORMER, TRANSFORMER_IMPEDANCE};

use crate::candidate::{Candidate, Measure};
use crate::check::{Outcome, Way, check};
use crate::facts::{Reader, Stop};
use crate::line::{ahead, apparent, input_current, line_reactor};

check! {
    name: "supply/source-too-stiff",
    severity: Equipment,
    rows: &[22],
    unit: "%",
    ways: &[
        (FAULT_CURRENT.id, Way::Down),
        (TRANSFORMER.id, Way::Down),
        (TRANSFORMER_IMPEDANCE.id, Way::Up),
        (REACTOR.id, Way::Up),
    ],
    measures: &[Measure::LineReactor, Measure::NoLineReactor],
    page: "source_too_stiff.md",
    run: run,
    remedies: line_reactor,
}

/// Least impedance ahead of the rectifier by the habit.
const LEAST: Ratio = Ratio::percent(1.0);
/// Least of it in a reactor behind a transformer of more than [`TIMES`] times the drive.
const BEHIND_LARGE: Ratio = Ratio::percent(3.0);
/// As [`BEHIND_LARGE`].
const TIMES: f64 = 10.0;

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let fitted = ahead(facts, unit, rec)?;
    let current = input_current(facts, unit, rec)?;
    let drive = apparent(facts, current)?;
    let (fault, voltage) = (facts.get(FAULT_CURRENT)?, facts.get(SUPPLY_VOLTAGE)?);
    // The second half of the habit needs the transformer; it can only ask for more.
    let transformer = facts.get(TRANSFORMER)?;
    if let Some(old) = facts.position().old_line_side.as_ref().and_then(|side| side.choke) {
        rec.step(|| Step::new("z_old", "choke or reactor inside the old drive", "", &calc::sources::PACK).gives(old).note("before"));
    }
    let found = source_stiffness(drive, voltage, fault, Some(transformer), fitted, rec)?;
    let first = found.impedance + fitted - LEAST;
    let large = found.times.is_some_and(|n| n > TIMES);
    let margin = if large { first.min(fitted - BEHIND_LARGE) } else { first };
    rec.step(|| {
        Step::new(
            "margin",
            "room above what the habit asks for",
            if large { "min(z + z_L − 1 %, z_L − 3 %)" } else { "z + z_L − 1 %" },
            &STIFF,
        )
        .with("z", found.impedance)
        .with("z_L", fitted)
        .gives(margin)
    });
    Ok(Outcome::Margin(margin.in_percent()))
}

#[cfg(test)]
mod tests {
    use plant::choice::Duty;

    use super::*;
    use crate::fixture::{by_hand, changed, is_open, unit, with};

    fn at<'a>(fault: &'a str, transformer: &'a str, reactor: &'a str) -> [(&'a str, &'a str); 5] {
        [
            ("supply.phases", "three"),
            ("supply.voltage", "480 V"),
            ("supply.fault_current", fault),
            ("supply.transformer", transformer),
            ("supply.reactor", reactor),
        ]
    }

    #[test]
    fn source_and_reactor_together_and_the_reactor_alone_behind_a_large_transformer() {
        // R1 heavy, 52 A in, no choke: z = 52/I_k.
        let unit = unit("R1", Duty::Heavy);
        by_hand(&CHECK, &at("20.8 kA", "400 kVA", "0 %"), &unit, -0.75); // z 0.25 %; 400/43.2 = 9.3 times
        by_hand(&CHECK, &at("2.6 kA", "400 kVA", "0 %"), &unit, 1.0); // z 2 %
        by_hand(&CHECK, &at("2.6 kA", "1500 kVA", "0 %"), &unit, -3.0); // 34.7 times, nothing fitted
        by_hand(&CHECK, &at("20.8 kA", "1500 kVA", "5 %"), &unit, 2.0); // 5 − 3
    }

    #[test]
    fn a_reactor_or_the_units_own_choke_settles_it() {
        let entries = at("20.8 kA", "1500 kVA", "0 %");
        let reactor = with(&CHECK, &unit("R1", Duty::Heavy), Measure::LineReactor);
        by_hand(&CHECK, &entries, &reactor, 0.0);
        let choke = changed("R1", Duty::Heavy, |s| s.line_sides[0].choke = Some(Ratio::percent(3.5)));
        by_hand(&CHECK, &entries, &choke, 0.5);
        is_open(&CHECK, &entries[..3], &unit("R1", Duty::Heavy), "supply.transformer");
    }
}
