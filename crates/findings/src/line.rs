//! What stands between the supply and the unit: its line side, the reactors ahead of it, the device that protects its branch.
//! Checks of several groups ask the same of it.

use calc::sources::{PACK, SURVEY};
use calc::working::{Recorder, Step};
use plant::choice::{Choice, Phases, ProtectiveDevice};
use plant::product::{LineSide, Protection};
use plant::quantity::{ApparentPower, Current, Ratio};
use plant::survey::{DEVICE, DEVICE_RATING, LOAD_CURRENT, REACTOR, SUPPLY_PHASES, SUPPLY_VOLTAGE};

use crate::candidate::{Candidate, Measure, Remedy};
use crate::facts::{Reader, Stop};

/// The reactor that is added where one is asked for.
pub(crate) const ADDED_REACTOR: Ratio = Ratio::percent(3.0);

/// Line side of the unit's frame.
pub(crate) fn side<'a>(unit: &Candidate<'a>) -> Result<&'a LineSide, Stop> {
    unit.series.line_side(&unit.rating.frame).ok_or(Stop::PackSilent("what its frame is towards the line (line.csv)"))
}

/// The unit's own reactor or choke.
pub(crate) fn choke(unit: &Candidate<'_>) -> Result<Ratio, Stop> {
    side(unit)?.choke.ok_or(Stop::PackSilent("its built-in choke or reactor (line.csv, choke; 0 % where there is none)"))
}

/// The line reactor ahead of the unit: the old one while it stays, or the one that is added.
pub(crate) fn reactor(facts: &mut Reader<'_>, unit: &Candidate<'_>) -> Result<Ratio, Stop> {
    if unit.measures.has(Measure::NoLineReactor) {
        return Ok(Ratio::ZERO);
    }
    let there = facts.get(REACTOR)?;
    Ok(if unit.measures.has(Measure::LineReactor) { there.max(ADDED_REACTOR) } else { there })
}

/// Reactor and choke together, recorded.
pub(crate) fn ahead<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Ratio, Stop> {
    let (own, reactor) = (choke(unit)?, reactor(facts, unit)?);
    rec.step(|| Step::new("z_c", "built-in choke or reactor, as its equivalent in the line", "", &PACK).gives(own));
    rec.step(|| {
        Step::new("z_r", "line reactor ahead", "", &SURVEY).gives(reactor).note(if unit.measures.has(Measure::LineReactor) {
            "with the one that is added"
        } else {
            "as its plate says; at another current its share changes in proportion"
        })
    });
    Ok(own + reactor)
}

/// A line reactor made for the unit.
pub(crate) fn line_reactor(unit: &Candidate<'_>) -> Vec<Remedy> {
    let known = side(unit).ok();
    let named = known.and_then(|s| s.reactor.as_deref()).map(|code| format!(" ({code})")).unwrap_or_default();
    vec![Remedy {
        measure: Measure::LineReactor,
        what: format!("fit a line reactor of 3 % ahead of the unit{named}, with room and air for its losses"),
        parts: known.and_then(|s| s.reactor_price),
        minutes: 90.0,
    }]
}

/// Rated input of the unit as it is fed here, √3 times as much a line on a single phase.
pub(crate) fn input_current<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Current, Stop> {
    let rated = unit.rating.input_current;
    rec.step(|| Step::new("I_in", "rated input current of the unit", "", &PACK).gives(rated));
    if facts.get(SUPPLY_PHASES)? == Phases::Three {
        return Ok(rated);
    }
    let single = rated * 3f64.sqrt();
    rec.step(|| {
        Step::new("I_1", "the same power on a single phase", "√3·I_in", &calc::sources::DEFINITION).with("I_in", rated).gives(single)
    });
    Ok(single)
}

/// How much of its rated current the unit gives at the worst load, at most all of it.
pub(crate) fn load_share(facts: &mut Reader<'_>, unit: &Candidate<'_>) -> Result<Ratio, Stop> {
    Ok(Ratio::of_one((facts.get(LOAD_CURRENT)? / unit.rating.current).min(1.0)))
}

/// Apparent power of a line current at the nominal voltage.
pub(crate) fn apparent(facts: &mut Reader<'_>, current: Current) -> Result<ApparentPower, Stop> {
    Ok(ApparentPower::va(3f64.sqrt() * facts.get(SUPPLY_VOLTAGE)?.in_v() * current.in_a()))
}

/// The device ahead of the unit.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Fitted<'a> {
    /// Kind and class.
    pub device: ProtectiveDevice,
    /// Rated current.
    pub rating: Current,
    /// Row of the unit's list that names the kind, where one does.
    pub listed: Option<&'a Protection>,
}

impl<'a> Fitted<'a> {
    /// The row, where the rating is within it too.
    pub(crate) fn within(&self) -> Option<&'a Protection> {
        self.listed.filter(|row| self.rating <= row.largest)
    }
}

/// The combination with the highest short-circuit rating, then the largest size.
pub(crate) fn best<'a>(unit: &Candidate<'a>) -> Option<&'a Protection> {
    let rank = |p: &Protection| (p.short_circuit_rating.in_a(), p.largest.in_a());
    unit.series.listed(&unit.rating.code).reduce(|best, next| if rank(next) > rank(best) { next } else { best })
}

/// The device ahead of the unit: as found, or the listed one that is fitted instead.
pub(crate) fn fitted<'a>(facts: &mut Reader<'_>, unit: &Candidate<'a>) -> Result<Fitted<'a>, Stop> {
    let best = best(unit).ok_or(Stop::PackSilent("the protection that it is listed with (protections.csv)"))?;
    if unit.measures.has(Measure::ListedDevice) {
        // Of the size that is there, as far as the list and the unit's own input current let it.
        let rating = facts.get(DEVICE_RATING)?.max(unit.rating.input_current).min(best.largest);
        return Ok(Fitted { device: best.device, rating, listed: Some(best) });
    }
    as_found(facts, unit)
}

/// The device as it was found.
pub(crate) fn as_found<'a>(facts: &mut Reader<'_>, unit: &Candidate<'a>) -> Result<Fitted<'a>, Stop> {
    let device = facts.get(DEVICE)?;
    let rating = facts.get(DEVICE_RATING)?;
    Ok(Fitted { device, rating, listed: unit.series.listed(&unit.rating.code).find(|p| p.device == device) })
}

/// The listed device in place of the one that is there.
pub(crate) fn listed_device(unit: &Candidate<'_>) -> Vec<Remedy> {
    best(unit)
        .map(|row| Remedy {
            measure: Measure::ListedDevice,
            what: format!(
                "fit the protection that the unit is listed with: {}, at most {}, with a holder that takes no other class",
                row.device.word(),
                row.largest
            ),
            parts: row.price,
            minutes: 60.0,
        })
        .into_iter()
        .collect()
}
