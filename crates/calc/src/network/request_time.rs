//! How long a master waits at least for the answer to a request on a serial line.

use plant::quantity::{Count, Rate, Time, dim};

use crate::registry::{Arguments, Calculation, Refusal, output, quantity, quantity_or};
use crate::sources::{DEFINITION, Knowledge, Source};
use crate::working::{Recorder, Step, Working};

/// Characters and silences of the serial line.
pub const SERIAL_LINE: Source = Source::new(
    "MODBUS over Serial Line V1.02, 2.5.1.1: frames apart by 3.5 characters, by 1.75 ms above 19,200 bit/s",
    Knowledge::FromMemory,
);

/// Above this many bits a second the silence between frames has a fixed length.
const FIXED_ABOVE: f64 = 19_200.0;
/// That length, in s.
const FIXED_GAP_S: f64 = 0.001_75;
/// Silence between frames, in characters.
const GAP_CHARACTERS: f64 = 3.5;

/// A request with its answer.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RequestTime {
    /// Time of one character.
    pub character: Time,
    /// Silence after a frame.
    pub gap: Time,
    /// From the first bit of the request to the end of the answer.
    pub whole: Time,
}

/// Time from the first bit of a request to the last of its answer.
///
/// t_c = b/v; t_g = 3.5·t_c, at least 1.75 ms where v is above 19,200 bit/s; t = n·t_c + 2·t_g + t_a (b bits of a character with start, parity
/// and stop, 11 for 8 data bits with parity; v bits a second; n characters of request and answer together; t_a time that the unit takes).
///
/// # Errors
/// When the speed or the bits of a character are not above zero, or one of the others is below zero.
///
/// Source: MODBUS over Serial Line V1.02, 2.5.1.1 (from memory). Worked example: 21 characters of 11 bits at 9,600 bit/s and 20 ms of the unit:
/// 24.06 + 8.02 + 20 = 52.08 ms.
/// ```
/// use calc::{network::request_time::request_time, working::Silent};
/// use plant::quantity::{Count, Rate, Time};
/// let t = request_time(Rate::per_s(9600.0), Count::of(11.0), Count::of(21.0), Time::ms(20.0), &mut Silent).unwrap();
/// assert!((t.whole.in_ms() - 52.083).abs() < 0.001);
/// ```
pub fn request_time<R: Recorder>(speed: Rate, bits: Count, characters: Count, answer: Time, rec: &mut R) -> Result<RequestTime, Refusal> {
    let sound = speed > Rate::ZERO && bits > Count::ZERO && characters >= Count::ZERO && answer >= Time::ZERO;
    if !(sound && speed.is_finite() && bits.is_finite() && characters.is_finite() && answer.is_finite()) {
        return Err(Refusal::new("speed and bits of a character must be above zero, characters and the unit's time zero or more"));
    }
    let character = Time::s(bits.in_count() / speed.in_per_s());
    let fixed = speed.in_per_s() > FIXED_ABOVE;
    let gap = if fixed { Time::s(FIXED_GAP_S) } else { character * GAP_CHARACTERS };
    let whole = character * characters.in_count() + gap * 2.0 + answer;
    rec.step(|| Step::new("t_c", "time of a character", "b/v", &DEFINITION).with("b", bits).with("v", speed).gives(character));
    rec.step(|| {
        let formula = if fixed { "" } else { "3.5·t_c" };
        Step::new("t_g", "silence after a frame", formula, &SERIAL_LINE).with("t_c", character).gives(gap)
    });
    rec.step(|| {
        Step::new("t", "request and answer", "n·t_c + 2·t_g + t_a", &DEFINITION)
            .with("n", characters)
            .with("t_c", character)
            .with("t_g", gap)
            .with("t_a", answer)
            .gives(whole)
    });
    Ok(RequestTime { character, gap, whole })
}

/// `calc request-time`.
pub const REQUEST_TIME: Calculation = Calculation {
    name: "request-time",
    summary: "Time of a request with its answer on a serial line: what a master has to wait at least.",
    inputs: &[
        quantity::<dim::RateDim>("speed", "bits a second: 19200 /s"),
        quantity_or::<dim::CountDim>("bits", "11", "bits of a character, with start, parity and stop"),
        quantity::<dim::CountDim>("characters", "characters of request and answer together"),
        quantity::<dim::TimeDim>("answer", "longest time that the unit takes to answer"),
    ],
    results: &[
        output::<dim::TimeDim>("character", "ms", "time of a character"),
        output::<dim::TimeDim>("gap", "ms", "silence after a frame"),
        output::<dim::TimeDim>("time", "ms", "request and answer"),
    ],
    sources: &[&SERIAL_LINE, &DEFINITION],
    run: |a: &Arguments, w: &mut Working| {
        let t = request_time(a.get("speed"), a.get("bits"), a.get("characters"), a.get("answer"), w)?;
        Ok(vec![t.character.in_si(), t.gap.in_si(), t.whole.in_si()])
    },
};

#[cfg(test)]
mod tests {
    use super::*;
    use crate::working::Silent;

    #[test]
    fn outside_its_limits_it_is_refused() {
        let at = |speed, bits, characters, answer| {
            request_time(Rate::per_s(speed), Count::of(bits), Count::of(characters), Time::s(answer), &mut Silent)
        };
        assert!(at(9600.0, 11.0, 21.0, 0.02).is_ok());
        for (speed, bits, characters, answer) in [
            (0.0, 11.0, 1.0, 0.0),
            (9600.0, 0.0, 1.0, 0.0),
            (9600.0, 11.0, -1.0, 0.0),
            (9600.0, 11.0, 1.0, f64::NAN),
            (f64::INFINITY, 11.0, 1.0, 0.0),
        ] {
            assert!(at(speed, bits, characters, answer).is_err(), "{speed} {bits} {characters} {answer}");
        }
    }

    proptest::proptest! {
        #[test]
        fn a_faster_line_never_takes_longer(slow in 1200.0f64..115_200.0, more in 1.0f64..8.0, characters in 0.0f64..512.0) {
            // Below and above the fixed silence alike; across it the silence may grow from 2.005 to 1.75 ms only the other way.
            let at = |speed| request_time(Rate::per_s(speed), Count::of(11.0), Count::of(characters), Time::ZERO, &mut Silent).unwrap().whole;
            proptest::prop_assert!(at(slow * more) <= at(slow) + Time::s(1e-12));
        }
    }
}
