//! All positions: verdict, tightest margin, open questions, cost; filtered, sorted, searched.

use std::cmp::Ordering;
use std::sync::Arc;

use hyper::StatusCode;
use job::phrase::{cost, margin_text, money, standing};
use maud::{Markup, html};
use packs::Problem;
use serde_json::{Value, json};

use crate::answers::Now;
use crate::ask::{Ask, part_of_path};
use crate::server::Desk;
use crate::view::{Page, Trouble, View, at, place, verdict};

/// One line of the table.
struct Row {
    tag: String,
    machine: String,
    old: String,
    state: State,
    /// Place of the tightest finding among those of the first candidate.
    tightest: Option<usize>,
}

/// How far a position is worked out.
enum State {
    Answer(Arc<dossier::Position>),
    Pending,
    Hindered(Problem),
}

impl Row {
    fn verdict(&self) -> &str {
        match &self.state {
            State::Answer(p) => p.candidates.first().map_or("no candidate", standing),
            State::Pending => "being worked out",
            State::Hindered(_) => "file has mistakes",
        }
    }

    fn answer(&self) -> Option<&dossier::Position> {
        if let State::Answer(position) = &self.state { Some(position) } else { None }
    }

    fn first(&self) -> Option<&dossier::Candidate> {
        self.answer().and_then(|p| p.candidates.first())
    }

    fn tightest(&self) -> Option<&dossier::Finding> {
        self.first()?.findings.get(self.tightest?)
    }

    fn json(&self) -> Value {
        let tightest = self.tightest().map(|f| json!({ "finding": f.name, "margin": f.margin }));
        json!({
            "tag": self.tag, "machine": self.machine, "old": self.old, "verdict": self.verdict(), "tightest": tightest,
            "candidate": self.first().map(|c| &c.id), "cost": self.first().map(|c| c.cost), "unpriced": self.first().map(|c| c.unpriced),
            "open": self.answer().map(|p| &p.open), "to_measure": self.answer().map(|p| p.measure_next.len()),
        })
    }
}

fn low(finding: &dossier::Finding) -> f64 {
    finding.margin.low.unwrap_or(f64::INFINITY)
}

/// The finding with the lowest margin, of those that are measured in something and count. Per cent and millimetres have no common
/// order: what fails comes first, then what is measured in per cent.
fn tightest(candidate: &dossier::Candidate) -> Option<usize> {
    let measured = |f: &dossier::Finding| f.margin.low.is_some() && !f.margin.unit.is_empty() && f.severity != "nuisance";
    let rank = |f: &dossier::Finding| (low(f) >= 0.0, f.margin.unit != "%");
    let least = |a: &dossier::Finding, b: &dossier::Finding| rank(a).cmp(&rank(b)).then(low(a).total_cmp(&low(b)));
    candidate.findings.iter().enumerate().filter(|(_, f)| measured(f)).min_by(|(_, a), (_, b)| least(a, b)).map(|(at, _)| at)
}

/// Rows of one page; a larger site comes in several, or on request all together.
const ROWS: usize = 100;

const SORTS: &[(&str, &str)] = &[
    ("tag", "Tag"),
    ("verdict", "Worst verdict first"),
    ("margin", "Tightest margin first"),
    ("open", "Most open questions first"),
    ("cost", "Dearest first"),
];
const FILTERS: &[(&str, &str)] =
    &[("", "All verdicts"), ("holds", "Holds"), ("depends", "Depends"), ("fails", "Fails"), ("none", "Without answer")];

pub(crate) fn show(desk: &Desk, ask: &Ask) -> Result<View, Trouble> {
    let now = desk.now()?;
    let mut rows = rows(desk, &now);
    let all = rows.len();
    let pending = rows.iter().filter(|r| matches!(r.state, State::Pending)).count();
    let wanted = ask.query("q").to_lowercase();
    rows.retain(|row| {
        let text = format!("{} {} {}", row.tag, row.machine, row.old).to_lowercase();
        wanted.split_whitespace().all(|word| text.contains(word)) && fits(row, ask.query("verdict"))
    });
    sort(&mut rows, ask.query("sort"));
    let site = &now.folder.site;
    let json = ask.twin(|| {
        json!({
            "site": site.name, "date": &*now.date, "currency": site.currency, "positions": rows.iter().map(Row::json).collect::<Vec<_>>(),
            "all": all, "to_work_out": pending,
            "problems": now.folder.problems.iter().map(problem_json).collect::<Vec<_>>(),
        })
    });
    let part = Part::of(ask, rows.len());
    let body = html! {
        div.head {
            h1 { (site.name) }
            p { (all) " positions, " (now.date) }
        }
        (problems(&now.folder.problems))
        form.filter method="get" action="/" role="search" {
            label { "Search" input type="search" name="q" value=(ask.query("q")); }
            label { "Verdict" (select("verdict", FILTERS, ask.query("verdict"))) }
            label { "Order" (select("sort", SORTS, ask.query("sort"))) }
            button type="submit" { "Show" }
        }
        @if pending > 0 {
            p.pending data-pending=(pending) { (pending) " of " (all) " positions are still being worked out. " progress max=(all) value=(all - pending) aria-label="Positions that are worked out" {} }
            noscript { p { a href=(ask.here) { "Look again" } } }
        }
        @if rows.is_empty() {
            p { @if all == 0 { "The site has no position yet. " a href="/add" { "Add one" } " or " a href="/import" { "import a list" } "." } @else { "No position fits." } }
        } @else {
            (part.ways(ask, rows.len(), "Parts of the table"))
            (table(&rows, &part, &site.currency))
            (part.ways(ask, rows.len(), "Parts of the table, below it"))
        }
    };
    Ok(View::Page(Box::new(Page { status: StatusCode::OK, title: site.name.clone(), position: None, body, json, stamp: now.folder.stamp })))
}

fn rows(desk: &Desk, now: &Now) -> Vec<Row> {
    let row = |p: &plant::position::Position| {
        let state = match now.hindered(p) {
            Some(problem) => State::Hindered(problem.clone()),
            None => desk.answers.ready(now, p).map_or(State::Pending, State::Answer),
        };
        let first = if let State::Answer(answer) = &state { answer.candidates.first() } else { None };
        Row {
            tag: p.tag.clone(),
            machine: p.machine.clone(),
            old: [p.old_series.as_deref(), p.old_code.as_deref()].into_iter().flatten().collect::<Vec<_>>().join(" "),
            tightest: first.and_then(tightest),
            state,
        }
    };
    now.folder.positions.iter().map(row).collect()
}

fn fits(row: &Row, verdict: &str) -> bool {
    match verdict {
        "" => true,
        "none" => row.first().is_none(),
        other => row.first().is_some_and(|c| c.verdict == other),
    }
}

fn sort(rows: &mut [Row], by: &str) {
    let number = |a: f64, b: f64| a.total_cmp(&b);
    let rank = |row: &Row| match row.first().map(|c| c.verdict.as_str()) {
        Some("fails") => 0,
        Some("depends") => 1,
        None => 2,
        Some(_) => 3,
    };
    let margin = |row: &Row| row.tightest().map_or(f64::INFINITY, low);
    let open = |row: &Row| row.answer().map_or(0, |p| p.measure_next.len());
    let price = |row: &Row| row.first().map_or(f64::NEG_INFINITY, |c| c.cost);
    let order: &dyn Fn(&Row, &Row) -> Ordering = match by {
        "verdict" => &|a, b| rank(a).cmp(&rank(b)).then(number(margin(a), margin(b))),
        "margin" => &|a, b| number(margin(a), margin(b)),
        "open" => &|a, b| open(b).cmp(&open(a)),
        "cost" => &|a, b| number(price(b), price(a)),
        _ => &|_, _| Ordering::Equal,
    };
    // Positions come by tag, and a stable sort keeps that among equals.
    rows.sort_by(|a, b| order(a, b));
}

/// The rows of a long table that are shown.
struct Part {
    /// Which part, from 0; `None` when all are shown.
    number: Option<usize>,
    shown: std::ops::Range<usize>,
}

impl Part {
    fn of(ask: &Ask, rows: usize) -> Self {
        if rows <= ROWS || ask.query("rows") == "all" {
            return Self { number: None, shown: 0..rows };
        }
        let last = (rows - 1) / ROWS;
        let number = ask.query("part").parse::<usize>().ok().and_then(|n| n.checked_sub(1)).unwrap_or(0).min(last);
        Self { number: Some(number), shown: number * ROWS..((number + 1) * ROWS).min(rows) }
    }

    /// The ways to the other parts, with search, filter and order as they are.
    fn ways(&self, ask: &Ask, rows: usize, label: &str) -> Markup {
        let to = |key: &str, value: &str| {
            let kept = ["q", "verdict", "sort"].into_iter().filter(|k| !ask.query(k).is_empty()).map(|k| (k, ask.query(k)));
            let all: Vec<String> = kept.chain([(key, value)]).map(|(k, v)| format!("{k}={}", part_of_path(v))).collect();
            format!("/?{}", all.join("&"))
        };
        html! {
            @if rows > ROWS {
                nav.parts aria-label=(label) {
                    span { (self.shown.start + 1) " to " (self.shown.end) " of " (rows) }
                    @if let Some(number) = self.number {
                        @for part in 0..rows.div_ceil(ROWS) {
                            a href=(to("part", &(part + 1).to_string())) aria-current=[(part == number).then_some("true")] aria-label={ "Part " (part + 1) } { (part + 1) }
                        }
                        a href=(to("rows", "all")) { "All on one page, to print" }
                    } @else {
                        a href=(to("part", "1")) { "In parts" }
                    }
                }
            }
        }
    }
}

fn table(rows: &[Row], part: &Part, currency: &str) -> Markup {
    let sum: f64 = rows.iter().filter_map(|r| r.first()).map(|c| c.cost).sum();
    let unpriced: usize = rows.iter().filter_map(|r| r.first()).map(|c| c.unpriced).sum();
    html! {
        table.cards {
            thead { tr { th { "Position" } th { "Verdict" } th { "Tightest margin" } th { "Open questions" } th { "Replacement" } th.number { "Installed" } } }
            tbody {
                @for row in rows.get(part.shown.clone()).unwrap_or_default() {
                    tr {
                        th scope="row" { a href=(at(&row.tag, "")) { (row.tag) } span.sub { (row.machine) } }
                        td data-name="Verdict" {
                            (verdict(row.verdict()))
                            @if let State::Hindered(problem) = &row.state { span.sub { (place(&format!("{}:{}", problem.file, problem.line))) } }
                        }
                        td data-name="Tightest margin" {
                            @if let Some(f) = row.tightest() {
                                a href=(at(&row.tag, &format!("/finding/{}", f.name))) { (margin_text(&f.margin)) } span.sub { (f.name) }
                            } @else { "—" }
                        }
                        td data-name="Open questions" {
                            @if let Some(p) = row.answer() {
                                a href=(at(&row.tag, "#next")) { (p.measure_next.len()) }
                                @if !p.open.is_empty() { span.sub { (p.open.len()) " may not be assumed" } }
                            } @else { "—" }
                        }
                        td data-name="Replacement" { @if let Some(c) = row.first() { (c.series) " " (c.code) span.sub { (c.duty) " duty" } } @else { "—" } }
                        td.number data-name="Installed" { @if let Some(c) = row.first() { (cost(c, currency)) } @else { "—" } }
                    }
                }
            }
            tfoot { tr { th scope="row" colspan="5" { "Together" @if unpriced > 0 { span.sub { (unpriced) " lines have no price and are not in it" } } } td.number { (money(sum)) " " (currency) } } }
        }
    }
}

fn select(name: &str, options: &[(&str, &str)], chosen: &str) -> Markup {
    html! { select name=(name) { @for (value, label) in options { option value=(value) selected[*value == chosen] { (label) } } } }
}

/// What is wrong in the files, each with its place.
pub(crate) fn problems(problems: &[Problem]) -> Markup {
    let errors = problems.iter().filter(|p| p.is_error()).count();
    html! {
        @if !problems.is_empty() {
            details.problems open[errors > 0] {
                summary { (errors) " mistakes, " (problems.len() - errors) " warnings in the files" }
                ul {
                    @for p in problems {
                        li { strong { (p.severity.word()) } " " (place(&format!("{}:{}", p.file, p.line))) ": " (p.message) @if !p.help.is_empty() { " — " (p.help) } }
                    }
                }
            }
        }
    }
}

fn problem_json(p: &Problem) -> Value {
    json!({ "severity": p.severity.word(), "file": &*p.file, "line": p.line, "column": p.column, "message": p.message, "help": p.help })
}
