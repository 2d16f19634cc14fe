//! What does not go together in one unit. Each rule is common practice, no source, where no other is named.

use std::f64::consts::SQRT_2;

use plant::choice::{Choice, Duty};
use plant::quantity::digits;

use super::side::Side;

/// Settings that do not go together.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Conflict {
    /// Ids of the settings.
    pub settings: Vec<String>,
    /// What is wrong, in plain words.
    pub what: String,
}

/// Most fixed speeds, skip bands and so on of one unit.
const MOST: u32 = 32;

/// Looks a unit over.
#[must_use]
pub fn conflicts(side: &Side<'_>, duty: Option<Duty>) -> Vec<Conflict> {
    let mut look = Look { side, found: Vec::new() };
    look.speeds();
    look.skips();
    look.bus();
    look.motor();
    look.starting();
    if let (Some(word), Some(duty)) = (side.word("duty-class", 1), duty)
        && word != duty.word()
    {
        look.say(&[("duty-class", 1)], format!("the unit is set for {word} duty, but its rating was chosen for {} duty", duty.word()));
    }
    look.found
}

struct Look<'l, 's> {
    side: &'l Side<'s>,
    found: Vec<Conflict>,
}

impl Look<'_, '_> {
    fn value(&self, concept: &str, number: u32) -> Option<f64> {
        self.side.of(concept, number)?.ok()
    }

    fn word(&self, concept: &str) -> Option<&'static str> {
        self.side.word(concept, 1)
    }

    fn say(&mut self, concepts: &[(&str, u32)], what: String) {
        let ids =
            concepts.iter().filter_map(|(c, n)| self.side.find(c, *n)).filter_map(|at| self.side.settings.get(at)).map(|s| s.id.clone());
        self.found.push(Conflict { settings: ids.collect(), what });
    }

    /// The first lies above the second.
    fn above(&mut self, low: (&str, u32), high: (&str, u32), what: &str) {
        if let (Some(a), Some(b)) = (self.value(low.0, low.1), self.value(high.0, high.1))
            && a > b * (1.0 + 1e-9)
        {
            self.say(&[low, high], format!("{what}: {} Hz against {} Hz", digits(a, 4), digits(b, 4)));
        }
    }

    fn speeds(&mut self) {
        self.above(("minimum-speed", 1), ("maximum-speed", 1), "the lowest speed lies above the highest");
        self.above(("maximum-speed", 1), ("maximum-output-frequency", 1), "the highest speed lies above the highest output frequency");
        self.above(("minimum-speed", 1), ("maximum-output-frequency", 1), "the lowest speed lies above the highest output frequency");
        self.above(("jog-speed", 1), ("maximum-speed", 1), "the inching speed lies above the highest speed");
        self.above(("zero-speed-threshold", 1), ("minimum-speed", 1), "the unit would report standstill at its lowest speed");
        self.above(("sleep-level", 1), ("maximum-speed", 1), "it would sleep at every speed");
        if let (Some(sleep), Some(low)) = (self.value("sleep-level", 1), self.value("minimum-speed", 1))
            && sleep > 0.0
            && sleep < low
        {
            self.say(&[("sleep-level", 1), ("minimum-speed", 1)], "it never sleeps: the level lies below the lowest speed".into());
        }
        for number in 1..=MOST {
            self.above(("preset-speeds", number), ("maximum-speed", 1), "a fixed speed lies above the highest speed");
        }
    }

    fn skips(&mut self) {
        for number in 1..=MOST {
            let Some(middle) = self.value("skip-frequency", number).filter(|f| *f > 0.0) else { continue };
            let Some((at, width)) = [number, 1].into_iter().find_map(|n| self.value("skip-band", n).map(|w| (n, w))) else { continue };
            if width <= 0.0 {
                self.say(&[("skip-frequency", number), ("skip-band", at)], "the band to skip has no width: nothing is skipped".into());
                continue;
            }
            let (low, high) = (middle - width / 2.0, middle + width / 2.0);
            for (concept, what) in
                [("minimum-speed", "the lowest speed"), ("maximum-speed", "the highest speed"), ("jog-speed", "the inching speed")]
            {
                if self.value(concept, 1).is_some_and(|f| f > low && f < high) {
                    self.say(&[("skip-frequency", number), (concept, 1)], format!("{what} lies inside a band to skip"));
                }
            }
            for preset in 1..=MOST {
                if self.value("preset-speeds", preset).is_some_and(|f| f > low && f < high) {
                    self.say(
                        &[("skip-frequency", number), ("preset-speeds", preset)],
                        "a fixed speed lies inside a band to skip: it is never reached".into(),
                    );
                }
            }
            for other in number + 1..=MOST {
                let Some(next) = self.value("skip-frequency", other).filter(|f| *f > 0.0) else { continue };
                let wide = self.value("skip-band", other).or_else(|| self.value("skip-band", 1)).unwrap_or(0.0);
                if (next - middle).abs() < f64::midpoint(width, wide) {
                    self.say(&[("skip-frequency", number), ("skip-frequency", other)], "two bands to skip overlap: they act as one".into());
                }
            }
        }
    }

    fn bus(&mut self) {
        let chopper = self.word("brake-chopper-enable") == Some("on");
        if chopper && self.word("bus-voltage-regulator").is_some_and(|w| w != "off") {
            self.say(
                &[("brake-chopper-enable", 1), ("bus-voltage-regulator", 1)],
                "the bus-voltage regulator keeps the bus below the chopper's level: the resistor gets nothing".into(),
            );
        }
        let level = self.value("brake-chopper-level", 1);
        if let (true, Some(level), Some(supply)) = (chopper, level, self.side.machine.supply) {
            // 10 % above the nominal voltage is usual (common practice, no source).
            let peak = supply * 1.1 * SQRT_2;
            if level < peak {
                self.say(
                    &[("brake-chopper-level", 1)],
                    format!(
                        "the chopper switches on at {} V, below the peak of the supply at 110 % ({} V): the resistor burns",
                        digits(level, 4),
                        digits(peak, 4)
                    ),
                );
            }
        }
        if let (Some(level), Some(trip)) = (level, self.value("overvoltage-trip", 1))
            && level >= trip
        {
            self.say(
                &[("brake-chopper-level", 1), ("overvoltage-trip", 1)],
                "the unit trips on over-voltage before the chopper acts".into(),
            );
        }
        if let (Some(low), Some(supply)) = (self.value("undervoltage-level", 1), self.side.machine.supply)
            && low > supply * SQRT_2 * 0.95
        {
            self.say(&[("undervoltage-level", 1)], "the under-voltage level lies at the nominal voltage: it trips at every dip".into());
        }
    }

    fn motor(&mut self) {
        let unit = self.side.unit_current;
        for (concept, what) in [("motor-current", "the motor's current"), ("motor-overload", "the overload setting")] {
            if let (Some(set), Some(unit)) = (self.value(concept, 1), unit)
                && set > unit * 1.000_001
            {
                self.say(
                    &[(concept, 1)],
                    format!("{what} ({} A) lies above the unit's rated current ({} A)", digits(set, 4), digits(unit, 4)),
                );
            }
        }
        if let (Some(limit), Some(motor)) = (self.value("current-limit", 1), self.value("motor-current", 1))
            && limit < motor
        {
            self.say(
                &[("current-limit", 1), ("motor-current", 1)],
                "the current limit lies below the motor's rated current: it never gives its torque".into(),
            );
        }
        let plate = self.side.machine;
        if let (Some(volts), Some(hertz), Some(v), Some(f)) =
            (self.value("motor-voltage", 1), self.value("motor-frequency", 1), plate.voltage, plate.frequency)
        {
            let flux = (volts / hertz) / (v / f);
            // One per cent is what a rounded plate makes.
            if (flux - 1.0).abs() > 0.01 {
                self.say(
                    &[("motor-voltage", 1), ("motor-frequency", 1)],
                    format!("volts per hertz are {} % of the plate's", digits(flux * 100.0, 3)),
                );
            }
        }
        if self.word("motor-control-method") == Some("closed-loop-vector") && self.value("slip-compensation", 1).is_some_and(|s| s > 0.0) {
            self.say(
                &[("motor-control-method", 1), ("slip-compensation", 1)],
                "slip is compensated twice: by the encoder and by the setting".into(),
            );
        }
        if let (Some(loss), Some(kind)) = (self.value("reference-loss", 1), self.word("analogue-input-kind"))
            && loss > 0.0
            && kind == "0-20ma"
        {
            self.say(
                &[("reference-loss", 1), ("analogue-input-kind", 1)],
                "a range from 0 mA has no loss to see: it would act at low references".into(),
            );
        }
    }

    fn starting(&mut self) {
        let restarts = self.value("fault-auto-restart", 1).is_some_and(|n| n >= 1.0);
        if self.word("start-on-power-up") == Some("on") && self.word("start-wiring") == Some("three-wire") {
            self.say(
                &[("start-on-power-up", 1), ("start-wiring", 1)],
                "a start on power-up with momentary buttons: the unit starts by itself or never, by its own rule".into(),
            );
        }
        if restarts && self.word("start-on-power-up") == Some("on") {
            self.say(
                &[("fault-auto-restart", 1), ("start-on-power-up", 1)],
                "it starts by itself after power and after faults: people at the machine must know".into(),
            );
        }
        if self.word("flying-start").is_some_and(|w| w != "off") && self.value("dc-brake-time", 2).is_some_and(|t| t > 0.0) {
            self.say(
                &[("flying-start", 1), ("dc-brake-time", 2)],
                "direct current before the start stops the motor that the flying start should catch".into(),
            );
        }
    }
}
