//! The unit: what it watches, what it keeps, and what it gives the motor.

use plant::choice::OutputSwitch;
use plant::control::{
    BrakeWatch, EnableLoss, Habit, JogWhen, MasterStop, NetworkStart, OutputOpened, Reversal, SafeOffAct, SpeedMemory, Spinning, StopMode,
};
use plant::network::LossAction;

use super::{Drive, State, Watched};
use crate::behaviour::event::{Input, Inputs};

impl Watched<'_> {
    /// Trips, and returns that make a held start wait.
    pub(super) fn watch(&self, s: &mut State, inputs: Inputs) {
        let (enabled, torque) = (self.enabled(inputs), self.torque_allowed(s, inputs));
        let energised = s.drive.energised();
        let opened = self.scheme.isolator == OutputSwitch::Plain && inputs.has(Input::OutputOpen);
        let trips = inputs.has(Input::Cause)
            || energised
                && (!torque && self.unit.is(Habit::SafeOff, SafeOffAct::Trips)
                    || !enabled && self.unit.is(Habit::EnableLost, EnableLoss::Trips)
                    || opened && self.unit.is(Habit::OutputOpened, OutputOpened::Trips)
                    || self.scheme.brake && !inputs.has(Input::BrakeAnswers) && self.unit.is(Habit::BrakeAnswer, BrakeWatch::Trips));
        if trips && !s.fault {
            Self::trip(s);
        }
        if !enabled || !torque {
            s.latch = false;
            s.jogs = false;
        }
        let held = self.raw(s, inputs).any();
        if held && (!enabled && self.waits(Habit::AfterEnable, inputs) || !torque && self.waits(Habit::AfterSafeOff, inputs)) {
            s.lock = true;
        }
        self.returns(s, inputs);
    }

    /// What happens when controller and reference are back.
    fn returns(&self, s: &mut State, inputs: Inputs) {
        if s.network_lost && !inputs.has(Input::Silent) && !inputs.has(Input::MasterStopped) {
            s.network_lost = false;
            s.lock |= self.raw(s, inputs).any() && !self.unit.is(Habit::NetworkStart, NetworkStart::Level);
        }
        if !inputs.has(Input::ReferenceLost) {
            s.reference_lost = false;
        }
    }

    /// What loss or standing controller demands: the way to stop, or nothing.
    fn loss_stop(&self, s: &State, inputs: Inputs) -> Option<Drive> {
        let of = |habit| match self.unit.get(habit) {
            Some(LossAction::RampStop) => Some(Drive::Ramping),
            Some(LossAction::CoastStop) => Some(Drive::Coasting),
            _ => None,
        };
        let standing =
            self.by_network(inputs) && inputs.has(Input::MasterStopped) && self.unit.is(Habit::MasterStopped, MasterStop::RampStop);
        None.or_else(|| s.network_lost.then(|| of(Habit::NetworkLost)).flatten())
            .or_else(|| s.reference_lost.then(|| of(Habit::ReferenceLost)).flatten())
            .or_else(|| standing.then_some(Drive::Ramping))
    }

    /// Keeps and forgets starts.
    pub(super) fn latching(&self, s: &mut State, inputs: Inputs) {
        let raw = self.raw(s, inputs).any();
        if !raw {
            s.lock = false;
        }
        // A stop from elsewhere than the bit itself: a run bit that is wanted as an edge has to come anew.
        let from_elsewhere = self.by_network(inputs) && inputs.has(Input::RunBit) && !self.stop_closed(inputs);
        if from_elsewhere && !self.unit.is(Habit::NetworkStart, NetworkStart::Level) {
            s.lock = true;
        }
        if self.latches(inputs) {
            let may = !s.fault && self.enabled(inputs) && self.torque_allowed(s, inputs);
            let stopped = self.loss_stop(s, inputs).is_some() || !self.stop_closed(inputs);
            s.latch = may && !stopped && (s.latch || raw && !s.lock);
        }
    }

    /// What the motor is given.
    pub(super) fn drive(&self, s: &mut State, inputs: Inputs) {
        let (enabled, torque) = (self.enabled(inputs), self.torque_allowed(s, inputs));
        let loss = self.loss_stop(s, inputs);
        let ready = !s.fault && enabled && torque;
        self.jogging(s, inputs, ready);
        let wanted = self.wanted(s, inputs);
        let go = ready && loss.is_none() && (wanted.any() || s.jogs);
        if go && !s.jogs && s.drive == Drive::Driven && wanted.reverse != s.reverse && self.unit.is(Habit::Reversal, Reversal::AfterStop) {
            s.lock = true;
            s.latch = false;
            s.drive = self.stopping();
            return;
        }
        s.drive = match s.drive {
            Drive::Driven if !go => self.stop_by(enabled, torque, s.fault, loss),
            Drive::Ramping | Drive::Braking if !torque || s.fault => Drive::Coasting,
            Drive::Ramping | Drive::Braking if !enabled && !self.unit.is(Habit::EnableLost, EnableLoss::Ramp) => Drive::Coasting,
            Drive::Coasting if go && self.scheme.spinning => return self.catch(s, wanted.reverse),
            _ if go => Drive::Driven,
            other => other,
        };
        if go {
            s.reverse = wanted.reverse;
        } else if s.drive == Drive::Still {
            s.reverse = false;
        }
        if s.drive != Drive::Driven && self.unit.is(Habit::SpeedMemory, SpeedMemory::Lost) {
            s.raised = false;
        }
    }

    fn jogging(&self, s: &mut State, inputs: Inputs, ready: bool) {
        let asked = ready && inputs.has(Input::Jog) && self.stop_closed(inputs) && !self.by_network(inputs);
        let may = s.jogs || s.drive == Drive::Still || self.unit.is(Habit::Jog, JogWhen::AnyTime);
        s.jogs = asked && may;
    }

    fn stopping(&self) -> Drive {
        match self.unit.get(Habit::Stop) {
            Some(StopMode::Coast) => Drive::Coasting,
            Some(StopMode::Brake) => Drive::Braking,
            _ => Drive::Ramping,
        }
    }

    fn stop_by(&self, enabled: bool, torque: bool, fault: bool, loss: Option<Drive>) -> Drive {
        if !torque || fault {
            Drive::Coasting
        } else if !enabled {
            if self.unit.is(Habit::EnableLost, EnableLoss::Ramp) { Drive::Ramping } else { Drive::Coasting }
        } else {
            loss.unwrap_or_else(|| self.stopping())
        }
    }

    /// A start on a load that turns.
    fn catch(&self, s: &mut State, reverse: bool) {
        match self.unit.get(Habit::Spinning) {
            Some(Spinning::Trips) => Self::trip(s),
            act => {
                s.drive = Drive::Driven;
                s.reverse = reverse;
                s.jolt = act == Some(Spinning::Jolts);
            }
        }
    }

    /// Whether a held start waits to be given anew, for people who look at the unit.
    pub(in crate::behaviour) fn is_waiting(&self, s: &State, inputs: Inputs) -> bool {
        s.powered && !s.fault && s.lock && self.raw(s, inputs).any()
    }
}
