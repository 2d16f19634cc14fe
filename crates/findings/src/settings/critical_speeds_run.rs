//! Speeds at which the machine shakes are no longer skipped.

use calc::sources::PACK;
use calc::working::{Recorder, Step};
use plant::quantity::Frequency;

use crate::candidate::{Candidate, Measure};
use crate::check::{Outcome, check};
use crate::facts::{Reader, SettingsPair, Stop};
use crate::settings::look::{By, deviation};

/// How much of an edge may be left, Hz: a step of a keypad. Common practice, no source.
const ALLOWED: f64 = 0.1;
/// Most bands of one unit.
const MOST: u32 = 8;

check! {
    name: "settings/critical-speeds-run",
    severity: Equipment,
    rows: &[93],
    unit: "Hz",
    ways: &[],
    measures: &[Measure::SettingsSheet],
    page: "critical_speeds_run.md",
    run: run,
    remedies: super::sheet,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let Some(pair) = facts.settings(unit, &["skip-frequency", "skip-band"])? else { return Ok(Outcome::NotHere) };
    let mut worst: Option<Band> = None;
    for number in 1..=MOST {
        let Some(band) = band(&pair, unit, number)? else { continue };
        if worst.as_ref().is_none_or(|w| band.left() > w.left()) {
            worst = Some(band);
        }
    }
    let Some(worst) = worst else { return Ok(Outcome::NotHere) };
    let margin = ALLOWED - worst.left();
    rec.step(|| {
        Step::new(
            "margin",
            "part of a critical band that is not skipped",
            "ALLOWED − max(0, f_new,low − f_old,low, f_old,high − f_new,high)",
            &PACK,
        )
        .with("f_old,low", Frequency::hz(worst.old.0))
        .with("f_old,high", Frequency::hz(worst.old.1))
        .with("f_new,low", Frequency::hz(worst.new.map_or(0.0, |n| n.0)))
        .with("f_new,high", Frequency::hz(worst.new.map_or(0.0, |n| n.1)))
        .gives(Frequency::hz(margin))
    });
    Ok(Outcome::Margin(margin))
}

/// Edges of a band in both units, Hz; none in the new one where it is not skipped.
struct Band {
    old: (f64, f64),
    new: Option<(f64, f64)>,
}

impl Band {
    /// How many Hz of the old band the new one leaves.
    fn left(&self) -> f64 {
        let width = self.old.1 - self.old.0;
        self.new.map_or(width, |new| (new.0 - self.old.0).max(self.old.1 - new.1).clamp(0.0, width))
    }
}

fn band(pair: &SettingsPair<'_, '_>, unit: &Candidate<'_>, number: u32) -> Result<Option<Band>, Stop> {
    let middle = deviation(pair, unit, "skip-frequency", number, By::Copying)?.filter(|d| d.was > 0.0);
    // Some units have one width for all their bands.
    let own = if pair.old.find("skip-band", number).is_some() { number } else { 1 };
    let Some((middle, at)) = middle.zip(pair.old.find("skip-band", own)) else { return Ok(None) };
    let width = pair.old.value(at).map_err(|open| Stop::Refused(format!("{}: not known: {}", pair.called("skip-band", own), open.0)))?;
    if width <= 0.0 {
        return Ok(None);
    }
    let edges = |middle: f64, width: f64| (middle - width / 2.0, middle + width / 2.0);
    let new_band = match pair.new_setting("skip-band", number) {
        // The width of the new unit's first band holds for all.
        None if pair.new_setting("skip-band", 1).is_some() => deviation(pair, unit, "skip-band", 1, By::Copying)?.and_then(|d| d.is),
        _ => deviation(pair, unit, "skip-band", own, By::Copying)?.and_then(|d| d.is),
    };
    let new = middle.is.zip(new_band).map(|(m, w)| edges(m, w));
    Ok(Some(Band { old: edges(middle.was, width), new }))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::settings::cases::{List, margin, number};
    use plant::settings::Definition as D;

    fn list(new: D) -> List {
        List::of(number("skip-band", 1, D::HalfWidth, "Hz", "1.5"), number("skip-band", 1, new, "Hz", "0"))
            .old(number("skip-frequency", 1, D::Plain, "Hz", "41.5").default("0"))
    }

    #[test]
    fn half_a_band_is_left() {
        // 40.0 to 43.0 Hz; 1.5 Hz in all are 40.75 to 42.25 Hz: 0.1 − 0.75.
        let skips = number("skip-frequency", 1, D::Plain, "Hz", "0");
        margin(&CHECK, &[], &list(D::FullWidth).offered(skips.clone()), false, -0.65);
        margin(&CHECK, &[], &list(D::HalfWidth).offered(skips.clone()), false, 0.1);
        margin(&CHECK, &[], &list(D::FullWidth).offered(skips), true, 0.1);
    }

    #[test]
    fn a_unit_that_skips_nothing_runs_through() {
        margin(&CHECK, &[], &list(D::FullWidth), true, -2.9);
    }
}
