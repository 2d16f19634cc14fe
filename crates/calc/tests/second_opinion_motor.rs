//! The equivalent circuit against a second program, written in Python on another method (`second_opinion/motor.py`): nodal
//! admittances for the currents, numerical search for the breakdown torque, root finding for the slip of a torque.
#![allow(clippy::disallowed_methods, reason = "a test asks the environment for its interpreter")]
#![allow(clippy::expect_used, reason = "a test stops at the first broken expectation")]

mod common;

use calc::motor::breakdown::{Reduction, Supply, breakdown, slip_for_torque};
use calc::motor::circuit::{Circuit, Operating, solve};
use calc::working::Silent;
use common::{Dice, ask_of_each};
use plant::quantity::{Count, Frequency, Power, Ratio, Resistance, Voltage};
use serde_json::{Value, json};

/// Two independent solutions of the same equations differ by rounding and by the search's own precision.
const AGREEMENT: f64 = 1e-6;
const CASES: u32 = 200;

struct Case {
    circuit: Circuit,
    run: Operating,
    part: f64,
}

fn case(dice: &mut Dice, number: u32) -> Case {
    let base = dice.between(0.05, 200.0);
    let mut ohm = |low, high| Resistance::ohm(base * dice.between(low, high));
    let (r1, x1, r2, x2, xm) = (ohm(0.005, 0.06), ohm(0.03, 0.15), ohm(0.005, 0.08), ohm(0.03, 0.2), ohm(1.5, 5.0));
    let iron = ohm(15.0, 200.0);
    let rated = if number.is_multiple_of(2) { 50.0 } else { 60.0 };
    Case {
        circuit: Circuit { r1, x1, r2, x2, xm, iron: number.is_multiple_of(3).then_some(iron), frequency: Frequency::hz(rated) },
        run: Operating {
            voltage: Voltage::v(dice.between(100.0, 690.0)),
            frequency: Frequency::hz(rated * dice.between(0.1, 1.5)),
            poles: Count::of(f64::from(2 * (1 + number % 4))),
            slip: Ratio::of_one(dice.between(-0.3, 0.9)),
            mechanical_loss: Power::w(dice.between(0.0, 500.0)),
        },
        part: dice.between(0.05, 0.95),
    }
}

fn as_json(case: &Case) -> Value {
    let Case { circuit: c, run, part } = case;
    json!({
        "r1": c.r1.in_ohm(), "x1": c.x1.in_ohm(), "r2": c.r2.in_ohm(), "x2": c.x2.in_ohm(), "xm": c.xm.in_ohm(),
        "iron": c.iron.map(Resistance::in_ohm), "reactance_frequency": c.frequency.in_hz(),
        "voltage": run.voltage.in_v(), "frequency": run.frequency.in_hz(), "poles": run.poles.in_count(),
        "slip": run.slip.in_of_one(), "mechanical_loss": run.mechanical_loss.in_w(), "part": part,
    })
}

#[test]
#[ignore = "needs the Python environment: cargo xtask test"]
fn the_circuit_agrees_with_a_nodal_solution() {
    let mut dice = Dice(0x6d6f_746f_7231);
    let cases: Vec<Case> = (0..CASES).map(|number| case(&mut dice, number)).collect();
    let opinions = ask_of_each("motor.py", "cases", cases.iter().map(as_json).collect());
    assert_eq!(opinions.len(), cases.len());
    let mut compared = 0;
    let mut worst = 0.0f64;
    for (number, (case, opinion)) in cases.iter().zip(&opinions).enumerate() {
        let supply = Supply { voltage: case.run.voltage, frequency: case.run.frequency, poles: case.run.poles };
        let p = solve(&case.circuit, &case.run, &mut Silent).expect("in range");
        let b = breakdown(&case.circuit, &supply, Reduction::Exact, &mut Silent).expect("in range");
        let part_slip = slip_for_torque(&case.circuit, &supply, b.torque * case.part, &mut Silent).expect("below breakdown");
        // Powers are compared against the apparent power: a difference of large numbers has no precision of its own.
        let va = p.apparent.in_va();
        for (name, got, scale) in [
            ("current", p.current.in_a(), p.current.in_a()),
            ("rotor_current", p.rotor_current.in_a(), p.current.in_a()),
            ("power_factor", p.power_factor.in_of_one(), 1.0),
            ("input", p.input.in_w(), va),
            ("reactive", p.reactive.in_va(), va),
            ("stator_loss", p.stator_loss.in_w(), p.stator_loss.in_w()),
            ("iron_loss", p.iron_loss.in_w(), va),
            ("rotor_loss", p.rotor_loss.in_w(), va),
            ("gap", p.gap.in_w(), va),
            ("output", p.output.in_w(), va),
            ("developed_torque", p.developed_torque.in_nm(), b.torque.in_nm()),
            ("shaft_torque", p.shaft_torque.in_nm(), p.shaft_torque.in_nm()),
            ("speed", p.speed.in_rad_s(), p.speed.in_rad_s()),
            ("breakdown_torque", b.torque.in_nm(), b.torque.in_nm()),
            ("generating_torque", b.generating_torque.in_nm(), b.generating_torque.in_nm()),
            ("part_slip", part_slip.in_of_one(), part_slip.in_of_one()),
        ] {
            let other = opinion[name].as_f64().unwrap_or(f64::NAN);
            let off = (got - other).abs() / scale.abs();
            assert!(off <= AGREEMENT, "case {number}, {name}: {got} against {other}");
            worst = worst.max(off);
            compared += 1;
        }
    }
    println!("{compared} figures of {} circuits compared, worst {worst:.1e}", cases.len());
}
