//! Waves on a motor cable against ngspice: its lossless line, the same edges, many lengths, rise times and ends.
#![allow(clippy::disallowed_methods, reason = "the test asks the environment for ngspice and writes netlists")]
#![allow(clippy::expect_used, clippy::panic, reason = "a test stops at the first broken expectation")]

mod common;

use std::fmt::Write as _;
use std::path::Path;
use std::process::Command;

use calc::cable::lattice::{Edge, Line, Point, Wave, waves};
use common::Dice;
use plant::quantity::{Resistance, Time, Voltage};

const CASES: usize = 30;
/// Moments of each case at which the voltages are compared, besides highest and lowest.
const MOMENTS: usize = 12;
/// Of the highest voltage.
const ROOM: f64 = 0.005;

struct Case {
    line: Line,
    rise: Time,
    edges: Vec<Edge>,
}

fn case(dice: &mut Dice, number: usize) -> Case {
    let line = Line {
        drive: Resistance::ohm(dice.between(0.01, 30.0)),
        cable: Resistance::ohm(dice.between(40.0, 120.0)),
        motor: Resistance::ohm(10f64.powf(dice.between(1.5, 5.0))),
        run: Time::us(dice.between(0.02, 1.0)),
    };
    let rise = Time::us(dice.between(0.05, 1.0));
    let mut edges = vec![Edge { at: Time::ZERO, to: Voltage::v(650.0) }];
    // Two thirds of the cases have further edges on the way.
    for n in 0..number % 3 {
        let after = edges[n].at + rise * dice.between(1.05, 4.0);
        edges.push(Edge { at: after, to: Voltage::v(if n == 0 { 0.0 } else { 650.0 }) });
    }
    Case { line, rise, edges }
}

fn at(points: &[Point], t: Time) -> f64 {
    let pair = points.windows(2).find(|p| p[0].time <= t && t <= p[1].time).expect("inside");
    let (a, b) = (pair[0], pair[1]);
    if b.time == a.time { b.voltage.in_v() } else { (a.voltage + (b.voltage - a.voltage) * ((t - a.time) / (b.time - a.time))).in_v() }
}

fn netlist(case: &Case, end: Time, moments: &[Time]) -> String {
    let mut text = String::from("waves on a motor cable\nV1 s 0 PWL(0 0");
    let mut level = 0.0;
    for edge in &case.edges {
        let start = edge.at.in_s().max(1e-15);
        write!(text, " {start:e} {level:e} {:e} {:e}", start + case.rise.in_s(), edge.to.in_v()).expect("text");
        level = edge.to.in_v();
    }
    let line = case.line;
    let step = line.run.min(case.rise).in_s() / 60.0;
    write!(
        text,
        ")\nR1 s a {:e}\nT1 a 0 b 0 Z0={:e} TD={:e}\nR2 b 0 {:e}\n.tran {step:e} {:e} 0 {step:e}\n.meas tran high MAX v(b)\n.meas tran low MIN v(b)\n",
        line.drive.in_ohm(),
        line.cable.in_ohm(),
        line.run.in_s(),
        line.motor.in_ohm(),
        end.in_s(),
    )
    .expect("text");
    for (i, t) in moments.iter().enumerate() {
        writeln!(text, ".meas tran m{i} FIND v(b) AT={:e}", t.in_s()).expect("text");
    }
    text + ".end\n"
}

fn run(program: &str, number: usize, text: &str) -> String {
    let file = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("cable-{number}.cir"));
    std::fs::write(&file, text).expect("a netlist is written");
    let output = Command::new(program).arg("-b").arg(&file).output().expect("ngspice starts");
    String::from_utf8_lossy(&output.stdout).into_owned()
}

/// The value behind "name = value …" of a measurement.
fn measured(out: &str, name: &str) -> f64 {
    let line = out.lines().find(|l| l.split('=').next().is_some_and(|n| n.trim() == name));
    let value = line.and_then(|l| l.split('=').nth(1)).and_then(|v| v.split_whitespace().next());
    value.and_then(|v| v.parse().ok()).unwrap_or_else(|| panic!("ngspice gives no {name}:\n{out}"))
}

#[test]
#[ignore = "needs ngspice: cargo xtask test"]
fn ngspice_agrees() {
    let Ok(program) = std::env::var("CHANGEOUT_NGSPICE") else {
        println!("skipped: {CASES} cables, CHANGEOUT_NGSPICE names no ngspice");
        return;
    };
    let mut dice = Dice(0x2545_f491_4f6c_dd1d);
    let (mut apart, mut worst, mut tall) = (Vec::new(), 0.0f64, 0);
    for number in 0..CASES {
        let case = case(&mut dice, number);
        let Wave { points, .. } = waves(&case.line, case.rise, &case.edges).expect("a cable");
        let (first, end) = (points[0].time, points[points.len() - 1].time);
        let moments: Vec<Time> = (0..MOMENTS).map(|_| first + (end - first) * dice.between(0.0, 1.0)).collect();
        let out = run(&program, number, &netlist(&case, end, &moments));
        let high = points.iter().map(|p| p.voltage.in_v()).fold(0.0, f64::max);
        let low = points.iter().map(|p| p.voltage.in_v()).fold(0.0, f64::min);
        tall += usize::from(high > 1300.0);
        let named = (0..MOMENTS).map(|i| (format!("m{i}"), at(&points, moments[i])));
        for (name, ours) in named.chain([("high".to_owned(), high), ("low".to_owned(), low)]) {
            let theirs = measured(&out, &name);
            let off = (ours - theirs).abs() / high;
            worst = worst.max(off);
            if off > ROOM || off.is_nan() {
                apart.push(format!("cable {number}: {name} {ours:.2} V here, {theirs:.2} V there"));
            }
        }
    }
    println!(
        "{CASES} cables, {} voltages each, at most {:.3} % of the highest apart; {tall} above twice the link",
        MOMENTS + 2,
        100.0 * worst
    );
    assert!(apart.is_empty(), "\n{}", apart.join("\n"));
}
