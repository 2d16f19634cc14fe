//! What becomes of every conductor: landed, interposed, spared or removed, none left out and none twice; with the links to put in and
//! out, the modules to fit, the permissives and the start and stop scheme.

use plant::price::{ListedPart, Prices};
use plant::product::Series;
use plant::wires::{Conductor, ControlPoint, Fitted, Flow, LinkFor, PointKind, Pole, Sense, WireList, Wiring};

use super::circuit::{Circuit, circuits};
use super::part::Part;
use super::place::{MODULE_MINUTES, Placed, Rules, WIRE_MINUTES, Way, nearest, place};
use super::proof::{Fault, Line, Verdict, is_dry, needed_wiring, worst};
use super::scheme::{Permissive, Scheme, permissives, schemes};

/// What becomes of a conductor.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Action {
    /// It ends at a terminal of the new unit.
    Landed,
    /// It ends at a part that stands between it and the unit.
    Interposed,
    /// It is kept, insulated and tagged, and ends nowhere.
    Spared,
    /// It is taken out: what it was for is gone.
    Removed,
}

impl Action {
    /// As in JSON.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Landed => "landed",
            Self::Interposed => "interposed",
            Self::Spared => "spared",
            Self::Removed => "removed",
        }
    }
}

/// What becomes of one conductor.
#[derive(Clone, Debug)]
pub struct Row {
    /// Index of the conductor in the list.
    pub conductor: usize,
    /// Index of its circuit.
    pub circuit: usize,
    /// What becomes of it.
    pub action: Action,
    /// Where it ends; empty where nowhere.
    pub new: String,
    /// Why.
    pub reason: String,
}

/// What becomes of one circuit.
#[derive(Clone, Debug)]
pub struct Landing<'s> {
    /// Where it is landed; `None` for a part of its own, or nowhere.
    pub point: Option<&'s ControlPoint>,
    /// What stands between, or stands in for the unit.
    pub parts: Vec<Part>,
    /// The proof with the parts in place; of the nearest point where it is landed nowhere.
    pub lines: Vec<Line>,
    /// The proof without parts.
    pub direct: Vec<Line>,
    /// It needs a point and has one, or a part in its place.
    pub placed: bool,
}

impl Landing<'_> {
    /// The unit's point with its first terminal: "input 1 X2:1"; `None` where it is landed at none.
    #[must_use]
    pub fn at(&self) -> Option<String> {
        let point = self.point?;
        let terminal = point.terminals.first().map_or_else(|| point.name.clone(), |(_, t)| where_on(point, t));
        Some(format!("{} {terminal}", point.name))
    }
}

/// A link to put in, take out or leave.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LinkWork {
    /// Its name.
    pub link: String,
    /// Whether it has to be in.
    pub wanted: bool,
    /// Whether it is delivered so.
    pub delivered: bool,
    /// Why.
    pub why: String,
}

/// A point without which the unit does not become ready.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StartCondition {
    /// The point.
    pub point: String,
    /// What closes it; `None` where nothing does.
    pub closed_by: Option<String>,
}

/// A line of the bill for the conductors.
#[derive(Clone, Debug, PartialEq)]
pub struct Billed {
    /// What is bought.
    pub what: String,
    /// Its price.
    pub price: Option<f64>,
    /// How it is bought.
    pub bought: Bought,
}

/// How a line of the bill is bought, and with that in whose currency its price is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Bought {
    /// As the unit itself, ordered otherwise; in the pack's currency.
    AsUnit,
    /// With the unit, from its own list; in the pack's currency.
    WithUnit,
    /// From whoever sells such parts; in the site's currency.
    OfTrade(ListedPart),
}

impl Billed {
    /// Its price where the currencies of pack and site are the same, or where they are not: money of different currencies is not added up.
    #[must_use]
    pub fn price_at_site(&self, same_currency: bool) -> Option<f64> {
        self.price.filter(|_| same_currency || matches!(self.bought, Bought::OfTrade(_)))
    }
}

/// The whole answer for a list and a unit.
#[derive(Clone, Debug)]
pub struct Crosswalk<'s> {
    /// The circuits.
    pub circuits: Vec<Circuit>,
    /// For each circuit what becomes of it.
    pub landings: Vec<Landing<'s>>,
    /// For each conductor what becomes of it, in the order of the list.
    pub rows: Vec<Row>,
    /// Slot and code of each module to fit.
    pub modules: Vec<(String, &'s plant::product::Module)>,
    /// Factory variant to order.
    pub variant: Option<&'s plant::product::Variant>,
    /// Links.
    pub links: Vec<LinkWork>,
    /// What has to be closed before the unit is ready.
    pub conditions: Vec<StartCondition>,
    /// How the machine is started and stopped.
    pub schemes: Vec<Scheme>,
    /// What must be so before it may run.
    pub permissives: Vec<Permissive>,
    /// Circuits that cannot be met together, and whether no smaller set conflicts.
    pub conflicts: Vec<(Vec<usize>, bool)>,
    /// Why nothing could be chosen at all.
    pub refused: Option<String>,
    /// Minutes of landing, fitting and wiring.
    pub minutes: f64,
}

/// Works a list of conductors out for a unit of a series, in a frame where one is named.
#[must_use]
pub fn crosswalk<'s>(list: &WireList, series: &'s Series, frame: Option<&str>, rules: Rules) -> Crosswalk<'s> {
    let circuits = circuits(list);
    let placed = place(&circuits, series, frame, rules);
    let landings: Vec<Landing<'s>> = circuits.iter().zip(&placed.ways).map(|(c, way)| landing(c, way.as_ref(), series)).collect();
    let Placed { modules, variant, conflicts, refused, .. } = placed;
    let modules: Vec<_> = modules.into_iter().filter_map(|(slot, at)| series.modules.get(at).map(|m| (slot, m))).collect();
    let variant = series.variants.iter().find(|v| Some(&v.name) == variant.as_ref());
    let schemes = schemes(&circuits);
    let permissives = permissives(&circuits);
    let mut found = Crosswalk {
        rows: Vec::new(),
        links: Vec::new(),
        conditions: Vec::new(),
        circuits,
        landings,
        modules,
        variant,
        schemes,
        permissives,
        conflicts,
        refused,
        minutes: 0.0,
    };
    found.rows = (0..list.conductors.len()).filter_map(|at| row(&found, list, series, at)).collect();
    found.links = links(&found, series);
    found.conditions = conditions(&found, series);
    found.minutes = minutes(&found);
    found
}

fn landing<'s>(circuit: &Circuit, way: Option<&Way>, series: &'s Series) -> Landing<'s> {
    match way {
        Some(way) => Landing {
            point: way.point.and_then(|p| series.points.get(p)),
            parts: way.parts.clone(),
            lines: way.lines.clone(),
            direct: way.direct.clone(),
            placed: true,
        },
        None => {
            let lines = nearest(circuit, series).map_or_else(Vec::new, |(_, lines)| lines);
            Landing { point: None, parts: Vec::new(), direct: lines.clone(), lines, placed: false }
        }
    }
}

fn minutes(found: &Crosswalk<'_>) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "a handful of conductors")]
    let wires = found.rows.len() as f64;
    wires * WIRE_MINUTES + found.fitting_minutes()
}

impl Crosswalk<'_> {
    /// Index of the circuit with that function, where one is listed.
    #[must_use]
    pub fn with_function(&self, id: &str) -> Option<usize> {
        self.circuits.iter().position(|c| c.function.is_some_and(|f| f.id == id))
    }

    /// Circuits that need a point and have none, nor a part in its place.
    pub fn unplaced(&self) -> impl Iterator<Item = usize> + '_ {
        let needs = |at: &usize| {
            let (circuit, landing) = (&self.circuits[*at], &self.landings[*at]);
            !landing.placed && circuit.function.is_none_or(|f| f.kind.is_some())
        };
        (0..self.circuits.len()).filter(needs)
    }

    /// The lines of a fault, over all circuits: with their circuit, as they are directly or with the parts in place.
    pub fn lines(&self, fault: Fault, with_parts: bool) -> impl Iterator<Item = (usize, &Line)> + '_ {
        self.landings.iter().enumerate().flat_map(move |(at, landing)| {
            let lines = if with_parts { &landing.lines } else { &landing.direct };
            lines.iter().filter(move |l| l.fault == fault).map(move |l| (at, l))
        })
    }

    /// Modules, variant and parts, with the price of each where the pack or the site says one.
    #[must_use]
    pub fn bill(&self, prices: Prices) -> Vec<Billed> {
        let modules = self.modules.iter().map(|(slot, m)| {
            let what = format!("{} in slot {slot}: {}", m.code, m.what);
            Billed { what, price: m.price, bought: Bought::WithUnit }
        });
        let variant = self.variant.iter().map(|v| Billed { what: format!("variant {}", v.name), price: v.price, bought: Bought::AsUnit });
        let parts = self.circuits.iter().zip(&self.landings).flat_map(|(c, l)| {
            let part = |p: &Part| {
                let listed = p.kind.listed();
                Billed { what: format!("{}, for {}", p.what, c.name), price: prices.get(listed), bought: Bought::OfTrade(listed) }
            };
            l.parts.iter().map(part).collect::<Vec<_>>()
        });
        modules.chain(variant).chain(parts).collect()
    }

    /// Minutes of fitting modules and parts, without the landing of conductors.
    #[must_use]
    pub fn fitting_minutes(&self) -> f64 {
        #[expect(clippy::cast_precision_loss, reason = "a handful of modules")]
        let modules = self.modules.len() as f64;
        modules * MODULE_MINUTES + self.landings.iter().flat_map(|l| &l.parts).map(|p| p.kind.minutes()).sum::<f64>()
    }

    /// Whether parts or modules have to be bought.
    #[must_use]
    pub fn buys(&self) -> bool {
        !self.modules.is_empty() || self.variant.is_some() || self.landings.iter().any(|l| !l.parts.is_empty())
    }
}

/// The terminal for a conductor: by its pole, and for a contact by the state in which it has to be closed.
fn terminal(conductor: &Conductor, circuit: &Circuit, point: &ControlPoint, series: &Series) -> Option<String> {
    let pole = conductor.pole();
    let own = |pole| point.terminal(pole).map(str::to_owned);
    match (point.kind, pole) {
        (Some(PointKind::RelayOutput), Pole::NormallyOpen | Pole::NormallyClosed | Pole::Signal) => {
            let wanted = match circuit.nature.sense {
                Some(Sense::ClosedWhenTrue) => Pole::NormallyOpen,
                Some(Sense::OpenWhenTrue) => Pole::NormallyClosed,
                None if pole == Pole::NormallyClosed => Pole::NormallyClosed,
                None => Pole::NormallyOpen,
            };
            own(wanted)
        }
        (Some(PointKind::RelayOutput), Pole::Return) => own(Pole::Common),
        (Some(PointKind::DigitalInput), Pole::Return | Pole::Common) if is_dry(&circuit.nature) && point.wiring != Some(Wiring::Source) => {
            feed(series).or_else(|| own(Pole::Return))
        }
        (_, Pole::Common) => own(Pole::Common).or_else(|| own(Pole::Return)),
        (Some(PointKind::SupplyOutput | PointKind::SupplyInput | PointKind::EncoderInput), Pole::Signal | Pole::Plus) => {
            own(Pole::Plus).or_else(|| own(Pole::Signal))
        }
        _ => own(pole),
    }
}

/// Plus of the unit's own direct supply for contacts.
fn feed(series: &Series) -> Option<String> {
    let is = |p: &&ControlPoint| p.kind == Some(PointKind::SupplyOutput) && p.module.is_none() && p.flow != Some(Flow::Ac);
    let point = series.points.iter().find(is)?;
    point.terminal(Pole::Plus).or_else(|| point.terminal(Pole::Signal)).map(str::to_owned)
}

fn where_on(point: &ControlPoint, terminal: &str) -> String {
    match &point.module {
        Some(module) => format!("{module} {terminal}"),
        None => terminal.to_owned(),
    }
}

fn row(found: &Crosswalk<'_>, list: &WireList, series: &Series, at: usize) -> Option<Row> {
    let conductor = list.conductors.get(at)?;
    let circuit = found.circuits.iter().position(|c| c.members.contains(&at))?;
    let (whole, landing) = (&found.circuits[circuit], &found.landings[circuit]);
    let made = |action, new: String, reason: String| Some(Row { conductor: at, circuit, action, new, reason });
    let Some(function) = conductor.function.or(whole.function) else {
        let said = &conductor.function_text;
        return made(
            Action::Spared,
            String::new(),
            format!("the list says “{said}”, which is no function known here: find out what it does before the night"),
        );
    };
    match function.id {
        "earth" => {
            return made(
                Action::Landed,
                "screen clamp or earth bar".into(),
                "screens and earths go to the unit's clamp, not to a signal terminal".into(),
            );
        }
        "spare" => return made(Action::Spared, String::new(), "it did nothing at the old drive".into()),
        "common" => return common_row(found, conductor, series, at, circuit),
        _ => {}
    }
    if !landing.placed {
        return made(Action::Spared, String::new(), unplaced_reason(found, circuit));
    }
    let Some(point) = landing.point else {
        let part = landing.parts.first().map_or_else(String::new, |p| p.what.clone());
        let name = format!("own part for {}", whole.name);
        return made(Action::Interposed, name, format!("the old drive gave it, the new one does not: {part}"));
    };
    if let Some(part) = landing.parts.first().filter(|p| !p.field.is_empty()) {
        let place = match conductor.pole() {
            Pole::Return | Pole::Common => part.field.get(1).or(part.field.first()),
            _ => part.field.first(),
        };
        let behind = landing.at().unwrap_or_default();
        let new = format!("K-{} {}", whole.name, place.unwrap_or(&""));
        return made(Action::Interposed, new, format!("{}; behind it {behind}: {}", part.what, why(&landing.direct)));
    }
    match terminal(conductor, whole, point, series) {
        Some(terminal) => {
            let action = if landing.parts.is_empty() { Action::Landed } else { Action::Interposed };
            let reason = match landing.parts.first() {
                Some(part) => format!("{} beside it: {}", part.what, why(&landing.direct)),
                None => landed_reason(&landing.lines, point),
            };
            made(action, where_on(point, &terminal), reason)
        }
        None if conductor.pole() == Pole::Screen => made(Action::Landed, "screen clamp".into(), "screen of the cable".into()),
        None => made(
            Action::Removed,
            String::new(),
            format!("{} has no terminal for it ({}), nor needs it", point.name, plant::choice::Choice::word(conductor.pole())),
        ),
    }
}

/// A common goes where the inputs ended up that share its feed; with the old drive's own supply it has nothing left to carry.
fn common_row(found: &Crosswalk<'_>, conductor: &Conductor, series: &Series, at: usize, circuit: usize) -> Option<Row> {
    let made = |action, new: String, reason: &str| Some(Row { conductor: at, circuit, action, new, reason: reason.to_owned() });
    let mates = found.circuits.iter().zip(&found.landings).filter(|(c, l)| {
        let same = c.nature.fed_by == conductor.fed_by && (c.nature.flow == conductor.flow || conductor.flow.is_none());
        same && l.placed && l.point.is_some_and(|p| p.kind == Some(PointKind::DigitalInput))
    });
    let mut direct = None;
    let mut through = false;
    for (mate, landing) in mates {
        if landing.parts.iter().any(|p| !p.field.is_empty()) {
            through = true;
        } else if direct.is_none() {
            direct = landing.point.map(|p| (mate, p));
        }
    }
    if let Some((mate, point)) = direct {
        let dry = is_dry(&mate.nature) && point.wiring != Some(Wiring::Source);
        let terminal = if dry { feed(series) } else { point.terminal(Pole::Return).map(str::to_owned) };
        return match terminal {
            Some(terminal) if dry => made(Action::Landed, terminal, "feeds the contacts from the new unit's own supply"),
            Some(terminal) => made(Action::Landed, where_on(point, &terminal), "common of the inputs that it serves"),
            None => made(Action::Removed, String::new(), "the inputs that it served need no common of their own"),
        };
    }
    if through {
        return made(Action::Interposed, "A2 of the interposing relays".into(), "way back of the relays' coils");
    }
    made(Action::Removed, String::new(), "no input that it served is landed with its supply")
}

fn unplaced_reason(found: &Crosswalk<'_>, circuit: usize) -> String {
    if let Some(why) = &found.refused {
        return format!("nothing could be chosen: {why}");
    }
    let conflict = found.conflicts.iter().find(|(set, _)| set.contains(&circuit) && set.len() > 1);
    if let Some((set, _)) = conflict {
        let others: Vec<&str> = set.iter().filter(|c| **c != circuit).map(|c| found.circuits[*c].name.as_str()).collect();
        return format!("it has no landing: it cannot be met together with {}", others.join(", "));
    }
    match found.landings[circuit].lines.iter().find(|l| l.verdict == Verdict::Fails) {
        Some(line) => format!("it has no landing: {}: {} against {}", line.what, line.have, line.need),
        None => "it has no landing: no point of the unit or of its modules serves its function".into(),
    }
}

/// The line that fails, as a reason.
fn why(lines: &[Line]) -> String {
    let line = lines.iter().filter(|l| l.verdict == Verdict::Fails).max_by_key(|l| l.verdict);
    line.map_or_else(String::new, |l| format!("{}: {} against {}", l.what, l.have, l.need))
}

fn landed_reason(lines: &[Line], point: &ControlPoint) -> String {
    let open: Vec<&str> = lines.iter().filter(|l| l.verdict == Verdict::Open).map(|l| l.what).collect();
    if open.is_empty() {
        return format!("{}: every line of the proof holds", point.name);
    }
    format!("{}; to be measured before anything is energised: {}", point.name, open.join(", "))
}

/// The links: across points where nothing is landed, and those that choose how a group is wired.
fn links(found: &Crosswalk<'_>, series: &Series) -> Vec<LinkWork> {
    let link = |link: &plant::wires::WireLink| {
        let delivered = link.fitted == Fitted::In;
        let made = |wanted: bool, why: String| Some(LinkWork { link: link.name.clone(), wanted, delivered, why });
        match link.purpose {
            LinkFor::Unused => {
                let used = landed_on(found, &link.point);
                match used {
                    Some(circuit) => made(false, format!("{circuit} is landed at {}: with the link in it would be bridged", link.point)),
                    None => made(true, format!("nothing is landed at {}: without the link the unit never reports ready", link.point)),
                }
            }
            LinkFor::Sink | LinkFor::Source => {
                let wanted = if link.purpose == LinkFor::Sink { Wiring::Sink } else { Wiring::Source };
                let is = group_wiring(found, &link.point)?;
                let words = if is == Wiring::Sink { "draw current" } else { "feed current" };
                made(is == wanted, format!("the inputs of {} {words}", link.point))
            }
        }
    };
    series.wire_links.iter().filter_map(link).collect()
}

/// The circuit that is landed at a point of the unit, or at one of a group.
fn landed_on<'f>(found: &'f Crosswalk<'_>, name: &str) -> Option<&'f str> {
    let is = |p: &ControlPoint| p.module.is_none() && (p.name == name || p.group.as_deref() == Some(name));
    let at = found.landings.iter().position(|l| l.placed && l.point.is_some_and(is))?;
    Some(found.circuits[at].name.as_str())
}

/// How the inputs of a group, or one point, end up being wired; the unit's own supply makes them draw current.
fn group_wiring(found: &Crosswalk<'_>, name: &str) -> Option<Wiring> {
    let is = |p: &ControlPoint| p.module.is_none() && (p.name == name || p.group.as_deref() == Some(name));
    let landed = found.circuits.iter().zip(&found.landings).filter(|(_, l)| l.placed && l.point.is_some_and(is));
    let mut dry = None;
    for (circuit, landing) in landed {
        let own = landing.parts.iter().any(|p| !p.field.is_empty()) || is_dry(&circuit.nature);
        match needed_wiring(&circuit.nature).filter(|_| !own) {
            Some(wiring) => return Some(wiring),
            None => dry = Some(Wiring::Sink),
        }
    }
    dry
}

/// What the unit waits for, and what closes it.
fn conditions(found: &Crosswalk<'_>, series: &Series) -> Vec<StartCondition> {
    let there = |p: &&ControlPoint| {
        let module = p.module.as_ref().is_none_or(|code| found.modules.iter().any(|(_, m)| m.code == *code));
        let variant = p.variant.as_ref().is_none_or(|name| found.variant.is_some_and(|v| v.name == *name));
        p.must_close && module && variant
    };
    let closed = |point: &ControlPoint| {
        let landed = found.landings.iter().position(|l| l.placed && l.point.is_some_and(|p| std::ptr::eq(p, point)));
        let link = series
            .wire_links
            .iter()
            .find(|l| l.purpose == LinkFor::Unused && (l.point == point.name || Some(&l.point) == point.group.as_ref()));
        landed.map(|at| found.circuits[at].name.clone()).or_else(|| link.map(|l| format!("link {}", l.name)))
    };
    series.points.iter().filter(there).map(|p| StartCondition { point: p.name.clone(), closed_by: closed(p) }).collect()
}

/// The worst of what is landed or not.
#[must_use]
pub fn standing(found: &Crosswalk<'_>) -> Verdict {
    if found.unplaced().next().is_some() || found.conditions.iter().any(|c| c.closed_by.is_none()) {
        return Verdict::Fails;
    }
    found.landings.iter().map(|l| worst(&l.lines)).max().unwrap_or(Verdict::Holds)
}
