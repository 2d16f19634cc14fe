//! Whether a circuit may be landed at a point: one line for each thing that must agree, with what is there, what is needed and how far
//! it is covered. Values are ranges; a line holds or fails only where every value of its range does.

mod analogue;
mod input;
mod other;
mod output;

use calc::working::Recorder;
use plant::choice::Choice;
use plant::fact::Known;
use plant::quantity::{Dimension, Quantity, System, show};
use plant::wires::{Conductor, ControlPoint, PointKind};

pub(super) use self::analogue::is_current;
pub(super) use self::input::{is_dry, needed_wiring};

/// What a line of a proof comes to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Verdict {
    /// Whatever the rest turns out to be.
    Holds,
    /// It hangs on what is not known.
    Open,
    /// Whatever the rest turns out to be, it does not.
    Fails,
}

impl Verdict {
    /// As in JSON.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Holds => "holds",
            Self::Open => "depends",
            Self::Fails => "fails",
        }
    }
}

/// Which fault a line looks for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Fault {
    /// Another voltage, or another kind of voltage.
    Voltage,
    /// Sinking on sinking, or sourcing on sourcing.
    Polarity,
    /// Leakage holds it on.
    HeldOn,
    /// It does not reach the level at which it is seen.
    NotSeen,
    /// A contact switches more than it may.
    Overload,
    /// A contact is wetted with less than it needs.
    Wetting,
    /// A contact tells the wrong state, or is closed without supply.
    Sense,
    /// Another range, or no sign.
    Range,
    /// No isolation between different earths.
    Isolation,
    /// The loop has not volts enough.
    Loop,
    /// An output that its meter does not read.
    Meter,
    /// Encoder: level, supply or frequency.
    Encoder,
    /// A winding sensor that is not read.
    Sensor,
    /// A safety channel.
    Safety,
    /// A supply that the old drive gave or took.
    Supply,
    /// No terminal for one of its conductors.
    Terminal,
    /// What the list says of it contradicts itself, or is not said.
    List,
}

/// One line of a proof.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// Which fault it looks for.
    pub fault: Fault,
    /// What is compared.
    pub what: &'static str,
    /// What is there.
    pub have: String,
    /// What is needed.
    pub need: String,
    /// By how much it is covered at worst, as a share of the limit; `None` where there is no number, or no limit.
    pub margin: Option<f64>,
    /// What it comes to.
    pub verdict: Verdict,
}

/// The worst of some lines.
#[must_use]
pub fn worst(lines: &[Line]) -> Verdict {
    lines.iter().map(|l| l.verdict).max().unwrap_or(Verdict::Holds)
}

/// A range of values, in SI.
pub(super) type Span = Option<(f64, f64)>;

/// What is known, as a range.
pub(super) fn span(known: &Known) -> Span {
    known.bounds()
}

/// Text of a range.
pub(super) fn text<D: Dimension>(span: Span) -> String {
    match span {
        None => "not known".to_owned(),
        Some((low, high)) if (high - low).abs() <= 1e-12 * high.abs() => show(low, D::INFO, System::Metric),
        Some((low, high)) => format!("{} to {}", show(low, D::INFO, System::Metric), show(high, D::INFO, System::Metric)),
    }
}

/// Share by which a value may pass a limit and count as equal to it: rounding of conversions.
const ROUNDING: f64 = 1e-9;

/// A value that may not pass a limit. Neither side is guessed: a limit that the pack does not say leaves the line open.
pub(super) fn at_most<D: Dimension>(fault: Fault, what: &'static str, have: Span, most: Option<Quantity<D>>) -> Line {
    let limit = most.map(Quantity::in_si);
    let verdict = match (have, limit) {
        (Some((_, high)), Some(most)) if high <= most + ROUNDING * most.abs() => Verdict::Holds,
        (Some((low, _)), Some(most)) if low > most + ROUNDING * most.abs() => Verdict::Fails,
        _ => Verdict::Open,
    };
    let margin = have.zip(limit).filter(|(_, most)| *most > 0.0).map(|((_, high), most)| 1.0 - high / most);
    let need = limit.map_or_else(|| "the pack is silent".to_owned(), |v| format!("at most {}", show(v, D::INFO, System::Metric)));
    Line { fault, what, have: text::<D>(have), need, margin, verdict }
}

/// A value that may not fall below a limit.
pub(super) fn at_least<D: Dimension>(fault: Fault, what: &'static str, have: Span, least: Option<Quantity<D>>) -> Line {
    let limit = least.map(Quantity::in_si);
    let verdict = match (have, limit) {
        (Some((low, _)), Some(least)) if low >= least - ROUNDING * least.abs() => Verdict::Holds,
        (Some((_, high)), Some(least)) if high < least - ROUNDING * least.abs() => Verdict::Fails,
        _ => Verdict::Open,
    };
    let margin = have.zip(limit).filter(|(_, least)| *least > 0.0).map(|((low, _), least)| low / least - 1.0);
    let need = limit.map_or_else(|| "the pack is silent".to_owned(), |v| format!("at least {}", show(v, D::INFO, System::Metric)));
    Line { fault, what, have: text::<D>(have), need, margin, verdict }
}

/// Two words that must be the same.
pub(super) fn same<C: Choice>(fault: Fault, what: &'static str, have: Option<C>, need: Option<C>) -> Line {
    let verdict = match (have, need) {
        (Some(one), Some(other)) if one == other => Verdict::Holds,
        (Some(_), Some(_)) => Verdict::Fails,
        _ => Verdict::Open,
    };
    let word = |w: Option<C>, none: &str| w.map_or_else(|| none.to_owned(), |w| w.word().to_owned());
    Line { fault, what, have: word(have, "not known"), need: word(need, "the pack is silent"), margin: None, verdict }
}

/// One of a list of words.
pub(super) fn among<C: Choice>(fault: Fault, what: &'static str, have: Option<C>, list: &[C]) -> Line {
    let verdict = match have {
        _ if list.is_empty() => Verdict::Open,
        None => Verdict::Open,
        Some(word) if list.contains(&word) => Verdict::Holds,
        Some(_) => Verdict::Fails,
    };
    let words: Vec<&str> = list.iter().map(|w| w.word()).collect();
    let need = if words.is_empty() { "the pack is silent".to_owned() } else { words.join(" or ") };
    Line { fault, what, have: have.map_or_else(|| "not known".to_owned(), |w| w.word().to_owned()), need, margin: None, verdict }
}

/// A line that is plainly so or not.
pub(super) fn plain(fault: Fault, what: &'static str, have: impl Into<String>, need: impl Into<String>, verdict: Verdict) -> Line {
    Line { fault, what, have: have.into(), need: need.into(), margin: None, verdict }
}

/// Proves a circuit against a point: every line, whether it holds or not.
pub fn prove<R: Recorder>(nature: &Conductor, point: &ControlPoint, rec: &mut R) -> Vec<Line> {
    match point.kind {
        Some(PointKind::DigitalInput) => input::lines(nature, point, rec),
        Some(PointKind::RelayOutput | PointKind::TransistorOutput) => output::lines(nature, point, rec),
        Some(PointKind::AnalogueInput) => analogue::input(nature, point, rec),
        Some(PointKind::AnalogueOutput) => analogue::output(nature, point),
        Some(PointKind::EncoderInput) => other::encoder(nature, point, rec),
        Some(PointKind::ThermistorInput) => other::thermistor(nature, point),
        Some(PointKind::SafeInput) => input::safe(nature, point, rec),
        Some(PointKind::SupplyOutput) => other::supply_out(nature, point),
        Some(PointKind::SupplyInput) => other::supply_in(nature, point),
        None => Vec::new(),
    }
}
