//! A program that is killed while it writes leaves the old file or the new one, never half of one.

use std::collections::BTreeMap;
use std::process::{Command, Stdio};
use std::thread::sleep;
use std::time::{Duration, Instant};

use crate::site::{Site, run};

/// How often it is killed.
const KILLS: u32 = 60;
/// Bytes of remarks that make the writing long enough to be hit.
const REMARKS: usize = 3_000_000;
const FILE: &str = "positions/BD-808.toml";

fn record(site: &Site, value: &str) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_changeout"));
    command.args(["record", site.path(), "BD-808", "stop.need", value]).stdout(Stdio::null()).stderr(Stdio::null());
    command
}

#[test]
fn a_kill_leaves_the_old_file_or_the_new_one() {
    let site = Site::nowhere();
    let demo = Site::demo();
    site.write("site.toml", demo.read("site.toml").replace("offered = ", "# offered = "));
    let remarks = "# The fault code was not written down, and the display is dark.\n".repeat(REMARKS / 64);
    site.write(FILE, format!("{}\n{remarks}", demo.read(FILE)));

    // The two texts that it goes between, and how long a run takes.
    let mut texts = BTreeMap::new();
    let mut longest = Duration::ZERO;
    for value in ["timed", "free"] {
        let began = Instant::now();
        assert!(record(&site, value).status().unwrap().success());
        longest = longest.max(began.elapsed());
        texts.insert(value, site.read(FILE));
    }
    assert_ne!(texts["timed"], texts["free"]);

    // A pseudo-random moment of each run, the same ones every time: x ← 6364136223846793005·x + 1442695040888963407.
    let mut random = 2026_u64;
    let mut next = || {
        random = random.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        f64::from(u32::try_from(random >> 32).unwrap()) / f64::from(u32::MAX)
    };
    let (mut killed, mut old, mut new, mut left_over) = (0, 0, 0, 0);
    for kill in 0..KILLS {
        let value = if kill % 2 == 0 { "timed" } else { "free" };
        let before = site.read(FILE);
        let mut child = record(&site, value).spawn().unwrap();
        sleep(longest.mul_f64(0.2 + next()));
        child.kill().unwrap();
        killed += u32::from(!child.wait().unwrap().success());

        let after = site.read(FILE);
        assert!(texts.values().any(|t| *t == after), "kill {kill}: {} bytes of {}", after.len(), before.len());
        match after == before {
            true => old += 1,
            false => new += 1,
        }
        let names: Vec<_> = site.file("positions").read_dir().unwrap().map(|e| e.unwrap().file_name().into_string().unwrap()).collect();
        assert!(names.iter().all(|n| n == "BD-808.toml" || n.starts_with('.')), "under a name that is read: {names:?}");
        left_over = names.len() - 1;
        if kill % 6 == 0 {
            run(["check", site.file(FILE).to_str().unwrap()]).ends(0);
            run(["check", site.path()]).ends(0).says(&["no pack is offered"]);
        }
    }
    println!("{killed} of {KILLS} runs were killed; {old} left the old file, {new} the new one; {left_over} hidden parts stay behind");
    assert!(killed >= KILLS / 4, "only {killed} runs were killed: the moments miss them");
    // What a kill left lying about disturbs no later writing.
    assert!(record(&site, "held").status().unwrap().success());
    assert!(site.read(FILE).contains("need = \"held\""));
}
