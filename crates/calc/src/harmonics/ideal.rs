//! The textbook bridge with a smooth DC current and no commutation: the figures that others are measured by.

use std::f64::consts::PI;

use plant::quantity::Ratio;

use super::spectrum::ORDERS;
use crate::registry::Refusal;
use crate::sources::{Knowledge, Source};
use crate::working::{Recorder, Step};

/// Fourier series of a 120° block.
pub const BLOCKS: Source = Source::new("Fourier series of the blocks of 120°", Knowledge::Derived);

/// A six- or twelve-pulse bridge with smooth DC current.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct IdealBridge {
    /// An order's current over the fundamental: 1/h for h = k·p ± 1, else nothing.
    pub share: Ratio,
    /// Fundamental, rms, over the DC current of a six-pulse bridge: √6/π.
    pub fundamental: Ratio,
    /// Distortion with all orders.
    pub thd: Ratio,
    /// Distortion with the orders up to the 50th.
    pub thd_to_50: Ratio,
    /// Power factor without commutation: 1/√(1 + THD²).
    pub power_factor: Ratio,
}

/// The currents of an ideal bridge of `pulses` 6 or 12 at an order.
///
/// THD with all orders: √(((π/p)/sin(π/p))² − 1), √(π²/9 − 1) for six pulses; 1/√(1 + THD²) is 3/π then. The limits: smooth current, no reactance.
///
/// ```
/// use calc::harmonics::ideal_bridge;
/// use calc::working::Silent;
/// let b = ideal_bridge(6, 7, &mut Silent)?;
/// assert!((b.share.in_percent() - 14.2857).abs() < 1e-4);
/// assert!((b.thd.in_percent() - 31.084).abs() < 1e-3 && (b.power_factor.in_of_one() - 0.95493).abs() < 1e-5);
/// # Ok::<(), calc::Refusal>(())
/// ```
///
/// # Errors
/// Pulses other than 6 and 12, an order outside 1 to 50.
///
/// Source: [`BLOCKS`].
pub fn ideal_bridge(pulses: usize, order: usize, rec: &mut impl Recorder) -> Result<IdealBridge, Refusal> {
    if pulses != 6 && pulses != 12 {
        return Err(Refusal::new(format!("a bridge has 6 or 12 pulses here, not {pulses}")));
    }
    if !(1..=ORDERS).contains(&order) {
        return Err(Refusal::new(format!("an order lies from 1 to {ORDERS}, not at {order}")));
    }
    let there = |h: usize| h % pulses == 1 || h % pulses == pulses - 1;
    let mut squares = 0.0;
    let mut number = 0.0;
    let mut share = 0.0;
    for h in 1..=ORDERS {
        number += 1.0;
        if there(h) {
            squares += if h > 1 { 1.0 / (number * number) } else { 0.0 };
            if h == order {
                share = 1.0 / number;
            }
        }
    }
    // A current in p equal steps a cycle has the mean square ((π/p)/sin(π/p))² of its fundamental's.
    let step = PI / if pulses == 6 { 6.0 } else { 12.0 };
    let all = (step / step.sin()).powi(2);
    let bridge = IdealBridge {
        share: Ratio::of_one(share),
        fundamental: Ratio::of_one(6f64.sqrt() / PI),
        thd: Ratio::of_one((all - 1.0).sqrt()),
        thd_to_50: Ratio::of_one(squares.sqrt()),
        power_factor: Ratio::of_one(all.sqrt().recip()),
    };
    rec.step(|| {
        Step::new("I_h/I_1", format!("share of order {order}"), "1/h", &BLOCKS).gives(bridge.share).note("nothing unless h = k·p ± 1")
    });
    rec.step(|| Step::new("THD", "distortion with all orders", "√(Σ 1/h²)", &BLOCKS).gives(bridge.thd));
    rec.step(|| Step::new("λ", "power factor", "1/√(1 + THD²)", &BLOCKS).gives(bridge.power_factor));
    Ok(bridge)
}
