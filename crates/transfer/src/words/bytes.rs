//! Words on the wire: the order of the two words of a value of 32 bits, of the two bytes of a word, and what a torn reading is.
//!
//! Modbus sends the more significant byte of a register first (Modbus Application Protocol V1.1b3, 4.2, from memory) and says nothing of
//! values that take two registers: four orders are in use.

use plant::network::{ByteOrder, DataWord, Layout, WordOrder};

/// The two registers of a 32-bit value, in the order of their addresses.
///
/// ```
/// use plant::network::{ByteOrder, WordOrder};
/// use transfer::words::bytes::{joined, registers};
/// // 123456.0 as IEEE 754 single precision is 47F12000h.
/// assert_eq!(registers(0x47F1_2000, WordOrder::HighFirst, ByteOrder::HighFirst), [0x47F1, 0x2000]);
/// assert_eq!(registers(0x47F1_2000, WordOrder::LowFirst, ByteOrder::HighFirst), [0x2000, 0x47F1]);
/// // 1500 with its words taken the wrong way round.
/// assert_eq!(joined([0, 1500], WordOrder::LowFirst, ByteOrder::HighFirst), 98_304_000);
/// ```
#[must_use]
pub fn registers(value: u32, words: WordOrder, bytes: ByteOrder) -> [u16; 2] {
    let [a, b, c, d] = value.to_be_bytes();
    let pair = match bytes {
        ByteOrder::HighFirst => [u16::from_be_bytes([a, b]), u16::from_be_bytes([c, d])],
        ByteOrder::LowFirst => [u16::from_be_bytes([b, a]), u16::from_be_bytes([d, c])],
    };
    match words {
        WordOrder::HighFirst => pair,
        WordOrder::LowFirst => [pair[1], pair[0]],
    }
}

/// The value behind two registers: [`registers`] backwards.
#[must_use]
pub fn joined(pair: [u16; 2], words: WordOrder, bytes: ByteOrder) -> u32 {
    let [high, low] = match words {
        WordOrder::HighFirst => pair,
        WordOrder::LowFirst => [pair[1], pair[0]],
    };
    let turn = |word: u16| if bytes == ByteOrder::HighFirst { word } else { word.swap_bytes() };
    u32::from(turn(high)) << 16 | u32::from(turn(low))
}

/// A raw word as the controller's interface hands it over: each 16 bits of the frame as a number, its bytes in the order of the protocol. The
/// second is used by values of 32 bits alone, in the order of the frame.
///
/// ```
/// use plant::network::{ByteOrder, DataWord, Direction, WordMeaning};
/// use transfer::words::{bytes::handed, profiles};
/// let word = DataWord { width: 32, ..DataWord::plain("w", Direction::ToDrive, 1, WordMeaning::Padding) };
/// let mut layout = profiles::modbus();
/// assert_eq!(handed(&layout, &word, 0x47F1_2000), [0x47F1, 0x2000]);
/// layout.byte_order = Some(ByteOrder::LowFirst);
/// assert_eq!(handed(&layout, &word, 0x47F1_2000), [0xF147, 0x0020]);
/// ```
#[must_use]
pub fn handed(layout: &Layout, word: &DataWord, raw: u32) -> [u16; 2] {
    let (words, bytes) = orders(layout, word);
    if word.width == 32 { registers(raw, words, bytes) } else { [registers(raw & word.mask(), WordOrder::HighFirst, bytes)[1], 0] }
}

/// The raw word behind what the controller's interface handed over: [`handed`] backwards. What a word of 8 bits cannot hold stays in the result.
#[must_use]
pub fn taken(layout: &Layout, word: &DataWord, numbers: [u16; 2]) -> u32 {
    let (words, bytes) = orders(layout, word);
    if word.width == 32 { joined(numbers, words, bytes) } else { joined([0, numbers[0]], WordOrder::HighFirst, bytes) }
}

/// Orders as a master meets them; a pack that says nothing means the more significant word first.
fn orders(layout: &Layout, word: &DataWord) -> (WordOrder, ByteOrder) {
    let bytes = if layout.turns_bytes(word) { ByteOrder::LowFirst } else { ByteOrder::HighFirst };
    (layout.word_order.unwrap_or(WordOrder::HighFirst), bytes)
}

/// Greatest value that two readings half a scan apart can make up: the high word of one value and the low word of another.
///
/// Between 0000FFFFh and 00010000h a torn pair reads 0001FFFFh or 00000000h. The block takes a pair only when its high word was the same in the
/// scans before and after it.
#[must_use]
pub fn torn(before: u32, after: u32) -> [u32; 2] {
    [(before & 0xFFFF_0000) | (after & 0xFFFF), (after & 0xFFFF_0000) | (before & 0xFFFF)]
}

#[cfg(test)]
mod tests {
    use super::*;

    proptest::proptest! {
        #[test]
        fn every_order_goes_both_ways(value: u32) {
            for words in [WordOrder::HighFirst, WordOrder::LowFirst] {
                for bytes in [ByteOrder::HighFirst, ByteOrder::LowFirst] {
                    proptest::prop_assert_eq!(joined(registers(value, words, bytes), words, bytes), value);
                }
            }
        }
    }

    #[test]
    fn a_torn_pair_is_neither_value() {
        assert_eq!(torn(0x0000_FFFF, 0x0001_0000), [0x0000_0000, 0x0001_FFFF]);
    }
}
