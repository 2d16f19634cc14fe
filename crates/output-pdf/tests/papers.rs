//! Papers with everything on them that can stand on one: they are set, the same again, on both sizes of sheets, whatever the words are.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test stops at the first broken expectation")]

use std::io::Write;
use std::process::{Command, Stdio};

use dossier::Step;
use dossier::drawing::{Anchor, Drawing, Shape, at, layer};
use dossier::paper::{
    Binder, Caution, Cell, Column, Field, Figure, Heading, Label, Link, Look, Paper, Part, Row, Run, Table, Tick, WorkingLine,
};
use output_pdf::{Pdf, Size, set};

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
    "∛(F·L³/(4·E))",
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
    Part::Table(Table { name: "t".into(), caption: words.into(), columns, rows, large: false })
}

fn large(words: &str) -> Part {
    let row = || Row::of(vec![Cell::Words(vec![Run::large(words)]), Cell::Tick, Cell::Blank]);
    let columns = vec![Column::words("wire", 1.0), Column::fit("off"), Column::room("seen", 30.0)];
    Part::Table(Table { name: "l".into(), columns, rows: vec![row(), row()], large: true, ..Table::default() })
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
        large(words),
        Part::Labels(
            (0..40_u8).map(|i| Label { wire: i.to_string(), end: "drive".into(), at: words.into(), note: words.into() }).collect(),
        ),
        Part::Labels(Vec::new()),
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

fn all_of(binder: &Binder, size: Size) -> Pdf {
    set(binder, size).unwrap().all(Some("inputs/")).unwrap()
}

#[test]
fn everything_is_set_on_both_sizes_and_the_same_again() {
    for size in [Size::A4, Size::Letter] {
        let all = binder_of("Plain words");
        let first = all_of(&all, size);
        assert!(first.bytes.starts_with(b"%PDF-") && first.pages >= 8, "{} pages", first.pages);
        assert_eq!(first, all_of(&all, size));
        let set = set(&all, size).unwrap();
        let alone: Vec<usize> = (0..3).map(|number| set.paper(number, None).unwrap().pages).collect();
        assert_eq!((alone[1], set.pages(), first.pages), (1, 1 + alone.iter().sum::<usize>(), set.pages()));
        assert!(set.paper(3, None).is_err());
    }
}

#[test]
fn links_lead_somewhere_or_are_plain_words() {
    let all = binder_of("Plain words");
    let set = set(&all, Size::A4).unwrap();
    let count = |pdf: &Pdf, what: &[u8]| pdf.bytes.windows(what.len()).filter(|w| *w == what).count();
    let links = |pdf: &Pdf| count(pdf, b"/Subtype/Link");
    let whole = set.all(None).unwrap();
    // Both papers name the same anchors: those of the first count, so that alone the last has nothing to lead to.
    let [first, last] = [0, 2].map(|number| set.paper(number, None).unwrap());
    assert!(links(&first) > 90 && links(&last) == 0, "{} and {}", links(&first), links(&last));
    assert!(links(&whole) > 2 * links(&first), "{} of {}", links(&first), links(&whole));
    // What stood for an anchor while the pages were set is in none of them; files only where somebody says where they are.
    for pdf in [&whole, &first, &last] {
        assert_eq!((count(pdf, b"#there"), count(pdf, b"#source-"), count(pdf, b"/URI(")), (0, 0, 0));
    }
    let with_files = set.paper(2, Some("../inputs/")).unwrap();
    assert!(links(&with_files) > 0 && count(&with_files, b"../inputs/positions/A%20B%2") > 0);
}

#[test]
fn words_are_never_markup() {
    let all = binder_of(HOSTILE);
    assert!(all_of(&all, Size::A4).pages >= 8);
}

#[test]
fn a_date_that_is_none_and_an_empty_binder_are_no_panic() {
    let all = Binder { date: "soon".into(), ..Binder::default() };
    assert!(all_of(&all, Size::default()).pages >= 1);
}

/// What a program of poppler-utils says of a PDF on its standard input.
fn said(program: &str, arguments: &[&str], pdf: &[u8]) -> String {
    let mut command = Command::new(program);
    let mut child = command.args(arguments).stdin(Stdio::piped()).stdout(Stdio::piped()).spawn().expect("poppler-utils is there");
    let mut input = child.stdin.take().unwrap();
    let bytes = pdf.to_vec();
    let writer = std::thread::spawn(move || input.write_all(&bytes));
    let output = child.wait_with_output().unwrap();
    writer.join().unwrap().unwrap();
    assert!(output.status.success(), "{program} refuses it");
    String::from_utf8(output.stdout).unwrap()
}

#[test]
#[ignore = "needs poppler-utils: cargo xtask test"]
fn poppler_sees_pages_size_tags_embedded_fonts_and_words() {
    for (size, points) in [(Size::A4, "595.276 x 841.89"), (Size::Letter, "612 x 792")] {
        let set = all_of(&binder_of("Plain words"), size);
        let info = said("pdfinfo", &["-"], &set.bytes);
        let line = |key: &str| info.lines().find_map(|l| l.strip_prefix(key)).map_or("", str::trim).to_owned();
        assert_eq!(line("Pages:"), set.pages.to_string());
        assert!(line("Page size:").starts_with(points), "{info}");
        assert_eq!(line("Tagged:"), "yes");
        assert_eq!(line("Title:"), "Plain words XX-1: all papers");
        // Columns from behind the name and type: embedded, subset, with a way back to characters.
        let fonts = said("pdffonts", &["-"], &set.bytes);
        assert!(fonts.lines().count() > 3 && fonts.contains("OpenSans"), "{fonts}");
        for font in fonts.lines().skip(2) {
            let words: Vec<&str> = font.split_whitespace().collect();
            assert_eq!(words[words.len() - 5..words.len() - 2], ["yes", "yes", "yes"], "{font}");
        }
        let text = said("pdftotext", &["-layout", "-", "-"], &set.bytes);
        assert_eq!(text.matches('\u{c}').count(), set.pages, "a form feed ends each page");
        for (number, page) in text.split('\u{c}').take(set.pages).enumerate().skip(1) {
            for words in ["2026-03-10", "revision 0123abcd", &format!("page {} of {}", number + 1, set.pages)] {
                assert!(page.contains(words), "“{words}” is not on page {}:\n{page}", number + 1);
            }
        }
        // The head of the long table stands on each of its pages.
        assert!(text.matches("length, mm").count() >= 4, "heads are not repeated");
        for words in ["Not examined", "Charged DC bus", "expected: Plain words", "Barred.", "[1]", "first line"] {
            assert!(text.contains(words), "“{words}” is not there");
        }
        // Links to files: two papers have one each; one that is broken over two lines counts twice.
        assert!(set.bytes.windows(24).filter(|w| w.starts_with(b"inputs/positions/A%20B%2")).count() >= 2);
    }
}
