//! What goes to the programmer: the block prints, its test program finds nothing, its vectors are what the old drive itself answers.
#![allow(clippy::expect_used, clippy::unwrap_used, clippy::panic, reason = "a test may stop at the first broken expectation")]

use dossier::program::Literal;
use plant::network::{Layout, ReferenceUnit};
use plant::quantity::Frequency;
use transfer::program::Machine;
use transfer::words::block::block;
use transfer::words::pair::Pair;
use transfer::words::profiles;
use transfer::words::scale::Settings;
use transfer::words::tables::{TEST, lines, symbols, with_test};
use transfer::words::vectors::vector_tables;

fn pair<'a>(old: &'a Layout, new: &'a Layout) -> Pair<'a> {
    let sixty = Frequency::hz(60.0);
    let settings = Settings { full_scale: sixty, highest: sixty, unit: ReferenceUnit::Hertz, poles: 4.0 };
    Pair { old, new, old_settings: settings, new_settings: settings, old_faults: &[], new_faults: &[] }
}

#[test]
fn the_test_program_finds_nothing_and_would_find_something() {
    let layouts: Vec<Layout> = profiles::all().into_iter().map(|p| p.layout).collect();
    for old in &layouts {
        for new in &layouts {
            let pair = pair(old, new);
            let project = with_test(&pair, &block(&pair).expect("a block")).expect("a program");
            let run = |project| {
                let mut machine = Machine::new(project, TEST).expect("it is right");
                let (done, fails) = (machine.slot("DONE").expect("there"), machine.slot("FAILS").expect("there"));
                for _ in 0..200 {
                    machine.cycle(100).expect("it runs");
                }
                assert_eq!(machine.get(done), Literal::Bool(true));
                machine.get(fails)
            };
            assert_eq!(run(&project), Literal::Dint(0), "{} → {}", old.name, new.name);
            // A block that never tells the drive anything is found out.
            let mut broken = project.clone();
            broken.units[0].body.truncate(1);
            assert_ne!(run(&broken), Literal::Dint(0), "{} → {}", old.name, new.name);
        }
    }
}

#[test]
fn vectors_expect_what_the_old_drive_answers() {
    let (old, new) = (profiles::modbus(), profiles::cia402());
    let pair = pair(&old, &new);
    let vectors = vector_tables(&pair, &block(&pair).expect("a block")).expect("vectors");
    let table = vectors.settled;
    assert!([&table, &vectors.scans].into_iter().all(|t| t.rows.iter().all(|r| r.len() == t.head.len())));
    let column = |name: &str| table.head.iter().position(|h| h == name).unwrap_or_else(|| panic!("{name} of {:?}", table.head));
    let row = table.rows.iter().find(|r| r[2] == "setpoint of 3000 counts").expect("half of 60 Hz in 0.01 Hz");
    // Run, at speed; 30 Hz back; 900 rpm of four poles to the new drive.
    assert_eq!((row[column("expect OLD_STATUS")].as_str(), row[column("expect OLD_SPEED")].as_str()), ("5", "3000"));
    assert_eq!(row[column("sent NEW_SETPOINT")], "900");
    // The old layout takes its reset by level and its start by level: the motor runs again, as it always did.
    let reset = table.rows.iter().find(|r| r[1] == "running" && r[2].contains("still standing")).expect("there");
    assert_eq!(reset[column("motor_hz")], "30");
    // What the block shows is what the old drive says itself: its bits, and its numbers within a count.
    for row in &table.rows {
        let number = |head: &str| -> i64 { row[column(head)].parse().expect("a number") };
        assert_eq!(number("expect OLD_STATUS"), number("own OLD_STATUS"), "{row:?}");
        assert!((number("expect OLD_SPEED") - number("own OLD_SPEED")).abs() <= 2, "a count of 1 rpm is 3.3 of 0.01 Hz: {row:?}");
    }
}

#[test]
fn vectors_hold_every_transition_and_a_settled_line_is_the_last_of_its_scans() {
    let (old, new) = (profiles::cia402(), profiles::modbus());
    let pair = pair(&old, &new);
    let vectors = vector_tables(&pair, &block(&pair).expect("a block")).expect("vectors");
    let at = |table: &dossier::words::Table, name: &str| table.head.iter().position(|h| h == name).expect("a column");
    // CiA 402 (IEC 61800-7-201), transitions by their numbers, from memory: from which states which commands lead where, by the statusword under
    // the masks of the standard.
    let (command, status) = (at(&vectors.settled, "write OLD_COMMAND"), at(&vectors.settled, "own OLD_STATUS"));
    let seen = |before: &str, low: u16, state: &str| {
        vectors.settled.rows.iter().any(|row| {
            let number = |i: usize| -> u16 { row[i].parse().expect("a word") };
            row[1] == before && number(command) & 0x8F == low && profiles::state402(number(status)) == Some(state)
        })
    };
    for (transition, before, low, state) in [
        (2, "power-up", 0x06, "Ready to switch on"),
        (3, "rest", 0x07, "Switched on"),
        (4, "step 2 of a start", 0x0F, "Operation enabled"),
        (5, "running", 0x07, "Switched on"),
        (6, "step 2 of a start", 0x06, "Ready to switch on"),
        (7, "rest", 0x04, "Switch on disabled"),
        (8, "running", 0x06, "Ready to switch on"),
        (9, "running", 0x0D, "Switch on disabled"),
        (10, "step 2 of a start", 0x05, "Switch on disabled"),
        (11, "running", 0x0B, "Switch on disabled"),
        (15, "rest", 0x86, "Ready to switch on"),
    ] {
        assert!(seen(before, low, state), "transition {transition}: {before}, {low:#04x}, {state}");
    }
    // The settled line of each vector is its last scan.
    let names: Vec<&String> =
        vectors.settled.head.iter().filter(|h| ["write ", "expect ", "sent "].iter().any(|v| h.starts_with(v))).collect();
    for row in &vectors.settled.rows {
        let last = vectors.scans.rows.iter().rfind(|s| s[0] == row[0]).expect("its scans");
        for name in &names {
            assert_eq!(row[at(&vectors.settled, name)], last[at(&vectors.scans, name)], "{} {name}", row[0]);
        }
    }
}

#[test]
fn lines_and_symbols_name_every_number_and_word() {
    let (old, new) = (profiles::modbus(), profiles::profidrive1());
    let pair = pair(&old, &new);
    assert_eq!(lines(&pair)[0], "new NSOLL_A = old frequency setpoint × 1024 / 375, in 32 bits, rounded to the nearest");
    let symbols = symbols(&pair);
    assert_eq!(symbols.rows.len(), 9);
    // Printed from 1, asked for from 0.
    assert_eq!(symbols.rows[1][5..], ["2", "1"]);
}
