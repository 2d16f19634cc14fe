//! The power that comes back to the DC link at a stop and in the cycle, and what brakes the motor.

use calc::braking::stop::{Brakes, Moving, resistor_power, shortest_stop};
use calc::sources::{DEFINITION, PACK, PRACTICE, SURVEY};
use calc::working::{Recorder, Step};
use plant::choice::{LoadKind, Presence, StopNeed, YesNo};
use plant::quantity::{AngularAcceleration, Power, Ratio, Speed, Time, Torque};
use plant::survey::{
    LOAD_INERTIA, LOAD_KIND, LOAD_OVERHAULING, MOTOR_BREAKDOWN, MOTOR_EFFICIENCY, MOTOR_FREQUENCY, MOTOR_POWER, MOTOR_SPEED, RESISTOR,
    SPEED_HIGHEST, STOP_NEED, STOP_TIME,
};

use crate::candidate::{Candidate, Measure, Remedy};
use crate::facts::{Reader, Stop};
use crate::output::one;

/// Whether the unit has a brake chopper, as delivered or ordered.
pub(crate) fn has_chopper(unit: &Candidate<'_>) -> bool {
    unit.frame.chopper == Presence::Standard || (unit.frame.chopper == Presence::Optional && unit.measures.has(Measure::Chopper))
}

/// Highest speed of the shaft.
pub(crate) fn highest_speed(facts: &mut Reader<'_>) -> Result<Speed, Stop> {
    let (rated, base, highest) = (facts.get(MOTOR_SPEED)?, facts.get(MOTOR_FREQUENCY)?, facts.get(SPEED_HIGHEST)?);
    Ok(rated * (highest / base))
}

/// Largest power that reaches the DC link; nothing where none comes back.
pub(crate) fn returned<R: Recorder>(facts: &mut Reader<'_>, rec: &mut R) -> Result<Option<Power>, Stop> {
    let efficiency = facts.get(MOTOR_EFFICIENCY)?;
    let mut shaft = Power::ZERO;
    if facts.get(STOP_NEED)? != StopNeed::Free {
        let inertia = facts.get(LOAD_INERTIA)?;
        let speed = highest_speed(facts)?;
        let time = facts.get(STOP_TIME)?;
        // A stop along a straight ramp meets its largest power at its first moment.
        let deceleration = AngularAcceleration::si(speed.in_si() / time.in_si());
        shaft = inertia * deceleration * speed;
        rec.step(|| {
            Step::new("P_stop", "power at the shaft at the start of the stop", "J·ω²/t", &DEFINITION)
                .with("J", inertia)
                .with("ω", speed)
                .with("t", time)
                .gives(shaft)
                .note("friction of the machine helps and is left out")
        });
    }
    // A heavy rotor drives at its stop alone; any other load that can drive the motor does so in its cycle.
    let drives = facts.get(LOAD_OVERHAULING)? == YesNo::Yes && facts.get(LOAD_KIND)? != LoadKind::HighInertia;
    if drives || !facts.position().duty.is_empty() {
        let demand = facts.demand()?;
        match demand.get()?.regenerated_peak {
            Some(power) => {
                rec.step(|| {
                    Step::new("P_cycle", "largest power that the load drives back in its cycle", "", &SURVEY)
                        .gives(power)
                        .note(demand.origin())
                });
                // A stop on the way down meets both at once.
                shaft += power;
            }
            // A load that drives back in a cycle that nobody has written down with its torques: the way down is open.
            None if drives => return Err(Stop::Open(plant::survey::duty_cell(0, 3))),
            None => {}
        }
    }
    if shaft == Power::ZERO {
        return Ok(None);
    }
    let bus = shaft * efficiency.in_of_one();
    rec.step(|| {
        Step::new("P_bus", "of that, power that reaches the DC bus", "P·η", &PRACTICE)
            .with("P", shaft)
            .with("η", efficiency)
            .gives(bus.electric())
    });
    Ok(Some(bus))
}

/// Torque by which the load pulls at the shaft while it drives the motor; zero for any other load, whose friction is left out.
fn pull<R: Recorder>(facts: &mut Reader<'_>, speed: Speed, rec: &mut R) -> Result<Torque, Stop> {
    if facts.get(LOAD_OVERHAULING)? == YesNo::No || facts.get(LOAD_KIND)? == LoadKind::HighInertia {
        return Ok(Torque::ZERO);
    }
    let demand = facts.demand()?;
    let power = demand.get()?.regenerated_peak.ok_or(Stop::Open(plant::survey::duty_cell(0, 3)))?;
    let torque = Torque::si(power.in_si() / speed.in_si());
    rec.step(|| {
        Step::new("T_L", "torque by which the load drives on", "P_cycle/ω", &SURVEY).with("ω", speed).gives(torque).note(demand.origin())
    });
    Ok(torque)
}

/// What the resistor takes; zero without a chopper, and where nobody has said that a resistor is there or will be.
fn resistor<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Power, Stop> {
    let found = facts.find(RESISTOR)?.filter(|_| !unit.measures.has(Measure::NewResistor));
    let bought = unit.measures.has(Measure::NewResistor) || unit.measures.has(Measure::Chopper);
    if !has_chopper(unit) || (found.is_none() && !bought) {
        return Ok(Power::ZERO);
    }
    let level = unit.frame.chopper_level.ok_or(Stop::PackSilent("chopper level of the frame (frames.csv, chopper_level)"))?;
    let least = unit.frame.chopper_smallest.ok_or(Stop::PackSilent("smallest resistor of the frame (frames.csv, chopper_smallest)"))?;
    Ok(resistor_power(level, found.map_or(least, |ohms| ohms.max(least)), rec)?)
}

/// The shortest stop that the unit comes to with its regulators, friction left out; nothing where the load drives on against all of
/// them.
pub(crate) fn shortest<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Option<Time>, Stop> {
    let speed = highest_speed(facts)?;
    let pull = pull(facts, speed, rec)?;
    let moving = Moving { inertia: facts.get(LOAD_INERTIA)?, speed, friction: -pull };
    let rated = Torque::si(facts.get(MOTOR_POWER)?.in_si() / facts.get(MOTOR_SPEED)?.in_si());
    let peak = unit.multiple_for(3.0) * (unit.rating.current / facts.all_motors()?);
    let share = peak.min(facts.get(MOTOR_BREAKDOWN)?.in_of_one());
    let torque = rated * share;
    rec.step(|| {
        Step::new("T_lim", "braking torque that motor and unit give", "T_N·min(k·I/I_N, T_k/T_N)", &PRACTICE)
            .with("T_N", rated)
            .gives(torque)
            .note("current stands for torque")
    });
    let resistor = resistor(facts, unit, rec)?;
    let losses = unit.rating.losses.unwrap_or(Power::ZERO);
    rec.step(|| {
        Step::new("P_v", "losses of the unit at rated load", "", &PACK).gives(losses.electric()).note("zero where the pack does not say")
    });
    if resistor + losses == Power::ZERO {
        return Err(Stop::PackSilent("losses of the unit (ratings.csv, losses)"));
    }
    let passes: Ratio = facts.get(MOTOR_EFFICIENCY)?;
    let taken = Torque::si((resistor + losses).in_si() / (passes.in_of_one() * speed.in_si()));
    if torque.min(taken) <= pull {
        rec.step(|| {
            Step::new("T_1", "braking torque at the full speed", "min(T_lim, (P_R + P_v)/(η·ω))", &DEFINITION)
                .gives(torque.min(taken))
                .note("not more than the load pulls: the unit never stops it")
        });
        return Ok(None);
    }
    Ok(Some(shortest_stop(&moving, &Brakes { torque, resistor, losses, passes }, rec)?.regulated))
}

/// What the margin is where the stop never ends.
pub(crate) const NEVER: f64 = -100.0;

/// What shortens a stop: a chopper with its resistor where it can be ordered, else a resistor for the chopper that is there.
pub(crate) fn shorteners(unit: &Candidate<'_>) -> Vec<Remedy> {
    match unit.frame.chopper {
        Presence::Absent => Vec::new(),
        Presence::Optional => super::energy_without_way_out::chopper(unit),
        Presence::Standard => one(
            Measure::NewResistor,
            "fit a resistor inside the window (resistor-outside-window) and with the watts (resistor-too-hot) in the workings, its thermal contact dropping the line",
            150.0,
        ),
    }
}
