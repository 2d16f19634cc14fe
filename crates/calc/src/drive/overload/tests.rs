//! What the overload search must hold: stated points, brute force over windows, simulation, monotony.

use proptest::prelude::*;

use super::*;
use crate::working::Silent;

/// Sums of up to a hundred numbers in another order differ by far less.
const ROUNDING: f64 = 1e-9;

fn needed(record: &Record, points: &[OverloadPoint]) -> SmallestRating {
    smallest_rating(record, points, &mut Silent).expect("good record")
}

fn records() -> impl Strategy<Value = Record> {
    let piece = (0.1f64..60.0, 0.0f64..300.0).prop_map(|(seconds, i)| Piece { seconds, mean_square_a2: i * i, peak_a: i });
    (prop::collection::vec(piece, 1..25), any::<bool>()).prop_map(|(pieces, repeats)| Record { pieces, repeats })
}

fn points() -> impl Strategy<Value = Vec<OverloadPoint>> {
    prop::collection::vec((1.01f64..3.0, 0.5f64..300.0).prop_map(|(k, t)| OverloadPoint::new(k, t)), 1..5)
}

fn brute_force(record: &Record, room_s: f64) -> f64 {
    let n = record.pieces.len();
    let mut most = if record.repeats { record.rms().in_a().powi(2) } else { 0.0 };
    for start in 0..n {
        let (mut charge, mut seconds) = (0.0, 0.0);
        for i in start..if record.repeats { start + n } else { n } {
            let p = &record.pieces[i % n];
            charge += p.mean_square_a2 * p.seconds;
            seconds += p.seconds;
            most = f64::max(most, charge / (seconds + room_s));
        }
    }
    most
}

#[test]
fn several_points_are_granted_in_full() {
    // 180 % for 3 s and 150 % for 60 s, each from the continuous current: neither forbids the other.
    let points = [OverloadPoint::new(1.8, 3.0), OverloadPoint::new(1.5, 60.0), OverloadPoint::new(1.1, 60.0)];
    for (i, point) in points.iter().enumerate().take(2) {
        let record = Record::from_steps(&[(Current::a(100.0 * point.multiple), Time::s(point.time_s))], false);
        let rating = needed(&record, &points);
        assert!((rating.current.in_a() - 100.0).abs() < 1e-9, "point {i}: {rating:?}");
    }
    let rooms: Vec<Budget> = budgets(&points).collect();
    assert_eq!(rooms.iter().map(|b| b.point).collect::<Vec<_>>(), [0, 1]);
    assert!((rooms[1].base - 1.0).abs() < ROUNDING && (rooms[1].room_s - 75.0).abs() < ROUNDING);
    assert!((rooms[0].base - (2.25 * 60.0 - 3.24 * 3.0) / 57.0).abs() < ROUNDING);
}

#[test]
fn without_points_the_largest_current_is_continuous() {
    let record = Record::from_steps(&[(Current::a(120.0), Time::s(1.0)), (Current::a(10.0), Time::s(9.0))], true);
    assert_eq!(needed(&record, &[]), SmallestRating { current: Current::a(120.0), governed_by: Governed::Continuous });
}

#[test]
fn what_makes_no_sense_is_refused() {
    let good = Record::from_steps(&[(Current::a(1.0), Time::s(1.0))], false);
    for points in [
        [OverloadPoint::new(0.9, 1.0)],
        [OverloadPoint::new(f64::NAN, 1.0)],
        [OverloadPoint::new(1.5, -1.0)],
        [OverloadPoint::new(1.5, f64::INFINITY)],
    ] {
        assert!(smallest_rating(&good, &points, &mut Silent).is_err(), "{points:?}");
    }
    for piece in [(-1.0, 1.0, 1.0), (1.0, f64::NAN, 1.0), (1.0, 1.0, -1.0), (f64::INFINITY, 1.0, 1.0)] {
        let record = Record { pieces: vec![Piece { seconds: piece.0, mean_square_a2: piece.1, peak_a: piece.2 }], repeats: true };
        assert!(smallest_rating(&record, &[OverloadPoint::new(1.5, 60.0)], &mut Silent).is_err(), "{piece:?}");
    }
    assert!(smallest_rating(&Record::default(), &[], &mut Silent).is_err());
    let log = |times: [f64; 3]| Record::from_log(&times.map(|t| (Time::s(t), Current::a(2.0))));
    assert!(log([0.0, 1.0, 1.0]).is_err() && log([0.0, f64::NAN, 1.0]).is_err() && Record::from_log(&[]).is_err());
    assert!((log([0.0, 1.0, 3.0]).expect("rising").rms().in_a() - 2.0).abs() < ROUNDING);
}

proptest! {
    #[test]
    fn a_rectangle_from_empty_needs_the_stated_rating(k in 1.01f64..4.0, t in 0.1f64..7200.0, rating in 0.5f64..2000.0) {
        let record = Record::from_steps(&[(Current::a(k * rating), Time::s(t))], false);
        let got = needed(&record, &[OverloadPoint::new(k, t)]).current.in_a();
        prop_assert!((got / rating - 1.0).abs() < ROUNDING, "{got} {rating}");
    }

    #[test]
    fn the_closed_form_is_the_largest_window(record in records(), room in 0.0f64..300.0) {
        let (got, brute) = (required_square(&record, room), brute_force(&record, room));
        prop_assert!((got / brute - 1.0).abs() < ROUNDING, "{got} {brute}");
    }

    #[test]
    fn simulation_agrees_at_the_rating_and_just_below(record in records(), points in points()) {
        let rating = needed(&record, &points);
        let fullest = |budget: &Budget, share: f64| {
            budget.trace(&record, rating.current * share).iter().map(|p| p.budget_s).fold(0.0, f64::max) / budget.room_s
        };
        for budget in budgets(&points) {
            prop_assert!(fullest(&budget, 1.0) <= 1.0 + ROUNDING, "{budget:?}");
        }
        let too_small = budgets(&points).any(|b| fullest(&b, 0.999) > 1.0)
            || record.peak() > rating.current * 0.999 * peak_multiple(&points)
            || (record.repeats && record.rms() > rating.current * 0.999);
        prop_assert!(too_small, "{rating:?}");
    }

    #[test]
    fn more_current_never_needs_less(record in records(), points in points(), at in any::<prop::sample::Index>(), more in 0.0f64..100.0) {
        let mut raised = record.clone();
        let piece = &mut raised.pieces[at.index(record.pieces.len())];
        piece.peak_a += more;
        piece.mean_square_a2 = piece.peak_a * piece.peak_a;
        prop_assert!(needed(&raised, &points).current.in_a() >= needed(&record, &points).current.in_a() * (1.0 - ROUNDING));
    }

    #[test]
    fn the_window_shown_explains_the_rating(record in records(), room in 0.5f64..300.0) {
        let square = required_square(&record, room);
        let window = governing_window(&record, square);
        let explained = window.charge_a2s / (window.seconds + room);
        let mean = record.total().mean_square();
        prop_assert!((explained / square - 1.0).abs() < ROUNDING || (record.repeats && (square / mean - 1.0).abs() < ROUNDING));
        prop_assert!(window.start_s >= 0.0 && window.start_s < record.duration().in_s());
    }

    #[test]
    fn current_and_time_are_inverse(points in points(), time in 0.01f64..1e4) {
        use crate::drive::capability::{Capability, Endurance};
        let unit = Capability { rating: Current::a(100.0), points: &points };
        let current = unit.current_for(Time::s(time), &mut Silent).expect("good unit");
        let record = Record::from_steps(&[(current, Time::s(time))], false);
        prop_assert!((needed(&record, &points).current.in_a() / 100.0 - 1.0).abs() < ROUNDING);
        if let Endurance::For(back) = unit.time_for(current * (1.0 - 1e-12), &mut Silent).expect("good unit") {
            prop_assert!(back.in_s() >= time * (1.0 - 1e-6));
        }
    }
}
