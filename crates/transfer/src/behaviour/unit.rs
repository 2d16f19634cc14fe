//! One unit with every habit known, and a unit of which some habits are open: a set of units.

use std::cell::Cell;

use plant::choice::Choice;
use plant::control::{HABITS, Habit, WordSet};

/// A unit with one word for each habit.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Unit {
    words: [u8; HABITS],
    /// Classes of dips (bit n: the n-th of the comparison) that its control does not outlive: to it they are a switched-off supply.
    pub dies_in: u8,
}

impl Default for Unit {
    /// The first word of every habit.
    fn default() -> Self {
        Self { words: [0; HABITS], dies_in: 0 }
    }
}

impl Unit {
    /// The same with another word.
    #[must_use]
    pub fn with(mut self, habit: Habit, word: usize) -> Self {
        if let (Some(slot), Ok(word)) = (self.words.get_mut(habit.index()), u8::try_from(word)) {
            *slot = word;
        }
        self
    }

    /// The same with another word, by its type.
    #[must_use]
    pub fn set<C: Choice>(self, habit: Habit, word: C) -> Self {
        self.with(habit, word.index())
    }

    /// The place of its word.
    #[must_use]
    pub fn word(&self, habit: Habit) -> usize {
        usize::from(self.words[habit.index()])
    }

    /// Its word.
    #[must_use]
    pub fn text(&self, habit: Habit) -> &'static str {
        habit.info().words.get(self.word(habit)).map_or("", |w| w.word)
    }

    /// Whether the word of a habit is this one.
    #[must_use]
    pub fn is<C: Choice>(&self, habit: Habit, word: C) -> bool {
        self.word(habit) == word.index()
    }

    /// Its word as a type; the first one where it has none.
    fn get<C: Choice>(&self, habit: Habit) -> Option<C> {
        C::from_index(self.word(habit))
    }
}

/// A unit that notes which of its habits it was asked for: what was not asked for cannot have mattered.
#[derive(Debug)]
pub(super) struct Asked<'u> {
    unit: &'u Unit,
    habits: Cell<Habits>,
}

/// Habits as bits, and one for the dips that a control does not outlive.
pub(super) type Habits = u32;
/// The dips among [`Habits`].
const DIES: Habits = 1 << 31;
const _: () = assert!(HABITS < 31, "a habit needs a bit of its own");

impl<'u> Asked<'u> {
    pub(super) fn new(unit: &'u Unit) -> Self {
        Self { unit, habits: Cell::new(0) }
    }

    /// What was asked for since it was asked last.
    pub(super) fn take(&self) -> Habits {
        self.habits.take()
    }

    pub(super) fn is<C: Choice>(&self, habit: Habit, word: C) -> bool {
        self.note(1 << habit.index());
        self.unit.is(habit, word)
    }

    pub(super) fn get<C: Choice>(&self, habit: Habit) -> Option<C> {
        self.note(1 << habit.index());
        self.unit.get(habit)
    }

    /// Whether its control does not outlive the n-th class of dips.
    pub(super) fn dies_in(&self, class: u8) -> bool {
        self.note(DIES);
        self.unit.dies_in >> class & 1 == 1
    }

    fn note(&self, habits: Habits) {
        self.habits.set(self.habits.get() | habits);
    }
}

impl Unit {
    /// In what it differs from another one.
    pub(super) fn apart(&self, other: &Self) -> Habits {
        let habits = Habit::all().filter(|h| self.word(*h) != other.word(*h)).fold(0, |all, h| all | 1 << h.index());
        if self.dies_in == other.dies_in { habits } else { habits | DIES }
    }
}

/// A unit of which each habit may be several words.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct UnitSet {
    /// What each habit may be; never empty.
    sets: [WordSet; HABITS],
    /// As in [`Unit`].
    pub dies_in: u8,
}

impl UnitSet {
    /// A unit of which nothing is known.
    #[must_use]
    pub fn unknown() -> Self {
        let mut sets = [WordSet::default(); HABITS];
        for habit in Habit::all() {
            sets[habit.index()] = WordSet::all(habit);
        }
        Self { sets, dies_in: 0 }
    }

    /// Exactly that unit.
    #[must_use]
    pub fn exactly(unit: Unit) -> Self {
        let mut set = Self::unknown();
        for habit in Habit::all() {
            set.sets[habit.index()] = WordSet::of([unit.word(habit)]);
        }
        set.dies_in = unit.dies_in;
        set
    }

    /// What a habit may be.
    #[must_use]
    pub fn get(&self, habit: Habit) -> WordSet {
        self.sets[habit.index()]
    }

    /// Narrows a habit; words that would leave nothing are refused.
    ///
    /// # Errors
    /// What it may be, when no word of `words` is among it.
    pub fn narrow(&mut self, habit: Habit, words: WordSet) -> Result<(), WordSet> {
        let slot = &mut self.sets[habit.index()];
        let both = WordSet(slot.0 & words.0);
        if both.is_empty() {
            return Err(*slot);
        }
        *slot = both;
        Ok(())
    }

    /// Sets a habit, whatever it was.
    pub fn put(&mut self, habit: Habit, words: WordSet) {
        if !words.is_empty() {
            self.sets[habit.index()] = words;
        }
    }

    /// The habits of several words.
    #[must_use]
    pub fn open(&self) -> Vec<Habit> {
        Habit::all().filter(|h| self.get(*h).len() > 1).collect()
    }

    /// The unit with the first word of every habit.
    #[must_use]
    pub fn first(&self) -> Unit {
        let mut unit = Unit { dies_in: self.dies_in, ..Unit::default() };
        for habit in Habit::all() {
            unit = unit.with(habit, self.get(habit).words().next().unwrap_or(0));
        }
        unit
    }
}
