//! The harmonics of the unit, with those of its neighbours, lie above the limits that the plant is held to.

use calc::harmonics::{AtCoupling, Coupling, Edition, Spectrum, at_coupling};
use calc::sources::{DEFINITION, Knowledge, Source};
use calc::working::{Recorder, Step};
use plant::choice::HarmonicLimit;
use plant::survey::{FAULT_CURRENT, HARMONIC_LIMIT, LINEAR_LOAD, OTHER_RECTIFIERS, SUPPLY_VOLTAGE};

use crate::candidate::{Candidate, Measure, Remedy};
use crate::check::{Outcome, check};
use crate::facts::{Reader, Stop};
use crate::front_end::{FILTERED, TAKEN, bridge, drawn, drawn_by_old};
use crate::line::{ahead, line_reactor, side};

check! {
    name: "harmonics/limit-exceeded",
    severity: Downtime,
    rows: &[27],
    unit: "%",
    ways: &[],
    measures: &[Measure::LineReactor, Measure::NoLineReactor, Measure::HarmonicFilter],
    page: "limit_exceeded.md",
    run: run,
    remedies: remedies,
}

/// The order of the filter.
const FILTER: Source =
    Source::new("harmonic filters are ordered for 8 % or less at the unit's load, a habit of the trade", Knowledge::CommonPractice);

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let Some(there) = at_the_panel(facts, unit, rec)? else { return Ok(Outcome::NotHere) };
    let margin = there.current_room.min(there.voltage_room);
    rec.step(|| Step::new("margin", "room to the tightest limit", "1 − value/limit", &DEFINITION).gives(margin));
    Ok(Outcome::Margin(margin.in_percent()))
}

/// Harmonics and limits at the panel; nothing where the plant is held to no limit.
pub(crate) fn at_the_panel<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Option<AtCoupling>, Stop> {
    let Some(limit) = facts.find(HARMONIC_LIMIT)? else { return Ok(None) };
    let reactance = ahead(facts, unit, rec)?;
    // What may be open is asked for before anything is solved.
    let (rectifiers, linear) = (facts.get(OTHER_RECTIFIERS)?, facts.get(LINEAR_LOAD)?);
    let drive = drawn(facts, unit, reactance)?.spectrum;
    if unit.measures.has(Measure::HarmonicFilter) {
        rec.step(|| Step::new("THD_f", "distortion behind the filter", "", &FILTER).gives(FILTERED));
    }
    rec.step(|| {
        Step::new("THD_i", "distortion of the unit's line current", "I_H/I_1", &DEFINITION)
            .gives(drive.thd())
            .note("at its worst load, rounded up; see the page")
    });
    if rec.keeps()
        && let Some(before) = drawn_by_old(facts, unit)
    {
        rec.step(|| {
            Step::new("THD_old", "distortion of the old drive at the same load, by itself", "", &DEFINITION)
                .gives(before.spectrum.thd())
                .note("before")
        });
    }
    let others = bridge(rectifiers)?;
    rec.step(|| Step::new("habits", "what is taken where nothing is stated", "", &TAKEN).gives("see source"));
    let (voltage, short_circuit) = (facts.get(SUPPLY_VOLTAGE)?, facts.get(FAULT_CURRENT)?);
    let point = Coupling { voltage, short_circuit, linear, demand: None, edition: edition(limit) };
    let loads: Vec<Spectrum> = std::iter::once(drive).chain(others).collect();
    Ok(Some(at_coupling(&point, &loads, rec)?))
}

/// The edition whose limits count.
pub(crate) fn edition(limit: HarmonicLimit) -> Edition {
    match limit {
        HarmonicLimit::Ieee2014 => Edition::Ieee2014,
        HarmonicLimit::Ieee2022 => Edition::Ieee2022,
    }
}

fn remedies(unit: &Candidate<'_>) -> Vec<Remedy> {
    let known = side(unit).ok();
    let named = known.and_then(|s| s.filter.as_deref()).map(|code| format!(" ({code})")).unwrap_or_default();
    let mut list = line_reactor(unit);
    list.push(Remedy {
        measure: Measure::HarmonicFilter,
        what: format!("fit a harmonic filter ordered for 8 % or less at this load{named}, with room and air for it"),
        parts: known.and_then(|s| s.filter_price),
        minutes: 240.0,
    });
    list
}

#[cfg(test)]
mod tests {
    use plant::choice::{Duty, FrontEnd};
    use plant::quantity::Ratio;

    use super::*;
    use crate::fixture::{by_hand, changed, is_not_here, is_open, is_silent, outcome, unit, with};

    fn at<'a>(others: &'a str, linear: &'a str) -> [(&'a str, &'a str); 8] {
        [
            ("supply.phases", "three"),
            ("supply.harmonic_limit", "IEEE 519-2022"),
            ("supply.voltage", "480 V"),
            ("supply.fault_current", "10 kA"),
            ("supply.reactor", "0 %"),
            ("load.current", "52 A"),
            ("supply.other_rectifiers", others),
            ("supply.linear_load", linear),
        ]
    }

    fn active(distortion: f64) -> Candidate<'static> {
        changed("R1", Duty::Heavy, |s| {
            s.line_sides[0].front_end = FrontEnd::Active;
            s.line_sides[0].distortion = Some(Ratio::percent(distortion));
        })
    }

    #[test]
    fn a_stated_distortion_against_the_limit_by_hand() {
        // 52 A of 5 % beside 148 A without harmonics: I_L = 200 A, I_sc/I_L = 50: limits of IEEE 519-2022 Table 2 from 20 to below
        // 50 no longer, of 50 to 100: 10 % up to the 11th, 12 % TDD. Each order 52·5 %/√2 = 1.838 A: 0.919 % of 200 A; total
        // 1.3 %. Room: 1 − 0.919/10 = 90.81 %, 1 − 1.3/12 = 89.17 %; voltage far below.
        by_hand(&CHECK, &at("0 A", "148 A"), &active(5.0), 89.17);
    }

    #[test]
    fn a_bare_six_pulse_bridge_alone_exceeds_them_and_a_filter_settles_it() {
        let bare = unit("R1", Duty::Heavy);
        let margin = |unit: &Candidate<'_>, linear| match outcome(&CHECK, &at("0 A", linear), unit) {
            Ok(Outcome::Margin(margin)) => margin,
            other => panic!("{other:?}"),
        };
        assert!(margin(&bare, "0 A") < 0.0);
        assert!(margin(&with(&CHECK, &bare, Measure::HarmonicFilter), "0 A") >= 0.0);
        // A reactor lowers it, and so does more load without harmonics.
        assert!(margin(&with(&CHECK, &bare, Measure::LineReactor), "0 A") > margin(&bare, "0 A"));
        assert!(margin(&bare, "400 A") > margin(&bare, "0 A"));
    }

    #[test]
    fn without_a_limit_there_is_no_fault() {
        is_not_here(&CHECK, &[], &unit("R1", Duty::Heavy));
        is_open(&CHECK, &at("0 A", "1 A")[..7], &unit("R1", Duty::Heavy), "supply.linear_load");
        is_silent(&CHECK, &at("0 A", "1 A"), &changed("R1", Duty::Heavy, |s| s.frames[0].bus_capacitance = None), "bus_capacitance");
    }
}
