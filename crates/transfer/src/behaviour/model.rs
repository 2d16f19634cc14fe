//! The comparison as a model for a checker from outside (spin): what was printed for one pair of units goes before a text that is the same
//! for all.

use std::fmt::Write as _;

use plant::choice::{Choice, OutputSwitch};
use plant::control::{Category, Habit};
use plant::network::LossAction;

use super::compare::{Aspect, Comparison};
use super::event::{DIPS, Event, Input, Inputs};
use super::explore::all_events;
use super::machine::Machine;
use super::rules::{Rule, Verdict};
use super::scheme::{Needs, Scheme};

/// The part that is the same for all.
const RULES: &str = include_str!("model.pml");
/// What is seen, in the checker's own language.
const LOOK: &str = include_str!("model_look.c");

/// The model of a pair, with what was found here in its first lines, so that both can be held against each other: states, differences, and
/// of each side the rules that it breaks. With `RULES` defined the checker looks at the rules; it then needs a bit more for each state.
#[must_use]
pub fn model(machines: &[Machine; 2], needs: &Needs, dips: u8, found: &Comparison, verdicts: &[Vec<(Rule, Verdict)>; 2]) -> String {
    let events = all_events(machines, dips.min(DIPS));
    let mut text = String::new();
    let mut line = |words: std::fmt::Arguments<'_>| {
        // Writing into a string cannot fail.
        let _ = writeln!(text, "{words}");
    };
    line(format_args!("/* STATES {} */", found.states));
    for difference in signatures(found) {
        line(format_args!("/* DIFFERENCE {difference} */"));
    }
    for broken in broken(verdicts) {
        line(format_args!("/* RULE {broken} */"));
    }
    let mut words = String::new();
    for (name, [old, new]) in habits(machines).into_iter().chain(wiring(machines)) {
        let _ = writeln!(words, "#define {name}(i) ((i) == 1 ? {new} : {old})");
    }
    // The checker's own language writes a choice with an arrow.
    line(format_args!("{}", words.replace(" ? ", " -> ")));
    for input in Input::ALL {
        let there = events.contains(&Event::Turn(input));
        let rests = u8::from(Inputs::at_rest().has(input));
        if there {
            line(format_args!("bit in_{} = {rests};", input.code()));
        } else {
            line(format_args!("hidden byte in_{} = {rests};", input.code()));
        }
    }
    line(format_args!("{RULES}"));
    // From here on the same names are read by the compiler of the checker.
    let undone: String = habits(machines).into_iter().chain(wiring(machines)).map(|(name, _)| format!("#undef {name}\n")).collect();
    let asked = asked(&machines[0].scheme, needs);
    line(format_args!("{undone}{words}{asked}c_code {{\n{}\n}}", hidden_inputs(&events)));
    line(format_args!("{}", steps(&machines[0].scheme, &events)));
    text
}

/// Inputs that do not exist are no part of a state, and the checker keeps them beside it.
fn hidden_inputs(events: &[Event]) -> String {
    let mut look = LOOK.to_owned();
    for input in Input::ALL {
        if !events.contains(&Event::Turn(input)) {
            for (end, other) in [(' ', " "), (')', ")"), (';', ";")] {
                look = look.replace(&format!("now.in_{}{end}", input.code()), &format!("in_{}{other}", input.code()));
            }
        }
    }
    look
}

/// Which rules are held against both, and what they need.
fn asked(around: &Scheme, needs: &Needs) -> String {
    let mut text = String::new();
    for rule in Rule::ALL {
        let name = rule.code().replace('-', "_").to_uppercase();
        let _ = writeln!(text, "#define A_{name} {}", u8::from(rule.applies(around, needs) && !rule.lacks(needs)));
    }
    let loss = |need: Option<LossAction>| need.map_or(0, LossAction::index);
    let category = u8::from(needs.category == Some(Category::One));
    let _ = writeln!(
        text,
        "#define N_RESTART {}\n#define N_CATEGORY {category}\n#define N_REFERENCE_LOST {}\n#define N_NETWORK_LOST {}",
        u8::from(needs.restart_meant),
        loss(needs.reference_lost),
        loss(needs.network_lost)
    );
    text
}

fn habits(machines: &[Machine; 2]) -> Vec<(String, [usize; 2])> {
    let name = |habit: Habit| match habit {
        Habit::Spinning => "H_SPINNING".to_owned(),
        other => format!("H_{}", other.word().replace('-', "_").to_uppercase()),
    };
    Habit::all().map(|h| (name(h), [machines[0].unit.word(h), machines[1].unit.word(h)])).collect()
}

fn wiring(machines: &[Machine; 2]) -> Vec<(String, [usize; 2])> {
    let [a, b] = [&machines[0].scheme, &machines[1].scheme];
    let isolator = |s: &Scheme| match s.isolator {
        OutputSwitch::None => 0,
        OutputSwitch::EarlyBreak => 1,
        OutputSwitch::Plain => 2,
    };
    let each: [(&str, [usize; 2]); 11] = [
        ("W_START", [a.start.index(), b.start.index()]),
        ("W_SEAL", [a.seal.index(), b.seal.index()]),
        ("W_PILOT", [a.pilot.index(), b.pilot.index()]),
        ("W_PERMISSIVE", [a.permissive.index(), b.permissive.index()]),
        ("W_EMERGENCY", [a.emergency.index(), b.emergency.index()]),
        ("W_ENABLE", [usize::from(a.enable), usize::from(b.enable)]),
        ("W_ISOLATOR", [isolator(a), isolator(b)]),
        ("W_BRAKE", [usize::from(a.brake), usize::from(b.brake)]),
        ("W_SPINNING", [usize::from(a.spinning), usize::from(b.spinning)]),
        ("W_REFERENCE", [a.reference.index(), b.reference.index()]),
        ("D_DIES", [usize::from(machines[0].unit.dies_in), usize::from(machines[1].unit.dies_in)]),
    ];
    each.into_iter().map(|(name, words)| (name.to_owned(), words)).collect()
}

/// When an event can happen, as the checker reads it.
fn guard(scheme: &Scheme, event: Event) -> &'static str {
    use plant::control::{ResetBy, StartBy};
    const HEARD: &str = "(!in_silent && !in_master_stopped)";
    match event {
        Event::Turn(Input::Hand) => "(!in_auto)",
        Event::Turn(Input::Auto) => "(!in_hand)",
        Event::Turn(Input::RunBit | Input::StopBit) => HEARD,
        Event::Turn(Input::Reset) if scheme.reset == ResetBy::Network => HEARD,
        Event::Turn(Input::Reverse) if scheme.start == StartBy::Network => HEARD,
        Event::Turn(Input::MasterStopped) => "(!in_silent)",
        Event::Turn(Input::Silent) => "(!in_master_stopped)",
        Event::Dip(_) => "(in_supply)",
        Event::Turn(_) | Event::Time | Event::Raise => "(1)",
    }
}

/// The process: an event is chosen, and all that follows from it is one step.
fn steps(scheme: &Scheme, events: &[Event]) -> String {
    let mut text = String::new();
    let mut names = Vec::new();
    let (mut choices, mut turns, mut acts) = (String::new(), String::new(), String::new());
    for (number, event) in events.iter().enumerate() {
        let _ = writeln!(choices, "    :: {} -> ev = {number}", guard(scheme, *event));
        names.push(format!("\"{}\"", event.code()));
        if let Event::Turn(input) = event {
            let _ = writeln!(turns, "      :: ev == {number} -> in_{0} = !in_{0}", input.code());
        }
        let act = match event {
            Event::Turn(Input::Hand) => "hand_over(k)".to_owned(),
            Event::Dip(class) => format!("dip(k, {class})"),
            Event::Time => "time_passes(k)".to_owned(),
            Event::Raise => "raise(k)".to_owned(),
            Event::Turn(_) => continue,
        };
        let _ = writeln!(acts, "         :: ev == {number} -> {act}");
    }
    let _ = writeln!(text, "c_code {{ static const char *names_[] = {{ {} }}; }}", names.join(", "));
    let _ = writeln!(
        text,
        "active proctype plant() {{\n  do\n  :: atomic {{\n    if\n{choices}    fi;\n    d_step {{\n      c_code {{ first_(); }};\n      if\n{turns}      \
         :: else -> skip\n      fi;\n      k = 0;\n      do\n      :: k < 2 ->\n         sup = in_supply; passes = 1;\n         if\n{acts}         \
         :: else -> skip\n         fi;\n         settle(k); after(k); k++\n      :: else -> break\n      od;\n      c_code {{ then_(names_[ev]); }}\n    \
         }}\n  }}\n  od\n}}"
    );
    text
}

/// Rules that are broken as the checker prints them, sorted: side and name.
#[must_use]
pub fn broken(verdicts: &[Vec<(Rule, Verdict)>; 2]) -> Vec<String> {
    let of = |(side, verdicts): (usize, &Vec<(Rule, Verdict)>)| -> Vec<String> {
        let broken = verdicts.iter().filter(|(_, verdict)| matches!(verdict, Verdict::Broken(_)));
        broken.map(|(rule, _)| format!("{side} {}", rule.code())).collect()
    };
    let mut lines: Vec<String> = verdicts.iter().enumerate().flat_map(of).collect();
    lines.sort();
    lines
}

/// Differences as the checker prints them, sorted.
#[must_use]
pub fn signatures(found: &Comparison) -> Vec<String> {
    let mut lines: Vec<String> = found
        .differences
        .iter()
        .map(|d| {
            let event = d.events.last().map_or_else(String::new, |e| e.code());
            let pair = |name: &str, old: usize, new: usize| format!("{} {name} {old} {new} {event}", d.danger as usize);
            let flag = |name: &str, old: bool| pair(name, usize::from(old), usize::from(!old));
            match d.aspect {
                Aspect::Motion([old, new]) => pair("motion", old as usize, new as usize),
                Aspect::Direction(old) => flag("direction", old),
                Aspect::Speed([old, new]) => pair("speed", old as usize, new as usize),
                Aspect::Jolt(old) => flag("jolt", old),
                Aspect::Brake(old) => flag("brake", old),
                Aspect::Run(old) => flag("run", old),
                Aspect::Fault(old) => flag("fault", old),
                Aspect::Ready(old) => flag("ready", old),
                Aspect::Waits(old) => flag("waits", old),
                Aspect::Tripped(old) => flag("tripped", old),
            }
        })
        .collect();
    lines.sort();
    lines
}
