//! A product series in neutral terms, as its pack describes it: the same shape for old and new, any maker.

use crate::choice::{
    Combine, Control, DerateKind, Duty, FrontEnd, Grounding, Insulation, Links, Metal, MotorKind, PlateSide, Presence, ProtectiveDevice,
    Style, WindingSensor, YesNo,
};
use crate::control::HabitRow;
use crate::fact::Place;
use crate::network::{FaultCode, Layout};
use crate::quantity::{Area, Capacitance, Current, Frequency, Length, Mass, Power, Rate, Ratio, Resistance, Time, Voltage};
use crate::settings::Setting;
use crate::wires::{ControlPoint, WireLink};

/// One series.
#[derive(Clone, Debug, Default)]
pub struct Series {
    /// Folder name of the pack; what files and candidates call the series by.
    pub id: String,
    /// Name as printed on documents.
    pub name: String,
    /// Maker.
    pub maker: String,
    /// Documents that the pack was typed from, with their revisions.
    pub documents: Vec<String>,
    /// Whether it can be bought and may replace; an obsolete series may not.
    pub offered: bool,
    /// Currency of its prices.
    pub currency: String,
    /// How its type code reads.
    pub code: Vec<CodeSegment>,
    /// Voltage classes.
    pub classes: Vec<VoltageClass>,
    /// Ratings: one per order code and duty class.
    pub ratings: Vec<Rating>,
    /// Frames.
    pub frames: Vec<Frame>,
    /// Ways of mounting beside the usual one of the frames.
    pub mountings: Vec<MountingStyle>,
    /// Line side of the frames.
    pub line_sides: Vec<LineSide>,
    /// Motor side of the frames.
    pub motor_sides: Vec<MotorSide>,
    /// Fixing holes of the frames.
    pub holes: Vec<FixingHole>,
    /// Losses at other carrier frequencies.
    pub carrier_losses: Vec<CarrierLosses>,
    /// Overload points of each duty class.
    pub overloads: Vec<Overload>,
    /// Reductions of current.
    pub derates: Vec<Derate>,
    /// How the reductions combine.
    pub combine: Combine,
    /// What is allowed at each kind of supply grounding; a kind that is not listed is not known to be allowed.
    pub groundings: Vec<(Grounding, Links)>,
    /// Whether a single-phase supply is allowed.
    pub single_phase: bool,
    /// Largest voltage unbalance allowed, where stated.
    pub unbalance_limit: Option<Ratio>,
    /// What it does with motors.
    pub control: MotorControl,
    /// Option modules.
    pub modules: Vec<Module>,
    /// Slots for modules, by frame.
    pub slots: Vec<Slot>,
    /// Listed protection combinations.
    pub protections: Vec<Protection>,
    /// Factory variants with something built in.
    pub variants: Vec<Variant>,
    /// Layouts of its network words.
    pub layouts: Vec<Layout>,
    /// Fault codes.
    pub faults: Vec<FaultCode>,
    /// Settings, in the order of the documents.
    pub settings: Vec<Setting>,
    /// Points for control wires, of the unit and of its modules.
    pub points: Vec<ControlPoint>,
    /// Links between terminals.
    pub wire_links: Vec<WireLink>,
    /// Habits of its control.
    pub habits: Vec<HabitRow>,
    /// Whether it is delivered with a link across its safe torque off inputs; `None` where the documents do not say or it has none.
    pub safe_off_link: Option<bool>,
    /// Waiting time after switching off that the unit itself prescribes; a guide, the bus is measured all the same.
    pub bus_wait: Option<Time>,
    /// Further cautions that its documents prescribe.
    pub cautions: Vec<String>,
    /// Work for swapping one unit in, without wires and settings.
    pub swap_time: Option<Time>,
    /// Usual time from order to delivery, as the supplier states it; each order asks again.
    pub lead_time: Option<Time>,
    /// The same for what is ordered with it from its own list: modules, kits, choppers.
    pub parts_lead_time: Option<Time>,
    /// Where its pack.toml is.
    pub place: Place,
}

/// One value of one segment of a type code.
#[derive(Clone, Debug, PartialEq)]
pub struct CodeSegment {
    /// What the segment says: "rating", "enclosure", "brake".
    pub segment: String,
    /// First character, from 1.
    pub start: usize,
    /// Number of characters.
    pub length: usize,
    /// The characters; empty for the rating segment, whose values are the codes of the ratings.
    pub value: String,
    /// What they mean.
    pub meaning: String,
    /// Variant or module that the value stands for, if any.
    pub selects: Option<String>,
}

/// A voltage class.
#[derive(Clone, Debug, PartialEq)]
pub struct VoltageClass {
    /// Its name: "480".
    pub name: String,
    /// Lowest line-to-line supply voltage allowed, tolerance included.
    pub lowest: Voltage,
    /// Highest line-to-line supply voltage allowed, tolerance included.
    pub highest: Voltage,
}

/// What a unit can give in a duty class.
#[derive(Clone, Debug, PartialEq)]
pub struct Rating {
    /// Order code (the part of the type code that names the rating).
    pub code: String,
    /// Frame.
    pub frame: String,
    /// Voltage class.
    pub class: String,
    /// Duty class.
    pub duty: Duty,
    /// Continuous output current.
    pub current: Current,
    /// Rated input current.
    pub input_current: Current,
    /// Motor power on the label: an index only.
    pub label_power: Power,
    /// Losses at rated load and the unit's own carrier.
    pub losses: Option<Power>,
    /// Losses without load; without them those at rated load are taken for every load.
    pub idle_losses: Option<Power>,
    /// Price of the bare unit.
    pub price: Option<f64>,
    /// Where it stands.
    pub place: Place,
}

/// An overload point: a multiple of the continuous current for a time.
#[derive(Clone, Debug, PartialEq)]
pub struct Overload {
    /// Duty class.
    pub duty: Duty,
    /// Multiple of the continuous current.
    pub multiple: Ratio,
    /// For how long, from a rested unit.
    pub time: Time,
    /// How often, as printed; informational, recovery follows from the load between.
    pub repeat: Option<Time>,
}

/// A reduction of current: factor against what it depends on.
#[derive(Clone, Debug, PartialEq)]
pub struct Derate {
    /// What it depends on.
    pub kind: DerateKind,
    /// Frame it holds for; all when `None`.
    pub frame: Option<String>,
    /// Duty class it holds for; both when `None`.
    pub duty: Option<Duty>,
    /// (SI value, factor), rising; beyond the last the unit may not be used.
    pub points: Vec<(f64, f64)>,
}

/// A frame size.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Frame {
    /// Its name.
    pub name: String,
    /// Width.
    pub width: Length,
    /// Height.
    pub height: Length,
    /// Depth.
    pub depth: Length,
    /// Mass.
    pub mass: Mass,
    /// Free height above.
    pub clear_above: Length,
    /// Free height below.
    pub clear_below: Length,
    /// Free width on each side.
    pub clear_side: Length,
    /// What stands out in front of that depth: keypad, plugs.
    pub front: Length,
    /// Side on which the power cables enter it.
    pub cable_side: PlateSide,
    /// From that side to the power terminals: bends may begin inside the unit.
    pub terminal_inset: Length,
    /// Space that the unit's documents ask for bending the conductors; without it a table of the code is taken.
    pub bend_space: Option<Length>,
    /// Whether it may be mounted lying on its side.
    pub may_turn: bool,
    /// Enclosure as delivered: "IP20", "type 1".
    pub enclosure: String,
    /// Order code of a kit that closes it, and to what: "KIT-7 to type 1".
    pub enclosure_kit: Option<String>,
    /// Price of that kit.
    pub enclosure_kit_price: Option<f64>,
    /// Smallest conductor that the power terminals take.
    pub terminal_smallest: Option<Area>,
    /// Largest conductor that the power terminals take.
    pub terminal_largest: Option<Area>,
    /// Most conductors at one power terminal.
    pub terminal_conductors: Option<u8>,
    /// Metals that the power terminals are made for; empty when not stated.
    pub terminal_metals: Vec<Metal>,
    /// Whether the power terminals take fine-stranded conductors without a ferrule.
    pub terminal_fine: Option<YesNo>,
    /// DC terminals.
    pub dc_terminals: Presence,
    /// Brake chopper.
    pub chopper: Presence,
    /// Price of an optional chopper.
    pub chopper_price: Option<f64>,
    /// Smallest brake resistor.
    pub chopper_smallest: Option<Resistance>,
    /// Bus voltage at which the chopper switches on.
    pub chopper_level: Option<Voltage>,
    /// Bus capacitance.
    pub bus_capacitance: Option<Capacitance>,
    /// Only these supply groundings, whatever the series allows; empty when not restricted.
    pub groundings: Vec<Grounding>,
    /// Where it stands.
    pub place: Place,
}

/// A way of mounting a frame beside its usual one.
#[derive(Clone, Debug, PartialEq)]
pub struct MountingStyle {
    /// Frame.
    pub frame: String,
    /// The way.
    pub style: Style,
    /// Free height above.
    pub clear_above: Length,
    /// Free height below.
    pub clear_below: Length,
    /// Free width on each side.
    pub clear_side: Length,
    /// Depth that it takes in front of the plate; that of the frame when `None`.
    pub depth: Option<Length>,
    /// Share of the losses that stays in the box.
    pub heat_inside: Ratio,
    /// Enclosure towards the outside where it is mounted through a wall.
    pub rating: Option<String>,
    /// Order code of the kit that it takes.
    pub kit: Option<String>,
    /// Price of that kit.
    pub kit_price: Option<f64>,
}

/// What a frame is towards the line. What its documents do not say is `None`, never a habit.
#[derive(Clone, Debug, PartialEq)]
pub struct LineSide {
    /// Frame.
    pub frame: String,
    /// Rectifier.
    pub front_end: FrontEnd,
    /// Built-in reactor, or DC choke as its equivalent in the line, of the unit's own base; zero when there is none.
    pub choke: Option<Ratio>,
    /// Current distortion at rated load that the documents state.
    pub distortion: Option<Ratio>,
    /// Leakage current to earth that the documents state.
    pub leakage: Option<Current>,
    /// Where its earth-fault trip lies, of rated output current.
    pub earth_trip: Option<Ratio>,
    /// How often an hour it may be switched on to the line.
    pub power_ups: Option<Rate>,
    /// DC bus voltage at which it trips on undervoltage.
    pub undervoltage: Option<Voltage>,
    /// Temperature rating of its power terminals.
    pub terminals: Option<Insulation>,
    /// Order code of a line reactor of 3 % made for it.
    pub reactor: Option<String>,
    /// Price of that reactor.
    pub reactor_price: Option<f64>,
    /// Order code of a harmonic filter made for it.
    pub filter: Option<String>,
    /// Price of that filter.
    pub filter_price: Option<f64>,
}

/// What a frame is towards the motor. What its documents do not say is `None`, never a habit.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct MotorSide {
    /// Frame.
    pub frame: String,
    /// Time in which its output rises between two levels.
    pub rise: Option<Time>,
    /// Longest screened motor cable, all runs together.
    pub cable_screened: Option<Length>,
    /// Longest unscreened motor cable, all runs together.
    pub cable_unscreened: Option<Length>,
    /// Winding sensors that it reads.
    pub sensors: Option<Vec<WindingSensor>>,
    /// Capacitance, its own included, that its pre-charge circuit may charge; zero: it must not be joined with others.
    pub charges: Option<Capacitance>,
    /// Whether it proves torque before it opens a brake.
    pub torque_proving: Option<YesNo>,
    /// Whether it goes on braking from the load's energy while the line is away.
    pub kinetic: Option<YesNo>,
    /// Order code of a filter for the motor cable made for it.
    pub filter: Option<String>,
    /// Highest voltage between two phases at the motor behind that filter.
    pub filter_peak: Option<Voltage>,
    /// Price of that filter.
    pub filter_price: Option<f64>,
}

/// A fixing hole of a frame.
#[derive(Clone, Debug, PartialEq)]
pub struct FixingHole {
    /// Frame.
    pub frame: String,
    /// From the left side of the upright unit.
    pub x: Length,
    /// From its lower side.
    pub y: Length,
    /// Diameter of the hole to drill, or of the thread.
    pub diameter: Length,
}

/// Losses at another carrier frequency.
#[derive(Clone, Debug, PartialEq)]
pub struct CarrierLosses {
    /// Frame it holds for; all when `None`.
    pub frame: Option<String>,
    /// Carrier frequency.
    pub carrier: Frequency,
    /// Multiple of the losses at the unit's own carrier.
    pub factor: Ratio,
}

#[allow(clippy::derivable_impls, reason = "as below: no side is a safe one, but most frames are fed from below")]
impl Default for PlateSide {
    fn default() -> Self {
        Self::Below
    }
}

#[allow(clippy::derivable_impls, reason = "the macro behind choices gives none a default: most words are no safe one")]
impl Default for Presence {
    fn default() -> Self {
        Self::Absent
    }
}

#[allow(clippy::derivable_impls, reason = "as above")]
impl Default for Combine {
    fn default() -> Self {
        Self::Multiply
    }
}

/// What a series does with motors.
#[derive(Clone, Debug, PartialEq)]
pub struct MotorControl {
    /// Kinds of motor that it runs.
    pub motors: Vec<MotorKind>,
    /// Control methods.
    pub methods: Vec<Control>,
    /// Highest output frequency.
    pub highest_frequency: Frequency,
    /// Smallest motor, as share of the unit's rated current, that it can identify and protect.
    pub smallest_motor: Ratio,
    /// Base voltage it comes set to.
    pub default_voltage: Option<Voltage>,
    /// Base frequency it comes set to.
    pub default_frequency: Option<Frequency>,
    /// Carrier frequency it comes set to.
    pub default_carrier: Option<Frequency>,
}

impl Default for MotorControl {
    fn default() -> Self {
        Self {
            motors: vec![MotorKind::Induction],
            methods: vec![Control::Scalar],
            highest_frequency: Frequency::hz(0.0),
            smallest_motor: Ratio::of_one(0.0),
            default_voltage: None,
            default_frequency: None,
            default_carrier: None,
        }
    }
}

/// An option module.
#[derive(Clone, Debug, PartialEq)]
pub struct Module {
    /// Order code.
    pub code: String,
    /// What it does.
    pub what: String,
    /// Slots that take it; empty when all do.
    pub slots: Vec<String>,
    /// How many of it a unit takes; one when the documents say nothing.
    pub most: usize,
    /// Order codes of modules that it must not stand beside.
    pub excludes: Vec<String>,
    /// For a module of the old drive kept through a carrier: what limits it.
    pub carrier: Option<String>,
    /// Price.
    pub price: Option<f64>,
}

/// A slot of a frame.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Slot {
    /// Frame; all frames when `None`.
    pub frame: Option<String>,
    /// Name of the slot.
    pub slot: String,
}

/// A listed protection combination.
#[derive(Clone, Debug, PartialEq)]
pub struct Protection {
    /// Order code of the rating it is for.
    pub code: String,
    /// Fuse or breaker, with its class.
    pub device: ProtectiveDevice,
    /// Largest rating.
    pub largest: Current,
    /// Short-circuit rating with it.
    pub short_circuit_rating: Current,
    /// Price of a set with holder.
    pub price: Option<f64>,
}

/// A factory variant.
#[derive(Clone, Debug, PartialEq)]
pub struct Variant {
    /// Name, as the type code selects it.
    pub name: String,
    /// What is built in.
    pub what: String,
    /// Price on top of the bare unit.
    pub price: Option<f64>,
}

/// What a type code says.
#[derive(Clone, Debug, PartialEq)]
pub struct Decoded<'s> {
    /// Ratings of the order code in it, one per duty class.
    pub ratings: Vec<&'s Rating>,
    /// Each segment with its characters and meaning.
    pub segments: Vec<(String, String, String)>,
}

impl Series {
    /// The frame of that name.
    #[must_use]
    pub fn frame(&self, name: &str) -> Option<&Frame> {
        self.frames.iter().find(|f| f.name == name)
    }

    /// The voltage class of that name.
    #[must_use]
    pub fn class(&self, name: &str) -> Option<&VoltageClass> {
        self.classes.iter().find(|c| c.name == name)
    }

    /// The network layout of that name.
    #[must_use]
    pub fn layout(&self, name: &str) -> Option<&Layout> {
        self.layouts.iter().find(|l| l.name == name)
    }

    /// The overload points of a duty class.
    pub fn overloads(&self, duty: Duty) -> impl Iterator<Item = &Overload> {
        self.overloads.iter().filter(move |o| o.duty == duty)
    }

    /// The reduction of a kind that holds for a rating; one for its frame or duty goes before a general one.
    #[must_use]
    pub fn derate(&self, kind: DerateKind, rating: &Rating) -> Option<&Derate> {
        self.derates
            .iter()
            .filter(|d| d.kind == kind)
            .filter(|d| d.frame.as_ref().is_none_or(|f| *f == rating.frame) && d.duty.is_none_or(|own| own == rating.duty))
            .max_by_key(|d| (d.frame.is_some(), d.duty.is_some()))
    }

    /// A way of mounting a frame beside its usual one.
    #[must_use]
    pub fn mounting(&self, frame: &str, style: Style) -> Option<&MountingStyle> {
        self.mountings.iter().find(|m| m.frame == frame && m.style == style)
    }

    /// The line side of a frame.
    #[must_use]
    pub fn line_side(&self, frame: &str) -> Option<&LineSide> {
        self.line_sides.iter().find(|l| l.frame == frame)
    }

    /// The motor side of a frame.
    #[must_use]
    pub fn motor_side(&self, frame: &str) -> Option<&MotorSide> {
        self.motor_sides.iter().find(|l| l.frame == frame)
    }

    /// The listed protection combinations of an order code.
    pub fn listed(&self, code: &str) -> impl Iterator<Item = &Protection> {
        self.protections.iter().filter(move |p| p.code == code)
    }

    /// The fixing holes of a frame.
    pub fn fixing(&self, frame: &str) -> impl Iterator<Item = &FixingHole> {
        self.holes.iter().filter(move |h| h.frame == frame)
    }

    /// What a grounding asks of the links for a frame; `None` when the documents say nothing about it.
    #[must_use]
    pub fn links(&self, grounding: Grounding, frame: &Frame) -> Option<Links> {
        if !frame.groundings.is_empty() && !frame.groundings.contains(&grounding) {
            return Some(Links::NotAllowed);
        }
        self.groundings.iter().find(|(g, _)| *g == grounding).map(|(_, links)| *links)
    }

    /// Reads a type code by the series' segments.
    ///
    /// # Errors
    /// A sentence that says which characters are not known, and which would be.
    pub fn decode(&self, code: &str) -> Result<Decoded<'_>, String> {
        let characters: Vec<char> = code.trim().chars().collect();
        let mut names: Vec<(&str, usize, usize)> = Vec::new();
        for s in &self.code {
            if !names.contains(&(s.segment.as_str(), s.start, s.length)) {
                names.push((&s.segment, s.start, s.length));
            }
        }
        if names.is_empty() {
            return Err(format!("the pack of {} does not say how its type code reads (code.csv)", self.name));
        }
        let mut decoded = Decoded { ratings: Vec::new(), segments: Vec::new() };
        for (name, start, length) in names {
            let text: String = characters.iter().skip(start.saturating_sub(1)).take(length).collect();
            let mut values = self.code.iter().filter(|s| s.segment == name && s.start == start).peekable();
            if values.peek().is_some_and(|s| s.value.is_empty()) {
                decoded.ratings = self.ratings.iter().filter(|r| r.code == text).collect();
                if decoded.ratings.is_empty() {
                    let known: Vec<&str> = self.ratings.iter().map(|r| r.code.as_str()).collect();
                    return Err(format!(
                        "“{text}” (characters {start} to {}) is no rating of {}; known are {}",
                        start + length - 1,
                        self.name,
                        unique(&known)
                    ));
                }
                decoded.segments.push((name.to_owned(), text, "rating".into()));
                continue;
            }
            let Some(value) = values.clone().find(|s| s.value == text) else {
                let known: Vec<&str> = values.map(|s| s.value.as_str()).collect();
                return Err(format!(
                    "“{text}” (characters {start} to {}) is no {name} of {}; known are {}",
                    start + length - 1,
                    self.name,
                    unique(&known)
                ));
            };
            decoded.segments.push((name.to_owned(), text, value.meaning.clone()));
        }
        let last = self.code.iter().map(|s| s.start + s.length - 1).max().unwrap_or(0);
        if characters.len() > last {
            return Err(format!("the code has {} characters, the pack of {} explains {last}", characters.len(), self.name));
        }
        Ok(decoded)
    }
}

fn unique(words: &[&str]) -> String {
    let mut list: Vec<&str> = Vec::new();
    for word in words {
        if !list.contains(word) {
            list.push(word);
        }
    }
    list.join(", ")
}
