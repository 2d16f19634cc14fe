//! Holding brake and torque against time: how far a load falls when the brake opens before the motor holds it, or closes after the
//! motor has let go.

use plant::quantity::{Inertia, Length, Ratio, Speed, Time, Torque, dim};

use crate::load::{above_zero, not_below_zero};
use crate::registry::{Arguments, Calculation, Input, Refusal, output, quantity, quantity_or, word};
use crate::sources::{Knowledge, PRACTICE, Source};
use crate::working::{Recorder, Step, Working};

/// A load without brake.
pub const FREE_FALL: Source = Source::new("J·dω/dt = T_L − T_M, motor torque in a straight climb", Knowledge::Derived);

/// The load on its brake.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Load {
    /// Torque by which the load pulls, at the motor shaft; the largest load, gear losses left out.
    pub torque: Torque,
    /// Whole inertia at the motor shaft.
    pub inertia: Inertia,
}

/// When the brake is told to open.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Release {
    /// When the motor's torque has come to this share of the load's: torque proving.
    Proved(Ratio),
    /// This long after the run command, whatever the torque.
    After(Time),
}

/// The beginning of a lift.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Start {
    /// From the run command until the motor has its field.
    pub flux: Time,
    /// From there until its torque is at the limit.
    pub rise: Time,
    /// Torque limit.
    pub limit: Torque,
    /// When the brake is told to open.
    pub release: Release,
    /// From that until it is open.
    pub opens: Time,
}

/// The end of a lift.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct End {
    /// From the command of the brake until it holds.
    pub sets: Time,
    /// From the same moment until the motor's torque is gone.
    pub torque_off: Time,
    /// Torque of the brake.
    pub brake: Torque,
}

/// A row of a time chart.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// From the command.
    pub at: Time,
    /// What happens.
    pub what: &'static str,
}

/// How the load falls.
#[derive(Clone, Debug, PartialEq)]
pub struct Fall {
    /// Time without a hold: brake open, motor below the load; zero: none.
    pub gap: Time,
    /// Largest speed downwards.
    pub speed: Speed,
    /// Turns of the motor shaft downwards until it stands.
    pub turns: f64,
    /// When it stands again.
    pub stands: Time,
    /// What happens when, in order of time.
    pub chart: Vec<Row>,
}

/// Speed and angle while a constant surplus of torque acts.
fn coast(speed: f64, angle: f64, acceleration: f64, seconds: f64) -> (f64, f64) {
    (speed + acceleration * seconds, angle + (speed + 0.5 * acceleration * seconds) * seconds)
}

/// The fall at the beginning of a lift.
///
/// The brake is open from t_o on; while T_M < T_L the load falls, J·dω/dt = T_L − T_M(t); it stands again when the speed is back
/// at zero. T_M is zero until the field is there and climbs straight to the limit. A regulator that answers slower makes it worse.
///
/// # Errors
/// When an input is out of range, or the limit does not exceed the load: it would never hold.
///
/// Source: derived. Worked example: brake open 0.3 s before any torque, 100 N·m on 1 kg·m²: 30 rad/s by then.
/// ```
/// use calc::{braking::hoist::{fall_at_start, Load, Release, Start}, working::Silent};
/// use plant::quantity::{Inertia, Ratio, Time, Torque};
/// let load = Load { torque: Torque::nm(100.0), inertia: Inertia::kgm2(1.0) };
/// let early = Start { flux: Time::s(0.5), rise: Time::s(0.1), limit: Torque::nm(200.0), release: Release::After(Time::ZERO), opens: Time::s(0.2) };
/// let fall = fall_at_start(&load, &early, &mut Silent).unwrap();
/// assert!(fall.speed.in_rad_s() > 30.0 && (fall.gap.in_s() - 0.35).abs() < 1e-9);
/// let proved = Start { release: Release::Proved(Ratio::percent(100.0)), ..early };
/// assert_eq!(fall_at_start(&load, &proved, &mut Silent).unwrap().turns, 0.0);
/// ```
pub fn fall_at_start<R: Recorder>(load: &Load, start: &Start, rec: &mut R) -> Result<Fall, Refusal> {
    above_zero(load.torque, "torque of the load")?;
    above_zero(load.inertia, "inertia")?;
    not_below_zero(start.flux, "time to the field")?;
    not_below_zero(start.rise, "time to the torque limit")?;
    not_below_zero(start.opens, "time until the brake is open")?;
    if !(start.limit > load.torque && start.limit.is_finite()) {
        return Err(Refusal::new(format!("a torque limit of {} never holds a load of {}", start.limit, load.torque)));
    }
    let (pull, inertia, most) = (load.torque.in_nm(), load.inertia.in_kgm2(), start.limit.in_nm());
    let at_torque = |torque: f64| start.flux + start.rise * (torque / most);
    let holds = at_torque(pull);
    let command = match start.release {
        Release::Proved(share) => {
            not_below_zero(share, "threshold of the torque proving")?;
            if share.in_of_one() * pull > most {
                return Err(Refusal::new(format!("the torque limit of {} is below the threshold: the brake never opens", start.limit)));
            }
            at_torque(share.in_of_one() * pull)
        }
        Release::After(time) => {
            not_below_zero(time, "time of the release")?;
            time
        }
    };
    let open = command + start.opens;
    let gap = (holds - open).max(Time::ZERO);
    let (mut speed, mut angle, mut time) = (0.0, 0.0, open.in_s());
    let mut top = 0.0;
    if gap > Time::ZERO {
        let before = (start.flux - open).in_s().max(0.0);
        (speed, angle) = coast(speed, angle, pull / inertia, before);
        time += before;
        top = speed;
        // The climb of the torque, where it takes time.
        let climb = (start.flux + start.rise).in_s() - time;
        if climb > 0.0 {
            let slope = most / start.rise.in_s();
            let short = pull - slope * (time - start.flux.in_s());
            // ω(s) = ω + (short·s − slope·s²/2)/J: highest at s = short/slope, zero again at the root.
            top = speed + short * short / (2.0 * slope * inertia);
            let root = (short + (short * short + 2.0 * slope * inertia * speed).sqrt()) / slope;
            let s = root.min(climb);
            angle += speed * s + (short * s * s / 2.0 - slope * s * s * s / 6.0) / inertia;
            speed = if root <= climb { 0.0 } else { speed + (short * s - slope * s * s / 2.0) / inertia };
            time += s;
        }
        let stop = speed * inertia / (most - pull);
        angle += speed * stop / 2.0;
        time += stop;
    }
    let mut chart = vec![
        Row { at: Time::ZERO, what: "run command" },
        Row { at: start.flux, what: "the motor has its field" },
        Row { at: holds, what: "the motor's torque equals the load" },
        Row { at: command, what: "the brake is told to open" },
        Row { at: open, what: "the brake is open" },
    ];
    if gap > Time::ZERO {
        chart.push(Row { at: Time::s(time), what: "the load stands again" });
    }
    Ok(told(Fall { gap, speed: Speed::rad_s(top), turns: angle / std::f64::consts::TAU, stands: Time::s(time), chart }, load, rec))
}

/// The fall at the end of a lift: the motor lets go before the brake holds.
///
/// From the end of the torque until the brake holds the load falls freely, then the brake stops it. The torque counts as gone at
/// once, which is the safe side.
///
/// # Errors
/// When an input is out of range, or the brake does not exceed the load.
///
/// Source: derived. Worked example: 0.2 s of gap, 100 N·m, 1 kg·m², brake 200 N·m: 20 rad/s, 0.637 turns.
/// ```
/// use calc::{braking::hoist::{fall_at_end, End, Load}, working::Silent};
/// use plant::quantity::{Inertia, Time, Torque};
/// let load = Load { torque: Torque::nm(100.0), inertia: Inertia::kgm2(1.0) };
/// let end = End { sets: Time::s(0.3), torque_off: Time::s(0.1), brake: Torque::nm(200.0) };
/// let fall = fall_at_end(&load, &end, &mut Silent).unwrap();
/// assert!((fall.speed.in_rad_s() - 20.0).abs() < 1e-9 && (fall.turns - 4.0 / std::f64::consts::TAU).abs() < 1e-9);
/// ```
pub fn fall_at_end<R: Recorder>(load: &Load, end: &End, rec: &mut R) -> Result<Fall, Refusal> {
    above_zero(load.torque, "torque of the load")?;
    above_zero(load.inertia, "inertia")?;
    not_below_zero(end.sets, "time until the brake holds")?;
    not_below_zero(end.torque_off, "time until the torque is gone")?;
    if !(end.brake > load.torque && end.brake.is_finite()) {
        return Err(Refusal::new(format!("a brake of {} does not hold a load of {}", end.brake, load.torque)));
    }
    let gap = (end.sets - end.torque_off).max(Time::ZERO);
    let (pull, inertia) = (load.torque.in_nm(), load.inertia.in_kgm2());
    let (speed, angle) = coast(0.0, 0.0, pull / inertia, gap.in_s());
    let stop = speed * inertia / (end.brake.in_nm() - pull);
    let mut chart = vec![
        Row { at: Time::ZERO, what: "the brake is told to close" },
        Row { at: end.torque_off, what: "the motor's torque is gone" },
        Row { at: end.sets, what: "the brake holds" },
    ];
    let stands = end.sets + Time::s(stop);
    if gap > Time::ZERO {
        chart.push(Row { at: stands, what: "the load stands" });
    }
    Ok(told(
        Fall { gap, speed: Speed::rad_s(speed), turns: (angle + speed * stop / 2.0) / std::f64::consts::TAU, stands, chart },
        load,
        rec,
    ))
}

/// Puts the chart in order and records it.
fn told<R: Recorder>(mut fall: Fall, load: &Load, rec: &mut R) -> Fall {
    fall.chart.sort_by(|a, b| a.at.in_s().total_cmp(&b.at.in_s()));
    for row in &fall.chart {
        rec.step(|| Step::new("t", row.what, "", &FREE_FALL).gives(row.at));
    }
    rec.step(|| {
        Step::new("Δt", "time without a hold", "", &FREE_FALL).gives(fall.gap).note(if fall.gap > Time::ZERO {
            "neither motor nor brake holds the load: it falls"
        } else {
            "motor and brake overlap"
        })
    });
    rec.step(|| {
        Step::new("ω", "largest speed downwards", "", &FREE_FALL).with("T_L", load.torque).with("J", load.inertia).gives(fall.speed)
    });
    rec.step(|| {
        Step::new("caution", "before the load hangs on it", "", &PRACTICE)
            .gives("load test with the largest load close above ground; prove that the brake alone holds")
    });
    fall
}

const TORQUE: Input = quantity::<dim::TorqueDim>("load", "torque by which the load pulls, at the motor shaft");
const INERTIA: Input = quantity::<dim::InertiaDim>("inertia", "whole inertia at the motor shaft");
const PER_TURN: Input = quantity_or::<dim::LengthDim>("per-turn", "0 m", "way of the load in one turn of the motor shaft");
const RESULTS: &[crate::registry::Output] = &[
    output::<dim::TimeDim>("gap", "s", "time in which neither motor nor brake holds"),
    output::<dim::SpeedDim>("speed", "rpm", "largest speed downwards, motor shaft"),
    output::<dim::CountDim>("turns", "", "turns downwards"),
    output::<dim::LengthDim>("way", "mm", "way of the load downwards"),
    output::<dim::TimeDim>("stands", "s", "when the load stands again, or the brake is open or holds without a fall"),
];

fn results(a: &Arguments, fall: &Fall) -> Result<Vec<f64>, Refusal> {
    let per_turn: Length = a.get("per-turn");
    not_below_zero(per_turn, "way of the load in one turn")?;
    Ok(vec![fall.gap.in_si(), fall.speed.in_si(), fall.turns, per_turn.in_m() * fall.turns, fall.stands.in_si()])
}

/// `calc brake-release`.
pub const BRAKE_RELEASE: Calculation = Calculation {
    name: "brake-release",
    summary: "Time chart of field, torque and holding brake at the start of a lift, and how far the load falls.",
    inputs: &[
        TORQUE,
        INERTIA,
        quantity::<dim::TimeDim>("flux", "from the run command until the motor has its field"),
        quantity::<dim::TimeDim>("rise", "from there until the torque limit"),
        quantity::<dim::TorqueDim>("limit", "torque limit of motor and unit"),
        word("release", &["proved", "timed"], "what tells the brake to open: proved torque or a time alone"),
        quantity_or::<dim::RatioDim>("threshold", "100 %", "proved: torque over the load's"),
        quantity_or::<dim::TimeDim>("after", "0 s", "timed: from the run command"),
        quantity::<dim::TimeDim>("opens", "from the command until the brake is open"),
        PER_TURN,
    ],
    results: RESULTS,
    sources: &[&FREE_FALL, &PRACTICE],
    run: |a: &Arguments, w: &mut Working| {
        let load = Load { torque: a.get("load"), inertia: a.get("inertia") };
        let release = if a.word("release") == "timed" { Release::After(a.get("after")) } else { Release::Proved(a.get("threshold")) };
        let start = Start { flux: a.get("flux"), rise: a.get("rise"), limit: a.get("limit"), release, opens: a.get("opens") };
        results(a, &fall_at_start(&load, &start, w)?)
    },
};

/// `calc brake-set`.
pub const BRAKE_SET: Calculation = Calculation {
    name: "brake-set",
    summary: "Time chart of holding brake and torque at the end of a lift, and how far the load falls.",
    inputs: &[
        TORQUE,
        INERTIA,
        quantity::<dim::TimeDim>("sets", "from the command of the brake until it holds"),
        quantity::<dim::TimeDim>("torque-off", "from the same moment until the motor's torque is gone"),
        quantity::<dim::TorqueDim>("brake", "torque of the brake"),
        PER_TURN,
    ],
    results: RESULTS,
    sources: &[&FREE_FALL, &PRACTICE],
    run: |a: &Arguments, w: &mut Working| {
        let load = Load { torque: a.get("load"), inertia: a.get("inertia") };
        let end = End { sets: a.get("sets"), torque_off: a.get("torque-off"), brake: a.get("brake") };
        results(a, &fall_at_end(&load, &end, w)?)
    },
};
