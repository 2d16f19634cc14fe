//! Fault currents of the usual path, supply, transformer, cables, by name.

use plant::quantity::{ApparentPower, Dimension, Ratio, Resistance, Voltage, dim};

use super::super::iec::{CORRECTION, Case, INITIAL, NETWORK, PEAK, Tolerance, VOLTAGE_FACTOR, WARM};
use super::{Impedance, Method, NodeFault, PER_UNIT, Part, Strength, Transformer, Utility, fault_at_supply, fault_currents};
use crate::registry::{Arguments, Calculation, Input, InputKind, Output, Refusal, output, quantity, quantity_or, word};
use crate::sources::DEFINITION;
use crate::working::Working;

const SUPPLY: Input =
    quantity_or::<dim::ApparentPowerDim>("supply", "", "short-circuit power ahead; left out, an infinitely strong supply");
const SUPPLY_XR: Input = quantity_or::<dim::CountDim>("supply-x-over-r", "10", "X/R of the supply ahead");
const PRIMARY: Input = quantity_or::<dim::VoltageDim>("primary", "10 kV", "rated and nominal voltage ahead of the transformer");
const TRANSFORMER: Input = quantity_or::<dim::ApparentPowerDim>("transformer", "", "rated power; left out, the supply is at “voltage”");
const IMPEDANCE: Input = quantity_or::<dim::RatioDim>("impedance", "", "impedance voltage of the transformer");
const RESISTANCE: Input = quantity_or::<dim::RatioDim>("resistance", "", "its resistive part: load losses over rated power; or “x-over-r”");
const X_OVER_R: Input = quantity_or::<dim::CountDim>("x-over-r", "", "X/R of the transformer, instead of “resistance”");
const VOLTAGE: Input = quantity::<dim::VoltageDim>("voltage", "rated and nominal voltage behind the transformer");
const CABLES: Input = Input {
    name: "cables",
    kind: InputKind::Rows(&[<dim::ResistanceDim as Dimension>::INFO, <dim::ResistanceDim as Dimension>::INFO]),
    default: Some(""),
    doc: "resistance and reactance of each run, line to neutral, in order: 9.65 mΩ, 4.1 mΩ; 2 mΩ, 0.4 mΩ (see cable-impedance)",
};
const REACTOR: Input = quantity_or::<dim::ResistanceDim>("reactor", "0 Ω", "reactance of a reactor at the end of the path");

const RESULTS: &[Output] = &[
    output::<dim::CurrentDim>(
        "first",
        "kA",
        "at the secondary of the transformer; without one at the supply, or behind the first run when the supply is infinitely strong",
    ),
    output::<dim::CurrentDim>("first-peak", "kA", "peak there"),
    output::<dim::CurrentDim>("end", "kA", "at the end of the path"),
    output::<dim::CurrentDim>("end-peak", "kA", "peak at the end"),
    output::<dim::ResistanceDim>("end-resistance", "mΩ", "resistance of everything ahead of the end"),
    output::<dim::ResistanceDim>("end-reactance", "mΩ", "reactance of everything ahead of the end"),
    output::<dim::CountDim>("end-kappa", "", "peak factor at the end"),
];

/// Resistive part of an impedance voltage, from what is known of it.
fn resistive(impedance: Ratio, a: &Arguments) -> Result<Ratio, Refusal> {
    match (a.get_opt::<dim::RatioDim>("resistance"), a.get_opt::<dim::CountDim>("x-over-r")) {
        (Some(_), Some(_)) => Err(Refusal::new("give “resistance” or “x-over-r”, not both")),
        (Some(resistance), None) => Ok(resistance),
        (None, Some(q)) if q.is_finite() && q.in_count() >= 0.0 => Ok(impedance / q.in_count().hypot(1.0)),
        (None, Some(q)) => Err(Refusal::new(format!("X/R is zero or more, not {q}"))),
        (None, None) => Ok(Ratio::ZERO),
    }
}

fn run(a: &Arguments, method: Method, w: &mut Working) -> Result<Vec<f64>, Refusal> {
    let voltage: Voltage = a.get("voltage");
    let strength = match a.get_opt::<dim::ApparentPowerDim>("supply") {
        Some(power) => Strength::Finite { power, x_over_r: a.get::<dim::CountDim>("supply-x-over-r").in_count() },
        None => Strength::Infinite,
    };
    let transformer: Option<ApparentPower> = a.get_opt("transformer");
    let utility = Utility { voltage: if transformer.is_some() { a.get("primary") } else { voltage }, strength };
    let mut parts = Vec::new();
    if let Some(power) = transformer {
        let impedance =
            a.get_opt("impedance").ok_or_else(|| Refusal::new("a transformer needs its impedance voltage: impedance=5.75 %"))?;
        let resistance = resistive(impedance, a)?;
        let t = Transformer { power, primary: a.get("primary"), secondary: voltage, impedance, resistance, nominal: voltage };
        parts.push(Part::Transformer(t));
    }
    for row in a.rows("cables") {
        if let [r, x] = row.as_slice() {
            parts.push(Part::Cable(Impedance { r: Resistance::si(*r), x: Resistance::si(*x) }));
        }
    }
    let reactor: Resistance = a.get("reactor");
    if reactor != Resistance::ZERO {
        parts.push(Part::Reactor(Impedance { r: Resistance::ZERO, x: reactor }));
    }
    let nodes = fault_currents(&utility, &parts, method, w)?;
    let (first, end): (NodeFault, NodeFault) = match (nodes.first(), nodes.last()) {
        // At an infinitely strong supply itself there is no figure; what stands behind it comes first.
        (Some(first), Some(end)) if transformer.is_some() || strength == Strength::Infinite => (*first, *end),
        (_, end) => {
            let supply = fault_at_supply(&utility, method, w)?;
            (supply, end.copied().unwrap_or(supply))
        }
    };
    Ok(vec![
        first.current.in_si(),
        first.peak.in_si(),
        end.current.in_si(),
        end.peak.in_si(),
        end.impedance.r.in_si(),
        end.impedance.x.in_si(),
        end.kappa,
    ])
}

/// `calc fault-current`.
pub const FAULT_CURRENT: Calculation = Calculation {
    name: "fault-current",
    summary: "Fault current behind a transformer and at the end of its cables, by the per-unit method.",
    inputs: &[SUPPLY, SUPPLY_XR, PRIMARY, TRANSFORMER, IMPEDANCE, RESISTANCE, X_OVER_R, VOLTAGE, CABLES, REACTOR],
    results: RESULTS,
    sources: &[&PER_UNIT, &PEAK, &DEFINITION],
    run: |a: &Arguments, w: &mut Working| run(a, Method::PerUnit, w),
};

/// `calc fault-current-iec`.
pub const FAULT_CURRENT_IEC: Calculation = Calculation {
    name: "fault-current-iec",
    summary: "Fault current behind a transformer and at the end of its cables, by IEC 60909-0.",
    inputs: &[
        SUPPLY,
        SUPPLY_XR,
        PRIMARY,
        TRANSFORMER,
        IMPEDANCE,
        RESISTANCE,
        X_OVER_R,
        VOLTAGE,
        CABLES,
        REACTOR,
        word("case", Case::WORDS, "largest or smallest current"),
        word("tolerance", Tolerance::WORDS, "how far a low-voltage supply rises, %"),
        quantity_or::<dim::TemperatureDim>("end-temperature", "160 °C", "of cables at the end of the fault, for the smallest current"),
    ],
    results: RESULTS,
    sources: &[&NETWORK, &CORRECTION, &VOLTAGE_FACTOR, &INITIAL, &PEAK, &WARM],
    run: |a: &Arguments, w: &mut Working| {
        let (case, tolerance) = (Case::from_word(a.word("case"))?, Tolerance::from_word(a.word("tolerance"))?);
        run(a, Method::Iec { case, tolerance, end: a.get("end-temperature") }, w)
    },
};
