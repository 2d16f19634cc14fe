//! Shapes broken into the few pieces that both formats draw: lines, paths, circles, filled triangles and words. What a table, a
//! key, a mark or a dimension looks like is decided here, once.

use dossier::drawing::{Anchor, Drawing, Hatch, Item, Mark, Point, ROW, Shape, Table, at};

use crate::{dimension, words};

/// From the edge of a cell to its words, in heights of its letters.
const PAD: f64 = 0.8;
/// Length of a sample in a key, in heights of its letters.
const SAMPLE: f64 = 6.0;
/// Size of a mark in a key, in heights of its letters.
const MARK_SAMPLE: f64 = 1.6;
/// Distance of hatch lines, in heights of the lettering.
const HATCH_PITCH: f64 = 1.2;

/// What a pen or a letter can do.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Piece {
    Line { from: Point, to: Point },
    Path { points: Vec<Point>, closed: bool, hatch: Hatch },
    Circle { centre: Point, radius: f64, hatch: Hatch },
    Solid([Point; 3]),
    Words(Words),
}

/// One line of clean words; `at` lies at half their height.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Words {
    pub(crate) at: Point,
    pub(crate) height: f64,
    pub(crate) anchor: Anchor,
    /// Against the clock, degrees.
    pub(crate) angle: f64,
    pub(crate) content: String,
}

/// A piece with its pen.
pub(crate) struct Penned {
    /// Place of the layer whose pen draws it.
    pub(crate) pen: usize,
    pub(crate) piece: Piece,
}

/// Distance of hatch lines of a drawing, mm.
pub(crate) fn hatch_pitch(drawing: &Drawing) -> f64 {
    HATCH_PITCH * drawing.lettering
}

/// Place of a layer; `check` has made sure of it.
pub(crate) fn place_of(drawing: &Drawing, name: &str) -> usize {
    drawing.layers.iter().position(|layer| layer.name == name).unwrap_or_default()
}

/// The pieces of an item.
pub(crate) fn pieces(drawing: &Drawing, item: &Item) -> Vec<Penned> {
    let own = match &item.shape {
        Shape::Line { from, to } => vec![Piece::Line { from: *from, to: *to }],
        Shape::Polyline { points, closed, hatch } => vec![Piece::Path { points: points.clone(), closed: *closed, hatch: *hatch }],
        Shape::Rectangle { corner, width, height, hatch } => vec![rectangle(*corner, *width, *height, *hatch)],
        Shape::Circle { centre, diameter, hatch } => vec![Piece::Circle { centre: *centre, radius: diameter / 2.0, hatch: *hatch }],
        Shape::Text(text) => {
            let content = words::clean(&text.content);
            let height = words::fitted(&content, text.height, text.within);
            vec![Piece::Words(Words { at: text.at, height, anchor: text.anchor, angle: text.angle % 360.0, content })]
        }
        Shape::Dimension(each) => dimension::layout(each, drawing.lettering).pieces,
        Shape::Mark { at, size, kind, label } => mark(*at, *size, *kind, label, drawing.lettering),
        Shape::Table(each) => table(each),
        Shape::Key { at, height } => return key(drawing, item, *at, *height),
    };
    let pen = place_of(drawing, &item.layer);
    own.into_iter().filter(|piece| !is_empty(piece)).map(|piece| Penned { pen, piece }).collect()
}

fn is_empty(piece: &Piece) -> bool {
    matches!(piece, Piece::Words(words) if words.content.trim().is_empty())
}

fn rectangle(corner: Point, width: f64, height: f64, hatch: Hatch) -> Piece {
    let Point { x, y } = corner;
    Piece::Path { points: vec![at(x, y), at(x + width, y), at(x + width, y + height), at(x, y + height)], closed: true, hatch }
}

fn mark(place: Point, size: f64, kind: Mark, label: &str, lettering: f64) -> Vec<Piece> {
    let around = |dx: f64, dy: f64| at(place.x + dx * size / 2.0, place.y + dy * size / 2.0);
    let line = |(x0, y0): (f64, f64), (x1, y1): (f64, f64)| Piece::Line { from: around(x0, y0), to: around(x1, y1) };
    let mut pieces = match kind {
        Mark::Datum | Mark::Centre | Mark::Boxed => vec![line((-1.0, 0.0), (1.0, 0.0)), line((0.0, -1.0), (0.0, 1.0))],
        Mark::Struck => vec![line((-0.7, -0.7), (0.7, 0.7)), line((-0.7, 0.7), (0.7, -0.7))],
    };
    let frame = match kind {
        Mark::Datum => Some([(-0.45, 0.0), (0.0, -0.45), (0.45, 0.0), (0.0, 0.45)]),
        Mark::Boxed => Some([(-0.7, -0.7), (0.7, -0.7), (0.7, 0.7), (-0.7, 0.7)]),
        Mark::Centre | Mark::Struck => None,
    };
    if let Some(corners) = frame {
        let points = corners.map(|(dx, dy)| around(dx, dy)).into();
        pieces.push(Piece::Path { points, closed: true, hatch: Hatch::None });
    }
    let beside = at(place.x + size / 2.0 + PAD * lettering / 2.0, place.y + lettering);
    pieces.push(Piece::Words(Words { at: beside, height: lettering, anchor: Anchor::Left, angle: 0.0, content: words::clean(label) }));
    pieces
}

fn table(table: &Table) -> Vec<Piece> {
    let Table { at: corner, height, columns, rows } = table;
    let (row_height, width, depth) = (ROW * height, table.width(), table.depth());
    let mut pieces = vec![rectangle(at(corner.x, corner.y - depth), width, depth, Hatch::None)];
    let mut left = corner.x;
    for (place, column) in columns.iter().enumerate() {
        if place > 0 {
            pieces.push(Piece::Line { from: at(left, corner.y), to: at(left, corner.y - depth) });
        }
        let pad = (PAD * height).min(column.width / 4.0);
        let x = match column.anchor {
            Anchor::Left => left + pad,
            Anchor::Centre => left + column.width / 2.0,
            Anchor::Right => left + column.width - pad,
        };
        let mut y = corner.y - row_height / 2.0;
        for cell in [Some(&column.head)].into_iter().chain(rows.iter().map(|row| row.get(place))) {
            let content = words::clean(cell.map_or("", String::as_str));
            let height = words::fitted(&content, *height, Some(column.width - 2.0 * pad));
            pieces.push(Piece::Words(Words { at: at(x, y), height, anchor: column.anchor, angle: 0.0, content }));
            y -= row_height;
        }
        left += column.width;
    }
    let mut y = corner.y;
    for _ in rows {
        y -= row_height;
        pieces.push(Piece::Line { from: at(corner.x, y), to: at(corner.x + width, y) });
    }
    pieces
}

/// The hatch of a shape; `None` where it has none.
fn hatch_of(shape: &Shape) -> Option<Hatch> {
    match shape {
        Shape::Polyline { hatch, .. } | Shape::Rectangle { hatch, .. } | Shape::Circle { hatch, .. } => Some(*hatch),
        Shape::Line { .. } | Shape::Text(_) | Shape::Dimension(_) | Shape::Mark { .. } | Shape::Table(_) | Shape::Key { .. } => None,
    }
    .filter(|hatch| *hatch != Hatch::None)
}

/// The look of a mark; `None` for other shapes.
fn mark_of(shape: &Shape) -> Option<Mark> {
    if let Shape::Mark { kind, .. } = shape { Some(*kind) } else { None }
}

/// Rows for the layers that something is drawn on; layers that hold only words need none.
fn key(drawing: &Drawing, item: &Item, corner: Point, height: f64) -> Vec<Penned> {
    let own = place_of(drawing, &item.layer);
    let mut pieces = Vec::new();
    let mut y = corner.y - ROW * height / 2.0;
    for (pen, layer) in drawing.layers.iter().enumerate() {
        let mut shapes = drawing.items.iter().filter(|item| item.layer == layer.name).map(|item| &item.shape);
        if !shapes.clone().any(|shape| !matches!(shape, Shape::Text(_) | Shape::Table(_) | Shape::Key { .. })) {
            continue;
        }
        let (left, right) = (corner.x, corner.x + SAMPLE * height);
        let sample = match (shapes.clone().find_map(hatch_of), shapes.find_map(mark_of)) {
            (Some(hatch), _) => vec![rectangle(at(left, y - 0.75 * height), right - left, 1.5 * height, hatch)],
            (None, Some(kind)) => mark(at(left + SAMPLE / 2.0 * height, y), MARK_SAMPLE * height, kind, "", height),
            (None, None) => vec![Piece::Line { from: at(left, y), to: at(right, y) }],
        };
        let words = Words { at: at(right + height, y), height, anchor: Anchor::Left, angle: 0.0, content: words::clean(&layer.meaning) };
        pieces.extend(sample.into_iter().map(|piece| Penned { pen, piece }));
        pieces.push(Penned { pen: own, piece: Piece::Words(words) });
        y -= ROW * height;
    }
    pieces.retain(|each| !is_empty(&each.piece));
    pieces
}

/// A rectangle round something, mm.
#[derive(Clone, Copy)]
pub(crate) struct Bounds {
    pub(crate) low: Point,
    pub(crate) high: Point,
}

impl Bounds {
    fn take_in(&mut self, p: Point) {
        self.low = at(self.low.x.min(p.x), self.low.y.min(p.y));
        self.high = at(self.high.x.max(p.x), self.high.y.max(p.y));
    }

    /// Round the sheet and all that reaches over its edge; words by the room they are reckoned to take.
    pub(crate) fn of<'a>(drawing: &Drawing, pieces: impl Iterator<Item = &'a Piece>) -> Self {
        let mut bounds = Self { low: at(0.0, 0.0), high: at(drawing.width, drawing.height) };
        for piece in pieces {
            match piece {
                Piece::Line { from, to } => [*from, *to].into_iter().for_each(|p| bounds.take_in(p)),
                Piece::Path { points, .. } => points.iter().for_each(|&p| bounds.take_in(p)),
                Piece::Solid(points) => points.iter().for_each(|&p| bounds.take_in(p)),
                Piece::Circle { centre, radius, .. } => {
                    bounds.take_in(at(centre.x - radius, centre.y - radius));
                    bounds.take_in(at(centre.x + radius, centre.y + radius));
                }
                Piece::Words(words) => {
                    let length = words::length(&words.content, words.height);
                    let start = match words.anchor {
                        Anchor::Left => 0.0,
                        Anchor::Centre => -length / 2.0,
                        Anchor::Right => -length,
                    };
                    let (sine, cosine) = words.angle.to_radians().sin_cos();
                    let half = words.height / 2.0;
                    for (u, v) in [(start, -half), (start, half), (start + length, -half), (start + length, half)] {
                        bounds.take_in(at(words.at.x + u * cosine - v * sine, words.at.y + u * sine + v * cosine));
                    }
                }
            }
        }
        bounds
    }
}
