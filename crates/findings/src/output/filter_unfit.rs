//! The output filter that stays is not made for the unit.

use calc::cable::filter::{Duty, Filter, reuse};
use calc::sources::DEFINITION;
use calc::working::{Recorder, Step};
use plant::choice::{Control, OutputFilter, YesNo};
use plant::quantity::Ratio;
use plant::survey::{
    FILTER_CARRIER, FILTER_CARRIER_MOST, FILTER_CURRENT, FILTER_FREQUENCY, FILTER_VECTOR, LOAD_CURRENT, OLD_CONTROL, OUTPUT_FILTER,
    SPEED_HIGHEST,
};

use crate::candidate::{Candidate, Measure, Remedy};
use crate::check::{Outcome, Way, check};
use crate::facts::{Reader, Stop};

check! {
    name: "output/filter-unfit",
    severity: Equipment,
    rows: &[35],
    unit: "%",
    ways: &[
        (LOAD_CURRENT.id, Way::Down), (FILTER_CURRENT.id, Way::Up), (FILTER_CARRIER.id, Way::Down), (FILTER_CARRIER_MOST.id, Way::Up),
        (FILTER_FREQUENCY.id, Way::Up), (SPEED_HIGHEST.id, Way::Down),
    ],
    measures: &[Measure::NoOutputFilter, Measure::LowestCarrier, Measure::ScalarControl],
    page: "filter_unfit.md",
    run: run,
    remedies: remedies,
}

/// What the margin is where the control method is barred.
const BARRED: f64 = -100.0;

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    if unit.measures.has(Measure::NoOutputFilter) || !matches!(facts.get(OUTPUT_FILTER)?, OutputFilter::Sine | OutputFilter::DvDt) {
        return Ok(Outcome::NotHere);
    }
    let carrier = unit.carrier(facts)?.ok_or(Stop::PackSilent("carrier frequency that the unit comes set to (default_carrier)"))?;
    let filter = Filter {
        carrier_from: facts.get(FILTER_CARRIER)?,
        carrier_to: facts.find(FILTER_CARRIER_MOST)?,
        current: facts.get(FILTER_CURRENT)?,
        frequency: facts.get(FILTER_FREQUENCY)?,
        vector: facts.get(FILTER_VECTOR)? == YesNo::Yes,
    };
    // What the unit will run: scalar where it is set to that; else as the old drive ran, where the unit can.
    let scalar = unit.measures.has(Measure::ScalarControl)
        || facts.get(OLD_CONTROL)? == Control::Scalar && unit.series.control.methods.contains(&Control::Scalar);
    let vector = !scalar;
    let duty = Duty { carrier, current: facts.get(LOAD_CURRENT)?, frequency: facts.get(SPEED_HIGHEST)?, vector };
    let found = reuse(&filter, &duty, rec)?;
    let least = found.carrier.in_percent().min(found.current.in_percent()).min(found.frequency.in_percent());
    let margin = if found.control { least } else { BARRED };
    rec.step(|| {
        Step::new("margin", "least of the three; −100 % where the control method is barred", "", &DEFINITION).gives(Ratio::percent(margin))
    });
    Ok(Outcome::Margin(margin))
}

fn remedies(_: &Candidate<'_>) -> Vec<Remedy> {
    vec![Remedy {
        measure: Measure::NoOutputFilter,
        what: "take the old output filter out; the motor cable is then judged without it".into(),
        parts: Some(0.0),
        minutes: 90.0,
    }]
}

#[cfg(test)]
mod tests {
    use plant::choice::Duty as Class;

    use super::*;
    use crate::fixture::{by_hand, changed, is_not_here, remedied, unit, with};

    fn filter<'a>(carrier: &'a str, control: &'a str) -> [(&'a str, &'a str); 8] {
        [
            ("output.filter", "sine filter"),
            ("output.filter_carrier", carrier),
            ("output.filter_current", "60 A"),
            ("output.filter_frequency", "70 Hz"),
            ("output.filter_vector", "no"),
            ("old.control", control),
            ("load.current", "48 A"),
            ("speed.highest", "60 Hz"),
        ]
    }

    #[test]
    fn the_least_of_three_and_the_control_method() {
        let unit = unit("R1", Class::Heavy);
        // 4 kHz over 2 kHz: 100 %; 60/48: 25 %; 70/60: 16.67 %.
        by_hand(&CHECK, &filter("2 kHz", "scalar"), &unit, 16.67);
        by_hand(&CHECK, &filter("8 kHz", "scalar"), &unit, -50.0);
        by_hand(&CHECK, &filter("2 kHz", "open-loop-vector"), &unit, -100.0);
        is_not_here(&CHECK, &filter("8 kHz", "scalar"), &remedied(&CHECK, &unit));
        is_not_here(&CHECK, &[("output.filter", "reactor")], &unit);
        // Above its highest carrier: 3 kHz over 4 kHz, −25 %.
        let most = |khz| [&filter("2 kHz", "scalar")[..], &[("output.filter_carrier_most", khz)]].concat();
        by_hand(&CHECK, &most("3 kHz"), &unit, -25.0);
        by_hand(&CHECK, &most("16 kHz"), &unit, 16.67);
        // A unit without scalar control runs vector control whatever the old one did.
        let only_vector = changed("R1", Class::Heavy, |s| s.control.methods = vec![Control::OpenLoopVector]);
        by_hand(&CHECK, &filter("2 kHz", "scalar"), &only_vector, -100.0);
        let set = with(&CHECK, &unit, Measure::ScalarControl);
        by_hand(&CHECK, &filter("2 kHz", "open-loop-vector"), &set, 16.67);
    }
}
