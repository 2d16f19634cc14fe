//! The new drive answers later than the controller waits.

use calc::network::request_time::request_time;
use calc::working::{Recorder, Step};
use plant::network::{Direction, Layout, Protocol};
use plant::quantity::{Count, Rate, Time};
use plant::survey::{NETWORK_ANSWER_WAIT, NETWORK_BAUD, NETWORK_FRAME};

use crate::candidate::{Candidate, Measure};
use crate::check::{Outcome, Way, check, covered};
use crate::facts::{Reader, Stop};

check! {
    name: "words/answer-comes-late",
    severity: Downtime,
    rows: &[79],
    unit: "%",
    ways: &[(NETWORK_ANSWER_WAIT.id, Way::Up)],
    measures: &[Measure::WordsBlock],
    page: "answer_comes_late.md",
    run: run,
    remedies: super::remedy,
}

/// Characters of the longer of two requests with its answer: all words written at once (function 16), or read at once (function 03).
/// Modbus Application Protocol V1.1b3, 6.3 and 6.12, with station address and check of the serial line (from memory).
fn characters(layout: &Layout) -> Count {
    let (written, read) = (f64::from(layout.length(Direction::ToDrive)), f64::from(layout.length(Direction::FromDrive)));
    Count::of((9.0 + 2.0 * written + 8.0).max(8.0 + 5.0 + 2.0 * read))
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let Some((_, new)) = facts.both_words(unit)? else { return Ok(Outcome::NotHere) };
    let serial = match new.protocol {
        Protocol::ModbusRtu => true,
        Protocol::ModbusTcp => false,
        _ => return Ok(Outcome::NotHere),
    };
    let Some(answer) = new.answers_within else {
        return Err(Stop::PackSilent("how long it takes to answer a request (layouts.csv, answers_within)"));
    };
    let need = if serial {
        let (speed, frame) = (facts.get(NETWORK_BAUD)?, facts.get(NETWORK_FRAME)?);
        request_time(Rate::per_s(speed.bits_per_second()), Count::of(frame.bits()), characters(new), answer, rec)?.whole
    } else {
        rec.step(|| Step::new("t", "longest time to an answer", "", &calc::sources::PACK).gives(answer));
        answer
    };
    // Whoever sets the connection up anew sets its time-out too, to twice what is needed.
    let wait = facts.get(NETWORK_ANSWER_WAIT)?;
    let wait = if unit.measures.has(Measure::WordsBlock) { wait.max(need * 2.0) } else { wait };
    Ok(covered(rec, "t_wait/t − 1", ("t_wait", wait), ("t", need.max(Time::ms(0.1)))))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::check::Outcome::Margin;
    use crate::words::cases::{is_silent, margin, plain, with};

    #[test]
    fn the_wait_covers_line_and_unit() {
        let new = with(|l| l.answers_within = Some(Time::ms(20.0)));
        // By hand: 2 words written, 3 read; 21 characters against 19: 21 × 11 bits / 9600 = 24.06 ms, two silences of 4.01 ms, 20 ms of the
        // unit: 52.08 ms. 100 ms cover it by 92 %, 50 ms fall short by 4 %.
        let line = |wait| [("network.baud", "9600"), ("network.frame", "8e1"), ("network.answer_wait", wait)];
        for (wait, expected) in [("100 ms", 92.0), ("50 ms", -4.0)] {
            let Ok(Margin(found)) = margin(&CHECK, &line(wait), plain(), new.clone(), false) else { panic!("{wait}") };
            assert!((found - expected).abs() < 0.01, "{wait}: {found}");
        }
        let Ok(Margin(found)) = margin(&CHECK, &line("50 ms"), plain(), new, true) else { panic!("with the connection set up anew") };
        assert!((found - 100.0).abs() < 1e-6, "{found}");
    }

    #[test]
    fn over_ethernet_the_unit_alone_counts() {
        let new = with(|l| (l.protocol, l.answers_within) = (Protocol::ModbusTcp, Some(Time::ms(10.0))));
        let Ok(Margin(found)) = margin(&CHECK, &[("network.answer_wait", "15 ms")], plain(), new, false) else { panic!("a margin") };
        assert!((found - 50.0).abs() < 1e-6, "{found}");
        is_silent(&CHECK, &[("network.answer_wait", "15 ms")], plain(), plain(), "answers_within");
    }
}
