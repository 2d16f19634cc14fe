//! What a front end must obey: textbook limits, symmetry, the balance of power, monotone distortion, and refusals.

use std::f64::consts::{PI, TAU};

use plant::quantity::{Capacitance, Current, Frequency, Inductance, Power, Resistance, Voltage};
use proptest::prelude::*;

use super::mode::State;
use super::network::Network;
use super::steady::{section, steady};
use super::walk::{Walker, at};
use super::*;
use crate::working::Silent;

fn six(ls_uh: f64, ldc_uh: f64, c_uf: f64, ohms: f64) -> Circuit {
    Circuit {
        feed: Feed::ThreePhase,
        voltage: Voltage::v(400.0),
        frequency: Frequency::hz(50.0),
        source: Impedance { resistance: Resistance::ohm(TAU * 50.0 * ls_uh * 1e-6 / 20.0), inductance: Inductance::uh(ls_uh) },
        reactor: Impedance::NONE,
        winding: Impedance::NONE,
        choke: Impedance::pure(Inductance::uh(ldc_uh)),
        capacitance: Capacitance::uf(c_uf),
        diode_drop: Voltage::v(0.8),
        load: Load::Resistance(Resistance::ohm(ohms)),
    }
}

fn twelve(feed: Feed, ls_uh: f64, ldc_uh: f64, c_uf: f64, ohms: f64) -> Circuit {
    Circuit { feed, winding: Impedance::pure(Inductance::uh(300.0)), ..six(ls_uh, ldc_uh, c_uf, ohms) }
}

fn solved(circuit: &Circuit) -> FrontEnd {
    front_end(circuit, &mut Silent).unwrap_or_else(|e| panic!("{circuit:?}: {e}"))
}

/// A dense table of the first line's current over a whole cycle.
fn cycle(circuit: &Circuit) -> Vec<f64> {
    let net = Network::new(circuit, circuit.rough_load().in_a());
    let mut walker = Walker::new(&net, 0);
    let mut now = steady(&mut walker, None).unwrap();
    let places = 3000u32;
    let mut table = Vec::new();
    let mut frames = 0;
    let per_section = if section(&net) < 2.0 { places / 6 } else { places / 2 };
    while table.len() < 3000 {
        // Every section is walked in its own frame; the line's name and sign in the first frame are counted back.
        let line = if net.phases == 3 { frames % 3 } else { 0 };
        let sign = if frames % 2 == 0 { 1.0 } else { -1.0 };
        let piece = now.section / f64::from(per_section);
        let mut next = 0u32;
        let start = now.start;
        let end: State = walker
            .walk(now.state, start, now.section, |step| {
                let series = step.series(&step.pattern.sum(&net.line[line]));
                while next < per_section && f64::from(next) * piece <= step.start - start + step.length {
                    table.push(sign * at(&series, f64::from(next) * piece - (step.start - start)));
                    next += 1;
                }
            })
            .unwrap();
        now.state = end.turned(&net);
        frames += 1;
    }
    table
}

#[test]
fn coefficients_are_those_of_the_waveform() {
    for circuit in [
        six(113.0, 1.0, 3000.0, 6.5),
        six(565.0, 4000.0, 3000.0, 6.5),
        Circuit { feed: Feed::SinglePhase, ..six(226.0, 0.0, 3000.0, 13.0) },
    ] {
        let result = solved(&circuit);
        let table = cycle(&circuit);
        let n = f64::from(u32::try_from(table.len()).unwrap());
        for order in [1u32, 2, 3, 4, 5, 6, 7, 9, 11, 13, 25] {
            let (mut re, mut im) = (0.0, 0.0);
            for (i, x) in (0u32..).zip(&table) {
                let angle = TAU * f64::from(order) * f64::from(i) / n;
                (re, im) = (re + x * angle.cos(), im + x * angle.sin());
            }
            let rms = 2.0 * f64::hypot(re, im) / n / 2f64.sqrt();
            let ours = result.spectrum.order(order as usize).in_a();
            assert!((rms - ours).abs() < 1e-3 * result.spectrum.order(1).in_a(), "{order}: {ours} by form, {rms} by sum");
        }
        let rms = (table.iter().map(|x| x * x).sum::<f64>() / n).sqrt();
        assert!((rms - result.rms.in_a()).abs() < 1e-4 * rms);
        let peak = table.iter().fold(0.0f64, |p, x| p.max(x.abs()));
        assert!((peak - result.peak.in_a()).abs() < 1e-3 * peak);
    }
}

#[test]
fn the_textbook_bridge_is_the_limit() {
    // A smooth current, hardly any reactance: 120° blocks; 1.35·U − 3·ω·L·I_d/π − 2·R·I_d − 2·drop.
    let circuit = Circuit { capacitance: Capacitance::ZERO, ..six(2.3, 200_000.0, 0.0, 6.5) };
    let f = solved(&circuit);
    let ideal = ideal_bridge(6, 5, &mut Silent).unwrap();
    assert!((f.thd - ideal.thd_to_50).abs().in_percent() < 0.1);
    assert!((f.spectrum.order(1) / f.dc_current - ideal.fundamental.in_of_one()).abs() < 1e-3);
    for ls in [100.0, 565.5, 1500.0] {
        let circuit = Circuit { capacitance: Capacitance::ZERO, ..six(ls, 5e6, 0.0, 6.5) };
        let f = solved(&circuit);
        let i = f.dc_current.in_a();
        let r = circuit.source.resistance.in_ohm();
        let by_hand = circuit.ideal_mean().in_v() - 3.0 * TAU * 50.0 * ls * 1e-6 * i / PI - 2.0 * r * i - 1.6;
        assert!((f.dc_voltage.in_v() - by_hand).abs() < 0.002 * by_hand, "{ls}: {} for {by_hand}", f.dc_voltage);
    }
}

#[test]
fn a_single_phase_with_a_huge_choke_draws_square_waves() {
    // Its current circulates through all four diodes while the line's turns round; rms and 1/h of the odd orders.
    let f = solved(&Circuit { feed: Feed::SinglePhase, capacitance: Capacitance::ZERO, ..six(1.0, 5e6, 0.0, 10.0) });
    assert!((f.spectrum.share(3).in_percent() - 100.0 / 3.0).abs() < 0.1, "{}", f.spectrum.share(3));
    assert!((f.spectrum.order(1) / f.dc_current - 2.0 * 2f64.sqrt() / PI).abs() < 1e-3);
    assert!((f.dc_voltage.in_v() - (0.9003 * 400.0 - 1.6)).abs() < 0.5);
}

#[test]
fn twelve_pulses_cancel_five_and_seven() {
    for feed in [Feed::TwelvePulseParallel, Feed::TwelvePulseSeries] {
        for (ldc, c, ohms) in [(0.0, 3000.0, 6.5), (500.0, 3000.0, 6.5), (50_000.0, 0.0, 6.5), (100.0, 200.0, 20.0)] {
            let f = solved(&twelve(feed, 100.0, ldc, c, ohms));
            for h in [5, 7, 17, 19, 29, 31] {
                assert!(f.spectrum.share(h).in_of_one() < 1e-6, "{feed:?} {ldc} {c} {h}: {}", f.spectrum.share(h));
            }
            assert!(f.spectrum.share(11).in_of_one() > 0.005 && (f.input - f.output - f.losses).abs().in_w() < 1e-6 * f.input.in_w());
        }
    }
}

#[test]
fn the_load_gets_what_it_asks_for() {
    let power = solved(&Circuit { load: Load::Power(Power::kw(40.0)), ..six(200.0, 0.0, 3000.0, 1.0) });
    assert!((power.dc_voltage.in_v() * power.dc_current.in_a() - 40e3).abs() < 1e-3);
    let current = solved(&Circuit { load: Load::Current(power.dc_current), ..six(200.0, 0.0, 3000.0, 1.0) });
    assert!((current.thd - power.thd).abs().in_of_one() < 1e-8);
}

#[test]
fn hopeless_circuits_are_refused_with_a_sentence() {
    let good = six(200.0, 0.0, 3000.0, 6.5);
    let refused = |circuit: Circuit, part: &str| {
        let said = front_end(&circuit, &mut Silent).expect_err(part).to_string();
        assert!(said.contains(part), "“{said}” for {part}");
    };
    refused(Circuit { source: Impedance::NONE, ..good }, "no inductance in the lines");
    refused(Circuit { capacitance: Capacitance::ZERO, load: Load::Current(Current::a(50.0)), ..good }, "without a capacitor");
    refused(Circuit { load: Load::Current(Current::a(1e-5)), ..good }, "millionth");
    refused(Circuit { load: Load::Resistance(Resistance::ohm(1e-6)), ..good }, "hardly any voltage");
    refused(Circuit { load: Load::Power(Power::mw(4.0)), ..good }, "DC voltage breaks down");
    refused(Circuit { load: Load::Current(Current::ka(6.0)), ..good }, "DC voltage breaks down");
    refused(Circuit { diode_drop: Voltage::v(50.0), ..good }, "diode drop");
    refused(Circuit { voltage: Voltage::v(f64::NAN), ..good }, "line voltage");
    refused(Circuit { feed: Feed::TwelvePulseSeries, ..good }, "leakage");
    refused(Circuit { winding: Impedance::pure(Inductance::uh(1.0)), ..good }, "winding");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    /// Over source reactances of 0.2 % to 12 % of the load's, without choke or with one, and a capacitor that keeps ripple small.
    #[test]
    fn a_stiffer_source_or_a_smaller_reactor_never_lowers_the_distortion(
        x in 0.002f64..0.12, less in 0.3f64..0.95, choke in prop_oneof![Just(0.0), 0.0f64..0.04], c in 40.0f64..120.0, ohms in 2.0f64..60.0,
    ) {
        // Reactances as shares of U/I ≈ ohms/1.35; the capacitor in µF per kW is 40 to 120.
        let kw = 540.0 * 540.0 / ohms / 1000.0;
        let henry = |share: f64| share * ohms / 1.35 / (TAU * 50.0) * 1e6;
        let at = |x: f64| solved(&six(henry(x), henry(choke), c * kw, ohms)).thd.in_percent();
        prop_assert!(at(x * less) >= at(x) - 1e-6, "{} at {}, {} at {}", at(x * less), x * less, at(x), x);
    }

    #[test]
    fn power_in_is_power_out_and_losses(
        feed in 0usize..4, ls in 20.0f64..2000.0, ldc in prop_oneof![Just(0.0), 1.0f64..20_000.0], c in prop_oneof![Just(0.0), 20.0f64..8000.0],
        ohms in 2.0f64..200.0, kind in 0u8..3,
    ) {
        let mut circuit = six(ls, ldc, c, ohms);
        circuit.feed = Feed::ALL[feed];
        if feed >= 2 {
            circuit.winding = Impedance::pure(Inductance::uh(300.0));
        }
        if c > 0.0 && kind > 0 {
            let i = circuit.rough_load() * 0.6;
            circuit.load = if kind == 1 { Load::Current(i) } else { Load::Power(Power::w(i.in_a() * circuit.ideal_mean().in_v())) };
        }
        // A weak source and a heavy load, or a capacitor too small to carry a constant current, are refused.
        if let Ok(f) = front_end(&circuit, &mut Silent) {
            let gap = (f.input - f.output - f.losses).abs();
            prop_assert!(gap.in_w() <= 1e-6 * f.input.in_w(), "{gap} of {} {circuit:?}", f.input);
            prop_assert!(f.power_factor <= f.displacement + plant::quantity::Ratio::of_one(1e-3) && f.rms >= f.spectrum.order(1));
        } else {
            prop_assert!(kind > 0 || circuit.check().is_err(), "{:?} {circuit:?}", front_end(&circuit, &mut Silent));
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    /// Values far outside of any plant: an answer or a sentence, within bounded work.
    #[test]
    fn any_circuit_gives_an_answer_or_a_refusal(
        feed in 0usize..4, powers in prop::array::uniform10(-10.0f64..4.0), zero in prop::array::uniform4(any::<bool>()), kind in 0u8..3,
    ) {
        let value = |i: usize| if i < 4 && zero[i] { 0.0 } else { 10f64.powf(powers[i]) };
        let impedance = |l: f64, r: f64| Impedance { resistance: Resistance::ohm(r * 1e-2), inductance: Inductance::henry(l * 1e-2) };
        let circuit = Circuit {
            feed: Feed::ALL[feed],
            voltage: Voltage::v(value(4) + 1.0),
            frequency: Frequency::hz(50.0),
            source: impedance(value(5), value(0)),
            reactor: impedance(value(1), 0.0),
            winding: if feed >= 2 { impedance(value(6), 0.0) } else { Impedance::NONE },
            choke: impedance(value(2), 0.0),
            capacitance: Capacitance::farad(value(3) * 1e-3),
            diode_drop: Voltage::v(value(7).min(0.01)),
            load: match kind {
                0 => Load::Resistance(Resistance::ohm(value(8))),
                1 => Load::Current(Current::a(value(8))),
                _ => Load::Power(Power::w(value(8))),
            },
        };
        if let Ok(f) = front_end(&circuit, &mut Silent) {
            prop_assert!(f.thd.is_finite() && f.input.is_finite(), "{circuit:?}");
            let gap = (f.input - f.output - f.losses).abs();
            prop_assert!(gap.in_w() <= 1e-6 * f.input.in_w(), "{gap} of {} {circuit:?}", f.input);
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    /// From the whole cycle, walked without counting on the symmetry for the currents' names.
    #[test]
    fn balanced_six_pulses_have_no_even_and_no_triplen_orders(ls in 30.0f64..1000.0, ldc in prop_oneof![Just(0.0), 10.0f64..5000.0], ohms in 3.0f64..80.0) {
        let circuit = six(ls, ldc, 2500.0, ohms);
        let net = Network::new(&circuit, 1.0);
        let mut walker = Walker::new(&net, 0);
        let found = steady(&mut walker, None).unwrap();
        // Six sections in one walk: no turning of names in between.
        let mut sums = [[(0.0, 0.0); 3]; 13];
        let end = walker.walk(found.state, found.start, TAU, |step| {
            for (h, sum) in (0u32..).zip(&mut sums) {
                for (line, sum) in sum.iter_mut().enumerate() {
                    let series = step.series(&step.pattern.sum(&net.line[line]));
                    // Simpson on a fine division of the step.
                    let m = 200u32;
                    for k in 0..=m {
                        let x = step.length * f64::from(k) / f64::from(m);
                        let weight = step.length / f64::from(m) / 3.0 * if k == 0 || k == m { 1.0 } else if k % 2 == 1 { 4.0 } else { 2.0 };
                        let angle = f64::from(h) * (step.start + x);
                        sum.0 += weight * at(&series, x) * angle.cos();
                        sum.1 -= weight * at(&series, x) * angle.sin();
                    }
                }
            }
        }).unwrap();
        prop_assert_eq!(end.modes, found.state.modes);
        for line in 0..3 {
            let size = |h: usize| sums.get(h).map_or(f64::NAN, |sum| sum[line].0.hypot(sum[line].1));
            let first = size(1);
            for h in [0, 2, 3, 4, 6, 8, 9, 10, 12] {
                let size = size(h);
                prop_assert!(size < 1e-6 * first, "order {h} of line {line}: {size} beside {first}");
            }
        }
    }
}
