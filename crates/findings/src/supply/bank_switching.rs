//! A capacitor bank that is switched close by lifts the DC bus to its trip, and nothing damps it.

use calc::sources::{Knowledge, Source};
use calc::working::{Recorder, Step};
use plant::choice::YesNo;
use plant::quantity::Ratio;
use plant::survey::{REACTOR, SWITCHED_CAPACITORS};

use crate::candidate::{Candidate, Measure};
use crate::check::{Outcome, Way, check};
use crate::facts::{Reader, Stop};
use crate::line::{ahead, line_reactor};

check! {
    name: "supply/bank-switching",
    severity: Downtime,
    rows: &[24],
    unit: "%",
    ways: &[(REACTOR.id, Way::Up)],
    measures: &[Measure::LineReactor, Measure::NoLineReactor],
    page: "bank_switching.md",
    run: run,
    remedies: line_reactor,
}

/// Least choke or reactor that is asked for there.
const LEAST: Ratio = Ratio::percent(3.0);
/// Why.
const HABIT: Source = Source::new(
    "a line reactor or DC choke of 3 % keeps the transient of a switched bank from most DC links; habit of the trade",
    Knowledge::CommonPractice,
);

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    if facts.find(SWITCHED_CAPACITORS)? != Some(YesNo::Yes) {
        return Ok(Outcome::NotHere);
    }
    let fitted = ahead(facts, unit, rec)?;
    let margin = fitted - LEAST;
    rec.step(|| {
        Step::new("margin", "choke and reactor above the least", "z_c + z_r − 3 %", &HABIT).with("z_c + z_r", fitted).gives(margin)
    });
    Ok(Outcome::Margin(margin.in_percent()))
}

#[cfg(test)]
mod tests {
    use plant::choice::Duty;

    use super::*;
    use crate::fixture::{by_hand, changed, is_not_here, unit, with};

    #[test]
    fn three_percent_of_choke_or_reactor_is_asked_for() {
        let at = |reactor| [("supply.switched_capacitors", "yes"), ("supply.reactor", reactor)];
        let bare = unit("R1", Duty::Heavy);
        by_hand(&CHECK, &at("0 %"), &bare, -3.0);
        by_hand(&CHECK, &at("5 %"), &bare, 2.0);
        by_hand(&CHECK, &at("0 %"), &with(&CHECK, &bare, Measure::LineReactor), 0.0);
        let choke = changed("R1", Duty::Heavy, |s| s.line_sides[0].choke = Some(Ratio::percent(4.0)));
        by_hand(&CHECK, &at("0 %"), &choke, 1.0);
    }

    #[test]
    fn where_none_is_known_of_the_fault_is_not_here() {
        is_not_here(&CHECK, &[("supply.switched_capacitors", "no")], &unit("R1", Duty::Heavy));
        is_not_here(&CHECK, &[], &unit("R1", Duty::Heavy));
    }
}
