//! SVG of a drawing: alone valid, without style sheets or scripts, so that it also stands in a page or a typesetter. Layers are
//! groups in their order, each with its meaning as title; hatches are patterns.

use std::fmt::{self, Write as _};

use dossier::drawing::{Anchor, Drawing, Hatch, Ink, Layer, LineKind, Point};

use crate::check::check;
use crate::figure::{Bounds, Penned, Piece, Words, hatch_pitch, pieces};
use crate::{Refused, number, words};

/// How it is to be shown.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Options {
    /// Size of the picture.
    pub size: Size,
    /// Ground and inks.
    pub ground: Ground,
    /// Begins every id, so that several drawings can stand in one page; other characters than letters, digits, - and _ are left
    /// out.
    pub prefix: String,
}

/// Size of the picture.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Size {
    /// As wide as there is room. Lines are thickened with the lettering, so that they stay visible when it is shown smaller.
    #[default]
    Responsive,
    /// As wide as there is room, but no wider than so many pixels.
    Pixels(u32),
    /// 1:1 in millimetres, lines at their true weight: for printing.
    Actual,
}

/// Ground and inks.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Ground {
    /// Dark inks on white.
    #[default]
    Light,
    /// Light inks on nearly black.
    Dark,
}

/// Decimals of a length: a micrometre.
const DECIMALS: usize = 3;
/// Height of capitals in heights of a common sans-serif face (from memory: 0.72 to 0.73).
const CAPITAL: f64 = 0.72;
/// Lettering for which the weights of lines are meant, mm.
const USUAL_LETTERING: f64 = 2.5;
/// Weight of hatch lines, in that of their outline.
const HATCH_WEIGHT: f64 = 0.4;
/// Ground that is kept free round letters, in their heights.
const HALO: f64 = 0.35;

/// The drawing as SVG.
///
/// # Errors
/// Everything that cannot be drawn truly.
pub fn svg(drawing: &Drawing, options: &Options) -> Result<String, Refused> {
    check(drawing)?;
    let drawn: Vec<Penned> = drawing.items.iter().flat_map(|item| pieces(drawing, item)).collect();
    let bounds = Bounds::of(drawing, drawn.iter().map(|penned| &penned.piece));
    let weights = match options.size {
        Size::Actual => 1.0,
        Size::Responsive | Size::Pixels(_) => drawing.lettering / USUAL_LETTERING,
    };
    let prefix = options.prefix.chars().filter(|c| c.is_ascii_alphanumeric() || matches!(c, '-' | '_')).collect();
    let mut page = Page { text: String::new(), drawing, bounds, weights, ground: options.ground, prefix };
    page.head(options.size);
    page.patterns(&drawn);
    for (place, layer) in drawing.layers.iter().enumerate() {
        page.layer(place, layer, drawn.iter().filter(|penned| penned.pen == place).map(|penned| &penned.piece));
    }
    page.put(format_args!("</svg>\n"));
    Ok(page.text)
}

/// Words as the content of an element or attribute: one line, nothing of it markup.
fn escaped(text: &str) -> String {
    let mut escaped = String::new();
    for letter in words::clean(text).chars() {
        match letter {
            '<' => escaped.push_str("&lt;"),
            '>' => escaped.push_str("&gt;"),
            '&' => escaped.push_str("&amp;"),
            '"' => escaped.push_str("&quot;"),
            '\'' => escaped.push_str("&#39;"),
            _ => escaped.push(letter),
        }
    }
    escaped
}

/// Colour of the ground.
fn paper(ground: Ground) -> &'static str {
    match ground {
        Ground::Light => "#ffffff",
        Ground::Dark => "#12161b",
    }
}

/// Colour of an ink: at least 4.5 : 1 against its ground (a test computes it).
fn colour(ink: Ink, ground: Ground) -> &'static str {
    match (ink, ground) {
        (Ink::Plain, Ground::Light) => "#16191d",
        (Ink::Plain, Ground::Dark) => "#f2f4f6",
        (Ink::Grey, Ground::Light) => "#5a636d",
        (Ink::Grey, Ground::Dark) => "#a9b3bd",
        (Ink::Blue, Ground::Light) => "#0b5394",
        (Ink::Blue, Ground::Dark) => "#7fc1ff",
        (Ink::Red, Ground::Light) => "#b3261e",
        (Ink::Red, Ground::Dark) => "#ff9b8f",
        (Ink::Green, Ground::Light) => "#1e6b3a",
        (Ink::Green, Ground::Dark) => "#7fd6a0",
        (Ink::Violet, Ground::Light) => "#6b3fa0",
        (Ink::Violet, Ground::Dark) => "#cdb0ff",
    }
}

/// Short form of a length.
fn mm(value: f64) -> String {
    number::plain(value, DECIMALS)
}

fn hatch_name(hatch: Hatch) -> &'static str {
    match hatch {
        Hatch::None => "none",
        Hatch::Rising => "rising",
        Hatch::Falling => "falling",
        Hatch::Crossed => "crossed",
    }
}

/// The picture so far.
struct Page<'a> {
    text: String,
    drawing: &'a Drawing,
    bounds: Bounds,
    /// Factor on the weights of lines.
    weights: f64,
    ground: Ground,
    prefix: String,
}

impl Page<'_> {
    fn put(&mut self, what: fmt::Arguments<'_>) {
        // Writing to a string cannot fail.
        let _ = self.text.write_fmt(what);
    }

    /// x and y of a place, which run right and down in the picture.
    fn x(&self, point: Point) -> String {
        mm(point.x - self.bounds.low.x)
    }

    fn y(&self, point: Point) -> String {
        mm(self.bounds.high.y - point.y)
    }

    fn head(&mut self, size: Size) {
        let Self { bounds, drawing, .. } = self;
        let (width, height) = (mm(bounds.high.x - bounds.low.x), mm(bounds.high.y - bounds.low.y));
        let (title, description) = (escaped(&drawing.title), escaped(&drawing.description));
        let title = if title.trim().is_empty() { "Drawing".to_owned() } else { title };
        let size = match size {
            Size::Actual => format!(r#"width="{width}mm" height="{height}mm""#),
            Size::Responsive => r#"width="100%""#.to_owned(),
            Size::Pixels(most) => format!(r#"width="{most}""#),
        };
        let id = self.prefix.clone();
        self.put(format_args!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" {size} viewBox=\"0 0 {width} {height}\" role=\"img\" \
             aria-labelledby=\"{id}title {id}desc\">\n<title id=\"{id}title\">{title}</title>\n<desc id=\"{id}desc\">{description}</desc>\n\
             <rect width=\"{width}\" height=\"{height}\" fill=\"{}\"/>\n",
            paper(self.ground)
        ));
    }

    fn hatch_id(&self, pen: usize, hatch: Hatch) -> String {
        let layer = self.drawing.layers.get(pen).map_or("", |layer| &layer.name);
        format!("{}{layer}-{}", self.prefix, hatch_name(hatch))
    }

    /// One pattern for each hatch of each layer.
    fn patterns(&mut self, drawn: &[Penned]) {
        let mut uses: Vec<(usize, Hatch)> = Vec::new();
        for Penned { pen, piece } in drawn {
            if let Piece::Path { hatch, .. } | Piece::Circle { hatch, .. } = piece
                && *hatch != Hatch::None
                && !uses.contains(&(*pen, *hatch))
            {
                uses.push((*pen, *hatch));
            }
        }
        if uses.is_empty() {
            return;
        }
        let tile = hatch_pitch(self.drawing) * std::f64::consts::SQRT_2;
        self.put(format_args!("<defs>\n"));
        for (pen, hatch) in uses {
            // Lines run over the edge of the tile, and its other two corners get their ends.
            let [low, none, full, high] = [-tile / 2.0, 0.0, tile, tile * 1.5].map(mm);
            let half = mm(tile / 2.0);
            let rising = format!("M{low},{half}L{half},{low}M{none},{full}L{full},{none}M{half},{high}L{high},{half}");
            let falling = format!("M{low},{half}L{half},{high}M{none},{none}L{full},{full}M{half},{low}L{high},{half}");
            let path = match hatch {
                Hatch::None => String::new(),
                Hatch::Rising => rising,
                Hatch::Falling => falling,
                Hatch::Crossed => rising + &falling,
            };
            let Some(layer) = self.drawing.layers.get(pen) else { continue };
            let weight = mm(layer.weight * self.weights * HATCH_WEIGHT);
            self.put(format_args!(
                "<pattern id=\"{}\" patternUnits=\"userSpaceOnUse\" width=\"{full}\" height=\"{full}\">\
                 <path d=\"{path}\" stroke=\"{}\" stroke-width=\"{weight}\" fill=\"none\"/></pattern>\n",
                self.hatch_id(pen, hatch),
                colour(layer.ink, self.ground)
            ));
        }
        self.put(format_args!("</defs>\n"));
    }

    /// A group; nothing for a layer without pieces.
    fn layer<'p>(&mut self, place: usize, layer: &Layer, pieces: impl Iterator<Item = &'p Piece>) {
        let mut pieces = pieces.peekable();
        if pieces.peek().is_none() {
            return;
        }
        let height = self.drawing.lettering;
        let dashes = |lengths: &[f64]| {
            let lengths: Vec<String> = lengths.iter().map(|length| mm(length * height)).collect();
            format!(r#" stroke-dasharray="{}""#, lengths.join(" "))
        };
        let kind = match layer.line {
            LineKind::Solid => String::new(),
            LineKind::Dashed => dashes(&[1.2, 0.6]),
            LineKind::Dotted => dashes(&[0.0, 0.5]),
            LineKind::Chain => dashes(&[2.4, 0.5, 0.0, 0.5]),
        };
        // Round ends make dots of dashes without length.
        let ends = if matches!(layer.line, LineKind::Dotted | LineKind::Chain) { " stroke-linecap=\"round\"" } else { "" };
        let id = format!("{}{}", self.prefix, layer.name);
        self.put(format_args!(
            "<g id=\"{id}\" fill=\"none\" stroke=\"{}\" stroke-width=\"{}\" stroke-linejoin=\"round\"{kind}{ends}>\n<title>{}</title>\n",
            colour(layer.ink, self.ground),
            mm(layer.weight * self.weights),
            escaped(&layer.meaning)
        ));
        for piece in pieces {
            self.piece(place, layer, piece);
        }
        self.put(format_args!("</g>\n"));
    }

    fn fill(&self, pen: usize, hatch: Hatch) -> String {
        if hatch == Hatch::None { String::new() } else { format!(" fill=\"url(#{})\"", self.hatch_id(pen, hatch)) }
    }

    fn piece(&mut self, pen: usize, layer: &Layer, piece: &Piece) {
        match piece {
            Piece::Line { from, to } => self.put(format_args!(
                "<line x1=\"{}\" y1=\"{}\" x2=\"{}\" y2=\"{}\"/>\n",
                self.x(*from),
                self.y(*from),
                self.x(*to),
                self.y(*to)
            )),
            Piece::Path { points, closed, hatch } => {
                let (name, rule) = if *closed { ("polygon", " fill-rule=\"evenodd\"") } else { ("polyline", "") };
                let fill = self.fill(pen, *hatch);
                let rule = if fill.is_empty() { "" } else { rule };
                self.put(format_args!("<{name} points=\"{}\"{fill}{rule}/>\n", self.places(points)));
            }
            Piece::Circle { centre, radius, hatch } => self.put(format_args!(
                "<circle cx=\"{}\" cy=\"{}\" r=\"{}\"{}/>\n",
                self.x(*centre),
                self.y(*centre),
                mm(*radius),
                self.fill(pen, *hatch)
            )),
            Piece::Solid(points) => self.put(format_args!(
                "<polygon points=\"{}\" fill=\"{}\" stroke=\"none\"/>\n",
                self.places(points),
                colour(layer.ink, self.ground)
            )),
            Piece::Words(words) => self.words(layer, words),
        }
    }

    fn places(&self, points: &[Point]) -> String {
        points.iter().map(|&point| format!("{},{}", self.x(point), self.y(point))).collect::<Vec<_>>().join(" ")
    }

    fn words(&mut self, layer: &Layer, words: &Words) {
        let Words { at, height, anchor, angle, content } = words;
        let anchor = match anchor {
            Anchor::Left => "start",
            Anchor::Centre => "middle",
            Anchor::Right => "end",
        };
        let (x, y) = (self.x(*at), self.y(*at));
        let turn = number::plain(-angle, DECIMALS);
        let turn = if turn == "0" { String::new() } else { format!(" transform=\"rotate({turn} {x} {y})\"") };
        let base = mm(self.bounds.high.y - at.y + height / 2.0);
        self.put(format_args!(
            "<text x=\"{x}\" y=\"{base}\" font-family=\"sans-serif\" font-size=\"{}\" text-anchor=\"{anchor}\"{turn} fill=\"{}\" \
             stroke=\"{}\" stroke-width=\"{}\" stroke-dasharray=\"none\" paint-order=\"stroke\">{}</text>\n",
            mm(height / CAPITAL),
            colour(layer.ink, self.ground),
            paper(self.ground),
            mm(height * HALO),
            escaped(content)
        ));
    }
}

#[cfg(test)]
mod tests {
    use super::{Ground, Ink, colour, escaped, paper};

    #[test]
    fn words_cannot_become_markup() {
        assert_eq!(escaped("<script>\"&'\u{1b}\n"), "&lt;script&gt;&quot;&amp;&#39; ");
    }

    /// Relative luminance of WCAG 2.1, definition of "relative luminance" (from memory).
    fn luminance(colour: &str) -> f64 {
        let channel = |from: usize| {
            let share = f64::from(u8::from_str_radix(&colour[from..from + 2], 16).unwrap()) / 255.0;
            if share <= 0.04045 { share / 12.92 } else { ((share + 0.055) / 1.055).powf(2.4) }
        };
        0.2126 * channel(1) + 0.7152 * channel(3) + 0.0722 * channel(5)
    }

    #[test]
    fn every_ink_stands_out() {
        for ground in [Ground::Light, Ground::Dark] {
            for ink in [Ink::Plain, Ink::Grey, Ink::Blue, Ink::Red, Ink::Green, Ink::Violet] {
                let (one, other) = (luminance(colour(ink, ground)), luminance(paper(ground)));
                let contrast = (one.max(other) + 0.05) / (one.min(other) + 0.05);
                assert!(contrast >= 4.5, "{ink:?} on {ground:?}: {contrast:.2}");
            }
        }
    }
}
