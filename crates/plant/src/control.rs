//! How a unit obeys its commands: its habits, each one of a few words, as its pack, its settings or a survey tell them; and the wiring
//! around it, the scheme, in the trade's words. What follows from both is worked out in `transfer::behaviour`.

mod habit;
mod scheme;

pub use self::habit::{
    AfterReset, AutoReset, BothStarts, BrakeWatch, Dip, EnableLoss, FaultContact, Habit, HeldStart, JogWhen, MasterStop, NetworkStart,
    OutputOpened, ReadyContact, ResetTrigger, Reversal, RunContact, SafeOffAct, Scope, SpeedMemory, Spinning, StopMode,
};
pub use self::scheme::{
    Category, Emergency, Isolating, PermissiveActs, PermissivePlace, PilotSupply, ReferenceFrom, ResetBy, Seal, StartBy,
};
use crate::choice::Choice;
use crate::fact::Place;
use crate::quantity::Time;

/// How many habits there are.
pub const HABITS: usize = Habit::INFO.words.len();

/// Some words of a habit: bit n stands for its n-th word.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct WordSet(pub u8);

impl WordSet {
    /// Every word of a habit.
    #[must_use]
    pub fn all(habit: Habit) -> Self {
        Self::of(0..habit.info().words.len())
    }

    /// These words.
    #[must_use]
    pub fn of(words: impl IntoIterator<Item = usize>) -> Self {
        Self(words.into_iter().filter(|w| *w < 8).fold(0, |set, word| set | 1 << word))
    }

    /// Whether a word is in.
    #[must_use]
    pub const fn has(self, word: usize) -> bool {
        word < 8 && self.0 >> word & 1 == 1
    }

    /// The words, rising.
    pub fn words(self) -> impl Iterator<Item = usize> {
        (0..8).filter(move |word| self.has(*word))
    }

    /// How many.
    #[must_use]
    pub const fn len(self) -> usize {
        self.0.count_ones() as usize
    }

    /// True when none is in.
    #[must_use]
    pub const fn is_empty(self) -> bool {
        self.0 == 0
    }

    /// The only word; `None` where there are none or several.
    #[must_use]
    pub fn only(self) -> Option<usize> {
        if self.len() == 1 { self.words().next() } else { None }
    }
}

/// What a pack says of one habit.
#[derive(Clone, Debug, PartialEq)]
pub struct HabitRow {
    /// Which habit.
    pub habit: Habit,
    /// What it can be set to do; a single word where it is fixed.
    pub can: WordSet,
    /// What it does as delivered; `None` where the documents do not say.
    pub delivered: Option<usize>,
    /// Setting that decides, as the pack's list of settings names it.
    pub setting: Option<String>,
    /// For a dip: how long the unit's control outlives the supply. For a loss: how long it waits, as delivered.
    pub time: Option<Time>,
    /// Where it stands.
    pub place: Place,
}

/// Habits of one installed unit as a survey found them: for each what it may be; `None` where nobody looked.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct FoundHabits {
    /// By the place of the habit in [`Habit`].
    pub words: Vec<Option<WordSet>>,
    /// Where they stand.
    pub place: Place,
}

impl FoundHabits {
    /// What was found of a habit.
    #[must_use]
    pub fn get(&self, habit: Habit) -> Option<WordSet> {
        self.words.get(habit.index()).copied().flatten()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_habit_has_words_that_a_set_can_hold() {
        for at in 0..HABITS {
            let habit = Habit::from_index(at).expect("in range");
            let words = habit.info().words.len();
            assert!((2..=8).contains(&words), "{habit:?}");
            assert_eq!(WordSet::all(habit).len(), words);
        }
    }

    #[test]
    fn sets_of_words_hold_what_was_put_in() {
        let set = WordSet::of([0, 2]);
        assert!(set.has(0) && !set.has(1) && set.has(2) && !set.has(9));
        assert_eq!((set.only(), WordSet::of([1]).only(), WordSet::default().only()), (None, Some(1), None));
    }
}
