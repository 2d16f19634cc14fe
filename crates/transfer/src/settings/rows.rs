//! The rows of a list as found, held against the settings of their unit.

use plant::settings::{Extent, Found, FoundList, Raw, Setting};

use super::number::read;

/// A row of the list, held against the old unit's settings.
pub(super) struct Row<'f> {
    pub(super) found: &'f Found,
    /// Its setting with the value in it, or why it names none.
    pub(super) held: Result<(usize, Result<Raw, String>), String>,
}

fn row<'f>(found: &'f Found, old: &[Setting]) -> Row<'f> {
    let exact = old.iter().position(|s| s.id == found.id);
    let loose = || {
        let mut alike = old.iter().enumerate().filter(|(_, s)| s.id.eq_ignore_ascii_case(&found.id));
        match (alike.next(), alike.next()) {
            (Some((at, _)), None) => Some(at),
            _ => None,
        }
    };
    let held = exact
        .or_else(loose)
        .map(|at| (at, read(&old[at], found)))
        .ok_or_else(|| "the pack of the old series has no such setting".to_owned());
    Row { found, held }
}

/// The rows of a list, held against the settings of its unit.
pub(super) fn rows<'f>(list: &'f FoundList, old: &[Setting]) -> Vec<Row<'f>> {
    let mut rows: Vec<Row<'_>> = list.rows.iter().map(|found| row(found, old)).collect();
    disagreeing(&mut rows);
    rows
}

pub(super) fn values(rows: &[Row<'_>], extent: Extent, old: &[Setting]) -> Vec<Option<Raw>> {
    let mut values = vec![None; old.len()];
    let mut listed = vec![false; old.len()];
    for row in rows {
        if let Ok((at, raw)) = &row.held {
            listed[*at] = true;
            values[*at] = raw.as_ref().ok().cloned();
        }
    }
    if extent == Extent::ChangedOnly {
        for (at, setting) in old.iter().enumerate().filter(|(at, _)| !listed[*at]) {
            values[at].clone_from(&setting.default);
        }
    }
    values
}

/// The value of each setting of a unit as it was found: out of its list, and from its defaults where the list holds only what was
/// changed; `None` where it was not read.
#[must_use]
pub fn as_found(list: &FoundList, settings: &[Setting]) -> Vec<Option<Raw>> {
    values(&rows(list, settings), list.extent.unwrap_or(Extent::Full), settings)
}

/// A setting that stands twice with two values has none.
fn disagreeing(rows: &mut [Row<'_>]) {
    let mut first: Vec<(usize, usize)> = Vec::new();
    let mut wrong: Vec<usize> = Vec::new();
    for (place, row) in rows.iter().enumerate() {
        let Ok((at, raw)) = &row.held else { continue };
        match first.iter().find(|(setting, _)| setting == at) {
            None => first.push((*at, place)),
            Some((_, other)) if rows.get(*other).is_some_and(|o| o.held.as_ref().is_ok_and(|(_, r)| r == raw)) => {}
            Some(_) => wrong.push(*at),
        }
    }
    for row in rows {
        if let Ok((at, raw)) = &mut row.held
            && wrong.contains(at)
        {
            *raw = Err("it stands in the list several times, with different values".to_owned());
        }
    }
}
