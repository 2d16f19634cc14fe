//! With the new unit's losses the box gets so warm that what is left of its current does not carry the load.

use calc::enclosure::cooling::{FanConstant, cooling_unit, exchanger, ventilation};
use calc::sources::{DEFINITION, SURVEY};
use calc::working::{Recorder, Silent, Step};
use plant::quantity::{Current, Length, Power, Ratio, Temperature};
use plant::survey::{
    ALTITUDE, BOX_COOLING_CAPACITY, BOX_EXCHANGE, BOX_FAN_FLOW, LOAD_CURRENT, LOAD_PEAK_CURRENT, LOAD_PEAK_TIME, LOAD_STARTS,
    MOTOR_CURRENT, MOTOR_EFFICIENCY, MOTOR_POWER_FACTOR, MOTOR_VOLTAGE, OTHER_LOSSES, ROOM_TEMPERATURE, SUPPLY_UNBALANCE,
};

use crate::candidate::{Candidate, Measure, Remedy};
use crate::check::{Outcome, Way, check, covered};
use crate::facts::{Reader, Stop};
use crate::surroundings::{self, Climates, FAN_RISE, box_air, climate, losses_beside, mounted, unit_losses};

check! {
    name: "box/air-too-hot",
    severity: Downtime,
    rows: &[6, 105],
    unit: "%",
    ways: &[
        (ROOM_TEMPERATURE.id, Way::Down), (OTHER_LOSSES.id, Way::Down), (ALTITUDE.id, Way::Down), (BOX_FAN_FLOW.id, Way::Up),
        (BOX_EXCHANGE.id, Way::Up), (BOX_COOLING_CAPACITY.id, Way::Up),
        (LOAD_CURRENT.id, Way::Down), (LOAD_PEAK_CURRENT.id, Way::Down), (LOAD_PEAK_TIME.id, Way::Down), (LOAD_STARTS.id, Way::Down),
        (MOTOR_CURRENT.id, Way::Down), (MOTOR_VOLTAGE.id, Way::Up), (MOTOR_EFFICIENCY.id, Way::Up), (MOTOR_POWER_FACTOR.id, Way::Up),
        (SUPPLY_UNBALANCE.id, Way::Down),
    ],
    measures: &[Measure::LowestCarrier, Measure::ThroughWall, Measure::FilterFan, Measure::Exchanger, Measure::CoolingUnit],
    page: "air_too_hot.md",
    run: run,
    remedies: remedies,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let demand = facts.demand()?;
    let need: Current = demand.get()?.rms;
    let beside = losses_beside(facts, rec)?;
    let (room, altitude, climate) = climate(facts, unit, rec)?;
    let inside = mounted(facts, unit)?.heat_inside;
    rec.step(|| Step::new("I_rms", "current of the load over its cycle, root mean square", "", &SURVEY).gives(need).note(demand.origin()));
    let mut settle = Settle { unit, room, altitude, climate, inside, beside };
    let air = settle.air(facts, need, rec)?;
    let left = unit.reduced_in(facts, air, rec)?.current;
    size_of_cooling(facts, &settle, need, rec)?;
    if need == Current::ZERO {
        return Ok(Outcome::NotHere);
    }
    if left >= need {
        return Ok(covered(rec, "I_site/I_rms − 1", ("I_site", left), ("I_rms", need)));
    }
    let carried = settle.folded_back(facts, need)?;
    rec.step(|| {
        Step::new("I_s", "current at which box and unit settle when the unit limits itself", "", &DEFINITION)
            .gives(carried)
            .note("the largest current whose own losses leave the air cool enough for it, found by halving: a fixed point")
    });
    Ok(covered(rec, "I_s/I_rms − 1", ("I_s", carried), ("I_rms", need)))
}

/// The box with everything read that does not change with the unit's current.
struct Settle<'u, 'c> {
    unit: &'u Candidate<'c>,
    room: Temperature,
    altitude: Length,
    climate: Climates,
    inside: Ratio,
    beside: Power,
}

/// Halvings of the current: to a millionth of what is asked for.
const HALVINGS: usize = 20;

impl Settle<'_, '_> {
    /// Losses inside the box when the unit carries a current.
    fn losses<R: Recorder>(&self, facts: &mut Reader<'_>, current: Current, rec: &mut R) -> Result<Power, Stop> {
        let own = unit_losses(facts, self.unit, current, rec)?;
        let sum = self.beside + own * self.inside.in_of_one();
        rec.step(|| {
            Step::new("P", "losses in the box", "P_o + h·P_d", &DEFINITION)
                .with("P_o", self.beside.electric())
                .with("h", self.inside)
                .with("P_d", own.electric())
                .gives(sum.electric())
                .note("h: share of the unit's losses that stays in the box")
        });
        Ok(sum)
    }

    /// Air that the unit takes in then: that at the top, unless it stands in a room.
    fn air<R: Recorder>(&mut self, facts: &mut Reader<'_>, current: Current, rec: &mut R) -> Result<Temperature, Stop> {
        let losses = self.losses(facts, current, rec)?;
        let air = box_air(self.room, self.altitude, &self.climate, losses, rec)?;
        rec.step(|| {
            Step::new("ϑ_top", "air at the top of the box", "", &DEFINITION)
                .gives(air.top)
                .note(format!("{} at half height; the unit is thought to take in the warmest", air.mid))
        });
        Ok(air.top)
    }

    /// The largest current that the box lets the unit carry for good: more current heats the air, warmer air leaves less current.
    fn folded_back(&mut self, facts: &mut Reader<'_>, need: Current) -> Result<Current, Stop> {
        let (mut carries, mut too_much) = (Current::ZERO, need);
        for _ in 0..HALVINGS {
            let middle = (carries + too_much) / 2.0;
            let air = self.air(facts, middle, &mut Silent)?;
            if self.unit.reduced_in(facts, air, &mut Silent)?.current >= middle { carries = middle } else { too_much = middle }
        }
        Ok(carries)
    }
}

/// What the cooling that a measure brings must be able to do, told in the working.
fn size_of_cooling<R: Recorder>(facts: &mut Reader<'_>, settle: &Settle<'_, '_>, need: Current, rec: &mut R) -> Result<(), Stop> {
    let Climates::Kept(kept) = settle.climate else { return Ok(()) };
    let losses = settle.losses(facts, need, &mut Silent)?;
    let measures = settle.unit.measures;
    if measures.has(Measure::CoolingUnit) {
        cooling_unit(&surroundings::to_be_cooled(facts, losses, kept)?, rec)?;
    } else if measures.has(Measure::Exchanger) {
        exchanger(&surroundings::to_be_cooled(facts, losses, kept)?, settle.altitude, rec)?;
    } else {
        ventilation(losses, FAN_RISE, FanConstant::Air(settle.room), LEFT_BY_FILTERS, settle.altitude, rec)?;
    }
    Ok(())
}

/// Share of a fan's free flow that filters, grilles and the box leave. Common practice, no source.
const LEFT_BY_FILTERS: Ratio = Ratio::percent(65.0);

fn remedies(unit: &Candidate<'_>) -> Vec<Remedy> {
    let mut list = crate::rating::site_current_short::more_current(unit);
    list.extend(super::door_stays_open::through_wall(unit));
    list
}

/// Cooling for the box.
pub(crate) fn cooled_box() -> [Remedy; 3] {
    [
        Remedy {
            measure: Measure::FilterFan,
            what:
                "fit a filter fan and an exhaust filter to the box, rated for the place; its flow stands in the working of box/air-too-hot"
                    .into(),
            parts: None,
            minutes: 120.0,
        },
        Remedy {
            measure: Measure::Exchanger,
            what: "fit an air-to-air heat exchanger to the box, rated for the place; what it must carry stands in the working of \
                   box/air-too-hot"
                .into(),
            parts: None,
            minutes: 180.0,
        },
        Remedy {
            measure: Measure::CoolingUnit,
            what: "fit a cooling unit to the box, rated for the place; its capacity stands in the working of box/air-too-hot".into(),
            parts: None,
            minutes: 240.0,
        },
    ]
}

#[cfg(test)]
mod tests {
    use plant::choice::Duty;
    use plant::position::{Neighbour, Position};

    use super::*;
    use crate::facts::Survey;
    use crate::fixture::{Entries, GOOD_PLACE, by_hand, changed, is_open, is_silent, near, position, said, unit, with};

    /// 50 A without end. R1, 65 A: 900 W at rated load and, where nothing is printed, at any load; with 100 W of control gear 1000 W.
    fn steady<'a>(room: &'a str, place: Entries<'a>) -> Vec<(&'a str, &'a str)> {
        [
            GOOD_PLACE,
            &[("load.current", "50 A"), ("load.peak_current", "50 A"), ("box.housing", "cabinet"), ("box.other_losses", "100 W")],
            &[("box.room_temperature", room)],
            place,
        ]
        .concat()
    }

    /// 0.1 W/K for each watt: 10 K.
    const EXCHANGER: Entries<'static> = &[("box.cooling", "exchanger"), ("box.exchange", "100 W/K")];

    #[test]
    fn warm_air_takes_its_share_of_the_current() {
        let small = unit("R1", Duty::Light);
        // 30 °C + 1000 W/(100 W/K) = 40 °C takes nothing: 65/50.
        by_hand(&CHECK, &steady("30 °C", EXCHANGER), &small, 30.0);
        // 35 + 10 = 45 °C leaves 95 %: 61.75/50.
        by_hand(&CHECK, &steady("35 °C", EXCHANGER), &small, 23.5);
        // In a room the unit heats nobody: 45 °C, 61.75/50.
        let room = [&steady("45 °C", EXCHANGER)[..], &[("box.housing", "room")]].concat();
        let room: Vec<_> = room.into_iter().filter(|(k, v)| *k != "box.housing" || *v == "room").collect();
        by_hand(&CHECK, &room, &small, 23.5);
    }

    #[test]
    fn a_drive_that_folds_back_settles_where_current_and_air_agree() {
        // Idle losses of 0 W: P = 100 + 900·I/65. Air 40 °C + P/(100 W/K); I = 65·(1 − (air − 40)/100) A.
        // With x = I/65: air − 40 = 1 + 9x, x = 1 − 0.01 − 0.09x, x = 0.99/1.09 = 0.90826, I = 59.037 A. Asked: 60 A: −1.61 %.
        let idle = changed("R1", Duty::Light, |s| s.ratings.iter_mut().for_each(|r| r.idle_losses = Some(Power::ZERO)));
        let hot =
            |room| -> Vec<_> { steady(room, EXCHANGER).into_iter().map(|(k, v)| if v == "50 A" { (k, "60 A") } else { (k, v) }).collect() };
        by_hand(&CHECK, &hot("40 °C"), &idle, -1.61);
        // At 42 °C the documents end first, at 50 °C: 2 + 1 + 9x = 10, x = 7/9, 50.556 A.
        by_hand(&CHECK, &hot("42 °C"), &idle, -15.74);
    }

    #[test]
    fn neighbours_and_added_parts_heat_as_well() {
        let with_neighbour = |losses| Position {
            neighbours: vec![Neighbour { tag: "T-2".into(), losses, stands: None }],
            ..position(&steady("30 °C", EXCHANGER))
        };
        let small = unit("R1", Duty::Light);
        // 1500 W: 45 °C.
        let hot = with_neighbour(Some(Power::w(500.0)));
        near(said(&CHECK, &Survey::new(&hot), &small).outcome, 23.5, 0.005);
        let unknown = with_neighbour(None);
        assert!(matches!(said(&CHECK, &Survey::new(&unknown), &small).outcome, Err(Stop::PackSilent(_))));
    }

    #[test]
    fn bought_cooling_keeps_what_it_is_sized_for() {
        let small = unit("R1", Duty::Light);
        let sealed = [
            ("box.cooling", "closed"),
            ("box.width", "600 mm"),
            ("box.height", "800 mm"),
            ("box.depth", "300 mm"),
            ("box.standing", "wall"),
            ("box.top_covered", "no"),
            ("box.rating", "type-12"),
        ];
        // A fan keeps 35 °C + 10 K: 45 °C; a cooling unit keeps 35 °C.
        by_hand(&CHECK, &steady("35 °C", &sealed), &with(&CHECK, &small, Measure::FilterFan), 23.5);
        by_hand(&CHECK, &steady("45 °C", &sealed), &with(&CHECK, &small, Measure::CoolingUnit), 30.0);
        by_hand(&CHECK, &steady("35 °C", &sealed), &with(&CHECK, &small, Measure::Exchanger), 23.5);
        // No fan keeps jets of water out: it changes nothing there.
        let wet: Vec<_> = steady("35 °C", &sealed).into_iter().map(|(k, v)| if v == "type-12" { (k, "type-4") } else { (k, v) }).collect();
        let margin = |unit: &Candidate<'_>| crate::fixture::outcome(&CHECK, &wet, unit);
        assert_eq!(margin(&with(&CHECK, &small, Measure::FilterFan)), margin(&small));
    }

    #[test]
    fn an_unmeasured_box_and_a_silent_pack_give_no_verdict() {
        is_open(&CHECK, &steady("30 °C", &[("box.cooling", "closed")]), &unit("R1", Duty::Light), "box.width");
        let silent = changed("R1", Duty::Light, |s| s.ratings.iter_mut().for_each(|r| r.losses = None));
        is_silent(&CHECK, &steady("30 °C", EXCHANGER), &silent, "losses");
        let fast = [&steady("30 °C", EXCHANGER)[..], &[("conditions.carrier", "8 kHz")]].concat();
        is_silent(&CHECK, &fast, &unit("R1", Duty::Light), "another carrier");
    }
}
