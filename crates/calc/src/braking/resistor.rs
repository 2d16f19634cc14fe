//! How hot a braking resistor gets: one thermal time constant, a stop whose power falls to nothing, repeated for good.

use plant::quantity::{Power, Ratio, TemperatureRise, Time, dim};

use crate::load::{above_zero, not_below_zero};
use crate::registry::{Arguments, Calculation, Input, Refusal, output, quantity, quantity_or};
use crate::sources::{DEFINITION, Knowledge, Source};
use crate::working::{Recorder, Step, Working};

/// The resistor as one body.
pub const ONE_BODY: Source = Source::new("one body with one time constant: τ·dθ/dt = θ_N·P/P_N − θ", Knowledge::Derived);

/// A resistor's thermal figures.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Body {
    /// Continuous power.
    pub power: Power,
    /// Rise at that power.
    pub rise: TemperatureRise,
    /// Thermal time constant.
    pub constant: Time,
}

/// One stop out of many.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pulse {
    /// Power at its beginning.
    pub peak: Power,
    /// Power at its end: zero for an even stop to rest, the same for a load that is lowered.
    pub end: Power,
    /// How long it is.
    pub on: Time,
    /// From one beginning to the next; `None` for one stop into a cold resistor.
    pub period: Option<Time>,
}

/// What it does to the resistor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Heat {
    /// Highest rise once it has settled.
    pub highest: TemperatureRise,
    /// Rise at the beginning of a pulse.
    pub start: TemperatureRise,
    /// Mean power over the period; zero for one stop.
    pub mean: Power,
    /// Energy of a pulse.
    pub energy: plant::quantity::Energy,
    /// Highest rise over that at continuous power: above 100 % is too hot.
    pub share: Ratio,
}

impl Body {
    fn check(&self) -> Result<(), Refusal> {
        above_zero(self.power, "continuous power of the resistor")?;
        above_zero(self.rise, "rise at continuous power")?;
        above_zero(self.constant, "thermal time constant")
    }
}

/// How far a lag of one time constant stays behind a straight climb, over the climb: 1 − (1 − e^(−x))/x.
pub(super) fn lag(x: f64) -> f64 {
    // Below, the difference of near numbers is worse than what the series leaves out (x³/24).
    if x < 1e-4 { x / 2.0 - x * x / 6.0 } else { 1.0 + (-x).exp_m1() / x }
}

/// Highest temperature of a resistor under a repeated pulse whose power goes in a straight line, exactly.
///
/// With p(t) = P_1 − (P_1 − P_2)·t/b: θ(t) = θ_0·e^(−t/τ) + r·(P_1·(1 − e^(−t/τ)) − (P_1 − P_2)·t/b·(1 − (1 − e^(−t/τ))·τ/t)),
/// r = θ_N/P_N; between pulses it falls with e^(−t/τ). Settled: the rise at the start repeats. The highest lies inside the pulse
/// where the power falls. s, W, K.
///
/// # Errors
/// When an input is out of range or the pulse longer than its period.
///
/// Source: derived. Worked example: one even 10 s stop from 10 kW into 1 kW, 300 K, 100 s: below 50 kJ/(1 kW·100 s)·300 K = 150 K.
/// ```
/// use calc::{braking::resistor::{heat, Body, Pulse}, working::Silent};
/// use plant::quantity::{Power, TemperatureRise, Time};
/// let body = Body { power: Power::kw(1.0), rise: TemperatureRise::dk(300.0), constant: Time::s(100.0) };
/// let pulse = Pulse { peak: Power::kw(10.0), end: Power::ZERO, on: Time::s(10.0), period: None };
/// let h = heat(&body, &pulse, &mut Silent).unwrap();
/// assert!(h.highest.in_dk() > 140.0 && h.highest.in_dk() < 150.0);
/// ```
pub fn heat<R: Recorder>(body: &Body, pulse: &Pulse, rec: &mut R) -> Result<Heat, Refusal> {
    body.check()?;
    above_zero(pulse.peak, "power at the beginning")?;
    not_below_zero(pulse.end, "power at the end")?;
    above_zero(pulse.on, "time of the stop")?;
    if pulse.end > pulse.peak {
        return Err(Refusal::new(format!("the power falls or stays during a stop: from {} it cannot go to {}", pulse.peak, pulse.end)));
    }
    let (tau, on) = (body.constant.in_s(), pulse.on.in_s());
    let per_watt = body.rise.in_dk() / body.power.in_w();
    let (first, fall) = (per_watt * pulse.peak.in_w(), per_watt * (pulse.peak - pulse.end).in_w());
    let rise_at = |t: f64, start: f64| start * (-t / tau).exp() - first * (-t / tau).exp_m1() - fall * (t / on) * lag(t / tau);
    let energy = (pulse.peak + pulse.end) * pulse.on / 2.0;
    let (start, mean) = match pulse.period {
        None => (0.0, Power::ZERO),
        Some(period) => {
            above_zero(period, "period")?;
            if period < pulse.on {
                return Err(Refusal::new(format!("the period of {period} is shorter than the stop of {}", pulse.on)));
            }
            // θ_0 = e^(−(T − b)/τ)·(θ(b) from cold + θ_0·e^(−b/τ)), solved for θ_0.
            (((on - period.in_s()) / tau).exp() * rise_at(on, 0.0) / -(-period.in_s() / tau).exp_m1(), energy / period)
        }
    };
    // dθ/dt = 0 where the falling power meets the rise.
    let turn = tau * ((first - start) * on / (fall * tau)).ln_1p();
    let mut highest = rise_at(on, start).max(start);
    if turn > 0.0 && turn < on {
        highest = highest.max(rise_at(turn, start));
    }
    let result = Heat {
        highest: TemperatureRise::dk(highest),
        start: TemperatureRise::dk(start),
        mean,
        energy,
        share: Ratio::of_one(highest / body.rise.in_dk()),
    };
    rec.step(|| {
        Step::new("E", "energy of a stop", "(P_1 + P_2)/2·t", &DEFINITION)
            .with("P_1", pulse.peak.electric())
            .with("P_2", pulse.end.electric())
            .with("t", pulse.on)
            .gives(energy)
    });
    if let Some(period) = pulse.period {
        rec.step(|| Step::new("P_m", "mean power over the period", "E/T", &DEFINITION).with("E", energy).with("T", period).gives(mean));
        rec.step(|| Step::new("θ_0", "rise at the beginning of a stop, settled", "", &ONE_BODY).gives(result.start));
    }
    rec.step(|| {
        Step::new("θ_max", "highest rise", "", &ONE_BODY).gives(result.highest).note(format!(
            "with {} and {} at {} continuous, above its surroundings; the resistor is hot to the touch long after a stop",
            body.constant, body.rise, body.power
        ))
    });
    Ok(result)
}

/// How many times its continuous power a resistor carries for a part of a period.
///
/// k = (1 − e^(−T/τ))/(1 − e^(−t_on/τ)); one pulse from cold: k = 1/(1 − e^(−t_on/τ)). The largest steady power in the pulse.
///
/// # Errors
/// When a time is not above zero or the pulse longer than its period.
///
/// Source: derived. Worked example: 12 s in 120 s with a constant of 60 s: 4.77.
/// ```
/// use calc::{braking::resistor::overload, working::Silent};
/// use plant::quantity::Time;
/// let k = overload(Time::s(12.0), Some(Time::s(120.0)), Time::s(60.0), &mut Silent).unwrap();
/// assert!((k.in_of_one() - 4.7701).abs() < 5e-4);
/// ```
pub fn overload<R: Recorder>(on: Time, period: Option<Time>, constant: Time, rec: &mut R) -> Result<Ratio, Refusal> {
    above_zero(on, "time on")?;
    above_zero(constant, "thermal time constant")?;
    let whole = match period {
        Some(period) if period < on => {
            return Err(Refusal::new(format!("the period of {period} is shorter than the time on of {on}")));
        }
        Some(period) => -(-(period / constant)).exp_m1(),
        None => 1.0,
    };
    let k = Ratio::of_one(whole / -(-(on / constant)).exp_m1());
    rec.step(|| {
        let formula = if period.is_some() { "(1 − e^(−T/τ))/(1 − e^(−t/τ))" } else { "1/(1 − e^(−t/τ))" };
        Step::new("k", "power allowed over the continuous power", formula, &ONE_BODY)
            .with("T", period.unwrap_or(Time::ZERO))
            .with("t", on)
            .with("τ", constant)
            .gives(k.in_of_one())
            .note("the resistor's own table of short times counts where it is stricter: wire and terminals have shorter constants")
    });
    Ok(k)
}

/// The thermal figures of a resistor.
pub(super) const RATED: Input = quantity::<dim::PowerDim>("rated", "continuous power of the resistor");
/// Its rise.
pub(super) const RISE: Input = quantity_or::<dim::TemperatureRiseDim>("rise", "300 K", "rise at continuous power");
/// Its constant.
pub(super) const CONSTANT: Input =
    quantity::<dim::TimeDim>("constant", "thermal time constant; minutes for open wire, longer in a housing");

/// `calc resistor-heat`.
pub const RESISTOR_HEAT: Calculation = Calculation {
    name: "resistor-heat",
    summary: "Highest temperature of a braking resistor under repeated stops, with its thermal time constant.",
    inputs: &[
        RATED,
        RISE,
        CONSTANT,
        quantity::<dim::PowerDim>("peak", "power at the beginning of a stop"),
        quantity_or::<dim::PowerDim>("end", "0 W", "power at its end; the same as at the beginning where a load is lowered"),
        quantity::<dim::TimeDim>("on", "time of the stop"),
        quantity_or::<dim::TimeDim>("period", "", "from one stop to the next; left out: one stop into a cold resistor"),
    ],
    results: &[
        output::<dim::TemperatureRiseDim>("highest", "K", "highest rise"),
        output::<dim::TemperatureRiseDim>("start", "K", "rise at the beginning of a stop"),
        output::<dim::PowerDim>("mean", "W", "mean power over the period; zero for one stop"),
        output::<dim::EnergyDim>("energy", "kJ", "energy of a stop"),
        output::<dim::RatioDim>("share", "%", "highest rise over that at continuous power; above 100 % is too hot"),
        output::<dim::RatioDim>("mean-share", "%", "mean power over the continuous power"),
    ],
    sources: &[&ONE_BODY, &DEFINITION],
    run: |a: &Arguments, w: &mut Working| {
        let body = Body { power: a.get("rated"), rise: a.get("rise"), constant: a.get("constant") };
        let pulse = Pulse { peak: a.get("peak"), end: a.get("end"), on: a.get("on"), period: a.get_opt("period") };
        let h = heat(&body, &pulse, w)?;
        Ok(vec![h.highest.in_si(), h.start.in_si(), h.mean.in_si(), h.energy.in_si(), h.share.in_si(), h.mean / body.power])
    },
};

/// `calc resistor-overload`.
pub const RESISTOR_OVERLOAD: Calculation = Calculation {
    name: "resistor-overload",
    summary: "Power that a braking resistor carries for a part of a period, over its continuous power.",
    inputs: &[
        quantity::<dim::TimeDim>("on", "time on"),
        quantity_or::<dim::TimeDim>("period", "", "from one beginning to the next; left out: one pulse from cold"),
        CONSTANT,
    ],
    results: &[output::<dim::RatioDim>("factor", "pu", "power allowed over the continuous power")],
    sources: &[&ONE_BODY],
    run: |a: &Arguments, w: &mut Working| Ok(vec![overload(a.get("on"), a.get_opt("period"), a.get("constant"), w)?.in_si()]),
};
