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
use transfer::words::tables::{TEST, lines, symbols, vector_table, with_test};

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
    let table = vector_table(&pair, &block(&pair).expect("a block")).expect("vectors");
    assert!(table.rows.iter().all(|r| r.len() == table.head.len()));
    let column = |name: &str| table.head.iter().position(|h| h == name).unwrap_or_else(|| panic!("{name} of {:?}", table.head));
    let row = table.rows.iter().find(|r| r[2] == "setpoint of 3000 counts").expect("half of 60 Hz in 0.01 Hz");
    // Run, at speed; 30 Hz back; 900 rpm of four poles to the new drive.
    assert_eq!((row[column("expect OLD_STATUS")].as_str(), row[column("expect OLD_SPEED")].as_str()), ("5", "3000"));
    assert_eq!(row[column("sent NEW_SETPOINT")], "900");
    // The old layout takes its reset by level and its start by level: the motor runs again, as it always did.
    let reset = table.rows.iter().find(|r| r[2].contains("trips")).expect("there");
    assert_eq!(reset[column("motor_hz")], "30");
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
