//! How fast a whole comparison is: every state of both units side by side, and every rule.

#![allow(clippy::expect_used, reason = "a benchmark may stop at the first broken expectation")]

use plant::choice::OutputSwitch;
use plant::control::{Emergency, Habit, HeldStart, PermissiveActs, PilotSupply, ReferenceFrom, ResetBy, StartBy, StopMode};
use transfer::behaviour::compare::compare;
use transfer::behaviour::machine::Machine;
use transfer::behaviour::scheme::Scheme;
use transfer::behaviour::unit::Unit;

fn main() {
    divan::main();
}

/// The largest of the demonstration: a pendant with two directions, enable, limits, a brake that answers, and an emergency stop that drops the
/// line (BH-301), and a controller with a switch to local (SF-512).
fn schemes() -> [Scheme; 2] {
    let hoist = Scheme {
        start: StartBy::HoldToRun,
        pilot: PilotSupply::Separate,
        reversing: true,
        enable: true,
        permissive: PermissiveActs::EveryMode,
        emergency: Emergency::LineContactor,
        reset: ResetBy::Button,
        brake: true,
        ..Scheme::default()
    };
    let screw = Scheme {
        start: StartBy::Network,
        permissive: PermissiveActs::AutoOnly,
        emergency: Emergency::EnableInput,
        reset: ResetBy::Network,
        reference: ReferenceFrom::Network,
        isolator: OutputSwitch::EarlyBreak,
        ..Scheme::default()
    };
    [hoist, screw]
}

#[divan::bench(args = [0, 1])]
fn whole_comparison(which: usize) -> usize {
    let scheme = schemes()[which];
    let old = Machine { unit: Unit::default().set(Habit::PowerUp, HeldStart::Waits), scheme };
    let new = Machine { unit: Unit::default().set(Habit::Stop, StopMode::Coast), scheme };
    compare(&[old, new], 2).expect("small").states
}
