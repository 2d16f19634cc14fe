//! How long a DC link takes to lose its charge. The time is a guide; the link is measured.

use plant::quantity::{Capacitance, Energy, Resistance, Time, Voltage, dim};

use crate::load::above_zero;
use crate::registry::{Arguments, Calculation, Refusal, output, quantity, quantity_or};
use crate::sources::{DEFINITION, Knowledge, PRACTICE, Source};
use crate::working::{Recorder, Step, Working};

/// Residual voltages.
pub const IEC_60204_RESIDUAL: Source = Source::new(
    "IEC 60204-1:2016 6.2.4: at most 60 V within 5 s (exposed conductors of plugs 1 s), else a durable warning with the time",
    Knowledge::LookedUp,
);
/// Charge that is let off.
pub const IEC_60204_CHARGE: Source = Source::new("IEC 60204-1:2016 6.2.4: parts that keep at most 60 µC are exempt", Knowledge::FromMemory);

/// A discharge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Discharge {
    /// Time until the lower voltage.
    pub time: Time,
    /// Energy at the beginning.
    pub energy: Energy,
    /// Largest resistance that is down within the wanted time.
    pub largest: Resistance,
}

/// Time of a discharge over a resistor.
///
/// t = R·C·ln(U_0/U); largest R = t_w/(C·ln(U_0/U)). s, Ω, F, V. With its resistor broken a link keeps its charge for days.
///
/// # Errors
/// When an input is not above zero or the lower voltage not below the upper.
///
/// Source: definition. Worked example: 4700 µF over 47 kΩ from 680 to 50 V: 9.6 min, 1.09 kJ.
/// ```
/// use calc::{braking::discharge::discharge, working::Silent};
/// use plant::quantity::{Capacitance, Resistance, Time, Voltage};
/// let d = discharge(Capacitance::uf(4700.0), Resistance::kohm(47.0), Voltage::v(680.0), Voltage::v(50.0), Time::s(5.0), &mut Silent).unwrap();
/// assert!((d.time.in_minutes() - 9.61).abs() < 0.01 && (d.energy.in_kj() - 1.087).abs() < 0.001);
/// ```
pub fn discharge<R: Recorder>(
    capacitance: Capacitance,
    resistor: Resistance,
    from: Voltage,
    to: Voltage,
    wanted: Time,
    rec: &mut R,
) -> Result<Discharge, Refusal> {
    above_zero(capacitance, "capacitance of the DC link")?;
    above_zero(resistor, "discharge resistance")?;
    above_zero(to, "voltage to wait for")?;
    above_zero(wanted, "time wanted")?;
    if !(from > to && from.is_finite()) {
        return Err(Refusal::new(format!("the link falls from {from}: the voltage to wait for must be below that, not {to}")));
    }
    let constants = (from / to).ln();
    let result = Discharge {
        time: Time::s(resistor.in_ohm() * capacitance.in_farad() * constants),
        energy: Energy::j(0.5 * capacitance.in_farad() * from.in_v() * from.in_v()),
        largest: Resistance::ohm(wanted.in_s() / (capacitance.in_farad() * constants)),
    };
    rec.step(|| {
        Step::new("t", "time to the lower voltage", "R·C·ln(U_0/U)", &DEFINITION)
            .with("R", resistor)
            .with("C", capacitance)
            .with("U_0", from)
            .with("U", to)
            .gives(result.time)
    });
    rec.step(|| {
        Step::new("E", "energy at the beginning", "½·C·U_0²", &DEFINITION).with("C", capacitance).with("U_0", from).gives(result.energy)
    });
    rec.step(|| {
        Step::new("R_max", "largest resistance that is down in the time wanted", "t_w/(C·ln(U_0/U))", &IEC_60204_RESIDUAL)
            .with("t_w", wanted)
            .with("C", capacitance)
            .with("U_0", from)
            .with("U", to)
            .gives(result.largest)
    });
    rec.step(|| {
        Step::new("caution", "the time is a guide", "", &PRACTICE)
            .gives("wait the time marked on the unit, then measure the DC link at its terminals")
            .note("a broken discharge resistor never discharges, and a dark display proves nothing; the unit's instructions and local rules come first")
    });
    Ok(result)
}

/// `calc capacitor-discharge`.
pub const CAPACITOR_DISCHARGE: Calculation = Calculation {
    name: "capacitor-discharge",
    summary: "Time in which a DC link loses its voltage over a resistor: a guide, the link is measured.",
    inputs: &[
        quantity::<dim::CapacitanceDim>("capacitance", "capacitance of the DC link"),
        quantity_or::<dim::ResistanceDim>("resistor", "47 kΩ", "discharge resistance"),
        quantity::<dim::VoltageDim>("from", "DC link when it is switched off"),
        quantity_or::<dim::VoltageDim>("to", "60 V", "voltage to wait for"),
        quantity_or::<dim::TimeDim>("wanted", "5 s", "time in which it should be down"),
    ],
    results: &[
        output::<dim::TimeDim>("time", "s", "time to the lower voltage"),
        output::<dim::EnergyDim>("energy", "J", "energy at the beginning"),
        output::<dim::ResistanceDim>("largest", "Ω", "largest resistance that is down in the time wanted"),
        output::<dim::CountDim>("in-time", "", "1 down in the time wanted, 0 a durable warning with the time is asked for"),
    ],
    sources: &[&DEFINITION, &IEC_60204_RESIDUAL, &PRACTICE],
    run: |a: &Arguments, w: &mut Working| {
        let (resistor, wanted) = (a.get::<dim::ResistanceDim>("resistor"), a.get::<dim::TimeDim>("wanted"));
        let d = discharge(a.get("capacitance"), resistor, a.get("from"), a.get("to"), wanted, w)?;
        Ok(vec![d.time.in_si(), d.energy.in_si(), d.largest.in_si(), f64::from(u8::from(d.time <= wanted))])
    },
};

/// `calc discharge-exempt`.
pub const DISCHARGE_EXEMPT: Calculation = Calculation {
    name: "discharge-exempt",
    summary: "Largest capacitance that keeps no more than an exempt charge at a voltage.",
    inputs: &[
        quantity::<dim::VoltageDim>("voltage", "voltage that it is charged to"),
        quantity_or::<dim::CountDim>("charge", "60", "charge let off, in µC"),
    ],
    results: &[output::<dim::CapacitanceDim>("capacitance", "µF", "largest capacitance")],
    sources: &[&IEC_60204_CHARGE],
    run: |a: &Arguments, w: &mut Working| {
        let (voltage, charge) = (a.get::<dim::VoltageDim>("voltage"), a.get::<dim::CountDim>("charge"));
        above_zero(voltage, "voltage")?;
        above_zero(charge, "charge")?;
        let capacitance = Capacitance::uf(charge.in_count() / voltage.in_v());
        w.step(|| {
            Step::new("C", "largest capacitance", "Q/U", &IEC_60204_CHARGE)
                .with("Q", format!("{charge} µC"))
                .with("U", voltage)
                .gives(capacitance)
                .note("a DC link of a drive keeps thousands of times as much")
        });
        Ok(vec![capacitance.in_si()])
    },
};
