//! Published checks of network words: every row of `tests/published/words.csv` names its source and how it is known; none of them came out
//! of our own code.
#![allow(
    clippy::disallowed_methods,
    clippy::expect_used,
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test reads its own data file and stops at the first broken row"
)]

use plant::choice::Choice;
use plant::network::{
    BitMeaning as M, ByteOrder, DataWord, Direction, FullScale, LossAction, ReferenceUnit, Scale, Signedness, WordMeaning, WordOrder,
};
use plant::quantity::Frequency;
use transfer::words::bytes::{handed, joined, registers};
use transfer::words::drive::{Behaviour, Drive};
use transfer::words::profiles::{cia402, cip_basic, cip_extended, modbus, profidrive1, state402};
use transfer::words::scale::{Settings, counted, value};

fn settings(full_scale: f64) -> Settings {
    let full_scale = Frequency::hz(full_scale);
    Settings { full_scale, highest: Frequency::hz(400.0), unit: ReferenceUnit::Hertz, poles: 4.0 }
}

fn hex(text: &str) -> u32 {
    u32::from_str_radix(text.trim_start_matches("0x"), 16).unwrap_or_else(|e| panic!("{text}: {e}"))
}

fn name402(bit: M) -> &'static str {
    match bit {
        M::ReadyToSwitchOn => "Ready to switch on",
        M::SwitchedOn => "Switched on",
        M::Faulted => "Fault",
        M::VoltageEnabled => "Voltage enabled",
        M::Disabled => "Switch on disabled",
        M::Warning => "Warning",
        M::NetworkControl => "Remote",
        M::AtSpeed => "Target reached",
        M::LimitActive => "Internal limit active",
        _ => "",
    }
}

/// The state after one command from a state, by the simulated drive.
fn command402(command: u32, from: &str) -> &'static str {
    let layout = cia402();
    let behaviour = Behaviour { settings: settings(60.0), ramp: 1e6, loss: LossAction::Trip, timeout: 1.0 };
    let mut drive = Drive::new(&layout, behaviour);
    let state = |drive: &Drive<'_>| state402(u16::try_from(drive.report()[2]).expect("16 bits")).expect("a state");
    for command in [0x06, 0x07, 0x0F] {
        if state(&drive) == from {
            break;
        }
        drive.obey(&[command, 0, 0, 0], 0.1);
    }
    if from == "Fault" {
        drive.trip(0x2310);
        drive.obey(&[0, 0, 0, 0], 0.1);
    }
    assert_eq!(state(&drive), from);
    // A ramp to standstill takes a scan of its own.
    drive.obey(&[command, 0, 0, 0], 0.1);
    drive.obey(&[command, 0, 0, 0], 0.1);
    state(&drive)
}

#[test]
fn every_published_row_comes_out() {
    let text = std::fs::read_to_string(std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/published/words.csv")).expect("there");
    let mut rows = csv::Reader::from_reader(text.as_bytes());
    let mut count = 0;
    for row in rows.records() {
        let row = row.expect("a row");
        let [id, subject, input, expected, _, source, how] = [0, 1, 2, 3, 4, 5, 6].map(|i| row.get(i).unwrap_or_default());
        assert!(!source.is_empty() && !how.is_empty(), "{id}: where is it from?");
        count += 1;
        match subject {
            "state402" => assert_eq!(state402(u16::try_from(hex(input)).expect("16 bits")), Some(expected), "{id}"),
            "mask402" => {
                let (mask, pattern) = expected.split_once(' ').expect("two numbers");
                for status in 0..=u16::MAX {
                    assert_eq!(state402(status) == Some(input), u32::from(status) & hex(mask) == hex(pattern), "{id}: {status:#06x}");
                }
            }
            "bit402" => {
                let layout = cia402();
                let at: u8 = input.parse().expect("a place");
                let (_, word) = layout.word(WordMeaning::Status).expect("there");
                let bit = word.bits.iter().find(|b| b.at == at).unwrap_or_else(|| panic!("{id}: no bit {at}"));
                assert_eq!(name402(bit.meaning), expected, "{id}");
            }
            "command402" => {
                let (command, from) = input.split_once(" from ").expect("command and state");
                assert_eq!(command402(hex(command), from), expected, "{id}");
            }
            "N2" => {
                let layout = profidrive1();
                let (_, word) = layout.word(WordMeaning::SpeedSetpoint).expect("there");
                let percent: f64 = input.parse().expect("a number");
                let raw = counted(word, percent, &settings(100.0)).expect("a speed").raw;
                assert!((word.count(raw) - word.count(hex(expected))).abs() <= 1, "{id}: {raw:#x}");
                assert!(value(word, hex(expected), &settings(100.0)).is_some_and(|v| (v - percent).abs() < 0.01), "{id}");
            }
            "N4" => {
                let scale = Some(Scale::FullScale { counts: 1_073_741_824.0, of: FullScale::ReferenceFrequency });
                let plain = DataWord::plain("n", Direction::ToDrive, 1, WordMeaning::SpeedSetpoint);
                let word = DataWord { width: 32, signed: Signedness::Signed, scale, ..plain };
                assert_eq!(counted(&word, 100.0, &settings(100.0)).map(|c| c.raw), Some(hex(expected)), "{id}");
            }
            order if order.starts_with("float-") => {
                let number: f32 = input.parse().unwrap_or_else(|e| panic!("{id}: {e}"));
                let (words, bytes) = match order {
                    "float-ABCD" => (WordOrder::HighFirst, ByteOrder::HighFirst),
                    "float-CDAB" => (WordOrder::LowFirst, ByteOrder::HighFirst),
                    "float-BADC" => (WordOrder::HighFirst, ByteOrder::LowFirst),
                    "float-DCBA" => (WordOrder::LowFirst, ByteOrder::LowFirst),
                    other => panic!("{id}: {other}"),
                };
                let pair = registers(number.to_bits(), words, bytes);
                assert_eq!(format!("{:04x} {:04x}", pair[0], pair[1]), expected, "{id}");
                assert_eq!(joined(pair, words, bytes), number.to_bits(), "{id}");
            }
            "full-scale-32767" => {
                let (full, counts) = input.split_once(" Hz, ").expect("setting and counts");
                let scale = Some(Scale::FullScale { counts: 32_767.0, of: FullScale::MaximumFrequency });
                let word = DataWord { scale, ..DataWord::plain("n", Direction::ToDrive, 1, WordMeaning::SpeedSetpoint) };
                let hertz = value(&word, counts.parse().expect("counts"), &settings(full.parse().expect("Hz"))).expect("a speed");
                assert!((hertz - expected.parse::<f64>().expect("Hz")).abs() <= 1e-4, "{id}: {hertz}");
            }
            "wire-modbus" => {
                // What a master takes from a frame is the number again, and its first byte the more significant one.
                let layout = modbus();
                let word = DataWord::plain("n", Direction::ToDrive, 1, WordMeaning::Padding);
                let [number, _] = handed(&layout, &word, hex(input));
                let [first, second] = number.to_be_bytes();
                assert_eq!(format!("{first:02x} {second:02x}"), expected, "{id}");
                assert!(!layout.turns_bytes(&word), "{id}");
            }
            "telegram1" => {
                let layout = profidrive1();
                let names = |d| layout.words(d).map(|(_, w)| w.name.as_str()).collect::<Vec<_>>().join(",");
                assert_eq!(format!("{} / {}", names(Direction::ToDrive), names(Direction::FromDrive)), expected, "{id}");
                assert_eq!(format!("{}/{}", layout.length(Direction::ToDrive), layout.length(Direction::FromDrive)), input, "{id}");
            }
            assembly if assembly.starts_with("assembly-") => {
                let layout = if assembly == "assembly-20" { cip_basic() } else { cip_extended() };
                let direction = if input == "to-drive" { Direction::ToDrive } else { Direction::FromDrive };
                assert_eq!(layout.length(direction), 2, "{id}: 4 bytes");
                let (_, word) = layout.words(direction).find(|(_, w)| !w.bits.is_empty()).expect("there");
                let bits: Vec<String> = word.bits.iter().map(|b| format!("{} {}", b.at, b.meaning.word())).collect();
                assert_eq!(bits.join(", "), expected, "{id}");
            }
            "engineering-unit" => {
                let scale = Some(Scale::BySetting { hertz: 1.0, rpm: 1.0 });
                let word = DataWord { scale, ..DataWord::plain("n", Direction::ToDrive, 1, WordMeaning::SpeedSetpoint) };
                let at = |unit| value(&word, input.parse().expect("counts"), &Settings { unit, ..settings(60.0) }).expect("a speed");
                // Four poles: n = 120·f/p = 30·f.
                assert_eq!(format!("{} Hz / {:.0} rpm", at(ReferenceUnit::Hertz), at(ReferenceUnit::Rpm) * 30.0), expected, "{id}");
            }
            other => panic!("{id}: nobody knows what “{other}” is"),
        }
    }
    assert!(count >= 60, "{count} rows");
}
