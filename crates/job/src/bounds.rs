//! The lowest and highest margin of a check over everything the survey leaves open.
//!
//! A check is a function from resolved facts to a margin. Here it is evaluated over the box of those uncertain
//! facts that it reads, and no others: facts with a declared direction stand at their worse end for the lowest
//! margin and at their better end for the highest; listed facts (possibilities, words) are all tried; the rest is
//! searched at its corners, at low-discrepancy samples, and along each axis from the best point found.

use calc::working::Silent;
use findings::candidate::Candidate;
use findings::check::{Check, Outcome, Way};
use findings::facts::{FactSet, Point, Stop, Survey};
use plant::survey::FactId;

/// Margins this close below zero count as holding: rounding in the last digits of exact cover.
pub const ROUNDING: f64 = 1e-9;

/// Up to this many facts without direction, every corner of their box is tried.
const CORNER_FACTS: usize = 5;
/// Samples per fact without direction.
const SAMPLES_PER_FACT: usize = 12;
/// The same while screening.
const SCREEN_SAMPLES_PER_FACT: usize = 4;
/// Most combinations of listed values that are tried; beyond it they are sampled.
const LISTED_COMBINATIONS: usize = 256;
/// Rounds in which a newly read fact may widen the box.
const ROUNDS: usize = 4;
/// Parts of an axis whose ends are tried before the search closes in: a margin may jump where a table changes its row, so that it has
/// more than one hill.
const AXIS_PARTS: usize = 12;
/// Steps of the search within the two parts around the best end (golden section): narrows to 0.6 % of the range.
const AXIS_STEPS: usize = 7;

/// What may be said of a fault from what is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Verdict {
    /// It cannot arise, whatever the rest turns out to be.
    Holds,
    /// It depends on what is not known yet.
    Depends,
    /// It arises, whatever the rest turns out to be.
    Fails,
}

impl Verdict {
    /// As in JSON.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Holds => "holds",
            Self::Depends => "depends",
            Self::Fails => "fails",
        }
    }
}

/// Lowest and highest margin with the completions that give them.
#[derive(Clone, Debug)]
pub struct Bounds {
    /// Lowest margin; `None` where it cannot be computed.
    pub low: Option<f64>,
    /// Highest margin; `None` where it cannot be computed.
    pub high: Option<f64>,
    /// Completion of the lowest margin, or one at which the check stops.
    pub low_at: Point,
    /// Completion of the highest margin.
    pub high_at: Point,
    /// Facts that the check read anywhere.
    pub reads: FactSet,
    /// Facts among them that may not be assumed.
    pub open: FactSet,
    /// Why no margin could be computed at some completion, where that is not an open fact.
    pub stopped: Option<Stop>,
    /// At some completion the fault cannot arise.
    pub not_here_somewhere: bool,
    /// At some completion an open fact kept the margin from being computed.
    pub unanswered_somewhere: bool,
}

impl Bounds {
    /// The verdict: *holds* and *fails* only when every completion agrees. An open fact keeps a fault from being ruled out,
    /// whatever the margins say.
    #[must_use]
    pub fn verdict(&self) -> Verdict {
        if self.stopped.is_some() || self.unanswered_somewhere {
            return Verdict::Depends;
        }
        if self.high.is_some_and(|high| high < -ROUNDING) && !self.not_here_somewhere {
            return Verdict::Fails;
        }
        if self.margins_hold() && self.open.is_empty() { Verdict::Holds } else { Verdict::Depends }
    }

    /// True when the margin holds at every completion and only facts that may not be assumed keep the verdict open.
    #[must_use]
    pub fn only_open(&self) -> bool {
        self.stopped.is_none() && !self.unanswered_somewhere && !self.open.is_empty() && self.margins_hold()
    }

    /// The lowest margin, where it is known over the whole range: not where some completion gave none.
    #[must_use]
    pub fn low_margin(&self) -> Option<f64> {
        self.low.filter(|_| self.stopped.is_none() && !self.unanswered_somewhere)
    }

    /// The highest margin, where it is known over the whole range.
    #[must_use]
    pub fn high_margin(&self) -> Option<f64> {
        self.high.filter(|_| self.stopped.is_none() && !self.unanswered_somewhere)
    }

    fn margins_hold(&self) -> bool {
        self.low.map_or(self.not_here_somewhere, |low| low >= -ROUNDING)
    }
}

/// How far to search.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Depth {
    /// Ends as soon as the verdict is known to depend, so that its bounds may be too narrow, and looks at fewer samples of facts
    /// without direction, without refining them. For sorting and counting many candidates; what is shown is searched in full.
    Screen,
    /// The whole search.
    Full,
}

/// The search for one check and one candidate.
struct Search<'s, 'c> {
    depth: Depth,
    check: &'static Check,
    unit: &'s Candidate<'c>,
    survey: &'s Survey<'s>,
    bounds: Bounds,
}

impl Search<'_, '_> {
    /// Evaluates at a point and keeps it if it is the lowest or highest so far.
    fn try_at(&mut self, point: &Point) -> Option<f64> {
        let mut reader = self.survey.at(point);
        let outcome = (self.check.quick)(&mut reader, self.unit, &mut Silent);
        self.bounds.reads.extend(reader.reads());
        self.bounds.open.extend(reader.open());
        match outcome {
            Ok(Outcome::Margin(margin)) if !margin.is_nan() => {
                if self.bounds.low.is_none_or(|low| margin < low) {
                    self.bounds.low = Some(margin);
                    self.bounds.low_at.clone_from(point);
                }
                if self.bounds.high.is_none_or(|high| margin > high) {
                    self.bounds.high = Some(margin);
                    self.bounds.high_at.clone_from(point);
                }
                Some(margin)
            }
            Ok(Outcome::NotHere) => {
                self.bounds.not_here_somewhere = true;
                None
            }
            Ok(Outcome::Margin(_)) => {
                self.stop(Stop::Refused("the margin is not a number".into()));
                None
            }
            Err(Stop::Open(id)) => {
                self.bounds.open.insert(id);
                self.bounds.unanswered_somewhere = true;
                None
            }
            Err(stop) => {
                self.stop(stop);
                None
            }
        }
    }

    fn stop(&mut self, stop: Stop) {
        self.bounds.stopped.get_or_insert(stop);
    }

    /// The uncertain facts read so far.
    fn read_uncertain(&self) -> FactSet {
        self.bounds.reads.both(self.survey.uncertain_set())
    }

    /// True when a screening knows enough: some completion fails or gives no answer, and none can take that back.
    fn enough(&self) -> bool {
        let b = &self.bounds;
        let both_ways = b.low.is_some_and(|low| low < -ROUNDING) && (b.not_here_somewhere || b.high.is_some_and(|high| high >= -ROUNDING));
        self.depth == Depth::Screen && (both_ways || b.unanswered_somewhere || b.stopped.is_some())
    }

    /// Covers the box of `facts`.
    fn cover(&mut self, facts: &FactSet) {
        let mut listed: Vec<(usize, usize)> = Vec::new();
        let mut free: Vec<usize> = Vec::new();
        let (mut worst, mut best) = (self.survey.middle(), self.survey.middle());
        for id in facts.iter() {
            let Some(at) = self.survey.place_of(id) else { continue };
            match (self.survey.domain(id).listed(), self.check.way(id, self.unit.measures)) {
                (Some(count), _) => listed.push((at, count)),
                (None, Some(way)) => {
                    let (low, high) = if way == Way::Up { (0.0, 1.0) } else { (1.0, 0.0) };
                    worst.set(at, low);
                    best.set(at, high);
                }
                (None, None) => free.push(at),
            }
        }
        let combinations =
            listed.iter().try_fold(1usize, |product, (_, count)| product.checked_mul(*count).filter(|p| *p <= LISTED_COMBINATIONS));
        for combination in 0..combinations.unwrap_or(LISTED_COMBINATIONS) {
            let mut rest = combination;
            for (order, (at, count)) in listed.iter().enumerate() {
                let index = if combinations.is_some() { rest % count } else { sampled(combination, order, *count) };
                rest /= count;
                #[expect(clippy::cast_precision_loss, reason = "lists are short")]
                let index = index as f64;
                worst.set(*at, index);
                best.set(*at, index);
            }
            self.cover_free(&mut worst, &free);
            self.cover_free(&mut best, &free);
            if self.enough() {
                return;
            }
        }
        if combinations.is_none() {
            self.change_listed(&listed);
        }
    }

    /// From the lowest and the highest margin found, changes one listed fact after the other, twice over: among sampled combinations the
    /// extreme one need not be.
    fn change_listed(&mut self, listed: &[(usize, usize)]) {
        for highest in [false, true] {
            for (at, count) in listed.iter().chain(listed) {
                let mut point = if highest { self.bounds.high_at.clone() } else { self.bounds.low_at.clone() };
                for index in 0..*count {
                    #[expect(clippy::cast_precision_loss, reason = "lists are short")]
                    point.set(*at, index as f64);
                    self.try_at(&point);
                }
            }
        }
    }

    /// Tries what the facts without direction may do, the others standing where `point` has them.
    fn cover_free(&mut self, point: &mut Point, free: &[usize]) {
        if free.is_empty() {
            self.try_at(point);
            return;
        }
        if free.len() <= CORNER_FACTS {
            for corner in 0..1usize << free.len() {
                for (bit, at) in free.iter().enumerate() {
                    point.set(*at, if corner >> bit & 1 == 1 { 1.0 } else { 0.0 });
                }
                self.try_at(point);
                if self.enough() {
                    return;
                }
            }
        }
        let mut lowest: Option<(f64, Point)> = None;
        let mut highest: Option<(f64, Point)> = None;
        let samples = if self.depth == Depth::Screen { SCREEN_SAMPLES_PER_FACT } else { SAMPLES_PER_FACT };
        for sample in 0..samples * free.len() {
            for (order, at) in free.iter().enumerate() {
                point.set(*at, low_discrepancy(sample, order));
            }
            if self.enough() {
                return;
            }
            if let Some(margin) = self.try_at(point) {
                if lowest.as_ref().is_none_or(|(m, _)| margin < *m) {
                    lowest = Some((margin, point.clone()));
                }
                if highest.as_ref().is_none_or(|(m, _)| margin > *m) {
                    highest = Some((margin, point.clone()));
                }
            }
        }
        if self.depth == Depth::Screen {
            return;
        }
        for (start, sign) in [(lowest, 1.0), (highest, -1.0)] {
            if let Some((_, mut from)) = start {
                for at in free {
                    self.refine(&mut from, *at, sign);
                }
            }
        }
    }

    /// Search for the least `sign · margin` along one axis: evenly over all of it, then by golden section around the best.
    fn refine(&mut self, point: &mut Point, at: usize, sign: f64) {
        const GOLDEN: f64 = 0.618_033_988_749_894_8;
        let mut value = |search: &mut Self, x: f64| {
            point.set(at, x);
            search.try_at(point).map_or(f64::INFINITY, |m| sign * m)
        };
        #[expect(clippy::cast_precision_loss, reason = "a handful of parts")]
        let end = |part: usize| part as f64 / AXIS_PARTS as f64;
        let tried: Vec<f64> = (0..=AXIS_PARTS).map(|part| value(self, end(part))).collect();
        let best = (0..=AXIS_PARTS).min_by(|a, b| tried[*a].total_cmp(&tried[*b])).unwrap_or(0);
        let (mut a, mut b) = (end(best.saturating_sub(1)), end((best + 1).min(AXIS_PARTS)));
        let (mut c, mut d) = (b - GOLDEN * (b - a), a + GOLDEN * (b - a));
        let (mut at_c, mut at_d) = (value(self, c), value(self, d));
        for _ in 0..AXIS_STEPS {
            if at_c < at_d {
                (b, d, at_d) = (d, c, at_c);
                c = b - GOLDEN * (b - a);
                at_c = value(self, c);
            } else {
                (a, c, at_c) = (c, d, at_d);
                d = a + GOLDEN * (b - a);
                at_d = value(self, d);
            }
        }
        let (found, least) = if at_c < at_d { (c, at_c) } else { (d, at_d) };
        value(self, if least < tried[best] { found } else { end(best) });
    }
}

/// Index into a list of `count` at a sampled combination: bits mixed so that no two lists move together (the mixer of Steele, Lea and
/// Flood's splittable generator, 2014; from memory).
fn sampled(combination: usize, order: usize, count: usize) -> usize {
    let bits = (combination as u64 + 1).wrapping_mul(0x9E37_79B9_7F4A_7C15) ^ (order as u64 + 1).wrapping_mul(0xD1B5_4A32_D192_ED03);
    let bits = (bits ^ bits >> 30).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    let bits = (bits ^ bits >> 27).wrapping_mul(0x94D0_49BB_1331_11EB);
    #[expect(clippy::cast_possible_truncation, reason = "the remainder of a short list's length")]
    let index = ((bits ^ bits >> 31) % count.max(1) as u64) as usize;
    index
}

/// Sample `index` of an additive recurrence with irrational steps (Roberts' generalisation of the golden ratio, d = 8).
fn low_discrepancy(index: usize, dimension: usize) -> f64 {
    // 1/g, 1/g² … with g the root of x⁹ = x + 1.
    const STEP: f64 = 0.926_580_063_2;
    #[expect(
        clippy::cast_precision_loss,
        clippy::cast_possible_truncation,
        clippy::cast_possible_wrap,
        reason = "a few hundred samples of a few dozen facts"
    )]
    let x = 0.5 + (index as f64 + 1.0) * STEP.powi(dimension as i32 % 24 + 1) * (1.0 + (dimension / 24) as f64);
    x.fract()
}

/// Lowest and highest margin of a check for a candidate. `hint` are facts that the check is known to read (from another
/// candidate of the same position): with it, most checks need two evaluations.
#[must_use]
pub fn bounds(check: &'static Check, unit: &Candidate<'_>, survey: &Survey<'_>, hint: &FactSet, depth: Depth) -> Bounds {
    let middle = survey.middle();
    let mut search = Search {
        depth,
        check,
        unit,
        survey,
        bounds: Bounds {
            low: None,
            high: None,
            low_at: middle.clone(),
            high_at: middle.clone(),
            reads: FactSet::default(),
            open: FactSet::default(),
            stopped: None,
            not_here_somewhere: false,
            unanswered_somewhere: false,
        },
    };
    let mut covered = hint.both(survey.uncertain_set());
    if covered.is_empty() {
        search.try_at(&middle);
        covered = search.read_uncertain();
    }
    for _ in 0..ROUNDS {
        search.cover(&covered);
        let seen = search.read_uncertain();
        if seen.is_within(&covered) || search.enough() {
            break;
        }
        covered.extend(&seen);
    }
    search.bounds
}

/// Which uncertain facts matter to an unsettled check: moving them from where they stand at one extreme to where they stand
/// at the other changes the margin. Open facts always matter.
///
/// With every fact that was read to find it out.
pub(crate) fn depends_on(check: &'static Check, unit: &Candidate<'_>, survey: &Survey<'_>, bounds: &Bounds) -> (Vec<FactId>, FactSet) {
    let mut reads = bounds.reads;
    reads.extend(&bounds.open);
    let margin_at = |point: &Point, reads: &mut FactSet| {
        let mut reader = survey.at(point);
        let outcome = (check.quick)(&mut reader, unit, &mut Silent);
        reads.extend(reader.reads());
        match outcome {
            Ok(Outcome::Margin(margin)) => Some(margin),
            Ok(Outcome::NotHere) => Some(f64::INFINITY),
            Err(_) => None,
        }
    };
    // A fact that follows from others matters as they do: reading it takes their range away.
    let follows = |id: FactId, reads: &mut FactSet| {
        let mut at = |point: &Point| {
            let mut reader = survey.at(point);
            let value = reader.raw(id).ok();
            reads.extend(reader.reads());
            value
        };
        survey.domain(id).is_derived() && at(&bounds.low_at) != at(&bounds.high_at)
    };
    let matters = |id: FactId, reads: &mut FactSet| {
        let Some(at) = survey.place_of(id) else { return false };
        if follows(id, reads) {
            return true;
        }
        let ends: Vec<f64> = match survey.domain(id).listed() {
            #[expect(clippy::cast_precision_loss, reason = "lists are short")]
            Some(count) => (0..count).map(|i| i as f64).collect(),
            None => vec![0.0, 1.0],
        };
        [&bounds.low_at, &bounds.high_at].into_iter().any(|from| {
            let here = margin_at(from, reads);
            ends.iter().any(|end| {
                let mut moved = from.clone();
                moved.set(at, *end);
                margin_at(&moved, reads) != here
            })
        })
    };
    let candidates = bounds.reads.both(survey.uncertain_set());
    let mut ids: Vec<FactId> = candidates.iter().filter(|id| bounds.open.contains(*id) || matters(*id, &mut reads)).collect();
    ids.extend(bounds.open.iter().filter(|id| !candidates.contains(*id)));
    ids.sort_unstable();
    (ids, reads)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sampled_lists_move_by_themselves() {
        // Every pair of words of any two lists of two to four words comes up among the samples; words of longer lists are changed singly
        // afterwards.
        for (first, second) in (0..16usize).flat_map(|a| (0..a).map(move |b| (b, a))) {
            for count in 2..=4 {
                let seen: std::collections::BTreeSet<(usize, usize)> =
                    (0..LISTED_COMBINATIONS).map(|c| (sampled(c, first, count), sampled(c, second, count))).collect();
                assert_eq!(seen.len(), count * count, "lists {first} and {second} of {count}");
            }
        }
    }
}
