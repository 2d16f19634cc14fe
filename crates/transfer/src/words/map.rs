//! The mapping, word for word and bit for bit, with what becomes of each.

use plant::choice::Choice;
use plant::network::{Bit, BitMeaning as M, DataWord, Direction, Layout, Sequence, WordMeaning};

use super::pair::{Conversion, Pair};
use super::scale::one_count;

/// What becomes of a word or bit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Outcome {
    /// The same word or bit, the same number.
    Carried,
    /// Another place, sense, scale or sequence, without loss.
    Converted,
    /// Converted, and the number is rounded.
    Rounded,
    /// Converted, and some values lie beyond what the other side can say.
    Clipped,
    /// Made from other words or bits of the new drive.
    Derived,
    /// The new drive demands it and the old program knows nothing of it: the block sets it.
    SetByBlock,
    /// Nothing of the new drive says or does this.
    NoCounterpart,
}

impl Outcome {
    /// As printed.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Carried => "carried",
            Self::Converted => "converted",
            Self::Rounded => "rounded",
            Self::Clipped => "clipped",
            Self::Derived => "derived",
            Self::SetByBlock => "set by the block",
            Self::NoCounterpart => "no counterpart",
        }
    }
}

/// Greatest distance between two numbers, over many.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Error {
    /// Greatest so far, in the quantity's unit.
    pub greatest: f64,
}

impl Error {
    pub(crate) fn take(&mut self, gone: f64) {
        self.greatest = self.greatest.max(gone.abs());
    }

    pub(crate) fn in_counts(self, step: f64) -> f64 {
        if step > 0.0 { self.greatest / step } else { 0.0 }
    }
}

/// Greatest error of a number.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct NumberError {
    /// In Hz, A or of rated.
    pub quantity: f64,
    /// In counts of the old word; 0 for floats.
    pub counts: f64,
    /// How many values are cut.
    pub clipped: u64,
}

/// Where a word or bit is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct At {
    /// Word as its documents name it.
    pub word: String,
    /// Its number as printed.
    pub number: u32,
    /// Bit, from 0.
    pub bit: Option<u8>,
}

/// One line of the mapping.
#[derive(Clone, Debug, PartialEq)]
pub struct Entry {
    /// Direction from the master's view.
    pub direction: Direction,
    /// In the old layout; `None` for what the block sets by itself.
    pub old: Option<At>,
    /// Neutral meaning.
    pub meaning: String,
    /// The number's meaning, for words.
    pub number: Option<WordMeaning>,
    /// In the new layout.
    pub new: Option<At>,
    /// How numbers are converted, in words; empty for bits.
    pub scale: String,
    /// What becomes of it.
    pub outcome: Outcome,
    /// What there is to know about it; may be empty.
    pub note: String,
}

/// The whole mapping. Numbers are at most `Converted` here; the proof says which are rounded or cut.
#[must_use]
pub fn map(pair: &Pair<'_>) -> Vec<Entry> {
    let mut entries = Vec::new();
    for direction in [Direction::ToDrive, Direction::FromDrive] {
        for (_, word) in pair.old.words(direction) {
            if word.meaning == WordMeaning::Padding {
                continue;
            }
            if word.bits.is_empty() {
                entries.push(number(pair, word));
            }
            entries.extend(word.bits.iter().map(|b| bit(pair, word, b)));
        }
        for (_, word) in pair.new.words(direction) {
            entries.extend(word.bits.iter().filter_map(|b| own(pair, direction, word, b)));
        }
    }
    entries
}

/// Puts what the proof found into the mapping.
pub fn with_errors(entries: &mut [Entry], errors: &[(WordMeaning, NumberError)]) {
    for entry in entries {
        let Some((_, error)) = errors.iter().find(|(m, _)| entry.number == Some(*m)) else { continue };
        if !matches!(entry.outcome, Outcome::Carried | Outcome::Converted) {
            continue;
        }
        if error.clipped > 0 {
            entry.outcome = Outcome::Clipped;
        } else if error.quantity > 1e-9 {
            entry.outcome = Outcome::Rounded;
        }
    }
}

fn at(word: &DataWord, bit: Option<u8>) -> At {
    At { word: word.name.clone(), number: word.number, bit }
}

fn number(pair: &Pair<'_>, old: &DataWord) -> Entry {
    let mut entry = Entry {
        direction: old.direction,
        old: Some(at(old, None)),
        meaning: old.meaning.word().to_owned(),
        number: Some(old.meaning),
        new: None,
        scale: String::new(),
        outcome: Outcome::NoCounterpart,
        note: String::new(),
    };
    if old.meaning == WordMeaning::Configurable {
        entry.number = None;
        old.carries.as_deref().unwrap_or("configurable").clone_into(&mut entry.meaning);
        let same = pair.new.words(old.direction).find(|(_, w)| w.carries.is_some() && w.carries == old.carries);
        if let Some((_, new)) = same {
            entry.new = Some(at(new, None));
            if new.scale == old.scale && new.width == old.width {
                entry.outcome = Outcome::Carried;
                "passed on as it is: compare what one count stands for in both documents".clone_into(&mut entry.note);
            } else {
                "both carry it, in different counts: the block does not pass it on".clone_into(&mut entry.note);
            }
        }
        return entry;
    }
    let Some((_, new)) = pair.new.word(old.meaning) else {
        entry.note = match old.meaning {
            WordMeaning::FaultCode => "a stored fault shows as a fault of the unit itself".to_owned(),
            _ => "shown as 0".to_owned(),
        };
        return entry;
    };
    entry.new = Some(at(new, None));
    if old.meaning == WordMeaning::FaultCode {
        let (known, all) = (pair.faults().filter(|(_, o)| o.is_some()).count(), pair.new_faults.len());
        entry.outcome = Outcome::Converted;
        entry.scale = format!("{known} of {all} new codes have an old one of the same meaning");
        "all others show as a fault of the unit itself".clone_into(&mut entry.note);
        return entry;
    }
    match pair.conversion(old.meaning) {
        Some(conversion) => {
            entry.outcome = if conversion_is_one(conversion) && new.signed == old.signed { Outcome::Carried } else { Outcome::Converted };
            entry.scale = scale_text(pair, old, new);
            if old.width != new.width {
                entry.note = format!(
                    "{} bits on the old side, {} on the new{}",
                    old.width,
                    new.width,
                    if new.width == 32 || old.width == 32 {
                        "; a pair of words is taken when its high word stood for three scans"
                    } else {
                        ""
                    }
                );
            }
        }
        None => "the two numbers count different things: shown as 0".clone_into(&mut entry.note),
    }
    entry
}

fn conversion_is_one(conversion: Conversion) -> bool {
    matches!(conversion, Conversion::Whole { line, .. } if line.num == line.den)
}

fn scale_text(pair: &Pair<'_>, old: &DataWord, new: &DataWord) -> String {
    format!("old {}; new {}", one_count(old, &pair.old_settings), one_count(new, &pair.new_settings))
}

fn is_state(sequence: Sequence) -> bool {
    matches!(sequence, Sequence::States | Sequence::OnOff)
}

/// What becomes of a bit of the old layout.
fn bit(pair: &Pair<'_>, word: &DataWord, old: &Bit) -> Entry {
    let found = pair.new.bit(word.direction, old.meaning);
    let mut entry = Entry {
        direction: word.direction,
        old: Some(at(word, Some(old.at))),
        meaning: old.meaning.word().to_owned(),
        number: None,
        new: found.and_then(|(i, b)| pair.new.words.get(i).map(|w| at(w, Some(b.at)))),
        scale: String::new(),
        outcome: Outcome::NoCounterpart,
        note: String::new(),
    };
    let (outcome, note) = match (word.direction, found) {
        (_, Some((_, new))) => {
            let same = new.at == old.at && new.sense == old.sense && new.trigger == old.trigger;
            let moves = word.direction == Direction::ToDrive && pair.old.sequence != pair.new.sequence;
            let by_sequence =
                moves && matches!(old.meaning, M::Run | M::RunReverse | M::Start | M::Stop | M::EnableOperation | M::SwitchOn);
            if by_sequence {
                (Outcome::Converted, "through the new drive's command sequence".to_owned())
            } else if same {
                (Outcome::Carried, String::new())
            } else {
                let mut how = Vec::new();
                if new.at != old.at {
                    how.push("another place");
                }
                if new.sense != old.sense {
                    how.push("the other sense");
                }
                if new.trigger != old.trigger {
                    how.push("edge against level");
                }
                (Outcome::Converted, how.join(", "))
            }
        }
        (Direction::ToDrive, None) => command_without(pair, old.meaning),
        (Direction::FromDrive, None) => status_without(pair, old.meaning),
    };
    (entry.outcome, entry.note) = (outcome, note);
    entry
}

/// A command bit whose meaning the new layout has no bit for.
fn command_without(pair: &Pair<'_>, meaning: M) -> (Outcome, String) {
    match meaning {
        M::Run | M::Start | M::SwitchOn | M::EnableOperation | M::Stop => {
            (Outcome::Converted, "through the new drive's command sequence".to_owned())
        }
        M::Reverse | M::RunReverse if pair.new_can_reverse() => {
            (Outcome::Converted, "by the sign of the setpoint or another bit".to_owned())
        }
        M::Halt | M::RampOutput | M::RampInput => {
            (Outcome::Converted, "by a setpoint of 0: it ramps where the old drive may have stopped at once".to_owned())
        }
        M::NetworkControl | M::NetworkReference => (Outcome::Converted, "kept by the block: without it the words are not taken".to_owned()),
        M::Reverse | M::RunReverse => (Outcome::NoCounterpart, "the new layout cannot say reverse: the motor stands instead".to_owned()),
        M::Coast => (Outcome::NoCounterpart, "the motor stops by its ramp instead of coasting".to_owned()),
        M::QuickStop => (Outcome::NoCounterpart, "the motor stops by its normal ramp: is that short enough?".to_owned()),
        M::FaultReset => (Outcome::NoCounterpart, "faults have to be cleared at the drive".to_owned()),
        _ => (Outcome::NoCounterpart, String::new()),
    }
}

/// A status bit whose meaning the new layout has no bit for.
fn status_without(pair: &Pair<'_>, meaning: M) -> (Outcome, String) {
    let derived = |from: &str| (Outcome::Derived, from.to_owned());
    let speed = pair.new.word(WordMeaning::SpeedActual).is_some();
    let says = |m: M| pair.new.bit(Direction::FromDrive, m).is_some();
    match meaning {
        M::Run | M::RunReverse | M::SwitchedOn if says(M::Run) || says(M::SwitchedOn) => derived("from the new drive's running bit"),
        M::Ready | M::ReadyToSwitchOn if says(M::Faulted) => derived("from the fault bit"),
        M::Disabled if is_state(pair.old.sequence) => derived("from the old drive's states, which the block keeps"),
        M::AtSpeed if speed => derived("from setpoint and actual speed, within the old band"),
        M::ZeroSpeed if speed => derived("from the actual speed, within the old band"),
        M::Reverse if speed => derived("from the sign of the actual speed"),
        M::Coast | M::QuickStop => derived("from the old program's own command"),
        M::VoltageEnabled | M::NetworkControl | M::NetworkReference => derived("shown as always so"),
        _ => (Outcome::NoCounterpart, "shown as not so".to_owned()),
    }
}

/// A bit of the new layout that no bit of the old one leads to.
fn own(pair: &Pair<'_>, direction: Direction, word: &DataWord, new: &Bit) -> Option<Entry> {
    if direction == Direction::FromDrive || pair.old.bit(direction, new.meaning).is_some() {
        return None;
    }
    let note = match new.meaning {
        M::Run | M::Start | M::Stop | M::SwitchOn | M::EnableOperation => "by the command sequence",
        M::Coast | M::QuickStop | M::Halt => "never demanded",
        M::Reverse | M::RunReverse => "by the sign of the old setpoint",
        M::FaultReset => "never given: the old layout has no reset",
        _ => "always so",
    };
    Some(Entry {
        direction,
        old: None,
        meaning: new.meaning.word().to_owned(),
        number: None,
        new: Some(at(word, Some(new.at))),
        scale: String::new(),
        outcome: Outcome::SetByBlock,
        note: note.to_owned(),
    })
}

/// Command bits of the old layout that nothing of the new one answers.
#[must_use]
pub fn lost_bits(pair: &Pair<'_>) -> Vec<M> {
    let lost = |m: M| pair.new.bit(Direction::ToDrive, m).is_none() && command_without(pair, m).0 == Outcome::NoCounterpart;
    // The hold of a ramp has no counterpart in a setpoint.
    old_bits(pair.old, Direction::ToDrive).map(|b| b.meaning).filter(|m| lost(*m)).collect()
}

/// Status bits of the old layout that the block shows truly.
#[must_use]
pub fn shown_bits(pair: &Pair<'_>) -> Vec<Bit> {
    let told =
        |b: &Bit| pair.new.bit(Direction::FromDrive, b.meaning).is_some() || status_without(pair, b.meaning).0 != Outcome::NoCounterpart;
    old_bits(pair.old, Direction::FromDrive).filter(told).collect()
}

fn old_bits(layout: &Layout, direction: Direction) -> impl Iterator<Item = Bit> + '_ {
    layout.words(direction).flat_map(|(_, w)| w.bits.iter().copied())
}
