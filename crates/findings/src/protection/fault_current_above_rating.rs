//! The fault current at the panel lies above the lowest short-circuit rating of the path.

use calc::feeder::rating::{Rated, path_rating};
use calc::sources::PACK;
use calc::working::Recorder;
use plant::choice::Choice;
use plant::survey::{DEVICE_RATING, DISCONNECT_RATING, FAULT_CURRENT, PANEL_RATING, TRANSFORMER, TRANSFORMER_IMPEDANCE};

use crate::candidate::{Candidate, Measure, Remedy};
use crate::check::{Outcome, Way, check, holds_if};
use crate::facts::{Reader, Stop};
use crate::line::{fitted, listed_device};

check! {
    name: "protection/fault-current-above-rating",
    severity: Injury,
    rows: &[18],
    unit: "%",
    ways: &[
        (FAULT_CURRENT.id, Way::Down),
        (TRANSFORMER.id, Way::Down),
        (TRANSFORMER_IMPEDANCE.id, Way::Up),
        (PANEL_RATING.id, Way::Up),
        (DISCONNECT_RATING.id, Way::Up),
        (DEVICE_RATING.id, Way::Down),
    ],
    measures: &[Measure::ListedDevice, Measure::RatedDisconnect],
    page: "fault_current_above_rating.md",
    run: run,
    remedies: remedies,
}

/// What the margin is where no document gives the unit a rating with the device that is there.
const NOT_RATED: f64 = -100.0;

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let device = fitted(facts, unit)?;
    let Some(row) = device.within() else {
        holds_if(rec, false, || format!("no document rates the unit behind {} of {}", device.device.word(), device.rating), &PACK);
        return Ok(Outcome::Margin(NOT_RATED));
    };
    let mut parts =
        vec![Rated { name: format!("the unit behind {}", device.device.word()), own: None, combined: Some(row.short_circuit_rating) }];
    if !unit.measures.has(Measure::RatedDisconnect)
        && let Some(rating) = facts.find(DISCONNECT_RATING)?
    {
        parts.push(Rated { name: "the disconnect between drive and motor".into(), own: Some(rating), combined: None });
    }
    let available = facts.get(FAULT_CURRENT)?;
    parts.push(Rated { name: "panel and disconnects ahead".into(), own: Some(facts.get(PANEL_RATING)?), combined: None });
    let path = path_rating(&parts, available, rec)?;
    let lowest = path.at_most.unwrap_or_default();
    Ok(Outcome::Margin((lowest / available - 1.0) * 100.0))
}

fn remedies(unit: &Candidate<'_>) -> Vec<Remedy> {
    let mut list = listed_device(unit);
    list.push(Remedy {
        measure: Measure::RatedDisconnect,
        what: "replace the disconnect between drive and motor by one rated for the fault current at the panel, with an early-break contact"
            .into(),
        parts: None,
        minutes: 150.0,
    });
    list
}

#[cfg(test)]
mod tests {
    use plant::choice::Duty;

    use super::*;
    use crate::fixture::{by_hand, is_open, just_covered, unit, with};

    fn at<'a>(more: &[(&'a str, &'a str)]) -> Vec<(&'a str, &'a str)> {
        let usual = [
            ("protection.device", "fuse class J"),
            ("protection.rating", "80 A"),
            ("protection.panel_rating", "65 kA"),
            ("supply.fault_current", "20 kA"),
        ];
        usual.iter().filter(|(key, _)| more.iter().all(|(k, _)| k != key)).chain(more).copied().collect()
    }

    #[test]
    fn the_weakest_part_of_the_path_counts() {
        // R1: 100 kA behind class J up to 90 A, 25 kA behind a breaker up to 100 A.
        let unit = unit("R1", Duty::Heavy);
        by_hand(&CHECK, &at(&[]), &unit, 225.0); // 65/20
        by_hand(&CHECK, &at(&[("protection.device", "breaker")]), &unit, 25.0); // 25/20
        by_hand(&CHECK, &at(&[("protection.device", "breaker"), ("supply.fault_current", "31.4 kA")]), &unit, -20.38); // 25/31.4
        by_hand(&CHECK, &at(&[("protection.disconnect_rating", "10 kA")]), &unit, -50.0); // 10/20
        let rated = with(&CHECK, &unit, Measure::RatedDisconnect);
        by_hand(&CHECK, &at(&[("protection.disconnect_rating", "10 kA")]), &rated, 225.0);
        just_covered(&CHECK, &at(&[("protection.panel_rating", "20 kA")]), &unit);
    }

    #[test]
    fn a_device_of_no_list_gives_no_rating_until_it_is_changed() {
        let unit = unit("R1", Duty::Heavy);
        by_hand(&CHECK, &at(&[("protection.device", "fuse class RK5")]), &unit, -100.0);
        by_hand(&CHECK, &at(&[("protection.rating", "100 A")]), &unit, -100.0);
        let listed = with(&CHECK, &unit, Measure::ListedDevice);
        by_hand(&CHECK, &at(&[("protection.device", "fuse class RK5")]), &listed, 225.0);
    }

    #[test]
    fn a_transformer_stands_for_a_fault_current_and_nothing_for_a_transformer() {
        // 1000 kVA of 5.75 % at 480 V: 1202.8/0.0575 = 20 918 A bolted (handbook case); the middle between a fifth and all: 12 551 A.
        let unit = unit("R1", Duty::Heavy);
        let plates = [
            ("protection.device", "breaker"),
            ("protection.rating", "80 A"),
            ("protection.panel_rating", "65 kA"),
            ("supply.voltage", "480 V"),
            ("supply.transformer", "1000 kVA"),
            ("supply.transformer_impedance", "5.75 %"),
        ];
        by_hand(&CHECK, &plates, &unit, 99.19); // 25/12.551
        is_open(&CHECK, &plates[..4], &unit, "supply.transformer");
    }
}
