//! The files of a pack in one text, each after a line "=== its-name": no panic, and every problem points into its file.
#![no_main]

use changeout_fuzz::{PACK, point_into};
use libfuzzer_sys::fuzz_target;
use packs::{PackFile, read_pack};

fuzz_target!(|text: &str| {
    let mut files: Vec<(&str, &str)> = Vec::new();
    for part in text.split("=== ").skip(1) {
        let (name, text) = part.split_once('\n').unwrap_or((part, ""));
        if !files.iter().any(|(other, _)| *other == name) {
            files.push((name, text));
        }
    }
    if !files.iter().any(|(name, _)| *name == "pack.toml") {
        files.push(("pack.toml", PACK));
    }
    let given: Vec<PackFile<'_>> = files.iter().map(|(name, text)| PackFile { name, bytes: text.as_bytes() }).collect();
    point_into(&files, &read_pack(&given, "s").problems);
});
