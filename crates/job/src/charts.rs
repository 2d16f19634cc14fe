//! Charts of one candidate at a position: the numbers of its findings as curves, drawn where the survey leaves the lowest and the highest
//! margin. They judge nothing; the finding that is named beside each does.

use dossier::chart::{Axis, Chart, Curve, Place, Role};
use findings::candidate::Candidate;
use findings::curves::{self, Points};
use findings::facts::{Reader, Stop, Survey};
use plant::quantity::{Length, System, digits};
use plant::survey;

use crate::assess::{Input, join, survey_of};
use crate::bounds::Depth;
use crate::options::{Assessed, Context, Hints, assess};
use crate::searches::Margins;

/// A chart, or why there is none.
#[derive(Clone, Debug)]
pub struct Drawn {
    /// What it would show.
    pub title: &'static str,
    /// The finding that it belongs to.
    pub finding: &'static str,
    /// The chart.
    pub chart: Result<Chart, String>,
}

/// How one kind of chart is made at one completion: its curves, and what else it shows.
type Make = fn(&mut Reader<'_>, &Candidate<'_>, System) -> Result<Option<Chart>, Stop>;

/// A kind of chart.
struct Kind {
    name: &'static str,
    title: &'static str,
    finding: &'static str,
    make: Make,
}

const KINDS: &[Kind] = &[
    Kind { name: "current", title: "Current against what the unit gives", finding: "rating/overload-short", make: current },
    Kind { name: "torque", title: "Torque over speed", finding: "speed/top-speed-short", make: torque },
    Kind { name: "cable", title: "Voltage at the motor along the cable", finding: "motor/winding-overstressed", make: cable },
    Kind { name: "spectrum", title: "Harmonic currents against their limits", finding: "harmonics/limit-exceeded", make: spectrum },
];

/// The charts of a candidate ("series/code/duty") at the position of that tag; `None` where the site has no such position or no pack such
/// a candidate.
#[must_use]
pub fn charts(input: Input<'_>, tag: &str, candidate: &str) -> Option<Vec<Drawn>> {
    let surveyed = input.positions.iter().find(|p| p.tag == tag)?;
    let unit = input.packs.iter().flat_map(Candidate::all).find(|c| c.id() == candidate)?;
    let position = join(input, surveyed, &mut Vec::new());
    let survey = survey_of(input, &position);
    let margins = Margins::of(&survey, input.searches);
    let context = Context { margins: &margins, site: input.site, accepted: &input.decisions.accepted };
    let assessed = assess(context, unit, &mut Hints::new(), Depth::Full);
    let drawn = |kind: &Kind| drawn(&survey, &assessed, kind, input.site.units);
    Some(KINDS.iter().map(drawn).collect())
}

fn drawn(survey: &Survey<'_>, assessed: &Assessed<'_>, kind: &Kind, system: System) -> Drawn {
    let Kind { name, title, finding, make } = *kind;
    let bounds = assessed.findings.iter().find(|f| f.check.name == finding).map(|f| &f.bounds);
    let chart = bounds.ok_or_else(|| "it is not examined".to_owned()).and_then(|bounds| {
        let at = |point| make(&mut survey.at(point), &assessed.unit, system).map_err(|stop| missing(&stop));
        let mut chart = at(&bounds.low_at)?.ok_or_else(|| "this cannot arise here".to_owned())?;
        if bounds.low_at != bounds.high_at
            && let Ok(Some(best)) = at(&bounds.high_at)
        {
            beside(&mut chart, best);
        }
        Ok(Chart { name: name.to_owned(), title: title.to_owned(), finding: finding.to_owned(), ..chart })
    });
    Drawn { title, finding, chart }
}

/// Puts the curves of the best completion beside those of the worst, where they differ.
fn beside(chart: &mut Chart, best: Chart) {
    let worst = chart.curves.clone();
    for curve in best.curves.into_iter().filter(|c| worst.iter().all(|w| w.points != c.points)) {
        let role = match curve.role {
            Role::Asked => Role::AskedAtBest,
            Role::Given => Role::GivenAtBest,
            other => other,
        };
        chart.curves.push(Curve { name: format!("{}, at best", curve.name), role, ..curve });
    }
    for place in best.places.into_iter().filter(|p| !chart.places.contains(p)).collect::<Vec<_>>() {
        chart.places.push(Place { name: format!("{}, at best", place.name), ..place });
    }
    chart.remarks.push("“At best”: where what the survey leaves open turns out best; the other curves stand at its worst.".to_owned());
}

fn missing(stop: &Stop) -> String {
    match stop {
        Stop::Open(id) => format!("{} ({}) is open, and nothing may be assumed for it", survey::def(*id).label, survey::path(*id)),
        Stop::PackSilent(what) => format!("the pack does not say: {what}"),
        Stop::Refused(text) => text.clone(),
    }
}

fn axis(label: &str, unit: &str) -> Axis {
    Axis { label: label.to_owned(), unit: unit.to_owned(), logarithmic: false }
}

fn curve(name: &str, role: Role, points: Points) -> Curve {
    Curve { name: name.to_owned(), role, points, bars: false }
}

fn place(at: f64, name: impl Into<String>) -> Place {
    Place { at, name: name.into() }
}

/// The least of `given/asked − 1` over two curves with the same places, and where it is.
fn tightest(asked: &Points, given: &Points) -> Option<(f64, f64)> {
    let room = |(a, g): (&(f64, f64), &(f64, f64))| (a.1 > 0.0).then(|| (a.0, g.1 / a.1 - 1.0));
    asked.iter().zip(given).filter_map(room).min_by(|a, b| a.1.total_cmp(&b.1))
}

/// In words how much room a curve leaves.
fn room(share: f64) -> String {
    let percent = digits(share.abs() * 100.0, 3);
    if share < 0.0 { format!("{percent} % too little") } else { format!("{percent} % of room") }
}

fn current(facts: &mut Reader<'_>, unit: &Candidate<'_>, _: System) -> Result<Option<Chart>, Stop> {
    let found = curves::overload(facts, unit)?;
    let says = match tightest(&found.asked, &found.given) {
        Some((at, share)) => format!(
            "At the site the unit gives {} without end. Tightest over stretches of {} s: {}.",
            found.continuous,
            digits(at, 3),
            room(share)
        ),
        None => format!("At the site the unit gives {} without end.", found.continuous),
    };
    Ok(Some(Chart {
        says,
        across: Axis { logarithmic: true, ..axis("length of the stretch", "s") },
        up: axis("root mean square of the current", "A"),
        curves: vec![curve("the load asks for", Role::Asked, found.asked), curve("the unit gives", Role::Given, found.given)],
        remarks: vec![format!("Record of the load: {}.", found.origin)],
        ..Chart::default()
    }))
}

fn torque(facts: &mut Reader<'_>, unit: &Candidate<'_>, _: System) -> Result<Option<Chart>, Stop> {
    let found = curves::torque(facts, unit)?;
    let percent = |points: Points| -> Points { points.into_iter().map(|(x, y)| (x, y * 100.0)).collect() };
    let used = |points: &Points| -> Points {
        points.iter().copied().filter(|(hz, _)| (found.lowest.in_hz().abs()..=found.highest.in_hz().abs()).contains(hz)).collect()
    };
    let told = |what: &str, given: &Points| {
        tightest(&used(&found.load), &used(given))
            .map_or(String::new(), |(at, share)| format!(" {what}: tightest at {} Hz, {}.", digits(at, 3), room(share)))
    };
    let (low, high) = (found.lowest.in_hz().abs(), found.highest.in_hz().abs());
    let places = if high > low { vec![place(low, "lowest in use"), place(high, "highest in use")] } else { vec![place(high, "in use")] };
    let says = format!(
        "In use from {} to {}.{}{}",
        found.lowest,
        found.highest,
        told("Cooling of the motor", &found.cooled),
        told("Unit and motor for a short time", &found.short)
    );
    Ok(Some(Chart {
        says,
        across: axis("output frequency", "Hz"),
        up: axis("torque, of the motor’s rated torque", "%"),
        curves: vec![
            curve("the load asks for", Role::Asked, percent(found.load)),
            curve("the motor’s cooling carries without end", Role::Limit, percent(found.cooled)),
            curve(&format!("unit and motor give for {}", found.short_time), Role::Given, percent(found.short)),
        ],
        places,
        remarks: vec![
            "The load’s share of rated current stands for its share of rated torque, along its law; 30 % are kept below breakdown torque (common practice).".to_owned(),
        ],
        ..Chart::default()
    }))
}

fn cable(facts: &mut Reader<'_>, unit: &Candidate<'_>, system: System) -> Result<Option<Chart>, Stop> {
    let Some(found) = curves::waves(facts, unit)? else { return Ok(None) };
    let (unit, shown): (_, fn(Length) -> f64) = if system == System::Us { ("ft", Length::in_ft) } else { ("m", Length::in_m) };
    let stands = found.stands.in_v();
    let bound: Points = found.bound.iter().map(|(at, volts)| (shown(Length::m(*at)), *volts)).collect();
    let limit = bound.iter().map(|(at, _)| (*at, stands)).collect();
    let over = bound.iter().find(|(_, volts)| *volts > stands).map(|(at, _)| *at);
    let says = format!(
        "The cable has {}. The winding stands {}. {}",
        found.length.text(system),
        found.stands,
        match over {
            Some(at) => format!("The bound on the peak passes that at about {} {unit}.", digits(at, 2)),
            None => "The bound on the peak stays below that at every length drawn.".to_owned(),
        }
    );
    Ok(Some(Chart {
        says,
        across: axis("length of the cable", unit),
        up: axis("peak line to line at the motor", "V"),
        curves: vec![curve("bound on the peak", Role::Asked, bound), curve("the winding stands", Role::Given, limit)],
        places: vec![place(shown(found.length), "as it is"), place(shown(found.critical), "full reflection from here")],
        remarks: vec!["150 m/µs on the cable, 95 % sent back by the motor: common practice, on the safe side.".to_owned()],
        ..Chart::default()
    }))
}

fn spectrum(facts: &mut Reader<'_>, unit: &Candidate<'_>, _: System) -> Result<Option<Chart>, Stop> {
    /// Orders with less than this, per cent, are not drawn.
    const FAINT: f64 = 0.05;
    let Some(there) = curves::spectrum(facts, unit)? else { return Ok(None) };
    let demand = there.demand.in_a();
    let (mut found, mut limits) = (Points::new(), Points::new());
    for (order, at) in (2..=50_usize).zip(2_u8..) {
        let share = there.worst.order(order).in_a() / demand * 100.0;
        if let Some(limit) = there.current_limits.order(order).filter(|_| share >= FAINT) {
            found.push((f64::from(at), share));
            limits.push((f64::from(at), limit.in_percent()));
        }
    }
    let says = format!(
        "Total demand distortion {} against a limit of {}, of {} demand; voltage distortion {} against {}. {}",
        there.tdd,
        there.current_limits.tdd,
        there.demand,
        there.voltage_thd,
        there.voltage_limits.thd,
        there.tightest.map_or_else(|| "The total is tightest.".to_owned(), |order| format!("Order {order} is tightest."))
    );
    Ok(Some(Chart {
        says,
        across: axis("order", ""),
        up: axis("current, of the demand current", "%"),
        curves: vec![
            Curve { bars: true, ..curve("current of the order", Role::Asked, found) },
            Curve { bars: true, ..curve("its limit", Role::Given, limits) },
        ],
        remarks: vec![format!(
            "Short-circuit current over demand current: {}. Limits of IEEE 519, Table 2.",
            digits(there.ratio.in_of_one(), 3)
        )],
        ..Chart::default()
    }))
}
