//! The demonstration as the program reads it, from the source tree.

use std::path::PathBuf;

use packs::{PackFile, PositionFile, Source, read_pack, read_position, read_site, read_wire_list};
use plant::fact::Place;
use plant::position::{Position, Site};
use plant::product::Series;

/// Its site, positions and packs.
pub(crate) struct Demo {
    pub(crate) site: Site,
    pub(crate) positions: Vec<Position>,
    pub(crate) packs: Vec<Series>,
}

impl Demo {
    /// All of it.
    pub(crate) fn read() -> Self {
        let root = PathBuf::from(concat!(env!("CARGO_MANIFEST_DIR"), "/../changeout/demo"));
        let text = |name: &str| Source::new(name, std::fs::read_to_string(root.join(name)).unwrap());
        let names = |folder: &str| {
            let entries = std::fs::read_dir(root.join(folder)).unwrap();
            let mut names: Vec<String> = entries.map(|e| e.unwrap().file_name().into_string().unwrap()).collect();
            names.sort();
            names
        };
        let site = read_site(&text("site.toml")).value.unwrap();
        let position = |name: &String| {
            let PositionFile { mut position, wires, .. } = read_position(&text(&format!("positions/{name}"))).value.unwrap();
            position.wires = wires.map(|w| {
                let bytes = std::fs::read(root.join(&w.path)).unwrap();
                read_wire_list(&w.path, &bytes, Place::default()).value.unwrap().into()
            });
            position
        };
        let positions = names("positions").iter().map(position).collect();
        let pack = |series: &String| {
            let folder = format!("packs/{series}");
            let files: Vec<(String, Vec<u8>)> =
                names(&folder).iter().map(|n| (format!("{folder}/{n}"), std::fs::read(root.join(&folder).join(n)).unwrap())).collect();
            let files: Vec<PackFile<'_>> = files.iter().map(|(name, bytes)| PackFile { name, bytes }).collect();
            read_pack(&files, series).value.unwrap()
        };
        Self { site, positions, packs: names("packs").iter().map(pack).collect() }
    }
}
