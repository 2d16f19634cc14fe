//! A flat technical drawing as plain data: shapes in millimetres on named layers, y upwards, at their true size. What a layer
//! means is carried by its name, its kind of line, its weight and its hatch; ink only helps.

use serde::Serialize;

/// Names of the layers that `layers()` brings along.
pub mod layer {
    /// Outline of the mounting plate.
    pub const PLATE: &str = "PLATE";
    /// Things that stand on it and stay.
    pub const OBSTACLE: &str = "OBSTACLE";
    /// Space that must stay free.
    pub const KEEP_OUT: &str = "KEEP_OUT";
    /// Outline of the unit that goes.
    pub const OLD_UNIT: &str = "OLD_UNIT";
    /// Outline of the unit that comes.
    pub const NEW_UNIT: &str = "NEW_UNIT";
    /// Holes that are there and are used again.
    pub const HOLE_KEPT: &str = "HOLE_KEPT";
    /// Holes to drill.
    pub const HOLE_NEW: &str = "HOLE_NEW";
    /// Holes that are there and are to be closed.
    pub const HOLE_CLOSED: &str = "HOLE_CLOSED";
    /// Dimensions.
    pub const DIMENSION: &str = "DIMENSION";
    /// Words, tables and the key.
    pub const TEXT: &str = "TEXT";
    /// Where measuring starts.
    pub const DATUM: &str = "DATUM";
}

/// A drawing.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Drawing {
    /// What it shows, in a few words.
    pub title: String,
    /// The same in sentences, for who cannot see it.
    pub description: String,
    /// Width of the sheet, mm; the sheet begins at (0, 0).
    pub width: f64,
    /// Height of the sheet, mm.
    pub height: f64,
    /// Height of capital letters of dimensions, mm; arrows, hatches and dashes follow it.
    pub lettering: f64,
    /// Layers; later ones lie on top.
    pub layers: Vec<Layer>,
    /// What is drawn.
    pub items: Vec<Item>,
}

impl Drawing {
    /// An empty sheet of that size (mm) with the usual layers.
    #[must_use]
    pub fn new(title: &str, width: f64, height: f64, lettering: f64) -> Self {
        Self { title: title.to_owned(), description: String::new(), width, height, lettering, layers: layers(), items: Vec::new() }
    }

    /// Puts a shape on a layer.
    pub fn add(&mut self, layer: &str, shape: Shape) {
        self.items.push(Item { layer: layer.to_owned(), shape });
    }
}

/// A layer.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Layer {
    /// Name: up to 24 of the characters A–Z, 0–9 and _.
    pub name: String,
    /// What lies on it, in words for the key.
    pub meaning: String,
    /// Kind of its lines.
    pub line: LineKind,
    /// Thickness of its lines on paper, mm.
    pub weight: f64,
    /// Ink.
    pub ink: Ink,
}

/// Kind of a line.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum LineKind {
    /// Without gaps.
    #[default]
    Solid,
    /// Long dashes.
    Dashed,
    /// Dots.
    Dotted,
    /// Dash and dot in turn.
    Chain,
}

/// Ink of a layer. Each is readable on white and on black ground.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Ink {
    /// Black, on dark ground white.
    #[default]
    Plain,
    /// Grey.
    Grey,
    /// Blue.
    Blue,
    /// Red.
    Red,
    /// Green.
    Green,
    /// Violet.
    Violet,
}

/// A shape on a layer.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Item {
    /// Name of the layer.
    pub layer: String,
    /// The shape.
    pub shape: Shape,
}

/// A place on the sheet, mm.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Point {
    /// To the right.
    pub x: f64,
    /// Upwards.
    pub y: f64,
}

/// The place (x, y), mm.
#[must_use]
pub const fn at(x: f64, y: f64) -> Point {
    Point { x, y }
}

/// What can be drawn.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Shape {
    /// A straight line.
    Line {
        /// Start.
        from: Point,
        /// End.
        to: Point,
    },
    /// Straight lines from corner to corner.
    Polyline {
        /// Corners, two or more.
        points: Vec<Point>,
        /// Whether it runs back to the first corner.
        closed: bool,
        /// Hatch; only where it is closed.
        hatch: Hatch,
    },
    /// A rectangle along the axes.
    Rectangle {
        /// Lower left corner.
        corner: Point,
        /// Width, mm.
        width: f64,
        /// Height, mm.
        height: f64,
        /// Hatch.
        hatch: Hatch,
    },
    /// A circle.
    Circle {
        /// Centre.
        centre: Point,
        /// Diameter, mm.
        diameter: f64,
        /// Hatch.
        hatch: Hatch,
    },
    /// One line of words; line breaks become spaces, and what is longer than 200 characters is cut with "…".
    Text(Text),
    /// A linear dimension.
    Dimension(Dimension),
    /// A cross that marks a place.
    Mark {
        /// The place.
        at: Point,
        /// From end to end, mm.
        size: f64,
        /// Its look.
        kind: Mark,
        /// Words beside it; may be empty.
        label: String,
    },
    /// A table of words.
    Table(Table),
    /// A key: the layers that are in use, each with a sample of its line, hatch or mark, row under row.
    Key {
        /// Upper left corner.
        at: Point,
        /// Height of capital letters, mm.
        height: f64,
    },
}

impl Shape {
    /// A line.
    #[must_use]
    pub const fn line(from: Point, to: Point) -> Self {
        Self::Line { from, to }
    }

    /// A rectangle without hatch; `corner` is the lower left one, lengths in mm.
    #[must_use]
    pub const fn rectangle(corner: Point, width: f64, height: f64) -> Self {
        Self::Rectangle { corner, width, height, hatch: Hatch::None }
    }

    /// A closed polygon without hatch.
    #[must_use]
    pub const fn polygon(points: Vec<Point>) -> Self {
        Self::Polyline { points, closed: true, hatch: Hatch::None }
    }

    /// A circle without hatch; diameter in mm.
    #[must_use]
    pub const fn circle(centre: Point, diameter: f64) -> Self {
        Self::Circle { centre, diameter, hatch: Hatch::None }
    }

    /// Level words that may run as far as they like; height of capitals in mm.
    #[must_use]
    pub fn text(at: Point, height: f64, anchor: Anchor, content: &str) -> Self {
        Self::Text(Text { at, height, anchor, angle: 0.0, within: None, content: content.to_owned() })
    }

    /// A dimension that shows what it measures.
    #[must_use]
    pub const fn dimension(from: Point, to: Point, along: Along, offset: f64) -> Self {
        Self::Dimension(Dimension { from, to, along, offset, text: None })
    }

    /// The same shape hatched; shapes that enclose nothing stay as they are.
    #[must_use]
    pub fn hatched(mut self, with: Hatch) -> Self {
        match &mut self {
            Self::Polyline { hatch, .. } | Self::Rectangle { hatch, .. } | Self::Circle { hatch, .. } => *hatch = with,
            Self::Line { .. } | Self::Text(_) | Self::Dimension(_) | Self::Mark { .. } | Self::Table(_) | Self::Key { .. } => {}
        }
        self
    }
}

/// Hatch of a closed shape.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Hatch {
    /// None.
    #[default]
    None,
    /// Lines that rise to the right.
    Rising,
    /// Lines that fall to the right.
    Falling,
    /// Both.
    Crossed,
}

/// Words.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Text {
    /// Where the anchor lies: at half the height of the capitals.
    pub at: Point,
    /// Height of capital letters, mm.
    pub height: f64,
    /// Which end lies there.
    pub anchor: Anchor,
    /// Turned against the clock, degrees.
    pub angle: f64,
    /// Length that it must keep within, mm: longer words get smaller letters.
    pub within: Option<f64>,
    /// The words.
    pub content: String,
}

/// Which part of the words lies at their place.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Anchor {
    /// Their beginning.
    #[default]
    Left,
    /// Their middle.
    Centre,
    /// Their end.
    Right,
}

/// A linear dimension.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Dimension {
    /// First point that is measured.
    pub from: Point,
    /// Second point that is measured.
    pub to: Point,
    /// What is measured.
    pub along: Along,
    /// From `from` to the dimension line, mm: upwards where it is horizontal, to the right where it is vertical, to the left of
    /// the way from `from` to `to` where it is aligned. May be negative.
    pub offset: f64,
    /// Words in place of the measure; `<>` in them stands for the measure.
    pub text: Option<String>,
}

/// Direction of a dimension.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Along {
    /// Difference of x.
    Horizontal,
    /// Difference of y.
    Vertical,
    /// Distance.
    Aligned,
}

/// Look of a mark.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Mark {
    /// Upright cross with a diamond round its middle: measuring starts here.
    Datum,
    /// Upright cross: a centre that is there.
    Centre,
    /// Upright cross in a square: a centre to be made.
    Boxed,
    /// Slanting cross: struck out.
    Struck,
}

/// A table.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Table {
    /// Upper left corner.
    pub at: Point,
    /// Height of capital letters, mm; rows are `ROW` times as high.
    pub height: f64,
    /// Columns.
    pub columns: Vec<Column>,
    /// Rows; cells that are missing stay empty, cells without a column are refused.
    pub rows: Vec<Vec<String>>,
}

/// A column of a table.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Column {
    /// Its head.
    pub head: String,
    /// Its width, mm; cells that are wider get smaller letters.
    pub width: f64,
    /// Where its cells stand.
    pub anchor: Anchor,
}

/// Height of a row of a table or key, in heights of capital letters.
pub const ROW: f64 = 2.0;
/// Width that a letter is reckoned with, in heights of capital letters: the broad end of common sans-serif faces.
pub const LETTER: f64 = 0.85;

impl Table {
    /// A table whose columns are as wide as their longest cell: columns of numbers to the right, others to
    /// the left.
    #[must_use]
    pub fn fitted(at: Point, height: f64, heads: &[&str], rows: Vec<Vec<String>>) -> Self {
        let column = |(place, head): (usize, &&str)| {
            let cells = || rows.iter().filter_map(|row| row.get(place));
            let letters = cells().map(|cell| cell.chars().count()).chain([head.chars().count()]).max().unwrap_or(0).min(MOST_FITTED);
            #[expect(clippy::cast_precision_loss, reason = "MOST_FITTED is small")]
            let width = (letters as f64 * LETTER + 2.0) * height;
            let numbers = cells().all(|cell| cell.is_empty() || cell.parse::<f64>().is_ok());
            Column { head: (*head).to_owned(), width, anchor: if numbers { Anchor::Right } else { Anchor::Left } }
        };
        let columns = heads.iter().enumerate().map(column).collect();
        Self { at, height, columns, rows }
    }

    /// Its width, mm.
    #[must_use]
    pub fn width(&self) -> f64 {
        self.columns.iter().map(|column| column.width).sum()
    }

    /// Its height with the head, mm.
    #[must_use]
    pub fn depth(&self) -> f64 {
        #[expect(clippy::cast_precision_loss, reason = "no table has 2⁵² rows")]
        let rows = (self.rows.len() + 1) as f64;
        rows * ROW * self.height
    }
}

/// A column that is fitted grows no wider than this many letters.
const MOST_FITTED: usize = 60;

/// The usual layers of a plate: what stays is thin, what comes is thick, what goes is broken. Holes are too small for dashes: put
/// `Mark::Centre` on those that are kept, `Mark::Boxed` on new ones and `Mark::Struck` on those to close.
#[must_use]
pub fn layers() -> Vec<Layer> {
    use Ink::{Blue, Green, Grey, Plain, Red, Violet};
    use LineKind::{Dashed, Dotted, Solid};
    [
        (layer::KEEP_OUT, "space to keep free", Dotted, 0.35, Red),
        (layer::PLATE, "mounting plate", Solid, 0.5, Plain),
        (layer::OBSTACLE, "stays in place", Solid, 0.35, Grey),
        (layer::OLD_UNIT, "old unit, goes", Dashed, 0.35, Violet),
        (layer::NEW_UNIT, "new unit", Solid, 0.7, Blue),
        (layer::HOLE_CLOSED, "hole to close", Solid, 0.25, Violet),
        (layer::HOLE_KEPT, "hole used again", Solid, 0.25, Plain),
        (layer::HOLE_NEW, "hole to drill", Solid, 0.35, Blue),
        (layer::DIMENSION, "dimensions in mm", Solid, 0.18, Green),
        (layer::DATUM, "measured from here", Solid, 0.35, Red),
        (layer::TEXT, "words", Solid, 0.18, Plain),
    ]
    .map(|(name, meaning, line, weight, ink)| Layer { name: name.to_owned(), meaning: meaning.to_owned(), line, weight, ink })
    .into()
}
