//! Reads a product pack: `pack.toml` and its tables.

use std::sync::Arc;

use plant::choice::{Choice, DerateKind, Duty, Grounding, Links};
use plant::product::{
    CarrierLosses, CodeSegment, Derate, FixingHole, Frame, LineSide, Module, MotorControl, MotorSide, MountingStyle, Overload, Protection,
    Rating, Series, Slot, Variant, VoltageClass,
};

use crate::grid::{Grid, read_csv};
use crate::problem::{At, Problem, Read, Severity, Sink, nearest};
use crate::record::Record;
use crate::shape::{FileKind, TableShape, pack_tables};
use crate::source::{ROWS, Source, TEXT_BYTES};
use crate::toml::open;
use crate::xlsx::read_xlsx;

mod checks;
mod control;
mod curves;
mod network;
mod points;
mod settings;

/// One file of a pack's folder.
#[derive(Clone, Copy, Debug)]
pub struct PackFile<'f> {
    /// Its name as shown to people; the part behind the last "/" says what it is.
    pub name: &'f str,
    /// Its bytes.
    pub bytes: &'f [u8],
}

impl PackFile<'_> {
    fn own_name(&self) -> &str {
        self.name.rsplit(['/', '\\']).next().unwrap_or(self.name)
    }
}

/// One table as it was read.
#[derive(Debug)]
pub(crate) struct Table<'s> {
    shape: &'static TableShape,
    sink: Sink<'s>,
    rows: Vec<Record>,
    /// Some of it was not read, so what is missing may only be unread.
    gaps: bool,
    present: bool,
}

impl Table<'_> {
    /// True when every row that was typed has a name in this column.
    fn is_whole(&self, key: &str) -> bool {
        !self.gaps && self.rows.iter().all(|r| r.text(key).is_some())
    }

    /// The different texts of a column, in the order of the rows; also of rows that have a mistake elsewhere.
    fn names(&self, key: &str) -> Vec<String> {
        let mut seen = std::collections::HashSet::new();
        self.rows.iter().filter_map(|r| r.text(key)).filter(|n| seen.insert(*n)).map(str::to_owned).collect()
    }
}

/// Reads a pack from the files of its folder; other files than tables of a pack are passed over, with a warning where
/// the name of one looks misspelt. Rows with an error are left out of the value.
#[must_use]
pub fn read_pack(files: &[PackFile<'_>], folder: &str) -> Read<Series> {
    let mut problems = stray_files(files);
    let Some(main) = files.iter().find(|f| f.own_name() == "pack.toml") else {
        let name = format!("{folder}/pack.toml");
        problems.push(Problem { help: "each pack has one".into(), ..Problem::new(Severity::Error, name.into(), "the file is missing") });
        return Read { value: None, problems };
    };
    let source = match Source::from_bytes(main.name, main.bytes, TEXT_BYTES) {
        Ok(source) => source,
        Err(problem) => {
            problems.push(problem);
            return Read { value: None, problems };
        }
    };
    let mut sink = Sink::of(&source);
    let opened = open(&source, FileKind::Pack, &mut sink);
    let refused = opened.is_none();
    if let Some(opened) = &opened {
        checks::pack_file(&opened.record, opened.partial, folder, &mut sink);
    }
    let place = sink.place(At::File);
    problems.extend(sink.finish());
    if refused {
        return Read { value: None, problems };
    }

    let sources: Vec<Option<Result<Source, Problem>>> =
        pack_tables().iter().map(|t| file(files, t, "csv").map(|f| Source::from_bytes(f.name, f.bytes, TEXT_BYTES))).collect();
    let mut tables: Vec<Table<'_>> =
        pack_tables().iter().zip(&sources).map(|(shape, source)| table(files, shape, source.as_ref(), main.name)).collect();
    checks::all(&mut tables);
    let value = opened.filter(|o| !o.cut).and_then(|o| series(&o.record, &tables, place));
    problems.extend(tables.into_iter().flat_map(|t| t.sink.finish()));
    Read { value, problems }
}

fn file<'f, 'b>(files: &'f [PackFile<'b>], table: &TableShape, extension: &str) -> Option<&'f PackFile<'b>> {
    files.iter().find(|f| f.own_name().strip_suffix(extension).and_then(|n| n.strip_suffix('.')) == Some(table.stem))
}

fn table<'s>(files: &[PackFile<'_>], shape: &'static TableShape, csv: Option<&'s Result<Source, Problem>>, main: &str) -> Table<'s> {
    let mut table = Table { shape, sink: Sink::named(Arc::from(shape.shape.name)), rows: Vec::new(), gaps: false, present: true };
    match (csv, file(files, shape, "xlsx")) {
        (Some(Ok(source)), workbook) => {
            table.sink = Sink::of(source);
            if workbook.is_some() {
                table.sink.error(At::File, format!("there is also {}.xlsx", shape.stem), "keep one of both; the CSV file was read");
            }
            Grid { rows: table.rows, gaps: table.gaps } = read_csv(source, &shape.shape, ROWS, &mut table.sink);
        }
        (Some(Err(problem)), _) => {
            table.sink.take(problem.clone());
            table.gaps = true;
            return table;
        }
        (None, Some(workbook)) => {
            let name: Arc<str> = workbook.name.into();
            table.sink = Sink::named(name.clone());
            Grid { rows: table.rows, gaps: table.gaps } = read_xlsx(&name, workbook.bytes, &shape.shape, ROWS, &mut table.sink);
        }
        (None, None) => {
            table.present = false;
            if shape.required {
                table.sink = Sink::named(
                    main.strip_suffix("pack.toml").map_or_else(|| shape.shape.name.into(), |f| format!("{f}{}", shape.shape.name).into()),
                );
                table.sink.error(
                    At::File,
                    "the file is missing",
                    format!("{} Columns: {}", shape.shape.doc, shape.shape.keys().collect::<Vec<_>>().join(",")),
                );
            }
            return table;
        }
    }
    if shape.required && table.rows.is_empty() && !table.sink.has_errors() {
        table.sink.error(At::File, format!("{} has no rows", shape.shape.name), shape.shape.doc.to_owned());
    }
    table
}

/// Warns of tables whose names are not those of a pack.
fn stray_files(files: &[PackFile<'_>]) -> Vec<Problem> {
    let stems = || pack_tables().iter().map(|t| t.stem);
    let stray = |f: &&PackFile<'_>| {
        let (stem, extension) = f.own_name().rsplit_once('.').unwrap_or((f.own_name(), ""));
        match extension {
            "csv" | "xlsx" => !stems().any(|s| s == stem) && !stem.starts_with(['~', '.']),
            "toml" => stem != "pack",
            _ => false,
        }
    };
    let warn = |f: &PackFile<'_>| {
        let stem = f.own_name().rsplit_once('.').map_or(f.own_name(), |(s, _)| s);
        let help = nearest(stem, stems()).map_or_else(|| "it was not read".to_owned(), |s| format!("it was not read; did you mean “{s}”?"));
        Problem { help, ..Problem::new(Severity::Warning, f.name.into(), "this is no table of a pack") }
    };
    files.iter().filter(stray).map(warn).collect()
}

fn series(record: &Record, tables: &[Table<'_>], place: plant::fact::Place) -> Option<Series> {
    let motor = record.table("motor")?;
    let rows = |stem: &str| tables.iter().find(|t| t.shape.stem == stem).map(|t| (t.rows.as_slice(), &t.sink));
    fn build<T>(rows: Option<(&[Record], &Sink<'_>)>, row: impl Fn(&Record, &Sink<'_>) -> Option<T>) -> Vec<T> {
        rows.map(|(rows, sink)| rows.iter().filter_map(|r| row(r, sink)).collect()).unwrap_or_default()
    }
    let links = |g: Grounding| record.table("grounding").and_then(|t| t.word::<Links>(g.word())).map(|l| (g, l));
    Some(Series {
        id: record.string("series")?,
        name: record.string("name")?,
        maker: record.string("maker")?,
        documents: record.texts("documents")?.to_vec(),
        offered: record.flag("offered")?,
        currency: record.string("currency")?,
        combine: record.word("combine")?,
        groundings: (0..).map_while(Grounding::from_index).filter_map(links).collect(),
        single_phase: record.flag("single_phase")?,
        unbalance_limit: record.quantity("unbalance_limit"),
        control: MotorControl {
            motors: motor.words("kinds")?,
            methods: motor.words("methods")?,
            highest_frequency: motor.quantity("highest_frequency")?,
            smallest_motor: motor.quantity("smallest_motor")?,
            default_voltage: motor.quantity("default_voltage"),
            default_frequency: motor.quantity("default_frequency"),
            default_carrier: motor.quantity("default_carrier"),
        },
        bus_wait: record.quantity("bus_wait"),
        cautions: record.texts("cautions").unwrap_or_default().to_vec(),
        swap_time: record.quantity("swap_time"),
        lead_time: record.quantity("lead_time"),
        parts_lead_time: record.quantity("parts_lead_time"),
        place,
        code: build(rows("code"), |r, _| segment(r)),
        classes: build(rows("classes"), |r, _| {
            Some(VoltageClass { name: r.string("class")?, lowest: r.quantity("lowest")?, highest: r.quantity("highest")? })
        }),
        ratings: build(rows("ratings"), rating),
        frames: build(rows("frames"), frame),
        mountings: build(rows("mountings"), |r, _| mounting(r)),
        line_sides: build(rows("line"), |r, _| line_side(r)),
        motor_sides: build(rows("motor"), |r, _| motor_side(r)),
        holes: build(rows("holes"), |r, _| {
            Some(FixingHole { frame: r.string("frame")?, x: r.quantity("x")?, y: r.quantity("y")?, diameter: r.quantity("diameter")? })
        }),
        carrier_losses: build(rows("losses"), |r, _| {
            Some(CarrierLosses { frame: r.string("frame"), carrier: r.quantity("carrier")?, factor: r.quantity("factor")? })
        }),
        overloads: build(rows("overloads"), |r, _| {
            Some(Overload {
                duty: r.word("duty")?,
                multiple: r.quantity("multiple")?,
                time: r.quantity("time")?,
                repeat: r.quantity("repeat"),
            })
        }),
        derates: rows("derates").map(|(rows, _)| derates(rows)).unwrap_or_default(),
        modules: build(rows("modules"), |r, _| {
            Some(Module {
                code: r.string("code")?,
                what: r.string("what")?,
                slots: r.texts("slots").unwrap_or_default().to_vec(),
                most: r.whole("most").unwrap_or(1),
                excludes: r.texts("excludes").unwrap_or_default().to_vec(),
                carrier: r.string("carrier"),
                price: r.number("price"),
            })
        }),
        slots: build(rows("slots"), |r, _| Some(Slot { frame: r.string("frame"), slot: r.string("slot")? })),
        protections: build(rows("protections"), |r, _| {
            Some(Protection {
                code: r.string("code")?,
                device: r.word("device")?,
                largest: r.quantity("largest")?,
                short_circuit_rating: r.quantity("short_circuit_rating")?,
                price: r.number("price"),
            })
        }),
        variants: build(rows("variants"), |r, _| {
            Some(Variant { name: r.string("name")?, what: r.string("what")?, price: r.number("price") })
        }),
        layouts: network::layouts(rows("layouts"), rows("words"), rows("bits")),
        faults: build(rows("faults"), network::fault),
        settings: settings::settings(rows("settings"), rows("choices")),
        points: points::points(rows("points")),
        wire_links: points::links(rows("links")),
        habits: build(rows("control"), control::habit),
        safe_off_link: record.flag("safe_off_link"),
    })
}

fn segment(row: &Record) -> Option<CodeSegment> {
    Some(CodeSegment {
        segment: row.string("segment")?,
        start: row.whole("start")?,
        length: row.whole("length")?,
        value: row.string("value").unwrap_or_default(),
        meaning: row.string("meaning")?,
        selects: row.string("selects"),
    })
}

fn rating(row: &Record, sink: &Sink<'_>) -> Option<Rating> {
    Some(Rating {
        code: row.string("code")?,
        frame: row.string("frame")?,
        class: row.string("class")?,
        duty: row.word::<Duty>("duty")?,
        current: row.quantity("current")?,
        input_current: row.quantity("input_current")?,
        label_power: row.quantity("label_power")?,
        losses: row.quantity("losses"),
        idle_losses: row.quantity("idle_losses"),
        price: row.number("price"),
        place: sink.place(row.at),
    })
}

fn frame(row: &Record, sink: &Sink<'_>) -> Option<Frame> {
    Some(Frame {
        name: row.string("frame")?,
        width: row.quantity("width")?,
        height: row.quantity("height")?,
        depth: row.quantity("depth")?,
        mass: row.quantity("mass")?,
        clear_above: row.quantity("clear_above")?,
        clear_below: row.quantity("clear_below")?,
        clear_side: row.quantity("clear_side")?,
        front: row.quantity("front").unwrap_or_default(),
        cable_side: row.word("cable_side").unwrap_or_default(),
        terminal_inset: row.quantity("terminal_inset").unwrap_or_default(),
        bend_space: row.quantity("bend_space"),
        may_turn: row.flag("may_turn").unwrap_or(false),
        enclosure: row.string("enclosure")?,
        enclosure_kit: row.string("enclosure_kit"),
        enclosure_kit_price: row.number("enclosure_kit_price"),
        terminal_smallest: row.quantity("terminal_smallest"),
        terminal_largest: row.quantity("terminal_largest"),
        terminal_conductors: row.whole("terminal_conductors").and_then(|n| u8::try_from(n).ok()),
        terminal_metals: row.words("terminal_metals").unwrap_or_default(),
        terminal_fine: row.word("terminal_fine"),
        dc_terminals: row.word("dc_terminals")?,
        chopper: row.word("chopper")?,
        chopper_price: row.number("chopper_price"),
        chopper_smallest: row.quantity("chopper_smallest"),
        chopper_level: row.quantity("chopper_level"),
        bus_capacitance: row.quantity("bus_capacitance"),
        groundings: row.words("groundings").unwrap_or_default(),
        place: sink.place(row.at),
    })
}

fn motor_side(row: &Record) -> Option<MotorSide> {
    Some(MotorSide {
        frame: row.string("frame")?,
        rise: row.quantity("rise"),
        cable_screened: row.quantity("cable_screened"),
        cable_unscreened: row.quantity("cable_unscreened"),
        sensors: row.words("sensors"),
        charges: row.quantity("charges"),
        torque_proving: row.word("torque_proving"),
        kinetic: row.word("kinetic"),
        filter: row.string("filter"),
        filter_peak: row.quantity("filter_peak"),
        filter_price: row.number("filter_price"),
    })
}

fn line_side(row: &Record) -> Option<LineSide> {
    Some(LineSide {
        frame: row.string("frame")?,
        front_end: row.word("front_end")?,
        choke: row.quantity("choke"),
        distortion: row.quantity("distortion"),
        leakage: row.quantity("leakage"),
        earth_trip: row.quantity("earth_trip"),
        power_ups: row.quantity("power_ups"),
        undervoltage: row.quantity("undervoltage"),
        terminals: row.word("terminals"),
        reactor: row.string("reactor"),
        reactor_price: row.number("reactor_price"),
        filter: row.string("filter"),
        filter_price: row.number("filter_price"),
    })
}

fn mounting(row: &Record) -> Option<MountingStyle> {
    Some(MountingStyle {
        frame: row.string("frame")?,
        style: row.word("style")?,
        clear_above: row.quantity("clear_above")?,
        clear_below: row.quantity("clear_below")?,
        clear_side: row.quantity("clear_side")?,
        depth: row.quantity("depth"),
        heat_inside: row.quantity("heat_inside")?,
        rating: row.string("rating"),
        kit: row.string("kit"),
        kit_price: row.number("kit_price"),
    })
}

/// The curves, in the order of their first rows; points in the order of the rows.
fn derates(rows: &[Record]) -> Vec<Derate> {
    let mut curves: Vec<Derate> = Vec::new();
    let mut index = std::collections::HashMap::new();
    for row in rows {
        let Some((kind, factor)) = row.word::<DerateKind>("kind").zip(row.number("factor")) else { continue };
        let Ok(at) = curves::abscissa(kind, row) else { continue };
        let (frame, duty) = (row.string("frame"), row.word::<Duty>("duty"));
        let curve = *index.entry((kind, frame.clone(), duty)).or_insert(curves.len());
        match curves.get_mut(curve) {
            Some(curve) => curve.points.push((at, factor)),
            None => curves.push(Derate { kind, frame, duty, points: vec![(at, factor)] }),
        }
    }
    curves
}
