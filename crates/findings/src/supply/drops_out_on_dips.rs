//! The DC link is empty before a dip of the line is over.

use calc::braking::link::ride_through;
use calc::sources::{DEFINITION, Knowledge, PACK, SURVEY, Source};
use calc::working::{Recorder, Silent, Step};
use plant::quantity::{Power, Voltage};
use plant::survey::{DIP_LEFT, DIP_TIME, LOAD_CURRENT, MOTOR_EFFICIENCY, MOTOR_POWER, SUPPLY_VOLTAGE};

use crate::candidate::Candidate;
use crate::check::{Outcome, Way, check, covered, holds_if, no_remedy};
use crate::facts::{Reader, Stop};
use crate::line::side;

check! {
    name: "supply/drops-out-on-dips",
    severity: Downtime,
    rows: &[29],
    unit: "%",
    ways: &[(DIP_TIME.id, Way::Down), (DIP_LEFT.id, Way::Up)],
    measures: &[],
    page: "drops_out_on_dips.md",
    run: run,
    remedies: no_remedy,
}

/// Mean of a six-pulse rectifier under load over the line voltage.
pub(crate) const MEAN_OF_LINE: f64 = 1.35;
/// Where it comes from.
pub(crate) const MEAN: Source = Source::new("ideal six-pulse rectifier: U_d = (3·√2/π)·U = 1.35·U", Knowledge::Derived);
/// What the margin is where the unit is not for this line at all.
const OTHER_CLASS: f64 = -100.0;
/// What the margin is where the rectifier goes on feeding during the dip.
const FED: f64 = 100.0;

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let Some(dip) = facts.find(DIP_TIME)? else { return Ok(Outcome::NotHere) };
    let capacitance = unit.frame.bus_capacitance.ok_or(Stop::PackSilent("its bus capacitance (frames.csv, bus_capacitance)"))?;
    let trip =
        side(unit)?.undervoltage.ok_or(Stop::PackSilent("the bus voltage at which it trips on undervoltage (line.csv, undervoltage)"))?;
    let line = facts.get(SUPPLY_VOLTAGE)?;
    if line < unit.class.lowest || line > unit.class.highest {
        // A low trip is no merit in a unit that this line destroys.
        holds_if(rec, false, || format!("the unit's class {} is not for {line}: supply/voltage-outside-class", unit.class.name), &PACK);
        return Ok(Outcome::Margin(OTHER_CLASS));
    }
    let left = facts.get(DIP_LEFT)?;
    let link = |share: f64| Voltage::v(line.in_v() * share * MEAN_OF_LINE);
    let (before, during) = (link(1.0), link(left.in_of_one()));
    rec.step(|| Step::new("U_1", "DC link before the dip", "1.35·U", &MEAN).with("U", line).gives(before));
    rec.step(|| {
        Step::new("U_d", "what the rectifier holds during the dip", "1.35·u·U", &MEAN).with("u", left).with("U", line).gives(during)
    });
    rec.step(|| Step::new("U_2", "undervoltage trip", "", &PACK).gives(trip));
    if during >= trip {
        return Ok(Outcome::Margin(FED));
    }
    let power = drawn_from_link(facts, rec)?;
    if let (Some((frame, _)), Some(old)) = (&facts.position().old_frame, &facts.position().old_line_side)
        && let (Some(c), Some(level)) = (frame.bus_capacitance, old.undervoltage)
        && let Ok(time) = ride_through(c, before, level, power, &mut Silent)
    {
        rec.step(|| {
            Step::new("t_old", "what the old drive rides through", "C·(U_1² − U_2²)/(2·P)", &DEFINITION).gives(time).note("before")
        });
    }
    let time = ride_through(capacitance, before, trip, power, rec)?;
    rec.step(|| Step::new("t_dip", "dip to be ridden through", "", &SURVEY).gives(dip));
    Ok(match covered(rec, "t/t_dip − 1", ("t", time), ("t_dip", dip)) {
        // Riding through for longer than the dip is no better than being fed during it.
        Outcome::Margin(margin) => Outcome::Margin(margin.min(FED)),
        other => other,
    })
}

/// What the link gives the motor at the worst load.
pub(crate) fn drawn_from_link<R: Recorder>(facts: &mut Reader<'_>, rec: &mut R) -> Result<Power, Stop> {
    let (rated, efficiency) = (facts.get(MOTOR_POWER)?, facts.get(MOTOR_EFFICIENCY)?);
    let share = facts.get(LOAD_CURRENT)? / facts.all_motors()?;
    let power = Power::w(rated.in_w() * share / efficiency.in_of_one());
    rec.step(|| {
        Step::new("P", "power drawn from the link", "P_N·(I/I_N)/η", &DEFINITION)
            .with("P_N", rated)
            .with("η", efficiency)
            .gives(power)
            .note("current stands for torque, which errs to the safe side at part load; no power comes back from the load")
    });
    Ok(power)
}

#[cfg(test)]
mod tests {
    use plant::choice::Duty;
    use plant::quantity::Capacitance;

    use super::*;
    use crate::fixture::{by_hand, changed, is_not_here, is_silent, unit};

    fn at<'a>(time: &'a str, left: &'a str) -> [(&'a str, &'a str); 7] {
        [
            ("supply.voltage", "480 V"),
            ("supply.dip_time", time),
            ("supply.dip_left", left),
            ("motor.power", "30 kW"),
            ("motor.efficiency", "93 %"),
            ("motor.current", "50 A"),
            ("load.current", "40 A"),
        ]
    }

    #[test]
    fn energy_of_the_link_against_the_dip() {
        // 3000 µF, 648 V to 400 V: 0.0015·(419 904 − 160 000) = 389.856 J; 30 kW·0.8/0.93 = 25 806 W: 15.107 ms.
        let unit = changed("R1", Duty::Heavy, |s| s.frames[0].bus_capacitance = Some(Capacitance::uf(3000.0)));
        by_hand(&CHECK, &at("10 ms", "0 %"), &unit, 51.07);
        by_hand(&CHECK, &at("100 ms", "50 %"), &unit, -84.89);
        // 70 % of 648 V is 453.6 V: above the trip, the rectifier goes on feeding.
        by_hand(&CHECK, &at("100 ms", "70 %"), &unit, 100.0);
    }

    #[test]
    fn a_unit_of_another_class_does_not_pass_for_its_low_trip() {
        let unit = changed("R1", Duty::Heavy, |s| (s.classes[0].lowest, s.classes[0].highest) = (Voltage::v(180.0), Voltage::v(264.0)));
        by_hand(&CHECK, &at("10 ms", "70 %"), &unit, -100.0);
    }

    #[test]
    fn without_a_dip_no_fault_and_without_capacitance_no_answer() {
        is_not_here(&CHECK, &[], &unit("R1", Duty::Heavy));
        let silent = changed("R1", Duty::Heavy, |s| s.frames[0].bus_capacitance = None);
        is_silent(&CHECK, &at("10 ms", "0 %"), &silent, "bus_capacitance");
    }
}
