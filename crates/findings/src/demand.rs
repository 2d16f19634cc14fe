//! What the load asks of the drive at one completion of the survey: a record of current, from the current log if
//! there is one, else from the duty table, else from the worst-load current and the peak at each start.

use std::sync::{Mutex, PoisonError};

use calc::braking::cycle_heat::Piece;
use calc::drive::overload::{OverloadPoint, Record, SmallestRating, smallest_rating};
use calc::load::duty::{Cycle, LoadTorque, Machine, Moment, Segment, duty, moments};
use calc::motor::current::{CurrentModel, current_squared_a2};
use calc::motor::shaft::shaft_torque;
use calc::working::Silent;
use plant::quantity::{Current, Frequency, Inertia, Power, Ratio, Speed, Time};
use plant::survey::{
    self, Key, LOAD_CURRENT, LOAD_INERTIA, LOAD_PEAK_CURRENT, LOAD_PEAK_TIME, LOAD_STARTS, MOTOR_BREAKDOWN, MOTOR_COUNT, MOTOR_CURRENT,
    MOTOR_FREQUENCY, MOTOR_NO_LOAD_CURRENT, MOTOR_POWER, MOTOR_SPEED,
};

use crate::facts::{FactSet, Reader, Stop};

/// The demand at one completion, with the facts that it was made from.
#[derive(Debug)]
pub struct Demand {
    /// Facts read.
    pub reads: FactSet,
    /// Facts among them that may not be assumed.
    pub open: FactSet,
    /// The demand, or why there is none.
    pub content: Result<Content, Stop>,
}

impl Demand {
    /// The demand.
    ///
    /// # Errors
    /// Why there is none.
    pub fn get(&self) -> Result<&Content, Stop> {
        self.content.as_ref().map_err(Clone::clone)
    }

    /// Where the record comes from, in words.
    #[must_use]
    pub fn origin(&self) -> &'static str {
        self.content.as_ref().map_or("no record", |c| c.origin.words())
    }
}

/// Where a record comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Basis {
    /// A recorded log.
    Log,
    /// The duty table, through torque, speed and the motor's model.
    DutyTable,
    /// The duty table's measured currents.
    DutyCurrents,
    /// The current at the worst load, with the peak at each start.
    WorstLoad,
}

impl Basis {
    /// In words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Log => "from the current log",
            Self::DutyTable => "from the duty table, through the motor's current model",
            Self::DutyCurrents => "from the currents of the duty table",
            Self::WorstLoad => "from the current at the worst load and the peak at each start",
        }
    }
}

/// The record of current and what follows from it.
#[derive(Debug)]
pub struct Content {
    /// Current against time.
    pub record: Record,
    /// Root mean square over the cycle.
    pub rms: Current,
    /// Largest power that the load drives back; `None` where the record does not tell.
    pub regenerated_peak: Option<Power>,
    /// The power that the load drives back over its cycle, at the shaft, piece by piece; empty where the record does not tell.
    pub returned: Vec<Piece>,
    /// Where it comes from.
    pub origin: Basis,
    /// Smallest ratings already worked out, by overload points: a series has one or two sets of them.
    ratings: Mutex<Vec<(Vec<OverloadPoint>, SmallestRating)>>,
}

impl Content {
    fn new(record: Record, regenerated_peak: Option<Power>, origin: Basis) -> Self {
        let rms = record.rms();
        Self { record, rms, regenerated_peak, returned: Vec::new(), origin, ratings: Mutex::default() }
    }

    /// The smallest continuous current of a unit with these overload points that carries the record.
    ///
    /// # Errors
    /// When a point makes no sense.
    pub fn smallest_rating(&self, points: &[OverloadPoint]) -> Result<SmallestRating, Stop> {
        let mut ratings = self.ratings.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some((_, known)) = ratings.iter().find(|(own, _)| own == points) {
            return Ok(*known);
        }
        let rating = smallest_rating(&self.record, points, &mut Silent)?;
        ratings.push((points.to_vec(), rating));
        Ok(rating)
    }
}

/// Longest period of a cycle that is made of a peak and the load after it: starts rarer than once a day count as once a day.
const LONGEST_PERIOD: Time = Time::days(1.0);

/// Works the demand out.
pub(crate) fn content(facts: &mut Reader<'_>) -> Result<Content, Stop> {
    let position = facts.position();
    if let Some(log) = &position.current_log {
        let mut record = Record::from_log(&log.samples)?;
        record.repeats = log.repeats;
        // A log has no sign: what the load drives back is in the duty table, if anywhere.
        let mut content = Content::new(record, None, Basis::Log);
        if !position.duty.is_empty() {
            let table = from_duty_table(facts, position.duty.len())?;
            (content.regenerated_peak, content.returned) = (table.regenerated_peak, table.returned);
        }
        return Ok(content);
    }
    if !position.duty.is_empty() {
        return from_duty_table(facts, position.duty.len());
    }
    let load = facts.get(LOAD_CURRENT)?;
    let peak = facts.get(LOAD_PEAK_CURRENT)?.max(load);
    let peak_time = facts.get(LOAD_PEAK_TIME)?;
    let starts = facts.get(LOAD_STARTS)?;
    let period = Time::s(1.0 / starts.in_per_s()).min(LONGEST_PERIOD).max(peak_time);
    let mut steps = vec![(peak, peak_time)];
    if period > peak_time {
        steps.push((load, period - peak_time));
    }
    Ok(Content::new(Record::from_steps(&steps, true), None, Basis::WorstLoad))
}

/// The current of all motors on the drive as a function of torque and frequency, each taking its share.
///
/// # Errors
/// When a fact behind it is open, or the facts contradict each other.
pub fn current_model(facts: &mut Reader<'_>) -> Result<CurrentModel, Stop> {
    let motors = facts.get(MOTOR_COUNT)?.in_count();
    let (rated, no_load, breakdown) = (facts.get(MOTOR_CURRENT)?, facts.get(MOTOR_NO_LOAD_CURRENT)?, facts.get(MOTOR_BREAKDOWN)?);
    Ok(CurrentModel::new(rated * motors, no_load * motors, breakdown)?)
}

/// Columns of the duty table.
const TIME: usize = 0;
const RAMP: usize = 1;
const SPEED: usize = 2;
const TORQUE: usize = 3;
const CURRENT: usize = 4;

fn cell<T>(row: usize, column: usize) -> Key<T> {
    Key::new(survey::duty_cell(row, column))
}

fn from_duty_table(facts: &mut Reader<'_>, rows: usize) -> Result<Content, Stop> {
    let mut steps: Vec<(Current, Time)> = Vec::new();
    let mut segments: Vec<Segment> = Vec::new();
    let mut ramps = false;
    for row in 0..rows {
        let time: Time = facts.get(cell(row, TIME))?;
        let ramp: Time = facts.get(cell(row, RAMP))?;
        if let Some(current) = facts.find::<Current>(cell(row, CURRENT))? {
            steps.push((current, time + ramp));
            continue;
        }
        let (frequency, torque): (Frequency, Ratio) = (facts.get(cell(row, SPEED))?, facts.get(cell(row, TORQUE))?);
        let (rated_speed, base): (Speed, Frequency) = (facts.get(MOTOR_SPEED)?, facts.get(MOTOR_FREQUENCY)?);
        ramps |= ramp > Time::ZERO;
        // The survey counts torque as positive against the motion; calculations count it as positive against forward rotation. On the way
        // to standstill the motion is that of the row before; the cycle begins where it ends.
        let moving = if frequency == Frequency::ZERO { facts.get(cell((row + rows - 1) % rows, SPEED))? } else { frequency };
        let direction = if moving < Frequency::ZERO { -1.0 } else { 1.0 };
        segments.push(Segment {
            time: time + ramp,
            speed_to: rated_speed * (frequency / base),
            ramp,
            load: LoadTorque::Share(torque * direction),
        });
    }
    if segments.is_empty() {
        return Ok(Content::new(Record::from_steps(&steps, true), None, Basis::DutyCurrents));
    }
    if !steps.is_empty() {
        return Err(Stop::Refused(
            "some rows of the duty table give a current, others speed and torque: give one kind in all of them".into(),
        ));
    }
    let rated_speed: Speed = facts.get(MOTOR_SPEED)?;
    let machine = Machine {
        rated_torque: shaft_torque(facts.get(MOTOR_POWER)?, rated_speed, &mut Silent)? * facts.get(MOTOR_COUNT)?.in_count(),
        rated_speed,
        inertia: if ramps { facts.get(LOAD_INERTIA)? } else { Inertia::ZERO },
    };
    let model = current_model(facts)?;
    let start = segments.last().map_or(Speed::ZERO, |s| s.speed_to);
    let cycle = Cycle { start, segments: &segments, repeats: true };
    let worked = duty(&machine, &cycle, |torque, frequency| current_squared_a2(&model, torque, frequency), &mut Silent)?;
    // The speeding up of a load that drives takes part of its power, but only if it speeds up as the table says: that is not relied on.
    let peak = worked.peak_regenerating.max(driven_back(&machine, &cycle)?);
    let returned = if peak > Power::ZERO { returned(&machine, &cycle)? } else { Vec::new() };
    Ok(Content { returned, ..Content::new(worked.record, Some(peak), Basis::DutyTable) })
}

/// The stretches of a cycle at their two ends, without any inertia.
fn of_load(machine: &Machine, cycle: &Cycle<'_>) -> Result<Vec<Moment>, Stop> {
    Ok(moments(&Machine { inertia: Inertia::ZERO, ..*machine }, cycle, |_, _| 0.0, 2)?)
}

/// Largest shaft power that the load alone drives back.
fn driven_back(machine: &Machine, cycle: &Cycle<'_>) -> Result<Power, Stop> {
    Ok(of_load(machine, cycle)?.iter().map(|m| Power::w(-m.power.in_w())).fold(Power::ZERO, Power::max))
}

/// Shaft power that comes back over a cycle, never too little: what the load drives back, and what the inertia gives back while it slows
/// down; neither the load's friction nor the speeding up of a driving load is set against it, so that more inertia is never less power.
/// Torque is the same all along a stretch of the table and speed a straight line, so that the two ends of a stretch tell all of it.
fn returned(machine: &Machine, cycle: &Cycle<'_>) -> Result<Vec<Piece>, Stop> {
    let of_load = of_load(machine, cycle)?;
    let unloaded: Vec<Segment> = cycle.segments.iter().map(|s| Segment { load: LoadTorque::Share(Ratio::ZERO), ..*s }).collect();
    let of_inertia = moments(machine, &Cycle { segments: &unloaded, ..*cycle }, |_, _| 0.0, 2)?;
    let back = |i: usize| {
        let own = |m: &[Moment]| m.get(i).map_or(0.0, |m| (-m.power.in_w()).max(0.0));
        Power::w(own(&of_load) + own(&of_inertia))
    };
    let ends = of_load.chunks_exact(2).enumerate();
    Ok(ends.map(|(i, m)| Piece { from: back(2 * i), to: back(2 * i + 1), time: m[1].time - m[0].time }).collect())
}
