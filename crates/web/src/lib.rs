//! The desk: a site seen and changed on a local web page, made on the server, with a JSON twin of every page.
//!
//! One page is one file of `pages` with its handler and its template. Nothing here calculates or touches the disk: answers come
//! from `job`, texts are edited by `packs`, and everything outside (files, date, clock) comes through [`World`].

mod answers;
mod ask;
mod assets;
mod change;
mod face;
mod figures;
mod guard;
mod made;
mod pages;
mod server;
mod view;
mod world;

pub use face::{Face, Keys, SHORTEST_PASSWORD};
pub use server::{Desk, LONGEST_BODY, LONGEST_UPLOAD, serve};
pub use world::{File, Folder, Unsaved, World};
