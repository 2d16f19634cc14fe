//! What the number of a setting is a number of: the definitions under which units write the same physical value, and the law that
//! leads from one to the other. The traps are those of the vocabulary; the laws follow from the definitions (derived).

use crate::choice::{Choice, ChoiceInfo, Word, choices};
use crate::quantity::{Dimension, DimensionInfo, dim};

/// A quantity that a setting's number may be a share of, or lead to. All in SI.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Base {
    /// The highest output frequency that is set, Hz.
    MaximumFrequency,
    /// The motor's base frequency that is set, Hz.
    BaseFrequency,
    /// The frequency that a full reference stands for, Hz.
    ReferenceFrequency,
    /// The motor's base voltage that is set, V.
    BaseVoltage,
    /// The motor's rated current that is set, A.
    MotorCurrent,
    /// The unit's rated output current, A.
    UnitCurrent,
    /// The motor's rated torque, N·m.
    MotorTorque,
    /// The torque that the unit's rated current stands for, N·m: motor torque × unit current / motor current.
    UnitTorque,
    /// Output frequency of one rad/s of the shaft without slip, Hz·s: pole pairs / 2π.
    HertzPerSpeed,
    /// Rated slip as a frequency, Hz.
    RatedSlip,
    /// Peak of the nominal supply voltage, V: √2 × line-to-line rms.
    NominalBus,
    /// Inertia per second of starting time, kg·m²/s: rated torque / rated speed.
    InertiaPerSecond,
    /// Gain of the same regulator.
    Gain,
    /// Time of the acceleration ramp as it is set, s.
    RampTime,
}

impl Base {
    /// What people call it.
    #[must_use]
    pub const fn text(self) -> &'static str {
        match self {
            Self::MaximumFrequency => "maximum output frequency",
            Self::BaseFrequency => "motor base frequency",
            Self::ReferenceFrequency => "reference frequency",
            Self::BaseVoltage => "motor base voltage",
            Self::MotorCurrent => "motor rated current",
            Self::UnitCurrent => "unit rated current",
            Self::MotorTorque => "motor rated torque (power, speed)",
            Self::UnitTorque => "torque at the unit's rated current",
            Self::HertzPerSpeed => "pole pairs (rated frequency and speed)",
            Self::RatedSlip => "rated slip (rated frequency and speed)",
            Self::NominalBus => "nominal supply voltage",
            Self::InertiaPerSecond => "motor rated torque and speed",
            Self::Gain => "gain of the same regulator",
            Self::RampTime => "acceleration ramp",
        }
    }

    /// The concept that sets it on a unit, where one does.
    #[must_use]
    pub const fn concept(self) -> Option<&'static str> {
        match self {
            Self::MaximumFrequency => Some("maximum-output-frequency"),
            Self::BaseFrequency => Some("motor-frequency"),
            Self::ReferenceFrequency => Some("reference-frequency"),
            Self::BaseVoltage => Some("motor-voltage"),
            Self::MotorCurrent => Some("motor-current"),
            Self::RampTime => Some("acceleration-ramp"),
            _ => None,
        }
    }
}

/// How the number of a setting, in SI, leads to the physical value.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Law {
    /// It is the value.
    Same,
    /// value = number × factor.
    Factor(f64),
    /// value = 1 / number.
    Inverse,
    /// value = number × base.
    Times(Base),
    /// value = base / number.
    Over(Base),
    /// No value follows from the number alone.
    None,
}

choices! {
    /// What the number of a setting is a number of.
    Definition "definition of a setting" {
        Plain "plain" "The value itself.";
        ToMaximum "to-maximum" "Seconds from standstill to the maximum frequency.";
        ToBase "to-base" "Seconds from standstill to the motor's base frequency.";
        ToReference "to-reference" "Seconds from standstill to the reference frequency.";
        BetweenSetpoints "between-setpoints" "Seconds for each change of setpoint, however small.";
        OfMaximum "of-maximum" "A share of the maximum frequency.";
        OfBase "of-base" "A share of the motor's base frequency.";
        OfReference "of-reference" "A share of the reference frequency.";
        ShaftSpeed "shaft-speed" "A speed of the shaft, without slip.";
        OfRatedSlip "of-rated-slip" "A share of the motor's rated slip.";
        OfMotorCurrent "of-motor-current" "A share of the motor's rated current.";
        OfUnitCurrent "of-unit-current" "A share of the unit's rated output current.";
        OfMotorTorque "of-motor-torque" "A share of the motor's rated torque.";
        OfUnitTorque "of-unit-torque" "A share of the torque that the unit's rated current stands for.";
        OfBaseVoltage "of-base-voltage" "A share of the motor's base voltage.";
        OfNominalBus "of-nominal-bus" "A share of the peak of the nominal supply voltage.";
        Poles "poles" "Poles: 2, 4, 6 …";
        PolePairs "pole-pairs" "Pairs of poles: 1, 2, 3 …";
        FullWidth "full-width" "The whole width of a band.";
        HalfWidth "half-width" "The width of a band to each side of its middle.";
        InsideRamp "inside-ramp" "Rounding at each end, inside the time of the ramp.";
        AddedToRamp "added-to-ramp" "Rounding at each end, added on top of the time of the ramp.";
        ShareInside "share-inside" "Rounding at each end as a share of the time of the ramp, inside it.";
        ShareAdded "share-added" "Rounding at each end as a share of the time of the ramp, added on top.";
        PerPhase "per-phase" "One phase of the star.";
        LineToLine "line-to-line" "Measured between two terminals: two phases of the star.";
        IntegralTime "integral-time" "The time in which the integral part repeats the proportional part.";
        Repeats "repeats" "How often the integral part repeats the proportional part in a time.";
        IntegralGain "integral-gain" "An integral gain beside the gain (parallel form): gain / integral time.";
        Gain "gain" "Output per error.";
        ProportionalBand "proportional-band" "Error that drives the output through its whole span: 1 / gain.";
        MotorPerLoad "motor-per-load" "Turns of the motor for one turn of the load.";
        LoadPerMotor "load-per-motor" "Turns of the load for one turn of the motor.";
        Lines "lines" "Lines of the encoder disc: pulses of one channel per turn.";
        Edges "edges" "Counted edges of both channels per turn: four for each line.";
        StartingTime "starting-time" "Seconds to rated speed at rated torque.";
        Switching "switching" "Switching frequency of a bridge leg.";
        Ripple "ripple" "Frequency of the ripple in the output, twice that of a bridge leg.";
        LineRms "line-rms" "Line to line, rms.";
        LinePeak "line-peak" "Line to line, peak.";
        PhaseRms "phase-rms" "One phase of the star, rms.";
        PhasePeak "phase-peak" "One phase of the star, peak.";
    }
    /// How a number is kept in the object dictionary (CiA 301, basic data types; from memory).
    DataType "data type" {
        I8 "i8" "INTEGER8.";
        I16 "i16" "INTEGER16.";
        I32 "i32" "INTEGER32.";
        U8 "u8" "UNSIGNED8.";
        U16 "u16" "UNSIGNED16.";
        U32 "u32" "UNSIGNED32.";
    }
    /// How a setting may be written.
    Access "access to a setting" {
        Running "running" "It may be changed while the motor runs.";
        Stopped "stopped" "It may be changed at standstill only.";
        ReadOnly "read-only" "It is shown, not set.";
    }
    /// What a settings list holds.
    Extent "extent of a settings list" {
        Full "full" "Every setting of the unit.";
        ChangedOnly "changed-only" "Only what differs from the unit's defaults.";
    }
    /// What becomes of a setting.
    Outcome "outcome of a setting" {
        Carried "carried" "The same number means the same.";
        Converted "converted" "Another number that means the same.";
        Rounded "rounded" "The nearest number that the new unit takes; the difference is stated.";
        OutOfRange "out-of-range" "The new unit does not take this value.";
        NoCounterpart "no-counterpart" "The new unit has no such setting, or its pack gives it no meaning.";
        NeedsDecision "needs-decision" "A person has to decide.";
        LeftAtDefault "left-at-default" "Nothing is set: the new unit keeps its default.";
    }
}

impl DataType {
    /// Its code in the object dictionary: 0002h to 0007h.
    #[must_use]
    pub const fn code(self) -> u16 {
        match self {
            Self::I8 => 2,
            Self::I16 => 3,
            Self::I32 => 4,
            Self::U8 => 5,
            Self::U16 => 6,
            Self::U32 => 7,
        }
    }

    /// From that code.
    #[must_use]
    pub const fn from_code(code: u16) -> Option<Self> {
        Some(match code {
            2 => Self::I8,
            3 => Self::I16,
            4 => Self::I32,
            5 => Self::U8,
            6 => Self::U16,
            7 => Self::U32,
            _ => return None,
        })
    }

    /// Lowest and highest.
    #[must_use]
    pub const fn range(self) -> (i64, i64) {
        match self {
            Self::I8 => (-128, 127),
            Self::I16 => (-32_768, 32_767),
            Self::I32 => (-2_147_483_648, 2_147_483_647),
            Self::U8 => (0, 255),
            Self::U16 => (0, 65_535),
            Self::U32 => (0, 4_294_967_295),
        }
    }
}

impl Definition {
    /// The law that leads from the number to the value.
    #[must_use]
    pub const fn law(self) -> Law {
        use std::f64::consts::{FRAC_1_SQRT_2, SQRT_2};
        const SQRT_3: f64 = 1.732_050_807_568_877_2;
        match self {
            Self::Plain
            | Self::Poles
            | Self::FullWidth
            | Self::InsideRamp
            | Self::AddedToRamp
            | Self::PerPhase
            | Self::IntegralTime
            | Self::Gain
            | Self::MotorPerLoad
            | Self::Lines
            | Self::Switching
            | Self::LineRms => Law::Same,
            Self::ToMaximum => Law::Over(Base::MaximumFrequency),
            Self::ToBase => Law::Over(Base::BaseFrequency),
            Self::ToReference => Law::Over(Base::ReferenceFrequency),
            Self::BetweenSetpoints => Law::None,
            Self::OfMaximum => Law::Times(Base::MaximumFrequency),
            Self::OfBase => Law::Times(Base::BaseFrequency),
            Self::OfReference => Law::Times(Base::ReferenceFrequency),
            Self::ShaftSpeed => Law::Times(Base::HertzPerSpeed),
            Self::OfRatedSlip => Law::Times(Base::RatedSlip),
            Self::OfMotorCurrent => Law::Times(Base::MotorCurrent),
            Self::OfUnitCurrent => Law::Times(Base::UnitCurrent),
            Self::OfMotorTorque => Law::Times(Base::MotorTorque),
            Self::OfUnitTorque => Law::Times(Base::UnitTorque),
            Self::OfBaseVoltage => Law::Times(Base::BaseVoltage),
            Self::OfNominalBus => Law::Times(Base::NominalBus),
            Self::ShareInside | Self::ShareAdded => Law::Times(Base::RampTime),
            Self::StartingTime => Law::Times(Base::InertiaPerSecond),
            Self::PolePairs | Self::HalfWidth => Law::Factor(2.0),
            Self::LineToLine | Self::Ripple => Law::Factor(0.5),
            Self::Edges => Law::Factor(0.25),
            Self::LinePeak => Law::Factor(FRAC_1_SQRT_2),
            Self::PhaseRms => Law::Factor(SQRT_3),
            Self::PhasePeak => Law::Factor(SQRT_3 / SQRT_2),
            Self::Repeats | Self::ProportionalBand | Self::LoadPerMotor => Law::Inverse,
            Self::IntegralGain => Law::Over(Base::Gain),
        }
    }

    /// The dimension that the setting's own number has, where its value has the dimension `of`.
    #[must_use]
    pub const fn dimension(self, of: &'static DimensionInfo) -> &'static DimensionInfo {
        match self {
            Self::ToMaximum | Self::ToBase | Self::ToReference | Self::BetweenSetpoints | Self::StartingTime => dim::TimeDim::INFO,
            Self::OfMaximum
            | Self::OfBase
            | Self::OfReference
            | Self::OfRatedSlip
            | Self::OfMotorCurrent
            | Self::OfUnitCurrent
            | Self::OfMotorTorque
            | Self::OfUnitTorque
            | Self::OfBaseVoltage
            | Self::OfNominalBus
            | Self::ShareInside
            | Self::ShareAdded => dim::RatioDim::INFO,
            Self::ShaftSpeed => dim::SpeedDim::INFO,
            Self::Repeats | Self::IntegralGain => dim::RateDim::INFO,
            _ => of,
        }
    }

    /// Whether rounding of this kind lies inside the time of the ramp.
    #[must_use]
    pub const fn is_inside(self) -> bool {
        matches!(self, Self::InsideRamp | Self::ShareInside)
    }
}
