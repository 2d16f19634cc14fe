//! DXF R12 (AC1009) of a drawing, one drawing unit to the millimetre: the oldest edition that every CAD and CAM program reads.
//! R12 knows no unit of its own, no hatch and no line weight: the unit stands in a comment, hatches become lines on a layer beside
//! their shape's, and weights stay in the SVG.

use dossier::drawing::{Along, Anchor, Dimension, Drawing, Hatch, Ink, Item, LineKind, Point, Shape, at};

use crate::check::{DEFINING, HATCH_ENDING, check};
use crate::figure::{Bounds, Penned, Piece, Words, hatch_pitch, pieces, place_of};
use crate::hatch::{Outline, lines};
use crate::{Refused, dimension, number, words};

/// Decimals of a length in the file: a millionth of a micrometre, which no reader loses.
const DECIMALS: usize = 9;
/// Longest value, bytes: R12 ends at 255.
const LONGEST_VALUE: usize = 250;
/// Narrows the plotter letters, which are broader than the faces that `LETTER` reckons with.
const LETTER_WIDTH: f64 = 0.8;
/// Name of our dimension style.
const STYLE: &str = "PLATE_MM";
/// Name of the text style.
const LETTERS: &str = "STANDARD";
/// Type flag of a dimension whose words a person has moved, so that no program moves them back.
const WORDS_MOVED: i64 = 128;

/// The drawing as DXF. Lines end in a line feed; all of it is ASCII.
///
/// # Errors
/// Everything that cannot be drawn truly.
pub fn dxf(drawing: &Drawing) -> Result<String, Refused> {
    check(drawing)?;
    let drawn: Vec<(&Item, Vec<Penned>)> = drawing.items.iter().map(|item| (item, pieces(drawing, item))).collect();
    let bounds = Bounds::of(drawing, drawn.iter().flat_map(|(_, pieces)| pieces).map(|penned| &penned.piece));
    let mut out = Writer { text: String::new(), drawing };
    out.string(999, &words::clean(&drawing.title));
    out.pair(999, "1 drawing unit = 1 mm");
    header(&mut out, bounds);
    tables(&mut out, bounds);
    out.section("BLOCKS");
    for (number, each) in dimensions(drawing).enumerate() {
        block(&mut out, number, each.item, each.dimension);
    }
    out.pair(0, "ENDSEC");
    out.section("ENTITIES");
    let mut blocks = 0;
    for (item, pieces) in &drawn {
        if let Shape::Dimension(each) = &item.shape {
            dimension_entity(&mut out, blocks, item, each);
            blocks += 1;
        } else {
            let filed = place_of(drawing, &item.layer);
            pieces.iter().for_each(|penned| out.piece(filed, penned));
        }
    }
    out.pair(0, "ENDSEC");
    out.pair(0, "EOF");
    Ok(out.text)
}

/// A dimension with its item.
struct Dimensioned<'a> {
    item: &'a Item,
    dimension: &'a Dimension,
}

fn dimensions(drawing: &Drawing) -> impl Iterator<Item = Dimensioned<'_>> {
    drawing.items.iter().filter_map(|item| match &item.shape {
        Shape::Dimension(dimension) => Some(Dimensioned { item, dimension }),
        _ => None,
    })
}

/// Words as a value: ASCII, with the signs that TEXT knows by `%%`, plain stand-ins for what ASCII can say too (not every reader
/// knows escapes), and the rest as `\U+XXXX`. Nothing that a user wrote can become a code of the format.
fn escaped(text: &str) -> String {
    let mut value = String::new();
    for letter in words::clean(text).chars() {
        let code = match letter {
            'Ø' | '⌀' => "%%c".to_owned(),
            '±' => "%%p".to_owned(),
            '°' => "%%d".to_owned(),
            '^' => "^ ".to_owned(),
            '\\' => format!("\\U+{:04X}", u32::from(letter)),
            '…' => "...".to_owned(),
            '‐'..='―' | '−' => "-".to_owned(),
            '×' => "x".to_owned(),
            'µ' | 'μ' => "u".to_owned(),
            'Ω' | '\u{2126}' => "Ohm".to_owned(),
            '≤' => "<=".to_owned(),
            '≥' => ">=".to_owned(),
            '→' => "->".to_owned(),
            '‘' | '’' => "'".to_owned(),
            '“' | '”' => "\"".to_owned(),
            ' '..='~' => letter.to_string(),
            '\u{10000}'.. => "?".to_owned(),
            _ => format!("\\U+{:04X}", u32::from(letter)),
        };
        // Two percent signs in a row would begin a code.
        let parted = value.ends_with('%') && code.starts_with('%');
        if value.len() + usize::from(parted) + code.len() > LONGEST_VALUE {
            value.push_str("...");
            break;
        }
        if parted {
            value.push(' ');
        }
        value.push_str(&code);
    }
    value
}

/// Colour number: readable on both grounds (numbers of the palette from memory).
fn colour(ink: Ink) -> i64 {
    match ink {
        Ink::Plain => 7,
        Ink::Grey => 8,
        Ink::Blue => 150,
        Ink::Red => 1,
        Ink::Green => 92,
        Ink::Violet => 200,
    }
}

fn line_type(kind: LineKind) -> &'static str {
    match kind {
        LineKind::Solid => "CONTINUOUS",
        LineKind::Dashed => "DASHED",
        LineKind::Dotted => "DOTTED",
        LineKind::Chain => "CHAIN",
    }
}

/// The file so far.
struct Writer<'a> {
    text: String,
    drawing: &'a Drawing,
}

impl Writer<'_> {
    /// A group whose value is known to be harmless.
    fn pair(&mut self, code: u16, value: &str) {
        self.text.push_str(&format!("{code:>3}\n{value}\n"));
    }

    fn string(&mut self, code: u16, words: &str) {
        self.pair(code, &escaped(words));
    }

    fn int(&mut self, code: u16, value: i64) {
        self.pair(code, &value.to_string());
    }

    fn real(&mut self, code: u16, value: f64) {
        let text = number::plain(value, DECIMALS);
        self.pair(code, &if text.contains('.') { text } else { text + ".0" });
    }

    /// A place: `code` for x, and the usual companions for y and z.
    fn place(&mut self, code: u16, Point { x, y }: Point) {
        self.flat(code, at(x, y));
        self.real(code + 20, 0.0);
    }

    /// A place without z.
    fn flat(&mut self, code: u16, Point { x, y }: Point) {
        self.real(code, x);
        self.real(code + 10, y);
    }

    fn section(&mut self, name: &str) {
        self.pair(0, "SECTION");
        self.pair(2, name);
    }

    fn table(&mut self, name: &str, entries: usize) {
        self.pair(0, "TABLE");
        self.pair(2, name);
        self.pair(70, &entries.to_string());
    }

    /// Begins an entity on a layer; a foreign pen is written beside it.
    fn entity(&mut self, kind: &str, filed: usize, pen: usize, ending: &str) {
        self.pair(0, kind);
        let drawing = self.drawing;
        if let Some(layer) = drawing.layers.get(filed) {
            self.pair(8, &format!("{}{ending}", layer.name));
        }
        if let Some(layer) = drawing.layers.get(pen).filter(|_| pen != filed) {
            self.pair(6, if ending.is_empty() { line_type(layer.line) } else { "CONTINUOUS" });
            self.int(62, colour(layer.ink));
        }
    }

    fn line(&mut self, filed: usize, pen: usize, ending: &str, from: Point, to: Point) {
        self.entity("LINE", filed, pen, ending);
        self.place(10, from);
        self.place(11, to);
    }

    fn hatch(&mut self, filed: usize, pen: usize, outline: &Outline<'_>, hatch: Hatch) {
        for segment in lines(outline, hatch, hatch_pitch(self.drawing)) {
            self.line(filed, pen, HATCH_ENDING, segment.from, segment.to);
        }
    }

    fn piece(&mut self, filed: usize, Penned { pen, piece }: &Penned) {
        let pen = *pen;
        match piece {
            Piece::Line { from, to } => self.line(filed, pen, "", *from, *to),
            Piece::Path { points, closed, hatch } => {
                self.hatch(filed, pen, &Outline::Polygon(points), *hatch);
                self.entity("POLYLINE", filed, pen, "");
                self.int(66, 1);
                self.place(10, at(0.0, 0.0));
                self.int(70, i64::from(*closed));
                for &point in points {
                    self.entity("VERTEX", filed, pen, "");
                    self.place(10, point);
                }
                self.entity("SEQEND", filed, filed, "");
            }
            Piece::Circle { centre, radius, hatch } => {
                self.hatch(filed, pen, &Outline::Circle { centre: *centre, radius: *radius }, *hatch);
                self.entity("CIRCLE", filed, pen, "");
                self.place(10, *centre);
                self.real(40, *radius);
            }
            Piece::Solid([a, b, c]) => {
                self.entity("SOLID", filed, pen, "");
                for (code, corner) in [(10, a), (11, b), (12, c), (13, c)] {
                    self.place(code, *corner);
                }
            }
            Piece::Words(words) => self.words(filed, pen, words),
        }
    }

    fn words(&mut self, filed: usize, pen: usize, words: &Words) {
        let Words { at: anchor, height, anchor: side, angle, content } = words;
        let length = words::length(content, *height);
        let (share, code) = match side {
            Anchor::Left => (0.0, 0),
            Anchor::Centre => (0.5, 1),
            Anchor::Right => (1.0, 2),
        };
        // Readers that know no alignment take the lower left corner; the others take the anchor.
        let (sine, cosine) = angle.to_radians().sin_cos();
        let (back, down) = (share * length, height / 2.0);
        let corner = at(anchor.x - back * cosine + down * sine, anchor.y - back * sine - down * cosine);
        self.entity("TEXT", filed, pen, "");
        self.place(10, corner);
        self.real(40, *height);
        self.string(1, content);
        self.real(50, *angle);
        self.real(41, LETTER_WIDTH);
        self.pair(7, LETTERS);
        self.int(72, code);
        self.place(11, *anchor);
        self.int(73, 2);
    }
}

fn header(out: &mut Writer<'_>, bounds: Bounds) {
    let height = out.drawing.lettering;
    out.section("HEADER");
    let mut variable = |name: &str, set: &dyn Fn(&mut Writer<'_>)| {
        out.pair(9, name);
        set(out);
    };
    variable("$ACADVER", &|out| out.pair(1, "AC1009"));
    variable("$DWGCODEPAGE", &|out| out.pair(3, "ANSI_1252"));
    variable("$INSBASE", &|out| out.place(10, at(0.0, 0.0)));
    variable("$EXTMIN", &|out| out.place(10, bounds.low));
    variable("$EXTMAX", &|out| out.place(10, bounds.high));
    variable("$LIMMIN", &|out| out.flat(10, bounds.low));
    variable("$LIMMAX", &|out| out.flat(10, bounds.high));
    variable("$LTSCALE", &|out| out.real(40, 1.0));
    variable("$TEXTSIZE", &|out| out.real(40, height));
    variable("$TEXTSTYLE", &|out| out.pair(7, LETTERS));
    variable("$CLAYER", &|out| out.pair(8, "0"));
    variable("$DIMSCALE", &|out| out.real(40, 1.0));
    variable("$DIMASZ", &|out| out.real(40, dimension::ARROW * height));
    variable("$DIMEXO", &|out| out.real(40, dimension::GAP * height));
    variable("$DIMEXE", &|out| out.real(40, dimension::BEYOND * height));
    variable("$DIMTXT", &|out| out.real(40, height));
    variable("$DIMTIH", &|out| out.int(70, 0));
    variable("$DIMTOH", &|out| out.int(70, 0));
    variable("$DIMTAD", &|out| out.int(70, 1));
    variable("$DIMZIN", &|out| out.int(70, 8));
    variable("$DIMLFAC", &|out| out.real(40, 1.0));
    variable("$DIMSTYLE", &|out| out.pair(2, STYLE));
    // Decimal lengths and angles, read against the clock from the right.
    variable("$LUNITS", &|out| out.int(70, 2));
    variable("$LUPREC", &|out| out.pair(70, &dimension::DECIMALS.to_string()));
    variable("$AUNITS", &|out| out.int(70, 0));
    variable("$ANGBASE", &|out| out.real(50, 0.0));
    variable("$ANGDIR", &|out| out.int(70, 0));
    variable("$HANDLING", &|out| out.int(70, 0));
    out.pair(0, "ENDSEC");
}

fn tables(out: &mut Writer<'_>, bounds: Bounds) {
    let drawing = out.drawing;
    let height = drawing.lettering;
    out.section("TABLES");
    view(out, bounds);
    // Dashes, gaps and dots in heights of the lettering: lengths above zero are drawn, below zero left out, zero is a dot.
    let kinds: [(LineKind, &str, &[f64]); 4] = [
        (LineKind::Solid, "without gaps", &[]),
        (LineKind::Dashed, "__ __ __", &[1.2, -0.6]),
        (LineKind::Dotted, ". . . .", &[0.0, -0.4]),
        (LineKind::Chain, "____ . ____ .", &[2.4, -0.4, 0.0, -0.4]),
    ];
    out.table("LTYPE", kinds.len());
    for (kind, picture, dashes) in kinds {
        out.pair(0, "LTYPE");
        out.pair(2, line_type(kind));
        out.int(70, 0);
        out.pair(3, picture);
        out.int(72, 65);
        out.pair(73, &dashes.len().to_string());
        out.real(40, dashes.iter().map(|dash| dash.abs() * height).sum());
        dashes.iter().for_each(|dash| out.real(49, dash * height));
    }
    out.pair(0, "ENDTAB");

    let hatched: Vec<bool> = drawing.layers.iter().map(|layer| is_hatched(drawing, &layer.name)).collect();
    out.table("LAYER", drawing.layers.len() + hatched.iter().filter(|&&yes| yes).count() + 2);
    let mut layer = |name: &str, colour: i64, line: &str| {
        out.pair(0, "LAYER");
        out.pair(2, name);
        out.int(70, 0);
        out.int(62, colour);
        out.pair(6, line);
    };
    layer("0", 7, "CONTINUOUS");
    layer(DEFINING, 7, "CONTINUOUS");
    for (each, hatched) in drawing.layers.iter().zip(hatched) {
        layer(&each.name, colour(each.ink), line_type(each.line));
        if hatched {
            layer(&format!("{}{HATCH_ENDING}", each.name), colour(each.ink), "CONTINUOUS");
        }
    }
    out.pair(0, "ENDTAB");

    out.table("STYLE", 1);
    out.pair(0, "STYLE");
    out.pair(2, LETTERS);
    out.int(70, 0);
    out.real(40, 0.0);
    out.real(41, LETTER_WIDTH);
    out.real(50, 0.0);
    out.int(71, 0);
    out.real(42, height);
    out.pair(3, "txt");
    out.pair(4, "");
    out.pair(0, "ENDTAB");

    out.table("DIMSTYLE", 1);
    out.pair(0, "DIMSTYLE");
    out.pair(2, STYLE);
    out.int(70, 0);
    let (arrow, gap, beyond) = (dimension::ARROW * height, dimension::GAP * height, dimension::BEYOND * height);
    for (code, value) in [(40, 1.0), (41, arrow), (42, gap), (43, 3.0 * height), (44, beyond), (140, height), (144, 1.0), (147, gap)] {
        out.real(code, value);
    }
    for (code, value) in [(71, 0), (72, 0), (73, 0), (74, 0), (75, 0), (76, 0), (77, 1), (78, 8)] {
        out.int(code, value);
    }
    out.pair(0, "ENDTAB");
    out.pair(0, "ENDSEC");
}

/// Whether a layer needs one for hatch lines beside it; a key draws samples on its own layer.
fn is_hatched(drawing: &Drawing, name: &str) -> bool {
    let on_layer = |item: &&Item| item.layer == name;
    drawing.items.iter().filter(on_layer).flat_map(|item| pieces(drawing, item)).any(|penned| match penned.piece {
        Piece::Path { hatch, .. } | Piece::Circle { hatch, .. } => hatch != Hatch::None,
        Piece::Line { .. } | Piece::Solid(_) | Piece::Words(_) => false,
    })
}

/// The first view: all of it.
fn view(out: &mut Writer<'_>, Bounds { low, high }: Bounds) {
    out.table("VPORT", 1);
    out.pair(0, "VPORT");
    out.pair(2, "*ACTIVE");
    out.int(70, 0);
    let middle = at((low.x + high.x) / 2.0, (low.y + high.y) / 2.0);
    let unit = at(1.0, 1.0);
    for (code, value) in [(10, at(0.0, 0.0)), (11, unit), (12, middle), (13, at(0.0, 0.0)), (14, unit), (15, unit)] {
        out.flat(code, value);
    }
    for (code, z) in [(16, 1.0), (17, 0.0)] {
        out.flat(code, at(0.0, 0.0));
        out.real(code + 20, z);
    }
    let (width, height) = (high.x - low.x, high.y - low.y);
    // A screen is wider than high by about this.
    let aspect = 1.5;
    for (code, value) in [(40, height.max(width / aspect) * 1.05), (41, aspect), (42, 50.0), (43, 0.0), (44, 0.0), (50, 0.0), (51, 0.0)] {
        out.real(code, value);
    }
    for (code, value) in [(71, 0), (72, 100), (73, 1), (74, 1), (75, 0), (76, 0), (77, 0), (78, 0)] {
        out.int(code, value);
    }
    out.pair(0, "ENDTAB");
}

fn block_name(number: usize) -> String {
    format!("*D{number}")
}

/// The block of a dimension: what it looks like.
fn block(out: &mut Writer<'_>, number: usize, item: &Item, dimension: &Dimension) {
    let layer = place_of(out.drawing, &item.layer);
    let name = block_name(number);
    out.pair(0, "BLOCK");
    out.pair(8, "0");
    out.pair(2, &name);
    out.int(70, 1);
    out.place(10, at(0.0, 0.0));
    out.pair(3, &name);
    let layout = dimension::layout(dimension, out.drawing.lettering);
    for piece in layout.pieces {
        out.piece(layer, &Penned { pen: layer, piece });
    }
    for point in [dimension.from, dimension.to, layout.foot] {
        out.pair(0, "POINT");
        out.pair(8, DEFINING);
        out.place(10, point);
    }
    out.pair(0, "ENDBLK");
    out.pair(8, "0");
}

fn dimension_entity(out: &mut Writer<'_>, number: usize, item: &Item, dimension: &Dimension) {
    let layer = place_of(out.drawing, &item.layer);
    let layout = dimension::layout(dimension, out.drawing.lettering);
    let (kind, turn) = match dimension.along {
        Along::Horizontal => (0, 0.0),
        Along::Vertical => (0, 90.0),
        Along::Aligned => (1, 0.0),
    };
    out.entity("DIMENSION", layer, layer, "");
    out.pair(2, &block_name(number));
    out.pair(3, STYLE);
    out.place(10, layout.foot);
    out.place(11, layout.middle);
    out.int(70, kind + if layout.beside { WORDS_MOVED } else { 0 });
    // Empty means the measure.
    out.string(1, dimension.text.as_deref().unwrap_or(""));
    out.place(13, dimension.from);
    out.place(14, dimension.to);
    out.real(50, turn);
}

#[cfg(test)]
mod tests {
    use super::escaped;

    #[test]
    fn words_cannot_become_codes() {
        let shown = ["Ø 7 ±0.1 °C", "µm → 5 – 7 × ²", "5 %% c", "%Ø", "a\\U+0041^J", "<script>\n0\nEOF", "😀"].map(escaped);
        let wanted = ["%%c 7 %%p0.1 %%dC", "um -> 5 - 7 x \\U+00B2", "5 % % c", "% %%c", "a\\U+005CU+0041^ J", "<script> 0 EOF", "?"];
        assert_eq!(shown, wanted);
        assert!(escaped(&"ж".repeat(100)).len() <= 255);
    }
}
