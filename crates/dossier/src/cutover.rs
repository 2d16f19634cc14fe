//! The plan of a cutover: tasks with their steps back, the chance of ending inside the window, and until when one can turn back. Times
//! are minutes since the window began, beside their clock texts.

use serde::Serialize;

use crate::drawing::Drawing;
use crate::{Caution, Step};

/// The plan of a window.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Cutover {
    /// Version of this structure.
    pub schema: u32,
    /// Tags of the positions in it, in the order in which they are done.
    pub tags: Vec<String>,
    /// Candidate of each, in the same order; empty where there is none.
    pub candidates: Vec<String>,
    /// The window.
    pub window: Window,
    /// Whether everything is settled that has to be before anything is energised.
    pub ready: bool,
    /// What has to be settled; without it the plan ends before the first task that energises.
    pub to_settle: Vec<ToSettle>,
    /// Tasks that wait for it and are not in the plan.
    pub left_out: Vec<String>,
    /// The tasks.
    pub tasks: Vec<Task>,
    /// What the simulation says.
    pub forecast: Forecast,
    /// What to do now.
    pub advice: Advice,
    /// What it costs.
    pub money: Money,
    /// What may cost the night, by rows of docs/failure-modes.md.
    pub watch: Vec<Watch>,
    /// Where minutes and counts come from that nobody at the plant has given.
    pub assumed: Vec<String>,
    /// Remarks on the inputs.
    pub remarks: Vec<String>,
    /// Cautions of all tasks.
    pub cautions: Vec<Caution>,
    /// Who decides beside the plan; printed under the cautions.
    pub deference: String,
    /// The reckoning, step by step.
    pub working: Vec<Step>,
    /// The plan as bars over time.
    pub figure: Option<Drawing>,
}

/// The window.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Window {
    /// Whether somebody has granted it; without one, its length is assumed.
    pub granted: bool,
    /// Day of its start, ISO 8601; empty when not granted.
    pub date: String,
    /// Clock at its start.
    pub start: String,
    /// Clock at its end.
    pub end: String,
    /// Its length, minutes.
    pub minutes: f64,
    /// Share of cases in which the way back has to fit, 0 to 1.
    pub confidence: f64,
    /// Who decides to go on or back; empty when nobody is named.
    pub owner: String,
}

/// Something that has to be settled before anything is energised.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct ToSettle {
    /// Position.
    pub tag: String,
    /// The fact or the finding.
    pub what: String,
    /// Why it cannot wait.
    pub why: String,
}

/// Least, likely and most of a time, minutes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Minutes {
    /// Shortest.
    pub least: f64,
    /// Likeliest.
    pub likely: f64,
    /// Longest.
    pub most: f64,
}

/// A task.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Task {
    /// Its number, from 1.
    pub number: usize,
    /// Position.
    pub tag: String,
    /// Its name, as ticks call it.
    pub name: String,
    /// What is done.
    pub what: String,
    /// Who does it: names of crews.
    pub who: Vec<String>,
    /// How long it takes.
    pub minutes: Minutes,
    /// Where those minutes come from.
    pub basis: String,
    /// Numbers of the tasks that have to be done first.
    pub after: Vec<usize>,
    /// Likely start by the passes, minutes.
    pub start: f64,
    /// Likely finish, minutes.
    pub finish: f64,
    /// The same as clocks show them.
    pub clock: String,
    /// How much later it may start without making the end later, minutes.
    pub float: f64,
    /// Share of cases in which it lies on the longest way, 0 to 1.
    pub critical: f64,
    /// At this task people decide whether to go on.
    pub hold: bool,
    /// It puts voltage on something.
    pub energises: bool,
    /// The step back; empty where there is nothing to undo.
    pub back: String,
    /// How long that takes.
    pub back_minutes: Minutes,
    /// The step back puts voltage on something.
    pub back_energises: bool,
    /// Letters of its cautions.
    pub cautions: String,
    /// When it was done, minutes; `None` while it is not.
    pub done: Option<f64>,
    /// Who ticked it, and the remark.
    pub ticked: String,
    /// `done`, `under way`, `overdue` or `ahead`.
    pub state: String,
}

/// What the simulation says; minutes since the window began.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Forecast {
    /// The time it was made for.
    pub now: f64,
    /// The same as a clock shows it.
    pub now_clock: String,
    /// Share of cases that end inside the window, 0 to 1.
    pub chance: f64,
    /// Finish that a tenth of the cases stay below.
    pub early: f64,
    /// Finish that half of the cases stay below.
    pub middle: f64,
    /// Finish that the wanted share of cases stays below.
    pub late: f64,
    /// Latest moment to turn back, rounded down to a minute; `None` when the way back does not fit even from the first step on.
    pub turn_back: Option<f64>,
    /// The same as a clock shows it.
    pub turn_back_clock: String,
    /// The way back from now, in the wanted share of cases.
    pub way_back: f64,
    /// Share of cases in which the way back from now still fits, 0 to 1.
    pub back_fits: f64,
    /// How many cases were drawn.
    pub runs: u32,
    /// The seed.
    pub seed: u64,
    /// The distribution of times.
    pub distribution: String,
}

/// What to do now.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Advice {
    /// `not ready`, `does not fit`, `go on`, `decide now`, `turn back`, `no way back` or `done`.
    pub word: String,
    /// The same in sentences.
    pub says: String,
}

/// What the cutover costs, in the site's currency.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Money {
    /// Currency.
    pub currency: String,
    /// Lines of labour; `None` in their money without a rate.
    pub labour: Vec<Labour>,
    /// Labour in all at least, likely and most times; `None` without rates.
    pub labour_range: Option<(f64, f64, f64)>,
    /// Share of the labour above the likely one that stands on counts and times which nobody at the plant has given.
    pub contingency: Option<f64>,
    /// Parts and other lines of the candidates' bills.
    pub parts: f64,
    /// Lines without a price.
    pub unpriced: usize,
    /// Installed cost at least, likely and most; `None` without rates.
    pub installed: Option<(f64, f64, f64)>,
    /// Mean cost of standing longer than the window; `None` where no cost of an hour is given.
    pub overrun: Option<f64>,
    /// Cost of standing for the early, the middle and the late finish, with the whole standstill counted.
    pub standing: Option<(f64, f64, f64)>,
    /// What is left out.
    pub left_out: Vec<String>,
}

/// Labour of one trade.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Labour {
    /// Trade.
    pub trade: String,
    /// Hours of people at least, likely and most.
    pub hours: (f64, f64, f64),
    /// Money for the likely hours; `None` without a rate.
    pub money: Option<f64>,
}

/// Something that may cost the night.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Watch {
    /// Position.
    pub tag: String,
    /// Row of docs/failure-modes.md.
    pub row: u8,
    /// What and what to do.
    pub says: String,
}
