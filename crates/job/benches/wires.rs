//! How fast the conductors of the demo's largest position are landed, at each series that may replace: proofs, points, modules and parts.
#![allow(clippy::disallowed_methods, reason = "it reads the demo from the source tree")]
#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a benchmark may stop at the first broken expectation")]

use std::path::PathBuf;
use std::time::Instant;

use packs::{PackFile, Source, read_pack, read_position, read_site, read_wire_list};
use plant::fact::Place;
use plant::product::Series;
use plant::wires::WireList;
use transfer::wires::{Rules, crosswalk};

/// Runs of which the mean is told.
const RUNS: u32 = 20;

struct Demo {
    tag: String,
    list: WireList,
    packs: Vec<Series>,
    rules: Rules,
}

/// The position with the most conductors, and the series that the site offers.
fn demo() -> Demo {
    let root = PathBuf::from(concat!(env!("CARGO_MANIFEST_DIR"), "/../changeout/demo"));
    let text = |name: &str| Source::new(name, std::fs::read_to_string(root.join(name)).unwrap());
    let names = |folder: &str| {
        let entries = std::fs::read_dir(root.join(folder)).unwrap();
        let mut names: Vec<String> = entries.map(|e| e.unwrap().file_name().into_string().unwrap()).collect();
        names.sort();
        names
    };
    let site = read_site(&text("site.toml")).value.unwrap();
    let lists = names("positions").into_iter().filter_map(|name| {
        let read = read_position(&text(&format!("positions/{name}"))).value.unwrap();
        let file = read.wires?.path;
        let bytes = std::fs::read(root.join(&file)).unwrap();
        Some((read.position.tag, read_wire_list(&file, &bytes, Place::default()).value.unwrap()))
    });
    let (tag, list) = lists.max_by_key(|(_, list)| list.conductors.len()).unwrap();
    let pack = |series: &String| {
        let folder = format!("packs/{series}");
        let files: Vec<(String, Vec<u8>)> =
            names(&folder).iter().map(|n| (format!("{folder}/{n}"), std::fs::read(root.join(&folder).join(n)).unwrap())).collect();
        let files: Vec<PackFile<'_>> = files.iter().map(|(name, bytes)| PackFile { name, bytes }).collect();
        read_pack(&files, series).value.unwrap()
    };
    let packs = names("packs").iter().filter(|n| site.offered.contains(n)).map(pack).collect();
    Demo { tag, list, packs, rules: job::wires::rules(&site) }
}

#[divan::bench(args = [0, 1, 2])]
fn the_largest_position(bencher: divan::Bencher<'_, '_>, series: usize) {
    let demo = demo();
    bencher.bench_local(|| crosswalk(divan::black_box(&demo.list), &demo.packs[series], None, demo.rules).rows.len());
}

fn main() {
    let demo = demo();
    let begin = Instant::now();
    for _ in 0..RUNS {
        for series in &demo.packs {
            divan::black_box(crosswalk(divan::black_box(&demo.list), series, None, demo.rules));
        }
    }
    let each = begin.elapsed().as_secs_f64() / f64::from(RUNS) / demo.packs.len() as f64;
    println!("{}: {} conductors at {} series", demo.tag, demo.list.conductors.len(), demo.packs.len());
    println!("LANDING_MS {:.3}", each * 1e3);
    divan::main();
}
