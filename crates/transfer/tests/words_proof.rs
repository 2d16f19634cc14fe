//! The open profiles against each other, and invented layouts that make trouble: each pair is proved whole.
#![allow(clippy::expect_used, clippy::unwrap_used, clippy::panic, reason = "a test may stop at the first broken expectation")]

use plant::network::{
    Bit, BitMeaning as M, DataWord, Direction, FullScale, Layout, ReferenceUnit, Scale, Sequence, Signedness, WordMeaning, WordOrder,
};
use plant::quantity::Frequency;
use transfer::words::pair::Pair;
use transfer::words::profiles;
use transfer::words::proof::prove;
use transfer::words::scale::Settings;

fn settings() -> Settings {
    let sixty = Frequency::hz(60.0);
    Settings { full_scale: sixty, highest: sixty, unit: ReferenceUnit::Hertz, poles: 4.0 }
}

fn pair<'a>(old: &'a Layout, new: &'a Layout) -> Pair<'a> {
    Pair { old, new, old_settings: settings(), new_settings: settings(), old_faults: &[], new_faults: &[] }
}

/// Invented: 16 bits, a full-scale count, bits in odd places, an edge.
fn invented(sequence: Sequence) -> Layout {
    let full = Scale::FullScale { counts: 32_767.0, of: FullScale::MaximumFrequency };
    let start = if sequence == Sequence::Pulses {
        vec![Bit::high(4, M::Start).edge(), Bit::high(5, M::Stop).low()]
    } else {
        vec![Bit::high(4, M::Run), Bit::high(5, M::Stop)]
    };
    let control = [start, vec![Bit::high(6, M::Reverse), Bit::high(9, M::FaultReset).edge(), Bit::high(10, M::Coast)]].concat();
    let status = vec![
        Bit::high(1, M::Ready),
        Bit::high(2, M::Run),
        Bit::high(7, M::Faulted),
        Bit::high(8, M::AtSpeed),
        Bit::high(11, M::ZeroSpeed),
        Bit::high(12, M::Reverse),
    ];
    let word = |name: &str, direction, number, meaning| DataWord::plain(name, direction, number, meaning);
    Layout {
        name: format!("invented {sequence:?}"),
        sequence,
        words: vec![
            DataWord { bits: control, ..word("command", Direction::ToDrive, 1, WordMeaning::Command) },
            DataWord { scale: Some(full), ..word("setpoint", Direction::ToDrive, 2, WordMeaning::SpeedSetpoint) },
            DataWord { bits: status, ..word("status", Direction::FromDrive, 1, WordMeaning::Status) },
            DataWord { scale: Some(full), ..word("speed", Direction::FromDrive, 2, WordMeaning::SpeedActual) },
            DataWord { scale: Some(Scale::Ampere(0.1)), ..word("current", Direction::FromDrive, 3, WordMeaning::CurrentActual) },
        ],
        ..profiles::modbus()
    }
}

/// Invented: 32 bits, low word first.
fn wide() -> Layout {
    let mut layout = profiles::modbus();
    layout.name = "invented wide".into();
    layout.word_order = Some(WordOrder::LowFirst);
    layout.sequence = Sequence::Edge;
    for word in &mut layout.words {
        if matches!(word.meaning, WordMeaning::SpeedSetpoint | WordMeaning::SpeedActual) {
            (word.width, word.signed, word.scale) = (32, Signedness::Signed, Some(Scale::Hertz(0.001)));
        }
        if word.meaning == WordMeaning::CurrentActual {
            (word.width, word.scale) = (32, Some(Scale::Ampere(0.001)));
        }
    }
    layout
}

fn float() -> Layout {
    let mut layout = wide();
    layout.name = "invented float".into();
    layout.word_order = Some(WordOrder::HighFirst);
    for word in &mut layout.words {
        if matches!(word.meaning, WordMeaning::SpeedSetpoint | WordMeaning::SpeedActual) {
            word.scale = Some(Scale::FloatRpm);
        }
    }
    layout
}

fn layouts() -> Vec<Layout> {
    let mut all: Vec<Layout> = profiles::all().into_iter().map(|p| p.layout).collect();
    all.extend([Sequence::Level, Sequence::Edge, Sequence::Pulses].map(invented));
    all.extend([wide(), float()]);
    all
}

/// Proves the pairs of the list that are picked by the places of their layouts.
fn prove_those(picked: impl Fn(usize, usize) -> bool) {
    let layouts = layouts();
    let mut told = Vec::new();
    for (i, old) in layouts.iter().enumerate() {
        for (_, new) in layouts.iter().enumerate().filter(|(j, _)| picked(i, *j)) {
            match prove(&pair(old, new)) {
                Ok(proof) if proof.mismatches > 0 || proof.wraps > 0 => told.push(format!(
                    "{} → {}: {} of {} differ, {} numbers did not fit\n  {}",
                    old.name,
                    new.name,
                    proof.mismatches,
                    proof.values_tested,
                    proof.wraps,
                    proof.examples.join("\n  ")
                )),
                Ok(_) => {}
                Err(no) => told.push(format!("{} → {}: {no:?}", old.name, new.name)),
            }
        }
    }
    assert!(told.is_empty(), "{}", told.join("\n"));
}

#[test]
fn every_fifth_pair_of_layouts_agrees_in_every_value() {
    // Each layout as the old and as the new one of two partners.
    prove_those(|i, j| (3 * i + 2 * j) % 5 == 0);
}

#[test]
#[ignore = "takes a minute: all hundred pairs"]
fn every_pair_of_layouts_agrees_in_every_value() {
    prove_those(|_, _| true);
}
