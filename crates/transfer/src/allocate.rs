//! Signals to points and modules to slots at least installed cost, exactly. A variant of the unit (a base) with something built in competes
//! with a plain one and a module; an old module kept through a carrier is a module with its limits beside it. `search` chooses base and
//! modules by branch and bound, `landing` lands the demands on what they bring, `conflict` names the smallest set of demands that cannot be met
//! together.

mod conflict;
mod landing;
mod search;

/// What has to be landed, and on what it may be.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Problem {
    /// The signals.
    pub demands: Vec<Demand>,
    /// The points of all bases and modules.
    pub points: Vec<Point>,
    /// The modules that may be bought or kept.
    pub modules: Vec<Module>,
    /// The slots of all bases; each takes one module.
    pub slots: Vec<Slot>,
    /// The variants of the unit, of which one is taken.
    pub bases: Vec<Base>,
    /// Money for a minute of work, at least 0.
    pub per_minute: f64,
}

/// A signal that needs a point.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Demand {
    /// What people call it.
    pub name: String,
    /// Where it can be landed, and for how much; nowhere when empty.
    pub landings: Vec<Landing>,
    /// Two demands with the same number here are the two channels of one safety function: they land on the two points of one pair.
    pub pair: Option<u32>,
}

/// One way of landing a demand.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Landing {
    /// Index of the point.
    pub point: usize,
    /// Money, at least 0: the interposing part and the minutes.
    pub cost: f64,
    /// What the common of the point's group has to carry for it: landings with different numbers do not share a group; `None` suits all.
    pub common: Option<u32>,
}

/// A point of a base or of a module.
#[derive(Clone, Debug, PartialEq)]
pub struct Point {
    /// What people call it.
    pub name: String,
    /// On what it sits; each copy of a module brings its own.
    pub home: Home,
    /// Points of one home with the same number share a common.
    pub group: Option<u32>,
    /// The two points of one home with the same number are the channels of one safety function.
    pub pair: Option<u32>,
    /// How many demands it takes, usually 1.
    pub capacity: u32,
}

/// What a point sits on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Home {
    /// The base of this index.
    Base(usize),
    /// The module of this index.
    Module(usize),
}

/// A module that may be fitted.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Module {
    /// What people call it.
    pub name: String,
    /// Money, at least 0; of a kept module, that of its carrier.
    pub cost: f64,
    /// Minutes to fit one, at least 0.
    pub minutes: f64,
    /// Indices of the slots that it fits.
    pub fits: Vec<usize>,
    /// How many the unit takes.
    pub limit: u32,
    /// Indices of modules that do not go with it; said on one side is enough.
    pub excludes: Vec<usize>,
    /// What a kept module cannot do any more; empty for a new one.
    pub limits: String,
}

/// A place for a module.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Slot {
    /// What people call it.
    pub name: String,
}

/// A variant of the unit.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Base {
    /// What people call it.
    pub name: String,
    /// Money above the plainest variant, at least 0.
    pub cost: f64,
    /// Indices of its slots.
    pub slots: Vec<usize>,
}

/// The least cost, and how it is reached. Of several ways the same one is found every time.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Allocation {
    /// Index of the base.
    pub base: usize,
    /// The modules in it.
    pub modules: Vec<Placed>,
    /// Where each demand is landed, in the demands' order.
    pub landings: Vec<Landed>,
    /// Money: base, modules with their minutes, and landings, each to the thousandth.
    pub cost: f64,
    /// Minutes of fitting the modules.
    pub minutes: f64,
}

/// A module in its slot.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Placed {
    /// Index of the slot.
    pub slot: usize,
    /// Index of the module.
    pub module: usize,
}

/// A demand on its point.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Landed {
    /// Index of the demand.
    pub demand: usize,
    /// Index of the landing among the demand's.
    pub landing: usize,
    /// Index of the point.
    pub point: usize,
    /// For a point of a module, which of [`Allocation::modules`] it is on.
    pub placed: Option<usize>,
}

/// Why there is no allocation.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Impossible {
    /// These demands cannot be met together by any base with any modules.
    Together {
        /// Indices, ascending.
        demands: Vec<usize>,
        /// No smaller set conflicts. False when looking for one was given up: these conflict, but perhaps not all of them are needed for it.
        smallest: bool,
    },
    /// More than can be looked through; the sentence says what is too many and what to do.
    TooMuch(String),
    /// What the problem says contradicts itself: every mistake.
    Malformed(Vec<String>),
}

impl std::fmt::Display for Impossible {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Together { demands, .. } => write!(f, "{} demands cannot be met together", demands.len()),
            Self::TooMuch(what) => f.write_str(what),
            Self::Malformed(list) => f.write_str(&list.join("; ")),
        }
    }
}

impl std::error::Error for Impossible {}

/// Most demands, modules, slots, and bases; a unit has far fewer.
const MOST: usize = 256;
/// Most landings of all demands, and points with all copies of modules.
const MOST_PLACES: usize = 20_000;
/// Highest cost of one thing, so that sums stay exact.
const DEAREST: f64 = 1e9;

/// Lands every demand at least cost: base + modules + their minutes + landings.
///
/// # Errors
/// [`Impossible`]: demands that conflict, or a problem that is too large or contradicts itself.
pub fn allocate(problem: &Problem) -> Result<Allocation, Impossible> {
    malformed(problem)?;
    let all: Vec<usize> = (0..problem.demands.len()).collect();
    let mut work = Work { left: WORK };
    let found = search::cheapest(problem, &all, &mut work).map_err(|_: Spent| {
        let message =
            "no least cost was found within the work that is allowed; fix a base or modules that are certain, or leave out landings";
        Impossible::TooMuch(message.into())
    })?;
    match found {
        Some(found) => Ok(found),
        None => Err(conflict::smallest(problem)),
    }
}

/// Work that is left, in looks at one cell of a table of costs.
pub(crate) struct Work {
    left: u64,
}

/// No work is left.
pub(crate) struct Spent;

/// Some seconds.
const WORK: u64 = 2_000_000_000;

impl Work {
    fn take(&mut self, looks: usize) -> Result<(), Spent> {
        self.left = self.left.checked_sub(looks as u64).ok_or(Spent)?;
        Ok(())
    }
}

/// Money as whole thousandths, so that sums are exact and in every order the same.
fn thousandths(money: f64) -> i64 {
    #[expect(clippy::cast_possible_truncation, reason = "looked at to be finite and below 10⁹")]
    let whole = (money * 1000.0).round() as i64;
    whole
}

impl Problem {
    fn module_cost(&self, at: usize) -> i64 {
        self.modules.get(at).map_or(0, |m| thousandths(m.cost) + thousandths(m.minutes * self.per_minute))
    }
}

/// Everything that contradicts itself, or is more than anything built has.
fn malformed(problem: &Problem) -> Result<(), Impossible> {
    let sizes = [
        ("demands", problem.demands.len()),
        ("modules", problem.modules.len()),
        ("slots", problem.slots.len()),
        ("bases", problem.bases.len()),
    ];
    if let Some((what, count)) = sizes.iter().find(|(_, count)| *count > MOST) {
        return Err(Impossible::TooMuch(format!(
            "{count} {what} are more than the {MOST} that can be allocated at once; split the position"
        )));
    }
    let landings: usize = problem.demands.iter().map(|d| d.landings.len()).sum();
    let copies = |p: &Point| match p.home {
        Home::Base(_) => 1,
        Home::Module(m) => problem.modules.get(m).map_or(1, |m| (m.limit as usize).min(m.fits.len())),
    };
    let places = problem.points.iter().fold(0usize, |sum, p| sum.saturating_add((p.capacity as usize).saturating_mul(copies(p))));
    for (what, count) in [("landings", landings), ("places for signals", places), ("points", problem.points.len())] {
        if count > MOST_PLACES {
            return Err(Impossible::TooMuch(format!(
                "{count} {what} are more than {MOST_PLACES}; leave out what certainly does not serve"
            )));
        }
    }
    let mut wrong = Vec::new();
    if problem.bases.is_empty() {
        wrong.push("there is no base: the plain unit at least is one".into());
    }
    wrong_costs(problem, &mut wrong);
    wrong_links(problem, &mut wrong);
    wrong_pairs(problem, &mut wrong);
    if wrong.is_empty() { Ok(()) } else { Err(Impossible::Malformed(wrong)) }
}

fn wrong_costs(problem: &Problem, wrong: &mut Vec<String>) {
    let mut look = |what: String, money: f64| {
        if !(0.0..=DEAREST).contains(&money) {
            wrong.push(format!("{what}: {money} is no cost between 0 and {DEAREST}"));
        }
    };
    look("a minute".into(), problem.per_minute);
    for base in &problem.bases {
        look(format!("base {}", base.name), base.cost);
    }
    for module in &problem.modules {
        look(format!("module {}", module.name), module.cost);
        look(format!("minutes of module {}", module.name), module.minutes);
        look(format!("minutes of module {} in money", module.name), module.minutes * problem.per_minute);
    }
    for demand in &problem.demands {
        for landing in &demand.landings {
            look(format!("landing of {}", demand.name), landing.cost);
        }
    }
}

fn wrong_links(problem: &Problem, wrong: &mut Vec<String>) {
    let mut look = |what: String, list: &[usize], of: &str, count: usize| {
        wrong.extend(list.iter().filter(|i| **i >= count).map(|i| format!("{what}: there is no {of} {i}")));
    };
    let (points, slots, modules, bases) = (problem.points.len(), problem.slots.len(), problem.modules.len(), problem.bases.len());
    for demand in &problem.demands {
        look(format!("demand {}", demand.name), &demand.landings.iter().map(|l| l.point).collect::<Vec<_>>(), "point", points);
    }
    for point in &problem.points {
        match point.home {
            Home::Base(base) => look(format!("point {}", point.name), &[base], "base", bases),
            Home::Module(module) => look(format!("point {}", point.name), &[module], "module", modules),
        }
    }
    for module in &problem.modules {
        look(format!("module {}", module.name), &module.fits, "slot", slots);
        look(format!("module {}", module.name), &module.excludes, "module", modules);
    }
    for base in &problem.bases {
        look(format!("base {}", base.name), &base.slots, "slot", slots);
    }
}

fn wrong_pairs(problem: &Problem, wrong: &mut Vec<String>) {
    for demand in &problem.demands {
        let Some(pair) = demand.pair else { continue };
        let count = problem.demands.iter().filter(|d| d.pair == Some(pair)).count();
        if count != 2 {
            wrong.push(format!("demand {}: pair {pair} has {count} demands, not two", demand.name));
        }
    }
}

#[cfg(test)]
mod tests;
