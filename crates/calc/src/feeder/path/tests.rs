//! Tests of fault currents: what must be true of every path, and inputs that are refused.

use proptest::prelude::*;

use super::*;
use crate::working::Silent;

const MAX: Method = Method::Iec { case: Case::Largest, tolerance: Tolerance::Ten, end: Temperature::c(160.0) };
const MIN: Method = Method::Iec { case: Case::Smallest, tolerance: Tolerance::Ten, end: Temperature::c(160.0) };

fn utility(mva: f64) -> Utility {
    Utility { voltage: Voltage::kv(10.0), strength: Strength::Finite { power: ApparentPower::mva(mva), x_over_r: 10.0 } }
}

fn transformer(kva: f64) -> Part {
    Part::Transformer(Transformer {
        power: ApparentPower::kva(kva),
        primary: Voltage::kv(10.0),
        secondary: Voltage::v(400.0),
        impedance: Ratio::percent(5.0),
        resistance: Ratio::percent(1.0),
        nominal: Voltage::v(400.0),
    })
}

fn cable(metres: f64) -> Part {
    Part::Cable(Impedance { r: Resistance::mohm(0.193 * metres), x: Resistance::mohm(0.08 * metres) })
}

fn end(utility: &Utility, parts: &[Part], method: Method) -> NodeFault {
    *fault_currents(utility, parts, method, &mut Silent).unwrap().last().unwrap()
}

#[test]
fn nothing_ahead_and_nothing_behind_has_no_figure() {
    let infinite = Utility { voltage: Voltage::v(400.0), strength: Strength::Infinite };
    assert!(fault_at_supply(&infinite, Method::PerUnit, &mut Silent).is_err());
    assert!(fault_currents(&infinite, &[cable(0.0)], Method::PerUnit, &mut Silent).is_err());
    assert_eq!(fault_currents(&infinite, &[], Method::PerUnit, &mut Silent), Ok(vec![]));
    // 10 kV·... 250 MVA at 10 kV are 14.43 kA, by plain definition.
    assert!((fault_at_supply(&utility(250.0), MAX, &mut Silent).unwrap().current.in_ka() - 14.434).abs() < 1e-3);
}

#[test]
fn what_cannot_be_is_refused() {
    let refused = |part: Part, method| fault_currents(&utility(250.0), &[part], method, &mut Silent).is_err();
    let Part::Transformer(good) = transformer(630.0) else { panic!("a transformer") };
    assert!(!refused(Part::Transformer(good), MAX));
    for bad in [
        Transformer { power: ApparentPower::ZERO, ..good },
        Transformer { resistance: Ratio::percent(5.1), ..good },
        Transformer { impedance: Ratio::percent(101.0), ..good },
        Transformer { primary: Voltage::v(f64::NAN), ..good },
        Transformer { nominal: Voltage::v(-400.0), ..good },
    ] {
        assert!(refused(Part::Transformer(bad), MAX), "{bad:?}");
    }
    assert!(refused(cable(-1.0), MAX));
    assert!(refused(cable(1.0), Method::Iec { case: Case::Smallest, tolerance: Tolerance::Ten, end: Temperature::c(10.0) }));
    let weak = Utility { strength: Strength::Finite { power: ApparentPower::mva(1.0), x_over_r: f64::INFINITY }, ..utility(1.0) };
    assert!(fault_currents(&weak, &[cable(1.0)], MAX, &mut Silent).is_err());
}

#[test]
fn the_peak_lies_between_pure_resistance_and_pure_reactance() {
    assert!((peak_factor(1.0, 0.0) - 1.02).abs() < 1e-12 && (peak_factor(0.0, 1.0) - 2.0).abs() < 1e-12);
}

#[test]
fn warm_cables_and_low_voltage_give_less() {
    let parts = [transformer(630.0), cable(50.0)];
    let (largest, smallest) = (end(&utility(250.0), &parts, MAX), end(&utility(250.0), &parts, MIN));
    assert!(smallest.current < largest.current);
    // By hand: 0.193·50·(1 + 0.004·140) = 15.054 mΩ of cable.
    let cold = end(&utility(250.0), &parts[..1], MIN).impedance.r;
    assert!(((smallest.impedance.r - cold).in_mohm() - 15.054).abs() < 1e-9);
}

proptest! {
    #[test]
    fn longer_is_never_more_and_stronger_never_less(
        a in 0.0f64..500.0, b in 0.0f64..500.0, s in 50.0f64..4000.0, t in 50.0f64..4000.0, p in 20.0f64..2000.0, q in 20.0f64..2000.0,
        method in 0usize..3,
    ) {
        let method = [Method::PerUnit, MAX, MIN][method];
        let at = |metres: f64, kva: f64, mva: f64| end(&utility(mva), &[transformer(kva), cable(metres)], method);
        prop_assert!(at(a.max(b), s, p).current <= at(a.min(b), s, p).current);
        prop_assert!(at(a.max(b), s, p).peak <= at(a.min(b), s, p).peak);
        prop_assert!(at(a, s.max(t), p).current >= at(a, s.min(t), p).current);
        prop_assert!(at(a, s, p.max(q)).current >= at(a, s, p.min(q)).current);
    }

    #[test]
    fn a_reactor_or_a_run_more_is_never_more(metres in 0.0f64..300.0, mohm in 0.0f64..50.0, kva in 50.0f64..4000.0) {
        let parts = [transformer(kva), cable(metres), Part::Reactor(Impedance { r: Resistance::ZERO, x: Resistance::mohm(mohm) })];
        let nodes = fault_currents(&utility(500.0), &parts, MAX, &mut Silent).unwrap();
        prop_assert!(nodes.windows(2).all(|p| p[1].current <= p[0].current));
        prop_assert!(nodes.iter().all(|n| n.peak >= n.current * 1.02 && n.peak <= n.current * (2.0 * 2f64.sqrt() + 1e-9)));
    }

    #[test]
    fn an_unknown_resistance_of_the_transformer_is_on_the_safe_side(percent in 0.0f64..4.9, metres in 0.0f64..300.0, kva in 50.0f64..4000.0) {
        let Part::Transformer(t) = transformer(kva) else { panic!("a transformer") };
        let at = |resistance| {
            let parts = [Part::Transformer(Transformer { resistance, ..t }), cable(metres)];
            end(&Utility { voltage: Voltage::kv(10.0), strength: Strength::Infinite }, &parts, MAX).current
        };
        prop_assert!(at(Ratio::ZERO) >= at(Ratio::percent(percent)) * (1.0 - 1e-12));
    }
}
