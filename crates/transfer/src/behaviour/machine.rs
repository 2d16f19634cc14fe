//! One unit in its scheme as a state machine: a state, what happens, the next state. Between two events everything settles: contacts
//! follow the unit, the unit follows the contacts.

mod circuit;
mod drive;

use plant::control::{
    AfterReset, AutoReset, Dip, Emergency, Habit, HeldStart, MasterStop, NetworkStart, PilotSupply, ResetTrigger, RunContact, SpeedMemory,
    StartBy,
};
use plant::network::LossAction;

use super::event::{Event, Input, Inputs};
use super::scheme::Scheme;
use super::unit::{Asked, Unit};

/// What the motor is given by the unit.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Drive {
    /// Nothing, and it stands.
    #[default]
    Still,
    /// It is driven.
    Driven,
    /// It is led down the ramp.
    Ramping,
    /// It is braked as hard as the unit can.
    Braking,
    /// Nothing, but it still turns.
    Coasting,
}

impl Drive {
    /// Whether it turns.
    #[must_use]
    pub const fn moves(self) -> bool {
        !matches!(self, Self::Still)
    }

    /// Whether it is energised.
    #[must_use]
    pub const fn energised(self) -> bool {
        matches!(self, Self::Driven | Self::Ramping | Self::Braking)
    }
}

/// State of one unit with the wiring that belongs to it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct State {
    /// The unit's control has power.
    pub powered: bool,
    /// What the motor is given.
    pub drive: Drive,
    /// A fault is stored.
    pub fault: bool,
    /// A start that stands does not count: it has to be taken away and given anew.
    pub lock: bool,
    /// The unit keeps a start that came.
    pub latch: bool,
    /// The relay that keeps a start is pulled.
    pub relay: bool,
    /// It turns, or will turn, in the second direction.
    pub reverse: bool,
    /// The action on a silent controller was taken.
    pub network_lost: bool,
    /// The action on a lost reference was taken.
    pub reference_lost: bool,
    /// The reset stood before.
    pub reset_before: bool,
    /// The run bit stood before.
    pub run_before: bool,
    /// The load was jolted by a start and has not come to rest in it.
    pub jolt: bool,
    /// The delayed part of an emergency stop has acted.
    pub dropped: bool,
    /// The speed was raised and is remembered.
    pub raised: bool,
    /// It jogs.
    pub jogs: bool,
}

/// Bits of a packed state.
pub const STATE_BITS: u32 = 17;

impl State {
    /// In [`STATE_BITS`] bits; different states have different numbers.
    #[must_use]
    pub const fn packed(self) -> u32 {
        self.powered as u32
            | (self.drive as u32) << 1
            | (self.fault as u32) << 4
            | (self.lock as u32) << 5
            | (self.latch as u32) << 6
            | (self.relay as u32) << 7
            | (self.reverse as u32) << 8
            | (self.network_lost as u32) << 9
            | (self.reference_lost as u32) << 10
            | (self.reset_before as u32) << 11
            | (self.run_before as u32) << 12
            | (self.jolt as u32) << 13
            | (self.dropped as u32) << 14
            | (self.raised as u32) << 15
            | (self.jogs as u32) << 16
    }

    /// Without what nothing asks for any more, so that states that act alike are one: whoever takes a fault or a loss of power away decides
    /// anew whether a held start waits, and a motor that nothing drives gets its direction with the next start.
    const fn without_past(mut self) -> Self {
        self.lock &= self.powered && !self.fault;
        self.reverse &= self.drive.energised();
        self
    }
}

/// A unit in its scheme.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Machine {
    /// The unit.
    pub unit: Unit,
    /// What surrounds it.
    pub scheme: Scheme,
}

/// Rounds in which contacts and unit follow one another; more than any chain of them is long.
const ROUNDS: usize = 6;

impl Machine {
    /// The state after an event; `before` are the inputs before it.
    #[must_use]
    pub fn step(&self, state: State, before: Inputs, event: Event) -> State {
        self.watched().step(state, before, event)
    }

    /// The same machine, which notes what it asks of its unit.
    pub(super) fn watched(&self) -> Watched<'_> {
        Watched { unit: Asked::new(&self.unit), scheme: &self.scheme }
    }
}

/// A machine at work.
#[derive(Debug)]
pub(super) struct Watched<'m> {
    pub(super) unit: Asked<'m>,
    pub(super) scheme: &'m Scheme,
}

impl Watched<'_> {
    /// The state after an event; `before` are the inputs before it.
    pub(super) fn step(&self, state: State, before: Inputs, event: Event) -> State {
        let inputs = event.then(before);
        let mut s = state;
        match event {
            Event::Turn(Input::Hand) if self.scheme.start == StartBy::Network => self.hand_over(&mut s, inputs),
            Event::Turn(_) => {}
            Event::Dip(class) if self.unit.dies_in(class) => {
                self.settle(&mut s, inputs.with(Input::Supply, false));
            }
            Event::Dip(_) => self.dip(&mut s, inputs),
            Event::Time => self.time(&mut s, inputs),
            Event::Raise => s.raised |= s.powered && s.drive == Drive::Driven,
        }
        self.settle(&mut s, inputs);
        s.reset_before = self.reset_asked(inputs);
        s.run_before = inputs.has(Input::RunBit);
        s.without_past()
    }

    /// Lets contacts and unit follow one another until nothing changes.
    fn settle(&self, s: &mut State, inputs: Inputs) {
        for _ in 0..ROUNDS {
            let was = *s;
            self.once(s, inputs);
            if *s == was {
                break;
            }
        }
    }

    /// One round: power, wiring, faults, commands, motor.
    fn once(&self, s: &mut State, inputs: Inputs) {
        // A relay pulls long before a unit that gets its power with it looks at its inputs.
        self.pull_relay(s, inputs);
        self.power(s, inputs);
        if !self.is_delayed_stop_pressed(inputs) {
            s.dropped = false;
        }
        if !s.powered {
            return;
        }
        self.watch(s, inputs);
        self.reset(s, inputs);
        self.latching(s, inputs);
        self.drive(s, inputs);
    }

    fn power(&self, s: &mut State, inputs: Inputs) {
        let power = inputs.has(Input::Supply)
            && !(inputs.has(Input::Emergency) && self.scheme.emergency == Emergency::LineContactor)
            && !(s.dropped && self.scheme.emergency == Emergency::DelayedContactor);
        if power == s.powered {
            return;
        }
        if power {
            s.powered = true;
            s.reset_before = self.reset_asked(inputs);
            s.run_before = inputs.has(Input::RunBit);
            s.lock = self.raw(s, inputs).any() && self.waits(Habit::PowerUp, inputs);
            return;
        }
        // A unit without power forgets all but a raised speed that it keeps.
        *s = State {
            drive: if s.drive.moves() { Drive::Coasting } else { Drive::Still },
            reverse: s.reverse,
            relay: s.relay,
            dropped: s.dropped,
            raised: s.raised && self.unit.is(Habit::SpeedMemory, SpeedMemory::Kept),
            ..State::default()
        };
    }

    /// Whether a start that is held has to be given anew after something returned.
    fn waits(&self, habit: Habit, inputs: Inputs) -> bool {
        // From the network its own way of starting decides.
        if self.by_network(inputs) {
            return !self.unit.is(Habit::NetworkStart, NetworkStart::Level);
        }
        self.unit.is(habit, HeldStart::Waits)
    }

    /// Stores a fault.
    fn trip(s: &mut State) {
        s.fault = true;
        s.latch = false;
        s.jogs = false;
        if s.drive.moves() {
            s.drive = Drive::Coasting;
        }
    }

    fn reset_asked(&self, inputs: Inputs) -> bool {
        inputs.has(Input::Reset)
    }

    fn reset(&self, s: &mut State, inputs: Inputs) {
        let asked = self.reset_asked(inputs);
        let counts = asked && (self.unit.is(Habit::Reset, ResetTrigger::Level) || !s.reset_before);
        // A reset that counted once has counted.
        s.reset_before |= asked;
        if !counts || !s.fault || inputs.has(Input::Cause) {
            return;
        }
        let held = self.raw(s, inputs).any();
        match self.unit.get(Habit::AfterReset) {
            Some(AfterReset::Refused) if held => {}
            after => {
                s.fault = false;
                let anew =
                    after == Some(AfterReset::Waits) || self.by_network(inputs) && !self.unit.is(Habit::NetworkStart, NetworkStart::Level);
                s.lock = held && anew;
            }
        }
    }

    fn hand_over(&self, s: &mut State, inputs: Inputs) {
        s.latch = false;
        s.jogs = false;
        s.network_lost = false;
        s.lock = self.raw(s, inputs).any() && self.unit.is(Habit::ModeChange, HeldStart::Waits);
    }

    fn dip(&self, s: &mut State, inputs: Inputs) {
        if self.scheme.pilot == PilotSupply::SameLine {
            s.relay = false;
        }
        let act = if s.powered && s.drive.energised() { self.unit.get(Habit::Dip) } else { None };
        match act {
            Some(Dip::Resumes) if self.unit.is(Habit::RunContact, RunContact::Driven) => s.drive = Drive::Coasting,
            Some(Dip::Waits) => {
                s.drive = Drive::Coasting;
                s.latch = false;
                s.jogs = false;
                s.lock = self.raw(s, inputs).any();
            }
            Some(Dip::Trips) => Self::trip(s),
            Some(Dip::Rides | Dip::Resumes) | None => {}
        }
    }

    fn time(&self, s: &mut State, inputs: Inputs) {
        if matches!(s.drive, Drive::Ramping | Drive::Braking | Drive::Coasting) {
            s.drive = Drive::Still;
        }
        s.jolt = false;
        s.dropped = self.is_delayed_stop_pressed(inputs);
        if !s.powered {
            return;
        }
        if s.fault && !inputs.has(Input::Cause) && self.unit.is(Habit::AutoReset, AutoReset::ByItself) {
            s.fault = false;
            s.lock = false;
        }
        let stopped = inputs.has(Input::MasterStopped) && self.unit.is(Habit::MasterStopped, MasterStop::LikeLoss);
        if self.by_network(inputs) && (inputs.has(Input::Silent) || stopped) && !s.network_lost {
            s.network_lost = true;
            if self.unit.is(Habit::NetworkLost, LossAction::Trip) {
                Self::trip(s);
            }
        }
        if inputs.has(Input::ReferenceLost) && !s.reference_lost {
            s.reference_lost = true;
            if self.unit.is(Habit::ReferenceLost, LossAction::Trip) {
                Self::trip(s);
            }
        }
    }

    fn is_delayed_stop_pressed(&self, inputs: Inputs) -> bool {
        inputs.has(Input::Emergency) && matches!(self.scheme.emergency, Emergency::DelayedContactor | Emergency::DelayedSafeOff)
    }

    /// Whether the network has control.
    pub(super) fn by_network(&self, inputs: Inputs) -> bool {
        self.scheme.by_network(inputs)
    }
}
