//! The network tables of a pack and the `[network]` table of a position: what they build, and what they refuse.

use packs::read_position;
use plant::network::{
    Addressing, BitMeaning, Direction, FaultMeaning, FullScale, LineFrame, LineSpeed, LossAction, Scale, Sense, Trigger, WordMeaning,
};
use plant::quantity::{Frequency, Time};

use crate::common::{FULL, SPARSE, pack, quellmoor, shown, source};

#[test]
fn a_layout_is_built_from_its_tables() {
    let series = pack(&quellmoor(), "quellmoor-q3").checked().expect("no errors");
    let layout = series.layout("plain").expect("there");
    assert_eq!(
        (layout.addressing, layout.loss_actions.as_slice()),
        (Some(Addressing::LeadingFour), &[LossAction::Trip, LossAction::RampStop][..])
    );
    assert_eq!(
        (layout.bauds.as_slice(), layout.frames.as_slice()),
        (&[LineSpeed::B9600, LineSpeed::B19200][..], &[LineFrame::None2, LineFrame::Even1][..])
    );
    assert_eq!((layout.answers_within, layout.update), (Some(Time::ms(20.0)), Some(Time::ms(15.0))));
    assert_eq!((layout.ports, layout.ring), (Some(2), Some(false)));
    assert_eq!((layout.length(Direction::ToDrive), layout.length(Direction::FromDrive)), (3, 5), "32 bits are two words");
    let (_, setpoint) = layout.word(WordMeaning::SpeedSetpoint).expect("there");
    assert_eq!(setpoint.scale, Some(Scale::FullScale { counts: 16384.0, of: FullScale::ReferenceFrequency }));
    assert_eq!(layout.address(setpoint), Some(101));
    let scales: Vec<_> = layout.words.iter().filter_map(|w| w.scale).skip(1).collect();
    assert_eq!(scales[0], Scale::FloatRpm);
    assert!(
        matches!(scales[1], Scale::Ampere(a) if (a - 0.1).abs() < 1e-12)
            && matches!(scales[2], Scale::Share(s) if (s - 0.001).abs() < 1e-12)
    );
    let (_, coast) = layout.bit(Direction::ToDrive, BitMeaning::Coast).expect("there");
    assert_eq!((coast.at, coast.sense), (1, Sense::Low));
    let (_, reset) = layout.bit(Direction::ToDrive, BitMeaning::FaultReset).expect("there");
    assert_eq!(reset.trigger, Trigger::Edge);
    let (_, at_speed) = layout.bit(Direction::FromDrive, BitMeaning::AtSpeed).expect("there");
    assert_eq!(at_speed.band, Some(Frequency::hz(0.5)));
    let codes: Vec<_> = series.faults.iter().map(|f| (f.code, f.meaning)).collect();
    assert_eq!(codes, [(7, FaultMeaning::OverVoltage), (0x2310, FaultMeaning::OverCurrent)]);
}

#[test]
fn a_position_says_how_its_old_drive_is_used() {
    let file = read_position(&source("positions/KX-7.toml", FULL)).checked().expect("no errors");
    let network = file.position.network.expect("on a network");
    assert_eq!((network.layout.as_deref(), network.wanted, network.node), (Some("telegram 7"), None, Some(12)));
    let sparse = read_position(&source("KX-8.toml", SPARSE)).checked().expect("no errors");
    assert_eq!(sparse.position.network, None);
    let asked = format!("{SPARSE}\n[network]\ntimeout = \"?\"\n");
    assert_eq!(read_position(&source("KX-8.toml", &asked)).checked().expect("no errors").position.network, None, "asked is not known");
    let known = format!("{SPARSE}\n[network]\ntimeout = \"5 s\"\n");
    assert!(read_position(&source("KX-8.toml", &known)).checked().expect("no errors").position.network.is_some());
}

#[test]
fn mistakes_are_told_with_their_column() {
    for (file, from, to, words) in [
        ("words.csv", "unsigned,,,,,,acceleration-ramp", "unsigned,,,,,,aceleration-ramp", "no concept"),
        ("words.csv", "unsigned,,,,,,acceleration-ramp", "unsigned,,,,,,", "carries: this cell is blank"),
        ("words.csv", "full-scale,16384,reference-frequency", "full-scale,,reference-frequency", "needs counts"),
        ("words.csv", "units,,,0.1 A", "units,,,0.1 V", "no electric current"),
        ("words.csv", "units,,,0.1 A", "full-scale,100,base-frequency,", "for speeds"),
        ("words.csv", "speed-actual,32", "speed-actual,16", "32 bits"),
        ("words.csv", "command,16", "command,12", "8, 16 or 32"),
        ("words.csv", "to-drive,40102,setpoint", "from-drive,40102,setpoint", "travels the other way"),
        ("words.csv", "units,,,0.1 %", ",,,", "carries a quantity"),
        ("words.csv", "plain,to-drive,40101", "plane,to-drive,40101", "no layout “plane”"),
        ("bits.csv", "40101,7", "40109,7", "no word 40109"),
        ("bits.csv", "40101,7", "40101,16", "its word has 16 bits"),
        ("bits.csv", "40101,7", "40101,0.5", "no place in a word"),
        ("bits.csv", "fault-reset", "faulted", "cannot say so"),
        ("bits.csv", "fault-reset", "fault-rest", "no meaning of a bit"),
        ("faults.csv", "0x2310", "0x23G0", "is no number"),
        ("layouts.csv", "trip | ramp-stop", "trip | ramp", "no action on loss"),
        ("layouts.csv", "9600 | 19200", "9600 | 19201", "no speed of a serial line"),
        ("layouts.csv", "8n2 | 8e1", "8n2 | 9e1", "no frame of a character"),
    ] {
        let mut files = quellmoor();
        let (_, text) = files.iter_mut().find(|(name, _)| name == file).expect("there");
        assert!(text.contains(from), "{file}: {from}");
        *text = text.replacen(from, to, 1);
        let told = shown(&pack(&files, "quellmoor-q3").problems);
        assert!(told.contains(words), "{file}: {to}: {told}");
    }
}
