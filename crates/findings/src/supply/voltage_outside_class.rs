//! The supply's voltage, over the day, leaves what the unit's voltage class stands.

use calc::supply::window::{VoltageRange, supply_window};
use calc::working::Recorder;
use plant::survey::{SUPPLY_HIGHEST, SUPPLY_LOWEST};

use crate::candidate::Candidate;
use crate::check::{Outcome, Way, check, no_remedy};
use crate::facts::{Reader, Stop};

check! {
    name: "supply/voltage-outside-class",
    severity: Equipment,
    rows: &[8],
    unit: "%",
    ways: &[(SUPPLY_LOWEST.id, Way::Up), (SUPPLY_HIGHEST.id, Way::Down)],
    measures: &[],
    page: "voltage_outside_class.md",
    run: run,
    remedies: no_remedy,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let (lowest, highest) = (facts.get(SUPPLY_LOWEST)?, facts.get(SUPPLY_HIGHEST)?);
    let allowed = VoltageRange { lowest: unit.class.lowest, highest: unit.class.highest };
    if lowest > highest {
        // Two ranges that overlap: each end is looked at by itself.
        let below = supply_window(VoltageRange { lowest, highest: lowest }, allowed, rec)?.low_margin;
        let above = supply_window(VoltageRange { lowest: highest, highest }, allowed, rec)?.high_margin;
        return Ok(Outcome::Margin(below.min(above).in_percent()));
    }
    Ok(Outcome::Margin(supply_window(VoltageRange { lowest, highest }, allowed, rec)?.margin().in_percent()))
}

#[cfg(test)]
mod tests {
    use plant::choice::Duty;

    use super::*;
    use crate::fixture::{by_hand, is_open, just_covered, unit};

    /// Lowest and highest voltage of the day against a class of 342 to 528 V (380 V − 10 % to 480 V + 10 %).
    fn line<'a>(lowest: &'a str, highest: &'a str) -> [(&'a str, &'a str); 2] {
        [("supply.lowest", lowest), ("supply.highest", highest)]
    }

    #[test]
    fn the_nearer_end_of_the_window_counts() {
        let unit = unit("R1", Duty::Heavy);
        by_hand(&CHECK, &line("455 V", "497 V"), &unit, 5.87); // above 31/528; below 113/342 = 33 %
        by_hand(&CHECK, &line("360 V", "410 V"), &unit, 5.26); // below 18/342; above 118/528 = 22 %
    }

    #[test]
    fn the_window_ends_where_it_ends() {
        let unit = unit("R1", Duty::Heavy);
        just_covered(&CHECK, &line("455 V", "528 V"), &unit);
        just_covered(&CHECK, &line("342 V", "497 V"), &unit);
    }

    #[test]
    fn outside_it_fails_whichever_end_it_is() {
        let unit = unit("R1", Duty::Heavy);
        by_hand(&CHECK, &line("540 V", "632.5 V"), &unit, -19.79); // a 575 V supply: −104.5/528
        by_hand(&CHECK, &line("187.2 V", "228.8 V"), &unit, -45.26); // a 208 V supply: −154.8/342
    }

    #[test]
    fn ends_of_ranges_that_overlap_are_looked_at_one_by_one() {
        by_hand(&CHECK, &line("500 V", "460 V"), &unit("R1", Duty::Heavy), 12.88); // above 68/528; below 158/342 = 46 %
    }

    #[test]
    fn nominal_stands_for_readings_and_nothing_for_nominal() {
        // The middle of the assumed ranges: 0.95 and 1.05 times 480 V; above (528 − 504)/528.
        by_hand(&CHECK, &[("supply.voltage", "480 V")], &unit("R1", Duty::Heavy), 4.55);
        is_open(&CHECK, &[], &unit("R1", Duty::Heavy), "motor.voltage");
    }
}
