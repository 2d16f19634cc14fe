//! Network layouts: words and bits from the master's view, with neutral meaning, scale, and the command sequence that
//! the unit demands. Packs describe their own; the open profiles are ready-made in `transfer::words::profiles`.

mod words;

pub use self::words::{
    Addressing, BitMeaning, ByteOrder, Direction, FaultMeaning, FullScale, LineFrame, LineSpeed, LossAction, NetworkPath, Protocol,
    ReferenceUnit, ScaleKind, Sense, Sequence, Signedness, Trigger, WordMeaning, WordOrder, WriteMethod,
};
use crate::fact::Place;
use crate::quantity::{Frequency, Time};

/// One layout of a series or of an open profile.
#[derive(Clone, Debug, PartialEq)]
pub struct Layout {
    /// Its name: "basic", "standard telegram 1".
    pub name: String,
    /// Protocol that carries it.
    pub protocol: Protocol,
    /// Command sequence that the unit demands.
    pub sequence: Sequence,
    /// How printed register numbers are counted; `None` where the protocol has no registers, or nobody said.
    pub addressing: Option<Addressing>,
    /// Order of the two words of a 32-bit value; `None` where nobody said.
    pub word_order: Option<WordOrder>,
    /// Order of the two bytes of a word; `None` where nobody said.
    pub byte_order: Option<ByteOrder>,
    /// What it can be set to do when its controller falls silent; empty where nobody said.
    pub loss_actions: Vec<LossAction>,
    /// Longest time that it can be set to wait for its controller.
    pub longest_timeout: Option<Time>,
    /// Ways of writing registers that it takes; empty where nobody said or the protocol has no registers.
    pub writes: Vec<WriteMethod>,
    /// Whether its network stop bit acts although the unit is under local control; `None` where nobody said.
    pub stop_always_acts: Option<bool>,
    /// Speeds that its serial line can be set to; empty where nobody said or there is no serial line.
    pub bauds: Vec<LineSpeed>,
    /// Frames of a character that its serial line can be set to; empty as above.
    pub frames: Vec<LineFrame>,
    /// Longest time that it takes to answer a request; `None` where nobody said.
    pub answers_within: Option<Time>,
    /// How old a word may grow in it: from the wire to the output, and from a measurement to the wire, both together; `None` where nobody said.
    pub update: Option<Time>,
    /// Network ports through which a line can go on; `None` where nobody said or the protocol has none.
    pub ports: Option<u32>,
    /// Whether it can be a station of a ring; `None` where nobody said.
    pub ring: Option<bool>,
    /// Words in the order of the frame.
    pub words: Vec<DataWord>,
    /// Where it stands.
    pub place: Place,
}

/// One word.
#[derive(Clone, Debug, PartialEq)]
pub struct DataWord {
    /// Name as its documents print it: "speed setpoint".
    pub name: String,
    /// From the master's view.
    pub direction: Direction,
    /// Register number as printed, or place in the frame from 1.
    pub number: u32,
    /// Width in bits: 8, 16 or 32.
    pub width: u8,
    /// What its number means.
    pub signed: Signedness,
    /// What it carries.
    pub meaning: WordMeaning,
    /// How its number stands for a quantity; `None` for bits, codes and padding.
    pub scale: Option<Scale>,
    /// Its bits; empty for numbers.
    pub bits: Vec<Bit>,
    /// For a configurable word: id of the setting or signal (plant::vocabulary) that rides in it.
    pub carries: Option<String>,
    /// Whether writing it goes into memory that keeps it without power and wears; `None` where nobody said.
    pub kept: Option<bool>,
}

/// How the number in a word stands for a quantity.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Scale {
    /// So many counts stand for the value of a setting.
    FullScale {
        /// The count.
        counts: f64,
        /// The setting.
        of: FullScale,
    },
    /// One count is so many Hz.
    Hertz(f64),
    /// One count is so many rpm.
    Rpm(f64),
    /// One count is so many A.
    Ampere(f64),
    /// One count is such a share of rated (1 is 100 %): torque, load.
    Share(f64),
    /// One count is so many Hz or so many rpm, as a setting says.
    BySetting {
        /// Hz per count while the setting says Hz.
        hertz: f64,
        /// rpm per count while it says rpm.
        rpm: f64,
    },
    /// IEEE 754 single precision, in Hz.
    FloatHertz,
    /// IEEE 754 single precision, in rpm.
    FloatRpm,
}

/// One bit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bit {
    /// Its place, from 0 at the least significant end.
    pub at: u8,
    /// What it says or demands.
    pub meaning: BitMeaning,
    /// Which state of the bit says so.
    pub sense: Sense,
    /// Whether the state counts or its coming.
    pub trigger: Trigger,
    /// For at-speed and zero-speed: how far the speed may be away.
    pub band: Option<Frequency>,
}

/// One fault code of a series.
#[derive(Clone, Debug, PartialEq)]
pub struct FaultCode {
    /// The number in the fault-code word.
    pub code: u32,
    /// What it means.
    pub meaning: FaultMeaning,
    /// The text as its documents print it.
    pub text: String,
    /// Where it stands.
    pub place: Place,
}

/// How a position's old drive is used on its network.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct NetworkUse {
    /// Name of the old drive's layout, in the pack of its series; `None` while nobody knows it.
    pub layout: Option<String>,
    /// Name of the layout wanted of the new drive; the best one when left open.
    pub wanted: Option<String>,
    /// Name of the line or segment.
    pub line: Option<String>,
    /// Station address on it.
    pub node: Option<u32>,
    /// Tags of other positions of the site with the same address on the same line; filled in when positions are joined.
    pub same_address: Vec<String>,
}

impl Layout {
    /// The words of a direction, in order.
    pub fn words(&self, direction: Direction) -> impl Iterator<Item = (usize, &DataWord)> {
        self.words.iter().enumerate().filter(move |(_, w)| w.direction == direction)
    }

    /// The first word of that meaning, with its place in [`Layout::words`].
    #[must_use]
    pub fn word(&self, meaning: WordMeaning) -> Option<(usize, &DataWord)> {
        self.words.iter().enumerate().find(|(_, w)| w.meaning == meaning)
    }

    /// The bit of that meaning in that direction, with the place of its word.
    #[must_use]
    pub fn bit(&self, direction: Direction, meaning: BitMeaning) -> Option<(usize, &Bit)> {
        self.words(direction).find_map(|(at, word)| word.bits.iter().find(|b| b.meaning == meaning).map(|bit| (at, bit)))
    }

    /// Address of a word in a Modbus request, from 0; `None` without registers or where the counting is not known.
    ///
    /// Modbus Application Protocol V1.1b3, 4.4 (from memory): registers are addressed from 0 in a request and numbered from 1 in
    /// documents; the leading 4 of holding registers is a habit of the trade.
    ///
    /// ```
    /// # use plant::network::*;
    /// assert_eq!(Addressing::LeadingFour.address(40_002), Some(1));
    /// assert_eq!(Addressing::One.address(2), Some(1));
    /// assert_eq!(Addressing::Zero.address(2), Some(2));
    /// ```
    #[must_use]
    pub fn address(&self, word: &DataWord) -> Option<u32> {
        self.addressing?.address(word.number)
    }

    /// Whether a controller that takes words as the protocol sends them gets the bytes of this word the wrong way round: the unit's own order
    /// is the other one. A word of 8 bits has bytes to turn only where it lies in a register.
    #[must_use]
    pub fn turns_bytes(&self, word: &DataWord) -> bool {
        let turned = self.byte_order.zip(self.protocol.byte_order()).is_some_and(|(own, habit)| own != habit);
        turned && (word.width > 8 || matches!(self.protocol, Protocol::ModbusRtu | Protocol::ModbusTcp))
    }

    /// How many words of 16 bits travel in a direction; two bytes make one.
    #[must_use]
    pub fn length(&self, direction: Direction) -> u32 {
        self.words(direction).map(|(_, w)| u32::from(w.width)).sum::<u32>().div_ceil(16)
    }
}

impl Protocol {
    /// Order in which the two bytes of a word travel, and in which controllers take them; `None` for a protocol of the unit's own.
    ///
    /// Modbus Application Protocol V1.1b3, 4.2, and PROFIdrive: the more significant first; CiA 301 and CIP: the less significant (from memory).
    #[must_use]
    pub const fn byte_order(self) -> Option<ByteOrder> {
        match self {
            Self::ModbusRtu | Self::ModbusTcp | Self::Profidrive => Some(ByteOrder::HighFirst),
            Self::CanOpen | Self::Cip => Some(ByteOrder::LowFirst),
            Self::Serial => None,
        }
    }
}

impl Addressing {
    /// Address in a request behind a printed number; `None` for a number that this way of counting does not have.
    #[must_use]
    pub fn address(self, printed: u32) -> Option<u32> {
        match self {
            Self::Zero => Some(printed),
            Self::One => printed.checked_sub(1),
            // Six digits where the registers go beyond 49999.
            Self::LeadingFour => printed.checked_sub(if printed > 400_000 { 400_001 } else { 40_001 }),
        }
        .filter(|address| *address <= 65_535)
    }
}

impl DataWord {
    /// Largest raw value.
    #[must_use]
    pub const fn mask(&self) -> u32 {
        match self.width {
            8 => 0xFF,
            16 => 0xFFFF,
            _ => u32::MAX,
        }
    }

    /// Whether its number is a float.
    #[must_use]
    pub const fn is_float(&self) -> bool {
        matches!(self.scale, Some(Scale::FloatHertz | Scale::FloatRpm))
    }

    /// Lowest and highest count.
    #[must_use]
    pub fn counts(&self) -> (i64, i64) {
        let all = 1_i64 << self.width;
        match self.signed {
            Signedness::Unsigned => (0, all - 1),
            Signedness::Signed => (-all / 2, all / 2 - 1),
        }
    }

    /// The count behind a raw value: two's complement where signed.
    ///
    /// ```
    /// # use plant::network::*;
    /// let word = DataWord { signed: Signedness::Signed, ..DataWord::plain("w", Direction::ToDrive, 1, WordMeaning::SpeedSetpoint) };
    /// assert_eq!((word.count(0xC000), word.raw(-16_384)), (-16_384, 0xC000));
    /// ```
    #[must_use]
    pub fn count(&self, raw: u32) -> i64 {
        let value = i64::from(raw & self.mask());
        let (_, highest) = self.counts();
        if value > highest { value - (1_i64 << self.width) } else { value }
    }

    /// The raw value of a count; one outside the word's range is cut at its ends.
    #[must_use]
    pub fn raw(&self, count: i64) -> u32 {
        let (low, high) = self.counts();
        let inside = count.clamp(low, high);
        u32::try_from(inside & i64::from(self.mask())).unwrap_or(self.mask())
    }

    /// A word of 16 bits without sign, scale or bits.
    #[must_use]
    pub fn plain(name: &str, direction: Direction, number: u32, meaning: WordMeaning) -> Self {
        Self {
            name: name.to_owned(),
            direction,
            number,
            width: 16,
            signed: Signedness::Unsigned,
            meaning,
            scale: None,
            bits: Vec::new(),
            carries: None,
            kept: None,
        }
    }
}

impl Bit {
    /// A bit that says so while it is 1.
    #[must_use]
    pub const fn high(at: u8, meaning: BitMeaning) -> Self {
        Self { at, meaning, sense: Sense::High, trigger: Trigger::Level, band: None }
    }

    /// The same, said while it is 0.
    #[must_use]
    pub const fn low(self) -> Self {
        Self { sense: Sense::Low, ..self }
    }

    /// The same, said by its coming.
    #[must_use]
    pub const fn edge(self) -> Self {
        Self { trigger: Trigger::Edge, ..self }
    }

    /// Whether a raw word says so.
    #[must_use]
    pub const fn is_said(&self, raw: u32) -> bool {
        (raw >> self.at & 1 == 1) == matches!(self.sense, Sense::High)
    }

    /// The bit's share of a raw word that says so, or does not.
    #[must_use]
    pub const fn said(&self, so: bool) -> u32 {
        if so == matches!(self.sense, Sense::High) { 1 << self.at } else { 0 }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn counts_are_twos_complement_and_cut_at_the_ends() {
        let word = |signed| DataWord { signed, ..DataWord::plain("w", Direction::ToDrive, 1, WordMeaning::SpeedSetpoint) };
        let (signed, unsigned) = (word(Signedness::Signed), word(Signedness::Unsigned));
        for raw in 0..=0xFFFF {
            assert_eq!(signed.raw(signed.count(raw)), raw);
            assert_eq!(unsigned.raw(unsigned.count(raw)), raw);
        }
        assert_eq!((signed.raw(40_000), signed.raw(-40_000), unsigned.raw(-1)), (0x7FFF, 0x8000, 0));
        let wide = DataWord { width: 32, ..signed };
        assert_eq!((wide.count(0xFFFF_FFFF), wide.raw(-1)), (-1, 0xFFFF_FFFF));
    }

    #[test]
    fn low_bits_say_so_when_they_are_nought() {
        let bit = Bit::high(2, BitMeaning::QuickStop).low();
        assert!(bit.is_said(0b011) && !bit.is_said(0b100));
        assert_eq!((bit.said(true), bit.said(false)), (0, 4));
    }

    #[test]
    fn numbers_that_a_counting_does_not_have_have_no_address() {
        assert_eq!(Addressing::One.address(0), None);
        assert_eq!(Addressing::LeadingFour.address(12), None);
        assert_eq!(Addressing::LeadingFour.address(400_002), Some(1));
        assert_eq!(Addressing::Zero.address(65_536), None);
    }
}
