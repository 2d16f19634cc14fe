//! Braking stops against SciPy: a switching chopper on a DC link, and regulated stops as differential equations, written apart
//! from the program (`tests/second_opinion/braking.py`).
#![allow(clippy::disallowed_methods, reason = "the test asks the environment for a Python interpreter")]
#![allow(clippy::expect_used, reason = "a test stops at the first broken expectation")]

mod common;

use calc::braking::link::left_for_resistor;
use calc::braking::resistor::{Body, Pulse, heat};
use calc::braking::stop::{Brakes, Moving, resistor_power, shortest_stop};
use calc::load::inertia::stop;
use calc::working::Silent;
use common::{Dice, ask};
use plant::quantity::{Capacitance, Inertia, Power, Ratio, Resistance, Speed, TemperatureRise, Time, Torque, Voltage};
use serde_json::{Value, json};

const STOPS: usize = 24;
const REGULATED: usize = 60;
/// The link's own energy is counted once here and switched hundreds of times there.
const SWITCHED: f64 = 0.02;
/// Both are solved to better than this.
const SOLVED: f64 = 1e-5;

#[derive(Default)]
struct Apart {
    at: Vec<String>,
    worst: f64,
}

impl Apart {
    fn add(&mut self, name: &str, ours: f64, theirs: &Value, room: f64) {
        let theirs = theirs.as_f64().expect("number");
        let off = (ours / theirs - 1.0).abs();
        self.worst = self.worst.max(off);
        if off > room || off.is_nan() {
            self.at.push(format!("{name}: {ours} here, {theirs} there"));
        }
    }
}

#[test]
#[ignore = "needs the Python environment: cargo xtask test"]
fn scipy_agrees() {
    let mut dice = Dice(0xd1b5_4a32_d192_ed03);
    let (mut stops, mut regulated, mut ours, mut times) = (Vec::new(), Vec::new(), Vec::new(), Vec::new());
    for _ in 0..STOPS {
        let m = Moving {
            inertia: Inertia::kgm2(dice.between(2.0, 20.0)),
            speed: Speed::rad_s(dice.between(80.0, 200.0)),
            friction: Torque::ZERO,
        };
        let time = Time::s(dice.between(3.0, 15.0));
        // Friction of up to a fifth of the stopping torque, of either sign.
        let friction = m.inertia * (m.speed / time) * dice.between(-0.2, 0.2);
        let m = Moving { friction, ..m };
        let passes = Ratio::of_one(dice.between(0.75, 1.0));
        let one = stop(m.inertia, m.speed, time, m.friction, passes, &mut Silent).expect("a stop");
        let (before, level) = (Voltage::v(700.0), Voltage::v(780.0));
        let (off, share) = (Voltage::v(dice.between(735.0, 755.0)), dice.between(0.005, 0.012));
        // The link keeps about one per cent of the stop: as in real units, or more than in them.
        let capacitance = Capacitance::farad(share * 2.0 * one.energy.in_j() / (780.0 * 780.0 - 700.0 * 700.0));
        let resistor = Resistance::ohm(780.0 * 780.0 / one.peak.in_w() * dice.between(0.6, 0.95));
        let body = Body {
            power: one.mean * dice.between(0.1, 0.6),
            rise: TemperatureRise::dk(300.0),
            constant: Time::s(dice.between(20.0, 200.0)),
        };
        stops.push(json!({
            "inertia": m.inertia.in_kgm2(), "speed": m.speed.in_rad_s(), "friction": m.friction.in_nm(), "passes": passes.in_of_one(),
            "time": time.in_s(), "capacitance": capacitance.in_farad(), "before": before.in_v(), "on": level.in_v(), "off": off.in_v(),
            "resistor": resistor.in_ohm(), "rated": body.power.in_w(), "rise": body.rise.in_dk(), "constant": body.constant.in_s(),
        }));
        let burnt = left_for_resistor(one.energy, capacitance, before, level, &mut Silent).expect("a link");
        let pulse = Pulse { peak: one.peak, end: Power::ZERO, on: time, period: None };
        let hot = heat(&body, &pulse, &mut Silent).expect("a resistor");
        let power = resistor_power(level, resistor, &mut Silent).expect("a resistor");
        let brakes = Brakes { torque: Torque::nm(1e6), resistor: power, losses: Power::ZERO, passes };
        ours.push((burnt, hot.highest, shortest_stop(&m, &brakes, &mut Silent).expect("it stops").ramp));
    }
    for _ in 0..REGULATED {
        let brakes = Brakes {
            torque: Torque::nm(dice.between(20.0, 800.0)),
            resistor: Power::w(dice.between(500.0, 40_000.0)),
            losses: Power::w(dice.between(0.0, 3000.0)),
            passes: Ratio::of_one(dice.between(0.6, 1.0)),
        };
        let speed = Speed::rad_s(dice.between(40.0, 300.0));
        let power = brakes.resistor + brakes.losses;
        let least = brakes.torque.min(power / speed / brakes.passes.in_of_one());
        let m = Moving { inertia: Inertia::kgm2(dice.between(0.2, 30.0)), speed, friction: least * dice.between(-0.6, 1.0) };
        regulated.push(json!({
            "inertia": m.inertia.in_kgm2(), "speed": m.speed.in_rad_s(), "friction": m.friction.in_nm(), "torque": brakes.torque.in_nm(),
            "power": power.in_w(), "passes": brakes.passes.in_of_one(),
        }));
        times.push(shortest_stop(&m, &brakes, &mut Silent).expect("it stops").regulated);
    }
    let answer = ask("braking.py", &json!({ "stops": stops, "regulated": regulated }));
    let (mut switched, mut solved, mut switchings) = (Apart::default(), Apart::default(), 0);
    for (i, ((burnt, rise, ramp), theirs)) in ours.iter().zip(answer["stops"].as_array().expect("list")).enumerate() {
        switched.add(&format!("stop {i}: energy of the resistor"), burnt.in_j(), &theirs["resistor"], SWITCHED);
        switched.add(&format!("stop {i}: rise"), rise.in_dk(), &theirs["rise"], SWITCHED);
        switched.add(&format!("stop {i}: shortest even stop"), ramp.in_s(), &theirs["shortest"], SWITCHED);
        let highest = theirs["highest"].as_f64().expect("number");
        if highest > 780.0 * (1.0 + 1e-6) {
            switched.at.push(format!("stop {i}: the window holds here, but the link rises to {highest} V there"));
        }
        switchings += theirs["switchings"].as_u64().expect("number");
    }
    for (i, (time, theirs)) in times.iter().zip(answer["regulated"].as_array().expect("list")).enumerate() {
        solved.add(&format!("regulated {i}"), time.in_s(), theirs, SOLVED);
    }
    println!(
        "{STOPS} stops ({switchings} switchings), at most {:.2} % apart; {REGULATED} regulated stops, at most {:.1e} apart",
        100.0 * switched.worst,
        solved.worst
    );
    switched.at.extend(solved.at);
    assert!(switched.at.is_empty(), "\n{}", switched.at.join("\n"));
}
