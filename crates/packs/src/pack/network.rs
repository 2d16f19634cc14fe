//! Network layouts and fault codes of a pack: what their rows build, and what must agree among them.

use std::collections::HashMap;

use plant::network::{
    Bit, BitMeaning, DataWord, Direction, FaultCode, FullScale, Layout, Scale, ScaleKind, Sense, Signedness, Trigger, WordMeaning,
};
use plant::quantity::dim::{CurrentDim, FrequencyDim, RatioDim, SpeedDim};
use plant::quantity::{Dimension, DimensionInfo, Frequency, Speed};

use super::Table;
use super::checks::named;
use crate::problem::{Sink, Wrong};
use crate::record::Record;
use crate::text::number;

type Rows<'r, 's> = Option<(&'r [Record], &'r Sink<'s>)>;

/// Builds the layouts from their three tables.
pub(super) fn layouts(layouts: Rows<'_, '_>, words: Rows<'_, '_>, bits: Rows<'_, '_>) -> Vec<Layout> {
    let Some((rows, sink)) = layouts else { return Vec::new() };
    let of = |rows: Rows<'_, '_>, name: &str| -> Vec<Record> {
        rows.map(|(r, _)| r.iter().filter(|r| r.text("layout") == Some(name)).cloned().collect()).unwrap_or_default()
    };
    rows.iter()
        .filter_map(|row| {
            let name = row.string("layout")?;
            let bits = of(bits, &name);
            let words = of(words, &name).iter().filter_map(|r| word(r, &bits)).collect();
            Some(Layout {
                protocol: row.word("protocol")?,
                sequence: row.word("sequence")?,
                addressing: row.word("addressing"),
                word_order: row.word("word_order"),
                byte_order: row.word("byte_order"),
                loss_actions: row.words("loss_actions").unwrap_or_default(),
                longest_timeout: row.quantity("longest_timeout"),
                writes: row.words("writes").unwrap_or_default(),
                stop_always_acts: row.flag("stop_always_acts"),
                bauds: row.words("bauds").unwrap_or_default(),
                frames: row.words("frames").unwrap_or_default(),
                answers_within: row.quantity("answers_within"),
                update: row.quantity("update"),
                ports: row.whole("ports").and_then(|n| u32::try_from(n).ok()),
                ring: row.flag("ring"),
                words,
                place: sink.place(row.at),
                name,
            })
        })
        .collect()
}

fn word(row: &Record, bits: &[Record]) -> Option<DataWord> {
    let (direction, number) = (row.word::<Direction>("direction")?, row.whole("number")?);
    Some(DataWord {
        name: row.string("word")?,
        direction,
        number: u32::try_from(number).ok()?,
        width: u8::try_from(row.whole("width")?).ok()?,
        signed: row.word::<Signedness>("sign")?,
        meaning: row.word("meaning")?,
        scale: scale(row).ok()?,
        bits: bits
            .iter()
            .filter(|b| b.word::<Direction>("direction") == Some(direction) && b.whole("number") == Some(number))
            .filter_map(bit)
            .collect(),
        carries: row.string("carries"),
        kept: row.flag("kept"),
    })
}

fn bit(row: &Record) -> Option<Bit> {
    Some(Bit {
        at: place(row)?,
        meaning: row.word::<BitMeaning>("meaning")?,
        sense: row.word::<Sense>("sense")?,
        trigger: row.word::<Trigger>("trigger")?,
        band: row.quantity("band"),
    })
}

/// Place of a bit; `None` when the number is none.
fn place(row: &Record) -> Option<u8> {
    let value = row.number("bit")?;
    (0..32).find(|at| (f64::from(*at) - value).abs() < f64::EPSILON)
}

/// Builds a fault code.
pub(super) fn fault(row: &Record, sink: &Sink<'_>) -> Option<FaultCode> {
    Some(FaultCode { code: code(row.text("code")?)?, meaning: row.word("meaning")?, text: row.string("text")?, place: sink.place(row.at) })
}

fn code(text: &str) -> Option<u32> {
    match text.strip_prefix("0x").or_else(|| text.strip_prefix("0X")) {
        Some(hex) => u32::from_str_radix(hex, 16).ok(),
        None => text.parse().ok(),
    }
}

/// Reads one count's amount in the first dimension that takes its unit.
fn step(row: &Record, key: &str, kinds: &[&'static DimensionInfo]) -> Result<(usize, f64), Wrong> {
    let Some(text) = row.text(key) else {
        return Err(Wrong::new(format!("{key}: this cell is blank, but the scale needs it"), "write one count: 0.01 Hz, 1 rpm"));
    };
    let found = kinds.iter().enumerate().find_map(|(at, info)| number(text, info).ok().map(|value| (at, value)));
    let names: Vec<&str> = kinds.iter().map(|k| k.name).collect();
    match found {
        Some((at, value)) if value > 0.0 && value.is_finite() => Ok((at, value)),
        Some(_) => Err(Wrong::new(format!("{key}: “{text}” is not above zero"), "a count stands for something")),
        None => Err(Wrong::new(format!("{key}: “{text}” is no {}", names.join(", no ")), "write one count: 0.01 Hz, 1 rpm, 0.1 A, 0.1 %")),
    }
}

/// The scale of a word, by its columns.
fn scale(row: &Record) -> Result<Option<Scale>, Wrong> {
    let Some(kind) = row.word::<ScaleKind>("scale") else { return Ok(None) };
    let speed: &[&DimensionInfo] = &[FrequencyDim::INFO, SpeedDim::INFO];
    let by_meaning: &[&DimensionInfo] = match row.word::<WordMeaning>("meaning") {
        Some(WordMeaning::CurrentActual) => &[CurrentDim::INFO],
        Some(WordMeaning::TorqueActual) => &[RatioDim::INFO],
        _ => speed,
    };
    let is_speed = by_meaning.len() == speed.len();
    let only_speed = |what: &str| Wrong::new(format!("scale: {what} is for speeds"), "write “units” with one count in step");
    Ok(Some(match kind {
        ScaleKind::FullScaleCount => {
            if !is_speed {
                return Err(only_speed("full-scale"));
            }
            let counts = row.number("counts").filter(|c| *c >= 1.0);
            let of = row.word::<FullScale>("setting");
            let (Some(counts), Some(of)) = (counts, of) else {
                return Err(Wrong::new(
                    "scale: full-scale needs counts (from 1) and setting",
                    "write the count and the setting that it stands for",
                ));
            };
            Scale::FullScale { counts, of }
        }
        ScaleKind::Units => match step(row, "step", by_meaning)? {
            (0, value) if is_speed => Scale::Hertz(value),
            (_, value) if is_speed => Scale::Rpm(Speed::si(value).in_rpm()),
            (_, value) if by_meaning[0] == CurrentDim::INFO => Scale::Ampere(value),
            (_, value) => Scale::Share(value),
        },
        ScaleKind::BySetting => {
            if !is_speed {
                return Err(only_speed("by-setting"));
            }
            let (_, hertz) = step(row, "step", &[FrequencyDim::INFO])?;
            let (_, rpm) = step(row, "step_rpm", &[SpeedDim::INFO])?;
            Scale::BySetting { hertz: Frequency::si(hertz).in_hz(), rpm: Speed::si(rpm).in_rpm() }
        }
        ScaleKind::Float => {
            if !is_speed {
                return Err(only_speed("float"));
            }
            if row.whole("width") != Some(32) {
                return Err(Wrong::new("width: IEEE 754 single precision has 32 bits", "write 32"));
            }
            match step(row, "step", speed)? {
                (0, _) => Scale::FloatHertz,
                _ => Scale::FloatRpm,
            }
        }
    }))
}

/// `words.csv` alone.
pub(super) fn words(table: &mut Table<'_>) {
    let Table { sink, rows, .. } = table;
    for row in rows.iter() {
        if row.whole("width").is_some_and(|w| !matches!(w, 8 | 16 | 32)) {
            sink.error(row.at("width"), "width: words have 8, 16 or 32 bits", "");
        }
        if let Err(wrong) = scale(row) {
            sink.error(row.at("scale"), wrong.message, wrong.help);
        }
        let Some(meaning) = row.word::<WordMeaning>("meaning") else { continue };
        let number = matches!(
            meaning,
            WordMeaning::SpeedSetpoint | WordMeaning::SpeedActual | WordMeaning::CurrentActual | WordMeaning::TorqueActual
        );
        if number && row.cell("scale").is_none() {
            sink.error(row.at("meaning"), "scale: this cell is blank, but the word carries a quantity", "say what its counts stand for");
        }
        if let Some(direction) = row.word::<Direction>("direction") {
            let to_drive = matches!(meaning, WordMeaning::Command | WordMeaning::SpeedSetpoint);
            if (to_drive && direction == Direction::FromDrive) || (meaning == WordMeaning::Status && direction == Direction::ToDrive) {
                sink.error(row.at("direction"), "direction: this meaning travels the other way", "directions are seen from the master");
            }
        }
        match (meaning, row.text("carries")) {
            (WordMeaning::Configurable, None) => {
                sink.error(
                    row.at("meaning"),
                    "carries: this cell is blank, but the word is configurable",
                    "name the concept that rides in it",
                );
            }
            (_, Some(concept)) if plant::vocabulary::find(concept).is_none() => {
                let ids = plant::vocabulary::concepts().map(|c| c.id);
                sink.error(row.at("carries"), format!("carries: “{concept}” is no concept"), crate::problem::did_you_mean(concept, ids));
            }
            _ => {}
        }
    }
}

/// `bits.csv` against `words.csv`.
pub(super) fn bits(tables: &mut [Table<'_>]) {
    let Some(list) = named(tables, "words") else { return };
    if list.gaps {
        return;
    }
    let mut widths: HashMap<(String, Direction, usize), usize> = HashMap::new();
    for row in &list.rows {
        if let (Some(layout), Some(direction), Some(number)) = (row.string("layout"), row.word("direction"), row.whole("number")) {
            widths.insert((layout, direction, number), row.whole("width").unwrap_or(32));
        }
    }
    let Some(Table { sink, rows, .. }) = named(tables, "bits") else { return };
    for row in rows.iter() {
        let (Some(layout), Some(direction), Some(number)) = (row.string("layout"), row.word::<Direction>("direction"), row.whole("number"))
        else {
            continue;
        };
        let Some(width) = widths.get(&(layout, direction, number)) else {
            sink.error(row.at("number"), format!("number: words.csv has no word {number} of this layout and direction"), "name a word");
            continue;
        };
        match place(row) {
            Some(at) if usize::from(at) >= *width => {
                sink.error(row.at("bit"), format!("bit: its word has {width} bits"), format!("count from 0 to {}", width - 1));
            }
            None if row.cell("bit").is_some() => sink.error(row.at("bit"), "bit: this is no place in a word", "count from 0"),
            _ => {}
        }
        if let Some(meaning) = row.word::<BitMeaning>("meaning")
            && !meaning.fits(direction)
        {
            sink.error(row.at("meaning"), "meaning: a word of this direction cannot say so", "directions are seen from the master");
        }
    }
}

/// `faults.csv` alone.
pub(super) fn faults(table: &mut Table<'_>) {
    let Table { sink, rows, .. } = table;
    for row in rows.iter() {
        if let Some(text) = row.text("code")
            && code(text).is_none()
        {
            sink.error(row.at("code"), format!("code: “{text}” is no number"), "write 35 or 0x23");
        }
    }
}
