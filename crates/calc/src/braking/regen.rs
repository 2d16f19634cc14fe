//! What a duty cycle sends back into the DC link, and whether a front end of diodes can live with it.

use plant::quantity::{Count, Dimension, Energy, Power, Ratio, Time, dim};

use crate::load::duty::{Cycle, GivenCycle, Machine, duty};
use crate::load::efficiency_is_sound;
use crate::registry::{Arguments, Calculation, Input, InputKind, Refusal, output, quantity, quantity_or, word};
use crate::sources::{DEFINITION, Knowledge, Source};
use crate::working::{Recorder, Silent, Step, Working};

/// Power through motor and unit in both directions.
pub const BOTH_WAYS: Source =
    Source::new("losses as a share of the power in both directions: P/η in, η·P back; low speeds lose more", Knowledge::CommonPractice);

/// What a cycle does to the DC link.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Regenerated {
    /// Largest power into the link.
    pub peak: Power,
    /// Mean power into the link over the whole cycle, counting only what comes back.
    pub mean: Power,
    /// What comes back in one cycle.
    pub energy: Energy,
    /// Mean power drawn from the link over the whole cycle, counting only what is driven.
    pub drawn: Power,
    /// Drawn less given back: below zero the load drives on the whole.
    pub net: Power,
    /// Length of the cycle.
    pub period: Time,
}

/// Power that a duty cycle gives back to the DC link.
///
/// P_back = η·P_shaft while the load drives, P_drawn = P_shaft/η while the motor does; means over the period. With a resistor all
/// of P_back must be burnt. With none, a front end of diodes sends nothing back: what comes back must fit into the losses, and a
/// net below zero is a load that drives for good.
///
/// # Errors
/// As [`duty`], or when the share η is outside 0 … 100 %.
///
/// Source: definition. Worked example: 10 kg·m² from rest to 1500 rpm in 5 s and back in 5 s, every 20 s, η 90 %: peak 44.41 kW.
/// ```
/// use calc::{braking::regen::regenerated, load::duty::{Cycle, LoadTorque, Machine, Segment}, working::Silent};
/// use plant::quantity::{Inertia, Ratio, Speed, Time, Torque};
/// let machine = Machine { rated_torque: Torque::nm(300.0), rated_speed: Speed::rpm(1500.0), inertia: Inertia::kgm2(10.0) };
/// let to = |rpm| Segment { time: Time::s(10.0), speed_to: Speed::rpm(rpm), ramp: Time::s(5.0), load: LoadTorque::Share(Ratio::ZERO) };
/// let cycle = Cycle { start: Speed::ZERO, segments: &[to(1500.0), to(0.0)], repeats: true };
/// let r = regenerated(&machine, &cycle, Ratio::percent(90.0), &mut Silent).unwrap();
/// assert!((r.peak.in_kw() - 44.413).abs() < 0.001 && (r.energy.in_kj() - 0.9 * 123.37).abs() < 0.01);
/// ```
pub fn regenerated<R: Recorder>(machine: &Machine, cycle: &Cycle, passes: Ratio, rec: &mut R) -> Result<Regenerated, Refusal> {
    efficiency_is_sound(passes, "share that motor and unit pass on")?;
    let share = passes.in_of_one();
    // Power alone is asked for: no motor model.
    let d = duty(machine, cycle, |_, _| 0.0, &mut Silent)?;
    let (mean, drawn) = (d.mean_regenerating * share, d.mean_motoring / share);
    let result =
        Regenerated { peak: d.peak_regenerating * share, mean, energy: mean * d.period, drawn, net: drawn - mean, period: d.period };
    rec.step(|| {
        Step::new("P_pk", "largest power into the DC link", "η·P_shaft", &BOTH_WAYS)
            .with("η", passes)
            .with("P_shaft", d.peak_regenerating)
            .gives(result.peak.electric())
    });
    rec.step(|| {
        Step::new("P_m", "mean of what comes back over the cycle", "η·P_gen", &BOTH_WAYS)
            .with("η", passes)
            .with("P_gen", d.mean_regenerating)
            .gives(mean.electric())
    });
    rec.step(|| {
        Step::new("E", "what comes back in one cycle", "P_m·T", &DEFINITION)
            .with("P_m", mean.electric())
            .with("T", d.period)
            .gives(result.energy)
    });
    rec.step(|| {
        Step::new("P_net", "drawn less given back", "P_mot/η − P_m", &BOTH_WAYS)
            .with("P_mot", d.mean_motoring)
            .with("η", passes)
            .with("P_m", mean.electric())
            .gives(result.net.electric())
            .note(if result.net < Power::ZERO {
                "the load drives on the whole: diodes send nothing back; a resistor burns it for good, a regenerative front end returns it"
            } else if mean > Power::ZERO {
                "comes back in parts of the cycle: it needs a resistor, the link of a neighbour, or a regenerative front end"
            } else {
                "nothing comes back"
            })
    });
    Ok(result)
}

/// `calc regenerated-power`.
pub const REGENERATED_POWER: Calculation = Calculation {
    name: "regenerated-power",
    summary: "Peak, mean and energy that a duty cycle sends back into the DC link, and the sign of the mean power.",
    inputs: &[
        quantity::<dim::TorqueDim>("rated-torque", "rated torque of the motor: 100 % of the loads"),
        quantity::<dim::SpeedDim>("rated-speed", "rated speed of the motor"),
        quantity::<dim::InertiaDim>("inertia", "whole inertia at the motor shaft"),
        Input {
            name: "cycle",
            kind: InputKind::Rows(&[dim::TimeDim::INFO, dim::SpeedDim::INFO, dim::TimeDim::INFO, dim::RatioDim::INFO]),
            default: None,
            doc: "time of each segment, speed at its end, ramp time, load over rated torque (negative: it drives); starts at the last speed when it repeats, else at rest",
        },
        word("repeats", &["yes", "no"], "whether the cycle repeats endlessly"),
        quantity_or::<dim::RatioDim>(
            "passes",
            "100 %",
            "share of the shaft power that motor and unit pass on; 100 % is the strict side for the resistor",
        ),
    ],
    results: &[
        output::<dim::PowerDim>("peak", "kW", "largest power into the DC link"),
        output::<dim::PowerDim>("mean", "kW", "mean over the cycle of what comes back"),
        output::<dim::EnergyDim>("energy", "kJ", "what comes back in one cycle"),
        output::<dim::PowerDim>("drawn", "kW", "mean over the cycle of what is drawn"),
        output::<dim::PowerDim>("net", "kW", "drawn less given back; negative: the load drives on the whole"),
        output::<dim::CountDim>("drives", "", "1 the load drives on the whole, 0 it does not"),
    ],
    sources: &[&DEFINITION, &BOTH_WAYS],
    run: |a: &Arguments, w: &mut Working| {
        let machine = Machine { rated_torque: a.get("rated-torque"), rated_speed: a.get("rated-speed"), inertia: a.get("inertia") };
        let given = GivenCycle::of(a);
        let r = regenerated(&machine, &given.cycle(), a.get("passes"), w)?;
        let drives = Count::of(f64::from(u8::from(r.net < Power::ZERO)));
        Ok(vec![r.peak.in_si(), r.mean.in_si(), r.energy.in_si(), r.drawn.in_si(), r.net.in_si(), drives.in_si()])
    },
};
