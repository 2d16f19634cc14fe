//! What holds for every stop, resistor, link and hoist, and the closed forms against small steps.

use plant::quantity::{Capacitance, Energy, Inertia, Power, Ratio, Resistance, Speed, TemperatureRise, Time, Torque, Voltage};
use proptest::prelude::*;

use super::discharge::discharge;
use super::failure::shorted;
use super::hoist::{End, Load, Release, Start, fall_at_end, fall_at_start};
use super::link::{Feed, Member, between, common_link, left_for_resistor, ride_through};
use super::regen::regenerated;
use super::resistor::{Body, Pulse, heat, overload};
use super::stop::{Brakes, Moving, regulated_stop, shortest_stop};
use super::window::{Need, arrangement, resistor_window, stretched};
use crate::load::duty::{Cycle, LoadTorque, Machine, Segment};
use crate::working::{Silent, Working};

fn moving(inertia: f64, speed: f64, friction: f64) -> Moving {
    Moving { inertia: Inertia::kgm2(inertia), speed: Speed::rad_s(speed), friction: Torque::nm(friction) }
}

fn brakes(torque: f64, resistor: f64, losses: f64, passes: f64) -> Brakes {
    Brakes { torque: Torque::nm(torque), resistor: Power::w(resistor), losses: Power::w(losses), passes: Ratio::of_one(passes) }
}

fn body(power: f64, constant: f64) -> Body {
    Body { power: Power::w(power), rise: TemperatureRise::dk(300.0), constant: Time::s(constant) }
}

/// Time of a regulated stop by small steps of speed, by the middle of each.
fn by_steps(m: &Moving, b: &Brakes) -> f64 {
    let steps = 20_000_u32;
    let dw = m.speed.in_rad_s() / f64::from(steps);
    (0..steps)
        .map(|n| {
            let w = (f64::from(n) + 0.5) * dw;
            let torque = b.torque.in_nm().min((b.resistor + b.losses).in_w() / (b.passes.in_of_one() * w));
            m.inertia.in_kgm2() * dw / (torque + m.friction.in_nm())
        })
        .sum()
}

#[test]
fn a_load_that_drives_harder_than_can_be_taken_never_stops() {
    assert!(shortest_stop(&moving(1.0, 150.0, -100.0), &brakes(500.0, 10_000.0, 0.0, 1.0), &mut Silent).is_err());
    assert!(shortest_stop(&moving(1.0, 150.0, -60.0), &brakes(500.0, 10_000.0, 0.0, 1.0), &mut Silent).is_ok());
    assert!(shortest_stop(&moving(1.0, 150.0, 0.0), &brakes(500.0, 0.0, 0.0, 1.0), &mut Silent).is_err());
    let coasts = shortest_stop(&moving(1.0, 150.0, 10.0), &brakes(500.0, 0.0, 0.0, 1.0), &mut Silent).unwrap();
    assert!((coasts.ramp.in_s() - 15.0).abs() < 1e-9 && (coasts.regulated.in_s() - 15.0).abs() < 1e-9);
}

#[test]
fn a_load_that_drives_on_the_whole_shows_in_the_sign_of_the_net_power() {
    let machine = Machine { rated_torque: Torque::nm(100.0), rated_speed: Speed::rad_s(100.0), inertia: Inertia::ZERO };
    let net = |up: f64, down: f64| {
        let segment = |share: f64, speed: f64| Segment {
            time: Time::s(10.0),
            speed_to: Speed::rad_s(speed),
            ramp: Time::ZERO,
            load: LoadTorque::Share(Ratio::of_one(share)),
        };
        // Half of the time 5 kW are driven or given back at the shaft: 80 % pass in either direction.
        let segments = [segment(up, 100.0), segment(down, 100.0)];
        let cycle = Cycle { start: Speed::rad_s(100.0), segments: &segments, repeats: true };
        regenerated(&machine, &cycle, Ratio::percent(80.0), &mut Silent).unwrap()
    };
    let even = net(1.0, -1.0);
    assert!(
        (even.drawn.in_kw() - 6.25).abs() < 1e-9 && (even.mean.in_kw() - 4.0).abs() < 1e-9 && (even.energy.in_kj() - 80.0).abs() < 1e-9
    );
    assert!((even.net.in_kw() - 2.25).abs() < 1e-9);
    assert!(net(0.2, -1.0).net < Power::ZERO && net(0.2, 0.1).mean == Power::ZERO);
}

#[test]
fn a_small_friction_joins_smoothly() {
    // On both sides of where a series takes over: T_f·ω/K of a thousandth.
    for share in [-2e-3, -1.1e-3, -0.9e-3, -1e-9, 0.0, 1e-9, 0.9e-3, 1.1e-3, 2e-3] {
        let b = brakes(1e4, 20_000.0, 0.0, 1.0);
        let m = moving(10.0, 157.0, share * 20_000.0 / 157.0);
        let s = shortest_stop(&m, &b, &mut Silent).unwrap().regulated.in_s();
        assert!((s / by_steps(&m, &b) - 1.0).abs() < 1e-7, "{share}: {s}");
    }
}

#[test]
fn a_bus_regulator_falls_no_steeper_than_the_ramp_that_is_set() {
    let (m, b, set) = (moving(5.0, 157.0, 2.0), brakes(500.0, 0.0, 4000.0, 0.9), 8.0);
    let r = regulated_stop(&m, &b, Time::s(set), &mut Silent).unwrap();
    let held = brakes(5.0 * 157.0 / set - 2.0, 0.0, 4000.0, 0.9);
    assert!(r.time.in_s() > set && (r.time.in_s() / by_steps(&m, &held) - 1.0).abs() < 1e-6);
}

#[test]
fn an_empty_window_says_so_with_ways_out() {
    let need = |smallest| Need {
        smallest: Resistance::ohm(smallest),
        level: Voltage::v(800.0),
        peak: Power::kw(30.6),
        tolerance: Ratio::percent(10.0),
    };
    let mut working = Working::default();
    assert!(resistor_window(&need(24.0), &mut working).unwrap().is_empty());
    assert!(working.steps.iter().any(|s| s.note.contains("regenerative front end")));
    // 10 % to either side narrow 17 to 20.9 Ω into nothing that 15 Ω leaves open.
    assert!(resistor_window(&need(17.5), &mut Silent).unwrap().is_empty());
    let window = resistor_window(&need(15.0), &mut Silent).unwrap();
    assert!(!window.is_empty());
    let (low, high) = window.margins(Resistance::ohm(18.0));
    assert!(low > Ratio::ZERO && high > Ratio::ZERO);
}

#[test]
fn a_common_link_counts_who_charges_whom() {
    let uf = Capacitance::uf;
    let (large, bare) =
        (Member { capacitance: uf(5000.0), may_charge: uf(6000.0) }, Member { capacitance: uf(2000.0), may_charge: uf(0.0) });
    let first = common_link(&[large, bare], Voltage::v(650.0), Feed::First, &mut Silent).unwrap();
    assert!((first.share.in_of_one() - 6.0 / 7.0).abs() < 1e-12 && first.without == 1);
    assert_eq!(common_link(&[large, bare], Voltage::v(650.0), Feed::Each, &mut Silent).unwrap().share, Ratio::ZERO);
    assert!(common_link(&[], Voltage::v(650.0), Feed::Each, &mut Silent).is_err());
}

#[test]
fn a_proved_torque_holds_and_a_timed_brake_may_not() {
    let load = Load { torque: Torque::nm(100.0), inertia: Inertia::kgm2(2.0) };
    let start = Start {
        flux: Time::s(0.4),
        rise: Time::s(0.2),
        limit: Torque::nm(150.0),
        release: Release::Proved(Ratio::percent(100.0)),
        opens: Time::s(0.1),
    };
    let holds = fall_at_start(&load, &start, &mut Silent).unwrap();
    assert!(holds.gap == Time::ZERO && holds.turns < 1e-12);
    let timed = fall_at_start(&load, &Start { release: Release::After(Time::s(0.2)), ..start }, &mut Silent).unwrap();
    assert!(timed.gap > Time::ZERO && timed.turns > 0.0);
    assert!(timed.chart.windows(2).all(|pair| pair[0].at <= pair[1].at) && timed.chart.len() == 6);
    assert!(fall_at_start(&load, &Start { limit: Torque::nm(90.0), ..start }, &mut Silent).is_err());
    let overlap = End { sets: Time::s(0.2), torque_off: Time::s(0.3), brake: Torque::nm(200.0) };
    assert!(fall_at_end(&load, &overlap, &mut Silent).unwrap().turns < 1e-12);
}

#[test]
fn a_shorted_chopper_is_harmless_only_to_a_resistor_that_carries_the_link() {
    let short = |power| {
        let body = body(power, 100.0);
        shorted(&body, Resistance::ohm(100.0), Voltage::v(650.0), TemperatureRise::ZERO, TemperatureRise::dk(300.0), &mut Silent).unwrap()
    };
    assert!(short(5000.0).time.is_none() && short(4000.0).time.is_some());
}

#[test]
fn impossible_inputs_are_refused() {
    assert!(ride_through(Capacitance::uf(1000.0), Voltage::v(400.0), Voltage::v(650.0), Power::kw(1.0), &mut Silent).is_err());
    assert!(discharge(Capacitance::uf(1.0), Resistance::ohm(1.0), Voltage::v(50.0), Voltage::v(60.0), Time::s(5.0), &mut Silent).is_err());
    assert!(left_for_resistor(Energy::j(1.0), Capacitance::uf(1.0), Voltage::v(900.0), Voltage::v(800.0), &mut Silent).is_err());
    assert!(overload(Time::s(2.0), Some(Time::s(1.0)), Time::s(10.0), &mut Silent).is_err());
    let half = plant::quantity::Count::of(1.5);
    assert!(arrangement(Resistance::ohm(10.0), Power::ZERO, half, plant::quantity::Count::of(1.0), &mut Silent).is_err());
}

proptest! {
    #[test]
    fn the_closed_form_of_a_regulated_stop_is_the_sum_of_small_steps(
        j in 0.1f64..50.0, w in 20.0f64..300.0, torque in 20.0f64..1000.0, resistor in 100.0f64..50_000.0, losses in 0.0f64..3000.0,
        passes in 0.5f64..1.0, friction in -0.5f64..2.0,
    ) {
        let b = brakes(torque, resistor, losses, passes);
        // Friction as a share of what brakes at full speed.
        let least = torque.min((resistor + losses) / (passes * w));
        let m = moving(j, w, friction * least);
        let s = shortest_stop(&m, &b, &mut Silent).unwrap();
        let steps = by_steps(&m, &b);
        prop_assert!((s.regulated.in_s() - steps).abs() < 1e-6 * steps, "{} against {steps}", s.regulated);
        prop_assert!(s.regulated.in_s() <= s.ramp.in_s() * (1.0 + 1e-12));
    }

    #[test]
    fn more_inertia_never_stops_sooner_and_more_resistor_never_later(
        j in 0.1f64..50.0, more in 1.0f64..3.0, w in 20.0f64..300.0, torque in 20.0f64..1000.0, resistor in 100.0f64..50_000.0,
    ) {
        let at = |j, resistor| shortest_stop(&moving(j, w, 1.0), &brakes(torque, resistor, 100.0, 0.9), &mut Silent).unwrap();
        let one = at(j, resistor);
        prop_assert!(at(j * more, resistor).ramp >= one.ramp && at(j * more, resistor).regulated >= one.regulated);
        prop_assert!(at(j, resistor * more).ramp <= one.ramp);
        prop_assert!(at(j, resistor * more).regulated.in_s() <= one.regulated.in_s() * (1.0 + 1e-12));
    }

    #[test]
    fn a_bus_regulator_never_shortens_and_inertia_stretches_more(
        j in 0.1f64..50.0, more in 1.0f64..3.0, w in 20.0f64..300.0, losses in 100.0f64..5000.0, set in 0.5f64..60.0,
    ) {
        let at = |j| regulated_stop(&moving(j, w, 0.5), &brakes(500.0, 0.0, losses, 0.9), Time::s(set), &mut Silent).unwrap();
        let (one, heavier) = (at(j), at(j * more));
        prop_assert!(one.time.in_s() >= set && heavier.time.in_s() >= one.time.in_s() * (1.0 - 1e-12));
        prop_assert!(heavier.energy >= one.energy && heavier.overrun_turns >= one.overrun_turns - 1e-9);
    }

    #[test]
    fn a_higher_level_widens_and_more_power_narrows_the_window(
        ohms in 1.0f64..200.0, level in 300.0f64..1200.0, peak in 100.0f64..1e5, more in 1.0f64..2.0, tolerance in 0.0f64..0.2,
    ) {
        let window = |level, peak| {
            let need = Need { smallest: Resistance::ohm(ohms), level: Voltage::v(level), peak: Power::w(peak), tolerance: Ratio::of_one(tolerance) };
            resistor_window(&need, &mut Silent).unwrap()
        };
        let one = window(level, peak);
        prop_assert!(window(level * more, peak).largest >= one.largest && window(level, peak * more).largest <= one.largest);
        // Where the stop is stretched to what the chopper burns, its smallest resistor just fits.
        let (time, chopper) = (Time::s(8.0), one.chopper);
        let longer = stretched(time, Power::w(peak), chopper, &mut Silent).unwrap();
        let fits = window(level, peak * (time / longer));
        prop_assert!(fits.largest.in_ohm() * (1.0 + tolerance) >= ohms * (1.0 - 1e-12));
    }

    #[test]
    fn a_larger_resistor_never_takes_more(ohms in 1.0f64..200.0, more in 1.0f64..3.0, level in 300.0f64..1200.0) {
        let power = |ohms| super::stop::resistor_power(Voltage::v(level), Resistance::ohm(ohms), &mut Silent).unwrap();
        prop_assert!(power(ohms * more) <= power(ohms));
    }

    #[test]
    fn the_heat_of_a_resistor_is_the_sum_of_small_steps(
        peak in 1000.0f64..50_000.0, end in 0.0f64..1.0, on in 0.5f64..60.0, rest in 0.0f64..5.0, constant in 5.0f64..600.0,
    ) {
        let (period, body) = (on * (1.0 + rest), body(2000.0, constant));
        let pulse = Pulse { peak: Power::w(peak), end: Power::w(peak * end), on: Time::s(on), period: Some(Time::s(period)) };
        let h = heat(&body, &pulse, &mut Silent).unwrap();
        // One settled period by small steps of its exact response to a constant power.
        let steps = 4000_u32;
        let dt = on / f64::from(steps);
        let (mut theta, mut highest) = (h.start.in_dk(), h.start.in_dk());
        for n in 0..steps {
            let power = peak + (peak * end - peak) * (f64::from(n) + 0.5) / f64::from(steps);
            let to = 300.0 * power / 2000.0;
            theta = to + (theta - to) * (-dt / constant).exp();
            highest = theta.max(highest);
        }
        let back = theta * (-(period - on) / constant).exp();
        prop_assert!((highest - h.highest.in_dk()).abs() < 1e-3 * highest, "{highest} against {}", h.highest);
        prop_assert!((back - h.start.in_dk()).abs() < 1e-5 * highest);
        // A longer constant never makes it hotter, one stop alone never hotter than many.
        let once = heat(&body, &Pulse { period: None, ..pulse }, &mut Silent).unwrap();
        prop_assert!(once.highest.in_dk() <= h.highest.in_dk() * (1.0 + 1e-9));
    }

    #[test]
    fn the_overload_of_a_steady_pulse_just_reaches_the_rated_rise(on in 0.1f64..100.0, rest in 0.0f64..10.0, constant in 1.0f64..1000.0) {
        let period = Some(Time::s(on * (1.0 + rest)));
        let k = overload(Time::s(on), period, Time::s(constant), &mut Silent).unwrap().in_of_one();
        let power = Power::w(1000.0 * k);
        let h = heat(&body(1000.0, constant), &Pulse { peak: power, end: power, on: Time::s(on), period }, &mut Silent).unwrap();
        prop_assert!((h.share.in_of_one() - 1.0).abs() < 1e-7, "{}", h.share);
    }

    #[test]
    fn a_larger_link_keeps_more_and_lasts_longer(c in 100.0f64..10_000.0, more in 1.0f64..3.0, low in 200.0f64..500.0, span in 1.0f64..300.0) {
        let (a, b) = (Voltage::v(low), Voltage::v(low + span));
        let kept = |c| between(Capacitance::uf(c), a, b, &mut Silent).unwrap();
        let lasts = |c| ride_through(Capacitance::uf(c), b, a, Power::kw(10.0), &mut Silent).unwrap();
        let falls = |c| discharge(Capacitance::uf(c), Resistance::kohm(20.0), b, a, Time::s(5.0), &mut Silent).unwrap();
        prop_assert!(kept(c * more) >= kept(c) && lasts(c * more) >= lasts(c) && falls(c * more).time >= falls(c).time);
    }

    #[test]
    fn the_fall_of_a_load_is_the_sum_of_small_steps(
        pull in 10.0f64..500.0, inertia in 0.05f64..20.0, spare in 1.05f64..3.0, flux in 0.0f64..0.6, rise in 0.0f64..0.5, open in 0.0f64..0.8,
    ) {
        let load = Load { torque: Torque::nm(pull), inertia: Inertia::kgm2(inertia) };
        let start = Start {
            flux: Time::s(flux), rise: Time::s(rise), limit: Torque::nm(pull * spare), release: Release::After(Time::ZERO), opens: Time::s(open),
        };
        let fall = fall_at_start(&load, &start, &mut Silent).unwrap();
        let (mut t, mut w, mut angle, mut top) = (open, 0.0_f64, 0.0, 0.0_f64);
        let dt = 1e-5;
        for _ in 0..2_000_000 {
            let m = t + dt / 2.0;
            let torque = if m < flux { 0.0 } else if m < flux + rise { pull * spare * (m - flux) / rise } else { pull * spare };
            let next = w + (pull - torque) / inertia * dt;
            if next <= 0.0 { break; }
            angle += (w + next) / 2.0 * dt;
            (w, t, top) = (next, t + dt, top.max(next));
        }
        // A step of the time is what the sum may be off by.
        let room = pull / inertia * dt * 3.0;
        prop_assert!((fall.speed.in_rad_s() - top).abs() <= room + 1e-3 * top, "{} against {top}", fall.speed.in_rad_s());
        let turned = fall.turns * std::f64::consts::TAU;
        prop_assert!((turned - angle).abs() <= room * (fall.stands.in_s() + 1.0) + 2e-3 * angle, "{turned} against {angle}");
    }

    #[test]
    fn opening_the_brake_later_never_lets_it_fall_further(after in 0.0f64..1.0, more in 0.0f64..0.5) {
        let load = Load { torque: Torque::nm(100.0), inertia: Inertia::kgm2(2.0) };
        let fall = |after| {
            let start = Start {
                flux: Time::s(0.4), rise: Time::s(0.2), limit: Torque::nm(150.0), release: Release::After(Time::s(after)), opens: Time::s(0.1),
            };
            fall_at_start(&load, &start, &mut Silent).unwrap()
        };
        prop_assert!(fall(after + more).turns <= fall(after).turns + 1e-12);
    }
}
