//! What motors add to a fault: those on the line feed it from their flux for some cycles, a drive with a diode rectifier does not.

use plant::quantity::{Current, Ratio, dim};

use crate::checks::{above_zero, flag, not_negative, worded};
use crate::registry::{Arguments, Calculation, Refusal, output, quantity, quantity_or, word};
use crate::sources::{Knowledge, Source};
use crate::working::{Recorder, Step, Working};

/// Asynchronous motors and groups of them.
pub const MOTORS: Source = Source::new(
    "IEC 60909-0:2016 6.10 and 8.2: Z_M = U²/(I_LR/I_rM·S_rM), R_M/X_M = 0.42 at low voltage, κ = 1.3; left out up to 1 % of the fault current",
    Knowledge::FromMemory,
);
/// Converters.
pub const CONVERTERS: Source = Source::new(
    "IEC 60909-0:2016 6.11 and 8.2: only converters that can regenerate into the line count, as motors with I_LR/I_rM = 3 and R/X = 0.10",
    Knowledge::FromMemory,
);
/// The American habit.
pub const FOUR_TIMES: Source =
    Source::new("four times the full-load current of the motors running, a habit of the trade", Knowledge::CommonPractice);

worded! {
    /// What runs on the supply.
    Feeding "kind of load" {
        Motors "motors" "Asynchronous motors on the line, by IEC 60909-0.";
        Habit "habit" "Asynchronous motors on the line, four times their current.";
        Regenerative "regenerative" "Drives with a line side that feeds back.";
        Diode "diode" "Drives with a diode or half-controlled rectifier: they feed nothing back.";
    }
}

/// What motors add.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Contribution {
    /// Current of the motors, symmetrical rms.
    pub current: Current,
    /// Their peak.
    pub peak: Current,
    /// Fault current with them.
    pub total: Current,
    /// The standard would leave them out; they are added all the same, on the safe side.
    pub negligible: bool,
}

/// The fault current with the motors on the same bus.
///
/// I_M = c·(I_LR/I_rM)·I_rM for motors at their bus (no cable between), added to the supply's current as magnitudes, which is no less
/// than the sum of phasors. Units: A. `rated` is the sum of rated currents, `locked` their locked-rotor current over it
/// (IEC 60909-0 takes 5 for a group of which nothing is known, from memory).
///
/// # Errors
/// When a current is not above zero, or `locked` or `c` is not.
///
/// Source: IEC 60909-0. Worked example: 25 kA of supply, 400 A of motors, 6 times, c = 1: 2.4 kA more.
/// ```
/// use calc::{feeder::motors::{Feeding, motor_contribution}, working::Silent};
/// use plant::quantity::{Current, Ratio};
/// let with = |feeding| {
///     motor_contribution(Current::ka(25.0), Current::a(400.0), Ratio::of_one(6.0), 1.0, feeding, &mut Silent).unwrap().total.in_ka()
/// };
/// assert_eq!([Feeding::Motors, Feeding::Habit, Feeding::Diode].map(with), [27.4, 26.6, 25.0]);
/// ```
pub fn motor_contribution<R: Recorder>(
    supply: Current,
    rated: Current,
    locked: Ratio,
    c: f64,
    feeding: Feeding,
    rec: &mut R,
) -> Result<Contribution, Refusal> {
    above_zero("the fault current of the supply", supply)?;
    not_negative("the rated current of the motors", rated)?;
    above_zero("locked-rotor over rated current", locked)?;
    if !(0.8..=1.2).contains(&c) {
        return Err(Refusal::new(format!("a voltage factor lies near 1 (0.90 to 1.10), not at {c}")));
    }
    // κ by R/X: 0.42 gives 1.30, 0.10 gives 1.75.
    let (times, kappa, source) = match feeding {
        Feeding::Motors => (c * locked.in_of_one(), super::iec::peak_factor(0.42, 1.0), &MOTORS),
        Feeding::Habit => (4.0, super::iec::peak_factor(0.42, 1.0), &FOUR_TIMES),
        Feeding::Regenerative => (c * 3.0, super::iec::peak_factor(0.10, 1.0), &CONVERTERS),
        Feeding::Diode => (0.0, 1.0, &CONVERTERS),
    };
    let current = rated * times;
    let negligible = rated <= supply * 0.01;
    let found = Contribution { current, peak: current * (kappa * 2f64.sqrt()), total: supply + current, negligible };
    rec.step(|| {
        let step = Step::new("I_M", format!("fault current out of {}", feeding.word()), "k·ΣI_r", source)
            .with("k", plant::quantity::digits(times, 4))
            .with("ΣI_r", rated)
            .gives(current);
        match (feeding, negligible) {
            (Feeding::Diode, _) => step.note("a rectifier that conducts one way only feeds nothing back"),
            (_, true) => step.note("up to 1 % of the supply's current the standard leaves them out; added all the same"),
            _ => step.note("without the cables between, on the safe side"),
        }
    });
    rec.step(|| {
        Step::new("I_k", "fault current with them", "I_Q + I_M", source)
            .with("I_Q", supply)
            .with("I_M", current)
            .gives(found.total)
            .note("added as magnitudes, no less than as phasors")
    });
    Ok(found)
}

/// `calc motor-contribution`.
pub const MOTOR_CONTRIBUTION: Calculation = Calculation {
    name: "motor-contribution",
    summary: "What motors and drives on the same bus add to a fault current.",
    inputs: &[
        quantity::<dim::CurrentDim>("supply", "fault current without motors"),
        quantity::<dim::CurrentDim>("rated", "sum of the rated currents of what runs"),
        quantity_or::<dim::RatioDim>("locked", "5", "locked-rotor over rated current"),
        quantity_or::<dim::RatioDim>("c", "1.1", "voltage factor"),
        word("kind", Feeding::WORDS, "what runs"),
    ],
    results: &[
        output::<dim::CurrentDim>("current", "kA", "what they add"),
        output::<dim::CurrentDim>("peak", "kA", "their peak"),
        output::<dim::CurrentDim>("total", "kA", "fault current with them"),
        output::<dim::CountDim>("negligible", "", "1 when the standard would leave them out"),
    ],
    sources: &[&MOTORS, &CONVERTERS, &FOUR_TIMES],
    run: |a: &Arguments, w: &mut Working| {
        let c = a.get::<dim::RatioDim>("c").in_of_one();
        let found = motor_contribution(a.get("supply"), a.get("rated"), a.get("locked"), c, Feeding::from_word(a.word("kind"))?, w)?;
        Ok(vec![found.current.in_si(), found.peak.in_si(), found.total.in_si(), flag(found.negligible)])
    },
};

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::working::Silent;

    #[test]
    fn the_rule_of_one_percent_is_told_not_used() {
        let with = |rated| {
            motor_contribution(Current::ka(25.0), Current::a(rated), Ratio::of_one(5.0), 1.1, Feeding::Motors, &mut Silent).unwrap()
        };
        assert!(with(250.0).negligible && !with(251.0).negligible && with(250.0).total > Current::ka(25.0));
        // κ = 1.02 + 0.98·e^(−1.26) = 1.298.
        assert!((with(250.0).peak / with(250.0).current / 2f64.sqrt() - 1.298).abs() < 1e-3);
    }

    #[test]
    fn what_cannot_be_is_refused() {
        let at = |supply, rated, c| {
            motor_contribution(Current::a(supply), Current::a(rated), Ratio::of_one(5.0), c, Feeding::Motors, &mut Silent).is_err()
        };
        assert!(at(0.0, 1.0, 1.0) && at(1.0, -1.0, 1.0) && at(1.0, 1.0, 5.0) && !at(1.0, 0.0, 1.0));
    }

    proptest! {
        #[test]
        fn more_motors_never_give_less(a in 0.0f64..5000.0, b in 0.0f64..5000.0, kind in 0usize..4) {
            let at = |rated| {
                motor_contribution(Current::ka(20.0), Current::a(rated), Ratio::of_one(6.0), 1.05, Feeding::ALL[kind], &mut Silent).unwrap().total
            };
            prop_assert!(at(a.max(b)) >= at(a.min(b)));
        }
    }
}
