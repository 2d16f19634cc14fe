//! The new unit is delivered for another duty class than its rating was chosen for.

use calc::sources::PACK;
use calc::working::Recorder;
use plant::choice::Choice;

use crate::candidate::{Candidate, Measure};
use crate::check::{Outcome, check, holds_if};
use crate::facts::{Reader, Stop};
use crate::settings::look::by_sheet;

check! {
    name: "settings/duty-class-differs",
    severity: Downtime,
    rows: &[1],
    unit: "",
    ways: &[],
    measures: &[Measure::SettingsSheet],
    page: "duty_class_differs.md",
    run: run,
    remedies: super::sheet,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let Some(pair) = facts.settings(unit, &[])? else { return Ok(Outcome::NotHere) };
    if pair.new_setting("duty-class", 1).is_none() {
        return Ok(Outcome::NotHere);
    }
    let wanted = unit.rating.duty.word();
    let delivered = pair.delivered("duty-class", 1);
    let holds = if by_sheet(unit) { pair.takes("duty-class", 1, wanted) } else { delivered == Some(wanted) };
    let what = || format!("its rating was chosen for {wanted} duty; as delivered it is set for {} duty", delivered.unwrap_or("an unsaid"));
    Ok(holds_if(rec, holds, what, &PACK))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::settings::cases::{List, is, word};

    #[test]
    fn the_setting_follows_the_choice() {
        // The fixture's unit is taken for heavy duty.
        let list = |new: &str, can: &[&str]| List::of(word("flux-braking", 1, "off"), word("duty-class", 1, new).able(can));
        is(&CHECK, &list("heavy", &["heavy", "light"]), false, true);
        is(&CHECK, &list("light", &["heavy", "light"]), false, false);
        is(&CHECK, &list("light", &["heavy", "light"]), true, true);
        is(&CHECK, &list("light", &["light"]), true, false);
    }
}
