//! How the old and the new unit behave under the same events: both with their wiring as state machines, every difference with a shortest
//! sequence of events that leads to it, each alone against rules of safety, and what makes a difference go away.
//!
//! A unit is a set of habits ([`plant::control`]); the wiring around it is a [`scheme::Scheme`]. Time has no clock here: a dip is one that a
//! unit's control outlives or not, and [`event::Event::Time`] is so long that every ramp ends and every wait is over. What lies between — how
//! long a ramp takes — belongs to the findings on stopping.

pub mod answer;
pub mod case;
pub mod compare;
pub mod event;
pub mod explore;
pub mod explored;
mod graph;
mod looks;
pub mod machine;
pub mod model;
pub mod output;
pub mod plan;
pub mod remedy;
pub mod rules;
pub mod scheme;
#[cfg(test)]
mod tests;
pub mod text;
pub mod unit;
