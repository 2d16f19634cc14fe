//! Which concepts can be set, under which definitions or in which words. A concept that is missing here cannot be named by a pack's
//! settings; to add one, add it to the vocabulary first.

use super::{Definition, Form, Settable};
use crate::choice::Word;

const FREQ: Form =
    Form::Number(&[Definition::Plain, Definition::OfMaximum, Definition::OfBase, Definition::OfReference, Definition::ShaftSpeed]);
const RAMP: Form =
    Form::Number(&[Definition::Plain, Definition::ToMaximum, Definition::ToBase, Definition::ToReference, Definition::BetweenSetpoints]);
const ROUND: Form = Form::Number(&[Definition::InsideRamp, Definition::AddedToRamp, Definition::ShareInside, Definition::ShareAdded]);
const BAND: Form =
    Form::Number(&[Definition::FullWidth, Definition::HalfWidth, Definition::ShaftSpeed, Definition::OfMaximum, Definition::OfBase]);
const BANDF: Form = Form::Number(&[Definition::FullWidth, Definition::HalfWidth, Definition::OfMaximum, Definition::OfBase]);
const PLAIN: Form = Form::Number(&[Definition::Plain]);
const CUR: Form = Form::Number(&[Definition::Plain, Definition::OfMotorCurrent, Definition::OfUnitCurrent]);
const MCUR: Form = Form::Number(&[Definition::Plain, Definition::OfUnitCurrent]);
const POLES: Form = Form::Number(&[Definition::Poles, Definition::PolePairs]);
const BOOST: Form = Form::Number(&[Definition::Plain, Definition::OfBaseVoltage]);
const SLIP: Form = Form::Number(&[Definition::Plain, Definition::OfRatedSlip, Definition::OfBase, Definition::ShaftSpeed]);
const RES: Form = Form::Number(&[Definition::PerPhase, Definition::LineToLine]);
const CARRIER: Form = Form::Number(&[Definition::Switching, Definition::Ripple]);
const EMF: Form = Form::Number(&[Definition::LineRms, Definition::LinePeak, Definition::PhaseRms, Definition::PhasePeak]);
const TORQUE: Form = Form::Number(&[Definition::Plain, Definition::OfMotorTorque, Definition::OfUnitTorque]);
const DROOP: Form = Form::Number(&[Definition::Plain, Definition::OfBase, Definition::OfMaximum, Definition::ShaftSpeed]);
const GAIN: Form = Form::Number(&[Definition::Gain, Definition::ProportionalBand]);
const INTEGRAL: Form = Form::Number(&[Definition::IntegralTime, Definition::Repeats, Definition::IntegralGain]);
const INERTIA: Form = Form::Number(&[Definition::Plain, Definition::StartingTime]);
const BUS: Form = Form::Number(&[Definition::Plain, Definition::OfNominalBus]);
const LINES: Form = Form::Number(&[Definition::Lines, Definition::Edges]);
const GEAR: Form = Form::Number(&[Definition::MotorPerLoad, Definition::LoadPerMotor]);

const fn number(id: &'static str, form: Form) -> Settable {
    Settable { id, form }
}

const fn words(id: &'static str, list: &'static [Word]) -> Settable {
    Settable { id, form: Form::Words(list) }
}

const fn w(word: &'static str, doc: &'static str) -> Word {
    Word { word, doc }
}

/// On or off.
const SWITCH: &[Word] = &[w("off", "It is off."), w("on", "It is on.")];
/// What follows on a fault.
const RESPONSE: &[Word] = &[
    w("none", "Nothing happens."),
    w("warn", "It warns and goes on."),
    w("ramp-stop", "It stops by its ramp, then faults."),
    w("trip", "It trips and coasts."),
];

/// Every settable concept: numbers first, then words.
pub const SETTABLE: &[Settable] = &[
    number("minimum-speed", FREQ),
    number("maximum-speed", FREQ),
    number("acceleration-ramp", RAMP),
    number("deceleration-ramp", RAMP),
    number("second-ramps", RAMP),
    number("quick-stop-ramp", RAMP),
    number("jog-ramp", RAMP),
    number("motor-potentiometer", RAMP),
    number("s-curve", ROUND),
    number("jog-speed", FREQ),
    number("preset-speeds", FREQ),
    number("skip-frequency", FREQ),
    number("skip-band", BAND),
    number("zero-speed-threshold", FREQ),
    number("at-speed-band", BANDF),
    number("speed-detect", FREQ),
    number("motor-power", PLAIN),
    number("motor-voltage", PLAIN),
    number("motor-frequency", PLAIN),
    number("motor-speed", PLAIN),
    number("motor-current", MCUR),
    number("motor-power-factor", PLAIN),
    number("no-load-current", CUR),
    number("pole-count", POLES),
    number("voltage-boost", BOOST),
    number("slip-compensation", SLIP),
    number("stator-resistance", RES),
    number("flux-optimisation", PLAIN),
    number("field-weakening-start", PLAIN),
    number("carrier-frequency", CARRIER),
    number("maximum-output-frequency", PLAIN),
    number("back-emf", EMF),
    number("motor-inductances", RES),
    number("current-limit", CUR),
    number("torque-limit-motoring", TORQUE),
    number("torque-limit-regenerating", TORQUE),
    number("torque-reference", TORQUE),
    number("speed-limit-in-torque", FREQ),
    number("droop", DROOP),
    number("speed-regulator-gain", GAIN),
    number("speed-regulator-integral", INTEGRAL),
    number("inertia-compensation", INERTIA),
    number("underload-detection", TORQUE),
    number("underload-delay", PLAIN),
    number("stall-time", PLAIN),
    number("load-torque-proving", TORQUE),
    number("dc-brake-current", CUR),
    number("dc-brake-time", PLAIN),
    number("dc-brake-threshold", FREQ),
    number("brake-chopper-level", BUS),
    number("brake-resistance", PLAIN),
    number("brake-resistor-power", PLAIN),
    number("brake-resistor-time-constant", PLAIN),
    number("brake-release-delay", PLAIN),
    number("brake-release-torque", TORQUE),
    number("brake-close-frequency", FREQ),
    number("fault-auto-restart", PLAIN),
    number("fault-restart-delay", PLAIN),
    number("start-delay", PLAIN),
    number("pre-magnetising", PLAIN),
    number("motor-preheat", CUR),
    number("kinetic-buffering", BUS),
    number("undervoltage-level", BUS),
    number("undervoltage-delay", PLAIN),
    number("reference-frequency", PLAIN),
    number("analogue-scale-low", FREQ),
    number("analogue-scale-high", FREQ),
    number("analogue-filter", PLAIN),
    number("analogue-output-full-scale", FREQ),
    number("reference-loss", PLAIN),
    number("reference-dead-band", PLAIN),
    number("reference-trim", PLAIN),
    number("pulse-reference", PLAIN),
    number("ratio-reference", PLAIN),
    number("network-timeout", PLAIN),
    number("encoder-resolution", LINES),
    number("encoder-supply", PLAIN),
    number("gear-ratio", GEAR),
    number("feedback-filter", PLAIN),
    number("motor-overload", MCUR),
    number("overload-class", PLAIN),
    number("overload-low-speed", FREQ),
    number("overcurrent-trip", CUR),
    number("overvoltage-trip", BUS),
    number("earth-fault-trip", CUR),
    number("overspeed-trip", FREQ),
    number("pid-gain", GAIN),
    number("pid-integral", INTEGRAL),
    number("pid-derivative", PLAIN),
    number("pid-limits", FREQ),
    number("pid-setpoint", PLAIN),
    number("sleep-level", FREQ),
    number("sleep-delay", PLAIN),
    number("wake-level", PLAIN),
    number("safe-stop-1", PLAIN),
    number("safe-speed-limit", PLAIN),
    number("region-defaults", PLAIN),
    words("reverse-inhibit", &[w("forward-only", "The motor turns in its positive direction only."), w("both", "It turns both ways.")]),
    words("direction-sense", &[w("as-wired", "Phase order is as wired."), w("swapped", "Phase order is turned round inside the unit.")]),
    words(
        "motor-control-method",
        &[
            w("scalar", "Voltage follows frequency."),
            w("open-loop-vector", "A motor model without encoder."),
            w("closed-loop-vector", "A motor model with encoder."),
        ],
    ),
    words(
        "voltage-curve",
        &[
            w("linear", "Voltage rises straight with frequency."),
            w("quadratic", "Voltage rises with the square of frequency: little torque at start."),
            w("points", "Through points of its own."),
        ],
    ),
    words(
        "motor-identification",
        &[w("none", "No identification."), w("standstill", "At standstill."), w("rotating", "It turns the shaft.")],
    ),
    words("carrier-fold-back", SWITCH),
    words(
        "stop-mode",
        &[
            w("ramp", "By the ramp, then off."),
            w("coast", "Off at once."),
            w("dc-brake", "By direct current."),
            w("ramp-hold", "By the ramp, then held with current."),
            w("quick-stop", "By the quick-stop ramp."),
        ],
    ),
    words(
        "coast-command",
        &[
            w("not-used", "No input has it."),
            w("while-closed", "It coasts while the contact is closed."),
            w("while-open", "It coasts while the contact is open."),
        ],
    ),
    words("flux-braking", SWITCH),
    words("brake-chopper-enable", SWITCH),
    words(
        "bus-voltage-regulator",
        &[w("off", "It is off."), w("stretch-ramp", "It stretches the ramp."), w("raise-speed", "It raises the speed.")],
    ),
    words("standstill-hold", SWITCH),
    words("input-polarity", &[w("source", "The contact brings plus to the input."), w("sink", "The contact brings zero to the input.")]),
    words("input-sense", &[w("closed", "It acts when closed."), w("open", "It acts when open.")]),
    words(
        "input-function",
        &[
            w("none", "Nothing."),
            w("run", "Run, forward."),
            w("run-reverse", "Run in reverse."),
            w("start", "Start, momentary."),
            w("stop", "Stop, momentary, closed to run."),
            w("reverse", "Turns the direction round."),
            w("enable", "Lets the motor run."),
            w("coast", "Switches the output off."),
            w("quick-stop", "Stops by the quick-stop ramp."),
            w("jog", "Inches forward."),
            w("jog-reverse", "Inches in reverse."),
            w("preset-bit-1", "Selects a fixed speed, lowest bit."),
            w("preset-bit-2", "Selects a fixed speed, second bit."),
            w("preset-bit-3", "Selects a fixed speed, third bit."),
            w("raise", "Raises the reference."),
            w("lower", "Lowers the reference."),
            w("fault-reset", "Clears a fault."),
            w("external-fault", "Opens to fault."),
            w("second-ramps", "Selects the second ramps."),
            w("local", "Takes control to hand."),
            w("second-reference", "Takes the second reference."),
        ],
    ),
    words(
        "output-function",
        &[
            w("none", "Nothing."),
            w("fault", "A fault stands."),
            w("healthy", "No fault stands; dropped without power."),
            w("running", "The motor is driven."),
            w("ready", "Nothing stands against running."),
            w("at-speed", "The speed is at the reference."),
            w("zero-speed", "The motor stands."),
            w("above-level", "Above a level of frequency."),
            w("brake", "Opens the holding brake."),
            w("current-limit", "A limit acts."),
            w("warning", "A warning stands."),
        ],
    ),
    words("fault-relay-sense", &[w("energised-healthy", "Energised while healthy."), w("energised-fault", "Energised on a fault.")]),
    words(
        "encoder-kind",
        &[w("ttl", "Differential, 5 V."), w("htl", "8 to 30 V."), w("sin-cos", "Sine and cosine."), w("resolver", "Resolver.")],
    ),
    words("feedback-direction", &[w("as-wired", "As wired."), w("inverted", "Turned round.")]),
    words(
        "network-loss-action",
        &[
            w("trip", "It trips and coasts."),
            w("ramp-stop", "It stops by its ramp."),
            w("coast", "It switches its output off."),
            w("hold-speed", "It goes on with the last setpoint."),
            w("preset-speed", "It goes on with a speed of its own."),
            w("none", "It does nothing."),
        ],
    ),
    words("control-from-network", SWITCH),
    words("input-phase-loss", RESPONSE),
    words("output-phase-loss", RESPONSE),
    words("feedback-loss", RESPONSE),
    words("external-fault", RESPONSE),
    words("stall-response", RESPONSE),
    words("underload-response", RESPONSE),
    words("overload-memory", &[w("lost", "Lost with power."), w("kept", "Kept through loss of power.")]),
    words("start-source", &[w("keypad", "Its own keypad."), w("terminals", "Its terminals."), w("network", "The network.")]),
    words(
        "start-wiring",
        &[
            w("two-wire", "A maintained contact: level."),
            w("two-wire-edge", "A maintained contact that has to close anew."),
            w("three-wire", "Momentary start and stop."),
        ],
    ),
    words("start-on-power-up", SWITCH),
    words(
        "flying-start",
        &[
            w("off", "It starts from nothing."),
            w("forward", "It catches a motor that turns forward."),
            w("both", "It catches a motor that turns either way."),
        ],
    ),
    words(
        "enable",
        &[w("not-used", "Not needed."), w("coast", "Without it the motor coasts."), w("ramp", "Without it the motor stops by its ramp.")],
    ),
    words("local-remote", &[w("remote", "Terminals or network."), w("local", "Its keypad."), w("key", "A key changes over.")]),
    words(
        "fault-reset-source",
        &[w("keypad", "Its keypad only."), w("terminals", "An input."), w("network", "The network."), w("all", "Any of them.")],
    ),
    words(
        "reference-source",
        &[
            w("keypad", "Its keypad."),
            w("analogue-1", "First analogue input."),
            w("analogue-2", "Second analogue input."),
            w("network", "The network."),
            w("presets", "Fixed speeds."),
            w("motor-potentiometer", "Raise and lower."),
            w("process-regulator", "The process regulator."),
            w("pulse", "A pulse train."),
        ],
    ),
    words(
        "analogue-input-kind",
        &[
            w("0-10v", "0 to 10 V."),
            w("bipolar-10v", "−10 to +10 V."),
            w("0-20ma", "0 to 20 mA."),
            w("4-20ma", "4 to 20 mA."),
            w("2-10v", "2 to 10 V."),
        ],
    ),
    words(
        "analogue-output-signal",
        &[
            w("frequency", "Output frequency."),
            w("speed", "Speed of the shaft."),
            w("current", "Output current."),
            w("torque", "Torque."),
            w("power", "Power."),
            w("bus-voltage", "Bus voltage."),
        ],
    ),
    words(
        "reference-loss-action",
        &[
            w("none", "Nothing: the reference falls to its low end."),
            w("hold-speed", "It goes on with the last speed."),
            w("ramp-stop", "It stops by its ramp."),
            w("trip", "It trips and coasts."),
            w("preset-speed", "It goes on with a speed of its own."),
            w("warn", "It warns and follows."),
        ],
    ),
    words("pid-action", &[w("direct", "More feedback, less output."), w("reverse", "More feedback, more output.")]),
    words("duty-class", &[w("light", "Light or normal duty."), w("heavy", "Heavy duty.")]),
    words("access-lock", &[w("open", "Everything may be changed."), w("locked", "Nothing may be changed.")]),
    words("display-units", &[w("hertz", "Hz."), w("rpm", "rpm."), w("percent", "%.")]),
    words("restart-interlock", &[w("manual", "A new start after the safety function."), w("automatic", "It goes on by itself.")]),
    words("parameter-sets", &[w("one", "One set."), w("switched", "Sets that an input changes over.")]),
    words("pump-staging", SWITCH),
    words(
        "motor-potentiometer-memory",
        &[
            w("cleared", "It begins at the lowest speed after every stop."),
            w("until-power-off", "It outlives a stop, but no loss of supply."),
            w("kept", "It outlives a loss of supply as well."),
        ],
    ),
    words("byte-order", &[w("high-first", "The more significant byte first."), w("low-first", "The less significant byte first.")]),
    words("fault-response", RESPONSE),
];
