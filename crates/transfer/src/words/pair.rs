//! An old and a new layout side by side, with what their scales hang on.

use plant::network::{BitMeaning, DataWord, Direction, FaultCode, Layout, Scale, WordMeaning};
use plant::quantity::Frequency;

use super::scale::{Line, Settings, per_count};

/// Both sides of a replacement.
#[derive(Clone, Copy, Debug)]
pub struct Pair<'a> {
    /// Layout that the old program speaks.
    pub old: &'a Layout,
    /// Layout that the new drive speaks.
    pub new: &'a Layout,
    /// Settings of the old drive.
    pub old_settings: Settings,
    /// Settings of the new drive: its full scale is set to the old one's.
    pub new_settings: Settings,
    /// Fault codes of the old series.
    pub old_faults: &'a [FaultCode],
    /// Fault codes of the new series.
    pub new_faults: &'a [FaultCode],
}

/// How a number gets from one word into another.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Conversion {
    /// Whole counts by a line; counts beyond `largest` either way are cut first.
    Whole {
        /// The line.
        line: Line,
        /// Largest count that is taken.
        largest: i64,
    },
    /// A float is on one side or both: target quantity is source quantity times this.
    Float(f64),
}

impl<'a> Pair<'a> {
    /// The other word of a number: for the old setpoint the new one, for the new actual value the old one.
    #[must_use]
    pub fn partner(&self, meaning: WordMeaning) -> Option<(&'a DataWord, &'a DataWord)> {
        Some((self.old.word(meaning)?.1, self.new.word(meaning)?.1))
    }

    /// How a number of this meaning is converted; `None` where one side has no such word or the two quantities are not alike.
    #[must_use]
    pub fn conversion(&self, meaning: WordMeaning) -> Option<Conversion> {
        let (old, new) = self.partner(meaning)?;
        let to_new = old.direction == Direction::ToDrive;
        let (from, to) = if to_new { (old, new) } else { (new, old) };
        let (from_settings, to_settings) =
            if to_new { (&self.old_settings, &self.new_settings) } else { (&self.new_settings, &self.old_settings) };
        let (from_scale, to_scale) = (from.scale?, to.scale?);
        if quantity(from_scale) != quantity(to_scale) {
            return None;
        }
        let unit = |scale: Scale, settings: &Settings| match scale {
            Scale::FloatHertz => Some(1.0),
            Scale::FloatRpm => Some(settings.hertz_of_rpm(1.0)),
            other => per_count(other, settings),
        };
        let (from_step, to_step) = (unit(from_scale, from_settings)?, unit(to_scale, to_settings)?);
        let ratio = from_step / to_step;
        if from.is_float() || to.is_float() {
            return Some(Conversion::Float(ratio));
        }
        let (low, high) = from.counts();
        let widest = high.max(-low);
        // A word of 32 bits is wider than any speed, and than what the other word can hold: what lies beyond may be cut.
        #[expect(clippy::cast_precision_loss, reason = "counts have at most 32 bits")]
        let held = (to.counts().1 as f64 + 1.0) * to_step / from_step;
        let speed = if quantity(from_scale) == Quantity::Speed { 2.0 * self.highest().in_hz() / from_step } else { f64::INFINITY };
        #[expect(clippy::cast_possible_truncation, reason = "a number of counts; larger ones are cut")]
        let useful = held.min(speed).ceil().clamp(1.0, 1e9) as i64;
        let largest = if widest > i64::from(u16::MAX) { useful } else { widest };
        Line::of(ratio, largest).map(|line| Conversion::Whole { line, largest })
    }

    /// Highest frequency that both let through.
    #[must_use]
    pub fn highest(&self) -> Frequency {
        self.old_settings.highest.min(self.new_settings.highest)
    }

    /// Whether the new layout can be told to turn the other way.
    #[must_use]
    pub fn new_can_reverse(&self) -> bool {
        let bit = |meaning| self.new.bit(Direction::ToDrive, meaning).is_some();
        let signed = self.new.word(WordMeaning::SpeedSetpoint).is_some_and(|(_, w)| w.counts().0 < 0 || w.is_float());
        bit(BitMeaning::Reverse) || bit(BitMeaning::RunReverse) || signed
    }

    /// Whether the block writes or reads a word of the new layout. A setting that only the new layout carries is left alone: nought in it
    /// would be a value.
    #[must_use]
    pub fn uses_new(&self, word: &DataWord) -> bool {
        word.direction == Direction::FromDrive
            || word.meaning != WordMeaning::Configurable
            || self
                .old
                .words(word.direction)
                .any(|(_, w)| w.carries.is_some() && w.carries == word.carries && w.width == word.width && w.scale == word.scale)
    }

    /// The old code for each new code of the same meaning; `None` where the old series has no such fault.
    pub fn faults(&self) -> impl Iterator<Item = (&'a FaultCode, Option<&'a FaultCode>)> + use<'a> {
        let old = self.old_faults;
        self.new_faults.iter().map(move |new| (new, old.iter().find(|o| o.meaning == new.meaning)))
    }
}

/// What kind of quantity a scale counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Quantity {
    /// A speed, in Hz.
    Speed,
    /// A current, in A.
    Current,
    /// A share of rated.
    Share,
}

/// What kind of quantity a scale counts.
#[must_use]
pub const fn quantity(scale: Scale) -> Quantity {
    match scale {
        Scale::Ampere(_) => Quantity::Current,
        Scale::Share(_) => Quantity::Share,
        Scale::FullScale { .. } | Scale::Hertz(_) | Scale::Rpm(_) | Scale::BySetting { .. } | Scale::FloatHertz | Scale::FloatRpm => {
            Quantity::Speed
        }
    }
}

/// Names of the controller's variables for a word of a layout: one, or two for 32 bits in the order of the frame. `None` for padding.
#[must_use]
pub fn names(prefix: &str, layout: &Layout, at: usize) -> Option<Vec<String>> {
    let word = layout.words.get(at)?;
    let base = match word.meaning {
        WordMeaning::Command => "COMMAND",
        WordMeaning::Status => "STATUS",
        WordMeaning::SpeedSetpoint => "SETPOINT",
        WordMeaning::SpeedActual => "SPEED",
        WordMeaning::CurrentActual => "CURRENT",
        WordMeaning::TorqueActual => "TORQUE",
        WordMeaning::FaultCode => "FAULT",
        WordMeaning::Configurable => match word.direction {
            Direction::ToDrive => "DATA_OUT",
            Direction::FromDrive => "DATA_IN",
        },
        WordMeaning::Padding => return None,
    };
    let same = |w: &&DataWord| w.meaning == word.meaning && w.direction == word.direction;
    let all = layout.words.iter().filter(same).count();
    let own = layout.words.iter().take(at + 1).filter(same).count();
    let name = if all > 1 { format!("{prefix}_{base}_{own}") } else { format!("{prefix}_{base}") };
    Some(if word.width == 32 { vec![format!("{name}_A"), format!("{name}_B")] } else { vec![name] })
}
