//! The current that breaks the load away is more than the unit gives near standstill.

use calc::sources::{PACK, SURVEY};
use calc::working::{Recorder, Step};
use plant::choice::LoadKind;
use plant::quantity::{Current, Frequency, Ratio};
use plant::survey::{
    AIR_TEMPERATURE, ALTITUDE, LOAD_BREAKAWAY_TORQUE, LOAD_KIND, LOAD_PEAK_CURRENT, LOAD_PEAK_TIME, MOTOR_CURRENT, MOTOR_EFFICIENCY,
    MOTOR_POWER, MOTOR_POWER_FACTOR, MOTOR_VOLTAGE, ROOM_TEMPERATURE, SUPPLY_UNBALANCE, WANTED_CARRIER,
};

use crate::candidate::{Candidate, Measure};
use crate::check::{Outcome, Way, check, covered};
use crate::facts::{Reader, Stop};
use crate::rating::site_current_short::more_current;

check! {
    name: "rating/breakaway-short",
    severity: Downtime,
    rows: &[2],
    unit: "%",
    ways: &[
        (AIR_TEMPERATURE.id, Way::Down), (ALTITUDE.id, Way::Down), (WANTED_CARRIER.id, Way::Down), (SUPPLY_UNBALANCE.id, Way::Down),
        (ROOM_TEMPERATURE.id, Way::Down),
        (LOAD_PEAK_CURRENT.id, Way::Down), (LOAD_PEAK_TIME.id, Way::Down), (LOAD_BREAKAWAY_TORQUE.id, Way::Down),
        (MOTOR_POWER.id, Way::Down), (MOTOR_VOLTAGE.id, Way::Up), (MOTOR_EFFICIENCY.id, Way::Up), (MOTOR_POWER_FACTOR.id, Way::Up),
        (MOTOR_CURRENT.id, Way::Down),
    ],
    measures: &[Measure::LowestCarrier, Measure::FilterFan, Measure::Exchanger, Measure::CoolingUnit],
    page: "breakaway_short.md",
    run: run,
    remedies: more_current,
}

/// Output frequency at which a load breaks away: about the slip frequency of a cage motor at high torque. Common practice, no source.
const BREAKAWAY_FREQUENCY: Frequency = Frequency::hz(2.0);

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let torque_from_nothing = matches!(facts.get(LOAD_KIND)?, LoadKind::Quadratic | LoadKind::Linear);
    let breakaway = facts.find(LOAD_BREAKAWAY_TORQUE)?;
    if torque_from_nothing && breakaway.is_none() {
        // Its peak comes at speed, where rating/overload-short looks at it.
        return Ok(Outcome::NotHere);
    }
    let reduced = unit.reduced(facts, rec)?;
    let seconds = facts.get(LOAD_PEAK_TIME)?;
    let multiple = Ratio::of_one(unit.multiple_for(seconds.in_s()));
    let standstill = unit.output_frequency_factor(BREAKAWAY_FREQUENCY);
    let available = reduced.current * multiple.in_of_one() * standstill.in_of_one();
    rec.step(|| {
        Step::new("I_max", "current for the break-away near standstill", "I_site·k·k_f", &PACK)
            .with("I_site", reduced.current)
            .with("k", multiple)
            .with("k_f", standstill)
            .gives(available)
            .note(format!("largest multiple allowed for {seconds}, reduced at {BREAKAWAY_FREQUENCY}"))
    });
    let mut need: Current = facts.get(LOAD_PEAK_CURRENT)?;
    if let Some(torque) = breakaway {
        let model = crate::demand::current_model(facts)?;
        // The current model reads low far above rated torque, so a peak current counts where it is larger.
        need = need.max(calc::motor::current::current_at(&model, torque, Ratio::ZERO, rec)?);
    }
    rec.step(|| Step::new("I_break", "current that breaks the load away", "", &SURVEY).gives(need));
    if reduced.factor == Ratio::ZERO {
        return Ok(Outcome::Margin(-100.0));
    }
    Ok(covered(rec, "I_max/I_break − 1", ("I_max", available), ("I_break", need)))
}

#[cfg(test)]
mod tests {
    use plant::choice::Duty;

    use super::*;
    use crate::fixture::{GOOD_PLACE, by_hand, changed, is_not_here, just_covered, outcome, unit, with};

    /// A loaded conveyor with this peak; more facts behind, such as a break-away torque.
    fn conveyor<'a>(current: &'a str, time: &'a str, more: &[(&'a str, &'a str)]) -> Vec<(&'a str, &'a str)> {
        let load = [("load.kind", "conveyor"), ("load.peak_current", current), ("load.peak_time", time)];
        [GOOD_PLACE, &load, more].concat()
    }

    /// √(20² + 1.5²·(52² − 20²)) = √5584 = 74.726 A for 150 % of rated torque.
    const TORQUE: &[(&str, &str)] = &[
        ("load.breakaway_torque", "150 %"),
        ("motor.current", "52 A"),
        ("motor.no_load_current", "20 A"),
        ("motor.breakdown_torque", "220 %"),
    ];

    #[test]
    fn the_peak_is_held_against_what_is_given_at_2_hz_for_so_long() {
        // k_f lies halfway from 50 % at 0 Hz to 100 % at 4 Hz: 75 %. For 3 s 52·1.8·0.75 = 70.2 A.
        let heavy = unit("R1", Duty::Heavy);
        by_hand(&CHECK, &conveyor("60 A", "3 s", &[]), &heavy, 17.0);
        by_hand(&CHECK, &conveyor("78 A", "3 s", &[]), &heavy, -10.0);
        just_covered(&CHECK, &conveyor("70.2 A", "3 s", &[]), &heavy);
        // For 5 s the point of 60 s counts: 52·1.5·0.75 = 58.5 A. For 61 s none does: 39 A.
        by_hand(&CHECK, &conveyor("60 A", "5 s", &[]), &heavy, -2.5);
        by_hand(&CHECK, &conveyor("60 A", "61 s", &[]), &heavy, -35.0);
    }

    #[test]
    fn the_larger_of_torque_and_peak_current_counts() {
        let heavy = unit("R1", Duty::Heavy);
        by_hand(&CHECK, &conveyor("60 A", "3 s", TORQUE), &heavy, -6.06); // 70.2/74.726 = 0.93943
        by_hand(&CHECK, &conveyor("78 A", "3 s", TORQUE), &heavy, -10.0);
    }

    #[test]
    fn a_fan_breaks_away_by_itself_unless_the_survey_says_otherwise() {
        for kind in ["quadratic", "linear"] {
            let fan = conveyor("60 A", "3 s", &[("load.kind", kind)]);
            is_not_here(&CHECK, &fan, &unit("R1", Duty::Heavy));
            by_hand(&CHECK, &[&fan, TORQUE].concat(), &unit("R1", Duty::Heavy), -6.06);
        }
    }

    #[test]
    fn beyond_breakdown_torque_there_is_no_figure() {
        let beyond = [TORQUE, &[("load.breakaway_torque", "221 %")]].concat();
        let said = outcome(&CHECK, &conveyor("60 A", "3 s", &beyond), &unit("R1", Duty::Heavy));
        assert!(matches!(said, Err(Stop::Refused(_))), "{said:?}");
    }

    #[test]
    fn a_lower_carrier_makes_it_hold() {
        // At 8 kHz 0.7·70.2 = 49.14 A: 49.14/60 = 0.819.
        let fast = changed("R1", Duty::Heavy, |s| s.control.default_carrier = Some(Frequency::khz(8.0)));
        by_hand(&CHECK, &conveyor("60 A", "3 s", &[]), &fast, -18.1);
        by_hand(&CHECK, &conveyor("60 A", "3 s", &[]), &with(&CHECK, &fast, Measure::LowestCarrier), 17.0);
    }
}
