//! A control program as PLCopen XML (TC6, version 2.01), so that a controller's engineering station can import it: the declarations as
//! elements, the statements as structured text. Order of elements after the published schema, against which a test holds it
//! (`tests/second_opinion/program.py`).
//!
//! No configuration, resource or task is written: which task runs the program, and how often, is for whoever knows the controller. The
//! later IEC 61131-10, which grew out of this format, is not written: its schema comes with the standard and is in no package registry, so
//! that nothing would show that what was written is right.

use dossier::program::{Block, Holds, Project, Section, Unit, UnitKind, Variable};

use crate::structured_text::{Unprintable, body, harmless, is_identifier, sections};

/// Who made the file and when. The schema asks for all four.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Made {
    /// Who answers for it.
    pub company: String,
    /// The program that wrote it.
    pub by: String,
    /// Its version.
    pub version: String,
    /// Date, ISO 8601 (`2026-11-25`).
    pub date: String,
}

/// The whole project as one XML file.
///
/// # Errors
/// When the project cannot be printed as structured text, or the date is no date.
pub fn plcopen(project: &Project, made: &Made) -> Result<String, Unprintable> {
    let mut xml = Xml::default();
    let mut problems = Vec::new();
    if !is_date(&made.date) {
        problems.push(format!("the date {} of the file: year, month and day as in 2026-11-25 expected", made.date));
    }
    let spaces = [("xmlns", "http://www.plcopen.org/xml/tc6_0201"), ("xmlns:xhtml", "http://www.w3.org/1999/xhtml")];
    xml.open("project", &spaces);
    let time = format!("{}T00:00:00", made.date);
    let header =
        [("companyName", &*made.company), ("productName", &*made.by), ("productVersion", &*made.version), ("creationDateTime", &*time)];
    xml.empty("fileHeader", &header);
    xml.open("contentHeader", &[("name", &project.name)]);
    if !project.notes.is_empty() {
        xml.text("Comment", &project.notes.iter().map(|n| harmless(n)).collect::<Vec<_>>().join("\n"));
    }
    xml.open("coordinateInfo", &[]);
    for language in ["fbd", "ld", "sfc"] {
        xml.open(language, &[]);
        xml.empty("scaling", &[("x", "1"), ("y", "1")]);
        xml.close(language);
    }
    xml.close("coordinateInfo");
    xml.close("contentHeader");
    xml.open("types", &[]);
    xml.empty("dataTypes", &[]);
    xml.open("pous", &[]);
    for unit in &project.units {
        xml.unit(unit, &mut problems);
    }
    xml.close("pous");
    xml.close("types");
    xml.open("instances", &[]);
    xml.empty("configurations", &[]);
    xml.close("instances");
    xml.close("project");
    if problems.is_empty() { Ok(xml.text) } else { Err(Unprintable { problems }) }
}

/// Whether it looks like a date of the calendar.
fn is_date(text: &str) -> bool {
    let parts: Vec<&str> = text.split('-').collect();
    let [year, month, day] = parts.as_slice() else { return false };
    let number = |part: &str, length: usize| (part.len() == length).then(|| part.parse::<u32>().ok()).flatten();
    let all_digits = text.chars().all(|c| c.is_ascii_digit() || c == '-');
    let (Some(year), Some(month), Some(day)) = (number(year, 4), number(month, 2), number(day, 2)) else { return false };
    let leap = year.is_multiple_of(4) && (!year.is_multiple_of(100) || year.is_multiple_of(400));
    let days = match month {
        4 | 6 | 9 | 11 => 30,
        2 if leap => 29,
        2 => 28,
        _ => 31,
    };
    all_digits && year > 0 && (1..=12).contains(&month) && (1..=days).contains(&day)
}

/// The file as it grows.
struct Xml {
    text: String,
    depth: usize,
}

impl Default for Xml {
    fn default() -> Self {
        Self { text: "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n".to_owned(), depth: 0 }
    }
}

/// Text between tags or in an attribute; what XML cannot hold at all becomes a space.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\n' => out.push('\n'),
            '\u{fffe}' | '\u{ffff}' => out.push(' '),
            c if c.is_control() => out.push(' '),
            c => out.push(c),
        }
    }
    out
}

impl Xml {
    fn tag(&mut self, name: &str, attributes: &[(&str, &str)], end: &str) {
        let mut tag = format!("{}<{name}", "  ".repeat(self.depth));
        for (key, value) in attributes {
            tag.push_str(&format!(" {key}=\"{}\"", escaped(&value.replace('\n', " "))));
        }
        self.text.push_str(&tag);
        self.text.push_str(end);
    }

    fn open(&mut self, name: &str, attributes: &[(&str, &str)]) {
        self.tag(name, attributes, ">\n");
        self.depth += 1;
    }

    fn close(&mut self, name: &str) {
        self.depth -= 1;
        self.text.push_str(&format!("{}</{name}>\n", "  ".repeat(self.depth)));
    }

    fn empty(&mut self, name: &str, attributes: &[(&str, &str)]) {
        self.tag(name, attributes, "/>\n");
    }

    fn text(&mut self, name: &str, text: &str) {
        self.tag(name, &[], ">");
        self.text.push_str(&format!("{}</{name}>\n", escaped(text)));
    }

    /// Text that the schema calls formatted: one element of XHTML.
    fn formatted(&mut self, name: &str, text: &str) {
        self.open(name, &[]);
        self.text("xhtml:p", text);
        self.close(name);
    }

    fn unit(&mut self, unit: &Unit, problems: &mut Vec<String>) {
        let kind = match unit.kind {
            UnitKind::FunctionBlock => "functionBlock",
            UnitKind::Program => "program",
        };
        let mut named = |name: &str| {
            if !is_identifier(name) {
                problems.push(format!("{}: \"{name}\" is no name: letters, digits and _ expected", unit.name));
            }
        };
        named(&unit.name);
        for variable in &unit.variables {
            named(&variable.name);
            if let Holds::Instance(Block::Own(block)) = &variable.holds {
                named(block);
            }
        }
        self.open("pou", &[("name", &unit.name), ("pouType", kind)]);
        self.open("interface", &[]);
        for section in sections(unit) {
            self.section(section);
        }
        self.close("interface");
        self.open("body", &[]);
        match body(unit) {
            Ok(text) => self.formatted("ST", &format!("\n{text}")),
            Err(refused) => problems.extend(refused.problems),
        }
        self.close("body");
        if !unit.notes.is_empty() {
            self.formatted("documentation", &unit.notes.iter().map(|n| harmless(n)).collect::<Vec<_>>().join("\n"));
        }
        self.close("pou");
    }

    fn section(&mut self, variables: &[Variable]) {
        let Some(first) = variables.first() else { return };
        let (name, attributes): (&str, &[(&str, &str)]) = match first.section {
            Section::Input => ("inputVars", &[]),
            Section::Output => ("outputVars", &[]),
            Section::Local => ("localVars", &[]),
            Section::Constant => ("localVars", &[("constant", "true")]),
        };
        self.open(name, attributes);
        for variable in variables {
            self.open("variable", &[("name", &variable.name)]);
            self.open("type", &[]);
            match &variable.holds {
                Holds::Value(kind) => self.empty(kind.keyword(), &[]),
                Holds::Instance(block) => self.empty("derived", &[("name", block.name())]),
            }
            self.close("type");
            if let Some(value) = variable.initial {
                self.open("initialValue", &[]);
                self.empty("simpleValue", &[("value", &crate::structured_text::value(value))]);
                self.close("initialValue");
            }
            if !variable.note.trim().is_empty() {
                self.formatted("documentation", &harmless(variable.note.trim()));
            }
            self.close("variable");
        }
        self.close(name);
    }
}
