//! Places for all drives and added parts of a box: with everything in place, else with the fewest things moved.

use calc::enclosure::fit::{self, Obstacle, Plate, Point, Rect, Spot, Tenths, Turn};
use calc::enclosure::holes::{Datum, DrillPlan, Hole, HoleTolerance, SpacingRule, Work, drill_plan};
use calc::enclosure::place::{NODES, Outcome, Run, Task, Why, Wish, place};
use dossier::boxes::{DistanceRow, HoleRow, Layout, Place};
use findings::facts::{Reader, Stop};
use findings::surroundings;
use plant::choice::{PlateSide, Style};
use plant::product::FixingHole;
use plant::quantity::Length;

use super::Guest;

/// What was placed, and where.
pub(super) struct Laid {
    pub(super) plate: Plate,
    pub(super) things: Vec<Obstacle>,
    pub(super) entries: Vec<Entry>,
    pub(super) old: Vec<Old>,
    pub(super) outcome: Outcome,
    /// Indices of things that are moved for it.
    pub(super) moved: Vec<usize>,
    pub(super) plan: Option<DrillPlan>,
}

/// A unit or a part that goes in.
pub(super) struct Entry {
    /// What stands on the drawing.
    pub(super) name: String,
    /// Index of the guest it belongs to.
    pub(super) guest: usize,
    /// The drive itself, no part beside it.
    pub(super) is_drive: bool,
    pub(super) wish: Wish,
}

/// A drive of today.
pub(super) struct Old {
    pub(super) guest: usize,
    pub(super) body: Rect,
    pub(super) holes: Vec<Hole>,
}

/// Steps of the search with everything in place.
const STEPS: usize = NODES;
/// Steps for each set of things that are moved.
const STEPS_MOVED: usize = 1500;
/// Of so many movable things all sets are tried.
const MOVABLE: usize = 8;

/// Places everything.
pub(super) fn lay(guests: &[Guest<'_, '_>]) -> Result<Laid, Stop> {
    let mut first = guests[0].read();
    let plate = surroundings::plate(&mut first)?;
    let things = surroundings::things(&mut first, &plate)?;
    let (mut entries, mut old) = (Vec::new(), Vec::new());
    for (index, guest) in guests.iter().enumerate() {
        let mut reader = guest.read();
        let stood = old_unit(&mut reader, index)?;
        entries.push(drive(&mut reader, guest, index, stood.as_ref(), &plate)?);
        for part in &guest.survey.position().added {
            let wish = Wish { unit: surroundings::added(part)?, holes: Vec::new(), runs: Vec::new() };
            entries.push(Entry { name: format!("{} ({})", part.name, guest.tag), guest: index, is_drive: false, wish });
        }
        old.extend(stood);
    }
    let mut laid = Laid { plate, things, entries, old, outcome: Outcome::NotFound { nodes: 0 }, moved: Vec::new(), plan: None };
    laid.outcome = laid.search(&[], STEPS)?;
    if !matches!(laid.outcome, Outcome::Placed(_)) {
        let movable: Vec<usize> = (0..laid.things.len()).filter(|i| laid.things[*i].movable).take(MOVABLE).collect();
        for moved in subsets(&movable) {
            let outcome = laid.search(&moved, STEPS_MOVED)?;
            if matches!(outcome, Outcome::Placed(_)) {
                (laid.outcome, laid.moved) = (outcome, moved);
                break;
            }
        }
    }
    laid.plan = laid.plan()?;
    Ok(laid)
}

/// Reads what a layout of this guest reads.
pub(super) fn touch(reader: &mut Reader<'_>, guest: &Guest<'_, '_>) {
    // What stops here stops the layout as well, and is told there.
    let _ = surroundings::plate(reader).and_then(|plate| surroundings::things(reader, &plate));
    let _ = surroundings::unit(reader, guest.unit(), &mut calc::working::Silent);
    let _ = surroundings::old_corner(reader);
}

/// All sets of some of them, smallest first; one that is not empty.
fn subsets(items: &[usize]) -> Vec<Vec<usize>> {
    let mut masks: Vec<u32> = (1..1u32 << items.len()).collect();
    masks.sort_by_key(|mask| (mask.count_ones(), *mask));
    masks.into_iter().map(|mask| items.iter().enumerate().filter(|(i, _)| mask >> i & 1 == 1).map(|(_, item)| *item).collect()).collect()
}

impl Laid {
    fn search(&self, moved: &[usize], nodes: usize) -> Result<Outcome, Stop> {
        let wishes: Vec<Wish> = self.entries.iter().map(|e| e.wish.clone()).collect();
        let stay: Vec<Obstacle> = self.things.iter().enumerate().filter(|(i, _)| !moved.contains(i)).map(|(_, t)| t.clone()).collect();
        // A unit that is too deep is told by its depth; its place on the plate is worth knowing all the same.
        let needed = wishes.iter().map(|w| w.unit.depth + w.unit.front).max().unwrap_or_default();
        let plate = Plate { depth: self.plate.depth.max(needed), ..self.plate };
        let holes = self.old_holes();
        let task = Task { plate: &plate, obstacles: &stay, wishes: &wishes, old_holes: &holes, tolerance: HoleTolerance::USUAL, nodes };
        Ok(place(&task)?)
    }

    /// The holes that the drives of today leave.
    pub(super) fn old_holes(&self) -> Vec<Hole> {
        self.old.iter().flat_map(|o| o.holes.iter().copied()).collect()
    }

    /// The places, one for each entry; empty where there are none.
    pub(super) fn spots(&self) -> &[Spot] {
        match &self.outcome {
            Outcome::Placed(layout) => &layout.spots,
            _ => &[],
        }
    }

    /// The fixing holes of an entry at its place.
    fn holes_at(entry: &Entry, spot: Spot) -> impl Iterator<Item = Hole> + '_ {
        let unit = &entry.wish.unit;
        entry.wish.holes.iter().map(move |h| Hole { at: spot.turn.point(h.at, unit.width, unit.height) + spot.at, ..*h })
    }

    fn plan(&self) -> Result<Option<DrillPlan>, Stop> {
        let needed: Vec<Hole> = self.entries.iter().zip(self.spots()).flat_map(|(e, spot)| Self::holes_at(e, *spot)).collect();
        if needed.is_empty() {
            return Ok(None);
        }
        let datum = Datum { name: "lower left corner of the mounting plate".into(), at: Point::default() };
        Ok(Some(drill_plan(&needed, &self.old_holes(), HoleTolerance::USUAL, datum)?))
    }

    /// Whose hole a needed one is.
    fn owner(&self, needed: usize) -> &str {
        let mut owners = self.entries.iter().flat_map(|e| e.wish.holes.iter().map(move |_| e.name.as_str()));
        owners.nth(needed).unwrap_or_default()
    }
}

/// The new drive with its holes and the ways of its cables.
fn drive(reader: &mut Reader<'_>, guest: &Guest<'_, '_>, index: usize, old: Option<&Old>, plate: &Plate) -> Result<Entry, Stop> {
    let candidate = guest.unit();
    let unit = surroundings::unit(reader, candidate, &mut calc::working::Silent)?;
    let frame = candidate.frame;
    let holes = candidate.series.fixing(&frame.name).map(hole).collect::<Result<Vec<_>, _>>()?;
    let terminal = terminal(frame.cable_side, frame.terminal_inset, unit.width, unit.height)?;
    // Today the cables end at the old drive's terminals or, where its place is not known, come in at the entry.
    let from = match (old, &guest.survey.position().old_frame) {
        (Some(old), Some((frame, _))) => {
            let (width, height) = (old.body.right - old.body.left, old.body.top - old.body.bottom);
            old.body.corner() + self::terminal(frame.cable_side, frame.terminal_inset, width, height)?
        }
        _ => self::terminal(reader.get(plant::survey::GLAND_SIDE)?, Length::ZERO, plate.width, plate.height)?,
    };
    let name = format!("{}, {}", guest.tag, unit.name);
    Ok(Entry { name, guest: index, is_drive: true, wish: Wish { unit, holes, runs: vec![Run { terminal, from }] } })
}

fn hole(hole: &FixingHole) -> Result<Hole, Stop> {
    Ok(Hole { at: Point::new(Tenths::nearest(hole.x)?, Tenths::nearest(hole.y)?), diameter: Tenths::nearest(hole.diameter)? })
}

/// Where the terminals are: in the middle of the side on which the cables enter.
fn terminal(side: PlateSide, inset: Length, width: Tenths, height: Tenths) -> Result<Point, Stop> {
    let inset = Tenths::nearest(inset)?;
    let half = |length: Tenths| Tenths::of(length.get() / 2);
    Ok(match side {
        PlateSide::Below => Point::new(half(width), inset),
        PlateSide::Above => Point::new(half(width), height - inset),
        PlateSide::Left => Point::new(inset, half(height)),
        PlateSide::Right => Point::new(width - inset, half(height)),
    })
}

fn old_unit(reader: &mut Reader<'_>, guest: usize) -> Result<Option<Old>, Stop> {
    let Some(((frame, holes), corner)) = reader.position().old_frame.as_ref().zip(surroundings::old_corner(reader)?) else {
        return Ok(None);
    };
    let holes = holes.iter().map(hole).collect::<Result<Vec<_>, _>>()?.into_iter().map(|h| Hole { at: h.at + corner, ..h }).collect();
    Ok(Some(Old { guest, body: Rect::at(corner, Tenths::nearest(frame.width)?, Tenths::nearest(frame.height)?), holes }))
}

/// Millimetres as a number.
pub(super) fn mm(length: Tenths) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "lengths within the limit are exact")]
    let tenths = length.get() as f64;
    tenths / 10.0
}

/// The layout in plain words and numbers.
pub(super) fn told(laid: &Laid, guests: &[Guest<'_, '_>]) -> Layout {
    let moved = laid.moved.iter().map(|i| laid.things[*i].name.clone()).collect();
    let mut told = Layout { moved, ..Layout::default() };
    match &laid.outcome {
        Outcome::Placed(layout) => {
            told.outcome = "placed".into();
            told.best = layout.best;
            let moved =
                if laid.moved.is_empty() { String::new() } else { format!(", with {} moved to another place", told.moved.join(", ")) };
            let cost = layout.cost;
            told.says = format!(
                "all have a place{moved}: {} old holes used again, {} to drill{}; cable ends move by {:.0} mm in all",
                cost.reused,
                cost.new,
                if cost.broken > 0 { format!(", {} of them into old ones", cost.broken) } else { String::new() },
                mm(cost.cable)
            );
        }
        Outcome::Impossible(why) => {
            told.outcome = "impossible".into();
            told.says = match why {
                Why::TooDeep(i) => format!("{} is deeper than the box", laid.entries[*i].name),
                Why::Alone(i) => format!("{} has no place, even by itself", laid.entries[*i].name),
                Why::Together => "each has a place by itself, but not all of them together".into(),
            };
        }
        Outcome::NotFound { .. } => {
            told.outcome = "not found".into();
            told.says = "the search found no place for all of them; one may exist".into();
        }
    }
    told.ways_out = ways_out(laid, guests);
    told.places = laid.entries.iter().zip(laid.spots()).map(|(entry, spot)| place_row(laid, entry, *spot)).collect();
    if let Some(plan) = &laid.plan {
        let t = plan.tolerance;
        told.datum = format!(
            "from the {}, x to the right, y upwards, mm; an old hole serves within ±{:.1} mm of place and diameter",
            plan.datum.name,
            mm(t.place)
        );
        told.holes = plan.rows.iter().map(|row| hole_row(laid, guests, row)).collect();
        // Holes of different units need not agree to a tenth of a millimetre.
        let unit_of = |number: usize| plan.rows.get(number.wrapping_sub(1)).and_then(|row| row.needed).map(|n| laid.owner(n));
        told.distances = plan
            .distances
            .iter()
            .filter(|d| unit_of(d.from) == unit_of(d.to))
            .map(|d| DistanceRow { from: d.from, to: d.to, straight: (d.straight.in_mm() * 100.0).round() / 100.0 })
            .collect();
    }
    told
}

fn place_row(laid: &Laid, entry: &Entry, spot: Spot) -> Place {
    let (unit, body) = (&entry.wish.unit, entry.wish.unit.body(spot));
    let turned = match spot.turn {
        Turn::Upright => "upright",
        Turn::Left => "turned left",
        Turn::Right => "turned right",
    };
    Place {
        name: entry.name.clone(),
        left: mm(body.left),
        bottom: mm(body.bottom),
        width: mm(body.right - body.left),
        height: mm(body.top - body.bottom),
        turned: turned.into(),
        depth_left: mm(laid.plate.depth - unit.depth - unit.front),
    }
}

fn hole_row(laid: &Laid, guests: &[Guest<'_, '_>], row: &calc::enclosure::holes::DrillRow) -> HoleRow {
    let work = match row.work {
        Work::New => "drill",
        Work::Opened => "drill larger",
        Work::Kept => "use again",
        Work::Closed => "close",
    };
    let old_owner = |index: usize| {
        let mut owners = laid.old.iter().flat_map(|o| o.holes.iter().map(move |_| o.guest));
        owners.nth(index).and_then(|g| guests.get(g)).map_or(String::new(), |g| format!("old drive of {}", g.tag))
    };
    HoleRow {
        number: row.number,
        work: work.into(),
        x: mm(row.at.x),
        y: mm(row.at.y),
        diameter: mm(row.diameter),
        of: row.needed.map_or_else(|| row.old.map(old_owner).unwrap_or_default(), |n| laid.owner(n).to_owned()),
        remark: match row.breaks_into {
            Some(_) => "would break into an old hole: shift the unit or fill the old hole first".into(),
            None if matches!(row.work, Work::New | Work::Opened) => near_old_hole(laid, row),
            None => String::new(),
        },
    }
}

/// An old hole nearer to a new one than the usual distance between holes.
fn near_old_hole(laid: &Laid, row: &calc::enclosure::holes::DrillRow) -> String {
    let others = laid.old_holes().into_iter().enumerate().filter(|(i, _)| Some(*i) != row.old);
    let nearest = others.map(|(_, h)| (h.at.distance_squared(row.at), h.diameter)).min();
    let Some((squared, diameter)) = nearest else { return String::new() };
    let needed = Tenths::of(SpacingRule::USUAL.between_tenths * diameter.max(row.diameter).get() / 10);
    let distance = Tenths::of(squared.isqrt());
    if distance >= needed { String::new() } else { format!("an old hole only {:.1} mm away; usual are {:.1} mm", mm(distance), mm(needed)) }
}

/// What would make room for what has none.
fn ways_out(laid: &Laid, guests: &[Guest<'_, '_>]) -> Vec<String> {
    let mut ways = Vec::new();
    let placed = matches!(laid.outcome, Outcome::Placed(_));
    for entry in &laid.entries {
        let unit = &entry.wish.unit;
        let deep = laid.plate.depth - unit.depth - unit.front;
        let has_place = fit::fit(&laid.plate, unit, &laid.things).is_ok_and(|f| f.on_plate());
        if deep < Tenths::ZERO {
            ways.push(format!("{}: the box lacks {:.1} mm of depth", entry.name, -mm(deep)));
        }
        if !placed
            && !has_place
            && let Ok(lack) = fit::shortfall(&laid.plate, unit, &laid.things)
        {
            ways.push(format!("{}: {}", entry.name, findings::r#box::no_place_on_plate::words(&lack, &laid.things)));
        }
        if entry.is_drive && (deep < Tenths::ZERO || !placed) {
            ways.extend(other_units(&guests[entry.guest]));
        }
    }
    if !ways.is_empty() {
        ways.push("a drive beside or outside the box, or a new box, where none of this will do".into());
    }
    ways
}

/// Another way of mounting, or a candidate whose box findings hold.
fn other_units(guest: &Guest<'_, '_>) -> Vec<String> {
    let unit = guest.unit();
    let mut ways = Vec::new();
    let style = unit.series.mounting(&unit.frame.name, Style::ThroughWall);
    if let Some(depth) = style.and_then(|s| s.depth) {
        ways.push(format!("{}: mounted through the rear wall it takes {} of depth", guest.tag, depth));
    }
    let fits = |candidate: &findings::candidate::Candidate<'_>| {
        let checks = [&findings::r#box::door_stays_open::CHECK, &findings::r#box::no_place_on_plate::CHECK];
        checks.iter().all(|check| {
            let outcome = (check.quick)(&mut guest.read(), candidate, &mut calc::working::Silent);
            matches!(outcome, Ok(findings::check::Outcome::Margin(m)) if m >= 0.0)
        })
    };
    // Frames of the same series that are not smaller in current, and fit.
    let mut frames: Vec<&str> = Vec::new();
    for other in findings::candidate::Candidate::all(unit.series) {
        let as_strong = other.rating.class == unit.rating.class && other.rating.current >= unit.rating.current;
        if as_strong && other.frame.name != unit.frame.name && !frames.contains(&other.frame.name.as_str()) && fits(&other) {
            frames.push(&other.frame.name);
        }
    }
    if !frames.is_empty() {
        ways.push(format!("{}: frame {} of the same series fits", guest.tag, frames.join(", ")));
    }
    ways
}
