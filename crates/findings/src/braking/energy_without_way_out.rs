//! The load drives the motor at a stop or on its way down, and the unit has no way to get rid of that power.

use calc::sources::PACK;
use calc::working::{Recorder, Step};
use plant::choice::Presence;
use plant::quantity::Power;
use plant::survey::{
    LOAD_INERTIA, MOTOR_BREAKDOWN, MOTOR_CURRENT, MOTOR_EFFICIENCY, MOTOR_NO_LOAD_CURRENT, MOTOR_POWER_FACTOR, MOTOR_SPEED, SPEED_HIGHEST,
    STOP_TIME,
};

use crate::braking::returned::{has_chopper, returned};
use crate::candidate::{Candidate, Measure, Remedy};
use crate::check::{Outcome, Way, check, covered};
use crate::facts::{Reader, Stop};

check! {
    name: "braking/energy-without-way-out",
    severity: Injury,
    rows: &[46],
    unit: "%",
    ways: &[
        (LOAD_INERTIA.id, Way::Down), (STOP_TIME.id, Way::Up), (MOTOR_EFFICIENCY.id, Way::Down), (SPEED_HIGHEST.id, Way::Down),
        (MOTOR_SPEED.id, Way::Down), (MOTOR_NO_LOAD_CURRENT.id, Way::Up), (MOTOR_BREAKDOWN.id, Way::Up), (MOTOR_POWER_FACTOR.id, Way::Up),
        (MOTOR_CURRENT.id, Way::Up),
    ],
    measures: &[Measure::Chopper],
    page: "energy_without_way_out.md",
    run: run,
    remedies: chopper,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let Some(bus) = returned(facts, rec)? else { return Ok(Outcome::NotHere) };
    let frame = unit.frame;
    if !has_chopper(unit) {
        let losses = unit.rating.losses.ok_or(Stop::PackSilent("losses of the unit"))?;
        rec.step(|| {
            Step::new("P_loss", "power that the unit's own losses take", "", &PACK)
                .gives(losses.electric())
                .note("no brake chopper; losses at rated load, less at part load")
        });
        return Ok(covered(rec, "P_loss/P_bus − 1", ("P_loss", losses.electric()), ("P_bus", bus.electric())));
    }
    let (Some(level), Some(smallest)) = (frame.chopper_level, frame.chopper_smallest) else {
        return Err(Stop::PackSilent("chopper level and smallest resistor of the frame"));
    };
    let most = Power::si(level.in_si() * level.in_si() / smallest.in_si());
    rec.step(|| {
        Step::new("P_chop", "most that the chopper takes, with its smallest resistor", "U_on²/R_min", &PACK)
            .with("U_on", level)
            .with("R_min", smallest)
            .gives(most.electric())
            .note("the resistor itself is not examined here: ohms, watts and its thermal contact remain to be checked")
    });
    Ok(covered(rec, "P_chop/P_bus − 1", ("P_chop", most.electric()), ("P_bus", bus.electric())))
}

/// The chopper, where it can be ordered.
pub(crate) fn chopper(unit: &Candidate<'_>) -> Vec<Remedy> {
    if unit.frame.chopper != Presence::Optional {
        return Vec::new();
    }
    vec![Remedy {
        measure: Measure::Chopper,
        what: "order the brake chopper; size or re-check the resistor, its thermal contact dropping the line".into(),
        parts: unit.frame.chopper_price,
        minutes: 90.0,
    }]
}

#[cfg(test)]
mod tests {
    use plant::choice::Duty;

    use super::*;
    use crate::fixture::{by_hand, changed, is_not_here, is_open, is_silent, just_covered, remedied, unit};

    /// A rotor of 12 kg·m² that must stop from 1480 rpm in 8 s; 85 % of its power reaches the bus. ω = 154.985 rad/s;
    /// J·ω²/2 = 144.12 kJ; J·ω²/t = 36.031 kW at the shaft, 30.626 kW at the bus.
    const ROTOR: &[(&str, &str)] = &[
        ("load.kind", "high-inertia"),
        ("load.inertia", "12 kg·m²"),
        ("motor.speed", "1480 rpm"),
        ("motor.frequency", "50 Hz"),
        ("motor.efficiency", "85 %"),
        ("speed.highest", "50 Hz"),
        ("stop.need", "timed"),
        ("stop.time", "8 s"),
    ];

    /// A hoist of 30 kW that lowers with 80 % of rated torque: 24 kW come back, 21.6 kW of them to the bus. It may coast.
    const HOIST: &[(&str, &str)] = &[
        ("load.kind", "hoist"),
        ("stop.need", "free"),
        ("motor.power", "30 kW"),
        ("motor.speed", "100 rad/s"),
        ("motor.frequency", "50 Hz"),
        ("motor.current", "60 A"),
        ("motor.breakdown_torque", "220 %"),
        ("motor.efficiency", "90 %"),
        ("duty[1].time", "10 s"),
        ("duty[1].speed", "50 Hz"),
        ("duty[1].torque", "100 %"),
        ("duty[2].time", "10 s"),
        ("duty[2].speed", "-50 Hz"),
        ("duty[2].torque", "-80 %"),
    ];

    /// Lowers with 80 % of rated torque, 24 kW at the full speed, and does so while it speeds up and slows down alone.
    fn ramps<'a>(up: &'a str, down: &'a str) -> Vec<(&'a str, &'a str)> {
        let ramps = [
            ("load.inertia", "4 kg·m²"),
            ("duty[1].time", "0 s"),
            ("duty[1].ramp", "5 s"),
            ("duty[1].speed", "-50 Hz"),
            ("duty[1].torque", up),
            ("duty[2].time", "0 s"),
            ("duty[2].ramp", "5 s"),
            ("duty[2].speed", "0 Hz"),
            ("duty[2].torque", down),
        ];
        [HOIST, &ramps].concat()
    }

    #[test]
    fn a_load_that_drives_is_not_helped_by_speeding_up_and_worse_while_it_slows_down() {
        let large = unit("R2", Duty::Heavy);
        // 4·100²/5 = 8 kW go into the mass while it speeds up, if it does so as the table says: 24 kW count, as at a steady speed. The
        // brake takes all of the way to standstill: +120 % against the motion.
        by_hand(&CHECK, &ramps("-80 %", "120 %"), &large, 48.15);
        // On the way to standstill the load drives with 24 kW and the mass with 8 kW more: 28.8 kW at the bus; 32/28.8 = 1.11111. The row
        // says that the load drives the motion, which is still the lowering.
        by_hand(&CHECK, &ramps("120 %", "-80 %"), &large, 11.11);
    }

    #[test]
    fn a_stop_is_held_against_what_the_smallest_resistor_takes() {
        // 800²/20 = 32 kW: 32/30.626 = 1.04486. With at least 24 Ω 26.667 kW: 0.87072, and no resistor works.
        by_hand(&CHECK, ROTOR, &unit("R2", Duty::Heavy), 4.49);
        by_hand(&CHECK, ROTOR, &remedied(&CHECK, &unit("R1", Duty::Heavy)), -12.93);
        // Twice the top frequency, four times the power: 0.26122.
        by_hand(&CHECK, &[ROTOR, &[("speed.highest", "100 Hz")]].concat(), &unit("R2", Duty::Heavy), -73.88);
    }

    #[test]
    fn just_what_the_chopper_takes() {
        // 10·100²/2.5 = 40 kW, 80 % of it is 32 kW.
        let edge = [("load.inertia", "10 kg·m²"), ("motor.speed", "100 rad/s"), ("motor.efficiency", "80 %"), ("stop.time", "2.5 s")];
        just_covered(&CHECK, &[ROTOR, &edge].concat(), &unit("R2", Duty::Heavy));
    }

    #[test]
    fn without_a_chopper_the_losses_alone_take_power_until_one_is_ordered() {
        // 8·100²/4 = 20 kW, 90 % of it is 18 kW; losses 0.9 kW: 0.05. With the chopper 26.667/18 = 1.48148.
        let quick = [("load.inertia", "8 kg·m²"), ("motor.speed", "100 rad/s"), ("motor.efficiency", "90 %"), ("stop.time", "4 s")];
        let (quick, small) = ([ROTOR, &quick].concat(), unit("R1", Duty::Heavy));
        by_hand(&CHECK, &quick, &small, -95.0);
        by_hand(&CHECK, &quick, &remedied(&CHECK, &small), 48.15);
        // A twentieth of it is just lost in the unit: 80 s.
        just_covered(&CHECK, &[&quick[..], &[("stop.time", "80 s")]].concat(), &small);
        assert!(chopper(&unit("R2", Duty::Heavy)).is_empty(), "it has one already");
        // Where none is to be had, ordering one changes nothing.
        let mut never = changed("R1", Duty::Heavy, |s| s.frames[0].chopper = Presence::Absent);
        never.measures = never.measures.with(Measure::Chopper);
        by_hand(&CHECK, &quick, &never, -95.0);
        assert!(chopper(&never).is_empty());
    }

    #[test]
    fn the_way_down_counts_and_a_stop_on_it_comes_on_top() {
        let large = unit("R2", Duty::Heavy);
        by_hand(&CHECK, HOIST, &large, 48.15); // 32/21.6 = 1.48148
        // 4·100²/4 = 10 kW more: 34 kW, 30.6 kW at the bus; 32/30.6 = 1.04575.
        let held = [("stop.need", "held"), ("stop.time", "4 s"), ("load.inertia", "4 kg·m²"), ("speed.highest", "50 Hz")];
        by_hand(&CHECK, &[HOIST, &held].concat(), &large, 4.58);
    }

    #[test]
    fn a_way_down_that_nobody_wrote_down_is_open() {
        let load = [("load.current", "50 A"), ("motor.current", "60 A"), ("motor.efficiency", "90 %"), ("stop.need", "free")];
        is_open(&CHECK, &[&load[..], &[("load.kind", "hoist")]].concat(), &unit("R2", Duty::Heavy), "duty[1].torque");
        is_open(&CHECK, &[&load[..], &[("load.overhauling", "yes")]].concat(), &unit("R2", Duty::Heavy), "duty[1].torque");
    }

    #[test]
    fn what_drives_back_at_its_stop_alone_is_not_asked_for_a_way_down() {
        let large = unit("R2", Duty::Heavy);
        let free = |kind, says: &[(&'static str, &'static str)]| [&[("load.kind", kind), ("stop.need", "free")], says].concat();
        is_not_here(&CHECK, &free("conveyor", &[]), &large);
        is_not_here(&CHECK, &free("hoist", &[("load.overhauling", "no")]), &large);
        is_not_here(&CHECK, &free("high-inertia", &[("load.overhauling", "yes")]), &large);
        // A bucket elevator is taken to drive back until somebody looked for its backstop.
        let elevator = free("elevator", &[("load.current", "50 A"), ("motor.current", "60 A"), ("motor.efficiency", "90 %")]);
        is_open(&CHECK, &elevator, &large, "duty[1].torque");
        is_not_here(&CHECK, &free("elevator", &[("load.overhauling", "no")]), &large);
    }

    #[test]
    fn an_unknown_inertia_is_open_and_a_pack_may_be_silent() {
        is_open(&CHECK, &[("stop.need", "timed")], &unit("R2", Duty::Heavy), "load.inertia");
        is_silent(&CHECK, ROTOR, &changed("R1", Duty::Heavy, |s| s.ratings[1].losses = None), "losses");
        is_silent(&CHECK, ROTOR, &changed("R2", Duty::Heavy, |s| s.frames[1].chopper_level = None), "chopper level");
        is_silent(&CHECK, ROTOR, &changed("R2", Duty::Heavy, |s| s.frames[1].chopper_smallest = None), "smallest resistor");
    }
}
