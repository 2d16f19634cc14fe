//! The box: does the unit fit, where are the holes, does it stay cool.

pub mod bend;
pub mod cooling;
pub mod fit;
pub mod heat;
pub mod holes;
pub mod place;
pub mod rating;

/// The calculations of this subject that can be called by name.
pub const CALCULATIONS: &[&crate::registry::Calculation] = &[
    &holes::HOLE_SPACING,
    &holes::ADAPTER_THICKNESS,
    &heat::BOX_SURFACE,
    &heat::BOX_CONSTANT,
    &heat::BOX_TEMPERATURE,
    &heat::BOX_SIMPLE,
    &heat::WALL_HEAT,
    &cooling::VENTILATION,
    &cooling::VENTILATED_RISE,
    &cooling::EXCHANGER,
    &cooling::COOLING_UNIT,
    &bend::BEND_SPACE,
    &rating::TYPE_TO_IP,
];
