//! The largest mean square of a record over stretches of a length: what a curve of current over time is drawn from.

use plant::quantity::Time;

use super::overload::Record;

/// The largest mean of i², A², over any stretch of this length; `None` where the record is shorter and does not repeat, or the length is
/// not above zero.
///
/// The integral of i² is straight inside a piece, so the largest difference begins or ends where a piece does. Linear in the pieces.
///
/// Source: definition of the root mean square. Worked example: 78 A for 60 s and 40 A for 540 s, repeated: over 120 s
/// (78²·60 + 40²·60)/120 = 3842 A².
/// ```
/// use calc::drive::{overload::Record, windows::largest_mean_square};
/// use plant::quantity::{Current, Time};
/// let record = Record::from_steps(&[(Current::a(78.0), Time::s(60.0)), (Current::a(40.0), Time::s(540.0))], true);
/// assert!((largest_mean_square(&record, Time::s(120.0)).unwrap() - 3842.0).abs() < 1e-6);
/// ```
#[must_use]
pub fn largest_mean_square(record: &Record, length: Time) -> Option<f64> {
    let period = record.duration().in_s();
    let length = length.in_s();
    if !(length > 0.0 && length.is_finite() && period > 0.0) || (!record.repeats && length > period * (1.0 + 1e-12)) {
        return None;
    }
    let mut ends: Vec<(f64, f64)> = vec![(0.0, 0.0)];
    let (mut time, mut charge) = (0.0, 0.0);
    for piece in &record.pieces {
        time += piece.seconds;
        charge += piece.mean_square_a2 * piece.seconds;
        ends.push((time, charge));
    }
    // Whole periods hold the same wherever they begin.
    let whole = if record.repeats { (length / period).floor() } else { 0.0 };
    let rest = length - whole * period;
    if record.repeats {
        let lap: Vec<(f64, f64)> = ends.iter().skip(1).map(|(t, q)| (t + time, q + charge)).collect();
        ends.extend(lap);
    }
    let last = ends.last().map_or(0.0, |e| e.0);
    let mut most = 0.0_f64;
    // Stretches that begin at an end of a piece, and those that end at one.
    let (mut after, mut before) = (0, 0);
    for (at, q) in ends.iter().copied() {
        if at + rest <= last * (1.0 + 1e-12) {
            most = most.max(charge_at(&ends, &mut after, at + rest) - q);
        }
        if at >= rest {
            most = most.max(q - charge_at(&ends, &mut before, at - rest));
        }
    }
    Some((most + whole * charge) / length)
}

/// The integral up to a time; times that are asked for rise from call to call, and `hand` remembers how far they have come.
fn charge_at(ends: &[(f64, f64)], hand: &mut usize, time: f64) -> f64 {
    while *hand + 1 < ends.len() && ends[*hand + 1].0 < time {
        *hand += 1;
    }
    let (from, to) = (ends[*hand], ends[(*hand + 1).min(ends.len() - 1)]);
    if to.0 > from.0 { from.1 + (to.1 - from.1) * ((time - from.0) / (to.0 - from.0)).clamp(0.0, 1.0) } else { to.1 }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "tests stop at the first broken expectation")]
    use plant::quantity::Current;

    use super::*;

    fn steps(repeats: bool) -> Record {
        Record::from_steps(&[(Current::a(10.0), Time::s(2.0)), (Current::a(0.0), Time::s(3.0)), (Current::a(20.0), Time::s(1.0))], repeats)
    }

    #[test]
    fn by_hand() {
        let mean = |seconds, repeats| largest_mean_square(&steps(repeats), Time::s(seconds)).unwrap();
        // i²: 100 for 2 s, 0 for 3 s, 400 for 1 s.
        assert!((mean(0.5, false) - 400.0).abs() < 1e-9);
        assert!((mean(2.0, false) - 200.0).abs() < 1e-9); // 400·1/2
        assert!((mean(6.0, false) - 100.0).abs() < 1e-9); // 600/6
        // Repeated, the 20 A run on into the 10 A: (400 + 200)/3.
        assert!((mean(3.0, true) - 200.0).abs() < 1e-9);
        assert!((mean(3.0, false) - 400.0 / 3.0).abs() < 1e-9);
        // A period and a second more: (600 + 400)/7; many periods tend to the mean of 100.
        assert!((mean(7.0, true) - 1000.0 / 7.0).abs() < 1e-9);
        assert!((mean(600.0, true) - 100.0).abs() < 1e-9);
        assert_eq!(largest_mean_square(&steps(false), Time::s(6.5)), None);
        assert_eq!(largest_mean_square(&steps(true), Time::ZERO), None);
        assert_eq!(largest_mean_square(&Record::default(), Time::s(1.0)), None);
    }
}
