//! The harmonics of the unit, with those of its neighbours, lie above the limits that the plant is held to.

use calc::harmonics::{AtCoupling, Circuit, Coupling, Edition, Feed, Impedance, Load, Spectrum, at_coupling, front_end};
use calc::sources::{DEFINITION, Knowledge, Source};
use calc::working::{Recorder, Silent, Step};
use plant::choice::{FrontEnd, HarmonicLimit, Phases};
use plant::product::LineSide;
use plant::quantity::{Capacitance, Current, Frequency, Inductance, Power, Ratio, Resistance, Voltage};
use plant::survey::{FAULT_CURRENT, HARMONIC_LIMIT, LINEAR_LOAD, OTHER_RECTIFIERS, SUPPLY_PHASES, SUPPLY_VOLTAGE};

use crate::candidate::{Candidate, Measure, Remedy};
use crate::check::{Outcome, check};
use crate::facts::{Reader, Stop};
use crate::line::{ahead, line_reactor, load_share, side};

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

/// Distortion that a filter made for the unit is ordered for.
const FILTERED: Ratio = Ratio::percent(8.0);
/// Active over apparent power of the fundamental at a six-pulse rectifier.
const COS: f64 = 0.95;
/// Reactance over resistance of the supply.
const X_OVER_R: f64 = 6.0;
/// What is taken where nothing is stated.
const TAKEN: Source = Source::new(
    "fundamental at cos φ 0.95, supply with X/R = 6, neighbours as ideal six-pulse bridges I_h = I/h: habits of the trade",
    Knowledge::CommonPractice,
);
/// The order of the filter.
const FILTER: Source =
    Source::new("harmonic filters are ordered for 8 % or less at the unit's load, a habit of the trade", Knowledge::CommonPractice);

/// Orders of a six-pulse bridge that are counted.
const ORDERS: usize = 50;

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let Some(there) = at_the_panel(facts, unit, rec)? else { return Ok(Outcome::NotHere) };
    let margin = there.current_room.min(there.voltage_room);
    rec.step(|| Step::new("margin", "room to the tightest limit", "1 − value/limit", &DEFINITION).gives(margin));
    Ok(Outcome::Margin(margin.in_percent()))
}

/// Harmonics and limits at the panel; nothing where the plant is held to no limit.
pub(crate) fn at_the_panel<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Option<AtCoupling>, Stop> {
    let Some(limit) = facts.find(HARMONIC_LIMIT)? else { return Ok(None) };
    let edition = match limit {
        HarmonicLimit::Ieee2014 => Edition::Ieee2014,
        HarmonicLimit::Ieee2022 => Edition::Ieee2022,
    };
    let side = side(unit)?;
    let capacitance = unit.frame.bus_capacitance;
    let reactance = ahead(facts, unit, rec)?;
    let (fault, voltage) = (facts.get(FAULT_CURRENT)?, facts.get(SUPPLY_VOLTAGE)?);
    if facts.get(SUPPLY_PHASES)? == Phases::Single {
        return Err(Stop::Refused("harmonics of a single-phase feed are not weighed here; use `calc diode-front-end`".into()));
    }
    // What may be open is asked for before anything is solved.
    let (rectifiers, linear) = (facts.get(OTHER_RECTIFIERS)?, facts.get(LINEAR_LOAD)?);
    let share = load_share(facts, unit)?;
    let site = Line { voltage, fault, rated: unit.rating.input_current, share };
    let mut drive = spectrum(facts, side, capacitance, &site, reactance)?;
    if unit.measures.has(Measure::HarmonicFilter) {
        drive = scaled_to(&drive, FILTERED)?;
        rec.step(|| Step::new("THD_f", "distortion behind the filter", "", &FILTER).gives(FILTERED));
    }
    rec.step(|| {
        Step::new("THD_i", "distortion of the unit's line current", "I_H/I_1", &DEFINITION)
            .gives(drive.thd())
            .note("at its worst load, rounded up; see the page")
    });
    let old = facts.position().old_line_side.as_ref().zip(facts.position().old_frame.as_ref());
    if rec.keeps()
        && let Some((old, (frame, _))) = old
        && let Some(own) = old.choke
        && let Ok(before) = spectrum(facts, old, frame.bus_capacitance, &site, own)
    {
        rec.step(|| {
            Step::new("THD_old", "distortion of the old drive at the same load, by itself", "", &DEFINITION)
                .gives(before.thd())
                .note("before")
        });
    }
    let others = bridge(rectifiers)?;
    rec.step(|| Step::new("habits", "what is taken where nothing is stated", "", &TAKEN).gives("see source"));
    let point = Coupling { voltage, short_circuit: fault, linear, demand: None, edition };
    let loads: Vec<Spectrum> = std::iter::once(drive).chain(others).collect();
    Ok(Some(at_coupling(&point, &loads, rec)?))
}

/// The line at the panel, and what the unit draws from it.
struct Line {
    voltage: Voltage,
    fault: Current,
    rated: Current,
    share: Ratio,
}

/// Steps to which the load is rounded up.
const LOAD_STEP: f64 = 0.05;
/// Steps to which the fault current that makes the source is rounded up, as a factor.
const FAULT_STEP: f64 = 1.05;
/// Steps to which choke and reactor are rounded down.
const REACTANCE_STEP: f64 = 0.0025;
/// Steps end a little late, so that what lies on one is not taken for beyond it.
const ON_STEP: f64 = 1e-9;

impl Line {
    /// The same, rounded to a grid, so that the many completions of a survey share few solutions: more load, a stiffer source.
    fn rounded(&self) -> Self {
        let share = ((self.share.in_of_one() / LOAD_STEP - ON_STEP).ceil() * LOAD_STEP).max(LOAD_STEP);
        let fault = FAULT_STEP.powf((self.fault.in_a().ln() / FAULT_STEP.ln() - ON_STEP).ceil());
        Self { share: Ratio::of_one(share), fault: Current::a(fault), ..*self }
    }

    fn current(&self) -> Current {
        self.rated * self.share.in_of_one()
    }
}

/// Frequency that the calculation goes by: shares of a base do not depend on it.
const HERTZ: f64 = 60.0;
/// Drop of a pair of diodes.
const DIODES: Voltage = Voltage::v(1.8);

fn spectrum(
    facts: &Reader<'_>,
    side: &LineSide,
    capacitance: Option<Capacitance>,
    line: &Line,
    reactance: Ratio,
) -> Result<Spectrum, Stop> {
    let feed = match side.front_end {
        FrontEnd::SixPulse => Feed::ThreePhase,
        FrontEnd::TwelvePulse | FrontEnd::EighteenPulse | FrontEnd::Active => {
            let stated = side.distortion.ok_or(Stop::PackSilent("the current distortion of its front end (line.csv, distortion)"))?;
            return stated_spectrum(side.front_end, line.current(), stated);
        }
    };
    let capacitance = capacitance.ok_or(Stop::PackSilent("its bus capacitance (frames.csv, bus_capacitance)"))?;
    let line = line.rounded();
    let reactance = Ratio::of_one((reactance.in_of_one() / REACTANCE_STEP + ON_STEP).floor() * REACTANCE_STEP);
    let key =
        [line.voltage.in_v(), line.fault.in_a(), line.rated.in_a(), line.share.in_of_one(), reactance.in_of_one(), capacitance.in_farad()];
    facts.spectrum(key.map(f64::to_bits), || solved(feed, capacitance, &line, reactance))
}

fn solved(feed: Feed, capacitance: Capacitance, line: &Line, reactance: Ratio) -> Result<Spectrum, Stop> {
    let omega = std::f64::consts::TAU * HERTZ;
    let phase = line.voltage.in_v() / 3f64.sqrt();
    let z = phase / line.fault.in_a();
    let r = z / X_OVER_R.hypot(1.0);
    let base = phase / line.rated.in_a();
    let circuit = Circuit {
        feed,
        voltage: line.voltage,
        frequency: Frequency::hz(HERTZ),
        source: Impedance { resistance: Resistance::ohm(r), inductance: Inductance::henry(r * X_OVER_R / omega) },
        reactor: Impedance::pure(Inductance::henry(reactance.in_of_one() * base / omega)),
        winding: Impedance::NONE,
        choke: Impedance::NONE,
        capacitance,
        diode_drop: DIODES,
        load: Load::Power(Power::w(3f64.sqrt() * line.voltage.in_v() * line.current().in_a() * COS)),
    };
    Ok(front_end(&circuit, &mut Silent)?.spectrum)
}

/// A spectrum of which only the total is stated: all of it in the pair of orders that the front end leaves, or that the limits are
/// tightest for.
fn stated_spectrum(front_end: FrontEnd, current: Current, stated: Ratio) -> Result<Spectrum, Stop> {
    let pair = match front_end {
        FrontEnd::EighteenPulse => [17, 19],
        FrontEnd::TwelvePulse => [11, 13],
        FrontEnd::SixPulse | FrontEnd::Active => [5, 7],
    };
    let each = current * (stated.in_of_one() / 2f64.sqrt());
    let orders: Vec<Current> = (1..=ORDERS)
        .map(|h| match h {
            1 => current,
            h if pair.contains(&h) => each,
            _ => Current::ZERO,
        })
        .collect();
    Ok(Spectrum::new(&orders)?)
}

fn scaled_to(spectrum: &Spectrum, most: Ratio) -> Result<Spectrum, Stop> {
    let factor = (most / spectrum.thd()).min(1.0);
    let orders: Vec<Current> = (1..=ORDERS).map(|h| if h == 1 { spectrum.order(1) } else { spectrum.order(h) * factor }).collect();
    Ok(Spectrum::new(&orders)?)
}

/// The neighbours as an ideal six-pulse bridge; nothing where there are none.
fn bridge(current: Current) -> Result<Option<Spectrum>, Stop> {
    if current == Current::ZERO {
        return Ok(None);
    }
    let orders: Vec<Current> = (1..=ORDERS)
        .zip(1u8..)
        .map(|(h, n)| if h == 1 || h % 6 == 1 || h % 6 == 5 { current / f64::from(n) } else { Current::ZERO })
        .collect();
    Ok(Some(Spectrum::new(&orders)?))
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
    use plant::choice::Duty;

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
