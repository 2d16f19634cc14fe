//! What a count of a speed word stands for at one completion of the survey.

use plant::network::{DataWord, ReferenceUnit, Scale};
use plant::quantity::Frequency;
use plant::survey::{MOTOR_FREQUENCY, MOTOR_SPEED, NETWORK_FULL_SCALE, NETWORK_UNIT};
use transfer::words::scale::{Settings, per_count};

use crate::facts::{Reader, Stop};

/// Settings behind the scales of these words; only what they hang on is read. The new drive's full scale is set to the old one's.
pub(crate) fn settings(facts: &mut Reader<'_>, words: &[&DataWord]) -> Result<Settings, Stop> {
    let any = |kind: &dyn Fn(Scale) -> bool| words.iter().filter_map(|w| w.scale).any(kind);
    let full_scale = if any(&|s| matches!(s, Scale::FullScale { .. })) { facts.get(NETWORK_FULL_SCALE)? } else { Frequency::hz(60.0) };
    // The old word alone: the new drive's unit is set.
    let by_setting = words.first().is_some_and(|w| matches!(w.scale, Some(Scale::BySetting { .. })));
    let unit = if by_setting { facts.get(NETWORK_UNIT)? } else { ReferenceUnit::Hertz };
    let rpm = any(&|s| matches!(s, Scale::Rpm(_) | Scale::FloatRpm)) || unit == ReferenceUnit::Rpm;
    let poles = if rpm {
        let (hertz, speed) = (facts.get(MOTOR_FREQUENCY)?.in_hz(), facts.get(MOTOR_SPEED)?.in_rpm());
        (60.0 * hertz / speed * (1.0 + 1e-9)).floor().max(1.0) * 2.0
    } else {
        2.0
    };
    Ok(Settings { full_scale, highest: full_scale, unit, poles })
}

/// Hz of one count, or of 1 in a float.
pub(crate) fn per_unit(word: &DataWord, settings: &Settings) -> Option<f64> {
    match word.scale? {
        Scale::FloatHertz => Some(1.0),
        Scale::FloatRpm => Some(settings.hertz_of_rpm(1.0)),
        scale => per_count(scale, settings),
    }
}
