//! Waves on the motor cable rise above what the winding stands.

use calc::cable::critical::{critical_length, envelope};
use calc::cable::limits::{Build, Wording, counts_as, limit};
use calc::sources::{DEFINITION, Knowledge, PACK, Source};
use calc::working::{Recorder, Step};
use plant::choice::{MotorWording, OutputFilter, StopNeed, Winding, YesNo};
use plant::quantity::{Length, Ratio, Velocity, Voltage};
use plant::survey::{
    CABLE_LENGTH, LOAD_OVERHAULING, MOTOR_VOLTAGE, MOTOR_WINDING, MOTOR_WORDING, MOTOR_YEAR, OUTPUT_FILTER, STOP_NEED, SUPPLY_HIGHEST,
    SUPPLY_VOLTAGE,
};

use crate::braking::returned::has_chopper;
use crate::candidate::{Candidate, Measure};
use crate::check::{Outcome, Way, check, covered};
use crate::facts::{Reader, Stop};
use crate::output::{motor_filter, side};

check! {
    name: "motor/winding-overstressed",
    severity: Equipment,
    rows: &[32, 43],
    unit: "%",
    ways: &[(CABLE_LENGTH.id, Way::Down), (SUPPLY_VOLTAGE.id, Way::Down), (SUPPLY_HIGHEST.id, Way::Down)],
    // Behind the filter the peak is the filter's; a winding of which nothing is promised stands what the DC link has.
    undone: (Measure::MotorFilter, &[SUPPLY_VOLTAGE.id, SUPPLY_HIGHEST.id]),
    measures: &[Measure::MotorFilter, Measure::NoOutputFilter, Measure::Chopper],
    page: "winding_overstressed.md",
    run: run,
    remedies: motor_filter,
}

/// Velocity on a motor cable and share of a wave that a motor sends back: between the small motor's and the large one's.
const VELOCITY: Velocity = Velocity::m_s(150e6);
/// As above; taken high.
const REFLECTED: Ratio = Ratio::percent(95.0);
/// Where they come from.
const HABIT: Source =
    Source::new("150 m/µs on a cable, 95 % sent back by a motor: common practice, on the safe side", Knowledge::CommonPractice);

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let stays = !unit.measures.has(Measure::NoOutputFilter);
    if stays && facts.get(OUTPUT_FILTER)? == OutputFilter::Sine {
        return Ok(Outcome::NotHere);
    }
    let bus = bus(facts, unit, rec)?;
    let peak = if unit.measures.has(Measure::MotorFilter) {
        let peak = side(unit)?.filter_peak.ok_or(Stop::PackSilent("the peak behind its filter (motor.csv, filter_peak)"))?;
        rec.step(|| Step::new("U_b", "highest voltage at the motor behind the unit's filter", "", &PACK).gives(peak));
        peak
    } else {
        let rise = side(unit)?.rise.ok_or(Stop::PackSilent("the time in which its output rises (motor.csv, rise)"))?;
        rec.step(|| Step::new("Γ", "share of a wave sent back", "", &HABIT).gives(REFLECTED));
        let critical = critical_length(rise, VELOCITY, rec)?;
        envelope(bus, REFLECTED, facts.get(CABLE_LENGTH)?, critical, rec)?
    };
    let stands = stands(facts, bus, rec)?;
    Ok(covered(rec, "U_lim/U_b − 1", ("U_lim", stands), ("U_b", peak)))
}

/// Highest DC link that the unit switches onto the cable: on the highest line, or while it brakes.
fn bus<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Voltage, Stop> {
    let idle = facts.get(SUPPLY_HIGHEST)? * std::f64::consts::SQRT_2;
    rec.step(|| Step::new("U_0", "DC link at light load on the highest line", "√2·U", &DEFINITION).gives(idle));
    let brakes = facts.get(STOP_NEED)? != StopNeed::Free || facts.get(LOAD_OVERHAULING)? == YesNo::Yes;
    let Some(level) = unit.frame.chopper_level.filter(|_| brakes && has_chopper(unit)) else { return Ok(idle) };
    rec.step(|| Step::new("U_on", "DC link while the chopper works", "", &PACK).gives(level));
    let bus = idle.max(level);
    rec.step(|| Step::new("U_d", "highest DC link", "max(U_0, U_on)", &DEFINITION).with("U_0", idle).with("U_on", level).gives(bus));
    Ok(bus)
}

/// The bound on the peak at the motor, V, over lengths of the cable, m, as the finding reckons; with the length as it is and what the
/// winding stands. Nothing where a sine filter takes the waves away.
pub(crate) fn along_the_cable(facts: &mut Reader<'_>, unit: &Candidate<'_>, lengths: usize) -> Result<Option<AlongCable>, Stop> {
    let rec = &mut calc::working::Silent;
    if !unit.measures.has(Measure::NoOutputFilter) && facts.get(OUTPUT_FILTER)? == OutputFilter::Sine {
        return Ok(None);
    }
    let bus = bus(facts, unit, rec)?;
    let length = facts.get(CABLE_LENGTH)?;
    let filtered = if unit.measures.has(Measure::MotorFilter) {
        Some(side(unit)?.filter_peak.ok_or(Stop::PackSilent("the peak behind its filter (motor.csv, filter_peak)"))?)
    } else {
        None
    };
    let rise = side(unit)?.rise;
    let critical = match rise {
        Some(rise) => critical_length(rise, VELOCITY, rec)?,
        None if filtered.is_some() => length,
        None => return Err(Stop::PackSilent("the time in which its output rises (motor.csv, rise)")),
    };
    let end = (length * 1.25).max(critical * 1.5);
    let mut bound = Vec::with_capacity(lengths);
    for step in 0..lengths {
        #[expect(clippy::cast_precision_loss, reason = "a few dozen points of a curve")]
        let at = end * (step as f64 / (lengths.max(2) - 1) as f64);
        let volts = match filtered {
            Some(peak) => peak,
            None => envelope(bus, REFLECTED, at, critical, rec)?,
        };
        bound.push((at.in_m(), volts.in_v()));
    }
    Ok(Some(AlongCable { bound, length, critical, stands: stands(facts, bus, rec)? }))
}

/// What [`along_the_cable`] finds.
pub(crate) struct AlongCable {
    /// Length, m, and the bound on the peak there, V.
    pub(crate) bound: Vec<(f64, f64)>,
    /// The length as it is.
    pub(crate) length: Length,
    /// Length of full reflection.
    pub(crate) critical: Length,
    /// What the winding stands.
    pub(crate) stands: Voltage,
}

/// Peak that the winding stands.
fn stands<R: Recorder>(facts: &mut Reader<'_>, bus: Voltage, rec: &mut R) -> Result<Voltage, Stop> {
    let rewound = facts.get(MOTOR_WINDING)? == Winding::Rewound;
    let (wording, class) = match facts.get(MOTOR_WORDING)? {
        MotorWording::Nothing => (Wording::Nothing, None),
        MotorWording::InverterDuty => (Wording::InverterDuty, None),
        MotorWording::Part30 => (Wording::Part30, None),
        MotorWording::Part31 => (Wording::Part31, None),
        MotorWording::ClassA => (Wording::Class, Some(Build::ClassA)),
        MotorWording::ClassB => (Wording::Class, Some(Build::ClassB)),
        MotorWording::ClassC => (Wording::Class, Some(Build::ClassC)),
        MotorWording::ClassD => (Wording::Class, Some(Build::ClassD)),
    };
    let year = facts.find(MOTOR_YEAR)?;
    match counts_as(wording, year, rewound, class, rec) {
        Some(build) => Ok(limit(build, facts.get(MOTOR_VOLTAGE)?, rec)?.peak),
        None => {
            rec.step(|| {
                Step::new("U_lim", "what the winding is promised to stand", "U_d", &NO_PROMISE)
                    .gives(bus)
                    .note("nobody promises that it stands more than the DC link itself")
            });
            Ok(bus)
        }
    }
}

/// Why so little.
const NO_PROMISE: Source = Source::new("a winding without papers is promised nothing: common practice", Knowledge::CommonPractice);

#[cfg(test)]
mod tests {
    use plant::choice::Duty;

    use super::*;
    use crate::fixture::{by_hand, changed, is_not_here, is_silent, unit, with};

    fn motor<'a>(length: &'a str, wording: &'a str) -> [(&'a str, &'a str); 9] {
        [
            ("supply.highest", "500 V"),
            ("output.filter", "none"),
            ("cable.length", length),
            ("motor.wording", wording),
            ("motor.winding", "original"),
            ("motor.voltage", "460 V"),
            ("motor.year", "1978"),
            ("stop.need", "free"),
            ("load.overhauling", "no"),
        ]
    }

    #[test]
    fn the_wave_against_what_the_plate_promises() {
        let unit = unit("R1", Duty::Heavy);
        // 0.2 µs: l_c = 15 m. 500·√2 = 707.107 V; 60 m: 1.95 times, 1378.858 V. Part 30: 1000 V; Part 31: 3.1113·460 = 1431.18 V.
        by_hand(&CHECK, &motor("60 m", "NEMA MG 1 Part 30"), &unit, -27.48);
        by_hand(&CHECK, &motor("60 m", "NEMA MG 1 Part 31"), &unit, 3.79);
        // 3 m: 1 + 0.95/5 = 1.19: 841.457 V.
        by_hand(&CHECK, &motor("3 m", "NEMA MG 1 Part 30"), &unit, 18.84);
        // An old motor without a word: 1/1.95.
        by_hand(&CHECK, &motor("60 m", "none"), &unit, -48.72);
    }

    #[test]
    fn while_it_brakes_the_link_stands_at_the_choppers_level() {
        // R2 has a chopper at 800 V, above √2·500 = 707.1 V: 1.95·800 = 1560 V; Part 31: 3.1113·460 = 1431.18 V.
        let braking = |length, wording| -> Vec<(&str, &str)> {
            motor(length, wording).into_iter().map(|(k, v)| (k, if k == "stop.need" { "timed" } else { v })).collect()
        };
        by_hand(&CHECK, &braking("60 m", "NEMA MG 1 Part 31"), &unit("R2", Duty::Heavy), -8.26);
        by_hand(&CHECK, &motor("60 m", "NEMA MG 1 Part 31"), &unit("R2", Duty::Heavy), 3.79);
        // R1 has none until it is ordered.
        by_hand(&CHECK, &braking("60 m", "NEMA MG 1 Part 31"), &unit("R1", Duty::Heavy), 3.79);
    }

    #[test]
    fn a_filter_brings_it_down_and_a_sine_filter_ends_it() {
        let unit = unit("R1", Duty::Heavy);
        // 900 V behind the filter: 1000/900.
        by_hand(&CHECK, &motor("60 m", "NEMA MG 1 Part 30"), &with(&CHECK, &unit, Measure::MotorFilter), 11.11);
        is_not_here(&CHECK, &[&motor("60 m", "none")[..], &[("output.filter", "sine filter")]].concat(), &unit);
        let silent = changed("R1", Duty::Heavy, |s| s.motor_sides[0].rise = None);
        is_silent(&CHECK, &motor("60 m", "none"), &silent, "rise");
    }
}
