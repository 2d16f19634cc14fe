//! What a front end draws from the line at this site, and what it does to its own DC link: solved once for all completions and
//! positions that round to the same circuit. The findings of harmonics and the audit of the power path both ask for it.

use std::sync::{LazyLock, PoisonError, RwLock};

use calc::harmonics::{Circuit, Feed, Impedance, Load, Spectrum, front_end};
use calc::sources::{Knowledge, Source};
use calc::working::Silent;
use plant::choice::{FrontEnd, Phases};
use plant::product::LineSide;
use plant::quantity::{Capacitance, Current, Frequency, Inductance, Power, Ratio, Resistance, Voltage};
use plant::survey::{FAULT_CURRENT, SUPPLY_PHASES, SUPPLY_VOLTAGE};
use rustc_hash::FxHashMap;

use crate::candidate::{Candidate, Measure};
use crate::facts::{Reader, Stop};
use crate::line::{load_share, side};

/// Distortion that a filter made for the unit is ordered for.
pub(crate) const FILTERED: Ratio = Ratio::percent(8.0);
/// Active over apparent power of the fundamental at a six-pulse rectifier.
const COS: f64 = 0.95;
/// Reactance over resistance of the supply.
const X_OVER_R: f64 = 6.0;
/// What is taken where nothing is stated.
pub(crate) const TAKEN: Source = Source::new(
    "fundamental at cos φ 0.95, supply with X/R = 6, neighbours as ideal six-pulse bridges I_h = I/h: habits of the trade",
    Knowledge::CommonPractice,
);
/// Where the waveform comes from.
pub(crate) const SOLVED: Source =
    Source::new("diode bridge solved exactly between switching instants; cos φ 0.95 and X/R 6 are habits of the trade", Knowledge::Derived);
/// Orders that are counted.
const ORDERS: usize = 50;

/// What a front end draws, and what its link takes.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Drawn {
    /// Line currents by order.
    pub spectrum: Spectrum,
    /// The DC link; nothing where only a distortion is stated.
    pub link: Option<LinkStress>,
}

/// The DC link under load.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct LinkStress {
    /// Ripple, peak to peak.
    pub ripple: Voltage,
    /// Mean voltage.
    pub mean: Voltage,
    /// Current of the capacitor from the rectifier, rms; the inverter's comes on top.
    pub capacitor: Current,
}

/// What a unit draws here at its worst load behind `reactance` (reactor and choke together), behind its filter where one is fitted.
pub(crate) fn drawn(facts: &mut Reader<'_>, unit: &Candidate<'_>, reactance: Ratio) -> Result<Drawn, Stop> {
    let line = Line::here(facts, unit)?;
    let mut found = of_side(side(unit)?, unit.frame.bus_capacitance, &line, reactance)?;
    if unit.measures.has(Measure::HarmonicFilter) {
        found.spectrum = scaled_to(&found.spectrum, FILTERED)?;
    }
    Ok(found)
}

/// What the old drive's front end draws at the unit's load, by itself, where its pack tells.
pub(crate) fn drawn_by_old(facts: &mut Reader<'_>, unit: &Candidate<'_>) -> Option<Drawn> {
    let (old, (frame, _)) = facts.position().old_line_side.as_ref().zip(facts.position().old_frame.as_ref())?;
    let line = Line::here(facts, unit).ok()?;
    of_side(old, frame.bus_capacitance, &line, old.choke?).ok()
}

/// The line at the panel, and what the unit draws from it.
struct Line {
    feed: Feed,
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
    fn here(facts: &mut Reader<'_>, unit: &Candidate<'_>) -> Result<Self, Stop> {
        let feed = if facts.get(SUPPLY_PHASES)? == Phases::Single { Feed::SinglePhase } else { Feed::ThreePhase };
        let (voltage, fault) = (facts.get(SUPPLY_VOLTAGE)?, facts.get(FAULT_CURRENT)?);
        Ok(Self { feed, voltage, fault, rated: unit.rating.input_current, share: load_share(facts, unit)? })
    }

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

fn of_side(side: &LineSide, capacitance: Option<Capacitance>, line: &Line, reactance: Ratio) -> Result<Drawn, Stop> {
    match side.front_end {
        FrontEnd::SixPulse => {}
        FrontEnd::TwelvePulse | FrontEnd::EighteenPulse | FrontEnd::Active => {
            let stated = side.distortion.ok_or(Stop::PackSilent("the current distortion of its front end (line.csv, distortion)"))?;
            let spectrum = stated_spectrum(side.front_end, line.current(), stated)?;
            return Ok(Drawn { spectrum, link: None });
        }
    }
    let capacitance = capacitance.ok_or(Stop::PackSilent("its bus capacitance (frames.csv, bus_capacitance)"))?;
    let line = line.rounded();
    let reactance = Ratio::of_one((reactance.in_of_one() / REACTANCE_STEP + ON_STEP).floor() * REACTANCE_STEP);
    let key = [
        line.feed.lines(),
        line.voltage.in_v(),
        line.fault.in_a(),
        line.rated.in_a(),
        line.share.in_of_one(),
        reactance.in_of_one(),
        capacitance.in_farad(),
    ];
    known(key.map(f64::to_bits), || solved(capacitance, &line, reactance))
}

/// A circuit, by the bits of what it depends on.
type Key = [u64; 7];
/// Circuits that were solved, of all positions: a changed fact, another candidate, a neighbour on the same transformer mostly ask for
/// the same ones again.
static SOLVED_BEFORE: LazyLock<RwLock<FxHashMap<Key, Result<Drawn, Stop>>>> = LazyLock::new(RwLock::default);
/// How many are kept before the store is emptied, some 5 MB: bounds memory, not correctness.
const KEPT: usize = 8192;

fn known(key: Key, solve: impl FnOnce() -> Result<Drawn, Stop>) -> Result<Drawn, Stop> {
    if let Some(known) = SOLVED_BEFORE.read().unwrap_or_else(PoisonError::into_inner).get(&key) {
        return known.clone();
    }
    let solved = solve();
    let mut store = SOLVED_BEFORE.write().unwrap_or_else(PoisonError::into_inner);
    if store.len() >= KEPT {
        store.clear();
    }
    store.insert(key, solved.clone());
    solved
}

fn solved(capacitance: Capacitance, line: &Line, reactance: Ratio) -> Result<Drawn, Stop> {
    let omega = std::f64::consts::TAU * HERTZ;
    let phase = line.voltage.in_v() / 3f64.sqrt();
    let z = phase / line.fault.in_a();
    let r = z / X_OVER_R.hypot(1.0);
    let base = phase / line.rated.in_a();
    let circuit = Circuit {
        feed: line.feed,
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
    let found = front_end(&circuit, &mut Silent)?;
    let link = LinkStress { ripple: found.ripple, mean: found.dc_voltage, capacitor: found.capacitor_current };
    Ok(Drawn { spectrum: found.spectrum, link: Some(link) })
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
pub(crate) fn bridge(current: Current) -> Result<Option<Spectrum>, Stop> {
    if current == Current::ZERO {
        return Ok(None);
    }
    let mut orders = [Current::ZERO; ORDERS];
    for (order, h) in orders.iter_mut().zip(1u8..).filter(|(_, h)| *h == 1 || h % 6 == 1 || h % 6 == 5) {
        *order = current / f64::from(h);
    }
    Ok(Some(Spectrum::new(&orders)?))
}
