//! Where the power goes between the terminals and the shaft, from losses that were measured.

use plant::quantity::{Count, Current, Frequency, Power, Ratio, Resistance, Speed, Voltage, dim};

use super::shaft::{SQRT_3, slip, synchronous_speed};
use super::{not_negative, positive, share};
use crate::registry::{Calculation, Refusal, output, quantity};
use crate::sources::{DEFINITION, Knowledge, Source};
use crate::working::{Recorder, Step};

/// The power balance of the induction machine.
const POWER_BALANCE: Source =
    Source::new("power balance of the induction machine: Hubert, Electric Machines, ex. 4.6", Knowledge::LookedUp);

/// A motor on test: what it gives, what it draws, and the losses that were separated.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TestRun {
    /// Power at the shaft.
    pub output: Power,
    /// Efficiency at that power.
    pub efficiency: Ratio,
    /// Line to line.
    pub voltage: Voltage,
    /// Line current.
    pub current: Current,
    /// Supply frequency.
    pub frequency: Frequency,
    /// Poles, not pole pairs.
    pub poles: Count,
    /// Loss in the stator winding.
    pub stator_loss: Power,
    /// Loss in the iron.
    pub core_loss: Power,
    /// Loss in the rotor cage.
    pub rotor_loss: Power,
}

/// What follows from a [`TestRun`].
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PowerFlow {
    /// Power at the terminals.
    pub input: Power,
    /// cos φ at the terminals.
    pub power_factor: Ratio,
    /// Power across the air gap.
    pub gap: Power,
    /// Slip.
    pub slip: Ratio,
    /// Speed of the shaft.
    pub speed: Speed,
    /// What remains for windage, friction and stray load loss.
    pub mechanical_and_stray: Power,
}

/// The power flow through an induction motor whose losses were measured.
///
/// P_in = P/η; cos φ = P_in/(√3·U·I); P_gap = P_in − P_core − P_cu1; s = P_cu2/P_gap; n = n_s·(1 − s);
/// the rest, P_in − P − P_core − P_cu1 − P_cu2, is windage, friction and stray load loss.
/// Valid for a three-phase induction motor in steady operation.
///
/// # Errors
/// When the numbers contradict each other: a power factor above one, losses above the power, a negative rest.
///
/// Source: Hubert, Electric Machines, ex. 4.6 (looked up in a public copy). Worked example (that one):
/// ```
/// use calc::{motor::losses::{power_flow, TestRun}, working::Silent};
/// use plant::quantity::{Count, Current, Frequency, Power, Ratio, Voltage};
/// let flow = power_flow(&TestRun {
///     output: Power::w(74_600.0), efficiency: Ratio::percent(91.0), voltage: Voltage::v(230.0), current: Current::a(248.0),
///     frequency: Frequency::hz(60.0), poles: Count::of(6.0),
///     stator_loss: Power::w(2_803.0), core_loss: Power::w(1_697.0), rotor_loss: Power::w(1_549.0),
/// }, &mut Silent).unwrap();
/// assert!((flow.speed.in_rpm() - 1176.009).abs() < 0.01);
/// assert!((flow.mechanical_and_stray.in_w() - 1329.0).abs() < 1.0);
/// ```
pub fn power_flow<R: Recorder>(run: &TestRun, rec: &mut R) -> Result<PowerFlow, Refusal> {
    positive("the power at the shaft", run.output)?;
    let losses = [("the stator loss", run.stator_loss), ("the core loss", run.core_loss), ("the rotor loss", run.rotor_loss)];
    for (what, loss) in losses {
        not_negative(what, loss)?;
    }
    let input = run.output / share("the efficiency", run.efficiency)?;
    let apparent = SQRT_3 * positive("the voltage", run.voltage)? * positive("the current", run.current)?;
    let power_factor = Ratio::of_one(input.in_w() / apparent);
    if power_factor.in_of_one() > 1.0 {
        return Err(Refusal::new(format!(
            "{input} input is more than √3·{}·{}: the numbers contradict each other",
            run.voltage, run.current
        )));
    }
    let gap = input - run.core_loss - run.stator_loss;
    let rest = gap - run.rotor_loss - run.output;
    if rest.in_w() < 0.0 {
        return Err(Refusal::new(format!("the separated losses exceed {}, the whole loss that the efficiency leaves", input - run.output)));
    }
    rec.step(|| {
        let efficiency = run.efficiency;
        Step::new("P_in", "power at the terminals", "P/η", &DEFINITION).with("P", run.output).with("η", efficiency).gives(input)
    });
    rec.step(|| {
        Step::new("cosφ", "power factor", "P_in/(√3·U·I)", &DEFINITION)
            .with("P_in", input)
            .with("U", run.voltage)
            .with("I", run.current)
            .gives(power_factor.in_of_one())
    });
    rec.step(|| {
        Step::new("P_gap", "power across the air gap", "P_in − P_core − P_cu1", &POWER_BALANCE)
            .with("P_in", input)
            .with("P_core", run.core_loss)
            .with("P_cu1", run.stator_loss)
            .gives(gap)
    });
    let slip = Ratio::of_one(run.rotor_loss / gap);
    rec.step(|| Step::new("s", "slip", "P_cu2/P_gap", &POWER_BALANCE).with("P_cu2", run.rotor_loss).with("P_gap", gap).gives(slip));
    let synchronous = synchronous_speed(run.frequency, run.poles, rec)?;
    let speed = synchronous * (1.0 - slip.in_of_one());
    rec.step(|| Step::new("n", "speed", "n_s·(1 − s)", &DEFINITION).with("n_s", synchronous).with("s", slip.in_of_one()).gives(speed));
    rec.step(|| {
        Step::new("P_rest", "windage, friction and stray load loss", "P_gap − P_cu2 − P", &POWER_BALANCE)
            .with("P_gap", gap)
            .with("P_cu2", run.rotor_loss)
            .with("P", run.output)
            .gives(rest)
    });
    Ok(PowerFlow { input, power_factor, gap, slip, speed, mechanical_and_stray: rest })
}

/// The loss in the rotor cage, with the air-gap power and the slip it follows from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RotorLoss {
    /// Power across the air gap.
    pub gap: Power,
    /// Slip.
    pub slip: Ratio,
    /// Loss in the rotor cage.
    pub loss: Power,
}

/// The loss in the rotor cage from what the motor draws and how fast it turns.
///
/// P_gap = P_in − 3·I²·R1; P_cu2 = s·P_gap, with R1 per phase of the equivalent star. The core loss is counted
/// with the air-gap power, so the result is slightly high.
///
/// # Errors
/// When an input is out of range or the stator loss exceeds the input.
///
/// Source: Fitzgerald, Kingsley, Umans, Electric Machinery, 6th ed., ex. 6.1 (looked up in a public copy). Worked example (that one):
/// ```
/// use calc::{motor::losses::rotor_loss, working::Silent};
/// use plant::quantity::{Current, Power, Resistance, Speed};
/// let r = rotor_loss(
///     Power::kw(15.7), Current::a(22.6), Resistance::ohm(0.2), Speed::rpm(3600.0), Speed::rpm(3502.0), &mut Silent).unwrap();
/// assert!((r.loss.in_w() - 419.0).abs() < 1.0);
/// ```
pub fn rotor_loss<R: Recorder>(
    input: Power,
    current: Current,
    stator_resistance: Resistance,
    synchronous: Speed,
    speed: Speed,
    rec: &mut R,
) -> Result<RotorLoss, Refusal> {
    positive("the power at the terminals", input)?;
    let i = not_negative("the current", current)?;
    let r1 = not_negative("the stator resistance", stator_resistance)?;
    let gap = input - Power::w(3.0 * i * i * r1);
    positive("the power across the air gap", gap)?;
    rec.step(|| {
        Step::new("P_gap", "power across the air gap", "P_in − 3·I²·R1", &FITZGERALD)
            .with("P_in", input)
            .with("I", current)
            .with("R1", stator_resistance)
            .gives(gap)
    });
    let slip = slip(synchronous, speed, rec)?;
    let loss = gap * slip.in_of_one();
    rec.step(|| Step::new("P_cu2", "loss in the rotor", "s·P_gap", &FITZGERALD).with("s", slip).with("P_gap", gap).gives(loss));
    Ok(RotorLoss { gap, slip, loss })
}

/// The textbook that the circuit formulas were read in.
pub(super) const FITZGERALD: Source = Source::new("Fitzgerald, Kingsley, Umans, Electric Machinery, 6th ed., ch. 6", Knowledge::LookedUp);

/// `calc power-flow`.
pub const POWER_FLOW: Calculation = Calculation {
    name: "power-flow",
    summary: "Input, slip, speed and remaining loss of a motor whose losses were measured.",
    inputs: &[
        quantity::<dim::PowerDim>("power", "power at the shaft"),
        quantity::<dim::RatioDim>("efficiency", "efficiency at that power"),
        quantity::<dim::VoltageDim>("voltage", "line to line"),
        quantity::<dim::CurrentDim>("current", "line current"),
        quantity::<dim::FrequencyDim>("frequency", "supply frequency"),
        quantity::<dim::CountDim>("poles", "number of poles, not pole pairs"),
        quantity::<dim::PowerDim>("stator_loss", "loss in the stator winding"),
        quantity::<dim::PowerDim>("core_loss", "loss in the iron"),
        quantity::<dim::PowerDim>("rotor_loss", "loss in the rotor cage"),
    ],
    results: &[
        output::<dim::PowerDim>("input", "W", "power at the terminals"),
        output::<dim::RatioDim>("power_factor", "pu", "cos φ"),
        output::<dim::PowerDim>("gap", "W", "power across the air gap"),
        output::<dim::RatioDim>("slip", "%", "slip"),
        output::<dim::SpeedDim>("speed", "rpm", "speed of the shaft"),
        output::<dim::PowerDim>("rest", "W", "windage, friction and stray load loss"),
    ],
    sources: &[&POWER_BALANCE, &DEFINITION],
    run: |a, w| {
        let run = TestRun {
            output: a.get("power"),
            efficiency: a.get("efficiency"),
            voltage: a.get("voltage"),
            current: a.get("current"),
            frequency: a.get("frequency"),
            poles: a.get("poles"),
            stator_loss: a.get("stator_loss"),
            core_loss: a.get("core_loss"),
            rotor_loss: a.get("rotor_loss"),
        };
        let f = power_flow(&run, w)?;
        Ok(vec![f.input.in_si(), f.power_factor.in_si(), f.gap.in_si(), f.slip.in_si(), f.speed.in_si(), f.mechanical_and_stray.in_si()])
    },
};

/// `calc rotor-loss`.
pub const ROTOR_LOSS: Calculation = Calculation {
    name: "rotor-loss",
    summary: "Loss in the rotor cage from input power, current, winding resistance and speed.",
    inputs: &[
        quantity::<dim::PowerDim>("input", "power at the terminals"),
        quantity::<dim::CurrentDim>("current", "line current"),
        quantity::<dim::ResistanceDim>("stator_resistance", "per phase of the equivalent star"),
        quantity::<dim::FrequencyDim>("frequency", "supply frequency"),
        quantity::<dim::CountDim>("poles", "number of poles, not pole pairs"),
        quantity::<dim::SpeedDim>("speed", "speed of the shaft"),
    ],
    results: &[
        output::<dim::PowerDim>("loss", "W", "loss in the rotor cage"),
        output::<dim::PowerDim>("gap", "W", "power across the air gap"),
        output::<dim::RatioDim>("slip", "%", "slip"),
    ],
    sources: &[&FITZGERALD, &DEFINITION],
    run: |a, w| {
        let synchronous = synchronous_speed(a.get("frequency"), a.get("poles"), w)?;
        let r = rotor_loss(a.get("input"), a.get("current"), a.get("stator_resistance"), synchronous, a.get("speed"), w)?;
        Ok(vec![r.loss.in_si(), r.gap.in_si(), r.slip.in_si()])
    },
};

#[cfg(test)]
mod tests {
    use super::*;
    use crate::working::Silent;

    #[test]
    fn contradictions_are_refused() {
        let good = TestRun {
            output: Power::w(74_600.0),
            efficiency: Ratio::percent(91.0),
            voltage: Voltage::v(230.0),
            current: Current::a(248.0),
            frequency: Frequency::hz(60.0),
            poles: Count::of(6.0),
            stator_loss: Power::w(2_803.0),
            core_loss: Power::w(1_697.0),
            rotor_loss: Power::w(1_549.0),
        };
        assert!(power_flow(&good, &mut Silent).is_ok());
        for bad in [
            TestRun { current: Current::a(124.0), ..good },
            TestRun { rotor_loss: Power::w(3_000.0), ..good },
            TestRun { efficiency: Ratio::percent(101.0), ..good },
            TestRun { poles: Count::of(5.0), ..good },
            TestRun { core_loss: Power::w(-1.0), ..good },
        ] {
            assert!(power_flow(&bad, &mut Silent).is_err(), "{bad:?}");
        }
    }
}
