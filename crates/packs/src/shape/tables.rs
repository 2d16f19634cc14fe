//! The columns of the CSV tables of a pack, and of a current log. The sensible bounds are wide on purpose: they
//! catch a wrong unit (common practice, no source).

use std::sync::LazyLock;

use plant::choice::{
    Choice, DerateKind, Duty, FrontEnd, Grounding, Insulation, Metal, PlateSide, Presence, ProtectiveDevice, Style, WindingSensor, YesNo,
};
use plant::quantity::dim::{
    AreaDim, CapacitanceDim, CurrentDim, FrequencyDim, LengthDim, MassDim, PowerDim, RateDim, RatioDim, ResistanceDim, TimeDim, VoltageDim,
};

use super::control::control;
use super::network::{bits, faults, layouts, words};
use super::points::{links, points};
use super::settings::{choices, settings};
use super::{Field, Kind, Shape};

/// A table of a pack: `STEM.csv`, or the first sheet of `STEM.xlsx`.
#[derive(Debug)]
pub struct TableShape {
    /// Name of its file without extension: "ratings".
    pub stem: &'static str,
    /// Whether a pack must have it, with at least one row.
    pub required: bool,
    /// Its columns.
    pub shape: Shape,
}

/// All tables of a pack.
#[must_use]
pub fn pack_tables() -> &'static [TableShape] {
    static TABLES: LazyLock<Vec<TableShape>> = LazyLock::new(tables);
    &TABLES
}

/// The table of that stem.
#[must_use]
pub fn pack_table(stem: &str) -> Option<&'static TableShape> {
    pack_tables().iter().find(|t| t.stem == stem)
}

/// The columns of a current log.
#[must_use]
pub fn current_log() -> &'static Shape {
    static LOG: LazyLock<Shape> = LazyLock::new(|| Shape {
        name: "the current log",
        doc: "Current against time.",
        fields: vec![
            Field::need("time", Kind::quantity::<TimeDim>(-1e9, 1e9), "Time of the sample, rising.", "0.5 s"),
            Field::need("current", Kind::quantity::<CurrentDim>(0.0, 10e3), "Current.", ""),
        ],
        unique: &[],
    });
    &LOG
}

fn tables() -> Vec<TableShape> {
    vec![
        classes(),
        ratings(),
        frames(),
        mountings(),
        line(),
        motor(),
        holes(),
        losses(),
        overloads(),
        derates(),
        code(),
        modules(),
        slots(),
        protections(),
        variants(),
        layouts(),
        words(),
        bits(),
        faults(),
        settings(),
        choices(),
        points(),
        links(),
        control(),
    ]
}

macro_rules! table_shape {
    ($stem:literal $required:literal $doc:literal $unique:expr; $($field:expr),+ $(,)?) => {
        TableShape { stem: $stem, required: $required, shape: Shape { name: concat!($stem, ".csv"), doc: $doc, fields: vec![$($field),+], unique: $unique } }
    };
}
pub(super) use table_shape;

fn classes() -> TableShape {
    table_shape! { "classes" true "Voltage classes." &["class"];
        Field::need("class", Kind::Name, "Name of the voltage class.", "480"),
        Field::need("lowest", Kind::quantity::<VoltageDim>(80.0, 15e3), "Lowest line-to-line supply voltage allowed, tolerance included.", "342 V"),
        Field::need("highest", Kind::quantity::<VoltageDim>(80.0, 18e3), "Highest line-to-line supply voltage allowed, tolerance included.", "528 V"),
    }
}

fn ratings() -> TableShape {
    table_shape! { "ratings" true "What each unit can give: one row for each order code and duty class." &["code", "duty"];
        Field::need("code", Kind::Name, "Order code: the part of the type code that names the rating.", "052"),
        Field::need("frame", Kind::Name, "Frame size, as frames.csv names it.", "C"),
        Field::need("class", Kind::Name, "Voltage class, as classes.csv names it.", "480"),
        Field::need("duty", Kind::Word(Duty::INFO), "Duty class that the current holds for.", "heavy"),
        Field::need("current", Kind::quantity::<CurrentDim>(0.1, 5e3), "Continuous output current.", ""),
        Field::need("input_current", Kind::quantity::<CurrentDim>(0.1, 8e3), "Rated input current.", "58 A"),
        Field::need("label_power", Kind::quantity::<PowerDim>(10.0, 20e6), "Motor power on the label; an index only, the current counts.", ""),
        Field::may("losses", Kind::quantity::<PowerDim>(0.1, 1e6), "Losses at rated load and the unit's own carrier.", "640 W"),
        Field::may("idle_losses", Kind::quantity::<PowerDim>(0.1, 1e6), "Losses without load; \
            blank: those at rated load are taken for every load.", "85 W"),
        Field::may("price", Kind::Number, "Price of the bare unit.", "2450"),
    }
}

fn frames() -> TableShape {
    let size = || Kind::quantity::<LengthDim>(0.02, 5.0);
    let clearance = || Kind::quantity::<LengthDim>(0.0, 2.0);
    let wire = || Kind::quantity::<AreaDim>(1e-7, 2e-2);
    table_shape! { "frames" true "Frame sizes." &["frame"];
        Field::need("frame", Kind::Name, "Its name.", "C"),
        Field::need("width", size(), "Width.", "220 mm"),
        Field::need("height", size(), "Height.", "480 mm"),
        Field::need("depth", size(), "Depth.", "250 mm"),
        Field::need("mass", Kind::quantity::<MassDim>(0.1, 5e3), "Mass.", "18 kg"),
        Field::need("clear_above", clearance(), "Free height above.", "100 mm"),
        Field::need("clear_below", clearance(), "Free height below.", "100 mm"),
        Field::need("clear_side", clearance(), "Free width on each side.", "0 mm"),
        Field::may("front", clearance(), "What stands out in front of that depth: keypad, plugs.", "25 mm"),
        Field::may("cable_side", Kind::Word(PlateSide::INFO), "Side on which the power cables enter; blank for below.", "below"),
        Field::may("terminal_inset", clearance(), "From that side to the power terminals: bends may begin inside the unit.", "60 mm"),
        Field::may("bend_space", clearance(), "Space that the unit's documents ask for bending the conductors; \
            blank: a table of the code is taken.", "120 mm"),
        Field::may("may_turn", Kind::Flag, "Whether it may be mounted lying on its side; blank for no.", "false"),
        Field::need("enclosure", Kind::Name, "Enclosure as delivered.", "IP20"),
        Field::may("enclosure_kit", Kind::Name, "Order code of a kit that closes it, and to what.", "KIT-7 to type 1"),
        Field::may("enclosure_kit_price", Kind::Number, "Price of that kit.", "85"),
        Field::may("terminal_smallest", wire(), "Smallest conductor that the power terminals take.", "10 mm²"),
        Field::may("terminal_largest", wire(), "Largest conductor that the power terminals take.", "1/0 AWG"),
        Field::may("terminal_conductors", Kind::Whole, "Most conductors at one power terminal.", "1"),
        Field::may("terminal_metals", Kind::Words(Metal::INFO), "Metals that the power terminals are made for.", "copper | aluminium"),
        Field::may("terminal_fine", Kind::Word(YesNo::INFO), "Whether they take fine-stranded conductors without a ferrule.", "no"),
        Field::need("dc_terminals", Kind::Word(Presence::INFO), "DC terminals.", "standard"),
        Field::need("chopper", Kind::Word(Presence::INFO), "Brake chopper.", "optional"),
        Field::may("chopper_price", Kind::Number, "Price of an optional chopper.", "190"),
        Field::may("chopper_smallest", Kind::quantity::<ResistanceDim>(0.05, 1e4), "Smallest brake resistor.", "16 ohm"),
        Field::may("chopper_level", Kind::quantity::<VoltageDim>(100.0, 25e3), "Bus voltage at which the chopper switches on.", "760 V"),
        Field::may("bus_capacitance", Kind::quantity::<CapacitanceDim>(1e-6, 1.0), "Bus capacitance.", ""),
        Field::may("groundings", Kind::Words(Grounding::INFO), "Only these supply groundings, whatever pack.toml allows; \
            blank when not restricted.", "solid | high-resistance"),
    }
}

fn mountings() -> TableShape {
    let clearance = || Kind::quantity::<LengthDim>(0.0, 2.0);
    table_shape! { "mountings" false "Ways of mounting beside the usual one of frames.csv." &["frame", "style"];
        Field::need("frame", Kind::Name, "Frame, as frames.csv names it.", "C"),
        Field::need("style", Kind::Word(Style::INFO), "The way.", "through-wall"),
        Field::need("clear_above", clearance(), "Free height above.", "100 mm"),
        Field::need("clear_below", clearance(), "Free height below.", "100 mm"),
        Field::need("clear_side", clearance(), "Free width on each side.", "0 mm"),
        Field::may("depth", Kind::quantity::<LengthDim>(0.01, 5.0), "Depth that it takes in front of the plate; blank for that of the frame.", "140 mm"),
        Field::need("heat_inside", Kind::quantity::<RatioDim>(0.0, 1.0), "Share of the losses that stays in the box.", "35 %"),
        Field::may("rating", Kind::Name, "Enclosure towards the outside where it is mounted through a wall.", "IP54"),
        Field::may("kit", Kind::Name, "Order code of the kit that it takes.", "KIT-9"),
        Field::may("kit_price", Kind::Number, "Price of that kit.", "120"),
    }
}

fn line() -> TableShape {
    let share = |most| Kind::quantity::<RatioDim>(0.0, most);
    table_shape! { "line" false "What each frame is towards the line; a blank is what the documents do not say." &["frame"];
        Field::need("frame", Kind::Name, "Frame, as frames.csv names it.", "C"),
        Field::need("front_end", Kind::Word(FrontEnd::INFO), "Rectifier.", "six-pulse"),
        Field::may("choke", share(0.2), "Built-in reactor, or DC choke as its equivalent in the line; 0 % where there is none.", "3 %"),
        Field::may("distortion", share(2.0), "Current distortion (THD) at rated load, as stated.", "38 %"),
        Field::may("leakage", Kind::quantity::<CurrentDim>(0.0, 10.0), "Leakage current to earth, as stated.", "9 mA"),
        Field::may("earth_trip", share(2.0), "Where its earth-fault trip lies, of rated output current.", "50 %"),
        Field::may("power_ups", Kind::quantity::<RateDim>(0.0, 1.0), "How often an hour it may be switched on to the line.", "12 1/h"),
        Field::may("undervoltage", Kind::quantity::<VoltageDim>(50.0, 20e3), "DC bus voltage at which it trips on undervoltage.", "390 V"),
        Field::may("terminals", Kind::Word(Insulation::INFO), "Temperature rating of its power terminals.", "75 °C"),
        Field::may("reactor", Kind::Name, "Order code of a line reactor of 3 % for it.", "LR-3C"),
        Field::may("reactor_price", Kind::Number, "Price of that reactor.", "210"),
        Field::may("filter", Kind::Name, "Order code of a harmonic filter for it, 8 % of distortion or less.", "HF-C"),
        Field::may("filter_price", Kind::Number, "Price of that filter.", "1450"),
    }
}

fn motor() -> TableShape {
    let cable = || Kind::quantity::<LengthDim>(0.0, 5e3);
    table_shape! { "motor" false "What each frame is towards the motor; a blank is what the documents do not say." &["frame"];
        Field::need("frame", Kind::Name, "Frame, as frames.csv names it.", "C"),
        Field::may("rise", Kind::quantity::<TimeDim>(1e-9, 1e-4), "Time in which its output rises between two levels.", "0.1 us"),
        Field::may("cable_screened", cable(), "Longest screened motor cable, all runs together.", "100 m"),
        Field::may("cable_unscreened", cable(), "Longest unscreened motor cable, all runs together.", "150 m"),
        Field::may("sensors", Kind::Words(WindingSensor::INFO), "Winding sensors that it reads.", "PTC | thermostat"),
        Field::may("charges", Kind::quantity::<CapacitanceDim>(0.0, 10.0), "Capacitance, its own included, that its pre-charge circuit may charge; \
            0 where it must not be joined with others.", "4700 uF"),
        Field::may("torque_proving", Kind::Word(YesNo::INFO), "Whether it proves torque before it opens a brake.", "yes"),
        Field::may("kinetic", Kind::Word(YesNo::INFO), "Whether it goes on braking from the load's energy while the line is away.", "no"),
        Field::may("filter", Kind::Name, "Order code of a filter for the motor cable made for it.", "DF-C"),
        Field::may("filter_peak", Kind::quantity::<VoltageDim>(50.0, 5e3), "Highest voltage between two phases at the motor behind that filter.", "900 V"),
        Field::may("filter_price", Kind::Number, "Price of that filter.", "780"),
    }
}

fn holes() -> TableShape {
    let place = || Kind::quantity::<LengthDim>(0.0, 5.0);
    table_shape! { "holes" false "Fixing holes of the frames, from the lower left corner of the upright unit, feet included." &[];
        Field::need("frame", Kind::Name, "Frame, as frames.csv names it.", "C"),
        Field::need("x", place(), "From its left side.", "20 mm"),
        Field::need("y", place(), "From its lower side.", "12 mm"),
        Field::need("diameter", Kind::quantity::<LengthDim>(0.001, 0.05), "Diameter of the hole to drill, or of the thread.", "7 mm"),
    }
}

fn losses() -> TableShape {
    table_shape! { "losses" false "Losses at other carrier frequencies: rows of the same frame form one curve." &["frame", "carrier"];
        Field::may("frame", Kind::Name, "Frame it holds for; blank for all.", "C"),
        Field::need("carrier", Kind::quantity::<FrequencyDim>(500.0, 20e3), "Carrier frequency, rising.", "8 kHz"),
        Field::need("factor", Kind::quantity::<RatioDim>(0.2, 10.0), "Multiple of the losses at the unit's own carrier.", "125 %"),
    }
}

fn overloads() -> TableShape {
    table_shape! { "overloads" true "Overload points of each duty class." &["duty", "multiple"];
        Field::need("duty", Kind::Word(Duty::INFO), "Duty class.", "heavy"),
        Field::need("multiple", Kind::quantity::<RatioDim>(1.0, 5.0), "Multiple of the continuous current.", "150 %"),
        Field::need("time", Kind::quantity::<TimeDim>(1e-3, 7200.0), "For how long, from a rested unit.", "60 s"),
        Field::may("repeat", Kind::quantity::<TimeDim>(1e-3, 86_400.0), "How often, as printed.", "10 min"),
    }
}

fn derates() -> TableShape {
    table_shape! { "derates" false "Reductions of current: rows of the same kind, frame and duty form one curve." &[];
        Field::need("kind", Kind::Word(DerateKind::INFO), "What the reduction depends on.", "altitude"),
        Field::may("frame", Kind::Name, "Frame it holds for; blank for all.", "C"),
        Field::may("duty", Kind::Word(Duty::INFO), "Duty class it holds for; blank for both.", "heavy"),
        Field::may("at", Kind::AnyQuantity, "Where on the curve, rising: a length for altitude, a temperature for air-temperature, \
            a frequency for carrier and output-frequency, a ratio for unbalance; \
            blank for side-by-side and single-phase.", "2000 m"),
        Field::need("factor", Kind::quantity::<RatioDim>(0.0, 1.0), "Share of the current that remains there; between two points it runs straight, \
            beyond the last the unit may not be used.", "90 %"),
    }
}

fn code() -> TableShape {
    table_shape! { "code" false "How the type code reads: one row for each value of each segment; \
            the segment of the rating has one row with a blank value." &["segment", "value"];
        Field::need("segment", Kind::Name, "What the characters say.", "enclosure"),
        Field::need("start", Kind::Whole, "First character, counted from 1.", "5"),
        Field::need("length", Kind::Whole, "Number of characters.", "2"),
        Field::may("value", Kind::Characters, "The characters, a dash included; blank for the rating.", "E1"),
        Field::need("meaning", Kind::Text, "What they mean.", "closed, type 1"),
        Field::may("selects", Kind::Name, "Name of the variant, or order code of the module, that they stand for.", "brake"),
    }
}

fn modules() -> TableShape {
    table_shape! { "modules" false "Option modules." &["code"];
        Field::need("code", Kind::Name, "Order code.", "M-10"),
        Field::need("what", Kind::Text, "What it does.", "encoder input"),
        Field::may("slots", Kind::Texts, "Slots that take it; blank when all do.", "1 | 2"),
        Field::may("most", Kind::Whole, "How many of it a unit takes; blank for one.", "1"),
        Field::may("excludes", Kind::Texts, "Order codes of modules that it must not stand beside.", "M-11"),
        Field::may("carrier", Kind::Text, "For a module of the old drive that a carrier keeps: what limits it there.", "to 100 kHz; until 2030"),
        Field::may("price", Kind::Number, "Price.", "140"),
    }
}

fn slots() -> TableShape {
    table_shape! { "slots" false "Slots for modules." &["frame", "slot"];
        Field::may("frame", Kind::Name, "Frame; blank for all.", "C"),
        Field::need("slot", Kind::Name, "Name of the slot.", "1"),
    }
}

fn protections() -> TableShape {
    table_shape! { "protections" false "Listed protection combinations." &["code", "device"];
        Field::need("code", Kind::Name, "Order code of the rating it is for.", "052"),
        Field::need("device", Kind::Word(ProtectiveDevice::INFO), "Fuse or breaker, with its class.", "fuse class J"),
        Field::need("largest", Kind::quantity::<CurrentDim>(0.1, 1e4), "Largest rating of the device.", "80 A"),
        Field::need("short_circuit_rating", Kind::quantity::<CurrentDim>(500.0, 3e5), "Short-circuit rating with it.", "100 kA"),
        Field::may("price", Kind::Number, "Price of a set with its holder.", "95"),
    }
}

fn variants() -> TableShape {
    table_shape! { "variants" false "Factory variants with something built in." &["name"];
        Field::need("name", Kind::Name, "Its name, as code.csv selects it.", "brake"),
        Field::need("what", Kind::Text, "What is built in.", "brake chopper"),
        Field::may("price", Kind::Number, "Price on top of the bare unit.", "190"),
    }
}
