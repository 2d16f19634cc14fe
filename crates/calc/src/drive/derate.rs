//! Derating: how heat, thin air and a fast carrier reduce what a drive may give. A pack states the curves and
//! the way they combine; this file reads and combines them. The habit of 1 % per 100 m stands here too, for
//! documents that state nothing.

use plant::choice::{Choice, ChoiceInfo, Combine};
use plant::quantity::{Current, Dimension, DimensionInfo, Length, Quantity, Ratio, System, dim};

use crate::registry::{Arguments, Calculation, Input, InputKind, Refusal, output, quantity, quantity_or, word};
use crate::sources::{DEFINITION, Knowledge, PACK, Source};
use crate::working::{Datum, Recorder, Step, Working};

/// A limit written in another unit (7 % for 0.07) differs in its last bits; it is the same limit.
const SAME_LIMIT: f64 = 1e-9;

/// The habit that a missing curve is replaced by, and where people stop using it.
pub const ALTITUDE_HABIT: Source =
    Source::new("1 % of current per 100 m above 1000 m, a habit of the trade and no standardised value", Knowledge::CommonPractice);

/// A documented curve of a factor over a quantity: points (value in SI, factor), values rising.
///
/// Straight between the points, flat before the first, and *not defined* beyond the last: there the maker has
/// documented nothing, and no number is better than a wrong one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Curve<'a>(&'a [(f64, f64)]);

impl<'a> Curve<'a> {
    /// A derating curve out of a document.
    ///
    /// # Errors
    /// When there is no point, a value is no number or does not rise, or a factor lies outside (0, 1].
    ///
    /// ```
    /// use calc::drive::derate::Curve;
    /// use plant::quantity::{Ratio, Temperature};
    /// let points = [(Temperature::c(40.0).in_si(), 1.0), (Temperature::c(50.0).in_si(), 0.9)];
    /// let curve = Curve::new(&points).unwrap();
    /// assert!((curve.at(Temperature::c(45.0)).unwrap().in_percent() - 95.0).abs() < 1e-9);
    /// assert_eq!(curve.at(Temperature::c(20.0)), Some(Ratio::percent(100.0)));
    /// assert_eq!(curve.at(Temperature::c(55.0)), None); // beyond what is documented
    /// ```
    pub fn new(points: &'a [(f64, f64)]) -> Result<Self, Refusal> {
        if points.is_empty() {
            return Err(Refusal::new("a derating curve needs at least one point"));
        }
        if let Some((_, factor)) = points.iter().find(|(at, factor)| !(at.is_finite() && *factor > 0.0 && *factor <= 1.0)) {
            return Err(Refusal::new(format!("a derating factor lies above 0 and at most at 1 (100 %); the curve has {factor}")));
        }
        if points.windows(2).any(|pair| pair[0].0 >= pair[1].0) {
            return Err(Refusal::new("the points of a derating curve stand in rising order, each value once"));
        }
        Ok(Self(points))
    }

    /// A curve whose points have been checked where they were read; of points that break the rules of [`Curve::new`] the
    /// factors mean nothing. A table of ours may hold factors above 1.
    #[must_use]
    pub const fn unchecked(points: &'a [(f64, f64)]) -> Self {
        Self(points)
    }

    /// The points, as documented.
    #[must_use]
    pub const fn points(self) -> &'a [(f64, f64)] {
        self.0
    }

    /// The factor at a value, or `None` beyond the last documented point.
    #[must_use]
    pub fn at<D: Dimension>(self, value: Quantity<D>) -> Option<Ratio> {
        self.factor_at(value.in_si()).map(Ratio::of_one)
    }

    /// The factor (1 = undiminished) at a value in SI, or `None` beyond the last documented point.
    #[must_use]
    pub fn factor_at(self, si: f64) -> Option<f64> {
        let (last_at, last) = *self.0.last()?;
        let next = self.0.partition_point(|(at, _)| *at < si);
        match (next.checked_sub(1).and_then(|i| self.0.get(i)), self.0.get(next)) {
            _ if si.is_nan() => None,
            (None, Some((_, first))) => Some(*first),
            (Some((x0, f0)), Some((x1, f1))) => Some(f0 + (f1 - f0) * (si - x0) / (x1 - x0)),
            (_, None) => ((si - last_at).abs() <= SAME_LIMIT * last_at.abs()).then_some(last),
        }
    }

    /// The factor at a value, with its step of working.
    ///
    /// # Errors
    /// Beyond the last documented point.
    pub fn read<D: Dimension, R: Recorder>(
        self,
        name: &str,
        value: Quantity<D>,
        source: &'static Source,
        rec: &mut R,
    ) -> Result<Ratio, Refusal> {
        let Some(factor) = self.at(value) else {
            let last = Quantity::<D>::si(self.0.last().map_or(f64::NAN, |point| point.0));
            return Err(Refusal::new(format!("{name} is documented up to {last}, not for {value}")));
        };
        rec.step(|| {
            let point = |(at, factor): (f64, f64)| format!("{} at {}", Ratio::of_one(factor), Quantity::<D>::si(at));
            let next = self.0.partition_point(|(at, _)| *at < value.in_si());
            let around = match (next.checked_sub(1).and_then(|i| self.0.get(i)), self.0.get(next)) {
                (Some(before), Some(after)) => format!("straight between {} and {}", point(*before), point(*after)),
                (None, Some(first)) => format!("flat up to {}", point(*first)),
                _ => "the last point".to_owned(),
            };
            Step::new("k", name, "", source).gives(factor).note(format!("read at {value}: {around}"))
        });
        Ok(factor)
    }
}

/// The words of a choice, for an input of a calculation: `word("combine", &words::<3>(Combine::INFO), …)`.
pub(crate) const fn words<const N: usize>(info: &'static ChoiceInfo) -> [&'static str; N] {
    assert!(info.words.len() == N, "as many words as the choice has");
    let mut words = [""; N];
    let mut i = 0;
    while i < N {
        words[i] = info.words[i].word;
        i += 1;
    }
    words
}

const COMBINE_WORDS: [&str; 3] = words(Combine::INFO);

/// Several derating factors as one.
///
/// k = ∏ k_i, k = max(0, 1 − Σ(1 − k_i)), or k = min(k_i). None at all leave 1; a factor of 0 stands for "not allowed
/// here at all", and added reductions of 100 % and more leave 0.
///
/// # Errors
/// When a factor lies outside [0, 1].
///
/// Source: definition; which of the three holds is the unit's documents to say.
/// ```
/// use calc::drive::derate::combined;
/// use plant::{choice::Combine, quantity::Ratio};
/// let heat_and_height = [Ratio::percent(90.0), Ratio::percent(80.0)];
/// let left = |how| combined(heat_and_height, how).unwrap().in_percent();
/// assert!((left(Combine::Multiply) - 72.0).abs() < 1e-9);
/// assert!((left(Combine::Add) - 70.0).abs() < 1e-9);
/// assert!((left(Combine::Lowest) - 80.0).abs() < 1e-9);
/// ```
pub fn combined(factors: impl IntoIterator<Item = Ratio>, how: Combine) -> Result<Ratio, Refusal> {
    let mut k = 1.0;
    for factor in factors {
        let f = factor.in_of_one();
        if !(0.0..=1.0).contains(&f) {
            return Err(Refusal::new(format!("a derating factor lies between 0 and 100 %, not at {factor}")));
        }
        k = match how {
            Combine::Multiply => k * f,
            Combine::Add => k - (1.0 - f),
            Combine::Lowest => f64::min(k, f),
        };
    }
    Ok(Ratio::of_one(f64::max(0.0, k)))
}

/// What is left of a rated current.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Derated {
    /// All factors as one.
    pub factor: Ratio,
    /// Rated current times that factor.
    pub current: Current,
}

/// The current that is left of `rated` under named factors.
///
/// I = k·I_r with k from [`combined`]. Units: A. Valid where each factor was read inside its documented range.
///
/// # Errors
/// As [`combined`]; also when `rated` is no positive number.
///
/// Source: the unit's documents (curves and their combination). Worked example, illustrative: 100 A at 2000 m
/// (0.9) and 50 °C (0.9), multiplied, leave 81 A.
/// ```
/// use calc::{drive::derate::derated_current, working::Silent};
/// use plant::{choice::Combine, quantity::{Current, Ratio}};
/// let factors = [("altitude", Ratio::of_one(0.9)), ("ambient", Ratio::of_one(0.9))];
/// let left = derated_current(Current::a(100.0), &factors, Combine::Multiply, &mut Silent).unwrap();
/// assert!((left.current.in_a() - 81.0).abs() < 1e-9);
/// ```
pub fn derated_current<R: Recorder>(rated: Current, factors: &[(&str, Ratio)], combine: Combine, rec: &mut R) -> Result<Derated, Refusal> {
    if !(rated.is_finite() && rated > Current::ZERO) {
        return Err(Refusal::new(format!("a rated current is above zero, not {rated}")));
    }
    let factor = combined(factors.iter().map(|(_, factor)| *factor), combine)?;
    let current = rated * factor.in_of_one();
    rec.step(|| {
        let join = |sign: &str, show: &dyn Fn(Ratio) -> Ratio| {
            Datum::Word(factors.iter().map(|(_, f)| show(*f).text(System::Both)).collect::<Vec<_>>().join(sign))
        };
        let step = |formula, symbol, data| Step::new("k", "derating, all factors", formula, &PACK).with(symbol, data);
        let step = match combine {
            _ if factors.is_empty() => Step::new("k", "derating, no factor applies", "", &DEFINITION),
            Combine::Multiply => step("∏(k_i)", "k_i", join("·", &|f| f)),
            Combine::Add => step("max(0, 1 − Σ(d_i))", "d_i", join(" + ", &|f| Ratio::of_one(1.0) - f)),
            Combine::Lowest => step("min(k_i)", "k_i", join(", ", &|f| f)),
        };
        step.gives(factor).note(factors.iter().map(|(name, f)| format!("{name} {f}")).collect::<Vec<_>>().join(", "))
    });
    rec.step(|| Step::new("I", "current left", "k·I_r", &PACK).with("k", factor).with("I_r", rated).gives(current));
    Ok(Derated { factor, current })
}

/// The habit for altitude where the documents give no curve: 1 % of current per 100 m above 1000 m, up to 4000 m.
///
/// k = 1 − (h − 1000 m)/100 m · 1 %. No physics and no standard: the density of air falls a little less
/// (0.905 at 2000 m, relative to 1000 m, [`crate::supply::air`]). Voltage limits at altitude are another matter.
///
/// # Errors
/// Above 4000 m, where the habit is not used: ask the maker.
///
/// Source: common practice. Worked example: 2000 m leave 90 %.
/// ```
/// use calc::{drive::derate::altitude_habit, working::Silent};
/// use plant::quantity::Length;
/// assert!((altitude_habit(Length::m(2000.0), &mut Silent).unwrap().in_percent() - 90.0).abs() < 1e-9);
/// ```
pub fn altitude_habit<R: Recorder>(altitude: Length, rec: &mut R) -> Result<Ratio, Refusal> {
    const HABIT: Curve<'static> = Curve::unchecked(&[(1000.0, 1.0), (4000.0, 0.7)]);
    HABIT.read("derating for altitude, by habit", altitude, &ALTITUDE_HABIT, rec)
}

/// `calc altitude-habit`.
pub const ALTITUDE_HABIT_CALCULATION: Calculation = Calculation {
    name: "altitude-habit",
    summary: "Current factor at altitude by the habit of 1 % per 100 m above 1000 m, where a unit's documents give no curve.",
    inputs: &[quantity::<dim::LengthDim>("altitude", "height above sea level")],
    results: &[output::<dim::RatioDim>("factor", "%", "share of the rated current")],
    sources: &[&ALTITUDE_HABIT],
    run: |a: &Arguments, w: &mut Working| Ok(vec![altitude_habit(a.get("altitude"), w)?.in_si()]),
};

const fn rows(name: &'static str, cells: &'static [&'static DimensionInfo], doc: &'static str) -> Input {
    Input { name, kind: InputKind::Rows(cells), default: Some(""), doc }
}

/// `calc derate`.
pub const DERATE: Calculation = Calculation {
    name: "derate",
    summary: "Current left of a rating under documented curves for altitude, ambient and carrier, and further factors.",
    inputs: &[
        quantity::<dim::CurrentDim>("current", "rated current"),
        word("combine", &COMBINE_WORDS, "how the factors act together, by the unit's documents"),
        quantity_or::<dim::LengthDim>("altitude", "", "height above sea level"),
        rows("altitude-curve", &[dim::LengthDim::INFO, dim::RatioDim::INFO], "its points: \"1000 m, 100 %; 2000 m, 90 %\""),
        quantity_or::<dim::TemperatureDim>("ambient", "", "air temperature at the drive"),
        rows("ambient-curve", &[dim::TemperatureDim::INFO, dim::RatioDim::INFO], "its points: \"40 °C, 100 %; 50 °C, 90 %\""),
        quantity_or::<dim::FrequencyDim>("carrier", "", "switching frequency"),
        rows("carrier-curve", &[dim::FrequencyDim::INFO, dim::RatioDim::INFO], "its points: \"4 kHz, 100 %; 8 kHz, 85 %\""),
        rows("factors", &[dim::RatioDim::INFO], "further factors: \"95 %; 90 %\""),
    ],
    results: &[output::<dim::RatioDim>("factor", "%", "all factors as one"), output::<dim::CurrentDim>("current", "A", "current left")],
    sources: &[&PACK],
    run,
};

fn run(a: &Arguments, w: &mut Working) -> Result<Vec<f64>, Refusal> {
    fn one<D: Dimension>(a: &Arguments, name: &'static str, key: &str, w: &mut Working) -> Result<Option<(&'static str, Ratio)>, Refusal> {
        let points: Vec<(f64, f64)> = a.rows(key).iter().filter_map(|row| Some((*row.first()?, *row.get(1)?))).collect();
        match (a.get_opt::<D>(name), points.is_empty()) {
            (None, true) => Ok(None),
            (Some(at), false) => Curve::new(&points)?.read(name, at, &PACK, w).map(|factor| Some((name, factor))),
            _ => Err(Refusal::new(format!("{name} and {key} are given together or not at all"))),
        }
    }
    let mut factors: Vec<(&str, Ratio)> = [
        one::<dim::LengthDim>(a, "altitude", "altitude-curve", w)?,
        one::<dim::TemperatureDim>(a, "ambient", "ambient-curve", w)?,
        one::<dim::FrequencyDim>(a, "carrier", "carrier-curve", w)?,
    ]
    .into_iter()
    .flatten()
    .collect();
    factors.extend(a.rows("factors").iter().flatten().map(|factor| ("further factor", Ratio::si(*factor))));
    let how = Combine::from_word(a.word("combine")).unwrap_or(Combine::Multiply);
    let left = derated_current(a.get("current"), &factors, how, w)?;
    Ok(vec![left.factor.in_si(), left.current.in_si()])
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::working::Silent;

    fn ratios() -> impl Strategy<Value = Vec<Ratio>> {
        proptest::collection::vec((0.5f64..=1.0).prop_map(Ratio::of_one), 0..5)
    }

    #[test]
    fn a_documented_limit_in_another_unit_is_still_inside() {
        for hundredth in 1..=100 {
            let points = [(Ratio::of_one(f64::from(hundredth) / 100.0).in_si(), 0.9)];
            let curve = Curve::new(&points).unwrap();
            assert_eq!(curve.at(Ratio::percent(f64::from(hundredth))), Some(Ratio::of_one(0.9)), "{hundredth} %");
            assert_eq!(curve.at(Ratio::percent(f64::from(hundredth) + 0.001)), None);
        }
        assert_eq!(Curve::unchecked(&[(1.0, 0.9)]).factor_at(f64::NAN), None);
    }

    #[test]
    fn curves_that_no_document_can_mean_are_refused() {
        for points in [&[][..], &[(0.0, 1.0), (0.0, 0.9)], &[(1.0, 1.0), (0.0, 0.9)], &[(0.0, 0.0)], &[(0.0, 1.1)], &[(f64::NAN, 1.0)]] {
            assert!(Curve::new(points).is_err(), "{points:?}");
        }
    }

    #[test]
    fn the_way_factors_combine_shows_in_the_working() {
        let factors = [("altitude", Ratio::percent(90.0)), ("ambient", Ratio::percent(90.0))];
        for (how, line) in [
            (Combine::Multiply, "k = ∏(k_i) = ∏(90 %·90 %) = 81 %"),
            (Combine::Add, "k = max(0, 1 − Σ(d_i)) = max(0, 1 − Σ(10 % + 10 %)) = 80 %"),
            (Combine::Lowest, "k = min(k_i) = min(90 %, 90 %) = 90 %"),
        ] {
            let mut working = Working::default();
            derated_current(Current::a(100.0), &factors, how, &mut working).unwrap();
            assert_eq!(working.steps[0].line(System::Metric), line);
        }
    }

    #[test]
    fn added_reductions_leave_nothing_rather_than_less() {
        let most = Ratio::percent(40.0);
        assert_eq!(combined([most, most], Combine::Add), Ok(Ratio::ZERO));
        assert_eq!(combined([], Combine::Add), Ok(Ratio::percent(100.0)));
        assert!(combined([Ratio::of_one(1.01)], Combine::Lowest).is_err());
        assert!(combined([Ratio::of_one(-0.01)], Combine::Multiply).is_err());
        assert!(combined([Ratio::of_one(f64::NAN)], Combine::Lowest).is_err());
        assert!(altitude_habit(Length::m(4001.0), &mut Silent).is_err());
    }

    proptest! {
        #[test]
        fn severity_is_ordered_add_multiply_lowest(factors in ratios()) {
            let lowest = combined(factors.iter().copied(), Combine::Lowest).unwrap().in_of_one();
            let product = combined(factors.iter().copied(), Combine::Multiply).unwrap().in_of_one();
            prop_assert!(product > 0.0 && product <= lowest + 1e-12 && lowest <= 1.0);
            let sum = combined(factors.iter().copied(), Combine::Add).unwrap().in_of_one();
            prop_assert!(sum <= product + 1e-12 && sum >= 0.0);
        }

        #[test]
        fn order_of_factors_does_not_matter(factors in ratios()) {
            for how in [Combine::Multiply, Combine::Add, Combine::Lowest] {
                let there = combined(factors.iter().copied(), how).unwrap();
                let back = combined(factors.iter().rev().copied(), how).unwrap();
                prop_assert!((there - back).abs().in_of_one() < 1e-12);
            }
        }

        #[test]
        fn a_falling_curve_reads_falling_and_between_its_points(a in 0.0f64..60.0, b in 0.0f64..60.0) {
            const POINTS: [(f64, f64); 4] = [(10.0, 1.0), (20.0, 0.9), (40.0, 0.7), (60.0, 0.6)];
            let curve = Curve::new(&POINTS).unwrap();
            let at = |x: f64| curve.at(Length::m(x)).unwrap().in_of_one();
            prop_assert!(at(a.min(b)) >= at(a.max(b)) - 1e-12);
            prop_assert!((0.6 - 1e-12..=1.0).contains(&at(a)));
        }
    }
}
