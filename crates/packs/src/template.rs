//! New, empty files in which every key and column is explained.

use std::fmt::Write as _;

use plant::survey;

use crate::SCHEMA;
use crate::schema::json_schema;
use crate::shape::{Field, FileKind, Kind, Shape, pack_tables, shape};
use crate::toml::literal;

/// A file to be written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewFile {
    /// Path from the folder that it belongs to, with "/" between its parts.
    pub path: String,
    /// Its text.
    pub text: String,
}

/// The files of a new site: `site.toml`, `decisions.toml` and the schemas that editors complete from.
/// `date` (ISO 8601) only stands in a comment.
#[must_use]
pub fn new_site(name: &str, date: &str) -> Vec<NewFile> {
    let given = |field: &Field| match field.key {
        "name" => Some(quoted(name)),
        "code" => Some(quoted("iec")),
        "units" => Some(quoted("metric")),
        "currency" => Some(quoted("EUR")),
        _ => None,
    };
    let schema_file = |kind: FileKind| NewFile {
        path: format!("schemas/{}.schema.json", kind.word()),
        text: serde_json::to_string_pretty(&json_schema(kind)).map(|text| text + "\n").unwrap_or_default(),
    };
    let head = format!("A site, begun on {date}. Facts hold for every position that does not say otherwise.");
    let mut files = vec![
        NewFile { path: "site.toml".into(), text: toml(FileKind::Site, "schemas", &head, &given) },
        NewFile {
            path: "decisions.toml".into(),
            text: toml(FileKind::Decisions, "schemas", "Decisions; changeout writes here too, and keeps your comments.", &|_| None),
        },
    ];
    files.extend(FileKind::ALL.map(schema_file));
    files
}

/// The file of a new position, with every fact still unknown.
#[must_use]
pub fn new_position(tag: &str) -> NewFile {
    let head = "A position as it was found. A value may be exact (\"52 A\"), a range (\"20..60 m\"), possibilities\n\
                (\"24 V | 120 V\") or unknown (\"?\"); with its origin it is\n\
                { value = \"52 A\", from = \"measured\", by = \"R. K.\", on = 2026-03-02, proof = \"evidence/plate.jpg\" }.\n\
                Each fact says what finding it out takes. Only people who are authorised on site open doors or measure\n\
                with power on, by the rules that hold there.";
    let given = |field: &Field| match field.kind {
        Kind::FileName if field.key == "tag" => Some(quoted(tag)),
        Kind::Fact(def) if def.table() != "duty" => Some(quoted("?")),
        _ => None,
    };
    NewFile { path: format!("positions/{tag}.toml"), text: toml(FileKind::Position, "../schemas", head, &given) }
}

/// The files of a new pack: `pack.toml`, a CSV table each with its header alone, and `COLUMNS.md`.
#[must_use]
pub fn new_pack(series: &str) -> Vec<NewFile> {
    let folder = format!("packs/{series}");
    let head = "A pack describes one series in neutral terms. Fill in what its documents say, delete what does not apply,\n\
                and let `changeout check` tell what is still missing. The tables beside it are explained in COLUMNS.md.";
    let given = |field: &Field| match (field.key, field.required) {
        ("series", _) => Some(quoted(series)),
        ("documents" | "kinds" | "methods", _) => Some("[]".into()),
        ("offered" | "single_phase", _) => Some("false".into()),
        (_, true) if !matches!(field.kind, Kind::Table(_) | Kind::Schema) => Some(quoted("")),
        _ => None,
    };
    let mut files = vec![NewFile { path: format!("{folder}/pack.toml"), text: toml(FileKind::Pack, "../../schemas", head, &given) }];
    files.extend(
        pack_tables()
            .iter()
            .map(|t| NewFile { path: format!("{folder}/{}", t.shape.name), text: t.shape.keys().collect::<Vec<_>>().join(",") + "\n" }),
    );
    files.push(NewFile { path: format!("{folder}/COLUMNS.md"), text: columns() });
    files
}

fn quoted(text: &str) -> String {
    toml_edit::Value::from(text).to_string()
}

fn comment(out: &mut String, text: &str) {
    for line in text.lines() {
        let _ = writeln!(out, "# {line}");
    }
}

/// A file of that kind: keys with a given value stand ready, the others as comments with an example.
fn toml(kind: FileKind, schemas: &str, head: &str, given: &dyn Fn(&Field) -> Option<String>) -> String {
    let shape = shape(kind);
    let mut out = format!("#:schema {schemas}/{}.schema.json\n", kind.word());
    comment(&mut out, head);
    out.push('\n');
    keys(&mut out, shape, given, true);
    for field in &shape.fields {
        match &field.kind {
            Kind::Table(inner) => {
                let live = field.required || inner.fields.iter().any(|f| given(f).is_some());
                section(&mut out, &format!("[{}]", field.key), inner, given, live);
            }
            Kind::Rows(inner, _) => section(&mut out, &format!("[[{}]]", field.key), inner, given, false),
            _ => {}
        }
    }
    out
}

fn section(out: &mut String, header: &str, shape: &Shape, given: &dyn Fn(&Field) -> Option<String>, live: bool) {
    out.push('\n');
    comment(out, shape.doc);
    let _ = writeln!(out, "{}{header}", if live { "" } else { "#" });
    keys(out, shape, given, live);
}

fn keys(out: &mut String, shape: &Shape, given: &dyn Fn(&Field) -> Option<String>, live: bool) {
    for field in shape.fields.iter().filter(|f| !matches!(f.kind, Kind::Table(_) | Kind::Rows(..))) {
        comment(out, &explained(field));
        let _ = match (&field.kind, given(field).filter(|_| live)) {
            (Kind::Schema, _) => writeln!(out, "{} = {SCHEMA}", field.key),
            (_, Some(value)) => writeln!(out, "{} = {value}", field.key),
            (_, None) => writeln!(out, "#{} = {}", field.key, literal(field)),
        };
    }
}

/// A key in one or two lines: meaning, words or example, effort.
fn explained(field: &Field) -> String {
    let words = |info: &plant::choice::ChoiceInfo| info.words.iter().map(|w| w.word).collect::<Vec<_>>().join(", ");
    let doc = field.doc.trim_end_matches('.');
    match &field.kind {
        Kind::Fact(def) => {
            let takes = match def.kind {
                survey::Kind::Choice(info) => format!("{}, or several apart by \" | \"", words(info)),
                survey::Kind::Quantity(info) => format!("{}: \"{}\"", info.name, field.example()),
            };
            format!("{doc} ({})\n  {takes}", def.effort.words())
        }
        Kind::Word(info) => format!("{doc}: one of {}", words(info)),
        Kind::Words(info) => format!("{doc}: some of {}", words(info)),
        Kind::Quantity { info, .. } => format!("{doc} ({}: \"{}\")", info.name, field.example()),
        _ => doc.to_owned(),
    }
}

/// What the columns of all tables of a pack mean, as Markdown.
fn columns() -> String {
    let mut out = String::from(
        "# Columns of the tables of a pack\n\n\
         The first row of each table names its columns, in any order. A header may carry a unit, `current [A]`; then bare\n\
         numbers are allowed below it. A blank cell or a dash means that the documents say nothing. Lines that begin with\n\
         `#` are passed over. Instead of `NAME.csv` there may be `NAME.xlsx` with the table on its first sheet.\n",
    );
    for table in pack_tables() {
        let need = if table.required { "required" } else { "only if it applies" };
        let _ = write!(
            out,
            "\n## {} ({need})\n\n{}\n\n| column | takes | example | meaning |\n| --- | --- | --- | --- |\n",
            table.shape.name, table.shape.doc
        );
        for field in &table.shape.fields {
            let cell = |text: &str| text.replace('|', "\\|");
            let blank = if field.required { "" } else { ", or blank" };
            let _ =
                writeln!(out, "| {} | {}{blank} | {} | {} |", field.key, cell(&field.kind.name()), cell(field.example()), cell(field.doc));
        }
    }
    out
}
