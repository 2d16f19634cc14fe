//! A permissive is lost with the old drive, or acts in fewer modes than before.

use calc::sources::SURVEY;
use calc::working::Recorder;
use plant::wires::{Mode, PointKind};

use crate::candidate::{Candidate, Measure};
use crate::check::{Outcome, check, holds_if};
use crate::facts::{Reader, Stop, WiredCircuit};

check! {
    name: "wires/interlock-left-behind",
    severity: Injury,
    rows: &[60],
    unit: "",
    ways: &[],
    measures: &[Measure::ControlParts],
    page: "interlock_left_behind.md",
    run: run,
    remedies: super::parts,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let Some(wired) = facts.wired(unit)? else { return Ok(Outcome::NotHere) };
    if wired.permissives.is_empty() {
        return Ok(Outcome::NotHere);
    }
    let fitted = unit.measures.has(Measure::ControlParts);
    let of = |p: &transfer::wires::Permissive| &wired.circuits[p.circuit];
    let lost = |p: &&transfer::wires::Permissive| !of(p).placed || (of(p).parts && !fitted);
    let lost: Vec<&str> = wired.permissives.iter().filter(lost).map(|p| of(p).name.as_str()).collect();
    let unknown: Vec<&str> = wired.permissives.iter().filter(|p| p.modes.is_empty()).map(|p| of(p).name.as_str()).collect();
    let bypass: Vec<&str> =
        wired.permissives.iter().filter(|p| p.modes.contains(&Mode::Bypass) && through_drive(of(p))).map(|p| of(p).name.as_str()).collect();
    if lost.is_empty() && !(unknown.is_empty() && bypass.is_empty()) {
        let what = [("in which modes they act: ", unknown), ("that they stay in the bypass circuit: ", bypass)];
        let what: Vec<String> = what.iter().filter(|(_, l)| !l.is_empty()).map(|(w, l)| format!("{w}{}", l.join(", "))).collect();
        return Err(Stop::Refused(format!("to be traced, mode by mode: {}", what.join("; "))));
    }
    let count = wired.permissives.len();
    let what = || if lost.is_empty() { format!("{count} permissives, each landed") } else { format!("left behind: {}", lost.join(", ")) };
    Ok(holds_if(rec, lost.is_empty(), what, &SURVEY))
}

fn through_drive(circuit: &WiredCircuit) -> bool {
    circuit.point.is_some_and(|(kind, _)| matches!(kind, PointKind::DigitalInput | PointKind::SafeInput))
}

#[cfg(test)]
mod tests {
    use plant::wires::*;

    use super::*;
    use crate::wires::cases::*;

    #[test]
    fn a_contact_inside_the_old_drive_wants_a_relay_of_its_own() {
        let inner = |w: &mut Conductor| w.modes = vec![Mode::Hand, Mode::Auto];
        is_mended(&CHECK, vec![wire("inner-interlock", inner)]);
        is(
            &CHECK,
            vec![wire("permissive", |w| {
                signal(w);
                w.modes = vec![Mode::Auto];
            })],
            true,
        );
        is_not_here(&CHECK, vec![wire("run-forward", signal)]);
    }

    #[test]
    fn untraced_modes_and_a_bypass_are_open() {
        is_open(&CHECK, vec![wire("permissive", signal)], "in which modes");
        is_open(
            &CHECK,
            vec![wire("permissive", |w| {
                signal(w);
                w.modes = vec![Mode::Bypass];
            })],
            "bypass",
        );
    }
}
