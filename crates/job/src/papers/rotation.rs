//! The direction of rotation on the commissioning sheet: what is written down before the old drive goes and after the new one runs, and
//! which two wires change places.

use calc::cable::bypass::swap;
use calc::working::Silent;
use dossier::paper::{Cell, Column, Row};
use plant::choice::{Bypass, Choice};
use plant::survey::{BYPASS, BYPASS_ROTATION};

use super::sheet::{Sheet, hold};
use crate::report::range_text;

pub(super) fn rotation(sheet: &mut Sheet<'_>) {
    sheet.reads(BYPASS.id);
    sheet.reads(BYPASS_ROTATION.id);
    let bypass = range_text(sheet.desk.survey, BYPASS.id, sheet.desk.input.site.units) != Bypass::None.word();
    sheet.heading("Direction of rotation");
    sheet.say(
        "Line and output have nothing to do with one another: each way of feeding the motor is looked at by itself, before the old drive goes \
         and after the new one runs, uncoupled or where turning backwards is harmless.",
    );
    let ways: &[&str] = if bypass { &["on the drive", "on the bypass"] } else { &["on the drive"] };
    let rows = ways.iter().map(|way| Row::of(vec![Cell::text(*way), Cell::Blank, Cell::Blank, Cell::Blank, Cell::Blank])).collect();
    let columns = vec![
        Column::fit("motor fed"),
        Column::room("before: motor leads, in the order of the terminals", 38.0),
        Column::room("before: turns", 24.0),
        Column::room("after: motor leads, in the order of the terminals", 38.0),
        Column::room("after: turns", 24.0),
    ];
    sheet.table("rotation", "", columns, rows);
    if !bypass {
        sheet.say(
            "Where it turns wrong, two wires change places at the unit's output, or its settings turn the phase order; not at the line.",
        );
        return;
    }
    let word = |right: bool| Cell::text(if right { "right" } else { "wrong" });
    let rows = [(true, true), (false, true), (true, false), (false, false)].map(|(on_unit, on_bypass)| {
        let change = swap(on_unit, on_bypass, &mut Silent).words();
        Row::of(vec![word(on_unit), word(on_bypass), Cell::text(change), Cell::Tick])
    });
    let columns = vec![Column::fit("on the drive"), Column::fit("on the bypass"), Column::words("change", 1.0), Column::fit("done")];
    sheet.table("rotation-change", "Follows from the circuit (derived).", columns, rows.into());
    sheet.ticks(vec![hold(
        "Wires changed dead: bypass and drive locked out, the DC link waited for and measured; then both ways looked at again.",
    )]);
}
