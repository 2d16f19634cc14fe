//! How fast diode front ends are solved; with ngspice in `CHANGEOUT_NGSPICE`, also how long it takes for the same circuit,
//! and how many times longer. Circuits are those of the second opinion.
#![allow(clippy::disallowed_methods, reason = "a benchmark asks the clock and the environment")]
#![allow(clippy::expect_used, clippy::panic, reason = "a benchmark stops where there is nothing to measure")]

#[path = "../tests/second_opinion/ngspice/mod.rs"]
mod ngspice;

use std::path::Path;
use std::time::Instant;

use calc::harmonics::front_end;
use calc::working::Silent;

const TIMED: [&str; 3] = ["weak source, no choke", "stiff source, no choke", "large choke"];
const ROUNDS: u32 = 200;

#[divan::bench(args = ["weak source, no choke", "small choke, current with gaps", "constant power at 480 V, 60 Hz", "single phase", "twelve pulses in parallel"])]
fn steady_state(bencher: divan::Bencher<'_, '_>, name: &str) {
    let circuits = ngspice::circuits();
    let circuit = circuits.iter().find(|(n, _)| *n == name).map(|(_, c)| *c);
    bencher.bench_local(|| circuit.map(|c| front_end(&c, &mut Silent)));
}

/// Both on the same circuits, one after the other; the ratio is the smallest one.
fn against(program: &str) {
    let mut least = f64::INFINITY;
    for (name, circuit) in ngspice::circuits().into_iter().filter(|(name, _)| TIMED.contains(name)) {
        let start = Instant::now();
        for _ in 0..ROUNDS {
            std::hint::black_box(front_end(std::hint::black_box(&circuit), &mut Silent).expect("solved"));
        }
        let here = start.elapsed().as_secs_f64() / f64::from(ROUNDS);
        let start = Instant::now();
        let waves = ngspice::run(program, Path::new(env!("CARGO_TARGET_TMPDIR")), "bench", name, &circuit);
        let there = start.elapsed().as_secs_f64();
        assert_eq!(waves.line.len().min(waves.dc.len()), waves.capacitor.len(), "ngspice gave a whole cycle");
        println!("{name}: {:.1} µs here, {:.0} ms in ngspice, {:.0} times as long", here * 1e6, there * 1e3, there / here);
        least = least.min(there / here);
    }
    println!("TIMES_AS_LONG_IN_NGSPICE {least:.0}");
}

fn main() {
    match std::env::var("CHANGEOUT_NGSPICE") {
        Ok(program) => against(&program),
        Err(_) => println!("without CHANGEOUT_NGSPICE there is no comparison with ngspice"),
    }
    divan::main();
}
