//! Walks the new drive through its own command sequence towards what the old drive would do.

use dossier::program::Type;
use dossier::program::build::{assign, dint, out, real, var};
use plant::network::{BitMeaning as M, Direction, Sequence, WordMeaning};

use super::super::logic::Cond;
use super::Writer;

impl Writer<'_, '_> {
    pub(super) fn sequence(&mut self) {
        let new = self.pair.new;
        self.head("What the new drive is told");
        self.target();
        let wanted = self.wanted().and(self.faulted().not()).and(self.new_says(M::Ready).unwrap_or(Cond::Always(true)));
        self.keep("GO", wanted, "the new drive shall run");
        let go: Cond = var("GO").into();
        // A unit that starts by an edge and missed it gets it anew.
        let started = match new.sequence {
            Sequence::Edge | Sequence::Pulses => {
                self.local("START_OUT", Type::Bool, "start or run bit to the new drive");
                let waits = Cond::from(var("START_OUT")).and(self.driven().not());
                self.timer("START_WAIT", waits.expression(), "the new drive did not answer a start");
                let again = Cond::from(out("START_WAIT", "Q")).not();
                let by_pulse = if new.sequence == Sequence::Pulses { self.driven().not() } else { Cond::Always(true) };
                self.say(assign("START_OUT", go.clone().and(again).and(by_pulse).expression()));
                Cond::from(var("START_OUT"))
            }
            _ => go.clone(),
        };
        let stop_pulse = if new.sequence == Sequence::Pulses {
            self.local("STOPPING", Type::Bool, "a stop is given until the motor is no longer driven");
            self.local("WAS_WANTED", Type::Bool, "the old drive would have run in the scan before");
            let fell = Cond::from(var("WAS_WANTED")).and(go.clone().not());
            let still = Cond::from(var("STOPPING")).or(fell).and(self.driven()).and(go.clone().not());
            self.say(assign("STOPPING", still.expression()));
            self.say(assign("WAS_WANTED", go.clone().expression()));
            Cond::from(var("STOPPING"))
        } else {
            Cond::Always(false)
        };
        let reset = if self.has_local("RESET") && new.bit(Direction::ToDrive, M::FaultReset).is_some() {
            self.local("RESET_OUT", Type::Bool, "reset bit to the new drive");
            self.timer("RESET_WAIT", var("RESET_OUT"), "the new drive did not answer a reset");
            self.say(assign("RESET_OUT", Cond::from(var("RESET")).and(Cond::from(out("RESET_WAIT", "Q")).not()).expression()));
            Cond::from(var("RESET_OUT"))
        } else {
            Cond::Always(false)
        };
        let backwards: Cond =
            if self.has_local("TARGET") { var("TARGET").below(dint(0)).into() } else { var("TARGET_REAL").below(real(0.0)).into() };
        let has = |meaning| new.bit(Direction::ToDrive, meaning).is_some();
        let two_run_bits = has(M::RunReverse);
        let ready_on = self.new_says(M::ReadyToSwitchOn).unwrap_or(Cond::Always(true));
        let switched = self.new_says(M::SwitchedOn).unwrap_or(Cond::Always(true));
        let states = new.sequence == Sequence::States;
        let (coast, quick, halt) = (self.ask(M::Coast), self.ask(M::QuickStop), self.ask(M::Halt));
        let (ramp_output, ramp_run, ramp_input) = (self.ask(M::RampOutput), self.ask(M::RampRun), self.ask(M::RampInput));
        self.put_bits("NEW", new, Direction::ToDrive, &|bit| match bit.meaning {
            M::Run => {
                let run = if new.sequence == Sequence::OnOff { started.clone().and(ready_on.clone()) } else { started.clone() };
                if two_run_bits { run.and(backwards.clone().not()) } else { run }
            }
            M::RunReverse => started.clone().and(backwards.clone()),
            M::Reverse => backwards.clone(),
            M::Start => started.clone(),
            M::Stop => stop_pulse.clone(),
            M::Coast => coast.clone(),
            M::QuickStop => quick.clone(),
            M::Halt => halt.clone(),
            M::SwitchOn => ready_on.clone(),
            M::EnableOperation if states => go.clone().and(switched.clone()),
            M::EnableOperation | M::NetworkControl | M::NetworkReference => Cond::Always(true),
            M::RampOutput => ramp_output.clone(),
            M::RampRun => ramp_run.clone(),
            M::RampInput => ramp_input.clone(),
            M::FaultReset => reset.clone(),
            _ => Cond::Always(false),
        });
        self.put_target(two_run_bits || has(M::Reverse));
        self.pass_data(Direction::ToDrive);
    }

    /// Whether a demand that the new layout has no bit for is met by a setpoint of nought.
    pub(super) fn held_at_nought(&self) -> Cond {
        let lacks = |meaning| self.pair.new.bit(Direction::ToDrive, meaning).is_none();
        let mut zero = Cond::Always(false);
        if lacks(M::Halt) {
            zero = zero.or(self.ask(M::Halt));
        }
        for meaning in [M::RampOutput, M::RampInput] {
            if lacks(meaning) {
                zero = zero.or(self.ask(meaning).not());
            }
        }
        zero
    }

    /// Words of the new side that carry the number of that meaning.
    pub(super) fn new_names(&self, meaning: WordMeaning) -> Vec<String> {
        self.pair.new.word(meaning).and_then(|(at, _)| super::names("NEW", self.pair.new, at)).unwrap_or_default()
    }
}
