//! How fast units are placed: twelve drives in one box with forty obstacles, their old holes and cables, and one drive alone.
//! Box, obstacles and units are invented.

use calc::enclosure::fit::{Mount, Obstacle, Plate, Point, Rect, Sides, Tenths, Unit, fit, shortfall};
use calc::enclosure::holes::{Hole, HoleTolerance};
use calc::enclosure::place::{NODES, Outcome, Run, Task, Wish, place};

struct Box12 {
    plate: Plate,
    obstacles: Vec<Obstacle>,
    wishes: Vec<Wish>,
    old: Vec<Hole>,
}

/// Widths and offset of the hole patterns of three sizes of drives.
struct Sizes {
    widths: [i64; 3],
    pattern: [i64; 3],
}

/// New drives no wider than the old ones.
const ROOMY: Sizes = Sizes { widths: [170, 180, 190], pattern: [0, 0, 0] };
/// Rows nearly full: six drives take 1625 mm of 1640 mm, so that hardly one can stand on its old holes.
const TIGHT: Sizes = Sizes { widths: [250, 265, 280], pattern: [40, 47, 55] };
/// Rows too full by 35 mm: no layout exists, which no search of this size can prove.
const OVERFULL: Sizes = Sizes { widths: [265, 275, 280], pattern: [47, 52, 55] };

/// A box of two rows of old drives under ducts, with small devices between and beside them.
fn box12(sizes: &Sizes) -> Box12 {
    let plate = Plate { width: Tenths::mm(1760), height: Tenths::mm(1900), depth: Tenths::mm(480), beyond: Sides::all(Tenths::mm(20)) };
    let mut obstacles = Vec::new();
    let mut add = |left, bottom, width, height| {
        obstacles.push(Obstacle {
            name: format!("obstacle {}", obstacles.len() + 1),
            at: Rect::mm(left, bottom, width, height),
            height: Tenths::mm(60),
            mount: Mount::Plate,
            movable: false,
        });
    };
    for row in 0..4 {
        add(0, 40 + 600 * row, 1760, 60); // ducts, the uppermost above the plate's devices
    }
    for side in 0..2 {
        add(1700 * side, 100, 60, 1740);
    }
    for i in 0..17 {
        add(100 + 90 * i, 1330, 70, 110); // breakers above the drives
    }
    for i in 0..17 {
        add(105 + 90 * i, 1500, 60, 90); // contactors and relays
    }
    let mut wishes = Vec::new();
    let mut old = Vec::new();
    for (i, size) in (0..12).zip([0, 1, 2].into_iter().cycle()) {
        let (column, row, height) = (i % 6, i / 6, 320 + 10 * (i % 4));
        let (width, offset) = (sizes.widths[size], sizes.pattern[size]);
        let unit = Unit {
            name: format!("drive {}", i + 1),
            width: Tenths::mm(width),
            height: Tenths::mm(height),
            depth: Tenths::mm(260),
            front: Tenths::mm(25),
            clear: Sides { above: Tenths::mm(70), below: Tenths::mm(60), left: Tenths::mm(5), right: Tenths::mm(5) },
            may_turn: false,
            shares_air: true,
            stand_off: None,
        };
        let hole = |x, y| Hole { at: Point::mm(x, y), diameter: Tenths::mm(6) };
        let place = Point::mm(80 + 270 * column, 170 + 600 * row);
        let pattern = [hole(25, 10), hole(145, 10), hole(25, 310), hole(145, 310)];
        old.extend(pattern.iter().map(|h| Hole { at: h.at + place, ..*h }));
        let run = |x, old_x| Run { terminal: Point::mm(x, 0), from: place + Point::mm(old_x, 0) };
        // A third of the drives have the old pattern, a third meet only one pair of it, a third none.
        let holes = match size {
            0 => pattern.to_vec(),
            1 => vec![hole(25, 10), hole(145, 10), hole(25, 300), hole(145, 300)],
            _ => vec![hole(20, 10), hole(150, 10), hole(20, 300), hole(150, 300)],
        };
        let holes = holes.into_iter().map(|h| Hole { at: h.at + Point::mm(offset, 0), ..h }).collect();
        wishes.push(Wish { unit, holes, runs: vec![run(40, 30), run(80, 70), run(120, 110)] });
    }
    Box12 { plate, obstacles, wishes, old }
}

#[divan::bench(args = ["roomy", "tight", "overfull"])]
fn twelve_drives_forty_obstacles(bencher: divan::Bencher<'_, '_>, kind: &str) {
    let b = box12(match kind {
        "roomy" => &ROOMY,
        "tight" => &TIGHT,
        _ => &OVERFULL,
    });
    let task = Task {
        plate: &b.plate,
        obstacles: &b.obstacles,
        wishes: &b.wishes,
        old_holes: &b.old,
        tolerance: HoleTolerance::USUAL,
        nodes: NODES,
    };
    assert_eq!((b.obstacles.len(), b.wishes.len()), (40, 12));
    match place(&task) {
        Ok(Outcome::Placed(layout)) => println!("{kind}: {:?}, best shown: {}", layout.cost, layout.best),
        other => println!("{kind}: {other:?}"),
    }
    bencher.bench_local(|| place(&task));
}

#[divan::bench]
fn places_of_one_drive(bencher: divan::Bencher<'_, '_>) {
    let b = box12(&ROOMY);
    bencher.bench_local(|| fit(&b.plate, &b.wishes[0].unit, &b.obstacles));
}

#[divan::bench]
fn what_one_drive_lacks(bencher: divan::Bencher<'_, '_>) {
    let b = box12(&TIGHT);
    let unit = Unit { width: Tenths::mm(700), height: Tenths::mm(900), ..b.wishes[0].unit.clone() };
    bencher.bench_local(|| shortfall(&b.plate, &unit, &b.obstacles));
}

fn main() {
    divan::main();
}
