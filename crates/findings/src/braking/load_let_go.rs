//! The brake opens before the motor holds the load.

use calc::braking::hoist::{Load, Release, Start as BrakeStart, fall_at_start};
use calc::sources::{Knowledge, PACK, SURVEY, Source};
use calc::working::{Recorder, Step};
use plant::choice::{BrakeFeed, Choice, LoadKind, YesNo};
use plant::quantity::{Ratio, Time, Torque};
use plant::survey::{BRAKE_OPENS, BRAKE_SETS, HOLDING_BRAKE, LOAD_INERTIA, LOAD_KIND, LOAD_OVERHAULING, MOTOR_POWER, MOTOR_SPEED};

use crate::candidate::Candidate;
use crate::check::{Outcome, check, holds_if, no_remedy};
use crate::facts::{Reader, Stop};
use crate::output::side;

check! {
    name: "braking/load-let-go",
    severity: Injury,
    rows: &[52],
    unit: "",
    ways: &[],
    measures: &[],
    page: "load_let_go.md",
    run: run,
    remedies: no_remedy,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let hangs = facts.get(LOAD_OVERHAULING)? == YesNo::Yes && facts.get(LOAD_KIND)? != LoadKind::HighInertia;
    if !hangs || facts.get(HOLDING_BRAKE)? == BrakeFeed::None {
        return Ok(Outcome::NotHere);
    }
    let proves = side(unit)?
        .torque_proving
        .ok_or(Stop::PackSilent("whether it proves torque before it opens a brake (motor.csv, torque_proving)"))?;
    if rec.keeps() {
        chart(facts, unit, proves == YesNo::Yes, rec);
    }
    Ok(holds_if(rec, proves == YesNo::Yes, || format!("the unit proves torque before it opens the brake: {}", proves.word()), &PACK))
}

/// Time to the motor's field and from there to its torque limit.
const FLUX: Time = Time::ms(300.0);
/// As [`FLUX`].
const RISE: Time = Time::ms(100.0);
/// Where they come from.
const HABIT: Source =
    Source::new("0.3 s to the field, 0.1 s from there to the torque limit: habits of the trade", Knowledge::CommonPractice);

/// Brake and torque against time, at the start and at the end of a move; it decides nothing. What is not known leaves it out.
fn chart<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, proves: bool, rec: &mut R) {
    let Ok((opens, sets)) = facts.get(BRAKE_OPENS).and_then(|opens| Ok((opens, facts.get(BRAKE_SETS)?))) else { return };
    rec.step(|| {
        Step::new("t_hold", "time for which the motor keeps its torque after the brake is told to close, at least", "", &SURVEY)
            .gives(sets)
            .note("the brake's own time until it holds; to be set in the unit, longer rather than shorter")
    });
    let Ok((load, limit)) = hanging(facts, unit) else { return };
    rec.step(|| {
        Step::new("t_0, t_r", "time to the field, and from there to the torque limit", "", &HABIT).gives(format!("{FLUX}, {RISE}"))
    });
    let release = if proves { Release::Proved(Ratio::percent(100.0)) } else { Release::After(Time::ZERO) };
    // A load beyond the torque limit makes no chart; other findings speak of that.
    let _ = fall_at_start(&load, &BrakeStart { flux: FLUX, rise: RISE, limit, release, opens }, rec);
}

/// The load that hangs, and the torque that the unit gives.
fn hanging(facts: &mut Reader<'_>, unit: &Candidate<'_>) -> Result<(Load, Torque), Stop> {
    let speed = facts.get(MOTOR_SPEED)?;
    let power = facts.demand()?.get()?.regenerated_peak.ok_or(Stop::Open(LOAD_INERTIA.id))?;
    let rated = Torque::si(facts.get(MOTOR_POWER)?.in_si() / speed.in_si());
    let limit = rated * (unit.multiple_for(3.0) * (unit.rating.current / facts.all_motors()?));
    Ok((Load { torque: Torque::si(power.in_si() / speed.in_si()), inertia: facts.get(LOAD_INERTIA)? }, limit))
}

#[cfg(test)]
mod tests {
    use plant::choice::Duty;

    use super::*;
    use crate::facts::Survey;
    use crate::fixture::{by_hand, changed, is_not_here, is_silent, position, said, unit};

    const HANGS: &[(&str, &str)] = &[("load.kind", "hoist"), ("load.overhauling", "yes"), ("stop.brake_feed", "own supply")];

    #[test]
    fn torque_is_proved_or_it_is_not() {
        by_hand(&CHECK, HANGS, &unit("R1", Duty::Heavy), 1.0);
        let blind = changed("R1", Duty::Heavy, |s| s.motor_sides[0].torque_proving = Some(YesNo::No));
        by_hand(&CHECK, HANGS, &blind, -1.0);
        let silent = changed("R1", Duty::Heavy, |s| s.motor_sides[0].torque_proving = None);
        is_silent(&CHECK, HANGS, &silent, "torque_proving");
        // Without proving the brake is open before there is torque, and the working shows the fall.
        let hoist: &[(&str, &str)] = &[
            ("stop.brake_opens", "100 ms"),
            ("stop.brake_sets", "150 ms"),
            ("load.inertia", "2 kg·m²"),
            ("motor.power", "30 kW"),
            ("motor.speed", "100 rad/s"),
            ("motor.frequency", "50 Hz"),
            ("motor.current", "50 A"),
            ("motor.breakdown_torque", "250 %"),
            ("duty[1].time", "10 s"),
            ("duty[1].speed", "50 Hz"),
            ("duty[1].torque", "100 %"),
            ("duty[2].time", "10 s"),
            ("duty[2].speed", "-50 Hz"),
            ("duty[2].torque", "-80 %"),
        ];
        let place = position(&[HANGS, hoist].concat());
        let survey = Survey::new(&place);
        let gap = |unit: &Candidate<'_>| {
            let steps = said(&CHECK, &survey, unit).working.steps;
            assert!(steps.iter().any(|s| s.symbol == "t_hold" && s.value == Time::ms(150.0).into()), "{steps:?}");
            steps.into_iter().find(|s| s.symbol == "Δt").map(|s| s.value)
        };
        assert_eq!(gap(&unit("R1", Duty::Heavy)), Some(Time::ZERO.into()));
        // 240 N·m of 1.8·52/50·300 = 561.6 N·m within 0.1 s: held at 0.3 + 0.04274 s; open at 0.1 s.
        let Some(calc::working::Datum::Number(fell, _)) = gap(&blind) else { panic!("no chart") };
        assert!((fell - 0.242_74).abs() < 2e-5, "{fell}");
        is_not_here(&CHECK, &[HANGS, &[("stop.brake_feed", "no brake")]].concat(), &unit("R1", Duty::Heavy));
    }
}
