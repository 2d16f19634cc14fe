//! Two reactors in series, an old one ahead and a new one inside, leave the motor too little voltage.

use calc::feeder::reactor::series_reactors;
use calc::sources::{DEFINITION, Knowledge, Source};
use calc::working::{Recorder, Step};
use plant::quantity::Ratio;
use plant::survey::{MOTOR_VOLTAGE, REACTOR, SUPPLY_LOWEST};

use crate::candidate::{Candidate, Measure, Remedy};
use crate::check::{Outcome, Way, check};
use crate::facts::{Reader, Stop};
use crate::line::{choke, reactor};

check! {
    name: "supply/reactors-in-series",
    severity: Downtime,
    rows: &[23],
    unit: "%",
    ways: &[(SUPPLY_LOWEST.id, Way::Up), (REACTOR.id, Way::Down)],
    measures: &[Measure::NoLineReactor, Measure::LineReactor],
    page: "reactors_in_series.md",
    run: run,
    remedies: without_reactor,
}

/// Least voltage of a motor, of its plate.
pub(crate) const LEAST_VOLTAGE: Ratio = Ratio::percent(90.0);
/// Why.
pub(crate) const MOTOR_TOLERANCE: Source = Source::new("NEMA MG 1 12.44: 90 to 110 % of rated voltage", Knowledge::FromMemory);
/// Power factor of the fundamental ahead of the rectifier.
pub(crate) const COS: Ratio = Ratio::of_one(0.95);

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let reactors = [reactor(facts, unit)?, choke(unit)?];
    let (line, motor) = (facts.get(SUPPLY_LOWEST)?, facts.get(MOTOR_VOLTAGE)?);
    let load = Ratio::of_one((facts.all_motors()? / unit.rating.current).min(1.0));
    let left = series_reactors(line, &reactors, load, COS, motor, rec)?;
    let share = Ratio::of_one(left.voltage / motor);
    let margin = share - LEAST_VOLTAGE;
    rec.step(|| {
        Step::new("margin", "voltage left, of the motor's plate, above the least", "U_2/U_N − 90 %", &MOTOR_TOLERANCE)
            .with("U_2", left.voltage)
            .with("U_N", motor)
            .gives(margin)
            .note("at the lowest line voltage and the motor's rated current")
    });
    if rec.keeps() {
        let old = facts.position().old_line_side.as_ref().and_then(|side| side.choke);
        if let Some(old) = old {
            rec.step(|| Step::new("x_old", "choke or reactor inside the old drive", "", &DEFINITION).gives(old).note("before"));
        }
    }
    Ok(Outcome::Margin(margin.in_percent()))
}

/// The old line reactor taken out.
pub(crate) fn without_reactor(_: &Candidate<'_>) -> Vec<Remedy> {
    vec![Remedy {
        measure: Measure::NoLineReactor,
        what: "take the old line reactor out: the unit has a choke of its own".into(),
        parts: Some(0.0),
        minutes: 60.0,
    }]
}

#[cfg(test)]
mod tests {
    use plant::choice::Duty;

    use super::*;
    use crate::fixture::{by_hand, changed, remedied};

    fn at<'a>(lowest: &'a str, reactor: &'a str) -> [(&'a str, &'a str); 4] {
        [("supply.lowest", lowest), ("motor.voltage", "460 V"), ("motor.current", "52 A"), ("supply.reactor", reactor)]
    }

    #[test]
    fn both_reactors_and_a_low_line_together() {
        // 52 A on 52 A: x = 5 + 3 = 8 %, cos φ 0.95, sin φ 0.31225: √(1 − 0.076²) − 0.08·0.31225 = 0.97213.
        let unit = changed("R1", Duty::Heavy, |s| s.line_sides[0].choke = Some(Ratio::percent(3.0)));
        by_hand(&CHECK, &at("460 V", "5 %"), &unit, 7.21); // 97.21 − 90
        by_hand(&CHECK, &at("420 V", "5 %"), &unit, -1.24); // 0.97213·420/460 = 88.76 %
        // Without the old one: x = 3 %: √(1 − 0.0285²) − 0.03·0.31225 = 0.99023; of 420/460: 90.41 %.
        by_hand(&CHECK, &at("420 V", "5 %"), &remedied(&CHECK, &unit), 0.41);
    }

    #[test]
    fn more_impedance_is_never_better_for_the_voltage() {
        let unit = changed("R1", Duty::Heavy, |s| s.line_sides[0].choke = Some(Ratio::percent(3.0)));
        let margins: Vec<f64> = ["0 %", "1 %", "3 %", "5 %", "10 %"]
            .iter()
            .map(|r| match crate::fixture::outcome(&CHECK, &at("450 V", r), &unit) {
                Ok(Outcome::Margin(m)) => m,
                other => panic!("{other:?}"),
            })
            .collect();
        assert!(margins.windows(2).all(|pair| pair[0] > pair[1]), "{margins:?}");
    }
}
