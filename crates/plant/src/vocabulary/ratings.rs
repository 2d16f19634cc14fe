//! What the unit can give and what it needs: the numbers of its label and of its data sheet.

use super::{Concept, Group};
use crate::quantity::{Dimension, dim};

/// The concepts of this group.
pub(super) const CONCEPTS: &[Concept] = &[
    Concept {
        id: "continuous-current",
        group: Group::Ratings,
        term: "rated output current",
        standard: "IEC 61800-2 rated continuous output current",
        unit: Some(dim::CurrentDim::INFO),
        unit_text: "",
        definition: "The rms current that the unit can deliver to the motor without end at its stated air temperature, altitude and \
                     carrier frequency. It, not the kilowatt figure, is what a rating is.",
        trap: "One box carries several such currents, by duty class, carrier and ambient; the power on the label is an index that \
               belongs to one assumed motor.",
    },
    Concept {
        id: "overload-capability",
        group: Group::Ratings,
        term: "overload duty",
        standard: "IEC 61800-2 overload capability",
        unit: None,
        unit_text: "% for s, every s",
        definition: "How many times the continuous current the unit can deliver for how long, and what load and time must follow before \
                     it can do so again.",
        trap: "The per cent may be of the light-duty or of the heavy-duty current, and “150 %” may last 3, 30 or 60 s; two units agree \
               only when base, time and recovery agree.",
    },
    Concept {
        id: "duty-class",
        group: Group::Ratings,
        term: "light or heavy duty",
        standard: "",
        unit: None,
        unit_text: "",
        definition: "A label for the pair of continuous current and overload that a rating was drawn up for: small overloads for fans \
                     and pumps, large ones for constant torque and hard starts.",
        trap: "No standard fixes the names or their overloads; a heavy-duty rating under one label can be a light-duty rating under \
               another.",
    },
    Concept {
        id: "input-current",
        group: Group::Ratings,
        term: "rated input current",
        standard: "IEC 61800-2 rated input current",
        unit: Some(dim::CurrentDim::INFO),
        unit_text: "",
        definition: "The rms current that the unit draws from each supply line at its rated output; conductors and protective devices on \
                     the line side follow from it.",
        trap: "It depends on source impedance and on whether a choke is counted in, and is not the motor current; some documents print \
               the fundamental only, some the whole rms.",
    },
    Concept {
        id: "supply-voltage-range",
        group: Group::Ratings,
        term: "supply voltage class",
        standard: "IEC 60038 nominal voltages",
        unit: Some(dim::VoltageDim::INFO),
        unit_text: "",
        definition: "The band of line-to-line voltage, tolerance included, inside which the unit runs and gives its rated output.",
        trap: "A class called 480 may end at 480 or at 500 V before tolerance, and rated output may hold at the upper end alone; compare \
               with the highest night-time voltage, not with the nominal one.",
    },
    Concept {
        id: "supply-grounding",
        group: Group::Ratings,
        term: "supply system earthing",
        standard: "IEC 60364-1 TN, TT, IT",
        unit: None,
        unit_text: "",
        definition: "How the source is tied to earth, and therefore what voltage each phase holds to earth in normal service and with an \
                     earth fault.",
        trap: "Filter capacitors and varistors to earth are sized for a grounded star point; on ungrounded, high-resistance or \
               corner-grounded supplies their links come out, or the unit is not allowed at all.",
    },
    Concept {
        id: "short-circuit-rating",
        group: Group::Ratings,
        term: "short-circuit current rating",
        standard: "IEC 60947 conditional short-circuit current; SCCR",
        unit: Some(dim::CurrentDim::INFO),
        unit_text: "",
        definition: "The highest prospective fault current of the supply at which the unit fails without endangering its surroundings, \
                     given the protective device ahead of it.",
        trap: "It holds with the listed device only; another fuse class, a breaker in place of fuses, or a larger frame of the same \
               series can lower it without any mark on the box.",
    },
    Concept {
        id: "power-losses",
        group: Group::Ratings,
        term: "losses",
        standard: "IEC 61800-9-2 losses of the complete drive module",
        unit: Some(dim::PowerDim::INFO),
        unit_text: "",
        definition: "The heat that the unit gives off at a stated load and carrier frequency; the box has to get rid of it.",
        trap: "Some figures are at full load and lowest carrier, some at an operating point of the loss standard; the split between \
               heatsink and front decides how much of it stays inside the box.",
    },
    Concept {
        id: "standby-losses",
        group: Group::Ratings,
        term: "standby power",
        standard: "IEC 61800-9-2 stand-by losses",
        unit: Some(dim::PowerDim::INFO),
        unit_text: "",
        definition: "The power drawn while the supply is on and no motor current flows: control electronics, fans, a charged link.",
        trap: "Documents often leave it out, yet boxes that idle at night with heaters off rely on it, and a fan that always runs is \
               part of it.",
    },
    Concept {
        id: "derating",
        group: Group::Ratings,
        term: "reduction of rated current",
        standard: "",
        unit: None,
        unit_text: "% per K, % per 100 m",
        definition: "The share of the rated current that is left at a given air temperature, altitude, carrier frequency or mounting.",
        trap: "Whether several reductions multiply or add is the maker’s choice, and a unit that lowers its carrier by itself can hide a \
               shortfall until the motor gets noisy or hot.",
    },
    Concept {
        id: "air-temperature-limit",
        group: Group::Ratings,
        term: "rated ambient temperature",
        standard: "IEC 60721-3-3 climatic class",
        unit: Some(dim::TemperatureDim::INFO),
        unit_text: "",
        definition: "The temperature of the air entering the unit up to which the rated current holds, and the higher one at which it \
                     may run reduced.",
        trap: "It is the air at the unit’s intake inside the box, not the air of the room; the box adds ten kelvins and more.",
    },
    Concept {
        id: "motor-cable-limit",
        group: Group::Ratings,
        term: "motor cable length",
        standard: "",
        unit: Some(dim::LengthDim::INFO),
        unit_text: "",
        definition: "The longest cable between unit and motor for which the unit’s current, emission and motor-voltage statements hold.",
        trap: "There are usually three limits (charging current, emission class, motor insulation), each with its own footnotes on \
               shield, carrier, filter and number of motors in parallel.",
    },
    Concept {
        id: "switching-on-rate",
        group: Group::Ratings,
        term: "supply cycling",
        standard: "",
        unit: Some(dim::RateDim::INFO),
        unit_text: "",
        definition: "How often in an hour the supply may be switched on: the charging circuit of the DC link heats with each time.",
        trap: "Old control schemes start and stop with the line contactor; a new unit that allows one charging a minute, or three an \
               hour, fails early in them.",
    },
    Concept {
        id: "emission-class",
        group: Group::Ratings,
        term: "EMC category",
        standard: "IEC 61800-3 categories C1 to C4",
        unit: None,
        unit_text: "",
        definition: "The environment for which the unit’s conducted and radiated disturbance is limited, with the filter and \
                     installation that the statement assumes.",
        trap: "The statement holds for a stated cable length and a grounded supply; with the earth links out, the filter no longer \
               filters.",
    },
];
