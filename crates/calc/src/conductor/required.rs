//! The ampacity that the NEC asks of a motor circuit's conductors. What counts on the line side of a drive is the drive's
//! rated input current, not the motor's.

use plant::quantity::{Current, dim};

use crate::checks::{above_zero, not_negative, worded};
use crate::registry::{Arguments, Calculation, Input, InputKind, Refusal, output, quantity_or, word};
use crate::sources::{Knowledge, Source};
use crate::working::{Recorder, Step, Working};

/// One motor on the line, and the output of a drive.
pub const NEC_430_22: Source =
    Source::new("NFPA 70 NEC 430.22 (2011 to 2023; 430.22(A) in 2008): 125 % of full-load current", Knowledge::FromMemory);
/// The line side of a drive.
pub const NEC_430_122: Source = Source::new(
    "NFPA 70 NEC 430.122(A) (2008 to 2023): 125 % of the rated input current of the power conversion equipment",
    Knowledge::FromMemory,
);
/// A drive with a bypass.
pub const NEC_430_122_BYPASS: Source = Source::new(
    "NFPA 70 NEC 430.122, paragraph on bypass devices ((B); its letter differs between editions): the larger of both",
    Knowledge::FromMemory,
);
/// Several motors on one feeder.
pub const NEC_430_24: Source = Source::new(
    "NFPA 70 NEC 430.24: 125 % of the largest motor and the sum of the others; drives count with their rated input current",
    Knowledge::FromMemory,
);

/// What continuous motor loads are multiplied by.
const CONTINUOUS: f64 = 1.25;

worded! {
    /// Which conductors.
    Circuit "part of the circuit" {
        DriveInput "drive-input" "From the branch-circuit device to the drive.";
        DriveOutput "drive-output" "From the drive to the motor.";
        Bypass "bypass" "To a drive with a bypass: the motor may run on the line.";
        Line "line" "To a motor on the line, without a drive.";
    }
}

/// The ampacity that conductors need.
///
/// 1.25·I_in to a drive, 1.25·I_FL from a drive or to a motor on the line, the larger of both with a bypass. I_FL is the table
/// value of 430.6 (Tables 430.247 to 430.250), not the plate's; I_in is the drive's rated input current in the duty class
/// chosen, so that a size stepped up for duty raises it while the motor stays the same. Units: A.
///
/// # Errors
/// When a current that the circuit needs is missing or not above zero.
///
/// Source: NEC 430.22, 430.122. Worked example: a motor of 52 A has conductors good for 65 A; the new drive's input of 60 A
/// needs 75 A.
/// ```
/// use calc::{conductor::required::{Circuit, required_ampacity}, working::Silent};
/// use plant::quantity::Current;
/// let (motor, input) = (Some(Current::a(52.0)), Some(Current::a(60.0)));
/// let needs = |circuit| required_ampacity(circuit, motor, input, &mut Silent).unwrap().in_a();
/// assert_eq!([Circuit::Line, Circuit::DriveInput, Circuit::DriveOutput, Circuit::Bypass].map(needs), [65.0, 75.0, 65.0, 75.0]);
/// ```
pub fn required_ampacity<R: Recorder>(
    circuit: Circuit,
    motor: Option<Current>,
    input: Option<Current>,
    rec: &mut R,
) -> Result<Current, Refusal> {
    let need = |name: &str, value: Option<Current>| {
        let value = value.ok_or_else(|| Refusal::new(format!("{name} is needed for {}", circuit.word())))?;
        above_zero(name, value)?;
        Ok::<Current, Refusal>(value * CONTINUOUS)
    };
    let from_motor = || need("the motor's full-load current (430.6)", motor);
    let from_input = || need("the drive's rated input current", input);
    let (needed, source) = match circuit {
        Circuit::Line | Circuit::DriveOutput => (from_motor()?, &NEC_430_22),
        Circuit::DriveInput => (from_input()?, &NEC_430_122),
        Circuit::Bypass => (from_motor()?.max(from_input()?), &NEC_430_122_BYPASS),
    };
    rec.step(|| {
        let (formula, from) = match circuit {
            Circuit::Line | Circuit::DriveOutput => ("1.25·I_FL", "conductors of the motor"),
            Circuit::DriveInput => ("1.25·I_in", "conductors to the drive"),
            Circuit::Bypass => ("1.25·max(I_FL, I_in)", "conductors to drive and bypass"),
        };
        let mut step = Step::new("I_req", format!("ampacity needed: {from}"), formula, source).gives(needed);
        if let Some(motor) = motor {
            step = step.with("I_FL", motor);
        }
        if let Some(input) = input {
            step = step.with("I_in", input);
        }
        step.note("I_FL by the Code's tables, I_in by the unit's documents in the duty class chosen")
    });
    Ok(needed)
}

/// The ampacity that a feeder of several motors needs: 1.25 times the largest, the sum of the others, and other loads.
///
/// `continuous` loads that are no motors count 125 %, `other` ones in full. Units: A.
///
/// # Errors
/// Without a motor, or with a current that is no number from zero up.
///
/// Source: NEC 430.24. Worked example: 52 A, 27 A and 14 A: 65 + 41 = 106 A.
/// ```
/// use calc::{conductor::required::several_motors, working::Silent};
/// use plant::quantity::Current;
/// let motors = [27.0, 52.0, 14.0].map(Current::a);
/// assert_eq!(several_motors(&motors, Current::ZERO, Current::ZERO, &mut Silent), Ok(Current::a(106.0)));
/// ```
pub fn several_motors<R: Recorder>(motors: &[Current], continuous: Current, other: Current, rec: &mut R) -> Result<Current, Refusal> {
    for motor in motors {
        above_zero("the current of a motor or drive", *motor)?;
    }
    not_negative("the continuous load", continuous)?;
    not_negative("the other load", other)?;
    let Some(largest) = motors.iter().copied().reduce(Current::max) else {
        return Err(Refusal::new("a feeder of motors has one motor at least"));
    };
    let sum = motors.iter().fold(Current::ZERO, |sum, m| sum + *m);
    let needed = largest * CONTINUOUS + (sum - largest) + continuous * CONTINUOUS + other;
    rec.step(|| {
        Step::new(
            "I_req",
            format!("ampacity needed by a feeder of {} motors", motors.len()),
            "1.25·I_max + (ΣI − I_max) + 1.25·I_c + I_o",
            &NEC_430_24,
        )
        .with("I_max", largest)
        .with("ΣI", sum)
        .with("I_c", continuous)
        .with("I_o", other)
        .gives(needed)
    });
    Ok(needed)
}

/// `calc required-ampacity`.
pub const REQUIRED_AMPACITY: Calculation = Calculation {
    name: "required-ampacity",
    summary: "Ampacity that the NEC asks of the conductors of a motor or drive.",
    inputs: &[
        word("circuit", Circuit::WORDS, "which conductors"),
        quantity_or::<dim::CurrentDim>("motor", "", "full-load current of the motor by the Code's tables"),
        quantity_or::<dim::CurrentDim>("input", "", "rated input current of the drive in the duty class chosen"),
    ],
    results: &[output::<dim::CurrentDim>("required", "A", "ampacity needed")],
    sources: &[&NEC_430_22, &NEC_430_122, &NEC_430_122_BYPASS],
    run: |a: &Arguments, w: &mut Working| {
        let circuit = Circuit::from_word(a.word("circuit"))?;
        Ok(vec![required_ampacity(circuit, a.get_opt("motor"), a.get_opt("input"), w)?.in_si()])
    },
};

/// `calc several-motors`.
pub const SEVERAL_MOTORS: Calculation = Calculation {
    name: "several-motors",
    summary: "Ampacity that a feeder of several motors and drives needs.",
    inputs: &[
        Input {
            name: "motors",
            kind: InputKind::Rows(&[<dim::CurrentDim as plant::quantity::Dimension>::INFO]),
            default: None,
            doc: "current of each motor or drive: 52 A; 27 A; 14 A",
        },
        quantity_or::<dim::CurrentDim>("continuous", "0 A", "continuous loads that are no motors"),
        quantity_or::<dim::CurrentDim>("other", "0 A", "other loads"),
    ],
    results: &[output::<dim::CurrentDim>("required", "A", "ampacity needed")],
    sources: &[&NEC_430_24],
    run: |a: &Arguments, w: &mut Working| {
        let motors: Vec<Current> = a.rows("motors").iter().flatten().copied().map(Current::si).collect();
        Ok(vec![several_motors(&motors, a.get("continuous"), a.get("other"), w)?.in_si()])
    },
};

#[cfg(test)]
mod tests {
    use super::*;
    use crate::working::Silent;

    #[test]
    fn a_missing_current_is_named() {
        let refusal = required_ampacity(Circuit::Bypass, Some(Current::a(52.0)), None, &mut Silent).unwrap_err();
        assert!(refusal.0.contains("rated input current"), "{refusal}");
        assert!(required_ampacity(Circuit::Line, Some(Current::a(f64::NAN)), None, &mut Silent).is_err());
        assert!(several_motors(&[], Current::ZERO, Current::ZERO, &mut Silent).is_err());
        assert!(several_motors(&[Current::a(1.0)], Current::a(-1.0), Current::ZERO, &mut Silent).is_err());
    }

    #[test]
    fn two_equal_motors_count_one_of_them_as_largest() {
        assert_eq!(
            several_motors(&[Current::a(40.0); 2], Current::a(8.0), Current::a(3.0), &mut Silent),
            Ok(Current::a(50.0 + 40.0 + 10.0 + 3.0))
        );
    }
}
