//! The keys of the TOML files.

use std::sync::LazyLock;

use plant::choice::{Choice, ChoiceInfo, Combine, Control, Fixing, Grounding, Links, MotorKind, OriginKind, Word};
use plant::price::{LISTED_PARTS, ListedPartDef};
use plant::quantity::dim::{FrequencyDim, LengthDim, MassDim, PowerDim, RatioDim, TimeDim, VoltageDim};
use plant::survey::{DUTY_COLUMNS, DUTY_ROWS, FACTS};

use super::{Field, FileKind, Kind, Shape};

/// Which code the plant is under, as files say it.
pub static CODE: ChoiceInfo = ChoiceInfo {
    name: "code in force",
    words: &[
        Word { word: "nec", doc: "US National Electrical Code and its neighbours." },
        Word { word: "iec", doc: "IEC 60364 and its neighbours." },
    ],
};

/// Which units people want to see, as files say it.
pub static UNITS: ChoiceInfo = ChoiceInfo {
    name: "units shown",
    words: &[Word { word: "metric", doc: "SI and its habits." }, Word { word: "us", doc: "US customary." }],
};

/// Most rows of supplies, boxes and decisions.
pub(super) const LIST_ROWS: usize = 10_000;

/// The keys of a kind of file.
#[must_use]
pub fn shape(kind: FileKind) -> &'static Shape {
    static SITE: LazyLock<Shape> = LazyLock::new(site);
    static POSITION: LazyLock<Shape> = LazyLock::new(position);
    static DECISIONS: LazyLock<Shape> = LazyLock::new(decisions);
    static PACK: LazyLock<Shape> = LazyLock::new(pack);
    static TICKS: LazyLock<Shape> = LazyLock::new(super::cutover::ticks);
    match kind {
        FileKind::Site => &SITE,
        FileKind::Position => &POSITION,
        FileKind::Decisions => &DECISIONS,
        FileKind::Pack => &PACK,
        FileKind::Ticks => &TICKS,
    }
}

/// The keys of a fact's long form.
#[must_use]
pub fn origin() -> &'static Shape {
    static ORIGIN: LazyLock<Shape> = LazyLock::new(|| {
        let mut fields = vec![Field::need("value", Kind::AnyFact, "The value, as in the short form.", "35 m")];
        fields.extend(origin_fields());
        table("the long form of a fact", "A surveyed value with its origin.", fields)
    });
    &ORIGIN
}

fn origin_fields() -> [Field; 4] {
    [
        Field::may("from", Kind::Word(OriginKind::INFO), "How it was found out.", "measured"),
        Field::may("by", Kind::Name, "Who found it out.", "R. K."),
        Field::may("on", Kind::Date, "When.", ""),
        Field::may("proof", Kind::Text, "A file or drawing that shows it.", "evidence/plate.jpg"),
    ]
}

pub(super) fn table(name: &'static str, doc: &'static str, fields: Vec<Field>) -> Shape {
    Shape { name, doc, fields, unique: &[] }
}

pub(super) fn schema() -> Field {
    Field::need("schema", Kind::Schema, "Version of the file format.", "1")
}

/// The facts of a table of the survey.
fn facts(table: &'static str) -> impl Iterator<Item = Field> {
    FACTS.iter().filter(move |f| f.table() == table).map(|def| Field::fact(def, def.key()))
}

/// Name, brackets and meaning of a table of facts; one that is not listed gets its bare name.
fn fact_table(table: &'static str) -> (&'static str, &'static str) {
    match table {
        "old" => ("[old]", "The old drive."),
        "motor" => ("[motor]", "The motor, from its plate."),
        "load" => ("[load]", "What the driven machine asks of the motor."),
        "speed" => ("[speed]", "The frequencies in use."),
        "stop" => ("[stop]", "What stopping must do."),
        "supply" => ("[supply]", "The supply at the drive."),
        "conditions" => ("[conditions]", "The place where the drive stands."),
        "box" => ("[box]", "The box that the drive is built into; keys that several drives share stand in site.toml."),
        "protection" => ("[protection]", "What protects the branch that feeds the drive, and what it stands in a fault."),
        "conductors" => ("[conductors]", "The conductors at the drive's power terminals."),
        "cable" => ("[cable]", "The motor cable."),
        "output" => ("[output]", "What stands between drive and motor beside the cable: filter, switch, bypass."),
        "resistor" => ("[resistor]", "The brake resistor that would stay; left out where there is none."),
        "link" => ("[link]", "The DC link, where it is joined with those of other drives."),
        "network" => ("[network]", "How the old drive is used on its network; left out where it is on none."),
        "scheme" => (
            "[scheme]",
            "The wiring around the drive: what starts and stops the motor, what holds a start, what stands in the way, and what the machine needs.",
        ),
        other => (other, "Facts of the survey."),
    }
}

fn site() -> Shape {
    let rows = |key, name, doc, tables: &[&'static str], extra: Vec<Field>, example| {
        let mut fields = vec![Field::need("name", Kind::Name, "Its name, which positions call it by.", example)];
        fields.extend(tables.iter().flat_map(|table| facts(table)));
        fields.extend(extra);
        Field::may(key, Kind::Rows(Shape { name, doc, fields, unique: &["name"] }, LIST_ROWS), doc, "")
    };
    let rates = vec![
        Field::need("electrician", Kind::Number, "An electrician's hour, in the site's currency.", "72"),
        Field::need("engineer", Kind::Number, "An engineer's hour, in the site's currency.", "95"),
    ];
    let whole = |key: &'static str, doc| Field::may(key, Kind::Table(table(fact_table(key).0, doc, facts(key).collect())), doc, "");
    table(
        "site.toml",
        "One plant: what its positions share.",
        vec![
            schema(),
            Field::need("name", Kind::Name, "Name of the plant.", "Mill 3"),
            Field::need("code", Kind::Word(&CODE), "Code in force.", ""),
            Field::need("units", Kind::Word(&UNITS), "Units that papers and screens show.", ""),
            Field::need("currency", Kind::Name, "Currency of all money.", "USD"),
            Field::may(
                "offered",
                Kind::Texts,
                "Series that may replace (folder names of packs); without it, every pack that is offered.",
                "series-name",
            ),
            Field::may(
                "rates",
                Kind::Table(table("[rates]", "What work costs; without it no labour is priced.", rates)),
                "What work costs; without it no labour is priced.",
                "",
            ),
            prices("What parts cost where no pack prices them, in the site's currency; a part without a price is counted, not priced."),
            lead_times("How long parts usually take from order to delivery; each order asks again."),
            super::cutover::window(),
            super::cutover::crews(),
            super::cutover::isolations(),
            super::cutover::times(),
            whole("supply", "Facts of the supply that hold for the whole plant."),
            whole("conditions", "Facts of the place that hold for the whole plant."),
            rows("supplies", "[[supplies]]", "Supplies that several positions share.", &["supply"], Vec::new(), "MCC-4"),
            rows("boxes", "[[boxes]]", "Boxes and rooms that several positions share.", BOX_TABLES, vec![things()], "CP-12"),
        ],
    )
}

/// Prices of parts.
fn prices(doc: &'static str) -> Field {
    let price = |def: &ListedPartDef| Field::may(def.key, Kind::Number, def.doc, def.example);
    Field::may("prices", Kind::Table(table("[prices]", doc, LISTED_PARTS.iter().map(price).collect())), doc, "")
}

/// How long the same parts take to come.
fn lead_times(doc: &'static str) -> Field {
    let time = |def: &ListedPartDef| {
        Field::may(def.key, Kind::quantity::<TimeDim>(0.0, LONGEST_LEAD_S), "From order to delivery, as the supplier states it.", "3 weeks")
    };
    Field::may("lead_times", Kind::Table(table("[lead_times]", doc, LISTED_PARTS.iter().map(time).collect())), doc, "")
}

/// Two years: what takes longer is no delivery.
const LONGEST_LEAD_S: f64 = 63_072_000.0;

/// Tables of facts whose keys stand in a box of site.toml.
pub const BOX_TABLES: &[&str] = &["conditions", "box"];

fn things() -> Field {
    let length = |low| Kind::quantity::<LengthDim>(low, 10.0);
    let doc = "What stands on the plate or the door of this box and takes room.";
    let fields = vec![
        Field::need("name", Kind::Name, "What people call it.", "upper duct"),
        Field::need("left", length(-1.0), "From the left edge of the mounting plate.", "0 mm"),
        Field::need("bottom", length(-1.0), "From the lower edge of the mounting plate.", "900 mm"),
        Field::need("width", length(1e-3), "Width.", "800 mm"),
        Field::need("height", length(1e-3), "Height.", "60 mm"),
        Field::need("depth", length(0.0), "How far it stands off what it is fixed to.", "80 mm"),
        Field::may("on", Kind::Word(Fixing::INFO), "What it is fixed to; without it the plate.", "plate"),
        Field::may("movable", Kind::Flag, "Whether it can be moved or taken out; without it no.", "true"),
    ];
    Field::may("things", Kind::Rows(Shape { name: "[[boxes.things]]", doc, fields, unique: &["name"] }, LIST_ROWS), doc, "")
}

fn added() -> Field {
    let length = |low| Kind::quantity::<LengthDim>(low, 5.0);
    let doc = "Parts that go into the box beside the new drive.";
    let fields = vec![
        Field::need("name", Kind::Name, "What people call it.", "line reactor"),
        Field::need("width", length(1e-3), "Width.", "180 mm"),
        Field::need("height", length(1e-3), "Height.", "160 mm"),
        Field::need("depth", length(1e-3), "Depth.", "120 mm"),
        Field::may("clear_ends", length(0.0), "Free height above and below; without it none.", "50 mm"),
        Field::may("clear_side", length(0.0), "Free width on each side; without it none.", "20 mm"),
        Field::may("may_turn", Kind::Flag, "Whether it may be mounted lying on its side; without it no.", "true"),
        Field::may("mass", Kind::quantity::<MassDim>(0.01, 5e3), "Mass.", "11 kg"),
        Field::need("losses", Kind::quantity::<PowerDim>(0.0, 1e5), "Losses at the drive's load.", "65 W"),
    ];
    Field::may("added", Kind::Rows(Shape { name: "[[added]]", doc, fields, unique: &["name"] }, LIST_ROWS), doc, "")
}

fn position() -> Shape {
    let mut fields = vec![
        schema(),
        Field::need("tag", Kind::FileName, "Tag of the position; also the name of its file.", "BE-101"),
        Field::may("machine", Kind::Text, "What it drives, in a few words.", "bucket elevator, raw meal"),
        Field::may("notes", Kind::Texts, "Remarks of whoever surveyed it.", "door does not close"),
    ];
    let place = vec![
        Field::may("supply", Kind::Name, "Name of its supply in site.toml.", "MCC-4"),
        Field::may("box", Kind::Name, "Name of its box in site.toml.", "CP-12"),
    ];
    let doc = "Where it stands, by names of site.toml.";
    fields.push(Field::may("place", Kind::Table(table("[place]", doc, place)), doc, ""));
    let mut tables: Vec<&'static str> = FACTS.iter().map(plant::survey::FactDef::table).collect();
    tables.dedup();
    for key in tables {
        let (name, doc) = fact_table(key);
        let mut inner = Vec::new();
        if key == "old" {
            inner.push(Field::may("series", Kind::FileName, "Series of the old drive: the folder name of its pack.", "series-name"));
            inner.push(Field::may("code", Kind::Name, "Type code on the old drive's plate.", "XY-052-B"));
        }
        if key == "network" {
            inner.extend(super::network::network_use());
        }
        inner.extend(facts(key));
        fields.push(Field::may(key, Kind::Table(table(name, doc, inner)), doc, ""));
    }
    fields.push(super::cutover::counts());
    let duty = DUTY_COLUMNS.iter().map(|def| Field { required: def.key() == "time", ..Field::fact(def, def.key()) }).collect();
    fields.push(added());
    let doc = "The duty cycle, segment by segment.";
    fields.push(Field::may("duty", Kind::Rows(table("[[duty]]", doc, duty), DUTY_ROWS), doc, ""));
    fields.push(super::control::habits());
    fields.push(super::settings::list());
    fields.push(super::points::list());
    let log = vec![
        Field::need("current", Kind::Text, "The recorded current: a CSV file with the columns time and current.", "evidence/current.csv"),
        Field::need("repeats", Kind::Flag, "Whether the log is one period of an endless cycle.", "false"),
    ];
    let doc = "A current log, where one was recorded.";
    fields.push(Field::may("log", Kind::Table(table("[log]", doc, log)), doc, ""));
    fields.push(prices("What parts cost at this position by a quotation; each stands before the prices of packs and site."));
    fields.push(lead_times("How long parts take at this position by a quotation; each stands before what the site says."));
    table("the position file", "One installed drive as it was found.", fields)
}

fn decisions() -> Shape {
    let rows = |key, name, doc, unique, fields| Field::may(key, Kind::Rows(Shape { name, doc, fields, unique }, LIST_ROWS), doc, "");
    let tag = || Field::need("tag", Kind::FileName, "The position.", "BE-101");
    let by = || Field::need("by", Kind::Name, "Who decided.", "R. K.");
    let on = || Field::need("on", Kind::Date, "When.", "");
    let mut reading = vec![
        tag(),
        Field::need("fact", Kind::Name, "Path of the fact: table and key; a cell of the duty table is duty[2].current.", "load.current"),
        Field::need("value", Kind::AnyFact, "The value, as a position file writes it.", "47 A"),
    ];
    reading.extend(origin_fields());
    table(
        "decisions.toml",
        "What people decided, with name and date.",
        vec![
            schema(),
            rows(
                "chosen",
                "[[chosen]]",
                "The candidate chosen for a position.",
                &["tag"],
                vec![
                    tag(),
                    Field::need("candidate", Kind::Name, "Series, order code and duty class.", "series-name/052/heavy"),
                    by(),
                    on(),
                ],
            ),
            rows(
                "accepted",
                "[[accepted]]",
                "A finding that a named person takes on.",
                &["tag", "finding"],
                vec![
                    tag(),
                    Field::need("finding", Kind::Name, "Name of the finding.", "rating/breakaway-short"),
                    by(),
                    Field::need("reason", Kind::Text, "Why it is taken on.", "belt starts empty by interlock"),
                    on(),
                ],
            ),
            rows(
                "readings",
                "[[readings]]",
                "Readings taken later; each replaces the fact of the position file, the latest date wins.",
                &[],
                reading,
            ),
        ],
    )
}

fn pack() -> Shape {
    let motor = vec![
        Field::need("kinds", Kind::Words(MotorKind::INFO), "Kinds of motor that it runs.", ""),
        Field::need("methods", Kind::Words(Control::INFO), "Control methods.", ""),
        Field::need("highest_frequency", Kind::quantity::<FrequencyDim>(1.0, 4e3), "Highest output frequency.", "300 Hz"),
        Field::need(
            "smallest_motor",
            Kind::quantity::<RatioDim>(0.0, 1.0),
            "Smallest motor that it can identify and protect, as share of its rated current.",
            "20 %",
        ),
        Field::may("default_voltage", Kind::quantity::<VoltageDim>(20.0, 15e3), "Base voltage it comes set to.", "460 V"),
        Field::may("default_frequency", Kind::quantity::<FrequencyDim>(5.0, 2e3), "Base frequency it comes set to.", "60 Hz"),
        Field::may("default_carrier", Kind::quantity::<FrequencyDim>(500.0, 20e3), "Carrier frequency it comes set to.", "4 kHz"),
    ];
    let grounding = Grounding::INFO.words.iter().map(|w| Field::may(w.word, Kind::Word(Links::INFO), w.doc, "")).collect();
    let grounding_doc = "How the unit's links to earth must stand at each kind of supply grounding: in, taken out, or not allowed there at all; \
                         a kind left out is not known to be allowed.";
    table(
        "pack.toml",
        "One product series in neutral terms, typed from documents that the user holds.",
        vec![
            schema(),
            Field::need("series", Kind::FileName, "What files call the series by: the name of this folder.", "series-name"),
            Field::need("name", Kind::Name, "Name of the series as printed on its documents.", "Series name"),
            Field::need("maker", Kind::Name, "Maker.", "Maker's name"),
            Field::need("documents", Kind::Texts, "Documents that this pack was typed from, each with its revision.", "Data sheet, rev. B"),
            Field::need("offered", Kind::Flag, "Whether it can be bought and may replace; an obsolete series may not.", "true"),
            Field::need("currency", Kind::Name, "Currency of the prices.", "USD"),
            Field::need("combine", Kind::Word(Combine::INFO), "How the reductions of current combine.", ""),
            Field::may("safe_off_link", Kind::Flag, "Whether it is delivered with a link across its safe torque off inputs.", "true"),
            Field::need("single_phase", Kind::Flag, "Whether a single-phase supply is allowed.", "false"),
            Field::may("unbalance_limit", Kind::quantity::<RatioDim>(0.0, 0.2), "Largest voltage unbalance allowed, where stated.", "3 %"),
            Field::may(
                "bus_wait",
                Kind::quantity::<TimeDim>(0.0, 7200.0),
                "Waiting time after switching off that the unit prescribes; the bus is measured all the same.",
                "5 min",
            ),
            Field::may(
                "swap_time",
                Kind::quantity::<TimeDim>(0.0, 604_800.0),
                "Work for swapping one unit in, without wires and settings.",
                "1.5 h",
            ),
            Field::may(
                "lead_time",
                Kind::quantity::<TimeDim>(0.0, LONGEST_LEAD_S),
                "Usual time from order to delivery, as the supplier states it; each order asks again.",
                "6 weeks",
            ),
            Field::may(
                "parts_lead_time",
                Kind::quantity::<TimeDim>(0.0, LONGEST_LEAD_S),
                "The same for what is ordered with it from its own list: modules, kits, choppers.",
                "4 weeks",
            ),
            Field::may("cautions", Kind::Texts, "Further cautions that its documents prescribe.", "fan guard is hot"),
            Field::need("motor", Kind::Table(table("[motor]", "What it does with motors.", motor)), "What it does with motors.", ""),
            Field::may("grounding", Kind::Table(table("[grounding]", grounding_doc, grounding)), grounding_doc, ""),
        ],
    )
}
