//! Who may start, what happens at power-up, after a fault and through a dip.

use super::{Concept, Group};
use crate::quantity::{Dimension, dim};

/// The concepts of this group.
pub(super) const CONCEPTS: &[Concept] = &[
    Concept {
        id: "start-source",
        group: Group::Starting,
        term: "command location",
        standard: "CIP NetCtrl; PROFIdrive control by PLC",
        unit: None,
        unit_text: "",
        definition: "From where the unit takes start, stop and direction: terminals, network, keypad.",
        trap: "Who may start and who may stop are two questions; a keypad stop may work from everywhere, or nowhere, and the choice may \
               change with an input.",
    },
    Concept {
        id: "start-wiring",
        group: Group::Starting,
        term: "two-wire or three-wire control",
        standard: "IEC 60204-1 hold-to-run, start and stop",
        unit: None,
        unit_text: "",
        definition: "Whether one maintained contact runs the motor as long as it is closed, or a start pulse and a stop contact do.",
        trap: "A maintained contact restarts the motor by itself when the supply comes back; a unit that wants an edge does not, and \
               either can be the dangerous surprise.",
    },
    Concept {
        id: "start-on-power-up",
        group: Group::Starting,
        term: "automatic start at power-up",
        standard: "IEC 60204-1 unexpected start-up",
        unit: None,
        unit_text: "",
        definition: "Whether the unit runs when its supply comes back and the run command is already there.",
        trap: "The default differs; with a pulse-started old unit the plant relied on not restarting, with a latched relay outside it \
               may rely on restarting.",
    },
    Concept {
        id: "fault-auto-restart",
        group: Group::Starting,
        term: "automatic fault reset",
        standard: "",
        unit: Some(dim::CountDim::INFO),
        unit_text: "",
        definition: "How many times in a row the unit clears a fault by itself and goes on, without a person having looked at it.",
        trap: "Which faults, reset only or also restart, and when the counter goes back to nought: each unit has its own; people near \
               the machine must expect it.",
    },
    Concept {
        id: "fault-restart-delay",
        group: Group::Starting,
        term: "restart delay",
        standard: "",
        unit: Some(dim::TimeDim::INFO),
        unit_text: "",
        definition: "How long the unit waits after a fault before it clears it by itself. In this time the motor coasts and the cause \
                     may pass.",
        trap: "Shorter than the coast-down, it restarts into a turning motor; without flying start that trips again until the counter is \
               used up.",
    },
    Concept {
        id: "flying-start",
        group: Group::Starting,
        term: "catching a spinning motor",
        standard: "",
        unit: None,
        unit_text: "",
        definition: "Finding speed and direction of a turning motor and joining it without a jolt.",
        trap: "It searches from the top or both ways and can kick a motor that stands still; with a low-inertia load at rest it may \
               report a wrong speed.",
    },
    Concept {
        id: "start-delay",
        group: Group::Starting,
        term: "start delay",
        standard: "",
        unit: Some(dim::TimeDim::INFO),
        unit_text: "",
        definition: "Time from start command to first voltage at the motor, for a warning horn or a contactor to close.",
        trap: "A few hundred milliseconds of built-in delay are normal and not shown; horns and brakes are timed on the total.",
    },
    Concept {
        id: "pre-magnetising",
        group: Group::Starting,
        term: "pre-magnetising time",
        standard: "",
        unit: Some(dim::TimeDim::INFO),
        unit_text: "",
        definition: "Time during which flux is built up at standstill before the shaft may turn.",
        trap: "Automatic in vector control and absent in volts per hertz; at every start it adds up to a second that the old unit may \
               not have had.",
    },
    Concept {
        id: "motor-preheat",
        group: Group::Starting,
        term: "standstill heating",
        standard: "",
        unit: Some(dim::CurrentDim::INFO),
        unit_text: "",
        definition: "Small current through the stopped motor that keeps its winding dry.",
        trap: "The output is live although the motor stands and nothing runs: work on the motor needs a lock-out as always, and a “drive \
               off” lamp lies.",
    },
    Concept {
        id: "kinetic-buffering",
        group: Group::Starting,
        term: "power-loss ride-through",
        standard: "",
        unit: Some(dim::VoltageDim::INFO),
        unit_text: "",
        definition: "Drawing energy from the turning load through a supply dip by slowing down, so that the link stays charged.",
        trap: "The level is a DC voltage tied to the supply setting; what follows (go on, trip, stop) differs, and the speed lost \
               matters to synchronised machines.",
    },
    Concept {
        id: "undervoltage-level",
        group: Group::Starting,
        term: "under-voltage trip",
        standard: "CiA 402 error code 3220h",
        unit: Some(dim::VoltageDim::INFO),
        unit_text: "",
        definition: "The DC-link voltage below which the unit gives up, because it can no longer make the output voltage or feed its own \
                     electronics.",
        trap: "Trip that wants a reset, or a pause that resumes by itself; the level may be a setting, a share of the supply setting or \
               fixed.",
    },
    Concept {
        id: "undervoltage-delay",
        group: Group::Starting,
        term: "under-voltage delay",
        standard: "",
        unit: Some(dim::TimeDim::INFO),
        unit_text: "",
        definition: "How long the link may stay low before the unit reports it, so that a short dip passes unseen.",
        trap: "Bound by what the capacitors hold at the present load: a setting of seconds does not make a loaded unit live through \
               seconds.",
    },
    Concept {
        id: "enable",
        group: Group::Starting,
        term: "run permit",
        standard: "CiA 402 enable operation; PROFIdrive enable operation",
        unit: None,
        unit_text: "",
        definition: "A condition that must stand for the output to be on; taking it away switches the output off.",
        trap: "Whether its return restarts the motor by itself, or a new start edge is needed, decides if it may serve as an interlock.",
    },
    Concept {
        id: "local-remote",
        group: Group::Starting,
        term: "hand/off/auto",
        standard: "",
        unit: None,
        unit_text: "",
        definition: "Choice between control at the machine and control from the process.",
        trap: "On changing over, the motor may stop, go on at the old reference or jump to the new; check both ways, running.",
    },
    Concept {
        id: "fault-reset-source",
        group: Group::Starting,
        term: "fault reset",
        standard: "CiA 402 controlword bit 7; CIP FaultRst",
        unit: None,
        unit_text: "",
        definition: "The command that clears a stored fault once its cause has gone, and the place it may come from: terminal, keypad or \
                     network.",
        trap: "Level or edge; with the run command still there, a reset is a start in one unit and nothing in another.",
    },
];
