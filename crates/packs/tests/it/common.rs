//! The invented site of the fixtures, and small helpers that several tests use.

use packs::{PackFile, Problem, Read, Source, read_pack};
use plant::product::Series;

/// Text of a fixture.
macro_rules! fixture {
    ($path:literal) => {
        include_str!(concat!("../fixtures/site/", $path))
    };
}

pub(crate) const SITE: &str = fixture!("site.toml");
pub(crate) const FULL: &str = fixture!("positions/KX-7.toml");
pub(crate) const SPARSE: &str = fixture!("positions/KX-8.toml");
pub(crate) const DECISIONS: &str = fixture!("decisions.toml");
pub(crate) const LOG: &str = fixture!("evidence/current.csv");

/// Files of a pack: name and text.
pub(crate) type PackTexts = Vec<(String, String)>;

pub(crate) fn quellmoor() -> PackTexts {
    texts(&[
        ("pack.toml", fixture!("packs/quellmoor-q3/pack.toml")),
        ("classes.csv", fixture!("packs/quellmoor-q3/classes.csv")),
        ("ratings.csv", fixture!("packs/quellmoor-q3/ratings.csv")),
        ("frames.csv", fixture!("packs/quellmoor-q3/frames.csv")),
        ("overloads.csv", fixture!("packs/quellmoor-q3/overloads.csv")),
        ("derates.csv", fixture!("packs/quellmoor-q3/derates.csv")),
        ("code.csv", fixture!("packs/quellmoor-q3/code.csv")),
        ("modules.csv", fixture!("packs/quellmoor-q3/modules.csv")),
        ("slots.csv", fixture!("packs/quellmoor-q3/slots.csv")),
        ("protections.csv", fixture!("packs/quellmoor-q3/protections.csv")),
        ("variants.csv", fixture!("packs/quellmoor-q3/variants.csv")),
        ("mountings.csv", fixture!("packs/quellmoor-q3/mountings.csv")),
        ("holes.csv", fixture!("packs/quellmoor-q3/holes.csv")),
        ("losses.csv", fixture!("packs/quellmoor-q3/losses.csv")),
        ("layouts.csv", fixture!("packs/quellmoor-q3/layouts.csv")),
        ("words.csv", fixture!("packs/quellmoor-q3/words.csv")),
        ("bits.csv", fixture!("packs/quellmoor-q3/bits.csv")),
        ("faults.csv", fixture!("packs/quellmoor-q3/faults.csv")),
    ])
}

pub(crate) fn tarnfeld() -> PackTexts {
    texts(&[
        ("pack.toml", fixture!("packs/tarnfeld-t1/pack.toml")),
        ("classes.csv", fixture!("packs/tarnfeld-t1/classes.csv")),
        ("ratings.csv", fixture!("packs/tarnfeld-t1/ratings.csv")),
        ("frames.csv", fixture!("packs/tarnfeld-t1/frames.csv")),
        ("overloads.csv", fixture!("packs/tarnfeld-t1/overloads.csv")),
        ("code.csv", fixture!("packs/tarnfeld-t1/code.csv")),
        ("layouts.csv", fixture!("packs/tarnfeld-t1/layouts.csv")),
    ])
}

fn texts(files: &[(&str, &str)]) -> PackTexts {
    files.iter().map(|(name, text)| ((*name).to_owned(), (*text).to_owned())).collect()
}

pub(crate) fn pack(texts: &PackTexts, folder: &str) -> Read<Series> {
    let files: Vec<PackFile<'_>> = texts.iter().map(|(name, text)| PackFile { name, bytes: text.as_bytes() }).collect();
    read_pack(&files, folder)
}

pub(crate) fn source(name: &str, text: &str) -> Source {
    Source::new(name, text)
}

pub(crate) fn shown(problems: &[Problem]) -> String {
    problems.iter().map(|p| format!("{p}\n")).collect()
}
