//! A candidate: a rating out of a pack with what is done to it for one position. And the measures
//! (parts and work) that remedies add.

use calc::drive::derate::{self, Curve};
use calc::drive::overload::OverloadPoint;
use calc::sources::{PACK, Source};
use calc::working::{Recorder, Step};
use plant::choice::{Choice, DerateKind, Duty, Phases};
use plant::product::{Frame, Rating, Series, VoltageClass};
use plant::quantity::{Current, Frequency, Length, Ratio, Temperature};
use plant::survey::{ALTITUDE, MOUNTING, SUPPLY_PHASES, SUPPLY_UNBALANCE, WANTED_CARRIER};

use crate::facts::{Reader, Stop};

/// A part or a piece of work that makes a finding hold.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Measure {
    /// Take the filter and varistor links to earth out.
    LinksOut,
    /// Set the base voltage and frequency of the motor's plate.
    PlateVoltsAndHertz,
    /// Set volts-per-hertz control.
    ScalarControl,
    /// Give each motor an overload relay of its own.
    MotorOverloads,
    /// Give the motor a separately driven blower.
    Blower,
    /// Order the brake chopper and fit a resistor.
    Chopper,
    /// Set the lowest carrier frequency that the pack lists.
    LowestCarrier,
    /// Blow outside air through the box.
    FilterFan,
    /// Carry the heat of the box out through an air-to-air exchanger.
    Exchanger,
    /// Hold the box at a set temperature.
    CoolingUnit,
    /// Mount it through the rear wall, its heat sink outside.
    ThroughWall,
    /// Close the unit with its own enclosure kit.
    EnclosureKit,
    /// Close what the old drive leaves open in the walls.
    CoverPlate,
    /// Clear the plate of what can be moved.
    MovedThings,
    /// Have the altered unit of a motor control center evaluated.
    FieldEvaluation,
    /// Land the conductors on a terminal block of their own.
    TerminalBlock,
    /// Lead the cables to another side inside the box.
    CableDetour,
    /// Put a block between the old program and the new drive's network words.
    WordsBlock,
    /// Add a sensitive earth-fault relay to the branch.
    EarthFaultRelay,
    /// Fit a residual-current device of another type and rating.
    OtherResidualDevice,
    /// Fit the fuses or the breaker that the unit is listed with.
    ListedDevice,
    /// Replace the disconnect between drive and motor by one with the rating of the path.
    RatedDisconnect,
    /// Run new supply conductors.
    NewConductors,
    /// Run a new protective earth conductor.
    NewEarthConductor,
    /// Run a new motor cable.
    NewMotorCable,
    /// Fit a line reactor of 3 %.
    LineReactor,
    /// Take the old line reactor out.
    NoLineReactor,
    /// Fit a harmonic filter.
    HarmonicFilter,
    /// Leave line power on, and start and stop by a control input.
    ControlStart,
    /// Fit the filter for the motor cable.
    MotorFilter,
    /// Lead bearing currents past the bearings.
    ShaftEarthing,
    /// Take the old output filter out.
    NoOutputFilter,
    /// Take capacitors at the motor out.
    NoCapacitors,
    /// Give the output switch an early-break contact.
    EarlyBreakContact,
    /// Interlock the bypass mechanically.
    MechanicalInterlock,
    /// Put time between drive and bypass.
    TransferTimer,
    /// Give the bypass an overload relay.
    BypassOverload,
    /// Feed the motor's brake from its own supply.
    BrakeSupply,
    /// Read the winding sensor by a relay.
    SensorRelay,
    /// Give the motor leads a raceway of their own.
    OwnRaceway,
    /// Fit a new brake resistor.
    NewResistor,
    /// Let the resistor's thermal contact drop the line.
    LineTrip,
    /// Fit the modules and interposing parts of the crosswalk of conductors.
    ControlParts,
    /// Prove the encoder's direction by hand before the loop is closed.
    EncoderTrial,
    /// Enter the settings by their meaning, from the sheet, and compare afterwards.
    SettingsSheet,
    /// Switch the protection on that somebody had switched off.
    ProtectionOn,
    /// Build the logic anew that the old drive held.
    LogicRebuilt,
    /// Set the unit so that nothing starts by itself and it stops as needed.
    SafeHabits,
    /// Wire the permissives into the stop circuit.
    PermissivesWired,
    /// Take the link across safe torque off out, or fit it where nothing is wired.
    SafeOffLink,
}

impl Measure {
    /// Whether nothing has to be ordered for it: a setting, a wire, a line of a program, something taken out or moved.
    #[must_use]
    pub const fn is_work_alone(self) -> bool {
        matches!(
            self,
            Self::LinksOut
                | Self::PlateVoltsAndHertz
                | Self::ScalarControl
                | Self::LowestCarrier
                | Self::MovedThings
                | Self::FieldEvaluation
                | Self::WordsBlock
                | Self::NoLineReactor
                | Self::ControlStart
                | Self::NoOutputFilter
                | Self::NoCapacitors
                | Self::EncoderTrial
                | Self::SettingsSheet
                | Self::ProtectionOn
                | Self::SafeHabits
                | Self::PermissivesWired
                | Self::SafeOffLink
        )
    }

    /// Whether it is worth its price only where the fault is certain: while a reading may show that nothing is wrong, the reading
    /// comes first. The other measures are settings and small work, or belong to the order of the unit.
    #[must_use]
    pub const fn waits_for_certainty(self) -> bool {
        match self {
            Self::LinksOut
            | Self::PlateVoltsAndHertz
            | Self::ScalarControl
            | Self::MotorOverloads
            | Self::Blower
            | Self::Chopper
            | Self::LowestCarrier
            | Self::WordsBlock
            | Self::SettingsSheet
            | Self::SafeHabits
            | Self::PermissivesWired
            | Self::SafeOffLink => false,
            Self::FilterFan
            | Self::Exchanger
            | Self::CoolingUnit
            | Self::ThroughWall
            | Self::EnclosureKit
            | Self::CoverPlate
            | Self::MovedThings
            | Self::FieldEvaluation
            | Self::TerminalBlock
            | Self::CableDetour
            | Self::EarthFaultRelay
            | Self::OtherResidualDevice
            | Self::ListedDevice
            | Self::RatedDisconnect
            | Self::NewConductors
            | Self::NewEarthConductor
            | Self::NewMotorCable
            | Self::LineReactor
            | Self::NoLineReactor
            | Self::HarmonicFilter
            | Self::ControlStart
            | Self::MotorFilter
            | Self::ShaftEarthing
            | Self::NoOutputFilter
            | Self::NoCapacitors
            | Self::EarlyBreakContact
            | Self::MechanicalInterlock
            | Self::TransferTimer
            | Self::BypassOverload
            | Self::BrakeSupply
            | Self::SensorRelay
            | Self::OwnRaceway
            | Self::NewResistor
            | Self::LineTrip
            | Self::ProtectionOn
            | Self::LogicRebuilt
            | Self::ControlParts
            | Self::EncoderTrial => true,
        }
    }
}

/// A set of measures.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Measures(u64);

impl Measures {
    /// With one more.
    #[must_use]
    pub const fn with(self, measure: Measure) -> Self {
        Self(self.0 | 1 << measure as u64)
    }

    /// Without one.
    #[must_use]
    pub const fn without(self, measure: Measure) -> Self {
        Self(self.0 & !(1 << measure as u64))
    }

    /// Whether it is in.
    #[must_use]
    pub const fn has(self, measure: Measure) -> bool {
        self.0 >> measure as u64 & 1 == 1
    }

    /// True when none is in.
    #[must_use]
    pub const fn is_empty(self) -> bool {
        self.0 == 0
    }

    /// The set as a number, to be told apart from others by.
    #[must_use]
    pub const fn word(self) -> u64 {
        self.0
    }
}

/// What a measure costs, in money of the pack and minutes of work.
#[derive(Clone, Debug, PartialEq)]
pub struct Remedy {
    /// What it is.
    pub measure: Measure,
    /// What is done, in the trade's words.
    pub what: String,
    /// Price of parts; `None` when the pack or site does not say.
    pub parts: Option<f64>,
    /// Minutes of an electrician.
    pub minutes: f64,
}

/// One rating of one series, for one position.
#[derive(Clone, Debug)]
pub struct Candidate<'a> {
    /// Series.
    pub series: &'a Series,
    /// Rating, with its duty class.
    pub rating: &'a Rating,
    /// Its frame.
    pub frame: &'a Frame,
    /// Its voltage class.
    pub class: &'a VoltageClass,
    /// Overload points of its duty class.
    pub overloads: Vec<OverloadPoint>,
    /// What is done to it.
    pub measures: Measures,
    curves: Curves<'a>,
}

/// The curves that hold for one rating, looked up once.
#[derive(Clone, Debug, Default)]
struct Curves<'a>([&'a [(f64, f64)]; 7]);

impl<'a> Curves<'a> {
    fn of(series: &'a Series, rating: &Rating) -> Self {
        let mut curves = Self::default();
        for (index, _) in DerateKind::INFO.words.iter().enumerate() {
            if let Some(kind) = DerateKind::from_index(index)
                && let Some(derate) = series.derate(kind, rating)
            {
                curves.0[index] = &derate.points;
            }
        }
        curves
    }

    /// Factor at a value; 1 where the pack has no such curve, 0 where the value lies beyond the last point.
    fn at(&self, kind: DerateKind, value: f64) -> f64 {
        let points = self.0[kind.index()];
        if points.is_empty() { 1.0 } else { Curve::unchecked(points).factor_at(value).unwrap_or(BEYOND) }
    }
}

/// Altitude and air temperature up to which a rating holds without a curve: IEC 61800-2 service conditions (from memory).
const UNREDUCED_ALTITUDE: Length = Length::m(1000.0);
/// As [`UNREDUCED_ALTITUDE`].
const UNREDUCED_AIR: Temperature = Temperature::c(40.0);

/// Factor where the unit's documents allow no operation at all.
const BEYOND: f64 = 0.0;

/// What is left of the rated current at the site's conditions.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reduced {
    /// All factors combined.
    pub factor: Ratio,
    /// Continuous current at the site.
    pub current: Current,
}

impl<'a> Candidate<'a> {
    /// Every rating of a series as a candidate; ratings whose frame or class the pack does not have are left out (the reader of
    /// packs reports them).
    pub fn all(series: &'a Series) -> impl Iterator<Item = Self> {
        series.ratings.iter().filter_map(move |rating| {
            Some(Self {
                series,
                rating,
                frame: series.frame(&rating.frame)?,
                class: series.class(&rating.class)?,
                overloads: points(series, rating.duty),
                measures: Measures::default(),
                curves: Curves::of(series, rating),
            })
        })
    }

    /// Its name: "series/code/duty".
    #[must_use]
    pub fn id(&self) -> String {
        format!("{}/{}/{}", self.series.id, self.rating.code, self.rating.duty.word())
    }

    /// Carrier frequency it will run at.
    ///
    /// # Errors
    /// When a fact behind it is open.
    pub fn carrier(&self, facts: &mut Reader<'_>) -> Result<Option<Frequency>, Stop> {
        let wanted = facts.find(WANTED_CARRIER)?;
        let lowest = self.curves.0[DerateKind::Carrier.index()].first().map(|(at, _)| Frequency::hz(*at));
        Ok(match wanted {
            Some(wanted) => Some(wanted),
            None if self.measures.has(Measure::LowestCarrier) => lowest.or(self.series.control.default_carrier),
            None => self.series.control.default_carrier,
        })
    }

    /// The carrier that [`Measure::LowestCarrier`] would set, where that would give more current.
    #[must_use]
    pub fn lower_carrier(&self) -> Option<Frequency> {
        let points = self.curves.0[DerateKind::Carrier.index()];
        let default = self.series.control.default_carrier?;
        let (at, factor) = points.first()?;
        (*at < default.in_hz() && *factor > self.curves.at(DerateKind::Carrier, default.in_hz())).then(|| Frequency::hz(*at))
    }

    /// Continuous current at the site: altitude, air temperature, carrier, mounting, phases and unbalance combined as the pack says.
    ///
    /// # Errors
    /// When a fact behind it is open.
    pub fn reduced<R: Recorder>(&self, facts: &mut Reader<'_>, rec: &mut R) -> Result<Reduced, Stop> {
        let air = crate::surroundings::inlet_air(facts, self, rec)?;
        self.reduced_in(facts, air, rec)
    }

    /// The same in air of a given temperature.
    ///
    /// # Errors
    /// When a fact behind it is open.
    pub fn reduced_in<R: Recorder>(&self, facts: &mut Reader<'_>, air: Temperature, rec: &mut R) -> Result<Reduced, Stop> {
        let has = |kind: DerateKind| !self.curves.0[kind.index()].is_empty();
        let mut factors = [("", Ratio::of_one(1.0)); 6];
        let mut count = 0;
        let mut take = |symbol: &'static str, name: &str, factor: f64, at: &dyn std::fmt::Display, rec: &mut R| {
            factors[count] = (symbol, Ratio::of_one(factor));
            count += 1;
            rec.step(|| {
                let note = if factor == BEYOND { format!("{at} lies outside what the unit's documents allow") } else { format!("at {at}") };
                Step::new(symbol, name, "", &PACK).gives(Ratio::of_one(factor)).note(note)
            });
        };
        let altitude = facts.get(ALTITUDE)?;
        if !has(DerateKind::Altitude) && altitude > UNREDUCED_ALTITUDE {
            return Err(Stop::PackSilent("what is left of the current above 1000 m (derates.csv, altitude)"));
        }
        if has(DerateKind::Altitude) {
            take("k_alt", "factor for altitude", self.curves.at(DerateKind::Altitude, altitude.in_m()), &altitude, rec);
        }
        if !has(DerateKind::AirTemperature) && air > UNREDUCED_AIR {
            return Err(Stop::PackSilent("what is left of the current above 40 °C (derates.csv, air-temperature)"));
        }
        if has(DerateKind::AirTemperature) {
            take("k_air", "factor for air temperature", self.curves.at(DerateKind::AirTemperature, air.in_kelvin()), &air, rec);
        }
        match self.carrier(facts)? {
            Some(carrier) if has(DerateKind::Carrier) => {
                take("k_car", "factor for carrier frequency", self.curves.at(DerateKind::Carrier, carrier.in_hz()), &carrier, rec);
            }
            None if has(DerateKind::Carrier) => {
                return Err(Stop::PackSilent("carrier frequency that the unit comes set to (default_carrier)"));
            }
            Some(_) if facts.find(WANTED_CARRIER)?.is_some() => {
                return Err(Stop::PackSilent("what is left of the current at another carrier frequency (derates.csv, carrier)"));
            }
            _ => {}
        }
        if has(DerateKind::SideBySide) && facts.get(MOUNTING)? == plant::choice::Mounting::SideBySide {
            take("k_side", "factor for mounting side by side", self.curves.at(DerateKind::SideBySide, 0.0), &"side by side", rec);
        }
        if facts.get(SUPPLY_PHASES)? == Phases::Single {
            if !has(DerateKind::SinglePhase) {
                return Err(Stop::PackSilent("what is left of the current on a single phase (derates.csv, single-phase)"));
            }
            take("k_1ph", "factor for a single-phase supply", self.curves.at(DerateKind::SinglePhase, 0.0), &"single phase", rec);
        }
        // One phase has nothing to be unbalanced with.
        if has(DerateKind::Unbalance) && facts.get(SUPPLY_PHASES)? == Phases::Three {
            let unbalance = facts.get(SUPPLY_UNBALANCE)?;
            take("k_unb", "factor for voltage unbalance", self.curves.at(DerateKind::Unbalance, unbalance.in_of_one()), &unbalance, rec);
        }
        let derated = derate::derated_current(self.rating.current, &factors[..count], self.series.combine, rec)?;
        Ok(Reduced { factor: derated.factor, current: derated.current })
    }

    /// Factor at a low output frequency.
    #[must_use]
    pub fn output_frequency_factor(&self, frequency: Frequency) -> Ratio {
        // Such a curve speaks of the lowest frequencies; beyond its last point its last factor holds.
        let points = self.curves.0[DerateKind::OutputFrequency.index()];
        let last = points.last().map_or(f64::INFINITY, |(at, _)| *at);
        Ratio::of_one(self.curves.at(DerateKind::OutputFrequency, frequency.in_hz().min(last)))
    }

    /// The largest multiple that is allowed for at least this long, 1 when none is.
    #[must_use]
    pub fn multiple_for(&self, seconds: f64) -> f64 {
        self.overloads.iter().filter(|p| p.time_s >= seconds).map(|p| p.multiple).fold(1.0, f64::max)
    }
}

/// The overload points of a duty class in the form that calculations take.
#[must_use]
pub fn points(series: &Series, duty: Duty) -> Vec<OverloadPoint> {
    series
        .overloads(duty)
        .map(|o| OverloadPoint {
            multiple: o.multiple.in_of_one(),
            time_s: o.time.in_s(),
            repeat_s: o.repeat.map(plant::quantity::Quantity::in_si),
        })
        .collect()
}

/// Source of what a pack says about an overload.
pub const PACK_OVERLOAD: Source = Source::new("overload points of the unit's pack", calc::sources::Knowledge::Pack);
