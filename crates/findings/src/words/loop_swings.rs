//! A control loop that the program closes over the network loses phase to a slower drive.

use calc::network::phase_lag::phase_lag;
use calc::sources::DEFINITION;
use calc::working::{Recorder, Step};
use plant::quantity::{Angle, Frequency, Time};
use plant::survey::NETWORK_CROSSOVER;

use crate::candidate::Candidate;
use crate::check::{Outcome, Way, check, no_remedy};
use crate::facts::{Reader, Stop};

/// Phase that a loop may lose before people notice: loops are tuned for a margin of 45° to 60°. Common practice, no source.
const SPARE_DEG: f64 = 10.0;

check! {
    name: "words/loop-swings",
    severity: Downtime,
    rows: &[86],
    unit: "°",
    ways: &[(NETWORK_CROSSOVER.id, Way::Down)],
    measures: &[],
    page: "loop_swings.md",
    run: run,
    remedies: no_remedy,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let Some((old, new)) = facts.both_words(unit)? else { return Ok(Outcome::NotHere) };
    let crossover = facts.get(NETWORK_CROSSOVER)?;
    let spare = Angle::deg(SPARE_DEG);
    let more = if crossover > Frequency::ZERO {
        let (Some(was), Some(is)) = (old.update, new.update) else {
            return Err(Stop::PackSilent("how old a word may grow in the old and in the new unit (layouts.csv, update)"));
        };
        let more = (is - was).max(Time::ZERO);
        rec.step(|| {
            Step::new("τ", "more delay than before", "max(τ_new − τ_old, 0)", &DEFINITION).with("τ_new", is).with("τ_old", was).gives(more)
        });
        more
    } else {
        // Without a loop nothing is closed over the network, whatever the packs say.
        Time::ZERO
    };
    let lag = phase_lag(crossover, more, rec)?;
    let margin = spare - lag;
    rec.step(|| {
        Step::new("margin", "phase that may be lost, less what is lost", "φ_spare − φ", &DEFINITION)
            .with("φ_spare", spare)
            .with("φ", lag)
            .gives(margin)
            .note("a loss of 10° is taken to pass unnoticed (common practice, no source)")
    });
    Ok(Outcome::Margin(margin.in_deg()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::check::Outcome::Margin;
    use crate::words::cases::{is_silent, margin, plain, with};

    fn update(ms: f64) -> plant::network::Layout {
        with(|l| l.update = Some(Time::ms(ms)))
    }

    #[test]
    fn the_lag_is_taken_from_what_a_loop_can_spare() {
        // By hand: 360 × 1 Hz × (45 − 20) ms = 9°, 1° is left; at 2 Hz 18°, 8° too many. A faster unit loses nothing.
        for (crossover, was, is, expected) in
            [("1 Hz", 20.0, 45.0, 1.0), ("2 Hz", 20.0, 45.0, -8.0), ("2 Hz", 45.0, 20.0, 10.0), ("0 Hz", 20.0, 45.0, 10.0)]
        {
            let found = margin(&CHECK, &[("network.loop_crossover", crossover)], update(was), update(is), false);
            let Ok(Margin(found)) = found else { panic!("{crossover}") };
            assert!((found - expected).abs() < 1e-9, "{crossover}: {found}");
        }
    }

    #[test]
    fn only_a_loop_asks_for_the_delays() {
        is_silent(&CHECK, &[("network.loop_crossover", "1 Hz")], update(20.0), plain(), "update");
        assert_eq!(margin(&CHECK, &[("network.loop_crossover", "0 Hz")], plain(), plain(), false), Ok(Margin(10.0)));
    }
}
