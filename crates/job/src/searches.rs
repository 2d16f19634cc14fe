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

use std::cell::RefCell;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use findings::candidate::Candidate;
use findings::check::Check;
use findings::facts::{Domain, FactSet, Point, Stop, Survey, WiredUnits};
use plant::position::Position;
use plant::shared::Shared;
use plant::survey::{FACT_IDS, FactId};
use rustc_hash::FxHashMap;

use crate::bounds::{Bounds, Depth, bounds, depends_on};
use crate::cutover::WireWork;

/// Positions whose searches are kept: those that people work on, not a whole plant.
pub const POSITIONS: usize = 12;
/// What may be asked of one position until all is forgotten: bounds memory, not correctness. A position of a few hundred candidates
/// asks some ten thousand things.
const ASKED: usize = 60_000;
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
    margins: Mutex<Store<Kept>>,
    /// What findings hang on.
    depends: Mutex<Store<Vec<FactId>>>,
    /// What becomes of its conductors: a frame is for one list of them.
    wired: WiredUnits,
    counted: Mutex<FxHashMap<u64, Counted>>,
}

/// What the change-over to a unit counts.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Counted {
    /// Settings to load; `None` where no sheet of them can be made.
    pub(crate) settings: Option<usize>,
    /// Work on conductors; `None` where no crosswalk can be made.
    pub(crate) wires: Option<WireWork>,
}

/// What was found, by what was asked and by what the survey says of the facts that were read on the way.
#[derive(Debug)]
struct Store<T> {
    /// Sets of facts, each once, and their numbers.
    sets: Vec<FactSet>,
    numbers: FxHashMap<FactSet, usize>,
    found: FxHashMap<u64, Vec<Found<T>>>,
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
        Self { sets: Vec::new(), numbers: Default::default(), found: Default::default() }
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
    fn find(&mut self, asked: u64, mut said: impl FnMut(usize, &FactSet) -> u64) -> Option<Arc<T>> {
        let found = self.found.get_mut(&asked)?;
        let at = found.iter().position(|found| self.sets.get(found.set).is_some_and(|facts| said(found.set, facts) == found.said))?;
        // What was asked for last is forgotten last.
        found.get_mut(at..)?.rotate_left(1);
        found.last().map(|found| Arc::clone(&found.what))
    }

    fn keep(&mut self, asked: u64, facts: &FactSet, said: u64, what: T) {
        if self.found.len() >= ASKED {
            *self = Self::default();
        }
        let next = self.sets.len();
        let set = *self.numbers.entry(*facts).or_insert(next);
        if set == next {
            self.sets.push(*facts);
        }
        let found = self.found.entry(asked).or_default();
        if found.len() >= STATES {
            found.remove(0);
        }
        found.push(Found { set, said, what: Arc::new(what) });
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
    said: Vec<u64>,
    /// The same of the sets of facts that were asked for, by their numbers.
    of_margins: RefCell<Vec<Option<u64>>>,
    of_depends: RefCell<Vec<Option<u64>>>,
    searched: Option<Arc<Searched>>,
}

impl<'s, 'p> Margins<'s, 'p> {
    /// A survey of a joined position, beside what is kept of it.
    #[must_use]
    pub fn of(survey: &'s Survey<'p>, searches: Option<&Searches>) -> Self {
        let searched = searches.map(|s| s.of(survey.position()));
        let count = if searched.is_some() { FACT_IDS } else { 0 };
        #[expect(clippy::cast_possible_truncation, reason = "fewer than a thousand facts")]
        let said = (0..count).map(|i| said_of(survey, FactId(i as u16))).collect();
        Self { survey, said, of_margins: RefCell::default(), of_depends: RefCell::default(), searched }
    }

    /// The same survey with one fact read (see [`Survey::with_reading`]).
    pub(crate) fn with<'o>(&self, survey: &'o Survey<'p>, read: FactId) -> Margins<'o, 'p> {
        let mut said = self.said.clone();
        if let Some(own) = said.get_mut(read.index()) {
            *own = said_of(survey, read);
        }
        let searched = self.searched.clone();
        Margins { survey, said, of_margins: RefCell::default(), of_depends: RefCell::default(), searched }
    }

    /// What the survey says of these facts together.
    fn said(&self, facts: &FactSet) -> u64 {
        Folded::NOTHING.all(facts.iter().map(|id| self.said.get(id.index()).copied().unwrap_or_default())).0
    }

    /// The same of the set of that number.
    fn said_of_set(&self, known: &RefCell<Vec<Option<u64>>>, set: usize, facts: &FactSet) -> u64 {
        let mut known = known.borrow_mut();
        if known.len() <= set {
            known.resize(set + 1, None);
        }
        known.get_mut(set).map_or_else(|| self.said(facts), |known| *known.get_or_insert_with(|| self.said(facts)))
    }

    /// Lowest and highest margin of a check for a candidate: as [`bounds`], looked up where it was searched before.
    pub(crate) fn bounds(&self, check: &'static Check, unit: &Candidate<'_>, hint: &FactSet, depth: Depth) -> Bounds {
        let Some(searched) = &self.searched else { return bounds(check, unit, self.survey, hint, depth) };
        let asked = asked_of(check, unit).all(hint.words()).with(u64::from(depth == Depth::Full)).0;
        let known = lock(&searched.margins).find(asked, |set, facts| self.said_of_set(&self.of_margins, set, facts));
        if let Some(known) = known {
            return known.bounds(self.survey);
        }
        let found = bounds(check, unit, self.survey, hint, depth);
        // What was known to be read widens the box that is searched, whether this candidate reads it or not.
        let mut facts = found.reads;
        facts.extend(hint);
        let kept = Kept::of(&found, self.survey);
        lock(&searched.margins).keep(asked, &facts, self.said(&facts), kept);
        found
    }

    /// What the change-over to a unit counts, which rests on these numbers of the survey and on no others; looked up where it was counted
    /// before.
    pub(crate) fn counted(&self, unit: &Candidate<'_>, rests_on: &[Option<f64>], count: impl FnOnce() -> Counted) -> Counted {
        let Some(searched) = &self.searched else { return count() };
        let numbers = rests_on.iter().flat_map(|number| [u64::from(number.is_some()), number.map_or(0, f64::to_bits)]);
        let asked = unit_of(unit, Folded::NOTHING).all(numbers).0;
        let known = searched.counted.lock().unwrap_or_else(PoisonError::into_inner).get(&asked).copied();
        known.unwrap_or_else(|| {
            let found = count();
            let mut counted = searched.counted.lock().unwrap_or_else(PoisonError::into_inner);
            if counted.len() >= ASKED {
                counted.clear();
            }
            counted.insert(asked, found);
            found
        })
    }

    /// Which uncertain facts matter to an unsettled check: as `bounds::depends_on` says, looked up where it was found out before.
    pub(crate) fn depends_on(&self, check: &'static Check, unit: &Candidate<'_>, bounds: &Bounds) -> Vec<FactId> {
        let Some(searched) = &self.searched else { return depends_on(check, unit, self.survey, bounds).0 };
        let mut asked = asked_of(check, unit).all(bounds.reads.words()).all(bounds.open.words());
        for point in [&bounds.low_at, &bounds.high_at] {
            let moved = moved(point, self.survey);
            asked = asked.with(moved.len() as u64).all(moved.iter().flat_map(|(id, value)| [id.index() as u64, value.to_bits()]));
        }
        let asked = asked.0;
        let known = lock(&searched.depends).find(asked, |set, facts| self.said_of_set(&self.of_depends, set, facts));
        if let Some(known) = known {
            return known.to_vec();
        }
        let (found, reads) = depends_on(check, unit, self.survey, bounds);
        lock(&searched.depends).keep(asked, &reads, self.said(&reads), found.clone());
        found
    }
}

/// A check and a candidate with its measures, as the beginning of what is asked. A figure may be named like a finding.
fn asked_of(check: &Check, unit: &Candidate<'_>) -> Folded {
    unit_of(unit, Folded::NOTHING.word(check.name).with(check.quick as usize as u64)).with(unit.measures.word())
}

/// A unit, without its measures.
fn unit_of(unit: &Candidate<'_>, folded: Folded) -> Folded {
    let rating = unit.rating;
    folded.word(&unit.series.id).word(&rating.code).word(&rating.class).word(&rating.frame).with(rating.duty as u64)
}

fn lock<T>(store: &Mutex<Store<T>>) -> MutexGuard<'_, Store<T>> {
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
