//! Rounding of ramps lies inside the ramp time in one unit and on top of it in the other.

use calc::sources::PACK;
use calc::working::{Recorder, Step};
use plant::quantity::{Ratio, Time};
use plant::settings::{Definition, Law, Raw};

use crate::candidate::{Candidate, Measure};
use crate::check::{Outcome, check};
use crate::facts::{Reader, SettingsPair, Stop};
use crate::settings::look::{By, by_sheet, deviation};

/// By how much the whole time of a ramp may grow or shrink. Common practice, no source.
const ALLOWED: f64 = 0.05;

check! {
    name: "settings/rounding-on-top",
    severity: Downtime,
    rows: &[90],
    unit: "%",
    ways: &[],
    measures: &[Measure::SettingsSheet],
    page: "rounding_on_top.md",
    run: run,
    remedies: super::sheet,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let Some(pair) = facts.settings(unit, &["s-curve", "acceleration-ramp"])? else { return Ok(Outcome::NotHere) };
    let Some(found) = deviation(&pair, unit, "s-curve", 1, By::Copying)?.filter(|d| d.was.abs() > 0.0) else { return Ok(Outcome::NotHere) };
    let Some(time) = ramp_time(&pair) else { return Ok(Outcome::NotHere) };
    let inside = |definition: Option<Definition>| definition.is_some_and(Definition::is_inside);
    let old = inside(pair.old.find("s-curve", 1).and_then(|at| pair.old.settings.get(at)).and_then(|s| s.scale()).map(|s| s.definition));
    let new = inside(pair.new_setting("s-curve", 1).and_then(|(_, s)| s.scale()).map(|s| s.definition));
    let before = if old { time } else { time + found.was };
    // The sheet carries steepness and rounding, so that the whole time is the old one; copied numbers are added or not.
    let after = match found.is {
        Some(_) if by_sheet(unit) => before,
        Some(is) if new => time.max(is),
        Some(is) => time + is,
        None => before - found.was,
    };
    let margin = ALLOWED - (after / before - 1.0).abs();
    rec.step(|| {
        Step::new("margin", "whole time of the ramp, rounding and all", "ALLOWED − |t_new/t_old − 1|", &PACK)
            .with("t_old", Time::s(before))
            .with("t_new", Time::s(after))
            .gives(Ratio::of_one(margin))
    });
    Ok(Outcome::Margin(margin * 100.0))
}

/// Time of the old acceleration ramp as it is set, s.
fn ramp_time(pair: &SettingsPair<'_, '_>) -> Option<f64> {
    let at = pair.old.find("acceleration-ramp", 1)?;
    let scale = pair.old.settings.get(at)?.scale().filter(|s| matches!(s.definition.law(), Law::Over(_)))?;
    match pair.old.values.get(at)? {
        Some(Raw::Number(number)) => Some(number * scale.unit.factor).filter(|t| *t > 0.0),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::settings::cases::{List, margin, number};
    use plant::settings::Definition as D;

    fn list(old: D, new: D) -> List {
        List::of(number("s-curve", 1, old, "s", "2"), number("s-curve", 1, new, "s", "0"))
            .old(number("acceleration-ramp", 1, D::ToBase, "s", "8"))
            .old(number("motor-frequency", 1, D::Plain, "Hz", "60"))
    }

    #[test]
    fn a_share_of_the_ramp() {
        // 25 % of 8 s are 2 s; typed over they come on top of 8 s; by the sheet a third of the straight 6 s does.
        let list = List::of(number("s-curve", 1, D::ShareInside, "%", "25"), number("s-curve", 1, D::ShareAdded, "%", "0"))
            .old(number("acceleration-ramp", 1, D::ToBase, "s", "8"))
            .old(number("motor-frequency", 1, D::Plain, "Hz", "60"))
            .offered(number("acceleration-ramp", 1, D::ToBase, "s", "8"));
        margin(&CHECK, &[], &list, false, -20.0);
        margin(&CHECK, &[], &list, true, 5.0);
    }

    #[test]
    fn two_seconds_inside_and_two_on_top() {
        // 8 s in all against 8 + 2 s: 5 % − 25 %; the other way round 10 s against 8 s: 5 % − 20 %.
        margin(&CHECK, &[], &list(D::InsideRamp, D::AddedToRamp), false, -20.0);
        margin(&CHECK, &[], &list(D::AddedToRamp, D::InsideRamp), false, -15.0);
        margin(&CHECK, &[], &list(D::AddedToRamp, D::AddedToRamp), false, 5.0);
        margin(&CHECK, &[], &list(D::InsideRamp, D::AddedToRamp), true, 5.0);
    }
}
