//! Heat through the walls of a box with one temperature inside, and where that stands beside IEC TR 60890.

use plant::quantity::{Area, Power, TemperatureRise};

use super::{BoxRise, above_zero, by_word, loss_in_range};
use crate::registry::Refusal;
use crate::sources::{Knowledge, Source};
use crate::working::{Recorder, Step};

/// Heat through the walls.
pub const WALL_FORM: Source = Source::new("enclosure heat form P = k·A·ΔT, common practice", Knowledge::LookedUp);

/// What the walls are made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wall {
    /// Painted sheet steel.
    PaintedSteel,
    /// Bare stainless sheet.
    StainlessSteel,
}

impl Wall {
    /// Every wall, in the order of [`Self::WORDS`].
    pub const ALL: [Self; 2] = [Self::PaintedSteel, Self::StainlessSteel];
    /// Words of the calculations.
    pub const WORDS: [&'static str; 2] = ["painted-steel", "stainless-steel"];

    /// The wall of that word.
    #[must_use]
    pub fn from_word(word: &str) -> Option<Self> {
        by_word(&Self::WORDS, &Self::ALL, word)
    }

    /// Heat that passes, W/(m²·K), good to about 10 %.
    #[must_use]
    pub const fn w_per_m2k(self) -> f64 {
        match self {
            Self::PaintedSteel => 5.5,
            Self::StainlessSteel => 4.5,
        }
    }
}

/// Heat that passes the walls: out of the box when the inside is warmer, into it when the room is.
///
/// P = k·A·ΔT. Units: m², K, W; negative with ΔT.
///
/// # Errors
/// When the surface is not above zero or the difference is no number.
///
/// Source: enclosure heat form, common practice. Worked example: 5.712 m² of painted steel at 15 K carry 471 W.
/// ```
/// use calc::{enclosure::heat::{Wall, wall_heat}, working::Silent};
/// use plant::quantity::{Area, TemperatureRise};
/// let heat = wall_heat(Area::m2(5.712), Wall::PaintedSteel, TemperatureRise::dk(15.0), &mut Silent).unwrap();
/// assert!((heat.in_w() - 471.24).abs() < 0.01);
/// ```
pub fn wall_heat<R: Recorder>(surface: Area, wall: Wall, difference: TemperatureRise, rec: &mut R) -> Result<Power, Refusal> {
    above_zero("the surface of a box", surface)?;
    if !difference.is_finite() {
        return Err(Refusal::new("the temperature difference is a number"));
    }
    let heat = Power::w(wall.w_per_m2k() * surface.in_m2() * difference.in_dk());
    rec.step(|| {
        Step::new("P_w", "heat through the walls", "k·A·ΔT", &WALL_FORM)
            .with("k", format!("{} W/(m²·K)", wall.w_per_m2k()))
            .with("A", surface)
            .with("ΔT", difference)
            .gives(heat.electric())
    });
    Ok(heat)
}

/// The simple rise: ΔT = P/(k·A), one temperature for the whole box.
///
/// # Errors
/// When the surface is not above zero or the loss is negative.
///
/// Source: enclosure heat form, common practice. Worked example: 1.9 kW in 5.7 m² of painted steel, 61 K.
/// ```
/// use calc::{enclosure::heat::{Wall, simple_rise}, working::Silent};
/// use plant::quantity::{Area, Power};
/// let rise = simple_rise(Power::kw(1.9), Area::m2(5.7), Wall::PaintedSteel, &mut Silent).unwrap();
/// assert!((rise.in_dk() - 60.6).abs() < 0.1);
/// ```
pub fn simple_rise<R: Recorder>(loss: Power, surface: Area, wall: Wall, rec: &mut R) -> Result<TemperatureRise, Refusal> {
    loss_in_range(loss)?;
    above_zero("the surface of a box", surface)?;
    let rise = TemperatureRise::dk(loss.in_w() / (wall.w_per_m2k() * surface.in_m2()));
    rec.step(|| {
        Step::new("ΔT", "simple rise", "P/(k·A)", &WALL_FORM)
            .with("P", loss.electric())
            .with("k", format!("{} W/(m²·K)", wall.w_per_m2k()))
            .with("A", surface)
            .gives(rise)
            .note("one temperature for the whole box; compare with IEC TR 60890")
    });
    Ok(rise)
}

/// Where a simple rise stands beside IEC TR 60890.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SafeSide {
    /// At least as warm as the report's top.
    Safe,
    /// Warm enough for half height, too cool for what hangs higher.
    BelowTop,
    /// Cooler than the report even at half height: do not rely on it.
    BelowMid,
}

/// Compares a simple rise with the report's.
#[must_use]
pub fn safe_side(simple: TemperatureRise, report: &BoxRise) -> SafeSide {
    if simple >= report.top {
        SafeSide::Safe
    } else if simple >= report.mid {
        SafeSide::BelowTop
    } else {
        SafeSide::BelowMid
    }
}
