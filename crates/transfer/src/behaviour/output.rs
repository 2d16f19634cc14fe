//! What people and plant see of a unit: the motor, its contacts, and whether it waits for a new start.

use plant::choice::OutputSwitch;
use plant::control::{FaultContact, Habit, ReadyContact, ReferenceFrom, StartBy};
use plant::network::LossAction;

use super::event::{Input, Inputs};
use super::machine::{Drive, Machine, State, Watched};

/// Which speed the motor is led to.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum SpeedBy {
    /// The reference.
    #[default]
    Reference,
    /// The last reference before it was lost.
    Held,
    /// A speed of the unit's own.
    Preset,
    /// The jogging speed.
    Jog,
    /// The speed to which it was raised.
    Raised,
    /// The lowest speed.
    Lowest,
}

/// What can be seen.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct Output {
    /// What the motor does.
    pub motion: Drive,
    /// It turns in the second direction; false while nothing drives it.
    pub reverse: bool,
    /// Which speed it is led to; the reference while nothing drives it.
    pub speed: SpeedBy,
    /// The load is jolted.
    pub jolt: bool,
    /// The holding brake is released.
    pub released: bool,
    /// The run contact is closed.
    pub run: bool,
    /// The fault contact is closed.
    pub fault: bool,
    /// The ready contact is closed.
    pub ready: bool,
    /// A held start waits to be given anew.
    pub waits: bool,
    /// A fault is stored.
    pub tripped: bool,
}

/// Where the motor and its speed stand in the number of an output: all that a rule asks for.
pub(super) const MOTOR: u16 = 0b11_1111;

const DRIVES: [Drive; 5] = [Drive::Still, Drive::Driven, Drive::Ramping, Drive::Braking, Drive::Coasting];
const SPEEDS: [SpeedBy; 6] = [SpeedBy::Reference, SpeedBy::Held, SpeedBy::Preset, SpeedBy::Jog, SpeedBy::Raised, SpeedBy::Lowest];

impl Output {
    /// In 14 bits; different outputs have different numbers.
    pub(super) const fn packed(self) -> u16 {
        self.motion as u16
            | (self.speed as u16) << 3
            | (self.reverse as u16) << 6
            | (self.jolt as u16) << 7
            | (self.released as u16) << 8
            | (self.run as u16) << 9
            | (self.fault as u16) << 10
            | (self.ready as u16) << 11
            | (self.waits as u16) << 12
            | (self.tripped as u16) << 13
    }

    /// The output of that number.
    pub(super) fn unpacked(number: u16) -> Self {
        let bit = |at: u32| number >> at & 1 == 1;
        Self {
            motion: DRIVES.get(usize::from(number & 7)).copied().unwrap_or_default(),
            speed: SPEEDS.get(usize::from(number >> 3 & 7)).copied().unwrap_or_default(),
            reverse: bit(6),
            jolt: bit(7),
            released: bit(8),
            run: bit(9),
            fault: bit(10),
            ready: bit(11),
            waits: bit(12),
            tripped: bit(13),
        }
    }

    /// Whether the motor is driven, by the number of the output.
    pub(super) const fn is_driven(number: u16) -> bool {
        number & 7 == Drive::Driven as u16
    }
}

impl Machine {
    /// What can be seen of it in a state.
    #[must_use]
    pub fn output(&self, s: &State, inputs: Inputs) -> Output {
        self.watched().output(s, inputs)
    }
}

impl Watched<'_> {
    /// What can be seen of it in a state.
    pub(super) fn output(&self, s: &State, inputs: Inputs) -> Output {
        let cut = self.scheme.isolator != OutputSwitch::None && inputs.has(Input::OutputOpen);
        let motion = if cut && s.drive.energised() { Drive::Coasting } else { s.drive };
        let driven = motion == Drive::Driven;
        let may = self.enabled(inputs) && self.torque_allowed(s, inputs);
        let healthy = s.powered && !s.fault;
        Output {
            motion,
            reverse: motion.energised() && s.reverse,
            speed: if driven { self.speed(s, inputs) } else { SpeedBy::Reference },
            jolt: driven && s.jolt,
            released: self.scheme.brake && s.drive.energised(),
            run: self.run_contact(s),
            fault: if self.unit.is(Habit::FaultContact, FaultContact::ClosedOnFault) { s.powered && s.fault } else { healthy },
            ready: healthy && (may || self.unit.is(Habit::ReadyContact, ReadyContact::Healthy)),
            waits: self.is_waiting(s, inputs),
            tripped: s.fault,
        }
    }

    fn speed(&self, s: &State, inputs: Inputs) -> SpeedBy {
        let of = |habit| match self.unit.get(habit) {
            Some(LossAction::PresetSpeed) => SpeedBy::Preset,
            _ => SpeedBy::Held,
        };
        if s.jogs {
            SpeedBy::Jog
        } else if s.network_lost {
            of(Habit::NetworkLost)
        } else if s.reference_lost {
            of(Habit::ReferenceLost)
        } else if self.scheme.start == StartBy::Network && (inputs.has(Input::Silent) || inputs.has(Input::MasterStopped)) {
            SpeedBy::Held
        } else if self.scheme.reference == ReferenceFrom::RaiseLower {
            if s.raised { SpeedBy::Raised } else { SpeedBy::Lowest }
        } else {
            SpeedBy::Reference
        }
    }
}
