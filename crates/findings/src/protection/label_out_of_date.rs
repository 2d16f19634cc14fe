//! The replacement changes what an arc-flash label was worked out from.

use calc::feeder::label::LABELS;
use calc::working::Recorder;
use plant::choice::Choice;

use crate::candidate::Candidate;
use crate::check::{Outcome, check, holds_if, no_remedy};
use crate::facts::{Reader, Stop};
use crate::line::{as_found, best};

check! {
    name: "protection/label-out-of-date",
    severity: Nuisance,
    rows: &[18, 19],
    unit: "",
    ways: &[],
    measures: &[],
    page: "label_out_of_date.md",
    run: run,
    remedies: no_remedy,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    if best(unit).is_none() {
        return Err(Stop::PackSilent("the protection that it is listed with (protections.csv)"));
    }
    let found = as_found(facts, unit)?;
    let stays = found.within().is_some();
    Ok(holds_if(
        rec,
        stays,
        || {
            let device = format!("{} of {}", found.device.word(), found.rating);
            if stays {
                format!("{device} stays: the device that the study went by is unchanged")
            } else {
                format!(
                    "{device} has to be changed for this unit: the study behind the label went by it; treat the label as void until the study is renewed"
                )
            }
        },
        &LABELS,
    ))
}

#[cfg(test)]
mod tests {
    use plant::choice::Duty;

    use super::*;
    use crate::fixture::{by_hand, is_open, unit};

    #[test]
    fn another_device_asks_for_another_study() {
        let unit = unit("R1", Duty::Heavy);
        by_hand(&CHECK, &[("protection.device", "fuse class J"), ("protection.rating", "80 A")], &unit, 1.0);
        by_hand(&CHECK, &[("protection.device", "fuse class J"), ("protection.rating", "100 A")], &unit, -1.0);
        by_hand(&CHECK, &[("protection.device", "fuse class RK5"), ("protection.rating", "80 A")], &unit, -1.0);
        is_open(&CHECK, &[("protection.device", "fuse class J")], &unit, "protection.rating");
    }
}
