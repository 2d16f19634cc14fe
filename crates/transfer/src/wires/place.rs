//! Which point each circuit is landed at, and which modules bring the points: put to [`crate::allocate`], which finds the least cost.

use std::collections::BTreeMap;

use calc::working::Silent;
use plant::price::Prices;
use plant::product::Series;
use plant::wires::{ControlPoint, Flow, PointKind, Wiring};

use super::circuit::Circuit;
use super::part::{Part, PartKind, ways};
use super::proof::{Fault, Line, Verdict, is_dry, needed_wiring, plain, prove, worst};
use crate::allocate::{self, Allocation, Base, Demand, Home, Impossible, Problem};

/// Money and minutes that the choice rests on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rules {
    /// Money for a minute of an electrician.
    pub per_minute: f64,
    /// What parts cost, in the same money, as far as somebody says it.
    pub prices: Prices,
}

impl Rules {
    /// Of a site that prices no part.
    #[must_use]
    pub const fn unpriced(per_minute: f64) -> Self {
        Self { per_minute, prices: Prices::NONE }
    }
}

/// Minutes to land, ring out and tag one conductor. Common practice, no source.
pub(super) const WIRE_MINUTES: f64 = 6.0;
/// Minutes to fit a module. Common practice, no source.
pub(super) const MODULE_MINUTES: f64 = 15.0;
/// What an open line counts as in the choice: enough to prefer the certain landing among equals, too little to buy anything for.
const OPEN: f64 = 0.01;
/// What it counts as to leave a point open that has to be closed, when this circuit could close it: less than any part.
const LEFT_OPEN: f64 = 2.0;
/// What a module without a price counts as; it stands in no bill. Common practice, no source.
const UNPRICED_MODULE: f64 = 200.0;

/// One way of landing a circuit.
#[derive(Clone, Debug)]
pub(super) struct Way {
    /// Index of the point in the series; `None` for a part of its own that needs no point.
    pub(super) point: Option<usize>,
    pub(super) parts: Vec<Part>,
    /// The proof with the parts in place.
    pub(super) lines: Vec<Line>,
    /// The proof without them.
    pub(super) direct: Vec<Line>,
    common: Option<u32>,
    cost: f64,
}

/// Where everything went.
pub(super) struct Placed {
    /// For each circuit the way that was taken.
    pub(super) ways: Vec<Option<Way>>,
    /// Slot and module code.
    pub(super) modules: Vec<(String, usize)>,
    /// Name of the factory variant.
    pub(super) variant: Option<String>,
    /// Circuits that cannot be met together, and whether no smaller set conflicts; several sets where several were found.
    pub(super) conflicts: Vec<(Vec<usize>, bool)>,
    /// Why nothing could be chosen at all.
    pub(super) refused: Option<String>,
}

/// What the common of a group carries: the unit's own supply, or one from outside of a kind and side.
fn common(circuit: &Circuit, point: &ControlPoint, parts: &[Part]) -> Option<u32> {
    if point.kind != Some(PointKind::DigitalInput) {
        return None;
    }
    if is_dry(&circuit.nature) || parts.iter().any(|p| p.kind == PartKind::InputRelay) {
        // A contact without a supply of its own goes with whatever the common carries.
        return None;
    }
    let wiring = needed_wiring(&circuit.nature);
    Some(match (circuit.nature.flow, wiring) {
        (Some(Flow::Ac), _) => 1,
        (_, Some(Wiring::Sink)) => 2,
        (_, Some(Wiring::Source)) => 3,
        _ => return None,
    })
}

/// The ways of a circuit at a point: as it is where nothing fails, and over the cheapest part where something does, or where the common
/// of its inputs may have to carry something else.
fn ways_at(circuit: &Circuit, at: usize, point: &ControlPoint, rules: Rules) -> Vec<Way> {
    let mut direct = prove(&circuit.nature, point, &mut Silent);
    direct.extend(told(circuit, point));
    #[expect(clippy::cast_precision_loss, reason = "a handful of conductors")]
    let wires = circuit.members.len() as f64 * WIRE_MINUTES * rules.per_minute;
    let mut list = Vec::new();
    if worst(&direct) != Verdict::Fails {
        let cost = wires + open(&direct);
        let common = common(circuit, point, &[]);
        list.push(Way { point: Some(at), parts: Vec::new(), common, cost, lines: direct.clone(), direct: direct.clone() });
        if common.is_none() {
            return list;
        }
    }
    let through = ways(&circuit.nature, point, &direct).into_iter().filter_map(|through| {
        let mut lines = through.lines;
        lines.extend(prove(&through.behind, point, &mut Silent));
        lines.extend(told(circuit, point).into_iter().filter(|l| l.fault == Fault::List));
        if worst(&lines) == Verdict::Fails {
            return None;
        }
        let kind = through.part.kind;
        let cost = wires + kind.counts_as(rules.prices) + kind.minutes() * rules.per_minute + open(&lines);
        let parts = vec![through.part];
        Some(Way { point: Some(at), common: common(circuit, point, &parts), parts, cost, lines, direct: direct.clone() })
    });
    list.extend(through.min_by(|a, b| a.cost.total_cmp(&b.cost)));
    list
}

/// What the open lines of a proof count as.
fn open(lines: &[Line]) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "a handful of lines")]
    let count = lines.iter().filter(|l| l.verdict == Verdict::Open).count() as f64;
    count * OPEN
}

/// What the list itself says: conductors of one circuit that contradict each other, and tracks without a terminal.
fn told(circuit: &Circuit, point: &ControlPoint) -> Vec<Line> {
    let mut lines: Vec<Line> = terminals(circuit, point).into_iter().collect();
    if point.kind == Some(PointKind::TransistorOutput) && circuit.contact {
        let (have, need) = ("a transistor with a side of its own", "a contact free of potential, as it was");
        lines.push(plain(Fault::Terminal, "contact between two conductors", have, need, Verdict::Fails));
    }
    if let Some(what) = circuit.contradicts {
        let have = if what == "common" {
            "signal and way back are both listed on one side of the supply: commons may be swapped".to_owned()
        } else {
            format!("its conductors are listed with different {what}: commons may be swapped")
        };
        lines.push(plain(Fault::List, "what its conductors say", have, "one supply for signal and way back", Verdict::Open));
    }
    lines
}

/// Whether each conductor of a circuit has a terminal there.
fn terminals(circuit: &Circuit, point: &ControlPoint) -> Option<Line> {
    let tracks = point.kind == Some(PointKind::EncoderInput) && circuit.members.len() > 4;
    let has_inverted = point.terminals.iter().any(|(p, _)| matches!(p, plant::wires::Pole::ANot));
    (tracks && !has_inverted).then(|| {
        plain(Fault::Terminal, "terminals for inverted tracks", "inverted tracks in the cable", "none at the point", Verdict::Open)
    })
}

/// A part of its own in place of something that the old drive did for others.
fn own(circuit: &Circuit, rules: Rules) -> Option<Way> {
    let id = circuit.function?.id;
    let (kind, what) = match id {
        "supply-out" => (PartKind::OwnSupply, own_supply(circuit)),
        "inner-interlock" => {
            (PartKind::OwnRelay, "relay of its own in the permissive circuit, in place of the contact inside the old drive".to_owned())
        }
        "motor-sensor" => (PartKind::SensorRelay, "relay for the winding sensor, its contact in the enable or stop circuit".to_owned()),
        _ => return None,
    };
    let part = Part { kind, what, field: &["+", "−"] };
    let line = plain(Fault::Supply, "what the old drive gave", "goes with it", "a part of its own", Verdict::Holds);
    let gone = Line { verdict: Verdict::Fails, need: "the new unit gives it".into(), ..line.clone() };
    let cost = kind.counts_as(rules.prices) + kind.minutes() * rules.per_minute;
    Some(Way { point: None, parts: vec![part], lines: vec![line], direct: vec![gone], common: None, cost })
}

fn own_supply(circuit: &Circuit) -> String {
    use plant::choice::Choice;
    let volts = super::proof::text::<plant::quantity::dim::VoltageDim>(super::proof::span(&circuit.nature.volts));
    let load = super::proof::text::<plant::quantity::dim::ApparentPowerDim>(super::proof::span(&circuit.nature.load));
    match circuit.nature.flow {
        Some(Flow::Ac) => format!("control transformer with fuses, {volts} ac, for a load of {load}"),
        flow => format!("supply, {volts} {}, for a load of {load}", flow.map_or("(kind not known)", Choice::word)),
    }
}

/// The problem with what its indices stand for.
struct Put {
    problem: Problem,
    /// For each demand its circuit.
    circuits: Vec<usize>,
    /// For each demand the way behind each of its landings.
    ways: Vec<Vec<Way>>,
    variants: Vec<Option<String>>,
    modules: Vec<usize>,
}

/// Chooses points and modules. Where not everything can be met, the smallest set that conflicts is named and its last circuit left out,
/// until the rest can be met.
pub(super) fn place(circuits: &[Circuit], series: &Series, frame: Option<&str>, rules: Rules) -> Placed {
    let mut left: Vec<usize> = (0..circuits.len()).filter(|c| circuits[*c].function.is_some_and(|f| f.kind.is_some())).collect();
    let mut conflicts = Vec::new();
    loop {
        let put = put(circuits, &left, series, frame, rules);
        match allocate::allocate(&put.problem) {
            Ok(found) => return placed(circuits.len(), put, &found, conflicts),
            Err(Impossible::Together { demands, smallest }) => {
                let set: Vec<usize> = demands.iter().filter_map(|d| put.circuits.get(*d).copied()).collect();
                let Some(last) = set.last().copied() else { return refused(circuits.len(), conflicts, "an empty set conflicts".into()) };
                // Channels of a safety function go together.
                let pair = circuits[last].function.and_then(pair_of);
                left.retain(|c| *c != last && (pair.is_none() || circuits[*c].function.and_then(pair_of) != pair));
                conflicts.push((set, smallest));
            }
            Err(other) => return refused(circuits.len(), conflicts, other.to_string()),
        }
    }
}

fn refused(count: usize, conflicts: Vec<(Vec<usize>, bool)>, why: String) -> Placed {
    Placed { ways: vec![None; count], modules: Vec::new(), variant: None, conflicts, refused: Some(why) }
}

fn placed(count: usize, put: Put, found: &Allocation, conflicts: Vec<(Vec<usize>, bool)>) -> Placed {
    let mut ways = vec![None; count];
    for landed in &found.landings {
        let way = put.ways.get(landed.demand).and_then(|w| w.get(landed.landing)).cloned();
        if let Some(circuit) = put.circuits.get(landed.demand)
            && let Some(slot) = ways.get_mut(*circuit)
        {
            *slot = way;
        }
    }
    let modules = found.modules.iter().filter_map(|m| {
        let slot = put.problem.slots.get(m.slot)?.name.clone();
        Some((slot, *put.modules.get(m.module)?))
    });
    Placed { ways, modules: modules.collect(), variant: put.variants.get(found.base).cloned().flatten(), conflicts, refused: None }
}

/// The number of the safety function that a channel belongs to.
fn pair_of(function: &plant::wires::Function) -> Option<u32> {
    matches!(function.id, "safe-torque-off-1" | "safe-torque-off-2").then_some(1)
}

fn put(circuits: &[Circuit], left: &[usize], series: &Series, frame: Option<&str>, rules: Rules) -> Put {
    let mut problem = Problem { per_minute: rules.per_minute, ..Problem::default() };
    let names: Vec<&str> = series
        .slots
        .iter()
        .filter(|s| s.frame.is_none() || frame.is_none() || s.frame.as_deref() == frame)
        .map(|s| s.slot.as_str())
        .collect();
    let mut slots: Vec<&str> = Vec::new();
    for name in names {
        if !slots.contains(&name) {
            slots.push(name);
        }
    }
    problem.slots = slots.iter().map(|s| allocate::Slot { name: (*s).to_owned() }).collect();
    let mut variants: Vec<Option<String>> = vec![None];
    for variant in &series.variants {
        if series.points.iter().any(|p| p.variant.as_ref() == Some(&variant.name)) {
            variants.push(Some(variant.name.clone()));
        }
    }
    let price = |variant: &Option<String>| {
        let named = series.variants.iter().find(|v| Some(&v.name) == variant.as_ref());
        named.map_or(0.0, |v| v.price.unwrap_or(UNPRICED_MODULE))
    };
    problem.bases = variants
        .iter()
        .map(|v| Base { name: v.clone().unwrap_or_else(|| "plain".into()), cost: price(v), slots: (0..slots.len()).collect() })
        .collect();
    let modules: Vec<usize> =
        (0..series.modules.len()).filter(|m| series.points.iter().any(|p| p.module.as_ref() == Some(&series.modules[*m].code))).collect();
    problem.modules = modules.iter().map(|m| module(series, *m, &modules, &slots)).collect();
    let (points, homes) = points(&mut problem, series, &variants, &modules);
    let mut put = Put { problem, circuits: left.to_vec(), ways: Vec::new(), variants, modules };
    for circuit in left {
        demand(&mut put, &circuits[*circuit], series, &points, homes, rules);
    }
    // One channel alone is a mistake of the list, which its proof tells; it is landed like any other.
    let lone = put.problem.demands.iter().filter(|d| d.pair.is_some()).count() != 2;
    if lone {
        put.problem.demands.iter_mut().for_each(|d| d.pair = None);
    }
    put
}

fn module(series: &Series, at: usize, all: &[usize], slots: &[&str]) -> allocate::Module {
    let own = &series.modules[at];
    let fits = (0..slots.len()).filter(|s| own.slots.is_empty() || own.slots.iter().any(|n| n == slots[*s])).collect();
    let excludes = own.excludes.iter().filter_map(|code| all.iter().position(|m| series.modules[*m].code == *code)).collect();
    allocate::Module {
        name: own.code.clone(),
        cost: own.price.unwrap_or(UNPRICED_MODULE),
        minutes: MODULE_MINUTES,
        fits,
        limit: u32::try_from(own.most).unwrap_or(1),
        excludes,
        limits: own.carrier.clone().unwrap_or_default(),
    }
}

/// Puts the points in; gives for each point of the series its indices, and how many bases there are.
fn points(problem: &mut Problem, series: &Series, variants: &[Option<String>], modules: &[usize]) -> (Vec<Vec<usize>>, usize) {
    let mut numbers: BTreeMap<String, u32> = BTreeMap::new();
    let mut number = |name: Option<String>| {
        name.map(|name| {
            let next = u32::try_from(numbers.len()).unwrap_or(u32::MAX);
            *numbers.entry(name).or_insert(next)
        })
    };
    let mut indices = Vec::new();
    for point in &series.points {
        let homes: Vec<Home> = match &point.module {
            Some(code) => modules.iter().position(|m| series.modules[*m].code == *code).map(Home::Module).into_iter().collect(),
            None => {
                let has = |v: &Option<String>| point.variant.is_none() || point.variant == *v;
                (0..variants.len()).filter(|i| has(&variants[*i])).map(Home::Base).collect()
            }
        };
        let mut own = Vec::new();
        for home in homes {
            own.push(problem.points.len());
            problem.points.push(allocate::Point {
                name: point.name.clone(),
                home,
                group: number(point.group.clone()),
                pair: number(point.pair.as_ref().map(|p| format!("\u{0}{p}"))),
                capacity: 1,
            });
        }
        indices.push(own);
    }
    (indices, variants.len())
}

fn demand(put: &mut Put, circuit: &Circuit, series: &Series, points: &[Vec<usize>], bases: usize, rules: Rules) {
    let mut demand = Demand { name: circuit.name.clone(), landings: Vec::new(), pair: circuit.function.and_then(pair_of) };
    let mut ways = Vec::new();
    let closes = |p: &ControlPoint| p.must_close && circuit.function.is_some_and(|f| p.serves(f));
    let could_close = series.points.iter().any(closes);
    for (at, point) in series.points.iter().enumerate() {
        let serves = circuit.function.is_some_and(|f| point.serves(f) && (f.id != "inner-interlock" || !point.functions.is_empty()));
        if !serves {
            continue;
        }
        for mut way in ways_at(circuit, at, point, rules) {
            if could_close && !closes(point) {
                way.cost += LEFT_OPEN;
            }
            for index in points.get(at).into_iter().flatten() {
                demand.landings.push(allocate::Landing { point: *index, cost: way.cost, common: way.common });
                ways.push(way.clone());
            }
        }
    }
    if let Some(way) = own(circuit, rules) {
        for base in 0..bases {
            let index = put.problem.points.len();
            put.problem.points.push(allocate::Point {
                name: circuit.name.clone(),
                home: Home::Base(base),
                group: None,
                pair: None,
                capacity: 1,
            });
            demand.landings.push(allocate::Landing { point: index, cost: way.cost, common: None });
            ways.push(way.clone());
        }
    }
    put.problem.demands.push(demand);
    put.ways.push(ways);
}

/// The proof of a circuit at the point that comes nearest, for one that is landed nowhere; `None` where no point serves its function.
pub(super) fn nearest<'s>(circuit: &Circuit, series: &'s Series) -> Option<(&'s ControlPoint, Vec<Line>)> {
    let serving = series.points.iter().filter(|p| circuit.function.is_some_and(|f| p.serves(f)));
    let proofs = serving.map(|p| (p, prove(&circuit.nature, p, &mut Silent)));
    proofs.min_by_key(|(_, lines)| lines.iter().filter(|l| l.verdict == Verdict::Fails).count())
}
