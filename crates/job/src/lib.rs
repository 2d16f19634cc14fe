//! The pipeline: a site and its packs in, a finished dossier out. Ranges, verdicts, remedies, ranking and
//! what to measure next live here; no files, no clock, no web.

pub mod assess;
pub mod behaviour;
pub mod bounds;
pub mod boxes;
pub mod charts;
pub mod cutover;
pub mod measure;
pub mod options;
pub mod papers;
pub mod phrase;
pub mod power;
mod prices;
pub mod rehearsal;
pub mod report;
pub mod searches;
pub mod settings;
pub mod wires;
pub mod words;
