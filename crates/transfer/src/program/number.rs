//! Numbers of fixed width in slots of 64 bits: signed ones carry their sign, others are filled up with zeros, REAL stands by its 32 bits.

use dossier::program::{Literal, Type};

use super::machine::Fault;

/// The low bits of a whole number or of bits, read in that type.
pub(super) const fn low(kind: Type, value: i64) -> i64 {
    let mask = mask(kind);
    let bits = value & mask;
    if matches!(kind, Type::Int | Type::Dint | Type::Time) && bits > mask / 2 { bits - mask - 1 } else { bits }
}

/// All bits of a type.
pub(super) const fn mask(kind: Type) -> i64 {
    match kind {
        Type::Bool => 1,
        Type::Byte => 0xFF,
        Type::Word | Type::Int | Type::Uint => 0xFFFF,
        Type::Dword | Type::Dint | Type::Udint | Type::Real | Type::Time => 0xFFFF_FFFF,
    }
}

/// The lowest and highest number of a whole type.
pub(super) const fn ends(kind: Type) -> (i64, i64) {
    let mask = mask(kind);
    if matches!(kind, Type::Int | Type::Dint | Type::Time) { (-mask / 2 - 1, mask / 2) } else { (0, mask) }
}

/// The number in a slot of type REAL.
pub(super) fn real(slot: i64) -> f32 {
    f32::from_bits(u32::try_from(slot).unwrap_or_default())
}

/// The slot of a REAL.
///
/// # Errors
/// When it is not a finite number.
pub(super) fn slot(value: f32) -> Result<i64, Fault> {
    if value.is_finite() { Ok(i64::from(value.to_bits())) } else { Err(Fault::NotFinite) }
}

/// A REAL that was made whole, as a number of that type.
///
/// # Errors
/// When it lies outside.
#[allow(clippy::cast_possible_truncation, reason = "single to double loses nothing, and the bounds were looked at before the cut")]
pub(super) fn whole(kind: Type, value: f32) -> Result<i64, Fault> {
    let (lowest, highest) = ends(kind);
    let value = f64::from(value);
    // Both ends are below 2⁵³, so that a double holds them exactly.
    if value >= lowest as f64 && value <= highest as f64 { Ok(value as i64) } else { Err(Fault::OutOfRange) }
}

/// The slot of a value; a REAL that is not finite stands as zero, which the check has refused before.
pub(super) fn written(value: Literal) -> i64 {
    match value {
        Literal::Bool(v) => i64::from(v),
        Literal::Byte(v) => i64::from(v),
        Literal::Word(v) | Literal::Uint(v) => i64::from(v),
        Literal::Dword(v) | Literal::Udint(v) => i64::from(v),
        Literal::Int(v) => i64::from(v),
        Literal::Dint(v) | Literal::Time(v) => i64::from(v),
        Literal::Real(v) => slot(v).unwrap_or_default(),
    }
}

/// The value in a slot.
pub(super) fn read(kind: Type, slot: i64) -> Literal {
    let byte = || u8::try_from(slot).unwrap_or_default();
    let unsigned = || u16::try_from(slot).unwrap_or_default();
    let wide = || u32::try_from(slot).unwrap_or_default();
    let signed = || i32::try_from(slot).unwrap_or_default();
    match kind {
        Type::Bool => Literal::Bool(slot != 0),
        Type::Byte => Literal::Byte(byte()),
        Type::Word => Literal::Word(unsigned()),
        Type::Uint => Literal::Uint(unsigned()),
        Type::Dword => Literal::Dword(wide()),
        Type::Udint => Literal::Udint(wide()),
        Type::Int => Literal::Int(i16::try_from(slot).unwrap_or_default()),
        Type::Dint => Literal::Dint(signed()),
        Type::Time => Literal::Time(signed()),
        Type::Real => Literal::Real(real(slot)),
    }
}
