//! One number of the old unit in the new one: typed over as it stands, left as delivered, and carried by its meaning. The frequencies, the
//! motor's data and the gains of the new unit are taken as set to the old ones: what hangs on them is looked at as it would stand then.

use plant::quantity::unit_named;
use plant::settings::{Base, Definition, Raw, Setting};

use super::number::{NOISE, shown, si, stepped};
use super::side::{Context, NOUGHT, Open, RoundedRamp, Rounding, Side, number, physical};

/// A number of the old unit and what it can become, all in SI of what it means.
#[derive(Clone, Debug, PartialEq)]
pub struct Typed {
    /// What it is in the old unit.
    pub was: f64,
    /// What it would be if it were typed over as it stands; `None` where nothing follows from it.
    pub copied: Option<f64>,
    /// What it is when it is carried by its meaning, rounded to the new unit's step; `None` where the new unit does not take it.
    pub carried: Option<f64>,
    /// The new unit's number that is needed for it, in the unit in which it is shown; `None` where it has none.
    pub wanted: Option<f64>,
}

/// The number of an old setting in the new unit; `None` where its number stands for “none” or “at once”.
///
/// # Errors
/// What its meaning hangs on and is not known.
pub fn typed_over(old: &Side<'_>, at: usize, new: &[Setting], to: usize, new_current: Option<f64>) -> Result<Option<Typed>, Open> {
    let (Some(own), Some(setting)) = (old.settings.get(at), new.get(to)) else { return Err(Open("a setting".into())) };
    let (Some(from), Some(scale), Some(meaning)) = (own.scale(), setting.scale(), &setting.meaning) else {
        return Err(Open(format!("a number in {}", own.id)));
    };
    let Some(Some(Raw::Number(old_number))) = old.values.get(at) else {
        return Err(Open(format!("the value of {} ({})", own.id, own.text)));
    };
    let was = match old.value(at) {
        Ok(was) => was,
        Err(Open(what)) if what == NOUGHT => return Ok(None),
        Err(open) => return Err(open),
    };
    let context = Context { concept: meaning.concept.id, number: meaning.number, machine: old.machine, unit_current: new_current };
    let mut get = |concept: &'static str, number: u32| old.of(concept, number);
    let rounding = rounding(old, new);
    let Some(own_dimension) = meaning.concept.dimension().map(|of| scale.definition.dimension(of)) else {
        return Err(Open("a dimension".into()));
    };
    // "15 s" stays fifteen seconds in a unit that shows minutes; where the units have nothing in common the digits alone are typed.
    let typed = match unit_named(own_dimension, from.unit.symbol) {
        Some(_) => shown(scale, si(from, *old_number)),
        None => *old_number,
    };
    let typed = stepped(scale, typed);
    let copied = physical(scale, typed, context, rounding, old.ramp_time(), &mut get).ok();
    // A share of the ramp is one of the ramp that the new unit needs for the old steepness.
    let share = matches!(scale.definition, Definition::ShareInside | Definition::ShareAdded);
    let ramp = if share && was.abs() > 0.0 {
        let steepness = old.of("acceleration-ramp", 1).ok_or_else(|| Open(Base::RampTime.text().into()))??;
        Some(RoundedRamp::new(new, scale.definition, steepness, context)?)
    } else {
        None
    };
    let asked = match &ramp {
        Some(ramp) => ramp.share(was, &mut get),
        None if share => Ok(0.0),
        None => number(scale, was, context, rounding, &mut get),
    };
    let wanted = match asked {
        Ok(wanted) => shown(scale, wanted),
        Err(Open(what)) if what == NOUGHT => return Ok(Some(Typed { was, copied, carried: None, wanted: None })),
        Err(open) => return Err(open),
    };
    let inside = scale.range.is_none_or(|(low, high)| {
        let room = scale.step * (0.5 + NOISE);
        (low - room..=high + room).contains(&wanted)
    });
    let number = scale.range.map_or(stepped(scale, wanted), |(low, high)| stepped(scale, wanted).clamp(low, high));
    let carried = match &ramp {
        _ if !inside => None,
        Some(ramp) => ramp.seconds(si(scale, number), &mut get).ok(),
        None if share => Some(0.0),
        None => physical(scale, number, context, rounding, old.ramp_time(), &mut get).ok(),
    };
    Ok(Some(Typed { was, copied, carried, wanted: Some(wanted) }))
}

/// What the new unit's default of a setting means beside the old unit's frequencies and data, SI; `None` where the pack does not say it or
/// nothing follows from it.
#[must_use]
pub fn as_delivered(old: &Side<'_>, new: &[Setting], to: usize, new_current: Option<f64>) -> Option<f64> {
    let setting = new.get(to)?;
    let (scale, meaning, Some(Raw::Number(default))) = (setting.scale()?, setting.meaning.as_ref()?, &setting.default) else { return None };
    let context = Context { concept: meaning.concept.id, number: meaning.number, machine: old.machine, unit_current: new_current };
    physical(scale, *default, context, rounding(old, new), old.ramp_time(), &mut |concept, number| old.of(concept, number)).ok()
}

/// The old rounding of ramps, where it lies inside the time of the new unit's.
fn rounding(old: &Side<'_>, new: &[Setting]) -> Option<Rounding> {
    let inside = new.iter().find(|s| s.is("s-curve", 1)).and_then(Setting::scale).is_some_and(|s| s.definition.is_inside());
    let seconds = old.of("s-curve", 1)?.ok()?;
    (inside && seconds > 0.0).then_some(Rounding::Seconds(seconds))
}
