//! The open profiles against each other, and invented layouts that make trouble: each pair is proved whole.
#![allow(clippy::expect_used, clippy::unwrap_used, clippy::panic, reason = "a test may stop at the first broken expectation")]

use plant::network::{
    Bit, BitMeaning as M, ByteOrder, DataWord, Direction, FullScale, Layout, ReferenceUnit, Scale, Sequence, Signedness, WordMeaning,
    WordOrder,
};
use plant::quantity::Frequency;
use transfer::words::block::block;
use transfer::words::bytes::handed;
use transfer::words::pair::Pair;
use transfer::words::profiles;
use transfer::words::proof::prove;
use transfer::words::rig::Rig;
use transfer::words::scale::Settings;
use transfer::words::script;

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

/// Orders of words and bytes of a value of 32 bits: ABCD, CDAB, BADC, DCBA.
const ORDERS: [(WordOrder, ByteOrder); 4] = [
    (WordOrder::HighFirst, ByteOrder::HighFirst),
    (WordOrder::LowFirst, ByteOrder::HighFirst),
    (WordOrder::HighFirst, ByteOrder::LowFirst),
    (WordOrder::LowFirst, ByteOrder::LowFirst),
];

fn ordered(mut layout: Layout, (words, bytes): (WordOrder, ByteOrder)) -> Layout {
    (layout.word_order, layout.byte_order) = (Some(words), Some(bytes));
    layout.name = format!("{}, {words:?} {bytes:?}", layout.name);
    layout
}

#[test]
fn layouts_in_all_four_orders_agree_in_every_value() {
    let mut told = Vec::new();
    for (at, order) in ORDERS.into_iter().enumerate() {
        // Each order as the old one and as the new one, against another.
        let other = ORDERS[(at + 2) % 4];
        let sixteen = if at < 2 { profiles::cia402() } else { invented(Sequence::Pulses) };
        let pairs = [(ordered(wide(), order), ordered(float(), other)), (ordered(sixteen, order), ordered(wide(), other))];
        for (old, new) in &pairs {
            let proof = prove(&pair(old, new)).expect("a block");
            if proof.mismatches > 0 || proof.wraps > 0 {
                told.push(format!("{} → {}: {} differ\n  {}", old.name, new.name, proof.mismatches, proof.examples.join("\n  ")));
            }
        }
    }
    assert!(told.is_empty(), "{}", told.join("\n"));
}

#[test]
fn bytes_are_turned_on_the_side_that_sends_them_against_the_habit_of_its_protocol() {
    let plain = profiles::modbus();
    let turned = ordered(profiles::modbus(), ORDERS[2]);
    for (old, new, old_turns, new_turns) in [
        (&plain, &plain, false, false),
        (&turned, &plain, true, false),
        (&plain, &turned, false, true),
        (&turned, &turned, true, true),
        // What is against the habit of Modbus is the habit of CiA 301.
        (&ordered(profiles::cia402(), ORDERS[3]), &ordered(profiles::cia402(), ORDERS[1]), false, true),
    ] {
        let pair = pair(old, new);
        let mut rig = Rig::new(&pair).expect("a block");
        let project = block(&pair).expect("a block");
        let text = format!("{project:?}");
        assert_eq!((text.contains("OLD_COMMAND_TURNED"), text.contains("NEW_STATUS_TURNED")), (old_turns, new_turns));
        // The words that the controller holds: the low byte of the command is the first of the frame where bytes are turned.
        let (_, command) = old.word(WordMeaning::Command).expect("there");
        assert_eq!(handed(old, command, 0x0001)[0], if old_turns { 0x0100 } else { 0x0001 });
        for demands in script::start(old.sequence) {
            for _ in 0..8 {
                rig.scan(&script::words(old, &demands, 30.0, &settings())).expect("it runs");
            }
        }
        assert!((rig.new.output() - 30.0).abs() < 1e-9, "{} → {}: {}", old.name, new.name, rig.new.output());
    }
}
