//! Reductions of current: where a point stands on its curve, and what a curve must not do.

use std::collections::HashMap;

use plant::choice::{Choice, DerateKind, Duty};
use plant::quantity::dim::{FrequencyDim, LengthDim, RatioDim, TemperatureDim};
use plant::quantity::{Dimension, DimensionInfo};

use super::Table;
use crate::problem::{At, Wrong};
use crate::record::Record;
use crate::text::{number, sensible};

/// Dimension and sensible bounds (SI) of what a reduction depends on; `None` for one factor without curve.
fn axis(kind: DerateKind) -> Option<(&'static DimensionInfo, (f64, f64))> {
    match kind {
        DerateKind::Altitude => Some((LengthDim::INFO, (-430.0, 6000.0))),
        DerateKind::AirTemperature => Some((TemperatureDim::INFO, (223.15, 373.15))),
        DerateKind::Carrier => Some((FrequencyDim::INFO, (500.0, 20e3))),
        DerateKind::OutputFrequency => Some((FrequencyDim::INFO, (0.0, 4e3))),
        DerateKind::Unbalance => Some((RatioDim::INFO, (0.0, 0.2))),
        DerateKind::SideBySide | DerateKind::SinglePhase => None,
    }
}

/// Where a point stands on the curve of its kind, in SI; zero where the kind has no curve.
pub(super) fn abscissa(kind: DerateKind, row: &Record) -> Result<f64, Wrong> {
    match (axis(kind), row.text("at")) {
        (None, None) => Ok(0.0),
        (None, Some(text)) => {
            Err(Wrong::new(format!("“{text}” is given, but {} is one factor without a curve", kind.word()), "leave the cell blank"))
        }
        (Some((info, _)), None) => Err(Wrong::new(format!("this cell is blank, but {} needs a {}", kind.word(), info.name), "")),
        (Some((info, bounds)), Some(text)) => {
            let value = number(text, info)?;
            sensible(text, (value, value), info, bounds).map(|()| value)
        }
    }
}

struct Last {
    at: f64,
    factor: f64,
}

/// Reports points that are out of place, factors of zero, and curves that give more where it gets harder.
pub(super) fn check(table: &mut Table<'_>) {
    let Table { sink, rows, .. } = table;
    let mut curves: HashMap<(DerateKind, Option<String>, Option<Duty>), Last> = HashMap::new();
    for row in rows.iter() {
        let Some(kind) = row.word::<DerateKind>("kind") else { continue };
        let factor = row.number("factor");
        if factor.is_some_and(|f| f <= 0.0) {
            sink.error(row.at("factor"), "factor: a factor of zero leaves no current", "end the curve at the last point that is allowed");
        }
        let at = match abscissa(kind, row) {
            Ok(at) => at,
            // A cell that did not read was told already: it is absent while its column is there.
            Err(wrong) => {
                sink.error(row.at("at"), format!("at: {}", wrong.message), wrong.help);
                continue;
            }
        };
        let Some(factor) = factor else { continue };
        let curve = curves.entry((kind, row.string("frame"), row.word::<Duty>("duty")));
        let std::collections::hash_map::Entry::Occupied(mut last) = curve else {
            curve.or_insert(Last { at, factor });
            continue;
        };
        let harder = !matches!(kind, DerateKind::OutputFrequency);
        let here: At = row.at("at");
        if axis(kind).is_none() {
            sink.error(
                row.at,
                format!("kind: {} stands twice for the same frame and duty", kind.word()),
                "it is one factor without a curve",
            );
        } else if at <= last.get().at {
            let shown = row.text("at").unwrap_or_default();
            sink.error(here, format!("at: {shown} does not lie above the point before it"), "the points of a curve rise from row to row");
        } else if harder && factor > last.get().factor {
            sink.warning(row.at("factor"), format!("factor: more current at a higher {} than before", kind.word()), "check both rows");
        }
        last.insert(Last { at, factor });
    }
}
