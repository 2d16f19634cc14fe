//! What the old program is shown: the old drive's status from the new drive's.

use dossier::program::build::{assign, int, var, when, word};
use plant::network::{Bit, BitMeaning as M, Direction, Sequence};
use plant::quantity::Frequency;

use super::super::drive::BAND_HZ;
use super::super::logic::Cond;
use super::super::pair::names;
use super::Writer;
use super::old::{DISABLED, FAULT, QUICK, RUNNING, SWITCHED_ON};

impl Writer<'_, '_> {
    pub(super) fn show(&mut self) {
        self.head("What the old program is shown");
        self.actual_values();
        self.fault_code();
        let old = self.pair.old;
        let mut says: Vec<(Bit, Cond)> = Vec::new();
        for (_, word) in old.words(Direction::FromDrive) {
            says.extend(word.bits.iter().map(|bit| (*bit, self.shown(bit))));
        }
        self.put_bits("OLD", old, Direction::FromDrive, &|bit| {
            says.iter().find(|(b, _)| b == bit).map_or(Cond::Always(false), |(_, cond)| cond.clone())
        });
        self.pass_data(Direction::FromDrive);
        // Without the new drive's answer nothing that is shown is true.
        let blank: Vec<_> = old
            .words(Direction::FromDrive)
            .filter_map(|(at, _)| names("OLD", old, at))
            .flatten()
            .map(|name| assign(&name, word(0)))
            .collect();
        if !blank.is_empty() {
            self.say(when(!var("LINK_OK"), blank));
        }
    }

    /// What the old drive would say by a bit.
    fn shown(&self, bit: &Bit) -> Cond {
        let states = matches!(self.pair.old.sequence, Sequence::States | Sequence::OnOff);
        let is = |list: &[i16]| list.iter().map(|s| Cond::from(var("OLD_STATE").equals(int(*s)))).fold(Cond::Always(false), Cond::or);
        let runs =
            || is(&[RUNNING]).or(Cond::from(var("OLD_STATE").above(int(RUNNING))).and(Cond::from(var("OLD_STATE").below(int(FAULT)))));
        let driven = if states { self.driven().and(runs()) } else { self.driven() };
        let backwards = || {
            let bit = self.new_says(M::RunReverse).or_else(|| self.new_says(M::Reverse));
            let speed = self.has_local("NOW_SPEED").then(|| self.below_nought());
            bit.or(speed).unwrap_or(Cond::Always(false))
        };
        let band = bit.band.map_or(BAND_HZ, Frequency::in_hz);
        match bit.meaning {
            M::Run if self.pair.old.bit(Direction::FromDrive, M::RunReverse).is_some() => driven.and(backwards().not()),
            M::Run => driven,
            M::RunReverse => driven.and(backwards()),
            M::Reverse => backwards(),
            M::Faulted => self.faulted(),
            M::Ready => self.faulted().not().and(self.new_says(M::Ready).unwrap_or(Cond::Always(true))),
            M::ReadyToSwitchOn if states => is(&[DISABLED, FAULT]).not(),
            M::ReadyToSwitchOn => self.faulted().not(),
            M::SwitchedOn if states => Cond::from(var("OLD_STATE").at_least(int(SWITCHED_ON))).and(is(&[FAULT]).not()),
            M::SwitchedOn => driven,
            M::Disabled if states => is(&[DISABLED]),
            M::QuickStop if states => self.ask(M::QuickStop).or(is(&[QUICK])),
            M::QuickStop => self.ask(M::QuickStop),
            M::Coast => self.ask(M::Coast),
            M::AtSpeed => {
                // Halted, or with the setpoint kept out, the old drive is at its setpoint when it stands.
                let halted = self.ask(M::Halt).or(self.ask(M::RampInput).not());
                let near = self.within(Some("TARGET"), band).zip(self.within(None, band)).map(|(near, stands)| {
                    let at = halted.clone().and(stands).or(halted.clone().not().and(near));
                    at.and(self.wanted()).and(self.driven())
                });
                near.or_else(|| self.new_says(M::AtSpeed).map(|at| at.and(self.ask(M::RampOutput).or(halted))))
                    .unwrap_or(Cond::Always(false))
            }
            M::ZeroSpeed => self.within(None, band).or_else(|| self.new_says(M::ZeroSpeed)).unwrap_or_else(|| self.driven().not()),
            M::VoltageEnabled | M::NetworkControl | M::NetworkReference => self.new_says(bit.meaning).unwrap_or(Cond::Always(true)),
            other => self.new_says(other).unwrap_or(Cond::Always(false)),
        }
    }

    fn below_nought(&self) -> Cond {
        let float = self.pair.new.word(plant::network::WordMeaning::SpeedActual).is_some_and(|(_, w)| w.is_float());
        let zero = if float { dossier::program::build::real(0.0) } else { dossier::program::build::dint(0) };
        var("NOW_SPEED").below(zero).into()
    }
}
