//! `calc adapter-thickness` and `calc hole-spacing`.

use plant::quantity::{Count, Dimension, DimensionInfo, Length, Ratio, dim};

use super::thickness::{BEAM, SHEET, SHEET_SIZES};
use super::{Adapter, Hole, MATERIALS, SpacingRule, adapter_thickness, spacing};
use crate::enclosure::fit::{Point, Tenths};
use crate::registry::{Arguments, Calculation, Input, InputKind, Refusal, output, quantity, quantity_or, word};
use crate::sources::{DEFINITION, PRACTICE};
use crate::working::{Recorder, Step, Working};

const LENGTH: &DimensionInfo = <dim::LengthDim as Dimension>::INFO;

/// `calc adapter-thickness`.
pub const ADAPTER_THICKNESS: Calculation = Calculation {
    name: "adapter-thickness",
    summary: "Thickness of an adapter plate that carries a unit between two rows of studs.",
    inputs: &[
        quantity::<dim::MassDim>("mass", "mass of the unit with its added parts"),
        quantity::<dim::LengthDim>("span", "between the two rows of studs"),
        quantity::<dim::LengthDim>("width", "width of the plate along the rows"),
        quantity::<dim::LengthDim>("overhang", "from the plate to the unit's centre of gravity; half its depth when unknown"),
        quantity_or::<dim::LengthDim>("deflection", "1 mm", "greatest deflection accepted"),
        quantity_or::<dim::RatioDim>("factor", "2", "multiple of the weight that the plate bears, for handling and shaking"),
        word("material", &["steel", "stainless", "aluminium"], "the sheet"),
    ],
    results: &[
        output::<dim::LengthDim>("thickness", "mm", "least thickness"),
        output::<dim::LengthDim>("sheet", "mm", "next usual sheet; infinite when none is thick enough"),
        output::<dim::LengthDim>("lying-deflection", "mm", "thickness for the deflection, plate lying"),
        output::<dim::LengthDim>("lying-stress", "mm", "thickness for the stress, plate lying"),
        output::<dim::LengthDim>("hanging-deflection", "mm", "thickness for the deflection, unit hanging"),
        output::<dim::LengthDim>("hanging-stress", "mm", "thickness for the stress, unit hanging"),
    ],
    sources: &[&BEAM, &SHEET, &SHEET_SIZES],
    run: |a: &Arguments, w: &mut Working| {
        let name = a.word("material");
        let Some(material) = MATERIALS.iter().find(|m| m.name == name).copied() else {
            return Err(Refusal::new(format!("“{name}” is no sheet that is known here")));
        };
        let adapter = Adapter {
            mass: a.get("mass"),
            factor: a.get("factor"),
            overhang: a.get("overhang"),
            span: a.get("span"),
            width: a.get("width"),
            deflection: a.get("deflection"),
            material,
        };
        let t = adapter_thickness(&adapter, w)?;
        let sheet = t.sheet.map_or(f64::INFINITY, Length::in_si);
        let cases = [t.lying_deflection, t.lying_stress, t.hanging_deflection, t.hanging_stress];
        Ok([t.least.in_si(), sheet].into_iter().chain(cases.map(Length::in_si)).collect())
    },
};

/// `calc hole-spacing`.
pub const HOLE_SPACING: Calculation = Calculation {
    name: "hole-spacing",
    summary: "Whether the holes of a plate are far enough from its edges and from each other.",
    inputs: &[
        quantity::<dim::LengthDim>("width", "width of the plate"),
        quantity::<dim::LengthDim>("height", "height of the plate"),
        Input {
            name: "holes",
            kind: InputKind::Rows(&[LENGTH, LENGTH, LENGTH]),
            default: None,
            doc: "x, y and diameter of each, from the plate's lower left corner",
        },
        quantity_or::<dim::RatioDim>("edge", "1.5", "least distance of a centre from the edge, in diameters"),
        quantity_or::<dim::RatioDim>("between", "2.5", "least distance of two centres, in diameters of the larger hole"),
    ],
    results: &[
        output::<dim::LengthDim>("edge-margin", "mm", "least distance to the edge less the needed one; negative: too near"),
        output::<dim::LengthDim>("pair-margin", "mm", "least distance of two holes less the needed one; infinite with one hole"),
        output::<dim::CountDim>("too-near", "", "how many holes and pairs are too near"),
    ],
    sources: &[&DEFINITION, &PRACTICE],
    run: hole_spacing,
};

fn hole_spacing(a: &Arguments, w: &mut Working) -> Result<Vec<f64>, Refusal> {
    let cell = |row: &[f64], i: usize| Length::si(row.get(i).copied().unwrap_or(f64::NAN));
    let hole = |row: &Vec<f64>| {
        let at = Point::new(Tenths::nearest(cell(row, 0))?, Tenths::nearest(cell(row, 1))?);
        Ok(Hole { at, diameter: Tenths::up(cell(row, 2))? })
    };
    let holes = a.rows("holes").iter().map(hole).collect::<Result<Vec<_>, Refusal>>()?;
    let rule = SpacingRule { edge_tenths: tenths(a.get("edge"))?, between_tenths: tenths(a.get("between"))? };
    let found = spacing(&holes, Tenths::down(a.get("width"))?, Tenths::down(a.get("height"))?, rule)?;
    let si = |margin: Option<Tenths>| margin.map_or(f64::INFINITY, |m| m.length().in_si());
    let step = |symbol, name: &str, formula, k: Ratio, margin: f64| {
        Step::new(symbol, name, formula, &PRACTICE).with("k", plant::quantity::digits(k.in_of_one(), 4)).gives(Length::si(margin))
    };
    let (edge, pair) = (si(found.edge_margin), si(found.pair_margin));
    w.step(|| {
        step("Δe", "least margin to the edge", "min(e − k·d)", a.get("edge"), edge)
            .note("e from the hole's centre to the nearest edge, d its diameter")
    });
    w.step(|| {
        step("Δa", "least margin between two holes", "min(a − k·d)", a.get("between"), pair)
            .note("a between the centres, d the larger diameter")
    });
    let name = |i: usize| i + 1;
    for near in &found.edges {
        w.step(|| {
            Step::new("e", format!("hole {} to the edge", name(near.hole)), "", &DEFINITION)
                .gives(near.distance.length())
                .note(format!("needs {}", near.needed.length()))
        });
    }
    for near in &found.pairs {
        w.step(|| {
            Step::new("a", format!("hole {} to hole {}", name(near.first), name(near.second)), "", &DEFINITION)
                .gives(near.distance.length())
                .note(format!("needs {}", near.needed.length()))
        });
    }
    #[expect(clippy::cast_precision_loss, reason = "few holes")]
    let near = Count::of((found.edges.len() + found.pairs.len()) as f64);
    Ok(vec![edge, pair, near.in_si()])
}

/// Tenths of a diameter, rounded up: a rule is never loosened.
fn tenths(multiple: Ratio) -> Result<i64, Refusal> {
    // A multiple typed in decimals is off by far less than this part of a tenth.
    const SLACK: f64 = 1e-6;
    let tenths = (multiple.in_of_one() * 10.0 - SLACK).ceil();
    if (0.0..=1000.0).contains(&tenths) {
        #[expect(clippy::cast_possible_truncation, reason = "0 to 1000")]
        Ok(tenths as i64)
    } else {
        Err(Refusal::new(format!("a hole distance is 0 to 100 diameters, not {}", plant::quantity::digits(multiple.in_of_one(), 4))))
    }
}
