//! Properties of the wave at the motor: the bound, full reflection, several edges, and another way of summing.

use plant::quantity::{Length, Ratio, Resistance, Time, Velocity, Voltage};
use proptest::prelude::*;

use super::*;
use crate::working::Silent;

const ONE: &[(Time, Ratio)] = &[(Time::ZERO, Ratio::of_one(1.0))];

fn feed(length: f64, rise: f64, drive: f64, motor: f64) -> Feed<'static> {
    Feed {
        bus: Voltage::v(650.0),
        rise: Time::us(rise),
        length: Length::m(length),
        velocity: Velocity::m_s(150e6),
        drive: Resistance::ohm(drive),
        cable: Resistance::ohm(80.0),
        motor: Resistance::ohm(motor),
        edges: ONE,
    }
}

fn at(feed: &Feed) -> AtMotor {
    reflected_wave(feed, &mut Silent).unwrap()
}

/// The same sum, term by term, at one moment.
fn sum(feed: &Feed, t: f64) -> f64 {
    let run = feed.length / feed.velocity;
    let back = |z: Resistance| (z - feed.cable) / (z + feed.cable);
    let (m, s) = (back(feed.motor), back(feed.drive));
    let ramp = |t: f64| {
        let mut u = 0.0;
        let mut level = 0.0;
        for (start, to) in feed.edges {
            u += (to.in_of_one() - level) * ((t - start.in_s()) / feed.rise.in_s()).clamp(0.0, 1.0);
            level = to.in_of_one();
        }
        u * feed.bus.in_v()
    };
    let launched = (1.0 + m) * feed.cable.in_ohm() / (feed.cable + feed.drive).in_ohm();
    (0..400).map(|n| (m * s).powi(n) * ramp(t - f64::from(2 * n + 1) * run.in_s())).sum::<f64>() * launched
}

#[test]
fn a_single_edge_never_passes_twice_the_link_but_several_do() {
    let long = feed(60.0, 0.1, 0.01, 1e6);
    assert!(at(&long).ratio.in_of_one() < 2.0);
    // Down when the motor is on its way down, up again half a swing later: the swings add.
    let run = 0.4;
    let edges = [(0.0, 1.0), (2.0 * run, 0.0), (4.0 * run, 1.0)].map(|(t, level)| (Time::us(t), Ratio::of_one(level)));
    let several = at(&Feed { edges: &edges, ..long });
    assert!(several.ratio.in_of_one() > 2.9, "{}", several.ratio);
}

#[test]
fn full_reflection_comes_with_the_length_and_stays() {
    let full = at(&feed(7.6, 0.1, 0.01, 800.0)).peak;
    for length in [10.0, 30.0, 100.0, 300.0] {
        assert!((at(&feed(length, 0.1, 0.01, 800.0)).peak / full - 1.0).abs() < 1e-9);
    }
}

#[test]
fn what_is_no_line_is_refused() {
    for broken in [
        Feed { rise: Time::ZERO, ..feed(10.0, 0.1, 0.01, 800.0) },
        Feed { motor: Resistance::ZERO, ..feed(10.0, 0.1, 0.01, 800.0) },
        Feed { edges: &[], ..feed(10.0, 0.1, 0.01, 800.0) },
        Feed { edges: &[(Time::ZERO, Ratio::of_one(1.0)), (Time::us(0.05), Ratio::ZERO)], ..feed(10.0, 0.1, 0.01, 800.0) },
        Feed { edges: &[(Time::ZERO, Ratio::ZERO)], ..feed(10.0, 0.1, 0.01, 800.0) },
        feed(1e-6, 2.0, 0.0, 1e6),
        Feed { length: Length::m(f64::NAN), ..feed(10.0, 0.1, 0.01, 800.0) },
    ] {
        assert!(reflected_wave(&broken, &mut Silent).is_err(), "{broken:?}");
    }
}

#[test]
fn a_matched_motor_sees_the_edge_as_it_is() {
    let matched = at(&feed(30.0, 0.2, 0.0, 80.0));
    assert!((matched.ratio.in_of_one() - 1.0).abs() < 1e-12);
    assert!((matched.rise_iec.in_us() - 0.16).abs() < 1e-9 && (matched.rise_nema.in_us() - 0.16).abs() < 1e-9);
    assert!((matched.steep_iec.in_count() - 650.0 / 0.2).abs() < 1e-6);
}

#[test]
fn behind_a_large_resistance_the_voltage_creeps_up_to_what_it_settles_at() {
    let slow = at(&feed(30.0, 0.2, 400.0, 1e6));
    assert!((slow.peak.in_v() - 650.0 * 1e6 / (1e6 + 400.0)).abs() < 1e-6);
}

proptest! {
    #[test]
    fn the_points_are_the_sum_and_no_moment_is_higher(
        length in 2.0f64..200.0, rise in 0.05f64..2.0, drive in 0.0f64..60.0, motor in 90.0f64..1e5, share in 0.0f64..1.0,
        dwell in 1.0f64..4.0, edges in 1usize..4,
    ) {
        let levels = [1.0, 0.0, 1.0];
        let edges: Vec<(Time, Ratio)> = (0u32..3)
            .zip(levels)
            .take(edges)
            .map(|(i, level)| (Time::us(rise * (1.0 + dwell) * f64::from(i)), Ratio::of_one(level)))
            .collect();
        let feed = Feed { edges: &edges, ..feed(length, rise, drive, motor) };
        let result = at(&feed);
        // Every moment of the first 30 round trips, the settled value and the peak itself.
        let run = length / 150e6;
        let end = edges.last().unwrap().0.in_s() + rise * 1e-6 + 30.0 * run;
        prop_assert!(sum(&feed, end * share).abs() <= result.peak.in_v() * (1.0 + 1e-9));
        if result.time > Time::ZERO && result.peak.in_v() > 650.0 * motor / (motor + drive) * (1.0 + 1e-6) {
            prop_assert!((sum(&feed, result.time.in_s()).abs() - result.peak.in_v()).abs() < 1e-6 * 650.0);
        }
    }

    #[test]
    fn a_straight_edge_stays_below_the_bound(length in 0.5f64..300.0, rise in 0.05f64..2.0, drive in 0.0f64..80.0, motor in 1.0f64..1e6) {
        let result = at(&feed(length, rise, drive, motor));
        prop_assert!(result.peak.in_v() <= result.bound.in_v() * (1.0 + 1e-9), "{} above {}", result.peak, result.bound);
    }

    #[test]
    fn a_longer_cable_or_steeper_edge_never_lowers_the_bound(
        length in 0.5f64..300.0, more in 1.0f64..3.0, rise in 0.05f64..2.0, motor in 1.0f64..1e6,
    ) {
        let short = at(&feed(length, rise, 0.01, motor));
        prop_assert!(at(&feed(length * more, rise, 0.01, motor)).bound >= short.bound);
        prop_assert!(at(&feed(length, rise / more, 0.01, motor)).bound >= short.bound);
    }

    #[test]
    fn from_half_of_full_reflection_on_a_longer_cable_never_lowers_the_peak(
        share in 0.5f64..1.5, more in 1.0f64..3.0, rise in 0.05f64..2.0, motor in 200.0f64..1e6,
    ) {
        let length = share * 150.0 * rise / 2.0;
        let (short, long) = (at(&feed(length, rise, 0.0, motor)), at(&feed(length * more, rise, 0.0, motor)));
        prop_assert!(long.peak.in_v() >= short.peak.in_v() * (1.0 - 1e-9), "{} then {}", short.peak, long.peak);
    }
}
