//! The box: how warm it gets, how it is cooled, how cables bend into it, what its rating keeps.

pub mod bend;
pub mod cooling;
pub mod heat;
pub mod rating;

/// The calculations of this subject that can be called by name.
pub const CALCULATIONS: &[&crate::registry::Calculation] = &[
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
