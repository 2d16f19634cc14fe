//! The motor as the unit knows it, and how it makes voltage for it.

use super::{Concept, Group};
use crate::quantity::{Dimension, dim};

/// The concepts of this group.
pub(super) const CONCEPTS: &[Concept] = &[
    Concept {
        id: "motor-power",
        group: Group::Motor,
        term: "motor rated power",
        standard: "IEC 60034-1 rated output; CiA 402 motor data",
        unit: Some(dim::PowerDim::INFO),
        unit_text: "",
        definition: "The mechanical power that the motor is rated to deliver at its shaft.",
        trap: "In one unit it is a note for people, in another it drives the motor model; horsepower and kilowatts are sometimes \
               switched by the regional setting without conversion.",
    },
    Concept {
        id: "motor-voltage",
        group: Group::Motor,
        term: "motor rated voltage",
        standard: "IEC 60034-1 rated voltage; CIP RatedVoltage",
        unit: Some(dim::VoltageDim::INFO),
        unit_text: "",
        definition: "The line-to-line voltage at which the motor has its rated flux at rated frequency, for the connection it stands in.",
        trap: "Entering the supply voltage in place of the plate voltage shifts the flux; star and delta on one plate differ by √3.",
    },
    Concept {
        id: "motor-frequency",
        group: Group::Motor,
        term: "base frequency",
        standard: "IEC 60034-1 rated frequency; CIP RatedFreq",
        unit: Some(dim::FrequencyDim::INFO),
        unit_text: "",
        definition: "The frequency that belongs to the motor’s rated voltage; below it flux is held, above it the field weakens.",
        trap: "Many units rescale ramps, references and limits when it is changed; it must be entered before them, and they must be read \
               again afterwards.",
    },
    Concept {
        id: "motor-speed",
        group: Group::Motor,
        term: "motor rated speed",
        standard: "IEC 60034-1 rated speed; CIP BaseSpeed",
        unit: Some(dim::SpeedDim::INFO),
        unit_text: "",
        definition: "The shaft speed at rated power, voltage and frequency; its distance from the synchronous speed is the rated slip.",
        trap: "Typing 1500 or 1800 rpm tells the unit that the motor has no slip, and slip compensation, torque and flux models then go \
               wrong or refuse to work.",
    },
    Concept {
        id: "motor-current",
        group: Group::Motor,
        term: "motor rated current",
        standard: "NEMA MG 1 full-load amperes; CiA 402 6075h",
        unit: Some(dim::CurrentDim::INFO),
        unit_text: "",
        definition: "The line current of the motor at rated load; the thermal model of the motor and usually the torque scale stand on \
                     it.",
        trap: "With several motors it is the sum for the model but says nothing of any single motor’s protection; for a rewound or \
               dual-voltage motor the plate may show another connection’s current.",
    },
    Concept {
        id: "motor-power-factor",
        group: Group::Motor,
        term: "power factor",
        standard: "IEC 60034-1 cos φ",
        unit: Some(dim::RatioDim::INFO),
        unit_text: "",
        definition: "The share of the motor’s apparent power that is active power at rated load; the unit derives the magnetising \
                     current from it.",
        trap: "One unit asks for it, another for the no-load current in its place; what the old unit learned by itself cannot be copied.",
    },
    Concept {
        id: "no-load-current",
        group: Group::Motor,
        term: "magnetising current",
        standard: "",
        unit: Some(dim::CurrentDim::INFO),
        unit_text: "",
        definition: "The current that the unloaded motor draws at rated voltage and frequency, nearly all of it to make flux.",
        trap: "Given in amperes, in per cent of motor current or in per cent of unit current; on small and many-pole motors it is over \
               half the rated current.",
    },
    Concept {
        id: "pole-count",
        group: Group::Motor,
        term: "number of poles",
        standard: "CiA 402 604Dh pole number; CIP PoleCount",
        unit: Some(dim::CountDim::INFO),
        unit_text: "",
        definition: "How many magnetic poles the winding makes; frequency and speed are tied by it.",
        trap: "Poles or pole pairs: a factor of two in every speed shown and sent; some units work it out from speed and frequency and \
               ignore an entry.",
    },
    Concept {
        id: "motor-control-method",
        group: Group::Motor,
        term: "control method",
        standard: "",
        unit: None,
        unit_text: "",
        definition: "How the unit decides the voltage it makes: from frequency alone, from an estimated field, or from a field located \
                     with an encoder.",
        trap: "The names on keypads differ: “vector” can mean volts per hertz with current-dependent boost; low-speed torque and \
               parallel motors depend on what it truly is.",
    },
    Concept {
        id: "voltage-curve",
        group: Group::Motor,
        term: "V/Hz pattern",
        standard: "",
        unit: None,
        unit_text: "V at Hz",
        definition: "The course of output voltage over frequency in volts-per-hertz control: straight, quadratic, or through points.",
        trap: "A quadratic curve leaves little torque for starting; points may be in volts, in per cent of motor voltage or in per cent \
               of supply voltage.",
    },
    Concept {
        id: "voltage-boost",
        group: Group::Motor,
        term: "low-speed boost",
        standard: "",
        unit: Some(dim::VoltageDim::INFO),
        unit_text: "",
        definition: "Extra voltage near standstill that makes up for the drop in the stator resistance, so that flux and torque hold.",
        trap: "It may act at zero frequency alone, along the whole curve, only while starting, or follow the current; too much saturates \
               the motor and trips on current with no load.",
    },
    Concept {
        id: "slip-compensation",
        group: Group::Motor,
        term: "slip compensation",
        standard: "",
        unit: Some(dim::FrequencyDim::INFO),
        unit_text: "",
        definition: "Frequency added in proportion to load so that the shaft keeps its speed although the rotor slips.",
        trap: "Off in one unit and on in another as delivered; left on together with an outer speed loop or an encoder it corrects \
               twice, and shown output frequency then exceeds the reference.",
    },
    Concept {
        id: "motor-identification",
        group: Group::Motor,
        term: "auto-tune",
        standard: "",
        unit: None,
        unit_text: "",
        definition: "The measurement by which the unit learns resistance, inductances and magnetising current of the connected motor, at \
                     standstill or turning.",
        trap: "A rotating run turns the shaft, uncoupled or not; some runs need a start command and some start at once, and a saved \
               result may be lost on reset or not be copied with the settings.",
    },
    Concept {
        id: "stator-resistance",
        group: Group::Motor,
        term: "stator resistance",
        standard: "",
        unit: Some(dim::ResistanceDim::INFO),
        unit_text: "",
        definition: "Ohmic resistance of the motor winding that the unit reckons with, cable included when it was measured through the \
                     cable.",
        trap: "Per phase or between two terminals (twice that), cold or hot, per cent or ohm; a value from the old unit may hold an \
               output choke that is no longer there.",
    },
    Concept {
        id: "flux-optimisation",
        group: Group::Motor,
        term: "energy saving",
        standard: "",
        unit: Some(dim::RatioDim::INFO),
        unit_text: "",
        definition: "Lowering the flux of a lightly loaded motor so that its losses fall.",
        trap: "A sudden load finds the motor without flux: it sags or stalls; not for shock loads, lifts and conveyors that start \
               loaded.",
    },
    Concept {
        id: "field-weakening-start",
        group: Group::Motor,
        term: "start of field weakening",
        standard: "",
        unit: Some(dim::FrequencyDim::INFO),
        unit_text: "",
        definition: "The frequency above which output voltage no longer rises with frequency, so that flux and pull-out torque fall.",
        trap: "With a low supply it moves down by itself; a motor of 87 Hz technique or a dual-voltage plate shifts it by √3.",
    },
    Concept {
        id: "carrier-frequency",
        group: Group::Motor,
        term: "switching frequency",
        standard: "",
        unit: Some(dim::FrequencyDim::INFO),
        unit_text: "",
        definition: "How often a second the output switches turn on and off; it sets noise, losses, ripple and the charging current of \
                     the cable.",
        trap: "The stated figure can be that of one switch or of the output ripple (twice); raising it costs current, and some units \
               raise or lower it by themselves.",
    },
    Concept {
        id: "carrier-fold-back",
        group: Group::Motor,
        term: "automatic carrier reduction",
        standard: "",
        unit: None,
        unit_text: "",
        definition: "The unit lowers its carrier frequency when it gets hot, in place of tripping.",
        trap: "With a sine filter or a motor choke a lower carrier can overheat the filter; on when delivered in many units, and \
               invisible until someone listens.",
    },
    Concept {
        id: "maximum-output-frequency",
        group: Group::Motor,
        term: "maximum frequency",
        standard: "",
        unit: Some(dim::FrequencyDim::INFO),
        unit_text: "",
        definition: "The highest frequency that the unit will make at its output, whatever is asked.",
        trap: "In some units it is a ceiling, in others also the 100 % of references and the base of ramp times; changing it then \
               changes both.",
    },
    Concept {
        id: "back-emf",
        group: Group::Motor,
        term: "back-EMF constant",
        standard: "",
        unit: Some(dim::VoltageDim::INFO),
        unit_text: "",
        definition: "Voltage that a permanent-magnet motor makes at its terminals for a given speed while no current flows.",
        trap: "Peak or rms, phase or line-to-line, cold or warm: factors of √2, √3 and both; a windmilling motor makes it with the unit \
               switched off.",
    },
    Concept {
        id: "motor-inductances",
        group: Group::Motor,
        term: "d- and q-axis inductance",
        standard: "",
        unit: Some(dim::InductanceDim::INFO),
        unit_text: "",
        definition: "The inductances that a synchronous motor shows along and across its magnet or pole axis; current control without \
                     encoder needs them.",
        trap: "Per phase or between terminals, saturated or not; a motor maker’s value and a unit’s measured value can differ by half \
               and both be right.",
    },
];
