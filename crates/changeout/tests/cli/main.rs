//! The program from outside: files in, exit codes, text and JSON out, as a user or a script sees them. One module per subject.
#![allow(
    clippy::disallowed_methods,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "tests write sites, read the environment, measure time and stop at the first broken expectation"
)]

mod answer;
mod behaviour;
mod calculations;
mod checking;
mod cutover;
mod demo;
mod ends;
mod honest;
mod hostile;
mod killed;
mod laying_out;
mod pages;
mod power;
mod rehearse;
mod settings;
mod site;
mod wires;
mod words;
mod writing;
