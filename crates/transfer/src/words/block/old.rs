//! What the old program demands, by the old drive's command sequence.

use dossier::program::build::{arm, assign, branch, case, first_of, int, var, when};
use dossier::program::{Literal, Statement, Type};
use plant::network::{BitMeaning as M, Direction, Sequence, Trigger, WordMeaning};

use super::super::logic::Cond;
use super::super::pair::names;
use super::{Writer, said};

/// States of the old drive that the block keeps for the profiles.
pub(super) const DISABLED: i16 = 0;
const READY: i16 = 1;
pub(super) const SWITCHED_ON: i16 = 2;
pub(super) const RUNNING: i16 = 3;
const STOPPING: i16 = 4;
pub(super) const QUICK: i16 = 5;
pub(super) const FAULT: i16 = 6;

/// Demands that the old layout may have, with the names of their variables.
const ASKED: &[(M, &str, &str)] = &[
    (M::Run, "ASK_RUN", "run"),
    (M::RunReverse, "ASK_RUN_REV", "run in reverse"),
    (M::Start, "ASK_START", "start"),
    (M::Stop, "ASK_STOP", "stop"),
    (M::Coast, "ASK_COAST", "switch the output off"),
    (M::QuickStop, "ASK_QUICK", "quick stop"),
    (M::Halt, "ASK_HALT", "halt"),
    (M::SwitchOn, "ASK_ON", "switch on"),
    (M::EnableOperation, "ASK_ENABLE", "enable operation"),
    (M::RampOutput, "ASK_RAMP_OUT", "let the ramp's output through"),
    (M::RampRun, "ASK_RAMP_RUN", "let the ramp run"),
    (M::RampInput, "ASK_RAMP_IN", "let the setpoint in"),
    (M::FaultReset, "ASK_RESET", "reset"),
    (M::Reverse, "ASK_REVERSE", "turn the setpoint's sense"),
    (M::NetworkControl, "ASK_CONTROL", "control by the network"),
    (M::NetworkReference, "ASK_REFERENCE", "setpoint from the network"),
];

impl Writer<'_, '_> {
    /// What the old program demands; what the old layout has no bit for stands at what lets the motor run.
    pub(super) fn ask(&self, meaning: M) -> Cond {
        let name = ASKED.iter().find(|(m, ..)| *m == meaning).map(|(_, name, _)| *name);
        match name {
            Some(name) if self.has_local(name) => var(name).into(),
            _ => Cond::Always(matches!(meaning, M::RampOutput | M::RampRun | M::RampInput | M::NetworkControl | M::NetworkReference)),
        }
    }

    /// Name of the old setpoint's variables; where words are only taken under control by the network, those of their copies.
    pub(super) fn old_source(&self, meaning: WordMeaning) -> Vec<String> {
        let own = self.pair.old.word(meaning).and_then(|(at, _)| names("OLD", self.pair.old, at)).unwrap_or_default();
        own.into_iter().map(|n| if self.has_local(&taken(&n)) { taken(&n) } else { n }).collect()
    }

    pub(super) fn demands(&mut self) {
        let old = self.pair.old;
        self.head("What the old program demands");
        if old.sequence == Sequence::OnOff
            && let Some((at, bit)) = old.bit(Direction::ToDrive, M::NetworkControl)
            && let Some(control) = said("OLD", old, at, bit)
        {
            self.take_words(&[WordMeaning::Command, WordMeaning::SpeedSetpoint], control);
        }
        for (meaning, name, about) in ASKED {
            let Some((at, bit)) = old.bit(Direction::ToDrive, *meaning) else { continue };
            let Some(cond) = said("OLD", old, at, bit) else { continue };
            let cond = self.through_copy(cond);
            self.keep(name, cond, &format!("the old program asks: {about}"));
        }
        if old.sequence != Sequence::OnOff && old.bit(Direction::ToDrive, M::NetworkReference).is_some() {
            let control = self.ask(M::NetworkReference);
            self.take_words(&[WordMeaning::SpeedSetpoint], control);
        }
        self.reset_asked();
        match old.sequence {
            Sequence::Level | Sequence::Edge | Sequence::Pulses => self.plain(),
            Sequence::States | Sequence::OnOff => self.states(),
        }
    }

    /// Copies words only while a condition holds.
    fn take_words(&mut self, meanings: &[WordMeaning], control: Cond) {
        let mut copies = Vec::new();
        for meaning in meanings {
            let Some((at, word)) = self.pair.old.word(*meaning) else { continue };
            // Before the first word is taken nothing is demanded.
            let rest = word.bits.iter().map(|b| b.said(false)).fold(0, |a, b| a | b);
            for name in names("OLD", self.pair.old, at).unwrap_or_default() {
                let rest = Literal::Word(u16::try_from(rest & 0xFFFF).unwrap_or(0));
                self.local_from(&taken(&name), rest, "last word that was taken");
                copies.push(assign(&taken(&name), var(&name)));
            }
        }
        self.say(when(control.expression(), copies));
    }

    /// Reads the copy of the command word where there is one.
    fn through_copy(&self, cond: Cond) -> Cond {
        match cond {
            Cond::When(mut expression) => {
                expression.each_variable(&mut |name| {
                    if self.has_local(&taken(name)) {
                        *name = taken(name);
                    }
                });
                Cond::When(expression)
            }
            always @ Cond::Always(_) => always,
        }
    }

    /// Whether the old drive would clear its fault: by level as long as it is asked, by edge once.
    fn reset_asked(&mut self) {
        let ask = self.ask(M::FaultReset);
        let faulted = self.faulted();
        let by_edge = self.pair.old.bit(Direction::ToDrive, M::FaultReset).is_some_and(|(_, b)| b.trigger == Trigger::Edge);
        if ask == Cond::Always(false) || faulted == Cond::Always(false) {
            return;
        }
        self.local("RESET", Type::Bool, "the old drive would clear its fault");
        if by_edge {
            self.local_from("RESET_BEFORE", Literal::Bool(true), "reset bit of the scan before");
            let came = ask.clone().and(Cond::from(var("RESET_BEFORE")).not());
            let still = ask.clone().and(faulted).and(Cond::from(var("RESET")).or(came));
            self.say(assign("RESET", still.expression()));
            self.say(assign("RESET_BEFORE", ask.expression()));
        } else {
            self.say(assign("RESET", ask.and(faulted).expression()));
        }
    }

    fn barred(&self) -> Cond {
        self.ask(M::Stop)
            .or(self.ask(M::Coast))
            .or(self.ask(M::QuickStop))
            .or(self.ask(M::NetworkControl).not())
            .or(Cond::from(!var("LINK_OK")))
    }

    /// Level, edge and pulses: HELD is TRUE while the old drive would run.
    fn plain(&mut self) {
        let sequence = self.pair.old.sequence;
        self.local("HELD", Type::Bool, "the old drive would run");
        let run = self.ask(M::Run).or(self.ask(M::RunReverse));
        let free = self.barred().not();
        let whole = free.and(self.faulted().not());
        let held = || Cond::from(var("HELD"));
        match sequence {
            Sequence::Level => {
                let free = self.barred().not();
                self.say(assign("HELD", run.and(free).expression()));
            }
            Sequence::Edge => {
                self.local_from("RUN_BEFORE", Literal::Bool(true), "run bit of the scan before");
                let came = Cond::from(var("RUN_BEFORE")).not();
                self.say(assign("HELD", run.clone().and(held().or(came)).and(whole).expression()));
                self.say(assign("RUN_BEFORE", run.expression()));
            }
            _ => {
                let start = self.ask(M::Start);
                self.local_from("START_BEFORE", Literal::Bool(true), "start bit of the scan before");
                let came = start.clone().and(Cond::from(var("START_BEFORE")).not());
                self.say(assign("HELD", held().or(came).and(whole).expression()));
                self.say(assign("START_BEFORE", start.expression()));
            }
        }
    }

    /// The profiles: OLD_STATE is the state that the old drive would be in.
    fn states(&mut self) {
        self.local("OLD_STATE", Type::Int, "0 disabled, 1 ready, 2 switched on, 3 running, 4 stopping, 5 quick stop, 6 fault");
        let go = |state: i16| -> Statement { assign("OLD_STATE", int(state)) };
        let is = |states: &[i16]| -> Cond {
            states.iter().map(|s| Cond::from(var("OLD_STATE").equals(int(*s)))).fold(Cond::Always(false), Cond::or)
        };
        let stands = self.driven().not();
        let on_off = self.pair.old.sequence == Sequence::OnOff;
        let on = if on_off { self.ask(M::Run) } else { self.ask(M::SwitchOn) };
        let enable = if self.pair.old.bit(Direction::ToDrive, M::EnableOperation).is_some() {
            self.ask(M::EnableOperation)
        } else {
            Cond::Always(true)
        };
        let mut first = Vec::new();
        let mut add = |cond: Cond, body: Vec<Statement>| {
            if cond != Cond::Always(false) {
                first.push(branch(cond.expression(), body));
            }
        };
        add(self.faulted(), vec![go(FAULT)]);
        add(is(&[FAULT]), vec![go(DISABLED)]);
        add(Cond::from(!var("LINK_OK")).or(self.ask(M::Coast)), vec![go(DISABLED)]);
        let quick = self.ask(M::QuickStop);
        add(quick.clone().and(is(&[RUNNING, STOPPING])), vec![go(QUICK)]);
        add(quick.and(is(&[QUICK]).not().or(stands.clone())), vec![go(DISABLED)]);
        let to = |cond: Cond, state: i16| when(cond.expression(), [go(state)]);
        let stopped =
            if on_off { vec![go(DISABLED)] } else { vec![first_of([branch(on.clone().expression(), [go(SWITCHED_ON)])], [go(READY)])] };
        let stopping = first_of(
            [branch(on.clone().and(enable.clone()).expression(), [go(RUNNING)]), branch(stands.clone().expression(), stopped)],
            [],
        );
        let mut running = vec![to(on.clone().and(enable.clone()).not(), STOPPING)];
        let mut stopping = vec![stopping];
        if on_off {
            // Without enable operation the output is off at once.
            let off = |on: Cond| vec![first_of([branch(on.expression(), [go(SWITCHED_ON)])], [go(DISABLED)])];
            let no_enable = enable.clone().not();
            if no_enable != Cond::Always(false) {
                running = vec![first_of(
                    [branch(no_enable.clone().expression(), off(on.clone())), branch(on.clone().not().expression(), [go(STOPPING)])],
                    [],
                )];
                stopping = vec![first_of([branch(no_enable.expression(), off(on.clone()))], stopping)];
            }
        }
        let arms = [
            arm(i64::from(DISABLED), "disabled", [to(on.clone().not(), READY)]),
            arm(i64::from(READY), "ready to switch on", [to(on.clone(), SWITCHED_ON)]),
            arm(
                i64::from(SWITCHED_ON),
                "switched on",
                [first_of([branch(on.clone().not().expression(), [go(READY)]), branch(enable.clone().expression(), [go(RUNNING)])], [])],
            ),
            arm(i64::from(RUNNING), "running", running),
            arm(i64::from(STOPPING), "stopping", stopping),
            arm(i64::from(QUICK), "quick stop", [to(stands, DISABLED)]),
        ];
        self.say(first_of(first, [case(var("OLD_STATE"), arms, [])]));
    }

    /// Whether the old drive would run.
    pub(super) fn wanted(&self) -> Cond {
        match self.pair.old.sequence {
            Sequence::Level | Sequence::Edge | Sequence::Pulses => var("HELD").into(),
            Sequence::States | Sequence::OnOff => var("OLD_STATE").equals(int(RUNNING)).into(),
        }
    }
}

fn taken(name: &str) -> String {
    name.replacen("OLD_", "TAKEN_", 1)
}
