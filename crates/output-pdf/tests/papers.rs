//! Papers with everything on them that can stand on one: they are set, the same again, on both sizes of sheets, whatever the words are.

use dossier::Step;
use dossier::drawing::{Anchor, Drawing, Shape, at, layer};
use dossier::paper::{Binder, Caution, Cell, Column, Field, Figure, Heading, Link, Look, Paper, Part, Row, Run, Table, Tick, WorkingLine};
use output_pdf::{Options, Size, binder, paper};

/// Words that would be markup, code or trouble if anybody took them for more than words.
const HOSTILE: &str = "#panic(\"x\") $a$ *b* _c_ `d` <e> @f \\ \" ] ) } ${ // /* %20 = + - ~ \u{202e}x\u{7} ⚠ ⌀ → ☐ ₂ 漢";

/// Formulas as calculations write them, and some that are none.
const FORMULAS: &[&str] = &[
    "",
    "P_N/(√3·U_N·η·cos φ)",
    "√(Q/(c·w + R))",
    "∏(k_i)",
    "max(0, 1 − Σ(d_i))",
    "e^(−t/τ)",
    "√((1 + α)·(1 − e^(−a−b))/(1 − e^(−a)) − α)",
    "WK²·ΔN/(k·T)",
    "|φ_half − 1|",
    "Im(Z1·Zm/(Z1 + Zm))",
    "∫max(T_M·ω, 0) dt/T",
    "½·J·ω²",
    "a/",
    "/b",
    "^2",
    "√",
    "()",
    "(a",
    "x_",
    "a^",
    "#x",
    "$",
    "\\",
    "\"",
    "a // b",
    "/* c",
    "k_f'",
    "a:b;c",
    "U₁²",
    "1.5.2",
    "x!",
    "a&b",
    "[c]",
    "{d}",
    "@e",
    "~",
    "a_b_c",
    "√√2",
    "2^-3",
    "a,b",
    ",",
    "a^^b",
    "_x",
    "(/)",
    "(^2)",
    "a/²",
    "√²",
    "5/-",
    "a/+b",
    "=",
    "<=",
    "a/,b",
    "(·)",
    "²",
];

fn step(symbol: &str, formula: &str) -> WorkingLine {
    let text = str::to_owned;
    let step = Step {
        symbol: text(symbol),
        name: text("what it is"),
        formula: text(formula),
        numbers: text("80.2 A·150 %/2"),
        value: text("60.15 A"),
        source: text("definition (derived)"),
        note: text(HOSTILE),
    };
    WorkingLine { step, source: Some(Link::Anchor("source-1".into())) }
}

fn table(words: &str) -> Part {
    let name = Run { text: "conductors.cable_diameter".into(), look: Look::Name, link: Some(Link::Anchor("there".into())) };
    let verdicts = ["holds", "depends", "fails"].into_iter().cycle();
    let mut rows: Vec<Row> = (0..90_u8)
        .zip(verdicts)
        .map(|(i, verdict)| {
            let value = f64::from(i) / 2.0;
            let number = Cell::Number { value, text: format!("{value:.1}") };
            Row::of(vec![Cell::Words(vec![name.clone()]), number, Cell::Verdict(verdict.into()), Cell::Tick, Cell::Blank])
        })
        .collect();
    rows[0].anchor = Some("source-1".into());
    rows[1].strong = true;
    let columns = vec![
        Column::fit("fact"),
        Column::numbers("length", "mm"),
        Column::words("verdict", 1.0),
        Column::fit("done"),
        Column::room("found", 30.0),
    ];
    Part::Table(Table { name: "t".into(), caption: words.into(), columns, rows })
}

fn all_parts(words: &str) -> Vec<Part> {
    let mut drawing = Drawing::new("a plate", 400.0, 300.0, 5.0);
    drawing.add(layer::PLATE, Shape::rectangle(at(0.0, 0.0), 400.0, 300.0));
    drawing.add(layer::TEXT, Shape::text(at(10.0, 10.0), 5.0, Anchor::Left, "plate ⌀ 5"));
    let tick = |hold, energises, barred: Option<&str>| Tick {
        what: vec![Run::plain(words)],
        expected: words.into(),
        hold,
        energises,
        barred: barred.map(str::to_owned),
    };
    let caution = || Part::Caution(Caution { hazard: "Charged DC bus".into(), text: words.into() });
    let place = Link::File { file: "positions/A B#1.toml".into(), line: 12 };
    vec![
        Part::Heading(Heading { level: 1, text: words.into(), anchor: Some("there".into()) }),
        Part::Paragraph(vec![
            Run::plain(words),
            Run::strong(words),
            Run::faint("to ").to("there"),
            Run::plain("nowhere").to("not-on-paper"),
            Run { text: "positions/A B#1.toml:12".into(), look: Look::Name, link: Some(place) },
        ]),
        Part::Statement(vec![Run::plain(words)]),
        Part::List(vec![vec![Run::plain(words)], vec![Run::strong("two")]]),
        caution(),
        caution(),
        caution(),
        table(words),
        Part::Heading(Heading { level: 2, text: "below".into(), anchor: Some("there".into()) }),
        Part::Working(FORMULAS.iter().map(|f| step("I_N,unit", f)).collect()),
        Part::Figure(Figure { name: "f".into(), caption: words.into(), drawing }),
        Part::NewPage,
        Part::Ticks(vec![tick(false, false, None), tick(true, false, None), tick(false, true, None), tick(false, true, Some(words))]),
        Part::Fields(vec![Field::line(words), Field { label: "more".into(), hint: "A".into(), lines: 3 }]),
        Part::Listing(format!("first line\n  {words}")),
        Part::Paragraph(Vec::new()),
        Part::List(Vec::new()),
        Part::Ticks(Vec::new()),
    ]
}

fn binder_of(words: &str) -> Binder {
    let paper = |name: &str, not_examined: Option<&str>| Paper {
        name: name.into(),
        title: words.into(),
        for_whom: words.into(),
        revision: "0123abcd".into(),
        not_examined: not_examined.map(str::to_owned),
        parts: if not_examined.is_some() { Vec::new() } else { all_parts(words) },
        ..Paper::default()
    };
    Binder {
        site: words.into(),
        tag: "XX-1".into(),
        machine: words.into(),
        date: "2026-03-10".into(),
        papers: vec![paper("one", None), paper("two", Some(words)), paper("three", None)],
        ..Binder::default()
    }
}

fn options(size: Size) -> Options {
    Options { size, inputs: Some("inputs/".into()) }
}

#[test]
fn everything_is_set_on_both_sizes_and_the_same_again() {
    for size in [Size::A4, Size::Letter] {
        let all = binder_of("Plain words");
        let first = binder(&all, &options(size)).unwrap();
        assert!(first.bytes.starts_with(b"%PDF-") && first.pages >= 8, "{} pages", first.pages);
        assert_eq!(first, binder(&all, &options(size)).unwrap());
        let alone = paper(&all, &all.papers[1], &options(size)).unwrap();
        assert_eq!(alone.pages, 1);
    }
}

#[test]
fn words_are_never_markup() {
    let all = binder_of(HOSTILE);
    let set = binder(&all, &options(Size::A4)).unwrap();
    assert!(set.pages >= 8);
}

#[test]
fn a_date_that_is_none_and_an_empty_binder_are_no_panic() {
    let all = Binder { date: "soon".into(), ..Binder::default() };
    assert!(binder(&all, &Options::default()).unwrap().pages >= 1);
}
