//! The sheet: one line for every old row, every old setting that the list leaves out, and every new setting that nothing set.

use plant::choice::{Choice, Duty};
use plant::quantity::{DimensionInfo, System, show};
use plant::settings::{Access, Base, Definition, Extent, FoundList, Law, Outcome, Raw, Setting, Values};

use super::conflict::{Conflict, conflicts};
use super::load::{Step, sequence};
use super::number::{NOISE, number_text, raw_text, shown, si, stepped};
use super::rows::{rows, values};
use super::side::{Context, Machine, NOUGHT, Open, RoundedRamp, Rounding, Side, number, word};

/// A setting as people see it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Shown {
    /// Its place among the unit's settings; `None` for a row that names none of them.
    pub at: Option<usize>,
    /// Its id.
    pub id: String,
    /// Its value, as the unit shows it; what was written where it could not be read.
    pub text: String,
}

/// The neutral value between old and new.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Value {
    /// A physical value, SI.
    Number(f64, &'static DimensionInfo),
    /// A word of the concept.
    Word(&'static str),
}

impl Value {
    /// For people.
    #[must_use]
    pub fn text(self, system: System) -> String {
        match self {
            Self::Number(si, info) => show(si, info, system),
            Self::Word(word) => word.to_owned(),
        }
    }
}

/// One line of the sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// In the old unit; `None` for a new setting that nothing old stands behind.
    pub old: Option<Shown>,
    /// Concept and which of several; `None` where nothing neutral stands for it.
    pub concept: Option<(&'static str, u32)>,
    /// What it means.
    pub value: Option<Value>,
    /// In the new unit, with the value to set; `None` where nothing is to be set.
    pub new: Option<Shown>,
    /// The value to set.
    pub raw: Option<Raw>,
    /// What becomes of it.
    pub outcome: Outcome,
    /// What rounding changes, in SI of the value.
    pub loss: Option<f64>,
    /// Why.
    pub reason: String,
    /// Whether the old value is the old unit's default, taken because the list holds only what was changed.
    pub from_default: bool,
}

/// What becomes of all settings.
#[derive(Clone, Debug)]
pub struct Sheet<'s> {
    /// Old rows in the order of the list, then old settings that it leaves out, then new settings that nothing set.
    pub lines: Vec<Line>,
    /// The old unit as found.
    pub old: Side<'s>,
    /// The new unit as it will stand.
    pub new: Side<'s>,
    /// What to enter, in order.
    pub load: Vec<Step>,
    /// What does not go together in the new unit.
    pub conflicts: Vec<Conflict>,
}

/// Translates a list. `duty` is the duty class that the new rating relied on.
#[must_use]
pub fn translate<'s>(
    list: &FoundList,
    old: &'s [Setting],
    old_current: Option<f64>,
    new: &'s [Setting],
    new_current: Option<f64>,
    machine: Machine,
    duty: Option<Duty>,
) -> Sheet<'s> {
    let extent = list.extent.unwrap_or(Extent::Full);
    let rows = rows(list, old);
    let old_side = Side { settings: old, values: values(&rows, extent, old).into(), unit_current: old_current, machine };
    let mut new_side = Side::at_defaults(new, new_current, machine);
    let partner = |setting: &Setting| setting.meaning.as_ref().and_then(|m| new.iter().position(|n| n.is(m.concept.id, m.number)));
    let mut behind: Vec<Option<usize>> = vec![None; new.len()];
    for (at, setting) in old.iter().enumerate() {
        let settable = |to: &usize| setting.access != Access::ReadOnly && new[*to].access != Access::ReadOnly;
        if let Some(to) = partner(setting).filter(settable) {
            behind[to] = Some(at);
        }
    }
    // What nothing old decides, but the plate or the choice of rating does.
    let mut given: Vec<Option<(Raw, Value, &'static str)>> =
        (0..new.len()).map(|at| plate(&new[at], machine, duty, behind[at].is_some())).collect();
    for (value, own) in new_side.values.to_mut().iter_mut().zip(&given) {
        if let Some((raw, ..)) = own {
            *value = Some(raw.clone());
        }
    }
    let mut maker = Maker { old: &old_side, new: new_side, behind, made: vec![None; new.len()], busy: vec![false; new.len()] };
    for (at, own) in given.iter().enumerate() {
        if own.is_some() {
            maker.behind[at] = None;
        }
    }
    for at in 0..new.len() {
        maker.make(at);
    }
    let Maker { new: new_side, made, .. } = maker;

    let mut lines = Vec::new();
    let mut done = vec![false; old.len()];
    for row in rows {
        lines.push(match row.held {
            Err(why) => {
                Line { old: Some(Shown { at: None, id: row.found.id.clone(), text: row.found.text.clone() }), reason: why, ..Line::open() }
            }
            Ok((at, raw)) => {
                // A setting that stands twice with one value is one setting: the second row repeats the first.
                let again = std::mem::replace(&mut done[at], true);
                let mut line = old_line(&old[at], raw.as_ref(), false, partner(&old[at]), new, &made, &given);
                if again {
                    line.reason = format!("the list has it twice; {}", line.reason);
                }
                line.old = Some(Shown { at: Some(at), id: row.found.id.clone(), text: row.found.text.clone() });
                line
            }
        });
    }
    for (at, setting) in old.iter().enumerate().filter(|(at, _)| !done[*at]) {
        let raw = match (extent, &setting.default) {
            (Extent::Full, _) if setting.access == Access::ReadOnly => continue,
            (Extent::Full, _) => Err("the list is said to be full, but lacks it"),
            (Extent::ChangedOnly, Some(raw)) => Ok(raw),
            (Extent::ChangedOnly, None) => Err("the list leaves it out, and its pack does not say its default"),
        };
        let mut line = old_line(setting, raw.map_err(str::to_owned).as_ref().map(|r| *r), true, partner(setting), new, &made, &given);
        line.old = Some(Shown {
            at: Some(at),
            id: setting.id.clone(),
            text: raw.map_or_else(|_| String::new(), |r| format!("{} (default)", raw_text(setting, r))),
        });
        lines.push(line);
    }
    let reached = |at: usize| lines.iter().any(|l: &Line| l.new.as_ref().is_some_and(|n| n.at == Some(at)));
    let free: Vec<usize> = (0..new.len()).filter(|at| !reached(*at) && new[*at].access != Access::ReadOnly).collect();
    for at in free {
        lines.push(new_line(&new[at], at, given[at].take()));
    }
    let conflicts = conflicts(&new_side, duty);
    let load = sequence(&lines, new);
    Sheet { lines, old: old_side, new: new_side, load, conflicts }
}

impl Line {
    fn open() -> Self {
        Self {
            old: None,
            concept: None,
            value: None,
            new: None,
            raw: None,
            outcome: Outcome::NeedsDecision,
            loss: None,
            reason: String::new(),
            from_default: false,
        }
    }
}

/// What the plate or the choice of the rating sets: the duty class always, the motor's data where no old setting stands behind.
fn plate(setting: &Setting, machine: Machine, duty: Option<Duty>, has_old: bool) -> Option<(Raw, Value, &'static str)> {
    let meaning = setting.meaning.as_ref().filter(|m| m.number == 1)?;
    if meaning.concept.id == "duty-class" {
        let wanted = duty?.word();
        let listed = setting.choices().iter().find(|c| c.word == Some(wanted))?;
        return Some((Raw::Text(listed.value.clone()), Value::Word(listed.word?), "the duty class that the rating relied on"));
    }
    if has_old {
        return None;
    }
    let value = match meaning.concept.id {
        "motor-power" => machine.power,
        "motor-voltage" => machine.voltage,
        "motor-frequency" => machine.frequency,
        "motor-current" | "motor-overload" => machine.current,
        "motor-speed" => machine.speed,
        "motor-power-factor" => machine.power_factor,
        _ => None,
    }?;
    let scale = setting.scale().filter(|s| s.definition == Definition::Plain)?;
    let raw = stepped(scale, shown(scale, value));
    let inside = scale.range.is_none_or(|(low, high)| (low..=high).contains(&raw));
    inside.then_some((
        Raw::Number(raw),
        Value::Number(value, meaning.concept.dimension()?),
        "from the motor’s plate; the old unit has no such setting",
    ))
}

/// What was made of one new setting out of the old one behind it.
#[derive(Clone, Debug)]
struct Made {
    value: Option<Value>,
    raw: Option<Raw>,
    outcome: Outcome,
    loss: Option<f64>,
    reason: String,
}

impl Made {
    fn open(value: Option<Value>, reason: String) -> Self {
        Self { value, raw: None, outcome: Outcome::NeedsDecision, loss: None, reason }
    }
}

/// Makes new values one after the other, those that others hang on first.
struct Maker<'m, 's> {
    old: &'m Side<'s>,
    new: Side<'s>,
    /// The old setting behind each new one.
    behind: Vec<Option<usize>>,
    made: Vec<Option<Made>>,
    busy: Vec<bool>,
}

impl Maker<'_, '_> {
    fn make(&mut self, at: usize) {
        if self.made[at].is_some() || self.busy[at] {
            return;
        }
        let Some(from) = self.behind[at] else { return };
        self.busy[at] = true;
        let made = self.made_of(from, at);
        let value = made.raw.clone().or_else(|| match made.outcome {
            // What nobody decided may be anything: nothing that hangs on it is worked out.
            Outcome::NeedsDecision | Outcome::OutOfRange => None,
            _ => self.new.values[at].clone(),
        });
        self.new.values.to_mut()[at] = value;
        self.made[at] = Some(made);
        self.busy[at] = false;
    }

    fn made_of(&mut self, from: usize, at: usize) -> Made {
        let (old, new) = (&self.old.settings[from], &self.new.settings[at]);
        let Some(raw) = &self.old.values[from] else { return Made::open(None, String::new()) };
        let (Some(was), Some(will)) = (&old.meaning, &new.meaning) else { return Made::open(None, String::new()) };
        match (&was.values, &will.values) {
            (Values::Choice(_), Values::Choice(list)) => {
                let Some(word) = word(old, raw) else {
                    return Made::open(None, "nothing neutral stands for this value of the old unit".into());
                };
                match list.iter().find(|c| c.word == Some(word)) {
                    Some(listed) => {
                        let raw_new = Raw::Text(listed.value.clone());
                        let same = *raw == raw_new;
                        Made {
                            value: Some(Value::Word(word)),
                            outcome: if same { Outcome::Carried } else { Outcome::Converted },
                            raw: Some(raw_new),
                            loss: None,
                            reason: if same { "the same value means the same".into() } else { "by its meaning".into() },
                        }
                    }
                    None => {
                        let can: Vec<&str> = list.iter().filter_map(|c| c.word).collect();
                        Made::open(Some(Value::Word(word)), format!("the new unit has no “{word}”; it has {}", can.join(", ")))
                    }
                }
            }
            (Values::Number(from_scale), Values::Number(to)) => {
                let Raw::Number(number) = *raw else { return Made::open(None, "no number".into()) };
                let (from_scale, to) = (from_scale.clone(), to.clone());
                self.number(from, at, number, &from_scale, &to)
            }
            _ => Made::open(None, "a number in one unit, a list in the other".into()),
        }
    }

    fn number(&mut self, from: usize, at: usize, old_number: f64, was: &plant::settings::Scale, to: &plant::settings::Scale) -> Made {
        let meaning = self.new.settings[at].meaning.clone();
        let Some((meaning, info)) = meaning.and_then(|m| m.concept.dimension().map(|d| (m, d))) else {
            return Made::open(None, String::new());
        };
        let context =
            Context { concept: meaning.concept.id, number: meaning.number, machine: self.new.machine, unit_current: self.new.unit_current };
        let value = match self.old.value(from) {
            Ok(value) => value,
            Err(Open(what)) if what == NOUGHT => {
                let alike =
                    matches!((was.definition.law(), to.definition.law()), (Law::Over(_), Law::Over(_)) | (Law::Inverse, Law::Inverse));
                if alike && to.range.is_none_or(|(low, high)| (low..=high).contains(&0.0)) {
                    return Made {
                        value: None,
                        raw: Some(Raw::Number(0.0)),
                        outcome: Outcome::Carried,
                        loss: None,
                        reason: "nought stands for “none” or “at once” in both".into(),
                    };
                }
                return Made::open(None, format!("there is no number for {what}"));
            }
            Err(Open(what)) => {
                return Made::open(None, format!("what it means hangs on something of the old unit that is not known: {what}"));
            }
        };
        let shown_value = Some(Value::Number(value, info));
        let wanted = match self.wanted(at, value, to, context) {
            Ok(si) => si,
            Err(Open(what)) if what == NOUGHT => {
                return Made::open(shown_value, "the new unit has no number for nought under its definition".into());
            }
            Err(Open(what)) => {
                return Made::open(shown_value, format!("its number hangs on something of the new unit that is not known: {what}"));
            }
        };
        let exact = shown(to, wanted);
        let mut raw = stepped(to, exact);
        if let Some((low, high)) = to.range {
            if exact < low - to.step * (0.5 + NOISE) || exact > high + to.step * (0.5 + NOISE) {
                let end = if exact < low { low } else { high };
                let side = if exact < low { "at least" } else { "at most" };
                return Made {
                    value: shown_value,
                    raw: None,
                    outcome: Outcome::OutOfRange,
                    loss: None,
                    reason: format!("it would be {}; the new unit takes {side} {}", number_text(to, exact), number_text(to, end)),
                };
            }
            raw = raw.clamp(low, high);
        }
        self.new.values.to_mut()[at] = Some(Raw::Number(raw));
        let result = self.new.value(at).unwrap_or(value);
        let loss = result - value;
        let scale_of = value.abs().max(result.abs());
        if loss.abs() > NOISE * scale_of {
            return Made {
                value: shown_value,
                raw: Some(Raw::Number(raw)),
                outcome: Outcome::Rounded,
                loss: Some(loss),
                reason: format!(
                    "exact would be {} {}; the step is {}",
                    plant::quantity::digits(exact, 6),
                    to.unit.symbol,
                    number_text(to, to.step)
                ),
            };
        }
        let same = (raw - old_number).abs() <= NOISE * raw.abs().max(1.0) && was.unit == to.unit;
        let reason = match (same, was.definition == to.definition) {
            (true, true) => "same definition, same number".to_owned(),
            (true, false) => format!("“{}” and “{}” come out at the same number here", was.definition.word(), to.definition.word()),
            (false, true) => "same definition, in the new unit’s terms".to_owned(),
            (false, false) => format!("was “{}”, is “{}”", was.definition.word(), to.definition.word()),
        };
        Made {
            value: shown_value,
            raw: Some(Raw::Number(raw)),
            outcome: if same { Outcome::Carried } else { Outcome::Converted },
            loss: None,
            reason,
        }
    }

    /// The number, SI, that a value asks for in the new unit.
    fn wanted(&mut self, at: usize, value: f64, to: &plant::settings::Scale, context: Context) -> Result<f64, Open> {
        // Those that it hangs on stand first.
        let behind: &[&str] = match to.definition.law() {
            Law::Times(Base::Gain) | Law::Over(Base::Gain) => &["pid-gain", "speed-regulator-gain"],
            Law::Times(_) | Law::Over(_) => {
                &["motor-frequency", "motor-voltage", "motor-current", "reference-frequency", "maximum-output-frequency", "maximum-speed"]
            }
            _ => &[],
        };
        for concept in behind {
            let numbers = if concept.ends_with("gain") { context.number } else { 1 };
            if let Some(first) = self.new.find(concept, numbers).filter(|f| *f != at) {
                self.make(first);
            }
        }
        if matches!(to.definition, Definition::ShareInside | Definition::ShareAdded) {
            return self.rounding_share(value, to.definition);
        }
        let rounding = self.rounding(at)?;
        let new = &self.new;
        let mut get = |concept: &'static str, number: u32| new.of(concept, number);
        number(to, value, context, rounding, &mut get)
    }

    /// Rounding of the new unit's ramps that lies inside their time.
    fn rounding(&mut self, at: usize) -> Result<Option<Rounding>, Open> {
        let Some(own) = self.new.find("s-curve", 1).filter(|s| *s != at) else { return Ok(None) };
        let Some(scale) = self.new.settings[own].scale().filter(|s| s.definition.is_inside()).cloned() else { return Ok(None) };
        self.make(own);
        let Some(Raw::Number(number)) = self.new.values[own] else { return Err(Open("rounding of the ramps (s-curve)".into())) };
        Ok(Some(if scale.definition == Definition::ShareInside {
            Rounding::Share(si(&scale, number))
        } else {
            Rounding::Seconds(si(&scale, number))
        }))
    }

    /// Rounding as a share of the new acceleration ramp, whose time follows from the old steepness.
    fn rounding_share(&mut self, seconds: f64, definition: Definition) -> Result<f64, Open> {
        if seconds.abs() <= 0.0 {
            return Ok(0.0);
        }
        let steepness = self.old.of("acceleration-ramp", 1).ok_or_else(|| Open(Base::RampTime.text().into()))??;
        let context = Context { concept: "s-curve", number: 1, machine: self.new.machine, unit_current: self.new.unit_current };
        let ramp = RoundedRamp::new(self.new.settings, definition, steepness, context)?;
        for concept in ["motor-frequency", "reference-frequency", "maximum-output-frequency", "maximum-speed"] {
            if let Some(first) = self.new.find(concept, 1) {
                self.make(first);
            }
        }
        let new = &self.new;
        ramp.share(seconds, &mut |concept, number| new.of(concept, number))
    }
}

/// The line of an old setting.
fn old_line(
    setting: &Setting,
    raw: Result<&Raw, &String>,
    left_out: bool,
    partner: Option<usize>,
    new: &[Setting],
    made: &[Option<Made>],
    given: &[Option<(Raw, Value, &'static str)>],
) -> Line {
    let concept = setting.meaning.as_ref().map(|m| (m.concept.id, m.number));
    let is_default = raw.is_ok_and(|r| setting.default.as_ref() == Some(r));
    let base = Line { concept, from_default: left_out && raw.is_ok(), ..Line::open() };
    let at_default = if is_default { "; it stands at its default" } else { "" };
    let none = |reason: String| Line { outcome: Outcome::NoCounterpart, reason, ..base.clone() };
    if setting.access == Access::ReadOnly {
        return none("a reading of the old unit: nothing is to be set".into());
    }
    let Some((_, number)) = concept else {
        return none(format!(
            "its pack gives it no neutral meaning: {}{at_default}",
            if setting.note.is_empty() { "see its documents" } else { &setting.note }
        ));
    };
    let Some(to) = partner else {
        let which = if number > 1 { " of that number" } else { "" };
        let reason = format!("the new unit has no such setting{which}{at_default}");
        return match raw {
            Ok(_) => none(reason),
            Err(why) => Line { reason: format!("{why}; {reason}"), ..base },
        };
    };
    let target = Shown { at: Some(to), id: new[to].id.clone(), text: String::new() };
    if new[to].access == Access::ReadOnly {
        return none("the new unit only shows it".into());
    }
    if let Some((raw_new, value, why)) = given.get(to).and_then(Option::as_ref) {
        let own = raw.ok().and_then(|r| word(setting, r));
        let same = own.is_some_and(|w| Value::Word(w) == *value);
        return Line {
            value: Some(*value),
            new: Some(Shown { text: raw_text(&new[to], raw_new), ..target }),
            raw: Some(raw_new.clone()),
            outcome: if same && raw.is_ok_and(|r| r == raw_new) { Outcome::Carried } else { Outcome::Converted },
            reason: if same { (*why).to_owned() } else { format!("{why}; the old unit stood otherwise") },
            ..base
        };
    }
    if let Err(why) = raw {
        return Line { new: Some(target), reason: why.clone(), ..base };
    }
    let Some(Some(made)) = made.get(to) else { return Line { new: Some(target), reason: "it hangs on itself".into(), ..base } };
    let mut line = Line {
        value: made.value,
        new: Some(Shown { text: made.raw.as_ref().map_or_else(String::new, |r| raw_text(&new[to], r)), ..target }),
        raw: made.raw.clone(),
        outcome: made.outcome,
        loss: made.loss,
        reason: made.reason.clone(),
        ..base
    };
    if left_out && line.raw.is_some() && line.raw == new[to].default && line.loss.is_none() {
        line.outcome = Outcome::LeftAtDefault;
        line.reason = "both stand at their defaults, which mean the same".into();
    } else if left_out && line.raw.is_some() {
        line.reason = format!("the defaults mean different things; {}", line.reason);
    }
    line
}

/// The line of a new setting that no old one leads to.
fn new_line(setting: &Setting, at: usize, given: Option<(Raw, Value, &'static str)>) -> Line {
    let concept = setting.meaning.as_ref().map(|m| (m.concept.id, m.number));
    let shown = |raw: Option<&Raw>| {
        Some(Shown { at: Some(at), id: setting.id.clone(), text: raw.map_or_else(String::new, |r| raw_text(setting, r)) })
    };
    match given {
        Some((raw, value, why)) => Line {
            concept,
            value: Some(value),
            new: shown(Some(&raw)),
            outcome: Outcome::Converted,
            reason: why.to_owned(),
            raw: Some(raw),
            ..Line::open()
        },
        None => {
            let reason = match &setting.default {
                Some(_) => "the old unit has no such setting".to_owned(),
                None => "the old unit has no such setting, and the pack does not say this one’s default".to_owned(),
            };
            Line { concept, new: shown(setting.default.as_ref()), outcome: Outcome::LeftAtDefault, reason, ..Line::open() }
        }
    }
}

#[cfg(test)]
mod tests;
