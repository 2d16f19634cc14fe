//! The finished job as plain tables and text: what every output (screen, JSON, paper) shows and nothing
//! recomputes. Numbers that people read stand here as text beside the number that scripts read.

pub mod behaviour;
pub mod boxes;
pub mod chart;
pub mod cutover;
pub mod drawing;
pub mod paper;
pub mod power;
pub mod program;
pub mod settings;
pub mod wires;
pub mod words;

use serde::Serialize;

/// All papers of a site at one date.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Dossier {
    /// Version of this structure.
    pub schema: u32,
    /// Name of the plant.
    pub site: String,
    /// The date it was made for, ISO 8601.
    pub date: String,
    /// Currency of all money.
    pub currency: String,
    /// One entry per position, in the order of their tags.
    pub positions: Vec<Position>,
}

/// One position.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Position {
    /// Tag.
    pub tag: String,
    /// What it drives.
    pub machine: String,
    /// The old drive, as far as it was read.
    pub old: String,
    /// What its type code says, segment by segment, where its pack explains it.
    pub old_decoded: Vec<Segment>,
    /// The candidate that was chosen by a person or, without a decision, stands first; `None` without any candidate.
    pub chosen: Option<String>,
    /// Who chose it, where somebody did.
    pub chosen_by: Option<String>,
    /// Verdict of that candidate.
    pub verdict: String,
    /// Candidates that are shown, best first.
    pub candidates: Vec<Candidate>,
    /// How all candidates of all packs came out.
    pub counts: Counts,
    /// Readings that would settle most, best first.
    pub measure_next: Vec<Reading>,
    /// Facts for which nothing may be assumed, and that some check asked for.
    pub open: Vec<Open>,
    /// Assumptions that the verdicts stand on.
    pub assumptions: Vec<Assumption>,
    /// Subjects that nobody has examined: no verdict here speaks of them.
    pub not_examined: Vec<String>,
    /// Cautions for whoever goes to the equipment.
    pub cautions: Vec<Caution>,
    /// Remarks of the surveyor.
    pub notes: Vec<String>,
    /// What was wrong with this position's inputs but did not stop the work.
    pub remarks: Vec<String>,
}

/// One segment of a type code.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Segment {
    /// What the segment tells.
    pub segment: String,
    /// Its characters.
    pub characters: String,
    /// What they mean.
    pub meaning: String,
}

/// How many candidates hold, hold but for what stays open, depend, fail; and how they stand in what a choice of drive can decide.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Counts {
    /// Hold whatever the rest turns out to be.
    pub hold: usize,
    /// Hold in every margin; only facts that may not be assumed are open.
    pub hold_but_open: usize,
    /// May hold.
    pub depend: usize,
    /// Cannot hold.
    pub fail: usize,
    /// Leave nothing open or failing that another candidate would settle.
    pub sound_by_choice: usize,
    /// Leave something open that another candidate settles.
    pub doubtful_by_choice: usize,
    /// Fail where another candidate does not.
    pub ruled_out_by_choice: usize,
}

/// One candidate for a position.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Candidate {
    /// "series/code/duty".
    pub id: String,
    /// Maker and name of the series.
    pub series: String,
    /// Order code.
    pub code: String,
    /// Duty class.
    pub duty: String,
    /// Frame.
    pub frame: String,
    /// `holds`, `depends` or `fails`.
    pub verdict: String,
    /// Every margin holds; only facts that may not be assumed are open.
    pub only_open: bool,
    /// The verdict in what a choice of drive can decide: what no candidate does better in is the position's own trouble.
    pub by_choice: String,
    /// Installed cost: unit, remedies, labour that was counted, as far as it has a price.
    pub cost: f64,
    /// How many lines of the bill have no price.
    pub unpriced: usize,
    /// Unit, parts and the labour of its cutover, task by task, over the times that those tasks may take; `None` without rates.
    /// Wider than `cost`, which counts the swap and the remedies alone.
    pub installed: Option<Spread>,
    /// What the cost is made of.
    pub bill: Vec<BillLine>,
    /// What may go wrong with it, worst first.
    pub findings: Vec<Finding>,
}

/// Money at the least, the likeliest and the most work.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Spread {
    /// At the least.
    pub least: f64,
    /// Likeliest.
    pub likely: f64,
    /// At the most.
    pub most: f64,
}

/// One line of the bill.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct BillLine {
    /// What it is.
    pub what: String,
    /// Its price; `None` when nobody has stated one.
    pub price: Option<f64>,
    /// Whether something is ordered for it.
    pub ordered: bool,
    /// Weeks from order to delivery; `None` when nobody has said how many, or nothing is ordered.
    pub lead_weeks: Option<f64>,
}

/// One check's say about one candidate.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Finding {
    /// Name of the fault.
    pub name: String,
    /// The fault in words.
    pub title: String,
    /// `holds`, `depends` or `fails`.
    pub verdict: String,
    /// `injury`, `equipment`, `downtime` or `nuisance`.
    pub severity: String,
    /// Lowest and highest margin.
    pub margin: Margin,
    /// Facts that decide it.
    pub depends_on: Vec<String>,
    /// Why no margin could be computed, where none could.
    pub reason: Option<String>,
    /// Facts that went into the worst case, with their origin.
    pub inputs: Vec<Input>,
    /// The calculation of the worst case, step by step.
    pub working: Vec<Step>,
    /// What it rests on.
    pub sources: Vec<String>,
    /// What would make it hold, or what was done to make it hold.
    pub remedies: Vec<Remedy>,
    /// Who accepted it, where somebody did.
    pub accepted: Option<Acceptance>,
    /// It was accepted, but a fact that may not be assumed is open: it counts all the same.
    pub stays_open: bool,
}

/// A margin over the ranges.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Margin {
    /// Lowest; `None` when it cannot be computed.
    pub low: Option<f64>,
    /// Highest; `None` when it cannot be computed.
    pub high: Option<f64>,
    /// Its unit; empty where it only holds (1) or fails (−1).
    pub unit: String,
}

/// A fact that went into a calculation.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Input {
    /// Path of the fact.
    pub fact: String,
    /// Its value in the worst case.
    pub value: String,
    /// All that it may be.
    pub range: String,
    /// How it is known.
    pub origin: String,
    /// File and line.
    pub place: String,
}

/// One step of a working.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Step {
    /// Symbol.
    pub symbol: String,
    /// What it is.
    pub name: String,
    /// Formula in symbols.
    pub formula: String,
    /// Formula with its numbers.
    pub numbers: String,
    /// Result.
    pub value: String,
    /// Source.
    pub source: String,
    /// Remark.
    pub note: String,
}

/// A remedy.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Remedy {
    /// What is done.
    pub what: String,
    /// Price of parts and work; `None` when unknown.
    pub cost: Option<f64>,
    /// Whether it is taken into the candidate and its cost.
    pub taken: bool,
}

/// An accepted deviation.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Acceptance {
    /// Who.
    pub by: String,
    /// When.
    pub on: String,
    /// Why.
    pub reason: String,
}

/// A reading to take.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Reading {
    /// Path of the fact.
    pub fact: String,
    /// What it is.
    pub label: String,
    /// How many verdicts a reading settles on average over what it may show.
    pub settles: f64,
    /// The findings that it bears on.
    pub findings: Vec<String>,
    /// What it takes: 1 (look) to 5 (study).
    pub effort: u8,
    /// The same in words.
    pub effort_words: String,
    /// What is expected: the range assumed or surveyed.
    pub expected: String,
}

/// A fact that may not be assumed and is not known.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Open {
    /// Path of the fact.
    pub fact: String,
    /// What it is.
    pub label: String,
    /// Why nothing may be assumed.
    pub why: String,
}

/// An assumption.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Assumption {
    /// Path of the fact.
    pub fact: String,
    /// What it is.
    pub label: String,
    /// What is assumed.
    pub assumed: String,
    /// Why that is fair.
    pub why: String,
}

/// A caution.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Caution {
    /// The hazard.
    pub hazard: String,
    /// What to do.
    pub text: String,
}
