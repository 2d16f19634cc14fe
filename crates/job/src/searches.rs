//! Margins that were searched already, kept by all that they were made from: after an edit only those are searched again that read
//! what was edited.
//!
//! A search hangs on the check, the candidate with its measures, the facts that were known to be read, how far it goes, and on what the
//! survey says of the facts that it read. Any other fact may change without it, and what is found here is what a new search would find,
//! to the last digit. What is no fact (wires, lists, box, neighbours) is held against the position as it was. Site and packs are the
//! holder's to watch: a store is for one state of them.
//!
//! The same store keeps what hangs on the position beside its facts (what becomes of its conductors at a unit), and what a unit's change-over
//! counts, by the facts that the count rests on.

use std::ops::Range;
use std::sync::{Arc, Mutex, MutexGuard, OnceLock, PoisonError};

use findings::candidate::Candidate;
use findings::check::Check;
use findings::facts::{Domain, FactSet, Point, Stop, Survey, WiredUnits};
use plant::choice::Duty;
use plant::position::Position;
use plant::shared::Shared;
use plant::survey::{FACT_IDS, FactId};
use rustc_hash::FxHashMap;

use crate::bounds::{Bounds, Depth, bounds, depends_on};
use crate::cutover::WireWork;

/// Positions whose searches are kept: those that people work on, not a whole plant.
pub const POSITIONS: usize = 12;
/// Answers about one unit until all are forgotten: bounds memory, not correctness. An assessment asks some two hundred things of a unit.
const ASKED: usize = 2_000;
/// States of the survey that each answer is kept for, those asked for last: going to and fro finds them again.
const STATES: usize = 6;

/// Searches of the positions that were assessed last, for one state of site and packs.
#[derive(Debug, Default)]
pub struct Searches {
    positions: Mutex<Vec<Arc<Searched>>>,
}

impl Searches {
    /// Those of a joined position; an empty store where none are kept, or where more than facts has changed.
    pub(crate) fn of(&self, position: &Position) -> Arc<Searched> {
        let frame = without_facts(position);
        let mut positions = self.positions.lock().unwrap_or_else(PoisonError::into_inner);
        let last = positions.iter().position(|s| s.frame == frame).map(|at| positions.remove(at));
        let found = last.unwrap_or_else(|| Arc::new(Searched { frame, ..Searched::default() }));
        // The one that was asked for last stands last.
        positions.push(Arc::clone(&found));
        if positions.len() > POSITIONS {
            positions.remove(0);
        }
        found
    }

    /// What is known of the conductors of a joined position.
    pub(crate) fn wired(&self, position: &Position) -> WiredUnits {
        self.of(position).wired.clone()
    }

    /// Whether something of a position is kept.
    #[must_use]
    pub fn knows(&self, tag: &str) -> bool {
        self.positions.lock().unwrap_or_else(PoisonError::into_inner).iter().any(|s| s.frame.tag == tag)
    }
}

/// A position with nothing in its facts: what checks see of it beside them. Remarks are in no check.
fn without_facts(position: &Position) -> Position {
    let mut frame = Position { facts: Shared::default(), notes: Vec::new(), ..position.clone() };
    for fact in frame.duty.iter_mut().flatten() {
        *fact = Default::default();
    }
    frame
}

/// Searches of one position.
#[derive(Debug, Default)]
pub(crate) struct Searched {
    frame: Position,
    units: Mutex<FxHashMap<u64, Arc<Mutex<Unit>>>>,
    sets: Mutex<Sets>,
    /// What becomes of its conductors: a frame is for one list of them.
    wired: WiredUnits,
}

/// What was found of one unit.
#[derive(Debug, Default)]
struct Unit {
    margins: Store<Kept>,
    /// What findings hang on.
    depends: Store<Vec<FactId>>,
    /// Settings that are to be loaded, by the numbers of the survey that a sheet of them is made from; `None` where none can be made.
    to_load: FxHashMap<u64, Option<usize>>,
    /// Work on its conductors, once it was counted; `None` inside where no crosswalk can be made.
    work: Option<Option<WireWork>>,
}

/// Sets of facts that were read, each once, with their numbers.
#[derive(Debug, Default)]
struct Sets {
    all: Vec<FactSet>,
    numbers: FxHashMap<FactSet, usize>,
}

impl Sets {
    fn number(&mut self, facts: &FactSet) -> usize {
        let next = self.all.len();
        let number = *self.numbers.entry(*facts).or_insert(next);
        if number == next {
            self.all.push(*facts);
        }
        number
    }
}

/// What was found, by what was asked and by what the survey says of the facts that were read on the way. Answers to one question stand
/// beside each other, and questions in the order in which they were asked: the next assessment asks in the same order, so that its next
/// answer mostly stands behind its last, also in memory.
#[derive(Debug)]
struct Store<T> {
    asked: Vec<u64>,
    /// One for each of `asked`.
    found: Vec<Found<T>>,
    /// Behind the question that was asked last.
    next: usize,
}

/// One answer: the number of the set of facts that it read, what the survey said of them, and what was found.
#[derive(Debug)]
struct Found<T> {
    set: usize,
    said: u64,
    what: Arc<T>,
}

impl<T> Default for Store<T> {
    fn default() -> Self {
        Self { asked: Vec::new(), found: Vec::new(), next: 0 }
    }
}

/// Bounds without the facts that no search has moved.
#[derive(Debug)]
struct Kept {
    low: Option<f64>,
    high: Option<f64>,
    low_at: Box<[(FactId, f64)]>,
    high_at: Box<[(FactId, f64)]>,
    reads: FactSet,
    open: FactSet,
    stopped: Option<Stop>,
    not_here_somewhere: bool,
    unanswered_somewhere: bool,
}

/// The facts that do not stand in their middle at a point, each with its coordinate.
fn moved(point: &Point, survey: &Survey<'_>) -> Box<[(FactId, f64)]> {
    point.moved(&survey.middle()).filter_map(|(at, value)| Some((*survey.uncertain().get(at)?, value))).collect()
}

impl Kept {
    fn of(found: &Bounds, survey: &Survey<'_>) -> Self {
        Self {
            low: found.low,
            high: found.high,
            low_at: moved(&found.low_at, survey),
            high_at: moved(&found.high_at, survey),
            reads: found.reads,
            open: found.open,
            stopped: found.stopped.clone(),
            not_here_somewhere: found.not_here_somewhere,
            unanswered_somewhere: found.unanswered_somewhere,
        }
    }

    /// The bounds in a survey: facts that no search has moved stand in their middle, as they do in a new search.
    fn bounds(&self, survey: &Survey<'_>) -> Bounds {
        let put = |moved: &[(FactId, f64)]| {
            let mut point = survey.middle();
            for (id, value) in moved {
                if let Some(at) = survey.place_of(*id) {
                    point.set(at, *value);
                }
            }
            point
        };
        Bounds {
            low: self.low,
            high: self.high,
            low_at: put(&self.low_at),
            high_at: put(&self.high_at),
            reads: self.reads,
            open: self.open,
            stopped: self.stopped.clone(),
            not_here_somewhere: self.not_here_somewhere,
            unanswered_somewhere: self.unanswered_somewhere,
        }
    }
}

impl<T> Store<T> {
    /// Where the answers to a question stand; none, where they would, when it was not asked before.
    fn answers(&mut self, asked: u64) -> Range<usize> {
        let from = self.next.min(self.asked.len());
        let is = |own: &u64| *own == asked;
        let behind = self.asked.iter().skip(from).position(is).map(|at| from + at);
        let first = behind.or_else(|| self.asked.iter().take(from).position(is));
        let range = first.map_or(from..from, |first| {
            // The search may have begun among them.
            let before = self.asked.iter().take(first).rev().take_while(|own| is(own)).count();
            first - before..first + self.asked.iter().skip(first).take_while(|own| is(own)).count()
        });
        self.next = range.end;
        range
    }

    fn find(&mut self, asked: u64, mut said: impl FnMut(usize) -> u64) -> Option<Arc<T>> {
        let range = self.answers(asked);
        let answers = self.found.get_mut(range)?;
        let at = answers.iter().rposition(|found| said(found.set) == found.said)?;
        // What was asked for last is forgotten last.
        answers.get_mut(at..)?.rotate_left(1);
        answers.last().map(|found| Arc::clone(&found.what))
    }

    fn keep(&mut self, asked: u64, set: usize, said: u64, what: T) {
        if self.asked.len() >= ASKED {
            *self = Self::default();
        }
        let found = Found { set, said, what: Arc::new(what) };
        let range = self.answers(asked);
        if range.len() < STATES {
            self.asked.insert(range.end, asked);
            self.found.insert(range.end, found);
            self.next = range.end + 1;
        } else if let Some(answers) = self.found.get_mut(range) {
            answers.rotate_left(1);
            if let Some(oldest) = answers.last_mut() {
                *oldest = found;
            }
        }
    }
}

/// Numbers and words folded into one number: a multiplication to twice the width whose halves are added without carry.
#[derive(Clone, Copy, Debug)]
struct Folded(u64);

impl Folded {
    const NOTHING: Self = Self(0x9E37_79B9_7F4A_7C15);

    #[must_use]
    fn with(self, number: u64) -> Self {
        #[expect(clippy::cast_possible_truncation, reason = "the two halves are taken apart")]
        let halves = |product: u128| (product as u64, (product >> 64) as u64);
        let (low, high) = halves(u128::from(self.0 ^ 0xA076_1D64_78BD_642F) * u128::from(number ^ 0xE703_7ED1_A0B4_28DB));
        // A factor of nothing would forget all that came before.
        Self((low ^ high).wrapping_add(self.0.rotate_left(23)).wrapping_add(number))
    }

    #[must_use]
    fn word(self, text: &str) -> Self {
        let number = |bytes: &[u8]| bytes.iter().fold(0u64, |number, byte| number << 8 | u64::from(*byte));
        text.as_bytes().chunks(8).fold(self.with(text.len() as u64), |folded, bytes| folded.with(number(bytes)))
    }

    #[must_use]
    fn all(self, numbers: impl IntoIterator<Item = u64>) -> Self {
        numbers.into_iter().fold(self, Self::with)
    }
}

/// The margins over a survey, beside what was searched of its position before.
#[derive(Debug)]
pub struct Margins<'s, 'p> {
    pub(crate) survey: &'s Survey<'p>,
    /// What the survey says of each fact, as a number; empty where nothing is kept.
    said: Arc<[u64]>,
    /// The same of the sets of facts that were known when the survey was taken up, by their numbers.
    of_sets: Arc<[OnceLock<u64>]>,
    searched: Option<Arc<Searched>>,
    /// The unit that was asked of last: units are assessed one after the other.
    last: Mutex<Option<Named>>,
}

/// What is kept of a unit, with all that tells it from others.
#[derive(Debug)]
struct Named {
    series: String,
    code: String,
    class: String,
    frame: String,
    duty: Duty,
    unit: Arc<Mutex<Unit>>,
}

impl Named {
    fn is(&self, unit: &Candidate<'_>) -> bool {
        let rating = unit.rating;
        (&*self.code, &*self.class, &*self.frame, self.duty) == (&*rating.code, &*rating.class, &*rating.frame, rating.duty)
            && self.series == unit.series.id
    }
}

impl<'s, 'p> Margins<'s, 'p> {
    /// A survey of a joined position, beside what is kept of it.
    #[must_use]
    pub fn of(survey: &'s Survey<'p>, searches: Option<&Searches>) -> Self {
        let searched = searches.map(|s| s.of(survey.position()));
        let count = if searched.is_some() { FACT_IDS } else { 0 };
        #[expect(clippy::cast_possible_truncation, reason = "fewer than a thousand facts")]
        let said = (0..count).map(|i| said_of(survey, FactId(i as u16))).collect();
        Self::over(survey, said, searched)
    }

    fn over(survey: &'s Survey<'p>, said: Arc<[u64]>, searched: Option<Arc<Searched>>) -> Self {
        let sets = searched.as_ref().map_or(0, |searched| lock(&searched.sets).all.len());
        Self { survey, said, of_sets: (0..sets).map(|_| OnceLock::new()).collect(), searched, last: Mutex::default() }
    }

    /// The same for whoever assesses another unit beside.
    pub(crate) fn beside(&self) -> Self {
        let (said, of_sets) = (Arc::clone(&self.said), Arc::clone(&self.of_sets));
        Self { survey: self.survey, said, of_sets, searched: self.searched.clone(), last: Mutex::default() }
    }

    /// The same survey with one fact read (see [`Survey::with_reading`]).
    pub(crate) fn with<'o>(&self, survey: &'o Survey<'p>, read: FactId) -> Margins<'o, 'p> {
        let mut said = self.said.to_vec();
        if let Some(own) = said.get_mut(read.index()) {
            *own = said_of(survey, read);
        }
        Margins::over(survey, said.into(), self.searched.clone())
    }

    /// What is kept of a unit.
    fn unit(&self, searched: &Searched, unit: &Candidate<'_>) -> Arc<Mutex<Unit>> {
        let mut last = lock(&self.last);
        if let Some(named) = last.as_ref().filter(|named| named.is(unit)) {
            return Arc::clone(&named.unit);
        }
        let rating = unit.rating;
        let words = [&unit.series.id, &rating.code, &rating.class, &rating.frame];
        let place = words.into_iter().fold(Folded::NOTHING, |folded, word| folded.word(word)).with(rating.duty as u64).0;
        let [series, code, class, frame] = words.map(Clone::clone);
        let kept = Arc::clone(lock(&searched.units).entry(place).or_default());
        *last = Some(Named { series, code, class, frame, duty: rating.duty, unit: Arc::clone(&kept) });
        kept
    }

    /// What the survey says of these facts together.
    fn said(&self, facts: &FactSet) -> u64 {
        Folded::NOTHING.all(facts.iter().map(|id| self.said.get(id.index()).copied().unwrap_or_default())).0
    }

    /// The same of the set of that number.
    fn said_of_set(&self, searched: &Searched, set: usize) -> u64 {
        let made = || self.said(&lock(&searched.sets).all.get(set).copied().unwrap_or_default());
        self.of_sets.get(set).map_or_else(made, |known| *known.get_or_init(made))
    }

    /// Lowest and highest margin of a check for a candidate: as [`bounds`], looked up where it was searched before.
    pub(crate) fn bounds(&self, check: &'static Check, unit: &Candidate<'_>, hint: &FactSet, depth: Depth) -> Bounds {
        let Some(searched) = &self.searched else { return bounds(check, unit, self.survey, hint, depth) };
        let own = self.unit(searched, unit);
        let asked = asked_of(check, unit).all(hint.words()).with(u64::from(depth == Depth::Full)).0;
        let known = lock(&own).margins.find(asked, |set| self.said_of_set(searched, set));
        if let Some(known) = known {
            return known.bounds(self.survey);
        }
        let found = bounds(check, unit, self.survey, hint, depth);
        // What was known to be read widens the box that is searched, whether this candidate reads it or not.
        let mut facts = found.reads;
        facts.extend(hint);
        let (set, kept) = (lock(&searched.sets).number(&facts), Kept::of(&found, self.survey));
        lock(&own).margins.keep(asked, set, self.said(&facts), kept);
        found
    }

    /// How many settings are to be loaded into a unit, which rests on these numbers of the survey and on no others; looked up where they
    /// were counted before.
    pub(crate) fn to_load(&self, unit: &Candidate<'_>, rests_on: &[Option<f64>], count: impl FnOnce() -> Option<usize>) -> Option<usize> {
        let Some(searched) = &self.searched else { return count() };
        let own = self.unit(searched, unit);
        let numbers = rests_on.iter().flat_map(|number| [u64::from(number.is_some()), number.map_or(0, f64::to_bits)]);
        let asked = Folded::NOTHING.all(numbers).0;
        if let Some(known) = lock(&own).to_load.get(&asked) {
            return *known;
        }
        let found = count();
        let mut own = lock(&own);
        if own.to_load.len() >= ASKED {
            own.to_load.clear();
        }
        own.to_load.insert(asked, found);
        found
    }

    /// The work on conductors at a unit, which rests on nothing that the survey says in facts; looked up where it was counted before.
    pub(crate) fn wire_work(&self, unit: &Candidate<'_>, count: impl FnOnce() -> Option<WireWork>) -> Option<WireWork> {
        let Some(searched) = &self.searched else { return count() };
        let own = self.unit(searched, unit);
        if let Some(known) = lock(&own).work {
            return known;
        }
        let found = count();
        lock(&own).work = Some(found);
        found
    }

    /// Which uncertain facts matter to an unsettled check: as `bounds::depends_on` says, looked up where it was found out before.
    pub(crate) fn depends_on(&self, check: &'static Check, unit: &Candidate<'_>, bounds: &Bounds) -> Vec<FactId> {
        let Some(searched) = &self.searched else { return depends_on(check, unit, self.survey, bounds).0 };
        let own = self.unit(searched, unit);
        let mut asked = asked_of(check, unit).all(bounds.reads.words()).all(bounds.open.words());
        for point in [&bounds.low_at, &bounds.high_at] {
            let moved = moved(point, self.survey);
            asked = asked.with(moved.len() as u64).all(moved.iter().flat_map(|(id, value)| [id.index() as u64, value.to_bits()]));
        }
        let asked = asked.0;
        let known = lock(&own).depends.find(asked, |set| self.said_of_set(searched, set));
        if let Some(known) = known {
            return known.to_vec();
        }
        let (found, reads) = depends_on(check, unit, self.survey, bounds);
        let set = lock(&searched.sets).number(&reads);
        lock(&own).depends.keep(asked, set, self.said(&reads), found.clone());
        found
    }
}

/// A check and the measures at a unit, as the beginning of what is asked of that unit. A figure may be named like a finding.
fn asked_of(check: &Check, unit: &Candidate<'_>) -> Folded {
    Folded::NOTHING.word(check.name).with(check.quick as usize as u64).with(unit.measures.word())
}

fn lock<T>(store: &Mutex<T>) -> MutexGuard<'_, T> {
    store.lock().unwrap_or_else(PoisonError::into_inner)
}

/// What a survey says of a fact, as a number: what it may be, and whether it stands in the survey.
fn said_of(survey: &Survey<'_>, id: FactId) -> u64 {
    let kind = |kind: u64| Folded::NOTHING.with(kind).with(u64::from(survey.is_assumed(id)));
    let all = |folded: Folded, values: &[f64]| folded.with(values.len() as u64).all(values.iter().map(|v| v.to_bits()));
    match survey.domain(id) {
        Domain::Fixed(value) => all(kind(1), &[*value]),
        Domain::Between(low, high) => all(kind(2), &[*low, *high]),
        Domain::OneOf(values) => all(kind(3), values),
        Domain::OpenWords(values) => all(kind(4), values),
        Domain::Times(base, low, high) => all(kind(5).with(base.index() as u64), &[*low, *high]),
        Domain::TimesMotors(low, high) => all(kind(6), &[*low, *high]),
        // A rule is the fact's own and changes with nothing.
        Domain::By(_) => kind(7),
        Domain::Absent => kind(8),
        Domain::Open => kind(9),
    }
    .0
}
