//! What altitude, air, carrier and mounting leave of the rated current does not carry the load for good.

use calc::sources::SURVEY;
use calc::working::{Recorder, Step};
use plant::quantity::{Current, Ratio};
use plant::survey::{AIR_TEMPERATURE, ALTITUDE, ROOM_TEMPERATURE, SUPPLY_UNBALANCE, WANTED_CARRIER};

use crate::candidate::{Candidate, Measure, Remedy};
use crate::check::{Outcome, Way, check, covered};
use crate::facts::{Reader, Stop};

check! {
    name: "rating/site-current-short",
    severity: Downtime,
    rows: &[6],
    unit: "%",
    ways: &[
        (AIR_TEMPERATURE.id, Way::Down), (ALTITUDE.id, Way::Down), (WANTED_CARRIER.id, Way::Down), (SUPPLY_UNBALANCE.id, Way::Down),
        (ROOM_TEMPERATURE.id, Way::Down),
        (plant::survey::LOAD_CURRENT.id, Way::Down), (plant::survey::LOAD_PEAK_CURRENT.id, Way::Down),
        (plant::survey::LOAD_PEAK_TIME.id, Way::Down), (plant::survey::LOAD_STARTS.id, Way::Down), (plant::survey::MOTOR_CURRENT.id, Way::Down),
        (plant::survey::MOTOR_VOLTAGE.id, Way::Up),
        (plant::survey::MOTOR_EFFICIENCY.id, Way::Up), (plant::survey::MOTOR_POWER_FACTOR.id, Way::Up),
    ],
    measures: &[Measure::LowestCarrier, Measure::FilterFan, Measure::Exchanger, Measure::CoolingUnit],
    page: "site_current_short.md",
    run: run,
    remedies: more_current,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let reduced = unit.reduced(facts, rec)?;
    let demand = facts.demand()?;
    let need: Current = demand.get()?.rms;
    rec.step(|| Step::new("I_rms", "current of the load over its cycle, root mean square", "", &SURVEY).gives(need).note(demand.origin()));
    if reduced.factor == Ratio::ZERO {
        return Ok(Outcome::Margin(-100.0));
    }
    Ok(covered(rec, "I_site/I_rms − 1", ("I_site", reduced.current), ("I_rms", need)))
}

/// What leaves the unit more of its current: a slower carrier, cooler air.
pub(crate) fn more_current(unit: &Candidate<'_>) -> Vec<Remedy> {
    lower_carrier(unit).into_iter().chain(crate::r#box::air_too_hot::cooled_box()).collect()
}

/// Lowering the carrier gives current back, at the price of noise from the motor.
pub(crate) fn lower_carrier(unit: &Candidate<'_>) -> Vec<Remedy> {
    unit.lower_carrier()
        .map(|carrier| Remedy {
            measure: Measure::LowestCarrier,
            what: format!("set the carrier frequency to {carrier} (the motor gets louder)"),
            parts: Some(0.0),
            minutes: 5.0,
        })
        .into_iter()
        .collect()
}

#[cfg(test)]
mod tests {
    use plant::choice::{Combine, DerateKind, Duty};

    use super::*;
    use crate::fixture::{CYCLE, GOOD_PLACE, by_hand, changed, is_silent, just_covered, unit, with};

    /// A load of constant current at a place with these facts instead of the good ones.
    fn steady<'a>(current: &'a str, place: &[(&'a str, &'a str)]) -> Vec<(&'a str, &'a str)> {
        [GOOD_PLACE, &[("load.current", current), ("load.peak_current", current)], place].concat()
    }

    /// 2000 m at 1 % per 100 m and 50 °C at 1 % per kelvin, both above what a rating is printed for.
    const HIGH_AND_HOT: &[(&str, &str)] = &[("conditions.altitude", "2000 m"), ("conditions.air_temperature", "50 °C")];

    #[test]
    fn heat_and_height_act_together_as_the_pack_says() {
        // 0.9·0.9 = 0.81 leaves 81 A of 100 A.
        let light = unit("R2", Duty::Light);
        by_hand(&CHECK, &steady("60 A", HIGH_AND_HOT), &light, 35.0); // 81/60
        by_hand(&CHECK, &steady("90 A", HIGH_AND_HOT), &light, -10.0); // 81/90
        just_covered(&CHECK, &steady("81 A", HIGH_AND_HOT), &light);
        // Reductions of 10 % and 10 % added leave 80 A; the lowest factor alone leaves 90 A.
        just_covered(&CHECK, &steady("80 A", HIGH_AND_HOT), &changed("R2", Duty::Light, |s| s.combine = Combine::Add));
        just_covered(&CHECK, &steady("90 A", HIGH_AND_HOT), &changed("R2", Duty::Light, |s| s.combine = Combine::Lowest));
    }

    #[test]
    fn neighbours_phases_and_unbalance_take_their_share() {
        let light = unit("R2", Duty::Light);
        just_covered(&CHECK, &steady("90 A", &[("conditions.mounting", "side-by-side")]), &light);
        just_covered(&CHECK, &steady("50 A", &[("supply.phases", "single")]), &light);
        just_covered(&CHECK, &steady("95 A", &[("supply.unbalance", "2 %")]), &light); // halfway from 100 % at 1 % to 90 % at 3 %
    }

    #[test]
    fn the_current_of_a_cycle_counts_by_its_root_mean_square() {
        let light = unit("R2", Duty::Light);
        // Peaks of 100 A for 60 s six times an hour, 50 A for the 540 s between: √((10⁴·60 + 2500·540)/600) = √3250 = 57.009 A.
        let starts = [("load.peak_current", "100 A"), ("load.peak_time", "60 s"), ("load.starts", "6 1/h")];
        by_hand(&CHECK, &steady("50 A", &starts), &light, 75.41); // 100/57.009 = 1.75412
        // √((225 000 + 400 000 + 108 000)/100) = √7330 = 85.615 A.
        by_hand(&CHECK, &[GOOD_PLACE, CYCLE].concat(), &light, 16.80); // 100/85.615 = 1.16802
    }

    #[test]
    fn beyond_the_documented_conditions_nothing_is_left() {
        by_hand(&CHECK, &steady("1 A", &[("conditions.altitude", "3001 m")]), &unit("R2", Duty::Light), -100.0);
        by_hand(&CHECK, &steady("1 A", &[("conditions.air_temperature", "51 °C")]), &unit("R2", Duty::Light), -100.0);
    }

    #[test]
    fn a_pack_without_a_curve_is_silent_outside_the_usual_conditions_alone() {
        let without = |kind| changed("R2", Duty::Light, |s| s.derates.retain(|d| d.kind != kind));
        let (no_altitude, no_air) = (without(DerateKind::Altitude), without(DerateKind::AirTemperature));
        just_covered(&CHECK, &steady("100 A", &[]), &no_altitude); // 1000 m to the metre
        just_covered(&CHECK, &steady("100 A", &[]), &no_air); // 40 °C to the degree
        is_silent(&CHECK, &steady("1 A", &[("conditions.altitude", "1001 m")]), &no_altitude, "1000 m");
        is_silent(&CHECK, &steady("1 A", &[("conditions.air_temperature", "41 °C")]), &no_air, "40 °C");
        is_silent(&CHECK, &steady("1 A", &[("supply.phases", "single")]), &without(DerateKind::SinglePhase), "single phase");
    }

    #[test]
    fn a_lower_carrier_gives_current_back_unless_the_place_asks_for_the_fast_one() {
        // Delivered at 8 kHz: 70 A left; 70/75 = 0.93333. At 4 kHz 100 A; 100/75 = 1.33333.
        let fast = changed("R2", Duty::Light, |s| s.control.default_carrier = Some(plant::quantity::Frequency::khz(8.0)));
        by_hand(&CHECK, &steady("75 A", &[]), &fast, -6.67);
        by_hand(&CHECK, &steady("75 A", &[]), &with(&CHECK, &fast, Measure::LowestCarrier), 33.33);
        by_hand(&CHECK, &steady("75 A", &[("conditions.carrier", "8 kHz")]), &with(&CHECK, &fast, Measure::LowestCarrier), -6.67);
        assert!(lower_carrier(&unit("R2", Duty::Light)).is_empty(), "it comes with the lowest");
    }
}
