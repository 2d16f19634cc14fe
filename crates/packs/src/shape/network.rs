//! The columns of the network tables of a pack, and the `[network]` keys of a position that are no facts.

use plant::choice::Choice;
use plant::network::{
    Addressing, BitMeaning, ByteOrder, Direction, FaultMeaning, FullScale, LineFrame, LineSpeed, LossAction, Protocol, ScaleKind, Sense,
    Sequence, Signedness, Trigger, WordMeaning, WordOrder, WriteMethod,
};
use plant::quantity::dim::{FrequencyDim, TimeDim};

use super::tables::{TableShape, table_shape};
use super::{Field, Kind, Shape};

pub(super) fn layouts() -> TableShape {
    table_shape! { "layouts" false "Layouts of network words: what is the same for all words of one." &["layout"];
        Field::need("layout", Kind::Name, "Its name.", "basic"),
        Field::need("protocol", Kind::Word(Protocol::INFO), "What carries the words.", ""),
        Field::need("sequence", Kind::Word(Sequence::INFO), "Order of commands that leads from stopped to running.", ""),
        Field::may("addressing", Kind::Word(Addressing::INFO), "How the documents count register numbers.", ""),
        Field::may("word_order", Kind::Word(WordOrder::INFO), "Order of the two words of a 32-bit value.", ""),
        Field::may("byte_order", Kind::Word(ByteOrder::INFO), "Order of the two bytes of a word.", ""),
        Field::may("loss_actions", Kind::Words(LossAction::INFO), "What it can be set to do when its controller falls silent.", "trip | ramp-stop"),
        Field::may("longest_timeout", Kind::quantity::<TimeDim>(0.001, 3600.0), "Longest time that it can be set to wait for its controller.", "10 s"),
        Field::may("writes", Kind::Words(WriteMethod::INFO), "Ways of writing registers that it takes.", "single | several"),
        Field::may("stop_always_acts", Kind::Flag, "Whether a stop bit from the network acts although control is local.", "true"),
        Field::may("bauds", Kind::Words(LineSpeed::INFO), "Speeds that its serial line can be set to.", "9600 | 19200"),
        Field::may("frames", Kind::Words(LineFrame::INFO), "Frames of a character that its serial line can be set to.", "8n2 | 8e1"),
        Field::may("answers_within", Kind::quantity::<TimeDim>(0.0, 60.0), "Longest time that it takes to answer a request.", "20 ms"),
        Field::may("update", Kind::quantity::<TimeDim>(0.0, 60.0), "How old a word may grow in it, from the wire to the output and from a measurement to the wire together, filters included.", "15 ms"),
        Field::may("ports", Kind::Whole, "Network ports through which a line can go on; blank without a network of plugs.", "2"),
        Field::may("ring", Kind::Flag, "Whether it can be a station of a ring.", "false"),
    }
}

pub(super) fn words() -> TableShape {
    table_shape! { "words" false "Network words, in the order of the frame." &["layout", "direction", "number"];
        Field::need("layout", Kind::Name, "Layout, as layouts.csv names it.", "basic"),
        Field::need("direction", Kind::Word(Direction::INFO), "Which way it travels, seen from the master.", ""),
        Field::need("number", Kind::Whole, "Register number as printed, or place in the frame from 1.", "101"),
        Field::need("word", Kind::Name, "Its name as printed.", "speed setpoint"),
        Field::need("meaning", Kind::Word(WordMeaning::INFO), "What it carries.", ""),
        Field::need("width", Kind::Whole, "Width in bits: 8, 16 or 32.", "16"),
        Field::need("sign", Kind::Word(Signedness::INFO), "What its number means.", ""),
        Field::may("scale", Kind::Word(ScaleKind::INFO), "How its number stands for a quantity; blank for bits, codes and padding.", "units"),
        Field::may("counts", Kind::Number, "For full-scale: the count that stands for the setting's value.", "32767"),
        Field::may("setting", Kind::Word(FullScale::INFO), "For full-scale: the setting that it stands for.", ""),
        Field::may("step", Kind::AnyQuantity, "For units: one count. For by-setting: one count while the setting says Hz. For float: 1 Hz or 1 rpm.", "0.01 Hz"),
        Field::may("step_rpm", Kind::AnyQuantity, "For by-setting: one count while the setting says rpm.", "1 rpm"),
        Field::may("carries", Kind::Name, "For configurable: the concept of the setting or signal in it.", "acceleration-ramp"),
        Field::may("kept", Kind::Flag, "Whether writing it goes into a memory that wears.", "false"),
    }
}

pub(super) fn bits() -> TableShape {
    table_shape! { "bits" false "Bits of command and status words." &["layout", "direction", "number", "bit"];
        Field::need("layout", Kind::Name, "Layout, as layouts.csv names it.", "basic"),
        Field::need("direction", Kind::Word(Direction::INFO), "Direction of its word.", ""),
        Field::need("number", Kind::Whole, "Number of its word, as words.csv has it.", "101"),
        Field::need("bit", Kind::Number, "Place of the bit, from 0 at the least significant end.", "0"),
        Field::need("meaning", Kind::Word(BitMeaning::INFO), "What it demands or says.", ""),
        Field::need("sense", Kind::Word(Sense::INFO), "Which state says so.", ""),
        Field::need("trigger", Kind::Word(Trigger::INFO), "Whether it counts by standing or by coming.", ""),
        Field::may("band", Kind::quantity::<FrequencyDim>(0.0, 100.0), "For at-speed and zero-speed: how far the speed may be away.", "0.5 Hz"),
    }
}

pub(super) fn faults() -> TableShape {
    table_shape! { "faults" false "Fault codes." &["code"];
        Field::need("code", Kind::Name, "The number in the fault-code word: 35 or 0x23.", "35"),
        Field::need("meaning", Kind::Word(FaultMeaning::INFO), "What it means.", ""),
        Field::need("text", Kind::Text, "Its text as printed.", "bus voltage high"),
    }
}

/// The keys of `[network]` in a position file that stand beside its facts.
pub(super) fn network_use() -> [Field; 4] {
    [
        Field::may("layout", Kind::Name, "Layout that the old drive uses, as the pack of its series names it.", "basic"),
        Field::may("wanted", Kind::Name, "Layout wanted of the new drive; without it, the best one is taken.", "extended"),
        Field::may("line", Kind::Name, "Name of the network line.", "batching network"),
        Field::may("node", Kind::Whole, "Station address on it.", "12"),
    ]
}
