//! Test vectors: what a master writes and what must come back, for each bit and each transition from each state, and for each corner of the
//! setpoint; and the same scan by scan, so that the block can be run through it where there is no drive.

use dossier::program::Project;
use dossier::words::Table;
use plant::choice::Choice;
use plant::network::{BitMeaning as M, Direction, Layout, WordMeaning};
use plant::quantity::digits;

use super::bytes::handed;
use super::pair::{Pair, names};
use super::rig::{Rig, SCAN_MS, SCAN_S};
use super::script;

/// Scans for which the words of a vector stand before its answer is read: a start that is given anew takes six.
const SETTLE: usize = 12;
/// Scans for which each step on the way there stands.
const STEP_SCANS: usize = 8;

/// The tables of the vectors.
#[derive(Clone, Debug)]
pub struct Vectors {
    /// One line for each vector, settled.
    pub settled: Table,
    /// One line for each scan of each vector, from power-up.
    pub scans: Table,
}

/// One vector.
struct Vector {
    /// How many steps of a start stand before it.
    steps: usize,
    /// The drive trips then, with one scan of rest.
    trip: bool,
    what: String,
    words: Vec<u32>,
}

/// A word's variable: the word's place in the layout, the part of a value of 32 bits, the name.
type Place = (usize, usize, String);

fn before(steps: usize, all: usize) -> String {
    match steps {
        0 => "power-up".to_owned(),
        1 => "rest".to_owned(),
        n if n == all => "running".to_owned(),
        n => format!("step {n} of a start"),
    }
}

/// All vectors of a pair.
fn vectors(pair: &Pair<'_>) -> Vec<Vector> {
    let (layout, settings) = (pair.old, &pair.old_settings);
    let half = pair.highest().in_hz() / 2.0;
    let words = |demands: &[M]| script::words(layout, demands, half, settings);
    let steps = script::start(layout.sequence);
    let mut all = Vec::new();
    // Each bit from each state.
    for (at, word) in layout.words(Direction::ToDrive).filter(|(_, w)| w.meaning == WordMeaning::Command) {
        for bit in &word.bits {
            for (before, demands) in steps.iter().enumerate() {
                let mut words = words(demands);
                words[at] ^= 1 << bit.at;
                all.push(Vector {
                    steps: before + 1,
                    trip: false,
                    what: format!("bit {} ({}) turned over", bit.at, bit.meaning.word()),
                    words,
                });
            }
        }
    }
    // Each corner of the setpoint.
    if let Some((at, word)) = layout.word(WordMeaning::SpeedSetpoint) {
        let (low, high) = word.counts();
        let full = super::scale::counted(word, settings.full_scale.in_hz(), settings).map_or(0, |c| word.count(c.raw));
        let mut corners = vec![low, -1, 0, 1, full / 2, full - 1, full, full.saturating_add(1), high];
        corners.retain(|c| (low..=high).contains(c));
        corners.sort_unstable();
        corners.dedup();
        let running = steps.last().cloned().unwrap_or_default();
        for count in corners.into_iter().filter(|_| !word.is_float()) {
            let mut words = script::words(layout, &running, 0.0, settings);
            words[at] = word.raw(count);
            all.push(Vector { steps: steps.len(), trip: false, what: format!("setpoint of {count} counts"), words });
        }
    }
    // Each transition: from each state to what each step demands, to a stop, and to nothing at all.
    let stop = script::stop(layout.sequence);
    for from in 0..=steps.len() {
        let now = from.checked_sub(1).and_then(|i| steps.get(i));
        let to = steps.iter().enumerate().map(|(i, d)| (format!("step {} of a start", i + 1), d.clone()));
        let to = to.chain([("stop".to_owned(), stop.clone()), ("nothing is demanded".to_owned(), Vec::new())]);
        let to: Vec<_> = to.filter(|(_, demands)| now != Some(demands)).collect();
        for (i, (what, demands)) in to.iter().enumerate() {
            if to.iter().take(i).all(|(_, earlier)| earlier != demands) {
                all.push(Vector { steps: from, trip: false, what: what.clone(), words: words(demands) });
            }
        }
    }
    // A trip in each state, with and without what may clear it.
    for (at, demands) in steps.iter().enumerate() {
        let with_reset = |demands: &[M]| words(&[demands, &[M::FaultReset]].concat());
        let rest = steps.first().cloned().unwrap_or_default();
        for (what, words) in [
            ("the drive trips, the words stand", words(demands)),
            ("the drive trips, then a reset with the words still standing", with_reset(demands)),
            ("the drive trips, then a reset at rest", with_reset(&rest)),
        ] {
            all.push(Vector { steps: at + 1, trip: true, what: what.to_owned(), words });
        }
    }
    all
}

fn places(pair: &Pair<'_>, prefix: &str, layout: &Layout, direction: Direction) -> Vec<Place> {
    layout
        .words(direction)
        .filter(|(_, w)| prefix == "OLD" || pair.uses_new(w))
        .flat_map(|(at, _)| names(prefix, layout, at).unwrap_or_default().into_iter().enumerate().map(move |(part, name)| (at, part, name)))
        .collect()
}

fn numbers(layout: &Layout, places: &[Place], raw: &[u32]) -> Vec<String> {
    let number = |(at, part, _): &Place| {
        let (word, raw) = (layout.words.get(*at)?, raw.get(*at)?);
        handed(layout, word, *raw).get(*part).copied()
    };
    places.iter().map(|place| number(place).unwrap_or(0).to_string()).collect()
}

/// The test vectors, as the controller's variables: what is written, what must come back, what the new drive is told, and what the old drive
/// itself answers. `None` when the block is wrong.
#[must_use]
pub fn vector_tables(pair: &Pair<'_>, project: &Project) -> Option<Vectors> {
    let (old, new) = (pair.old, pair.new);
    let mut rig = Rig::of(pair, project).ok()?;
    let written = places(pair, "OLD", old, Direction::ToDrive);
    let back = places(pair, "OLD", old, Direction::FromDrive);
    let told = places(pair, "NEW", new, Direction::ToDrive);
    let answers = places(pair, "NEW", new, Direction::FromDrive);
    let head = |first: &[&str], groups: &[(&str, &[Place])], last: &[&str]| -> Vec<String> {
        let own = |names: &[&str]| names.iter().map(|n| (*n).to_owned()).collect::<Vec<_>>();
        let middle = groups.iter().flat_map(|(verb, places)| places.iter().map(move |(_, _, name)| format!("{verb} {name}")));
        own(first).into_iter().chain(middle).chain(own(last)).collect()
    };
    let mut settled = Table {
        file: "test-vectors.csv".to_owned(),
        head: head(
            &["number", "before", "what"],
            &[("write", &written), ("expect", &back), ("sent", &told), ("own", &back)],
            &["motor_hz", "after_s"],
        ),
        rows: Vec::new(),
    };
    let mut scans = Table {
        file: "test-scans.csv".to_owned(),
        head: head(&["number", "scan", "ms"], &[("write", &written), ("answer", &answers), ("expect", &back), ("sent", &told)], &[]),
        rows: Vec::new(),
    };
    let start = script::start(old.sequence);
    let half = pair.highest().in_hz() / 2.0;
    for (number, vector) in (1_usize..).zip(vectors(pair)) {
        rig.reset();
        let mut masters = Vec::new();
        for demands in start.iter().take(vector.steps) {
            let words = script::words(old, demands, half, &pair.old_settings);
            masters.extend(std::iter::repeat_n((words, false), STEP_SCANS));
        }
        if vector.trip {
            masters.push((script::words(old, &[], 0.0, &pair.old_settings), true));
        }
        masters.extend(std::iter::repeat_n((vector.words.clone(), false), SETTLE));
        for (scan, (words, trip)) in (1_usize..).zip(masters) {
            if trip {
                rig.trip();
            }
            let report = rig.new.report();
            rig.scan(&words).ok()?;
            let mut row = vec![number.to_string(), scan.to_string(), SCAN_MS.to_string()];
            row.extend(numbers(old, &written, &words));
            row.extend(numbers(new, &answers, &report));
            row.extend(numbers(old, &back, rig.shown()));
            row.extend(numbers(new, &told, rig.told()));
            scans.rows.push(row);
        }
        let mut row = vec![number.to_string(), before(vector.steps, start.len()), vector.what];
        row.extend(numbers(old, &written, &vector.words));
        row.extend(numbers(old, &back, rig.shown()));
        row.extend(numbers(new, &told, rig.told()));
        row.extend(numbers(old, &back, &rig.old.report()));
        #[expect(clippy::cast_precision_loss, reason = "a dozen scans")]
        row.extend([digits(rig.old.output(), 5), digits(SETTLE as f64 * SCAN_S, 3)]);
        settled.rows.push(row);
    }
    Some(Vectors { settled, scans })
}
