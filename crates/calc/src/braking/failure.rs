//! When the chopper fails short: the resistor stands at the DC link for as long as the line is on.

use plant::quantity::{Power, Ratio, Resistance, TemperatureRise, Time, Voltage, dim};

use super::resistor::{Body, CONSTANT, ONE_BODY, RATED, RISE};
use crate::load::above_zero;
use crate::registry::{Arguments, Calculation, Refusal, output, quantity, word};
use crate::sources::{DEFINITION, PRACTICE};
use crate::working::{Recorder, Step, Working};

/// What the thermal contact of the resistor does.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ThermalContact {
    /// It opens the line: contactor or shunt trip.
    OpensLine,
    /// It stops the run command alone: no help against a shorted chopper.
    StopsRun,
    /// None is there, or it is not wired.
    None,
}

impl ThermalContact {
    /// The words of the command line.
    pub const WORDS: [&'static str; 3] = ["none", "stops-run", "opens-line"];

    /// The variant that a word names.
    #[must_use]
    pub fn named(word: &str) -> Option<Self> {
        [Self::None, Self::StopsRun, Self::OpensLine].into_iter().zip(Self::WORDS).find(|(_, w)| *w == word).map(|(c, _)| c)
    }
}

/// What happens.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Shorted {
    /// Power in the resistor, for good.
    pub power: Power,
    /// That over its continuous power.
    pub share: Ratio,
    /// Rise that it would come to.
    pub settles: TemperatureRise,
    /// Time until the limit is passed, from the rise it has; `None`: never.
    pub time: Option<Time>,
}

/// Power and time to the limit with a shorted chopper.
///
/// P = U²/R with the DC link at the line's peak; t = τ·ln((θ_s − θ_0)/(θ_s − θ_lim)), θ_s = θ_N·P/P_N. Only what opens the line
/// ends it: the run command has no say, and a fuse does not see it where P/U is a small current.
///
/// # Errors
/// When an input is not above zero.
///
/// Source: definition. Worked example: 650 V on 20 Ω: 21.1 kW; 1 kW, 300 K and 100 s pass 400 K from cold in 6.5 s.
/// ```
/// use calc::{braking::{failure::shorted, resistor::Body}, working::Silent};
/// use plant::quantity::{Power, Resistance, TemperatureRise, Time, Voltage};
/// let body = Body { power: Power::kw(1.0), rise: TemperatureRise::dk(300.0), constant: Time::s(100.0) };
/// let s = shorted(&body, Resistance::ohm(20.0), Voltage::v(650.0), TemperatureRise::ZERO, TemperatureRise::dk(400.0), &mut Silent).unwrap();
/// assert!((s.power.in_kw() - 21.125).abs() < 1e-9 && (s.time.unwrap().in_s() - 6.52).abs() < 0.01);
/// ```
pub fn shorted<R: Recorder>(
    body: &Body,
    resistor: Resistance,
    bus: Voltage,
    start: TemperatureRise,
    limit: TemperatureRise,
    rec: &mut R,
) -> Result<Shorted, Refusal> {
    above_zero(body.power, "continuous power of the resistor")?;
    above_zero(body.rise, "rise at continuous power")?;
    above_zero(body.constant, "thermal time constant")?;
    above_zero(resistor, "resistance")?;
    above_zero(bus, "DC link voltage")?;
    above_zero(limit, "limit of the rise")?;
    crate::load::not_below_zero(start, "rise before")?;
    let power = Power::w(bus.in_v() * bus.in_v() / resistor.in_ohm());
    let settles = body.rise * (power / body.power);
    let time = if start >= limit {
        Some(Time::ZERO)
    } else if settles > limit {
        Some(body.constant * ((settles - start) / (settles - limit)).ln())
    } else {
        None
    };
    rec.step(|| {
        Step::new("P", "power with the chopper shorted", "U²/R", &DEFINITION)
            .with("U", bus)
            .with("R", resistor)
            .gives(power.electric())
            .note("for as long as the line is on, whatever the run command says")
    });
    rec.step(|| {
        Step::new("θ_s", "rise that it would come to", "θ_N·P/P_N", &ONE_BODY)
            .with("θ_N", body.rise)
            .with("P", power.electric())
            .with("P_N", body.power.electric())
            .gives(settles)
    });
    rec.step(|| {
        let step = Step::new("t", "time to the limit", "τ·ln((θ_s − θ_0)/(θ_s − θ_lim))", &ONE_BODY)
            .with("τ", body.constant)
            .with("θ_s", settles)
            .with("θ_0", start)
            .with("θ_lim", limit);
        match time {
            Some(time) => step.gives(time),
            None => step.gives("never").note("the resistor carries the full link for good"),
        }
    });
    Ok(Shorted { power, share: Ratio::of_one(power / body.power), settles, time })
}

/// `calc shorted-chopper`.
pub const SHORTED_CHOPPER: Calculation = Calculation {
    name: "shorted-chopper",
    summary: "Power and time to the limit of a braking resistor when its chopper fails short, and whether the thermal contact helps.",
    inputs: &[
        RATED,
        RISE,
        CONSTANT,
        quantity::<dim::ResistanceDim>("resistor", "resistance"),
        quantity::<dim::VoltageDim>("bus", "DC link with the line on: its unloaded peak"),
        crate::registry::quantity_or::<dim::TemperatureRiseDim>("start", "0 K", "rise before"),
        quantity::<dim::TemperatureRiseDim>("limit", "rise at which the resistor or what is near it is harmed"),
        word("contact", &ThermalContact::WORDS, "what the resistor's thermal contact does"),
    ],
    results: &[
        output::<dim::PowerDim>("power", "kW", "power for good"),
        output::<dim::RatioDim>("share", "pu", "over the continuous power"),
        output::<dim::TimeDim>("time", "s", "until the limit is passed; zero where it never is, see too-hot"),
        output::<dim::CountDim>("too-hot", "", "1 the limit is passed sometime, 0 never"),
        output::<dim::CountDim>("safe", "", "1 the limit is never passed or the contact opens the line, 0 nothing ends it"),
    ],
    sources: &[&DEFINITION, &ONE_BODY, &PRACTICE],
    run: |a: &Arguments, w: &mut Working| {
        let body = Body { power: a.get("rated"), rise: a.get("rise"), constant: a.get("constant") };
        let s = shorted(&body, a.get("resistor"), a.get("bus"), a.get("start"), a.get("limit"), w)?;
        let contact = ThermalContact::named(a.word("contact")).unwrap_or(ThermalContact::None);
        let safe = s.time.is_none() || contact == ThermalContact::OpensLine;
        w.step(|| {
            Step::new("contact", "what ends it", "", &PRACTICE).gives(match (s.time.is_some(), contact) {
                (false, _) => "nothing has to: it never gets too hot",
                (true, ThermalContact::OpensLine) => "the thermal contact opens the line; test it",
                (true, ThermalContact::StopsRun) => "nothing: stopping the run command leaves the line on",
                (true, ThermalContact::None) => "nothing: no thermal contact",
            })
        });
        let one = |yes: bool| f64::from(u8::from(yes));
        Ok(vec![s.power.in_si(), s.share.in_si(), s.time.unwrap_or(Time::ZERO).in_si(), one(s.time.is_some()), one(safe)])
    },
};
