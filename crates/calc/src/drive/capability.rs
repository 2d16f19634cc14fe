//! What a unit can give in amperes for how long, beside what another unit gave: percentages of different
//! ratings do not compare, amperes do.

use plant::quantity::{Current, Dimension, Ratio, Time, dim};

use crate::drive::overload::{BUDGET, OverloadPoint, POINTS, budgets, check_points, peak_multiple, points_of};
use crate::registry::{Arguments, Calculation, Input, InputKind, Refusal, output, quantity, quantity_or, word};
use crate::sources::{DEFINITION, Knowledge, Source};
use crate::working::{Recorder, Silent, Step, Working};

/// Where the duty classes of converters stand.
pub const IEC_60146: Source = Source::new("IEC 60146-1-1, standard duty classes", Knowledge::FromMemory);

/// A unit's continuous current and its stated overloads.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Capability<'a> {
    /// Continuous current that the multiples refer to.
    pub rating: Current,
    /// Stated overloads.
    pub points: &'a [OverloadPoint],
}

/// How long a unit gives a current.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Endurance {
    /// Without end.
    Continuous,
    /// So long, from a load of at most the continuous current before it.
    For(Time),
    /// Not at all.
    Never,
}

impl Capability<'_> {
    fn check(&self) -> Result<(), Refusal> {
        if !(self.rating.in_a() > 0.0 && self.rating.is_finite()) {
            return Err(Refusal::new(format!("a continuous current is above zero, not {}", self.rating)));
        }
        check_points(self.points)
    }

    /// The largest current for a time, from a load of at most the continuous current before it.
    ///
    /// I·√(min over budgets of (base + room/t)), at most the largest multiple: exact at every stated point of the outline,
    /// and from there on as long as the budget lasts. Between two points the current is interpolated on the line of
    /// the budget (see [`Budget`](crate::drive::overload::Budget)).
    ///
    /// # Errors
    /// When the rating, a point or the time is no positive number.
    ///
    /// Source: common practice. Worked example: 100 A with 150 % for 60 s give 118.7 A for 184 s (room 75 s: √(1 + 75/184)).
    /// ```
    /// use calc::{drive::{capability::Capability, overload::OverloadPoint}, working::Silent};
    /// use plant::quantity::{Current, Time};
    /// let unit = Capability { rating: Current::a(100.0), points: &[OverloadPoint::new(1.5, 60.0)] };
    /// assert!((unit.current_for(Time::s(60.0), &mut Silent).unwrap().in_a() - 150.0).abs() < 1e-9);
    /// assert!((unit.current_for(Time::s(184.0), &mut Silent).unwrap().in_a() - 118.7).abs() < 0.1);
    /// ```
    pub fn current_for<R: Recorder>(&self, time: Time, rec: &mut R) -> Result<Current, Refusal> {
        self.check()?;
        if time.in_s().is_nan() || time.in_s() <= 0.0 {
            return Err(Refusal::new(format!("a current is asked for a time above zero, not {time}")));
        }
        let peak = peak_multiple(self.points);
        let square = budgets(self.points).map(|b| b.base + b.room_s / time.in_s()).fold(peak * peak, f64::min);
        let current = self.rating * square.sqrt();
        rec.step(|| {
            let governing = budgets(self.points).find(|b| (b.base + b.room_s / time.in_s()) <= square).filter(|_| square < peak * peak);
            match governing {
                Some(b) => Step::new("I_t", "largest current for the time", "I·√(c + R/t)", &BUDGET)
                    .with("I", self.rating)
                    .with("c", b.base)
                    .with("R", Time::s(b.room_s))
                    .with("t", time)
                    .gives(current),
                None => Step::new("I_t", "largest current for the time", "I·k_max", &BUDGET)
                    .with("I", self.rating)
                    .with("k_max", peak)
                    .gives(current),
            }
        });
        Ok(current)
    }

    /// The longest time that the unit gives a current, from a load of at most the continuous current before it:
    /// t = min over budgets of room/(i²/I² − base).
    ///
    /// # Errors
    /// When the rating or a point is no sensible number, or the current is below zero.
    ///
    /// Source: common practice. Worked example: 100 A with 150 % for 60 s give 120 A for 75 s/(1.44 − 1) = 170 s.
    /// ```
    /// use calc::{drive::{capability::{Capability, Endurance}, overload::OverloadPoint}, working::Silent};
    /// use plant::quantity::Current;
    /// let unit = Capability { rating: Current::a(100.0), points: &[OverloadPoint::new(1.5, 60.0)] };
    /// let Endurance::For(time) = unit.time_for(Current::a(120.0), &mut Silent).unwrap() else { panic!() };
    /// assert!((time.in_s() - 170.45).abs() < 0.01);
    /// assert_eq!(unit.time_for(Current::a(151.0), &mut Silent).unwrap(), Endurance::Never);
    /// ```
    pub fn time_for<R: Recorder>(&self, current: Current, rec: &mut R) -> Result<Endurance, Refusal> {
        self.check()?;
        let multiple = current / self.rating;
        if multiple.is_nan() || multiple < 0.0 {
            return Err(Refusal::new(format!("a current is not below zero: {current}")));
        }
        let endurance = if multiple <= 1.0 {
            Endurance::Continuous
        } else if multiple > peak_multiple(self.points) {
            Endurance::Never
        } else {
            let square = multiple * multiple;
            let seconds =
                budgets(self.points).filter(|b| square > b.base).map(|b| b.room_s / (square - b.base)).fold(f64::INFINITY, f64::min);
            Endurance::For(Time::s(seconds))
        };
        rec.step(|| {
            let step = Step::new("t_i", "longest time for the current", "", &BUDGET);
            match endurance {
                Endurance::Continuous => step.gives("continuous"),
                Endurance::Never => step.gives("not at all"),
                Endurance::For(time) => step.gives(time).note("the least of room/(i²/I² − base) over the unit's budgets"),
            }
        });
        Ok(endurance)
    }

    fn states(&self, time: Time) -> bool {
        // The same printed time, read by the same parser: equal bits.
        self.points.iter().any(|p| p.time_s.to_bits() == time.in_s().to_bits())
    }
}

/// Old and new amperes at one time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ComparedTime {
    /// The overload time; `None` is continuous.
    pub time: Option<Time>,
    /// What the old unit gives.
    pub old: Current,
    /// What the new unit gives.
    pub new: Current,
    /// New over old.
    pub ratio: f64,
    /// The old documents state this time; otherwise its current follows from the other points.
    pub old_states_it: bool,
    /// The new documents state this time; otherwise its current follows from the other points.
    pub new_states_it: bool,
}

/// Two units in amperes: continuous, and at every overload time that either states, longest first.
///
/// # Errors
/// When a rating or a point is no sensible number.
pub fn compare(old: &Capability, new: &Capability) -> Result<Vec<ComparedTime>, Refusal> {
    old.check()?;
    new.check()?;
    let mut times: Vec<f64> = old.points.iter().chain(new.points).map(|p| p.time_s).filter(|t| *t > 0.0).collect();
    times.sort_by(|a, b| b.total_cmp(a));
    times.dedup();
    let continuous = ComparedTime {
        time: None,
        old: old.rating,
        new: new.rating,
        ratio: new.rating / old.rating,
        old_states_it: true,
        new_states_it: true,
    };
    let mut rows = vec![continuous];
    for time in times.into_iter().map(Time::s) {
        let (was, will) = (old.current_for(time, &mut Silent)?, new.current_for(time, &mut Silent)?);
        rows.push(ComparedTime {
            time: Some(time),
            old: was,
            new: will,
            ratio: will / was,
            old_states_it: old.states(time),
            new_states_it: new.states(time),
        });
    }
    Ok(rows)
}

/// The largest load between overloads that keeps the rms of the cycle at the continuous current.
///
/// √((T − k²·t)/(T − t)), with T the time from one overload to the next. A document that allows "150 % for 60 s every
/// 600 s" beside 100 % the rest of the time allows an rms of 106 %: the strict reading needs this lower base load.
///
/// # Errors
/// When the overload alone exceeds the rms of the whole period, or a number makes no sense.
///
/// Source: definition of rms. Worked example: 150 % for 60 s every 600 s leave 92.8 %.
/// ```
/// use calc::{drive::capability::base_load, working::Silent};
/// use plant::quantity::{Ratio, Time};
/// let base = base_load(Ratio::percent(150.0), Time::s(60.0), Time::s(600.0), &mut Silent).unwrap();
/// assert!((base.in_percent() - 92.8).abs() < 0.01);
/// ```
pub fn base_load<R: Recorder>(multiple: Ratio, time: Time, period: Time, rec: &mut R) -> Result<Ratio, Refusal> {
    check_points(&[OverloadPoint::new(multiple.in_of_one(), time.in_s())])?;
    if period <= time || !period.is_finite() {
        return Err(Refusal::new(format!("the overload of {time} must be shorter than the {period} from one to the next")));
    }
    let square = multiple.in_of_one() * multiple.in_of_one();
    let left = period - time * square;
    if left < Time::ZERO {
        return Err(Refusal::new(format!("{multiple} for {time} every {period} exceeds the continuous current even with no load between")));
    }
    let base = Ratio::of_one((left / (period - time)).sqrt());
    rec.step(|| {
        Step::new("k_b", "largest load between overloads", "√((T − k²·t)/(T − t))", &DEFINITION)
            .with("T", period)
            .with("k", multiple)
            .with("t", time)
            .gives(base)
    });
    Ok(base)
}

/// A standard duty class of converters.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DutyClass {
    /// Roman number of the class.
    pub name: &'static str,
    /// Continuous current over the rated direct current.
    pub continuous: f64,
    /// Its overloads, in multiples of the rated direct current.
    pub points: &'static [OverloadPoint],
}

/// The duty classes of IEC 60146-1-1, from memory.
pub const DUTY_CLASSES: [DutyClass; 6] = [
    DutyClass { name: "I", continuous: 1.0, points: &[] },
    DutyClass { name: "II", continuous: 1.0, points: &[OverloadPoint::new(1.5, 60.0)] },
    DutyClass { name: "III", continuous: 1.0, points: &[OverloadPoint::new(1.5, 120.0), OverloadPoint::new(2.0, 10.0)] },
    DutyClass { name: "IV", continuous: 1.0, points: &[OverloadPoint::new(1.25, 7200.0), OverloadPoint::new(2.0, 10.0)] },
    DutyClass { name: "V", continuous: 1.0, points: &[OverloadPoint::new(1.5, 7200.0), OverloadPoint::new(2.0, 60.0)] },
    DutyClass { name: "VI", continuous: 1.0, points: &[OverloadPoint::new(1.5, 7200.0), OverloadPoint::new(3.0, 60.0)] },
];

/// `calc overload-current`.
pub const OVERLOAD_CURRENT: Calculation = Calculation {
    name: "overload-current",
    summary: "Largest current of a unit for a time, from its stated overloads.",
    inputs: &[
        quantity::<dim::CurrentDim>("rating", "continuous current"),
        POINTS,
        quantity::<dim::TimeDim>("time", "how long the current lasts"),
    ],
    results: &[
        output::<dim::CurrentDim>("current", "A", "largest current for the time"),
        output::<dim::RatioDim>("multiple", "pu", "the same as a multiple of the continuous current"),
    ],
    sources: &[&BUDGET],
    run: |a: &Arguments, w: &mut Working| {
        let points = points_of(a.rows("points"));
        let unit = Capability { rating: a.get("rating"), points: &points };
        let current = unit.current_for(a.get("time"), w)?;
        Ok(vec![current.in_si(), current / unit.rating])
    },
};

/// `calc overload-time`.
pub const OVERLOAD_TIME: Calculation = Calculation {
    name: "overload-time",
    summary: "Longest time that a unit gives a current above its continuous one, from its stated overloads.",
    inputs: &[
        quantity::<dim::CurrentDim>("rating", "continuous current"),
        POINTS,
        quantity::<dim::CurrentDim>("current", "the current asked for, above the continuous one"),
    ],
    results: &[output::<dim::TimeDim>("time", "s", "longest time")],
    sources: &[&BUDGET],
    run: |a: &Arguments, w: &mut Working| {
        let points = points_of(a.rows("points"));
        let (rating, current) = (a.get("rating"), a.get::<dim::CurrentDim>("current"));
        match (Capability { rating, points: &points }).time_for(current, w)? {
            Endurance::For(time) => Ok(vec![time.in_si()]),
            Endurance::Continuous => Err(Refusal::new(format!("{current} is no overload: the unit gives it without end"))),
            Endurance::Never => Err(Refusal::new(format!("{current} is above the largest multiple of the unit: it never gives it"))),
        }
    },
};

const NEW_POINTS: Input = Input {
    name: "new_points",
    kind: InputKind::Rows(&[dim::RatioDim::INFO, dim::TimeDim::INFO]),
    default: Some(""),
    doc: "stated overloads of the new unit: multiple, time",
};

/// `calc overload-compare`.
pub const OVERLOAD_COMPARE: Calculation = Calculation {
    name: "overload-compare",
    summary: "Old and new unit in amperes at every overload time of either, and the new rating that falls short nowhere.",
    inputs: &[
        quantity::<dim::CurrentDim>("rating", "continuous current of the old unit"),
        POINTS,
        quantity::<dim::CurrentDim>("new_rating", "continuous current of the new unit"),
        NEW_POINTS,
    ],
    results: &[
        output::<dim::RatioDim>("least", "pu", "least ratio of new to old amperes, over all times"),
        output::<dim::CurrentDim>("equal_rating", "A", "new continuous current that gives no less than the old unit at any time"),
    ],
    sources: &[&BUDGET],
    run: |a: &Arguments, w: &mut Working| {
        let (old_points, new_points) = (points_of(a.rows("points")), points_of(a.rows("new_points")));
        let old = Capability { rating: a.get("rating"), points: &old_points };
        let new = Capability { rating: a.get("new_rating"), points: &new_points };
        let rows = compare(&old, &new)?;
        for row in &rows {
            let name = row.time.map_or_else(|| "new over old, continuous".to_owned(), |t| format!("new over old for {t}"));
            w.step(|| {
                Step::new("r", name, "I_new/I_old", &BUDGET).with("I_new", row.new).with("I_old", row.old).gives(Ratio::of_one(row.ratio))
            });
        }
        let least = rows.iter().map(|r| r.ratio).fold(f64::INFINITY, f64::min);
        Ok(vec![least, new.rating.in_si() / least])
    },
};

/// `calc overload-base-load`.
pub const OVERLOAD_BASE_LOAD: Calculation = Calculation {
    name: "overload-base-load",
    summary: "Largest load between repeated overloads that keeps the rms at the continuous current.",
    inputs: &[
        quantity::<dim::RatioDim>("multiple", "overload, as a multiple of the continuous current"),
        quantity::<dim::TimeDim>("time", "how long it lasts"),
        quantity::<dim::TimeDim>("period", "time from one overload to the next"),
    ],
    results: &[output::<dim::RatioDim>("base_load", "pu", "largest load between overloads, of the continuous current")],
    sources: &[&DEFINITION],
    run: |a: &Arguments, w: &mut Working| Ok(vec![base_load(a.get("multiple"), a.get("time"), a.get("period"), w)?.in_si()]),
};

/// `calc duty-class`.
pub const DUTY_CLASS: Calculation = Calculation {
    name: "duty-class",
    summary: "What a converter of a standard duty class carries for a time, as a multiple of its rated direct current.",
    inputs: &[
        word("class", &["I", "II", "III", "IV", "V", "VI"], "duty class"),
        quantity_or::<dim::TimeDim>("time", "10 s", "how long the current lasts"),
    ],
    results: &[
        output::<dim::RatioDim>("multiple", "pu", "largest current for the time"),
        output::<dim::RatioDim>("continuous", "pu", "continuous current"),
    ],
    sources: &[&IEC_60146, &BUDGET],
    run: |a: &Arguments, w: &mut Working| {
        let Some(class) = DUTY_CLASSES.iter().find(|c| c.name == a.word("class")) else {
            return Err(Refusal::new(format!("there is no duty class “{}”", a.word("class"))));
        };
        w.step(|| Step::new("k_c", "continuous current", "", &IEC_60146).gives(Ratio::of_one(class.continuous)));
        for point in class.points {
            w.step(|| {
                Step::new("k", format!("overload for {}", Time::s(point.time_s)), "", &IEC_60146).gives(Ratio::of_one(point.multiple))
            });
        }
        // Every class is continuous at its rated current, so the points count against 1.
        let unit = Capability { rating: Current::a(class.continuous), points: class.points };
        Ok(vec![unit.current_for(a.get("time"), &mut Silent)?.in_si(), class.continuous])
    },
};
