//! Functions on which people’s safety rests; each needs the assessment of a competent person.

use super::{Concept, Group};
use crate::quantity::{Dimension, dim};

/// The concepts of this group.
pub(super) const CONCEPTS: &[Concept] = &[
    Concept {
        id: "safe-torque-off",
        group: Group::Safety,
        term: "STO",
        standard: "IEC 61800-5-2 STO; IEC 60204-1 stop category 0",
        unit: None,
        unit_text: "",
        definition: "Function that prevents the unit from giving torque, with a stated reliability.",
        trap: "It does not isolate: terminals stay live; a hanging load falls. Test pulses of safety outputs, and a restart interlock \
               outside, have to be seen to.",
    },
    Concept {
        id: "safe-stop-1",
        group: Group::Safety,
        term: "SS1",
        standard: "IEC 61800-5-2 SS1-t, SS1-r; IEC 60204-1 stop category 1",
        unit: Some(dim::TimeDim::INFO),
        unit_text: "",
        definition: "Controlled stop followed by safe torque off, after a time or when the ramp has been monitored.",
        trap: "Timed, it switches torque off on time although the motor may still turn; monitored, it needs a trusted speed.",
    },
    Concept {
        id: "safe-stop-2",
        group: Group::Safety,
        term: "SS2, SOS",
        standard: "IEC 61800-5-2 SS2, SOS; IEC 60204-1 stop category 2",
        unit: None,
        unit_text: "",
        definition: "Controlled stop, then standstill held under power and supervised.",
        trap: "Needs feedback fit for safety; ordinary zero-speed hold under the same name in people’s speech is not this.",
    },
    Concept {
        id: "safe-speed-limit",
        group: Group::Safety,
        term: "SLS",
        standard: "IEC 61800-5-2 SLS",
        unit: Some(dim::SpeedDim::INFO),
        unit_text: "",
        definition: "Supervision that speed stays below a limit, with a safe reaction if not.",
        trap: "A speed limit among the settings is not it; what counts is the measured shaft, with the encoder and its mounting inside \
               the assessment.",
    },
    Concept {
        id: "safe-direction",
        group: Group::Safety,
        term: "SDI",
        standard: "IEC 61800-5-2 SDI",
        unit: None,
        unit_text: "",
        definition: "The supervision that the shaft does not turn the forbidden way by more than a stated distance, with a safe reaction \
                     if it does.",
        trap: "Reverse inhibit among the settings stops the command only, not the load that pulls the motor backwards.",
    },
    Concept {
        id: "safe-brake-control",
        group: Group::Safety,
        term: "SBC",
        standard: "IEC 61800-5-2 SBC",
        unit: None,
        unit_text: "",
        definition: "The switching-off of a holding brake’s coil with a stated reliability, mostly together with safe torque off.",
        trap: "Controls, but does not test, the brake: whether the brake holds is another function.",
    },
    Concept {
        id: "emergency-stop",
        group: Group::Safety,
        term: "emergency stop",
        standard: "IEC 60204-1 emergency stop, categories 0 and 1; ISO 13850",
        unit: None,
        unit_text: "",
        definition: "Complementary function by which a person stops a hazard with one action.",
        trap: "Category 1 by a delay relay assumes a ramp shorter than the delay; a new ramp, or a ramp stretched by over-voltage \
               control, breaks the assumption. A network stop is none.",
    },
    Concept {
        id: "restart-interlock",
        group: Group::Safety,
        term: "restart prevention",
        standard: "IEC 60204-1 prevention of unexpected start-up; ISO 14118",
        unit: None,
        unit_text: "",
        definition: "Arrangement that the machine does not start by itself when a safety function is released.",
        trap: "Some units start on level as soon as torque is allowed again; the start then has to be broken outside the unit.",
    },
    Concept {
        id: "motor-isolation",
        group: Group::Safety,
        term: "motor disconnector",
        standard: "IEC 60204-1 isolation; NEC 430 disconnecting means",
        unit: None,
        unit_text: "",
        definition: "The switch by which the motor is cut off from the unit and locked for work on it.",
        trap: "Between unit and motor it needs an early auxiliary contact that stops the unit; opened under load it arcs, closed on a \
               running output it trips.",
    },
];
