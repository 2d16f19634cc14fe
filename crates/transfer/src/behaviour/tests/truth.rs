//! Truth tables. Each row was written by hand from how the trade describes the scheme (common practice, no source), before the machine was
//! run: events from before power-up, then what the motor does, and whether a held start waits or a fault is stored.

use plant::choice::{Choice, OutputSwitch};
use plant::control::{
    AfterReset, AutoReset, BothStarts, BrakeWatch, Dip, Emergency, EnableLoss, FaultContact, Habit, HeldStart, JogWhen, MasterStop,
    NetworkStart, OutputOpened, PermissiveActs, PermissivePlace, PilotSupply, ReferenceFrom, ResetBy, ResetTrigger, Reversal, RunContact,
    SafeOffAct, Scope, Seal, SpeedMemory, Spinning, StartBy, StopMode,
};
use plant::network::LossAction;

use super::{after, machine};
use crate::behaviour::machine::Drive;
use crate::behaviour::output::SpeedBy;
use crate::behaviour::scheme::Scheme;
use crate::behaviour::unit::Unit;

/// Rows: events, then the motor and marks (`waits`, `fault`) behind "=>".
#[track_caller]
fn table(unit: Unit, scheme: Scheme, rows: &str) {
    for row in rows.lines().map(str::trim).filter(|r| !r.is_empty()) {
        let (events, expected) = row.split_once("=>").unwrap_or_else(|| panic!("{row}"));
        let seen = after(&machine(unit, scheme), events);
        let marks = [(seen.waits, "waits"), (seen.tripped, "fault")];
        let marks: Vec<&str> = marks.iter().filter(|(is, _)| *is).map(|(_, word)| *word).collect();
        let motion = match seen.motion {
            Drive::Still => "still",
            Drive::Driven => "driven",
            Drive::Ramping => "ramping",
            Drive::Braking => "braking",
            Drive::Coasting => "coasting",
        };
        let said = [&[motion], marks.as_slice()].concat().join(" ");
        assert_eq!(said, expected.trim(), "after “{}”", events.trim());
    }
}

/// Every return of something makes a held start wait.
fn cautious() -> Unit {
    Unit::default()
        .set(Habit::PowerUp, HeldStart::Waits)
        .set(Habit::AfterReset, AfterReset::Waits)
        .set(Habit::AfterEnable, HeldStart::Waits)
        .set(Habit::AfterSafeOff, HeldStart::Waits)
        .set(Habit::ModeChange, HeldStart::Waits)
        .set(Habit::Dip, Dip::Waits)
}

#[test]
fn two_wire() {
    let scheme = Scheme { reset: ResetBy::Button, ..Scheme::default() };
    let both = "
        supply => still
        start => still
        supply start => driven
        supply start start => ramping
        supply start start time => still
        supply start supply => coasting
        supply start supply time => still
        supply start cause => coasting fault
        supply start cause time cause => still fault
        supply start cause time reset => still fault
        supply start pilot => ramping
        supply start pilot pilot => driven
        supply start start start => driven";
    table(Unit::default(), scheme, both);
    table(cautious(), scheme, both);
    table(
        Unit::default(),
        scheme,
        "start supply => driven
         supply start supply time supply => driven
         supply start supply supply => driven
         supply start cause time cause reset => driven
         supply start dip_0 => driven",
    );
    table(
        cautious(),
        scheme,
        "start supply => still waits
         start supply start start => driven
         supply start supply time supply => still waits
         supply start cause time cause reset => still waits
         supply start cause time cause reset start start => driven
         supply start dip_0 => coasting waits
         supply start dip_0 time start start => driven",
    );
    let refuses = Unit::default().set(Habit::AfterReset, AfterReset::Refused);
    table(refuses, scheme, "supply start cause cause reset => coasting fault\n supply start cause cause time start reset => still");
    let coasts = Unit::default().set(Habit::Stop, StopMode::Coast);
    table(coasts, scheme, "supply start start => coasting");
    table(Unit::default().set(Habit::Stop, StopMode::Brake), scheme, "supply start start => braking\n supply start start time => still");
}

#[test]
fn resets_by_level_and_by_edge() {
    let scheme = Scheme { reset: ResetBy::Button, ..Scheme::default() };
    let left_on = "supply reset start cause cause => ";
    table(Unit::default().set(Habit::Reset, ResetTrigger::Level), scheme, &format!("{left_on} driven"));
    table(Unit::default().set(Habit::Reset, ResetTrigger::Edge), scheme, &format!("{left_on} coasting fault"));
    let itself = Unit::default().set(Habit::AutoReset, AutoReset::ByItself);
    table(itself, scheme, "supply start cause cause time => driven\n supply start cause time => still fault");
}

#[test]
fn three_wire() {
    let of = |seal, pilot| Scheme { start: StartBy::ThreeWire, seal, pilot, reset: ResetBy::Button, ..Scheme::default() };
    let momentary = "
        supply start => driven
        supply start start => driven
        supply start start stop => ramping
        supply start start stop stop => ramping
        supply start start stop stop time => still
        supply stop start => still
        supply start start supply time supply => still
        supply start start pilot => ramping
        supply start start pilot time pilot => still
        supply start start cause time cause => still fault";
    for seal in [Seal::Unit, Seal::UnitRelay, Seal::OwnRelay] {
        for unit in [Unit::default(), cautious()] {
            table(unit.set(Habit::RunContact, RunContact::Commanded), of(seal, PilotSupply::SameLine), momentary);
        }
    }
    // What the unit keeps is lost with its power and with a fault; its own relay is not asked.
    for seal in [Seal::Unit, Seal::UnitRelay] {
        for pilot in [PilotSupply::SameLine, PilotSupply::Separate] {
            let lost = "supply start start supply time supply => still\n supply start start cause time cause reset => still";
            table(Unit::default(), of(seal, pilot), lost);
        }
    }
    let held = "supply start start supply time supply => driven\n supply start start cause time cause reset => driven";
    table(Unit::default(), of(Seal::OwnRelay, PilotSupply::Separate), held);
    let waits = "supply start start supply time supply => still waits\n supply start start cause time cause reset => still waits";
    table(cautious(), of(Seal::OwnRelay, PilotSupply::Separate), waits);
    table(Unit::default(), of(Seal::OwnRelay, PilotSupply::SameLine), "supply start start cause time cause reset => driven");
    // A button that somebody leans on.
    table(Unit::default(), of(Seal::Unit, PilotSupply::SameLine), "start supply => driven");
    table(cautious(), of(Seal::Unit, PilotSupply::SameLine), "start supply => still waits\n start supply start start => driven");
    // A stop with the start still pressed: the wire lets it run again.
    table(Unit::default(), of(Seal::UnitRelay, PilotSupply::SameLine), "supply start stop time stop => driven");
    // Contact that stays closed down the ramp holds the seal; after the stop button came back the motor runs on.
    let relay = of(Seal::UnitRelay, PilotSupply::SameLine);
    let down = Unit::default().set(Habit::RunContact, RunContact::Driven);
    let taken = Unit::default().set(Habit::RunContact, RunContact::Commanded);
    table(
        down,
        relay,
        "supply start start stop => ramping\n supply start start stop stop => driven\n supply start start stop time stop => still",
    );
    table(down.set(Habit::Stop, StopMode::Coast), relay, "supply start start stop stop => coasting");
    table(taken, relay, "supply start start stop stop => ramping");
    // A dip: the contact of a unit that switches its output off opens, and the seal with it.
    let resumes = |unit: Unit| unit.set(Habit::Dip, Dip::Resumes);
    table(resumes(down), relay, "supply start start dip_0 => coasting");
    table(resumes(taken), relay, "supply start start dip_0 => driven");
    table(resumes(down), of(Seal::Unit, PilotSupply::SameLine), "supply start start dip_0 => driven");
}

#[test]
fn hand_off_auto() {
    let of = |permissive| Scheme { start: StartBy::HandAuto, permissive, reset: ResetBy::Button, ..Scheme::default() };
    let rows = "
        supply hand => driven
        supply hand hand => ramping
        supply auto => still
        supply auto auto_contact => driven
        supply auto_contact => still
        supply auto_contact auto => driven
        supply auto auto_contact auto_contact => ramping
        supply hand stop => ramping
        supply hand stop stop => driven
        hand supply => driven";
    table(Unit::default(), of(PermissiveActs::None), rows);
    table(Unit::default(), of(PermissiveActs::EveryMode), rows);
    table(
        Unit::default(),
        of(PermissiveActs::EveryMode),
        "supply permissive hand => still\n supply permissive auto auto_contact => still\n supply hand permissive => ramping\n supply hand permissive permissive => driven",
    );
    table(
        Unit::default(),
        of(PermissiveActs::AutoOnly),
        "supply permissive hand => driven\n supply permissive auto auto_contact => still\n supply auto auto_contact permissive => ramping",
    );
    table(
        cautious(),
        of(PermissiveActs::None),
        "hand supply => still waits\n hand supply hand hand => driven\n auto auto_contact supply auto_contact auto_contact => driven",
    );
}

#[test]
fn network_with_local_stop() {
    let scheme = Scheme { start: StartBy::Network, reset: ResetBy::Network, reference: ReferenceFrom::Network, ..Scheme::default() };
    let always = Unit::default()
        .set(Habit::NetworkLost, LossAction::RampStop)
        .set(Habit::LocalStop, Scope::Always)
        .set(Habit::NetworkStop, Scope::OwnMode);
    let level = always.set(Habit::NetworkStart, NetworkStart::Level);
    let edge = always.set(Habit::NetworkStart, NetworkStart::Edge);
    let pulse = always.set(Habit::NetworkStart, NetworkStart::Pulse);
    for unit in [level, edge] {
        table(
            unit,
            scheme,
            "supply run_bit => driven
             supply run_bit run_bit => ramping
             supply run_bit stop_bit => ramping
             supply run_bit stop => ramping
             supply start => still
             supply run_bit silent => driven
             supply run_bit silent time => ramping
             supply run_bit silent time time => still
             supply hand run_bit => still
             supply hand start start => driven
             supply hand start start stop => ramping
             supply hand start start silent time => driven
             supply hand start start stop_bit => driven",
        );
    }
    table(
        level,
        scheme,
        "run_bit supply => driven
         supply run_bit stop time stop => driven
         supply run_bit stop_bit time stop_bit => driven
         supply run_bit silent time time silent => driven
         supply run_bit cause time cause reset => driven",
    );
    table(
        edge,
        scheme,
        "run_bit supply => still waits
         run_bit supply run_bit run_bit => driven
         supply run_bit stop time stop => still waits
         supply run_bit stop_bit time stop_bit => still waits
         supply run_bit silent time time silent => still waits
         supply run_bit cause time cause reset => still waits
         supply run_bit cause time cause reset run_bit run_bit => driven",
    );
    table(
        pulse,
        scheme,
        "supply run_bit => driven
         supply run_bit run_bit => driven
         supply run_bit run_bit stop_bit => ramping
         run_bit supply => still
         supply run_bit cause time cause reset => still",
    );
    let own = level.set(Habit::LocalStop, Scope::OwnMode).set(Habit::NetworkStop, Scope::Always);
    table(own, scheme, "supply run_bit stop => driven\n supply stop_bit hand start => still\n supply hand start start stop_bit => ramping");
    for (loss, later) in [
        (LossAction::Trip, "coasting fault"),
        (LossAction::CoastStop, "coasting"),
        (LossAction::HoldSpeed, "driven"),
        (LossAction::PresetSpeed, "driven"),
    ] {
        table(level.set(Habit::NetworkLost, loss), scheme, &format!("supply run_bit silent time => {later}"));
    }
    for (stop, now, later) in
        [(MasterStop::RunsOn, "driven", "driven"), (MasterStop::LikeLoss, "driven", "ramping"), (MasterStop::RampStop, "ramping", "still")]
    {
        let rows = format!("supply run_bit master_stopped => {now}\n supply run_bit master_stopped time => {later}");
        table(level.set(Habit::MasterStopped, stop), scheme, &rows);
    }
    // Control is handed to the unit and back while the bit stands.
    let back = "supply run_bit hand => ramping\n supply hand run_bit hand => ";
    table(level.set(Habit::ModeChange, HeldStart::Runs), scheme, &format!("{back} driven"));
    table(level.set(Habit::ModeChange, HeldStart::Waits), scheme, &format!("{back} still waits"));
}

#[test]
fn enable_safe_off_and_emergency_stop() {
    let enable = Scheme { enable: true, ..Scheme::default() };
    table(
        Unit::default(),
        enable,
        "supply start enable => coasting\n supply start enable time enable => driven\n supply enable start => still",
    );
    table(cautious(), enable, "supply start enable time enable => still waits\n supply enable start enable => still waits");
    let trips = Unit::default().set(Habit::EnableLost, EnableLoss::Trips);
    table(trips, enable, "supply start enable => coasting fault\n supply enable start => still");
    table(
        Unit::default().set(Habit::EnableLost, EnableLoss::Ramp),
        enable,
        "supply start enable => ramping\n supply start enable time => still",
    );
    let of = |emergency| Scheme { emergency, ..Scheme::default() };
    // IEC 60204-1 (2016) 9.2.2, from memory: category 0 takes the power away at once; category 1 stops under power and takes it away then.
    for zero in [Emergency::LineContactor, Emergency::EnableInput, Emergency::SafeOff] {
        table(Unit::default(), of(zero), "supply start emergency => coasting\n supply start emergency time emergency => driven");
        table(
            cautious(),
            of(zero),
            "supply start emergency time emergency => still waits\n supply start emergency time emergency start start => driven",
        );
    }
    for one in [Emergency::DelayedContactor, Emergency::DelayedSafeOff] {
        table(
            Unit::default(),
            of(one),
            "supply start emergency => ramping\n supply start emergency time => still\n supply start emergency time emergency => driven",
        );
    }
    table(cautious(), of(Emergency::DelayedContactor), "supply start emergency time emergency => still waits");
    // Stop circuit and safe torque off close together: which of them the unit sees first is chance, and the worse is taken.
    table(cautious(), of(Emergency::DelayedSafeOff), "supply start emergency time emergency => driven");
    table(cautious(), of(Emergency::StopCircuit), "supply start emergency time emergency => driven");
    let latched = Unit::default().set(Habit::SafeOff, SafeOffAct::Trips);
    table(latched, of(Emergency::SafeOff), "supply start emergency time emergency => still fault");
}

#[test]
fn both_directions_jog_and_reference() {
    let reversing = Scheme { reversing: true, start: StartBy::HoldToRun, jog: true, ..Scheme::default() };
    table(Unit::default().set(Habit::BothStarts, BothStarts::Stops), reversing, "supply start reverse => ramping");
    table(Unit::default().set(Habit::BothStarts, BothStarts::Forward), reversing, "supply reverse start => driven");
    let selector = Scheme { reversing: true, start: StartBy::HandAuto, ..Scheme::default() };
    table(Unit::default().set(Habit::Reversal, Reversal::ThroughZero), selector, "supply hand reverse => driven");
    table(Unit::default().set(Habit::Reversal, Reversal::AfterStop), selector, "supply hand reverse => ramping waits");
    let seen = after(&machine(Unit::default(), selector), "supply hand reverse");
    assert!(seen.reverse);
    let standing = machine(Unit::default().set(Habit::Jog, JogWhen::AtStandstill), reversing);
    let any = machine(Unit::default().set(Habit::Jog, JogWhen::AnyTime), reversing);
    assert_eq!(after(&standing, "supply jog").speed, SpeedBy::Jog);
    assert_eq!((after(&standing, "supply start jog").speed, after(&any, "supply start jog").speed), (SpeedBy::Reference, SpeedBy::Jog));

    let signal = Scheme { reference: ReferenceFrom::Signal, ..Scheme::default() };
    for (loss, later) in [
        (LossAction::Trip, "coasting fault"),
        (LossAction::RampStop, "ramping"),
        (LossAction::CoastStop, "coasting"),
        (LossAction::HoldSpeed, "driven"),
    ] {
        let unit = Unit::default().set(Habit::ReferenceLost, loss);
        table(unit, signal, &format!("supply start reference_lost => driven\n supply start reference_lost time => {later}"));
    }
    let raise = Scheme { reference: ReferenceFrom::RaiseLower, ..Scheme::default() };
    for (memory, stopped, dead) in [
        (SpeedMemory::Kept, SpeedBy::Raised, SpeedBy::Raised),
        (SpeedMemory::WithPower, SpeedBy::Raised, SpeedBy::Lowest),
        (SpeedMemory::Lost, SpeedBy::Lowest, SpeedBy::Lowest),
    ] {
        let unit = machine(Unit::default().set(Habit::SpeedMemory, memory), raise);
        assert_eq!(after(&unit, "supply start raise").speed, SpeedBy::Raised);
        assert_eq!(after(&unit, "supply start raise start time start").speed, stopped, "{memory:?}");
        assert_eq!(after(&unit, "supply start raise supply time supply").speed, dead, "{memory:?}");
    }
}

#[test]
fn turning_loads_output_switches_brakes_and_contacts() {
    let fan = Scheme { spinning: true, ..Scheme::default() };
    let coasts = Unit::default().set(Habit::Stop, StopMode::Coast);
    table(
        coasts.set(Habit::Spinning, Spinning::Catches),
        fan,
        "supply start start start => driven\n supply start start time start => driven",
    );
    table(
        coasts.set(Habit::Spinning, Spinning::Trips),
        fan,
        "supply start start start => coasting fault\n supply start start time start => driven",
    );
    let jolts = machine(coasts.set(Habit::Spinning, Spinning::Jolts), fan);
    assert!(after(&jolts, "supply start start start").jolt && !after(&jolts, "supply start start time start").jolt);

    let plain = Scheme { isolator: OutputSwitch::Plain, ..Scheme::default() };
    table(Unit::default().set(Habit::OutputOpened, OutputOpened::Trips), plain, "supply start output_open => coasting fault");
    let on = Unit::default().set(Habit::OutputOpened, OutputOpened::RunsOn);
    table(on, plain, "supply start output_open => coasting\n supply start output_open output_open => driven");
    let early = Scheme { isolator: OutputSwitch::EarlyBreak, ..Scheme::default() };
    table(cautious(), early, "supply start output_open => coasting waits\n supply start output_open output_open => coasting waits");

    let brake = Scheme { brake: true, ..Scheme::default() };
    assert!(after(&machine(Unit::default(), brake), "supply start").released);
    assert!(!after(&machine(Unit::default(), brake), "supply start start time").released);
    table(Unit::default().set(Habit::BrakeAnswer, BrakeWatch::Trips), brake, "supply start brake_answers => coasting fault");
    table(Unit::default().set(Habit::BrakeAnswer, BrakeWatch::Ignored), brake, "supply start brake_answers => driven");

    // Three states of a fault contact: dead, healthy, faulted.
    let contact = |word| {
        let unit = machine(Unit::default().set(Habit::FaultContact, word), Scheme::default());
        ["", "supply", "supply cause"].map(|events| after(&unit, events).fault)
    };
    assert_eq!(contact(FaultContact::ClosedHealthy), [false, true, false]);
    assert_eq!(contact(FaultContact::ClosedOnFault), [false, false, true]);
}

#[test]
fn what_lived_in_the_old_unit_goes_with_it() {
    let scheme = Scheme {
        start: StartBy::HandAuto,
        permissive: PermissiveActs::EveryMode,
        permissive_in: PermissivePlace::OldUnit,
        ..Scheme::default()
    };
    table(Unit::default(), scheme, "supply permissive hand => still");
    let bare = Scheme { permissive: PermissiveActs::None, ..scheme };
    assert_eq!(scheme.without_old_unit(), bare);
    table(Unit::default(), bare, "supply hand => driven");
    assert_eq!(Seal::INFO.words.len(), 3);
}
