//! The unit is deeper than the box: the door does not close before it.

use calc::sources::{DEFINITION, SURVEY};
use calc::working::{Recorder, Step};
use plant::choice::{Housing, Style};
use plant::survey::{BOX_HOUSING, PLATE_DEPTH};

use crate::candidate::{Candidate, Measure, Remedy};
use crate::check::{Outcome, Way, check};
use crate::facts::{Reader, Stop};
use crate::surroundings::mounted;

check! {
    name: "box/door-stays-open",
    severity: Downtime,
    rows: &[104],
    unit: "mm",
    ways: &[(PLATE_DEPTH.id, Way::Up)],
    measures: &[Measure::ThroughWall],
    page: "door_stays_open.md",
    run: run,
    remedies: through_wall,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    if facts.get(BOX_HOUSING)? == Housing::Room {
        return Ok(Outcome::NotHere);
    }
    let room = facts.get(PLATE_DEPTH)?;
    let (depth, front) = (mounted(facts, unit)?.depth, unit.frame.front);
    let left = room - depth - front;
    rec.step(|| Step::new("T", "from the mounting plate to the closed door", "", &SURVEY).gives(room));
    rec.step(|| {
        Step::new("margin", "room left between the unit and the closed door", "T − D − f", &DEFINITION)
            .with("T", room)
            .with("D", depth)
            .with("f", front)
            .gives(left)
            .note("f: what stands out in front of the unit, keypad and plugs; devices on the door count where the unit finds its place")
    });
    Ok(Outcome::Margin(left.in_mm()))
}

/// Mounting with the heat sink through the rear wall, where the pack has it.
pub(crate) fn through_wall(unit: &Candidate<'_>) -> Vec<Remedy> {
    let style = unit.series.mounting(&unit.frame.name, Style::ThroughWall);
    style
        .map(|style| Remedy {
            measure: Measure::ThroughWall,
            what: match &style.kit {
                Some(kit) => format!("mount it through the rear wall with {kit}: cut-out, seal, and room for the heat behind the box"),
                None => "mount it through the rear wall: cut-out, seal, and room for the heat behind the box".into(),
            },
            parts: if style.kit.is_some() { style.kit_price } else { Some(0.0) },
            minutes: 150.0,
        })
        .into_iter()
        .collect()
}

#[cfg(test)]
mod tests {
    use plant::choice::Duty;

    use super::*;
    use crate::fixture::{by_hand, is_not_here, is_open, remedied, unit};

    const BOX: &[(&str, &str)] = &[("box.housing", "wall-box"), ("conditions.mounting", "spaced"), ("box.plate_depth", "240 mm")];

    #[test]
    fn what_is_left_before_the_door_counts() {
        // The small frame is 200 mm deep and its keypad stands out 20 mm; the large one 300 mm and 25 mm.
        by_hand(&CHECK, BOX, &unit("R1", Duty::Light), 20.0);
        by_hand(&CHECK, BOX, &unit("R2", Duty::Light), -85.0);
    }

    #[test]
    fn a_heat_sink_outside_takes_less_depth() {
        // Through the wall the large frame takes 150 mm: 240 − 150 − 25.
        by_hand(&CHECK, BOX, &remedied(&CHECK, &unit("R2", Duty::Light)), 65.0);
        assert!(through_wall(&unit("R1", Duty::Light)).is_empty(), "the small frame has no such way");
    }

    #[test]
    fn without_a_measured_depth_it_stays_open() {
        is_open(&CHECK, &BOX[..2], &unit("R1", Duty::Light), "box.plate_depth");
        is_not_here(&CHECK, &[("box.housing", "room")], &unit("R1", Duty::Light));
    }
}
