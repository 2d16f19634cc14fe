//! The fit of a unit against a second program, written in Python on another method (`second_opinion/fit.py`): a grid of
//! millimetre cells, every whole position tried, plates grown and obstacles taken away until the unit fits.
#![allow(clippy::disallowed_methods, reason = "a test asks the environment for its interpreter")]
#![allow(clippy::expect_used, reason = "a test stops at the first broken expectation")]

mod common;

use std::collections::BTreeSet;

use calc::enclosure::fit::{Fit, Free, Mount, Obstacle, Plate, Rect, Sides, Tenths, Unit, fewest_removed, fit, shortfall};
use common::{Dice, ask_of_each};
use serde_json::{Value, json};

const BOXES: usize = 10_000;

fn one_in(dice: &mut Dice, n: i64) -> bool {
    dice.whole(1, n) == 1
}

/// Above, below, left, right.
fn four(dice: &mut Dice, most: i64) -> [i64; 4] {
    [0; 4].map(|_| dice.whole(0, most))
}

/// A box in whole millimetres, as both programs get it.
fn random_box(dice: &mut Dice) -> Value {
    let (width, height) = (dice.whole(8, 45), dice.whole(8, 45));
    let obstacles: Vec<Value> = (0..dice.whole(0, 8))
        .map(|i| {
            json!({
                "rect": [dice.whole(-3, width), dice.whole(-3, height), dice.whole(1, 15), dice.whole(1, 15)],
                "height": dice.whole(0, 12), "door": one_in(dice, 6),
                // Trying every set of them takes the second program long.
                "movable": i < 4 && !one_in(dice, 4),
            })
        })
        .collect();
    json!({
        "plate": [width, height], "depth": dice.whole(15, 45), "walls": four(dice, 3),
        "unit": {
            "width": dice.whole(2, 20), "height": dice.whole(2, 25), "depth": dice.whole(10, 25), "front": dice.whole(0, 5),
            "clear": four(dice, 5), "may_turn": one_in(dice, 3), "stand_off": if one_in(dice, 4) { json!(dice.whole(1, 8)) } else { Value::Null },
        },
        "obstacles": obstacles,
    })
}

fn mm(value: &Value) -> Tenths {
    Tenths::mm(value.as_i64().expect("a whole number"))
}

fn sides(value: &Value) -> Sides {
    Sides { above: mm(&value[0]), below: mm(&value[1]), left: mm(&value[2]), right: mm(&value[3]) }
}

fn plate(of: &Value) -> Plate {
    Plate { width: mm(&of["plate"][0]), height: mm(&of["plate"][1]), depth: mm(&of["depth"]), beyond: sides(&of["walls"]) }
}

fn unit(of: &Value) -> Unit {
    let unit = &of["unit"];
    Unit {
        name: "unit".into(),
        width: mm(&unit["width"]),
        height: mm(&unit["height"]),
        depth: mm(&unit["depth"]),
        front: mm(&unit["front"]),
        clear: sides(&unit["clear"]),
        may_turn: unit["may_turn"] == json!(true),
        shares_air: false,
        stand_off: unit["stand_off"].as_i64().map(Tenths::mm),
    }
}

fn obstacles(of: &Value) -> Vec<Obstacle> {
    let one = |o: &Value| {
        let at = |i: usize| o["rect"][i].as_i64().expect("a whole number");
        Obstacle {
            name: "obstacle".into(),
            at: Rect::mm(at(0), at(1), at(2), at(3)),
            height: mm(&o["height"]),
            mount: if o["door"] == json!(true) { Mount::Door } else { Mount::Plate },
            movable: o["movable"] == json!(true),
        }
    };
    of["obstacles"].as_array().expect("a list").iter().map(one).collect()
}

/// Whole millimetre places in the rectangles, each counted once.
fn count(free: &Free) -> usize {
    let whole = |from: Tenths, to: Tenths| from.get().div_euclid(10)..=to.get().div_euclid(10);
    let places = free.places.iter().flat_map(|r| whole(r.left, r.right).flat_map(|x| whole(r.bottom, r.top).map(move |y| (x, y))));
    places.collect::<BTreeSet<_>>().len()
}

#[test]
#[ignore = "needs the Python environment: cargo xtask test"]
fn fits_agree_with_a_search_over_every_position() {
    let mut dice = Dice(0x626f_7865_7331);
    let boxes: Vec<Value> = (0..BOXES).map(|_| random_box(&mut dice)).collect();
    let opinions = ask_of_each("fit.py", "boxes", boxes.clone());
    assert_eq!(opinions.len(), boxes.len());
    let (mut fitting, mut grown, mut taken_out) = (0, 0, 0);
    for (given, opinion) in boxes.iter().zip(&opinions) {
        let (plate, unit, obstacles) = (plate(given), unit(given), obstacles(given));
        let found: Fit = fit(&plate, &unit, &obstacles).expect("a box");
        let lack = shortfall(&plate, &unit, &obstacles).expect("a box");
        let removal = fewest_removed(&plate, &unit, &obstacles).expect("a box");
        let by = |growth: Option<calc::enclosure::fit::Growth>| growth.map(|g| g.by);
        let other = |name: &str| opinion[name].as_i64().map(Tenths::mm);
        assert_eq!(json!(found.fits()), opinion["fits"], "{given}");
        assert_eq!(json!(found.free.iter().map(count).collect::<Vec<_>>()), opinion["counts"], "{given}");
        assert_eq!(by(lack.wider), other("wider"), "wider: {given}");
        assert_eq!(by(lack.taller), other("taller"), "taller: {given}");
        assert_eq!(json!(removal.map(|r| r.obstacles)), opinion["removed"], "{given}");
        fitting += usize::from(found.fits());
        grown += usize::from(lack.wider.is_some_and(|g| g.by > Tenths::ZERO));
        taken_out += usize::from(opinion["removed"].as_array().is_some_and(|r| !r.is_empty()));
    }
    println!("{BOXES} boxes: {fitting} fit, {grown} fit on a wider plate, {taken_out} with obstacles taken out");
    assert!(fitting > BOXES / 5 && grown > BOXES / 10 && taken_out > BOXES / 20, "the boxes are too much alike");
}
