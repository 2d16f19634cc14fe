//! Cooling that a closed box cannot do alone: forced air, a filter fan, an air-to-air exchanger, a cooling unit.

use plant::quantity::{Area, Flow, Length, Power, Ratio, Temperature, TemperatureRise, dim};

use super::heat::{WALL_FORM, Wall, above_zero, loss_in_range, wall_heat};
use crate::registry::{Arguments, Calculation, Input, Refusal, output, quantity, quantity_or, word};
use crate::sources::{DEFINITION, Knowledge, Source};
use crate::supply::air::{ATMOSPHERE, Height, IEC_60890_K1, air_heat_capacity, standard_air};
use crate::working::{Recorder, Silent, Step, Working};

/// The constant that forms and handbooks use at sea level.
pub const FAN_RULE: Source = Source::new("q = 3.1 m³/h·K/W·P/ΔT at sea level", Knowledge::CommonPractice);
/// Dry air as an ideal gas.
pub const DRY_AIR: Source = Source::new("dry air as ideal gas: R = 287.05 J/(kg·K), c_p = 1007 J/(kg·K)", Knowledge::FromMemory);

/// Gas constant of dry air, J/(kg·K).
const R_DRY: f64 = 287.05;
/// Heat capacity of dry air, J/(kg·K): 1006 at 20 °C to 1008 at 60 °C.
const CP_DRY: f64 = 1007.0;
const RULE_M3_H_K_W: f64 = 3.1;
const SECONDS_PER_HOUR: f64 = 3600.0;
/// Air that enters a box; c_p is taken as constant over it.
const AIR_C: std::ops::RangeInclusive<f64> = -40.0..=80.0;

/// Where the constant f of q = f·P/ΔT comes from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum FanConstant {
    /// 3.1 m³/h·K/W, divided by the heat capacity of the air at the altitude (Table K.1, to 3000 m).
    Rule,
    /// 3600/(ρ·c_p) of dry air at this temperature, at the pressure of the standard atmosphere.
    Air(Temperature),
}

/// A flow of air and what it was worked out with.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ventilation {
    /// f of q = f·P/ΔT, m³/h·K/W.
    pub m3_h_k_per_w: f64,
    /// Air to be moved, with everything in its way.
    pub flow: Flow,
    /// Free flow that the fan's documents must state, filters and grilles in.
    pub free_flow: Flow,
}

fn fan_constant<R: Recorder>(constant: FanConstant, altitude: Length, rec: &mut R) -> Result<f64, Refusal> {
    match constant {
        FanConstant::Rule => {
            let air = air_heat_capacity(altitude, &mut Silent)?;
            let f = RULE_M3_H_K_W / air.in_of_one();
            rec.step(|| Step::new("k_h", "heat capacity of air relative to sea level", "", &IEC_60890_K1).gives(air));
            rec.step(|| Step::new("f", "fan constant, m³/h·K/W", "3.1/k_h", &FAN_RULE).with("k_h", air).gives(f));
            Ok(f)
        }
        FanConstant::Air(temperature) => {
            if !AIR_C.contains(&temperature.in_c()) {
                return Err(Refusal::new(format!("the air is between -40 and 80 °C, not {temperature}")));
            }
            let pressure = standard_air(altitude, Height::Geometric, &mut Silent)?.pressure;
            let density = pressure.in_pa() / (R_DRY * temperature.in_kelvin());
            let f = SECONDS_PER_HOUR / (density * CP_DRY);
            rec.step(|| {
                Step::new("p", "pressure of the standard atmosphere", "", &ATMOSPHERE).gives(pressure).note(format!("at {altitude}"))
            });
            rec.step(|| {
                Step::new("f", "fan constant, m³/h·K/W", "3600·R·T/(p·c_p)", &DRY_AIR)
                    .with("R", format!("{R_DRY} J/(kg·K)"))
                    .with("T", format!("{:.2} K", temperature.in_kelvin()))
                    .with("p", pressure)
                    .with("c_p", format!("{CP_DRY} J/(kg·K)"))
                    .gives(f)
            });
            Ok(f)
        }
    }
}

/// The air that carries a loss away.
///
/// q = f·P/ΔT; the fan's free flow is q over the share that filters, grilles and the box leave of it. Units: W, K, m³/h.
/// Heat through the walls is left out, on the safe side.
///
/// # Errors
/// When the rise is not above zero, the loss negative, the share outside (0, 1], or the altitude beyond the tables.
///
/// Source: common practice (3.1), or dry air. Worked example: 500 W at 15 K, 103.3 m³/h.
/// ```
/// use calc::{enclosure::cooling::{FanConstant, ventilation}, working::Silent};
/// use plant::quantity::{Length, Power, Ratio, TemperatureRise};
/// let share = Ratio::percent(70.0);
/// let air = ventilation(Power::w(500.0), TemperatureRise::dk(15.0), FanConstant::Rule, share, Length::ZERO, &mut Silent).unwrap();
/// assert!((air.flow.in_m3_h() - 103.33).abs() < 0.01 && (air.free_flow.in_m3_h() - 147.6).abs() < 0.1);
/// ```
pub fn ventilation<R: Recorder>(
    loss: Power,
    rise: TemperatureRise,
    constant: FanConstant,
    left_by_filters: Ratio,
    altitude: Length,
    rec: &mut R,
) -> Result<Ventilation, Refusal> {
    loss_in_range(loss)?;
    above_zero("the rise of the air", rise)?;
    let share = left_by_filters.in_of_one();
    if !(share > 0.0 && share <= 1.0) {
        return Err(Refusal::new(format!("filters leave a share above 0 and at most 100 % of the free flow, not {left_by_filters}")));
    }
    let f = fan_constant(constant, altitude, rec)?;
    let flow = Flow::m3_h(f * loss.in_w() / rise.in_dk());
    let free_flow = flow / share;
    rec.step(|| {
        Step::new("q", "air to be moved", "f·P/ΔT", &FAN_RULE)
            .with("f", f)
            .with("P", loss.electric())
            .with("ΔT", rise)
            .gives(flow)
            .note("f in m³/h·K/W; heat through the walls left out, on the safe side")
    });
    rec.step(|| {
        Step::new("q_0", "free flow of the fan", "q/s", &DEFINITION)
            .with("q", flow)
            .with("s", left_by_filters)
            .gives(free_flow)
            .note("s: what filters, grilles and the box leave of the free flow; dirty filters leave less")
    });
    Ok(Ventilation { m3_h_k_per_w: f, flow, free_flow })
}

/// The rise that a flow leaves: ΔT = f·P/q.
///
/// # Errors
/// When the flow is not above zero, the loss negative, or the altitude beyond the tables.
///
/// Source: as [`ventilation`]. Worked example: 500 W in 103.33 m³/h, 15 K.
/// ```
/// use calc::{enclosure::cooling::{FanConstant, ventilated_rise}, working::Silent};
/// use plant::quantity::{Flow, Length, Power};
/// let rise = ventilated_rise(Power::w(500.0), Flow::m3_h(103.33), FanConstant::Rule, Length::ZERO, &mut Silent).unwrap();
/// assert!((rise.in_dk() - 15.0).abs() < 0.01);
/// ```
pub fn ventilated_rise<R: Recorder>(
    loss: Power,
    flow: Flow,
    constant: FanConstant,
    altitude: Length,
    rec: &mut R,
) -> Result<TemperatureRise, Refusal> {
    loss_in_range(loss)?;
    above_zero("the flow of air", flow)?;
    let f = fan_constant(constant, altitude, rec)?;
    let rise = TemperatureRise::dk(f * loss.in_w() / flow.in_m3_h());
    rec.step(|| Step::new("ΔT", "rise of the air", "f·P/q", &FAN_RULE).with("f", f).with("P", loss.electric()).with("q", flow).gives(rise));
    Ok(rise)
}

/// The climate that a box is to keep.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Climate {
    /// Losses inside.
    pub loss: Power,
    /// Effective cooling surface.
    pub surface: Area,
    /// What the walls are made of.
    pub wall: Wall,
    /// Warmest air allowed inside.
    pub inside: Temperature,
    /// Warmest air of the room.
    pub room: Temperature,
}

impl Climate {
    fn difference(&self) -> Result<TemperatureRise, Refusal> {
        let difference = TemperatureRise::dk(self.inside.in_kelvin() - self.room.in_kelvin());
        if difference.is_finite() { Ok(difference) } else { Err(Refusal::new("the temperatures inside and of the room are numbers")) }
    }
}

/// What an air-to-air exchanger must do.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Exchanger {
    /// Heat that the walls carry away.
    pub walls: Power,
    /// Heat left for the exchanger; zero when the walls are enough.
    pub heat: Power,
    /// W per K of difference that its documents must state, thin air made up for.
    pub w_per_k: f64,
}

/// The air-to-air exchanger that keeps a box at a temperature.
///
/// h = (P − k·A·ΔT)/ΔT, over the heat capacity of the air at the altitude. Units: W, K, W/K.
///
/// # Errors
/// When the inside is to be no warmer than the room: no exchanger does that. Above 3000 m.
///
/// Source: heat balance; wall form, common practice. Worked example: 1 kW, 3 m² of painted steel, 45 °C in 35 °C: 83.5 W/K.
/// ```
/// use calc::{enclosure::{cooling::{Climate, exchanger}, heat::Wall}, working::Silent};
/// use plant::quantity::{Area, Length, Power, Temperature};
/// let climate = Climate {
///     loss: Power::kw(1.0), surface: Area::m2(3.0), wall: Wall::PaintedSteel, inside: Temperature::c(45.0), room: Temperature::c(35.0),
/// };
/// assert!((exchanger(&climate, Length::ZERO, &mut Silent).unwrap().w_per_k - 83.5).abs() < 1e-9);
/// ```
pub fn exchanger<R: Recorder>(climate: &Climate, altitude: Length, rec: &mut R) -> Result<Exchanger, Refusal> {
    loss_in_range(climate.loss)?;
    let difference = climate.difference()?;
    if difference <= TemperatureRise::ZERO {
        return Err(Refusal::new(format!(
            "an exchanger leaves the inside warmer than the room; {} inside in a room of {} needs a cooling unit",
            climate.inside, climate.room
        )));
    }
    let walls = wall_heat(climate.surface, climate.wall, difference, rec)?;
    let heat = (climate.loss - walls).max(Power::ZERO);
    let air = air_heat_capacity(altitude, &mut Silent)?;
    let w_per_k = heat.in_w() / difference.in_dk() / air.in_of_one();
    rec.step(|| {
        Step::new("P_x", "heat left for the exchanger", "max(P − P_w, 0)", &DEFINITION)
            .with("P", climate.loss.electric())
            .with("P_w", walls.electric())
            .gives(heat.electric())
    });
    rec.step(|| {
        Step::new("h", "exchanger, W/K", "P_x/(ΔT·k_h)", &DEFINITION)
            .with("P_x", heat.electric())
            .with("ΔT", difference)
            .with("k_h", air)
            .gives(w_per_k)
            .note("k_h: heat capacity of air relative to sea level, IEC TR 60890:2022 Table K.1")
    });
    Ok(Exchanger { walls, heat, w_per_k })
}

/// What a cooling unit must do.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CoolingUnit {
    /// Heat that the walls carry out; negative when they let heat in.
    pub walls: Power,
    /// Heat that the unit must take at these temperatures; zero when the walls are enough.
    pub capacity: Power,
}

/// The cooling unit that keeps a box at a temperature, also below that of the room.
///
/// Q = P − k·A·(T_i − T_a): what the room sends in is added when it is the warmer one. The unit's documents state its
/// capacity at a pair of temperatures; thin air is theirs to state too. Units: W, K.
///
/// # Errors
/// When a temperature is no number, the surface not above zero or the loss negative.
///
/// Source: heat balance; wall form, common practice. Worked example: 1 kW, 3 m² of painted steel, 35 °C in 45 °C: 1165 W.
/// ```
/// use calc::{enclosure::{cooling::{Climate, cooling_unit}, heat::Wall}, working::Silent};
/// use plant::quantity::{Area, Power, Temperature};
/// let climate = Climate {
///     loss: Power::kw(1.0), surface: Area::m2(3.0), wall: Wall::PaintedSteel, inside: Temperature::c(35.0), room: Temperature::c(45.0),
/// };
/// assert!((cooling_unit(&climate, &mut Silent).unwrap().capacity.in_w() - 1165.0).abs() < 1e-9);
/// ```
pub fn cooling_unit<R: Recorder>(climate: &Climate, rec: &mut R) -> Result<CoolingUnit, Refusal> {
    loss_in_range(climate.loss)?;
    let walls = wall_heat(climate.surface, climate.wall, climate.difference()?, rec)?;
    let capacity = (climate.loss - walls).max(Power::ZERO);
    rec.step(|| {
        Step::new("Q", "capacity of the cooling unit", "max(P − P_w, 0)", &DEFINITION)
            .with("P", climate.loss.electric())
            .with("P_w", walls.electric())
            .gives(capacity.electric())
            .note(if walls < Power::ZERO { "the room is warmer and sends heat in" } else { "the walls help" })
    });
    Ok(CoolingUnit { walls, capacity })
}

const LOSS: Input = quantity::<dim::PowerDim>("loss", "heat losses of everything inside, at the duty");
const AIR: Input = quantity_or::<dim::TemperatureDim>("air", "", "temperature of the air that the fan moves; left out: the rule 3.1");
const ALTITUDE: Input = quantity_or::<dim::LengthDim>("altitude", "0 m", "height above sea level");

fn constant(a: &Arguments) -> FanConstant {
    a.get_opt("air").map_or(FanConstant::Rule, FanConstant::Air)
}

/// `calc ventilation`.
pub const VENTILATION: Calculation = Calculation {
    name: "ventilation",
    summary: "Air that carries a loss away at a rise, and the free flow of the filter fan.",
    inputs: &[
        LOSS,
        quantity::<dim::TemperatureRiseDim>("rise", "allowed rise of the air through the box"),
        quantity_or::<dim::RatioDim>("left-by-filters", "100 %", "what filters, grilles and the box leave of the fan's free flow"),
        AIR,
        ALTITUDE,
    ],
    results: &[
        output::<dim::FlowDim>("flow", "m³/h", "air to be moved"),
        output::<dim::FlowDim>("free-flow", "m³/h", "free flow of the fan"),
        output::<dim::CountDim>("constant", "", "fan constant, in m³/h·K/W"),
    ],
    sources: &[&FAN_RULE, &DRY_AIR, &ATMOSPHERE, &IEC_60890_K1],
    run: |a: &Arguments, w: &mut Working| {
        let v = ventilation(a.get("loss"), a.get("rise"), constant(a), a.get("left-by-filters"), a.get("altitude"), w)?;
        Ok(vec![v.flow.in_si(), v.free_flow.in_si(), v.m3_h_k_per_w])
    },
};

/// `calc ventilated-rise`.
pub const VENTILATED_RISE: Calculation = Calculation {
    name: "ventilated-rise",
    summary: "Rise of the air that a flow leaves.",
    inputs: &[LOSS, quantity::<dim::FlowDim>("flow", "air moved, filters in"), AIR, ALTITUDE],
    results: &[output::<dim::TemperatureRiseDim>("rise", "K", "rise of the air")],
    sources: &[&FAN_RULE, &DRY_AIR, &ATMOSPHERE, &IEC_60890_K1],
    run: |a: &Arguments, w: &mut Working| {
        Ok(vec![ventilated_rise(a.get("loss"), a.get("flow"), constant(a), a.get("altitude"), w)?.in_si()])
    },
};

const SURFACE: Input = quantity::<dim::AreaDim>("surface", "effective cooling surface of the box");
const WALL: Input = word("wall", &Wall::WORDS, "what the walls are made of");
const INSIDE: Input = quantity::<dim::TemperatureDim>("inside", "warmest air allowed inside");
const ROOM: Input = quantity::<dim::TemperatureDim>("room", "warmest air of the room");

fn climate(a: &Arguments) -> Result<Climate, Refusal> {
    let wall = Wall::from_word(a.word("wall")).ok_or_else(|| Refusal::new("no such wall"))?;
    Ok(Climate { loss: a.get("loss"), surface: a.get("surface"), wall, inside: a.get("inside"), room: a.get("room") })
}

/// `calc exchanger`.
pub const EXCHANGER: Calculation = Calculation {
    name: "exchanger",
    summary: "Air-to-air exchanger that keeps a box at a temperature above the room's.",
    inputs: &[LOSS, SURFACE, INSIDE, ROOM, WALL, ALTITUDE],
    results: &[
        output::<dim::CountDim>("w-per-k", "", "W per K of difference that its documents must state"),
        output::<dim::PowerDim>("heat", "W", "heat left for the exchanger"),
        output::<dim::PowerDim>("walls", "W", "heat that the walls carry away"),
    ],
    sources: &[&DEFINITION, &WALL_FORM, &IEC_60890_K1],
    run: |a: &Arguments, w: &mut Working| {
        let x = exchanger(&climate(a)?, a.get("altitude"), w)?;
        Ok(vec![x.w_per_k, x.heat.in_si(), x.walls.in_si()])
    },
};

/// `calc cooling-unit`.
pub const COOLING_UNIT: Calculation = Calculation {
    name: "cooling-unit",
    summary: "Cooling unit that keeps a box at a temperature, also below the room's.",
    inputs: &[LOSS, SURFACE, INSIDE, ROOM, WALL],
    results: &[
        output::<dim::PowerDim>("capacity", "W", "heat that the unit must take at these temperatures"),
        output::<dim::PowerDim>("walls", "W", "heat that the walls carry out, negative when they let heat in"),
    ],
    sources: &[&DEFINITION, &WALL_FORM],
    run: |a: &Arguments, w: &mut Working| {
        let unit = cooling_unit(&climate(a)?, w)?;
        Ok(vec![unit.capacity.in_si(), unit.walls.in_si()])
    },
};

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    const FULL: Ratio = Ratio::of_one(1.0);

    fn climate(loss: f64, m2: f64, inside: f64, room: f64) -> Climate {
        let [inside, room] = [inside, room].map(Temperature::c);
        Climate { loss: Power::w(loss), surface: Area::m2(m2), wall: Wall::PaintedSteel, inside, room }
    }

    #[test]
    fn what_makes_no_sense_is_refused() {
        let rise = TemperatureRise::dk(10.0);
        let air = |loss, rise, share, m| {
            ventilation(Power::w(loss), rise, FanConstant::Rule, Ratio::of_one(share), Length::m(m), &mut Silent).is_ok()
        };
        assert!(air(100.0, rise, 1.0, 0.0));
        assert!(!air(-1.0, rise, 1.0, 0.0));
        assert!(!air(100.0, TemperatureRise::ZERO, 1.0, 0.0));
        assert!(!air(100.0, rise, 0.0, 0.0));
        assert!(!air(100.0, rise, 1.01, 0.0));
        assert!(!air(100.0, rise, 1.0, 3500.0));
        let hot = FanConstant::Air(Temperature::c(90.0));
        assert!(ventilation(Power::w(100.0), rise, hot, FULL, Length::ZERO, &mut Silent).is_err());
        assert!(ventilated_rise(Power::w(100.0), Flow::ZERO, FanConstant::Rule, Length::ZERO, &mut Silent).is_err());
        let none = exchanger(&climate(500.0, 3.0, 35.0, 35.0), Length::ZERO, &mut Silent).unwrap_err();
        assert!(none.0.contains("cooling unit"));
        assert!(cooling_unit(&climate(500.0, 3.0, f64::NAN, 35.0), &mut Silent).is_err());
    }

    #[test]
    fn walls_that_are_enough_leave_nothing() {
        let mild = climate(100.0, 6.0, 50.0, 20.0);
        assert_eq!(cooling_unit(&mild, &mut Silent).unwrap().capacity, Power::ZERO);
        let x = exchanger(&mild, Length::ZERO, &mut Silent).unwrap();
        assert!(x.heat == Power::ZERO && x.w_per_k.abs() < 1e-12 && (x.walls.in_w() - 990.0).abs() < 1e-9);
    }

    proptest! {
        #[test]
        fn more_flow_is_never_hotter(w in 0.0f64..1e4, a in 1.0f64..5000.0, b in 1.0f64..5000.0, c in -20.0f64..60.0, m in 0.0f64..3000.0) {
            for constant in [FanConstant::Rule, FanConstant::Air(Temperature::c(c))] {
                let rise = |q| ventilated_rise(Power::w(w), Flow::m3_h(q), constant, Length::m(m), &mut Silent).unwrap();
                prop_assert!(rise(a.max(b)) <= rise(a.min(b)) && rise(a).is_finite());
            }
        }

        #[test]
        fn thin_air_needs_more_flow(w in 1.0f64..1e4, k in 1.0f64..40.0, a in 0.0f64..3000.0, b in 0.0f64..3000.0) {
            for constant in [FanConstant::Rule, FanConstant::Air(Temperature::c(40.0))] {
                let flow = |m| ventilation(Power::w(w), TemperatureRise::dk(k), constant, FULL, Length::m(m), &mut Silent).unwrap().flow;
                prop_assert!(flow(a.max(b)) >= flow(a.min(b)));
            }
        }

        #[test]
        fn flow_and_rise_are_inverse(w in 1.0f64..1e4, k in 1.0f64..40.0, m in 0.0f64..3000.0) {
            let (loss, rise, up) = (Power::w(w), TemperatureRise::dk(k), Length::m(m));
            let v = ventilation(loss, rise, FanConstant::Rule, FULL, up, &mut Silent).unwrap();
            let back = ventilated_rise(loss, v.flow, FanConstant::Rule, up, &mut Silent).unwrap();
            prop_assert!((back.in_dk() - k).abs() < 1e-9 * k);
        }

        #[test]
        fn a_warmer_room_never_needs_less(w in 0.0f64..5000.0, m2 in 0.1f64..12.0, a in 0.0f64..60.0, b in 0.0f64..60.0) {
            let need = |room| cooling_unit(&climate(w, m2, 40.0, room), &mut Silent).unwrap().capacity;
            prop_assert!(need(a.max(b)) >= need(a.min(b)));
            let per_k = |room: f64| exchanger(&climate(w, m2, 61.0, room), Length::ZERO, &mut Silent).unwrap().w_per_k;
            prop_assert!(per_k(a.max(b)) >= per_k(a.min(b)));
        }
    }
}
