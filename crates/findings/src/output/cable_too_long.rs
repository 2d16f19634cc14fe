//! The motor cable is longer than the unit may feed.

use calc::sources::{Knowledge, PACK, SURVEY, Source};
use calc::working::{Recorder, Step};
use plant::choice::{OutputFilter, YesNo};
use plant::quantity::Resistance;
use plant::survey::{CABLE_LENGTH, CABLE_SCREENED, CABLE_TOTAL, MOTOR_COUNT, OUTPUT_FILTER, SUPPLY_HIGHEST};

use crate::candidate::{Candidate, Measure};
use crate::check::{Outcome, Way, check, covered};
use crate::facts::{Reader, Stop};
use crate::output::{motor_filter, side};

check! {
    name: "output/cable-too-long",
    severity: Downtime,
    rows: &[34],
    unit: "%",
    ways: &[(CABLE_LENGTH.id, Way::Down), (CABLE_TOTAL.id, Way::Down), (MOTOR_COUNT.id, Way::Down)],
    measures: &[Measure::MotorFilter, Measure::NoOutputFilter],
    page: "cable_too_long.md",
    run: run,
    remedies: motor_filter,
}

/// Surge impedance for the current of the first edge.
const SURGE: Resistance = Resistance::ohm(80.0);
/// Where it comes from.
const HABIT: Source = Source::new("surge impedance of a motor cable 40 to 100 Ω: common practice", Knowledge::CommonPractice);

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let stays = !unit.measures.has(Measure::NoOutputFilter);
    // Behind a filter the unit feeds the filter, and the filter's own papers say how long a cable it feeds.
    if unit.measures.has(Measure::MotorFilter) || (stays && matches!(facts.get(OUTPUT_FILTER)?, OutputFilter::Sine | OutputFilter::DvDt)) {
        return Ok(Outcome::NotHere);
    }
    let side = side(unit)?;
    let (longest, silent) = match facts.get(CABLE_SCREENED)? {
        YesNo::Yes => (side.cable_screened, "its longest screened motor cable (motor.csv, cable_screened)"),
        YesNo::No => (side.cable_unscreened, "its longest unscreened motor cable (motor.csv, cable_unscreened)"),
    };
    let longest = longest.ok_or(Stop::PackSilent(silent))?;
    let length = match facts.find(CABLE_TOTAL)? {
        Some(total) => total,
        None => facts.get(CABLE_LENGTH)? * facts.get(MOTOR_COUNT)?.in_count(),
    };
    rec.step(|| Step::new("l", "motor cable, all runs together", "", &SURVEY).gives(length));
    rec.step(|| Step::new("l_max", "longest that the unit feeds", "", &PACK).gives(longest));
    let edge = facts.get(SUPPLY_HIGHEST)? * std::f64::consts::SQRT_2 / SURGE;
    rec.step(|| {
        Step::new("Î", "current of each edge into the cable", "√2·U/Z_0", &HABIT)
            .gives(edge)
            .note(format!("beside the unit's {} of continuous current; it does not decide here", unit.rating.current))
    });
    Ok(covered(rec, "l_max/l − 1", ("l_max", longest), ("l", length)))
}

#[cfg(test)]
mod tests {
    use plant::choice::Duty;

    use super::*;
    use crate::fixture::{by_hand, changed, is_not_here, is_silent, just_covered, unit, with};

    fn cable<'a>(length: &'a str, screened: &'a str, motors: &'a str) -> [(&'a str, &'a str); 5] {
        [
            ("output.filter", "none"),
            ("cable.length", length),
            ("cable.screened", screened),
            ("motor.count", motors),
            ("supply.highest", "500 V"),
        ]
    }

    #[test]
    fn all_runs_together_against_what_the_unit_feeds() {
        let unit = unit("R1", Duty::Heavy);
        just_covered(&CHECK, &cable("50 m", "yes", "1"), &unit);
        by_hand(&CHECK, &cable("60 m", "no", "1"), &unit, 66.67);
        by_hand(&CHECK, &cable("60 m", "no", "4"), &unit, -58.33);
        by_hand(&CHECK, &[&cable("60 m", "no", "4")[..], &[("cable.total", "125 m")]].concat(), &unit, -20.0);
        is_not_here(&CHECK, &cable("60 m", "no", "4"), &with(&CHECK, &unit, Measure::MotorFilter));
        let silent = changed("R1", Duty::Heavy, |s| s.motor_sides[0].cable_screened = None);
        is_silent(&CHECK, &cable("50 m", "yes", "1"), &silent, "cable_screened");
    }
}
