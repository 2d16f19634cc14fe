//! The unit's standing leakage trips the residual-current device ahead, or its direct current blinds it.

use calc::feeder::earth::{Rectifier, Residual, THIRTY, leakage};
use calc::working::{Recorder, Step};
use plant::choice::ResidualDevice;
use plant::quantity::{Current, Ratio};
use plant::survey::{RESIDUAL, RESIDUAL_RATING};

use crate::candidate::{Candidate, Measure, Remedy};
use crate::check::{Outcome, Way, check};
use crate::facts::{Reader, Stop};
use crate::line::side;

check! {
    name: "supply/residual-device-trips",
    severity: Injury,
    rows: &[17],
    unit: "%",
    ways: &[(RESIDUAL_RATING.id, Way::Up)],
    measures: &[Measure::OtherResidualDevice],
    page: "residual_device_trips.md",
    run: run,
    remedies: remedies,
}

/// The device that is fitted instead.
const OTHER: Current = Current::ma(300.0);
/// Share of the rating that may stand.
const MAY_STAND: Ratio = Ratio::percent(30.0);
/// What the margin is where the type is blind to what the unit passes.
const BLIND: f64 = -100.0;

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let other = unit.measures.has(Measure::OtherResidualDevice);
    let kind = match facts.get(RESIDUAL)? {
        ResidualDevice::None => return Ok(Outcome::NotHere),
        _ if other => Residual::B,
        ResidualDevice::Ac => Residual::Ac,
        ResidualDevice::A => Residual::A,
        ResidualDevice::F => Residual::F,
        ResidualDevice::B => Residual::B,
    };
    let own = side(unit)?.leakage.ok_or(Stop::PackSilent("its leakage current to earth (line.csv, leakage)"))?;
    let rated = if other { OTHER } else { facts.get(RESIDUAL_RATING)? };
    // A unit that may be fed from two lines passes smooth direct current as well as one on three.
    let found = leakage(&[own], Current::ZERO, rated, kind, Rectifier::ThreePhase, rec)?;
    if !found.type_fits {
        return Ok(Outcome::Margin(BLIND));
    }
    let margin = MAY_STAND - found.share;
    rec.step(|| {
        Step::new("margin", "room below what may stand", "30 % − s", &THIRTY)
            .with("s", found.share)
            .gives(margin)
            .note("this unit alone; what else stands behind the device comes on top")
    });
    Ok(Outcome::Margin(margin.in_percent()))
}

fn remedies(_: &Candidate<'_>) -> Vec<Remedy> {
    vec![Remedy {
        measure: Measure::OtherResidualDevice,
        what: "fit a residual-current device of type B, 300 mA, in place of the old one, where code and purpose allow that rating".into(),
        parts: None,
        minutes: 90.0,
    }]
}

#[cfg(test)]
mod tests {
    use plant::choice::Duty;

    use super::*;
    use crate::fixture::{by_hand, is_not_here, is_open, remedied, unit};

    fn at<'a>(kind: &'a str, rating: &'a str) -> [(&'a str, &'a str); 2] {
        [("protection.residual", kind), ("protection.residual_rating", rating)]
    }

    #[test]
    fn leakage_against_30_percent_and_the_type_first() {
        // R1: 12 mA.
        let unit = unit("R1", Duty::Heavy);
        by_hand(&CHECK, &at("B", "300 mA"), &unit, 26.0); // 12/300 = 4 %
        by_hand(&CHECK, &at("B", "30 mA"), &unit, -10.0); // 40 %
        by_hand(&CHECK, &at("A", "300 mA"), &unit, -100.0);
        by_hand(&CHECK, &at("AC", "30 mA"), &remedied(&CHECK, &unit), 26.0);
    }

    #[test]
    fn without_a_device_there_is_nothing_to_trip() {
        is_not_here(&CHECK, &[("protection.residual", "none")], &unit("R1", Duty::Heavy));
        is_not_here(&CHECK, &[], &unit("R1", Duty::Heavy));
        is_open(&CHECK, &[("protection.residual", "B")], &unit("R1", Duty::Heavy), "protection.residual_rating");
    }
}
