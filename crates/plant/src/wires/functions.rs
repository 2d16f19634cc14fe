//! What a conductor is for, as a neutral concept: each function with the kind of point that it needs, and the words in which people
//! write it on drawings and terminal strips (common practice, no source).

use super::PointKind;

/// A function of a conductor.
#[derive(Debug, PartialEq, Eq)]
pub struct Function {
    /// Its id, as packs name it.
    pub id: &'static str,
    /// The kind of point that it needs; `None` where it needs none of its own.
    pub kind: Option<PointKind>,
    /// Its concept in the vocabulary.
    pub concept: &'static str,
    /// Other words for it, in small letters.
    pub also: &'static [&'static str],
    /// What it is.
    pub doc: &'static str,
}

macro_rules! functions {
    ($($id:literal $kind:expr, $concept:literal [$($also:literal)*] $doc:literal;)+) => {
        /// Every function, inputs first.
        pub const FUNCTIONS: &[Function] = &[
            $(Function { id: $id, kind: $kind, concept: $concept, also: &[$($also),*], doc: $doc }),+
        ];
    };
}

const INPUT: Option<PointKind> = Some(PointKind::DigitalInput);
const RELAY: Option<PointKind> = Some(PointKind::RelayOutput);

functions! {
    "run-forward" INPUT, "start-wiring" ["run" "run fwd" "forward" "fwd" "run command"] "Runs forwards as long as it is on.";
    "run-reverse" INPUT, "start-wiring" ["run rev" "reverse run" "rev"] "Runs backwards as long as it is on.";
    "start" INPUT, "start-wiring" ["start button" "start pulse"] "Starts when it comes on; stays started when it goes.";
    "stop" INPUT, "start-wiring" ["stop button" "not stop"] "Stops when it goes off.";
    "direction" INPUT, "direction-sense" ["reverse" "fwd/rev" "direction select"] "Chooses the direction, starts nothing.";
    "enable" INPUT, "enable" ["run permit" "run enable" "drive enable" "pulse enable"] "Lets the unit run; coasts when it goes.";
    "permissive" INPUT, "enable" ["interlock" "permit" "external interlock"] "Something outside has to be so, in the modes that the list names.";
    "quick-stop" INPUT, "quick-stop-ramp" ["fast stop" "emergency ramp"] "Stops on the short ramp when it goes off.";
    "external-fault" INPUT, "external-fault" ["external trip" "ext fault" "aux fault"] "Trips the unit from outside.";
    "fault-reset" INPUT, "fault-reset-source" ["reset" "clear fault"] "Acknowledges a fault when it comes on.";
    "jog-forward" INPUT, "jog-speed" ["jog" "inch" "inching"] "Runs at the jog speed as long as it is on.";
    "jog-reverse" INPUT, "jog-speed" ["jog rev"] "The same, backwards.";
    "preset-1" INPUT, "preset-speeds" ["preset" "fixed speed 1" "speed select 1"] "First bit of the choice among fixed speeds.";
    "preset-2" INPUT, "preset-speeds" ["fixed speed 2" "speed select 2"] "Second bit of that choice.";
    "preset-3" INPUT, "preset-speeds" ["fixed speed 3" "speed select 3"] "Third bit of that choice.";
    "raise" INPUT, "motor-potentiometer" ["speed up" "faster"] "Raises the reference as long as it is on.";
    "lower" INPUT, "motor-potentiometer" ["speed down" "slower"] "Lowers the reference as long as it is on.";
    "hand-auto" INPUT, "local-remote" ["local/remote" "hand/auto" "h/a" "auto"] "Chooses between hand and automatic.";
    "reference-select" INPUT, "reference-source" ["ref select"] "Chooses between two references.";
    "second-ramp" INPUT, "second-ramps" ["ramp select"] "Chooses the second pair of ramps.";
    "brake-opened" INPUT, "brake-release-torque" ["brake feedback"] "The brake's own contact says that it is open.";
    "running" RELAY, "run-output" ["run relay" "run contact" "run output"] "Tells that the motor is being driven.";
    "ready" RELAY, "ready-output" ["ready relay" "drive ready"] "Tells that it would start.";
    "healthy" RELAY, "fault-relay-sense" ["fault" "fault relay" "trip relay" "alarm relay" "no fault"] "Tells that there is no fault: what it tells is health, whatever the relay is called.";
    "at-speed" RELAY, "at-speed-band" ["at reference" "speed reached"] "Tells that the speed is reached.";
    "zero-speed" RELAY, "zero-speed-threshold" ["standstill"] "Tells that the motor stands.";
    "brake-release" RELAY, "brake-release-delay" ["brake" "brake relay" "brake contactor"] "Opens the machine's brake.";
    "warning" RELAY, "output-function" ["alarm"] "Tells that something is near its limit.";
    "inner-interlock" RELAY, "enable" ["aux relay" "internal relay" "auxiliary contact"] "A contact inside the old drive in somebody else's circuit.";
    "speed-reference" Some(PointKind::AnalogueInput), "reference-source" ["reference" "speed ref" "setpoint" "ref"] "How fast.";
    "second-reference" Some(PointKind::AnalogueInput), "reference-source" ["ref 2" "trim"] "Another reference beside the first.";
    "process-feedback" Some(PointKind::AnalogueInput), "pid-scale" ["feedback" "pid feedback"] "What the regulator inside compares with its setpoint.";
    "speed-output" Some(PointKind::AnalogueOutput), "analogue-output-signal" ["speed meter" "frequency output" "speed signal"] "Shows the speed.";
    "current-output" Some(PointKind::AnalogueOutput), "analogue-output-signal" ["ammeter" "current meter" "load meter"] "Shows the current.";
    "torque-output" Some(PointKind::AnalogueOutput), "analogue-output-signal" ["torque signal"] "Shows the torque.";
    "encoder" Some(PointKind::EncoderInput), "encoder-kind" ["pulse generator" "tacho pulses"] "Speed from the shaft.";
    "motor-sensor" Some(PointKind::ThermistorInput), "motor-thermistor" ["ptc" "thermistor" "thermostat" "motor temperature"] "Temperature of the winding.";
    "safe-torque-off-1" Some(PointKind::SafeInput), "safe-torque-off" ["sto 1" "sto a" "safe torque off"] "First channel of safe torque off.";
    "safe-torque-off-2" Some(PointKind::SafeInput), "safe-torque-off" ["sto 2" "sto b"] "Second channel of safe torque off.";
    "supply-out" Some(PointKind::SupplyOutput), "auxiliary-supply" ["aux supply out" "control transformer" "24 v out" "120 v out"] "Something outside lives on the old drive's supply.";
    "control-supply" Some(PointKind::SupplyInput), "auxiliary-supply" ["external supply" "24 v in" "backup supply"] "Keeps the control side alive without the line.";
    "common" None, "input-polarity" ["0 v" "com" "input common" "zero volts"] "What the inputs of a group have in common.";
    "spare" None, "input-function" ["not used" "unused" "free"] "Ends at the old drive, does nothing.";
    "earth" None, "supply-grounding" ["shield" "screen" "pe" "ground"] "Screen or earth; goes to the unit's screen clamp or earth bar.";
}

/// The function of that id.
#[must_use]
pub fn function(id: &str) -> Option<&'static Function> {
    FUNCTIONS.iter().find(|f| f.id == id)
}

/// The function that people call this, whatever its letters' case.
#[must_use]
pub fn function_called(text: &str) -> Option<&'static Function> {
    let plain = text.trim().to_lowercase();
    let dashed = plain.replace([' ', '_'], "-");
    FUNCTIONS.iter().find(|f| f.id == dashed || f.also.contains(&plain.as_str()))
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;
    use crate::vocabulary;

    #[test]
    fn every_function_is_named_once_and_has_its_concept() {
        let mut seen = BTreeSet::new();
        for function in FUNCTIONS {
            assert!(vocabulary::find(function.concept).is_some(), "{}: no concept {}", function.id, function.concept);
            assert!(function.doc.ends_with('.'), "{}", function.id);
            for name in std::iter::once(&function.id).chain(function.also) {
                assert!(seen.insert(*name), "{name} means two functions");
                assert_eq!(*name, name.to_lowercase(), "{name}");
                assert_eq!(function_called(&name.to_uppercase()).map(|f| f.id), Some(function.id));
            }
        }
    }
}
