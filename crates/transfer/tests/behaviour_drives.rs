//! What is said of network starts and losses, held against the simulated drives of the network words: the same events as command words, the
//! same motor. And published rules: the states of CiA 402, and stop categories.

#![allow(
    clippy::expect_used,
    clippy::panic,
    clippy::cast_possible_truncation,
    reason = "a test stops at the first broken expectation and draws small random numbers"
)]

mod behaviour_random;

use behaviour_random::Random;
use plant::control::{AfterReset, Habit, NetworkStart, ResetBy, ResetTrigger, Scope, StartBy};
use plant::network::{Bit, BitMeaning as M, Layout, LossAction, ReferenceUnit, Sequence, WordMeaning};
use plant::quantity::Frequency;
use transfer::behaviour::compare::compare;
use transfer::behaviour::event::{Event, Input, Inputs};
use transfer::behaviour::machine::{Drive as Motor, Machine, State};
use transfer::behaviour::scheme::Scheme;
use transfer::behaviour::unit::Unit;
use transfer::words::drive::{Behaviour, Drive, State as Words};
use transfer::words::profiles;
use transfer::words::scale::Settings;

/// Slope of the simulated ramp, Hz/s: no ramp ends within a scan, every ramp ends while time passes.
const RAMP: f64 = 10.0;
const SCAN: f64 = 0.01;
const LONG: f64 = 100.0;
/// Longer than a ramp takes.
const UP: f64 = 2.0;

/// A layout whose command word has run, stop, reset and start.
fn plain(sequence: Sequence, reset: ResetTrigger) -> Layout {
    let mut layout = profiles::modbus();
    layout.sequence = sequence;
    let command = layout.words.iter_mut().find(|w| w.meaning == WordMeaning::Command).expect("a command word");
    let reset = match reset {
        ResetTrigger::Level => Bit::high(2, M::FaultReset),
        ResetTrigger::Edge => Bit::high(2, M::FaultReset).edge(),
    };
    command.bits = vec![Bit::high(0, M::Run), Bit::high(1, M::Stop), reset, Bit::high(3, M::Start)];
    layout
}

/// The words of a master for the state of the inputs.
fn words(layout: &Layout, inputs: Inputs) -> Vec<u32> {
    let demanded = |meaning| match meaning {
        M::Run | M::Start => inputs.has(Input::RunBit),
        M::Stop => inputs.has(Input::StopBit),
        M::FaultReset => inputs.has(Input::Reset),
        // A master of the states holds these while it runs, and shutdown (06h) otherwise.
        M::SwitchOn | M::EnableOperation => inputs.has(Input::RunBit) && !inputs.has(Input::StopBit),
        M::RampOutput | M::RampRun | M::RampInput => true,
        _ => false,
    };
    let word = |w: &plant::network::DataWord| match w.meaning {
        WordMeaning::Command => w.bits.iter().map(|b| b.said(demanded(b.meaning))).fold(0, |a, b| a | b),
        WordMeaning::SpeedSetpoint => 900,
        _ => 0,
    };
    layout.words.iter().map(word).collect()
}

/// What the simulated drive's motor does after the events; the first of them is power.
fn simulated(layout: &Layout, loss: LossAction, events: &[Event]) -> Motor {
    let hertz = Frequency::hz(60.0);
    let settings = Settings { full_scale: hertz, highest: hertz, unit: ReferenceUnit::Hertz, poles: 4.0 };
    let mut drive = Drive::new(layout, Behaviour { settings, ramp: RAMP, loss, timeout: 1.0 });
    let mut inputs = Inputs::at_rest();
    let mut coasts = false;
    for event in events {
        inputs = event.then(inputs);
        if !inputs.has(Input::Supply) {
            continue;
        }
        let (before, ran) = (drive.is_driven(), drive.state() == Words::Running);
        if *event == Event::Turn(Input::Cause) && inputs.has(Input::Cause) {
            drive.trip(1);
        }
        let time = *event == Event::Time;
        if !inputs.has(Input::Silent) {
            // The states want several words to walk through.
            for _ in 0..4 {
                drive.obey(&words(layout, inputs), if time { LONG } else { SCAN });
            }
            // Up to speed, so that a stop takes longer than a scan.
            if drive.state() == Words::Running {
                drive.obey(&words(layout, inputs), UP);
            }
        } else if time {
            // A ramp that was under way ends before the wait does.
            drive.wait(0.9);
            drive.wait(0.2);
        }
        coasts = !time && !drive.is_driven() && (coasts || before) || time && ran && tripped(&drive, inputs);
    }
    match drive.state() {
        Words::Running => Motor::Driven,
        Words::Stopping | Words::QuickStopping => Motor::Ramping,
        _ if coasts => Motor::Coasting,
        _ => Motor::Still,
    }
}

/// Whether the motor was let go by the wait that just ended, not by a ramp.
fn tripped(drive: &Drive<'_>, inputs: Inputs) -> bool {
    inputs.has(Input::Silent) && !drive.is_driven()
}

fn scheme() -> Scheme {
    Scheme { start: StartBy::Network, reset: ResetBy::Network, ..Scheme::default() }
}

fn unit(start: NetworkStart, reset: ResetTrigger, loss: LossAction) -> Unit {
    let after = if start == NetworkStart::Level { AfterReset::Runs } else { AfterReset::Waits };
    Unit::default()
        .set(Habit::NetworkStart, start)
        .set(Habit::Reset, reset)
        .set(Habit::AfterReset, after)
        .set(Habit::NetworkLost, loss)
        .set(Habit::NetworkStop, Scope::OwnMode)
}

fn motor(machine: &Machine, events: &[Event]) -> Motor {
    let (mut state, mut inputs) = (State::default(), Inputs::at_rest());
    for event in events {
        state = machine.step(state, inputs, *event);
        inputs = event.then(inputs);
    }
    machine.output(&state, inputs).motion
}

const START: [(NetworkStart, Sequence); 3] =
    [(NetworkStart::Level, Sequence::Level), (NetworkStart::Edge, Sequence::Edge), (NetworkStart::Pulse, Sequence::Pulses)];

/// A sequence that both can be put to: power once, a cause that stands without a reset beside it, no word while nobody is heard.
fn random_sequence(random: &mut Random, events: &[Event], length: usize) -> Vec<Event> {
    let mut sequence = vec![Event::Turn(Input::Supply)];
    let mut inputs = Event::Turn(Input::Supply).then(Inputs::at_rest());
    while sequence.len() < length {
        let event = events[random.below(events.len())];
        if can(event, inputs) {
            sequence.push(event);
            inputs = event.then(inputs);
        }
    }
    sequence
}

fn can(event: Event, inputs: Inputs) -> bool {
    scheme().can_happen(event, inputs)
        && match event {
            Event::Turn(Input::Supply) => false,
            Event::Turn(Input::Reset) => !inputs.has(Input::Cause),
            Event::Turn(Input::Cause) => !inputs.has(Input::Reset) && !inputs.has(Input::Silent),
            // The simulated drive tells no silence from none before its wait is over.
            Event::Turn(Input::Silent) => true,
            _ => true,
        }
}

#[test]
fn simulated_drives_do_the_same_after_the_same_events() {
    let mut random = Random(0x2545_F491_4F6C_DD1D);
    let turns = [Input::RunBit, Input::StopBit, Input::Reset, Input::Cause].map(Event::Turn);
    let mut compared = 0;
    for (start, sequence) in START {
        for reset in [ResetTrigger::Level, ResetTrigger::Edge] {
            let layout = plain(sequence, reset);
            let machine = Machine { unit: unit(start, reset, LossAction::Trip), scheme: scheme() };
            let events = [&turns[..], &[Event::Time]].concat();
            for _ in 0..400 {
                let events = random_sequence(&mut random, &events, 12);
                let codes: Vec<String> = events.iter().map(|e| e.code()).collect();
                assert_eq!(
                    motor(&machine, &events),
                    simulated(&layout, LossAction::Trip, &events),
                    "{start:?} {reset:?}: {}",
                    codes.join(" ")
                );
                compared += 1;
            }
        }
    }
    println!("{compared} sequences of 12 events on simulated drives");
}

#[test]
fn traces_of_network_differences_replay_on_simulated_drives() {
    let mut replayed = 0;
    for (a, from) in START {
        for (b, to) in START {
            for (loss, lost) in [(LossAction::Trip, LossAction::RampStop), (LossAction::CoastStop, LossAction::HoldSpeed)] {
                let machines = [
                    Machine { unit: unit(a, ResetTrigger::Edge, loss), scheme: scheme() },
                    Machine { unit: unit(b, ResetTrigger::Edge, lost), scheme: scheme() },
                ];
                let layouts = [plain(from, ResetTrigger::Edge), plain(to, ResetTrigger::Edge)];
                for difference in compare(&machines, 0).expect("small").differences {
                    let events = &difference.events;
                    let mut inputs = Inputs::at_rest();
                    let both = events.iter().enumerate().all(|(at, e)| {
                        let fits = if at == 0 { *e == Event::Turn(Input::Supply) } else { can(*e, inputs) };
                        inputs = e.then(inputs);
                        fits && !matches!(e, Event::Turn(Input::Start | Input::Stop | Input::Hand | Input::MasterStopped))
                    });
                    if !both {
                        continue;
                    }
                    let codes: Vec<String> = events.iter().map(|e| e.code()).collect();
                    for ((machine, layout), loss) in machines.iter().zip(&layouts).zip([loss, lost]) {
                        assert_eq!(motor(machine, events), simulated(layout, loss, events), "{a:?} {b:?} {loss:?}: {}", codes.join(" "));
                    }
                    replayed += 1;
                }
            }
        }
    }
    println!("{replayed} traces replayed on simulated drives");
    assert!(replayed > 20, "{replayed}");
}

/// CiA 402 (IEC 61800-7-201), controlword and transitions, from memory: after power-up and after a fault the drive is in “switch on disabled”, and
/// “enable operation” (0Fh) that is held there leads nowhere; “shutdown” (06h) first, then 0Fh, starts it. A bit that is held is no start.
#[test]
fn states_of_cia_402_wait_as_a_run_bit_that_has_to_come_anew() {
    let layout = profiles::cia402();
    let machine = Machine { unit: unit(NetworkStart::Edge, ResetTrigger::Edge, LossAction::Trip), scheme: scheme() };
    let turn = |codes: &str| -> Vec<Event> { codes.split_whitespace().map(|c| Event::from_code(c).expect("an event")).collect() };
    for (events, expected) in [
        ("supply run_bit", Motor::Driven),
        ("run_bit supply", Motor::Still),
        ("run_bit supply run_bit run_bit", Motor::Driven),
        ("supply run_bit run_bit", Motor::Ramping),
        ("supply run_bit run_bit time", Motor::Still),
        ("supply run_bit cause cause time reset", Motor::Still),
        ("supply run_bit cause cause time reset reset run_bit run_bit", Motor::Driven),
    ] {
        let events = turn(events);
        assert_eq!(motor(&machine, &events), expected, "here: {events:?}");
        // The simulated drive of the standard's states; before power its master is not heard.
        assert_eq!(simulated(&layout, LossAction::Trip, &events), expected, "simulated: {events:?}");
    }
}
