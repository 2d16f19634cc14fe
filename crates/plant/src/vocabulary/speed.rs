//! Limits of speed, ramps and the fixed speeds.

use super::{Concept, Group};
use crate::quantity::{Dimension, dim};

/// The concepts of this group.
pub(super) const CONCEPTS: &[Concept] = &[
    Concept {
        id: "minimum-speed",
        group: Group::Speed,
        term: "low speed limit",
        standard: "CiA 402 6046h vl velocity min max amount; CIP LowSpdLimit",
        unit: Some(dim::FrequencyDim::INFO),
        unit_text: "",
        definition: "The speed below which the unit will not run steadily while it is commanded to run.",
        trap: "It can lift every smaller reference to this value, treat it as zero, or be the threshold to start at all; check what \
               happens with reverse and with a reference of nought.",
    },
    Concept {
        id: "maximum-speed",
        group: Group::Speed,
        term: "high speed limit",
        standard: "CiA 402 6046h vl velocity min max amount; CIP HighSpdLimit",
        unit: Some(dim::FrequencyDim::INFO),
        unit_text: "",
        definition: "The speed above which the unit will not take the motor, whatever the reference says.",
        trap: "As a clamp it cuts references off; as a scale it stretches them: the same entry gives another speed at half reference. \
               Slip compensation and trim may go above it.",
    },
    Concept {
        id: "acceleration-ramp",
        group: Group::Speed,
        term: "acceleration",
        standard: "CiA 402 6048h vl velocity acceleration; CIP AccelTime",
        unit: Some(dim::SlopeDim::INFO),
        unit_text: "",
        definition: "How fast the speed reference behind the ramp may rise: a change of frequency per time.",
        trap: "Entered as seconds, it needs its span: to maximum, to base, or to the set reference; the same 15 s is another steepness \
               in each. A current limit may stretch it.",
    },
    Concept {
        id: "deceleration-ramp",
        group: Group::Speed,
        term: "deceleration",
        standard: "CiA 402 6049h vl velocity deceleration; CIP DecelTime",
        unit: Some(dim::SlopeDim::INFO),
        unit_text: "",
        definition: "How fast the speed reference behind the ramp may fall; the energy of the load has to go somewhere meanwhile.",
        trap: "It has a span like acceleration, not always the same one; a bus-voltage regulator stretches it silently, so the stop that \
               people know may never have followed the setting.",
    },
    Concept {
        id: "second-ramps",
        group: Group::Speed,
        term: "second ramp set",
        standard: "",
        unit: Some(dim::SlopeDim::INFO),
        unit_text: "",
        definition: "An alternative pair of acceleration and deceleration, taken by an input, above a speed, or in one direction.",
        trap: "What selects it differs, and while it is selected the first set is dead; a changeover in mid-ramp can jerk the load.",
    },
    Concept {
        id: "s-curve",
        group: Group::Speed,
        term: "jerk limit",
        standard: "",
        unit: Some(dim::TimeDim::INFO),
        unit_text: "",
        definition: "Rounding of the ends of a ramp so that acceleration itself changes gradually.",
        trap: "Inside the ramp time or added to it: with rounding added, 10 s become 12 or 15 s, and stop distances with them.",
    },
    Concept {
        id: "quick-stop-ramp",
        group: Group::Speed,
        term: "quick stop",
        standard: "CiA 402 604Ah, 605Ah; PROFIdrive OFF3",
        unit: Some(dim::SlopeDim::INFO),
        unit_text: "",
        definition: "A separate, steeper deceleration taken by a quick-stop command.",
        trap: "It ends disabled in one profile option and holding with current in another; it is no safety function unless the safety \
               function says so.",
    },
    Concept {
        id: "jog-speed",
        group: Group::Speed,
        term: "inching speed",
        standard: "PROFIdrive jog 1, jog 2",
        unit: Some(dim::FrequencyDim::INFO),
        unit_text: "",
        definition: "The speed at which the motor turns as long as a jog command is held.",
        trap: "Some units accept jog only at standstill, some in both directions on one input, and the ordinary minimum may or may not \
               apply.",
    },
    Concept {
        id: "jog-ramp",
        group: Group::Speed,
        term: "inching ramp",
        standard: "",
        unit: Some(dim::SlopeDim::INFO),
        unit_text: "",
        definition: "The acceleration and deceleration that hold while a jog command turns the motor. They are usually short, so that a \
                     tap on the button gives a visible step.",
        trap: "Where none exists the ordinary ramps apply; with a 60 s ramp, jogging then does nothing that an operator would notice.",
    },
    Concept {
        id: "preset-speeds",
        group: Group::Speed,
        term: "fixed speeds",
        standard: "",
        unit: Some(dim::FrequencyDim::INFO),
        unit_text: "",
        definition: "Speeds stored in the unit and chosen by a combination of inputs.",
        trap: "The order may be binary or one input each, and “none selected” can mean preset nought or the analogue reference; one \
               broken wire then selects another speed, not a stop.",
    },
    Concept {
        id: "skip-frequency",
        group: Group::Speed,
        term: "critical speed avoidance",
        standard: "",
        unit: Some(dim::FrequencyDim::INFO),
        unit_text: "",
        definition: "The middle of a band of speed in which the unit does not run steadily, because the machine resonates there.",
        trap: "In hertz of the output or rpm of the shaft; slip moves the true resonance out of the band, and each unit rounds a \
               reference inside it up or down by its own rule.",
    },
    Concept {
        id: "skip-band",
        group: Group::Speed,
        term: "skip band width",
        standard: "",
        unit: Some(dim::FrequencyDim::INFO),
        unit_text: "",
        definition: "The width of the band of speed around its middle in which the unit does not run steadily.",
        trap: "Full width or half width to each side: copied as it stands, a band of 4 Hz becomes 8 Hz or 2 Hz; the ramp still crosses \
               it.",
    },
    Concept {
        id: "reverse-inhibit",
        group: Group::Speed,
        term: "reverse disable",
        standard: "CiA 402 607Eh polarity; IEC 61800-5-2 SDI where safe",
        unit: None,
        unit_text: "",
        definition: "The prohibition to turn the motor against its positive direction.",
        trap: "A negative reference may then become zero, its magnitude, or the minimum speed; swapped leads at the motor make “forward \
               only” turn the wrong way only.",
    },
    Concept {
        id: "direction-sense",
        group: Group::Speed,
        term: "direction of rotation",
        standard: "IEC 60034-8 direction of rotation; CiA 402 607Eh polarity",
        unit: None,
        unit_text: "",
        definition: "Which way the shaft turns on a positive reference, seen from the drive end. It follows from phase order at the \
                     motor and from a sign inside the unit.",
        trap: "Corrected by swapping leads or by a setting: a setting is lost on factory reset and does not hold for a bypass; check \
               with the coupling off or a bump, never by reasoning.",
    },
    Concept {
        id: "zero-speed-threshold",
        group: Group::Speed,
        term: "standstill threshold",
        standard: "IEC 61800-5-2 SSM where safe",
        unit: Some(dim::FrequencyDim::INFO),
        unit_text: "",
        definition: "The speed below which the unit reports standstill and acts on it: releases an interlock, closes a brake.",
        trap: "Applied to output frequency, estimate or encoder, with or without delay; without an encoder it is no proof that the shaft \
               stands.",
    },
    Concept {
        id: "at-speed-band",
        group: Group::Speed,
        term: "at reference",
        standard: "CIP AtReference; PROFIdrive ZSW1 bit 8; CiA 402 target reached (statusword bit 10)",
        unit: Some(dim::FrequencyDim::INFO),
        unit_text: "",
        definition: "How near actual speed must be to the reference for the unit to report that it has arrived.",
        trap: "In per cent of the reference or of the maximum, with or without hold time; interlocks of following machines hang on the \
               old behaviour.",
    },
    Concept {
        id: "speed-detect",
        group: Group::Speed,
        term: "speed threshold",
        standard: "PROFIdrive ZSW1 bit 10",
        unit: Some(dim::FrequencyDim::INFO),
        unit_text: "",
        definition: "A speed at which an output or status bit changes over, independent of the reference.",
        trap: "With sign or as magnitude, with which hysteresis: a contact that opened at 5 Hz going down may now open at 3 Hz.",
    },
];
