//! Control wires: whether each conductor of the old drive can be landed at the new one, and what it does there.

#[cfg(test)]
pub(crate) mod cases;
pub mod contact_overloaded;
pub mod contact_poorly_wetted;
pub mod control_dies_with_supply;
pub mod earths_joined;
pub mod encoder_backwards;
pub mod encoder_not_counted;
pub mod encoder_pulses_unknown;
pub mod fed_by_old_drive;
pub mod health_misread;
pub mod input_held_on;
pub mod interlock_left_behind;
pub mod loop_short_of_volts;
pub mod meter_reads_wrong;
pub mod polarity_opposed;
pub mod reference_range_differs;
pub mod signal_means_another;
pub mod signal_not_seen;
pub mod start_condition_open;
pub mod start_taken_otherwise;
pub mod voltage_on_input;
pub mod without_landing;

use calc::sources::SURVEY;
use calc::working::{Recorder, Step};
use transfer::wires::{Fault, Line, Verdict};

use crate::candidate::{Candidate, Measure, Remedy};
use crate::check::Outcome;
use crate::facts::{Reader, Stop, WiredCircuit};

/// Minutes that stand for the work until the position says how much it is. Common practice, no source.
const FITTING: f64 = 60.0;

/// The modules and parts of the crosswalk. What they are and cost hangs on the position, and is filled in there.
pub(crate) fn parts(_: &Candidate<'_>) -> Vec<Remedy> {
    vec![Remedy {
        measure: Measure::ControlParts,
        what: "fit the modules and interposing parts of “changeout wires”, and land the conductors over them".to_owned(),
        parts: Some(0.0),
        minutes: FITTING,
    }]
}

/// Judges the lines of some faults in the circuits that `which` takes: as they are directly, or with the parts where those are fitted.
/// A line that certainly fails fails; one that hangs on what is not known stops, with what is to be found out.
pub(crate) fn by_lines<R: Recorder>(
    facts: &mut Reader<'_>,
    unit: &Candidate<'_>,
    rec: &mut R,
    faults: &[Fault],
    which: impl Fn(&WiredCircuit) -> bool,
) -> Result<Outcome, Stop> {
    let Some(wired) = facts.wired(unit)? else { return Ok(Outcome::NotHere) };
    let fitted = unit.measures.has(Measure::ControlParts);
    let lines: Vec<(&str, &Line)> = wired
        .circuits
        .iter()
        .filter(|c| which(c))
        .flat_map(|c| (if fitted { &c.lines } else { &c.direct }).iter().map(move |l| (c.name.as_str(), l)))
        .filter(|(_, l)| faults.contains(&l.fault))
        .collect();
    judged(&lines, rec)
}

/// The outcome of some lines, with those that do not hold as steps, or the one that holds with the least room.
pub(crate) fn judged<R: Recorder>(lines: &[(&str, &Line)], rec: &mut R) -> Result<Outcome, Stop> {
    let Some(worst) = lines.iter().map(|(_, l)| l.verdict).max() else { return Ok(Outcome::NotHere) };
    let room = |line: &Line| line.margin.unwrap_or(f64::INFINITY);
    let closest = lines.iter().min_by(|a, b| room(a.1).total_cmp(&room(b.1)));
    let shown = |verdict: Verdict| lines.iter().filter(move |(_, l)| l.verdict == verdict && verdict != Verdict::Holds);
    for (circuit, line) in shown(worst).chain(closest.filter(|_| worst == Verdict::Holds)) {
        rec.step(|| {
            Step::new("line", format!("{circuit}: {}", line.what), "", &SURVEY).gives(format!(
                "{} against {}: {}",
                line.have,
                line.need,
                line.verdict.word()
            ))
        });
    }
    match worst {
        Verdict::Fails => Ok(Outcome::Margin(-1.0)),
        Verdict::Holds => Ok(Outcome::Margin(1.0)),
        Verdict::Open => {
            let open: Vec<String> = shown(Verdict::Open).map(|(c, l)| format!("{c}: {} ({} against {})", l.what, l.have, l.need)).collect();
            Err(Stop::Refused(format!("to be found out at the conductors: {}", open.join("; "))))
        }
    }
}
