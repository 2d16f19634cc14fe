//! The heat of a box as calculations that can be called by name.

use plant::quantity::{Count, Length, Ratio, dim};

use super::{
    Arrangement, BoxHeat, BoxRise, BoxSize, Edition, IEC_60890_1987, IEC_60890_CURVES, IEC_60890_EXPONENT, IEC_60890_PARTITIONS,
    IEC_60890_SURFACE, Openings, SafeSide, Standing, WALL_FORM, Wall, box_constant, box_rise, effective_surface, safe_side, simple_rise,
    wall_heat,
};
use crate::registry::{Arguments, Calculation, Input, Refusal, output, quantity, quantity_or, word};
use crate::supply::air::IEC_60890_K1;
use crate::working::Working;

const WIDTH: Input = quantity::<dim::LengthDim>("width", "outside width of the box");
const HEIGHT: Input = quantity::<dim::LengthDim>("height", "outside height of the box");
const DEPTH: Input = quantity::<dim::LengthDim>("depth", "outside depth of the box");
const ARRANGEMENT: Input = word("arrangement", &Arrangement::WORDS, "how the box stands: its rear on a wall or free, alone or in a row");
const TOP: Input = word("top", &["free", "covered"], "whether something covers the top");
const LOSS: Input = quantity::<dim::PowerDim>("loss", "heat losses of everything inside, at the duty");
const EDITION: Input = word("edition", &Edition::WORDS, "which figures of k: equations of 2022, or points of 1987");
const PARTITIONS: Input = quantity_or::<dim::CountDim>("partitions", "0", "horizontal partitions, at least half open");
const CURVE: Input = word("curve", &["1", "2", "3", "4", "5"], "curve of the distribution factor; 1 gives the warmest top");
const VENTED_K: Input = quantity_or::<dim::RatioDim>("vented-k", "", "with openings: k as read in Figure 5 of the report");
const VENTED_C: Input = quantity_or::<dim::RatioDim>("vented-c", "", "with openings: c as read in Figure 6 of the report");
const ALTITUDE: Input = quantity_or::<dim::LengthDim>("altitude", "0 m", "height above sea level, to 3000 m");
const WALL: Input = word("wall", &Wall::WORDS, "what the walls are made of");

fn standing(a: &Arguments) -> Result<Standing, Refusal> {
    let arrangement = Arrangement::from_word(a.word("arrangement")).ok_or_else(|| Refusal::new("no such arrangement"))?;
    let size = BoxSize { width: a.get("width"), height: a.get("height"), depth: a.get("depth") };
    Ok(Standing { size, arrangement, top_covered: a.word("top") == "covered" })
}

fn wall(a: &Arguments) -> Result<Wall, Refusal> {
    Wall::from_word(a.word("wall")).ok_or_else(|| Refusal::new("no such wall"))
}

fn edition(a: &Arguments) -> Result<Edition, Refusal> {
    Edition::from_word(a.word("edition")).ok_or_else(|| Refusal::new("no such edition"))
}

/// A whole number of things; half a partition is refused, not rounded.
pub(in crate::enclosure) fn whole(name: &str, count: Count) -> Result<u8, Refusal> {
    (0..=u8::MAX)
        .find(|n| (f64::from(*n) - count.in_count()).abs() < 1e-9)
        .ok_or_else(|| Refusal::new(format!("{name} is a whole number from 0 to 255, not {count}")))
}

/// `calc box-surface`.
pub const BOX_SURFACE: Calculation = Calculation {
    name: "box-surface",
    summary: "Effective cooling surface of a box as it stands, with the factor of each face.",
    inputs: &[WIDTH, HEIGHT, DEPTH, ARRANGEMENT, TOP],
    results: &[
        output::<dim::AreaDim>("surface", "m²", "effective cooling surface"),
        output::<dim::RatioDim>("top", "pu", "factor of the top"),
        output::<dim::RatioDim>("front", "pu", "factor of the front"),
        output::<dim::RatioDim>("rear", "pu", "factor of the rear"),
        output::<dim::RatioDim>("side-a", "pu", "factor of one side, the covered one at the end of a row"),
        output::<dim::RatioDim>("side-b", "pu", "factor of the other side"),
        output::<dim::RatioDim>("floor", "pu", "factor of the floor"),
    ],
    sources: &[&IEC_60890_SURFACE],
    run: |a: &Arguments, w: &mut Working| {
        let s = effective_surface(&standing(a)?, w)?;
        let factors = [s.top, s.front, s.rear, s.side_a, s.side_b, s.floor];
        Ok(std::iter::once(s.effective.in_si()).chain(factors.map(Ratio::in_si)).collect())
    },
};

/// `calc box-constant`.
pub const BOX_CONSTANT: Calculation = Calculation {
    name: "box-constant",
    summary: "Constant k of a closed box without fans over its effective cooling surface.",
    inputs: &[quantity::<dim::AreaDim>("surface", "effective cooling surface"), EDITION],
    results: &[output::<dim::RatioDim>("k", "pu", "constant, with W and K")],
    sources: &[&IEC_60890_CURVES, &IEC_60890_1987],
    run: |a: &Arguments, w: &mut Working| Ok(vec![box_constant(a.get("surface"), edition(a)?, w)?]),
};

/// `calc box-temperature`.
pub const BOX_TEMPERATURE: Calculation = Calculation {
    name: "box-temperature",
    summary: "How much warmer than the room the air in a box without fans gets, at half height and at the top.",
    inputs: &[WIDTH, HEIGHT, DEPTH, LOSS, ARRANGEMENT, TOP, PARTITIONS, CURVE, EDITION, VENTED_K, VENTED_C, ALTITUDE],
    results: &[
        output::<dim::TemperatureRiseDim>("mid", "K", "rise at half height"),
        output::<dim::TemperatureRiseDim>("top", "K", "rise at the top"),
        output::<dim::AreaDim>("surface", "m²", "effective cooling surface"),
        output::<dim::RatioDim>("k", "pu", "constant of the box, with W and K"),
        output::<dim::RatioDim>("d", "pu", "factor of horizontal partitions"),
        output::<dim::RatioDim>("x", "pu", "exponent of the losses"),
        output::<dim::RatioDim>("c", "pu", "distribution factor"),
        output::<dim::RatioDim>("air", "pu", "heat capacity of air relative to sea level, which the rises are divided by"),
    ],
    sources: &[&IEC_60890_SURFACE, &IEC_60890_CURVES, &IEC_60890_1987, &IEC_60890_EXPONENT, &IEC_60890_PARTITIONS, &IEC_60890_K1],
    run: |a: &Arguments, w: &mut Working| {
        let read = |name| a.get_opt::<dim::RatioDim>(name).map(Ratio::in_of_one);
        let openings = match (read("vented-k"), read("vented-c")) {
            (None, None) => Openings::None,
            (Some(k), Some(c)) => Openings::Read { k, c },
            _ => return Err(Refusal::new("a box with openings needs both vented-k and vented-c, read in Figures 5 and 6 of the report")),
        };
        let heat = BoxHeat {
            standing: standing(a)?,
            loss: a.get("loss"),
            partitions: whole("the number of partitions", a.get("partitions"))?,
            curve: a.word("curve").parse().unwrap_or(1),
            edition: edition(a)?,
            openings,
            altitude: a.get("altitude"),
        };
        let BoxRise { surface, k, d, x, c, air, mid, top, .. } = box_rise(&heat, w)?;
        Ok(vec![mid.in_si(), top.in_si(), surface.in_si(), k, d, x, c, air.in_si()])
    },
};

/// `calc box-simple`.
pub const BOX_SIMPLE: Calculation = Calculation {
    name: "box-simple",
    summary: "The simple rise P/(k·A) of a closed box, and whether it is on the safe side of IEC TR 60890.",
    inputs: &[WIDTH, HEIGHT, DEPTH, LOSS, ARRANGEMENT, TOP, WALL, CURVE],
    results: &[
        output::<dim::TemperatureRiseDim>("rise", "K", "simple rise, one temperature for the whole box"),
        output::<dim::TemperatureRiseDim>("mid", "K", "rise at half height by the report"),
        output::<dim::TemperatureRiseDim>("top", "K", "rise at the top by the report"),
        output::<dim::CountDim>(
            "safe-side",
            "",
            "1 at least as warm as the report's top, 0 as its half height only, -1 cooler than either",
        ),
    ],
    sources: &[&WALL_FORM, &IEC_60890_SURFACE, &IEC_60890_CURVES, &IEC_60890_EXPONENT],
    run: |a: &Arguments, w: &mut Working| {
        let heat = BoxHeat {
            standing: standing(a)?,
            loss: a.get("loss"),
            partitions: 0,
            curve: a.word("curve").parse().unwrap_or(1),
            edition: Edition::Tr2022,
            openings: Openings::None,
            altitude: Length::ZERO,
        };
        let report = box_rise(&heat, w)?;
        let rise = simple_rise(heat.loss, report.surface, wall(a)?, w)?;
        let side = match safe_side(rise, &report) {
            SafeSide::Safe => 1.0,
            SafeSide::BelowTop => 0.0,
            SafeSide::BelowMid => -1.0,
        };
        Ok(vec![rise.in_si(), report.mid.in_si(), report.top.in_si(), side])
    },
};

/// `calc wall-heat`.
pub const WALL_HEAT: Calculation = Calculation {
    name: "wall-heat",
    summary: "Heat that passes the walls of a box at a temperature difference.",
    inputs: &[
        quantity::<dim::AreaDim>("surface", "effective cooling surface"),
        quantity::<dim::TemperatureRiseDim>("difference", "inside less room"),
        WALL,
    ],
    results: &[
        output::<dim::PowerDim>("heat", "W", "heat through the walls, negative when the room is warmer"),
        output::<dim::CountDim>("transfer", "", "heat transfer coefficient, in W/(m²·K)"),
    ],
    sources: &[&WALL_FORM],
    run: |a: &Arguments, w: &mut Working| {
        let wall = wall(a)?;
        Ok(vec![wall_heat(a.get("surface"), wall, a.get("difference"), w)?.in_si(), wall.w_per_m2k()])
    },
};
