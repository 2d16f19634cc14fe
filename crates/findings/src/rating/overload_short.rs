//! The load's cycle asks for more overload than the unit's duty class gives, or does not let it recover.

use calc::drive::overload::{Governed, OverloadPoint};
use calc::sources::{PACK, SURVEY};
use calc::working::{Recorder, Step};
use plant::quantity::{Current, Ratio};
use plant::survey::{AIR_TEMPERATURE, ALTITUDE, SUPPLY_UNBALANCE, WANTED_CARRIER};

use crate::candidate::{Candidate, Measure};
use crate::check::{Outcome, Way, check, covered};
use crate::facts::{Reader, Stop};
use crate::rating::site_current_short::lower_carrier;

check! {
    name: "rating/overload-short",
    severity: Downtime,
    rows: &[1],
    unit: "%",
    ways: &[
        (AIR_TEMPERATURE.id, Way::Down), (ALTITUDE.id, Way::Down), (WANTED_CARRIER.id, Way::Down), (SUPPLY_UNBALANCE.id, Way::Down),
        (plant::survey::LOAD_CURRENT.id, Way::Down), (plant::survey::LOAD_PEAK_CURRENT.id, Way::Down),
        (plant::survey::LOAD_PEAK_TIME.id, Way::Down), (plant::survey::LOAD_STARTS.id, Way::Down),
        (plant::survey::MOTOR_CURRENT.id, Way::Down), (plant::survey::MOTOR_VOLTAGE.id, Way::Up),
        (plant::survey::MOTOR_EFFICIENCY.id, Way::Up), (plant::survey::MOTOR_POWER_FACTOR.id, Way::Up),
    ],
    measures: &[Measure::LowestCarrier],
    page: "overload_short.md",
    run: run,
    remedies: lower_carrier,
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
