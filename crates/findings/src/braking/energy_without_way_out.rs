//! The load drives the motor at a stop or on its way down, and the unit has no way to get rid of that power.

use calc::sources::{PACK, PRACTICE, SURVEY};
use calc::working::{Recorder, Step};
use plant::choice::{LoadKind, Presence, StopNeed, YesNo};
use plant::quantity::{Power, Speed};
use plant::survey::{
    LOAD_INERTIA, LOAD_KIND, LOAD_OVERHAULING, MOTOR_BREAKDOWN, MOTOR_CURRENT, MOTOR_EFFICIENCY, MOTOR_FREQUENCY, MOTOR_NO_LOAD_CURRENT,
    MOTOR_POWER_FACTOR, MOTOR_SPEED, SPEED_HIGHEST, STOP_NEED, STOP_TIME,
};

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
    remedies: remedies,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let efficiency = facts.get(MOTOR_EFFICIENCY)?;
    let mut shaft = Power::ZERO;
    if facts.get(STOP_NEED)? != StopNeed::Free {
        let inertia = facts.get(LOAD_INERTIA)?;
        let (rated, base, highest) = (facts.get(MOTOR_SPEED)?, facts.get(MOTOR_FREQUENCY)?, facts.get(SPEED_HIGHEST)?);
        let speed: Speed = rated * (highest / base);
        let time = facts.get(STOP_TIME)?;
        // A stop along a straight ramp meets its largest power at its first moment.
        let deceleration = plant::quantity::AngularAcceleration::si(speed.in_si() / time.in_si());
        shaft = inertia * deceleration * speed;
        rec.step(|| {
            Step::new("P_stop", "power at the shaft at the start of the stop", "J·ω²/t", &calc::sources::DEFINITION)
                .with("J", inertia)
                .with("ω", speed)
                .with("t", time)
                .gives(shaft)
                .note("friction of the machine helps and is left out")
        });
    }
    if drives_in_its_cycle(facts)? {
        let demand = facts.demand()?;
        // A load that drives back in a cycle that nobody has written down with its torques: the way down is open.
        let Some(power) = demand.get()?.regenerated_peak else { return Err(Stop::Open(plant::survey::duty_cell(0, 3))) };
        rec.step(|| {
            Step::new("P_cycle", "largest power that the load drives back in its cycle", "", &SURVEY).gives(power).note(demand.origin())
        });
        // A stop on the way down meets both at once.
        shaft += power;
    }
    if shaft == Power::ZERO {
        return Ok(Outcome::NotHere);
    }
    let bus = shaft * efficiency.in_of_one();
    rec.step(|| {
        Step::new("P_bus", "of that, power that reaches the DC bus", "P·η", &PRACTICE).with("P", shaft).with("η", efficiency).gives(bus)
    });
    let frame = unit.frame;
    let has_chopper = frame.chopper == Presence::Standard || (frame.chopper == Presence::Optional && unit.measures.has(Measure::Chopper));
    if !has_chopper {
        let losses = unit.rating.losses.ok_or(Stop::PackSilent("losses of the unit"))?;
        rec.step(|| {
            Step::new("P_loss", "power that the unit's own losses take", "", &PACK)
                .gives(losses)
                .note("no brake chopper; losses at rated load, less at part load")
        });
        return Ok(covered(rec, "P_loss/P_bus − 1", ("P_loss", losses), ("P_bus", bus)));
    }
    let (Some(level), Some(smallest)) = (frame.chopper_level, frame.chopper_smallest) else {
        return Err(Stop::PackSilent("chopper level and smallest resistor of the frame"));
    };
    let most = Power::si(level.in_si() * level.in_si() / smallest.in_si());
    rec.step(|| {
        Step::new("P_chop", "most that the chopper takes, with its smallest resistor", "U_on²/R_min", &PACK)
            .with("U_on", level)
            .with("R_min", smallest)
            .gives(most)
            .note("the resistor itself is not examined here: ohms, watts and its thermal contact remain to be checked")
    });
    Ok(covered(rec, "P_chop/P_bus − 1", ("P_chop", most), ("P_bus", bus)))
}

/// Whether the load drives the motor while it works, not only at a stop. A heavy rotor does so at its stop alone, and a bucket
/// elevator runs back only when it is released; both are asked for all the same where the survey says so outright.
fn drives_in_its_cycle(facts: &mut Reader<'_>) -> Result<bool, Stop> {
    if facts.get(LOAD_OVERHAULING)? == YesNo::No {
        return Ok(false);
    }
    let at_its_stop_only = match facts.get(LOAD_KIND)? {
        LoadKind::HighInertia => true,
        LoadKind::Elevator => !facts.is_surveyed(LOAD_OVERHAULING),
        _ => false,
    };
    Ok(!at_its_stop_only)
}

fn remedies(unit: &Candidate<'_>) -> Vec<Remedy> {
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
