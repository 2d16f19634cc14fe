//! The drawing of a mounting plate: what stays, what goes, what comes, which holes, at true size.

use calc::enclosure::fit::{Mount, Rect, Tenths};
use dossier::boxes::{Adapter, HoleRow, Layout};
use dossier::drawing::{Along, Anchor, Drawing, Hatch, Mark, Point, Shape, Table, Text, at, layer};

use super::layout::{Laid, mm};

/// Room around the plate for dimensions, in heights of letters.
const ROOM: f64 = 11.0;

/// Draws a plate; the layout's tables stand beside it.
pub(super) fn draw(name: &str, laid: &Laid, told: &Layout) -> Drawing {
    let (width, height) = (mm(laid.plate.width), mm(laid.plate.height));
    // Letters that can be read when the sheet is printed to fit a page.
    let letter = (width.max(height) / 70.0).clamp(6.0, 16.0);
    let origin = at(ROOM * letter, ROOM * letter);
    let tables = Tables::of(told, letter);
    let beside = origin.x + width + 4.0 * letter;
    let sheet_width = beside + tables.width() + 2.0 * letter;
    let needed = tables.height(letter);
    let sheet_height = (origin.y + height + 7.0 * letter).max(needed + 5.0 * letter);
    let mut pen = Pen { drawing: Drawing::new(&format!("Box {name}: mounting plate"), sheet_width, sheet_height, letter), origin, letter };
    pen.drawing.description = description(name, laid, told);
    pen.plate(width, height);
    pen.things(laid);
    for old in &laid.old {
        pen.rectangle(layer::OLD_UNIT, &old.body, Hatch::None);
    }
    pen.units(laid);
    pen.holes(&told.holes);
    pen.dimensions(laid, width, height);
    let title = pen.drawing.title.clone();
    pen.drawing.add(layer::TEXT, Shape::text(at(origin.x, sheet_height - 2.5 * letter), 1.4 * letter, Anchor::Left, &title));
    let mut top = sheet_height - 2.0 * letter;
    for (head, table) in tables.0 {
        pen.drawing.add(layer::TEXT, Shape::text(at(beside, top), letter, Anchor::Left, head));
        top -= 1.5 * letter;
        let depth = table.depth();
        pen.drawing.add(layer::TEXT, Shape::Table(Table { at: at(beside, top), ..table }));
        top -= depth + 2.0 * letter;
    }
    if !told.datum.is_empty() {
        pen.drawing.add(layer::TEXT, Shape::text(at(origin.x, 1.5 * letter), 0.8 * letter, Anchor::Left, &told.datum));
    }
    pen.drawing.add(layer::TEXT, Shape::Key { at: at(beside, top), height: 0.8 * letter });
    pen.drawing
}

/// The tables beside the plate.
struct Tables(Vec<(&'static str, Table)>);

impl Tables {
    fn of(told: &Layout, letter: f64) -> Self {
        let place = |v: f64| format!("{v:.1}");
        let mut list = Vec::new();
        let height = 0.8 * letter;
        if !told.places.is_empty() {
            let rows = told.places.iter().map(|p| {
                vec![p.name.clone(), place(p.left), place(p.bottom), place(p.width), place(p.height), p.turned.clone(), place(p.depth_left)]
            });
            let heads = ["what", "left", "bottom", "width", "height", "stands", "to the door"];
            list.push(("Places, mm", Table::fitted(at(0.0, 0.0), height, &heads, rows.collect())));
        }
        if !told.holes.is_empty() {
            list.push(("Holes, mm", hole_table(&told.holes, height)));
        }
        Self(list)
    }

    fn width(&self) -> f64 {
        self.0.iter().map(|(_, t)| t.width()).fold(200.0, f64::max)
    }

    /// With heads, gaps and the key below.
    fn height(&self, letter: f64) -> f64 {
        self.0.iter().map(|(_, t)| t.depth() + 3.5 * letter).sum::<f64>() + 22.0 * letter
    }
}

fn hole_table(holes: &[HoleRow], height: f64) -> Table {
    let place = |v: f64| format!("{v:.1}");
    let rows = holes.iter().map(|h| vec![h.number.to_string(), h.work.clone(), place(h.x), place(h.y), place(h.diameter), h.of.clone()]);
    Table::fitted(at(0.0, 0.0), height, &["hole", "work", "x", "y", "diameter", "of"], rows.collect())
}

/// Draws an adapter plate.
pub(super) fn draw_adapter(adapter: &Adapter) -> Drawing {
    let letter = (adapter.width.max(adapter.height) / 45.0).clamp(4.0, 14.0);
    let origin = at(ROOM * letter, ROOM * letter);
    let table = hole_table(&adapter.holes, 0.8 * letter);
    let beside = origin.x + adapter.width + 4.0 * letter;
    let sheet_height = (origin.y + adapter.height + 6.0 * letter).max(table.depth() + 20.0 * letter);
    let title = format!("Adapter plate for {}", adapter.tag);
    let mut drawing = Drawing::new(&title, beside + table.width().max(30.0 * letter) + 2.0 * letter, sheet_height, letter);
    drawing.description = format!(
        "Steel sheet {:.1} mm thick, {:.1} × {:.1} mm, with {} holes; its lower left corner comes {:.1} mm from the left and {:.1} mm from the lower edge of the mounting plate.",
        adapter.thickness,
        adapter.width,
        adapter.height,
        adapter.holes.len(),
        adapter.left,
        adapter.bottom
    );
    let mut pen = Pen { drawing, origin, letter };
    pen.plate(adapter.width, adapter.height);
    pen.holes(&adapter.holes);
    let mut add = |from: Point, to: Point, along, offset| pen.drawing.add(layer::DIMENSION, Shape::dimension(from, to, along, offset));
    add(origin, at(origin.x + adapter.width, origin.y), Along::Horizontal, -5.0 * letter);
    add(at(origin.x, origin.y + adapter.height), origin, Along::Vertical, -5.0 * letter);
    let mut top = sheet_height - 2.0 * letter;
    let mut words = |drawing: &mut Drawing, x: f64, size: f64, text: &str| {
        drawing.add(layer::TEXT, Shape::text(at(x, top), size, Anchor::Left, text));
        top -= 2.0 * size;
    };
    words(&mut pen.drawing, beside, 1.3 * letter, &title);
    words(&mut pen.drawing, beside, letter, &format!("steel sheet {:.1} mm, edges broken", adapter.thickness));
    words(
        &mut pen.drawing,
        beside,
        0.8 * letter,
        &format!("lower left corner at {:.1}; {:.1} on the mounting plate", adapter.left, adapter.bottom),
    );
    words(&mut pen.drawing, beside, 0.8 * letter, "holes from the lower left corner of the sheet, ±0.3 mm");
    let depth = table.depth();
    pen.drawing.add(layer::TEXT, Shape::Table(Table { at: at(beside, top), ..table }));
    pen.drawing.add(layer::TEXT, Shape::Key { at: at(beside, top - depth - 1.5 * letter), height: 0.8 * letter });
    pen.drawing
}

struct Pen {
    drawing: Drawing,
    origin: Point,
    letter: f64,
}

impl Pen {
    fn on(&self, x: f64, y: f64) -> Point {
        at(self.origin.x + x, self.origin.y + y)
    }

    fn rectangle(&mut self, on: &str, rect: &Rect, hatch: Hatch) {
        let corner = self.on(mm(rect.left), mm(rect.bottom));
        let shape = Shape::rectangle(corner, mm(rect.right - rect.left), mm(rect.top - rect.bottom));
        self.drawing.add(on, shape.hatched(hatch));
    }

    /// Words in the middle of a rectangle, along its longer side.
    fn words(&mut self, rect: &Rect, words: &str) {
        let (width, height) = (mm(rect.right - rect.left), mm(rect.top - rect.bottom));
        let upright = height > 1.5 * width;
        let within = Some((if upright { height } else { width }) * 0.94);
        let middle = self.on(mm(rect.left) + width / 2.0, mm(rect.bottom) + height / 2.0);
        let size = self.letter.min(0.7 * if upright { width } else { height });
        let text = Text {
            at: middle,
            height: size,
            anchor: Anchor::Centre,
            angle: if upright { 90.0 } else { 0.0 },
            within,
            content: words.to_owned(),
        };
        self.drawing.add(layer::TEXT, Shape::Text(text));
    }

    fn plate(&mut self, width: f64, height: f64) {
        let corner = self.on(0.0, 0.0);
        self.drawing.add(layer::PLATE, Shape::rectangle(corner, width, height));
        self.drawing.add(layer::DATUM, Shape::Mark { at: corner, size: 3.0 * self.letter, kind: Mark::Datum, label: String::new() });
    }

    fn things(&mut self, laid: &Laid) {
        for (i, thing) in laid.things.iter().enumerate() {
            let hatch = if thing.mount == Mount::Door { Hatch::Falling } else { Hatch::Crossed };
            let moved = laid.moved.contains(&i);
            self.rectangle(if moved { layer::OLD_UNIT } else { layer::OBSTACLE }, &thing.at, if moved { Hatch::None } else { hatch });
            let words = match (moved, thing.mount) {
                (true, _) => format!("{} (moves)", thing.name),
                (false, Mount::Door) => format!("{} (door)", thing.name),
                (false, Mount::Plate) => thing.name.clone(),
            };
            if moved {
                // At its end, so that it does not run over the unit that takes its place.
                let (low, right) = (mm(thing.at.bottom) + self.letter, mm(thing.at.right) - 0.5 * self.letter);
                let at = self.on(right, low);
                self.drawing.add(layer::TEXT, Shape::text(at, 0.8 * self.letter, Anchor::Right, &words));
            } else {
                self.words(&thing.at, &words);
            }
        }
    }

    fn units(&mut self, laid: &Laid) {
        for (entry, spot) in laid.entries.iter().zip(laid.spots()) {
            self.rectangle(layer::KEEP_OUT, &entry.wish.unit.zone(*spot), Hatch::None);
            let body = entry.wish.unit.body(*spot);
            self.rectangle(layer::NEW_UNIT, &body, Hatch::None);
            self.words(&body, &entry.name);
        }
    }

    fn holes(&mut self, holes: &[HoleRow]) {
        for hole in holes {
            let (on, kind) = match hole.work.as_str() {
                "close" => (layer::HOLE_CLOSED, Mark::Struck),
                "use again" => (layer::HOLE_KEPT, Mark::Centre),
                _ => (layer::HOLE_NEW, Mark::Boxed),
            };
            let centre = self.on(hole.x, hole.y);
            self.drawing.add(on, Shape::circle(centre, hole.diameter));
            self.drawing.add(on, Shape::Mark { at: centre, size: 1.8 * self.letter, kind, label: hole.number.to_string() });
        }
    }

    fn dimensions(&mut self, laid: &Laid, width: f64, height: f64) {
        let letter = self.letter;
        let mut add = |from: Point, to: Point, along, offset| self.drawing.add(layer::DIMENSION, Shape::dimension(from, to, along, offset));
        let on = |x: f64, y: f64| at(self.origin.x + x, self.origin.y + y);
        add(on(0.0, 0.0), on(width, 0.0), Along::Horizontal, -7.5 * letter);
        add(on(0.0, height), on(0.0, 0.0), Along::Vertical, -7.5 * letter);
        // Each drive from the plate's edges, below and at the left; more than two would cross each other.
        let drives: Vec<Rect> =
            laid.entries.iter().zip(laid.spots()).filter(|(e, _)| e.is_drive).map(|(e, s)| e.wish.unit.body(*s)).take(2).collect();
        for (i, body) in drives.iter().enumerate() {
            let out = if i == 0 { -2.5 } else { -5.0 } * letter;
            let (left, bottom) = (mm(body.left), mm(body.bottom));
            if body.left > Tenths::ZERO {
                add(on(0.0, 0.0), on(left, 0.0), Along::Horizontal, out);
            }
            if body.bottom > Tenths::ZERO {
                add(on(0.0, bottom), on(0.0, 0.0), Along::Vertical, out);
            }
        }
    }
}

fn description(name: &str, laid: &Laid, told: &Layout) -> String {
    let places: Vec<String> = told
        .places
        .iter()
        .map(|p| {
            format!(
                "{} at {:.1} mm from the left and {:.1} mm from below, {:.1} × {:.1} mm, {}",
                p.name, p.left, p.bottom, p.width, p.height, p.turned
            )
        })
        .collect();
    format!(
        "Mounting plate of box {name}, {:.1} mm wide and {:.1} mm high, seen from the door, with {} things on plate and door. {}. {}",
        mm(laid.plate.width),
        mm(laid.plate.height),
        laid.things.len(),
        told.says,
        places.join("; ")
    )
}
