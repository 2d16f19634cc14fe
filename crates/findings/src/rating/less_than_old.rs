//! The new unit gives fewer amperes than the old one at some overload time, whatever the labels say.

use calc::drive::capability::{Capability, compare};
use calc::sources::PACK;
use calc::working::{Recorder, Step};
use plant::quantity::Current;
use plant::survey::{MOTOR_CURRENT, MOTOR_EFFICIENCY, MOTOR_POWER, MOTOR_POWER_FACTOR, MOTOR_VOLTAGE, OLD_CURRENT, OLD_DUTY};

use crate::candidate::Candidate;
use crate::check::{Outcome, Way, check, covered, no_remedy};
use crate::facts::{Reader, Stop};

check! {
    name: "rating/less-than-old",
    severity: Nuisance,
    rows: &[1, 2],
    unit: "%",
    ways: &[
        (OLD_CURRENT.id, Way::Down), (MOTOR_CURRENT.id, Way::Down), (MOTOR_POWER.id, Way::Down), (MOTOR_VOLTAGE.id, Way::Up),
        (MOTOR_EFFICIENCY.id, Way::Up), (MOTOR_POWER_FACTOR.id, Way::Up),
    ],
    measures: &[],
    page: "less_than_old.md",
    run: run,
    remedies: no_remedy,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let old: Current = facts.get(OLD_CURRENT)?;
    let duty = facts.get(OLD_DUTY)?;
    let old_points = facts.old_points(duty);
    if old_points.is_empty() {
        // Without the old series' pack only the continuous amperes can be compared.
        return Ok(covered(rec, "I_new/I_old − 1", ("I_new", unit.rating.current), ("I_old", old)));
    }
    let was = Capability { rating: old, points: old_points };
    let will = Capability { rating: unit.rating.current, points: &unit.overloads };
    let worst = compare(&was, &will)?
        .into_iter()
        .min_by(|a, b| a.ratio.total_cmp(&b.ratio))
        .ok_or(Stop::PackSilent("overload points to compare"))?;
    rec.step(|| {
        let at = worst.time.map_or_else(|| "for good".to_owned(), |t| format!("for {t}"));
        Step::new("t", "overload time at which the new unit falls shortest", "", &PACK).gives(at)
    });
    Ok(covered(rec, "I_new/I_old − 1", ("I_new", worst.new), ("I_old", worst.old)))
}

#[cfg(test)]
mod tests {
    use calc::drive::overload::OverloadPoint;
    use plant::choice::Duty;

    use super::*;
    use crate::candidate::Candidate;
    use crate::facts::Survey;
    use crate::fixture::{by_hand, changed, is_open, just_covered, position, said, unit};

    /// Margin against an old unit of 52 A heavy duty with these points.
    fn against(old: &[(f64, f64)], unit: &Candidate<'_>) -> f64 {
        let position = position(&[("old.rated_current", "52 A"), ("old.duty", "heavy")]);
        let points = old.iter().map(|(multiple, seconds)| OverloadPoint::new(*multiple, *seconds)).collect();
        let survey = Survey::new(&position).with_old_points(Vec::new(), points);
        match said(&CHECK, &survey, unit).outcome {
            Ok(Outcome::Margin(margin)) => (margin * 100.0).round() / 100.0,
            other => panic!("{other:?}"),
        }
    }

    #[track_caller]
    fn is(margin: f64, by_hand: f64) {
        assert!((margin - by_hand).abs() < 1e-9, "{margin} is not {by_hand}");
    }

    const OLD: &[(f64, f64)] = &[(1.5, 60.0), (2.0, 3.0)];

    #[test]
    fn equal_amperes_lose_a_tenth_where_200_percent_became_180() {
        // For 3 s 1.8·52 = 93.6 A against 2·52 = 104 A.
        is(against(OLD, &unit("R1", Duty::Heavy)), -10.0);
    }

    #[test]
    fn a_rating_of_1_1111_times_the_old_one_gives_the_same_peak() {
        // 2.0/1.8 = 1.1111; for good and for 60 s the new unit then gives 11.1 % more.
        is(against(OLD, &changed("R1", Duty::Heavy, |s| s.ratings[1].current = Current::a(52.0 * 2.0 / 1.8))), 0.0);
    }

    #[test]
    fn the_time_at_which_the_new_unit_falls_shortest_decides() {
        is(against(OLD, &unit("R2", Duty::Heavy)), 38.46); // 3 s: 144/104; 60 s and for good: 80/52 = 1.53846
        // Light duty, 110 %: 25 % more for good (65/52), 71.5/78 for 60 s, 71.5/104 = 0.6875 for 3 s.
        is(against(OLD, &unit("R1", Duty::Light)), -31.25);
        // An old unit that states 150 % for 60 s alone gave no more than that for 3 s either: 93.6/78 there, 78/78 for 60 s.
        is(against(&OLD[..1], &unit("R1", Duty::Heavy)), 0.0);
    }

    #[test]
    fn without_the_old_pack_the_continuous_amperes_are_compared() {
        let old = [("old.rated_current", "52 A"), ("old.duty", "heavy")];
        just_covered(&CHECK, &old, &unit("R1", Duty::Heavy));
        by_hand(&CHECK, &old, &unit("R1", Duty::Light), 25.0);
    }

    #[test]
    fn the_motor_stands_for_a_plate_that_nobody_read() {
        // Middle of 0.9 … 1.6 times 40 A: 50 A; 52/50.
        by_hand(&CHECK, &[("motor.current", "40 A")], &unit("R1", Duty::Heavy), 4.0);
        is_open(&CHECK, &[], &unit("R1", Duty::Heavy), "motor.power");
    }
}
