//! The start of a pack out of an electronic data sheet (CiA 306-1, INI form; sections and keys from memory): every object that a person may
//! set becomes a row of `settings.csv`, still without a meaning. Every mistake of the file at once, by its line.

use std::collections::BTreeMap;
use std::collections::btree_map::Entry;
use std::fmt::Write as _;
use std::ops::Range;

use plant::choice::Choice;
use plant::settings::{Access, DataType};

use crate::problem::{At, Read, Sink};
use crate::source::Source;
use crate::template::{NewFile, new_pack};

/// What a data sheet says of a device, as far as a pack begins with it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Eds {
    /// Its name.
    pub product: String,
    /// What can be set or read.
    pub settings: Vec<EdsSetting>,
    /// Objects of the network itself (below 2000h), which are no settings of the drive.
    pub left_out: usize,
}

/// One object, or one of its parts.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct EdsSetting {
    /// Index and subindex.
    pub object: (u16, u8),
    /// Its name.
    pub text: String,
    /// Its type, where a pack has a word for it.
    pub data_type: Option<DataType>,
    /// Whether it is only read.
    pub read_only: bool,
    /// Lowest, highest and default value, decimal where they are whole numbers.
    pub limits: [String; 3],
}

/// Most objects that are taken from a file.
const MOST: usize = 20_000;
/// The first object that is the maker's or the profile's, not the network's.
const FIRST: u16 = 0x2000;

/// One section: its keys in lower case with their values, and where they stand.
struct Section {
    at: Range<usize>,
    keys: BTreeMap<String, (String, Range<usize>)>,
}

impl Section {
    fn value(&self, key: &str) -> Option<&str> {
        self.keys.get(key).map(|(value, _)| value.as_str()).filter(|v| !v.is_empty())
    }

    fn at(&self, key: &str) -> At {
        At::span(self.keys.get(key).map_or(&self.at, |(_, at)| at))
    }
}

type Sections = BTreeMap<String, Section>;

/// Reads a data sheet.
#[must_use]
pub fn read_eds(source: &Source) -> Read<Eds> {
    let mut sink = Sink::of(source);
    let sections = sections(source, &mut sink);
    let mut eds = Eds::default();
    match sections.get("deviceinfo") {
        Some(info) => info.value("productname").unwrap_or_default().clone_into(&mut eds.product),
        None => sink.error(
            At::File,
            "there is no [DeviceInfo]: this is no electronic data sheet of CiA 306",
            "give the file that came with the unit",
        ),
    }
    listed(&sections, &mut sink);
    for (name, section) in &sections {
        let Some((index, sub)) = object(name) else { continue };
        if index < FIRST {
            eds.left_out += usize::from(sub.is_none());
        } else if let Some(setting) = setting(index, sub, section, &sections, &mut sink) {
            eds.settings.push(setting);
        }
    }
    eds.settings.sort_by_key(|s| s.object);
    if eds.settings.is_empty() {
        sink.error(At::File, "it has no object from 2000h on that could be set", "give the file of the drive, not of its network module");
    }
    if eds.settings.len() > MOST {
        sink.error(At::File, format!("it has {} objects, more than the {MOST} that are taken", eds.settings.len()), "");
        eds.settings.truncate(MOST);
    }
    Read { value: Some(eds), problems: sink.finish() }
}

/// The text cut into sections.
fn sections(source: &Source, sink: &mut Sink<'_>) -> Sections {
    let mut sections = Sections::new();
    let mut open: Option<String> = None;
    let mut start = 0;
    for line in source.text().split_inclusive('\n') {
        let at = start..start + line.trim_end().len();
        start += line.len();
        let line = line.trim().trim_start_matches('\u{feff}');
        if line.is_empty() || line.starts_with([';', '#']) {
            continue;
        }
        if let Some(name) = line.strip_prefix('[') {
            let Some(name) = name.strip_suffix(']').map(|n| n.trim().to_lowercase()) else {
                sink.error(At::span(&at), format!("“{line}” opens no section"), "write [Name], with its closing bracket");
                continue;
            };
            if sections.contains_key(&name) {
                sink.error(At::span(&at), format!("[{name}] stands twice"), "leave one of them");
            }
            sections.entry(name.clone()).or_insert_with(|| Section { at, keys: BTreeMap::new() });
            open = Some(name);
            continue;
        }
        match (line.split_once('='), open.as_ref().and_then(|name| sections.get_mut(name))) {
            (Some((key, value)), Some(section)) => {
                let key = key.trim().to_lowercase();
                match section.keys.entry(key) {
                    Entry::Occupied(own) => {
                        sink.error(At::span(&at), format!("{} stands twice in its section", own.key()), "leave one of them");
                    }
                    Entry::Vacant(free) => {
                        free.insert((value.trim().to_owned(), at));
                    }
                }
            }
            (None, _) => {
                sink.error(At::span(&at), format!("“{line}” is no key with a value"), "write Key=Value, or begin a comment with “;”")
            }
            (Some(_), None) => sink.error(At::span(&at), format!("“{line}” stands before the first section"), "write [Name] above it"),
        }
    }
    sections
}

/// Index and subindex behind a section's name: "2100", "2100sub1".
fn object(name: &str) -> Option<(u16, Option<u8>)> {
    let (index, sub) = match name.split_once("sub") {
        Some((index, sub)) => (index, Some(u8::from_str_radix(sub, 16).ok()?)),
        None => (name, None),
    };
    if index.len() != 4 { None } else { Some((u16::from_str_radix(index, 16).ok()?, sub)) }
}

/// What the lists of objects promise has to be there.
fn listed(sections: &Sections, sink: &mut Sink<'_>) {
    for list in ["mandatoryobjects", "optionalobjects", "manufacturerobjects"] {
        let Some(section) = sections.get(list) else { continue };
        let named = section.keys.iter().filter(|(key, _)| key.bytes().all(|b| b.is_ascii_digit()));
        let mut count = 0;
        for (key, (value, _)) in named {
            count += 1;
            match whole(value).and_then(|v| u16::try_from(v).ok()) {
                None => sink.error(section.at(key), format!("“{value}” is no index"), "write it like 0x2100"),
                Some(index) if !sections.contains_key(&format!("{index:04x}")) => {
                    sink.error(
                        section.at(key),
                        format!("{index:04X}h is listed, but has no section [{index:04X}]"),
                        "the file is cut short or was altered",
                    );
                }
                Some(_) => {}
            }
        }
        if let Some(said) = section.value("supportedobjects").and_then(whole)
            && said != count
        {
            sink.error(
                section.at("supportedobjects"),
                format!("{said} objects are said to be listed, {count} are"),
                "the file is cut short or was altered",
            );
        }
    }
}

fn setting(index: u16, sub: Option<u8>, section: &Section, sections: &Sections, sink: &mut Sink<'_>) -> Option<EdsSetting> {
    let parts = section.value("subnumber").and_then(whole).unwrap_or(0);
    if sub.is_none() && parts > 0 {
        let prefix = format!("{index:04x}sub");
        let there = sections.keys().filter(|name| name.starts_with(&prefix)).count();
        if i64::try_from(there).unwrap_or(i64::MAX) != parts {
            sink.error(
                section.at("subnumber"),
                format!("{index:04X}h is said to have {parts} parts, {there} are there"),
                "the file is cut short or was altered",
            );
        }
        return None;
    }
    // Subindex 0 of an object with parts is their count.
    let compound = sub.is_some() && sections.get(&format!("{index:04x}")).is_some_and(|s| s.value("subnumber").is_some());
    if compound && sub == Some(0) {
        return None;
    }
    let text = section.value("parametername").unwrap_or_default().to_owned();
    if text.is_empty() {
        sink.error(section.at("parametername"), "this object has no ParameterName", "write its name as the documents print it");
    }
    let data_type = data_type(section, sink);
    let read_only = match section.value("accesstype").map(str::to_lowercase).as_deref() {
        Some("ro" | "const") => true,
        Some("rw" | "rww" | "rwr" | "wo") => false,
        Some(other) => {
            sink.error(section.at("accesstype"), format!("“{other}” is no AccessType"), "write ro, wo, rw, rwr, rww or const");
            false
        }
        None => {
            sink.error(section.at("accesstype"), "this object has no AccessType", "write ro, wo, rw, rwr, rww or const");
            false
        }
    };
    let number = |key: &str, sink: &mut Sink<'_>| limit(section, key, data_type, sink);
    let limits = [number("lowlimit", sink), number("highlimit", sink), number("defaultvalue", sink)];
    if let (Ok(low), Ok(high)) = (limits[0].parse::<i64>(), limits[1].parse::<i64>())
        && low > high
    {
        sink.error(
            section.at("highlimit"),
            format!("HighLimit {high} lies below LowLimit {low}"),
            "one of them is wrong, or negative and written without its sign",
        );
    }
    Some(EdsSetting { object: (index, sub.unwrap_or(0)), text, data_type, read_only, limits })
}

fn data_type(section: &Section, sink: &mut Sink<'_>) -> Option<DataType> {
    let Some(text) = section.value("datatype") else {
        sink.error(section.at("datatype"), "this object has no DataType", "write the code of CiA 301, like 0x0006");
        return None;
    };
    match whole(text).and_then(|code| u16::try_from(code).ok()) {
        // Texts, floating numbers and the like are kept as they are, without a word for them.
        Some(code) => DataType::from_code(code),
        None => {
            sink.error(section.at("datatype"), format!("“{text}” is no DataType"), "write the code of CiA 301, like 0x0006");
            None
        }
    }
}

/// A limit or default, decimal where it is a whole number of the object's type.
fn limit(section: &Section, key: &str, data_type: Option<DataType>, sink: &mut Sink<'_>) -> String {
    let Some(text) = section.value(key) else { return String::new() };
    let Some(data_type) = data_type else { return text.to_owned() };
    // What hangs on the node's number is no number yet.
    if text.to_uppercase().contains("$NODEID") {
        return text.to_owned();
    }
    let (low, high) = data_type.range();
    match whole(text) {
        None => sink.error(section.at(key), format!("“{text}” is no whole number"), "write it decimal, or in hexadecimal like 0x1F4"),
        Some(value) => {
            // A negative number may stand as the bits that hold it.
            let value =
                if value > high && low < 0 && value <= high.saturating_mul(2).saturating_add(1) { value - 2 * (high + 1) } else { value };
            if (low..=high).contains(&value) {
                return value.to_string();
            }
            sink.error(section.at(key), format!("{value} does not go into {}", data_type.word()), format!("it holds {low} to {high}"));
        }
    }
    String::new()
}

/// A whole number: decimal, hexadecimal with 0x, octal with a leading nought.
fn whole(text: &str) -> Option<i64> {
    let text = text.trim();
    let (sign, digits) = text.strip_prefix('-').map_or((1, text), |rest| (-1, rest));
    let value = match digits.strip_prefix("0x").or_else(|| digits.strip_prefix("0X")) {
        Some(hex) => i64::from_str_radix(hex, 16).ok()?,
        None if digits.len() > 1 && digits.starts_with('0') => i64::from_str_radix(digits, 8).ok()?,
        None if digits.bytes().all(|b| b.is_ascii_digit()) => digits.parse().ok()?,
        None => return None,
    };
    Some(sign * value)
}

/// The files of a new pack whose settings begin with a data sheet; `file` is its name, for a comment.
#[must_use]
pub fn new_pack_from(series: &str, eds: &Eds, file: &str) -> Vec<NewFile> {
    let mut files = new_pack(series);
    if let Some(table) = files.iter_mut().find(|f| f.path.ends_with("/settings.csv")) {
        let plain = |text: &str| text.chars().filter(|c| !c.is_control()).collect::<String>();
        let mut text = format!(
            "# From {} ({}): {} objects, {} of the network left out. Give each its concept, definition, unit and step; access is\n\
             # “stopped” until the documents say otherwise. Limits and defaults are counts.\n",
            plain(file),
            plain(&eds.product),
            eds.settings.len(),
            eds.left_out
        );
        text += &table.text;
        let columns: Vec<&str> = table.text.trim_end().split(',').collect();
        for setting in &eds.settings {
            let cells: Vec<String> = columns.iter().map(|column| cell(&plain(&value(setting, column)))).collect();
            let _ = writeln!(text, "{}", cells.join(","));
        }
        table.text = text;
    }
    files
}

fn value(setting: &EdsSetting, column: &str) -> String {
    let (index, sub) = setting.object;
    let id = format!("{index:04X}:{sub:02X}");
    match column {
        "setting" | "object" => id,
        "text" => setting.text.clone(),
        "access" => if setting.read_only { Access::ReadOnly } else { Access::Stopped }.word().to_owned(),
        "data_type" => setting.data_type.map_or_else(String::new, |t| t.word().to_owned()),
        "lowest" => setting.limits[0].clone(),
        "highest" => setting.limits[1].clone(),
        "default" => setting.limits[2].clone(),
        _ => String::new(),
    }
}

fn cell(text: &str) -> String {
    if text.contains([',', '"', ';', '#']) { format!("\"{}\"", text.replace('"', "\"\"")) } else { text.to_owned() }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test may stop at the first broken expectation")]

    use super::*;

    /// Invented, in the form of CiA 306.
    const GOOD: &str = "[FileInfo]\nFileName=invented.eds\n\n[DeviceInfo]\nVendorName=Nobody\nProductName=Invented, edition 1\n\n\
        [MandatoryObjects]\nSupportedObjects=1\n1=0x1000\n\n[1000]\nParameterName=Device type\nObjectType=0x7\nDataType=0x0007\nAccessType=ro\n\n\
        [ManufacturerObjects]\nSupportedObjects=2\n1=0x2100\n2=0x2101\n\n\
        [2100]\nParameterName=Ramps\nObjectType=0x8\nSubNumber=3\n\n\
        [2100sub0]\nParameterName=Count\nDataType=0x0005\nAccessType=ro\nDefaultValue=2\n\n\
        [2100sub1]\nParameterName=Time up, first\nDataType=0x0006\nAccessType=rw\nLowLimit=1\nHighLimit=0x2710\nDefaultValue=100\n\n\
        [2100sub2]\nParameterName=Trim\nDataType=0x0003\nAccessType=rww\nLowLimit=0xFFF6\nHighLimit=10\nDefaultValue=-3\n\n\
        [2101]\nParameterName=Bus voltage\nObjectType=0x7\nDataType=0x0008\nAccessType=ro\nDefaultValue=1.5\n";

    fn problems(text: &str) -> Vec<String> {
        read_eds(&Source::new("x.eds", text)).problems.iter().map(|p| format!("{}: {}", p.line, p.message)).collect()
    }

    #[test]
    fn objects_become_settings() {
        let eds = read_eds(&Source::new("x.eds", GOOD)).checked().unwrap();
        assert_eq!((eds.product.as_str(), eds.left_out, eds.settings.len()), ("Invented, edition 1", 1, 3));
        assert_eq!(eds.settings[0].object, (0x2100, 1));
        assert_eq!(eds.settings[0].limits, ["1", "10000", "100"]);
        assert_eq!(eds.settings[1].limits, ["-10", "10", "-3"]);
        assert_eq!((eds.settings[2].data_type, eds.settings[2].read_only), (None, true));
    }

    #[test]
    fn the_pack_that_begins_so_is_read_again() {
        let eds = read_eds(&Source::new("x.eds", GOOD)).checked().unwrap();
        let files = new_pack_from("begun", &eds, "x.eds");
        let table = files.iter().find(|f| f.path == "packs/begun/settings.csv").unwrap();
        let rows: Vec<&str> = table.text.lines().skip(3).collect();
        assert_eq!(rows[0], "2100:01,\"Time up, first\",,,,,,,1,10000,100,stopped,2100:01,u16,");
        assert_eq!(rows[2], "2101:00,Bus voltage,,,,,,,,,1.5,read-only,2101:00,,");
    }

    #[test]
    fn every_mistake_is_told_by_its_line() {
        let text = GOOD
            .replace("ParameterName=Trim", "ParameterName=")
            .replace("AccessType=rww", "AccessType=maybe")
            .replace("HighLimit=0x2710", "HighLimit=70000")
            .replace("2=0x2101", "2=0x2199")
            .replace("SubNumber=3", "SubNumber=9")
            .replace("DefaultValue=-3", "DefaultValue=many");
        let text = format!("loose=1\n{text}\n[2101]\nwhat\n[open\n");
        let found = problems(&text);
        for (line, word) in [
            (1, "before the first"),
            (21, "2199"),
            (25, "9 parts"),
            (38, "70000"),
            (43, "no ParameterName"),
            (45, "AccessType"),
            (48, "no whole number"),
        ] {
            assert!(found.iter().any(|p| p.contains(word)), "{line} {word}: {found:#?}");
        }
        assert!(found.iter().any(|p| p.contains("twice")) && found.iter().any(|p| p.contains("no key")), "{found:#?}");
        assert!(found.iter().any(|p| p.contains("opens no section")), "{found:#?}");
        assert!(found.iter().any(|p| p.starts_with("1: ")), "{found:#?}");
    }

    proptest::proptest! {
        #[test]
        fn any_text_is_read_or_refused(text in "(\\[[0-9a-fsub]{0,8}\\]\n|[A-Za-z=0-9$x;\\-]{0,30}\n){0,30}") {
            let read = read_eds(&Source::new("x.eds", text));
            proptest::prop_assert!(read.value.is_some());
        }
    }
}
