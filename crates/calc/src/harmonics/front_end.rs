//! A diode front end as a whole: circuit in, currents and voltages out.

use plant::quantity::{Current, Power, Ratio, Voltage};

use super::circuit::{Circuit, Load};
use super::mode::State;
use super::network::Network;
use super::spectrum::{Spectrum, Totals, totals};
use super::steady::{Found, steady};
use super::walk::Walker;
use super::{BRIDGE_CIRCUIT, PIECEWISE};
use crate::registry::Refusal;
use crate::sources::DEFINITION;
use crate::working::{Recorder, Step};

/// The current of a load of constant power closes in by about the ripple's share each time; a handful is enough.
const POWER_ROUNDS: usize = 40;
const POWER_SAME: f64 = 1e-10;
/// The input comes from the fundamental, output and losses from sums over the steps: a result in which they differ by more than
/// this share is none.
const BALANCE: f64 = 1e-6;

/// What a diode front end draws and gives, in its periodic steady state.
#[derive(Clone, Debug, PartialEq)]
pub struct FrontEnd {
    /// Line currents by order.
    pub spectrum: Spectrum,
    /// Line current with everything in it, rms.
    pub rms: Current,
    /// Largest instantaneous line current.
    pub peak: Current,
    /// Harmonics up to the 50th over the fundamental.
    pub thd: Ratio,
    /// Cosine of the angle between the fundamentals of voltage and current at the point of common coupling.
    pub displacement: Ratio,
    /// Active over apparent power there, with orders up to the 50th.
    pub power_factor: Ratio,
    /// Mean DC voltage at the load.
    pub dc_voltage: Voltage,
    /// Ripple of the DC voltage, peak to peak.
    pub ripple: Voltage,
    /// Mean DC current of the load.
    pub dc_current: Current,
    /// Current of the DC-link capacitor from the rectifier, rms. The inverter adds its own.
    pub capacitor_current: Current,
    /// Active power out of the source.
    pub input: Power,
    /// Power of the load.
    pub output: Power,
    /// Losses in resistances and diodes.
    pub losses: Power,
    /// Distortion of the voltage at the point of common coupling by this front end alone, orders 2 to 50 over the fundamental.
    pub voltage_thd: Ratio,
    /// Share of time in which the rectifier conducts; below one the current is discontinuous.
    pub conducting: Ratio,
    /// How the steady state was found.
    pub found: Found,
}

/// Solves a diode front end.
///
/// Between two switching instants the circuit of source, reactors, choke, capacitor and load is linear and is solved
/// exactly; the instants are roots; the steady state is the one that a sixth of a cycle (half a cycle on a single phase) maps
/// onto itself. Diodes have a constant drop and no resistance. Units SI; all impedances at the bridges' voltage. Balanced source
/// without distortion of its own.
///
/// ```
/// use calc::harmonics::{Circuit, Feed, Impedance, Load, front_end};
/// use calc::working::Silent;
/// use plant::quantity::{Capacitance, Frequency, Inductance, Resistance, Voltage};
/// // 400 V, short-circuit ratio about 20, no choke; ngspice gives I_1 = 62.943 A, THD = 34.52 %.
/// let circuit = Circuit {
///     feed: Feed::ThreePhase,
///     voltage: Voltage::v(400.0),
///     frequency: Frequency::hz(50.0),
///     source: Impedance { resistance: Resistance::mohm(8.88), inductance: Inductance::uh(565.5) },
///     reactor: Impedance::NONE,
///     winding: Impedance::NONE,
///     choke: Impedance::pure(Inductance::uh(1.0)),
///     capacitance: Capacitance::uf(3000.0),
///     diode_drop: Voltage::v(0.8),
///     load: Load::Resistance(Resistance::ohm(6.5)),
/// };
/// let result = front_end(&circuit, &mut Silent)?;
/// assert!((result.spectrum.order(1).in_a() - 62.943).abs() < 0.3);
/// assert!((result.thd.in_percent() - 34.519).abs() < 0.5);
/// # Ok::<(), calc::Refusal>(())
/// ```
///
/// # Errors
/// A circuit that makes no sense ([`Circuit::check`]), a load that the source can't carry, or no steady state within bounded work.
///
/// Source: circuit theory; the method stands in the head of this subject.
pub fn front_end(circuit: &Circuit, rec: &mut impl Recorder) -> Result<FrontEnd, Refusal> {
    circuit.check()?;
    let (result, rounds) = match circuit.load {
        Load::Power(power) => of_power(circuit, power)?,
        Load::Current(_) | Load::Resistance(_) => (solve(circuit, circuit.rough_load().in_a(), None, &mut 0)?.0, 1),
    };
    record(circuit, &result, rounds, rec);
    Ok(result)
}

/// Repeats the calculation until current times mean voltage is the wanted power.
fn of_power(circuit: &Circuit, power: Power) -> Result<(FrontEnd, usize), Refusal> {
    let breaks_down = || Refusal::new("this source can't carry the load: the DC voltage breaks down before the power is reached");
    let mut current = circuit.rough_load().in_a();
    let (mut guess, mut steps) = (None, 0);
    for round in 1..=POWER_ROUNDS {
        let (result, state) =
            solve(circuit, current, guess, &mut steps).map_err(|refusal| if round > 1 { breaks_down() } else { refusal })?;
        let next = power.in_w() / result.dc_voltage.in_v();
        if !(next.is_finite() && next > 0.0) || next > 20.0 * circuit.rough_load().in_a() {
            return Err(breaks_down());
        }
        if (next - current).abs() <= POWER_SAME * current {
            return Ok((result, round));
        }
        current = next;
        guess = Some(state);
    }
    Err(breaks_down())
}

fn solve(circuit: &Circuit, current: f64, guess: Option<State>, steps: &mut usize) -> Result<(FrontEnd, State), Refusal> {
    let net = Network::new(circuit, current);
    let mut walker = Walker::new(&net, *steps);
    let steady = steady(&mut walker, guess)?;
    let t = totals(&mut walker, &steady)?;
    *steps = walker.steps;
    let result = gather(circuit, &net, &t, steady.found);
    let gap = (result.input - result.output - result.losses).abs();
    if gap.in_w().is_nan() || gap.in_w() > BALANCE * result.input.in_w() {
        return Err(Refusal::new("power in and power out differ by more than rounding: the values lie too far apart for this calculation"));
    }
    Ok((result, steady.state))
}

fn gather(circuit: &Circuit, net: &Network, t: &Totals, found: Found) -> FrontEnd {
    let lines = circuit.feed.lines();
    let omega = std::f64::consts::TAU * circuit.frequency.in_hz();
    let (r, x) = (circuit.source.resistance.in_ohm(), omega * circuit.source.inductance.in_henry());
    let emf = net.cos[0];
    // Voltage and power at the point of common coupling, order by order; amplitudes.
    let (mut power, mut u2, mut i2, mut distortion) = (0.0, 0.0, 0.0, 0.0);
    let mut first = (0.0, 0.0);
    let mut order = 0.0;
    for (h, (re, im)) in t.line.iter().copied().enumerate().skip(1) {
        order += 1.0;
        let x = order * x;
        let source = if h == 1 { emf } else { 0.0 };
        let u = (source - (r * re - x * im), -(r * im + x * re));
        power += 0.5 * (u.0 * re + u.1 * im);
        let square = 0.5 * (u.0 * u.0 + u.1 * u.1);
        u2 += square;
        i2 += 0.5 * (re * re + im * im);
        if h == 1 {
            first = u;
        } else {
            distortion += square;
        }
    }
    let (i_re, i_im) = t.line[1];
    let cos = (first.0 * i_re + first.1 * i_im) / (first.0.hypot(first.1) * i_re.hypot(i_im));
    let spectrum = t.spectrum();
    FrontEnd {
        thd: spectrum.thd(),
        rms: Current::a(t.line_rms),
        peak: Current::a(t.line_peak),
        displacement: Ratio::of_one(cos),
        power_factor: Ratio::of_one(power / (u2 * i2).sqrt()),
        dc_voltage: Voltage::v(t.v_mean),
        ripple: Voltage::v(t.v_high - t.v_low),
        dc_current: Current::a(t.dc_mean),
        capacitor_current: Current::a(if net.b > 0.0 { t.capacitor_rms } else { 0.0 }),
        input: Power::w(lines * 0.5 * emf * i_re),
        output: Power::w(t.load_power),
        losses: Power::w(t.losses),
        voltage_thd: Ratio::of_one((2.0 * distortion).sqrt() / first.0.hypot(first.1)),
        conducting: Ratio::of_one(t.conducting.min(1.0)),
        found,
        spectrum,
    }
}

fn record(circuit: &Circuit, f: &FrontEnd, rounds: usize, rec: &mut impl Recorder) {
    if !rec.keeps() {
        return;
    }
    let omega = std::f64::consts::TAU * circuit.frequency.in_hz();
    let line = circuit.source.inductance + circuit.reactor.inductance + circuit.winding.inductance;
    let x = plant::quantity::Resistance::ohm(omega * line.in_henry());
    rec.step(|| Step::new("U_di", "ideal mean DC voltage", "", &BRIDGE_CIRCUIT).with("U", circuit.voltage).gives(circuit.ideal_mean()));
    rec.step(|| {
        let share = x.in_ohm() * circuit.rough_load().in_a() / circuit.voltage.in_v();
        Step::new("X", "reactance in each line", "2·π·f·L", &DEFINITION)
            .with("f", circuit.frequency)
            .with("L", line)
            .gives(x)
            .note(format!("about {} % of the load's own impedance", plant::quantity::digits(share * 100.0, 3)))
    });
    rec.step(|| {
        let how = match f.found {
            Found::Newton => "found by Newton's method on the state at a section's start",
            Found::Marching => "found by marching until nothing moved",
        };
        let power = match circuit.load {
            Load::Power(_) => format!(
                "; the load's power is taken as a constant current at the mean DC voltage, in {rounds} rounds; its reaction to ripple is left out"
            ),
            Load::Current(_) | Load::Resistance(_) => String::new(),
        };
        Step::new("I_1", "fundamental of the line current", "", &PIECEWISE)
            .gives(f.spectrum.order(1))
            .note(format!("exact between switching instants, {how}; balanced source without distortion of its own{power}"))
    });
    for h in [5, 7, 11, 13] {
        rec.step(|| {
            Step::new("I_h", format!("harmonic of order {h}"), "", &PIECEWISE)
                .gives(f.spectrum.order(h))
                .note(format!("{} % of the fundamental", plant::quantity::digits(f.spectrum.share(h).in_percent(), 4)))
        });
    }
    rec.step(|| {
        Step::new("THD_i", "total harmonic distortion of the current", "I_H / I_1", &DEFINITION)
            .with("I_H", f.spectrum.harmonics())
            .with("I_1", f.spectrum.order(1))
            .gives(f.thd)
            .note("orders 2 to 50")
    });
    rec.step(|| Step::new("I", "line current with harmonics", "", &PIECEWISE).gives(f.rms));
    rec.step(|| Step::new("U_d", "mean DC voltage at the load", "", &PIECEWISE).gives(f.dc_voltage));
    rec.step(|| Step::new("ΔU_d", "ripple of the DC voltage, peak to peak", "", &PIECEWISE).gives(f.ripple));
    rec.step(|| {
        Step::new("I_C", "capacitor current from the rectifier", "", &PIECEWISE)
            .gives(f.capacitor_current)
            .note("the inverter's share is left out; the capacitor's life by its heating is not judged")
    });
    rec.step(|| {
        Step::new("λ", "power factor at the point of common coupling", "P / S", &DEFINITION)
            .gives(f.power_factor)
            .note("orders up to 50 in voltage and current")
    });
}
