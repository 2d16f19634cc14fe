//! Encoder and gearing.

use super::{Concept, Group};
use crate::quantity::{Dimension, dim};

/// The concepts of this group.
pub(super) const CONCEPTS: &[Concept] = &[
    Concept {
        id: "encoder-resolution",
        group: Group::Feedback,
        term: "encoder pulses",
        standard: "CiA 402 608Fh position encoder resolution",
        unit: Some(dim::CountDim::INFO),
        unit_text: "",
        definition: "How many pulses per turn the encoder gives on each channel. The unit turns them into speed and position.",
        trap: "Lines or edges (four times), per motor turn or per turn of the measuring wheel; input frequency is pulses times speed and \
               has a limit.",
    },
    Concept {
        id: "encoder-kind",
        group: Group::Feedback,
        term: "encoder type",
        standard: "TIA-422 (RS-422) line driver",
        unit: None,
        unit_text: "",
        definition: "The electrical signal of the encoder: differential 5 V, single-ended or differential supply-level, sine and cosine, \
                     or absolute over a serial line.",
        trap: "Single-ended supply-level signals on long cables lose edges; an input for one kind does not take the other without a \
               module.",
    },
    Concept {
        id: "encoder-supply",
        group: Group::Feedback,
        term: "encoder supply",
        standard: "",
        unit: Some(dim::VoltageDim::INFO),
        unit_text: "",
        definition: "The voltage and the current by which the unit feeds the encoder over its cable.",
        trap: "Five volts at the unit are four at the far end of a long cable; a choice of 5, 12 or 24 V set too high destroys the \
               encoder at switch-on.",
    },
    Concept {
        id: "feedback-direction",
        group: Group::Feedback,
        term: "encoder direction",
        standard: "CiA 402 607Eh polarity",
        unit: None,
        unit_text: "",
        definition: "The sign of measured speed relative to the motor’s phase sequence.",
        trap: "If it disagrees, a closed-loop motor runs to its current limit at creeping speed or runs away; correct it at one place, \
               not at two.",
    },
    Concept {
        id: "gear-ratio",
        group: Group::Feedback,
        term: "gear ratio",
        standard: "CiA 402 6091h gear ratio",
        unit: Some(dim::RatioDim::INFO),
        unit_text: "",
        definition: "How many turns the motor makes for one turn of the load. Speed and position of the machine are worked out with it.",
        trap: "Motor to load or load to motor; rounded to two decimals it makes positions drift and draw wrong.",
    },
    Concept {
        id: "feedback-filter",
        group: Group::Feedback,
        term: "speed feedback filter",
        standard: "",
        unit: Some(dim::TimeDim::INFO),
        unit_text: "",
        definition: "Time constant of measured speed before it reaches the regulator.",
        trap: "It limits how stiff the loop can be; the old unit’s filter was part of its tuning.",
    },
];
