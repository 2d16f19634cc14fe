//! Drawings to test with: a plate as the fit would draw it (invented), and random ones.
#![allow(dead_code, reason = "each test takes what it needs")]

use dossier::drawing::{
    Along, Anchor, Column, Dimension, Drawing, Hatch, Ink, Item, Layer, LineKind, Mark, Point, Shape, Table, Text, at, layer, layers,
};
use proptest::prelude::*;

/// A hole of the example.
struct Hole {
    name: &'static str,
    centre: Point,
    diameter: f64,
    layer: &'static str,
    what: &'static str,
}

fn holes() -> Vec<Hole> {
    let hole = |name, x, y, diameter, layer, what| Hole { name, centre: at(x, y), diameter, layer, what };
    let kept = "used again";
    let (closed, new) = ("close", "drill");
    vec![
        hole("A1", 130.0, 120.0, 7.0, layer::HOLE_CLOSED, closed),
        hole("A2", 310.0, 120.0, 7.0, layer::HOLE_KEPT, kept),
        hole("A3", 130.0, 470.0, 7.0, layer::HOLE_CLOSED, closed),
        hole("A4", 310.0, 470.0, 7.0, layer::HOLE_KEPT, kept),
        hole("B1", 172.5, 120.0, 6.6, layer::HOLE_NEW, new),
        hole("B2", 172.5, 395.0, 6.6, layer::HOLE_NEW, new),
        hole("B3", 310.0, 395.0, 6.6, layer::HOLE_NEW, new),
        hole("B4", 241.0, 395.0, 4.3, layer::HOLE_NEW, new),
    ]
}

/// A plate of 500 × 600 mm with a duct, a rail, the old and the new unit, eight holes, dimensions, their table and a key.
pub(crate) fn plate() -> Drawing {
    let mut d = Drawing::new("Box Q7, plate with new unit – drill plan", 940.0, 750.0, 9.0);
    d.description = "Mounting plate 500 mm wide and 600 mm high, seen from the door. The new unit stands on two holes of the old one; \
                     four holes are to be drilled, two to be closed."
        .to_owned();
    let text = |x: f64, y: f64, anchor: Anchor, words: &str| Shape::text(at(x, y), 9.0, anchor, words);
    // The plate's lower left corner lies at the origin of the plan, which stands at (90, 90) on the sheet.
    let (left, low) = (90.0, 90.0);
    let on = |x: f64, y: f64| at(left + x, low + y);
    d.add(layer::PLATE, Shape::rectangle(on(0.0, 0.0), 500.0, 600.0));
    d.add(layer::KEEP_OUT, Shape::rectangle(on(150.0, 495.0), 182.5, 55.0).hatched(Hatch::Rising));
    d.add(layer::KEEP_OUT, Shape::rectangle(on(150.0, 50.0), 182.5, 45.0).hatched(Hatch::Rising));
    d.add(layer::OBSTACLE, Shape::rectangle(on(20.0, 20.0), 40.0, 560.0).hatched(Hatch::Crossed));
    d.add(layer::OBSTACLE, Shape::rectangle(on(350.0, 235.0), 140.0, 35.0).hatched(Hatch::Crossed));
    d.add(
        layer::TEXT,
        Shape::Text(Text {
            at: on(40.0, 300.0),
            height: 9.0,
            anchor: Anchor::Centre,
            angle: 90.0,
            within: Some(540.0),
            content: "cable duct 40 × 60".into(),
        }),
    );
    let rail = Text {
        at: on(420.0, 252.5),
        height: 9.0,
        anchor: Anchor::Centre,
        angle: 0.0,
        within: Some(120.0),
        content: "rail with relays".into(),
    };
    d.add(layer::TEXT, Shape::Text(rail));
    d.add(layer::OLD_UNIT, Shape::rectangle(on(105.0, 100.0), 230.0, 390.0));
    d.add(layer::NEW_UNIT, Shape::rectangle(on(150.0, 95.0), 182.5, 400.0));
    d.add(layer::TEXT, text(left + 241.0, low + 330.0, Anchor::Centre, "new unit"));
    d.add(layer::TEXT, text(left + 241.0, low + 522.5, Anchor::Centre, "air, keep free"));
    d.add(layer::TEXT, text(left + 241.0, low + 72.5, Anchor::Centre, "air, keep free"));
    for hole in holes() {
        let centre = on(hole.centre.x, hole.centre.y);
        let kind = match hole.layer {
            layer::HOLE_CLOSED => Mark::Struck,
            layer::HOLE_KEPT => Mark::Centre,
            _ => Mark::Boxed,
        };
        d.add(hole.layer, Shape::circle(centre, hole.diameter));
        d.add(hole.layer, Shape::Mark { at: centre, size: 16.0, kind, label: hole.name.into() });
    }
    d.add(layer::DATUM, Shape::Mark { at: on(0.0, 0.0), size: 40.0, kind: Mark::Datum, label: String::new() });
    d.add(layer::TEXT, text(left - 6.0, low - 12.0, Anchor::Right, "0, 0"));
    let measure = |from: Point, to: Point, along, offset| Shape::dimension(on(from.x, from.y), on(to.x, to.y), along, offset);
    d.add(layer::DIMENSION, measure(at(0.0, 0.0), at(500.0, 0.0), Along::Horizontal, -62.0));
    d.add(layer::DIMENSION, measure(at(0.0, 0.0), at(172.5, 120.0), Along::Horizontal, -32.0));
    d.add(layer::DIMENSION, measure(at(172.5, 120.0), at(310.0, 120.0), Along::Horizontal, -152.0));
    d.add(layer::DIMENSION, measure(at(0.0, 600.0), at(0.0, 0.0), Along::Vertical, -50.0));
    d.add(layer::DIMENSION, measure(at(310.0, 120.0), at(310.0, 395.0), Along::Vertical, 220.0));
    d.add(layer::DIMENSION, measure(at(310.0, 470.0), at(310.0, 395.0), Along::Vertical, 220.0));
    let (from, to) = (on(310.0, 120.0), on(172.5, 395.0));
    let text_of = Some("B2–A2 <> ±0.3".to_owned());
    d.add(layer::DIMENSION, Shape::Dimension(Dimension { from, to, along: Along::Aligned, offset: 0.0, text: text_of }));
    d.add(layer::DIMENSION, measure(at(332.5, 530.0), at(350.0, 530.0), Along::Horizontal, 38.0));
    let rows = holes().into_iter().map(|h| {
        let place = |v: f64| format!("{v:.1}");
        vec![h.name.to_owned(), place(h.centre.x), place(h.centre.y), format!("Ø {:.1}", h.diameter), h.what.to_owned()]
    });
    let table = Table::fitted(at(680.0, 690.0), 7.0, &["hole", "x mm", "y mm", "size", "what"], rows.collect());
    let below = 690.0 - table.depth();
    d.add(layer::TEXT, Shape::Table(table));
    d.add(layer::TEXT, Shape::text(at(680.0, below - 14.0), 7.0, Anchor::Left, "tolerance of holes ±0.3 mm"));
    d.add(layer::TEXT, Shape::Key { at: at(680.0, below - 60.0), height: 7.0 });
    let title = d.title.clone();
    d.add(layer::TEXT, Shape::text(at(left, 725.0), 12.0, Anchor::Left, &title));
    d
}

/// Any place on a large sheet.
fn place() -> impl Strategy<Value = Point> {
    (-2000.0..2000.0f64, -2000.0..2000.0f64).prop_map(|(x, y)| at(x, y))
}

fn hatch() -> impl Strategy<Value = Hatch> {
    prop::sample::select(vec![Hatch::None, Hatch::Rising, Hatch::Falling, Hatch::Crossed])
}

fn anchor() -> impl Strategy<Value = Anchor> {
    prop::sample::select(vec![Anchor::Left, Anchor::Centre, Anchor::Right])
}

/// Words that try to be something else.
pub(crate) fn hostile() -> impl Strategy<Value = String> {
    let known = [
        "",
        "  0\nEOF\n",
        "\r\n  0\r\nENDSEC\r\n",
        "<script>alert(1)</script>",
        "]]></title></svg>",
        "\"/><image href='x'/>",
        "&#0;&lol;",
        "\u{0}\u{1b}[2J\u{7f}\u{85}",
        "\u{202e}\u{feff}\u{fffe}\u{ffff}",
        "%%%%c%%",
        "\\U+0000\\P^J^",
        "Ø 12 ±0,1 µm → 40 °C",
        "сверлить 盤 穴 😀",
        "{\\fArial;x}",
        "<>",
    ];
    prop_oneof![
        prop::sample::select(known.to_vec()).prop_map(str::to_owned),
        any::<String>(),
        ".{0,12}",
        (any::<char>(), 1..4000usize).prop_map(|(letter, times)| letter.to_string().repeat(times)),
    ]
}

/// Any shape that can be drawn.
pub(crate) fn shape() -> impl Strategy<Value = Shape> {
    let height = 1.0..20.0f64;
    let length = 0.01..900.0f64;
    let line = (place(), place()).prop_map(|(from, to)| Shape::Line { from, to });
    let polyline = (prop::collection::vec(place(), 3..9), any::<bool>(), hatch()).prop_map(|(points, closed, hatch)| Shape::Polyline {
        points,
        closed,
        hatch: if closed { hatch } else { Hatch::None },
    });
    let rectangle = (place(), length.clone(), length.clone(), hatch()).prop_map(|(corner, width, height, hatch)| Shape::Rectangle {
        corner,
        width,
        height,
        hatch,
    });
    let circle = (place(), length, hatch()).prop_map(|(centre, diameter, hatch)| Shape::Circle { centre, diameter, hatch });
    let text = (place(), height.clone(), anchor(), -360.0..360.0f64, prop::option::of(5.0..300.0f64), hostile())
        .prop_map(|(at, height, anchor, angle, within, content)| Shape::Text(Text { at, height, anchor, angle, within, content }));
    let along = prop::sample::select(vec![Along::Horizontal, Along::Vertical, Along::Aligned]);
    let dimension = (place(), (0.01..1000.0f64, -1000.0..-0.01f64), along, -300.0..300.0f64, prop::option::of(hostile())).prop_map(
        |(from, (dx, dy), along, offset, text)| Shape::Dimension(Dimension { from, to: at(from.x + dx, from.y + dy), along, offset, text }),
    );
    let kind = prop::sample::select(vec![Mark::Datum, Mark::Centre, Mark::Boxed, Mark::Struck]);
    let mark = (place(), 1.0..50.0f64, kind, hostile()).prop_map(|(at, size, kind, label)| Shape::Mark { at, size, kind, label });
    let column = (hostile(), 1.0..200.0f64, anchor()).prop_map(|(head, width, anchor)| Column { head, width, anchor });
    let rows = prop::collection::vec(prop::collection::vec(hostile(), 0..=2), 0..4);
    let table = (place(), height.clone(), prop::collection::vec(column, 2..4), rows)
        .prop_map(|(at, height, columns, rows)| Shape::Table(Table { at, height, columns, rows }));
    let key = (place(), height).prop_map(|(at, height)| Shape::Key { at, height });
    prop_oneof![1 => line, 1 => polyline, 1 => rectangle, 3 => circle, 1 => text, 3 => dimension, 1 => mark, 1 => table, 1 => key]
}

/// Any drawing that can be drawn, on the usual layers and one more.
pub(crate) fn drawing() -> impl Strategy<Value = Drawing> {
    let lines = vec![LineKind::Solid, LineKind::Dashed, LineKind::Dotted, LineKind::Chain];
    let inks = vec![Ink::Plain, Ink::Grey, Ink::Blue, Ink::Red, Ink::Green, Ink::Violet];
    let extra = ("[A-Z0-9_]{1,18}", hostile(), prop::sample::select(lines), 0.05..2.0f64, prop::sample::select(inks))
        .prop_map(|(name, meaning, line, weight, ink)| Layer { name: format!("EXTRA{name}0"), meaning, line, weight, ink });
    let items = prop::collection::vec((any::<prop::sample::Index>(), shape()), 0..20);
    let sheet = (1.0..3000.0f64, 1.0..3000.0f64, 0.5..20.0f64);
    (hostile(), hostile(), sheet, extra, items).prop_map(|(title, description, (width, height, lettering), extra, items)| {
        let layers: Vec<Layer> = layers().into_iter().chain([extra]).collect();
        let items = items.into_iter().map(|(index, shape)| Item { layer: index.get(&layers).name.clone(), shape }).collect();
        Drawing { title, description, width, height, lettering, layers, items }
    })
}
