//! The number that the program writes for a speed means another speed to the new drive.

use calc::sources::PACK;
use calc::working::Recorder;
use plant::network::WordMeaning;
use plant::quantity::digits;

use crate::candidate::{Candidate, Measure};
use crate::check::{Outcome, check, holds_if};
use crate::facts::{Reader, Stop};
use crate::words::scales;

/// How far two scales may lie apart and still be called alike. Common practice, no source.
const ALIKE: f64 = 0.01;

check! {
    name: "words/full-scale-differs",
    severity: Injury,
    rows: &[76],
    unit: "",
    ways: &[],
    measures: &[Measure::WordsBlock],
    page: "full_scale_differs.md",
    run: run,
    remedies: super::remedy,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let Some((old, new)) = facts.both_words(unit)? else { return Ok(Outcome::NotHere) };
    let (Some((_, was)), Some((_, is))) = (old.word(WordMeaning::SpeedSetpoint), new.word(WordMeaning::SpeedSetpoint)) else {
        return Err(Stop::PackSilent("the word that carries the speed setpoint (words.csv)"));
    };
    let settings = scales::settings(facts, &[was, is])?;
    let (Some(before), Some(after)) = (scales::per_unit(was, &settings), scales::per_unit(is, &settings)) else {
        return Err(Stop::PackSilent("what a count of the speed setpoint stands for (words.csv)"));
    };
    let ratio = after / before;
    let same = (ratio - 1.0).abs() <= ALIKE && was.signed == is.signed && was.is_float() == is.is_float();
    Ok(holds_if(
        rec,
        same || unit.measures.has(Measure::WordsBlock),
        || format!("one count was {} Hz and would be {} Hz: {} times the speed", digits(before, 4), digits(after, 4), digits(ratio, 4)),
        &PACK,
    ))
}

#[cfg(test)]
mod tests {
    use plant::network::{FullScale, Scale};

    use super::*;
    use crate::words::cases::{is, is_with_block, plain, with};

    fn full(counts: f64) -> plant::network::Layout {
        with(|l| l.words[1].scale = Some(Scale::FullScale { counts, of: FullScale::MaximumFrequency }))
    }

    #[test]
    fn counts_of_other_scales_are_other_speeds() {
        is(&CHECK, &[("network.full_scale", "60 Hz")], full(32_767.0), full(32_767.0), true);
        // Worked by hand: 32767 counts for 60 Hz against hundredths of a hertz are 5.46 times the speed.
        is(&CHECK, &[("network.full_scale", "60 Hz")], full(32_767.0), plain(), false);
        is(&CHECK, &[("network.full_scale", "60 Hz")], full(32_767.0), full(16_384.0), false);
        is_with_block(&CHECK, &[("network.full_scale", "60 Hz")], full(32_767.0), plain(), true);
    }

    #[test]
    fn a_count_of_a_hundredth_agrees_only_where_the_setting_says_so() {
        // 6000 counts of full scale are hundredths of a hertz at 60 Hz and nowhere else.
        is(&CHECK, &[("network.full_scale", "60 Hz")], full(6000.0), plain(), true);
        is(&CHECK, &[("network.full_scale", "50 Hz")], full(6000.0), plain(), false);
    }

    #[test]
    fn hertz_and_rpm_of_one_word_are_told_apart() {
        let by = with(|l| l.words[1].scale = Some(Scale::BySetting { hertz: 0.01, rpm: 1.0 }));
        is(&CHECK, &[("network.unit", "hertz")], by.clone(), plain(), true);
        is(&CHECK, &[("network.unit", "rpm"), ("motor.frequency", "60 Hz"), ("motor.speed", "1750 rpm")], by, plain(), false);
    }
}
