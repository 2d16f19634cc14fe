//! The rectifier load is too large a share of the generator that feeds it at times.

use calc::feeder::upstream::{GENERATOR as HABIT, generator_share};
use calc::working::{Recorder, Step};
use plant::quantity::Ratio;
use plant::survey::{GENERATOR, GENERATOR_REACTANCE, OTHER_RECTIFIERS};

use crate::candidate::Candidate;
use crate::check::{Outcome, Way, check, no_remedy};
use crate::facts::{Reader, Stop};
use crate::line::{apparent, input_current, load_share};

check! {
    name: "supply/generator-too-small",
    severity: Downtime,
    rows: &[26],
    unit: "%",
    ways: &[(GENERATOR.id, Way::Up), (GENERATOR_REACTANCE.id, Way::Down), (OTHER_RECTIFIERS.id, Way::Down)],
    measures: &[],
    page: "generator_too_small.md",
    run: run,
    remedies: no_remedy,
}

/// Largest share of non-linear load by the habit.
const MOST_SHARE: Ratio = Ratio::percent(50.0);
/// Largest subtransient reactance on the base of that load.
const MOST_REACTANCE: Ratio = Ratio::percent(15.0);

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let Some(generator) = facts.find(GENERATOR)? else { return Ok(Outcome::NotHere) };
    let own = input_current(facts, unit, rec)? * load_share(facts, unit)?.in_of_one();
    let others = facts.get(OTHER_RECTIFIERS)?;
    let reactance = facts.get(GENERATOR_REACTANCE)?;
    let load = apparent(facts, own + others)?;
    let found = generator_share(load, generator, reactance, rec)?;
    let margin = (MOST_SHARE / found.share).min(MOST_REACTANCE / found.reactance) - 1.0;
    rec.step(|| {
        Step::new("margin", "room to the nearer habit", "min(50 %/s, 15 %/x) − 1", &HABIT)
            .with("s", found.share)
            .with("x", found.reactance)
            .gives(Ratio::of_one(margin))
    });
    Ok(Outcome::Margin(margin * 100.0))
}

#[cfg(test)]
mod tests {
    use plant::choice::Duty;

    use super::*;
    use crate::fixture::{by_hand, is_not_here, is_open, unit};

    fn at<'a>(generator: &'a str, reactance: &'a str, others: &'a str) -> [(&'a str, &'a str); 6] {
        [
            ("supply.phases", "three"),
            ("supply.voltage", "480 V"),
            ("load.current", "52 A"),
            ("supply.generator", generator),
            ("supply.generator_reactance", reactance),
            ("supply.other_rectifiers", others),
        ]
    }

    #[test]
    fn share_and_reactance_each_have_their_habit() {
        // 52 A of its own and 308 A: 360 A at 480 V = 299.3 kVA.
        let unit = unit("R1", Duty::Heavy);
        by_hand(&CHECK, &at("500 kVA", "20 %", "308 A"), &unit, -16.47); // s 59.86 %: 50/59.86; x 11.97 %
        by_hand(&CHECK, &at("750 kVA", "20 %", "308 A"), &unit, 25.29); // s 39.91 %; x 7.98 %
        by_hand(&CHECK, &at("750 kVA", "40 %", "308 A"), &unit, -6.03); // x 15.96 %
    }

    #[test]
    fn without_a_generator_there_is_no_fault() {
        is_not_here(&CHECK, &[], &unit("R1", Duty::Heavy));
        is_open(&CHECK, &at("500 kVA", "20 %", "0 A")[..5], &unit("R1", Duty::Heavy), "supply.other_rectifiers");
    }
}
