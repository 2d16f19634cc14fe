//! What the checks of this group have in common: words as delivered, numbers as typed over.

use calc::sources::PACK;
use calc::working::{Recorder, Step};
use plant::quantity::{Ratio, System, digits, show};
use plant::settings::Setting;
use transfer::settings::{Open, as_delivered, typed_over};

use crate::candidate::{Candidate, Measure};
use crate::check::{Outcome, holds_if};
use crate::facts::{SettingsPair, Stop};

/// A concept and which of several.
pub(crate) type Which = (&'static str, u32);

/// Deviations are told up to this one: ten times too much is bad enough.
const MOST: f64 = 9.99;

/// How a number comes into the new unit when nobody works by its meaning.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum By {
    /// It is typed over as it stands.
    Copying,
    /// It is left as delivered.
    Leaving,
}

/// Whether the candidate is set up by the sheet.
pub(crate) fn by_sheet(unit: &Candidate<'_>) -> bool {
    unit.measures.has(Measure::SettingsSheet)
}

/// Holds when the new unit does what the old one did: as delivered, or with the sheet when it can be set so. Concepts that the old unit has
/// not are left out.
///
/// # Errors
/// As [`SettingsPair::did`].
pub(crate) fn words<R: Recorder>(pair: &SettingsPair<'_, '_>, unit: &Candidate<'_>, rec: &mut R, which: &[Which]) -> Result<Outcome, Stop> {
    let mut seen = false;
    for (concept, number) in which {
        let Some(was) = pair.did(concept, *number)? else { continue };
        seen = true;
        let is = pair.delivered(concept, *number);
        let same = if by_sheet(unit) { pair.takes(concept, *number, was) } else { is == Some(was) };
        if !same {
            let other = match (by_sheet(unit), is) {
                (true, _) => "the new unit cannot be set so".to_owned(),
                (false, Some(is)) => format!("the new unit is delivered with “{is}”"),
                (false, None) => "the new unit has no such setting, or its pack does not say how it is delivered".to_owned(),
            };
            return Ok(holds_if(rec, false, || format!("{} stood at “{was}”; {other}", pair.called(concept, *number)), &PACK));
        }
    }
    if !seen {
        return Ok(Outcome::NotHere);
    }
    Ok(holds_if(rec, true, || "both units do the same".to_owned(), &PACK))
}

/// By how much the worst of some numbers stays inside a share of what it was, in %. Old numbers that are nought are not in use.
///
/// # Errors
/// [`Stop::Refused`] when a number hangs on something that is not known.
pub(crate) fn numbers<R: Recorder>(
    pair: &SettingsPair<'_, '_>,
    unit: &Candidate<'_>,
    rec: &mut R,
    which: &[Which],
    by: By,
    allowed: f64,
) -> Result<Outcome, Stop> {
    let mut worst: Option<Deviation> = None;
    for (concept, number) in which {
        let found = deviation(pair, unit, concept, *number, by)?.filter(|d| d.was.abs() > 0.0);
        let Some(found) = found else { continue };
        if worst.as_ref().is_none_or(|w| found.off > w.off) {
            worst = Some(found);
        }
    }
    let Some(worst) = worst else { return Ok(Outcome::NotHere) };
    let margin = allowed - worst.off;
    rec.step(|| Step::new("margin", worst.text(pair, unit, by), "", &PACK).gives(Ratio::of_one(margin)));
    Ok(Outcome::Margin(margin * 100.0))
}

/// How far one number would lie off.
pub(crate) struct Deviation {
    /// As a share of what it was.
    pub(crate) off: f64,
    /// What it was, SI.
    pub(crate) was: f64,
    /// What it would be, SI; `None` where the new unit has nothing for it.
    pub(crate) is: Option<f64>,
    which: (String, u32),
    at: usize,
    wanted: Option<f64>,
}

impl Deviation {
    pub(crate) fn text(&self, pair: &SettingsPair<'_, '_>, unit: &Candidate<'_>, by: By) -> String {
        let (called, was) = (pair.called(&self.which.0, self.which.1), told(pair, self.at, self.was));
        let how = match (by_sheet(unit), by) {
            (true, _) => "carried by its meaning",
            (false, By::Copying) => "with the same number typed in",
            (false, By::Leaving) => "as delivered",
        };
        match (self.is, self.wanted) {
            (Some(is), _) => format!("{called} was {was}; {how} it is {}", told(pair, self.at, is)),
            (None, Some(wanted)) => format!("{called} was {was}; the new unit would have to take {}, and does not", digits(wanted, 4)),
            (None, None) => format!("{called} was {was}; the new unit has nothing for it"),
        }
    }
}

/// How far one number would lie off; `None` where the old unit has it not, or not in use.
///
/// # Errors
/// As [`numbers`].
pub(crate) fn deviation(
    pair: &SettingsPair<'_, '_>,
    unit: &Candidate<'_>,
    concept: &str,
    number: u32,
    by: By,
) -> Result<Option<Deviation>, Stop> {
    let Some(at) = pair.old.find(concept, number) else { return Ok(None) };
    let refused = |open: Open| Stop::Refused(format!("{}: not known: {}", pair.called(concept, number), open.0));
    let which = (concept.to_owned(), number);
    let Some((to, _)) = pair.new_setting(concept, number) else {
        return Ok(match pair.old.value(at) {
            Ok(was) if was.abs() > 0.0 && pair.changed(at) => Some(Deviation { off: 1.0, was, is: None, which, at, wanted: None }),
            _ => None,
        });
    };
    let Some(typed) = typed_over(&pair.old, at, pair.new, to, Some(pair.current)).map_err(refused)? else { return Ok(None) };
    let is = match (by_sheet(unit), by) {
        (true, _) => typed.carried,
        (false, By::Copying) => typed.copied,
        (false, By::Leaving) => Some(delivered(pair, to)?),
    };
    let off = match is {
        Some(is) if typed.was.abs() > 0.0 => (is / typed.was - 1.0).abs().min(MOST),
        Some(is) => {
            if is.abs() > 0.0 {
                1.0
            } else {
                0.0
            }
        }
        None => 1.0,
    };
    let wanted = if by_sheet(unit) { typed.wanted } else { None };
    Ok(Some(Deviation { off, was: typed.was, is, which, at, wanted }))
}

/// What the new unit's default means.
fn delivered(pair: &SettingsPair<'_, '_>, to: usize) -> Result<f64, Stop> {
    as_delivered(&pair.old, pair.new, to, Some(pair.current))
        .ok_or(Stop::PackSilent("what the unit is delivered with (settings.csv, default)"))
}

/// A value for people.
pub(crate) fn told(pair: &SettingsPair<'_, '_>, at: usize, value: f64) -> String {
    let dimension = pair.old.settings.get(at).and_then(|s: &Setting| s.meaning.as_ref()).and_then(|m| m.concept.dimension());
    dimension.map_or_else(|| digits(value, 4), |of| show(value, of, System::Metric))
}
