//! What a count stands for: Hz and rpm behind the number in a word, both ways, and the whole-number line between two scales.

use plant::choice::Choice;
use plant::network::{DataWord, ReferenceUnit, Scale};
use plant::quantity::{Frequency, Speed, System, digits};

use super::pair::{Quantity, quantity};

/// Settings that scales hang on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Settings {
    /// Value of the setting that a full-scale count stands for.
    pub full_scale: Frequency,
    /// Highest output frequency that the drive lets through.
    pub highest: Frequency,
    /// Unit of a reference whose unit is set.
    pub unit: ReferenceUnit,
    /// Poles of the motor, for rpm: n = 120·f/p, without slip.
    pub poles: f64,
}

impl Settings {
    /// Hz of a speed without slip: f = n·p/120.
    #[must_use]
    pub fn hertz_of_rpm(&self, rpm: f64) -> f64 {
        rpm * self.poles / 120.0
    }

    /// Speed without slip of a frequency.
    #[must_use]
    pub fn speed(&self, frequency: Frequency) -> Speed {
        Speed::rpm(frequency.in_hz() * 120.0 / self.poles)
    }
}

/// What one count of a word stands for, in Hz, A or a share of rated; `None` for bits, codes and floats.
///
/// ```
/// use plant::network::{FullScale, ReferenceUnit, Scale};
/// use plant::quantity::Frequency;
/// use transfer::words::scale::{Settings, per_count};
/// let settings = Settings { full_scale: Frequency::hz(60.0), highest: Frequency::hz(60.0), unit: ReferenceUnit::Hertz, poles: 4.0 };
/// // 0…32767 = maximum frequency (common practice, no source): 16384 counts are 30.0009 Hz.
/// let scale = Scale::FullScale { counts: 32_767.0, of: FullScale::MaximumFrequency };
/// assert!((per_count(scale, &settings).unwrap() * 16_384.0 - 30.0009).abs() < 1e-4);
/// ```
#[must_use]
pub fn per_count(scale: Scale, settings: &Settings) -> Option<f64> {
    match scale {
        Scale::FullScale { counts, .. } => Some(settings.full_scale.in_hz() / counts),
        Scale::Hertz(step) | Scale::Ampere(step) | Scale::Share(step) => Some(step),
        Scale::Rpm(step) => Some(settings.hertz_of_rpm(step)),
        Scale::BySetting { hertz, rpm } => Some(match settings.unit {
            ReferenceUnit::Hertz => hertz,
            ReferenceUnit::Rpm => settings.hertz_of_rpm(rpm),
        }),
        Scale::FloatHertz | Scale::FloatRpm => None,
    }
}

/// The quantity behind a raw word: Hz, A or a share of rated. `None` for bits and codes, and for a float that is no number.
#[must_use]
pub fn value(word: &DataWord, raw: u32, settings: &Settings) -> Option<f64> {
    let float = || Some(f64::from(f32::from_bits(raw))).filter(|v| v.is_finite());
    match word.scale? {
        Scale::FloatHertz => float(),
        Scale::FloatRpm => float().map(|rpm| settings.hertz_of_rpm(rpm)),
        #[expect(clippy::cast_precision_loss, reason = "counts have at most 32 bits")]
        scale => per_count(scale, settings).map(|step| word.count(raw) as f64 * step),
    }
}

/// What one count of a word is, for people: "0.01 Hz, 0.3 rpm a count"; empty for bits and codes.
#[must_use]
pub fn one_count(word: &DataWord, settings: &Settings) -> String {
    let Some(scale) = word.scale else { return String::new() };
    let Some(step) = per_count(scale, settings) else {
        return if scale == Scale::FloatHertz { "Hz in single precision".to_owned() } else { "rpm in single precision".to_owned() };
    };
    match quantity(scale) {
        Quantity::Speed => {
            let rpm = settings.speed(Frequency::hz(step)).in_rpm();
            let of = match scale {
                Scale::FullScale { counts, of } => {
                    format!(" ({} counts are {} = {})", digits(counts, 6), of.word(), settings.full_scale.text(System::Metric))
                }
                _ => String::new(),
            };
            format!("{} Hz, {} rpm a count{of}", digits(step, 4), digits(rpm, 4))
        }
        Quantity::Current => format!("{} A a count", digits(step, 4)),
        Quantity::Share => format!("{} % a count", digits(step * 100.0, 4)),
    }
}

/// A raw word and whether the quantity lay outside its range.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Counted {
    /// The raw word.
    pub raw: u32,
    /// It was cut at an end of the word's range.
    pub clipped: bool,
}

/// The raw word nearest to a quantity (Hz, A or share); `None` for bits and codes.
#[must_use]
pub fn counted(word: &DataWord, quantity: f64, settings: &Settings) -> Option<Counted> {
    #[expect(clippy::cast_possible_truncation, reason = "single precision is what the word carries")]
    let float = |v: f64| Some(Counted { raw: (v as f32).to_bits(), clipped: false });
    match word.scale? {
        Scale::FloatHertz => float(quantity),
        Scale::FloatRpm => float(quantity * 120.0 / settings.poles),
        scale => {
            let step = per_count(scale, settings).filter(|s| *s > 0.0)?;
            // Far beyond any word, yet exact as a float.
            let count = (quantity / step).round().clamp(-1e15, 1e15);
            let (low, high) = word.counts();
            #[expect(clippy::cast_possible_truncation, reason = "clamped above")]
            let whole = count as i64;
            Some(Counted { raw: word.raw(whole), clipped: whole < low || whole > high })
        }
    }
}

/// A line through nought in whole numbers: y = (x·num ± den/2)/den, rounded to the nearest, halves away from nought.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Line {
    /// Multiplied first.
    pub num: i32,
    /// Divided by then.
    pub den: i32,
}

impl Line {
    /// The line nearest to `ratio` whose products of counts up to `largest` stay within 32 bits with sign, by continued fractions.
    /// `None` for a ratio that is not above nought, or so large or small that no such line is left.
    ///
    /// ```
    /// use transfer::words::scale::Line;
    /// assert_eq!(Line::of(6000.0 / 32_767.0, 32_768), Some(Line { num: 6000, den: 32_767 }));
    /// assert_eq!(Line::of(0.5, 32_768).map(|l| l.at(-3)), Some(-2));
    /// ```
    #[must_use]
    pub fn of(ratio: f64, largest: i64) -> Option<Self> {
        if !ratio.is_finite() || ratio <= 0.0 || largest < 1 {
            return None;
        }
        let fits = |num: i64, den: i64| {
            num.checked_mul(largest).and_then(|p| p.checked_add(den / 2)).is_some_and(|p| p <= i64::from(i32::MAX))
                && den <= i64::from(i32::MAX)
        };
        let (mut before, mut now) = ((0_i64, 1_i64), (1_i64, 0_i64));
        let mut rest = ratio;
        let mut best = None;
        for _ in 0..64 {
            let whole = rest.floor();
            if whole > 1e9 {
                break;
            }
            #[expect(clippy::cast_possible_truncation, reason = "at most 1e9")]
            let term = whole as i64;
            let next = (
                term.checked_mul(now.0).and_then(|v| v.checked_add(before.0)),
                term.checked_mul(now.1).and_then(|v| v.checked_add(before.1)),
            );
            let (Some(num), Some(den)) = next else { break };
            if !fits(num, den) {
                break;
            }
            (before, now) = (now, (num, den));
            if num > 0 {
                best = Some((num, den));
            }
            let part = rest - whole;
            if part < 1e-12 {
                break;
            }
            rest = 1.0 / part;
        }
        let (num, den) = best?;
        Some(Self { num: i32::try_from(num).ok()?, den: i32::try_from(den).ok()? })
    }

    /// Its value at a count.
    #[must_use]
    pub fn at(self, count: i64) -> i64 {
        let half = i64::from(self.den) / 2;
        let product = count.saturating_mul(i64::from(self.num));
        (if product < 0 { product - half } else { product + half }) / i64::from(self.den)
    }
}

#[cfg(test)]
mod tests {
    use plant::network::{Direction, FullScale, Signedness, WordMeaning};

    use super::*;

    fn settings(hertz: f64) -> Settings {
        Settings { full_scale: Frequency::hz(hertz), highest: Frequency::hz(hertz), unit: ReferenceUnit::Hertz, poles: 4.0 }
    }

    fn word(scale: Scale) -> DataWord {
        let plain = DataWord::plain("w", Direction::ToDrive, 1, WordMeaning::SpeedSetpoint);
        DataWord { scale: Some(scale), signed: Signedness::Signed, ..plain }
    }

    #[test]
    fn the_same_word_is_30_hertz_or_30_rpm() {
        // Common practice, no source: an engineering-unit reference and its unit setting.
        let word = word(Scale::BySetting { hertz: 1.0, rpm: 1.0 });
        let rpm = Settings { unit: ReferenceUnit::Rpm, ..settings(60.0) };
        assert_eq!(value(&word, 30, &settings(60.0)), Some(30.0));
        assert!(value(&word, 30, &rpm).is_some_and(|hz| (hz - 1.0).abs() < 1e-12), "30 rpm of four poles is 1 Hz");
    }

    #[test]
    fn quantities_and_counts_go_both_ways() {
        for scale in [Scale::FullScale { counts: 32_767.0, of: FullScale::MaximumFrequency }, Scale::Hertz(0.01), Scale::Rpm(1.0)] {
            let word = word(scale);
            for raw in (0..=0xFFFF_u32).step_by(7) {
                let hertz = value(&word, raw, &settings(60.0)).expect("a speed");
                assert_eq!(counted(&word, hertz, &settings(60.0)), Some(Counted { raw, clipped: false }));
            }
        }
        let word = word(Scale::Hertz(0.01));
        assert_eq!(counted(&word, 400.0, &settings(60.0)), Some(Counted { raw: 0x7FFF, clipped: true }));
    }

    #[test]
    fn floats_that_are_no_numbers_are_no_speed() {
        let word = DataWord { width: 32, ..word(Scale::FloatHertz) };
        assert_eq!(value(&word, 0x4270_0000, &settings(60.0)), Some(60.0));
        assert_eq!(value(&word, 0x7F80_0000, &settings(60.0)), None);
    }

    proptest::proptest! {
        #[test]
        fn a_line_is_within_half_a_count_and_never_falls(ratio in 1e-3f64..30.0, count in 0_i64..32_768) {
            let line = Line::of(ratio, 32_768).expect("a usual ratio");
            #[expect(clippy::cast_precision_loss, reason = "small")]
            let (exact, found) = (count as f64 * ratio, line.at(count) as f64);
            // Half a count of rounding, and what the whole numbers leave of the ratio over the whole word.
            proptest::prop_assert!((found - exact).abs() <= 0.5 + 32_768.0 * (f64::from(line.num) / f64::from(line.den) - ratio).abs() + 1e-9);
            proptest::prop_assert!((f64::from(line.num) / f64::from(line.den) / ratio - 1.0).abs() < 1e-4);
            proptest::prop_assert!(line.at(count + 1) >= line.at(count) && line.at(-count) == -line.at(count));
        }

        #[test]
        fn there_and_back_is_within_a_count_where_the_scale_allows(hertz in 10.0f64..320.0, count in -32_767_i64..32_768) {
            // Old: 32767 counts; new: 0.01 Hz. Coarser counts lose half a step, so the way back is within half a step of the coarser one.
            let ratio = hertz * 100.0 / 32_767.0;
            let (there, back) = (Line::of(ratio, 32_768).expect("usual"), Line::of(1.0 / ratio, 32_768).expect("usual"));
            let loss = if ratio >= 1.0 { 1.0 } else { 0.5 / ratio + 1.0 };
            #[expect(clippy::cast_precision_loss, reason = "small")]
            let gone = (back.at(there.at(count)) - count).abs() as f64;
            proptest::prop_assert!(gone <= loss, "{count}: {gone} of {loss}");
        }

        #[test]
        fn no_ratio_makes_it_panic(ratio in proptest::num::f64::ANY, largest in 0_i64..5_000_000_000) {
            if let Some(line) = Line::of(ratio, largest) { let _ = line.at(largest); }
        }
    }
}
