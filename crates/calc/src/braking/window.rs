//! The window of a braking resistor: not below what the chopper carries, not above what the load needs. It may be empty.

use plant::quantity::{Count, Power, Ratio, Resistance, Time, Voltage, dim};

use crate::load::{above_zero, not_below_zero};
use crate::registry::{Arguments, Calculation, Input, Refusal, output, quantity, quantity_or, word};
use crate::sources::{DEFINITION, PACK, PRACTICE};
use crate::working::{Recorder, Step, Working};

/// What chopper and load ask for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Need {
    /// Smallest resistance that the chopper carries, by the unit's documents.
    pub smallest: Resistance,
    /// DC link voltage at which it switches on: the power of the resistor is counted there.
    pub level: Voltage,
    /// Largest power that comes back.
    pub peak: Power,
    /// How far a resistor's ohms stray to either side.
    pub tolerance: Ratio,
}

/// The window.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Window {
    /// Smallest nominal resistance: even at its lower tolerance the chopper carries it.
    pub smallest: Resistance,
    /// Largest nominal resistance: even at its upper tolerance it takes the peak.
    pub largest: Resistance,
    /// Power that the chopper can burn at most: the level over its smallest resistance.
    pub chopper: Power,
}

impl Window {
    /// No resistor fits.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.largest < self.smallest
    }

    /// Margins of a resistor: over the smallest, and under the largest. Negative is outside.
    #[must_use]
    pub fn margins(&self, resistor: Resistance) -> (Ratio, Ratio) {
        (Ratio::of_one(resistor / self.smallest - 1.0), Ratio::of_one(self.largest / resistor - 1.0))
    }
}

/// Window of the resistor.
///
/// R ≥ R_min/(1 − tol); R ≤ U²/P/(1 + tol). Ω, V, W. Where the second is below the first, no resistor works: a longer stop, a
/// larger unit or a second chopper, the link of a neighbour, a regenerative front end, or a mechanical brake.
///
/// # Errors
/// When an input is not above zero, or the tolerance not from 0 to below 100 %.
///
/// Source: definition. Worked example: 800 V, 30.6 kW, 24 Ω: at most 20.9 Ω, so none.
/// ```
/// use calc::{braking::window::{resistor_window, Need}, working::Silent};
/// use plant::quantity::{Power, Ratio, Resistance, Voltage};
/// let need = Need { smallest: Resistance::ohm(24.0), level: Voltage::v(800.0), peak: Power::kw(30.6), tolerance: Ratio::ZERO };
/// let window = resistor_window(&need, &mut Silent).unwrap();
/// assert!((window.largest.in_ohm() - 20.9).abs() < 0.05 && window.is_empty());
/// ```
pub fn resistor_window<R: Recorder>(need: &Need, rec: &mut R) -> Result<Window, Refusal> {
    above_zero(need.smallest, "smallest resistance of the chopper")?;
    above_zero(need.level, "level of the chopper")?;
    above_zero(need.peak, "largest power that comes back")?;
    let tolerance = need.tolerance.in_of_one();
    if !(0.0..1.0).contains(&tolerance) {
        return Err(Refusal::new(format!("the tolerance lies from 0 to below 100 %, not at {}", need.tolerance)));
    }
    let square = need.level.in_v() * need.level.in_v();
    let window = Window {
        smallest: need.smallest / (1.0 - tolerance),
        largest: Resistance::ohm(square / need.peak.in_w()) / (1.0 + tolerance),
        chopper: Power::w(square / need.smallest.in_ohm()),
    };
    rec.step(|| {
        Step::new("R_1", "smallest nominal resistance", "R_min/(1 − tol)", &PACK)
            .with("R_min", need.smallest)
            .with("tol", need.tolerance)
            .gives(window.smallest)
    });
    rec.step(|| {
        Step::new("R_2", "largest nominal resistance", "U²/P/(1 + tol)", &DEFINITION)
            .with("U", need.level)
            .with("P", need.peak.electric())
            .with("tol", need.tolerance)
            .gives(window.largest)
    });
    rec.step(|| {
        Step::new("P_c", "what the chopper can burn", "U²/R_min", &DEFINITION)
            .with("U", need.level)
            .with("R_min", need.smallest)
            .gives(window.chopper.electric())
    });
    if window.is_empty() {
        rec.step(|| {
            Step::new("window", "resistors that fit", "", &PRACTICE).gives("none: no resistor fits").note(
                "ways out: a longer stop, a larger unit or a second chopper, a common DC link, a regenerative front end, a mechanical brake",
            )
        });
    }
    Ok(window)
}

/// Even stop that a chopper can burn at most, from one that is too much for it.
///
/// The power of an even stop goes with 1/t while friction is left out: t' = t·P/P_c.
///
/// # Errors
/// When an input is not above zero.
///
/// Source: definition. Worked example: 8 s at 30.6 kW with 26.67 kW of chopper: 9.2 s.
/// ```
/// use calc::{braking::window::stretched, working::Silent};
/// use plant::quantity::{Power, Time};
/// let t = stretched(Time::s(8.0), Power::kw(30.6), Power::w(800.0 * 800.0 / 24.0), &mut Silent).unwrap();
/// assert!((t.in_s() - 9.18).abs() < 0.005);
/// ```
pub fn stretched<R: Recorder>(stop: Time, peak: Power, possible: Power, rec: &mut R) -> Result<Time, Refusal> {
    above_zero(stop, "time of the stop")?;
    above_zero(peak, "largest power that comes back")?;
    above_zero(possible, "power that the chopper burns")?;
    let time = stop * (peak / possible).max(1.0);
    rec.step(|| {
        Step::new("t'", "shortest even stop with the chopper's smallest resistance", "t·max(1, P/P_c)", &DEFINITION)
            .with("t", stop)
            .with("P", peak.electric())
            .with("P_c", possible.electric())
            .gives(time)
            .note("friction left out: the safe side where it helps to stop; where the load drives on, shortest-stop counts it")
    });
    Ok(time)
}

/// A resistor put together from equal elements.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Arrangement {
    /// The whole, as measured at its two terminals.
    pub resistance: Resistance,
    /// Power of all elements; never more than the whole can share.
    pub power: Power,
}

/// Ohms and watts of equal elements, `series` in a string and `parallel` strings.
///
/// R = R_e·s/p, P = P_e·s·p.
///
/// # Errors
/// When an input is not above zero, or a count no whole number up to 255.
///
/// Source: definition. Worked example: 10 Ω, 2 kW, two in series, two strings: 10 Ω and 8 kW.
/// ```
/// use calc::{braking::window::arrangement, working::Silent};
/// use plant::quantity::{Count, Power, Resistance};
/// let a = arrangement(Resistance::ohm(10.0), Power::kw(2.0), Count::of(2.0), Count::of(2.0), &mut Silent).unwrap();
/// assert!((a.resistance.in_ohm() - 10.0).abs() < 1e-9 && (a.power.in_kw() - 8.0).abs() < 1e-9);
/// ```
pub fn arrangement<R: Recorder>(
    element: Resistance,
    power: Power,
    series: Count,
    parallel: Count,
    rec: &mut R,
) -> Result<Arrangement, Refusal> {
    above_zero(element, "resistance of an element")?;
    not_below_zero(power, "power of an element")?;
    for (count, what) in [(series, "elements in series"), (parallel, "strings in parallel")] {
        if !(1..=255).any(|n| (f64::from(n) - count.in_count()).abs() < 1e-9) {
            return Err(Refusal::new(format!("the {what} are a whole number from 1 to 255, not {count}")));
        }
    }
    let result = Arrangement { resistance: element * (series / parallel), power: power * (series.in_count() * parallel.in_count()) };
    rec.step(|| {
        Step::new("R", "resistance of all elements", "R_e·s/p", &DEFINITION)
            .with("R_e", element)
            .with("s", series)
            .with("p", parallel)
            .gives(result.resistance)
            .note("one broken string of several raises it, one bridged element lowers it: measure at the terminals, dead and cold")
    });
    rec.step(|| {
        Step::new("P", "power of all elements", "P_e·s·p", &DEFINITION)
            .with("P_e", power.electric())
            .with("s", series)
            .with("p", parallel)
            .gives(result.power.electric())
    });
    Ok(result)
}

const SMALLEST: Input = quantity::<dim::ResistanceDim>("smallest", "smallest resistance of the unit's chopper");
/// Level of a chopper.
pub(super) const LEVEL: Input = quantity::<dim::VoltageDim>("level", "DC link voltage at which the chopper switches on");

/// `calc resistor-window`.
pub const RESISTOR_WINDOW: Calculation = Calculation {
    name: "resistor-window",
    summary: "Smallest and largest braking resistor, whether any fits, and the existing one by its measured ohms.",
    inputs: &[
        SMALLEST,
        LEVEL,
        quantity::<dim::PowerDim>("peak", "largest power that comes back"),
        quantity_or::<dim::RatioDim>("tolerance", "0 %", "how far a resistor's ohms stray to either side"),
        quantity_or::<dim::ResistanceDim>("resistor", "", "ohms measured at the terminals of the existing one; then its tolerance is 0 %"),
        quantity_or::<dim::TimeDim>("stop", "", "time of the stop that the peak belongs to"),
    ],
    results: &[
        output::<dim::ResistanceDim>("from", "Ω", "smallest nominal resistance"),
        output::<dim::ResistanceDim>("to", "Ω", "largest nominal resistance"),
        output::<dim::CountDim>("empty", "", "1 no resistor fits, 0 some do"),
        output::<dim::PowerDim>("chopper", "kW", "power that the chopper can burn at most"),
        output::<dim::RatioDim>("low-margin", "%", "existing one over the smallest less one; zero without one"),
        output::<dim::RatioDim>("high-margin", "%", "largest over the existing one less one; zero without one"),
        output::<dim::TimeDim>("shortest-stop", "s", "even stop at the chopper's smallest resistance; zero without a stop"),
    ],
    sources: &[&PACK, &DEFINITION, &PRACTICE],
    run: |a: &Arguments, w: &mut Working| {
        let need = Need { smallest: a.get("smallest"), level: a.get("level"), peak: a.get("peak"), tolerance: a.get("tolerance") };
        let window = resistor_window(&need, w)?;
        let mut margins = (Ratio::ZERO, Ratio::ZERO);
        if let Some(resistor) = a.get_opt::<dim::ResistanceDim>("resistor") {
            above_zero(resistor, "resistance measured")?;
            let exact = Window { smallest: need.smallest, largest: window.largest * (1.0 + need.tolerance.in_of_one()), ..window };
            margins = exact.margins(resistor);
            w.step(|| {
                Step::new("m_1", "existing resistor over the smallest", "R/R_min − 1", &DEFINITION)
                    .with("R", resistor)
                    .with("R_min", need.smallest)
                    .gives(margins.0)
                    .note("measured, so without tolerance; it may be lower when cold")
            });
            w.step(|| {
                Step::new("m_2", "largest over the existing resistor", "R_2/R − 1", &DEFINITION)
                    .with("R_2", exact.largest)
                    .with("R", resistor)
                    .gives(margins.1)
            });
        }
        let shortest = match a.get_opt::<dim::TimeDim>("stop") {
            Some(stop) => stretched(stop, need.peak, window.chopper, w)?,
            None => Time::ZERO,
        };
        Ok(vec![
            window.smallest.in_si(),
            window.largest.in_si(),
            f64::from(u8::from(window.is_empty())),
            window.chopper.in_si(),
            margins.0.in_si(),
            margins.1.in_si(),
            shortest.in_si(),
        ])
    },
};

/// `calc resistor-arrangement`.
pub const RESISTOR_ARRANGEMENT: Calculation = Calculation {
    name: "resistor-arrangement",
    summary: "Ohms and watts of a resistor of equal elements, and its ohms with one string open.",
    inputs: &[
        quantity::<dim::ResistanceDim>("element", "resistance of one element"),
        quantity::<dim::PowerDim>("power", "continuous power of one element"),
        quantity_or::<dim::CountDim>("series", "1", "elements in a string"),
        quantity_or::<dim::CountDim>("parallel", "1", "strings side by side"),
        word("string-open", &["no", "yes"], "count with one string open"),
    ],
    results: &[
        output::<dim::ResistanceDim>("resistance", "Ω", "of the whole"),
        output::<dim::PowerDim>("power", "kW", "continuous power of the whole"),
    ],
    sources: &[&DEFINITION],
    run: |a: &Arguments, w: &mut Working| {
        let mut parallel: Count = a.get("parallel");
        if a.word("string-open") == "yes" {
            parallel = parallel - Count::of(1.0);
            if parallel < Count::of(1.0) {
                return Err(Refusal::new("with its only string open the resistor is open: nothing is burnt"));
            }
        }
        let whole = arrangement(a.get("element"), a.get("power"), a.get("series"), parallel, w)?;
        Ok(vec![whole.resistance.in_si(), whole.power.in_si()])
    },
};
