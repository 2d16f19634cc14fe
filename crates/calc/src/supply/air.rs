//! The air that the drive stands in: what altitude does to its density, its heat capacity and its insulation.

use plant::quantity::{Density, Length, Pressure, Ratio, Temperature, dim};

use crate::drive::derate::Curve;
use crate::registry::{Arguments, Calculation, Refusal, output, quantity, word};
use crate::sources::{DEFINITION, Knowledge, Source};
use crate::working::{Recorder, Step, Working};

/// The standard atmosphere.
pub const ATMOSPHERE: Source = Source::new("US Standard Atmosphere 1976 (ISA), troposphere", Knowledge::LookedUp);
/// Heat capacity of air in an enclosure.
pub const IEC_60890_K1: Source = Source::new("IEC TR 60890:2022 Annex K Table K.1", Knowledge::LookedUp);
/// Clearances above 2000 m.
pub const IEC_60664_A2: Source = Source::new("IEC 60664-1:2020 Table A.2; straight between its rows", Knowledge::LookedUp);

// US Standard Atmosphere 1976, tables 2 and 4 and their text: sea level, lapse rate of the lowest layer,
// standard gravity, molar mass of air, the gas constant of that document, the earth's radius of its conversion.
const SEA_LEVEL_K: f64 = 288.15;
const SEA_LEVEL_PA: f64 = 101_325.0;
const LAPSE_K_PER_M: f64 = -0.0065;
const GRAVITY: f64 = 9.806_65;
const MOLAR_KG: f64 = 0.028_964_4;
const GAS_CONSTANT: f64 = 8.314_32;
const EARTH_RADIUS_M: f64 = 6_356_766.0;
const LAYER_M: std::ops::RangeInclusive<f64> = -5_000.0..=11_000.0;

/// Drives are commonly rated to this altitude without derating.
const BASE_M: f64 = 1000.0;

/// What a height is measured as.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Height {
    /// As on a map.
    Geometric,
    /// Scaled for the fall of gravity with height; the atmosphere's formulas take this one.
    Geopotential,
}

/// Standard air at a height.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Air {
    /// Temperature of the standard atmosphere there (the room is warmer).
    pub temperature: Temperature,
    /// Pressure.
    pub pressure: Pressure,
    /// Density.
    pub density: Density,
    /// Density over that at sea level.
    pub to_sea_level: Ratio,
    /// Density over that at 1000 m, the altitude that drives are commonly rated to.
    pub to_1000_m: Ratio,
}

fn state(geopotential_m: f64) -> (f64, f64, f64) {
    let t = SEA_LEVEL_K + LAPSE_K_PER_M * geopotential_m;
    let p = SEA_LEVEL_PA * (SEA_LEVEL_K / t).powf(GRAVITY * MOLAR_KG / (GAS_CONSTANT * LAPSE_K_PER_M));
    (t, p, p * MOLAR_KG / (GAS_CONSTANT * t))
}

fn geopotential(geometric_m: f64) -> f64 {
    EARTH_RADIUS_M * geometric_m / (EARTH_RADIUS_M + geometric_m)
}

/// Temperature, pressure and density of the standard atmosphere.
///
/// H = r·Z/(r + Z); T = 288.15 K − 0.0065 K/m · H; p = 101325 Pa · (288.15 K/T)^(g·M/(R·L)); ρ = p·M/(R·T), with
/// L = −0.0065 K/m. Units: m, K, Pa, kg/m³. Valid from −5 km to 11 km geopotential.
///
/// # Errors
/// Outside these heights.
///
/// Source: US Standard Atmosphere 1976. Worked example: 1500 m (geometric) give 278.40 K, 84 560 Pa, 1.058 kg/m³.
/// ```
/// use calc::{supply::air::{Height, standard_air}, working::Silent};
/// use plant::quantity::Length;
/// let air = standard_air(Length::m(1500.0), Height::Geometric, &mut Silent).unwrap();
/// assert!((air.temperature.in_kelvin() - 278.402).abs() < 0.01);
/// assert!((air.pressure.in_pa() - 84_559.7).abs() < 5.0);
/// assert!((air.density.in_kg_m3() - 1.0581).abs() < 2e-4);
/// ```
pub fn standard_air<R: Recorder>(altitude: Length, height: Height, rec: &mut R) -> Result<Air, Refusal> {
    let h = match height {
        Height::Geometric => geopotential(altitude.in_m()),
        Height::Geopotential => altitude.in_m(),
    };
    if !LAYER_M.contains(&h) {
        return Err(Refusal::new(format!("the lowest layer of the standard atmosphere reaches from -5 km to 11 km, not to {altitude}")));
    }
    let ((t, p, rho), (_, _, sea), (_, _, base)) = (state(h), state(0.0), state(geopotential(BASE_M)));
    let air = Air {
        temperature: Temperature::kelvin(t),
        pressure: Pressure::pa(p),
        density: Density::kg_m3(rho),
        to_sea_level: Ratio::of_one(rho / sea),
        to_1000_m: Ratio::of_one(rho / base),
    };
    if rec.keeps() {
        // Six digits, because the two heights differ in the fourth.
        let metres = format!("{} m", plant::quantity::digits(h, 6));
        if height == Height::Geometric {
            rec.step(|| {
                Step::new("H", "geopotential height", "r·Z/(r + Z)", &ATMOSPHERE)
                    .with("r", Length::m(EARTH_RADIUS_M))
                    .with("Z", altitude)
                    .gives(metres.clone())
            });
        }
        let exponent = GRAVITY * MOLAR_KG / (GAS_CONSTANT * LAPSE_K_PER_M);
        rec.step(|| {
            Step::new("T", "standard temperature", "288.15 K − 0.0065 K/m·H", &ATMOSPHERE)
                .with("H", metres.clone())
                .gives(format!("{t:.2} K"))
        });
        rec.step(|| {
            Step::new("p", "standard pressure", "101325 Pa·(288.15 K/T)^x", &ATMOSPHERE)
                .with("T", format!("{t:.2} K"))
                .with("x", exponent)
                .gives(air.pressure)
                .note("x = g·M/(R·L) = 9.80665·0.0289644/(8.31432·(−0.0065))")
        });
        rec.step(|| {
            Step::new("ρ", "density", "p·M/(R·T)", &ATMOSPHERE)
                .with("p", air.pressure)
                .with("M", "0.0289644 kg/mol")
                .with("R", "8.31432 J/(mol·K)")
                .with("T", format!("{t:.2} K"))
                .gives(air.density)
        });
        rec.step(|| {
            Step::new("k_ρ", "density relative to 1000 m", "ρ/ρ_1000", &DEFINITION)
                .with("ρ", air.density)
                .with("ρ_1000", Density::kg_m3(base))
                .gives(air.to_1000_m)
                .note("physics of convection only; the unit's own derating curve decides")
        });
    }
    Ok(air)
}

/// The factor by which the heat capacity of a volume of air falls with altitude.
///
/// Table, straight between its rows; 1 at and below sea level. Valid to 3000 m.
///
/// # Errors
/// Above 3000 m, where the table ends.
///
/// Source: IEC TR 60890:2022 Annex K Table K.1. Worked example: 1500 m give 0.84.
/// ```
/// use calc::{supply::air::air_heat_capacity, working::Silent};
/// use plant::quantity::Length;
/// assert!((air_heat_capacity(Length::m(1500.0), &mut Silent).unwrap().in_of_one() - 0.84).abs() < 1e-9);
/// ```
pub fn air_heat_capacity<R: Recorder>(altitude: Length, rec: &mut R) -> Result<Ratio, Refusal> {
    HEAT_CAPACITY.read("heat capacity of air relative to sea level", altitude, &IEC_60890_K1, rec)
}

const HEAT_CAPACITY: Curve<'static> =
    Curve::unchecked(&[(0.0, 1.0), (1000.0, 0.89), (1500.0, 0.84), (2000.0, 0.80), (2500.0, 0.75), (3000.0, 0.71)]);

/// The factor that a clearance grows by with altitude.
///
/// Table, straight between its rows; 1 up to 2000 m. Valid to 20 000 m. A unit whose documents end at a lower
/// altitude may not be used above it, whatever this factor says.
///
/// # Errors
/// Above 20 000 m.
///
/// Source: IEC 60664-1:2020 Table A.2. Worked example: 3000 m give 1.14.
/// ```
/// use calc::{supply::air::clearance_factor, working::Silent};
/// use plant::quantity::Length;
/// assert!((clearance_factor(Length::m(3000.0), &mut Silent).unwrap().in_of_one() - 1.14).abs() < 1e-9);
/// ```
pub fn clearance_factor<R: Recorder>(altitude: Length, rec: &mut R) -> Result<Ratio, Refusal> {
    CLEARANCE.read("altitude factor of clearances", altitude, &IEC_60664_A2, rec)
}

const CLEARANCE: Curve<'static> = Curve::unchecked(&[
    (2000.0, 1.0),
    (3000.0, 1.14),
    (4000.0, 1.29),
    (5000.0, 1.48),
    (6000.0, 1.70),
    (7000.0, 1.95),
    (8000.0, 2.25),
    (9000.0, 2.62),
    (10_000.0, 3.02),
    (15_000.0, 6.67),
    (20_000.0, 14.5),
]);

/// `calc altitude-air`.
pub const ALTITUDE_AIR: Calculation = Calculation {
    name: "altitude-air",
    summary: "Temperature, pressure and density of the standard atmosphere at an altitude.",
    inputs: &[
        quantity::<dim::LengthDim>("altitude", "height above sea level"),
        word("height", &["geometric", "geopotential"], "what the height is: as on a map, or as in the atmosphere's formulas"),
    ],
    results: &[
        output::<dim::TemperatureDim>("temperature", "°C", "standard temperature"),
        output::<dim::PressureDim>("pressure", "kPa", "standard pressure"),
        output::<dim::DensityDim>("density", "kg/m³", "density"),
        output::<dim::RatioDim>("to-sea-level", "%", "density over that at sea level"),
        output::<dim::RatioDim>("to-1000-m", "%", "density over that at 1000 m"),
    ],
    sources: &[&ATMOSPHERE],
    run: |a: &Arguments, w: &mut Working| {
        let height = if a.word("height") == "geopotential" { Height::Geopotential } else { Height::Geometric };
        let air = standard_air(a.get("altitude"), height, w)?;
        Ok(vec![air.temperature.in_si(), air.pressure.in_si(), air.density.in_si(), air.to_sea_level.in_si(), air.to_1000_m.in_si()])
    },
};

/// `calc air-heat-capacity`.
pub const AIR_HEAT_CAPACITY: Calculation = Calculation {
    name: "air-heat-capacity",
    summary: "Factor by which the heat capacity of air falls with altitude.",
    inputs: &[quantity::<dim::LengthDim>("altitude", "height above sea level, to 3000 m")],
    results: &[output::<dim::RatioDim>("factor", "pu", "heat capacity relative to sea level")],
    sources: &[&IEC_60890_K1],
    run: |a: &Arguments, w: &mut Working| Ok(vec![air_heat_capacity(a.get("altitude"), w)?.in_si()]),
};

/// `calc clearance-altitude`.
pub const CLEARANCE_ALTITUDE: Calculation = Calculation {
    name: "clearance-altitude",
    summary: "Factor by which a clearance grows with altitude above 2000 m.",
    inputs: &[quantity::<dim::LengthDim>("altitude", "height above sea level, to 20 000 m")],
    results: &[output::<dim::RatioDim>("factor", "pu", "multiplies the clearance needed up to 2000 m")],
    sources: &[&IEC_60664_A2],
    run: |a: &Arguments, w: &mut Working| Ok(vec![clearance_factor(a.get("altitude"), w)?.in_si()]),
};

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::working::Silent;

    #[test]
    fn density_relative_to_1000_m_is_the_quotient_of_the_published_densities() {
        // US Standard Atmosphere 1976: 1.11166, 1.00655 and 0.909254 kg/m³ at 1, 2 and 3 km, as in tests/published/air.csv.
        for (m, published) in [(1000.0, 1.0), (2000.0, 1.00655 / 1.11166), (3000.0, 0.909_254 / 1.11166)] {
            let air = standard_air(Length::m(m), Height::Geometric, &mut Silent).unwrap();
            assert!((air.to_1000_m.in_of_one() - published).abs() < 2e-5, "{m} m: {}", air.to_1000_m.in_of_one());
        }
    }

    #[test]
    fn tables_rise_in_altitude_and_end_where_the_standard_ends() {
        for table in [HEAT_CAPACITY, CLEARANCE] {
            assert!(table.points().windows(2).all(|p| p[0].0 < p[1].0));
        }
        assert!(air_heat_capacity(Length::m(3001.0), &mut Silent).is_err());
        assert!(clearance_factor(Length::m(20_001.0), &mut Silent).is_err());
        assert!(standard_air(Length::m(12_000.0), Height::Geometric, &mut Silent).is_err());
        assert!(standard_air(Length::m(f64::NAN), Height::Geometric, &mut Silent).is_err());
    }

    proptest! {
        #[test]
        fn thinner_with_height(low in -400.0f64..9000.0, rise in 1.0f64..1000.0) {
            let air = |m| standard_air(Length::m(m), Height::Geometric, &mut Silent).unwrap();
            prop_assert!(air(low + rise).density < air(low).density);
            prop_assert!(air(low + rise).pressure < air(low).pressure);
            // Gravity falls with height, so that the geopotential height is the smaller one and its air the denser.
            let low = low.max(1.0);
            let other = standard_air(Length::m(low), Height::Geopotential, &mut Silent).unwrap();
            prop_assert!(other.density < air(low).density);
        }

        #[test]
        fn factors_move_one_way(a in 0.0f64..3000.0, b in 0.0f64..3000.0) {
            let (low, high) = (Length::m(a.min(b)), Length::m(a.max(b)));
            let heat = |m| air_heat_capacity(m, &mut Silent).unwrap().in_of_one();
            prop_assert!(heat(high) <= heat(low) && heat(high) > 0.0 && heat(low) <= 1.0);
            let gap = |m| clearance_factor(m, &mut Silent).unwrap().in_of_one();
            prop_assert!(gap(high) >= gap(low) && gap(low) >= 1.0);
        }
    }
}
