//! A site and its positions: one installed drive each, with its motor, load, supply branch and box.

use crate::choice::Fixing;
use crate::control::FoundHabits;
use crate::cutover::{Counted, Shutdown};
use crate::fact::{Fact, Origin, Place};
use crate::network::NetworkUse;
use crate::price::{LeadTimes, Prices};
use crate::product::{FixingHole, Frame, LineSide};
use crate::quantity::{Current, Length, Mass, Power, System, Time};
use crate::settings::FoundList;
use crate::shared::Shared;
use crate::survey::{DUTY_COLUMNS, FACTS, FactId};
use crate::wires::WireList;

/// One installed drive as it was found.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Position {
    /// Its tag: "BE-101".
    pub tag: String,
    /// What it drives, in a few words.
    pub machine: String,
    /// Series of the old drive (the folder name of a pack), where known.
    pub old_series: Option<String>,
    /// Type code on the old drive's plate.
    pub old_code: Option<String>,
    /// Name of the supply in the site file.
    pub supply: Option<String>,
    /// Name of the box in the site file.
    pub enclosure: Option<String>,
    /// Parts that go in beside the new drive: a reactor, a filter, a relay with its rail.
    pub added: Vec<AddedPart>,
    /// What stands on the plate and on the door of its box (filled in from the box).
    pub things: Vec<Thing>,
    /// The other drives in its box (filled in from their positions).
    pub neighbours: Vec<Neighbour>,
    /// Frame of the old drive with its fixing holes, where its pack tells (filled in from the pack).
    pub old_frame: Option<(Frame, Vec<FixingHole>)>,
    /// Rated input current of the old drive, where its pack tells (filled in from the pack).
    pub old_input_current: Option<Current>,
    /// Line side of the old drive, where its pack tells (filled in from the pack).
    pub old_line_side: Option<LineSide>,
    /// Code that the plant is under (filled in from the site).
    pub code: Code,
    /// Remarks of whoever surveyed it.
    pub notes: Vec<String>,
    /// One fact per entry of [`FACTS`].
    pub facts: Shared<Vec<Fact>>,
    /// The duty table, row by row, one fact per entry of [`DUTY_COLUMNS`].
    pub duty: Vec<Vec<Fact>>,
    /// What parts cost here by a quotation; such a price stands before those of packs and site.
    pub prices: Prices,
    /// Times of delivery that a quotation for this position states.
    pub lead_times: LeadTimes,
    /// How the old drive is used on its network, where it is on one.
    pub network: Option<NetworkUse>,
    /// What is counted and asked for its cutover.
    pub cutover: Counted,
    /// Habits of the old drive's control as they were found.
    pub habits: FoundHabits,
    /// The old drive's settings as they were found, where a list was taken.
    pub settings: Option<Shared<FoundList>>,
    /// The conductors at the old drive, where they were listed.
    pub wires: Option<Shared<WireList>>,
    /// A current log, where one was recorded.
    pub current_log: Option<Shared<CurrentLog>>,
    /// Where it stands.
    pub place: Place,
}

impl Position {
    /// A position of which nothing is known.
    #[must_use]
    pub fn unknown(tag: impl Into<String>) -> Self {
        Self { tag: tag.into(), facts: vec![Fact::default(); FACTS.len()].into(), ..Self::default() }
    }

    /// The fact behind an id; duty cells that do not exist give `None`.
    #[must_use]
    pub fn fact(&self, id: FactId) -> Option<&Fact> {
        match id.index().checked_sub(FACTS.len()) {
            None => self.facts.get(id.index()),
            Some(cell) => self.duty.get(cell / DUTY_COLUMNS.len()).and_then(|row| row.get(cell % DUTY_COLUMNS.len())),
        }
    }

    /// The same, to be changed.
    pub fn fact_mut(&mut self, id: FactId) -> Option<&mut Fact> {
        match id.index().checked_sub(FACTS.len()) {
            None => self.facts.get_mut(id.index()),
            Some(cell) => self.duty.get_mut(cell / DUTY_COLUMNS.len()).and_then(|row| row.get_mut(cell % DUTY_COLUMNS.len())),
        }
    }

    /// Fills what the position leaves out with what its supply, its box and the site say.
    pub fn inherit(&mut self, site: &Site) {
        self.code = site.code;
        let named =
            |list: &[Named], name: &Option<String>| name.as_ref().and_then(|n| list.iter().find(|s| s.name == *n)).map(|s| s.facts.clone());
        let enclosure = site.boxes.iter().find(|b| Some(&b.named.name) == self.enclosure.as_ref());
        self.things.extend(enclosure.into_iter().flat_map(|b| b.things.iter().cloned()));
        let layers = [named(&site.supplies, &self.supply), enclosure.map(|b| b.named.facts.clone()), Some(site.facts.clone())];
        for layer in layers.into_iter().flatten() {
            for (id, fact) in layer {
                if let Some(own) = self.fact_mut(id)
                    && own.is_missing()
                {
                    *own = fact;
                }
            }
        }
    }
}

/// Something that stands on the plate or the door of a box and takes room. Places are from the lower left corner of the
/// mounting plate, seen from the front.
#[derive(Clone, Debug, PartialEq)]
pub struct Thing {
    /// What people call it.
    pub name: String,
    /// From the plate's left edge.
    pub left: Length,
    /// From the plate's lower edge.
    pub bottom: Length,
    /// Width.
    pub width: Length,
    /// Height.
    pub height: Length,
    /// How far it stands off what it is fixed to.
    pub depth: Length,
    /// What it is fixed to.
    pub fixing: Fixing,
    /// Whether it can be moved or taken out.
    pub movable: bool,
}

/// A part that goes into the box beside the new drive.
#[derive(Clone, Debug, PartialEq)]
pub struct AddedPart {
    /// What people call it.
    pub name: String,
    /// Width.
    pub width: Length,
    /// Height.
    pub height: Length,
    /// Depth.
    pub depth: Length,
    /// Free height above and below.
    pub clear_ends: Length,
    /// Free width on each side.
    pub clear_side: Length,
    /// Whether it may be mounted lying on its side.
    pub may_turn: bool,
    /// Mass.
    pub mass: Option<Mass>,
    /// Losses at the drive's load.
    pub losses: Power,
}

/// Another drive in the same box.
#[derive(Clone, Debug, PartialEq)]
pub struct Neighbour {
    /// Its tag.
    pub tag: String,
    /// Losses at rated load of the drive that stands there today, where its pack tells.
    pub losses: Option<Power>,
    /// That drive as a thing on the plate, where its place and outline are known.
    pub stands: Option<Thing>,
}

/// Current against time.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct CurrentLog {
    /// Time and current of each sample, times rising.
    pub samples: Vec<(Time, Current)>,
    /// Whether the log is one period of an endless cycle.
    pub repeats: bool,
    /// Where it comes from.
    pub origin: Origin,
}

/// A supply or a box of the site by its name, with the facts that its positions share.
#[derive(Clone, Debug, Default)]
pub struct Named {
    /// Its name.
    pub name: String,
    /// What is known of it.
    pub facts: Vec<(FactId, Fact)>,
}

/// A box or a room of the site.
#[derive(Clone, Debug, Default)]
pub struct Enclosure {
    /// Its name and what is known of it.
    pub named: Named,
    /// What stands on its plate and its door.
    pub things: Vec<Thing>,
}

/// Which code the plant is under.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Code {
    /// US National Electrical Code and its neighbours.
    Nec,
    /// IEC 60364 and its neighbours.
    #[default]
    Iec,
}

/// What work costs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rates {
    /// An electrician's hour.
    pub electrician: f64,
    /// An engineer's hour.
    pub engineer: f64,
}

/// One plant.
#[derive(Clone, Debug)]
pub struct Site {
    /// Its name.
    pub name: String,
    /// Code in force.
    pub code: Code,
    /// Units that people want to see.
    pub units: System,
    /// Currency of all money.
    pub currency: String,
    /// What work costs; `None` leaves labour out of every price, and says so.
    pub rates: Option<Rates>,
    /// What parts cost where a pack says none.
    pub prices: Prices,
    /// How long parts take from order to delivery.
    pub lead_times: LeadTimes,
    /// Facts that hold for the whole plant.
    pub facts: Vec<(FactId, Fact)>,
    /// Supplies.
    pub supplies: Vec<Named>,
    /// Boxes.
    pub boxes: Vec<Enclosure>,
    /// The night of the change-over: window, crews, isolation points.
    pub shutdown: Shutdown,
    /// Series that may replace (folder names of packs); empty means every pack that says `offered = true`.
    pub offered: Vec<String>,
}

impl Default for Site {
    fn default() -> Self {
        Self {
            name: String::new(),
            code: Code::Iec,
            units: System::Metric,
            currency: "EUR".into(),
            rates: None,
            prices: Prices::default(),
            lead_times: LeadTimes::default(),
            facts: Vec::new(),
            supplies: Vec::new(),
            boxes: Vec::new(),
            shutdown: Shutdown::default(),
            offered: Vec::new(),
        }
    }
}
