//! The wiring around a unit, with every word known.

use plant::choice::OutputSwitch;
use plant::control::{Category, Emergency, PermissiveActs, PermissivePlace, PilotSupply, ReferenceFrom, ResetBy, Seal, StartBy};
use plant::network::LossAction;

use super::event::{Input, Inputs};

/// What surrounds the unit, old or new.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Scheme {
    /// What starts and stops the motor.
    pub start: StartBy,
    /// What holds a momentary start.
    pub seal: Seal,
    /// What feeds the pilot circuit.
    pub pilot: PilotSupply,
    /// A second direction is wired or sent.
    pub reversing: bool,
    /// A jog button is wired.
    pub jog: bool,
    /// An enable contact is wired: key, isolator, guard.
    pub enable: bool,
    /// Where permissives count.
    pub permissive: PermissiveActs,
    /// Where they live.
    pub permissive_in: PermissivePlace,
    /// What the emergency stop acts on.
    pub emergency: Emergency,
    /// What resets a fault.
    pub reset: ResetBy,
    /// What gives the speed.
    pub reference: ReferenceFrom,
    /// A switch in the output.
    pub isolator: OutputSwitch,
    /// A holding brake answers.
    pub brake: bool,
    /// The load may still turn, or be turned, when the motor is started.
    pub spinning: bool,
}

impl Default for Scheme {
    /// One maintained contact and nothing else.
    fn default() -> Self {
        Self {
            start: StartBy::TwoWire,
            seal: Seal::Unit,
            pilot: PilotSupply::SameLine,
            reversing: false,
            jog: false,
            enable: false,
            permissive: PermissiveActs::None,
            permissive_in: PermissivePlace::Circuit,
            emergency: Emergency::None,
            reset: ResetBy::Power,
            reference: ReferenceFrom::Fixed,
            isolator: OutputSwitch::None,
            brake: false,
            spinning: false,
        }
    }
}

/// What the machine needs, whatever stands there: the rules are held against it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct Needs {
    /// Stop category of the emergency stop; `None` while nobody has said.
    pub category: Option<Category>,
    /// What must happen when the reference is lost.
    pub reference_lost: Option<LossAction>,
    /// What must happen when the controller falls silent.
    pub network_lost: Option<LossAction>,
    /// The motor is meant to start by itself when power returns, and the people there know it.
    pub restart_meant: bool,
    /// Permissives are there for this motor.
    pub permissives: bool,
}

impl Scheme {
    /// The same with what cannot matter at its plainest, so that schemes that act alike are equal.
    #[must_use]
    pub fn plainest(self) -> Self {
        let network = self.start == StartBy::Network;
        Self {
            seal: if self.start == StartBy::ThreeWire { self.seal } else { Seal::Unit },
            pilot: if network { PilotSupply::SameLine } else { self.pilot },
            permissive_in: if self.permissive == PermissiveActs::None { PermissivePlace::Circuit } else { self.permissive_in },
            ..self
        }
    }

    /// The scheme after the old unit has gone: what lived in it is gone too.
    #[must_use]
    pub fn without_old_unit(self) -> Self {
        if self.permissive_in == PermissivePlace::OldUnit { Self { permissive: PermissiveActs::None, ..self } } else { self }
    }

    /// Whether the network has control.
    pub(super) const fn by_network(&self, inputs: Inputs) -> bool {
        matches!(self.start, StartBy::Network) && !inputs.has(Input::Hand)
    }

    /// Whether the unit itself keeps a momentary start.
    #[must_use]
    pub const fn unit_latches(&self) -> bool {
        matches!((self.start, self.seal), (StartBy::ThreeWire, Seal::Unit) | (StartBy::Network, _))
    }

    /// Whether there are two modes, one of them automatic.
    #[must_use]
    pub const fn has_modes(&self) -> bool {
        matches!(self.start, StartBy::HandAuto | StartBy::Network)
    }
}
