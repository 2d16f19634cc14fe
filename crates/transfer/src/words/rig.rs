//! Old drive and new drive side by side under one master: the old one obeys the master's words, the new one those of the block. Between
//! drives and block the words travel as on the wire, each side in its own order of words and bytes.

use std::sync::Arc;

use dossier::program::{Literal, Project};
use plant::network::{Direction, Layout, LossAction, WordMeaning};

use super::block::{BLOCK, NoBlock, block};
use super::bytes::{handed, taken};
use super::drive::{Behaviour, Drive, State};
use super::pair::{Pair, names};
use super::scale::Settings;
use crate::program::{Machine, Slot};

/// Length of a scan of the rig, in seconds: long beside any cycle, so that the block's retries come within a few scans.
pub const SCAN_S: f64 = 0.1;
/// The same in ms.
pub const SCAN_MS: u32 = 100;

/// Slope of simulated ramps, in Hz/s: they end within a scan, so that what is compared has settled.
const RAMP: f64 = 1e6;

/// The rig. A clone goes on from where it is.
#[derive(Clone, Debug)]
pub struct Rig<'p> {
    pair: &'p Pair<'p>,
    /// The old drive.
    pub old: Drive<'p>,
    /// The new drive.
    pub new: Drive<'p>,
    machine: Machine,
    slots: Arc<Slots>,
    /// What the block shows the old program.
    shown: Vec<u32>,
    /// What the block tells the new drive.
    told: Vec<u32>,
}

#[derive(Debug)]
struct Slots {
    old_in: Vec<Vec<Slot>>,
    old_out: Vec<Vec<Slot>>,
    new_in: Vec<Vec<Slot>>,
    new_out: Vec<Vec<Slot>>,
    link: Option<Slot>,
}

/// Why the rig stopped: a fault of the block itself.
pub type Stopped = crate::program::Stopped;

impl<'p> Rig<'p> {
    /// Both drives after power-up, the block before its first scan.
    ///
    /// # Errors
    /// When there is no block for the pair.
    pub fn new(pair: &'p Pair<'p>) -> Result<Self, NoBlock> {
        Self::of(pair, &block(pair)?)
    }

    /// The same with a block that was built before.
    ///
    /// # Errors
    /// When the block is wrong.
    pub fn of(pair: &'p Pair<'p>, project: &Project) -> Result<Self, NoBlock> {
        let machine =
            Machine::new(project, BLOCK).map_err(|wrong| NoBlock { why: wrong.problems.iter().map(ToString::to_string).collect() })?;
        let find = |prefix: &str, layout: &Layout, direction: Direction| -> Vec<Vec<Slot>> {
            let own = |at: usize| names(prefix, layout, at).unwrap_or_default().iter().filter_map(|n| machine.slot(n)).collect();
            layout.words.iter().enumerate().map(|(at, w)| if w.direction == direction { own(at) } else { Vec::new() }).collect()
        };
        let slots = Slots {
            old_in: find("OLD", pair.old, Direction::ToDrive),
            old_out: find("OLD", pair.old, Direction::FromDrive),
            new_in: find("NEW", pair.new, Direction::FromDrive),
            new_out: find("NEW", pair.new, Direction::ToDrive),
            link: machine.input("LINK_OK"),
        };
        let behaviour = |settings: Settings| Behaviour { settings, ramp: RAMP, loss: LossAction::Trip, timeout: f64::INFINITY };
        Ok(Self {
            old: Drive::new(pair.old, behaviour(pair.old_settings)),
            new: Drive::new(pair.new, behaviour(pair.new_settings)),
            shown: vec![0; pair.old.words.len()],
            told: vec![0; pair.new.words.len()],
            machine,
            slots: Arc::new(slots),
            pair,
        })
    }

    /// Back to power-up.
    pub fn reset(&mut self) {
        let behaviour = |settings: Settings| Behaviour { settings, ramp: RAMP, loss: LossAction::Trip, timeout: f64::INFINITY };
        self.old = Drive::new(self.pair.old, behaviour(self.pair.old_settings));
        self.new = Drive::new(self.pair.new, behaviour(self.pair.new_settings));
        self.machine.reset();
    }

    /// One scan: both drives under the master's words.
    ///
    /// # Errors
    /// When the block stops with a fault.
    pub fn scan(&mut self, master: &[u32]) -> Result<(), Stopped> {
        self.old.obey(master, SCAN_S);
        let report = self.new.report();
        self.translate(master, &report)?;
        let told = std::mem::take(&mut self.told);
        self.new.obey(&told, SCAN_S);
        self.told = told;
        Ok(())
    }

    /// Runs the block alone on what the master wrote and what the new drive sent.
    ///
    /// # Errors
    /// When the block stops with a fault.
    pub fn translate(&mut self, master: &[u32], report: &[u32]) -> Result<(), Stopped> {
        if let Some(link) = self.slots.link {
            self.machine.set(link, Literal::Bool(true));
        }
        for (slots, layout, values) in [(&self.slots.old_in, self.pair.old, master), (&self.slots.new_in, self.pair.new, report)] {
            for ((slots, word), raw) in slots.iter().zip(&layout.words).zip(values) {
                // Padding has no slots.
                for (slot, part) in slots.iter().zip(handed(layout, word, *raw)) {
                    self.machine.set(*slot, Literal::Word(part));
                }
            }
        }
        self.machine.cycle(SCAN_MS)?;
        let read = |machine: &Machine, slots: &[Vec<Slot>], layout: &Layout| -> Vec<u32> {
            let word = |slot: &Slot| if let Literal::Word(w) = machine.get(*slot) { w } else { 0 };
            let numbers = |parts: &[Slot]| [parts.first().map_or(0, word), parts.get(1).map_or(0, word)];
            slots.iter().zip(&layout.words).map(|(parts, w)| taken(layout, w, numbers(parts))).collect()
        };
        self.shown = read(&self.machine, &self.slots.old_out, self.pair.old);
        self.told = read(&self.machine, &self.slots.new_out, self.pair.new);
        Ok(())
    }

    /// Lets both drives trip with the same kind of fault, each by its own code.
    pub fn trip(&mut self) {
        let shared = self.pair.faults().find_map(|(new, old)| old.map(|old| (old.code, new.code)));
        let (old, new) = shared.unwrap_or((1, 1));
        self.old.trip(old);
        self.new.trip(new);
    }

    /// What the old program is shown, word by word of the old layout.
    #[must_use]
    pub fn shown(&self) -> &[u32] {
        &self.shown
    }

    /// What the new drive is told, word by word of the new layout.
    #[must_use]
    pub fn told(&self) -> &[u32] {
        &self.told
    }

    /// How often a number of the block did not fit: never, if it is right.
    #[must_use]
    pub const fn wraps(&self) -> u64 {
        self.machine.wraps()
    }

    /// Both motors do the same, within `hertz`.
    #[must_use]
    pub fn motors_agree(&self, hertz: f64) -> bool {
        self.old.is_driven() == self.new.is_driven()
            && (self.old.state() == State::Fault) == (self.new.state() == State::Fault)
            && (self.old.output() - self.new.output()).abs() <= hertz
    }

    /// The raw value of the old drive's own word and of what the block shows for it.
    #[must_use]
    pub fn old_word(&self, meaning: WordMeaning) -> Option<(u32, u32)> {
        let (at, _) = self.pair.old.word(meaning)?;
        Some((self.old.report().get(at).copied()?, self.shown.get(at).copied()?))
    }
}
