//! What findings reckon with, as curves at one completion of the survey, for people who would rather look than read. Nothing is
//! judged here: each curve is made by the formulas of the finding that it belongs to.

use calc::drive::capability::Capability;
use calc::drive::windows::largest_mean_square;
use calc::harmonics::AtCoupling;
use calc::motor::cooling::continuous_torque;
use calc::motor::current::available_torque;
use calc::working::Silent;
use plant::choice::{Cooling, LoadKind};
use plant::quantity::{Current, Frequency, Length, Ratio, Time, Voltage};
use plant::survey::{
    LOAD_CURRENT, LOAD_KIND, LOAD_PEAK_TIME, MOTOR_COOLING, MOTOR_FREQUENCY, MOTOR_VOLTAGE, SPEED_HIGHEST, SPEED_LOWEST, SUPPLY_LOWEST,
};

use crate::candidate::{Candidate, Measure};
use crate::facts::{Reader, Stop};

/// Points of a curve: across, up.
pub type Points = Vec<(f64, f64)>;

/// Points of each curve.
const POINTS: usize = 49;

/// The load's current against what the unit gives, both over how long it lasts (s, A).
#[derive(Clone, Debug, PartialEq)]
pub struct Overload {
    /// Largest root mean square over any stretch of that length.
    pub asked: Points,
    /// Largest current that the unit gives for that long.
    pub given: Points,
    /// Continuous current of the unit at the site.
    pub continuous: Current,
    /// Where the load's record comes from.
    pub origin: &'static str,
}

/// As `rating/overload-short` sees it.
///
/// # Errors
/// When a fact is open or the pack is silent.
pub fn overload(facts: &mut Reader<'_>, unit: &Candidate<'_>) -> Result<Overload, Stop> {
    /// Shortest stretch that is shown.
    const SHORTEST: f64 = 0.5;
    /// Longest stretch that is shown: longer ones tell nothing more.
    const LONGEST: f64 = 14_400.0;
    if unit.overloads.is_empty() {
        return Err(Stop::PackSilent("overload points of this duty class (overloads.csv)"));
    }
    let continuous = unit.reduced(facts, &mut Silent)?.current;
    let demand = facts.demand()?;
    let record = &demand.get()?.record;
    let capability = Capability { rating: continuous, points: &unit.overloads };
    let duration = record.duration().in_s();
    let end = if record.repeats { (duration * 2.0).clamp(120.0, LONGEST) } else { duration.min(LONGEST) }.max(SHORTEST * 2.0);
    let (mut asked, mut given) = (Points::new(), Points::new());
    // The stated times too: there the outline has its corners.
    let stated = unit.overloads.iter().map(|p| p.time_s).filter(|t| (SHORTEST..end).contains(t));
    let mut times: Vec<f64> = (0..POINTS).map(|step| SHORTEST * (end / SHORTEST).powf(share(step))).chain(stated).collect();
    times.sort_by(f64::total_cmp);
    for time in times {
        if let Some(square) = largest_mean_square(record, Time::s(time)) {
            asked.push((time, square.sqrt()));
        }
        if continuous > Current::ZERO {
            given.push((time, capability.current_for(Time::s(time), &mut Silent)?.in_a()));
        }
    }
    Ok(Overload { asked, given, continuous, origin: demand.origin() })
}

/// Torque over output frequency (Hz, share of the motor's rated torque).
#[derive(Clone, Debug, PartialEq)]
pub struct Torque {
    /// What the load asks for at its worst load, along its law.
    pub load: Points,
    /// What the motor may give without end with its cooling.
    pub cooled: Points,
    /// What unit and motor give for the length of the peak.
    pub short: Points,
    /// How long that is.
    pub short_time: Time,
    /// Lowest speed in use.
    pub lowest: Frequency,
    /// Highest speed in use.
    pub highest: Frequency,
}

/// Room that breakdown torque must keep above the load's torque: common practice, no source.
const ROOM: Ratio = Ratio::of_one(1.3);

/// As `motor/hot-at-low-speed`, `rating/breakaway-short` and `speed/top-speed-short` see it.
///
/// # Errors
/// When a fact is open or the pack is silent.
pub fn torque(facts: &mut Reader<'_>, unit: &Candidate<'_>) -> Result<Torque, Stop> {
    let (lowest, highest, base) = (facts.get(SPEED_LOWEST)?, facts.get(SPEED_HIGHEST)?, facts.get(MOTOR_FREQUENCY)?);
    // Above the frequency where the voltage ends the field weakens.
    let corner = base * (facts.get(SUPPLY_LOWEST)? / facts.get(MOTOR_VOLTAGE)?).min(1.0);
    let cooling = if unit.measures.has(Measure::Blower) { Cooling::Forced } else { facts.get(MOTOR_COOLING)? };
    let kind = facts.get(LOAD_KIND)?;
    let loading = facts.get(LOAD_CURRENT)? / facts.all_motors()?;
    let model = crate::demand::current_model(facts)?;
    let short_time = facts.get(LOAD_PEAK_TIME)?;
    let most = unit.reduced(facts, &mut Silent)?.current * unit.multiple_for(short_time.in_s());
    let mut torque = Torque { load: Points::new(), cooled: Points::new(), short: Points::new(), short_time, lowest, highest };
    let end = highest.max(base) * 1.1;
    // The speeds in use too: between them curves are read.
    let mut speeds: Vec<Frequency> = (0..POINTS).map(|step| end * share(step)).chain([lowest.abs(), highest.abs()]).collect();
    speeds.sort_by(|a, b| a.in_hz().total_cmp(&b.in_hz()));
    speeds.dedup();
    for at in speeds {
        let (hz, x) = (at.in_hz(), Ratio::of_one(at / base));
        torque.load.push((hz, loading * along(kind, x.in_of_one())));
        torque.cooled.push((hz, continuous_torque(cooling, x, &mut Silent)?.in_of_one()));
        let limit = most * unit.output_frequency_factor(at).in_of_one();
        torque.short.push((hz, available_torque(&model, limit, Ratio::of_one(at / corner), ROOM, &mut Silent)?.torque.in_of_one()));
    }
    Ok(torque)
}

/// The law of a load: share of its torque at rated frequency.
fn along(kind: LoadKind, x: f64) -> f64 {
    match kind {
        LoadKind::Quadratic => x * x,
        LoadKind::Linear => x,
        LoadKind::ConstantPower => 1.0 / x.max(1.0),
        LoadKind::ConstantTorque | LoadKind::Conveyor | LoadKind::Elevator | LoadKind::Hoist | LoadKind::HighInertia => 1.0,
    }
}

/// The voltage at the motor over the length of the cable (m, V).
#[derive(Clone, Debug, PartialEq)]
pub struct Waves {
    /// Bound on the peak.
    pub bound: Points,
    /// The length as it is.
    pub length: Length,
    /// Length from which on a wave comes back in full.
    pub critical: Length,
    /// What the winding stands.
    pub stands: Voltage,
}

/// As `motor/winding-overstressed` sees it; nothing where a sine filter takes the waves away.
///
/// # Errors
/// When a fact is open or the pack is silent.
pub fn waves(facts: &mut Reader<'_>, unit: &Candidate<'_>) -> Result<Option<Waves>, Stop> {
    let found = crate::motor::winding_overstressed::along_the_cable(facts, unit, POINTS)?;
    Ok(found.map(|w| Waves { bound: w.bound, length: w.length, critical: w.critical, stands: w.stands }))
}

/// The currents at the panel by order with their limits, as `harmonics/limit-exceeded` sees them; nothing where the plant is held to no
/// limit.
///
/// # Errors
/// When a fact is open or the pack is silent.
pub fn spectrum(facts: &mut Reader<'_>, unit: &Candidate<'_>) -> Result<Option<AtCoupling>, Stop> {
    crate::harmonics::limit_exceeded::at_the_panel(facts, unit, &mut Silent)
}

/// Where a step lies between the first and the last point, 0 to 1.
fn share(step: usize) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "a few dozen points of a curve")]
    let share = step as f64 / (POINTS - 1) as f64;
    share
}

#[cfg(test)]
mod tests {
    use plant::choice::Duty;

    use super::*;
    use crate::facts::Survey;
    use crate::fixture::{CYCLE, GOOD_PLACE, position, unit};

    fn drawn(entries: &[(&str, &str)], unit: &Candidate<'_>) -> Overload {
        let position = position(entries);
        let survey = Survey::new(&position);
        let middle = survey.middle();
        overload(&mut survey.at(&middle), unit).expect("a complete survey")
    }

    #[test]
    fn the_current_meets_the_capability_where_the_finding_says_just_covered() {
        // 150 % of 52 A for 60 s is just what the unit gives; everywhere else it gives more.
        let survey =
            [GOOD_PLACE, &[("load.current", "40 A"), ("load.starts", "6 1/h"), ("load.peak_current", "78 A"), ("load.peak_time", "60 s")]]
                .concat();
        let curves = drawn(&survey, &unit("R1", Duty::Heavy));
        let tightest = curves.asked.iter().zip(&curves.given).map(|(a, g)| g.1 - a.1).fold(f64::INFINITY, f64::min);
        assert!(tightest.abs() < 1e-6, "{tightest}");
        assert!((curves.continuous.in_a() - 52.0).abs() < 1e-9);
        // The rms over ten minutes: √((78²·60 + 40²·540)/600) = √2048.4 = 45.259 A.
        let ten = curves.asked.iter().min_by(|a, b| (a.0 - 600.0).abs().total_cmp(&(b.0 - 600.0).abs())).expect("points");
        assert!((ten.1 - 45.3).abs() < 2.0, "{ten:?}");
    }

    #[test]
    fn a_cycle_that_is_not_covered_crosses_the_curve() {
        let curves = drawn(&[GOOD_PLACE, CYCLE].concat(), &unit("R2", Duty::Heavy));
        assert!(curves.asked.iter().zip(&curves.given).any(|(a, g)| a.1 > g.1));
    }
}
