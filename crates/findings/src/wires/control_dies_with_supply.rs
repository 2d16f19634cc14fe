//! The old control side had a supply of its own, the new one has none.

use calc::sources::PACK;
use calc::working::Recorder;
use transfer::wires::Fault;

use crate::candidate::Candidate;
use crate::check::{Outcome, check, holds_if, no_remedy};
use crate::facts::{Reader, Stop};

check! {
    name: "wires/control-dies-with-supply",
    severity: Downtime,
    rows: &[30],
    unit: "",
    ways: &[],
    measures: &[],
    page: "control_dies_with_supply.md",
    run: run,
    remedies: no_remedy,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let Some(wired) = facts.wired(unit)? else { return Ok(Outcome::NotHere) };
    let fed: Vec<_> = wired.circuits.iter().filter(|c| c.is("control-supply")).collect();
    if fed.is_empty() {
        return Ok(Outcome::NotHere);
    }
    if fed.iter().any(|c| !c.placed) {
        return Ok(holds_if(rec, false, || "no point of the new unit takes a supply from outside that suits".to_owned(), &PACK));
    }
    super::by_lines(facts, unit, rec, &[Fault::Supply], |c| c.is("control-supply"))
}

#[cfg(test)]
mod tests {
    use plant::fact::Known;
    use plant::wires::*;

    use super::*;
    use crate::wires::cases::*;

    #[test]
    fn a_supply_wants_its_point() {
        let supply = |w: &mut Conductor| (w.volts, w.flow) = (Known::Value(24.0), Some(Flow::Dc));
        is(&CHECK, vec![wire("control-supply", supply)], false);
        let point = plant::wires::ControlPoint {
            name: "P".into(),
            kind: Some(plant::wires::PointKind::SupplyInput),
            flow: Some(Flow::Dc),
            supply: Some(plant::quantity::Voltage::v(24.0)),
            ..Default::default()
        };
        assert_eq!(at(&CHECK, vec![wire("control-supply", supply)], |s| s.points.push(point), None), Ok(Outcome::Margin(1.0)));
        is_not_here(&CHECK, vec![wire("run-forward", signal)]);
    }
}
