//! A duty cycle of speeds and loads as a record of current: what the motor draws, how hard it works and what comes back.

use plant::quantity::{Current, Dimension, Inertia, Power, Ratio, Speed, Time, Torque, dim};

use crate::drive::overload::{Piece, Record};
use crate::load::inertia::rad_s;
use crate::load::kinds::Law;
use crate::load::{above_zero, not_below_zero};
use crate::registry::{Arguments, Calculation, Input, InputKind, Refusal, output, quantity, word};
use crate::sources::{DEFINITION, Knowledge, Source};
use crate::working::{Recorder, Step, Working};

/// The current of the built-in calculation.
pub const TWO_CURRENTS: Source = Source::new("magnetising and torque-producing current at right angles", Knowledge::CommonPractice);

/// What the cycle is counted against.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Machine {
    /// Rated torque of the motor: 100 % of every torque ratio.
    pub rated_torque: Torque,
    /// Rated speed of the motor: 100 % of every speed ratio. Slip is left out: the frequency ratio is the speed ratio.
    pub rated_speed: Speed,
    /// Whole inertia at the motor shaft. Zero leaves acceleration out; only then may speed jump without a ramp.
    pub inertia: Inertia,
}

/// Load torque during a segment, at the motor shaft, without acceleration.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum LoadTorque {
    /// The same all the time, over the rated torque; positive against forward rotation.
    Share(Ratio),
    /// By the machine's law.
    Law {
        /// How torque goes with speed.
        law: Law,
        /// Torque at the rated speed forwards, over the rated torque.
        at_rated_speed: Ratio,
    },
}

/// A part of the cycle: a straight ramp from the speed before to `speed_to`, then that speed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Segment {
    /// How long it is, ramp included.
    pub time: Time,
    /// Speed at its end; negative backwards.
    pub speed_to: Speed,
    /// How long the ramp is; at most `time`.
    pub ramp: Time,
    /// The load.
    pub load: LoadTorque,
}

/// Segments from a starting speed on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cycle<'a> {
    /// Speed before the first segment.
    pub start: Speed,
    /// The segments, in order.
    pub segments: &'a [Segment],
    /// The cycle repeats endlessly; then it must end at its starting speed.
    pub repeats: bool,
}

/// A cycle worked out.
#[derive(Clone, Debug, PartialEq)]
pub struct Duty {
    /// Current against time: holds as one piece, ramps in slices.
    pub record: Record,
    /// Length of the cycle.
    pub period: Time,
    /// Rms current over the cycle.
    pub rms_current: Current,
    /// Largest rms current.
    pub peak_current: Current,
    /// Rms torque over the cycle.
    pub rms_torque: Torque,
    /// Largest torque, without sign.
    pub peak_torque: Torque,
    /// Shaft power given to the machine, as a mean over the whole cycle.
    pub mean_motoring: Power,
    /// Largest shaft power given to the machine.
    pub peak_motoring: Power,
    /// Shaft power that comes back, as a mean over the whole cycle, positive.
    pub mean_regenerating: Power,
    /// Largest shaft power that comes back, positive.
    pub peak_regenerating: Power,
}

/// A moment of a cycle, for figures.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Moment {
    /// Time from the start.
    pub time: Time,
    /// Speed.
    pub speed: Speed,
    /// Motor torque; positive drives forwards.
    pub torque: Torque,
    /// Rms current.
    pub current: Current,
    /// Shaft power; negative comes back.
    pub power: Power,
}

/// A ramp enters the record in slices, and the budget of an overload takes a slice as constant. A slice is halved until the rise
/// of its squared current times its length is below this share of the ramp's length at the largest current: the worst window
/// then misses at most an eighth of that at each end, 0.05 % of such a ramp.
const FINEST: f64 = 1.0 / 256.0;
/// And until Simpson's rule and the rule below agree to this share of the largest current's square: the latter is then good to 1e-8.
const RULES_AGREE: f64 = 1e-5;
/// Halvings of a ramp: enough for both, and an end where a motor model jumps.
const DEEPEST: u32 = 7;
/// Five-point Gauss–Lobatto on −1 … 1: exact to degree 7, above the degree 6 of a fan's squared torque current in the weakened
/// field. Weights 1/10, 49/90, 32/45, 49/90, 1/10; the inner nodes lie at ±√(3/7).
const INNER: f64 = 0.654_653_670_707_977_1;
/// Numbers this close, relatively, are parted by rounding alone.
const SAME: f64 = 1e-12;

/// A piece of the cycle in which speed is a straight line and torque a smooth curve of one sign.
#[derive(Clone, Copy)]
struct Stretch {
    seconds: f64,
    /// Speed ratios at its ends.
    from: f64,
    to: f64,
    /// Accelerating torque over the rated torque.
    accelerating: f64,
    load: LoadTorque,
    /// The whole ramp that it is cut from, s.
    ramp_seconds: f64,
}

impl Stretch {
    #[inline]
    fn speed(&self, x: f64) -> f64 {
        self.from + (self.to - self.from) * x
    }

    /// Motor torque over the rated torque, at x of 0 … 1.
    #[inline]
    fn torque(&self, x: f64) -> f64 {
        self.accelerating
            + match self.load {
                LoadTorque::Share(share) => share.in_of_one(),
                LoadTorque::Law { law, at_rated_speed } => {
                    let both_ends = self.from + self.to;
                    let share = if both_ends == 0.0 { law.holding() } else { law.moving(both_ends > 0.0, self.speed(x).abs()) };
                    at_rated_speed.in_of_one() * share
                }
            }
    }
}

/// Cuts a cycle into smooth stretches, in order, and hands them out with the number of their segment.
fn stretches(machine: &Machine, cycle: &Cycle, mut take: impl FnMut(usize, Stretch) -> Result<(), Refusal>) -> Result<(), Refusal> {
    above_zero(machine.rated_torque, "rated torque")?;
    above_zero(machine.rated_speed, "rated speed")?;
    not_below_zero(machine.inertia, "inertia")?;
    let mut speed = cycle.start;
    for (number, segment) in cycle.segments.iter().enumerate() {
        let wrong = |what: String| Err(Refusal::new(format!("segment {}: {what}", number + 1)));
        above_zero(segment.time, "time of a segment")?;
        if !(segment.ramp >= Time::ZERO && segment.ramp <= segment.time) {
            return wrong(format!("a ramp of {} does not fit into {}", segment.ramp, segment.time));
        }
        let change = segment.speed_to - speed;
        if !change.is_finite() {
            return wrong("its speed is no number".into());
        }
        if change != Speed::ZERO && segment.ramp == Time::ZERO && machine.inertia > Inertia::ZERO {
            return wrong(format!("going from {speed} to {} takes a ramp time", segment.speed_to));
        }
        if let LoadTorque::Law { law, .. } = segment.load {
            law.check()?;
        }
        let (from, to) = (speed / machine.rated_speed, segment.speed_to / machine.rated_speed);
        if segment.ramp > Time::ZERO {
            let accelerating = machine.inertia * (change / segment.ramp) / machine.rated_torque;
            let ramp =
                Stretch { seconds: segment.ramp.in_s(), from, to, accelerating, load: segment.load, ramp_seconds: segment.ramp.in_s() };
            cut(&ramp, |stretch| take(number, stretch))?;
        }
        let hold = segment.time - segment.ramp;
        if hold > Time::ZERO {
            take(number, Stretch { seconds: hold.in_s(), from: to, to, accelerating: 0.0, load: segment.load, ramp_seconds: 0.0 })?;
        }
        speed = segment.speed_to;
    }
    let period: f64 = cycle.segments.iter().map(|s| s.time.in_s()).sum();
    if period <= 0.0 {
        return Err(Refusal::new("a cycle needs at least one segment"));
    }
    // Speeds typed in rpm may differ in the last bits.
    if cycle.repeats && (speed - cycle.start).abs() > machine.rated_speed * SAME {
        return Err(Refusal::new(format!(
            "the cycle starts at {} but ends at {speed}: to repeat endlessly it must end where it starts",
            cycle.start
        )));
    }
    Ok(())
}

/// Cuts a ramp where it passes standstill, the rated speed, a bend of the load's law and the point where the torque turns over.
fn cut(ramp: &Stretch, mut take: impl FnMut(Stretch) -> Result<(), Refusal>) -> Result<(), Refusal> {
    let (mut bend, mut turns) = ([None; 2], [None; 2]);
    if let LoadTorque::Law { law, at_rated_speed } = ramp.load {
        bend = law.bend().map_or([None; 2], |n| [Some(n), Some(-n)]);
        // Friction turns with the motion, so the law is odd and the torque passes zero on one side at most.
        let share = -ramp.accelerating / at_rated_speed.in_of_one();
        turns = [law.speed_at(share), law.speed_at(-share).map(|n| -n)];
    }
    let marks = [Some(0.0), Some(1.0), Some(-1.0), bend[0], bend[1], turns[0], turns[1]];
    let (mut done, mut from) = (0.0, ramp.from);
    loop {
        // The next mark on the way, as a share of the whole ramp.
        let share_of = |n: f64| (n - ramp.from) / (ramp.to - ramp.from);
        let next = marks.iter().flatten().map(|n| (share_of(*n), *n)).filter(|(x, _)| *x > done && *x < 1.0);
        let (x, to) = next.fold((1.0, ramp.to), |a, b| if b.0 < a.0 { b } else { a });
        take(Stretch { seconds: ramp.seconds * (x - done), from, to, ..*ramp })?;
        if x >= 1.0 {
            return Ok(());
        }
        (done, from) = (x, to);
    }
}

/// Works out a duty cycle. `current_square` gives the squared rms current, A², for a torque ratio (signed) and a frequency
/// ratio (≥ 0): the motor's model.
///
/// The motor torque is the load's plus J·dω/dt. Losses of a gear while accelerating are left out; slip is left out.
///
/// # Errors
/// When the machine, a segment or the law makes no sense, an endless cycle does not close, or the model has no current for a
/// torque (beyond breakdown).
///
/// Source: definition. Worked example: 10 kg·m² from rest to 1500 rpm in 5 s, 5 s there, 5 s to rest and 5 s at rest, without
/// load: ±314.16 N·m for half of the time, 222.1 N·m rms, 49.35 kW at the end of the ramp.
/// ```
/// use calc::{load::duty::{Cycle, LoadTorque, Machine, Segment, duty}, working::Silent};
/// use plant::quantity::{Inertia, Ratio, Speed, Time, Torque};
/// let machine = Machine { rated_torque: Torque::nm(300.0), rated_speed: Speed::rpm(1500.0), inertia: Inertia::kgm2(10.0) };
/// let to = |rpm| Segment { time: Time::s(10.0), speed_to: Speed::rpm(rpm), ramp: Time::s(5.0), load: LoadTorque::Share(Ratio::ZERO) };
/// let cycle = Cycle { start: Speed::ZERO, segments: &[to(1500.0), to(0.0)], repeats: true };
/// let d = duty(&machine, &cycle, |torque, _| 100.0 + 900.0 * torque * torque, &mut Silent).unwrap();
/// assert!((d.rms_torque.in_nm() - 222.1).abs() < 0.1 && (d.peak_regenerating.in_kw() - 49.35).abs() < 0.005);
/// ```
pub fn duty<R: Recorder>(machine: &Machine, cycle: &Cycle, current_square: impl Fn(f64, f64) -> f64, rec: &mut R) -> Result<Duty, Refusal> {
    let mut sum = Sums { pieces: Vec::with_capacity(cycle.segments.len() * 32), ..Sums::default() };
    stretches(
        machine,
        cycle,
        |number, stretch| {
            if sum.add(&stretch, &current_square) { Ok(()) } else { Err(no_current(number, &stretch)) }
        },
    )?;
    let (rated, period) = (machine.rated_torque, sum.seconds);
    let power = |ratio: f64| rated * machine.rated_speed * ratio;
    let duty = Duty {
        record: Record { pieces: sum.pieces, repeats: cycle.repeats },
        period: Time::s(period),
        rms_current: Current::a((sum.current_square / period).sqrt()),
        peak_current: Current::a(sum.peak_square.sqrt()),
        rms_torque: rated * (sum.torque_square / period).sqrt(),
        peak_torque: rated * sum.peak_torque,
        mean_motoring: power(sum.motoring / period),
        peak_motoring: power(sum.peak_motoring),
        mean_regenerating: power(sum.regenerating / period),
        peak_regenerating: power(sum.peak_regenerating),
    };
    if rec.keeps() {
        working(machine, cycle, &duty, rec);
    }
    Ok(duty)
}

fn no_current(segment: usize, stretch: &Stretch) -> Refusal {
    let (start, end) = (stretch.torque(0.0), stretch.torque(1.0));
    let most = Ratio::of_one(if start.abs() > end.abs() { start } else { end });
    Refusal::new(format!("segment {}: the motor model gives no current for a torque of {most}", segment + 1))
}

/// A moment inside a stretch, in ratios and A².
struct At {
    x: f64,
    torque: f64,
    power: f64,
    square: f64,
}

/// Running totals, in ratios and A².
#[derive(Default)]
struct Sums {
    seconds: f64,
    current_square: f64,
    peak_square: f64,
    torque_square: f64,
    peak_torque: f64,
    motoring: f64,
    regenerating: f64,
    peak_motoring: f64,
    peak_regenerating: f64,
    pieces: Vec<Piece>,
}

impl Sums {
    /// Adds a stretch; false when the model gives no current.
    fn add(&mut self, stretch: &Stretch, current_square: &impl Fn(f64, f64) -> f64) -> bool {
        let curve = |x: f64| {
            let (torque, speed) = (stretch.torque(x), stretch.speed(x));
            At { x, torque, power: torque * speed, square: current_square(torque, speed.abs()) }
        };
        let (start, middle, end) = (curve(0.0), curve(0.5), curve(1.0));
        let most = start.square.max(middle.square).max(end.square);
        if !(start.square >= 0.0 && middle.square >= 0.0 && end.square >= 0.0 && most.is_finite()) {
            return false;
        }
        let limits = Limits { seconds: stretch.seconds, rise: FINEST * most * stretch.ramp_seconds, most };
        let before = self.current_square;
        let power = self.slice(&curve, &limits, &start, &middle, &end, DEEPEST);
        self.seconds += stretch.seconds;
        if power > 0.0 {
            self.motoring += power
        } else {
            self.regenerating -= power
        }
        self.current_square >= before
    }

    /// Adds a slice, by halves where it is too coarse, and returns its energy.
    fn slice(&mut self, curve: &impl Fn(f64) -> At, limits: &Limits, a: &At, m: &At, b: &At, depth: u32) -> f64 {
        let half = 0.5 * (b.x - a.x);
        let seconds = 2.0 * half * limits.seconds;
        let rise = (m.square - a.square).abs() + (b.square - m.square).abs();
        let halves = |sums: &mut Self| {
            let (left, right) = (curve(m.x - 0.5 * half), curve(m.x + 0.5 * half));
            sums.slice(curve, limits, a, &left, m, depth - 1) + sums.slice(curve, limits, m, &right, b, depth - 1)
        };
        if depth > 0 && rise * seconds > limits.rise {
            return halves(self);
        }
        let (l, r) = (curve(m.x - INNER * half), curve(m.x + INNER * half));
        let square = mean([a.square, l.square, m.square, r.square, b.square]);
        let simpson = (a.square + 4.0 * m.square + b.square) / 6.0;
        if depth > 0 && (simpson - square).abs() > RULES_AGREE * limits.most {
            return halves(self);
        }
        let peak_square = a.square.max(m.square).max(b.square);
        self.current_square += square * seconds;
        self.torque_square += mean([a, &l, m, &r, b].map(|at| at.torque * at.torque)) * seconds;
        self.peak_square = self.peak_square.max(peak_square);
        self.peak_torque = self.peak_torque.max(a.torque.abs()).max(b.torque.abs());
        self.peak_motoring = self.peak_motoring.max(a.power).max(b.power);
        self.peak_regenerating = self.peak_regenerating.max(-a.power).max(-b.power);
        push(&mut self.pieces, Piece { seconds, mean_square_a2: square, peak_a: peak_square.sqrt() });
        mean([a.power, l.power, m.power, r.power, b.power]) * seconds
    }
}

/// When a slice is fine enough, and what a share of its stretch is in seconds.
struct Limits {
    seconds: f64,
    rise: f64,
    most: f64,
}

/// Mean by the Gauss–Lobatto rule.
#[inline]
fn mean([a, l, m, r, b]: [f64; 5]) -> f64 {
    (a + b) / 20.0 + (l + r) * (49.0 / 180.0) + m * (16.0 / 45.0)
}

/// Equal up to rounding.
#[inline]
fn same(a: f64, b: f64) -> bool {
    (a - b).abs() <= SAME * a.abs()
}

/// Adds a piece, or lengthens the last one when the current goes on unchanged.
#[inline]
fn push(pieces: &mut Vec<Piece>, piece: Piece) {
    match pieces.last_mut() {
        Some(last) if same(last.mean_square_a2, piece.mean_square_a2) && same(last.peak_a, piece.peak_a) => last.seconds += piece.seconds,
        _ => pieces.push(piece),
    }
}

fn working<R: Recorder>(machine: &Machine, cycle: &Cycle, duty: &Duty, rec: &mut R) {
    let mut speed = cycle.start;
    for (number, segment) in cycle.segments.iter().enumerate() {
        let change = segment.speed_to - speed;
        if change != Speed::ZERO && segment.ramp > Time::ZERO {
            rec.step(|| {
                Step::new("T_a", format!("accelerating torque of segment {}", number + 1), "J·Δω/t", &DEFINITION)
                    .with("J", machine.inertia)
                    .with("Δω", rad_s(change))
                    .with("t", segment.ramp)
                    .gives(machine.inertia * (change / segment.ramp))
            });
        }
        speed = segment.speed_to;
    }
    let mut show = |symbol, name: &str, formula, value: crate::working::Datum| {
        rec.step(|| Step::new(symbol, name, formula, &DEFINITION).with("T", duty.period).gives(value));
    };
    show("T_rms", "rms torque", "√(∫T_M² dt/T)", duty.rms_torque.into());
    show("T_pk", "largest torque", "", duty.peak_torque.into());
    show("I_rms", "rms current", "√(∫i² dt/T)", duty.rms_current.into());
    show("I_pk", "largest current", "", duty.peak_current.into());
    show("P_mot", "mean shaft power given to the machine", "∫max(T_M·ω, 0) dt/T", duty.mean_motoring.into());
    show("P_gen", "mean shaft power that comes back", "∫max(−T_M·ω, 0) dt/T", duty.mean_regenerating.into());
}

/// Torque, speed, current and power against time: `points` per smooth stretch (at least 2) with both its ends, so that steps show
/// as two moments at one time.
///
/// # Errors
/// As [`duty`].
pub fn moments(machine: &Machine, cycle: &Cycle, current_square: impl Fn(f64, f64) -> f64, points: u16) -> Result<Vec<Moment>, Refusal> {
    let (mut moments, mut time, last) = (Vec::new(), 0.0, points.max(2) - 1);
    stretches(machine, cycle, |number, stretch| {
        for i in 0..=last {
            let x = f64::from(i) / f64::from(last);
            let (torque, speed) = (machine.rated_torque * stretch.torque(x), machine.rated_speed * stretch.speed(x));
            let current = Current::a(current_square(stretch.torque(x), stretch.speed(x).abs()).sqrt());
            if !current.is_finite() {
                return Err(no_current(number, &stretch));
            }
            moments.push(Moment { time: Time::s(time + x * stretch.seconds), speed, torque, current, power: torque * speed });
        }
        time += stretch.seconds;
        Ok(())
    })?;
    Ok(moments)
}

/// Squared current of a motor from its rated and no-load current, A²: (I_0/f)² + (I_N² − I_0²)·(m·f)², with m the torque ratio
/// and f the frequency ratio above 1 (below 1 it counts as 1: full flux).
#[must_use]
#[inline]
pub fn two_currents(rated: Current, no_load: Current, torque_ratio: f64, frequency_ratio: f64) -> f64 {
    let (i_n, i_0, f) = (rated.in_a(), no_load.in_a(), frequency_ratio.max(1.0));
    (i_0 / f) * (i_0 / f) + (i_n * i_n - i_0 * i_0) * (torque_ratio * f) * (torque_ratio * f)
}

/// A cycle as the arguments `cycle` and `repeats` give it.
pub(crate) struct GivenCycle {
    segments: Vec<Segment>,
    repeats: bool,
}

impl GivenCycle {
    /// The rows as segments.
    pub(crate) fn of(a: &Arguments) -> Self {
        let rows = a.rows("cycle");
        let segments = rows.iter().filter_map(|row| match row[..] {
            [time, speed, ramp, load] => Some(Segment {
                time: Time::si(time),
                speed_to: Speed::si(speed),
                ramp: Time::si(ramp),
                load: LoadTorque::Share(Ratio::si(load)),
            }),
            _ => None,
        });
        Self { segments: segments.collect(), repeats: a.word("repeats") == "yes" }
    }

    /// One that repeats starts at the speed of its end, another one at rest.
    pub(crate) fn cycle(&self) -> Cycle<'_> {
        let start = self.segments.last().filter(|_| self.repeats).map_or(Speed::ZERO, |s| s.speed_to);
        Cycle { start, segments: &self.segments, repeats: self.repeats }
    }
}

/// `calc duty-record`.
pub const DUTY_RECORD: Calculation = Calculation {
    name: "duty-record",
    summary: "Rms and peak of torque and current of a duty cycle, and the shaft power given and coming back.",
    inputs: &[
        quantity::<dim::TorqueDim>("rated_torque", "rated torque of the motor"),
        quantity::<dim::SpeedDim>("rated_speed", "rated speed of the motor"),
        quantity::<dim::InertiaDim>("inertia", "whole inertia at the motor shaft"),
        quantity::<dim::CurrentDim>("rated_current", "rated current of the motor"),
        quantity::<dim::CurrentDim>("no_load_current", "current without load"),
        Input {
            name: "cycle",
            kind: InputKind::Rows(&[dim::TimeDim::INFO, dim::SpeedDim::INFO, dim::TimeDim::INFO, dim::RatioDim::INFO]),
            default: None,
            doc: "time of each segment, speed at its end, ramp time, load over rated torque; it starts at the speed of the last segment when it repeats, else at rest",
        },
        word("repeats", &["yes", "no"], "whether the cycle repeats endlessly"),
    ],
    results: &[
        output::<dim::CurrentDim>("rms_current", "A", "rms current"),
        output::<dim::CurrentDim>("peak_current", "A", "largest current"),
        output::<dim::TorqueDim>("rms_torque", "N·m", "rms torque"),
        output::<dim::TorqueDim>("peak_torque", "N·m", "largest torque"),
        output::<dim::PowerDim>("mean_motoring", "kW", "mean shaft power given to the machine"),
        output::<dim::PowerDim>("peak_motoring", "kW", "largest shaft power given to the machine"),
        output::<dim::PowerDim>("mean_regenerating", "kW", "mean shaft power that comes back"),
        output::<dim::PowerDim>("peak_regenerating", "kW", "largest shaft power that comes back"),
    ],
    sources: &[&DEFINITION, &TWO_CURRENTS],
    run: |a: &Arguments, w: &mut Working| {
        let machine = Machine { rated_torque: a.get("rated_torque"), rated_speed: a.get("rated_speed"), inertia: a.get("inertia") };
        let (rated, no_load) = (a.get::<dim::CurrentDim>("rated_current"), a.get::<dim::CurrentDim>("no_load_current"));
        if !(no_load >= Current::ZERO && no_load < rated) {
            return Err(Refusal::new(format!("the no-load current of {no_load} must be below the rated current of {rated}")));
        }
        let given = GivenCycle::of(a);
        let d = duty(&machine, &given.cycle(), |m, f| two_currents(rated, no_load, m, f), w)?;
        Ok([
            d.rms_current.in_si(),
            d.peak_current.in_si(),
            d.rms_torque.in_si(),
            d.peak_torque.in_si(),
            d.mean_motoring.in_si(),
            d.peak_motoring.in_si(),
        ]
        .into_iter()
        .chain([d.mean_regenerating.in_si(), d.peak_regenerating.in_si()])
        .collect())
    },
};

#[cfg(test)]
mod tests;
