//! The fuse or breaker ahead of the unit is of a kind or a size that the unit is not listed with.

use calc::sources::{DEFINITION, PACK, SURVEY};
use calc::working::{Recorder, Step};
use plant::choice::Choice;
use plant::quantity::Ratio;

use crate::candidate::{Candidate, Measure};
use crate::check::{Outcome, check, holds_if};
use crate::facts::{Reader, Stop};
use crate::line::{fitted, input_current, listed_device};

check! {
    name: "protection/device-not-listed",
    severity: Injury,
    rows: &[19, 20],
    unit: "%",
    ways: &[],
    measures: &[Measure::ListedDevice],
    page: "device_not_listed.md",
    run: run,
    remedies: listed_device,
}

/// What the margin is where the unit is not listed with the kind of device at all.
const NOT_LISTED: f64 = -100.0;

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let fitted = fitted(facts, unit)?;
    let Some(row) = fitted.listed else {
        let kinds = || unit.series.listed(&unit.rating.code).map(|p| p.device.word()).collect::<Vec<_>>().join(", ");
        holds_if(rec, false, || format!("{}: the unit is listed with {} alone", fitted.device.word(), kinds()), &PACK);
        return Ok(Outcome::Margin(NOT_LISTED));
    };
    rec.step(|| {
        let source = if unit.measures.has(Measure::ListedDevice) { &PACK } else { &SURVEY };
        Step::new("I_n", format!("rated current of the device, {}", fitted.device.word()), "", source).gives(fitted.rating)
    });
    rec.step(|| Step::new("I_max", "largest rating that the unit is listed with", "", &PACK).gives(row.largest));
    let input = input_current(facts, unit, rec)?;
    let (below, above) = (row.largest / fitted.rating - 1.0, fitted.rating / input - 1.0);
    // Where even the largest listed size lies below the rated input, the documents mean it so: it is not for the device to answer.
    let margin = if fitted.rating >= row.largest { below } else { below.min(above) };
    rec.step(|| {
        Step::new(
            "margin",
            "how far the device lies within the list and above the input current",
            "min(I_max/I_n, I_n/I_in) − 1",
            &DEFINITION,
        )
        .with("I_max", row.largest)
        .with("I_n", fitted.rating)
        .with("I_in", input)
        .gives(Ratio::of_one(margin))
    });
    Ok(Outcome::Margin(margin * 100.0))
}

#[cfg(test)]
mod tests {
    use plant::choice::Duty;

    use super::*;
    use crate::fixture::{by_hand, changed, is_open, is_silent, just_covered, remedied, unit};

    fn with<'a>(device: &'a str, rating: &'a str) -> [(&'a str, &'a str); 3] {
        [("protection.device", device), ("protection.rating", rating), ("supply.phases", "three")]
    }

    #[test]
    fn kind_and_size_must_stand_in_the_list() {
        // R1, 52 A in: class J up to 90 A, breaker up to 100 A.
        let unit = unit("R1", Duty::Heavy);
        by_hand(&CHECK, &with("fuse class J", "80 A"), &unit, 12.5); // 90/80; 80/52 = 54 %
        by_hand(&CHECK, &with("fuse class J", "60 A"), &unit, 15.38); // 60/52; 90/60 = 50 %
        by_hand(&CHECK, &with("breaker", "125 A"), &unit, -20.0); // 100/125
        by_hand(&CHECK, &with("fuse class J", "45 A"), &unit, -13.46); // 45/52: opens in service
        just_covered(&CHECK, &with("fuse class J", "90 A"), &unit);
        by_hand(&CHECK, &with("fuse class RK5", "80 A"), &unit, -100.0);
    }

    #[test]
    fn the_listed_device_settles_it() {
        let listed = remedied(&CHECK, &unit("R1", Duty::Heavy));
        by_hand(&CHECK, &with("fuse class RK5", "80 A"), &listed, 12.5); // class J of 80 A: 90/80
        just_covered(&CHECK, &with("breaker", "200 A"), &listed); // class J of 90 A
    }

    #[test]
    fn nothing_is_assumed_of_fuse_or_list() {
        is_open(&CHECK, &[("protection.device", "breaker")], &unit("R1", Duty::Heavy), "protection.rating");
        let silent = changed("R1", Duty::Heavy, |s| s.protections.clear());
        is_silent(&CHECK, &with("breaker", "80 A"), &silent, "protections.csv");
    }
}
