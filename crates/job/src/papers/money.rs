//! The bill of material with its kit list, and the text of the quotation.

use dossier::paper::{Cell, Column, Field, Paper, Row, Run};
use plant::survey::{FactId, def, find};

use super::answer::{cost_text, says};
use super::price::{Effect, effects};
use super::sheet::{Desk, Sheet, fact_run};
use crate::phrase::{money, weeks_in_words};

pub(super) fn bill(desk: &Desk<'_>) -> Paper {
    let mut sheet = Sheet::new(desk, "bill-of-material", "Bill of material and kit list", "purchasing, stores");
    sheet.reads_candidate();
    let Some(first) = desk.first() else {
        return sheet.not_examined("There is no unit to order.");
    };
    let currency = &desk.input.site.currency;
    sheet.heading("What is ordered and done");
    let mut rows: Vec<Row> = first
        .bill
        .iter()
        .map(|line| {
            let price = line.price.map_or_else(|| Cell::text("no price"), |p| Cell::Number { value: p, text: money(p) });
            // What nobody has said is written down when it is asked for.
            let lead = match line.lead_weeks {
                Some(lead) => Cell::text(weeks_in_words(lead)),
                None if line.ordered => Cell::Blank,
                None => Cell::text("work alone"),
            };
            Row::of(vec![super::answer::count(1), Cell::text(line.what.clone()), price, lead, Cell::Blank, Cell::Tick])
        })
        .collect();
    let sum = Cell::Number { value: first.cost, text: money(first.cost) };
    let cells = vec![Cell::Empty, Cell::text("what has a price"), sum, Cell::Empty, Cell::Empty, Cell::Empty];
    rows.push(Row { anchor: None, cells, strong: true });
    let columns = vec![
        Column::numbers("quantity", ""),
        Column::words("part or work", 1.0),
        Column::numbers("price", currency),
        Column::room("lead time", 20.0),
        Column::room("supplier, ordered on", 32.0),
        Column::fit("here"),
    ];
    sheet.table("bill", "", columns, rows);
    match first.unpriced {
        0 => {}
        1 => sheet.say("One of these lines has no price: ask for it before the sum is used."),
        n => sheet.say(format!("{n} of these lines have no price: ask for them before the sum is used.")),
    }
    if desk.input.site.rates.is_none() {
        sheet.say("The site states no rates for labour: no work is in the sum.");
    }
    sheet.say(delivery(&first.bill));
    let others: Vec<&dossier::Candidate> = desk.report.candidates.iter().skip(1).collect();
    if !others.is_empty() {
        sheet.reads_all_candidates();
        sheet.heading("Units that could stand in for it");
        let rows = others.into_iter().map(|c| {
            let cost = Cell::Number { value: c.cost, text: money(c.cost) };
            let lead = Cell::text(c.bill.first().and_then(|unit| unit.lead_weeks).map(weeks_in_words).unwrap_or_default());
            Row::of(vec![Cell::text(format!("{} {}, {}", c.series, c.code, c.duty)), Cell::text(says(c)), lead, cost])
        });
        let columns = vec![
            Column::words("unit", 1.2),
            Column::words("how it comes out", 1.5),
            Column::fit("lead time"),
            Column::numbers("installed", currency),
        ];
        sheet.table("substitutes", "Each needs its own papers before it is used.", columns, rows.collect());
    }
    sheet.heading("Kit for the day");
    sheet.say("Small things that stop a job. Lengths and sizes go by what is read on site.");
    let rows = KIT.iter().map(|(what, why)| Row::of(vec![Cell::text(*what), Cell::text(*why), Cell::Blank, Cell::Tick]));
    let columns = vec![Column::words("what", 1.4), Column::words("for", 1.4), Column::room("size, number", 35.0), Column::fit("here")];
    sheet.table("kit", "", columns, rows.collect());
    sheet.finish()
}

/// When all is here, as far as anybody has said.
fn delivery(bill: &[dossier::BillLine]) -> String {
    let ordered = || bill.iter().filter(|line| line.ordered);
    let unsaid = ordered().filter(|line| line.lead_weeks.is_none()).count();
    let longest = ordered().filter_map(|line| line.lead_weeks).max_by(f64::total_cmp);
    let here = longest
        .map_or_else(String::new, |longest| format!("What states a lead time is here {} after it is ordered. ", weeks_in_words(longest)));
    let ask = match unsaid {
        0 => return here.trim_end().to_owned(),
        1 => "Of one line nobody has said how long it takes: ask before a night is fixed.".to_owned(),
        n => format!("Of {n} lines nobody has said how long they take: ask before a night is fixed."),
    };
    here + &ask
}

/// Common practice, no source.
const KIT: &[(&str, &str)] = &[
    ("lugs and ferrules for the conductors found", "new terminals take other sizes"),
    ("glands, and a blank or adapted gland plate", "old entries stay open or do not line up"),
    ("keypad or service cable, and what reads the settings out", "as-found settings before anything is loosened"),
    ("network connector, terminators, description file of the unit", "the master refuses a unit it has no file for"),
    ("control relays or interposing relays with sockets", "old contacts carried another voltage"),
    ("labels for wires and door, marker", "old texts no longer fit"),
    ("hole saws, taps, swarf cover", "no swarf into the units that stay"),
    ("voltage tester with its proving unit, insulation tester, clamp meter", "prove dead; tests before power"),
    ("locks and tags, one for each person", "isolation"),
    ("a copy of the settings, on paper and on a stick", "the second hour of the night"),
];

pub(super) fn quotation(desk: &Desk<'_>) -> Paper {
    let mut sheet = Sheet::new(desk, "quotation", "Text of the quotation", "purchasing, customer");
    sheet.reads_candidate();
    let Some(first) = desk.first() else {
        return sheet.not_examined("There is no unit to quote.");
    };
    let report = desk.report;
    let currency = &desk.input.site.currency;
    sheet.heading("Scope");
    let cost = cost_text(&mut sheet, first);
    sheet.say(format!(
        "Replacement of the drive {} of {} ({}) by {} {} in {} duty, with the parts and work named here. Sum of what has a price: {}.",
        if report.old.is_empty() { "of unknown make" } else { &report.old },
        report.tag,
        report.machine,
        first.series,
        first.code,
        first.duty,
        cost
    ));
    let rows = first.bill.iter().map(|line| {
        let price = line.price.map_or_else(|| Cell::text("on request"), |p| Cell::Number { value: p, text: money(p) });
        Row::of(vec![Cell::text(line.what.clone()), price])
    });
    sheet.table("scope", "", vec![Column::words("supply and work", 1.0), Column::numbers("price", currency)], rows.collect());
    sheet.heading("Who does what");
    let rows = SPLIT.iter().map(|(what, who)| Row::of(vec![Cell::text(*what), Cell::text(*who), Cell::Blank]));
    let columns = vec![Column::words("part of the job", 1.5), Column::words("usual split", 1.0), Column::room("agreed", 40.0)];
    sheet.table("split", "", columns, rows.collect());
    sheet.heading("Not included");
    sheet.lines(report.not_examined.iter().map(|s| format!("{s}: not examined; what has to be changed there is extra")));
    sheet.lines([
        "asbestos, lead paint and other findings behind the panel".to_owned(),
        "repair of the machine, the motor and the cables that stay".to_owned(),
    ]);
    assumptions(&mut sheet, desk);
    sheet.heading("What stays open");
    if report.open.is_empty() {
        sheet.say("Nothing for which no assumption is allowed.");
    } else {
        sheet.say("For these nothing may be assumed. The price holds only when they are read, and nothing is energised before.");
        sheet.list(
            report.open.iter().map(|o| vec![Run::plain(format!("{} (", o.label)), fact_run(&o.fact), Run::plain(format!("): {}", o.why))]),
        );
    }
    sheet.fields(vec![Field::line("Valid until"), Field::line("Terms"), Field::line("For the supplier")]);
    sheet.finish()
}

/// Common practice, no source.
const SPLIT: &[(&str, &str)] = &[
    ("shutdown, permits, isolation, making the machine safe", "plant"),
    ("taking the old unit out, disposal", "contractor; the plant says where to"),
    ("fixing, wiring, labelling", "contractor"),
    ("changes in the controller's program", "plant or contractor, with the network pack of these papers"),
    ("settings, first run, tests", "contractor, the plant's operators present"),
    ("validation of changed safety functions", "a competent person, named by the plant"),
    ("arc-flash study and its labels", "plant"),
];

/// What each assumption may do to the price, by working the units in sight out again at the ends of what it may be.
fn assumptions(sheet: &mut Sheet<'_>, desk: &Desk<'_>) {
    sheet.heading("Assumptions, and what they may do to the price");
    if desk.report.assumptions.is_empty() {
        sheet.say("Nothing is assumed.");
        return;
    }
    sheet.reads_all_candidates();
    sheet.say(
        "Each of these was assumed because nobody has read it. The effect is what the installed cost of the unit that would then stand first \
         differs from today’s, with this one fact put to each end of what it may be and all others as they are; what has no price is not \
         in it.",
    );
    let assumed: Vec<_> = desk.report.assumptions.iter().filter_map(|a| Some((a, find(&a.fact)?))).collect();
    let ids: Vec<FactId> = assumed.iter().map(|(_, id)| *id).collect();
    let effects = assumed.iter().map(|(a, _)| *a).zip(effects(desk, &ids));
    let (none, some): (Vec<_>, Vec<_>) = effects.partition(|(_, effect)| effect.as_ref() == Some(&Effect::default()));
    let rows = some.iter().map(|(a, effect)| {
        let (cheaper, dearer, then) = match effect {
            Some(effect) => (sum(effect.least), sum(effect.most), then(effect)),
            None => (Cell::Empty, Cell::Empty, "not played through: one value is assumed".to_owned()),
        };
        let label = find(&a.fact).map_or(a.label.as_str(), |id| def(id).label);
        Row::of(vec![
            Cell::text(label),
            Cell::Words(vec![fact_run(&a.fact)]),
            Cell::text(a.assumed.clone()),
            cheaper,
            dearer,
            Cell::text(then),
        ])
    });
    let currency = &desk.input.site.currency;
    let columns = vec![
        Column::words("assumption", 1.6),
        Column::fit("fact"),
        Column::words("assumed", 1.1),
        Column::numbers("cheaper by", currency),
        Column::numbers("dearer by", currency),
        Column::words("then", 1.2),
    ];
    sheet.table("assumptions", "", columns, rows.collect());
    if !none.is_empty() {
        let mut runs = vec![Run::plain("No effect on the price by itself: ")];
        for (place, (a, _)) in none.iter().enumerate() {
            runs.extend((place > 0).then(|| Run::plain(", ")));
            runs.push(fact_run(&a.fact));
        }
        runs.push(Run::plain("."));
        sheet.runs(runs);
    }
}

/// A sum without its sign; nothing where there is none to speak of.
fn sum(amount: f64) -> Cell {
    let value = amount.abs();
    if value < 0.5 { Cell::Empty } else { Cell::Number { value, text: money(value) } }
}

/// What would then be otherwise, besides the sum.
fn then(effect: &Effect) -> String {
    let unit = effect.other.as_ref().map(|unit| format!("perhaps {unit}"));
    let unpriced = match effect.unpriced {
        0 => None,
        1 => Some("one more line without a price".to_owned()),
        n => Some(format!("{n} more lines without a price")),
    };
    [unit, unpriced].into_iter().flatten().collect::<Vec<_>>().join("; ")
}
