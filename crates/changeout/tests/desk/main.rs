//! The desk from outside: `changeout open` on a copy of the demo, asked over HTTP as a browser or a script asks, and (where one
//! can be had) driven in a real browser.
#![allow(
    clippy::disallowed_methods,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "tests write sites, read the environment, and stop at the first broken expectation"
)]

mod beyond;
mod browser;
mod changes;
mod face;
mod lists;
mod open;
mod shown;
mod walked;
mod work;
