//! Limits and references of torque and current, and the regulator of speed.

use super::{Concept, Group};
use crate::quantity::{Dimension, dim};

/// The concepts of this group.
pub(super) const CONCEPTS: &[Concept] = &[
    Concept {
        id: "current-limit",
        group: Group::Torque,
        term: "current limit",
        standard: "CIP CurrentLimit",
        unit: Some(dim::RatioDim::INFO),
        unit_text: "",
        definition: "The output current at which the unit stops following its reference and slows down, holds or trips instead.",
        trap: "Per cent of the unit or of the motor; when it acts, ramps stretch and torque is lost without any fault being shown.",
    },
    Concept {
        id: "torque-limit-motoring",
        group: Group::Torque,
        term: "motoring torque limit",
        standard: "CiA 402 6072h max torque",
        unit: Some(dim::RatioDim::INFO),
        unit_text: "",
        definition: "The greatest torque that the unit lets the motor give in its direction of turning.",
        trap: "Per cent of motor rated torque or of unit current; one figure may mean both directions or one, and field weakening lowers \
               what is really there.",
    },
    Concept {
        id: "torque-limit-regenerating",
        group: Group::Torque,
        term: "regenerating torque limit",
        standard: "CiA 402 60E0h, 60E1h by direction",
        unit: Some(dim::RatioDim::INFO),
        unit_text: "",
        definition: "The greatest torque against the direction of turning, by which the unit may brake.",
        trap: "Split by sign of torque in one unit and by quadrant in another: carried over by name, a winder loses its holding torque \
               in reverse.",
    },
    Concept {
        id: "torque-reference",
        group: Group::Torque,
        term: "torque setpoint",
        standard: "CiA 402 6071h target torque; CIP TorqueRef",
        unit: Some(dim::RatioDim::INFO),
        unit_text: "",
        definition: "The torque that the unit is to make while it controls torque and leaves speed to the load.",
        trap: "Its sign may follow the shaft or the direction command; without a speed limit the motor runs away when the web breaks.",
    },
    Concept {
        id: "speed-limit-in-torque",
        group: Group::Torque,
        term: "speed limit in torque control",
        standard: "",
        unit: Some(dim::FrequencyDim::INFO),
        unit_text: "",
        definition: "The speed at which a torque-controlled motor is caught when its load vanishes.",
        trap: "Absent in some units, a switch to speed control in others; signed limits have to be set for both directions.",
    },
    Concept {
        id: "droop",
        group: Group::Torque,
        term: "load sharing",
        standard: "",
        unit: Some(dim::RatioDim::INFO),
        unit_text: "",
        definition: "Lowering of speed in proportion to load so that coupled motors share it.",
        trap: "Per cent at rated torque, of rated speed or of the present speed; one unit with droop and one without do not share at \
               all.",
    },
    Concept {
        id: "speed-regulator-gain",
        group: Group::Torque,
        term: "speed loop gain",
        standard: "",
        unit: None,
        unit_text: "per unit",
        definition: "How much torque the speed regulator asks for per difference of speed.",
        trap: "Each maker has his own per-unit base or gives a bandwidth; the number never carries over, the behaviour has to be tuned \
               again.",
    },
    Concept {
        id: "speed-regulator-integral",
        group: Group::Torque,
        term: "speed loop integral time",
        standard: "",
        unit: Some(dim::TimeDim::INFO),
        unit_text: "",
        definition: "The time in which the integral part of the speed regulator repeats what the proportional part gave.",
        trap: "As a time, as its reciprocal, or in milliseconds: 200 may be slow or fast; zero can mean off or at once.",
    },
    Concept {
        id: "inertia-compensation",
        group: Group::Torque,
        term: "acceleration feed-forward",
        standard: "",
        unit: Some(dim::InertiaDim::INFO),
        unit_text: "",
        definition: "Torque added ahead of the regulator in proportion to wanted acceleration, from the inertia told to the unit.",
        trap: "Told as kg·m², or as seconds to rated speed at rated torque, and with or without the motor’s own inertia.",
    },
    Concept {
        id: "underload-detection",
        group: Group::Torque,
        term: "load loss",
        standard: "",
        unit: Some(dim::RatioDim::INFO),
        unit_text: "",
        definition: "The load below which the unit reports that a belt has broken or a pump runs dry.",
        trap: "Judged by current it is blind, because a motor without load still draws its magnetising current; by torque or power it is \
               not, and a curve over speed may be wanted.",
    },
    Concept {
        id: "stall-detection",
        group: Group::Torque,
        term: "jam detection",
        standard: "",
        unit: None,
        unit_text: "% for s",
        definition: "The finding that the motor does not turn, or not further, although the unit gives all the current it may.",
        trap: "Often armed only above or below a speed and only in current limit; set for the old unit’s overload it may never fire in \
               the new.",
    },
    Concept {
        id: "load-torque-proving",
        group: Group::Torque,
        term: "torque at start",
        standard: "",
        unit: Some(dim::RatioDim::INFO),
        unit_text: "",
        definition: "The torque that must be there before the load is freed or the start is taken for successful.",
        trap: "Needs a brake or a standing load to push against; with a weak boost an open-loop unit cannot prove it.",
    },
];
