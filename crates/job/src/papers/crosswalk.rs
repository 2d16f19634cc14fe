//! The wire crosswalk: where each conductor goes, to be read at arm's length and ticked off one by one, with what is fitted before, what
//! is measured first, and what is proved after.

use dossier::paper::{Cell, Column, Field, Paper, Part, Row, Run};
use dossier::wires::{Conductor, Wires};
use plant::wires::{PointKind, function};

use super::sheet::{Desk, Sheet, energise, hold, tick};

/// The conductors of the position, or why nothing can be said of them; notes what they were made from.
pub(super) fn conductors<'d>(sheet: &mut Sheet<'_>, desk: &'d Desk<'_>) -> Result<&'d Wires, String> {
    // The list of conductors is a file of its own, no fact: of the survey only what the choice of unit rests on is read.
    sheet.reads_choice();
    match &desk.wires {
        Some(Ok(wires)) => Ok(wires),
        Some(Err(why)) => Err(format!("The conductors could not be worked out: {why}.")),
        None if desk.unit().is_none() => Err("There is no unit to land a conductor on.".to_owned()),
        None => Err(
            "The survey has no list of the conductors at the old drive. Write one row for each conductor into a CSV or XLSX file: wire number, \
             terminal, where it goes, circuit, function, volts, what drives it. Name the file under [wires] of the position’s file and make \
             these papers again. Until then no verdict of theirs speaks of the wires: trace every one before work begins."
                .to_owned(),
        ),
    }
}

pub(super) fn paper(desk: &Desk<'_>) -> Paper {
    let mut sheet = Sheet::new(desk, "wire-crosswalk", "Wire crosswalk", "electrician at the panel");
    let wires = match conductors(&mut sheet, desk) {
        Ok(wires) => wires,
        Err(why) => return sheet.not_examined(&why),
    };
    answer(&mut sheet, wires);
    sheet.cautions("LDX");
    unsettled(&mut sheet, wires);
    fitted(&mut sheet, wires);
    sheet.heading("Before the first conductor is loosened");
    sheet.ticks(vec![
        hold("The isolation sheet is signed: every source locked out, the bus measured."),
        tick("Every conductor of the list carries its number at this end, and was photographed where it sits."),
        tick(
            "Every control conductor measured against earth and against its neighbours; what still carries volts is found and locked out.",
        ),
        tick("A conductor at the old drive that is not on this list: stop, and add it to the list before it is loosened."),
    ]);
    sheet.part(Part::NewPage);
    sheet.heading("Every conductor");
    crosswalk(&mut sheet, wires);
    sheet.heading("With everything landed");
    sheet.ticks(vec![
        hold("A second person reads this crosswalk aloud while the first touches each terminal."),
        tick("Every conductor pulled; no strand outside its ferrule; no conductor without a row."),
        energise("Control supply on, line still locked out.", "the unit comes up without a fault of its control side"),
        energise(
            "Each device at the far ends worked once, one by one, by the column “prove”.",
            "the unit sees each one, and nothing else changes; nothing turns",
        ),
    ]);
    proofs(&mut sheet, wires);
    sheet.heading("To know");
    sheet.lines(wires.remarks.iter().cloned());
    sheet.fields(vec![
        Field::line("Landed by, date"),
        Field::line("Read back by"),
        Field::line("Differs from this list, and entered in it by"),
    ]);
    sheet.finish()
}

/// "11 conductors", "1 conductor".
pub(super) fn counted(number: usize, one: &str) -> String {
    if number == 1 { format!("1 {one}") } else { format!("{number} {one}s") }
}

fn answer(sheet: &mut Sheet<'_>, wires: &Wires) {
    let counts: Vec<String> = wires.counts.iter().filter(|c| c.conductors > 0).map(|c| format!("{} {}", c.conductors, c.action)).collect();
    sheet.say(format!("From {} to {}.", wires.old, wires.new));
    sheet.part(Part::Statement(vec![
        Run::strong(format!("{}: ", counted(wires.conductors.len(), "conductor"))),
        Run::plain(format!("{}.", counts.join(", "))),
    ]));
    if !wires.schemes.is_empty() {
        sheet.say(format!("Start and stop, which must stay what they are: {}.", wires.schemes.join("; ")));
    }
}

/// Circuits in the order of the list, each with its first conductor that has a proof.
fn circuits(wires: &Wires) -> Vec<&Conductor> {
    let mut found: Vec<&Conductor> = Vec::new();
    for conductor in &wires.conductors {
        match found.iter_mut().find(|c| c.old.circuit == conductor.old.circuit) {
            Some(first) if first.proof.is_empty() && !conductor.proof.is_empty() => *first = conductor,
            Some(_) => {}
            None => found.push(conductor),
        }
    }
    found
}

/// What may not wait: lines that hang on a reading, circuits without a landing, points that nothing closes.
fn unsettled(sheet: &mut Sheet<'_>, wires: &Wires) {
    let lines = circuits(wires).into_iter().flat_map(|c| {
        let open = c.proof.iter().filter(|l| l.verdict != "holds");
        open.map(|l| {
            Row::of(vec![
                Cell::text(named(c)),
                Cell::text(l.what.clone()),
                Cell::text(l.have.clone()),
                Cell::text(l.need.clone()),
                Cell::Verdict(l.verdict.clone()),
                Cell::Blank,
            ])
        })
    });
    let rows: Vec<Row> = lines.collect();
    let mut says: Vec<String> = wires
        .conflicts
        .iter()
        .map(|c| format!("{} cannot all be met by this unit: decide which is done without, or otherwise.", c.circuits.join(", ")))
        .collect();
    says.extend(
        wires
            .start_conditions
            .iter()
            .filter(|c| c.closed_by.is_none())
            .map(|c| format!("Nothing closes {}: the unit does not become ready until something does.", c.point)),
    );
    if rows.is_empty() && says.is_empty() {
        return;
    }
    sheet.heading("To be settled before anything is energised");
    sheet.lines(says);
    let columns = vec![
        Column::words("circuit", 1.0),
        Column::words("compared", 1.1),
        Column::words("there", 0.9),
        Column::words("needed", 1.0),
        Column::fit("verdict"),
        Column::room("found", 28.0),
    ];
    sheet.table("unsettled", "", columns, rows);
}

/// The name of a circuit that people know: its own, or its wire with its function.
fn named(conductor: &Conductor) -> String {
    let old = &conductor.old;
    if old.circuit == conductor.wire || old.circuit.is_empty() {
        format!("{} {}", conductor.wire, words(&old.function))
    } else {
        old.circuit.clone()
    }
}

/// A function as people say it.
pub(super) fn words(function: &str) -> String {
    function.replace('-', " ")
}

/// Modules, parts and links.
fn fitted(sheet: &mut Sheet<'_>, wires: &Wires) {
    let parts: Vec<&Conductor> = circuits(wires).into_iter().filter(|c| !c.parts.is_empty()).collect();
    if wires.modules.is_empty() && parts.is_empty() && wires.links.is_empty() && wires.variant.is_none() {
        return;
    }
    sheet.heading("To be fitted first");
    let variant = wires.variant.iter().map(|v| Row::of(vec![Cell::text("unit"), Cell::text(format!("variant {v}")), Cell::Tick]));
    let modules = wires.modules.iter().map(|m| {
        let limits = if m.limits.is_empty() { String::new() } else { format!("; {}", m.limits) };
        Row::of(vec![Cell::text(format!("slot {}", m.slot)), Cell::text(format!("{}, {}{limits}", m.module, m.what)), Cell::Tick])
    });
    let parts = parts.into_iter().map(|c| Row::of(vec![Cell::text(mark(c)), Cell::text(c.parts.join("; ")), Cell::Tick]));
    let rows: Vec<Row> = variant.chain(modules).chain(parts).collect();
    let columns =
        vec![Column::words("where, mark", 0.35), Column::words("what, with what it must do at least", 1.0), Column::fit("fitted")];
    sheet.table("fitted", "", columns, rows);
    let rows = wires.links.iter().map(|l| {
        Row::of(vec![
            Cell::text(l.link.clone()),
            Cell::Words(vec![Run::strong(l.action.clone())]),
            Cell::text(l.reason.clone()),
            Cell::Tick,
        ])
    });
    let columns = vec![Column::fit("link"), Column::fit("do"), Column::words("why", 1.0), Column::fit("done")];
    sheet.table("links", "", columns, rows.collect());
}

/// What a part is marked with, or where it sits.
fn mark(c: &Conductor) -> String {
    match c.new.as_deref() {
        Some(new) if new.starts_with("K-") => format!("K-{}", c.old.circuit),
        Some(new) if new.starts_with("own part") => new.to_owned(),
        Some(new) => format!("beside {new}"),
        None => named(c),
    }
}

fn crosswalk(sheet: &mut Sheet<'_>, wires: &Wires) {
    let before = |at: usize| at.checked_sub(1).and_then(|b| wires.conductors.get(b));
    let rows = wires.conductors.iter().enumerate().map(|(at, c)| {
        let new = match (&c.new, c.action.as_str()) {
            (Some(new), _) => vec![Run::large(new.clone())],
            (None, action) => vec![Run::strong(action.to_owned())],
        };
        Row::of(vec![
            Cell::Words(vec![Run::large(c.wire.clone())]),
            Cell::Words(vec![Run::large(c.old.terminal.clone())]),
            Cell::Tick,
            Cell::Words(new),
            Cell::Words(between(c, before(at))),
            Cell::Words(prove(c)),
            Cell::Tick,
            Cell::Tick,
        ])
    });
    let columns = vec![
        Column::fit("wire"),
        Column::fit("old terminal"),
        Column::fit("off"),
        Column::words("new terminal", 0.95),
        Column::words("what it is, what stands between", 1.35),
        Column::words("prove", 1.0),
        Column::fit("on"),
        Column::fit("proved"),
    ];
    let caption = "In the order of the list. K- marks a part of its own: the conductor ends at the part’s terminal.";
    sheet.large_table("conductors", caption, columns, rows.collect());
}

/// What a conductor is, where it comes from, what stands between it and the unit; said once for a circuit whose conductors follow each
/// other.
fn between(c: &Conductor, before: Option<&Conductor>) -> Vec<Run> {
    let told = [words(&c.old.function), c.old.volts.clone()].into_iter().filter(|t| !t.is_empty()).collect::<Vec<_>>().join(", ");
    let mut runs = vec![Run::strong(told)];
    if !c.old.to.is_empty() {
        runs.push(Run::faint(format!(" — {}", c.old.to)));
    }
    let again = before.filter(|b| b.old.circuit == c.old.circuit && b.reason == c.reason);
    match again {
        // What simply lands needs no reason; its proof stands below.
        _ if c.action == "landed" && !c.proof.is_empty() => {}
        Some(b) => runs.push(Run::plain(format!(". As wire {}.", b.wire))),
        None => runs.push(Run::plain(format!(". {}.", sentence(&c.reason)))),
    }
    runs
}

/// With a capital.
fn sentence(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// What is to be proved at a conductor.
fn prove(c: &Conductor) -> Vec<Run> {
    let open: Vec<&str> = c.proof.iter().filter(|l| l.verdict != "holds").map(|l| l.what.as_str()).collect();
    let mut runs = Vec::new();
    if !open.is_empty() && c.action != "spared" {
        runs.push(Run::strong(format!("First: {}. ", open.join(", "))));
    }
    runs.push(Run::plain(match c.action.as_str() {
        "spared" => "Insulated, tagged, ends nowhere.",
        "removed" => "Dead; out at both ends, or insulated and tagged at both.",
        _ => function(&c.old.function).and_then(|f| f.kind).map_or("Rung out.", told_by),
    }));
    runs
}

/// How a point shows that the right conductor is on it. Common practice, no source.
const fn told_by(kind: PointKind) -> &'static str {
    match kind {
        PointKind::DigitalInput => "Rung out; its device worked: the unit sees it come and go.",
        PointKind::RelayOutput | PointKind::TransistorOutput => "Rung out; made to close: what it feeds answers.",
        PointKind::AnalogueInput => "Rung out; read at 0, 50 and 100 %.",
        PointKind::AnalogueOutput => "Rung out; the meter read at 0 and 100 %.",
        PointKind::EncoderInput => "Rung out track by track; counts up when the shaft is turned forward by hand.",
        PointKind::ThermistorInput => "Rung out; opened once: the unit trips.",
        PointKind::SafeInput => "Rung out; opened alone: the unit is off and says which channel.",
        PointKind::SupplyOutput | PointKind::SupplyInput => "Rung out; volts and polarity read at the far end.",
    }
}

/// Every line of every proof, for the person who checks it.
fn proofs(sheet: &mut Sheet<'_>, wires: &Wires) {
    let rows = circuits(wires).into_iter().flat_map(|c| {
        c.proof.iter().enumerate().map(move |(place, l)| {
            // Said again in each row, standing back: a sheet that is filtered by circuit keeps all of them.
            let name = if place == 0 { Cell::text(named(c)) } else { Cell::Words(vec![Run::faint(named(c))]) };
            let margin = l.margin.map_or(Cell::Empty, |m| Cell::Number { value: 100.0 * m, text: format!("{:.0}", 100.0 * m) });
            Row::of(vec![
                name,
                Cell::text(l.what.clone()),
                Cell::text(l.have.clone()),
                Cell::text(l.need.clone()),
                margin,
                Cell::Verdict(l.verdict.clone()),
            ])
        })
    });
    let rows: Vec<Row> = rows.collect();
    if rows.is_empty() {
        return;
    }
    sheet.heading("Proof of each landing");
    sheet.say("With the parts in place, line by line, by the list and the new unit’s pack.");
    let columns = vec![
        Column::words("circuit", 0.8),
        Column::words("compared", 1.1),
        Column::words("there", 1.0),
        Column::words("needed", 1.0),
        Column::numbers("covered by", "%"),
        Column::fit("verdict"),
    ];
    sheet.table("proof", "", columns, rows);
}
