//! Duty cycles, run-ups and smallest ratings against SciPy: quadrature, a differential equation and a simulated budget with
//! bisection, written apart from the program (`tests/second_opinion/duty.py`).
#![allow(clippy::disallowed_methods, reason = "the test asks the environment for a Python interpreter")]
#![allow(clippy::expect_used, reason = "a test stops at the first broken expectation")]

mod common;

use calc::drive::overload::{Governed, OverloadPoint, smallest_rating};
use calc::load::duty::{Cycle, LoadTorque, Machine, Segment, duty, two_currents};
use calc::load::kinds::Law;
use calc::load::run_up::{TorqueLimit, run_up};
use calc::working::Silent;
use common::{Dice, ask};
use plant::quantity::{Current, Inertia, Ratio, Speed, Time, Torque};
use serde_json::{Value, json};

const CYCLES: usize = 100;
const RUN_UPS: usize = 100;
/// Both sides integrate to better than 1e-9; this leaves room for sums in another order.
const INTEGRALS: f64 = 1e-6;
/// A ramp enters the record in slices of constant current; the simulation follows it closely.
const RATINGS: f64 = 1e-4;

fn law(dice: &mut Dice) -> (Law, &'static str, f64) {
    let share = dice.between(0.1, 0.9);
    dice.one_of(&[
        (Law::Constant, "constant", 0.0),
        (Law::Linear, "linear", 0.0),
        (Law::Quadratic { fixed: share }, "quadratic", share),
        (Law::ConstantPower { from: share }, "constant-power", share),
        (Law::Hoist { efficiency: share }, "hoist", share),
        (Law::Incline { climbing: share }, "incline", share),
    ])
}

fn cycle_of(dice: &mut Dice, speeds: &[f64]) -> (Vec<Segment>, Vec<Value>) {
    let mut segments = Vec::new();
    let mut told = Vec::new();
    for speed in speeds {
        let (time, ramp) = (dice.between(10.0, 200.0), dice.between(2.0, 10.0));
        let at = dice.between(0.1, 1.0);
        let (load, tell) = if dice.between(0.0, 1.0) < 0.4 {
            let value = dice.between(-0.5, 1.3);
            (LoadTorque::Share(Ratio::of_one(value)), json!({ "kind": "share", "value": value }))
        } else {
            let (law, kind, share) = law(dice);
            (LoadTorque::Law { law, at_rated_speed: Ratio::of_one(at) }, json!({ "kind": kind, "share": share, "at": at }))
        };
        segments.push(Segment { time: Time::s(time), speed_to: Speed::rad_s(*speed), ramp: Time::s(ramp), load });
        told.push(json!({ "time": time, "speed_to": speed, "ramp": ramp, "load": tell }));
    }
    (segments, told)
}

fn apart(name: &str, ours: f64, theirs: &Value, whole: f64, room: f64) -> Option<String> {
    let theirs = theirs.as_f64().expect("number");
    ((ours - theirs).abs() > room * whole.abs() || ours.is_nan()).then(|| format!("{name}: {ours} here, {theirs} there"))
}

#[test]
#[ignore = "needs the Python environment: cargo xtask test"]
fn scipy_agrees() {
    let mut dice = Dice(0x9e37_79b9_7f4a_7c15);
    let (mut cycles, mut run_ups, mut ours) = (Vec::new(), Vec::new(), Vec::new());
    let mut governed = [0; 3];
    for _ in 0..CYCLES {
        let machine = Machine {
            rated_torque: Torque::nm(dice.between(20.0, 2000.0)),
            rated_speed: Speed::rad_s(dice.between(70.0, 320.0)),
            inertia: Inertia::kgm2(1.0),
        };
        let (rated, no_load) = (Current::a(dice.between(10.0, 500.0)), dice.between(0.2, 0.6));
        // Full speed from rest takes 0.5 to 4 s at the rated torque.
        let inertia = machine.rated_torque.in_nm() * dice.between(0.5, 4.0) / machine.rated_speed.in_rad_s();
        let machine = Machine { inertia: Inertia::kgm2(inertia), ..machine };
        let repeats = dice.between(0.0, 1.0) < 0.7;
        let mut speeds: Vec<f64> =
            (0..6).map(|_| machine.rated_speed.in_rad_s() * dice.one_of(&[-1.4, -1.0, -0.3, 0.0, 0.2, 0.7, 1.0, 1.3])).collect();
        let start = if repeats { speeds[5] } else { 0.0 };
        if dice.between(0.0, 1.0) < 0.3 {
            speeds[2] = speeds[1];
        }
        let (segments, told) = cycle_of(&mut dice, &speeds);
        let short = OverloadPoint::new(dice.between(1.7, 3.5), dice.between(1.0, 10.0));
        let long = OverloadPoint::new(dice.between(1.2, 1.7), dice.between(30.0, 120.0));
        let points = dice.one_of(&[&[short, long][..], &[short], &[long]]).to_vec();
        let cycle = Cycle { start: Speed::rad_s(start), segments: &segments, repeats };
        let d = duty(&machine, &cycle, |m, f| two_currents(rated, rated * no_load, m, f), &mut Silent).expect("good cycle");
        let rating = smallest_rating(&d.record, &points, &mut Silent).expect("good record");
        governed[match rating.governed_by {
            Governed::Continuous => 0,
            Governed::Point(_) => 1,
            Governed::Peak => 2,
        }] += 1;
        cycles.push(json!({
            "rated_torque": machine.rated_torque.in_nm(), "rated_speed": machine.rated_speed.in_rad_s(), "inertia": inertia,
            "rated_current": rated.in_a(), "no_load_current": (rated * no_load).in_a(), "start": start, "repeats": repeats,
            "segments": told, "points": points.iter().map(|p| [p.multiple, p.time_s]).collect::<Vec<_>>(),
        }));
        ours.push((d, rating));
    }
    let mut times = Vec::new();
    while times.len() < RUN_UPS {
        let (law, kind, share) = law(&mut dice);
        let full = Speed::rad_s(dice.between(50.0, 400.0));
        let limit = Torque::nm(dice.between(10.0, 1000.0));
        let motor = TorqueLimit { limit, base: full * dice.between(0.5, 1.2), breakdown: limit * dice.between(1.05, 3.0) };
        let (inertia, load, to) = (Inertia::kgm2(dice.between(0.1, 100.0)), limit * dice.between(0.05, 1.1), full * dice.between(0.3, 1.2));
        let from = to * dice.one_of(&[0.0, 0.4]);
        let [a, b] = motor.bends();
        let bends = [a, b, full * share];
        let run = run_up(inertia, from, to, &bends, |n| motor.at(n), |n| load * law.moving(true, n / full), &mut Silent);
        // Stalls are refused here and never end there; near a stall the differential equation itself loses digits.
        let Ok(run) = run else { continue };
        if run.least_spare < limit * 0.02 {
            continue;
        }
        run_ups.push(json!({
            "inertia": inertia.in_kgm2(), "from": from.in_rad_s(), "to": to.in_rad_s(), "limit": limit.in_nm(), "base": motor.base.in_rad_s(),
            "breakdown": motor.breakdown.in_nm(), "full": full.in_rad_s(), "load": { "kind": kind, "share": share, "at": load.in_nm() },
        }));
        times.push(run.time);
    }
    let answer = ask("duty.py", &json!({ "cycles": cycles, "run_ups": run_ups }));
    let mut apart_at = Vec::new();
    for (i, ((d, rating), theirs)) in ours.iter().zip(answer["cycles"].as_array().expect("list")).enumerate() {
        let power = d.mean_motoring.in_w().max(d.mean_regenerating.in_w());
        apart_at.extend(
            [
                apart("rms current", d.rms_current.in_a(), &theirs["rms_current"], d.rms_current.in_a(), INTEGRALS),
                apart("rms torque", d.rms_torque.in_nm(), &theirs["rms_torque"], d.rms_torque.in_nm(), INTEGRALS),
                apart("motoring", d.mean_motoring.in_w(), &theirs["mean_motoring"], power, INTEGRALS),
                apart("regenerating", d.mean_regenerating.in_w(), &theirs["mean_regenerating"], power, INTEGRALS),
                apart("rating", rating.current.in_a(), &theirs["rating"], rating.current.in_a(), RATINGS),
            ]
            .into_iter()
            .flatten()
            .map(|text| format!("cycle {i}: {text} ({:?})", rating.governed_by)),
        );
    }
    for (i, (time, theirs)) in times.iter().zip(answer["run_ups"].as_array().expect("list")).enumerate() {
        apart_at.extend(apart("run-up", time.in_s(), theirs, time.in_s(), INTEGRALS).map(|text| format!("run-up {i}: {text}")));
    }
    println!("{CYCLES} cycles (governed by rms {}, overload {}, peak {}), {RUN_UPS} run-ups", governed[0], governed[1], governed[2]);
    assert!(governed.iter().all(|g| *g > 0), "the cases miss a kind of governing limit: {governed:?}");
    assert!(apart_at.is_empty(), "\n{}", apart_at.join("\n"));
}
