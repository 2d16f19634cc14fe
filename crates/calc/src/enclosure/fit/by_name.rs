//! `calc fit-one`: one unit on one plate by its sizes.

use plant::quantity::{Dimension, Length, dim};

use super::{Fit, Mount, Obstacle, Plate, Point, Rect, Shortfall, Sides, Tenths, Turn, Unit, fit, shortfall};
use crate::registry::{Arguments, Calculation, Input, InputKind, Refusal, output, quantity, quantity_or, word};
use crate::sources::{DEFINITION, PACK, SURVEY};
use crate::working::{Recorder, Step, Working};

const LENGTH: &plant::quantity::DimensionInfo = <dim::LengthDim as Dimension>::INFO;

/// `calc fit-one`.
pub const FIT_ONE: Calculation = Calculation {
    name: "fit-one",
    summary: "Whether a unit with its clearances fits on a mounting plate among obstacles, where, and what lacks.",
    inputs: &[
        quantity::<dim::LengthDim>("plate-width", "width of the mounting plate"),
        quantity::<dim::LengthDim>("plate-height", "height of the mounting plate"),
        quantity::<dim::LengthDim>("plate-depth", "from the plate to the inside of the closed door"),
        quantity_or::<dim::LengthDim>("beyond", "0 mm", "from the plate's edges to the walls; clearances may use it"),
        quantity::<dim::LengthDim>("width", "width of the unit"),
        quantity::<dim::LengthDim>("height", "height of the unit"),
        quantity::<dim::LengthDim>("depth", "depth of the unit"),
        quantity_or::<dim::LengthDim>("front", "0 mm", "keypad, handle or plugs in front of the unit"),
        quantity_or::<dim::LengthDim>("above", "0 mm", "clearance above the unit"),
        quantity_or::<dim::LengthDim>("below", "0 mm", "clearance below the unit"),
        quantity_or::<dim::LengthDim>("left", "0 mm", "clearance left of the unit"),
        quantity_or::<dim::LengthDim>("right", "0 mm", "clearance right of the unit"),
        word("turn", &["no", "yes"], "whether the unit may lie on its side"),
        Input {
            name: "obstacles",
            kind: InputKind::Rows(&[LENGTH, LENGTH, LENGTH, LENGTH]),
            default: Some(""),
            doc: "left, bottom, width and height of each, from the plate's lower left corner",
        },
    ],
    results: &[
        output::<dim::CountDim>("fits", "", "1 when it goes in and the door closes, else 0"),
        output::<dim::LengthDim>("x", "mm", "left edge of the unit in the first place that the plate has; not a number when it has none"),
        output::<dim::LengthDim>("y", "mm", "lower edge of the unit there"),
        output::<dim::CountDim>("turned", "", "1 when it lies on its side there, else 0"),
        output::<dim::LengthDim>("depth-margin", "mm", "depth left with the door closed"),
        output::<dim::LengthDim>("wider", "mm", "least growth of the plate's width that makes a place; infinite when none does"),
        output::<dim::LengthDim>("taller", "mm", "least growth of the plate's height that makes a place; infinite when none does"),
    ],
    sources: &[&DEFINITION, &PACK, &SURVEY],
    run,
};

fn run(a: &Arguments, w: &mut Working) -> Result<Vec<f64>, Refusal> {
    let up = |name: &str| Tenths::up(a.get(name));
    let down = |name: &str| Tenths::down(a.get(name));
    let plate = Plate {
        width: down("plate-width")?,
        height: down("plate-height")?,
        depth: down("plate-depth")?,
        beyond: Sides::all(down("beyond")?),
    };
    let unit = Unit {
        name: "the unit".into(),
        width: up("width")?,
        height: up("height")?,
        depth: up("depth")?,
        front: up("front")?,
        clear: Sides { above: up("above")?, below: up("below")?, left: up("left")?, right: up("right")? },
        may_turn: a.word("turn") == "yes",
        shares_air: false,
        stand_off: None,
    };
    let obstacles = a.rows("obstacles").iter().enumerate().map(|(i, row)| obstacle(i, row)).collect::<Result<Vec<_>, _>>()?;
    let found = fit(&plate, &unit, &obstacles)?;
    let lack = shortfall(&plate, &unit, &obstacles)?;
    record(&plate, &unit, &found, &lack, w);
    let si = |length: Tenths| length.length().in_si();
    let spot = found.first();
    Ok(vec![
        f64::from(u8::from(found.fits())),
        spot.map_or(f64::NAN, |s| si(s.at.x)),
        spot.map_or(f64::NAN, |s| si(s.at.y)),
        f64::from(u8::from(spot.is_some_and(|s| s.turn != Turn::Upright))),
        si(found.depth_margin),
        lack.wider.map_or(f64::INFINITY, |g| si(g.by)),
        lack.taller.map_or(f64::INFINITY, |g| si(g.by)),
    ])
}

/// One row; edges are rounded outwards, so that rounding never makes room.
fn obstacle(index: usize, row: &[f64]) -> Result<Obstacle, Refusal> {
    let edge = |i: usize| Length::si(row.get(i).copied().unwrap_or(f64::NAN));
    let corner = Point::new(Tenths::down(edge(0))?, Tenths::down(edge(1))?);
    let at = Rect { left: corner.x, bottom: corner.y, right: Tenths::up(edge(0) + edge(2))?, top: Tenths::up(edge(1) + edge(3))? };
    Ok(Obstacle { name: format!("obstacle {}", index + 1), at, height: Tenths::ZERO, mount: Mount::Plate, movable: true })
}

fn record(plate: &Plate, unit: &Unit, found: &Fit, lack: &Shortfall, w: &mut Working) {
    w.step(|| {
        Step::new("Δd", "depth left with the door closed", "d_p − d − d_f", &DEFINITION)
            .with("d_p", plate.depth.length())
            .with("d_f", unit.front.length())
            .with("d", unit.depth.length())
            .gives(found.depth_margin.length())
    });
    for free in &found.free {
        let corners = |r: &Rect| format!("x {} to {}, y {} to {}", mm(r.left), mm(r.right), mm(r.bottom), mm(r.top));
        let places: Vec<String> = free.places.iter().map(corners).collect();
        w.step(|| {
            Step::new("P", format!("places of the lower left corner, {}", words(free.turn)), "", &DEFINITION)
                .gives(if places.is_empty() { "none".to_owned() } else { places.join("; ") })
                .note("mm from the plate's lower left corner, bounds included; the plate less each obstacle grown by the unit and its clearances")
        });
    }
    if !found.on_plate() {
        for (symbol, name, growth) in [("ΔW", "least growth in width", lack.wider), ("ΔH", "least growth in height", lack.taller)] {
            w.step(|| {
                let step = Step::new(symbol, name, "", &DEFINITION);
                match growth {
                    Some(g) => step.gives(g.by.length()),
                    None => step.gives("none would do"),
                }
            });
        }
    }
}

fn mm(length: Tenths) -> String {
    plant::quantity::digits(length.length().in_mm(), 7)
}

const fn words(turn: Turn) -> &'static str {
    match turn {
        Turn::Upright => "upright",
        Turn::Left => "a quarter turn to the left",
        Turn::Right => "a quarter turn to the right",
    }
}
