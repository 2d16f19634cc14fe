//! Tasks in their order: what has to be done before what, and who or what does one thing at a time. The forward and the backward
//! pass, float, and the critical path.
//!
//! Who does one thing at a time (a crew, an isolation point) does its tasks in the order of the list. A rule that hands the next task
//! to whoever is free first would finish sooner now and then, but under such a rule a shorter task can end the whole later (Graham,
//! Bounds on Multiprocessing Timing Anomalies, 1969, from memory). With a fixed order a plan never gets longer by being quicker.

use plant::quantity::Time;

use crate::registry::Refusal;
use crate::sources::{DEFINITION, Knowledge, Source};
use crate::working::{Recorder, Step};

/// The two passes over a network of tasks.
pub const CRITICAL_PATH_METHOD: Source =
    Source::new("critical path method, Kelley & Walker, Critical-Path Planning and Scheduling, 1959", Knowledge::FromMemory);

/// Most tasks of a plan: a shutdown of many positions, not a program of years.
pub const TASKS: usize = 5_000;

/// A task's place among the others.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Node {
    /// Indices of tasks that have to be done first; all of them stand earlier in the list.
    pub after: Vec<usize>,
    /// Numbers of who and what is busy with it from start to end; each does one task at a time, in the order of the list.
    pub busy: Vec<usize>,
}

/// Tasks with everything that has to be done before each of them.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Network {
    before: Vec<Vec<usize>>,
}

/// When a task is done.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Timing {
    /// Earliest start.
    pub start: Time,
    /// Earliest finish.
    pub finish: Time,
    /// How much later it may start without making the whole later.
    pub float: Time,
}

/// A plan with one time per task.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Passes {
    /// One entry per task.
    pub tasks: Vec<Timing>,
    /// When all of them are done.
    pub finish: Time,
    /// Tasks without float, first to last, each begun when the one before it ends.
    pub critical: Vec<usize>,
}

/// Float below this counts as none: sums of a few hundred times, in seconds.
const NO_FLOAT: f64 = 1e-6;

impl Network {
    /// A network of tasks in the order in which who is needed twice does them.
    ///
    /// # Errors
    /// When a task waits for itself or for one that stands later, or there are too many.
    pub fn new(nodes: &[Node]) -> Result<Self, Refusal> {
        if nodes.len() > TASKS {
            return Err(Refusal::new(format!("{} tasks are more than {TASKS}", nodes.len())));
        }
        let mut last: std::collections::BTreeMap<usize, usize> = std::collections::BTreeMap::new();
        let mut before = Vec::with_capacity(nodes.len());
        for (index, node) in nodes.iter().enumerate() {
            if let Some(late) = node.after.iter().find(|a| **a >= index) {
                return Err(Refusal::new(format!(
                    "task {} waits for task {}, which does not stand before it in the list",
                    index + 1,
                    late + 1
                )));
            }
            let mut own = node.after.clone();
            own.extend(node.busy.iter().filter_map(|who| last.insert(*who, index)).filter(|other| *other != index));
            own.sort_unstable();
            own.dedup();
            before.push(own);
        }
        Ok(Self { before })
    }

    /// How many tasks.
    #[must_use]
    pub fn len(&self) -> usize {
        self.before.len()
    }

    /// Whether there are none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.before.is_empty()
    }

    /// What has to be done before a task: what it waits for, and what who does it does first.
    #[must_use]
    pub fn before(&self, task: usize) -> &[usize] {
        self.before.get(task).map_or(&[], Vec::as_slice)
    }

    /// Forward and backward pass.
    ///
    /// start = the latest finish of what comes before, finish = start + duration; latest finish = the earliest latest start of what
    /// comes after, float = latest start − start.
    ///
    /// # Errors
    /// When there is not one duration from zero up for each task.
    pub fn passes<R: Recorder>(&self, durations: &[Time], rec: &mut R) -> Result<Passes, Refusal> {
        let good = durations.len() == self.len() && durations.iter().all(|d| d.is_finite() && *d >= Time::ZERO);
        if !good {
            return Err(Refusal::new(format!("{} tasks need as many times from zero up", self.len())));
        }
        let mut tasks: Vec<Timing> = Vec::with_capacity(self.len());
        for (before, duration) in self.before.iter().zip(durations) {
            let start = before.iter().map(|b| tasks[*b].finish).fold(Time::ZERO, Time::max);
            tasks.push(Timing { start, finish: start + *duration, float: Time::ZERO });
        }
        let finish = tasks.iter().map(|t| t.finish).fold(Time::ZERO, Time::max);
        let mut latest = vec![finish; self.len()];
        for index in (0..self.len()).rev() {
            let start = latest[index] - durations[index];
            tasks[index].float = (start - tasks[index].start).max(Time::ZERO);
            for before in &self.before[index] {
                latest[*before] = latest[*before].min(start);
            }
        }
        let critical = self.critical(&tasks, finish);
        rec.step(|| {
            let path: Vec<String> = critical.iter().map(|t| (t + 1).to_string()).collect();
            Step::new("T", "when all is done, along the longest way through the tasks", "Σ t", &CRITICAL_PATH_METHOD)
                .with(
                    "t",
                    critical.iter().map(|t| plant::quantity::digits(durations[*t].in_minutes(), 4)).collect::<Vec<_>>().join(" + ")
                        + " min",
                )
                .gives(finish)
                .note(format!("tasks {}", path.join(" – ")))
        });
        Ok(Passes { tasks, finish, critical })
    }

    /// One unbroken chain of tasks without float that ends when all is done.
    fn critical(&self, tasks: &[Timing], finish: Time) -> Vec<usize> {
        let ends = |index: &usize, at: Time| (tasks[*index].finish - at).abs().in_s() <= NO_FLOAT;
        let mut path: Vec<usize> = (0..tasks.len()).find(|i| ends(i, finish)).into_iter().collect();
        while let Some(first) = path.last().copied() {
            match self.before[first].iter().copied().find(|b| ends(b, tasks[first].start)) {
                Some(before) => path.push(before),
                None => break,
            }
        }
        path.reverse();
        path
    }
}

/// What PERT says about the whole: mean and deviation along the critical path, and the chance by the normal distribution.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PertPath {
    /// The passes with mean times.
    pub passes: Passes,
    /// Deviation of the critical path's sum.
    pub deviation: Time,
}

/// The classic reckoning: mean times on the network, deviations of the critical path added as squares.
///
/// Other paths are left out, so that the chance that follows from it is too good where two paths are nearly as long; the simulation
/// does not have that fault.
///
/// # Errors
/// As [`Network::passes`].
///
/// Source: Malcolm et al. 1959 (from memory).
pub fn pert_path<R: Recorder>(network: &Network, tasks: &[super::estimate::Estimate], rec: &mut R) -> Result<PertPath, Refusal> {
    let means: Vec<Time> = tasks.iter().map(|t| t.pert_mean()).collect();
    let passes = network.passes(&means, rec)?;
    let variance: f64 = passes.critical.iter().map(|t| tasks[*t].pert_deviation().in_s().powi(2)).sum();
    let deviation = Time::s(variance.sqrt());
    rec.step(|| {
        let squares: Vec<String> =
            passes.critical.iter().map(|t| format!("({})²", plant::quantity::digits(tasks[*t].pert_deviation().in_minutes(), 4))).collect();
        Step::new("σ_T", "deviation of the critical path", "√(Σ σ²)", &super::estimate::PERT)
            .with("Σ σ²", format!("{} min²", squares.join(" + ")))
            .gives(deviation)
    });
    Ok(PertPath { passes, deviation })
}

/// The chance that a normally distributed time stays below a limit.
///
/// Φ(z) with z = (W − T)/σ_T by the polynomial 26.2.17 of Abramowitz & Stegun, error below 7.5·10⁻⁸.
///
/// Source: Abramowitz & Stegun, Handbook of Mathematical Functions, 26.2.17 (from memory).
pub fn normal_chance<R: Recorder>(mean: Time, deviation: Time, limit: Time, rec: &mut R) -> f64 {
    let chance = if deviation > Time::ZERO { phi((limit - mean) / deviation) } else { f64::from(u8::from(limit >= mean)) };
    rec.step(|| {
        Step::new("z", "room before the end, in deviations", "(W − T)/σ_T", &DEFINITION)
            .with("W", limit)
            .with("T", mean)
            .with("σ_T", deviation)
            .gives(if deviation > Time::ZERO { (limit - mean) / deviation } else { 0.0 })
    });
    rec.step(|| Step::new("Φ(z)", "chance by the normal distribution", "", &NORMAL).gives(plant::quantity::Ratio::of_one(chance)));
    chance
}

/// The normal distribution.
pub const NORMAL: Source = Source::new("Abramowitz & Stegun, Handbook of Mathematical Functions, 26.2.17", Knowledge::FromMemory);

fn phi(z: f64) -> f64 {
    let t = 1.0 / (1.0 + 0.231_641_9 * z.abs());
    let series = [0.319_381_530, -0.356_563_782, 1.781_477_937, -1.821_255_978, 1.330_274_429];
    let tail = (-0.5 * z * z).exp() / std::f64::consts::TAU.sqrt() * series.iter().rev().fold(0.0, |sum, c| (sum + c) * t);
    if z < 0.0 { tail } else { 1.0 - tail }
}
