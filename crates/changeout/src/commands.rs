//! One file per command.

pub(crate) mod assess;
pub(crate) mod r#box;
pub(crate) mod calc;
pub(crate) mod check;
pub(crate) mod cutover;
pub(crate) mod demo;
pub(crate) mod dossier;
pub(crate) mod explain;
pub(crate) mod new;
pub(crate) mod open;
pub(crate) mod power;
pub(crate) mod record;
pub(crate) mod rehearse;
pub(crate) mod schema;
pub(crate) mod settings;
pub(crate) mod survey;
pub(crate) mod words;
