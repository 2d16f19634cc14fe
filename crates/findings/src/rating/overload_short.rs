//! The load's cycle asks for more overload than the unit's duty class gives, or does not let it recover.

use calc::drive::overload::{Governed, OverloadPoint};
use calc::sources::{PACK, SURVEY};
use calc::working::{Recorder, Step};
use plant::quantity::{Current, Ratio};
use plant::survey::{AIR_TEMPERATURE, ALTITUDE, ROOM_TEMPERATURE, SUPPLY_UNBALANCE, WANTED_CARRIER};

use crate::candidate::{Candidate, Measure};
use crate::check::{Outcome, Way, check, covered};
use crate::facts::{Reader, Stop};
use crate::rating::site_current_short::more_current;

check! {
    name: "rating/overload-short",
    severity: Downtime,
    rows: &[1],
    unit: "%",
    ways: &[
        (AIR_TEMPERATURE.id, Way::Down), (ALTITUDE.id, Way::Down), (WANTED_CARRIER.id, Way::Down), (SUPPLY_UNBALANCE.id, Way::Down),
        (ROOM_TEMPERATURE.id, Way::Down),
        (plant::survey::LOAD_CURRENT.id, Way::Down), (plant::survey::LOAD_PEAK_CURRENT.id, Way::Down),
        (plant::survey::LOAD_PEAK_TIME.id, Way::Down), (plant::survey::LOAD_STARTS.id, Way::Down),
        (plant::survey::MOTOR_CURRENT.id, Way::Down), (plant::survey::MOTOR_VOLTAGE.id, Way::Up),
        (plant::survey::MOTOR_EFFICIENCY.id, Way::Up), (plant::survey::MOTOR_POWER_FACTOR.id, Way::Up),
    ],
    measures: &[Measure::LowestCarrier, Measure::FilterFan, Measure::Exchanger, Measure::CoolingUnit],
    page: "overload_short.md",
    run: run,
    remedies: more_current,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    if unit.overloads.is_empty() {
        return Err(Stop::PackSilent("overload points of this duty class (overloads.csv)"));
    }
    let reduced = unit.reduced(facts, rec)?;
    let demand = facts.demand()?;
    let need = demand.get()?.smallest_rating(&unit.overloads)?;
    rec.step(|| {
        let by = match need.governed_by {
            Governed::Continuous => "the root mean square over the cycle decides".to_owned(),
            Governed::Peak => "the highest peak decides".to_owned(),
            Governed::Point(i) => unit.overloads.get(i).map_or_else(String::new, |p: &OverloadPoint| {
                format!("the point {} for {} s decides", Ratio::of_one(p.multiple), p.time_s)
            }),
        };
        Step::new(
            "I_need",
            "smallest rating whose overload budget carries the cycle",
            "max over windows w of √(∫i²dt/(w + (k² − 1)·t))",
            &SURVEY,
        )
        .gives(need.current)
        .note(format!("{by}; {}", demand.origin()))
    });
    for point in &unit.overloads {
        rec.step(|| {
            Step::new("k", format!("allowed for {} s from a rested unit", point.time_s), "", &PACK).gives(Ratio::of_one(point.multiple))
        });
    }
    if reduced.factor == Ratio::ZERO {
        return Ok(Outcome::Margin(-100.0));
    }
    let need: Current = need.current;
    Ok(covered(rec, "I_site/I_need − 1", ("I_site", reduced.current), ("I_need", need)))
}

#[cfg(test)]
mod tests {
    use plant::choice::Duty;

    use super::*;
    use crate::fixture::{CYCLE, GOOD_PLACE, by_hand, changed, is_silent, just_covered, unit, with};

    /// A load of 40 A whose peak comes six times an hour.
    fn peaks<'a>(current: &'a str, time: &'a str) -> Vec<(&'a str, &'a str)> {
        let load = [("load.current", "40 A"), ("load.starts", "6 1/h"), ("load.peak_current", current), ("load.peak_time", time)];
        [GOOD_PLACE, &load].concat()
    }

    #[test]
    fn the_stated_overload_is_just_covered() {
        let heavy = unit("R1", Duty::Heavy);
        // 150 % of 52 A is 78 A for 60 s: 78²·60/(60 + 1.25·60) = 365 040/135 = 2704 = 52². The rms, √2048 A, is less.
        just_covered(&CHECK, &peaks("78 A", "60 s"), &heavy);
        // 180 % of 52 A is 93.6 A for 3 s, by the peak.
        just_covered(&CHECK, &peaks("93.6 A", "3 s"), &heavy);
    }

    #[test]
    fn a_lower_peak_holds_and_a_higher_one_fails() {
        let heavy = unit("R1", Duty::Heavy);
        by_hand(&CHECK, &peaks("72 A", "60 s"), &heavy, 8.33); // need 72/1.5 = 48 A; 52/48
        by_hand(&CHECK, &peaks("90 A", "60 s"), &heavy, -13.33); // need 90/1.5 = 60 A; 52/60
        // The light duty of the same unit has more amperes, but 110 % of them: 72/1.1 = 65.455 A; 65/65.455 = 0.99306.
        by_hand(&CHECK, &peaks("72 A", "60 s"), &unit("R1", Duty::Light), -0.69);
    }

    #[test]
    fn the_overload_shrinks_with_the_current_at_the_site() {
        // 2000 m and 50 °C leave 0.81·52 = 42.12 A of the 52 A that are needed.
        let mut survey = peaks("78 A", "60 s");
        survey.extend([("conditions.altitude", "2000 m"), ("conditions.air_temperature", "50 °C")]);
        by_hand(&CHECK, &survey, &unit("R1", Duty::Heavy), -19.0);
    }

    #[test]
    fn a_cycle_is_held_against_the_outline_of_the_points() {
        // The cycle against 150 % for 60 s and 180 % for 3 s. Charges k²·t: 135 s and 9.72 s; the line between them has the slope
        // (135 − 9.72)/57 = 2.19789 and the room 9.72 − 3·2.19789 = 3.12632 s. Over the first 10 s: 150²·10/(21.9789 + 3.1263)
        // = 8962.3 = 94.67². The rms is 85.6 A, the peak asks for 150/1.8 = 83.3 A. 80/94.67 = 0.84505.
        by_hand(&CHECK, &[GOOD_PLACE, CYCLE].concat(), &unit("R2", Duty::Heavy), -15.50);
    }

    #[test]
    fn a_pack_without_overload_points_is_silent() {
        let silent = changed("R1", Duty::Heavy, |s| s.overloads.retain(|o| o.duty == Duty::Light));
        is_silent(&CHECK, &peaks("1 A", "3 s"), &silent, "overloads.csv");
    }

    #[test]
    fn a_lower_carrier_makes_it_hold() {
        // At 8 kHz 36.4 A are left of 52 A, and 48 A are needed: 36.4/48 = 0.75833. At 4 kHz 52/48.
        let fast = changed("R1", Duty::Heavy, |s| s.control.default_carrier = Some(plant::quantity::Frequency::khz(8.0)));
        by_hand(&CHECK, &peaks("72 A", "60 s"), &fast, -24.17);
        by_hand(&CHECK, &peaks("72 A", "60 s"), &with(&CHECK, &fast, Measure::LowestCarrier), 8.33);
    }
}
