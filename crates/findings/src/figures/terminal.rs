//! Room for the conductors at the unit's power terminals.

use calc::sources::PACK;
use calc::working::{Recorder, Step};

use super::figure;
use crate::candidate::{Candidate, Measure};
use crate::check::Outcome;
use crate::facts::{Reader, Stop};
use crate::surroundings::{bend_at_terminal, bend_beyond, mounted, side};

figure!(BEND, "figures/bend", "space for bending the conductors, from terminal to wall", LengthDim, bend);
figure!(BEYOND, "figures/bend-beyond", "space for bending the conductors, beyond the unit's outline", LengthDim, beyond);
figure!(CLEAR, "figures/terminal-clearance", "clearance of the unit on the side of its power terminals", LengthDim, clear);

fn bend<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    Ok(bend_at_terminal(facts, unit, rec)?.map_or(Outcome::NotHere, |space| Outcome::Margin(space.in_si())))
}

fn beyond<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    // With a terminal block in between nothing of the old conductors bends here.
    if unit.measures.has(Measure::TerminalBlock) {
        return Ok(Outcome::NotHere);
    }
    Ok(Outcome::Margin(bend_beyond(facts, unit, rec)?.in_si()))
}

fn clear<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let free = mounted(facts, unit)?.clear.at(side(unit.frame.cable_side)).length();
    rec.step(|| Step::new("c", "free space that the unit asks for on that side anyway", "", &PACK).gives(free));
    Ok(Outcome::Margin(free.in_si()))
}

#[cfg(test)]
mod tests {
    use plant::choice::Duty;

    use super::*;
    use crate::fixture::{changed, outcome, unit};

    #[test]
    fn the_pack_s_own_space_counts_before_the_table() {
        let conductors: &[(&str, &str)] = &[("conductors.area", "4/0 AWG"), ("conductors.per_terminal", "1")];
        let millimetres = |figure: &crate::figures::Figure, unit: &Candidate<'_>| match outcome(&figure.check, conductors, unit) {
            Ok(Outcome::Margin(metres)) => metres * 1e3,
            other => panic!("{other:?}"),
        };
        // The small frame asks for 100 mm; its terminals lie on its edge.
        let stated = unit("R1", Duty::Light);
        assert!((millimetres(&BEND, &stated) - 100.0).abs() < 1e-6);
        // NEC Table 312.6(B): one 4/0 AWG straight ahead 7 in, 177.8 mm; 60 mm of it inside the unit.
        let by_table = changed("R1", Duty::Light, |s| {
            s.frames[0].bend_space = None;
            s.frames[0].terminal_inset = plant::quantity::Length::mm(60.0);
        });
        assert!((millimetres(&BEND, &by_table) - 177.8).abs() < 1e-6);
        assert!((millimetres(&BEYOND, &by_table) - 117.8).abs() < 1e-6);
    }
}
