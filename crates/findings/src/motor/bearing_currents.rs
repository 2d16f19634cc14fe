//! Current through the bearings of motor or machine.

use calc::cable::bearing::{Remedy as Asked, Train, bearing_risk};
use calc::sources::PRACTICE;
use calc::working::{Recorder, Silent};
use plant::choice::YesNo;
use plant::survey::{BEARING_HISTORY, BEARING_INSULATED, MOTOR_POWER, MOTOR_SHAFT, SHAFT_EARTHED};

use crate::candidate::{Candidate, Measure, Remedy};
use crate::check::{Outcome, check, holds_if};
use crate::facts::{Reader, Stop};
use crate::output::one;

check! {
    name: "motor/bearing-currents",
    severity: Equipment,
    rows: &[33],
    unit: "",
    ways: &[],
    measures: &[Measure::ShaftEarthing],
    page: "bearing_currents.md",
    run: run,
    remedies: remedies,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let helped = unit.measures.has(Measure::ShaftEarthing);
    let history = facts.find(BEARING_HISTORY)? == Some(YesNo::Yes);
    let mut train = Train {
        power: facts.get(MOTOR_POWER)?,
        shaft: facts.find(MOTOR_SHAFT)?,
        history,
        insulated: true,
        earthed: true,
        coupling: true,
        cable: true,
    };
    if bearing_risk(&train, &mut Silent)?.grade > 0 && !helped {
        train.insulated = facts.get(BEARING_INSULATED)? == YesNo::Yes;
        train.earthed = facts.get(SHAFT_EARTHED)? == YesNo::Yes;
        // What is led to earth at the motor's shaft does not reach the driven end.
        train.coupling = train.earthed;
    }
    let missing = bearing_risk(&train, rec)?.missing;
    let lacking = missing.iter().filter(|remedy| !(helped && **remedy == Asked::CommonMode)).count();
    Ok(holds_if(rec, lacking == 0, || format!("measures that are asked for and not there: {lacking}"), &PRACTICE))
}

fn remedies(_: &Candidate<'_>) -> Vec<Remedy> {
    one(
        Measure::ShaftEarthing,
        "earth the shaft by a ring at the drive end, insulate the other bearing, and put common-mode cores around the motor leads",
        240.0,
    )
}

#[cfg(test)]
mod tests {
    use plant::choice::Duty;

    use super::*;
    use crate::fixture::{by_hand, remedied, unit};

    #[test]
    fn large_motors_need_an_insulated_bearing_and_an_earthed_shaft() {
        let unit = unit("R3", Duty::Heavy);
        let motor =
            |insulated, earthed| [("motor.power", "110 kW"), ("motor.bearing_insulated", insulated), ("motor.shaft_earthed", earthed)];
        by_hand(&CHECK, &motor("yes", "yes"), &unit, 1.0);
        by_hand(&CHECK, &motor("yes", "no"), &unit, -1.0);
        by_hand(&CHECK, &motor("no", "no"), &remedied(&CHECK, &unit), 1.0);
        by_hand(&CHECK, &[("motor.power", "30 kW")], &unit, 1.0);
        let history = [
            ("motor.power", "30 kW"),
            ("motor.bearing_history", "yes"),
            ("motor.bearing_insulated", "yes"),
            ("motor.shaft_earthed", "yes"),
        ];
        by_hand(&CHECK, &history, &unit, -1.0);
        by_hand(&CHECK, &history, &remedied(&CHECK, &unit), 1.0);
    }
}
