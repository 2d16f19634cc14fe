//! The regulator for a process quantity inside the unit.

use super::{Concept, Group};
use crate::quantity::{Dimension, dim};

/// The concepts of this group.
pub(super) const CONCEPTS: &[Concept] = &[
    Concept {
        id: "pid-gain",
        group: Group::Process,
        term: "process gain, Kp",
        standard: "",
        unit: None,
        unit_text: "per unit",
        definition: "Change of output of the process regulator per change of its error.",
        trap: "Gain or its reciprocal (proportional band), of span or of engineering units; its sign for cooling or level-down control \
               may be a setting of its own.",
    },
    Concept {
        id: "pid-integral",
        group: Group::Process,
        term: "reset time, Ti",
        standard: "",
        unit: Some(dim::TimeDim::INFO),
        unit_text: "",
        definition: "Time in which the integral part repeats the proportional part.",
        trap: "Seconds, minutes or repeats per minute; with independent gains (parallel form) it has another meaning altogether. Nought \
               may be off or infinite action.",
    },
    Concept {
        id: "pid-derivative",
        group: Group::Process,
        term: "rate time, Td",
        standard: "",
        unit: Some(dim::TimeDim::INFO),
        unit_text: "",
        definition: "The weight that the rate of change has in the process regulator, given as the time by which it looks ahead.",
        trap: "On error or on measured value only, filtered or not, as a time or as a gain of its own; on a noisy signal it shakes the \
               motor, and nought is the usual setting.",
    },
    Concept {
        id: "pid-scale",
        group: Group::Process,
        term: "process scale",
        standard: "",
        unit: None,
        unit_text: "unit",
        definition: "The span in engineering units that set value and measured value have at the two ends of their signals.",
        trap: "Entered as per cent of span here and as bar or °C there; changing the transmitter range silently changes the gain.",
    },
    Concept {
        id: "pid-limits",
        group: Group::Process,
        term: "process output limits",
        standard: "",
        unit: Some(dim::FrequencyDim::INFO),
        unit_text: "",
        definition: "Lowest and highest speed that the process regulator may ask for.",
        trap: "Without anti-windup at these limits the regulator hangs after a long saturation; a negative limit lets the pump turn \
               backwards.",
    },
    Concept {
        id: "sleep",
        group: Group::Process,
        term: "sleep and wake",
        standard: "",
        unit: None,
        unit_text: "Hz, s, unit",
        definition: "Stopping a pump or fan when the process needs none, and starting it again by itself.",
        trap: "Wakes on level or on deviation after a delay: the machine that stands still is not off, and restarts without any command.",
    },
    Concept {
        id: "pump-staging",
        group: Group::Process,
        term: "multi-pump control",
        standard: "",
        unit: None,
        unit_text: "",
        definition: "Adding and dropping further pumps by one unit that regulates.",
        trap: "Who keeps hours and takes turns, unit or controller, must be settled; contact outputs and interlocks of the old scheme \
               seldom match.",
    },
];
