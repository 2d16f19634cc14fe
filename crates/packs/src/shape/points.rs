//! The columns of the tables of control points and links of a pack, and the `[wires]` keys of a position.

use plant::choice::{Choice, WindingSensor};
use plant::quantity::dim::{ApparentPowerDim, CurrentDim, FrequencyDim, ResistanceDim, VoltageDim};
use plant::wires::{Fitted, Flow, Level, LinkFor, PointKind, Range, RelaySense, Wiring};

use super::tables::{TableShape, table_shape};
use super::{Field, Kind, Shape};

pub(super) fn points() -> TableShape {
    let volts = || Kind::quantity::<VoltageDim>(0.1, 1000.0);
    let small = || Kind::quantity::<CurrentDim>(0.0, 1.0);
    let amps = || Kind::quantity::<CurrentDim>(1e-3, 100.0);
    let ohms = || Kind::quantity::<ResistanceDim>(0.1, 1e7);
    table_shape! { "points" false "Points for control wires: of the unit, of its factory variants, of its option modules; a blank is what the documents do not say." &["module", "point"];
        Field::need("point", Kind::Name, "Its name.", "DI3"),
        Field::may("module", Kind::Name, "Order code of the module that brings it, as modules.csv has it; blank for the unit itself.", "M-10"),
        Field::may("variant", Kind::Name, "Name of the factory variant that brings it, as variants.csv has it; blank where every unit has it.", "control-120"),
        Field::need("kind", Kind::Word(PointKind::INFO), "What it is.", "digital-input"),
        Field::need("terminals", Kind::Texts, "Its terminals, each behind its pole.", "signal 4 | return 9"),
        Field::may("functions", Kind::Texts, "Functions that it may be given; blank for all of its kind.", "start | stop"),
        Field::may("group", Kind::Name, "Name of the common, or of the isolated side, that it shares.", "inputs"),
        Field::may("isolated", Kind::Flag, "Whether it is isolated from the unit's earth.", "true"),
        Field::may("flow", Kind::Word(Flow::INFO), "Kind of voltage that it is made for; blank for both.", "dc"),
        Field::may("highest", volts(), "Highest voltage that it stands; for a contact on alternating current.", "30 V"),
        Field::may("highest_dc", volts(), "Highest direct voltage over a contact, where it differs.", "30 V"),
        Field::may("on", volts(), "From here on an input is surely on.", "15 V"),
        Field::may("off", volts(), "Up to here an input is surely off.", "5 V"),
        Field::may("impedance", ohms(), "Resistance of an input.", "3.3 kohm"),
        Field::may("draws", small(), "Current of an input that is on.", "7 mA"),
        Field::may("wiring", Kind::Word(Wiring::INFO), "How an input is wired.", "either"),
        Field::may("ac15", amps(), "What a contact holds and breaks with a coil on alternating current (AC-15).", "2 A"),
        Field::may("dc13", amps(), "The same on direct current (DC-13); load of a transistor.", "0.5 A"),
        Field::may("makes", amps(), "What a contact closes on; blank: ten times AC-15, once DC-13.", "20 A"),
        Field::may("least", small(), "Least current at which a contact is sure.", "10 mA"),
        Field::may("leakage", small(), "What a transistor lets through while off.", "0.1 mA"),
        Field::may("sense", Kind::Word(RelaySense::INFO), "How a relay follows what it tells.", "settable"),
        Field::may("ranges", Kind::Words(Range::INFO), "Ranges of an analogue point.", "0-10 V | 4-20 mA"),
        Field::may("burden", ohms(), "Resistance of a current input.", "250 ohm"),
        Field::may("drives", ohms(), "Largest resistance that a current output drives; smallest for a voltage output.", "500 ohm"),
        Field::may("levels", Kind::Words(Level::INFO), "Encoder signals that it takes.", "8-30 V push-pull"),
        Field::may("frequency", Kind::quantity::<FrequencyDim>(10.0, 10e6), "Highest frequency that it counts.", "200 kHz"),
        Field::may("supply", volts(), "Supply that it gives, or takes.", "24 V"),
        Field::may("supply_load", Kind::quantity::<ApparentPowerDim>(0.01, 1e4), "What that supply gives, or takes.", "6 VA"),
        Field::may("sensors", Kind::Words(WindingSensor::INFO), "Sensors that it reads.", "PTC"),
        Field::may("pair", Kind::Name, "Safety function whose channels belong together.", "safe torque off"),
        Field::may("must_close", Kind::Flag, "Whether the unit does not become ready while it is open; blank for no.", "false"),
    }
}

pub(super) fn links() -> TableShape {
    table_shape! { "links" false "Links between control terminals." &["link"];
        Field::need("link", Kind::Name, "Its name, or the terminals that it joins.", "4-5"),
        Field::need("point", Kind::Name, "Point or group of points.csv that it is for.", "DI1"),
        Field::need("purpose", Kind::Word(LinkFor::INFO), "When it has to be in.", "unused"),
        Field::need("fitted", Kind::Word(Fitted::INFO), "How it is delivered.", "in"),
    }
}

/// The list of conductors that a position names.
pub(super) fn list() -> Field {
    let fields = vec![Field::need(
        "list",
        Kind::Text,
        "The list: a CSV file or a workbook with a row for each conductor and at least the columns wire, terminal and function.",
        "evidence/wires.csv",
    )];
    let doc = "The conductors at the old drive, where they were listed.";
    Field::may("wires", Kind::Table(Shape { name: "[wires]", doc, fields, unique: &[] }), doc, "")
}
