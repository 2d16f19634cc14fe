//! The settings of both sides, for checks: the old unit as found, at one completion of what its numbers hang on.

use std::borrow::Cow;

use plant::settings::{Base, Law, Raw, Scale, Setting};
use plant::survey::{MOTOR_CURRENT, MOTOR_FREQUENCY, MOTOR_POWER, MOTOR_SPEED, MOTOR_VOLTAGE, OLD_CURRENT, SUPPLY_VOLTAGE};
use transfer::settings::side::word;
use transfer::settings::{Machine, Side};

use super::{Reader, Stop};
use crate::candidate::Candidate;

/// The old unit as found, and what the new one can be set to.
#[derive(Clone, Debug)]
pub struct SettingsPair<'s, 'c> {
    /// With the values of the list.
    pub old: Side<'s>,
    /// The new unit's settings.
    pub new: &'c [Setting],
    /// The new unit's rated current, A.
    pub current: f64,
}

impl<'s> Reader<'s> {
    /// The settings of both sides; `None` at a position without a list. The facts behind the numbers of `concepts` are read, and no
    /// others, so that a check hangs on nothing that it does not look at.
    ///
    /// # Errors
    /// [`Stop::PackSilent`] when a pack lists no settings; [`Stop::Open`] when a number hangs on a fact that is not known.
    pub fn settings<'c>(&mut self, unit: &Candidate<'c>, concepts: &[&str]) -> Result<Option<SettingsPair<'s, 'c>>, Stop> {
        let survey = self.survey;
        if survey.position.settings.is_none() {
            return Ok(None);
        }
        let old = &survey.old_settings;
        if old.settings.is_empty() {
            return Err(Stop::PackSilent("the settings of the old drive (settings.csv of its series)"));
        }
        if unit.series.settings.is_empty() {
            return Err(Stop::PackSilent("the settings of the unit (settings.csv)"));
        }
        let current = unit.rating.current.in_a();
        let side = Side { settings: &old.settings, values: Cow::Borrowed(&old.values), unit_current: None, machine: Machine::default() };
        let mut pair = SettingsPair { old: side, new: &unit.series.settings, current };
        self.behind(&mut pair, concepts)?;
        Ok(Some(pair))
    }

    /// Reads what the numbers of these concepts hang on.
    fn behind(&mut self, pair: &mut SettingsPair<'s, '_>, concepts: &[&str]) -> Result<(), Stop> {
        let mut bases: Vec<Base> = Vec::new();
        let of = |scale: &Scale| match scale.definition.law() {
            Law::Times(base) | Law::Over(base) => Some(base),
            _ => None,
        };
        let old = pair.old.clone();
        for setting in old.settings.iter().chain(pair.new) {
            // Few settings hang on anything, and names take long to compare.
            if let Some(base) = setting.scale().and_then(of)
                && !bases.contains(&base)
                && setting.meaning.as_ref().is_some_and(|m| concepts.contains(&m.concept.id))
            {
                bases.push(base);
            }
        }
        // Those frequencies may be written as a share or a speed themselves.
        if bases.iter().any(|b| matches!(b, Base::MaximumFrequency | Base::ReferenceFrequency)) {
            for concept in ["maximum-output-frequency", "maximum-speed", "reference-frequency"] {
                let base = old.find(concept, 1).and_then(|at| old.settings.get(at)).and_then(Setting::scale).and_then(of);
                bases.extend(base.filter(|b| !bases.contains(b)));
            }
        }
        for base in bases {
            self.base(base, pair)?;
        }
        Ok(())
    }

    fn base(&mut self, base: Base, pair: &mut SettingsPair<'s, '_>) -> Result<(), Stop> {
        let known = |pair: &SettingsPair<'_, '_>, concept: &str| matches!(pair.old.of(concept, 1), Some(Ok(_)));
        match base {
            Base::BaseFrequency if !known(pair, "motor-frequency") => self.frequency(pair)?,
            Base::BaseVoltage if !known(pair, "motor-voltage") => pair.old.machine.voltage = Some(self.get(MOTOR_VOLTAGE)?.in_v()),
            Base::MotorCurrent if !known(pair, "motor-current") => self.motor_current(pair)?,
            Base::UnitCurrent => self.old_current(pair)?,
            Base::MotorTorque | Base::InertiaPerSecond => self.torque(pair)?,
            Base::UnitTorque => {
                self.torque(pair)?;
                self.motor_current(pair)?;
                self.old_current(pair)?;
            }
            Base::HertzPerSpeed | Base::RatedSlip => {
                self.frequency(pair)?;
                pair.old.machine.speed = Some(self.get(MOTOR_SPEED)?.in_si());
            }
            Base::NominalBus => pair.old.machine.supply = Some(self.get(SUPPLY_VOLTAGE)?.in_v()),
            _ => {}
        }
        Ok(())
    }

    fn frequency(&mut self, pair: &mut SettingsPair<'s, '_>) -> Result<(), Stop> {
        pair.old.machine.frequency = Some(self.get(MOTOR_FREQUENCY)?.in_hz());
        Ok(())
    }

    fn motor_current(&mut self, pair: &mut SettingsPair<'s, '_>) -> Result<(), Stop> {
        pair.old.machine.current = Some(self.get(MOTOR_CURRENT)?.in_a());
        Ok(())
    }

    fn old_current(&mut self, pair: &mut SettingsPair<'s, '_>) -> Result<(), Stop> {
        pair.old.unit_current = Some(self.get(OLD_CURRENT)?.in_a());
        Ok(())
    }

    fn torque(&mut self, pair: &mut SettingsPair<'s, '_>) -> Result<(), Stop> {
        pair.old.machine.power = Some(self.get(MOTOR_POWER)?.in_si());
        pair.old.machine.speed = Some(self.get(MOTOR_SPEED)?.in_si());
        Ok(())
    }
}

impl SettingsPair<'_, '_> {
    /// The new setting of a concept.
    #[must_use]
    pub fn new_setting(&self, concept: &str, number: u32) -> Option<(usize, &Setting)> {
        self.new.iter().enumerate().find(|(_, s)| s.is(concept, number))
    }

    /// What the new unit does as delivered; `None` where it has no such setting or its pack does not say.
    #[must_use]
    pub fn delivered(&self, concept: &str, number: u32) -> Option<&'static str> {
        let (_, setting) = self.new_setting(concept, number)?;
        word(setting, setting.default.as_ref()?)
    }

    /// Whether the new unit can be set to this word.
    #[must_use]
    pub fn takes(&self, concept: &str, number: u32, word: &str) -> bool {
        self.new_setting(concept, number).is_some_and(|(_, s)| s.choices().iter().any(|c| c.word == Some(word)))
    }

    /// What the old unit did; `None` where it has no such setting.
    ///
    /// # Errors
    /// [`Stop::Refused`] when the list does not say its value, or nothing neutral stands for it.
    pub fn did(&self, concept: &str, number: u32) -> Result<Option<&'static str>, Stop> {
        let Some(at) = self.old.find(concept, number) else { return Ok(None) };
        match self.old.word(concept, number) {
            Some(word) => Ok(Some(word)),
            None => {
                let id = self.old.settings.get(at).map_or("", |s| s.id.as_str());
                Err(Stop::Refused(format!("what {id} ({concept}) stood at is not known by the settings list")))
            }
        }
    }

    /// How the old unit's setting is called: "kb01 (run-up)".
    #[must_use]
    pub fn called(&self, concept: &str, number: u32) -> String {
        let setting = self.old.find(concept, number).and_then(|at| self.old.settings.get(at));
        setting.map_or_else(|| concept.to_owned(), |s| format!("{} ({})", s.id, s.text))
    }

    /// Whether the old unit's number was changed from its default; what is not known counts as changed.
    #[must_use]
    pub fn changed(&self, at: usize) -> bool {
        let value = self.old.values.get(at).and_then(Option::as_ref);
        match (value, self.old.settings.get(at).and_then(|s| s.default.as_ref())) {
            (Some(Raw::Number(a)), Some(Raw::Number(b))) => (a - b).abs() > 1e-9 * a.abs().max(b.abs()),
            (Some(a), Some(b)) => a != b,
            _ => true,
        }
    }
}
