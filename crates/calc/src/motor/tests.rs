//! Properties of the motor calculations that hold for every motor, and the cheap current model against the circuits of
//! textbook motors.

use plant::quantity::{Count, Current, Frequency, Power, Ratio, Resistance, Torque, Voltage};
use proptest::prelude::*;

use super::breakdown::{Breakdown, Reduction, Supply, breakdown, slip_for_torque};
use super::circuit::{Circuit, Operating, Performance, solve};
use super::current::{CurrentModel, TorqueBound, available_torque, current_at, current_squared_a2, no_load_current};
use super::driven::{VoltageLaw, driven};
use super::from_plate::{Assumed, Plate, from_plate};
use super::from_tests::{Reading, RotorDesign, Tests, from_tests};
use super::shaft::SQRT_3;
use crate::working::Silent;

/// Rounding of some dozen operations on f64.
const ROUNDING: f64 = 1e-11;
/// The same after a square root near the breakdown point, where slip is badly conditioned.
const CONDITIONED: f64 = 1e-7;

#[derive(Clone, Copy, Debug)]
struct Motor {
    circuit: Circuit,
    supply: Supply,
}

impl Motor {
    fn at(&self, slip: f64, mechanical_w: f64) -> Performance {
        let Supply { voltage, frequency, poles } = self.supply;
        let run = Operating { voltage, frequency, poles, slip: Ratio::of_one(slip), mechanical_loss: Power::w(mechanical_w) };
        solve(&self.circuit, &run, &mut Silent).expect("a motor in range")
    }

    fn breakdown(&self) -> Breakdown {
        breakdown(&self.circuit, &self.supply, Reduction::Exact, &mut Silent).expect("a motor in range")
    }

    fn slip_for(&self, torque: Torque) -> Result<f64, crate::Refusal> {
        slip_for_torque(&self.circuit, &self.supply, torque, &mut Silent).map(Ratio::in_of_one)
    }
}

fn motor(voltage_v: f64, frequency_hz: f64, poles: f64, [r1, x1, r2, x2, xm]: [f64; 5], iron: Option<f64>) -> Motor {
    let ohm = Resistance::ohm;
    let frequency = Frequency::hz(frequency_hz);
    Motor {
        circuit: Circuit { r1: ohm(r1), x1: ohm(x1), r2: ohm(r2), x2: ohm(x2), xm: ohm(xm), iron: iron.map(ohm), frequency },
        supply: Supply { voltage: Voltage::v(voltage_v), frequency, poles: Count::of(poles) },
    }
}

/// The motors of the textbooks: Fitzgerald ex. 6.2, Chapman ex. 7-3, Hubert ex. 5.2, each with its rated slip.
fn textbook_motors() -> [(Motor, f64); 3] {
    [
        (motor(220.0, 60.0, 6.0, [0.294, 0.503, 0.144, 0.209, 13.25], None), 0.02),
        (motor(460.0, 60.0, 4.0, [0.641, 1.106, 0.332, 0.464, 26.3], None), 0.022),
        (motor(460.0, 60.0, 6.0, [0.2, 1.2, 0.25, 1.29, 42.0], Some(317.0)), 0.0125),
    ]
}

/// Any motor from a few hundred watts to a few hundred kilowatts, by per-unit figures.
fn any_motor() -> impl Strategy<Value = Motor> {
    let per_unit = (0.005..0.06, 0.04..0.15, 0.005..0.06, 0.04..0.2, 1.5..5.0, proptest::option::of(15.0..200.0));
    (200.0..690.0, prop_oneof![Just(50.0), Just(60.0)], 1..5u8, 0.3..300.0f64, per_unit).prop_map(
        |(u, f, pairs, z, (r1, x1, r2, x2, xm, iron))| {
            motor(u, f, f64::from(2 * pairs), [r1 * z, x1 * z, r2 * z, x2 * z, xm * z], iron.map(|g: f64| g * z))
        },
    )
}

fn any_model() -> impl Strategy<Value = CurrentModel> {
    (0.5..2000.0, 0.05..0.95, 1.0..4.0).prop_map(|(rated, no_load, breakdown)| {
        CurrentModel::new(Current::a(rated), Current::a(rated * no_load), Ratio::of_one(breakdown)).expect("in range")
    })
}

proptest! {
    #[test]
    fn power_in_is_power_out_and_losses(motor in any_motor(), slip in -0.3..1.5f64) {
        let p = motor.at(slip, 10.0);
        let room = ROUNDING * p.apparent.in_va().max(p.output.in_w().abs());
        let out = p.output + p.stator_loss + p.iron_loss + p.rotor_loss + Power::w(10.0);
        prop_assert!((p.input - out).in_w().abs() < room, "{:?}", p);
        prop_assert!((p.input.in_w().hypot(p.reactive.in_va()) - p.apparent.in_va()).abs() < room);
        prop_assert!((p.developed_torque * p.speed - p.converted).in_w().abs() < room);
        prop_assert!(p.efficiency.in_of_one() < 1.0);
    }

    #[test]
    fn no_slip_gives_more_than_breakdown(motor in any_motor(), slip in -2.0..2.0f64) {
        let b = motor.breakdown();
        let at_top = motor.at(b.slip.in_of_one(), 0.0).developed_torque;
        prop_assert!((at_top / b.torque - 1.0).abs() < ROUNDING, "{at_top} {:?}", b);
        let at_bottom = motor.at(-b.slip.in_of_one(), 0.0).developed_torque;
        prop_assert!((-(at_bottom / b.generating_torque) - 1.0).abs() < ROUNDING, "{at_bottom} {:?}", b);
        let t = motor.at(slip, 0.0).developed_torque;
        prop_assert!(t / b.torque < 1.0 + ROUNDING && -(t / b.generating_torque) < 1.0 + ROUNDING);
    }

    #[test]
    fn slip_for_torque_is_the_way_back(motor in any_motor(), part in -0.98..0.98f64) {
        let slip = part * motor.breakdown().slip.in_of_one();
        let back = motor.slip_for(motor.at(slip, 0.0).developed_torque).expect("below breakdown");
        prop_assert!((back - slip).abs() <= CONDITIONED * slip.abs(), "{back} against {slip}");
    }

    #[test]
    fn beyond_breakdown_is_refused(motor in any_motor(), more in 1.0001..5.0f64) {
        let b = motor.breakdown();
        prop_assert!(motor.slip_for(b.torque * more).is_err());
        prop_assert!(motor.slip_for(b.generating_torque * -more).is_err());
    }

    #[test]
    fn a_driven_motor_obeys_its_circuit(motor in any_motor(), part in -0.6..0.6f64, x in 0.05..1.6f64, held in any::<bool>()) {
        let law = if held { VoltageLaw::HeldFlux } else { VoltageLaw::Proportional };
        let frequency = motor.supply.frequency * x;
        let torque = motor.breakdown().torque * part;
        if let Ok(d) = driven(&motor.circuit, &motor.supply, law, torque, frequency, &mut Silent) {
            let same = Motor { supply: Supply { voltage: d.voltage, frequency, ..motor.supply }, ..motor };
            let p = same.at(d.slip.in_of_one(), 0.0);
            prop_assert!((p.current / d.current - 1.0).abs() < CONDITIONED, "{:?} {:?}", d, p);
            prop_assert!((p.developed_torque - torque).in_nm().abs() < CONDITIONED * motor.breakdown().torque.in_nm(), "{:?}", p);
            prop_assert!((p.power_factor - d.power_factor).in_of_one().abs() < CONDITIONED);
            prop_assert!(d.voltage.in_v() <= motor.supply.voltage.in_v() * (1.0 + ROUNDING));
        } else {
            // Only field weakening, or a voltage that the stator resistance eats, takes so much of the breakdown torque.
            prop_assert!(held || !(0.6..=1.0).contains(&x), "refused at {x}");
        }
    }

    #[test]
    fn a_plate_gives_its_circuit_back(motor in any_motor(), part in 0.15..0.6f64, mechanical in 0.05..0.3f64, by_breakdown in any::<bool>()) {
        let slip = (part * motor.breakdown().slip.in_of_one()).min(0.14);
        let ideal = motor.at(slip, 0.0);
        let mechanical_w = mechanical * (ideal.input - ideal.output).in_w() / (1.0 - mechanical);
        let p = motor.at(slip, mechanical_w);
        let losses = p.input - p.output;
        prop_assume!(p.output.in_w() > 2.0 * losses.in_w());
        let share = motor.circuit.x1 / (motor.circuit.x1 + motor.circuit.x2);
        // The fit divides leakage by design, so only motors near a design's division are recovered; make this one exactly so.
        let total = motor.circuit.x1 + motor.circuit.x2;
        let design = if share < 0.35 { RotorDesign::C } else if share < 0.45 { RotorDesign::B } else { RotorDesign::A };
        let x1 = total * design.stator_share();
        let motor = Motor { circuit: Circuit { x1, x2: total - x1, ..motor.circuit }, ..motor };
        let p = motor.at(slip, mechanical_w);
        let losses = p.input - p.output;
        let friction_torque = Power::w(mechanical_w) / p.speed;
        let locked = motor.at(1.0, 0.0).current;
        let plate = Plate {
            power: p.output, voltage: motor.supply.voltage, frequency: motor.supply.frequency, speed: p.speed, current: p.current,
            power_factor: Some(p.power_factor), efficiency: by_breakdown.then_some(p.efficiency),
            breakdown: by_breakdown.then(|| Ratio::of_one((motor.breakdown().torque - friction_torque) / p.shaft_torque)),
            locked_rotor_current: (!by_breakdown).then(|| Ratio::of_one(locked / p.current)),
        };
        let assumed = Assumed {
            mechanical_share: Ratio::of_one(mechanical_w / losses.in_w()), iron_share: Ratio::of_one(p.iron_loss / losses), design,
        };
        let fit = from_plate(&plate, &assumed, &mut Silent).expect("a plate that a circuit made");
        for (what, got, true_value) in [
            ("r1", fit.circuit.r1, motor.circuit.r1), ("x1", fit.circuit.x1, motor.circuit.x1), ("r2", fit.circuit.r2, motor.circuit.r2),
            ("x2", fit.circuit.x2, motor.circuit.x2), ("xm", fit.circuit.xm, motor.circuit.xm),
        ] {
            prop_assert!((got / true_value - 1.0).abs() < 1e-6, "{what}: {got} against {true_value}");
        }
        prop_assert_eq!(fit.poles, motor.supply.poles);
        prop_assert!((fit.locked_rotor_current.in_of_one() / (locked / p.current) - 1.0).abs() < 1e-6);
    }

    #[test]
    fn tests_on_a_motor_give_its_circuit_back(motor in any_motor()) {
        // Without iron loss and with a hair of friction, so that rounding leaves no negative loss.
        const HAIR: f64 = 1e-6;
        let total = motor.circuit.x1 + motor.circuit.x2;
        let x1 = total * RotorDesign::B.stator_share();
        let motor = Motor { circuit: Circuit { x1, x2: total - x1, iron: None, ..motor.circuit }, ..motor };
        let slow = Frequency::hz(motor.supply.frequency.in_hz() / 4.0);
        let read = |motor: &Motor, slip: f64| {
            let p = motor.at(slip, 0.0);
            Reading { voltage: motor.supply.voltage, current: p.current, power: p.input }
        };
        let blocked_supply = Supply { voltage: motor.supply.voltage * 0.1, frequency: slow, ..motor.supply };
        let tests = Tests {
            no_load: Reading { power: read(&motor, 0.0).power * (1.0 + HAIR), ..read(&motor, 0.0) },
            blocked: read(&Motor { supply: blocked_supply, ..motor }, 1.0),
            frequency: motor.supply.frequency,
            blocked_frequency: slow,
            stator_resistance: motor.circuit.r1,
            design: RotorDesign::B,
            friction: None,
        };
        let got = from_tests(&tests, &mut Silent).expect("a motor's own tests");
        // The method neglects R2 beside Xm at the reduced frequency.
        let r = 4.0 * (motor.circuit.r2 / motor.circuit.xm);
        let room = 3.0 * r * r * (motor.circuit.xm / total).max(1.0) + 1e-9;
        for (what, got, true_value) in [
            ("x1", got.circuit.x1, motor.circuit.x1), ("r2", got.circuit.r2, motor.circuit.r2), ("xm", got.circuit.xm, motor.circuit.xm),
        ] {
            prop_assert!((got / true_value - 1.0).abs() < room, "{what}: {got} against {true_value}, room {room}");
        }
        prop_assert!((got.rotational_loss / tests.no_load.power - HAIR).abs() < 1e-9);
    }

    #[test]
    fn current_rises_with_torque_and_with_the_rated_current(model in any_model(), m in 0.0..4.0f64, more in 0.0..1.0f64, x in -2.0..2.0f64) {
        let at = |m: f64| current_squared_a2(&model, m, x);
        prop_assert!(at(m) <= at(m + more) && at(-m).to_bits() == at(m).to_bits());
        let larger = CurrentModel::new(model.rated_current() * (1.0 + more), model.no_load_current(), model.breakdown()).expect("in range");
        prop_assert!(at(m) <= current_squared_a2(&larger, m, x));
    }

    #[test]
    fn current_is_never_not_a_number(model in any_model(), m in any::<f64>(), x in any::<f64>()) {
        for m in [m, 0.0, f64::NAN, f64::INFINITY, 1.0] {
            for x in [x, 0.0, f64::NAN, f64::INFINITY, 1e-300, 1e300] {
                let i2 = current_squared_a2(&model, m, x);
                prop_assert!(i2 >= 0.0, "{m} {x}: {i2}");
                prop_assert_eq!(i2.is_finite(), current_at(&model, Ratio::of_one(m), Ratio::of_one(x), &mut Silent).is_ok());
            }
        }
    }

    #[test]
    fn available_torque_is_the_way_back(model in any_model(), limit in 0.3..3.0f64, x in 0.0..2.0f64) {
        let limit = model.rated_current() * limit;
        let (frequency, safety) = (Ratio::of_one(x), Ratio::of_one(1.0));
        let got = available_torque(&model, limit, frequency, safety, &mut Silent).expect("in range");
        // At the breakdown point itself the last bit decides; a hair below it has a current.
        let current = current_at(&model, got.torque * (1.0 - 1e-12), frequency, &mut Silent).expect("within breakdown");
        if got.bound == TorqueBound::Current && got.torque > Ratio::ZERO {
            prop_assert!((current / limit - 1.0).abs() < 1e-9, "{current} {limit}");
        } else if got.bound == TorqueBound::Breakdown {
            prop_assert!(current <= limit * (1.0 + ROUNDING));
        }
    }
}

/// How far the cheap model may lie from the circuit when driving, and how far above it when braking, where the circuit's losses
/// come out of the shaft: between a quarter and one and a half times rated torque, up to 1.25 times base frequency.
const DRIVING_BAND: f64 = 0.075;
const BRAKING_BAND: f64 = 0.14;

#[test]
fn the_cheap_model_follows_the_circuit() {
    for (motor, slip) in textbook_motors() {
        let rated = motor.at(slip, 0.0);
        let lambda = motor.breakdown().torque / rated.developed_torque;
        let model = CurrentModel::new(rated.current, motor.at(0.0, 0.0).current, Ratio::of_one(lambda)).expect("in range");
        for x in [0.1, 0.25, 0.5, 1.0, 1.25] {
            for m in [-1.5, -1.0, -0.5, -0.25, 0.25, 0.5, 0.75, 1.0, 1.25, 1.5] {
                let torque = rated.developed_torque * m;
                let exact = driven(&motor.circuit, &motor.supply, VoltageLaw::HeldFlux, torque, motor.supply.frequency * x, &mut Silent);
                let cheap = current_at(&model, Ratio::of_one(m), Ratio::of_one(x), &mut Silent);
                let off = cheap.expect("below breakdown") / exact.expect("below breakdown").current - 1.0;
                let band = if m > 0.0 { -DRIVING_BAND..DRIVING_BAND } else { -DRIVING_BAND..BRAKING_BAND };
                assert!(band.contains(&off), "{x} {m}: {off}");
            }
        }
    }
}

#[test]
fn no_load_current_lies_between_its_bounds() {
    for (motor, slip) in textbook_motors() {
        let rated = motor.at(slip, 0.0);
        let lambda = Ratio::of_one(motor.breakdown().torque / rated.developed_torque);
        let range = no_load_current(rated.current, rated.power_factor, lambda, &mut Silent).expect("in range");
        let truth = motor.at(0.0, 0.0).current;
        assert!(range.low < truth && truth < range.high, "{range:?} {truth}");
    }
}

proptest! {
    #[test]
    fn any_plate_is_met_or_refused(
        kw in 0.1..500.0f64, volts in 100.0..700.0f64, rpm in 100.0..3700.0f64, amps_per_kw in 0.8..4.0f64, cos in 0.3..1.0f64, lambda in 1.0..6.0f64,
    ) {
        let plate = Plate {
            power: Power::kw(kw), voltage: Voltage::v(volts), frequency: Frequency::hz(60.0), speed: plant::quantity::Speed::rpm(rpm),
            current: Current::a(amps_per_kw * kw * 460.0 / volts), power_factor: Some(Ratio::of_one(cos)), efficiency: None,
            breakdown: Some(Ratio::of_one(lambda)), locked_rotor_current: None,
        };
        if let Ok(fit) = from_plate(&plate, &Assumed::COMMON, &mut Silent) {
            prop_assert!((fit.breakdown.in_of_one() / lambda - 1.0).abs() < 1e-6, "{:?}", fit);
            prop_assert!(fit.no_load_current < plate.current && fit.locked_rotor_current.in_of_one() > 1.0, "{:?}", fit);
            let r = fit.circuit;
            prop_assert!([r.r1, r.x1, r.r2, r.x2, r.xm].iter().all(|v| v.is_finite() && v.in_ohm() > 0.0), "{:?}", fit);
        }
    }
}

#[test]
fn contradicting_plates_are_refused() {
    let good = Plate {
        power: Power::kw(22.0),
        voltage: Voltage::v(400.0),
        frequency: Frequency::hz(50.0),
        speed: plant::quantity::Speed::rpm(1465.0),
        current: Current::a(41.5),
        power_factor: Some(Ratio::of_one(0.84)),
        efficiency: Some(Ratio::of_one(0.911)),
        breakdown: Some(Ratio::of_one(2.8)),
        locked_rotor_current: None,
    };
    assert!(from_plate(&good, &Assumed::COMMON, &mut Silent).is_ok());
    let rpm = plant::quantity::Speed::rpm;
    for (bad, words) in [
        (Plate { current: Current::a(30.0), ..good }, "the plate says 30 A"),
        (Plate { efficiency: None, current: Current::a(36.0), ..good }, "contradict"),
        (Plate { speed: rpm(1500.0), ..good }, "synchronous"),
        (Plate { speed: rpm(1200.0), ..good }, "no rated slip"),
        (Plate { speed: rpm(3100.0), ..good }, "above any"),
        (Plate { speed: rpm(1370.0), ..good }, "nothing for the stator"),
        (Plate { breakdown: None, ..good }, "needs a breakdown"),
        (Plate { breakdown: Some(Ratio::of_one(1.01)), ..good }, "can't go with"),
        (Plate { breakdown: Some(Ratio::of_one(50.0)), ..good }, "can't go with"),
        (Plate { power_factor: None, efficiency: None, ..good }, "needs the efficiency"),
        (Plate { power: Power::ZERO, ..good }, "above zero"),
    ] {
        let refusal = from_plate(&bad, &Assumed::COMMON, &mut Silent).map(|_| ()).expect_err(words).to_string();
        assert!(refusal.contains(words), "{words}: {refusal}");
    }
}

#[test]
fn contradicting_tests_are_refused() {
    let no_load = Reading { voltage: Voltage::v(219.0), current: Current::a(5.70), power: Power::w(380.0) };
    let blocked = Reading { voltage: Voltage::v(26.5), current: Current::a(18.57), power: Power::w(675.0) };
    let good = Tests {
        no_load,
        blocked,
        frequency: Frequency::hz(60.0),
        blocked_frequency: Frequency::hz(15.0),
        stator_resistance: Resistance::ohm(0.262),
        design: RotorDesign::C,
        friction: None,
    };
    let friction = Tests { friction: Some(Power::w(200.0)), ..good };
    let circuit = from_tests(&friction, &mut Silent).expect("in range").circuit;
    // Another way to the voltage behind the stator: the powers that cross there, over the current.
    let (i, p, s) = (5.70f64, 380.0f64, SQRT_3 * 219.0 * 5.70);
    let (p_e, q_e) = (p / 3.0 - i * i * 0.262, (s * s - p * p).sqrt() / 3.0 - i * i * circuit.x1.in_ohm());
    let expected = 3.0 * (p_e.hypot(q_e) / i).powi(2) / (380.0 - 3.0 * i * i * 0.262 - 200.0);
    assert!((circuit.iron.expect("separated").in_ohm() / expected - 1.0).abs() < ROUNDING);
    for (bad, words) in [
        (Tests { no_load: blocked, blocked: no_load, ..good }, "swapped"),
        (Tests { stator_resistance: Resistance::ohm(0.7), ..good }, "nothing for the rotor"),
        (Tests { no_load: Reading { power: Power::w(2200.0), ..no_load }, ..good }, "can't be that much"),
        (Tests { no_load: Reading { power: Power::w(10.0), ..no_load }, ..good }, "less the stator loss"),
        (Tests { friction: Some(Power::w(360.0)), ..good }, "leave nothing"),
        (Tests { blocked_frequency: Frequency::ZERO, ..good }, "above zero"),
    ] {
        let refusal = from_tests(&bad, &mut Silent).map(|_| ()).expect_err(words).to_string();
        assert!(refusal.contains(words), "{words}: {refusal}");
    }
}

#[test]
fn standstill_and_generating_are_told_apart() {
    let (motor, _) = textbook_motors()[0];
    let Supply { voltage, frequency, poles } = motor.supply;
    let at = |slip: f64, mechanical: f64| {
        let run = Operating { voltage, frequency, poles, slip: Ratio::of_one(slip), mechanical_loss: Power::w(mechanical) };
        solve(&motor.circuit, &run, &mut Silent)
    };
    assert!(at(1.0, 1.0).is_err_and(|r| r.to_string().contains("standstill")));
    assert!(at(f64::NAN, 0.0).is_err() && at(0.02, -1.0).is_err());
    let standing = at(1.0, 0.0).expect("in range");
    assert_eq!(standing.shaft_torque, standing.developed_torque);
    assert_eq!(standing.efficiency, Ratio::ZERO);
    let generating = at(-0.02, 0.0).expect("in range");
    assert!(generating.power_factor < Ratio::ZERO && generating.efficiency.in_of_one() > 0.8);
    let idle = at(0.0, 0.0).expect("in range");
    assert_eq!(idle.gap, Power::ZERO);
    assert!((idle.current.in_a() - 220.0 / SQRT_3 / 0.294f64.hypot(13.753)).abs() < 1e-9);
}
