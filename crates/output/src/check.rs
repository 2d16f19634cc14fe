//! What keeps a drawing from being drawn truly: numbers that are none or out of reach, shapes without extent, layers that are
//! unknown or have names that a CAD program does not take.

use dossier::drawing::{Along, Dimension, Drawing, Hatch, Item, Layer, Point, Shape};

use crate::Refused;

/// Largest number of a drawing, mm: beyond a kilometre nine decimals of a 64-bit float are no longer true.
pub(crate) const REACH: f64 = 1e6;
/// Smallest extent, mm: below a micrometre a shape prints as a point.
pub(crate) const LEAST: f64 = 1e-3;
/// Longest name of a layer: R12 allows 31 characters, and the writer adds an ending of its own.
const LONGEST_NAME: usize = 24;
/// Heaviest line, mm.
const HEAVIEST: f64 = 5.0;
/// Ending of the layers that hold hatches, and the layer of defining points: the writer makes these itself.
pub(crate) const HATCH_ENDING: &str = "_HATCH";
pub(crate) const DEFINING: &str = "DEFPOINTS";

/// Collects problems under one heading.
struct Notes<'a> {
    heading: String,
    problems: &'a mut Vec<String>,
}

impl Notes<'_> {
    fn say(&mut self, what: &str) {
        self.problems.push(format!("{}: {what}", self.heading));
    }

    fn place(&mut self, name: &str, value: f64) {
        if !value.is_finite() || value.abs() > REACH {
            self.say(&format!("{name} is {value}, not a number within ±{REACH}"));
        }
    }

    fn point(&mut self, name: &str, point: Point) {
        self.place(&format!("x of {name}"), point.x);
        self.place(&format!("y of {name}"), point.y);
    }

    fn extent(&mut self, name: &str, value: f64) {
        if !(LEAST..=REACH).contains(&value) {
            self.say(&format!("{name} is {value}, not between {LEAST} and {REACH}"));
        }
    }
}

/// Checks all of it.
///
/// # Errors
/// Every problem, in the order of the drawing.
pub(crate) fn check(drawing: &Drawing) -> Result<(), Refused> {
    let mut problems = Vec::new();
    let mut notes = Notes { heading: "sheet".to_owned(), problems: &mut problems };
    notes.extent("width", drawing.width);
    notes.extent("height", drawing.height);
    notes.extent("lettering", drawing.lettering);
    for (number, each) in drawing.layers.iter().enumerate() {
        let heading = format!("layer {number} ({:?})", each.name);
        let twin = drawing.layers.iter().take(number).any(|other| other.name == each.name);
        layer(each, twin, &mut Notes { heading, problems: &mut problems });
    }
    for (number, each) in drawing.items.iter().enumerate() {
        let heading = format!("item {number} ({:?})", each.layer);
        item(each, drawing, &mut Notes { heading, problems: &mut problems });
    }
    if problems.is_empty() { Ok(()) } else { Err(Refused { problems }) }
}

fn layer(layer: &Layer, twin: bool, notes: &mut Notes<'_>) {
    let fits = (1..=LONGEST_NAME).contains(&layer.name.len());
    if !fits || !layer.name.bytes().all(|b| b.is_ascii_uppercase() || b.is_ascii_digit() || b == b'_') {
        notes.say(&format!("the name is not 1 to {LONGEST_NAME} of the characters A–Z, 0–9 and _"));
    }
    if layer.name == DEFINING || layer.name.ends_with(HATCH_ENDING) {
        notes.say("the name is reserved");
    }
    if twin {
        notes.say("the name stands there twice");
    }
    if !(LEAST..=HEAVIEST).contains(&layer.weight) {
        notes.say(&format!("weight is {}, not between {LEAST} and {HEAVIEST}", layer.weight));
    }
}

fn item(item: &Item, drawing: &Drawing, notes: &mut Notes<'_>) {
    if !drawing.layers.iter().any(|layer| layer.name == item.layer) {
        notes.say("there is no such layer");
    }
    match &item.shape {
        Shape::Line { from, to } => {
            notes.point("from", *from);
            notes.point("to", *to);
        }
        Shape::Polyline { points, closed, hatch } => {
            for (number, point) in points.iter().enumerate() {
                notes.point(&format!("corner {number}"), *point);
            }
            let least = if *closed { 3 } else { 2 };
            if points.len() < least {
                notes.say(&format!("{} corners, not {least} or more", points.len()));
            }
            if !closed && *hatch != Hatch::None {
                notes.say("a hatch needs a closed line");
            }
        }
        Shape::Rectangle { corner, width, height, hatch: _ } => {
            notes.point("corner", *corner);
            notes.extent("width", *width);
            notes.extent("height", *height);
        }
        Shape::Circle { centre, diameter, hatch: _ } => {
            notes.point("centre", *centre);
            notes.extent("diameter", *diameter);
        }
        Shape::Text(text) => {
            notes.point("place", text.at);
            notes.extent("height", text.height);
            notes.place("angle", text.angle);
            if let Some(room) = text.within {
                notes.extent("within", room);
            }
        }
        Shape::Dimension(each) => dimension(each, notes),
        Shape::Mark { at, size, kind: _, label: _ } => {
            notes.point("place", *at);
            notes.extent("size", *size);
        }
        Shape::Table(table) => {
            notes.point("corner", table.at);
            notes.extent("height", table.height);
            if table.columns.is_empty() {
                notes.say("no columns");
            }
            for column in &table.columns {
                notes.extent(&format!("width of column {:?}", column.head), column.width);
            }
            for (number, row) in table.rows.iter().enumerate() {
                if row.len() > table.columns.len() {
                    notes.say(&format!("row {number} has {} cells for {} columns", row.len(), table.columns.len()));
                }
            }
        }
        Shape::Key { at, height } => {
            notes.point("corner", *at);
            notes.extent("height", *height);
        }
    }
}

fn dimension(dimension: &Dimension, notes: &mut Notes<'_>) {
    let Dimension { from, to, along, offset, text: _ } = dimension;
    notes.point("from", *from);
    notes.point("to", *to);
    notes.place("offset", *offset);
    let measure = match along {
        Along::Horizontal => (to.x - from.x).abs(),
        Along::Vertical => (to.y - from.y).abs(),
        Along::Aligned => (to.x - from.x).hypot(to.y - from.y),
    };
    if measure < LEAST {
        notes.say("it measures nothing");
    }
}
