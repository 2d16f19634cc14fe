//! The power path of one position, before and after: every quantity with its limit, its margin, and what is still open.

use serde::Serialize;

use crate::{Caution, Input, Margin, Step};

/// The audit of one position for one candidate.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Audit {
    /// Tag.
    pub tag: String,
    /// What it drives.
    pub machine: String,
    /// The drive that stands there today; `None` where no pack tells what it is.
    pub old: Option<String>,
    /// The candidate: "series/code/duty".
    pub new: String,
    /// The worst verdict of all lines: `holds`, `depends` or `fails`.
    pub verdict: String,
    /// What is done to the candidate: parts and work that were taken to make findings hold, whole or in part.
    pub remedies: Vec<String>,
    /// The lines by subject.
    pub sections: Vec<Section>,
    /// Facts for which nothing may be assumed and that some line asked for.
    pub open: Vec<String>,
    /// Cautions for whoever goes to the equipment.
    pub cautions: Vec<Caution>,
    /// What is to be known about the table itself.
    pub remarks: Vec<String>,
}

/// The lines of one subject.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Section {
    /// Short name for scripts: "fault-current".
    pub name: String,
    /// Title.
    pub title: String,
    /// The lines.
    pub lines: Vec<Line>,
}

/// One quantity, before and after.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Line {
    /// What it is.
    pub what: String,
    /// With the old drive.
    pub before: Reading,
    /// With the candidate and all that is done to it.
    pub after: Reading,
    /// What the quantity is held against afterwards; empty where nothing limits it.
    pub limit: Reading,
    /// Room to the limit before; `None` where no finding speaks of it or the old drive is not known.
    pub margin_before: Option<Margin>,
    /// Room to the limit afterwards.
    pub margin: Option<Margin>,
    /// The same with the old drive; empty where it cannot be told.
    pub verdict_before: String,
    /// `holds`, `depends` or `fails`; empty where nothing limits it.
    pub verdict: String,
    /// The finding that judges it.
    pub finding: Option<String>,
    /// What the figure rests on.
    pub source: String,
    /// Facts that may not be assumed and are not known.
    pub open: Vec<String>,
    /// Further facts that decide the verdict while it depends.
    pub depends_on: Vec<String>,
    /// What else is to be known: the weakest link, why there is no figure.
    pub note: String,
    /// How the figure with the old drive comes about.
    pub working_before: Worked,
    /// How the figure with the candidate comes about; empty where it stands in the working of the finding.
    pub working: Worked,
    /// How what it is held against comes about; empty where it stands in the working of the finding.
    pub working_limit: Worked,
}

/// A calculation at the completion of the survey where its margin, or else its value, is lowest.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Worked {
    /// Step by step.
    pub steps: Vec<Step>,
    /// Facts that went into it, with their places.
    pub inputs: Vec<Input>,
}

impl Worked {
    /// Whether there is anything to show.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.steps.is_empty()
    }
}

/// A quantity over everything that the survey leaves open.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Reading {
    /// Lowest, SI; `None` where it is no number or not known.
    pub low: Option<f64>,
    /// Highest, SI.
    pub high: Option<f64>,
    /// Unit of both; empty for words.
    pub unit: String,
    /// As people read it; empty where there is nothing to say.
    pub text: String,
}

impl Line {
    /// Whether it says more than that its subject is not here.
    #[must_use]
    pub fn speaks(&self) -> bool {
        let nothing = |reading: &Reading| matches!(reading.text.as_str(), "" | "none");
        !(nothing(&self.before) && nothing(&self.after) && matches!(self.verdict.as_str(), "" | "holds"))
    }

    /// All that is to be known beside its figures, in one sentence: note, how it stood before, what is open.
    #[must_use]
    pub fn said(&self) -> String {
        let mut parts: Vec<String> = Vec::new();
        if !self.note.is_empty() {
            parts.push(self.note.clone());
        }
        if !matches!(self.verdict_before.as_str(), "" | "holds") {
            parts.push(format!("before: {}", self.verdict_before));
        }
        if !self.open.is_empty() {
            parts.push(format!("open: {}", self.open.join(", ")));
        }
        if !self.depends_on.is_empty() {
            parts.push(format!("depends on {}", self.depends_on.join(", ")));
        }
        parts.join("; ")
    }
}
