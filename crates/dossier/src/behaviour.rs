//! Where the new drive acts differently: what `behaviour` answers, for people and scripts.

use serde::Serialize;

/// The answer for one position.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Behaviour {
    /// Tag.
    pub tag: String,
    /// The old unit.
    pub old: String,
    /// The new unit.
    pub new: String,
    /// The wiring around both, in words.
    pub scheme: String,
    /// States that both can reach side by side.
    pub states: usize,
    /// Differences, the worst first.
    pub differences: Vec<Difference>,
    /// Rules of safety, held against each side alone.
    pub rules: Vec<Rule>,
    /// What was tried together until nothing dangerous was left, in the order in which it was found.
    pub remedies: Vec<String>,
    /// What stays different with all of them, counted.
    pub left: Vec<Left>,
    /// The same, each with a shortest sequence of its own; empty where nothing is done together.
    pub stays: Vec<Difference>,
    /// What has to be known first, or decides.
    pub open: Vec<String>,
    /// What to know beside.
    pub remarks: Vec<String>,
}

/// One difference.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Difference {
    /// How bad: "moves when the old stood still".
    pub danger: String,
    /// Whether it comes whatever the rest turns out to be; otherwise it depends on `on`.
    pub certain: bool,
    /// What decides.
    pub on: Vec<String>,
    /// A shortest sequence of events from before power-up.
    pub events: Vec<String>,
    /// What the old one does at its end.
    pub old: String,
    /// What the new one does.
    pub new: String,
    /// What makes it go away by itself.
    pub remedies: Vec<String>,
    /// What ends this sequence well, while another one may still lead to it.
    pub here: Vec<String>,
    /// It goes away with what is done together.
    pub gone: bool,
    /// With that, this sequence at least ends as well as before.
    pub mended: bool,
    /// What the new one does with it at the end of this sequence.
    pub after: String,
    /// What each did on the way, an entry for each event.
    pub course: Vec<Moment>,
}

/// What both do after an event.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Moment {
    /// The old one.
    pub old: String,
    /// The new one.
    pub new: String,
}

/// One rule.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Rule {
    /// As a sentence.
    pub rule: String,
    /// What is said of the new one: holds, fails, depends, not here.
    pub verdict: String,
    /// What is said of the old one.
    pub old: String,
    /// A shortest sequence of events that breaks it with the new one.
    pub events: Vec<String>,
    /// What decides.
    pub on: Vec<String>,
    /// What makes the new one keep it, by itself.
    pub remedies: Vec<String>,
    /// What is said of the new one with all that is done together.
    pub after: String,
}

/// How many differences stay, of one kind.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Left {
    /// Which kind.
    pub danger: String,
    /// How many.
    pub differences: usize,
}

impl Behaviour {
    /// What stays to be accepted: with what is done together, or as delivered where nothing is.
    #[must_use]
    pub fn to_accept(&self) -> &[Difference] {
        if self.remedies.is_empty() { &self.differences } else { &self.stays }
    }
}

impl Difference {
    /// Whether another one comes to the same: both do then what they do here.
    #[must_use]
    pub fn ends_as(&self, other: &Self) -> bool {
        (&self.danger, &self.old, &self.new) == (&other.danger, &other.old, &other.new)
    }

    /// What takes it away, in a sentence.
    #[must_use]
    pub fn taken_away_by(&self) -> String {
        let here = || format!("on this way to it: {}; other ways to it may stay", self.here.join("; or "));
        match (self.remedies.as_slice(), self.gone) {
            ([], true) => "gone with all that is done together".to_owned(),
            ([], false) if self.here.is_empty() => "nothing that was tried takes it away".to_owned(),
            ([], false) => here(),
            (remedies, _) => remedies.join("; or "),
        }
    }

    /// As a sentence.
    #[must_use]
    pub fn sentence(&self) -> String {
        let what = if self.events.is_empty() { "before power-up".to_owned() } else { self.events.join(", ") };
        format!("{what}: the old one {}; the new one {}", self.old, self.new)
    }
}
