//! The new settings as a device configuration file after CiA 306 (an INI text; layout from memory, checked with an outside reader):
//! every entry of the load sequence that has an object, a data type and a count. What has none is named in the file's comments.

use std::collections::BTreeMap;
use std::fmt::Write;

use dossier::settings::{Settings, Step};

/// Longest name that the standard lets an object have (from memory).
const LONGEST: usize = 241;
/// Longest line of a comment.
const LINE: usize = 240;

/// The file. Lines end as the standard's examples do, with a line feed alone.
#[must_use]
pub fn dcf(answer: &Settings, maker: &str, date: &str) -> String {
    let mut objects: BTreeMap<u16, BTreeMap<u8, &Step>> = BTreeMap::new();
    let mut left = Vec::new();
    for step in &answer.load_sequence {
        match (step.index, step.subindex, step.data_type, step.count) {
            (Some(index), Some(sub), Some(_), Some(_)) => {
                objects.entry(index).or_default().insert(sub, step);
            }
            _ => left.push(format!("by hand: {} {} = {}", step.id, step.name, step.text)),
        }
    }
    let mut text = String::new();
    section(
        &mut text,
        "FileInfo",
        &[
            ("FileName", "settings.dcf".into()),
            ("FileVersion", "1".into()),
            ("FileRevision", "0".into()),
            ("EDSVersion", "4.0".into()),
            ("Description", clean(&format!("{}: {} to {}", answer.tag, answer.old, answer.new))),
            ("CreationDate", american(date)),
            ("CreationTime", "12:00AM".into()),
            ("CreatedBy", "changeout".into()),
            ("ModificationDate", american(date)),
            ("ModificationTime", "12:00AM".into()),
            ("ModifiedBy", "changeout".into()),
            ("LastEDS", String::new()),
        ],
    );
    section(
        &mut text,
        "DeviceInfo",
        &[
            ("VendorName", clean(maker)),
            ("VendorNumber", "0".into()),
            ("ProductName", clean(&answer.new)),
            ("ProductNumber", "0".into()),
            ("RevisionNumber", "0".into()),
            ("SimpleBootUpMaster", "0".into()),
            ("SimpleBootUpSlave", "1".into()),
            ("Granularity", "0".into()),
            ("DynamicChannelsSupported", "0".into()),
            ("GroupMessaging", "0".into()),
            ("NrOfRXPDO", "0".into()),
            ("NrOfTXPDO", "0".into()),
            ("LSS_Supported", "0".into()),
        ],
    );
    // The standard spells it so.
    section(&mut text, "DeviceComissioning", &[("NodeName", clean(&answer.tag)), ("NetworkName", String::new())]);
    section(&mut text, "MandatoryObjects", &[("SupportedObjects", "0".into())]);
    let (standard, own): (Vec<u16>, Vec<u16>) = objects.keys().partition(|i| !(0x2000..=0x5FFF).contains(*i));
    for (name, list) in [("OptionalObjects", standard), ("ManufacturerObjects", own)] {
        let mut entries = vec![("SupportedObjects".to_owned(), list.len().to_string())];
        entries.extend(list.iter().enumerate().map(|(n, index)| ((n + 1).to_string(), format!("0x{index:04X}"))));
        section(&mut text, name, &entries.iter().map(|(k, v)| (k.as_str(), v.clone())).collect::<Vec<_>>());
    }
    for (index, subs) in &objects {
        if let ([only], Some(step)) = (subs.keys().collect::<Vec<_>>().as_slice(), subs.get(&0)) {
            let _ = only;
            variable(&mut text, &format!("{index:X}"), step);
            continue;
        }
        let last = subs.keys().last().copied().unwrap_or(0);
        section(
            &mut text,
            &format!("{index:X}"),
            &[
                ("ParameterName", format!("settings {index:04X}h")),
                ("ObjectType", "0x9".into()),
                ("SubNumber", (subs.len() + usize::from(!subs.contains_key(&0))).to_string()),
            ],
        );
        if !subs.contains_key(&0) {
            section(
                &mut text,
                &format!("{index:X}sub0"),
                &[
                    ("ParameterName", "highest subindex".into()),
                    ("ObjectType", "0x7".into()),
                    ("DataType", "0x0005".into()),
                    ("AccessType", "ro".into()),
                    ("DefaultValue", format!("0x{last:02X}")),
                    ("PDOMapping", "0".into()),
                ],
            );
        }
        for (sub, step) in subs {
            variable(&mut text, &format!("{index:X}sub{sub:X}"), step);
        }
    }
    let mut lines = vec![
        "Values in the order of the list of objects; the order in which to load them is in load-sequence.csv.".to_owned(),
        "Only what differs from the new unit's defaults.".to_owned(),
    ];
    lines.extend(left);
    let mut entries = vec![("Lines".to_owned(), lines.len().to_string())];
    entries.extend(lines.iter().enumerate().map(|(n, line)| (format!("Line{}", n + 1), clean(line).chars().take(LINE).collect())));
    section(&mut text, "Comments", &entries.iter().map(|(k, v)| (k.as_str(), v.clone())).collect::<Vec<_>>());
    text
}

fn variable(text: &mut String, name: &str, step: &Step) {
    let title: String = clean(&format!("{} {}", step.id, step.name)).chars().take(LONGEST).collect();
    section(
        text,
        name,
        &[
            ("ParameterName", title),
            ("ObjectType", "0x7".into()),
            ("DataType", format!("0x{:04X}", step.data_type.unwrap_or_default())),
            ("AccessType", "rw".into()),
            ("PDOMapping", "0".into()),
            ("ParameterValue", step.count.unwrap_or_default().to_string()),
        ],
    );
}

fn section(text: &mut String, name: &str, entries: &[(&str, String)]) {
    let _ = writeln!(text, "[{name}]");
    for (key, value) in entries {
        let _ = writeln!(text, "{key}={value}");
    }
    text.push('\n');
}

/// One line of plain letters: the format is ASCII, and a bracket or a line end would be structure.
fn clean(text: &str) -> String {
    text.chars()
        .map(|c| match c {
            '–' | '—' | '−' => '-',
            '’' => '\'',
            '·' | '×' => '*',
            'Ω' => 'R',
            c if c.is_ascii_graphic() || c == ' ' => c,
            _ => '?',
        })
        .collect::<String>()
        .replace(['[', ']', ';', '%'], " ")
        .trim()
        .to_owned()
}

/// Month, day, year, as the standard writes dates; a date that is none stays.
fn american(date: &str) -> String {
    match date.split('-').collect::<Vec<_>>().as_slice() {
        [year, month, day] => format!("{month}-{day}-{year}"),
        _ => clean(date),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn step(id: &str, index: Option<(u16, u8)>, count: Option<i64>) -> Step {
        Step {
            step: 1,
            id: id.into(),
            name: "run-up [time]".into(),
            text: "10.0 s".into(),
            access: "running".into(),
            why: String::new(),
            index: index.map(|i| i.0),
            subindex: index.map(|i| i.1),
            data_type: index.map(|_| 6),
            count,
        }
    }

    #[test]
    fn objects_are_records_and_what_has_none_is_named() {
        let load_sequence =
            vec![step("A", Some((0x2001, 0x0C)), Some(100)), step("B", Some((0x6048, 0)), Some(-5)), step("C", None, Some(1))];
        let text = dcf(&Settings { tag: "T".into(), load_sequence, ..Settings::default() }, "M", "2026-03-05");
        for part in [
            "[2001]\nParameterName=settings 2001h\nObjectType=0x9\nSubNumber=2\n",
            "[2001subC]\nParameterName=A run-up  time\nObjectType=0x7\nDataType=0x0006\nAccessType=rw\nPDOMapping=0\nParameterValue=100\n",
            "[6048]\nParameterName=B run-up  time\nObjectType=0x7\n",
            "[OptionalObjects]\nSupportedObjects=1\n1=0x6048\n",
            "[ManufacturerObjects]\nSupportedObjects=1\n1=0x2001\n",
            "CreationDate=03-05-2026",
            "by hand: C run-up  time  = 10.0 s",
        ] {
            assert!(text.contains(part), "{part}\n{text}");
        }
    }
}
