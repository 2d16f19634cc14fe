//! The table of everything a survey may hold as one value: its key in the files, what it is, what it takes
//! to find out, and what may be assumed while it is unknown. Readers, schemas, forms, survey lists and the
//! ranges behind every verdict all come from this table; a new fact is one entry here.
//!
//! Assumed ranges are habits of the trade ("common practice, no source") unless `because` names a source.

use std::marker::PhantomData;

use crate::choice::{
    BoxCooling, BoxRating, BrakeFeed, Bypass, CableMethod, ChoiceInfo, Control, Cooling, Duty, Grounding, HarmonicLimit, HeatSink, Hinge,
    Housing, Insulation, LinkJoining, LoadKind, Metal, MotorKind, MotorWording, Mounting, OutputFilter, OutputSwitch, Phases, PlateSide,
    ProtectiveDevice, ResidualDevice, Standing, StopNeed, Strands, ThermalContact, Winding, WindingSensor, YesNo,
};
use crate::control::{Category, Emergency, Isolating, PermissiveActs, PermissivePlace, PilotSupply, ReferenceFrom, ResetBy, Seal, StartBy};
use crate::network::{LineFrame, LineSpeed, LossAction, NetworkPath, ReferenceUnit};
use crate::quantity::{
    ApparentPower, Area, Capacitance, Count, Current, Dimension, DimensionInfo, ElectricPower, Flow, Frequency, Inertia, Length, Power,
    Quantity, Rate, Ratio, Resistance, Speed, Temperature, ThermalConductance, Time, Voltage,
};

/// What a fact's raw number stands for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Kind {
    /// An SI value of this dimension.
    Quantity(&'static DimensionInfo),
    /// An index into these words.
    Choice(&'static ChoiceInfo),
}

impl Kind {
    /// Plain name: "electric current", "supply grounding".
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Quantity(info) => info.name,
            Self::Choice(info) => info.name,
        }
    }
}

/// A type that a fact can have.
pub trait FactType: Copy {
    /// What its raw number stands for.
    const KIND: Kind;
    /// From the raw number; `None` where a number is no value of the type.
    fn from_raw(raw: f64) -> Option<Self>;
}

impl<D: Dimension> FactType for Quantity<D> {
    const KIND: Kind = Kind::Quantity(D::INFO);
    fn from_raw(raw: f64) -> Option<Self> {
        Some(Self::si(raw))
    }
}

/// Names a fact without its type: its place in [`FACTS`] or, beyond, a cell of the duty table.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct FactId(pub u16);

impl FactId {
    /// As an index.
    #[must_use]
    pub const fn index(self) -> usize {
        self.0 as usize
    }
}

/// Names a fact of type `T`.
#[derive(Debug)]
pub struct Key<T> {
    /// Which fact.
    pub id: FactId,
    kind: PhantomData<T>,
}

impl<T> Clone for Key<T> {
    fn clone(&self) -> Self {
        *self
    }
}

impl<T> Copy for Key<T> {}

impl<T> Key<T> {
    /// The key of a fact that is known by its number only; the caller answers for the type.
    #[must_use]
    pub const fn new(id: FactId) -> Self {
        Self { id, kind: PhantomData }
    }
}

/// What it takes to find a fact out.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Effort {
    /// Read a label, a photo or a map, cover shut; or ask.
    Look = 1,
    /// Open the door under permit, dead, and look; or ask somebody who has to look.
    Open = 2,
    /// Measure or log with power on.
    Measure = 3,
    /// Needs a shutdown.
    Shutdown = 4,
    /// Needs a study or somebody from outside.
    Study = 5,
}

impl Effort {
    /// What to print.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Look => "look or ask, cover shut",
            Self::Open => "open under permit, dead",
            Self::Measure => "measure with power on",
            Self::Shutdown => "needs a shutdown",
            Self::Study => "needs a study",
        }
    }

    /// Rough cost of a reading relative to reading a label, for ranking: common practice, no source.
    #[must_use]
    pub const fn weight(self) -> f64 {
        match self {
            Self::Look => 1.0,
            Self::Open => 3.0,
            Self::Measure => 6.0,
            Self::Shutdown => 20.0,
            Self::Study => 40.0,
        }
    }
}

/// How a value follows from others while it is unknown. The rules themselves are calculations and stand
/// with the reader of facts; this only names them.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rule {
    /// Rated amperes from power, voltage, efficiency and power factor.
    FullLoadAmps,
    /// Induction when the rated speed shows slip against the plate's frequency; open otherwise.
    KindFromSlip,
    /// Yes for loads that lift or carry much inertia, no otherwise.
    OverhaulingFromKind,
    /// The old drive's input voltage; without it, 100 to 105 % of the motor's.
    SupplyVoltage,
    /// A fifth to all of what the transformer's own impedance lets through.
    FaultByTransformer,
    /// 120 to 180 % of the motor's rated current; 90 to 115 % for loads whose torque starts from nothing.
    PeakByKind,
}

/// What may be assumed while a fact is unknown.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Assume {
    /// Nothing: it stays open, whatever the margins say.
    Nothing,
    /// Nothing, and nothing needs to be: checks do without it.
    NotNeeded,
    /// One value (SI or index of a word), shown as an assumption.
    Is(f64),
    /// Between two SI values.
    Between(f64, f64),
    /// Any of these values.
    OneOf(&'static [f64]),
    /// Any of the words.
    AnyWord,
    /// Between two multiples of another fact.
    Times(FactId, f64, f64),
    /// Between two multiples of the rated current of all motors on the drive.
    TimesMotors(f64, f64),
    /// By a rule.
    By(Rule),
}

/// One entry of the table.
#[derive(Debug)]
pub struct FactDef {
    /// Table and key in the files: "motor.current".
    pub path: &'static str,
    /// What it is, as a form says it.
    pub label: &'static str,
    /// What its raw number stands for.
    pub kind: Kind,
    /// What it takes to find out.
    pub effort: Effort,
    /// Assumption while unknown.
    pub assume: Assume,
    /// Why that assumption is fair, or why none is.
    pub because: &'static str,
    /// Lowest and highest value that is physically sensible (SI); outside is a mistake in the file.
    pub sensible: (f64, f64),
}

impl FactDef {
    /// The table in the file: "motor".
    #[must_use]
    pub fn table(&self) -> &'static str {
        self.path.split_once('.').map_or("", |(table, _)| table)
    }

    /// The key in its table: "current".
    #[must_use]
    pub fn key(&self) -> &'static str {
        self.path.split_once('.').map_or(self.path, |(_, key)| key)
    }
}

macro_rules! facts {
    ($($ident:ident : $type:ty = $path:literal $label:literal, $effort:ident, $assume:expr, $because:literal, $low:expr, $high:expr;)+) => {
        #[allow(non_camel_case_types, clippy::upper_case_acronyms, reason = "names of the constants below, used once to number them")]
        #[derive(Clone, Copy)]
        enum Slot { $($ident),+ }
        $(
            #[doc = concat!($label, " (`", $path, "`).")]
            pub const $ident: Key<$type> = Key::new(FactId(Slot::$ident as u16));
        )+
        /// Every fact that is one value.
        pub const FACTS: &[FactDef] = &[$(FactDef {
            path: $path, label: $label, kind: <$type as FactType>::KIND, effort: Effort::$effort,
            assume: { #[allow(unused_imports, reason = "most entries need none")] use Assume::*; $assume }, because: $because, sensible: ($low, $high),
        }),+];
    };
}

/// Index of a word, for assumptions.
const SELF_VENTILATED: f64 = 0.0;
/// Index of a word, for assumptions.
const CONSTANT_TORQUE: f64 = 0.0;
/// Index of a word, for assumptions.
const THREE: f64 = 0.0;
/// Index of a word, for assumptions.
const NO_DEVICE: f64 = 0.0;
/// Index of a word, for assumptions.
const NO_SENSOR: f64 = 0.0;
/// Index of a word, for assumptions.
const NO_BRAKE: f64 = 0.0;
/// Index of a word, for assumptions.
const NO_FILTER: f64 = 0.0;
/// Index of a word, for assumptions.
const NO_BYPASS: f64 = 0.0;
/// Index of a word, for assumptions.
const NOT_SHARED: f64 = 0.0;
/// Index of a word, for assumptions.
const NOT_THERE: f64 = 0.0;

facts! {
    OLD_CURRENT: Current = "old.rated_current" "Old drive: rated output current", Look, TimesMotors(0.9, 1.6), "drives are bought to cover their motors", 0.1, 5e3;
    OLD_VOLTAGE: Voltage = "old.input_voltage" "Old drive: rated input voltage", Look, NotNeeded, "the supply's own voltage counts", 90.0, 15e3;
    OLD_DUTY: Duty = "old.duty" "Old drive: duty class it was rated for", Look, AnyWord, "the same unit carries two ratings", 0.0, 1.0;
    OLD_CONTROL: Control = "old.control" "Old drive: control method in use", Open, AnyWord, "not to be seen from outside", 0.0, 2.0;

    OLD_LEFT: Length = "old.plate_left" "Old drive: from the left edge of the mounting plate to its left side", Open, NotNeeded, "only reusing its holes needs it", 0.0, 5.0;
    OLD_BOTTOM: Length = "old.plate_bottom" "Old drive: from the lower edge of the mounting plate to its lower side", Open, NotNeeded, "only reusing its holes needs it", 0.0, 5.0;
    OLD_HEAT_SINK: HeatSink = "old.heat_sink" "Old drive: where its heat sink is", Look, AnyWord, "a cut-out in the rear wall is seen at once", 0.0, 1.0;

    MOTOR_KIND: MotorKind = "motor.kind" "Kind of motor", Look, By(Rule::KindFromSlip), "a rated speed below the synchronous speed shows slip, so a cage or a wound rotor", 0.0, 4.0;
    MOTOR_COUNT: Count = "motor.count" "Motors on this drive", Open, Is(1.0), "one, but ask", 1.0, 200.0;
    MOTOR_OWN_OVERLOADS: YesNo = "motor.own_overloads" "Each motor has an overload relay of its own", Open, AnyWord, "only looking tells", 0.0, 1.0;
    MOTOR_POWER: Power = "motor.power" "Motor: rated power", Look, Nothing, "read the plate", 10.0, 20e6;
    MOTOR_VOLTAGE: Voltage = "motor.voltage" "Motor: rated voltage", Look, Nothing, "read the plate", 20.0, 15e3;
    MOTOR_FREQUENCY: Frequency = "motor.frequency" "Motor: rated frequency", Look, OneOf(&[50.0, 60.0]), "plates of the two grids", 5.0, 2e3;
    MOTOR_SPEED: Speed = "motor.speed" "Motor: rated speed", Look, Nothing, "read the plate", 0.5, 15e3;
    MOTOR_CURRENT: Current = "motor.current" "Motor: rated current", Look, By(Rule::FullLoadAmps), "from power, voltage, efficiency and power factor", 0.05, 5e3;
    MOTOR_POWER_FACTOR: Ratio = "motor.power_factor" "Motor: rated power factor", Look, Between(0.75, 0.88), "usual for cage motors of 2 to 8 poles", 0.2, 1.0;
    MOTOR_EFFICIENCY: Ratio = "motor.efficiency" "Motor: rated efficiency", Look, Between(0.80, 0.95), "usual for cage motors of 2 to 300 kW", 0.3, 0.995;
    MOTOR_SERVICE_FACTOR: Ratio = "motor.service_factor" "Motor: service factor", Look, Between(1.0, 1.15), "NEMA MG 1 12.51 (from memory): 1.0 or 1.15 for most", 1.0, 1.5;
    MOTOR_COOLING: Cooling = "motor.cooling" "Motor: cooling", Look, Is(SELF_VENTILATED), "a separate blower is seen at once; none is the worse case", 0.0, 2.0;
    MOTOR_WINDING: Winding = "motor.winding" "Motor: winding original or rewound", Look, AnyWord, "a rewind tag or the plant's records tell", 0.0, 1.0;
    MOTOR_BREAKDOWN: Ratio = "motor.breakdown_torque" "Motor: breakdown torque, of rated torque", Study, Between(1.75, 3.0), "NEMA MG 10 Table 2-1: 175 to 300 % for design B", 1.1, 6.0;
    MOTOR_NO_LOAD_CURRENT: Current = "motor.no_load_current" "Motor: no-load current", Shutdown, Times(MOTOR_CURRENT.id, 0.25, 0.60), "usual for cage motors", 0.01, 4e3;

    MOTOR_WORDING: MotorWording = "motor.wording" "Motor: what its plate or papers say of drives", Look, AnyWord, "print on the plate; nothing printed promises nothing", 0.0, 7.0;
    MOTOR_YEAR: Count = "motor.year" "Motor: year it was made", Look, NotNeeded, "a motor of unknown age counts as old", 1900.0, 2100.0;
    MOTOR_SHAFT: Length = "motor.shaft_height" "Motor: height of its shaft (IEC frame number in mm)", Look, NotNeeded, "its power stands for it", 0.04, 2.0;
    BEARING_HISTORY: YesNo = "motor.bearing_history" "Bearings of motor or machine have failed by current before", Look, NotNeeded, "only where it is known of", 0.0, 1.0;
    BEARING_INSULATED: YesNo = "motor.bearing_insulated" "Motor: an insulated bearing at the non-drive end", Look, AnyWord, "plate or papers tell", 0.0, 1.0;
    SHAFT_EARTHED: YesNo = "motor.shaft_earthed" "Motor: a brush or ring earths its shaft", Look, AnyWord, "seen at the shaft", 0.0, 1.0;
    WINDING_SENSOR: WindingSensor = "motor.winding_sensor" "Motor: sensor in the winding that the drive reads", Look, Is(NO_SENSOR), "extra leads in the terminal box are seen at once", 0.0, 4.0;

    LOAD_KIND: LoadKind = "load.kind" "Kind of driven machine", Look, Is(CONSTANT_TORQUE), "the harder case for the rating", 0.0, 7.0;
    LOAD_OVERHAULING: YesNo = "load.overhauling" "The load can drive the motor", Look, By(Rule::OverhaulingFromKind), "yes for lifts, inclines and heavy rotors", 0.0, 1.0;
    LOAD_CURRENT: Current = "load.current" "Measured current at the worst load", Measure, TimesMotors(0.60, 1.15), "motors run from lightly to slightly overloaded", 0.05, 6e3;
    LOAD_PEAK_CURRENT: Current = "load.peak_current" "Peak current at break-away or jam", Measure, By(Rule::PeakByKind), "120 to 180 % of rated current is usual at starts under load; a fan or centrifugal pump on a ramp needs no more than at full speed", 0.05, 10e3;
    LOAD_PEAK_TIME: Time = "load.peak_time" "How long the peak lasts", Measure, Between(3.0, 10.0), "usual at starts under load", 0.01, 600.0;
    LOAD_STARTS: Rate = "load.starts" "Starts in an hour", Open, Between(2.0 / 3600.0, 6.0 / 3600.0), "usual for process drives", 0.0, 1.0;
    LOAD_INERTIA: Inertia = "load.inertia" "Total inertia at the motor shaft", Shutdown, Nothing, "from 1 to 50 times the rotor's own: too wide to assume", 1e-6, 1e6;
    LOAD_BREAKAWAY_TORQUE: Ratio = "load.breakaway_torque" "Break-away torque, of rated torque", Measure, NotNeeded, "the peak current stands for it", 0.0, 6.0;

    SPEED_LOWEST: Frequency = "speed.lowest" "Lowest output frequency used for long", Look, Times(MOTOR_FREQUENCY.id, 0.1, 1.0), "ask the operator", 0.0, 2e3;
    SPEED_HIGHEST: Frequency = "speed.highest" "Highest output frequency used", Look, Times(MOTOR_FREQUENCY.id, 1.0, 1.5), "belts may have been changed", 0.1, 4e3;
    STOP_NEED: StopNeed = "stop.need" "What the stop must do", Look, AnyWord, "what enforces the stop time is unknown: critical", 0.0, 2.0;
    STOP_TIME: Time = "stop.time" "Stop time that the process needs", Look, Between(5.0, 30.0), "usual for process drives", 0.05, 7200.0;

    GUARD_DELAY: Time = "stop.guard_delay" "After how long a guard may be opened", Open, NotNeeded, "only where a guard waits for the stop", 0.1, 7200.0;
    STOP_AFTER_LOSS: YesNo = "stop.after_power_loss" "The machine has to be stopped by the drive after a loss of power", Open, NotNeeded, "only where somebody relies on it", 0.0, 1.0;
    HOLDING_BRAKE: BrakeFeed = "stop.brake_feed" "What feeds the coil of the motor's brake", Open, Is(NO_BRAKE), "a brake is seen at the motor", 0.0, 2.0;
    BRAKE_OPENS: Time = "stop.brake_opens" "Motor's brake: time from its command until it is open", Open, Between(0.03, 0.5), "small disc brakes to large drum brakes", 0.001, 10.0;
    BRAKE_SETS: Time = "stop.brake_sets" "Motor's brake: time from its command until it holds", Open, Between(0.02, 0.5), "small disc brakes to large drum brakes", 0.001, 10.0;

    CABLE_LENGTH: Length = "cable.length" "Motor cable: length of the longest run", Look, Between(10.0, 100.0), "usual inside one building; pace it", 0.5, 5e3;
    CABLE_TOTAL: Length = "cable.total" "Motor cable: length of all runs together, where several motors hang on one drive", Look, NotNeeded, "one run where there is one motor", 0.5, 2e4;
    CABLE_SCREENED: YesNo = "cable.screened" "Motor cable: screened, armoured or in steel conduit of its own", Look, AnyWord, "seen at the gland", 0.0, 1.0;
    CABLE_SHARED: YesNo = "cable.shared" "Motor leads of several drives in one unscreened raceway", Look, AnyWord, "seen along the run: follow it", 0.0, 1.0;
    CABLE_AREA: Area = "cable.area" "Motor cable: cross-section of one conductor", Open, Nothing, "read the print on the insulation", 1e-7, 1e-3;
    CABLE_METAL: Metal = "cable.metal" "Motor cable: metal of its conductors", Open, AnyWord, "seen at the lug", 0.0, 1.0;
    CABLE_INSULATION: Insulation = "cable.insulation" "Motor cable: temperature rating of its insulation", Open, AnyWord, "print on the insulation", 0.0, 3.0;

    OUTPUT_FILTER: OutputFilter = "output.filter" "Filter or reactor between drive and motor that would stay", Look, Is(NO_FILTER), "a box of its own, seen at once", 0.0, 3.0;
    FILTER_CARRIER: Frequency = "output.filter_carrier" "Output filter: lowest carrier frequency on its plate", Open, Nothing, "read its plate", 200.0, 20e3;
    FILTER_CARRIER_MOST: Frequency = "output.filter_carrier_most" "Output filter: highest carrier frequency on its plate or in its papers", Open, NotNeeded, "most plates state the lowest alone", 200.0, 50e3;
    FILTER_CURRENT: Current = "output.filter_current" "Output filter: rated current on its plate", Open, Nothing, "read its plate", 0.5, 5e3;
    FILTER_FREQUENCY: Frequency = "output.filter_frequency" "Output filter: highest output frequency on its plate", Open, OneOf(&[50.0, 60.0, 70.0, 100.0, 120.0]), "usual on plates", 5.0, 1e3;
    FILTER_VECTOR: YesNo = "output.filter_vector" "Output filter: its papers allow vector control", Open, AnyWord, "papers tell, plates do not", 0.0, 1.0;
    OUTPUT_CAPACITORS: YesNo = "output.capacitors" "Capacitors or surge arresters at the motor", Look, AnyWord, "look into the motor's box and the old starter", 0.0, 1.0;
    OUTPUT_SWITCH: OutputSwitch = "output.switch" "Isolator or contactor between drive and motor", Look, AnyWord, "walk the cable", 0.0, 2.0;
    BYPASS: Bypass = "output.bypass" "Bypass around the drive", Look, Is(NO_BYPASS), "further contactors are seen at once", 0.0, 3.0;
    BYPASS_DELAY: Time = "output.bypass_delay" "Bypass: time between opening one way and closing the other", Open, Between(0.0, 3.0), "no timer to some seconds", 0.0, 60.0;
    BYPASS_OVERLOAD: YesNo = "output.bypass_overload" "Bypass: an overload relay of its own, set to the motor", Open, AnyWord, "only looking tells", 0.0, 1.0;
    BYPASS_ROTATION: YesNo = "output.rotation_noted" "Direction of rotation was noted, on the drive and on the bypass", Open, AnyWord, "line and output phases know nothing of each other", 0.0, 1.0;

    RESISTOR: Resistance = "resistor.ohms" "Brake resistor that would stay: resistance measured cold at its two terminals", Shutdown, NotNeeded, "only where one would stay", 0.05, 1e4;
    RESISTOR_POWER: ElectricPower = "resistor.power" "Brake resistor: continuous power on its plate", Look, Nothing, "read its plate", 1.0, 5e6;
    RESISTOR_CONSTANT: Time = "resistor.time_constant" "Brake resistor: thermal time constant", Study, Between(60.0, 600.0), "wire in a steel grid to cement in aluminium", 1.0, 7200.0;
    RESISTOR_CONTACT: ThermalContact = "resistor.thermal_contact" "Brake resistor: what its thermal contact does", Open, AnyWord, "follow its two wires", 0.0, 2.0;
    LINK_SHARED: YesNo = "link.shared" "The DC link is joined with those of other drives", Open, Is(NOT_SHARED), "wires on DC terminals are seen: stop and ask", 0.0, 1.0;
    LINK_CAPACITANCE: Capacitance = "link.capacitance" "Capacitance of all other members of that link", Study, Nothing, "papers of the members tell", 1e-6, 10.0;
    LINK_LEVEL: Voltage = "link.level" "Highest voltage that the other members of that link let it come to", Study, Nothing, "papers of the members tell", 50.0, 2000.0;
    LINK_FUSED: YesNo = "link.fused" "Each member of that link has DC fuses of its own", Open, AnyWord, "seen on the link's one-line", 0.0, 1.0;
    LINK_JOINING: LinkJoining = "link.joining" "How the members of that link are charged and joined", Open, AnyWord, "the interlocks of its DC switches and contactors tell", 0.0, 2.0;

    SUPPLY_VOLTAGE: Voltage = "supply.voltage" "Supply: nominal line-to-line voltage", Look, By(Rule::SupplyVoltage), "the old drive's input voltage, or the motor's and up to 5 % more (utilization below nominal voltage)", 90.0, 15e3;
    SUPPLY_LOWEST: Voltage = "supply.lowest" "Supply: lowest measured voltage", Measure, Times(SUPPLY_VOLTAGE.id, 0.90, 1.0), "nominal less 10 %", 50.0, 15e3;
    SUPPLY_HIGHEST: Voltage = "supply.highest" "Supply: highest measured voltage", Measure, Times(SUPPLY_VOLTAGE.id, 1.0, 1.10), "nominal plus 10 %", 50.0, 17e3;
    SUPPLY_GROUNDING: Grounding = "supply.grounding" "Supply: grounding", Measure, Nothing, "links to earth wait for it; nothing is energised before it is known", 0.0, 4.0;
    SUPPLY_PHASES: Phases = "supply.phases" "Supply: phases that feed the drive", Look, Is(THREE), "three, but count the wires", 0.0, 1.0;
    SUPPLY_UNBALANCE: Ratio = "supply.unbalance" "Supply: voltage unbalance (largest deviation from the mean)", Measure, Between(0.0, 0.03), "ANSI C84.1 Annex C (from memory): up to 3 % at no load", 0.0, 0.2;

    FAULT_CURRENT: Current = "supply.fault_current" "Supply: fault current available at the drive's panel (three-phase, rms)", Study, By(Rule::FaultByTransformer), "a fifth to all of what the transformer's own impedance lets through: network and cables take the rest", 100.0, 3e5;
    TRANSFORMER: ApparentPower = "supply.transformer" "Supply: rated power of the transformer that feeds it", Look, Nothing, "read its plate or the one-line diagram", 1e3, 1e8;
    TRANSFORMER_IMPEDANCE: Ratio = "supply.transformer_impedance" "Supply: impedance of that transformer", Look, Between(0.02, 0.07), "usual from 30 kVA to 3 MVA", 0.005, 0.25;
    REACTOR: Ratio = "supply.reactor" "Line reactor ahead of the old drive that would stay, as its plate says (0 % where there is none)", Open, Between(0.0, 0.05), "none, or one of 3 or 5 %", 0.0, 0.15;
    NEUTRAL_CURRENT: Current = "supply.neutral_current" "Supply: current that its neutral resistor lets through", Look, Nothing, "read the resistor's plate", 0.1, 2e3;
    LINE_STARTS: Rate = "supply.line_starts" "How often an hour line power is switched on to the drive", Look, Between(0.0, 2.0 / 3600.0), "few drives are started by their line contactor; ask", 0.0, 1.0;
    DIP_TIME: Time = "supply.dip_time" "Supply: how long the dips last that the machine has to ride through", Measure, NotNeeded, "only where dips are known of", 0.001, 10.0;
    DIP_LEFT: Ratio = "supply.dip_left" "Supply: voltage that is left in these dips, of nominal", Measure, Between(0.0, 0.7), "from an interruption to a deep sag", 0.0, 0.95;
    GENERATOR: ApparentPower = "supply.generator" "Rated power of a generator that feeds the drive at times", Look, NotNeeded, "only where there is one", 1e3, 1e8;
    GENERATOR_REACTANCE: Ratio = "supply.generator_reactance" "Subtransient reactance of that generator", Look, Between(0.10, 0.25), "usual; its plate or data sheet tells", 0.03, 0.6;
    OTHER_RECTIFIERS: Current = "supply.other_rectifiers" "Input current of the other drives and rectifiers on the same supply", Look, Nothing, "read their plates", 0.0, 1e4;
    LINEAR_LOAD: Current = "supply.linear_load" "Current of everything else on the same supply at its largest demand", Measure, Nothing, "read the meter of the supply", 0.0, 1e4;
    HARMONIC_LIMIT: HarmonicLimit = "supply.harmonic_limit" "Limits of harmonics that the plant is held to", Look, NotNeeded, "only where utility or owner holds it to them", 0.0, 1.0;
    SWITCHED_CAPACITORS: YesNo = "supply.switched_capacitors" "A capacitor bank is switched on the same supply, or by the utility close by", Look, NotNeeded, "only where one is known of", 0.0, 1.0;
    NOTCHES: YesNo = "supply.notches" "Large DC drives or welders on the same transformer", Look, NotNeeded, "only where there are some", 0.0, 1.0;

    DEVICE: ProtectiveDevice = "protection.device" "Branch protection ahead of the drive: kind and class", Look, AnyWord, "print on the fuse, label of the breaker", 0.0, 8.0;
    DEVICE_RATING: Current = "protection.rating" "Branch protection: rated current of fuse or breaker", Look, Nothing, "print on the fuse, label of the breaker", 0.5, 6e3;
    PANEL_RATING: Current = "protection.panel_rating" "Lowest short-circuit rating marked on panel, contactor and disconnects ahead of the drive", Look, Nothing, "read the panel's plate; without a mark it has none", 500.0, 3e5;
    DISCONNECT_RATING: Current = "protection.disconnect_rating" "Short-circuit rating of a disconnect between drive and motor", Look, NotNeeded, "only where there is one", 500.0, 3e5;
    EARTH_RELAY: YesNo = "protection.earth_relay" "A sensitive earth-fault relay looks at this branch", Look, AnyWord, "panel drawing or a ring transformer around the conductors", 0.0, 1.0;
    RESIDUAL: ResidualDevice = "protection.residual" "Residual-current device ahead of the drive: its type", Look, Is(NO_DEVICE), "few fixed drives have one; its test button is seen at once", 0.0, 4.0;
    RESIDUAL_RATING: Current = "protection.residual_rating" "Residual-current device: rated residual current", Look, Nothing, "print on the device", 0.005, 30.0;

    AIR_TEMPERATURE: Temperature = "conditions.air_temperature" "Highest air temperature at the drive, inside its box", Measure, Between(313.15, 323.15), "40 to 50 °C in a closed box", 223.15, 373.15;
    ALTITUDE: Length = "conditions.altitude" "Altitude above sea level", Look, Between(0.0, 3000.0), "a map tells; few plants stand higher", -430.0, 6000.0;
    MOUNTING: Mounting = "conditions.mounting" "How the drive stands among its neighbours", Look, AnyWord, "clearances are seen, not known", 0.0, 1.0;
    WANTED_CARRIER: Frequency = "conditions.carrier" "Carrier frequency that the place asks for (noise, filter)", Open, NotNeeded, "the unit's own carrier is taken", 500.0, 20e3;

    BOX_HOUSING: Housing = "box.housing" "What the drive is built into", Look, AnyWord, "a photograph shows it", 0.0, 3.0;
    BOX_WIDTH: Length = "box.width" "Box: outside width", Look, Nothing, "measure the box", 0.1, 10.0;
    BOX_HEIGHT: Length = "box.height" "Box: outside height", Look, Nothing, "measure the box", 0.1, 4.0;
    BOX_DEPTH: Length = "box.depth" "Box: outside depth", Look, Nothing, "measure the box", 0.05, 3.0;
    BOX_STANDING: Standing = "box.standing" "Box: how it stands among walls and neighbours", Look, AnyWord, "a photograph shows it", 0.0, 5.0;
    BOX_TOP_COVERED: YesNo = "box.top_covered" "Box: something lies on its top", Look, AnyWord, "a photograph shows it", 0.0, 1.0;
    BOX_PARTITIONS: Count = "box.partitions" "Box: horizontal partitions inside", Open, Is(0.0), "few boxes with a drive have one; looking tells", 0.0, 3.0;
    BOX_RATING: BoxRating = "box.rating" "Enclosure rating that the place asks for", Look, AnyWord, "the box's label and the place tell", 0.0, 12.0;
    BOX_HINGE: Hinge = "box.hinge" "Door: side of the hinges", Look, AnyWord, "a photograph shows it", 0.0, 1.0;
    PLATE_WIDTH: Length = "box.plate_width" "Mounting plate: width", Open, Nothing, "measure the plate", 0.05, 10.0;
    PLATE_HEIGHT: Length = "box.plate_height" "Mounting plate: height", Open, Nothing, "measure the plate", 0.05, 4.0;
    PLATE_DEPTH: Length = "box.plate_depth" "From the mounting plate to the inside of the closed door", Open, Nothing, "measure it; drawings leave out stiffeners", 0.02, 3.0;
    PLATE_GAP: Length = "box.plate_gap" "From the edges of the mounting plate to the walls (least)", Open, Is(0.0), "air beside the plate helps; without it clearances end at the edge", 0.0, 1.0;
    GLAND_SIDE: PlateSide = "box.gland_side" "Side on which the power cables enter the box", Look, AnyWord, "a photograph shows it", 0.0, 3.0;
    GLAND_WIDTH: Length = "box.gland_width" "Free width of the gland plate for the power cables", Look, NotNeeded, "the side counts first", 0.01, 5.0;
    BOX_COOLING: BoxCooling = "box.cooling" "Box: how its heat leaves it", Look, AnyWord, "grilles and fans are seen from outside", 0.0, 3.0;
    BOX_FAN_FLOW: Flow = "box.fan_flow" "Box: air flow of its fan as installed", Look, Nothing, "read the fan's plate; filters take a third", 1e-4, 20.0;
    BOX_EXCHANGE: ThermalConductance = "box.exchange" "Box: heat that its exchanger carries per kelvin", Look, Nothing, "read the exchanger's plate", 0.1, 1e4;
    BOX_COOLING_CAPACITY: ElectricPower = "box.cooling_capacity" "Box: capacity of its cooling unit", Look, Nothing, "read the cooling unit's plate", 10.0, 1e5;
    BOX_SET_POINT: Temperature = "box.set_point" "Box: temperature that its cooling unit is set to", Look, Between(303.15, 313.15), "30 to 40 °C is usual", 283.15, 333.15;
    ROOM_TEMPERATURE: Temperature = "box.room_temperature" "Highest air temperature around the box", Look, Between(303.15, 318.15), "30 to 45 °C in plants in summer", 223.15, 353.15;
    OTHER_LOSSES: ElectricPower = "box.other_losses" "Box: losses of everything in it but drives", Open, Between(20.0, 150.0), "control gear of one drive; transformers add more", 0.0, 1e5;

    CONDUCTOR_AREA: Area = "conductors.area" "Conductors at the drive's power terminals: cross-section of one", Open, Nothing, "read the print on the insulation", 1e-7, 1e-3;
    CONDUCTORS_EACH: Count = "conductors.per_terminal" "Conductors at the drive's power terminals: how many at one terminal", Open, Is(1.0), "one, but look", 1.0, 8.0;
    CABLE_DIAMETER: Length = "conductors.cable_diameter" "Power cables at the drive: outside diameter of the largest", Look, NotNeeded, "only the room in the gland plate needs it", 0.002, 0.3;
    CONDUCTOR_METAL: Metal = "conductors.metal" "Conductors at the drive's power terminals: metal", Open, AnyWord, "seen at the lug", 0.0, 1.0;
    CONDUCTOR_STRANDS: Strands = "conductors.strands" "Conductors at the drive's power terminals: make-up", Open, AnyWord, "seen at the lug", 0.0, 1.0;
    CONDUCTOR_INSULATION: Insulation = "conductors.insulation" "Supply conductors: temperature rating of their insulation", Open, AnyWord, "print on the insulation", 0.0, 3.0;
    CONDUCTORS_CARRYING: Count = "conductors.carrying" "Current-carrying conductors in the same raceway or cable", Look, Is(3.0), "one circuit; shared raceways are followed by eye", 1.0, 60.0;
    CONDUCTOR_LENGTH: Length = "conductors.length" "Supply conductors: length from the panel, one way", Look, Between(3.0, 60.0), "usual inside one building", 0.3, 2e3;
    CONDUCTOR_METHOD: CableMethod = "conductors.method" "Supply conductors: reference method of installation (plants under IEC 60364)", Look, AnyWord, "seen along the run", 0.0, 5.0;
    EARTH_AREA: Area = "conductors.earth_area" "Protective earth conductor at the drive: cross-section", Open, Nothing, "read the print on the insulation", 1e-7, 1e-3;
    NETWORK_FULL_SCALE: Frequency = "network.full_scale" "Network: frequency that the old drive's full-scale count stands for, as it is set", Look, Between(45.0, 120.0), "what maximum or base frequencies are usually set to", 1.0, 4e3;
    NETWORK_UNIT: ReferenceUnit = "network.unit" "Network: unit that the old drive's reference is set to", Look, AnyWord, "the same word means 30 Hz or 30 rpm", 0.0, 1.0;
    NETWORK_LOSS_ACTION: LossAction = "network.loss_action" "Network: what the machine needs when the controller falls silent", Open, Nothing, "people rely on it: it is read from the old drive's settings and proved by pulling the cable", 0.0, 4.0;
    NETWORK_TIMEOUT: Time = "network.timeout" "Network: how long the old drive waits for a silent controller", Look, Between(0.1, 60.0), "watchdogs are set between a scan and a minute", 0.001, 3600.0;
    NETWORK_START_HELD: YesNo = "network.start_held" "Network: the program holds its start bit as long as the motor runs", Look, AnyWord, "the program tells", 0.0, 1.0;
    NETWORK_RESET_HELD: YesNo = "network.reset_held" "Network: the program leaves its reset bit on", Look, AnyWord, "the program tells", 0.0, 1.0;
    NETWORK_STOP_HELD: YesNo = "network.stop_held" "Network: the program holds a stop bit whenever it does not run the motor", Look, AnyWord, "the program tells", 0.0, 1.0;
    NETWORK_LOCAL: YesNo = "network.local" "Network: the drive is also started by hand, at its door or keypad", Look, AnyWord, "people on site know", 0.0, 1.0;
    NETWORK_TEXTS: YesNo = "network.fault_texts" "Network: an operator panel or the program goes by the old fault numbers", Look, AnyWord, "panel and program tell", 0.0, 1.0;
    NETWORK_WRITES: Rate = "network.setting_writes" "Network: how often the program writes a setting", Look, Between(0.0, 1.0), "up to once a second", 0.0, 1000.0;
    NETWORK_BAUD: LineSpeed = "network.baud" "Network: speed of the serial line, in bits a second", Look, AnyWord, "the controller's project tells", 0.0, 8.0;
    NETWORK_FRAME: LineFrame = "network.frame" "Network: data bits, parity and stop bits of the serial line", Look, AnyWord, "the controller's project tells", 0.0, 5.0;
    NETWORK_ANSWER_WAIT: Time = "network.answer_wait" "Network: how long the controller waits for an answer to a request", Look, Between(0.02, 5.0), "time-outs of masters are set between a scan and a few seconds", 0.001, 60.0;
    NETWORK_CROSSOVER: Frequency = "network.loop_crossover" "Network: crossover of a control loop (tension, position, pressure) that the program closes over it; 0 Hz without one", Look, Between(0.0, 2.0), "what a program can close over a network at all", 0.0, 100.0;
    NETWORK_ALONE: YesNo = "network.address_alone" "Network: the list of all stations of the line was looked through and no other has this address", Look, AnyWord, "the list tells", 0.0, 1.0;
    NETWORK_PATH: NetworkPath = "network.path" "Network: how the line goes on behind the old drive", Look, AnyWord, "drawings tell, and the number of cables at its ports", 0.0, 2.0;

    SCHEME_START: StartBy = "scheme.start" "Control: what starts and stops the motor", Look, Nothing, "buttons and selectors are seen; what they do is tried or asked", 0.0, 4.0;
    SCHEME_SEAL: Seal = "scheme.seal" "Control: what holds a momentary start", Open, AnyWord, "the drawing or the wires at the start button tell", 0.0, 2.0;
    SCHEME_PILOT: PilotSupply = "scheme.pilot" "Control: what feeds the pilot circuit", Open, AnyWord, "follow the wires from the control transformer or the 24 V supply", 0.0, 1.0;
    SCHEME_REVERSING: YesNo = "scheme.reversing" "Control: a second direction can be commanded", Look, AnyWord, "people on site know", 0.0, 1.0;
    SCHEME_JOG: YesNo = "scheme.jog" "Control: there is a jog button", Look, Is(NOT_THERE), "a jog button is labelled", 0.0, 1.0;
    SCHEME_ENABLE: YesNo = "scheme.enable" "Control: an enable contact (key, guard, isolator) is wired to the drive", Open, AnyWord, "the wires at its terminals tell", 0.0, 1.0;
    SCHEME_PERMISSIVE: PermissiveActs = "scheme.permissive" "Control: in which modes permissives (lubrication, guard, frost, level) let the motor run", Open, Nothing, "people rely on them: each one is opened in each mode and tried", 0.0, 2.0;
    SCHEME_PERMISSIVE_IN: PermissivePlace = "scheme.permissive_in" "Control: where the permissives live", Open, AnyWord, "follow their wires", 0.0, 2.0;
    SCHEME_EMERGENCY: Emergency = "scheme.emergency" "Control: what the emergency stop of this motor acts on", Open, Nothing, "people rely on it: follow its wires", 0.0, 6.0;
    SCHEME_CATEGORY: Category = "scheme.category" "Control: stop category (IEC 60204-1) that the emergency stop needs", Study, Nothing, "whoever answers for the machine's safety says so", 0.0, 1.0;
    SCHEME_RESET: ResetBy = "scheme.reset" "Control: what resets a fault", Look, AnyWord, "people on site know", 0.0, 2.0;
    SCHEME_REFERENCE: ReferenceFrom = "scheme.reference" "Control: what gives the speed", Look, AnyWord, "people on site know", 0.0, 3.0;
    SCHEME_REFERENCE_LOSS: LossAction = "scheme.reference_loss" "Control: what the machine needs when its speed reference is lost", Study, Nothing, "operations and safety agree on it", 0.0, 4.0;
    SCHEME_RESTART: YesNo = "scheme.restart_meant" "Control: the motor is meant to start by itself when power returns, and everybody near it knows", Look, Nothing, "it hurts people: whoever answers for the machine says so", 0.0, 1.0;
    SCHEME_SPINNING: YesNo = "scheme.spinning" "Control: the load may still turn, or be turned, when the motor is started", Look, AnyWord, "people on site know", 0.0, 1.0;
    SCHEME_BRAKE_ANSWER: YesNo = "scheme.brake_answer" "Control: a contact of the holding brake is wired to the drive", Open, Is(NOT_THERE), "few drives were given one", 0.0, 1.0;
    SCHEME_FAULT_USER: YesNo = "scheme.fault_contact_used" "Control: plant or controller goes by the drive's fault contact", Open, AnyWord, "the wires at its terminals tell", 0.0, 1.0;
    SCHEME_ISOLATING: Isolating = "scheme.isolating" "Control: what people lock before they work on the machine", Look, Nothing, "the lock-out procedure says so, and people on site what they do", 0.0, 2.0;
    SCHEME_VALIDATED: YesNo = "scheme.safety_validated" "Control: somebody qualified has designed and validated the altered safety function", Study, Is(NOT_THERE), "a validation has a report with a name on it", 0.0, 1.0;
}

/// Columns of the duty table: a cell of row r and column c has the id `FACTS.len() + r × columns + c`.
pub const DUTY_COLUMNS: &[FactDef] = &[
    duty_column("duty.time", "How long the segment lasts, without its ramp", Time::KIND, Assume::Nothing, (0.0, 86_400.0)),
    duty_column("duty.ramp", "How long the change to this speed takes", Time::KIND, Assume::Is(0.0), (0.0, 7_200.0)),
    duty_column(
        "duty.speed",
        "Output frequency of the segment, negative when turning back",
        Frequency::KIND,
        Assume::NotNeeded,
        (-2e3, 2e3),
    ),
    duty_column(
        "duty.torque",
        "Load torque at the shaft, of rated torque; negative when the load drives",
        Ratio::KIND,
        Assume::NotNeeded,
        (-6.0, 6.0),
    ),
    duty_column("duty.current", "Measured current, instead of speed and torque", Current::KIND, Assume::NotNeeded, (0.0, 10e3)),
];

const fn duty_column(path: &'static str, label: &'static str, kind: Kind, assume: Assume, sensible: (f64, f64)) -> FactDef {
    FactDef { path, label, kind, effort: Effort::Measure, assume, because: "the duty cycle is as the survey wrote it", sensible }
}

/// Most rows that a duty table may have; more is refused with a clear line (log the current instead).
pub const DUTY_ROWS: usize = 40;

/// Id of a cell of the duty table.
#[must_use]
pub const fn duty_cell(row: usize, column: usize) -> FactId {
    #[expect(clippy::cast_possible_truncation, reason = "at most DUTY_ROWS rows")]
    FactId((FACTS.len() + row * DUTY_COLUMNS.len() + column) as u16)
}

/// How many ids there can be.
pub const FACT_IDS: usize = FACTS.len() + DUTY_ROWS * DUTY_COLUMNS.len();

/// The entry of a fact.
#[must_use]
pub fn def(id: FactId) -> &'static FactDef {
    match FACTS.get(id.index()) {
        Some(def) => def,
        None => &DUTY_COLUMNS[(id.index() - FACTS.len()) % DUTY_COLUMNS.len()],
    }
}

/// The path of a fact as messages show it: "motor.current", "duty[2].torque" (rows counted from 1).
#[must_use]
pub fn path(id: FactId) -> String {
    match FACTS.get(id.index()) {
        Some(def) => def.path.to_owned(),
        None => {
            let row = (id.index() - FACTS.len()) / DUTY_COLUMNS.len();
            format!("duty[{}].{}", row + 1, def(id).key())
        }
    }
}

/// The fact of that path.
#[must_use]
pub fn find(path: &str) -> Option<FactId> {
    #[expect(clippy::cast_possible_truncation, reason = "the table has fewer than a thousand entries")]
    FACTS.iter().position(|f| f.path == path).map(|i| FactId(i as u16))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::choice::Choice;

    #[test]
    fn paths_are_unique_and_found() {
        for (i, fact) in FACTS.iter().enumerate() {
            assert_eq!(find(fact.path).map(FactId::index), Some(i), "{}", fact.path);
            assert!(fact.path.matches('.').count() == 1 && !fact.because.is_empty(), "{}", fact.path);
        }
    }

    #[test]
    fn assumptions_lie_in_what_is_sensible() {
        for fact in FACTS {
            let (low, high) = fact.sensible;
            assert!(low < high, "{}", fact.path);
            let inside = |v: f64| (low..=high).contains(&v);
            match fact.assume {
                Assume::Is(v) => assert!(inside(v), "{}", fact.path),
                Assume::Between(l, h) => assert!(l < h && inside(l) && inside(h), "{}", fact.path),
                Assume::OneOf(values) => assert!(values.iter().all(|v| inside(*v)), "{}", fact.path),
                Assume::AnyWord => assert!(matches!(fact.kind, Kind::Choice(_)), "{}", fact.path),
                Assume::Times(base, l, h) => assert!(l < h && def(base).kind == fact.kind, "{}", fact.path),
                Assume::TimesMotors(l, h) => assert!(l < h && def(MOTOR_CURRENT.id).kind == fact.kind, "{}", fact.path),
                Assume::Nothing | Assume::NotNeeded | Assume::By(_) => {}
            }
            if let Kind::Choice(info) = fact.kind {
                #[expect(clippy::cast_precision_loss, reason = "a handful of words")]
                let last = (info.words.len() - 1) as f64;
                assert!((high - last).abs() < 0.5 && low.abs() < 0.5, "{}: {} words", fact.path, info.words.len());
            }
        }
    }

    #[test]
    fn words_behind_assumed_indices_are_the_named_ones() {
        assert_eq!(Cooling::from_raw(SELF_VENTILATED), Some(Cooling::SelfVentilated));
        assert_eq!(LoadKind::from_raw(CONSTANT_TORQUE), Some(LoadKind::ConstantTorque));
        assert_eq!(Phases::from_raw(THREE), Some(Phases::Three));
        assert_eq!(ResidualDevice::from_raw(NO_DEVICE), Some(ResidualDevice::None));
        assert_eq!(WindingSensor::from_raw(NO_SENSOR), Some(WindingSensor::None));
        assert_eq!(BrakeFeed::from_raw(NO_BRAKE), Some(BrakeFeed::None));
        assert_eq!(OutputFilter::from_raw(NO_FILTER), Some(OutputFilter::None));
        assert_eq!(Bypass::from_raw(NO_BYPASS), Some(Bypass::None));
        assert_eq!(YesNo::from_raw(NOT_SHARED), Some(YesNo::No));
        assert_eq!(YesNo::from_raw(NOT_THERE), Some(YesNo::No));
        assert_eq!(Phases::from_raw(-1.0), None);
        assert_eq!(Grounding::INFO.words.len(), 5);
    }

    #[test]
    fn duty_cells_are_told_apart() {
        assert_eq!(path(duty_cell(1, 3)), "duty[2].torque");
        assert_eq!(def(duty_cell(39, 0)).path, "duty.time");
        assert!(duty_cell(39, 4).index() < FACT_IDS);
    }
}
