//! The tasks of one position: what is done to it in the window, in which order, with the step back of each. They follow from its
//! survey, its unit's pack and the remedies that were taken.
//!
//! Minutes are common practice, no source, unless the site or a pack states them; each task says where its own come from.

use calc::plan::estimate::Estimate;
use findings::candidate::Measure;
use plant::cutover::{CONTROL_WIRES, INTERLOCKS, SETTINGS, Trade};
use plant::position::{Position, Site};
use plant::product::Series;
use plant::quantity::Time;

use crate::options::Assessed;

/// A task before the plan puts it among the others.
#[derive(Clone, Debug)]
pub(super) struct Draft {
    pub(super) name: String,
    pub(super) what: String,
    pub(super) trades: Vec<Trade>,
    pub(super) forward: Estimate,
    pub(super) basis: String,
    /// Whether the plant or a pack states the minutes and the survey what was counted.
    pub(super) given: bool,
    pub(super) after: Vec<String>,
    pub(super) hold: bool,
    pub(super) energises: bool,
    pub(super) back: String,
    pub(super) back_time: Estimate,
    pub(super) back_energises: bool,
    pub(super) cautions: String,
}

impl Draft {
    /// What waits for power waits for everything that has to be settled before.
    pub(super) const fn is_live(&self, first_live: bool) -> bool {
        first_live || self.energises
    }
}

/// Where the tasks of a position come from.
pub(super) struct Ground<'a> {
    pub(super) site: &'a Site,
    pub(super) position: &'a Position,
    pub(super) old: Option<&'a Series>,
    pub(super) first: Option<&'a Assessed<'a>>,
    /// Names of its isolation points.
    pub(super) points: Vec<String>,
    /// Holes to drill or to make larger; `None` where no layout says.
    pub(super) holes: Option<u32>,
    /// Settings to enter, by the settings sheet; `None` where there is none.
    pub(super) settings: Option<usize>,
    /// Work on control conductors, by the crosswalk; `None` where there is none.
    pub(super) wires: Option<WireWork>,
}

/// Work on control conductors, counted by the crosswalk.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct WireWork {
    /// Conductors at the old drive.
    pub(crate) all: usize,
    /// Those that are landed at the new drive or at a part before it.
    pub(crate) landed: usize,
    /// Parts that stand between.
    pub(crate) parts: usize,
    /// Links to put in or to take out.
    pub(crate) links: usize,
}

impl WireWork {
    /// Conductors at the old drive, as a number to count with.
    pub(super) fn conductors(self) -> f64 {
        number(self.all)
    }

    /// In words.
    pub(super) fn text(self) -> String {
        let Self { all, landed, parts, links } = self;
        format!("control conductors at the old drive: {all}; to land: {landed}; interposing parts: {parts}; links to change: {links}")
    }
}

#[expect(clippy::cast_precision_loss, reason = "a few thousand at most")]
const fn number(count: usize) -> f64 {
    count as f64
}

/// Name of the last task before anything is energised.
pub(super) const LAST_DEAD: &str = "hold-power";

struct Making<'g, 'a> {
    ground: &'g Ground<'a>,
    list: Vec<Draft>,
}

fn minutes(least: f64, likely: f64, most: f64) -> Estimate {
    let time = |m: f64| Time::minutes(m);
    // Every call states its figures in order.
    Estimate::new(time(least), time(likely), time(most)).unwrap_or(Estimate::exactly(time(most)))
}

/// A count with what it is a count of.
#[derive(Clone, Copy)]
struct Count {
    low: f64,
    likely: f64,
    high: f64,
    given: bool,
    of: &'static str,
}

impl Count {
    const fn exactly(number: f64, of: &'static str) -> Self {
        Self { low: number, likely: number, high: number, given: true, of }
    }

    fn each(self, estimate: Estimate) -> Estimate {
        estimate.times(self.low, self.likely, self.high)
    }

    fn text(self) -> String {
        let number = |n: f64| plant::quantity::digits(n, 4);
        if (self.high - self.low).abs() < 1e-9 {
            format!("{} {}", number(self.high), self.of)
        } else if self.given {
            format!("{} to {} {}", number(self.low), number(self.high), self.of)
        } else {
            format!("{} to {} {}, not counted yet", number(self.low), number(self.high), self.of)
        }
    }
}

const PRACTICE: &str = "common practice, no source";
/// Share of the work on interposing parts that is left for the night. Common practice, no source.
const RAIL_ON_SITE: f64 = 0.25;

impl Making<'_, '_> {
    fn count(&self, which: usize, of: &'static str) -> Count {
        let (low, likely, high, given) = self.ground.position.cutover.count(which);
        Count { low, likely, high, given, of }
    }

    /// Settings to load: as the survey counts them, else as the settings sheet does.
    fn to_load(&self) -> Count {
        let counted = self.count(SETTINGS, "settings");
        match self.ground.settings {
            Some(entries) if !counted.given => Count::exactly(number(entries), "settings of the settings sheet"),
            _ => counted,
        }
    }

    /// Control conductors at the old drive: by the crosswalk, else as the survey counts them.
    fn control(&self) -> Count {
        match self.ground.wires {
            Some(work) => Count::exactly(work.conductors(), "control conductors of the wire crosswalk"),
            None => self.count(CONTROL_WIRES, "control conductors"),
        }
    }

    /// Those of them that are landed again.
    fn to_land(&self) -> Count {
        match self.ground.wires {
            Some(work) => Count::exactly(number(work.landed), "control conductors to land by the wire crosswalk"),
            None => self.count(CONTROL_WIRES, "control conductors"),
        }
    }

    /// What is done besides landing them, with its words: conductors between parts and unit, links.
    fn beside(&self) -> (Estimate, String) {
        let Some(work) = self.ground.wires else { return (Estimate::NONE, String::new()) };
        let (parts, links) = (Count::exactly(number(work.parts), "interposing parts"), Count::exactly(number(work.links), "links"));
        let told = |count: usize, one: &str, what: &str| match count {
            0 => String::new(),
            1 => format!(", 1 {one} to {what}"),
            n => format!(", {n} {one}s to {what}"),
        };
        let told = told(work.parts, "interposing part", "join to it") + &told(work.links, "link", "change");
        // Two short conductors from each part, made in the shop.
        (parts.each(minutes(2.0, 3.0, 6.0)).and(links.each(minutes(1.0, 2.0, 4.0))), told)
    }

    /// Adds a task that waits for those of `after` that are there.
    fn add(&mut self, name: &str, what: impl Into<String>, trades: &[Trade], forward: Estimate, after: &[&str]) -> &mut Draft {
        let after = after.iter().filter(|a| self.list.iter().any(|d| d.name == **a)).map(|a| (*a).to_owned()).collect();
        let own = self.ground.site.shutdown.times.iter().find(|t| t.task == name);
        let stated = own.and_then(|t| Estimate::new(t.least, t.likely, t.most).ok());
        self.list.push(Draft {
            name: name.to_owned(),
            what: what.into(),
            trades: trades.to_vec(),
            forward: stated.unwrap_or(forward),
            basis: if stated.is_some() { "the plant's own time".to_owned() } else { PRACTICE.to_owned() },
            given: stated.is_some(),
            after,
            hold: false,
            energises: false,
            back: String::new(),
            back_time: Estimate::NONE,
            back_energises: false,
            cautions: String::new(),
        });
        let last = self.list.len() - 1;
        &mut self.list[last]
    }
}

impl Draft {
    fn back(&mut self, back: impl Into<String>, time: Estimate) -> &mut Self {
        self.back = back.into();
        self.back_time = time;
        self
    }

    fn counted(&mut self, count: Count) -> &mut Self {
        if !self.given {
            self.basis = format!("{}; {PRACTICE}", count.text());
        }
        self
    }

    fn stated_by(&mut self, what: &str) -> &mut Self {
        if !self.given {
            self.basis = what.to_owned();
        }
        self
    }

    fn warns(&mut self, letters: &str) -> &mut Self {
        self.cautions = letters.to_owned();
        self
    }

    fn energises(&mut self) -> &mut Self {
        self.energises = true;
        self
    }

    fn holds(&mut self) -> &mut Self {
        self.hold = true;
        self
    }
}

/// All tasks of a position, in the order in which one crew would do them.
pub(super) fn tasks(ground: &Ground<'_>) -> Vec<Draft> {
    let mut making = Making { ground, list: Vec::new() };
    making.prepare();
    making.take_out();
    making.alter();
    making.put_in();
    making.power_up();
    making.run();
    making.list
}

use Trade::{Electrician, Engineer, Operator};

impl Making<'_, '_> {
    /// Bus discharge of the old unit, by its pack or by common practice.
    fn wait(&self) -> (f64, &'static str) {
        let stated = self.ground.old.and_then(|s| s.bus_wait);
        stated.map_or((10.0, "waiting time by common practice, no source; the bus is measured"), |t| {
            (t.in_minutes(), "waiting time by the old unit's pack; the bus is measured all the same")
        })
    }

    fn prepare(&mut self) {
        let (wires, settings) = (self.control(), self.count(SETTINGS, "settings"));
        let capture = minutes(10.0, 15.0, 30.0).and(wires.each(minutes(0.3, 0.5, 1.0)));
        self.add(
            "capture",
            "record as found: photographs, live readings, a tag on every conductor, positions of links and switches",
            &[Electrician],
            capture,
            &[],
        )
        .counted(wires)
        .warns("A");
        let save = minutes(5.0, 10.0, 20.0).and(settings.each(minutes(0.1, 0.2, 0.4)));
        self.add(
            "save-settings",
            "save the old drive's settings and the controller's program; see that both files open",
            &[Engineer],
            save,
            &[],
        )
        .counted(settings);
        self.add(
            "hold-start",
            "GO OR NOT: papers, parts, tools and people are here; as-found record and saved settings are complete",
            &[Electrician, Engineer],
            minutes(2.0, 5.0, 10.0),
            &["capture", "save-settings"],
        )
        .holds();
        let points = Count::exactly(number(self.ground.points.len().max(1)), "isolation points");
        let names = if self.ground.points.is_empty() { "every source".to_owned() } else { self.ground.points.join("; ") };
        self.add(
            "isolate",
            format!("stop the machine, isolate and lock: {names}"),
            &[Electrician],
            points.each(minutes(4.0, 8.0, 15.0)),
            &["hold-start"],
        )
        .counted(points)
        .back(
            "take locks off by the plant's rules, restore the supply, prove the old drive and the machine running",
            points.each(minutes(5.0, 8.0, 15.0)).and(minutes(10.0, 15.0, 30.0)),
        )
        .warns("ALOX");
        if let Some(isolate) = self.list.last_mut() {
            isolate.back_energises = true;
        }
        let (wait, basis) = self.wait();
        self.add(
            "discharge",
            "wait, measure the DC bus, prove every conductor dead at the point of work",
            &[Electrician],
            minutes(wait + 4.0, wait + 7.0, wait + 15.0),
            &["isolate"],
        )
        .stated_by(basis)
        .warns("DLP");
    }

    fn conductors(&self) -> Count {
        // Three in, three out, an earth on each side; parallel conductors as the survey says.
        let each = self.ground.position.fact(plant::survey::CONDUCTORS_EACH.id).and_then(|f| f.known.bounds());
        let (low, high) = each.unwrap_or((1.0, 1.0));
        Count {
            low: 6.0 * low + 2.0,
            likely: 3.0 * (low + high) + 2.0,
            high: 6.0 * high + 2.0,
            given: each.is_some(),
            of: "power conductors",
        }
    }

    /// Work of swapping the unit: out and in.
    fn swap(&self) -> (Estimate, Estimate, &'static str) {
        let stated = self.ground.first.and_then(|c| c.unit.series.swap_time).map(|t| t.in_minutes());
        let whole = stated.unwrap_or(90.0);
        let part = |share: f64| minutes(0.7 * share * whole, share * whole, 1.6 * share * whole);
        let basis = if stated.is_some() {
            "swap time of the new unit's pack, two fifths for out and three for in, 70 to 160 % of it: common practice, no source"
        } else {
            "90 min for a swap where the pack states none, two fifths for out and three for in: common practice, no source"
        };
        (part(0.4), part(0.6), basis)
    }

    fn take_out(&mut self) {
        let (power, wires) = (self.conductors(), self.control());
        let off = power.each(minutes(1.5, 2.5, 5.0)).and(wires.each(minutes(0.4, 0.7, 1.2)));
        let on = power.each(minutes(3.0, 5.0, 9.0)).and(wires.each(minutes(0.7, 1.2, 2.5)));
        self.add(
            "unwire",
            "take power and control conductors off; leave every one at its full length, ferrule and tag on",
            &[Electrician],
            off,
            &["discharge"],
        )
        .counted(wires)
        .back("land every conductor on the old drive by its tag, torque, check", on)
        .warns("DL");
        self.add(
            "insulation",
            "insulation test of motor and cable, drive disconnected at both ends",
            &[Electrician],
            minutes(8.0, 12.0, 25.0),
            &["unwire"],
        )
        .warns("GP");
        let (out, back_in, basis) = self.swap();
        self.add("remove", "take the old drive out whole; put it where it can be put back", &[Electrician], out, &["unwire"])
            .stated_by(basis)
            .back("put the old drive back on its studs", back_in)
            .warns("WD");
    }

    /// Drilling and the remedies that are work on the box.
    fn alter(&mut self) {
        let holes = self.ground.holes.map_or(Count { low: 0.0, likely: 4.0, high: 8.0, given: false, of: "holes to drill" }, |n| {
            Count::exactly(f64::from(n), "holes to drill")
        });
        if holes.high > 0.0 {
            let time = minutes(10.0, 15.0, 30.0).and(holes.each(minutes(3.0, 5.0, 10.0)));
            self.add("drill", "mark out, cover what is below, drill and thread; take out every chip", &[Electrician], time, &["remove"])
                .counted(holes)
                .back("nothing to fill: the old studs stay; clean, check for chips", minutes(3.0, 5.0, 10.0));
        }
        let taken: Vec<_> =
            self.ground.first.iter().flat_map(|c| &c.findings).filter_map(|f| Some((f.check.name, f.taken.clone()?))).collect();
        for (number, (finding, mut remedy)) in taken.into_iter().filter(|(_, r)| r.minutes * at_night(r.measure) > 0.0).enumerate() {
            remedy.minutes *= at_night(remedy.measure);
            let engineer = matches!(
                remedy.measure,
                Measure::WordsBlock
                    | Measure::PlateVoltsAndHertz
                    | Measure::ScalarControl
                    | Measure::LowestCarrier
                    | Measure::SettingsSheet
                    | Measure::ProtectionOn
                    | Measure::SafeHabits
            );
            // Relays, converters and supplies are put on a rail and wired in the shop; on the night the rail is screwed in.
            let prepared = remedy.measure == Measure::ControlParts;
            let m = if prepared { remedy.minutes * RAIL_ON_SITE } else { remedy.minutes };
            let after: &[&str] = if engineer { &["save-settings", "hold-start"] } else { &["remove", "drill"] };
            self.add(
                &format!("remedy-{}", number + 1),
                format!("{} (for {finding})", remedy.what),
                &[if engineer { Engineer } else { Electrician }],
                minutes(0.7 * m, m, 1.6 * m),
                after,
            )
            .stated_by(if prepared {
                "a quarter of the remedy's minutes, the rest is done in the shop; 70 to 160 % of them: common practice, no source"
            } else {
                "minutes of the remedy, 70 to 160 % of them: common practice, no source"
            })
            .back("undo it as far as it disturbs the old drive", minutes(0.3 * m, 0.5 * m, m));
        }
    }

    fn put_in(&mut self) {
        let (power, wires) = (self.conductors(), self.to_land());
        let (beside, told) = self.beside();
        let (back_out, into, basis) = self.swap();
        let remedies: Vec<String> = self.list.iter().filter(|d| d.name.starts_with("remedy-")).map(|d| d.name.clone()).collect();
        let mut before: Vec<&str> = vec!["remove", "drill"];
        before.extend(remedies.iter().map(String::as_str));
        self.add("mount", "mount the new drive; links to earth as the supply asks for", &[Electrician], into, &before)
            .stated_by(basis)
            .back("take the new drive out", back_out)
            .warns("W");
        self.add(
            "land-power",
            "land line, motor and earth conductors; torque and mark",
            &[Electrician],
            power.each(minutes(3.0, 5.0, 9.0)),
            &["mount", "insulation"],
        )
        .counted(power)
        .back("take the power conductors off", power.each(minutes(1.5, 2.5, 5.0)))
        .warns("L");
        self.add(
            "land-control",
            "land control conductors by the crosswalk, one by one",
            &[Electrician],
            wires.each(minutes(1.2, 2.0, 4.0)).and(beside),
            &["land-power"],
        )
        .stated_by(&format!("{}{told}; {PRACTICE}", wires.text()))
        .back("take the control conductors off, tags on", wires.each(minutes(0.4, 0.7, 1.2)))
        .warns("L");
        self.add(
            "prove-wires",
            "prove every conductor from end to end; a second person reads the crosswalk",
            &[Electrician],
            wires.each(minutes(0.4, 0.7, 1.5)),
            &["land-control"],
        )
        .counted(wires);
        self.add(
            LAST_DEAD,
            "GO OR NOT: dead checks signed, tools out, covers on, nothing open on the list; look at the latest moment to turn back",
            &[Electrician, Engineer],
            minutes(3.0, 5.0, 12.0),
            &["prove-wires", "land-power", "insulation"],
        )
        .holds();
    }

    fn power_up(&mut self) {
        let (settings, wires) = (self.to_load(), self.to_land());
        let wait = self.ground.first.and_then(|c| c.unit.series.bus_wait).map_or(10.0, |t| t.in_minutes());
        let off = minutes(wait + 5.0, wait + 10.0, wait + 20.0);
        self.add("control-power", "control supply on, line still locked", &[Electrician, Engineer], minutes(4.0, 8.0, 15.0), &[LAST_DEAD])
            .energises()
            .back("control supply off and locked, proved dead", minutes(5.0, 8.0, 15.0))
            .warns("LX");
        self.add(
            "settings",
            "load the settings in their order; read them back and compare",
            &[Engineer],
            minutes(5.0, 10.0, 20.0).and(settings.each(minutes(0.2, 0.5, 1.0))),
            &["control-power"],
        )
        .counted(settings);
        if self.ground.position.network.is_some() {
            self.add(
                "network",
                "put it on the network; try every word and bit against the list, and the loss of the master",
                &[Engineer],
                minutes(15.0, 30.0, 75.0),
                &["settings"],
            )
            .back("load the saved program and network set-up back", minutes(8.0, 15.0, 30.0))
            .warns("X");
        }
        self.add(
            "dry-check",
            "inputs, outputs and references one by one, line still locked",
            &[Electrician, Engineer],
            minutes(5.0, 8.0, 15.0).and(wires.each(minutes(0.4, 0.8, 1.6))),
            &["settings", "network"],
        )
        .counted(wires)
        .warns("X");
        self.add(
            "line-power",
            "everybody clear; locks off by the plant's rules; line on, doors shut",
            &[Electrician],
            minutes(5.0, 8.0, 15.0),
            &["dry-check"],
        )
        .energises()
        .back("stop, isolate and lock, wait, measure the bus, prove dead", off)
        .warns("ALX");
    }

    fn run(&mut self) {
        let interlocks = self.count(INTERLOCKS, "interlocks");
        self.add(
            "motor-data",
            "check motor data; identification run as the machine allows",
            &[Engineer],
            minutes(4.0, 10.0, 25.0),
            &["line-power"],
        )
        .energises()
        .warns("RXO");
        self.add(
            "rotation",
            "rotation and slow run, uncoupled or with the load safe to turn back; then coupled",
            &[Electrician, Engineer],
            minutes(5.0, 12.0, 30.0),
            &["motor-data"],
        )
        .energises()
        .warns("RXOP");
        self.add(
            "hold-load",
            "GO OR NOT: rotation, feedback, references and stop are right",
            &[Electrician, Engineer, Operator],
            minutes(2.0, 5.0, 10.0),
            &["rotation"],
        )
        .holds();
        self.add(
            "loaded-stop",
            "loaded run to full speed; readings against the expected bands; loaded stop timed",
            &[Engineer, Operator],
            minutes(12.0, 25.0, 50.0),
            &["hold-load"],
        )
        .energises()
        .warns("OXH");
        self.add(
            "restart",
            "emergency stop, every interlock, power dip, loss of reference and of network; nothing starts by itself",
            &[Engineer, Operator],
            minutes(8.0, 15.0, 30.0).and(interlocks.each(minutes(1.0, 2.0, 5.0))),
            &["loaded-stop"],
        )
        .counted(interlocks)
        .energises()
        .warns("SXO");
        self.add(
            "hand-over",
            "as-left record, settings saved twice, cards on the door, operators shown what is different",
            &[Engineer, Operator],
            minutes(10.0, 15.0, 30.0),
            &["restart"],
        );
    }
}

/// The share of a remedy's work that falls into the night. Entering the settings is a task of its own; logic is built and tried on the bench
/// before, and put in at night. Common practice, no source.
const fn at_night(measure: Measure) -> f64 {
    match measure {
        Measure::SettingsSheet => 0.0,
        Measure::LogicRebuilt => 0.25,
        _ => 1.0,
    }
}
