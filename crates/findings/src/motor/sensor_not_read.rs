//! The unit cannot read the sensor in the winding.

use calc::sources::{PACK, PRACTICE};
use calc::working::Recorder;
use plant::choice::{Choice, WindingSensor};
use plant::survey::WINDING_SENSOR;

use crate::candidate::{Candidate, Measure, Remedy};
use crate::check::{Outcome, check, holds_if};
use crate::facts::{Reader, Stop};
use crate::output::{one, side};

check! {
    name: "motor/sensor-not-read",
    severity: Equipment,
    rows: &[42],
    unit: "",
    ways: &[],
    measures: &[Measure::SensorRelay],
    page: "sensor_not_read.md",
    run: run,
    remedies: remedies,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let sensor = facts.get(WINDING_SENSOR)?;
    if sensor == WindingSensor::None {
        return Ok(Outcome::NotHere);
    }
    if unit.measures.has(Measure::SensorRelay) {
        return Ok(holds_if(rec, true, || "a relay of its own reads the sensor".into(), &PRACTICE));
    }
    let read = side(unit)?.sensors.as_ref().ok_or(Stop::PackSilent("which winding sensors it reads (motor.csv, sensors)"))?;
    Ok(holds_if(rec, read.contains(&sensor), || format!("sensor in the winding: {}", sensor.word()), &PACK))
}

fn remedies(_: &Candidate<'_>) -> Vec<Remedy> {
    one(Measure::SensorRelay, "read the winding sensor by a relay made for it, its contact in the run permit", 60.0)
}

#[cfg(test)]
mod tests {
    use plant::choice::Duty;

    use super::*;
    use crate::fixture::{by_hand, changed, is_not_here, is_silent, remedied, unit};

    #[test]
    fn the_kind_of_sensor_must_be_named() {
        let unit = unit("R1", Duty::Heavy);
        is_not_here(&CHECK, &[("motor.winding_sensor", "none")], &unit);
        by_hand(&CHECK, &[("motor.winding_sensor", "PTC")], &unit, 1.0);
        by_hand(&CHECK, &[("motor.winding_sensor", "Pt100")], &unit, -1.0);
        by_hand(&CHECK, &[("motor.winding_sensor", "Pt100")], &remedied(&CHECK, &unit), 1.0);
        let silent = changed("R1", Duty::Heavy, |s| s.motor_sides.clear());
        is_silent(&CHECK, &[("motor.winding_sensor", "PTC")], &silent, "motor.csv");
    }
}
