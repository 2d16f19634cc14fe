//! What holds for every cable, motor and filter of this subject.

use plant::quantity::{Capacitance, Count, Current, Frequency, Inductance, Length, Power, Ratio, Resistance, Time, Voltage};
use proptest::prelude::*;

use super::bearing::{Remedy, Train, bearing_risk};
use super::bypass::{BothClosed, Interlock, Swap, both_closed, swap};
use super::charging::{Feeding, Run, charging};
use super::drop::{Draw, Series, low_line, series_drop};
use super::filter::{Duty, Filter, reuse};
use super::limits::{Build, Wording, counts_as, limit, on_curve};
use crate::motor::circuit::Circuit;
use crate::supply::window::Modulation;
use crate::working::{Silent, Working};

const FEEDING: Feeding =
    Feeding { bus: Voltage::v(650.0), cable: Resistance::ohm(50.0), carrier: Frequency::khz(4.0), leaves: Ratio::percent(50.0) };

fn run(length: f64, nf: f64, count: f64) -> Run {
    Run { length: Length::m(length), per_metre: Capacitance::nf(nf), count: Count::of(count) }
}

#[test]
fn words_of_a_plate_promise_what_a_standard_says_and_no_more() {
    let new = Some(Count::of(2010.0));
    let says = |wording, year, rewound| counts_as(wording, year, rewound, Some(Build::ClassC), &mut Silent);
    assert_eq!(says(Wording::Part31, new, false), Some(Build::DefinitePurpose));
    assert_eq!(says(Wording::Part31, new, true), None);
    assert_eq!(says(Wording::InverterDuty, new, false), Some(Build::GeneralPurpose));
    assert_eq!(says(Wording::Nothing, None, false), None);
    assert_eq!(says(Wording::Nothing, new, false), Some(Build::GeneralPurpose));
    assert_eq!(says(Wording::Class, new, false), Some(Build::ClassC));
    assert_eq!(counts_as(Wording::Class, new, false, None, &mut Silent), Some(Build::ClassA));
}

#[test]
fn limits_end_where_their_standards_do() {
    assert!(limit(Build::GeneralPurpose, Voltage::v(2300.0), &mut Silent).is_err());
    let curve = [(Time::us(0.2), Voltage::v(900.0)), (Time::us(0.4), Voltage::v(1100.0))];
    assert!(on_curve(&curve, Time::us(0.1), &mut Silent).is_err());
    assert!((on_curve(&curve, Time::us(2.0), &mut Silent).unwrap().in_v() - 1100.0).abs() < 1e-9);
    assert!(on_curve(&[curve[1], curve[0]], Time::us(0.3), &mut Silent).is_err());
    assert!(on_curve(&[], Time::us(0.3), &mut Silent).is_err());
}

#[test]
fn every_pair_of_directions_has_its_own_answer() {
    let all = [(true, true), (true, false), (false, true), (false, false)];
    assert_eq!(all.map(|(u, b)| swap(u, b, &mut Silent)), [Swap::Nowhere, Swap::Bypass, Swap::UnitOutput, Swap::Motor]);
    // Changing the wires that it names makes both right: at the unit or in the bypass turns one, at the motor both.
    for (unit, bypass) in all {
        let (unit, bypass) = match swap(unit, bypass, &mut Silent) {
            Swap::Nowhere => (unit, bypass),
            Swap::UnitOutput => (!unit, bypass),
            Swap::Bypass => (unit, !bypass),
            Swap::Motor => (!unit, !bypass),
        };
        assert!(unit && bypass);
    }
}

#[test]
fn only_a_mechanical_link_keeps_two_contactors_apart() {
    for mirror_contacts in [false, true] {
        for changeover_time in [false, true] {
            let state = |mechanical| both_closed(Interlock { mechanical, mirror_contacts, changeover_time }, &mut Silent);
            assert_eq!(state(true), BothClosed::Kept);
            assert_eq!(state(false) == BothClosed::ByOneFault, mirror_contacts && changeover_time);
        }
    }
}

#[test]
fn an_insulated_motor_bearing_asks_for_the_driven_end() {
    let small =
        Train { power: Power::kw(15.0), shaft: None, history: false, insulated: true, earthed: false, coupling: false, cable: true };
    assert_eq!(bearing_risk(&small, &mut Silent).unwrap().missing, [Remedy::DrivenEnd]);
    let failed = Train { history: true, ..small };
    let risk = bearing_risk(&failed, &mut Silent).unwrap();
    assert_eq!((risk.grade, risk.missing.len()), (2, 3));
    assert_eq!(bearing_risk(&Train { insulated: false, ..small }, &mut Silent).unwrap().missing, []);
}

#[test]
fn what_cannot_be_is_refused() {
    assert!(charging(&[], &FEEDING, &mut Silent).is_err());
    assert!(charging(&[run(10.0, 0.2, 1.0)], &Feeding { leaves: Ratio::of_one(1.0), ..FEEDING }, &mut Silent).is_err());
    let draw = Draw { current: Current::a(100.0), power_factor: Ratio::of_one(0.85), frequency: Frequency::hz(60.0) };
    let huge = Series { resistance: Resistance::ohm(10.0), inductance: Inductance::ZERO };
    assert!(series_drop(Voltage::v(400.0), &[huge], &draw, &mut Silent).is_err());
    assert!(low_line(Voltage::v(400.0), &[Ratio::of_one(2.0)], Ratio::of_one(1.0), Modulation::Sine, &mut Silent).is_err());
}

#[test]
fn the_rms_of_a_ringing_cable_is_that_of_its_steps() {
    // Steps of alternating sign, each a run to and fro long and half of the one before, twice in a period of the carrier.
    let (peak, delay, carrier): (f64, f64, f64) = (13.0, 100.0 * 0.3e-9 * 50.0, 4000.0);
    let squares: f64 = (0..60).map(|n| (peak * 0.5_f64.powi(n)).powi(2) * 2.0 * delay).sum();
    let c = charging(&[run(100.0, 0.3, 1.0)], &FEEDING, &mut Silent).unwrap();
    assert!((c.rms.in_a() / (squares * 2.0 * carrier).sqrt() - 1.0).abs() < 1e-9);
}

#[test]
fn the_link_behind_a_reactor_is_that_of_its_ohms() {
    // U_dc = 3·√2/π·U − 3/π·X·I_dc with the fundamental √6/π·I_dc of a six-pulse bridge; x = X·√3·I_1/U.
    let (u, i_dc, x): (f64, f64, f64) = (432.0, 100.0, 0.2);
    let share = x * 3.0_f64.sqrt() * 6.0_f64.sqrt() / std::f64::consts::PI * i_dc / u;
    let bus = 3.0 * std::f64::consts::SQRT_2 / std::f64::consts::PI * u - 3.0 / std::f64::consts::PI * x * i_dc;
    let low = low_line(Voltage::v(u), &[Ratio::of_one(share)], Ratio::of_one(1.0), Modulation::SpaceVector, &mut Silent).unwrap();
    assert!((low.bus.in_v() - bus).abs() < 1e-9 && (low.output.in_v() * std::f64::consts::SQRT_2 - bus).abs() < 1e-9);
}

#[test]
fn a_clipped_ringing_says_so() {
    let mut working = Working::default();
    let c = charging(&[run(5000.0, 0.3, 1.0)], &FEEDING, &mut working).unwrap();
    assert!((c.rms / c.peak - 1.0).abs() < 1e-12);
    assert!(working.steps.iter().any(|s| s.note.contains("from edge to edge")));
}

proptest! {
    #[test]
    fn more_cable_never_takes_less(length in 1.0f64..500.0, more in 1.0f64..3.0, nf in 0.05f64..0.5, count in 1.0f64..8.0) {
        let (short, long) = (run(length, nf, count), run(length * more, nf, count));
        let (a, b) = (charging(&[short], &FEEDING, &mut Silent).unwrap(), charging(&[long], &FEEDING, &mut Silent).unwrap());
        prop_assert!(b.rms >= a.rms && b.peak >= a.peak && b.capacitance >= a.capacitance);
        let both = charging(&[short, long], &FEEDING, &mut Silent).unwrap();
        prop_assert!(both.rms >= b.rms && both.peak >= b.peak);
    }

    #[test]
    fn the_voltage_at_the_motor_closes_the_phasors(
        u in 100.0f64..700.0, i in 0.0f64..200.0, cos in 0.0f64..1.0, r in 0.0f64..0.1, l in 0.0f64..0.2e-3,
    ) {
        let draw = Draw { current: Current::a(i), power_factor: Ratio::of_one(cos), frequency: Frequency::hz(60.0) };
        let piece = Series { resistance: Resistance::ohm(r), inductance: Inductance::henry(l) };
        let d = series_drop(Voltage::v(u), &[piece], &draw, &mut Silent).unwrap();
        // Back from the motor: |U_M + √3·I·(cos φ − j·sin φ)·(R + jX)| = U.
        let (sin, x) = ((1.0 - cos * cos).sqrt(), d.reactance.in_ohm());
        let k = 3.0_f64.sqrt() * i;
        let back = (d.motor.in_v() + k * (r * cos + x * sin)).hypot(k * (x * cos - r * sin));
        prop_assert!((back - u).abs() < 1e-9 * u);
        prop_assert!(d.handbook.in_v() <= d.drop.in_v() + 1e-9 * u);
        let twice = series_drop(Voltage::v(u), &[piece, piece], &draw, &mut Silent);
        prop_assert!(twice.is_err() || twice.unwrap().motor <= d.motor + Voltage::v(1e-9));
    }

    #[test]
    fn more_reactance_or_load_never_raises_the_link(u in 200.0f64..700.0, x in 0.0f64..0.1, y in 0.0f64..0.1, load in 0.0f64..1.5) {
        let bus = |list: &[f64], load| {
            let list: Vec<Ratio> = list.iter().map(|x| Ratio::of_one(*x)).collect();
            low_line(Voltage::v(u), &list, Ratio::of_one(load), Modulation::SpaceVector, &mut Silent).unwrap().bus
        };
        prop_assert!(bus(&[x, y], load) <= bus(&[x], load) && bus(&[x], load + 0.1) <= bus(&[x], load));
    }

    #[test]
    fn a_filter_holds_only_inside_all_its_limits(c in 1.0f64..16.0, i in 1.0f64..100.0, f in 10.0f64..100.0, vector in any::<bool>(), may in any::<bool>()) {
        let filter = Filter {
            carrier_from: Frequency::khz(4.0), carrier_to: Some(Frequency::khz(8.0)), current: Current::a(50.0), frequency: Frequency::hz(60.0), vector: may,
        };
        let duty = Duty { carrier: Frequency::khz(c), current: Current::a(i), frequency: Frequency::hz(f), vector };
        let holds = (4.0..=8.0).contains(&c) && i <= 50.0 && f <= 60.0 && (may || !vector);
        prop_assert_eq!(reuse(&filter, &duty, &mut Silent).unwrap().holds(), holds);
    }

    #[test]
    fn a_colder_rotor_keeps_its_field_longer(r2 in 0.05f64..5.0, less in 0.5f64..1.0, share in 0.01f64..0.99) {
        let decay = |r2| {
            let circuit = Circuit {
                r1: Resistance::ZERO, x1: Resistance::ZERO, r2: Resistance::ohm(r2), x2: Resistance::ohm(1.0), xm: Resistance::ohm(30.0),
                iron: None, frequency: Frequency::hz(50.0),
            };
            super::flux_decay::flux_decay(&circuit, Ratio::of_one(share), &mut Silent).unwrap()
        };
        let (warm, cold) = (decay(r2), decay(r2 * less));
        prop_assert!(cold.constant >= warm.constant && cold.delay >= warm.delay);
        prop_assert!(((-(warm.delay / warm.constant)).exp() - share).abs() < 1e-9);
    }
}
