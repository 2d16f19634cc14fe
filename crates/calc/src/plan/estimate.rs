//! How long a task takes while nobody has done it: three figures, and the distribution that stands for them.
//!
//! The distribution is the triangular one. Its tails are heavier than those of the beta distribution of PERT with the same three
//! figures, and it turns a random number into a time in closed form; nothing but the three figures goes into it.

use plant::quantity::{Ratio, Time};

use crate::registry::Refusal;
use crate::sources::{DEFINITION, Knowledge, Source};
use crate::working::{Recorder, Step};

/// Mean and deviation of a task from three figures.
pub const PERT: Source = Source::new(
    "Malcolm, Roseboom, Clark & Fazar, Application of a Technique for Research and Development Program Evaluation, Operations Research 7(5), 1959",
    Knowledge::FromMemory,
);
/// The distribution that the simulation draws from.
pub const TRIANGULAR: Source = Source::new("triangular distribution, inverted in closed form", Knowledge::Derived);

/// Least, likeliest and most time of a task.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Estimate {
    least: Time,
    likely: Time,
    most: Time,
}

impl Estimate {
    /// No time at all.
    pub const NONE: Self = Self::exactly(Time::ZERO);

    /// From three figures.
    ///
    /// # Errors
    /// When they are no numbers from zero up, or not in this order.
    pub fn new(least: Time, likely: Time, most: Time) -> Result<Self, Refusal> {
        let ordered = Time::ZERO <= least && least <= likely && likely <= most && most.is_finite();
        if ordered {
            return Ok(Self { least, likely, most });
        }
        Err(Refusal::new(format!("a task's times are least ≤ likely ≤ most, from zero up, not {least}, {likely}, {most}")))
    }

    /// A time that is known.
    #[must_use]
    pub const fn exactly(time: Time) -> Self {
        Self { least: time, likely: time, most: time }
    }

    /// Shortest.
    #[must_use]
    pub const fn least(self) -> Time {
        self.least
    }

    /// Likeliest.
    #[must_use]
    pub const fn likely(self) -> Time {
        self.likely
    }

    /// Longest.
    #[must_use]
    pub const fn most(self) -> Time {
        self.most
    }

    /// Both, one behind the other. All figures add: who is slow at one is taken to be slow at the other, so that the spread is not
    /// made small by counting many small tasks. A sum of counted work stays a triangle.
    #[must_use]
    pub fn and(self, other: Self) -> Self {
        Self { least: self.least + other.least, likely: self.likely + other.likely, most: self.most + other.most }
    }

    /// The same for a count that is itself known as least, likely and most; all of them from zero up and in order, else as if they were.
    #[must_use]
    pub fn times(self, least: f64, likely: f64, most: f64) -> Self {
        let least = least.max(0.0);
        let likely = likely.max(least);
        Self { least: self.least * least, likely: self.likely * likely, most: self.most * most.max(likely) }
    }

    /// Mean of PERT: (a + 4·m + b)/6.
    #[must_use]
    pub fn pert_mean(self) -> Time {
        (self.least + self.likely * 4.0 + self.most) / 6.0
    }

    /// Standard deviation of PERT: (b − a)/6.
    #[must_use]
    pub fn pert_deviation(self) -> Time {
        (self.most - self.least) / 6.0
    }

    /// Mean of the triangular distribution: (a + m + b)/3.
    #[must_use]
    pub fn mean(self) -> Time {
        (self.least + self.likely + self.most) / 3.0
    }

    /// The time that a share `u` of 0 to 1 of all cases stays below, under the triangular distribution.
    ///
    /// F⁻¹(u) = a + √(u·(b−a)·(m−a)) up to u = (m−a)/(b−a), b − √((1−u)·(b−a)·(b−m)) beyond. It never falls when one of the three
    /// figures or `u` grows.
    ///
    /// Worked example: of 10, 20, 40 min a third of all cases stays below 20 min.
    /// ```
    /// use calc::plan::estimate::Estimate;
    /// use plant::quantity::Time;
    /// let wiring = Estimate::new(Time::minutes(10.0), Time::minutes(20.0), Time::minutes(40.0)).unwrap();
    /// assert!((wiring.at(1.0 / 3.0).in_minutes() - 20.0).abs() < 1e-9);
    /// ```
    #[must_use]
    pub fn at(self, u: f64) -> Time {
        let (a, m, b) = (self.least.in_s(), self.likely.in_s(), self.most.in_s());
        let width = b - a;
        if width <= 0.0 {
            return self.likely;
        }
        let u = u.clamp(0.0, 1.0);
        let time = if u * width <= m - a { a + (u * width * (m - a)).sqrt() } else { b - ((1.0 - u) * width * (b - m)).sqrt() };
        Time::s(time)
    }

    /// The share of all cases that stay at or below a time: the inverse of [`Estimate::at`].
    #[must_use]
    pub fn share_below(self, time: Time) -> f64 {
        let (a, m, b, t) = (self.least.in_s(), self.likely.in_s(), self.most.in_s(), time.in_s());
        if t < a {
            0.0
        } else if t >= b {
            1.0
        } else if t < m {
            (t - a).powi(2) / ((b - a) * (m - a))
        } else {
            1.0 - (b - t).powi(2) / ((b - a) * (b - m))
        }
    }
}

/// Mean, deviation and range of a task from its three figures, by PERT and by the triangular distribution.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TaskTime {
    /// Mean of PERT.
    pub pert_mean: Time,
    /// Deviation of PERT.
    pub pert_deviation: Time,
    /// Mean of the triangular distribution.
    pub mean: Time,
    /// The time that nine of ten cases stay below, triangular.
    pub nine_of_ten: Time,
}

/// What three figures say about a task.
///
/// Units: time. The figures of PERT are its convention, not those of any one distribution.
///
/// Source: Malcolm et al. 1959 (from memory) for PERT; the triangular distribution's are derived.
/// ```
/// use calc::{plan::estimate::{Estimate, task_time}, working::Silent};
/// use plant::quantity::Time;
/// let task = Estimate::new(Time::days(6.0), Time::days(9.0), Time::days(18.0)).unwrap();
/// let time = task_time(task, &mut Silent);
/// assert!((time.pert_mean.in_days() - 10.0).abs() < 1e-9 && (time.pert_deviation.in_days() - 2.0).abs() < 1e-9);
/// ```
pub fn task_time<R: Recorder>(task: Estimate, rec: &mut R) -> TaskTime {
    let share = Ratio::percent(90.0);
    let time = TaskTime {
        pert_mean: task.pert_mean(),
        pert_deviation: task.pert_deviation(),
        mean: task.mean(),
        nine_of_ten: task.at(share.in_of_one()),
    };
    let with = |step: Step| step.with("a", task.least).with("m", task.likely).with("b", task.most);
    rec.step(|| with(Step::new("t_e", "mean time of PERT", "(a + 4·m + b)/6", &PERT)).gives(time.pert_mean));
    rec.step(|| with(Step::new("σ", "deviation of PERT", "(b − a)/6", &PERT)).gives(time.pert_deviation));
    rec.step(|| with(Step::new("t̄", "mean time of the triangular distribution", "(a + m + b)/3", &DEFINITION)).gives(time.mean));
    rec.step(|| {
        let late = 0.9 * (task.most - task.least).in_s() > (task.likely - task.least).in_s();
        let formula = if late { "b − √((1 − u)·(b − a)·(b − m))" } else { "a + √(u·(b − a)·(m − a))" };
        with(Step::new("t_90", "time that nine of ten cases stay below", formula, &TRIANGULAR)).with("u", share).gives(time.nine_of_ten)
    });
    time
}
