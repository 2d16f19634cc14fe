//! What becomes of the conductors of a position at a candidate: worked out once for each frame of a series, since it hangs on no
//! uncertain fact; the ranges of the list stand in its lines.

use std::rc::Rc;

use plant::position::Prices;
use plant::wires::{Conductor, Function, PointKind};
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
    pub fn wired(&self, unit: &Candidate<'_>) -> Result<Option<Rc<Wired>>, Stop> {
        self.survey.wired(unit)
    }
}

impl Survey<'_> {
    /// The conductors at a unit; `None` where none are listed.
    ///
    /// # Errors
    /// [`Stop::PackSilent`] when the unit's pack has no control points.
    pub fn wired(&self, unit: &Candidate<'_>) -> Result<Option<Rc<Wired>>, Stop> {
        let Some(list) = &self.position.wires else { return Ok(None) };
        if unit.series.points.is_empty() {
            return Err(Stop::PackSilent("the points for control wires (points.csv)"));
        }
        let key = (std::ptr::from_ref(unit.series) as usize, unit.frame.name.clone());
        if let Some(known) = self.wired.borrow().get(&key) {
            return Ok(Some(Rc::clone(known)));
        }
        let wired = Rc::new(digest(crosswalk(list, unit.series, Some(&unit.frame.name), self.landing), self.landing.prices));
        self.wired.borrow_mut().insert(key, Rc::clone(&wired));
        Ok(Some(wired))
    }
}
