//! Duty cycles against closed forms, and what is refused.

use super::*;
use crate::working::Silent;

/// Polynomials are integrated exactly, up to sums in another order.
const EXACT: f64 = 1e-12;

fn machine() -> Machine {
    Machine { rated_torque: Torque::nm(100.0), rated_speed: Speed::rad_s(150.0), inertia: Inertia::kgm2(2.0) }
}

fn square(torque: f64, _: f64) -> f64 {
    4.0 + 21.0 * torque * torque
}

fn segment(seconds: f64, rad_s: f64, ramp: f64, load: LoadTorque) -> Segment {
    Segment { time: Time::s(seconds), speed_to: Speed::rad_s(rad_s), ramp: Time::s(ramp), load }
}

fn run(segments: &[Segment], repeats: bool) -> Result<Duty, Refusal> {
    let start = segments.last().filter(|_| repeats).map_or(Speed::ZERO, |s| s.speed_to);
    duty(&machine(), &Cycle { start, segments, repeats }, square, &mut Silent)
}

#[test]
fn a_fan_follows_its_closed_form() {
    // Ramp 0 … 1 in 10 s: torque 0.3 + 0.6·x², mean square 0.09 + 0.12 + 0.072; then 10 s at 0.6.
    let fan = LoadTorque::Law { law: Law::Quadratic { fixed: 0.0 }, at_rated_speed: Ratio::of_one(0.6) };
    let d = run(&[segment(20.0, 150.0, 10.0, fan)], false).expect("good cycle");
    let torque_square = 0.5 * (0.282 + 0.36);
    assert!((d.rms_torque.in_nm() / 100.0 - f64::sqrt(torque_square)).abs() < EXACT);
    assert!((d.rms_current.in_a() - f64::sqrt(4.0 + 21.0 * torque_square)).abs() < EXACT * 10.0);
    assert!((d.record.rms() / d.rms_current - 1.0).abs() < EXACT && (d.record.duration() - d.period).abs() < Time::s(1e-9));
    // Power: ∫(0.3 + 0.6·x²)·x dx over 10 s and 0.6 over 10 s, of 15 kW.
    assert!((d.mean_motoring.in_kw() - 15.0 * 0.5 * (0.15 + 0.15 + 0.6)).abs() < 1e-9);
    assert!((d.peak_motoring.in_kw() - 15.0 * 0.9).abs() < 1e-9 && d.mean_regenerating == Power::ZERO);
    assert!((d.peak_current.in_a() - f64::sqrt(4.0 + 21.0 * 0.81)).abs() < EXACT * 10.0);
}

#[test]
fn a_stop_splits_where_the_torque_turns() {
    // From 150 rad/s in 10 s: torque 0.6·n² − 0.3 drives above n² = 0.5 and brakes below; per unit of n both hold 0.0375.
    let fan = LoadTorque::Law { law: Law::Quadratic { fixed: 0.0 }, at_rated_speed: Ratio::of_one(0.6) };
    let cycle = Cycle { start: Speed::rad_s(150.0), segments: &[segment(10.0, 0.0, 10.0, fan)], repeats: false };
    let d = duty(&machine(), &cycle, square, &mut Silent).expect("good cycle");
    assert!((d.mean_motoring.in_kw() - 15.0 * 0.0375).abs() < 1e-9, "{:?}", d.mean_motoring);
    assert!((d.mean_regenerating.in_kw() - 15.0 * 0.0375).abs() < 1e-9);
}

#[test]
fn reversing_friction_keeps_its_sense() {
    // Friction of 0.5 both ways, −1 … 1 in 20 s: acceleration 0.3; the torque is −0.2 while slowing down, then 0.8.
    let friction = LoadTorque::Law { law: Law::Constant, at_rated_speed: Ratio::of_one(0.5) };
    let cycle = Cycle { start: Speed::rad_s(-150.0), segments: &[segment(20.0, 150.0, 20.0, friction)], repeats: false };
    let d = duty(&machine(), &cycle, square, &mut Silent).expect("good cycle");
    assert_eq!(d.record.pieces.len(), 2);
    assert!((d.rms_torque.in_nm() - 100.0 * f64::sqrt(0.5 * (0.04 + 0.64))).abs() < 1e-9);
    assert!(d.mean_regenerating == Power::ZERO, "friction slows more than the ramp: the motor still drives");
    let rest = run(&[segment(5.0, 0.0, 0.0, friction)], true).expect("good cycle");
    assert!((rest.rms_current.in_a() - 2.0).abs() < EXACT, "friction asks for nothing at rest");
}

#[test]
fn moments_meet_the_totals() {
    let hoist = LoadTorque::Law { law: Law::Hoist { efficiency: 0.9 }, at_rated_speed: Ratio::of_one(0.8) };
    let segments =
        [segment(8.0, 150.0, 2.0, hoist), segment(5.0, 0.0, 2.0, hoist), segment(8.0, -150.0, 2.0, hoist), segment(5.0, 0.0, 2.0, hoist)];
    let cycle = Cycle { start: Speed::ZERO, segments: &segments, repeats: true };
    let d = duty(&machine(), &cycle, square, &mut Silent).expect("good cycle");
    let shown = moments(&machine(), &cycle, square, 3).expect("good cycle");
    let most = |f: fn(&Moment) -> f64| shown.iter().map(f).fold(f64::MIN, f64::max);
    assert!((most(|m| m.current.in_a()) - d.peak_current.in_a()).abs() < EXACT * 10.0);
    assert!((most(|m| m.power.in_w()) - d.peak_motoring.in_w()).abs() < 1e-6);
    assert!((most(|m| -m.power.in_w()) - d.peak_regenerating.in_w()).abs() < 1e-6);
    assert!(shown.windows(2).all(|w| w[0].time <= w[1].time) && (shown.last().expect("moments").time - d.period).abs() < Time::s(1e-9));
}

#[test]
fn what_makes_no_cycle_is_refused() {
    let load = LoadTorque::Share(Ratio::of_one(0.5));
    let refused = |segments: &[Segment], words: &str| {
        let refusal = run(segments, false).expect_err(words).0;
        assert!(refusal.contains(words), "{refusal}");
    };
    refused(&[], "at least one segment");
    refused(&[segment(1.0, 100.0, 0.0, load)], "takes a ramp time");
    refused(&[segment(1.0, 100.0, 2.0, load)], "does not fit");
    refused(&[segment(f64::NAN, 0.0, 0.0, load)], "above zero");
    refused(&[segment(1.0, f64::INFINITY, 1.0, load)], "no number");
    refused(&[segment(1.0, 0.0, 0.0, LoadTorque::Share(Ratio::of_one(f64::NAN)))], "no current");
    let open = Cycle { start: Speed::rad_s(1.0), segments: &[segment(5.0, 0.0, 1.0, load)], repeats: true };
    assert!(duty(&machine(), &open, square, &mut Silent).expect_err("open").0.contains("must end where it starts"));
    let breakdown = |torque: f64, _: f64| if torque.abs() > 1.0 { f64::NAN } else { 1.0 };
    let steep = Cycle { start: Speed::ZERO, segments: &[segment(5.0, 150.0, 1.0, load)], repeats: false };
    let refusal = duty(&machine(), &steep, breakdown, &mut Silent).expect_err("beyond breakdown").0;
    assert!(refusal.contains("segment 1") && refusal.contains("350 %"), "{refusal}");
}

#[test]
fn without_inertia_speed_may_jump() {
    let light = Machine { inertia: Inertia::ZERO, ..machine() };
    let load = LoadTorque::Share(Ratio::of_one(0.8));
    let segments = [segment(6.0, 150.0, 0.0, load), segment(4.0, 0.0, 0.0, LoadTorque::Share(Ratio::ZERO))];
    let d = duty(&light, &Cycle { start: Speed::ZERO, segments: &segments, repeats: true }, square, &mut Silent).expect("steps");
    assert!((d.rms_torque.in_nm() - 80.0 * f64::sqrt(0.6)).abs() < 1e-9 && d.record.pieces.len() == 2);
}
