//! Any bytes as a workbook of ratings: no panic.
#![no_main]

use changeout_fuzz::{PACK, let_calamine_panic, point_into};
use libfuzzer_sys::fuzz_target;
use packs::{PackFile, read_pack};

fuzz_target!(init: let_calamine_panic(), |bytes: &[u8]| {
    let files = [PackFile { name: "pack.toml", bytes: PACK.as_bytes() }, PackFile { name: "ratings.xlsx", bytes }];
    point_into(&[("pack.toml", PACK)], &read_pack(&files, "s").problems);
});
