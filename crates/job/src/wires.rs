//! The conductors of a position: from its list and a pack to the crosswalk with its proofs.

use dossier::wires::{Between, Condition, Conductor, Conflict, Count, Line, Link, Module, Old, Permissive, Wires};
use plant::choice::Choice;
use plant::fact::Known;
use plant::position::{Position, Site};
use plant::product::{Rating, Series};
use plant::quantity::dim::VoltageDim;
use plant::quantity::{Dimension, System, show};
use plant::wires::{Mode, PointKind, WireList};
use transfer::wires::crosswalk::Landing;
use transfer::wires::{Action, Billed, Bought, Crosswalk, Rules, crosswalk, proof};

use crate::assess::{Input, old_series};
use crate::options::Assessed;

/// What a minute of an electrician counts as where the site has no rate: so that the choice prefers less work among equals. It stands in
/// no bill. Common practice, no source.
const UNRATED_MINUTE: f64 = 1.0;

/// What the choice of points and modules rests on at a position.
#[must_use]
pub fn rules(site: &Site, position: &Position) -> Rules {
    Rules { per_minute: site.rates.map_or(UNRATED_MINUTE, |r| r.electrician / 60.0), prices: position.prices.or(site.prices) }
}

/// Works the conductors of a joined position out for a new series, or for one of its ratings.
///
/// # Errors
/// A sentence that says what is missing before anything can be landed: no list, a pack without points.
pub fn wires(position: &Position, old: Option<&Series>, new: &Series, rating: Option<&Rating>, site: &Site) -> Result<Wires, String> {
    let tag = &position.tag;
    let list = position.wires.as_ref().ok_or_else(|| {
        format!("{tag} has no list of conductors: its position file names none under [wires]; list every conductor at the old drive, with its wire number, terminal and function")
    })?;
    if new.points.is_empty() {
        return Err(format!("the pack of {} lists no control points: fill in its points.csv", new.name));
    }
    let rules = rules(site, position);
    let found = crosswalk(list, new, rating.map(|r| r.frame.as_str()), rules);
    let conductors: Vec<Conductor> = found.rows.iter().map(|row| conductor(&found, list, row, site.units)).collect();
    let billed = found.bill(rules.prices);
    let (cost, unpriced) = bill(&found, &billed, new, site);
    Ok(Wires {
        tag: tag.clone(),
        old: old.map(|s| s.name.clone()).or_else(|| position.old_code.clone()).unwrap_or_default(),
        new: rating.map_or_else(|| new.name.clone(), |r| format!("{}, {} {}", new.name, r.code, r.duty.word())),
        between: found.circuits.iter().zip(&found.landings).filter_map(|(c, l)| between(&c.name, l)).collect(),
        modules: found.modules.iter().map(|(slot, m)| module(slot, m, new, site)).collect(),
        variant: found.variant.map(|v| v.name.clone()),
        cost,
        currency: site.currency.clone(),
        unpriced,
        minutes: found.minutes,
        links: found.links.iter().map(link).collect(),
        start_conditions: found.conditions.iter().map(|c| Condition { point: c.point.clone(), closed_by: c.closed_by.clone() }).collect(),
        schemes: found.schemes.iter().map(|s| s.words()).collect(),
        permissives: found.permissives.iter().map(|p| permissive(&found, list, p)).collect(),
        conflicts: conflicts(&found),
        counts: counts(&conductors),
        remarks: remarks(&found, &billed, new, rating.is_some(), &conductors),
        conductors,
    })
}

/// The conductors of a joined position for its candidate; `None` where the survey has no list of them.
pub(crate) fn of_candidate(input: Input<'_>, position: &Position, candidate: &Assessed<'_>) -> Option<Result<Wires, String>> {
    position.wires.as_ref()?;
    Some(wires(position, old_series(input, position), candidate.unit.series, Some(candidate.unit.rating), input.site))
}

/// What the modules, the variant, the parts and the work come to: the sum of what has a price, and how much has none.
fn bill(found: &Crosswalk<'_>, billed: &[Billed], series: &Series, site: &Site) -> (f64, usize) {
    let same = series.currency == site.currency;
    let prices: Vec<Option<f64>> = billed.iter().map(|b| b.price_at_site(same)).collect();
    let work = site.rates.map_or(0.0, |r| r.electrician * found.minutes / 60.0);
    (work + prices.iter().flatten().sum::<f64>(), prices.iter().filter(|p| p.is_none()).count())
}

fn module(slot: &str, module: &plant::product::Module, series: &Series, site: &Site) -> Module {
    Module {
        slot: slot.to_owned(),
        module: module.code.clone(),
        what: module.what.clone(),
        limits: module.carrier.clone().unwrap_or_default(),
        price: module.price.filter(|_| series.currency == site.currency),
    }
}

fn conductor(found: &Crosswalk<'_>, list: &WireList, row: &transfer::wires::Row, units: System) -> Conductor {
    let (wire, circuit, landing) = (&list.conductors[row.conductor], &found.circuits[row.circuit], &found.landings[row.circuit]);
    // A common has no proof of its own: it goes where its inputs went.
    let lines = if row.action == Action::Removed { &[] } else { landing.lines.as_slice() };
    Conductor {
        wire: wire.wire.clone(),
        old: Old {
            terminal: wire.terminal.clone(),
            function: wire.function.or(circuit.function).map_or_else(|| wire.function_text.clone(), |f| f.id.to_owned()),
            circuit: circuit.name.clone(),
            to: wire.other_end.clone(),
            volts: volts(&circuit.nature, units),
        },
        action: row.action.word().to_owned(),
        new: Some(row.new.clone()).filter(|n| !n.is_empty()),
        proof: lines.iter().map(line).collect(),
        parts: landing.parts.iter().map(|p| p.what.clone()).collect(),
        reason: row.reason.clone(),
    }
}

fn between(circuit: &str, landing: &Landing<'_>) -> Option<Between> {
    let part = landing.parts.first()?;
    let point = landing.at();
    // What has terminals towards the field takes the conductors; the others sit across the unit's own.
    let way = match &point {
        None => "instead",
        Some(_) if part.field.is_empty() => "beside",
        Some(_) => "before",
    };
    Some(Between { circuit: circuit.to_owned(), way: way.to_owned(), point })
}

fn volts(nature: &plant::wires::Conductor, units: System) -> String {
    let info = <VoltageDim as Dimension>::INFO;
    let text = match &nature.volts {
        Known::Missing => return String::new(),
        known => match known.bounds() {
            Some((low, high)) if low < high => format!("{} to {}", show(low, info, units), show(high, info, units)),
            Some((value, _)) => show(value, info, units),
            None => return String::new(),
        },
    };
    nature.flow.map_or_else(|| text.clone(), |f| format!("{text} {}", f.word()))
}

fn line(line: &proof::Line) -> Line {
    Line {
        what: line.what.to_owned(),
        have: line.have.clone(),
        need: line.need.clone(),
        margin: line.margin.filter(|m| m.is_finite()),
        verdict: line.verdict.word().to_owned(),
    }
}

fn link(link: &transfer::wires::crosswalk::LinkWork) -> Link {
    let action = match (link.wanted, link.delivered) {
        (true, true) => "leave in",
        (true, false) => "put in",
        (false, true) => "take out",
        (false, false) => "leave out",
    };
    Link { link: link.link.clone(), action: action.to_owned(), reason: link.why.clone() }
}

fn permissive(found: &Crosswalk<'_>, list: &WireList, permissive: &transfer::wires::Permissive) -> Permissive {
    let (circuit, landing) = (&found.circuits[permissive.circuit], &found.landings[permissive.circuit]);
    let function = circuit.function.map_or("", |f| f.id);
    let new = match (landing.placed, landing.point, landing.parts.first()) {
        (false, ..) => None,
        (_, Some(point), _) => Some(point.name.clone()),
        (_, None, Some(part)) => Some(part.what.clone()),
        (_, None, None) => None,
    };
    let through_drive = landing.point.is_some_and(|p| matches!(p.kind, Some(PointKind::DigitalInput | PointKind::SafeInput)));
    // In bypass nothing goes through the drive.
    let acts = |mode: &&Mode| new.is_some() && !(**mode == Mode::Bypass && through_drive);
    let listed = !permissive.modes.is_empty();
    let terminals: Vec<&str> =
        circuit.members.iter().filter_map(|at| list.conductors.get(*at)).map(|c| c.terminal.as_str()).filter(|t| !t.is_empty()).collect();
    let remark = if new.is_none() {
        "it is nowhere after the change: the machine must not run so"
    } else if permissive.modes.is_empty() {
        "the list does not say in which modes it acts: trace it in each before the night"
    } else if permissive.modes.contains(&Mode::Bypass) && through_drive {
        "through the drive it does not act in bypass: it must stay in the bypass circuit as well"
    } else if permissive.inside {
        "it was inside the old drive: show that the circuit opens in each mode"
    } else {
        "show that it stops the machine in each mode"
    };
    Permissive {
        circuit: circuit.name.clone(),
        function: function.to_owned(),
        old: terminals.join(", "),
        modes: listed.then(|| permissive.modes.iter().map(|m| m.word().to_owned()).collect()),
        after: listed.then(|| permissive.modes.iter().filter(|m| acts(m)).map(|m| m.word().to_owned()).collect()),
        new,
        remark: remark.to_owned(),
    }
}

fn conflicts(found: &Crosswalk<'_>) -> Vec<Conflict> {
    let name = |at: &usize| found.circuits[*at].name.clone();
    found.conflicts.iter().map(|(set, smallest)| Conflict { circuits: set.iter().map(name).collect(), smallest: *smallest }).collect()
}

fn counts(conductors: &[Conductor]) -> Vec<Count> {
    [Action::Landed, Action::Interposed, Action::Spared, Action::Removed]
        .into_iter()
        .map(|a| Count { action: a.word().to_owned(), conductors: conductors.iter().filter(|c| c.action == a.word()).count() })
        .collect()
}

fn remarks(found: &Crosswalk<'_>, billed: &[Billed], new: &Series, rated: bool, conductors: &[Conductor]) -> Vec<String> {
    let mut remarks = Vec::new();
    if let Some(why) = &found.refused {
        remarks.push(format!("no points were chosen: {why}"));
    }
    if !rated && new.slots.iter().any(|s| s.frame.is_some()) {
        remarks.push("no rating is named: the slots of all frames are taken to be there; --candidate names one".into());
    }
    let contradicts: Vec<String> = found.circuits.iter().filter_map(|c| c.contradicts.map(|what| format!("{} ({what})", c.name))).collect();
    if !contradicts.is_empty() {
        remarks.push(format!("conductors of one circuit say different things: {}; the first was taken", contradicts.join(", ")));
    }
    let nowhere: Vec<&str> = found.unplaced().map(|at| found.circuits[at].name.as_str()).collect();
    if !nowhere.is_empty() {
        remarks.push(format!("without a landing: {}; nothing is energised until each is decided", nowhere.join(", ")));
    }
    if conductors.iter().any(|c| c.proof.iter().any(|l| l.verdict == "depends")) {
        remarks.push("some lines hang on what is not known: measure or read it before anything is energised".into());
    }
    let outside = found.circuits.iter().zip(&found.landings).filter(|(c, l)| {
        l.point.is_some_and(|p| p.kind == Some(PointKind::DigitalInput) && p.module.is_none())
            && c.nature.fed_by == Some(plant::wires::FedBy::Outside)
            && l.parts.is_empty()
    });
    if outside.count() > 1 {
        remarks.push(
            "several signals from outside share one common: see that they come from one supply, or join their zero volts on purpose".into(),
        );
    }
    remarks.push("modules for the network take slots as well; they are not chosen here".into());
    if billed.iter().any(|b| matches!(b.bought, Bought::OfTrade(_)) && b.price.is_none()) {
        remarks.push("parts without a price ([prices] of site or position) count by a reckoned figure in the choice alone".into());
    }
    remarks.push("measure every control conductor against earth and against each other, dead and live, before it is landed".into());
    remarks
}
