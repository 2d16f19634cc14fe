//! The facts of one position as a check sees them: resolved numbers at one completion of the survey,
//! with a note of which facts were read. Ranges are handled above (crate `job`); a check never sees one.

mod domain;
mod network;
mod point;
mod set;
mod settings;
#[cfg(test)]
mod tests;
mod wires;

use std::sync::{Arc, Mutex, OnceLock, PoisonError, RwLock};

use calc::drive::overload::OverloadPoint;
use calc::working::Silent;
use plant::choice::{Choice, Duty, LoadKind, MotorKind, YesNo};
use plant::fact::{Fact, Known};
use plant::network::{FaultCode, Layout};
use plant::position::Position;
use plant::quantity::{Count, Current};
use plant::settings::{Raw, Setting};
use plant::survey::{self, FACT_IDS, FACTS, FactId, FactType, Key, Rule};
use rustc_hash::FxHashMap;
use transfer::behaviour::event::Event;
use transfer::behaviour::machine::Machine;
use transfer::behaviour::rules::{Rule as SafetyRule, Verdict};
use transfer::behaviour::scheme::Needs;
use transfer::wires::Rules;

pub use self::domain::Domain;
pub use self::network::WordPair;
pub use self::point::Point;
pub use self::set::FactSet;
pub use self::settings::SettingsPair;
pub use self::wires::{Wired, WiredCircuit, WiredUnits};
use crate::demand::Demand;

/// Demands already worked out at a position. They depend on a few facts only, so those alone make the key.
#[derive(Debug, Default)]
struct Demands {
    /// Places of the uncertain facts that a demand was seen to read.
    places: Vec<usize>,
    /// Demand by the bits of the coordinates at those places.
    known: FxHashMap<Vec<u64>, Arc<Demand>>,
}

impl Demands {
    fn key(&self, point: &Point) -> Vec<u64> {
        self.places.iter().map(|at| point.get(*at).to_bits()).collect()
    }

    /// Keeps a demand; one that read further facts than those before starts the store anew, keyed by all of them.
    fn keep(&mut self, survey: &Survey<'_>, point: &Point, demand: &Arc<Demand>) {
        let fresh: Vec<usize> = demand.reads.iter().filter_map(|id| survey.place_of(id)).filter(|at| !self.places.contains(at)).collect();
        if !fresh.is_empty() || self.known.len() >= DEMANDS_KEPT {
            self.known.clear();
            self.places.extend(fresh);
        }
        self.known.insert(self.key(point), Arc::clone(demand));
    }
}

/// Everything known, assumed or open about one position.
#[derive(Debug)]
pub struct Survey<'p> {
    position: &'p Position,
    domains: Vec<Domain>,
    uncertain: Vec<FactId>,
    place_of: [u16; FACT_IDS],
    uncertain_set: FactSet,
    middle: Point,
    old_points: [Vec<OverloadPoint>; 2],
    demands: RwLock<Demands>,
    old_words: Arc<OldWords>,
    old_settings: Arc<OldSettings>,
    judged: Judged,
    wired: WiredUnits,
    landing: Rules,
}

/// A unit in a wiring, what the machine needs, and what happens.
pub(crate) type Explored = (Machine, Needs, Vec<Event>);
/// What the rules of safety say of it.
type Verdicts = Result<Vec<(SafetyRule, Verdict)>, Stop>;
/// Explorations of behaviour, each made once by whoever asks first.
type Judged = Arc<Mutex<FxHashMap<Explored, Arc<OnceLock<Verdicts>>>>>;

/// The old drive's network words as its pack has them.
#[derive(Debug, Default)]
struct OldWords {
    layout: Option<Layout>,
    faults: Vec<FaultCode>,
}

/// The settings of the old series with their values as found.
#[derive(Debug, Default)]
struct OldSettings {
    settings: Vec<Setting>,
    values: Vec<Option<Raw>>,
}

/// Marks a fact that is not uncertain in `place_of`.
const CERTAIN: u16 = u16::MAX;
/// Demands kept per position before the store is emptied: bounds memory, not correctness.
const DEMANDS_KEPT: usize = 4096;
/// Explorations kept per position, likewise.
const EXPLORATIONS_KEPT: usize = 4096;

impl<'p> Survey<'p> {
    /// The survey of a position (already joined with its supply, box and site).
    #[must_use]
    pub fn new(position: &'p Position) -> Self {
        let ids = FACTS.len() + position.duty.len() * survey::DUTY_COLUMNS.len();
        #[expect(clippy::cast_possible_truncation, reason = "fewer than a thousand facts")]
        let domains =
            (0..ids).map(|i| FactId(i as u16)).map(|id| position.fact(id).map_or(Domain::Absent, |fact| Domain::of(fact, id))).collect();
        Self::with_domains(position, domains, Default::default())
    }

    /// With the overload points of the old series, by duty class.
    #[must_use]
    pub fn with_old_points(mut self, light: Vec<OverloadPoint>, heavy: Vec<OverloadPoint>) -> Self {
        self.old_points = [light, heavy];
        self
    }

    /// With the layout that the old drive uses, and the fault codes of its series.
    #[must_use]
    pub fn with_old_words(mut self, layout: Option<Layout>, faults: Vec<FaultCode>) -> Self {
        self.old_words = Arc::new(OldWords { layout, faults });
        self
    }

    /// With what the choice of points, modules and parts for the conductors rests on.
    #[must_use]
    pub fn with_landing(mut self, landing: Rules) -> Self {
        self.landing = landing;
        self
    }

    /// With what was worked out of its conductors before, for the same list, site and packs.
    #[must_use]
    pub fn with_wired(mut self, wired: WiredUnits) -> Self {
        self.wired = wired;
        self
    }

    /// With the settings of the old series; what the position's list says of them is held against them here, once.
    #[must_use]
    pub fn with_old_settings(mut self, settings: Vec<Setting>) -> Self {
        let values = self.position.settings.as_ref().map(|list| transfer::settings::as_found(list, &settings)).unwrap_or_default();
        self.old_settings = Arc::new(OldSettings { settings, values });
        self
    }

    fn with_domains(position: &'p Position, domains: Vec<Domain>, old_points: [Vec<OverloadPoint>; 2]) -> Self {
        let mut survey = Self {
            position,
            uncertain: Vec::new(),
            place_of: [CERTAIN; FACT_IDS],
            uncertain_set: FactSet::default(),
            middle: Point::default(),
            old_points,
            demands: RwLock::default(),
            old_words: Arc::default(),
            old_settings: Arc::default(),
            judged: Arc::default(),
            wired: WiredUnits::default(),
            landing: Rules::unpriced(1.0),
            domains,
        };
        #[expect(clippy::cast_possible_truncation, reason = "fewer than a thousand facts")]
        for (i, domain) in survey.domains.iter().enumerate() {
            if domain.is_uncertain() {
                survey.place_of[i] = survey.uncertain.len() as u16;
                survey.uncertain.push(FactId(i as u16));
                survey.uncertain_set.insert(FactId(i as u16));
            }
        }
        let middle = |id: &FactId| if survey.domain(*id).listed().is_none() { 0.5 } else { 0.0 };
        survey.middle = Point::of(survey.uncertain.iter().map(middle).collect());
        survey
    }

    /// The position behind it.
    #[must_use]
    pub fn position(&self) -> &'p Position {
        self.position
    }

    /// The uncertain facts; a [`Point`] has one coordinate for each, in this order.
    #[must_use]
    pub fn uncertain(&self) -> &[FactId] {
        &self.uncertain
    }

    /// The same as a set.
    #[must_use]
    pub fn uncertain_set(&self) -> &FactSet {
        &self.uncertain_set
    }

    /// Place of a fact's coordinate in a [`Point`].
    #[must_use]
    pub fn place_of(&self, id: FactId) -> Option<usize> {
        let place = self.place_of[id.index()];
        (place != CERTAIN).then_some(usize::from(place))
    }

    /// What a fact may be.
    #[must_use]
    pub fn domain(&self, id: FactId) -> &Domain {
        self.domains.get(id.index()).unwrap_or(&Domain::Absent)
    }

    /// True when the fact is not in the survey and stands on an assumption.
    #[must_use]
    pub fn is_assumed(&self, id: FactId) -> bool {
        self.position.fact(id).is_none_or(Fact::is_missing)
    }

    /// The completion in the middle of every range, with the first word of every choice.
    #[must_use]
    pub fn middle(&self) -> Point {
        self.middle.clone()
    }

    /// The same survey with one uncertain fact read as what it is at `coordinate`; the others keep their ranges.
    #[must_use]
    pub fn with_reading(&self, id: FactId, value: f64) -> Survey<'p> {
        let mut domains = self.domains.clone();
        if let Some(domain) = domains.get_mut(id.index()) {
            *domain = Domain::Fixed(value);
        }
        let survey = Survey::with_domains(self.position, domains, self.old_points.clone());
        Survey {
            old_words: Arc::clone(&self.old_words),
            old_settings: Arc::clone(&self.old_settings),
            judged: Arc::clone(&self.judged),
            wired: self.wired.clone(),
            landing: self.landing,
            ..survey
        }
    }

    /// Reads facts at a completion.
    #[must_use]
    pub fn at<'s>(&'s self, point: &'s Point) -> Reader<'s> {
        Reader { survey: self, point, reads: FactSet::default(), open: FactSet::default() }
    }

    /// The position with every uncertain fact set to its value at `point`: a survey as somebody might hand it in.
    #[must_use]
    pub fn complete(&self, point: &Point) -> Position {
        let mut position = self.position.clone();
        for id in &self.uncertain {
            if let Ok(value) = self.at(point).raw(*id)
                && let Some(fact) = position.fact_mut(*id)
            {
                fact.known = Known::Value(value);
            }
        }
        position
    }
}

/// Why a check cannot give a margin.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Stop {
    /// This fact is not known and nothing may be assumed for it.
    Open(FactId),
    /// The unit's pack does not say something that the check needs.
    PackSilent(&'static str),
    /// A calculation was asked for something outside what it holds for.
    Refused(String),
}

impl From<calc::Refusal> for Stop {
    fn from(refusal: calc::Refusal) -> Self {
        Self::Refused(refusal.0)
    }
}

/// Hands facts to a check and notes which were read.
#[derive(Debug)]
pub struct Reader<'s> {
    survey: &'s Survey<'s>,
    point: &'s Point,
    reads: FactSet,
    open: FactSet,
}

impl<'s> Reader<'s> {
    /// The facts read so far.
    #[must_use]
    pub fn reads(&self) -> &FactSet {
        &self.reads
    }

    /// Those among them for which nothing may be assumed.
    #[must_use]
    pub fn open(&self) -> &FactSet {
        &self.open
    }

    /// The position: for what is no fact, such as its duty table's length.
    #[must_use]
    pub fn position(&self) -> &'s Position {
        self.survey.position
    }

    /// Overload points of the old series in a duty class; empty when its pack is not there.
    #[must_use]
    pub fn old_points(&self, duty: Duty) -> &'s [OverloadPoint] {
        &self.survey.old_points[duty.index()]
    }

    /// The value of a fact.
    ///
    /// # Errors
    /// [`Stop::Open`] when it is unknown and nothing may be assumed, or it was not surveyed and the check needs it.
    pub fn get<T: FactType>(&mut self, key: Key<T>) -> Result<T, Stop> {
        T::from_raw(self.raw(key.id)?).ok_or(Stop::Open(key.id))
    }

    /// The value of a fact that a check can do without.
    ///
    /// # Errors
    /// [`Stop::Open`] when a fact that it follows from is open.
    pub fn find<T: FactType>(&mut self, key: Key<T>) -> Result<Option<T>, Stop> {
        if *self.survey.domain(key.id) == Domain::Absent {
            self.reads.insert(key.id);
            return Ok(None);
        }
        self.get(key).map(Some)
    }

    /// True when the fact stands in the survey, as a value or a range. A check may only be stricter without it, never with it:
    /// a reading that confirms an assumption must not turn a verdict.
    pub fn is_surveyed<T>(&mut self, key: Key<T>) -> bool {
        self.reads.insert(key.id);
        !self.survey.is_assumed(key.id)
    }

    /// The raw number of a fact: SI value or index of a word.
    ///
    /// # Errors
    /// As [`Reader::get`].
    pub fn raw(&mut self, id: FactId) -> Result<f64, Stop> {
        self.reads.insert(id);
        let survey = self.survey;
        let coordinate = |survey: &Survey<'_>| survey.place_of(id).map_or(0.0, |at| self.point.get(at));
        Ok(match survey.domain(id) {
            Domain::Fixed(value) => *value,
            Domain::Between(low, high) => low + coordinate(survey) * (high - low),
            Domain::OneOf(values) => pick(values, coordinate(survey)),
            Domain::OpenWords(values) => {
                self.open.insert(id);
                pick(values, coordinate(survey))
            }
            Domain::Times(base, low, high) => {
                let factor = low + coordinate(survey) * (high - low);
                self.raw(*base)? * factor
            }
            Domain::TimesMotors(low, high) => {
                let factor = low + coordinate(survey) * (high - low);
                self.all_motors()?.in_si() * factor
            }
            Domain::By(rule) => {
                let t = coordinate(survey);
                self.by_rule(*rule, t)?
            }
            Domain::Absent | Domain::Open => {
                self.open.insert(id);
                return Err(Stop::Open(id));
            }
        })
    }

    /// What the rules of safety say of a unit in a wiring; explored once for all completions of the position.
    ///
    /// # Errors
    /// As `explore`.
    pub(crate) fn judged(&self, key: Explored, explore: impl FnOnce(&Explored) -> Verdicts) -> Verdicts {
        let place = {
            let mut store = self.survey.judged.lock().unwrap_or_else(PoisonError::into_inner);
            if store.len() >= EXPLORATIONS_KEPT {
                store.clear();
            }
            Arc::clone(store.entry(key.clone()).or_default())
        };
        place.get_or_init(|| explore(&key)).clone()
    }

    /// Rated current of all motors on the drive.
    ///
    /// # Errors
    /// As [`Reader::get`].
    pub fn all_motors(&mut self) -> Result<Current, Stop> {
        Ok(self.get(survey::MOTOR_CURRENT)? * self.get(survey::MOTOR_COUNT)?.in_count())
    }

    fn by_rule(&mut self, rule: Rule, t: f64) -> Result<f64, Stop> {
        Ok(match rule {
            Rule::FullLoadAmps => {
                let (power, voltage) = (self.get(survey::MOTOR_POWER)?, self.get(survey::MOTOR_VOLTAGE)?);
                let (efficiency, power_factor) = (self.get(survey::MOTOR_EFFICIENCY)?, self.get(survey::MOTOR_POWER_FACTOR)?);
                calc::motor::shaft::full_load_amps(power, voltage, efficiency, power_factor, &mut Silent)?.in_si()
            }
            Rule::KindFromSlip => {
                let (speed, frequency) = (self.get(survey::MOTOR_SPEED)?, self.get(survey::MOTOR_FREQUENCY)?);
                if shows_slip(speed.in_rpm(), frequency.in_hz()) {
                    index_of(MotorKind::Induction)
                } else {
                    self.open.insert(survey::MOTOR_KIND.id);
                    return Err(Stop::Open(survey::MOTOR_KIND.id));
                }
            }
            Rule::OverhaulingFromKind => index_of(match self.get(survey::LOAD_KIND)? {
                LoadKind::Hoist | LoadKind::Elevator | LoadKind::HighInertia => YesNo::Yes,
                _ => YesNo::No,
            }),
            Rule::PeakByKind => {
                let (low, high) = match self.get(survey::LOAD_KIND)? {
                    LoadKind::Quadratic | LoadKind::Linear => PEAK_FROM_NOTHING,
                    _ => PEAK_UNDER_LOAD,
                };
                self.all_motors()?.in_si() * (low + t * (high - low))
            }
            Rule::FaultByTransformer => {
                let (transformer, impedance) = (self.get(survey::TRANSFORMER)?, self.get(survey::TRANSFORMER_IMPEDANCE)?);
                let voltage = self.get(survey::SUPPLY_VOLTAGE)?;
                let bolted = transformer.in_va() / (3f64.sqrt() * voltage.in_v() * impedance.in_of_one());
                bolted * (LEAST_OF_BOLTED + t * (1.0 - LEAST_OF_BOLTED))
            }
            Rule::SupplyVoltage => match self.find(survey::OLD_VOLTAGE)? {
                Some(voltage) => voltage.in_si(),
                None => self.get(survey::MOTOR_VOLTAGE)?.in_si() * (1.0 + SUPPLY_ABOVE_MOTOR * t),
            },
        })
    }

    /// What the load asks of the drive at this completion: the current record and what follows from it.
    ///
    /// # Errors
    /// As [`Reader::get`], or when the duty table is not a closed cycle.
    pub fn demand(&mut self) -> Result<Arc<Demand>, Stop> {
        let known = {
            let store = self.survey.demands.read().unwrap_or_else(PoisonError::into_inner);
            store.known.get(&store.key(self.point)).cloned()
        };
        let demand = known.unwrap_or_else(|| {
            let mut inner = self.survey.at(self.point);
            let content = crate::demand::content(&mut inner);
            let demand = Arc::new(Demand { reads: inner.reads, open: inner.open, content });
            self.survey.demands.write().unwrap_or_else(PoisonError::into_inner).keep(self.survey, self.point, &demand);
            demand
        });
        self.reads.extend(&demand.reads);
        self.open.extend(&demand.open);
        match &demand.content {
            Ok(_) => Ok(demand),
            Err(stop) => Err(stop.clone()),
        }
    }
}

/// How far a nominal supply voltage may lie above a motor's plate: 480 over 460, 600 over 575 (ANSI C84.1 Table 1, from memory).
const SUPPLY_ABOVE_MOTOR: f64 = 0.05;

/// Least of a transformer's bolted fault current that arrives at a panel inside the same building. Common practice, no source.
const LEAST_OF_BOLTED: f64 = 0.2;

/// Peak at a start under load, of rated current. Common practice, no source.
const PEAK_UNDER_LOAD: (f64, f64) = (1.2, 1.8);
/// Peak at a start whose torque rises with speed, of rated current. Common practice, no source.
const PEAK_FROM_NOTHING: (f64, f64) = (0.9, 1.15);

/// Least slip that tells an induction motor from a synchronous one by its plate: large motors reach about 0.3 %.
const LEAST_SLIP: f64 = 0.002;

fn shows_slip(rpm: f64, hertz: f64) -> bool {
    // The largest even number of poles whose synchronous speed is not below the plate's.
    let poles = (120.0 * hertz / rpm / 2.0 * (1.0 + 1e-9)).floor() * 2.0;
    if poles < 2.0 {
        return false;
    }
    1.0 - rpm / (120.0 * hertz / poles) >= LEAST_SLIP
}

/// Number of poles of an induction motor by its plate: the largest even number whose synchronous speed is above the rated speed.
#[must_use]
pub fn poles_by_plate(rpm: f64, hertz: f64) -> Count {
    Count::of(((120.0 * hertz / rpm / 2.0 * (1.0 + 1e-9)).floor() * 2.0).max(2.0))
}

fn pick(values: &[f64], coordinate: f64) -> f64 {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "coordinates of lists are small whole numbers")]
    let index = coordinate.round().max(0.0) as usize;
    values[index.min(values.len() - 1)]
}

fn index_of<C: Choice>(choice: C) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "a handful of words")]
    let index = choice.index() as f64;
    index
}
