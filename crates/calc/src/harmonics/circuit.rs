//! What stands between a supply and the load of a diode bridge, and which of it makes sense.

use plant::quantity::{Capacitance, Current, Dimension, Frequency, Inductance, Power, Quantity, Resistance, Voltage};

use crate::registry::Refusal;

/// How the bridge is fed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Feed {
    /// Three phases, six diodes.
    ThreePhase,
    /// Two lines of a three-phase bridge: four of its diodes.
    SinglePhase,
    /// Two bridges, one of them behind a winding that turns by 30°, each with its choke, on one capacitor.
    TwelvePulseParallel,
    /// The same two bridges one above the other, with one choke and one capacitor.
    TwelvePulseSeries,
}

impl Feed {
    /// All of them, in the order of [`Self::WORDS`].
    pub const ALL: [Self; 4] = [Self::ThreePhase, Self::SinglePhase, Self::TwelvePulseParallel, Self::TwelvePulseSeries];
    /// Their words.
    pub const WORDS: [&'static str; 4] = ["three-phase", "single-phase", "twelve-pulse-parallel", "twelve-pulse-series"];

    /// The feed of that word.
    #[must_use]
    pub fn from_word(word: &str) -> Option<Self> {
        Self::WORDS.iter().position(|w| *w == word).and_then(|i| Self::ALL.get(i)).copied()
    }

    /// Lines that carry current.
    #[must_use]
    pub const fn lines(self) -> f64 {
        if matches!(self, Self::SinglePhase) { 2.0 } else { 3.0 }
    }
}

/// A resistance and an inductance one after the other.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Impedance {
    /// Resistance, zero or more.
    pub resistance: Resistance,
    /// Inductance, zero or more.
    pub inductance: Inductance,
}

impl Impedance {
    /// A plain wire.
    pub const NONE: Self = Self { resistance: Resistance::ZERO, inductance: Inductance::ZERO };

    /// An inductance without resistance.
    #[must_use]
    pub const fn pure(inductance: Inductance) -> Self {
        Self { resistance: Resistance::ZERO, inductance }
    }
}

/// What the capacitor, or the bridge where there is none, feeds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Load {
    /// The same current at any voltage.
    Current(Current),
    /// A power: taken as the constant current that has this power at the mean DC voltage, found by repeating the whole
    /// calculation; the inverter's reaction to ripple is left out.
    Power(Power),
    /// A resistor.
    Resistance(Resistance),
}

/// The circuit of a diode front end. Everything is referred to the voltage at the bridges.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Circuit {
    /// Phases and bridges.
    pub feed: Feed,
    /// Line-to-line voltage of the source without load, rms; at each bridge for twelve pulses.
    pub voltage: Voltage,
    /// Supply frequency.
    pub frequency: Frequency,
    /// Source up to the point of common coupling, per phase.
    pub source: Impedance,
    /// Line reactor and cable behind that point, per phase.
    pub reactor: Impedance,
    /// Leakage of the transformer's winding before each bridge, per phase; twelve pulses only.
    pub winding: Impedance,
    /// DC choke: one behind each bridge, one in all for bridges in series.
    pub choke: Impedance,
    /// DC-link capacitor; zero where the bridge feeds a resistor directly.
    pub capacitance: Capacitance,
    /// Forward drop of one diode.
    pub diode_drop: Voltage,
    /// Load.
    pub load: Load,
}

/// Reactance of a line over the load's own impedance: a load below a millionth of the short-circuit current makes no
/// waveform worth a figure, and behind ten times its own impedance it gets no power.
const LEAST_SHARE: f64 = 1e-6;
const MOST_SHARE: f64 = 10.0;

fn at_least_zero<D: Dimension>(what: &str, value: Quantity<D>) -> Result<(), Refusal> {
    if value.in_si() >= 0.0 && value.is_finite() { Ok(()) } else { Err(Refusal::new(format!("{what} must be zero or more, not {value}"))) }
}

pub(super) fn above_zero<D: Dimension>(what: &str, value: Quantity<D>) -> Result<(), Refusal> {
    if value.in_si() > 0.0 && value.is_finite() { Ok(()) } else { Err(Refusal::new(format!("{what} must be above zero, not {value}"))) }
}

impl Circuit {
    /// Mean DC voltage of the bridge without drops and with continuous current: 3·√2/π·U, 2·√2/π·U on a single phase.
    #[must_use]
    pub fn ideal_mean(&self) -> Voltage {
        let root2 = std::f64::consts::SQRT_2;
        self.voltage
            * match self.feed {
                Feed::SinglePhase => 2.0 * root2 / std::f64::consts::PI,
                Feed::ThreePhase | Feed::TwelvePulseParallel => 3.0 * root2 / std::f64::consts::PI,
                Feed::TwelvePulseSeries => 6.0 * root2 / std::f64::consts::PI,
            }
    }

    /// The load's current at the ideal mean voltage.
    #[must_use]
    pub fn rough_load(&self) -> Current {
        match self.load {
            Load::Current(current) => current,
            Load::Power(power) => Current::a(power.in_w() / self.ideal_mean().in_v()),
            Load::Resistance(resistance) => self.ideal_mean() / resistance,
        }
    }

    /// Refuses what makes no circuit.
    ///
    /// # Errors
    /// A sentence that says what is out of the sensible range, and what would be in it.
    pub fn check(&self) -> Result<(), Refusal> {
        above_zero("the line voltage", self.voltage)?;
        above_zero("the frequency", self.frequency)?;
        for (name, part) in
            [("source", self.source), ("line reactor", self.reactor), ("transformer winding", self.winding), ("DC choke", self.choke)]
        {
            at_least_zero(&format!("the resistance of the {name}"), part.resistance)?;
            at_least_zero(&format!("the inductance of the {name}"), part.inductance)?;
        }
        at_least_zero("the capacitance", self.capacitance)?;
        at_least_zero("the diode drop", self.diode_drop)?;
        match self.load {
            Load::Current(current) => above_zero("the load current", current)?,
            Load::Power(power) => above_zero("the load", power)?,
            Load::Resistance(resistance) => above_zero("the load resistance", resistance)?,
        }
        if self.diode_drop.in_v() > 0.05 * self.voltage.in_v() {
            return Err(Refusal::new(format!(
                "a diode drop of {} is more than a twentieth of the line voltage; a diode takes about 1 V",
                self.diode_drop
            )));
        }
        if self.capacitance == Capacitance::ZERO && !matches!(self.load, Load::Resistance(_)) {
            return Err(Refusal::new(
                "without a capacitor the load must be a resistor (with a choke for smooth current): a load of constant current or power \
                 needs a capacitor to draw from",
            ));
        }
        let twelve = matches!(self.feed, Feed::TwelvePulseParallel | Feed::TwelvePulseSeries);
        if twelve && self.winding.inductance == Inductance::ZERO {
            return Err(Refusal::new("the windings of a twelve-pulse transformer have leakage; give it per phase (4 % to 6 % is common)"));
        }
        if !twelve && self.winding != Impedance::NONE {
            return Err(Refusal::new("a transformer winding is an input of twelve-pulse circuits; add it to the source or the reactor"));
        }
        let omega = std::f64::consts::TAU * self.frequency.in_hz();
        let in_line = self.source.inductance + self.reactor.inductance + self.winding.inductance;
        let reactance = omega * in_line.in_henry();
        let load = self.rough_load().in_a();
        let own = self.voltage.in_v() / load;
        let share = reactance / own;
        if in_line == Inductance::ZERO {
            return Err(Refusal::new(
                "no inductance in the lines: even a stiff supply has one, from its short-circuit current L = U/(√3·ω·I_sc)",
            ));
        }
        if !share.is_finite() || share < LEAST_SHARE {
            return Err(Refusal::new(format!(
                "the load is below a millionth of the short-circuit current behind {in_line} in each line; no harmonics are worth a figure"
            )));
        }
        if share > MOST_SHARE {
            return Err(Refusal::new(format!(
                "{in_line} in each line leaves this load hardly any voltage: it has {} times the load's own impedance",
                plant::quantity::digits(share, 3)
            )));
        }
        Ok(())
    }
}
