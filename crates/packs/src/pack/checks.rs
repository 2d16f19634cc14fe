//! What must agree between the rows and tables of a pack.

use std::collections::{BTreeMap, HashMap, HashSet};

use plant::choice::{Choice, Duty, Presence};

use super::{Table, control, curves, network, points, settings};
use crate::problem::{At, Sink, did_you_mean};
use crate::record::Record;

/// `pack.toml` alone.
pub(super) fn pack_file(record: &Record, partial: bool, folder: &str, sink: &mut Sink<'_>) {
    if let Some(series) = record.text("series")
        && series != folder
    {
        sink.error(
            record.at("series"),
            format!("series: “{series}” stands in the folder “{folder}”"),
            "both names must be the same: files call the series by it",
        );
    }
    if record.texts("documents").is_some_and(<[String]>::is_empty) {
        sink.error(record.at("documents"), "documents: none is named", "name what the pack was typed from: every number needs a source");
    }
    if let Some(motor) = record.table("motor") {
        for key in ["kinds", "methods"] {
            if matches!(motor.cell(key).map(|c| &c.value), Some(crate::record::Value::Words(words)) if words.is_empty()) {
                sink.error(motor.at(key), format!("{key}: the list is empty"), "a unit that runs no motor replaces nothing");
            }
        }
    }
    if !partial && record.table("grounding").is_none_or(|t| t.iter().next().is_none()) {
        sink.warning(
            record.at("grounding"),
            "no supply grounding is named",
            "[grounding] says on which supplies the series may run; until then none is known to be allowed",
        );
    }
}

/// All tables, each and against each other.
pub(super) fn all(tables: &mut [Table<'_>]) {
    for (from, key, to, names, what) in [
        ("ratings", "frame", "frames", "frame", "frame"),
        ("ratings", "class", "classes", "class", "voltage class"),
        ("derates", "frame", "frames", "frame", "frame"),
        ("mountings", "frame", "frames", "frame", "frame"),
        ("line", "frame", "frames", "frame", "frame"),
        ("motor", "frame", "frames", "frame", "frame"),
        ("holes", "frame", "frames", "frame", "frame"),
        ("losses", "frame", "frames", "frame", "frame"),
        ("slots", "frame", "frames", "frame", "frame"),
        ("protections", "code", "ratings", "code", "order code"),
        ("modules", "slots", "slots", "slot", "slot"),
        ("words", "layout", "layouts", "layout", "layout"),
        ("bits", "layout", "layouts", "layout", "layout"),
        ("choices", "setting", "settings", "setting", "setting"),
        ("points", "module", "modules", "code", "module"),
        ("points", "variant", "variants", "name", "variant"),
        ("modules", "excludes", "modules", "code", "module"),
        ("control", "setting", "settings", "setting", "setting"),
    ] {
        let list = named(tables, to);
        let whole = list.as_ref().is_none_or(|t| t.is_whole(names));
        let known = list.map(|t| t.names(names)).unwrap_or_default();
        // Against a list that is not there or not read whole nothing is compared: that is told already.
        let listed = whole && (!known.is_empty() || to == "slots");
        if let Some(table) = named(tables, from).filter(|_| listed) {
            refers(table, key, &known, what, &format!("{to}.csv"));
        }
    }
    let frames_known = named(tables, "frames").map(|t| t.names("frame")).unwrap_or_default().into_iter().collect();
    let classes_known = named(tables, "classes").map(|t| t.names("class")).unwrap_or_default().into_iter().collect();
    overloads_of_ratings(tables);
    holes(tables);
    code(tables);
    network::bits(tables);
    settings::check(tables);
    points::check(tables);
    if let Some(table) = named(tables, "control") {
        control::check(table);
    }
    for table in tables {
        match table.shape.stem {
            "classes" => classes(table),
            "ratings" => ratings(table, &frames_known, &classes_known),
            "frames" => frames(table),
            "overloads" => overloads(table),
            "derates" => curves::check(table),
            "losses" => losses(table),
            "mountings" => mountings(table),
            "words" => network::words(table),
            "faults" => network::faults(table),
            _ => {}
        }
    }
}

pub(super) fn named<'t, 's>(tables: &'t mut [Table<'s>], stem: &str) -> Option<&'t mut Table<'s>> {
    tables.iter_mut().find(|t| t.shape.stem == stem && t.present)
}

/// Reports names that another table does not know: each once, at its first row.
fn refers(table: &mut Table<'_>, key: &str, known: &[String], what: &str, list: &str) {
    let Table { sink, rows, .. } = table;
    let mut missing: Vec<(&str, At, usize)> = Vec::new();
    let mut index: HashMap<&str, usize> = HashMap::new();
    let known_set: HashSet<&str> = known.iter().map(String::as_str).collect();
    for row in rows.iter() {
        let names = row.text(key).into_iter().chain(row.texts(key).unwrap_or_default().iter().map(String::as_str));
        for name in names.filter(|n| !known_set.contains(n)) {
            let at = *index.entry(name).or_insert(missing.len());
            match missing.get_mut(at) {
                Some((_, _, count)) => *count += 1,
                None => missing.push((name, row.at(key), 1)),
            }
        }
    }
    for (name, at, count) in missing {
        if sink.is_full() {
            sink.error(at, "", "");
            continue;
        }
        let more = if count > 1 { format!(" ({count} rows name it)") } else { String::new() };
        sink.error(at, format!("{key}: there is no {what} “{name}” in {list}{more}"), did_you_mean(name, known.iter().map(String::as_str)));
    }
}

fn classes(table: &mut Table<'_>) {
    let Table { sink, rows, .. } = table;
    for row in rows.iter() {
        if let (Some(lowest), Some(highest)) = (row.number("lowest"), row.number("highest"))
            && lowest >= highest
        {
            sink.error(row.at("lowest"), "lowest: the lowest voltage does not lie below the highest", "were both interchanged?");
        }
    }
}

fn ratings(table: &mut Table<'_>, frames: &HashSet<String>, classes: &HashSet<String>) {
    let Table { sink, rows, .. } = table;
    let mut first: HashMap<&str, &Record> = HashMap::new();
    let mut light: HashMap<&str, f64> = HashMap::new();
    for row in rows.iter() {
        let Some(code) = row.text("code") else { continue };
        let unit = first.entry(code).or_insert(row);
        for (key, known) in [("frame", frames), ("class", classes)] {
            // Names that no table knows were told already.
            let listed = |name: &&str| known.contains(*name);
            if let (Some(own), Some(other)) = (row.text(key).filter(listed), unit.text(key).filter(listed))
                && own != other
            {
                sink.error(
                    row.at(key),
                    format!("{key}: “{own}”, but order code {code} has “{other}” above"),
                    "one order code is one unit, whatever its duty class",
                );
            }
        }
        if let (Some(Duty::Light), Some(current)) = (row.word("duty"), row.number("current")) {
            light.insert(code, current);
        }
    }
    for row in rows.iter() {
        if let (Some(idle), Some(losses)) = (row.number("idle_losses"), row.number("losses"))
            && idle > losses
        {
            sink.error(row.at("idle_losses"), "idle_losses: above the losses at rated load", "were both interchanged?");
        }
    }
    for row in rows.iter().filter(|r| r.word::<Duty>("duty") == Some(Duty::Heavy)) {
        if let (Some(heavy), Some(light)) = (row.number("current"), row.text("code").and_then(|c| light.get(c)))
            && heavy > *light
        {
            sink.warning(row.at("current"), "current: more for heavy duty than for light duty", "were the two rows interchanged?");
        }
    }
}

fn frames(table: &mut Table<'_>) {
    let Table { sink, rows, .. } = table;
    for row in rows.iter() {
        if let (Some(smallest), Some(largest)) = (row.number("terminal_smallest"), row.number("terminal_largest"))
            && smallest > largest
        {
            sink.error(row.at("terminal_smallest"), "terminal_smallest: larger than terminal_largest", "were both interchanged?");
        }
        if row.word::<Presence>("chopper") == Some(Presence::Absent) {
            for key in ["chopper_price", "chopper_smallest", "chopper_level"] {
                if row.cell(key).is_some() {
                    sink.warning(
                        row.at(key),
                        format!("{key}: given, but the frame has no chopper"),
                        "is the chopper “optional” or “standard”?",
                    );
                }
            }
        }
        if row.cell("enclosure_kit").is_none() && row.cell("enclosure_kit_price").is_some() {
            sink.warning(row.at("enclosure_kit_price"), "enclosure_kit_price: given, but no kit is named", "");
        }
    }
}

/// Fixing holes lie inside the outline of their frame, which includes its feet.
fn holes(tables: &mut [Table<'_>]) {
    let outlines: HashMap<String, (f64, f64)> = named(tables, "frames")
        .map(|t| t.rows.iter().filter_map(|r| Some((r.string("frame")?, (r.number("width")?, r.number("height")?)))).collect())
        .unwrap_or_default();
    let Some(Table { sink, rows, .. }) = named(tables, "holes") else { return };
    for row in rows.iter() {
        let Some((width, height)) = row.text("frame").and_then(|f| outlines.get(f)) else { continue };
        for (key, most) in [("x", width), ("y", height)] {
            if row.number(key).is_some_and(|at| at > *most) {
                let message = format!("{key}: the hole lies outside its frame");
                sink.error(
                    row.at(key),
                    message,
                    "count from the lower left corner of the upright unit; width and height of the frame include its feet",
                );
            }
        }
    }
}

fn mountings(table: &mut Table<'_>) {
    let Table { sink, rows, .. } = table;
    for row in rows.iter().filter(|r| r.cell("kit").is_none() && r.cell("kit_price").is_some()) {
        sink.warning(row.at("kit_price"), "kit_price: given, but no kit is named", "");
    }
}

fn losses(table: &mut Table<'_>) {
    let Table { sink, rows, .. } = table;
    let mut last: HashMap<&str, f64> = HashMap::new();
    for row in rows.iter() {
        let Some(carrier) = row.number("carrier") else { continue };
        let before = last.insert(row.text("frame").unwrap_or_default(), carrier);
        if before.is_some_and(|before| carrier <= before) {
            sink.error(row.at("carrier"), "carrier: not above that of the row before", "give the rows of one frame with rising frequency");
        }
    }
}

fn overloads(table: &mut Table<'_>) {
    let Table { sink, rows, .. } = table;
    let mut points: Vec<(Duty, f64, f64, &Record)> = Vec::new();
    for row in rows.iter() {
        let (Some(duty), Some(multiple), Some(time)) = (row.word::<Duty>("duty"), row.number("multiple"), row.number("time")) else {
            continue;
        };
        if row.number("repeat").is_some_and(|repeat| repeat < time) {
            sink.error(row.at("repeat"), "repeat: comes again before it is over", "the time between two overloads, start to start");
        }
        points.push((duty, multiple, time, row));
    }
    points.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
    let mut shortest = (None, f64::INFINITY);
    for (duty, _, time, row) in points {
        if shortest.0 != Some(duty) {
            shortest = (Some(duty), f64::INFINITY);
        }
        if time > shortest.1 {
            sink.warning(row.at("time"), "time: longer than that of a smaller overload of the same duty class", "check both rows");
        }
        shortest.1 = shortest.1.min(time);
    }
}

/// Each duty class that a rating has needs an overload point.
fn overloads_of_ratings(tables: &mut [Table<'_>]) {
    let Some(overloads) = named(tables, "overloads") else { return };
    let known: Vec<Duty> = overloads.rows.iter().filter_map(|r| r.word("duty")).collect();
    let Some(Table { sink, rows, .. }) = named(tables, "ratings").filter(|_| !known.is_empty()) else { return };
    for duty in (0..).map_while(Duty::from_index).filter(|d| !known.contains(d)) {
        if let Some(row) = rows.iter().find(|r| r.word::<Duty>("duty") == Some(duty)) {
            let message = format!("duty: overloads.csv has no overload point for {} duty", duty.word());
            sink.error(row.at("duty"), message, "give one; a unit without overload is 100 % for its shortest time");
        }
    }
}

/// How the type code reads: places, lengths, the rating's segment, what values select.
fn code(tables: &mut [Table<'_>]) {
    let codes = named(tables, "ratings").map(|t| t.names("code")).unwrap_or_default();
    let lists = [("variants", "name"), ("modules", "code")];
    let selectable: Vec<String> =
        lists.iter().flat_map(|(stem, key)| named(tables, stem).map(|t| t.names(key)).unwrap_or_default()).collect();
    let whole = lists.iter().all(|(stem, key)| named(tables, stem).is_none_or(|t| t.is_whole(key)));
    let Some(table) = named(tables, "code") else { return };
    if whole {
        refers(table, "selects", &selectable, "variant or module", "variants.csv or modules.csv");
    }
    let placed = !table.gaps && table.rows.iter().all(|r| r.whole("start").is_some() && r.whole("length").is_some());
    let Table { sink, rows, .. } = table;

    /// Place of a segment: its first row, first and last character.
    struct Segment<'r> {
        row: &'r Record,
        start: usize,
        last: usize,
    }
    let mut counts: HashMap<&str, usize> = HashMap::new();
    rows.iter().filter_map(|r| r.text("segment")).for_each(|name| *counts.entry(name).or_default() += 1);
    let mut segments: BTreeMap<&str, Segment<'_>> = BTreeMap::new();
    let mut rating: Option<&Record> = None;
    for row in rows.iter() {
        let (Some(name), Some(start), Some(length)) = (row.text("segment"), row.whole("start"), row.whole("length")) else { continue };
        let last = start.saturating_add(length) - 1;
        let first = segments.entry(name).or_insert(Segment { row, start, last });
        if (first.start, first.last) != (start, last) {
            let key = if first.start == start { "length" } else { "start" };
            sink.error(
                row.at(key),
                format!("{key}: segment “{name}” stands elsewhere in its first row"),
                "all rows of a segment have the same start and length",
            );
            continue;
        }
        match row.text("value") {
            Some(value) if value.chars().count() != length => {
                sink.error(row.at("value"), format!("value: “{value}” has {} characters, its segment {length}", value.chars().count()), "");
            }
            Some(_) => {}
            None if counts.get(name).is_some_and(|n| *n > 1) => {
                sink.error(
                    row.at,
                    format!("value: blank, but segment “{name}” has other rows"),
                    "only the rating's segment is blank, in its one row",
                );
            }
            None if rating.is_some() => {
                sink.error(row.at, "value: only one segment, that of the rating, has a blank value", "write the characters")
            }
            None => {
                rating = Some(row);
                if let Some(odd) = codes.iter().find(|c| c.chars().count() != length) {
                    let message =
                        format!("length: the rating has {length} characters here, but order code {odd} has {}", odd.chars().count());
                    sink.error(row.at("length"), message, "order codes in ratings.csv are the characters of this segment");
                }
            }
        }
    }
    if rating.is_none() && placed && !rows.is_empty() {
        sink.error(
            At::File,
            "code.csv has no segment for the rating",
            "give one row with a blank value: its characters are the order codes of ratings.csv",
        );
    }
    let mut by_place: Vec<(&str, Segment<'_>)> = segments.into_iter().collect();
    by_place.sort_by_key(|(_, s)| (s.start, s.last));
    let mut next = 1;
    let mut before = "";
    for (name, Segment { row, start, last }) in by_place {
        if start < next {
            sink.error(
                row.at("start"),
                format!("start: segment “{name}” begins inside segment “{before}”"),
                format!("“{before}” ends with character {}", next - 1),
            );
        } else if start > next && placed {
            let gap = if start - next == 1 { format!("character {next} is") } else { format!("characters {next} to {} are", start - 1) };
            sink.warning(
                row.at("start"),
                format!("start: {gap} of no segment, and would be passed over"),
                "give fixed characters a segment of their own",
            );
        }
        if last >= next {
            (next, before) = (last + 1, name);
        }
    }
}
