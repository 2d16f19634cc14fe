//! What the old program and the new drive say to each other over the network.

pub mod address_used_twice;
pub mod answer_comes_late;
pub mod at_speed_comes_late;
#[cfg(test)]
pub(crate) mod cases;
pub mod fault_texts_differ;
pub mod full_scale_differs;
pub mod line_ends_at_drive;
pub mod line_settings_refused;
pub mod local_start_refused;
pub mod loop_swings;
pub mod memory_worn_out;
pub mod refused_by_master;
pub mod registers_shifted;
pub mod restarts_on_reset;
pub mod runs_on_after_loss;
pub(crate) mod scales;
pub mod start_not_understood;
pub mod word_order_differs;
pub mod writes_refused;

use crate::candidate::{Candidate, Measure, Remedy};

/// Minutes of an engineer's or electrician's work to put the block in and try it. Common practice, no source.
const BLOCK_MINUTES: f64 = 480.0;

/// The block that speaks for the old drive.
pub(crate) fn remedy(_: &Candidate<'_>) -> Vec<Remedy> {
    vec![Remedy {
        measure: Measure::WordsBlock,
        what: "set the controller's connection up anew and put the block of “changeout words” between it and the old program, then try it with \
               the motor uncoupled"
            .to_owned(),
        parts: None,
        minutes: BLOCK_MINUTES,
    }]
}
