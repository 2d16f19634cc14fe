//! Short overloads: the budget behind a stated overload point, and the smallest continuous current that
//! carries a record of current. The budget of a unit with continuous current I and the point "k·I for t" is
//! b ← max(0, b + (i²/I² − 1)·Δt) ≤ (k² − 1)·t. It fills by the worst window that ends now, so the smallest I is
//! a maximum over windows: I² = max ∫i² dt / (|w| + (k² − 1)·t), found by a few linear passes.

use plant::quantity::{Current, Dimension, Ratio, Time, digits, dim};

use crate::registry::{Arguments, Calculation, Input, InputKind, Refusal, output, word};
use crate::sources::{DEFINITION, Knowledge, Source};
use crate::working::{Recorder, Step, Working};

/// The model behind the budget.
pub const BUDGET: Source = Source::new("I²t above the continuous current against the stated overload points", Knowledge::CommonPractice);

/// One stated overload: `multiple` times the continuous current for `time_s`, from a load of at most the continuous current.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OverloadPoint {
    /// k: multiple of the continuous current, at least 1.
    pub multiple: f64,
    /// How long it may last, s.
    pub time_s: f64,
    /// How often the documents let it come back, s. The budget does not need it: what refills the unit is current below
    /// the continuous one, at the rate 1 − i²/I². [`base_load`](crate::drive::capability::base_load) uses it.
    pub repeat_s: Option<f64>,
}

impl OverloadPoint {
    /// A point without a stated repetition.
    #[must_use]
    pub const fn new(multiple: f64, time_s: f64) -> Self {
        Self { multiple, time_s, repeat_s: None }
    }

    /// (k² − 1)·t, s: the room of this point taken alone.
    #[must_use]
    pub fn room_s(&self) -> f64 {
        (self.multiple * self.multiple - 1.0) * self.time_s
    }

    /// k²·t, s: what the point grants over its own time.
    fn charge_s(&self) -> f64 {
        self.multiple * self.multiple * self.time_s
    }
}

/// One budget that the stated points make: over any window w, ∫(i/I)² dt ≤ base·|w| + room.
///
/// A single point makes one budget with base 1 and room (k² − 1)·t, and the limit of its multiple. With several points
/// the ceiling over |w| is the least concave one that grants each of them in full: a straight line from each point
/// of its outline to the next longer one, and slope 1 after the longest. (Taken alone, the short point would forbid the
/// long one: 180 % for 3 s leaves a room of 6.7 s, 150 % for 60 s fills 75 s.) Points under the outline add nothing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Budget {
    /// Square of the multiple that neither fills nor empties this budget; 1 for the longest point.
    pub base: f64,
    /// Room, s.
    pub room_s: f64,
    /// Index of the point from which the line starts.
    pub point: usize,
}

/// The point with the largest multiple (of those, the longest): it limits the peak.
fn highest(points: &[OverloadPoint]) -> Option<usize> {
    let order = |i: &usize, j: &usize| {
        let (a, b) = (&points[*i], &points[*j]);
        a.multiple.total_cmp(&b.multiple).then(a.time_s.total_cmp(&b.time_s))
    };
    (0..points.len()).filter(|i| points[*i].time_s > 0.0).max_by(order)
}

/// The largest multiple that the points allow for any time at all: 1 without points.
#[must_use]
pub fn peak_multiple(points: &[OverloadPoint]) -> f64 {
    highest(points).map_or(1.0, |i| points[i].multiple)
}

/// The budgets of a unit, from the shortest point on; the last has base 1. No points, no budgets.
pub fn budgets(points: &[OverloadPoint]) -> impl Iterator<Item = Budget> + '_ {
    let mut at = highest(points);
    std::iter::from_fn(move || {
        let here = at?;
        let from = &points[here];
        let slope = |i: &usize| (points[*i].charge_s() - from.charge_s()) / (points[*i].time_s - from.time_s);
        at = (0..points.len())
            .filter(|i| points[*i].time_s > from.time_s && slope(i) > 1.0)
            .max_by(|i, j| slope(i).total_cmp(&slope(j)).then(points[*i].time_s.total_cmp(&points[*j].time_s)));
        let base = at.as_ref().map_or(1.0, slope);
        Some(Budget { base, room_s: from.charge_s() - base * from.time_s, point: here })
    })
}

/// Refuses points that no unit has.
pub(crate) fn check_points(points: &[OverloadPoint]) -> Result<(), Refusal> {
    for point in points {
        if !(point.multiple >= 1.0 && point.multiple.is_finite()) {
            return Err(Refusal::new(format!(
                "an overload is a multiple of the continuous current of at least 100 %, not {}",
                point.multiple
            )));
        }
        if !(point.time_s >= 0.0 && point.time_s.is_finite()) {
            return Err(Refusal::new(format!("an overload lasts a number of seconds, not {} s", point.time_s)));
        }
    }
    Ok(())
}

/// A stretch of a record over which the current counts by its mean square.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Piece {
    /// How long, s.
    pub seconds: f64,
    /// Mean of the squared rms current, A².
    pub mean_square_a2: f64,
    /// Largest rms current in it, A.
    pub peak_a: f64,
}

/// Current against time, as pieces in order. The finer the pieces, the closer the budget's course inside them.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Record {
    /// The pieces, first to last.
    pub pieces: Vec<Piece>,
    /// The record is one period of an endless cycle.
    pub repeats: bool,
}

impl Record {
    /// From readings of rms current at rising times, straight between them.
    ///
    /// # Errors
    /// With fewer than two readings, times that do not rise, or a current below zero.
    pub fn from_log(log: &[(Time, Current)]) -> Result<Self, Refusal> {
        if log.len() < 2 {
            return Err(Refusal::new("a current log needs at least two readings"));
        }
        let mut pieces = Vec::with_capacity(log.len() - 1);
        for (row, pair) in log.windows(2).enumerate() {
            let seconds = (pair[1].0 - pair[0].0).in_s();
            let (a, b) = (pair[0].1.in_a(), pair[1].1.in_a());
            if !(seconds > 0.0 && seconds.is_finite()) {
                return Err(Refusal::new(format!("the time of reading {} is not after that of reading {}", row + 2, row + 1)));
            }
            if !(a >= 0.0 && b >= 0.0 && a.is_finite() && b.is_finite()) {
                return Err(Refusal::new(format!("reading {} or {} is no rms current", row + 1, row + 2)));
            }
            pieces.push(Piece { seconds, mean_square_a2: (a * a + a * b + b * b) / 3.0, peak_a: a.max(b) });
        }
        Ok(Self { pieces, repeats: false })
    }

    /// From steps of constant current.
    #[must_use]
    pub fn from_steps(steps: &[(Current, Time)], repeats: bool) -> Self {
        let piece = |&(i, t): &(Current, Time)| Piece { seconds: t.in_s(), mean_square_a2: i.in_a() * i.in_a(), peak_a: i.in_a().abs() };
        Self { pieces: steps.iter().map(piece).collect(), repeats }
    }

    /// Its whole length.
    #[must_use]
    pub fn duration(&self) -> Time {
        Time::s(self.pieces.iter().map(|p| p.seconds).sum())
    }

    /// Root of the mean square over the whole record; zero for an empty one.
    #[must_use]
    pub fn rms(&self) -> Current {
        Current::a(self.total().mean_square().sqrt())
    }

    /// Largest rms current.
    #[must_use]
    pub fn peak(&self) -> Current {
        Current::a(self.pieces.iter().map(|p| p.peak_a).fold(0.0, f64::max))
    }

    fn total(&self) -> Window {
        let mut all = Window::default();
        for p in &self.pieces {
            all.charge_a2s += p.mean_square_a2 * p.seconds;
            all.seconds += p.seconds;
        }
        all
    }
}

/// A window of a record.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Window {
    /// Where it starts, s from the start of the record.
    pub start_s: f64,
    /// How long it is, s; in an endless cycle it may run past the end into the next period.
    pub seconds: f64,
    /// ∫i² dt over it, A²·s.
    pub charge_a2s: f64,
}

impl Window {
    fn mean_square(&self) -> f64 {
        if self.seconds > 0.0 { self.charge_a2s / self.seconds } else { 0.0 }
    }
}

/// A step of the search smaller than this share is rounding: four units in the last place.
const STEP_IS_ROUNDING: f64 = 4.0 * f64::EPSILON;
/// The search is finite and gains digits at a growing rate; five to eight passes are usual, this is a guard.
const MOST_PASSES: usize = 100;

/// The smallest I², A², for which the budget of `room_s` seconds is never exceeded: the largest ∫i² dt / (|w| + room)
/// over all windows w. An endless cycle also needs its own mean square, or the budget would creep up.
///
/// Newton's method on the convex function max over w of (∫i² dt − I²·(|w| + room)), from below (Dinkelbach 1967); each pass
/// finds the worst window as the largest sum of neighbours. Linear in the pieces, no allocation.
///
/// Limits: pieces with seconds and mean squares ≥ 0, room ≥ 0. With no room the answer is the largest mean square.
#[must_use]
pub fn required_square(record: &Record, room_s: f64) -> f64 {
    let all = record.total();
    let whole_record = if record.repeats { all.mean_square() } else { all.charge_a2s / (all.seconds + room_s) };
    required_square_above(record, room_s, if whole_record.is_finite() { whole_record } else { 0.0 })
}

/// The same, where the answer is known to be at least `square`: one pass when it is no more.
fn required_square_above(record: &Record, room_s: f64, mut square: f64) -> f64 {
    for _ in 0..MOST_PASSES {
        let worst = worst_window(record, square);
        let step = (worst.excess - square * room_s) / (worst.seconds + room_s);
        // 0/0 is an empty record without room.
        if step.is_nan() || step <= square * STEP_IS_ROUNDING {
            break;
        }
        square += step;
    }
    square
}

/// A window by what it holds above `square`.
#[derive(Clone, Copy, Default)]
struct Excess {
    /// ∫(i² − square) dt, A²·s.
    excess: f64,
    seconds: f64,
}

/// The window with the largest ∫(i² − square) dt.
fn worst_window(record: &Record, square: f64) -> Excess {
    let (mut run, mut worst) = (Excess::default(), Excess::default());
    for piece in &record.pieces {
        run.excess += (piece.mean_square_a2 - square) * piece.seconds;
        run.seconds += piece.seconds;
        if run.excess <= 0.0 {
            run = Excess::default();
        } else if run.excess > worst.excess {
            worst = run;
        }
    }
    if record.repeats {
        // The second lap starts fuller than the first did; once it is empty it would only repeat the first.
        for piece in &record.pieces {
            run.excess += (piece.mean_square_a2 - square) * piece.seconds;
            run.seconds += piece.seconds;
            if run.excess <= 0.0 {
                break;
            }
            if run.excess > worst.excess {
                worst = run;
            }
        }
    }
    worst
}

/// The window that fills a budget most at the squared current `square`: where a figure points, and what a person checks by hand.
#[must_use]
pub fn governing_window(record: &Record, square: f64) -> Window {
    let (mut run, mut worst, mut most, mut time) = (Window::default(), Window::default(), 0.0, 0.0);
    let period = record.duration().in_s();
    for _ in 0..if record.repeats { 2 } else { 1 } {
        for piece in &record.pieces {
            run.charge_a2s += piece.mean_square_a2 * piece.seconds;
            run.seconds += piece.seconds;
            time += piece.seconds;
            let excess = run.charge_a2s - square * run.seconds;
            if excess <= 0.0 {
                run = Window { start_s: if time >= period { time - period } else { time }, ..Window::default() };
            } else if excess > most {
                (worst, most) = (run, excess);
            }
        }
    }
    worst
}

/// What decides the smallest rating.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Governed {
    /// The rms of the endless cycle; without overload points, the largest current.
    Continuous,
    /// The budget from this point on (index into the points given).
    Point(usize),
    /// The largest current against the largest multiple.
    Peak,
}

/// The smallest continuous current that carries a record.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SmallestRating {
    /// The continuous current needed.
    pub current: Current,
    /// Why no less will do.
    pub governed_by: Governed,
}

/// The smallest continuous current I of a unit with these overload points that carries the record.
///
/// I² = max of: the mean square, if the record repeats endlessly; max over windows ∫i² dt/(base·|w| + room) for each
/// budget of the points (see [`Budget`]); (peak / largest multiple)². Without points no current above I is allowed.
/// Valid where the overload is limited by heat that goes with i² and starts from at most the continuous current.
///
/// # Errors
/// When a piece or a point holds no sensible number.
///
/// Source: the budget is common practice. Worked example: 150 A for 60 s against "150 % for 60 s" needs 100 A.
/// ```
/// use calc::{drive::overload::{Governed, OverloadPoint, Record, smallest_rating}, working::Silent};
/// use plant::quantity::{Current, Time};
/// let record = Record::from_steps(&[(Current::a(150.0), Time::s(60.0)), (Current::a(100.0), Time::s(540.0))], false);
/// let rating = smallest_rating(&record, &[OverloadPoint::new(1.5, 60.0)], &mut Silent).unwrap();
/// assert!((rating.current.in_a() - 100.0).abs() < 1e-9);
/// ```
pub fn smallest_rating<R: Recorder>(record: &Record, points: &[OverloadPoint], rec: &mut R) -> Result<SmallestRating, Refusal> {
    check_points(points)?;
    check_record(record)?;
    let all = record.total();
    let (mut square, mut governed_by) = (if record.repeats { all.mean_square() } else { 0.0 }, Governed::Continuous);
    if record.repeats {
        rec.step(|| {
            Step::new("I_rms", "rms current of the cycle", "√(Q/T)", &DEFINITION)
                .with("Q", format!("{} A²·s", digits(all.charge_a2s, 4)))
                .with("T", Time::s(all.seconds))
                .gives(record.rms())
        });
    }
    for budget in budgets(points) {
        let needed = required_square_above(record, budget.room_s / budget.base, square * budget.base) / budget.base;
        if needed > square {
            (square, governed_by) = (needed, Governed::Point(budget.point));
        }
        if rec.keeps() {
            let point = &points[budget.point];
            let own = required_square(record, budget.room_s / budget.base) / budget.base;
            let window = governing_window(record, own * budget.base);
            rec.step(|| {
                Step::new(
                    "I_ovl",
                    format!("continuous current for {} for {}", Ratio::of_one(point.multiple), Time::s(point.time_s)),
                    "√(Q/(c·w + R))",
                    &BUDGET,
                )
                .with("Q", format!("{} A²·s", digits(window.charge_a2s, 4)))
                .with("c", budget.base)
                .with("w", Time::s(window.seconds))
                .with("R", Time::s(budget.room_s))
                .gives(Current::a(own.sqrt()))
                .note(format!("the worst window starts {} into the record; Q is ∫i² dt over it", Time::s(window.start_s)))
            });
        }
    }
    let (peak, multiple) = (record.peak(), peak_multiple(points));
    let for_peak = peak / multiple;
    rec.step(|| {
        Step::new("I_pk", "continuous current for the peak", "I_max/k_max", &BUDGET)
            .with("I_max", peak)
            .with("k_max", multiple)
            .gives(for_peak)
            .note(if points.is_empty() { "no overload is stated: the largest current must be a continuous one" } else { "" })
    });
    if for_peak.in_a() * for_peak.in_a() > square * (1.0 + STEP_IS_ROUNDING) {
        (square, governed_by) = (for_peak.in_a() * for_peak.in_a(), if points.is_empty() { Governed::Continuous } else { Governed::Peak });
    }
    let current = Current::a(square.sqrt());
    rec.step(|| {
        Step::new("I_need", "smallest continuous current", "", &BUDGET).gives(current).note(match governed_by {
            Governed::Continuous => "set by what flows all the time".to_owned(),
            Governed::Peak => "set by the peak".to_owned(),
            Governed::Point(i) => format!("set by the overload of {} for {}", Ratio::of_one(points[i].multiple), Time::s(points[i].time_s)),
        })
    });
    Ok(SmallestRating { current, governed_by })
}

fn check_record(record: &Record) -> Result<(), Refusal> {
    let good =
        |p: &Piece| p.seconds >= 0.0 && p.mean_square_a2 >= 0.0 && p.peak_a >= 0.0 && (p.seconds + p.mean_square_a2 + p.peak_a).is_finite();
    match record.pieces.iter().position(|p| !good(p)) {
        Some(i) => Err(Refusal::new(format!("piece {} of the current record holds a number below zero or none at all", i + 1))),
        None if record.pieces.is_empty() => Err(Refusal::new("the current record is empty")),
        None => Ok(()),
    }
}

/// One point of a budget against time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BudgetPoint {
    /// Time, s from the start of the record.
    pub time_s: f64,
    /// Filling of the budget, s.
    pub budget_s: f64,
}

/// The budget of one point against time at a rating; for an endless cycle, one period of its steady course.
/// A point stands at every end of a piece and where the budget runs empty inside one.
#[must_use]
pub fn budget_trace(record: &Record, point: &OverloadPoint, rating: Current) -> Vec<BudgetPoint> {
    Budget { base: 1.0, room_s: point.room_s(), point: 0 }.trace(record, rating)
}

impl Budget {
    /// As [`budget_trace`], for one budget of several points.
    #[must_use]
    pub fn trace(&self, record: &Record, rating: Current) -> Vec<BudgetPoint> {
        let mut trace = Vec::with_capacity(record.pieces.len() + 1);
        let rate = |p: &Piece| p.mean_square_a2 / (rating.in_a() * rating.in_a()) - self.base;
        let mut budget_s = 0.0;
        if record.repeats {
            // One lap from empty reaches the steady course, if there is one.
            budget_s = record.pieces.iter().fold(0.0, |b: f64, p| (b + rate(p) * p.seconds).max(0.0));
        }
        let mut time_s = 0.0;
        trace.push(BudgetPoint { time_s, budget_s });
        for piece in &record.pieces {
            let end = budget_s + rate(piece) * piece.seconds;
            if budget_s > 0.0 && end < 0.0 {
                trace.push(BudgetPoint { time_s: time_s + budget_s / -rate(piece), budget_s: 0.0 });
            }
            (time_s, budget_s) = (time_s + piece.seconds, end.max(0.0));
            trace.push(BudgetPoint { time_s, budget_s });
        }
        trace
    }
}

pub(crate) const POINTS: Input = Input {
    name: "points",
    kind: InputKind::Rows(&[dim::RatioDim::INFO, dim::TimeDim::INFO]),
    default: Some(""),
    doc: "stated overloads: multiple of the continuous current, time",
};

/// Rows of multiple and time as points.
pub(crate) fn points_of(rows: &[Vec<f64>]) -> Vec<OverloadPoint> {
    rows.iter().filter_map(|row| Some(OverloadPoint::new(*row.first()?, *row.get(1)?))).collect()
}

/// `calc smallest-rating`.
pub const SMALLEST_RATING: Calculation = Calculation {
    name: "smallest-rating",
    summary: "Smallest continuous current that carries a record of current, with the overloads that the unit states.",
    inputs: &[
        Input {
            name: "record",
            kind: InputKind::Rows(&[dim::CurrentDim::INFO, dim::TimeDim::INFO]),
            default: None,
            doc: "steps of the record: current, time",
        },
        POINTS,
        word("repeats", &["yes", "no"], "whether the record repeats endlessly"),
    ],
    results: &[
        output::<dim::CurrentDim>("current", "A", "smallest continuous current"),
        output::<dim::CurrentDim>("rms", "A", "rms current of the record"),
        output::<dim::CurrentDim>("peak", "A", "largest current of the record"),
    ],
    sources: &[&BUDGET, &DEFINITION],
    run: |a: &Arguments, w: &mut Working| {
        let steps: Vec<(Current, Time)> =
            a.rows("record").iter().filter_map(|r| Some((Current::si(*r.first()?), Time::si(*r.get(1)?)))).collect();
        let record = Record::from_steps(&steps, a.word("repeats") == "yes");
        let rating = smallest_rating(&record, &points_of(a.rows("points")), w)?;
        Ok(vec![rating.current.in_si(), record.rms().in_si(), record.peak().in_si()])
    },
};

#[cfg(test)]
mod tests;
