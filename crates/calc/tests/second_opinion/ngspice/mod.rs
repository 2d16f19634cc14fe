//! The circuits of the second opinion on diode front ends, as netlists for ngspice: the same parameters, written apart
//! from the program's matrices, node by node. Plants are invented.

use std::fmt::Write as _;
use std::path::Path;
use std::process::{Command, Stdio};

use calc::harmonics::{Circuit, Feed, Impedance, Load};
use plant::quantity::{Capacitance, Current, Frequency, Inductance, Power, Resistance, Voltage};

/// Cycles until the last one is looked at.
const CYCLES: f64 = 25.0;
/// Samples of that cycle.
pub(crate) const SAMPLES: usize = 2000;
/// Longest step of ngspice, in samples.
const LONGEST: f64 = 0.5;
/// ngspice's diode: I = 1 pA·(e^(U/25.9 mV) − 1), 0.8 V at some 30 A.
const DIODE: &str = "D(is=1e-12 n=1 rs=0.1m)";

fn impedance(ohms: f64, henries: f64) -> Impedance {
    Impedance { resistance: Resistance::ohm(ohms), inductance: Inductance::henry(henries) }
}

fn six(ls: f64, rs: f64, ldc: f64, uf: f64, load: Load) -> Circuit {
    Circuit {
        feed: Feed::ThreePhase,
        voltage: Voltage::v(400.0),
        frequency: Frequency::hz(50.0),
        source: impedance(rs, ls),
        reactor: Impedance::NONE,
        winding: Impedance::NONE,
        choke: impedance(0.0, ldc),
        capacitance: Capacitance::uf(uf),
        diode_drop: Voltage::v(0.8),
        load,
    }
}

/// The circuits, each with what is special about it.
pub(crate) fn circuits() -> Vec<(&'static str, Circuit)> {
    let ohm = |r| Load::Resistance(Resistance::ohm(r));
    let amps = |i| Load::Current(Current::a(i));
    let us = |c: Circuit| Circuit { voltage: Voltage::v(480.0), frequency: Frequency::hz(60.0), ..c };
    let single = |c: Circuit| Circuit { feed: Feed::SinglePhase, ..c };
    let twelve = |feed, ls, ldc, uf, load| Circuit { feed, winding: impedance(0.01, 300e-6), ..six(ls, 0.003, ldc, uf, load) };
    vec![
        ("weak source, no choke", six(500e-6, 0.01, 0.0, 3000.0, ohm(6.5))),
        ("stiff source, no choke", six(60e-6, 0.002, 0.0, 3000.0, ohm(6.5))),
        ("very stiff source, no choke", six(25e-6, 0.002, 0.0, 2000.0, ohm(9.0))),
        ("line reactor of 3 %", Circuit { reactor: impedance(0.012, 340e-6), ..six(60e-6, 0.002, 0.0, 3000.0, ohm(6.5)) }),
        ("line reactor of 5 %", Circuit { reactor: impedance(0.02, 570e-6), ..six(60e-6, 0.002, 0.0, 3000.0, ohm(6.5)) }),
        ("small choke, current with gaps", six(40e-6, 0.002, 300e-6, 3000.0, ohm(9.0))),
        ("large choke", Circuit { choke: impedance(0.05, 4e-3), ..six(100e-6, 0.004, 0.0, 2200.0, ohm(6.5)) }),
        ("light load", six(200e-6, 0.004, 1e-3, 3000.0, ohm(80.0))),
        ("constant current at 480 V, 60 Hz", us(six(150e-6, 0.005, 500e-6, 4000.0, amps(90.0)))),
        (
            "constant power at 480 V, 60 Hz",
            us(Circuit { reactor: impedance(0.01, 250e-6), ..six(80e-6, 0.004, 0.0, 4000.0, Load::Power(Power::kw(45.0))) }),
        ),
        ("small film capacitor", six(150e-6, 0.05, 0.0, 40.0, ohm(10.0))),
        ("no capacitor, smooth current", six(300e-6, 0.01, 60e-3, 0.0, ohm(6.5))),
        ("long commutation", six(3e-3, 0.05, 5e-3, 1500.0, ohm(9.0))),
        ("575 V, 60 Hz, small drive", Circuit { voltage: Voltage::v(575.0), ..us(six(90e-6, 0.02, 0.0, 470.0, ohm(60.0))) }),
        ("single phase", single(six(226.2e-6, 0.003_55, 0.0, 3000.0, ohm(13.0)))),
        ("single phase behind a reactor", single(six(565.5e-6, 0.003_55, 0.0, 3000.0, ohm(19.5)))),
        ("single phase with a choke that circulates its current", single(six(300e-6, 0.01, 30e-3, 3000.0, ohm(13.0)))),
        ("twelve pulses in parallel", twelve(Feed::TwelvePulseParallel, 50e-6, 500e-6, 4000.0, ohm(5.0))),
        ("twelve pulses in parallel, no choke, weak source", twelve(Feed::TwelvePulseParallel, 400e-6, 0.0, 4000.0, ohm(6.0))),
        ("twelve pulses in series", twelve(Feed::TwelvePulseSeries, 100e-6, 1e-3, 2000.0, ohm(20.0))),
    ]
}

/// Ways of stepping and snubber capacitors, in the order of trial: with some, ngspice's steps shrink to nothing where a
/// current ends. The snubbers carry some milliamperes.
const ATTEMPTS: [(&str, &str); 4] = [("trap", "20n"), ("gear", "20n"), ("trap", "100n"), ("gear", "100n")];

/// How long one attempt may take, in pauses of 5 ms.
const PATIENCE: usize = 2_000;

/// The netlist of a circuit, with a last line that writes its last cycle to `table`.
pub(crate) fn netlist(name: &str, c: &Circuit, table: &Path, (method, snubber): (&str, &str)) -> String {
    let f = c.frequency.in_hz();
    let lines = if c.feed == Feed::SinglePhase { 2 } else { 3 };
    let root2 = 2f64.sqrt();
    let peak = c.voltage.in_v() * root2 * if lines == 3 { 3f64.sqrt().recip() } else { 0.5 };
    let lag = if lines == 3 { 120.0 } else { 180.0 };
    let mut n = format!("* {name}\n.model diode {DIODE}\n");
    let mut part = |text: String| writeln!(n, "{text}").expect("texts grow");
    // A small resistance stands where nothing is.
    let series = |tag: &str, from: &str, to: &str, z: Impedance| {
        let (r, l) = (z.resistance.in_ohm().max(1e-6), z.inductance.in_henry());
        if l > 0.0 { format!("R{tag} {from} {tag}m {r:e}\nL{tag} {tag}m {to} {l:e}") } else { format!("R{tag} {from} {to} {r:e}") }
    };
    let both = impedance((c.source.resistance + c.reactor.resistance).in_ohm(), (c.source.inductance + c.reactor.inductance).in_henry());
    for k in 0..lines {
        part(format!("V{k} e{k} 0 sin(0 {peak} {f} 0 0 {})", 90.0 - lag * f64::from(k)));
        part(series(&format!("s{k}"), &format!("e{k}"), &format!("p{k}"), both));
    }
    let twelve = matches!(c.feed, Feed::TwelvePulseParallel | Feed::TwelvePulseSeries);
    let bridge = |at: &str, plus: &str, minus: &str| {
        (0..lines).fold(String::new(), |all, k| {
            let diodes = format!("D{at}{k}t {at}{k} {plus} diode\nD{at}{k}b {minus} {at}{k} diode");
            format!("{all}{diodes}\nRq{at}{k} {at}{k} q{at}{k} 200\nCq{at}{k} q{at}{k} 0 {snubber}\n")
        })
    };
    if twelve {
        let k = 3f64.sqrt().recip();
        let turn = [(0, 2), (1, 0), (2, 1)];
        for (p, (plus, minus)) in turn.into_iter().enumerate() {
            part(series(&format!("w{p}"), &format!("p{p}"), &format!("x{p}"), c.winding));
            part(format!("E{p} u{p} star p{plus} p{minus} {k}\nVm{p} u{p} v{p} 0"));
            part(series(&format!("y{p}"), &format!("v{p}"), &format!("z{p}"), c.winding));
            part(format!("F{p}a p{plus} 0 Vm{p} {k}\nF{p}b 0 p{minus} Vm{p} {k}"));
        }
        part("Rstar star 0 1e8".to_owned());
    }
    match c.feed {
        Feed::TwelvePulseParallel => {
            part(bridge("x", "top1", "minus") + &bridge("z", "top2", "minus"));
            part(series("d1", "top1", "plus", c.choke));
            part(series("d2", "top2", "plus", c.choke));
        }
        Feed::TwelvePulseSeries => {
            part(bridge("x", "middle", "minus") + &bridge("z", "top", "middle"));
            part(series("d", "top", "plus", c.choke));
        }
        Feed::ThreePhase | Feed::SinglePhase => {
            part(bridge("p", "top", "minus"));
            part(series("d", "top", "plus", c.choke));
        }
    }
    part("Rfloat minus 0 1e8".to_owned());
    let start = c.voltage.in_v() * 1.3 * if c.feed == Feed::TwelvePulseSeries { 2.0 } else { 1.0 };
    if c.capacitance > Capacitance::ZERO {
        part(format!("Vc plus cap 0\nCdc cap minus {:e} ic={start}", c.capacitance.in_farad()));
    } else {
        part("Vc plus cap 0\nRcap cap minus 1e9".to_owned());
    }
    part(match c.load {
        Load::Resistance(r) => format!("Rload plus minus {:e}", r.in_ohm()),
        Load::Current(i) => format!("Iload plus minus {:e}", i.in_a()),
        Load::Power(p) => format!("Bload plus minus i={:e}/max(v(plus,minus),50)", p.in_w()),
    });
    let cycle = f.recip();
    #[expect(clippy::cast_precision_loss, reason = "thousands")]
    let step = cycle / SAMPLES as f64;
    part(format!(
        ".options method={method} reltol=1e-3 abstol=1e-6 vntol=1e-4 chgtol=1e-9\n.control\ntran {step:e} {} {} {:e} uic",
        CYCLES * cycle,
        (CYCLES - 1.0) * cycle,
        step * LONGEST
    ));
    part(format!("linearize\nset wr_singlescale\nwrdata {} i(v0) v(plus,minus) i(vc)\nquit\n.endc\n.end", table.display()));
    n
}

/// What ngspice found over the last cycle.
pub(crate) struct Waves {
    /// Current of the first line.
    pub(crate) line: Vec<f64>,
    /// DC voltage.
    pub(crate) dc: Vec<f64>,
    /// Capacitor current.
    pub(crate) capacitor: Vec<f64>,
}

/// Runs ngspice on a circuit, with its files in `folder`.
#[allow(clippy::disallowed_methods, reason = "netlists and their results are files")]
pub(crate) fn run(ngspice: &str, folder: &Path, tag: &str, name: &str, circuit: &Circuit) -> Waves {
    let (net, table) = (folder.join(format!("{tag}.cir")), folder.join(format!("{tag}.txt")));
    let attempt = |how: (&str, &str)| {
        let _ = std::fs::remove_file(&table);
        std::fs::write(&net, netlist(name, circuit, &table, how)).expect("netlist written");
        let mut child =
            Command::new(ngspice).arg("-b").arg(&net).stdout(Stdio::null()).stderr(Stdio::null()).spawn().expect("ngspice starts");
        // Where its steps get tiny it runs for hours; another way of stepping is quicker.
        for _ in 0..PATIENCE {
            if child.try_wait().expect("ngspice runs").is_some() {
                break;
            }
            std::thread::sleep(std::time::Duration::from_millis(5));
        }
        let _ = child.kill();
        child.wait().expect("ngspice ends");
        std::fs::read_to_string(&table).ok()
    };
    let text = ATTEMPTS.into_iter().find_map(attempt).unwrap_or_else(|| panic!("ngspice gave nothing for {}", net.display()));
    let mut waves = Waves { line: Vec::new(), dc: Vec::new(), capacitor: Vec::new() };
    for row in text.lines() {
        let cells: Vec<f64> = row.split_whitespace().map(|c| c.parse().expect("numbers")).collect();
        let [_, line, dc, capacitor] = cells[..] else { panic!("four columns in {}", table.display()) };
        // ngspice counts the current into the source.
        waves.line.push(-line);
        waves.dc.push(dc);
        waves.capacitor.push(capacitor);
    }
    assert!(waves.line.len() >= SAMPLES, "{} rows in {}", waves.line.len(), table.display());
    for wave in [&mut waves.line, &mut waves.dc, &mut waves.capacitor] {
        wave.truncate(SAMPLES);
    }
    waves
}
