//! The overload of the new unit protects the unit, not the motor.

use calc::sources::PACK;
use calc::working::{Recorder, Step};
use plant::quantity::{Current, Ratio};

use crate::candidate::{Candidate, Measure};
use crate::check::{Outcome, check, holds_if};
use crate::facts::{Reader, Stop};
use crate::settings::look::{By, by_sheet, deviation};
use transfer::settings::as_delivered;

/// By how much the overload may lie above the old one. Common practice, no source.
const ALLOWED: f64 = 0.05;

check! {
    name: "settings/motor-unprotected",
    severity: Equipment,
    rows: &[100],
    unit: "%",
    ways: &[],
    measures: &[Measure::SettingsSheet],
    page: "motor_unprotected.md",
    run: run,
    remedies: super::sheet,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let concept = "motor-overload";
    let Some(pair) = facts.settings(unit, &[concept])? else { return Ok(Outcome::NotHere) };
    let old = pair.old.find(concept, 1).map(|at| pair.old.value(at));
    let was = match old {
        Some(Ok(was)) if was > 0.0 => was,
        _ => match pair.old.of("motor-current", 1) {
            Some(Ok(was)) if was > 0.0 => was,
            _ => return Err(Stop::Refused("what the old unit’s overload stood at is not known by the settings list".into())),
        },
    };
    if pair.did("overload-memory", 1)? == Some("kept") {
        let kept =
            if by_sheet(unit) { pair.takes("overload-memory", 1, "kept") } else { pair.delivered("overload-memory", 1) == Some("kept") };
        if !kept {
            return Ok(holds_if(
                rec,
                false,
                || "the old unit kept the motor’s heat in mind through loss of power; the new one forgets it".into(),
                &PACK,
            ));
        }
    }
    let Some((to, _)) = pair.new_setting(concept, 1) else {
        return Err(Stop::PackSilent("how its overload is set to the motor (settings.csv, motor-overload)"));
    };
    // Without a default of its own it is delivered for its own rated current (common practice, no source).
    let own = matches!(old, Some(Ok(was)) if was > 0.0);
    let is = if by_sheet(unit) {
        // Without a value of its own the sheet enters the motor's current.
        if own { deviation(&pair, unit, concept, 1, By::Copying)?.and_then(|d| d.is) } else { Some(was) }
    } else {
        Some(as_delivered(&pair.old, pair.new, to, Some(pair.current)).unwrap_or(pair.current))
    };
    let is = is.unwrap_or(pair.current);
    let margin = ALLOWED - (is / was - 1.0).min(9.99);
    rec.step(|| {
        Step::new("margin", "overload of the new unit against the old one", "ALLOWED − (I_new/I_old − 1)", &PACK)
            .with("I_old", Current::a(was))
            .with("I_new", Current::a(is))
            .gives(Ratio::of_one(margin))
    });
    Ok(Outcome::Margin(margin * 100.0))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::settings::cases::{List, margin, number, word};
    use plant::settings::Definition as D;

    #[test]
    fn delivered_for_the_unit() {
        // The fixture's unit has 52 A, the motor 40 A: 5 % − 30 %.
        let list =
            List::of(number("motor-overload", 1, D::Plain, "A", "40"), number("motor-overload", 1, D::Plain, "A", "").range((1.0, 60.0)));
        margin(&CHECK, &[], &list, false, -25.0);
        margin(&CHECK, &[], &list, true, 5.0);
    }

    #[test]
    fn a_memory_that_is_lost() {
        let list = List::of(number("motor-overload", 1, D::Plain, "A", "40"), number("motor-overload", 1, D::Plain, "A", "40"))
            .old(word("overload-memory", 1, "kept"))
            .offered(word("overload-memory", 1, "lost").able(&["lost"]));
        margin(&CHECK, &[], &list, true, -1.0);
    }
}
