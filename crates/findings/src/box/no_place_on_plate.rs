//! The mounting plate has no place for the unit with its clearances and for what goes in beside it.

use calc::enclosure::fit::{self, Obstacle, Plate, Shortfall, Tenths, Unit, play, shortfall};
use calc::enclosure::holes::HoleTolerance;
use calc::enclosure::place::{Outcome as Placing, Task, Wish, place};
use calc::sources::DEFINITION;
use calc::working::{Recorder, Step};
use plant::choice::Housing;
use plant::survey::{BOX_HOUSING, PLATE_DEPTH, PLATE_GAP, PLATE_HEIGHT, PLATE_WIDTH};

use crate::candidate::{Candidate, Measure, Remedy};
use crate::check::{Outcome, Way, check};
use crate::facts::{Reader, Stop};
use crate::surroundings::{added, obstacles, plate, unit as outline};

check! {
    name: "box/no-place-on-plate",
    severity: Downtime,
    rows: &[104],
    unit: "mm",
    ways: &[(PLATE_WIDTH.id, Way::Up), (PLATE_HEIGHT.id, Way::Up), (PLATE_DEPTH.id, Way::Up), (PLATE_GAP.id, Way::Up)],
    measures: &[Measure::MovedThings, Measure::ThroughWall, Measure::TerminalBlock],
    page: "no_place_on_plate.md",
    run: run,
    remedies: remedies,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    if facts.get(BOX_HOUSING)? == Housing::Room {
        return Ok(Outcome::NotHere);
    }
    let plate = plate(facts)?;
    let outline = outline(facts, unit, rec)?;
    let mut things = obstacles(facts, &plate)?;
    if unit.measures.has(Measure::MovedThings) {
        things.retain(|thing| !thing.movable);
    }
    rec.step(|| {
        Step::new("B × T", "mounting plate", "", &calc::sources::SURVEY)
            .gives(format!("{} × {}", plate.width.length(), plate.height.length()))
            .note(format!("{} things stand on it or on the door and count as being in the way", things.len()))
    });
    let alone = play(&plate, &outline, &things)?;
    let beside = facts.position().added.iter().map(added).collect::<Result<Vec<_>, _>>()?;
    let margin = if beside.is_empty() { alone } else { together(&plate, &outline, &things, &beside, alone)? };
    rec.step(|| {
        let lack = if margin < Tenths::ZERO { shortfall(&plate, &outline, &things).ok().map(|s| words(&s, &things)) } else { None };
        Step::new("margin", "how much wider and taller the unit could be", "", &DEFINITION).gives(margin.length()).note(
            lack.unwrap_or_else(|| if beside.is_empty() { String::new() } else { format!("with {} added parts beside it", beside.len()) }),
        )
    });
    #[expect(clippy::cast_precision_loss, reason = "lengths within the limit are exact")]
    Ok(Outcome::Margin(margin.get() as f64 / 10.0))
}

/// Steps of the search for a joint layout: enough for a unit and a few parts.
const NODES: usize = 400;

/// Play of the unit when the added parts must find a place too, to a whole millimetre downwards.
fn together(plate: &Plate, unit: &Unit, things: &[Obstacle], beside: &[Unit], alone: Tenths) -> Result<Tenths, Stop> {
    let placed = |by: i64| -> Result<bool, Stop> {
        let wish = |unit: Unit| Wish { unit, holes: Vec::new(), runs: Vec::new() };
        let wishes: Vec<Wish> = std::iter::once(wish(fit::grown(unit, Tenths::mm(by)))).chain(beside.iter().cloned().map(wish)).collect();
        // Depth is another finding's.
        let deep = Plate { depth: wishes.iter().map(|w| w.unit.depth + w.unit.front).max().unwrap_or_default().max(plate.depth), ..*plate };
        let task = Task { plate: &deep, obstacles: things, wishes: &wishes, old_holes: &[], tolerance: HoleTolerance::USUAL, nodes: NODES };
        Ok(matches!(place(&task)?, Placing::Placed(_)))
    };
    let least = 1 - unit.width.min(unit.height).get() / 10;
    let (mut enough, mut too_much) = (least, alone.get().div_euclid(10) + 1);
    while too_much - enough > 1 {
        let middle = enough.midpoint(too_much);
        if placed(middle)? { enough = middle } else { too_much = middle }
    }
    Ok(Tenths::mm(enough).min(alone))
}

/// What lacks and which single change would do, in words.
#[must_use]
pub fn words(lack: &Shortfall, things: &[Obstacle]) -> String {
    let mut ways = Vec::new();
    if lack.empty.width > Tenths::ZERO || lack.empty.height > Tenths::ZERO {
        ways.push(format!(
            "even the empty plate lacks {} in width and {} in height",
            lack.empty.width.length(),
            lack.empty.height.length()
        ));
    }
    for (what, growth) in [("wider", lack.wider), ("taller", lack.taller)] {
        if let Some(growth) = growth {
            ways.push(format!("a plate {} {what} ({}) would do", growth.by.length(), growth.side.word()));
        }
    }
    for shift in &lack.shifts {
        if let Some(thing) = things.get(shift.obstacle) {
            let can = if thing.movable { "" } else { ", which the survey calls fixed" };
            ways.push(format!("{} moved {} to the {}{can} would do", thing.name, shift.by.length(), shift.towards.word()));
        }
    }
    ways.extend(lack.clearances.iter().map(|less| format!("{} less clearance {} would do", less.by.length(), less.side.word())));
    if ways.is_empty() { "no single change of the plate, of a thing on it or of a clearance makes room".into() } else { ways.join("; ") }
}

fn remedies(unit: &Candidate<'_>) -> Vec<Remedy> {
    let mut list = vec![Remedy {
        measure: Measure::MovedThings,
        what: "clear the plate of what can be moved, and find it another place".into(),
        parts: Some(0.0),
        minutes: 120.0,
    }];
    list.extend(super::door_stays_open::through_wall(unit));
    list.extend(super::conductor_outside_terminal::terminal_block(unit));
    list
}

#[cfg(test)]
mod tests {
    use plant::choice::{Duty, Fixing};
    use plant::position::{AddedPart, Position, Thing};
    use plant::quantity::{Length, Power};

    use super::*;
    use crate::facts::Survey;
    use crate::fixture::{Said, is_open, position, said, unit, with};

    /// A plate of 600 mm × 800 mm. The small frame is 150 mm × 300 mm, free 100 mm above and below; its pack asks for no more to bend.
    const BOX: &[(&str, &str)] = &[
        ("box.housing", "cabinet"),
        ("conditions.mounting", "spaced"),
        ("box.plate_width", "600 mm"),
        ("box.plate_height", "800 mm"),
        ("box.plate_depth", "300 mm"),
    ];

    fn thing(name: &str, left: f64, bottom: f64, width: f64, height: f64, fixing: Fixing, movable: bool) -> Thing {
        let mm = Length::mm;
        Thing {
            name: name.into(),
            left: mm(left),
            bottom: mm(bottom),
            width: mm(width),
            height: mm(height),
            depth: mm(80.0),
            fixing,
            movable,
        }
    }

    fn margin(position: &Position, unit: &Candidate<'_>) -> f64 {
        let Said { outcome: Ok(Outcome::Margin(margin)), .. } = said(&CHECK, &Survey::new(position), unit) else { panic!("no margin") };
        margin
    }

    fn with_things(things: &[Thing]) -> Position {
        Position { things: things.to_vec(), ..position(BOX) }
    }

    #[test]
    fn height_with_clearances_and_width_bound_the_play() {
        let small = unit("R1", Duty::Light);
        // 800 − 300 − 200 = 300 mm in height; 600 − 150 = 450 mm in width.
        assert!((margin(&with_things(&[]), &small) - 300.0).abs() < 0.05);
        // A duct at 500 mm: 500 − 100 − 300 − 100 = 0.
        assert!(margin(&with_things(&[thing("duct", 0.0, 500.0, 600.0, 60.0, Fixing::Plate, false)]), &small).abs() < 0.05);
    }

    #[test]
    fn what_can_be_moved_is_moved_by_the_remedy_alone() {
        let small = unit("R1", Duty::Light);
        let full =
            [thing("rail", 0.0, 300.0, 600.0, 100.0, Fixing::Plate, true), thing("duct", 0.0, 700.0, 600.0, 60.0, Fixing::Plate, false)];
        assert!(margin(&with_things(&full), &small) < 0.0);
        // 700 − 300 − 200 = 200 mm below the duct.
        assert!((margin(&with_things(&full), &with(&CHECK, &small, Measure::MovedThings)) - 200.0).abs() < 0.05);
    }

    #[test]
    fn an_added_part_needs_its_own_place() {
        let small = unit("R1", Duty::Light);
        let part = |width| AddedPart {
            name: "reactor".into(),
            width: Length::mm(width),
            height: Length::mm(700.0),
            depth: Length::mm(120.0),
            clear_ends: Length::ZERO,
            clear_side: Length::ZERO,
            may_turn: false,
            mass: None,
            losses: Power::w(50.0),
        };
        // Beside 400 mm of a reactor over almost the whole height 600 − 400 − 150 = 50 mm are left.
        let beside = Position { added: vec![part(400.0)], ..position(BOX) };
        assert!((margin(&beside, &small) - 50.0).abs() < 1.05);
        let too_wide = Position { added: vec![part(500.0)], ..position(BOX) };
        assert!((margin(&too_wide, &small) + 50.0).abs() < 1.05);
    }

    #[test]
    fn a_deep_thing_on_the_door_is_in_the_way_with_its_swing() {
        // 300 mm − 200 mm − 20 mm leave 80 mm, as much as the device: nothing is in the way.
        let small = unit("R1", Duty::Light);
        let door = |depth| Thing { depth: Length::mm(depth), ..thing("meter", 0.0, 0.0, 460.0, 800.0, Fixing::Door, false) };
        let free = |depth| Position { things: vec![door(depth)], ..position(&[BOX, &[("box.hinge", "left")]].concat()) };
        assert!((margin(&free(80.0), &small) - 300.0).abs() < 0.05);
        // Deeper, it leaves 140 mm beside itself, less √(460² + 81²) − 460 = 7.1 mm of swing: 600 − 460 − 7.1 − 150 = −17.1.
        assert!((margin(&free(81.0), &small) + 17.1).abs() < 0.15);
    }

    #[test]
    fn an_unmeasured_plate_and_unread_conductors_stay_open() {
        is_open(&CHECK, &BOX[..2], &unit("R1", Duty::Light), "box.plate_width");
        // The large frame's pack says nothing of bending space.
        is_open(&CHECK, BOX, &unit("R2", Duty::Light), "conductors.area");
    }
}
