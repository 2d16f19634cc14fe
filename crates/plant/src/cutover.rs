//! The night of the change-over as the plant states it: the window, crews, isolation points, its own times for tasks, what is counted
//! at a position, and ticks of what is done.

use crate::choice::{Choice, ChoiceInfo, Word, YesNo, choices};
use crate::fact::{Fact, Place};
use crate::quantity::{Count, Ratio, Time};
use crate::survey::{Assume, Effort, FactDef, FactType};

choices! {
    /// Who does a task.
    Trade "trade" {
        Electrician "electrician" "Isolates, wires, mounts, drills, measures.";
        Engineer "engineer" "Settings, network, program, tests.";
        Operator "operator" "Runs the machine and takes it over.";
    }
}

/// What a site says about its shutdown.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Shutdown {
    /// The window; `None` while nobody has granted one.
    pub window: Option<Window>,
    /// Who is there.
    pub crews: Vec<Crew>,
    /// Where sources are locked out.
    pub isolations: Vec<Isolation>,
    /// The plant's own times for tasks.
    pub times: Vec<TaskTimes>,
}

/// The time in which production stands.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Window {
    /// Day of its start, ISO 8601.
    pub date: String,
    /// Minutes from midnight to its start.
    pub start: u32,
    /// Its length.
    pub length: Time,
    /// What an hour costs in which the machine stands longer than the window, in the site's currency.
    pub cost: Option<f64>,
    /// In which share of cases the way back has to fit.
    pub confidence: Option<Ratio>,
    /// Who decides to go on or back.
    pub owner: Option<String>,
    /// Positions that are changed in it, in this order; empty: each position is planned alone.
    pub positions: Vec<String>,
}

impl Window {
    /// A time since its start as a clock shows it: "22:45", "01:10 +1 d".
    #[must_use]
    pub fn clock(&self, since: Time) -> String {
        #[expect(clippy::cast_possible_truncation, reason = "a few days in minutes")]
        let minutes = i64::from(self.start) + since.in_minutes().clamp(-1e6, 1e6).floor() as i64;
        let (day, minute) = (minutes.div_euclid(DAY), minutes.rem_euclid(DAY));
        let days = if day == 0 { String::new() } else { format!(" {day:+} d") };
        format!("{:02}:{:02}{days}", minute / 60, minute % 60)
    }

    /// The first time at or after `earliest` (since its start) at which a clock shows that minute of the day.
    #[must_use]
    pub fn next(&self, minute_of_day: u32, earliest: Time) -> Time {
        #[expect(clippy::cast_possible_truncation, reason = "a few days in minutes")]
        let from = i64::from(self.start) + earliest.in_minutes().clamp(-1e6, 1e6).ceil() as i64;
        let wait = (i64::from(minute_of_day) - from).rem_euclid(DAY);
        #[expect(clippy::cast_precision_loss, reason = "a few days in minutes")]
        Time::minutes((from + wait - i64::from(self.start)) as f64)
    }
}

/// Minutes of a day.
const DAY: i64 = 1440;

/// Minutes from midnight of "23:05"; `None` for anything else.
///
/// ```
/// use plant::cutover::minute_of_day;
/// assert_eq!(minute_of_day("23:05"), Some(1385));
/// assert_eq!((minute_of_day("24:00"), minute_of_day("7:5"), minute_of_day("+7:05")), (None, None, None));
/// ```
#[must_use]
pub fn minute_of_day(text: &str) -> Option<u32> {
    let (hours, minutes) = text.split_once(':')?;
    let number = |part: &str, most: u32| {
        let digits = part.len() == 2 && part.bytes().all(|b| b.is_ascii_digit());
        part.parse::<u32>().ok().filter(|n| digits && *n <= most)
    };
    Some(number(hours, 23)? * 60 + number(minutes, 59)?)
}

/// People who work together, on one task at a time.
#[derive(Clone, Debug, PartialEq)]
pub struct Crew {
    /// What it is called.
    pub name: String,
    /// What it does.
    pub trade: Trade,
    /// How many people.
    pub people: u32,
}

/// A point at which a source is locked out.
#[derive(Clone, Debug, PartialEq)]
pub struct Isolation {
    /// What is locked: "MCC-4, unit 7C".
    pub name: String,
    /// Positions that it takes the power from.
    pub positions: Vec<String>,
}

/// The plant's own time for a task.
#[derive(Clone, Debug, PartialEq)]
pub struct TaskTimes {
    /// Which task.
    pub task: String,
    /// Shortest.
    pub least: Time,
    /// Likeliest.
    pub likely: Time,
    /// Longest.
    pub most: Time,
}

/// A task that somebody ticked off.
#[derive(Clone, Debug, PartialEq)]
pub struct Tick {
    /// Which task.
    pub task: String,
    /// When it was done, since the window began.
    pub at: Time,
    /// Who says so.
    pub by: String,
    /// Remark.
    pub note: Option<String>,
    /// Where it is written.
    pub place: Place,
}

/// What is counted or asked for the plan of a position: `[cutover]` of its file, one fact per entry of [`COUNTS`].
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Counted(pub Vec<Fact>);

impl Counted {
    /// Least, likely and most of a count; with `true` where the survey says it and `false` where it is assumed. A range has its
    /// likely value in its middle.
    #[must_use]
    pub fn count(&self, which: usize) -> (f64, f64, f64, bool) {
        let given = self.0.get(which).and_then(|f| f.known.bounds());
        let (low, high) = given.unwrap_or_else(|| match COUNTS.get(which).map(|d| d.assume) {
            Some(Assume::Between(low, high)) => (low, high),
            _ => (0.0, 0.0),
        });
        (low, f64::midpoint(low, high), high, given.is_some())
    }

    /// A yes or no, where it is known for certain.
    #[must_use]
    pub fn answer(&self, which: usize) -> Option<YesNo> {
        let (low, high) = self.0.get(which)?.known.bounds()?;
        let same = (high - low).abs() < 0.5;
        same.then(|| YesNo::from_raw(low)).flatten()
    }

    /// The longest that a time may be.
    #[must_use]
    pub fn longest(&self, which: usize) -> Option<Time> {
        self.0.get(which)?.known.bounds().map(|(_, high)| Time::si(high))
    }
}

/// Place of the control conductors in [`COUNTS`].
pub const CONTROL_WIRES: usize = 0;
/// Place of the settings in [`COUNTS`].
pub const SETTINGS: usize = 1;
/// Place of the interlocks in [`COUNTS`].
pub const INTERLOCKS: usize = 2;
/// Place of "the settings of the old drive are saved" in [`COUNTS`].
pub const SAVED: usize = 3;
/// Place of "a password is known" in [`COUNTS`].
pub const PASSWORD: usize = 4;
/// Place of "the old drive can be put back" in [`COUNTS`].
pub const CAN_GO_BACK: usize = 5;
/// Place of how long the new unit has lain without voltage in [`COUNTS`].
pub const IDLE: usize = 6;
/// Place of how many other drives of the old kind the plant has in [`COUNTS`].
pub const SISTERS: usize = 7;

const fn counted(
    path: &'static str,
    label: &'static str,
    kind: crate::survey::Kind,
    assume: Assume,
    because: &'static str,
    most: f64,
) -> FactDef {
    FactDef { path, label, kind, effort: Effort::Open, assume, because, sensible: (0.0, most) }
}

/// The facts of `[cutover]`. They bear on the plan alone, so that no check reads them.
pub static COUNTS: &[FactDef] = &[
    counted(
        "cutover.control_wires",
        "Control conductors at the old drive's terminals",
        Count::KIND,
        Assume::Between(6.0, 40.0),
        "from a two-wire start with a reference to a full terminal strip",
        2_000.0,
    ),
    counted(
        "cutover.settings",
        "Settings that differ from how the new unit comes",
        Count::KIND,
        Assume::Between(15.0, 80.0),
        "plates, ramps, limits and inputs at least; logic and network at most",
        5_000.0,
    ),
    counted(
        "cutover.interlocks",
        "Interlocks and safety devices in the old drive's circuits, each to be tried",
        Count::KIND,
        Assume::Between(2.0, 10.0),
        "stop and emergency stop at least",
        500.0,
    ),
    counted("cutover.settings_saved", "The old drive's settings are saved", YesNo::KIND, Assume::AnyWord, "ask, and see the file", 1.0),
    counted(
        "cutover.password_known",
        "Passwords of drive and controller are known, and no maker's lock stands in the way",
        YesNo::KIND,
        Assume::AnyWord,
        "ask, and try it",
        1.0,
    ),
    counted(
        "cutover.can_go_back",
        "The old drive can be put back and would run",
        YesNo::KIND,
        Assume::AnyWord,
        "a drive that died is no way back",
        1.0,
    ),
    counted(
        "cutover.idle",
        "How long the new unit has lain without voltage",
        Time::KIND,
        Assume::NotNeeded,
        "with the history unknown it counts as never energised",
        1.6e9,
    ),
    counted("cutover.sisters", "Other drives of the old kind in the plant", Count::KIND, Assume::NotNeeded, "the plant's list", 10_000.0),
];

#[cfg(test)]
mod tests {
    use super::*;

    fn night() -> Window {
        Window { start: 22 * 60, length: Time::hours(8.0), ..Window::default() }
    }

    #[test]
    fn a_clock_goes_past_midnight() {
        assert_eq!(night().clock(Time::minutes(45.0)), "22:45");
        assert_eq!(night().clock(Time::minutes(190.5)), "01:10 +1 d");
        assert_eq!(night().clock(Time::minutes(-5.0)), "21:55");
        assert_eq!(night().clock(Time::minutes(-1381.0)), "22:59 -1 d");
    }

    #[test]
    fn a_clock_time_is_the_next_one() {
        let night = night();
        assert_eq!(night.next(22 * 60, Time::ZERO), Time::ZERO);
        assert_eq!(night.next(70, Time::ZERO), Time::minutes(190.0));
        assert_eq!(night.next(70, Time::minutes(190.0)), Time::minutes(190.0));
        assert_eq!(night.next(70, Time::minutes(191.0)), Time::minutes(190.0 + 1440.0));
    }

    #[test]
    fn places_of_counts_are_those_of_the_table() {
        let named = [
            (CONTROL_WIRES, "control_wires"),
            (SETTINGS, "settings"),
            (INTERLOCKS, "interlocks"),
            (SAVED, "settings_saved"),
            (PASSWORD, "password_known"),
            (CAN_GO_BACK, "can_go_back"),
            (IDLE, "idle"),
            (SISTERS, "sisters"),
        ];
        assert_eq!(named.len(), COUNTS.len());
        for (place, key) in named {
            assert_eq!(COUNTS[place].key(), key);
        }
        assert_eq!(Counted::default().count(INTERLOCKS), (2.0, 6.0, 10.0, false));
        assert_eq!(Counted::default().answer(SAVED), None);
    }
}
