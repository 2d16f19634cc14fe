//! Layouts of the open profiles, ready-made. Bits and states were looked up or are from memory, as each says; a unit's own documents
//! decide. Names and clause numbers follow the standards.

use plant::fact::Place;
use plant::network::{
    Addressing, Bit, BitMeaning as M, ByteOrder, DataWord, Direction, FullScale, Layout, LossAction, Protocol, Scale, Sequence, Signedness,
    WordMeaning, WordOrder, WriteMethod,
};

/// A profile with its source.
#[derive(Clone, Debug)]
pub struct Profile {
    /// The layout.
    pub layout: Layout,
    /// Where it comes from, and how that is known.
    pub source: &'static str,
}

/// All of them.
#[must_use]
pub fn all() -> Vec<Profile> {
    vec![
        Profile {
            layout: cia402(),
            source: "CiA 402 (IEC 61800-7-201): controlword 6040h, statusword 6041h, velocity mode 6042h and 6044h (bits looked up, velocity-mode bits 4 to 6 from memory)",
        },
        Profile {
            layout: profidrive1(),
            source: "PROFIdrive profile: standard telegram 1, STW1, NSOLL_A, ZSW1, NIST_A (N2 normalisation looked up, bits from memory)",
        },
        Profile { layout: cip_basic(), source: "CIP AC/DC drive profile: assemblies 20 and 70 (from memory)" },
        Profile { layout: cip_extended(), source: "CIP AC/DC drive profile: assemblies 21 and 71 (from memory)" },
        Profile {
            layout: modbus(),
            source: "plain holding registers over Modbus (common practice, no source); Modbus Application Protocol V1.1b3 for the addressing (from memory)",
        },
    ]
}

fn layout(name: &str, protocol: Protocol, sequence: Sequence, words: Vec<DataWord>) -> Layout {
    Layout {
        name: name.to_owned(),
        protocol,
        sequence,
        addressing: None,
        word_order: None,
        byte_order: None,
        loss_actions: Vec::new(),
        longest_timeout: None,
        writes: Vec::new(),
        stop_always_acts: None,
        bauds: Vec::new(),
        frames: Vec::new(),
        answers_within: None,
        update: None,
        ports: None,
        ring: None,
        words,
        place: Place::default(),
    }
}

fn bits(name: &str, direction: Direction, bits: Vec<Bit>) -> DataWord {
    let meaning = if direction == Direction::ToDrive { WordMeaning::Command } else { WordMeaning::Status };
    DataWord { bits, ..DataWord::plain(name, direction, 1, meaning) }
}

fn speed(name: &str, direction: Direction, scale: Scale) -> DataWord {
    let meaning = if direction == Direction::ToDrive { WordMeaning::SpeedSetpoint } else { WordMeaning::SpeedActual };
    DataWord { signed: Signedness::Signed, scale: Some(scale), ..DataWord::plain(name, direction, 2, meaning) }
}

/// CiA 402 in velocity mode: controlword and vl target velocity, statusword and vl velocity actual value; speeds in rpm.
#[must_use]
pub fn cia402() -> Layout {
    use Direction::{FromDrive, ToDrive};
    let control = vec![
        Bit::high(0, M::SwitchOn),
        Bit::high(1, M::Coast).low(),
        Bit::high(2, M::QuickStop).low(),
        Bit::high(3, M::EnableOperation),
        Bit::high(4, M::RampOutput),
        Bit::high(5, M::RampRun),
        Bit::high(6, M::RampInput),
        Bit::high(7, M::FaultReset).edge(),
        Bit::high(8, M::Halt),
    ];
    let status = vec![
        Bit::high(0, M::ReadyToSwitchOn),
        Bit::high(1, M::SwitchedOn),
        Bit::high(2, M::Run),
        Bit::high(3, M::Faulted),
        Bit::high(4, M::VoltageEnabled),
        Bit::high(5, M::QuickStop).low(),
        Bit::high(6, M::Disabled),
        Bit::high(7, M::Warning),
        Bit::high(9, M::NetworkControl),
        Bit::high(10, M::AtSpeed),
        Bit::high(11, M::LimitActive),
    ];
    Layout {
        byte_order: Some(ByteOrder::LowFirst),
        ..layout(
            "CiA 402 velocity",
            Protocol::CanOpen,
            Sequence::States,
            vec![
                bits("controlword", ToDrive, control),
                speed("vl target velocity", ToDrive, Scale::Rpm(1.0)),
                bits("statusword", FromDrive, status),
                speed("vl velocity actual value", FromDrive, Scale::Rpm(1.0)),
            ],
        )
    }
}

/// PROFIdrive standard telegram 1: STW1 and NSOLL_A, ZSW1 and NIST_A; 4000h is 100 %.
#[must_use]
pub fn profidrive1() -> Layout {
    use Direction::{FromDrive, ToDrive};
    let n2 = Scale::FullScale { counts: 16_384.0, of: FullScale::ReferenceFrequency };
    let control = vec![
        Bit::high(0, M::Run),
        Bit::high(1, M::Coast).low(),
        Bit::high(2, M::QuickStop).low(),
        Bit::high(3, M::EnableOperation),
        Bit::high(4, M::RampOutput),
        Bit::high(5, M::RampRun),
        Bit::high(6, M::RampInput),
        Bit::high(7, M::FaultReset).edge(),
        Bit::high(10, M::NetworkControl),
    ];
    let status = vec![
        Bit::high(0, M::ReadyToSwitchOn),
        Bit::high(1, M::SwitchedOn),
        Bit::high(2, M::Run),
        Bit::high(3, M::Faulted),
        Bit::high(4, M::Coast).low(),
        Bit::high(5, M::QuickStop).low(),
        Bit::high(6, M::Disabled),
        Bit::high(7, M::Warning),
        Bit::high(8, M::AtSpeed),
        Bit::high(9, M::NetworkControl),
    ];
    Layout {
        byte_order: Some(ByteOrder::HighFirst),
        ..layout(
            "standard telegram 1",
            Protocol::Profidrive,
            Sequence::OnOff,
            vec![
                bits("STW1", ToDrive, control),
                speed("NSOLL_A", ToDrive, n2),
                bits("ZSW1", FromDrive, status),
                speed("NIST_A", FromDrive, n2),
            ],
        )
    }
}

/// CIP assemblies 20 and 70: run forward, fault reset, speed in rpm (speed scale 0).
#[must_use]
pub fn cip_basic() -> Layout {
    use Direction::{FromDrive, ToDrive};
    Layout {
        byte_order: Some(ByteOrder::LowFirst),
        ..layout(
            "CIP basic speed",
            Protocol::Cip,
            Sequence::Level,
            vec![
                bits("control", ToDrive, vec![Bit::high(0, M::Run), Bit::high(2, M::FaultReset).edge()]),
                speed("speed reference", ToDrive, Scale::Rpm(1.0)),
                bits("state", FromDrive, vec![Bit::high(0, M::Faulted), Bit::high(2, M::Run)]),
                speed("speed actual", FromDrive, Scale::Rpm(1.0)),
            ],
        )
    }
}

/// CIP assemblies 21 and 71: both directions, control and reference from the network.
#[must_use]
pub fn cip_extended() -> Layout {
    use Direction::{FromDrive, ToDrive};
    let control = vec![
        Bit::high(0, M::Run),
        Bit::high(1, M::RunReverse),
        Bit::high(2, M::FaultReset).edge(),
        Bit::high(5, M::NetworkControl),
        Bit::high(6, M::NetworkReference),
    ];
    let status = vec![
        Bit::high(0, M::Faulted),
        Bit::high(1, M::Warning),
        Bit::high(2, M::Run),
        Bit::high(3, M::RunReverse),
        Bit::high(4, M::Ready),
        Bit::high(5, M::NetworkControl),
        Bit::high(6, M::NetworkReference),
        Bit::high(7, M::AtSpeed),
    ];
    Layout {
        byte_order: Some(ByteOrder::LowFirst),
        ..layout(
            "CIP extended speed",
            Protocol::Cip,
            Sequence::Level,
            vec![
                bits("control", ToDrive, control),
                speed("speed reference", ToDrive, Scale::Rpm(1.0)),
                bits("state", FromDrive, status),
                speed("speed actual", FromDrive, Scale::Rpm(1.0)),
            ],
        )
    }
}

/// Plain Modbus holding registers: a command, a frequency in 0.01 Hz; a status, a frequency, a current in 0.1 A.
#[must_use]
pub fn modbus() -> Layout {
    use Direction::{FromDrive, ToDrive};
    let unsigned = |word: DataWord, number| DataWord { signed: Signedness::Unsigned, number, ..word };
    let control = vec![Bit::high(0, M::Run), Bit::high(1, M::Reverse), Bit::high(3, M::FaultReset)];
    let status = vec![Bit::high(0, M::Run), Bit::high(1, M::Reverse), Bit::high(2, M::AtSpeed), Bit::high(3, M::Faulted)];
    let current = DataWord { scale: Some(Scale::Ampere(0.1)), ..DataWord::plain("current", FromDrive, 5, WordMeaning::CurrentActual) };
    Layout {
        addressing: Some(Addressing::One),
        word_order: Some(WordOrder::HighFirst),
        byte_order: Some(ByteOrder::HighFirst),
        loss_actions: vec![LossAction::Trip, LossAction::RampStop],
        writes: vec![WriteMethod::Single, WriteMethod::Several],
        ..layout(
            "plain registers",
            Protocol::ModbusRtu,
            Sequence::Level,
            vec![
                bits("command", ToDrive, control),
                unsigned(speed("frequency setpoint", ToDrive, Scale::Hertz(0.01)), 2),
                DataWord { number: 3, ..bits("status", FromDrive, status) },
                unsigned(speed("output frequency", FromDrive, Scale::Hertz(0.01)), 4),
                current,
            ],
        )
    }
}

/// State of a CiA 402 statusword by the masks of the profile (IEC 61800-7-201, looked up); `None` for a pattern of no state.
///
/// ```
/// use transfer::words::profiles::state402;
/// assert_eq!(state402(0x0237), Some("Operation enabled"));
/// assert_eq!(state402(0x0218), Some("Fault"));
/// ```
#[must_use]
pub const fn state402(status: u16) -> Option<&'static str> {
    match status & 0x4F {
        0x00 => return Some("Not ready to switch on"),
        0x40 => return Some("Switch on disabled"),
        0x0F => return Some("Fault reaction active"),
        0x08 => return Some("Fault"),
        _ => {}
    }
    match status & 0x6F {
        0x21 => Some("Ready to switch on"),
        0x23 => Some("Switched on"),
        0x27 => Some("Operation enabled"),
        0x07 => Some("Quick stop active"),
        _ => None,
    }
}
