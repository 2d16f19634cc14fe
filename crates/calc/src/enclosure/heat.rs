//! How warm the air of a closed box gets: IEC TR 60890 (no forced ventilation), and the simple P = k·A·ΔT beside it.
//!
//! Only figures that a published check stands behind are used, and nothing outside their range. The curves of
//! openings are not among them: for a box with openings the reader of the document gives k and c.

mod calls;
mod simple;
#[cfg(test)]
mod tests;

use plant::quantity::{Area, Dimension, Length, Power, Quantity, Ratio, TemperatureRise};

pub(super) use calls::whole;
pub use calls::{BOX_CONSTANT, BOX_SIMPLE, BOX_SURFACE, BOX_TEMPERATURE, WALL_HEAT};
pub use simple::{SafeSide, WALL_FORM, Wall, safe_side, simple_rise, wall_heat};

use crate::registry::Refusal;
use crate::sources::{Knowledge, Source};
use crate::supply::air::{IEC_60890_K1, air_heat_capacity};
use crate::working::{Recorder, Silent, Step};

/// Surface factors and effective area.
pub const IEC_60890_SURFACE: Source = Source::new("IEC TR 60890 Table III; VDE 0660-500 area forms", Knowledge::LookedUp);
/// The algebraic curves of the third edition; we read them in public programs, not in the document.
pub const IEC_60890_CURVES: Source = Source::new("IEC TR 60890:2022 Figures 3, 4, 7 and 8, equations", Knowledge::LookedUp);
/// The exponent.
pub const IEC_60890_EXPONENT: Source = Source::new("IEC TR 60890: x = 0.804 closed, 0.715 with openings", Knowledge::LookedUp);
/// The points of k of the first edition.
pub const IEC_60890_1987: Source =
    Source::new("IEC TR 60890:1987, table of k; straight between its rows in log–log", Knowledge::FromMemory);
/// The factor for horizontal partitions.
pub const IEC_60890_PARTITIONS: Source = Source::new("IEC TR 60890 Tables IV and V", Knowledge::FromMemory);

/// The report treats boxes above and below this effective surface apart.
const SMALL_M2: f64 = 1.25;
/// The curves of k start and end here (Figures 7 and 3).
const SURFACE_M2: std::ops::RangeInclusive<f64> = 0.08..=12.0;
/// Figure 4 is drawn over these f, Figure 8 over these g.
const F_RANGE: std::ops::RangeInclusive<f64> = 0.3..=16.0;
const G_RANGE: std::ops::RangeInclusive<f64> = 0.0..=3.0;
/// Table edges that come out of a sum of products differ in the last bits.
const EDGE: f64 = 1e-9;

/// Outside measures of a box.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BoxSize {
    /// Left to right.
    pub width: Length,
    /// Floor to top.
    pub height: Length,
    /// Front to back.
    pub depth: Length,
}

/// How the box stands: which faces give their heat to free air.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Arrangement {
    /// Alone, air on all sides.
    Free,
    /// Alone, rear on a wall.
    Wall,
    /// First or last of a row, free rear.
    RowEnd,
    /// First or last of a row, rear on a wall.
    RowEndWall,
    /// Within a row, free rear.
    RowMiddle,
    /// Within a row, rear on a wall.
    RowMiddleWall,
}

impl Arrangement {
    /// Every arrangement, in the order of [`Self::WORDS`].
    pub const ALL: [Self; 6] = [Self::Wall, Self::Free, Self::RowEnd, Self::RowEndWall, Self::RowMiddle, Self::RowMiddleWall];
    /// Their words; the first is the commonest.
    pub const WORDS: [&'static str; 6] = ["wall", "free", "row-end", "row-end-wall", "row-middle", "row-middle-wall"];

    /// The arrangement of that word.
    #[must_use]
    pub fn from_word(word: &str) -> Option<Self> {
        by_word(&Self::WORDS, &Self::ALL, word)
    }

    const fn rear_on_wall(self) -> bool {
        matches!(self, Self::Wall | Self::RowEndWall | Self::RowMiddleWall)
    }

    const fn covered_sides(self) -> usize {
        match self {
            Self::Free | Self::Wall => 0,
            Self::RowEnd | Self::RowEndWall => 1,
            Self::RowMiddle | Self::RowMiddleWall => 2,
        }
    }
}

/// A box as it stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Standing {
    /// Outside measures.
    pub size: BoxSize,
    /// Which faces are covered by a wall or by neighbours.
    pub arrangement: Arrangement,
    /// Something covers the top.
    pub top_covered: bool,
}

/// The effective cooling surface and the factor b of each face.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Surface {
    /// A_e = Σ A_0·b.
    pub effective: Area,
    /// Factor of the top.
    pub top: Ratio,
    /// Factor of the front.
    pub front: Ratio,
    /// Factor of the rear.
    pub rear: Ratio,
    /// Factor of one side: the covered one at the end of a row.
    pub side_a: Ratio,
    /// Factor of the other side.
    pub side_b: Ratio,
    /// Factor of the floor, which counts for nothing.
    pub floor: Ratio,
}

/// The choice at the place of its word.
pub(super) fn by_word<T: Copy>(words: &[&str], choices: &[T], word: &str) -> Option<T> {
    words.iter().zip(choices).find_map(|(w, choice)| (*w == word).then_some(*choice))
}

pub(super) fn above_zero<D: Dimension>(name: &str, value: Quantity<D>) -> Result<(), Refusal> {
    if value.is_finite() && value.in_si() > 0.0 { Ok(()) } else { Err(Refusal::new(format!("{name} is above zero, not {value}"))) }
}

pub(super) fn loss_in_range(loss: Power) -> Result<(), Refusal> {
    if loss.is_finite() && loss >= Power::ZERO { Ok(()) } else { Err(Refusal::new(format!("a loss is zero or more, not {loss}"))) }
}

/// The effective cooling surface.
///
/// A_e = Σ A_0·b with b = 1.4 for a free top, 0.7 for a covered one, 0.9 for a free front, rear or side, 0.5 for a
/// covered rear or side, 0 for the floor. Units: m in, m² out.
///
/// # Errors
/// When a measure is not above zero.
///
/// Source: IEC TR 60890 Table III; VDE 0660-500 area forms. Worked example: 800 × 2000 × 600 mm on a wall, 5.072 m².
/// ```
/// use calc::{enclosure::heat::{Arrangement, BoxSize, Standing, effective_surface}, working::Silent};
/// use plant::quantity::Length;
/// let size = BoxSize { width: Length::mm(800.0), height: Length::mm(2000.0), depth: Length::mm(600.0) };
/// let standing = Standing { size, arrangement: Arrangement::Wall, top_covered: false };
/// assert!((effective_surface(&standing, &mut Silent).unwrap().effective.in_m2() - 5.072).abs() < 1e-9);
/// ```
pub fn effective_surface<R: Recorder>(standing: &Standing, rec: &mut R) -> Result<Surface, Refusal> {
    let BoxSize { width, height, depth } = standing.size;
    above_zero("the width of a box", width)?;
    above_zero("the height of a box", height)?;
    above_zero("the depth of a box", depth)?;
    let (w, h, d) = (width.in_m(), height.in_m(), depth.in_m());
    let upright = |covered: bool| if covered { 0.5 } else { 0.9 };
    let top = if standing.top_covered { 0.7 } else { 1.4 };
    let rear = upright(standing.arrangement.rear_on_wall());
    let sides = standing.arrangement.covered_sides();
    let (front, side_a, side_b) = (upright(false), upright(sides >= 1), upright(sides >= 2));
    let effective = Area::m2(w * d * top + w * h * (front + rear) + h * d * (side_a + side_b));
    rec.step(|| {
        Step::new("A_e", "effective cooling surface", "W·D·b_top + W·H·(b_front + b_rear) + H·D·(b_left + b_right)", &IEC_60890_SURFACE)
            .with("W", width)
            .with("H", height)
            .with("D", depth)
            .with("b_top", top)
            .with("b_front", front)
            .with("b_rear", rear)
            .with("b_left", side_a)
            .with("b_right", side_b)
            .gives(effective)
            .note("the floor counts for nothing")
    });
    let [top, front, rear, side_a, side_b] = [top, front, rear, side_a, side_b].map(Ratio::of_one);
    Ok(Surface { effective, top, front, rear, side_a, side_b, floor: Ratio::ZERO })
}

/// Which figures of k are used. They differ by up to 9 %; neither is always the warmer one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Edition {
    /// Equations of the third edition.
    Tr2022,
    /// Points of the first edition: 0.1 to 1 m² and 1.25 to 3 m² only.
    Tr1987,
}

impl Edition {
    /// Words of the calculations.
    pub const WORDS: [&'static str; 2] = ["2022", "1987"];

    /// The edition of that word.
    #[must_use]
    pub fn from_word(word: &str) -> Option<Self> {
        by_word(&Self::WORDS, &[Self::Tr2022, Self::Tr1987], word)
    }
}

const K_1987: [&[(f64, f64)]; 2] = [
    &[(0.1, 3.371), (0.2, 2.022), (0.5, 1.029), (0.8, 0.722), (1.0, 0.609)],
    &[(1.25, 0.524), (1.5, 0.45), (2.0, 0.35), (2.5, 0.275), (3.0, 0.225)],
];

/// Straight in log–log between two rows, because k is a power of the surface there.
fn log_log(table: &[(f64, f64)], x: f64) -> Option<f64> {
    table.windows(2).find_map(|pair| {
        let [(x0, y0), (x1, y1)] = *pair else { return None };
        let within = x >= x0 * (1.0 - EDGE) && x <= x1 * (1.0 + EDGE);
        within.then(|| y0 * (y1 / y0).powf((x / x0).ln() / (x1 / x0).ln()))
    })
}

/// The constant k of a closed box.
///
/// 2022: k = 0.626·A_e^−0.737 up to 1.25 m², 0.58·A_e^−0.795 above; valid from 0.08 to 12 m². The two jump at 1.25 m²
/// (0.531 to 0.486). 1987: points, straight in log–log, 0.1 to 1 m² and 1.25 to 3 m². Units: m² in, W and K behind k.
///
/// # Errors
/// Outside these surfaces.
///
/// Source: IEC TR 60890:2022 Figures 3 and 7 (equations); IEC TR 60890:1987 table of k (from memory). Worked example: 5.072 m², 0.1595.
/// ```
/// use calc::{enclosure::heat::{Edition, box_constant}, working::Silent};
/// use plant::quantity::Area;
/// assert!((box_constant(Area::m2(5.072), Edition::Tr2022, &mut Silent).unwrap() - 0.1595).abs() < 1e-4);
/// assert!(box_constant(Area::m2(1.1), Edition::Tr1987, &mut Silent).is_err());
/// ```
pub fn box_constant<R: Recorder>(surface: Area, edition: Edition, rec: &mut R) -> Result<f64, Refusal> {
    let a = surface.in_m2();
    let small = a <= SMALL_M2 * (1.0 + EDGE);
    let k = match edition {
        Edition::Tr2022 => SURFACE_M2.contains(&a).then(|| if small { 0.626 * a.powf(-0.737) } else { 0.58 * a.powf(-0.795) }),
        Edition::Tr1987 => K_1987.iter().find_map(|table| log_log(table, a)),
    };
    let Some(k) = k else {
        let range = match edition {
            Edition::Tr2022 => "0.08 to 12 m²",
            Edition::Tr1987 => "0.1 to 1 m² and 1.25 to 3 m²",
        };
        return Err(Refusal::new(format!("the figures of k that we hold reach over {range} of effective surface, not to {surface}")));
    };
    rec.step(|| match edition {
        Edition::Tr2022 => {
            let formula = if small { "0.626·A_e^−0.737" } else { "0.58·A_e^−0.795" };
            Step::new("k", "constant of the box", formula, &IEC_60890_CURVES).with("A_e", surface).gives(k)
        }
        Edition::Tr1987 => Step::new("k", "constant of the box", "", &IEC_60890_1987).gives(k).note(format!("read at {surface}")),
    });
    Ok(k)
}

/// Openings for air in floor and top, without a fan.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Openings {
    /// Closed.
    None,
    /// Open: k and c as read in Figures 5 and 6 of the report, over inlet area, surface and f.
    Read {
        /// Constant of the box, above 0.
        k: f64,
        /// Distribution factor, at least 1.
        c: f64,
    },
}

/// A box, its losses and what surrounds it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BoxHeat {
    /// The box as it stands.
    pub standing: Standing,
    /// Effective heat losses of everything inside, W.
    pub loss: Power,
    /// Horizontal partitions that leave at least half of the cross-section open, 0 to 3.
    pub partitions: u8,
    /// Curve of Figure 4, 1 to 5. Which curve belongs to which arrangement we have not read; 1 gives the warmest top.
    pub curve: u8,
    /// Figures of k.
    pub edition: Edition,
    /// Openings without fans.
    pub openings: Openings,
    /// Height above sea level, to 3000 m.
    pub altitude: Length,
}

/// How much warmer than the room the air in a box is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BoxRise {
    /// Effective cooling surface.
    pub surface: Area,
    /// Constant of the box.
    pub k: f64,
    /// Factor of horizontal partitions.
    pub d: f64,
    /// Exponent of the losses.
    pub x: f64,
    /// f = H^1.35/(W·D) above 1.25 m², g = H/W up to it; NaN where c was read by the user.
    pub shape: f64,
    /// Distribution factor.
    pub c: f64,
    /// Heat capacity of the air relative to sea level, by which both rises are divided.
    pub air: Ratio,
    /// At half height.
    pub mid: TemperatureRise,
    /// At the top.
    pub top: TemperatureRise,
    /// Share of the height from which on the air is as warm as at the top: 1, or 0.75 up to 1.25 m².
    pub top_from: Ratio,
}

impl BoxRise {
    /// Rise at a share of the height (0 floor, 1 top): straight between half height and the top; below half height that of
    /// half height, which is on the safe side.
    #[must_use]
    pub fn at(&self, height: Ratio) -> TemperatureRise {
        let along = ((height.in_of_one() - 0.5) / (self.top_from.in_of_one() - 0.5)).clamp(0.0, 1.0);
        self.mid + (self.top - self.mid) * along
    }
}

/// What the report presumes and numbers do not show; whoever relies on the result looks at the box for these.
pub const PRESUMED: &[&str] = &[
    "losses are spread over the box, not gathered in one corner",
    "nothing inside hinders the air's rise",
    "partitions leave at least half of the cross-section open, and there are three at most",
    "no fan moves air through the box",
    "no sun and no hot neighbour",
];

struct Distribution {
    shape: f64,
    c: f64,
}

fn distribution<R: Recorder>(size: BoxSize, small: bool, curve: u8, rec: &mut R) -> Result<Distribution, Refusal> {
    let (w, h, d) = (size.width.in_m(), size.height.in_m(), size.depth.in_m());
    if small {
        let g = h / w;
        if !G_RANGE.contains(&g) {
            return Err(Refusal::new(format!(
                "c of a small box is drawn up to a height of 3 widths, not {}",
                plant::quantity::digits(g, 3)
            )));
        }
        // Figure 8 as two pieces that meet at this g.
        let bent = g > 0.8147;
        let c = if bent { 0.324_055 * (1.0 - (0.385_79 - 1.8827 * g).exp()) + 0.936_43 } else { 1.0 + 0.193_54 * g };
        rec.step(|| Step::new("g", "height over width", "H/W", &IEC_60890_CURVES).with("H", size.height).with("W", size.width).gives(g));
        rec.step(|| {
            let formula = if bent { "0.324055·(1 − e^(0.38579 − 1.8827·g)) + 0.93643" } else { "1 + 0.19354·g" };
            Step::new("c", "distribution factor, Figure 8", formula, &IEC_60890_CURVES).with("g", g).gives(c)
        });
        return Ok(Distribution { shape: g, c });
    }
    let f = h.powf(1.35) / (w * d);
    if !F_RANGE.contains(&f) {
        return Err(Refusal::new(format!("c is drawn for H^1.35/(W·D) from 0.3 to 16, not {}", plant::quantity::digits(f, 3))));
    }
    let offsets = [1.182, 1.164, 1.146, 1.125, 1.087];
    let Some(offset) = usize::from(curve).checked_sub(1).and_then(|i| offsets.get(i)) else {
        return Err(Refusal::new(format!("Figure 4 has curves 1 to 5, not {curve}")));
    };
    let c = offset + 0.055 * f - 0.0017 * f * f;
    rec.step(|| {
        Step::new("f", "height to base area, metres", "H^1.35/(W·D)", &IEC_60890_CURVES)
            .with("H", size.height)
            .with("W", size.width)
            .with("D", size.depth)
            .gives(f)
    });
    rec.step(|| {
        Step::new("c", format!("distribution factor, Figure 4 curve {curve}"), "c_0 + 0.055·f − 0.0017·f²", &IEC_60890_CURVES)
            .with("c_0", *offset)
            .with("f", f)
            .gives(c)
            .note("curve 1 gives the warmest top")
    });
    Ok(Distribution { shape: f, c })
}

/// How warm the air in a box without fans gets.
///
/// Δt_0.5 = k·d·P^x, Δt_1.0 = c·Δt_0.5, both divided by the heat capacity of the air relative to sea level. That division
/// is our use of Table K.1: only convection suffers from thin air, so it is on the safe side. Units: W and K.
///
/// # Errors
/// Outside the ranges of the figures; with more than three partitions, or any in a box of up to 1.25 m²; with openings in a
/// box of up to 1.25 m²; above 3000 m.
///
/// Source: IEC TR 60890. Worked example: 800 × 2000 × 600 mm on a wall with 600 W, 27.3 K at half height, 39.0 K at the top.
/// ```
/// use calc::{enclosure::heat::*, working::Silent};
/// use plant::quantity::{Length, Power};
/// let size = BoxSize { width: Length::mm(800.0), height: Length::mm(2000.0), depth: Length::mm(600.0) };
/// let standing = Standing { size, arrangement: Arrangement::Wall, top_covered: false };
/// let heat = BoxHeat {
///     standing, loss: Power::w(600.0), partitions: 0, curve: 1, edition: Edition::Tr2022, openings: Openings::None, altitude: Length::ZERO,
/// };
/// let rise = box_rise(&heat, &mut Silent).unwrap();
/// assert!((rise.mid.in_dk() - 27.32).abs() < 0.1 && (rise.top.in_dk() - 38.96).abs() < 0.2);
/// ```
pub fn box_rise<R: Recorder>(heat: &BoxHeat, rec: &mut R) -> Result<BoxRise, Refusal> {
    loss_in_range(heat.loss)?;
    let surface = effective_surface(&heat.standing, rec)?.effective;
    let small = surface.in_m2() <= SMALL_M2 * (1.0 + EDGE);
    let vented = matches!(heat.openings, Openings::Read { .. });
    if small && vented {
        return Err(Refusal::new(format!("openings count above 1.25 m² of effective surface only; this box has {surface}")));
    }
    let d = partition_factor(heat.partitions, small, vented, rec)?;
    let (k, Distribution { shape, c }) = match heat.openings {
        Openings::None => (box_constant(surface, heat.edition, rec)?, distribution(heat.standing.size, small, heat.curve, rec)?),
        Openings::Read { k, c } if k > 0.0 && k.is_finite() && c >= 1.0 && c.is_finite() => (k, Distribution { shape: f64::NAN, c }),
        Openings::Read { k, c } => {
            return Err(Refusal::new(format!(
                "k is above 0 and c at least 1, not {k} and {c}; read both in Figures 5 and 6 of the report"
            )));
        }
    };
    let x = if vented { 0.715 } else { 0.804 };
    let air = air_heat_capacity(heat.altitude, &mut Silent)?;
    let mid = TemperatureRise::dk(k * d * heat.loss.in_w().powf(x) / air.in_of_one());
    let top = mid * c;
    rec.step(|| Step::new("x", "exponent of the losses", "", &IEC_60890_EXPONENT).gives(x));
    rec.step(|| {
        Step::new("k_h", "heat capacity of air relative to sea level", "", &IEC_60890_K1)
            .gives(air)
            .note(format!("read at {}; dividing the whole rise by it is our use of the table, on the safe side", heat.altitude))
    });
    rec.step(|| {
        Step::new("Δt_0.5", "rise at half height", "k·d·P^x/k_h", &IEC_60890_EXPONENT)
            .with("k", k)
            .with("d", d)
            .with("P", heat.loss.electric())
            .with("x", x)
            .with("k_h", air)
            .gives(mid)
    });
    rec.step(|| {
        Step::new("Δt_1.0", "rise at the top", "c·Δt_0.5", &IEC_60890_CURVES)
            .with("c", c)
            .with("Δt_0.5", mid)
            .gives(top)
            .note(format!("presumed: {}", PRESUMED.join("; ")))
    });
    Ok(BoxRise { surface, k, d, x, shape, c, air, mid, top, top_from: Ratio::of_one(if small { 0.75 } else { 1.0 }) })
}

fn partition_factor<R: Recorder>(partitions: u8, small: bool, vented: bool, rec: &mut R) -> Result<f64, Refusal> {
    let table = if vented { [1.0, 1.05, 1.10, 1.15] } else { [1.0, 1.05, 1.15, 1.30] };
    let factor = table.get(usize::from(partitions)).filter(|_| partitions == 0 || !small);
    let Some(d) = factor else {
        return Err(Refusal::new(format!(
            "{partitions} partitions: the report covers three at most, and none in a box of up to 1.25 m² of effective surface"
        )));
    };
    rec.step(|| {
        let source = if partitions == 0 { &IEC_60890_EXPONENT } else { &IEC_60890_PARTITIONS };
        Step::new("d", format!("factor of {partitions} horizontal partitions"), "", source).gives(*d)
    });
    Ok(*d)
}
