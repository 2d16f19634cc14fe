//! Events, outputs and differences in plain words.

use plant::control::StartBy;

use super::compare::Aspect;
use super::event::{Event, Input, Inputs};
use super::machine::Drive;
use super::output::{Output, SpeedBy};
use super::scheme::Scheme;

/// How long the dips of each class are, in words: "a dip of 0.2 s at most".
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Dips(pub Vec<String>);

impl Default for Dips {
    fn default() -> Self {
        Self(vec!["for a moment".to_owned()])
    }
}

/// A sequence of events, each in words, from before power-up.
#[must_use]
pub fn sequence(scheme: &Scheme, events: &[Event], dips: &Dips) -> Vec<String> {
    let mut inputs = Inputs::at_rest();
    events
        .iter()
        .map(|event| {
            let text = tell(scheme, inputs, *event, dips);
            inputs = event.then(inputs);
            text
        })
        .collect()
}

/// One event in words.
#[must_use]
pub fn tell(scheme: &Scheme, before: Inputs, event: Event, dips: &Dips) -> String {
    let input = match event {
        Event::Turn(input) => input,
        Event::Dip(class) => {
            let how = dips.0.get(usize::from(class)).map_or("for a moment", String::as_str);
            return format!("supply dips {how} and returns");
        }
        Event::Time => return "time passes".to_owned(),
        Event::Raise => return "speed is raised".to_owned(),
    };
    let comes = !before.has(input);
    let (on, off) = words(scheme, input);
    if comes { on } else { off }.to_owned()
}

/// What it is called when an input comes, and when it goes.
fn words(scheme: &Scheme, input: Input) -> (&'static str, &'static str) {
    let contact = scheme.start == StartBy::TwoWire;
    match input {
        Input::Start if contact => ("start contact closes", "start contact opens"),
        Input::Start if scheme.start == StartBy::HoldToRun => ("forward button held", "forward button released"),
        Input::Start => ("start pressed and held", "start released"),
        Input::Reverse if contact => ("reverse contact closes", "reverse contact opens"),
        Input::Reverse if scheme.start == StartBy::HoldToRun => ("reverse button held", "reverse button released"),
        Input::Reverse => ("direction to reverse", "direction to forward"),
        Input::Stop => ("stop pressed and held", "stop released"),
        Input::Hand if scheme.start == StartBy::Network => ("control handed to the unit", "control handed to the network"),
        Input::Hand => ("selector to hand", "selector to off"),
        Input::Auto => ("selector to auto", "selector to off"),
        Input::AutoContact => ("automatic asks", "automatic asks no more"),
        Input::Jog => ("jog pressed and held", "jog released"),
        Input::Enable => ("enable closes", "enable opens"),
        Input::Permissive => ("permissives close", "a permissive opens"),
        Input::Emergency => ("emergency stop pressed", "emergency stop released"),
        Input::Reset => ("reset given and held", "reset taken away"),
        Input::RunBit => ("run bit comes", "run bit goes"),
        Input::StopBit => ("stop bit comes", "stop bit goes"),
        Input::Silent => ("controller falls silent", "controller is heard again"),
        Input::MasterStopped => ("controller's program stands", "controller's program runs again"),
        Input::ReferenceLost => ("reference is lost", "reference is back"),
        Input::Supply => ("power comes", "power fails"),
        Input::Pilot => ("pilot supply is back", "pilot supply fails"),
        Input::Cause => ("a fault comes", "the fault's cause goes"),
        Input::OutputOpen => ("output switch opens", "output switch closes"),
        Input::BrakeAnswers => ("brake answers again", "brake does not answer"),
    }
}

/// What a motor does, in words with the unit as their subject: "runs", "waits for a new start".
#[must_use]
pub fn motion(output: &Output) -> String {
    let by = match output.speed {
        SpeedBy::Reference => "",
        SpeedBy::Held => " at its last speed",
        SpeedBy::Preset => " at a speed of its own",
        SpeedBy::Jog => " at jogging speed",
        SpeedBy::Raised => " at the raised speed",
        SpeedBy::Lowest => " at the lowest speed",
    };
    let reverse = if output.reverse { " in reverse" } else { "" };
    let jolt = if output.jolt { ", jolting the load" } else { "" };
    let verb = match output.motion {
        Drive::Driven => "runs",
        Drive::Ramping => "leads the motor down its ramp",
        Drive::Braking => "brakes the motor",
        Drive::Coasting => "lets the motor coast",
        Drive::Still if output.waits => return "waits for a new start".to_owned(),
        Drive::Still if output.tripped => return "stands, with a fault stored".to_owned(),
        Drive::Still => "stands",
    };
    let fault = if output.tripped { ", with a fault stored" } else { "" };
    let waits = if output.waits { ", then waits for a new start" } else { "" };
    format!("{verb}{reverse}{by}{jolt}{fault}{waits}")
}

/// What is seen of one side where an aspect differs.
#[must_use]
pub fn side(aspect: Aspect, output: &Output) -> String {
    let contact = |name: &str, closed: bool| format!("has its {name} contact {}", if closed { "closed" } else { "open" });
    match aspect {
        Aspect::Motion(_) | Aspect::Direction(_) | Aspect::Speed(_) | Aspect::Jolt(_) => motion(output),
        Aspect::Brake(_) => if output.released { "holds the brake open" } else { "leaves the brake closed" }.to_owned(),
        Aspect::Run(_) => contact("run", output.run),
        Aspect::Fault(_) => contact("fault", output.fault),
        Aspect::Ready(_) => contact("ready", output.ready),
        Aspect::Waits(_) => if output.waits { "waits for a new start" } else { "does not wait for a new start" }.to_owned(),
        Aspect::Tripped(_) => if output.tripped { "has a fault stored" } else { "has no fault stored" }.to_owned(),
    }
}
