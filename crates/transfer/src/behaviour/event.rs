//! What can happen to both units at once, and the inputs that it changes.

use plant::choice::OutputSwitch;
use plant::control::{Emergency, PermissiveActs, ReferenceFrom, ResetBy, StartBy};

use super::scheme::Scheme;

/// A signal that both units and the wiring around them share.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Input {
    /// Start contact or button is closed; forward where there are two.
    Start,
    /// Second direction is asked for.
    Reverse,
    /// Stop button is pressed.
    Stop,
    /// Selector stands at hand, or control at the unit.
    Hand,
    /// Selector stands at auto.
    Auto,
    /// Contact of the automatic is closed.
    AutoContact,
    /// Jog button is pressed.
    Jog,
    /// Enable contact is closed.
    Enable,
    /// Permissives are closed.
    Permissive,
    /// Emergency stop is pressed.
    Emergency,
    /// Reset is given.
    Reset,
    /// Run bit of the network stands.
    RunBit,
    /// Stop bit of the network stands.
    StopBit,
    /// The controller is silent.
    Silent,
    /// The controller says that its program stands.
    MasterStopped,
    /// The speed reference is missing.
    ReferenceLost,
    /// The supply is there.
    Supply,
    /// The pilot circuit has its own supply.
    Pilot,
    /// The cause of a fault stands.
    Cause,
    /// The switch in the output is open.
    OutputOpen,
    /// The holding brake answers.
    BrakeAnswers,
}

impl Input {
    /// Every input.
    pub const ALL: [Self; 21] = [
        Self::Start,
        Self::Reverse,
        Self::Stop,
        Self::Hand,
        Self::Auto,
        Self::AutoContact,
        Self::Jog,
        Self::Enable,
        Self::Permissive,
        Self::Emergency,
        Self::Reset,
        Self::RunBit,
        Self::StopBit,
        Self::Silent,
        Self::MasterStopped,
        Self::ReferenceLost,
        Self::Supply,
        Self::Pilot,
        Self::Cause,
        Self::OutputOpen,
        Self::BrakeAnswers,
    ];

    /// A short name for tables, models and scripts.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::Start => "start",
            Self::Reverse => "reverse",
            Self::Stop => "stop",
            Self::Hand => "hand",
            Self::Auto => "auto",
            Self::AutoContact => "auto_contact",
            Self::Jog => "jog",
            Self::Enable => "enable",
            Self::Permissive => "permissive",
            Self::Emergency => "emergency",
            Self::Reset => "reset",
            Self::RunBit => "run_bit",
            Self::StopBit => "stop_bit",
            Self::Silent => "silent",
            Self::MasterStopped => "master_stopped",
            Self::ReferenceLost => "reference_lost",
            Self::Supply => "supply",
            Self::Pilot => "pilot",
            Self::Cause => "cause",
            Self::OutputOpen => "output_open",
            Self::BrakeAnswers => "brake_answers",
        }
    }
}

/// The state of all inputs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Inputs(pub u32);

impl Inputs {
    /// Before power-up: everything that has to be closed is closed, nobody demands anything.
    #[must_use]
    pub const fn at_rest() -> Self {
        Self(1 << Input::Enable as u32 | 1 << Input::Permissive as u32 | 1 << Input::Pilot as u32 | 1 << Input::BrakeAnswers as u32)
    }

    /// Whether an input stands.
    #[must_use]
    pub const fn has(self, input: Input) -> bool {
        self.0 >> input as u32 & 1 == 1
    }

    /// The same with one input turned over.
    #[must_use]
    pub const fn toggled(self, input: Input) -> Self {
        Self(self.0 ^ 1 << input as u32)
    }

    /// The same with one input set.
    #[must_use]
    pub const fn with(self, input: Input, stands: bool) -> Self {
        Self(self.0 & !(1 << input as u32) | (stands as u32) << input as u32)
    }
}

/// Something that happens.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Event {
    /// An input turns over.
    Turn(Input),
    /// The supply dips and is back, within the n-th class of dips of the comparison.
    Dip(u8),
    /// So much time passes that every ramp ends and every wait is over.
    Time,
    /// The speed is raised.
    Raise,
}

/// Every class of dips that can be told apart: both outlive it, one does.
pub const DIPS: u8 = 2;

impl Scheme {
    /// The inputs that exist around it.
    #[must_use]
    pub fn inputs(&self) -> Vec<Input> {
        use Input as I;
        let reset = self.reset != ResetBy::Power;
        let network = self.start == StartBy::Network;
        let there: &[(bool, &[Input])] = &[
            (true, &[I::Supply]),
            (matches!(self.start, StartBy::TwoWire | StartBy::ThreeWire | StartBy::HoldToRun | StartBy::Network), &[I::Start]),
            (self.reversing, &[I::Reverse]),
            (matches!(self.start, StartBy::ThreeWire | StartBy::Network | StartBy::HandAuto), &[I::Stop]),
            (self.start == StartBy::HandAuto, &[I::Hand, I::Auto, I::AutoContact]),
            (network, &[I::Hand, I::RunBit, I::StopBit, I::Silent, I::MasterStopped]),
            (self.jog, &[I::Jog]),
            (self.enable, &[I::Enable]),
            (self.permissive != PermissiveActs::None, &[I::Permissive]),
            (self.emergency != Emergency::None, &[I::Emergency]),
            (true, &[I::Cause]),
            (reset, &[I::Reset]),
            (self.reference == ReferenceFrom::Signal, &[I::ReferenceLost]),
            (!network, &[I::Pilot]),
            (self.isolator != OutputSwitch::None, &[I::OutputOpen]),
            (self.brake, &[I::BrakeAnswers]),
        ];
        there.iter().filter(|(there, _)| *there).flat_map(|(_, inputs)| inputs.iter().copied()).collect()
    }

    /// The events that can happen around it: with a list of the classes of dips that differ.
    #[must_use]
    pub fn events(&self, dips: u8) -> Vec<Event> {
        let mut events: Vec<Event> = self.inputs().into_iter().map(Event::Turn).collect();
        events.extend((0..dips.min(DIPS)).map(Event::Dip));
        if self.reference == ReferenceFrom::RaiseLower {
            events.push(Event::Raise);
        }
        events.push(Event::Time);
        events
    }
}

impl Scheme {
    /// Whether an event can happen while the inputs stand so.
    #[must_use]
    pub fn can_happen(&self, event: Event, inputs: Inputs) -> bool {
        use Input as I;
        let heard = !inputs.has(I::Silent) && !inputs.has(I::MasterStopped);
        match event {
            // A selector goes from hand to auto by way of off.
            Event::Turn(I::Hand) => !inputs.has(I::Auto),
            Event::Turn(I::Auto) => !inputs.has(I::Hand),
            // What a silent or standing controller would say does not arrive.
            Event::Turn(I::RunBit | I::StopBit) => heard,
            Event::Turn(I::Reset) if self.reset == ResetBy::Network => heard,
            Event::Turn(I::Reverse) if self.start == StartBy::Network => heard,
            Event::Turn(I::MasterStopped) => !inputs.has(I::Silent),
            Event::Turn(I::Silent) => !inputs.has(I::MasterStopped),
            Event::Dip(_) => inputs.has(I::Supply),
            Event::Turn(_) | Event::Time | Event::Raise => true,
        }
    }
}

impl Event {
    /// The inputs afterwards.
    #[must_use]
    pub const fn then(self, inputs: Inputs) -> Inputs {
        match self {
            Self::Turn(input) => inputs.toggled(input),
            Self::Dip(_) | Self::Time | Self::Raise => inputs,
        }
    }

    /// A short name for tables, models and scripts.
    #[must_use]
    pub fn code(self) -> String {
        match self {
            Self::Turn(input) => input.code().to_owned(),
            Self::Dip(class) => format!("dip_{class}"),
            Self::Time => "time".to_owned(),
            Self::Raise => "raise".to_owned(),
        }
    }

    /// The event of that short name.
    #[must_use]
    pub fn from_code(code: &str) -> Option<Self> {
        let dips = (0..DIPS).map(Self::Dip);
        Input::ALL.into_iter().map(Self::Turn).chain(dips).chain([Self::Time, Self::Raise]).find(|e| e.code() == code)
    }
}
