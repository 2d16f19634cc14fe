//! The point of common coupling: what several drives and linear loads do there together.

use plant::quantity::{Current, Ratio, Voltage};

use super::circuit::above_zero;
use super::limits::{CurrentLimits, Edition, VoltageLimits, current_limits, voltage_limits};
use super::spectrum::{ORDERS, Spectrum};
use crate::registry::Refusal;
use crate::sources::{DEFINITION, Knowledge, Source};
use crate::working::{Recorder, Silent, Step};

/// How currents of one order with unknown angles add up.
pub const SUMMATION: Source =
    Source::new("IEC TR 61000-3-6, second summation law: exponent 1 below order 5, 1.4 from 5 to 10, 2 above", Knowledge::FromMemory);
/// Distortion by demand.
pub const TDD: Source = Source::new("IEEE 519-2014 clause 3, total demand distortion", Knowledge::FromMemory);

/// The point of common coupling.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Coupling {
    /// Its line-to-line voltage.
    pub voltage: Voltage,
    /// Three-phase short-circuit current there.
    pub short_circuit: Current,
    /// Current of the loads without harmonics there.
    pub linear: Current,
    /// Largest demand current; without it, the fundamentals of all loads added up.
    pub demand: Option<Current>,
    /// Edition of IEEE 519.
    pub edition: Edition,
}

/// Harmonics at a point of common coupling.
#[derive(Clone, Debug, PartialEq)]
pub struct AtCoupling {
    /// Currents by order, added up as if all angles were the same: never too small.
    pub worst: Spectrum,
    /// Demand current that the shares refer to.
    pub demand: Current,
    /// I_sc/I_L.
    pub ratio: Ratio,
    /// Total demand distortion, worst.
    pub tdd: Ratio,
    /// Voltage distortion by the worst currents.
    pub voltage_thd: Ratio,
    /// Largest voltage of one order by them.
    pub voltage_order: Ratio,
    /// Limits of the current.
    pub current_limits: CurrentLimits,
    /// Limits of the voltage.
    pub voltage_limits: VoltageLimits,
    /// Room to the tightest limit of the current (limit less worst value, over the limit): negative beyond it.
    pub current_room: Ratio,
    /// The order that room belongs to; `None` for the total.
    pub tightest: Option<usize>,
    /// The same for the voltage.
    pub voltage_room: Ratio,
}

/// Total demand distortion of several drives whose orders come at unknown angles.
///
/// `demand`: the largest demand current, as [`at_coupling`] has it. Below what in-phase orders come to, which that holds against the
/// limits: it tells how far from the truth that may be.
///
/// ```
/// use calc::harmonics::{Spectrum, tdd_with_diversity};
/// use plant::quantity::Current;
/// let with_eleventh = |amps| {
///     let mut currents = vec![Current::ZERO; 11];
///     (currents[0], currents[10]) = (Current::a(60.0), Current::a(amps));
///     Spectrum::new(&currents)
/// };
/// // √(3² + 4²)/200.
/// let tdd = tdd_with_diversity(&[with_eleventh(3.0)?, with_eleventh(4.0)?], Current::a(200.0));
/// assert!((tdd.in_percent() - 2.5).abs() < 1e-9);
/// # Ok::<(), calc::Refusal>(())
/// ```
///
/// Source: [`SUMMATION`].
#[must_use]
pub fn tdd_with_diversity(drives: &[Spectrum], demand: Current) -> Ratio {
    let order = |h: usize| {
        let alpha = match h {
            0..=4 => 1.0,
            5..=10 => 1.4,
            _ => 2.0,
        };
        drives.iter().map(|d| d.order(h).in_a().powf(alpha)).sum::<f64>().powf(f64::recip(alpha))
    };
    Ratio::of_one((2..=ORDERS).map(order).map(|i| i * i).sum::<f64>().sqrt() / demand.in_a())
}

/// Adds up drives and linear loads at a point of common coupling and holds them against IEEE 519.
///
/// `drives`: spectra at the voltage of that point. I_h/I_L with I_L the largest demand; voltage of an order h·X_s·I_h, X_s from the
/// short-circuit current, its resistance left out; distortion that the supply brings along is left out, and so are capacitors
/// that could resonate with the supply.
///
/// ```
/// use calc::harmonics::{Coupling, Edition, Spectrum, at_coupling};
/// use calc::working::Silent;
/// use plant::quantity::{Current, Ratio, Voltage};
/// let mut currents = vec![Current::ZERO; 7];
/// (currents[0], currents[4], currents[6]) = (Current::a(60.0), Current::a(18.0), Current::a(6.0));
/// let drive = Spectrum::new(&currents)?;
/// let point = Coupling {
///     voltage: Voltage::v(480.0),
///     short_circuit: Current::ka(10.0),
///     linear: Current::a(140.0),
///     demand: None,
///     edition: Edition::Ieee2022,
/// };
/// let there = at_coupling(&point, &[drive], &mut Silent)?;
/// // √(18² + 6²)/200 = 9.487 %, I_sc/I_L = 50; voltage √((5·18)² + (7·6)²)/10 000 = 0.993 %.
/// assert!((there.tdd.in_percent() - 9.487).abs() < 1e-3);
/// assert!((there.voltage_thd.in_percent() - 0.9932).abs() < 1e-4);
/// assert_eq!((there.ratio, there.current_limits.tdd), (Ratio::of_one(50.0), Ratio::percent(12.0)));
/// # Ok::<(), calc::Refusal>(())
/// ```
///
/// # Errors
/// No drives, values that are no currents, a demand below the drives' own, a voltage outside of Table 2.
///
/// Source: definitions; [`SUMMATION`]; the limits' own sources.
pub fn at_coupling(point: &Coupling, drives: &[Spectrum], rec: &mut impl Recorder) -> Result<AtCoupling, Refusal> {
    above_zero("the short-circuit current", point.short_circuit)?;
    if !(point.linear.in_a() >= 0.0 && point.linear.is_finite()) {
        return Err(Refusal::new(format!("the current of linear loads must be zero or more, not {}", point.linear)));
    }
    if drives.is_empty() {
        return Err(Refusal::new("no drives: there is nothing to add up"));
    }
    let of = |h: usize| drives.iter().map(move |d| d.order(h).in_a());
    let worst = Spectrum::new(&std::array::from_fn::<_, ORDERS, _>(|n| Current::a(of(n + 1).sum())))?;
    let own = worst.order(1) + point.linear;
    let demand = point.demand.unwrap_or(own);
    above_zero("the demand current", demand)?;
    if demand < worst.order(1) * 0.999 {
        return Err(Refusal::new(format!("a largest demand of {demand} lies below what the drives draw, {}", worst.order(1))));
    }
    let ratio = Ratio::of_one(point.short_circuit / demand);
    rec.step(|| {
        Step::new("I_L", "largest demand current", if point.demand.is_some() { "" } else { "ΣI_1 + I_lin" }, &TDD)
            .with("ΣI_1", worst.order(1))
            .with("I_lin", point.linear)
            .gives(demand)
            .note(if point.demand.is_some() { "as given" } else { "assumed: all loads at once; the metered demand comes first" })
    });
    rec.step(|| {
        Step::new("k", "stiffness of the supply", "I_sc / I_L", &TDD).with("I_sc", point.short_circuit).with("I_L", demand).gives(ratio)
    });
    let currents = current_limits(point.voltage, ratio, point.edition, rec)?;
    let voltages = voltage_limits(point.voltage, rec)?;
    let tdd = Ratio::of_one(worst.harmonics() / demand);
    let mut order = 0.0;
    let (mut squares, mut largest) = (0.0, 0.0f64);
    let (mut room, mut tightest) = (1.0 - tdd / currents.tdd, None);
    for h in 1..=ORDERS {
        order += 1.0;
        let Some(limit) = currents.order(h) else { continue };
        let u = order * (worst.order(h) / point.short_circuit);
        squares += u * u;
        largest = largest.max(u);
        let here = 1.0 - worst.order(h) / demand / limit.in_of_one();
        if here < room {
            (room, tightest) = (here, Some(h));
        }
    }
    let voltage_thd = Ratio::of_one(squares.sqrt());
    let voltage_room = (1.0 - voltage_thd / voltages.thd).min(1.0 - largest / voltages.individual.in_of_one());
    rec.step(|| {
        Step::new("TDD", "total demand distortion", "I_H / I_L", &TDD)
            .with("I_H", worst.harmonics())
            .with("I_L", demand)
            .gives(tdd)
            .note("orders of all drives added up as if in phase, which is never too small")
    });
    rec.step(|| {
        Step::new("TDD_div", "total demand distortion with diversity of angles", "(Σ I_h^α)^(1/α)", &SUMMATION)
            .gives(tdd_with_diversity(drives, demand))
    });
    rec.step(|| {
        Step::new("THD_u", "voltage distortion by these currents", "√(Σ (h·I_h/I_sc)²)", &DEFINITION)
            .with("I_sc", point.short_circuit)
            .gives(voltage_thd)
            .note("the supply's own distortion and resonance with capacitors are left out")
    });
    rec.step(|| {
        Step::new("m", "room to the tightest current limit", "(limit − value) / limit", &DEFINITION).gives(Ratio::of_one(room)).note(
            match tightest {
                Some(h) => format!("order {h}"),
                None => "total demand distortion".to_owned(),
            },
        )
    });
    Ok(AtCoupling {
        demand,
        ratio,
        tdd,
        voltage_thd,
        voltage_order: Ratio::of_one(largest),
        current_limits: currents,
        voltage_limits: voltages,
        current_room: Ratio::of_one(room),
        tightest,
        voltage_room: Ratio::of_one(voltage_room),
        worst,
    })
}

/// A point of common coupling before and after a front end is replaced.
#[derive(Clone, Debug, PartialEq)]
pub struct Change {
    /// With the old front end.
    pub before: AtCoupling,
    /// With the new one.
    pub after: AtCoupling,
}

impl Change {
    /// Rise of the total demand distortion; negative when it falls.
    #[must_use]
    pub fn tdd(&self) -> Ratio {
        self.after.tdd - self.before.tdd
    }

    /// Rise of the voltage distortion.
    #[must_use]
    pub fn voltage_thd(&self) -> Ratio {
        self.after.voltage_thd - self.before.voltage_thd
    }

    /// Within every limit before, beyond one after.
    #[must_use]
    pub fn breaks_a_limit(&self) -> bool {
        let room = |there: &AtCoupling| there.current_room.min(there.voltage_room) >= Ratio::ZERO;
        room(&self.before) && !room(&self.after)
    }
}

/// The old front end against the new one, beside the same other drives and against the same demand current.
///
/// ```
/// use calc::harmonics::{Coupling, Edition, Spectrum, compare};
/// use calc::working::Silent;
/// use plant::quantity::{Current, Voltage};
/// let with_fifth = |amps| Spectrum::new(&[60.0, 0.0, 0.0, 0.0, amps].map(Current::a));
/// let point = Coupling {
///     voltage: Voltage::v(480.0),
///     short_circuit: Current::ka(10.0),
///     linear: Current::a(240.0),
///     demand: None,
///     edition: Edition::Ieee2022,
/// };
/// let change = compare(&point, &with_fifth(18.0)?, &with_fifth(24.0)?, &[], &mut Silent)?;
/// assert!((change.tdd().in_percent() - 2.0).abs() < 1e-9 && change.breaks_a_limit());
/// # Ok::<(), calc::Refusal>(())
/// ```
///
/// # Errors
/// As [`at_coupling`].
pub fn compare(point: &Coupling, old: &Spectrum, new: &Spectrum, others: &[Spectrum], rec: &mut impl Recorder) -> Result<Change, Refusal> {
    let with = |own: &Spectrum| -> Vec<Spectrum> { std::iter::once(own).chain(others).cloned().collect() };
    let before = at_coupling(point, &with(old), rec)?;
    // The limits belong to one demand, so that the new front end's other fundamental does not move them.
    let held = Coupling { demand: Some(before.demand.max(with(new).iter().fold(Current::ZERO, |sum, s| sum + s.order(1)))), ..*point };
    let before = if held.demand == Some(before.demand) { before } else { at_coupling(&held, &with(old), &mut Silent)? };
    let after = at_coupling(&held, &with(new), rec)?;
    Ok(Change { before, after })
}
