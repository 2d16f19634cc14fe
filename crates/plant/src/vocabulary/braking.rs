//! Stopping, braking and holding.

use super::{Concept, Group};
use crate::quantity::{Dimension, dim};

/// The concepts of this group.
pub(super) const CONCEPTS: &[Concept] = &[
    Concept {
        id: "stop-mode",
        group: Group::Braking,
        term: "normal stop",
        standard: "IEC 60204-1 stop categories 0, 1, 2; CiA 402 605Bh, 605Ch",
        unit: None,
        unit_text: "",
        definition: "What the unit does when its run command ends: let the motor coast, ramp it down and switch off, or ramp down and \
                     hold.",
        trap: "If enable falls before or during the ramp, the ramp becomes a coast; the old scheme may have opened a contactor and \
               coasted whatever the setting said.",
    },
    Concept {
        id: "coast-command",
        group: Group::Braking,
        term: "coast to stop",
        standard: "CiA 402 disable voltage; PROFIdrive OFF2",
        unit: None,
        unit_text: "",
        definition: "The command that switches the output off at once and leaves the motor to its load.",
        trap: "Active low in the profiles: a word of zeros coasts, and a program that never sets the bit never runs. It is no safe \
               torque off.",
    },
    Concept {
        id: "dc-brake-current",
        group: Group::Braking,
        term: "DC injection brake current",
        standard: "",
        unit: Some(dim::CurrentDim::INFO),
        unit_text: "",
        definition: "Direct current put into the stator to brake or hold the motor near standstill.",
        trap: "Per cent of motor or of unit current; it heats the motor without cooling, and on a permanent-magnet motor it does not \
               brake as on an induction motor.",
    },
    Concept {
        id: "dc-brake-time",
        group: Group::Braking,
        term: "DC injection brake time",
        standard: "",
        unit: Some(dim::TimeDim::INFO),
        unit_text: "",
        definition: "How long direct current is injected after a stop or before a start.",
        trap: "Zero may be off or for ever; before a start it delays every start, which sequences with time supervision notice.",
    },
    Concept {
        id: "dc-brake-threshold",
        group: Group::Braking,
        term: "DC injection start frequency",
        standard: "",
        unit: Some(dim::FrequencyDim::INFO),
        unit_text: "",
        definition: "The frequency at which a ramped stop changes over to direct current.",
        trap: "Set high it starts with a jolt and much heat; some units start it only at standstill and ignore this.",
    },
    Concept {
        id: "flux-braking",
        group: Group::Braking,
        term: "flux braking",
        standard: "",
        unit: None,
        unit_text: "",
        definition: "Raising the flux while slowing down, so that the motor burns braking energy in its own windings.",
        trap: "A modest help on small motors and nothing on large ones; counted as a replacement for a resistor it overheats the motor.",
    },
    Concept {
        id: "brake-chopper-enable",
        group: Group::Braking,
        term: "dynamic braking",
        standard: "",
        unit: None,
        unit_text: "",
        definition: "Whether the switch that connects the brake resistor to the DC link is allowed to work.",
        trap: "Off when delivered in many units, and the bus-voltage regulator may take precedence; both wrong and the resistor stays \
               cold while the ramp stretches.",
    },
    Concept {
        id: "brake-chopper-level",
        group: Group::Braking,
        term: "chopper switch-on voltage",
        standard: "",
        unit: Some(dim::VoltageDim::INFO),
        unit_text: "",
        definition: "The DC-link voltage at which the brake resistor is switched in.",
        trap: "Fixed, or derived from a supply-voltage setting: told 400 V on a 480 V supply, the chopper conducts all the time and \
               burns the resistor.",
    },
    Concept {
        id: "brake-resistance",
        group: Group::Braking,
        term: "brake resistor",
        standard: "",
        unit: Some(dim::ResistanceDim::INFO),
        unit_text: "",
        definition: "The ohms that the chopper connects across the DC link: too few overload its switch, too many cannot take the \
                     braking power.",
        trap: "The old resistor may lie below the new unit’s smallest value; the value entered feeds a thermal model only and changes \
               nothing in the current.",
    },
    Concept {
        id: "brake-resistor-power",
        group: Group::Braking,
        term: "brake resistor rating",
        standard: "",
        unit: Some(dim::PowerDim::INFO),
        unit_text: "",
        definition: "The heat that the resistor can give off continuously, on which the unit’s model of it stands.",
        trap: "Makers state power at different duty and temperature; a model is no replacement for a thermal contact that opens the \
               supply when the chopper has failed short.",
    },
    Concept {
        id: "brake-resistor-time-constant",
        group: Group::Braking,
        term: "resistor thermal time constant",
        standard: "",
        unit: Some(dim::TimeDim::INFO),
        unit_text: "",
        definition: "How fast the resistor warms up in the unit’s model of it. It decides how much braking in short bursts the unit \
                     permits before it reports an overloaded resistor.",
        trap: "Left at its default it protects some other resistor; energy per stop may be the wanted figure in its place.",
    },
    Concept {
        id: "bus-voltage-regulator",
        group: Group::Braking,
        term: "over-voltage control",
        standard: "",
        unit: None,
        unit_text: "",
        definition: "Control that holds the DC link below its trip level by stretching the ramp or raising the speed.",
        trap: "With a chopper it usually has to be off, or the resistor never works; on an overhauling load it lets the load run faster \
               instead of tripping.",
    },
    Concept {
        id: "brake-release-delay",
        group: Group::Braking,
        term: "brake release",
        standard: "IEC 61800-5-2 SBC where safe",
        unit: Some(dim::TimeDim::INFO),
        unit_text: "",
        definition: "The time at a start between building up torque and opening the holding brake.",
        trap: "On time alone, on current or on torque: too early and the load sags, too late and the motor pushes against its brake.",
    },
    Concept {
        id: "brake-release-torque",
        group: Group::Braking,
        term: "brake release level",
        standard: "",
        unit: Some(dim::TorqueDim::INFO),
        unit_text: "",
        definition: "Torque or current that must stand before the holding brake is opened.",
        trap: "As current it includes the magnetising current, so a threshold of 30 % may mean no torque at all.",
    },
    Concept {
        id: "brake-close-frequency",
        group: Group::Braking,
        term: "brake close level",
        standard: "",
        unit: Some(dim::FrequencyDim::INFO),
        unit_text: "",
        definition: "The speed on the way down at which the holding brake is told to close.",
        trap: "Add the brake’s own closing time; on a fault or loss of supply the brake must close without this logic, by wire.",
    },
    Concept {
        id: "standstill-hold",
        group: Group::Braking,
        term: "zero-speed hold",
        standard: "IEC 61800-5-2 SOS where safe",
        unit: None,
        unit_text: "",
        definition: "Keeping the motor magnetised and at rest after a stop, so that it resists being turned and starts at once.",
        trap: "It heats motor and unit without cooling air, holds only as long as supply and unit live, and is not a safe hold.",
    },
];
