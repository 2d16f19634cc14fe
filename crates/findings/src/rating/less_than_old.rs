//! The new unit gives fewer amperes than the old one at some overload time, whatever the labels say.

use calc::drive::capability::{Capability, compare};
use calc::sources::PACK;
use calc::working::{Recorder, Step};
use plant::quantity::Current;
use plant::survey::{MOTOR_CURRENT, MOTOR_EFFICIENCY, MOTOR_POWER, MOTOR_POWER_FACTOR, MOTOR_VOLTAGE, OLD_CURRENT, OLD_DUTY};

use crate::candidate::Candidate;
use crate::check::{Outcome, Way, check, covered, no_remedy};
use crate::facts::{Reader, Stop};

check! {
    name: "rating/less-than-old",
    severity: Nuisance,
    rows: &[1, 2],
    unit: "%",
    ways: &[
        (OLD_CURRENT.id, Way::Down), (MOTOR_CURRENT.id, Way::Down), (MOTOR_POWER.id, Way::Down), (MOTOR_VOLTAGE.id, Way::Up),
        (MOTOR_EFFICIENCY.id, Way::Up), (MOTOR_POWER_FACTOR.id, Way::Up),
    ],
    measures: &[],
    page: "less_than_old.md",
    run: run,
    remedies: no_remedy,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let old: Current = facts.get(OLD_CURRENT)?;
    let duty = facts.get(OLD_DUTY)?;
    let old_points = facts.old_points(duty);
    if old_points.is_empty() {
        // Without the old series' pack only the continuous amperes can be compared.
        return Ok(covered(rec, "I_new/I_old − 1", ("I_new", unit.rating.current), ("I_old", old)));
    }
    let was = Capability { rating: old, points: old_points };
    let will = Capability { rating: unit.rating.current, points: &unit.overloads };
    let worst = compare(&was, &will)?
        .into_iter()
        .min_by(|a, b| a.ratio.total_cmp(&b.ratio))
        .ok_or(Stop::PackSilent("overload points to compare"))?;
    rec.step(|| {
        let at = worst.time.map_or_else(|| "for good".to_owned(), |t| format!("for {t}"));
        Step::new("t", "overload time at which the new unit falls shortest", "", &PACK).gives(at)
    });
    Ok(covered(rec, "I_new/I_old − 1", ("I_new", worst.new), ("I_old", worst.old)))
}
