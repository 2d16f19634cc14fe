//! What becomes of the conductors of a position at a candidate: worked out once for each frame of a series, since it hangs on no
//! uncertain fact; the ranges of the list stand in its lines.

use std::sync::{Arc, Mutex, OnceLock, PoisonError};

use plant::price::Prices;
use plant::wires::{Conductor, Function, PointKind};
use rustc_hash::FxHashMap;
use transfer::wires::crosswalk::StartCondition;
use transfer::wires::{Billed, Crosswalk, Line, Permissive, Scheme, crosswalk};

use super::{Reader, Stop, Survey};
use crate::candidate::Candidate;

/// The conductors of a position at one unit.
#[derive(Clone, Debug)]
pub struct Wired {
    /// The circuits, in the order of the list.
    pub circuits: Vec<WiredCircuit>,
    /// What the unit waits for.
    pub conditions: Vec<StartCondition>,
    /// How the machine is started and stopped.
    pub schemes: Vec<Scheme>,
    /// What must be so before the machine may run.
    pub permissives: Vec<Permissive>,
    /// Modules, a factory variant or parts are needed.
    pub buys: bool,
    /// What they are, with their prices.
    pub bill: Vec<Billed>,
    /// Minutes of fitting them.
    pub minutes: f64,
}

/// What becomes of the conductors of one position, by series and frame; copies share it. It hangs on no fact: whoever keeps it for longer
/// than one survey keeps it for one list of conductors, one site and one state of the packs.
#[derive(Clone, Debug, Default)]
pub struct WiredUnits(Arc<Mutex<FxHashMap<String, Frames>>>);

/// The frames of one series, each worked out once by whoever asks first.
type Frames = FxHashMap<String, Arc<OnceLock<Arc<Wired>>>>;

impl WiredUnits {
    fn of(&self, series: &str, frame: &str, work_out: impl FnOnce() -> Wired) -> Arc<Wired> {
        let place = {
            let mut units = self.0.lock().unwrap_or_else(PoisonError::into_inner);
            if let Some(known) = units.get(series).and_then(|frames| frames.get(frame)) {
                Arc::clone(known)
            } else {
                Arc::clone(units.entry(series.to_owned()).or_default().entry(frame.to_owned()).or_default())
            }
        };
        Arc::clone(place.get_or_init(|| Arc::new(work_out())))
    }
}

/// One circuit.
#[derive(Clone, Debug)]
pub struct WiredCircuit {
    /// Its name.
    pub name: String,
    /// What it is for; `None` where the list does not say it in known words.
    pub function: Option<&'static Function>,
    /// What is known of it.
    pub nature: Conductor,
    /// It has a point, or a part in its place, or needs none.
    pub placed: bool,
    /// Kind of the point that it is landed at, and whether that comes with a module or variant.
    pub point: Option<(PointKind, bool)>,
    /// It needs a part.
    pub parts: bool,
    /// The proof without parts.
    pub direct: Vec<Line>,
    /// The proof with them.
    pub lines: Vec<Line>,
}

impl WiredCircuit {
    /// Whether it is for this.
    #[must_use]
    pub fn is(&self, id: &str) -> bool {
        self.function.is_some_and(|f| f.id == id)
    }
}

fn digest(found: Crosswalk<'_>, prices: Prices) -> Wired {
    let unplaced: Vec<usize> = found.unplaced().collect();
    let (buys, bill, minutes) = (found.buys(), found.bill(prices), found.fitting_minutes());
    let circuits = found.circuits.into_iter().zip(found.landings).enumerate().map(|(at, (circuit, landing))| WiredCircuit {
        name: circuit.name,
        function: circuit.function,
        nature: circuit.nature,
        placed: !unplaced.contains(&at),
        point: landing.point.and_then(|p| Some((p.kind?, p.module.is_some() || p.variant.is_some()))),
        parts: !landing.parts.is_empty(),
        direct: landing.direct,
        lines: landing.lines,
    });
    Wired {
        circuits: circuits.collect(),
        conditions: found.conditions,
        schemes: found.schemes,
        permissives: found.permissives,
        buys,
        bill,
        minutes,
    }
}

impl Reader<'_> {
    /// The conductors at a unit; `None` where none are listed.
    ///
    /// # Errors
    /// [`Stop::PackSilent`] when the unit's pack has no control points.
    pub fn wired(&self, unit: &Candidate<'_>) -> Result<Option<Arc<Wired>>, Stop> {
        self.survey.wired(unit)
    }
}

impl Survey<'_> {
    /// The conductors at a unit; `None` where none are listed.
    ///
    /// # Errors
    /// [`Stop::PackSilent`] when the unit's pack has no control points.
    pub fn wired(&self, unit: &Candidate<'_>) -> Result<Option<Arc<Wired>>, Stop> {
        let Some(list) = &self.position.wires else { return Ok(None) };
        if unit.series.points.is_empty() {
            return Err(Stop::PackSilent("the points for control wires (points.csv)"));
        }
        let work_out = || digest(crosswalk(list, unit.series, Some(&unit.frame.name), self.landing), self.landing.prices);
        Ok(Some(self.wired.of(&unit.series.id, &unit.frame.name, work_out)))
    }
}
