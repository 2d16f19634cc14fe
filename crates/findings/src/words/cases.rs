//! For the tests of this group: two layouts, the old one in use at a position, the new one in the fixture's series.

use plant::choice::Duty;
use plant::network::{FaultCode, Layout, NetworkUse};

use crate::candidate::{Candidate, Measure};
use crate::check::{Check, Outcome};
use crate::facts::{Stop, Survey};
use crate::fixture::{Entries, changed, fact_id, position, said};

/// Plain registers of the open profiles: a command, 0.01 Hz; a status, 0.01 Hz, 0.1 A.
pub(crate) fn plain() -> Layout {
    transfer::words::profiles::modbus()
}

/// The same with something about it changed.
pub(crate) fn with(change: impl FnOnce(&mut Layout)) -> Layout {
    let mut layout = plain();
    change(&mut layout);
    layout
}

/// A yes-or-no outcome.
pub(crate) const fn yes(holds: bool) -> Result<Outcome, Stop> {
    Ok(Outcome::Margin(if holds { 1.0 } else { -1.0 }))
}

/// The outcome at a position whose old drive uses `old`.
#[track_caller]
pub(crate) fn on_network(
    check: &Check,
    entries: Entries<'_>,
    old: Layout,
    faults: Vec<FaultCode>,
    unit: &Candidate<'_>,
) -> Result<Outcome, Stop> {
    let mut position = position(entries);
    // Without a network there is nothing to fail.
    assert_eq!(said(check, &Survey::new(&position), unit).outcome, Ok(Outcome::NotHere), "{}", check.name);
    position.network = Some(NetworkUse { layout: Some(old.name.clone()), ..NetworkUse::default() });
    said(check, &Survey::new(&position).with_old_words(Some(old), faults), unit).outcome
}

fn unit(new: Layout, block: bool) -> Candidate<'static> {
    let mut unit = changed("R1", Duty::Heavy, |s| s.layouts = vec![new]);
    if block {
        unit.measures = unit.measures.with(Measure::WordsBlock);
    }
    unit
}

/// Holds or fails as said.
#[track_caller]
pub(crate) fn is(check: &Check, entries: Entries<'_>, old: Layout, new: Layout, holds: bool) {
    assert_eq!(on_network(check, entries, old, Vec::new(), &unit(new, false)), yes(holds));
}

/// The same with the block in place.
#[track_caller]
pub(crate) fn is_with_block(check: &Check, entries: Entries<'_>, old: Layout, new: Layout, holds: bool) {
    assert_eq!(on_network(check, entries, old, Vec::new(), &unit(new, true)), yes(holds));
}

/// What it says at a position whose old drive uses `old`, with or without the block.
#[track_caller]
pub(crate) fn margin(check: &Check, entries: Entries<'_>, old: Layout, new: Layout, with_block: bool) -> Result<Outcome, Stop> {
    on_network(check, entries, old, Vec::new(), &unit(new, with_block))
}

/// Stops because the pack does not say this.
#[track_caller]
pub(crate) fn is_silent(check: &Check, entries: Entries<'_>, old: Layout, new: Layout, about: &str) {
    let said = on_network(check, entries, old, Vec::new(), &unit(new, false));
    assert!(matches!(said, Err(Stop::PackSilent(what)) if what.contains(about)), "{said:?}");
}

/// Notes that nothing may be assumed for this fact.
#[track_caller]
pub(crate) fn notes_open(check: &Check, old: Layout, new: Layout, path: &str) {
    let mut position = position(&[]);
    position.network = Some(NetworkUse { layout: Some(old.name.clone()), ..NetworkUse::default() });
    let survey = Survey::new(&position).with_old_words(Some(old), Vec::new());
    assert!(said(check, &survey, &unit(new, false)).open.iter().any(|id| id == fact_id(path)));
}
