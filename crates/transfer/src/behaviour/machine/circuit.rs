//! The wiring: which contacts let the unit see a start, an enable, and safe torque off.

use plant::choice::OutputSwitch;
use plant::control::{BothStarts, Emergency, Habit, NetworkStart, PermissiveActs, PilotSupply, RunContact, Scope, Seal, StartBy};

use super::{Drive, State, Watched};
use crate::behaviour::event::{Input, Inputs};

/// What the unit is asked for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(in crate::behaviour) struct Request {
    /// Run forward.
    pub(in crate::behaviour) forward: bool,
    /// Run in the second direction.
    pub(in crate::behaviour) reverse: bool,
}

impl Request {
    /// Whether anything is asked for.
    pub(in crate::behaviour) const fn any(self) -> bool {
        self.forward || self.reverse
    }

    /// One request with its direction.
    const fn one(asked: bool, reverse: bool) -> Self {
        Self { forward: asked && !reverse, reverse: asked && reverse }
    }
}

impl Watched<'_> {
    /// Whether the pilot circuit has power.
    fn pilot(&self, inputs: Inputs) -> bool {
        inputs.has(Input::Pilot) && (self.scheme.pilot == PilotSupply::Separate || inputs.has(Input::Supply))
    }

    /// Whether the contacts in series with every start are closed: permissives of every mode, and an emergency stop that acts there.
    pub(super) fn chain(&self, inputs: Inputs) -> bool {
        use Emergency as E;
        let emergency = matches!(self.scheme.emergency, E::StopCircuit | E::DelayedContactor | E::DelayedSafeOff);
        // Without modes there is no other mode than the one in which permissives count.
        let permissive = match self.scheme.permissive {
            PermissiveActs::None => false,
            PermissiveActs::EveryMode => true,
            PermissiveActs::AutoOnly => !self.scheme.has_modes(),
        };
        self.pilot(inputs) && !(emergency && inputs.has(Input::Emergency)) && (!permissive || inputs.has(Input::Permissive))
    }

    /// Whether permissives let the automatic run.
    fn auto_chain(&self, inputs: Inputs) -> bool {
        self.scheme.permissive != PermissiveActs::AutoOnly || inputs.has(Input::Permissive)
    }

    /// Whether nothing demands a stop.
    pub(super) fn stop_closed(&self, inputs: Inputs) -> bool {
        let own = self.chain(inputs);
        if self.scheme.start != StartBy::Network {
            return own && !inputs.has(Input::Stop);
        }
        let network = self.by_network(inputs);
        let counts = |habit, here: bool| here || self.unit.is(habit, Scope::Always);
        own && !(inputs.has(Input::Stop) && counts(Habit::LocalStop, !network))
            && !(inputs.has(Input::StopBit) && counts(Habit::NetworkStop, network))
    }

    /// Whether the unit's run contact is closed.
    pub(in crate::behaviour) fn run_contact(&self, s: &State) -> bool {
        s.powered
            && match s.drive {
                Drive::Driven => true,
                Drive::Ramping | Drive::Braking => self.unit.is(Habit::RunContact, RunContact::Driven),
                Drive::Still | Drive::Coasting => false,
            }
    }

    /// What the unit's inputs or words ask for, whether or not it counts.
    pub(in crate::behaviour) fn raw(&self, s: &State, inputs: Inputs) -> Request {
        let (start, second) = (inputs.has(Input::Start), inputs.has(Input::Reverse));
        let closed = self.stop_closed(inputs);
        match self.scheme.start {
            StartBy::TwoWire | StartBy::HoldToRun => Request { forward: closed && start, reverse: closed && second },
            StartBy::ThreeWire => {
                let asked = match self.scheme.seal {
                    Seal::Unit => start,
                    Seal::UnitRelay => start || self.run_contact(s),
                    Seal::OwnRelay => s.relay,
                };
                Request::one(closed && asked, second)
            }
            StartBy::HandAuto => {
                let auto = inputs.has(Input::Auto) && inputs.has(Input::AutoContact) && self.auto_chain(inputs);
                Request::one(closed && (inputs.has(Input::Hand) || auto), second)
            }
            StartBy::Network => {
                let asked = if !self.by_network(inputs) {
                    start
                } else if self.unit.is(Habit::NetworkStart, NetworkStart::Pulse) {
                    inputs.has(Input::RunBit) && !s.run_before && self.auto_chain(inputs)
                } else {
                    inputs.has(Input::RunBit) && self.auto_chain(inputs)
                };
                Request::one(closed && asked, second)
            }
        }
    }

    /// Whether the unit keeps a start that came, in the mode that has control.
    pub(super) fn latches(&self, inputs: Inputs) -> bool {
        match self.scheme.start {
            StartBy::ThreeWire => self.scheme.seal == Seal::Unit,
            StartBy::Network => !self.by_network(inputs) || self.unit.is(Habit::NetworkStart, NetworkStart::Pulse),
            StartBy::TwoWire | StartBy::HandAuto | StartBy::HoldToRun => false,
        }
    }

    /// What counts of what is asked for.
    pub(super) fn wanted(&self, s: &State, inputs: Inputs) -> Request {
        let raw = self.raw(s, inputs);
        if self.latches(inputs) {
            return Request::one(s.latch, inputs.has(Input::Reverse));
        }
        match (raw.forward && raw.reverse, s.lock) {
            (_, true) => Request::default(),
            (true, false) if self.unit.is(Habit::BothStarts, BothStarts::Stops) => Request::default(),
            (true, false) => Request { forward: true, reverse: false },
            (false, false) => raw,
        }
    }

    /// Whether the relay that keeps a start is pulled.
    pub(super) fn pull_relay(&self, s: &mut State, inputs: Inputs) {
        let own = self.scheme.start == StartBy::ThreeWire && self.scheme.seal == Seal::OwnRelay;
        s.relay = own && self.stop_closed(inputs) && (inputs.has(Input::Start) || s.relay);
    }

    /// Whether the enable is closed.
    pub(in crate::behaviour) fn enabled(&self, inputs: Inputs) -> bool {
        let wired = !self.scheme.enable || (inputs.has(Input::Enable) && (self.scheme.start == StartBy::Network || self.pilot(inputs)));
        let isolator = self.scheme.isolator == OutputSwitch::EarlyBreak && inputs.has(Input::OutputOpen);
        wired && !isolator && !(inputs.has(Input::Emergency) && self.scheme.emergency == Emergency::EnableInput)
    }

    /// Whether safe torque off is not demanded.
    pub(in crate::behaviour) fn torque_allowed(&self, s: &State, inputs: Inputs) -> bool {
        let at_once = inputs.has(Input::Emergency) && self.scheme.emergency == Emergency::SafeOff;
        let later = s.dropped && self.scheme.emergency == Emergency::DelayedSafeOff;
        !at_once && !later
    }
}
