//! Reads `site.toml`.

use plant::choice::Fixing;
use plant::position::{Code, Enclosure, Named, Rates, Site, Thing};
use plant::price::{LeadTimes, Prices};
use plant::quantity::System;

use crate::problem::{Read, Sink};
use crate::record::Record;
use crate::shape::{BOX_TABLES, FileKind};
use crate::source::Source;
use crate::toml::{facts, open};

/// Reads a site file. The value is `None` when the file as a whole, or a key it cannot do without, is unusable.
#[must_use]
pub fn read_site(source: &Source) -> Read<Site> {
    let mut sink = Sink::of(source);
    let opened = open(source, FileKind::Site, &mut sink).filter(|o| !o.cut);
    let value = opened.and_then(|o| {
        for key in ["supply", "conditions"] {
            o.record.table(key).into_iter().for_each(|t| check_order(key, t, &mut sink));
        }
        o.record.rows("supplies").iter().for_each(|row| check_order("supply", row, &mut sink));
        site(&o.record, &mut sink)
    });
    Read { value, problems: sink.finish() }
}

fn site(record: &Record, sink: &mut Sink<'_>) -> Option<Site> {
    let shutdown = crate::cutover::shutdown(record, sink);
    let named = |key: &str, table: &str| record.rows(key).iter().filter_map(|row| self::named(&[table], row)).collect();
    let rates = |table: &Record| Some(Rates { electrician: table.number("electrician")?, engineer: table.number("engineer")? });
    Some(Site {
        name: record.string("name")?,
        code: if record.whole("code")? == 0 { Code::Nec } else { Code::Iec },
        units: if record.whole("units")? == 0 { System::Metric } else { System::Us },
        currency: record.string("currency")?,
        rates: record.table("rates").and_then(rates),
        prices: prices(record),
        lead_times: lead_times(record),
        facts: ["supply", "conditions"].into_iter().flat_map(|t| record.table(t).map(|r| facts(t, r)).unwrap_or_default()).collect(),
        supplies: named("supplies", "supply"),
        boxes: record.rows("boxes").iter().filter_map(enclosure).collect(),
        shutdown,
        offered: record.texts("offered").unwrap_or_default().to_vec(),
    })
}

/// Prices of parts in the file's table of them.
pub(crate) fn prices(record: &Record) -> Prices {
    record.table("prices").map(|table| Prices::by_key(|key| table.number(key))).unwrap_or_default()
}

/// Times of delivery in the file's table of them.
pub(crate) fn lead_times(record: &Record) -> LeadTimes {
    record.table("lead_times").map(|table| LeadTimes::by_key(|key| table.quantity(key))).unwrap_or_default()
}

fn named(tables: &[&str], row: &Record) -> Option<Named> {
    Some(Named { name: row.string("name")?, facts: tables.iter().flat_map(|table| facts(table, row)).collect() })
}

fn enclosure(row: &Record) -> Option<Enclosure> {
    Some(Enclosure { named: named(BOX_TABLES, row)?, things: row.rows("things").iter().filter_map(thing).collect() })
}

fn thing(row: &Record) -> Option<Thing> {
    Some(Thing {
        name: row.string("name")?,
        left: row.quantity("left")?,
        bottom: row.quantity("bottom")?,
        width: row.quantity("width")?,
        height: row.quantity("height")?,
        depth: row.quantity("depth")?,
        fixing: row.word("on").unwrap_or(Fixing::Plate),
        movable: row.flag("movable").unwrap_or(false),
    })
}

/// Reports a lowest value above the highest of the same table.
pub(crate) fn check_order(table: &str, record: &Record, sink: &mut Sink<'_>) {
    const PAIRS: &[(&str, &str, &str)] = &[("supply", "lowest", "highest"), ("speed", "lowest", "highest")];
    for (_, low, high) in PAIRS.iter().filter(|(t, _, _)| *t == table) {
        let bounds = |key: &str| record.fact(key).and_then(|f| f.known.bounds());
        if let (Some((lowest, _)), Some((_, highest))) = (bounds(low), bounds(high))
            && lowest > highest
        {
            sink.error(record.at(low), format!("{low}: the {low} value lies above the {high}"), "were both interchanged?");
        }
    }
}
