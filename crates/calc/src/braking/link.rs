//! The DC link as a store: what it takes before a chopper speaks, how long it carries the load through a dip, and what charging it
//! costs the pre-charge circuit, alone or with others on one link.

use plant::quantity::{Capacitance, Count, Dimension, Energy, Power, Rate, Ratio, Time, Voltage, dim};

use crate::load::{above_zero, not_below_zero};
use crate::registry::{Arguments, Calculation, Input, InputKind, Refusal, output, quantity, quantity_or, word};
use crate::sources::{DEFINITION, Knowledge, PACK, PRACTICE, Source};
use crate::working::{Recorder, Step, Working};

/// Charging over a resistor.
pub const CHARGING: Source = Source::new(
    "charging a capacitor over a resistor from a fixed voltage burns in it what the capacitor keeps: ½·C·U²",
    Knowledge::Derived,
);

/// Energy between two voltages of a DC link.
///
/// E = ½·C·(U_2² − U_1²). J, F, V; negative when U_2 is the lower one.
///
/// # Errors
/// When the capacitance is not above zero or a voltage below it.
///
/// Source: definition. Worked example: 2200 µF from 565.7 to 780 V take 317.2 J.
/// ```
/// use calc::{braking::link::between, working::Silent};
/// use plant::quantity::{Capacitance, Voltage};
/// let e = between(Capacitance::uf(2200.0), Voltage::v(565.7), Voltage::v(780.0), &mut Silent).unwrap();
/// assert!((e.in_j() - 317.23).abs() < 0.05);
/// ```
pub fn between<R: Recorder>(capacitance: Capacitance, from: Voltage, to: Voltage, rec: &mut R) -> Result<Energy, Refusal> {
    above_zero(capacitance, "capacitance of the DC link")?;
    not_below_zero(from, "voltage before")?;
    not_below_zero(to, "voltage after")?;
    // (U_2 − U_1)·(U_2 + U_1) keeps digits where both are near.
    let energy = Energy::j(0.5 * capacitance.in_farad() * (to - from).in_v() * (to + from).in_v());
    rec.step(|| {
        Step::new("E", "energy between the two voltages", "½·C·(U_2² − U_1²)", &DEFINITION)
            .with("C", capacitance)
            .with("U_2", to)
            .with("U_1", from)
            .gives(energy)
    });
    Ok(energy)
}

/// Energy that is left for the resistor out of a stop that the DC link sees.
///
/// E_R = max(0, E − ½·C·(U_on² − U_0²)); the link is taken as standing at the chopper's level when the stop ends, so that a
/// hysteresis below it adds at most ½·C·(U_on² − U_off²).
///
/// # Errors
/// As [`between`], or when the energy is below zero or the level below the voltage before.
///
/// Source: definition. Worked example: 1000 J with 317.2 J kept by the link leave 682.8 J.
/// ```
/// use calc::{braking::link::left_for_resistor, working::Silent};
/// use plant::quantity::{Capacitance, Energy, Voltage};
/// let e = left_for_resistor(Energy::j(1000.0), Capacitance::uf(2200.0), Voltage::v(565.7), Voltage::v(780.0), &mut Silent).unwrap();
/// assert!((e.in_j() - 682.77).abs() < 0.05);
/// ```
pub fn left_for_resistor<R: Recorder>(
    energy: Energy,
    capacitance: Capacitance,
    before: Voltage,
    level: Voltage,
    rec: &mut R,
) -> Result<Energy, Refusal> {
    not_below_zero(energy, "energy of the stop")?;
    if level < before {
        return Err(Refusal::new(format!("the chopper's level of {level} is below the link's {before}: it would burn all the time")));
    }
    let kept = between(capacitance, before, level, rec)?;
    let left = (energy - kept).max(Energy::ZERO);
    rec.step(|| {
        Step::new("E_R", "left for the resistor", "max(0, E_s − E)", &DEFINITION)
            .with("E_s", energy)
            .with("E", kept)
            .gives(left)
            .note(if left == Energy::ZERO { "the link keeps all of it: no resistor is used" } else { "" })
    });
    Ok(left)
}

/// How long a DC link carries a load.
///
/// t = C·(U_1² − U_2²)/(2·P). Constant power, no feed. s, F, V, W.
///
/// # Errors
/// When an input is not above zero or the lower voltage not below the upper.
///
/// Source: definition. Worked example: 4700 µF from 650 V to 400 V at 30 kW: 617 J, 20.6 ms.
/// ```
/// use calc::{braking::link::ride_through, working::Silent};
/// use plant::quantity::{Capacitance, Power, Voltage};
/// let t = ride_through(Capacitance::uf(4700.0), Voltage::v(650.0), Voltage::v(400.0), Power::kw(30.0), &mut Silent).unwrap();
/// assert!((t.in_ms() - 20.56).abs() < 0.01);
/// ```
pub fn ride_through<R: Recorder>(capacitance: Capacitance, from: Voltage, to: Voltage, power: Power, rec: &mut R) -> Result<Time, Refusal> {
    above_zero(power, "power drawn from the link")?;
    above_zero(to, "lowest voltage")?;
    if to >= from {
        return Err(Refusal::new(format!("the link falls from {from}: the lowest voltage must be below that, not {to}")));
    }
    let energy = between(capacitance, to, from, rec)?;
    let time = energy / power;
    rec.step(|| {
        Step::new("t", "time that the link carries the load", "E/P", &DEFINITION)
            .with("E", energy)
            .with("P", power.electric())
            .gives(time)
            .note("power of the inverter, its losses included; a load with inertia that gives back lasts longer, an aged link shorter")
    });
    Ok(time)
}

/// A unit on a common DC link.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Member {
    /// Its capacitance.
    pub capacitance: Capacitance,
    /// Capacitance that its pre-charge may charge, by its documents; zero: it has none, or none that may charge others.
    pub may_charge: Capacitance,
}

/// What charging the link means.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Charge {
    /// All capacitance.
    pub capacitance: Capacitance,
    /// Energy kept, and the same again burnt in the pre-charge.
    pub energy: Energy,
    /// What the weakest of those that charge may charge, over what falls to it; below one it burns.
    pub share: Ratio,
    /// Members without a way to be charged by themselves.
    pub without: usize,
}

/// Who is charged by whom.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Feed {
    /// One unit charges all: the first.
    First,
    /// Each charges itself and is joined afterwards.
    Each,
}

/// Charging of a common DC link.
///
/// E = ½·ΣC·U² kept and as much burnt in the pre-charge. With one charger, what it may charge against ΣC; with each by itself,
/// the worst of C_may/C. Units whose links are joined before both are charged to the same voltage blow fuses.
///
/// # Errors
/// When an input is out of range or there is no member.
///
/// Source: derived. Worked example: two of 2200 µF at 650 V: 930 J.
/// ```
/// use calc::{braking::link::{common_link, Feed, Member}, working::Silent};
/// use plant::quantity::{Capacitance, Voltage};
/// let uf = Capacitance::uf;
/// let one = Member { capacitance: uf(2200.0), may_charge: uf(3300.0) };
/// let c = common_link(&[one, one], Voltage::v(650.0), Feed::First, &mut Silent).unwrap();
/// assert!((c.energy.in_j() - 929.5).abs() < 0.1 && (c.share.in_of_one() - 0.75).abs() < 1e-9);
/// ```
pub fn common_link<R: Recorder>(members: &[Member], bus: Voltage, feed: Feed, rec: &mut R) -> Result<Charge, Refusal> {
    above_zero(bus, "DC link voltage")?;
    let Some(first) = members.first() else { return Err(Refusal::new("a link has at least one member")) };
    for m in members {
        above_zero(m.capacitance, "capacitance of a member")?;
        not_below_zero(m.may_charge, "capacitance that a member may charge")?;
    }
    let capacitance = Capacitance::farad(members.iter().map(|m| m.capacitance.in_farad()).sum());
    let energy = Energy::j(0.5 * capacitance.in_farad() * bus.in_v() * bus.in_v());
    let share = match feed {
        Feed::First => first.may_charge / capacitance,
        Feed::Each => members.iter().map(|m| m.may_charge / m.capacitance).fold(f64::INFINITY, f64::min),
    };
    let without = members.iter().filter(|m| m.may_charge == Capacitance::ZERO).count();
    rec.step(|| Step::new("C", "capacitance of all members", "Σ C_i", &DEFINITION).gives(capacitance));
    rec.step(|| {
        Step::new("E", "energy kept, and as much burnt in the pre-charge", "½·C·U²", &CHARGING)
            .with("C", capacitance)
            .with("U", bus)
            .gives(energy)
    });
    rec.step(|| {
        Step::new("s", "what may be charged over what is to be charged", "", &PACK).gives(share).note(match (feed, share < 1.0) {
            (_, true) => "too much: its pre-charge burns; charge by another way before the links are joined",
            (Feed::First, false) => "the first charges all: the others' own feeds must be off until the link is charged",
            (Feed::Each, false) => "each charges itself: join only links of the same voltage, dead or charged",
        })
    });
    rec.step(|| {
        Step::new("caution", "before anything is joined or parted", "", &PRACTICE)
            .gives("the whole link must be dead and measured at each member")
            .note(format!("{without} of {} cannot charge by themselves; each member has DC fuses of its own", members.len()))
    });
    Ok(Charge { capacitance, energy, share: Ratio::of_one(share), without })
}

/// Power of a pre-charge that is used again and again.
///
/// P = ½·C·U²·n with n a rate. W.
///
/// # Errors
/// When the energy or the rate is below zero.
///
/// Source: derived. Worked example: 930 J, 30 times an hour: 7.75 W.
/// ```
/// use calc::{braking::link::cycling, working::Silent};
/// use plant::quantity::{Energy, Rate};
/// assert!((cycling(Energy::j(930.0), Rate::per_h(30.0), &mut Silent).unwrap().in_w() - 7.75).abs() < 1e-9);
/// ```
pub fn cycling<R: Recorder>(energy: Energy, rate: Rate, rec: &mut R) -> Result<Power, Refusal> {
    not_below_zero(energy, "energy of a charge")?;
    not_below_zero(rate, "rate of charges")?;
    let power = Power::w(energy.in_j() * rate.in_per_s());
    rec.step(|| {
        Step::new("P", "mean power in the pre-charge", "E·n", &CHARGING)
            .with("E", energy)
            .with("n", rate)
            .gives(power.electric())
            .note("the unit's allowed power cycles count, not this figure: its resistor is built for single charges")
    });
    Ok(power)
}

const CAPACITANCE: Input = quantity::<dim::CapacitanceDim>("capacitance", "capacitance of the DC link");

/// `calc bus-absorbs`.
pub const BUS_ABSORBS: Calculation = Calculation {
    name: "bus-absorbs",
    summary: "Energy that the DC link takes up to the chopper's level, and what a stop leaves for the resistor.",
    inputs: &[
        CAPACITANCE,
        quantity::<dim::VoltageDim>("before", "DC link before the stop"),
        super::window::LEVEL,
        quantity_or::<dim::EnergyDim>("energy", "", "energy of the stop that arrives at the link"),
    ],
    results: &[
        output::<dim::EnergyDim>("absorbs", "J", "what the link takes"),
        output::<dim::EnergyDim>("left", "J", "left for the resistor; zero without an energy"),
    ],
    sources: &[&DEFINITION],
    run: |a: &Arguments, w: &mut Working| {
        let (c, before, level) = (a.get("capacitance"), a.get("before"), a.get("level"));
        let mut silent = crate::working::Silent;
        match a.get_opt::<dim::EnergyDim>("energy") {
            Some(energy) => {
                let left = left_for_resistor(energy, c, before, level, w)?;
                Ok(vec![between(c, before, level, &mut silent)?.in_si(), left.in_si()])
            }
            None => Ok(vec![between(c, before, level, w)?.in_si(), 0.0]),
        }
    },
};

/// `calc ride-through`.
pub const RIDE_THROUGH: Calculation = Calculation {
    name: "ride-through",
    summary: "How long the DC link carries a load through a dip.",
    inputs: &[
        CAPACITANCE,
        quantity::<dim::VoltageDim>("from", "DC link when the dip comes"),
        quantity::<dim::VoltageDim>("to", "lowest DC link that the unit runs with"),
        quantity::<dim::PowerDim>("power", "power drawn from the link"),
    ],
    results: &[output::<dim::TimeDim>("time", "ms", "how long it lasts"), output::<dim::EnergyDim>("energy", "J", "energy used")],
    sources: &[&DEFINITION],
    run: |a: &Arguments, w: &mut Working| {
        let power: Power = a.get("power");
        let time = ride_through(a.get("capacitance"), a.get("from"), a.get("to"), power, w)?;
        Ok(vec![time.in_si(), (power * time).in_si()])
    },
};

/// `calc bus-members`.
pub const BUS_MEMBERS: Calculation = Calculation {
    name: "bus-members",
    summary: "Charging of a common DC link: energy, whether the pre-charge may charge it, and how often an hour.",
    inputs: &[
        Input {
            name: "members",
            kind: InputKind::Rows(&[dim::CapacitanceDim::INFO, dim::CapacitanceDim::INFO]),
            default: None,
            doc: "capacitance of each member, capacitance that its pre-charge may charge (0 µF: none); the one that charges all first",
        },
        quantity::<dim::VoltageDim>("bus", "DC link voltage, unloaded"),
        word("charged-by", &["first", "each"], "who charges whom"),
        quantity_or::<dim::RateDim>("rate", "0 1/h", "power cycles"),
        quantity_or::<dim::RateDim>("allowed", "", "power cycles that the unit allows"),
    ],
    results: &[
        output::<dim::CapacitanceDim>("capacitance", "µF", "of all members"),
        output::<dim::EnergyDim>("energy", "J", "kept, and as much burnt in the pre-charge"),
        output::<dim::RatioDim>("share", "%", "what may be charged over what is to be charged; below 100 % it burns"),
        output::<dim::CountDim>("without", "", "members that cannot charge by themselves"),
        output::<dim::PowerDim>("mean", "W", "mean power in the pre-charge"),
        output::<dim::RatioDim>("cycles", "%", "power cycles over the allowed ones; zero where none are stated"),
    ],
    sources: &[&CHARGING, &PACK, &PRACTICE],
    run: |a: &Arguments, w: &mut Working| {
        let members: Vec<Member> = a
            .rows("members")
            .iter()
            .filter_map(|row| match row[..] {
                [c, may] => Some(Member { capacitance: Capacitance::si(c), may_charge: Capacitance::si(may) }),
                _ => None,
            })
            .collect();
        let feed = if a.word("charged-by") == "each" { Feed::Each } else { Feed::First };
        let charge = common_link(&members, a.get("bus"), feed, w)?;
        let rate: Rate = a.get("rate");
        let mean = cycling(charge.energy, rate, w)?;
        let mut cycles = Ratio::ZERO;
        if let Some(allowed) = a.get_opt::<dim::RateDim>("allowed") {
            above_zero(allowed, "power cycles allowed")?;
            cycles = Ratio::of_one(rate / allowed);
            w.step(|| {
                Step::new("n/n_max", "power cycles over the allowed ones", "n/n_max", &PACK)
                    .with("n", rate)
                    .with("n_max", allowed)
                    .gives(cycles)
            });
        }
        let without = Count::of(f64::from(u32::try_from(charge.without).unwrap_or(u32::MAX)));
        Ok(vec![charge.capacitance.in_si(), charge.energy.in_si(), charge.share.in_si(), without.in_si(), mean.in_si(), cycles.in_si()])
    },
};
