//! Random units in random wirings, from a seed.

#![allow(dead_code, reason = "each test takes what it needs")]

use plant::choice::{Choice, OutputSwitch};
use plant::control::{Emergency, Habit, PermissiveActs, PilotSupply, ReferenceFrom, ResetBy, Seal, StartBy};
use transfer::behaviour::machine::Machine;
use transfer::behaviour::scheme::{Needs, Scheme};
use transfer::behaviour::unit::Unit;

/// A small generator (xorshift), the same on every machine.
#[derive(Debug)]
pub(crate) struct Random(pub(crate) u64);

impl Random {
    /// The next number below `end`.
    pub(crate) fn below(&mut self, end: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 >> 33) as usize % end
    }

    fn word<C: Choice>(&mut self) -> C {
        let at = self.below(C::INFO.words.len());
        C::from_index(at).expect("in range")
    }

    fn one_in(&mut self, n: usize) -> bool {
        self.below(n) == 0
    }
}

/// A unit with random habits.
pub(crate) fn unit(random: &mut Random) -> Unit {
    Habit::all().fold(Unit::default(), |unit, habit| unit.with(habit, random.below(habit.info().words.len())))
}

/// Most inputs of a random wiring: with more, a pair has millions of states, and five hundred pairs take hours.
const INPUTS: usize = 9;

/// A wiring with not too many inputs.
pub(crate) fn scheme(random: &mut Random) -> Scheme {
    loop {
        let scheme = any_scheme(random);
        if scheme.inputs().len() <= INPUTS {
            return scheme;
        }
    }
}

fn any_scheme(random: &mut Random) -> Scheme {
    Scheme {
        start: random.word::<StartBy>(),
        seal: random.word::<Seal>(),
        pilot: random.word::<PilotSupply>(),
        reversing: random.one_in(6),
        jog: random.one_in(8),
        enable: random.one_in(5),
        permissive: random.word::<PermissiveActs>(),
        emergency: random.word::<Emergency>(),
        reset: random.word::<ResetBy>(),
        reference: random.word::<ReferenceFrom>(),
        isolator: random.word::<OutputSwitch>(),
        brake: random.one_in(8),
        spinning: random.one_in(2),
        ..Scheme::default()
    }
    .plainest()
}

/// What a machine needs, at random, where all of it is known.
pub(crate) fn needs(random: &mut Random, scheme: &Scheme) -> Needs {
    Needs {
        category: Some(random.word()),
        reference_lost: Some(random.word()),
        network_lost: Some(random.word()),
        restart_meant: random.one_in(3),
        permissives: scheme.permissive != PermissiveActs::None,
    }
}

/// Two units that differ in a few habits, in the same wiring.
pub(crate) fn pair(random: &mut Random) -> [Machine; 2] {
    let scheme = scheme(random);
    let old = unit(random);
    let mut new = old;
    for _ in 0..1 + random.below(6) {
        let at = random.below(Habit::INFO.words.len());
        let habit = Habit::from_index(at).expect("in range");
        new = new.with(habit, random.below(habit.info().words.len()));
    }
    new.dies_in = if random.one_in(2) { 0b10 } else { 0 };
    [Machine { unit: old, scheme }, Machine { unit: new, scheme }]
}
