//! A simulated drive behind a layout: command words in, state machine and ramp, status words out. Old and new are the same code with
//! another layout, so that one script of a master can be put to both.

mod states;

use plant::network::{Bit, BitMeaning as M, DataWord, Direction, Layout, LossAction, Sequence, Trigger, WordMeaning};

pub use self::states::State;
use super::scale::{Settings, counted, value};

/// Band of an at-speed or zero-speed bit whose pack does not say it. Common practice, no source.
pub const BAND_HZ: f64 = 0.5;

/// What a master demands, by meaning; a bit that the layout lacks stands at what lets the motor run.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Demand(u32);

impl Demand {
    /// Whether it demands so.
    #[must_use]
    pub const fn has(self, meaning: M) -> bool {
        self.0 >> meaning as u32 & 1 == 1
    }

    const fn with(self, meaning: M) -> Self {
        Self(self.0 | 1 << meaning as u32)
    }
}

/// Demands that stand where a layout has no bit for them.
const STANDING: &[M] = &[M::RampOutput, M::RampRun, M::RampInput, M::NetworkControl, M::NetworkReference];

/// How the simulated drive behaves beside its layout.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Behaviour {
    /// Scales.
    pub settings: Settings,
    /// Slope of its ramps in Hz/s.
    pub ramp: f64,
    /// What it does when its master falls silent.
    pub loss: LossAction,
    /// After how many seconds of silence; infinite for never.
    pub timeout: f64,
}

/// A simulated drive.
#[derive(Clone, Debug)]
pub struct Drive<'l> {
    layout: &'l Layout,
    behaviour: Behaviour,
    state: State,
    /// A start is held (edge and pulse sequences).
    held: bool,
    demand: Demand,
    before: Option<Demand>,
    target: f64,
    output: f64,
    fault: u32,
    current: f64,
    silent: f64,
    lost: bool,
}

impl<'l> Drive<'l> {
    /// A drive just after power-up.
    #[must_use]
    pub fn new(layout: &'l Layout, behaviour: Behaviour) -> Self {
        Self {
            layout,
            behaviour,
            state: states::at_power_up(layout.sequence),
            held: false,
            demand: Demand::default(),
            before: None,
            target: 0.0,
            output: 0.0,
            fault: 0,
            current: 0.0,
            silent: 0.0,
            lost: false,
        }
    }

    /// Its layout.
    #[must_use]
    pub const fn layout(&self) -> &'l Layout {
        self.layout
    }

    /// Its state.
    #[must_use]
    pub const fn state(&self) -> State {
        self.state
    }

    /// Output frequency in Hz, negative in reverse; 0 while the output is off.
    #[must_use]
    pub const fn output(&self) -> f64 {
        self.output
    }

    /// Whether the motor is driven.
    #[must_use]
    pub const fn is_driven(&self) -> bool {
        matches!(self.state, State::Running | State::Stopping | State::QuickStopping)
    }

    /// Lets it trip with a fault code of its own.
    pub fn trip(&mut self, code: u32) {
        self.state = State::Fault;
        self.fault = code;
        self.output = 0.0;
        self.held = false;
    }

    /// Sets the actual current in A that it tells.
    pub fn load(&mut self, amperes: f64) {
        self.current = amperes;
    }

    /// Takes the words of its master (one raw value for each word of the layout; words from the drive are passed over) and lives on for
    /// `seconds`.
    pub fn obey(&mut self, words: &[u32], seconds: f64) {
        self.silent = 0.0;
        self.lost = false;
        let demand = self.demand_of(words);
        // PROFIdrive: without control by the network the words are not taken, the last ones stand.
        if self.layout.sequence != Sequence::OnOff || demand.has(M::NetworkControl) {
            self.demand = demand;
            if demand.has(M::NetworkReference) {
                self.target = self.target_of(words);
            }
        }
        self.live(seconds);
    }

    /// Lives on for `seconds` without a word from its master.
    pub fn wait(&mut self, seconds: f64) {
        self.silent += seconds;
        if !self.lost && self.silent > self.behaviour.timeout {
            self.lose();
        }
        if self.lost && self.state == State::Stopping {
            self.ramp(0.0, seconds);
            if self.output == 0.0 {
                self.state = states::at_power_up(self.layout.sequence);
            }
        } else if !self.lost || !matches!(self.behaviour.loss, LossAction::RampStop | LossAction::CoastStop) {
            self.live(seconds);
        }
    }

    /// Takes its action on loss of its master now; what follows goes by [`Self::wait`].
    pub fn lose(&mut self) {
        self.lost = true;
        match self.behaviour.loss {
            LossAction::Trip if self.state != State::Fault => self.trip(NETWORK_LOSS),
            LossAction::RampStop => {
                self.held = false;
                self.demand = Demand::default();
                if self.is_driven() {
                    self.state = State::Stopping;
                }
            }
            LossAction::CoastStop => {
                self.held = false;
                self.demand = Demand::default();
                self.state = if self.state == State::Fault { State::Fault } else { states::at_power_up(self.layout.sequence) };
                self.output = 0.0;
            }
            LossAction::Trip | LossAction::HoldSpeed | LossAction::PresetSpeed => {}
        }
    }

    fn demand_of(&self, words: &[u32]) -> Demand {
        let mut demand = Demand::default();
        for (at, word) in self.layout.words(Direction::ToDrive) {
            let raw = words.get(at).copied().unwrap_or(0);
            for bit in word.bits.iter().filter(|b| b.is_said(raw)) {
                demand = demand.with(bit.meaning);
            }
        }
        for meaning in STANDING {
            if self.layout.bit(Direction::ToDrive, *meaning).is_none() {
                demand = demand.with(*meaning);
            }
        }
        demand
    }

    /// The setpoint as it came, without the sense that bits give it.
    fn target_of(&self, words: &[u32]) -> f64 {
        let Some((at, word)) = self.layout.word(WordMeaning::SpeedSetpoint) else { return 0.0 };
        // A float that is no number is taken for standstill.
        let hertz = value(word, words.get(at).copied().unwrap_or(0), &self.behaviour.settings).unwrap_or(0.0);
        let highest = self.behaviour.settings.highest.in_hz();
        hertz.clamp(-highest, highest)
    }

    /// What the ramp is led to while the motor is driven.
    fn goal(&self) -> f64 {
        if self.demand.has(M::Halt) || !self.demand.has(M::RampInput) {
            return 0.0;
        }
        let turned = self.demand.has(M::Reverse) || (self.demand.has(M::RunReverse) && !self.demand.has(M::Run));
        if turned { -self.target } else { self.target }
    }

    fn came(&self, meaning: M) -> bool {
        self.demand.has(meaning) && self.before.is_some_and(|b| !b.has(meaning))
    }

    fn reset_is_asked(&self) -> bool {
        match self.layout.bit(Direction::ToDrive, M::FaultReset) {
            Some((_, Bit { trigger: Trigger::Edge, .. })) => self.came(M::FaultReset),
            _ => self.demand.has(M::FaultReset),
        }
    }

    fn live(&mut self, seconds: f64) {
        if self.state == State::Fault {
            if self.reset_is_asked() {
                self.state = states::at_power_up(self.layout.sequence);
                self.fault = 0;
            }
        } else {
            self.step();
        }
        let goal = if self.state == State::Running { self.goal() } else { 0.0 };
        match self.state {
            State::Running if !self.demand.has(M::RampOutput) => self.output = 0.0,
            State::Running if !self.demand.has(M::RampRun) => {}
            State::Running | State::Stopping | State::QuickStopping => self.ramp(goal, seconds),
            _ => self.output = 0.0,
        }
        self.before = Some(self.demand);
    }

    fn ramp(&mut self, goal: f64, seconds: f64) {
        let most = self.behaviour.ramp * seconds;
        self.output += (goal - self.output).clamp(-most, most);
        if goal == 0.0 && self.output.abs() < 1e-9 {
            self.output = 0.0;
        }
    }

    /// Raw values of all words of the layout; those to the drive are 0.
    #[must_use]
    pub fn report(&self) -> Vec<u32> {
        self.layout.words.iter().map(|word| if word.direction == Direction::FromDrive { self.raw(word) } else { 0 }).collect()
    }

    fn raw(&self, word: &DataWord) -> u32 {
        let number = |quantity: f64| counted(word, quantity, &self.behaviour.settings).map_or(0, |c| c.raw);
        match word.meaning {
            WordMeaning::SpeedActual if word.counts().0 == 0 && !word.is_float() => number(self.output.abs()),
            WordMeaning::SpeedActual => number(self.output),
            WordMeaning::CurrentActual => number(self.current),
            WordMeaning::FaultCode => self.fault & word.mask(),
            WordMeaning::Status => word.bits.iter().map(|bit| bit.said(self.says(bit))).fold(0, |a, b| a | b),
            _ => 0,
        }
    }

    fn says(&self, bit: &Bit) -> bool {
        let band = bit.band.map_or(BAND_HZ, plant::quantity::Frequency::in_hz) + 1e-9;
        let goal = self.goal();
        let driven = self.is_driven();
        match bit.meaning {
            M::Run => driven && (self.output >= 0.0 || self.layout.bit(Direction::FromDrive, M::RunReverse).is_none()),
            M::RunReverse => driven && self.output < 0.0,
            M::Reverse => self.output < 0.0,
            M::Ready => self.state != State::Fault,
            M::ReadyToSwitchOn => !matches!(self.state, State::Disabled | State::Fault),
            M::SwitchedOn => driven || self.state == State::SwitchedOn,
            M::Disabled => self.state == State::Disabled,
            M::Faulted => self.state == State::Fault,
            M::AtSpeed => self.state == State::Running && (self.output - goal).abs() <= band,
            M::ZeroSpeed => self.output.abs() <= band,
            M::QuickStop => self.demand.has(M::QuickStop) || self.state == State::QuickStopping,
            M::Coast => self.demand.has(M::Coast),
            M::VoltageEnabled | M::NetworkControl | M::NetworkReference => true,
            _ => false,
        }
    }
}

/// Fault code that a simulated drive tells when its master fell silent; real units have their own.
pub const NETWORK_LOSS: u32 = 0x8130;
