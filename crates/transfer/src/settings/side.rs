//! One unit with its values: physical values out of numbers, by the definition of each setting and the bases that it hangs on.

use std::borrow::Cow;
use std::f64::consts::{SQRT_2, TAU};

use plant::settings::{Base, Definition, Law, Raw, Scale, Setting};

use super::number::si;

/// What is known of the motor and its supply, in SI; from its plate, never from the old drive.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Machine {
    /// Rated frequency, Hz.
    pub frequency: Option<f64>,
    /// Rated voltage, V.
    pub voltage: Option<f64>,
    /// Rated current, A.
    pub current: Option<f64>,
    /// Rated power, W.
    pub power: Option<f64>,
    /// Rated speed, rad/s.
    pub speed: Option<f64>,
    /// Rated power factor.
    pub power_factor: Option<f64>,
    /// Nominal supply voltage, V.
    pub supply: Option<f64>,
}

/// Something without which no value follows: what it is, for people.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Open(pub String);

/// One unit with its values.
#[derive(Clone, Debug)]
pub struct Side<'s> {
    /// Its settings.
    pub settings: &'s [Setting],
    /// The value of each; `None` while it is not known.
    pub values: Cow<'s, [Option<Raw>]>,
    /// Its rated output current, A.
    pub unit_current: Option<f64>,
    /// Motor and supply.
    pub machine: Machine,
}

/// A setting that a value hangs on stands at most so deep behind others.
const DEEPEST: u32 = 6;

impl<'s> Side<'s> {
    /// A unit at its defaults.
    #[must_use]
    pub fn at_defaults(settings: &'s [Setting], unit_current: Option<f64>, machine: Machine) -> Self {
        Self { settings, values: settings.iter().map(|s| s.default.clone()).collect::<Vec<_>>().into(), unit_current, machine }
    }

    /// The setting of a concept.
    #[must_use]
    pub fn find(&self, concept: &str, number: u32) -> Option<usize> {
        self.settings.iter().position(|s| s.is(concept, number))
    }

    /// The physical value of a setting of numbers, SI.
    ///
    /// # Errors
    /// What it hangs on and is not known.
    pub fn value(&self, at: usize) -> Result<f64, Open> {
        self.value_at(at, 0)
    }

    /// The value of a concept; `None` where the unit has no such setting.
    #[must_use]
    pub fn of(&self, concept: &str, number: u32) -> Option<Result<f64, Open>> {
        self.find(concept, number).map(|at| self.value(at))
    }

    /// The word of a concept; `None` where the unit has no such setting, or its value means nothing neutral.
    #[must_use]
    pub fn word(&self, concept: &str, number: u32) -> Option<&'static str> {
        let at = self.find(concept, number)?;
        word(self.settings.get(at)?, self.values.get(at)?.as_ref()?)
    }

    fn value_at(&self, at: usize, depth: u32) -> Result<f64, Open> {
        let Some(setting) = self.settings.get(at) else { return Err(Open("a setting".into())) };
        let (Some(scale), Some(meaning)) = (setting.scale(), &setting.meaning) else {
            return Err(Open(format!("a number in {}", setting.id)));
        };
        let Some(Some(Raw::Number(number))) = self.values.get(at) else {
            return Err(Open(format!("the value of {} ({})", setting.id, setting.text)));
        };
        let mut get = |concept: &'static str, number: u32| self.find(concept, number).map(|at| self.value_at(at, depth + 1));
        if depth > DEEPEST {
            return Err(Open(format!("what {} hangs on: it hangs on itself", setting.id)));
        }
        let rounding = self.rounding(depth)?;
        let context =
            Context { concept: meaning.concept.id, number: meaning.number, machine: self.machine, unit_current: self.unit_current };
        physical(scale, *number, context, rounding, self.ramp_time(), &mut get)
    }

    /// Rounding of the ramps that lies inside their time; `None` where there is none.
    fn rounding(&self, depth: u32) -> Result<Option<Rounding>, Open> {
        let Some(at) = self.find("s-curve", 1) else { return Ok(None) };
        let Some(scale) = self.settings.get(at).and_then(Setting::scale).filter(|s| s.definition.is_inside()) else { return Ok(None) };
        let Some(Some(Raw::Number(number))) = self.values.get(at) else {
            return if depth > DEEPEST { Ok(None) } else { Err(Open("the rounding of the ramps (s-curve)".into())) };
        };
        Ok(Some(if scale.definition == Definition::ShareInside {
            Rounding::Share(si(scale, *number))
        } else {
            Rounding::Seconds(si(scale, *number))
        }))
    }

    /// Time of the acceleration ramp as it is set.
    pub(crate) fn ramp_time(&self) -> Option<f64> {
        let at = self.find("acceleration-ramp", 1)?;
        let scale = self.settings.get(at)?.scale().filter(|s| matches!(s.definition.law(), Law::Over(_)))?;
        match self.values.get(at)? {
            Some(Raw::Number(number)) => Some(si(scale, *number)),
            _ => None,
        }
    }
}

/// The neutral word behind the value of a choice.
#[must_use]
pub fn word(setting: &Setting, raw: &Raw) -> Option<&'static str> {
    let Raw::Text(value) = raw else { return None };
    setting.choices().iter().find(|c| c.value == *value)?.word
}

/// Rounding inside the time of a ramp.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Rounding {
    /// Seconds at each end.
    Seconds(f64),
    /// A share of the ramp's time at each end.
    Share(f64),
}

/// What a number is looked at for.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Context {
    pub(crate) concept: &'static str,
    pub(crate) number: u32,
    pub(crate) machine: Machine,
    pub(crate) unit_current: Option<f64>,
}

/// Gives the physical value of a concept on the same unit, where it has one.
pub(crate) type Get<'g> = dyn FnMut(&'static str, u32) -> Option<Result<f64, Open>> + 'g;

/// Ramps whose time holds the rounding.
const ROUNDED: &[&str] = &["acceleration-ramp", "deceleration-ramp", "second-ramps"];

/// The physical value of a number.
pub(crate) fn physical(
    scale: &Scale,
    number: f64,
    context: Context,
    rounding: Option<Rounding>,
    ramp_time: Option<f64>,
    get: &mut Get<'_>,
) -> Result<f64, Open> {
    let own = si(scale, number);
    match scale.definition.law() {
        Law::Same => Ok(own),
        Law::Factor(factor) => Ok(own * factor),
        Law::Inverse => nonzero(own).map(|v| 1.0 / v),
        Law::Times(Base::RampTime) => ramp_time.map(|t| own * t).ok_or_else(|| Open(Base::RampTime.text().into())),
        Law::Times(base) => Ok(own * resolve(base, context, get)?),
        Law::Over(base) => {
            let time = match rounding {
                Some(rounding) if ROUNDED.contains(&context.concept) => {
                    let straight = match rounding {
                        Rounding::Seconds(s) => own - s,
                        Rounding::Share(share) => own * (1.0 - share),
                    };
                    if straight <= 0.0 && own > 0.0 {
                        return Err(Open("a straight part of the ramp: its rounding is as long as the ramp".into()));
                    }
                    straight
                }
                _ => own,
            };
            Ok(resolve(base, context, get)? / nonzero(time)?)
        }
        Law::None => Err(Open("the change of setpoint that it is the time of".into())),
    }
}

/// The number, SI, that a physical value asks for; the other way round.
pub(crate) fn number(scale: &Scale, value: f64, context: Context, rounding: Option<Rounding>, get: &mut Get<'_>) -> Result<f64, Open> {
    match scale.definition.law() {
        Law::Same => Ok(value),
        Law::Factor(factor) => Ok(value / factor),
        Law::Inverse => nonzero(value).map(|v| 1.0 / v),
        Law::Times(base) => Ok(value / nonzero(resolve(base, context, get)?)?),
        Law::Over(base) => {
            let straight = resolve(base, context, get)? / nonzero(value)?;
            Ok(match rounding {
                Some(Rounding::Seconds(s)) if ROUNDED.contains(&context.concept) => straight + s,
                Some(Rounding::Share(share)) if ROUNDED.contains(&context.concept) && share < 1.0 => straight / (1.0 - share),
                _ => straight,
            })
        }
        Law::None => Err(Open("the change of setpoint that it is the time of".into())),
    }
}

/// Rounding that a unit writes as a share of its acceleration ramp, beside the steepness that this ramp is set to.
pub(crate) struct RoundedRamp<'r> {
    ramp: &'r Scale,
    inside: bool,
    steepness: f64,
    context: Context,
}

impl<'r> RoundedRamp<'r> {
    /// Of the unit with these settings; `steepness` in SI of the ramp.
    pub(crate) fn new(settings: &'r [Setting], definition: Definition, steepness: f64, context: Context) -> Result<Self, Open> {
        let ramp = settings.iter().find(|s| s.is("acceleration-ramp", 1)).and_then(Setting::scale);
        let ramp = ramp.filter(|s| matches!(s.definition.law(), Law::Over(_))).ok_or_else(|| Open(Base::RampTime.text().into()))?;
        Ok(Self {
            ramp,
            inside: definition.is_inside(),
            steepness,
            context: Context { concept: "acceleration-ramp", number: 1, ..context },
        })
    }

    /// The share that so many seconds of rounding are.
    pub(crate) fn share(&self, seconds: f64, get: &mut Get<'_>) -> Result<f64, Open> {
        let inside = self.inside.then_some(Rounding::Seconds(seconds));
        Ok(seconds / number(self.ramp, self.steepness, self.context, inside, get)?)
    }

    /// The seconds of rounding that a share is.
    pub(crate) fn seconds(&self, share: f64, get: &mut Get<'_>) -> Result<f64, Open> {
        let inside = self.inside.then_some(Rounding::Share(share));
        Ok(share * number(self.ramp, self.steepness, self.context, inside, get)?)
    }
}

fn nonzero(value: f64) -> Result<f64, Open> {
    if value.abs() > 0.0 { Ok(value) } else { Err(Open(NOUGHT.into())) }
}

/// What stands in the way where a number is nought and the law divides by it.
pub(crate) const NOUGHT: &str = "a number: nought stands for “none” or “at once” here";

/// The value of a base on one unit.
pub(crate) fn resolve(base: Base, context: Context, get: &mut Get<'_>) -> Result<f64, Open> {
    let Context { machine, unit_current, .. } = context;
    let open = || Open(base.text().to_owned());
    let mut set = |concept: &'static str| get(concept, 1);
    match base {
        Base::MaximumFrequency => set("maximum-output-frequency").or_else(|| set("maximum-speed")).unwrap_or_else(|| Err(open())),
        Base::ReferenceFrequency => set("reference-frequency")
            .or_else(|| set("maximum-output-frequency"))
            .or_else(|| set("maximum-speed"))
            .unwrap_or_else(|| Err(open())),
        Base::BaseFrequency => set("motor-frequency").unwrap_or_else(|| machine.frequency.ok_or_else(open)),
        Base::BaseVoltage => set("motor-voltage").unwrap_or_else(|| machine.voltage.ok_or_else(open)),
        Base::MotorCurrent => match set("motor-current") {
            Some(Ok(current)) => Ok(current),
            _ => machine.current.ok_or_else(open),
        },
        Base::UnitCurrent => unit_current.ok_or_else(open),
        Base::MotorTorque => machine.power.zip(machine.speed).filter(|(_, w)| *w > 0.0).map(|(p, w)| p / w).ok_or_else(open),
        Base::UnitTorque => {
            let torque = resolve(Base::MotorTorque, context, get)?;
            Ok(torque * resolve(Base::UnitCurrent, context, get)?
                / machine.current.filter(|i| *i > 0.0).ok_or_else(|| Open(Base::MotorCurrent.text().into()))?)
        }
        Base::HertzPerSpeed => pole_pairs(machine).map(|pairs| pairs / TAU).ok_or_else(open),
        Base::RatedSlip => {
            let pairs = pole_pairs(machine).ok_or_else(open)?;
            machine.frequency.zip(machine.speed).map(|(f, w)| f - w * pairs / TAU).filter(|s| *s > 0.0).ok_or_else(open)
        }
        Base::NominalBus => machine.supply.map(|v| v * SQRT_2).ok_or_else(open),
        Base::InertiaPerSecond => machine.power.zip(machine.speed).filter(|(_, w)| *w > 0.0).map(|(p, w)| p / w / w).ok_or_else(open),
        Base::Gain => {
            let gain = if context.concept == "speed-regulator-integral" { "speed-regulator-gain" } else { "pid-gain" };
            get(gain, context.number).unwrap_or_else(|| Err(open()))
        }
        Base::RampTime => Err(open()),
    }
}

/// Pole pairs out of rated frequency and speed: the most that the synchronous speed allows.
#[must_use]
pub fn pole_pairs(machine: Machine) -> Option<f64> {
    let (frequency, speed) = machine.frequency.zip(machine.speed)?;
    let pairs = (TAU * frequency / speed * (1.0 + 1e-9)).floor();
    (pairs >= 1.0 && pairs.is_finite()).then_some(pairs)
}
