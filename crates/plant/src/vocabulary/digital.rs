//! Contacts, inputs and outputs.

use super::{Concept, Group};
use crate::quantity::{Dimension, dim};

/// The concepts of this group.
pub(super) const CONCEPTS: &[Concept] = &[
    Concept {
        id: "input-polarity",
        group: Group::Digital,
        term: "sinking or sourcing",
        standard: "IEC 61131-2 current-sinking inputs",
        unit: None,
        unit_text: "V",
        definition: "Whether a digital input draws current from a positive signal or feeds current into a switch to common.",
        trap: "The two words are used from both ends of the wire; with inputs that feed a grounded switch, a wire touching earth is a \
               start command.",
    },
    Concept {
        id: "input-thresholds",
        group: Group::Digital,
        term: "input type",
        standard: "IEC 61131-2 types 1, 2, 3",
        unit: Some(dim::VoltageDim::INFO),
        unit_text: "",
        definition: "The voltages and currents at which a digital input is surely off and surely on.",
        trap: "Two-wire sensors and solid-state outputs leak a milliampere or two, which a high-impedance input reads as on; 120 V wires \
               have no place on a 24 V input.",
    },
    Concept {
        id: "input-sense",
        group: Group::Digital,
        term: "normally open or closed",
        standard: "",
        unit: None,
        unit_text: "",
        definition: "Whether a function of an input acts with the signal present or absent.",
        trap: "Stops and enables should act on absence; as delivered an unused function may count as present and let the unit run \
               without it.",
    },
    Concept {
        id: "input-function",
        group: Group::Digital,
        term: "input assignment",
        standard: "CiA 402 60FDh digital inputs",
        unit: None,
        unit_text: "",
        definition: "The function that a signal at a digital input has inside the unit.",
        trap: "Two inputs with one function, or one input with two, are settled by hidden rules; choosing a ready-made application may \
               rewrite all assignments at once.",
    },
    Concept {
        id: "output-function",
        group: Group::Digital,
        term: "output assignment",
        standard: "CiA 402 60FEh digital outputs",
        unit: None,
        unit_text: "",
        definition: "The state of the unit that a relay or transistor output shows to the plant: running, ready, faulted, at speed and \
                     the like.",
        trap: "The same label covers different conditions; ask at what moment it changes in start, stop and fault.",
    },
    Concept {
        id: "fault-relay-sense",
        group: Group::Digital,
        term: "fault relay",
        standard: "",
        unit: None,
        unit_text: "",
        definition: "Whether the fault relay is energised while healthy or while faulted.",
        trap: "Without supply both look alike on one contact and opposite on the other; interlocks that must drop out with the supply \
               need the healthy-energised sense.",
    },
    Concept {
        id: "run-output",
        group: Group::Digital,
        term: "running",
        standard: "CiA 402 operation enabled; CIP Running1",
        unit: None,
        unit_text: "",
        definition: "The signal to the plant that the motor is being driven. Following machines, lamps and hour counters hang on it.",
        trap: "Command accepted, output on, or speed above zero: seconds apart on a long ramp, and a following machine is interlocked \
               with one of them.",
    },
    Concept {
        id: "ready-output",
        group: Group::Digital,
        term: "ready",
        standard: "PROFIdrive ZSW1 bits 0, 1; CIP Ready",
        unit: None,
        unit_text: "",
        definition: "The signal to the plant that the unit would start if it were told to: it has no fault and its supply is there.",
        trap: "Without fault, with charged link, or with enable too; some units are “ready” without mains on their auxiliary supply.",
    },
    Concept {
        id: "contact-rating",
        group: Group::Digital,
        term: "relay contact rating",
        standard: "IEC 60947-5-1 AC-15, DC-13",
        unit: Some(dim::CurrentDim::INFO),
        unit_text: "",
        definition: "The current and voltage that an output contact can switch, by kind of load.",
        trap: "The bold figure is resistive; a contactor coil needs the inductive one and a suppressor, and 120 V AC on a 30 V contact \
               fails.",
    },
    Concept {
        id: "contact-minimum-load",
        group: Group::Digital,
        term: "minimum contact load",
        standard: "",
        unit: Some(dim::CurrentDim::INFO),
        unit_text: "",
        definition: "The smallest current and voltage at which a contact still conducts reliably.",
        trap: "A power contact in a 24 V, 5 mA input circuit works for months and then drops signals.",
    },
    Concept {
        id: "transistor-output",
        group: Group::Digital,
        term: "solid-state output",
        standard: "IEC 61131-2 digital outputs",
        unit: Some(dim::CurrentDim::INFO),
        unit_text: "",
        definition: "The current that a transistor output can switch, in which polarity, and what it leaks when off.",
        trap: "PNP or NPN has to suit the other side; leakage holds sensitive relays, and it may be DC only where the old relay switched \
               AC.",
    },
    Concept {
        id: "auxiliary-supply",
        group: Group::Digital,
        term: "external 24 V",
        standard: "IEC 61131-2 24 V DC",
        unit: Some(dim::VoltageDim::INFO),
        unit_text: "",
        definition: "Low-voltage supply from outside that keeps control or communication alive without mains.",
        trap: "It may feed the network port alone or all control; the current drawn at switch-on exceeds the stated one, and the feed \
               may not be common with others.",
    },
];
