//! Physical quantities: one number type per dimension, with the units people write on plates and
//! in surveys. Inside, every value is in the SI unit that heads its dimension's table; adding amperes
//! to volts does not compile. At the edge, [`parse`] and [`Quantity::text`] turn text into values and back.
//!
//! To add a dimension: one entry in `dimensions!`. To add a unit: one line in that entry.

mod text;

use std::fmt;
use std::marker::PhantomData;
use std::ops::{Add, AddAssign, Div, Mul, Neg, Sub};

pub use text::{NotAQuantity, awg_area_m2, digits, parse, show, unit_named};

/// Which people use a unit: decides what a screen set to metric or US customary shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum System {
    /// Used everywhere.
    Both,
    /// SI and its habits.
    Metric,
    /// US customary.
    Us,
}

/// One unit of a dimension. `value in SI = number × factor + offset`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Unit {
    /// As printed.
    pub symbol: &'static str,
    /// Other spellings that are read; compared without case where the symbol itself allows it.
    pub aliases: &'static [&'static str],
    /// SI units in one of this unit.
    pub factor: f64,
    /// SI value at zero of this unit (only temperatures have one).
    pub offset: f64,
    /// Who uses it.
    pub system: System,
}

/// What is known of a dimension at run time: its name and its units, the SI unit first.
#[derive(Debug, PartialEq)]
pub struct DimensionInfo {
    /// Plain name, as used in messages: "electric current".
    pub name: &'static str,
    /// All units; the first is the SI unit that values are kept in.
    pub units: &'static [Unit],
}

/// A physical dimension, as a type.
pub trait Dimension: Copy + fmt::Debug + PartialEq + Send + Sync + 'static {
    /// Name and units.
    const INFO: &'static DimensionInfo;
}

/// A value of dimension `D`, kept in SI.
///
/// Values of one dimension add; values of two do not compile:
/// ```
/// use plant::quantity::{Current, Torque, Speed, Power};
/// assert_eq!(Current::a(40.0) + Current::ma(500.0), Current::a(40.5));
/// let power: Power = Torque::nm(100.0) * Speed::rad_s(150.0);
/// assert_eq!(power, Power::kw(15.0));
/// ```
/// ```compile_fail
/// use plant::quantity::{Current, Voltage};
/// let wrong = Current::a(40.0) + Voltage::v(460.0);
/// ```
/// ```compile_fail
/// use plant::quantity::{Torque, Speed, Current};
/// let wrong: Current = Torque::nm(100.0) * Speed::rad_s(150.0);
/// ```
#[derive(Clone, Copy, Default, PartialEq, PartialOrd)]
pub struct Quantity<D>(f64, PhantomData<D>);

impl<D: Dimension> Quantity<D> {
    /// Nothing of it.
    pub const ZERO: Self = Self::si(0.0);

    /// From a number of SI units.
    #[must_use]
    pub const fn si(value: f64) -> Self {
        Self(value, PhantomData)
    }

    /// As a number of SI units.
    #[must_use]
    pub const fn in_si(self) -> f64 {
        self.0
    }

    /// Without its sign.
    #[must_use]
    pub fn abs(self) -> Self {
        Self::si(self.0.abs())
    }

    /// The larger of both.
    #[must_use]
    pub fn max(self, other: Self) -> Self {
        Self::si(self.0.max(other.0))
    }

    /// The smaller of both.
    #[must_use]
    pub fn min(self, other: Self) -> Self {
        Self::si(self.0.min(other.0))
    }

    /// True when the value is a number (neither infinite nor not-a-number).
    #[must_use]
    pub fn is_finite(self) -> bool {
        self.0.is_finite()
    }

    /// As people read it: four significant digits and a fitting unit of `system`.
    ///
    /// ```
    /// use plant::quantity::{Current, System, Power};
    /// assert_eq!(Current::a(52.0).text(System::Metric), "52 A");
    /// assert_eq!(Power::hp(40.0).text(System::Us), "40 hp");
    /// assert_eq!(Power::hp(40.0).text(System::Metric), "29.83 kW");
    /// ```
    #[must_use]
    pub fn text(self, system: System) -> String {
        show(self.0, D::INFO, system)
    }
}

impl<D: Dimension> fmt::Debug for Quantity<D> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text(System::Metric))
    }
}

impl<D: Dimension> fmt::Display for Quantity<D> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&self.text(System::Metric))
    }
}

impl<D: Dimension> Add for Quantity<D> {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self::si(self.0 + other.0)
    }
}

impl<D: Dimension> AddAssign for Quantity<D> {
    fn add_assign(&mut self, other: Self) {
        self.0 += other.0;
    }
}

impl<D: Dimension> Sub for Quantity<D> {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self::si(self.0 - other.0)
    }
}

impl<D: Dimension> Neg for Quantity<D> {
    type Output = Self;
    fn neg(self) -> Self {
        Self::si(-self.0)
    }
}

impl<D: Dimension> Mul<f64> for Quantity<D> {
    type Output = Self;
    fn mul(self, factor: f64) -> Self {
        Self::si(self.0 * factor)
    }
}

impl<D: Dimension> Div<f64> for Quantity<D> {
    type Output = Self;
    fn div(self, divisor: f64) -> Self {
        Self::si(self.0 / divisor)
    }
}

/// Like over like is a bare number.
impl<D: Dimension> Div for Quantity<D> {
    type Output = f64;
    fn div(self, other: Self) -> f64 {
        self.0 / other.0
    }
}

/// `dimensions! { Name "plain name" { constructor reader "symbol" ["alias"…] factor offset System; … } }`
macro_rules! dimensions {
    ($($(#[$doc:meta])* $name:ident $dim:ident $plain:literal { $($make:ident $read:ident $symbol:literal [$($alias:literal)*] $factor:expr, $offset:literal $system:ident;)+ })+) => {
        /// The marker types behind the quantities.
        pub mod dim {
            $(
                #[doc = concat!("Marker of ", $plain, ".")]
                #[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd)]
                pub struct $dim;
                impl super::Dimension for $dim {
                    const INFO: &'static super::DimensionInfo = &super::DimensionInfo {
                        name: $plain,
                        units: &[$(super::Unit { symbol: $symbol, aliases: &[$($alias),*], factor: $factor, offset: $offset, system: super::System::$system }),+],
                    };
                }
            )+
        }
        $(
            $(#[$doc])*
            pub type $name = Quantity<dim::$dim>;
            impl Quantity<dim::$dim> {
                $(
                    #[doc = concat!("From a number of ", $symbol, ".")]
                    #[must_use]
                    pub const fn $make(value: f64) -> Self { Self::si(value * $factor + $offset) }
                    #[doc = concat!("As a number of ", $symbol, ".")]
                    #[must_use]
                    pub const fn $read(self) -> f64 { (self.0 - $offset) / $factor }
                )+
            }
        )+
        /// Every dimension.
        pub const DIMENSIONS: &[&DimensionInfo] = &[$(<dim::$dim as Dimension>::INFO),+];
    };
}

// Factors: 1 in = 25.4 mm and 1 lb = 0.45359237 kg are exact; 1 lbf = 4.4482216152605 N (standard gravity 9.80665 m/s²);
// 1 hp = 550 ft·lbf/s = 745.6998715822702 W (mechanical). AWG sizes are read by `parse` (ASTM B258).
dimensions! {
    /// Electric current, rms unless a name says otherwise; SI unit A.
    Current CurrentDim "electric current" {
        a in_a "A" ["amp" "amps" "ampere" "amperes"] 1.0, 0.0 Both;
        ka in_ka "kA" [] 1e3, 0.0 Both;
        ma in_ma "mA" [] 1e-3, 0.0 Both;
    }
    /// Voltage, line-to-line rms unless a name says otherwise; SI unit V.
    Voltage VoltageDim "voltage" {
        v in_v "V" ["volt" "volts" "Vac" "Vdc" "VAC" "VDC"] 1.0, 0.0 Both;
        kv in_kv "kV" [] 1e3, 0.0 Both;
        mv in_mv "mV" [] 1e-3, 0.0 Both;
    }
    /// Active power; SI unit W.
    Power PowerDim "power" {
        w in_w "W" ["watt" "watts"] 1.0, 0.0 Both;
        kw in_kw "kW" ["kilowatt" "kilowatts"] 1e3, 0.0 Metric;
        mw in_mw "MW" [] 1e6, 0.0 Metric;
        hp in_hp "hp" ["HP" "Hp" "horsepower"] 745.699_871_582_270_2, 0.0 Us;
    }
    /// Power in conductors and as heat, which nobody states in horsepower; SI unit W. [`Power::electric`] leads here.
    ElectricPower ElectricPowerDim "electric power" {
        we in_we "W" ["watt" "watts"] 1.0, 0.0 Both;
        kwe in_kwe "kW" ["kilowatt" "kilowatts"] 1e3, 0.0 Both;
        mwe in_mwe "MW" [] 1e6, 0.0 Both;
        btu_h in_btu_h "BTU/h" ["Btu/h" "BTU/hr" "BTUH" "btu/h"] 0.293_071_070_172_222_2, 0.0 Us;
    }
    /// Apparent power; SI unit VA.
    ApparentPower ApparentPowerDim "apparent power" {
        va in_va "VA" [] 1.0, 0.0 Both;
        kva in_kva "kVA" ["KVA"] 1e3, 0.0 Both;
        mva in_mva "MVA" [] 1e6, 0.0 Both;
    }
    /// Frequency; SI unit Hz.
    Frequency FrequencyDim "frequency" {
        hz in_hz "Hz" ["hertz" "cps"] 1.0, 0.0 Both;
        khz in_khz "kHz" [] 1e3, 0.0 Both;
    }
    /// Rotational speed; SI unit rad/s.
    Speed SpeedDim "rotational speed" {
        rad_s in_rad_s "rad/s" [] 1.0, 0.0 Metric;
        rpm in_rpm "rpm" ["r/min" "1/min" "min-1"] 0.104_719_755_119_659_77, 0.0 Both;
        rps in_rps "rev/s" ["r/s"] std::f64::consts::TAU, 0.0 Both;
    }
    /// Rotational acceleration; SI unit rad/s².
    AngularAcceleration AngularAccelerationDim "rotational acceleration" {
        rad_s2 in_rad_s2 "rad/s²" ["rad/s2"] 1.0, 0.0 Both;
    }
    /// Torque; SI unit N·m.
    Torque TorqueDim "torque" {
        nm in_nm "N·m" ["Nm" "N.m" "N*m"] 1.0, 0.0 Metric;
        lbft in_lbft "lb·ft" ["lb-ft" "lbft" "ft-lb" "ft·lb" "lb.ft" "lbf·ft" "lb*ft"] 1.355_817_948_331_400_4, 0.0 Us;
    }
    /// Moment of inertia (m·r², not G·D²); SI unit kg·m².
    Inertia InertiaDim "moment of inertia" {
        kgm2 in_kgm2 "kg·m²" ["kgm2" "kg·m2" "kg.m2" "kgm²" "kg*m2" "kg m2"] 1.0, 0.0 Metric;
        lbft2 in_lbft2 "lb·ft²" ["lbft2" "lb-ft2" "lb·ft2" "lb.ft2" "lbft²" "lb-ft²" "lb*ft2" "lb ft2"] 0.042_140_110_093_805, 0.0 Us;
    }
    /// Length and height; SI unit m.
    Length LengthDim "length" {
        m in_m "m" ["metre" "metres" "meter" "meters"] 1.0, 0.0 Metric;
        mm in_mm "mm" [] 1e-3, 0.0 Metric;
        cm in_cm "cm" [] 1e-2, 0.0 Metric;
        km in_km "km" [] 1e3, 0.0 Metric;
        inch in_inch "in" ["inch" "inches" "\""] 0.0254, 0.0 Us;
        ft in_ft "ft" ["feet" "foot" "'"] 0.3048, 0.0 Us;
    }
    /// Area, also a conductor's cross-section; SI unit m².
    Area AreaDim "area" {
        m2 in_m2 "m²" ["m2"] 1.0, 0.0 Metric;
        mm2 in_mm2 "mm²" ["mm2" "sqmm"] 1e-6, 0.0 Metric;
        kcmil in_kcmil "kcmil" ["MCM" "mcm"] 5.067_074_790_974_977e-7, 0.0 Us;
        in2 in_in2 "in²" ["in2"] 6.4516e-4, 0.0 Us;
    }
    /// Absolute temperature; SI unit K, shown in °C or °F.
    Temperature TemperatureDim "temperature" {
        kelvin in_kelvin "K" [] 1.0, 0.0 Metric;
        c in_c "°C" ["degC" "C" "deg C" "celsius"] 1.0, 273.15 Metric;
        f in_f "°F" ["degF" "F" "deg F" "fahrenheit"] 0.555_555_555_555_555_6, 255.372_222_222_222_2 Us;
    }
    /// A rise or fall of temperature; SI unit K.
    TemperatureRise TemperatureRiseDim "temperature difference" {
        dk in_dk "K" ["°C" "degC"] 1.0, 0.0 Metric;
        df in_df "°F" ["degF" "F"] 0.555_555_555_555_555_6, 0.0 Us;
    }
    /// Duration; SI unit s.
    Time TimeDim "time" {
        s in_s "s" ["sec" "second" "seconds"] 1.0, 0.0 Both;
        ms in_ms "ms" [] 1e-3, 0.0 Both;
        us in_us "µs" ["us" "μs"] 1e-6, 0.0 Both;
        minutes in_minutes "min" ["minute" "minutes"] 60.0, 0.0 Both;
        hours in_hours "h" ["hr" "hour" "hours"] 3600.0, 0.0 Both;
        days in_days "d" ["day" "days"] 86400.0, 0.0 Both;
        weeks in_weeks "weeks" ["week"] 604_800.0, 0.0 Both;
    }
    /// Mass; SI unit kg.
    Mass MassDim "mass" {
        kg in_kg "kg" [] 1.0, 0.0 Metric;
        lb in_lb "lb" ["lbs" "pound" "pounds"] 0.453_592_37, 0.0 Us;
    }
    /// Resistance; SI unit Ω.
    Resistance ResistanceDim "resistance" {
        ohm in_ohm "Ω" ["ohm" "ohms" "Ohm" "Ω"] 1.0, 0.0 Both;
        mohm in_mohm "mΩ" ["mohm" "milliohm"] 1e-3, 0.0 Both;
        kohm in_kohm "kΩ" ["kohm" "kOhm"] 1e3, 0.0 Both;
    }
    /// Inductance; SI unit H.
    Inductance InductanceDim "inductance" {
        henry in_henry "H" [] 1.0, 0.0 Both;
        mh in_mh "mH" [] 1e-3, 0.0 Both;
        uh in_uh "µH" ["uH" "μH"] 1e-6, 0.0 Both;
    }
    /// Capacitance; SI unit F.
    Capacitance CapacitanceDim "capacitance" {
        farad in_farad "F" [] 1.0, 0.0 Both;
        uf in_uf "µF" ["uF" "μF"] 1e-6, 0.0 Both;
        nf in_nf "nF" [] 1e-9, 0.0 Both;
    }
    /// Energy; SI unit J.
    Energy EnergyDim "energy" {
        j in_j "J" ["Ws"] 1.0, 0.0 Both;
        kj in_kj "kJ" [] 1e3, 0.0 Both;
        kwh in_kwh "kWh" [] 3.6e6, 0.0 Both;
    }
    /// Force; SI unit N.
    Force ForceDim "force" {
        n in_n "N" [] 1.0, 0.0 Metric;
        kn in_kn "kN" [] 1e3, 0.0 Metric;
        lbf in_lbf "lbf" [] 4.448_221_615_260_5, 0.0 Us;
    }
    /// Speed along a line; SI unit m/s.
    Velocity VelocityDim "velocity" {
        m_s in_m_s "m/s" [] 1.0, 0.0 Metric;
        m_min in_m_min "m/min" [] 0.016_666_666_666_666_666, 0.0 Metric;
        m_us in_m_us "m/µs" ["m/us"] 1e6, 0.0 Metric;
        ft_min in_ft_min "ft/min" ["fpm"] 0.005_08, 0.0 Us;
        ft_us in_ft_us "ft/µs" ["ft/us"] 304_800.0, 0.0 Us;
    }
    /// Pressure; SI unit Pa.
    Pressure PressureDim "pressure" {
        pa in_pa "Pa" [] 1.0, 0.0 Metric;
        kpa in_kpa "kPa" [] 1e3, 0.0 Metric;
        bar in_bar "bar" [] 1e5, 0.0 Metric;
        mpa in_mpa "MPa" [] 1e6, 0.0 Metric;
        gpa in_gpa "GPa" [] 1e9, 0.0 Metric;
        inwg in_inwg "in wg" ["inwg" "in w.g." "inH2O"] 249.088_91, 0.0 Us;
        psi in_psi "psi" [] 6_894.757_293_168_361, 0.0 Us;
        ksi in_ksi "ksi" [] 6_894_757.293_168_361, 0.0 Us;
    }
    /// Volume flow; SI unit m³/s.
    Flow FlowDim "volume flow" {
        m3_s in_m3_s "m³/s" ["m3/s"] 1.0, 0.0 Metric;
        m3_h in_m3_h "m³/h" ["m3/h"] 0.000_277_777_777_777_777_8, 0.0 Metric;
        gpm in_gpm "gpm" ["gal/min"] 6.309_019_64e-5, 0.0 Us;
        cfm in_cfm "cfm" ["ft3/min"] 4.719_474_432e-4, 0.0 Us;
    }
    /// Heat carried per kelvin of difference; SI unit W/K.
    ThermalConductance ThermalConductanceDim "heat per kelvin" {
        w_k in_w_k "W/K" [] 1.0, 0.0 Both;
    }
    /// Mass per volume; SI unit kg/m³.
    Density DensityDim "density" {
        kg_m3 in_kg_m3 "kg/m³" ["kg/m3"] 1.0, 0.0 Metric;
    }
    /// A ramp as rate of frequency; SI unit Hz/s.
    Slope SlopeDim "rate of frequency" {
        hz_s in_hz_s "Hz/s" [] 1.0, 0.0 Both;
    }
    /// A share, a multiple, a factor; kept as a plain number, shown in %.
    Ratio RatioDim "ratio" {
        of_one in_of_one "pu" ["" "x"] 1.0, 0.0 Both;
        percent in_percent "%" ["percent" "pct"] 0.01, 0.0 Both;
    }
    /// How many.
    Count CountDim "count" {
        of in_count "" ["poles" "ppr" "pcs" "x"] 1.0, 0.0 Both;
    }
    /// An angle: a phase; SI unit rad.
    Angle AngleDim "angle" {
        deg in_deg "°" ["deg"] 0.017_453_292_519_943_295, 0.0 Both;
        rad in_rad "rad" [] 1.0, 0.0 Both;
    }
    /// How often; SI unit 1/s.
    Rate RateDim "rate of events" {
        per_s in_per_s "1/s" ["/s"] 1.0, 0.0 Both;
        per_min in_per_min "1/min" ["/min" "per minute"] 0.016_666_666_666_666_666, 0.0 Both;
        per_h in_per_h "1/h" ["/h" "per hour"] 0.000_277_777_777_777_777_8, 0.0 Both;
    }
}

impl Power {
    /// The same as power in conductors or as heat.
    ///
    /// ```
    /// use plant::quantity::{Power, System};
    /// assert_eq!(Power::kw(12.0).electric().text(System::Us), "12 kW");
    /// assert_eq!(Power::kw(12.0).text(System::Us), "16.09 hp");
    /// ```
    #[must_use]
    pub const fn electric(self) -> ElectricPower {
        ElectricPower::si(self.in_si())
    }
}

impl ElectricPower {
    /// The same as power that calculations go on with.
    #[must_use]
    pub const fn power(self) -> Power {
        Power::si(self.in_si())
    }
}

/// `relations! { A * B = C; … }`: products that the equations use, and the quotients that follow.
macro_rules! relations {
    ($($a:ident * $b:ident = $c:ident;)+) => {$(
        impl Mul<$b> for $a { type Output = $c; fn mul(self, other: $b) -> $c { $c::si(self.0 * other.0) } }
        impl Mul<$a> for $b { type Output = $c; fn mul(self, other: $a) -> $c { $c::si(self.0 * other.0) } }
        impl Div<$b> for $c { type Output = $a; fn div(self, other: $b) -> $a { $a::si(self.0 / other.0) } }
        impl Div<$a> for $c { type Output = $b; fn div(self, other: $a) -> $b { $b::si(self.0 / other.0) } }
    )+};
}

relations! {
    Torque * Speed = Power;
    Inertia * AngularAcceleration = Torque;
    AngularAcceleration * Time = Speed;
    Power * Time = Energy;
    Force * Velocity = Power;
    Force * Length = Torque;
    Voltage * Current = ApparentPower;
    Current * Resistance = Voltage;
    Pressure * Flow = Power;
    Slope * Time = Frequency;
    Velocity * Time = Length;
}
