//! Where the reference comes from and what an analogue signal means.

use super::{Concept, Group};
use crate::quantity::{Dimension, dim};

/// The concepts of this group.
pub(super) const CONCEPTS: &[Concept] = &[
    Concept {
        id: "reference-source",
        group: Group::Reference,
        term: "speed reference source",
        standard: "CIP NetRef; PROFIdrive NSOLL_A",
        unit: None,
        unit_text: "",
        definition: "From where the unit takes its speed setpoint, and how it changes between sources.",
        trap: "First, second, sum, or highest of several; a source may be tied to the command location and change with it unasked.",
    },
    Concept {
        id: "analogue-input-kind",
        group: Group::Reference,
        term: "analogue input range",
        standard: "IEC 61131-2 analogue inputs",
        unit: None,
        unit_text: "V or mA",
        definition: "The electrical signal that an analogue input takes: voltage or current, with or without live zero, one polarity or \
                     both.",
        trap: "A hardware switch and a setting must agree; voltage into a current input can burn its burden, 0–20 mA read as 4–20 mA \
               shifts every speed by a fifth.",
    },
    Concept {
        id: "analogue-scale-low",
        group: Group::Reference,
        term: "reference at lowest signal",
        standard: "",
        unit: Some(dim::FrequencyDim::INFO),
        unit_text: "",
        definition: "The speed that the low end of the analogue signal stands for.",
        trap: "May be below zero, clamped at the minimum speed or extrapolated past the end; 4 mA and 0 mA are both “low end”.",
    },
    Concept {
        id: "analogue-scale-high",
        group: Group::Reference,
        term: "reference at highest signal",
        standard: "",
        unit: Some(dim::FrequencyDim::INFO),
        unit_text: "",
        definition: "The speed that the high end of the analogue signal stands for.",
        trap: "Given directly or as per cent of maximum or base; 20.4 mA may give 2 % more speed or be cut off.",
    },
    Concept {
        id: "analogue-filter",
        group: Group::Reference,
        term: "input filter",
        standard: "",
        unit: Some(dim::TimeDim::INFO),
        unit_text: "",
        definition: "The time constant that smooths an analogue signal before it is used, so that noise on the wire does not reach the \
                     motor.",
        trap: "It adds lag to outer loops; a noise-free old input with 20 ms replaced by 500 ms makes a dancer swing.",
    },
    Concept {
        id: "analogue-burden",
        group: Group::Reference,
        term: "input impedance",
        standard: "IEC 61131-2 input impedance",
        unit: Some(dim::ResistanceDim::INFO),
        unit_text: "",
        definition: "Resistance that an analogue input presents to the signal source.",
        trap: "In a current loop every ohm costs voltage of the transmitter: 250 to 500 Ω more can stop the loop at half scale; parallel \
               voltage inputs load the source.",
    },
    Concept {
        id: "analogue-isolation",
        group: Group::Reference,
        term: "input isolation",
        standard: "",
        unit: None,
        unit_text: "",
        definition: "Whether an analogue signal may stand at another potential than the unit’s own electronics.",
        trap: "Inputs isolated from the supply are often tied to each other; two loops on one common meet through it.",
    },
    Concept {
        id: "reference-loss",
        group: Group::Reference,
        term: "live-zero supervision",
        standard: "NAMUR NE 43",
        unit: Some(dim::CurrentDim::INFO),
        unit_text: "",
        definition: "The signal below which the reference counts as lost, and what the unit does then.",
        trap: "At 3.6, 3 or 2 mA, after a delay or at once; stop, hold last, preset or trip: the process decided once, find out what it \
               relies on.",
    },
    Concept {
        id: "reference-dead-band",
        group: Group::Reference,
        term: "reference dead band",
        standard: "",
        unit: Some(dim::RatioDim::INFO),
        unit_text: "",
        definition: "A range of small signal that counts as zero, so that the motor does not creep.",
        trap: "Full or half width, and with a jump or a shift of the whole characteristic behind it.",
    },
    Concept {
        id: "reference-trim",
        group: Group::Reference,
        term: "offset and trim",
        standard: "",
        unit: Some(dim::RatioDim::INFO),
        unit_text: "",
        definition: "A correction that is added to the reference or multiplied with it, mostly to bring machines in line with each \
                     other.",
        trap: "Per cent of maximum or of the present reference: small at full speed, a different matter at a tenth of it; it may bypass \
               limits.",
    },
    Concept {
        id: "motor-potentiometer",
        group: Group::Reference,
        term: "raise/lower",
        standard: "",
        unit: Some(dim::SlopeDim::INFO),
        unit_text: "",
        definition: "A reference moved up and down by two inputs at a given rate.",
        trap: "Kept or cleared at stop, and again at loss of supply; a kept reference starts the machine at yesterday’s speed.",
    },
    Concept {
        id: "pulse-reference",
        group: Group::Reference,
        term: "frequency input",
        standard: "",
        unit: Some(dim::FrequencyDim::INFO),
        unit_text: "",
        definition: "A reference given as a train of pulses, with the pulse frequency that means full scale.",
        trap: "Inputs end at some tens of kilohertz and want a certain level; a filter or optocoupler made for contacts swallows the \
               pulses.",
    },
    Concept {
        id: "ratio-reference",
        group: Group::Reference,
        term: "ratio",
        standard: "",
        unit: Some(dim::RatioDim::INFO),
        unit_text: "",
        definition: "The factor by which a following unit runs relative to a leading one.",
        trap: "Of the leader’s reference or of its actual speed; the resolution of the setting limits draw between machines.",
    },
    Concept {
        id: "analogue-output-signal",
        group: Group::Reference,
        term: "monitor output",
        standard: "",
        unit: None,
        unit_text: "V or mA",
        definition: "The quantity that an analogue output shows, and the value at its full scale.",
        trap: "Output frequency before or behind slip compensation, absolute or signed, filtered or not; the loop may be fed by the unit \
               or by the other side.",
    },
];
