//! Adapter plates: a sheet on the old drive's studs that carries the new unit, where the old holes do not serve by themselves.

use calc::enclosure::fit::{self, Obstacle, Point, Rect, Sides, Spot, Tenths, Turn};
use calc::enclosure::holes::{
    Adapter as Strip, Covered, Hole, HoleTolerance, MATERIALS, SpacingRule, Use, adapter_thickness, covered, spacing, uses,
};
use calc::working::Working;
use dossier::boxes::{Adapter, HoleRow};
use plant::quantity::{Length, Ratio, System};

use super::Guest;
use super::layout::{Entry, Laid, Old, mm};
use crate::report;

/// Multiple of the weight that a plate must bear, for handling and shaking. Common practice, no source.
const FACTOR: f64 = 2.0;
/// Deflection that is accepted. Common practice, no source.
const DEFLECTION: Length = Length::mm(1.0);
/// A nut or a washer over its screw: diameter as a multiple of the hole. Common practice, no source.
const HEAD_TENTHS: i64 = 22;

/// One for each drive whose old holes do not all serve, where its old place is known.
pub(super) fn adapters(laid: &Laid, guests: &[Guest<'_, '_>], system: System) -> Vec<Adapter> {
    let drives = laid.entries.iter().filter(|e| e.is_drive && !e.wish.holes.is_empty());
    drives
        .filter_map(|entry| {
            let old = laid.old.iter().find(|o| o.guest == entry.guest && !o.holes.is_empty())?;
            (!stands_on_old_holes(laid, entry, old)).then(|| adapter(laid, entry, old, &guests[entry.guest], system))
        })
        .collect()
}

fn stands_on_old_holes(laid: &Laid, entry: &Entry, old: &Old) -> bool {
    let Some(at) = laid.entries.iter().position(|e| std::ptr::eq(e, entry)) else { return false };
    let Some(spot) = laid.spots().get(at) else { return false };
    let unit = &entry.wish.unit;
    let needed: Vec<Hole> =
        entry.wish.holes.iter().map(|h| Hole { at: spot.turn.point(h.at, unit.width, unit.height) + spot.at, ..*h }).collect();
    uses(&needed, &old.holes, HoleTolerance::USUAL).is_ok_and(|found| found.iter().all(|u| matches!(u, Use::Kept(_))))
}

fn adapter(laid: &Laid, entry: &Entry, old: &Old, guest: &Guest<'_, '_>, system: System) -> Adapter {
    let mut told = Adapter { tag: guest.tag.to_owned(), ..Adapter::default() };
    let Some(spot) = nearest_spot(laid, entry, old) else {
        told.says.push("the unit has no place on the mounting plate, with or without an adapter".into());
        return told;
    };
    let unit = &entry.wish.unit;
    let new: Vec<Hole> =
        entry.wish.holes.iter().map(|h| Hole { at: spot.turn.point(h.at, unit.width, unit.height) + spot.at, ..*h }).collect();
    let all: Vec<Hole> = old.holes.iter().chain(&new).copied().collect();
    let rule = SpacingRule::USUAL;
    // From the outermost holes to the edge what the rule asks for, rounded up to whole millimetres.
    let edge = all.iter().map(|h| (rule.edge_tenths * h.diameter.get() + 99) / 100).max().unwrap_or(0);
    let Some(outline) = around(&all, Tenths::mm(edge)) else { return told };
    let (width, height) = (outline.right - outline.left, outline.top - outline.bottom);
    let own = |hole: &Hole| Hole { at: hole.at - outline.corner(), ..*hole };
    (told.left, told.bottom, told.width, told.height) = (mm(outline.left), mm(outline.bottom), mm(width), mm(height));
    told.possible = true;
    against(&mut told, laid, entry, outline);
    if let Ok(found) = spacing(&all.iter().map(own).collect::<Vec<_>>(), width, height, rule) {
        for near in &found.pairs {
            told.possible = false;
            told.says.push(format!(
                "two of its holes are {:.1} mm apart and need {:.1} mm: no room for both in one sheet",
                mm(near.distance),
                mm(near.needed)
            ));
        }
    }
    let heads: Vec<Hole> = old.holes.iter().map(|h| Hole { diameter: Tenths::of(h.diameter.get() * HEAD_TENTHS / 10), ..*h }).collect();
    let hidden: Vec<Covered> = covered(&heads, &[unit.body(spot)]);
    if !hidden.is_empty() {
        told.says.push(format!(
            "{} of the old screws end up behind the unit: countersunk heads, or the adapter is fixed first and the unit after it",
            hidden.len()
        ));
    }
    thickness(&mut told, laid, entry, old, guest, system);
    let row = |number: usize, work: &str, hole: &Hole, of: &str| {
        let hole = own(hole);
        HoleRow {
            number,
            work: work.into(),
            x: mm(hole.at.x),
            y: mm(hole.at.y),
            diameter: mm(hole.diameter),
            of: of.into(),
            remark: String::new(),
        }
    };
    let studs = old.holes.iter().map(|h| ("drill, for an old stud", h, "old drive"));
    let fixings = new.iter().map(|h| ("drill or tap", h, entry.name.as_str()));
    told.holes = studs.chain(fixings).enumerate().map(|(i, (work, hole, of))| row(i + 1, work, hole, of)).collect();
    told.drawing = told.possible.then(|| super::sheet::draw_adapter(&told));
    told
}

/// The place of the new unit whose middle is nearest to that of the old one.
fn nearest_spot(laid: &Laid, entry: &Entry, old: &Old) -> Option<Spot> {
    let unit = &entry.wish.unit;
    let stay: Vec<Obstacle> = laid.things.iter().enumerate().filter(|(i, _)| !laid.moved.contains(i)).map(|(_, t)| t.clone()).collect();
    // What else was placed stays there.
    let others = laid.entries.iter().zip(laid.spots()).filter(|(e, _)| !std::ptr::eq(*e, entry)).map(|(e, spot)| Obstacle {
        name: e.name.clone(),
        at: e.wish.unit.body(*spot),
        height: e.wish.unit.depth,
        mount: fit::Mount::Plate,
        movable: false,
    });
    let all: Vec<Obstacle> = stay.into_iter().chain(others).collect();
    let found = fit::fit(&laid.plate, unit, &all).ok()?;
    let upright = found.free.iter().find(|f| f.turn == Turn::Upright)?;
    let half = |a: Tenths, b: Tenths| Tenths::of((a.get() + b.get()) / 2);
    let wanted = Point::new(
        half(old.body.left, old.body.right) - Tenths::of(unit.width.get() / 2),
        half(old.body.bottom, old.body.top) - Tenths::of(unit.height.get() / 2),
    );
    let at = upright.places.iter().map(|r| r.nearest(wanted)).min_by_key(|p| p.distance_squared(wanted))?;
    Some(Spot { turn: Turn::Upright, at })
}

/// The least rectangle around holes with an edge.
fn around(holes: &[Hole], edge: Tenths) -> Option<Rect> {
    let xs = || holes.iter().map(|h| h.at.x);
    let ys = || holes.iter().map(|h| h.at.y);
    Some(Rect { left: xs().min()?, bottom: ys().min()?, right: xs().max()?, top: ys().max()? }.grown(Sides::all(edge)))
}

/// What the sheet itself would lie on.
fn against(told: &mut Adapter, laid: &Laid, entry: &Entry, outline: Rect) {
    let in_the_way: Vec<&str> = laid
        .things
        .iter()
        .enumerate()
        .filter(|(i, t)| !laid.moved.contains(i) && t.mount == fit::Mount::Plate && t.at.overlaps(&outline))
        .map(|(_, t)| t.name.as_str())
        .collect();
    if !in_the_way.is_empty() {
        told.possible = false;
        told.says.push(format!("the sheet would lie over {}", in_the_way.join(", ")));
    }
    let plate = Rect { left: Tenths::ZERO, bottom: Tenths::ZERO, right: laid.plate.width, top: laid.plate.height };
    if !plate.contains(&outline) {
        told.possible = false;
        told.says.push("the sheet would stand out over the mounting plate".into());
    }
    if entry.wish.unit.may_turn {
        told.says.push("looked at upright only".into());
    }
}

fn thickness(told: &mut Adapter, laid: &Laid, entry: &Entry, old: &Old, guest: &Guest<'_, '_>, system: System) {
    let frame = guest.unit().frame;
    let extent = |coordinate: fn(&Hole) -> Tenths| {
        let all = || old.holes.iter().map(coordinate);
        all().max().unwrap_or_default() - all().min().unwrap_or_default()
    };
    let (across, along) = (extent(|h| h.at.x), extent(|h| h.at.y));
    let strip = Strip {
        mass: frame.mass,
        factor: Ratio::of_one(FACTOR),
        overhang: frame.depth / 2.0,
        span: along.length(),
        width: across.length(),
        deflection: DEFLECTION,
        material: MATERIALS[0],
    };
    let mut working = Working::default();
    match adapter_thickness(&strip, &mut working) {
        Ok(found) => {
            told.working = working.steps.iter().map(|s| report::step(s, system)).collect();
            match found.sheet {
                Some(sheet) => {
                    told.thickness = sheet.in_mm();
                    let left = mm(laid.plate.depth - entry.wish.unit.depth - entry.wish.unit.front) - told.thickness;
                    told.says.push(format!(
                        "steel sheet {:.1} mm on the old studs, {:.0} × {:.0} mm; it brings the unit {:.1} mm nearer to the door, {:.1} mm are left",
                        told.thickness, told.width, told.height, told.thickness, left
                    ));
                    if left < 0.0 {
                        told.possible = false;
                    }
                }
                None => {
                    told.possible = false;
                    told.says
                        .push(format!("no usual sheet is thick enough ({:.1} mm): stiffen it with edges or rails", found.least.in_mm()));
                }
            }
        }
        Err(refusal) => {
            told.possible = false;
            told.says.push(refusal.0);
        }
    }
}
