//! Diode front ends against ngspice: the same circuits as netlists, stepped through 25 cycles (`tests/second_opinion/ngspice/`).
#![allow(clippy::disallowed_methods, reason = "the test asks the environment for ngspice")]
#![allow(clippy::expect_used, clippy::panic, reason = "a test stops at the first broken expectation")]

#[path = "second_opinion/ngspice/mod.rs"]
mod ngspice;

use std::f64::consts::TAU;
use std::path::Path;

use calc::harmonics::{ORDERS, front_end};
use calc::working::Silent;
use ngspice::SAMPLES;

/// Points of the fundamental, for the distortion and each order.
const POINTS: f64 = 0.5;
/// Of the fundamental, the rms current, the ripple and the capacitor's current: ngspice's diodes drop less at small currents.
const SHARE: f64 = 0.01;
/// Volts of the mean DC voltage, per diode bridge.
const VOLTS: f64 = 0.6;

fn amplitude(wave: &[f64], order: usize) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "thousands")]
    let angle = |i: usize| TAU * (order * i % SAMPLES) as f64 / SAMPLES as f64;
    let (re, im) = wave.iter().enumerate().fold((0.0, 0.0), |(re, im), (i, x)| (re + x * angle(i).cos(), im + x * angle(i).sin()));
    #[expect(clippy::cast_precision_loss, reason = "thousands")]
    let half = SAMPLES as f64 / 2.0;
    re.hypot(im) / half
}

fn mean(wave: &[f64], of: impl Fn(f64) -> f64) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "thousands")]
    let n = wave.len() as f64;
    wave.iter().map(|x| of(*x)).sum::<f64>() / n
}

#[test]
#[ignore = "needs ngspice: cargo xtask test"]
fn ngspice_agrees() {
    let circuits = ngspice::circuits();
    let Ok(program) = std::env::var("CHANGEOUT_NGSPICE") else {
        println!("skipped: {} circuits, CHANGEOUT_NGSPICE names no ngspice", circuits.len());
        return;
    };
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR"));
    let mut apart = Vec::new();
    let mut worst = 0.0f64;
    for (i, (name, circuit)) in circuits.iter().enumerate() {
        let ours = front_end(circuit, &mut Silent).unwrap_or_else(|e| panic!("{name}: {e}"));
        let waves = ngspice::run(&program, folder, &format!("bridge-{i}"), name, circuit);
        let root2 = 2f64.sqrt();
        let orders: Vec<f64> = (0..=ORDERS).map(|h| amplitude(&waves.line, h) / root2).collect();
        let thd = orders[2..].iter().map(|i| i * i).sum::<f64>().sqrt() / orders[1];
        let mut compare = |what: String, ours: f64, theirs: f64, room: f64| {
            if (ours - theirs).abs() > room || ours.is_nan() {
                apart.push(format!("{name}: {what} {ours:.4} here, {theirs:.4} there"));
            }
        };
        let points = 100.0 * (ours.thd.in_of_one() - thd).abs();
        worst = worst.max(points);
        compare("THD".into(), ours.thd.in_percent(), 100.0 * thd, POINTS);
        for h in 2..=ORDERS {
            compare(format!("order {h}"), ours.spectrum.share(h).in_percent(), 100.0 * orders[h] / orders[1], POINTS);
        }
        compare("I_1".into(), ours.spectrum.order(1).in_a(), orders[1], SHARE * orders[1]);
        let rms = mean(&waves.line, |x| x * x).sqrt();
        compare("I".into(), ours.rms.in_a(), rms, SHARE * rms);
        compare("U_d".into(), ours.dc_voltage.in_v(), mean(&waves.dc, |x| x), 2.0 * VOLTS);
        let (low, high) = waves.dc.iter().fold((f64::MAX, f64::MIN), |(low, high), x| (low.min(*x), high.max(*x)));
        compare("ripple".into(), ours.ripple.in_v(), high - low, SHARE * (high - low) + 0.2);
        let peak = waves.line.iter().fold(0.0f64, |p, x| p.max(x.abs()));
        compare("peak".into(), ours.peak.in_a(), peak, SHARE * peak);
        let capacitor = mean(&waves.capacitor, |x| x * x).sqrt();
        compare("I_C".into(), ours.capacitor_current.in_a(), capacitor, SHARE * rms);
        println!("{name}: THD {:.3} % here, {:.3} % in ngspice", ours.thd.in_percent(), 100.0 * thd);
    }
    println!("{} circuits, distortion at most {worst:.3} points apart, {} figures beyond their room", circuits.len(), apart.len());
    assert!(circuits.len() >= 12 && apart.is_empty(), "\n{}", apart.join("\n"));
}
