//! Control wires as data: what each conductor at the old drive is electrically and what it is for, and what each point of a unit and
//! of its option modules can take. The functions are those of [`FUNCTIONS`]; nothing here is calculated.

mod functions;

pub use functions::{FUNCTIONS, Function, function, function_called};

use crate::choice::{Choice, ChoiceInfo, WindingSensor, Word, choices};
use crate::fact::{Known, Place};
use crate::quantity::{ApparentPower, Current, Frequency, Resistance, Voltage};

choices! {
    /// What a point of a unit is; a conductor's function says which kind it needs.
    PointKind "kind of point" {
        DigitalInput "digital-input" "Takes an on-off signal.";
        RelayOutput "relay-output" "A contact, free of potential.";
        TransistorOutput "transistor-output" "A solid-state switch for direct current.";
        AnalogueInput "analogue-input" "Takes a voltage or current as a measure.";
        AnalogueOutput "analogue-output" "Gives a voltage or current as a measure.";
        EncoderInput "encoder-input" "Takes the signals of an incremental encoder.";
        ThermistorInput "thermistor-input" "Reads a sensor in the motor's winding.";
        SafeInput "safe-input" "One channel of a safety function (IEC 61800-5-2).";
        SupplyOutput "supply-output" "Feeds something outside: 24 V for sensors, a control transformer.";
        SupplyInput "supply-input" "Takes a supply from outside that keeps the control side alive.";
    }
    /// Alternating or direct.
    Flow "kind of voltage" {
        Ac "ac" "Alternating.";
        Dc "dc" "Direct.";
    }
    /// Which side of its supply a conductor switches or carries.
    Polarity "polarity" {
        Positive "positive" "The positive side comes over it: the input has to draw current.";
        Negative "negative" "It switches the zero-volt side: the input has to feed current into it.";
    }
    /// What drives a conductor.
    Driver "driver" {
        Contact "contact" "A button, switch or relay contact.";
        Pnp "pnp" "A transistor that switches the positive side.";
        Npn "npn" "A transistor that switches the zero-volt side.";
        Triac "triac" "A solid-state output for alternating current, or a two-wire sensor.";
        Loop "loop" "A two-wire transmitter that lives on the loop's supply.";
        Source "source" "A source of voltage or current with its own supply.";
        Potentiometer "potentiometer" "A potentiometer on the drive's reference supply.";
        Drive "drive" "The drive itself: the conductor leaves it.";
    }
    /// Where the voltage on a driven conductor comes from.
    FedBy "feed" {
        Drive "drive" "From the old drive: it goes when the old drive goes.";
        Outside "outside" "From elsewhere: it stays.";
    }
    /// How a command device stays.
    Handling "handling" {
        Maintained "maintained" "Stays where it was put.";
        Momentary "momentary" "Springs back.";
    }
    /// Which way an input circuit is wired (the words of IEC 61131-2 for inputs).
    Wiring "input wiring" {
        Sink "sink" "The input draws current from a positive signal.";
        Source "source" "The input feeds current into a switch to its common.";
        Either "either" "One or the other, by how its common is connected.";
    }
    /// What an analogue signal ranges over.
    Range "signal range" {
        V10 "0-10 V" "0 V to 10 V.";
        V5 "0-5 V" "0 V to 5 V.";
        V2To10 "2-10 V" "2 V to 10 V, with a live zero.";
        Bipolar10 "+-10 V" "−10 V to 10 V: the sign is the direction.";
        Ma4To20 "4-20 mA" "4 mA to 20 mA, with a live zero.";
        Ma20 "0-20 mA" "0 mA to 20 mA.";
        Ma1 "0-1 mA" "0 mA to 1 mA, for moving-coil meters.";
    }
    /// What an encoder sends.
    Level "encoder signal" {
        Differential5 "5 V differential" "Pairs after TIA-422 on a 5 V supply.";
        PushPull "8-30 V push-pull" "Driven both ways, on 8 V to 30 V.";
        OpenCollector "open collector" "Pulled low alone; needs a resistor.";
        SineCosine "1 V sine-cosine" "Analogue, 1 V peak to peak.";
    }
    /// What an output contact tells, and in which state it is closed.
    Sense "sense of a contact" {
        ClosedWhenTrue "closed-when-true" "Closed while what it tells is so: open without supply.";
        OpenWhenTrue "open-when-true" "Open while what it tells is so: closed without supply.";
    }
    /// How a relay of the unit follows what it tells.
    RelaySense "sense of a relay" {
        Settable "settable" "Energised in one state or the other, as it is set.";
        WhenTrue "energised-when-true" "Energised while what it tells is so.";
        WhenFalse "energised-when-false" "Energised while what it tells is not so.";
    }
    /// Which conductor of a circuit.
    Pole "pole" {
        Signal "signal" "The conductor that carries the signal.";
        Return "return" "Its way back: the common, zero volts, minus of a loop.";
        Common "common" "The common of a contact.";
        NormallyOpen "no" "The make contact.";
        NormallyClosed "nc" "The break contact.";
        Plus "plus" "Plus of a supply.";
        A "a" "Track A.";
        ANot "a-not" "Track A, inverted.";
        B "b" "Track B.";
        BNot "b-not" "Track B, inverted.";
        Z "z" "Index track.";
        ZNot "z-not" "Index track, inverted.";
        Screen "screen" "Screen of the cable.";
    }
    /// Modes in which a machine is run.
    Mode "mode" {
        Hand "hand" "By hand, at the machine.";
        Auto "auto" "By the controller.";
        Bypass "bypass" "On the line, past the drive.";
        Network "network" "By the words of a network.";
    }
    /// State of a link as delivered.
    Fitted "link as delivered" {
        In "in" "It is there.";
        Out "out" "It is to be put in.";
    }
    /// When a link has to be in.
    LinkFor "purpose of a link" {
        Unused "unused" "Where nothing else is landed at its point: without it the unit never reports ready.";
        Sink "sink" "Where the inputs of its group draw current.";
        Source "source" "Where the inputs of its group feed current.";
    }
}

/// One conductor as it was found at the old drive. What was not found out is missing, never a habit.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Conductor {
    /// Wire number on its ferrule.
    pub wire: String,
    /// Terminal of the old drive.
    pub terminal: String,
    /// Where its other end goes.
    pub other_end: String,
    /// The circuit it is part of; conductors of one circuit are landed at one point. Its own wire number where the list names none.
    pub circuit: String,
    /// Which conductor of that circuit.
    pub pole: Option<Pole>,
    /// What it is for; `None` where the list says it in words that are not known here.
    pub function: Option<&'static Function>,
    /// Its function as the list says it.
    pub function_text: String,
    /// Voltage while it is on, V; rms where alternating.
    pub volts: Known,
    /// Alternating or direct.
    pub flow: Option<Flow>,
    /// Which side of its supply it carries.
    pub polarity: Option<Polarity>,
    /// What drives it.
    pub driver: Option<Driver>,
    /// Where its voltage comes from.
    pub fed_by: Option<FedBy>,
    /// Whether the device at its other end stays or springs back.
    pub handling: Option<Handling>,
    /// What flows while it is off, A.
    pub leakage: Known,
    /// Least current at which the contact that drives it, or the input that it drives, is sure, A.
    pub least: Known,
    /// Supply of a current loop, V.
    pub loop_supply: Known,
    /// Resistance of all else in the loop, or of what an output drives, Ω.
    pub burden: Known,
    /// Least voltage that the transmitter of a loop needs, V.
    pub needs: Known,
    /// Range of an analogue signal.
    pub range: Option<Range>,
    /// What a contact or supply feeds, held, VA.
    pub load: Known,
    /// The same at the moment of closing, VA.
    pub inrush: Known,
    /// In which state an output contact is closed.
    pub sense: Option<Sense>,
    /// Voltage between the earths of both ends, V.
    pub ground: Known,
    /// What an encoder sends.
    pub level: Option<Level>,
    /// Pulses of an encoder in a turn.
    pub pulses: Known,
    /// Highest speed at an encoder, rad/s.
    pub speed: Known,
    /// Sensor in the winding.
    pub sensor: Option<WindingSensor>,
    /// Modes in which a permissive acts; empty when not stated.
    pub modes: Vec<Mode>,
    /// Remarks of the list.
    pub note: String,
    /// Where it stands.
    pub place: Place,
}

/// The conductors of a position, none left out.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct WireList {
    /// One entry per row.
    pub conductors: Vec<Conductor>,
    /// Where it is named.
    pub place: Place,
}

/// A point of a unit, of a factory variant or of an option module.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ControlPoint {
    /// Its name: "DI3".
    pub name: String,
    /// Order code of the module that brings it; `None` for the unit itself.
    pub module: Option<String>,
    /// Name of the factory variant that brings it; `None` where every unit has it.
    pub variant: Option<String>,
    /// What it is.
    pub kind: Option<PointKind>,
    /// Its terminals by their poles.
    pub terminals: Vec<(Pole, String)>,
    /// Functions that it may be given; every one of its kind when empty.
    pub functions: Vec<&'static Function>,
    /// Inputs with one common, or points on one side of an isolation.
    pub group: Option<String>,
    /// Whether it is isolated from the unit's own earth.
    pub isolated: Option<bool>,
    /// Kind of voltage that it is made for; `None` for both.
    pub flow: Option<Flow>,
    /// Highest voltage that it stands: at an input, over a contact.
    pub highest: Option<Voltage>,
    /// From here on an input is surely on.
    pub on: Option<Voltage>,
    /// Up to here an input is surely off.
    pub off: Option<Voltage>,
    /// Resistance of an input at the off level, or of an analogue voltage input.
    pub impedance: Option<Resistance>,
    /// Current of an input that is on.
    pub draws: Option<Current>,
    /// How an input is wired.
    pub wiring: Option<Wiring>,
    /// What a contact or transistor holds and breaks with a coil on alternating current (IEC 60947-5-1 AC-15).
    pub ac15: Option<Current>,
    /// The same on direct current (DC-13), or the load of a transistor.
    pub dc13: Option<Current>,
    /// What a contact closes on; ten times AC-15, once DC-13 when not stated.
    pub makes: Option<Current>,
    /// Highest direct voltage over a contact, where it differs.
    pub highest_dc: Option<Voltage>,
    /// Least current at which a contact is sure.
    pub least: Option<Current>,
    /// What a transistor lets through while off.
    pub leakage: Option<Current>,
    /// How a relay follows what it tells.
    pub sense: Option<RelaySense>,
    /// Ranges of an analogue point.
    pub ranges: Vec<Range>,
    /// Resistance of a current input.
    pub burden: Option<Resistance>,
    /// Largest resistance that a current output drives, smallest that a voltage output drives.
    pub drives: Option<Resistance>,
    /// Encoder signals that it takes.
    pub levels: Vec<Level>,
    /// Highest frequency that it counts.
    pub frequency: Option<Frequency>,
    /// Supply that it gives, or takes.
    pub supply: Option<Voltage>,
    /// What that supply gives, or takes.
    pub supply_load: Option<ApparentPower>,
    /// Sensors that it reads.
    pub sensors: Vec<WindingSensor>,
    /// Name of the safety function whose channels belong together.
    pub pair: Option<String>,
    /// The unit does not become ready while it is open.
    pub must_close: bool,
    /// Where it stands.
    pub place: Place,
}

/// A link between terminals of a unit.
#[derive(Clone, Debug, PartialEq)]
pub struct WireLink {
    /// Its name, as printed, or the terminals.
    pub name: String,
    /// The point or the group that it is for.
    pub point: String,
    /// When it has to be in.
    pub purpose: LinkFor,
    /// How it is delivered.
    pub fitted: Fitted,
}

impl Conductor {
    /// The pole, or what stands for it: the one conductor of a circuit is its signal.
    #[must_use]
    pub fn pole(&self) -> Pole {
        self.pole.unwrap_or(Pole::Signal)
    }

    /// The kind of point that it needs; `None` where its function is not known, or it needs none.
    #[must_use]
    pub fn needs_point(&self) -> Option<PointKind> {
        self.function.and_then(|f| f.kind)
    }
}

impl ControlPoint {
    /// The terminal of a pole.
    #[must_use]
    pub fn terminal(&self, pole: Pole) -> Option<&str> {
        self.terminals.iter().find(|(own, _)| *own == pole).map(|(_, name)| name.as_str())
    }

    /// Whether it may be given a function.
    #[must_use]
    pub fn serves(&self, function: &Function) -> bool {
        let same =
            self.kind == function.kind || (self.kind == Some(PointKind::TransistorOutput) && function.kind == Some(PointKind::RelayOutput));
        same && (self.functions.is_empty() || self.functions.iter().any(|f| f.id == function.id))
    }
}
