//! The plan drawn many times over: the chance that all is done inside the window, and the latest moment to turn back.
//!
//! Numbers are drawn by run, by task and by direction from a fixed seed, not one behind the other: a task that is added changes no
//! other task's draw, and the same plan gives the same answer everywhere.
//!
//! **Latest moment to turn back.** Every task has a step back. In one run, whoever turns at time `t` undoes all that was begun by then,
//! in reverse order, by the same people; that takes `B(t)`, which only grows. The way back fits as long as `t + B(t) ≤ W`, so that each
//! run has one last moment. The answer is the moment up to which the wanted share of the runs still fits.

use plant::quantity::{Ratio, Time};

use super::estimate::Estimate;
use super::network::Network;
use crate::registry::Refusal;
use crate::sources::{DEFINITION, Knowledge, Source};
use crate::working::{Recorder, Step};

/// How chances are found.
pub const MONTE_CARLO: Source = Source::new("simulation (Monte Carlo) with a fixed seed", Knowledge::Derived);
/// How numbers are drawn.
pub const SPLIT_MIX: Source = Source::new(
    "Steele, Lea & Flood, Fast Splittable Pseudorandom Number Generators, OOPSLA 2014 (its mixing function)",
    Knowledge::FromMemory,
);

/// Runs of a simulation unless asked otherwise: a chance is then known to less than one per cent (one standard error).
pub const RUNS: u32 = 4_000;
/// The seed of every simulation unless asked otherwise.
pub const SEED: u64 = 20_260_101;

/// A task's work, forward and back.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Work {
    /// What names its draws: the same number, the same draws, wherever it stands in the list.
    pub key: u64,
    /// Doing it.
    pub forward: Estimate,
    /// Undoing it, once begun.
    pub back: Estimate,
}

/// How far a task has got.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub enum Progress {
    /// Not known to be done.
    #[default]
    Ahead,
    /// Done at this time.
    Done(Time),
}

/// What is asked of a plan.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Question<'a> {
    /// Length of the window.
    pub window: Time,
    /// The share of cases in which the way back has to fit, and in which the finish is told as likely.
    pub confidence: Ratio,
    /// The time since the window began.
    pub now: Time,
    /// How far each task has got; empty when nothing is done yet.
    pub progress: &'a [Progress],
    /// How many runs.
    pub runs: u32,
    /// The seed.
    pub seed: u64,
}

impl Question<'_> {
    /// Before anything is begun.
    #[must_use]
    pub const fn before(window: Time, confidence: Ratio) -> Self {
        Self { window, confidence, now: Time::ZERO, progress: &[], runs: RUNS, seed: SEED }
    }
}

/// What the runs say.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Forecast {
    /// Share of runs that end inside the window.
    pub chance: Ratio,
    /// Mean finish.
    pub mean: Time,
    /// Mean of how much longer than the window it takes; runs that end inside count as nothing.
    pub overrun: Time,
    /// Finish that a tenth of the runs stay below.
    pub early: Time,
    /// Finish that half of the runs stay below.
    pub middle: Time,
    /// Finish that the wanted share of runs stays below.
    pub late: Time,
    /// Until when one can turn back in the wanted share of runs; below zero when the way back does not fit even from the first step on.
    pub turn_back: Time,
    /// How long the way back takes from now, in the wanted share of runs.
    pub way_back: Time,
    /// Share of runs in which the way back from now still fits.
    pub back_fits: Ratio,
    /// Share of runs in which each task lies on the longest way.
    pub critical: Vec<Ratio>,
    /// Finish of each task that half of the runs stay below.
    pub finishes: Vec<Time>,
    /// Tasks that are taken to be under way now.
    pub under_way: Vec<usize>,
    /// Tasks under way for longer than their longest estimate; their whole time is counted anew from now.
    pub overdue: Vec<usize>,
    /// How many runs.
    pub runs: u32,
}

impl Forecast {
    /// Whether the way back still fits with the wanted confidence for whoever turns now, before anything more is begun.
    #[must_use]
    pub fn can_turn_back(&self, now: Time) -> bool {
        now <= self.turn_back
    }
}

/// Draws the plan many times over.
///
/// Units: time since the window began. Tasks are independent of each other but for what the network says; times follow the
/// triangular distribution. A task under way is drawn among the cases that last longer than it has lasted; one past its longest
/// estimate is counted whole again from now. All work begun has to be undone whole, and nothing that is `Done` is drawn.
///
/// # Errors
/// When there is not one work for each task, no window, a confidence outside 50 % to 99.9 %, fewer than 100 or more than 1,000,000
/// runs, or a task done before one that it waits for or after now.
///
/// Source: simulation; the distribution and the reckoning of the way back are stated in this file.
/// ```
/// use calc::plan::{estimate::Estimate, network::{Network, Node}, simulate::{Question, Work, forecast}};
/// use calc::working::Silent;
/// use plant::quantity::{Ratio, Time};
/// let hour = Estimate::exactly(Time::hours(1.0));
/// let chain = Network::new(&[Node::default(), Node { after: vec![0], busy: vec![] }]).unwrap();
/// let work = [Work { key: 1, forward: hour, back: hour }, Work { key: 2, forward: hour, back: hour }];
/// let told = forecast(&chain, &work, Question::before(Time::hours(3.0), Ratio::percent(90.0)), &mut Silent).unwrap();
/// // Turning before the second task begins undoes one hour; at 1 h it begins, and then there are two hours to undo.
/// assert_eq!((told.chance, told.late, told.turn_back), (Ratio::percent(100.0), Time::hours(2.0), Time::hours(1.0)));
/// ```
pub fn forecast<R: Recorder>(network: &Network, work: &[Work], question: Question<'_>, rec: &mut R) -> Result<Forecast, Refusal> {
    let state = State::of(network, work, question)?;
    let count = network.len();
    let mut finishes = Vec::with_capacity(question.runs as usize);
    let mut turns = Vec::with_capacity(question.runs as usize);
    let mut backs = Vec::with_capacity(question.runs as usize);
    let mut critical = vec![0u32; count];
    let mut each: Vec<Vec<f64>> = vec![Vec::with_capacity(question.runs as usize); count];
    let (mut inside, mut fits, mut sum, mut over) = (0u32, 0u32, 0.0, 0.0);
    let mut run = Run::new(count);
    for number in 0..question.runs {
        run.draw(&state, number);
        let end = run.finish.iter().copied().fold(0.0, f64::max);
        sum += end;
        over += (end - question.window.in_s()).max(0.0);
        inside += u32::from(end <= question.window.in_s());
        run.follow_critical(network, end, &mut critical);
        let turn = run.last_turn(&state);
        let back = run.back_from(&state, question.now.in_s());
        fits += u32::from(question.now.in_s() + back <= question.window.in_s());
        finishes.push(end);
        turns.push(turn);
        backs.push(back);
        for (task, times) in each.iter_mut().enumerate() {
            times.push(run.finish[task]);
        }
    }
    [&mut finishes, &mut turns, &mut backs].into_iter().for_each(|v| v.sort_unstable_by(f64::total_cmp));
    each.iter_mut().for_each(|v| v.sort_unstable_by(f64::total_cmp));
    let share = |n: u32| Ratio::of_one(f64::from(n) / f64::from(question.runs));
    let wanted = question.confidence.in_of_one();
    let told = Forecast {
        chance: share(inside),
        mean: Time::s(sum / f64::from(question.runs)),
        overrun: Time::s(over / f64::from(question.runs)),
        early: Time::s(at_most(&finishes, 0.1)),
        middle: Time::s(at_most(&finishes, 0.5)),
        late: Time::s(at_most(&finishes, wanted)),
        turn_back: Time::s(at_least(&turns, wanted)),
        way_back: Time::s(at_most(&backs, wanted)),
        back_fits: share(fits),
        critical: critical.into_iter().map(share).collect(),
        finishes: each.iter().map(|v| Time::s(at_most(v, 0.5))).collect(),
        under_way: state.under_way(),
        overdue: state.overdue(),
        runs: question.runs,
    };
    record(&told, question, rec);
    Ok(told)
}

fn record<R: Recorder>(told: &Forecast, question: Question<'_>, rec: &mut R) {
    rec.step(|| {
        Step::new("P", "share of runs that end inside the window", "n(T ≤ W)/n", &MONTE_CARLO)
            .with("W", question.window)
            .gives(told.chance)
            .note(format!("{} runs, seed {}, triangular distributions; one standard error is {}", told.runs, question.seed, {
                let p = told.chance.in_of_one();
                Ratio::of_one((p * (1.0 - p) / f64::from(told.runs)).sqrt())
            }))
    });
    rec.step(|| {
        Step::new("T_c", "finish that the wanted share of runs stays below", "", &MONTE_CARLO)
            .gives(told.late)
            .note(format!("wanted share {}", question.confidence))
    });
    rec.step(|| {
        Step::new("t_R", "latest moment to turn back", "max t: t + B(t) ≤ W", &DEFINITION)
            .with("W", question.window)
            .gives(told.turn_back)
            .note("in the wanted share of runs; B(t) undoes all that was begun by then; below zero: the way back never fits")
    });
}

/// The smallest of sorted values that a share of them does not exceed.
fn at_most(sorted: &[f64], share: f64) -> f64 {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, clippy::cast_precision_loss, reason = "an index below the length")]
    let index = ((share * sorted.len() as f64).ceil() as usize).saturating_sub(1);
    sorted.get(index.min(sorted.len().saturating_sub(1))).copied().unwrap_or(0.0)
}

/// The largest of sorted values that a share of them reaches.
fn at_least(sorted: &[f64], share: f64) -> f64 {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, clippy::cast_precision_loss, reason = "an index below the length")]
    let index = ((1.0 - share) * sorted.len() as f64 + 1e-9).floor() as usize;
    sorted.get(index.min(sorted.len().saturating_sub(1))).copied().unwrap_or(0.0)
}

/// What all runs share.
struct State<'a> {
    network: &'a Network,
    work: &'a [Work],
    question: Question<'a>,
    now: f64,
    done: Vec<Option<f64>>,
    /// For a task under way: how long it has lasted.
    lasted: Vec<Option<f64>>,
    /// Start that is known: of what is done or under way.
    begun: Vec<Option<f64>>,
}

impl<'a> State<'a> {
    fn of(network: &'a Network, work: &'a [Work], question: Question<'a>) -> Result<Self, Refusal> {
        let good = |sentence: &str| Err(Refusal::new(sentence));
        if work.len() != network.len() {
            return Err(Refusal::new(format!("{} tasks need as many works, not {}", network.len(), work.len())));
        }
        crate::checks::above_zero("the window", question.window)?;
        crate::checks::not_negative("the time since the window began", question.now)?;
        if !(0.5..=0.999).contains(&question.confidence.in_of_one()) {
            return Err(Refusal::new(format!("the wanted confidence lies between 50 % and 99.9 %, not at {}", question.confidence)));
        }
        if !(100..=1_000_000).contains(&question.runs) {
            return Err(Refusal::new(format!("a simulation has from 100 to 1,000,000 runs, not {}", question.runs)));
        }
        if !question.progress.is_empty() && question.progress.len() != network.len() {
            return good("the progress names each task once, or none at all");
        }
        let now = question.now.in_s();
        let mut state = Self {
            network,
            work,
            question,
            now,
            done: vec![None; work.len()],
            lasted: vec![None; work.len()],
            begun: vec![None; work.len()],
        };
        for (task, progress) in question.progress.iter().enumerate() {
            if let Progress::Done(at) = progress {
                if !(*at >= Time::ZERO && at.in_s() <= now) {
                    return Err(Refusal::new(format!("task {} is done at {at}, after now", task + 1)));
                }
                state.done[task] = Some(at.in_s());
            }
        }
        state.place_what_has_begun()?;
        Ok(state)
    }

    /// A task that nobody has ticked is taken to be under way as soon as everything before it is done: it may have to be undone.
    fn place_what_has_begun(&mut self) -> Result<(), Refusal> {
        for task in 0..self.work.len() {
            let before = self.network.before(task);
            let start = before.iter().try_fold(0.0, |latest: f64, b| self.done[*b].map(|at| latest.max(at)));
            match (start, self.done[task]) {
                (Some(start), Some(finish)) if start <= finish => self.begun[task] = Some(start),
                (_, Some(_)) => {
                    let open: Vec<String> = before
                        .iter()
                        .filter(|b| self.done[**b].is_none_or(|at| Some(at) > self.done[task]))
                        .map(|b| (b + 1).to_string())
                        .collect();
                    return Err(Refusal::new(format!("task {} is done before task {}, which comes first", task + 1, open.join(", "))));
                }
                (Some(start), None) if start < self.now => {
                    self.begun[task] = Some(start);
                    self.lasted[task] = Some(self.now - start);
                }
                _ => {}
            }
        }
        Ok(())
    }

    fn under_way(&self) -> Vec<usize> {
        (0..self.work.len()).filter(|t| self.lasted[*t].is_some()).collect()
    }

    fn overdue(&self) -> Vec<usize> {
        let over = |t: &usize| self.lasted[*t].is_some_and(|lasted| lasted >= self.work[*t].forward.most().in_s() && lasted > 0.0);
        (0..self.work.len()).filter(over).collect()
    }
}

/// One run; its room is used again for the next.
struct Run {
    start: Vec<f64>,
    finish: Vec<f64>,
    back: Vec<f64>,
    order: Vec<usize>,
    undone: Vec<f64>,
}

impl Run {
    fn new(count: usize) -> Self {
        Self {
            start: vec![0.0; count],
            finish: vec![0.0; count],
            back: vec![0.0; count],
            order: (0..count).collect(),
            undone: vec![0.0; count],
        }
    }

    fn draw(&mut self, state: &State<'_>, number: u32) {
        for (task, work) in state.work.iter().enumerate() {
            let (forward, back) = (unit(state.question.seed, number, work.key, 0), unit(state.question.seed, number, work.key, 1));
            self.back[task] = work.back.at(back).in_s();
            if let (Some(start), Some(finish)) = (state.begun[task], state.done[task]) {
                (self.start[task], self.finish[task]) = (start, finish);
                continue;
            }
            if let (Some(start), Some(lasted)) = (state.begun[task], state.lasted[task]) {
                let below = work.forward.share_below(Time::s(lasted));
                // What is past its longest estimate tells that the estimate was wrong; nothing says that it is about to end.
                let rest = if below < 1.0 {
                    (work.forward.at(below + forward * (1.0 - below)).in_s() - lasted).max(0.0)
                } else {
                    work.forward.at(forward).in_s()
                };
                (self.start[task], self.finish[task]) = (start, state.now + rest);
                continue;
            }
            let ready = state.network.before(task).iter().map(|b| self.finish[*b]).fold(state.now, f64::max);
            (self.start[task], self.finish[task]) = (ready, ready + work.forward.at(forward).in_s());
        }
    }

    /// Counts the tasks of one chain that ends with the run.
    fn follow_critical(&self, network: &Network, end: f64, counts: &mut [u32]) {
        let Some(mut task) = (0..self.finish.len()).find(|t| self.finish[*t] >= end) else { return };
        loop {
            counts[task] += 1;
            match network.before(task).iter().copied().find(|b| self.finish[*b] >= self.start[task]) {
                Some(before) => task = before,
                None => break,
            }
        }
    }

    /// Time to undo all that was begun by a moment.
    fn back_from(&mut self, state: &State<'_>, moment: f64) -> f64 {
        let mut whole: f64 = 0.0;
        self.undone.fill(0.0);
        for task in (0..self.start.len()).rev() {
            if self.start[task] > moment {
                continue;
            }
            let ready = self.undone[task] + self.back[task];
            whole = whole.max(ready);
            for before in state.network.before(task) {
                self.undone[*before] = self.undone[*before].max(ready);
            }
        }
        whole
    }

    /// The last moment at which the way back still fits. Room and way back only shrink and grow from one start to the next, so that
    /// the last start that may happen is found by halving.
    fn last_turn(&mut self, state: &State<'_>) -> f64 {
        let window = state.question.window.in_s();
        self.order.sort_unstable_by(|a, b| self.start[*a].total_cmp(&self.start[*b]));
        let (mut fits, mut fails) = (0, self.order.len());
        // Invariant: turning right after the first `fits` starts fits (none: nothing to undo); after the first `fails + 1` it does not.
        while fits < fails {
            let middle = fits + (fails - fits) / 2;
            let moment = self.start[self.order[middle]];
            if moment + self.back_from(state, moment) <= window { fits = middle + 1 } else { fails = middle }
        }
        match fits.checked_sub(1).map(|last| self.start[self.order[last]]) {
            Some(last) => {
                let next = self.order.get(fits).map_or(f64::INFINITY, |t| self.start[*t]);
                (window - self.back_from(state, last)).min(next)
            }
            // Not even the first step can be undone in time; how much is missing tells by how far.
            None => match self.order.first().map(|first| self.start[*first]) {
                Some(first) => (window - self.back_from(state, first)).min(first - 1.0),
                None => window,
            },
        }
    }
}

/// A number from 0 to 1 that belongs to a run, a task and a direction.
pub(crate) fn unit(seed: u64, run: u32, key: u64, direction: u64) -> f64 {
    let mixed =
        mix(mix(mix(seed ^ 0x9e37_79b9_7f4a_7c15).wrapping_add(u64::from(run)) ^ 0x6a09_e667_f3bc_c909).wrapping_add(key.rotate_left(17)))
            .wrapping_add(direction.wrapping_mul(0x9e37_79b9_7f4a_7c15));
    #[expect(clippy::cast_precision_loss, reason = "53 bits fit")]
    let unit = (mix(mixed) >> 11) as f64 / (1u64 << 53) as f64;
    unit
}

/// Spreads every bit over all.
const fn mix(mut z: u64) -> u64 {
    z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    z ^ (z >> 31)
}

/// A key for draws out of a name (FNV-1a).
#[must_use]
pub fn key_of(name: &str) -> u64 {
    name.bytes().fold(0xcbf2_9ce4_8422_2325, |hash, byte| (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3))
}
