//! The new unit turns the shaft to learn the motor.

use calc::sources::PACK;
use calc::working::Recorder;

use crate::candidate::{Candidate, Measure};
use crate::check::{Outcome, check, holds_if};
use crate::facts::{Reader, Stop};
use crate::settings::look::by_sheet;

check! {
    name: "settings/identification-turns-shaft",
    severity: Injury,
    rows: &[95],
    unit: "",
    ways: &[],
    measures: &[Measure::SettingsSheet],
    page: "identification_turns_shaft.md",
    run: run,
    remedies: super::sheet,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let Some(pair) = facts.settings(unit, &[])? else { return Ok(Outcome::NotHere) };
    if pair.new_setting("motor-identification", 1).is_none() {
        return Ok(Outcome::NotHere);
    }
    let still = pair.takes("motor-identification", 1, "standstill") || pair.takes("motor-identification", 1, "none");
    let delivered = pair
        .delivered("motor-identification", 1)
        .ok_or(Stop::PackSilent("how it learns the motor as delivered (settings.csv, default)"))?;
    let holds = if by_sheet(unit) { still } else { delivered != "rotating" };
    let what = || {
        let way = if still { "it can learn it at standstill" } else { "it has no other way" };
        format!("as delivered it learns the motor by “{delivered}”; {way}")
    };
    Ok(holds_if(rec, holds, what, &PACK))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::settings::cases::{List, is, word};

    #[test]
    fn the_shaft_stays_where_it_is() {
        let list = |new: &str, can: &[&str]| List::of(word("flux-braking", 1, "off"), word("motor-identification", 1, new).able(can));
        is(&CHECK, &list("none", &["none", "rotating"]), false, true);
        is(&CHECK, &list("rotating", &["standstill", "rotating"]), false, false);
        is(&CHECK, &list("rotating", &["standstill", "rotating"]), true, true);
        is(&CHECK, &list("rotating", &["rotating"]), true, false);
    }
}
